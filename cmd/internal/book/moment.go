package book

import (
	"fmt"
	"strings"
	"time"

	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// At reads when something was done as the batch file will have it: "" is now, a span
// since the start stays as it was typed, a moment in words becomes the date and clock
// that it is now. What has not happened yet is a *NotYet, which says by what, "tasting",
// what it would be; what is no moment is left to the batch file, which says so. Any other
// error is a sentence about what was typed.
func (j *Jar) At(text, what string) (string, error) {
	if text = strings.TrimSpace(text); text == "" {
		return Dated(j.Now), nil
	}
	when := j.Batch.Started
	reckon := batch.Reckoning{Loc: time.Local, Now: j.Now, Side: batch.Last, System: j.Units}
	d, err := quantity.ParseDuration(text)
	if when = when.Add(d); err != nil {
		m, said, err := reckon.Moment(text)
		if err != nil {
			if said {
				return "", err
			}
			return "", fmt.Errorf("%q is no time that can be read; write %s", text, timesRight)
		}
		if m.DateOnly && !byTheDay[what] {
			return "", fmt.Errorf("%q is a whole day; write the hour of the %s too, like %q", text, what, text+" 6 pm")
		}
		if alone, err := batch.ParseMoment(text, time.Local); err != nil || alone.Twice() { // it hangs on now
			if reckon.Side = batch.Next; m.Time.Before(when) {
				if next, _, err := reckon.Moment(text); err == nil && next.Time.After(j.Now) {
					return "", fmt.Errorf("%q has not come yet, and the last one, %s, was before the batch started (%s); "+
						"log it then, or write the date with its year", text, m.Time.Format("2~Jan 2006"),
						when.Format("2~Jan 2006"))
				}
			}
			text = m.Stamp()
		}
		when = m.Time
	}
	if !when.After(j.Now.Add(time.Minute)) {
		return text, nil
	}
	return "", &NotYet{what, when, j.Now.In(when.Location())}
}

// byTheDay is what may be logged with its day alone: nothing is reckoned from its hour.
var byTheDay = map[string]bool{"opening": true, "emptying": true, "note": true}

// timesRight are the ways to say when something was done.
const timesRight = `it as "9 pm", "yesterday 6 pm", "2 h ago", or "30 h" for so long after the start`

// NotYet is the fault of something that was done at a moment to come.
type NotYet struct {
	What    string
	At, Now time.Time
}

func (e *NotYet) Error() string {
	const form = "2~Jan 2006~15:04"
	return fmt.Sprintf("the %s at %s has not happened yet: it is %s; log it then", e.What, e.At.Format(form),
		e.Now.Format(form))
}

// Dated writes a moment as the batch file has it: local time, to the minute.
func Dated(t time.Time) string { return batch.Dated(t.In(time.Local)) }
