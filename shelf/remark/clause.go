package remark

import (
	"slices"
	"strings"
	"unicode"
)

// clause is the words of a remark in lower case, with its ends of clauses among them.
type clause []string

// read is a remark in which the names of what the drink holds, and likenesses, stand as named. One
// word of a name is that only behind "smells of" and its kin, or where something fell in: of its own,
// "vinegar" is a sign.
func (v *vocabulary) read(text string, holds []string) (note clause) {
	note = v.joined(clauses(text, v.turn))
	none := v.none
	names := make([]*held, len(holds))
	for i, name := range holds {
		if names[i] = v.held(name); names[i].stone {
			none = slices.Concat(v.none, v.bitter)
		}
	}
	for i := 0; i < len(note); i++ {
		if end := note.longest(i, v.when); end > i { // when it was says nothing of it
			note = slices.Delete(note, i, end)
			i--
			continue
		}
		if end := note.longest(i, v.except); end > i {
			if i > 0 && note[i-1] == clauseEnd {
				i--
			}
			note[i], note = excepted, append(note[:i+1], note[end:]...)
			continue
		}
		end := note.longest(i, none)
		for _, h := range names {
			for k := range h.words {
				n := i + len(h.words) - k
				if n <= len(note) && slices.EqualFunc(note[i:n], h.words[k:], sameThing) &&
					(k == 0 && h.whole || v.scented(note, i)) {
					end = max(end, n)
				}
			}
		}
		if end > i {
			note[i], note = named, append(note[:i+1], note[end:]...)
		}
	}
	return note
}

// held is the name of a thing that a drink holds.
type held struct {
	words clause
	stone bool // of a stone fruit, or of what is bitter as its stones
	whole bool // its words together are the thing: fat is asked for by its name
}

// held reads a name, once: all remarks on a drink are read beside the same few.
func (v *vocabulary) held(name string) *held {
	if h, ok := v.things.Load(name); ok {
		return h.(*held)
	}
	words := clauses(name, nil)
	h := &held{words[:words.ends(0)], words.has(0, len(words), v.stone), false}
	h.whole = len(h.words) > 1 && !h.words.has(0, len(h.words), v.fats)
	v.things.Store(name, h)
	return h
}

// joined is a remark in which a word that holds its denial is two, "schimmelfrei", and a smell goes on
// with what it is likened to, "smells odd, like glue", a spot with what was done about it, "trimmed before".
func (v *vocabulary) joined(said clause) (note clause) {
	for i, word := range said {
		begin := note.begins(len(note))
		if word == clauseEnd && (said.starts(v.dressed, i+1) || said.starts(v.likened, i+1) &&
			note.has(begin, len(note), v.scent) && !note.has(begin, len(note), v.deny)) {
			continue
		}
		for _, t := range v.after {
			free := strings.TrimSuffix(t[0][0], "=")
			stem, ok := strings.CutSuffix(word, free)
			if ok && stem != "" && (clause{stem}).starts(v.names, 0) {
				note, word = append(note, stem), free
				break
			}
		}
		note = append(note, word)
	}
	return note
}

// scented reports whether what stands at a place is said of a smell, or its clause says that something
// fell in.
func (v *vocabulary) scented(note clause, i int) bool {
	for k := i - 1; k > 0 && k > i-3 && note.made(k, k+1, v.fill, v.matter); k-- {
		if note[k-1] == named || note.starts(v.scent, k-1) {
			return true
		}
	}
	return slices.ContainsFunc(v.signs, func(s sign) bool {
		return s.key == "fell" && note.has(note.begins(i), note.ends(i), s.terms)
	})
}

// has reports whether one of these stands between two places.
//
//go:noinline
func (c clause) has(from, to int, terms []term) bool {
	for ; from < to; from++ {
		if c.starts(terms, from) {
			return true
		}
	}
	return false
}

// sameThing reports whether two words are one, or the one and the many.
func sameThing(x, y string) bool { return x == y || x+"s" == y || x == y+"s" }

func clauses(text string, turns []term) (out clause) {
	word := []rune(nil)
	flush := func() {
		switch s := string(word); {
		case s != "" && (clause{s}).starts(turns, 0):
			out = append(out, clauseEnd)
		case s != "":
			out = append(out, s)
		}
		word = word[:0]
	}
	for _, r := range strings.ToLower(strings.ReplaceAll(text, "’", "'")) {
		switch {
		case unicode.Is(unicode.Cf, r): // a soft hyphen is not seen
		case unicode.IsLetter(r), unicode.IsDigit(r), unicode.IsMark(r), r == '\'', r == '&' && len(word) > 0:
			word = append(word, r)
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
func ends(word string) bool { return word == clauseEnd || word == question || word == excepted }

// next is where the clause behind that of a place begins.
func (c clause) next(i int) int { return min(c.ends(i)+1, len(c)) }

// made reports whether nothing but these words stands from a place to another.
//
//go:noinline
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
//
//go:noinline
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

// parts are the places of the parts of a term that begins at a place, but for the first.
func (c clause) parts(t term, i int) (at []int) {
	for _, ways := range t[1:] {
		for k := c.begins(i); k < c.ends(i); k++ {
			if _, ok := c.way(ways, k); ok {
				at = append(at, k)
			}
		}
	}
	return at
}

// begins is where the clause of a word begins.
//
//go:noinline
func (c clause) begins(i int) int {
	for i > 0 && !ends(c[i-1]) {
		i--
	}
	return i
}

// ends is where the clause of a word ends.
//
//go:noinline
func (c clause) ends(i int) int {
	for i < len(c) && !ends(c[i]) {
		i++
	}
	return i
}

// way reports whether one of these ways of saying a thing begins at a place.
func (c clause) way(ways []string, i int) (end int, ok bool) {
	for _, way := range ways {
		if way[0] < firstWithin && i < len(c) && way[0] != c[i][0] {
			continue // most of the table
		}
		for end, more := i, true; end < len(c); end++ {
			var word string
			if word, way, more = strings.Cut(way, " "); !fits(c[end], word, more) {
				break
			}
			if !more {
				return end + 1, true
			}
		}
	}
	return i, false
}

// firstWithin is the least byte that a word of a script begins with which does not part its words.
const firstWithin = 0xd6

// fits reports whether a word is meant: by its start, as a whole where whole is set or it
// ends in "=", and anywhere in a script that does not part its words.
func fits(word, meant string, whole bool) bool {
	meant, exact := strings.CutSuffix(meant, "=")
	switch {
	case exact || whole:
		return word == meant
	case meant[0] >= firstWithin && strings.ContainsFunc(meant, func(r rune) bool {
		return unicode.In(r, unicode.Han, unicode.Hangul, unicode.Hiragana, unicode.Katakana, unicode.Arabic,
			unicode.Hebrew)
	}):
		return strings.Contains(word, meant)
	}
	return strings.HasPrefix(word, meant)
}
