package library

import (
	"iter"
	"slices"
	"steepbook/data/names"
	"strings"
	"sync"
)

// index finds the entries of one kind by name; an entry is its number among them, -1
// where there is none. Each name is filed under one of its words, so that whatever
// is asked for has to be held against a few names only.
type index struct {
	kind    string // "botanical", "ingredient", "spirit", "word"
	entries []*header
	names   []called // entry by entry
	from    []int    // the first name of each entry, and the end
	under   map[string]*filed
	hinted  sync.Map // by name, what hints
	banned  sync.Map // and never
	wrote   sync.Map // and written
	found   sync.Map // and find said
}

// filed is a word of a name.
type filed struct {
	telling bool
	last    int32 // the last of the names filed under it, -1 for none
}

// called is one name of an entry.
type called struct {
	entry  int
	text   string
	ws     []string
	before int // the name filed under the same word before it, -1 for none
}

func newIndex(kind string, entries []*header) *index {
	n := 0
	for _, e := range entries {
		n += 1 + len(e.names)
	}
	x := &index{
		kind: kind, entries: entries, names: make([]called, 0, n),
		from: make([]int, 0, len(entries)+1), under: make(map[string]*filed, n*4/5),
	}
	// A name has some one and a half to two words, and few of them for itself.
	all, files := make([]string, 0, n*9/5), make([]filed, 0, n*4/5)
	var of []*filed
	for i, e := range entries {
		x.from = append(x.from, len(x.names))
		for text := range e.all {
			start := len(all)
			all = names.Append(all, text)
			ws := all[start:len(all):len(all)]
			of = of[:0]
			for _, w := range ws {
				f := x.under[w]
				if f == nil {
					files = append(files, filed{telling(w), -1})
					f = &files[len(files)-1]
					x.under[w] = f
				}
				of = append(of, f)
			}
			before := -1
			if at := fileUnder(ws, func(j int) bool { return of[j].telling }); at >= 0 {
				before, of[at].last = int(of[at].last), int32(len(x.names))
			}
			x.names = append(x.names, called{i, text, ws, before})
		}
	}
	x.from = append(x.from, len(x.names))
	return x
}

// fileUnder is where among the words of a name the one is that it is filed under: the
// first in the alphabet of those that say what a thing is, or of all where none does;
// -1 where there are none.
func fileUnder(ws []string, telling func(i int) bool) int {
	least, said := -1, false
	for i, w := range ws {
		tells := telling(i)
		if least < 0 || tells && !said || tells == said && w < ws[least] {
			least, said = i, tells
		}
	}
	return least
}

// filedUnder is that word of the words asked.
func filedUnder(ws []string) string {
	if at := fileUnder(ws, func(i int) bool { return telling(ws[i]) }); at >= 0 {
		return ws[at]
	}
	return ""
}

// filed goes through the names filed under a word, the last first.
func (x *index) filed(word string) iter.Seq2[int, *called] {
	return func(yield func(int, *called) bool) {
		i := -1
		if f := x.under[word]; f != nil {
			i = int(f.last)
		}
		for i >= 0 && yield(i, &x.names[i]) {
			i = x.names[i].before
		}
	}
}

// pick is the entry of which one of the names filed with these words fits. Names
// come first, so that no other name can hide one.
func (x *index) pick(ws []string, fits func(n *called) bool) int {
	name, other := -1, -1
	for i, n := range x.filed(filedUnder(ws)) {
		switch {
		case !fits(n):
		case i != x.from[n.entry]:
			other = n.entry
		case name < 0:
			name = n.entry
		}
	}
	if name >= 0 {
		return name
	}
	return other
}

// written is the entry of which a name is one as it stands.
func (x *index) written(name string) int {
	return remembered(&x.wrote, name, func() int {
		name := strings.TrimSpace(name)
		return x.pick(words(name), func(n *called) bool { return strings.EqualFold(n.text, name) })
	})
}

// same is the entry with a name of the same words in whatever order.
func (x *index) same(ws []string) int {
	return x.pick(ws, func(n *called) bool { return sameWords(n.ws, ws) })
}

// likewise lists the entries with a name that is the same but for describing words.
func (x *index) likewise(ws []string) (out []int) {
	p := plain(ws)
	for _, n := range x.filed(filedUnder(p)) {
		if sameWords(plain(n.ws), p) && !slices.Contains(out, n.entry) {
			out = append(out, n.entry)
		}
	}
	return out
}

// among are the names that are wholly among the words asked, entry by entry.
func (x *index) among(asked []string) (out []*called) {
	var all []int
	for i, w := range asked {
		if slices.Contains(asked[:i], w) {
			continue
		}
		for j, n := range x.filed(w) {
			if covered(n.ws, asked) >= 0 {
				all = append(all, j)
			}
		}
	}
	slices.Sort(all)
	for _, j := range all {
		out = append(out, &x.names[j])
	}
	return out
}

// within are the names, one an entry, that are wholly among the words asked and say
// most; what must not be steeped is left out.
func (x *index) within(asked []string) (out []*called) {
	for _, n := range x.among(asked) {
		last := len(out) - 1
		switch {
		case x.entries[n.entry].never || !slices.ContainsFunc(n.ws, telling):
		case last < 0 || out[last].entry != n.entry:
			out = append(out, n)
		case len(n.ws) > len(out[last].ws):
			out[last] = n
		}
	}
	return out
}

// partsOf lists the names of one word, of four letters or more, that a word
// begins or ends with.
func (x *index) partsOf(word string) (out []string) {
	add := func(part string) {
		if x.same([]string{part}) >= 0 {
			out = append(out, part)
		}
	}
	for n := 4; n < len(word); n++ {
		add(word[:n])
		add(word[len(word)-n:])
	}
	return out
}

// says is the weight of the name of an entry that says most of what was asked, -1
// when none is wholly among the words.
func (x *index) says(entry int, asked []string) int {
	score := -1
	for _, n := range x.names[x.from[entry]:x.from[entry+1]] {
		score = max(score, covered(n.ws, asked))
	}
	return score
}

// finding is what find says of a name.
type finding struct {
	entry int
	exact bool // false when describing words were dropped
}

// find resolves a name.
func (x *index) find(name string) (entry int, exact bool) {
	f := remembered(&x.found, name, func() (f finding) {
		f.entry, f.exact = x.seek(name)
		return f
	})
	return f.entry, f.exact
}

func (x *index) seek(name string) (entry int, exact bool) {
	// As written first: "cream of coconut" is not "coconut cream".
	if e := x.written(name); e >= 0 {
		return e, true
	}
	ws := words(name)
	if e, exact := x.findWords(ws); e >= 0 {
		return e, exact
	}
	// "pepper corns" are peppercorns, "passionfruit" is passion fruit.
	found := -1
	for _, other := range x.respaced(ws) {
		switch e, ok := x.findWords(other); {
		case e < 0:
		case found >= 0 && found != e:
			return -1, false
		default:
			found, exact = e, ok
		}
	}
	return found, exact
}

// respaced lists the words of a name with two of them joined, or one parted,
// where that makes words the library has.
func (x *index) respaced(ws []string) (out [][]string) {
	has := func(w string) bool { return x.under[w] != nil }
	for i, a := range ws {
		for j, b := range ws {
			if i != j && has(a+b) {
				out = append(out, append(without(ws, i, j), a+b))
			}
		}
		for cut := 3; cut+3 <= len(a); cut++ {
			first, last := names.Singular(a[:cut]), a[cut:]
			if !has(first) || !has(last) {
				continue
			}
			// Passionfruit pulp is passion fruit pulp, but blackberry tea no black tea.
			parted := append(without(ws, i, i), first, last)
			if !has(a) || x.same(parted) >= 0 {
				out = append(out, parted)
			}
		}
	}
	return out
}

func without(ws []string, i, j int) (out []string) {
	for k, w := range ws {
		if k != i && k != j {
			out = append(out, w)
		}
	}
	return out
}

// findWords resolves the words of a name.
func (x *index) findWords(ws []string) (entry int, exact bool) {
	if e := x.same(ws); e >= 0 {
		return e, true
	}
	all := x.likewise(ws)
	// Ground Vietnamese cinnamon is Vietnamese cinnamon; only what is not known by its
	// place is asked for without it.
	known := slices.ContainsFunc(all, func(e int) bool { return x.says(e, ws) >= 0 })
	if bare := placeless(ws); len(bare) > 0 && !known && len(plain(ws)) > 0 {
		e, _ := x.findWords(bare)
		if e >= 0 && x.kind != "spirit" &&
			(!byOrigin(x.entries[e].name) || otherPlants(names.Key(plain(ws)))) {
			return -1, false
		}
		return e, false
	}
	if len(all) == 1 && !x.entries[all[0]].never {
		return all[0], false
	}
	// Several share the plain name: the one whose own name says most of what was asked
	// wins, if there is one. What is forbidden is so by the name it is forbidden by: a
	// loquat seed, not the loquat.
	best, most := -1, -1
	for _, e := range all {
		switch score := x.says(e, ws); {
		case score > most:
			best, most = e, score
		case score == most:
			best = -1
		}
	}
	return best, false
}

// never finds the forbidden entry one of whose names is wholly among the words
// asked, or among what they may be forms of: "smoked bacon fat" is bacon. It only ever
// says no, so it may err.
func (x *index) never(name string) int {
	return remembered(&x.banned, name, func() int { return x.ban(name) })
}

func (x *index) ban(name string) int {
	ws := words(name)
	ws = slices.DeleteFunc(slices.Clone(ws), func(w string) bool {
		return slices.ContainsFunc(innocent()[w], func(with string) bool { return slices.Contains(ws, with) })
	})
	forms := slices.DeleteFunc(inflected(ws), func(w string) bool { return x.under[w] == nil })
	for _, ws := range [][]string{ws, forms} {
		for _, n := range x.among(ws) {
			if x.entries[n.entry].never {
				return n.entry
			}
		}
	}
	switch {
	case x.kind != "botanical":
	case x.neatOil(ws):
		return x.same(words("essential oil"))
	case anyOf(ws, alcohol) && anyOf(ws, noFoodShop), anyOf(inflected(ws), firstRun) && anyOf(ws, distilled):
		return x.same(words("poisonous alcohol"))
	default:
		return x.stoneOf(ws)
	}
	return -1
}

// stoneOf is the forbidden entry of the stones, kernels or pips of a known fruit, beside its name
// or in one word with it, in whatever languages: that which says so of the fruit. So are those that it was
// crushed with, and of some fruits those that only lie with it.
func (x *index) stoneOf(ws []string) int {
	opened := anyOf(inflected(ws), opensStones)
	for i, w := range ws {
		of := without(ws, i, i)
		whole := w == "unpitted" || w == "unseeded"
		stone := stoneWords(w) || whole
		for _, end := range stoneEndings() {
			if s, ok := strings.CutSuffix(w, end); ok && len(s) >= leastStem && x.under[w] == nil {
				of, stone = append(of, s), true
			}
		}
		if !stone {
			continue
		}
		named := x.within(inflected(of))
		for _, fruit := range named {
			// A cornelian cherry is no cherry, unless there are cherries besides; ground cherries may be
			// ground.
			said := slices.DeleteFunc(slices.Clone(ws),
				func(w string) bool { return !slices.Contains(fruit.ws, w) })
			if len(said) <= len(fruit.ws) && slices.ContainsFunc(named, func(n *called) bool {
				return smaller(fruit.ws, [][]string{plain(n.ws)})
			}) {
				continue
			}
			for e, h := range x.entries {
				if h.never && slices.Contains(h.stonesOf, x.entries[fruit.entry].name) &&
					(!whole || opened || h.wholeToo) {
					return e
				}
			}
		}
	}
	return -1
}

// neatOil reports whether words name the oil of a plant that is known and gives none to cook
// with: what is sold by that name is distilled.
func (x *index) neatOil(ws []string) bool {
	var of []string
	oil := false
	for _, w := range ws {
		stem := w
		for _, end := range oilEndings() {
			if s, ok := strings.CutSuffix(w, end); ok && len(s) >= leastStem && x.under[w] == nil {
				stem = s
			}
		}
		oil = oil || oilWords(w) || stem != w
		switch {
		case fattyOils(stem):
			return false
		case !oilWords(w):
			of = append(of, stem)
		}
	}
	named := x.within(inflected(of))
	return oil && len(named) > 0 && !slices.ContainsFunc(named, func(n *called) bool {
		return anyOf(words(x.entries[n.entry].name), fattyOils) // filbert is hazelnut
	})
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
		if stateWords(w) {
			score += 2
		}
	}
	return score
}

// sameWords reports whether two names have the same words.
func sameWords(a, b []string) bool { return len(a) > 0 && covered(a, b) >= 0 && covered(b, a) >= 0 }
