package sheet

import (
	"io"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/worksheet"
	"steepbook/data/quantity"
)

// benchSheet is a sheet to scribble on, for the template "bench.html".
type benchSheet struct {
	Head                Head
	Name, Heading, AsOf string
	Danger, How         []string
	Rows                []worksheet.TastingRow
	Sittings            []string
	Log                 string
}

// manyTastes are so many that the boxes are made lower, to stay on one sheet.
const manyTastes = 10

// sittings is how many tastings a sheet has room for.
var sittings = []string{"1", "2", "3", "4", "5", "6"}

// Bench writes the sheet that a maker scribbles on while tasting: in which order, the
// sample to mix, empty boxes for the scores. Its errors are those of the steep and of
// writing.
func Bench(w io.Writer, a *bench.Assessment, style pen.Style) error {
	t, err := worksheet.Tasting(a, style)
	if err != nil {
		return err
	}
	say := func(text string) string { return quantity.Say(text, style.Units) }
	p := benchSheet{
		Head: Head{title(a.Batch.Name) + ": tasting sheet", "sheet"}, Name: a.Batch.Name,
		Heading: say(worksheet.Heading(a, style)), AsOf: say(view.Clock(a.Now)),
		Sittings: sittings, Rows: t.Rows, Log: t.Log,
	}
	if len(t.Rows) >= manyTastes {
		p.Head.Class += " many"
	}
	for _, text := range t.Danger {
		p.Danger = append(p.Danger, say(text))
	}
	for _, text := range t.How {
		p.How = append(p.How, say(text))
	}
	return Templates().ExecuteTemplate(w, "bench.html", p)
}
