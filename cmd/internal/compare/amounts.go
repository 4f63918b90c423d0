package compare

import (
	"steepbook/cmd/internal/recipe"
	"steepbook/data/quantity"
)

// inOneUnit reports whether an amount of a row, nil for none, is written in the unit of the first of them, so
// that one can be held against the other as they stand.
func inOneUnit(first **quantity.Amount, a *quantity.Amount) bool {
	if *first == nil {
		*first = a
	}
	f := *first
	return a == nil || a.Unit == f.Unit && a.Noun == f.Noun && a.Of == f.Of
}

// weighed is an amount as it was written or, where others of its row are in another unit, its weight [g] as
// far as that is known, tied for the maker's units.
func weighed(a *quantity.Amount, g float64, asWritten bool) string {
	if asWritten || a == nil || g <= 0 {
		return amountText(a)
	}
	return quantity.InFigures(g, 3) + "~g"
}

func amountText(a *quantity.Amount) string {
	if a == nil {
		return ""
	}
	return a.String()
}

// amount is the row of how much of an addition went in: in millilitres where
// every batch measured it so, else in grams.
func (c *Comparison) amount(m matched[recipe.Addition], perLitre bool) {
	byVolume, asWritten, first := true, true, (*quantity.Amount)(nil)
	for _, x := range m.of {
		if x != nil && x.Entry.Amount != nil {
			_, _, _, ok := x.Entry.Amount.Millilitres()
			byVolume, asWritten = byVolume && ok, inOneUnit(&first, x.Entry.Amount) && asWritten
		}
	}
	unit := Grams
	switch {
	case byVolume && perLitre:
		unit = MLPerLBase
	case byVolume:
		unit = ML
	case perLitre:
		unit = GPerLBase
	}
	r := Row{Part: WentIn, About: m.name, What: "added", Unit: unit}
	for i, x := range m.of {
		switch {
		case x == nil:
			r.Cells = append(r.Cells, Cell{Text: "-"})
			continue
		case x.Entry.Amount == nil:
			r.Cells = append(r.Cells, Cell{Missing: true})
			continue
		}
		cell := Cell{Number: true, Value: x.MassG()}
		if byVolume {
			_, cell.Value, _, _ = x.Entry.Amount.Millilitres()
		} else if x.MassG() == 0 {
			r.Cells = append(r.Cells, Cell{Text: amountText(x.Entry.Amount)})
			continue
		}
		if perLitre {
			if cell.Note = weighed(x.Entry.Amount, cell.Value, asWritten || byVolume); byVolume &&
				!asWritten {
				cell.WasML = cell.Value
			}
			cell.Value /= c.sides[i].baseML / 1000
		}
		r.Cells = append(r.Cells, cell)
	}
	c.add(r)
}
