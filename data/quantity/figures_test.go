package quantity

import "testing"

// Advice about the next jar is weighed on a kitchen scale.
func TestTwoFigures(t *testing.T) {
	for _, c := range [][2]float64{{11.3, 11}, {0.374, 0.37}, {248, 250}, {9.96, 10}} {
		if got := Rounded(c[0], 2); got-c[1] > 1e-9 || c[1]-got > 1e-9 {
			t.Errorf("Rounded(%g, 2) = %g, want %g", c[0], got, c[1])
		}
	}
}

func TestInFigures(t *testing.T) {
	for _, c := range []struct {
		v    float64
		n    int
		want string
	}{{1250, 3, "1250"}, {1248.7, 3, "1250"}, {999.6, 3, "1000"}, {600, 2, "600"}, {0.374, 2, "0.37"}, {12.5, 3, "12.5"}} {
		if got := InFigures(c.v, c.n); got != c.want {
			t.Errorf("%g to %d figures: %q, want %q", c.v, c.n, got, c.want)
		}
	}
}
