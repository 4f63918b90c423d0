package library

import (
	"slices"
	"strings"
	"testing"
)

// What makers of many kitchens ask for, in their words: botanicals, and things
// that go into the blend.
const (
	askedBotanicals = `mauby bark, mabi, soursop, guanábana, graviola, calamansi, calamondin, green ume, maesil, jujube, red dates, fresh jujube,
		ginseng, red ginseng, fresh ginseng, kokum, amla, dried amla, baobab, bouye, honeybush, achiote, annatto seeds, boldo, lingonberries,
		cowberry, cloudberry, bakeapple, rowan berries, myrtle berries, mirto, chinotto, citron, etrog, Buddha's hand, sudachi, kabosu, yuzu,
		sudachi zest, kabosu zest, makrut lime zest, sakura, salted cherry blossom, sakura leaf, longans, dried longan, schisandra, omija,
		hojicha, genmaicha, guava, guayusa, lucuma, feijoas, hoja santa, sweet clover, bison grass, salep, bay rum leaf, guarana, kola nuts,
		cupuaçu, cashew apple, monk fruit, tejocotes, epazote, lemon myrtle, wattleseed, quandong, marula, naranjilla, lulo, prickly pears,
		carambola, star fruit, papaya, jackfruit, sapodilla, cherimoyas, pitanga, nance, golden berries, physalis, barberry, zereshk,
		cornelian cherry, medlar, crowberry, lapacho, pericón, cacao husk, coffee cherry, purple corn, buchu, grains of Selim, asafoetida,
		hing, tulsi, vetiver, khus, amchur, fingerroot, krachai, tej patta, Tasmanian pepper, roasted barley, mugicha, toasted rice,
		cashews, macadamias, pine nuts, safflower, cornflower, mallow flower, heather, anise hyssop, chervil, sweet cicely, salad burnet,
		fresh roselle, bissap, zobo, tamarind, sea buckthorn, mastic, sumac, black lime, rose geranium, pandan, galangal, shiso, osmanthus,
		goji, rooibos, yerba mate, lychee, aronia, gooseberry`
	askedIngredients = `calamansi juice, sudachi juice, kabosu juice, yuzu juice, clarified lime juice, clarified pineapple juice,
		acid-adjusted orange juice, acid-adjusted juice, mirin, peel sugar, oleo saccharum, erythritol, xylitol, allulose, sorbitol, isomalt,
		trehalose, brown rice syrup, kuromitsu, kewra water, soursop pulp, feijoa flesh, guava puree, lychees, papaya flesh, lingonberries,
		cloudberries, naranjilla pulp`
	// Their look-alikes, and the parts that are poison.
	askedNever = `ume stones, rowan seeds, soursop seeds, graviola leaf, graviola seeds, hojas de guanábana, feuilles de corossol, medlar pips, Chinese lantern, green physalis, epazote oil, lychee seeds, unripe longans, tejocote root, ackee, cascara sagrada, poison sumac, Jerusalem cherry,
		cashew shell, mahlab, Japanese star anise`
	// Weighed only: wood and pith are never sold by the spoon, and cinchona by
	// the spoon has poisoned.
	weighedOnly = `fruit wood, cedar wood, citrus pith, mastic, cinchona bark`
)

func listed(s string) []string { return strings.Split(strings.Join(strings.Fields(s), " "), ", ") }

// The breadth of the library: what is asked for is found, with a source and a
// grade to every figure; what may poison says so; and whatever is sold by the
// spoon, piece or bunch has a kitchen measure, or stands among what is only weighed.
func TestBreadth(t *testing.T) {
	l := Builtin()
	for _, name := range listed(askedBotanicals) {
		if b, err := l.Botanical(name); err != nil || b.Forbidden != "" || len(b.Cuts) == 0 {
			t.Errorf("botanical %q: %v", name, err)
		}
	}
	for _, name := range listed(askedIngredients) {
		if _, err := l.Ingredient(name); err != nil {
			t.Errorf("ingredient %q: %v", name, err)
		}
	}
	for _, name := range listed(askedNever) {
		if b, err := l.Botanical(name); err != nil || b.Forbidden == "" || l.MustNot(name) == nil {
			t.Errorf("%q may be steeped: %v", name, err)
		}
	}
	numbers(l, func(where string, n Number) {
		if _, ok := l.Source(n.Source); !ok || !n.Grade.valid() {
			t.Errorf("%s: source %q, grade %q", where, n.Source, n.Grade)
		}
	})
	weighed := listed(weighedOnly)
	for _, b := range l.Botanicals() {
		if len(b.Cuts) > 0 && (len(b.Cuts[0].Measures) == 0) != slices.Contains(weighed, b.Name) {
			t.Errorf("%s, %s: %d kitchen measures", b.Name, b.Cuts[0].Name, len(b.Cuts[0].Measures))
		}
	}
}

// What its source warns of is said, whatever the plant is called.
func TestCautionsOfTheWiderKitchen(t *testing.T) {
	l := Builtin()
	for substance, names := range map[string]string{
		"annonacin": "soursop, custard apple", "latex, benzyl isothiocyanate": "papaya", "herbs that act on the womb and on clotting": "safflower, hing, lovage", "caramboxin, oxalic acid": "star fruit", "boldine, ascaridole": "boldo leaf", "ascaridole": "epazote",
		"safrole": "hoja santa, mountain pepper", "ginsenosides": "ginseng, fresh ginseng", "schisandra lignans": "omija", "hydrogen cyanide": "ume, sakura leaf",
		"parasorbic acid": "rowan berry", "coumarin": "sakura, sakura leaf, bison grass", "caffeine": "guarana, guayusa, kola nut, hojicha, cascara",
		"solanine": "physalis", "methyleugenol": "bay rum leaf, tulsi", "furanocoumarins": "chinotto", "lapachol": "lapacho", "pulegone": "buchu",
	} {
		for _, name := range listed(names) {
			b, err := l.Botanical(name)
			if err != nil || !slices.ContainsFunc(b.Hazards, func(h Hazard) bool { return h.Substance == substance }) {
				t.Errorf("%s: %v says nothing of %s", name, err, substance)
			}
		}
	}
	// Nor is it lost with the part that the library does not know.
	for name, substance := range map[string]string{
		"epazote seed": "ascaridole", "boldo bark": "boldine, ascaridole", "lovage root": "herbs that act on the womb and on clotting",
		"papaya seeds": "latex, benzyl isothiocyanate", "pawpaw": "annonacin", "papaw": "annonacin",
	} {
		k := l.Kin(name)
		if _, err := l.Botanical(name); err == nil || !slices.ContainsFunc(k.AllHazards(), func(h Hazard) bool { return h.Substance == substance }) {
			t.Errorf("%s: says nothing of %s", name, substance)
		}
	}
	if len(l.Kin("cascara").Never) == 0 {
		t.Error("cascara may be the laxative bark")
	}
	if g, err := l.Ingredient("xylitol"); err != nil || len(g.Hazards) == 0 {
		t.Errorf("xylitol: %v says nothing of dogs", err)
	}
}

// A juice's pH and acidity are those printed: MARDI, J. Trop. Agric. Food Sci.
// 28(2), 2000 (5.8 % acid, pH 2.4) and University of Guam FP-02, 2016 (4.50 to
// 5.80 %, pH 2.40 to 3.00); thirteen sour citrus of Japan hold 4 to 6 %.
func TestJuicesOfTheWiderKitchen(t *testing.T) {
	l := Builtin()
	for name, acid := range map[string][2]float64{"calamansi juice": {4.5, 5.8}, "sudachi juice": {4, 6}, "kabosu juice": {4, 6}} {
		g, err := l.Ingredient(name)
		if err != nil || g.AcidGPer100ML.Low != acid[0] || g.AcidGPer100ML.High != acid[1] || !g.FreshJuice || !g.Nourishing {
			t.Errorf("%s: %+v, %v", name, g, err)
		}
	}
	if g, err := l.Ingredient("calamansi juice"); err != nil || g.PH.Value != 2.4 || g.PH.Low != 2.4 || g.PH.High != 3 {
		t.Errorf("calamansi juice: %+v, %v", g, err)
	}
	// Clarified or not, the acid is that of the juice.
	for _, name := range []string{"lime juice", "pineapple juice"} {
		a, err1 := l.Ingredient(name)
		b, err2 := l.Ingredient("clarified " + name)
		if err1 != nil || err2 != nil || a.Name != b.Name {
			t.Errorf("clarified %s: %v, %v", name, err1, err2)
		}
	}
}
