package kinetics

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// Biochemical oxygen demand, Marske 1967, in Bates and Watts, Nonlinear
// Regression Analysis and Its Applications, Wiley 1988, A1.4 p. 270 (R data set
// BOD). Check values: R 4.2.2 nls and root-searched profiles, in
// testdata/reference/fits/bod_fit.csv, bod_band.csv and bod_profile.csv.
func bod(t testing.TB) Fit {
	var x, y []float64
	for _, r := range table(t, "nist-strd/BOD-bates-watts.csv") {
		x, y = append(x, number(t, r["x"])), append(y, number(t, r["y"]))
	}
	f, err := FitFirstOrder(x, y, nil)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestFitBOD(t *testing.T) {
	f := bod(t)
	// Bates and Watts print 19.143 and 0.5311.
	if math.Abs(f.Plateau-19.143) > 5e-4 || math.Abs(f.Rate-0.5311) > 5e-5 {
		t.Errorf("published estimates: %v, %v", f.Plateau, f.Rate)
	}
	got := map[string]float64{
		"df": float64(f.DF), "Asym": f.Plateau, "lrc": f.LogRate, "k=exp(lrc)": f.Rate,
		"se.Asym": f.SEPlateau, "se.lrc": f.SELogRate, "se.k (delta)": f.SERate, "cor.Asym.lrc": f.Corr,
		"sigma": f.ResidualSD, "RSS": f.RSS, "fitted[t=1]": f.At(1), "fitted[t=7]": f.At(7),
		"RSS at k->Inf (constant)": f.RSSFlat, "RSS at k->0 (line through 0)": f.RSSStraight,
	}
	put := func(name string, lo, hi float64) { got[name+".lo"], got[name+".hi"] = lo, hi }
	for _, pct := range []int{50, 80, 90, 95, 99} {
		level, pre := float64(pct)/100, fmt.Sprintf("profile%d.", pct)
		lo, hi := f.RateInterval(level)
		put(pre+"k", lo, hi)
		put(pre+"lrc", math.Log(lo), math.Log(hi))
		lo, hi = f.PlateauInterval(level)
		put(pre+"Asym", lo, hi)
	}
	for _, y := range []float64{10, 15, 18} {
		best, lo, hi := f.TimeInterval(y, 0.95)
		got[fmt.Sprintf("t.to.y%g", y)] = best
		put(fmt.Sprintf("profile95.t.to.y%g", y), lo, hi)
	}
	var worst worstMargin
	n := 0
	for _, r := range table(t, "fits/bod_fit.csv") {
		g, ok := got[r["quantity"]]
		if !ok {
			continue
		}
		n++
		if r["value"] == "NA" {
			open := math.IsInf(g, 0) || g == 0 && (strings.HasSuffix(r["quantity"], ".k.lo") || strings.Contains(r["quantity"], ".t")) // 0 h is the open lower end of a time
			if !open {
				t.Errorf("%s: %g, want an open end", r["quantity"], g)
			}
			continue
		}
		want := number(t, r["value"])
		worst.check(t, r["quantity"], g, want, math.Max(2e-8*math.Abs(want), 1e-9))
	}
	t.Logf("%d values; %s (%.2f of its tolerance)", n, worst.what, worst.miss)
	if n != len(got) {
		t.Errorf("%d of %d values have a check", n, len(got))
	}

	for _, r := range table(t, "fits/bod_band.csv") {
		at := number(t, strings.TrimSpace(r["t"]))
		lo, hi := f.ReadingInterval(at, 0.95)
		worst.check(t, fmt.Sprintf("band %g lo", at), lo, number(t, strings.TrimSpace(r["prof_lo95"])), 1e-6)
		worst.check(t, fmt.Sprintf("band %g hi", at), hi, number(t, strings.TrimSpace(r["prof_hi95"])), 1e-6)
	}
}

// A saturated series (caffeine of coffee at 100 °C, Pham and Nguyen 2012, first
// sample already at 94 to 96 % of the last) must not give a confident rate.
func TestFitSaturatedSeries(t *testing.T) {
	by := map[string][2][]float64{}
	for _, r := range table(t, "extraction-timeseries/coffee-caffeine-100C-nhan2012.csv") {
		key := r["species"] + r["temperature_c"]
		s := by[key]
		s[0] = append(s[0], number(t, r["time_min"])/60)
		s[1] = append(s[1], number(t, r["caffeine_pct"]))
		by[key] = s
	}
	for key, s := range by {
		if len(s[0]) < 4 {
			continue
		}
		f, err := FitFirstOrder(s[0], s[1], nil)
		if err == ErrFlat {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		// Whatever the rate, half of the rise was over long before the first sample.
		if math.Ln2/f.Rate > s[0][0]/2 {
			t.Errorf("%s: half time %g h with a first sample at %g h", key, math.Ln2/f.Rate, s[0][0])
		}
	}
}

func TestFitErrors(t *testing.T) {
	if _, err := FitFirstOrder([]float64{1}, []float64{2}, nil); err != ErrTooFew {
		t.Error(err)
	}
	if _, err := FitFirstOrder([]float64{1, 2}, []float64{2}, nil); err != ErrReadings {
		t.Error(err)
	}
	f, err := FitFirstOrder([]float64{1, 2, 3}, []float64{1, 2, 3}, nil)
	if err != ErrStraight || f.Slope != 1 || !math.IsInf(f.Plateau, 1) || f.At(5) != 5 {
		t.Errorf("%+v, %v", f, err)
	}
	f, err = FitFirstOrder([]float64{10, 20, 30}, []float64{7, 8, 7.5}, nil)
	if err != nil && err != ErrFlat {
		t.Errorf("%+v, %v", f, err)
	}
	// Two readings: the curve passes through both, every interval is open.
	f, err = FitFirstOrder([]float64{2, 6}, []float64{3, 5}, nil)
	if err != nil || !math.IsInf(f.SEPlateau, 1) {
		t.Errorf("%+v, %v", f, err)
	}
	if lo, hi := f.RateInterval(0.9); lo != 0 || !math.IsInf(hi, 1) {
		t.Errorf("interval %g to %g without degrees of freedom", lo, hi)
	}
}

func BenchmarkFitFirstOrder(b *testing.B) {
	x, y := []float64{1, 2, 3, 4, 5, 7}, []float64{8.3, 10.3, 19, 16, 15.6, 19.8}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := FitFirstOrder(x, y, nil); err != nil {
			b.Fatal(err)
		}
	}
}
