package plots

import (
	"math"

	"golang.org/x/image/font/sfnt"
)

// path is the outline of an area, or a line, in points from the top left corner.
type path []piece

// piece goes on from where the last one ended: to its first point, or by a Bézier curve
// with one or two points before the end.
type piece struct {
	op op
	to [3]xy
}

// op is a kind of piece.
type op int

const (
	move op = iota
	straight
	quadratic
	cubic
	closed
)

// ops are what the pieces of a letter are.
var ops = map[sfnt.SegmentOp]op{sfnt.SegmentOpMoveTo: move, sfnt.SegmentOpLineTo: straight,
	sfnt.SegmentOpQuadTo: quadratic, sfnt.SegmentOpCubeTo: cubic}

// points are those of a piece, its end the last.
func (p *piece) points() []xy { return p.to[:[...]int{1, 1, 2, 3, 0}[p.op]] }

func polyline(corners ...xy) path {
	out := make(path, len(corners))
	for i, at := range corners {
		out[i] = piece{op: straight, to: [3]xy{at}}
	}
	out[0].op = move
	return out
}

func polygon(corners ...xy) path { return append(polyline(corners...), piece{op: closed}) }

// circle is made of four Bézier arcs.
func circle(at xy, r float64) path {
	const k = 0.5522847498 // 4/3 (√2 - 1)
	to := func(dx, dy float64) xy { return xy{at.X + dx*r, at.Y + dy*r} }
	return path{
		{move, [3]xy{to(1, 0)}},
		{cubic, [3]xy{to(1, k), to(k, 1), to(0, 1)}},
		{cubic, [3]xy{to(-k, 1), to(-1, k), to(-1, 0)}},
		{cubic, [3]xy{to(-1, -k), to(-k, -1), to(0, -1)}},
		{cubic, [3]xy{to(k, -1), to(1, -k), to(1, 0)}},
		{op: closed},
	}
}

// put moves a path to a place, upright after a quarter turn to the left.
func (p path) put(at xy, upright bool) path {
	for i := range p {
		for j, from := range p[i].to {
			if upright {
				from = xy{from.Y, -from.X}
			}
			p[i].to[j] = xy{at.X + from.X, at.Y + from.Y}
		}
	}
	return p
}

// extent is a box that holds a path.
func (p path) extent() box {
	b := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for i := range p {
		for _, at := range p[i].points() {
			b = box{math.Min(b.X0, at.X), math.Min(b.Y0, at.Y), math.Max(b.X1, at.X), math.Max(b.Y1, at.Y)}
		}
	}
	return b
}

// cutPolygon is what of a polygon lies in a box, by the method of Sutherland and
// Hodgman, Communications of the ACM 17:1 (1974).
func cutPolygon(corners []xy, in box) []xy {
	for _, side := range [4]func(xy) float64{ // how far a place is on the inner side of each edge
		func(p xy) float64 { return p.X - in.X0 }, func(p xy) float64 { return in.X1 - p.X },
		func(p xy) float64 { return p.Y - in.Y0 }, func(p xy) float64 { return in.Y1 - p.Y },
	} {
		var kept []xy
		for i, b := range corners {
			a := corners[(i+len(corners)-1)%len(corners)]
			da, db := side(a), side(b)
			if da < 0 != (db < 0) {
				t := da / (da - db)
				kept = append(kept, xy{a.X + (b.X-a.X)*t, a.Y + (b.Y-a.Y)*t})
			}
			if db >= 0 {
				kept = append(kept, b)
			}
		}
		corners = kept
	}
	return corners
}

// cutLine is what of a line lies in a box, in the parts into which that cuts it.
func cutLine(line []xy, in box) (parts [][]xy) {
	var last xy
	for i := 1; i < len(line); i++ {
		a, b, ok := clipped(line[i-1], line[i], in)
		if !ok || a == b {
			continue
		}
		if len(parts) == 0 || a != last {
			parts = append(parts, []xy{a})
		}
		parts[len(parts)-1] = append(parts[len(parts)-1], b)
		last = b
	}
	return parts
}
