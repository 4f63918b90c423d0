package mixture

import (
	"math"
	"strings"
	"testing"

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
