package library

import (
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"steepbook/data/names"
	"steepbook/data/pattern"
)

// The words of a remark that say whether a name in it is of what is in the drink; each class is told
// in tables/vocabulary.csv.
var (
	saysWhat  = wordSet("said to be")
	wentIn    = wordSet("said to go in")
	spares    = wordSet("spares")
	denies    = wordSet("denies", "left undone")
	undenies  = wordSet("denies no denial")
	weakens   = wordSet("weakens")
	doubts    = wordSet("doubts")
	turns     = wordSet("turns")
	with      = wordSet("with")
	exchanged = wordSet("exchanged")
	inFor     = wordSet("exchanged for")
	rinsed    = wordSet("rinsed")
	flushed   = wordSet("flushed")
	cleans    = wordSet("cleans")
	thingOfIt = wordSet("thing of it")
	givenName = wordSet("given name")
	alcohol   = wordSet("alcohol")
	hedges    = wordSet("hedge")
	vessels   = wordSet("vessel")
	held      = wordSet("said to be held")
	drunk     = wordSet("drunk")
	intoIt    = wordSet("into")
	thrown    = wordSet("thrown")
	joins     = wordSet("joins")
	wentTail  = sync.OnceValue(func() (tails []string) {
		for _, t := range wordList("said behind")() {
			tails = append(tails, " "+strings.Join(spoken(t), " ")+" ")
		}
		return tails
	})
	clauseEnd = func(r rune) bool { return unicode.IsPunct(r) && r != '-' && r != '\'' && r != '’' }
	dashes    = strings.NewReplacer("–", " - ", "—", " - ")
	elided    = pattern.New(`(?i)\b(l|d|c|qu|j|dell|nell|all|dall|sull)['’]`)
)

// heard is a clause of a remark: its words, whether it is part of a question, whether that is answered
// with a no, whether it is set against a denial, "not sage, foxglove", and whether it goes on with what
// went in: "added cherries, foxglove".
type heard struct {
	words                          []string
	asked, denied, against, listed bool
}

// Told lists what must not be steeped and is in a drink by the words of a remark on it: "it was
// lily of the valley". Any name of it in a clause that says that something is or went in counts,
// and in one that asks, unless a denial, a smell, a likeness or what it was served with governs it;
// so does the name of a chemical in a vessel that was used. Meat, which nothing here judges, tells
// nothing.
func (l *Library) Told(remark string) (list []string) {
	clauses := hear(remark)
	for k := range clauses {
		ws := clauses[k].words
		if b, _ := l.botanicals().never(strings.Join(ws, " ")).orNone(); b == nil {
			continue
		}
		for i := 0; i < len(ws); i++ {
			b, n := l.banned(ws, i)
			if b == nil {
				continue
			}
			if b.poison() && b.named(ws[i:i+n], ws[i+n:]) && b.isIn(clauses[k:], i, i+n) &&
				!slices.Contains(list, b.Name) {
				list = append(list, b.Name)
			}
			i += n - 1
		}
	}
	return list
}

// hear is a remark in clauses: one ends at a mark, at a dash that stands alone and at a word that
// turns what was said.
func hear(remark string) (out []heard) {
	begun, question := 0, 0 // where this sentence begins, and the one before where that asks
	put := func(ws []string) {
		if len(ws) == 0 {
			return
		}
		if len(out) == begun && denies(ws[0]) && !(len(ws) > 1 && doubts(ws[1])) { // "oleander? no, sage"
			for i := question; i < begun; i++ {
				out[i].denied = true
			}
		}
		c := heard{words: ws}
		if len(out) > begun {
			last := out[len(out)-1]
			c.against = anyOf(last.words, denies)
			elsewhere := func(w string) bool { return denies(w) || spares(w) || cleans(w) || rinsed(w) }
			in := last.listed || anyOf(last.words, wentIn) ||
				anyOf(last.words, thrown) && anyOf(last.words, intoIt)
			c.listed = in && !anyOf(last.words, elsewhere)
		}
		out = append(out, c)
	}
	for rest := elided().ReplaceAllString(dashes.Replace(remark), "$1 "); rest != ""; {
		n := strings.IndexFunc(rest+".", clauseEnd)
		ws, from := spoken(rest[:n]), 0
		for i, w := range ws {
			if turns(w) {
				put(ws[from:i])
				from = i + 1
			}
		}
		put(ws[from:])
		if n == len(rest) {
			break
		}
		mark, size := utf8.DecodeRuneInString(rest[n:])
		rest = rest[n+size:]
		switch mark {
		case '?', '？':
			for i := begun; i < len(out); i++ {
				out[i].asked = true
			}
			question, begun = begun, len(out)
		case '.', '!', ';':
			question, begun = len(out), len(out)
		}
	}
	return out
}

// spoken are the words of a clause as names are read, with the small words that no name has; a word
// that is given to people too is one of them where it is written so.
func spoken(clause string) (ws []string) {
	for _, f := range strings.Fields(clause) {
		low := strings.ToLower(f)
		name, of, _ := strings.Cut(strings.ReplaceAll(low, "’", "'"), "'")
		switch w := names.Words(f); {
		case low != f && len(ws) > 0 && (of == "" || of == "s") && givenName(name):
		case len(w) > 0:
			ws = append(ws, w...)
		default:
			ws = append(ws, low)
		}
	}
	return ws
}

// banned is what must not be steeped of which a name begins at a word, and how many words that has.
// A word more that names something harmless takes it back: sea buckthorn is no buckthorn.
func (l *Library) banned(ws []string, i int) (*Botanical, int) {
	for n := 1; n <= min(len(ws)-i, longestTold) && ws[i+n-1] != "and"; n++ {
		b := l.bans(strings.Join(ws[i:i+n], " "))
		if b == nil || l.bans(strings.Join(ws[i+1:i+n], " ")) == b && !l.whole(ws[i:i+n]) {
			continue
		}
		for _, wider := range [][]string{ws[max(i-1, 0) : i+n], ws[i:min(i+n+1, len(ws))]} {
			if l.bans(strings.Join(wider, " ")) == nil {
				return nil, 0
			}
		}
		return b, n
	}
	return nil, 0
}

// whole reports whether words are a name of a botanical as they stand.
func (l *Library) whole(ws []string) bool {
	said := words(strings.Join(ws, " "))
	return len(said) == len(ws) && l.botanicals().index().same(said) >= 0
}

// longestTold is how many words the name of a poison has at most, small ones among them.
const longestTold = 5

// isIn reports whether what stands around its name, from one word to another of the first of these
// clauses, says that it is in.
func (b *Botanical) isIn(clauses []heard, from, to int) bool {
	c := clauses[0]
	before, behind := c.words[:from], c.words[to:]
	chemical, other := b.Kind == "chemical", slices.Concat(before, behind)
	near := func(i int) bool {
		return !anyOf(before[i+1:], func(w string) bool { return !saysWhat(w) && !hedges(w) })
	}
	withIt := anyOf(before, with) && near(slices.IndexFunc(before, with))
	switch {
	case c.denied, len(behind) > 0 && thingOfIt(behind[0]), withIt && anyOf(behind, spares):
		return false
	case chemical && anyOf(other, func(w string) bool { return cleans(w) || rinsed(w) }):
		return leftIn(clauses, to, withIt && anyOf(before, rinsed))
	}
	exchange := anyOf(other, exchanged)
	more := func(w string) bool { return !hedges(w) && !doubts(w) }
	said := c.asked || chemical && inVessel(before, behind) || withIt && (chemical || anyOf(other, wentIn)) ||
		c.against && near(-1) && !anyOf(behind, more) ||
		c.listed && (near(-1) || anyOf(before, joins)) && (len(behind) < 2 || anyOf(behind[:2], joins))
	inAt := func(i int) bool {
		return i < from && intoIt(before[i]) || len(behind) > 0 && intoIt(behind[0])
	}
	denied, weak := false, false
	for i, w := range before {
		switch {
		case exchange && inFor(w) && near(i), doubts(w):
			said, denied = true, false
		case spares(w) && !(chemical && (drunk(w) || inVessel(before, nil))):
			return false
		case denied && undenies(w) && !anyOf(before[:i], joins):
			said, denied = true, false
		case denies(w):
			denied = !weak && !c.asked && !(i+1 < len(before) && doubts(before[i+1]))
			said = said || weak
		case wentIn(w), thrown(w) && inAt(i+1), chemical && drunk(w), saysWhat(w) && near(i):
			said = true
		}
		weak = weak || weakens(w) || doubts(w) && i > 0 && denies(before[i-1])
	}
	return !denied && (said || saidBehind(behind))
}

// inVessel reports whether a vessel is said to be or have been of what is named: "a bottle marked
// poison", "in an old antifreeze bottle".
func inVessel(before, behind []string) bool {
	i := len(before)
	for i > 0 && (hedges(before[i-1]) || held(before[i-1]) || saysWhat(before[i-1])) {
		i--
	}
	if len(behind) > 0 && vessels(behind[0]) {
		return anyOf(before[i:], intoIt)
	}
	return i > 0 && vessels(before[i-1]) && anyOf(before[i:], held)
}

// leftIn reports whether what cleaned a jar stayed in it, by what is said behind it: no rinse, or where
// it was itself what the jar was rinsed with, no water.
func leftIn(clauses []heard, to int, rinse bool) bool {
	for k, c := range clauses {
		ws := c.words
		if k == 0 {
			ws = ws[to:]
		}
		if anyOf(ws, rinsed) && anyOf(ws, denies) {
			return true
		}
		rinse = rinse && !anyOf(ws, flushed)
	}
	return rinse
}

// anyOf reports whether one of some words is meant.
//
//go:noinline
func anyOf(ws []string, meant func(word string) bool) bool { return slices.ContainsFunc(ws, meant) }

// saidBehind reports whether the words behind a name say that it went in.
func saidBehind(behind []string) bool {
	tail := " " + strings.Join(behind, " ") + " "
	return slices.ContainsFunc(wentTail(), func(t string) bool {
		at := strings.Index(tail, t)
		return at >= 0 && !anyOf(strings.Fields(tail[:at]), denies)
	})
}

// named reports whether words name it in a remark, whatever follows: an alcohol for cleaning is
// one only with its noun, for a jar may have been in the cleaning.
func (b *Botanical) named(ws, next []string) bool {
	return b.Kind != "chemical" || len(ws) > 1 || len(next) > 0 && alcohol(next[0]) ||
		!slices.ContainsFunc([]string{"ing", "ner", "al", "ic"},
			func(end string) bool { return strings.HasSuffix(ws[0], end) })
}
