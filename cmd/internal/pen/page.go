// Package pen is how answers are printed: text for people, wrapped and lined up in
// their units, and JSON for programs. It knows no batch and no assessment.
package pen

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

// Width is where text is wrapped, in characters.
const Width = 88

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
	w     io.Writer
	names Names
	err   error
}

// New returns a page that writes to w; names are those of its answers in JSON.
func New(w io.Writer, s Style, names Names) *Page { return &Page{Style: s, w: w, names: names} }

// Done returns the first error met in writing.
func (p *Page) Done() error { return p.err }

// Say fills in a sentence in the units of the maker.
func (p *Page) Say(format string, args ...any) string {
	return quantity.Say(fmt.Sprintf(format, args...), p.Units)
}

// Line writes one line, not wrapped.
func (p *Page) Line(format string, args ...any) {
	if p.err == nil {
		_, p.err = io.WriteString(p.w, p.Say(format, args...)+"\n")
	}
}

// Lines writes each as it is.
func (p *Page) Lines(list []string) {
	for _, l := range list {
		p.Line("%s", l)
	}
}

// Para writes text wrapped to the page.
func (p *Page) Para(format string, args ...any) { p.Lines(Wrap(p.Say(format, args...), Width)) }

// Note writes a text as it was written elsewhere; nothing for "".
func (p *Page) Note(text string) {
	if text != "" {
		p.Para("%s", text)
	}
}

// Answer writes a sentence as the answer.
func (p *Page) Answer(format string, args ...any) { p.Note(p.Strong(fmt.Sprintf(format, args...))) }

// Answers writes each sentence as an answer.
func (p *Page) Answers(list []string) {
	for _, s := range list {
		p.Answer("%s", s)
	}
}

// Item writes a wrapped remark under the answer, hung by two spaces.
func (p *Page) Item(format string, args ...any) { p.Lines(Hang("- ", "  ", p.Say(format, args...))) }

// Items writes each as a remark.
func (p *Page) Items(list []string) {
	for _, text := range list {
		p.Item("%s", text)
	}
}

// Hang wraps text behind a first and, on the lines that follow, a further margin.
func Hang(first, further, text string) []string {
	lines := Wrap(text, max(Width-utf8.RuneCountInString(further), 24))
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

// Pair is a heading with what is said of it.
type Pair [2]string

// Pairs writes headings in one column and wrapped text in the other, leaving
// out what is empty.
func (p *Page) Pairs(list []Pair) {
	list = slices.DeleteFunc(slices.Clone(list), func(l Pair) bool { return l[1] == "" })
	room := 0
	for _, l := range list {
		room = max(room, utf8.RuneCountInString(l[0]))
	}
	for _, l := range list {
		p.Lines(Hang(pad(l[0], room+2), pad("", room+2), quantity.Say(l[1], p.Units)))
	}
}

// Table writes rows under a header in columns, the last one wrapped.
func (p *Page) Table(header []string, rows [][]string) {
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
		for _, l := range Hang(first, pad("", utf8.RuneCountInString(first)), row[last]) {
			if r == 0 {
				l = p.dim(l)
			}
			p.Line("%s", l)
		}
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
func (p *Page) Strong(s string) string { return p.marked("1", s) }

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

// Wrap breaks a text into lines of at most so many characters, at its spaces.
func Wrap(text string, width int) []string {
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

// Number rounds a figure to what its 90 % range deserves: the last figure printed is
// about as large as half the range, or a tenth of it where the range is
// narrow. A figure without a range gets three figures.
func Number(r mixture.Range) string {
	if math.IsInf(r.High, 1) && r.Low >= 0 {
		return "at least " + Significant(r.Low, 3)
	}
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
func (p *Page) PerLitre(price float64) string {
	if p.Units == quantity.US {
		return fmt.Sprintf("%.2f a quart", price*32/quantity.FluidOunces(1000))
	}
	return fmt.Sprintf("%.2f a litre", price)
}

// Mass prints a mass in the maker's units.
func (p *Page) Mass(g float64) string { return quantity.FormatMass(g, p.Units) }

// Temperature prints a temperature in the maker's units.
func (p *Page) Temperature(c float64) string { return quantity.FormatTemperature(c, p.Units) }

// Volume prints a volume in the maker's units.
func (p *Page) Volume(ml float64) string { return quantity.FormatVolume(ml, p.Units) }
