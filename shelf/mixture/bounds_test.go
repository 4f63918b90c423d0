package mixture

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"steepbook/shelf/acidity"
)

func TestPlainSyrup(t *testing.T) {
	res := balance(t, Recipe{Additions: []Addition{water(500), sugar(500)}})
	near(t, "strength", res.ABVPercent.Value, 0, 0)
	near(t, "solids", res.Brix.Value, 50, 0.1)
	if res.PHKnown || res.BottleFraction != 0 || len(res.Warnings) > 0 {
		t.Errorf("%+v", res)
	}
}

func TestRefused(t *testing.T) {
	for name, r := range map[string]Recipe{
		"nothing":          {},
		"sugar alone":      {Additions: []Addition{sugar(100)}},
		"negative volume":  {Bases: []Base{spirit("rum", -1, 40)}},
		"NaN volume":       {Bases: []Base{spirit("rum", math.NaN(), 40)}},
		"too strong":       {Bases: []Base{spirit("rum", 100, 140)}},
		"no room":          {Bases: []Base{{Name: "cream", VolumeML: exact(100), ABVPercent: exact(90), SugarGPerL: 500}}},
		"negative sugar":   {Bases: []Base{spirit("rum", 100, 40)}, Additions: []Addition{sugar(-5)}},
		"infinite doubt":   {Bases: []Base{{Name: "rum", VolumeML: Quantity{Value: 1, SD: math.Inf(1)}}}},
		"negative parts":   {Bases: []Base{spirit("rum", 100, 40)}, Additions: []Addition{{Name: "x", MassG: exact(1), PerG: Parts{Water: -1}}}},
		"measured density": {Bases: []Base{spirit("rum", 100, 40)}, Measured: Measured{DensityKgPerM3: &Quantity{Value: 1.03}}},
		"measured pH":      {Bases: []Base{spirit("rum", 100, 40)}, Measured: Measured{PH: &Quantity{Value: 15}}},
		"pH of no drink":   {Bases: []Base{spirit("rum", 100, 40)}, Measured: Measured{PH: &Quantity{Value: 0}}},
		"measured misfits": {Bases: []Base{spirit("rum", 100, 40)}, Measured: Measured{ABVPercent: &Quantity{Value: 95}, SugarGPerL: &Quantity{Value: 600}}},
		"strong ions":      {Bases: []Base{{Name: "rum", VolumeML: exact(1), PerLitre: Parts{StrongIonsMMol: math.NaN()}}}},
	} {
		_, err := r.Balance()
		var in *InputError
		if !errors.As(err, &in) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		t.Logf("%-17s %v", name, err)
	}
}

// TestNothingRunsOff: of solids that soak up all of the jar nothing is known until
// what runs off was measured.
func TestNothingRunsOff(t *testing.T) {
	r := Recipe{Bases: []Base{spirit("rum", 100, 40)}, Solids: []Solid{{Name: "bread", MassG: exact(500), HeldMLPerG: exact(2)}}, Additions: []Addition{sugar(50)}}
	_, err := r.Balance()
	var in *InputError
	if !errors.As(err, &in) || !strings.Contains(err.Error(), "nothing runs off") {
		t.Errorf("%v", err)
	}
	r.Solids[0].OutH, r.Solids[0].InH = 5, 0
	r.Solids = append(r.Solids, Solid{Name: "bark", MassG: exact(1), HeldMLPerG: exact(1), InH: 6})
	if _, err := r.Balance(); !errors.As(err, &in) {
		t.Errorf("pulled before the end: %v", err)
	}
	r.Solids = r.Solids[:1]
	r.Solids[0].OutH, r.Measured.StrainedML = 0, &Quantity{Value: 40, SD: 1}
	res := balance(t, r)
	near(t, "strained", res.StrainedML, 40, 1e-9)
	near(t, "strength", res.ABVPercent.Value*res.VolumeML.Value, 40*40, 1)
}

// TestUnweighed: what nobody weighed opens strength and sugar downwards, as far as
// the same water weighed would take them, and leaves the likely figures.
func TestUnweighed(t *testing.T) {
	r := Recipe{Bases: []Base{spirit("rum", 200, 40)}, Additions: []Addition{sugar(100)}}
	plain := balance(t, r)
	weighed := r
	weighed.Solids = []Solid{{Name: "gourd", MassG: exact(190), PerG: Parts{Water: 1}, LeftIn: true}}
	wet := balance(t, weighed)
	r.Unweighed = Parts{Water: 190, BufferMMol: 3}
	res := balance(t, r)
	for _, c := range []struct {
		what            string
		got, plain, wet Range
	}{{"strength", res.ABVPercent, plain.ABVPercent, wet.ABVPercent}, {"sugar", res.SugarGPerL, plain.SugarGPerL, wet.SugarGPerL}, {"water activity", res.WaterActivity, plain.WaterActivity, wet.WaterActivity}} {
		near(t, c.what, c.got.Value, c.plain.Value, 1e-9)
		down, up := math.Min(c.wet.Value-c.plain.Value, 0), math.Max(c.wet.Value-c.plain.Value, 0)
		near(t, c.what+", low", c.got.Low, c.plain.Low+down, 1e-9)
		near(t, c.what+", high", c.got.High, c.plain.High+up, 1e-9)
	}
	if s := res.Causes[ABV][0]; !strings.Contains(s.Cause, "no known weight") {
		t.Errorf("most of the doubt: %q", s.Cause)
	}
}

// Properties of recipes: the order of additions makes no difference, mass is
// conserved from what was poured in to bottle and marc, more water
// never raises the strength, and less certain input never narrows a range.
func TestRecipeProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		r := cordial()
		r.Bases[0].VolumeML.Value = g("spirit", 100, 2000)
		r.Bases[0].ABVPercent.Value = g("abv", 0, 96)
		r.Solids[0].MassG.Value = g("zest", 0, 300)
		r.Pressed = rapid.SampledFrom([]Range{Dripped, Pressed, NotSaid}).Draw(t, "pressed")
		r.Additions[0].MassG.Value = g("syrup", 0, 1000)
		r.Additions[1].MassG.Value = g("juice", 0, 500)
		res, err := r.Balance()
		if err != nil {
			t.Fatal(err)
		}
		swapped := r
		swapped.Additions = []Addition{r.Additions[1], r.Additions[0]}
		other, err := swapped.Balance()
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(other.ABVPercent.Value-res.ABVPercent.Value) > 1e-9 || math.Abs(other.PH.Value-res.PH.Value) > 1e-9 {
			t.Fatal("order of additions")
		}
		in := res.JarParts.MassG() + r.Additions[0].MassG.Value + r.Additions[1].MassG.Value
		if out := res.Parts.MassG() + res.MarcParts.MassG(); math.Abs(in-out) > 1e-6*in {
			t.Fatalf("%v g in, %v g out", in, out)
		}
		wet := r
		wet.Additions = append(wet.Additions[:2:2], water(g("water", 0, 1000)))
		thin, err := wet.Balance()
		if err != nil {
			t.Fatal(err)
		}
		if thin.ABVPercent.Value > res.ABVPercent.Value+1e-9 || thin.SugarGPerL.Value > res.SugarGPerL.Value+1e-9 {
			t.Fatal("water made it stronger or sweeter")
		}
		vague := r
		vague.Additions = append([]Addition(nil), r.Additions...)
		vague.Additions[0].MassG.SD *= 2
		wide, err := vague.Balance()
		if err != nil {
			t.Fatal(err)
		}
		if wide.SugarGPerL.High < res.SugarGPerL.High-1e-9 || wide.ABVPercent.Low > res.ABVPercent.Low+1e-9 {
			t.Fatal("vaguer input, narrower range")
		}
		for _, rg := range []Range{res.VolumeML, res.ABVPercent, res.SugarGPerL, res.AcidGPerL, res.Brix, res.PH, res.WaterActivity, res.DensityKgPerM3, res.LossML} {
			if !(rg.Low <= rg.Value && rg.Value <= rg.High) || math.IsInf(rg.High, 0) || rg.Low < 0 {
				t.Fatalf("range %v", rg)
			}
		}
	})
}

// TestNothingInfinite: whatever is put into a recipe, the answer is an error or
// finite figures.
func TestNothingInfinite(t *testing.T) {
	odd := []float64{0, 1, -1, 1e-12, 1e-3, 40, 100, 999, 1e6, 1e12, 1e300, math.Inf(1), math.Inf(-1), math.NaN()}
	rapid.Check(t, func(t *rapid.T) {
		x := func(name string, usual float64) float64 {
			if rapid.IntRange(0, 5).Draw(t, name+" odd") == 0 {
				return rapid.SampledFrom(odd).Draw(t, name)
			}
			return usual
		}
		q := func(name string, usual float64) Quantity {
			return Quantity{Value: x(name, usual), SD: x(name+" sd", 0.05*usual)}
		}
		parts := func(name string) Parts {
			return Parts{Water: x(name+" water", 0.6), Sucrose: x(name+" sucrose", 0.2), Citric: x(name+" citric", 0.02),
				Fat: x(name+" fat", 0), StrongIonsMMol: x(name+" ions", 0.03)}
		}
		r := Recipe{
			Bases:     []Base{{Name: "base", VolumeML: q("base ml", 700), ABVPercent: q("abv", 40), SugarGPerL: x("sweet", 0)}},
			Solids:    []Solid{{Name: "solid", MassG: q("solid", 30), PerG: parts("solid"), HeldMLPerG: q("held", 1), AcidFactor: q("solid acid", 1)}},
			Additions: []Addition{{Name: "addition", MassG: q("addition", 300), PerG: parts("addition"), PHShift: q("shift", 0), SugarFactor: q("sugar", 1)}},
		}
		for i, m := range r.Measured.list() {
			if rapid.IntRange(0, 6).Draw(t, m.what) == 0 {
				v := q(m.what, []float64{650, 900, 25, 100, 5, 3.2, 1020, 20}[i])
				*m.q = &v
			}
		}
		res, err := r.Balance()
		if err != nil {
			var in *InputError
			if !errors.As(err, &in) {
				t.Fatal(err)
			}
			return
		}
		if jar, bottle, err := r.Likely(); err != nil || jar != res.JarParts || bottle != res.Parts {
			t.Fatalf("alone %+v and %+v (%v)\nwith ranges %+v and %+v", jar, bottle, err, res.JarParts, res.Parts)
		}
		for _, rg := range []Range{res.VolumeML, res.ABVPercent, res.SugarGPerL, res.AcidGPerL, res.Brix, res.PH, res.WaterActivity, res.DensityKgPerM3, res.LossML} {
			if math.IsNaN(rg.Value+rg.Low+rg.High) || math.IsInf(rg.Value, 0) || math.IsInf(rg.High, 0) || rg.Low > rg.Value || rg.High < rg.Value {
				t.Fatalf("%+v\nin %+v", rg, r)
			}
		}
		for f, shares := range res.Causes {
			for _, s := range shares {
				if !(s.Fraction >= 0 && s.Fraction <= 1) {
					t.Fatalf("%s: %+v", f, s)
				}
			}
		}
		if math.IsNaN(res.BottleFraction) || math.IsInf(res.BottleFraction, 0) {
			t.Fatal(res.BottleFraction)
		}
	})
}

func BenchmarkBalance(b *testing.B) {
	r := cordial()
	for b.Loop() {
		if _, err := r.Balance(); err != nil {
			b.Fatal(err)
		}
	}
}

// TestNothingComesFromNowhere: whatever volume is read, no more ethanol, sugar
// and acid are in the bottle than went in, and a larger volume is no stronger.
func TestNothingComesFromNowhere(t *testing.T) {
	in := Recipe{
		Bases:     []Base{{Name: "spirit", VolumeML: Quantity{Value: 300, SD: 3}, ABVPercent: Quantity{Value: 40}}},
		Solids:    []Solid{{Name: "peel", MassG: Quantity{Value: 30}, HeldMLPerG: Quantity{Value: 1.5, SD: 0.3}, PressedMLPerG: Quantity{Value: 1}}},
		Additions: []Addition{{Name: "syrup", MassG: Quantity{Value: 300}, PerG: Parts{Water: 0.49, Sucrose: 0.5, Citric: 0.01}}},
	}
	const ethanolG = 0.4 * 300 * 0.78924 // OIML R 22: 789.24 kg/m3 at 20 °C
	plain, err := in.Balance()
	if err != nil {
		t.Fatal(err)
	}
	last := 101.0
	for _, m := range []struct {
		volume, strained float64
	}{{560, 0}, {600, 0}, {900, 0}, {1800, 0}, {900, 400}, {1800, 1000}} {
		r := in
		r.Measured.VolumeML = &Quantity{Value: m.volume, SD: 5}
		if m.strained > 0 {
			r.Measured.StrainedML = &Quantity{Value: m.strained, SD: 5}
			last = 101
		}
		res, err := r.Balance()
		if err != nil {
			t.Fatal(err)
		}
		p := res.Parts
		if math.Abs(res.VolumeML.Value-m.volume) > 0.1 || p.Ethanol > ethanolG+1e-6 || p.Sucrose > 150+1e-6 || p.Citric > 3+1e-6 {
			t.Errorf("%+v: %.1f mL hold %.1f g of ethanol, %.1f of sugar, %.2f of acid", m, res.VolumeML.Value, p.Ethanol, p.Sucrose, p.Citric)
		}
		if over := m.volume > 700; over {
			judged := res
			if res.Credited != nil {
				judged = *res.Credited
			}
			// The peel may have kept 15 ml less; what was strained is believed half as far again, with the jug.
			if j := judged.ABVPercent.Value * m.volume; !slices.Contains(res.Held, Volume) || j > plain.ABVPercent.Value*plain.VolumeML.Value+24.5*40 {
				t.Errorf("%+v: judged on %+v", m, judged.ABVPercent)
			}
			if res.ABVPercent.Value > last {
				t.Errorf("%+v: %.2f %% vol, stronger than a smaller volume with %.2f", m, res.ABVPercent.Value, last)
			}
			last = res.ABVPercent.Value
		}
	}
}

// TestWhereItWasLost: what is missing may have gone before sweetening, which
// leaves a weaker and sweeter drink, or at the end, which changes nothing. The
// range holds both until the strained volume is read.
func TestWhereItWasLost(t *testing.T) {
	in := Recipe{
		Bases:     []Base{{Name: "spirit", VolumeML: Quantity{Value: 500}, ABVPercent: Quantity{Value: 40}}},
		Additions: []Addition{{Name: "syrup", MassG: Quantity{Value: 400}, PerG: Parts{Water: 0.5, Sucrose: 0.5}}},
	}
	plain, err := in.Balance()
	if err != nil {
		t.Fatal(err)
	}
	at := func(strained float64) Result {
		r := in
		r.Measured.VolumeML = &Quantity{Value: plain.VolumeML.Value - 100, SD: 3}
		if strained > 0 {
			r.Measured.StrainedML = &Quantity{Value: strained, SD: 1}
		}
		res, err := r.Balance()
		if err != nil {
			t.Fatal(err)
		}
		return res
	}
	open, before, end := at(0), at(400), at(500)
	for _, r := range []Result{before, end} {
		if r.ABVPercent.Value < open.ABVPercent.Low-1e-6 || r.ABVPercent.Value > open.ABVPercent.High || r.SugarGPerL.Value > open.SugarGPerL.High+1e-6 {
			t.Errorf("%.2f %% vol and %.0f g/L are outside %+v, %+v", r.ABVPercent.Value, r.SugarGPerL.Value, open.ABVPercent, open.SugarGPerL)
		}
	}
	if d := end.ABVPercent.Value - plain.ABVPercent.Value; math.Abs(d) > 0.01 {
		t.Errorf("lost at the end, the strength moves by %.2f", d)
	}
	if !(before.ABVPercent.Value < end.ABVPercent.Value-1) {
		t.Errorf("lost before sweetening %.2f %% vol, at the end %.2f", before.ABVPercent.Value, end.ABVPercent.Value)
	}
	asks := func(r Result) bool {
		return slices.ContainsFunc(r.Warnings, func(w string) bool { return strings.Contains(w, "before anything was added, or at the end?") })
	}
	if !asks(open) || asks(before) || asks(end) {
		t.Errorf("asked: %v", open.Warnings)
	}
}

// What a solid keeps is one cause of doubt, drained or pressed: where nobody says which,
// the range ends where that of the likelier loser does and no further.
func TestKeepingIsOneDoubt(t *testing.T) {
	r := Recipe{
		Bases: []Base{{Name: "rum", VolumeML: Quantity{Value: 1000}, ABVPercent: Quantity{Value: 40}}},
		Solids: []Solid{{Name: "peaches", MassG: Quantity{Value: 300}, HeldMLPerG: Quantity{Value: 0.8, SD: 0.3},
			PressedMLPerG: Quantity{Value: 0.4, SD: 0.2}}},
	}
	at := func(pressed Range) Range { r.Pressed = pressed; return balance(t, r).VolumeML }
	open, dripped, pressed := at(NotSaid), at(Dripped), at(Pressed)
	// Kept drained 240 ± 90 mL, pressed 120 ± 60: the larger doubt on both sides.
	near(t, "low end", open.Low, dripped.Low, 0.5)
	near(t, "high end", open.High, pressed.Value+dripped.Value-dripped.Low, 0.5)
	if open.High < pressed.High {
		t.Errorf("%v does not hold %v", open, pressed)
	}
}

// Where nobody says whether the solids are pressed, the range holds both answers.
func TestPressingNotSaid(t *testing.T) {
	r := Recipe{
		Bases:     []Base{{Name: "rum", VolumeML: Quantity{Value: 177, SD: 2}, ABVPercent: Quantity{Value: 63, SD: 0.2}}},
		Solids:    []Solid{{Name: "wet plants", MassG: Quantity{Value: 101}, PerG: Parts{Water: 0.8}, HeldMLPerG: Quantity{Value: 1}, PressedMLPerG: Quantity{Value: 0.45}}},
		Additions: []Addition{{Name: "syrup", MassG: Quantity{Value: 150}, PerG: Parts{Water: 0.5, Sucrose: 0.5}}},
		Pressed:   NotSaid,
	}
	open, err := r.Balance()
	if err != nil {
		t.Fatal(err)
	}
	if len(open.Warnings) != 1 || !strings.Contains(open.Warnings[0], "press = true") {
		t.Errorf("warnings %q do not ask", open.Warnings)
	}
	for _, r.Pressed = range []Range{Dripped, Pressed} {
		told, err := r.Balance()
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []struct {
			name      string
			open, say Range
		}{{"volume", open.VolumeML, told.VolumeML}, {"strength", open.ABVPercent, told.ABVPercent}, {"sugar", open.SugarGPerL, told.SugarGPerL}, {"loss", open.LossML, told.LossML}} {
			if x.say.Value < x.open.Low || x.say.Value > x.open.High {
				t.Errorf("%s: %v said is outside %v not said", x.name, x.say, x.open)
			}
		}
		if len(told.Warnings) > 0 {
			t.Errorf("said, and still %q", told.Warnings)
		}
	}
}

// TestMayNotHaveGoneIn: where less came of it than planned, the ranges hold the drink that was
// lost of and the one that lacks what nobody logged, and as much of the liquor may be left as of that.
func TestMayNotHaveGoneIn(t *testing.T) {
	sour := syrup(1500, 1, 1)
	sour.PerG = sour.PerG.Times(0.95).Plus(Parts{Citric: 0.05})
	planned := Recipe{Bases: []Base{spirit("vodka", 700, 40)}, Additions: []Addition{sour}}
	all := balance(t, planned)
	for _, ml := range []float64{500, 690, 900, 1000, 1700} {
		r := planned
		r.Measured.VolumeML = &Quantity{Value: ml, SD: 0.012 * ml}
		logged := balance(t, r)
		if logged.MayLack || logged.MostKept != logged.Kept {
			t.Errorf("%g ml, all logged: %+v", ml, logged.MostKept)
		}
		r.Additions = []Addition{sour}
		r.Additions[0].Untold = true
		res := balance(t, r)
		if ml > 1500 { // most of it must be in
			if res.MayLack || res.ABVPercent != logged.ABVPercent {
				t.Errorf("%g ml: %+v, all logged: %+v", ml, res.ABVPercent, logged.ABVPercent)
			}
			continue
		}
		kept := math.Min(ml/700, 1)
		if !res.MayLack || math.Abs(res.MostKept.Liquor-kept) > 0.03 || res.Kept != logged.Kept {
			t.Errorf("%g ml: kept %+v, at most %+v, want %.2f", ml, res.Kept, res.MostKept, kept)
		}
		if abv := 280 * kept / ml * 100; res.ABVPercent.High < 0.97*abv || res.ABVPercent.Low > all.ABVPercent.Value {
			t.Errorf("%g ml: strength %+v, want %.1f to %.1f", ml, res.ABVPercent, all.ABVPercent.Value, abv)
		}
		if ml < 700 && (!res.PHKnown || res.PH.High < acidity.Neutral || res.PH.Low > all.PH.Value) {
			t.Errorf("%g ml: pH %+v, all of it %+v", ml, res.PH, all.PH)
		}
	}
}

// TestNothingIsStrongerThanItsParts: of a litre of spirit of 63 % vol that a heap of dry plants
// soaks up nobody knows how much runs off, but not that it is stronger.
func TestNothingIsStrongerThanItsParts(t *testing.T) {
	res, err := Recipe{
		Bases: []Base{{Name: "spirit", VolumeML: Quantity{Value: 1000, SD: 10}, ABVPercent: Quantity{Value: 63}}},
		Solids: []Solid{{Name: "flowers", MassG: Quantity{Value: 300, SD: 10}, HeldMLPerG: Quantity{Value: 3, SD: 1},
			PressedMLPerG: Quantity{Value: 1.5, SD: 0.5}}},
		Pressed:   NotSaid,
		Additions: []Addition{{Name: "vinegar", MassG: Quantity{Value: 200, SD: 2}, PerG: Parts{Water: 0.95, Acetic: 0.05}}},
	}.Balance()
	if err != nil || res.ABVPercent.High > 63.001 || res.JarABVPercent.High > 63.001 || res.ABVPercent.High <= res.ABVPercent.Value {
		t.Errorf("%+v, in the jar %+v, %v", res.ABVPercent, res.JarABVPercent, err)
	}
}
