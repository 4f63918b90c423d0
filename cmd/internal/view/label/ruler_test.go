package label

import (
	"testing"

	"steepbook/plots"
)

func TestSizesAsTheyAreTyped(t *testing.T) {
	for text, want := range map[string][2]float64{
		"70x35": {70, 35}, " 70 x 35 mm": {70, 35}, "7X3.5cm": {70, 35}, "70×35": {70, 35}, "4x2in": {101.6, 50.8},
		`2.75 x 1.5"`: {69.9, 38.1}, "99.1x67.7": {99.1, 67.7}, `4" × 2"`: {101.6, 50.8}, "4in x 2 inches": {101.6, 50.8},
		"70": {}, "x": {}, "": {}, "10x10": {}, "nanxnan": {}, "infx30": {}, "-70x35": {}, "70x35x2": {}, "500x30": {},
		"2x1.5mmin": {},
	} {
		var r Ruler
		w, h, ok := ParseSize(text, &r)
		if ok != (want != [2]float64{}) || ok && (w != want[0] || h != want[1]) {
			t.Errorf("%q is %g x %g, %v, want %v", text, w, h, ok, want)
		}
	}
}

// TestSizesToType: what an error tells a maker to type is, in each unit, large enough.
func TestSizesToType(t *testing.T) {
	for _, r := range rulers {
		for mm := plots.LeastLabelMM * 1.0; mm <= plots.MostLabelMM-1; mm++ {
			var typed Ruler
			text := r.AtLeast(mm) + "x" + r.AtLeast(mm) + r.Unit
			w, h, ok := ParseSize(text, &typed)
			if !ok || typed != r || min(w, h) < mm || max(w, h) > mm+0.01*r.MM+0.1 {
				t.Errorf("%g mm: %q is %g x %g mm of %+v, %v", mm, text, w, h, typed, ok)
			}
		}
	}
}
