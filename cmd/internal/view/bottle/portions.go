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

// Full are bottles that were filled, of one size and with one drink, by their numbers.
type Full struct {
	Numbers []int
	SizeML  float64
	Size    string // as the maker wrote it
	Empty   int    // of them by now
	of      *recipe.Blend
}

func (f *Full) ethanolG() float64 { return f.of.EthanolIn(f.SizeML) }

// Filled are the bottles that were filled, by what they hold and their size; none where nobody counted them.
func Filled(a *bench.Assessment) (all []Full) {
	if a.Blend.Filled == nil {
		return nil
	}
	for _, x := range a.Batch.Bottles(math.Inf(1)).List {
		if x.From > 0 { // out of one of them
			continue
		}
		_, ml, _, _ := x.Of.Millilitres()
		one := Full{[]int{x.Number}, ml, x.Of.String(), 0, &a.Drink(x.Number).Blend}
		i := slices.IndexFunc(all, func(f Full) bool { return f.SizeML == ml && f.same(&one) })
		if i < 0 {
			i, all = len(all), append(all, one)
		} else {
			all[i].Numbers = append(all[i].Numbers, x.Number)
		}
		if x.Emptied != nil && x.Emptied.Hours <= a.ElapsedH {
			all[i].Empty++
		}
	}
	return all
}

// same reports whether bottles hold the same drink as others.
func (f *Full) same(as *Full) bool { return f.of.Result.Parts == as.of.Result.Parts }

// several reports whether bottles hold more than one drink.
func several(each []Full) bool {
	return slices.ContainsFunc(each, func(f Full) bool { return !f.same(&each[0]) })
}

// Pours says how much is poured, and what it costs.
func Pours(p *pen.Page, x *recipe.Portions, each []Full, drinks []keeping.Drink,
	unpriced []string) []pen.Pair {
	bottles := Bottling(p.Style, x.Bottling)
	if x.Filled != nil {
		bottles = withRest(x.Filled, each, p.Style)
	}
	return []pen.Pair{{"Bottles", bottles}, {"Drinks", drinking(p, x, each, drinks)},
		{"Cost", costOf(p, x, each, unpriced)}}
}

// perBottle says how many bottles it fills, and what one costs.
func perBottle(x *recipe.Portions, each []Full, unpriced []string, style pen.Style) string {
	var parts []string
	if f := x.Filled; f != nil {
		parts = append(parts, withRest(f, each, style))
	} else if b := x.Bottling; b != nil {
		parts = append(parts, filling(b, quantity.Counted(b.Full, "bottle", "bottles"), style))
	}
	cost := eachBottle(x, each, style)
	if cost == "" && x.PerLitre != nil {
		cost = style.PerLitre(*x.PerLitre)
	}
	if cost != "" && len(unpriced) > 0 {
		cost += " without the " + quantity.And(unpriced)
	}
	if cost != "" {
		parts = append(parts, cost)
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, "; ") + "."
}

// eachBottle says what a bottle costs, of each size that was filled.
func eachBottle(x *recipe.Portions, each []Full, style pen.Style) string {
	cost := func(f *Full) float64 { return *f.of.CostOf(f.SizeML) }
	in := func(cost float64) string { return fmt.Sprintf("%.2f", cost) }
	switch {
	case x.PerLitre != nil && len(each) > 0:
		text := bySize(x.Filled, each, style, "", cost, in)
		if len(x.Filled.Sizes) == 1 {
			text, _, _ = strings.Cut(text, " of ")
		}
		return text
	case x.PerBottle != nil:
		return in(*x.PerBottle) + " a bottle"
	}
	return ""
}

// bySize says what a bottle of each size comes to, from the least to the most of what such bottles hold.
func bySize(f *recipe.Filled, each []Full, style pen.Style, unit string, of func(*Full) float64,
	words func(float64) string) string {
	return quantity.And(pen.Each(f.Sizes, func(s *recipe.Sized) string {
		var list []float64
		size := style.Volume(s.SizeML)
		for i := range each {
			if each[i].SizeML == s.SizeML {
				list, size = append(list, of(&each[i])), each[i].Size
			}
		}
		return fmt.Sprintf("%s%s a bottle of %s", fromTo(list, words), unit, size)
	}))
}

// fromTo is the least and the most of some figures, in words.
func fromTo(list []float64, words func(float64) string) string {
	low, high := words(slices.Min(list)), words(slices.Max(list))
	if low != high {
		low += " to " + high
	}
	return low
}

// Bottled says which bottles were filled at a moment, all of one drink then, whatever any of them holds since;
// "" where nobody counted them.
func Bottled(a *bench.Assessment, at time.Time, style pen.Style) string {
	if a.Blend.Filled == nil {
		return ""
	}
	var all []Full
	for _, x := range a.Batch.Bottles(math.Inf(1)).List {
		if !x.Bottled.When.Equal(at) {
			continue
		}
		_, ml, _, _ := x.Of.Millilitres()
		i := slices.IndexFunc(all, func(f Full) bool { return f.SizeML == ml })
		if i < 0 {
			i, all = len(all), append(all, Full{SizeML: ml, Size: x.Of.String(), of: &a.Blend})
		}
		all[i].Numbers = append(all[i].Numbers, x.Number)
	}
	return Counted(all, style)
}

// Counted says which bottles were filled, where they hold several drinks with the strength of each.
func Counted(each []Full, style pen.Style) string { return quantity.And(counted(each, style)) }

func counted(each []Full, style pen.Style) []string {
	return pen.Each(each, func(f *Full) string {
		text := quantity.Counted(len(f.Numbers), "bottle", "bottles") + " of " + f.Size
		if f.Empty > 0 {
			text += fmt.Sprintf(" (%d empty)", f.Empty)
		}
		if several(each) {
			text += " " + AtStrength(f.of)
		}
		return text
	})
}

// withRest says what was bottled, and what is left over.
func withRest(f *recipe.Filled, each []Full, style pen.Style) string {
	parts := counted(each, style)
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
func TooMuch(a *bench.Assessment, style pen.Style) string {
	f := a.Blend.Filled
	if f == nil || !f.TooMuch {
		return ""
	}
	bottles := Counted(Filled(a), style)
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
	switch rest, size := style.Volume(b.RestML), b.Size; {
	case b.Full == 0:
		return fmt.Sprintf("%s, less than a bottle of %s holds", rest, size)
	case b.RestML > 0:
		return fmt.Sprintf("%s of %s and %s over", full, size, rest)
	default:
		return fmt.Sprintf("%s of %s", full, size)
	}
}

func drinking(p *pen.Page, x *recipe.Portions, full []Full, drinks []keeping.Drink) string {
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
	each, unit := func(g float64) string { return pen.Significant(g, 2) }, "~g of alcohol"
	if len(drinks) == 1 {
		each, unit = func(g float64) string { return pen.Significant(g/drinks[0].EthanolG, 2) }, ""
	}
	serve := []float64{x.PerServeG}
	if len(full) > 0 {
		text += "; " + bySize(x.Filled, full, p.Style, unit, (*Full).ethanolG, each)
		for i := range full {
			serve = append(serve, full[i].of.PerServeG)
		}
	} else if x.PerBottleG > 0 {
		text += fmt.Sprintf("; %s%s a bottle", each(x.PerBottleG), unit)
	}
	if x.PerServeG > 0 {
		text += fmt.Sprintf("; %s%s a serve of %s", fromTo(serve, each), unit, x.Serve)
	}
	return text
}

func costOf(p *pen.Page, x *recipe.Portions, each []Full, unpriced []string) string {
	if x.Cost == nil {
		return ""
	}
	text := fmt.Sprintf("%.2f for what goes in", *x.Cost)
	if x.Filled != nil && x.PerLitre != nil {
		text += ", " + eachBottle(x, each, p.Style)
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
// of a bottle without alcohol. What a bottle comes to is told of each where they hold several drinks.
func PortionsJSON(x *recipe.Portions, each []Full, drinks any, unpriced []string) pen.Object {
	var bottles any
	var left *float64
	b := x.Bottling
	if f := x.Filled; f != nil { // which tells what became of the plan
		b = &recipe.Bottling{RestML: f.LeftML}
		for i := range each {
			b.Full += len(each[i].Numbers)
		}
		if len(f.Sizes) == 1 {
			b.SizeML = f.Sizes[0].SizeML
		}
		b.Low, b.High = b.Begun(), b.Begun()
	}
	if b != nil {
		left = &b.RestML
		bottles = pen.Object{
			pen.As("size_ml", pen.Some(b.SizeML)),
			pen.As("full", b.Full),
			pen.As("rest_ml", b.RestML),
			pen.As("count", b.Begun()),
			pen.As("count_low", b.Low),
			pen.As("count_high", b.High),
		}
	}
	one := !several(each)
	return pen.Object{
		pen.As("filled", FilledJSON(each)),
		pen.As("left_ml", left),
		pen.As("drinks_us_14g", drinks),
		pen.As("ethanol_g", pen.Some(x.EthanolG)),
		pen.As("ethanol_g_per_bottle", pen.Where(one && x.PerBottleG != 0, x.PerBottleG)),
		pen.As("ethanol_g_per_serve", pen.Where(one && x.PerServeG != 0, x.PerServeG)),
		pen.As("bottles", bottles),
		pen.As("cost", x.Cost),
		pen.As("cost_per_litre", pen.Where(one, x.PerLitre)),
		pen.As("cost_per_bottle", pen.Where(one, x.PerBottle)),
		pen.As("cost_per_serve", pen.Where(one, x.PerServe)),
		pen.As("unpriced", unpriced),
	}
}

// FilledJSON is what is in the bottles that were filled.
func FilledJSON(each []Full) []pen.Object {
	return pen.Each(each, func(f *Full) pen.Object {
		r := &f.of.Result
		return pen.Object{pen.As("count", len(f.Numbers)), pen.As("size_ml", f.SizeML),
			pen.As("ethanol_g", pen.Some(f.ethanolG())), pen.As("cost", f.of.CostOf(f.SizeML)),
			pen.As("bottles", f.Numbers), pen.As("abv_percent", r.ABVPercent.Value),
			pen.As("sugar_g_per_l", r.SugarGPerL.Value)}
	})
}
