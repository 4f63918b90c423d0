package kinetics

import (
	"cmp"
	"math"
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

// meet lists the tasters, where there are two or more, each at the middle.
func (g *weighing) meet() {
	for _, t := range g.tastings {
		i, met := slices.BinarySearchFunc(g.gains, t.Taster, byName)
		if !met {
			g.gains = append(g.gains, Gain{})
			copy(g.gains[i+1:], g.gains[i:])
			g.gains[i] = Gain{Taster: t.Taster, Factor: 1}
		}
		g.gains[i].Scores++
	}
	if len(g.gains) < 2 {
		g.gains = nil
	}
}

func byName(g Gain, taster string) int { return cmp.Compare(g.Taster, taster) }

// learnGains finds the likeliest gain of every taster about their middle, with the
// curve as the grid has it: the slope of a taster's scores on the mean curve, drawn
// towards 1 with the spread tasterSD. It returns how far one moved at most.
func (g *weighing) learnGains(ts []Tasting) (moved float64) {
	if g.gains == nil {
		return 0
	}
	g.sum()
	noise2 := g.varNoise + g.meanNoise*g.meanNoise
	top, bottom := make([]float64, len(g.gains)), make([]float64, len(g.gains))
	for _, t := range ts {
		v := t.part() * g.Mean(t.Hours)
		i, _ := slices.BinarySearchFunc(g.gains, t.Taster, byName)
		top[i] += v * t.Score / noise2
		bottom[i] += v * v / noise2
	}
	sum, before := 0.0, slices.Clone(g.gains)
	for i := range g.gains {
		const w = 1 / (tasterSD * tasterSD)
		g.gains[i].Factor = max((top[i]+w)/(bottom[i]+w), 0.1)
		sum += g.gains[i].Factor
	}
	for i := range g.gains {
		g.gains[i].Factor *= float64(len(g.gains)) / sum
		moved = max(moved, math.Abs(g.gains[i].Factor-before[i].Factor))
	}
	return moved
}
