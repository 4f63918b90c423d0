package plots

import (
	"fmt"
	"image/color"
	"io"
	"math"
)

// figure is a picture that has been laid out: its size is known and paint only
// has to put it down. Lengths are points, y runs downwards from the top.
type figure struct {
	width, height float64
	title, alt    string // for readers that cannot see the picture
	paint         func(*pen)
	more          []func(*pen) // further pages of the same size
	perInch       float64      // pixels of a PNG; 0: those of the style
}

// Picture is what Write draws: an Extraction, a KeepingMap, a Fade, a Label or a Sheet.
type Picture interface {
	// Alt says in words what the picture shows.
	Alt() string
	check() error
	figure(style) *figure // of what the check lets through
}

// Formats are the kinds of file that Write makes.
var Formats = []string{"png", "svg", "pdf"}

// Write checks the picture and draws it in one of the Formats: as a PNG of 192 pixels an inch (300 of a
// label) that says so, as an SVG with all text as outlines and with Alt as its description, or as a PDF of
// a page of its own size. Its errors are one sentence for whoever gave the numbers, and then nothing is
// written.
func Write(w io.Writer, p Picture, format string) error { return write(w, p, format, usualStyle()) }

func write(w io.Writer, p Picture, format string, s style) error {
	if err := p.check(); err != nil {
		return err
	}
	f := p.figure(s)
	if len(f.more) > 0 && format != "pdf" {
		return fmt.Errorf("%d pages are a pdf, not a %s", len(f.more)+1, format)
	}
	switch format {
	case "png":
		return f.png(w, s)
	case "svg":
		return f.svg(w, s)
	case "pdf":
		return f.pdf(w, s)
	}
	return fmt.Errorf("a picture is png, svg or pdf, not %q", format)
}

// xy is a place on a figure, in points from the top left corner.
type xy struct{ X, Y float64 }

// box is an upright rectangle on a figure; Y0 is its upper edge.
type box struct{ X0, Y0, X1, Y1 float64 }

func (b box) width() float64  { return b.X1 - b.X0 }
func (b box) height() float64 { return b.Y1 - b.Y0 }
func (b box) holds(p xy) bool { return p.X >= b.X0 && p.X <= b.X1 && p.Y >= b.Y0 && p.Y <= b.Y1 }
func (b box) grow(d float64) box {
	return box{b.X0 - d, b.Y0 - d, b.X1 + d, b.Y1 + d}
}
func (b box) corners() []xy {
	return []xy{{b.X0, b.Y0}, {b.X1, b.Y0}, {b.X1, b.Y1}, {b.X0, b.Y1}}
}
func (b box) meets(o box) bool {
	return b.X0 < o.X1 && o.X0 < b.X1 && b.Y0 < o.Y1 && o.Y0 < b.Y1
}
func (b box) within(o box) bool {
	return b.X0 >= o.X0 && b.X1 <= o.X1 && b.Y0 >= o.Y0 && b.Y1 <= o.Y1
}

// stroke is how a line is drawn; dash holds alternating marks and gaps.
type stroke struct {
	color color.RGBA
	width float64
	dash  []float64
}

// ink is what every kind of file can put on a page: areas and lines.
type ink interface {
	fill(color.RGBA, path)
	stroke(stroke, path)
}

// sheet is a page that is drawn on. write puts down a line of text that begins at a
// place on its baseline, upright turned a quarter to the left.
type sheet interface {
	ink
	write(l lettering, at xy, upright bool, s string)
}

// outlined draws text as filled outlines of its letters, so that pictures look alike
// with and without the font installed and in every script the font knows.
type outlined struct{ ink }

func (o outlined) write(l lettering, at xy, upright bool, s string) {
	o.fill(l.color, l.outline(s).put(at, upright))
}

// pen draws on a sheet.
type pen struct{ sheet sheet }

// stamper is a sheet that puts the same thing down in many places for the price of one.
type stamper interface {
	stamp(kind int, x, y float64, paint func(p *pen, x, y float64))
}

// stamp paints a kind of thing in a place, as often as wanted.
func (p *pen) stamp(kind int, x, y float64, paint func(p *pen, x, y float64)) {
	if s, ok := p.sheet.(stamper); ok {
		s.stamp(kind, x, y, paint)
		return
	}
	paint(p, x, y)
}

func (p *pen) fill(in box, c color.RGBA, corners []xy) {
	if cut := cutPolygon(corners, in); len(cut) > 2 {
		p.sheet.fill(c, polygon(cut...))
	}
}

func (p *pen) line(in box, s stroke, line ...xy) {
	for _, part := range cutLine(line, in) {
		p.sheet.stroke(s, polyline(part...))
	}
}

// dot draws a disc with a rim.
func (p *pen) dot(at xy, radius float64, fill color.RGBA, rim stroke) {
	round := circle(at, radius)
	p.sheet.fill(fill, round)
	p.sheet.stroke(rim, round)
}

// text draws one line with its baseline at a place.
func (p *pen) text(l lettering, at xy, a anchor, s string) {
	if s == "" {
		return
	}
	p.sheet.write(l, xy{at.X - float64(a)*l.width(s), at.Y}, false, s)
}

// upright draws one line turned a quarter to the left, centred on a place.
func (p *pen) upright(l lettering, at xy, s string) {
	p.sheet.write(l, xy{at.X + capHeight*l.size/2, at.Y + l.width(s)/2}, true, s)
}

func (f *figure) paintOn(on sheet, s style, paint func(*pen)) {
	p := &pen{on}
	all := box{0, 0, f.width, f.height}
	p.fill(all, s.Palette.Paper, all.corners())
	paint(p)
}

// hundredths rounds a length to 1/100 point. It keeps files short, and hides the last
// bits in which processors differ.
func hundredths(v float64) float64 { return math.Round(v*100) / 100 }
