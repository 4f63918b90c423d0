package bench

import (
	"fmt"
	"math"
	"steepbook/cmd/internal/keeping"
	"testing"
	"time"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// blendOnly is an assessment without the curves, which take time.
func blendOnly(b *batch.Batch, lib *library.Library) (*Assessment, error) {
	a, err := Read(b, lib, Question{Now: time.Date(2026, 12, 1, 10, 0, 0, 0, time.UTC)})
	if err == nil {
		a.Judge()
	}
	return a, err
}

// Drinks in a bottle of 40 % vol. United States: NIAAA, "How many drinks are in
// common containers?": 200 ml 4½, 375 ml 8½, 750 ml 17, 50 ml 1, printed to the
// half. Australia: NHMRC standard drinks guide: 700 ml bottle of spirits 22, 30
// ml nip 1.0. United Kingdom: ml times % vol by 1000 units, so 25 ml of spirit
// is 1 unit and a litre 40.
func TestStandardDrinks(t *testing.T) {
	for _, c := range []struct {
		ml                   float64
		us, usOff, au, auOff float64
	}{
		{50, 1, 0.25, 0, 0}, {200, 4.5, 0.25, 0, 0}, {375, 8.5, 0.25, 0, 0}, {750, 17, 0.25, 0, 0},
		{700, 0, 0, 22, 0.5}, {30, 0, 0, 1.0, 0.06},
	} {
		b, err := batch.Parse("f.toml", fmt.Appendf(nil, "name = \"F\"\nstarted = 2026-11-20\n[spirit]\nabv = 40\namount = \"%g ml\"\n", c.ml), time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		a, err := blendOnly(b, library.Builtin())
		if err != nil {
			t.Fatal(err)
		}
		d := a.Blend.EthanolG
		in := func(c batch.Country) float64 {
			return d / keeping.DrinksIn(&batch.House{Country: c}, quantity.Metric)[0].EthanolG
		}
		if c.us > 0 && math.Abs(in(batch.US)-c.us) > c.usOff {
			t.Errorf("%g ml: %.2f US drinks, published %g", c.ml, in(batch.US), c.us)
		}
		if c.au > 0 && math.Abs(in(batch.AU)-c.au) > c.auOff {
			t.Errorf("%g ml: %.2f Australian drinks, published %g", c.ml, in(batch.AU), c.au)
		}
		if want := c.ml * 40 / 1000; math.Abs(in(batch.UK)/want-1) > 1e-4 {
			t.Errorf("%g ml: %.4f UK units, want %.4f", c.ml, in(batch.UK), want)
		}
	}
}
