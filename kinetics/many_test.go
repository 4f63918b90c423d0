package kinetics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// many are invented scores of a jar that rises by 1 − exp(−x^m), in half points.
func many(n, tasters int, m float64) []Tasting {
	r := rand.New(rand.NewPCG(3, 1))
	ts := make([]Tasting, n)
	for i := range ts {
		h := 300 * float64(i+1) / float64(n)
		y := 7*-math.Expm1(-math.Pow(0.02*h, m)) + 0.8*r.NormFloat64()
		ts[i] = Tasting{Hours: h, Score: math.Round(2*min(max(y, 0), topScore)) / 2}
		if tasters > 1 {
			who := i % tasters
			ts[i].Taster = fmt.Sprint(who)
			ts[i].Score = math.Round(2*min(ts[i].Score*(1+0.1*float64(who)), topScore)) / 2
		}
	}
	return ts
}

// all weighs every cell of a grid three times as fine in both directions, eight SDs to
// either side of a posterior, with every score at once.
func all(p *Posterior) *Posterior {
	prior := p.prior
	q := &Posterior{prior: prior, family: p.family}
	q.tastings, q.gains = p.tastings, p.gains
	lo, hi := prior.bounds()
	mid, by := p.meanC, 8*math.Sqrt(p.varC)
	wide := 8 * math.Sqrt(p.varLK)
	const rates, plateaus = 120, 72
	g := &weighing{Posterior: q}
	g.weigh(axis{p.meanLK - wide, 2 * wide / rates, rates}, evenEdges(max(lo, mid-by), min(hi, mid+by), plateaus),
		prior.noises(gridNoises), p.tastings)
	g.sum()
	g.keep()
	return q
}

// However many scores there are, the grid that is found for them stands for the whole
// belief: to a tenth of its spread, which hardly moves a printed figure. That much is the
// width of its cells; all scores at once on the first coarse grid left means five SDs off.
func TestManyTastings(t *testing.T) {
	const tenth = 0.1
	worst := 0.0
	check := func(what string, got, want, spread, most float64) {
		off := math.Abs(got-want) / spread
		worst = max(worst, off/most)
		if !(off <= most) {
			t.Errorf("%s: %.6g, want %.6g: off by %.3f of its spread %.3g", what, got, want, off, spread)
		}
	}
	for _, m := range []float64{1, 0.7} {
		for _, n := range []int{40, 150, 400} {
			for _, tasters := range []int{1, 3} {
				if n > 40 && ((n == 400) != (m == 1) || (tasters > 1) == (m == 1)) && !*long {
					continue // what is left tells what has gone wrong, and takes half a second
				}
				p := must(t, Usual(0.05, 2), many(n, tasters, m))
				q := all(p)
				name := fmt.Sprintf("x^%g, %d scores by %d, ", m, n, tasters)
				check(name+"log rate", p.meanLK, q.meanLK, math.Sqrt(q.varLK), tenth)
				check(name+"its SD", math.Sqrt(p.varLK), math.Sqrt(q.varLK), math.Sqrt(q.varLK), tenth)
				check(name+"plateau", p.meanC, q.meanC, math.Sqrt(q.varC), tenth)
				check(name+"its SD", math.Sqrt(p.varC), math.Sqrt(q.varC), math.Sqrt(q.varC), tenth)
				check(name+"evidence", p.evidence, q.evidence, 1, tenth)
				for _, h := range []float64{10, 50, 200} {
					a, b := p.Strength(h), q.Strength(h)
					check(fmt.Sprint(name, "strength at ", h), a.Mean, b.Mean, b.SD, tenth)
					check(fmt.Sprint(name, "its SD at ", h), a.SD, b.SD, b.SD, tenth)
				}
			}
		}
	}
	t.Logf("nearest to its tolerance: %.2f of it", worst)
}

// A batch with many scores teaches with some of them what it teaches with all.
func TestManyTastingsTeach(t *testing.T) {
	doses, n := []float64{1.3, 1}, 180 // the first ends near the top of the scale
	if !*long {
		doses, n = doses[:1], 80
	}
	for _, dose := range doses {
		batches := make([]Batch, 2)
		for i := range batches {
			batches[i].Tastings = many(n+40*i, 1+i, 1)
			for j := range batches[i].Tastings {
				s := &batches[i].Tastings[j].Score
				*s = math.Round(2*min(dose**s, topScore)) / 2
			}
		}
		h := Usual(0.05, 2).hyper()
		heard, err := h.learn(batches)
		if err != nil {
			t.Fatal(err)
		}
		h.most = math.MaxInt
		whole, err := h.learn(batches)
		if err != nil {
			t.Fatal(err)
		}
		a, b := heard.Prior(0), whole.Prior(0)
		if heard.Tastings != whole.Tastings || heard.Tastings != 2*n+40 {
			t.Errorf("%d and %d scores", heard.Tastings, whole.Tastings)
		}
		for _, c := range [][3]float64{
			{a.LogRate.Mean, b.LogRate.Mean, b.LogRate.SD}, {a.LogRate.SD, b.LogRate.SD, b.LogRate.SD},
			{a.Plateau.Mean, b.Plateau.Mean, b.Plateau.SD}, {a.Plateau.SD, b.Plateau.SD, b.Plateau.SD},
		} {
			if off := math.Abs(c[0]-c[1]) / c[2]; off > 0.15 {
				t.Errorf("%.4g with some, %.4g with all: off by %.2f of the spread", c[0], c[1], off)
			}
		}
	}
}

func BenchmarkManyTastings(b *testing.B) {
	for _, n := range []int{10, 100, 1000, 10000} {
		ts := many(n, 1, 1)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				must(b, Usual(0.05, 2), ts)
			}
		})
	}
}
