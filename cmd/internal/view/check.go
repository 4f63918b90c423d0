package view

import (
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
			faultLines(p, r.Problem)
			continue
		}
		p.Answer("%s is right: %s.", r.File, r.Name)
		p.Items(r.Hints)
	}
	return p.Done()
}
