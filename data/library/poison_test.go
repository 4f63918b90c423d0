package library

import (
	"slices"
	"strings"
	"testing"
)

// What must not be steeped is found under the plurals, genders and compounds of other
// kitchens. The names are from memory; no figure hangs on them.
func TestForbiddenInOtherKitchens(t *testing.T) {
	l := Builtin()
	for entry, names := range map[string]string{
		"bitter almond":     "Bittermandeln, bittere Mandeln, Bitter-Mandeln, Bittermandelkerne, mandorle amare, amandes amères, almendras amargas, amêndoas amargas, almonds (bitter), oil of bitter almonds",
		"apricot kernel":    "Aprikosenkerne, Marillenkerne, Kirschkernen, noyaux d'abricots, armelline, noccioli di pesca, huesos de albaricoque",
		"calamus":           "Kalmus, Kalmuswurzel, Kalmuswurzeln, acore odorant, cálamo aromático",
		"comfrey":           "Beinwell, Beinwellwurzel, Beinwellblätter, consoude, consuelda, Pestwurzblätter",
		"tansy":             "Rainfarn, Rainfarnblüten, Rainfarnkraut, tanaisie",
		"rue":               "Weinraute, Weinrautenblätter, arruda, ruda, fresh ruta",
		"pennyroyal":        "Poleiminze, Polei-Minze, poejo, menthe pouliot, penny royal",
		"tobacco":           "Tabak, Tabakblätter, tabac, tabaco, Zigarren",
		"rhubarb leaf":      "Rhabarberblätter, Rhabarberblättern, feuilles de rhubarbe, hojas de ruibarbo",
		"spurge":            "Rosskastanie, Rosskastanien, Roßkastanien, Rosskastanienblüten, marrons d'Inde, savine, Schöllkraut",
		"nightshade":        "Tollkirschen, Tollkirschenblätter, Tollkirschensaft, Stechäpfel, belladonne",
		"cherry laurel":     "Lorbeerkirsche, Lorbeerkirschen, Kirschlorbeerblätter",
		"monkshood":         "monks hood, Eisenhutwurzel, аконита",
		"yew":               "Eiben, Eibennadeln, Eibenbeeren, tejos",
		"elder leaf":        "Holunderblätter, grüne Holunderbeeren, hojas de saúco",
		"poisonous alcohol": "fireplace ethanol, denatured, stove fuel, cleaning alcohol, cleaning alcohol 96 %, screenwash, rubbing alcohol, Kaminethanol, vergällter Alkohol, Brennspiritus, Isopropanol 99 %, alcool denaturato, alcohol isopropílico, rödsprit",
	} {
		for name := range strings.SplitSeq(names, ", ") {
			if b := l.MustNot(name); b == nil || b.Name != entry {
				t.Errorf("%q is %v, and not %s", name, b, entry)
			}
		}
	}
	for _, name := range []string{
		"Mandeln", "mandorle", "amandes", "Holunderbeeren", "Holunderblüten", "Kirschen", "Schattenmorellen", "morello cherries", "raki", "Mispeln", "acorn",
		"Mohnsamen", "Rhabarber", "menta", "Zitronenblätter", "Lorbeerblätter", "IPA", "horse mint", "Süßholzwurzel", "pesche", "Fruchtfleisch", "rubbed sage", "Rauke", "figue", "fragola", "柚子", "人参", "alcohol etílico", "Lorbeer", "alloro", "IPA beer",
	} {
		if b := l.MustNot(name); b != nil {
			t.Errorf("%q is forbidden as %s", name, b.Name)
		}
		near := slices.Concat(l.MayBe(name), l.Kin(name).Never, l.NearPoison(name))
		if name != "IPA" && len(near) > 0 || name == "IPA" && len(near) == 0 {
			t.Errorf("%q may be %v", name, near)
		}
	}
}

// The oil of a plant is distilled and not for the glass, but for those that one cooks with; and
// spirit of the laboratory may be poisoned. From memory.
func TestOilsAndLaboratorySpirits(t *testing.T) {
	l := Builtin()
	for name := range strings.SplitSeq("lavender oil, oil of wormwood, lemon oil, nutmeg oil, tonka oil, food grade thyme oil, Rosmarinöl, aceite de romero, rose oil, cedar oil, huile de lavande, Wermutöl, Salbeiöl, cedarwood oil, sandalwood oil", ", ") {
		if b := l.MustNot(name); b == nil || b.Name != "essential oil" {
			t.Errorf("%q is %v", name, b)
		}
	}
	for name := range strings.SplitSeq("olive oil, walnut oil, sesame oil, garlic oil, chilli oil, Kürbiskernöl, huile d'olive, almond oil, sunflower oil, oil, alcohol, thyme", ", ") {
		if b := l.MustNot(name); b != nil {
			t.Errorf("%q is forbidden as %s", name, b.Name)
		}
	}
	for name := range strings.SplitSeq("reagent alcohol, lab ethanol, medical alcohol, anhydrous ethanol, Spiritus", ", ") {
		if len(l.MayBe(name)) == 0 {
			t.Errorf("%q may be nothing else", name)
		}
	}
}

// No name of what may be steeped or poured comes near what is forbidden, by any rule.
func TestNoHarmlessNameIsForbidden(t *testing.T) {
	l := Builtin()
	check := func(names []string, parts ...string) {
		for _, n := range names {
			for _, part := range append(parts, "") {
				if b := l.MustNot(n + " " + part); b != nil && b.Kind != "animal" {
					t.Errorf("%q, %q: forbidden as %s", n, part, b.Name)
				}
			}
		}
	}
	for _, b := range l.Botanicals() {
		if b.Forbidden != "" {
			continue
		}
		var cuts []string
		for _, c := range b.Cuts {
			cuts = append(cuts, c.Name)
		}
		check(b.all(), cuts...)
	}
	for _, g := range l.Ingredients() {
		check(g.all())
	}
	for _, s := range l.Spirits() {
		check(s.all())
	}
	for e := range l.tables.meanings().index().entries { // words of other kitchens
		m, err := l.tables.meanings().entries[e].get()
		if err != nil {
			t.Fatal(err)
		}
		if len(m.Never) == 0 {
			check(append(m.Names, m.Name))
		}
	}
}

// What has a limit or a hazard is feared under its names of other kitchens too.
func TestHazardsInOtherKitchens(t *testing.T) {
	for name, key := range map[string]string{
		"Wermutkraut": "thujone-wormwood", "Wermut": "thujone-wormwood", "assenzio": "thujone-wormwood", "Tonkabohnen": "coumarin-tonka",
		"fèves tonka": "coumarin-tonka", "Muskatnüsse": "myristicin-nutmeg", "noci moscate": "myristicin-nutmeg", "Chinarinde": "quinine-cinchona",
		"Süßholzwurzel": "glycyrrhizin-licorice", "Zimtstangen": "coumarin-cassia", "Holunderbeeren": "elder-raw",
	} {
		k := Builtin().Kin(name)
		if !slices.ContainsFunc(k.AllHazards(), func(h Hazard) bool { return h.Key == key }) {
			t.Errorf("%s: %v has no %s", name, k.Words, key)
		}
	}
}
