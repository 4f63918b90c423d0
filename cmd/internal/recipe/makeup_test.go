package recipe

import (
	"math"
	"testing"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// TestWhatNobodyAnswersForNeverComforts: a figure from memory or an unsigned page
// is no pH or acid to judge a gate on, its acid only may be there, and its content
// keeps its warning; every other grade decides.
func TestWhatNobodyAnswersForNeverComforts(t *testing.T) {
	for grade, why := range map[library.Grade]string{
		library.Published: "", library.Derived: "", library.Own: "", library.Practice: "", library.Judgement: "",
		library.Page: "from an unsigned page", library.Memory: "from memory",
	} {
		n := library.Number{Value: 1, Low: 1, High: 1, Source: "steepbook", Grade: grade}
		decides := why == ""
		if proven(n) != decides || doubtOf(n) != why {
			t.Errorf("%s: proven %v, doubt %q", grade, proven(n), doubtOf(n))
		}
		var p mixture.Parts
		addAcid(&p, "citric", 1, grade)
		if (p.Citric == 1) != decides || (p.OtherAcid == 1) == decides {
			t.Errorf("%s: acid counted as %+v", grade, p)
		}
		if got := doubtOfLimit(library.Limit{MGPerL: n}); (got == "") != decides {
			t.Errorf("%s: a limit of it is in doubt for %q", grade, got)
		}
	}
	if got := doubtOfLimit(library.Limit{MGPerL: library.Number{Value: 1, Source: "eu-1334-2008", Grade: library.Published}, Exempt: "plain herb or spice"}); got == "" {
		t.Error("a level that the law exempts from stops somebody")
	}
	// None of what the built-in library knows makes up its mind on such a figure.
	l := library.Builtin()
	for key, h := range l.Hazards() {
		if h.Decides() && doubtOf(h.MGPerG) != "" && !h.LimitGPerDay.Known() {
			t.Errorf("%s decides on a content %s", key, doubtOf(h.MGPerG))
		}
	}
}

// A titratable acidity as citric: equivalent masses from the molar masses and
// numbers of protons of the acids (citric 192.12/3, malic 134.09/2, tartaric
// 150.09/2, acetic 60.05, lactic 90.08 g/mol; IUPAC standard atomic weights).
func TestAcidsAsCitric(t *testing.T) {
	for acid, want := range map[string]float64{
		"citric": 1, "": 1, "malic": 192.12 / 3 / (134.09 / 2), "tartaric": 192.12 / 3 / (150.09 / 2),
		"acetic": 192.12 / 3 / 60.05, "lactic": 192.12 / 3 / 90.08,
	} {
		if got := asCitric(acid); math.Abs(got/want-1) > 2e-4 {
			t.Errorf("1 g of %s acid is %g g of citric, want %g", acid, got, want)
		}
	}
}

func TestBrixSetsTheSugar(t *testing.T) {
	plain, err := library.Builtin().Ingredient("simple syrup")
	if err != nil {
		t.Fatal(err)
	}
	syrup := ingredientParts(plain)
	for _, brix := range []float64{10, 50, 66} {
		got := mixture.WithBrix(syrup, brix)
		if math.Abs(got.SugarG()-brix/100) > 0.01 || math.Abs(got.MassG()-syrup.MassG()) > 1e-9 || got.Water < 0 {
			t.Errorf("%g Brix: %+v", brix, got)
		}
	}
	if got := mixture.WithBrix(mixture.Parts{Water: 1}, 65).SugarG(); math.Abs(got-0.65) > 1e-9 {
		t.Errorf("water at 65 Brix holds %g g of sugar", got)
	}
}

// TestMeasuredFillsItsMeasure: what is poured and was read off it is as heavy as its sugar makes it (sucrose in
// water at 20 °C, ICUMSA SPS-4, to the gram: 50 °Bx 1230, 60 °Bx 1286, 66 °Bx 1323 kg/m3), so that it fills the measure
// that it was poured with; what was weighed keeps its weight; and a single fruit's sweetness is believed.
func TestMeasuredFillsItsMeasure(t *testing.T) {
	lib := library.Builtin()
	of := func(name, amount string, brix float64) mixture.Addition {
		ing, err := lib.Ingredient(name)
		if err != nil {
			t.Fatal(err)
		}
		a, err := quantity.ParseAmount(amount)
		if err != nil {
			t.Fatal(err)
		}
		w, err := ing.Grams(a)
		if err != nil {
			t.Fatal(err)
		}
		return ingredientAddition(batch.Addition{Name: name, Amount: &a, Brix: &brix}, ing, w)
	}
	for brix, density := range map[float64]float64{50: 1.230, 60: 1.286, 66: 1.323} {
		x := of("simple syrup", "500 ml", brix)
		if ml := x.PerG.Times(x.MassG.Value).VolumeML(20); math.Abs(ml-500) > 3 || math.Abs(x.MassG.Value-500*density) > 4 {
			t.Errorf("500 ml of %g °Bx: %.1f ml, %.1f g, want %.1f", brix, ml, x.MassG.Value, 500*density)
		}
		if g := of("simple syrup", "500 g", brix).MassG.Value; g != 500 {
			t.Errorf("500 g of %g °Bx weigh %g g", brix, g)
		}
	}
	for read, most := range map[float64]float64{16: 16.1, 40: 18.6} {
		if got := of("apple juice", "100 ml", read).PerG.Brix(); got > most || got < 15.8 {
			t.Errorf("apple juice of %g °Bx counts as %.2f", read, got)
		}
	}
}

// TestHardWaterBluntsLittleAcid: so much water may be that it blunts a little acid past every gate, while it moves
// no syrup of usual acid there; the likely pH is that of soft water.
func TestHardWaterBluntsLittleAcid(t *testing.T) {
	water, err := library.Builtin().Ingredient("tap water")
	if err != nil {
		t.Fatal(err)
	}
	per := ingredientParts(water)
	soft := per
	soft.StrangeMMol = 0
	for _, c := range []struct{ litres, citric, least, most float64 }{ // the high end of the pH
		{1, 5, 2, 3.2}, {1, 25, 1.8, 2.5}, {0.5, 2, 2, 3.3}, {10, 6, 3.6, 7}, {5, 1, 4.5, 9},
	} {
		acid := mixture.Parts{Citric: c.citric}
		_, value, high, ok := acid.Plus(per.Times(1000 * c.litres)).PHRange()
		if plain, _ := acid.Plus(soft.Times(1000 * c.litres)).PH(); !ok && c.least < 4.5 || high < c.least || high > c.most || math.Abs(value-plain) > 1e-9 {
			t.Errorf("%g g of citric acid in %g l: pH %.2f to %.2f, soft %.2f", c.citric, c.litres, value, high, plain)
		}
	}
}

// TestFills: a litre is four bottles of 250 ml whatever the last digit of the yield.
func TestFills(t *testing.T) {
	for _, c := range []struct {
		ml, size    float64
		full, begun int
	}{
		{1000, 250, 4, 4}, {999.6, 250, 4, 4}, {996, 250, 4, 4}, {1004, 250, 4, 4}, {980, 250, 3, 4}, {1100, 250, 4, 5}, {240, 250, 0, 1}, {246, 250, 1, 1},
	} {
		if b := fills(c.ml, c.size); b.Full != c.full || b.Begun() != c.begun {
			t.Errorf("%g ml in bottles of %g: %d full, %d begun, %g over", c.ml, c.size, b.Full, b.Begun(), b.RestML)
		}
	}
}
