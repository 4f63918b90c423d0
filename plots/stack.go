package plots

import (
	"image/color"
	"math"
	"strings"
)

// stack is a column of panels, the lanes, over one time axis.
type stack struct {
	title, subtitle, alt string
	lanes                []lane
	axis                 timeAxis // x0 and x1 are set by the layout
	axisName             string
	yName                string
	yTop                 float64   // every lane runs from 0 to yTop
	yMarks, yMarksTall   []float64 // labelled values, and those for lanes with more room
	sideWidest           string    // the widest word right of the lanes
	captions             []string
	now                  *float64 // hours
	nowWords             string
}

// lane is one panel: ranges, a median and tastings of one thing over time.
type lane struct {
	name, aside, note                           string
	color                                       color.RGBA
	hours, median, low50, high50, low90, high90 []float64
	dots                                        []Point
	levels                                      []level
	posts                                       []post
	shade                                       *[2]float64 // hours
}

// level is a value to compare with: a dashed line named at its right end.
type level struct {
	value float64
	words []string
	color color.RGBA
}

// post is a time to look at: an upright line named above the lane. When the
// axis ends before beyond, its words get an arrow.
type post struct {
	hours, beyond float64
	words         string
	color         color.RGBA
	dash          []float64
	bold          bool
}

// laid is a lane with its place on the page.
type laid struct {
	lane
	head   blocks // name, and what does not fit beside it
	aside  string
	beside block
	tags   []tag
	rows   int
	top    float64
	area   box
}

const (
	laneGap   = 10.0
	dotRadius = 2.6
)

// laneHeight is the height of each lane in points: fewer are taller, and larger
// type needs more.
func laneHeight(n int, s style) float64 {
	sizes := []float64{0, 19, 14, 11, 9.8, 8.7}
	return s.TextPt * sizes[min(n, len(sizes)-1)]
}

func (st stack) figure(s style) *figure {
	var (
		small = lettering{size: s.TextPt, color: s.Palette.Muted}
		top   = newMasthead(st.title, st.subtitle, s)
		marks = st.yMarks
		tall  = laneHeight(len(st.lanes), s)
		y     = edge + top.height()
		lanes []laid
	)
	if len(st.lanes) <= 2 {
		marks = st.yMarksTall
	}
	st.axis.x0 = edge + small.leading() + gap + small.widest(marks) + gap
	st.axis.x1 = s.WidthPt - edge - small.width(st.sideWidest) - 1.5*gap

	for i, l := range st.lanes {
		if i == 0 && st.now != nil && *st.now >= 0 {
			l.posts = append(l.posts, post{hours: *st.now, beyond: *st.now, words: st.nowWords,
				color: s.Palette.Ink, dash: dotted, bold: true})
		} else if st.now != nil {
			l.posts = append(l.posts, post{hours: *st.now, color: s.Palette.Ink, dash: dotted})
		}
		in := st.lay(l, s)
		y += laneGap
		in.top = y
		y += in.head.height()
		y += float64(in.rows)*small.leading() + 1
		// The numbers at the ends of neighbouring lanes need their own lines.
		y = math.Max(y, in.top-laneGap+1.2*small.size)
		in.area = box{st.axis.x0, y, st.axis.x1, y + tall}
		y += tall
		lanes = append(lanes, in)
	}

	ticks := st.axis.ticks(small)
	axisTop := y
	y += belowAxis(small)
	for _, t := range ticks {
		if t.sub != "" {
			y += small.leading()
			break
		}
	}
	y += 2
	axisName := block{small, small.wrap(st.axisName, s.WidthPt-2*edge, 2)}
	nameTop := y
	y += axisName.height() + gap
	foot := newCaption(s, st.captions...)
	footTop := y
	height := math.Ceil(y + foot.height() + edge)

	return &figure{
		width: s.WidthPt, height: height,
		title: clean(st.title), alt: st.alt,
		paint: func(p *pen) {
			top.paint(p, edge, edge)
			for _, in := range lanes {
				st.paintLane(p, in, ticks, marks, s)
			}
			upper, lower := lanes[0].area.Y0, axisTop
			p.upright(small, xy{edge + small.size/2, (upper + lower) / 2},
				small.shorten(st.yName, lower-upper))
			for _, t := range ticks {
				x := st.axis.at(t.value)
				p.line(box{0, 0, s.WidthPt, height}, stroke{color: s.Palette.Muted, width: hairline},
					xy{x, axisTop}, xy{x, axisTop + 3})
				base := axisTop + belowAxis(small) - descent*small.size
				p.text(small, xy{x, base}, middle, t.label)
				p.text(small, xy{x, base + small.leading()}, middle, t.sub)
			}
			axisName.paint(p, edge, nameTop)
			foot.paint(p, edge, footTop)
		},
	}
}

var dotted = []float64{1.5, 2}

// belowAxis is how far the first row of tick labels reaches below an axis. It
// clears the lowest number of the upright axis.
func belowAxis(l lettering) float64 { return gap + 1.4*l.size }

// lay fits the words of a lane into its width.
func (st stack) lay(l lane, s style) laid {
	var (
		name  = lettering{size: s.NamePt, bold: true, color: s.Palette.inkOf(l.color)}
		plain = lettering{size: s.TextPt, color: s.Palette.Muted}
		width = s.WidthPt - edge - st.axis.x0
		in    = laid{lane: l}
	)
	lines := name.wrap(clean(l.name), width, 2)
	if len(lines) == 0 {
		lines = []string{""} // the rest of the head still needs its line
	}
	in.head = append(in.head, block{name, lines})
	room := width - name.width(lines[len(lines)-1])
	if aside := clean(l.aside); aside != "" {
		if w := plain.width(aside) + 2*gap; w <= room {
			room -= w
			in.aside = aside
		} else {
			in.head = append(in.head, block{plain, plain.wrap(aside, width, 2)})
			room = 0
		}
	}
	if words := clean(l.note); words != "" {
		if plain.width(words)+4*gap <= room {
			in.beside = block{plain, []string{words}}
		} else {
			in.head = append(in.head, block{plain, plain.wrap(words, width, 2)})
		}
	}
	for _, po := range l.posts {
		words := clean(po.words)
		if words == "" {
			continue
		}
		if po.beyond > st.axis.end {
			words += " →"
		}
		in.tags = append(in.tags, tag{x: st.axis.at(po.hours), text: words,
			style: lettering{size: s.TextPt, bold: po.bold, color: po.color}})
	}
	in.rows = arrange(in.tags, st.axis.x0, s.WidthPt-edge)
	return in
}

func (st stack) paintLane(p *pen, in laid, ticks []tick, marks []float64, s style) {
	var (
		a     = in.area
		pal   = s.Palette
		dark  = pal.inkOf(in.color)
		small = lettering{size: s.TextPt, color: pal.Muted}
		taken []box // where no label may stand
	)
	in.paintHead(p, s)

	st.paintBands(p, in, a, pal.Paper)
	if w := in.shade; w != nil && w[0] <= st.axis.end && w[1] >= 0 {
		shade := box{st.axis.at(w[0]), a.Y0, st.axis.at(w[1]), a.Y1}
		if shade.width() < 1.5 {
			shade.X0, shade.X1 = shade.X0-0.75, shade.X1+0.75
		}
		ground := over(pal.Paper, pal.Window, 0.22)
		p.fill(a, ground, shade.corners())
		st.paintBands(p, in, shade, ground)
	}

	grid := stroke{color: pal.Grid, width: hairline}
	for _, v := range marks {
		y := st.y(a, v)
		p.line(a.grow(1), grid, xy{a.X0, y}, xy{a.X1, y})
		p.text(small, xy{a.X0 - gap, y + capHeight*small.size/2}, right, tenths(v))
	}
	for _, t := range ticks {
		x := st.axis.at(t.value)
		p.line(a.grow(1), grid, xy{x, a.Y0}, xy{x, a.Y1})
	}
	p.line(a.grow(1), stroke{color: pal.Muted, width: hairline}, xy{a.X0, a.Y1}, xy{a.X1, a.Y1})

	var side []sideLabel
	for _, l := range in.levels {
		if math.IsInf(l.value, 0) {
			continue
		}
		y := st.y(a, l.value)
		p.line(a.grow(1), stroke{color: l.color, width: 1, dash: []float64{4, 2.5}}, xy{a.X0, y}, xy{a.X1, y})
		taken = append(taken, box{a.X0, y - 1, a.X1, y + 1})
		side = append(side, sideLabel{y, l.words, lettering{size: s.TextPt, color: l.color}})
	}
	spread(side, a.Y0-1, a.Y1+1)
	for _, l := range side {
		l.paint(p, a.X1+gap)
	}

	median := st.trace(in, in.median)
	p.line(a.grow(1), stroke{color: dark, width: 1.6}, median...)
	taken = append(taken, along(median, a)...)
	for _, po := range in.posts {
		if po.hours < 0 || po.hours > st.axis.end {
			continue
		}
		x := st.axis.at(po.hours)
		p.line(a.grow(1), stroke{color: po.color, width: 1.1, dash: po.dash}, xy{x, a.Y0}, xy{x, a.Y1})
		taken = append(taken, box{x - 1, a.Y0, x + 1, a.Y1})
	}
	st.paintDots(p, in, taken, dark, s)
}

// paintHead writes what stands above a lane.
func (in laid) paintHead(p *pen, s style) {
	y := in.top
	for i, b := range in.head {
		below := b.paint(p, in.area.X0, y)
		if i == 0 {
			base := b.lastBaseline(below)
			end := in.area.X0 + b.style.width(b.lines[len(b.lines)-1]) + 2*gap
			p.text(lettering{size: s.TextPt, color: s.Palette.Muted}, xy{end, base}, left, in.aside)
			p.text(in.beside.style, xy{s.WidthPt - edge, base}, right, strings.Join(in.beside.lines, " "))
		}
		y = below
	}
	for _, t := range in.tags {
		p.text(t.style, xy{t.at, in.area.Y0 - 3 - float64(t.row)*t.style.leading()}, left, t.text)
	}
}

// y gives the height of a value in a lane; values outside land on its edge.
func (st stack) y(a box, v float64) float64 {
	return a.Y1 - a.height()*math.Max(0, math.Min(v, st.yTop))/st.yTop
}

// trace is a series of a lane on the page, cut where the axis ends.
func (st stack) trace(in laid, values []float64) []xy {
	var line []xy
	for i, v := range values {
		h := in.hours[i]
		at := xy{st.axis.at(h), st.y(in.area, v)}
		switch {
		case h < 0:
			continue
		case h <= st.axis.end:
			line = append(line, at)
		case i > 0 && in.hours[i-1] < st.axis.end:
			share := (st.axis.end - in.hours[i-1]) / (h - in.hours[i-1])
			before := st.y(in.area, values[i-1])
			line = append(line, xy{st.axis.x1, before + share*(at.Y-before)})
		}
	}
	return line
}

// paintBands draws both ranges of a lane inside a box over a ground colour.
func (st stack) paintBands(p *pen, in laid, within box, ground color.RGBA) {
	wide := over(ground, in.color, 0.16)
	for _, band := range []struct {
		low, high []float64
		color     color.RGBA
	}{
		{in.low90, in.high90, wide},
		{in.low50, in.high50, over(wide, in.color, 0.26)},
	} {
		outline := st.trace(in, band.high)
		back := st.trace(in, band.low)
		for i := len(back) - 1; i >= 0; i-- {
			outline = append(outline, back[i])
		}
		p.fill(within, band.color, outline)
	}
}

// paintDots draws spreads, then dots over them, then labels where they meet
// nothing that is drawn.
func (st stack) paintDots(p *pen, in laid, taken []box, c color.RGBA, s style) {
	var shown []Point
	for _, t := range in.dots {
		if t.Hours >= 0 && t.Hours <= st.axis.end {
			shown = append(shown, t)
		}
	}
	for _, t := range shown {
		if t.High > t.Low {
			x, y0, y1 := st.axis.at(t.Hours), st.y(in.area, t.High), st.y(in.area, t.Low)
			p.line(in.area.grow(1), stroke{color: c, width: 1}, xy{x, y0}, xy{x, y1})
			taken = append(taken, box{x - 1, y0, x + 1, y1})
		}
	}
	at := func(t Point) xy { return xy{st.axis.at(t.Hours), st.y(in.area, t.Score)} }
	for _, t := range shown {
		p.dot(at(t), dotRadius, s.Palette.Paper, stroke{color: c, width: 1.3})
		taken = append(taken, box{at(t).X, at(t).Y, at(t).X, at(t).Y}.grow(dotRadius+0.7))
	}
	style := lettering{size: s.TextPt, color: s.Palette.Ink}
	for _, t := range shown {
		label := clean(t.Label)
		if label == "" {
			continue
		}
		size := style.extent(xy{}, left, label)
		if b, ok := nearby(size.width(), size.height(), at(t), dotRadius+2, in.area, taken); ok {
			p.text(style, xy{b.X0, b.Y1 - descent*style.size}, left, label)
			taken = append(taken, b)
		}
	}
}
