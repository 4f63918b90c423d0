package view

import (
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/pen"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// Export writes batches for programs, with all that keep and blend say of each; wrong
// are the files that could not be read.
func Export(p *pen.Page, batches []*bench.Assessment, wrong []book.Wrong) error {
	return p.WriteJSON(pen.Object{
		pen.As("batches", pen.Each(batches, func(x **bench.Assessment) pen.Object {
			a := *x
			return pen.Object{
				pen.As("file", a.Batch.File),
				pen.As("name", a.Batch.Name),
				pen.As("started", a.Batch.Started),
				pen.As("now", a.Now),
				pen.As("keep", keepJSON(a)),
				pen.As("blend", blendJSON(a, nil)),
				pen.As("allergens", pen.Each(a.Keep.Allergens, (*library.Allergen).Declared)),
				pen.As("tastings", pen.Each(a.Batch.Tastings, tastingJSON)),
			}
		})),
		pen.As("wrong", wrong),
	})
}

func tastingJSON(t *batch.Tasting) pen.Object {
	return pen.Object{
		pen.As("at", t.When),
		pen.As("hours", t.Hours),
		pen.As("taster", pen.Some(pen.Verbatim(t.Taster))),
		pen.As("sample", pen.Object{pen.As("jar", t.SampleJar), pen.As("other", t.SampleOther)}),
		pen.As("scores", pen.Each(t.Scores, func(s *batch.Score) pen.Object {
			return pen.Object{pen.As("flavour", pen.Verbatim(s.Name)), pen.As("score", s.Value)}
		})),
		pen.As("words", pen.Some(pen.Verbatim(strings.TrimSpace(t.Words)))),
	}
}

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
		p.Line("Next: %s", ShellLine([]string{"steepbook", "steep", x.File}))
	}
	return p.Done()
}
