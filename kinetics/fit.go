package kinetics

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"steepbook/kinetics/internal/leastsq"
)

// Fit is a least-squares first-order curve y = C(1 − exp(−k t)), without a prior.
// Use it to compare with published fits and for many exact readings; for a few
// tastings use a Posterior, which cannot mislead where these cannot tell.
type Fit struct {
	Plateau, Rate, LogRate float64 // in the unit of the readings, 1/h, ln(1/h)
	// Slope at the start, C·k: known even where Plateau is not.
	Slope                        float64
	SEPlateau, SERate, SELogRate float64 // standard errors; +Inf without degrees of freedom
	Corr                         float64 // correlation of plateau and log rate
	RSS, ResidualSD              float64 // weighted
	DF                           int     // readings − 2
	RSSStraight, RSSFlat         float64 // of the best straight line and the best constant
	t, y, w                      []float64
}

// Errors of a fit. ErrStraight and ErrFlat come with a Fit that holds what is
// known (the slope, or the plateau).
var (
	ErrTooFew   = errors.New("a curve needs readings at two different times after the start")
	ErrReadings = errors.New("times, readings and weights must be equally many finite numbers, times and weights not negative")
	ErrStraight = errors.New("the readings rise in a straight line: the slope is known, the plateau and the rate are not")
	ErrFlat     = errors.New("all readings lie on the plateau: it is known, the rate is not")
)

// FitFirstOrder fits by variable projection: no start is needed. t in hours, y
// in any unit, w weights proportional to one over the variance (nil: equal). The
// slices are kept for the profile intervals and must not change.
func FitFirstOrder(t, y, w []float64) (Fit, error) {
	r, err := leastsq.FirstOrder(t, y, w)
	switch err {
	case nil:
	case leastsq.ErrStraight:
		err = ErrStraight
	case leastsq.ErrFlat:
		err = ErrFlat
	case leastsq.ErrTooFew:
		return Fit{}, ErrTooFew
	default:
		return Fit{}, ErrReadings
	}
	f := Fit{Plateau: r.Plateau, LogRate: r.LogRate, Rate: math.Exp(r.LogRate), Slope: r.Slope, RSS: r.RSS, DF: r.N - 2,
		RSSStraight: r.RSSStraight, RSSFlat: r.RSSFlat, t: t, y: y, w: w}
	s2 := math.Inf(1)
	if f.DF > 0 {
		s2 = r.RSS / float64(f.DF)
	}
	f.ResidualSD = math.Sqrt(s2)
	f.SEPlateau, f.SELogRate, f.SERate = math.Inf(1), math.Inf(1), math.Inf(1)
	if err == nil {
		f.SEPlateau, f.SELogRate = math.Sqrt(r.VarPlateau*s2), math.Sqrt(r.VarLogRate*s2)
		f.SERate = f.Rate * f.SELogRate
		f.Corr = r.Cov / math.Sqrt(r.VarPlateau*r.VarLogRate)
	}
	return f, err
}

// At is the fitted reading after t hours.
func (f Fit) At(t float64) float64 {
	if math.IsInf(f.Plateau, 0) {
		return f.Slope * t
	}
	return -f.Plateau * math.Expm1(-f.Rate*t)
}

// limit is the sum of squares at the ends of a profile interval of the level.
// With fewer than three readings every interval is open.
func (f Fit) limit(level float64) float64 {
	if f.DF < 1 || !(level > 0 && level < 1) {
		return math.Inf(1)
	}
	q := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(f.DF)}.Quantile((1 + level) / 2)
	return f.RSS * (1 + q*q/float64(f.DF))
}

// RateInterval is the profile interval of k at a level such as 0.95, with Student
// t on DF degrees of freedom. Open ends are 0 and +Inf.
func (f Fit) RateInterval(level float64) (lo, hi float64) {
	lim := f.limit(level)
	rss := func(u float64) float64 {
		_, r := leastsq.Project(f.t, f.y, f.w, u)
		return r
	}
	lo, hi = 0, math.Inf(1)
	a, b := leastsq.Range(f.t)
	if f.RSSStraight > lim {
		lo = math.Exp(crossing(rss, lim, f.LogRate, a-12))
	}
	if f.RSSFlat > lim {
		hi = math.Exp(crossing(rss, lim, f.LogRate, b+5))
	}
	return lo, hi
}

// PlateauInterval is the profile interval of C.
func (f Fit) PlateauInterval(level float64) (lo, hi float64) {
	return f.ReadingInterval(math.Inf(1), level)
}

// ReadingInterval is the profile interval of the curve after t hours (+Inf: the
// plateau). Open ends are −Inf and +Inf.
func (f Fit) ReadingInterval(t, level float64) (lo, hi float64) {
	lim := f.limit(level)
	rss := func(g float64) float64 { return f.through(t, g) }
	at := f.At(t)
	lo, hi = math.Inf(-1), math.Inf(1)
	// An endless rise (or fall) inside the interval leaves the plateau open.
	endless := math.IsInf(t, 1) && f.RSSStraight <= lim
	openLo, openHi := endless && f.Slope < 0, endless && f.Slope >= 0
	step := math.Max(math.Abs(at), f.ResidualSD)
	for i, d := 0, step; i < 60; i, d = i+1, 2*d {
		if !openLo && math.IsInf(lo, -1) && rss(at-d) > lim {
			lo = crossing(rss, lim, at, at-d)
		}
		if !openHi && math.IsInf(hi, 1) && rss(at+d) > lim {
			hi = crossing(rss, lim, at, at+d)
		}
	}
	return lo, hi
}

// TimeInterval is the profile interval of the time to a reading y, between 0 and
// +Inf; hi is +Inf when "never" cannot be excluded.
func (f Fit) TimeInterval(y, level float64) (best, lo, hi float64) {
	best = math.Inf(1)
	if y < f.Plateau {
		best = -math.Log1p(-y/f.Plateau) / f.Rate
	}
	lim := f.limit(level)
	rss := func(v float64) float64 { return f.through(math.Exp(v), y) }
	lo, hi = 0, math.Inf(1)
	a, b := leastsq.Range(f.t)
	from := -b - 5
	to := -a + 12
	mid := math.Log(best)
	if math.IsInf(best, 1) {
		mid = to
	}
	if rss(from) > lim {
		lo = math.Exp(crossing(rss, lim, mid, from))
	}
	if !math.IsInf(best, 1) && rss(to) > lim {
		hi = math.Exp(crossing(rss, lim, mid, to))
	}
	return best, lo, hi
}

// through is the smallest sum of squares of a curve with y(t) = g.
func (f Fit) through(t, g float64) float64 {
	rss := func(u float64) float64 {
		k := math.Exp(u)
		at := -math.Expm1(-k * t)
		s := 0.0
		for i, ti := range f.t {
			w := 1.0
			if f.w != nil {
				w = f.w[i]
			}
			x := ti / t // the straight line, when k·t underflows
			if at > 1e-300 {
				x = -math.Expm1(-k*ti) / at
			}
			r := f.y[i] - g*x
			s += w * r * r
		}
		return s
	}
	lo, hi := leastsq.Range(f.t)
	lo, hi = lo-5, hi+3
	const n = 40
	best, at := math.Inf(1), 0
	for i := range n + 1 {
		if s := rss(lo + (hi-lo)*float64(i)/n); s < best {
			best, at = s, i
		}
	}
	step := (hi - lo) / n
	a, b := lo+step*float64(max(at-1, 0)), lo+step*float64(min(at+1, n))
	// Golden section: the value of the minimum is good to the square of the
	// error in log k.
	const gold = 0.6180339887498949
	x1, x2 := b-gold*(b-a), a+gold*(b-a)
	f1, f2 := rss(x1), rss(x2)
	for b-a > 1e-7 {
		if f1 < f2 {
			b, x2, f2 = x2, x1, f1
			x1 = b - gold*(b-a)
			f1 = rss(x1)
		} else {
			a, x1, f1 = x1, x2, f2
			x2 = a + gold*(b-a)
			f2 = rss(x2)
		}
	}
	return math.Min(best, math.Min(f1, f2))
}

// crossing finds where f passes the limit between inside (below it) and outside
// (above it).
func crossing(f func(float64) float64, limit, inside, outside float64) float64 {
	for range 200 {
		mid := (inside + outside) / 2
		if mid == inside || mid == outside {
			break
		}
		if f(mid) <= limit {
			inside = mid
		} else {
			outside = mid
		}
		if math.Abs(outside-inside) <= 1e-13*math.Max(1e-3, math.Abs(inside)) {
			break
		}
	}
	return (inside + outside) / 2
}
