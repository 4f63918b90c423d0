package library

import (
	"errors"
	"slices"
	"steepbook/data/names"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"
)

// The names are how makers write them in recipes and notes: common practice,
// no source.
func TestBotanicalNames(t *testing.T) {
	l := Builtin()
	for _, c := range []struct{ asked, want string }{
		{"clove", "clove"}, {"cloves", "clove"}, {"Whole Cloves", "clove"}, {"toasted cloves", "clove"}, {"ground cloves", "clove"},
		{"green cardamom", "green cardamom"}, {"green cardamom pods", "green cardamom"}, {"cardamom pods, crushed", "green cardamom"},
		{"cardamon", "green cardamom"}, {"black cardamom pods", "black cardamom"},
		{"star anise", "star anise"}, {"anise, star", "star anise"}, {"aniseed", "aniseed"}, {"anise seeds", "aniseed"},
		{"zest of lime", "lime zest"}, {"lime zest", "lime zest"}, {"limes (zest)", "lime zest"}, {"lime peel", "lime zest"}, {"lime", "lime"}, {"limes", "lime"}, {"lime wedges", "lime"},
		{"orange peel", "orange zest"}, {"fresh orange peel", "orange zest"}, {"peel of orange", "orange zest"}, {"dried orange peel", "dried orange peel"}, {"orange peel, dried", "dried orange peel"},
		{"bitter orange peel", "bitter orange zest"}, {"dried bitter orange peel", "dried bitter orange peel"}, {"Seville orange zest", "bitter orange zest"},
		{"blood orange zest", "blood orange zest"}, {"blood orange peel strips", "blood orange zest"}, {"grapefruit peel", "grapefruit zest"},
		{"cacao nib", "cacao nibs"}, {"cacao nibs", "cacao nibs"}, {"cocoa nibs", "cacao nibs"}, {"toasted cacao nibs", "cacao nibs"},
		{"cinnamon", "cassia cinnamon"}, {"cinnamon sticks", "cassia cinnamon"}, {"Ceylon cinnamon stick", "Ceylon cinnamon"}, {"cassia bark", "cassia cinnamon"}, {"ground cinnamon", "cassia cinnamon"},
		{"fresh ginger", "ginger"}, {"ginger", "ginger"}, {"ginger root", "ginger"}, {"ground ginger", "dried ginger"}, {"dried ginger root", "dried ginger"}, {"ginger powder", "dried ginger"}, {"grated fresh ginger", "ginger"},
		{"almonds", "almond"}, {"toasted almonds", "almond"}, {"bitter almonds", "bitter almond"}, {"almond", "almond"},
		{"allspice berries", "allspice"}, {"pimento berries", "allspice"}, {"allspice", "allspice"},
		{"vanilla beans", "vanilla"}, {"vanilla pod, split", "vanilla"}, {"coffee beans", "coffee beans"}, {"whole coffee beans", "coffee beans"}, {"ground coffee", "coffee"}, {"coffee", "coffee"},
		{"black tea", "black tea"}, {"tea bags", "black tea"}, {"green tea leaves", "green tea"}, {"Earl tea with bergamot", ""},
		{"mint leaves", "mint"}, {"fresh mint", "mint"}, {"dried mint", "dried mint"}, {"bay leaves", "bay leaf"}, {"fresh bay leaves", "fresh bay leaf"}, {"rosemary sprigs", "rosemary"}, {"dried rosemary", "dried rosemary"},
		{"chilli", "fresh chilli"}, {"serranos", "serrano"}, {"jalapenos", "jalapeño"}, {"jalapeño peppers", "jalapeño"}, {"dried chiles", "dried chilli"}, {"chili flakes", "dried chilli"}, {"scotch bonnets", "habanero"},
		{"black peppercorns", "black pepper"}, {"pink peppercorns", "pink pepper"}, {"Szechuan peppercorns", "Sichuan pepper"}, {"long pepper", "long pepper"},
		{"sloes", "sloe"}, {"cherries", "sweet cherry"}, {"sour cherries", "sour cherry"}, {"raspberries", "raspberry"}, {"dried figs", "dried fig"}, {"figs", "dried fig"}, {"green walnuts", "green walnut"}, {"walnuts", "walnut"},
		{"juniper berries", "juniper"}, {"coriander seeds", "coriander seed"}, {"coriander leaves", "coriander leaf"}, {"fennel seeds", "fennel seed"}, {"caraway", "caraway"}, {"liquorice root", "liquorice root"}, {"licorice", "liquorice root"},
		{"hibiscus flowers", "hibiscus"}, {"lavender", "lavender"}, {"elderflowers", "elderflower"}, {"elderflower heads", "elderflower"}, {"dried elderflower", "dried elderflower"},
		{"oak chips", "oak chips"}, {"tobacco leaves", "tobacco"}, {"apricot kernels", "apricot kernel"}, {"lemon verbena leaves", "lemon verbena"}, {"grains of paradise", "grains of paradise"},
		{"mint powder", "dried mint"}, {"orange peel powder", "dried orange peel"}, {"amla powder", "dried amla"}, {"strawberry powder", ""}, {"fresh basil powder", "basil"}, // a powder is of the dried plant
		{"ground Vietnamese cinnamon", "cassia cinnamon"}, {"fresh Thai basil", "basil"}, {"Jamaica pepper berries", "allspice"}, {"fresh Mexican lime peel", "key lime zest"}, // known by their place
		{"lychees, seeds removed", "lychee"}, {"cherries, stones removed", "sweet cherry"}, {"cherries without stones", "sweet cherry"}, {"sour cherries (no pits)", "sour cherry"}, {"cherry stones", "apricot kernel"}, {"soursop seeds", "annona seed"},
		{"blackberry tea", ""}, {"pepper corns", "black pepper"}, {"green mango", ""},
		{"lemongrass stalks", "lemongrass"}, {"lemon grass", "lemongrass"}, {"St. John's wort", "St John's wort"}, {"kumquats", "kumquat"}, {"crème", ""},
	} {
		b, err := l.Botanical(c.asked)
		switch {
		case c.want == "" && err == nil:
			t.Errorf("%q: resolved to %q, want none", c.asked, b.Name)
		case c.want != "" && err != nil:
			t.Errorf("%q: %v", c.asked, err)
		case c.want != "" && b.Name != c.want:
			t.Errorf("%q: got %q, want %q", c.asked, b.Name, c.want)
		}
	}
}

func TestIngredientAndSpiritNames(t *testing.T) {
	l := Builtin()
	for _, c := range []struct{ asked, want string }{
		{"demerara", "demerara sugar"}, {"demerara sugar", "demerara sugar"}, {"sugar", "white sugar"}, {"granulated sugar", "white sugar"}, {"light brown sugar", "brown sugar"}, {"icing sugar", "icing sugar"}, {"powdered sugar", "icing sugar"}, {"caster sugar", "caster sugar"},
		{"simple syrup", "simple syrup"}, {"1:1 simple syrup", "simple syrup"}, {"simple syrup 2:1", "rich syrup"}, {"2:1 syrup", "rich syrup"}, {"rich syrup", "rich syrup"}, {"sugar syrup", "simple syrup"}, {"demerara syrup", "demerara syrup"},
		{"honey", "honey"}, {"maple syrup", "maple syrup"}, {"agave nectar", "agave syrup"}, {"condensed milk", "condensed milk"}, {"sweetened condensed milk", "condensed milk"}, {"cream", "heavy cream"}, {"double cream", "heavy cream"}, {"coconut milk", "coconut milk"}, {"egg yolks", "egg yolk"}, {"eggs", "egg"}, {"milk", "milk"},
		{"lime juice", "lime juice"}, {"fresh lime juice", "lime juice"}, {"juice of limes", "lime juice"}, {"bottled lime juice", "bottled lime juice"}, {"blood orange juice", "blood orange juice"}, {"freshly squeezed lemon juice", "lemon juice"},
		{"citric acid", "citric acid"}, {"malic acid", "malic acid"}, {"tartaric acid", "tartaric acid"}, {"potassium sorbate", "potassium sorbate"}, {"sodium benzoate", "sodium benzoate"}, {"water", "water"}, {"boiling water", ""}, {"hot water", "water"}, {"dried mango", ""}, {"dried apples", ""}, {"dried plums", "prunes"}, {"grapefruit", ""}, {"red grapefruit juice", "grapefruit juice"}, {"passionfruit pulp", "passion fruit pulp"}, {"glycerin", "glycerine"}, {"salt", "salt"}, {"orgeat", "orgeat"},
	} {
		g, err := l.Ingredient(c.asked)
		switch {
		case c.want == "" && err == nil:
			t.Errorf("%q: resolved to %q, want none", c.asked, g.Name)
		case c.want != "" && err != nil:
			t.Errorf("%q: %v", c.asked, err)
		case c.want != "" && g.Name != c.want:
			t.Errorf("%q: got %q, want %q", c.asked, g.Name, c.want)
		}
	}
	for _, c := range []struct{ asked, want string }{
		{"vodka", "vodka"}, {"rum", "white rum"}, {"white rum", "white rum"}, {"dark rum", "dark rum"}, {"overproof rum", "overproof rum"}, {"rum, overproof", "overproof rum"}, {"brandy", "brandy"}, {"grape brandy", "brandy"},
		{"whisky", "bourbon"}, {"bourbon", "bourbon"}, {"scotch", "Scotch whisky"}, {"tequila", "agave spirit"}, {"eau de vie", "fruit spirit"}, {"grain alcohol", "neutral grain spirit"}, {"red wine", "red wine"}, {"vermouth", "sweet vermouth"}, {"dry vermouth", "dry vermouth"}, {"gin", "gin"}, {"port", "sweet fortified wine"},
		{"57% grape brandy", "brandy"}, {"151 rum", "151-proof rum"}, {"cachaça", "cane spirit"}, {"triple sec", "orange liqueur"},
	} {
		s, err := l.Spirit(c.asked)
		if err != nil {
			t.Errorf("%q: %v", c.asked, err)
		} else if s.Name != c.want {
			t.Errorf("%q: got %q, want %q", c.asked, s.Name, c.want)
		}
	}
}

func TestNearestNames(t *testing.T) {
	l := Builtin()
	for _, c := range []struct{ asked, near string }{
		{"star aneese", "star anise"}, {"cardamum pods grean", "green cardamom"}, {"clvoe", "clove"}, {"lemon grss", "lemongrass"},
		{"vanila", "vanilla"}, {"junpier", "juniper"}, {"grapfruit zest", "grapefruit zest"}, {"smoked black cardamom husks", "black cardamom"},
	} {
		_, err := l.Botanical(c.asked)
		var nf *NotFoundError
		if !errors.As(err, &nf) {
			t.Errorf("%q: error %v, want a NotFoundError", c.asked, err)
			continue
		}
		if len(nf.Nearest()) == 0 || nf.Nearest()[0] != c.near {
			t.Errorf("%q: nearest %q, want %q first", c.asked, nf.Nearest(), c.near)
		}
		if s := err.Error(); strings.Contains(s, "\n") || !strings.Contains(s, c.near) {
			t.Errorf("%q: message %q", c.asked, s)
		}
	}
	_, err := l.Botanical("demerara sugar")
	var nf *NotFoundError
	if !errors.As(err, &nf) || nf.elsewhere() != "ingredient" {
		t.Errorf("demerara sugar as a botanical: %v", err)
	}
	// A dried fruit is not taken for a fresh one, nor the other way round.
	for _, name := range []string{"dried mango", "fresh wormwood", "dried raspberries"} {
		if b, err := l.Botanical(name); err == nil {
			t.Errorf("%q resolved to %q", name, b.Name)
		}
	}
	if _, err := l.Spirit("moon juice"); err == nil {
		t.Error("an unknown spirit was found")
	}
	for _, name := range []string{"", " ", "the", "!!!", "57%"} {
		if _, err := l.Botanical(name); err == nil {
			t.Errorf("%q was found", name)
		}
	}
}

func TestCutNames(t *testing.T) {
	l := Builtin()
	for _, c := range []struct{ name, cut, want string }{
		{"clove", "", "whole"}, {"clove", "crushed", "crushed"}, {"clove", "powder", "ground"}, {"clove", "whole, toasted", "whole"},
		{"lime zest", "finely grated", "fine zest"}, {"lime zest", "strips", "strips"}, {"lime zest", "wide strips", "strips"}, {"lime zest", "", "fine zest"}, {"lime peel", "", "strips"},
		{"green cardamom", "whole pods", "whole pods"}, {"green cardamom", "crushed", "whole pods"}, {"green cardamom", "crushed pods", "whole pods"}, {"green cardamom", "seeds", "seeds"},
		{"ground cinnamon", "", "ground"}, {"cinnamon sticks", "", "stick"}, {"cinnamon", "sticks", "stick"}, {"grated ginger", "", "grated"}, {"ginger", "slices", "sliced"}, {"ginger", "julienned", "sliced"},
		{"lemon verbena", "fresh leaf", "leaves"}, {"cacao nibs", "toasted", "nibs"}, {"oak", "cubes", "cubes"}, {"almonds", "toasted", "toasted, chopped"}, {"blanched almonds", "", "whole"}, {"almond", "whole", "whole"}, {"almond", "", "toasted, chopped"},
		{"black tea", "bags", "bag"}, {"tea bags", "", "bag"}, {"nutmeg", "grated", "grated"}, {"long pepper", "whole", "whole"},
	} {
		b, cut, _, err := l.BotanicalAndCut(c.name, c.cut)
		if err != nil {
			t.Errorf("%q, %q: %v", c.name, c.cut, err)
			continue
		}
		if cut.Name != c.want {
			t.Errorf("%q, %q: got %q of %s, want %q", c.name, c.cut, cut.Name, b.Name, c.want)
		}
	}
	b, err := l.Botanical("lime zest")
	if err != nil {
		t.Fatal(err)
	}
	_, err = b.Cut("stripes")
	var nf *NotFoundError
	if !errors.As(err, &nf) || nf.Nearest()[0] != "strips" || !strings.Contains(err.Error(), `"strips"`) {
		t.Errorf("stripes: %v", err)
	}
	tobacco, err := l.Botanical("tobacco")
	if err != nil {
		t.Fatal(err)
	}
	var no *ForbiddenError
	if _, err := tobacco.Cut(""); !errors.As(err, &no) {
		t.Errorf("tobacco offers a cut: %v", err)
	}
}

// Every name of every entry must lead back to that entry, and no name may
// serve two.
func TestEveryNameLeadsHome(t *testing.T) {
	l := Builtin()
	check := func(kind, owner string, names []string, find func(string) (string, error), seen map[string]string) {
		for _, n := range append([]string{owner}, names...) {
			got, err := find(n)
			if err != nil || got != owner {
				t.Errorf("%s %q, a name of %q: got %q, %v", kind, n, owner, got, err)
			}
			k := strings.ToLower(n)
			if o, ok := seen[k]; ok && o != owner {
				t.Errorf("%s: %q names both %q and %q", kind, n, o, owner)
			}
			seen[k] = owner
		}
	}
	seen := map[string]string{}
	for _, b := range l.Botanicals() {
		check("botanical", b.Name, b.Names, func(n string) (string, error) {
			b, err := l.Botanical(n)
			if err != nil {
				return "", err
			}
			return b.Name, nil
		}, seen)
		cuts := map[string]string{}
		for _, c := range b.Cuts {
			for _, n := range append([]string{c.Name}, c.Names...) {
				got, err := b.Cut(n)
				if err != nil || got.Name != c.Name {
					t.Errorf("%s: cut %q leads to %v, %v", b.Name, n, got, err)
				}
				if o, ok := cuts[names.Key(words(n))]; ok && o != c.Name {
					t.Errorf("%s: %q names the cuts %q and %q", b.Name, n, o, c.Name)
				}
				cuts[names.Key(words(n))] = c.Name
			}
		}
	}
	seen = map[string]string{}
	for _, g := range l.Ingredients() {
		check("ingredient", g.Name, g.Names, func(n string) (string, error) {
			g, err := l.Ingredient(n)
			if err != nil {
				return "", err
			}
			return g.Name, nil
		}, seen)
	}
	seen = map[string]string{}
	for _, s := range l.Spirits() {
		check("spirit", s.Name, s.Names, func(n string) (string, error) {
			s, err := l.Spirit(n)
			if err != nil {
				return "", err
			}
			return s.Name, nil
		}, seen)
	}
}

func TestListsAreSorted(t *testing.T) {
	l := Builtin()
	if !slices.IsSortedFunc(l.Botanicals(), func(a, b *Botanical) int { return strings.Compare(a.Name, b.Name) }) ||
		!slices.IsSortedFunc(l.Ingredients(), func(a, b *Ingredient) int { return strings.Compare(a.Name, b.Name) }) ||
		!slices.IsSortedFunc(l.Spirits(), func(a, b *Spirit) int { return strings.Compare(a.Name, b.Name) }) {
		t.Error("a list is not sorted by name")
	}
}

func TestSingular(t *testing.T) {
	for in, want := range map[string]string{
		"cloves": "clove", "leaves": "leaf", "berries": "berry", "cherries": "cherry", "peaches": "peach", "radishes": "radish", "mangoes": "mango",
		"citrus": "citrus", "hibiscus": "hibiscus", "molasses": "molasses", "anis": "anis", "glass": "glass", "limes": "lime", "slices": "slice", "pods": "pod", "rye": "rye", "gas": "gas", "cassis": "cassis", "orris": "orris", "pieces": "piece", "raspberries": "raspberry",
	} {
		if got := names.Singular(in); got != want {
			t.Errorf("names.Singular(%q) = %q, want %q", in, got, want)
		}
	}
}

// Whatever is typed, a look-up answers with an entry or a typed error, and the order and case
// of the words do not matter, but where two side by side are one word of what must not be
// steeped: "monks hood", and "ancho E" is near enough to anchovies.
func TestLookUpIsTotal(t *testing.T) {
	l := Builtin()
	var pool []string
	for _, b := range l.Botanicals() {
		pool = append(pool, words(b.Name)...)
	}
	slices.Sort(pool)
	pool = slices.Compact(pool)
	rapid.Check(t, func(rt *rapid.T) {
		ws := rapid.SliceOfN(rapid.OneOf(rapid.SampledFrom(pool), rapid.String()), 0, 4).Draw(rt, "words")
		name := strings.Join(ws, " ")
		b, err := l.Botanical(name)
		var nf *NotFoundError
		if err != nil && !errors.As(err, &nf) {
			rt.Fatalf("%q: %v", name, err)
		}
		rev := slices.Clone(ws)
		slices.Reverse(rev)
		b2, err2 := l.Botanical(strings.ToUpper(strings.Join(rev, ", ")))
		if low := strings.ToLower(name); strings.ToLower(strings.ToUpper(name)) != low {
			return // letters that do not survive a change of case
		}
		if l.MustNot(name) != nil || l.MustNot(strings.Join(rev, " ")) != nil {
			return
		}
		if (err == nil) != (err2 == nil) || err == nil && b != b2 {
			rt.Fatalf("%q and its reverse differ: %v %v", name, err, err2)
		}
	})
}

// The library is read lazily and shared: several goroutines may ask at once.
func TestConcurrentLookUp(t *testing.T) {
	l := open()
	var wg sync.WaitGroup
	for i := range 8 {
		wg.Go(func() {
			for _, name := range []string{"lime zest", "clove", "fresh ginger", "star anise", "nutmeg"} {
				if _, err := l.Botanical(name); err != nil {
					t.Errorf("goroutine %d: %v", i, err)
				}
			}
			if _, err := l.Ingredient("lime juice"); err != nil {
				t.Errorf("goroutine %d: %v", i, err)
			}
			if !l.Constant(LateRatio).Known() {
				t.Errorf("goroutine %d: no constants", i)
			}
		})
	}
	wg.Wait()
}

// What people type: common practice, no source.
func TestNamesWithRemarks(t *testing.T) {
	l := Builtin()
	for _, c := range []struct{ asked, want string }{
		{"black pepper corns", "black pepper"}, {"pepper corns", "black pepper"}, {"peppercorns", "black pepper"},
		{"lemon peel (no pith)", "lemon zest"}, {"lemon peel, without white pith", "lemon zest"}, {"passionfruit", "passion fruit"},
		{"raspberries (frozen)", "raspberry"}, {"rasp berries", "raspberry"}, {"cardamom pods (about 6, cracked)", "green cardamom"},
		{"carrots, grated", "carrot"}, {"butternut", "pumpkin"}, {"hazel nuts", "hazelnut"}, {"kiwifruit", "kiwi"}, {"chipotle", "chipotle"},
	} {
		b, err := l.Botanical(c.asked)
		if err != nil {
			t.Errorf("%q: %v", c.asked, err)
		} else if b.Name != c.want {
			t.Errorf("%q: %q, want %q", c.asked, b.Name, c.want)
		}
	}
	for _, name := range []string{"neutral grain spirit 95 %", "pure grain alcohol", "190 proof grain alcohol", "extra neutral alcohol", "food grade ethanol", "organic neutral grain spirit 95%"} {
		if s, err := l.Spirit(name); err != nil || s.Name != "neutral grain spirit" {
			t.Errorf("%q: %v, %v", name, s, err)
		}
	}
	if g, err := l.Ingredient("instant coffee"); err != nil || g.Name != "instant coffee" {
		t.Errorf("instant coffee: %v, %v", g, err)
	}
	// What was taken out must be said to be out: these are not the whole thing.
	for _, name := range []string{"lemon, no peel", "wine without alcohol", "celery stalk seed corns"} {
		if b, err := l.Botanical(name); err == nil && b.Name != "celery" {
			t.Errorf("%q resolved to %q", name, b.Name)
		}
	}
}

// The nearest comes first, alone where nothing is as near, and what is not near
// is not named.
func TestNear(t *testing.T) {
	l := Builtin()
	for _, c := range []struct {
		asked string
		want  []string
	}{
		{"star aneese", []string{"star anise"}}, {"cinamon", []string{"cassia cinnamon"}}, {"nutmegg", []string{"nutmeg"}},
		{"tequila extra fancy", []string{"agave spirit"}}, {"yuzu", []string{"yuzu", "yuzu juice", "yuzu zest"}},
		{"moon juice", nil}, {"sweet potato", nil}, {"black pudding", nil}, {"zzz", nil}, {"", nil},
	} {
		if got := l.Near(c.asked); !slices.Equal(got, c.want) {
			t.Errorf("%q: near %q, want %q", c.asked, got, c.want)
		}
	}
	// What must not be steeped is not offered for a mere likeness.
	if got := l.Near("butternit"); slices.Contains(got, "larkspur") {
		t.Errorf("butternit: %q", got)
	}
	rapid.Check(t, func(rt *rapid.T) {
		name := rapid.OneOf(rapid.String(), rapid.StringMatching(`[a-z]{3,9}( [a-z]{3,9}){0,2}`)).Draw(rt, "name")
		hs := l.hints(name)
		if len(hs) > mostHints {
			rt.Fatalf("%q: %d hints", name, len(hs))
		}
		for i, h := range hs {
			if h.score < leastLike || h.score > 1+1e-9 || i > 0 && (h.score > hs[i-1].score || h.score < hs[0].score-clearlyAhead) {
				rt.Fatalf("%q: %+v", name, hs)
			}
		}
	})
}

// A sweet class without a range would be told to the milligram.
func TestSweetSpiritsHaveRanges(t *testing.T) {
	for _, s := range Builtin().Spirits() {
		for what, n := range map[string]Number{"sugar": s.SugarGPer100G, "acid": s.AcidGPer100G, "pH": s.PH} {
			if n.Value > 0 && n.High <= n.Low {
				t.Errorf("%s: the %s has no range", s.Name, what)
			}
		}
	}
	for _, g := range Builtin().Ingredients() {
		if g.Kind != "juice" {
			continue
		}
		for what, n := range map[string]Number{"acid": g.AcidGPer100ML, "pH": g.PH} {
			if n.Value > 0 && n.High <= n.Low {
				t.Errorf("%s: the %s has no range", g.Name, what)
			}
		}
	}
}

// TestUnheard: what was done to a thing chooses its cut, or is told to be not known.
func TestUnheard(t *testing.T) {
	l := Builtin()
	for _, c := range []struct {
		name, cut string
		want      []string
	}{
		{"roughly chopped walnuts", "", nil}, {"clove", "crushed", nil}, {"smashed lemongrass", "", []string{"smashed"}}, {"shaved nutmeg", "", []string{"shaved"}},
		{"ground allspice", "", nil}, {"toasted slivered almonds", "", nil}, {"peeled ginger", "", nil},
	} {
		b, cut, _, err := l.BotanicalAndCut(c.name, c.cut)
		if err != nil {
			t.Errorf("%q: %v", c.name, err)
			continue
		}
		if got := b.Unheard(c.name+" "+c.cut, cut); !slices.Equal(got, c.want) {
			t.Errorf("%q, %q (%s): %q, want %q", c.name, c.cut, cut.Name, got, c.want)
		}
	}
}

// TestNarrows: a name that is more general than the entry, or another word, is a choice.
func TestNarrows(t *testing.T) {
	for _, c := range []struct {
		said, entry string
		want        bool
	}{
		{"cinnamon", "cassia cinnamon", true}, {"rum", "white rum", true}, {"whisky", "bourbon", true}, {"gomme", "simple syrup", true}, {"cardamom pods", "green cardamom", true},
		{"cloves", "clove", false}, {"good dark rum", "dark rum", false}, {"grape brandy", "brandy", false}, {"green cardamom", "green cardamom", false}, {"fresh ginger", "ginger", false},
	} {
		if got := Narrows(c.said, c.entry); got != c.want {
			t.Errorf("%q as %q: %v", c.said, c.entry, got)
		}
	}
}

// TestEntriesForLeavesNoneOut: whatever a name and its cut come to is among the entries that they
// may come to, by which a book finds who steeps the same: "coffee beans", "ground" are ground coffee.
func TestEntriesForLeavesNoneOut(t *testing.T) {
	l := Builtin()
	for _, b := range l.Botanicals() {
		for _, cut := range []string{"", "ground", "zest", "peel", "leaves", "chopped", "dried", "fresh", "powder", "green", "whole"} {
			found, _, _, err := l.BotanicalAndCut(b.Name, cut)
			if found == nil || err != nil && found.Forbidden == "" && found.Name == b.Name {
				continue
			}
			if may := slices.Concat(l.EntriesFor(b.Name), l.EntriesFor(cut+" "+b.Name)); !slices.Contains(may, found.Name) {
				t.Errorf("%q, %q is %q, not among %v", b.Name, cut, found.Name, may)
			}
		}
	}
	if b, _, _, err := l.BotanicalAndCut("coffee beans", "ground"); err != nil || b.Name != "coffee" {
		t.Errorf("coffee beans, ground: %v, %v", b, err)
	}
}
