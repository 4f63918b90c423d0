// Package remark reads what makers say of a drink, in their own words: whether it tells of a sign that something
// is wrong (IsSign), or of nothing at all (IsPlain), and what is likely behind it in a drink like theirs:
//
//	causes := remark.Causes("white spots on top", bottle, "peach", "clove")
//
// The words stand in data/tables/signs.csv, the causes in causes.csv. What is in doubt is a sign, and what could
// be life in a drink that does not stop life is never explained away.
package remark

import (
	"slices"
	"strings"
	"sync"

	"steepbook/data"
)

// sign is a row of data/tables/signs.csv, which is read as signs.md beside it says: what makers call
// what they see. bare says what else has to be said or left unsaid of it: "yes", "tart", "served", as
// the table tells. own is what has it of its own, but for unless; apart that another thing than the
// drink may have it.
type sign struct {
	key, decides, bare string
	terms, own, unless []term
	apart              bool
}

// term is what has to stand within one clause, each part in one of its ways; spaces part the words of a way.
type term [][]string

// firsts are the bytes with which a word that begins it can begin, firstWithin for any.
func (t term) firsts() (out []byte) {
	for _, way := range t[0] {
		if b := min(way[0], firstWithin); !slices.Contains(out, b) {
			out = append(out, b)
		}
	}
	return out
}

// vocabulary is the table of signs: the signs, and by their row the words that are none.
type vocabulary struct {
	signs []sign
	of    []int16 // the sign of each name
	// names, by what their first word begins with
	first                                   [firstWithin + 1][]int16
	deny, fill, carry, free, after, again   []term
	fine, turn, scent, none, served, matter []term
	answer, elsewhere, act, put, names      []term // names are the words of all the signs
	named, aroma, very, gone, last          []term
	noun, bare, except, weak, without       []term
	here, too, yes, stone, bitter           []term
	unsure, late, drink, likened, when      []term
	apart, room, within, place, kind        []term
	change, sniff, dish, likes, dressed     []term
	fats, lift                              []term
	// ways that rows share, which stand before them
	lists  map[string][]string
	laid   []string   // all ways
	parts  [][]string // and all parts
	things sync.Map   // by name, each held
}

// clauseEnd stands for a comma, a stop, a bracket, a "but", question for a mark behind which an
// answer may stand; excepted for "except"; named for the name of a thing in the drink, whatever words
// that holds.
const clauseEnd, question, excepted, named = ",", "?", "!", "*"

// noSigns are the keys of the rows that are no signs, in the order of vocabulary.
var noSigns = [...]string{
	"deny", "fill", "carry", "free", "after", "again", "fine", "turn", "scent", "none", "served", "matter",
	"answer",
	"elsewhere", "act", "put", "named", "aroma", "very", "gone", "last", "noun", "bare", "except", "weak",
	"without", "here", "too", "yes", "stone", "bitter", "unsure", "late", "drink", "likened",
	"when", "apart", "room", "within", "place", "kind", "change", "sniff", "dish", "likes", "dressed", "lift",
}

var things = []term{{{named}}}

var wordsOfSigns = sync.OnceValue(func() *vocabulary {
	v := &vocabulary{lists: map[string][]string{}, laid: make([]string, 0, 6000), parts: make([][]string, 0, 3500)}
	rows := map[string]*[]term{}
	for i, row := range [...]*[]term{
		&v.deny, &v.fill, &v.carry, &v.free, &v.after, &v.again, &v.fine, &v.turn, &v.scent, &v.none,
		&v.served, &v.matter, &v.answer, &v.elsewhere, &v.act, &v.put, &v.named, &v.aroma, &v.very,
		&v.gone, &v.last, &v.noun, &v.bare, &v.except, &v.weak, &v.without, &v.here, &v.too, &v.yes,
		&v.stone, &v.bitter, &v.unsure, &v.late, &v.drink, &v.likened, &v.when, &v.apart, &v.room,
		&v.within, &v.place, &v.kind, &v.change, &v.sniff, &v.dish, &v.likes, &v.dressed, &v.lift,
	} {
		rows[noSigns[i]] = row
	}
	for _, r := range data.Rows("signs.csv") {
		if r.Text("key") == "list" {
			v.lists["{"+r.Text("decides")+"}"] = v.ways(r.Text("words"))
			continue
		}
		terms := v.terms(r.Text("words"))
		if row := rows[r.Text("key")]; row != nil {
			*row = terms
			continue
		}
		for _, t := range terms {
			for _, b := range t.firsts() {
				v.first[b] = append(v.first[b], int16(len(v.of)))
			}
			v.of = append(v.of, int16(len(v.signs)))
		}
		v.names = append(v.names, terms...)
		v.signs = append(v.signs, sign{r.Text("key"), r.Text("decides"), r.Text("plain"), terms,
			v.terms(r.Text("own")), v.terms(r.Text("unless")), r.Text("apart") != ""})
	}
	v.fats = v.terms("{fats}")
	for _, r := range data.OpenTable("vocabulary.csv").Rows("denies") { // which reads what went in too
		v.deny = append(v.deny, v.terms(strings.ReplaceAll(r.Text("words"), ", ", "=; ")+"=")...)
	}
	return v
})

// terms are those of a cell.
func (v *vocabulary) terms(cell string) (terms []term) {
	if cell == "" {
		return nil
	}
	terms = make([]term, 0, strings.Count(cell, ";")+1)
	for text := range strings.SplitSeq(strings.ReplaceAll(cell, "-", " "), "; ") {
		from := len(v.parts)
		for part := range strings.SplitSeq(text, " + ") {
			v.parts = append(v.parts, v.ways(part))
		}
		terms = append(terms, term(v.parts[from:len(v.parts):len(v.parts)]))
	}
	return terms
}

// ways are those of a part, with what a list stands for in the place of its name.
func (v *vocabulary) ways(part string) []string {
	if list := v.lists[part]; list != nil {
		return list
	}
	from := len(v.laid)
	for way := range strings.SplitSeq(part, "/") {
		if list := v.lists[way]; list != nil {
			v.laid = append(v.laid, list...)
		} else {
			v.laid = append(v.laid, way)
		}
	}
	return v.laid[from:len(v.laid):len(v.laid)]
}

// Ahead reads the words by which a remark is read, for who does so beside other work.
func Ahead() { wordsOfSigns() }

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
	said := v.said(note)
	taken := v.taken(note, said)
	for k := range v.signs {
		s, there := &v.signs[k], false
		for _, h := range said[k] {
			switch {
			case v.ofAnother(note, h), len(h.term) == 1 && taken[h.at] != "" && taken[h.at] != s.key:
			case v.answered(note, h.end):
				cleared[note.begins(h.at)], cleared[note.begins(note.next(h.end))] = true, true
			case v.clears(s, note, h) && !v.takenBack(s, note, h):
				cleared[note.begins(h.at)] = true
				if end := note.ends(h.end); end < len(note) && note[end] == excepted {
					cleared[end+1] = true
				}
			default:
				there = true
			}
		}
		if there {
			seen = append(seen, *s)
		}
	}
	for i, word := range note {
		if !ends(word) && !cleared[note.begins(i)] && !note.made(i, i+1, v.fine, v.fill, v.matter) {
			return seen, false
		}
	}
	return seen, len(seen) == 0 && len(cleared) > 0
}

// hit is a term of a sign that stands in a remark, with where its first part does.
type hit struct {
	term
	at, end int
}

// said are the terms of each sign that stand in a remark.
func (v *vocabulary) said(note clause) [][]hit {
	out := make([][]hit, len(v.signs))
	for i, word := range note {
		for _, b := range [...]byte{min(word[0], firstWithin), firstWithin} {
			for _, k := range v.first[b] {
				t, sign := v.names[k], v.of[k]
				if _, ok := note.holds(t, i); ok || v.leftOut(note, t, i) {
					end, _ := note.way(t[0], i)
					out[sign] = append(out[sign], hit{t, i, end})
				}
			}
			if b == firstWithin {
				break
			}
		}
	}
	return out
}

// leftOut reports whether what begins at a place is a smell of which the word for smelling is left out:
// all that is said, or what it is like.
func (v *vocabulary) leftOut(note clause, t term, i int) bool {
	if len(t) != 2 || t[1][0] != "smell" || !note.starts([]term{t[:1]}, i) {
		return false // most, before the whole clause is looked at
	}
	from, to := note.begins(i), note.ends(i)
	return (to-from == len(note) || note.starts(v.likened, from)) &&
		note.made(from, to, []term{t[:1]}, v.fill, v.very, v.kind, v.likened)
}

// taken says of which cause of several words each word is one, by its key: lips that swell are no
// bottle that does.
func (v *vocabulary) taken(note clause, said [][]hit) []string {
	taken := make([]string, len(note))
	for k := range v.signs {
		for _, h := range said[k] {
			if s := &v.signs[k]; len(h.term) > 1 && s.decides != "" && taken[h.at] == "" &&
				!v.clears(s, note, h) {
				taken[h.at] = s.key
				for _, at := range note.parts(h.term, h.at) {
					taken[at] = s.key
				}
			}
		}
	}
	return taken
}

// IsSign reports whether a remark on a drink that holds things of these names tells of a sign that
// Causes knows, and whether all that it says is that nothing is wrong.
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
		if to := note.ends(i); !note.made(i, to, v.fine, v.fill, v.matter) && !note.has(i, to, v.act) {
			return false
		}
	}
	return true
}

// TellsOfAdding reports whether a remark says that something went in, which no note counts.
func TellsOfAdding(text string) bool { return wordsOfSigns().tells(text, wordsOfSigns().put) }

// TellsOfLifting reports whether a remark says that fat came off, which no note counts.
func TellsOfLifting(text string) bool { return wordsOfSigns().tells(text, wordsOfSigns().lift) }

// tells reports whether one of these is said, and not denied.
func (v *vocabulary) tells(text string, of []term) bool {
	note := clauses(text, v.turn)
	for i := range note {
		if note.starts(of, i) && !v.deniedBefore(note, i) {
			return true
		}
	}
	return false
}

// answered reports whether what ends at a place is asked for and denied by the answer: "mould? none".
func (v *vocabulary) answered(note clause, end int) bool {
	from, to := end, note.ends(end)
	if to < len(note) && note[to] == question {
		if !note.made(end, to, v.names, v.fill, v.matter) {
			return false
		}
		from, to = to+1, note.ends(to+1)
	}
	return from < to && note.starts(v.answer, from) && note.made(from, to, v.answer, v.fill, v.matter)
}

// takenBack reports whether an exception takes back that a sign is cleared, or what is said of this
// jar: "no mould except on the lid", but "no fizz except from pouring".
func (v *vocabulary) takenBack(s *sign, note clause, h hit) bool {
	begin, end := note.begins(h.at), note.ends(h.end)
	switch {
	case begin > 0 && note[begin-1] == excepted && (begin == 1 || ends(note[begin-2])):
		return true
	case s.bare != "smell" && end < len(note) && note[end] == excepted:
		return !note.made(end+1, note.ends(end+1), v.elsewhere, v.fill, v.matter, v.served, v.fine, v.aroma)
	}
	for b := note.next(end); b < len(note); b = note.next(b) {
		if note.has(b, note.ends(b), v.unsure) && note.made(b, note.ends(b), v.unsure, v.fill) {
			return true
		}
	}
	return v.ofThis(note, h.end, v.yes)
}

// clears reports whether what stands somewhere is no sign by what is said around it; who denies a
// part of it denies it: "no glass broken".
func (v *vocabulary) clears(s *sign, note clause, h hit) bool {
	i, end := h.at, h.end
	from, to := note.begins(i), note.ends(i)
	owner := to
	if s.bare == "before" { // what floats stands before that
		owner = i
	}
	if note.has(from, owner, s.own) && !note.has(from, to, s.unless) ||
		s.apart && v.besides(note, h) {
		return true
	}
	denied := v.denies(note, i, end) ||
		slices.ContainsFunc(note.parts(h.term, i), func(k int) bool { return v.deniedBefore(note, k) })
	switch s.bare {
	case "yes", "smell": // a denial may be of the praise: "does not smell right"
		return denied && note.made(end, note.ends(end), v.names, v.fill, v.carry, v.matter, v.deny) ||
			!denied &&
				(v.isFine(note, i, end) ||
					s.bare == "smell" && (v.isNamed(note, i, end) || v.isGone(note, end)))
	case "gone":
		return denied || v.isGone(note, end)
	case "reason":
		return denied || v.isReason(note, i)
	case "tart":
		next := note.ends(end) + 1
		return denied || v.isFine(note, i, end) ||
			next-1 == end && next < len(note) && note.made(next, note.ends(next), v.fine, v.fill)
	case "served":
		return denied || v.ofServing(s, note, i)
	}
	return denied
}

// denies reports whether what stands from i to end is said not to be there.
func (v *vocabulary) denies(note clause, i, end int) bool {
	last, to := note.longest(end, v.last), note.ends(end)
	closes := end < last && last == to && (to == len(note) || note[to] != question)
	if closes || note.starts(v.after, end) {
		return !v.deniedBefore(note, i) && !v.turned(note, i)
	}
	return v.deniedBefore(note, i) && !note.starts(v.again, end)
}

// deniedBefore reports whether a denial before a place reaches it: "no fizz or mould" denies both.
func (v *vocabulary) deniedBefore(note clause, i int) bool {
	across := [][]term{v.names, v.fill, v.carry, v.fats}
	for k := i - 1; k >= 0; k-- {
		switch {
		case note.starts(v.free, k): // "not free of"
			return note.made(note.begins(k), k, v.fill, v.matter)
		case note.starts(v.deny, k):
			return !v.turned(note, k)
		case !slices.ContainsFunc(across, func(of []term) bool { return note.starts(of, k) }):
			return false
		}
	}
	return false
}

// turned reports whether what stands before a denial leaves it open, or is one that turns it: "almost
// none", "not a jar without".
func (v *vocabulary) turned(note clause, k int) bool {
	for i := note.begins(k); i < k; i++ {
		end := note.longest(i, v.weak)
		if note.starts(v.without, k) {
			end = max(end, note.longest(i, v.deny))
		}
		if i < end && end <= k && note.made(end, k, v.fill, v.matter) {
			return true
		}
	}
	return false
}

// praiseDenied reports whether a denial before a place may be of the praise behind it: "no longer
// smells good", but "no fizz and smells good".
func (v *vocabulary) praiseDenied(note clause, i int) bool {
	for k := note.begins(i); k < i; k++ {
		if note.starts(v.deny, k) && !note.made(k+1, i, v.names, v.fill, v.carry, v.matter) {
			return true
		}
	}
	return false
}

// isFine reports whether a word from i to end is said to be as it should, or of a thing in it.
func (v *vocabulary) isFine(note clause, i, end int) bool {
	if v.praiseDenied(note, i) {
		return false
	}
	for next := note.longest(end, v.fill, v.very); next > end && !note.starts(v.deny, end); {
		end, next = next, note.longest(next, v.fill, v.very)
	}
	if end < len(note) && note[end] == named {
		return note.made(end, note.ends(end), things, v.fine, v.fill, v.matter)
	}
	likes := i - 1
	for likes > 0 && note.starts(v.fill, likes) {
		likes--
	}
	return note.starts(v.fine, end) || i > 0 && note.starts(v.fine, i-1) && !v.denies(note, i-1, i) ||
		likes >= 0 && note.starts(v.likes, likes) && !v.denies(note, likes, likes+1)
}

// isNamed reports whether a smell from i to end is named, before it or behind, which is no complaint:
// a bad one is a sign of its own. A denial may be of a praise.
func (v *vocabulary) isNamed(note clause, i, end int) bool {
	if v.praiseDenied(note, i) {
		return false
	}
	if note.starts(v.sniff, i) {
		next := note.next(end)
		return note.made(end, note.ends(end), v.fill, v.matter, v.very) &&
			note.made(next, note.ends(next), v.fine, v.fill, v.matter, v.very)
	}
	for end < len(note) && note.starts(v.very, end) && !note.starts(v.deny, end) {
		end = note.longest(end, v.very)
	}
	if note.has(end, note.ends(end), v.deny) {
		return false
	}
	if end == note.ends(end) { // "orange smell", but "the jar began to smell"
		return i > note.begins(i) && note.starts(v.noun, i) &&
			note.longest(i-1, v.bare, v.fill, v.matter, v.carry, v.very, v.deny) == i-1
	}
	what := [][]term{v.aroma, v.fine, v.fill, v.very, v.matter}
	if !note.starts(v.noun, i) {
		what = append(what, v.change)
	}
	return note.starts(v.named, end) || note.starts(v.named, i) || note.made(end, note.ends(end), what...)
}

// isReason reports whether an illness is why something was done late or not at all, by what another
// clause says, and nothing says that it came of a drink.
func (v *vocabulary) isReason(note clause, i int) (late bool) {
	for k := range note {
		if note.starts(v.drink, k) && !v.deniedBefore(note, k) {
			return false
		}
		late = late || note.begins(k) != note.begins(i) && note.starts(v.late, k)
	}
	return late
}

// isGone reports whether what ends at a place is said to have gone, and no more.
func (v *vocabulary) isGone(note clause, end int) bool {
	return note.has(end, note.ends(end), v.gone) &&
		note.made(end, note.ends(end), v.gone, v.fill, v.matter, v.very)
}

// ofServing reports whether the clause of a sign says that the serving makes it, or the one before
// it does, and nothing that is not known besides.
func (v *vocabulary) ofServing(s *sign, note clause, i int) bool {
	from, to := note.begins(i), note.ends(i)
	if note.has(from, to, v.served) {
		return note.made(from, to, s.terms, v.served, v.fine, v.fill, v.matter)
	}
	return from > 0 && note.has(note.begins(from-1), from-1, v.served) &&
		note.made(from, to, s.terms, v.fine, v.fill, v.served)
}
