package bench

import "testing"

// Advice about the next jar is weighed on a kitchen scale.
func TestTwoFigures(t *testing.T) {
	for _, c := range [][2]float64{{11.3, 11}, {0.374, 0.37}, {248, 250}, {9.96, 10}} {
		if got := twoFigures(c[0]); got-c[1] > 1e-9 || c[1]-got > 1e-9 {
			t.Errorf("twoFigures(%g) = %g, want %g", c[0], got, c[1])
		}
	}
}
