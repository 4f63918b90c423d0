package library

import (
	"errors"
	"os"
	"slices"
	"strings"
	"testing"

	"steepbook/data/strict"
)

const ownFile = `# my own figures
[[source]]
key = "scale"
title = "weighed at the bench"

[[botanical]]
name = "cloves"            # known: changes only what is given
note = "last year's"

[[botanical.cut]]
name = "whole"
dose_g_per_l = [1, 2]
measures = [{ unit = "piece", noun = "clove", g = 0.09, source = "scale" }]

[[botanical.cut]]
name = "roughly pounded"
names = ["pounded"]
rate_per_h = { low = 0.1, high = 1.0 }
held_ml_per_g = 1.4

[[botanical]]
name = "cinnamon myrtle"
names = ["myrtle leaf"]
kind = "leaf"

[[botanical.cut]]
name = "dried"
rate_per_h = 0.3
rate_gsd = 2

[[botanical]]
name = "strawberry gum"

[[ingredient]]
name = "quince paste syrup"
kind = "syrup"
liquid = true
density_g_per_ml = 1.31
per_100g = { water = 36, sucrose = 60, malic = 1, other_solids = 3 }

[[ingredient]]
name = "lime juice"
ph = 2.25
acid_g_per_100ml = [5.8, 6.2]

[[spirit]]
name = "house rum"
abv_percent = 62

[[spirit]]
name = "vodka"
abv_percent = [39.8, 40.2]
`

func TestOwnLibrary(t *testing.T) {
	base := Builtin()
	l, err := base.With("library.toml", []byte(ownFile))
	if err != nil {
		t.Fatal(err)
	}
	clove, err := l.Botanical("clove")
	if err != nil {
		t.Fatal(err)
	}
	if clove.Name != "clove" || !clove.Own || clove.Note != "last year's" || !clove.Fierce || clove.Kind != "spice" || len(clove.Cuts) != 4 {
		t.Errorf("clove: %+v", clove)
	}
	builtin, _, _, _ := base.BotanicalAndCut("clove", "whole")
	whole, _ := clove.Cut("whole")
	if whole.RatePerH != builtin.Cuts[0].RatePerH || whole.DoseGPerL.Low != 1 || whole.DoseGPerL.Grade != Own || whole.DoseGPerL.Source != OwnSource {
		t.Errorf("clove, whole: %+v", whole)
	}
	w, err := whole.Grams(amount(t, "10 cloves"))
	if err != nil || !near(w.G, 0.9, 1e-12) || w.Source != "scale" {
		t.Errorf("10 own cloves: %+v, %v", w, err)
	}
	pounded, err := clove.Cut("pounded")
	if err != nil || pounded.RatePerH.Grade != Own || !near(pounded.RatePerH.Low, 0.1, 1e-3) || !near(pounded.RatePerH.High, 1.0, 1e-3) || pounded.PressedMLPerG.Value >= 1.4 || !near(pounded.RateGSD, 2.01, 0.01) {
		t.Errorf("pounded: %+v, %v", pounded, err)
	}
	myrtle, err := l.Botanical("dried cinnamon myrtle")
	if err != nil || myrtle.Cuts[0].RateGSD != 2 || myrtle.Class != "aroma" {
		t.Errorf("cinnamon myrtle: %+v, %v", myrtle, err)
	}
	gum, err := l.Botanical("strawberry gum")
	if err != nil || len(gum.Cuts) != 1 || gum.Cuts[0].RatePerH.Value != Unknown().RatePerH.Value || gum.Cuts[0].Botanical != "strawberry gum" {
		t.Errorf("strawberry gum: %+v, %v", gum, err)
	}
	// Nobody said what kind of plant it is, so it blunts acid as the worst of them.
	if c := gum.Cuts[0]; c.AshGPer100G.Value != Unknown().AshGPer100G.Value || c.ProteinGPer100G.Value != Unknown().ProteinGPer100G.Value {
		t.Errorf("strawberry gum: ash %v, protein %v", c.AshGPer100G, c.ProteinGPer100G)
	}
	paste, err := l.Ingredient("quince paste syrup")
	if err != nil || paste.Per100G.Grade != Own || paste.DensityGPerML.Value != 1.31 {
		t.Errorf("quince paste syrup: %+v, %v", paste, err)
	}
	lime, err := l.Ingredient("fresh lime juice")
	if err != nil || lime.PH.Value != 2.25 || !near(lime.AcidGPer100ML.Value, 6.0, 0.01) || lime.Per100G.Citric != 4.44 || !lime.FreshJuice || !lime.Own {
		t.Errorf("lime juice: %+v, %v", lime, err)
	}
	if s, err := l.Spirit("house rum"); err != nil || s.ABVPercent.Value != 62 {
		t.Errorf("house rum: %+v, %v", s, err)
	}
	if s, err := l.Spirit("vodka"); err != nil || s.ABVPercent.Low != 39.8 {
		t.Errorf("vodka: %+v, %v", s, err)
	}
	if s, ok := l.Source("scale"); !ok || s.Title != "weighed at the bench" {
		t.Errorf("source: %+v", s)
	}
	if _, ok := l.Source("usda-fdc"); !ok {
		t.Error("the built-in sources are lost")
	}
	if n := len(l.Botanicals()) - len(base.Botanicals()); n != 2 {
		t.Errorf("%d botanicals more, want 2", n)
	}
	// The built-in library is untouched.
	old, _ := base.Botanical("clove")
	if old.Own || len(old.Cuts) != 3 || len(old.Cuts[0].Measures) != 2 || old.Note == clove.Note {
		t.Errorf("the built-in clove changed: %+v", old)
	}
}

func TestOwnLibraryFaults(t *testing.T) {
	for _, c := range []struct{ name, src, line, says string }{
		{"unknown key", "[[botanical]]\nname = \"x\"\nkinds = \"spice\"\n", "library.toml:3:", `"kinds"`},
		{"unknown table", "[[plants]]\nname = \"x\"\n", "library.toml:1:", "plants"},
		{"no name", "[[botanical]]\nkind = \"spice\"\n", "library.toml:1:", "needs a name"},
		{"bad kind", "[[botanical]]\nname = \"x\"\nkind = \"spize\"\n", "library.toml:3:", `did you mean "spice"?`},
		{"bad class", "[[botanical]]\nname = \"x\"\nclass = \"smell\"\n", "library.toml:3:", "aroma, taste, heat"},
		{"twice", "[[botanical]]\nname = \"clove\"\n[[botanical]]\nname = \"Cloves\"\n", "library.toml:4:", "written twice"},
		{"rate zero", "[[botanical]]\nname = \"x\"\n[[botanical.cut]]\nname = \"a\"\nrate_per_h = 0\n", "library.toml:5:", "between 0.000001 and 1000"},
		{"spread", "[[botanical]]\nname = \"x\"\n[[botanical.cut]]\nname = \"a\"\nrate_per_h = 1\nrate_gsd = 0.5\n", "library.toml:6:", "a factor above 1"},
		{"range falls", "[[botanical]]\nname = \"x\"\n[[botanical.cut]]\nname = \"a\"\ndose_g_per_l = [5, 1]\n", "library.toml:5:", "must rise"},
		{"text for a number", "[[botanical]]\nname = \"x\"\n[[botanical.cut]]\nname = \"a\"\ndose_g_per_l = \"5 g\"\n", "library.toml:5:", "number"},
		{"nan", "[[botanical]]\nname = \"x\"\n[[botanical.cut]]\nname = \"a\"\ndose_g_per_l = nan\n", "library.toml:5:", "number"},
		{"cut without a name", "[[botanical]]\nname = \"x\"\n[[botanical.cut]]\ndose_g_per_l = 2\n", "library.toml:3:", "a cut needs a name"},
		{"unknown source", "[[botanical]]\nname = \"x\"\n[[botanical.cut]]\nname = \"a\"\ndose_g_per_l = { value = 2, source = \"gran\" }\n", "library.toml:5:", `source "gran"`},
		{"unknown source of a pH", "[[ingredient]]\nname = \"lime juice\"\nph = { value = 2.2, source = \"gran\" }\n", "library.toml:3:", `source "gran"`},
		{"key in a figure", "[[botanical]]\nname = \"x\"\n[[botanical.cut]]\nname = \"a\"\ndose_g_per_l = { valu = 2 }\n", "library.toml:5:", `"valu"`},
		{"measure", "[[botanical]]\nname = \"x\"\n[[botanical.cut]]\nname = \"a\"\nmeasures = [{ unit = \"tsp\" }]\n", "library.toml:5:", "weight in g"},
		{"too much water", "[[botanical]]\nname = \"x\"\n[[botanical.cut]]\nname = \"a\"\nwater_g_per_g = 0.9\nsugar_g_per_g = 0.2\n", "library.toml:3:", "more than there is"},
		{"forbidden stays forbidden", "[[botanical]]\nname = \"tobacco\"\n[[botanical.cut]]\nname = \"cut\"\n", "library.toml:3:", "must not be steeped"},
		{"no make-up", "[[ingredient]]\nname = \"x\"\nkind = \"syrup\"\n", "library.toml:1:", "make-up per 100 g"},
		{"make-up short", "[[ingredient]]\nname = \"x\"\nper_100g = { water = 30, sucrose = 50 }\n", "library.toml:3:", "adds to 80 g"},
		{"liquid without density", "[[ingredient]]\nname = \"x\"\nliquid = true\nper_100g = { water = 100 }\n", "library.toml:", "needs its density"},
		{"spirit without strength", "[[spirit]]\nname = \"x\"\n", "library.toml:1:", "needs a strength"},
		{"strength 140", "[[spirit]]\nname = \"x\"\nabv_percent = 140\n", "library.toml:3:", "between 0 and 97"},
		{"allergen", "[[botanical]]\nname = \"x\"\nallergens = [\"almonds\"]\n", "library.toml:3:", `did you mean "almond"?`},
		{"no TOML", "name: x\n", "library.toml:1:", ""},
	} {
		_, err := Builtin().With("library.toml", []byte(c.src))
		var e *strict.Error
		if !errors.As(err, &e) {
			t.Errorf("%s: error %v, want a strict error", c.name, err)
			continue
		}
		if !strings.HasPrefix(err.Error(), c.line) || !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %s", c.name, err)
		}
	}
	for _, src := range []string{"", "\n# nothing yet\n"} {
		if l, err := Builtin().With("library.toml", []byte(src)); err != nil || len(l.Botanicals()) != len(Builtin().Botanicals()) {
			t.Errorf("an empty library file: %v", err)
		}
	}
}

func FuzzWith(f *testing.F) {
	f.Add(ownFile)
	f.Add("[[botanical]]\nname = \"clove\"\n[[botanical.cut]]\nname=\"whole\"\nmeasures=[{unit=\"piece\",g=0.1}]")
	f.Add("[[ingredient]]\nname=\"x\"\nper_100g={water=100}")
	f.Add(taughtFile)
	f.Fuzz(func(t *testing.T, src string) {
		l, err := Builtin().With("f.toml", []byte(src))
		if err != nil {
			if err.Error() == "" || strings.Contains(err.Error(), "\n") {
				t.Errorf("error %q", err)
			}
			return
		}
		for _, b := range l.Botanicals() {
			for i := range b.Cuts {
				if r := b.Cuts[i].RatePerH; b.Own && !(r.Low > 0 && finite(r.High)) {
					t.Errorf("%s: rate %+v", b.Name, r)
				}
			}
		}
	})
}

// TestAllowedNamesHoldNothingForbidden: no name of the library is forbidden by
// another entry's words, so that those words may always say no.
func TestAllowedNamesHoldNothingForbidden(t *testing.T) {
	l := Builtin()
	c := l.botanicals()
	for _, e := range c.entries {
		for _, n := range slices.Concat([]string{e.name}, e.names) {
			if x := c.never(n); !e.never && x != nil {
				t.Errorf("%s is %s", n, x.name)
			}
		}
	}
}

// TestNamesOfOtherKinds: an ingredient or a spirit by its very name is what must
// not be steeped only by the words in it, so that MustNot need not look further.
func TestNamesOfOtherKinds(t *testing.T) {
	l := Builtin()
	see := func(name string) {
		b, _, err := l.seek(name)
		if err == nil && b != nil && b.Forbidden == "" {
			b = nil
		}
		if said, _ := l.botanicals().never(name).orNone(); err != nil || b != said || l.MustNot(name) != said {
			t.Errorf("%q: %v, by its words %v, %v", name, b, said, err)
		}
	}
	for _, e := range l.ingredients().entries {
		for _, n := range slices.Concat([]string{e.name}, e.names) {
			see(n)
		}
	}
	for _, e := range l.spirits().entries {
		for _, n := range slices.Concat([]string{e.name}, e.names) {
			see(n)
		}
	}
}

// TestOwnEntriesOnTheCarefulSide: a file of the maker's own takes no care away
// from what is built in, and what it does not say of a new thing is read from
// its name.
func TestOwnEntriesOnTheCarefulSide(t *testing.T) {
	for _, src := range []string{
		"[[ingredient]]\nname = \"egg\"\negg = false\n",
		"[[ingredient]]\nname = \"Heavy Cream\"\ndairy = false\n",
		"[[ingredient]]\nname = \"orange juice\"\nfresh_juice = false\n",
		"[[ingredient]]\nname = \"almond milk\"\nnut_milk = false\n",
		"[[botanical]]\nname = \"basil\"\nlow_acid_fresh = false\n",
		"[[botanical]]\nname = \"almond\"\nnut = false\n",
		"[[spirit]]\nname = \"cream liqueur\"\ndairy = false\n",
	} {
		if _, err := Builtin().With("library.toml", []byte(src)); err == nil || !strings.Contains(err.Error(), "cannot lift") {
			t.Errorf("%q: %v", src, err)
		}
	}
	const per = "per_100g = { water = 74, fat = 13, protein = 13 }\n"
	l, err := Builtin().With("library.toml", []byte(
		"[[ingredient]]\nname = \"duck eggs\"\n"+per+
			"[[ingredient]]\nname = \"country cream\"\n"+per+
			"[[ingredient]]\nname = \"vegan cream\"\ndairy = false\nallergens = []\n"+per+
			"[[ingredient]]\nname = \"a stuff\"\nnames = [\"full-fat milk\"]\n"+per+
			"[[botanical]]\nname = \"a thing\"\nnames = [\"wild garlic pesto\"]\nkind = \"spice\"\n[[botanical.cut]]\nname = \"cut\"\n"+
			"[[ingredient]]\nname = \"tobacco syrup\"\n"+per+
			"[[spirit]]\nname = \"our eggnog\"\nabv_percent = 17\n"+
			"[[spirit]]\nname = \"our white rum\"\nabv_percent = 60\n"+
			"[[botanical]]\nname = \"ramps\"\n[[botanical.cut]]\nname = \"cut\"\n"+
			"[[botanical]]\nname = \"ramps, dried\"\n[[botanical.cut]]\nname = \"cut\"\n"+
			"[[botanical]]\nname = \"cherry pits of mine\"\n[[botanical.cut]]\nname = \"cut\"\n"))
	if err != nil {
		t.Fatal(err)
	}
	duck, _ := l.Ingredient("duck egg")
	cream, _ := l.Ingredient("country cream")
	vegan, _ := l.Ingredient("vegan cream")
	if !duck.Egg || !duck.Nourishing || len(duck.Allergens) != 1 || !cream.Dairy || !cream.Nourishing || len(cream.Allergens) != 1 {
		t.Errorf("%+v, %+v", duck, cream)
	}
	if vegan.Dairy || len(vegan.Allergens) != 0 {
		t.Errorf("what the file says stands: %+v", vegan)
	}
	// A name of its own hides no care of the built-in one.
	milk, _ := l.Ingredient("full-fat milk")
	pesto, _ := l.Botanical("wild garlic pesto")
	if !milk.Dairy || !pesto.LowAcidFresh {
		t.Errorf("%+v, %+v", milk, pesto)
	}
	nog, _ := l.Spirit("our eggnog")
	rum, _ := l.Spirit("our white rum")
	if !nog.Egg || !nog.Nourishing || rum.Nourishing || rum.Egg {
		t.Errorf("%+v, %+v", nog, rum)
	}
	ramps, _ := l.Botanical("ramps")
	dry, _ := l.Botanical("ramps, dried")
	if !ramps.LowAcidFresh || !(ramps.Cuts[0].WaterGPerG.Value > 0.5) || dry.LowAcidFresh || dry.Cuts[0].WaterGPerG.Known() {
		t.Errorf("%+v, %+v", ramps, dry)
	}
	for _, name := range []string{"cherry pits of mine", "tobacco syrup"} {
		if l.MustNot(name) == nil {
			t.Errorf("%s is allowed by an entry of one's own", name)
		}
	}
}

// TestKin: the words of a name that is not known are read by the library's own
// names, the fullest first.
func TestKin(t *testing.T) {
	for name, want := range map[string][]string{
		"country cream liqueur": {"cream liqueur"},
		"duck egg":              {"egg"},
		"oat milk of mine":      {"oat milk"},
		"zorblax":               nil,
		"somebody's buttermilk": nil,
	} {
		got := Builtin().Kin(name).Words
		if name == "somebody's buttermilk" {
			k := Builtin().Kin(name)
			if !slices.ContainsFunc(k.Ingredients, func(g *Ingredient) bool { return g.Dairy }) {
				t.Errorf("%s: %q", name, got)
			}
			continue
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}

// TestMeanings: every word of hazards/words.toml stands for things the library
// has, and hides none of its names.
func TestMeanings(t *testing.T) {
	l := Builtin()
	for _, e := range l.tables.meanings().entries {
		m, err := e.get()
		if err == nil {
			err = new(Kin).take(l, m)
		}
		if err != nil {
			t.Errorf("%s: %v", e.name, err)
		}
	}
}

func TestDry(t *testing.T) {
	for said, want := range map[string]bool{
		"dried": true, "Dried, halves": true, "ground": true, "sun-dried": true, "freshly ground": true, "lightly crushed, dried": true,
		"not dried": false, "semi-dried": false, "half dried": false, "dried, soaked": false, "undried": false, "fresh, ground": false,
		"partly-dried": false, "rehydrated dried": false, "": false,
	} {
		if got := Dry(said); got != want {
			t.Errorf("%q is dry: %v", said, got)
		}
	}
}

// TestStrange: no cut that the library knows of a dry plant is strange to it, nor
// is it by the words that makers put beside a cut.
func TestStrange(t *testing.T) {
	for _, b := range Builtin().Botanicals() {
		if b.Fresh || b.FreshOrDry || b.Forbidden != "" {
			continue
		}
		for _, name := range append([]string{b.Name}, b.Names...) {
			if b.EitherWay(name) {
				continue // fresh until it is said to be dry
			}
			for _, c := range b.Cuts {
				for _, cut := range append([]string{"", "lightly toasted", "coarsely crushed", "2 cm pieces", "thin slices", c.Name}, c.Names...) {
					if b.Strange(name, cut) {
						t.Errorf("%s, %s: strange", name, cut)
					}
				}
			}
		}
	}
}

// TestReadmeLibrary: the maker's library that the README shows is read, and every
// entry of it answers.
func TestReadmeLibrary(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(string(text), "overrides what the built-in library says of them:\n\n```toml\n")
	toml, _, ok2 := strings.Cut(rest, "```")
	if !ok || !ok2 {
		t.Fatal("the README shows no library.toml")
	}
	l, err := Builtin().With("library.toml", []byte(toml))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := l.Botanical("lemon myrtle"); err != nil {
		t.Error(err)
	}
	if g, err := l.Ingredient("grove syrup"); err != nil || g.Per100G.Sucrose != 60 {
		t.Errorf("%+v, %v", g, err)
	}
	if s, err := l.Spirit("island rum"); err != nil || s.ABVPercent.Value != 63 {
		t.Errorf("%+v, %v", s, err)
	}
}

// TestOldLibrariesAreRead: what a maker's file could say stays readable.
func TestOldLibrariesAreRead(t *testing.T) {
	old := "[[ingredient]]\nname = \"grove sugar\"\nkind = \"\"\nactive_share = 0.7\n" +
		"per_100g = { water = 34, sucrose = 66 }\n[[botanical]]\nname = \"lime bark\"\nkind = \"\"\nclass = \"\"\n"
	l, err := Builtin().With("library.toml", []byte(old))
	if err != nil {
		t.Fatal(err)
	}
	if g, err := l.Ingredient("grove sugar"); err != nil || g.Per100G.Sucrose != 66 {
		t.Errorf("%+v, %v", g, err)
	}
}
