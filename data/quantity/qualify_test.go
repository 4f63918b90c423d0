package quantity

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var habitCases = []struct {
	text      string
	low, high float64
	unit      string // or what is counted
	prints    string
}{
	{"a scant 1/4 cup", 0.2125, 0.2375, "cup", "scant 1/4 cup"},
	{"1/4 cup scant", 0.2125, 0.2375, "cup", "scant 1/4 cup"},
	{"1 scant cup", 0.85, 0.95, "cup", "scant 1 cup"},
	{"scant teaspoon", 0.85, 0.95, "tsp", "scant 1 tsp"},
	{"just under 2 cups", 1.8, 2, "cup", "just under 2 cups"},
	{"a little over 1 cup", 1, 1.1, "cup", "just over 1 cup"},
	{"just over 500 g", 500, 550, "g", "just over 500 g"},
	{"about 24 g", 21.6, 26.4, "g", "about 24 g"},
	{"~24 g", 21.6, 26.4, "g", "about 24 g"},
	{"10 cloves or so", 9, 11, "clove", "about 10 cloves"},
	{"a generous tablespoon", 1.05, 1.25, "tbsp", "generous 1 tbsp"},
	{"a good pinch", 1.05, 1.25, "pinch", "generous 1 pinch"},
	{"heaping tsp", 1.3, 2.2, "tsp", "1 heaped tsp"},
	{"2 heaped tablespoons", 2.6, 4.4, "tbsp", "2 heaped tbsp"},
	{"1 heaping 1/4 cup", 0.25 * 1.09, 0.25 * 1.36, "cup", "1/4 heaped cup"},
	{"a rounded tbsp", 1.2, 1.7, "tbsp", "1 rounded tbsp"},
	{"1 packed cup", 1, 1, "cup", "1 packed cup"},
	{"1 cup, loosely packed", 1, 1, "cup", "1 loose cup"},
	{"a few cloves", 3, 5, "clove", "3-5 cloves"},
	{"several sprigs", 4, 8, "sprig", "4-8 sprigs"},
	{"1 level tsp", 1, 1, "tsp", "1 level tsp"},
	{"about 2 heaped tsp", 2 * 0.9 * 1.3, 2 * 1.1 * 2.2, "tsp", "about 2 heaped tsp"},
	{"2 large limes", 2.1, 3, "fruit", "2 large fruit"},
	{"1 small cinnamon stick", 0.6, 0.95, "stick", "1 small stick"},
	{"1/4 cup less 1 tsp", 11.0 / 48, 11.0 / 48, "cup", ""},
	{"1 cup minus 1 tbsp", 15.0 / 16, 15.0 / 16, "cup", ""},
	{"1 cup plus 2 tbsp", 1.125, 1.125, "cup", "1 1/8 cups"},
	{"1/4 cup + 1 tsp", 13.0 / 48, 13.0 / 48, "cup", ""},
	{"3 tablespoons plus 1 teaspoon", 10.0 / 3, 10.0 / 3, "tbsp", "3 1/3 tbsp"},
	{"1 lb 4 oz", 1.25, 1.25, "lb", "1 1/4 lb"},
	{"1 kg 200 g", 1.2, 1.2, "kg", "1.2 kg"},
	{"1 imp pint 4 oz", 1.2, 1.2, "imp pint", "1 imp pint + 4 imp fl oz"}, // 20 fluid ounces
	{"1 1/2 inch piece", 1.5, 1.5, "inch", "1 1/2 inches"},
	{"a 2-inch piece", 2, 2, "inch", "2 inches"},
	{"two 2-inch pieces", 4, 4, "inch", "4 inches"},
	{"1 stick (3 inches)", 3, 3, "inch", "3 inches"},
	{"4 cm", 4, 4, "cm", "4 cm"},
	{"zest of 10 key limes", 10, 10, "fruit", "zest of 10"},
	{"zest of about 2 lemons", 1.8, 2.2, "fruit", "zest of about 2"},
	{"2 lemons, juiced", 2, 2, "fruit", "juice of 2"},
	{"peel of half an orange", 0.5, 0.5, "fruit", "peel of 1/2"},
	{"1/2 a lemon", 0.5, 0.5, "fruit", "1/2 fruit"},
	{"2 handfuls", 2, 2, "handful", "2 handfuls"},
	{"a splash", 1, 1, "splash", "1 splash"},
	{"a knob", 1, 1, "knob", "1 knob"},
	{"half a bottle", 0.5, 0.5, "bottle", "1/2 bottle"},
	{"a 750 ml bottle", 750, 750, "ml", "750 ml"},
	{"2 (750 ml) bottles", 1500, 1500, "ml", "1500 ml"},
	{"2 750 ml bottles", 1500, 1500, "ml", "1500 ml"},
	{"2 bottles of 75 cl", 150, 150, "cl", "150 cl"},
	{"2 x 750 ml", 1500, 1500, "ml", "1500 ml"},
	{"a dozen", 12, 12, "", "12"},
	{"half a dozen cloves", 6, 6, "clove", "6 cloves"},
	{"2 dozen pods", 24, 24, "pod", "24 pods"},
	{"2 to 3 sticks", 2, 3, "stick", "2-3 sticks"},
	{"between 2 and 3 tsp", 2, 3, "tsp", "2-3 tsp"},
	{"2 tsp to 1 tbsp", 2, 3, "tsp", "2-3 tsp"},
	{"10 g - 12 g", 10, 12, "g", "10-12 g"},
	{"a couple of sticks", 2, 2, "stick", "2 sticks"},
	{"one", 1, 1, "", "1"},
	{"1-1/2 cups", 1.5, 1.5, "cup", "1 1/2 cups"},
	{"one and a half cups", 1.5, 1.5, "cup", "1 1/2 cups"},
	{"three quarters of a cup", 0.75, 0.75, "cup", "3/4 cup"},
	{"1 cup (200 g)", 200, 200, "g", "200 g"},
	{"8 oz (225 g)", 225, 225, "g", "225 g"},
	{"24 g (about 1 cup)", 24, 24, "g", "24 g"},
}

// TestHabits reads amounts as cooks write them; common practice, no source.
func TestHabits(t *testing.T) {
	for _, c := range habitCases {
		a, err := ParseAmount(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		unit := a.Unit
		if a.Kind == Count {
			unit = a.Noun
		}
		if math.Abs(a.Low-c.low) > 1e-9*c.low || math.Abs(a.High-c.high) > 1e-9*c.high || unit != c.unit || c.prints != "" && a.String() != c.prints {
			t.Errorf("%q: %g to %g %s, printed %q; want %g to %g %s, %q", c.text, a.Low, a.High, unit, a, c.low, c.high, c.unit, c.prints)
		}
		if (a.Low != a.High) != (a.Taken() != "" || strings.ContainsAny(a.String(), "-")) {
			t.Errorf("%q: what it is taken as is %q", c.text, a.Taken())
		}
	}
}

// TestTwoThings: what cannot be read as one amount says so, and what it proposes is
// near what was written.
func TestTwoThings(t *testing.T) {
	for _, c := range []struct{ text, says, example string }{
		{"a wee 1/4 cup", "wee", "1/4 cup"},
		{"1 cup (240 g) (8 oz)", "more than", ""},
		{"8 oz (500 g)", "not the same", ""},
		{"1 tsp 15 g", "two amounts", ""},
		{"1 tsp less 1 cup", "more is taken off", ""},
		{"1 heaped lime", "goes with a spoon", "1 fruit"},
		{"small 20 g", "what is counted", "20 g"},
		{"zest and juice of 1 lemon", "line of its own", "zest of 1 lemon"},
		{"zest of 1 orange and 1 lemon", "line of its own", "zest of 1"},
	} {
		a, err := ParseAmount(c.text)
		if err == nil {
			t.Errorf("%q: %+v", c.text, a)
			continue
		}
		if e := err.(*Error); !strings.Contains(e.Problem, c.says) || c.example != "" && e.Example != c.example {
			t.Errorf("%q: %v", c.text, err)
		}
	}
}

// TestNearProposals: a word that is not understood, in whatever place, never makes a
// proposal of another size.
func TestNearProposals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.SampledFrom([]string{"1/4", "2", "1 1/2", "½", "8-10", "0.7"}).Draw(t, "number")
		unit := rapid.SampledFrom([]string{"cup", "tsp", "g", "ml", "cloves", "sticks", "inches"}).Draw(t, "unit")
		word := rapid.SampledFrom([]string{"wee", "mean", "stingy", "fresh", "brimming", "overfull", "an honest", "a wonky", "cracked"}).Draw(t, "word")
		plain, err := ParseAmount(number + " " + unit)
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range []string{word + " " + number + " " + unit, number + " " + word + " " + unit, number + " " + unit + " " + word} {
			_, err := ParseAmount(text)
			if err == nil {
				continue
			}
			e := err.(*Error)
			near, perr := ParseAmount(e.Example)
			if perr != nil {
				t.Fatalf("%q proposes %q: %v", text, e.Example, perr)
			}
			if !e.General && (near.Unit != plain.Unit || math.Abs(near.Mid()-plain.Mid()) > 0.25*plain.Mid()) {
				t.Fatalf("%q proposes %q", text, e.Example)
			}
		}
	})
}

// TestIn: a bare measure that differs between countries is asked about, or carried as
// a range where the difference is small. Sizes: NIST Handbook 44, Appendix C; UK
// Weights and Measures Act 1985, Schedule 1; a metric cup is 250 ml.
func TestIn(t *testing.T) {
	for _, c := range []struct {
		text      string
		system    System
		low, high float64 // ml
	}{
		{"1 cup", US, 236.588, 236.588}, {"1 cup", Metric, 236.588, 250}, {"1 US cup", Metric, 236.588, 236.588}, {"1 metric cup", Metric, 250, 250},
		{"2 fl oz", US, 59.147, 59.147}, {"2 fl oz", Metric, 56.826, 59.147}, {"2 imp fl oz", Metric, 56.826, 56.826},
		{"2 pints", US, 946.353, 946.353}, {"2 US pints", Metric, 946.353, 946.353}, {"2 UK pints", Metric, 1136.52, 1136.52}, {"2 imperial pints", US, 1136.52, 1136.52},
		{"1 bottle", US, 750, 750}, {"1 bottle", Metric, 700, 750}, {"1 tsp", Metric, 4.929, 4.929},
		{"1 level cup", US, 236.588, 236.588}, {"1 US cup, packed", Metric, 236.588, 236.588},
		{"a scant cup", Metric, 201.1, 237.5},
	} {
		a, err := ParseAmount(c.text)
		if err == nil {
			a, err = a.In(c.system)
		}
		low, _, high, ok := a.Millilitres()
		if err != nil || !ok || math.Abs(low-c.low) > 1e-4*c.low || math.Abs(high-c.high) > 1e-4*c.high {
			t.Errorf("%q: %g to %g ml, want %g to %g (%v)", c.text, low, high, c.low, c.high, err)
		}
		if c.text != "a scant cup" && a.Taken() != "" {
			t.Errorf("%q: %q", c.text, a.Taken())
		}
		if _, bare := loose[a.Unit]; (bare && (c.system == Metric || a.Unit == "bottle")) != (a.Either() != "") {
			t.Errorf("%q: %q", c.text, a.Either())
		}
	}
	for _, c := range []struct{ text, want string }{
		{"2 pints", `"2 pints" can be US or imperial: write "2 US pints" (473 ml each) or "2 imp pints" (568 ml each); e.g. "2 US pints"`},
		{"a gallon", `"a gallon" can be US or imperial: write "1 US gallon" (3.79 l) or "1 imp gallon" (4.55 l); e.g. "1 US gallon"`},
		{"1 quart", `"1 quart" can be US or imperial: write "1 US quart" (946 ml) or "1 imp quart" (1.14 l); e.g. "1 US quart"`},
		{"1 gill", `"1 gill" can be US or imperial: write "1 US gill" (118 ml) or "1 imp gill" (142 ml); e.g. "1 US gill"`},
	} {
		a, err := ParseAmount(c.text)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := a.In(Metric); err == nil || err.Error() != c.want {
			t.Errorf("%q: %v", c.text, err)
		}
	}
}

// TestLines parts lines of recipes, common practice.
func TestLines(t *testing.T) {
	for _, c := range []struct{ text, amount, thing string }{
		{"zest of 10 key limes", "zest of 10", "key lime zest"}, {"juice of 2 lemons", "juice of 2", "lemon juice"},
		{"juice of 3 limes, strained", "juice of 3", "lime juice, strained"}, {"peel of 3 unwaxed Seville oranges", "peel of 3", "unwaxed Seville orange peel"},
		{"2 cinnamon sticks", "2 sticks", "cinnamon sticks"}, {"2 sticks of cinnamon", "2 sticks", "cinnamon"}, {"2 sticks cinnamon", "2 sticks", "cinnamon"},
		{"1 cup white sugar", "1 cup", "white sugar"}, {"1/2 cup (100 g) demerara sugar", "100 g", "demerara sugar"}, {"10 cloves", "10 cloves", "cloves"},
		{"2 cloves garlic", "2 cloves", "garlic"}, {"3 star anise", "3 stars", "star anise"}, {"half a lime", "1/2 fruit", "lime"}, {"1 bottle of vodka", "1 bottle", "vodka"},
		{"a 2-inch piece of ginger, peeled", "2 inches", "ginger, peeled"}, {"1 vanilla bean, split", "1 bean", "vanilla bean, split"}, {"a pinch of salt", "1 pinch", "salt"},
		{"2 tbsp + 1 tsp sugar", "2 1/3 tbsp", "sugar"}, {"1 lb 4 oz plums", "1 1/4 lb", "plums"}, {"about 20 black peppercorns", "about 20 peppercorns", "black peppercorns"},
		{"a few cloves", "3-5 cloves", "cloves"}, {"a few juniper", "", ""}, {"2 jalapeno peppers", "2 chillies", "jalapeno peppers"},
		{"1 dozen dried apricot halves", "12", "dried apricot halves"}, {"1 lemon peel", "1", "lemon peel"}, {"4 whole allspice", "4", "whole allspice"},
		{"1 3-inch cinnamon stick", "3 inches", "cinnamon stick"}, {"two 3-inch cinnamon sticks", "6 inches", "cinnamon sticks"}, {"3 tea bags", "3 bags", "tea bags"},
		{"pinch of salt", "1 pinch", "salt"}, {"knob of ginger", "1 knob", "ginger"}, {"1 shot espresso", "", "espresso"}, {"2 c. sugar", "", "sugar"}, {"1 can of coconut milk", "", "coconut milk"},
		{"3 oranges, zested", "zest of 3", "orange zest"}, {"2 (3-inch) cinnamon sticks", "6 inches", "cinnamon sticks"}, {"1 each star anise", "1 star", "star anise"},
		{"8 tonka beans", "8 beans", "tonka beans"}, {"a handful of fresh mint", "1 handful", "fresh mint"},
		{"2:1 syrup", "", ""}, {"151 rum", "", ""}, {"57% grape brandy", "", ""}, {"five spice", "", ""}, {"2 sticks", "", ""}, {"2 tsp", "", ""}, {"clove", "", ""},
		{"80 proof vodka", "", ""}, {"40 % vodka", "", ""}, {"a good rum", "", ""}, {"", "", ""},
	} {
		a, thing, ok := ParseLine(c.text)
		if ok != (c.thing != "") || ok && (a.String() != c.amount || thing != c.thing) {
			t.Errorf("%q: %q of %q, %v; want %q of %q", c.text, a, thing, ok, c.amount, c.thing)
		}
	}
	for _, c := range []struct{ amount, name, other string }{
		{"3 limes", "lemon zest", "lime"}, {"3 limes", "key lime zest", ""}, {"3 lemons", "lemon zest", ""}, {"zest of 3", "lemon", ""},
		{"zest of 2 oranges", "blood orange peel", ""}, {"3 fruit", "lemon", ""}, {"2 sticks", "lime", ""}, {"3 limes", "citrus", ""},
	} {
		a, err := ParseAmount(c.amount)
		if err != nil {
			t.Fatal(err)
		}
		if got := a.OfAnother(c.name); got != c.other {
			t.Errorf("%q of %q: %q, want %q", c.amount, c.name, got, c.other)
		}
	}
}

// FuzzParseLine: whatever is typed names a thing or nothing, and what is rounded for
// the kitchen reads back as it is printed.
func FuzzParseLine(f *testing.F) {
	for _, s := range []string{"zest of 10 key limes", "2 (750 ml) bottles", "1 3-inch stick", "a scant 1/4 cup (50 g) sugar", "half and half", "~2 x 3 g, x", "between 1 and 2 of each"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if a, thing, ok := ParseLine(s); ok && (thing == "" || a.Text == "") {
			t.Fatalf("%q: %+v of %q", s, a, thing)
		}
		a, err := ParseAmount(s)
		if err != nil {
			return
		}
		for _, system := range []System{Metric, US} {
			rounded, _ := Kitchen(a, system)
			if back, err := ParseAmount(rounded.Text); err != nil || back.String() != rounded.String() {
				t.Fatalf("%q rounds to %q, which reads as %q, %v", s, rounded.Text, back, err)
			}
		}
	})
}

// TestKitchenKeepsWords: what qualifies an amount stays when it is scaled, in its own
// measure; where another measure takes over, what is meant is rounded.
func TestKitchenKeepsWords(t *testing.T) {
	for _, c := range []struct {
		text   string
		f      float64
		system System
		want   string
	}{
		{"a scant 1/4 cup", 2, US, "scant 1/2 cup"}, {"about 24 g", 2, Metric, "about 48 g"}, {"2 heaped tsp", 2, US, "4 heaped tsp"},
		{"1 cup", 2, Metric, "2 cups"}, {"1 cup", 2, US, "2 cups"}, {"8 tbsp", 2, Metric, "1 US cup"}, {"8 tbsp", 2, US, "1 cup"}, {"2 large limes", 3, US, "6 large fruit"},
		{"1 US pint", 2, Metric, "2 US pints"}, {"2 US fl oz", 2, Metric, "4 US fl oz"},
	} {
		a, err := ParseAmount(c.text)
		if err == nil {
			a, err = a.In(c.system)
		}
		if err != nil {
			t.Fatal(err)
		}
		if got, _ := Kitchen(a.Times(c.f), c.system); got.String() != c.want || got.Text != c.want {
			t.Errorf("%s times %g is %q, want %q", c.text, c.f, got, c.want)
		}
	}
}
