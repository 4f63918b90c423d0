package kinetics

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func must(t testing.TB, p Prior, ts []Tasting) *Posterior {
	t.Helper()
	post, err := p.Posterior(ts)
	if err != nil {
		t.Fatal(err)
	}
	return post
}

func TestNormalTable(t *testing.T) {
	tab := phiTable()
	for z := -9.0; z < 9; z += 0.0137 {
		if d := math.Abs(fastCDF(tab, z) - normalCDF(z)); d > 1e-8 {
			t.Fatalf("Φ(%g) off by %g", z, d)
		}
	}
	if fastCDF(tab, math.Inf(1)) != 1 || fastCDF(tab, math.Inf(-1)) != 0 {
		t.Error("infinite arguments")
	}
	// Continuity of the asymptotic tail at its border, where the slope is 30.
	cdf, hazard := tail(-29.999999)
	beyond, hazardBeyond := tail(-30.000001)
	if math.Abs(cdf-beyond) > 7e-5 || math.Abs(hazard-hazardBeyond) > 3e-6 {
		t.Errorf("ln Φ jumps from %g to %g, its slope from %g to %g", cdf, beyond, hazard, hazardBeyond)
	}
}

// Dilution through the power law: 1.3 is the exponent of sugars (Moskowitz 1970,
// as listed in a sensory compilation); half the amount is then 0.406 of the score.
func TestDilution(t *testing.T) {
	if got := Diluted(10, 0.5, 1.3); math.Abs(got-10*math.Exp2(-1.3)) > 1e-12 {
		t.Error(got)
	}
	rapid.Check(t, func(t *rapid.T) {
		s, f, e := rapid.Float64Range(0, 10).Draw(t, "s"), rapid.Float64Range(0.01, 1).Draw(t, "f"), rapid.Float64Range(0.2, 1.5).Draw(t, "e")
		if d := math.Abs(Undiluted(Diluted(s, f, e), f, e) - s); d > 1e-9 {
			t.Errorf("there and back: off by %g", d)
		}
	})
}

// Every shape that rises for good has 63 % at x = 1, starts at nothing and never
// falls; the falling one is at its peak of 1 where its slope is zero.
func TestShapes(t *testing.T) {
	for _, c := range []course{wanted, unwanted, firstOrder} {
		total := 0.0
		f := families[c]()
		for h, s := range f.shapes {
			total += s.weight
			if f.at(h, -30) > 1e-3 {
				t.Errorf("%s: %g at nothing", s.name, f.at(h, -30))
			}
			if s.rise == nil || f.at(h, shapeLow) == 1 { // nothing to rise
				continue
			}
			if !math.IsInf(s.peak, 1) {
				if math.Abs(f.at(h, s.peak)-1) > 1e-4 || f.at(h, s.peak-0.5) > 0.97 || f.at(h, s.peak+1) > 0.97 || f.at(h, 20) > 1e-6 {
					t.Errorf("%s: no peak at %g", s.name, math.Exp(s.peak))
				}
				continue
			}
			if math.Abs(f.at(h, 0)-(1-math.Exp(-1))) > 1e-4 {
				t.Errorf("%s: %g at x = 1", s.name, f.at(h, 0))
			}
			for lx := -12.0; lx < 12; lx += 0.1 {
				if f.at(h, lx+0.1) < f.at(h, lx)-1e-12 {
					t.Errorf("%s falls at ln x = %g", s.name, lx)
				}
			}
			for _, share := range []float64{0.1, 0.5, 0.8} {
				if got := f.at(h, f.reach(h, share)); math.Abs(got-share) > 1e-3 {
					t.Errorf("%s: %g where %g is reached", s.name, got, share)
				}
			}
		}
		if math.Abs(total-1) > 1e-12 {
			t.Errorf("weights of family %d add to %g", c, total)
		}
	}
}

// The chances of all half-point scores add to 1 (the scale is whole), whatever
// the strength and the noise.
func TestReadingChances(t *testing.T) {
	chance := func(score, v, sigma float64) float64 {
		return readingTable(score, sigma)[int(math.Round(v/latentStep))]
	}
	for _, v := range []float64{0, 0.3, 4.9, 9.7, 14, 30} {
		for _, sigma := range []float64{0.4, 1.1, 3} {
			sum := 0.0
			for s := 0.0; s <= 10; s += 0.5 {
				sum += chance(s, v, sigma)
			}
			if math.Abs(sum-1) > 1e-6 {
				t.Errorf("strength %g, noise %g: %g", v, sigma, sum)
			}
			whole := 0.0
			for r := range WholeScores {
				whole += wholeTable(sigma)[WholeScores*int(math.Round(v/latentStep))+r]
			}
			if math.Abs(whole-1) > 1e-6 {
				t.Errorf("strength %g, noise %g, whole points: %g", v, sigma, whole)
			}
		}
	}
	// Near the ends of the scale nothing jumps.
	for _, edge := range [][2]float64{{0, 0.001}, {0.249, 0.251}, {9.749, 9.751}, {9.999, 10}} {
		a, b := chance(edge[0], 1, 1), chance(edge[1], 1, 1)
		if math.Abs(a/b-1) > 0.01 {
			t.Errorf("%g and %g: %g, %g", edge[0], edge[1], a, b)
		}
	}
}

func TestPriorIsPosteriorWithoutTastings(t *testing.T) {
	prior := Usual(0.05, 2)
	p := must(t, prior, nil)
	lk, c := p.LogRate(), p.Plateau()
	spread := math.Sqrt(0.75*math.Ln2*math.Ln2 + 0.25*unusualSD*unusualSD)
	for _, v := range []struct{ got, want, tol float64 }{
		{lk.Mean, math.Log(0.05), 1e-6}, {lk.SD, spread, 1e-3}, {c.Median, 7, 0.03}, {p.LogEvidence(), 0, 1e-4},
		{p.TimeToShare(0.5).Median, math.Ln2 / 0.05, 1.5},
	} {
		if math.Abs(v.got-v.want) > v.tol {
			t.Errorf("%.9g, want %.9g", v.got, v.want)
		}
	}
	for i, s := range p.Shapes() {
		if math.Abs(s.Weight-families[wanted]().shapes[i].weight) > 1e-9 {
			t.Errorf("%+v", s)
		}
	}
}

func TestInputErrors(t *testing.T) {
	good := Usual(0.05, 3)
	for _, change := range []func(*Prior){
		func(p *Prior) { p.LogRate.SD = 0 }, func(p *Prior) { p.LogRate.Mean = math.NaN() }, func(p *Prior) { p.LogRate.Mean = math.Inf(1) },
		func(p *Prior) { p.Plateau.SD = -1 }, func(p *Prior) { p.Plateau.Mean = math.Inf(-1) }, func(p *Prior) { p.LogNoise.SD = math.NaN() },
		func(p *Prior) { p.LogNoise.Mean = math.NaN() }, func(p *Prior) { p.Early = 0.9 }, func(p *Prior) { p.Doubt = -1 },
	} {
		p := good
		change(&p)
		if _, err := p.Posterior(nil); !errors.Is(err, errPrior) {
			t.Errorf("%+v: %v", p, err)
		}
	}
	for _, ts := range [][]Tasting{
		{{Hours: math.NaN(), Score: 3}}, {{Hours: 1, Score: -1}}, {{Hours: 1, Score: math.Inf(1)}}, {{Hours: 1, Score: 2000}}, {{Hours: 1, Score: 1, Part: 2}},
	} {
		if _, err := good.Posterior(ts); !errors.Is(err, errTasting) {
			t.Errorf("%+v: %v", ts, err)
		}
	}
	p := must(t, good, nil)
	if p.TimeToShare(1).Never != 1 || p.TimeToShare(0).P95 != 0 || p.TimeToScore(math.Inf(1)).Never != 1 || p.TimeToScore(0).P95 != 0 ||
		p.ChanceAtLeast(0, 1) != 1 || p.ChanceAtLeast(5, -1) != 0 || p.ChanceAtLeast(5, math.NaN()) != 0 || len(p.Tastings()) != 0 {
		t.Error("the ends of the questions")
	}
}

// The answers hang together whatever the tastings are.
func TestPosteriorProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		prior := Prior{
			LogRate:  Normal{rapid.Float64Range(-8, 2).Draw(t, "lk"), rapid.Float64Range(0.2, 1.6).Draw(t, "sd")},
			Doubt:    rapid.SampledFrom([]float64{0, usualDoubt}).Draw(t, "doubt"),
			Plateau:  Normal{rapid.Float64Range(3, 20).Draw(t, "c"), rapid.Float64Range(0.5, 3).Draw(t, "csd")},
			Early:    rapid.SampledFrom([]float64{0, 0, 0.35}).Draw(t, "early"),
			LogNoise: Normal{rapid.Float64Range(-1, 1).Draw(t, "noise"), rapid.SampledFrom([]float64{0, 0.4}).Draw(t, "nsd")},
			course:   rapid.SampledFrom([]course{wanted, unwanted}).Draw(t, "course"),
		}
		unit := math.Exp(-prior.LogRate.Mean)
		ts := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Tasting {
			return Tasting{
				Hours: unit * rapid.Float64Range(-1, 20).Draw(t, "t"), Score: rapid.Float64Range(0, 10).Draw(t, "y"),
				Part: rapid.SampledFrom([]float64{0, 0.5}).Draw(t, "part"), Taster: rapid.SampledFrom([]string{"", "", "", "B"}).Draw(t, "taster"),
			}
		}), 0, 7).Draw(t, "ts")
		p, err := prior.Posterior(ts)
		if err != nil {
			t.Fatal(err)
		}
		total := 0.0
		for _, r := range p.rows {
			total += r.m0
		}
		if math.Abs(total-1) > 1e-9 {
			t.Errorf("weights sum to %g", total)
		}
		ordered := func(what string, iv Interval) {
			for _, v := range []float64{iv.P05, iv.P25, iv.Median, iv.P75, iv.P95} {
				if math.IsNaN(v) {
					t.Fatalf("%s: NaN in %+v", what, iv)
				}
			}
			slack := 1e-6 * (1 + math.Abs(iv.Median))
			if iv.P05 > iv.P25+slack || iv.P25 > iv.Median+slack || iv.Median > iv.P75+slack || iv.P75 > iv.P95+slack {
				t.Errorf("%s out of order: %+v", what, iv)
			}
		}
		ordered("rate", p.Rate())
		ordered("plateau", p.Plateau())
		w := p.TimeToScore(5)
		for _, w := range []Wait{p.TimeToShare(0.5), w} {
			ordered("wait", Interval{P05: w.P05, P25: w.P25, Median: w.Median, P75: w.P75, P95: w.P95})
		}
		if w.Never < 0 || w.Never > 1 {
			t.Errorf("never %g", w.Never)
		}
		// The quantile of the wait is where the chance is reached.
		if !math.IsInf(w.Median, 1) && w.Median > 0 {
			if c := p.ChanceReached(5, w.Median); math.Abs(c-0.5) > 1e-3 {
				t.Errorf("chance %g at the median wait", c)
			}
		}
		if s80, s50 := p.TimeToShare(0.8), p.TimeToShare(0.5); s80.Median < s50.Median*(1-1e-12) { // all at once: the same but for rounding
			t.Errorf("80 %% at %g before 50 %% at %g", s80.Median, s50.Median)
		}
		for _, x := range []float64{0, 0.1, 1, 5, 1e4} {
			s := p.Strength(x * unit)
			ordered("strength", s)
			// The loss is the second moment about the target.
			if m, want := p.Miss(4, 1e9, x*unit, math.Inf(1)), s.SD*s.SD+(s.Mean-4)*(s.Mean-4); math.Abs(m-want) > 1e-5*(1+want) {
				t.Errorf("miss %g, want %g", m, want)
			}
			if _, e := p.Excess(2, 1e9, x*unit); !(e >= -1e-9) || e > p.Miss(2, 1e9, x*unit, math.Inf(1))*1.02+0.02 {
				t.Errorf("excess %g of a miss %g", e, p.Miss(2, 1e9, x*unit, math.Inf(1)))
			}
		}
		d := p.Draws()
		v := make([]float64, d.N())
		d.At(unit, v)
		sum := 0.0
		for _, x := range v {
			sum += x
		}
		s := p.Strength(unit)
		// Four standard errors of a mean of so many draws.
		n := float64(d.N())
		if got := sum / n; math.Abs(got-s.Mean) > 4*s.SD/math.Sqrt(n)+0.01 {
			t.Errorf("mean of %d draws %g, want %g ± %g", d.N(), got, s.Mean, s.SD)
		}
	})
}

// A change of the unit of time changes the answers by that unit and nothing else.
func TestUnitOfTime(t *testing.T) {
	ts := bayesSets(t)["f2_five"]
	days := Usual(0.2, 2)
	a := must(t, days, ts)
	hours := days
	hours.LogRate.Mean -= math.Log(24)
	var th []Tasting
	for _, x := range ts {
		x.Hours *= 24
		th = append(th, x)
	}
	b := must(t, hours, th)
	if d := math.Abs(b.TimeToScore(6).P75/24/a.TimeToScore(6).P75 - 1); d > 1e-6 {
		t.Errorf("off by %g", d)
	}
	if d := math.Abs(a.LogEvidence() - b.LogEvidence()); d > 1e-9 {
		t.Errorf("evidence off by %g", d)
	}
}

// Tastings that contradict prior and each other, and very many of them, give
// wide or odd answers, but numbers.
func TestContradictions(t *testing.T) {
	var many []Tasting
	for i := range 300 {
		many = append(many, Tasting{Hours: float64(i%40) + 1, Score: math.Min(10, float64(i%7)+0.5)})
	}
	for _, prior := range []Prior{Usual(0.2, 3), {LogRate: Normal{-2, 0.05}, Plateau: Normal{5, 0.1}, LogNoise: Normal{math.Log(0.05), 0}}} {
		for _, ts := range [][]Tasting{
			{{Hours: 1, Score: 10}}, {{Hours: 1, Score: 10}, {Hours: 20, Score: 0}}, {{Hours: 1, Score: 0}, {Hours: 2, Score: 0}, {Hours: 50, Score: 0}},
			{{Hours: 1e-4, Score: 9}, {Hours: 1e4, Score: 1}}, {{Hours: 5, Score: 2}, {Hours: 5, Score: 9}, {Hours: 5, Score: 5}},
			{{Hours: 1e300, Score: 5}}, {{Hours: 1e-300, Score: 5}}, many,
		} {
			p := must(t, prior, ts)
			w, l := p.TimeToScore(6), p.TimeToShare(0.8)
			noise, _ := p.Noise()
			over, square := p.Excess(2, 15, 3)
			for _, v := range []float64{p.LogEvidence(), p.LogRate().Median, p.Plateau().P95, noise, p.Strength(3).Median, p.Miss(4, 15, 3, 2), over, square} {
				if !finite(v) {
					t.Errorf("%d tastings: %g", len(ts), v)
				}
			}
			if math.IsNaN(w.P05) || math.IsNaN(w.P95) || math.IsNaN(l.Median) || l.Median <= 0 {
				t.Errorf("%d tastings: %+v", len(ts), w)
			}
		}
	}
}
