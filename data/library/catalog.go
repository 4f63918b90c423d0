package library

import (
	"iter"
	"maps"
	"slices"
	"strings"
	"sync"
)

// catalog is all entries of one kind, by name.
type catalog[T any] struct {
	kind    string // "botanical", "ingredient", "spirit"
	entries []*entry[T]
	index   func() *index[T]
	swapped map[*entry[T]]*entry[T]
}

func newCatalog[T any](kind string, entries []*entry[T]) *catalog[T] {
	slices.SortFunc(entries, func(a, b *entry[T]) int { return strings.Compare(a.name, b.name) })
	return &catalog[T]{
		kind: kind, entries: entries,
		index: sync.OnceValue(func() *index[T] { return newIndex(entries) }),
	}
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

// says is the weight of the name that says most of what was asked, -1 when none
// is wholly among the words.
func (e *entry[T]) says(asked []string) int {
	score := -1
	for _, ws := range e.words() {
		score = max(score, covered(ws, asked))
	}
	return score
}

// index finds names by their words. Each name is filed under one of its words, so
// that whatever is asked for has to be held against a few names only.
type index[T any] struct {
	names []indexed[T] // by entry
	under map[string]*filed
}

// filed is a word of a name.
type filed struct {
	telling bool
	last    int32 // the last of the names filed under it, -1 for none
}

// indexed is one name of an entry.
type indexed[T any] struct {
	e      *entry[T]
	text   string
	ws     []string
	own    bool  // its name, not one of its other names
	before int32 // the name filed under the same word before it, -1 for none
}

func newIndex[T any](entries []*entry[T]) *index[T] {
	n := 0
	for _, e := range entries {
		n += 1 + len(e.names)
	}
	x := &index[T]{names: make([]indexed[T], 0, n), under: make(map[string]*filed, n)}
	all, files := make([]string, 0, 2*n), make([]filed, 0, n)
	for _, e := range entries {
		own := true
		for text := range e.all {
			from := len(all)
			all = appendWords(all, text)
			ws := all[from:len(all):len(all)]
			if len(ws) == 0 {
				continue // nobody can ask for it
			}
			for _, w := range ws {
				if x.under[w] == nil {
					files = append(files, filed{telling(w), -1})
					x.under[w] = &files[len(files)-1]
				}
			}
			f := x.under[filedUnder(ws, func(w string) bool { return x.under[w].telling })]
			x.names = append(x.names, indexed[T]{e, text, ws, own, f.last})
			f.last, own = int32(len(x.names)-1), false
		}
	}
	return x
}

// filed goes through the names filed with these words, the last first.
func (x *index[T]) filed(word string) iter.Seq2[int32, *indexed[T]] {
	return func(yield func(int32, *indexed[T]) bool) {
		f := x.under[word]
		if f == nil {
			return
		}
		for i := f.last; i >= 0 && yield(i, &x.names[i]); i = x.names[i].before {
		}
	}
}

// filedUnder is the first in the alphabet of the words that say what a thing is,
// or of all where none does.
func filedUnder(ws []string, telling func(string) bool) string {
	least := ""
	for _, w := range ws {
		if (least == "" || w < least) && telling(w) {
			least = w
		}
	}
	if least == "" && len(ws) > 0 {
		return slices.Min(ws)
	}
	return least
}

// has reports whether a word occurs in any name.
func (x *index[T]) has(word string) bool {
	return x.under[word] != nil
}

// pick is the entry of which one of the names filed with these words fits. Names
// come first, so that no other name can hide one.
func (x *index[T]) pick(ws []string, fits func(n *indexed[T]) bool) *entry[T] {
	var name, other *entry[T]
	for _, n := range x.filed(filedUnder(ws, telling)) {
		switch {
		case !fits(n):
		case !n.own:
			other = n.e
		case name == nil:
			name = n.e
		}
	}
	if name != nil {
		return name
	}
	return other
}

// same is the entry with a name of the same words in whatever order.
func (x *index[T]) same(ws []string) *entry[T] {
	return x.pick(ws, func(n *indexed[T]) bool { return sameWords(n.ws, ws) })
}

// likewise lists the entries with a name that is the same but for describing words.
func (x *index[T]) likewise(ws []string) (out []*entry[T]) {
	p := plain(ws)
	if len(p) == 0 {
		return nil
	}
	for _, n := range x.filed(filedUnder(p, telling)) {
		if sameWords(plain(n.ws), p) && !slices.Contains(out, n.e) {
			out = append(out, n.e)
		}
	}
	return out
}

// among are the names that are wholly among the words asked, entry by entry.
func (x *index[T]) among(asked []string) iter.Seq[*indexed[T]] {
	var all []int32
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
	return func(yield func(*indexed[T]) bool) {
		for _, j := range all {
			if !yield(&x.names[j]) {
				return
			}
		}
	}
}

// find resolves a name. exact is false when describing words were dropped.
func (c *catalog[T]) find(name string) (e *entry[T], exact bool) {
	e, exact = c.look(name)
	return c.now(e), exact
}

// written is the entry of which a name is one as it stands.
func (c *catalog[T]) written(name string) *entry[T] {
	name = strings.TrimSpace(name)
	return c.index().pick(words(name), func(n *indexed[T]) bool { return strings.EqualFold(n.text, name) })
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
	x := c.index()
	var out [][]string
	for i, a := range ws {
		for j, b := range ws {
			if i != j && x.has(a+b) {
				out = append(out, append(without(ws, i, j), a+b))
			}
		}
		for cut := 3; cut+3 <= len(a); cut++ {
			first, last := singular(a[:cut]), a[cut:]
			if !x.has(first) || !x.has(last) {
				continue
			}
			// Passionfruit pulp is passion fruit pulp, but blackberry tea no black tea.
			parted := append(without(ws, i, i), first, last)
			if !x.has(a) || x.same(parted) != nil {
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
	x := c.index()
	if e := x.same(ws); e != nil {
		return e, true
	}
	all := x.likewise(ws)
	// Ground Vietnamese cinnamon is Vietnamese cinnamon; only what is not known by its
	// place is asked for without it.
	known := slices.ContainsFunc(all, func(e *entry[T]) bool { return e.says(ws) >= 0 })
	if bare := placeless(ws); len(bare) > 0 && !known && len(plain(ws)) > 0 {
		e, _ := c.findWords(bare)
		if e == nil || c.kind != "spirit" && (!byOrigin[e.name] || slices.Contains(otherPlants, key(plain(ws)))) {
			return nil, false
		}
		return e, false
	}
	// What is forbidden is so by the name it is forbidden by: a loquat seed, not
	// the loquat.
	found := slices.DeleteFunc(slices.Clone(all), func(e *entry[T]) bool { return e.never && e.says(ws) < 0 })
	if len(found) == 1 && len(all) == 1 {
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

// sameWords reports whether two names have the same words.
func sameWords(a, b []string) bool { return len(a) > 0 && covered(a, b) >= 0 && covered(b, a) >= 0 }

// never finds the forbidden entry one of whose names is wholly among the words
// asked: "smoked bacon fat" is bacon. It only ever says no, so it may err.
func (c *catalog[T]) never(name string) *entry[T] {
	ws := words(name)
	for _, p := range innocent {
		if slices.Contains(ws, p[0]) && slices.Contains(ws, p[1]) {
			ws = slices.DeleteFunc(ws, func(w string) bool { return w == p[0] })
		}
	}
	for n := range c.index().among(ws) {
		if n.e.never {
			return c.now(n.e)
		}
	}
	return nil
}
