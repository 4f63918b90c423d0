package plots

import (
	"image/color"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/vg"
)

// fonts holds the typefaces that come with gonum/plot; they are parsed when the
// first picture is drawn.
var fonts = sync.OnceValue(func() *font.Cache { return font.NewCache(liberation.Collection()) })

// lettering is how a piece of text looks.
type lettering struct {
	size   float64
	bold   bool
	italic bool
	color  color.Color
}

func (l lettering) face() font.Face {
	f := font.Font{Typeface: "Liberation", Variant: "Sans"}
	if l.bold {
		f.Weight = xfont.WeightBold
	}
	if l.italic {
		f.Style = xfont.StyleItalic
	}
	return fonts().Lookup(f, vg.Length(l.size))
}

func (l lettering) width(s string) float64 {
	face := l.face()
	return float64(face.Width(s))
}

// Shares of the type size, for the typeface in use: the height of capitals and
// figures, how far letters reach below the line, and the step between lines.
const (
	capHeight = 0.73
	descent   = 0.21
	lineStep  = 1.22
)

// leading is the distance between two lines of text.
// tenths prints a number with a decimal at most.
func tenths(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }

// widest is the width of the widest of some numbers.
func (l lettering) widest(numbers []float64) (w float64) {
	for _, v := range numbers {
		w = math.Max(w, l.width(tenths(v)))
	}
	return w
}

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

// text draws one line with its baseline at a place.
func (p *pen) text(l lettering, at xy, a anchor, s string) {
	if s == "" {
		return
	}
	p.SetColor(l.color)
	p.FillString(l.face(), p.pt(xy{at.X - float64(a)*l.width(s), at.Y}), s)
}

// upright draws one line turned a quarter to the left, centred on a place.
func (p *pen) upright(l lettering, at xy, s string) {
	p.Push()
	p.Translate(p.pt(at))
	p.Rotate(math.Pi / 2)
	p.SetColor(l.color)
	p.FillString(l.face(), vg.Point{X: vg.Length(-l.width(s) / 2), Y: vg.Length(-capHeight * l.size / 2)}, s)
	p.Pop()
}

// missing is drawn for a character that the typeface does not have; without it such
// characters would vanish without a sign.
const missing = '\u25a1'

// clean makes a text from outside fit for one paragraph: white space becomes
// single spaces; control characters and marks that turn the direction of reading go.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, strings.Join(strings.Fields(strings.ToValidUTF8(s, string(missing))), " "))
}

// glyph is that of a character, or of the square where the typeface does not have it.
func glyph(f font.Face, buf *sfnt.Buffer, r rune) (g sfnt.GlyphIndex, known bool) {
	if g, err := f.Face.GlyphIndex(buf, r); err == nil && g != 0 {
		return g, true
	}
	g, _ = f.Face.GlyphIndex(buf, missing)
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
