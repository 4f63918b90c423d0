package leastsq

import (
	"errors"
	"math"
)

// Errors of the first-order fit. Each leaves the caller a description that can
// be told to a person; the Rise returned beside ErrStraight and ErrFlat still
// holds what is known.
var (
	// ErrTooFew: fewer than two different times above zero.
	ErrTooFew = errors.New("leastsq: a curve needs readings at two different times after zero")
	// ErrNotFinite: a time, reading or weight is NaN, infinite or negative.
	ErrNotFinite = errors.New("leastsq: times, readings and weights must be finite, times and weights not negative")
	// ErrLength: slices of different lengths.
	ErrLength = errors.New("leastsq: times, readings and weights differ in number")
	// ErrStraight: a straight line through the origin fits best, so that only
	// the slope C·k is known.
	ErrStraight = errors.New("leastsq: the readings rise in a straight line, so no plateau can be read from them")
	// ErrFlat: a constant fits best, so that only the plateau is known.
	ErrFlat = errors.New("leastsq: all readings lie on the plateau, so no rate can be read from them")
)

// Rise is the least-squares fit of y = C(1 − exp(−k t)), k = exp(LogRate).
// Units are those of the readings and one over those of the times.
type Rise struct {
	Plateau, LogRate float64 // C and ln k; +Inf and −Inf after ErrStraight
	Slope            float64 // C·k, finite after ErrStraight too
	RSS              float64 // weighted residual sum of squares
	N                int     // readings with a weight above zero
	// Inverse of JᵀWJ for (C, ln k): multiply by the residual variance.
	VarPlateau, VarLogRate, Cov float64
	// Residual sums at the two ends of the family: the straight line through
	// the origin (k → 0) and the constant (k → ∞).
	RSSStraight, RSSFlat float64
}

// scanPoints is the number of rates tried before Newton's method. The sum of
// squares as a function of log k has one valley for any monotone series; with
// steps of at most about 1.6 in log k none was missed in the tests.
const scanPoints = 13

// Range returns the span of log k in which the family is distinguishable from
// its two ends: kt below 0.001 at the last time, kt above 50 at the first.
func Range(t []float64) (lo, hi float64) {
	tmin, tmax := math.Inf(1), 0.0
	for _, v := range t {
		if v > 0 {
			tmin, tmax = math.Min(tmin, v), math.Max(tmax, v)
		}
	}
	return math.Log(1e-3 / tmax), math.Log(50 / tmin)
}

// Project eliminates the plateau: it returns the best C at the rate exp(u) and
// the weighted sum of squares left. w may be nil.
func Project(t, y, w []float64, u float64) (c, rss float64) {
	k := math.Exp(u)
	var ff, fy float64
	for i, ti := range t {
		wi := 1.0
		if w != nil {
			wi = w[i]
		}
		f := -math.Expm1(-k * ti)
		ff += wi * f * f
		fy += wi * f * y[i]
	}
	if ff > 0 {
		c = fy / ff
	}
	// The residuals are summed one by one: yy − fy²/ff would lose half the digits.
	for i, ti := range t {
		wi := 1.0
		if w != nil {
			wi = w[i]
		}
		r := y[i] + c*math.Expm1(-k*ti)
		rss += wi * r * r
	}
	return c, rss
}

// score returns C(u), h(u) = Σ w r g with g = ∂f/∂u, dh/du, and how much of the
// sum of squares C removes at u.
func score(t, y, w []float64, u float64) (c, h, dh, removed float64) {
	k := math.Exp(u)
	var ff, fy, fg, gy, gg, yb, fb float64
	for i, ti := range t {
		wi := 1.0
		if w != nil {
			wi = w[i]
		}
		z := k * ti
		e := math.Expm1(-z)
		f, g := -e, z*(1+e)
		b := g * (1 - z) // ∂g/∂u
		wf, wy := wi*f, wi*y[i]
		ff += wf * f
		fy += wf * y[i]
		fg += wf * g
		fb += wf * b
		gg += wi * g * g
		gy += wy * g
		yb += wy * b
	}
	c = fy / ff
	dc := (gy - 2*c*fg) / ff
	return c, gy - c*fg, yb - c*fb - c*gg - dc*fg, c * fy
}

// FirstOrder fits y = C(1 − exp(−k t)) to readings y at times t ≥ 0, with
// weights w (proportional to one over the variance; nil: all equal). It needs
// no start and allocates nothing.
//
// ErrStraight and ErrFlat come with a usable Rise; the other errors do not.
func FirstOrder(t, y, w []float64) (Rise, error) {
	var r Rise
	if len(t) != len(y) || w != nil && len(w) != len(t) {
		return r, ErrLength
	}
	distinct, first := 0, 0.0
	for i, ti := range t {
		wi := 1.0
		if w != nil {
			wi = w[i]
		}
		if !(ti >= 0) || math.IsInf(ti, 0) || !(wi >= 0) || math.IsInf(wi, 0) || math.IsNaN(y[i]) || math.IsInf(y[i], 0) {
			return r, ErrNotFinite
		}
		if wi == 0 {
			continue
		}
		r.N++
		if ti > 0 && ti != first {
			if distinct == 0 {
				first = ti
			}
			distinct++
		}
	}
	if distinct < 2 {
		return r, ErrTooFew
	}
	flat := r.ends(t, y, w)

	lo, hi := Range(t)
	step := (hi - lo) / (scanPoints - 1)
	best, most := 0, math.Inf(-1)
	for i := range scanPoints {
		if _, _, _, removed := score(t, y, w, lo+float64(i)*step); removed > most {
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
	u, ok := rootOfScore(t, y, w, a, b)
	if ok {
		r.Plateau, r.RSS = Project(t, y, w, u)
		r.LogRate = u
	}
	limit := math.Min(r.RSSStraight, r.RSSFlat)
	if !ok || !(r.RSS < limit) {
		if r.RSSStraight <= r.RSSFlat {
			r.Plateau, r.LogRate, r.RSS = math.Inf(1), math.Inf(-1), r.RSSStraight
			return r, ErrStraight
		}
		r.RSS = r.RSSFlat
		r.Plateau, r.LogRate, r.Slope = flat, math.Inf(1), math.Inf(1)
		return r, ErrFlat
	}
	r.Slope = r.Plateau * math.Exp(u)
	r.information(t, w)
	return r, nil
}

// ends computes the two limits of the family and returns the plateau of the flat one.
func (r *Rise) ends(t, y, w []float64) (flat float64) {
	var tt, ty, n, sy float64
	for i, ti := range t {
		wi := 1.0
		if w != nil {
			wi = w[i]
		}
		tt += wi * ti * ti
		ty += wi * ti * y[i]
		if ti > 0 {
			n += wi
			sy += wi * y[i]
		}
	}
	r.Slope, flat = ty/tt, sy/n
	for i, ti := range t {
		wi := 1.0
		if w != nil {
			wi = w[i]
		}
		d := y[i] - r.Slope*ti
		r.RSSStraight += wi * d * d
		d = y[i]
		if ti > 0 {
			d -= flat
		}
		r.RSSFlat += wi * d * d
	}
	return flat
}

// rootOfScore solves h(u) = 0 in [a, b] by Newton's method, with bisection when
// a step leaves the bracket. The minimum of the sum of squares is where h goes
// from plus to minus.
func rootOfScore(t, y, w []float64, a, b float64) (float64, bool) {
	ca, ha, _, _ := score(t, y, w, a)
	cb, hb, _, _ := score(t, y, w, b)
	// C·h has the sign of −dRSS/du; C may be negative for falling readings.
	if !(ca*ha > 0) || !(cb*hb < 0) {
		return 0, false
	}
	u := (a + b) / 2
	for range 100 {
		c, h, dh, _ := score(t, y, w, u)
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

// information fills the inverse of JᵀWJ.
func (r *Rise) information(t, w []float64) {
	k := math.Exp(r.LogRate)
	var ff, fg, gg float64
	for i, ti := range t {
		wi := 1.0
		if w != nil {
			wi = w[i]
		}
		z := k * ti
		f := -math.Expm1(-z)
		g := r.Plateau * z * math.Exp(-z)
		ff += wi * f * f
		fg += wi * f * g
		gg += wi * g * g
	}
	det := ff*gg - fg*fg
	r.VarPlateau, r.VarLogRate, r.Cov = gg/det, ff/det, -fg/det
}
