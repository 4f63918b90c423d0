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
		"bitter almond":      "Bittermandeln, bittere Mandeln, Bitter-Mandeln, Bittermandelkerne, mandorle amare, amandes amères, almendras amargas, amêndoas amargas, almonds (bitter), oil of bitter almonds",
		"apricot kernel":     "abrikozenpitten, almendras de melocotón, nespole semi, nectarine pits, mirabelle stones, greengage kernels, sour cherry pits, damson stones, sloe pits, kersenpitten, Zwetschkenkerne, Weichselkerne, Weichselkern, morello stones, noyaux de griottes, huesos de guinda, noccioli di amarena, cuescos de ciruela, semillas de manzana, Birnenkerne, Pflaumensteine, Kirschen (Kerne), Aprikosenkerne, Marillenkerne, Kirschkernen, noyaux d'abricots, armelline, noccioli di pesca, huesos de albaricoque",
		"calamus":            "Kalmus, Kalmuswurzel, Kalmuswurzeln, acore odorant, cálamo aromático",
		"comfrey":            "Beinwell, Beinwellwurzel, Beinwellblätter, consoude, consuelda, Pestwurzblätter",
		"tansy":              "Rainfarn, Rainfarnblüten, Rainfarnkraut, tanaisie",
		"rue":                "Weinraute, Weinrautenblätter, arruda, ruda, fresh ruta",
		"pennyroyal":         "Poleiminze, Polei-Minze, poejo, menthe pouliot, penny royal",
		"tobacco":            "Tabak, Tabakblätter, tabac, tabaco, Zigarren",
		"rhubarb leaf":       "Rhabarberblätter, Rhabarberblättern, feuilles de rhubarbe, hojas de ruibarbo",
		"spurge":             "Rosskastanie, Rosskastanien, Roßkastanien, Rosskastanienblüten, marrons d'Inde, savine, Schöllkraut",
		"nightshade":         "devil's cherries, Tollkirschen, Tollkirschenblätter, Tollkirschensaft, Stechäpfel, belladonne",
		"cherry laurel":      "Lorbeerkirsche, Lorbeerkirschen, Kirschlorbeerblätter",
		"monkshood":          "monks hood, Eisenhutwurzel, аконита",
		"yew":                "Eiben, Eibennadeln, Eibenbeeren, tejos",
		"elder leaf":         "Holunderblätter, grüne Holunderbeeren, hojas de saúco",
		"poisonous alcohol":  "Isoprop, isoprop 40, burning alcohol, alcohol for sanitising hands, thinner, fireplace ethanol, denatured, stove fuel, cleaning alcohol, cleaning alcohol 96 %, screenwash, rubbing alcohol, Kaminethanol, vergällter Alkohol, Brennspiritus, Isopropanol 99 %, alcool denaturato, alcohol isopropílico, rödsprit, Desinfektionsmittel, desinfectante, Wundbenzin, Feuerzeugbenzin, Nitroverdünnung, Fensterreiniger, Glasreiniger, Rasierwasser, Kölnisch Wasser, gel hydroalcoolique, nettoyant vitres, liquido lavavetri, Isopropilico, hairspray, hand rub, ether, chloroform, rubing alcohol 70 %",
		"household chemical": "washing powder, Waschpulver",
	} {
		for name := range strings.SplitSeq(names, ", ") {
			if b := l.MustNot(name); b == nil || b.Name != entry {
				t.Errorf("%q is %v, and not %s", name, b, entry)
			}
		}
	}
	for _, name := range []string{
		"Kürbiskerne", "Granatapfelkerne", "Traubenkerne", "Pinienkerne", "Sonnenblumenkerne", "kernel corn", "stone pine nuts", "semi-dried cherries",
		"Weinstein", "graines de coriandre", "semillas de cilantro", "Kirschen ohne Kerne", "sour cherries with stones", "Mandeln", "mandorle", "amandes", "Holunderbeeren", "Holunderblüten", "Kirschen", "Schattenmorellen", "morello cherries", "raki", "Mispeln", "acorn",
		"Mohnsamen", "Rhabarber", "menta", "Zitronenblätter", "Lorbeerblätter", "IPA", "horse mint", "Süßholzwurzel", "pesche", "Fruchtfleisch", "rubbed sage", "Rauke", "figue", "fragola", "柚子", "人参", "alcohol etílico", "Lorbeer", "alloro", "IPA beer",
	} {
		if b := l.MustNot(name); b != nil {
			t.Errorf("%q is forbidden as %s", name, b.Name)
		}
		near := slices.Concat(l.Kin(name).Never, l.NearPoison(name))
		if name != "IPA" && len(near) > 0 || name == "IPA" && len(near) == 0 {
			t.Errorf("%q may be %v", name, near)
		}
	}
}

// What is a poison by a name that denies it, or that a drink may well have, asks; what has more of a poison
// in its name, or no drink, is one.
func TestNameOfADrinkAsks(t *testing.T) {
	l := Builtin()
	for name, asks := range map[string]bool{
		"Isopropanol-free grain spirit": true, "Cleaner's vodka": true, "Old Thinner gin": true, "Stove & Fireplace rum": true, "hemlock-free bitters": true,
		"isopropanol vodka": false, "denatured vodka": false, "cleaning spirit": false, "thinner": false, "gin for cleaner": false,
		"alcohol-free cleaner": false, "free isopropanol": false, "isopropanol, fat-free": false, "methylated Cleaner's gin": false,
	} {
		if never := l.Suspected(name, false); (l.MustNot(name) == nil) != asks || asks && len(never) != 1 {
			t.Errorf("%q: %v, may be %q", name, l.MustNot(name), never)
		}
	}
	for name := range strings.SplitSeq("vodka, gin, additive-free tequila, sulphite-free white wine, caffeine-free tea, London dry gin", ", ") {
		if never := l.Suspected(name, true); len(never) > 0 {
			t.Errorf("%q may be %q", name, never)
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
	for name := range strings.SplitSeq("olive oil, walnut oil, sesame oil, garlic oil, chilli oil, Kürbiskernöl, huile d'olive, almond oil, sunflower oil, oil, alcohol, thyme, "+
		"sun-dried tomatoes in oil, lemon thyme in oil, capers in olive oil, pomodori secchi sott'olio", ", ") {
		if b := l.MustNot(name); b != nil {
			t.Errorf("%q is forbidden as %s", name, b.Name)
		}
	}
	for _, name := range []string{"Kürbiskerne", "Sonnenblumenkerne", "Traubenkerne", "Kurbiskerne"} { // seeds, no slip of their oil
		if k := l.Spelt(name); slices.ContainsFunc(k.Ingredients, (*Ingredient).IsFat) {
			t.Errorf("%q may be an oil", name)
		}
	}
	if g, err := l.Ingredient("olives in oil"); err == nil {
		t.Errorf("olives in oil are %s", g.Name)
	}
	if l.MustNot("steeped in essential oil") == nil {
		t.Error("an essential oil is heard as what a thing lies in")
	}
	for name := range strings.SplitSeq("reagent alcohol, lab ethanol, medical alcohol, anhydrous ethanol, Spiritus", ", ") {
		if len(l.Kin(name).Never) == 0 {
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
		"pamplemousse": "grapefruit-medicines", "Pampelmusen": "grapefruit-medicines", "toronja": "grapefruit-medicines",
		"Sternfrucht": "carambola-kidney", "Karambolen": "carambola-kidney",
		"Süßholzwurzel": "glycyrrhizin-licorice", "Zimtstangen": "coumarin-cassia", "Holunderbeeren": "elder-raw",
	} {
		k := Builtin().Kin(name)
		if !slices.ContainsFunc(k.AllHazards(), func(h Hazard) bool { return h.Key == key }) {
			t.Errorf("%s: %v has no %s", name, k.Words, key)
		}
	}
}

// TestForbiddenByOtherNames: chemicals, medicine and more plants by the names they are sold or
// known by, and what only looks like one of them.
func TestForbiddenByOtherNames(t *testing.T) {
	l := Builtin()
	for name := range strings.SplitSeq("sodium nitrite, pink curing salt, nitrite salt, washing soda, glycol, nicotine, vape juice, snus, "+
		"caffeine, methyl salicylate, paracetamol, cantharides, foreshots, brake fluid, blue spirit, technischer Alkohol, poke root, "+
		"Phytolacca americana, raisins d'Amérique, guan mu tong, Carolina jasmine, teucrium, creosote bush, genista, Jakobskreuzkraut, "+
		"Christmas star, kawa kawa, naked ladies, Lenten rose, gloriosa, death camas, dogbane, jatropha, tung nuts, moonseed, "+
		"calabar bean, mad honey, ivy, raw kidney beans, philodendron, privet, Liguster, buckthorn, buckthorn berries, poke, pokeberry, "+
		"yèble, Attich, ergot, Mutterkorn, holly, hydrangea, wisteria, hyacinth, Zigarettentabak, bittersweet, motor oil", ", ") {
		if l.MustNot(name) == nil {
			t.Errorf("%q may be steeped", name)
		}
	}
	for name := range strings.SplitSeq("pansies, daylily, daylilies, cáscara de naranja, propylene glycol, raw vanilla beans, "+
		"green tea low in caffeine, smoked salt, kidney vetch, poke cake syrup, sea buckthorn juice, dried sea buckthorn, yaupon holly, "+
		"holy basil, bittersweet chocolate", ", ") {
		if l.MustNot(name) != nil || len(l.NearPoison(name)) > 0 || len(l.Kin(name).Never) > 0 {
			t.Errorf("%q is taken for a poison: %v, %v, %v", name, l.MustNot(name), l.NearPoison(name), l.Kin(name).Never)
		}
	}
}

// TestNoHarmlessHint: a word that nothing of a harmless name answers to may be all that matters.
func TestNoHarmlessHint(t *testing.T) {
	l := Builtin()
	for name := range strings.SplitSeq("bromide salt, curing salt of mine, cadmium, polish soda, baies de mystère, thallium", ", ") {
		if near := l.Near(name); len(near) > 0 && l.MustNot(name) == nil {
			t.Errorf("%q: did you mean %v", name, near)
		}
	}
}

// TestNamesWithoutAStrength: what a name may stand for at any strength is asked for it.
func TestNamesWithoutAStrength(t *testing.T) {
	for name := range strings.SplitSeq("alcohol, spirit, Alkohol, base spirit, homemade vodka, home-made gin, home distilled spirit, selbstgebrannter Schnaps", ", ") {
		if !Unlabelled(name) {
			t.Errorf("%q has a strength", name)
		}
	}
	for name := range strings.SplitSeq("vodka, pure alcohol, grain alcohol, drinking alcohol, neutral spirit, spirit 40 % vol, house rum", ", ") {
		if Unlabelled(name) {
			t.Errorf("%q has no strength", name)
		}
	}
}

// TestSlipInEveryWord: the name of a poison is heard with a letter wrong in each of its words.
func TestSlipInEveryWord(t *testing.T) {
	l := Builtin()
	for name, want := range map[string]string{"lilly of the vally": "lily of the valley", "chery laural": "cherry laurel"} {
		if near := l.Suspected(name, false); !slices.Contains(near, want) {
			t.Errorf("%q may be %v and not %s", name, near, want)
		}
	}
}

// TestElderUnderEveryName: what is elder berry has its hazard, raw or red.
func TestElderUnderEveryName(t *testing.T) {
	l := Builtin()
	for name := range strings.SplitSeq("Holunderbeeren roh, baies de sureau, bacche di sambuco, bayas de saúco, fläderbär, raw elderberry juice, "+
		"red elderberries, Sambucus racemosa, Sambucus nigra, elderberries, cooked elderberries", ", ") {
		k := l.Kin(name)
		if b, err := l.Botanical(name); err == nil {
			k.Botanicals = append(k.Botanicals, b)
		}
		if !slices.ContainsFunc(k.AllHazards(), func(h Hazard) bool { return h.Key == "cyanide-elder" }) {
			t.Errorf("%q has no hazard of elder", name)
		}
	}
}

// TestPlainWordsAbroad: plain words of other languages are the thing itself.
func TestPlainWordsAbroad(t *testing.T) {
	l := Builtin()
	for name, want := range map[string]string{
		"Rosenblätter": "rose petals", "pétales de rose": "rose petals", "Zitronenmelisse": "lemon balm", "feuilles de sauge": "sage",
		"foglie di menta": "mint", "Chinarinde": "cinchona bark", "Holunderbeeren": "elderberry", "Sauerkirschen mit Stein": "sour cherry",
		"guindas con hueso": "sour cherry", "feuilles de pêcher": "cherry leaf", "Pfirsichblätter": "cherry leaf",
	} {
		if b, err := l.Botanical(name); err != nil || b.Name != want {
			t.Errorf("%q: %v, %v, want %s", name, b, err, want)
		}
	}
	for name, want := range map[string]string{
		"Eier": "egg", "tuorli": "egg yolk", "eau": "water", "melted butter": "butter", "smoked salt": "salt", "black tea, brewed": "brewed tea",
		"Olivenöl": "olive oil", "huile d'olive": "olive oil", "hard tap water": "water", "hard water": "water", "rain water": "water",
		"ice": "water", "ice cubes": "water", "Leitungswasser": "water", "tonic water": "tonic water",
	} {
		if g, err := l.Ingredient(name); err != nil || g.Name != want {
			t.Errorf("%q: %v, %v, want %s", name, g, err, want)
		}
	}
	for name, want := range map[string]string{"Riesling": "white wine", "vin rosé": "white wine", "Merlot": "red wine"} {
		if s, err := l.Spirit(name); err != nil || s.Name != want {
			t.Errorf("%q: %v, %v, want %s", name, s, err, want)
		}
	}
}
