package shelf

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"steepbook/data/quantity"
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
	count := func(n float64) string { return quantity.Counted(int(n), unit, unit+"s") }
	// Both ends are rounded down, but for a tenth: 60 days are two months.
	lo, hi := math.Floor(s.low/size+0.1), math.Floor(s.high/size+0.1)
	if math.IsInf(s.high, 1) {
		return fmt.Sprintf("%s and more", count(lo))
	}
	if lo < 1 {
		return "up to " + count(hi)
	}
	if lo == hi {
		return count(hi)
	}
	return fmt.Sprintf("%.0f to %s", lo, count(hi))
}

// trimmed is a number for people: so many significant digits, never an exponent, and
// no noughts behind the point.
func trimmed(v float64, digits int) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	if math.Abs(v) < 1e-6 {
		return "0" // less than any figure here is known to
	}
	places := digits - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	scale := math.Pow(10, float64(places))
	s := strconv.FormatFloat(math.Round(v*scale)/scale, 'f', max(0, min(places, 6)), 64)
	if strings.ContainsRune(s, '.') {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// volume is an amount of drink in two figures: "62 mL", "2.4 L".
func volume(ml float64) string {
	if ml >= 1000 {
		return trimmed(ml/1000, 2) + "~L"
	}
	return trimmed(ml, 2) + "~mL"
}
