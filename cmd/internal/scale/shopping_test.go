package scale

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"steepbook/data/quantity"
)

func bought(t *testing.T, s *Scaled, item string) Purchase {
	t.Helper()
	for _, b := range s.Shopping {
		if b.Item == item {
			return b
		}
	}
	t.Fatalf("%q is not on the list %+v", item, s.Shopping)
	return Purchase{}
}

// Juice of one fruit: 44 g a lime (USDA FoodData Central 168156), 48 g a lemon
// (167747), 86 g an orange (169098); a cup of lime juice is 242 g (168156), of
// lemon juice 244 g (167747).
func TestShoppingFruit(t *testing.T) {
	const src = `name = "G"
started = 2026-11-20
[spirit]
name = "white rum"
abv = 63
amount = "1500 ml"
[[botanical]]
name = "lime zest"
amount = "zest of 9"
[[botanical]]
name = "clove"
amount = "40 pieces"
[[addition]]
name = "lime juice"
amount = "1 3/4 US cups"
[[addition]]
name = "lemon juice"
amount = "1 US cup"
[[addition]]
name = "water"
amount = "1 l"
[[addition]]
name = "white sugar"
amount = "1 US cup"
[[addition]]
name = "white sugar"
amount = "100 g"
`
	s := mustScale(t, src, "x1")
	// 1 3/4 x 242 g / 31 g = 13.7 limes, more than the nine that are zested.
	if b := bought(t, s, "lime"); b.Fruit != 14 || b.Spare != 1 || !b.ZestFirst {
		t.Errorf("limes: %+v", b)
	}
	// 244 / 48 = 5.08.
	if b := bought(t, s, "lemon"); b.Fruit != 6 || b.ZestFirst {
		t.Errorf("lemons: %+v", b)
	}
	// A cup of granulated sugar is 200 g (USDA FoodData Central 169655).
	if b := bought(t, s, "white sugar"); math.Abs(b.MassG-300) > 1 || len(b.Amounts) != 2 {
		t.Errorf("sugar: %+v", b)
	}
	if b := bought(t, s, "white rum"); len(b.Bottles) != 1 || b.Bottles[0] != (Bottles{750, 2, 0}) {
		t.Errorf("rum: %+v", b)
	}
	for _, b := range s.Shopping {
		if b.Item == "water" {
			t.Error("water is on the list")
		}
	}
}

// The dose of pieces goes by mass, and what was meant is said.
func TestScaleSaysTheMassThatPiecesMeant(t *testing.T) {
	const src = "name = \"H\"\nstarted = 2026-11-20\n[spirit]\nabv = 40\namount = \"700 ml\"\n[[botanical]]\nname = \"clove\"\ncut = \"whole\"\namount = \"5 pieces\"\n"
	s := mustScale(t, src, "x0.28")
	r := s.Amounts[1]
	// 13 000 dried cloves a kilogram (IASRI, harvesting and yield of clove): 1.4 cloves are 0.108 g.
	if r.New.Text != "1 1/2 pieces" || r.MeantG == nil || math.Abs(r.MeantG.Value-1.4*0.077) > 0.001 || r.MeantG.Low >= r.MeantG.Value || r.MeantG.High <= r.MeantG.Value {
		t.Fatalf("%+v meant %+v", r, r.MeantG)
	}
	if !slices.ContainsFunc(s.Warnings, func(w string) bool {
		return strings.Contains(w, "clove: 1 1/2 pieces is 7 % more") && strings.Contains(w, "0.11~g")
	}) {
		t.Errorf("warnings %q", s.Warnings)
	}
}

// TestFineAmountsHaveGrams: what a kitchen scale in ounces cannot show is in grams.
func TestFineAmountsHaveGrams(t *testing.T) {
	const src = "name = \"H\"\nstarted = 2026-11-20\nunits = \"us\"\n[spirit]\nabv = 40\namount = \"700 ml\"\n[[botanical]]\nname = \"nutmeg\"\namount = \"0.47 oz wt\"\n"
	s := mustScale(t, src, "x0.1")
	if !slices.ContainsFunc(s.Warnings, func(w string) bool { return strings.Contains(w, "nutmeg: weigh on a scale that shows 0.01 g") }) {
		t.Errorf("warnings %q", s.Warnings)
	}
}

// TestBottlesOfSpirit: each way to buy a spirit is enough and no bottle too many, one is of the fewest, and
// more bottles are only told where less is left over.
func TestBottlesOfSpirit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ml, system := rapid.Float64Range(5, 20000).Draw(t, "ml"), rapid.SampledFrom([]quantity.System{quantity.Metric, quantity.US}).Draw(t, "system")
		ways := bottlesFor(ml, system)
		if len(ways) == 0 || ways[0].Count != int(math.Ceil(ml/spiritBottlesML[system][0]-1e-9)) {
			t.Fatalf("%v", ways)
		}
		for i, w := range ways {
			if got := float64(w.Count)*w.SizeML - ml; math.Abs(got-w.LeftML) > 1e-4 || got < -1e-4 || w.LeftML >= w.SizeML {
				t.Errorf("%v for %g ml", w, ml)
			}
			if i > 0 && (w.Count <= ways[i-1].Count || w.LeftML >= ways[i-1].LeftML) {
				t.Errorf("%v beside %v", w, ways[i-1])
			}
		}
	})
}
