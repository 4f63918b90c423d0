package kinetics

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"

	"steepbook/kinetics/internal/printed"
)

// batchSet reads a set of batches (or plants, tasters) as tastings per group.
func batchSet(t testing.TB, name, group, x, y string) (names []string, sets [][]Tasting) {
	at := map[string]int{}
	for _, r := range printed.Table(t, name) {
		i, ok := at[r[group]]
		if !ok {
			i = len(sets)
			at[r[group]] = i
			sets, names = append(sets, nil), append(names, r[group])
		}
		sets[i] = append(sets[i], Tasting{Hours: printed.Number(t, r[x]), Score: printed.Number(t, r[y])})
	}
	return names, sets
}

func batches(sets [][]Tasting) (out []Batch) {
	for _, s := range sets {
		out = append(out, Batch{Tastings: s})
	}
	return out
}

// botanical is a belief about one of the usual spreads.
func botanical(rate, plateau, logNoise Normal) hyper {
	h := Prior{course: firstOrder}.hyper()
	h.rate, h.plateau, h.logNoise = kinds{Normal: rate}, kinds{Normal: plateau}, logNoise
	return h
}

func learnerFor(h hyper, bs []Batch) *learner {
	l := &learner{h: h}
	l.read(bs)
	for i := range l.groups {
		l.groups[i].narrow = 0 // the finest grid
	}
	return l
}

// maximise polishes a maximum by Nelder-Mead restarts.
func maximise(x []float64, f func([]float64) float64) ([]float64, float64) {
	for range 6 {
		r, err := optimize.Minimize(optimize.Problem{Func: func(x []float64) float64 { return -f(x) }}, x,
			&optimize.Settings{Converger: &optimize.FunctionConverge{Absolute: 1e-13, Iterations: 400}}, &optimize.NelderMead{SimplexSize: 0.05})
		if r == nil || err != nil && r.X == nil {
			break
		}
		x = r.X
	}
	return x, f(x)
}

// Exact maximum likelihood of the hierarchical model: fits/hier_exact.csv (SciPy,
// asymptote analytic, log k by a 1601-point sum). The set batches2 has both
// spreads estimable; co2x is R's CO2 data (12 plants).
func values(t testing.TB, name, model string) map[string]float64 {
	out := map[string]float64{}
	for _, r := range printed.Table(t, name) {
		if r["model"] == model {
			out[r["quantity"]] = printed.Number(t, r["value"])
		}
	}
	if len(out) == 0 {
		t.Fatalf("no model %q in %s", model, name)
	}
	return out
}

// Without batches the next prior is the library's, and the maker's share is nil;
// with batches it grows and stays below one.
func TestLearnFromNothing(t *testing.T) {
	p := plainPrior(0.05)
	out, err := Learn(p, 0, nil)
	if err != nil {
		t.Fatal(err)
	}
	q := out.Prior(0)
	for _, v := range []struct{ got, want, tol float64 }{
		{q.LogRate.Mean, p.LogRate.Mean, 0.03}, {q.LogRate.SD, p.LogRate.SD, 0.03}, {q.Plateau.Mean, p.Plateau.Mean, 0.05}, {q.Plateau.SD, p.Plateau.SD, 0.05},
		{q.LogNoise.Mean, p.LogNoise.Mean, 0.02}, {q.LogNoise.SD, p.LogNoise.SD, 0.02}, {out.OwnRate, 0, 0}, {out.OwnPlateau, 0, 0},
	} {
		if math.Abs(v.got-v.want) > v.tol {
			t.Errorf("%.4f, want %.4f", v.got, v.want)
		}
	}
	one := Batch{Tastings: []Tasting{{Hours: 5, Score: 3}, {Hours: 12, Score: 5}, {Hours: 30, Score: 7}}}
	last := 0.0
	for n := 1; n <= 3; n++ {
		var bs []Batch
		for range n {
			bs = append(bs, one)
		}
		out, err := Learn(p, 0, bs)
		if err != nil {
			t.Fatal(err)
		}
		if out.Batches != n || out.Tastings != 3*n || out.OwnRate <= last || out.OwnRate >= 1 {
			t.Errorf("%d batches: %d, %d, share %.2f after %.2f", n, out.Batches, out.Tastings, out.OwnRate, last)
		}
		last = out.OwnRate
	}
	again, _ := Learn(p, 0, []Batch{one})
	twice, _ := Learn(p, 0, []Batch{one})
	if again.Rate != twice.Rate {
		t.Error("the same input gave different answers")
	}
}

// simulated batches of a botanical with known hyper-parameters.
func simulated(n, tastings int, seed uint64) []Batch {
	rng := rand.New(rand.NewPCG(seed, 7))
	var out []Batch
	for range n {
		dose := math.Exp(rng.NormFloat64()*0.4 + math.Log(30))
		c := 7*math.Pow(dose/30, 0.6) + 0.8*rng.NormFloat64()
		k := math.Exp(math.Log(0.06) + 0.4*rng.NormFloat64())
		b := Batch{DoseGPerL: dose}
		for i := range tastings {
			at := 4 * math.Pow(2, float64(i)*5/float64(tastings))
			y := c*-math.Expm1(-k*at) + rng.NormFloat64()
			b.Tastings = append(b.Tastings, Tasting{Hours: at, Score: math.Max(0, math.Min(10, y))})
		}
		out = append(out, b)
	}
	return out
}

// The learned intervals hold the hyper-parameters that made the batches (many
// batches: all must lie within four posterior SD), dose and exponent included.
func TestLearnRecovers(t *testing.T) {
	out, err := Learn(plainPrior(0.1), 0, simulated(40, 5, 3))
	if err != nil {
		t.Fatal(err)
	}
	p30, p60 := out.Prior(30), out.Prior(60)
	for _, c := range []struct {
		what  string
		iv    Normal
		truth float64
	}{
		{"rate", out.Rate, math.Log(0.06)}, {"rate spread", out.rateSpread, 0.4}, {"plateau spread", out.plateauSpread, 0.8}, {"noise", out.noise, 1}, {"exponent", out.doseExponent, 0.6},
		{"plateau at 30 g/L", Normal{Mean: p30.Plateau.Mean, SD: out.Plateau.SD}, 7}, {"plateau at 60 g/L", Normal{Mean: p60.Plateau.Mean, SD: 1.6 * out.Plateau.SD}, 7 * math.Pow(2, 0.6)},
	} {
		t.Logf("%s: %.3f ± %.3f, made with %.3f", c.what, c.iv.Mean, c.iv.SD, c.truth)
		if math.Abs(c.iv.Mean-c.truth) > 4*c.iv.SD {
			t.Errorf("%s: %.3f ± %.3f, made with %.3f", c.what, c.iv.Mean, c.iv.SD, c.truth)
		}
	}
	if len(out.Warnings) > 0 || out.OwnRate < 0.9 || p60.Plateau.Mean < p30.Plateau.Mean {
		t.Errorf("%v, share %.2f", out.Warnings, out.OwnRate)
	}
}

// A known shift (a colder room) is undone before batches are compared.
func TestLearnShift(t *testing.T) {
	warm := simulated(12, 5, 5)
	cold := append([]Batch(nil), warm...)
	for i := range cold {
		cold[i].Shift = Shift{LogMean: math.Log(0.5), LogSD: 0.05}
		cold[i].Tastings = append([]Tasting(nil), warm[i].Tastings...)
		for j := range cold[i].Tastings {
			cold[i].Tastings[j].Hours *= 2
		}
	}
	a, err := Learn(plainPrior(0.1), 0, warm)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Learn(plainPrior(0.1), 0, cold)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(a.Rate.Mean-b.Rate.Mean) > 0.02 || math.Abs(a.Plateau.Mean-b.Plateau.Mean) > 0.05 {
		t.Errorf("%+v, %+v", a.Rate, b.Rate)
	}
}

// A share there at once is taken off before the rate is learned: jars made with
// it give back the rate of the slow rest, and read without it a faster one.
func TestLearnEarlyShare(t *testing.T) {
	const early, rate = 0.3, 0.06
	var bs []Batch
	for j := range 12 {
		c := 6 + 0.15*float64(j)
		b := Batch{}
		for i, h := range []float64{2, 6, 14, 30, 60} {
			y := c*(early-(1-early)*math.Expm1(-rate*h)) + 0.3*math.Sin(float64(7*j+3*i))
			b.Tastings = append(b.Tastings, Tasting{Hours: h, Score: y})
		}
		bs = append(bs, b)
	}
	h := botanical(Normal{math.Log(0.1), 0.8}, Normal{7, 2}, Normal{math.Log(0.5), 0.4})
	h.early = early
	out, err := h.learn(bs)
	if err != nil || math.Abs(out.Rate.Mean-math.Log(rate)) > 3*out.Rate.SD || out.Rate.SD > 0.2 {
		t.Errorf("%+v, want %g, %v", out.Rate, math.Log(rate), err)
	}
	// At once is at once: a jar nobody tasted has the share from the start, and
	// four fifths when 1 − 0.7·exp(−kt) says so.
	if w := out.TimeToShare(early); w.Median != 0 {
		t.Errorf("%+v to the share that is there", w)
	}
	if w, want := out.TimeToShare(0.8).Median, math.Log(0.7/0.2)/math.Exp(out.Rate.Mean); math.Abs(w/want-1) > 0.1 {
		t.Errorf("%g h to four fifths, want about %g", w, want)
	}
	h.early = 0
	if without, _ := h.learn(bs); without.Rate.Mean < out.Rate.Mean+0.2 {
		t.Errorf("read as a plain rise: %+v", without.Rate)
	}
	// A batch of its own share speaks the same when the others have none.
	for i := range bs {
		f := early
		bs[i].Early = &f
	}
	if own, _ := h.learn(bs); math.Abs(own.Rate.Mean-out.Rate.Mean) > 0.02 {
		t.Errorf("shares of the batches' own: %+v, %+v", own.Rate, out.Rate)
	}
}

// What a jar's own tastings say of its end does not come from the others: a jar
// tasted long past its rise ends where its late scores lie.
func TestLearnEnds(t *testing.T) {
	jar := func(end float64) (b Batch) {
		for _, h := range []float64{100, 150, 200, 250} {
			b.Tastings = append(b.Tastings, Tasting{Hours: h, Score: end})
		}
		return b
	}
	early := Batch{Tastings: []Tasting{{Hours: 0.5, Score: 0.1}}}
	out, err := Learn(plainPrior(0.1), 0, []Batch{jar(4), early, {}, jar(8)})
	if err != nil || len(out.ends) != 4 {
		t.Fatal(out.ends, err)
	}
	if a, b := out.ends[0], out.ends[3]; math.Abs(a.mean-4) > 0.15 || math.Abs(b.mean-8) > 0.15 || a.variance <= 0 {
		t.Errorf("ends %+v, %+v, want 4 and 8", a, b)
	}
	if out.ends[2].variance != 0 {
		t.Errorf("a jar without tastings ends at %+v", out.ends[2])
	}
	if e := out.ends[1]; e.variance != 0 && e.variance < 4 {
		t.Errorf("half an hour says that it ends at %+v", e)
	}
}

// Fewer points and wider strides change nothing that is seen: against the finest
// grid and thirty times the points the answers differ by less than a tenth of
// their spread.
func TestLearnIsFineEnough(t *testing.T) {
	for _, n := range []int{1, 6, 24} {
		if n > 6 && !*long {
			continue
		}
		bs := simulated(n, 4, 9)
		h := plainPrior(0.1).hyper()
		got, err := h.learn(bs)
		if err != nil {
			t.Fatal(err)
		}
		l := learnerFor(h, bs)
		centre := []float64{got.Plateau.Mean, got.Rate.Mean, got.plateauSpread.Mean, got.rateSpread.Mean, math.Log(got.noise.Mean), got.doseExponent.Mean}
		sd := []float64{got.Plateau.SD, got.Rate.SD, got.plateauSpread.SD, got.rateSpread.SD, 0.3, got.doseExponent.SD}
		cov := mat.NewSymDense(l.dims(), nil)
		for i := range l.dims() {
			cov.SetSym(i, i, sd[i]*sd[i])
		}
		var c mat.Cholesky
		c.Factorize(cov)
		fine := Learned{hyper: h, Batches: n}
		laid := l.layOn(proposal{newBump(1, centre[:l.dims()], &c)}, layPoints(l.dims(), 30000))
		for i, x := range laid.xs {
			d := l.unpack(x)
			d.w = laid.w[i]
			fine.draws = append(fine.draws, d)
		}
		fine.summarise()
		for _, v := range []struct {
			what      string
			got, want Normal
		}{{"rate", got.Rate, fine.Rate}, {"plateau", got.Plateau, fine.Plateau}, {"rate spread", got.rateSpread, fine.rateSpread}, {"plateau spread", got.plateauSpread, fine.plateauSpread}, {"noise", got.noise, fine.noise}} {
			if math.Abs(v.got.Mean-v.want.Mean) > 0.1*v.want.SD || math.Abs(v.got.SD/v.want.SD-1) > 0.1 {
				t.Errorf("%d batches, %s: %.4f ± %.4f, finer %.4f ± %.4f", n, v.what, v.got.Mean, v.got.SD, v.want.Mean, v.want.SD)
			}
		}
	}
}

func TestLearnErrors(t *testing.T) {
	tooLittle := -0.1
	p := plainPrior(0.05)
	unsure := p
	unsure.Early = 0.9
	for i, c := range []struct {
		p    Prior
		dose float64
		b    Batch
		want error
	}{
		{Prior{}, 0, Batch{}, errPrior}, {p, math.NaN(), Batch{}, errPrior}, {p, -1, Batch{}, errPrior}, {unsure, 0, Batch{}, errPrior},
		{p, 0, Batch{DoseGPerL: -1}, errBatch}, {p, 0, Batch{Shift: Shift{LogMean: math.NaN()}}, errBatch},
		{p, 0, Batch{Tastings: []Tasting{{Hours: math.NaN()}}}, errTasting}, {p, 0, Batch{Early: &tooLittle}, errBatch},
	} {
		if _, err := Learn(c.p, c.dose, []Batch{c.b}); !errors.Is(err, c.want) {
			t.Errorf("%d: %v, want %v", i, err, c.want)
		}
	}
	// Batches without tastings teach nothing and do no harm.
	out, err := Learn(p, 0, []Batch{{}, {Tastings: []Tasting{{Hours: 0, Score: 1}}}})
	if err != nil || out.Batches != 0 {
		t.Error(out.Batches, err)
	}
	out, err = Learn(p, 0, []Batch{{DoseGPerL: 20, Tastings: []Tasting{{Hours: 4, Score: 3}}}, {Tastings: []Tasting{{Hours: 4, Score: 3, Taster: "A"}, {Hours: 8, Score: 10, Taster: "B"}}}})
	if err != nil || len(out.Warnings) != 1 || math.IsNaN(out.Rate.Mean) {
		t.Error(out.Warnings, err)
	}
}

func BenchmarkLearn(b *testing.B) {
	for _, n := range []int{1, 6, 24} {
		bs := simulated(n, 4, 1)
		b.Run(fmt.Sprint(n, "x4"), func(b *testing.B) {
			for b.Loop() {
				if _, err := Learn(Usual(0.1, 3), 0, bs); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// plainPrior is the belief that the hierarchical check values were made with.
func plainPrior(rate float64) Prior {
	return Prior{LogRate: Normal{math.Log(rate), math.Log(3)}, Plateau: usualPlateau, LogNoise: Normal{math.Log(1.3), 0.4}, course: firstOrder}
}

// TestLearnFromManyAlike: batches that agree to the last digit leave a belief that can be
// used, however many they are.
func TestLearnFromManyAlike(t *testing.T) {
	for _, n := range []int{2, 8, 24, 48} {
		for _, score := range []float64{0, 4, 10} {
			bs := make([]Batch, n)
			for i := range bs {
				bs[i] = Batch{DoseGPerL: 34, Tastings: []Tasting{{Hours: 20, Score: score}}}
			}
			out, err := Learn(plainPrior(0.1), 20, bs)
			if err != nil {
				t.Fatal(err)
			}
			if err := out.Prior(34).validate(); err != nil {
				t.Errorf("%d batches of %g: %v", n, score, err)
			}
		}
	}
}
