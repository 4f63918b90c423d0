package kinetics

import "math"

// Gain is how strongly one taster scores the same jar.
type Gain struct {
	Taster string
	// Factor is over the middle of all tasters, whose mean it is that every
	// strength of the Posterior is on. It is drawn towards 1 by what is known of
	// tasters, the more the fewer the scores.
	Factor float64
	Scores int
	sd     float64 // of Factor
}

// Gains describes the tasters, where there are two or more of them.
func (p *Posterior) Gains() []Gain { return append([]Gain(nil), p.gains...) }

// gains are the tasters' levels at the middle of the posterior.
func (m *model) gains(post *Posterior) []Gain {
	if m.tau2 == 0 || !(post.meanC > 0) {
		return nil
	}
	f := 0.0
	for _, r := range post.rows {
		f += r.w * r.f
	}
	m.at(post.meanLK, shape{w: 1, a: f})
	m.counter = [maxGroups]int{}
	for i := range m.noises() {
		m.counter[i] = len(m.groups[i].nodes) / 2
	}
	for i := range m.noises() { // the likeliest noise of each
		best, top := m.counter[i], math.Inf(-1)
		for j := range m.groups[i].nodes {
			m.counter[i] = j
			if lp, _, _ := m.combine(); lp > top {
				best, top = j, lp
			}
		}
		m.counter[i] = best
	}
	out := make([]Gain, len(m.groups))
	for i, l := range m.levels() {
		g := &m.groups[i]
		out[i] = Gain{
			Taster: m.names[i], Factor: math.Max(l.slope+l.shift/post.meanC, 0), Scores: g.cens - g.from,
			sd: math.Sqrt(math.Max(l.va, 0)) / post.meanC,
		}
	}
	return out
}

// gainOf is the factor of a taster and its spread. For somebody who has not
// scored yet beside others it is what is known of tasters.
func (p *Posterior) gainOf(taster string) (factor, sd float64) {
	for _, g := range p.gains {
		if g.Taster == taster {
			return g.Factor, g.sd
		}
	}
	if len(p.tastings) == 0 || p.prior.Wild || len(p.gains) == 0 && p.tastings[0].Taster == taster {
		return 1, 0
	}
	if p.prior.TasterSD > 0 {
		return 1, p.prior.TasterSD
	}
	return 1, DefaultTasterSD
}
