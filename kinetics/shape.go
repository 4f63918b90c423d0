package kinetics

import (
	"math"
	"sync"
)

// Course is the family of shapes a flavour may rise by.
type Course int

// The families. First is first order alone, which a spreadsheet can follow.
const (
	Wanted Course = iota
	Unwanted
	First
)

// A shape is a rise from 0 to 1 as a function of x = k·t, kept as a table over
// ln x. All but those that fall or stay at nothing have 63 % at x = 1, so that k keeps its meaning.
type shape struct {
	name   string
	weight float64 // before any tasting
	table  []float64
	peak   float64 // ln x of the highest point of a shape that falls again; +Inf for the rest
}

const (
	shapeLow  = -9.25 // ln x at the start of the tables
	shapeStep = 0.01
	shapeN    = 1851
)

// at reads the table at ln x by linear interpolation (error below 1e-4).
func (s *shape) at(lx float64) float64 {
	u := (lx - shapeLow) / shapeStep
	switch {
	case !(u > 0):
		return s.table[0] * math.Exp(lx-shapeLow) // nearly nothing, and continuous
	case u >= shapeN-1:
		return s.table[shapeN-1]
	}
	i := int(u)
	return s.table[i] + (u-float64(i))*(s.table[i+1]-s.table[i])
}

// reach is the ln x at which the shape first has a share of its peak, +Inf where
// it never has.
func (s *shape) reach(share float64) float64 {
	last := shapeN - 1
	if !math.IsInf(s.peak, 1) {
		last = int(math.Round((s.peak - shapeLow) / shapeStep))
	}
	if share > s.table[last] || share >= 1 || s.dead() {
		return math.Inf(1)
	}
	lo, hi := 0, last
	if share <= s.table[0] {
		return shapeLow
	}
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; s.table[mid] < share {
			lo = mid
		} else {
			hi = mid
		}
	}
	d := s.table[hi] - s.table[lo]
	return shapeLow + shapeStep*(float64(lo)+(share-s.table[lo])/d)
}

// newShape tabulates f, a function of ln x.
func newShape(name string, weight float64, f func(lx float64) float64) shape {
	s := shape{name: name, weight: weight, table: make([]float64, shapeN), peak: math.Inf(1)}
	for i := range s.table {
		s.table[i] = f(shapeLow + shapeStep*float64(i))
	}
	return s
}

// dead reports whether nothing ever comes: old spice, the wrong jar.
func (s *shape) dead() bool { return s.table[shapeN-1] == 0 && math.IsInf(s.peak, 1) }

// power is 1 − exp(−x^m): quick then slow below m = 1, first order at 1, slow then
// steep above.
func power(m float64) func(float64) float64 {
	return func(lx float64) float64 { return -math.Expm1(-math.Exp(m * lx)) }
}

// late is first order after a delay of the share d of 1/k.
func late(d float64) func(float64) float64 {
	return func(lx float64) float64 { return -math.Expm1(-math.Max(0, math.Exp(lx)-d) / (1 - d)) }
}

// falling rises and is lost again at a tenth of the rate, scaled to a peak of 1:
// at x = ln(10)/0.9.
func falling() shape {
	const loss = 0.1
	at := math.Log(1/loss) / (1 - loss)
	top := math.Exp(-loss*at) - math.Exp(-at)
	s := newShape("rises and falls", 0.08, func(lx float64) float64 {
		x := math.Exp(lx)
		return (math.Exp(-loss*x) - math.Exp(-x)) / top
	})
	s.peak = math.Log(at)
	return s
}

// The weights were set by simulating makers (DEVELOPERS.md); first order is the
// centre.
var families = [...]func() []shape{
	Wanted: sync.OnceValue(func() []shape {
		return []shape{
			newShape("very slow-tailed", 0.10, power(0.5)), newShape("slow-tailed", 0.12, power(0.7)),
			newShape("first order", 0.33, power(1)), newShape("a slow start", 0.13, power(1.4)),
			newShape("a late start", 0.14, power(2)), newShape("late and steep", 0.08, power(3)), falling(),
			newShape("nothing comes", 0.02, func(float64) float64 { return 0 }),
		}
	}),
	Unwanted: sync.OnceValue(func() []shape {
		return []shape{
			newShape("first order", 0.50, power(1)), newShape("a little late", 0.20, late(0.15)),
			newShape("late", 0.15, late(0.3)), newShape("very late", 0.15, late(0.5)),
		}
	}),
	First: sync.OnceValue(func() []shape { return []shape{newShape("first order", 1, power(1))} }),
}
