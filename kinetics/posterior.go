package kinetics

import (
	"fmt"
	"math"
	"sort"
)

// Posterior is what is believed of one flavour after its tastings. It is
// immutable and may be used from several goroutines.
//
// It holds a mixture: for every point of the grid over log k, f and log σ a
// weight and the normal distribution of the plateau there.
type Posterior struct {
	prior    Prior
	tastings []Tasting // those that entered, in the order given
	rows     []row
	cells    []cell
	shares   []shareSlice
	noise    []noiseMass // marginal of the reference taster's noise
	evidence float64
	tmax     float64 // last tasting, hours
	tmin     float64
	times    int // distinct times
	warnings []string
	gains    []Gain

	meanLK, varLK, meanC, varC float64
}

// row is one point in (log k, f); its cells are cells[first:last].
type row struct {
	lk, k, f, w float64
	first, last int
}

// cell is one component of the mixture: plateau N(mu, sd²), noise sigma.
type cell struct{ w, mu, sd, sigma float64 }

// shareSlice is the marginal over log k at one early share.
type shareSlice struct {
	f, w      float64 // weight of the slice
	lo, step  float64
	dens, cum []float64 // step·density and its integral up to each point
}

type noiseMass struct{ logSigma, w float64 }

const (
	gridRate      = 129 // points in log k; the fourth-order sums need about 10 per posterior SD
	gridRateShare = 65
	gridShare     = 16
	cutRate       = 25.0 // log density below the maximum at which the grid ends
	cutNoise      = 20.0
	cutCell       = 40.0 // a cell so far below the best adds nothing
	pruneShare    = 1e-11
	maxGroups     = 3 // tasters with a noise of their own
)

// gridNoise is the number of points in each log σ, by the number of tasters
// with a noise of their own.
var gridNoise = [maxGroups + 1]int{1, 17, 11, 9}

// gridNoiseShare replaces it when there is an early share as well.
var gridNoiseShare = [maxGroups + 1]int{1, 11, 9, 7}

// group is one taster's scores, or those of all further tasters together.
type group struct {
	from, to int     // into model.t: face value
	cens     int     // censored scores are [to, cens)
	lo, hi   float64 // range of log σ
	nodes    []noiseNode
}

type noiseNode struct {
	logSigma, sigma float64
	logPrior        float64
	v               []float64 // 1/(σ²+extra²) per score of the group
	logDet          float64
}

// stat is what one group says about the plateau at one (log k, f, σ).
type stat struct {
	a, b, q float64 // precision, precision·deviation, chi-square, for C − prior mean
}

type model struct {
	p      Prior
	t, y   []float64
	e2     []float64
	x      []float64
	groups []group
	// tau2 is the variance of how far a taster's plateau lies from that of the
	// middle of all tasters, their deviations adding up to zero; 0 for one taster.
	tau2    float64
	curve   Curve
	shapes  []shape
	n       int // face-value scores
	stats   [maxGroups][]stat
	counter [maxGroups]int
	wildC   []float64
	wildLP  []float64
	parts   []kernel
	level   []level
	names   []string // of the groups
}

// kernel is a narrow part of the plateau's distribution at one grid point.
type kernel struct{ lw, mu, va float64 }

// Posterior weighs the prior with the tastings. Without tastings it is the
// prior. Errors wrap ErrPrior or ErrTasting and name what is wrong.
//
// The grid covers log k to 25 log units below the highest density, so that
// quantiles are good to about 1e-4 of the posterior's width and the log evidence
// to 1e-6 (checks in the tests).
func (p Prior) Posterior(ts []Tasting) (*Posterior, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	post := &Posterior{prior: p, tmin: math.Inf(1)}
	zero := 0
	for i, t := range ts {
		if err := t.validate(i); err != nil {
			return nil, err
		}
		if t.Hours == 0 {
			zero++
			continue
		}
		post.tastings = append(post.tastings, t)
		post.tmax = math.Max(post.tmax, t.Hours)
		post.tmin = math.Min(post.tmin, t.Hours)
	}
	if zero > 0 {
		post.warnings = append(post.warnings, "A tasting at zero hours is a blank: it is not counted.")
	}
	if post.tmax > 0 && post.tmax/post.tmin > 1e9 {
		return nil, fmt.Errorf("%w: the times %g h and %g h are too far apart to be one steep", ErrTasting, post.tmin, post.tmax)
	}
	curve := FirstOrder
	if !p.Early.off() {
		curve = EarlyJump
	}
	m := newModel(p, curve, post.tastings, &post.warnings)
	lo, hi := m.locate()
	m.fill(post, lo, hi)
	post.gains = m.gains(post)
	seen := map[float64]bool{}
	for _, t := range post.tastings {
		seen[t.Hours] = true
	}
	post.times = len(seen)
	return post, nil
}

// Warnings are remarks on the tastings that a person should see.
func (p *Posterior) Warnings() []string { return append([]string(nil), p.warnings...) }

// Tastings returns the tastings that entered.
func (p *Posterior) Tastings() []Tasting { return append([]Tasting(nil), p.tastings...) }

// Prior returns the belief the posterior started from.
func (p *Posterior) Prior() Prior { return p.prior }

// tasters sorts the scores by person, whatever their order: the nameless taster
// first, then by number of scores, then by name. The noise of the first is the
// one that Noise describes; nobody sets the scale of strength.
func tasters(ts []Tasting) [][]Tasting {
	by := map[string][]Tasting{}
	var names []string
	for _, t := range ts {
		if _, ok := by[t.Taster]; !ok {
			names = append(names, t.Taster)
		}
		by[t.Taster] = append(by[t.Taster], t)
	}
	sort.SliceStable(names, func(i, j int) bool {
		a, b := names[i], names[j]
		if (a == "") != (b == "") {
			return a == ""
		}
		if len(by[a]) != len(by[b]) {
			return len(by[a]) > len(by[b])
		}
		return a < b
	})
	out := make([][]Tasting, len(names))
	for i, n := range names {
		own := by[n]
		sort.SliceStable(own, func(a, b int) bool {
			if own[a].Hours != own[b].Hours {
				return own[a].Hours < own[b].Hours
			}
			return own[a].Score < own[b].Score
		})
		out[i] = own
	}
	return out
}

func newModel(p Prior, curve Curve, ts []Tasting, warnings *[]string) *model {
	m := &model{p: p, curve: curve, shapes: curve.shapes(p)}
	people := tasters(ts)
	if p.Wild && len(people) > 1 {
		*warnings = append(*warnings, "With wild scores allowed for, all tasters are taken as one.")
		people = [][]Tasting{ts}
	}
	if len(people) > maxGroups {
		*warnings = append(*warnings, fmt.Sprintf("Of %d tasters the first %d have a noise of their own; the rest share one.", len(people), maxGroups-1))
	}
	if len(people) == 0 {
		people = [][]Tasting{nil}
	}
	if len(people) > 1 {
		sd := p.TasterSD
		if sd == 0 {
			sd = DefaultTasterSD
		}
		m.tau2 = sd * sd * (p.Plateau.Mean*p.Plateau.Mean + p.Plateau.SD*p.Plateau.SD)
	}
	for _, person := range people {
		g := group{from: len(m.t)}
		for pass := range 2 {
			for _, t := range person {
				if t.Censored == (pass == 1) {
					m.t, m.y, m.e2 = append(m.t, t.Hours), append(m.y, t.Score), append(m.e2, t.ExtraSD*t.ExtraSD)
				}
			}
			if pass == 0 {
				g.to = len(m.t)
			}
		}
		g.cens = len(m.t)
		if len(person) > 0 {
			m.names = append(m.names, person[0].Taster)
		}
		m.n += g.to - g.from
		g.lo, g.hi = p.LogNoise.Mean-5*p.LogNoise.SD, p.LogNoise.Mean+5*p.LogNoise.SD
		m.groups = append(m.groups, g)
	}
	m.x = make([]float64, len(m.t))
	if p.Wild {
		const n = 97
		for i := range n {
			m.wildC = append(m.wildC, p.Plateau.Mean+p.Plateau.SD*(-6+12*float64(i)/(n-1)))
		}
		m.wildLP = make([]float64, n)
	}
	return m
}

// noiseOf is the index of the noise a group uses: its own, or the last one,
// which all further tasters share.
func (m *model) noiseOf(g int) int { return min(g, maxGroups-1) }

// noises is how many noises there are.
func (m *model) noises() int { return min(len(m.groups), maxGroups) }

// setNoise lays n points over the range of log σ of every group.
func (m *model) setNoise(n int) {
	for i := range m.groups {
		g := &m.groups[i]
		lo, hi := m.groups[m.noiseOf(i)].lo, m.groups[m.noiseOf(i)].hi
		k := n
		if !(hi > lo) {
			k = 1
		}
		if cap(g.nodes) < k {
			g.nodes = make([]noiseNode, k)
		}
		g.nodes = g.nodes[:k]
		size := g.cens - g.from
		for j := range g.nodes {
			nd := &g.nodes[j]
			nd.logSigma = lo
			nd.logPrior = 0
			if k > 1 {
				step := (hi - lo) / float64(k-1)
				nd.logSigma = lo + float64(j)*step
				if i < maxGroups { // a shared noise has its prior once
					nd.logPrior = m.p.LogNoise.logPDF(nd.logSigma) + math.Log(step)
				}
			}
			nd.sigma = math.Exp(nd.logSigma)
			if cap(nd.v) < size {
				nd.v = make([]float64, size)
			}
			nd.v = nd.v[:size]
			nd.logDet = 0
			for s := range size {
				va := nd.sigma*nd.sigma + m.e2[g.from+s]
				nd.v[s] = 1 / va
				if g.from+s < g.to {
					nd.logDet += math.Log(va)
				}
			}
		}
	}
	for i := range m.noises() {
		k := len(m.groups[i].nodes)
		if cap(m.stats[i]) < k {
			m.stats[i] = make([]stat, k)
		}
		m.stats[i] = m.stats[i][:k]
	}
}

// at prepares the group sums at one log k and shape.
func (m *model) at(lk float64, s shape) {
	k := math.Exp(lk)
	for i, t := range m.t {
		m.x[i] = m.curve.rise(s, k*t)
	}
	if m.p.Wild {
		return
	}
	for i := range m.noises() {
		clear(m.stats[i])
	}
	mean := m.p.Plateau.Mean
	for i := range m.groups {
		g := &m.groups[i]
		into := m.stats[m.noiseOf(i)]
		for j := range g.nodes {
			nd := &g.nodes[j]
			var sxx, sxr, srr float64
			for s, v := range nd.v[:g.to-g.from] {
				x := m.x[g.from+s]
				r := m.y[g.from+s] - mean*x
				sxx += v * x * x
				sxr += v * x * r
				srr += v * r * r
			}
			st := &into[j]
			// The taster's own level N(0, τ²) on the plateau is integrated out.
			d := 1 + m.tau2*sxx
			st.a += sxx / d
			st.b += sxr / d
			st.q += srr - m.tau2*sxr*sxr/d + nd.logDet + math.Log(d)
		}
	}
}

// combine returns the log density of the scores at the grid point and the
// mean and variance of the plateau there, for the noise indices in m.counter.
func (m *model) combine() (lp, mu, va float64) {
	if m.p.Wild {
		return m.wild(&m.groups[0].nodes[m.counter[0]])
	}
	var a, b, q, lpr float64
	for i := range m.noises() {
		s := &m.stats[i][m.counter[i]]
		a += s.a
		b += s.b
		q += s.q
		lpr += m.groups[i].nodes[m.counter[i]].logPrior
	}
	// The plateau of the middle is N(mean, s²) and the n tasters' deviations add
	// up to zero: their levels have the covariance τ²·I + (s² − τ²/n)·J.
	sc2 := m.p.Plateau.SD * m.p.Plateau.SD
	g := sc2 - m.tau2/float64(len(m.groups))
	d := 1 + g*a
	va = sc2 - sc2*sc2*a/d
	mu = m.p.Plateau.Mean + sc2*b/d
	lp = lpr - float64(m.n)*logRoot2Pi - 0.5*(math.Log(d)+q-g*b*b/d)
	return lp, mu, va
}

// wild integrates the plateau on a grid for scores with Student t noise of 4
// degrees of freedom: density 3/(8σ)·(1 + z²/4)^(−5/2).
func (m *model) wild(nd *noiseNode) (lp, mu, va float64) {
	g := &m.groups[0]
	top := math.Inf(-1)
	for i, c := range m.wildC {
		l := m.p.Plateau.logPDF(c)
		for s, v := range nd.v {
			j := g.from + s
			z := m.y[j] - c*m.x[j]
			if j < g.to {
				l += 0.5*math.Log(v) + math.Log(3.0/8) - 2.5*math.Log1p(z*z*v/4)
			} else {
				l += math.Log(studentUpper4(z * math.Sqrt(v)))
			}
		}
		m.wildLP[i] = l
		top = math.Max(top, l)
	}
	var s0, s1, s2 float64
	for i, c := range m.wildC {
		w := math.Exp(m.wildLP[i] - top)
		c -= m.p.Plateau.Mean
		s0 += w
		s1 += w * c
		s2 += w * c * c
	}
	mu = s1 / s0
	va = s2/s0 - mu*mu
	step := m.wildC[1] - m.wildC[0]
	return nd.logPrior + top + math.Log(s0*step), mu + m.p.Plateau.Mean, va
}

// studentUpper4 is P(T > z) for Student's t with 4 degrees of freedom, in closed
// form.
func studentUpper4(z float64) float64 {
	u := z / math.Sqrt(4+z*z)
	p := 0.5 - 0.75*u*(1-u*u/3)
	return math.Max(p, 1e-300)
}

// advance steps the noise indices; false after the last.
func (m *model) advance() bool {
	for i := range m.noises() {
		m.counter[i]++
		if m.counter[i] < len(m.groups[i].nodes) {
			return true
		}
		m.counter[i] = 0
	}
	return false
}

func (m *model) hasCensored() bool { return len(m.t) > m.n && !m.p.Wild }

// locate finds the range of log k, and of each log σ, that holds the posterior.
func (m *model) locate() (lo, hi float64) {
	const nRate, nNoise = 25, 9
	pr := m.p.LogRate
	lo, hi = pr.Mean-9*pr.SD, pr.Mean+9*pr.SD
	if len(m.t) == 0 {
		return pr.Mean - 7.1*pr.SD, pr.Mean + 7.1*pr.SD
	}
	var best [nRate]float64
	var bestNoise [maxGroups][nNoise]float64
	shapes := m.shapes
	if n := len(m.shapes); n > 5 {
		shapes = []shape{m.shapes[0], m.shapes[n/5], m.shapes[2*n/5], m.shapes[3*n/5], m.shapes[n-1]}
	}
	for range 8 {
		m.setNoise(nNoise)
		step := (hi - lo) / (nRate - 1)
		top := math.Inf(-1)
		for i := range m.noises() {
			for j := range bestNoise[i] {
				bestNoise[i][j] = math.Inf(-1)
			}
		}
		for i := range best {
			lk := lo + float64(i)*step
			best[i] = math.Inf(-1)
			for _, sh := range shapes {
				m.at(lk, sh)
				base := pr.logPDF(lk)
				m.counter = [maxGroups]int{}
				for {
					lp, mu, va := m.combine()
					lp += base
					if m.hasCensored() {
						lp += m.censoredBound(mu, va)
					}
					best[i] = math.Max(best[i], lp)
					for g := range m.noises() {
						if b := &bestNoise[g][m.counter[g]]; lp > *b {
							*b = lp
						}
					}
					if !m.advance() {
						break
					}
				}
			}
			top = math.Max(top, best[i])
		}
		a, b := span(best[:], top-cutRate)
		nlo, nhi := lo+step*math.Max(0, float64(a-1)), lo+step*math.Min(nRate-1, float64(b+1))
		shrunk := (nhi - nlo) < 0.7*(hi-lo)
		lo, hi = nlo, nhi
		for i := range m.noises() {
			g := &m.groups[i]
			if len(g.nodes) == 1 {
				continue
			}
			s := (g.hi - g.lo) / (nNoise - 1)
			a, b := span(bestNoise[i][:], top-cutNoise)
			nlo, nhi := g.lo+s*math.Max(0, float64(a-1)), g.lo+s*math.Min(nNoise-1, float64(b+1))
			if nhi-nlo < 0.7*(g.hi-g.lo) {
				shrunk = true
			}
			g.lo, g.hi = nlo, nhi
		}
		if !shrunk {
			break
		}
	}
	return lo, hi
}

// span returns the first and last index with v above the limit.
func span(v []float64, limit float64) (first, last int) {
	first, last = len(v)-1, 0
	for i, x := range v {
		if x > limit {
			first, last = min(first, i), max(last, i)
		}
	}
	return first, last
}

// fill lays the final grid and stores the mixture.
func (m *model) fill(post *Posterior, lo, hi float64) {
	n, k := gridRate, gridNoise[m.noises()]
	if len(m.shapes) > 1 {
		n, k = gridRateShare, gridNoiseShare[m.noises()]
	}
	m.setNoise(k)
	step := (hi - lo) / float64(n-1)
	noises := m.groups[0].nodes
	combos := 1
	for i := range m.noises() {
		combos *= len(m.groups[i].nodes)
	}
	post.rows = make([]row, 0, n*len(m.shapes))
	post.cells = make([]cell, 0, n*min(combos, 17)*min(len(m.shapes), 4))
	logs := make([]float64, 0, cap(post.cells))
	top := math.Inf(-1)
	for _, sh := range m.shapes {
		if sh.w <= 0 {
			continue
		}
		base := math.Log(sh.w) + math.Log(step)
		for i := range n {
			lk := lo + float64(i)*step
			m.at(lk, sh)
			r := row{lk: lk, k: math.Exp(lk), f: sh.a, first: len(post.cells)}
			b := base + m.p.LogRate.logPDF(lk)
			m.counter = [maxGroups]int{}
			start := len(post.cells)
			for {
				lp, mu, va := m.combine()
				lp += b
				sigma := noises[m.counter[0]].sigma
				if m.hasCensored() {
					if lp > top-cutCell {
						for _, k := range m.censor(mu, va, lp > top-8) {
							post.cells = append(post.cells, cell{mu: k.mu, sd: math.Sqrt(k.va), sigma: sigma})
							logs = append(logs, lp+k.lw)
							top = math.Max(top, lp+k.lw)
						}
					}
				} else if lp > top-cutCell {
					post.cells = append(post.cells, cell{mu: mu, sd: math.Sqrt(va), sigma: sigma})
					logs = append(logs, lp)
					top = math.Max(top, lp)
				}
				if !m.advance() {
					break
				}
			}
			if m.noises() > 1 {
				keep := mergeNoise(post.cells[start:], logs[start:], top)
				post.cells, logs = post.cells[:start+keep], logs[:start+keep]
			}
			r.last = len(post.cells)
			post.rows = append(post.rows, r)
		}
	}
	total := 0.0
	for i, l := range logs {
		w := math.Exp(l - top)
		post.cells[i].w = w
		total += w
	}
	post.evidence = top + math.Log(total)
	post.normalise(total, lo, step, n)
	post.sumNoise(noises)
}

// mergeNoise joins the cells of one row that differ only in the noise of further
// tasters: normals with nearly the same mean become one by their moments. It
// returns how many are left.
func mergeNoise(cells []cell, logs []float64, top float64) int {
	// The reference taster's noise runs fastest, and with censored scores each
	// grid point has left several cells in a fixed order, so equal noise and equal
	// place in that order belong together.
	type key struct {
		sigma float64
		part  int
	}
	at := map[key]int{}
	n, part := 0, 0
	for i, c := range cells {
		if i > 0 && c.sigma == cells[i-1].sigma {
			part++
		} else {
			part = 0
		}
		w := math.Exp(logs[i] - top)
		c.w = w
		k := key{c.sigma, part}
		j, ok := at[k]
		if !ok {
			at[k] = n
			cells[n], logs[n] = c, w
			n++
			continue
		}
		d := &cells[j]
		sum := d.w + w
		if sum > 0 {
			mean := (d.w*d.mu + w*c.mu) / sum
			va := (d.w*(d.sd*d.sd+(d.mu-mean)*(d.mu-mean)) + w*(c.sd*c.sd+(c.mu-mean)*(c.mu-mean))) / sum
			d.w, d.mu, d.sd = sum, mean, math.Sqrt(va)
		}
	}
	for i := range n {
		logs[i] = top + math.Log(math.Max(cells[i].w, 1e-300))
	}
	return n
}

// normalise scales the weights, drops what does not count and sums the
// marginals.
func (p *Posterior) normalise(total, lo, step float64, n int) {
	kept, at := 0.0, 0
	for i := range p.rows {
		r := &p.rows[i]
		first, last := r.first, r.last
		r.first = at
		for _, c := range p.cells[first:last] {
			c.w /= total
			if c.w > pruneShare {
				p.cells[at] = c
				at++
				kept += c.w
			}
		}
		r.last = at
	}
	p.cells = p.cells[:at]
	var mLK, mC float64
	for i := range p.rows {
		r := &p.rows[i]
		for j := r.first; j < r.last; j++ {
			c := &p.cells[j]
			c.w /= kept
			r.w += c.w
			mC += c.w * c.mu
		}
		mLK += r.w * r.lk
	}
	p.meanLK, p.meanC = mLK, mC
	for _, r := range p.rows {
		p.varLK += r.w * (r.lk - mLK) * (r.lk - mLK)
		for _, c := range p.cells[r.first:r.last] {
			p.varC += c.w * (c.sd*c.sd + (c.mu-mC)*(c.mu-mC))
		}
	}
	buf := make([]float64, 2*len(p.rows))
	for i := 0; i < len(p.rows); i += n {
		s := shareSlice{f: p.rows[i].f, lo: lo, step: step, dens: buf[2*i : 2*i+n], cum: buf[2*i+n : 2*i+2*n]}
		for j := range n {
			s.dens[j] = p.rows[i+j].w
			s.w += s.dens[j]
		}
		s.integrate()
		p.shares = append(p.shares, s)
	}
}

// integrate fills cum from dens with a fourth-order rule.
func (s *shareSlice) integrate() {
	d := func(i int) float64 {
		if i < 0 || i >= len(s.dens) {
			return 0
		}
		return s.dens[i]
	}
	sum := 0.0
	for i := range s.cum {
		if i > 0 {
			sum += math.Max(0, (13*(d(i-1)+d(i))-d(i-2)-d(i+1))/24)
		}
		s.cum[i] = sum
	}
	if sum > 0 {
		for i := range s.cum {
			s.cum[i] *= s.w / sum
		}
	}
}

// below returns P(log k ≤ u, f) and its derivative.
func (s *shareSlice) below(u float64) (p, d float64) {
	x := (u - s.lo) / s.step
	last := len(s.cum) - 1
	if !(x > 0) {
		return 0, 0
	}
	if x >= float64(last) {
		return s.w, 0
	}
	i := int(x)
	t := x - float64(i)
	q := 1 - t
	a, b, da, db := s.cum[i], s.cum[i+1], s.dens[i], s.dens[i+1]
	return q*q*((1+2*t)*a+t*da) + t*t*((3-2*t)*b-q*db), (q*da + t*db) / s.step
}

// sumNoise keeps the marginal of the reference taster's noise.
func (p *Posterior) sumNoise(nodes []noiseNode) {
	p.noise = make([]noiseMass, len(nodes))
	for i, n := range nodes {
		p.noise[i].logSigma = n.logSigma
	}
	if len(nodes) == 1 {
		p.noise[0].w = 1
		return
	}
	step := nodes[1].logSigma - nodes[0].logSigma
	for _, c := range p.cells {
		i := int(math.Round((math.Log(c.sigma) - nodes[0].logSigma) / step))
		p.noise[i].w += c.w
	}
}

// censoredBound is the log probability of the censored scores at the mean
// plateau of a grid point, one by one: enough to find the range.
func (m *model) censoredBound(mu, va float64) float64 {
	l := 0.0
	m.eachCensored(func(a0, b0, v float64, score float64) {
		l += logCDF((a0*mu + b0 - score) / math.Sqrt(v+a0*a0*va))
	})
	return l
}

// eachCensored calls f for every censored score with the latent reading written
// as a0·C + b0 and its variance given C.
func (m *model) eachCensored(f func(a0, b0, v, score float64)) {
	levels := m.levels()
	for i := range m.groups {
		g := &m.groups[i]
		nd := &g.nodes[m.counter[m.noiseOf(i)]]
		l := level{slope: 1}
		if levels != nil {
			l = levels[i]
		}
		// Two censored scores are taken as independent given C.
		for s := g.to; s < g.cens; s++ {
			x := m.x[s]
			f(x*l.slope, x*l.shift, 1/nd.v[s-g.from]+x*x*l.va, m.y[s])
		}
	}
}

// level is one taster's plateau given that of the middle: N(slope·C + shift, va).
type level struct{ slope, shift, va float64 }

// levels finds the levels of all tasters at the grid point, given their
// face-value scores; nil for one taster, whose level is the middle. Without the
// rule that the deviations add up to zero a level is N(m, κ) with
// κ = 1/(1/τ² + Σvxx) and m = κ(C/τ² + Σvxy); the rule then shifts each by its
// share κ/Σκ of what is missing.
func (m *model) levels() []level {
	if m.tau2 == 0 {
		return nil
	}
	out := m.level[:0]
	var sum, slopes, shifts float64
	for i := range m.groups {
		g := &m.groups[i]
		nd := &g.nodes[m.counter[m.noiseOf(i)]]
		var sxx, sxy float64
		for s, v := range nd.v[:g.to-g.from] {
			sxx += v * m.x[g.from+s] * m.x[g.from+s]
			sxy += v * m.x[g.from+s] * m.y[g.from+s]
		}
		k := m.tau2 / (1 + m.tau2*sxx)
		l := level{slope: k / m.tau2, shift: k * sxy, va: k}
		sum, slopes, shifts = sum+k, slopes+l.slope, shifts+l.shift
		out = append(out, l)
	}
	n := float64(len(out))
	for i := range out {
		l := &out[i]
		share := l.va / sum
		l.slope += share * (n - slopes)
		l.shift -= share * shifts
		l.va -= share * l.va
	}
	m.level = out
	return out
}

// censor reweighs the plateau's normal N(mu, va) by the probability of the
// censored scores. The normal is first written as narrower ones (exact to 1e-8:
// a trapezoid sum of a convolution, reaching further up, where a score at the
// top of the scale pushes it); each keeps its exact mass, mean and
// variance after every score.
func (m *model) censor(mu, va float64, fine bool) []kernel {
	sd := math.Sqrt(va)
	// Narrow beside the noise, which is the width of the steps to be followed.
	noise := m.groups[0].nodes[m.counter[0]].sigma
	share := 0.7
	if fine {
		share = math.Min(share, math.Max(0.35, 0.6*noise/sd))
	}
	step := share * sd
	wide := math.Sqrt(1-share*share) * sd
	m.parts = m.parts[:0]
	sum := 0.0
	for i := -int(4 * wide / step); i <= int(5*wide/step); i++ {
		z := float64(i) * step / wide
		w := math.Exp(-z * z / 2)
		sum += w
		m.parts = append(m.parts, kernel{w, mu + float64(i)*step, step * step})
	}
	for i := range m.parts {
		m.parts[i].lw = math.Log(m.parts[i].lw / sum)
	}
	m.eachCensored(func(a0, b0, v, score float64) {
		for i := range m.parts {
			k := &m.parts[i]
			s := math.Sqrt(v + a0*a0*k.va)
			z := (a0*k.mu + b0 - score) / s
			h := hazard(z)
			k.lw += logCDF(z)
			gain := a0 * k.va / s
			k.mu += gain * h
			k.va = math.Max(k.va-gain*gain*h*(z+h), 1e-12*va)
		}
	})
	return m.parts
}
