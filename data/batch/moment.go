package batch

import (
	"fmt"
	"strings"
	"time"

	"steepbook/data/quantity"
)

// Moment is a time of the wall clock at a place.
type Moment struct {
	Time     time.Time
	DateOnly bool // only the day was given; Time is its midnight
}

const momentExample = "2026-11-20T18:00:00"

// momentForms are the ways to write a moment, most exact first.
var momentForms = []struct {
	layout           string
	zoned, onlyADate bool
}{
	{time.RFC3339Nano, true, false},
	{"2006-01-02T15:04Z07:00", true, false},
	{"2006-01-02T15:04:05.999999999", false, false},
	{"2006-01-02T15:04", false, false},
	{"2006-01-02", false, true},
}

// ParseMoment reads a date or a date and time: "2026-11-20T18:00:00",
// "2026-11-20 18:00", "2026-11-20", with or without an offset from UTC. Without
// one it is the wall clock of loc. A time that the clocks skip is refused; of a
// time that comes twice the first is taken. The error is a *quantity.Error.
func ParseMoment(text string, loc *time.Location) (Moment, error) {
	s := strings.ToUpper(strings.TrimSpace(text))
	if day, clock, ok := strings.Cut(s, " "); ok && !strings.ContainsAny(clock, " T") {
		s = day + "T" + clock
	}
	for _, form := range momentForms {
		t, err := time.ParseInLocation(form.layout, s, time.UTC)
		if err != nil {
			continue
		}
		if form.zoned {
			return checkYear(Moment{Time: t.In(loc)}, text)
		}
		m, err := onWallClock(t, loc)
		if err != nil {
			return Moment{}, err
		}
		m.DateOnly = form.onlyADate
		return checkYear(m, text)
	}
	return Moment{}, &quantity.Error{Input: text, Example: momentExample,
		Problem: fmt.Sprintf("%q is not a date and time of the form year-month-dayThour:minute", text)}
}

// checkYear refuses years that are slips of the pen, before they overflow a
// time.Duration.
func checkYear(m Moment, text string) (Moment, error) {
	if y := m.Time.Year(); y < 1900 || y > 2200 {
		return Moment{}, &quantity.Error{Input: text, Example: momentExample,
			Problem: fmt.Sprintf("the year in %q is not between 1900 and 2200", text)}
	}
	return m, nil
}

// onWallClock finds the moment at which the clocks of loc show what t shows.
func onWallClock(t time.Time, loc *time.Location) (Moment, error) {
	y, mo, d := t.Date()
	h, mi, s := t.Clock()
	wall := time.Date(y, mo, d, h, mi, s, t.Nanosecond(), time.UTC)
	var found time.Time
	for _, near := range []time.Duration{-24 * time.Hour, 24 * time.Hour} {
		_, offset := wall.Add(near).In(loc).Zone()
		at := wall.Add(-time.Duration(offset) * time.Second).In(loc)
		if sameClock(at, wall) && (found.IsZero() || at.Before(found)) {
			found = at
		}
	}
	if !found.IsZero() {
		return Moment{Time: found}, nil
	}
	// The clocks skipped this time. By the clock as it was before, it is this moment:
	_, offset := wall.Add(-24 * time.Hour).In(loc).Zone()
	later := wall.Add(-time.Duration(offset) * time.Second).In(loc)
	if h == 0 && mi == 0 && s == 0 {
		// Some places change their clocks at midnight, so that the day begins later.
		return Moment{Time: later}, nil
	}
	return Moment{}, &quantity.Error{Input: t.Format("2006-01-02T15:04:05"), Example: later.Format("2006-01-02T15:04:05"),
		Problem: fmt.Sprintf("the clocks went forward on %s and never showed %s", t.Format("2006-01-02"), t.Format("15:04"))}
}

func sameClock(a, b time.Time) bool {
	return a.Format(time.DateTime) == b.Format(time.DateTime)
}

// momentOf turns a value of the TOML library into a moment. A local time comes
// with the offset that the machine has today, which means nothing, so the
// clock is read off and set up again in loc.
func momentOf(v time.Time, loc *time.Location) (Moment, error) {
	switch v.Location().String() {
	case "datetime-local":
		return ParseMoment(v.Format("2006-01-02T15:04:05.999999999"), loc)
	case "date-local":
		return ParseMoment(v.Format("2006-01-02"), loc)
	case "time-local":
		clock := v.Format("15:04")
		return Moment{}, &quantity.Error{Input: clock, Example: momentExample, Problem: fmt.Sprintf("the time %s has no date", clock)}
	}
	return checkYear(Moment{Time: v.In(loc)}, v.Format(time.RFC3339))
}
