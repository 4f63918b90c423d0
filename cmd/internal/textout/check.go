package textout

import (
	"fmt"
	"math"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/data/quantity"
)

// Checked is what `check` found of one file.
type Checked struct {
	File    string
	Name    string          // of the batch
	Problem string          // empty when the file is right
	Hints   []string        // what would sharpen the answers
	Units   quantity.System // of its maker
}

// Check prints what was found.
func Check(p *Page, results []Checked) error {
	if p.JSON {
		return p.json(object{{"files", results}})
	}
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

// Plan prints the first plan of a new batch.
func Plan(p *Page, a *bench.Assessment, file string) error {
	if p.JSON {
		return p.json(steepJSON(a))
	}
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
