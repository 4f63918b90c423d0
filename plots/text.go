package plots

import (
	"image/color"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"steepbook/data/visible"
)

// lettering is how a piece of text looks.
type lettering struct {
	size  float64
	bold  bool
	color color.RGBA
}

// The two cuts of the typeface that pictures use.
var regular, bold typeface

// typeface is parsed when a text is first set in it. sync.OnceValue would keep in the program all that a
// font can be asked.
type typeface struct {
	once sync.Once
	font *sfnt.Font
}

// of is the typeface that these bytes are; one that cannot be read is a fault of the program.
func (t *typeface) of(ttf []byte) *sfnt.Font {
	t.once.Do(func() {
		var err error
		if t.font, err = sfnt.Parse(ttf); err != nil {
			panic(err)
		}
	})
	return t.font
}

// face is the cut of the typeface.
func (l lettering) face() *sfnt.Font {
	if l.bold {
		return bold.of(liberationsansbold.TTF)
	}
	return regular.of(liberationsansregular.TTF)
}

// reach is how far a line is set: where its last letter ends, in units of the typeface.
type reach struct {
	x    fixed.Int26_6
	last sfnt.GlyphIndex
	any  bool
}

// set goes on with a line and calls each for every letter, with where it begins in units
// of the typeface.
func (l lettering) set(at reach, s string, each func(g sfnt.GlyphIndex, x fixed.Int26_6)) reach {
	for _, r := range s {
		p := pair{l.bold, at.last, r}
		known, ok := spacings.Load(p)
		if !ok {
			known, _ = spacings.LoadOrStore(p, spaced(p))
		}
		next := known.(spacing)
		if at.any {
			at.x += next.kern
		}
		each(next.glyph, at.x)
		at.x += next.advance
		at.last, at.any = next.glyph, true
	}
	return at
}

// pair is a letter behind another in a cut of the typeface, spacing what lies between them
// and how wide it is, in units of the typeface. The typeface takes longer to say so than a
// text has to be measured again, and a label is laid out in many sizes.
type pair struct {
	bold bool
	last sfnt.GlyphIndex
	next rune
}

type spacing struct {
	glyph         sfnt.GlyphIndex
	kern, advance fixed.Int26_6
}

var spacings sync.Map // pair -> spacing

// spaced asks the typeface; what it does not say is nothing.
func spaced(p pair) (s spacing) {
	var buf sfnt.Buffer
	face := lettering{bold: p.bold}.face()
	em := fixed.Int26_6(face.UnitsPerEm())
	s.glyph, _ = glyph(face, &buf, p.next)
	s.kern, _ = face.Kern(&buf, p.last, s.glyph, em, font.HintingNone)
	s.advance, _ = face.GlyphAdvance(&buf, s.glyph, em, font.HintingNone)
	return s
}

// measured goes on with a line without drawing it.
func (l lettering) measured(at reach, s string) reach {
	return l.set(at, s, func(sfnt.GlyphIndex, fixed.Int26_6) {})
}

// perUnit is how many points a unit of the typeface is.
func (l lettering) perUnit() float64 { return l.size / float64(l.face().UnitsPerEm()) }

func (l lettering) width(s string) float64 {
	return float64(l.measured(reach{}, s).x) * l.perUnit()
}

// outline is a line of text as the outlines of its letters, from the start of its baseline.
func (l lettering) outline(s string) (letters path) {
	var (
		buf  sfnt.Buffer
		face = l.face()
		em   = fixed.Int26_6(face.UnitsPerEm())
		unit = l.perUnit()
	)
	l.set(reach{}, s, func(g sfnt.GlyphIndex, x fixed.Int26_6) {
		segments, err := face.LoadGlyph(&buf, g, em, nil)
		if err != nil {
			return
		}
		for i, seg := range segments {
			if seg.Op == sfnt.SegmentOpMoveTo && i > 0 {
				letters = append(letters, piece{op: closed})
			}
			p := piece{op: ops[seg.Op]}
			for j, at := range seg.Args {
				p.to[j] = xy{float64(at.X+x) * unit, float64(at.Y) * unit}
			}
			letters = append(letters, p)
		}
		if len(segments) > 0 {
			letters = append(letters, piece{op: closed})
		}
	})
	return letters
}

// Shares of the type size, for the typeface in use: the height of capitals and
// figures, how far letters reach below the line, and the step between lines.
const (
	capHeight = 0.73
	descent   = 0.21
	lineStep  = 1.22
)

// tenths prints a number with a decimal at most.
func tenths(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }

// widest is the width of the widest of some numbers.
func (l lettering) widest(numbers []float64) (w float64) {
	for _, v := range numbers {
		w = math.Max(w, l.width(tenths(v)))
	}
	return w
}

// leading is the distance between two lines of text.
func (l lettering) leading() float64 { return l.size * lineStep }

// anchor is the part of a text that stands at its given place, as the share of
// its width to the left of it.
type anchor float64

const (
	left   anchor = 0
	middle anchor = 0.5
	right  anchor = 1
)

// extent is the box a line of text covers when drawn at a place on its baseline.
func (l lettering) extent(at xy, a anchor, s string) box {
	w := l.width(s)
	x := at.X - float64(a)*w
	return box{x, at.Y - capHeight*l.size, x + w, at.Y + descent*l.size}
}

// missing is drawn for a character that the typeface does not have; without it such
// characters would vanish without a sign.
const missing = '\u25a1'

// clean makes a text from outside fit for one paragraph: white space becomes
// single spaces; what is not visible goes.
func clean(s string) string {
	return visible.Text(strings.Join(strings.Fields(strings.ToValidUTF8(s, string(missing))), " "))
}

// glyph is that of a character, or of the square where the typeface does not have it.
func glyph(f *sfnt.Font, buf *sfnt.Buffer, r rune) (g sfnt.GlyphIndex, known bool) {
	if g, err := f.GlyphIndex(buf, r); err == nil && g != 0 {
		return g, true
	}
	g, _ = f.GlyphIndex(buf, missing)
	return g, false
}

// shorten cuts a text to a width, with an ellipsis where something is lost.
func (l lettering) shorten(s string, width float64) string {
	if l.width(s) <= width {
		return s
	}
	letters := []rune(s)
	// Widths grow with length, so the longest prefix that fits can be halved for.
	fits, cut := 0, len(letters)
	for fits < cut {
		mid := (fits + cut + 1) / 2
		if l.width(strings.TrimRight(string(letters[:mid]), " ,")+"…") <= width {
			fits = mid
		} else {
			cut = mid - 1
		}
	}
	return strings.TrimRight(string(letters[:fits]), " ,") + "…"
}

// wrap breaks a text into at most so many lines of a width. What does not fit
// is cut with an ellipsis; a word longer than a line is cut too.
func (l lettering) wrap(s string, width float64, lines int) []string {
	var out []string
	line := ""
	words := strings.Fields(s)
	for i, word := range words {
		next := word
		if line != "" {
			next = line + " " + word
		}
		if line == "" || l.width(next) <= width {
			line = next
			continue
		}
		if len(out) == lines-1 {
			line = line + " " + strings.Join(words[i:], " ")
			break
		}
		out = append(out, l.shorten(line, width))
		line = word
	}
	if line != "" {
		out = append(out, l.shorten(line, width))
	}
	return out
}

// inLines breaks a text into at most so many lines of about equal width, loses
// nothing, and gives the size of what results.
func (l lettering) inLines(s string, lines int) (rows []string, w, h float64) {
	words := strings.Fields(s)
	// The narrowest width that needs no more lines than allowed.
	widths := []float64{}
	for i := range words {
		for j := i + 1; j <= len(words); j++ {
			widths = append(widths, l.width(strings.Join(words[i:j], " ")))
		}
	}
	slices.Sort(widths)
	for _, width := range widths {
		if rows = l.wrap(s, width, lines); strings.Join(rows, " ") == strings.Join(words, " ") {
			break
		}
	}
	for _, row := range rows {
		w = math.Max(w, l.width(row))
	}
	return rows, w, float64(len(rows)) * l.leading()
}
