// Package textout turns an assessment into quiet text for people and JSON for
// programs. It computes nothing: it rounds, words and lines up.
package textout

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"steepbook/data/quantity"
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

// Err returns the first error met in writing.
func (p *Page) Err() error { return p.err }

// say fills in a sentence in the units of the maker.
func (p *Page) say(format string, args ...any) string {
	return quantity.Say(fmt.Sprintf(format, args...), p.Units)
}

// Line writes one line, not wrapped.
func (p *Page) Line(format string, args ...any) {
	if p.err == nil {
		_, p.err = io.WriteString(p.w, p.say(format, args...)+"\n")
	}
}

// Para writes text wrapped to the page.
func (p *Page) Para(format string, args ...any) {
	for _, l := range wrap(p.say(format, args...), width) {
		p.Line("%s", l)
	}
}

// note writes a text as it was written elsewhere; nothing for "".
func (p *Page) note(text string) {
	if text != "" {
		p.Para("%s", text)
	}
}

// Item writes a wrapped remark under the answer, hung by two spaces.
func (p *Page) Item(format string, args ...any) {
	for i, l := range wrap(p.say(format, args...), width-2) {
		if i == 0 {
			p.Line("- %s", l)
		} else {
			p.Line("  %s", l)
		}
	}
}

// Pair is a heading with what is said of it.
type Pair struct{ Head, Text string }

// Pairs writes headings in one column and wrapped text in the other, leaving
// out what is empty.
func (p *Page) Pairs(list []Pair) {
	room := 0
	for _, l := range list {
		if l.Text != "" {
			room = max(room, utf8.RuneCountInString(l.Head))
		}
	}
	for _, l := range list {
		if l.Text == "" {
			continue
		}
		for i, text := range wrap(quantity.Say(l.Text, p.Units), width-room-2) {
			head := ""
			if i == 0 {
				head = l.Head
			}
			p.Line("%s  %s", pad(head, room), text)
		}
	}
}

// Table writes rows under a header in columns; the last column is wrapped.
func (p *Page) Table(header []string, rows [][]string) {
	cols := len(header)
	widths := make([]int, cols)
	for _, row := range append([][]string{header}, rows...) {
		for i := range row {
			row[i] = quantity.Say(row[i], p.Units)
		}
		for i := range cols - 1 {
			widths[i] = max(widths[i], utf8.RuneCountInString(row[i]))
		}
	}
	left := 0
	for _, w := range widths[:cols-1] {
		left += w + 2
	}
	for r, row := range append([][]string{header}, rows...) {
		last := wrap(row[cols-1], max(width-left, 24))
		if len(last) == 0 {
			last = []string{""}
		}
		for i, text := range last {
			var line strings.Builder
			for c := range cols - 1 {
				cell := ""
				if i == 0 {
					cell = row[c]
				}
				line.WriteString(pad(cell, widths[c]) + "  ")
			}
			out := strings.TrimRight(line.String()+text, " ")
			if r == 0 {
				out = p.dim(out)
			}
			p.Line("%s", out)
		}
	}
}

// Strong marks a sentence as the answer, where colour is on.
func (p *Page) Strong(s string) string {
	if p.Colour {
		return "\x1b[1m" + s + "\x1b[0m"
	}
	return s
}

func (p *Page) dim(s string) string {
	if p.Colour {
		return "\x1b[2m" + s + "\x1b[0m"
	}
	return s
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

// number rounds v to what its 90 % range deserves: the last figure printed is
// about as large as half the range, or a tenth of it where the range is
// narrow. A figure without a range gets three figures.
func number(v, low, high float64) string {
	if math.IsInf(high, 1) && low >= 0 {
		return "at least " + significant(low, 3)
	}
	half := (high - low) / 2
	if math.IsInf(half, 0) || math.IsNaN(half) || half <= 0 {
		return significant(v, 3)
	}
	return fixed(v, decimalsOf(v, half))
}

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
func ranged(v, low, high float64) string {
	half := (high - low) / 2
	if math.IsInf(half, 0) || math.IsNaN(half) || half <= 0 {
		return significant(v, 3)
	}
	d := decimalsOf(v, half)
	lo, hi := fixed(low, d), fixed(high, d)
	if lo == hi {
		return fixed(v, d)
	}
	return fmt.Sprintf("%s (%s-%s)", fixed(v, d), lo, hi)
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
