package calendar

import (
	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/nextact"
	"steepbook/data/quantity"
)

// GiftScreen says when to start a batch that is to be ready on a day, and what falls on
// which day then.
func GiftScreen(a *bench.Assessment, p *due.Plan, style pen.Style) pen.Screen {
	s := pen.Screen{Say: planSentences(a, p), Head: []string{"day", "what"}, Notes: planNotes(a, p)}
	for i := range p.Dates {
		if what := dayWords(&p.Dates[i]); what != "" {
			s.Rows = append(s.Rows, []string{dateOf(p.Dates[i].At), quantity.Capital(what)})
		}
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
	case due.Add, due.Stand:
		return nextact.Words(&d.Act)
	case due.Rested:
		return "it has rested: taste it"
	case due.Ready:
		return "the day it is to be ready"
	case due.AtBest:
		return view.GoodBy(true, "this day")
	case due.Use:
		return view.GoodBy(false, "this day")
	}
	return ""
}
