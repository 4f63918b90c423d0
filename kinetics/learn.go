package kinetics

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
)

// hyper is what is believed of a botanical in one cut before any batch: the
// spread of batches about it is a part of the belief, never zero.
//
//	ln k_j ~ N(μ_k + shift_j, τ_k²),  C_j ~ N(μ_C·(dose_j/reference)^β, τ_C²)
type hyper struct {
	// rate is that of μ_k, ln(1/h): that the botanical of this maker is not of the
	// usual kind all its batches share, so it is settled once for them.
	rate    kinds
	plateau kinds // of μ_C at the reference dose, in the same way
	// rateSpread and plateauSpread are the scales of the half-normal priors of
	// τ_k and τ_C.
	rateSpread, plateauSpread float64
	doseExponent              Normal  // β
	referenceDose             float64 // g/L; 0: the geometric mean of the batches
	logNoise                  Normal  // as in Prior, shared by all batches
	// early is the share of the plateau washed off at once: fixed, and rate is then
	// that of the slow rest.
	early  float64
	course course // the family of shapes: a botanical rises by the same one in all batches
	most   int    // scores of a batch that are read
}

// Scales of the spread between batches: of ln k, and of the plateau in points.
// Judgement: what a library does not know of a rate is which plant, how it is cut,
// and how this maker shakes, keeps and tastes. The batches of one maker share
// nearly all of that; what is left between them, lots and a day's hand at the
// mortar, is a third, not a factor of two.
const (
	rateSpread    = 0.3
	plateauSpread = 1.5
)

// hyper turns the belief about one batch into one about the botanical such that
// without data a new batch is believed to be what it was before: the spread of a
// batch is the uncertainty of the mean plus the batch-to-batch spread, and its
// doubt is that of the mean. The exponent of the dose lies between those of smell
// (0.3 to 0.6) and of taste (0.7 to 1.3).
func (p Prior) hyper() hyper {
	of := func(usual Normal, wide, spread, doubt float64) kinds {
		n := shared(usual, spread)
		return kinds{n, doubt, max(n.SD, shared(Normal{SD: wide}, spread).SD)}
	}
	const known = 0.01 // a noise is never known better than to a hundredth
	return hyper{
		rate:       of(p.LogRate, unusualSD, rateSpread, p.Doubt),
		plateau:    of(p.Plateau, unusualPlateau*p.Plateau.Mean, plateauSpread, plateauDoubt*p.Doubt),
		rateSpread: rateSpread, plateauSpread: plateauSpread, doseExponent: Normal{0.6, 0.25},
		logNoise: Normal{p.LogNoise.Mean, max(p.LogNoise.SD, known)}, early: p.Early,
		most: mostTold, course: p.course,
	}
}

// shared is the belief about the mean of batches of which one is believed n.
func shared(n Normal, spread float64) Normal {
	v := n.SD*n.SD - spread*spread
	return Normal{n.Mean, math.Sqrt(max(v, 0.25*n.SD*n.SD))}
}

// mostTold is how many of its scores a batch is heard with at the most. Judgement: its
// end is then known to a tenth of a point or two, when the next batch of the same maker
// ends more than a point away, and the sum does not grow with the jar.
const mostTold = 128

// mostEarly is the largest share washed off at once that leaves a rise to learn.
const mostEarly = 0.8

// Batch is one finished or running batch of the botanical and cut.
type Batch struct {
	Tastings  []Tasting
	DoseGPerL float64 // g botanical per litre of spirit; 0: not known, taken as the reference dose
	Shift     Shift   // conditions other than those of the prior's rate
	// Early is the share washed off at once of a batch of another cut; nil: that
	// of the prior.
	Early *float64
	// Lot is the packet it came from, "" where that is not known.
	Lot string
}

var errBatch = errors.New("a batch cannot be used")

// validate reports what of batch i cannot be computed with.
func (b *Batch) validate(i int) error {
	bad := func(format string, a ...any) error {
		return fmt.Errorf("%w: number %d has %s", errBatch, i+1, fmt.Sprintf(format, a...))
	}
	switch s := b.Shift; {
	case !(b.DoseGPerL >= 0) || !finite(b.DoseGPerL):
		return bad("a dose of %g g/L; it must be zero (not known) or more", b.DoseGPerL)
	case b.Early != nil && !(*b.Early >= 0 && *b.Early <= mostEarly):
		return bad("an early share of %g; it must be between 0 and %g", *b.Early, mostEarly)
	case !(math.Abs(s.LogMean) <= 10) || !(s.LogSD >= 0) || !finite(s.LogSD):
		return bad("a shift of its rate that is no number")
	}
	for j, t := range b.Tastings {
		if err := t.validate(j); err != nil {
			return err
		}
	}
	return nil
}

// Learned is what the batches taught.
type Learned struct {
	Batches, Tastings int
	// Rate is μ_k (ln 1/h), Plateau μ_C (points) at the reference dose.
	Rate, Plateau Normal
	ReferenceDose float64 // g/L, 0 when no dose is known
	// OwnRate and OwnPlateau are the shares of the prior's uncertainty about
	// the botanical that the maker's own batches have removed, 0 to 1; the rest
	// is still the library's.
	OwnRate, OwnPlateau float64
	Warnings            []string

	rateSpread, plateauSpread, noise, doseExponent Normal // τ_k, τ_C, σ (points), β

	hyper hyper
	ends  []end // of each batch
	draws []draw
}

type draw struct {
	w, muC, muK, tauC, tauK, sigma, beta float64
	shape                                int // of the family
}

// Learn fits the hierarchical model to batches of one botanical in one cut. prior
// is the belief about a batch at the reference dose (g/L; 0: the geometric mean of
// the batches' doses). Each shape of the family is fitted by itself and weighed by the
// chance of all scores; that nothing comes is a jar's own accident and is not learned.
// The plateaus are integrated out in closed form and the rates
// on a grid; what is left, five or six hyper-parameters, is integrated with a fixed
// quasi-random point set, weighted to be exact (importance sampling from two t
// distributions, one laid at the mode and one over the prior, refitted until enough
// points count): the same input always gives the same answer.
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
// Without batches the result is the prior. Errors name what is wrong with the
// prior, a batch or a tasting.
func Learn(prior Prior, referenceDose float64, batches []Batch) (Learned, error) {
	if err := prior.validate(); err != nil {
		return Learned{}, err
	}
	if !(referenceDose >= 0) || !finite(referenceDose) {
		return Learned{}, fmt.Errorf("%w: a dose of %g g/L must be zero or more", errPrior, referenceDose)
	}
	h := prior.hyper()
	h.referenceDose = referenceDose
	return h.learn(batches)
}

func (h hyper) learn(batches []Batch) (Learned, error) {
	for i := range batches {
		if err := batches[i].validate(i); err != nil {
			return Learned{}, err
		}
	}
	var out Learned
	forms := h.forms(batches, &out)
	likeliest := forms[0]
	for _, f := range forms {
		out.draws = append(out.draws, f.draws...)
		if f.weight > likeliest.weight {
			likeliest = f
		}
	}
	l := likeliest.learner
	l.told(batches, &out)
	out.hyper, out.ReferenceDose = l.h, l.h.referenceDose
	out.summarise()
	own := Learned{hyper: l.h, draws: likeliest.draws}
	own.summarise()
	out.ends = make([]end, len(batches))
	for k := range l.groups {
		out.ends[l.groups[k].index] = l.end(&l.groups[k], &own)
	}
	return out, nil
}

// summarise fills the figures from the draws.
func (out *Learned) summarise() {
	out.Rate = middle(out.draws, draw.rate)
	out.Plateau = middle(out.draws, draw.end)
	out.rateSpread = middle(out.draws, func(d draw) float64 { return max(d.tauK, smallest) })
	out.plateauSpread = middle(out.draws, func(d draw) float64 { return d.tauC })
	out.noise = middle(out.draws, func(d draw) float64 { return d.sigma })
	out.doseExponent = middle(out.draws, func(d draw) float64 { return d.beta })
	if out.Batches > 0 {
		out.OwnRate = max(0, 1-out.Rate.SD*out.Rate.SD/out.hyper.rate.variance())
		out.OwnPlateau = max(0, 1-out.Plateau.SD*out.Plateau.SD/out.hyper.plateau.variance())
	}
}

func (d draw) rate() float64 { return d.muK }
func (d draw) end() float64  { return d.muC }

// Intervals are Rate and Plateau with their quantiles.
func (out Learned) Intervals() (rate, plateau Interval) {
	return weighted(out.draws, draw.rate), weighted(out.draws, draw.end)
}

// middle is the mean and the standard deviation of a function of the draws.
func middle(draws []draw, f func(draw) float64) Normal {
	weight, mean, variance := 0.0, 0.0, 0.0
	for _, d := range draws {
		weight, mean = weight+d.w, mean+d.w*f(d)
	}
	mean /= weight
	for _, d := range draws {
		variance += d.w * (f(d) - mean) * (f(d) - mean)
	}
	return Normal{mean, math.Sqrt(variance / weight)}
}

// weighted describes a function of the draws.
func weighted(draws []draw, f func(draw) float64) Interval {
	type pair struct{ v, w float64 }
	ps := make([]pair, len(draws))
	for i, d := range draws {
		ps[i] = pair{f(d), d.w}
	}
	m := middle(draws, f)
	iv := Interval{Mean: m.Mean, SD: m.SD}
	sort.Slice(ps, func(i, j int) bool { return ps[i].v < ps[j].v })
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
	all := out.next(out.draws, rel)
	s := middle(out.draws, func(d draw) float64 { return math.Log(d.sigma) })
	p := Prior{
		LogRate: all.rate, Doubt: all.doubt, LogNoise: s, Early: out.hyper.early, course: out.hyper.course,
	}.WithPlateau(all.plateau.Mean, all.plateau.SD)
	shapes := families[p.course]().shapes
	if out.Batches == 0 || len(shapes) == 1 {
		p.Lean = out.lean(out.draws, rel, all)
		return p
	}
	p.taught, p.Doubt = true, 0
	alive := 1.0
	for h, s := range shapes {
		f := &p.forms[h]
		*f = form{weight: s.weight, rate: p.LogRate, plateau: p.Plateau}
		if s.rise == nil {
			alive -= s.weight
		}
	}
	for h, s := range shapes {
		f := &p.forms[h]
		if s.rise == nil {
			continue
		}
		own := out.draws[max(slices.IndexFunc(out.draws, func(d draw) bool { return d.shape == h }), 0):]
		// they lie shape by shape
		if after := slices.IndexFunc(own, func(d draw) bool { return d.shape != h }); after >= 0 {
			own = own[:after]
		}
		if f.weight = 0; len(own) > 0 {
			*f = out.next(own, rel)
			f.lean = out.lean(own, rel, *f)
			f.weight *= alive
		}
		p.Doubt += f.weight * f.doubt
	}
	return p
}

// next is the form of the next batch's prior that some of the draws give.
func (out Learned) next(draws []draw, rel float64) form {
	end := func(d draw) float64 { return d.muC * math.Exp(d.beta*rel) }
	k, c := middle(draws, func(d draw) float64 { return d.muK }).Mean, middle(draws, end).Mean
	var w, k2, k4, c2 float64
	for _, d := range draws {
		own := math.Pow(max(d.tauK, smallest), 2)
		by, m := (d.muK-k)*(d.muK-k), end(d)
		w += d.w
		k2 += d.w * (by + own)
		k4 += d.w * (by*by + 6*by*own + 3*own*own)
		c2 += d.w * ((m-c)*(m-c) + d.tauC*d.tauC)
	}
	sd, doubt := out.hyper.split(k2/w, k4/w)
	// The doubt about the plateau is beside that about the rate, and as much of it is left.
	odd, wide := plateauDoubt*doubt, unusualPlateau*c
	c2 = max((c2/w-odd*wide*wide)/(1-odd), c2/w/4)
	return form{weight: w, rate: Normal{k, sd}, plateau: plausible(c, math.Sqrt(c2)), doubt: doubt}
}

// lean is the slope of the next jar's ln k on the logarithm of its plateau: of three
// plateaus of each draw, the nodes of a normal distribution. Many batches alike leave
// the plateau no spread that a slope could be read off: then it is 0.
func (out Learned) lean(draws []draw, rel float64, f form) float64 {
	if out.Batches == 0 {
		return 0
	}
	k, c := f.rate.Mean, f.plateau.Mean
	const rootThree = 1.7320508075688772
	var w0, w1, w2, both float64
	for _, d := range draws {
		m := d.muC * math.Exp(d.beta*rel)
		for _, node := range [3][2]float64{{-rootThree, 1.0 / 6}, {0, 2.0 / 3}, {rootThree, 1.0 / 6}} {
			w, v := d.w*node[1], math.Log(max(m/c+node[0]*d.tauC/c, 0.1)) // as low as a plateau may be
			w0, w1, w2, both = w0+w, w1+w*v, w2+w*v*v, both+w*v*(d.muK-k)
		}
	}
	if v := w2/w0 - w1/w0*(w1/w0); v > leastSpread*leastSpread {
		return max(-mostLean, min(mostLean, both/w0/v))
	}
	return 0
}

// leastSpread is of ln plateau, below which its draws differ by chance alone.
const leastSpread = 0.001

// split finds the spread of a jar of the usual kind and the chance of another such
// that a Prior of them has the second and fourth central moments of ln k: without
// batches it is the library's own, and where they have settled the rate, so that
// what is left is normal, no doubt is left either. The doubt never grows.
func (h hyper) split(second, fourth float64) (sd, doubt float64) {
	const wide = unusualSD * unusualSD
	// Both moments of (1 − d)·N(0, x) + d·N(0, wide), solved for x.
	x := (wide*second - fourth/3) / (wide - second)
	least := (second - h.rate.doubt*wide) / (1 - h.rate.doubt)
	if !(second < wide) {
		x = least
	}
	x = min(second, max(x, max(least, second/4)))
	return math.Sqrt(x), min(h.rate.doubt, max(0, (second-x)/(wide-x)))
}

// TimeToShare describes the time to a share of the plateau in a batch nobody has
// tasted, tails and all: wider than the normal Prior says when few batches speak.
func (out Learned) TimeToShare(share float64) Wait {
	early := out.hyper.early
	switch {
	case share <= early:
		return Wait{}
	case !(share < 1):
		return Wait{Never: 1}.Map(func(float64) float64 { return math.Inf(1) })
	}
	var reach [mostShapes]float64 // ln x by shape
	fam := families[out.hyper.course]()
	for h := range fam.shapes {
		reach[h] = fam.reach(h, (share-early)/(1-early))
	}
	var w Wait
	first, last := math.Inf(1), math.Inf(-1)
	for _, x := range out.draws {
		n, room := reach[x.shape], phiLimit*max(x.tauK, smallest)
		first, last = min(first, n-x.muK-room), max(last, n-x.muK+room)
	}
	by := func(hours float64) (c float64) {
		v, t := math.Log(hours), phiTable()
		for _, x := range out.draws {
			c += x.w * fastCDF(t, (v-reach[x.shape]+x.muK)/max(x.tauK, smallest))
		}
		return c
	}
	w.fill(func(q float64) float64 { return whenPast(q, first, last, 0, 1, by) })
	return w
}
