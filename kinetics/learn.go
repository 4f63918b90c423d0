package kinetics

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

// Hyper is what is believed of a botanical in one cut before any batch: the
// spread of batches about it is a part of the belief, never zero.
//
//	ln k_j ~ N(μ_k + shift_j, τ_k²),  C_j ~ N(μ_C·(dose_j/reference)^β, τ_C²)
type Hyper struct {
	Rate    Normal // of μ_k, ln(1/h)
	Plateau Normal // of μ_C at the reference dose
	// Doubt is the chance, 0 to below 1, that the botanical of this maker is not of
	// the usual kind: μ_k then has the spread UnusualSD about the same mean. All
	// its batches share that, so it is settled once for them.
	Doubt float64
	// RateSpread and PlateauSpread are the scales of the half-normal priors of
	// τ_k and τ_C. Zero: DefaultRateSpread and DefaultPlateauSpread.
	RateSpread, PlateauSpread float64
	// DoseExponent is β. Zero value: 0.6 ± 0.25, between the exponents of smell
	// (0.3 to 0.6) and of taste (0.7 to 1.3).
	DoseExponent Normal
	// ReferenceDose in g/L. 0: the geometric mean of the batches.
	ReferenceDose float64
	LogNoise      Normal // as in Prior, shared by all batches
	// Early is the share of the plateau washed off at once, 0 to 0.8: fixed, and
	// Rate is then that of the slow rest.
	Early float64
}

// Scales of the spread between batches where a Hyper names none: of ln k, and
// of the plateau in points. Judgement: what a library does not know of a rate is
// which plant, how it is cut, and how this maker shakes, keeps and tastes. The
// batches of one maker share nearly all of that; what is left between them, lots
// and a day's hand at the mortar, is a third, not a factor of two.
const (
	DefaultRateSpread    = 0.3
	DefaultPlateauSpread = 1.5
)

// Hyper turns the belief about one batch into one about the botanical such that
// without data a new batch is believed to be what it was before: the spread of a
// batch is the uncertainty of the mean plus the batch-to-batch spread, and its
// doubt is that of the mean.
func (p Prior) Hyper() Hyper {
	return Hyper{Rate: shared(p.LogRate, DefaultRateSpread), Plateau: shared(p.Plateau, DefaultPlateauSpread), Doubt: p.Doubt, LogNoise: p.LogNoise, Early: p.Early}
}

// shared is the belief about the mean of batches of which one is believed n.
func shared(n Normal, spread float64) Normal {
	v := n.SD*n.SD - spread*spread
	return Normal{n.Mean, math.Sqrt(math.Max(v, 0.25*n.SD*n.SD))}
}

// unusual is the belief about μ_k of a botanical not of the usual kind.
func (h Hyper) unusual() Normal {
	return Normal{h.Rate.Mean, math.Max(h.Rate.SD, shared(Normal{SD: UnusualSD}, h.RateSpread).SD)}
}

// rateLogPDF is the log density of μ_k.
func (h Hyper) rateLogPDF(v float64) float64 {
	if h.Doubt == 0 {
		return h.Rate.logPDF(v)
	}
	return math.Log((1-h.Doubt)*math.Exp(h.Rate.logPDF(v)) + h.Doubt*math.Exp(h.unusual().logPDF(v)))
}

// rateVariance is the variance of μ_k.
func (h Hyper) rateVariance() float64 {
	return (1-h.Doubt)*h.Rate.SD*h.Rate.SD + h.Doubt*math.Pow(h.unusual().SD, 2)
}

func (h Hyper) filled() Hyper {
	if h.RateSpread == 0 {
		h.RateSpread = DefaultRateSpread
	}
	if h.PlateauSpread == 0 {
		h.PlateauSpread = DefaultPlateauSpread
	}
	if h.DoseExponent == (Normal{}) {
		h.DoseExponent = Normal{0.6, 0.25}
	}
	return h
}

func (h Hyper) validate() error {
	p := Prior{LogRate: h.Rate, Plateau: h.Plateau, Doubt: h.Doubt, LogNoise: h.LogNoise}
	if err := p.Validate(); err != nil {
		return err
	}
	if !(h.RateSpread > 0 && h.RateSpread <= 5 && h.PlateauSpread > 0 && h.PlateauSpread <= 20 && h.DoseExponent.SD >= 0 && finite(h.DoseExponent.Mean) && finite(h.DoseExponent.SD)) {
		return fmt.Errorf("%w: the spreads between batches must be above 0 and the exponent of the dose a number", ErrPrior)
	}
	if !(h.Early >= 0 && h.Early <= mostEarly) {
		return fmt.Errorf("%w: an early share of %g must be between 0 and %g", ErrPrior, h.Early, mostEarly)
	}
	if !(h.ReferenceDose >= 0) || !finite(h.ReferenceDose) {
		return fmt.Errorf("%w: a reference dose of %g g/L must be zero or more", ErrPrior, h.ReferenceDose)
	}
	return nil
}

// mostEarly is the largest share washed off at once that leaves a rise to learn.
const mostEarly = 0.8

// BatchData is one finished or running batch of the botanical and cut.
type BatchData struct {
	Tastings  []Tasting
	DoseGPerL float64 // g botanical per litre of spirit; 0: not known, taken as the reference dose
	Shift     Shift   // conditions other than those of Hyper.Rate
	// Early is the share washed off at once of a batch of another cut; nil: that
	// of Hyper.
	Early *float64
}

// End is what a batch's own tastings say of the plateau it ends at, the beliefs
// about it taken out again; Variance is 0 where they say next to nothing.
type End struct{ Mean, Variance float64 }

// ErrBatch is wrapped by errors about a batch.
var ErrBatch = errors.New("a batch cannot be used")

// Learned is what the batches taught.
type Learned struct {
	Batches, Tastings int
	// Hyper-parameters after the batches: μ_k (ln 1/h), τ_k, μ_C at the
	// reference dose, τ_C, σ (points), β.
	Rate, RateSpread, Plateau, PlateauSpread, Noise, DoseExponent Interval
	ReferenceDose                                                 float64 // g/L, 0 when no dose is known
	// OwnRate and OwnPlateau are the shares of the library's uncertainty about
	// the botanical that the maker's own batches have removed, 0 to 1; the rest
	// is still the library's.
	OwnRate, OwnPlateau float64
	// Ends has one entry for each batch, in their order.
	Ends     []End
	Warnings []string

	hyper Hyper
	draws []draw
}

type draw struct{ w, muC, muK, tauC, tauK, sigma, beta float64 }

// Grid and sample sizes of Learn.
const (
	learnStep  = 0.06 // in ln k
	learnDraws = 3072 // with few batches; many batches leave less to integrate
	leastDraws = 640
	stageDraws = 224
	smallest   = 0.05 // of τ_k: below it batches are as good as equal
	reachSD    = 6.0
	// A trapezium rule of step h over a peak of spread s is wrong by a factor of
	// about 1 + 2·exp(−2π²s²/h²): 1.4 is 8e-5.
	strideSD = 1.4
)

// learner holds the sums that do not depend on the hyper-parameters.
type learner struct {
	h       Hyper
	lo      float64
	n       int
	rates   []float64    // 1/h, on the grid
	groups  []learnGroup // one per batch that teaches
	useDose bool
	scratch []float64
}

type learnGroup struct {
	index    int     // of the batch
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

// Learn fits the hierarchical model to batches of one botanical in one cut. The
// plateaus are integrated out in closed form and the rates on a grid; what is
// left, five or six hyper-parameters, is integrated with a fixed quasi-random
// point set, weighted to be exact (importance sampling from two t distributions,
// one laid at the mode and one over the prior, refitted until enough points
// count): the same input always gives the same answer.
// Spreads between batches are integrated over their priors, never set to their
// most likely value, which is often zero.
//
// References:
//
//	[1] Halton, J. H. (1960). On the efficiency of certain quasi-random
//	    sequences of points. Numerische Mathematik 2, 84-90.
//	[2] Gelman, A. (2006). Prior distributions for variance parameters in
//	    hierarchical models. Bayesian Analysis 1, 515-533.
//
// Without batches the result is the prior. Errors wrap ErrPrior, ErrBatch or
// ErrTasting.
func Learn(prior Hyper, batches []BatchData) (Learned, error) {
	h := prior.filled()
	out := Learned{hyper: h}
	if err := h.validate(); err != nil {
		return out, err
	}
	l, err := newLearner(&h, batches, &out)
	if err != nil {
		return out, err
	}
	out.hyper, out.ReferenceDose = h, h.ReferenceDose
	out.draws = l.sample(&out)
	out.summarise()
	out.Ends = make([]End, len(batches))
	for k := range l.groups {
		g := &l.groups[k]
		out.Ends[g.index] = l.end(g, &out)
	}
	return out, nil
}

func newLearner(h *Hyper, batches []BatchData, out *Learned) (*learner, error) {
	l := &learner{}
	logDose, doses := 0.0, 0
	unknown := 0
	widest := 5 * h.Rate.SD
	if h.Doubt > 0 {
		widest = math.Max(widest, 4.2*h.unusual().SD)
	}
	widest += 4*h.RateSpread + 1
	reach := widest
	for i, b := range batches {
		if !(b.DoseGPerL >= 0) || !finite(b.DoseGPerL) {
			return nil, fmt.Errorf("%w: number %d has a dose of %g g/L; it must be zero (not known) or more", ErrBatch, i+1, b.DoseGPerL)
		}
		if b.Early != nil && !(*b.Early >= 0 && *b.Early <= mostEarly) {
			return nil, fmt.Errorf("%w: number %d has an early share of %g; it must be between 0 and %g", ErrBatch, i+1, *b.Early, mostEarly)
		}
		if !finite(b.Shift.LogMean) || !(b.Shift.LogSD >= 0) || !finite(b.Shift.LogSD) || math.Abs(b.Shift.LogMean) > 10 {
			return nil, fmt.Errorf("%w: number %d has a shift of its rate that is no number", ErrBatch, i+1)
		}
		for j, t := range b.Tastings {
			if err := t.validate(j); err != nil {
				return nil, err
			}
		}
		reach = math.Max(reach, widest+math.Abs(b.Shift.LogMean)+3*b.Shift.LogSD)
		if b.DoseGPerL > 0 {
			logDose += math.Log(b.DoseGPerL)
			doses++
		} else {
			unknown++
		}
	}
	if h.ReferenceDose == 0 && doses > 0 {
		h.ReferenceDose = math.Exp(logDose / float64(doses))
	}
	if doses > 0 && unknown > 0 {
		out.Warnings = append(out.Warnings, "Some batches have no dose: they are taken to have the usual one.")
	}
	l.h = *h
	l.n = 2*int(reach/learnStep) + 1
	l.lo = h.Rate.Mean - learnStep*float64(l.n/2)
	l.scratch, l.rates = make([]float64, l.n), make([]float64, l.n)
	for i := range l.rates {
		l.rates[i] = math.Exp(l.lo + learnStep*float64(i))
	}
	for i, b := range batches {
		g := learnGroup{index: i, shift: b.Shift}
		early := h.Early
		if b.Early != nil {
			early = *b.Early
		}
		if b.DoseGPerL > 0 {
			g.dose = math.Log(b.DoseGPerL / h.ReferenceDose)
			l.useDose = l.useDose || math.Abs(g.dose) > 1e-9
		}
		people := tasters(b.Tastings)
		for _, person := range people {
			p, used := l.person(person, early)
			if used == 0 {
				continue
			}
			// The deviations of a batch's tasters from their middle add up to zero.
			p.tau2 = math.Pow(TasterSD*h.Plateau.Mean, 2) * (1 - 1/float64(len(people)))
			g.people = append(g.people, p)
			g.uncapped += p.n
			out.Tastings += used
		}
		if len(g.people) == 0 {
			continue
		}
		out.Batches++
		g.narrow = l.narrow(&g)
		l.groups = append(l.groups, g)
	}
	return l, nil
}

// person sums one taster's scores on the grid of ln k.
func (l *learner) person(ts []Tasting, early float64) (learnPerson, int) {
	p := learnPerson{ab: make([]float64, 2*l.n)}
	used := 0
	for _, t := range ts {
		if t.Hours <= 0 {
			continue
		}
		used++
		part := t.part()
		x := l.scratch
		for i, k := range l.rates {
			x[i] = early - (1-early)*math.Expm1(-k*t.Hours)
		}
		if t.Score == topScore {
			p.top = append(p.top, t.Score/part)
			p.x = append(p.x, append([]float64(nil), x...))
			continue
		}
		// The noise of a thin sample's score is as many times larger in the jar.
		v, y := part*part, t.Score/part
		p.n++
		p.yy += v * y * y
		for i := range x {
			p.ab[2*i] += v * x[i] * x[i]
			p.ab[2*i+1] += v * x[i] * y
		}
	}
	return p, used
}

// narrow finds the likeliest rate and is the SD of ln k under the batch's likelihood alone, or the spread of
// a normal peak as sharp as its sharpest turn, if that is less.
func (l *learner) narrow(g *learnGroup) float64 {
	s := math.Exp(l.h.LogNoise.Mean)
	lp := make([]float64, l.n)
	top := math.Inf(-1)
	for i := range lp {
		lp[i] = l.at(g, i, l.h.Plateau.Mean, l.h.Plateau.SD*l.h.Plateau.SD, s)
		if lp[i] > top {
			top, g.best = lp[i], i
		}
	}
	var w0, w1, w2, turn float64
	for i, v := range lp {
		w, u := math.Exp(v-top), float64(i)*learnStep
		w0 += w
		w1 += w * u
		w2 += w * u * u
		if i > 0 && i+1 < l.n && v > top-8 {
			turn = math.Max(turn, 2*v-lp[i-1]-lp[i+1])
		}
	}
	sd := math.Sqrt(math.Max(w2/w0-w1/w0*(w1/w0), learnStep*learnStep))
	return math.Min(sd, learnStep/math.Sqrt(turn))
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
		lp += logCDF(z)
		if j+1 < len(p.top) {
			h, gain := hazard(z), x*w/s
			mu += gain * h
			w = math.Max(w-gain*gain*h*(z+h), least)
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
	calm := math.Min(1, d.sigma/math.Exp(l.h.LogNoise.Mean))
	for k := range l.groups {
		g := &l.groups[k]
		low := math.Max(d.tauK, smallest)
		tau := math.Sqrt(low*low + g.shift.LogSD*g.shift.LogSD)
		narrow := g.narrow * calm
		peak := tau * narrow / math.Sqrt(tau*tau+narrow*narrow)
		r := nodes{mid: d.muK + g.shift.LogMean, tau: tau, m: d.muC, va: d.tauC * d.tauC, s2: 1 / (d.sigma * d.sigma), stride: max(1, int(strideSD/learnStep*peak))}
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
		for z := (l.lo + learnStep*float64(i) - r.mid) / r.tau; i >= r.first && i <= r.last; i, z = i+step, z+dz {
			var e, by float64
			if plain {
				ab := p.ab[2*i:][:2]
				a, b := ab[0]*r.s2, ab[1]*r.s2
				rx := b - r.m*a
				by = 1 / math.Sqrt(1+va*a)
				e = less + (r.m*(b+rx)+va*rx*rx*by*by)/2
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
		top = math.Max(top, buf[len(buf)-1])
	}
	s := 0.0
	for _, v := range buf {
		s += math.Exp(v - top)
	}
	return top + math.Log(s)
}

// end is the batch's own word on its plateau at the middle of what was learned,
// a score at the top of the scale taken as it stands: the plateau under a wide
// belief, summed over the rates, and that belief's precision subtracted.
func (l *learner) end(g *learnGroup, out *Learned) End {
	s2 := math.Exp(-2 * l.h.LogNoise.Mean)
	if out.Noise.Mean > 0 {
		s2 = 1 / (out.Noise.Mean * out.Noise.Mean)
	}
	m := out.Plateau.Mean * math.Exp(out.DoseExponent.Mean*g.dose)
	va := l.h.Plateau.SD*l.h.Plateau.SD + l.h.PlateauSpread*l.h.PlateauSpread
	mid, tau := out.Rate.Mean+g.shift.LogMean, math.Sqrt(math.Pow(out.RateSpread.Mean, 2)+math.Pow(out.Rate.SD, 2)+math.Pow(g.shift.LogSD, 2))
	top := math.Inf(-1)
	lp := make([]float64, l.n)
	for i := range lp {
		z := (l.lo + learnStep*float64(i) - mid) / tau
		lp[i] = l.at(g, i, m, va, 1/math.Sqrt(s2)) - z*z/2
		top = math.Max(top, lp[i])
	}
	var w0, w1, w2 float64
	for i, v := range lp {
		precision, pull := 1/va, m/va
		for k := range g.people {
			p := &g.people[k]
			a, b := p.ab[2*i], p.ab[2*i+1]
			for j, y := range p.top {
				a, b = a+p.x[j][i]*p.x[j][i], b+p.x[j][i]*y
			}
			own := s2 / (1 + p.tau2*a*s2)
			precision, pull = precision+a*own, pull+b*own
		}
		w, c := math.Exp(v-top), pull/precision
		w0, w1, w2 = w0+w, w1+w*c, w2+w*(c*c+1/precision)
	}
	mean := w1 / w0
	before, after := 1/va, 1/(w2/w0-mean*mean)
	gain := after - before
	if !(gain > 0.01*before) || !finite(mean) {
		return End{}
	}
	return End{Mean: (mean*after - m*before) / gain, Variance: 1 / gain}
}

// The search works on (μ_C, μ_k, ±τ_C, ±τ_k, ln σ, β), the last two only
// where they are free.
func (l *learner) dims() int {
	n := 4
	if l.h.LogNoise.SD > 0 {
		n++
	}
	if l.useDose && l.h.DoseExponent.SD > 0 {
		n++
	}
	return n
}

func (l *learner) unpack(x []float64) draw {
	d := draw{muC: x[0], muK: x[1], tauC: math.Abs(x[2]), tauK: math.Abs(x[3]), sigma: math.Exp(l.h.LogNoise.Mean), beta: l.h.DoseExponent.Mean}
	i := 4
	if l.h.LogNoise.SD > 0 {
		d.sigma = math.Exp(x[i])
		i++
	}
	if i < len(x) {
		d.beta = x[i]
	}
	return d
}

// density is the log posterior density in the coordinates of the search.
func (l *learner) density(x []float64) float64 {
	for _, v := range x[4:] {
		if math.Abs(v) > 12 {
			return math.Inf(-1)
		}
	}
	d := l.unpack(x)
	v := l.h.Plateau.logPDF(d.muC) + l.h.rateLogPDF(d.muK)
	v -= d.tauC * d.tauC / (2 * l.h.PlateauSpread * l.h.PlateauSpread)
	v -= d.tauK * d.tauK / (2 * l.h.RateSpread * l.h.RateSpread)
	if l.h.LogNoise.SD > 0 {
		v += l.h.LogNoise.logPDF(x[4])
	}
	if n := len(x); n > 4 && (l.h.LogNoise.SD == 0 || n > 5) {
		v += l.h.DoseExponent.logPDF(x[n-1])
	}
	return v + l.evidence(d)
}

// sample returns weighted draws of the hyper-parameters.
func (l *learner) sample(out *Learned) []draw {
	dim := l.dims()
	start := []float64{l.h.Plateau.Mean, l.h.Rate.Mean, l.h.PlateauSpread / 2, l.h.RateSpread / 2}
	scale := []float64{l.h.Plateau.SD, l.h.Rate.SD, l.h.PlateauSpread / 2, l.h.RateSpread / 2}
	if l.h.LogNoise.SD > 0 {
		start, scale = append(start, l.h.LogNoise.Mean), append(scale, l.h.LogNoise.SD)
	}
	if len(start) < dim {
		start, scale = append(start, l.h.DoseExponent.Mean), append(scale, l.h.DoseExponent.SD)
	}
	mode := l.climb(start, scale)
	mode[2], mode[3] = math.Abs(mode[2]), math.Abs(mode[3])
	wide := mat.NewSymDense(dim, nil)
	for i, v := range scale {
		wide.SetSym(i, i, v*v)
	}
	wide.SetSym(1, 1, l.h.rateVariance())
	var prior mat.Cholesky
	prior.Factorize(wide)
	p := proposal{newBump(0.7, mode, l.curvature(mode, scale)), newBump(0.3, start, &prior)}
	final := min(learnDraws, max(leastDraws, 4*learnDraws/max(1, len(l.groups))))
	// Few points find where many belong; a sample that leans on too few of its
	// points is drawn again about what it has shown.
	const rounds, leastShare, leastPoints = 6, 0.35, 150.0
	for round := range rounds {
		laid := l.lay(p, stageDraws)
		p = p.refit(&laid)
		if laid.share() > leastShare && round > 0 {
			break
		}
	}
	laid := l.lay(p, final)
	for last, again := laid, 3; again > 0 && last.share() < leastShare; again-- {
		last = l.lay(p.refit(&last), final)
		if last.share() > laid.share() {
			laid = last
		}
	}
	if n := laid.share() * float64(final); n < leastPoints {
		out.Warnings = append(out.Warnings, fmt.Sprintf("What the batches have in common is uncertain: the averages rest on only %.0f effective points.", n))
	}
	draws := make([]draw, final)
	for i, x := range laid.xs {
		draws[i] = l.unpack(x)
		draws[i].w = laid.w[i]
	}
	return draws
}

// bump is a t distribution with tDF degrees of freedom, folded so that the two
// spreads are positive: one of those that points are drawn from.
type bump struct {
	weight         float64 // share of the points
	centre         []float64
	lower, inverse mat.TriDense // of the Cholesky factor of its matrix
	height         float64      // weight over the determinant of lower
}

func newBump(weight float64, centre []float64, chol *mat.Cholesky) *bump {
	b := &bump{weight: weight, centre: centre}
	chol.LTo(&b.lower)
	_ = b.inverse.InverseTri(&b.lower) // warns of a bad condition only: a Cholesky factor has an inverse
	b.height = weight
	for i := range centre {
		b.height *= b.inverse.At(i, i)
	}
	return b
}

// density is that of the folded bump, times its weight, but for a factor that
// all bumps share.
func (b *bump) density(x []float64) float64 {
	p := 0.0
	for fold := range 4 {
		q := 0.0
		for i := range x {
			z := 0.0
			row := b.inverse.RawTriangular().Data[i*len(x):]
			for j := 0; j <= i; j++ {
				v := x[j]
				if j == 2 && fold&1 != 0 || j == 3 && fold&2 != 0 {
					v = -v
				}
				z += row[j] * (v - b.centre[j])
			}
			q += z * z
		}
		u := 1 / (1 + q/tDF)
		v := u * u // to the power (tDF + dimensions)/2
		for range len(x) / 2 {
			v *= u
		}
		if len(x)%2 == 1 {
			v *= math.Sqrt(u)
		}
		p += v
	}
	return b.height * p
}

// proposal is what points are drawn from: a mixture, since the scores of a jar far
// from what the library says have two explanations, an unusual botanical and a
// taster less sure than usual.
type proposal []*bump

// leastBump is the share of the points that every bump keeps, and the share of the
// whole belief that is mixed into each: none may die or shrink to a point by the
// accident of a few points.
const leastBump = 0.15

// refit moves the bumps to what the laid points show: one step of expectation
// and maximisation, the weights evened out where few points have nearly all.
func (p proposal) refit(laid *points) proposal {
	dim := len(p[0].centre)
	w := laid.evened(float64(10 * dim))
	mean, cov := moments(laid.xs, w)
	own := make([]float64, len(w))
	out := make(proposal, len(p))
	for k := range p {
		share := 0.0
		for i := range own {
			own[i] = w[i] * laid.by[i*len(p)+k]
			share += own[i]
		}
		m, c := mean, cov
		if share > leastBump/2 {
			for i := range own {
				own[i] /= share
			}
			m, c = moments(laid.xs, own)
			for i := range dim {
				for j := i; j < dim; j++ {
					c.SetSym(i, j, (1-leastBump)*c.At(i, j)+leastBump*cov.At(i, j))
				}
			}
		}
		var chol mat.Cholesky
		if !chol.Factorize(c) {
			return p
		}
		out[k] = newBump(leastBump+(1-leastBump*float64(len(p)))*share, m, &chol)
	}
	return out
}

// moments are the mean and the covariance of points with weights that add to 1.
func moments(xs [][]float64, w []float64) ([]float64, *mat.SymDense) {
	dim := len(xs[0])
	mean, cov := make([]float64, dim), mat.NewSymDense(dim, nil)
	for i, x := range xs {
		for j, v := range x {
			mean[j] += w[i] * v
		}
	}
	sum := cov.RawSymmetric().Data // its upper triangle
	for i, x := range xs {
		if w[i] == 0 {
			continue
		}
		for a := range mean {
			by := w[i] * (x[a] - mean[a])
			for b := a; b < dim; b++ {
				sum[a*dim+b] += by * (x[b] - mean[b])
			}
		}
	}
	return mean, cov
}

// points are such with weights that add to 1, and the share of each bump in each
// point.
type points struct {
	xs    [][]float64
	w, by []float64
}

// share is the share of the points that count.
func (s *points) share() float64 { return effective(s.w) / float64(len(s.w)) }

func effective(w []float64) float64 {
	total, squares := 0.0, 0.0
	for _, v := range w {
		total += v
		squares += v * v
	}
	return total * total / squares
}

// evened are the weights, drawn together until at least n points count.
func (s *points) evened(n float64) []float64 {
	w := slices.Clone(s.w)
	for range 8 {
		if effective(w) >= n {
			break
		}
		for i, v := range w {
			w[i] = math.Sqrt(v)
		}
	}
	total := 0.0
	for _, v := range w {
		total += v
	}
	for i := range w {
		w[i] /= total
	}
	return w
}

// climb finds the mode, in units of scale.
func (l *learner) climb(start, scale []float64) []float64 {
	x := append([]float64(nil), start...)
	to := func(z []float64) []float64 {
		for i := range x {
			x[i] = start[i] + scale[i]*z[i]
		}
		return x
	}
	p := optimize.Problem{Func: func(z []float64) float64 {
		v := -l.density(to(z))
		if math.IsNaN(v) {
			return math.Inf(1)
		}
		return v
	}}
	r, err := optimize.Minimize(p, make([]float64, len(start)), &optimize.Settings{FuncEvaluations: 150,
		Converger: &optimize.FunctionConverge{Absolute: 1e-3, Iterations: 25}}, &optimize.NelderMead{SimplexSize: 0.4})
	if r == nil || err != nil && r.X == nil {
		return append([]float64(nil), start...)
	}
	return append([]float64(nil), to(r.X)...)
}

// curvature is the Cholesky factor of the inverse Hessian at the mode, kept
// positive: a flat direction gets the width of the prior.
func (l *learner) curvature(mode, scale []float64) *mat.Cholesky {
	n := len(mode)
	f := func(z []float64) float64 {
		x := make([]float64, n)
		for i := range x {
			x[i] = mode[i] + scale[i]*z[i]
		}
		return -l.density(x)
	}
	const h = 0.08
	hess := mat.NewSymDense(n, nil)
	z := make([]float64, n)
	f0 := f(z)
	for i := range n {
		for j := i; j < n; j++ {
			clear(z)
			var v float64
			if i == j {
				z[i] = h
				up := f(z)
				z[i] = -h
				v = (up - 2*f0 + f(z)) / (h * h)
			} else {
				for _, s := range [4][3]float64{{1, 1, 1}, {1, -1, -1}, {-1, 1, -1}, {-1, -1, 1}} {
					z[i], z[j] = s[0]*h, s[1]*h
					v += s[2] * f(z) / (4 * h * h)
				}
			}
			if !finite(v) {
				v = 0
			}
			hess.SetSym(i, j, v)
		}
	}
	var e mat.EigenSym
	e.Factorize(hess, true)
	var vec mat.Dense
	e.VectorsTo(&vec)
	val := e.Values(nil)
	cov := mat.NewSymDense(n, nil)
	for a := range n {
		for b := a; b < n; b++ {
			s := 0.0
			for k := range n {
				s += vec.At(a, k) * vec.At(b, k) / math.Max(val[k], 1)
			}
			cov.SetSym(a, b, 1.3*s*scale[a]*scale[b])
		}
	}
	var c mat.Cholesky
	c.Factorize(cov)
	return &c
}

// lay draws n points of the proposal and weighs them.
func (l *learner) lay(p proposal, n int) points { return l.layOn(p, tPoints(l.dims())[:n]) }

// layOn lays the standard points, each bump taking its share of them in turn.
func (l *learner) layOn(p proposal, standard [][]float64) points {
	dim, n := l.dims(), len(standard)
	all := make([]float64, n*dim)
	out := points{xs: make([][]float64, n), w: make([]float64, n), by: make([]float64, n*len(p))}
	ends, sum := make([]int, len(p)), 0.0
	for k, b := range p {
		sum += b.weight
		ends[k] = int(math.Round(sum * float64(n)))
	}
	top, k := math.Inf(-1), 0
	for i, t := range standard {
		for i >= ends[k] && k+1 < len(p) {
			k++
		}
		x, lower := all[i*dim:(i+1)*dim:(i+1)*dim], p[k].lower.RawTriangular().Data
		for a := range x {
			x[a] = p[k].centre[a]
			for b := 0; b <= a; b++ {
				x[a] += lower[a*dim+b] * t[b]
			}
		}
		x[2], x[3] = math.Abs(x[2]), math.Abs(x[3])
		by, q := out.by[i*len(p):(i+1)*len(p)], 0.0
		for j, b := range p {
			by[j] = b.density(x)
			q += by[j]
		}
		for j := range by {
			by[j] /= q
		}
		w := l.density(x) - math.Log(q)
		if math.IsNaN(w) {
			w = math.Inf(-1)
		}
		out.xs[i], out.w[i] = x, w
		top = math.Max(top, w)
	}
	total := 0.0
	for i, v := range out.w {
		out.w[i] = math.Exp(v - top)
		total += out.w[i]
	}
	for i := range out.w {
		out.w[i] /= total
	}
	return out
}

// tDF is the degrees of freedom of the proposal.
const tDF = 4

// tPoints are learnDraws standard points of the proposal in dim dimensions; they
// depend on nothing else and are laid once.
func tPoints(dim int) [][]float64 { return tPointSets[dim]() }

var tPointSets = func() (sets [7]func() [][]float64) {
	for dim := range sets {
		sets[dim] = sync.OnceValue(func() [][]float64 { return layPoints(dim, learnDraws) })
	}
	return sets
}()

func layPoints(dim, n int) [][]float64 {
	primes := []int{2, 3, 5, 7, 11, 13, 17}
	out, all := make([][]float64, n), make([]float64, n*dim)
	for i := range out {
		z := all[i*dim : (i+1)*dim : (i+1)*dim]
		s := math.Sqrt(tDF / chiSquared4(radicalInverse(i+37, primes[dim])))
		for j := range z {
			z[j] = s * normalQuantile(radicalInverse(i+37, primes[j]))
		}
		out[i] = z
	}
	return out
}

// chiSquared4 is the quantile of χ² with 4 degrees of freedom, whose
// distribution function is 1 − (1 + x/2)·exp(−x/2).
func chiSquared4(p float64) float64 {
	y := math.Sqrt(2*p) + 2*p*p // half of it: right at both ends, then Newton
	for range 20 {
		step := (p - 1 + (1+y)*math.Exp(-y)) / (y * math.Exp(-y))
		y = math.Max(y+math.Min(step, 2), y/4)
		if math.Abs(step) < 1e-12*y {
			break
		}
	}
	return 2 * y
}

// radicalInverse mirrors the digits of i at the point in a base: the Halton
// sequence.
func radicalInverse(i, base int) float64 {
	f, r := 1.0, 0.0
	for ; i > 0; i /= base {
		f /= float64(base)
		r += f * float64(i%base)
	}
	return r
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

// summarise fills the intervals from the draws.
func (out *Learned) summarise() {
	of := func(f func(draw) float64) Interval { return weighted(out.draws, f) }
	out.Rate, out.Plateau = of(func(d draw) float64 { return d.muK }), of(func(d draw) float64 { return d.muC })
	out.RateSpread, out.PlateauSpread = of(func(d draw) float64 { return math.Max(d.tauK, smallest) }), of(func(d draw) float64 { return d.tauC })
	out.Noise, out.DoseExponent = of(func(d draw) float64 { return d.sigma }), of(func(d draw) float64 { return d.beta })
	out.OwnRate = math.Max(0, 1-out.Rate.SD*out.Rate.SD/out.hyper.rateVariance())
	out.OwnPlateau = math.Max(0, 1-math.Pow(out.Plateau.SD/out.hyper.Plateau.SD, 2))
	if out.Batches == 0 {
		out.OwnRate, out.OwnPlateau = 0, 0
	}
}

// weighted describes a function of the draws.
func weighted(draws []draw, f func(draw) float64) Interval {
	type pair struct{ v, w float64 }
	ps := make([]pair, len(draws))
	var iv Interval
	for i, d := range draws {
		ps[i] = pair{f(d), d.w}
		iv.Mean += d.w * ps[i].v
	}
	s2 := 0.0
	for _, p := range ps {
		s2 += p.w * (p.v - iv.Mean) * (p.v - iv.Mean)
	}
	iv.SD = math.Sqrt(s2)
	slices.SortFunc(ps, func(a, b pair) int { return cmp.Compare(a.v, b.v) })
	out := [5]*float64{&iv.P05, &iv.P25, &iv.Median, &iv.P75, &iv.P95}
	at, c, last := 0, 0.0, math.Inf(-1)
	fivePoints := [5]float64{0.05, 0.25, 0.5, 0.75, 0.95}
	for _, p := range ps {
		mid := c + p.w/2
		for at < 5 && mid >= fivePoints[at] {
			*out[at] = p.v
			if mid > c-p.w/2 && finite(last) && c > 0 { // between the two points
				prev := c - p.w/2
				if t := (fivePoints[at] - prev) / (mid - prev); t > 0 && t < 1 {
					*out[at] = last + t*(p.v-last)
				}
			}
			at++
		}
		c += p.w
		last = p.v
	}
	for ; at < 5; at++ {
		*out[at] = last
	}
	return iv
}

// Prior is the belief about the next batch with a dose in g/L (0: the reference
// dose) under the conditions of the library's rate; use Shifted for others. Its
// spread holds the uncertainty of the botanical and that from batch to batch.
func (out Learned) Prior(doseGPerL float64) Prior {
	rel := 0.0
	if doseGPerL > 0 && out.ReferenceDose > 0 {
		rel = math.Log(doseGPerL / out.ReferenceDose)
	}
	var k, c, s float64
	for _, d := range out.draws {
		k += d.w * d.muK
		c += d.w * d.muC * math.Exp(d.beta*rel)
		s += d.w * math.Log(d.sigma)
	}
	var k2, k4, c2, s2 float64
	for _, d := range out.draws {
		own := math.Pow(math.Max(d.tauK, smallest), 2)
		by := (d.muK - k) * (d.muK - k)
		k2 += d.w * (by + own)
		k4 += d.w * (by*by + 6*by*own + 3*own*own)
		m, ls := d.muC*math.Exp(d.beta*rel), math.Log(d.sigma)
		c2 += d.w * ((m-c)*(m-c) + d.tauC*d.tauC)
		s2 += d.w * (ls - s) * (ls - s)
	}
	sd, doubt := out.hyper.split(k2, k4)
	return Prior{LogRate: Normal{k, sd}, Doubt: doubt, Plateau: Normal{c, math.Sqrt(c2)}, Lean: out.lean(rel, k, c),
		LogNoise: Normal{s, math.Sqrt(s2)}, Early: out.hyper.Early}
}

// lean is the slope of the next jar's ln k, k in the mean, on the logarithm of its
// plateau, c in the mean: of three plateaus of each draw, the nodes of a normal
// distribution.
func (out Learned) lean(rel, k, c float64) float64 {
	if out.Batches == 0 {
		return 0
	}
	const rootThree = 1.7320508075688772
	var w1, w2, both float64
	for _, d := range out.draws {
		m := d.muC * math.Exp(d.beta*rel)
		for _, node := range [3][2]float64{{-rootThree, 1.0 / 6}, {0, 2.0 / 3}, {rootThree, 1.0 / 6}} {
			w, v := d.w*node[1], math.Log(math.Max(m+node[0]*d.tauC, c/10)) // as low as a plateau may be
			w1, w2, both = w1+w*v, w2+w*v*v, both+w*v*(d.muK-k)
		}
	}
	if v := w2 - w1*w1; v > 0 {
		return both / v
	}
	return 0
}

// split finds the spread of a jar of the usual kind and the chance of another such
// that a Prior of them has the second and fourth central moments of ln k: without
// batches it is the library's own, and where they have settled the rate, so that
// what is left is normal, no doubt is left either. The doubt never grows.
func (h Hyper) split(second, fourth float64) (sd, doubt float64) {
	const wide = UnusualSD * UnusualSD
	// Both moments of (1 − d)·N(0, x) + d·N(0, wide), solved for x.
	x := (wide*second - fourth/3) / (wide - second)
	least := (second - h.Doubt*wide) / (1 - h.Doubt)
	if !(second < wide) {
		x = least
	}
	x = math.Min(second, math.Max(x, math.Max(least, second/4)))
	return math.Sqrt(x), math.Min(h.Doubt, math.Max(0, (second-x)/(wide-x)))
}

// TimeToShare describes the time to a share of the plateau in a batch nobody has
// tasted, tails and all: wider than the normal Prior says when few batches speak.
func (out Learned) TimeToShare(share float64) Wait {
	early := out.hyper.Early
	switch {
	case share <= early:
		return Wait{}
	case !(share < 1):
		inf := math.Inf(1)
		return Wait{Interval: Interval{inf, inf, inf, inf, inf, inf, inf}, Never: 1, P10: inf, P90: inf}
	}
	n := math.Log(math.Log((1 - early) / (1 - share)))
	f := func(v float64) (c float64) {
		for _, x := range out.draws {
			c += x.w * fastCDF(phiTable(), (v-n+x.muK)/math.Max(x.tauK, smallest))
		}
		return c
	}
	var w Wait
	var m, m2 float64
	first, last := math.Inf(1), math.Inf(-1)
	for _, x := range out.draws {
		reach := phiLimit * math.Max(x.tauK, smallest)
		first, last = math.Min(first, n-x.muK-reach), math.Max(last, n-x.muK+reach)
		t2 := math.Pow(math.Max(x.tauK, smallest), 2)
		m += x.w * math.Exp(n-x.muK+t2/2)
		m2 += x.w * math.Exp(2*(n-x.muK)+2*t2)
	}
	w.Mean, w.SD = m, math.Sqrt(math.Max(0, m2-m*m))
	w.fill(func(q float64) float64 {
		lo, hi := first, last
		for hi-lo > 1e-7 {
			if mid := (lo + hi) / 2; f(mid) < q {
				lo = mid
			} else {
				hi = mid
			}
		}
		return math.Exp((lo + hi) / 2)
	})
	return w
}
