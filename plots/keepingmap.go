package plots

import (
	"fmt"
	"math"
	"strings"
)

// MapPoint is a place on the keeping map: strength in % vol, sugar in g/L.
type MapPoint struct{ ABVPercent, SugarGPerL float64 }

// Region is a named area of the keeping map. Its outline needs at least three
// corners and closes itself; parts outside the map are clipped. Later regions
// lie on top of earlier ones. Tone chooses the tint: regions of equal Tone look
// alike.
type Region struct {
	Name    string
	Outline []MapPoint
	Tone    int
}

// Bottle is what is being judged: its centre and the standard deviation of each
// coordinate in its own unit, taken as independent. Without deviations the point
// stands alone.
type Bottle struct {
	At                         MapPoint
	SDABVPercent, SDSugarGPerL float64
	Label                      string
}

// Step is one proposed change: where it leads and what it is.
type Step struct {
	To    MapPoint
	Label string
}

// KeepingMap shows a bottle on the plane of alcohol against sugar, among
// regions that the caller draws from published limits. A bottle's acidity and
// its handling are not on the map, so regions belong to the acidity at hand.
type KeepingMap struct {
	Title, Subtitle string
	Regions         []Region
	Bottle          *Bottle // with the ellipse that holds it with 90 % probability
	Path            []Step  // proposed changes, each from the bottle

	// Upper ends of the plane in % vol and g/L. Zero takes what holds the
	// bottle, its ellipse and the path, but at least 30 % vol and 400 g/L.
	MaxABVPercent, MaxSugarGPerL float64
	FootNote                     string
}

// Alt says in words what the picture shows.
func (m KeepingMap) Alt() string {
	var b strings.Builder
	b.WriteString("Map of alcohol, % vol, against sugar, g/L.")
	place := func(p MapPoint) string {
		return fmt.Sprintf("%s %% vol and %.0f g/L", tenths(p.ABVPercent), p.SugarGPerL)
	}
	if m.Bottle != nil {
		fmt.Fprintf(&b, " The bottle is at %s", place(m.Bottle.At))
		if in := m.regionAt(m.Bottle.At); in != "" {
			fmt.Fprintf(&b, ", in the region %q", in)
		}
		b.WriteString(".")
	}
	for _, st := range m.Path {
		fmt.Fprintf(&b, " Proposed: %s, to %s", clean(st.Label), place(st.To))
		if in := m.regionAt(st.To); in != "" {
			fmt.Fprintf(&b, ", in the region %q", in)
		}
		b.WriteString(".")
	}
	return b.String()
}

// regionAt is the name of the topmost region at a place, or "".
func (m KeepingMap) regionAt(p MapPoint) string {
	c := chart{box{0, 0, 1, 1}, 100, 1000}
	regions := make([][]xy, len(m.Regions))
	for i, r := range m.Regions {
		regions[i] = c.all(r.Outline)
	}
	if i := topmost(regions, c.at(p)); i >= 0 {
		return clean(m.Regions[i].Name)
	}
	return ""
}

// The largest map: pure alcohol, and more sugar than a litre can hold.
const maxABVPercent, maxSugarGPerL = 100.0, 2000.0

func (m KeepingMap) check() error {
	if len(m.Regions) == 0 && m.Bottle == nil {
		return fmt.Errorf("%w: the map has no region and no bottle; give at least one", errEmpty)
	}
	if err := finite("the size of the map", m.MaxABVPercent, m.MaxSugarGPerL); err != nil {
		return err
	}
	if m.MaxABVPercent > maxABVPercent || m.MaxABVPercent < 0 || m.MaxSugarGPerL > maxSugarGPerL ||
		m.MaxSugarGPerL < 0 {
		return fmt.Errorf("the map must end within 0 to %g %% vol and 0 to %g g/L: %w", maxABVPercent,
			maxSugarGPerL, errShape)
	}
	for i, r := range m.Regions {
		who := "the outline of " + quoted(r.Name, fmt.Sprintf("region %d", i+1))
		if len(r.Outline) < 3 {
			return fmt.Errorf("%s has %d corners, at least 3 are needed: %w", who, len(r.Outline), errShape)
		}
		for _, p := range r.Outline {
			if err := noNaN(who, p.ABVPercent, p.SugarGPerL); err != nil {
				return err
			}
		}
	}
	if b := m.Bottle; b != nil {
		if err := finite("the place of the bottle", b.At.ABVPercent, b.At.SugarGPerL, b.SDABVPercent,
			b.SDSugarGPerL); err != nil {
			return err
		}
		if b.SDABVPercent < 0 || b.SDSugarGPerL < 0 {
			return fmt.Errorf("the bottle needs standard deviations of 0 or more: %w", errShape)
		}
	} else if len(m.Path) > 0 {
		return fmt.Errorf("a change needs a bottle to start from: %w", errShape)
	}
	for i, st := range m.Path {
		if err := finite(fmt.Sprintf("change %d", i+1), st.To.ABVPercent, st.To.SugarGPerL); err != nil {
			return err
		}
	}
	return nil
}

// ends are the upper ends of both axes.
func (m KeepingMap) ends() (abv, sugar float64) {
	abv, sugar = 30, 400
	hold := func(p MapPoint) {
		abv, sugar = math.Max(abv, p.ABVPercent*1.12), math.Max(sugar, p.SugarGPerL*1.12)
	}
	if m.Bottle != nil {
		for _, p := range m.Bottle.ellipse() {
			hold(p)
		}
		hold(m.Bottle.At)
	}
	for _, st := range m.Path {
		hold(st.To)
	}
	abv, sugar = math.Min(math.Ceil(abv/5)*5, maxABVPercent), math.Min(math.Ceil(sugar/50)*50, maxSugarGPerL)
	if m.MaxABVPercent > 0 {
		abv = m.MaxABVPercent
	}
	if m.MaxSugarGPerL > 0 {
		sugar = m.MaxSugarGPerL
	}
	return abv, sugar
}

// ellipseCorners is fine enough to look round at any size.
const ellipseCorners = 72

// ellipse outlines where the bottle is with 90 % probability when both errors
// are normal: the points at Mahalanobis distance √(-2 ln 0.1), the square root
// of the 0.9 quantile of χ² with 2 degrees of freedom.
func (b Bottle) ellipse() []MapPoint {
	if b.SDABVPercent == 0 && b.SDSugarGPerL == 0 {
		return nil
	}
	r := math.Sqrt(-2 * math.Log(0.1))
	out := make([]MapPoint, ellipseCorners)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / ellipseCorners)
		out[i] = MapPoint{b.At.ABVPercent + r*b.SDABVPercent*cos, b.At.SugarGPerL + r*b.SDSugarGPerL*sin}
	}
	return out
}

// numberTicks marks an even axis from 0 to end with round numbers, at most so
// many.
func numberTicks(end float64, most int) []float64 {
	step := math.Pow(10, math.Floor(math.Log10(end/float64(most))))
	for _, by := range []float64{1, 2, 5, 10} {
		if end/(step*by) <= float64(most) {
			step *= by
			break
		}
	}
	var out []float64
	for n := 0.0; n*step <= end*(1+1e-9); n++ {
		out = append(out, n*step)
	}
	return out
}

// chart is the plane of a keeping map on the page.
type chart struct {
	area       box
	abv, sugar float64
}

func (c chart) at(p MapPoint) xy {
	const far = 1e4 // in widths of the map: where infinite corners are put
	share := func(v, end float64) float64 { return math.Max(-far, math.Min(v/end, far)) }
	return xy{c.area.X0 + c.area.width()*share(p.ABVPercent, c.abv),
		c.area.Y1 - c.area.height()*share(p.SugarGPerL, c.sugar)}
}

func (c chart) all(ps []MapPoint) []xy {
	out := make([]xy, len(ps))
	for i, p := range ps {
		out[i] = c.at(p)
	}
	return out
}

func (m KeepingMap) figure(s style) *figure {
	var (
		pal   = s.Palette
		small = lettering{size: s.TextPt, color: pal.Muted}
		top   = newMasthead(m.Title, m.Subtitle, s)
		c     chart
		y     = edge + top.height() + math.Max(laneGap, small.size)
	)
	c.abv, c.sugar = m.ends()
	abvTicks, sugarTicks := numberTicks(c.abv, 10), numberTicks(c.sugar, 8)
	x0 := edge + small.leading() + gap + small.widest(sugarTicks) + gap
	width := s.WidthPt - edge - math.Max(gap, small.width(tenths(c.abv))/2) - x0
	c.area = box{x0, y, x0 + width, y + 0.86*width}

	regions := make([][]xy, len(m.Regions))
	for i, r := range m.Regions {
		regions[i] = c.all(r.Outline)
	}
	names := m.name(c, regions, s)

	nameTop := c.area.Y1 + belowAxis(small) + 2
	axisName := block{small, []string{"alcohol, % vol"}}
	footTop := nameTop + axisName.height() + gap
	foot := newCaption(s, append(names.captions, m.howToRead(), m.FootNote)...)

	return &figure{
		width: s.WidthPt, height: math.Ceil(footTop + foot.height() + edge),
		title: clean(m.Title), alt: m.Alt(),
		paint: func(p *pen) {
			top.paint(p, edge, edge)
			for i, r := range m.Regions {
				tint := over(pal.Paper, pal.Zones[zone(r.Tone, len(pal.Zones))], zoneShare)
				p.fill(c.area, tint, regions[i])
				p.line(c.area, stroke{color: pal.Paper, width: 1.2}, append(regions[i], regions[i][0])...)
			}
			for _, v := range abvTicks {
				x := c.at(MapPoint{ABVPercent: v}).X
				p.line(c.area.grow(4), stroke{color: pal.Muted, width: hairline}, xy{x, c.area.Y1},
					xy{x, c.area.Y1 + 3})
				p.text(small, xy{x, c.area.Y1 + belowAxis(small) - descent*small.size}, middle, tenths(v))
			}
			for _, v := range sugarTicks {
				y := c.at(MapPoint{SugarGPerL: v}).Y
				p.line(c.area.grow(4), stroke{color: pal.Muted, width: hairline}, xy{c.area.X0 - 3, y},
					xy{c.area.X0, y})
				p.text(small, xy{c.area.X0 - gap, y + capHeight*small.size/2}, right, tenths(v))
			}
			p.line(c.area.grow(1), stroke{color: pal.Muted, width: hairline},
				xy{c.area.X0, c.area.Y0}, xy{c.area.X0, c.area.Y1}, xy{c.area.X1, c.area.Y1})
			p.upright(small, xy{edge + small.size/2, (c.area.Y0 + c.area.Y1) / 2}, "sugar, g/L")
			m.paintBottle(p, c, pal)
			for _, w := range names.words {
				p.text(w.style, w.at, middle, w.text)
			}
			axisName.paint(p, c.area.X0, nameTop)
			foot.paint(p, edge, footTop)
		},
	}
}

func zone(tone, n int) int { return ((tone % n) + n) % n }

func (m KeepingMap) paintBottle(p *pen, c chart, pal palette) {
	if m.Bottle == nil {
		return
	}
	if ring := c.all(m.Bottle.ellipse()); len(ring) > 0 {
		p.line(c.area, stroke{color: pal.Ink, width: 1.2}, append(ring, ring[0])...)
	}
	from := c.at(m.Bottle.At)
	for _, st := range m.Path {
		to := c.at(st.To)
		p.arrow(c.area, stroke{color: pal.Ink, width: 1.4}, from, to)
	}
	for _, st := range m.Path {
		if at := c.at(st.To); c.area.holds(at) {
			p.dot(at, mapDot, pal.Paper, stroke{color: pal.Ink, width: 1.3})
		}
	}
	if at := c.at(m.Bottle.At); c.area.holds(at) {
		p.dot(at, mapDot+0.6, pal.Ink, stroke{color: pal.Paper, width: 1})
	}
}

const (
	mapDot    = 3.2
	zoneShare = 0.3 // of a zone's colour in its tint: names must stay readable on it
)

// arrow draws a line between two dots with its head before the second.
func (p *pen) arrow(in box, s stroke, from, to xy) {
	length := math.Hypot(to.X-from.X, to.Y-from.Y)
	if length < 3*mapDot {
		return
	}
	dx, dy := (to.X-from.X)/length, (to.Y-from.Y)/length
	tip := xy{to.X - dx*(mapDot+1.5), to.Y - dy*(mapDot+1.5)}
	neck := xy{tip.X - dx*6, tip.Y - dy*6}
	p.line(in, s, from, neck)
	p.fill(in, s.color, []xy{tip, {neck.X - dy*3, neck.Y + dx*3}, {neck.X + dy*3, neck.Y - dx*3}})
}

func (m KeepingMap) howToRead() string {
	var parts []string
	if m.Bottle != nil {
		parts = append(parts, "Dot: the bottle.")
		if m.Bottle.SDABVPercent > 0 || m.Bottle.SDSugarGPerL > 0 {
			parts = append(parts, "Ring: where it is with 90 % probability.")
		}
	}
	if len(m.Path) > 0 {
		parts = append(parts, "Arrow: what would move it.")
	}
	return strings.Join(parts, " ")
}
