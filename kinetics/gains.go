package kinetics

import (
	"cmp"
	"slices"
)

// Gain is how strongly one taster scores the same jar.
type Gain struct {
	Taster string
	// Factor is over the middle of all tasters, on which every strength of the
	// Posterior is. It is drawn towards 1 by what is known of tasters, the more
	// the fewer the scores.
	Factor float64
	Scores int
}

// tasterSD is the spread of the gain of tasters around 1. Open panel data
// (slope of a person's scores on the panel's, attributes that span 4.5 points or
// more) give 0.33 to 0.52 with the noise of the slopes included.
const tasterSD = 0.3

// Gains describes the tasters, where there are two or more of them.
func (p *Posterior) Gains() []Gain { return slices.Clone(p.gains) }

func (p *Posterior) gainOf(taster string) float64 {
	for _, g := range p.gains {
		if g.Taster == taster {
			return g.Factor
		}
	}
	return 1
}

// learnGains finds the likeliest gain of every taster about their middle, by
// turns with the curve: the slope of a taster's scores on the mean curve, drawn
// towards 1 with the spread tasterSD.
func (g *weighing) learnGains() {
	by := map[string]int{}
	for _, t := range g.tastings {
		if _, ok := by[t.Taster]; !ok {
			by[t.Taster] = len(g.gains)
			g.gains = append(g.gains, Gain{Taster: t.Taster, Factor: 1})
		}
		g.gains[by[t.Taster]].Scores++
	}
	if len(g.gains) < 2 {
		g.gains = nil
		return
	}
	slices.SortFunc(g.gains, func(a, b Gain) int { return cmp.Compare(a.Taster, b.Taster) })
	for i, t := range g.gains {
		by[t.Taster] = i
	}
	const turns = 8
	for range turns {
		g.sum()
		noise2 := g.varNoise + g.meanNoise*g.meanNoise
		top, bottom := make([]float64, len(g.gains)), make([]float64, len(g.gains))
		for _, t := range g.tastings {
			v := t.part() * g.Mean(t.Hours)
			top[by[t.Taster]] += v * t.Score / noise2
			bottom[by[t.Taster]] += v * v / noise2
		}
		sum := 0.0
		for i := range g.gains {
			const w = 1 / (tasterSD * tasterSD)
			g.gains[i].Factor = max((top[i]+w)/(bottom[i]+w), 0.1)
			sum += g.gains[i].Factor
		}
		for i := range g.gains {
			g.gains[i].Factor *= float64(len(g.gains)) / sum
		}
		g.weigh(g.rate, g.plateau, g.noise)
	}
}
