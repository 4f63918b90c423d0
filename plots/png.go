package plots

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/draw"
	"io"
	"math"
	"slices"
	"sync"

	"golang.org/x/image/vector"
)

// pixels is a page of pixels. sheets lends them: the third picture of a jar is drawn where the first was.
type pixels struct {
	img      *image.RGBA
	perPoint float64
	raster   vector.Rasterizer
	mask     []byte
}

var sheets = sync.Pool{New: func() any { return &pixels{img: new(image.RGBA)} }}

func (f *figure) png(w io.Writer, s style) error {
	perInch := math.Round(cmp.Or(f.perInch, s.PixelsPerInch))
	scale := perInch / 72
	wide, high := int(f.width*scale+0.5), int(f.height*scale+0.5)
	c := sheets.Get().(*pixels)
	defer sheets.Put(c)
	c.perPoint = scale
	*c.img = image.RGBA{Pix: slices.Grow(c.img.Pix[:0], 4*wide*high)[:4*wide*high], Stride: 4 * wide,
		Rect: image.Rect(0, 0, wide, high)}
	c.raster.Reset(tileWide, tileHigh) // room for any tile, which is cleared before a line is added to it
	draw.Draw(c.img, c.img.Rect, image.NewUniform(s.Palette.Paper), image.Point{}, draw.Src)
	f.paint(&pen{outlined{c}})
	rows, err := deflated(c)
	if err == nil {
		_, err = w.Write(c.file(perInch, rows))
	}
	if err != nil {
		return fmt.Errorf("plots: writing PNG: %w", err)
	}
	return nil
}

// sameRun is how many pixels are held against those above at once: most are the same.
const sameRun = 16

// WriteTo writes the pixels as a PNG has them: three colours of a byte each, less those of
// the row above (filter type 2 of the PNG specification, W3C, third edition, section 9.2).
// The encoder of the standard library tries five filters on every row, which takes as
// long as all the drawing.
func (c *pixels) WriteTo(w io.Writer) (n int64, err error) {
	width := c.img.Rect.Dx()
	last, out := make([]byte, 4*width), make([]byte, 1+3*width)
	out[0] = 2
	for y := 0; y < c.img.Rect.Dy() && err == nil; y++ {
		row := c.img.Pix[y*c.img.Stride:][:4*width]
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
		n += int64(len(out))
	}
	return n, err
}

// file is the PNG with how large its pixels are (sections 11.2 and 11.3.4.3), in pixels a
// metre.
func (c *pixels) file(perInch float64, rows string) []byte {
	number := binary.BigEndian.AppendUint32
	perMetre := uint32(math.Round(perInch / 0.0254))
	size := number(number(nil, uint32(c.img.Rect.Dx())), uint32(c.img.Rect.Dy()))
	b := []byte("\x89PNG\r\n\x1a\n")
	for _, chunk := range [][2]string{
		{"IHDR", string(append(size, 8, 2, 0, 0, 0))}, // of 8 bits, of three colours
		{"pHYs", string(append(number(number(nil, perMetre), perMetre), 1))},
		{"IDAT", rows}, {"IEND"},
	} {
		b = number(b, uint32(len(chunk[1])))
		from := len(b)
		b = append(append(b, chunk[0]...), chunk[1]...)
		b = number(b, crc32.ChecksumIEEE(b[from:]))
	}
	return b
}

// tileWide and tileHigh are how many pixels are filled at once: what is reckoned with for
// them stays near the processor, a page needs no second one beside it, and up to 512 either
// way the rasterizer reckons in whole numbers, which takes a tenth of the time.
const tileWide, tileHigh = 512, 128

// fill works on the pixels around the path only, in tiles: the rasterizer goes over all
// that it has.
func (c *pixels) fill(ink color.RGBA, area path) {
	e := area.extent()
	around := image.Rect(int(math.Floor(e.X0*c.perPoint)), int(math.Floor(e.Y0*c.perPoint)),
		int(math.Ceil(e.X1*c.perPoint))+1, int(math.Ceil(e.Y1*c.perPoint))+1).Intersect(c.img.Bounds())
	for y := around.Min.Y; y < around.Max.Y; y += tileHigh {
		for x := around.Min.X; x < around.Max.X; x += tileWide {
			c.fillTile(ink, area, image.Rect(x, y, x+tileWide, y+tileHigh).Intersect(around))
		}
	}
}

func (c *pixels) fillTile(ink color.RGBA, area path, around image.Rectangle) {
	z := &c.raster
	z.Reset(around.Dx(), around.Dy())
	z.DrawOp = draw.Src
	at := func(p xy) (x, y float32) {
		return float32(hundredths(p.X)*c.perPoint) - float32(around.Min.X),
			float32(hundredths(p.Y)*c.perPoint) - float32(around.Min.Y)
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
	c.mask = slices.Grow(c.mask[:0], n)[:n]
	mask := &image.Alpha{Pix: c.mask, Stride: around.Dx(), Rect: z.Bounds()}
	z.Draw(mask, mask.Rect, image.Opaque, image.Point{}) // the only kind of image that it is quick with
	for y := range around.Dy() {
		blend(c.img.Pix[c.img.PixOffset(around.Min.X, around.Min.Y+y):],
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

func (c *pixels) stroke(s stroke, line path) {
	var area path
	for _, l := range line.flat() {
		for _, mark := range l.dashed(s.dash) {
			area = append(area, mark.widened(s.width)...)
		}
	}
	if len(area) > 0 {
		c.fill(s.color, area)
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
