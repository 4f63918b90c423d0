package textout

import (
	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/compare"
)

func compareJSON(p *Page, c *compare.Comparison) object {
	batch := 0
	var about, what string
	if r := c.Headline.Row; r != nil {
		about, what = r.About, r.What
	}
	return object{
		{"batches", each(c.Batches, func(a **bench.Assessment) object {
			batch++
			b := (*a).Batch
			return object{
				{"letter", letter(batch - 1)},
				{"batch", b.Name},
				{"file", b.File},
				{"started", b.Started},
				{"elapsed_h", (*a).ElapsedH},
			}
		})},
		{"headline", object{
			{"kind", c.Headline.Kind},
			{"about", about},
			{"what", what},
			{"causes", c.Headline.Causes},
			{"text", headline(c)},
		}},
		{"next", nextJSON(p, c)},
		{"differences", each(c.Rows, differenceJSON)},
		{"same", c.Alike},
		{"not_written", c.Gaps},
		{"form_changes", each(c.Forms, func(f *compare.FormChange) object {
			return object{
				{"botanical", f.Name},
				{"from", f.From},
				{"to", f.To},
				{"dose_ratio", some(f.DoseRatio)},
				{"rate_ratio", some(f.RateRatio)},
				{"same_weight", f.SameWeight()},
				{"substances", f.Substances},
				{"text", formChange(f)},
			}
		})},
		{"changed_at_once", c.Mixed},
	}
}

// differenceJSON is a row; sure is null for what is written, and says of a taste
// whether first and last stand apart.
func differenceJSON(r *compare.Row) object {
	return object{
		{"part", r.Part},
		{"about", r.About},
		{"what", r.What},
		{"unit", r.Unit},
		{"values", each(r.Cells, func(c *compare.Cell) object {
			ranged := c.Number && c.High > c.Low
			return object{
				{"value", where(c.Number, c.Value)},
				{"low", where(ranged, c.Low)},
				{"high", where(ranged, c.High)},
				{"text", c.Text},
				{"note", c.Note},
			}
		})},
		{"note", r.Note},
		{"sure", where(r.Part == compare.CameOut && r.Unit == compare.Score, r.Sure)},
	}
}
