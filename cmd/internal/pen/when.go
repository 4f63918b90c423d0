package pen

import "time"

// Stamp prints a moment for paper, which is read on another day: "Sat 21 Nov at 11:30",
// no finer than the doubt about it deserves, half the width of its range in hours. Date
// and clock are tied, for the units of the maker (quantity.Say).
func Stamp(at time.Time, doubtH float64) string {
	if doubtH > 12 {
		return at.Format("Mon 2~Jan")
	}
	return Nearest(at, ClockStep(doubtH)).Format("Mon 2~Jan at~15:04")
}

// ClockStep is how finely a clock time is named at a doubt in hours.
func ClockStep(doubtH float64) time.Duration {
	switch {
	case doubtH > 1.5:
		return time.Hour
	case doubtH > 0.5:
		return 15 * time.Minute
	}
	return 5 * time.Minute
}

// Nearest rounds a clock time as the clock on the wall shows it.
func Nearest(t time.Time, step time.Duration) time.Time {
	_, east := t.Zone()
	wall := time.Duration(east) * time.Second
	return t.Add(wall + step/2).Truncate(step).Add(-wall)
}
