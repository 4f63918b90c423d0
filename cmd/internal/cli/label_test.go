package cli

import "testing"

func TestSizesAsTheyAreTyped(t *testing.T) {
	for text, want := range map[string][2]float64{
		"70x35": {70, 35}, " 70 x 35 mm": {70, 35}, "7X3.5cm": {70, 35}, "70×35": {70, 35}, "4x2in": {101.6, 50.8},
		`2.75 x 1.5"`: {69.9, 38.1}, "99.1x67.7": {99.1, 67.7},
		"70": {}, "x": {}, "": {}, "10x10": {}, "nanxnan": {}, "infx30": {}, "-70x35": {}, "70x35x2": {}, "500x30": {},
	} {
		w, h, ok := parseSize(text)
		if ok != (want != [2]float64{}) || ok && (w != want[0] || h != want[1]) {
			t.Errorf("%q is %g x %g, %v, want %v", text, w, h, ok, want)
		}
	}
}
