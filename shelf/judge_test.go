package shelf

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"steepbook/shelf/mixture"
)

var (
	room   = Storage{Place: Room}
	fridge = Storage{Place: Fridge}
	frozen = Storage{Place: Freezer}
)

// Worked bottles. Their compositions are common practice, no source; what is
// checked is that the procedure comes out where its published limits put it.
var (
	weakSyrup = Bottle{NoSpirit: true, SugarGPerL: mixture.Exactly(615), WaterActivity: mixture.Exactly(0.935)}
	nutMilk   = Bottle{ABVPercent: mixture.Exactly(5.3), SugarGPerL: mixture.Exactly(350), WaterActivity: mixture.Exactly(0.95),
		NutMilk: true, Nourishing: []string{"almond"}, OilRich: []string{"almond"}}
	allspiceCordial = Bottle{ABVPercent: mixture.Exactly(14), SugarGPerL: mixture.Exactly(190), WaterActivity: mixture.Exactly(0.945), OilRich: []string{"allspice"}}
	cloveCordial    = Bottle{ABVPercent: mixture.Exactly(18.9), SugarGPerL: mixture.Exactly(600), WaterActivity: mixture.Exactly(0.87), Filtered: true, BoiledBottle: true,
		FreshLowAcid: []string{"ginger"}, OilRich: []string{"clove", "lime zest", "almond"}}
	peelSugarCordial = Bottle{ABVPercent: mixture.Exactly(19.2), SugarGPerL: mixture.Exactly(480), WaterActivity: mixture.Exactly(0.88), Filtered: true, BoiledBottle: true,
		FreshLowAcid: []string{"ginger"}}
	juiceCordial = Bottle{ABVPercent: mixture.Exactly(24), SugarGPerL: mixture.Exactly(250), PH: mixture.Exactly(3.8), PHKnown: true, WaterActivity: mixture.Exactly(0.89),
		FreshJuice: []string{"blood orange juice"}, Nourishing: []string{"blood orange juice"}, Filtered: true, BoiledBottle: true}
	limeCordial = Bottle{ABVPercent: mixture.Exactly(18), SugarGPerL: mixture.Exactly(400), PH: mixture.Exactly(2.5), PHKnown: true,
		FreshJuice: []string{"lime juice"}, Nourishing: []string{"lime juice"}, Filtered: true, BoiledBottle: true}
	liqueur     = Bottle{ABVPercent: mixture.Exactly(40), SugarGPerL: mixture.Exactly(200), WaterActivity: mixture.Exactly(0.85)}
	garlicOil   = Bottle{NoSpirit: true, Oil: true, FreshLowAcid: []string{"garlic"}}
	eggNog      = Bottle{ABVPercent: mixture.Exactly(12), SugarGPerL: mixture.Exactly(150), RawEgg: true, Egg: true, Dairy: true}
	weakCordial = Bottle{ABVPercent: mixture.Exactly(5), SugarGPerL: mixture.Exactly(300), PH: mixture.Exactly(2.7), PHKnown: true,
		FreshJuice: []string{"lime juice"}, Nourishing: []string{"lime juice"}}
)

func TestWorkedBottles(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		name      string
		bottle    Bottle
		store     Storage
		verdict   string
		low, high float64 // days unopened have to lie within
		decider   string
	}{
		{"weak syrup, fridge", weakSyrup, fridge, VerdictFridge, 14, 60, "mould"},
		{"weak syrup, room", weakSyrup, room, VerdictFridge, 2, 10, "mould"},
		{"rich syrup, fridge", Bottle{NoSpirit: true, SugarGPerL: mixture.Exactly(880), WaterActivity: mixture.Exactly(0.86)}, fridge, VerdictFridge, 28, 180, "mould"},
		{"5 % nut milk, fridge", nutMilk, fridge, VerdictFridge, 2, 4, "Bacillus cereus"},
		{"5 % nut milk, 4 °C", nutMilk, Storage{Celsius: 4, Measured: true}, VerdictFridge, 4, 4, "Bacillus cereus"},
		{"5 % nut milk, room", nutMilk, room, VerdictDiscard, 0, 0, "Bacillus cereus"},
		{"5 % nut milk, freezer", nutMilk, frozen, VerdictFreezer, inf, inf, ""},
		{"14 % allspice cordial", allspiceCordial, fridge, VerdictFridge, 60, 180, "yeast"},
		{"18.9 % clove cordial", cloveCordial, fridge, VerdictFridge, 90, 180, "lactic"},
		{"19.2 % peel-sugar cordial", peelSugarCordial, room, VerdictFridge, 90, 180, "lactic"},
		{"24 % with juice", juiceCordial, fridge, VerdictFridge, 45, 90, "lactic"},
		{"24 % with juice, sour", sour(juiceCordial, 3.2), room, VerdictShelf, inf, inf, "lactic"},
		{"18 % lime cordial", limeCordial, room, VerdictFridge, 21, 90, ""},
		{"40 % liqueur", liqueur, room, VerdictShelf, inf, inf, "lactic"},
		{"40 % liqueur kept cold", liqueur, fridge, VerdictShelf, inf, inf, "lactic"},
		{"garlic in oil, room", garlicOil, room, VerdictDiscard, 0, 0, "Clostridium botulinum"},
		{"garlic in oil, 4 °C", garlicOil, Storage{Celsius: 4, Measured: true}, VerdictFridge, 4, 4, "Clostridium botulinum"},
		{"raw egg 12 %, room", eggNog, room, VerdictDiscard, 0, 0, "Salmonella"},
		{"raw egg 12 %, fridge", eggNog, fridge, VerdictFridge, 0.5, 1, "Salmonella"},
		{"cream at 17 %", Bottle{ABVPercent: mixture.Exactly(17), SugarGPerL: mixture.Exactly(200), Dairy: true, Nourishing: []string{"cream"}}, fridge, VerdictFridge, 5, 42, ""},
		{"5 % lime cordial, fridge", weakCordial, fridge, VerdictFridge, 5, 30, "yeast"},
		{"5 % lime cordial, 4 °C", weakCordial, Storage{Celsius: 4, Measured: true}, VerdictFridge, 10, 50, "yeast"},
	} {
		v := Judge(c.bottle, c.store)
		t.Logf("%-26s %-8s %-24s opened %-22s %s (%s)", c.name, v.Verdict, v.Unopened.Words, v.Opened.Words, v.DecidedBy.Text, v.Confidence)
		if v.Verdict != c.verdict {
			t.Errorf("%s: %s, want %s", c.name, v.Verdict, c.verdict)
		}
		if v.Unopened.Low < c.low || v.Unopened.High > c.high {
			t.Errorf("%s: %g to %g days, want within %g to %g", c.name, v.Unopened.Low, v.Unopened.High, c.low, c.high)
		}
		if !strings.Contains(v.DecidedBy.Organism, c.decider) {
			t.Errorf("%s: decided by %q, want %q", c.name, v.DecidedBy.Organism, c.decider)
		}
	}
}

// TestShelfLine walks the edges of the only ambient line: 26 % vol in the worst
// case, 22 with pH 3.5 or with nothing to feed on. Below it there is no shelf,
// however sweet and clean.
func TestShelfLine(t *testing.T) {
	base := Bottle{ABVPercent: mixture.Exactly(23), SugarGPerL: mixture.Exactly(400), PH: mixture.Exactly(3.3), PHKnown: true, Nourishing: []string{"lemon juice"}, Filtered: true, BoiledBottle: true}
	for name, c := range map[string]struct {
		change func(*Bottle)
		want   string
	}{
		"as it is":       {func(*Bottle) {}, VerdictShelf},
		"pH 3.31":        {func(b *Bottle) { b.PH = mixture.Exactly(3.31) }, VerdictFridge},
		"22.9 %":         {func(b *Bottle) { b.ABVPercent = mixture.Exactly(22.9) }, VerdictFridge},
		"20 %, pH 2.5":   {func(b *Bottle) { b.ABVPercent, b.PH = mixture.Exactly(20), mixture.Exactly(2.5) }, VerdictFridge},
		"poor, no pH":    {func(b *Bottle) { b.PHKnown, b.Nourishing = false, nil }, VerdictShelf},
		"poor at 22.9 %": {func(b *Bottle) { b.ABVPercent, b.PHKnown, b.Nourishing = mixture.Exactly(22.9), false, nil }, VerdictFridge},
		"milk":           {func(b *Bottle) { b.Dairy = true }, VerdictFridge},
		"27 %, any pH":   {func(b *Bottle) { b.ABVPercent, b.PHKnown, b.Pulp = mixture.Exactly(27), false, true }, VerdictShelf},
		"26.9 %, any pH": {func(b *Bottle) { b.ABVPercent, b.PHKnown, b.Pulp = mixture.Exactly(26.9), false, true }, VerdictFridge},
		"cream at 40 %":  {func(b *Bottle) { b.ABVPercent, b.Dairy = mixture.Exactly(40), true }, VerdictFridge},
		"wide range":     {func(b *Bottle) { b.ABVPercent = mixture.Range{Value: 23, Low: 21, High: 25} }, VerdictFridge},
	} {
		b := base
		c.change(&b)
		if v := Judge(b, room); v.Verdict != c.want {
			t.Errorf("%s: %s, want %s", name, v.Verdict, c.want)
		}
	}
}

// TestSureByItsMargin: nobody is very sure of a drink that is nearer to the shelf line than its
// strength is known.
func TestSureByItsMargin(t *testing.T) {
	for _, abv := range []mixture.Range{{Value: 27.1, Low: 26.1, High: 28.1}, {Value: 29.3, Low: 27.8, High: 30.8}, {Value: 33, Low: 32, High: 34}} {
		b := Bottle{ABVPercent: abv, SugarGPerL: mixture.Exactly(200), Nourishing: []string{"orange juice"}}
		v, near := Judge(b, room), worstOf(b).abv-ambientABV < abv.Value-worstOf(b).abv
		if v.Verdict != VerdictShelf || near != (v.Edge != "") || near == (v.Confidence == "high") {
			t.Errorf("%g %% vol: %s, sure %s, edge %q", abv.Value, v.Verdict, v.Confidence, v.Edge)
		}
	}
}

// TestPiecesLeftIn: acid of the liquor is no credit for fresh low-acid pieces
// that stay in it, heated or not; alcohol enough for them is.
func TestPiecesLeftIn(t *testing.T) {
	b := Bottle{SugarGPerL: mixture.Exactly(100), PH: mixture.Exactly(3.4), PHKnown: true, NoSpirit: true, FreshLowAcid: []string{"garlic"}, Nourishing: []string{"garlic"}}
	if f := look(b, worstOf(b)); !f.gate.acid {
		t.Fatal("strained, the acid holds")
	}
	b.SolidsLeftIn = []string{"garlic"}
	for _, hot := range []bool{false, true} {
		b.Heated = hot
		if v := Judge(b, fridge); v.Unopened.High > 4 || v.DecidedBy.Organism != "Clostridium botulinum" {
			t.Errorf("garlic left in, heated %v: %s, %s", hot, v.Unopened.Words, v.DecidedBy.Organism)
		}
	}
	b.ABVPercent = mixture.Exactly(16)
	if f := look(b, worstOf(b)); !f.gate.abv || f.gate.acid {
		t.Errorf("at 16 %% vol: %+v", f.gate)
	}
}

// TestWhatNothingBuys: what grew in a weak jar is not undone by spirit, acid,
// sugar or heat that came later (FDA Food Code 3-501.19: four hours); milk, egg
// and nut milk have no days in the warm at any strength; and the liquor's dryness
// and its heat say nothing of fresh pieces left in it.
func TestWhatNothingBuys(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBottle(t)
		late := b
		late.WeakSteepH = rapid.Float64Range(4.1, 1000).Draw(t, "hours")
		for _, p := range []Place{Freezer, Fridge, Room} {
			if v := Judge(late, Storage{Place: p}); v.Unopened.High > 0 || v.Verdict != VerdictDiscard {
				t.Fatalf("%v h in a weak jar: %s, %v", late.WeakSteepH, v.Verdict, v.Unopened)
			}
		}
		rich := b
		rich.Dairy = true
		if v := Judge(rich, Storage{Celsius: rapid.Float64Range(8.5, 60).Draw(t, "warm"), Measured: true}); v.Unopened.High > 0 {
			t.Fatalf("milk in the warm: %v", v.Unopened)
		}
		left := b
		left.FreshLowAcid, left.SolidsLeftIn = []string{"garlic"}, []string{"garlic"}
		if v := Judge(left, fridge); !v.Fails && left.WorstABVPercent() < gateRichABV {
			t.Fatalf("garlic left in at %.1f %% vol passes: %+v", left.WorstABVPercent(), v.Reasons)
		}
	})
}

func sour(b Bottle, pH float64) Bottle {
	b.PH, b.PHKnown = mixture.Exactly(pH), true
	return b
}

func stronger(b Bottle, abv float64) Bottle {
	b.ABVPercent = mixture.Exactly(abv)
	return b
}

// drawBottle makes any bottle a maker could have.
func drawBottle(t *rapid.T) Bottle {
	list := func(name, item string) []string {
		if rapid.Bool().Draw(t, name) {
			return []string{item}
		}
		return nil
	}
	yes := func(name string) bool { return rapid.Bool().Draw(t, name) }
	rare := func(name string) bool { return rapid.IntRange(0, 5).Draw(t, name) == 0 }
	b := Bottle{
		ABVPercent:   mixture.Exactly(rapid.Float64Range(0, 45).Draw(t, "abv")),
		SugarGPerL:   mixture.Exactly(rapid.Float64Range(0, 900).Draw(t, "sugar")),
		PH:           mixture.Exactly(rapid.Float64Range(2, 7).Draw(t, "pH")),
		PHKnown:      yes("pH known"),
		Nourishing:   list("nourishing", "honey"),
		FreshJuice:   list("juice", "lime juice"),
		SolidsLeftIn: list("solids", "cinnamon"),
		Filtered:     yes("filtered"), BoiledBottle: yes("boiled"), Pulp: yes("pulp"), Heated: yes("heated"),
		Dairy: rare("dairy"), Egg: rare("egg"), RawEgg: rare("raw egg"), NutMilk: rare("nut milk"), Oil: rare("oil"), Fruit: rare("fruit"),
	}
	if rare("low acid") {
		b.FreshLowAcid = []string{"garlic"}
	}
	if yes("aw known") {
		b.WaterActivity = mixture.Exactly(rapid.Float64Range(0.55, 1).Draw(t, "aw"))
	}
	if yes("ranges") {
		for _, r := range []*mixture.Range{&b.ABVPercent, &b.SugarGPerL, &b.PH} {
			r.Low = r.Value * rapid.Float64Range(0.7, 1).Draw(t, "low")
			r.High = r.Value * rapid.Float64Range(1, 1.3).Draw(t, "high")
		}
		b.PH.High = min(b.PH.High, 14)
	}
	b.Measured = Measured{ABV: yes("abv measured"), Sugar: yes("sugar measured"), PH: yes("pH measured")}
	return b
}

func drawStorage(t *rapid.T) Storage {
	if rapid.Bool().Draw(t, "measured") {
		return Storage{Celsius: rapid.Float64Range(-25, 35).Draw(t, "celsius"), Measured: true}
	}
	return Storage{Place: rapid.SampledFrom([]Place{Freezer, Fridge, Cellar, Room}).Draw(t, "place")}
}

// notShorter fails when after is a shorter life than before.
func notShorter(t *rapid.T, what string, before, after Verdict) {
	const slack = 1e-6
	if after.Unopened.Low < before.Unopened.Low-slack || after.Unopened.High < before.Unopened.High-slack ||
		after.Opened.Low < before.Opened.Low-slack || after.Opened.High < before.Opened.High-slack {
		t.Fatalf("%s shortens the life: %v and %v after %v and %v", what, after.Unopened, after.Opened, before.Unopened, before.Opened)
	}
}

// TestMonotone: more alcohol, more acid, more sugar, less water, a colder
// store and cleaner work never make the verdict stricter or the life shorter.
func TestMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, s := drawBottle(t), drawStorage(t)
		before := Judge(b, s)
		step := rapid.Float64Range(0, 6).Draw(t, "step")
		for what, c := range map[string]func(*Bottle){
			"more alcohol":    func(b *Bottle) { b.ABVPercent = moved(b.ABVPercent, step, 1) },
			"more sugar":      func(b *Bottle) { b.SugarGPerL = moved(b.SugarGPerL, 50*step, 1) },
			"knowing the pH":  func(b *Bottle) { b.PHKnown = true },
			"filtering":       func(b *Bottle) { b.Filtered = true },
			"boiling":         func(b *Bottle) { b.BoiledBottle = true },
			"heating":         func(b *Bottle) { b.Heated = true },
			"no pulp":         func(b *Bottle) { b.Pulp = false },
			"no solids":       func(b *Bottle) { b.SolidsLeftIn = nil },
			"no juice":        func(b *Bottle) { b.FreshJuice = nil },
			"nothing to feed": func(b *Bottle) { b.Nourishing = nil },
			"no milk":         func(b *Bottle) { b.Dairy = false },
			"no herbs":        func(b *Bottle) { b.FreshLowAcid = nil },
			"more acid":       func(b *Bottle) { b.PH = moved(b.PH, -min(step/4, b.PH.Value, max(b.PH.Low, b.PH.Value-b.PH.Low)), 1) },
			"less water": func(b *Bottle) {
				if b.WaterActivity.Value > 0 {
					b.WaterActivity = mixture.Exactly(max(b.WaterActivity.Value-step/30, 0.01))
				}
			},
		} {
			better := b
			c(&better)
			after := Judge(better, s)
			if rank(after.Verdict) > rank(before.Verdict) {
				t.Fatalf("%s makes it %s after %s", what, after.Verdict, before.Verdict)
			}
			notShorter(t, what, before, after)
		}
		warm := s.settled()
		cold := Storage{Celsius: warm.Celsius - 3*step, Measured: true}
		notShorter(t, "a colder store", Judge(b, Storage{Celsius: warm.Celsius, Measured: true}), Judge(b, cold))
	})
}

// TestOpeningNeverLengthens, and every time is a proper range.
func TestOpeningNeverLengthens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := Judge(drawBottle(t), drawStorage(t))
		for _, d := range []Days{v.Unopened, v.Opened} {
			if !(d.Low >= 0 && d.Low <= d.High) || d.Words == "" {
				t.Fatalf("improper time %+v", d)
			}
		}
		if v.Opened.Low > v.Unopened.Low || v.Opened.High > v.Unopened.High {
			t.Fatalf("opened %v outlasts closed %v", v.Opened, v.Unopened)
		}
		if (v.Verdict == VerdictFridge || v.Verdict == VerdictDiscard) && v.AtC > frozenC && v.Unopened.Open() {
			t.Fatalf("%s, yet no limit in time", v.Verdict)
		}
	})
}

// TestWiderRangeNeverImproves: knowing less cannot help.
func TestWiderRangeNeverImproves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, s := drawBottle(t), drawStorage(t)
		wide := b
		for _, r := range []*mixture.Range{&wide.ABVPercent, &wide.SugarGPerL, &wide.PH, &wide.WaterActivity} {
			if r.Value == 0 {
				continue
			}
			r.Low *= rapid.Float64Range(0.5, 1).Draw(t, "wider low")
			r.High *= rapid.Float64Range(1, 1.5).Draw(t, "wider high")
		}
		wide.PH.High = min(wide.PH.High, 14)
		wide.WaterActivity.High = min(wide.WaterActivity.High, 1)
		narrow, wider := Judge(b, s), Judge(wide, s)
		if rank(wider.Verdict) < rank(narrow.Verdict) {
			t.Fatalf("a wider range turns %s into %s", narrow.Verdict, wider.Verdict)
		}
		notShorter(t, "a narrower range", wider, narrow)
	})
}

// TestUnknown: figures that cannot be give no verdict and say what is wrong.
func TestUnknown(t *testing.T) {
	for name, b := range map[string]Bottle{
		"no number":   {ABVPercent: mixture.Exactly(math.NaN())},
		"negative":    {ABVPercent: mixture.Exactly(-3)},
		"too strong":  {ABVPercent: mixture.Exactly(130)},
		"sugar":       {SugarGPerL: mixture.Exactly(math.Inf(1))},
		"pH":          {PHKnown: true, PH: mixture.Exactly(17)},
		"wet":         {WaterActivity: mixture.Exactly(1.4)},
		"no ends":     {ABVPercent: mixture.Range{Value: 20}},
		"bad low end": {ABVPercent: mixture.Range{Value: 20, Low: math.NaN(), High: 21}},
	} {
		v := Judge(b, room)
		if v.Verdict != VerdictUnknown || len(v.Needs) == 0 {
			t.Errorf("%s: %s, needs %v", name, v.Verdict, v.Needs)
		}
	}
	if v := Judge(liqueur, Storage{Place: "attic"}); v.Verdict != VerdictUnknown {
		t.Errorf("an unknown place was judged: %s", v.Verdict)
	}
}

// TestNeedsPH: an unknown pH that would move the answer is asked for.
func TestNeedsPH(t *testing.T) {
	asked := func(b Bottle, s Storage) Verdict {
		v := Judge(b, s)
		v.Needs = b.Needs(v)
		return v
	}
	b := weakCordial
	b.PHKnown = false
	if v := asked(b, fridge); len(v.Needs) == 0 || !strings.Contains(v.Needs[0], "pH by a meter: 3.8") {
		t.Errorf("weak cordial of unknown pH needs %v", v.Needs)
	}
	b = limeCordial
	b.ABVPercent, b.PHKnown = mixture.Exactly(24), false
	if v := asked(b, room); len(v.Needs) == 0 || !strings.Contains(v.Needs[0], "3.3") {
		t.Errorf("24 %% lime cordial of unknown pH needs %v", v.Needs)
	}
	if v := asked(liqueur, room); len(v.Needs) != 0 {
		t.Errorf("a 40 %% liqueur needs %v", v.Needs)
	}
	if v := asked(stronger(juiceCordial, 26.8), room); len(v.Needs) == 0 {
		t.Error("26.8 % vol hangs on a fifth of a % vol and asks for nothing")
	}
}

// TestDryAndStrongTogether: neither holds pathogens alone here. Below a water
// activity of 0.88 the Food Code (1-201.10(B), Table B) asks for no temperature
// control; Staphylococcus aureus, which grows drier, stops at 12.4 % vol (Huang,
// Weng and Chiou 2001). Figures are before the margins of 0.02 and, measured,
// 0.5 % vol.
func TestDryAndStrongTogether(t *testing.T) {
	for _, c := range []struct {
		abv, aw float64
		held    bool
	}{{13.1, 0.855, true}, {13.1, 0.862, false}, {12.9, 0.855, false}} {
		b := Bottle{ABVPercent: mixture.Exactly(c.abv), WaterActivity: mixture.Exactly(c.aw), Measured: Measured{ABV: true}}
		f := look(b, worstOf(b))
		if f.gate.abv || f.gate.acid || f.gate.aw {
			t.Fatalf("%+v: held by one hurdle alone, so nothing is tested", c)
		}
		if f.gate.together != c.held || f.gate.pass() != c.held {
			t.Errorf("%g %% vol, water activity %g: held %v, want %v", c.abv, c.aw, f.gate.pass(), c.held)
		}
	}
}

// TestWords: no text calls anything safe.
func TestWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := Judge(drawBottle(t), drawStorage(t))
		text := v.DecidedBy.Text + v.EndedBy + v.FlavourText + v.Unopened.Words + v.Opened.Words + strings.Join(v.Needs, " ") + strings.Join(v.Warnings, " ")
		for _, r := range v.Reasons {
			text += r.Text
		}
		for _, c := range v.Cautions {
			text += c.Text
		}
		if strings.Contains(strings.ToLower(text), "safe") {
			t.Fatalf("a text says so: %s", text)
		}
		for _, x := range []float64{v.AtC, v.DelleUnits, v.DecidedBy.Margin} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("not a number in %+v", v)
			}
		}
	})
}
