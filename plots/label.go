package plots

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"sync"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Label is what is stuck on a jar or a bottle: a name, and lines below it. It is a
// Picture of its true size, a PNG of it has 300 pixels an inch.
type Label struct {
	WidthMM, HeightMM float64
	// BottleML is the bottle that it is stuck on, 0 where that is not known.
	BottleML float64
	Name     string
	// Stop stands in a box of its own above all lines: "do not drink". May be empty.
	Stop  string
	Lines []LabelLine
}

// LabelLine is a paragraph of a label. No letter of it is ever cut: it is printed
// whole, or left out whole where that is allowed.
type LabelLine struct {
	Text string
	// Strong is printed bold, Large half as large again.
	Strong, Large bool
	// Blanks are headings with room behind each to write on; Text is then empty.
	Blanks []string
	// Spare says that it may be left out, what has most of it first; 0: never.
	Spare int
}

// Heights of the small letters (x) of a label, mm. They are those that Regulation
// (EU) No 1169/2011, Article 13(2) and (3), asks of what is sold: 1.2, and 0.9 where
// the largest surface of the bottle is below 80 cm². No letter is smaller than the
// second, and none smaller than the first where something may be left out for it.
const (
	LetterMM, SmallLetterMM = 1.2, 0.9
	largestLetterMM         = 2.05
	letterStepMM            = 0.05
)

const (
	ptPerMM      = 72 / 25.4
	labelEdgeMM  = 2.0 // a printer or a pair of scissors is not surer than that; judgement
	writingMM    = 6.0 // a line that is written on by hand; judgement
	paragraphGap = 0.3 // of a line, where there is room
	underName    = 3.0 // the room of the rule below the name, points
	labelInch    = 300 // pixels
)

// LabelFit is how labels of one size came out.
type LabelFit struct {
	// LetterMM is the height of their smallest letters (x), CapitalMM of their capitals.
	LetterMM, CapitalMM float64
	// LeftOut are the lines of any of them for which there was no room, each once.
	LeftOut []string
	// Missing are the characters that the typeface does not have, each once: they are
	// printed as a square.
	Missing string
}

// SmallLabelError says that a label has no room for what must stand on it.
type SmallLabelError struct {
	WidthMM, HeightMM float64 // as asked
	NeedWMM, NeedHMM  float64 // the smallest of that shape, whole millimetres
}

func (e *SmallLabelError) Error() string {
	return e.Words(fmt.Sprintf("%g x %g mm", e.WidthMM, e.HeightMM),
		fmt.Sprintf("%g x %g mm", e.NeedWMM, e.NeedHMM))
}

// Words are those of the error with its two sizes as somebody else has them.
func (e *SmallLabelError) Words(asked, need string) string {
	return fmt.Sprintf("what must stand on the label does not fit on %s in letters that can be read; the smallest of that shape is %s",
		asked, need)
}

// Fit lays labels of one size out, in letters of one height. The error is a *SmallLabelError, or says what is
// wrong with their size.
func Fit(labels ...Copies) (fit LabelFit, err error) {
	sets, err := lay(labels)
	all := ""
	for i, s := range sets {
		fit.LetterMM, fit.CapitalMM, all = s.fit.LetterMM, s.fit.CapitalMM, all+labels[i].all()
		for _, text := range s.fit.LeftOut {
			if !slices.Contains(fit.LeftOut, text) {
				fit.LeftOut = append(fit.LeftOut, text)
			}
		}
	}
	fit.Missing = Missing(all)
	return fit, err
}

// Alt implements Picture.
func (l Label) Alt() string {
	parts := []string{l.Name, l.Stop}
	for _, line := range l.Lines {
		parts = append(parts, line.Text, strings.Join(line.Blanks, ", "))
	}
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), "; ")
}

func (l Label) check() error {
	_, err := lay([]Copies{{Label: l}})
	return err
}

func (l Label) figure(s style) *figure {
	sets, _ := lay([]Copies{{Label: l}})
	return &figure{width: l.WidthMM * ptPerMM, height: l.HeightMM * ptPerMM, title: clean(l.Name),
		alt:     l.Alt(),
		perInch: labelInch, paint: func(p *pen) { sets[0].paint(p, s, 0, 0) }}
}

// setting is a label laid out: its rows from the top down.
type setting struct {
	fit   LabelFit
	rows  []labelRow
	inner box // within the edges, points
	gap   float64
}

// labelRow is one row of it.
type labelRow struct {
	style  lettering
	text   string
	blanks []string
	height float64
	first  bool // of its paragraph
	stop   bool
	ruled  bool // a rule is drawn above it
}

// How small and how large a side of a label may be.
const LeastLabelMM, MostLabelMM = 15, 420

var errLabelSize = errors.New("a label is 15 to 420 mm wide and high")

// lay finds the largest letters with which everything fits on all of some labels of one size;
// where not even the smallest that are wanted do, it leaves out what is spare, and only then goes
// down to the smallest that can be read. So no label has lost for its letters what another still has.
func lay(labels []Copies) ([]setting, error) {
	for _, l := range labels {
		if min(l.WidthMM, l.HeightMM) >= LeastLabelMM && max(l.WidthMM, l.HeightMM) <= MostLabelMM {
			continue // which no NaN is
		}
		return nil, fmt.Errorf("%g x %g mm: %w", l.WidthMM, l.HeightMM, errLabelSize)
	}
	spares := sparesOf(labels)
	if sets, ok := tryAll(labels, spares); ok {
		return sets, nil
	}
	const finest, most = 50, 20 // steps of a fiftieth, up to that many times as large
	larger := func(step int) []Copies {
		big, by := slices.Clone(labels), 1+float64(step)/finest
		for i := range big {
			l := &big[i].Label
			l.WidthMM, l.HeightMM = math.Ceil(l.WidthMM*by), math.Ceil(l.HeightMM*by)
		}
		return big
	}
	need := larger(1 + sort.Search(finest*(most-1), func(i int) bool {
		_, ok := try(larger(i+1), SmallLetterMM, spares)
		return ok
	}))[0]
	return nil, &SmallLabelError{labels[0].WidthMM, labels[0].HeightMM, need.WidthMM, need.HeightMM}
}

// sparesOf are those of the lines of some labels, each once, what goes first in front.
func sparesOf(labels []Copies) (spares []int) {
	for _, l := range labels {
		for _, line := range l.Lines {
			if line.Spare > 0 && !slices.Contains(spares, line.Spare) {
				spares = append(spares, line.Spare)
			}
		}
	}
	sort.Sort(sort.Reverse(sort.IntSlice(spares)))
	return spares
}

func tryAll(labels []Copies, spares []int) (best []setting, ok bool) {
	for _, floor := range []float64{LetterMM, SmallLetterMM} {
		for most := range len(spares) + 1 {
			if best, ok = try(labels, floor, spares[:most]); !ok {
				continue
			}
			// The largest that fits, between what does and what is too large.
			low, high := 0, int(math.Round((largestLetterMM-floor)/letterStepMM))+1
			for high-low > 1 {
				mid := (low + high) / 2
				if sets, fits := try(labels, floor+float64(mid)*letterStepMM, spares[:most]); fits {
					best, low = sets, mid
				} else {
					high = mid
				}
			}
			return best, true
		}
	}
	return nil, false
}

// try lays labels out with small letters of a height and without the lines of the spares named; ok is
// false where one of them does not fit.
func try(labels []Copies, mm float64, without []int) (sets []setting, ok bool) {
	for _, l := range labels {
		set, ok := l.try(mm, without)
		if !ok {
			return nil, false
		}
		sets = append(sets, set)
	}
	return sets, true
}

// try lays the label out with small letters of a height and without the lines of the
// spares named.
func (l Label) try(mm float64, without []int) (setting, bool) {
	size := mm * ptPerMM / xHeight()
	set := setting{inner: box{0, 0, l.WidthMM * ptPerMM, l.HeightMM * ptPerMM}.grow(-labelEdgeMM * ptPerMM)}
	set.fit = LabelFit{LetterMM: mm, CapitalMM: size * capHeight / ptPerMM}
	room, width := set.inner.height(), set.inner.width()
	var body []labelRow
	for _, line := range l.Lines {
		if slices.Contains(without, line.Spare) {
			set.fit.LeftOut = append(set.fit.LeftOut, cmp.Or(line.Text, strings.Join(line.Blanks, ", ")))
			continue
		}
		body = append(body, line.rows(size, width)...)
	}
	stop := lettering{size: 1.5 * size, bold: true, color: usualStyle().Palette.Paper}
	var top []labelRow
	for i, text := range stop.fold(clean(l.Stop), width-2*gap) {
		top = append(top, labelRow{style: stop, text: text, height: stop.leading() * 1.15, first: i == 0,
			stop: true})
	}
	rest := height(top) + height(body) + underName
	name, ok := nameIn(room-rest, width, size, clean(l.Name))
	if !ok {
		return set, false
	}
	set.rows = slices.Concat(name, top, body)
	if len(top) == 0 && len(body) > 0 {
		set.rows[len(name)].ruled = true
	}
	paragraphs := 0.0
	for _, r := range set.rows {
		if r.first {
			paragraphs++
		}
	}
	set.gap = math.Min((room-height(set.rows)-underName)/math.Max(paragraphs-1, 1),
		paragraphGap*size*lineStep)
	return set, true
}

func (l Label) all() string {
	text := l.Name + l.Stop
	for _, line := range l.Lines {
		text += line.Text + strings.Join(line.Blanks, "")
	}
	return text
}

func height(rows []labelRow) (h float64) {
	for _, r := range rows {
		h += r.height
	}
	return h
}

// nameIn is the name over small letters of a size, as large as there is room for: in one
// line, else in two; where that is not enough its beginning, and the rest of it below in
// small letters.
func nameIn(room, width, size float64, name string) (rows []labelRow, ok bool) {
	ink := usualStyle().Palette.Ink
	for lines := range 3 {
		for by := 2.4; by > 1.34; by -= 0.1 {
			head := lettering{size: by * size, bold: true, color: ink}
			switch {
			case lines == 2 && by < 1.45:
				rows = cutName(head, lettering{size: size, color: ink}, name, width)
			case lines == 2 || !head.unbroken(name, width):
				continue
			default:
				rows = head.rows(name, width)
			}
			if (len(rows) <= lines+1 || lines == 2) && height(rows) <= room {
				return rows, true
			}
		}
	}
	return nil, false
}

// rows are a text in lines of a width.
func (l lettering) rows(text string, width float64) (rows []labelRow) {
	for i, line := range l.fold(text, width) {
		rows = append(rows, labelRow{style: l, text: line, height: l.leading(), first: i == 0})
	}
	return rows
}

// cutName is the beginning of a name in a line, and the rest of it below.
func cutName(head, small lettering, name string, width float64) []labelRow {
	first := head.shorten(name, width)
	words := strings.Fields(name)
	for n := len(words) - 1; n > 0; n-- { // between words, where one has room
		if begun := strings.Join(words[:n], " ") + "…"; head.width(begun) <= width {
			first = begun
			break
		}
	}
	rows := []labelRow{{style: head, text: first, height: head.leading(), first: true}}
	tail := small.rows("…"+strings.TrimSpace(strings.TrimPrefix(name, strings.TrimSuffix(first, "…"))), width)
	if len(tail) > 0 {
		tail[0].first = false
	}
	return append(rows, tail...)
}

// unbroken reports whether each word has room on a line of its own.
func (l lettering) unbroken(text string, width float64) bool {
	return !slices.ContainsFunc(strings.Fields(text), func(w string) bool { return l.width(w) > width })
}

func (line LabelLine) rows(size, width float64) []labelRow {
	style := lettering{size: size, bold: line.Strong, color: usualStyle().Palette.Ink}
	if line.Large {
		style.size *= 1.4
	}
	if len(line.Blanks) > 0 {
		row := labelRow{style: style, height: math.Max(writingMM*ptPerMM, style.leading()), first: true}
		for _, b := range line.Blanks {
			row.blanks = append(row.blanks, clean(b))
		}
		return []labelRow{row}
	}
	return style.rows(clean(line.Text), width)
}

// fold breaks a text into lines of a width and loses nothing: a word that is wider
// than a line goes on in the next.
func (l lettering) fold(text string, width float64) (lines []string) {
	line, at, most := "", reach{}, width/l.perUnit()
	add := func(piece string) bool {
		next := l.measured(at, piece)
		if float64(next.x) > most {
			return false
		}
		line, at = line+piece, next
		return true
	}
	end := func() {
		if line != "" {
			lines = append(lines, line)
		}
		line, at = "", reach{}
	}
	for word := range strings.FieldsSeq(text) {
		if line == "" && add(word) || line != "" && add(" "+word) {
			continue
		}
		end()
		for _, r := range word {
			if add(string(r)) {
				continue
			}
			end()
			line, at = string(r), l.measured(reach{}, string(r))
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// paint draws the label with its upper left corner at a place.
func (s setting) paint(p *pen, look style, x, y float64) {
	in := box{s.inner.X0 + x, s.inner.Y0 + y, s.inner.X1 + x, s.inner.Y1 + y}
	at := in.Y0
	line := stroke{color: look.Palette.Ink, width: hairline}
	for i, r := range s.rows {
		if r.first && i > 0 {
			at += s.gap
		}
		if r.ruled {
			y := at + underName/2
			p.line(in.grow(1), stroke{color: look.Palette.Muted, width: hairline}, xy{in.X0, y}, xy{in.X1, y})
			at += underName
		}
		end := at + r.height
		switch {
		case r.stop:
			band := box{in.X0, at - 0.2, in.X1, end}
			p.fill(band, look.Palette.inkOf(okabeVermill), band.corners())
			p.text(r.style, xy{in.X0 + gap, block{style: r.style}.lastBaseline(end - 0.08*r.style.size)},
				left, r.text)
		case len(r.blanks) > 0:
			wide := in.width() / float64(len(r.blanks))
			for j, b := range r.blanks {
				from := in.X0 + float64(j)*wide
				base := end - 0.25*r.style.size
				p.text(r.style, xy{from, base}, left, b)
				p.line(in.grow(1), line, xy{from + r.style.width(b) + 2, base + 1}, xy{from + wide - 4,
					base + 1})
			}
		default:
			p.text(r.style, xy{in.X0, block{style: r.style}.lastBaseline(end)}, left, r.text)
		}
		at = end
	}
}

// xHeight is the height of the letter x in the typeface, as a share of its size.
var xHeight = sync.OnceValue(func() float64 {
	var buf sfnt.Buffer
	face := lettering{}.face()
	em := fixed.Int26_6(face.UnitsPerEm())
	g, err := face.GlyphIndex(&buf, 'x')
	if err != nil {
		return 0.5
	}
	bounds, _, err := face.GlyphBounds(&buf, g, em, 0)
	if err != nil {
		return 0.5
	}
	return float64(-bounds.Min.Y) / float64(em)
})

// Missing are the characters of a text that the typeface of the pictures does not
// have, each once.
func Missing(text string) string {
	var (
		buf  sfnt.Buffer
		face = lettering{}.face()
		out  []rune
	)
	for _, r := range clean(text) {
		if _, known := glyph(face, &buf, r); !known && !slices.Contains(out, r) {
			out = append(out, r)
		}
	}
	return string(out)
}
