package plots

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"html"
	"image/color"
	"io"
	"math"
	"regexp"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgpdf"
	"gonum.org/v1/plot/vg/vgsvg"
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

// Write checks the picture and draws it in one of the Formats: as a PNG of 192 pixels
// an inch (300 of a label) that says so, as an SVG with all text as outlines and with
// Alt as its description, or as a PDF of a page of its own size. Its errors are one sentence for whoever gave the
// numbers, and then nothing is written.
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
	color color.Color
	width float64
	dash  []float64
}

// pen draws on a canvas of known height, from the top down.
type pen struct {
	draw.Canvas
	height float64
}

func (p *pen) pt(at xy) vg.Point {
	return vg.Point{X: hundredths(at.X), Y: hundredths(p.height - at.Y)}
}

// hundredths rounds a length to 1/100 point. It keeps SVG files short, and hides
// the last bits in which processors differ.
func hundredths(v float64) vg.Length { return vg.Length(math.Round(v*100) / 100) }

func (p *pen) pts(line []xy) []vg.Point {
	out := make([]vg.Point, len(line))
	for i, at := range line {
		out[i] = p.pt(at)
	}
	return out
}

// inside is the canvas cut down to a box, for the clipping helpers of draw.
func (p *pen) inside(b box) draw.Canvas {
	return draw.Canvas{Canvas: p.Canvas.Canvas, Rectangle: vg.Rectangle{
		Min: p.pt(xy{b.X0, b.Y1}), Max: p.pt(xy{b.X1, b.Y0})}}
}

func (p *pen) fill(in box, c color.Color, outline []xy) {
	cut := p.inside(in)
	if poly := cut.ClipPolygonXY(p.pts(outline)); len(poly) > 2 {
		cut.FillPolygon(c, poly)
	}
}

func (p *pen) line(in box, s stroke, line ...xy) {
	cut := p.inside(in)
	style := draw.LineStyle{Color: s.color, Width: vg.Length(s.width)}
	for _, d := range s.dash {
		style.Dashes = append(style.Dashes, vg.Length(d))
	}
	cut.StrokeLines(style, cut.ClipLinesXY(p.pts(line))...)
}

// dot draws a disc with a rim.
func (p *pen) dot(at xy, radius float64, fill color.Color, rim stroke) {
	path := p.circle(at, radius)
	p.SetColor(fill)
	p.Fill(path)
	p.SetColor(rim.color)
	p.SetLineWidth(vg.Length(rim.width))
	p.SetLineDash(nil, 0)
	p.Stroke(path)
}

// circle is made of four Bézier arcs: the PDF canvas does not join an arc to
// the rest of its path.
func (p *pen) circle(at xy, r float64) vg.Path {
	const k = 0.5522847498 // 4/3 (√2 - 1)
	var path vg.Path
	to := func(dx, dy float64) vg.Point { return p.pt(xy{at.X + dx*r, at.Y + dy*r}) }
	path.Move(to(1, 0))
	path.CubeTo(to(1, k), to(k, 1), to(0, 1))
	path.CubeTo(to(-k, 1), to(-1, k), to(-1, 0))
	path.CubeTo(to(-1, -k), to(-k, -1), to(0, -1))
	path.CubeTo(to(k, -1), to(1, -k), to(1, 0))
	path.Close()
	return path
}

// outlined draws text as filled glyph outlines, so that SVG and PDF look alike
// with and without the font installed and in every script the font knows.
type outlined struct{ vg.Canvas }

// FillString implements vg.Canvas.
func (o outlined) FillString(f font.Face, at vg.Point, s string) {
	var (
		buf  sfnt.Buffer
		em   = fixed.Int26_6(f.Face.UnitsPerEm())
		unit = float64(f.Font.Size) / float64(em)
		x    fixed.Int26_6
		prev sfnt.GlyphIndex
		path vg.Path
	)
	for i, r := range s {
		g, _ := glyph(f, &buf, r)
		if i > 0 {
			if kern, err := f.Face.Kern(&buf, prev, g, em, 0); err == nil {
				x += kern
			}
		}
		if segments, err := f.Face.LoadGlyph(&buf, g, em, nil); err == nil {
			path = appendGlyph(path, segments, x, unit)
		}
		if advance, err := f.Face.GlyphAdvance(&buf, g, em, 0); err == nil {
			x += advance
		}
		prev = g
	}
	if len(path) == 0 {
		return
	}
	// Coordinates local to the text stay short and exact: the SVG canvas
	// writes five significant digits.
	o.Push()
	o.Translate(at)
	o.Fill(path)
	o.Pop()
}

// appendGlyph adds one glyph, given in font units with y downwards, at x.
func appendGlyph(path vg.Path, segments sfnt.Segments, x fixed.Int26_6, unit float64) vg.Path {
	to := func(p fixed.Point26_6) vg.Point {
		return vg.Point{X: hundredths(float64(p.X+x) * unit), Y: hundredths(float64(-p.Y) * unit)}
	}
	for i, seg := range segments {
		switch seg.Op {
		case sfnt.SegmentOpMoveTo:
			if i > 0 {
				path.Close()
			}
			path.Move(to(seg.Args[0]))
		case sfnt.SegmentOpLineTo:
			path.Line(to(seg.Args[0]))
		case sfnt.SegmentOpQuadTo:
			path.QuadTo(to(seg.Args[0]), to(seg.Args[1]))
		case sfnt.SegmentOpCubeTo:
			path.CubeTo(to(seg.Args[0]), to(seg.Args[1]), to(seg.Args[2]))
		}
	}
	if len(segments) > 0 {
		path.Close()
	}
	return path
}

func (f *figure) paintOn(c vg.Canvas, s style, paint func(*pen)) {
	p := &pen{Canvas: draw.NewCanvas(c, vg.Length(f.width), vg.Length(f.height)), height: f.height}
	all := box{0, 0, f.width, f.height}
	p.fill(all, s.Palette.Paper, all.corners())
	paint(p)
}

func (f *figure) png(w io.Writer, s style) error {
	perInch := int(math.Round(cmp.Or(f.perInch, s.PixelsPerInch)))
	c := vgimg.NewWith(
		vgimg.UseWH(vg.Length(f.width), vg.Length(f.height)),
		vgimg.UseDPI(perInch))
	f.paintOn(outlined{c}, s, f.paint)
	var buf bytes.Buffer
	if _, err := (vgimg.PngCanvas{Canvas: c}).WriteTo(&buf); err != nil {
		return fmt.Errorf("plots: writing PNG: %w", err)
	}
	const header = 8 + 25 // the signature and the chunk IHDR, behind which pHYs may stand
	for _, part := range [][]byte{buf.Bytes()[:header], physical(perInch), buf.Bytes()[header:]} {
		if _, err := w.Write(part); err != nil {
			return fmt.Errorf("plots: writing PNG: %w", err)
		}
	}
	return nil
}

// physical is the chunk of a PNG that says how large its pixels are: pHYs of the PNG
// specification (W3C, third edition), section 11.3.4.3, in pixels a metre.
func physical(perInch int) []byte {
	perMetre := uint32(math.Round(float64(perInch) / 0.0254))
	chunk := binary.BigEndian.AppendUint32(nil, 9)
	chunk = append(chunk, "pHYs"...)
	chunk = binary.BigEndian.AppendUint32(chunk, perMetre)
	chunk = append(binary.BigEndian.AppendUint32(chunk, perMetre), 1)
	return binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
}

func (f *figure) svg(w io.Writer, s style) error {
	c := vgsvg.New(vg.Length(f.width), vg.Length(f.height))
	f.paintOn(outlined{c}, s, f.paint)
	var buf bytes.Buffer
	if _, err := c.WriteTo(&buf); err != nil {
		return fmt.Errorf("plots: writing SVG: %w", err)
	}
	// Outlined text says nothing to a screen reader or a search; the title
	// and description do.
	open := bytes.Index(buf.Bytes(), []byte("xlink\">\n")) + len("xlink\">\n")
	words := fmt.Sprintf("<title>%s</title>\n<desc>%s</desc>\n", html.EscapeString(f.title),
		html.EscapeString(f.alt))
	for _, part := range [][]byte{buf.Bytes()[:open], []byte(words), buf.Bytes()[open:]} {
		if _, err := w.Write(part); err != nil {
			return fmt.Errorf("plots: writing SVG: %w", err)
		}
	}
	return nil
}

func (f *figure) pdf(w io.Writer, s style) error {
	c := vgpdf.New(vg.Length(f.width), vg.Length(f.height))
	f.paintOn(outlined{c}, s, f.paint)
	for _, page := range f.more {
		c.NextPage()
		f.paintOn(outlined{c}, s, page)
	}
	var buf bytes.Buffer
	if _, err := c.WriteTo(&buf); err != nil {
		return fmt.Errorf("plots: writing PDF: %w", err)
	}
	// The canvas stamps the clock into the file and offers no way to set it.
	// A date of the same length keeps every offset of the file right.
	pdfDate := regexp.MustCompile(`/(CreationDate|ModDate) \(D:\d{14}\)`)
	fixed := pdfDate.ReplaceAll(buf.Bytes(), []byte("/$1 (D:20000101000000)"))
	if _, err := w.Write(fixed); err != nil {
		return fmt.Errorf("plots: writing PDF: %w", err)
	}
	return nil
}
