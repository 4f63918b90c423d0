package kinetics

import (
	"math"
	"sync"
)

// course is the family of shapes a flavour may rise by.
type course int

// The families. The last is first order alone, which a spreadsheet can follow.
const (
	wanted course = iota
	unwanted
	firstOrder
)

// mostShapes is how many shapes a family has at the most.
const mostShapes = 8

// A shape is a rise from 0 to 1 as a function of x = k·t. All but those that fall,
// stay at nothing or are there at once have 63 % at x = 1, so that k keeps its meaning.
type shape struct {
	name   string
	weight float64                  // before any tasting
	rise   func(lx float64) float64 // of ln x; nil where nothing ever comes: old spice, the wrong jar
	peak   float64                  // ln x of the highest point of one that falls again; else +Inf
}

// A family is the shapes a flavour may rise by, tabulated over ln x side by side:
// they are asked for at the same x.
type family struct {
	shapes []shape
	table  []float64             // [ln x][shape]
	column func(h int) []float64 // of one shape, for who goes along it
}

const (
	shapeLow  = -9.25 // ln x at the start of the tables
	shapeStep = 0.01
	shapeN    = 1851
)

// tabulated lays the table at first use. Inlined at its three calls it made the program larger.
//
//go:noinline
func tabulated(shapes ...shape) func() *family {
	return sync.OnceValue(func() *family {
		f := &family{shapes: shapes, table: make([]float64, shapeN*len(shapes))}
		for h, s := range shapes {
			v := 0.0
			for i := 0; i < shapeN && s.rise != nil; i++ {
				if v < 1 || !math.IsInf(s.peak, 1) { // what is all there stays
					v = s.rise(shapeLow + shapeStep*float64(i))
				}
				f.table[i*len(shapes)+h] = v
			}
		}
		columns := sync.OnceValue(func() []float64 {
			all := make([]float64, len(f.table))
			for h := range shapes {
				for i := range shapeN {
					all[h*shapeN+i] = f.table[i*len(shapes)+h]
				}
			}
			return all
		})
		f.column = func(h int) []float64 { return columns()[h*shapeN:][:shapeN] }
		return f
	})
}

// only is the family of one of the shapes, the whole where there is none of that name.
func (f *family) only(name string) *family {
	for _, s := range f.shapes {
		if s.name == name {
			s.weight = 1
			return tabulated(s)()
		}
	}
	return f
}

// at reads a shape at ln x by linear interpolation (error below 1e-4).
func (f *family) at(h int, lx float64) float64 {
	n := len(f.shapes)
	u := (lx - shapeLow) / shapeStep
	switch {
	case !(u > 0):
		return f.table[h] * math.Exp(lx-shapeLow) // nearly nothing, and continuous
	case u >= shapeN-1:
		return f.table[(shapeN-1)*n+h]
	}
	i := int(u)
	a, b := f.table[i*n+h], f.table[(i+1)*n+h]
	return a + (u-float64(i))*(b-a)
}

// along reads a shape at ln x and on, each of into so many steps of the table on: of four
// points of it each, to 1e-7 of one that has no corner.
func (f *family) along(h int, lx float64, every int, into []float64) {
	s, all := &f.shapes[h], f.column(h)
	u := (lx - shapeLow) / shapeStep
	first := int(math.Floor(u))
	t := u - float64(first) // the same at every point
	a, b := -t*(t-1)*(t-2)/6, (t+1)*(t-1)*(t-2)/2
	c, d := -(t+1)*t*(t-2)/2, (t+1)*t*(t-1)/6
	for i := range into {
		j := first + every*i
		switch {
		case j < 1:
			into[i] = s.rise(lx + shapeStep*float64(every*i))
			continue
		case j+2 >= shapeN: // all there, or all lost
			into[i] = all[shapeN-1]
			continue
		}
		p := all[j-1:][:4]
		into[i] = a*p[0] + b*p[1] + c*p[2] + d*p[3]
	}
}

// reach is the ln x at which a shape first has a share of its peak, +Inf where
// it never has.
func (f *family) reach(h int, share float64) float64 {
	n, s := len(f.shapes), &f.shapes[h]
	last := shapeN - 1
	if !math.IsInf(s.peak, 1) {
		last = int(math.Round((s.peak - shapeLow) / shapeStep))
	}
	if share > f.table[last*n+h] || share >= 1 || s.rise == nil {
		return math.Inf(1)
	}
	lo, hi := 0, last
	if share <= f.table[h] {
		return shapeLow
	}
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; f.table[mid*n+h] < share {
			lo = mid
		} else {
			hi = mid
		}
	}
	a, b := f.table[lo*n+h], f.table[hi*n+h]
	return shapeLow + shapeStep*(float64(lo)+(share-a)/(b-a))
}

// power is 1 − exp(−x^m): quick then slow below m = 1, first order at 1, slow then
// steep above.
func power(m float64) func(float64) float64 {
	return func(lx float64) float64 { return -math.Expm1(-math.Exp(m * lx)) }
}

// late is first order after a delay of the share d of 1/k.
func late(d float64) func(float64) float64 {
	return func(lx float64) float64 { return -math.Expm1(-max(0, math.Exp(lx)-d) / (1 - d)) }
}

// falling rises and is lost again at a tenth of the rate, scaled to a peak of 1:
// at x = ln(10)/0.9.
func falling(name string, weight float64) shape {
	const loss = 0.1
	at := math.Log(1/loss) / (1 - loss)
	top := math.Exp(-loss*at) - math.Exp(-at)
	return shape{name, weight, func(lx float64) float64 {
		x := math.Exp(lx)
		return (math.Exp(-loss*x) - math.Exp(-x)) / top
	}, math.Log(at)}
}

// rising is a shape that does not fall again.
func rising(name string, weight float64, rise func(lx float64) float64) shape {
	return shape{name, weight, rise, math.Inf(1)}
}

// The weights were set by simulating makers (DEVELOPERS.md); first order is the centre. An unwanted taste
// that is there at once came with the spirit, with dust or with what was spoilt, and is all there by the
// start of the tables: without it a high first score could only be a slip.
var families = [...]func() *family{
	wanted: tabulated(
		rising("very slow-tailed", 0.10, power(0.5)), rising("slow-tailed", 0.12, power(0.7)),
		rising("first order", 0.33, power(1)), rising("a slow start", 0.13, power(1.4)),
		rising("a late start", 0.14, power(2)), rising("late and steep", 0.08, power(3)),
		falling("rises and falls", 0.08), rising("nothing comes", 0.02, nil),
	),
	unwanted: tabulated(
		rising("first order", 0.45, power(1)), rising("a little late", 0.20, late(0.15)),
		rising("late", 0.15, late(0.3)), rising("very late", 0.15, late(0.5)),
		rising("at once", 0.05, func(float64) float64 { return 1 }),
	),
	firstOrder: tabulated(rising("first order", 1, power(1))),
}
