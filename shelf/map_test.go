package shelf

import (
	"testing"

	"steepbook/shelf/mixture"
)

// TestLeastABVPercent: where the search begins changes nothing.
func TestLeastABVPercent(t *testing.T) {
	b := Bottle{ABVPercent: mixture.Exactly(25), SugarGPerL: mixture.Exactly(200), PH: mixture.Exactly(3.4), PHKnown: true}
	for _, step := range []Step{StepDays, StepMonths, StepShelf} {
		for _, sugar := range []float64{0, 300} {
			want := b.LeastABVPercent(step, sugar, 45, 0)
			for _, near := range []float64{0.05, 12, 26, 45} {
				if got := b.LeastABVPercent(step, sugar, 45, near); got != want {
					t.Errorf("step %v at %g g/L: %g from %g, want %g", step, sugar, got, near, want)
				}
			}
		}
	}
}
