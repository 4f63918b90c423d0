package batch

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// TestDaylightSaving: durations are elapsed time, clock times are those of the
// wall. European clocks go forward at 01:00 UTC on the last Sunday of March and
// back on the last Sunday of October (Directive 2000/84/EC, articles 2 and 3).
func TestDaylightSaving(t *testing.T) {
	loc := place(t, "Europe/Berlin")
	for _, c := range []struct {
		name, started, at string
		hours             float64
		when              string
	}{
		{"over the spring change, elapsed", "2026-03-28T18:00:00", `"12 h"`, 12, "2026-03-29T07:00:00+02:00"},
		{"over the spring change, by the clock", "2026-03-28T18:00:00", "2026-03-29T06:00:00", 11, "2026-03-29T06:00:00+02:00"},
		{"over the autumn change, elapsed", "2026-10-24T18:00:00", `"12 h"`, 12, "2026-10-25T05:00:00+01:00"},
		{"over the autumn change, by the clock", "2026-10-24T18:00:00", "2026-10-25T06:00:00", 13, "2026-10-25T06:00:00+01:00"},
		{"a time that comes twice: the first", "2026-10-24T18:00:00", "2026-10-25T02:30:00", 8.5, "2026-10-25T02:30:00+02:00"},
		{"a time that comes twice: the second, said so", "2026-10-24T18:00:00", "2026-10-25T02:30:00+01:00", 9.5, "2026-10-25T02:30:00+01:00"},
		{"started at the second of two", "2026-10-25T02:30:00+01:00", `"1 h"`, 1, "2026-10-25T03:30:00+01:00"},
		{"an offset from elsewhere", "2026-11-20T18:00:00", "2026-11-20T13:00:00-05:00", 1, "2026-11-20T19:00:00+01:00"},
		{"days are 24 h", "2026-03-28T18:00:00", `"1 d"`, 24, "2026-03-29T19:00:00+02:00"},
		{"text as well as a TOML time", "2026-11-20T18:00:00", `"2026-11-20 20:30"`, 2.5, "2026-11-20T20:30:00+01:00"},
		{"a date is its midnight", "2026-11-20T18:00:00", "2026-11-22", 30, "2026-11-22T00:00:00+01:00"},
	} {
		src := "name = \"x\"\nstarted = " + c.started + "\n[[watch]]\nname = \"b\"\nlimit = 2\n[[tasting]]\nat = " + c.at + "\nscore = { b = 1 }\n"
		b, err := Parse("w.toml", []byte(src), loc)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		got := b.Tastings[0]
		if got.Hours != c.hours || got.When.Format(time.RFC3339) != c.when {
			t.Errorf("%s: %g h, %s; want %g h, %s", c.name, got.Hours, got.When.Format(time.RFC3339), c.hours, c.when)
		}
	}
	for _, c := range []struct{ src, want string }{
		{"name = \"x\"\nstarted = 2026-03-29T02:30:00", `w.toml:2: the clocks went forward on 2026-03-29 and never showed 02:30; e.g. started = 2026-03-29T03:30:00`},
		{"name = \"x\"\nstarted = 2026-03-28T18:00:00\n[[botanical]]\nname = \"a\"\nin = \"2026-03-29 02:00\"", `w.toml:5: the clocks went forward on 2026-03-29 and never showed 02:00; e.g. in = 2026-03-29T03:00:00`},
	} {
		if _, err := Parse("w.toml", []byte(c.src), loc); err == nil || err.Error() != c.want {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
	}
}

// TestLocalTimeIsNotTheMachines: the file means the clock of the given place,
// whatever offset the machine has today.
func TestLocalTimeIsNotTheMachines(t *testing.T) {
	src := []byte("name = \"x\"\nstarted = 2026-07-01T18:30:00")
	for name, want := range map[string]string{
		"America/New_York": "2026-07-01T18:30:00-04:00", "Asia/Kolkata": "2026-07-01T18:30:00+05:30", "Australia/Lord_Howe": "2026-07-01T18:30:00+10:30",
	} {
		b, err := Parse("w.toml", src, place(t, name))
		if err != nil {
			t.Fatal(err)
		}
		if got := b.Started.Format(time.RFC3339); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
}

// TestMidnightChange: where the clocks skip midnight, a date is the first
// moment of its day. Beirut went forward at 00:00 on 27 March 2022 (IANA time
// zone database, file asia, zone Asia/Beirut).
func TestMidnightChange(t *testing.T) {
	m, err := ParseMoment("2022-03-27", place(t, "Asia/Beirut"))
	if err != nil {
		t.Fatal(err)
	}
	if got := m.Time.Format(time.RFC3339); got != "2022-03-27T01:00:00+03:00" || !m.DateOnly {
		t.Errorf("got %s, %v", got, m.DateOnly)
	}
}

// TestMomentsReadBack: any moment printed as a wall clock reads as that clock,
// and as the moment itself unless the clock shows it twice.
func TestMomentsReadBack(t *testing.T) {
	for _, name := range []string{"Europe/Berlin", "America/New_York", "Australia/Lord_Howe", "Pacific/Apia", "UTC"} {
		loc := place(t, name)
		rapid.Check(t, func(t *rapid.T) {
			want := time.Unix(rapid.Int64Range(946684800, 4102444800).Draw(t, "second"), 0).In(loc)
			clock := want.Format("2006-01-02T15:04:05")
			m, err := ParseMoment(clock, loc)
			if err != nil {
				t.Fatal(err)
			}
			if got := m.Time.Format("2006-01-02T15:04:05"); got != clock {
				t.Fatalf("%s reads as %s", clock, got)
			}
			if d := want.Sub(m.Time); d != 0 && d != time.Hour && d != 30*time.Minute && d != 24*time.Hour {
				t.Fatalf("%s in %s reads as %s", want, name, m.Time)
			}
			zoned, err := ParseMoment(want.Format(time.RFC3339), loc)
			if err != nil || !zoned.Time.Equal(want) {
				t.Fatalf("%s reads as %v, %v", want.Format(time.RFC3339), zoned.Time, err)
			}
		})
	}
}

func TestParseMoment(t *testing.T) {
	for _, s := range []string{"2026-11-20T18:00:00", "2026-11-20T18:00", "2026-11-20 18:00:00", "2026-11-20 18:00", " 2026-11-20t18:00 ", "2026-11-20T18:00:00Z", "2026-11-20T18:00Z", "2026-11-20T19:00+01:00", "20.11.2026 18:00", "20 Nov 2026 6 pm", "Fri, Nov 20th 2026 at 6:00 p.m."} {
		m, err := ParseMoment(s, time.UTC)
		if err != nil || !m.Time.Equal(time.Date(2026, 11, 20, 18, 0, 0, 0, time.UTC)) || m.DateOnly {
			t.Errorf("%q: %v, %v", s, m, err)
		}
	}
	for _, s := range []string{"", "18:00", "2026-11-31", "2026-11-20T25:00", "yesterday", "2026-11-20 18:00 UTC", "1776-07-04", "9999-01-01"} {
		if m, err := ParseMoment(s, time.UTC); err == nil {
			t.Errorf("%q reads as %v", s, m)
		}
	}
}

// TestDayAlone: what is done once counts, as a date alone on the day of the start, at
// the end of that day; on a later day it is its first moment, as everywhere.
func TestDayAlone(t *testing.T) {
	const head = "name = \"x\"\nstarted = 2026-11-20T18:00:00\n[finish]\n"
	for _, c := range []struct {
		line  string
		hours float64
	}{
		{"bottled = 2026-11-20", 5 + 59./60}, {"strained = \"2026-11-20\"", 5 + 59./60}, {"opened = 2026-11-20", 5 + 59./60},
		{"bottled = 2026-11-21", 6}, {"strained = \"3 h\"\nbottled = 2026-11-20", 5 + 59./60}, {"strained = 2026-11-20\nbottled = 2026-11-20", 5 + 59./60},
	} {
		b, err := Parse("w.toml", []byte(head+c.line+"\n"), time.UTC)
		if err != nil {
			t.Errorf("%s: %v", c.line, err)
			continue
		}
		for _, s := range []*Stage{b.Finish.Bottled, b.Finish.Opened} {
			if s != nil && math.Abs(s.Hours-c.hours) > 1e-9 {
				t.Errorf("%s: %v h, want %v", c.line, s.Hours, c.hours)
			}
		}
	}
	if _, err := Parse("w.toml", []byte(head+"bottled = 2026-11-19\n"), time.UTC); err == nil {
		t.Error("bottled before the start")
	}
}
