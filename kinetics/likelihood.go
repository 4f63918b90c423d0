package kinetics

import (
	"maps"
	"math"
	"slices"
)

// Grid of the likelihood of a batch.
const (
	learnEvery = 6                      // steps of a shape's table
	learnStep  = learnEvery * shapeStep // in ln k
	smallest   = 0.05                   // of τ_k: below it batches are as good as equal
	reachSD    = 6.0
	// A trapezium rule of step h over a peak of spread s is wrong by a factor of
	// about 1 ± 2·exp(−2π²s²/h²): at 1.6 by 9e-4, as the grid happens to lie under each batch,
	// and less where the peak is no sharper everywhere than at its sharpest turn, which it is taken for.
	strideSD = 1.6
)

// learner holds the sums that do not depend on the hyper-parameters.
type learner struct {
	h       hyper
	shape   int // of the family
	lo      float64
	n       int
	groups  []learnGroup // one per batch that teaches
	useDose bool
	scratch []float64
	sums    []float64 // of one person, written over and over: new memory that is read first is laid twice
}

type learnGroup struct {
	index    int // of the batch
	lot      string
	dose     float64 // ln(dose/reference), 0 when not known
	shift    Shift
	best     int     // grid point of the likeliest rate, at the prior's noise
	narrow   float64 // width in ln k of the narrowest turn of the likelihood, at the prior's noise
	people   []learnPerson
	uncapped int // scores below the top of the scale
}

type learnPerson struct {
	n    int
	yy   float64
	ab   []float64 // Σvx² and Σvxy on the grid, in turn
	tau2 float64   // extra variance of the plateau of one of several tasters
	top  []float64 // scores at the top of the scale
	x    [][]float64
}

// read lays the grid and sums up the batches on it.
func (l *learner) read(batches []Batch) {
	h := l.h
	logDose, doses := 0.0, 0
	widest := h.rate.reach() + 4*h.rateSpread + 1
	reach := widest
	for _, b := range batches {
		reach = max(reach, widest+math.Abs(b.Shift.LogMean)+3*b.Shift.LogSD)
		if b.DoseGPerL > 0 {
			logDose += math.Log(b.DoseGPerL)
			doses++
		}
	}
	if h.referenceDose == 0 && doses > 0 {
		h.referenceDose = math.Exp(logDose / float64(doses))
	}
	l.h = h
	l.n = 2*int(reach/learnStep) + 1
	l.lo = h.rate.Mean - learnStep*float64(l.n/2)
	l.scratch, l.sums = make([]float64, l.n), make([]float64, 2*l.n)
	for i, b := range batches {
		g := learnGroup{index: i, lot: b.Lot, shift: b.Shift}
		early := h.early
		if b.Early != nil {
			early = *b.Early
		}
		if b.DoseGPerL > 0 {
			g.dose = math.Log(b.DoseGPerL / h.referenceDose)
			l.useDose = l.useDose || math.Abs(g.dose) > 1e-9
		}
		people := tasters(some(b.Tastings, h.most))
		for _, person := range people {
			p, heard := l.person(person, early)
			if !heard {
				continue
			}
			// The deviations of a batch's tasters from their middle add up to zero.
			p.tau2 = math.Pow(tasterSD*h.plateau.Mean, 2) * (1 - 1/float64(len(people)))
			g.people = append(g.people, p)
			g.uncapped += p.n
		}
		if len(g.people) == 0 {
			continue
		}
		g.narrow = l.narrow(&g)
		l.groups = append(l.groups, g)
	}
}

// told counts in out what there is to learn from.
func (l *learner) told(batches []Batch, out *Learned) {
	doses := 0
	for _, b := range batches {
		if b.DoseGPerL > 0 {
			doses++
		}
	}
	if doses > 0 && doses < len(batches) {
		const some = "Some batches have no dose: they are taken to have the usual one."
		out.Warnings = append(out.Warnings, some)
	}
	out.Batches = len(l.groups)
	for _, g := range l.groups {
		for _, t := range batches[g.index].Tastings {
			if t.Hours > 0 {
				out.Tastings++
			}
		}
	}
}

// person sums one taster's scores on the grid of ln k; heard: there are any.
func (l *learner) person(ts []Tasting, early float64) (p learnPerson, heard bool) {
	sums := l.sums
	clear(sums)
	for _, t := range ts {
		if t.Hours <= 0 {
			continue
		}
		heard = true
		part := t.part()
		x := l.scratch
		families[l.h.course]().along(l.shape, l.lo+math.Log(t.Hours), learnEvery, x)
		if early > 0 {
			for i, v := range x {
				x[i] = early + (1-early)*v
			}
		}
		if t.Score == topScore {
			p.top = append(p.top, t.Score/part)
			p.x = append(p.x, slices.Clone(x))
			continue
		}
		// The noise of a thin sample's score is as many times larger in the jar.
		v, y := part*part, t.Score/part
		p.n++
		p.yy += v * y * y
		for i, x := range x {
			at, by := sums[2*i:][:2], v*x
			at[0] += by * x
			at[1] += by * y
		}
	}
	p.ab = slices.Clone(sums)
	return p, heard
}

// narrow finds the likeliest rate and is the SD of ln k under the batch's likelihood
// alone, or the spread of a normal peak as sharp as its sharpest turn, if that is
// less.
func (l *learner) narrow(g *learnGroup) float64 {
	s := math.Exp(l.h.logNoise.Mean)
	lp := l.scratch
	top := math.Inf(-1)
	for i := range lp {
		lp[i] = l.at(g, i, l.h.plateau.Mean, l.h.plateau.SD*l.h.plateau.SD, s)
		if lp[i] > top {
			top, g.best = lp[i], i
		}
	}
	var w0, w1, w2, turn float64
	t := expTable()
	for i, v := range lp {
		w, u := fastExp(t, max(v-top, -expReach)), float64(i)*learnStep
		w0 += w
		w1 += w * u
		w2 += w * u * u
		if i > 0 && i+1 < l.n && v > top-8 {
			turn = max(turn, 2*v-lp[i-1]-lp[i+1])
		}
	}
	sd := math.Sqrt(max(w2/w0-w1/w0*(w1/w0), learnStep*learnStep))
	return min(sd, learnStep/math.Sqrt(turn))
}

// node is the density of a batch's scores at grid point i, the plateau N(m, va)
// integrated out, as exp(e)/√d; s2 is one over the variance of a score.
func (l *learner) node(g *learnGroup, i int, m, va, s2 float64) (e, d float64) {
	e, d = g.people[0].node(i, m, va, s2)
	for k := 1; k < len(g.people); k++ {
		more, by := g.people[k].node(i, m, va, s2)
		e, d = e+more, d*by
	}
	return e, d
}

func (p *learnPerson) node(i int, m, va, s2 float64) (e, d float64) {
	a, b, v := p.ab[2*i]*s2, p.ab[2*i+1]*s2, va+p.tau2
	rx := b - m*a
	d = 1 + v*a
	e = -0.5 * (p.yy*s2 - m*(b+rx) - v*rx*rx/d)
	if p.top != nil {
		e += p.capped(i, m+v/d*rx, v/d, 1/s2)
	}
	return e, d
}

// capped is the log probability of the scores at the top of the scale, the
// plateau being N(mu, w) after the others; s2 is the variance of a score.
func (p *learnPerson) capped(i int, mu, w, s2 float64) float64 {
	lp, least := 0.0, 1e-12*w
	for j, y := range p.top {
		x := p.x[j][i]
		s := math.Sqrt(s2 + x*x*w)
		z := (mu*x - y) / s
		cdf, h := tail(z)
		lp += cdf
		if j+1 < len(p.top) {
			gain := x * w / s
			mu += gain * h
			w = max(w-gain*gain*h*(z+h), least)
		}
	}
	return lp
}

// at is the logarithm of node.
func (l *learner) at(g *learnGroup, i int, m, va, sigma float64) float64 {
	e, d := l.node(g, i, m, va, 1/(sigma*sigma))
	return e - math.Log(d)/2
}

// evidence is the log density of all scores at the hyper-parameters.
func (l *learner) evidence(d draw) float64 {
	sum, product := 0.0, 1.0 // the logarithm is taken of many at once
	logSigma := math.Log(d.sigma)
	calm := min(1, d.sigma/math.Exp(l.h.logNoise.Mean))
	for k := range l.groups {
		g := &l.groups[k]
		low := max(d.tauK, smallest)
		tau := math.Sqrt(low*low + g.shift.LogSD*g.shift.LogSD)
		narrow := g.narrow * calm
		peak := tau * narrow / math.Sqrt(tau*tau+narrow*narrow)
		r := nodes{
			mid: d.muK + g.shift.LogMean, tau: tau, stride: max(1, int(strideSD/learnStep*peak)),
			m: d.muC, va: d.tauC * d.tauC, s2: 1 / (d.sigma * d.sigma),
		}
		if g.dose != 0 {
			r.m *= math.Exp(d.beta * g.dose)
		}
		r.first = max(0, int((r.mid-reachSD*tau-l.lo)/learnStep))
		r.last = min(l.n-1, int((r.mid+reachSD*tau-l.lo)/learnStep)+1)
		width := learnStep * float64(r.stride) / tau
		if s := l.sum(g, r) * width; s > 0 {
			product *= s
		} else {
			sum += l.logSum(g, r) + math.Log(width)
		}
		if product < 1e-40 { // a sum is no less than e^-expReach
			sum, product = sum+math.Log(product), 1
		}
		sum -= logRoot2Pi + float64(g.uncapped)*(logRoot2Pi+logSigma)
	}
	return sum + math.Log(product)
}

// nodes are the grid points a batch is summed over, weighted by N(mid, tau²).
type nodes struct {
	mid, tau, m, va, s2 float64
	first, last, stride int
}

// sum adds the densities at the nodes, outwards from the likeliest of the batch
// until they are too small to count on the far side of both the likelihood and
// mid; 0 where all of them are too small for a number.
func (l *learner) sum(g *learnGroup, r nodes) float64 {
	t, p := expTable(), &g.people[0]
	plain := len(g.people) == 1 && p.top == nil // the usual case, without a call at every node
	va, less := r.va+p.tau2, -p.yy*r.s2/2
	total, top := 0.0, math.Inf(-1)
	start := min(max(g.best, r.first), r.last)
	for _, step := range [2]int{r.stride, -r.stride} {
		i := start
		if step < 0 {
			i += step
		}
		dz := learnStep * float64(step) / r.tau
		z := (l.lo + learnStep*float64(i) - r.mid) / r.tau
		for ; i >= r.first && i <= r.last; i, z = i+step, z+dz {
			var e, by float64
			if plain {
				ab := p.ab[2*i:][:2]
				a, b := ab[0]*r.s2, ab[1]*r.s2
				rx := b - r.m*a
				q := 1 / (1 + va*a)
				by = math.Sqrt(q)
				e = less + (r.m*(b+rx)+va*rx*rx*q)/2
			} else {
				var d float64
				e, d = l.node(g, i, r.m, r.va, r.s2)
				by = 1 / math.Sqrt(d)
			}
			e -= z * z / 2
			if e > -expReach {
				total += fastExp(t, e) * by
			}
			if e > top {
				top = e
			} else if e < top-negligible && z*dz > 0 {
				break
			}
		}
	}
	return total
}

// negligible is how far below the largest a log density adds nothing: 1e-6.
const negligible = 14

// logSum is the logarithm of sum, for densities of any size.
func (l *learner) logSum(g *learnGroup, r nodes) float64 {
	top := math.Inf(-1)
	buf := l.scratch[:0]
	for i := r.first; i <= r.last; i += r.stride {
		e, d := l.node(g, i, r.m, r.va, r.s2)
		z := (l.lo + learnStep*float64(i) - r.mid) / r.tau
		buf = append(buf, e-math.Log(d)/2-z*z/2)
		top = max(top, buf[len(buf)-1])
	}
	s := 0.0
	for _, v := range buf {
		s += math.Exp(v - top)
	}
	return top + math.Log(s)
}

// tasters sorts the scores by person, in order of their names.
func tasters(ts []Tasting) [][]Tasting {
	by := map[string][]Tasting{}
	for _, t := range ts {
		by[t.Taster] = append(by[t.Taster], t)
	}
	var out [][]Tasting
	for _, name := range slices.Sorted(maps.Keys(by)) {
		out = append(out, by[name])
	}
	return out
}
