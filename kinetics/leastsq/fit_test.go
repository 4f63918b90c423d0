package leastsq

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"steepbook/kinetics/internal/printed"
)

// Biochemical oxygen demand, Marske 1967, in Bates and Watts, Nonlinear
// Regression Analysis and Its Applications, Wiley 1988, A1.4 p. 270 (R data set
// BOD). Check values: R 4.2.2 nls and root-searched profiles, in
// testdata/reference/fits/bod_fit.csv, bod_band.csv and bod_profile.csv.
func bod(t testing.TB) Fit {
	var x, y []float64
	for _, r := range printed.Table(t, "nist-strd/BOD-bates-watts.csv") {
		x, y = append(x, printed.Number(t, r["x"])), append(y, printed.Number(t, r["y"]))
	}
	f, err := FirstOrder(x, y)
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
		"df": float64(f.df), "Asym": f.Plateau, "lrc": f.logRate, "k=exp(lrc)": f.Rate,
		"RSS": f.rss, "fitted[t=1]": f.at(1), "fitted[t=7]": f.at(7),
		"RSS at k->Inf (constant)": f.rssFlat, "RSS at k->0 (line through 0)": f.rssStraight,
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
	check := func(what string, got, want, tol float64) {
		t.Helper()
		if !(math.Abs(got-want) <= tol) {
			t.Errorf("%s: %.9g, want %.9g ± %.1g", what, got, want, tol)
		}
	}
	n := 0
	for _, r := range printed.Table(t, "fits/bod_fit.csv") {
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
		want := printed.Number(t, r["value"])
		check(r["quantity"], g, want, math.Max(2e-8*math.Abs(want), 1e-9))
	}
	if n != len(got) {
		t.Errorf("%d of %d values have a check", n, len(got))
	}

	for _, r := range printed.Table(t, "fits/bod_band.csv") {
		at := printed.Number(t, r["t"])
		lo, hi := f.readingInterval(at, 0.95)
		check(fmt.Sprintf("band %g lo", at), lo, printed.Number(t, r["prof_lo95"]), 1e-6)
		check(fmt.Sprintf("band %g hi", at), hi, printed.Number(t, r["prof_hi95"]), 1e-6)
	}
}

// A saturated series (caffeine of coffee at 100 °C, Pham and Nguyen 2012, first
// sample already at 94 to 96 % of the last) must not give a confident rate.
func TestFitSaturatedSeries(t *testing.T) {
	by := map[string][2][]float64{}
	for _, r := range printed.Table(t, "extraction-timeseries/coffee-caffeine-100C-nhan2012.csv") {
		key := r["species"] + r["temperature_c"]
		s := by[key]
		s[0] = append(s[0], printed.Number(t, r["time_min"])/60)
		s[1] = append(s[1], printed.Number(t, r["caffeine_pct"]))
		by[key] = s
	}
	for key, s := range by {
		if len(s[0]) < 4 {
			continue
		}
		f, err := FirstOrder(s[0], s[1])
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

func TestFitAtItsEnds(t *testing.T) {
	f, err := FirstOrder([]float64{1, 2, 3}, []float64{1, 2, 3})
	if err != ErrStraight || f.Slope != 1 || !math.IsInf(f.Plateau, 1) || f.at(5) != 5 {
		t.Errorf("%+v, %v", f, err)
	}
	f, err = FirstOrder([]float64{10, 20, 30}, []float64{7, 8, 7.5})
	if err != nil && err != ErrFlat {
		t.Errorf("%+v, %v", f, err)
	}
	// Two readings: the curve passes through both, every interval is open.
	f, err = FirstOrder([]float64{2, 6}, []float64{3, 5})
	if err != nil {
		t.Errorf("%+v, %v", f, err)
	}
	if lo, hi := f.RateInterval(0.9); lo != 0 || !math.IsInf(hi, 1) {
		t.Errorf("interval %g to %g without degrees of freedom", lo, hi)
	}
}
