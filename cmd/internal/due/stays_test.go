package due

import (
	"slices"
	"testing"
	"time"

	"steepbook/cmd/internal/keeping"
)

// What stays in the bottle and may lie in it for some days alone has a last day like any other, of which
// that on which it went in is the first, in the dates too; nothing was strained. Past it, it is said how long
// it lay in it, and once it is out in time nothing is.
func TestWhatStaysInHasALastDay(t *testing.T) {
	src := "name = \"ch\"\nstarted = 2026-07-01T10:00:00\n[spirit]\nname = \"fruit spirit 50 %\"\namount = \"700 ml\"\n" +
		"[[botanical]]\nname = \"sour cherry\"\ncut = \"whole with stone\"\namount = \"300 g\"\n" +
		"[finish]\nbottle = \"500 ml\"\nleave_in = true\n" +
		"[[bottled]]\nat = 2026-07-08T11:00:00\n"
	last := keeping.Evening(at("2026-09-28T00:00"))
	g := look(t, src, at("2026-07-09T10:00"), nil)
	k := g.Assessment.Keep
	if !k.Safe.Until.Equal(last) || !k.OutBy.Equal(last) || k.Advised.Until.After(last) {
		t.Errorf("safe to %v, out by %v, advised to %v", k.Safe.Until, k.OutBy, k.Advised.Until)
	}
	dates, err := g.Dates()
	if err != nil {
		t.Fatal(err)
	}
	has := func(kind Kind) bool {
		return slices.ContainsFunc(dates, func(d Date) bool { return d.Kind == kind })
	}
	if !has(Use) || has(Strain) {
		t.Errorf("%+v", dates)
	}
	on := look(t, src, at("2026-09-28T23:00"), nil)
	if k := on.Assessment.Keep; k.OutBy.IsZero() || len(k.Lain()) > 0 {
		t.Errorf("on its last day: %v %v", k.OutBy, k.Lain())
	}
	past := look(t, src, at("2026-09-29T01:00"), nil)
	if k := past.Assessment.Keep; !k.OutBy.IsZero() || len(k.Lain()) != 1 {
		t.Errorf("past its last day: %v %v", k.OutBy, k.Lain())
	}
	out := look(t, src+"[[pulled]]\nname = \"sour cherry\"\nat = 2026-08-01T10:00:00\n", at("2026-10-09T10:00"), nil)
	if k := out.Assessment.Keep; !k.OutBy.IsZero() || len(k.Lain()) > 0 || !k.Safe.Until.IsZero() {
		t.Errorf("out in time: %v %v %v", k.OutBy, k.Lain(), k.Safe.Until)
	}
}

// Before it is bottled the last day of what stays in is no day of the drink, whose days are those of the dates.
func TestWhatStaysInDatesNoJar(t *testing.T) {
	src := "name = \"ch\"\nstarted = 2026-07-01T10:00:00\n[spirit]\nname = \"vodka 40 %\"\namount = \"700 ml\"\n" +
		"[[botanical]]\nname = \"sour cherry\"\ncut = \"whole with stone\"\namount = \"400 g\"\nleave_in = true\n"
	g := look(t, src, at("2026-07-22T10:00"), nil)
	if k := g.Assessment.Keep; k.OutBy.IsZero() || !k.Safe.Until.IsZero() || !k.Advised.Until.IsZero() {
		t.Errorf("out by %v, safe to %v, advised to %v", k.OutBy, k.Safe.Until, k.Advised.Until)
	}
	bottled := look(t, src+"[[bottled]]\nat = \"21 d\"\n", at("2026-07-22T11:00"), nil).Assessment.Keep
	dates, err := g.Dates()
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range dates {
		if want := bottled.Safe.Until; d.Kind == Use && d.At.Format(time.DateOnly) != want.Format(time.DateOnly) {
			t.Errorf("use by %v before, %v bottled", d.At, want)
		}
	}
}

// A jar has the same last day, and nothing is late in it before that by this.
func TestJarHasTheSameLastDay(t *testing.T) {
	src := "name = \"s\"\nstarted = 2026-05-26T10:00:00\n[spirit]\nname = \"gin 40 %\"\namount = \"500 ml\"\n" +
		"[[botanical]]\nname = \"sloe\"\namount = \"250 g\"\ntarget = 6\n"
	g := look(t, src, at("2026-08-25T10:00"), nil)
	end := g.Assessment.Batch.At(g.Assessment.JarEnd().H)
	if end.Format("2 Jan") != "23 Aug" || !g.Due.Overdue || g.Due.Late(at("2026-08-25T10:00")) > 36*time.Hour {
		t.Errorf("%v: %+v", end, g.Due)
	}
}
