package view

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"time"

	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/data/quantity"
)

// actWords is what is to be done, without its hour.
func actWords(d *due.Act) string {
	what := "the " + quantity.And(d.What)
	switch d.Kind {
	case due.Taste:
		return "taste the " + strings.Join(d.What, ", then the ")
	case due.Pull:
		return "pull " + what
	case due.Strain:
		return "strain out " + what
	case due.PutIn:
		return "put in " + what
	case due.Start:
		return "start it"
	case due.Spent:
		return "nothing more comes of " + what + ": strain the jar, or add more"
	case due.Bottle:
		return "bottle it and measure the volume"
	}
	return "nothing to do"
}

// actTime is when, hedged where an hour is no more than a good guess.
func actTime(d *due.Act, now time.Time) when {
	m := moment(d.At, now, d.DoubtH)
	switch d.Kind {
	case due.Taste:
		return moment(d.At, now, math.Min(d.DoubtH, 6)) // a sitting has an hour
	case due.Pull, due.Strain:
		return m.hedged()
	}
	return m
}

// nextAct says what to do next, "" where nothing is.
func nextAct(g *due.Glance) string {
	switch d := &g.Due; {
	case d.Kind == due.Discard && g.Assessment.Alive() != nil, // which is said already, and this too
		d.Kind == due.Bottle && len(g.Assessment.Recipe.ToCome) > 0:
		return ""
	case d.Kind == due.Nothing, d.Kind == due.AtBest, d.Kind == due.Use && !d.Overdue:
		return ""
	}
	return "Next: " + dueWords(g) + "."
}

// dueWords is what to do next and when, in words.
func dueWords(g *due.Glance) string {
	d := &g.Due
	a := g.Assessment
	now := a.Now
	late := ""
	if d.Overdue && now.Sub(d.At) >= 10*time.Minute {
		late = " by " + pen.Spoken(now.Sub(d.At).Hours())
	}
	switch d.Kind {
	case due.Discard:
		not := "do not keep it as written"
		switch {
		case len(a.Keep.MustNot) > 0:
			not = "do not drink it"
		case !a.MustNotKeep() && a.Alive() != nil:
			not = "do not serve it"
		}
		return not + ": steepbook keep " + filepath.Base(a.Batch.File)
	case due.Use:
		if d.Overdue {
			return fmt.Sprintf("overdue%s%s: past its keeping time, do not keep it longer", late, bottleOf(g))
		}
		return "use it up by " + dateOf(d.At, now)
	case due.AtBest:
		if d.At.Before(now) {
			return "past its best, not past keeping"
		}
		return "at its best until " + dateOf(d.At, now)
	case due.Nothing:
		return "nothing due"
	}
	switch {
	case d.Overdue:
		return fmt.Sprintf("overdue%s: %s", late, actWords(d))
	case d.At.IsZero():
		return actWords(d)
	case d.Now || !d.At.After(now):
		return actWords(d) + " now"
	}
	return actWords(d) + " " + actTime(d, now).at()
}

// dueJSON is what to do next.
func dueJSON(g *due.Glance) pen.Object {
	return pen.Object{
		pen.As("kind", g.Due.Kind),
		pen.As("what", g.Due.What),
		pen.As("at", g.Due.At),
		pen.As("overdue", g.Due.Overdue),
		pen.As("text", dueWords(g)),
	}
}

// bottleOf is the bottle that is meant, where others of the batch are sealed or open too.
func bottleOf(g *due.Glance) string {
	if bottle := what(g.Assessment.Keep); bottle != "it" {
		return ", " + bottle
	}
	return ""
}
