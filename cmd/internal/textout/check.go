package textout

import (
	"fmt"
	"io"
	"math"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/data/quantity"
)

// Checked is what `check` found of one file.
type Checked struct {
	File    string   `json:"file"`
	Name    string   `json:"batch"`
	Problem string   `json:"problem"` // empty when the file is right
	Hints   []string `json:"hints"`   // what would sharpen the answers

	Units quantity.System `json:"-"` // of its maker
}

// Check prints what was found.
func Check(p *Page, results []Checked) error {
	for i, r := range results {
		p.Units = r.Units
		if i > 0 {
			p.Line("")
		}
		if r.Problem != "" {
			p.Line("%s", strings.TrimRight(r.Problem, "\n"))
			continue
		}
		p.Line("%s", p.Strong(fmt.Sprintf("%s is right: %s.", r.File, r.Name)))
		for _, h := range r.Hints {
			p.Item("%s", h)
		}
	}
	return p.Err()
}

// CheckJSON writes the same for programs.
func CheckJSON(w io.Writer, results []Checked) error {
	for i := range results {
		results[i].Hints = lines(results[i].Hints)
	}
	return write(w, struct {
		Files []Checked `json:"files"`
	}{results})
}

// Plan prints the first plan of a new batch.
func Plan(p *Page, a *bench.Assessment, file string) error {
	p.Para("Wrote %s.", file)
	p.Line("")
	if len(a.Curves) > 0 {
		rows := make([][]string, 0, len(a.Curves))
		for i := range a.Curves {
			c := &a.Curves[i]
			if c.Watch {
				continue
			}
			first := "-"
			if h := c.Order.TasteH; !math.IsInf(h, 1) {
				first = "after " + span(h-c.InH)
			}
			rows = append(rows, []string{flavour(c), first, rightAfter(c, orLater), because(c)})
		}
		p.Table([]string{"flavour", "taste first", "right after", "because"}, rows)
		p.Line("")
		p.Para("These are usual ranges until you taste.")
		howToTaste(p, a, file)
	}
	for _, h := range a.Hints() {
		p.Item("%s", h)
	}
	return p.Err()
}
