package bench

import (
	"strings"
	"testing"

	"steepbook/cmd/internal/somejar"
	"steepbook/data/library"
)

// TestSittingNamesWhatNumbs: what is to be tasted last is named, and is tasted now. The jars are
// somejar's; the order of tasting is that of kinetics/panel.
func TestSittingNamesWhatNumbs(t *testing.T) {
	const before, behind = "Taste the ", " last, to numb no other taste."
	said := 0
	for number := range uint64(150) {
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
