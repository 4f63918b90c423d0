package kinetics

import (
	"math"
)

// Question is what the next tasting should answer. The zero value asks how fast
// the flavour comes; a Score asks when the jar will be that strong.
type Question struct{ Score float64 }

// Next is the most telling time for another tasting.
type Next struct {
	Hours float64 // since the botanical went in
	Gain  float64 // expected share of the variance of the log time removed, 0 to 1
	Stop  bool    // no further tasting is worth it for this question
	Why   string
}

const (
	nextCandidates = 15
	smallGain      = 0.10
	dayHours       = 24.0
)

// FirstTastings returns the five times for a jar nobody has tasted: 1/4, 1/2, 1,
// 2 and 4 times half the expected time to 80 % of the plateau. Doubling times
// keep at least 0.69 of the information of the best pair of times over a
// twentyfold range of rates, equal steps fall to half of it (see OptimalPair).
func (p *Posterior) FirstTastings() [5]float64 {
	half := p.shareQuantile(noticeable, 0.5) / 2
	return [5]float64{half / 4, half / 2, half, 2 * half, 4 * half}
}

// NextTasting looks for the time between from and to (hours of the botanical)
// at which one more score is expected to remove the largest share of the
// variance of ln k, or, with a wanted score, of the log of the time to pull (the
// time to the score, or to 95 % of the plateau where that is sooner or the score
// is never reached). The expectation runs over the predictive distribution of
// that score. Before any tasting the first of FirstTastings in the range is
// returned.
//
// Stop is set when less than a tenth of the variance would go, or when the
// window to pull is already narrower than a day and than the wait itself.
func (p *Posterior) NextTasting(q Question, from, to float64) Next {
	if !(from >= 0) || math.IsInf(from, 1) {
		from = 0
	}
	if !finite(to) {
		to = 3 * p.shareQuantile(noticeable, 0.95)
	}
	to = math.Max(to, from)
	e := newExpectation(p, q)
	if len(p.tastings) == 0 {
		for _, t := range p.FirstTastings() {
			if t >= from && t <= to {
				return Next{Hours: t, Gain: e.gain(t), Why: "Nothing tasted yet: start early and double the time between tastings."}
			}
		}
	}
	lo := from
	if lo <= 0 {
		lo = math.Min(to, 0.02*p.shareQuantile(noticeable, 0.5))
	}
	best := Next{Hours: from}
	if to > lo {
		ratio := math.Pow(to/lo, 1/float64(nextCandidates-1))
		try := func(t float64) {
			t = math.Min(math.Max(t, lo), to)
			if g := e.gain(t); g > best.Gain {
				best.Hours, best.Gain = t, g
			}
		}
		for i := range nextCandidates {
			try(lo * math.Pow(ratio, float64(i)))
		}
		for _, d := range []float64{1.0 / 2, 1.0 / 4} {
			at := best.Hours
			try(at * math.Pow(ratio, d))
			try(at * math.Pow(ratio, -d))
		}
	} else {
		best.Gain = e.gain(from)
	}
	low, mid, high := p.Quantile(q.Score, 0.1), p.Quantile(q.Score, 0.5), p.Quantile(q.Score, 0.9)
	switch {
	case len(p.tastings) > 0 && high-low < math.Min(dayHours, mid):
		best.Stop, best.Why = true, "The time to pull is already known to less than a day."
	case best.Gain < smallGain:
		best.Stop, best.Why = true, "Another tasting would hardly sharpen the answer."
	case q.Score > 0:
		best.Why = "This is where a tasting says most about when it will be strong enough."
	default:
		best.Why = "This is where a tasting says most about the speed."
	}
	return best
}

// ExpectedGain is the expected share of the variance of the question's log time
// that one more score at these hours would remove, 0 to 1.
func (p *Posterior) ExpectedGain(q Question, hours float64) float64 {
	if !(hours > 0) || !finite(hours) {
		return 0
	}
	return newExpectation(p, q).gain(hours)
}

// particle is a part of the posterior with the value asked for, centred.
type particle struct{ w, k, f, mu, sd, sigma, g float64 }

type expectation struct {
	parts    []particle
	variance float64
	m0, m1   []float64
}

// Seven-point Gauss-Hermite rule for the standard normal: nodes and weights,
// Abramowitz and Stegun table 25.10 rescaled by √2 and 1/√π. The test compares
// it with gonum's rule.
var hermite7 = [7][2]float64{
	{-3.750439717725742, 5.482688559722184e-4}, {-2.366759410734541, 0.030757123967586}, {-1.154405394739968, 0.240123178605013},
	{0, 0.457142857142857}, {1.154405394739968, 0.240123178605013}, {2.366759410734541, 0.030757123967586}, {3.750439717725742, 5.482688559722184e-4},
}

func newExpectation(p *Posterior, q Question) *expectation {
	e := &expectation{}
	total := 0.0
	add := func(pt particle) {
		e.parts = append(e.parts, pt)
		total += pt.w
	}
	// The sums are so smooth that every second point of a fine grid does.
	stride, most := 1, 1500
	if q.Score > 0 {
		most = 300 // each cell is cut into seven
	}
	if len(p.cells) > most {
		stride = 2
	}
	n := len(p.rows) / len(p.shares)
	for i := 0; i < len(p.rows); i++ {
		r := &p.rows[i]
		if r.w < 1e-8 || i%n%stride != 0 {
			continue
		}
		for j := r.first; j < r.last; j += stride {
			c := &p.cells[j]
			if c.w < 1e-8 {
				continue
			}
			if !(q.Score > 0) {
				add(particle{c.w, r.k, r.f, c.mu, c.sd, c.sigma, r.lk})
				continue
			}
			late := math.Log(math.Max(20*(1-r.f), 1.01)) / r.k // 95 % of the plateau
			for _, h := range hermite7 {
				level := c.mu + h[0]*c.sd
				t := late
				if level > q.Score {
					t = math.Min(t, math.Max(-math.Log((1-q.Score/level)/(1-r.f))/r.k, 1e-3*late))
				}
				add(particle{c.w * h[1], r.k, r.f, level, 0, c.sigma, math.Log(t)})
			}
		}
	}
	mean := 0.0
	for i := range e.parts {
		e.parts[i].w /= total
		mean += e.parts[i].w * e.parts[i].g
	}
	for i := range e.parts {
		e.parts[i].g -= mean
		e.variance += e.parts[i].w * e.parts[i].g * e.parts[i].g
	}
	return e
}

// gain integrates E[g|y]² over the predictive density of the score at t; divided
// by the variance this is the expected share removed.
func (e *expectation) gain(t float64) float64 {
	if !(e.variance > 0) {
		return 0
	}
	lo, hi, narrow := math.Inf(1), math.Inf(-1), math.Inf(1)
	for i := range e.parts {
		c := &e.parts[i]
		x := c.f - (1-c.f)*math.Expm1(-c.k*t)
		s := math.Sqrt(c.sd*c.sd*x*x + c.sigma*c.sigma)
		if c.w > 1e-5 {
			narrow = math.Min(narrow, s)
		}
		lo, hi = math.Min(lo, c.mu*x-5*s), math.Max(hi, c.mu*x+5*s)
	}
	step := 0.7 * narrow
	n := int((hi-lo)/step) + 2
	if n > 300 {
		n = 300
		step = (hi - lo) / float64(n-2)
	}
	if cap(e.m0) < n {
		e.m0, e.m1 = make([]float64, n), make([]float64, n)
	}
	m0, m1 := e.m0[:n], e.m1[:n]
	clear(m0)
	clear(m1)
	for i := range e.parts {
		c := &e.parts[i]
		x := c.f - (1-c.f)*math.Expm1(-c.k*t)
		m, s := c.mu*x, math.Sqrt(c.sd*c.sd*x*x+c.sigma*c.sigma)
		a := max(0, int((m-5*s-lo)/step))
		b := min(n-1, int((m+5*s-lo)/step)+1)
		w := c.w / (s * math.Sqrt(2*math.Pi))
		// exp(−z²/2) on an even grid by recurrence: two products a point.
		z, d := (lo+float64(a)*step-m)/s, step/s
		v := w * math.Exp(-z*z/2)
		ratio, change := math.Exp(-d*(z+d/2)), math.Exp(-d*d)
		for j := a; j <= b; j++ {
			m0[j] += v
			m1[j] += v * c.g
			v *= ratio
			ratio *= change
		}
	}
	s := 0.0
	for j := range m0 {
		if m0[j] > 1e-14 {
			s += m1[j] * m1[j] / m0[j]
		}
	}
	return math.Min(1, math.Max(0, s*step/e.variance))
}
