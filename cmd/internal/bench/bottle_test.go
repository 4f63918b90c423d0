package bench

import (
	"math"
	"steepbook/cmd/internal/keeping"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/recipe"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// byHand fails where a figure is further from a hand sum than by.
func byHand(t *testing.T, what string, got, want, by float64) {
	t.Helper()
	if !(math.Abs(got-want) <= by) {
		t.Errorf("%s is %.4g, by hand %.4g", what, got, want)
	}
}

// TestTwoSpirits: half a litre at 60 and half a litre at 15 % vol are 375 ml of
// alcohol in less than a litre, since they shrink as they mix (OIML R 22: 997 ml at
// most); one strength is said everywhere.
func TestTwoSpirits(t *testing.T) {
	a := gated(t, "", `
[[spirit]]
name = "rum"
abv = 60
amount = "500 ml"
[[spirit]]
name = "vodka"
abv = 15
amount = "500 ml"
[[botanical]]
name = "clove"
amount = "0.1 g"
`)
	byHand(t, "the strength", a.Blend.Result.ABVPercent.Value, 37.9, 0.15)
	byHand(t, "the strength it steeps in", recipe.BaseStrength(a.Recipe.Bases), a.Blend.Result.JarParts.ABVPercent(), 0.005)
	byHand(t, "the strength without botanicals", a.Blend.BareABVPercent, recipe.BaseStrength(a.Recipe.Bases), 0.005)
}

// TestFatWash: fat goes in and comes out again. Of 700 ml at 45 % vol with 120 g of
// browned butter, which has no water left, about 10 ml cling to the cake; 120 g of
// butter bring 19 g of water (USDA SR, NDB 01001: 15.87 %), so 709 ml hold the 315 ml
// of alcohol.
func TestFatWash(t *testing.T) {
	const rum = "[spirit]\nname = \"rum\"\nabv = 45\namount = \"700 ml\"\n"
	wash := func(name string, keys ...string) *Assessment {
		return gated(t, "", rum+entry("botanical", name, append(keys, `amount = "120 g"`)...))
	}
	r := wash("browned butter").Blend.Result
	byHand(t, "the yield of a wash", r.VolumeML.Value, 690, 3)
	byHand(t, "its strength", r.ABVPercent.Value, 45, 0.1)
	byHand(t, "its fat", r.Parts.Fat, 0, 0)
	r = wash("butter").Blend.Result
	byHand(t, "the strength washed with wet butter", r.ABVPercent.Value, 43.9, 0.15)
	off, left := wash("browned butter"), wash("browned butter", "leave_in = true")
	if v := off.Keep.Verdict.Verdict; v != shelf.VerdictShelf || len(off.Blend.Bottle.FatTraces) == 0 || len(off.Keep.Allergens) == 0 {
		t.Errorf("with the fat off: %s, allergens %v", v, off.Keep.Allergens)
	}
	if v := left.Keep.Verdict.Verdict; v == shelf.VerdictShelf || !left.Blend.Bottle.Oil {
		t.Errorf("with the fat in: %s", v)
	}
	byHand(t, "the yield with the fat in", left.Blend.Result.VolumeML.Value, 700+120/0.92, 4)
	in := gated(t, "", rum+entry("addition", "browned butter", `amount = "120 g"`, `in = "0 h"`))
	byHand(t, "the yield in either table", in.Blend.Result.VolumeML.Value, off.Blend.Result.VolumeML.Value, 1e-9)
}

// TestStrengthInAName: what a name says of strength counts in every table, and a
// top-up of the base is as strong as the base.
func TestStrengthInAName(t *testing.T) {
	abv := func(lines string) float64 { return gated(t, "", lines).Blend.Result.ABVPercent.Value }
	for _, name := range []string{"rum 63 % vol", "126 proof rum", "rum 63%"} {
		byHand(t, name+" as base", abv("[spirit]\nname = \""+name+"\"\namount = \"700 ml\"\n"), 63, 1e-6)
		// 315 ml of pure alcohol in 1000 ml of water and rum, which shrink by a hundredth (OIML R 22).
		byHand(t, name+" as addition", abv(entry("addition", "water", `amount = "500 ml"`)+entry("addition", name, `amount = "500 ml"`)), 31.8, 0.1)
	}
	const base = "[spirit]\nname = \"grape brandy\"\nabv = 57\namount = \"700 ml\"\n"
	byHand(t, "topped up", abv(base+entry("addition", "grape brandy", `amount = "100 ml"`)), 57, 1e-6)
	byHand(t, "topped up with another", abv(base+entry("addition", "grape brandy 40 %", `amount = "100 ml"`)), 54.9, 0.15)
	// 10 ml of a half-and-half solution of 1.24 g/ml hold 6.2 g of acid.
	a := gated(t, "", base+entry("addition", "citric acid 50 %", `amount = "10 ml"`))
	byHand(t, "a solution of citric acid", a.Blend.Result.Parts.Citric, 6.2, 0.1)
	// A per cent of milk is its fat.
	if a := gated(t, "", "[spirit]\nname = \"milk 3.5 %\"\namount = \"500 ml\"\n"); a.Blend.Result.ABVPercent.Value != 0 {
		t.Error("milk is strong")
	}
}

// TestBottles: a bottle costs its share of the volume, and holds its drinks.
func TestBottles(t *testing.T) {
	a := gated(t, "", "[spirit]\nname = \"rum\"\nabv = 40\namount = \"1 l\"\nprice = 20\n[finish]\nbottle = \"250 ml\"\nserve = \"50 ml\"\n")
	x := a.Blend.Portions
	byHand(t, "a bottle's cost", *x.PerBottle, 5, 1e-9)
	byHand(t, "a litre's cost", *x.PerLitre, 20, 1e-9)
	byHand(t, "UK units in 50 ml of 40 % vol", x.PerServeG/keeping.DrinksIn(&batch.House{Country: batch.UK}, quantity.Metric)[0].EthanolG, 2, 1e-3)
	byHand(t, "US drinks in a bottle", x.PerBottleG/keeping.DrinksIn(nil, quantity.US)[0].EthanolG, 250*0.4*0.78924/14, 1e-3)
	if d := a.Drinks(); len(d) != 3 {
		t.Errorf("%v", d)
	}
	a.question.House = &batch.House{Country: batch.AU}
	if d := a.Drinks(); len(d) != 1 || d[0].EthanolG != 10 {
		t.Errorf("%v", d)
	}
	a.question.House, a.Batch.Units = nil, quantity.US
	if d := a.Drinks(); len(d) != 1 || d[0].EthanolG != 14 {
		t.Errorf("%v", d)
	}
}

// TestUnknownAddition: what nobody knows counts as water, so that the rest is still
// worked out; its figures are the least there can be, their ranges reach to all that so
// much of it can be, the jar is as thinned as by water, and it is kept cold.
func TestUnknownAddition(t *testing.T) {
	const base = "[spirit]\nname = \"rum\"\nabv = 40\namount = \"700 ml\"\n[[botanical]]\nname = \"clove\"\namount = \"2 g\"\ntarget = 4\n"
	sugar := entry("addition", "white sugar", `amount = "200 g"`)
	for _, amount := range []string{"150 ml", "150 g", "5 oz"} {
		a := gated(t, "", base+sugar+entry("addition", "zorbnik nectar", "amount = \""+amount+"\""))
		b := &a.Blend
		if !b.Whole() || len(b.Unread) != 1 || a.Keep.Advised.Place != shelf.Fridge || a.Keep.Verdict.Confidence != "low" || len(a.Keep.Unknown) != 1 {
			t.Fatalf("%s: %v, %v, %s", amount, b.Missing, b.Unread, a.Keep.Verdict.Verdict)
		}
		for _, is := range []string{"water", "neutral spirit 96 %", "honey", "lemon juice"} {
			told := gated(t, "", base+sugar+entry("addition", is, `amount = "150 ml"`)).Blend
			for of, r := range map[string][2]mixture.Range{"strength": {b.Result.ABVPercent, told.Result.ABVPercent},
				"sugar": {b.Result.SugarGPerL, told.Result.SugarGPerL}, "acid": {b.Result.AcidGPerL, told.Result.AcidGPerL}} {
				if r[1].Value < r[0].Low || r[1].Value > r[0].High || math.IsInf(r[0].High, 1) {
					t.Errorf("%s: the %s %v does not hold %v of %s", amount, of, r[0], r[1].Value, is)
				}
			}
			if is == "water" {
				byHand(t, "the share of the jar", b.Result.BottleFraction, told.Result.BottleFraction, 0.01)
			}
		}
	}
	a := gated(t, "", base+sugar+entry("addition", "zorbnik nectar"))
	if b := &a.Blend; !b.Have() || b.Whole() || len(b.Absent) != 1 || a.Keep.Verdict.Verdict != shelf.VerdictUnknown {
		t.Errorf("without an amount: %v, %v", b.Missing, b.Absent)
	}
}

// TestATrifleOfTheUnknown: too little of what nobody knows to be food as rich as milk leaves a
// sour drink what it is, but for its question; soda and much of anything do not.
func TestATrifleOfTheUnknown(t *testing.T) {
	const drink = "[spirit]\nname = \"rum 63 %\"\namount = \"180 ml\"\n[[botanical]]\nname = \"ginger\"\ncut = \"grated\"\namount = \"30 g\"\n" +
		"[[addition]]\nname = \"rich syrup\"\namount = \"400 ml\"\n[[addition]]\nname = \"lime juice\"\namount = \"130 ml\"\n"
	plain := gated(t, "", drink)
	for _, c := range []struct {
		name, amount string
		fails        bool
	}{
		{"zorbnik essence", "2 drops", false}, {"zorbnik essence", "0.1 g", false}, {"zorbnik essence", "1/4 tsp", false},
		{"zorbnik essence", "2 tsp", true}, {"zorbnik essence", "30 ml", true}, {"baking soda", "2 tsp", true},
	} {
		a := gated(t, "", drink+entry("addition", c.name, "amount = \""+c.amount+"\""))
		was, is := plain.Blend.Result.PH, a.Blend.Result.PH
		if a.Keep.Verdict.Fails != c.fails || len(a.Keep.Unknown) != 1 || !a.Blend.Whole() || a.Blend.Trifling == c.fails {
			t.Errorf("%s of %s: fails %v, pH %v, unknown %q", c.amount, c.name, a.Keep.Verdict.Fails, is, a.Keep.Unknown)
		}
		if is.Low > was.Low+0.01 || is.High < was.High-0.01 || math.Abs(is.Value-was.Value) > 0.1 {
			t.Errorf("%s of %s: pH %v, was %v", c.amount, c.name, is, was)
		}
	}
}

// TestUnknownPlantMovesNoLikelyPH: a plant that nobody knows opens the range of the pH, and its
// likely value stays that of as much water.
func TestUnknownPlantMovesNoLikelyPH(t *testing.T) {
	const jar = "[spirit]\nname = \"rum 54 %\"\namount = \"1.5 l\"\n[[botanical]]\nname = \"strawberry\"\namount = \"500 g\"\n"
	alone, plant := gated(t, "", jar).Blend.Result.PH, gated(t, "", jar+entry("botanical", "zorbnik", `amount = "500 g"`)).Blend.Result.PH
	if math.Abs(plant.Value-alone.Value) > 0.3 || plant.High < 6 || plant.Low > alone.Low {
		t.Errorf("pH %v, with the plant %v", alone, plant)
	}
}

// TestSpiritThatJoinsLater: a spirit that joins the jar counts for what strength may
// be read, and egg lies in it from its own hour, not from that of the first plant.
func TestSpiritThatJoinsLater(t *testing.T) {
	const wine = "[spirit]\nname = \"white wine\"\nabv = 12\namount = \"300 ml\"\n"
	a := gated(t, "", wine+entry("addition", "rum", "abv = 63", `amount = "700 ml"`, `in = "1 h"`)+"[measured]\nabv = 47\n")
	byHand(t, "the strength read", a.Blend.Result.ABVPercent.Value, 47, 0.1)
	b := gated(t, "", wine+entry("addition", "egg", `amount = "4 pieces"`, `in = "0 h"`)+entry("botanical", "clove", `amount = "1 g"`, `in = "12 h"`))
	if b.Blend.Bottle.WeakSteepH < 10 {
		t.Errorf("egg lay %g h in wine", b.Blend.Bottle.WeakSteepH)
	}
}

// TestWaterByTime: what is grated fresh and comes out again has given no less of its
// water than of its flavour by then, and no more than all; by hand 100 g of ginger
// hold 79 g of water (USDA SR, NDB 11216), and 300 ml at 63 % vol are 189 ml of alcohol,
// so all of it would leave 49.9 % vol and none 63.
func TestWaterByTime(t *testing.T) {
	jar := func(out string) mixture.Range {
		return gated(t, "", "[spirit]\nname = \"rum\"\nabv = 63\namount = \"300 ml\"\n"+entry("botanical", "ginger", `cut = "grated"`, `amount = "100 g"`)+
			"[finish]\npress = false\nstrained = \""+out+"\"\n").Blend.Result.ABVPercent
	}
	soon, late := jar("10 min"), jar("30 d")
	if !(soon.Value > late.Value+1 && soon.Low <= late.Value && soon.High < 63.5) {
		t.Errorf("after ten minutes %v, after a month %v", soon, late)
	}
	byHand(t, "the strength after a month", late.Value, 49.9, 0.7)
}

// TestPerCentThatIsNoAlcohol: nought is a strength; a per cent that cannot be read is
// asked about; what it says of a thing that is no spirit thins it, or the thing is
// unknown: none of it makes a bottle keep.
func TestPerCentThatIsNoAlcohol(t *testing.T) {
	garlic := entry("botanical", "garlic", `amount = "50 g"`) + "[finish]\npress = true\n"
	for _, name := range []string{"gin 0.0 % vol", "0 % gin", "gin 0 proof", "glycerine 5 %", "honey 5 %", "tomato juice 50%", "acid phosphate 85 %", "beer 0.5 %", "vodka 50/50"} {
		a := gated(t, "", "[spirit]\nname = \""+name+"\"\namount = \"700 ml\"\n"+garlic)
		if a.Blend.Whole() && a.Keep.Advised.Place == shelf.Room {
			t.Errorf("%s: %v at %s", name, a.Blend.Result.ABVPercent, a.Keep.Advised.Place)
		}
	}
	for _, name := range []string{"glycerin 5 %", "citric acid 0 %", "vanilla extract 5 %", "lime juice 5 %", "bitters 5 %", "salt 5 %", "tomato juice 50 %"} {
		a := gated(t, "", "[spirit]\nname = \"vodka\"\nabv = 40\namount = \"200 ml\"\n"+garlic+entry("addition", name, `amount = "700 ml"`))
		if a.Keep.Advised.Place == shelf.Room {
			t.Errorf("%s: a shelf at %v", name, a.Blend.Result.ABVPercent)
		}
	}
	for _, name := range []string{"gin 140 %", "gin -5 %", "vodka 20-30 %", "rum 40 % 60 %"} {
		src := "name = \"T\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nname = \"" + name + "\"\namount = \"700 ml\"\n"
		if _, err := batch.Parse("t.toml", []byte(src), time.UTC); err == nil || !strings.Contains(err.Error(), "cannot be read") {
			t.Errorf("%s: %v", name, err)
		}
	}
	beer := gated(t, "", "[spirit]\nname = \"beer\"\namount = \"500 ml\"\n").Blend.Result.ABVPercent
	byHand(t, "the strength of beer as a base", beer.Value, 4.7, 1)
}

// TestLikeTakesNoCareAway: what a thing is like lends figures; it stays unknown.
func TestLikeTakesNoCareAway(t *testing.T) {
	a := gated(t, "", "[spirit]\nname = \"wine\"\nabv = 8\namount = \"700 ml\"\n"+entry("botanical", "zorkle fruit", `amount = "300 g"`, `like = "lemon"`))
	if len(a.Keep.Unknown) != 1 || a.Keep.Verdict.Confidence != "low" || a.Blend.Result.Parts.Citric > 0 {
		t.Errorf("%v, %s, %g g of citric acid", a.Keep.Unknown, a.Keep.Verdict.Confidence, a.Blend.Result.Parts.Citric)
	}
}

// TestFortifiedKeepsItsVolume: a litre at 40 % vol holds 316 g of ethanol, whatever
// it was (OIML R 22: 789.24 g/l).
func TestFortifiedKeepsItsVolume(t *testing.T) {
	for _, name := range []string{"water", "milk", "orange juice"} {
		r := gated(t, "", entry("addition", name, "abv = 40", `amount = "1 l"`)).Blend.Result
		byHand(t, "ethanol in a litre of "+name+" at 40 % vol", r.Parts.Ethanol, 315.7, 1)
	}
	b := somejar.Parse(t, "name = \"T\"\nstarted = 2026-11-20T18:00:00\n"+entry("addition", "beer", `amount = "500 ml"`, `boiled_off = "300 ml"`))
	if _, err := Read(b, library.Builtin(), Question{Now: b.Started}); err == nil || !strings.Contains(err.Error(), "boils off before the water") {
		t.Errorf("boiled beer: %v", err)
	}
}

// TestWeakJarsAreSeen: whatever table it stands in, whenever it went in, whatever is
// not written beside it: what lay in a jar that held nothing back is not mended by the
// spirit that goes in after straining.
func TestWeakJarsAreSeen(t *testing.T) {
	const water = "[spirit]\nname = \"water\"\namount = \"300 ml\"\n"
	strong := entry("addition", "vodka", "abv = 96", `amount = "500 ml"`)
	cinnamon := entry("botanical", "cinnamon", `amount = "2 g"`)
	weak := func(base string) string { return "[spirit]\nname = \"vodka\"\nabv = 20\namount = \"300 ml\"\n" + base }
	for name, lines := range map[string]string{
		"garlic without a plant":       water + entry("addition", "garlic", `amount = "40 g"`, `in = "0 h"`) + strong,
		"garlic that joins at 5 h":     water + cinnamon + entry("addition", "garlic", `amount = "40 g"`, `in = "5 h"`) + strong,
		"cucumber like lemon":          water + entry("botanical", "cucumber", `amount = "300 g"`, `like = "lemon"`) + strong,
		"pumpkin with lemon":           water + entry("botanical", "pumpkin with lemon", `amount = "200 g"`, `like = "lemon"`) + strong,
		"cucumber nobody weighed":      weak(entry("botanical", "cucumber")) + strong,
		"garlic, and sugar to come":    water + entry("botanical", "garlic", `amount = "40 g"`) + entry("addition", "white sugar"),
		"unknown leaves that join":     water + cinnamon + entry("addition", "fresh zorp leaves", `amount = "40 g"`, `in = "0 h"`) + strong,
		"milk as the base, rum at 40h": "[spirit]\nname = \"milk\"\namount = \"300 ml\"\n" + cinnamon + entry("addition", "vodka", "abv = 96", `amount = "300 ml"`, `in = "13 h"`),
	} {
		if a := gated(t, "", lines); a.Blend.Bottle.WeakSteepH <= shelf.WeakSteepH || !a.Unfit() {
			t.Errorf("%s: %g h, %s at %s", name, a.Blend.Bottle.WeakSteepH, a.Keep.Verdict.Verdict, a.Keep.Advised.Place)
		}
	}
	a := gated(t, "", "[spirit]\nname = \"water\"\namount = \"100 ml\"\n"+entry("addition", "vinegar 30 %", `amount = "400 ml"`))
	if v := a.Blend.Result.ABVPercent.Value; v > 0.5 {
		t.Errorf("vinegar essence has %g %% vol", v)
	}
	a = gated(t, "", "[spirit]\nname = \"wine\"\nabv = 12\namount = \"700 ml\"\n"+entry("botanical", "lemon", `amount = "77 g"`)+entry("botanical", "xyzzy root", `amount = "60 g"`, `like = "lemon"`))
	b := gated(t, "", "[spirit]\nname = \"wine\"\nabv = 12\namount = \"700 ml\"\n"+entry("botanical", "lemon", `amount = "77 g"`)+entry("botanical", "xyzzy root", `amount = "60 g"`))
	if like, plain := a.Blend.Result.PH.High, b.Blend.Result.PH.High; like < plain-0.05 {
		t.Errorf("a likeness lowers the highest pH from %.2f to %.2f", plain, like)
	}
}

// TestMilkClotsWhereverItMeetsAcid: in the jar it leaves its curds in the cloth, in the mix that is
// filtered through them; berries and cream, or butter, leave none.
func TestMilkClotsWhereverItMeetsAcid(t *testing.T) {
	rum := started + "[spirit]\nname = \"rum\"\nabv = 57\namount = \"700 ml\"\n"
	mixed := func(name, amount string) string {
		return "[[addition]]\nname = \"" + name + "\"\namount = \"" + amount + "\"\n"
	}
	joins := func(name, amount string) string { return mixed(name, amount) + "in = \"1 h\"\n" }
	milk, juice, zest := "250 ml", "100 ml", put("lemon zest", "10 g")
	for _, c := range []struct {
		of         string
		inJar, mix bool
	}{
		{put("milk", milk) + put("lemon juice", juice), true, false},
		{put("milk", milk) + put("lemon, sliced", "100 g"), true, false},
		{zest + joins("milk", milk) + joins("lemon juice", juice), true, false},
		{put("milk", milk) + mixed("lemon juice", juice), false, true},
		{zest + mixed("milk", milk) + mixed("lemon juice", juice), false, true},
		{put("lemon, sliced", "100 g") + mixed("milk", milk), false, true},
		{put("milk", milk) + put("lemon juice", juice) + mixed("milk", milk), true, true},
		{put("milk", milk) + zest, false, false},
		{put("raspberries", "200 g") + mixed("cream", milk), false, false},
		{zest + put("butter", "100 g") + mixed("lemon juice", juice), false, false},
	} {
		a := assessed(t, rum+c.of, at("2026-11-20T19:30"))
		clots := a.Recipe.Clotting()
		if clots.InJar != c.inJar || clots.CurdsML.Value > 100 != c.mix {
			t.Errorf("in the jar %v, of the mix %+v; want %v, %v\n%s", clots.InJar, clots.CurdsML, c.inJar, c.mix, c.of)
		}
		if lost := a.Blend.Result.LossML.Value; lost > 150 != (c.inJar || c.mix) {
			t.Errorf("%.0f ml are lost\n%s", lost, c.of)
		}
	}
}
