package keeping

import (
	"math"
	"time"

	"steepbook/shelf"
)

// wholeDay is the least that is made of a day or more.
const wholeDay = 24 * time.Hour

// until is the last whole day within the early end of some days from a moment, or where that
// would leave less than one of the days that are there, their very end, which is told with its hour;
// of a taste, whose day is good to its evening, the day of that end; where there are no days, the day from
// which they run. Zero where there is none.
func until(from time.Time, d shelf.Days, taste bool) time.Time {
	if from.IsZero() || math.IsInf(d.Low, 1) || d.Words == "" {
		return time.Time{}
	}
	if d.Low == 0 {
		return time.Date(from.Year(), from.Month(), from.Day()+1, 0, 0, -1, 0, from.Location())
	}
	u := from.Add(time.Duration(d.Low * 24 * float64(time.Hour)))
	night := time.Date(u.Year(), u.Month(), u.Day(), 0, 0, 0, 0, u.Location())
	evening := night.Add(-time.Second) // of a day that is over by then
	switch short := u.Sub(from) < wholeDay; {
	case evening.After(from) && (short || night.Sub(from) >= wholeDay):
		return evening
	case short || !taste:
		return u
	}
	return evening.AddDate(0, 0, 1)
}

// LastDay is to when days are told that run from a moment and are all over at another.
func LastDay(from, over time.Time) time.Time {
	return until(from, shelf.Days{Low: over.Sub(from).Hours() / 24, Words: "its days"}, false)
}

// asIfFrom is from when so many days would have run, had it been from the first what it is at a moment with a
// part of them left.
func asIfFrom(at time.Time, d shelf.Days, left float64) time.Time {
	if math.IsInf(d.Low, 1) {
		return at
	}
	return at.Add(-time.Duration((1 - left) * d.Low * 24 * float64(time.Hour)))
}

// leftOf is the part that is left of some days where they are those of what came together then, which
// has none that lies before.
func leftOf(d shelf.Days, left float64) shelf.Days {
	if !math.IsInf(d.Low, 1) {
		d.Low *= left
	}
	return d
}
