package bench

import (
	"bytes"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// batchText writes the new batch: the old text with new amounts and prices,
// without what belongs to the old batch alone.
func (s *Scaled) batchText(src []byte, q ScaleQuestion) ([]byte, error) {
	b := s.From.Batch
	t := cutTOML(src)
	x := &exchange{batch: b, text: t, taken: map[string]int{}, edits: t.without("tasting", "pulled", "measured")}
	x.set([]any{"name"}, strconv.Quote(b.Name+", "+s.sizeText(q)))
	x.set([]any{"started"}, q.Now.Format("2006-01-02T15:04:00"))
	for _, r := range s.Amounts {
		if r.New != nil {
			x.set(pathTo(r.path, "amount"), strconv.Quote(r.New.Text))
		}
		if r.price != nil {
			x.set(pathTo(r.path, "price"), strconv.FormatFloat(*r.price, 'f', 2, 64))
		}
	}
	for _, e := range b.Additions {
		if off := e.BoiledOff; off != nil {
			exact := *off
			exact.Low, exact.High = exact.Low*s.Factor, exact.High*s.Factor
			rounded, _ := quantity.Closely(exact, b.Units)
			x.set([]any{"addition", e.Index, "boiled_off"}, strconv.Quote(rounded.Text))
		}
	}
	for _, e := range b.Botanicals {
		x.span([]any{"botanical", e.Index, "in"}, e.In)
	}
	for _, s := range []*batch.Stage{b.Finish.Strained, b.Finish.Bottled, b.Finish.Opened} {
		if s != nil {
			x.span([]any{"finish", s.Key}, s.Hours)
		}
	}
	if q.Bottle != nil {
		x.bottle(q.Bottle.Text)
	}
	if x.err != nil {
		return nil, x.err
	}
	top := len(src) - len(bytes.TrimPrefix(src, []byte("\uFEFF")))
	x.edits = append(x.edits, edit{top, top, s.heading(q)})
	return t.apply(x.edits), nil
}

// sizeText is the size that was asked for, to tell the new batch from the old.
func (s *Scaled) sizeText(q ScaleQuestion) string {
	switch {
	case q.Size.Factor > 0:
		return "x" + quantity.FormatNumber(s.Factor)
	case q.Size.Item != "":
		return q.Size.Amount.Text + " of " + q.Size.Item
	}
	return q.Size.Text
}

// heading is the comment that says where the new batch comes from.
func (s *Scaled) heading(q ScaleQuestion) string {
	b := s.From.Batch
	size := "x" + quantity.FormatNumber(s.Factor)
	if q.Size.Factor == 0 {
		size = q.Size.Text + ", " + size
	}
	plain := func(text string) string {
		return strings.Map(func(r rune) rune {
			if unicode.IsControl(r) {
				return ' '
			}
			return r
		}, text)
	}
	return plain(fmt.Sprintf("# Scaled from %s (%s, started %s): %s.", q.From, b.Name, b.Started.Format(time.DateOnly), size)) + "\n" +
		"# The amounts are rounded to what can be measured. Set started to the moment the liquid meets the first botanical.\n"
}

// exchange collects the edits of a batch file and keeps the first thing that
// cannot be edited.
type exchange struct {
	batch *batch.Batch
	text  *tomlText
	taken map[string]int // pairs of one name used up on one line
	edits []edit
	err   error
}

// find is the value at a path of the document; ok is false when there is none.
func (x *exchange) find(path []any) (p tomlPair, ok bool) {
	if x.err != nil || !x.batch.Doc.Has(path...) {
		return tomlPair{}, false
	}
	name, _ := path[len(path)-1].(string)
	line := x.batch.Doc.Line(path...)
	at := fmt.Sprint(line, " ", name)
	p, ok = x.text.nth(line, name, x.taken[at])
	x.taken[at]++
	if !ok {
		x.err = unwritable(x.batch, path)
	}
	return p, ok
}

// unwritable is the error for a value that is written in a way that cannot be
// exchanged.
func unwritable(b *batch.Batch, path []any) error {
	return b.Errorf(path, "", "%v cannot be exchanged as it is written; put it on a line of its own as key = value", path[len(path)-1])
}

func (x *exchange) set(path []any, value string) {
	if p, ok := x.find(path); ok {
		x.edits = append(x.edits, edit{p.from, p.to, value})
	}
}

// span turns a time of the clock, which belongs to the old batch, into the
// span since its start. A span stays as the maker wrote it.
func (x *exchange) span(path []any, hours float64) {
	p, ok := x.find(path)
	if !ok {
		return
	}
	if old := string(x.text.src[p.from:p.to]); strings.HasPrefix(old, `"`) || strings.HasPrefix(old, "'") {
		if _, err := quantity.ParseDuration(strings.Trim(old, `"'`)); err == nil {
			return
		}
	}
	x.edits = append(x.edits, edit{p.from, p.to, strconv.Quote(exactSpan(hours))})
}

// bottle writes the size of the bottles, where none was written too.
func (x *exchange) bottle(size string) {
	path := []any{"finish", "bottle"}
	if x.batch.Doc.Has(path...) {
		x.set(path, strconv.Quote(size))
		return
	}
	line := "bottle = " + strconv.Quote(size) + "\n"
	for _, item := range x.text.items {
		if item.table == "finish" && !item.array {
			if n := item.to; x.text.src[n-1] != '\n' {
				line = "\n" + line
			}
			x.edits = append(x.edits, edit{item.to, item.to, line})
			return
		}
	}
	if x.batch.Doc.Has("finish") {
		x.err = unwritable(x.batch, []any{"finish"})
		return
	}
	end := len(x.text.src)
	x.edits = append(x.edits, edit{end, end, "\n[finish]\n" + line})
}

// exactSpan writes a length of time to the second.
func exactSpan(hours float64) string {
	left := time.Duration(math.Round(hours*3600)) * time.Second
	var words []string
	for _, u := range []struct {
		span time.Duration
		name string
	}{{time.Hour, "h"}, {time.Minute, "min"}, {time.Second, "s"}} {
		if n := left / u.span; n > 0 {
			words = append(words, fmt.Sprintf("%d %s", n, u.name))
			left -= n * u.span
		}
	}
	if len(words) == 0 {
		return "0 h"
	}
	return strings.Join(words, " ")
}

// verify holds the new batch, as it reads, against what it should say: the
// same as the old one but for what was meant to change.
func (s *Scaled) verify(bottle *quantity.Amount) error {
	old, to := s.From.Batch, s.Batch
	want := *old
	want.Name, want.File, want.Doc, want.Started, want.StartedDateOnly = to.Name, to.File, to.Doc, to.Started, to.StartedDateOnly
	want.Tastings, want.Pulls, want.Measured = nil, nil, batch.Measured{}
	want.Spirits, want.Botanicals, want.Additions = slices.Clone(old.Spirits), slices.Clone(old.Botanicals), slices.Clone(old.Additions)
	for _, r := range s.Amounts {
		i, _ := r.path[1].(int)
		switch r.Part {
		case "spirit":
			want.Spirits[i].Amount, want.Spirits[i].Price = r.New, r.price
		case "botanical":
			want.Botanicals[i].Amount, want.Botanicals[i].Price = r.New, r.price
		default:
			want.Additions[i].Amount, want.Additions[i].Price = r.New, r.price
		}
	}
	for i := range min(len(want.Additions), len(to.Additions)) {
		want.Additions[i].BoiledOff = to.Additions[i].BoiledOff
	}
	// A clock time that became a span may differ in the last bits.
	same := func(a, b float64) bool { return math.Abs(a-b) < 1e-3 }
	for i := range min(len(want.Botanicals), len(to.Botanicals)) {
		if same(want.Botanicals[i].In, to.Botanicals[i].In) {
			want.Botanicals[i].In = to.Botanicals[i].In
		}
	}
	for _, s := range [][3]**batch.Stage{
		{&old.Finish.Strained, &to.Finish.Strained, &want.Finish.Strained},
		{&old.Finish.Bottled, &to.Finish.Bottled, &want.Finish.Bottled},
		{&old.Finish.Opened, &to.Finish.Opened, &want.Finish.Opened},
	} {
		if *s[0] != nil && *s[1] != nil && same((*s[0]).Hours, (*s[1]).Hours) {
			*s[2] = *s[1]
		}
	}
	if bottle != nil {
		want.Finish.Bottle = bottle
	}
	if !reflect.DeepEqual(&want, to) {
		return fmt.Errorf("%s cannot be scaled as it is written; put each table under a header of its own, such as [[botanical]], and each amount on its own line", old.File)
	}
	return nil
}

// tomlText is a batch file cut into what stands in it, so that single values
// can be exchanged and everything else stays as the maker wrote it. It relies
// on the text having been read without a fault before: of a broken text it
// makes something, but nothing useful.
type tomlText struct {
	src   []byte
	pos   int
	line  int // 1-based, at pos
	items []tomlItem
}

// tomlItem is one header or one key with its value at the top level of a file.
type tomlItem struct {
	table    string // for a header the first part of its name; "" for a key
	array    bool   // [[header]]
	top      string // the first part of a key
	from, to int    // the whole lines it stands on, line end included
	pairs    []tomlPair
}

// tomlPair is a key with its value, at any depth of inline tables.
type tomlPair struct {
	name     string // last part of a dotted key
	line     int
	from, to int // byte range of the value
}

func cutTOML(src []byte) *tomlText {
	t := &tomlText{src: src, line: 1}
	if bytes.HasPrefix(src, []byte("\uFEFF")) {
		t.pos = len("\uFEFF")
	}
	for t.pos < len(t.src) {
		start := t.lineStart(t.pos)
		t.blank(false)
		switch c := t.peek(); c {
		case '\n', '#', 0:
		case '[':
			item := tomlItem{from: start}
			for t.peek() == '[' {
				item.array = t.pos > 0 && t.src[t.pos-1] == '['
				t.pos++
			}
			t.blank(false)
			item.table = t.key()[0]
			t.items = append(t.items, item)
		default:
			item := tomlItem{from: start}
			item.top = t.pair(&item.pairs)
			t.items = append(t.items, item)
		}
		t.endLine()
		if n := len(t.items); n > 0 && t.items[n-1].to == 0 {
			t.items[n-1].to = t.pos
		}
	}
	return t
}

func (t *tomlText) peek() byte {
	if t.pos >= len(t.src) {
		return 0
	}
	return t.src[t.pos]
}

func (t *tomlText) lineStart(pos int) int { return bytes.LastIndexByte(t.src[:pos], '\n') + 1 }

// endLine moves behind the line end.
func (t *tomlText) endLine() {
	i := bytes.IndexByte(t.src[t.pos:], '\n')
	if i < 0 {
		t.pos = len(t.src)
		return
	}
	t.pos += i + 1
	t.line++
}

// blank skips spaces; with lines, line ends and comments too.
func (t *tomlText) blank(lines bool) {
	for {
		switch c := t.peek(); {
		case c == ' ', c == '\t', c == '\r':
			t.pos++
		case lines && c == '\n', lines && c == '#':
			t.endLine()
		default:
			return
		}
	}
}

// key reads a dotted key into its parts; there is at least one.
func (t *tomlText) key() []string {
	var parts []string
	for {
		t.blank(false)
		from := t.pos
		if c := t.peek(); c == '"' || c == '\'' {
			t.text()
			parts = append(parts, string(t.src[min(from+1, t.pos):max(from+1, t.pos-1)]))
		} else {
			for t.pos < len(t.src) && !strings.ContainsRune(" \t\r\n.=]#", rune(t.peek())) {
				t.pos++
			}
			parts = append(parts, string(t.src[from:t.pos]))
		}
		t.blank(false)
		if t.peek() != '.' {
			return parts
		}
		t.pos++
	}
}

// pair reads key = value, notes it and every pair within the value, and
// returns the first part of its key.
func (t *tomlText) pair(pairs *[]tomlPair) (top string) {
	line := t.line
	name := t.key()
	if t.peek() == '=' {
		t.pos++
	}
	t.blank(false)
	at := len(*pairs)
	*pairs = append(*pairs, tomlPair{name: name[len(name)-1], line: line, from: t.pos})
	t.value(pairs)
	(*pairs)[at].to = t.pos
	return name[0]
}

func (t *tomlText) value(pairs *[]tomlPair) {
	switch c := t.peek(); c {
	case '"', '\'':
		t.text()
	case '[', '{':
		t.pos++
		for {
			t.blank(true)
			switch c2 := t.peek(); {
			case c2 == 0:
				return
			case c2 == ']', c2 == '}':
				t.pos++
				return
			case c2 == ',':
				t.pos++
			case c == '[':
				from := t.pos
				t.value(pairs)
				if t.pos == from { // not TOML: do not stand still
					t.pos++
				}
			default:
				from := t.pos
				t.pair(pairs)
				if t.pos == from {
					t.pos++
				}
			}
		}
	default:
		from := t.pos
		for t.pos < len(t.src) && !strings.ContainsRune(",]}#\r\n", rune(t.peek())) {
			t.pos++
		}
		t.pos = from + len(bytes.TrimRight(t.src[from:t.pos], " \t"))
	}
}

// text moves behind a string of any of the four kinds.
func (t *tomlText) text() {
	mark := t.src[t.pos : t.pos+1]
	escapes := mark[0] == '"'
	if three := bytes.Repeat(mark, 3); bytes.HasPrefix(t.src[t.pos:], three) {
		mark = three
	}
	t.pos += len(mark)
	for t.pos < len(t.src) {
		switch {
		case escapes && t.src[t.pos] == '\\':
			t.pos += 2
		case bytes.HasPrefix(t.src[t.pos:], mark):
			t.pos += len(mark)
			// A long string may end in one or two quotes of its own.
			for len(mark) == 3 && t.peek() == mark[0] {
				t.pos++
			}
			return
		default:
			if t.src[t.pos] == '\n' {
				t.line++
			}
			t.pos++
		}
	}
	t.pos = len(t.src)
}

// nth finds the value of the nth pair (from 0) of that name on a line. Several
// stand on one line only within inline tables.
func (t *tomlText) nth(line int, name string, n int) (tomlPair, bool) {
	for _, item := range t.items {
		for _, p := range item.pairs {
			if p.line != line || p.name != name {
				continue
			}
			if n == 0 {
				return p, true
			}
			n--
		}
	}
	return tomlPair{}, false
}

// edit exchanges a stretch of the text.
type edit struct {
	from, to int
	text     string
}

// without leaves out the tables of these names with what belongs to them: the
// comment right above a header, and the empty lines in between.
func (t *tomlText) without(tables ...string) []edit {
	var edits []edit
	inside := false
	for _, item := range t.items {
		header := item.table != ""
		if header {
			inside = slices.Contains(tables, item.table)
		}
		if !inside && (header || !slices.Contains(tables, item.top)) {
			continue
		}
		from := item.from
		if header {
			from = t.aboveHeader(from, edits)
		}
		if n := len(edits); n > 0 && len(bytes.TrimSpace(t.src[edits[n-1].to:from])) == 0 {
			edits[n-1].to = item.to
			continue
		}
		edits = append(edits, edit{from: from, to: item.to})
	}
	for i, e := range edits {
		next, _, _ := bytes.Cut(t.src[e.to:], []byte("\n"))
		if len(bytes.TrimSpace(next)) == 0 {
			edits[i].from = t.overBlanks(e.from)
		}
	}
	return edits
}

// aboveHeader includes the comment lines that stand right above a header, when
// they do not belong to what comes before them.
func (t *tomlText) aboveHeader(from int, edits []edit) int {
	at := from
	for at > 0 {
		start := t.lineStart(at - 1)
		line := bytes.TrimSpace(t.src[start:at])
		switch {
		case len(line) > 0 && line[0] == '#':
			at = start
			continue
		case len(line) == 0, len(edits) > 0 && edits[len(edits)-1].to == at:
			return at
		}
		return from
	}
	return from
}

// overBlanks moves up over empty lines.
func (t *tomlText) overBlanks(at int) int {
	for at > 0 {
		start := t.lineStart(at - 1)
		if len(bytes.TrimSpace(t.src[start:at])) > 0 {
			return at
		}
		at = start
	}
	return at
}

// apply makes the edits, which must not overlap, and writes new line ends as
// the file has them.
func (t *tomlText) apply(edits []edit) []byte {
	slices.SortStableFunc(edits, func(a, b edit) int { return a.from - b.from })
	end := "\n"
	if i := bytes.IndexByte(t.src, '\n'); i > 0 && t.src[i-1] == '\r' {
		end = "\r\n"
	}
	var out bytes.Buffer
	at := 0
	for _, e := range edits {
		if e.from < at {
			continue
		}
		out.Write(t.src[at:e.from])
		out.WriteString(strings.ReplaceAll(e.text, "\n", end))
		at = e.to
	}
	out.Write(t.src[at:])
	return out.Bytes()
}
