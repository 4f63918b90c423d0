package library

import (
	"maps"
	"slices"
	"strings"
	"sync"
	"unicode"

	"steepbook/data/pattern"
	"steepbook/data/strict"
)

// The names of things are compared as sets of singular words, so that
// "zest of lime", "Lime zest" and "limes, zest" are one name.

// words splits a name into normalised words in the order written.
func words(name string) []string {
	fields := strings.FieldsFunc(leftIn(leftOut(fold(name))), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != ':' && r != '%' && r != '.'
	})
	out := fields[:0]
	for _, w := range fields {
		w = strings.Trim(w, ":.")
		if w == "" || stopWords[w] {
			continue
		}
		w = singular(w)
		if s, ok := spellings[w]; ok {
			w = s
		}
		out = append(out, w)
	}
	return out
}

// leftOut drops remarks on parts that were taken off and change nothing else: lemon
// peel without pith is lemon peel. "No stones" and "seeds removed" are one word each.
func leftOut(s string) string {
	if strings.Contains(s, "no ") || strings.Contains(s, "without ") {
		s = partsOut().ReplaceAllString(s, " ")
	} else if !strings.Contains(s, "removed") && !strings.Contains(s, "discarded") && !strings.Contains(s, " out") {
		return s
	}
	return stonesOut().ReplaceAllStringFunc(s, func(m string) string {
		if strings.Contains(m, "seed") || strings.Contains(m, "pip") {
			return " deseeded "
		}
		return " pitted "
	})
}

// leftIn turns "with stones", "stones in" and "with ribs" into one word each:
// cherries with their stones are fruit, cherry stones are not.
func leftIn(s string) string {
	if !strings.Contains(s, "with ") && !strings.Contains(s, " in") {
		return s
	}
	s = withParts().ReplaceAllStringFunc(s, func(m string) string {
		switch m = strings.TrimRight(m[strings.LastIndexByte(m, ' ')+1:], "s"); m {
		case "rib":
			return "unribbed"
		case "seed", "pip":
			return "unseeded"
		}
		return "unpitted"
	})
	return partsIn().ReplaceAllString(s, "unpitted")
}

var (
	withParts = pattern.New(`\bwith (?:the |their |its )?(?:stone|pit|seed|pip|rib)s?\b`)
	partsOut  = pattern.New(`\b(?:with no|no|without|without any|without the|without its) (?:white )?(?:pith|stem|stalk|core|membrane|wax|husk|added sugar|additive|colou?ring)s?\b`)
	stonesOut = pattern.New(`\b(?:with no|no|without(?: any| the| its)?) (?:stone|pit|seed|pip|kernel)s?\b|\b(?:stone|pit|seed|pip|kernel)s? (?:(?:are|were|all) )?(?:removed|discarded|taken out|out)\b`)
	partsIn   = pattern.New(`\b(?:stone|pit)s? (?:left )?in\b`)
)

// key is the set of words as one string.
func key(ws []string) string {
	if len(ws) == 1 {
		return ws[0]
	}
	ws = slices.Clone(ws)
	slices.Sort(ws)
	return strings.Join(slices.Compact(ws), " ")
}

func nameKey(name string) string { return key(words(name)) }

// fold lowers a name, takes accents and apostrophes off and parts joined letters.
func fold(s string) string {
	plain := true
	for i := range len(s) {
		c := s[i]
		plain = plain && c < 128 && c != '\'' && c != '`' && (c < 'A' || c > 'Z')
	}
	if plain {
		return s
	}
	if strings.ContainsAny(s, "œŒæÆß") {
		s = ligatures.Replace(s)
	}
	return strings.Map(func(r rune) rune {
		if r == '\'' || r == '’' || r == '`' || unicode.Is(unicode.Mn, r) {
			return -1
		}
		r = unicode.ToLower(r)
		if r < 128 {
			return r
		}
		for _, a := range accents {
			if strings.ContainsRune(a.from, r) {
				return a.to
			}
		}
		return r
	}, s)
}

var ligatures = strings.NewReplacer("œ", "oe", "Œ", "oe", "æ", "ae", "Æ", "ae", "ß", "ss")

var accents = []struct {
	from string
	to   rune
}{
	{"àáâãäåā", 'a'}, {"çćč", 'c'}, {"èéêëēě", 'e'}, {"ìíîïī", 'i'}, {"ñń", 'n'},
	{"òóôõöøō", 'o'}, {"ùúûüū", 'u'}, {"ýÿ", 'y'}, {"šś", 's'}, {"žźż", 'z'}, {"ł", 'l'},
}

var stopWords = map[string]bool{"of": true, "the": true, "a": true, "an": true, "and": true, "with": true, "in": true, "from": true, "or": true}

// spellings maps a singular word to the spelling used in the data.
var spellings = map[string]string{
	"chili": "chilli", "chile": "chilli", "chilly": "chilli", "chillie": "chilli",
	"liquorice": "licorice", "whisky": "whiskey", "yoghurt": "yogurt", "sulphite": "sulfite", "sulphate": "sulfate", "sulphuric": "sulfuric",
	"mandarine": "mandarin", "vanille": "vanilla", "cardamon": "cardamom", "cardamum": "cardamom",
	"flavour": "flavor", "colour": "color", "tumeric": "turmeric", "rosehip": "rose hip",
	"zested": "zest", "dry": "dried", "rind": "peel", "powdered": "powder", "caster": "castor",
	"icing": "powder", "confectioner": "powder", "gramme": "gram", "litre": "liter",
	"pimento": "allspice", "pimenta": "allspice",
	"dehydrated": "dried", "desiccated": "dried", "sundried": "dried",
	"kaffir": "makrut", "noyaux": "noyau", "mould": "mold", "crystallised": "crystallized",
}

// singular undoes the English plural of a lower-case word.
func singular(w string) string {
	if s, ok := irregular[w]; ok {
		return s
	}
	n := len(w)
	switch {
	case n < 4 || !strings.HasSuffix(w, "s"):
		return w
	case strings.HasSuffix(w, "ss"), strings.HasSuffix(w, "us"), strings.HasSuffix(w, "is"):
		return w
	case strings.HasSuffix(w, "ies") && n > 4:
		return w[:n-3] + "y"
	case strings.HasSuffix(w, "oes"), strings.HasSuffix(w, "ches"), strings.HasSuffix(w, "shes"), strings.HasSuffix(w, "xes"), strings.HasSuffix(w, "sses"):
		return w[:n-2]
	}
	return w[:n-1]
}

var irregular = map[string]string{
	"chilis": "chilli", "leaves": "leaf", "halves": "half", "cookies": "cookie", "molasses": "molasses",
	"lees": "lees", "sloes": "sloe", "cloves": "clove", "chives": "chive", "olives": "olive",
	"allspice": "allspice", "haws": "haw", "loaves": "loaf", "hips": "hip", "quinces": "quince",
	"swiss": "swiss", "citrus": "citrus", "cassis": "cassis", "brandies": "brandy",
	"eaux": "eau", "grains": "grain", "oats": "oat", "bitters": "bitters",
}

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
var byOrigin = func() map[string]bool {
	m := make(map[string]bool)
	for _, n := range list(`vanilla, coffee, coffee beans, cacao nibs, clove, nutmeg, mace, saffron, almond, hazelnut, walnut, pistachio, juniper, hibiscus,
		elderflower, rose petals, lime, lime zest, lemon, lemon zest, orange, orange zest, grapefruit, grapefruit zest, mandarin zest, dried fig, date, apricot,
		dried apricot, sweet cherry, sour cherry, raspberry, strawberry, peach, plum, pear, apple, quince, raisin, pomegranate,
		honey, maple syrup, beer, salt, butter, olive oil, white sugar, demerara sugar, lemon juice, lime juice, orange juice`) {
		m[n] = true
	}
	return m
}()

// otherPlants are names of other plants, made of a place and a plant of byOrigin: an
// Indian fig is a cactus. From memory; they only ever say no.
var otherPlants = list(`almond indian, fig indian, cherry jamaican, jamaican plum, indian plum, japanese plum, japanese quince, japanese pear, apricot japanese,
	african nutmeg, brazilian nutmeg, jamaican nutmeg, american nutmeg, californian nutmeg, indian saffron, mexican saffron, american saffron, african saffron,
	lime mexican, australian lime, indian lime, chilean hazelnut, brazilian cherry, european mandarin, african pear, apple persian`)

func list(s string) []string {
	out := strings.Split(s, ",")
	for i := range out {
		out[i] = strings.TrimSpace(out[i])
	}
	return out
}

func union(sets ...map[string]bool) map[string]bool {
	m := make(map[string]bool)
	for _, s := range sets {
		maps.Copy(m, s)
	}
	return m
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
		heard := slices.ContainsFunc(slices.Concat([]string{b.Name, c.Name}, b.Names, c.Names), func(n string) bool { return slices.Contains(words(n), w) }) ||
			slices.ContainsFunc(c.Measures, func(m Measure) bool { return slices.Contains(words(m.Grams.Note), w) })
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

func wordSet(s string) map[string]bool {
	m := make(map[string]bool)
	for _, w := range strings.Fields(s) {
		m[w] = true
	}
	return m
}

// plain drops describing words, strengths ("57%") and bare numbers.
func plain(ws []string) []string {
	out := make([]string, 0, len(ws))
	for _, w := range ws {
		if describing[w] || strings.HasSuffix(w, "%") || w[0] >= '0' && w[0] <= '9' && !strings.Contains(w, ":") {
			continue
		}
		out = append(out, w)
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
	said := func(w string) bool {
		for _, n := range append([]string{b.Name}, b.Names...) {
			if slices.Contains(words(n), w) {
				return true
			}
		}
		return slices.ContainsFunc(b.Cuts, func(c Cut) bool {
			return slices.ContainsFunc(append([]string{c.Name}, c.Names...), func(n string) bool { return slices.Contains(words(n), w) })
		})
	}
	for _, w := range asked {
		if kinds, ok := partWords[w]; ok && !slices.Contains(kinds, b.Kind) && !said(w) {
			return true
		}
	}
	return false
}

// otherPart is the same for an ingredient, which is no part of a plant unless
// its names say so.
func (g *Ingredient) otherPart(asked []string) bool {
	for _, w := range asked {
		if _, ok := partWords[w]; !ok || w == "berry" || w == "bean" {
			continue
		}
		if !slices.ContainsFunc(append([]string{g.Name}, g.Names...), func(n string) bool { return slices.Contains(words(n), w) }) {
			return true
		}
	}
	return false
}

// innocent pairs hold a word of something forbidden and name something else:
// the flesh of a coconut, a crab apple, a beef tomato.
var innocent = [][2]string{
	{"meat", "coconut"}, {"meat", "nut"}, {"meat", "walnut"}, {"meat", "pecan"}, {"meat", "almond"}, {"beef", "tomato"},
	{"crab", "apple"}, {"oyster", "mushroom"}, {"oyster", "plant"}, {"oyster", "leaf"}, {"lobster", "mushroom"},
	{"methanol", "free"}, {"caffeine", "free"}, {"cassava", "starch"}, {"cassava", "flour"},
	{"fish", "mint"}, {"salmon", "berry"}, {"hemlock", "spruce"}, {"hemlock", "fir"}, {"camphor", "basil"},
}

// never finds the forbidden entry one of whose names is wholly among the words
// asked: "smoked bacon fat" is bacon. It only ever says no, so it may err.
func (c *catalog[T]) never(name string) *entry[T] {
	ws := words(name)
	for _, p := range innocent {
		if slices.Contains(ws, p[0]) && slices.Contains(ws, p[1]) {
			ws = slices.DeleteFunc(ws, func(w string) bool { return w == p[0] })
		}
	}
	for _, e := range c.entries {
		if e.never && e.says(ws) >= 0 {
			return e
		}
	}
	return nil
}

// entry is one thing of the library that may not have been read yet.
type entry[T any] struct {
	name  string
	names []string
	never bool // built in as forbidden
	read  func() (*T, error)
	as    *entry[T] // of the same names, where there is one

	got   sync.Once
	value *T
	err   error

	parted sync.Once
	ws     [][]string
}

// get reads the entry when it is first wanted.
func (e *entry[T]) get() (*T, error) {
	e.got.Do(func() { e.value, e.err = e.read() })
	return e.value, e.err
}

// orNone is get where there may be no entry.
func (e *entry[T]) orNone() (*T, error) {
	if e == nil {
		return nil, nil
	}
	return e.get()
}

// words are those of name and names.
func (e *entry[T]) words() [][]string {
	if e.as != nil {
		return e.as.words()
	}
	e.parted.Do(func() {
		e.ws = make([][]string, 0, 1+len(e.names))
		for n := range e.all {
			e.ws = append(e.ws, words(n))
		}
	})
	return e.ws
}

func (e *entry[T]) all(yield func(string) bool) {
	if !yield(e.name) {
		return
	}
	for _, n := range e.names {
		if !yield(n) {
			return
		}
	}
}

// catalog is all entries of one kind.
type catalog[T any] struct {
	kind    string // "botanical", "ingredient", "spirit"
	entries []*entry[T]
	asIs    map[string]*entry[T] // lower-case names as written
	index   func() *index[T]     // for what is not written as it is here
	swapped map[*entry[T]]*entry[T]
}

// index finds entries by the words of their names.
type index[T any] struct {
	byKey   map[string]*entry[T]
	byPlain map[string][]*entry[T]
	word    map[string]bool // every word of a name
}

// swap is the catalog with e in the place of an entry of the same names.
func (c *catalog[T]) swap(old, e *entry[T]) *catalog[T] {
	out := *c
	out.entries, out.swapped = slices.Clone(c.entries), maps.Clone(c.swapped)
	if out.swapped == nil {
		out.swapped = map[*entry[T]]*entry[T]{}
	}
	for i, was := range out.entries {
		if was == c.now(old) {
			out.entries[i] = e
		}
	}
	out.swapped[old] = e
	return &out
}

// now is what stands in the place of an entry.
func (c *catalog[T]) now(e *entry[T]) *entry[T] {
	if other, ok := c.swapped[e]; ok {
		return other
	}
	return e
}

func newCatalog[T any](kind string, entries []*entry[T]) *catalog[T] {
	slices.SortFunc(entries, func(a, b *entry[T]) int { return strings.Compare(a.name, b.name) })
	c := &catalog[T]{
		kind:    kind,
		entries: entries,
		asIs:    make(map[string]*entry[T], 4*len(entries)),
		index:   sync.OnceValue(func() *index[T] { return newIndex(entries) }),
	}
	// Names first, so that no synonym can hide a name.
	for _, e := range entries {
		c.asIs[strings.ToLower(e.name)] = e
	}
	for _, e := range entries {
		for _, n := range e.names {
			if low := strings.ToLower(n); c.asIs[low] == nil {
				c.asIs[low] = e
			}
		}
	}
	return c
}

func newIndex[T any](entries []*entry[T]) *index[T] {
	x := &index[T]{
		byKey:   make(map[string]*entry[T], 4*len(entries)),
		byPlain: make(map[string][]*entry[T], 4*len(entries)),
		word:    make(map[string]bool, 4*len(entries)),
	}
	for _, e := range entries { // names first, here too
		x.byKey[key(e.words()[0])] = e
	}
	for _, e := range entries {
		for _, ws := range e.words() {
			for _, w := range ws {
				x.word[w] = true
			}
			k := key(ws)
			if x.byKey[k] == nil {
				x.byKey[k] = e
			}
			if bare := plain(ws); len(bare) < len(ws) {
				k = key(bare)
			}
			if k != "" && !slices.Contains(x.byPlain[k], e) {
				x.byPlain[k] = append(x.byPlain[k], e)
			}
		}
	}
	return x
}

// find resolves a name. exact is false when describing words were dropped.
func (c *catalog[T]) find(name string) (e *entry[T], exact bool) {
	e, exact = c.look(name)
	return c.now(e), exact
}

// written is the entry of which a name is one as it stands.
func (c *catalog[T]) written(name string) *entry[T] {
	return c.asIs[strings.ToLower(strings.TrimSpace(name))]
}

func (c *catalog[T]) called(name string) bool { return c.written(name) != nil }

func (c *catalog[T]) look(name string) (e *entry[T], exact bool) {
	// As written first: "cream of coconut" is not "coconut cream".
	if e := c.written(name); e != nil {
		return e, true
	}
	ws := words(name)
	if e, exact := c.findWords(ws); e != nil {
		return e, exact
	}
	// "pepper corns" are peppercorns, "passionfruit" is passion fruit.
	var found *entry[T]
	for _, other := range c.respaced(ws) {
		switch e, ok := c.findWords(other); {
		case e == nil:
		case found != nil && found != e:
			return nil, false
		default:
			found, exact = e, ok
		}
	}
	return found, exact
}

// respaced lists the words of a name with two of them joined, or one parted,
// where that makes words the library has.
func (c *catalog[T]) respaced(ws []string) [][]string {
	var out [][]string
	for i, a := range ws {
		for j, b := range ws {
			if i != j && c.index().word[a+b] {
				out = append(out, append(without(ws, i, j), a+b))
			}
		}
		for cut := 3; cut+3 <= len(a); cut++ {
			first, last := singular(a[:cut]), a[cut:]
			if !c.index().word[first] || !c.index().word[last] {
				continue
			}
			// Passionfruit pulp is passion fruit pulp, but blackberry tea no black tea.
			parted := append(without(ws, i, i), first, last)
			if !c.index().word[a] || c.index().byKey[key(parted)] != nil {
				out = append(out, parted)
			}
		}
	}
	return out
}

func without(ws []string, i, j int) []string {
	var out []string
	for k, w := range ws {
		if k != i && k != j {
			out = append(out, w)
		}
	}
	return out
}

// findWords resolves the words of a name.
func (c *catalog[T]) findWords(ws []string) (e *entry[T], exact bool) {
	if len(ws) == 0 {
		return nil, false
	}
	x := c.index()
	if e := x.byKey[key(ws)]; e != nil {
		return e, true
	}
	p := key(plain(ws))
	if p == "" {
		return nil, false
	}
	// Ground Vietnamese cinnamon is Vietnamese cinnamon; only what is not known by its
	// place is asked for without it.
	known := slices.ContainsFunc(x.byPlain[p], func(e *entry[T]) bool { return e.says(ws) >= 0 })
	if bare := placeless(ws); len(bare) > 0 && !known {
		e, _ := c.findWords(bare)
		if e == nil || c.kind != "spirit" && (!byOrigin[e.name] || slices.Contains(otherPlants, p)) {
			return nil, false
		}
		return e, false
	}
	// What is forbidden is so by the name it is forbidden by: a loquat seed, not
	// the loquat.
	found := slices.DeleteFunc(slices.Clone(x.byPlain[p]), func(e *entry[T]) bool { return e.never && e.says(ws) < 0 })
	if len(found) == 1 && len(found) == len(x.byPlain[p]) {
		return found[0], false
	}
	// Several share the plain name: the one whose own name says most of what
	// was asked wins, if there is one.
	best, bestScore, tied := (*entry[T])(nil), -1, false
	for _, e := range found {
		score := e.says(ws)
		switch {
		case score > bestScore:
			best, bestScore, tied = e, score, false
		case score == bestScore:
			tied = true
		}
	}
	if tied || bestScore < 0 {
		return nil, false
	}
	return best, false
}

// says is the weight of the name that says most of what was asked, -1 when none
// is wholly among the words.
func (e *entry[T]) says(asked []string) int {
	score := -1
	for _, ws := range e.words() {
		score = max(score, covered(ws, asked))
	}
	return score
}

// covered weighs the words of a name when all of them were asked for, and is
// -1 otherwise.
func covered(name, asked []string) int {
	score := 0
	for _, w := range name {
		if !slices.Contains(asked, w) {
			return -1
		}
		score++
		if stateWords[w] {
			score += 2
		}
	}
	return score
}

// hint is an entry that may have been meant. Score runs from 0 to 1, where 1 is
// the very name.
type hint struct {
	name  string
	score float64
}

const (
	// leastLike is the score below which a name is not offered at all, and
	// mostHints how many are. Judgement: a list that is longer is not read.
	leastLike = 0.55
	mostHints = 5
	// clearlyAhead is the lead in score that makes one name the only one
	// offered.
	clearlyAhead = 0.15
)

// faintWords say of which sort a thing is or what it is like. A likeness in
// them alone is no likeness.
var faintWords = wordSet(`black white green red pink blue yellow brown golden gold dark light sweet bitter sour hot
	cold strong extra wild smoked candied instant bottled water spirit liqueur wine juice syrup oil milk cream
	sugar tea spice liquid long tip brewed brew pepper style vol mixed chai zest peel flesh pulp puree`)

// weightOf is what a word counts for when two names are compared.
func weightOf(w string) float64 {
	switch {
	case faintWords[w]:
		return 0.35
	case describing[w], strings.HasSuffix(w, "%"):
		return 0.3
	}
	return 1
}

// alike compares a word asked with one of the library: 1 for equal words, less by the share of letters that differ, and 0
// for words that no slip of the pen turns into each other.
func alike(a, b string) float64 {
	if a == b {
		return 1
	}
	long, short := max(len(a), len(b)), min(len(a), len(b))
	if short < 4 || long-short > 2 {
		return 0
	}
	d := strict.Edits(a, b)
	if d > 2 || d > 1 && (a[0] != b[0] || len(a) < 6) {
		return 0
	}
	return 1 - float64(d)/float64(long)
}

// hints lists the entries that a name may have meant, the likeliest first. What
// must not be steeped is offered for a slip of one letter only.
func (c *catalog[T]) hints(name string) []hint {
	ws := words(name)
	if len(ws) == 0 {
		return nil
	}
	asked := strings.Join(ws, "")
	total := 0.0
	for _, w := range ws {
		total += weightOf(w)
	}
	like := make(map[string][]float64) // of a word of the library to each word asked
	var out []hint
	for _, e := range c.entries {
		best := 0.0
		for _, kws := range e.words() {
			joined := strings.Join(kws, "")
			if e.never {
				if strict.Edits(asked, joined) <= 1 && len(asked) > 4 {
					best = max(best, alike(asked, joined))
				}
				continue
			}
			best = max(best, likeness(ws, total, kws, like))
			// Parted or joined in another way: "pepper corns", "lemon grss".
			if s := alike(asked, joined); s >= 0.75 {
				best = max(best, s)
			}
		}
		if best >= leastLike {
			out = append(out, hint{e.name, best})
		}
	}
	return ranked(out)
}

// likeness weighs the words that two names share, as a share of all their
// words; only words that say what a thing is can make them alike.
func likeness(asked []string, total float64, known []string, like map[string][]float64) float64 {
	shared, firm, all := 0.0, false, total
	used := make([]bool, len(asked))
	for _, k := range known {
		ls, ok := like[k]
		if !ok {
			ls = make([]float64, len(asked))
			for i, w := range asked {
				ls[i] = alike(w, k)
			}
			like[k] = ls
		}
		at, most := -1, 0.0
		for i, l := range ls {
			if !used[i] && l > most {
				at, most = i, l
			}
		}
		all += weightOf(k)
		if at < 0 {
			continue
		}
		used[at] = true
		shared += most * (weightOf(k) + weightOf(asked[at]))
		firm = firm || weightOf(k) == 1
	}
	if !firm {
		return 0
	}
	return shared / all
}

// ranked puts the likeliest first and keeps the near ones: where one is clearly
// nearest, that one alone.
func ranked(hs []hint) []hint {
	slices.SortStableFunc(hs, func(a, b hint) int {
		switch {
		case a.score > b.score:
			return -1
		case a.score < b.score:
			return 1
		}
		return strings.Compare(a.name, b.name)
	})
	out := hs[:0]
	for _, h := range hs {
		if len(out) == mostHints || len(out) > 0 && h.score < out[0].score-clearlyAhead {
			break
		}
		if !slices.ContainsFunc(out, func(o hint) bool { return o.name == h.name }) {
			out = append(out, h)
		}
	}
	return out
}

func hintNames(hs []hint) []string {
	var names []string
	for _, h := range hs {
		names = append(names, h.name)
	}
	return names
}
