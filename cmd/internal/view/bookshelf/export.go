package bookshelf

import (
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/batch"
	"steepbook/data/library"
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
				pen.As("keep", bottle.KeepJSON(a)),
				pen.As("blend", bottle.BlendJSON(a, nil)),
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
