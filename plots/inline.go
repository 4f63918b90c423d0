package plots

import (
	"bytes"
	"fmt"
	"html"
	"io"
	"regexp"
	"strings"

	"golang.org/x/image/font/sfnt"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// inlineWidthPt is as wide as a small phone, so that the text of a picture keeps its size
// there: 360 pixels.
const inlineWidthPt = 270

// inlineFonts are drawn in the widths of the first, which the next two share.
const inlineFonts = "Liberation Sans, Arial, Helvetica, sans-serif"

// Inline checks the picture and writes it as an SVG that stands within an HTML page: text
// is text, to be read aloud, found and copied, and no style stands in it, so that a page
// whose policy forbids styles and scripts can hold it. It has no size of its own but its
// shape; errors are those of Write.
func Inline(w io.Writer, p Picture) error {
	if err := p.check(); err != nil {
		return err
	}
	s := usualStyle()
	s.WidthPt = inlineWidthPt
	f := p.figure(s)
	c := vgsvg.New(vg.Length(f.width), vg.Length(f.height))
	var widths []string
	f.paintOn(lettered{c, &widths}, s, f.paint)
	var buf bytes.Buffer
	if _, err := c.WriteTo(&buf); err != nil {
		return fmt.Errorf("plots: writing SVG: %w", err)
	}
	_, body, _ := strings.Cut(buf.String(), "xlink\">\n")
	style, text := regexp.MustCompile(`\s+style="([^"]*)"`), regexp.MustCompile(`<text `)
	body = style.ReplaceAllStringFunc(body, func(found string) string {
		return attributes(style.FindStringSubmatch(found)[1])
	})
	n := -1
	body = text.ReplaceAllStringFunc(body, func(found string) string {
		n++
		return found + widths[n]
	})
	_, err := fmt.Fprintf(w, `<svg viewBox="0 0 %g %g" role="img" xmlns="http://www.w3.org/2000/svg">`+
		"\n<title>%s</title>\n<desc>%s</desc>\n%s", f.width, f.height, html.EscapeString(f.title),
		html.EscapeString(f.alt), body)
	if err != nil {
		return fmt.Errorf("plots: writing SVG: %w", err)
	}
	return nil
}

// attributes writes the parts of a style as attributes of their own.
func attributes(style string) string {
	var b strings.Builder
	for part := range strings.SplitSeq(style, ";") {
		name, value, ok := strings.Cut(part, ":")
		switch name = strings.TrimSpace(name); {
		case !ok || value == "normal" || name == "font-variant":
		case name == "font-family":
			fmt.Fprintf(&b, ` font-family="%s"`, inlineFonts)
		default:
			fmt.Fprintf(&b, ` %s="%s"`, name, strings.TrimSpace(value))
		}
	}
	return b.String()
}

// lettered writes text as text and keeps what holds each to its width, in whatever font
// it is shown; what the font does not know is as wide as it is.
type lettered struct {
	vg.Canvas
	widths *[]string
}

// FillString implements vg.Canvas.
func (l lettered) FillString(f font.Face, at vg.Point, s string) {
	held := fmt.Sprintf(`textLength="%.2f" lengthAdjust="spacingAndGlyphs" `, f.Width(s).Points())
	var buf sfnt.Buffer
	for _, r := range s {
		if _, known := glyph(f, &buf, r); !known {
			held = ""
		}
	}
	*l.widths = append(*l.widths, held)
	l.Canvas.FillString(f, at, s)
}
