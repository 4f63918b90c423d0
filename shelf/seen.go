package shelf

import (
	"slices"
	"strings"
	"sync"
	"unicode"

	"steepbook/data"
)

// sign is a row of data/tables/signs.csv: what makers call what they see.
type sign struct {
	key, decides string
	plain        bool
	terms        []term
}

// term is what has to stand within one clause, each part in one of its ways.
type term [][][]string

// vocabulary is the table of signs: the signs, and the words that take them back.
type vocabulary struct {
	signs                          []sign
	deny, fill, after, again, fine []term
}

// clauseEnd stands for a comma, a stop, a bracket, a "but".
const clauseEnd = ","

var turns = []string{"but", "though", "although", "however", "except", "aber"}

var wordsOfSigns = sync.OnceValue(func() *vocabulary {
	v := &vocabulary{}
	for _, r := range data.Rows("signs.csv") {
		var terms []term
		for _, text := range strings.Split(r.Text("words"), "; ") {
			var t term
			for _, part := range strings.Split(text, " + ") {
				var ways [][]string
				for _, way := range strings.Split(part, "/") {
					ways = append(ways, strings.Fields(strings.ReplaceAll(way, "-", " ")))
				}
				t = append(t, ways)
			}
			terms = append(terms, t)
		}
		switch key := r.Text("key"); key {
		case "deny":
			v.deny = terms
		case "fill":
			v.fill = terms
		case "after":
			v.after = terms
		case "again":
			v.again = terms
		case "fine":
			v.fine = terms
		default:
			v.signs = append(v.signs, sign{key, r.Text("decides"), r.Text("plain") == "yes", terms})
		}
	}
	return v
})

// seenIn reads a remark for signs of what is in a bottle. denied reports that all it says is
// that some are not there, or as they should be: what half of it says denies nothing of the
// other. A word between a denial and a sign that is not
// known to carry it over takes the denial away, so that what is in doubt is a sign.
func seenIn(text string) (seen []sign, denied bool) {
	v, note := wordsOfSigns(), clauses(text)
	cleared := map[int]bool{} // by where the clause begins
	for _, s := range v.signs {
		there := false
		for _, t := range s.terms {
			for i := range note {
				end, ok := note.holds(t, i)
				switch {
				case !ok:
				case v.denies(note, i, end), s.plain && v.isFine(note, i, end):
					cleared[note.begins(i)] = true
				default:
					there = true
				}
			}
		}
		if there {
			seen = append(seen, s)
		}
	}
	for i, word := range note {
		if word != clauseEnd && !cleared[note.begins(i)] && !note.starts(v.fine, i) && !note.starts(v.fill, i) {
			return seen, false
		}
	}
	return seen, len(cleared) > 0
}

// IsSign reports whether a remark names a sign that Sign knows, and whether all that it says is
// that nothing is wrong.
func IsSign(text string) (sign, denied bool) {
	seen, denied := seenIn(text)
	return len(seen) > 0, denied
}

// denies reports whether what stands from i to end is said not to be there.
func (v *vocabulary) denies(note clause, i, end int) bool {
	if note.starts(v.after, end) {
		return true
	}
	for k := i - 1; k >= 0; k-- {
		if note.starts(v.deny, k) {
			return !note.starts(v.again, end)
		}
		if !note.starts(v.fill, k) && !v.names(note, k) {
			return false
		}
	}
	return false
}

// names reports whether a sign starts at a word: "no fizz or mould" denies both.
func (v *vocabulary) names(note clause, k int) bool {
	return slices.ContainsFunc(v.signs, func(s sign) bool { return note.starts(s.terms, k) })
}

// isFine reports whether a plain word from i to end is said to be as it should.
func (v *vocabulary) isFine(note clause, i, end int) bool {
	for end < len(note) && note.starts(v.fill, end) && !note.starts(v.deny, end) {
		end++
	}
	return note.starts(v.fine, end) || i > 0 && note.starts(v.fine, i-1) && !v.denies(note, i-1, i)
}

// clause is the words of a remark in lower case, with its ends of clauses among them.
type clause []string

func clauses(text string) (out clause) {
	word := ""
	flush := func() {
		switch {
		case slices.Contains(turns, word):
			out = append(out, clauseEnd)
		case word != "":
			out = append(out, word)
		}
		word = ""
	}
	for _, r := range strings.ToLower(strings.ReplaceAll(text, "’", "'")) {
		switch {
		case unicode.IsLetter(r), unicode.IsDigit(r), unicode.IsMark(r), r == '\'':
			word += string(r)
		case unicode.IsSpace(r), r == '-', r == ':':
			flush()
		default:
			flush()
			out = append(out, clauseEnd)
		}
	}
	flush()
	return out
}

// starts reports whether one of these stands at a place.
func (c clause) starts(terms []term, i int) bool {
	return slices.ContainsFunc(terms, func(t term) bool { _, ok := c.holds(t, i); return ok })
}

// holds reports whether a term begins at a place, and where its first part ends; the
// others may stand anywhere in the same clause.
func (c clause) holds(t term, i int) (end int, ok bool) {
	if end, ok = c.way(t[0], i); !ok || len(t) == 1 {
		return end, ok
	}
	from, to := c.begins(i), i
	for to < len(c) && c[to] != clauseEnd {
		to++
	}
	for _, ways := range t[1:] {
		there := false
		for k := from; k < to; k++ {
			if _, at := c.way(ways, k); at {
				there = true
			}
		}
		if !there {
			return i, false
		}
	}
	return end, true
}

// begins is where the clause of a word begins.
func (c clause) begins(i int) int {
	for i > 0 && c[i-1] != clauseEnd {
		i--
	}
	return i
}

// way reports whether one of these ways of saying a thing begins at a place.
func (c clause) way(ways [][]string, i int) (end int, ok bool) {
	for _, words := range ways {
		if i+len(words) > len(c) {
			continue
		}
		same := true
		for k, w := range words {
			same = same && fits(c[i+k], w, len(words) > 1 && k+1 < len(words))
		}
		if same {
			return i + len(words), true
		}
	}
	return i, false
}

// fits reports whether a word is meant: by its start, as a whole where whole is set or it
// ends in "=", and anywhere in a script that does not part its words.
func fits(word, meant string, whole bool) bool {
	meant, exact := strings.CutSuffix(meant, "=")
	switch {
	case exact || whole:
		return word == meant
	case strings.ContainsFunc(meant, func(r rune) bool {
		return unicode.In(r, unicode.Han, unicode.Hangul, unicode.Hiragana, unicode.Katakana, unicode.Arabic, unicode.Hebrew)
	}):
		return strings.Contains(word, meant)
	}
	return strings.HasPrefix(word, meant)
}
