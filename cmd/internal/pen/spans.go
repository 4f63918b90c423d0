package pen

import (
	"fmt"
	"math"
	"strings"
)

// Span prints a length of time in hours in the unit that fits.
func Span(hours float64) string {
	switch {
	case math.IsInf(hours, 1):
		return "never"
	case hours < 0.95:
		m := math.Round(hours * 60)
		if m > 10 {
			m = math.Round(m/5) * 5
		}
		return fmt.Sprintf("%.0f min", math.Max(m, 1))
	case hours < 9.5:
		h := math.Round(hours*2) / 2
		return fmt.Sprintf("%g h", h)
	case hours < 47.5:
		return fmt.Sprintf("%.0f h", math.Round(hours))
	case hours < 24*20:
		return fmt.Sprintf("%.0f d", math.Round(hours/24))
	case hours < 24*7*12:
		return fmt.Sprintf("%.0f wk", math.Round(hours/24/7))
	case hours < 24*365*2:
		return fmt.Sprintf("%.0f months", math.Round(hours/24/30.44))
	}
	return "over 2 years"
}

// Spans prints two ends of a range, with the unit once where they share it.
func Spans(low, high float64) string {
	if math.IsInf(high, 1) {
		return Span(low) + OrLater
	}
	a, b := Span(low), Span(high)
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
	figure, unit, _ := strings.Cut(Span(hours), " ")
	word, ok := spoken[unit]
	if !ok {
		return Span(hours)
	}
	if figure != "1" {
		word += "s"
	}
	return figure + " " + word
}

var spoken = map[string]string{"min": "minute", "h": "hour", "d": "day", "wk": "week", "months": "month"}
