package remark

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"steepbook/data"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// Worked bottles, as the tests of shelf have them. Their compositions are common practice, no source.
var (
	liqueur         = shelf.Bottle{ABVPercent: mixture.Exactly(40), SugarGPerL: mixture.Exactly(200), WaterActivity: mixture.Exactly(0.85)}
	allspiceCordial = shelf.Bottle{ABVPercent: mixture.Exactly(14), SugarGPerL: mixture.Exactly(190), WaterActivity: mixture.Exactly(0.945), OilRich: []string{"allspice"}}
	cloveCordial    = shelf.Bottle{ABVPercent: mixture.Exactly(18.9), SugarGPerL: mixture.Exactly(600), WaterActivity: mixture.Exactly(0.87), Filtered: true, BoiledBottle: true,
		FreshLowAcid: []string{"ginger"}, OilRich: []string{"clove", "lime zest", "almond"}}
	weakCordial = shelf.Bottle{ABVPercent: mixture.Exactly(5), SugarGPerL: mixture.Exactly(300), PH: mixture.Exactly(2.7), PHKnown: true,
		FreshJuice: []string{"lime juice"}, Nourishing: []string{"lime juice"}}
	nutMilk = shelf.Bottle{ABVPercent: mixture.Exactly(5.3), SugarGPerL: mixture.Exactly(350), WaterActivity: mixture.Exactly(0.95),
		NutMilk: true, Nourishing: []string{"almond"}, OilRich: []string{"almond"}}
	garlicOil = shelf.Bottle{NoSpirit: true, Oil: true, FreshLowAcid: []string{"garlic"}}
	eggNog    = shelf.Bottle{ABVPercent: mixture.Exactly(12), SugarGPerL: mixture.Exactly(150), RawEgg: true, Egg: true, Dairy: true}
)

// drawBottle makes any bottle in which something may be seen.
func drawBottle(t *rapid.T) shelf.Bottle {
	list := func(name, item string) []string {
		return map[bool][]string{true: {item}}[rapid.Bool().Draw(t, name)]
	}
	yes := func(name string) bool { return rapid.Bool().Draw(t, name) }
	rare := func(name string) bool { return rapid.IntRange(0, 5).Draw(t, name) == 0 }
	b := shelf.Bottle{
		ABVPercent: mixture.Exactly(rapid.Float64Range(0, 45).Draw(t, "abv")),
		SugarGPerL: mixture.Exactly(rapid.Float64Range(0, 900).Draw(t, "sugar")),
		PH:         mixture.Exactly(rapid.Float64Range(2, 7).Draw(t, "pH")), PHKnown: yes("pH known"),
		Nourishing: list("nourishing", "honey"), FreshJuice: list("juice", "lime juice"), Nuts: list("nuts", "walnut"),
		SolidsLeftIn: list("solids", "cinnamon"), OilRich: list("oil rich", "clove"),
		Filtered: yes("filtered"), BoiledBottle: yes("boiled"), Pulp: yes("pulp"), Heated: yes("heated"), Steeping: yes("steeping"),
		Dairy: rare("dairy"), Egg: rare("egg"), RawEgg: rare("raw egg"), NutMilk: rare("nut milk"), Oil: rare("oil"), Fruit: rare("fruit"),
	}
	if rare("low acid") {
		b.FreshLowAcid = []string{"garlic"}
	}
	if yes("aw known") {
		b.WaterActivity = mixture.Exactly(rapid.Float64Range(0.55, 1).Draw(t, "aw"))
	}
	if yes("a range") {
		b.ABVPercent.Low *= rapid.Float64Range(0.7, 1).Draw(t, "low")
	}
	return b
}

// TestSigns: accounts of makers (common practice, no source): what the first
// thing to think of has to be.
func TestSigns(t *testing.T) {
	oily := func(b shelf.Bottle) shelf.Bottle { b.OilRich = []string{"peel"}; return b }
	fruity := shelf.Bottle{ABVPercent: mixture.Exactly(15), SugarGPerL: mixture.Exactly(350), Fruit: true, Nourishing: []string{"raspberry"}, PH: mixture.Exactly(3.4), PHKnown: true}
	syrup := shelf.Bottle{NoSpirit: true, SugarGPerL: mixture.Exactly(300), Nourishing: []string{"elderberry"}, PH: mixture.Exactly(3.8), PHKnown: true}
	for _, c := range []struct {
		text   string
		bottle shelf.Bottle
		first  string
	}{
		{"went cloudy when I cut it to 40 %", oily(liqueur), "oils"},
		{"there is a ring at the neck", oily(liqueur), "oils"},
		{"film on top", oily(liqueur), "oils"},
		{"film on top", allspiceCordial, "film yeast"},
		{"white floaties", liqueur, "plant fibre, honey"},
		{"a wisp at the bottom", liqueur, "plant fibre, honey"},
		{"grey fur floating", weakCordial, "mould"},
		{"it burst out like a geyser, full of gas", syrup, "fermentation"},
		{"bubbles", liqueur, "air shaken in"},
		{"set like jelly overnight", fruity, "pectin"},
		{"set like jelly", shelf.Bottle{ABVPercent: mixture.Exactly(12), SugarGPerL: mixture.Exactly(300), Pectin: []string{"quince"}, Nourishing: []string{"quince"}}, "pectin"},
		{"set like jelly", allspiceCordial, "yeast or bacteria"},
		{"thick", shelf.Bottle{ABVPercent: mixture.Exactly(14), SugarGPerL: mixture.Exactly(200), Gums: []string{"ground cinnamon"}}, "gum of ground cinnamon"},
		{"slime", shelf.Bottle{ABVPercent: mixture.Exactly(14), SugarGPerL: mixture.Exactly(200), Gums: []string{"ground cinnamon"}}, "yeast or bacteria"},
		{"slime", shelf.Bottle{ABVPercent: mixture.Exactly(14), SugarGPerL: mixture.Exactly(200), Nourishing: []string{"wine"}}, "yeast or bacteria"},
		{"cloudy", oily(weakCordial), "yeast or bacteria"},
		{"cloudy", oily(shelf.Bottle{ABVPercent: mixture.Exactly(3), SugarGPerL: mixture.Exactly(500)}), "yeast or bacteria"},
		{"hazy since I added water", oily(allspiceCordial), "oils"},
		{"curdled", shelf.Bottle{ABVPercent: mixture.Exactly(17), SugarGPerL: mixture.Exactly(250), Dairy: true, Nourishing: []string{"cream"}}, "milk or egg clotted"},
		{"a growth in it", weakCordial, "mould"},
		{"hairy thing at the neck", weakCordial, "mould"},
		{"white fluff", weakCordial, "mould"},
		{"it is fuzzy", weakCordial, "mould"},
		{"furry", weakCordial, "mould"},
		{"black specks", weakCordial, "mould"},
		{"grease on top", shelf.Bottle{ABVPercent: mixture.Exactly(40), Nuts: []string{"walnut"}}, "fat"},
		{"stringy", weakCordial, "yeast or bacteria"},
		{"ropy", weakCordial, "yeast or bacteria"},
		{"sediment", shelf.Bottle{ABVPercent: mixture.Exactly(40)}, "plant dust"},
		{"a skin on it", allspiceCordial, "film yeast"},
		{"hisses when opened", weakCordial, "fermentation"},
		{"bubbles rising", weakCordial, "fermentation"},
		{"rotten smell", allspiceCordial, "something that rots"},
		{"smells yeasty", allspiceCordial, "yeast or bacteria"},
		{"threads in it", cloveCordial, "yeast or bacteria"},
		{"hard crystals", shelf.Bottle{ABVPercent: mixture.Exactly(30), SugarGPerL: mixture.Exactly(500)}, "sugar"},
		{"two layers", nutMilk, "cream or nut milk"},
		{"smells of vinegar", allspiceCordial, "yeast or bacteria"},
		{"turned brown", shelf.Bottle{ABVPercent: mixture.Exactly(40), GreenLeaf: []string{"mint"}}, "green"},
		{"xyz", liqueur, "not a sign"},
	} {
		got := Causes(c.text, c.bottle)
		if len(got) == 0 || !strings.HasPrefix(got[0].Name, c.first) {
			t.Errorf("%q: %v, want first %q", c.text, got, c.first)
		}
	}
}

// TestSignsNeverExplainLifeAway: in a drink that does not stop life, every
// sign that could be life keeps throwing it away in the list.
func TestSignsNeverExplainLifeAway(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBottle(t)
		text := rapid.SampledFrom([]string{"cloudy", "a ring", "film", "tuft", "threads", "fizz", "jelly", "slime", "curdled", "greasy", "specks", "smells off", "xyz"}).Draw(t, "sign")
		v := shelf.Judge(b, shelf.Storage{Place: shelf.Room})
		if v.Verdict == shelf.VerdictShelf && v.Unopened.Open() {
			return
		}
		for _, c := range Causes(text, b) {
			if c.ThrowAway && c.Weight >= 0.4 || strings.Contains(c.WhatToDo, "unsure means throw it away") {
				return
			}
		}
		t.Fatalf("%q in %+v: %v", text, b, Causes(text, b))
	})
}

func FuzzCauses(f *testing.F) {
	f.Add("cloudy ring", 20.0)
	f.Fuzz(func(t *testing.T, text string, abv float64) {
		if len(Causes(text, shelf.Bottle{ABVPercent: mixture.Exactly(abv)})) == 0 {
			t.Error("no answer")
		}
	})
}

// TestPoisonHasNoSign: where a poison could form unseen, any sign ends it.
func TestPoisonHasNoSign(t *testing.T) {
	for _, b := range []shelf.Bottle{garlicOil, eggNog, nutMilk} {
		for _, text := range []string{"cloudy", "crystals", "two layers", "xyz"} {
			named := false
			for _, c := range Causes(text, b) {
				named = named || c.ThrowAway && c.Weight >= 0.85
			}
			if !named {
				t.Errorf("%q: %+v", text, Causes(text, b))
			}
		}
	}
}

// TestNoCauseIsCalledSafe, whatever is in the drink.
func TestNoCauseIsCalledSafe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := fmt.Sprint(Causes("cloudy ring film tuft threads fizz jelly crystals smell brown layers", drawBottle(t)))
		if strings.Contains(strings.ToLower(text), "safe") {
			t.Fatal(text)
		}
	})
}

// TestEveryRowIsSaid: each row of the tables of words has its place in the code. A key
// that has no row panics, which the random bottles of the other tests would meet.
func TestEveryRowIsSaid(t *testing.T) {
	var code strings.Builder
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		code.Write(text)
	}
	for table, keys := range map[string][]string{
		"causes.csv": slices.Collect(maps.Keys(causes())), "signs.csv": data.OpenTable("signs.csv").Firsts(),
	} {
		for _, key := range keys {
			if !strings.Contains(code.String(), strconv.Quote(key)) {
				t.Errorf("%s: nothing says %q", table, key)
			}
		}
	}
}
