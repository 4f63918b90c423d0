package kinetics

import (
	"math"
	"testing"

	"steepbook/kinetics/internal/printed"
)

func TestHierarchicalLikelihood(t *testing.T) {
	for _, c := range []struct {
		model, file, group, x, y string
		h                        hyper
	}{
		{"batches2_Cl_diag_exactML", "fits/batches2_data.csv", "batch", "t", "score", botanical(Normal{-1.4, 1}, Normal{6, 2}, Normal{-1, 0.4})},
		{"co2x_firstorder_Al_diag_exactML", "fits/co2x_data.csv", "Plant", "x", "y", botanical(Normal{0, 0.5}, Normal{32, 10}, Normal{0.6, 0.4})},
	} {
		_, sets := batchSet(t, c.file, c.group, c.x, c.y)
		l := learnerFor(c.h, batches(sets))
		want := values(t, "fits/hier_exact.csv", c.model)
		at := draw{muC: want["A(mean)"], muK: want["l(mean)"], tauC: want["sd.A"], tauK: want["sd.l"], sigma: want["sigma"]}
		ll := l.evidence(at)
		if math.Abs(ll-want["logLik"]) > 1e-6 {
			t.Errorf("%s: log likelihood %.8f at the maximum, want %.8f", c.model, ll, want["logLik"])
		}
		x, top := maximise([]float64{at.muC * 1.02, at.muK + 0.02, math.Log(at.tauC) + 0.1, math.Log(at.tauK) - 0.1, math.Log(at.sigma) + 0.05}, func(x []float64) float64 {
			return l.evidence(draw{muC: x[0], muK: x[1], tauC: math.Exp(x[2]), tauK: math.Exp(x[3]), sigma: math.Exp(x[4])})
		})
		var worst worstMargin
		worst.check(t, c.model+" mean C", x[0], at.muC, 1e-5*at.muC)
		worst.check(t, c.model+" mean ln k", x[1], at.muK, 1e-5)
		worst.check(t, c.model+" sd C", math.Exp(x[2]), at.tauC, 2e-5*at.tauC)
		worst.check(t, c.model+" sd ln k", math.Exp(x[3]), at.tauK, 2e-5)
		worst.check(t, c.model+" sigma", math.Exp(x[4]), at.sigma, 1e-5*at.sigma)
		worst.check(t, c.model+" logLik", top, want["logLik"], 1e-6)
		t.Logf("%s: log likelihood off by %.1e; %s (%.2f of its tolerance)", c.model, ll-want["logLik"], worst.what, worst.miss)
	}
}

// Models with only the asymptote random are Gaussian: R's Loblolly (SSasymp) and
// Orange (SSlogis) data. Exact maximum likelihood in fits/hier_exact.csv; lme4's
// nlmer gives 102.1198, −8.5494, −3.24397 and 192.0528, 727.904, 348.072.
func TestRandomAsymptote(t *testing.T) {
	fit := func(model, file, group, x, y string, start []float64, shape func(p []float64, t float64) (offset, x float64)) {
		_, sets := batchSet(t, file, group, x, y)
		f := func(p []float64) float64 {
			va, sigma := math.Exp(2*p[3]), math.Exp(p[4])
			var l learner
			sum := 0.0
			for _, s := range sets {
				person := learnPerson{n: len(s), ab: make([]float64, 2)}
				for _, r := range s {
					off, x := shape(p, r.Hours)
					y := r.Score - off
					person.ab[0] += x * x
					person.ab[1] += x * y
					person.yy += y * y
				}
				sum += l.at(&learnGroup{people: []learnPerson{person}}, 0, p[0], va, sigma) - float64(len(s))*(logRoot2Pi+p[4])
			}
			return sum
		}
		p, top := maximise(start, f)
		want := values(t, "fits/hier_exact.csv", model)
		names := []string{"Asym", "R0", "lrc"}
		if _, ok := want["xmid"]; ok {
			names = []string{"Asym", "xmid", "scal"}
		}
		if _, ok := want["sd.C(taster)"]; ok {
			names = []string{"C(mean)", "", "lk"}
			want["sd.Asym"] = want["sd.C(taster)"]
		}
		for i, n := range names {
			if n == "" {
				continue
			}
			if math.Abs(p[i]/want[n]-1) > 1e-5 {
				t.Errorf("%s: %s %.8g, want %.8g", model, n, p[i], want[n])
			}
		}
		if math.Abs(math.Exp(p[3])/want["sd.Asym"]-1) > 2e-5 || math.Abs(math.Exp(p[4])/want["sigma"]-1) > 1e-5 || math.Abs(top-want["logLik"]) > 1e-6 {
			t.Errorf("%s: %.7g, %.7g, %.7f, want %.7g, %.7g, %.7f", model, math.Exp(p[3]), math.Exp(p[4]), top, want["sd.Asym"], want["sigma"], want["logLik"])
		}
	}
	fit("loblolly_SSasymp_Asym_exactML", "fits/loblolly_data.csv", "Seed", "age", "height", []float64{101, -8.6, -3.23, math.Log(3.6), math.Log(0.72)},
		func(p []float64, t float64) (float64, float64) {
			e := math.Exp(-math.Exp(p[2]) * t)
			return p[1] * e, 1 - e
		})
	fit("orange_SSlogis_Asym_exactML", "fits/orange_data.csv", "Tree", "age", "circumference", []float64{192, 727, 348, math.Log(31), math.Log(7.8)},
		func(p []float64, t float64) (float64, float64) { return 0, 1 / (1 + math.Exp((p[1]-t)/p[2])) })
	// Three tasters with a common rate and a plateau each: fits/tasters_data.csv.
	fit("tasters_gain_exactML", "fits/tasters_data.csv", "taster", "t", "score", []float64{7.3, 0, -1.4, math.Log(1.1), math.Log(0.3)},
		func(p []float64, t float64) (float64, float64) { return 0, -math.Expm1(-math.Exp(p[2]) * t) })
}

// Shrinkage alone, the population held fixed: fits/hier_batch_posteriors.csv,
// model batches_fixedpop, and the sum of log evidences in hier_exact.csv.
func TestShrinkage(t *testing.T) {
	names, sets := batchSet(t, "fits/batches_data.csv", "batch", "t", "score")
	prior := Prior{LogRate: Normal{math.Log(0.25), 0.5}, Plateau: Normal{7.5, 1}, LogNoise: Normal{math.Log(0.6), 0}, course: firstOrder, grid: settings{rates: 401, plateaus: 161, noises: 1, reach: 8, faceValue: true}}
	sum := 0.0
	for i, s := range sets {
		p := must(t, prior, s)
		sum += p.LogEvidence()
		for _, r := range printed.Table(t, "fits/hier_batch_posteriors.csv") {
			if r["group"] != names[i] || r["model"][:10] != "batches_fi" {
				continue
			}
			for _, v := range []struct {
				col string
				got float64
			}{{"mean_A", p.Plateau().Mean}, {"sd_A", p.Plateau().SD}, {"mean_l", p.LogRate().Mean}, {"sd_l", p.LogRate().SD}} {
				if want := printed.Number(t, r[v.col]); math.Abs(v.got-want) > 1e-3 { // the cells of the grid are 0.05 of an SD
					t.Errorf("%s %s: %.7f, want %.7f", names[i], v.col, v.got, want)
				}
			}
		}
	}
	if want := values(t, "fits/hier_exact.csv", "batches_fixedpop")["logLik"]; math.Abs(sum-want) > 1e-3 {
		t.Errorf("sum of log evidences %.8f, want %.8f", sum, want)
	}
}

// The full posterior of the eight batches whose most likely spread of plateaus is
// zero: fits/hier_exact.csv, rows batches_fullBayes_mcmc (affine-invariant
// ensemble sampler, 60 × 12000 steps; its own error is in the rows mcse). Its
// noise prior is half-normal(1); the draws are re-weighted to it here.
func TestLearnAgainstMCMC(t *testing.T) {
	_, sets := batchSet(t, "fits/batches_data.csv", "batch", "t", "score")
	h := botanical(Normal{math.Log(0.2), 1}, Normal{7, 2}, Normal{math.Log(0.7), 0.8})
	h.rateSpread = 0.5
	out, err := h.learn(batches(sets))
	if err != nil {
		t.Fatal(err)
	}
	if len(out.Warnings) > 0 {
		t.Error(out.Warnings)
	}
	total := 0.0
	for i := range out.draws {
		d := &out.draws[i]
		d.w *= d.sigma * math.Exp(-d.sigma*d.sigma/2-h.logNoise.logPDF(math.Log(d.sigma)))
		total += d.w
	}
	for i := range out.draws {
		out.draws[i].w /= total
	}
	out.summarise()
	want := values(t, "fits/hier_exact.csv", "batches_fullBayes_mcmc")
	p := out.Prior(0)
	next := out.TimeToShare(0.8)
	k, c := out.Intervals()
	tauC := weighted(out.draws, func(d draw) float64 { return d.tauC })
	tauK := weighted(out.draws, func(d draw) float64 { return math.Max(d.tauK, smallest) })
	noise := weighted(out.draws, func(d draw) float64 { return d.sigma })
	var worst worstMargin
	for _, f := range []struct {
		what     string
		got, tol float64
	}{
		{"mu_C.mean", out.Plateau.Mean, 0.02}, {"mu_C.sd", out.Plateau.SD, 0.02}, {"mu_C.q50", c.Median, 0.02},
		{"mu_lk.mean", out.Rate.Mean, 0.01}, {"mu_lk.sd", out.Rate.SD, 0.01}, {"mu_lk.q50", k.Median, 0.015},
		{"tau_C.mean", out.plateauSpread.Mean, 0.02}, {"tau_C.sd", out.plateauSpread.SD, 0.02}, {"tau_C.q50", tauC.Median, 0.025},
		{"tau_lk.mean", out.rateSpread.Mean, 0.006}, {"tau_lk.sd", out.rateSpread.SD, 0.006}, {"tau_lk.q50", tauK.Median, 0.01},
		{"sigma.mean", out.noise.Mean, 0.004}, {"sigma.sd", out.noise.SD, 0.004}, {"sigma.q50", noise.Median, 0.005},
		{"newbatch.lk.mean", p.LogRate.Mean, 0.01}, {"newbatch.lk.sd", p.LogRate.SD, 0.01},
		{"newbatch.t80.q10", next.P10, 0.05}, {"newbatch.t80.q25", next.P25, 0.06}, {"newbatch.t80.q50", next.Median, 0.08}, {"newbatch.t80.q75", next.P75, 0.15}, {"newbatch.t80.q90", next.P90, 0.3},
	} {
		worst.check(t, f.what, f.got, want[f.what], f.tol)
	}
	t.Logf("closest to its tolerance: %s (%.2f of it)", worst.what, worst.miss)
	// The spread whose maximum-likelihood value is zero must stay open.
	if tauC.P95 < 1.5 || p.Plateau.SD < 0.8 {
		t.Errorf("a spread of zero was believed: %+v", tauC)
	}
}
