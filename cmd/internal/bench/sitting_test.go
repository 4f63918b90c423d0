package bench

import (
	"math"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/somejar"
	"steepbook/data/library"
)

// TestSittingNamesWhatNumbs: what is to be tasted last is named, and is tasted now. The jars are
// somejar's; the order of tasting is that of kinetics/panel.
func TestSittingNamesWhatNumbs(t *testing.T) {
	const before, behind = "Taste the ", " last, to numb no other taste."
	said := 0
	for number := range somejar.Many(30) {
		number += 100 // few have anything that numbs: of the first 150 jars the 121st
		j := somejar.New(number)
		a, err := Assess(somejar.Parse(t, j.String()), library.Builtin(), Question{Now: somejar.Time(j.Now)})
		if err != nil {
			t.Fatal(err)
		}
		s := a.NextSitting()
		if s == nil || !strings.Contains(s.Advice, "last, to numb") {
			continue
		}
		said++
		_, names, _ := strings.Cut(s.Advice, before)
		names, _, ok := strings.Cut(names, behind)
		if last := s.Flavours[len(s.Flavours)-1]; !ok || !strings.HasSuffix(names, last) {
			t.Errorf("jar %d: %q, and %v are tasted", number, s.Advice, s.Flavours)
		}
	}
	if said == 0 {
		t.Error("no jar has anything that numbs")
	}
}

// A sip that numbs is thinned to the strength at which spirits are scored, sweet and flavour alike;
// what is thin enough as it will be bottled is tasted as that.
func TestStrongSipsAreThinned(t *testing.T) {
	for _, c := range []struct {
		abv, water string
		thinned    bool
		share      float64
	}{
		{"70", "", true, 20. / 70}, {"57", "", true, 1. / 3}, {"40", "", false, 0},
		{"70", "[[addition]]\nname = \"water\"\namount = \"300 ml\"\n", false, 35. / 65},
	} {
		src := "name = \"B\"\nstarted = 2026-06-06T10:00:00\n[spirit]\nname = \"neutral spirit\"\nabv = " + c.abv +
			"\namount = \"350 ml\"\n[[botanical]]\nname = \"gentian root\"\namount = \"5 g\"\ntarget = 6\n" + c.water
		b := somejar.Parse(t, src)
		a, err := Assess(b, library.Builtin(), Question{Now: b.Started.Add(time.Hour)})
		if err != nil {
			t.Fatal(err)
		}
		if a.ThinnedABV > 0 != c.thinned ||
			math.Abs(a.Sample.JarML-c.share*a.Sample.TotalML) > 0.05*a.Sample.TotalML {
			t.Errorf("%s %%, %q: %+v, thinned to %g", c.abv, c.water, a.Sample, a.ThinnedABV)
		}
	}
}
