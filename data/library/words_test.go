package library

import (
	"slices"
	"steepbook/data/names"
	"testing"
)

// TestWordClasses: what people write around a name, common practice. What is another
// plant is not claimed.
func TestWordClasses(t *testing.T) {
	l := Builtin()
	for _, c := range []struct{ asked, want string }{
		{"birdseye chilis", "dried chilli"}, {"jalapeno peppers", "jalapeño"}, {"habanero peppers", "habanero"}, {"jalapeños", "jalapeño"},
		{"Madagascan vanilla", "vanilla"}, {"Madagascar vanilla pods", "vanilla"}, {"Bourbon vanilla", "vanilla"}, {"lapsang souchong", "smoked tea"}, {"Darjeeling", "black tea"},
		{"toasted slivered almonds", "almond"}, {"freshly grated ginger", "ginger"}, {"organic unwaxed lemons", "lemon"}, {"Sicilian lemons", "lemon"}, {"Persian limes", "lime"},
		{"dried apricot halves", "dried apricot"}, {"roughly chopped walnuts", "walnut"}, {"star anises", "star anise"}, {"cinnamon quills", "cassia cinnamon"},
		{"whole black peppercorns", "black pepper"}, {"Tellicherry peppercorns", "black pepper"}, {"Sri Lankan cloves", "clove"}, {"good-quality Iranian saffron threads", "saffron"},
		{"caraway spice", "caraway"}, {"Persian rose petals", "rose petals"}, {"lemon peel", "lemon zest"},
		{"Mexican oregano", ""}, {"Jamaican pepper", ""}, {"Chinese cardamom", ""}, {"Japanese star anise", "Japanese star anise"}, {"Spanish lavender", ""},
		{"Mexican limes", ""}, {"Indian almonds", ""}, {"African nutmeg", ""}, {"Jamaican dogwood", ""}, {"bell pepper", ""}, {"red pepper", ""}, {"pepper nuts", ""},
		{"ginger tea", ""}, {"chestnut", ""}, {"pickled ginger", ""}, {"vanilla paste", ""}, {"key limes", ""}, {"Seville oranges", ""},
	} {
		b, err := l.Botanical(c.asked)
		switch {
		case c.want == "" && err == nil:
			t.Errorf("%q is claimed by %q", c.asked, b.Name)
		case c.want != "" && err != nil:
			t.Errorf("%q: %v", c.asked, err)
		case c.want != "" && b.Name != c.want:
			t.Errorf("%q: %q, want %q", c.asked, b.Name, c.want)
		}
	}
	for _, c := range []struct{ asked, want string }{
		{"turbinado", "turbinado sugar"}, {"dark muscovado sugar", "muscovado sugar"}, {"champagne vinegar", "vinegar"}, {"gomme", "simple syrup"}, {"gum syrup", "simple syrup"}, {"gum arabic", "gum arabic"},
		{"isinglass", "fish gelatine"}, {"fish gelatine", "fish gelatine"}, {"gelatine", "gelatine"}, {"acacia honey", "honey"}, {"Greek honey", "honey"}, {"Canadian maple syrup", "maple syrup"},
	} {
		if g, err := l.Ingredient(c.asked); err != nil || g.Name != c.want {
			t.Errorf("%q: %v, %v; want %q", c.asked, g, err, c.want)
		}
	}
	for _, c := range []struct{ asked, want string }{{"good dark rum", "dark rum"}, {"cheap vodka", "vodka"}, {"French brandy", "brandy"}, {"overproof Jamaican rum", "overproof rum"}, {"Irish cream", "cream liqueur"}} {
		if s, err := l.Spirit(c.asked); err != nil || s.Name != c.want {
			t.Errorf("%q: %v, %v; want %q", c.asked, s, err, c.want)
		}
	}
	// Fish is an allergen of gelatine only where it is fish.
	for name, fish := range map[string]bool{"gelatine": false, "fish gelatine": true, "isinglass": true} {
		g, err := l.Ingredient(name)
		if err != nil || slices.ContainsFunc(g.Allergens, func(a Allergen) bool { return a.Name == "fish" }) != fish {
			t.Errorf("%q: %v, %v", name, g, err)
		}
	}
	for k := range names.Related("other plants")() {
		if names.Key(words(k)) != k {
			t.Errorf("%q is never found: it is looked up as %q", k, names.Key(words(k)))
		}
	}
	for n := range names.Related("traded by origin")() {
		if l.botanicals().written(n) == nil && l.ingredients().written(n) == nil {
			t.Errorf("%q is no entry", n)
		}
	}
}

// TestStatesAreSaid: a plant that is named without its state may be of either.
func TestStatesAreSaid(t *testing.T) {
	l := Builtin()
	for _, c := range []struct {
		said, other string
		open        bool
	}{
		{"ginger", "dried ginger", true}, {"fresh ginger", "", false}, {"grated ginger", "", false}, {"ground ginger", "", false}, {"mint", "dried mint", true},
		{"bay leaf", "fresh bay leaf", true}, {"dried bay leaf", "", false}, {"orange peel", "dried orange peel", true}, {"orange zest", "", false}, {"raspberry", "", false},
		{"clove", "", false}, {"almond", "", false}, {"chamomile", "", true},
	} {
		b, err := l.Botanical(c.said)
		if err != nil {
			t.Errorf("%q: %v", c.said, err)
			continue
		}
		other, open := l.OtherState(b, c.said)
		got := ""
		if other != nil {
			got = other.Name
		}
		if got != c.other || open != c.open {
			t.Errorf("%q: %q, %v; want %q, %v", c.said, got, open, c.other, c.open)
		}
	}
}
