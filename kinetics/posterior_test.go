package kinetics

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"steepbook/kinetics/internal/printed"
)

// table reads a CSV whose comment lines start with #. Each row is a map by the
// header.
// Posteriors of eight small sets, computed with Python 3.11.2, NumPy 1.24.2,
// SciPy 1.10.1: plateau analytic, log k by a 12001-point trapezoid over ±9 prior
// SD, confirmed on a 1601×1601 grid. The sets and their values lie in
// testdata/reference/fits; times there are days.
func bayesSets(t testing.TB) map[string][]Tasting {
	sets := map[string][]Tasting{"f0_none": nil}
	for _, r := range printed.Table(t, "fits/bayes_data.csv") {
		sets[r["set"]] = append(sets[r["set"]], Tasting{Hours: printed.Number(t, r["t"]), Score: printed.Number(t, r["score"])})
	}
	return sets
}

// exact is a grid fine enough for the values of the files: first order alone, the
// scores at their face value, nothing cut. What is left of an error is the width
// of a cell of the plateau (0.03 SD), over which its weight is spread evenly, and
// that of a bin of the answers.
var exact = settings{rates: 301, plateaus: 361, noises: 21, reach: 6, faceValue: true}

var (
	narrow = Prior{LogRate: Normal{math.Log(0.2), 0.7}, Plateau: Normal{8, 1.5}, LogNoise: Normal{math.Log(0.7), 0}, course: firstOrder, grid: exact}
	wide   = Prior{LogRate: Normal{math.Log(0.2), 1.2}, Plateau: Normal{7, 2}, LogNoise: Normal{math.Log(1.2), 0}, course: firstOrder, grid: exact}
)

// worstMargin keeps the largest miss in units of its tolerance.
type worstMargin struct {
	what string
	miss float64
}

func (w *worstMargin) check(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	miss := math.Abs(got-want) / tol
	if math.IsInf(want, 1) && math.IsInf(got, 1) {
		miss = 0
	}
	if !(miss <= 1) {
		t.Errorf("%s: %.9g, want %.9g ± %.1g", what, got, want, tol)
	}
	if miss > w.miss {
		w.what, w.miss = what, miss
	}
}

func TestPosteriorAgainstGrid(t *testing.T) {
	sets := bayesSets(t)
	posts := map[string]*Posterior{}
	var worst worstMargin
	n := 0
	for _, r := range printed.Table(t, "fits/bayes_posterior.csv") {
		name, prior := r["set"], narrow
		if rest, ok := strings.CutPrefix(name, "wide."); ok {
			name, prior = rest, wide
		}
		ts, ok := sets[name]
		if !ok {
			continue
		}
		p := posts[r["set"]]
		if p == nil {
			var err error
			if p, err = prior.Posterior(ts); err != nil {
				t.Fatal(err)
			}
			posts[r["set"]] = p
		}
		want := printed.Number(t, r["value"])
		lk, c := p.LogRate(), p.Plateau()
		rel := math.Max(1e-3*math.Abs(want), 1e-5)
		what := r["set"] + " " + r["quantity"]
		q, ok := strings.CutPrefix(r["quantity"], "exact.")
		if !ok {
			switch r["quantity"] {
			case "shrink.lk":
				got := 1 - math.Pow(lk.SD/prior.LogRate.SD, 2)
				worst.check(t, what, got, want, 1e-3)
				n++
			case "shrink.C":
				got := 1 - math.Pow(c.SD/prior.Plateau.SD, 2)
				worst.check(t, what, got, want, 1e-3)
				n++
			}
			continue
		}
		var level, at float64
		switch {
		case q == "logevidence":
			worst.check(t, what, p.LogEvidence(), want, 2e-4)
		case q == "mean.C":
			worst.check(t, what, c.Mean, want, rel)
		case q == "sd.C":
			worst.check(t, what, c.SD, want, rel)
		case q == "mean.lk":
			worst.check(t, what, lk.Mean, want, rel)
		case q == "sd.lk":
			worst.check(t, what, lk.SD, want, rel)
		case q == "mean.k":
			worst.check(t, what, p.Rate().Mean, want, rel)
		case q == "sd.k":
			worst.check(t, what, p.Rate().SD, want, rel)
		case scan(q, "P(C<=%g)", &level):
			worst.check(t, what, p.TimeToScore(level).Never, want, 4e-4)
		case scan(q, "mean.y(t=%g)", &at):
			worst.check(t, what, p.Strength(at).Mean, want, rel)
		case scan(q, "sd.y(t=%g)", &at):
			worst.check(t, what, p.Strength(at).SD, want, rel)
		case scan(q, "pred.sd.y(t=%g)", &at):
			noise, _ := p.Noise()
			worst.check(t, what, math.Hypot(p.Strength(at).SD, noise), want, rel)
		default:
			dot := strings.LastIndex(q, ".")
			if q[0] != 'q' || dot < 0 {
				continue
			}
			pct, of := printed.Number(t, q[1:dot]), q[dot+1:]
			tail := math.Max(2e-3*math.Abs(want), 1e-5)
			if pct < 5 || pct > 95 {
				continue // the printed check values reach further than the answers given
			}
			var iv Wait
			from := func(x Interval) { iv = Wait{P05: x.P05, P25: x.P25, Median: x.Median, P75: x.P75, P95: x.P95} }
			switch {
			case of == "lk":
				from(lk)
				tail = 1.5e-3 * math.Max(1, math.Abs(want))
			case of == "C":
				from(c)
			case of == "t80":
				iv = p.TimeToShare(0.8)
			case scan(of, "t(y=%g)", &level):
				iv = p.TimeToScore(level)
			case scan(of, "y(t=%g)", &at):
				from(p.Strength(at))
				tail = 9e-3 // half a bin
			default:
				continue
			}
			got, ok := map[float64]float64{5: iv.P05, 10: iv.P10, 25: iv.P25, 50: iv.Median, 75: iv.P75, 90: iv.P90, 95: iv.P95}[pct]
			if !ok || got == 0 || math.IsInf(want, 1) && got > 1e4 { // just beside "never"
				continue
			}
			worst.check(t, what, got, want, tail)
		}
		n++
	}
	t.Logf("%d values checked; closest to its tolerance: %s (%.2f of it)", n, worst.what, worst.miss)
	if n < 500 {
		t.Errorf("only %d values were compared", n)
	}
}

func scan(s, format string, v *float64) bool {
	n, err := fmt.Sscanf(s, format, v)
	return n == 1 && err == nil
}

// Unknown noise: set f2_five_sigma_unknown of the same file, by a 401-point sum
// over log sigma.
func TestPosteriorUnknownNoise(t *testing.T) {
	prior := narrow
	prior.LogNoise.SD = 0.35
	p, err := prior.Posterior(bayesSets(t)["f2_five"])
	if err != nil {
		t.Fatal(err)
	}
	w := p.TimeToShare(0.8)
	mean, sd := p.Noise()
	got := map[string]float64{
		"exact.logevidence": p.LogEvidence(), "exact.mean.lk": p.LogRate().Mean, "exact.sd.lk": p.LogRate().SD,
		"exact.mean.C": p.Plateau().Mean, "exact.sd.C": p.Plateau().SD, "exact.mean.sigma": mean, "exact.sd.sigma": sd,
		"exact.q5.t80": w.P05, "exact.q10.t80": w.P10, "exact.q25.t80": w.P25, "exact.q50.t80": w.Median, "exact.q75.t80": w.P75, "exact.q90.t80": w.P90, "exact.q95.t80": w.P95,
	}
	var worst worstMargin
	n := 0
	for _, r := range printed.Table(t, "fits/bayes_posterior.csv") {
		if g, ok := got[r["quantity"]]; ok && r["set"] == "f2_five_sigma_unknown" {
			want := printed.Number(t, r["value"])
			worst.check(t, r["quantity"], g, want, 3e-3*math.Abs(want))
			n++
		}
	}
	t.Logf("%d values; %s (%.2f of its tolerance)", n, worst.what, worst.miss)
	if n != len(got) {
		t.Errorf("%d values compared, want %d", n, len(got))
	}
}

// The belief about one flavour after four scores, and what an order needs of it.
func BenchmarkPosterior(b *testing.B) {
	prior := Usual(0.05, 2)
	ts := []Tasting{{Hours: 2, Score: 1}, {Hours: 5, Score: 2}, {Hours: 10, Score: 3.5}, {Hours: 20, Score: 5}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := prior.Posterior(ts); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMiss44(b *testing.B) {
	p := must(b, Usual(0.05, 2), []Tasting{{Hours: 2, Score: 1}, {Hours: 5, Score: 2}, {Hours: 10, Score: 3.5}, {Hours: 20, Score: 5}})
	for b.Loop() {
		for i := range 44 {
			p.Miss(6, 15, float64(i+1), 20)
		}
	}
}
