// Package ical writes calendars as RFC 5545 has them. It knows no batch.
//
// A moment is written in UTC (form 2 of section 3.3.5): every event here happens once, so
// there is nothing to repeat by the rules of a time zone, a steep goes by elapsed hours,
// and of the hour that comes twice in autumn local time can only name the first. The
// calendar of the reader shows it by the clock of its place. A whole day is a DATE and
// belongs to no zone.
package ical

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"

	"steepbook/data/visible"
)

// Calendar is a list of events as of a moment.
type Calendar struct {
	Name string
	// Stamp is when it was made. Its minutes number the revision of each event, so that
	// what is made later replaces what was imported before.
	Stamp  time.Time
	Events []Event
}

// Event is something that happens once: at a moment, or on a day.
type Event struct {
	// UID is the same whenever the same thing is written.
	UID                        string
	Summary, Description, Kind string
	Start                      time.Time
	// AllDay: Start says only a day, by the clock of its own location.
	AllDay bool
	// Alarm is how long after the start it is told (before it where negative); on a whole
	// day after its midnight. nil: never.
	Alarm *time.Duration
	// Tell is what it says when it is told, Summary where it is empty.
	Tell string
}

// length is how long a moment is shown. Judgement.
const length = 15 * time.Minute

// Write writes the calendar, lines folded and ended as the RFC asks.
func Write(w io.Writer, c Calendar) error {
	var out writer
	out.line("BEGIN", "VCALENDAR")
	out.line("VERSION", "2.0")
	out.line("PRODID", "-//steepbook//steepbook//EN")
	out.line("CALSCALE", "GREGORIAN")
	if c.Name != "" {
		out.line("X-WR-CALNAME", text(c.Name))
	}
	for i := range c.Events {
		out.event(&c.Events[i], c.Stamp)
	}
	out.line("END", "VCALENDAR")
	_, err := w.Write(out.Bytes())
	return err
}

type writer struct{ bytes.Buffer }

const (
	utc = "20060102T150405Z"
	day = "20060102"
)

func (w *writer) event(e *Event, stamp time.Time) {
	w.line("BEGIN", "VEVENT")
	w.line("UID", text(e.UID))
	w.line("DTSTAMP", stamp.UTC().Format(utc))
	w.line("LAST-MODIFIED", stamp.UTC().Format(utc))
	w.line("SEQUENCE", fmt.Sprint(max(stamp.Unix()/60, 0)))
	if e.AllDay {
		w.line("DTSTART;VALUE=DATE", e.Start.Format(day))
	} else {
		w.line("DTSTART", e.Start.UTC().Format(utc))
		w.line("DURATION", span(length))
	}
	w.line("SUMMARY", text(e.Summary))
	if e.Description != "" {
		w.line("DESCRIPTION", text(e.Description))
	}
	if e.Kind != "" {
		w.line("CATEGORIES", text(e.Kind))
	}
	w.line("TRANSP", "TRANSPARENT")
	if e.Alarm != nil {
		w.line("BEGIN", "VALARM")
		w.line("ACTION", "DISPLAY")
		w.line("DESCRIPTION", text(cmp.Or(e.Tell, e.Summary)))
		w.line("TRIGGER", span(*e.Alarm))
		w.line("END", "VALARM")
	}
	w.line("END", "VEVENT")
}

// span is a duration of section 3.3.6, to the minute.
func span(d time.Duration) string {
	sign := ""
	if d < 0 {
		sign, d = "-", -d
	}
	minutes := int(d / time.Minute)
	days, hours, rest := minutes/(24*60), minutes/60%24, minutes%60
	out := sign + "P"
	if days > 0 {
		out += fmt.Sprintf("%dD", days)
	}
	if hours > 0 || rest > 0 || days == 0 {
		out += "T"
	}
	if hours > 0 {
		out += fmt.Sprintf("%dH", hours)
	}
	if rest > 0 || hours == 0 && days == 0 {
		out += fmt.Sprintf("%dM", rest)
	}
	return out
}

// mostOctets is how long a line may be without its end, section 3.1.
const mostOctets = 75

// line writes a content line, folded so that no character is parted.
func (w *writer) line(name, value string) {
	rest, room := name+":"+value, mostOctets
	for len(rest) > room {
		cut := room
		for cut > 0 && !utf8.RuneStart(rest[cut]) {
			cut--
		}
		w.WriteString(rest[:cut] + "\r\n ")
		rest, room = rest[cut:], mostOctets-1 // the space counts
	}
	w.WriteString(rest + "\r\n")
}

// text is a value of type TEXT, section 3.3.11: escaped, and only what is visible.
func text(s string) string {
	s = strings.ReplaceAll(strings.ToValidUTF8(s, "?"), "\r\n", "\n")
	var b strings.Builder
	for _, r := range visible.Text(s) {
		switch {
		case r == '\n':
			b.WriteString(`\n`)
		case strings.ContainsRune(`\;,`, r):
			b.WriteByte('\\')
			b.WriteRune(r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
