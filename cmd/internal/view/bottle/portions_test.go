package bottle

import (
	"steepbook/cmd/internal/keeping"
	"strings"
	"testing"

	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// TestFilling: a bottle that the yield does not fill is said to be too large, and a price that
// leaves something out says what.
func TestFilling(t *testing.T) {
	each := 0.64
	for _, c := range []struct {
		b               recipe.Bottling
		ready, sentence string
	}{
		{recipe.Bottling{SizeML: 700, Size: "700 ml", RestML: 674, Low: 1, High: 1}, "674 ml, less than a bottle of 700 ml holds",
			"674 ml, less than a bottle of 700 ml holds; 0.64 a bottle without the gin and clove."},
		{recipe.Bottling{SizeML: 250, Size: "250 ml", Full: 1, RestML: 40, Low: 2, High: 2}, "1 of 250 ml and 40 ml over",
			"1 bottle of 250 ml and 40 ml over; 0.64 a bottle without the gin and clove."},
	} {
		style := pen.Style{}
		ready := Bottling(style, &c.b)
		sentence := perBottle(&recipe.Portions{Bottling: &c.b, PerBottle: &each}, nil, []string{"gin", "clove"}, style)
		if ready != c.ready || sentence != c.sentence {
			t.Errorf("%q, %q", ready, sentence)
		}
	}
}

// TestDrinksByTheirLaw: a unit that its law has by volume is said by volume.
// UK Chief Medical Officers' Low Risk Drinking Guidelines 2016: 10 ml; NIAAA: 14 g.
func TestDrinksByTheirLaw(t *testing.T) {
	for country, want := range map[batch.Country]string{batch.UK: "of 10 ml alcohol", batch.US: "of 14 g"} {
		drinks := keeping.DrinksIn(&batch.House{Country: country}, quantity.Metric)
		got := drinking(&pen.Page{}, &recipe.Portions{EthanolG: 100}, nil, drinks)
		if !strings.HasSuffix(got, want) {
			t.Errorf("%s: %q", country, got)
		}
	}
}
