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

// TestDigits: no exponents and no more digits than are known.
func TestDigits(t *testing.T) {
	for _, c := range []struct {
		v      float64
		digits int
		want   string
	}{
		{2842.6, 3, "2840"}, {283.7, 3, "284"}, {28.37, 3, "28.4"}, {0.0123, 2, "0.012"}, {6, 3, "6"}, {1e6, 2, "1000000"}, {99.96, 3, "100"}, {0, 3, "0"}, {62.5, 2, "63"}, {1.5, 3, "1.5"},
	} {
		if got := Digits(c.v, c.digits); got != c.want {
			t.Errorf("%g: %s, want %s", c.v, got, c.want)
		}
	}
}
