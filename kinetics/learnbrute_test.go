package kinetics

import (
	"math"
	"testing"
)

// bruteLearn is the chance of the next jar's ln k on a grid, by sums over dense grids:
// of each batch over its own rate and plateau, of the botanical over μ_k, τ_k, μ_C,
// τ_C and the noise. No closed form, no sampling and no code of Learn. All doses
// are taken to be the same and all shifts none.
func bruteLearn(h hyper, sets [][]Tasting) (at, next []float64) {
	line := func(lo, hi float64, n int) (xs []float64) {
		for i := range n {
			xs = append(xs, lo+(hi-lo)*(float64(i)+0.5)/float64(n))
		}
		return xs
	}
	gauss := func(x, m, s float64) float64 { return math.Exp(-(x-m)*(x-m)/(2*s*s)) / s }
	lk := line(h.rate.Mean-7, h.rate.Mean+5, 120)
	muK := line(h.rate.Mean-6, h.rate.Mean+4, 66)
	tauK := line(0, 4*h.rateSpread, 12)
	cs := line(0, h.plateau.Mean+5*h.plateau.SD, 70)
	muC := line(h.plateau.Mean-4*h.plateau.SD, h.plateau.Mean+4*h.plateau.SD, 22)
	tauC := line(0, 4*h.plateauSpread, 8)
	noise := line(h.logNoise.Mean-3.5*h.logNoise.SD, h.logNoise.Mean+3.5*h.logNoise.SD, 14)
	wide := math.Sqrt(unusualSD*unusualSD - h.rateSpread*h.rateSpread)
	weight := make([]float64, len(muK)*len(tauK))
	// The chance of a rate of the next jar, and of a batch's scores at every rate.
	chances := make([][]float64, len(weight))
	for i, m := range muK {
		for j, t := range tauK {
			row, sum := make([]float64, len(lk)), 0.0
			for k, x := range lk {
				row[k] = gauss(x, m, math.Max(t, smallest))
				sum += row[k]
			}
			for k := range row {
				row[k] /= sum
			}
			chances[i*len(tauK)+j] = row
		}
	}
	for _, ls := range noise {
		s := math.Exp(ls)
		density := make([][]float64, len(sets)) // [batch][rate·plateau]
		for b, ts := range sets {
			for _, x := range lk {
				for _, c := range cs {
					d := 1.0
					for _, t := range ts {
						d *= gauss(t.Score, c*(h.early+(1-h.early)*(1-math.Exp(-math.Exp(x)*t.Hours))), s)
					}
					density[b] = append(density[b], d)
				}
			}
		}
		of := make([][]float64, len(sets))
		for _, mc := range muC {
			for _, tc := range tauC {
				w0 := gauss(ls, h.logNoise.Mean, h.logNoise.SD) * h.plateau.density(mc) * gauss(tc, 0, h.plateauSpread)
				plateau := make([]float64, len(cs))
				for i, c := range cs {
					// A normal between the edges of a cell: τ_C may be less than one.
					half := (cs[1] - cs[0]) / 2
					plateau[i] = (math.Erf((c+half-mc)/tc/math.Sqrt2) - math.Erf((c-half-mc)/tc/math.Sqrt2)) / 2
				}
				for b := range sets {
					of[b] = of[b][:0]
					for i := range lk {
						sum := 0.0
						for k, p := range plateau {
							sum += p * density[b][i*len(cs)+k]
						}
						of[b] = append(of[b], sum)
					}
				}
				for i, m := range muK {
					prior := w0 * ((1-h.rate.doubt)*gauss(m, h.rate.Mean, h.rate.SD) + h.rate.doubt*gauss(m, h.rate.Mean, wide))
					for j, t := range tauK {
						w := prior * gauss(t, 0, h.rateSpread)
						for b := range sets {
							sum := 0.0
							for k, c := range chances[i*len(tauK)+j] {
								sum += c * of[b][k]
							}
							w *= sum
						}
						weight[i*len(tauK)+j] += w
					}
				}
			}
		}
	}
	next = make([]float64, len(lk))
	total := 0.0
	for i, w := range weight {
		total += w
		for k, c := range chances[i] {
			next[k] += w * c
		}
	}
	for k := range next {
		next[k] /= total
	}
	return lk, next
}

// quantileOf reads a quantile off a grid of equal cells.
func quantileOf(at, w []float64, q float64) float64 {
	c := 0.0
	for i, p := range w {
		if c+p >= q {
			return at[i] + (at[1]-at[0])*((q-c)/p-0.5)
		}
		c += p
	}
	return at[len(at)-1]
}

// farCurve is a whole curve of a jar far slower than its library says: cardamom,
// scores of a maker over nine days.
func farCurve(more float64) []Tasting {
	return []Tasting{{Hours: 4, Score: 0.5 + more}, {Hours: 24, Score: 1 + more}, {Hours: 72, Score: 2.5 + more}, {Hours: 144, Score: 4 + more}, {Hours: 216, Score: 5 + more}}
}

func TestLearnAgainstBruteForce(t *testing.T) {
	library := Usual(0.0256, 2.9) // whole pods for crushed ones
	library.Plateau, library.Early = Normal{12, 3.4}, 0.08
	near := Usual(0.03, 1.85)
	for i, c := range []struct {
		name string
		p    Prior
		sets [][]Tasting
	}{
		{"near", near, [][]Tasting{{{Hours: 10, Score: 2}, {Hours: 30, Score: 4.5}, {Hours: 80, Score: 6.5}}}},
		{"far, three", library, [][]Tasting{farCurve(0), farCurve(0.1), farCurve(0.2)}},
		{"twice as slow", near, [][]Tasting{{{Hours: 20, Score: 2}, {Hours: 60, Score: 4.5}, {Hours: 160, Score: 6.5}}}},
		{"far, crushed", library, [][]Tasting{farCurve(0)}},
		{"far, sure", Usual(0.1, 2), [][]Tasting{farCurve(0)}},
	} {
		if !*long && i > 1 {
			continue
		}
		c.p.course = firstOrder // the brute force knows no other
		h := c.p.hyper()
		out, err := Learn(c.p, 0, batches(c.sets))
		if err != nil {
			t.Fatal(err)
		}
		at, next := bruteLearn(h, c.sets)
		w := out.TimeToShare(0.8)
		long := math.Log(math.Log((1 - h.early) / 0.2)) // when four fifths are out
		t.Logf("%-14s library 4/5 in %.3g h", c.name, math.Exp(long-c.p.LogRate.Mean))
		for _, v := range []struct{ q, got float64 }{{0.1, w.P10}, {0.25, w.P25}, {0.5, w.Median}, {0.75, w.P75}, {0.9, w.P90}} {
			want := math.Exp(long - quantileOf(at, next, 1-v.q))
			t.Logf("  %2.0f %% by %.1f h, brute %.1f h", 100*v.q, v.got, want)
			if math.Abs(v.got/want-1) > 0.05 {
				t.Errorf("%s: %2.0f %% by %.1f h, brute %.1f h", c.name, 100*v.q, v.got, want)
			}
		}
		points := 0.0
		for _, d := range out.draws {
			points += d.w * d.w
		}
		share := 1 / points / float64(len(out.draws))
		p := out.Prior(0)
		t.Logf("  %.0f %% of %d points count; ln k %.2f ± %.2f, doubt %.3f", 100*share, len(out.draws), p.LogRate.Mean, p.LogRate.SD, p.Doubt)
		if share < 0.2 || len(out.Warnings) > 0 {
			t.Errorf("%s: only %.0f %% of the points count %v", c.name, 100*share, out.Warnings)
		}
	}
}

// What is known of the rate and the plateau together survives in the prior of the
// next jar: after a curve that is all rise its strength is told far better than
// apart, and each of the two alone is as wide as it was.
func TestLearnedPriorLeans(t *testing.T) {
	library := Usual(0.0256, 2.9).Stronger(3.5, 0.43)
	library.course = firstOrder
	out, err := Learn(library, 0, batches([][]Tasting{farCurve(0), farCurve(0.1)}))
	if err != nil {
		t.Fatal(err)
	}
	p := out.Prior(0)
	apart := p
	apart.Lean = 0
	const at, score = 144, 4
	want := 0.0
	for _, d := range out.draws {
		for i := range 400 { // a jar of its own plateau and rate, on a grid of their normal quantiles
			c := d.muC + d.tauC*normalQuantile((float64(i/20)+0.5)/20)
			k := math.Exp(d.muK + math.Max(d.tauK, smallest)*normalQuantile((float64(i%20)+0.5)/20))
			if -c*math.Expm1(-k*at) >= score {
				want += d.w / 400
			}
		}
	}
	with, without := must(t, p, nil), must(t, apart, nil)
	t.Logf("lean %.2f; at least %d after %d h: %.3f, draws %.3f, apart %.3f", p.Lean, score, at, with.ChanceAtLeast(score, at), want, without.ChanceAtLeast(score, at))
	if p.Lean > -0.5 || math.Abs(with.ChanceAtLeast(score, at)-want) > 0.05 {
		t.Error("the next jar's strength is not what was learned")
	}
	if a, b := with.Strength(at).SD, without.Strength(at).SD; a > 0.8*b {
		t.Errorf("strength ± %.2f, apart ± %.2f", a, b)
	}
	if a, b := with.LogRate().SD, without.LogRate().SD; math.Abs(a/b-1) > 0.1 {
		t.Errorf("ln k ± %.2f, apart ± %.2f", a, b)
	}
}
