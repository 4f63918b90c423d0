package view

import (
	"fmt"
	"math"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/shelf"
)

// At is when an hour of the jar is, as one says it, with half the width of its range in
// hours: "at 13:00", "tomorrow morning", "on Sunday".
func At(a *bench.Assessment, h, doubtH float64) string {
	return Moment(a.Batch.At(h), a.Now, doubtH).At()
}

// About is at, hedged where it names a clock time.
func About(a *bench.Assessment, h, doubtH float64) string {
	return Moment(a.Batch.At(h), a.Now, doubtH).Hedged().At()
}

// By is an hour of the jar by its name, to stand behind "by", "before" or "between".
func By(a *bench.Assessment, h, doubtH float64) string {
	return moment(a.Batch.At(h), a.Now, doubtH, pen.Nearest).String()
}

// When is a moment as one says it: the day, "" for the present one, and the clock or the
// part of the day, "" where the day is all that is known. A clock and a date are tied,
// for the units of the maker (quantity.Say).
type When struct{ day, clock, part string }

const (
	thisDay    = ""
	tomorrow   = "tomorrow"
	yesterday  = "yesterday"
	atMidnight = "midnight"
)

// String is the moment by its name: "13:00", "tomorrow at 13:00", "Sunday evening".
func (m When) String() string {
	switch {
	case m.clock != "" && m.day != thisDay:
		return m.day + " at " + m.clock
	case m.clock != "":
		return m.clock
	case m.part != "" && m.day != thisDay:
		return m.day + " " + m.part
	case m.part == "night":
		return "tonight"
	case m.part != "":
		return "this " + m.part
	case m.day == thisDay:
		return "today"
	}
	return m.day
}

// Hedged says "about" before a clock time.
func (m When) Hedged() When {
	if m.clock != "" {
		m.clock = "about " + m.clock
	}
	return m
}

// At is the moment as a sentence has it: "at 13:00", "on Sunday".
func (m When) At() string {
	switch {
	case m.clock != "" && m.day == thisDay:
		return "at " + m.clock
	case m.day == thisDay || m.day == tomorrow || m.day == yesterday:
		return m.String()
	}
	return "on " + m.String()
}

// Moment says the time of what is to be done as one would at now, no finer than the doubt about
// it deserves, half the width of its range in hours, but where it would go by before it has.
func Moment(at, now time.Time, doubtH float64) When {
	return moment(at, now, doubtH, func(at time.Time, step time.Duration) time.Time {
		for _, finer := range []time.Duration{15 * time.Minute, 5 * time.Minute, time.Minute} {
			if pen.Nearest(at, step).After(now) != at.After(now) {
				step = min(step, finer)
			}
		}
		return pen.Nearest(at, step)
	})
}

// Logged is the time of what was done, to the minute as it was logged.
func Logged(at, now time.Time) When {
	return moment(at, now, 0,
		func(at time.Time, _ time.Duration) time.Time { return at.Truncate(time.Minute) })
}

func moment(at, now time.Time, doubtH float64, round func(time.Time, time.Duration) time.Time) When {
	at = at.In(now.Location())
	midnight := func(t time.Time) time.Time {
		return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
	}
	var m When
	switch {
	case doubtH > 24:
	case doubtH > 12:
		m.part = partOfDay(at)
		if at.Hour() < 5 && midnight(at).After(midnight(now)) {
			at = at.Add(-5 * time.Hour) // the small hours go by the evening before
		}
	default:
		at = round(at, pen.ClockStep(doubtH))
		if m.clock = at.Format("15:04~"); at.Hour() == 0 && at.Minute() == 0 {
			m.clock, at = atMidnight, at.Add(-time.Minute) // it ends the day that is named
		}
	}
	switch days := int(math.Round(midnight(at).Sub(midnight(now)).Hours() / 24)); {
	case days > 6 || days < -6:
		return When{day: DateOf(at, now)}
	case days == 1:
		m.day = tomorrow
	case days == -1:
		m.day = yesterday
	case days != 0:
		m.day = at.Format("Monday")
	}
	return m
}

// DateOf is a day by its date, with the weekday where it is soon.
func DateOf(at, now time.Time) string {
	switch off := at.Sub(now); {
	case off >= 0 && off < 14*24*time.Hour:
		return at.Format("Monday 2~January")
	case at.Year() != now.Year() && off.Abs() > 120*24*time.Hour:
		return at.Format("2~January 2006")
	}
	return at.Format("2~January")
}

// DayOf is a day by its date alone, short for a column.
func DayOf(at, now time.Time) string {
	if at.Year() == now.Year() {
		return at.Format("2~Jan")
	}
	return at.Format("2~Jan 2006")
}

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

// EggFirst reports whether what grows has its days from raw egg that lies in the spirit alone before the rest
// goes in.
func EggFirst(a *bench.Assessment) bool {
	return a.Blend.Bottle.EggAlone == shelf.EggCan && !a.Keep.TasteFirst()
}

// Alone says where egg and spirit that are in stand now, and for how long what is still to come of the egg, as
// day writes a day; it stands before any place that is only advised from then on, "" of any other drink.
func Alone(a *bench.Assessment, day func(time.Time) string) string {
	place, until := a.Keep.Stands()
	rest := fmt.Sprintf(" for %d days from when the rest of the egg is in", keeping.EggDays)
	switch text := "leave egg and spirit alone in a "; {
	case until.IsZero() && a.Keep.RestAlone && !a.Keep.Stopped():
		return text + string(shelf.Room) + rest + ", else "
	case until.IsZero():
		return ""
	case a.Keep.RestAlone:
		return text + place + " until " + day(until) + ", and" + rest + ", then "
	default:
		return text + place + " until " + day(until) + ", then "
	}
}

// Mixed reports whether nothing steeped in it, so that it was mixed when others are strained.
func Mixed(a *bench.Assessment) bool { return len(a.Batch.Botanicals) == 0 }

// RunsFrom is what the days of a batch run from, for those that do not yet.
func RunsFrom(a *bench.Assessment) string {
	since := a.Keep.RunsFrom()
	switch {
	case a.FromStart() != "" && a.JarHolds():
		return "when what needs the cold went in"
	case a.FromStart() != "":
		since = keeping.FromStart
	case EggFirst(a):
		return "when the egg went in"
	case since == keeping.FromStraining && Mixed(a):
		since = keeping.FromAddition
	}
	return map[keeping.Since]string{keeping.FromStart: "the start of the jar",
		keeping.FromStraining: "straining",
		keeping.FromAddition:  "mixing", keeping.FromBottling: "bottling"}[since]
}
