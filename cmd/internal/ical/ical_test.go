package ical

import (
	"bytes"
	"strings"
	"testing"
	"time"

	goical "github.com/emersion/go-ical"
	"pgregory.net/rapid"
)

func written(t interface{ Fatal(...any) }, c Calendar) []byte {
	var out bytes.Buffer
	if err := Write(&out, c); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// readBack reads a calendar by another library, and has its encoder, which holds each
// component to the properties that the RFC asks of it, write it anew.
func readBack(t interface{ Fatal(...any) }, text []byte) *goical.Calendar {
	cal, err := goical.NewDecoder(bytes.NewReader(text)).Decode()
	if err != nil {
		t.Fatal(err, string(text))
	}
	if err := goical.NewEncoder(new(bytes.Buffer)).Encode(cal); err != nil {
		t.Fatal(err, string(text))
	}
	return cal
}

// TestExamplesOfTheRFC: the values that RFC 5545 prints.
func TestExamplesOfTheRFC(t *testing.T) {
	// Section 3.3.11.
	if got, want := text("Project XYZ Final Review\nConference Room - 3B\nCome Prepared."),
		`Project XYZ Final Review\nConference Room - 3B\nCome Prepared.`; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	// Section 3.8.1.7.
	if got, want := text("Conference Room - F123, Bldg. 002"),
		`Conference Room - F123\, Bldg. 002`; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	// Sections 3.8.6.3 (TRIGGER:-PT15M), 3.8.2.5 (PT15M), 3.6.6 (-PT30M, -P2D), 3.3.6.
	for d, want := range map[time.Duration]string{-15 * time.Minute: "-PT15M", 15 * time.Minute: "PT15M",
		-30 * time.Minute: "-PT30M", -48 * time.Hour: "-P2D", 0: "PT0M", 15*24*time.Hour +
			5*time.Hour: "P15DT5H",
		-(24*time.Hour + time.Minute): "-P1DT1M"} {
		if got := span(d); got != want {
			t.Errorf("%v is %s, want %s", d, got, want)
		}
	}
	// Section 3.6.1: a meeting at a moment, and an anniversary on a day; 19970903T163000Z and
	// 19971102 as they are printed there.
	out := string(written(t, Calendar{Stamp: time.Date(1997, 9, 1, 13, 0, 0, 0, time.UTC), Events: []Event{
		{UID: "19970901T130000Z-123401@example.com", Start: time.Date(1997, 9, 3, 16, 30, 0, 0, time.UTC),
			Summary: "Annual Employee Review"},
		{UID: "19970901T130000Z-123403@example.com", Start: time.Date(1997, 11, 2, 0, 0, 0, 0, time.UTC),
			AllDay:  true,
			Summary: "Our Blissful Anniversary"},
	}}))
	for _, want := range []string{"DTSTAMP:19970901T130000Z", "DTSTART:19970903T163000Z",
		"SUMMARY:Annual Employee Review",
		"DTSTART;VALUE=DATE:19971102", "TRANSP:TRANSPARENT", "UID:19970901T130000Z-123403@example.com"} {
		if !strings.Contains(out, "\r\n"+want+"\r\n") {
			t.Errorf("%s is not in\n%s", want, out)
		}
	}
}

// TestLinesAreFolded: section 3.1, no line is longer than 75 octets, each ends in CRLF,
// and unfolding gives back what was written.
func TestLinesAreFolded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Calendar{Name: rapid.String().Draw(t, "name"), Stamp: time.Unix(rapid.Int64Range(0,
			4e9).Draw(t, "stamp"), 0)}
		for range rapid.IntRange(1, 4).Draw(t, "events") {
			alarm := time.Duration(rapid.Int64Range(-1e5, 1e5).Draw(t, "alarm")) * time.Minute
			c.Events = append(c.Events, Event{UID: rapid.StringMatching(`[a-z0-9-]{1,90}`).Draw(t, "uid"),
				Summary: rapid.String().Draw(t, "summary"), Description: rapid.String().Draw(t,
					"description"),
				Start:  time.Unix(rapid.Int64Range(0, 4e9).Draw(t, "start"), 0),
				AllDay: rapid.Bool().Draw(t, "day"), Alarm: &alarm})
		}
		out := written(t, c)
		for line := range strings.SplitSeq(strings.TrimSuffix(string(out), "\r\n"), "\r\n") {
			if len(line) > 75 || strings.ContainsAny(line, "\r\n") {
				t.Fatalf("%d octets: %q", len(line), line)
			}
		}
		events := readBack(t, out).Events()
		if len(events) != len(c.Events) {
			t.Fatalf("%d events of %d", len(events), len(c.Events))
		}
		for i, e := range events {
			want := c.Events[i]
			// The text as it was, but for what was taken out.
			for name, was := range map[string]string{"SUMMARY": want.Summary, "UID": want.UID,
				"DESCRIPTION": want.Description} {
				got, err := e.Props.Text(name)
				if err != nil || text(got) != text(was) {
					t.Fatalf("%s is %q, was %q, %v", name, got, was, err)
				}
			}
			if at, err := e.DateTimeStart(time.UTC); err != nil || !want.AllDay && !at.Equal(want.Start) ||
				want.AllDay && at.Format(time.DateOnly) != want.Start.Format(time.DateOnly) {
				t.Fatalf("%v, %v, want %v", at, err, want.Start)
			}
			alarm := e.Children[0].Props.Get("TRIGGER")
			if d, err := alarm.Duration(); err != nil || d != *want.Alarm {
				t.Fatalf("%v, %v, want %v", d, err, *want.Alarm)
			}
		}
	})
}

func TestNothingTurnsOrControls(t *testing.T) {
	if got := text("a\u202eb\x00c\x07d\te\r\nf\xff"); got != `abcd e\nf?` {
		t.Errorf("%q", got)
	}
}

// TestTheHourThatComesTwice: on 25 October 2026 clocks in Vienna go from 3:00 back to 2:00;
// both half past twos are told apart, which local time could not do (section 3.3.5: the
// first is meant).
func TestTheHourThatComesTwice(t *testing.T) {
	vienna, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		t.Skip(err)
	}
	first := time.Date(2026, 10, 25, 0, 30, 0, 0, time.UTC).In(vienna)
	second := first.Add(time.Hour)
	if first.Format("15:04") != "02:30" || second.Format("15:04") != "02:30" {
		t.Fatal(first, second)
	}
	cal := readBack(t, written(t, Calendar{Events: []Event{{UID: "a", Start: first}, {UID: "b",
		Start: second}}}))
	for i, want := range []time.Time{first, second} {
		if at, err := cal.Events()[i].DateTimeStart(vienna); err != nil || !at.Equal(want) {
			t.Errorf("%v, want %v, %v", at, want, err)
		}
	}
}
