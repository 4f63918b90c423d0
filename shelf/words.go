package shelf

import (
	"fmt"
	"math"
)

// days turns a span into Days with words.
func (s span) days() Days { return Days{Low: s.low, High: s.high, Words: spanWords(s)} }

// spanWords says a time in the unit a maker would use: "5 to 8 days",
// "6 to 10 weeks", "4 to 6 months".
func spanWords(s span) string {
	switch {
	case math.IsInf(s.low, 1):
		return "microbes set no limit"
	case s.high <= 0:
		return "not at all"
	case s.high < 1:
		return "a few hours"
	}
	unit, size := "day", 1.0
	switch {
	case s.high > 100:
		unit, size = "month", 30.4
	case s.high > 21:
		unit, size = "week", 7
	}
	// Rounding the low end down and the high end down too keeps the promise on
	// the cautious side.
	lo, hi := math.Floor(s.low/size+0.01), math.Floor(s.high/size+0.01)
	if math.IsInf(s.high, 1) {
		return fmt.Sprintf("%s and more", count(lo, unit))
	}
	if lo < 1 {
		return "up to " + count(hi, unit)
	}
	if lo == hi {
		return count(hi, unit)
	}
	return fmt.Sprintf("%.0f to %s", lo, count(hi, unit))
}

func count(n float64, unit string) string {
	if n == 1 {
		return "1 " + unit
	}
	return fmt.Sprintf("%.0f %ss", n, unit)
}
