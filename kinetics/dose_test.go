package kinetics

import (
	"math"
	"testing"
)

func TestDoseFor(t *testing.T) {
	// A jar known well: plateau 4 ± 0.1. Strength goes with dose^0.5 exactly, so
	// for 8 the dose must be four times.
	p := must(t, Prior{LogRate: Normal{0, 0.1}, Plateau: Normal{4, 0.1}, course: firstOrder, grid: settings{rates: 21, plateaus: 400, noises: 1, reach: 6}}, nil)
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
	p := must(t, Prior{LogRate: Normal{0, 0.1}, Plateau: Normal{8, 0.05}, course: firstOrder}, nil)
	// Score 8 to 4 at an exponent of 0.5: a quarter of the concentration, so
	// three volumes of spirit to one of jar.
	r := p.Thinning(4, math.Inf(1), Normal{0.5, 0})
	if !r.Practical || math.Abs(r.Volumes-3) > 0.03 || r.Low > 3 || r.High < 3 {
		t.Errorf("%+v", r)
	}
	if r := p.Thinning(2, math.Inf(1), Normal{0.5, 0}); r.Practical || math.Abs(r.Volumes-15) > 0.2 {
		t.Errorf("%+v", r)
	}
	if r := p.Thinning(9, math.Inf(1), Normal{0.5, 0}); r.Volumes != 0 {
		t.Errorf("%+v", r)
	}
	if r := p.Thinning(0, 1, Normal{0.5, 0}); r.Practical {
		t.Errorf("%+v", r)
	}
}
