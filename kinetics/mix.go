package kinetics

import (
	"math"
	"sort"
)

// Mixed joins posteriors of one flavour, each from the same tastings read in
// another way, by the weights of the ways: logWeights are natural logarithms up
// to one common constant. All must come from the same prior. told are the
// tastings that the result shows as its own.
func Mixed(posts []*Posterior, logWeights []float64, told []Tasting) *Posterior {
	top := math.Inf(-1)
	for _, l := range logWeights {
		top = math.Max(top, l)
	}
	total, heaviest := 0.0, 0
	for i, l := range logWeights {
		total += math.Exp(l - top)
		if l > logWeights[heaviest] {
			heaviest = i
		}
	}
	first := posts[heaviest]
	out := &Posterior{
		prior: first.prior, noise: first.noise, evidence: top + math.Log(total),
		tmax: first.tmax, tmin: first.tmin, times: first.times, warnings: first.warnings, gains: first.gains,
	}
	for _, t := range told {
		if t.Hours > 0 {
			out.tastings = append(out.tastings, t)
		}
	}
	for i, p := range posts {
		share := math.Exp(logWeights[i]-top) / total
		if share < pruneShare {
			continue
		}
		at := len(out.cells)
		for _, c := range p.cells {
			c.w *= share
			out.cells = append(out.cells, c)
		}
		for _, r := range p.rows {
			r.w *= share
			r.first += at
			r.last += at
			out.rows = append(out.rows, r)
		}
		for _, s := range p.shares {
			s.w *= share
			s.dens, s.cum = scaled(s.dens, share), scaled(s.cum, share)
			out.shares = append(out.shares, s)
		}
		out.meanLK += share * p.meanLK
		out.meanC += share * p.meanC
	}
	for i, p := range posts {
		share := math.Exp(logWeights[i]-top) / total
		out.varLK += share * (p.varLK + (p.meanLK-out.meanLK)*(p.meanLK-out.meanLK))
		out.varC += share * (p.varC + (p.meanC-out.meanC)*(p.meanC-out.meanC))
	}
	sort.SliceStable(out.shares, func(i, j int) bool { return out.shares[i].f < out.shares[j].f })
	return out
}

func scaled(v []float64, by float64) []float64 {
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = by * x
	}
	return out
}

// rateSpan is the lowest and the highest log rate of the grid.
func (p *Posterior) rateSpan() (lo, hi float64) {
	lo, hi = p.rows[0].lk, p.rows[len(p.rows)-1].lk
	for i := range p.rows {
		lo, hi = math.Min(lo, p.rows[i].lk), math.Max(hi, p.rows[i].lk)
	}
	return lo, hi
}

// Nodes are the points and weights of an n-point Gauss-Hermite rule for the
// standard normal distribution.
func Nodes(n int) (points, weights []float64) { return hermite(n) }
