package bench

import (
	"fmt"
	"math"
	"testing"
)

// TestTastingsTakeOfTheJar: each tasting of the jar takes its part of two sips, which is told from a fiftieth
// of the base on; not of what is still to be tasted, nor where what was left was measured.
func TestTastingsTakeOfTheJar(t *testing.T) {
	for _, baseML := range []float64{250, 700, 5000} {
		for n := range 9 {
			src := fmt.Sprintf("name = \"J\"\nstarted = 2026-06-01T12:00:00\n[spirit]\nabv = 40\namount = \"%g ml\"\n"+
				"[[botanical]]\nname = \"wormwood\"\namount = \"2 g\"\n[[addition]]\nname = \"water\"\namount = \"100 ml\"\n", baseML)
			want := 0.0
			for i := range n {
				src += fmt.Sprintf("[[tasting]]\nat = \"%d h\"\nsample = %q\nscore = { wormwood = 2 }\n", i+1, []string{"3:1", "neat"}[i%2])
				want += 10 * []float64{0.75, 1}[i%2]
			}
			if want < baseML/50 {
				want = 0
			}
			later := "[[tasting]]\nat = \"99 h\"\nscore = { wormwood = 2 }\n"
			if ml, times := assessed(t, src+later, afterHours(48)).TastedML(); math.Abs(ml-want) > 1e-9 || times > 0 != (want > 0) {
				t.Errorf("%d tastings of %g ml took %g ml, want %g", times, baseML, ml, want)
			}
			strained := fmt.Sprintf("[[strained]]\nat = \"20 h\"\nvolume = \"%g ml\"\n", baseML*0.9)
			if ml, _ := assessed(t, src+strained, afterHours(48)).TastedML(); ml != 0 {
				t.Errorf("%g ml were tasted of what was measured", ml)
			}
		}
	}
}
