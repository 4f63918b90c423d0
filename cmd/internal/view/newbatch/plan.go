// Package newbatch says what comes of a batch file that was just written: its first plan,
// another size with what to buy, a variation with how to judge it.
package newbatch

import (
	"fmt"
	"slices"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/steep"
	"steepbook/cmd/internal/view/worksheet"
	"steepbook/data/quantity"
)

// planSteps is how many steps of the work the first plan holds.
const planSteps = 4

// Plan prints the first plan of a new batch: the order of work, as far as a screen holds.
func Plan(p *pen.Page, a *bench.Assessment, file string) error {
	if p.JSON {
		return p.WriteJSON(steep.JSON(a))
	}
	lines, err := worksheet.Work(a, p.Style)
	if err != nil {
		return err
	}
	first := steep.First(a)
	if a.WeakStart() != "" || a.Unfit() {
		lines, first = nil, ""
	}
	s := bottle.BeginWhole(a, strings.TrimSpace("Wrote "+file+". "+first))
	s.Danger = append(s.Danger, bottle.Handling(a)...)
	s.Next = steep.ScoreLine(a, p.Style)
	for i := range lines[:min(planSteps, len(lines))] {
		s.Rows = append(s.Rows, []string{fmt.Sprint(i + 1), lines[i].Sentence()})
	}
	view.Standing(&s, a)
	if how := steep.TasteIt(a, p.Style); s.Next != "" && how != "" {
		s.Notes = append(s.Notes, how)
	}
	if more := len(lines) - len(s.Rows); more > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("%s with times and reasons, to print: steepbook page %s",
			quantity.Counted(more, "more step", "more steps"), view.ShellLine([]string{file})))
	}
	s.Notes = slices.Concat(s.Notes, bottle.Undissolved(a), a.Hints())
	s.More = "steepbook check " + view.ShellLine([]string{file})
	p.Screen(s, pen.OfScreen)
	return p.Done()
}
