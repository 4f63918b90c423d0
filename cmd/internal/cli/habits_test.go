package cli

import (
	"strings"
	"testing"
	"time"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// line is what should be read of one line of a recipe: the library's name for it, and
// grams that a published figure or an exact unit gives, 0 where there is none (USDA
// FoodData Central, as in data/; NIST Handbook 44, Appendix C).
type line struct {
	name string
	g    float64
}

// habits are twenty invented recipes as cooks type them.
var habits = []struct {
	title             string
	us                bool
	spirit, abv, much string
	base              string
	botanicals        []string
	steeps            []line
	additions         []string
	adds              []line
}{
	{"lime, clove and ginger", true, "white rum", "40", "1 bottle", "white rum",
		[]string{"zest of 9 limes @ 6", "40 whole cloves @ 3",
			"a 2-inch piece of ginger, peeled and sliced @ 4",
			"a scant 1/4 cup toasted slivered almonds @ 3"},
		[]line{{"lime zest", 0}, {"clove", 0}, {"ginger", 0}, {"almond", 0.9 * 108 / 4}},
		[]string{"1 1/2 cups simple syrup", "juice of 2 limes"},
		[]line{{"simple syrup", 0}, {"lime juice", 0}}},
	{"lemon peel", false, "vodka", "40", "a 750 ml bottle", "vodka",
		[]string{"peel of 8 unwaxed lemons @ 7"}, []line{{"lemon zest", 0}},
		[]string{"1 1/4 US cups white sugar", "1 US cup plus 2 tbsp water"},
		[]line{{"white sugar", 250}, {"water", 1.125 * 236.588 * 0.9982}}},
	{"allspice", true, "good dark rum", "43", "2 (750 ml) bottles", "dark rum",
		[]string{"1/4 cup allspice berries @ 6", "2 cinnamon sticks @ 4", "half a nutmeg, grated @ 2"},
		[]line{{"allspice", 0}, {"cassia cinnamon", 0}, {"nutmeg", 0}},
		[]string{"1 lb 4 oz dark brown sugar", "3 cups water"},
		[]line{{"brown sugar", 567}, {"water", 3 * 236.588 * 0.9982}}},
	{"plum and spice", false, "brandy", "40", "70 cl", "brandy",
		[]string{"1 lb 4 oz plums @ 6", "1 small cinnamon stick @ 2", "a star anise @ 2"},
		[]line{{"plum", 567}, {"cassia cinnamon", 0}, {"star anise", 0}}, []string{"250 g caster sugar"},
		[]line{{"caster sugar", 250}}},
	{"hedge fruit", false, "London dry gin", "40", "70cl", "gin",
		[]string{"450 g sloes @ 7", "a few almonds @ 1"}, []line{{"sloe", 450}, {"almond", 4 * 1.2}},
		[]string{"225 g golden caster sugar"}, []line{{"caster sugar", 225}}},
	{"coffee", false, "vodka", "40", "1 l", "vodka", []string{"3 heaped tbsp coffee beans @ 6",
		"1 Madagascan vanilla pod, split @ 4"}, []line{{"coffee beans", 0}, {"vanilla", 0}},
		[]string{"1 cup (200 g) dark muscovado sugar", "a good pinch of salt"},
		[]line{{"muscovado sugar", 200}, {"salt", 0}}},
	{"chilli and agave", false, "tequila", "40", "700 ml", "agave spirit",
		[]string{"2 jalapeno peppers, sliced @ 5", "12 g coriander leaves @ 3"},
		[]line{{"jalapeño", 0}, {"coriander leaf", 12}},
		[]string{"agave nectar: 1/4 cup less 1 tsp", "juice of 3 limes"},
		[]line{{"agave syrup", 0}, {"lime juice", 0}}},
	{"mountain flowers", false, "grappa", "42", "half a litre", "",
		[]string{"about 20 g dried chamomile @ 5", "a strip of lemon peel @ 2"},
		[]line{{"chamomile", 20}, {"lemon zest", 0}},
		[]string{"3 tbsp runny honey"}, []line{{"honey", 63}}},
	{"pineapple", false, "cachaça", "40", "2 US pints", "cane spirit",
		[]string{"400 g pineapple, chopped @ 6"}, []line{{"pineapple", 400}}, nil, nil},
	{"bitters", true, "bourbon", "45", "1 quart", "bourbon", []string{"dried bitter orange peel: 10 g @ 5",
		"gentian root: 1/2 tsp @ 3", "1 tsp cardamom pods, crushed @ 3", "6 black peppercorns @ 1"},
		[]line{{"dried bitter orange peel", 10}, {"gentian root", 0}, {"green cardamom", 0},
			{"black pepper", 0}}, []string{"1/2 cup maple syrup"}, []line{{"maple syrup", 157.5}}},
	{"mulled", false, "red wine", "13", "1 bottle", "red wine", []string{"1 orange, sliced @ 4",
		"8 cloves @ 3", "2 cinnamon sticks @ 3"}, []line{{"orange", 0}, {"clove", 0}, {"cassia cinnamon", 0}},
		[]string{"a splash of brandy", "100g sugar"}, []line{{"brandy", 0}, {"white sugar", 100}}},
	{"lemongrass", false, "vodka", "50", "500 ml", "vodka", []string{"20 g fresh turmeric @ 3",
		"2 stalks lemongrass, bashed @ 5", "4 makrut lime leaves @ 4"}, []line{{"fresh turmeric", 20},
		{"lemongrass", 0}, {"makrut lime leaf", 0}},
		[]string{"4 oz (115 g) palm sugar"}, []line{{"coconut sugar", 115}}},
	{"smoky", false, "whisky", "40", "half a bottle", "bourbon", []string{"1 tbsp lapsang souchong @ 5"},
		[]line{{"smoked tea", 0}}, []string{"3 tbsp heather honey", "juice of half a lemon"},
		[]line{{"honey", 63}, {"lemon juice", 0}}},
	{"apricot", true, "Jamaican rum", "40", "3 cups", "white rum",
		[]string{"1 dozen dried apricot halves @ 4", "1 vanilla bean @ 3", "1 star anise, broken @ 2"},
		[]line{{"dried apricot", 0}, {"vanilla", 0}, {"star anise", 0}},
		[]string{"1 cup turbinado", "1 1/2 cups water"},
		[]line{{"turbinado sugar", 202}, {"water", 1.5 * 236.588 * 0.9982}}},
	{"raspberry", false, "vodka", "40", "1 litre", "vodka",
		[]string{"a couple of handfuls of raspberries @ 6", "3 sprigs thyme @ 2"},
		[]line{{"raspberry", 0}, {"thyme", 0}},
		[]string{"juice of 1 lemon", "1 1/2 cups (300 g) caster sugar"},
		[]line{{"lemon juice", 0}, {"caster sugar", 300}}},
	{"cherry", false, "cheap vodka", "60", "0,7 l", "vodka",
		[]string{"250 g Morello cherries, pitted @ 6", "5 peppercorns @ 1", "1 bay leaf @ 1"},
		[]line{{"sour cherry", 250}, {"black pepper", 0}, {"bay leaf", 0}},
		[]string{"250 g sugar", "250 ml water"}, []line{{"white sugar", 250}, {"water", 249.55}}},
	{"chilli chocolate", false, "vodka", "40", "700ml", "vodka",
		[]string{"2 dried birdseye chilis @ 4", "zest of half an orange @ 3", "30 g cacao nibs @ 5"},
		[]line{{"dried chilli", 0}, {"orange zest", 0}, {"cacao nibs", 30}},
		[]string{"2 tbsp + 1 tsp agave syrup"}, []line{{"agave syrup", 0}}},
	{"shrub", true, "water", "", "2 cups", "", []string{"2 cups fresh strawberries, hulled @ 6"},
		[]line{{"strawberry", 0}}, []string{"1/4 cup champagne vinegar", "1-1/2 cups sugar"},
		[]line{{"vinegar", 0}, {"white sugar", 300}}},
	{"dates", false, "pisco", "42", "70 cl", "", []string{"1 small cinnamon quill @ 3",
		"4 whole allspice @ 2", "half a dozen dates @ 4"}, []line{{"cassia cinnamon", 0}, {"allspice", 0},
		{"date", 0}},
		[]string{"1/3 cup gomme"}, []line{{"simple syrup", 0}}},
	{"caraway", false, "neutral grain spirit", "96", "50 cl", "neutral grain spirit",
		[]string{"2 rounded tsp caraway seeds @ 6", "1 tsp aniseed @ 4", "a generous pinch of saffron @ 2"},
		[]line{{"caraway", 0}, {"aniseed", 2.1}, {"saffron", 0}},
		[]string{"2 tbsp sugar", "1 lt water"}, []line{{"white sugar", 25.2}, {"water", 998.2}}},
}

// TestHabitsAreRead: recipes as cooks type them are read without a refusal, and
// whatever was decided in reading an amount is said.
func TestHabitsAreRead(t *testing.T) {
	lib := library.Builtin()
	const now = "2026-11-20T18:00"
	for _, h := range habits {
		file := t.TempDir() + "/habit.toml"
		typed := []string{"new", file, "--name", h.title, "--spirit", h.spirit, "--amount", h.much, "--now",
			now}
		if h.abv != "" {
			typed = append(typed, "--abv", h.abv)
		}
		if h.us {
			typed = append(typed, "--units", "us")
		}
		for _, b := range h.botanicals {
			typed = append(typed, "--botanical", b)
		}
		for _, a := range h.additions {
			typed = append(typed, "--add", a)
		}
		status, _, errs := run(t, typed...)
		if status != statusAnswered {
			t.Errorf("%s: status %d: %s", h.title, status, errs)
			continue
		}
		if status, _, errs := run(t, "blend", file, "--now", now); status != statusAnswered {
			t.Errorf("%s: blend: status %d: %s", h.title, status, errs)
		}
		status, out, errs := run(t, "check", file, "--why", "--now", now)
		if status != statusAnswered {
			t.Errorf("%s: check: status %d: %s", h.title, status, errs)
		}
		b, err := batch.Read(file, time.Local)
		if err != nil {
			t.Fatal(err)
		}
		said := strings.Join(strings.Fields(out), " ")
		heard := func(name string, a *quantity.Amount, w *library.Weight) {
			if a == nil {
				t.Errorf("%s: no amount was read of %s", h.title, name)
				return
			}
			for _, taken := range []string{a.Taken(), a.Either(), func() string {
				if w == nil {
					return ""
				}
				return w.Taken
			}()} {
				if !strings.Contains(said, taken) {
					t.Errorf("%s: %s: %q is not said", h.title, name, taken)
				}
			}
		}
		weighed := func(want line, got string, a *quantity.Amount,
			grams func(quantity.Amount) (library.Weight, error)) {
			if got != want.name {
				t.Errorf("%s: %s is read, want %s", h.title, got, want.name)
			}
			if a == nil || grams == nil {
				heard(got, a, nil)
				return
			}
			w, err := grams(*a)
			if err != nil {
				if !strings.Contains(said, "no weight is known for") {
					t.Errorf("%s: %s: %v", h.title, got, err)
				}
				return
			}
			heard(got, a, &w)
			if !(w.Low > 0 && w.Low <= w.G && w.G <= w.High) || want.g > 0 &&
				(w.Low > want.g*1.001 || w.High < want.g*0.999 || w.G < 0.9*want.g || w.G > 1.1*want.g) {
				t.Errorf("%s: %s of %s is %.4g g (%.4g to %.4g), want %.4g", h.title, a.Text, got, w.G,
					w.Low, w.High, want.g)
			}
		}
		if len(b.Spirits) != 1 || len(b.Botanicals) != len(h.steeps) || len(b.Additions) != len(h.adds) {
			t.Errorf("%s: %d bases, %d botanicals and %d additions are read", h.title, len(b.Spirits),
				len(b.Botanicals), len(b.Additions))
			continue
		}
		if s, err := lib.Spirit(b.Spirits[0].Name); h.base != "" && (err != nil || s.Name != h.base) {
			t.Errorf("%s: %q: %v, %v", h.title, b.Spirits[0].Name, s, err)
		}
		heard(b.Spirits[0].Name, b.Spirits[0].Amount, nil)
		for i, x := range b.Botanicals {
			known, cut, _, err := lib.BotanicalAndCut(x.Name, x.Cut)
			if cut == nil && known != nil { // a form that the library does not know
				cut, err = known.Cut("")
			}
			if err != nil {
				t.Errorf("%s: %q: %v", h.title, x.Name, err)
				continue
			}
			weighed(h.steeps[i], known.Name, x.Amount, cut.Grams)
		}
		for i, x := range b.Additions {
			if g, err := lib.Ingredient(x.Name); err == nil {
				weighed(h.adds[i], g.Name, x.Amount, g.Grams)
			} else if s, err := lib.Spirit(x.Name); err == nil {
				weighed(h.adds[i], s.Name, x.Amount, nil)
			} else {
				t.Errorf("%s: %q: %v", h.title, x.Name, err)
			}
		}
	}
}

// TestNamesAreNoAmounts: no name of the library is taken apart as an amount and a
// thing, alone or with an amount behind it.
func TestNamesAreNoAmounts(t *testing.T) {
	lib := library.Builtin()
	var names []string
	for _, b := range lib.Botanicals() {
		names = append(append(names, b.Name), b.Names...)
	}
	for _, g := range lib.Ingredients() {
		names = append(append(names, g.Name), g.Names...)
	}
	for _, s := range lib.Spirits() {
		names = append(append(names, s.Name), s.Names...)
	}
	for _, n := range names {
		if a, thing, ok := quantity.ParseLine(n); ok {
			t.Errorf("%q is read as %s of %q", n, a, thing)
		}
		if a, err := batch.ParseDraftAddition(n + ": 2 g"); err != nil ||
			a != (batch.DraftAddition{Name: n, Amount: "2 g"}) {
			t.Errorf("%q: %+v", n, a)
		}
		if strings.ContainsAny(n, ",@") {
			continue
		}
		if b, err := batch.ParseDraftBotanical(n + ": 2 g @ 3"); err != nil ||
			b != (batch.DraftBotanical{Name: n, Amount: "2 g", Target: "3"}) {
			t.Errorf("%q: %+v", n, b)
		}
	}
}
