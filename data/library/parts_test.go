package library

import (
	"errors"
	"slices"
	"strings"
	"testing"
)

// What a maker may type for things that must not go into a jar, in the words of
// recipes and of the kitchen (common practice, no source).
func TestForbiddenByAnyName(t *testing.T) {
	l := Builtin()
	for want, names := range map[string][]string{
		"apricot kernel": {"cherry pits", "cherry pit", "black cherry pits", "peach pits", "apricot pits", "plum stones", "cracked peach stones", "noyau", "noyaux from apricots", "cherry seeds", "apple pips", "loquat seeds", "prune pits"},
		"elder leaf":     {"elderberry leaves", "fresh elder leaves", "elderflower stems", "elder twigs"},
		"poppy pod":      {"poppy pods", "poppy heads", "dried poppy heads", "opium"},
		"castor bean":    {"castor bean", "castor beans", "rosary peas"},
		"daffodil":       {"daffodil", "daffodils", "daffodil bulbs", "narcissus"},
		"laburnum":       {"laburnum", "laburnum pods"},
		"hemlock":        {"hemlock", "hemlock leaves", "water hemlock"},
		"meat":           {"bacon", "bacon fat", "smoked bacon fat", "pancetta", "chorizo", "sausage", "duck fat", "chorizo oil", "rendered beef tallow", "ham"},
		"fish":           {"anchovy", "anchovies", "tinned sardines", "fish sauce"},
		"shellfish":      {"shrimp", "dried shrimps", "prawns"},
		"oyster":         {"oysters", "oyster shells", "clam juice"},
		"cheese":         {"blue cheese", "parmesan rind", "goat cheese"},
		"foxglove":       {"foxglove leaves", "digitalis"},
		"wild mushroom":  {"fly agaric", "magic mushrooms"},
	} {
		for _, n := range names {
			b, err := l.Botanical(n)
			if err != nil || b.Name != want || b.Forbidden == "" {
				t.Errorf("%q: %v, %v; want %s", n, b, err, want)
			}
			if l.MustNot(n) != b {
				t.Errorf("%q: MustNot says %v", n, l.MustNot(n))
			}
			if g, err := l.Ingredient(n); err == nil {
				t.Errorf("%q is the ingredient %s", n, g.Name)
			}
		}
	}
	// And what only sounds like it.
	for n, want := range map[string]string{
		"cherries with stones": "sweet cherry", "sour cherries, stones in": "sour cherry", "pitted cherries": "sweet cherry", "destoned cherries": "sweet cherry", "wild cherries": "sweet cherry", "wild cherry bark": "wild cherry bark", "stoned plums": "plum", "ripe apricots": "apricot",
		"elderberries": "elderberry", "elder flowers": "elderflower", "poppy seeds": "poppy seed", "blood orange": "blood orange", "apple slices": "apple", "Turkey rhubarb": "rhubarb root",
	} {
		if b, err := l.Botanical(n); err != nil || b.Name != want || l.MustNot(n) != nil {
			t.Errorf("%q: %v, %v; want %s", n, b, err, want)
		}
	}
	for _, n := range []string{"coconut meat", "crab apple", "beef tomatoes", "oyster mushroom", "hemlock spruce tips", "loquat", "elder", "poppy", "blood orange slices, dried", "", "caster sugar"} {
		if b, err := l.Botanical(n); err == nil {
			t.Errorf("%q is taken for %s", n, b.Name)
		}
		if b := l.MustNot(n); b != nil {
			t.Errorf("%q is forbidden as %s", n, b.Name)
		}
	}
	for _, a := range []struct{ name, eu string }{{"anchovy", "fish"}, {"shrimp", "crustaceans"}, {"oyster", "molluscs"}, {"blue cheese", "milk"}} {
		if b, err := l.Botanical(a.name); err != nil || len(b.Allergens) != 1 || b.Allergens[0].EU != a.eu {
			t.Errorf("%s: %v, %v", a.name, b, err)
		}
	}
}

// The file that says no holds everything forbidden, and nothing else: the
// look-up by single words reads only that file.
func TestNeverFile(t *testing.T) {
	l := Builtin()
	for _, e := range l.botanicals().entries {
		if b, err := e.get(); err != nil || (b.Forbidden != "") != e.never {
			t.Errorf("%s: never %v, forbidden %v, %v", e.name, e.never, b.Forbidden, err)
		}
	}
	// A word of a forbidden name that stands alone as another plant's whole name
	// would forbid that plant in every compound.
	for _, b := range l.Botanicals() {
		if b.Forbidden != "" {
			continue
		}
		for _, n := range append([]string{b.Name}, b.Names...) {
			if e := l.botanicals().never(n); e != nil {
				t.Errorf("%q of %s holds the name of %s", n, b.Name, e.name)
			}
		}
	}
}

// The kitchen's commonest words in other languages (from memory) name what they mean, and
// nothing else that begins like them.
func TestOtherKitchens(t *testing.T) {
	l := Builtin()
	for n, want := range map[string]string{"Zucker": "white sugar", "sucre": "white sugar", "Honig": "honey", "Zitronensaft": "lemon juice", "Sahne": "heavy cream", "Kondensmilch": "evaporated milk", "Eigelb": "egg yolk", "agua": "water"} {
		if g, err := l.Ingredient(n); err != nil || g.Name != want {
			t.Errorf("%q: %v, %v", n, g, err)
		}
	}
	for n, want := range map[string]string{"5 Nelken": "clove", "Zimt": "cassia cinnamon", "noix vertes": "green walnut", "gousses de vanille": "vanilla", "Quitten": "quince", "Kirschen": "sweet cherry", "prunelles": "sloe", "Kirschkerne": "apricot kernel", "menta poleo": "pennyroyal", "badiane du Japon": "Japanese star anise", "mandorle amare": "bitter almond"} {
		if b, err := l.Botanical(n); err != nil || b.Name != want {
			t.Errorf("%q: %v, %v", n, b, err)
		}
	}
	for _, n := range []string{"pomme épineuse", "agua oxigenada", "sucre de plomb", "pomme de terre"} {
		if b, err := l.Botanical(n); err == nil {
			t.Errorf("%q is taken for %s", n, b.Name)
		}
		if g, err := l.Ingredient(n); err == nil {
			t.Errorf("%q is taken for %s", n, g.Name)
		}
	}
}

// What was not heated or not fermented is no other thing by the word that says so.
func TestRawAndFresh(t *testing.T) {
	l := Builtin()
	for _, n := range []string{"raw cream", "unpasteurised yogurt", "raw butter", "raw milk"} {
		g, err := l.Ingredient(n)
		if err != nil || !slices.ContainsFunc(g.Hazards, func(h Hazard) bool { return h.Kind == "raw milk" }) {
			t.Errorf("%q: %v, %v", n, g, err)
		}
	}
	for n, juice := range map[string]bool{"fresh cider": true, "raw cider": true, "cider": false, "hard cider": false, "apple cider": false} {
		_, noSpirit := l.Spirit(n)
		if g, err := l.Ingredient(n); (noSpirit != nil) != juice || (err == nil && g.Kind == "juice") != juice {
			t.Errorf("%q: %v", n, g)
		}
	}
}

// One part of a plant is not taken for another, nor dried for fresh.
func TestPartsOfPlants(t *testing.T) {
	l := Builtin()
	for _, n := range []string{"pumpkin leaves", "mango seed", "kumquat leaf", "cherry blossom", "grape leaf", "lemon leaves", "fennel root", "mint flowers", "cucumber seeds"} {
		b, err := l.Botanical(n)
		var lost *NotFoundError
		if !errors.As(err, &lost) || len(lost.Nearest()) == 0 {
			t.Errorf("%q: %v, %v", n, b, err)
		}
	}
	for n, want := range map[string]string{"mint leaves": "mint", "clove buds": "clove", "peach leaves": "cherry leaf", "coffee beans": "coffee beans", "juniper berries": "juniper", "celery leaves": "celery", "lavender flowers": "lavender"} {
		if b, err := l.Botanical(n); err != nil || b.Name != want {
			t.Errorf("%q: %v, %v", n, b, err)
		}
	}
	for _, c := range []struct{ name, cut, want, wantCut string }{
		{"orange peel", "dried", "dried orange peel", "pieces"}, {"orange zest", "dried strips", "dried orange peel", "pieces"}, {"bitter orange peel", "dried, chopped", "dried bitter orange peel", "pieces"},
		{"dried orange peel", "", "dried orange peel", "pieces"}, {"dried bitter orange peel", "", "dried bitter orange peel", "pieces"}, {"lemon peel", "dehydrated", "dried lemon peel", "pieces"},
		{"ginger", "dried, sliced", "dried ginger", "pieces"}, {"lemon verbena", "dried leaves", "dried lemon verbena", "cut"}, {"bay leaf", "fresh", "fresh bay leaf", "whole"},
		{"mint", "fresh leaves", "mint", "leaves"}, {"angelica root", "dried", "angelica root", "cut"}, {"coconut", "dried", "coconut", "flakes"},
		{"coffee beans", "coarse ground", "coffee", "ground"}, {"coffee beans", "ground", "coffee", "ground"}, {"coffee beans", "crushed", "coffee beans", "cracked"},
		{"cinnamon", "Ceylon, broken", "Ceylon cinnamon", "stick"}, {"orange", "zest", "orange zest", "fine zest"},
	} {
		b, cut, chosen, err := l.BotanicalAndCut(c.name, c.cut)
		if err != nil || b.Name != c.want || cut.Name != c.wantCut || c.cut != "" && !chosen {
			t.Errorf("%s, %s: %v %v %v, %v; want %s, %s", c.name, c.cut, b, cut, chosen, err, c.want, c.wantCut)
			continue
		}
		if strings.HasPrefix(b.Name, "dried ") && cut.WaterGPerG.Value > 0.15 {
			t.Errorf("%s, %s brings %g g/g of water", b.Name, cut.Name, cut.WaterGPerG.Value)
		}
	}
	// What is finer than any cut that is known is reckoned as the finest of these.
	for _, c := range [][3]string{{"juniper", "powder", "crushed"}, {"vanilla", "ground", "chopped"}, {"allspice", "cracked and whole", "crushed"}} {
		if b, err := l.Botanical(c[0]); err != nil {
			t.Error(err)
		} else if cut, err := b.Nearest(c[1]); err != nil || cut.Name != c[2] {
			t.Errorf("%s, %s: %v, %v", c[0], c[1], cut, err)
		}
	}
	if _, _, _, err := l.BotanicalAndCut("apricot", "kernels"); !errors.As(err, new(*ForbiddenError)) {
		t.Errorf("apricot, kernels: %v", err)
	}
	// A cut nobody described is said to be unknown.
	for _, c := range [][2]string{{"jalapeño", "ribs and seeds"}, {"serrano", "ribs and seeds"}, {"fresh chilli", "seeds and ribs"}, {"mango", "dried, cubed"}, {"mint", "frozen juice"}} {
		_, _, _, err := l.BotanicalAndCut(c[0], c[1])
		var lost *NotFoundError
		if !errors.As(err, &lost) || !strings.HasPrefix(lost.Kind, "cut of ") {
			t.Errorf("%s, %s: %v", c[0], c[1], err)
		}
	}
	for _, cut := range []string{"with seeds", "sliced, with ribs and seeds", "with ribs"} {
		if _, c, _, err := l.BotanicalAndCut("jalapeño", cut); err != nil || c.Name != "sliced" {
			t.Errorf("jalapeño, %s: %v, %v", cut, c, err)
		}
	}
	if _, c, _, err := l.BotanicalAndCut("jalapeño", "without seeds"); err != nil || c.Name != "deseeded" {
		t.Errorf("jalapeño without seeds: %v, %v", c, err)
	}
}

// A slip of the pen is found under another kind too.
func TestSlipsAcrossKinds(t *testing.T) {
	l := Builtin()
	for _, c := range []struct {
		asked, want string
		find        func(string) error
	}{
		{"vodca", "vodka", func(n string) error { _, err := l.Spirit(n); return err }},
		{"vodca", "vodka", func(n string) error { _, err := l.Ingredient(n); return err }},
		{"burbon", "bourbon", func(n string) error { _, err := l.Ingredient(n); return err }},
		{"demerera sugar", "demerara sugar", func(n string) error { _, err := l.Botanical(n); return err }},
		{"oleandr", "oleander", func(n string) error { _, err := l.Botanical(n); return err }},
	} {
		err := c.find(c.asked)
		var lost *NotFoundError
		if !errors.As(err, &lost) || len(lost.Nearest()) == 0 || lost.Nearest()[0] != c.want || !slices.Contains(lost.Nearest(), c.want) {
			t.Errorf("%s: %v, want %s first", c.asked, err, c.want)
		}
	}
}

// A maker's file cannot lift what is built in as forbidden, and points from the
// keys of a batch to its own.
func TestOwnFileKeepsTheBan(t *testing.T) {
	for _, src := range []string{
		"[[botanical]]\nname = \"tobacco\"\nforbidden = \"\"\n",
		"[[botanical]]\nname = \"cherry pits\"\nforbidden = \" \"\n",
	} {
		_, err := Builtin().With("library.toml", []byte(src))
		if err == nil || !strings.Contains(err.Error(), "library.toml:3:") || !strings.Contains(err.Error(), "cannot lift") || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %v", src, err)
		}
	}
	l, err := Builtin().With("library.toml", []byte("[[botanical]]\nname = \"tobacco\"\nforbidden = \"never at this bar\"\nnote = \"asked for twice\"\nnames = [\"snus\"]\n"))
	if err != nil {
		t.Fatal(err)
	}
	b := l.MustNot("snus")
	if b == nil || !strings.Contains(b.Forbidden, "nicotine") || !strings.Contains(b.Forbidden, "never at this bar") || b.Note != "asked for twice" {
		t.Errorf("tobacco: %+v", b)
	}
	if l.Untaught("").MustNot("old pipe tobacco") == nil || l.MustNot("old pipe tobacco") == nil {
		t.Error("the ban does not hold for compounds in a maker's library")
	}
	// The maker's own ban is the maker's to lift.
	l, err = Builtin().With("a.toml", []byte("[[botanical]]\nname = \"woodruff\"\nforbidden = \"house rule\"\n"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err = l.With("b.toml", []byte("[[botanical]]\nname = \"woodruff\"\nforbidden = \"\"\n")); err != nil {
		t.Errorf("woodruff: %v", err)
	}
	_, err = Builtin().With("library.toml", []byte("[[spirit]]\nname = \"x\"\nabv = 400\n"))
	if err == nil || !strings.Contains(err.Error(), "library.toml:3:") || !strings.Contains(err.Error(), "abv_percent = 40") || strings.Contains(err.Error(), "\n") {
		t.Errorf("abv in a spirit: %v", err)
	}
}

// Elder: the published figure is of the raw berry (weak page); none was found
// for the flower, so none is given.
func TestElderflowerHasNoFigure(t *testing.T) {
	l := Builtin()
	for _, n := range []string{"elderflower", "dried elderflower"} {
		b, err := l.Botanical(n)
		if err != nil || len(b.Hazards) != 1 || b.Hazards[0].MGPerG.Known() || b.Hazards[0].Decides() || !strings.Contains(b.Hazards[0].Text, "stem") {
			t.Errorf("%s: %+v, %v", n, b, err)
		}
	}
	if b, _ := l.Botanical("elderberry"); len(b.Hazards) != 2 || !b.Hazards[1].MGPerG.Known() {
		t.Errorf("elderberry: %+v", b.Hazards)
	}
}

// Kinds of things makers put in that the library did not know.
func TestOddsAndEnds(t *testing.T) {
	l := Builtin()
	for _, n := range []string{"pectic enzyme", "pectinase", "bentonite", "stevia", "gum arabic"} {
		g, err := l.Ingredient(n)
		if err != nil || g.Per100G.Sugars() != 0 || g.Nourishing {
			t.Errorf("%s: %+v, %v", n, g, err)
			continue
		}
		if _, err := g.Grams(amount(t, "1/2 tsp")); err != nil {
			t.Errorf("%s: %v", n, err)
		}
	}
	orgeat, err := l.Ingredient("orgeat syrup")
	if err != nil || orgeat.Kind != "syrup" || !orgeat.NutMilk || !orgeat.Nourishing || len(orgeat.Allergens) != 1 || orgeat.Allergens[0].EU != "almonds" {
		t.Errorf("orgeat: %+v, %v", orgeat, err)
	}
	for _, n := range []string{"Earl Grey", "bergamot tea", "earl grey tea bags"} {
		if b, err := l.Botanical(n); err != nil || b.Name != "black tea" {
			t.Errorf("%s: %v, %v", n, b, err)
		}
	}
	for _, c := range []struct {
		name, cut, amount string
		low, high         float64
	}{
		{"rose hips", "", "2 tbsp", 10, 24}, {"dried rose hips", "", "2 tbsp", 9, 22},
		{"orange", "sliced", "3 slices", 45, 90}, {"lemon", "", "2 wedges", 18, 40}, {"lime", "wedges", "1 wedge", 7, 15},
	} {
		_, cut, _, err := l.BotanicalAndCut(c.name, c.cut)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		w, err := cut.Grams(amount(t, c.amount))
		if err != nil || w.G < c.low || w.G > c.high || w.Grade == Published {
			t.Errorf("%s of %s: %+v, %v", c.amount, c.name, w, err)
		}
	}
	// Candied ginger gives its sugar to the jar, so little is left to hold any.
	_, cut, _, err := l.BotanicalAndCut("candied ginger", "")
	if err != nil || cut.HeldMLPerG.Value > 2*(1-cut.SugarGPerG.Value) || cut.HeldMLPerG.Grade != Judgement {
		t.Errorf("candied ginger holds %+v beside %g g/g of sugar, %v", cut.HeldMLPerG, cut.SugarGPerG.Value, err)
	}
}

// The flags of colour, lemon note and gum.
func TestFlags(t *testing.T) {
	l := Builtin()
	for _, n := range []string{"hibiscus", "cherry", "sour cherry", "raspberry", "strawberry", "blackcurrant", "redcurrant", "sloe", "elderberry", "blood orange", "cranberry", "pomegranate", "blackberry", "beetroot", "blueberry", "damson"} {
		if b, err := l.Botanical(n); err != nil || !b.Red {
			t.Errorf("%s is not red: %v", n, err)
		}
	}
	for _, n := range []string{"blood orange juice", "cranberry juice", "pomegranate juice", "grenadine", "raspberries", "sour cherry juice"} {
		if g, err := l.Ingredient(n); err != nil || !g.Red {
			t.Errorf("%s is not red: %v", n, err)
		}
	}
	for _, n := range []string{"orange", "lemon", "ginger", "blood orange zest", "mint", "rosehip", "clove"} {
		if b, err := l.Botanical(n); err != nil || b.Red {
			t.Errorf("%s is red: %v", n, err)
		}
	}
	for _, n := range []string{"lemon zest", "lime zest", "lemongrass", "lemon verbena"} {
		if b, err := l.Botanical(n); err != nil || !b.Citral {
			t.Errorf("%s has no citral: %v", n, err)
		}
	}
	if b, _ := l.Botanical("orange zest"); b.Citral {
		t.Error("orange zest has citral")
	}
	if b, _ := l.Botanical("cinnamon"); !b.Gum {
		t.Error("cassia has no gum")
	}
	own, err := Builtin().With("l.toml", []byte("[[botanical]]\nname = \"red sage\"\nred = true\n[[ingredient]]\nname = \"cherry puree\"\nred = true\nper_100g = { water = 85, glucose = 8, fructose = 7 }\n"))
	if err != nil {
		t.Fatal(err)
	}
	if b, _ := own.Botanical("red sage"); !b.Red {
		t.Error("the maker's flag is lost")
	}
}
