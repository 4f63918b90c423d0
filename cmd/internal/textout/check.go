package textout

import (
	"fmt"
	"math"
	"slices"
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
			p.line("")
		}
		if r.Problem != "" {
			p.line("%s", strings.TrimRight(r.Problem, "\n"))
			continue
		}
		p.line("%s", p.strong(fmt.Sprintf("%s is right: %s.", r.File, r.Name)))
		p.items(r.Hints)
	}
	return p.done()
}

// Plan prints the first plan of a new batch.
func Plan(p *Page, a *bench.Assessment, file string) error {
	if p.JSON {
		return p.json(steepJSON(a))
	}
	p.para("Wrote %s.", file)
	p.line("")
	if len(a.Curves) > 0 {
		wanted := slices.DeleteFunc(slices.Clone(a.Curves), func(c bench.Curve) bool { return c.Watch })
		p.table([]string{"flavour", "taste first", "right after", "because"},
			each(wanted, func(c *bench.Curve) []string {
				first := "-"
				if h := c.Order.TasteH; !math.IsInf(h, 1) {
					first = "after " + span(h-c.InH)
				}
				return []string{flavour(c), first, rightAfter(c, orLater), because(c)}
			}))
		p.line("")
		p.para("These are usual ranges until you taste.")
		howToTaste(p, a, file)
	}
	p.items(a.Hints())
	return p.done()
}
