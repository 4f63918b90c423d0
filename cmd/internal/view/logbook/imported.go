package logbook

import (
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/data/quantity"
)

// Imported says what an import added.
type Imported struct {
	Batch, File      string   // its name, and the file
	Tastings, Scores int      // added
	There, Others    int      // scores that are there already, and of other batches
	Unread           []string // columns
}

// PrintImported says what was added, and what was not and why.
func PrintImported(p *pen.Page, x *Imported) error {
	if p.JSON {
		return p.WriteJSON(pen.Object{
			pen.As("batch", x.Batch),
			pen.As("tastings", x.Tastings),
			pen.As("scores", x.Scores),
			pen.As("there_already", x.There),
			pen.As("of_other_batches", x.Others),
			pen.As("columns_not_read", x.Unread),
		})
	}
	if x.Tastings == 0 {
		p.Answer("Nothing to add to %s.", x.Batch)
	} else {
		p.Answer("Added %s (%s) to %s.", quantity.Counted(x.Tastings, "tasting", "tastings"),
			quantity.Counted(x.Scores, "score", "scores"), x.Batch)
	}
	if x.There > 0 {
		p.Item("skipped %s: the same is there already", quantity.Counted(x.There, "score", "scores"))
	}
	if x.Others > 0 {
		p.Item("left out %s of other batches", quantity.Counted(x.Others, "score", "scores"))
	}
	if len(x.Unread) > 0 {
		p.Item("not read: the columns %s", quantity.And(quantity.Quoted(x.Unread)))
	}
	if x.Tastings > 0 {
		p.Line("Next: %s", view.ShellLine([]string{"steepbook", "steep", x.File}))
	}
	return p.Done()
}
