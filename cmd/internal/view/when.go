package view

import (
	"math"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
)

// at is an hour of the jar as one says it, with half the width of its range in hours.
func at(a *bench.Assessment, h, doubtH float64) string { return moment(a.Batch.At(h), a.Now, doubtH) }

// about is at, hedged where it names a clock time.
func about(a *bench.Assessment, h, doubtH float64) string {
	m := at(a, h, doubtH)
	if strings.Contains(m, ":") {
		return "about " + m
	}
	return m
}

// moment prints a clock time as one would say it at now, no finer than the
// doubt about it deserves: doubtH is half the width of its range in hours. Clock
// and date are tied, for the units of the maker (quantity.Say).
func moment(at, now time.Time, doubtH float64) string {
	at = at.In(now.Location())
	midnight := func(t time.Time) time.Time {
		return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
	}
	var clock string
	part := partOfDay(at)
	switch {
	case doubtH > 12:
		if at.Hour() < 5 && midnight(at).After(midnight(now)) {
			at = at.Add(-5 * time.Hour) // the small hours go by the evening before
		}
	case doubtH > 1.5:
		at = pen.Nearest(at, pen.ClockStep(doubtH))
		if clock = at.Format("~15:04"); at.Hour() == 0 {
			clock, at = midnightWords, at.Add(-time.Minute) // it ends the day that is named
		}
	default:
		at = pen.Nearest(at, pen.ClockStep(doubtH))
		clock = at.Format("~15:04")
	}
	days := int(math.Round(midnight(at).Sub(midnight(now)).Hours() / 24))
	switch {
	case days > 6 || days < -6 || doubtH > 48:
		if days == 0 {
			return "today"
		}
		if at.Year() != now.Year() && (days > 120 || days < -120) {
			return at.Format("2~Jan 2006")
		}
		return at.Format("Mon 2~Jan")
	case clock == "" && days == 0 && part == "night":
		return "tonight"
	case clock == "" && days == 0:
		return "this " + part
	case clock == "" && days == 1:
		return "tomorrow " + part
	case clock == "" && days == -1:
		return "yesterday " + part
	case clock == "":
		return at.Format("Mon") + " " + part
	case days == 0 && clock == midnightWords:
		return "tonight" + clock
	case days == 0:
		return "today" + clock
	case days == 1:
		return "tomorrow" + clock
	case days == -1:
		return "yesterday" + clock
	}
	return at.Format("Mon") + clock
}

const midnightWords = " at midnight"

func partOfDay(at time.Time) string {
	switch h := at.Hour(); {
	case h < 5 || h >= 22:
		return "night"
	case h < 12:
		return "morning"
	case h < 18:
		return "afternoon"
	}
	return "evening"
}
