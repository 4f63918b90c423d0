package library

import (
	"fmt"
	"maps"
	"slices"
	"sort"
	"strings"
	"sync"
	"unicode/utf8"

	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// hint is an entry that may have been meant. Score runs from 0 to 1, where 1 is
// the very name.
type hint struct {
	name  string
	score float64
	never bool // it must not be steeped
}

const (
	// leastLike is the score below which a name is not offered at all, and
	// mostHints how many are. Judgement: a list that is longer is not read.
	leastLike = 0.55
	mostHints = 5
	// clearlyAhead is the lead in score that makes one name the only one
	// offered.
	clearlyAhead = 0.15
	// shortWord is the length, in letters, up to which a word may be one that only joins others.
	shortWord = 3
)

var (
	faintWords      = wordSet("faint")
	chemicalEndings = wordList("chemical ending")
)

// weightOf is what a word counts for when two names are compared.
func weightOf(w string) float64 {
	switch {
	case faintWords(w):
		return 0.35
	case describing(w), strings.HasSuffix(w, "%"):
		return 0.3
	}
	return 1
}

// alike compares a word asked with one of the library: 1 for equal words, less by the
// share of letters that differ, and 0 for words that no slip of the pen turns into each
// other.
func alike(a, b string) float64 {
	if a == b {
		return 1
	}
	long, short := max(len(a), len(b)), min(len(a), len(b))
	if short < 4 || long-short > 2 {
		return 0
	}
	most := 2
	if a[0] != b[0] || len(a) < 6 {
		most = 1
	}
	d := strict.Edits(a, b, most)
	if d > most {
		return 0
	}
	return 1 - float64(d)/float64(long)
}

// slip reports whether a word of the library may have been meant by one that is none:
// the slips that alike counts, of short words one, or the vowels left out or changed.
func slip(a, b string) bool {
	most := 1
	if min(len(a), len(b)) >= 6 {
		most = 2
	}
	if min(len(a), len(b)) < 3 || max(len(a), len(b)) > min(len(a), len(b))+most+1 {
		return false
	}
	return strict.Edits(a, b, most) <= most || len(consonants(a)) > 1 && consonants(a) == consonants(b)
}

func consonants(w string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune("aeiouy", r) {
			return -1
		}
		return r
	}, w)
}

// Spelt is the kin of all that a name may be a slip of: each word that the library does
// not have is read as every word it has within that slip, and single letters are joined. The seeds
// of a plant are no slip of their oil, nor is whose it is one of anything.
func (l *Library) Spelt(name string) Kin {
	return remembered(&l.spelt, name, func() (k Kin) {
		ws := words(strings.Join(slices.DeleteFunc(strings.Fields(name), owner), " "))
		all := []*index{l.botanicals().index(), l.ingredients().index(), l.spirits().index(),
			l.tables.meanings().index()}
		has := func(w string) bool {
			return slices.ContainsFunc(all, func(x *index) bool { return x.has(w) })
		}
		joined := strings.Join(ws, "")
		if len(ws) > 1 && has(joined) {
			k = l.Kin(joined)
		}
		for i, w := range ws {
			if !telling(w) || has(w) {
				continue
			}
			meant := map[string]bool{}
			for _, x := range all {
				for i := range x.names {
					for _, known := range x.names[i].words() {
						if !meant[known] && slip(w, known) && telling(known) &&
							!(ends(w, stoneEndings()) && ends(known, oilEndings())) {
							meant[known] = true
						}
					}
				}
			}
			for _, m := range slices.Sorted(maps.Keys(meant)) {
				said := slices.Clone(ws)
				said[i] = m
				k = k.and(l.findKin(strings.Join(said, " ")))
			}
		}
		return k
	})
}

// owner reports whether a word says whose something is.
func owner(word string) bool {
	return strings.HasSuffix(word, "'s") || strings.HasSuffix(word, "’s") || strings.HasSuffix(word, "s'")
}

// hints lists the entries that a name may have meant, the likeliest first. What
// must not be steeped is offered for a slip of one letter only, one a word.
func (x *index) hints(name string) []hint {
	return remembered(&x.hinted, name, func() []hint { return x.hint(name) })
}

func (x *index) hint(name string) []hint {
	ws := words(name)
	if len(ws) == 0 || slices.ContainsFunc(ws, x.chemical) {
		return nil
	}
	asked := strings.Join(ws, "")
	total := 0.0
	for _, w := range ws {
		total += weightOf(w)
	}
	like := make(map[string][]float64) // of a word of the library to each word asked
	out := make([]hint, len(x.entries))
	for i := range x.names {
		n := &x.names[i]
		joined, h := strings.Join(n.words(), ""), &out[n.entry]
		h.name, h.never = x.entries[n.entry].name, x.entries[n.entry].never
		if x.entries[n.entry].never {
			if utf8.RuneCountInString(asked) > 4 && strict.Edits(asked, joined, 1) <= 1 ||
				slips(ws, n.words()) {
				h.score = max(h.score, alike(asked, joined))
			}
			continue
		}
		h.score = max(h.score, likeness(ws, total, n.words(), like))
		// Parted or joined in another way: "pepper corns", "lemon grss".
		if s := alike(asked, joined); s >= 0.75 {
			h.score = max(h.score, s)
		}
	}
	near := out[:0]
	for _, h := range out {
		if h.score >= leastLike {
			near = append(near, h)
		}
	}
	return ranked(near)
}

// slips reports whether a name is another one with a letter wrong in any of its words: "lilly vally".
func slips(asked, known []string) bool {
	return slices.EqualFunc(asked, known, func(a, b string) bool {
		return a == b || utf8.RuneCountInString(a) > leastStem && strict.Edits(a, b, 1) == 1
	})
}

// chemical reports whether a word that is not known ends as the names of substances do: nobody is to
// be told that cadmium may be galium.
func (x *index) chemical(w string) bool {
	return !x.has(w) && len(w) > leastStem &&
		slices.ContainsFunc(chemicalEndings(), func(end string) bool { return strings.HasSuffix(w, end) })
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
	// What a word says that the name has none like is not known: the nitrite of a salt may be
	// all that matters of it.
	strange := func(i int) bool { return !used[i] && weightOf(asked[i]) == 1 && len(asked[i]) > shortWord }
	for i := range asked {
		if !firm || strange(i) {
			return 0
		}
	}
	return shared / all
}

// ranked puts the likeliest first and keeps the near ones: where one is clearly
// nearest, that one alone.
func ranked(hs []hint) []hint {
	sort.SliceStable(hs, func(i, j int) bool {
		return hs[i].score > hs[j].score || hs[i].score == hs[j].score && hs[i].name < hs[j].name
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

// asked asks whether one of these was meant; of what must not be steeped it says so, for
// a poison is no spelling to take up.
func asked(hs []hint) string {
	if len(hs) == 0 {
		return ""
	}
	said := "did you mean " + quantity.Or(hintNames(hs)) + "?"
	for _, h := range hs {
		if h.never {
			said += fmt.Sprintf(" %q must not be steeped or drunk.", h.name)
		}
	}
	return said
}

// notFound offers the nearest names of the kind asked for, and one of another
// kind where none of this kind is as near.
func notFound(l *Library, x *index, name string) *NotFoundError {
	err := l.notThis(x.kind, name, "")
	err.near = sync.OnceValue(func() []hint {
		own, all := x.hints(name), l.hints(name)
		ahead := len(all) > 0 && (len(own) == 0 || all[0].score > own[0].score+clearlyAhead)
		if err.elsewhere() == "" && ahead {
			own = append([]hint{all[0]}, own...)
		}
		return own[:min(len(own), mostHints)]
	})
	return err
}

// hints are those of all kinds.
func (l *Library) hints(name string) []hint {
	var all []hint
	for _, x := range []*index{l.botanicals().index(), l.ingredients().index(), l.spirits().index()} {
		all = append(all, x.hints(name)...)
	}
	return ranked(all)
}

// notThis is the error for a name that comes near an entry and is not it.
func (l *Library) notThis(kind, name, near string) *NotFoundError {
	elsewhere := func() string { return l.elsewhere(kind, name) }
	return &NotFoundError{Name: name, Kind: kind, near: these(near), elsewhere: elsewhere}
}

// Near lists what a name that is not known may have meant, of any kind, the
// likeliest first: at most five names, one where one is clearly nearest, none
// where nothing is near.
func (l *Library) Near(name string) []string {
	return remembered(&l.near, name, func() []string { return hintNames(l.hints(name)) })
}

// poison reports whether it is one by itself: meat is none, which nothing here judges, nor what is
// forbidden for the state it is in.
func (b *Botanical) poison() bool { return b.Kind != "animal" && b.Kind != "spoiled" }

// NearPoison lists what is poisonous and nearly goes by a name that is not known; meat, which
// is forbidden as nothing here judges it, is none.
func (l *Library) NearPoison(name string) (list []string) {
	if l.tables.meanings().index().same(words(name)) >= 0 {
		return nil // it is another word
	}
	for _, near := range l.Near(name) {
		if b := l.MustNot(near); b != nil && b.poison() {
			list = append(list, near)
		}
	}
	return list
}

// Asked asks whether what Near finds was meant; empty where nothing is near.
func (l *Library) Asked(name string) string { return asked(l.hints(name)) }

// remembered is what was found for a name, which it finds the first time.
func remembered[T any](all *sync.Map, name string, find func() T) T {
	if said, ok := all.Load(name); ok {
		return said.(T)
	}
	said := find()
	all.Store(name, said)
	return said
}
