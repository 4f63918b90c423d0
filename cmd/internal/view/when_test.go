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
		where   *time.Location
		now, at string
		doubt   float64
		want    string
	}{
		{vienna, "2026-11-20 18:00", "2026-11-20 20:13", 0, "today 20:15"},
		{vienna, "2026-11-20 18:00", "2026-11-20 20:08", 1, "today 20:15"},
		{vienna, "2026-11-20 18:00", "2026-11-20 20:31", 2, "today 21:00"},
		{vienna, "2026-11-20 18:00", "2026-11-21 14:00", 2, "tomorrow 14:00"},
		{vienna, "2026-11-20 18:00", "2026-11-19 14:00", 0, "yesterday 14:00"},
		{vienna, "2026-11-20 18:00", "2026-11-23 14:02", 0, "Mon 14:00"},
		// Rounded past midnight it is another day.
		{vienna, "2026-11-20 18:00", "2026-11-20 23:58", 0, "tomorrow 00:00"},
		{vienna, "2026-11-20 18:00", "2026-11-20 23:55", 1, "tomorrow 00:00"},
		{vienna, "2026-11-20 18:00", "2026-11-22 23:58", 0, "Mon 00:00"},
		// Midnight ends the day that is named, from either side.
		{vienna, "2026-11-20 18:00", "2026-11-20 23:40", 3, "tonight at midnight"},
		{vienna, "2026-11-20 18:00", "2026-11-21 00:20", 3, "tonight at midnight"},
		{vienna, "2026-11-20 18:00", "2026-11-22 00:20", 3, "tomorrow at midnight"},
		// Days in words where a clock time would promise too much.
		{vienna, "2026-11-20 18:00", "2026-11-20 23:00", 13, "tonight"},
		{vienna, "2026-11-20 18:00", "2026-11-21 02:00", 13, "tonight"},
		{vienna, "2026-11-20 18:00", "2026-11-22 02:00", 13, "tomorrow night"},
		{vienna, "2026-11-20 18:00", "2026-11-21 09:00", 13, "tomorrow morning"},
		{vienna, "2026-11-20 06:00", "2026-11-20 15:00", 13, "this afternoon"},
		{vienna, "2026-11-20 18:00", "2026-11-22 19:00", 13, "Sun evening"},
		{vienna, "2026-11-20 18:00", "2026-12-20 19:00", 1, "Sun 20 Dec"},
		{vienna, "2026-11-20 18:00", "2027-06-20 19:00", 1, "20 Jun 2027"},
		{vienna, "2026-11-20 18:00", "2026-11-20 19:00", 60, "today"},
		// The night of 25 October 2026 has 25 hours, that of 29 March 23.
		{vienna, "2026-10-24 18:00", "2026-10-25 18:00", 0, "tomorrow 18:00"},
		{vienna, "2026-10-24 00:30", "2026-10-25 23:30", 0, "tomorrow 23:30"},
		{vienna, "2026-10-23 12:00", "2026-10-26 12:00", 0, "Mon 12:00"},
		{vienna, "2026-03-28 23:30", "2026-03-29 03:30", 0, "tomorrow 03:30"},
		{vienna, "2026-03-28 18:00", "2026-03-29 00:30", 0, "tomorrow 00:30"},
		// A clock that is half an hour off the full hours of the others.
		{kolkata, "2026-11-20 18:00", "2026-11-20 20:10", 3, "today 20:00"},
		{kolkata, "2026-11-20 18:00", "2026-11-20 23:50", 3, "tonight at midnight"},
	} {
		parse := func(s string) time.Time {
			v, err := time.ParseInLocation("2006-01-02 15:04", s, c.where)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		// The moment may come in another zone than the reader's.
		for _, at := range []time.Time{parse(c.at), parse(c.at).UTC()} {
			if got := quantity.Say(moment(at, parse(c.now), c.doubt), quantity.Metric); got != c.want {
				t.Errorf("at %s, %s with doubt %g h is %q, want %q", c.now, c.at, c.doubt, got, c.want)
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
