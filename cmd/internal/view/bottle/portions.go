package bottle

import (
	"fmt"
	"math"
	"slices"
	"steepbook/cmd/internal/keeping"
	"strconv"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/quantity"
)

// Pours says how much is poured, and what it costs.
func Pours(p *pen.Page, x *recipe.Portions, drinks []keeping.Drink, unpriced []string) []pen.Pair {
	bottles := Bottling(p.Style, x.Bottling)
	if x.Filled != nil {
		bottles = withRest(x.Filled, p.Style)
	}
	return []pen.Pair{{"Bottles", bottles}, {"Drinks", drinking(p, x, drinks)},
		{"Cost", costOf(p, x, unpriced)}}
}

// perBottle says how many bottles it fills, and what one costs.
func perBottle(x *recipe.Portions, unpriced []string, style pen.Style) string {
	var parts []string
	if f := x.Filled; f != nil {
		parts = append(parts, withRest(f, style))
	} else if b := x.Bottling; b != nil {
		parts = append(parts, filling(b, quantity.Counted(b.Full, "bottle", "bottles"), style))
	}
	each := eachBottle(x, style)
	if each == "" && x.PerLitre != nil {
		each = style.PerLitre(*x.PerLitre)
	}
	if each != "" && len(unpriced) > 0 {
		each += " without the " + quantity.And(unpriced)
	}
	if each != "" {
		parts = append(parts, each)
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, "; ") + "."
}

// eachBottle says what a bottle costs, of each size that was filled.
func eachBottle(x *recipe.Portions, style pen.Style) string {
	f := x.Filled
	if f == nil || len(f.Sizes) == 0 || f.Sizes[0].Cost == nil {
		if x.PerBottle == nil {
			return ""
		}
		return fmt.Sprintf("%.2f a bottle", *x.PerBottle)
	}
	if len(f.Sizes) == 1 {
		return fmt.Sprintf("%.2f a bottle", *f.Sizes[0].Cost)
	}
	return quantity.And(pen.Each(f.Sizes, func(s *recipe.Sized) string {
		return fmt.Sprintf("%.2f a bottle of %s", *s.Cost, style.Volume(s.SizeML))
	}))
}

// Parted counts the bottles that were filled once more, by size and by the alcohol in each [g], of those that
// count by their number, moment and size [mL].
func Parted(a *bench.Assessment,
	of func(int, time.Time, float64) (ethanolG float64, counts bool)) *recipe.Filled {
	f, all := a.Blend.Filled, a.Batch.Bottles(math.Inf(1)).List
	out := *f
	out.Sizes = nil
	for i := range all {
		_, ml, _, _ := all[i].Of.Millilitres()
		same := func(s recipe.Sized) bool { return s.SizeML == ml }
		one := f.Sizes[slices.IndexFunc(f.Sizes, same)]
		g, counts := of(all[i].Number, all[i].Bottled.When, ml)
		if one.EthanolG = g; !counts {
			continue
		}
		n := slices.IndexFunc(out.Sizes,
			func(s recipe.Sized) bool { return same(s) && s.EthanolG == one.EthanolG })
		if n < 0 {
			n, out.Sizes = len(out.Sizes), append(out.Sizes,
				recipe.Sized{SizeML: ml, EthanolG: one.EthanolG, Cost: one.Cost})
		}
		out.Sizes[n].Count++
	}
	return &out
}

// Filled says what was bottled.
func Filled(f *recipe.Filled, style pen.Style) string { return quantity.And(filled(f, style)) }

func filled(f *recipe.Filled, style pen.Style) []string {
	return pen.Each(f.Sizes, func(s *recipe.Sized) string {
		return fmt.Sprintf("%s of %s", quantity.Counted(s.Count, "bottle", "bottles"), style.Volume(s.SizeML))
	})
}

// withRest says what was bottled, and what is left over.
func withRest(f *recipe.Filled, style pen.Style) string {
	parts := filled(f, style)
	if f.LeftML > 0 {
		parts = append(parts, style.Volume(f.LeftML)+" over")
	}
	if text := quantity.And(parts); !f.Joined {
		return text
	} else { // more than was made
		return fmt.Sprintf("%s: %s with what went in later", text, style.Volume(f.HoldML+f.LeftML))
	}
}

// TooMuch says that the bottles hold more than there can have been, "" where they do not.
func TooMuch(f *recipe.Filled, style pen.Style) string {
	if f == nil || !f.TooMuch {
		return ""
	}
	bottles := Filled(f, style)
	if style.Forms {
		return fmt.Sprintf("%s: that is %s, and more than the %s there should be. If they were not full, undo it "+
			"and count again.", bottles, style.Volume(f.HoldML), style.Volume(f.YieldML))
	}
	return fmt.Sprintf("%s: that is %s, and more than the %s there should be. If they were full, log it with "+
		"--volume \"%s\"; else count again (steepbook undo takes it out).", bottles, style.Volume(f.HoldML),
		style.Volume(f.YieldML), style.Volume(f.LastML))
}

// Bottling says which bottles to have ready, "" where that is not known.
func Bottling(p pen.Style, b *recipe.Bottling) string {
	if b == nil {
		return ""
	}
	text := filling(b, strconv.Itoa(b.Full), p)
	if b.Low != b.High {
		text += fmt.Sprintf("; have %d to %d ready, as the yield may turn out", b.Low, b.High)
	}
	return text
}

// filling says how the yield fills bottles of a size, full of which are full.
func filling(b *recipe.Bottling, full string, style pen.Style) string {
	switch rest, size := style.Volume(b.RestML), style.Volume(b.SizeML); {
	case b.Full == 0:
		return fmt.Sprintf("%s, less than a bottle of %s holds", rest, size)
	case b.RestML > 0:
		return fmt.Sprintf("%s of %s and %s over", full, size, rest)
	default:
		return fmt.Sprintf("%s of %s", full, size)
	}
}

func drinking(p *pen.Page, x *recipe.Portions, drinks []keeping.Drink) string {
	if x.EthanolG <= 0 {
		return ""
	}
	all := make([]string, len(drinks))
	for i, d := range drinks {
		size := fmt.Sprintf("%.0f g", d.EthanolG)
		switch ml := d.EthanolML(); {
		case p.Units == quantity.US:
			size = pen.Significant(quantity.FluidOunces(ml), 2) + " fl oz alcohol"
		case d.EthanolG != math.Round(d.EthanolG): // it is a volume by its own law
			size = fmt.Sprintf("%.0f ml alcohol", ml)
		}
		all[i] = fmt.Sprintf("%s %s of %s", pen.Significant(x.EthanolG/d.EthanolG, 2), d.Plural, size)
	}
	text := strings.Join(all, ", ")
	each := func(g float64) string {
		if len(drinks) == 1 {
			return pen.Significant(g/drinks[0].EthanolG, 2)
		}
		return pen.Significant(g, 2) + "~g of alcohol"
	}
	if x.Filled != nil && len(x.Filled.Sizes) > 0 {
		text += "; " + quantity.And(pen.Each(x.Filled.Sizes, func(s *recipe.Sized) string {
			return fmt.Sprintf("%s a bottle of %s", each(s.EthanolG), p.Volume(s.SizeML))
		}))
	} else if x.PerBottleG > 0 {
		text += fmt.Sprintf("; %s a bottle", each(x.PerBottleG))
	}
	if x.PerServeG > 0 {
		text += fmt.Sprintf("; %s a serve of %s", each(x.PerServeG), p.Volume(x.ServeML))
	}
	return text
}

func costOf(p *pen.Page, x *recipe.Portions, unpriced []string) string {
	if x.Cost == nil {
		return ""
	}
	text := fmt.Sprintf("%.2f for what goes in", *x.Cost)
	if x.Filled != nil && x.PerLitre != nil {
		text += ", " + eachBottle(x, p.Style)
	} else if x.PerBottle != nil {
		text += fmt.Sprintf(", %.2f a full bottle", *x.PerBottle)
	} else if x.PerLitre != nil {
		text += ", " + p.PerLitre(*x.PerLitre)
	}
	if len(unpriced) > 0 {
		text += "; without a price: " + quantity.And(unpriced)
	}
	return text
}

// DrinkUSG is the alcohol of a US standard drink, g (14 g, as its field says).
const DrinkUSG = 14

// PortionsJSON is what is poured: blend and scale write the same, but for the drinks
// of a bottle without alcohol.
func PortionsJSON(x *recipe.Portions, drinks any, unpriced []string) pen.Object {
	var bottles any
	if b := x.Bottling; b != nil {
		bottles = pen.Object{
			pen.As("size_ml", b.SizeML),
			pen.As("full", b.Full),
			pen.As("rest_ml", b.RestML),
			pen.As("count", b.Begun()),
			pen.As("count_low", b.Low),
			pen.As("count_high", b.High),
		}
	}
	var full []pen.Object
	var left *float64
	if f := x.Filled; f != nil {
		full = pen.Each(f.Sizes, func(s *recipe.Sized) pen.Object {
			return pen.Object{pen.As("count", s.Count), pen.As("size_ml", s.SizeML),
				pen.As("ethanol_g", pen.Some(s.EthanolG)), pen.As("cost", s.Cost)}
		})
		left = &f.LeftML
	}
	return pen.Object{
		pen.As("filled", full),
		pen.As("left_ml", left),
		pen.As("drinks_us_14g", drinks),
		pen.As("ethanol_g", pen.Some(x.EthanolG)),
		pen.As("ethanol_g_per_bottle", pen.Some(x.PerBottleG)),
		pen.As("ethanol_g_per_serve", pen.Some(x.PerServeG)),
		pen.As("bottles", bottles),
		pen.As("cost", x.Cost),
		pen.As("cost_per_litre", x.PerLitre),
		pen.As("cost_per_bottle", x.PerBottle),
		pen.As("cost_per_serve", x.PerServe),
		pen.As("unpriced", unpriced),
	}
}
