package bench

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"steepbook/kinetics"
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
	var ends []lotEnd
	for lot, ys := range dyestuff {
		for _, y := range ys {
			ends = append(ends, lotEnd{lot, y, 1e-9})
		}
	}
	m := lotModel{kinetics.Normal{Mean: 1000, SD: 1e7}, between, within}
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
			kinetics.Normal{Mean: rapid.Float64Range(2, 9).Draw(t, "m0"), SD: rapid.Float64Range(0.3, 3).Draw(t, "s0")},
			rapid.Float64Range(0.01, 4).Draw(t, "between"), rapid.Float64Range(0.01, 4).Draw(t, "within"),
		}
		n := rapid.IntRange(1, 6).Draw(t, "n")
		lot := rapid.SampledFrom(names).Draw(t, "lot")
		ends := make([]lotEnd, n)
		for i := range ends {
			ends[i] = lotEnd{rapid.SampledFrom(names).Draw(t, "of"), rapid.Float64Range(0, 12).Draw(t, "y"), rapid.Float64Range(0.01, 3).Draw(t, "v")}
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
			r.SetVec(i, e.y-m.prior.Mean)
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
		c := kinetics.Normal{Mean: rapid.Float64Range(1, 10).Draw(t, "c"), SD: rapid.Float64Range(0.1, 4).Draw(t, "s")}
		mean, sd, n := rapid.Float64Range(-3, 0).Draw(t, "mean"), rapid.Float64Range(0, 1.5).Draw(t, "sd"), rapid.Float64Range(0.2, 1.5).Draw(t, "n")
		got := faded(c, mean, sd, n)
		f := distuv.LogNormal{Mu: n * mean, Sigma: n * sd}
		v := (f.Variance()+f.Mean()*f.Mean())*(c.SD*c.SD+c.Mean*c.Mean) - f.Mean()*f.Mean()*c.Mean*c.Mean
		if math.Abs(got.Mean-c.Mean*f.Mean()) > 1e-9 || math.Abs(got.SD*got.SD-v) > 1e-9*(1+v) {
			t.Fatalf("%+v, want mean %g variance %g", got, c.Mean*f.Mean(), v)
		}
	})
}

func TestAge(t *testing.T) {
	const spiced = "lot = \"tin\"\nbought = "
	for _, c := range []struct {
		botanical, cut, bought string
		left                   float64
		says                   string
	}{
		// A year is 365.25 days; 0.9² and 0.75² to the day.
		{"green cardamom", "whole pods", "2024-03-02", math.Pow(0.9, 2), "dried, whole"},
		{"green cardamom", "ground", "2024-03-02", math.Pow(0.75, 2), "dried, ground"},
		{"dried thyme", "cut", "2024-03-02", math.Pow(0.75, 2), "dried leaf or flower"},
		{"orange zest", "strips", "2026-03-01", 1, "fresh things are not aged"},
		{"my own bark", "cut", "2024-03-02", 1, "how it ages is not known"},
		{"clove", "whole", "1950-01-01", math.Pow(0.9, 10), "dried, whole"}, // ten years and no further
		{"clove", "whole", "2026-03-02", 1, "0 months"},
	} {
		b := parse(t, jarred{botanical: c.botanical, cut: c.cut, more: spiced + c.bought + "\n"}.src())
		p, err := resolve(b, testLibrary(t), math.Inf(1))
		if err != nil {
			t.Fatal(err)
		}
		g := p.botanicals[0].age(b)
		m, _ := g.left()
		if got := math.Exp(m); math.Abs(got-c.left) > 1e-3 {
			t.Errorf("%s, %s: %g left, want %g", c.botanical, c.cut, got, c.left)
		}
		if says := g.words(0.5); !strings.Contains(says, c.says) {
			t.Errorf("%s: %s", c.botanical, says)
		}
	}
	var none *age
	if m, sd := none.left(); m != 0 || sd != 0 {
		t.Error("no date is an age")
	}
}

// Age lowers the end of a jar and widens it, never its rate.
func TestAgeLowersTheEnd(t *testing.T) {
	curve := func(more string) *Curve {
		return &assessed(t, jarred{botanical: "clove", cut: "whole", amount: "1 g", more: more}.src(), later).Curves[0]
	}
	now, old, older := curve(""), curve("bought = 2025-03-02\n"), curve("bought = 2020-03-02\n")
	if !(now.Prior.Plateau.Mean > old.Prior.Plateau.Mean && old.Prior.Plateau.Mean > older.Prior.Plateau.Mean) {
		t.Errorf("ends %+v, %+v, %+v", now.Prior.Plateau, old.Prior.Plateau, older.Prior.Plateau)
	}
	rel := func(c *Curve) float64 { return c.Prior.Plateau.SD / c.Prior.Plateau.Mean }
	if !(rel(now) < rel(old) && rel(old) < rel(older)) {
		t.Errorf("relative spreads %g, %g, %g", rel(now), rel(old), rel(older))
	}
	if now.Prior.LogRate != older.Prior.LogRate {
		t.Error("age moved the rate")
	}
	if said := strings.Join(older.Moved, "\n"); !strings.Contains(said, "judgement") || !strings.Contains(said, "10 % a year") {
		t.Errorf("moved: %s", said)
	}
}

// A jar of the same lot is nearer to what that lot gave than a jar of another.
func TestSameLotTeachesMore(t *testing.T) {
	weak := map[float64]float64{24: 0.9, 48: 1.6, 96: 2.3, 192: 2.9}
	a := jarred{name: "weak", scores: weak, pulled: 192, more: "lot = \"Tin 4\"\n"}
	b := jarred{name: "weak too", scores: weak, pulled: 192, start: "2026-04-02T18:00:00", more: "lot = \"tin  4\"\n"}
	c := jarred{name: "strong", scores: map[float64]float64{24: 2.4, 48: 4.2, 96: 6.4, 192: 8.2}, pulled: 192, start: "2026-05-02T18:00:00", more: "lot = \"tin 5\"\n"}
	next := jarred{start: "2026-11-30T18:00:00"}
	end := func(lot string) (kinetics.Normal, string) {
		if lot != "" {
			next.more = "lot = \"" + lot + "\"\n"
		}
		got := inBook(t, testLibrary(t), named(t, "next.toml", next.src()), named(t, "a.toml", a.src()), named(t, "b.toml", b.src()), named(t, "c.toml", c.src()))
		return got.Curves[0].Prior.Plateau, strings.Join(got.Curves[0].Moved, "\n")
	}
	none, _ := end("")
	four, said := end("TIN 4")
	five, _ := end("tin 5")
	if !(four.Mean < none.Mean && none.Mean < five.Mean) || four.SD >= none.SD {
		t.Errorf("end of tin 4 %+v, of any %+v, of tin 5 %+v", four, none, five)
	}
	if !strings.Contains(said, "2 batches are of the same lot") {
		t.Error(said)
	}
}

// Where no lot is shared, lots change nothing.
func TestLotsOfTheirOwnChangeNothing(t *testing.T) {
	a, b := jarred{scores: done(1), pulled: 192}, jarred{scores: done(0.8), pulled: 192, start: "2026-04-02T18:00:00"}
	next := jarred{start: "2026-11-30T18:00:00"}
	end := func() kinetics.Normal {
		return inBook(t, testLibrary(t), named(t, "next.toml", next.src()), named(t, "a.toml", a.src()), named(t, "b.toml", b.src())).Curves[0].Prior.Plateau
	}
	without := end()
	a.more, b.more, next.more = "lot = \"1\"\n", "lot = \"2\"\n", "lot = \"3\"\n"
	if with := end(); with != without {
		t.Errorf("%+v with lots, %+v without", with, without)
	}
}

func TestHintForDriedSpice(t *testing.T) {
	for _, c := range []struct {
		botanical, more string
		want            bool
	}{
		{"clove", "", true}, {"clove", "lot = \"tin\"\n", false}, {"clove", "bought = 2026-01-02\n", false},
		{"orange zest", "", false}, {"dried thyme", "", true}, {"oak chips", "", false}, {"my own word", "", false},
	} {
		hints := strings.Join(assessed(t, jarred{botanical: c.botanical, cut: "", more: c.more}.src(), later).Hints(), "\n")
		if got := strings.Contains(hints, "neither age nor packet"); got != c.want {
			t.Errorf("%s %q: %v\n%s", c.botanical, c.more, got, hints)
		}
	}
}
