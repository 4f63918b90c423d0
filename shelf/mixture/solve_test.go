package mixture

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func ptr(x float64) *float64 { return &x }

// shelfStock is what a kitchen has.
func shelfStock(t testing.TB) []Stock {
	return []Stock{
		{Name: "water", PerG: Parts{Water: 1}},
		{Name: "spirit 40 %", PerG: drink(t, 40, 0).PerG()},
		{Name: "spirit 95 %", PerG: drink(t, 95, 0).PerG()},
		{Name: "sugar", PerG: Parts{Sucrose: 1}},
		{Name: "2:1 syrup", PerG: Parts{Sucrose: 2, Water: 1}.PerG()},
		{Name: "lemon juice", PerG: mustTitrate(Parts{Water: 91, Glucose: 1, Fructose: 1, Sucrose: 0.5, Citric: 4.8, OtherSolids: 1}, 2.3, 49).PerG()},
		{Name: "citric acid", PerG: Parts{Citric: 1}},
	}
}

func only(have []Stock, names ...string) []Stock {
	var out []Stock
	for _, s := range have {
		for _, n := range names {
			if s.Name == n {
				out = append(out, s)
			}
		}
	}
	return out
}

func added(p Correction) string {
	var names []string
	for _, a := range p.Add {
		names = append(names, a.Name)
	}
	return strings.Join(names, ", ")
}

func solved(t testing.TB, start Parts, have []Stock, g Goal) Correction {
	t.Helper()
	p, err := Solve(start, have, g)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestSolveWater: the water to thin spirit is what the dilution tables print:
// Gay-Lussac's table at 15 °C has 130.8 mL for 100 mL from 90 to 40 % vol and
// 95.9 for 95 to 50, strengths at 15 °C; at 20 °C both move by less than 0.3.
func TestSolveWater(t *testing.T) {
	for _, c := range []struct{ from, to, water float64 }{{90, 40, 130.8}, {95, 50, 95.9}} {
		p := solved(t, drink(t, c.from, 0).Times(0.1), shelfStock(t), Goal{ABVPercent: &c.to})
		if !p.Reached || added(p) != "water" {
			t.Fatalf("%+v", p)
		}
		near(t, "water", p.Add[0].VolumeML, c.water, 0.4)
		near(t, "strength", p.Parts.ABVPercent(), c.to, 1e-6)
	}
}

// TestSolveSyrupedInfusion: strength times volume stays what it is (common
// practice, no source): 96 % down to 30 makes 3.2 times the volume, whatever
// it is thinned with.
func TestSolveSyrupedInfusion(t *testing.T) {
	p := solved(t, drink(t, 96, 0), []Stock{{Name: "1:1 syrup", PerG: Parts{Sucrose: 0.5, Water: 0.5}}}, Goal{ABVPercent: ptr(30)})
	if !p.Reached {
		t.Fatal(p.Why)
	}
	near(t, "volume", p.Parts.VolumeML(20), 3200, 0.01)
}

func TestSolve(t *testing.T) {
	have := shelfStock(t)
	jar := drink(t, 50, 30)
	sour, err := FromVolume(1000, 30, Parts{Sucrose: 100, Citric: 12})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name  string
		start Parts
		have  []Stock
		goal  Goal
		add   string
		why   string // "" : reached
	}{
		{"weaker only", jar, have, Goal{ABVPercent: ptr(30)}, "water", ""},
		{"weaker, as sweet", jar, have, Goal{ABVPercent: ptr(30), SugarGPerL: ptr(30)}, "water, sugar", ""},
		{"weaker and sweet", jar, have, Goal{ABVPercent: ptr(25), SugarGPerL: ptr(250)}, "water, sugar", ""},
		{"weaker and sweet from syrup", jar, only(have, "water", "2:1 syrup"), Goal{ABVPercent: ptr(25), SugarGPerL: ptr(250)}, "water, 2:1 syrup", ""},
		{"stronger", drink(t, 20, 100), have, Goal{ABVPercent: ptr(30)}, "spirit 95 %", ""},
		{"all four", jar, have, Goal{ABVPercent: ptr(24), SugarGPerL: ptr(200), AcidGPerL: ptr(6), VolumeML: ptr(2300)}, "water, spirit 95 %, sugar, citric acid", ""},
		{"less sour", sour, have, Goal{AcidGPerL: ptr(6)}, "water", ""},
		{"nothing to do", jar, have, Goal{ABVPercent: ptr(50), SugarGPerL: ptr(30)}, "", ""},
		{"from nothing", Parts{}, only(have, "water", "spirit 40 %", "sugar"), Goal{ABVPercent: ptr(20), SugarGPerL: ptr(200), AcidGPerL: nil, VolumeML: ptr(1000)}, "water, spirit 40 %, sugar", ""},
		{"too strong to ask", jar, only(have, "water", "spirit 40 %"), Goal{ABVPercent: ptr(60)}, "", "60.0 % vol is out of reach, since nothing at hand makes it stronger than 50.0 % vol"},
		{"too sweet already", drink(t, 20, 400), only(have, "sugar", "2:1 syrup"), Goal{SugarGPerL: ptr(100)}, "", "100 g/l is out of reach, since nothing at hand makes it less sweet than 400 g/l"},
		{"not enough spirit", drink(t, 20, 100), []Stock{{Name: "brandy", PerG: drink(t, 60, 0).PerG(), LimitG: 50}}, Goal{ABVPercent: ptr(30)}, "brandy", "There is not enough brandy for 30.0 % vol"},
		{"volume too small", jar, have, Goal{ABVPercent: ptr(25), VolumeML: ptr(800)}, "", "800~ml is too little"},
		{"pulling apart", drink(t, 20, 0), only(have, "2:1 syrup"), Goal{ABVPercent: ptr(19), SugarGPerL: ptr(300)}, "2:1 syrup", "does not go with"},
	} {
		p := solved(t, c.start, c.have, c.goal)
		if added(p) != c.add && c.name != "pulling apart" && c.name != "volume too small" {
			t.Errorf("%s: adds %q, want %q", c.name, added(p), c.add)
		}
		if p.Reached != (c.why == "") || !strings.Contains(p.Why, c.why) {
			t.Errorf("%s: reached %v, why %q, want %q", c.name, p.Reached, p.Why, c.why)
		}
		if p.Why != "" {
			t.Logf("%s: %s (adds %s)", c.name, p.Why, added(p))
		}
		if p.Reached {
			check := func(what string, want *float64, got, tol float64) {
				if want != nil {
					near(t, c.name+" "+what, got, *want, tol)
				}
			}
			check("strength", c.goal.ABVPercent, p.Parts.ABVPercent(), 0.001)
			check("sugar", c.goal.SugarGPerL, p.Parts.SugarGPerL(), 0.01)
			check("acid", c.goal.AcidGPerL, p.Parts.AcidGPerL(), 0.001)
			check("volume", c.goal.VolumeML, p.Parts.VolumeML(20), 0.05)
		}
	}
	for _, g := range []Goal{{}, {ABVPercent: ptr(120)}, {SugarGPerL: ptr(-1)}, {VolumeML: ptr(0)}, {AcidGPerL: ptr(math.NaN())}} {
		var in *InputError
		if _, err := Solve(jar, have, g); !errors.As(err, &in) {
			t.Errorf("%+v: %v", g, err)
		}
	}
	if _, err := Solve(Parts{}, have, Goal{ABVPercent: ptr(20)}); err == nil {
		t.Error("nothing from nothing")
	}
	if _, err := Solve(jar, []Stock{{Name: "x", PerG: Parts{Water: -1}}}, Goal{ABVPercent: ptr(20)}); err == nil {
		t.Error("negative stock")
	}
	if p := solved(t, jar, nil, Goal{ABVPercent: ptr(20)}); p.Reached || p.Why == "" {
		t.Errorf("nothing at hand: %+v", p)
	}
}

// TestSolveReachable: a goal that some pouring of the stock gives is reached,
// within 0.1 % vol and 2 g/L by far, with no more volume than that pouring. Where
// it is not known to be reachable, the answer is no worse than adding nothing.
func TestSolveReachable(t *testing.T) {
	have := shelfStock(t)
	rapid.Check(t, func(t *rapid.T) {
		g := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		start, ok := fill(1000, g("abv", 0, 70), Parts{Sucrose: g("sugar", 0, 150), Citric: g("acid", 0, 10)}, 0)
		if !ok {
			t.Skip("no room")
		}
		made := start
		for _, s := range have {
			m := g(s.Name, 0, 400)
			if s.Name == "citric acid" {
				m /= 40
			}
			made = made.Plus(s.PerG.Times(m))
		}
		goal := Goal{}
		if rapid.Bool().Draw(t, "want abv") {
			goal.ABVPercent = ptr(made.ABVPercent())
		}
		if rapid.Bool().Draw(t, "want sugar") {
			goal.SugarGPerL = ptr(made.SugarGPerL())
		}
		if rapid.Bool().Draw(t, "want acid") {
			goal.AcidGPerL = ptr(made.AcidGPerL())
		}
		if rapid.Bool().Draw(t, "want volume") || goal == (Goal{}) {
			goal.VolumeML = ptr(made.VolumeML(20))
		}
		p, err := Solve(start, have, goal)
		if err != nil {
			t.Fatal(err)
		}
		if !p.Reached {
			t.Fatalf("not reached: %s", p.Why)
		}
		if got, do := p.Parts.VolumeML(20), made.VolumeML(20); got > do*1.002+0.1 {
			t.Fatalf("makes %v ml where %v ml do", got, do)
		}
		poured := start
		for _, a := range p.Add {
			for _, s := range have {
				if s.Name == a.Name {
					poured = poured.Plus(s.PerG.Times(a.MassG))
				}
			}
		}
		if d := math.Abs(poured.ABVPercent() - p.Parts.ABVPercent()); d > 0.001 {
			t.Fatalf("the list and the result differ by %v %% vol", d)
		}
	})
}

func TestSolveNearest(t *testing.T) {
	have := only(shelfStock(t), "water", "spirit 40 %", "2:1 syrup")
	rapid.Check(t, func(t *rapid.T) {
		g := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		start, ok := fill(1000, g("abv", 0, 60), Parts{Sucrose: g("sugar", 0, 300)}, 0)
		if !ok {
			t.Skip("no room")
		}
		goal := Goal{ABVPercent: ptr(g("to abv", 0, 100)), SugarGPerL: ptr(g("to sugar", 0, 600)), VolumeML: ptr(g("to volume", 200, 3000))}
		p, err := Solve(start, have, goal)
		if err != nil {
			t.Fatal(err)
		}
		ts, err := goal.targets()
		if err != nil {
			t.Fatal(err)
		}
		if miss(p.Parts, ts) > miss(start, ts)+1e-6 {
			t.Fatalf("worse than nothing: %v, was %v", miss(p.Parts, ts), miss(start, ts))
		}
		if p.Reached == (p.Why != "") {
			t.Fatalf("%v, %q", p.Reached, p.Why)
		}
	})
}

func BenchmarkSolve(b *testing.B) {
	have, jar := shelfStock(b), drink(b, 50, 30)
	for b.Loop() {
		if _, err := Solve(jar, have, Goal{ABVPercent: ptr(24), SugarGPerL: ptr(200), AcidGPerL: ptr(6), VolumeML: ptr(2300)}); err != nil {
			b.Fatal(err)
		}
	}
}

// TestNearestIsNearest: where a goal is out of reach, no pouring of what is at hand
// that makes no more than is allowed comes nearer. The search knows nothing of the
// solver: pourings at random, then ever smaller steps from the best of them.
func TestNearestIsNearest(t *testing.T) {
	have := only(shelfStock(t), "water", "spirit 40 %", "2:1 syrup", "citric acid")
	for i := range have {
		have[i].LimitG = []float64{300, 0, 250, 4}[i]
	}
	rnd := rand.New(rand.NewPCG(1, 2))
	unreached := 0
	for range 40 {
		u := func(lo, hi float64) float64 { return lo + (hi-lo)*rnd.Float64() }
		start, ok := fill(1000, u(0, 60), Parts{Sucrose: u(0, 300), Citric: u(0, 10)}, 0)
		if !ok {
			continue
		}
		stock := append(slices.Clone(have), Stock{Name: "syrup that is still to go in", PerG: Parts{Sucrose: 0.6, Citric: 0.01, Water: 0.39}, LimitG: u(0, math.Min(start.Sucrose, 100*start.Citric)), Out: true})
		goal := Goal{ABVPercent: ptr(u(0, 70)), SugarGPerL: ptr(u(0, 500))}
		if rnd.IntN(2) == 0 {
			goal.AcidGPerL = ptr(u(0, 20))
		}
		if rnd.IntN(2) == 0 {
			goal.VolumeML = ptr(u(500, 3000))
		}
		p, err := Solve(start, stock, goal)
		if err != nil {
			t.Fatal(err)
		}
		if p.Reached {
			continue
		}
		unreached++
		ts, _ := goal.targets()
		most := mostVolumes * start.VolumeML(20)
		if goal.VolumeML != nil {
			most = math.Max(most, *goal.VolumeML)
		}
		limit := func(j int) float64 {
			if stock[j].LimitG > 0 {
				return stock[j].LimitG
			}
			return 4000
		}
		best, grams := math.Inf(1), make([]float64, len(stock))
		try := func(g []float64) {
			mix := pour(start, stock, g)
			if v := mix.VolumeML(20); v > 0 && v <= most && mix.Water >= 0 && mix.Sucrose >= 0 && mix.Citric >= 0 {
				if m := miss(mix, ts); m < best {
					best, grams = m, slices.Clone(g)
				}
			}
		}
		try(grams)
		for step := range 6000 {
			g := slices.Clone(grams)
			for j := range g {
				if step < 1000 {
					g[j] = u(0, limit(j)) * float64(rnd.IntN(2))
				} else if rnd.IntN(2) == 0 {
					g[j] = clamp(g[j]+u(-1, 1)*limit(j)*math.Pow(0.5, float64(step)/500), 0, limit(j))
				}
			}
			try(g)
		}
		if got := miss(p.Parts, ts); got > best+0.02 {
			t.Errorf("start %.1f %% vol, %.0f g/l, %.1f g/l; wanted %s: misses by %.3f with %v, and %.3f can be had with %.0f", start.ABVPercent(), start.SugarGPerL(), start.AcidGPerL(), goalText(goal), got, p.Add, best, grams)
		}
	}
	if unreached < 12 {
		t.Fatalf("only %d goals were out of reach", unreached)
	}
}

func goalText(g Goal) string {
	s := ""
	for _, p := range []*float64{g.ABVPercent, g.SugarGPerL, g.AcidGPerL, g.VolumeML} {
		if p == nil {
			s += " any"
		} else {
			s += fmt.Sprintf(" %.1f", *p)
		}
	}
	return s
}

// TestSolveLess: what has not gone in yet may be left out. By hand: 1000 ml of 30 %
// vol with 300 g of sugar still to go in; for 200 g/l some 110 g stay out.
func TestSolveLess(t *testing.T) {
	dry, _ := fill(1000, 30, Parts{}, 0)
	start := dry.Plus(Parts{Sucrose: 300})
	p, err := Solve(start, []Stock{{Name: "white sugar", PerG: Parts{Sucrose: 1}, LimitG: 300, Out: true}}, Goal{SugarGPerL: ptr(200)})
	if err != nil || !p.Reached || len(p.Add) != 1 {
		t.Fatalf("%+v, %v", p, err)
	}
	// g of sugar x in 1000 + 0.62 x ml at 200 g/l: x = 200/(1 - 0.124) = 228.
	if left := p.Add[0].OfG - p.Add[0].MassG; math.Abs(left-228) > 2 || math.Abs(p.Parts.SugarGPerL()-200) > 0.2 {
		t.Errorf("%.1f g of sugar stay in: %.1f g/l", left, p.Parts.SugarGPerL())
	}
}

// TestNobodysWay: what takes a bath tub is not told as the way to it, and no sentence says that nothing
// gets weaker than what was asked for.
func TestNobodysWay(t *testing.T) {
	start := mustFill(t, 1000, 40)
	strong := Stock{Name: "neutral spirit", PerG: mustFill(t, 1000, 96).PerG()}
	water := Stock{Name: "water", PerG: Parts{Water: 1}}
	for want, s := range map[float64]Stock{95.9: strong, 96: strong, 0.1: water, 0: water} {
		p, err := Solve(start, []Stock{s}, Goal{ABVPercent: &want, Within: 50})
		if err != nil || p.Reached || p.Parts.VolumeML(20) > 2.1*start.VolumeML(20) || !strings.Contains(p.Why, "times the volume") {
			t.Errorf("%g %% vol: %v, %.0f ml: %q", want, err, p.Parts.VolumeML(20), p.Why)
		}
	}
	for want, s := range map[float64]Stock{95: strong, 1: water} {
		if p, err := Solve(start, []Stock{s}, Goal{ABVPercent: &want, Within: 50}); err != nil || !p.Reached {
			t.Errorf("%g %% vol: %v %q", want, err, p.Why)
		}
	}
}

func mustFill(t *testing.T, ml, abv float64) Parts {
	t.Helper()
	p, err := FromVolume(ml, abv, Parts{})
	if err != nil {
		t.Fatal(err)
	}
	return p
}
