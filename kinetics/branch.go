package kinetics

import (
	"fmt"
	"math"
	"slices"
	"steepbook/kinetics/cores"

	"gonum.org/v1/gonum/mat"
)

// branch is what the batches say where their flavour rises by one shape.
type branch struct {
	*learner
	proposal proposal
	chance   float64 // ln of that of the scores, but for a factor that all share
	prior    float64 // ln of the weight of the shape
	weight   float64 // share of the branches
	draws    []draw  // whose weights add to it
	laid     points
}

// forms are the branches that count.
func (h hyper) forms(batches []Batch, out *Learned) []*branch {
	var all []*branch
	for i, s := range families[h.course]().shapes {
		if s.rise == nil {
			continue
		}
		all = append(all, &branch{learner: &learner{h: h, shape: i}, prior: math.Log(s.weight)})
	}
	// What hardly weighs is left behind at each step.
	each := func(do func(b *branch), least float64) {
		cores.Each(len(all), func(i int) { do(all[i]) })
		top, sum := math.Inf(-1), 0.0
		for _, b := range all {
			top = max(top, b.prior+b.chance)
		}
		for _, b := range all {
			b.weight = math.Exp(b.prior + b.chance - top)
			sum += b.weight
		}
		for _, b := range all {
			b.weight /= sum
		}
		all = slices.DeleteFunc(all, func(b *branch) bool { return b.weight < least })
	}
	each(func(b *branch) {
		b.read(batches)
		b.climbed()
	}, leastClimbed)
	each((*branch).settle, leastWeight)
	each((*branch).sample, 0)
	var weights []float64
	for _, b := range all {
		b.draws = make([]draw, len(b.laid.xs))
		for i, x := range b.laid.xs {
			b.draws[i] = b.unpack(x)
			b.draws[i].w, b.draws[i].shape = b.laid.w[i]*b.weight, b.shape
			weights = append(weights, b.draws[i].w)
		}
	}
	if points := effective(weights); points < leastPoints {
		out.Warnings = append(out.Warnings, fmt.Sprintf("What the batches have in common is uncertain: "+
			"the averages rest on only %.0f effective points.", points))
	}
	return all
}

const (
	// Of a shape that is gone on with: its weight, and that by the hill that was climbed alone, which
	// may not be its only one.
	leastWeight, leastClimbed = 0.02, 0.003
	// Shares of the points that are to count: for a guess at where they belong, and
	// for an answer.
	settledShare, leastShare = 0.15, 0.35
	leastPoints              = 150.0 // that count
)

// climbed finds the mode, and about it the chance by the normal distribution that is as
// curved (Laplace).
func (b *branch) climbed() {
	dim := b.dims()
	h := &b.h
	tauC, tauK := Normal{h.plateauSpread / 2, h.plateauSpread / 2}, Normal{h.rateSpread / 2, h.rateSpread / 2}
	var start, scale []float64
	for _, n := range []Normal{h.plateau.Normal, h.rate.Normal, tauC, tauK, h.logNoise,
		h.doseExponent}[:dim] {
		start, scale = append(start, n.Mean), append(scale, n.SD)
	}
	about, mode := b.climb(start, scale)
	wide := mat.NewSymDense(dim, nil)
	for i, v := range scale {
		wide.SetSym(i, i, v*v)
	}
	wide.SetSym(0, 0, h.plateau.variance())
	wide.SetSym(1, 1, h.rate.variance())
	var prior mat.Cholesky
	prior.Factorize(wide)
	b.proposal = proposal{newBump(0.7, mode, about), newBump(0.3, start, &prior)}
	b.chance = b.density(mode) + about.LogDet()/2
}

// settle finds where to draw the hyper-parameters.
func (b *branch) settle() {
	// Few points find where many belong; a sample that leans on too few of its
	// points is drawn again about what it has shown.
	const rounds = 6
	for range rounds {
		b.laid = b.lay(b.proposal, stageDraws)
		b.proposal = b.proposal.refit(&b.laid)
		if b.laid.share() > settledShare {
			break
		}
	}
	b.chance = b.laid.chance
}

// sample draws as many of them as its weight is worth.
func (b *branch) sample() {
	n := min(learnDraws, max(leastDraws, 4*learnDraws/max(1, len(b.groups))))
	n = int(float64(n) * b.weight)
	if effective(b.laid.w) > leastShare*float64(n) { // those that it was settled by will do
		return
	}
	n = max(n, stageDraws)
	b.laid = b.lay(b.proposal, n)
	for last, again := b.laid, 3; again > 0 && last.share() < leastShare; again-- {
		last = b.lay(b.proposal.refit(&last), n)
		if last.share() > b.laid.share() {
			b.laid = last
		}
	}
	b.chance = b.laid.chance
}
