package plots

import (
	"math"
	"slices"
	"sort"
)

// namer finds room for the names on a map, one after the other; what it has
// placed is in the way of what comes later.
type namer struct {
	area     box
	regions  [][]xy
	edges    []box // of the regions
	taken    []box // where no name may stand
	words    []word
	captions []string // what found no room
}

// word is a text in its place.
type word struct {
	style lettering
	at    xy // middle of the baseline
	text  string
}

// name places the names in order of what a reader looks for first: the bottle,
// its changes, the regions.
func (m KeepingMap) name(c chart, regions [][]xy, s style) *namer {
	var (
		n     = &namer{area: c.area, regions: regions}
		plain = lettering{size: s.TextPt, color: s.Palette.Ink}
		bold  = lettering{size: s.TextPt, bold: true, color: s.Palette.Ink}
		large = lettering{size: s.NamePt, bold: true, color: s.Palette.Ink}
	)
	for _, r := range regions {
		n.edges = append(n.edges, along(append(r, r[0]), c.area)...)
	}
	if m.Bottle != nil {
		n.keepClear(m, c)
		n.point(bold, clean(m.Bottle.Label), c.at(m.Bottle.At), "Dot: ")
		for _, st := range m.Path {
			n.point(plain, clean(st.Label), c.at(st.To), "Change: ")
		}
	}
	letter := 'a'
	for i, r := range m.Regions {
		spots := n.spots(i)
		text := clean(r.Name)
		if text == "" || len(spots) == 0 || n.region(large, text, i, spots) {
			continue
		}
		if n.region(large, string(letter), i, spots) {
			n.captions = append(n.captions, string(letter)+": "+text+".")
			letter++
		} else {
			n.captions = append(n.captions, "Too small to name: "+text+".")
		}
	}
	return n
}

// keepClear takes the bottle, its ring and its path.
func (n *namer) keepClear(m KeepingMap, c chart) {
	dot := func(at xy) { n.taken = append(n.taken, box{at.X, at.Y, at.X, at.Y}.grow(mapDot+1.5)) }
	at := c.at(m.Bottle.At)
	dot(at)
	if ring := c.all(m.Bottle.ellipse()); len(ring) > 0 {
		n.taken = append(n.taken, along(append(ring, ring[0]), c.area)...)
	}
	for _, st := range m.Path {
		to := c.at(st.To)
		for _, b := range along([]xy{at, to}, c.area) {
			n.taken = append(n.taken, b.grow(2))
		}
		dot(to)
		at = to
	}
}

// put writes centred rows from the top of a box.
func (n *namer) put(l lettering, b box, rows []string) {
	x := (b.X0 + b.X1) / 2
	for i, row := range rows {
		upper, half := b.Y0+float64(i)*l.leading(), l.width(row)/2
		n.words = append(n.words, word{l, xy{x, upper + (lineStep+capHeight-descent)/2*l.size}, row})
		n.taken = append(n.taken, box{x - half, upper, x + half, upper + l.leading()})
	}
}

// beside writes a name near a place and reports whether there was room. Two
// rows are better than one row across the edge of a region.
func (n *namer) beside(l lettering, text string, at xy) bool {
	for _, avoid := range [][]box{slices.Concat(n.taken, n.edges), n.taken} {
		for lines := 1; lines <= 2; lines++ {
			rows, w, h := l.inLines(text, lines)
			for d := mapDot + 3; d < 34; d += 6 {
				if b, ok := nearby(w, h, at, d, n.area.grow(-1), avoid); ok {
					n.put(l, b, rows)
					return true
				}
			}
		}
	}
	return false
}

// point names a place; without room the name goes to the captions.
func (n *namer) point(l lettering, text string, at xy, lead string) {
	short := l.shorten(text, n.area.width()/2)
	if text != "" && !n.beside(l, short, at) {
		n.captions = append(n.captions, lead+text+".")
	}
}

// region writes a name, in one to four rows, where region i has room.
func (n *namer) region(l lettering, text string, i int, spots []xy) bool {
	for _, size := range []float64{l.size, 0.86 * l.size} {
		l.size = size
		for lines := 1; lines <= 4; lines++ {
			rows, w, h := l.inLines(text, lines)
			for _, at := range spots {
				b := box{at.X - w/2, at.Y - h/2, at.X + w/2, at.Y + h/2}
				if n.roomFor(i, b.grow(2)) {
					n.put(l, b, rows)
					return true
				}
			}
		}
	}
	return false
}

// spots lists places of a grid where region i is on top, the deepest first.
func (n *namer) spots(i int) []xy {
	const step = 6.0
	type spot struct {
		at    xy
		depth float64
	}
	var found []spot
	for y := n.area.Y0 + step/2; y < n.area.Y1; y += step {
		for x := n.area.X0 + step/2; x < n.area.X1; x += step {
			at := xy{x, y}
			if topmost(n.regions, at) != i {
				continue
			}
			d := min(x-n.area.X0, n.area.X1-x, y-n.area.Y0, n.area.Y1-y)
			for _, r := range n.regions[i:] {
				d = min(d, fromEdge(r, at))
			}
			found = append(found, spot{at, d})
		}
	}
	sort.SliceStable(found, func(i, j int) bool { return found[i].depth > found[j].depth })
	out := make([]xy, len(found))
	for j, f := range found {
		out[j] = f.at
	}
	return out
}

// roomFor tells whether region i is on top all over a box, inside the map, and
// nothing else is close.
func (n *namer) roomFor(i int, b box) bool {
	if !b.within(n.area) {
		return false
	}
	for _, t := range n.taken {
		if b.grow(4).meets(t) {
			return false
		}
	}
	const probes = 8
	for ix := 0.0; ix <= probes; ix++ {
		for iy := 0.0; iy <= probes; iy++ {
			if topmost(n.regions, xy{b.X0 + b.width()*ix/probes, b.Y0 + b.height()*iy/probes}) != i {
				return false
			}
		}
	}
	return true
}

// topmost is the last region that holds a place, or -1.
func topmost(regions [][]xy, at xy) int {
	for i := len(regions) - 1; i >= 0; i-- {
		if inside(regions[i], at) {
			return i
		}
	}
	return -1
}

// inside counts the edges that a ray to the right crosses.
func inside(outline []xy, at xy) bool {
	in := false
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a.Y > at.Y) != (b.Y > at.Y) && at.X < a.X+(at.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// fromEdge is the distance of a place from the nearest edge of an outline.
func fromEdge(outline []xy, at xy) float64 {
	least := math.Inf(1)
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		dx, dy := b.X-a.X, b.Y-a.Y
		share := 0.0 // of the edge, at the foot of the perpendicular
		if square := dx*dx + dy*dy; square > 0 {
			share = max(0, min(1, ((at.X-a.X)*dx+(at.Y-a.Y)*dy)/square))
		}
		least = min(least, math.Hypot(at.X-a.X-share*dx, at.Y-a.Y-share*dy))
	}
	return least
}
