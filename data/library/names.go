package library

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"steepbook/data/strict"
)

// The names of things are compared as sets of singular words, so that
// "zest of lime", "Lime zest" and "limes, zest" are one name.

// words splits a name into normalised words in the order written.
func words(name string) []string {
	fields := strings.FieldsFunc(leftIn(fold(name)), func(r rune) bool {
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

// leftIn turns "with stones", "stones in" and "with ribs" into one word each:
// cherries with their stones are fruit, cherry stones are not.
func leftIn(s string) string {
	if !strings.Contains(s, "with ") && !strings.Contains(s, " in") {
		return s
	}
	s = withParts.ReplaceAllStringFunc(s, func(m string) string {
		switch m = strings.TrimRight(m[strings.LastIndexByte(m, ' ')+1:], "s"); m {
		case "rib":
			return "unribbed"
		case "seed", "pip":
			return "unseeded"
		}
		return "unpitted"
	})
	return partsIn.ReplaceAllString(s, "unpitted")
}

var (
	withParts = regexp.MustCompile(`\bwith (?:the |their |its )?(?:stone|pit|seed|pip|rib)s?\b`)
	partsIn   = regexp.MustCompile(`\b(?:stone|pit)s? (?:left )?in\b`)
)

// key is the set of words as one string.
func key(ws []string) string {
	ws = slices.Clone(ws)
	slices.Sort(ws)
	return strings.Join(slices.Compact(ws), " ")
}

func nameKey(name string) string { return key(words(name)) }

// fold lowers a name and takes accents and apostrophes off.
func fold(s string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case '\'', '’', '`':
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

var accents = []struct {
	from string
	to   rune
}{
	{"àáâãäåā", 'a'}, {"çćč", 'c'}, {"èéêëēě", 'e'}, {"ìíîïī", 'i'}, {"ñń", 'n'},
	{"òóôõöøō", 'o'}, {"ùúûüū", 'u'}, {"ýÿ", 'y'}, {"šś", 's'}, {"žźż", 'z'},
}

var stopWords = map[string]bool{"of": true, "the": true, "a": true, "an": true, "and": true, "with": true, "in": true, "from": true, "or": true}

// spellings maps a singular word to the spelling used in the data.
var spellings = map[string]string{
	"chili": "chilli", "chile": "chilli", "chilly": "chilli", "chillie": "chilli",
	"liquorice": "licorice", "whisky": "whiskey", "yoghurt": "yogurt", "sulphite": "sulfite",
	"mandarine": "mandarin", "vanille": "vanilla", "cardamon": "cardamom", "cardamum": "cardamom",
	"flavour": "flavor", "colour": "color", "tumeric": "turmeric", "rosehip": "rose hip",
	"zested": "zest", "dry": "dried", "rind": "peel", "powdered": "powder", "caster": "castor",
	"icing": "powder", "confectioner": "powder", "gramme": "gram", "litre": "liter",
	"pimento": "allspice", "pimenta": "allspice",
	"dehydrated": "dried", "desiccated": "dried", "sundried": "dried",
	"noyaux": "noyau", "mould": "mold", "crystallised": "crystallized",
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
	"leaves": "leaf", "halves": "half", "cookies": "cookie", "molasses": "molasses",
	"lees": "lees", "sloes": "sloe", "cloves": "clove", "chives": "chive", "olives": "olive",
	"allspice": "allspice", "haws": "haw", "loaves": "loaf", "hips": "hip", "quinces": "quince",
	"swiss": "swiss", "citrus": "citrus", "cassis": "cassis", "brandies": "brandy",
	"eaux": "eau", "grains": "grain", "oats": "oat", "bitters": "bitters",
}

// describing words say how a thing is cut, grown or kept. A name that is not
// known as written is tried without them.
var describing = wordSet(`whole ground powder crushed cracked broken chopped sliced slice
	grated minced strip stick pod bud seed berry leaf root bark piece chip toasted roasted
	bruised split halved half quartered fresh freshly dried organic unwaxed waxed ripe raw good
	new old large small medium big cut thread petal flower blossom sprig peeled unpeeled finely
	coarsely coarse fine pure squeezed shredded crumbled picked washed bunch head shelled
	unsweetened untreated husked cured loose quill kernel bean fruit lightly deseeded pitted stoned
	unpitted unseeded unribbed`)

func wordSet(s string) map[string]bool {
	m := make(map[string]bool)
	for _, w := range strings.Fields(s) {
		m[w] = true
	}
	return m
}

// plain drops describing words, strengths ("57%") and bare numbers.
func plain(ws []string) []string {
	var out []string
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
	get   func() (*T, error)
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
	byKey   map[string]*entry[T]
	byPlain map[string][]*entry[T]
}

func newCatalog[T any](kind string, entries []*entry[T]) *catalog[T] {
	c := &catalog[T]{
		kind:    kind,
		entries: entries,
		asIs:    make(map[string]*entry[T], 4*len(entries)),
		byKey:   make(map[string]*entry[T], 4*len(entries)),
		byPlain: make(map[string][]*entry[T], 4*len(entries)),
	}
	slices.SortFunc(c.entries, func(a, b *entry[T]) int { return strings.Compare(a.name, b.name) })
	// Names first, so that no synonym can hide a name.
	for _, e := range c.entries {
		c.asIs[strings.ToLower(e.name)] = e
		c.byKey[nameKey(e.name)] = e
	}
	for _, e := range c.entries {
		for n := range e.all {
			if low := strings.ToLower(n); c.asIs[low] == nil {
				c.asIs[low] = e
			}
			ws := words(n)
			if k := key(ws); c.byKey[k] == nil {
				c.byKey[k] = e
			}
			if k := key(plain(ws)); k != "" && !slices.Contains(c.byPlain[k], e) {
				c.byPlain[k] = append(c.byPlain[k], e)
			}
		}
	}
	return c
}

// find resolves a name. exact is false when describing words were dropped.
func (c *catalog[T]) find(name string) (e *entry[T], exact bool) {
	// As written first: "cream of coconut" is not "coconut cream".
	if e := c.asIs[strings.ToLower(strings.TrimSpace(name))]; e != nil {
		return e, true
	}
	ws := words(name)
	if len(ws) == 0 {
		return nil, false
	}
	if e := c.byKey[key(ws)]; e != nil {
		return e, true
	}
	p := key(plain(ws))
	if p == "" {
		return nil, false
	}
	// What is forbidden is so by the name it is forbidden by: a loquat seed, not
	// the loquat.
	found := slices.DeleteFunc(slices.Clone(c.byPlain[p]), func(e *entry[T]) bool { return e.never && e.says(ws) < 0 })
	if len(found) == 1 && len(found) == len(c.byPlain[p]) {
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
	for n := range e.all {
		score = max(score, covered(words(n), asked))
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

// slip is the name that differs from what was written by no more than a slip of
// the pen, "" when there is none.
func (c *catalog[T]) slip(name string) string {
	asked := strings.Join(words(name), " ")
	for _, e := range c.entries {
		for n := range e.all {
			if _, ok := strict.Nearest(asked, []string{strings.Join(words(n), " ")}); ok {
				return e.name
			}
		}
	}
	return ""
}

// near lists up to four names a maker may have meant, the likeliest first.
func (c *catalog[T]) near(name string) []string {
	var out []string
	add := func(n string) {
		if n != "" && !slices.Contains(out, n) && len(out) < 4 {
			out = append(out, n)
		}
	}
	ws := words(name)
	asked := strings.Join(ws, " ")
	var known []string
	owner := make(map[string]string)
	for _, e := range c.entries {
		for n := range e.all {
			k := strings.Join(words(n), " ")
			if _, ok := owner[k]; !ok {
				known = append(known, k)
				owner[k] = e.name
			}
		}
	}
	if k, ok := strict.Nearest(asked, known); ok {
		add(owner[k])
	}
	// What must not be steeped is offered for a slip of the pen only.
	offer := make(map[string]bool)
	for _, e := range c.entries {
		offer[e.name] = !e.never
	}
	for _, e := range c.byPlain[key(plain(ws))] {
		if offer[e.name] {
			add(e.name)
		}
	}
	// Then by shared words, one slip of the pen allowed in each.
	type ranked struct {
		name  string
		score float64
	}
	var rs []ranked
	vocabulary := make(map[string]bool)
	for _, k := range known {
		for _, w := range strings.Fields(k) {
			vocabulary[w] = true
		}
	}
	vs := make([]string, 0, len(vocabulary))
	for w := range vocabulary {
		vs = append(vs, w)
	}
	slices.Sort(vs)
	fixed := slices.Clone(ws)
	for i, w := range fixed {
		if !vocabulary[w] {
			if v, ok := strict.Nearest(w, vs); ok {
				fixed[i] = v
			}
		}
	}
	for _, k := range known {
		kws := strings.Fields(k)
		score, shared := 0.0, false
		for _, w := range fixed {
			if slices.Contains(kws, w) {
				if describing[w] {
					score += 0.3
				} else {
					score++
					shared = true
				}
			}
		}
		if shared {
			rs = append(rs, ranked{owner[k], score / float64(len(fixed)+len(kws))})
		}
	}
	slices.SortStableFunc(rs, func(a, b ranked) int {
		switch {
		case a.score > b.score:
			return -1
		case a.score < b.score:
			return 1
		}
		return strings.Compare(a.name, b.name)
	})
	for _, r := range rs {
		if offer[r.name] {
			add(r.name)
		}
	}
	return out
}
