package library

import (
	"slices"
	"strings"
	"unicode"
)

// The words behind which a remark says what is in a drink ("it was", "put in"), before which it
// speaks of a smell or of a likeness, and which only tell of a chemical what it is an alcohol for.
var (
	saysWhat  = wordSet("said to be")
	smellsOf  = wordSet("smell of")
	alcohol   = wordSet("alcohol")
	hedges    = wordSet("hedge")
	clauseEnd = func(r rune) bool { return unicode.IsPunct(r) && r != '-' && r != '\'' && r != '’' }
)

// Told lists what must not be steeped and is in a drink by the words of a remark on it: "it was
// lily of the valley". A likeness, a smell, a denial and meat, which nothing here judges, tell nothing.
func (l *Library) Told(remark string) (list []string) {
	for clause := range strings.FieldsFuncSeq(remark, clauseEnd) {
		ws := words(clause)
		at := slices.IndexFunc(ws, saysWhat)
		if at < 0 || slices.ContainsFunc(ws[:at], smellsOf) {
			continue
		}
		rest := slices.DeleteFunc(ws[at+1:], func(w string) bool { return saysWhat(w) || hedges(w) })
		for n := 1; n <= min(len(rest), longestTold); n++ {
			b := l.MustNot(strings.Join(rest[:n], " "))
			if b == nil {
				continue
			}
			if b.Kind != "animal" && l.MustNot(strings.Join(rest[1:n], " ")) != b && b.named(rest[:n], rest[n:]) {
				list = append(list, b.Name)
			}
			break
		}
	}
	return list
}

// longestTold is how many words the name of a poison has at most.
const longestTold = 4

// named reports whether words name it in a remark, whatever follows: an alcohol for cleaning is
// one only with its noun, for a jar may have been in the cleaning.
func (b *Botanical) named(ws, next []string) bool {
	return b.Kind != "chemical" || len(ws) > 1 || len(next) > 0 && alcohol(next[0]) ||
		!slices.ContainsFunc([]string{"ing", "er", "al", "ic"}, func(end string) bool { return strings.HasSuffix(ws[0], end) })
}
