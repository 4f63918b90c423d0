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

const (
	cup    = 236.5882365 // mL, US; NIST Handbook 44, Appendix C
	flOz   = 29.5735295625
	ounceG = 28.349523125
)

func exact(v float64) Quantity { return Quantity{Value: v} }

func spirit(name string, ml, abv float64) Base {
	return Base{Name: name, VolumeML: exact(ml), ABVPercent: exact(abv)}
}

func sugar(g float64) Addition {
	return Addition{Name: "sugar", MassG: exact(g), PerG: Parts{Sucrose: 1}}
}

func water(ml float64) Addition {
	return Addition{Name: "water", MassG: exact(ml * 0.9982), PerG: Parts{Water: 1}}
}

// syrup is ml of a syrup with parts of sugar to parts of water by mass.
func syrup(ml, sugar, water float64) Addition {
	p := Parts{Sucrose: sugar, Water: water}.PerG()
	return Addition{Name: "syrup", MassG: exact(ml * p.DensityKgPerM3() / 1000), PerG: p}
}

func balance(t testing.TB, r Recipe) Result {
	t.Helper()
	res, err := r.Balance()
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// TestCases are accounts of makers: common practice, no source. The strengths
// told are simple sums of volumes before losses, sugar at 0.62 mL/g. The same
// sum over the same recipe must agree with what is told, and the mixture, which
// shrinks, may come out up to 1.1 % vol above it.
func TestCases(t *testing.T) {
	orange := Parts{Water: 88.3, Sucrose: 4.2, Glucose: 2.1, Fructose: 2.2, Citric: 0.9, OtherSolids: 1}.PerG()
	for _, c := range []struct {
		name       string
		r          Recipe
		abv        float64
		sugarGPerL float64 // 0: not told
		ml         float64 // 0: not told
	}{
		{name: "allspice, staged cinnamon", abv: 14, ml: 700, r: Recipe{
			Bases: []Base{spirit("rum", cup, 40)},
			Additions: []Addition{water(1.5 * cup), {Name: "brown sugar", MassG: exact(2. / 3 * 220),
				PerG: Parts{Sucrose: 0.97, Water: 0.013, OtherSolids: 0.017}}},
		}},
		{name: "clove, lime, ginger in overproof", abv: 18.9, ml: 20 * flOz, r: Recipe{
			Bases: []Base{spirit("rum", 6*flOz, 63)}, Additions: []Addition{syrup(14*flOz, 2, 1)},
		}},
		{name: "ginger simmered, rum", abv: 18, r: Recipe{
			Bases: []Base{spirit("rum", 1.5*cup, 40)}, Additions: []Addition{water(1.5 * cup), sugar(0.75 * 200)},
		}},
		{name: "ginger simmered, honey, brandy", abv: 18, r: Recipe{
			Bases: []Base{spirit("brandy", 1.5*cup, 40)}, Additions: []Addition{water(cup), sugar(0.5 * 200),
				{Name: "honey", MassG: exact(0.5 * cup * 1.42), PerG: Parts{Water: 17.1, Fructose: 41, Glucose: 36, Sucrose: 5}.PerG()}},
		}},
		{name: "sugar takes up room", abv: 35.3, ml: 1344, r: Recipe{
			Bases: []Base{spirit("spirit", 500, 95)}, Additions: []Addition{water(750), sugar(150)},
		}},
		{name: "a litre of 70 % and a litre of sugar solution", abv: 35, r: Recipe{
			Bases: []Base{spirit("spirit", 1000, 70)}, Additions: []Addition{water(1000 - 300*0.618), sugar(300)},
		}},
		{name: "two ounces of syrup in a bottle", abv: 37.1, r: Recipe{
			Bases: []Base{spirit("spirit", 750, 40)}, Additions: []Addition{syrup(2*flOz, 1, 1)},
		}},
		{name: "ginger in overproof, back of envelope", abv: 38.5, r: Recipe{
			Bases: []Base{spirit("rum", 300, 63)}, Additions: []Addition{syrup(16.5*flOz-300, 3, 4)},
		}},
		{name: "orange wine, brandy", abv: 15, sugarGPerL: 190, r: Recipe{
			Bases: []Base{spirit("wine", 1000, 12), spirit("brandy", cup, 40)}, Additions: []Addition{sugar(4. / 3 * 200)},
		}},
		{name: "orange wine with juice", abv: 15, sugarGPerL: 180, r: Recipe{
			Bases: []Base{spirit("wine", 750, 12), spirit("brandy", 250, 40)},
			Additions: []Addition{sugar(220), {Name: "juice of 2 oranges", MassG: exact(2 * 86),
				PerG: orange}},
		}},
		{name: "orange wine, less sugar", abv: 14.9, sugarGPerL: 107, r: Recipe{
			Bases: []Base{spirit("wine", 1500, 12), spirit("brandy", 250, 40)}, Additions: []Addition{sugar(200)},
		}},
	} {
		res := balance(t, c.r)
		t.Logf("%-46s %.1f %% vol (told %.1f), %.0f g/L sugar, %.0f mL", c.name, res.ABVPercent.Value, c.abv, res.SugarGPerL.Value, res.VolumeML.Value)
		plain := 0.0
		for _, b := range c.r.Bases {
			plain += b.VolumeML.Value
		}
		for _, a := range c.r.Additions {
			plain += a.MassG.Value * (a.PerG.Water/0.9982 + 0.62*a.PerG.solutesG())
		}
		near(t, c.name+" by plain sum", res.ABVPercent.Value*res.VolumeML.Value/plain, c.abv, 0.5)
		if d := res.ABVPercent.Value - c.abv; d < -0.45 || d > 1.1 {
			t.Errorf("%s: %.2f %% vol, told %.1f", c.name, res.ABVPercent.Value, c.abv)
		}
		if c.sugarGPerL > 0 {
			near(t, c.name+" g/L", res.SugarGPerL.Value, c.sugarGPerL, 0.05*c.sugarGPerL)
		}
		if c.ml > 0 {
			near(t, c.name+" mL", res.VolumeML.Value, c.ml, 0.04*c.ml)
		}
		if res.BottleFraction <= 0 || res.BottleFraction > 1.05 {
			t.Errorf("%s: bottle fraction %v", c.name, res.BottleFraction)
		}
	}
}

// TestMarcTakesSpirit: the spice of the allspice case keeps about 1.5 mL of
// neat rum a gram, which costs a small batch more than a per cent of strength.
func TestMarcTakesSpirit(t *testing.T) {
	r := Recipe{Bases: []Base{spirit("rum", cup, 40)}, Additions: []Addition{water(1.5 * cup), sugar(147)}}
	whole := balance(t, r)
	r.Solids = []Solid{{Name: "allspice", MassG: exact(22), HeldMLPerG: exact(1.5)}}
	res := balance(t, r)
	near(t, "loss", res.LossML.Value, 33, 1e-9)
	near(t, "strength lost", whole.ABVPercent.Value-res.ABVPercent.Value, 1.3, 0.2)
	near(t, "spirit in the marc", res.MarcParts.ABVPercent(), 40, 1e-6)
}

// TestTooManyPlums: a kilogram of plums, 500 g of sugar and 1.8 L of spirit by
// the rule (common practice, no source), then with more fruit packed in: the
// water of the fruit takes the strength down with every kilogram.
func TestTooManyPlums(t *testing.T) {
	plums := func(g float64) Result {
		return balance(t, Recipe{
			Bases: []Base{spirit("spirit", 1800, 35)},
			Solids: []Solid{{Name: "plums", MassG: exact(g), HeldMLPerG: exact(0.5), // USDA: 87.2 % water, 9.9 % sugar
				PerG: Parts{Water: 0.872, Sucrose: 0.016, Glucose: 0.051, Fructose: 0.031, Malic: 0.01}}, {Name: "sugar", MassG: exact(500), PerG: Parts{Sucrose: 1}}},
		})
	}
	last := 35.0
	for _, kg := range []float64{0, 1, 1.5, 2, 3} {
		res := plums(1000 * kg)
		t.Logf("%.1f kg: %.1f %% vol, %.0f mL in the jar, %.0f strained", kg, res.ABVPercent.Value, res.JarVolumeML, res.StrainedML)
		if res.ABVPercent.Value >= last {
			t.Errorf("%g kg of plums: %.2f %% vol after %.2f", kg, res.ABVPercent.Value, last)
		}
		last = res.ABVPercent.Value
	}
	near(t, "1 kg", plums(1000).ABVPercent.Value, 630/(1800+1000*0.872+600*0.62)*100, 1.0)
}

func cordial() Recipe {
	return Recipe{
		Bases: []Base{{Name: "grape brandy", VolumeML: Quantity{Value: 700, SD: 5, Cause: "the measuring jug", Cure: "weigh the spirit"},
			ABVPercent: Quantity{Value: 57, SD: 0.3, Cause: "the spirit's label"}}},
		Solids: []Solid{
			{Name: "orange zest", MassG: Quantity{Value: 24, SD: 1}, PerG: Parts{Water: 0.725, Glucose: 0.03, Fructose: 0.03},
				HeldMLPerG: Quantity{Value: 0.8, SD: 0.3}, PressedMLPerG: Quantity{Value: 0.4, SD: 0.2}},
			{Name: "cardamom", MassG: Quantity{Value: 8, SD: 0.1}, HeldMLPerG: Quantity{Value: 1.7, SD: 0.4}, PressedMLPerG: Quantity{Value: 0.8, SD: 0.3}},
		},
		Additions: []Addition{
			{Name: "demerara syrup", MassG: Quantity{Value: 480, SD: 20, Cause: "sugar by the spoon", Cure: "weigh it"}, PerG: Parts{Sucrose: 0.66, Water: 0.34}},
			{Name: "orange juice", MassG: Quantity{Value: 157, SD: 4}, AcidFactor: Quantity{SD: 0.15, Cause: "how sour the fruit is", Cure: "titrate the juice"},
				PHShift: Quantity{SD: 0.15, Cause: "how sour the fruit is", Cure: "titrate the juice"}, SugarFactor: Quantity{SD: 0.1},
				PerG: mustTitrate(Parts{Water: 88.3, Sucrose: 4.2, Glucose: 2.1, Fructose: 2.2, Citric: 0.9, OtherSolids: 1}, 3.7, 9).PerG()},
		},
	}
}

func mustTitrate(p Parts, pH, ta float64) Parts {
	q, err := WithTitration(p, pH, ta)
	if err != nil {
		panic(err)
	}
	return q
}

// TestRecipe follows one blend by hand: masses through every step.
func TestRecipe(t *testing.T) {
	r := cordial()
	res := balance(t, r)
	spirit := drink(t, 57, 0).Times(0.7)
	zest := r.Solids[0].PerG.Times(24)
	jar := spirit.Plus(zest)
	near(t, "jar volume", res.JarVolumeML, jar.VolumeML(20), 1e-6)
	held := 24*0.8 + 8*1.7
	strained := jar.Times(1 - held/res.JarVolumeML)
	near(t, "strained", res.StrainedML, res.JarVolumeML-held, 1e-6)
	all := strained.Plus(r.Additions[0].PerG.Times(480)).Plus(r.Additions[1].PerG.Times(157))
	near(t, "mass", res.Parts.MassG(), all.MassG(), 1e-9)
	near(t, "volume", res.VolumeML.Value, all.VolumeML(20), 1e-6)
	near(t, "loss", res.LossML.Value, held, 1e-6)
	near(t, "fraction", res.BottleFraction, res.StrainedML/res.VolumeML.Value, 1e-12)
	near(t, "marc", res.MarcParts.VolumeML(20), held, 1e-6)
	if !res.PHKnown || res.PH.Value < 3.5 || res.PH.Value > 4.5 {
		t.Errorf("pH %v", res.PH)
	}
	for name, rg := range map[string]Range{"volume": res.VolumeML, "abv": res.ABVPercent, "sugar": res.SugarGPerL, "acid": res.AcidGPerL,
		"brix": res.Brix, "pH": res.PH, "aw": res.WaterActivity, "density": res.DensityKgPerM3, "loss": res.LossML} {
		if !(rg.Low < rg.Value && rg.Value < rg.High) {
			t.Errorf("%s: %v", name, rg)
		}
	}
	for f, shares := range res.Causes {
		sum := 0.0
		for i, s := range shares {
			sum += s.Fraction
			if i > 0 && s.Fraction > shares[i-1].Fraction {
				t.Errorf("%s: not sorted", f)
			}
		}
		near(t, string(f), sum, 1, 1e-9)
	}
	if top := res.Causes[Sugar][0]; top.Cause != "sugar by the spoon" || top.Cure != "weigh it" {
		t.Errorf("sugar: %+v", res.Causes[Sugar])
	}
	if n := len(res.Steps); n != 6 {
		t.Errorf("%d steps: %+v", n, res.Steps)
	}

	pressed := r
	pressed.Pressed = Pressed
	if p := balance(t, pressed); p.StrainedML <= res.StrainedML {
		t.Error("pressing gives nothing back")
	}
	left := r
	left.Solids = []Solid{r.Solids[0], r.Solids[1]}
	left.Solids[0].LeftIn, left.Solids[1].LeftIn = true, true
	near(t, "left in", balance(t, left).StrainedML, res.JarVolumeML, 1e-6)
}

// TestSpread compares the ranges with a simulation of the same recipe, every
// input drawn from its normal distribution: the first-order sum must be within
// a tenth of it.
func TestSpread(t *testing.T) {
	r := cordial()
	res := balance(t, r)
	rng := newSource(7)
	var abv, sugar, ph []float64
	for range 400 {
		s := r.clone()
		for _, in := range s.inputs() {
			in.set(in.q.Value + in.q.SD*rng.normal())
		}
		o, err := s.follow(sugarRoomSD * rng.normal())
		if err != nil {
			t.Fatal(err)
		}
		abv, sugar, ph = append(abv, o.figures[iABV]), append(sugar, o.figures[iSugar]), append(ph, o.figures[iPH])
	}
	near(t, "strength", deviation(abv)*z90, res.ABVPercent.High-res.ABVPercent.Value, 0.12*(res.ABVPercent.High-res.ABVPercent.Value))
	near(t, "sugar", deviation(sugar)*z90, res.SugarGPerL.High-res.SugarGPerL.Value, 0.12*(res.SugarGPerL.High-res.SugarGPerL.Value))
	inputs := math.Sqrt(square(res.PH.High-res.PH.Value) - square(acidity.Error(res.ABVPercent.Value)))
	near(t, "pH", deviation(ph)*z90, inputs, 0.12*inputs)
}

// source is a small reproducible random source (a sum of twelve uniforms).
type source struct{ x uint64 }

func newSource(seed uint64) *source { return &source{seed} }

func (s *source) normal() float64 {
	sum := -6.0
	for range 12 {
		s.x = s.x*6364136223846793005 + 1442695040888963407
		sum += float64(s.x>>11) / (1 << 53)
	}
	return sum
}

func deviation(xs []float64) float64 {
	mean, sum := 0.0, 0.0
	for _, x := range xs {
		mean += x / float64(len(xs))
	}
	for _, x := range xs {
		sum += square(x - mean)
	}
	return math.Sqrt(sum / float64(len(xs)-1))
}

func TestMeasured(t *testing.T) {
	plain := balance(t, cordial())
	q := func(v, sd float64) *Quantity { return &Quantity{Value: v, SD: sd} }

	r := cordial()
	r.Measured = Measured{VolumeML: q(plain.VolumeML.Value-8, 5), ABVPercent: q(plain.ABVPercent.Value+0.3, 0.2),
		SugarGPerL: q(plain.SugarGPerL.Value+5, 5), PH: q(plain.PH.Value+0.1, 0.05)}
	res := balance(t, r)
	near(t, "volume", res.VolumeML.Value, plain.VolumeML.Value-8, 1e-6)
	near(t, "strength", res.ABVPercent.Value, plain.ABVPercent.Value+0.3, 1e-6)
	near(t, "sugar", res.SugarGPerL.Value, plain.SugarGPerL.Value+5, 1e-6)
	near(t, "pH", res.PH.Value, plain.PH.Value+0.1, 1e-6)
	near(t, "spread of pH", res.PH.High-res.PH.Value, 0.05*z90, 1e-6)
	near(t, "spread of volume", res.VolumeML.High-res.VolumeML.Value, 5*z90, 0.01)
	if pH, _ := res.Parts.PH(); math.Abs(pH-res.PH.Value) > 1e-6 {
		t.Errorf("parts give pH %v, measured %v: what is computed next would not follow", pH, res.PH.Value)
	}
	if len(res.Warnings) > 0 {
		t.Errorf("warnings for readings that fit: %q", res.Warnings)
	}
	if res.LossML.Value <= plain.LossML.Value {
		t.Error("less volume, yet no more loss")
	}

	// A float read after sweetening.
	r = cordial()
	r.Measured = Measured{ABVPercent: q(12, 0.5)}
	res = balance(t, r)
	near(t, "strength wins", res.ABVPercent.Value, 12, 1e-6)
	if len(res.Warnings) != 1 || !strings.Contains(res.Warnings[0], "float") {
		t.Errorf("warnings %q", res.Warnings)
	}

	// The strained volume shifts what follows: less spirit, same syrup.
	r = cordial()
	r.Measured = Measured{StrainedML: q(plain.StrainedML-100, 5)}
	res = balance(t, r)
	near(t, "strained", res.StrainedML, plain.StrainedML-100, 1e-6)
	if res.SugarGPerL.Value <= plain.SugarGPerL.Value || res.ABVPercent.Value >= plain.ABVPercent.Value || len(res.Warnings) != 1 {
		t.Errorf("sugar %v, strength %v, warnings %q", res.SugarGPerL, res.ABVPercent, res.Warnings)
	}

	// pH measured where it cannot be computed, but explained.
	r = Recipe{Bases: []Base{{Name: "wine", VolumeML: exact(750), ABVPercent: exact(12), PerLitre: Parts{OtherAcid: 6}}}, Measured: Measured{PH: q(3.4, 0.05)}}
	if res = balance(t, r); !res.PHKnown || res.PH.Value != 3.4 || len(res.Warnings) != 0 {
		t.Errorf("pH %v %v, warnings %q", res.PH, res.PHKnown, res.Warnings)
	}
	r.Measured = Measured{}
	if res = balance(t, r); res.PHKnown || len(res.Warnings) != 1 {
		t.Errorf("pH %v %v, warnings %q", res.PH, res.PHKnown, res.Warnings)
	}
}

// TestOtherReadings: density, acid and degrees Brix give back what the blend
// was made with.
func TestOtherReadings(t *testing.T) {
	q := func(v float64) *Quantity { return &Quantity{Value: v, SD: 0.01 * v} }
	plain := balance(t, cordial())

	r := cordial()
	r.Additions = r.Additions[1:] // the syrup was forgotten, the float shows it
	r.Measured = Measured{VolumeML: &Quantity{Value: plain.VolumeML.Value, SD: 5}, DensityKgPerM3: q(plain.DensityKgPerM3.Value), ABVPercent: q(plain.ABVPercent.Value)}
	res := balance(t, r)
	near(t, "sugar from density", res.SugarGPerL.Value, plain.SugarGPerL.Value, 1)
	near(t, "density", res.DensityKgPerM3.Value, plain.DensityKgPerM3.Value, 1e-6)
	if len(res.Warnings) == 0 {
		t.Error("no warning for a density far off")
	}

	r = cordial()
	r.Bases = append([]Base(nil), r.Bases...)
	r.Bases[0].ABVPercent.Value = 50 // the label was wrong
	r.Measured = Measured{DensityKgPerM3: q(plain.DensityKgPerM3.Value), SugarGPerL: q(plain.SugarGPerL.Value)}
	near(t, "strength from density", balance(t, r).ABVPercent.Value, plain.ABVPercent.Value, 0.05)

	r = cordial()
	r.Measured = Measured{AcidGPerL: q(2 * plain.AcidGPerL.Value)}
	res = balance(t, r)
	near(t, "acid", res.AcidGPerL.Value, 2*plain.AcidGPerL.Value, 1e-6)
	if res.PH.Value >= plain.PH.Value || len(res.Warnings) != 1 {
		t.Errorf("pH %v, warnings %q", res.PH, res.Warnings)
	}
	r.Measured.PH = &Quantity{Value: 3.3, SD: 0.05}
	res = balance(t, r)
	near(t, "acid with pH", res.AcidGPerL.Value, 2*plain.AcidGPerL.Value, 0.002)
	near(t, "pH with acid", res.PH.Value, 3.3, 0)
	pH, _ := res.Parts.PH()
	near(t, "pH of the parts", pH, 3.3, 1e-6)

	syrup := Recipe{Additions: []Addition{water(500), sugar(400)}, Measured: Measured{Brix: q(50)}}
	res = balance(t, syrup)
	near(t, "solids", res.Brix.Value, 50, 1e-6)
	r = cordial()
	r.Measured = Measured{Brix: q(30)}
	if res = balance(t, r); len(res.Warnings) != 1 || res.SugarGPerL != plain.SugarGPerL {
		t.Errorf("Brix in alcohol: %q", res.Warnings)
	}
}

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
			// The peel may have kept 15 ml less.
			if j := judged.ABVPercent.Value * m.volume; !slices.Contains(res.Held, Volume) || j > plain.ABVPercent.Value*plain.VolumeML.Value+15*40 {
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
