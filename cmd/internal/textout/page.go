// Package textout turns an assessment into quiet text for people and JSON for
// programs. It computes nothing: it rounds, words and lines up.
package textout

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// width is where text is wrapped, in characters.
const width = 88

// Style is how answers are printed.
type Style struct {
	Units  quantity.System
	Colour bool
	JSON   bool // for programs
}

// Page writes an answer, as text line by line or as JSON at once, and remembers the
// first write error.
type Page struct {
	Style
	w   io.Writer
	err error
}

// NewPage returns a page that writes to w.
func NewPage(w io.Writer, s Style) *Page { return &Page{Style: s, w: w} }

// done returns the first error met in writing.
func (p *Page) done() error { return p.err }

// say fills in a sentence in the units of the maker.
func (p *Page) say(format string, args ...any) string {
	return quantity.Say(fmt.Sprintf(format, args...), p.Units)
}

// line writes one line, not wrapped.
func (p *Page) line(format string, args ...any) {
	if p.err == nil {
		_, p.err = io.WriteString(p.w, p.say(format, args...)+"\n")
	}
}

// lines writes each as it is.
func (p *Page) lines(list []string) {
	for _, l := range list {
		p.line("%s", l)
	}
}

// para writes text wrapped to the page.
func (p *Page) para(format string, args ...any) { p.lines(wrap(p.say(format, args...), width)) }

// note writes a text as it was written elsewhere; nothing for "".
func (p *Page) note(text string) {
	if text != "" {
		p.para("%s", text)
	}
}

// answer writes a sentence as the answer; answers does so with each.
func (p *Page) answer(format string, args ...any) { p.note(p.strong(fmt.Sprintf(format, args...))) }

func (p *Page) answers(list []string) {
	for _, s := range list {
		p.answer("%s", s)
	}
}

// item writes a wrapped remark under the answer, hung by two spaces.
func (p *Page) item(format string, args ...any) { p.lines(hang("- ", "  ", p.say(format, args...))) }

// items writes each as a remark.
func (p *Page) items(list []string) {
	for _, text := range list {
		p.item("%s", text)
	}
}

// hang wraps text behind a first and, on the lines that follow, a further margin.
func hang(first, further, text string) []string {
	lines := wrap(text, max(width-utf8.RuneCountInString(further), 24))
	for i, l := range lines {
		if i == 0 {
			l = first + l
		} else {
			l = further + l
		}
		lines[i] = strings.TrimRight(l, " ")
	}
	return lines
}

// pair is a heading with what is said of it.
type pair struct{ head, text string }

// pairs writes headings in one column and wrapped text in the other, leaving
// out what is empty.
func (p *Page) pairs(list []pair) {
	list = slices.DeleteFunc(slices.Clone(list), func(l pair) bool { return l.text == "" })
	room := 0
	for _, l := range list {
		room = max(room, utf8.RuneCountInString(l.head))
	}
	for _, l := range list {
		p.lines(hang(pad(l.head, room+2), pad("", room+2), quantity.Say(l.text, p.Units)))
	}
}

// table writes rows under a header in columns, the last one wrapped.
func (p *Page) table(header []string, rows [][]string) {
	last := len(header) - 1
	widths := make([]int, last)
	all := append([][]string{header}, rows...)
	for _, row := range all {
		for i := range row {
			row[i] = quantity.Say(row[i], p.Units)
		}
		for i := range widths {
			widths[i] = max(widths[i], utf8.RuneCountInString(row[i]))
		}
	}
	for r, row := range all {
		first := ""
		for i, w := range widths {
			first += pad(row[i], w+2)
		}
		for _, l := range hang(first, pad("", utf8.RuneCountInString(first)), row[last]) {
			if r == 0 {
				l = p.dim(l)
			}
			p.line("%s", l)
		}
	}
}

// each is a list with every element as a view has it: a row of a table, or an object
// for programs.
func each[T, U any](list []T, as func(*T) U) []U {
	out := make([]U, len(list))
	for i := range list {
		out[i] = as(&list[i])
	}
	return out
}

// strong marks a sentence as the answer, where colour is on.
func (p *Page) strong(s string) string { return p.marked("1", s) }

func (p *Page) dim(s string) string { return p.marked("2", s) }

func (p *Page) marked(how, s string) string {
	if !p.Colour {
		return s
	}
	return "\x1b[" + how + "m" + s + "\x1b[0m"
}

func pad(s string, n int) string {
	return s + strings.Repeat(" ", max(0, n-utf8.RuneCountInString(s)))
}

func wrap(text string, width int) []string {
	var lines []string
	for _, para := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		line := ""
		for _, word := range strings.Fields(para) {
			switch {
			case line == "":
				line = word
			case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) <= width:
				line += " " + word
			default:
				lines = append(lines, line)
				line = word
			}
		}
		lines = append(lines, line)
	}
	return lines
}

// number rounds a figure to what its 90 % range deserves: the last figure printed is
// about as large as half the range, or a tenth of it where the range is
// narrow. A figure without a range gets three figures.
func number(r mixture.Range) string {
	if math.IsInf(r.High, 1) && r.Low >= 0 {
		return "at least " + significant(r.Low, 3)
	}
	text, _ := rounded(r)
	return text
}

// rounded is number with the decimals it deserves, -2 for a figure without a range.
func rounded(r mixture.Range) (text string, decimals int) {
	half := (r.High - r.Low) / 2
	if math.IsInf(half, 0) || math.IsNaN(half) || half <= 0 {
		return significant(r.Value, 3), noRange
	}
	decimals = decimalsOf(r.Value, half)
	return fixed(r.Value, decimals), decimals
}

const noRange = -2

// decimalsOf keeps a figure below a hundred from being rounded to tens: that
// would hide it rather than hedge it.
func decimalsOf(v, half float64) int {
	d := decimalsFor(half)
	if math.Abs(v) < 100 {
		d = max(d, 0)
	}
	return d
}

// decimalsFor is how many decimals a figure with this half range deserves, -1
// for tens. Coarser than tens hides more than it hedges: the range is there.
func decimalsFor(half float64) int {
	return max(min(int(math.Ceil(-math.Log10(half)-1e-9)), 3), -1)
}

func fixed(v float64, decimals int) string {
	if decimals < 0 {
		step := math.Pow(10, float64(-decimals))
		v, decimals = math.Round(v/step)*step, 0
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

func significant(v float64, figures int) string {
	if math.Abs(v) < 1e-9 {
		return "0"
	}
	decimals := figures - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	s := fixed(v, decimals)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// ranged prints a figure and its 90 % range with the same number of decimals.
func ranged(r mixture.Range) string {
	text, d := rounded(r)
	if d == noRange || fixed(r.Low, d) == fixed(r.High, d) {
		return text
	}
	return fmt.Sprintf("%s (%s-%s)", text, fixed(r.Low, d), fixed(r.High, d))
}

// score prints a strength on the 0-10 scale.
func score(v float64) string { return fixed(math.Min(v, 10), 1) }

// percent prints a chance as a whole per cent, never as certainty.
func percent(share float64) string {
	switch {
	case share < 0.01:
		return "under 1 %"
	case share > 0.99:
		return "over 99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*share)
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
