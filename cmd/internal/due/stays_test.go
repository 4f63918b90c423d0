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

// What goes on steeping in the bottle is right there to a moment, which ends its best as what fades does, and
// nothing that is sound: told of the jar, of what is bottled and in the dates, and gone once it is pulled,
// which takes it out of the bottle. What nobody tasted has none, for nothing is taken out untasted.
func TestWhatStaysInGetsTooStrong(t *testing.T) {
	jar := "name = \"left\"\nstarted = 2026-11-12T18:00:00\nroom = \"20C\"\n[spirit]\nname = \"vodka 50 %\"\n" +
		"amount = \"500 ml\"\n[[botanical]]\nname = \"cinnamon\"\ncut = \"broken\"\namount = \"10 g\"\n" +
		"target = 3\nleave_in = true\n[finish]\nbottle = \"250 ml\"\n"
	tasted := jar + "[[tasting]]\nat = 2026-11-13T18:00:00\nscore = { cinnamon = 3 }\n"
	in := look(t, tasted, at("2026-11-13T18:05"), nil).Assessment
	until := in.Keep.TooStrong.OutBy
	if h := in.Batch.Hours(until); h < 24 || h > 48 || len(in.Keep.TooStrong.Names) != 1 {
		t.Fatalf("too strong from %v on: %+v", until, in.Keep.TooStrong)
	}
	if best, safe := in.KeptIf(false, in.Batch.Started, in.Now, in.Now); !best.Equal(until) || !safe.IsZero() {
		t.Errorf("bottled now it is best to %v, sound to %v", best, safe)
	}
	bottled := tasted + "[[bottled]]\nbottles = 2\nof = \"250 ml\"\nat = 2026-11-13T18:30:00\n"
	g := look(t, bottled, at("2026-11-13T19:00"), nil)
	k := g.Assessment.Keep
	if near := k.Advised.Until.Sub(until).Abs() < time.Hour; !near || !k.Safe.Until.IsZero() || k.Past || !k.TasteFirst() {
		t.Errorf("bottled it is best to %v, sound to %v", k.Advised.Until, k.Safe.Until)
	}
	dates, err := g.Dates()
	if err != nil || !slices.ContainsFunc(dates,
		func(d Date) bool { return d.Kind == AtBest && d.At.Equal(k.Advised.Until) }) {
		t.Errorf("%+v, %v", dates, err)
	}
	if k := look(t, bottled, at("2026-12-13T19:00"), nil).Assessment.Keep; !k.Past || k.SafePast {
		t.Errorf("a month later it is best to %v", k.Advised.Until)
	}
	pulled := bottled + "[[pulled]]\nname = \"cinnamon\"\nat = 2026-11-13T20:00:00\n"
	if k := look(t, pulled, at("2026-12-13T19:00"), nil).Assessment.Keep; !k.TooStrong.OutBy.IsZero() || k.Past {
		t.Errorf("pulled: %+v, best to %v", k.TooStrong, k.Advised.Until)
	}
	if k := look(t, jar, at("2026-11-13T18:05"), nil).Assessment.Keep; !k.TooStrong.OutBy.IsZero() {
		t.Errorf("untasted: %+v", k.TooStrong)
	}
}

// What stays in may be pulled after the rest was strained, and only that takes it out.
func TestWhatStaysInIsPulledAfterStraining(t *testing.T) {
	src := "name = \"left\"\nstarted = 2026-11-12T18:00:00\n[spirit]\nname = \"vodka 50 %\"\namount = \"500 ml\"\n" +
		"[[botanical]]\nname = \"cinnamon\"\namount = \"10 g\"\ntarget = 3\nleave_in = true\n" +
		"[[botanical]]\nname = \"orange peel\"\namount = \"10 g\"\n" +
		"[[strained]]\nat = 2026-11-13T18:00:00\n" +
		"[[pulled]]\nname = \"cinnamon\"\nat = 2026-11-14T18:00:00\n"
	a := look(t, src, at("2026-11-15T18:05"), nil).Assessment
	if err := a.Steep(); err != nil {
		t.Fatal(err)
	}
	if out := a.Curve("cinnamon").OutH; out == nil || *out != 48 {
		t.Errorf("out after %v", out)
	}
	if log := a.Batch.Log(); log[0].Text != "everything but the cinnamon" {
		t.Errorf("%+v", log)
	}
}
