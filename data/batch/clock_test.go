package batch

import (
	"strings"
	"testing"
	"time"
)

// The hour that comes twice: European clocks go back at 01:00 UTC on the last Sunday of
// October, those of the United States at 2 o'clock by their own summer time on the first
// Sunday of November (IANA time zone database, file europe, rules EU, and file northamerica,
// rules US; in 2026 on 25 October and 1 November).
var autumn = []struct {
	zone          string
	first, second string // twenty to three, then ten past two: half an hour later
	typed         string // the clock of the second
}{
	{"Europe/Berlin", "2026-10-25T02:40:00+02:00", "2026-10-25T02:10:00+01:00", "02:10"},
	{"America/New_York", "2026-11-01T01:40:00-04:00", "2026-11-01T01:10:00-05:00", "01:10"},
}

func parsed(t *testing.T, text string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, text)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// TestStampOfTheHourThatComesTwice: what is written is read as the same moment, in every
// minute of the night, and with an offset only where the clock alone would not say.
func TestStampOfTheHourThatComesTwice(t *testing.T) {
	for _, c := range autumn {
		loc := place(t, c.zone)
		first := parsed(t, c.first).In(loc).Truncate(time.Hour)
		for m := -180; m < 360; m++ {
			at := first.Add(time.Duration(m) * time.Minute)
			stamp := Dated(at)
			back, err := ParseMoment(stamp, loc)
			if err != nil || !back.Time.Equal(at) {
				t.Errorf("%s: %s reads as %s, %v", c.zone, stamp, back.Time, err)
			}
			twice := m >= 0 && m < 120
			if got := len(stamp) > len("2026-10-25T02:40:00"); got != twice {
				t.Errorf("%s: %s for %s", c.zone, stamp, at)
			}
		}
	}
}

// TestTwiceAtThePrompt: what may be either is asked about with both, what has been is not
// what is still to come.
func TestTwiceAtThePrompt(t *testing.T) {
	for _, c := range autumn {
		loc := place(t, c.zone)
		first, second := parsed(t, c.first), parsed(t, c.second)
		clock := first.In(loc).Format("15:04")
		for _, x := range []struct {
			now   time.Time
			typed string
			want  string // "" is asked about
		}{
			{first, clock, c.first},
			{first.Add(20 * time.Minute), clock, c.first}, // the second is to come
			{second, clock, c.first},
			{second, c.typed, ""},
			{second, second.In(loc).Format("2006-01-02 15:04"), ""},
			{second.Add(8 * time.Hour), clock, ""},
			{second.Add(8 * time.Hour), c.second, c.second},
			{second, "now", c.second},
			{second, "30 min ago", c.first},
		} {
			m, _, err := Reckoning{Loc: loc, Now: x.now, Side: Last}.Moment(x.typed)
			switch {
			case x.want == "" && (err == nil || !strings.Contains(err.Error(), "twice") ||
				!strings.Contains(err.Error(), x.now.In(loc).Format("-07:00"))):
				t.Errorf("%q at %s: %s, %v", x.typed, x.now.In(loc), m.Stamp(), err)
			case x.want != "" && (err != nil || m.Stamp() != x.want):
				t.Errorf("%q at %s: %s, %v; want %s", x.typed, x.now.In(loc), m.Stamp(), err, x.want)
			}
		}
	}
}

// TestTwiceInTheFile: what the tool wrote stands in its order; what a maker wrote without an
// offset is the first time of its clock, unless it stands behind what came after that.
func TestTwiceInTheFile(t *testing.T) {
	for _, c := range autumn {
		loc := place(t, c.zone)
		night := parsed(t, c.first).In(loc)
		day := night.Format(time.DateOnly)
		hour := night.Format("15")
		path := writeFile(t, strings.Replace(small, "2026-11-20T18:00:00", night.Add(-8*time.Hour).Format("2006-01-02T15:04:05"), 1))
		for _, at := range []string{c.first, c.second} {
			if err := Append(path, NewTasting{At: at, Scores: []Score{{"bitter", 1}}}, loc); err != nil {
				t.Fatal(err)
			}
		}
		if err := Append(path, NewNote{What: "clear", At: day + " " + hour + ":20"}, loc); err == nil {
			t.Errorf("%s: nobody asked which", c.zone)
		}
		text := readFile(t, path)
		b, err := Read(path, loc)
		if err != nil || b.Tastings[1].Hours-b.Tastings[0].Hours != 0.5 || !strings.Contains(text, "at = "+c.first) ||
			!strings.Contains(text, "at = "+c.second) {
			t.Errorf("%s: %v, %+v\n%s", c.zone, err, b.Tastings, text)
		}
		if last, err := Undo(path, "", loc); err != nil || !strings.Contains(last.Block, c.second) {
			t.Errorf("%s: undo: %q, %v", c.zone, last.Block, err)
		}
		var log strings.Builder
		for _, clock := range []string{":10", ":40", ":05", ":20"} { // the second half is the second time
			log.WriteString("\n[[noted]]\nwhat = \"" + clock + "\"\nat = " + day + "T" + hour + clock + ":00\n")
		}
		b, err = Parse("w.toml", []byte(text[:strings.Index(text, "\n[[tasting")]+log.String()), loc)
		if err != nil {
			t.Fatal(err)
		}
		var hours []float64
		for _, n := range b.Notes {
			hours = append(hours, (n.When.Sub(night.Truncate(time.Hour)).Minutes()))
		}
		for i, want := range []float64{10, 40, 65, 80} {
			if hours[i] != want {
				t.Errorf("%s: minutes of the night %v", c.zone, hours)
				break
			}
		}
	}
}
