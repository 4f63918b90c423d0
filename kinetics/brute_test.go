package kinetics

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// brute answers by drawing jars from the prior and weighing each by the chance of
// its scores: no grid, no table, no shape of this package, densities from gonum's
// distuv. It returns the mean and SD of a strength, the chance of a score, the log
// evidence, and how many equal draws the weighted ones are worth.
func brute(p Prior, ts []Tasting, at, level float64, n int) (mean, sd, reached, evidence, effective float64) {
	rng := rand.New(rand.NewPCG(11, 7))
	shapes := []struct {
		w float64
		f func(x float64) float64
	}{
		{0.10, func(x float64) float64 { return 1 - math.Exp(-math.Sqrt(x)) }},
		{0.12, func(x float64) float64 { return 1 - math.Exp(-math.Pow(x, 0.7)) }},
		{0.33, func(x float64) float64 { return 1 - math.Exp(-x) }},
		{0.02, func(float64) float64 { return 0 }},
		{0.13, func(x float64) float64 { return 1 - math.Exp(-math.Pow(x, 1.4)) }},
		{0.14, func(x float64) float64 { return 1 - math.Exp(-x*x) }},
		{0.08, func(x float64) float64 { return 1 - math.Exp(-x*x*x) }},
		{0.08, func(x float64) float64 {
			top := math.Log(10) / 0.9
			return (math.Exp(-0.1*x) - math.Exp(-x)) / (math.Exp(-0.1*top) - math.Exp(-top))
		}},
	}
	noiseZ := []float64{-1.6, -0.8, 0, 0.8, 1.6}
	var total, square, m, m2, hit float64
	for range n {
		u := rng.Float64()
		h := 0
		for u > shapes[h].w && h < len(shapes)-1 {
			u -= shapes[h].w
			h++
		}
		spread := p.LogRate.SD
		if rng.Float64() < p.Doubt {
			spread = math.Max(2, spread)
		}
		k := math.Exp(p.LogRate.Mean + spread*rng.NormFloat64())
		c, odd := -1.0, rng.Float64() < plateauDoubt*p.Doubt
		for c < p.Plateau.Mean/10 || c > 15*p.Plateau.Mean {
			if c = p.Plateau.Mean + p.Plateau.SD*rng.NormFloat64(); odd {
				c = p.Plateau.Mean * math.Exp(0.7*rng.NormFloat64())
			}
		}
		w := 0.0
		wz := 0.0
		for _, z := range noiseZ {
			sigma := math.Exp(p.LogNoise.Mean + p.LogNoise.SD*z)
			like := math.Exp(-z * z / 2)
			wz += like
			for _, t := range ts {
				part := t.Part
				if part == 0 {
					part = 1
				}
				v := 0.0
				if t.Hours > 0 {
					v = part * c * (p.Early + (1-p.Early)*shapes[h].f(k*t.Hours))
				}
				noise := distuv.Normal{Mu: v, Sigma: sigma}
				lo, hi := noise.CDF(t.Score-0.25), noise.CDF(t.Score+0.25)
				if t.Score == 0 {
					lo = 0
				}
				if t.Score == 10 {
					hi = 1
				}
				like *= 0.99*(hi-lo) + 0.01*0.5/10.5
			}
			w += like
		}
		w /= wz
		s := c * (p.Early + (1-p.Early)*shapes[h].f(k*at))
		total, square = total+w, square+w*w
		m += w * s
		m2 += w * s * s
		if s >= level {
			hit += w
		}
	}
	return m / total, math.Sqrt(m2/total - m/total*m/total), hit / total, math.Log(total / float64(n)), total * total / square
}

func TestPosteriorAgainstBruteForce(t *testing.T) {
	prior := Usual(0.1, 2)
	washed := prior
	washed.Early = 0.3
	for _, c := range []struct {
		name string
		p    Prior
		ts   []Tasting
	}{
		{"nothing", prior, nil},
		{"a rise", prior, []Tasting{{Hours: 2, Score: 1}, {Hours: 8, Score: 3.5}, {Hours: 20, Score: 5}}},
		{"a late rise", prior, []Tasting{{Hours: 5, Score: 0}, {Hours: 10, Score: 0.5}, {Hours: 20, Score: 5}, {Hours: 30, Score: 7}}},
		{"a fall", prior, []Tasting{{Hours: 5, Score: 6}, {Hours: 15, Score: 8}, {Hours: 60, Score: 4}, {Hours: 120, Score: 2}}},
		{"off the scale", prior, []Tasting{{Hours: 4, Score: 9}, {Hours: 12, Score: 10}, {Hours: 20, Score: 10}}},
		{"thin samples", prior, []Tasting{{Hours: 4, Score: 2, Part: 0.6}, {Hours: 12, Score: 4, Part: 0.6}}},
		{"washed off", washed, []Tasting{{Hours: 0.5, Score: 2.5}, {Hours: 12, Score: 4}}},
		{"before it went in", prior, []Tasting{{Hours: -3, Score: 1}, {Hours: 12, Score: 4}}},
	} {
		n := 150_000
		if !*long {
			n = 50_000
		}
		p := must(t, c.p, c.ts)
		mean, sd, reached, evidence, effective := brute(c.p, c.ts, 15, 5, n)
		s := p.Strength(15)
		t.Logf("%-18s strength %.3f ± %.3f (brute %.3f ± %.3f), at least 5: %.3f (%.3f), evidence %.3f (%.3f)",
			c.name, s.Mean, s.SD, mean, sd, p.ChanceAtLeast(5, 15), reached, p.LogEvidence(), evidence)
		// Three standard errors of the draws, and a little for the cells of the grid.
		err := 3 / math.Sqrt(effective)
		if math.Abs(s.Mean-mean) > 0.02*(1+sd)+err*sd || math.Abs(s.SD-sd) > 0.03*(1+sd)+err*sd || math.Abs(p.ChanceAtLeast(5, 15)-reached) > 0.01+err/2 ||
			math.Abs(p.LogEvidence()-evidence) > 0.02+err {
			t.Errorf("%s", c.name)
		}
	}
}

// The answer does not depend on the order of the tastings nor on who bears which
// name, and the scale is that of the middle of the tasters.
func TestTasterOrder(t *testing.T) {
	p := Usual(0.2, 3)
	ts := []Tasting{{Hours: 2, Score: 3, Taster: "A"}, {Hours: 2, Score: 4, Taster: "B"}, {Hours: 6, Score: 6, Taster: "A"}, {Hours: 6, Score: 8, Taster: "B"}, {Hours: 12, Score: 6.5, Taster: "A"}, {Hours: 12, Score: 8.6, Taster: "B"}}
	back, swapped := make([]Tasting, len(ts)), make([]Tasting, len(ts))
	for i := range ts {
		back[len(ts)-1-i] = ts[i]
		swapped[i] = ts[i]
		swapped[i].Taster = map[string]string{"A": "B", "B": "A"}[ts[i].Taster]
	}
	a := must(t, p, ts)
	for _, other := range [][]Tasting{back, swapped} {
		b := must(t, p, other)
		if math.Abs(a.Plateau().Mean-b.Plateau().Mean) > 1e-6 || math.Abs(a.LogEvidence()-b.LogEvidence()) > 1e-6 || math.Abs(a.LogRate().Mean-b.LogRate().Mean) > 1e-6 {
			t.Errorf("%v, %v", a.Plateau(), b.Plateau())
		}
	}
	if c := a.Plateau().Mean; c < 7 || c > 8.4 {
		t.Errorf("plateau %v should lie between A's and B's", a.Plateau())
	}
	g := a.Gains()
	if len(g) != 2 || g[0].Taster != "A" || math.Abs(g[0].Factor+g[1].Factor-2) > 1e-9 {
		t.Fatalf("%+v", g)
	}
	// B scores 4/3 of A in every pair; the prior draws it towards 1 a little.
	if r := g[1].Factor / g[0].Factor; r < 1.15 || r > 4.0/3 {
		t.Errorf("B scores %.2f times what A does", r)
	}
	if one := must(t, p, ts[:1]).Gains(); one != nil {
		t.Errorf("one taster: %+v", one)
	}
	for _, name := range []string{"C", "D", "E"} {
		ts = append(ts, Tasting{Hours: 3, Score: 4, Taster: name}, Tasting{Hours: 9, Score: 10, Taster: name})
	}
	if five := must(t, p, ts); len(five.Gains()) != 5 || !finite(five.LogEvidence()) {
		t.Errorf("five tasters: %v, %v", five.Gains(), five.LogEvidence())
	}
}
