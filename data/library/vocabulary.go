package library

import (
	"maps"
	"slices"
	"strings"
	"sync"

	"steepbook/data/names"
)

// The words of a name besides what a thing is: where it is from, how good it is, what
// part or size of it, and what was done to it. A name that is not known as written is
// tried without them. What was done to it changes its weight or its speed: those words
// choose the cut and the measure, and Unheard says which of them did not.
// tables/vocabulary.csv holds them, and says what each class is.
var (
	qualityWords = wordSet("quality")
	doneToIt     = wordSet("done to it")
	quietly      = wordSet("quietly done")
	describing   = wordSet("quality", "part or size", "done to it")
	stateWords   = wordSet("state")
	originWords  = wordSet("origin")
	byOrigin     = wordSet("traded by origin")
	otherPlants  = wordSet("other plants")
	ownPlant     = wordSet("part by itself")
	partWords    = names.Related("part")
	kindWords    = names.Related("kind")
	anyStrength  = wordSet("any strength")
	homeMade     = wordSet("home made")
	rawWords     = wordSet("raw")
	fineWords    = names.Related("fineness")
	innocent     = names.Related("innocent")
	noFoodShop   = wordSet("no food shop")
	drinkWords   = wordSet("drink by name")
	firstRun     = wordSet("first run")
	distilled    = wordSet("alcohol", "home made", "drink by name", "distilled")
	saidAbroad   = names.Respelt("said abroad")
	brandWords   = wordSet("names drinks too")
)

// wordSet tells whether a word stands in one of some classes.
//
//go:noinline
func wordSet(classes ...string) func(word string) bool {
	var of []func() map[string][]string
	for _, class := range classes {
		of = append(of, names.Related(class))
	}
	return func(word string) bool {
		for _, class := range of {
			if _, in := class()[word]; in {
				return true
			}
		}
		return false
	}
}

// wordList are the words of a class in the order of the alphabet.
//
//go:noinline
func wordList(class string) func() []string {
	return sync.OnceValue(func() []string { return slices.Sorted(maps.Keys(names.Related(class)())) })
}

// words are those of a name: all that is looked up here is compared by them.
func words(name string) []string { return names.Words(name) }

// standsIn reports whether a word stands in one of some names.
func standsIn(w string, names ...string) bool {
	return slices.ContainsFunc(names, func(n string) bool { return slices.Contains(words(n), w) })
}

// From lists the words of a name that say where a thing is from.
func From(name string) (out []string) {
	for _, w := range words(name) {
		if originWords(w) {
			out = append(out, w)
		}
	}
	return out
}

// Narrows reports whether a name says less than the name of the entry that it was
// taken for, or has no word of it: "cinnamon" may be cassia or another one, and not
// every whisky is a bourbon.
func Narrows(said, entry string) bool {
	asked, name := plain(words(said)), plain(words(entry))
	if len(asked) == 0 {
		return false
	}
	return covered(asked, name) >= 0 && covered(name, asked) < 0 || Renames(said, entry)
}

// Renames reports whether a name has no word of the name of the entry that it was
// taken for: gomme is some syrup.
func Renames(said, entry string) bool {
	name := words(entry)
	return !slices.ContainsFunc(words(said), func(w string) bool { return slices.Contains(name, w) })
}

// placeless is a name without the words for where it is from, nil where there are
// none.
func placeless(ws []string) []string {
	if !slices.ContainsFunc(ws, func(w string) bool { return originWords(w) }) {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(ws), func(w string) bool { return originWords(w) })
}

// Unheard lists the words of a name and a cut that say what was done to a thing, and
// of which neither the entry nor the cut that was chosen speaks.
func (b *Botanical) Unheard(said string, c *Cut) (out []string) {
	for _, w := range words(said) {
		heard := standsIn(w, b.all()...) || standsIn(w, c.all()...) ||
			slices.ContainsFunc(c.Measures, func(m Measure) bool { return standsIn(w, m.Grams.Note) })
		if doneToIt(w) && !heard && !quietly(w) && !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return out
}

// quiet reports whether all words of a cut change nothing that is reckoned with.
func quiet(cut string) bool {
	return !slices.ContainsFunc(words(cut), func(w string) bool {
		return !qualityWords(w) && (!quietly(w) || w == "dried")
	})
}

// Besides reports whether all words of a cut say what was done to a thing besides cutting
// it: toasted, thawed.
func Besides(cut string) bool {
	return !slices.ContainsFunc(words(cut), func(w string) bool { return !besides(w) })
}

func besides(w string) bool { return quietly(w) && w != "dried" && w != "cut" && w != "broken" }

// telling reports whether a word says what a thing is: describing words, strengths
// ("57%") and bare numbers do not.
func telling(w string) bool {
	number := w[0] >= '0' && w[0] <= '9' && !strings.Contains(w, ":")
	return !number && !describing(w) && !strings.HasSuffix(w, "%")
}

// plain keeps the telling words.
func plain(ws []string) []string {
	out := make([]string, 0, len(ws))
	for _, w := range ws {
		if telling(w) {
			out = append(out, w)
		}
	}
	return out
}

// Unlabelled reports whether a name fixes no strength: it says no more than that it is alcohol, or
// that it was made at home, where nobody prints a label.
func Unlabelled(name string) bool {
	ws := words(name)
	return slices.ContainsFunc(ws, homeMade) ||
		len(ws) > 0 && !slices.ContainsFunc(ws, func(w string) bool { return !anyStrength(w) })
}

// otherPart reports whether a name asks for a part of the plant that neither
// the names nor the cuts of the entry speak of.
func (b *Botanical) otherPart(asked []string) bool {
	return slices.ContainsFunc(asked, func(w string) bool {
		kinds, ok := partWords()[w]
		return ok && !slices.Contains(kinds, b.Kind) && !b.says(w)
	})
}

// NameAndCut are those of a thing, whatever was written behind which key. A cut that is no cut of a plant
// but its leaf, root or bark, of which the entry does not speak, belongs to its name: tomato, leaves. What
// grows in a fruit or at the tips of a herb comes with it. Of a name that is not known as a whole what
// stands behind its first comma is the cut, where what stands before it is known.
func (l *Library) NameAndCut(name, cut string) (string, string) {
	b, _, err := l.seek(name)
	if before, behind, parted := strings.Cut(name, ","); b == nil && err == nil && parted &&
		l.MustNot(name) == nil {
		_, lost := l.Ingredient(name)
		if x, _, _ := l.seek(before); x != nil && lost != nil {
			b, name, cut = x, before, strings.Trim(strings.TrimSpace(behind)+", "+cut, ", ")
		}
	}
	if err != nil || b == nil || cut == "" {
		return name, cut
	}
	ours := inOurs(words(cut))
	if !b.otherPart(slices.DeleteFunc(slices.Clone(ours), func(w string) bool { return !ownPlant(w) })) {
		return name, cut
	}
	whole, own := name+" "+cut, b.Name+" "+strings.Join(ours, " ")
	if x, _, err := l.seek(whole); x == nil && err == nil {
		if x, _, _ := l.seek(own); x != nil {
			return own, ""
		}
	}
	return whole, ""
}

// otherPart is the same for an ingredient, which is no part of a plant unless
// its names say so.
func (g *Ingredient) otherPart(asked []string) bool {
	return slices.ContainsFunc(asked, func(w string) bool {
		_, ok := partWords()[w]
		return ok && w != "berry" && w != "bean" && !standsIn(w, g.all()...)
	})
}

// says reports whether a word stands in a name or a cut of the entry.
func (b *Botanical) says(w string) bool { return standsIn(w, b.all()...) || b.saysCut(w) }

// saysCut reports whether a word stands in the name of a cut.
func (b *Botanical) saysCut(w string) bool {
	return slices.ContainsFunc(b.Cuts, func(c Cut) bool { return standsIn(w, c.all()...) })
}
