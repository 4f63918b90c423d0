package textout

import (
	"fmt"
	"strings"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/quantity"
)

// pours says how much is poured, and what it costs.
func pours(p *Page, x *recipe.Portions, drinks []recipe.Drink, unpriced []string) []pair {
	return []pair{{"Bottles", bottling(p, x.Bottling)}, {"Drinks", drinking(p, x, drinks)},
		{"Cost", p.cost(x, unpriced)}}
}

func bottling(p *Page, b *recipe.Bottling) string {
	if b == nil {
		return ""
	}
	text := fmt.Sprintf("%d of %s", b.Full, p.volume(b.SizeML))
	if b.RestML > 0 {
		text += fmt.Sprintf(" and %s over", p.volume(b.RestML))
	}
	if b.Low != b.High {
		text += fmt.Sprintf("; have %d to %d ready, as the yield may turn out", b.Low, b.High)
	}
	return text
}

func drinking(p *Page, x *recipe.Portions, drinks []recipe.Drink) string {
	if x.EthanolG <= 0 {
		return ""
	}
	all := make([]string, len(drinks))
	for i, d := range drinks {
		size := fmt.Sprintf("%.0f g", d.EthanolG)
		if p.Units == quantity.US {
			size = significant(quantity.FluidOunces(d.EthanolML()), 2) + " fl oz alcohol"
		}
		all[i] = fmt.Sprintf("%s %s of %s", significant(x.EthanolG/d.EthanolG, 2), d.Plural, size)
	}
	text := strings.Join(all, ", ")
	each := func(g float64) string {
		if len(drinks) == 1 {
			return significant(g/drinks[0].EthanolG, 2)
		}
		return significant(g, 2) + "~g of alcohol"
	}
	if x.PerBottleG > 0 {
		text += fmt.Sprintf("; %s a bottle", each(x.PerBottleG))
	}
	if x.PerServeG > 0 {
		text += fmt.Sprintf("; %s a serve of %s", each(x.PerServeG), p.volume(x.ServeML))
	}
	return text
}

func (p *Page) cost(x *recipe.Portions, unpriced []string) string {
	if x.Cost == nil {
		return ""
	}
	text := fmt.Sprintf("%.2f for what goes in", *x.Cost)
	if x.PerBottle != nil {
		text += fmt.Sprintf(", %.2f a full bottle", *x.PerBottle)
	} else if x.PerLitre != nil {
		text += ", " + p.perLitre(*x.PerLitre)
	}
	if len(unpriced) > 0 {
		text += "; without a price: " + quantity.And(unpriced)
	}
	return text
}

// drinkUSG is the alcohol of a US standard drink, g (14 g, as its field says).
const drinkUSG = 14

// portionsJSON is what is poured: blend and scale write the same, but for the drinks
// of a bottle without alcohol.
func portionsJSON(x *recipe.Portions, drinks any, unpriced []string) object {
	var bottles any
	if b := x.Bottling; b != nil {
		bottles = object{
			{"size_ml", b.SizeML},
			{"full", b.Full},
			{"rest_ml", b.RestML},
			{"count", b.Begun()},
			{"count_low", b.Low},
			{"count_high", b.High},
		}
	}
	return object{
		{"drinks_us_14g", drinks},
		{"ethanol_g", some(x.EthanolG)},
		{"ethanol_g_per_bottle", some(x.PerBottleG)},
		{"ethanol_g_per_serve", some(x.PerServeG)},
		{"bottles", bottles},
		{"cost", x.Cost},
		{"cost_per_litre", x.PerLitre},
		{"cost_per_bottle", x.PerBottle},
		{"unpriced", unpriced},
	}
}
