package mixture

import (
	"math"
	"slices"
	"testing"
)

// TestAVolumeSaysThePressing: where nobody says how hard the solids were pressed, the strained volume does, and
// a yield says how hard at least. So a yield that is what the rest comes to takes nothing from a drink, be it
// pressed or dripped off, and a strained volume that no pressing explains is doubted with a yield and without.
func TestAVolumeSaysThePressing(t *testing.T) {
	in := Recipe{
		Bases: []Base{{Name: "rum", VolumeML: Quantity{Value: 700, SD: 7}, ABVPercent: Quantity{Value: 40, SD: 0.1}}},
		// Drained coffee: data/tables/marc.toml, the pressed figure is judgement.
		Solids: []Solid{{Name: "coffee", MassG: Quantity{Value: 60, SD: 1}, HeldMLPerG: Quantity{Value: 2.48, SD: 0.12},
			PressedMLPerG: Quantity{Value: 1.6, SD: 0.24}}},
		Additions: []Addition{{Name: "syrup", MassG: Quantity{Value: 331, SD: 8}, PerG: Parts{Water: 1. / 3, Sucrose: 2. / 3}}},
		Pressed:   NotSaid,
	}
	const syrupML = 246.5
	read := func(strained, yield float64) (res Result, judged Range) {
		r := in
		if strained > 0 {
			r.Measured.StrainedML = &Quantity{Value: strained, SD: 0.01 * strained}
		}
		if yield > 0 {
			r.Measured.VolumeML = &Quantity{Value: yield, SD: 0.01 * yield}
		}
		if res = balance(t, r); res.Credited != nil {
			return res, res.Credited.ABVPercent
		}
		return res, res.ABVPercent
	}
	last := 0.0
	for ml := 540.0; ml <= 700; ml += 10 {
		alone, one := read(ml, 0)
		both, two := read(ml, ml+syrupML)
		if math.Abs(one.Value-two.Value) > 0.1 || two.Low < one.Low-0.2 || alone.ABVPercent != one || both.ABVPercent != two {
			t.Errorf("%g ml strained: %+v judged, with the yield %+v; printed %+v and %+v", ml, one, two, alone.ABVPercent, both.ABVPercent)
		}
		doubted := slices.Contains(alone.Held, Strained)
		if doubted != (ml > 645) && (ml < 635 || ml > 655) || doubted != (len(alone.AtOdds) > 0) ||
			doubted != slices.Contains(both.Held, Strained) || slices.Contains(both.Held, Volume) {
			t.Errorf("%g ml strained: doubted %v, with the yield %v", ml, alone.Held, both.Held)
		}
		if last > one.Value+0.01 && !doubted {
			t.Errorf("%g ml strained: %.2f %% vol, with 10 ml less %.2f", ml, one.Value, last)
		}
		last = one.Value
	}
	whole, plain := read(0, 0)
	for ml := whole.VolumeML.Value; ml < whole.VolumeML.Value+30; ml += 10 {
		if res, judged := read(0, ml); judged.Low < plain.Low || len(res.Held) > 0 {
			t.Errorf("%.0f ml in all, %.0f by the recipe: judged %+v, by the recipe %+v, doubted %v", ml, whole.VolumeML.Value, judged, plain, res.Held)
		}
	}
}

// TestWhatSolidsKeptGoesOn: what the solids kept by a strained volume, or by a yield that shows more pressed out,
// is kept in the next jar too, and in proportion of another dose, as far as the volume is believed: less than the
// recipe explains is, and of more what it explains, some 642 ml as in the test above, whatever was lost later. Of a yield alone that
// lacks some nothing is.
func TestWhatSolidsKeptGoesOn(t *testing.T) {
	in := Recipe{
		Bases:     []Base{{Name: "rum", VolumeML: Quantity{Value: 700, SD: 7}, ABVPercent: Quantity{Value: 40}}},
		Solids:    []Solid{{Name: "wood", MassG: Quantity{Value: 60}, HeldMLPerG: Quantity{Value: 2.5, SD: 0.1}, PressedMLPerG: Quantity{Value: 1.5, SD: 0.2}}},
		Additions: []Addition{{Name: "syrup", MassG: Quantity{Value: 331}, PerG: Parts{Water: 1. / 3, Sucrose: 2. / 3}}},
		Pressed:   NotSaid,
	}
	whole := balance(t, in)
	for _, c := range []struct {
		strained, over float64 // over: of the yield by the recipe
		kept           float64 // of the liquor, 0: nobody knows
	}{{450, 0, 250}, {550, 0, 150}, {580, 0, 120}, {580, -60, 120}, {630, 0, 70}, {690, 0, 57}, {900, 0, 58}, {0, 15, 105}, {0, -15, 0}, {0, 0, 0}} {
		r := in
		if c.strained > 0 {
			r.Measured.StrainedML = &Quantity{Value: c.strained, SD: 6}
		}
		if c.over != 0 {
			r.Measured.VolumeML = &Quantity{Value: whole.VolumeML.Value + c.over, SD: 6}
		}
		share := balance(t, r).KeptShare
		if (share != nil) != (c.kept > 0) {
			t.Errorf("%+v: kept %v", c, share)
		}
		if share == nil {
			continue
		}
		next := in
		next.Solids = slices.Clone(in.Solids)
		next.Solids[0].MassG.Value = 80
		next.Keep(*share)
		if res := balance(t, next); math.Abs(700-res.StrainedML-c.kept*80/60) > 1 || res.ABVPercent.Low > res.ABVPercent.Value-0.1 || len(res.Warnings) > 0 {
			t.Errorf("%+v: the next strains %.0f ml at %+v, %q", c, res.StrainedML, res.ABVPercent, res.Warnings)
		}
	}
}
