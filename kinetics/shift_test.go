package kinetics

import (
	"math"
	"testing"
)

func TestTemperatureShift(t *testing.T) {
	// Arrhenius by hand: 25 kJ/mol, R = 8.314 J/(mol K): at 40 °C
	// exp(3006.9·(1/293.15 − 1/313.15)) = exp(0.6551).
	for _, c := range []struct{ at, factor float64 }{{4, 0.553}, {10, 0.696}, {20, 1}, {30, 1.402}, {40, 1.925}, {60, 3.43}} {
		s, err := TemperatureShift(c.at)
		if err != nil || math.Abs(s.Factor()/c.factor-1) > 2e-3 {
			t.Errorf("%g °C: %.4f, want %.3f (%v)", c.at, s.Factor(), c.factor, err)
		}
	}
	near, _ := TemperatureShift(60)
	far, _ := TemperatureShift(60.1)
	if far.LogSD < 1.9*near.LogSD {
		t.Errorf("spread %.2f at 60 °C, %.2f beyond", near.LogSD, far.LogSD)
	}
	for _, bad := range []float64{-21, 101, math.NaN(), math.Inf(1)} {
		if _, err := TemperatureShift(bad); err == nil {
			t.Errorf("%g °C accepted", bad)
		}
	}
}

func TestShifted(t *testing.T) {
	p := usual(0.05)
	a, err := CutShift(0.5)
	if err != nil || math.Abs(a.Factor()-math.Exp2(1.2)) > 1e-12 {
		t.Fatal(a, err)
	}
	b, err := StrengthShift(95)
	if err != nil || math.Abs(b.Factor()-1.75) > 0.01 { // 7 days over 4
		t.Fatal(b, err)
	}
	q := p.Shifted(a, b, AromaShift(), StirringShift(ShakenDaily))
	if d := q.LogRate.Mean - p.LogRate.Mean - a.LogMean - b.LogMean - 0.7; math.Abs(d) > 1e-12 {
		t.Errorf("mean off by %g", d)
	}
	want := math.Sqrt(p.LogRate.SD*p.LogRate.SD + a.LogSD*a.LogSD + b.LogSD*b.LogSD + 0.25)
	if math.Abs(q.LogRate.SD-want) > 1e-12 || q.Plateau != p.Plateau {
		t.Errorf("%+v", q)
	}
	if s, _ := StrengthShift(40); s.LogMean != 0 || s.LogSD != 0 {
		t.Error(s)
	}
	for _, s := range []Stirring{StillBag, StirredFine, StirredCoarse, "other"} {
		if StirringShift(s).Source == "" {
			t.Error(s)
		}
	}
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := CutShift(bad); err == nil {
			t.Errorf("size ratio %g accepted", bad)
		}
	}
	if _, err := StrengthShift(-1); err == nil {
		t.Error("negative strength accepted")
	}
}

// A score that is a power n of an amount on a first-order rise is fitted by a
// first-order curve with another rate: sensory_exponent_effect.csv (NumPy, 12
// equal steps to T, default tolerance: good to 1e-5). AromaShift is the logarithm of its 2.1 at n = 0.5, T = 3.
func TestAromaShiftFromExponent(t *testing.T) {
	n := 0
	for _, r := range table(t, "sensory_exponent_effect.csv") {
		exponent, end := number(t, r["n"]), number(t, r["kT"])
		var x, y []float64
		for i := 1; i <= 12; i++ {
			at := end * float64(i) / 12
			x, y = append(x, at), append(y, math.Pow(-math.Expm1(-at), exponent))
		}
		f, err := FitFirstOrder(x, y, nil)
		if err != nil || math.Abs(f.Rate/number(t, r["k_ratio"])-1) > 2e-5 || math.Abs(f.Plateau/number(t, r["C_fit"])-1) > 2e-5 {
			t.Errorf("exponent %g to %g: %.8g, %.8g, want %s, %s (%v)", exponent, end, f.Rate, f.Plateau, r["k_ratio"], r["C_fit"], err)
		}
		if exponent == 0.5 && end == 3 && math.Abs(math.Log(f.Rate)-AromaShift().LogMean) > 0.1 {
			t.Errorf("ln %g is not near the shift", f.Rate)
		}
		n++
	}
	if n < 20 {
		t.Errorf("only %d lines", n)
	}
}
