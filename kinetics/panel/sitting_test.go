package panel

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestSittings(t *testing.T) {
	if s := Gentle.Sitting(); s.Samples != 4 || s.GapMinutes != 2 {
		t.Errorf("%+v", s)
	}
	for _, p := range []Palate{Cooling, Hot, Numbing} {
		if s := p.Sitting(); s.Samples != 2 || s.Words == "" {
			t.Errorf("%s: %+v", p, s)
		}
	}
	if Cooling.Sitting().GapMinutes < 20 {
		t.Error("menthol needs twenty minutes")
	}
}

func TestSample(t *testing.T) {
	s, err := SampleAtBottleStrength(700, []Part{{"syrup", 420}, {"water", 280}}, 1)
	if err != nil || s.JarML != 5 || s.Parts[0].VolumeML != 3 || s.Parts[1].VolumeML != 2 || s.TotalML != 10 || s.off > 1e-12 {
		t.Errorf("%+v, %v", s, err)
	}
	s, err = SampleAtBottleStrength(500, nil, 1)
	if err != nil || s.JarML != 10 {
		t.Errorf("neat: %+v, %v", s, err)
	}
	rapid.Check(t, func(t *rapid.T) {
		jar, a, b := rapid.Float64Range(50, 5000).Draw(t, "jar"), rapid.Float64Range(0, 3000).Draw(t, "a"), rapid.Float64Range(0, 3000).Draw(t, "b")
		step := rapid.SampledFrom([]float64{0.5, 1, 2.5}).Draw(t, "step")
		s, err := SampleAtBottleStrength(jar, []Part{{"a", a}, {"b", b}}, step)
		if err != nil {
			t.Fatal(err)
		}
		if s.JarML <= 0 || s.TotalML < 9.99 || s.TotalML > 25 && s.JarML > step {
			t.Errorf("no sip: %+v", s)
		}
		for i, part := range []float64{jar, a, b} {
			ml := append([]float64{s.JarML}, s.Parts[0].VolumeML, s.Parts[1].VolumeML)[i]
			if n := ml / step; n != math.Round(n) {
				t.Errorf("%g ml cannot be measured", ml)
			}
			// Half a step of each part is what rounding can miss, in a sample as large as it may be.
			if off := math.Abs(ml/s.TotalML - part/(jar+a+b)); off > 1.5*step/25 && s.JarML > step {
				t.Errorf("a share is %.3f off: %+v", off, s)
			}
		}
	})
	for _, bad := range []func() (Sample, error){
		func() (Sample, error) { return SampleAtBottleStrength(0, nil, 1) },
		func() (Sample, error) { return SampleAtBottleStrength(1, []Part{{"x", -1}}, 1) },
		func() (Sample, error) { return SampleAtBottleStrength(1, nil, -1) },
		func() (Sample, error) { return SampleAtBottleStrength(1, []Part{{"x", math.NaN()}}, 1) },
	} {
		if _, err := bad(); err != errSample {
			t.Error(err)
		}
	}
}
