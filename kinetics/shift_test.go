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
	p := Usual(0.05, 3)
	a, err := TemperatureShift(30)
	if err != nil {
		t.Fatal(a, err)
	}
	b, err := StrengthShift(95)
	if err != nil || math.Abs(b.Factor()-1.75) > 0.01 { // 7 days over 4
		t.Fatal(b, err)
	}
	q := p.Shifted(a, b)
	if d := q.LogRate.Mean - p.LogRate.Mean - a.LogMean - b.LogMean; math.Abs(d) > 1e-12 {
		t.Errorf("mean off by %g", d)
	}
	want := math.Sqrt(p.LogRate.SD*p.LogRate.SD + a.LogSD*a.LogSD + b.LogSD*b.LogSD)
	if math.Abs(q.LogRate.SD-want) > 1e-12 || q.Plateau != p.Plateau {
		t.Errorf("%+v", q)
	}
	if s, _ := StrengthShift(40); s.LogMean != 0 || s.LogSD != 0 {
		t.Error(s)
	}
	if _, err := StrengthShift(-1); err == nil {
		t.Error("negative strength accepted")
	}
}

// The doubt of a step is that of its slope times the step: nothing for no step,
// little for a small one; and the steps of a way add up.
func TestShiftsBetween(t *testing.T) {
	for _, c := range []struct {
		name     string
		between  func(from, to float64) (Shift, error)
		relative float64 // doubt over the step
		states   []float64
	}{
		{"temperature", TemperatureBetween, math.Log(1.7), []float64{4, 18, 20, 21, 40}},
		{"strength", StrengthBetween, 1, []float64{0, 38, 40, 41, 96}},
	} {
		for _, from := range c.states {
			for _, to := range c.states {
				s, err := c.between(from, to)
				if err != nil || math.Abs(s.LogSD-c.relative*math.Abs(s.LogMean)) > 1e-12 || (s.LogMean > 0) != (to > from) {
					t.Errorf("%s from %g to %g: %+v, %v", c.name, from, to, s, err)
				}
				via, _ := c.between(from, 39)
				on, _ := c.between(39, to)
				if math.Abs(via.LogMean+on.LogMean-s.LogMean) > 1e-12 {
					t.Errorf("%s from %g to %g by way of 39: %g, straight %g", c.name, from, to, via.LogMean+on.LogMean, s.LogMean)
				}
			}
		}
		if s, _ := c.between(c.states[2], c.states[3]); s.LogSD <= 0 || s.LogSD > 0.05 {
			t.Errorf("%s, one step: a doubt of %g", c.name, s.LogSD)
		}
		for _, bad := range []float64{-21, 101, math.NaN()} {
			if _, err := c.between(20, bad); err == nil {
				t.Errorf("%s to %g accepted", c.name, bad)
			}
			if _, err := c.between(bad, 20); err == nil {
				t.Errorf("%s from %g accepted", c.name, bad)
			}
		}
	}
}

// The doubt of the ratio of two cuts lies where it is judged to lie for spreads
// of a factor of 1.5 to 2.2, and both ways are one step.
func TestCutBetween(t *testing.T) {
	for _, gsd := range []float64{1.5, 2, 2.2} {
		whole, ground := Normal{math.Log(0.02), math.Log(gsd)}, Normal{math.Log(0.3), math.Log(2)}
		s, back := CutBetween(whole, ground), CutBetween(ground, whole)
		if math.Abs(s.Factor()-15) > 1e-9 || math.Abs(s.Factor()*back.Factor()-1) > 1e-12 || math.Abs(s.LogSD-back.LogSD) > 1e-12 || s.LogSD < 0.45 || s.LogSD > 0.7 {
			t.Errorf("spread %g: %+v", gsd, s)
		}
	}
}

// A mean of n independent shifts after Shared is as doubtful as the one doubt they
// rest on (arithmetic: the variance of a mean), and a lone shift stays.
func TestShared(t *testing.T) {
	for n := 1; n <= 24; n++ {
		list := make([]Shift, n)
		for i := range list {
			list[i] = Shift{LogMean: 0.3, LogSD: 0.5}
		}
		v := 0.0
		for _, s := range Shared(list) {
			v += s.LogSD * s.LogSD / float64(n*n)
		}
		if math.Abs(math.Sqrt(v)-0.5) > 1e-12 {
			t.Errorf("%d batches: the mean is doubtful by %g, want 0.5", n, math.Sqrt(v))
		}
	}
	one := Shared([]Shift{{}, {LogMean: 1, LogSD: 0.4}, {}})
	if math.Abs(one[1].LogSD-0.4) > 1e-12 || one[0].LogSD != 0 {
		t.Errorf("a doubt of one batch alone: %+v", one)
	}
}
