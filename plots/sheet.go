package plots

import (
	"fmt"
	"image/color"
	"slices"
	"strings"
)

// Sheet is paper with labels of one size on it, row by row from the top left; what does
// not fit on a page goes on the next. It is a Picture, and of more than one page a PDF
// alone.
type Sheet struct {
	WidthMM, HeightMM float64
	Grid              Grid
	Labels            []Copies // of the size of the grid
	// Skip counts the places at the start that are used already. Cut draws hairlines to
	// cut along, for plain paper.
	Skip int
	Cut  bool
}

// Grid is where the labels of a sheet are: of what size, how many across and down,
// where the first begins and how far it is to the next. Lengths are mm.
type Grid struct {
	Columns, Rows     int
	WidthMM, HeightMM float64
	LeftMM, TopMM     float64
	AcrossMM, DownMM  float64
}

// Copies is a label and how many of it.
type Copies struct {
	Label
	Count int
}

// Count is how many labels are on it.
func (s Sheet) Count() (n int) {
	for _, l := range s.Labels {
		n += l.Count
	}
	return n
}

// PerPage is how many labels a page has.
func (g Grid) PerPage() int { return g.Columns * g.Rows }

// Pages is how many pages there are.
func (s Sheet) Pages() int { return (s.Skip + s.Count() + s.Grid.PerPage() - 1) / s.Grid.PerPage() }

// Alt implements Picture.
func (s Sheet) Alt() string {
	var all []string
	for _, l := range s.Labels {
		all = append(all, fmt.Sprintf("%d times: %s", l.Count, l.Alt()))
	}
	return strings.Join(all, "; ")
}

func (s Sheet) check() error {
	g := s.Grid
	right := g.LeftMM + float64(g.Columns-1)*g.AcrossMM + g.WidthMM
	foot := g.TopMM + float64(g.Rows-1)*g.DownMM + g.HeightMM
	const slack = 0.05 // of the rounding of what is printed about sheets
	switch {
	case slices.ContainsFunc(s.Labels, func(l Copies) bool { return l.Count < 1 }) || len(s.Labels) == 0:
		return fmt.Errorf("a sheet of labels: %w", errEmpty)
	case g.PerPage() < 1 || s.Skip < 0 || s.Skip >= g.PerPage():
		return fmt.Errorf("a sheet of %d labels has no place %d to begin at: %w", g.PerPage(), s.Skip+1,
			errShape)
	case right > s.WidthMM+slack || foot > s.HeightMM+slack || g.LeftMM < 0 || g.TopMM < 0 ||
		g.Columns > 1 && g.AcrossMM < g.WidthMM-slack || g.Rows > 1 && g.DownMM < g.HeightMM-slack:
		return fmt.Errorf("%d x %d labels of %g x %g mm do not lie on a sheet of %g x %g mm: %w", g.Columns,
			g.Rows,
			g.WidthMM, g.HeightMM, s.WidthMM, s.HeightMM, errShape)
	}
	_, err := lay(s.Labels)
	return err
}

func (s Sheet) figure(look style) *figure {
	f := &figure{width: s.WidthMM * ptPerMM, height: s.HeightMM * ptPerMM, title: clean(s.Labels[0].Name),
		alt: s.Alt(), perInch: labelInch}
	sets, _ := lay(s.Labels)
	var each []int // which of them is in each place
	for i, l := range s.Labels {
		each = append(each, slices.Repeat([]int{i}, l.Count)...)
	}
	f.paint = func(p *pen) { s.paint(p, look, sets, each, 0) }
	for page := 1; page < s.Pages(); page++ {
		f.more = append(f.more, func(p *pen) { s.paint(p, look, sets, each, page) })
	}
	return f
}

func (s Sheet) paint(p *pen, look style, sets []setting, each []int, page int) {
	per := s.Grid.PerPage()
	for i := range per {
		n := page*per + i - s.Skip
		if n < 0 || n >= len(each) {
			continue
		}
		x := (s.Grid.LeftMM + float64(i%s.Grid.Columns)*s.Grid.AcrossMM) * ptPerMM
		y := (s.Grid.TopMM + float64(i/s.Grid.Columns)*s.Grid.DownMM) * ptPerMM
		p.stamp(each[n], x, y, func(p *pen, x, y float64) { sets[each[n]].paint(p, look, x, y) })
		if s.Cut {
			edge := box{x, y, x + s.Grid.WidthMM*ptPerMM, y + s.Grid.HeightMM*ptPerMM}
			c := edge.corners()
			p.line(edge.grow(1), stroke{color: color.RGBA{0xa0, 0xa0, 0xa0, 0xff}, width: 0.4}, append(c,
				c[0])...)
		}
	}
}
