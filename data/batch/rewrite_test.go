package batch

import (
	"math"
	"testing"

	"steepbook/data/quantity"
)

func TestExactSpan(t *testing.T) {
	for hours, want := range map[float64]string{0: "0 h", 2.5: "2 h 30 min", 30: "30 h", 1.0 / 3600: "1 s", 49.0125: "49 h 45 s"} {
		got := exactSpan(hours)
		d, err := quantity.ParseDuration(got)
		if got != want || err != nil || math.Abs(d.Hours()-hours) > 1e-9 {
			t.Errorf("%g h: %q (%v, %v), want %q", hours, got, d, err, want)
		}
	}
}
