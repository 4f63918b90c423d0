package steep

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/steeping"
)

// TestWhatMovedIsSaidAsItWas: whichever way a score moves the time to pull, one clearly below what was
// believed never says that a taste is faster or stronger than thought, and one clearly above never that it
// is slower or weaker.
func TestWhatMovedIsSaidAsItWas(t *testing.T) {
	rnd, seen := rand.New(rand.NewPCG(2, 9)), map[steeping.Moved]int{}
	herbs := [][3]string{{"ginger", "sliced", "60 g"}, {"green cardamom", "crushed", "9 g"},
		{"clove", "whole", "8 pieces"}, {"allspice", "whole", "6 g"}, {"cinnamon", "stick", "6 g"}}
	start := time.Date(2026, 11, 20, 9, 0, 0, 0, time.UTC)
	for range somejar.Either(70, 200) {
		h := herbs[rnd.IntN(len(herbs))]
		src := fmt.Sprintf("name = \"J\"\nstarted = 2026-11-20T09:00:00\nroom = \"20 C\"\n[spirit]\nname = \"vodka 40 %%\"\n"+
			"amount = \"700 ml\"\n[[botanical]]\nname = %q\ncut = %q\namount = %q\ntarget = %d\n", h[0], h[1], h[2], 4+rnd.IntN(5))
		hours, score := []float64{6, 24, 72, 168}[rnd.IntN(4)], 1+3*rnd.Float64()
		for k := range 3 {
			tasting := fmt.Sprintf("[[tasting]]\nat = \"%.1f h\"\nscore = { %q = %.1f }\n", hours, h[0], score)
			now := start.Add(time.Duration(hours * float64(time.Hour)))
			before, after := assess(t, src, now), assess(t, src+tasting, now)
			old, is := before.Curve(h[0]), after.Curve(h[0])
			off := score - old.BottleNow.Value
			how, _ := is.Since(old)
			if k > 0 {
				seen[how]++
			}
			up := how == steeping.Faster || how == steeping.Stronger
			down := how == steeping.Slower || how == steeping.Weaker
			if off < -1 && up || off > 1 && down {
				t.Errorf("%s scored %.1f at %.0f h where %.1f was believed: %s, from %.0f h to %.0f h\n%s", h[0], score, hours,
					old.BottleNow.Value, how, old.Order.BestH, is.Order.BestH, src+tasting)
			}
			if said := learned(old, is); off < -1 && strings.Contains(said, "faster") {
				t.Errorf("%s: %s", h[0], said)
			}
			src += tasting
			hours, score = hours*(1.3+rnd.Float64()), min(max(score*(0.6+0.8*rnd.Float64()), 0.5), 9)
		}
	}
	if seen[steeping.Weaker] < 5 || seen[steeping.Slower] < 5 || seen[steeping.Faster] < 3 {
		t.Errorf("seen: %v", seen)
	}
}
