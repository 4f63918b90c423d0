package pen

import (
	"fmt"
	"math"
	"strings"

	"steepbook/data/quantity"
)

// Spans prints two ends of a range, with the unit once where they share it.
func Spans(low, high float64) string {
	if math.IsInf(high, 1) {
		return quantity.Span(low) + OrLater
	}
	a, b := quantity.Span(low), quantity.Span(high)
	if a == b {
		return a
	}
	var va, vb float64
	var ua, ub string
	if n, _ := fmt.Sscanf(a, "%g %s", &va, &ua); n == 2 {
		if n, _ := fmt.Sscanf(b, "%g %s", &vb, &ub); n == 2 && ua == ub {
			return fmt.Sprintf("%g-%g %s", va, vb, ua)
		}
	}
	return a + " to " + b
}

// The words after the early end of a range that is open: in a table that tells the
// chance of never beside it, and in one that does not.
const (
	OrLater    = " or later"
	MaybeNever = " or later, maybe never"
)

// Spoken prints a length of time in hours as it is said: "14 hours", "1 day", "3 weeks".
func Spoken(hours float64) string {
	figure, unit, _ := strings.Cut(quantity.Span(hours), " ")
	word, ok := spoken[unit]
	if !ok {
		return quantity.Span(hours)
	}
	if figure != "1" {
		word += "s"
	}
	return figure + " " + word
}

var spoken = map[string]string{"min": "minute", "h": "hour", "d": "day", "wk": "week", "months": "month"}
