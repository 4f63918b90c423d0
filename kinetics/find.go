package kinetics

import (
	"cmp"
	"math"
	"slices"
	"sort"
)

// band is where a grid has weight: by shape and rate the edges of the plateau. A row
// without any has them the wrong way round.
type band struct {
	rate   axis
	lo, hi []float64
}

// within is the plateaus of a row, from one to another, at which a coarser grid has
// left any weight.
func (g *weighing) within(h, k int) (from, to int) {
	n, rates := g.plateaus(), g.left.rate.n
	if rates == 0 {
		return 0, n
	}
	at := min(max(int((g.rate.at(k)-g.left.rate.lo)/g.left.rate.step), 0), rates-1)
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := max(at-1, 0); i <= min(at+1, rates-1); i++ {
		lo, hi = min(lo, g.left.lo[h*rates+i]), max(hi, g.left.hi[h*rates+i])
	}
	for from < n && g.plateau[from+1] <= lo {
		from++
	}
	for to = from; to < n && g.plateau[to] < hi; {
		to++
	}
	return from, to
}

// leave notes where the grid has weight, and a cell beyond. Fewer scores than four rule
// nothing out: any may be a slip.
func (g *weighing) leave() {
	const none = 1e-12 // weight of a cell, of the largest
	if len(g.readers) < 4 {
		return
	}
	n, least := g.plateaus(), none*slices.Max(g.level)
	g.left.rate = g.rate
	g.left.lo, g.left.hi = room(g.left.lo, len(g.level)/n), room(g.left.hi, len(g.level)/n)
	for i := range g.left.lo {
		lo, hi := math.Inf(1), math.Inf(-1)
		for c, w := range g.level[i*n:][:n] {
			if w >= least {
				lo, hi = min(lo, g.plateau[max(c-1, 0)]), g.plateau[min(c+2, n)]
			}
		}
		g.left.lo[i], g.left.hi[i] = lo, hi
	}
}

// marginals are the weights over ln k and over the plateau.
func (g *weighing) marginals() (rate, plateau []float64) {
	n := g.plateaus()
	rate, plateau = make([]float64, g.rate.n), make([]float64, n)
	for i, v := range g.level {
		rate[i/n%g.rate.n] += v
		plateau[i%n] += v
	}
	return rate, plateau
}

// find lays coarse grids, each on what the one before has left, and a fine one at last.
// Gains are found by turns with the curve.
func (g *weighing) find() {
	p := g.prior
	lo, hi := p.bounds()
	rate, plateau, noise := p.span(scoutRates), ratioEdges(lo, hi, scoutPlateaus), p.noises(scoutNoises)
	g.meet()
	g.left.rate.n = 0
	for n := firstRead; ; n *= moreRead {
		ts := some(g.tastings, n)
		g.weigh(rate, plateau, noise, ts)
		for turn := 0; turn < gainTurns && g.learnGains(ts) > atRest; turn++ {
			if n > firstRead { // they hardly move any more, and the next grid has them
				break
			}
			g.weigh(rate, plateau, noise, ts)
		}
		if n >= len(g.tastings) {
			break
		}
		rate, plateau = g.support(scoutRates, scoutPlateaus)
	}
	rate, plateau = g.support(gridRates, gridPlateaus)
	g.weigh(rate, plateau, p.noises(gridNoises), g.tastings)
	// The cells of the first coarse grid are as wide as tasters differ.
	for turn := 0; turn < gainTurns && g.learnGains(g.tastings) > atRest; turn++ {
		g.weigh(rate, plateau, p.noises(gridNoises), g.tastings)
	}
}

// some is n of the tastings at the most, in equal steps of every taster's.
func some(ts []Tasting, n int) []Tasting {
	if n >= len(ts) {
		return ts
	}
	all := slices.Clone(ts)
	sort.SliceStable(all, func(i, j int) bool {
		return cmp.Or(cmp.Compare(all[i].Taster, all[j].Taster), cmp.Compare(all[i].Hours, all[j].Hours)) < 0
	})
	out := make([]Tasting, n)
	for i := range out {
		out[i] = all[(2*i+1)*len(all)/(2*n)]
	}
	return out
}

// support is a grid of so many cells where this one has weight.
func (g *weighing) support(rates, plateaus int) (axis, []float64) {
	g.leave()
	rate, plateau := g.marginals()
	first, last := matters(rate)
	whole := g.rate.step * float64(last-first+1)
	fine := axis{g.rate.lo + g.rate.step*float64(first), whole / float64(rates), rates}
	first, last = matters(plateau)
	return fine, closeEdges(g.plateau[first:last+2], plateau[first:last+1], plateaus)
}

// matters is the first and last cell that matters, and one beyond on either side.
func matters(w []float64) (first, last int) {
	top := slices.Max(w)
	first, last = 0, len(w)-1
	for first < last && w[first] < enough*top {
		first++
	}
	for last > first && w[last] < enough*top {
		last--
	}
	return max(first-1, 0), min(last+1, len(w)-1)
}
