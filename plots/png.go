package plots

import (
	"bytes"
	"cmp"
	"compress/flate"
	"encoding/binary"
	"fmt"
	"hash/adler32"
	"hash/crc32"
	"image"
	"image/color"
	"image/draw"
	"io"
	"math"
	"slices"
	"sync"

	"golang.org/x/image/vector"

	"steepbook/kinetics/cores"
)

// layers are what a page is filled with, one above the other.
type layers struct {
	perPoint float64
	all      []layer
}

// layer is an area in one ink, and the pixels around it.
type layer struct {
	ink    color.RGBA
	area   path
	around image.Rectangle
}

// fill keeps an area, which may not change any more.
func (l *layers) fill(ink color.RGBA, area path) {
	e := area.extent()
	from := func(v float64) int { return int(math.Floor(v * l.perPoint)) }
	to := func(v float64) int { return int(math.Ceil(v*l.perPoint)) + 1 }
	l.all = append(l.all, layer{ink, area, image.Rect(from(e.X0), from(e.Y0), to(e.X1), to(e.Y1))})
}

func (f *figure) png(w io.Writer, s style) error {
	perInch := math.Round(cmp.Or(f.perInch, s.PixelsPerInch))
	l := &layers{perPoint: perInch / 72}
	wide, high := int(f.width*l.perPoint+0.5), int(f.height*l.perPoint+0.5)
	f.paint(&pen{outlined{l}})
	rows, err := l.rows(wide, high, s.Palette.Paper)
	if err == nil {
		_, err = w.Write(file(wide, high, perInch, rows))
	}
	if err != nil {
		return fmt.Errorf("plots: writing PNG: %w", err)
	}
	return nil
}

// bandHigh is how many rows are filled and packed at once, the bands of a page on all cores: what is
// reckoned with for them stays near the processor, and no page of pixels is laid.
const bandHigh = 128

// rows are the rows of a page as a PNG has them, packed (RFC 1950): band by band, each begun
// anew on a whole byte.
func (l *layers) rows(wide, high int, paper color.RGBA) ([]byte, error) {
	n := (high + bandHigh - 1) / bandHigh
	packed, errs := make([]packing, n), make([]error, n)
	cores.Each(n, func(i int) {
		b := bands.Get().(*band)
		defer bands.Put(b)
		b.lay(l, image.Rect(0, i*bandHigh, wide, min((i+1)*bandHigh, high)), paper)
		packed[i], errs[i] = b.packed(i == n-1)
	})
	out, sum := []byte{0x78, 0x5e}, uint32(1) // of a window of 32 kB, packed quickly
	for _, p := range packed {
		out, sum = append(out, p.bytes...), joined(sum, p.sum, p.size)
	}
	return binary.BigEndian.AppendUint32(out, sum), cmp.Or(errs...)
}

// packing is what a band is packed to, and the Adler-32 sum and the number of bytes of what it was.
type packing struct {
	bytes []byte
	sum   uint32
	size  int
}

// joined is the Adler-32 sum (RFC 1950, section 8.2) of some bytes and so many more behind
// them, by those of both.
func joined(first, second uint32, size int) uint32 {
	const base = 65521
	a, b := uint64(first&0xffff), uint64(first>>16)
	a2, b2 := uint64(second&0xffff), uint64(second>>16)
	b = (b + b2 + uint64(size)%base*(a+base-1)) % base
	return uint32(b<<16 | (a+a2+base-1)%base)
}

// swift is the level of packing: that above the quickest, which begins a code every 64 kB,
// however alike they are.
const swift = 2

// band is some rows of a page of pixels. bands lends them: one is filled where another was.
type band struct {
	img    image.RGBA
	raster vector.Rasterizer
	mask   []byte
	pack   *flate.Writer
}

var bands = sync.Pool{New: func() any {
	b := new(band)
	b.raster.Reset(tileWide, bandHigh) // room for any tile: it is cleared before a line is added
	b.pack, _ = flate.NewWriter(nil, swift)
	return b
}}

// lay fills the rows with the paper and the layers above it.
func (b *band) lay(l *layers, rows image.Rectangle, paper color.RGBA) {
	n := 4 * rows.Dx() * rows.Dy()
	b.img = image.RGBA{Pix: slices.Grow(b.img.Pix[:0], n)[:n], Stride: 4 * rows.Dx(), Rect: rows}
	draw.Draw(&b.img, rows, image.NewUniform(paper), image.Point{}, draw.Src)
	for _, x := range l.all {
		around := x.around.Intersect(rows)
		for at := around.Min.X; at < around.Max.X; at += tileWide {
			tile := image.Rect(at, around.Min.Y, at+tileWide, around.Max.Y).Intersect(around)
			b.fill(x.ink, x.area, l.perPoint, tile)
		}
	}
}

// packed deflates the rows, to the end of the page or to a whole byte.
func (b *band) packed(last bool) (p packing, err error) {
	var out bytes.Buffer
	b.pack.Reset(&out)
	sum := adler32.New()
	if p.size, err = b.write(io.MultiWriter(b.pack, sum)); err != nil {
		return p, err
	}
	if err = b.pack.Flush(); last && err == nil {
		err = b.pack.Close()
	}
	p.bytes, p.sum = out.Bytes(), sum.Sum32()
	return p, err
}

// sameRun is how many pixels are held against those above at once: most are the same.
const sameRun = 16

// write writes the rows as a PNG has them: three colours of a byte each, the first row as it is
// and the others less that above (filter types 0 and 2 of the PNG specification, W3C, third edition,
// section 9.2). The encoder of the standard library tries five filters on every row, which takes as
// long as all the drawing.
func (b *band) write(w io.Writer) (n int, err error) {
	width := b.img.Rect.Dx()
	last, out := make([]byte, 4*width), make([]byte, 1+3*width)
	for y := 0; y < b.img.Rect.Dy() && err == nil; y++ {
		row := b.img.Pix[y*b.img.Stride:][:4*width]
		to := out[1:]
		clear(to)
		for x := 0; x < width; {
			some := min(x+sameRun, width)
			if bytes.Equal(row[4*x:4*some], last[4*x:4*some]) {
				x = some
				continue
			}
			for ; x < some; x++ {
				p, q, d := row[4*x:][:4], last[4*x:][:4], to[3*x:][:3]
				d[0], d[1], d[2] = p[0]-q[0], p[1]-q[1], p[2]-q[2]
			}
		}
		last = row
		_, err = w.Write(out)
		n, out[0] = n+len(out), 2
	}
	return n, err
}

// file is the PNG with how large its pixels are (sections 11.2 and 11.3.4.3), in pixels a
// metre.
func file(wide, high int, perInch float64, rows []byte) []byte {
	number := binary.BigEndian.AppendUint32
	perMetre := uint32(math.Round(perInch / 0.0254))
	b := append(make([]byte, 0, len(rows)+128), "\x89PNG\r\n\x1a\n"...)
	chunk := func(name string, data []byte) {
		b = number(b, uint32(len(data)))
		from := len(b)
		b = append(append(b, name...), data...)
		b = number(b, crc32.ChecksumIEEE(b[from:]))
	}
	size := number(number(nil, uint32(wide)), uint32(high))
	chunk("IHDR", append(size, 8, 2, 0, 0, 0)) // of 8 bits, of three colours
	chunk("pHYs", append(number(number(nil, perMetre), perMetre), 1))
	chunk("IDAT", rows)
	chunk("IEND", nil)
	return b
}

// tileWide is how many pixels of a row are filled at once: up to 512 either way the rasterizer reckons
// in whole numbers, which takes a tenth of the time.
const tileWide = 512

// fill works on the pixels around an area only: the rasterizer goes over all that it has.
func (b *band) fill(ink color.RGBA, area path, perPoint float64, around image.Rectangle) {
	z := &b.raster
	z.Reset(around.Dx(), around.Dy())
	z.DrawOp = draw.Src
	at := func(p xy) (x, y float32) {
		return float32(hundredths(p.X)*perPoint) - float32(around.Min.X),
			float32(hundredths(p.Y)*perPoint) - float32(around.Min.Y)
	}
	for _, p := range area {
		ax, ay := at(p.to[0])
		bx, by := at(p.to[1])
		cx, cy := at(p.to[2])
		switch p.op {
		case move:
			z.MoveTo(ax, ay)
		case straight:
			z.LineTo(ax, ay)
		case quadratic:
			z.QuadTo(ax, ay, bx, by)
		case cubic:
			z.CubeTo(ax, ay, bx, by, cx, cy)
		case closed:
			z.ClosePath()
		}
	}
	n := around.Dx() * around.Dy()
	b.mask = slices.Grow(b.mask[:0], n)[:n]
	mask := &image.Alpha{Pix: b.mask, Stride: around.Dx(), Rect: z.Bounds()}
	z.Draw(mask, mask.Rect, image.Opaque, image.Point{}) // the only kind of image that it is quick with
	for y := range around.Dy() {
		blend(b.img.Pix[b.img.PixOffset(around.Min.X, around.Min.Y+y):],
			mask.Pix[y*mask.Stride:][:mask.Stride], ink)
	}
}

// blend lays ink over a row of pixels, as much of it as the shares say.
func blend(row, shares []byte, ink color.RGBA) {
	all := binary.NativeEndian.Uint32([]byte{ink.R, ink.G, ink.B, 255})
	for x := 0; x < len(shares); x++ {
	eight:
		for ; x+8 <= len(shares); x += 8 {
			switch binary.NativeEndian.Uint64(shares[x:]) {
			case 0: // most of what is around a line
			case math.MaxUint64: // and within an area
				for p := row[4*x:][:32]; len(p) >= 4; p = p[4:] {
					binary.NativeEndian.PutUint32(p, all)
				}
			default:
				break eight
			}
		}
		if x == len(shares) {
			return
		}
		share := shares[x]
		switch p, s := row[4*x:4*x+4:4*x+4], uint32(share); s {
		case 0:
		case 255:
			p[0], p[1], p[2], p[3] = ink.R, ink.G, ink.B, 255
		default:
			mix := func(under, over uint8) uint8 {
				return uint8((uint32(under)*(255-s) + uint32(over)*s +
					127) / 255)
			}
			p[0], p[1], p[2], p[3] = mix(p[0], ink.R), mix(p[1], ink.G), mix(p[2], ink.B), mix(p[3], 255)
		}
	}
}

func (l *layers) stroke(s stroke, line path) {
	var area path
	for _, one := range line.flat() {
		for _, mark := range one.dashed(s.dash) {
			area = append(area, mark.widened(s.width)...)
		}
	}
	if len(area) > 0 {
		l.fill(s.color, area)
	}
}

// flatLine is a line of straight parts.
type flatLine struct {
	at     []xy
	closed bool
}

// flat makes straight parts of curves, sixteen of each: those that are drawn as lines are
// the quarters of a dot.
func (p path) flat() (lines []flatLine) {
	for _, q := range p {
		switch l := len(lines) - 1; q.op {
		case move:
			lines = append(lines, flatLine{at: []xy{q.to[0]}})
		case straight:
			lines[l].at = append(lines[l].at, q.to[0])
		case closed:
			lines[l].closed = true
		default:
			b := append([]xy{lines[l].at[len(lines[l].at)-1]}, q.points()...)
			for i := 1.0; i <= 16; i++ {
				lines[l].at = append(lines[l].at, bezier(b, i/16))
			}
		}
	}
	return lines
}

// bezier is the point of a Bézier curve at t from 0 to 1, by de Casteljau's method.
func bezier(b []xy, t float64) xy {
	b = append([]xy(nil), b...)
	for n := len(b) - 1; n > 0; n-- {
		for i := range n {
			b[i] = xy{b[i].X + (b[i+1].X-b[i].X)*t, b[i].Y + (b[i+1].Y-b[i].Y)*t}
		}
	}
	return b[0]
}

// dashed cuts a line into marks, by the lengths of marks and gaps in turn.
func (l flatLine) dashed(dash []float64) []flatLine {
	if len(dash) == 0 {
		return []flatLine{l}
	}
	marks := []flatLine{{at: l.at[:1:1]}}
	for i, n, left := 1, 0, dash[0]; i < len(l.at); i++ {
		a, b := l.at[i-1], l.at[i]
		for long := math.Hypot(b.X-a.X, b.Y-a.Y); long > 0; {
			step := math.Min(long, left)
			a = xy{a.X + (b.X-a.X)*step/long, a.Y + (b.Y-a.Y)*step/long}
			if mark := &marks[len(marks)-1]; n%2 == 0 {
				mark.at = append(mark.at, a)
			}
			long, left = long-step, left-step
			if left <= 0 {
				n++
				left = dash[n%len(dash)]
				if n%2 == 0 {
					marks = append(marks, flatLine{at: []xy{a}})
				}
			}
		}
	}
	return marks
}

// widened is the area of a line of a width, with round corners and blunt ends.
func (l flatLine) widened(width float64) path {
	at := l.at[:1:1]
	for _, p := range l.at[1:] {
		if p != at[len(at)-1] {
			at = append(at, p)
		}
	}
	if len(at) < 2 {
		return nil
	}
	there, back := beside(at, width/2, l.closed), beside(reversed(at), width/2, l.closed)
	if l.closed {
		return append(polygon(there...), polygon(back...)...)
	}
	return polygon(append(there, back...)...)
}

func reversed(at []xy) []xy {
	out := make([]xy, len(at))
	for i, p := range at {
		out[len(at)-1-i] = p
	}
	return out
}

// beside is the edge on the left of a line, half its width away.
func beside(at []xy, half float64, closed bool) (edge []xy) {
	var before float64 // direction of the part before
	if n := len(at); closed {
		before = math.Atan2(at[n-1].Y-at[n-2].Y, at[n-1].X-at[n-2].X)
	}
	for i := 1; i < len(at); i++ {
		a, b := at[i-1], at[i]
		along := math.Atan2(b.Y-a.Y, b.X-a.X)
		aside := func(p xy, angle float64) xy {
			return xy{p.X + half*math.Sin(angle), p.Y - half*math.Cos(angle)}
		}
		if i > 1 || closed {
			turn := math.Remainder(along-before, 2*math.Pi)
			for t := 0.25; t < turn; t += 0.25 { // a corner whose outside is here
				edge = append(edge, aside(a, before+t))
			}
		}
		edge = append(edge, aside(a, along), aside(b, along))
		before = along
	}
	return edge
}
