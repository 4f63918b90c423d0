package bench

import (
	"fmt"
	"testing"
)

// TestUndissolvedSugarBuysNoDays: sugar beyond what stays in solution lies on the bottom: more of it keeps a drink no
// longer, whatever was steeped in it.
func TestUndissolvedSugarBuysNoDays(t *testing.T) {
	for _, food := range []string{
		"", entry("botanical", "clove", `amount = "1 g"`), entry("botanical", "orange zest", `amount = "20 g"`),
		entry("botanical", "ginger", `amount = "40 g"`), entry("botanical", "coffee beans", `amount = "20 g"`),
		entry("addition", "lime juice", `amount = "100 ml"`),
	} {
		days := func(sugar int) float64 {
			a := after(t, -1, "[[spirit]]\nname = \"vodka\"\nabv = 20\namount = \"250 ml\"\n"+food+
				entry("addition", "white sugar", fmt.Sprintf(`amount = "%d g"`, sugar)))
			return a.Keep.Safe.Sealed.Low
		}
		full := days(600) // about 750 g/L is all that stays in it
		for sugar := 650; sugar <= 1000; sugar += 50 {
			if got := days(sugar); got > 1.02*full {
				t.Errorf("%d g of sugar: %.1f days, and 600 g: %.1f\n%s", sugar, got, full, food)
			}
		}
	}
}
