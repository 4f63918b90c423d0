package library

import (
	"maps"
	"slices"
	"strings"
)

// The words of a name besides what a thing is: where it is from, how good it is, what
// part or size of it, and what was done to it. A name that is not known as written is
// tried without them. What was done to it changes its weight or its speed: those words
// choose the cut and the measure, and Unheard says which of them did not.
var (
	qualityWords = wordSet(`organic unwaxed waxed ripe raw good new old pure picked washed untreated loose fruit trimmed cleaned scrubbed
		rinsed optional homegrown homemade garden about roughly approximately generous heaped premium quality decent cheap inexpensive local natural
		artisan artisanal gourmet fairtrade regular ordinary everyday unsweetened cured lightly finely coarsely coarse fine freshly fresh thinly thickly thin thick`)
	partsOfIt = wordSet(`whole strip stick pod bud seed berry leaf root bark piece chip thread petal flower blossom sprig bunch head quill kernel
		bean blade large small medium big shelled husked shaving sliver wedge round`)
	doneToIt = wordSet(`ground powder crushed cracked broken chopped sliced slice grated minced toasted roasted bruised split halved half quartered
		cut dried peeled unpeeled squeezed shredded crumbled deseeded pitted stoned unpitted unseeded unribbed frozen thawed defrosted cored hulled
		slivered flaked julienned torn bashed smashed muddled shaved pounded diced cubed scored pared`)
	// originWords say where a thing grew or was made.
	originWords = wordSet(`madagascan madagascar malagasy jamaican jamaica mexican tahitian indian indonesian vietnamese turkish iranian persian
		spanish italian sicilian greek french german english british scottish irish american californian canadian peruvian brazilian colombian
		ethiopian kenyan ugandan egyptian moroccan tunisian lebanese syrian thai japanese korean hungarian polish russian ukrainian austrian swiss swedish
		norwegian danish finnish dutch belgian australian caribbean barbadian guatemalan zanzibar comorian grenadian bulgarian provencal
		portuguese croatian serbian georgian armenian israeli chilean argentinian argentine venezuelan dominican haitian cuban martinique
		sri lanka lankan valencia guyanese european african asian valencian amalfi`)
	describing = union(qualityWords, partsOfIt, doneToIt)
)

// byOrigin are the botanicals and ingredients that are traded by where they are from
// and stay the same plant: a Jamaican clove is a clove. Of most plants the word makes
// another one (Mexican oregano, Japanese star anise, Chinese cardamom), so that these
// must be asked about. Spirits are all traded by it.
var byOrigin = setOf(list(`vanilla, coffee, coffee beans, cacao nibs, clove, nutmeg, mace, saffron, almond, hazelnut, walnut,
	pistachio, juniper, hibiscus, elderflower, rose petals, lime, lime zest, lemon, lemon zest, orange, orange zest, grapefruit,
	grapefruit zest, mandarin zest, dried fig, date, apricot, dried apricot, sweet cherry, sour cherry, raspberry, strawberry,
	peach, plum, pear, apple, quince, raisin, pomegranate, honey, maple syrup, beer, salt, butter, olive oil, white sugar,
	demerara sugar, lemon juice, lime juice, orange juice`))

// otherPlants are names of other plants, made of a place and a plant of byOrigin: an
// Indian fig is a cactus. From memory; they only ever say no.
var otherPlants = list(`almond indian, fig indian, cherry jamaican, jamaican plum, indian plum, japanese plum, japanese quince, japanese pear, apricot japanese,
	african nutmeg, brazilian nutmeg, jamaican nutmeg, american nutmeg, californian nutmeg, indian saffron, mexican saffron, american saffron, african saffron,
	lime mexican, australian lime, indian lime, chilean hazelnut, brazilian cherry, european mandarin, african pear, apple persian`)

// list parts a text at its commas.
func list(s string) []string {
	out := strings.Split(s, ",")
	for i := range out {
		out[i] = strings.TrimSpace(out[i])
	}
	return out
}

func setOf(words []string) map[string]bool {
	m := make(map[string]bool, len(words))
	for _, w := range words {
		m[w] = true
	}
	return m
}

func wordSet(s string) map[string]bool { return setOf(strings.Fields(s)) }

func union(sets ...map[string]bool) map[string]bool {
	m := make(map[string]bool)
	for _, s := range sets {
		maps.Copy(m, s)
	}
	return m
}

// standsIn reports whether a word stands in one of some names.
func standsIn(w string, names ...string) bool {
	return slices.ContainsFunc(names, func(n string) bool { return slices.Contains(words(n), w) })
}

// From lists the words of a name that say where a thing is from.
func From(name string) (out []string) {
	for _, w := range words(name) {
		if originWords[w] {
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
	if !slices.ContainsFunc(ws, func(w string) bool { return originWords[w] }) {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(ws), func(w string) bool { return originWords[w] })
}

// Unheard lists the words of a name and a cut that say what was done to a thing, and
// of which neither the entry nor the cut that was chosen speaks.
func (b *Botanical) Unheard(said string, c *Cut) (out []string) {
	for _, w := range words(said) {
		heard := standsIn(w, b.all()...) || standsIn(w, c.all()...) ||
			slices.ContainsFunc(c.Measures, func(m Measure) bool { return standsIn(w, m.Grams.Note) })
		if doneToIt[w] && !heard && !quietly[w] && !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return out
}

// quiet reports whether all words of a cut change nothing that is reckoned with.
func quiet(cut string) bool {
	return !slices.ContainsFunc(words(cut), func(w string) bool { return !qualityWords[w] && (!quietly[w] || w == "dried") })
}

// quietly are words for what was done that change neither the weight nor the speed by
// more than one fruit differs from another.
var quietly = wordSet("peeled unpeeled cored hulled deseeded pitted stoned unpitted unseeded unribbed dried squeezed cut toasted roasted frozen thawed defrosted broken")

// telling reports whether a word says what a thing is: describing words, strengths
// ("57%") and bare numbers do not.
func telling(w string) bool {
	return !describing[w] && !strings.HasSuffix(w, "%") && (w[0] < '0' || w[0] > '9' || strings.Contains(w, ":"))
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

// stateWords change what the thing is, not only its size.
var stateWords = wordSet("fresh dried ground powder green black white red")

// partWords name a part of a plant, with the kinds of botanicals for which
// that part goes without saying. A peach leaf is no peach.
var partWords = map[string][]string{
	"leaf": {"herb", "leaf", "tea"}, "root": {"root"}, "bark": {"bark"}, "seed": {"seed", "spice", "nut"},
	"kernel": {"nut"}, "pod": {"pod", "chilli", "spice"}, "bud": {"flower", "spice"},
	"flower": {"flower"}, "blossom": {"flower"}, "petal": {"flower"}, "berry": {"fruit", "spice"},
	"bean": {"pod", "coffee", "cacao", "seed"},
}

// otherPart reports whether a name asks for a part of the plant that neither
// the names nor the cuts of the entry speak of.
func (b *Botanical) otherPart(asked []string) bool {
	return slices.ContainsFunc(asked, func(w string) bool {
		kinds, ok := partWords[w]
		return ok && !slices.Contains(kinds, b.Kind) && !b.says(w)
	})
}

// otherPart is the same for an ingredient, which is no part of a plant unless
// its names say so.
func (g *Ingredient) otherPart(asked []string) bool {
	return slices.ContainsFunc(asked, func(w string) bool {
		_, ok := partWords[w]
		return ok && w != "berry" && w != "bean" && !standsIn(w, g.all()...)
	})
}

// says reports whether a word stands in a name or a cut of the entry.
func (b *Botanical) says(w string) bool { return standsIn(w, b.all()...) || b.saysCut(w) }

// saysCut reports whether a word stands in the name of a cut.
func (b *Botanical) saysCut(w string) bool {
	return slices.ContainsFunc(b.Cuts, func(c Cut) bool { return standsIn(w, c.all()...) })
}

// innocent pairs hold a word of something forbidden and name something else:
// the flesh of a coconut, a crab apple, a beef tomato.
var innocent = [][2]string{
	{"meat", "coconut"}, {"meat", "nut"}, {"meat", "walnut"}, {"meat", "pecan"}, {"meat", "almond"}, {"beef", "tomato"},
	{"crab", "apple"}, {"oyster", "mushroom"}, {"oyster", "plant"}, {"oyster", "leaf"}, {"lobster", "mushroom"},
	{"methanol", "free"}, {"caffeine", "free"}, {"cassava", "starch"}, {"cassava", "flour"},
	{"fish", "mint"}, {"salmon", "berry"}, {"hemlock", "spruce"}, {"hemlock", "fir"}, {"camphor", "basil"},
}
