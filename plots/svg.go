package plots

import (
	"bytes"
	"fmt"
	"html"
	"image/color"
	"io"
	"strconv"
	"strings"

	"golang.org/x/image/font/sfnt"
)

// inlineWidthPt is as wide as a small phone, so that the text of a picture keeps its size
// there: 360 pixels.
const inlineWidthPt = 270

// inlineFonts are drawn in the widths of the first, which the next two share.
const inlineFonts = "Liberation Sans, Arial, Helvetica, sans-serif"

// drawing is the body of an SVG (W3C, SVG 1.1); no style stands in it, so that a page
// whose policy forbids styles can hold it.
type drawing struct{ bytes.Buffer }

// svg writes all text as outlines, which say nothing to a screen reader or a search; the
// title and description do.
func (f *figure) svg(w io.Writer, s style) error {
	var d drawing
	f.paintOn(outlined{&d}, s, f.paint)
	return f.svgOf(w, fmt.Sprintf(`width="%spt" height="%spt"`, short(f.width), short(f.height)), &d)
}

// Inline checks the picture and writes it as an SVG that stands within an HTML page: text
// is text, to be read aloud, found and copied. It has no size of its own but its shape;
// errors are those of Write.
func Inline(w io.Writer, p Picture) error {
	if err := p.check(); err != nil {
		return err
	}
	s := usualStyle()
	s.WidthPt = inlineWidthPt
	f := p.figure(s)
	var d drawing
	f.paintOn(&d, s, f.paint)
	return f.svgOf(w, `role="img"`, &d)
}

func (f *figure) svgOf(w io.Writer, as string, d *drawing) error {
	_, err := fmt.Fprintf(w, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" %s>`+
		"\n<title>%s</title>\n<desc>%s</desc>\n%s</svg>\n", short(f.width), short(f.height), as,
		html.EscapeString(f.title), html.EscapeString(f.alt), d.Bytes())
	if err != nil {
		return fmt.Errorf("plots: writing SVG: %w", err)
	}
	return nil
}

// short prints a length in points.
func short(v float64) string { return strconv.FormatFloat(hundredths(v)+0, 'f', -1, 64) }

func hex(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

func (d *drawing) fill(c color.RGBA, area path) {
	fmt.Fprintf(d, "<path d=%q fill=%q/>\n", area.data(), hex(c))
}

func (d *drawing) stroke(s stroke, line path) {
	var dash []string
	for _, v := range s.dash {
		dash = append(dash, short(v))
	}
	fmt.Fprintf(d, `<path d=%q fill="none" stroke=%q stroke-width=%q stroke-linejoin="round"`, line.data(),
		hex(s.color), short(s.width))
	if dash != nil {
		fmt.Fprintf(d, " stroke-dasharray=%q", strings.Join(dash, ","))
	}
	d.WriteString("/>\n")
}

// write holds a text to its width, in whatever font it is shown; what has letters that the
// font does not know is as wide as it is.
func (d *drawing) write(l lettering, at xy, upright bool, s string) {
	fmt.Fprintf(d, `<text x=%q y=%q fill=%q font-family="%s" font-size=%q`, short(at.X), short(at.Y), hex(l.color),
		inlineFonts, short(l.size))
	if l.bold {
		d.WriteString(` font-weight="bold"`)
	}
	if upright {
		fmt.Fprintf(d, ` transform="rotate(-90 %s %s)"`, short(at.X), short(at.Y))
	}
	var buf sfnt.Buffer
	strange := strings.ContainsFunc(s, func(r rune) bool {
		_, known := glyph(l.face(), &buf, r)
		return !known
	})
	if !strange {
		fmt.Fprintf(d, ` textLength="%.2f" lengthAdjust="spacingAndGlyphs"`, l.width(s))
	}
	fmt.Fprintf(d, ">%s</text>\n", html.EscapeString(s))
}

// data is a path in the words of SVG 1.1, section 8.3.
func (p path) data() string {
	var b strings.Builder
	for i := range p {
		b.WriteByte("MLQCZ"[p[i].op])
		for j, at := range p[i].points() {
			if j > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(short(at.X) + " " + short(at.Y))
		}
	}
	return b.String()
}
