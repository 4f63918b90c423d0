package kinetics

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// Yield of a dyestuff, grams of standard colour, five preparations from each of
// six batches of an intermediate: Davies and Goldsmith, Statistical Methods in
// Research and Production, 4th ed. (1972), section 6.4, as in data set Dyestuff
// of R package lme4.
var dyestuff = map[string][]float64{
	"A": {1545, 1440, 1440, 1520, 1580},
	"B": {1540, 1555, 1490, 1560, 1495},
	"C": {1595, 1550, 1605, 1510, 1560},
	"D": {1445, 1440, 1595, 1465, 1545},
	"E": {1595, 1630, 1515, 1635, 1625},
	"F": {1520, 1455, 1450, 1480, 1445},
}

// The mean squared distance of the readings from the predictions of
// lmer(Yield ~ 1 | Batch) is 2049.847, from the batch means 1961 and from the
// mean of all 3839.583: a public worked example of these data (github gist
// ca7644fcf895b51adc73, output of R package lme4). In a balanced layout the
// variances that lmer finds are those of the analysis of variance, so they
// follow from the two other figures: within 1961·30/24, between
// ((3839.583 − 1961)·30/5 − within)/5. The tolerance is the last digit printed.
func TestLotsAreThePublishedPredictions(t *testing.T) {
	const within = 1961.0 * 30 / 24
	const between = ((3839.583-1961)*30/5 - within) / 5
	var ends []end
	for lot, ys := range dyestuff {
		for _, y := range ys {
			ends = append(ends, end{lot, y, 1e-9})
		}
	}
	m := lotModel{Normal{Mean: 1000, SD: 1e7}, between, within}
	sum := 0.0
	for lot, ys := range dyestuff {
		for _, y := range ys {
			sum += math.Pow(y-m.of(ends, lot).Mean, 2) / 30
		}
	}
	if math.Abs(sum-2049.847) > 6e-4 {
		t.Errorf("mean squared distance %.4f, want 2049.847", sum)
	}
	// A lot nobody has met is predicted by the mean of all, 1527.5.
	if n := m.of(ends, "G"); math.Abs(n.Mean-1527.5) > 1e-3 || n.SD*n.SD < between+within {
		t.Errorf("a new lot: %+v", n)
	}
}

// The closed form is the conditional normal distribution that brute force finds
// from the joint covariance of readings and answer.
func TestLotsAreTheExactPosterior(t *testing.T) {
	names := []string{"", "a", "b", "c"}
	rapid.Check(t, func(t *rapid.T) {
		m := lotModel{
			Normal{Mean: rapid.Float64Range(2, 9).Draw(t, "m0"), SD: rapid.Float64Range(0.3, 3).Draw(t, "s0")},
			rapid.Float64Range(0.01, 4).Draw(t, "between"), rapid.Float64Range(0.01, 4).Draw(t, "within"),
		}
		n := rapid.IntRange(1, 6).Draw(t, "n")
		lot := rapid.SampledFrom(names).Draw(t, "lot")
		ends := make([]end, n)
		for i := range ends {
			ends[i] = end{rapid.SampledFrom(names).Draw(t, "of"), rapid.Float64Range(0, 12).Draw(t, "y"), rapid.Float64Range(0.01, 3).Draw(t, "v")}
		}
		v := m.prior.SD * m.prior.SD
		cov, k, r := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
		same := func(x, y string) float64 {
			if x != "" && x == y {
				return m.between
			}
			return 0
		}
		for i, e := range ends {
			for j := range i {
				cov.SetSym(i, j, v+same(e.lot, ends[j].lot))
			}
			cov.SetSym(i, i, v+m.between+m.within+e.variance)
			k.SetVec(i, v+same(e.lot, lot))
			r.SetVec(i, e.mean-m.prior.Mean)
		}
		var c mat.Cholesky
		if !c.Factorize(cov) {
			t.Fatal("no covariance")
		}
		var w mat.VecDense
		if err := c.SolveVecTo(&w, k); err != nil {
			t.Fatal(err)
		}
		mean := m.prior.Mean + mat.Dot(&w, r)
		variance := v + m.between + m.within - mat.Dot(&w, k)
		got := m.of(ends, lot)
		if math.Abs(got.Mean-mean) > 1e-8 || math.Abs(got.SD*got.SD-variance) > 1e-8 {
			t.Fatalf("%+v, want %g and variance %g", got, mean, variance)
		}
	})
}

// Mean and variance of the product are those that the moments of the normal and
// the log-normal distribution give (gonum/stat/distuv).
func TestFadedHasTheMomentsOfTheProduct(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Normal{Mean: rapid.Float64Range(1, 10).Draw(t, "c"), SD: rapid.Float64Range(0.1, 4).Draw(t, "s")}
		mean, sd, n := rapid.Float64Range(-3, 0).Draw(t, "mean"), rapid.Float64Range(0, 1.5).Draw(t, "sd"), rapid.Float64Range(0.2, 1.5).Draw(t, "n")
		got := Prior{Plateau: c}.Faded(mean, sd, n).Plateau
		f := distuv.LogNormal{Mu: n * mean, Sigma: n * sd}
		v := (f.Variance()+f.Mean()*f.Mean())*(c.SD*c.SD+c.Mean*c.Mean) - f.Mean()*f.Mean()*c.Mean*c.Mean
		v = math.Min(v, mostScore*mostScore) // a prior is no wider
		if math.Abs(got.Mean-c.Mean*f.Mean()) > 1e-9 || math.Abs(got.SD*got.SD-v) > 1e-9*(1+v) {
			t.Fatalf("%+v, want mean %g variance %g", got, c.Mean*f.Mean(), v)
		}
	})
}
