package mixture

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// TestNoMoreAlcoholThanWasPoured: a strength, read or worked out of a density, that lies beyond what was
// poured and its doubt leaves the recipe's own, which is printed and judged; one that is believed is both too,
// and one between the 90 % of the recipe and that is printed, told, and judged at the end of them.
func TestNoMoreAlcoholThanWasPoured(t *testing.T) {
	in := Recipe{Bases: []Base{{Name: "vodka", VolumeML: Quantity{Value: 400, SD: 4}, ABVPercent: Quantity{Value: 40, SD: 0.1}}},
		Additions: []Addition{{Name: "water", MassG: Quantity{Value: 780, SD: 20}, PerG: Parts{Water: 1}}}}
	plain := balance(t, in)
	for abv := 12.0; abv <= 39; abv += 0.5 {
		r := in
		r.Measured.ABVPercent = &Quantity{Value: abv, SD: 0.5}
		res := balance(t, r)
		judged := res
		if res.Credited != nil {
			judged = *res.Credited
		}
		held, out := slices.Contains(res.Held, ABV), res.Read.ABVPercent == nil
		if out && (!held || res.ABVPercent != plain.ABVPercent) || held == (judged.ABVPercent == res.ABVPercent) != out ||
			judged.ABVPercent.Value > plain.ABVPercent.High+0.7 || !out && math.Abs(res.ABVPercent.Value-abv) > 1e-6 {
			t.Errorf("%.1f %% vol read: %+v printed, %+v judged, held %v; by the recipe %+v", abv, res.ABVPercent, judged.ABVPercent, held, plain.ABVPercent)
		} else if out != (abv > 15.5) && (abv > 15.5 || abv < 14.5) {
			t.Errorf("%.1f %% vol read, %+v by the recipe: left out %v", abv, plain.ABVPercent, out)
		}
		if told := len(res.AtOdds) > 0; held && !told || told != (math.Abs(abv-13.4) > 1) && math.Abs(math.Abs(abv-13.4)-1) > 0.2 {
			t.Errorf("%.1f %% vol read, %+v by the recipe: told %q", abv, plain.ABVPercent, res.AtOdds)
		}
	}
	r := in
	r.Measured = Measured{SugarGPerL: &Quantity{}, DensityKgPerM3: &Quantity{Value: 950, SD: 1}}
	if res := balance(t, r); res.ABVPercent.High > plain.ABVPercent.High+0.1 || !slices.Contains(res.Held, Density) {
		t.Errorf("by a density of 40 %% vol: %+v", res.ABVPercent)
	}
}

// TestCurdsKeepDrink: what curds may keep of a drink is missing from it and leaves it as strong as it
// was; what is missing beyond that may be anything that nobody logged.
func TestCurdsKeepDrink(t *testing.T) {
	in := Recipe{Bases: []Base{{Name: "rum", VolumeML: Quantity{Value: 500, SD: 5}, ABVPercent: Quantity{Value: 40, SD: 0.1}}},
		Additions: []Addition{{Name: "tea", MassG: Quantity{Value: 300, SD: 3}, PerG: Parts{Water: 1}}, {Name: "milk", MassG: Quantity{Value: 250, SD: 3}, PerG: Parts{Water: 0.9, OtherSolids: 0.1}}},
	}
	in.Additions[0].Untold = true
	whole := balance(t, in)
	in.CurdsML = Range{Value: 150, High: 200}
	yield := balance(t, in)
	if v := yield.VolumeML; math.Abs(v.Value+150-whole.VolumeML.Value) > 0.01 || v.High < whole.VolumeML.High-1e-6 || v.Low > whole.VolumeML.Value-200 || math.Abs(yield.ABVPercent.Value-whole.ABVPercent.Value) > 1e-6 || math.Abs(yield.ABVPercent.High-whole.ABVPercent.High) > 1e-6 {
		t.Errorf("filtered %+v at %+v, whole %+v at %+v", v, yield.ABVPercent, whole.VolumeML, whole.ABVPercent)
	}
	clear := in // what goes in once the curds are off is all there, whatever volume is measured
	clear.Additions = append(slices.Clone(in.Additions), Addition{Name: "sugar", MassG: Quantity{Value: 100, SD: 1}, PerG: Parts{Sucrose: 1}, Clear: true})
	sweet := balance(t, clear)
	read := clear
	read.Measured.VolumeML = &Quantity{Value: sweet.VolumeML.Value - 20, SD: 2}
	for _, res := range []Result{sweet, balance(t, read)} {
		if g := res.Parts.SugarG(); math.Abs(g-100) > 1e-6 || res.Parts.Ethanol > yield.Parts.Ethanol+1e-6 {
			t.Errorf("%g g of sugar and %g of alcohol are left; 100 and %g went in behind the curds", g, res.Parts.Ethanol, yield.Parts.Ethanol)
		}
	}
	for _, c := range []struct {
		lost float64
		lack bool
	}{{0, false}, {100, false}, {190, false}, {300, true}} {
		r := in
		r.Measured.VolumeML = &Quantity{Value: whole.VolumeML.Value - c.lost, SD: 5}
		res := balance(t, r)
		if res.MayLack != c.lack || !c.lack && (res.ABVPercent.Low < whole.ABVPercent.Low-0.1 || res.ABVPercent.High > whole.ABVPercent.High+0.1) {
			t.Errorf("%g ml are missing: may lack %v, %+v, whole %+v", c.lost, res.MayLack, res.ABVPercent, whole.ABVPercent)
		}
	}
}

// TestWhenItWasRead: where nobody knows whether something was in when the drink was measured, the
// ranges hold both, and both are asked how far a reading is believed.
func TestWhenItWasRead(t *testing.T) {
	sour := Recipe{Bases: []Base{{Name: "vodka", VolumeML: Quantity{Value: 100, SD: 1}, ABVPercent: Quantity{Value: 40}}},
		Additions: []Addition{{Name: "citric acid", MassG: Quantity{Value: 1}, PerG: Parts{Citric: 1}}, {Name: "water", MassG: Quantity{Value: 300}, PerG: Parts{Water: 1}}}}
	sour.Measured = Measured{PH: &Quantity{Value: 2.9, SD: 0.05}}
	for _, pressed := range []Range{Dripped, NotSaid} {
		for _, more := range []Parts{{Water: 1}, {Water: 0.95, OtherSolids: 0.05, BufferMMol: 0.3}} {
			r := sour
			r.Pressed = pressed
			with := func(late, moot bool) Result {
				r.Additions = append(slices.Clone(sour.Additions),
					Addition{Name: "what was logged", MassG: Quantity{Value: 3000}, PerG: more, Late: late, Moot: moot})
				return balance(t, r)
			}
			before, after, either := with(false, false), with(true, false), with(true, true)
			if either.PH.Low > before.PH.Low || either.PH.High < after.PH.High || either.PH.High < before.PH.High || either.PH.Value != before.PH.Value {
				t.Errorf("pH %+v in before, %+v after, %+v either", before.PH, after.PH, either.PH)
			}
			if s := either.Causes[Acidity]; pressed == Dripped && s[0].Cure != "measure it again" {
				t.Errorf("the doubt is of %+v", s)
			}
			if !strings.Contains(either.Warnings[0], "measure it again") {
				t.Errorf("%q", either.Warnings)
			}
		}
	}
}

// TestAStrengthBeyondItsRangeIsTold: a reading that lies beyond the range of the recipe, and what it may err by
// itself, is told on either side, however much further the range reaches to one of them, and judged no better
// than that.
func TestAStrengthBeyondItsRangeIsTold(t *testing.T) {
	in := Recipe{Bases: []Base{{Name: "vodka", VolumeML: Quantity{Value: 1000, SD: 10}, ABVPercent: Quantity{Value: 50, SD: 0.1}}},
		Solids: []Solid{{Name: "walnuts", MassG: Quantity{Value: 700, SD: 20}, PerG: Parts{Water: 0.8}, Given: Range{Value: 0.85, Low: 0.1, High: 1},
			HeldMLPerG: Quantity{Value: 0.5, SD: 0.1}}},
		Additions: []Addition{{Name: "syrup", MassG: Quantity{Value: 600, SD: 10}, PerG: Parts{Water: 0.4, Sucrose: 0.6}}}}
	own := balance(t, in).ABVPercent
	const slip = 0.5 * z90
	told := [2]int{}
	for abv := own.Low - 4; abv <= own.High+4; abv += 0.25 {
		r := in
		r.Measured.ABVPercent = &Quantity{Value: abv, SD: 0.5}
		res := balance(t, r)
		judged := res.ABVPercent
		if res.Credited != nil {
			judged = res.Credited.ABVPercent
		}
		beyond := abv < own.Low-slip || abv > own.High+slip
		if within := abv > own.Low && abv < own.High; beyond && len(res.AtOdds) == 0 || within && len(res.AtOdds) > 0 || judged.Value > own.High+slip {
			t.Errorf("%.2f %% vol read, %+v by the recipe: told %q, judged %+v", abv, own, res.AtOdds, judged)
		}
		if beyond && abv > own.High {
			told[1]++
		} else if beyond {
			told[0]++
		}
	}
	if own.High-own.Value < 2*(own.Value-own.Low) || told[0] == 0 || told[1] == 0 {
		t.Errorf("%+v is no range that reaches further up than down", own)
	}
}
