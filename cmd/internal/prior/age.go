package prior

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// What a year on the shelf takes, as a share of the flavour. Judgement, no
// source: makers find last year's whole cloves weaker and ground spice dull
// within a season. The rate of loss is known to a factor, so that the doubt
// grows with the age.
const (
	wholeLossPerYear = 0.10 // dried and whole, cracked or cut
	fineLossPerYear  = 0.25 // ground, and dried leaf and flower
	lossLogSD        = 0.7  // of the loss per year, as a share of it
	oldestYears      = 10   // beyond it the law says nothing more
)

// age is what time has taken from a botanical since it was bought.
type age struct {
	years   float64
	kind    string  // "dried, whole" and so on
	perYear float64 // share lost in a year; 0: it does not age on a shelf
}

// ageless are the kinds whose flavour does not fade as a spice's does, or fades
// in ways of its own: wood, sugar-rich dried fruit, nuts that turn rancid.
var ageless = []string{"wood", "fruit", "nut", "vegetable", "coffee", "cacao"}

// shelfLife says how a botanical ages once bought; perYear is 0 where it does
// not, or where it is not known what it is.
func shelfLife(h *recipe.Botanical) (kind string, perYear float64) {
	switch {
	case h.Known == nil || slices.Contains(ageless, h.Known.Kind):
		return "", 0
	case h.Known.Fresh:
		return "fresh", 0
	}
	cut := " " + recipe.PlainWords(h.Cut.Name) + " "
	for _, w := range []string{"ground", "powder", "flake"} {
		if strings.Contains(cut, " "+w+" ") {
			return "dried, ground", fineLossPerYear
		}
	}
	switch h.Known.Kind {
	case "herb", "leaf", "flower", "tea":
		return "dried leaf or flower", fineLossPerYear
	}
	return "dried, whole", wholeLossPerYear
}

// ageOf is nil where no day was written.
func ageOf(h *recipe.Botanical, b *batch.Batch) *age {
	if h.Entry.Bought.IsZero() {
		return nil
	}
	const year = 365.25 * 24
	g := &age{years: math.Max(b.At(h.Entry.In).Sub(h.Entry.Bought).Hours()/year, 0)}
	g.kind, g.perYear = shelfLife(h)
	return g
}

// left is the natural logarithm of the share of the flavour that is left, and
// its standard deviation: −λt ± 0.7·λt, with λ = −ln(1 − loss per year) and t in
// years, at most ten. Zero for what does not age or has no date.
func (g *age) left() (mean, sd float64) {
	if g == nil || g.perYear == 0 {
		return 0, 0
	}
	m := math.Log1p(-g.perYear) * math.Min(g.years, oldestYears)
	return m, lossLogSD * -m
}

// words says what the age did; exponent carries it to the score.
func (g *age) words(exponent float64) string {
	since := fmt.Sprintf("bought %s before it went in", yearsAgo(g.years))
	switch {
	case g.kind == "fresh":
		return since + ": fresh things are not aged by it"
	case g.perYear == 0:
		return since + ": how it ages is not known, so that changes nothing"
	}
	m, sd := g.left()
	const z = recipe.Ninety / 2
	return fmt.Sprintf("%s: %.0f %% of its flavour left (%.0f-%.0f %%), so the end x %.2f; judgement, no source: %s loses about %.0f %% a year",
		since, 100*math.Exp(m), 100*math.Exp(m-z*sd), 100*math.Exp(math.Min(m+z*sd,
			0)), math.Exp(exponent*m), g.kind, 100*g.perYear)
}

func yearsAgo(years float64) string {
	if months := years * 12; months < 18 {
		return quantity.Counted(int(math.Round(months)), "month", "months")
	}
	return quantity.FormatNumber(math.Round(10*years)/10) + " years"
}

// WantsLot reports whether it is a dried spice or herb of which neither the age
// nor the packet is written.
func WantsLot(h *recipe.Botanical) bool {
	_, perYear := shelfLife(h)
	return perYear > 0 && h.Known.Forbidden == "" && h.Known.Kind != "citrus" && h.Entry.Lot == "" &&
		h.Entry.Bought.IsZero()
}
