package shelf

import (
	"slices"
	"strings"
	"sync"
	"unicode"

	"steepbook/data"
)

// sign is a row of data/tables/signs.csv: what makers call what they see. bare says what else has
// to be said or left unsaid of it: "yes", "tart", "served", as the table tells.
type sign struct {
	key, decides, bare string
	terms              []term
}

// term is what has to stand within one clause, each part in one of its ways.
type term [][][]string

// vocabulary is the table of signs: the signs, and by their row the words that are none.
type vocabulary struct {
	signs                                   []sign
	deny, fill, carry, free, after, again   []term
	fine, turn, scent, none, served, matter []term
	answer, elsewhere, act, put             []term
}

// clauseEnd stands for a comma, a stop, a bracket, a "but", question for a mark behind which an
// answer may stand; named for the name of a thing in the drink, whatever words that holds.
const clauseEnd, question, named = ",", "?", "*"

var things = []term{{{{named}}}}

var wordsOfSigns = sync.OnceValue(func() *vocabulary {
	v := &vocabulary{}
	rows := map[string]*[]term{
		"deny": &v.deny, "fill": &v.fill, "carry": &v.carry, "free": &v.free, "after": &v.after,
		"again": &v.again, "fine": &v.fine, "turn": &v.turn, "scent": &v.scent, "none": &v.none,
		"served": &v.served, "matter": &v.matter, "answer": &v.answer, "elsewhere": &v.elsewhere, "act": &v.act, "put": &v.put,
	}
	for _, r := range data.Rows("signs.csv") {
		terms := termsOf(r.Text("words"))
		if row := rows[r.Text("key")]; row != nil {
			*row = terms
			continue
		}
		v.signs = append(v.signs, sign{r.Text("key"), r.Text("decides"), r.Text("plain"), terms})
	}
	return v
})

func termsOf(list string) (terms []term) {
	for _, text := range strings.Split(list, "; ") {
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
	return terms
}

// seenIn reads a remark for signs of what is in a bottle that holds things of these names. denied
// reports that all it says is that some are not there, or as they should be: what half of it says
// denies nothing of the other. A word between a denial and a sign that is not known to carry it
// over takes the denial away, so that what is in doubt is a sign.
func seenIn(text string, holds []string) (seen []sign, denied bool) {
	v := wordsOfSigns()
	return v.seen(v.read(text, holds))
}

func (v *vocabulary) seen(note clause) (seen []sign, denied bool) {
	cleared := map[int]bool{} // by where the clause begins
	for _, s := range v.signs {
		there := false
		for _, t := range s.terms {
			for i := range note {
				end, ok := note.holds(t, i)
				switch {
				case !ok, v.ofAnother(note, i):
				case v.answered(note, end):
					cleared[note.begins(i)], cleared[note.begins(note.next(end))] = true, true
				case v.clears(&s, note, i, end):
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
		if !ends(word) && !cleared[note.begins(i)] && !note.made(i, i+1, v.fine, v.fill) {
			return seen, false
		}
	}
	return seen, len(seen) == 0 && len(cleared) > 0
}

// IsSign reports whether a remark on a drink that holds things of these names tells of a sign that
// Sign knows, and whether all that it says is that nothing is wrong.
func IsSign(text string, holds ...string) (sign, denied bool) {
	seen, denied := seenIn(text, holds)
	return len(seen) > 0, denied
}

// IsPlain reports whether a remark that tells of no sign is no report of the state of the drink at
// all: of each clause of it, what was done with it, or praise.
func IsPlain(text string, holds ...string) bool {
	v := wordsOfSigns()
	note := v.read(text, holds)
	if seen, denied := v.seen(note); len(seen) > 0 || denied {
		return false
	}
	for i := 0; i < len(note); i = note.next(i) {
		plain := note.made(i, note.ends(i), v.fine, v.fill, v.matter)
		for k := i; k < note.ends(i); k++ {
			plain = plain || note.starts(v.act, k)
		}
		if !plain {
			return false
		}
	}
	return true
}

// TellsOfAdding reports whether a remark says that something went in, which no note counts.
func TellsOfAdding(text string) bool {
	v := wordsOfSigns()
	note := clauses(text, v.turn)
	for i := range note {
		if note.starts(v.put, i) && !v.deniedBefore(note, i) {
			return true
		}
	}
	return false
}

// answered reports whether what ends at a place is asked for and denied by the answer: "mould? none".
func (v *vocabulary) answered(note clause, end int) bool {
	from, to := end, note.ends(end)
	if to < len(note) && note[to] == question {
		if !note.made(end, to, append(v.names(), v.fill, v.matter)...) {
			return false
		}
		from, to = to+1, note.ends(to+1)
	}
	return from < to && note.starts(v.answer, from) && note.made(from, to, v.answer, v.fill, v.matter)
}

// ofAnother reports whether the clause of a place begins with what is not this drink: "the other jar".
func (v *vocabulary) ofAnother(note clause, i int) bool {
	for k := note.begins(i); k < i; k++ {
		switch {
		case note.starts(v.elsewhere, k):
			return true
		case !note.starts(v.fill, k) && !note.starts(v.matter, k):
			return false
		}
	}
	return false
}

// clears reports whether what stands from i to end is no sign by what is said around it.
func (v *vocabulary) clears(s *sign, note clause, i, end int) bool {
	denied := v.denies(note, i, end)
	switch s.bare {
	case "yes": // a denial may be of the praise: "does not smell right"
		return denied && note.made(end, note.ends(end), append(v.names(), v.fill, v.carry, v.matter, v.deny)...) ||
			!denied && v.isFine(note, i, end)
	case "tart":
		next := note.ends(end) + 1
		return denied || v.isFine(note, i, end) || next-1 == end && next < len(note) && note.made(next, note.ends(next), v.fine, v.fill)
	case "served":
		return denied || v.ofServing(s, note, i)
	}
	return denied
}

// denies reports whether what stands from i to end is said not to be there.
func (v *vocabulary) denies(note clause, i, end int) bool {
	if note.starts(v.after, end) {
		return !v.deniedBefore(note, i)
	}
	return v.deniedBefore(note, i) && !note.starts(v.again, end)
}

// deniedBefore reports whether a denial before a place reaches it: "no fizz or mould" denies both.
func (v *vocabulary) deniedBefore(note clause, i int) bool {
	across := append(v.names(), v.fill, v.carry)
	for k := i - 1; k >= 0; k-- {
		switch {
		case note.starts(v.free, k): // "not free of"
			return note.made(note.begins(k), k, v.fill, v.matter)
		case note.starts(v.deny, k):
			return true
		case !slices.ContainsFunc(across, func(of []term) bool { return note.starts(of, k) }):
			return false
		}
	}
	return false
}

// names are the words of all the signs.
func (v *vocabulary) names() (rows [][]term) {
	for _, s := range v.signs {
		rows = append(rows, s.terms)
	}
	return rows
}

// isFine reports whether a word from i to end is said to be as it should, or of a thing in it.
func (v *vocabulary) isFine(note clause, i, end int) bool {
	for k := note.begins(i); k < i; k++ { // "no longer smells good", but "no fizz and smells good"
		if note.starts(v.deny, k) && !note.made(k+1, i, append(v.names(), v.fill, v.carry, v.matter)...) {
			return false
		}
	}
	for end < len(note) && note.starts(v.fill, end) && !note.starts(v.deny, end) {
		end++
	}
	if end < len(note) && note[end] == named {
		return note.made(end, note.ends(end), things, v.fine, v.fill, v.matter)
	}
	return note.starts(v.fine, end) || i > 0 && note.starts(v.fine, i-1) && !v.denies(note, i-1, i)
}

// ofServing reports whether the clause of a sign says that the serving makes it, or the one before
// it does, and nothing that is not known besides.
func (v *vocabulary) ofServing(s *sign, note clause, i int) bool {
	from, to := note.begins(i), note.ends(i)
	served := func(from, to int) bool {
		for k := from; k < to; k++ {
			if note.starts(v.served, k) {
				return true
			}
		}
		return false
	}
	if served(from, to) {
		return note.made(from, to, s.terms, v.served, v.fine, v.fill, v.matter)
	}
	return from > 0 && served(note.begins(from-1), from-1) && note.made(from, to, s.terms, v.fine, v.fill, v.served)
}

// clause is the words of a remark in lower case, with its ends of clauses among them.
type clause []string

// read is a remark in which the names of what the drink holds, and likenesses, stand as named. One
// word of a name is that only behind "smells of" and its kin: of its own, "vinegar" is a sign.
func (v *vocabulary) read(text string, holds []string) (note clause) {
	note = clauses(text, v.turn)
	for i := 0; i < len(note); i++ {
		end := note.longest(i, v.none)
		scented := i > 1 && note.made(i-1, i, v.fill, v.matter) && (note[i-2] == named || note.starts(v.scent, i-2))
		for _, name := range holds {
			words := clauses(name, nil)
			words = words[:words.ends(0)]
			for k := range words {
				if n := i + len(words) - k; n <= len(note) && (scented || k == 0 && len(words) > 1) &&
					slices.EqualFunc(note[i:n], words[k:], sameThing) {
					end = max(end, n)
				}
			}
		}
		if end > i {
			note = slices.Replace(note, i, end, named)
		}
	}
	return note
}

// sameThing reports whether two words are one, or the one and the many.
func sameThing(x, y string) bool { return x == y || x+"s" == y || x == y+"s" }

func clauses(text string, turns []term) (out clause) {
	word := ""
	flush := func() {
		switch {
		case word != "" && (clause{word}).starts(turns, 0):
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
		case r == '?', r == '=', r == '？':
			flush()
			out = append(out, question)
		default:
			flush()
			out = append(out, clauseEnd)
		}
	}
	flush()
	return out
}

// ends reports whether a word of a remark is no word but the end of a clause.
func ends(word string) bool { return word == clauseEnd || word == question }

// next is where the clause behind that of a place begins.
func (c clause) next(i int) int { return min(c.ends(i)+1, len(c)) }

// made reports whether nothing but these words stands from a place to another.
func (c clause) made(from, to int, of ...[]term) bool {
	for from < to {
		end := c.longest(from, of...)
		if end == from {
			return false
		}
		from = end
	}
	return true
}

// longest is the end of the longest of these terms that begin at a place, the place where none does.
func (c clause) longest(i int, of ...[]term) int {
	longest := i
	for _, terms := range of {
		for _, t := range terms {
			if end, ok := c.holds(t, i); ok {
				longest = max(longest, end)
			}
		}
	}
	return longest
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
	from, to := c.begins(i), c.ends(i)
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
	for i > 0 && !ends(c[i-1]) {
		i--
	}
	return i
}

// ends is where the clause of a word ends.
func (c clause) ends(i int) int {
	for i < len(c) && !ends(c[i]) {
		i++
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

// firstWithin is the least byte that a word of a script begins with which does not part its words.
const firstWithin = 0xd6

// fits reports whether a word is meant: by its start, as a whole where whole is set or it
// ends in "=", and anywhere in a script that does not part its words.
func fits(word, meant string, whole bool) bool {
	if meant[0] < firstWithin && meant[0] != word[0] {
		return false // most words of the table
	}
	meant, exact := strings.CutSuffix(meant, "=")
	switch {
	case exact || whole:
		return word == meant
	case meant[0] >= firstWithin && strings.ContainsFunc(meant, func(r rune) bool {
		return unicode.In(r, unicode.Han, unicode.Hangul, unicode.Hiragana, unicode.Katakana, unicode.Arabic, unicode.Hebrew)
	}):
		return strings.Contains(word, meant)
	}
	return strings.HasPrefix(word, meant)
}
