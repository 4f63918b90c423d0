package keeping

import (
	"math"
	"time"

	"steepbook/shelf"
)

// run is a moment from which days run, and what was used up of them by then. OfDay: it is the end of a day of
// which nobody knows the hour.
type run struct {
	from  time.Time
	spent Spent
	ofDay bool
}

// Spent is the share of its days that a drink used up by a moment, and by the beginning of that day.
type Spent struct{ By, Morning float64 }

// Use counts what lay from one moment to another where it has so many days.
func (s *Spent) Use(from, to time.Time, days float64) {
	if days <= 0 { // a day to drink it on is none to use up
		days = math.Inf(1)
	}
	if had := Evening(to.AddDate(0, 0, -1)).Add(time.Second).Sub(from); had >= 0 { // it began on a day before
		s.Morning = s.By + had.Hours()/24/days
	}
	s.By += to.Sub(from).Hours() / 24 / days
}

// Until is to when what lies from a moment on, where it has so many days, is good by what is left of them.
func (s Spent) Until(from time.Time, days float64) time.Time {
	return run{from: from, spent: s}.until(shelf.Days{Low: days, Words: "its days"}, false)
}

// until is the evening of the last day of some days. Its moment's own day is the first of as many whole ones
// as there were at its beginning, whatever the hour, so that a plan, which knows the day alone, names the
// same; of one there are two, a part of each. It is never later than the days are over, but of a taste, which
// has a day at least: of less than two days it is then their very end, as where that is on the day from
// which they run. Where there are none, it is that day. Zero where no day is known.
func (r run) until(d shelf.Days, taste bool) time.Time {
	if r.from.IsZero() || math.IsInf(d.Low, 1) || d.Words == "" {
		return time.Time{}
	}
	days := int(d.Low*(1-r.spent.Morning) + 1e-6)
	evening := Evening(r.from.AddDate(0, 0, max(days-1, min(days, 1))))
	u := after(r.from, d.Low*(1-r.spent.By))
	if r.ofDay && days == 1 {
		u = earlier(u, after(Evening(r.from.AddDate(0, 0, -1)), d.Low*(1-r.spent.Morning)))
	}
	switch {
	case d.Low == 0 || taste && days > 0 || u.After(evening):
		return evening
	case days < 2 || Evening(u).Equal(Evening(r.from)):
		return u
	}
	return Evening(u.AddDate(0, 0, -1))
}

// until is that of days of which none were used up.
func until(from time.Time, d shelf.Days, taste bool) time.Time {
	return run{from: from}.until(d, taste)
}

const day = 24 * time.Hour

// Evening is the end of the day of a moment.
func Evening(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day()+1, 0, 0, -1, 0, t.Location())
}

// Eve is a moment, or the end of the day before where it lies in the night after that, and somebody is up at an hour.
func Eve(at time.Time, up time.Duration) time.Time {
	if before := Evening(at.AddDate(0, 0, -1)); at.Sub(before) < up {
		return before
	}
	return at
}

// after is so many days after a moment.
func after(t time.Time, days float64) time.Time {
	return t.Add(time.Duration(days * float64(day)))
}

// asIfFrom is from when so many days would have run, had it been from the first what it is at a moment with a
// part of them left.
func asIfFrom(at time.Time, d shelf.Days, left float64) time.Time {
	if math.IsInf(d.Low, 1) {
		return at
	}
	return after(at, (left-1)*d.Low)
}

// SealedDays is to which days a sealed bottle of it is at its best and sound; zero where there
// is none.
func (k *Keep) SealedDays() (best, safe time.Time) {
	if k.sealed != nil && k.Advised.Place != "" {
		k = k.sealed
	}
	return k.ends(&k.clock)
}

// If is SealedDays by another log, past or to come.
func (k *Keep) If(l *Log) (best, safe time.Time) {
	c := k.clockOf(l)
	return k.ends(&c)
}

func (k *Keep) ends(c *clock) (best, safe time.Time) {
	if k.Advised.Place == "" {
		return best, safe
	}
	safe = k.usable(&k.Safe, c, time.Time{})
	if best = k.usable(&k.Advised, c, time.Time{}); best.Equal(safe) {
		best = time.Time{}
	}
	return best, safe
}
