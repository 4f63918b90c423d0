package kinetics

import "math"

// Interval describes an uncertain figure: mean, standard deviation and the 5, 25,
// 50, 75 and 95 % quantiles. P05 to P95 is the 90 % interval. An open end is +Inf.
type Interval struct{ Mean, SD, P05, P25, Median, P75, P95 float64 }

// Wait is an uncertain time to an event that may never come. A quantile that
// falls into "never" is +Inf, and so are Mean and SD whenever Never is above
// zero.
type Wait struct {
	Interval
	// Never is the probability that it is never reached, 0 to 1.
	Never    float64
	P10, P90 float64
}

// quantile solves F(x) = p for an increasing F by Newton's method inside the
// bracket, with bisection when a step leaves it. f returns F and its derivative.
func quantile(p, lo, hi, start float64, f func(float64) (float64, float64)) float64 {
	x := start
	if !(x > lo && x < hi) {
		x = (lo + hi) / 2
	}
	tol := 1e-9 * (hi - lo)
	for range 80 {
		v, d := f(x)
		if v < p {
			lo = x
		} else {
			hi = x
		}
		next := x - (v-p)/d
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-x) <= tol || hi-lo <= tol {
			return next
		}
		x = next
	}
	return x
}

// The five quantiles of an Interval with the normal scores that start the search.
var fivePoints = [5]struct{ p, z float64 }{{0.05, -1.6449}, {0.25, -0.6745}, {0.5, 0}, {0.75, 0.6745}, {0.95, 1.6449}}

// spread fills the quantiles of an interval from a distribution function with
// support practically within mean ± 12 SD.
func spread(mean, sd float64, f func(float64) (float64, float64)) Interval {
	iv := Interval{Mean: mean, SD: sd}
	out := [5]*float64{&iv.P05, &iv.P25, &iv.Median, &iv.P75, &iv.P95}
	if !(sd > 0) {
		for _, q := range out {
			*q = mean
		}
		return iv
	}
	for i, q := range fivePoints {
		*out[i] = quantile(q.p, mean-12*sd, mean+12*sd, mean+q.z*sd, f)
	}
	return iv
}

// logRateCDF returns P(log k ≤ u) and its density.
func (p *Posterior) logRateCDF(u float64) (c, d float64) {
	for i := range p.shares {
		a, b := p.shares[i].below(u)
		c += a
		d += b
	}
	return c, d
}

// LogRate describes ln k.
func (p *Posterior) LogRate() Interval {
	return spread(p.meanLK, math.Sqrt(p.varLK), p.logRateCDF)
}

// Rate describes k in 1/h.
func (p *Posterior) Rate() Interval {
	iv := p.LogRate()
	var s1, s2 float64
	for _, r := range p.rows {
		s1 += r.w * r.k
		s2 += r.w * r.k * r.k
	}
	return Interval{Mean: s1, SD: math.Sqrt(math.Max(0, s2-s1*s1)), P05: math.Exp(iv.P05), P25: math.Exp(iv.P25),
		Median: math.Exp(iv.Median), P75: math.Exp(iv.P75), P95: math.Exp(iv.P95)}
}

// Plateau describes the score reached in the end.
func (p *Posterior) Plateau() Interval { return p.mixture(math.Inf(1), false) }

// Strength describes the score in the jar after so many hours, without the
// noise of a tasting. Negative hours count as zero.
func (p *Posterior) Strength(hours float64) Interval { return p.mixture(hours, false) }

// Reading describes the next score of the reference taster after so many hours,
// noise included. It is not cut at the ends of the scale.
func (p *Posterior) Reading(hours float64) Interval { return p.mixture(hours, true) }

// rise is the share of the plateau reached at the row after t hours.
func (r *row) rise(t float64) float64 {
	if !(t > 0) {
		return r.f
	}
	return r.f - (1-r.f)*math.Expm1(-r.k*t)
}

func (p *Posterior) mixture(t float64, noise bool) Interval {
	table := phiTable()
	var mean, square float64
	x := make([]float64, len(p.rows))
	for i := range p.rows {
		r := &p.rows[i]
		x[i] = r.rise(t)
		for _, c := range p.cells[r.first:r.last] {
			m, s := c.mu*x[i], c.sd*x[i]
			mean += c.w * m
			square += c.w * s * s
			if noise {
				square += c.w * c.sigma * c.sigma
			}
		}
	}
	for i := range p.rows {
		r := &p.rows[i]
		for _, c := range p.cells[r.first:r.last] {
			d := c.mu*x[i] - mean
			square += c.w * d * d
		}
	}
	return spread(mean, math.Sqrt(square), func(y float64) (f, d float64) {
		for i := range p.rows {
			r := &p.rows[i]
			if r.w < 1e-9 {
				continue
			}
			for _, c := range p.cells[r.first:r.last] {
				s := c.sd * x[i]
				if noise {
					s = math.Sqrt(s*s + c.sigma*c.sigma)
				}
				s = 1 / s
				z := (y - c.mu*x[i]) * s
				f += c.w * fastCDF(table, z)
				d += c.w * fastPDF(table, z) * s
			}
		}
		return f, d
	})
}

// ChanceAtLeast is the probability that the jar has a strength of y or more
// after so many hours.
func (p *Posterior) ChanceAtLeast(y, hours float64) float64 {
	if y <= 0 {
		return 1
	}
	if math.IsNaN(y) || math.IsNaN(hours) || hours < 0 {
		return 0
	}
	f, _ := p.reached(y, hours)
	return f
}

// reached is P(strength(t) ≥ y) for y > 0 and its derivative in log t.
func (p *Posterior) reached(y, t float64) (f, d float64) {
	table := phiTable()
	for i := range p.rows {
		r := &p.rows[i]
		if r.w < 1e-9 {
			continue
		}
		x := r.rise(t)
		if !(x > 0) {
			continue
		}
		need := y / x
		slope := 0.0
		if kt := r.k * t; !math.IsInf(kt, 0) {
			slope = need / x * (1 - r.f) * kt * math.Exp(-kt)
		}
		for _, c := range p.cells[r.first:r.last] {
			z := (c.mu - need) / c.sd
			f += c.w * fastCDF(table, z)
			d += c.w * fastPDF(table, z) / c.sd * slope
		}
	}
	return f, d
}

// Noise describes the standard deviation of one score of the reference taster,
// in points.
func (p *Posterior) Noise() Interval {
	if len(p.noise) == 1 {
		s := math.Exp(p.noise[0].logSigma)
		return Interval{Mean: s, P05: s, P25: s, Median: s, P75: s, P95: s}
	}
	// The grid in log σ is coarse (about 0.8 posterior SD): its log density is
	// smooth and is refined by cubic interpolation before it is summed.
	const sub = 12
	n := len(p.noise)
	step := (p.noise[1].logSigma - p.noise[0].logSigma) / sub
	ld := make([]float64, n)
	for i, m := range p.noise {
		ld[i] = math.Log(math.Max(m.w, 1e-15))
	}
	s := shareSlice{lo: p.noise[0].logSigma, step: step, dens: make([]float64, (n-1)*sub+1), cum: make([]float64, (n-1)*sub+1)}
	total := 0.0
	for i := range s.dens {
		j := min(max(i/sub-1, 0), n-4)
		t := float64(i)/sub - float64(j)
		v := 0.0
		for a := range 4 {
			l := 1.0
			for b := range 4 {
				if b != a {
					l *= (t - float64(b)) / float64(a-b)
				}
			}
			v += l * ld[j+a]
		}
		s.dens[i] = math.Exp(v)
		total += s.dens[i]
	}
	var m, m2, l1, l2 float64
	for i := range s.dens {
		s.dens[i] /= total
		u := s.lo + float64(i)*step
		v := math.Exp(u)
		m += s.dens[i] * v
		m2 += s.dens[i] * v * v
		l1 += s.dens[i] * u
		l2 += s.dens[i] * u * u
	}
	s.w = 1
	s.integrate()
	iv := spread(l1, math.Sqrt(math.Max(1e-12, l2-l1*l1)), s.below)
	return Interval{Mean: m, SD: math.Sqrt(math.Max(0, m2-m*m)), P05: math.Exp(iv.P05), P25: math.Exp(iv.P25),
		Median: math.Exp(iv.Median), P75: math.Exp(iv.P75), P95: math.Exp(iv.P95)}
}

// never is a Wait for something that cannot happen.
func never() Wait {
	inf := math.Inf(1)
	return Wait{Interval: Interval{inf, inf, inf, inf, inf, inf, inf}, Never: 1, P10: inf, P90: inf}
}

// fillWait sets the seven quantiles of a wait.
func (w *Wait) fill(q func(p float64) float64) {
	w.P05, w.P10, w.P25, w.Median = q(0.05), q(0.10), q(0.25), q(0.5)
	w.P75, w.P90, w.P95 = q(0.75), q(0.90), q(0.95)
}

// TimeToShare describes the hours until the strength is a share of its plateau;
// 0.8 is about as strong as a taster will notice, since the step from 80 to 96 %
// is one just noticeable difference of about a fifth. A share of zero or less is
// reached at once, one of 1 or more never.
func (p *Posterior) TimeToShare(share float64) Wait {
	switch {
	case share <= 0:
		return Wait{}
	case !(share < 1):
		return never()
	}
	var w Wait
	var m, m2 float64
	for _, r := range p.rows {
		if r.f < share {
			t := math.Log((1-r.f)/(1-share)) / r.k
			m += r.w * t
			m2 += r.w * t * t
		}
	}
	w.Mean, w.SD = m, math.Sqrt(math.Max(0, m2-m*m))
	w.fill(func(q float64) float64 { return p.shareQuantile(share, q) })
	return w
}

// shareQuantile returns the q quantile of the time to a share in (0, 1).
func (p *Posterior) shareQuantile(share, q float64) float64 {
	f := func(v float64) (c, d float64) { // v = log t
		for i := range p.shares {
			s := &p.shares[i]
			if s.f >= share {
				c += s.w
				continue
			}
			a, b := s.below(math.Log(math.Log((1-s.f)/(1-share))) - v)
			c += s.w - a
			d += b
		}
		return c, d
	}
	slow, fast := p.rateSpan()
	lo, hi := math.Log(-math.Log1p(-share))-fast-5, math.Log(-math.Log1p(-share))-slow
	if len(p.shares) > 1 { // f close to the share makes very short times possible
		lo -= 40
		if c, _ := f(lo); c >= q {
			return 0
		}
	}
	sd := math.Sqrt(p.varLK)
	return math.Exp(quantile(q, lo, hi, math.Log(-math.Log1p(-share))-p.meanLK+sd*normalQuantile(q), f))
}

// TimeToScore describes the hours until the jar has the strength y. A y of zero
// or less is reached at once.
func (p *Posterior) TimeToScore(y float64) Wait {
	switch {
	case y <= 0:
		return Wait{}
	case !finite(y):
		return never()
	}
	w := Wait{Never: p.neverReaches(y)}
	w.Mean, w.SD = math.Inf(1), math.Inf(1)
	start := math.NaN()
	w.fill(func(q float64) float64 {
		t := p.scoreQuantile(y, q, start)
		start = math.Log(t)
		return t
	})
	return w
}

// neverReaches is P(plateau ≤ y).
func (p *Posterior) neverReaches(y float64) float64 {
	table := phiTable()
	s := 0.0
	for _, c := range p.cells {
		s += c.w * fastCDF(table, (y-c.mu)/c.sd)
	}
	return math.Min(1, s)
}

// scoreQuantile returns the q quantile of the time to a score y > 0, +Inf when
// it lies in "never". start is a log time near it, or NaN.
func (p *Posterior) scoreQuantile(y, q, start float64) float64 {
	if p.neverReaches(y) >= 1-q {
		return math.Inf(1)
	}
	slow, fast := p.rateSpan()
	lo, hi := -fast-40, -slow+4 // 50/k at the slowest rate: the plateau
	f := func(v float64) (float64, float64) { return p.reached(y, math.Exp(v)) }
	if len(p.shares) > 1 {
		if c, _ := f(lo); c >= q {
			return 0
		}
	}
	if c, _ := f(hi); c <= q {
		return math.Inf(1)
	}
	if !finite(start) {
		start = math.Log(math.Ln2) - p.meanLK
	}
	return math.Exp(quantile(q, lo, hi, start, f))
}

// HalfTime describes the hours to half the plateau: 0.693/k without an early
// share, earlier with one.
func (p *Posterior) HalfTime() Interval { return p.TimeToShare(0.5).Interval }

// Quantile of the time to a score (y > 0) or, with y = 0, to 80 % of the plateau.
// q outside 0.001 to 0.999 is moved to the end of that range.
func (p *Posterior) Quantile(y, q float64) float64 {
	q = math.Min(0.999, math.Max(0.001, q))
	switch {
	case y == 0:
		return p.shareQuantile(noticeable, q)
	case !(y > 0):
		return 0
	}
	return p.scoreQuantile(y, q, math.NaN())
}

// noticeable is the share of the plateau beyond which a taster will not notice
// the rest: one step of 20 %.
const noticeable = 0.8

// nearlyAll is the share of the plateau after which waiting is pointless.
const nearlyAll = 0.95

// Learned returns the share of the prior variance of log k and of the plateau
// that the tastings have removed: 1 − posterior/prior variance. 0: nothing
// learned; negative: the tastings disagree with the prior and have widened it.
func (p *Posterior) Learned() (rate, plateau float64) {
	return 1 - p.varLK/(p.prior.LogRate.SD*p.prior.LogRate.SD), 1 - p.varC/(p.prior.Plateau.SD*p.prior.Plateau.SD)
}

// LogEvidence is the natural log of the density of the scores under the prior,
// all constants kept; for censored scores their probability. Differences between
// two models for the same scores are log Bayes factors.
func (p *Posterior) LogEvidence() float64 { return p.evidence }

// normalQuantile is the standard normal quantile.
func normalQuantile(p float64) float64 { return -math.Sqrt2 * math.Erfcinv(2*p) }

// EarlyShare describes the share f of the plateau washed off at once. Its
// quantiles are those of the grid (16 points); all zero when the prior has none.
func (p *Posterior) EarlyShare() Interval {
	var iv Interval
	var s2, c float64
	out := [5]*float64{&iv.P05, &iv.P25, &iv.Median, &iv.P75, &iv.P95}
	next := 0
	for _, s := range p.shares {
		iv.Mean += s.w * s.f
		s2 += s.w * s.f * s.f
		c += s.w
		for next < 5 && (c >= fivePoints[next].p || s.f == p.shares[len(p.shares)-1].f) {
			*out[next] = s.f
			next++
		}
	}
	iv.SD = math.Sqrt(math.Max(0, s2-iv.Mean*iv.Mean))
	return iv
}
