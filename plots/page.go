package plots

import (
	"math"
	"sort"
)

// Margins shared by all pictures, in points.
const (
	edge     = 10.0 // around the picture
	gap      = 4.0  // between a text and what it belongs to
	hairline = 0.6
)

// block is a column of text lines in one lettering, laid out top down.
type block struct {
	style lettering
	lines []string
}

func (b block) height() float64 { return float64(len(b.lines)) * b.style.leading() }

// paint draws the block with its upper edge at y and returns the lower edge.
func (b block) paint(p *pen, x, y float64) float64 {
	for _, s := range b.lines {
		y += b.style.leading()
		p.text(b.style, xy{x, b.lastBaseline(y)}, left, s)
	}
	return y
}

// lastBaseline is the baseline of a line of text whose lower edge is at y.
func (b block) lastBaseline(y float64) float64 {
	return y - b.style.size*(lineStep-1+descent)/2
}

// blocks stand one below the other.
type blocks []block

func (bs blocks) height() float64 {
	h := 0.0
	for _, b := range bs {
		h += b.height()
	}
	return h
}

func (bs blocks) paint(p *pen, x, y float64) {
	for _, b := range bs {
		y = b.paint(p, x, y)
	}
}

// newMasthead is the title and subtitle above a picture.
func newMasthead(title, subtitle string, s style) blocks {
	width := s.WidthPt - 2*edge
	big := lettering{size: s.TitlePt, bold: true, color: s.Palette.Ink}
	small := lettering{size: s.TextPt, color: s.Palette.Muted}
	return blocks{
		{big, big.wrap(clean(title), width, 3)},
		{small, small.wrap(clean(subtitle), width, 3)},
	}
}

// newCaption is the small print below a picture: how to read it, and the
// caller's own note.
func newCaption(s style, texts ...string) blocks {
	style := lettering{size: s.TextPt, color: s.Palette.Muted}
	var out blocks
	for _, t := range texts {
		out = append(out, block{style, style.wrap(clean(t), s.WidthPt-2*edge, 6)})
	}
	return out
}

// tag is a label that stands in a row above a plot, as near as it can to the x
// it speaks of.
type tag struct {
	x     float64
	text  string
	style lettering
	row   int
	at    float64 // left end
}

// arrange shortens tags to the width between x0 and x1 and gives each a row,
// counted upwards from the plot, so that none meets another. It returns the
// number of rows.
func arrange(tags []tag, x0, x1 float64) int {
	rows := 0
	for i := range tags {
		t := &tags[i]
		t.text = t.style.shorten(t.text, x1-x0)
		w := t.style.width(t.text)
		t.at = math.Max(x0, math.Min(t.x-w/2, x1-w))
		for clash := true; clash; {
			clash = false
			for _, o := range tags[:i] {
				ow := o.style.width(o.text)
				if o.row == t.row && t.at < o.at+ow+2*gap && o.at < t.at+w+2*gap {
					t.row++
					clash = true
					break
				}
			}
		}
		rows = max(rows, t.row+1)
	}
	return rows
}

// sideLabel stands right of a plot at the height of what it names.
type sideLabel struct {
	y     float64
	lines []string
	style lettering
}

// spread moves side labels apart until none overlaps, keeping their order and
// staying between the two heights as far as they fit.
func spread(labels []sideLabel, top, bottom float64) {
	half := func(i int) float64 { return float64(len(labels[i].lines)) * labels[i].style.leading() / 2 }
	sort.SliceStable(labels, func(i, j int) bool { return labels[i].y < labels[j].y })
	for i := range labels {
		low := top + half(i)
		if i > 0 {
			low = labels[i-1].y + half(i-1) + half(i)
		}
		labels[i].y = math.Max(labels[i].y, low)
	}
	for i := len(labels) - 1; i >= 0; i-- {
		high := bottom - half(i)
		if i < len(labels)-1 {
			high = labels[i+1].y - half(i+1) - half(i)
		}
		labels[i].y = math.Min(labels[i].y, high)
	}
}

func (l sideLabel) paint(p *pen, x float64) {
	y := l.y - float64(len(l.lines))*l.style.leading()/2
	block{l.style, l.lines}.paint(p, x, y)
}

// along covers what of a line lies in a box with small boxes, so that labels
// can keep clear of it.
func along(line []xy, in box) []box {
	var out []box
	for i := 1; i < len(line); i++ {
		a, b, ok := clipped(line[i-1], line[i], in)
		if !ok {
			continue
		}
		pieces := math.Ceil(math.Max(1, math.Hypot(b.X-a.X, b.Y-a.Y)/4))
		for n := 0.0; n < pieces; n++ {
			from := xy{a.X + (b.X-a.X)*n/pieces, a.Y + (b.Y-a.Y)*n/pieces}
			to := xy{a.X + (b.X-a.X)*(n+1)/pieces, a.Y + (b.Y-a.Y)*(n+1)/pieces}
			out = append(out, box{math.Min(from.X, to.X), math.Min(from.Y, to.Y), math.Max(from.X, to.X),
				math.Max(from.Y, to.Y)}.grow(1))
		}
	}
	return out
}

// clipped is the part of a stretch from a to b that lies in a box, by the method
// of Liang and Barsky, ACM Transactions on Graphics 3:1 (1984).
func clipped(a, b xy, in box) (from, to xy, ok bool) {
	dx, dy := b.X-a.X, b.Y-a.Y
	enter, leave := 0.0, 1.0
	for _, side := range [][2]float64{
		{-dx, a.X - in.X0}, {dx, in.X1 - a.X}, {-dy, a.Y - in.Y0}, {dy, in.Y1 - a.Y},
	} {
		switch {
		case side[0] < 0:
			enter = math.Max(enter, side[1]/side[0])
		case side[0] > 0:
			leave = math.Min(leave, side[1]/side[0])
		case side[1] < 0:
			return from, to, false
		}
	}
	return xy{a.X + dx*enter, a.Y + dy*enter}, xy{a.X + dx*leave, a.Y + dy*leave}, enter <= leave
}

// nearby finds room for a label of a size beside a place: inside an area and
// clear of all that is taken. It reports false where there is none.
func nearby(w, h float64, at xy, distance float64, area box, taken []box) (box, bool) {
	d := distance
	for _, corner := range []xy{
		{d, -h / 2}, {-d - w, -h / 2}, {-w / 2, -d - h}, {-w / 2, d},
		{d / 1.4, -d/1.4 - h}, {-d/1.4 - w, -d/1.4 - h}, {d / 1.4, d / 1.4}, {-d/1.4 - w, d / 1.4},
	} {
		try := box{at.X + corner.X, at.Y + corner.Y, at.X + corner.X + w, at.Y + corner.Y + h}
		free := try.within(area)
		for _, t := range taken {
			free = free && !try.meets(t)
		}
		if free {
			return try, true
		}
	}
	return box{}, false
}
