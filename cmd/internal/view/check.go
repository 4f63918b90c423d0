package view

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
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
func Check(p *pen.Page, results []Checked) error {
	if p.JSON {
		return p.WriteJSON(pen.Object{pen.As("files", results)})
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
		p.Items(r.Hints)
	}
	return p.Done()
}

// Plan prints the first plan of a new batch.
func Plan(p *pen.Page, a *bench.Assessment, file string) error {
	if p.JSON {
		return p.WriteJSON(steepJSON(a))
	}
	p.Para("Wrote %s.", file)
	p.Line("")
	if len(a.Curves) > 0 {
		wanted := slices.DeleteFunc(slices.Clone(a.Curves), func(c bench.Curve) bool { return c.Watch })
		p.Table([]string{"flavour", "taste first", "right after", "because"},
			pen.Each(wanted, func(c *bench.Curve) []string {
				first := "-"
				if h := c.Order.TasteH; !math.IsInf(h, 1) {
					first = "after " + pen.Span(h-c.InH)
				}
				return []string{flavour(c), first, rightAfter(c, pen.OrLater), because(c)}
			}))
		p.Line("")
		p.Para("These are usual ranges until you taste.")
		if recipe, ratio := sample(a, p.Style); ratio != "" {
			p.Para("Taste it as the bottle will be: %s. Log it like this, with your own scores:", recipe)
		}
		if line := scoreLine(a); line != "" {
			p.Command(line)
		}
	}
	p.Items(a.Hints())
	return p.Done()
}
