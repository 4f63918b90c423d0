package keeping

import (
	"testing"
	"time"

	"steepbook/shelf"

	"pgregory.net/rapid"
)

// TestADayIsGoodToItsEnd: where there is a day or more of a taste, the date is the evening of a day, within the
// days or before two are over, and gives a day at least; less than a day is never made longer, nor are days of
// what makes ill, and more days never end sooner. The day is the same at whatever hour they begin: of N days
// the first is that of the beginning.
func TestADayIsGoodToItsEnd(t *testing.T) {
	for half := range 48 {
		from, last := time.Date(2026, 10, 9, half/2, half%2*30, 0, 0, time.UTC), time.Time{}
		for tenths := 1; tenths < 60; tenths++ {
			d := time.Duration(tenths) * day / 10
			days := shelf.Days{Low: float64(tenths) / 10, Words: "so long"}
			u := until(from, days, true)
			ill := until(from, days, false)
			whole := tenths / 10
			on := 9 + max(whole-1, min(whole, 1))
			if whole > 0 && (u.Day() != on || ill.Day() != on) ||
				whole > 1 && ill.Format("15:04:05") != "23:59:59" {
				t.Errorf("%v from %v: to %v, of what makes ill to %v", d, from, u, ill)
			}
			if ill.Sub(from) > d || ill.After(u) {
				t.Errorf("%v of what makes ill from %v: to %v", d, from, ill)
			}
			had := u.Sub(from)
			if u.Format("15:04:05") == "23:59:59" { // that day is over then
				had += time.Second
			}
			switch {
			case d < day && (had > d || had <= 0):
				t.Errorf("%v from %v: to %v", d, from, u)
			case d >= day && (u.Format("15:04:05") != "23:59:59" || had < day || had > max(d, 2*day)):
				t.Errorf("%v from %v: to %v", d, from, u)
			case u.Before(last):
				t.Errorf("%v from %v: to %v, and less to %v", d, from, u, last)
			}
			last = u
		}
	}
}

// TestNoDayEndsBeforeItBegins: whatever was used up of its days before it was bottled, or before the day on which
// it was, a drink is good to a day no earlier than that one, and not beyond what is left.
func TestNoDayEndsBeforeItBegins(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := time.Date(2026, 10, 9, 0, rapid.IntRange(0, 24*60-1).Draw(t, "minute"), 0, 0, time.UTC)
		by := rapid.Float64Range(0, 1).Draw(t, "used by then")
		r := run{from: from, spent: Spent{By: by, Morning: by * rapid.Float64Range(0, 1).Draw(t, "of it by morning")}}
		d := shelf.Days{Low: rapid.Float64Range(0, 40).Draw(t, "days"), Words: "so long"}
		u := r.until(d, false)
		left := time.Duration((1 - by) * d.Low * 24 * float64(time.Hour))
		if u.Before(from) || d.Low > 0 && u.After(from.Add(left+time.Second)) {
			t.Errorf("%g days from %v, of which %v are left: to %v", d.Low, from, left, u)
		}
	})
}
