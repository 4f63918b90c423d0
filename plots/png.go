package plots

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"

	"golang.org/x/image/vector"
)

// pixels is a page of pixels.
type pixels struct {
	img      *image.RGBA
	perPoint float64
	raster   vector.Rasterizer
}

func (f *figure) png(w io.Writer, s style) error {
	perInch := math.Round(cmp.Or(f.perInch, s.PixelsPerInch))
	scale := perInch / 72
	c := &pixels{perPoint: scale,
		img: image.NewRGBA(image.Rect(0, 0, int(f.width*scale+0.5), int(f.height*scale+0.5)))}
	f.paintOn(outlined{c}, s, f.paint)
	var buf bytes.Buffer
	if err := png.Encode(&buf, c.img); err != nil {
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
func physical(perInch float64) []byte {
	perMetre := uint32(math.Round(perInch / 0.0254))
	chunk := binary.BigEndian.AppendUint32(nil, 9)
	chunk = append(chunk, "pHYs"...)
	chunk = binary.BigEndian.AppendUint32(chunk, perMetre)
	chunk = append(binary.BigEndian.AppendUint32(chunk, perMetre), 1)
	return binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
}

// fill works on the pixels around the path only: the rasterizer goes over all that it has.
func (c *pixels) fill(ink color.RGBA, area path) {
	e := area.extent()
	around := image.Rect(int(math.Floor(e.X0*c.perPoint)), int(math.Floor(e.Y0*c.perPoint)),
		int(math.Ceil(e.X1*c.perPoint))+1, int(math.Ceil(e.Y1*c.perPoint))+1).Intersect(c.img.Bounds())
	if around.Empty() {
		return
	}
	z := &c.raster
	z.Reset(around.Dx(), around.Dy())
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
	z.Draw(c.img, around, image.NewUniform(ink), image.Point{})
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
