package library

import (
	"iter"
	"math/bits"
	"slices"
	"steepbook/data/names"
	"strings"
	"sync"
	"sync/atomic"
)

// index finds the entries of one kind by name; an entry is its number among them, -1
// where there is none. Each word leads to the names that have it.
type index struct {
	kind    string // "botanical", "ingredient", "spirit", "word"
	entries []*header
	names   []called // entry by entry
	from    []int    // the first name of each entry, and the end
	keys    []uint16 // of the words of the names, one name after the other
	of      []int32  // the name that each is of
	before  []int32  // the word before it in the same place, -1 for none
	last    []int32  // of each place
	hinted  sync.Map // by name, what hints
	banned  sync.Map // and never
	wrote   sync.Map // and written
	found   sync.Map // and find said
}

// called is one name of an entry.
type called struct {
	entry  int
	text   string
	parted atomic.Pointer[[]string]
}

// words are those of the name, parted when they are first asked for: few ever are.
func (n *called) words() []string {
	if ws := n.parted.Load(); ws != nil {
		return *ws
	}
	ws := words(n.text)
	n.parted.Store(&ws)
	return ws
}

func newIndex(kind string, entries []*header) *index {
	x := &index{kind: kind, entries: entries, from: make([]int, 1+len(entries))}
	for i, e := range entries {
		x.from[i+1] = x.from[i] + 1 + len(e.names)
	}
	n := x.from[len(entries)]
	x.names, x.last = make([]called, n), slices.Repeat([]int32{-1}, 1<<bits.Len(uint(n)))
	// A name has some one and a half to two words.
	x.keys, x.of, x.before = make([]uint16, 0, 2*n), make([]int32, 0, 2*n), make([]int32, 0, 2*n)
	for i, e := range entries {
		at := x.from[i]
		x.names[at].entry, x.names[at].text = i, e.name
		for k, text := range e.names {
			x.names[at+k+1].entry, x.names[at+k+1].text = i, text
		}
		keys := e.keys
		if keys == "" {
			keys = partNames(e)
		}
		for ; keys != ""; keys = keys[2:] {
			key := uint16(keys[0]) | uint16(keys[1])<<8
			p := x.place(key)
			x.of, x.before = append(x.of, int32(at)), append(x.before, x.last[p])
			x.last[p] = int32(len(x.keys))
			x.keys = append(x.keys, key&^endsName)
			if key&endsName != 0 {
				at++
			}
		}
	}
	return x
}

// place is where words of a key are looked for, with few others.
func (x *index) place(key uint16) int { return int(key&^endsName) & (len(x.last) - 1) }

// each goes through where a word stands, the last first.
func (x *index) each(w string) iter.Seq[int32] {
	return func(yield func(int32) bool) {
		key := keyOf(w)
		for i := x.last[x.place(key)]; i >= 0; i = x.before[i] {
			if x.keys[i] == key && slices.Contains(x.names[x.of[i]].words(), w) && !yield(i) {
				return
			}
		}
	}
}

// has reports whether a word is one of any name.
func (x *index) has(w string) bool {
	for range x.each(w) {
		return true
	}
	return false
}

// saying goes through the names that have all of some words, the last first: few have the longest.
func (x *index) saying(ws []string) iter.Seq2[int, *called] {
	return func(yield func(int, *called) bool) {
		longest := ""
		for _, w := range ws {
			if len(w) > len(longest) {
				longest = w
			}
		}
		for i := range x.each(longest) {
			n := &x.names[x.of[i]]
			if covered(ws, n.words()) >= 0 && !yield(int(x.of[i]), n) {
				return
			}
		}
	}
}

// pick is the entry of which one of the names with these words fits. Names
// come first, so that no other name can hide one.
func (x *index) pick(ws []string, fits func(n *called) bool) int {
	name, other := -1, -1
	for i, n := range x.saying(ws) {
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
	return x.pick(ws, func(n *called) bool { return covered(n.words(), ws) >= 0 })
}

// likewise lists the entries with a name that is the same but for describing words.
func (x *index) likewise(ws []string) (out []int) {
	p := plain(ws)
	for _, n := range x.saying(p) {
		if covered(plain(n.words()), p) >= 0 && !slices.Contains(out, n.entry) {
			out = append(out, n.entry)
		}
	}
	return out
}

// among are the names that are wholly among the words asked, entry by entry.
func (x *index) among(asked []string) (out []*called) {
	var all []int32
	for i, w := range asked {
		if slices.Contains(asked[:i], w) {
			continue
		}
		for at := range x.each(w) {
			j := x.of[at]
			if begins := at == 0 || x.of[at-1] != j; begins && covered(x.names[j].words(), asked) >= 0 {
				all = append(all, j)
			}
		}
	}
	slices.Sort(all)
	for _, j := range slices.Compact(all) { // another word of it may have the same key
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
		case x.entries[n.entry].never || !slices.ContainsFunc(n.words(), telling):
		case last < 0 || out[last].entry != n.entry:
			out = append(out, n)
		case len(n.words()) > len(out[last].words()):
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
	for i := x.from[entry]; i < x.from[entry+1]; i++ {
		score = max(score, covered(x.names[i].words(), asked))
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
	for i, a := range ws {
		for j, b := range ws {
			if i != j && x.has(a+b) {
				out = append(out, append(without(ws, i, j), a+b))
			}
		}
		for cut := 3; cut+3 <= len(a); cut++ {
			first, last := names.Singular(a[:cut]), a[cut:]
			if !x.has(first) || !x.has(last) {
				continue
			}
			// Passionfruit pulp is passion fruit pulp, but blackberry tea no black tea.
			parted := append(without(ws, i, i), first, last)
			if !x.has(a) || x.same(parted) >= 0 {
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
	forms := slices.DeleteFunc(inflected(ws), func(w string) bool { return !x.has(w) })
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
			if s, ok := strings.CutSuffix(w, end); ok && len(s) >= leastStem && !x.has(w) {
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
				func(w string) bool { return !slices.Contains(fruit.words(), w) })
			if len(said) <= len(fruit.words()) && slices.ContainsFunc(named, func(n *called) bool {
				return smaller(fruit.words(), [][]string{plain(n.words())})
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
			if s, ok := strings.CutSuffix(w, end); ok && len(s) >= leastStem && !x.has(w) {
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
