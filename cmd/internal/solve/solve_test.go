package solve

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/library"
)

func TestStock(t *testing.T) {
	lib := somejar.Library(t)
	for _, c := range []struct {
		text, name string
		limitG     float64
		abv        float64
	}{
		{"water", "water", 0, 0},
		{"water: 200 ml", "water", 199.6, 0}, // 0.99820 g/ml at 20 °C, OIML R 22
		{"white sugar: 100 g", "white sugar", 100, 0},
		{"simple syrup 1:1", "simple syrup 1:1", 0, 0},
		{"simple syrup 1:1: 100 g", "simple syrup 1:1", 100, 0},
		{"vodka 40 %", "vodka 40 %", 0, 40},
		{"vodka 37.5% vol", "vodka 37.5% vol", 0, 37.5},
		{"rum 126 proof", "rum 126 proof", 0, 63},
		{"moon spirit 60 % vol", "moon spirit 60 % vol", 0, 60},
		// 0.94805 g/ml at 40 % vol and 20 °C, OIML R 22 table.
		{"vodka 40 %: 100 ml", "vodka 40 %", 94.805, 40},
		{"vodka 40 %: 50 g", "vodka 40 %", 50, 40},
	} {
		s, _, err := stockOf(somejar.Parse(t, halfLitre), lib, c.text, nil)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if s.Name != c.name || math.Abs(s.LimitG-c.limitG) > 0.002*c.limitG {
			t.Errorf("%q is %q with at most %g g, want %q, %g", c.text, s.Name, s.LimitG, c.name, c.limitG)
		}
		if got := s.PerG.ABVPercent(); math.Abs(got-c.abv) > 0.01 {
			t.Errorf("%q has %g %% vol, want %g", c.text, got, c.abv)
		}
	}
	for _, text := range []string{"", ":", "%", "proof", "moon dust", "vodka 140 %", "vodka -1 %", "vodka NaN %", "vodka Inf proof",
		"vodka 40 %: 8 oz", "vodka 40 %: lots", "water: 0 ml", "water: -3 ml", "lime juice: 3 oz", "lime juice: 2 smidgeons", "vodka 40 %: 3 fruit"} {
		_, _, err := stockOf(somejar.Parse(t, halfLitre), lib, text, nil)
		var have *HaveError
		if !errors.As(err, &have) {
			t.Errorf("%q: %v, want a fault in what is at hand", text, err)
			continue
		}
		if strings.ContainsAny(have.Problem, "\n") || strings.Contains(have.Problem, "mixture:") {
			t.Errorf("%q: %q is no sentence for people", text, have.Problem)
		}
	}
}

func TestStockNeverPanics(t *testing.T) {
	lib := somejar.Library(t)
	b := somejar.Parse(t, halfLitre)
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`(vodka|water|syrup 2:1)? ?[0-9.,NaInf]{0,4} ?(%|proof|% vol)?(: ?[0-9]{0,3} ?(ml|g|oz)?)?`)).Draw(t, "have")
		s, _, err := stockOf(b, lib, text, nil)
		if err == nil && (math.IsNaN(s.PerG.MassG()) || s.LimitG < 0 || math.IsNaN(s.LimitG) || math.IsInf(s.LimitG, 0)) {
			t.Fatalf("%q: %+v", text, s)
		}
	})
}

// Targets are reached as asked, and what comes of it is what the masses say.
func TestSolveReachesWhatItSays(t *testing.T) {
	lib := somejar.Library(t)
	a := assessed(t, halfLitre)
	rapid.Check(t, func(t *rapid.T) {
		abv, sugar := rapid.Float64Range(5, 38).Draw(t, "abv"), rapid.Float64Range(0, 400).Draw(t, "sugar")
		p, err := For(a, lib, Goal{ABVPercent: &abv, SugarGPerL: &sugar})
		if err != nil {
			t.Fatal(err)
		}
		sum := a.Blend.Result.Parts
		for _, m := range p.Add {
			if !(m.MassG > 0 && m.VolumeML > 0) {
				t.Fatalf("adds %+v", m)
			}
			s, _, err := stockOf(a.Batch, lib, m.Name, a.Recipe.Bases)
			if err != nil {
				t.Fatal(err)
			}
			sum = sum.Plus(s.PerG.Times(m.MassG))
		}
		if d := sum.MassG() - p.Parts.MassG(); math.Abs(d) > 1e-6*sum.MassG() {
			t.Fatalf("the additions come to %g g more than the plan", d)
		}
		switch {
		case p.Reached && (math.Abs(p.Parts.ABVPercent()-abv) > 0.1 || math.Abs(p.Parts.SugarGPerL()-sugar) > 2):
			t.Fatalf("reached %g %% and %g g/L, asked %g and %g", p.Parts.ABVPercent(), p.Parts.SugarGPerL(), abv, sugar)
		case !p.Reached && p.Why == "":
			t.Fatal("not reached, and no word why")
		}
	})
	abv := 60.0
	if p, err := For(a, lib, Goal{ABVPercent: &abv}); err != nil || p.Reached || p.Why == "" {
		t.Errorf("60 %% from a spirit of 40: %+v, %v", p, err)
	}
	empty := assessed(t, started)
	if _, err := For(empty, lib, Goal{ABVPercent: &abv}); err == nil {
		t.Error("an empty batch is brought to 60 %")
	}
}

// TestAtHandIsWhatItIs: what must not be drunk is not offered, and what is added
// brings all that it is.
func TestAtHandIsWhatItIs(t *testing.T) {
	lib := library.Builtin()
	a := assessed(t, started+"[spirit]\nname = \"vodka\"\nabv = 60\namount = \"700 ml\"\n")
	goal := 30.0
	for _, name := range []string{"methanol 90 %", "isopropyl alcohol 70 % vol", "hand sanitizer", "oleander 60 %", "tomato juice 50%"} {
		var have *HaveError
		if _, err := For(a, lib, Goal{ABVPercent: &goal, Have: []string{name}}); !errors.As(err, &have) {
			t.Errorf("%s is taken: %v", name, err)
		}
	}
	for _, name := range []string{"raw egg", "milk"} {
		if p, err := For(a, lib, Goal{ABVPercent: &goal, Have: []string{name}}); err != nil || p.Keeping == "" {
			t.Errorf("%s changes nothing: %v, %v", name, p, err)
		}
	}
}

// TestLessSourBuysNoSugar: a drink is made less sour by less juice that is still to go
// in, or by water where it is in.
func TestLessSourBuysNoSugar(t *testing.T) {
	a := assessed(t, halfLitre+"[[addition]]\nname = \"lime juice\"\namount = \"200 ml\"\n[[addition]]\nname = \"sugar\"\namount = \"300 g\"\n")
	want := 3.0
	p, err := For(a, somejar.Library(t), Goal{AcidGPerL: &want})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Add) != 1 || p.Add[0].Name != "lime juice" || p.Add[0].OfG == 0 || !p.Reached {
		t.Errorf("added %v", p.Add)
	}
	a = assessed(t, halfLitre+"[[addition]]\nname = \"lime juice\"\namount = \"200 ml\"\n[[addition]]\nname = \"sugar\"\namount = \"300 g\"\n[finish]\nbottled = \"10 h\"\n")
	if p, err = For(a, somejar.Library(t), Goal{AcidGPerL: &want}); err != nil || len(p.Add) != 1 || p.Add[0].Name != "water" || !p.Reached {
		t.Errorf("bottled: added %v, %v", p.Add, err)
	}
}

// TestWhatIsToComeMayBeLess: strained or not, what is not in yet is held back before anything is bought,
// in measures that there are.
func TestWhatIsToComeMayBeLess(t *testing.T) {
	const plan = "name = \"T\"\nstarted = 2026-11-20T18:00:00\nunits = \"us\"\n[spirit]\nname = \"vodka 100 proof\"\namount = \"16 fl oz\"\n" +
		"[[botanical]]\nname = \"vanilla\"\namount = \"1 pod\"\n" +
		"[[addition]]\nname = \"water\"\namount = \"1 cup\"\n[[addition]]\nname = \"sugar\"\namount = \"1 cup\"\n"
	sugar, abv := 150.0, 35.0
	for _, log := range []string{"", "[[strained]]\nat = \"2 d\"\n"} {
		for of, goal := range map[string]Goal{"sugar": {SugarGPerL: &sugar}, "water": {ABVPercent: &abv}} {
			p, err := For(assessed(t, plan+log), somejar.Library(t), goal)
			if err != nil || len(p.Less) != 1 || len(p.Add) != 1 || p.Less[0].Name != of || strings.Contains(p.Less[0].Use, "fl oz") {
				t.Errorf("%q, %s: %+v, %v", log, of, p, err)
			}
		}
	}
}

// TestForWhatIsNotBottled: what is to be added is reckoned for what was left over, and for all of it
// where nothing else is left.
func TestForWhatIsNotBottled(t *testing.T) {
	abv := 20.0
	water := func(log string) float64 {
		p, err := For(assessed(t, halfLitre+"[finish]\nbottle = \"100 ml\"\n"+log), somejar.Library(t), Goal{ABVPercent: &abv, Have: []string{"water"}})
		if err != nil || !p.Reached || len(p.Add) != 1 {
			t.Fatalf("%q: %+v, %v", log, p, err)
		}
		return p.Add[0].VolumeML
	}
	bottled := func(n string) string { return "[[bottled]]\nbottles = " + n + "\nat = \"5 h\"\n" }
	all := water("")
	for log, share := range map[string]float64{"[[bottled]]\nat = \"5 h\"\n": 1, bottled("3"): 0.4, bottled("5"): 1,
		bottled("3") + "[[emptied]]\nbottle = 1\nat = \"6 h\"\n": 0.4, bottled("4"): 0.2, bottled("4") + "[[opened]]\nbottle = 2\nat = \"6 h\"\n": 0.2} {
		if got := water(log); math.Abs(got-share*all) > 0.01*all {
			t.Errorf("%q: %.0f ml of water, want %.0f", log, got, share*all)
		}
	}
}

const (
	started   = "name = \"T\"\nstarted = 2026-11-20T18:00:00\n"
	halfLitre = started + "[spirit]\nname = \"vodka\"\nabv = 40\namount = \"500 ml\"\n"
)

func assessed(t testing.TB, src string) *bench.Assessment {
	t.Helper()
	a, err := bench.Assess(somejar.Parse(t, src), somejar.Library(t),
		bench.Question{Now: time.Date(2026, 11, 24, 10, 0, 0, 0, time.UTC)})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// TestWhatTheBatchHas: of nothing said to be at hand, what is stronger is the spirit that was added to
// the batch, not one that would be bought, but no liqueur; and nothing is asked for that no measure tells.
func TestWhatTheBatchHas(t *testing.T) {
	lib := somejar.Library(t)
	wine := started + "[spirit]\nname = \"white wine\"\nabv = 12\namount = \"750 ml\"\n"
	abv, volume := 18.0, 1000.0
	for added, want := range map[string]string{
		`name = "brandy 40 %"`:         "brandy",
		"name = \"brandy\"\nabv = 40":  "brandy",
		`name = "orange liqueur 40 %"`: "vodka",
		`name = "sugar"`:               "vodka",
	} {
		a := assessed(t, wine+"[[addition]]\namount = \"100 ml\"\n"+added+"\n")
		p, err := For(a, lib, Goal{ABVPercent: &abv})
		if err != nil || len(p.Add) != 1 || !strings.HasPrefix(p.Add[0].Name, want) {
			t.Errorf("with %s: %+v, %v", added, p, err)
		}
	}
	a := assessed(t, wine+"[[addition]]\nname = \"brandy 40 %\"\namount = \"100 ml\"\n")
	for ml := 945.0; ml <= 960; ml += 0.5 { // about where the spirit alone makes the volume
		volume = ml
		p, err := For(a, lib, Goal{ABVPercent: &abv, VolumeML: &volume})
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range p.Add {
			if x.VolumeML < 0.001*ml {
				t.Errorf("%g ml: add %.2g ml of %s", ml, x.VolumeML, x.Name)
			}
		}
	}
}
