package kinetics

import (
	"math"
)

// Interval describes an uncertain figure: mean, standard deviation and the 5, 25,
// 50, 75 and 95 % quantiles. P05 to P95 is the 90 % interval. An open end is +Inf.
type Interval struct{ Mean, SD, P05, P25, Median, P75, P95 float64 }

// Wait is an uncertain time to an event that may never come: its 5 to 95 %
// quantiles, +Inf where they fall into "never".
type Wait struct {
	P05, P10, P25, Median, P75, P90, P95 float64
	// Never is the probability that it is never reached, 0 to 1.
	Never float64
}

func (w *Wait) times() [7]*float64 {
	return [7]*float64{&w.P05, &w.P10, &w.P25, &w.Median, &w.P75, &w.P90, &w.P95}
}

// Map changes every time of a wait.
func (w Wait) Map(f func(hours float64) float64) Wait {
	for _, t := range w.times() {
		*t = f(*t)
	}
	return w
}

func (w *Wait) fill(q func(p float64) float64) {
	for i, p := range [7]float64{0.05, 0.10, 0.25, 0.5, 0.75, 0.90, 0.95} {
		*w.times()[i] = q(p)
	}
}

// A spread is a distribution of weights over an axis, each spread evenly over
// its stretch; it is filled by add and read by quantile.
type spread struct {
	a axis
	// Density that starts (or, negative, ends) in each bin, and the bin's share of it.
	at, first [answerBins + 2]float64
	m, m2, w  float64
	bins      float64 // in a step of 1
}

func newSpread(lo, hi float64) spread {
	return spread{a: axis{lo, (hi - lo) / answerBins, answerBins}, bins: answerBins / (hi - lo)}
}

// add spreads a weight evenly from lo to hi.
func (s *spread) add(w, lo, hi float64) {
	if w == 0 {
		return
	}
	mid := (lo + hi) / 2
	s.w += w
	s.m += w * mid
	s.m2 += w * (mid*mid + (hi-lo)*(hi-lo)/12)
	const least = 1e-9 // of a bin: what has no width
	if hi-lo < least*s.a.step {
		hi = lo + least*s.a.step
	}
	d := w * s.a.step / (hi - lo)
	s.edge(d, lo)
	s.edge(-d, hi)
}

// stack spreads weights, given as sums from each edge upwards, evenly over cells
// side by side, all stretched by g. It keeps no moments.
func (s *spread) stack(above, edges []float64, g float64) {
	n := len(edges) - 1
	if g*(edges[1]-edges[0]) < 1e-6*s.a.step { // as good as one point
		for c := range n {
			s.add(above[c]-above[c+1], edges[c]*g, edges[c+1]*g)
		}
		return
	}
	s.w += above[0]
	before := 0.0
	for c := range n {
		d := (above[c] - above[c+1]) * s.a.step / (g * (edges[c+1] - edges[c]))
		if d != before {
			s.edge(d-before, edges[c]*g)
		}
		before = d
	}
	s.edge(-before, edges[n]*g)
}

// edge starts a density per bin at x.
func (s *spread) edge(d, x float64) {
	u := min(max((x-s.a.lo)*s.bins, 0), answerBins)
	i := int(u)
	s.first[i] += d * (1 - (u - float64(i))) // within its own bin
	s.at[i+1] += d                           // in every later one
}

// quantiles reads off where the running weight passes each share, in rising order.
func (s *spread) quantiles(ps []float64) []float64 {
	out := make([]float64, len(ps))
	c, rate := 0.0, 0.0
	next := 0
	for i := 0; i <= s.a.n && next < len(ps); i++ {
		rate += s.at[i]
		in := rate + s.first[i]
		for next < len(ps) && c+in >= ps[next]*s.w && in > 0 {
			out[next] = s.a.lo + s.a.step*(float64(i)+min(max((ps[next]*s.w-c)/in, 0), 1))
			next++
		}
		c += in
	}
	for ; next < len(ps); next++ {
		out[next] = s.a.lo + s.a.step*float64(s.a.n)
	}
	return out
}

func (s *spread) interval() Interval {
	q := s.quantiles([]float64{0.05, 0.25, 0.5, 0.75, 0.95})
	mean := s.m / s.w
	sd := math.Sqrt(max(s.m2/s.w-mean*mean, 0))
	return Interval{Mean: mean, SD: sd, P05: q[0], P25: q[1], Median: q[2], P75: q[3], P95: q[4]}
}

const answerBins = 600

// LogRate describes ln k.
func (p *Posterior) LogRate() Interval {
	s := newSpread(p.rate.lo, p.rate.lo+p.rate.step*float64(p.rate.n))
	for i := range p.rows {
		s.add(p.rows[i].m0, p.rows[i].lk-p.rate.step/2, p.rows[i].lk+p.rate.step/2)
	}
	iv := s.interval()
	iv.Mean, iv.SD = p.meanLK, math.Sqrt(p.varLK)
	return iv
}

// Rate describes k in 1/h.
func (p *Posterior) Rate() Interval {
	iv := p.LogRate()
	var m, m2 float64
	for i := range p.rows {
		k := math.Exp(p.rows[i].lk)
		m += p.rows[i].m0 * k
		m2 += p.rows[i].m0 * k * k
	}
	return Interval{
		Mean: m, SD: math.Sqrt(max(0, m2-m*m)), P05: math.Exp(iv.P05), P25: math.Exp(iv.P25),
		Median: math.Exp(iv.Median), P75: math.Exp(iv.P75), P95: math.Exp(iv.P95),
	}
}

// Plateau describes the strength reached in the end, or at its peak, in points
// of a neat sample.
func (p *Posterior) Plateau() Interval {
	s := newSpread(p.plateau[0], p.plateau[p.plateaus()])
	for c := range p.plateaus() {
		w := 0.0
		for i := range p.rows {
			t := p.above(i)
			w += t[c] - t[c+1]
		}
		s.add(w, p.plateau[c], p.plateau[c+1])
	}
	iv := s.interval()
	iv.Mean, iv.SD = p.meanC, math.Sqrt(p.varC)
	return iv
}

// Noise describes the standard deviation of one score in points: its mean and SD.
func (p *Posterior) Noise() (mean, sd float64) { return p.meanNoise, math.Sqrt(p.varNoise) }

// Mean is the expected strength of the jar after so many hours, in points of a
// neat sample.
func (p *Posterior) Mean(hours float64) float64 {
	m, _ := p.moments(hours)
	return m
}

// Strength describes the strength of the jar after so many hours (+Inf: in the
// end), without the noise of a tasting, in points of a neat sample.
func (p *Posterior) Strength(hours float64) Interval {
	s := newSpread(0, max(p.plateau[p.plateaus()], 1e-6))
	b := p.sharesAt(hours)
	defer scratch.Put(b)
	for i, g := range *b {
		r := &p.rows[i]
		if r.m0 < 1e-6 {
			continue
		}
		s.stack(p.above(i)[:r.last+2], p.plateau[:r.last+2], g)
	}
	iv := s.interval()
	m, m2 := p.moments(hours)
	iv.Mean, iv.SD = m, math.Sqrt(max(m2-m*m, 0))
	return iv
}

func (p *Posterior) moments(hours float64) (m, m2 float64) {
	b := p.sharesAt(hours)
	defer scratch.Put(b)
	for i, g := range *b {
		m += p.rows[i].m1 * g
		m2 += p.rows[i].m2 * g * g
	}
	return m, m2
}

// ChanceAtLeast is the probability that the jar has a strength of y or more
// after so many hours.
func (p *Posterior) ChanceAtLeast(y, hours float64) float64 { return p.chance(y, hours, false) }

// ChanceReached is the probability that the jar has had a strength of y or more
// by so many hours (+Inf: ever).
func (p *Posterior) ChanceReached(y, hours float64) float64 { return p.chance(y, hours, true) }

func (p *Posterior) chance(y, hours float64, ever bool) float64 {
	if y <= 0 {
		return 1
	}
	b := p.sharesAt(hours)
	defer scratch.Put(b)
	s, n, lt := 0.0, p.plateaus(), logHours(hours)
	c := n // the lowest edge that is not below y: near that of the row before
	for i, g := range *b {
		r := &p.rows[i]
		if ever && r.lk+lt > p.family.shapes[i/p.rate.n].peak {
			g = 1
		}
		if !(g > 0 && r.m0 > 1e-8) {
			continue
		}
		least := y / g
		for c < n && p.plateau[c] < least {
			c++
		}
		for c > 0 && p.plateau[c-1] >= least {
			c--
		}
		t := p.above(i)
		s += t[c]
		if c > 0 {
			s += (t[c-1] - t[c]) * max(p.plateau[c]-least, 0) / (p.plateau[c] - p.plateau[c-1])
		}
	}
	return min(s, 1)
}

// TimeToScore describes the hours until the jar first has the strength y. A y of
// zero or less is reached at once.
func (p *Posterior) TimeToScore(y float64) Wait {
	if y <= 0 {
		return Wait{}
	}
	return p.wait(1-p.ChanceReached(y, math.Inf(1)), func(t float64) float64 { return p.ChanceReached(y, t) })
}

// ReadyIn is the time by which a share q of jars has the strength y, or, where so
// many never have it or y is 0, most of their plateau. Jars that have it as soon
// as it is in, washed off, are left out: no look comes early enough for them.
func (p *Posterior) ReadyIn(y, q float64) float64 {
	by := func(t float64) float64 { return p.ChanceReached(y, t) }
	if y <= 0 || p.ChanceReached(y, math.Inf(1)) <= 2*q {
		by = p.chanceOfShare(NearlyAll)
	}
	lo, hi := -p.rate.lo-p.rate.step*float64(p.rate.n)-9, -p.rate.lo+8
	first, last := by(math.Exp(lo)), by(math.Exp(hi))
	q += (1 - q) * first
	if last <= q {
		return 0
	}
	return whenPast(q, lo, hi, first, last, by)
}

// TimeToShare describes the hours until the strength is a share of its plateau
// or peak; 0.8 is about as strong as a taster will notice, since the step from
// 80 to 96 % is one just noticeable difference of about a fifth. A share of zero
// or less is reached at once, one of 1 or more never.
func (p *Posterior) TimeToShare(share float64) Wait {
	if share <= p.prior.Early {
		return Wait{}
	}
	by := p.chanceOfShare(share)
	return p.wait(1-by(math.Inf(1)), by)
}

// chanceOfShare is the probability, by time, that a share of the plateau or peak
// has been there. ln k is spread evenly over its cell.
func (p *Posterior) chanceOfShare(share float64) func(hours float64) float64 {
	reach := make([]float64, len(p.family.shapes))
	for h := range reach {
		reach[h] = p.family.reach(h, (share-p.prior.Early)/(1-p.prior.Early))
	}
	return func(t float64) float64 {
		lt := logHours(t)
		s := 0.0
		for i := range p.rows {
			if r := reach[i/p.rate.n]; !math.IsInf(r, 1) {
				s += p.rows[i].m0 * min(max((p.rows[i].lk+lt-r)/p.rate.step+0.5, 0), 1)
			}
		}
		return s
	}
}

// wait reads the quantiles of a time off the chance that it is past: from a few
// times about 1/k, then by false position between the two beside it.
func (p *Posterior) wait(never float64, by func(hours float64) float64) Wait {
	w := Wait{Never: never}
	if never < 1e-9 { // the weights sum to one only so far
		w.Never = 0
	}
	const points = 17
	low, high := -p.rate.lo-p.rate.step*float64(p.rate.n)-9, -p.rate.lo+8
	var at, chance [points]float64
	for i := range at {
		at[i] = low + (high-low)*float64(i)/(points-1)
		chance[i] = by(math.Exp(at[i]))
	}
	w.fill(func(q float64) float64 {
		if 1-never <= q || chance[points-1] < q {
			return math.Inf(1)
		}
		i := 0
		for chance[i] < q {
			i++
		}
		if i == 0 {
			return 0
		}
		return whenPast(q, at[i-1], at[i], chance[i-1], chance[i], by)
	})
	return w
}

// whenPast is the time by which a chance passes q, by false position between two
// whose logarithms are lo and hi: the chances there are below q and not below it.
// An end that stays twice counts half, so that the other moves too.
func whenPast(q, lo, hi, atLo, atHi float64, by func(hours float64) float64) float64 {
	flo, fhi, stayed := atLo-q, atHi-q, 0
	for range 30 {
		if hi-lo < 1e-6 || fhi-flo < 1e-12 {
			break
		}
		x := hi - fhi*(hi-lo)/(fhi-flo)
		fx := by(math.Exp(x)) - q
		if math.Abs(fx) < 1e-5 {
			return math.Exp(x)
		}
		if fx < 0 {
			lo, flo = x, fx
			if stayed++; stayed > 1 {
				fhi /= 2
			}
			stayed = max(stayed, 1)
		} else {
			hi, fhi = x, fx
			if stayed--; stayed < -1 {
				flo /= 2
			}
			stayed = min(stayed, -1)
		}
	}
	return math.Exp(hi)
}

// LogEvidence is the natural log of the chance of the scores under the prior.
// Differences between two models for the same scores are log Bayes factors.
func (p *Posterior) LogEvidence() float64 { return p.evidence }

// ShapeWeight is a shape's name and its weight after the tastings.
type ShapeWeight struct {
	Name   string
	Weight float64
	Dead   bool // nothing ever comes
}

// Shapes lists the shapes with their weights, in the order of the family.
func (p *Posterior) Shapes() []ShapeWeight {
	out := make([]ShapeWeight, len(p.family.shapes))
	for h, s := range p.family.shapes {
		out[h] = ShapeWeight{Name: s.name, Dead: s.rise == nil}
		for _, r := range p.rows[h*p.rate.n:][:p.rate.n] {
			out[h].Weight += r.m0
		}
	}
	return out
}

// Prior returns the belief the posterior started from.
func (p *Posterior) Prior() Prior { return p.prior }

// Tastings returns the tastings that entered, in order of time.
func (p *Posterior) Tastings() []Tasting { return append([]Tasting(nil), p.tastings...) }

// normalQuantile is the standard normal quantile.
func normalQuantile(p float64) float64 { return -math.Sqrt2 * math.Erfcinv(2*p) }
