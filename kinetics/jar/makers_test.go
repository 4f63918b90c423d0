package jar

import (
	"math"
	"math/rand/v2"
	"slices"
)

// simFlavour is what a maker knows of one flavour before tasting. Its plateau is
// believed to be N(7, 2^2) points.
type simFlavour struct {
	rate, logSD float64 // usual rate per hour (63 % of the plateau after 1/rate) and the sd of its logarithm
	target      float64 // points in the bottle, which is the jar undiluted
	in, out     float64 // hours since the start; out is +Inf while it is in the jar
}

// usual is the usual time to 80 % of the plateau, hours.
func (f simFlavour) usual() float64 { return math.Log(5) / f.rate }

// horizon is when everybody gives up waiting and takes the flavour out, hours since the start.
func (f simFlavour) horizon() float64 { return f.in + 8*f.usual() }

// inJar says whether the flavour has gone in by now and is not out yet.
func (f simFlavour) inJar(now float64) bool { return f.in <= now && math.IsInf(f.out, 1) }

// simUnwanted is an unwanted taste, not wanted above limit points, from the named
// flavours; empty when the maker does not know which.
type simUnwanted struct {
	limit float64
	from  []int
}

// simJar is all a maker knows besides the scores.
type simJar struct {
	flavours []simFlavour
	unwanted []simUnwanted
}

// simScore is one reading of a flavour, or of an unwanted taste, by its index.
type simScore struct {
	hours    float64
	unwanted bool
	of       int
	value    float64
	step     float64 // 1 or 0.5 points
}

// simCurve is a true course: plateau * shape(rate * hours in the jar).
type simCurve struct {
	in, rate, plateau float64
	shape             func(x float64) float64
}

func (c simCurve) at(hours float64) float64 {
	return c.plateau * c.shape(c.rate*math.Max(0, hours-c.in))
}

// The true shapes rise to 1; their parameters are drawn from ranges, so that
// no adviser's grid holds them exactly.
func firstOrder(x float64) float64 { return -math.Expm1(-x) }

func weibull(m float64) func(float64) float64 {
	return func(x float64) float64 { return -math.Expm1(-math.Pow(x, m)) }
}

func delayed(d float64) func(float64) float64 {
	return func(x float64) float64 { return firstOrder(math.Max(0, x-d) / (1 - d)) }
}

func twoSpeed(share, fast, slow float64) func(float64) float64 {
	return func(x float64) float64 { return share*firstOrder(fast*x) + (1-share)*firstOrder(slow*x) }
}

// fading rises and is lost again at a share loss of the rate of the rise, scaled to a peak of 1.
func fading(loss float64) func(float64) float64 {
	f := func(x float64) float64 { return math.Exp(-loss*x) - math.Exp(-x) }
	peak := f(-math.Log(loss) / (1 - loss))
	return func(x float64) float64 { return f(x) / peak }
}

// simMaker is one maker's jar with the truth and the tongue.
type simMaker struct {
	jar      simJar
	flavours []simCurve
	unwanted []simCurve
	source   []int     // of each unwanted taste, the flavour it comes from
	least    []float64 // of each flavour, the least loss within its horizon, points^2
	noise    float64   // sd of a reading, points
	step     float64
	tiring   bool
	seed     uint64
}

// simClass is a kind of maker. Zero fields mean the everyday: the usual rate is
// right (times 1), first order, noise lognormal(1.1, 0.4), whole or half points,
// one to three flavours, and in every third jar one unwanted taste of known origin.
type simClass struct {
	name     string
	times    float64 // true rates are this many times the usual
	shape    func(r *rand.Rand) func(float64) float64
	noise    float64
	tiring   bool
	step     float64
	flavours int
	unwanted bool // always
	unknown  bool // origin not known
}

func simClasses() []simClass {
	return []simClass{
		{name: "prior right"},
		{name: "three times faster", times: 3},
		{name: "three times slower", times: 1. / 3},
		{name: "ten times faster", times: 10},
		{name: "ten times slower", times: 0.1},
		{name: "late start", shape: func(r *rand.Rand) func(float64) float64 { return delayed(uniform(r, 0.15, 0.6)) }},
		{name: "steep", shape: func(r *rand.Rand) func(float64) float64 { return weibull(uniform(r, 2, 3)) }},
		{name: "slow-tailed", shape: func(r *rand.Rand) func(float64) float64 { return weibull(uniform(r, 0.5, 0.7)) }},
		{name: "two-speed", shape: func(r *rand.Rand) func(float64) float64 {
			return twoSpeed(uniform(r, 0.3, 0.6), uniform(r, 3, 8), uniform(r, 0.15, 0.4))
		}},
		{name: "falling after a peak", shape: func(r *rand.Rand) func(float64) float64 { return fading(uniform(r, 0.03, 0.2)) }},
		{name: "rough tongue", noise: 2},
		{name: "tiring tongue", tiring: true},
		{name: "whole points", step: 1},
		{name: "half points", step: 0.5},
		{name: "unwanted, origin known", unwanted: true},
		{name: "unwanted, one of two", unwanted: true, unknown: true, flavours: 2},
		{name: "one botanical", flavours: 1},
		{name: "two botanicals", flavours: 2},
		{name: "three botanicals", flavours: 3},
	}
}

// newMaker draws one maker of the class; the same seed gives the same maker.
func newMaker(c simClass, seed uint64) *simMaker {
	r := rand.New(rand.NewPCG(seed, 1))
	m := &simMaker{seed: seed, tiring: c.tiring, noise: c.noise, step: c.step}
	if m.noise == 0 {
		m.noise = 1.1 * math.Exp(0.4*r.NormFloat64())
	}
	if m.step == 0 {
		m.step = []float64{0.5, 1}[r.IntN(2)]
	}
	n := c.flavours
	if n == 0 {
		n = []int{1, 1, 1, 2, 2, 3}[r.IntN(6)]
	}
	for range n {
		m.addFlavour(c, r)
	}
	if c.unwanted || r.IntN(3) == 0 {
		m.addUnwanted(c, r)
	}
	for i := range m.flavours {
		_, least := m.best(i)
		m.least = append(m.least, least)
	}
	return m
}

// addFlavour draws a flavour: usual t80 of 4 h to 5 days, target 3 to 7 points;
// a third of the later ones go in after the first.
func (m *simMaker) addFlavour(c simClass, r *rand.Rand) {
	usual := 4 * math.Pow(30, r.Float64())
	f := simFlavour{rate: math.Log(5) / usual, logSD: uniform(r, 0.55, 0.95), target: math.Round(uniform(r, 6, 14)) / 2, out: math.Inf(1)}
	if len(m.flavours) > 0 && r.IntN(3) == 0 {
		f.in = uniform(r, 0, 0.5) * m.jar.flavours[0].usual()
	}
	truth := simCurve{in: f.in, rate: f.rate * math.Exp(f.logSD*r.NormFloat64()), plateau: normalWithin(r, 7, 2, 2, 12), shape: firstOrder}
	if c.times > 0 {
		truth.rate *= c.times
	}
	if c.shape != nil {
		truth.shape = c.shape(r)
	}
	m.jar.flavours, m.flavours = append(m.jar.flavours, f), append(m.flavours, truth)
}

// addUnwanted draws an unwanted taste from one of the flavours, a third as fast
// with a spread of 0.7 in the logarithm, half of them late.
func (m *simMaker) addUnwanted(c simClass, r *rand.Rand) {
	source := r.IntN(len(m.flavours))
	from := m.flavours[source]
	truth := simCurve{in: from.in, rate: from.rate / 3 * math.Exp(0.7*r.NormFloat64()), plateau: normalWithin(r, 3.5, 2, 0.25, 10), shape: firstOrder}
	if r.IntN(2) == 0 {
		truth.shape = delayed(uniform(r, 0.1, 0.5))
	}
	known := simUnwanted{limit: 2, from: []int{source}}
	if c.unknown {
		known.from = nil
	}
	m.jar.unwanted, m.unwanted, m.source = append(m.jar.unwanted, known), append(m.unwanted, truth), append(m.source, source)
}

func uniform(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

func normalWithin(r *rand.Rand, mean, sd, lo, hi float64) float64 {
	for {
		if v := mean + sd*r.NormFloat64(); v >= lo && v <= hi {
			return v
		}
	}
}

// taste is one sitting, the n-th from 0: every flavour in the jar and every
// unwanted taste, which stays as it was when its flavour came out. Noise is drawn
// for all, in or out, so that two advisers meet the same luck.
func (m *simMaker) taste(j *simJar, now float64, n int, r *rand.Rand) []simScore {
	var scores []simScore
	read := func(unwanted bool, of int, truth float64, present bool) {
		if m.tiring {
			truth *= math.Max(0.75, 1-0.05*float64(n))
		}
		v := m.step * math.Round((truth+m.noise*r.NormFloat64())/m.step)
		if present {
			scores = append(scores, simScore{now, unwanted, of, math.Max(0, math.Min(10, v)), m.step})
		}
	}
	for i, f := range j.flavours {
		read(false, i, m.flavours[i].at(now), f.inJar(now))
	}
	for u, w := range m.unwanted {
		f := j.flavours[m.source[u]]
		read(true, u, w.at(math.Min(now, f.out)), true)
	}
	return scores
}

// loss is what taking flavour i out at that time costs, points^2.
func (m *simMaker) loss(i int, hours float64) float64 {
	d := m.flavours[i].at(hours) - m.jar.flavours[i].target
	sum := d * d
	for u, w := range m.unwanted {
		if m.source[u] == i {
			over := math.Max(0, w.at(hours)-m.jar.unwanted[u].limit)
			sum += over * over
		}
	}
	return sum
}

// times are the hours at which a truth is looked at: from the start to the horizon
// and on to when everything has long ended, a two-hundredth apart.
func (m *simMaker) times(i int) []float64 {
	c := m.flavours[i]
	ts := []float64{c.in}
	for x := 1e-4; x < 1e4; x *= 1.005 {
		ts = append(ts, c.in+x/c.rate)
	}
	return ts
}

// best is the time of the least loss of flavour i within its horizon, and that loss.
func (m *simMaker) best(i int) (hours, loss float64) {
	loss = math.Inf(1)
	for _, t := range m.times(i) {
		t = math.Min(t, m.jar.flavours[i].horizon())
		if l := m.loss(i, t); l < loss {
			hours, loss = t, l
		}
	}
	return hours, loss
}

// crossing is when flavour i first reaches its target, hours; +Inf if never.
func (m *simMaker) crossing(i int) float64 {
	ts := m.times(i)
	k := slices.IndexFunc(ts, func(t float64) bool { return m.flavours[i].at(t) >= m.jar.flavours[i].target })
	if k < 0 {
		return math.Inf(1)
	}
	return ts[k]
}
