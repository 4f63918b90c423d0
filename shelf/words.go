package shelf

import (
	"math"
	"strings"

	"steepbook/data/quantity"
)

// days turns a span into Days with words.
func (s span) days() Days { return Days{Low: s.low, High: s.high, Words: spanWords(s)} }

// Left is what is left of some days, of which a share was used up; of what has no end all.
func (d Days) Left(used float64) Days {
	if used <= 0 || math.IsInf(d.Low, 1) {
		return d
	}
	left := max(1-used, 0)
	return span{low: d.Low * left, high: d.High * left}.days()
}

// unit is what a time is counted in: its length in days, and the days above which it
// is used.
type unit struct {
	name        string
	days, above float64
}

// units are those, the largest first.
var units = []unit{{"month", 30.4, 100}, {"week", 7, 21}, {"day", 1, 0}}

// counted is a time in whole units from the one at i on, the first that it fills; the
// count is rounded down, but for a tenth: 60 days are two months. "" for less than a day.
func counted(days float64, i int) string {
	for _, u := range units[i:] {
		if n := math.Floor(days/u.days + 0.1); n >= 1 {
			return quantity.Counted(int(n), u.name, u.name+"s")
		}
	}
	return ""
}

// unitOf is the place of the unit that a time is counted in.
func unitOf(days float64) int {
	for i, u := range units {
		if days > u.above {
			return i
		}
	}
	return len(units) - 1
}

// spanWords says a time in the unit a maker would use: "5 to 8 days",
// "6 to 10 weeks", "2 weeks to 4 months".
func spanWords(s span) string {
	switch {
	case math.IsInf(s.low, 1):
		return "microbes set no limit"
	case s.high <= 0:
		return noDays
	case s.high < 1:
		return "a few hours"
	}
	at := unitOf(s.high)
	low := counted(s.low, at)
	if math.IsInf(s.high, 1) {
		return counted(max(s.low, 1), at) + " and more"
	}
	high := counted(s.high, at)
	number, of, _ := strings.Cut(low, " ")
	switch {
	case low == "":
		return "up to " + high
	case low == high:
		return high
	case strings.HasPrefix(units[at].name, strings.TrimSuffix(of, "s")):
		low = number
	}
	return low + " to " + high
}

// noDays are the words of what keeps for no time at all.
const noDays = "does not keep"

// None reports whether it keeps for no time at all.
func (d Days) None() bool { return d.Words == noDays }

// Early is the early end in words, "19 days", which is what a label can promise: the day that a date has.
func (d Days) Early() string {
	if d.Low < 1 {
		return quantity.Counted(max(int(24*d.Low), 1), "hour", "hours")
	}
	return quantity.Counted(int(d.Low), "day", "days")
}
