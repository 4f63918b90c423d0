package jar

import (
	"testing"

	"steepbook/kinetics"
)

// A score at the strength wanted thins nothing, however early; what is far over is thinned
// when more than one score says so; between the two another score is asked for first.
func TestCure(t *testing.T) {
	of := func(rate, at float64, scores ...float64) *kinetics.Posterior {
		var ts []kinetics.Tasting
		for _, s := range scores {
			ts = append(ts, kinetics.Tasting{Hours: at, Score: s})
		}
		p, err := kinetics.Usual(rate, 1.9).Posterior(ts)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	for _, rate := range []float64{0.01, 0.05, 0.3} {
		for _, at := range []float64{0.5, 2, 8, 24, 96} {
			for _, wanted := range []float64{1, 2, 3, 5, 7} {
				if got := Cure(of(rate, at, wanted), at, wanted, 1, false); got == Thin {
					t.Errorf("rate %g: one score of %g after %g h where that is wanted: remedy %d", rate, wanted, at, got)
				}
			}
		}
	}
	for _, c := range []struct {
		wanted float64
		limit  bool
		scores []float64
		want   Remedy
	}{
		{3, false, []float64{4}, Ask},
		{2, false, []float64{3}, Ask}, {3, false, []float64{3, 3}, LeaveIt},
		{3, false, []float64{6, 6, 6}, Thin}, {4, false, []float64{7, 8, 7}, Thin},
		{2, true, []float64{2}, LeaveIt}, {2, true, []float64{5, 6, 5}, Thin},
	} {
		if got := Cure(of(0.05, 24, c.scores...), 24, c.wanted, 1, c.limit); got != c.want {
			t.Errorf("%v where %g is wanted (limit: %v): remedy %d, want %d", c.scores, c.wanted, c.limit, got, c.want)
		}
	}
}
