package sidebyside

import (
	"testing"

	"steepbook/cmd/internal/compare"
)

// TestUnlikeCostsHaveNoRatio: a cost that lacks a price is no part of a change.
func TestUnlikeCostsHaveNoRatio(t *testing.T) {
	cost := func(v float64, note string) compare.Cell { return compare.Cell{Number: true, Value: v, Note: note} }
	for _, c := range []struct {
		from, to compare.Cell
		want     string
	}{
		{cost(10, ""), cost(20, ""), "2 times"}, {cost(10, "1 unpriced"), cost(20, ""), ""}, {cost(10, ""), cost(20, "1 unpriced"), ""},
	} {
		if got := changeText(&compare.Row{Unit: compare.PerLitre, Cells: []compare.Cell{c.from, c.to}}); got != c.want {
			t.Errorf("%+v to %+v: %q", c.from, c.to, got)
		}
	}
}
