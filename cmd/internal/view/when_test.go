package view

import (
	"testing"
	"time"

	"steepbook/data/quantity"
)

func zone(t *testing.T, name string) *time.Location {
	t.Helper()
	l, err := time.LoadLocation(name)
	if err != nil {
		t.Skip(err)
	}
	return l
}

func TestMoment(t *testing.T) {
	vienna := zone(t, "Europe/Vienna")
	kolkata := zone(t, "Asia/Kolkata")
	for _, c := range []struct {
		where      *time.Location
		now, At    string
		doubt      float64
		name, said string
	}{
		{vienna, "2026-11-20 18:00", "2026-11-20 20:13", 0, "20:15", "at 20:15"},
		{vienna, "2026-11-20 18:00", "2026-11-20 20:08", 1, "20:15", "at 20:15"},
		{vienna, "2026-11-20 18:00", "2026-11-20 20:31", 2, "21:00", "at 21:00"},
		{vienna, "2026-11-20 18:00", "2026-11-21 14:00", 2, "tomorrow at 14:00", "tomorrow at 14:00"},
		{vienna, "2026-11-20 18:00", "2026-11-19 14:00", 0, "yesterday at 14:00", "yesterday at 14:00"},
		{vienna, "2026-11-20 18:00", "2026-11-23 14:02", 0, "Monday at 14:00", "on Monday at 14:00"},
		// Midnight ends the day that is named, from either side.
		{vienna, "2026-11-20 18:00", "2026-11-20 23:58", 0, "midnight", "at midnight"},
		{vienna, "2026-11-20 18:00", "2026-11-20 23:55", 1, "midnight", "at midnight"},
		{vienna, "2026-11-20 18:00", "2026-11-22 23:58", 0, "Sunday at midnight", "on Sunday at midnight"},
		{vienna, "2026-11-20 18:00", "2026-11-20 23:40", 3, "midnight", "at midnight"},
		{vienna, "2026-11-20 18:00", "2026-11-21 00:20", 3, "midnight", "at midnight"},
		{vienna, "2026-11-20 18:00", "2026-11-22 00:20", 3, "tomorrow at midnight", "tomorrow at midnight"},
		{vienna, "2026-11-20 18:00", "2026-11-21 00:05", 0, "tomorrow at 00:05", "tomorrow at 00:05"},
		// Days in words where a clock time would promise too much.
		{vienna, "2026-11-20 18:00", "2026-11-20 23:00", 13, "tonight", "tonight"},
		{vienna, "2026-11-20 18:00", "2026-11-21 02:00", 13, "tonight", "tonight"},
		{vienna, "2026-11-20 18:00", "2026-11-22 02:00", 13, "tomorrow night", "tomorrow night"},
		{vienna, "2026-11-20 18:00", "2026-11-21 09:00", 13, "tomorrow morning", "tomorrow morning"},
		{vienna, "2026-11-20 06:00", "2026-11-20 15:00", 13, "this afternoon", "this afternoon"},
		{vienna, "2026-11-20 18:00", "2026-11-22 19:00", 13, "Sunday evening", "on Sunday evening"},
		{vienna, "2026-11-20 18:00", "2026-11-22 19:00", 25, "Sunday", "on Sunday"},
		{vienna, "2026-11-20 18:00", "2026-11-21 19:00", 25, "tomorrow", "tomorrow"},
		{vienna, "2026-11-20 18:00", "2026-11-20 19:00", 60, "today", "today"},
		// Dates where no weekday is near.
		{vienna, "2026-11-20 18:00", "2026-11-30 19:00", 1, "Monday 30 November", "on Monday 30 November"},
		{vienna, "2026-11-20 18:00", "2026-12-20 19:00", 1, "20 December", "on 20 December"},
		{vienna, "2026-11-20 18:00", "2027-06-20 19:00", 1, "20 June 2027", "on 20 June 2027"},
		// The night of 25 October 2026 has 25 hours, that of 29 March 23.
		{vienna, "2026-10-24 18:00", "2026-10-25 18:00", 0, "tomorrow at 18:00", "tomorrow at 18:00"},
		{vienna, "2026-10-24 00:30", "2026-10-25 23:30", 0, "tomorrow at 23:30", "tomorrow at 23:30"},
		{vienna, "2026-10-23 12:00", "2026-10-26 12:00", 0, "Monday at 12:00", "on Monday at 12:00"},
		{vienna, "2026-03-28 23:30", "2026-03-29 03:30", 0, "tomorrow at 03:30", "tomorrow at 03:30"},
		{vienna, "2026-03-28 18:00", "2026-03-29 00:30", 0, "tomorrow at 00:30", "tomorrow at 00:30"},
		// A clock that is half an hour off the full hours of the others.
		{kolkata, "2026-11-20 18:00", "2026-11-20 20:10", 3, "20:00", "at 20:00"},
		{kolkata, "2026-11-20 18:00", "2026-11-20 23:50", 3, "midnight", "at midnight"},
	} {
		parse := func(s string) time.Time {
			v, err := time.ParseInLocation("2006-01-02 15:04", s, c.where)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		// The moment may come in another zone than the reader's.
		for _, at := range []time.Time{parse(c.At), parse(c.At).UTC()} {
			m := Moment(at, parse(c.now), c.doubt)
			name, said := quantity.Say(m.String(), quantity.Metric), quantity.Say(m.At(), quantity.Metric)
			if name != c.name || said != c.said {
				t.Errorf("at %s, %s with doubt %g h is %q and %q, want %q and %q", c.now, c.At, c.doubt, name, said,
					c.name, c.said)
			}
		}
	}
}

func TestPartOfDay(t *testing.T) {
	for h, want := range map[int]string{0: "night", 4: "night", 5: "morning", 11: "morning", 12: "afternoon",
		17: "afternoon", 18: "evening", 21: "evening", 22: "night"} {
		if got := partOfDay(time.Date(2026, 1, 1, h, 59, 0, 0, time.UTC)); got != want {
			t.Errorf("%d:59 is %q, want %q", h, got, want)
		}
	}
}
