package kinetics

import (
	"math"
	"testing"
)

func TestPlans(t *testing.T) {
	quick, slow := must(t, usual(1), nil), must(t, usual(0.02), nil)
	steeps := []Steep{{"quick", quick.Pull(Aim{})}, {"slow", slow.Pull(Aim{})}}
	p := Staggered(steeps)
	if len(p.Stays) != 2 || p.Stays[0].Name != "slow" || p.Stays[0].InH != 0 || len(p.Warnings) != 0 {
		t.Fatalf("%+v", p)
	}
	if math.Abs(p.TotalH-math.Log(5)/0.02) > 1e-3*p.TotalH || math.Abs(p.Stays[1].InH-(p.TotalH-math.Log(5))) > 1e-2 {
		t.Errorf("%+v", p)
	}
	for _, s := range p.Stays {
		if math.Abs(s.OutH-s.InH-s.Window.Best) > 1e-9 {
			t.Errorf("%+v", s)
		}
	}
	q := FromStart(steeps)
	if q.Stays[0].Name != "quick" || q.Stays[1].OutH != q.TotalH {
		t.Errorf("%+v", q)
	}
	if e := Staggered(nil); e.TotalH != 0 || e.Stays != nil {
		t.Errorf("%+v", e)
	}
}

func TestDoseFor(t *testing.T) {
	// A jar known well: plateau 4 ± 0.1. Strength goes with dose^0.5 exactly, so
	// for 8 the dose must be four times.
	p := must(t, Prior{LogRate: Normal{0, 0.1}, Plateau: Normal{4, 0.1}}, nil)
	d := p.DoseFor(8, math.Inf(1), Normal{0.5, 0})
	if math.Abs(d.Factor-4) > 1e-3 || len(d.Warnings) != 1 {
		t.Errorf("%+v", d)
	}
	// ±1.645·0.1/4 of the strength, doubled by the exponent.
	if want := 4 * math.Exp(2*1.6449*0.025); math.Abs(d.High/want-1) > 5e-3 {
		t.Errorf("high %g, want about %g", d.High, want)
	}
	wide := p.DoseFor(8, math.Inf(1), Normal{0.5, 0.1})
	if wide.High < d.High || wide.Low > d.Low {
		t.Errorf("an uncertain exponent narrowed it: %+v, %+v", wide, d)
	}
	if g, lo, hi := d.Grams(10); math.Abs(g-10*d.Factor) > 1e-12 || lo > g || hi < g {
		t.Errorf("%g, %g, %g", g, lo, hi)
	}
	// What is there already needs no change.
	if s := p.DoseFor(4, math.Inf(1), Normal{0.5, 0.1}); math.Abs(s.Factor-1) > 1e-3 {
		t.Errorf("%+v", s)
	}
	if z := p.DoseFor(0, 5, Normal{0.5, 0.1}); z.Factor != 0 {
		t.Errorf("%+v", z)
	}
}

func TestRescue(t *testing.T) {
	p := must(t, Prior{LogRate: Normal{0, 0.1}, Plateau: Normal{8, 0.05}}, nil)
	// Score 8 to 4 at an exponent of 0.5: a quarter of the concentration, so
	// three volumes of spirit to one of jar.
	r := p.Rescue(4, math.Inf(1), Normal{0.5, 0})
	if !r.Needed || !r.Practical || math.Abs(r.Volumes-3) > 0.01 || r.Low > 3 || r.High < 3 {
		t.Errorf("%+v", r)
	}
	if r := p.Rescue(2, math.Inf(1), Normal{0.5, 0}); r.Practical || math.Abs(r.Volumes-15) > 0.1 {
		t.Errorf("%+v", r)
	}
	if r := p.Rescue(9, math.Inf(1), Normal{0.5, 0}); r.Needed || r.Volumes != 0 {
		t.Errorf("%+v", r)
	}
	if r := p.Rescue(0, 1, Normal{0.5, 0}); r.Practical {
		t.Errorf("%+v", r)
	}
}

func TestSittings(t *testing.T) {
	if s := Gentle.Sitting(); s.Samples != 4 || s.GapMinutes != 2 {
		t.Errorf("%+v", s)
	}
	for _, p := range []Palate{Cooling, Hot, Numbing} {
		if s := p.Sitting(); s.Samples != 2 || s.Words == "" {
			t.Errorf("%s: %+v", p, s)
		}
	}
	if Cooling.Sitting().GapMinutes < 20 {
		t.Error("menthol needs twenty minutes")
	}
}

// D-optimal pairs, the SD of ln k they give per tasting and the efficiency of
// doubling times: fits/design_firstorder.csv (SciPy; the equivalence theorem holds
// there to eight digits).
func TestOptimalPair(t *testing.T) {
	// Information matrix of (C, ln k) at k = 1, C = 1, per tasting.
	info := func(ts ...float64) (det, varLK float64) {
		var a, b, c float64
		for _, s := range ts {
			f, g := -math.Expm1(-s), s*math.Exp(-s)
			a += f * f / float64(len(ts))
			b += f * g / float64(len(ts))
			c += g * g / float64(len(ts))
		}
		det = a*c - b*b
		return det, a / det
	}
	for _, r := range table(t, "fits/design_firstorder.csv") {
		u := number(t, r["kT"])
		first, last := OptimalPair(2, u/2) // any rate: times scale with it
		if math.Abs(2*first-number(t, r["s1_formula"])) > 1e-8 || math.Abs(2*last-u) > 1e-12 {
			t.Errorf("kT %g: %.10g, want %s", u, 2*first, r["s1_formula"])
		}
		det, v := info(2*first, 2*last)
		if want := number(t, r["sd_logk_D"]); math.Abs(math.Sqrt(v)/want-1) > 1e-7 {
			t.Errorf("kT %g: SD of ln k %.9g, want %.9g", u, math.Sqrt(v), want)
		}
		geo, _ := info(u/8, u/4, u/2, u)
		eff := math.Sqrt(geo / det)
		if want := number(t, r["Deff_geom4"]); math.Abs(eff-want) > 1e-8 {
			t.Errorf("kT %g: efficiency of doubling times %.9g, want %.9g", u, eff, want)
		}
		if u >= 0.5 && u <= 10 && eff < 0.69 { // what FirstTastings says of itself
			t.Errorf("kT %g: efficiency %.3f", u, eff)
		}
	}
	if a, b := OptimalPair(0, 10); a != 5 || b != 10 {
		t.Error(a, b)
	}
}
