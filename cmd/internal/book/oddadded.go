package book

import (
	"cmp"
	"fmt"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// oddAdded says of a line of the log by which something went in what is odd about it, blend being the
// batch with it: its amount has no unit, it came after the bottling, its bottle is too small for it, or it
// is more sugar than dissolves.
// It is a sentence without its full stop, "" where nothing is odd.
func oddAdded(b *batch.Batch, lib *library.Library, blend *recipe.Blend, l *batch.Line) string {
	if l.Kind != batch.KindAdded {
		return ""
	}
	x := &b.Additives[l.Index]
	return cmp.Or(bareNumber(b, lib, x), blend.JoinsLate(b, x), blend.RunsOver(b, x),
		tooSweet(b, lib, blend, x))
}

// tooSweet asks after a sugar where more than half of it would stay undissolved in a room, with all that
// is still to go in: a slip by a digit. Judgement.
func tooSweet(b *batch.Batch, lib *library.Library, blend *recipe.Blend, x *batch.Added) string {
	thing, err := lib.Ingredient(x.Name)
	if err != nil || thing.Kind != "sugar" || !blend.Have() {
		return ""
	}
	all := &blend.Result.Parts
	if over := all.UndissolvedG(20); over > all.Sucrose/2 {
		return fmt.Sprintf("%s of %s is more than dissolves: about %s of the sugar in it would stay at the bottom", x.Amount.Text, x.Name,
			quantity.FormatMass(over, b.Units))
	}
	return ""
}

// bareNumber asks after an amount that is a bare number, where what it is of is not counted: "100" of
// sugar would be a hundred cubes.
func bareNumber(b *batch.Batch, lib *library.Library, x *batch.Added) string {
	if x.Amount.Kind != quantity.Count || x.Amount.Noun != "" || x.Amount.Of != "" {
		return ""
	}
	unit, pieces := "", ""
	for i := range b.Additions {
		switch e := &b.Additions[i]; {
		case e.Name != x.Name || e.Amount == nil:
		case e.Amount.Kind == quantity.Count:
			return ""
		default:
			unit = e.Amount.Unit
		}
	}
	n := quantity.FormatNumber(x.Amount.Mid())
	if thing, err := lib.Ingredient(x.Name); err == nil {
		switch w, err := thing.Grams(x.Amount); {
		case err == nil && w.Taken == "":
			return ""
		case err == nil && unit == "":
			pieces = fmt.Sprintf("\"%s: %s pieces\" or ", x.Name, n)
		}
	}
	return fmt.Sprintf("%s of %s has no unit; write %s\"%s: %s~%s\"", n, x.Name, pieces, x.Name, n,
		cmp.Or(unit, "g"))
}
