package kinetics

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

type bruteSum struct{ z, lk, lk2, c, c2 float64 }

// brute integrates the model without any of the algebra of this package: plain
// trapezoid sums over log k, plateau, log noise and the two tasters' difference,
// with densities from gonum's distuv. It checks censored scores, wild scores and
// tasters, for which there are no outside values.
func brute(p Prior, ts []Tasting, top float64) (evidence, meanLK, sdLK, meanC, sdC float64) {
	people := tasters(ts)
	const nK, nC, nS, nD = 81, 91, 21, 31
	logPDF := func(z float64) float64 {
		if p.Wild {
			return distuv.StudentsT{Sigma: 1, Nu: 4}.LogProb(z)
		}
		return distuv.UnitNormal.LogProb(z)
	}
	upper := func(z float64) float64 { // P(noise > z)
		if p.Wild {
			return distuv.StudentsT{Sigma: 1, Nu: 4}.CDF(-z)
		}
		return distuv.UnitNormal.CDF(-z)
	}
	sd := p.TasterSD
	if sd == 0 {
		sd = DefaultTasterSD
	}
	tau := sd * math.Sqrt(p.Plateau.Mean*p.Plateau.Mean+p.Plateau.SD*p.Plateau.SD)
	grid := func(n Normal, points int, reach float64) (x, w []float64) {
		if n.SD == 0 {
			return []float64{n.Mean}, []float64{1}
		}
		step := 2 * reach * n.SD / float64(points-1)
		for i := range points {
			v := n.Mean - reach*n.SD + float64(i)*step
			x = append(x, v)
			w = append(w, step*distuv.Normal{Mu: n.Mean, Sigma: n.SD}.Prob(v))
		}
		return x, w
	}
	lks, wk := grid(p.LogRate, nK, 6)
	cs, wc := grid(p.Plateau, nC, 6)
	lss, ws := grid(p.LogNoise, nS, 5)
	var s bruteSum
	for i, lk := range lks {
		k := math.Exp(lk)
		for j, c := range cs {
			// Two deviations N(0, τ²) less their mean: ±N(0, τ²/2).
			ds, wd := []float64{0}, []float64{1}
			if len(people) == 2 {
				ds, wd = grid(Normal{0, tau / math.Sqrt2}, nD, 5)
			}
			sum := 0.0
			for b, d := range ds {
				all := wd[b]
				for who, scores := range people {
					level := c + d
					if who == 1 {
						level = c - d
					}
					one := 0.0
					for a, ls := range lss {
						sigma := math.Exp(ls)
						l := 0.0
						for _, t := range scores {
							sc := math.Hypot(sigma, t.ExtraSD)
							mu := level * -math.Expm1(-k*t.Hours)
							if t.Censored {
								l += math.Log(math.Max(upper((t.Score-mu)/sc), 1e-300))
							} else {
								l += logPDF((t.Score-mu)/sc) - math.Log(sc)
							}
						}
						one += ws[a] * math.Exp(l)
					}
					all *= one
				}
				sum += all
			}
			like := wk[i] * wc[j] * math.Exp(-top) * sum
			s.z += like
			s.lk += like * lk
			s.lk2 += like * lk * lk
			s.c += like * c
			s.c2 += like * c * c
		}
	}
	meanLK, meanC = s.lk/s.z, s.c/s.z
	return math.Log(s.z) + top, meanLK, math.Sqrt(s.lk2/s.z - meanLK*meanLK), meanC, math.Sqrt(s.c2/s.z - meanC*meanC)
}

func TestPosteriorAgainstBruteForce(t *testing.T) {
	known := Prior{LogRate: Normal{math.Log(0.2), 0.8}, Plateau: Normal{8, 2}, LogNoise: Normal{math.Log(0.8), 0}}
	unknown := known
	unknown.LogNoise.SD = 0.4
	wild := unknown
	wild.Wild = true
	rise := []Tasting{{Hours: 1, Score: 2}, {Hours: 3, Score: 5}, {Hours: 6, Score: 7.5}}
	top := append(append([]Tasting(nil), rise...), Tasting{Hours: 12, Score: 10, Censored: true}, Tasting{Hours: 20, Score: 10, Censored: true})
	tops := []Tasting{{Hours: 4, Score: 10, Censored: true}, {Hours: 9, Score: 10, Censored: true}}
	extra := append(append([]Tasting(nil), rise...), Tasting{Hours: 10, Score: 6, ExtraSD: 2})
	odd := append(append([]Tasting(nil), rise...), Tasting{Hours: 8, Score: 1.5}, Tasting{Hours: 14, Score: 9})
	two := append(append([]Tasting(nil), rise...), Tasting{Hours: 2, Score: 2, Taster: "B"}, Tasting{Hours: 8, Score: 5, Taster: "B"}, Tasting{Hours: 15, Score: 5.5, Taster: "B"})
	twoTop := append(append([]Tasting(nil), two...), Tasting{Hours: 20, Score: 10, Taster: "B", Censored: true})
	for _, c := range []struct {
		name  string
		p     Prior
		ts    []Tasting
		tol   float64
		tolEv float64
	}{
		{"noise unknown", unknown, rise, 1e-4, 1e-4},
		{"added spread", unknown, extra, 1e-4, 1e-4},
		{"two at the top, noise known", known, top, 5e-4, 2e-4},
		{"two at the top", unknown, top, 1e-3, 1e-3},
		{"only at the top", unknown, tops, 4e-3, 1e-3},
		{"wild", wild, odd, 1e-3, 1e-3},
		{"wild, at the top", wild, top, 1e-3, 1e-3},
		{"two tasters", unknown, two, 1e-3, 1e-3},
		{"two tasters, one at the top", unknown, twoTop, 5e-3, 5e-3},
	} {
		p := must(t, c.p, c.ts)
		ev, mk, sk, mc, sc := brute(c.p, c.ts, p.LogEvidence())
		lk, pl := p.LogRate(), p.Plateau()
		t.Logf("%s: evidence %+.1e, log rate %+.1e, its SD %+.1e, plateau %+.1e, its SD %+.1e", c.name, p.LogEvidence()-ev, lk.Mean-mk, lk.SD-sk, pl.Mean-mc, pl.SD-sc)
		for _, v := range []struct{ got, want, tol float64 }{
			{p.LogEvidence(), ev, c.tolEv}, {lk.Mean, mk, c.tol}, {lk.SD, sk, c.tol}, {pl.Mean, mc, c.tol}, {pl.SD, sc, c.tol},
		} {
			if !(math.Abs(v.got-v.want) <= v.tol) {
				t.Errorf("%s: %.6f, want %.6f", c.name, v.got, v.want)
			}
		}
	}
}

// A wild score pulls less when wild scores are allowed for.
func TestWildScorePullsLess(t *testing.T) {
	p := Prior{LogRate: Normal{math.Log(0.2), 0.8}, Plateau: Normal{8, 2}, LogNoise: Normal{math.Log(0.5), 0.2}}
	clean := []Tasting{{Hours: 1, Score: 1.8}, {Hours: 2, Score: 3.1}, {Hours: 3, Score: 4.2}, {Hours: 8, Score: 6.9}, {Hours: 12, Score: 7.4}, {Hours: 18, Score: 7.9}}
	spoilt := append(append([]Tasting(nil), clean...), Tasting{Hours: 5, Score: 1.5})
	base := must(t, p, clean).LogRate().Mean
	normal := must(t, p, spoilt).LogRate().Mean
	p.Wild = true
	robust := must(t, p, spoilt).LogRate().Mean
	if math.Abs(robust-base) > 0.3*math.Abs(normal-base) {
		t.Errorf("log rate %.3f without it, %.3f with it, %.3f with it and long tails", base, normal, robust)
	}
}

// The answer does not depend on the order of the tastings nor on who bears which
// name, and the scale is that of the middle of the tasters.
func TestTasterOrder(t *testing.T) {
	p := usual(0.2)
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
		if math.Abs(a.Plateau().Mean-b.Plateau().Mean) > 1e-9 || math.Abs(a.LogEvidence()-b.LogEvidence()) > 1e-9 || math.Abs(a.LogRate().Mean-b.LogRate().Mean) > 1e-9 {
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
		ts = append(ts, Tasting{Hours: 3, Score: 4, Taster: name}, Tasting{Hours: 9, Score: 10, Taster: name, Censored: true})
	}
	if five := must(t, p, ts); len(five.Warnings()) != 1 || !finite(five.LogEvidence()) {
		t.Errorf("five tasters: %v, %v", five.Warnings(), five.LogEvidence())
	}
}
