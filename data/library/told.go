package library

import (
	"slices"
	"strings"
	"sync"
	"unicode"

	"steepbook/data/names"
)

// The words of a remark that say whether a name in it is of what is in the drink; each class is told
// in tables/vocabulary.csv.
var (
	saysWhat = wordSet("said to be")
	wentIn   = wordSet("said to go in")
	wentTail = sync.OnceValue(func() (tails []string) {
		for _, t := range wordList("said behind")() {
			tails = append(tails, " "+strings.Join(spoken(t), " ")+" ")
		}
		return tails
	})
	spares    = wordSet("spares")
	denies    = wordSet("denies")
	doubts    = wordSet("doubts")
	cleans    = wordSet("cleans")
	thingOfIt = wordSet("thing of it")
	givenName = wordSet("given name")
	alcohol   = wordSet("alcohol")
	hedges    = wordSet("hedge")
	clauseEnd = func(r rune) bool { return unicode.IsPunct(r) && r != '-' && r != '\'' && r != '’' }
)

// Told lists what must not be steeped and is in a drink by the words of a remark on it: "it was
// lily of the valley". Any name of it in a clause that says that something is or went in counts,
// unless a denial, a smell, a likeness or what it was served with governs it; so does the name of a
// chemical in a vessel that was used. Meat, which nothing here judges, tells nothing.
func (l *Library) Told(remark string) (list []string) {
	for clause := range strings.FieldsFuncSeq(remark, clauseEnd) {
		if b, _ := l.botanicals().never(clause).orNone(); b != nil {
			list = append(list, l.toldIn(clause)...)
		}
	}
	return list
}

// toldIn is Told of one clause in which the words of something forbidden stand.
func (l *Library) toldIn(clause string) (list []string) {
	ws := spoken(clause)
	for i := 0; i < len(ws); i++ {
		b, n := l.banned(ws, i)
		if b == nil {
			continue
		}
		if b.Kind != "animal" && b.named(ws[i:i+n], ws[i+n:]) && b.isIn(ws[:i], ws[i+n:]) && !slices.Contains(list, b.Name) {
			list = append(list, b.Name)
		}
		i += n - 1
	}
	return list
}

// spoken are the words of a clause as names are read, with the small words that no name has; a word
// that is given to people too is one of them where it is written so.
func spoken(clause string) (ws []string) {
	for _, f := range strings.Fields(clause) {
		low := strings.ToLower(f)
		switch w := names.Words(f); {
		case low != f && len(ws) > 0 && givenName(low):
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
		b := l.MustNot(strings.Join(ws[i:i+n], " "))
		if b == nil || l.MustNot(strings.Join(ws[i+1:i+n], " ")) == b {
			continue
		}
		for _, wider := range [][]string{ws[max(i-1, 0) : i+n], ws[i:min(i+n+1, len(ws))]} {
			if l.MustNot(strings.Join(wider, " ")) == nil {
				return nil, 0
			}
		}
		return b, n
	}
	return nil, 0
}

// longestTold is how many words the name of a poison has at most, small ones among them.
const longestTold = 5

// isIn reports whether what stands before and behind its name in a clause says that it is in.
func (b *Botanical) isIn(before, behind []string) bool {
	if b.Kind == "chemical" && slices.ContainsFunc(slices.Concat(before, behind), cleans) ||
		len(behind) > 0 && thingOfIt(behind[0]) {
		return false
	}
	said := false
	for i, w := range before {
		near := !slices.ContainsFunc(before[i+1:], func(w string) bool { return !saysWhat(w) && !hedges(w) })
		switch {
		case denies(w) && !(i+1 < len(before) && doubts(before[i+1])), spares(w):
			return false
		case wentIn(w), doubts(w), saysWhat(w) && near:
			said = true
		}
	}
	tail := " " + strings.Join(behind, " ") + " "
	return said || slices.ContainsFunc(wentTail(), func(t string) bool { return strings.Contains(tail, t) })
}

// named reports whether words name it in a remark, whatever follows: an alcohol for cleaning is
// one only with its noun, for a jar may have been in the cleaning.
func (b *Botanical) named(ws, next []string) bool {
	return b.Kind != "chemical" || len(ws) > 1 || len(next) > 0 && alcohol(next[0]) ||
		!slices.ContainsFunc([]string{"ing", "er", "al", "ic"}, func(end string) bool { return strings.HasSuffix(ws[0], end) })
}
