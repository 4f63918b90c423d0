package pen

import (
	"cmp"
	"slices"
	"strings"

	"steepbook/data/quantity"
)

// Screen is one answer in words, in the units of its maker: what the text, the page and
// the browser say alike. A view makes one for each question.
type Screen struct {
	// Say is the conclusion; its first line is what a person would say aloud.
	Say []string
	// Danger is what can hurt someone, the gravest first: it is never left out.
	Danger []string
	// Due is what is done next, and the last hour of what must not wait: it is never left out.
	Due []string
	// Holds is what whoever drinks it must be told, such as allergens: it is never left out.
	Holds string
	// Head are the titles of the columns, often none; Rows are what is said of each
	// thing, the most urgent first: the first cell names it, the last one may be long.
	Head []string
	Rows [][]string
	// Answer are those of Rows that are what was asked for: they are never left out; where room is short each
	// row is what its last cell says first, in one line.
	Answer []int
	// Notes are worth knowing, the most telling first.
	Notes []string
	// Next is the line to type next, empty where there is none.
	Next string
	// More is what to type for what does not fit; empty where --why on the same line does.
	More string
}

// Above takes what can hurt off a screen, to stand above several of them, each thing once and as fully as any
// says it.
func (s *Screen) Above(all []string) []string {
	within := func(short, full string) bool { // its name may stand further before it there
		of, said, _ := strings.Cut(strings.TrimSuffix(short, "."), ": ")
		return strings.Contains(full, of) && strings.Contains(full, said)
	}
	for _, d := range s.Danger {
		if i := slices.IndexFunc(all, func(other string) bool { return within(other, d) }); i >= 0 {
			all[i] = d
		} else if !slices.ContainsFunc(all, func(other string) bool { return within(d, other) }) {
			all = append(all, d)
		}
	}
	s.Danger = nil
	return all
}

// Said is the screen with every figure in the units of its maker, and nothing that is
// unseen.
func (s Screen) Said(units quantity.System) Screen {
	say := func(list []string) []string {
		return Each(list, func(text *string) string {
			return quantity.Say(strings.ReplaceAll(Clean(*text),
				"\n", " "), units)
		})
	}
	s.Say, s.Danger, s.Due, s.Head, s.Notes = say(s.Say), say(s.Danger), say(s.Due), say(s.Head), say(s.Notes)
	s.Rows = Each(s.Rows, func(row *[]string) []string { return say(*row) })
	s.Holds = quantity.Say(Clean(s.Holds), units)
	return s
}

// Lines of a first screen, as an 80 column terminal counts them.
const (
	OfScreen = 12
	OfKeep   = 8
	Whole    = 0 // all of it
)

// block is lines of a screen that stay together.
type block struct {
	lines []string
	must  bool // it is never left out
	gap   bool // a blank line before it, where there is room
	in    bool
}

// Screen prints an answer within so many lines of an 80 column terminal, more on a
// narrower one, and counts what does not fit; with Whole it prints all of it. What is
// said first, what is dangerous and what is due is printed whatever its length, then the rows from
// the top, the line to type, the notes from the top; a row is cut only as Answer says, a note
// never.
func (p *Page) Screen(s Screen, lines int) {
	blocks, rows, next, notes := p.blocks(s)
	total := long(blocks)
	room := total
	if lines != Whole {
		lines = max(lines, (lines*Usual+p.width()-1)/p.width())
		if room = lines; total > lines {
			room -= len(p.rest(total, &s)) // what counts the rest
		}
	}
	if len(s.Answer) > 0 && long(blocks)-long(notes) > room {
		s.Rows = p.brief(&s)
		blocks, rows, next, notes = p.blocks(s)
		for _, i := range s.Answer {
			rows[len(rows)-len(s.Rows)+i].must = true
		}
	}
	more := total - long(blocks)
	for _, b := range blocks {
		if b.must {
			b.in = true
			room -= len(b.lines)
		}
	}
	let := func(list []*block) (all bool) {
		for _, b := range list {
			if b.in {
				continue
			}
			if len(b.lines) > room {
				return false
			}
			b.in = true
			room -= len(b.lines)
		}
		return true
	}
	if all := let(rows); let(next) && all {
		let(notes)
	}
	for i, b := range blocks {
		if !b.in {
			more += len(b.lines)
			continue
		}
		if b.gap && i > 0 && (lines == Whole || room > 0) {
			p.Line("")
			room--
		}
		p.Lines(b.lines)
	}
	if more > 0 {
		for _, l := range p.rest(more, &s) {
			p.Line("%s", p.faint(l))
		}
	}
}

// long is how many lines blocks have.
func long(blocks []*block) (lines int) {
	for _, b := range blocks {
		lines += len(b.lines)
	}
	return lines
}

// brief is the rows of a screen without the later clauses of what takes several lines, the last left out
// first, then with no more of a name than has room in one line, and without its last words.
func (p *Page) brief(s *Screen) [][]string {
	rows := Each(s.Rows, func(row *[]string) []string { return slices.Clone(*row) })
	shorter := func(change func(row []string) bool) (changed bool) {
		_, set := p.table(s.Head, rows, p.cellRoom())
		for i, row := range rows {
			changed = len(set[i]) > 1 && change(row) || changed
		}
		return changed
	}
	without := func(last, end string) {
		for shorter(func(row []string) bool {
			said := &row[len(row)-1]
			at := strings.LastIndex(*said, last)
			if at > 0 {
				*said = strings.TrimRight((*said)[:at], " ,:…") + end
			}
			return at > 0
		}) {
		}
	}
	without("; ", "")
	var names []string
	for _, row := range rows {
		names = append(names, row[:len(row)-1]...)
	}
	short := apart(names, p.cellRoom())
	shorter(func(row []string) bool {
		for k := range row[:len(row)-1] {
			row[k] = short[row[k]]
		}
		return true
	})
	without(" ", "…")
	return rows
}

// rest counts the lines that are left out, and says how they are had.
func (p *Page) rest(lines int, s *Screen) []string {
	return Wrap(quantity.Counted(lines, "more line", "more lines")+": "+cmp.Or(s.More, "--why"), p.width())
}

// blocks lays a screen out; what may be left out stands in rows, next and notes too.
func (p *Page) blocks(s Screen) (all, rows, next, notes []*block) {
	add := func(b block) *block {
		all = append(all, &b)
		return &b
	}
	text := func(t string) []string { return Wrap(p.Say("%s", t), p.width()) }
	strong := func(t string) []string {
		return Each(text(t), func(l *string) string { return p.Strong(*l) })
	}
	must := func(list ...string) {
		for _, t := range list {
			add(block{lines: strong(t), must: true})
		}
	}
	for i, t := range s.Say {
		if i == 0 {
			must(t)
			must(s.Danger...)
			continue
		}
		rows = append(rows, add(block{lines: strong(t)}))
	}
	must(s.Due...)
	if s.Holds != "" {
		add(block{lines: text("Holds: " + s.Holds), must: true})
	}
	head, set := p.table(s.Head, s.Rows, p.cellRoom())
	for i, lines := range set {
		if i == 0 && len(head) > 0 {
			lines = append(Each(head, func(l *string) string { return p.faint(*l) }), lines...)
		}
		rows = append(rows, add(block{lines: lines, gap: i == 0}))
	}
	for i, t := range s.Notes {
		notes = append(notes, add(block{lines: text(t), gap: i == 0 && len(set) > 0}))
	}
	if s.Next != "" {
		next = append(next, add(block{lines: p.command(s.Next), gap: len(s.Notes) == 0 && len(set) > 0}))
	}
	return all, rows, next, notes
}

// Command prints a line to type, broken as a shell lets one.
func (p *Page) Command(line string) { p.Lines(p.command(line)) }

// command breaks a line to type where it is too long, behind a backslash and between its
// words, so that it can still be copied.
func (s Style) command(line string) []string {
	var lines []string
	now := "  "
	words := typed(line)
	for i, word := range words {
		room := s.width() - 2 // for the backslash
		if i == len(words)-1 {
			room = s.width()
		}
		switch {
		case strings.TrimSpace(now) == "":
			now += word
		case columns(now)+1+columns(word) <= room:
			now += " " + word
		default:
			lines, now = append(lines, now+" \\"), "    "+word
		}
	}
	return append(lines, now)
}

// typed parts a line to type at the spaces that no quotation mark holds.
func typed(line string) []string {
	var words []string
	quoted := false
	return append(words, strings.FieldsFunc(line, func(r rune) bool {
		if r == '"' {
			quoted = !quoted
		}
		return r == ' ' && !quoted
	})...)
}
