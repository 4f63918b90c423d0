package library

import (
	"slices"
	"strings"
	"sync"

	"steepbook/data/names"
)

// What must not be steeped has names in many kitchens, each with its endings, and no list
// holds them all. These rules find a name under them. They only ever find more of what is
// forbidden or has to be named: no figure is read by them.

// leastStem is the length, in letters, from which a name is looked for under an ending:
// of shorter words one is too often the plural of another. Judgement.
const leastStem = 4

// endings are what may stand behind a name, each with what the name ends in itself.
var endings = sync.OnceValue(func() (list [][2]string) {
	for said, of := range names.Related("ending")() {
		for _, name := range of {
			list = append(list, [2]string{said, strings.Trim(name, "-")})
		}
	}
	return list
})

// partsBehind are the parts of a plant that some languages write behind its name, in one
// word with it.
var partsBehind = wordList("part behind")

// The words for oil, alone and at the end of a word, and what gives an oil to cook with.
var (
	oilWords   = wordSet("oil")
	fattyOils  = wordSet("fatty oil")
	oilEndings = wordList("oil ending")
)

// The words for a stone, kernel or pip in many languages, alone and at the end of a word.
var (
	stoneWords   = wordSet("stone")
	opensStones  = wordSet("opens stones")
	stoneEndings = wordList("stone ending")
)

// ends reports whether a word has one of some endings, behind a name.
func ends(w string, endings []string) bool {
	return slices.ContainsFunc(endings, func(end string) bool {
		return strings.HasSuffix(w, end) && len(w)-len(end) >= leastStem
	})
}

// bases lists the words of which a word may be a form: itself, without an ending, and
// without a part of the plant.
func bases(w string) []string {
	list := []string{w}
	bare := func(w string) {
		for _, e := range endings() {
			if stem, ok := strings.CutSuffix(w, e[0]); ok && len([]rune(stem+e[1])) >= leastStem {
				list = append(list, stem+e[1])
			}
		}
	}
	bare(w)
	for _, w := range slices.Clone(list) {
		for _, part := range partsBehind() {
			if stem, ok := strings.CutSuffix(w, part); ok && len([]rune(stem)) >= leastStem {
				list = append(list, stem)
				bare(stem)
			}
		}
	}
	return list
}

// inflected are all that the words of a name may be forms of, and two that stand side by side
// as one word: "monks hood" is monkshood.
func inflected(ws []string) (all []string) {
	for i, w := range ws {
		all = append(all, bases(w)...)
		if i > 0 {
			all = append(all, bases(ws[i-1]+w)...)
		}
	}
	return all
}

// readings are a name as it is written and once for each thing that words of it stand for, with the name
// that the library has for that in their place, and with what may be harmful of a plant in our words:
// dangers are read of each, so that no synonym hides one.
func (l *Library) readings(name string) []string {
	return remembered(&l.read, name, func() []string {
		said := words(name)
		ws := inOurs(said)
		out := []string{name}
		add := func(own string, rest []string) {
			// Each word is a clause: a remark was read already.
			text := strings.TrimPrefix(own+", "+strings.Join(rest, ", "), ", ")
			if len(rest) > 0 && !slices.Contains(out, text) && !sameWords(append(words(own), rest...), said) {
				out = append(out, text)
			}
		}
		if !slices.Equal(said, ws) {
			add("", ws)
		}
		if len(said) < 2 {
			return out
		}
		b, m := l.botanicals().index(), l.tables.meanings()
		forms := inflected(said)
		rest := func(n *called) []string { // what is pressed for cooking stays said
			return slices.DeleteFunc(slices.Clone(ws), func(w string) bool {
				return !fattyOils(w) && slices.ContainsFunc(bases(w),
					func(form string) bool { return slices.Contains(n.words(), form) })
			})
		}
		named, held := b.within(forms), m.index().within(forms)
		var known [][]string
		for _, n := range slices.Concat(named, held) {
			known = append(known, n.words())
		}
		for _, n := range named {
			if !smaller(n.words(), known) {
				add(b.entries[n.entry].name, rest(n))
			}
		}
		for _, n := range held {
			if x, err := m.entries[n.entry].get(); err == nil && len(x.Holds) == 1 &&
				!smaller(n.words(), known) {
				add(x.Holds[0], rest(n))
			}
		}
		return out
	})
}

// inOurs are the words of a name, those for what may be harmful of a plant in ours.
func inOurs(said []string) []string {
	ws := slices.Clone(said)
	for i, w := range ws {
		for _, form := range bases(w) {
			if ours, ok := saidAbroad()[form]; ok {
				ws[i] = ours
				break
			}
		}
	}
	return ws
}
