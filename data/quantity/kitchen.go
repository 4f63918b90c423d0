package quantity

import (
	"math"
	"slices"
	"strings"
)

// CloseEnough is the rounding error [share] that is not worth a word, and from which
// another measure is tried: a level spoon or a cup is not filled more closely.
const CloseEnough = 0.03

// tooFar is the rounding error [share] from which two measures are filled instead
// of one: no cup or spoon is filled so badly.
const tooFar = 0.05

// Kitchen rounds an exact amount to the nearest one that can be measured, in
// the maker's own kind of unit, and gives the error it makes as a share of the
// exact middle: 0.04 is 4 % too much, -0.04 too little.
//
// Teaspoons go in quarters (an eighth is the smallest), tablespoons in halves,
// cups in quarters and thirds, fluid ounces in quarters, and a larger measure
// takes over as people do it: 6 tsp is 2 tbsp, 4 tbsp is 1/4 cup. Millilitres
// go in steps of 0.5 below 10, 1 below 100, 5 below 1000, grams in steps of 0.1
// below 20, 1 below 200, 5 below 1000, and from there in litres and kilograms
// within half a per cent. Where that misses by more than 3 %, a smaller measure
// of the same kind is taken if there is one: teaspoons for tablespoons, 0.1 ml
// (a syringe), 0.01 oz wt or, below a tenth of an ounce, 0.01 g (a fine scale). What is counted
// goes to whole ones, below four to quarters, or a third that it is (they are cut: one more or less would be
// another dose), "zest of 2.3" too. Dashes and pinches go
// to whole ones. What can be measured already is not changed in its amount.
//
// Where the spoons end, a metric maker gets millilitres; a US maker keeps the
// smallest spoon. The zero Amount and amounts that are no finite positive
// number come back as they are, with no error.
func Kitchen(a Amount, system System) (rounded Amount, errorShare float64) {
	if a.from > 0 || a.Said != "" || a.loose {
		return a.requalified(system, Kitchen)
	}
	exact := a.Mid()
	if a.Kind == 0 || !(a.Low > 0) || !(a.High >= a.Low) || math.IsInf(a.High, 0) {
		return a, 0
	}
	ladder, climbs := ladderOf(a.Unit)
	switch {
	case a.Kind == Count:
		rounded = a.inPieces()
	case climbs:
		rounded = a.onLadder(ladder, system)
	case a.size() > 0:
		rounded = a.inSteps()
	default: // dash, drop, pinch, splash, handful
		rounded = a.each(a.Unit, 1, func(v float64) float64 { return max(1, math.Round(v)) })
	}
	if rounded.Text == a.Text || rounded.Text == "" { // else it is in two measures
		rounded.Text = rounded.String()
	}
	size := rounded.size()
	if size == 0 || a.size() == 0 {
		return rounded, rounded.Mid()/exact - 1
	}
	return rounded, rounded.Mid()*size/(exact*a.size()) - 1
}

// closely is the rounding error [share] that [Closely] keeps to.
const closely = 0.005

// Closely rounds as Kitchen does, but more finely where that misses by more
// than 0.5 %: for the liquids that make most of a batch, whose volume fills the
// bottles and whose shares make the strength. Cups, quarts and gallons become
// fluid ounces, which a marked jug and a small measure show in eighths below 25,
// quarters below 50, halves below 100 and whole above, or millilitres where those
// miss by 1 %; metric spoons, cups and millilitres become millilitres. What is no volume is left to Kitchen.
func Closely(a Amount, system System) (rounded Amount, errorShare float64) {
	if a.from > 0 || a.Said != "" || a.loose {
		return a.requalified(system, Closely)
	}
	rounded, off := Kitchen(a, system)
	if a.Kind != Volume || a.size() == 0 || math.Abs(off) <= closely || a.Low != a.High {
		return rounded, off
	}
	ml := a.Mid() * a.size()
	best, least := rounded, math.Abs(off)
	for i, try := range jugs(a.Unit) {
		if i > 0 && (least <= 2*closely || system == US) {
			break
		}
		v := ml / sizeOf(try)
		step := closeFluid.at(v)
		if try == "ml" {
			step = closeML.at(ml)
		}
		got := a
		got.Unit = sayUS(try, system)
		if try == "ml" && ml >= 1000 {
			v, step, got.Unit = v/1000, step/1000, "l"
		}
		got.Low = roundStep(v, step)
		got.High = got.Low
		got.Text = got.String()
		if miss := math.Abs(got.Low*got.size()/ml - 1); miss < least {
			best, least = got, miss
		}
	}
	return best, best.Mid()*best.size()/ml - 1
}

// sayUS is a measure that a metric maker would have to ask about, said to be a US
// one.
func sayUS(unit string, system System) string {
	_, small := loose[unit]
	if _, large := apart[unit]; system == Metric && (small || large) && unit != "bottle" {
		return "US " + unit
	}
	return unit
}

// requalified rounds what is written, and keeps what qualifies it. Where another
// measure takes over, a heaped spoon would be no heaped cup and a cup of either
// country no spoon: then what is meant is rounded, a metric maker's in millilitres.
func (a Amount) requalified(system System, round func(Amount, System) (Amount, float64)) (Amount, float64) {
	rounded, off := round(a.plain(), US)
	if rounded.Unit == a.Unit || !a.loose && !slices.ContainsFunc(a.qualifiers(),
		func(q *qualifier) bool { return q.fits != nil }) {
		rounded.Unit = sayUS(rounded.Unit, system)
		if a.loose {
			rounded.Unit = a.Unit
		}
		return rounded.as(a), off
	}
	meant := a
	meant.from, meant.to, meant.Said, meant.loose = 0, 0, "", false
	if low, _, high, ok := a.Millilitres(); ok && system == Metric {
		meant.Low, meant.High, meant.Unit = low, high, "ml"
	}
	return round(meant, system)
}

// each rewrites both ends of an amount in another unit; ratio is that unit in
// units of the old one.
func (a Amount) each(unit string, ratio float64, round func(float64) float64) Amount {
	a.Low, a.High, a.Unit = round(a.Low/ratio), round(a.High/ratio), unit
	return a
}

// inPieces rounds a count.
func (a Amount) inPieces() Amount {
	per := 1.0
	if a.Mid() < 4 {
		per = 4 // few are cut: a whole one more or less would be another dose
	}
	round := func(v, per float64) float64 { return max(1, math.Round(v*per)) / per }
	a = a.each(a.Unit, 1, func(v float64) float64 {
		got := round(v, per)
		if third := round(v, 3); per > 1 && math.Abs(got/v-1) > tooFar && math.Abs(third/v-1) <= closely {
			return third
		}
		return got
	})
	a.High = max(a.High, a.Low) // a third, and a little more that is none, is no range back to a quarter
	return a
}

// onLadder finds the measure that suits best: one that is exact before one that
// is close, the maker's own where it is at home before the largest that is,
// and where all miss the nearest.
func (a Amount) onLadder(ladder []rung, system System) Amount {
	best, miss := a.inOne(ladder, system)
	if miss > tooFar {
		// What is in two measures once stays in them.
		if two, ok := a.inTwo(ladder, system); ok {
			if _, miss := two.inOne(ladder, system); miss > tooFar {
				return two
			}
		}
	}
	if smallest := a.Mid() * a.size() / mlPerTsp; system == Metric && a.Kind == Volume && smallest < 0.125 {
		return a.each("ml", 1/a.size(), func(v float64) float64 { return roundStep(v, 0.1) })
	}
	return best
}

// inOne is an amount in the one measure that suits best, and by what share it misses.
func (a Amount) inOne(ladder []rung, system System) (best Amount, least float64) {
	var order []rung
	for _, r := range ladder {
		if r.unit == a.Unit {
			order = append(order, r)
		}
	}
	for i := len(ladder) - 1; i >= 0; i-- {
		if ladder[i].unit != a.Unit {
			order = append(order, ladder[i])
		}
	}
	best, least = a, math.Inf(1)
	for _, try := range []struct {
		bearable bool
		miss     float64
	}{{false, 1e-9}, {true, 1e-9}, {false, CloseEnough}, {true, CloseEnough}} {
		for _, r := range order {
			ratio := r.inUnitsOf(a)
			v := a.Mid() / ratio
			low, high := r.low*(1-1e-9), r.high*(1-1e-9)
			if try.bearable {
				high = r.reach * (1 + 1e-9)
			}
			if v < low || v >= high {
				continue
			}
			got := a.each(sayUS(r.unit, system), ratio, r.nearest)
			off := math.Abs(got.Mid()*ratio/a.Mid() - 1)
			if off <= try.miss {
				return got, off
			}
			if off < least {
				best, least = got, off
			}
		}
	}
	return best, least
}

// inTwo is an amount in a large measure and the next smaller one, "1 cup + 2 tbsp",
// where that comes within what a spoon is filled to; false where it does not.
func (a Amount) inTwo(ladder []rung, system System) (Amount, bool) {
	if a.Low != a.High {
		return a, false
	}
	for i := len(ladder) - 1; i > 0; i-- {
		large, small := ladder[i], ladder[i-1]
		v := a.Mid() / large.inUnitsOf(a)
		per := large.marks.at(v)
		head := math.Floor(per*v+1e-9) / per
		if head < large.low {
			continue
		}
		rest := (v - head) * large.inUnitsOf(a) / small.inUnitsOf(a)
		mark := small.nearest(rest)
		if mark < small.low || math.Abs(mark-rest)*small.inUnitsOf(a) > CloseEnough*a.Mid() {
			continue
		}
		one, other := Amount{Kind: a.Kind, Unit: sayUS(large.unit, system)},
			Amount{Kind: a.Kind, Unit: sayUS(small.unit, system)}
		one.Low, one.High, other.Low, other.High = head, head, mark, mark
		if two, err := parseAmount(one.String() + " + " + other.String()); err == nil {
			return two, true
		}
	}
	return a, false
}

// inUnitsOf is one of the rung's measures in the unit of a.
func (r rung) inUnitsOf(a Amount) float64 {
	if r.unit == a.Unit {
		return 1
	}
	return sizeOf(r.unit) / a.size()
}

// nearest rounds a number of the rung's measure to its nearest mark.
func (r rung) nearest(v float64) float64 {
	whole, best := math.Floor(v), inf
	marks := []float64{r.marks.at(v)}
	if marks[0] == 4 && strings.HasSuffix(r.unit, "cup") {
		marks = append(marks, 3) // a set of cups has thirds
	}
	for _, d := range marks {
		for n := 0.0; n <= d; n++ {
			// Written as the printed fraction is, so that it prints as one.
			if at := whole + n/d; at > 0 && math.Abs(at-v) < math.Abs(best-v) {
				best = at
			}
		}
	}
	return best
}

// inSteps rounds metric amounts.
func (a Amount) inSteps() Amount {
	size := a.size()
	steps, fine := gramSteps, 0.01
	if a.Kind == Volume {
		steps, fine = millilitreSteps, 0.1
	}
	small := a.Mid() * size // in g or ml
	by := steps.at(small)
	misses := func(by float64) float64 { return math.Abs(roundStep(small, by)/small - 1) }
	// What a finer measure was taken for once stays as it is.
	if misses(by) > CloseEnough || by/2 > CloseEnough*small && misses(fine) < 1e-9 {
		by = min(by, fine)
	}
	to := metricUnit(a, roundStep(small, by))
	scale := sizeOf(to)
	return a.each(to, scale/size, func(v float64) float64 {
		r := roundStep(v*scale, by)
		if scale < 1 {
			return math.Round(r / scale)
		}
		return r / scale
	})
}

// roundStep rounds v to a multiple of step, but never to nothing.
func roundStep(v, step float64) float64 {
	if step < 1 {
		per := math.Round(1 / step) // so that 0.3 comes out as 3/10, which prints as 0.3
		return max(1, math.Round(v*per)) / per
	}
	return max(1, math.Round(v/step)) * step
}

// metricUnit is the unit that v [g or ml] is written in: the maker's own as
// long as it gives a short number.
func metricUnit(a Amount, v float64) string {
	switch {
	case v >= 1000 && a.Kind == Mass:
		return "kg"
	case v >= 1000:
		return "l"
	case a.Unit == "mg" && v < 1, a.Unit == "cl" && v >= 10, a.Unit == "dl" && v >= 100:
		return a.Unit
	case a.Kind == Mass:
		return "g"
	}
	return "ml"
}
