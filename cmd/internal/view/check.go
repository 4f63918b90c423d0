package view

import (
	"fmt"
	"path/filepath"
	"strings"

	"steepbook/cmd/internal/pen"
	"steepbook/data/quantity"
)

// Checked is what `check` found of one file.
type Checked struct {
	File    string
	Name    string          // of the batch
	Problem string          // empty when the file is right
	Danger  []string        // what can hurt whoever drinks it, the gravest first
	Hints   []string        // what would sharpen the answers
	Units   quantity.System // of its maker
}

// CheckScreen is what was found of files without a fault: of one its hints, of several how
// many each has.
func CheckScreen(right []Checked) pen.Screen {
	if len(right) == 1 {
		r := &right[0]
		s := pen.Screen{Say: []string{r.File + " is right: " + r.Name + "."}}
		if len(r.Danger) > 0 {
			s.Say, s.Danger = []string{r.Danger[0], s.Say[0]}, r.Danger[1:]
		}
		for _, h := range r.Hints {
			s.Rows = append(s.Rows, []string{"-", h})
		}
		return s.Said(r.Units)
	}
	s := pen.Screen{Say: []string{fmt.Sprintf("%d files are right.", len(right))}}
	for _, r := range right {
		for _, d := range r.Danger {
			s.Danger = append(s.Danger, quantity.Say(filepath.Base(r.File)+": "+d, r.Units))
		}
		what := "nothing to add"
		if n := len(r.Hints); n > 0 {
			clause, _, _ := strings.Cut(r.Hints[0], ";")
			what = quantity.Counted(n, "hint", "hints") + ", first: " + quantity.Say(clause, r.Units)
		}
		s.Rows = append(s.Rows, []string{r.Name, filepath.Base(r.File) + ": " + what})
	}
	return s
}

// Check prints what was found: every fault, and what would sharpen the answers as far as a
// screen holds it; with why all of it.
func Check(p *pen.Page, results []Checked, why bool) error {
	if p.JSON {
		return p.WriteJSON(pen.Object{pen.As("files", results)})
	}
	var right []Checked
	for _, r := range results {
		p.Units = r.Units
		switch {
		case r.Problem != "":
			faultLines(p, r.Problem)
			p.Line("")
		case why:
			p.Answer("%s is right: %s.", r.File, r.Name)
			p.Items(r.Danger)
			p.Items(r.Hints)
			p.Line("")
		default:
			right = append(right, r)
		}
	}
	if len(right) > 0 {
		p.Screen(CheckScreen(right), pen.OfScreen)
	}
	return p.Done()
}
