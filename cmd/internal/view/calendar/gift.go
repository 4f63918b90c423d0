package calendar

import (
	"fmt"
	"time"

	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/data/quantity"
)

// GiftScreen says when to start a batch that is to be ready on a day, and what falls on
// which day then.
func GiftScreen(p *due.Plan, style pen.Style) pen.Screen {
	const form = "Mon 2~Jan 2006"
	day := func(t time.Time) string { return t.Format(form) }
	var s pen.Screen
	switch {
	case p.TooLate && p.Running:
		s.Say = []string{fmt.Sprintf("It will hardly be ready by %s: %s is likelier.", day(p.Ready),
			day(p.Earliest))}
	case p.TooLate:
		s.Say = []string{fmt.Sprintf("Started now it is %s for %s; %s is likelier.", view.Lateness(p.Late),
			day(p.Ready), day(p.Earliest))}
	case p.Running:
		s.Say = []string{fmt.Sprintf("For %s it has to be bottled by %s; then it is %s.", day(p.Ready),
			day(p.Bottle), view.Lateness(p.Late))}
	default:
		s.Say = []string{fmt.Sprintf("To be at its best on %s, start it by %s; then it is %s.", day(p.Ready),
			day(p.Start), view.Lateness(p.Late))}
		if day(p.By) != day(p.Start) {
			s.Say = append(s.Say, fmt.Sprintf("Started on %s it is %s.", day(p.By), view.Lateness(p.LateBy)))
		}
	}
	s.Head = []string{"day", "what"}
	for i := range p.Dates {
		if what := dayWords(&p.Dates[i]); what != "" {
			s.Rows = append(s.Rows, []string{day(p.Dates[i].At), quantity.Capital(what)})
		}
	}
	if p.RestDays > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("It rests for %s between bottling and the day.",
			quantity.Counted(p.RestDays, "day", "days")))
	}
	if p.Hold {
		s.Notes = append(s.Notes, "Do not bottle it sooner: it does not last to the day.")
	}
	if !p.Best.IsZero() && p.Best.Before(p.Ready) {
		s.Notes = append(s.Notes, fmt.Sprintf("Bottled on %s it is at its best to %s only.", day(p.Bottle),
			day(p.Best)))
	}
	return s.Said(style.Units)
}

// dayWords is what a date of a batch is, in a row beside its day; "" for what is said
// elsewhere.
func dayWords(d *due.Date) string {
	what := quantity.And(d.What)
	switch d.Kind {
	case due.Start:
		return "start it"
	case due.PutIn:
		return "put in the " + what
	case due.Taste:
		return "taste the " + what
	case due.Pull:
		return "take out the " + what
	case due.Strain:
		if what != "" {
			return "strain out the " + what
		}
		return "strain it"
	case due.Bottle:
		return "bottle it"
	case due.Rested:
		return "it has rested: taste it"
	case due.Ready:
		return "the day it is to be ready"
	case due.AtBest:
		return "its best lasts to this day"
	case due.Use:
		return "use it up by this day"
	}
	return ""
}
