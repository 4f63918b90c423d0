package worksheet

import (
	"fmt"
	"math"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view/steep"
	"steepbook/data/quantity"
)

// Heading says how far the batch has come, what it steeps in and how warm.
func Heading(a *bench.Assessment, style pen.Style) string {
	s := steep.Age(a)
	if b := a.Batch.Base(); b != "" {
		s += ", " + b
	}
	if a.Batch.RoomC != nil {
		s += ", " + style.Temperature(*a.Batch.RoomC)
	}
	return quantity.Capital(s)
}

// Recipe is what goes in, as the maker wrote it.
func Recipe(a *bench.Assessment) pen.Screen {
	b := a.Batch
	var s pen.Screen
	amount := func(x *quantity.Amount) string {
		if x == nil {
			return "?"
		}
		return x.Text
	}
	for i := range b.Spirits {
		s.Rows = append(s.Rows, []string{b.Spirits[i].Label(), amount(b.Spirits[i].Amount), "the jar's base"})
	}
	for i := range a.Recipe.Botanicals {
		e := &a.Recipe.Botanicals[i].Entry
		var how []string
		if e.Cut != "" {
			how = append(how, e.Cut)
		}
		if e.In > 0 {
			how = append(how, "in after "+quantity.Span(e.In))
		}
		if a.Recipe.Botanicals[i].Never {
			how = []string{"never went in"}
		}
		if e.Bag {
			how = append(how, "in a bag")
		}
		if e.LeaveIn {
			how = append(how, "stays in")
		}
		if e.Target != nil {
			how = append(how, "wanted "+pen.Trim(*e.Target))
		}
		if e.Lot != "" {
			how = append(how, e.Lot)
		}
		s.Rows = append(s.Rows, []string{e.Name, amount(e.Amount), strings.Join(how, ", ")})
	}
	for i := range b.Additions {
		e := &b.Additions[i]
		how := "after straining"
		if e.In != nil {
			how = "in after " + quantity.Span(math.Max(*e.In, 0))
			if *e.In == 0 {
				how = "from the start"
			}
		}
		if e.Heated {
			how += ", heated"
		}
		s.Rows = append(s.Rows, []string{e.Name, amount(e.Amount), how})
	}
	for _, w := range b.Watches {
		s.Notes = append(s.Notes, fmt.Sprintf("%s: at most %s", w.Name, pen.Trim(w.Limit)))
	}
	return s
}
