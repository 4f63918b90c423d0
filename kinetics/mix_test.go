package kinetics

import (
	"math"
	"testing"
)

// The mixture of posteriors is, at every strength and time, the weighted mean of
// their probabilities.
func TestMixedIsTheWeightedMean(t *testing.T) {
	for _, early := range []Beta{{}, {A: 2, B: 6}} {
		p := Prior{LogRate: Normal{Mean: -2.5, SD: 1}, Plateau: DefaultPlateau(), LogNoise: DefaultNoise(), Early: early}
		var posts []*Posterior
		weights := []float64{0.2, 0.5, 0.3}
		var logs []float64
		for i, scale := range []float64{0.8, 1, 1.3} {
			post, err := p.Posterior([]Tasting{{Hours: 4, Score: 2 * scale}, {Hours: 12, Score: 4 * scale}, {Hours: 30, Score: 6 * scale}})
			if err != nil {
				t.Fatal(err)
			}
			posts, logs = append(posts, post), append(logs, math.Log(weights[i])+7)
		}
		told := posts[1].Tastings()
		m := Mixed(posts, logs, told)
		mean := func(f func(*Posterior) float64) float64 {
			s := 0.0
			for i, p := range posts {
				s += weights[i] * f(p)
			}
			return s
		}
		for _, y := range []float64{1, 4, 7} {
			for _, h := range []float64{2, 20, 200} {
				f := func(p *Posterior) float64 { return p.ChanceAtLeast(y, h) }
				if got, want := f(m), mean(f); math.Abs(got-want) > 1e-6 { // rows below a billionth are left out
					t.Errorf("chance of %g after %g h: %g, want %g", y, h, got, want)
				}
			}
			at := m.TimeToScore(y)
			if !math.IsInf(at.P25, 1) && at.P25 > 0 {
				if f := mean(func(p *Posterior) float64 { return p.ChanceAtLeast(y, at.P25) }); math.Abs(f-0.25) > 1e-4 {
					t.Errorf("a quarter of the time to %g: %g", y, f)
				}
			}
		}
		half := m.TimeToShare(0.8).Median
		if f := mean(func(p *Posterior) float64 { return p.chanceShareBy(0.8, half) }); math.Abs(f-0.5) > 1e-4 {
			t.Errorf("median time to 80 %%: %g of the weight", f)
		}
		if got, want := m.Plateau().Mean, mean(func(p *Posterior) float64 { return p.Plateau().Mean }); math.Abs(got-want) > 1e-6 {
			t.Errorf("plateau %g, want %g", got, want)
		}
		if m.State() == PriorOnly || len(m.Tastings()) != len(told) {
			t.Error("the mixture has lost its tastings")
		}
		if n := m.NextTasting(Question{}, 30, 100); math.IsNaN(n.Hours) {
			t.Error("no next tasting from a mixture")
		}
		one := Mixed(posts[1:2], []float64{posts[1].LogEvidence()}, told)
		if a, b := one.Strength(9), posts[1].Strength(9); math.Abs(a.Median-b.Median) > 1e-12 || one.LogEvidence() != posts[1].LogEvidence() {
			t.Errorf("a mixture of one is another: %v, %v", a, b)
		}
	}
}
