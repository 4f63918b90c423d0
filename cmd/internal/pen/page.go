// Package pen is how answers are printed: text for people, wrapped and lined up in
// their units, and JSON for programs. It knows no batch and no assessment.
package pen

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// Style is how answers are printed.
type Style struct {
	Units  quantity.System
	Colour bool
	JSON   bool // for programs
	Width  int  // of the terminal, in columns; 0 for Usual
	Forms  bool // it stands among forms: nobody is told what to type or to write in a file
}

// Page writes an answer, as text line by line or as JSON at once, and remembers the
// first write error.
type Page struct {
	Style
	w     io.Writer
	names Names
	parts *[]Piece // nil where the answer is printed
	err   error
}

// New returns a page that writes to w; names are those of its answers in JSON.
func New(w io.Writer, s Style, names Names) *Page { return &Page{Style: s, w: w, names: names} }

// Done returns the first error met in writing.
func (p *Page) Done() error { return p.err }

// Say fills in a sentence in the units of the maker.
func (s Style) Say(format string, args ...any) string {
	return quantity.Say(Clean(fmt.Sprintf(format, args...)), s.Units)
}

// Line writes one line, not wrapped, and nothing that a terminal would obey but the marks
// of this page.
func (p *Page) Line(format string, args ...any) {
	if p.gather(Piece{Text: fmt.Sprintf(format, args...)}) {
		return
	}
	if p.err == nil {
		text := p.clean(fmt.Sprintf(format, args...))
		_, p.err = io.WriteString(p.w, quantity.Say(text, p.Units)+"\n")
	}
}

// Lines writes each as it is.
func (p *Page) Lines(list []string) {
	for _, l := range list {
		p.Line("%s", l)
	}
}

// Para writes text wrapped to the page.
func (p *Page) Para(format string, args ...any) {
	if !p.gather(Piece{Text: fmt.Sprintf(format, args...)}) {
		p.Lines(Wrap(p.Say(format, args...), p.width()))
	}
}

// Note writes a text as it was written elsewhere; nothing for "".
func (p *Page) Note(text string) {
	if text != "" {
		p.Para("%s", text)
	}
}

// Answer writes a sentence as the answer.
func (p *Page) Answer(format string, args ...any) {
	if p.gather(Piece{Text: p.Strong(fmt.Sprintf(format, args...))}) {
		return
	}
	for _, l := range Wrap(p.Say(format, args...), p.width()) {
		p.Line("%s", p.Strong(l))
	}
}

// Item writes a wrapped remark under the answer, hung by two spaces.
func (p *Page) Item(format string, args ...any) { p.Hung("- ", "  ", fmt.Sprintf(format, args...)) }

// Hung writes a remark behind a first and, on the lines that follow, a further margin.
func (p *Page) Hung(first, further, text string) {
	if !p.gather(Piece{Items: []string{text}}) {
		p.Lines(p.Hang(first, further, p.Say("%s", text)))
	}
}

// Items writes each as a remark.
func (p *Page) Items(list []string) {
	for _, text := range list {
		p.Item("%s", text)
	}
}

// Pair is a heading with what is said of it.
type Pair [2]string

// Pairs writes headings in one column and wrapped text in the other, leaving
// out what is empty.
func (p *Page) Pairs(list []Pair) {
	var rows [][]string
	for _, l := range list {
		if l[1] != "" {
			rows = append(rows, l[:])
		}
	}
	p.set(nil, rows, p.width()/2)
}

// Table writes rows under a header in columns, the last one wrapped; where they do not
// fit side by side each row is a wrapped list, its cells behind their titles.
func (p *Page) Table(header []string, rows [][]string) {
	p.set(header, rows, p.cellRoom())
}

func (p *Page) set(header []string, rows [][]string, most int) {
	if p.gather(Piece{Head: header, Rows: rows}) {
		return
	}
	head, blocks := p.table(header, rows, most)
	for _, l := range head {
		p.Line("%s", p.faint(l))
	}
	for _, b := range blocks {
		p.Lines(b)
	}
}

// Each is a list with every element as a view has it: a row of a table, or an object
// for programs.
func Each[T, U any](list []T, as func(*T) U) []U {
	out := make([]U, len(list))
	for i := range list {
		out[i] = as(&list[i])
	}
	return out
}

// Strong marks a sentence as the answer, where colour is on.
func (p *Page) Strong(s string) string { return p.marked(strong, s) }

func (p *Page) faint(s string) string { return p.marked(dim, s) }

// The marks of the answer and of what is said beside it, as a terminal numbers them.
const strong, dim = "1", "2"

func (p *Page) marked(how, s string) string {
	if !p.Colour {
		return s
	}
	begin, end := p.marks(how)
	return begin + s + end
}

// marks stand before and behind what is marked.
func (p *Page) marks(how string) (begin, end string) { return "\x1b[" + how + "m", "\x1b[0m" }

// Number rounds a figure to what its 90 % range deserves: the last figure printed is
// about as large as half the range, or a tenth of it where the range is
// narrow. A figure without a range gets three figures.
func Number(r mixture.Range) string {
	text, _ := Rounded(r)
	return text
}

// Rounded is number with the decimals it deserves, -2 for a figure without a range.
func Rounded(r mixture.Range) (text string, decimals int) {
	half := (r.High - r.Low) / 2
	if math.IsInf(half, 0) || math.IsNaN(half) || half <= 0 {
		return Significant(r.Value, 3), NoRange
	}
	decimals = decimalsOf(r.Value, half)
	return Fixed(r.Value, decimals), decimals
}

const NoRange = -2

// decimalsOf keeps a figure below a hundred from being rounded to tens: that
// would hide it rather than hedge it. However narrow its range, it has no more than three figures.
func decimalsOf(v, half float64) int {
	d := decimalsFor(half)
	if math.Abs(v) < 100 {
		d = max(d, 0)
	}
	if v != 0 {
		d = min(d, max(2-int(math.Floor(math.Log10(math.Abs(v)))), 0))
	}
	return d
}

// decimalsFor is how many decimals a figure with this half range deserves, -1
// for tens. Coarser than tens hides more than it hedges: the range is there.
func decimalsFor(half float64) int {
	return max(min(int(math.Ceil(-math.Log10(half)-1e-9)), 3), -1)
}

// Fixed prints so many decimals, and no "-0"; below nought decimals, tens and hundreds.
func Fixed(v float64, decimals int) string {
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

// Significant prints so many significant figures, without noughts behind the point.
func Significant(v float64, figures int) string {
	if math.Abs(v) < 1e-9 {
		return "0"
	}
	decimals := figures - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	s := Fixed(v, decimals)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// Trim prints a figure to two significant ones.
func Trim(v float64) string { return Significant(v, 2) }

// Ranged prints a figure and its 90 % range with the same number of decimals.
func Ranged(r mixture.Range) string {
	text, d := Rounded(r)
	if d == NoRange || Fixed(r.Low, d) == Fixed(r.High, d) {
		return text
	}
	return fmt.Sprintf("%s (%s-%s)", text, Fixed(r.Low, d), Fixed(r.High, d))
}

// Score prints a strength on the 0-10 scale.
func Score(v float64) string { return Fixed(math.Min(v, 10), 1) }

// Strength words a strength that was reckoned, which may lie past the end of that scale.
func Strength(v float64) string {
	if v > 10 {
		return "more than 10"
	}
	return "about " + Trim(v)
}

// Percent prints a chance as a whole per cent, never as certainty.
func Percent(share float64) string {
	switch {
	case share < 0.01:
		return "under 1 %"
	case share > 0.99:
		return "over 99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*share)
}

// PerLitre prints a price, given by the litre.
func (s Style) PerLitre(price float64) string {
	if s.Units == quantity.US {
		return fmt.Sprintf("%.2f a quart", price*32/quantity.FluidOunces(1000))
	}
	return fmt.Sprintf("%.2f a litre", price)
}

// Mass prints a mass in the maker's units.
func (s Style) Mass(g float64) string { return quantity.FormatMass(g, s.Units) }

// Temperature prints a temperature in the maker's units.
func (s Style) Temperature(c float64) string { return quantity.FormatTemperature(c, s.Units) }

// Volume prints a volume in the maker's units.
func (s Style) Volume(ml float64) string { return quantity.FormatVolume(ml, s.Units) }
