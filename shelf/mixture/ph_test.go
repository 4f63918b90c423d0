package mixture

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"steepbook/shelf/acidity"
)

// cordialOf is a litre of lime cordial of pH 2.7 with so much titratable acid.
func cordialOf(t testing.TB, acidGPerL float64) Parts {
	t.Helper()
	p, err := WithTitration(Parts{Water: 997, Citric: acidGPerL}, 2.7, acidGPerL)
	if err != nil {
		t.Fatal(err)
	}
	return p.Times(1000 / p.VolumeML(20))
}

// TestLacticInCordial: 1 g of lactic acid that may be there in a litre of a lime
// cordial of pH 2.7, worked out by a second program: 2.662, 2.680 and 2.687 for 5,
// 12 and 20 g/L of titratable acid. Nothing changes for a verdict.
func TestLacticInCordial(t *testing.T) {
	for _, c := range []struct{ ta, want float64 }{{5, 2.662}, {12, 2.680}, {20, 2.687}} {
		p := cordialOf(t, c.ta)
		p.OtherAcid = 1
		low, value, high, ok := p.PHRange()
		if !ok || math.Abs(low-c.want) > 0.0015 || math.Abs(high-2.7) > 1e-6 || !(low < value && value < high) {
			t.Errorf("%g g/L: %.4f, %.4f, %.4f, want %g to 2.7", c.ta, low, value, high, c.want)
		}
		p.Lactic, p.OtherAcid = 1, 0
		if low, _, high, _ := p.PHRange(); low != high || math.Abs(low-c.want) > 0.0015 {
			t.Errorf("%g g/L, sure: %.4f to %.4f, want %g", c.ta, low, high, c.want)
		}
	}
}

// TestStrangeOpensTheRange: what blunts acid of what nobody knows moves the high end of the pH as any
// of it does, and no other; what a thing may be as well opens every range to that.
func TestStrangeOpensTheRange(t *testing.T) {
	p, q := cordialOf(t, 5), cordialOf(t, 5)
	p.StrangeMMol, q.BufferMMol = 30, 30
	low, value, high, _ := p.PHRange()
	if _, _, most, _ := q.PHRange(); low != value || math.Abs(value-2.7) > 1e-3 || math.Abs(high-most) > 1e-9 || high < 3 {
		t.Errorf("%.3f, %.3f, %.3f, want 2.7, 2.7, %.3f", low, value, high, most)
	}
	r := Recipe{Bases: []Base{{Name: "spirit", VolumeML: Quantity{Value: 500}, ABVPercent: Quantity{Value: 40}}},
		Additions: []Addition{{Name: "acid", MassG: Quantity{Value: 2}, PerG: Parts{Citric: 1}}, {Name: "stranger", MassG: Quantity{Value: 100}, PerG: Parts{Water: 1}}}}
	was, _ := r.Balance()
	for what, may := range map[string]Parts{"sugar": {Sucrose: 1}, "spirit": {Ethanol: 0.79}, "soda": {OtherSolids: 1, StrongIonsMMol: 18.9}} {
		r.Additions[1].May, r.Additions[1].PerG = nil, may
		told, _ := r.Balance()
		r.Additions[1].May, r.Additions[1].PerG = []Parts{may}, Parts{Water: 1}
		got, err := r.Balance()
		g, w, n := got.ranges(), was.ranges(), told.ranges()
		for f, to := range g {
			if err != nil || to == nil || f == iPH && !told.PHKnown {
				continue
			}
			if to.Value != w[f].Value || n[f].Value < to.Low-1e-9 || n[f].Value > to.High+1e-9 {
				t.Errorf("%s: %s %+v does not hold %v", what, properties[f], *to, n[f].Value)
			}
		}
		if what == "soda" && (told.PHKnown || got.PH.High < mostPH-1e-9) {
			t.Errorf("soda: pH %+v", got.PH)
		}
	}
}

// TestNothingSour: without known acid no pH is told, and its high end is that of
// water; acid that may be there lowers the low end alone.
func TestNothingSour(t *testing.T) {
	for _, c := range []struct {
		p   Parts
		low float64
	}{
		{Parts{Water: 1000, BufferMMol: 60}, acidity.Neutral},
		{Parts{Water: 1000, OtherAcid: 6, BufferMMol: 60}, 2.53}, // 0.0666 mol/L of pKa 3.86: by hand (3.86+1.18)/2 = 2.52
		{Parts{Sucrose: 100}, acidity.Neutral},
	} {
		low, _, high, ok := c.p.PHRange()
		if ok || high != acidity.Neutral || math.Abs(low-c.low) > 0.02 {
			t.Errorf("%+v: %v to %v, %v", c.p, low, high, ok)
		}
		if _, ok := c.p.PH(); ok {
			t.Errorf("%+v: a pH", c.p)
		}
	}
}

// sourParts draws a sour liquid with something in it that may blunt it.
func sourParts(t *rapid.T) Parts {
	g := func(n string, least, most float64) float64 { return rapid.Float64Range(least, most).Draw(t, n) }
	return Parts{
		Ethanol: g("ethanol", 0, 300), Water: g("water", 300, 1000), Sucrose: g("sucrose", 0, 500), Citric: g("citric", 0.5, 40),
		Malic: g("malic", 0, 10), Tartaric: g("tartaric", 0, 10), Acetic: g("acetic", 0, 40), Lactic: g("lactic", 0, 10),
		OtherAcid: g("other acid", 0, 5), StrongIonsMMol: g("ions", 0, 20), BufferMMol: g("buffer", 0, 200),
	}
}

// Properties of the range: it holds the pH for every share of what may blunt the
// acid; acid raises neither end; what may blunt it or only may be there never
// narrows it. A hundredth is left for the activities, which move with the salt.
func TestPHRangeProperties(t *testing.T) {
	const slip = 0.01
	rapid.Check(t, func(t *rapid.T) {
		p := sourParts(t)
		low, value, high, ok := p.PHRange()
		if !ok {
			t.Skip("outside the scale")
		}
		if low > value+slip || value > high+slip {
			t.Fatalf("%v, %v, %v", low, value, high)
		}
		if high < 5 {
			share := rapid.Float64Range(0, 1).Draw(t, "share")
			if v, ok := p.phAt(share); ok && (v < low-slip || v > high+slip) {
				t.Fatalf("%v of it gives %v, outside %v to %v", share, v, low, high)
			}
		}
		acid := rapid.Float64Range(0, 20).Draw(t, "more acid")
		for name, more := range map[string]Parts{"citric": {Citric: acid}, "acetic": {Acetic: acid}, "tartaric": {Tartaric: acid}, "lactic": {Lactic: acid}, "other": {OtherAcid: acid}} {
			if l, _, h, ok := p.Plus(more).PHRange(); ok && (l > low+slip || h > high+slip) {
				t.Fatalf("%v g of %s acid: from %v-%v to %v-%v", acid, name, low, high, l, h)
			}
		}
		l, _, h, ok := p.Plus(Parts{BufferMMol: rapid.Float64Range(0, 100).Draw(t, "more buffer"), OtherAcid: acid}).PHRange()
		if ok && high < 5 && (l > low+slip || h < high-slip) {
			t.Fatalf("from %v-%v to %v-%v by what may be there", low, high, l, h)
		}
	})
}

// TestBufferIsCarried: through steeping, straining and a measured yield the share
// of the buffer is that of the liquor, and a measured pH leaves none of it open.
func TestBufferIsCarried(t *testing.T) {
	r := Recipe{
		Bases:     []Base{spirit("water", 500, 0)},
		Solids:    []Solid{{Name: "almond", MassG: exact(100), HeldMLPerG: exact(1), PerG: Parts{BufferMMol: 0.7461}}},
		Additions: []Addition{{Name: "citric acid", MassG: exact(8), PerG: Parts{Citric: 1}}},
	}
	res := balance(t, r)
	if d := res.Parts.BufferMMol - 74.61*0.8; math.Abs(d) > 1e-6 {
		t.Errorf("off by %g mmol", d)
	}
	if !(res.PH.Low < res.PH.Value && res.PH.Value < res.PH.High) || len(res.Causes[Acidity]) == 0 {
		t.Errorf("pH %v, causes %v", res.PH, res.Causes[Acidity])
	}
	yield := r
	yield.Measured.VolumeML = &Quantity{Value: 300, SD: 3}
	if got := balance(t, yield); math.Abs(got.PH.Value-res.PH.Value) > 0.05 || !got.PHKnown {
		t.Errorf("pH %v, with a measured yield %v", res.PH, got.PH)
	}
	r.Unweighed.BufferMMol = 50
	if more := balance(t, r); more.PH.High <= res.PH.High || math.Abs(more.PH.Low-res.PH.Low) > 0.01 {
		t.Errorf("pH %v, with something unweighed %v", res.PH, more.PH)
	}
	r.Measured.PH = &Quantity{Value: 3.2, SD: 0.05}
	if got := balance(t, r); got.Parts.BufferMMol != 0 || math.Abs(got.PH.High-got.PH.Low-2*0.05*z90) > 1e-9 || len(got.Warnings) > 0 {
		t.Errorf("measured: %v, %q", got.PH, got.Warnings)
	}
	r.Measured.PH.Value = 1.6
	if got := balance(t, r); len(got.Warnings) != 1 || got.Doubted[Acidity].High <= 3 {
		t.Errorf("no pH explains 1.6: %v, %q", got.Doubted, got.Warnings)
	}
}

// TestAPHHoldsForWhatWasIn: a pH that was read is that of what was in; what joins after it brings its
// buffer, known or in doubt, and its acid, and what brings no acid makes nothing more sour.
func TestAPHHoldsForWhatWasIn(t *testing.T) {
	syrup := Recipe{Bases: []Base{{Name: "water", VolumeML: Quantity{Value: 700}}},
		Additions: []Addition{{Name: "sugar", MassG: Quantity{Value: 300}, PerG: Parts{Sucrose: 1}}, {Name: "citric acid", MassG: Quantity{Value: 3}, PerG: Parts{Citric: 1}}}}
	syrup.Measured.PH = &Quantity{Value: 3.0, SD: 0.05}
	read, err := syrup.Balance()
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		perG        Parts
		least, most float64 // of the high end
	}{
		"water":                 {Parts{Water: 1}, 3.05, 3.9},
		"milk, by its buffer":   {Parts{Water: 0.95, OtherSolids: 0.05, BufferMMol: 0.3}, 5, 9},
		"what nobody knows":     {Parts{Water: 0.95, OtherSolids: 0.05, StrangeMMol: 0.3}, 5, 9},
		"juice, by its acid":    {Parts{Water: 0.95, Citric: 0.05}, 2, 3},
		"a salt, by its alkali": {Parts{Water: 1, StrongIonsMMol: 0.03}, 4, 9},
	} {
		r := syrup
		r.Additions = append(slices.Clone(syrup.Additions), Addition{Name: name, MassG: Quantity{Value: 1000}, PerG: c.perG})
		inTime, err := r.Balance()
		if err != nil || inTime.PH.Value != 3 {
			t.Errorf("%s, in before it was read: %v %v", name, inTime.PH, err)
		}
		r.Additions[2].Late = true
		if late, err := r.Balance(); err != nil || late.PH.High < c.least || late.PH.High > c.most || c.perG.AcidG() == 0 && late.PH.High < read.PH.High {
			t.Errorf("%s, after it: %v %v, read %v", name, late.PH, err, read.PH)
		}
	}
}
