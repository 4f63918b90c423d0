package leastsq

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"steepbook/kinetics/internal/golden"
)

// limit is the sum of squares at the ends of a profile interval of the level.
// With fewer than three readings every interval is open.
func (f *Fit) limit(level float64) float64 {
	if f.df < 1 || !(level > 0 && level < 1) {
		return math.Inf(1)
	}
	q := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(f.df)}.Quantile((1 + level) / 2)
	return f.rss * (1 + q*q/float64(f.df))
}

// RateInterval is the profile interval of k at a level such as 0.95, with Student
// t on n − 2 degrees of freedom. Open ends are 0 and +Inf.
func (f Fit) RateInterval(level float64) (lo, hi float64) {
	lim := f.limit(level)
	rss := func(u float64) float64 {
		_, r := f.project(u)
		return r
	}
	lo, hi = 0, math.Inf(1)
	a, b := f.span()
	if f.rssStraight > lim {
		lo = math.Exp(crossing(rss, lim, f.logRate, a-12))
	}
	if f.rssFlat > lim {
		hi = math.Exp(crossing(rss, lim, f.logRate, b+5))
	}
	return lo, hi
}

// PlateauInterval is the profile interval of C.
func (f Fit) PlateauInterval(level float64) (lo, hi float64) {
	return f.readingInterval(math.Inf(1), level)
}

// readingInterval is the profile interval of the curve after t hours (+Inf: the
// plateau). Open ends are −Inf and +Inf.
func (f *Fit) readingInterval(t, level float64) (lo, hi float64) {
	lim := f.limit(level)
	rss := func(g float64) float64 { return f.through(t, g) }
	at := f.at(t)
	lo, hi = math.Inf(-1), math.Inf(1)
	// An endless rise (or fall) inside the interval leaves the plateau open.
	endless := math.IsInf(t, 1) && f.rssStraight <= lim
	openLo, openHi := endless && f.Slope < 0, endless && f.Slope >= 0
	sd := math.Inf(1) // of a residual
	if f.df > 0 {
		sd = math.Sqrt(f.rss / float64(f.df))
	}
	for i, d := 0, math.Max(math.Abs(at), sd); i < 60; i, d = i+1, 2*d {
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
	a, b := f.span()
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
func (f *Fit) through(t, g float64) float64 {
	rss := func(u float64) float64 {
		k := math.Exp(u)
		at := -math.Expm1(-k * t)
		s := 0.0
		for i, ti := range f.t {
			x := ti / t // the straight line, when k·t underflows
			if at > 1e-300 {
				x = -math.Expm1(-k*ti) / at
			}
			r := f.y[i] - g*x
			s += r * r
		}
		return s
	}
	lo, hi := f.span()
	lo, hi = lo-5, hi+3
	const n = 40
	best, at := math.Inf(1), 0
	for i := range n + 1 {
		if s := rss(lo + (hi-lo)*float64(i)/n); s < best {
			best, at = s, i
		}
	}
	step := (hi - lo) / n
	const rounds = 36 // down to 1e-7 in log k
	_, between := golden.Least(lo+step*float64(max(at-1, 0)), lo+step*float64(min(at+1, n)), rounds, rss)
	return math.Min(best, between)
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
