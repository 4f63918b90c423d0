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
	if !k.Safe.Until.Equal(last) || !k.OutBy().Equal(last) || k.Advised.Until.After(last) {
		t.Errorf("safe to %v, out by %v, advised to %v", k.Safe.Until, k.OutBy(), k.Advised.Until)
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
	if k := on.Assessment.Keep; k.OutBy().IsZero() || len(k.Lain()) > 0 {
		t.Errorf("on its last day: %v %v", k.OutBy(), k.Lain())
	}
	past := look(t, src, at("2026-09-29T01:00"), nil)
	if k := past.Assessment.Keep; !k.OutBy().IsZero() || len(k.Lain()) != 1 {
		t.Errorf("past its last day: %v %v", k.OutBy(), k.Lain())
	}
	out := look(t, src+"[[pulled]]\nname = \"sour cherry\"\nat = 2026-08-01T10:00:00\n", at("2026-10-09T10:00"), nil)
	if k := out.Assessment.Keep; !k.OutBy().IsZero() || len(k.Lain()) > 0 || !k.Safe.Until.IsZero() {
		t.Errorf("out in time: %v %v %v", k.OutBy(), k.Lain(), k.Safe.Until)
	}
}

// What lies in the drink with its stones is one list: own names, what was added once all was strained, and what
// was pulled; what was measured while it lies in speaks for that time alone.
func TestWhatLiesInIsOneList(t *testing.T) {
	const begun = "name = \"ch\"\nstarted = 2026-07-01T10:00:00\n[spirit]\nname = \"vodka 50 %\"\namount = \"700 ml\"\n"
	const fruit = "[[botanical]]\nname = \"sour cherry\"\ncut = \"whole with stone\"\namount = \"200 g\"\n"
	const own = "[[botanical]]\nname = \"garnish\"\nlike = \"sour cherry\"\ncut = \"whole with stone\"\namount = \"60 g\"\n"
	const stays, filled = "leave_in = true\n", "[[bottled]]\nat = \"31 d\"\n"
	strained := func(days string) string { return "[[strained]]\nat = \"" + days + " d\"\n" }
	pulled := func(name, days string) string {
		return "[[pulled]]\nname = \"" + name + "\"\nat = \"" + days + " d\"\n"
	}
	added := func(name, days string) string {
		return "[[added]]\nname = \"" + name + "\"\namount = \"60 g\"\nat = \"" + days + " d\"\n"
	}
	for _, c := range []struct {
		name, src string
		in, lain  bool // after 80 days, and after 130
	}{
		{"own name that stays", begun + fruit + own + stays + strained("30") + filled, true, true},
		{"own name in a jar", begun + fruit + own + pulled("sour cherry", "30") + strained("120"), false, true},
		{"both out in time", begun + fruit + own + strained("30") + filled, false, false},
		{"fruit put back", begun + fruit + strained("30") + added("sour cherry", "30.1") + filled, true, true},
		{"fruit put back and pulled", begun + fruit + strained("30") + added("sour cherry", "30.1") + filled +
			pulled("sour cherry", "50"), false, false},
		{"put back once more", begun + fruit + strained("30") + added("sour cherry", "30.1") + filled +
			pulled("sour cherry", "35") + added("sour cherry", "36"), true, true},
		{"fruit put back and strained", begun + fruit + strained("30") + added("sour cherry", "30.1") + strained("40"), false, false},
		{"into the jar", begun + own + added("sour cherry", "5") + pulled("garnish", "30") + strained("30"), false, false},
		{"its juice", begun + fruit + strained("30") + "[[added]]\nname = \"sour cherry juice\"\namount = \"60 ml\"\nat = \"30.1 d\"\n" +
			filled, false, false},
		{"pitted", begun + fruit + strained("30") + added("pitted sour cherries", "30.1") + filled, false, false},
		{"stays, and pulled in time", begun + fruit + stays + filled + pulled("sour cherry", "60"), false, false},
		{"stays, and pulled too late", begun + fruit + stays + filled + pulled("sour cherry", "120"), true, true},
		{"measured while it is in", begun + fruit + stays + filled + "[measured]\nhydrogen_cyanide = 0.4\n", true, true},
		{"measured once it is out", begun + fruit + stays + filled + pulled("sour cherry", "120") +
			"[measured]\nhydrogen_cyanide = 0.4\n", true, false},
	} {
		k := look(t, c.src, at("2026-09-19T10:00"), nil).Assessment.Keep
		if in := !k.OutBy().IsZero(); in != c.in {
			t.Errorf("%s: lies in it after 80 days: %v", c.name, in)
		}
		k = look(t, c.src, at("2026-11-08T10:00"), nil).Assessment.Keep
		if lain := len(k.Lain()) > 0; lain != c.lain {
			t.Errorf("%s: lay in it too long: %v", c.name, lain)
		}
	}
}

// What lies in one bottle is told, whichever bottle ends first.
func TestWhatLiesInOneBottleIsTold(t *testing.T) {
	src := "name = \"p\"\nstarted = 2026-07-01T10:00:00\n[spirit]\nname = \"vodka 50 %\"\namount = \"700 ml\"\n" +
		"[[botanical]]\nname = \"orange zest\"\namount = \"20 g\"\n[[strained]]\nat = \"10 d\"\n" +
		"[[bottled]]\nbottles = 2\nof = \"300 ml\"\nat = \"10 d\"\n" +
		"[[opened]]\nbottle = 1\nat = \"11 d\"\n[[opened]]\nbottle = 2\nat = \"11 d\"\n" +
		"[[added]]\nname = \"sloe\"\namount = \"20 g\"\ninto = \"280 ml\"\nbottle = 2\nat = \"12 d\"\n" +
		"[[added]]\nname = \"cream\"\namount = \"100 ml\"\ninto = \"180 ml\"\nbottle = 1\nat = \"12 d\"\n"
	k := look(t, src, at("2026-07-13T12:00"), nil).Assessment.Keep
	if last := keeping.Evening(at("2026-10-10T00:00")); len(k.Open) != 2 || k.Open[0].Number != 1 || !k.OutBy().Equal(last) {
		t.Errorf("of %d bottles, out by %v", len(k.Open), k.OutBy())
	}
}

// A reading over the limit of a drink (25 mg/L, 21 CFR 172.510) holds while more may come.
func TestAReadingIsTheLeastThereIs(t *testing.T) {
	src := "name = \"ch\"\nstarted = 2026-07-01T10:00:00\n[spirit]\nname = \"vodka 50 %\"\namount = \"700 ml\"\n" +
		"[[botanical]]\nname = \"sour cherry\"\ncut = \"whole with stone\"\namount = \"200 g\"\nleave_in = true\n" +
		"[[bottled]]\nat = \"31 d\"\n[measured]\nhydrogen_cyanide = 26\n"
	for _, day := range []string{"2026-08-10T10:00", "2026-11-08T10:00"} {
		if k := look(t, src, at(day), nil).Assessment.Keep; k.Stop != keeping.TooMuch {
			t.Errorf("%s: %q", day, k.Stop)
		}
	}
}

// Before it is bottled the last day of what stays in is no day of the drink, whose days are those of the dates.
func TestWhatStaysInDatesNoJar(t *testing.T) {
	src := "name = \"ch\"\nstarted = 2026-07-01T10:00:00\n[spirit]\nname = \"vodka 40 %\"\namount = \"700 ml\"\n" +
		"[[botanical]]\nname = \"sour cherry\"\ncut = \"whole with stone\"\namount = \"400 g\"\nleave_in = true\n"
	g := look(t, src, at("2026-07-22T10:00"), nil)
	if k := g.Assessment.Keep; k.OutBy().IsZero() || !k.Safe.Until.IsZero() || !k.Advised.Until.IsZero() {
		t.Errorf("out by %v, safe to %v, advised to %v", k.OutBy(), k.Safe.Until, k.Advised.Until)
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

// What goes on steeping in the bottle is right there to a moment, which ends its best as what fades does, and
// nothing that is sound: told of the jar, of what is bottled and in the dates, and gone once it is pulled,
// which takes it out of the bottle. What nobody tasted has none, for nothing is taken out untasted.
func TestWhatStaysInGetsTooStrong(t *testing.T) {
	jar := "name = \"left\"\nstarted = 2026-11-12T18:00:00\nroom = \"20C\"\n[spirit]\nname = \"vodka 50 %\"\n" +
		"amount = \"500 ml\"\n[[botanical]]\nname = \"cinnamon\"\ncut = \"broken\"\namount = \"10 g\"\n" +
		"target = 3\nleave_in = true\n[finish]\nbottle = \"250 ml\"\n"
	tasted := jar + "[[tasting]]\nat = 2026-11-13T18:00:00\nscore = { cinnamon = 3 }\n"
	in := look(t, tasted, at("2026-11-13T18:05"), nil).Assessment
	until := in.Keep.TooStrong.OutBy()
	if h := in.Batch.Hours(until); h < 24 || h > 48 || len(in.Keep.TooStrong.Outs) != 1 {
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
	if d := g.Due; d.Kind != TakeOut || !d.At.Equal(k.Advised.Until) || !d.Dated() || !slices.Equal(d.What, k.TooStrong.Outs[0].Names) {
		t.Errorf("to do: %+v", d)
	}
	dates, err := g.Dates()
	for _, kind := range []Kind{AtBest, TakeOut} {
		if err != nil || !slices.ContainsFunc(dates,
			func(d Date) bool { return d.Kind == kind && d.At.Equal(k.Advised.Until) }) {
			t.Errorf("%s: %+v, %v", kind, dates, err)
		}
	}
	late := look(t, bottled, at("2026-12-13T19:00"), nil)
	if k, d := late.Assessment.Keep, late.Due; !k.Past || k.SafePast || d.Kind != TakeOut || d.Dated() || !late.MustAct() {
		t.Errorf("a month later it is best to %v, to do: %+v", k.Advised.Until, d)
	}
	pulled := bottled + "[[pulled]]\nname = \"cinnamon\"\nat = 2026-11-13T20:00:00\n"
	if k := look(t, pulled, at("2026-12-13T19:00"), nil).Assessment.Keep; !k.TooStrong.OutBy().IsZero() || k.Past {
		t.Errorf("pulled: %+v, best to %v", k.TooStrong, k.Advised.Until)
	}
	if k := look(t, jar, at("2026-11-13T18:05"), nil).Assessment.Keep; !k.TooStrong.OutBy().IsZero() {
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

// A jar that holds nothing back has its last day where all stays in, too: it is bottled by then, and the dates say so.
func TestJarOfWhatStaysHasItsLastDay(t *testing.T) {
	src := "name = \"s\"\nstarted = 2026-10-01T18:00:00\nroom = \"20 C\"\n[spirit]\nname = \"rum\"\nabv = 20\namount = \"500 ml\"\n" +
		"[[botanical]]\nname = \"strawberry\"\namount = \"100 g\"\nleave_in = true\n"
	g := look(t, src, at("2026-10-08T18:00"), nil)
	end := g.Assessment.Batch.At(g.Assessment.JarEnd().H)
	if d := g.Due; d.Kind != Bottle || !d.By || !d.At.Equal(end) || end.Before(at("2026-10-09T00:00")) {
		t.Errorf("it may stand to %v: %+v", end, d)
	}
	dates, err := g.Dates()
	if err != nil || !slices.ContainsFunc(dates, func(d Date) bool { return d.Kind == StrainBy && d.At.Equal(end) }) {
		t.Errorf("%v: %+v, %v", end, dates, err)
	}
}
