package leastsq

import (
	"errors"
	"math"
)

// Errors of readings without a curve, that come with a Fit that holds what is known.
var (
	// ErrStraight: a straight line through the origin fits best; the slope is known.
	ErrStraight = errors.New("the readings rise in a straight line: no plateau and no rate can be told")
	// ErrFlat: a constant fits best; the plateau is known.
	ErrFlat = errors.New("all readings lie on the plateau: no rate can be told")

	errTooFew   = errors.New("a curve needs readings at two different times after the start")
	errReadings = errors.New("times and readings must be equally many finite numbers, times not negative")
)

// Fit is the least-squares curve y = C(1 − exp(−k t)).
type Fit struct {
	Plateau, Rate float64 // C in the unit of the readings, k in 1/h; +Inf and 0 after ErrStraight
	Slope         float64 // C·k at the start: known even where Plateau is not
	logRate       float64
	rss           float64 // residual sum of squares
	df            int     // readings − 2
	// Residual sums at the two ends of the family: the straight line through
	// the origin (k → 0) and the constant (k → ∞).
	rssStraight, rssFlat float64
	t, y                 []float64
}

// scanPoints is the number of rates tried before Newton's method. The sum of
// squares as a function of log k has one valley for any monotone series; with
// steps of at most about 1.6 in log k none was missed in the tests.
const scanPoints = 13

// span is where the family is distinguishable from its two ends, in log k: kt
// below 0.001 at the last time, kt above 50 at the first.
func (f *Fit) span() (lo, hi float64) {
	tmin, tmax := math.Inf(1), 0.0
	for _, v := range f.t {
		if v > 0 {
			tmin, tmax = math.Min(tmin, v), math.Max(tmax, v)
		}
	}
	return math.Log(1e-3 / tmax), math.Log(50 / tmin)
}

// project eliminates the plateau: it returns the best C at the rate exp(u) and
// the sum of squares left.
func (f *Fit) project(u float64) (c, rss float64) {
	k := math.Exp(u)
	var ff, fy float64
	for i, t := range f.t {
		x := -math.Expm1(-k * t)
		ff += x * x
		fy += x * f.y[i]
	}
	if ff > 0 {
		c = fy / ff
	}
	// The residuals are summed one by one: yy − fy²/ff would lose half the digits.
	for i, t := range f.t {
		r := f.y[i] + c*math.Expm1(-k*t)
		rss += r * r
	}
	return c, rss
}

// score returns C(u), h(u) = Σ r g with g = ∂f/∂u, dh/du, and how much of the
// sum of squares C removes at u.
func (f *Fit) score(u float64) (c, h, dh, removed float64) {
	k := math.Exp(u)
	var ff, fy, fg, gy, gg, yb, fb float64
	for i, t := range f.t {
		y, z := f.y[i], k*t
		e := math.Expm1(-z)
		x, g := -e, z*(1+e)
		b := g * (1 - z) // ∂g/∂u
		ff += x * x
		fy += x * y
		fg += x * g
		fb += x * b
		gg += g * g
		gy += y * g
		yb += y * b
	}
	c = fy / ff
	dc := (gy - 2*c*fg) / ff
	return c, gy - c*fg, yb - c*fb - c*gg - dc*fg, c * fy
}

// FirstOrder fits readings y, in any unit, at times t ≥ 0 in h. It needs no start.
// The slices are kept for the intervals and must not change.
func FirstOrder(t, y []float64) (Fit, error) {
	f := Fit{t: t, y: y, df: len(t) - 2}
	if len(t) != len(y) {
		return f, errReadings
	}
	distinct, first := 0, 0.0
	for i, ti := range t {
		if !(ti >= 0) || math.IsInf(ti, 0) || math.IsNaN(y[i]) || math.IsInf(y[i], 0) {
			return f, errReadings
		}
		if ti > 0 && ti != first {
			if distinct == 0 {
				first = ti
			}
			distinct++
		}
	}
	if distinct < 2 {
		return f, errTooFew
	}
	flat := f.ends()

	lo, hi := f.span()
	step := (hi - lo) / (scanPoints - 1)
	best, most := 0, math.Inf(-1)
	for i := range scanPoints {
		if _, _, _, removed := f.score(lo + float64(i)*step); removed > most {
			best, most = i, removed
		}
	}
	a, b := lo+float64(best-1)*step, lo+float64(best+1)*step
	if best == 0 {
		a = lo - 12 // C·k is constant to twelve digits there: no need to go on
	}
	if best == scanPoints-1 {
		b = hi + 3
	}
	u, ok := f.rootOfScore(a, b)
	if ok {
		f.Plateau, f.rss = f.project(u)
	}
	switch {
	case ok && f.rss < math.Min(f.rssStraight, f.rssFlat):
		f.logRate, f.Rate = u, math.Exp(u)
		f.Slope = f.Plateau * f.Rate
		return f, nil
	case f.rssStraight <= f.rssFlat:
		f.Plateau, f.logRate, f.rss = math.Inf(1), math.Inf(-1), f.rssStraight
		return f, ErrStraight
	}
	f.Plateau, f.logRate, f.rss = flat, math.Inf(1), f.rssFlat
	f.Rate, f.Slope = math.Inf(1), math.Inf(1)
	return f, ErrFlat
}

// ends computes the two limits of the family and returns the plateau of the flat one.
func (f *Fit) ends() (flat float64) {
	var tt, ty, n, sy float64
	for i, t := range f.t {
		tt += t * t
		ty += t * f.y[i]
		if t > 0 {
			n++
			sy += f.y[i]
		}
	}
	f.Slope, flat = ty/tt, sy/n
	for i, t := range f.t {
		d := f.y[i] - f.Slope*t
		f.rssStraight += d * d
		d = f.y[i]
		if t > 0 {
			d -= flat
		}
		f.rssFlat += d * d
	}
	return flat
}

// rootOfScore solves h(u) = 0 in [a, b] by Newton's method, with bisection when
// a step leaves the bracket. The minimum of the sum of squares is where h goes
// from plus to minus.
func (f *Fit) rootOfScore(a, b float64) (float64, bool) {
	ca, ha, _, _ := f.score(a)
	cb, hb, _, _ := f.score(b)
	// C·h has the sign of −dRSS/du; C may be negative for falling readings.
	if !(ca*ha > 0) || !(cb*hb < 0) {
		return 0, false
	}
	u := (a + b) / 2
	for range 100 {
		c, h, dh, _ := f.score(u)
		if h == 0 {
			return u, true
		}
		if c*h > 0 {
			a = u
		} else {
			b = u
		}
		next := u - h/dh
		if !(next > a && next < b) {
			next = (a + b) / 2
		}
		// Newton's error after a step of 1e-9 is far below rounding.
		if math.Abs(next-u) <= 1e-9 {
			return next, true
		}
		u = next
	}
	return u, true
}

// at is the fitted reading after t hours.
func (f *Fit) at(t float64) float64 {
	if math.IsInf(f.Plateau, 0) {
		return f.Slope * t
	}
	return -f.Plateau * math.Expm1(-f.Rate*t)
}
