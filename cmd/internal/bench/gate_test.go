package bench

import (
	"slices"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/somejar"
	"steepbook/data/library"
	"steepbook/shelf"
	"steepbook/shelf/harm"
	"steepbook/shelf/spoilage"
)

const weakSyrup = `
[spirit]
name = "white rum"
abv = 40
amount = "200 ml"
[[addition]]
name = "simple syrup 1:1"
amount = "800 ml"
`

// gated judges lines of a batch half a day after it was begun, with a library
// file beside it.
func gated(t *testing.T, own, lines string) *Assessment {
	t.Helper()
	lib, err := library.Builtin().With("library.toml", []byte(own))
	if err != nil {
		t.Fatalf("%v\n%s", err, own)
	}
	b := somejar.Parse(t, "name = \"T\"\nstarted = 2026-11-20T18:00:00\n"+lines)
	a, err := Read(b, lib, Question{Now: time.Date(2026, 11, 21, 8, 0, 0, 0, time.UTC)})
	if err != nil {
		t.Fatalf("%v\n%s", err, lines)
	}
	a.Judge()
	return a
}

// entry writes one table of a batch: "botanical", "garlic", `amount = "50 g"`.
func entry(kind, name string, keys ...string) string {
	return "[[" + kind + "]]\nname = \"" + name + "\"\n" + strings.Join(keys, "\n") + "\n"
}

// TestNoFood: alcohols and chemicals that are no food are refused in every table,
// and so are poisonous plants by other names; what only sounds like them is not.
func TestNoFood(t *testing.T) {
	for _, name := range []string{
		"methanol", "rubbing alcohol", "isopropyl", "denatured alcohol", "methylated spirit", "surgical spirit", "perfumer's alcohol",
		"antifreeze", "bleach", "lye", "pickling lime", "borax", "copper sulphate", "amanita", "cassava (raw)", "loquat/nespolo seeds",
		"nespolo seeds", "Maiglöckchen", "MAIGLO\u0308CKCHEN", "caffeine powder",
	} {
		for _, lines := range []string{
			"[spirit]\nname = \"" + name + "\"\nabv = 60\namount = \"500 ml\"\n",
			weakSyrup + entry("addition", name, `amount = "50 ml"`, "abv = 50"),
			weakSyrup + entry("botanical", name, `amount = "5 g"`),
		} {
			if a := gated(t, "", lines); len(a.Keep.MustNot) == 0 {
				t.Errorf("%s passes:\n%s", name, lines)
			}
		}
	}
	for _, name := range []string{"lime", "lime juice", "methanol-free ethanol", "tapioca", "cassava starch", "loquat"} {
		if b := library.Builtin().MustNot(name); b != nil {
			t.Errorf("%s is refused as %s", name, b.Name)
		}
	}
}

// TestFreshUntilDry: whatever does not clearly say that it is dry feeds spores in
// a weak syrup.
func TestFreshUntilDry(t *testing.T) {
	for _, c := range []struct {
		kind, name, cut string
		fresh           bool
	}{
		{"botanical", "fennel", "fronds", true}, {"botanical", "fennel", "bulb", true}, {"botanical", "fennel", "fresh", true},
		{"botanical", "fennel", "", true}, {"botanical", "fennel", "dried", false}, {"botanical", "poblano", "", true},
		{"botanical", "dried poblano", "", false}, {"botanical", "roasted pepper", "", true}, {"botanical", "hot pepper", "", true},
		{"botanical", "jarred pepper", "", true}, {"botanical", "pimento", "", true}, {"botanical", "allspice", "", false},
		{"botanical", "figs", "", true}, {"botanical", "dried figs", "", false}, {"botanical", "turmeric", "", true},
		{"botanical", "boiled peanut", "", true}, {"botanical", "raw peanut", "", true}, {"botanical", "peanut", "", false},
		{"botanical", "fennel seeds", "crushed", false}, {"addition", "fresh fennel", "", true},
		{"botanical", "red pepper", "", true}, {"botanical", "bell pepper", "", true}, {"botanical", "green peppercorns", "fresh", true},
		{"botanical", "green peppercorns", "", true}, {"botanical", "black pepper", "cracked", false},
		{"botanical", "persimmon", "", true}, {"botanical", "date", "fresh", true}, {"botanical", "fresh dates", "", true}, {"botanical", "dates", "", false},
		{"botanical", "rose", "fresh petals", true}, {"botanical", "rose", "dried", false}, {"botanical", "dried rose petals", "", false},
		{"botanical", "green tea", "fresh leaf", true}, {"botanical", "green tea", "leaf", false},
		{"botanical", "dandelion root", "", true}, {"botanical", "burdock", "", true}, {"botanical", "burdock", "dried", false}, {"addition", "burdock", "", true},
		{"botanical", "gentian", "", false}, {"botanical", "cinnamon", "smashed", false}, {"botanical", "my cinnamon", "", false},
		{"botanical", "basil", "dried", false}, {"botanical", "basil", "not dried", true}, {"botanical", "basil", "semi-dried", true},
		{"botanical", "basil", "half dried", true}, {"botanical", "basil", "dried, soaked", true}, {"botanical", "ramps", "partly dried", true},
		{"botanical", "nettle", "not dried", true}, {"botanical", "semi-dried tomatoes", "", true}, {"botanical", "ramps", "dried halves", false},
	} {
		keys := []string{`amount = "50 g"`}
		if c.cut != "" {
			keys = append(keys, `cut = "`+c.cut+`"`)
		}
		a := gated(t, "", weakSyrup+entry(c.kind, c.name, keys...))
		if got := len(a.Blend.Bottle.FreshLowAcid) > 0; got != c.fresh {
			t.Errorf("%s, %q: fresh and low in acid is %v", c.name, c.cut, got)
		}
	}
}

// TestOwnNamesKeepCare: an entry of the maker's own brings what the words of its
// name say, in whichever table it stands and whatever its file says.
func TestOwnNamesKeepCare(t *testing.T) {
	const per = "per_100g = { water = 40, sucrose = 60 }\nliquid = true\ndensity_g_per_ml = 1.2\n"
	ingredient := func(name, keys string) string { return "[[ingredient]]\nname = \"" + name + "\"\n" + keys + per }
	spirit := func(name, keys string) string {
		return "[[spirit]]\nname = \"" + name + "\"\nabv_percent = 20\n" + keys
	}
	botanical := func(name, keys string) string { return "[[botanical]]\nname = \"" + name + "\"\n" + keys }
	fresh := func(a *Assessment) bool { return len(a.Blend.Bottle.FreshLowAcid) > 0 }
	allergen := func(name string) func(*Assessment) bool {
		return func(a *Assessment) bool {
			return slices.ContainsFunc(a.Keep.Allergens, func(x library.Allergen) bool { return strings.Contains(x.Name, name) })
		}
	}
	for _, c := range []struct {
		own, name string
		has       func(*Assessment) bool
	}{
		{ingredient("garlic oil", "kind = \"syrup\"\n"), "garlic oil", func(a *Assessment) bool { return a.Blend.Bottle.Oil && fresh(a) }},
		{ingredient("olive oil", "kind = \"syrup\"\n"), "olive oil", func(a *Assessment) bool { return a.Blend.Bottle.Oil }},
		{ingredient("basil syrup", "kind = \"syrup\"\n"), "basil syrup", fresh},
		{ingredient("celery water", "kind = \"water\"\n"), "celery water", fresh},
		{ingredient("celery water", "kind = \"water\"\nallergens = []\n"), "celery water", allergen("celery")},
		{ingredient("almond drink of mine", "allergens = []\n"), "almond drink of mine", allergen("almond")},
		{ingredient("cow cream", ""), "cow cream", func(a *Assessment) bool { return a.Blend.Bottle.Dairy }},
		{ingredient("Schlagsahne", ""), "Schlagsahne", func(a *Assessment) bool { return a.Blend.Bottle.Dairy }},
		{spirit("goat milk gin", ""), "goat milk gin", func(a *Assessment) bool { return a.Blend.Bottle.Dairy }},
		{spirit("our nog", "names = [\"egg nog\"]\n"), "our nog", func(a *Assessment) bool { return a.Blend.Bottle.Egg }},
		{spirit("vodka", "names = [\"egg nog\"]\n"), "egg nog", func(a *Assessment) bool { return a.Blend.Bottle.Egg && a.Blend.Bottle.Dairy }},
		{spirit("garlic", ""), "garlic", fresh},
		{botanical("fresh nettles", "kind = \"spice\"\nfresh = false\n"), "fresh nettles", fresh},
		{botanical("garlic of mine", "kind = \"spice\"\n[[botanical.cut]]\nname = \"sliced\"\n[[botanical.cut]]\nname = \"powder\"\n"), "garlic of mine", fresh},
	} {
		kind := "addition"
		if strings.HasPrefix(c.own, "[[botanical]]") {
			kind = "botanical"
		}
		if a := gated(t, c.own, weakSyrup+entry(kind, c.name, `amount = "100 g"`)); !c.has(a) {
			t.Errorf("%s loses its care: %+v\n%s", c.name, a.Blend.Bottle, c.own)
		}
	}
	a := gated(t, botanical("fennel", "[[botanical.cut]]\nname = \"fresh fronds\"\n"), weakSyrup+entry("botanical", "fennel", `cut = "fresh fronds"`, `amount = "50 g"`))
	if !fresh(a) {
		t.Error("a cut of one's own makes fennel fronds dry")
	}
	// A name of one's own hides nothing of what another table knows.
	a = gated(t, spirit("orange juice", ""), "[spirit]\nname = \"orange juice\"\namount = \"500 ml\"\n")
	if len(a.Blend.Bottle.FreshJuice) == 0 || len(a.Blend.Bottle.Nourishing) == 0 {
		t.Errorf("orange juice as a spirit: %+v", a.Blend.Bottle)
	}
	for _, own := range []string{
		ingredient("cow cream", "dairy = false\n"), spirit("goat milk gin", "dairy = false\n"), spirit("red wine", "wine = \"\"\n"),
		spirit("red wine", "wine = \"fortified\"\n"), spirit("country red wine", "wine = \"\"\n"), botanical("fresh nettles", "low_acid_fresh = false\n"),
		botanical("garlic of mine", "low_acid_fresh = false\n"), ingredient("heavy cream", "dairy = false\n"),
	} {
		_, err := library.Builtin().With("library.toml", []byte(own))
		if err == nil || !strings.Contains(err.Error(), "cannot lift") || strings.Contains(err.Error(), "of mine\"") || strings.Contains(err.Error(), "a name of its own") {
			t.Errorf("%q: %v", own, err)
		}
	}
}

// TestOilAndSolidsStay: neither a strength nor a date that is still ahead makes a
// thing something else.
func TestOilAndSolidsStay(t *testing.T) {
	const strong = "[spirit]\nname = \"neutral grain spirit\"\nabv = 60\namount = \"900 ml\"\n"
	for _, name := range []string{"garlic oil", "chilli oil of mine", "Olivenöl", "huile de noix"} {
		if a := gated(t, "", strong+entry("addition", name, `amount = "100 g"`, "abv = 0")); !a.Blend.Bottle.Oil || a.Keep.Verdict.Verdict == shelf.VerdictShelf {
			t.Errorf("%s is no oil: %s", name, a.Keep.Verdict.Verdict)
		}
	}
	left := func(a *Assessment) bool { return len(a.Blend.Bottle.SolidsLeftIn) > 0 }
	pull := func(at string) string {
		return entry("botanical", "ginger", `amount = "50 g"`, "leave_in = true") + "[[pulled]]\nname = \"ginger\"\nat = " + at + "\n"
	}
	if !left(gated(t, "", weakSyrup+pull("2026-12-20T18:00:00"))) || left(gated(t, "", weakSyrup+pull("2026-11-21T06:00:00"))) {
		t.Error("a pull counts from when it is done")
	}
	for _, c := range []struct {
		keys []string
		left bool
	}{
		{[]string{`amount = "200 g"`}, true}, {[]string{`amount = "200 ml"`, "abv = 1"}, true}, {[]string{`amount = "200 ml"`, "abv = 40"}, false},
	} {
		a := gated(t, "", weakSyrup+entry("addition", "garlic", c.keys...))
		if left(a) != c.left || len(a.Blend.Bottle.FreshLowAcid) == 0 {
			t.Errorf("garlic, %v: left in %v", c.keys, left(a))
		}
	}
	if !left(gated(t, "", weakSyrup+entry("addition", "garlic of mine", `amount = "200 g"`, "abv = 1"))) {
		t.Error("garlic of mine is a liquid")
	}
	for _, abv := range []string{"abv = 1", "abv = 60"} {
		b := somejar.Parse(t, "name = \"T\"\nstarted = 2026-11-20T18:00:00\n"+weakSyrup+entry("addition", "garlic", `amount = "500 g"`, abv))
		if _, err := Read(b, library.Builtin(), Question{Now: b.Started}); err == nil || !strings.Contains(err.Error(), "a plant has no strength") {
			t.Errorf("garlic, 500 g, %s: %v", abv, err)
		}
	}
}

// TestWineInAnyTable: the air clock of a wine does not hang on the table it
// stands in, and several wines add up.
func TestWineInAnyTable(t *testing.T) {
	base := func(name, ml string) string {
		return "[[spirit]]\nname = \"" + name + "\"\namount = \"" + ml + " ml\"\n"
	}
	added := func(name, ml string) string { return entry("addition", name, `amount = "`+ml+` ml"`) }
	for _, c := range []struct {
		lines string
		want  spoilage.Wine
	}{
		{base("red wine", "600") + added("vodka", "200"), spoilage.TableWine},
		{base("vodka", "200") + added("red wine", "600"), spoilage.TableWine},
		{base("vodka", "300") + base("red wine", "200") + added("white wine", "200"), spoilage.TableWine},
		{base("vodka", "600") + added("red wine", "200"), spoilage.NoWine},
		{base("vodka", "200") + added("port", "600") + added("red wine", "100"), spoilage.FortifiedWine},
		{base("water", "900") + added("red wine", "600"), spoilage.TableWine},
		{base("vodka", "100") + entry("addition", "country red wine", `amount = "600 ml"`, "abv = 12"), spoilage.TableWine},
	} {
		if got := gated(t, "", c.lines).Blend.Bottle.Wine; got != c.want {
			t.Errorf("wine %q, want %q:\n%s", got, c.want, c.lines)
		}
	}
}

// TestOtherWords: what has to be named goes by many words, and what only sounds
// like it is not named.
func TestOtherWords(t *testing.T) {
	milk, egg, soy, sesame, fish := "milk", "egg", "soy", "sesame", "fish"
	for name, want := range map[string]string{
		"crème fraîche": milk, "kefir": milk, "custard": milk + " " + egg, "ghee": milk, "dulce de leche": milk, "quark": milk, "skyr": milk,
		"lassi": milk, "ayran": milk, "caramel sauce": milk, "toffee": milk, "latte": milk, "praline": "hazelnut", "gianduja": "hazelnut",
		"nougat": "almond", "tahini": sesame, "marzipan": "almond", "mayonnaise": egg, "meringue": egg, "albumen": egg, "casein": milk,
		"soya drink": soy, "tofu": soy, "miso": soy, "Worcestershire": fish, "clam juice mix": "molluscs", "horchata": "almond",
		"Sahne": milk, "Milch": milk, "Rahm": milk, "lait": milk, "leche": milk, "panna": milk, "nata": milk, "Eigelb": egg, "œuf": egg,
		"oeuf": egg, "huevo": egg, "uovo": egg, "tuorlo": egg, "soja": soy, "Weizen": "wheat", "Sesam": sesame, "Erdnuss": "peanut",
		"Haselnuß": "hazelnut", "Walnuss": "walnut", "noix": "walnut", "noisette": "hazelnut", "Mandel": "almond", "nocciola": "hazelnut",
		"cacahuète": "peanut", "pistacchio": "pistachio", "moutarde": "mustard", "Sellerie": "celery", "Honig": "honey", "miel": "honey",
		"Schlagsahne": milk, "Haselnusslikör": "hazelnut", "goat milk": milk, "mustard": "mustard",
		"milk thistle": "", "eggplant": "", "butter lettuce": "", "vegan cream": "", "cocktail sugar": "",
	} {
		a := gated(t, "", weakSyrup+entry("addition", name, `amount = "100 ml"`, "abv = 0"))
		var got []string
		for _, x := range a.Keep.Allergens {
			got = append(got, x.Name)
		}
		all := strings.Join(got, " ")
		for _, w := range strings.Fields(want) {
			if !strings.Contains(all, w) {
				t.Errorf("%s: %q does not name %s", name, all, w)
			}
		}
		if want == "" && all != "" {
			t.Errorf("%s names %s", name, all)
		}
		if f := a.Blend.Bottle; strings.Contains(want, milk) && name != "praline" && !f.Dairy || strings.Contains(want, egg) && !f.Egg {
			t.Errorf("%s: dairy %v, egg %v", name, f.Dairy, f.Egg)
		}
	}
	for name, says := range map[string]string{
		"miel": "infant", "guarana": "caffeine", "zubrowka": "hay", "Hierochloe odorata": "oumarin",
	} {
		a := gated(t, "", weakSyrup+entry("botanical", name, `amount = "2 g"`))
		if !slices.ContainsFunc(a.Keep.Verdict.Cautions, func(c harm.Caution) bool { return strings.Contains(c.Text, says) }) {
			t.Errorf("%s: no caution with %q: %+v", name, says, a.Keep.Verdict.Cautions)
		}
	}
	// The condiment brings water.
	if a, b := gated(t, "", weakSyrup), gated(t, "", weakSyrup+entry("addition", "mustard", `amount = "300 ml"`)); b.Blend.Result.ABVPercent.Value > 0.85*a.Blend.Result.ABVPercent.Value {
		t.Errorf("300 ml of mustard leave %g of %g %% vol", b.Blend.Result.ABVPercent.Value, a.Blend.Result.ABVPercent.Value)
	}
	if a := gated(t, "", weakSyrup+entry("botanical", "zorblax", `amount = "2 g"`)); !slices.Equal(a.Keep.Unknown, []string{"zorblax"}) {
		t.Errorf("unknown: %q", a.Keep.Unknown)
	}
}
