package batch

import (
	"os"
	"strings"
	"testing"
	"time"

	"steepbook/data/quantity"
)

// TestMomentsAsTyped: what people type, at 8:30 in the morning of Saturday, 28
// November 2026. The calendar is the Gregorian one (ISO 8601: 2026-W48-6).
func TestMomentsAsTyped(t *testing.T) {
	now := time.Date(2026, 11, 28, 8, 30, 0, 0, time.UTC)
	started := time.Date(2026, 11, 20, 18, 0, 0, 0, time.UTC)
	log := Reckoning{Loc: time.UTC, Now: now, Side: Last}
	us := Reckoning{Loc: time.UTC, Now: now, Side: Last, System: quantity.US}
	start := Reckoning{Loc: time.UTC, Now: now}
	file := Reckoning{Loc: time.UTC, From: started, Side: Next}
	alone := Reckoning{Loc: time.UTC}
	for _, c := range []struct {
		r    Reckoning
		text string
		want string // as in the file, or "?" and a piece of what is asked; "" for what says no moment
	}{
		{log, "9pm", "2026-11-27T21:00:00"},
		{log, "9 pm", "2026-11-27T21:00:00"},
		{log, "9:30pm", "2026-11-27T21:30:00"},
		{log, "9.30 p.m.", "2026-11-27T21:30:00"},
		{log, "18:30", "2026-11-28T18:30:00"}, // ten hours to come: the caller says that it has not been
		{log, "8 am", "2026-11-28T08:00:00"},
		{log, "12am", "2026-11-28T00:00:00"},
		{log, "12 noon yesterday", "2026-11-27T12:00:00"},
		{log, "21:00", "2026-11-27T21:00:00"},
		{log, "yesterday 9 pm", "2026-11-27T21:00:00"},
		{log, "Yesterday at 21:00", "2026-11-27T21:00:00"},
		{log, "9pm yesterday", "2026-11-27T21:00:00"},
		{log, "yesterday", "2026-11-27"},
		{log, "day before yesterday 7am", "2026-11-26T07:00:00"},
		{log, "today 8am", "2026-11-28T08:00:00"},
		{log, "today 9pm", "2026-11-28T21:00:00"},
		{log, "tomorrow 9pm", "2026-11-29T21:00:00"},
		{log, "Nov 24 8:00 pm", "2026-11-24T20:00:00"},
		{log, "24 Nov 20:00", "2026-11-24T20:00:00"},
		{log, "20:00 24. November", "2026-11-24T20:00:00"},
		{log, "Tue 24 Nov, 8pm", "2026-11-24T20:00:00"},
		{log, "24.11. 20:00", "2026-11-24T20:00:00"},
		{log, "11/24 8pm", "2026-11-24T20:00:00"},
		{log, "2026-11-24 8pm", "2026-11-24T20:00:00"},
		{log, "2026/11/24", "2026-11-24"},
		{log, "Dec 24 8pm", "2025-12-24T20:00:00"},
		{log, "Nov 24", "2026-11-24"},
		{log, "Mon 9am", "2026-11-23T09:00:00"},
		{log, "9am on Monday", "2026-11-23T09:00:00"},
		{log, "Monday", "2026-11-23"},
		{log, "Saturday", "2026-11-28"},
		{log, "last Saturday", "2026-11-21"},
		{log, "Saturday 8 am", "2026-11-28T08:00:00"},
		{log, "Sat 9 am", "2026-11-28T09:00:00"},
		{log, "2 days ago", "2026-11-26T08:30:00"},
		{log, "90 min ago", "2026-11-28T07:00:00"},
		{log, "1h30 ago", "2026-11-28T07:00:00"},
		{log, "1,5 h ago", "2026-11-28T07:00:00"}, {log, "1 h, 30 min ago", "2026-11-28T07:00:00"},
		{log, "0,5,5 h ago", "?\"0,5,5 h\" has two numbers"},
		{log, "now", "2026-11-28T08:30:00"},
		{log, "2026-11-27T21:00+01:00", "2026-11-27T20:00:00Z"},
		{log, "this morning", `?"this morning" is a part of a day; write the day and the hour; e.g. "today 8 am"`},
		{log, "last night 1am", "?part of a day"},
		{log, "tonight", "?part of a day"},
		{log, "midnight", "?begins one day and ends another"},
		{log, "03/04", "?3 April or 4 March"},
		{log, "03/04/2026 9pm", `?3 April or 4 March; write the month in letters; e.g. "3 Apr 2026 9pm"`},
		{log, "11/1/2026 9pm", `?11 January or 1 November; write the month in letters; e.g. "1 Nov 2026 9pm"`},
		{us, "1/11/2026", `?e.g. "1 Nov 2026"`}, {Reckoning{Loc: time.UTC, System: quantity.US}, "11/1/2026", `?e.g. "1 Nov 2026"`},
		{log, "13/13/2026", `?no such day in the calendar as in "13/13/2026"; e.g. "2026-11-28T08:30:00"`},
		{log, "24/11/26", "?four figures"},
		{log, "13pm", "?no such time of the day"},
		{log, "25:00", "?no such time of the day"},
		{log, "31 Nov 9pm", "?no such day"},
		{log, "Mon 24 Nov 2026", "?24 November 2026 was no Monday"},
		{log, "2026-11-31", "?no such day"},
		{us, "9:30", "?9:30 am or 9:30 pm"},
		{us, "yesterday 9:30", `?e.g. "yesterday 9:30 pm"`},
		{us, "yesterday 21:30", "2026-11-27T21:30:00"},
		{us, "yesterday 09:30", "2026-11-27T09:30:00"},
		{log, "yesterday 9:30", "2026-11-27T09:30:00"},
		{start, "6 pm", "2026-11-28T18:00:00"},
		{start, "Dec 2 6 pm", "2026-12-02T18:00:00"},
		{start, "Monday 6 pm", "?23 November or 30 November"},
		{start, "last Monday 6 pm", "2026-11-23T18:00:00"},
		{file, "24 Nov 20:00", "2026-11-24T20:00:00"},
		{file, "Jan 3 8pm", "2027-01-03T20:00:00"},
		{file, "yesterday 9 pm", "?another day whenever the file is read"},
		{file, "9pm", "?another day whenever the file is read"},
		{file, "Monday", "?another day whenever the file is read"},
		{file, "2 days ago", "?another day whenever the file is read"},
		{alone, "24 Nov 20:00", "?does not say the year"},
		{alone, "24 Nov 2026 20:00", "2026-11-24T20:00:00"},
		{log, "soon", ""},
		{log, "9", ""},
		{log, "6 hous", ""},
		{log, "2 mon", ""},
	} {
		m, said, err := c.r.Moment(c.text)
		got := ""
		switch {
		case err == nil:
			got = m.Stamp()
		case said:
			got = "?" + err.Error()
		}
		if got != c.want && !(strings.HasPrefix(c.want, "?") && strings.HasPrefix(got, "?") && strings.Contains(got, c.want[1:])) {
			t.Errorf("%q: %s (%v), want %s", c.text, got, err, c.want)
		}
	}
}

// TestMomentsOverTheChangeOfClocks: the clock that is named is the one of the wall,
// and a day without it is no reason to refuse another (as in TestDaylightSaving).
func TestMomentsOverTheChangeOfClocks(t *testing.T) {
	loc := place(t, "Europe/Berlin")
	r := Reckoning{Loc: loc, Now: time.Date(2026, 3, 30, 8, 0, 0, 0, loc), Side: Last}
	for text, want := range map[string]string{
		"2:30 am": "2026-03-30T02:30:00+02:00", "saturday 9 pm": "2026-03-28T21:00:00+01:00", "24 h ago": "2026-03-29T08:00:00+02:00",
	} {
		if m, _, err := r.Moment(text); err != nil || m.Time.Format(time.RFC3339) != want {
			t.Errorf("%q: %v, %v; want %s", text, m.Time, err, want)
		}
	}
	if m, _, err := r.Moment("yesterday 2:30 am"); err == nil {
		t.Errorf("a clock that was skipped reads as %v", m.Time)
	}
}

// FuzzMoment: whatever is typed, the answer is a moment that reads back from its
// stamp, or one sentence.
func FuzzMoment(f *testing.F) {
	for _, s := range []string{"9pm", "yesterday 9 pm", "Nov 24 8:00 pm", "03/04", "Mon 9am", "2 days ago", "last monday", "2026-11-20 18:00", "29 Feb", "12.30 a. m., fri 3-4-2026"} {
		f.Add(s)
	}
	now := time.Date(2026, 11, 28, 8, 30, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, s string) {
		for _, r := range []Reckoning{{Loc: time.UTC, Now: now, Side: Last}, {Loc: time.UTC, Now: now, System: quantity.US}, {Loc: time.UTC, From: now, Side: Next}, {Loc: time.UTC}} {
			m, said, err := r.Moment(s)
			if err != nil {
				if strings.ContainsAny(err.Error(), "\n\x00") {
					t.Fatalf("%q: %q", s, err)
				}
				continue
			}
			if !said {
				t.Fatalf("%q reads as %v and says nothing", s, m.Time)
			}
			back, err := ParseMoment(m.Stamp(), time.UTC)
			if err != nil || back.Time.Unix() != m.Time.Unix() {
				t.Fatalf("%q is %s, which reads as %v, %v", s, m.Stamp(), back.Time, err)
			}
		}
	})
}

// TestWakingHours: as people write them.
func TestWakingHours(t *testing.T) {
	file := t.TempDir() + "/house.toml"
	for text, want := range map[string]string{
		"07:00-23:00": "7h0m0s 23h0m0s", "7 am - 11 pm": "7h0m0s 23h0m0s", "7:30am to 10:15pm": "7h30m0s 22h15m0s", "9:00-24:00": "9h0m0s 24h0m0s",
		"10:00-02:00": "10h0m0s 26h0m0s", "6 pm to 3:30 am": "18h0m0s 27h30m0s", "9:00-00:00": "9h0m0s 24h0m0s",
		"02:00-02:00": "", "12:00-09:00": "",
		"23:00-07:00": "", "07:00": "", "7-23": "", "25:00-26:00": "", "07:00-23:00 daily": "",
	} {
		if err := os.WriteFile(file, []byte("awake = \""+text+"\"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		h, err := ReadHouse(file)
		got := ""
		if err == nil {
			from, to := h.WakingHours()
			got = from.String() + " " + to.String()
		}
		if got != want {
			t.Errorf("%q: %q (%v), want %q", text, got, err, want)
		}
	}
}

// TestUp: about a moment, with hours past midnight, and over the hour that is left out in
// spring.
func TestUp(t *testing.T) {
	vienna, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		t.Skip(err)
	}
	bar := &House{awake: [2]time.Duration{10 * time.Hour, 26 * time.Hour}}
	for _, c := range []struct {
		house             *House
		at, before, after string
	}{
		{nil, "2026-11-20 12:00", "2026-11-20 12:00", "2026-11-20 12:00"},
		{nil, "2026-11-20 23:00", "2026-11-20 23:00", "2026-11-20 23:00"},
		{nil, "2026-11-20 23:30", "2026-11-20 23:00", "2026-11-21 07:00"},
		{nil, "2026-11-21 03:00", "2026-11-20 23:00", "2026-11-21 07:00"},
		{bar, "2026-11-21 01:30", "2026-11-21 01:30", "2026-11-21 01:30"},
		{bar, "2026-11-21 05:00", "2026-11-21 02:00", "2026-11-21 10:00"},
		{bar, "2026-11-21 23:30", "2026-11-21 23:30", "2026-11-21 23:30"},
		{bar, "2026-03-29 04:30", "2026-03-29 03:00", "2026-03-29 10:00"}, // 2:00 is 3:00 that night
	} {
		at, err := time.ParseInLocation("2006-01-02 15:04", c.at, vienna)
		if err != nil {
			t.Fatal(err)
		}
		before, after := c.house.Up(at)
		if b, a := before.Format("2006-01-02 15:04"), after.Format("2006-01-02 15:04"); b != c.before || a != c.after {
			t.Errorf("%s: %s and %s, want %s and %s", c.at, b, a, c.before, c.after)
		}
		// Of all evenings none is nearer, and somebody is up.
		e := c.house.Evening(at)
		if up, _ := c.house.Up(e); e.Sub(at).Abs() > 12*time.Hour+30*time.Minute || !up.Equal(e) {
			t.Errorf("%s: evening at %s", c.at, e)
		}
	}
}

// A moment that was logged to the minute comes back as that minute.
func TestAtGivesTheMinuteBack(t *testing.T) {
	b := &Batch{Started: time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC)}
	for min := range 3 * 366 * 24 * 60 / 7 {
		want := b.Started.Add(time.Duration(7*min) * time.Minute)
		if got := b.At(b.Hours(want)); !got.Equal(want) {
			t.Fatalf("%v came back as %v", want, got)
		}
	}
}

// TestHabit: what others beside it show, a moment is not asked about; where they show nothing, or both, it is.
func TestHabit(t *testing.T) {
	for _, c := range []struct {
		text   string
		beside []string
		want   string
	}{
		{"11/3/2026 10:00", []string{"11/13/2026 18:00"}, "2026-11-03T10:00:00"},
		{"11/3/2026 10:00", []string{"13.11.2026 18:00"}, "2026-03-11T10:00:00"},
		{"11/3/2026 10:00", []string{"11/13/2026 9:00"}, "?in the morning or in the afternoon"},
		{"11/3/2026 10:00", []string{"2026-11-13 18:00"}, "?11 March or 3 November"},
		{"11/3/2026 10:00", []string{"11/13/2026 18:00", "13/11/2026 18:00"}, "?11 March or 3 November"},
	} {
		m, _, err := Reckoning{Loc: time.UTC, System: quantity.US, Habit: HabitOf(append(c.beside, c.text))}.Moment(c.text)
		why, asks := strings.CutPrefix(c.want, "?")
		if asks && (err == nil || !strings.Contains(problemOf(err), why)) || !asks && (err != nil || m.Stamp() != c.want) {
			t.Errorf("%s beside %q: %v, %v; want %s", c.text, c.beside, m, err, c.want)
		}
	}
}
