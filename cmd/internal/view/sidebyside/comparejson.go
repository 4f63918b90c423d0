package sidebyside

import (
	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/compare"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view/bottle"
)

func compareJSON(p *pen.Page, c *compare.Comparison) pen.Object {
	batch := 0
	var about, what string
	if r := c.Headline.Row; r != nil {
		about, what = r.About, r.What
	}
	return pen.Object{
		pen.As("batches", pen.Each(c.Batches, func(a **bench.Assessment) pen.Object {
			batch++
			b := (*a).Batch
			return pen.Object{
				pen.As("letter", letter(batch-1)),
				pen.As("batch", b.Name),
				pen.As("file", b.File),
				pen.As("danger", bottle.CanHurt(*a)),
				pen.As("started", b.Started),
				pen.As("elapsed_h", (*a).ElapsedH),
			}
		})),
		pen.As("headline", pen.Object{
			pen.As("kind", c.Headline.Kind),
			pen.As("about", about),
			pen.As("what", what),
			pen.As("causes", c.Headline.Causes),
			pen.As("text", headline(c)),
		}),
		pen.As("next", nextJSON(p, c)),
		pen.As("differences", pen.Each(c.Rows, differenceJSON)),
		pen.As("same", c.Alike),
		pen.As("not_written", c.Gaps),
		pen.As("form_changes", pen.Each(c.Forms, func(f *compare.FormChange) pen.Object {
			return pen.Object{
				pen.As("botanical", f.Name),
				pen.As("from", f.From),
				pen.As("to", f.To),
				pen.As("dose_ratio", pen.Some(f.DoseRatio)),
				pen.As("rate_ratio", pen.Some(f.RateRatio)),
				pen.As("same_weight", f.SameWeight()),
				pen.As("substances", f.Substances),
				pen.As("text", formChange(f)),
			}
		})),
		pen.As("changed_at_once", c.Mixed),
	}
}

// differenceJSON is a row; sure is null for what is written, and says of a taste
// whether first and last stand apart.
func differenceJSON(r *compare.Row) pen.Object {
	return pen.Object{
		pen.As("part", r.Part),
		pen.As("about", r.About),
		pen.As("what", r.What),
		pen.As("unit", r.Unit),
		pen.As("values", pen.Each(r.Cells, func(c *compare.Cell) pen.Object {
			ranged := c.Number && c.High > c.Low
			return pen.Object{
				pen.As("value", pen.Where(c.Number, c.Value)),
				pen.As("low", pen.Where(ranged, c.Low)),
				pen.As("high", pen.Where(ranged, c.High)),
				pen.As("text", c.Text),
				pen.As("note", c.Note),
			}
		})),
		pen.As("note", r.Note),
		pen.As("sure", pen.Where(r.Part == compare.CameOut && r.Unit == compare.Score, r.Sure)),
	}
}
