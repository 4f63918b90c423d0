package plots

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"image/color"
	"io"
	"strings"
	"unicode/utf16"
)

// leaf is what is drawn on a page of a PDF, in the operators of ISO 32000-1, 8.4 and 8.5.
type leaf struct{ bytes.Buffer }

// stamped is a page whose stamps are each drawn once, as a form (ISO 32000-1, 8.10).
type stamped struct {
	outlined
	on    *leaf
	forms map[int]*leaf
}

func (s stamped) stamp(kind int, x, y float64, paint func(p *pen, x, y float64)) {
	if s.forms[kind] == nil {
		s.forms[kind] = &leaf{}
		paint(&pen{outlined{s.forms[kind]}}, 0, 0)
	}
	fmt.Fprintf(s.on, "q 1 0 0 1 %s %s cm /F%d Do Q\n", short(x), short(y), kind)
}

// pdf writes a file of ISO 32000-1 with nothing in it that hangs on the clock: the
// catalog (object 1), the pages (2), what is known of the file (3), then two objects a page,
// then the forms.
func (f *figure) pdf(w io.Writer, s style) error {
	paints := append([]func(*pen){f.paint}, f.more...)
	var kids []string
	for i := range paints {
		kids = append(kids, fmt.Sprintf("%d 0 R", 4+2*i))
	}
	objects := []string{
		"<</Type /Catalog /Pages 2 0 R>>",
		fmt.Sprintf("<</Type /Pages /Kids [%s] /Count %d>>", strings.Join(kids, " "), len(kids)),
		fmt.Sprintf("<</Title %s /Subject %s>>", pdfText(f.title), pdfText(f.alt)),
	}
	forms := map[int]*leaf{}
	leaves := make([]*leaf, len(paints))
	for i, paint := range paints {
		on := &leaf{}
		fmt.Fprintf(on, "1 0 0 -1 0 %s cm 1 j\n", short(f.height)) // y from the top, round corners
		f.paintOn(stamped{outlined{on}, on, forms}, s, paint)
		leaves[i] = on
	}
	used := ""
	for kind := range len(forms) {
		used += fmt.Sprintf(" /F%d %d 0 R", kind, 4+2*len(paints)+kind)
	}
	size := fmt.Sprintf("[0 0 %s %s]", short(f.width), short(f.height))
	for i, on := range leaves {
		stream, err := pdfStream("", on)
		if err != nil {
			return err
		}
		objects = append(objects, fmt.Sprintf("<</Type /Page /Parent 2 0 R /MediaBox %s /Resources <</XObject <<%s>>>> "+
			"/Contents %d 0 R>>", size, used, 5+2*i), stream)
	}
	for kind := range len(forms) {
		stream, err := pdfStream("/Type /XObject /Subtype /Form /BBox "+size+" ", forms[kind])
		if err != nil {
			return err
		}
		objects = append(objects, stream)
	}
	if _, err := w.Write(pdfFile(objects)); err != nil {
		return fmt.Errorf("plots: writing PDF: %w", err)
	}
	return nil
}

// pdfStream is an object of packed content (ISO 32000-1, 7.3.8).
func pdfStream(entries string, content *leaf) (string, error) {
	packed, err := deflated(content)
	if err != nil {
		return "", fmt.Errorf("plots: writing PDF: %w", err)
	}
	return fmt.Sprintf("<<%s/Length %d /Filter /FlateDecode>>\nstream\n%s\nendstream", entries, len(packed), packed), nil
}

// pdfFile numbers the objects from 1 and tells where each begins (ISO 32000-1, 7.5).
func pdfFile(objects []string) []byte {
	var b, table bytes.Buffer
	b.WriteString("%PDF-1.7\n%\xe2\xe3\xcf\xd3\n") // the second line says that what follows is no text
	for i, o := range objects {
		fmt.Fprintf(&table, "%010d 00000 n \n", b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	at := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n%strailer\n<</Size %d /Root 1 0 R /Info 3 0 R>>\nstartxref\n%d\n%%%%EOF\n",
		len(objects)+1, table.Bytes(), len(objects)+1, at)
	return b.Bytes()
}

// pdfText is a text string (ISO 32000-1, 7.9.2.2): UTF-16 behind its mark, in hexadecimal.
func pdfText(s string) string {
	var b []byte
	for _, u := range utf16.Encode([]rune("\ufeff" + s)) {
		b = binary.BigEndian.AppendUint16(b, u)
	}
	return fmt.Sprintf("<%X>", b)
}

// deflated packs what PDF and PNG hold, quickly: the rest of the packing gains a tenth.
func deflated(content io.WriterTo) (string, error) {
	var b strings.Builder
	z, err := zlib.NewWriterLevel(&b, zlib.BestSpeed)
	if err == nil {
		_, err = content.WriteTo(z)
	}
	if err == nil {
		err = z.Close()
	}
	return b.String(), err
}

// share prints a part of a colour from 0 to 1.
func share(v uint8) string { return fmt.Sprintf("%.3f", float64(v)/255) }

func (l *leaf) fill(c color.RGBA, area path) {
	fmt.Fprintf(l, "%s %s %s rg\n", share(c.R), share(c.G), share(c.B))
	l.path(area)
	l.WriteString("f\n")
}

func (l *leaf) stroke(s stroke, line path) {
	var dash []string
	for _, v := range s.dash {
		dash = append(dash, short(v))
	}
	fmt.Fprintf(l, "%s %s %s RG %s w [%s] 0 d\n", share(s.color.R), share(s.color.G), share(s.color.B),
		short(s.width),
		strings.Join(dash, " "))
	l.path(line)
	l.WriteString("S\n")
}

func (l *leaf) path(p path) {
	var last xy
	for i := range p {
		q := p[i]
		if q.op == quadratic { // PDF has cubic curves only
			third := func(end, mid xy) xy { return xy{(end.X + 2*mid.X) / 3, (end.Y + 2*mid.Y) / 3} }
			q = piece{cubic, [3]xy{third(last, q.to[0]), third(q.to[1], q.to[0]), q.to[1]}}
		}
		for _, at := range q.points() {
			fmt.Fprintf(l, "%s %s ", short(at.X), short(at.Y))
			last = at
		}
		l.WriteString([...]string{move: "m\n", straight: "l\n", cubic: "c\n", closed: "h\n"}[q.op])
	}
}
