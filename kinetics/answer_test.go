package kinetics

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
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

// usual is the everyday prior: a rate known to a factor of three, default
// plateau and noise.
func usual(rate float64) Prior {
	return Prior{LogRate: Normal{math.Log(rate), math.Log(3)}, Plateau: DefaultPlateau(), LogNoise: DefaultNoise()}
}

func TestNormalTable(t *testing.T) {
	tab := phiTable()
	for z := -9.0; z < 9; z += 0.0137 {
		if d := math.Abs(fastCDF(tab, z) - normalCDF(z)); d > 1e-8 {
			t.Fatalf("Φ(%g) off by %g", z, d)
		}
		if d := math.Abs(fastPDF(tab, z) - normalPDF(z)); d > 2e-4 {
			t.Fatalf("φ(%g) off by %g", z, d)
		}
	}
	if fastCDF(tab, math.Inf(1)) != 1 || fastCDF(tab, math.Inf(-1)) != 0 {
		t.Error("infinite arguments")
	}
	// Continuity of the asymptotic tail at its border.
	if a, b := logCDF(-29.999999), logCDF(-30.000001); math.Abs(a-b) > 7e-5 { // slope 30 over 2e-6
		t.Errorf("ln Φ jumps from %g to %g", a, b)
	}
	if a, b := hazard(-29.999999), hazard(-30.000001); math.Abs(a-b) > 3e-6 {
		t.Errorf("hazard jumps from %g to %g", a, b)
	}
}

// The seven-point Gauss-Hermite rule against gonum's, rescaled to the standard
// normal.
func TestHermiteRule(t *testing.T) {
	x, w := make([]float64, 7), make([]float64, 7)
	quad.Hermite{}.FixedLocations(x, w, math.Inf(-1), math.Inf(1))
	for i := range x {
		if math.Abs(x[i]*math.Sqrt2-hermite7[i][0]) > 1e-12 || math.Abs(w[i]/math.Sqrt(math.Pi)-hermite7[i][1]) > 1e-12 {
			t.Errorf("node %d: %g, %g, want %g, %g", i, hermite7[i][0], hermite7[i][1], x[i]*math.Sqrt2, w[i]/math.Sqrt(math.Pi))
		}
	}
}

// A 16-point Gauss rule is exact for the moments of Beta(a, b), whose closed
// form is a product of (a+i)/(a+b+i).
func TestBetaRule(t *testing.T) {
	for _, b := range []Beta{{2, 6}, {0.5, 0.5}, {1, 1}, {1, 9}, {0.2, 3}, {40, 60}} {
		f, w := b.jacobiNodes(16)
		want := 1.0
		for m := range 31 {
			got := 0.0
			for i := range f {
				got += w[i] * math.Pow(f[i], float64(m))
			}
			if math.Abs(got-want) > 1e-12 {
				t.Errorf("Beta(%g, %g), moment %d: %g, want %g", b.A, b.B, m, got, want)
			}
			want *= (b.A + float64(m)) / (b.A + b.B + float64(m))
		}
	}
}

func TestPriorIsPosteriorWithoutTastings(t *testing.T) {
	p := must(t, usual(0.05), nil)
	lk, c := p.LogRate(), p.Plateau()
	z := 1.6448536269514722 // distuv.UnitNormal.Quantile(0.95)
	for _, v := range []struct{ got, want float64 }{
		{lk.Mean, math.Log(0.05)}, {lk.SD, math.Log(3)}, {lk.P05, math.Log(0.05) - z*math.Log(3)}, {lk.P95, math.Log(0.05) + z*math.Log(3)},
		{c.Mean, 7}, {c.SD, 2}, {c.P05, 7 - 2*z}, {c.Median, 7}, {p.LogEvidence(), 0},
		{p.TimeToShare(0.8).Median, math.Log(5) / 0.05}, {p.HalfTime().Median, math.Ln2 / 0.05},
		{p.TimeToScore(8).Never, distuv.UnitNormal.CDF(0.5)},
		{p.Noise().Median, 1.3}, {p.Noise().P95, 1.3 * math.Exp(0.4*z)},
	} {
		if math.Abs(v.got-v.want) > 1e-4*math.Max(1, math.Abs(v.want)) {
			t.Errorf("%.9g, want %.9g", v.got, v.want)
		}
	}
	if p.State() != PriorOnly {
		t.Errorf("state %q", p.State())
	}
}

// The states that the sets were made for: one tasting, all on the plateau, a
// straight rise (sets f3, f4, f5 of fits/bayes_data.csv), enough for a date (f7).
func TestStates(t *testing.T) {
	sets := bayesSets(t)
	for _, c := range []struct {
		set  string
		p    Prior
		want State
	}{
		{"f0_none", narrow, PriorOnly}, {"f3_one", narrow, OneTasting}, {"f4_plateau", narrow, AllOnPlateau}, {"f5_linear", narrow, StraightRise}, {"f7_ten", narrow, Dated},
		{"f0_none", wide, PriorOnly}, {"f3_one", wide, OneTasting}, {"f4_plateau", wide, AllOnPlateau}, {"f5_linear", wide, StraightRise}, {"f7_ten", wide, Dated},
	} {
		p := must(t, c.p, sets[c.set])
		if got := p.State(); got != c.want {
			r, pl := p.Learned()
			t.Errorf("%s: %q, want %q (learned %.2f, %.2f)", c.set, got, c.want, r, pl)
		}
		if c.want.Reason() == "" {
			t.Errorf("%q has no reason", c.want)
		}
	}
	// Two tastings with noise of the everyday size leave the rate where it was.
	p := must(t, usual(0.05), []Tasting{{Hours: 20, Score: 5}, {Hours: 24, Score: 5}})
	if p.State() != UsualRange && p.State() != RangeOnly {
		t.Errorf("two close tastings: %q", p.State())
	}
}

func TestInputErrors(t *testing.T) {
	good := usual(0.05)
	for _, change := range []func(*Prior){
		func(p *Prior) { p.LogRate.SD = 0 }, func(p *Prior) { p.LogRate.Mean = math.NaN() }, func(p *Prior) { p.LogRate.Mean = math.Inf(1) },
		func(p *Prior) { p.Plateau.SD = -1 }, func(p *Prior) { p.Plateau.Mean = math.Inf(-1) }, func(p *Prior) { p.LogNoise.SD = math.NaN() },
		func(p *Prior) { p.LogNoise.Mean = math.NaN() }, func(p *Prior) { p.Early = Beta{1, 0} }, func(p *Prior) { p.TasterSD = -1 },
	} {
		p := good
		change(&p)
		if _, err := p.Posterior(nil); !errors.Is(err, ErrPrior) {
			t.Errorf("%+v: %v", p, err)
		}
	}
	for _, ts := range [][]Tasting{
		{{Hours: -1, Score: 3}}, {{Hours: math.NaN(), Score: 3}}, {{Hours: 1, Score: -1}}, {{Hours: 1, Score: math.Inf(1)}},
		{{Hours: 1, Score: 1, ExtraSD: -1}}, {{Hours: 1e-6, Score: 1}, {Hours: 1e6, Score: 1}},
	} {
		if _, err := good.Posterior(ts); !errors.Is(err, ErrTasting) {
			t.Errorf("%+v: %v", ts, err)
		}
	}
	if p := must(t, good, nil); p.TimeToShare(1).Never != 1 || p.TimeToShare(0).P95 != 0 || p.TimeToScore(math.Inf(1)).Never != 1 || p.TimeToScore(0).P95 != 0 ||
		p.ChanceAtLeast(0, 1) != 1 || p.ChanceAtLeast(5, -1) != 0 || p.ChanceAtLeast(5, math.NaN()) != 0 || p.ExpectedGain(Question{}, -1) != 0 || len(p.Tastings()) != 0 || p.Prior() != good {
		t.Error("the ends of the questions")
	}
	p := must(t, good, []Tasting{{Hours: 0, Score: 2}})
	if len(p.Warnings()) != 1 || p.State() != PriorOnly {
		t.Errorf("blank at zero hours: %v, %v", p.Warnings(), p.State())
	}
}

// The answers hang together whatever the tastings are.
func TestPosteriorProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		prior := Prior{
			LogRate:  Normal{rapid.Float64Range(-8, 2).Draw(t, "lk"), rapid.Float64Range(0.2, 1.6).Draw(t, "sd")},
			Plateau:  Normal{rapid.Float64Range(3, 9).Draw(t, "c"), rapid.Float64Range(0.5, 3).Draw(t, "csd")},
			LogNoise: Normal{rapid.Float64Range(-1, 1).Draw(t, "noise"), rapid.SampledFrom([]float64{0, 0.4}).Draw(t, "nsd")},
		}
		if rapid.IntRange(0, 4).Draw(t, "early") == 0 {
			prior.Early = Beta{2, 6}
		}
		unit := math.Exp(-prior.LogRate.Mean)
		ts := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) Tasting {
			ta := Tasting{Hours: unit * rapid.Float64Range(0.02, 20).Draw(t, "t"), Score: rapid.Float64Range(0, 10).Draw(t, "y")}
			ta.Censored = rapid.IntRange(0, 9).Draw(t, "cens") == 0
			ta.ExtraSD = rapid.SampledFrom([]float64{0, 0, 1}).Draw(t, "extra")
			ta.Taster = rapid.SampledFrom([]string{"", "", "", "B"}).Draw(t, "taster")
			return ta
		}), 0, 7).Draw(t, "ts")
		p, err := prior.Posterior(ts)
		if err != nil {
			t.Fatal(err)
		}
		total := 0.0
		for _, r := range p.rows {
			total += r.w
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
			slack := 1e-7 * (1 + math.Abs(iv.Median))
			if iv.P05 > iv.P25+slack || iv.P25 > iv.Median+slack || iv.Median > iv.P75+slack || iv.P75 > iv.P95+slack {
				t.Errorf("%s out of order: %+v", what, iv)
			}
		}
		ordered("rate", p.Rate())
		ordered("plateau", p.Plateau())
		ordered("noise", p.Noise())
		ordered("half time", p.HalfTime())
		w := p.TimeToScore(5)
		ordered("wait", w.Interval)
		if w.Never < 0 || w.Never > 1 {
			t.Errorf("never %g", w.Never)
		}
		// The quantile of the wait is where the chance is reached.
		if !math.IsInf(w.Median, 1) && w.Median > 0 {
			if c := p.ChanceAtLeast(5, w.Median); math.Abs(c-0.5) > 1e-5 {
				t.Errorf("chance %g at the median wait", c)
			}
		}
		if s80, s50 := p.TimeToShare(0.8), p.TimeToShare(0.5); s80.Median < s50.Median {
			t.Errorf("80 %% at %g before 50 %% at %g", s80.Median, s50.Median)
		}
		last := Interval{}
		for _, x := range []float64{0, 0.1, 1, 5, 1e4} {
			s, r := p.Strength(x*unit), p.Reading(x*unit)
			ordered("strength", s)
			if s.Mean < last.Mean-1e-9 && p.neverReaches(0) < 1e-9 {
				t.Errorf("mean strength falls: %g after %g", s.Mean, last.Mean)
			}
			if r.SD < s.SD-1e-9 || math.Abs(r.Mean-s.Mean) > 1e-9 {
				t.Errorf("reading %+v, strength %+v", r, s)
			}
			last = s
		}
		if c := p.Plateau(); math.Abs(last.Mean-c.Mean) > 0.02*math.Max(1, math.Abs(c.Mean)) && p.LogRate().P05 > math.Log(1e-3/unit) {
			t.Errorf("late strength %g, plateau %g", last.Mean, c.Mean)
		}
		win := p.Pull(Aim{Score: 5})
		if !(win.Low <= win.From && win.From <= win.Best && win.Best <= win.Until && win.Until <= win.High) {
			t.Errorf("window out of order: %+v", win)
		}
		n := p.NextTasting(Question{Score: 5}, 0.1*unit, 10*unit)
		if !(n.Gain >= 0 && n.Gain <= 1 && n.Hours >= 0.1*unit*(1-1e-9) && n.Hours <= 10*unit*(1+1e-9)) {
			t.Errorf("next tasting %+v", n)
		}
		_ = p.State().Reason()
	})
}

// A change of the unit of time changes the answers by that unit and nothing else.
func TestUnitOfTime(t *testing.T) {
	ts := bayesSets(t)["f2_five"]
	a := must(t, narrow, ts)
	hours := narrow
	hours.LogRate.Mean -= math.Log(24)
	var th []Tasting
	for _, x := range ts {
		x.Hours *= 24
		th = append(th, x)
	}
	b := must(t, hours, th)
	if d := math.Abs(b.TimeToScore(7).P90/24/a.TimeToScore(7).P90 - 1); d > 1e-7 {
		t.Errorf("off by %g", d)
	}
	if d := math.Abs(a.LogEvidence() - b.LogEvidence()); d > 1e-9 {
		t.Errorf("evidence off by %g", d)
	}
}

// Tastings that contradict prior and each other give wide or odd answers, but
// numbers.
func TestContradictions(t *testing.T) {
	for _, prior := range []Prior{narrow, usual(0.2), {LogRate: Normal{-2, 0.05}, Plateau: Normal{5, 0.1}, LogNoise: Normal{math.Log(0.05), 0}}} {
		for _, ts := range [][]Tasting{
			{{Hours: 1, Score: 1000}}, {{Hours: 1, Score: 10}, {Hours: 20, Score: 0}}, {{Hours: 1, Score: 0}, {Hours: 2, Score: 0}, {Hours: 50, Score: 0}},
			{{Hours: 1e-4, Score: 9}, {Hours: 1e4, Score: 1}}, {{Hours: 5, Score: 5}, {Hours: 5, Score: 5}, {Hours: 5, Score: 5}},
			{{Hours: 1, Score: 3, ExtraSD: 1000}}, {{Hours: 1, Score: 900, Censored: true}}, {{Hours: 1e300, Score: 5}},
		} {
			p := must(t, prior, ts)
			w, l := p.TimeToScore(6), p.TimeToShare(0.8)
			for _, v := range []float64{p.LogEvidence(), p.LogRate().Median, p.Plateau().P95, p.Noise().Mean, l.Median, p.Strength(3).Median, p.Reading(3).P05} {
				if !finite(v) {
					t.Errorf("%+v: %g", ts, v)
				}
			}
			if math.IsNaN(w.P05) || math.IsNaN(w.P95) || math.IsNaN(p.Pull(Aim{Score: 6}).Best) || math.IsNaN(p.NextTasting(Question{Score: 6}, 1, 10).Gain) {
				t.Errorf("%+v: %+v", ts, w)
			}
		}
	}
}

func TestPull(t *testing.T) {
	p := must(t, narrow, bayesSets(t)["f2_five"])
	ten, half, ninety := p.TimeToScore(6), p.TimeToScore(6), p.TimeToScore(6)
	w := p.Pull(Aim{Score: 6})
	if w.LimitedBy != ByTarget || math.Abs(w.Best-half.Median) > 1e-6 || math.Abs(w.From-ten.P10) > 1e-6 || math.Abs(w.Until-ninety.P90) > 1e-6 || math.Abs(w.Never-half.Never) > 1e-9 {
		t.Errorf("%+v, want %+v", w, half)
	}
	if c := p.Pull(Aim{Score: 6, EarlyLoss: 1, LateLoss: 3}); math.Abs(c.Best-half.P25) > 1e-6 {
		t.Errorf("late costs three times as much: %g, want the 25 %% quantile %g", c.Best, half.P25)
	}
	if c := p.Pull(Aim{}); c.LimitedBy != ByPlateau || math.Abs(c.Best-p.TimeToShare(0.8).Median) > 1e-6 {
		t.Errorf("as strong as it gets: %+v", c)
	}
	// A target above what it will be.
	if c := p.Pull(Aim{Score: 11}); c.LimitedBy != ByPlateau || c.Never < 0.9 || math.IsInf(c.Best, 1) || len(c.Warnings) == 0 {
		t.Errorf("out of reach: %+v", c)
	}
	// A target just under a well-known plateau: waiting past 95 % is pointless.
	flat := must(t, Prior{LogRate: Normal{0, 0.2}, Plateau: Normal{6, 0.2}}, nil)
	if c := flat.Pull(Aim{Score: 5.95}); c.LimitedBy != ByPlateau || c.Best > 3.1 || !math.IsInf(c.Until, 1) {
		t.Errorf("just under the plateau: %+v", c)
	}
	// A bitter taste four times slower, liked up to 2, ends a long steep early.
	slow := narrow
	slow.LogRate.Mean -= math.Log(4)
	bitter := must(t, slow, []Tasting{{Hours: 5, Score: 2}, {Hours: 9, Score: 3}})
	c := p.Pull(Aim{Score: 8, Limits: []Limit{{Name: "bitter", Curve: bitter, Max: 2}}})
	if c.LimitedBy != ByWatch || c.Watch != "bitter" || math.Abs(c.Best-bitter.TimeToScore(2).P25) > 1e-6 || c.Until > p.TimeToScore(8).P90 {
		t.Errorf("bitter: %+v, its quarter is at %g", c, bitter.TimeToScore(2).P25)
	}
	// The same jar started two days before this botanical went in.
	d := p.Pull(Aim{Score: 8, Limits: []Limit{{Name: "bitter", Curve: bitter, Max: 2, OffsetH: 2}}})
	if math.Abs(d.Best-(c.Best-2)) > 1e-6 {
		t.Errorf("offset: %g, want %g", d.Best, c.Best-2)
	}
	// A watch far away does not limit.
	if e := p.Pull(Aim{Score: 6, Limits: []Limit{{Name: "bitter", Curve: bitter, Max: 9.5}}}); e.LimitedBy != ByTarget {
		t.Errorf("far watch: %+v", e)
	}
	if e := p.Pull(Aim{Score: math.NaN(), EarlyLoss: -1, Limits: []Limit{{Name: "x"}}}); len(e.Warnings) != 3 || math.IsNaN(e.Best) {
		t.Errorf("nonsense: %+v", e)
	}
	early := must(t, narrow, []Tasting{{Hours: 0.5, Score: 1}})
	if e := early.Pull(Aim{Score: 6}); !e.Extrapolated {
		t.Errorf("one early tasting: %+v", e)
	}
}

// Expected variance of log k after one more score: taste_next.csv, computed with
// Python 3.11.2, NumPy 1.24.2, SciPy 1.10.1 on a 2601-point grid.
func TestExpectedGain(t *testing.T) {
	sets := bayesSets(t)
	var worst worstMargin
	best := map[string][2]float64{}
	n := 0
	for _, r := range table(t, "fits/taste_next.csv") {
		p := must(t, narrow, sets[r["set"]])
		at := number(t, r["t_next"])
		got := p.ExpectedGain(Question{}, at)
		worst.check(t, r["set"]+" "+r["t_next"], got, number(t, r["reduction_exact"]), 1e-4)
		if got > best[r["set"]][1] {
			best[r["set"]] = [2]float64{at, got}
		}
		n++
	}
	// Best time on that grid, from the page that describes the file.
	for set, want := range map[string]float64{"f0_none": 3, "f1_three": 42, "f3_one": 42, "f4_plateau": 3, "f5_linear": 3, "f6_two": 42} {
		if best[set][0] != want {
			t.Errorf("%s: best at %g d, want %g", set, best[set][0], want)
		}
	}
	t.Logf("%d gains; %s (%.2f of its tolerance)", n, worst.what, worst.miss)
}

func TestNextTasting(t *testing.T) {
	sets := bayesSets(t)
	p := must(t, narrow, nil)
	first := p.FirstTastings()
	half := p.TimeToShare(0.8).Median / 2
	for i, f := range []float64{0.25, 0.5, 1, 2, 4} {
		if math.Abs(first[i]/half-f) > 1e-9 {
			t.Errorf("first tastings %v, half of the time %g", first, half)
		}
	}
	if n := p.NextTasting(Question{}, 0, 40); n.Hours != first[0] || n.Stop {
		t.Errorf("%+v", n)
	}
	if n := p.NextTasting(Question{}, first[1]*1.1, 40); n.Hours != first[2] {
		t.Errorf("%+v, want %g", n, first[2])
	}
	// On the plateau: only an earlier tasting of a new jar helps, late ones do not.
	p = must(t, narrow, sets["f4_plateau"])
	if n := p.NextTasting(Question{}, 28, 60); !n.Stop {
		t.Errorf("%+v", n)
	}
	hours := func(ts []Tasting) []Tasting { // the sets are in days
		var out []Tasting
		for _, x := range ts {
			x.Hours *= 24
			out = append(out, x)
		}
		return out
	}
	slow := narrow
	slow.LogRate.Mean -= math.Log(24)
	p = must(t, slow, hours(sets["f3_one"]))
	if n := p.NextTasting(Question{}, 48, 42*24); n.Stop || n.Hours < 40*24 || math.Abs(n.Gain-0.27) > 0.02 {
		t.Errorf("%+v", n)
	}
	// For a wanted strength the telling time is near the time itself.
	p = must(t, slow, hours(sets["f2_five"]))
	n := p.NextTasting(Question{Score: 7}, 48, 60*24)
	if at := p.TimeToScore(7).Median; n.Hours < at/3 || n.Hours > 6*at {
		t.Errorf("%+v, the target is at %g", n, at)
	}
	if n.Stop {
		t.Errorf("%+v", n)
	}
	// The same days read as hours: the window is then known to less than a day.
	if n := must(t, narrow, sets["f7_ten"]).NextTasting(Question{}, 2, 40); !n.Stop {
		t.Errorf("%+v", n)
	}
	if n := p.NextTasting(Question{}, math.NaN(), math.Inf(1)); math.IsNaN(n.Hours) || n.Hours <= 0 {
		t.Errorf("%+v", n)
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
		// First-order spread against a finite difference.
		const h = 1e-5
		want := (Undiluted(s, f, e+h) - Undiluted(s, f, e-h)) / (2 * h)
		if got := DilutionSD(Undiluted(s, f, e), f, 1); math.Abs(got-want) > 1e-4*math.Max(1, want) {
			t.Errorf("spread %g, want %g", got, want)
		}
	})
	if DilutionSD(5, 0, 0.2) != 0 || DilutionSD(5, 1, 0.2) != 0 {
		t.Error("no spread without dilution")
	}
}

func TestSample(t *testing.T) {
	s, err := SampleAtBottleStrength(700, []Part{{"syrup", 420}, {"water", 280}}, 1)
	if err != nil || s.JarML != 5 || s.Parts[0].VolumeML != 3 || s.Parts[1].VolumeML != 2 || s.TotalML != 10 || math.Abs(s.JarFraction-0.5) > 1e-12 || s.Error > 1e-12 {
		t.Errorf("%+v, %v", s, err)
	}
	s, err = SampleAtBottleStrength(500, nil, 0)
	if err != nil || s.JarML != 1 || s.JarFraction != 1 {
		t.Errorf("neat: %+v, %v", s, err)
	}
	rapid.Check(t, func(t *rapid.T) {
		jar, a, b := rapid.Float64Range(50, 5000).Draw(t, "jar"), rapid.Float64Range(0, 3000).Draw(t, "a"), rapid.Float64Range(0, 3000).Draw(t, "b")
		s, err := SampleAtBottleStrength(jar, []Part{{"a", a}, {"b", b}}, 0.5)
		if err != nil {
			t.Fatal(err)
		}
		if s.JarML <= 0 || s.TotalML > 60+0.5*(jar+a+b)/jar+1 {
			t.Errorf("%+v", s)
		}
	})
	for _, bad := range []func() (Sample, error){
		func() (Sample, error) { return SampleAtBottleStrength(0, nil, 1) },
		func() (Sample, error) { return SampleAtBottleStrength(1, []Part{{"x", -1}}, 1) },
		func() (Sample, error) { return SampleAtBottleStrength(1, nil, -1) },
		func() (Sample, error) { return SampleAtBottleStrength(1, []Part{{"x", math.NaN()}}, 1) },
	} {
		if _, err := bad(); err != ErrSample {
			t.Error(err)
		}
	}
}

func TestReasonsAreSentences(t *testing.T) {
	for _, s := range []State{PriorOnly, OneTasting, AllOnPlateau, StraightRise, UsualRange, RangeOnly, Dated} {
		if r := s.Reason(); !strings.HasSuffix(r, ".") || strings.ContainsAny(r, "0123456789") {
			t.Errorf("%q: %q", s, r)
		}
	}
	if State("other").Reason() != "" {
		t.Error("unknown state")
	}
}
