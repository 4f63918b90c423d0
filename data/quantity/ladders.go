package quantity

import (
	"math"
	"slices"
	"strings"
)

// rung is one measure of a ladder that people climb as an amount grows.
type rung struct {
	unit string
	// The measure is at home from low up to high of it, and still bearable up
	// to reach when its neighbours miss the amount by too much.
	low, high, reach float64
	marks            bands // the divisions it is read in, as denominators
}

// Ladders of measures that belong together, smallest first. The divisions are
// those of the spoons and cups that are sold; where one measure ends and the
// next begins is common practice, no source.
var (
	teaspoon   = rung{"tsp", 0, 6, 9, spoonMarks}
	spoonful   = rung{"tsp", 0, 6, 6, spoonMarks} // below fluid ounces
	tablespoon = rung{"tbsp", 0.5, 4, 8, halves}
	cup        = rung{"cup", 0.25, inf, inf, quarters}
	fluidOunce = rung{"fl oz", 0.25, 32, 64, quarters}
	gill       = rung{"gill", 0.5, 8, 16, quarters}
	pint       = rung{"pint", 0.5, 8, 16, quarters}
	quart      = rung{"quart", 1, 8, 16, quarters}
	gallon     = rung{"gallon", 1, inf, inf, quarters}

	metricTeaspoon   = rung{"metric tsp", 0, 6, 9, spoonMarks}
	metricTablespoon = rung{"metric tbsp", 0.5, 4.2, 8, halves}
	metricCup        = rung{"metric cup", 0.25, inf, inf, quarters}

	impFluidOunce = rung{"imp fl oz", 0.25, 20, 40, quarters}
	impGill       = rung{"imp gill", 0.5, 8, 16, quarters}
	impPint       = rung{"imp pint", 0.5, 16, 32, quarters}
	impQuart      = rung{"imp quart", 0.5, 8, 16, quarters}
	impGallon     = rung{"imp gallon", 1, inf, inf, quarters}

	spiceGram     = rung{"g", 0, 3, 5, hundredths} // what is too little for an ounce is in grams everywhere
	fineOunce     = rung{"oz wt", 0.01, 0.125, 1, hundredths}
	ounceOfWeight = rung{"oz wt", 0.125, 16, 48, ounceMarks}
	pound         = rung{"lb", 1, inf, inf, quarters}

	// A bare ounce stays bare: what it is, its name decides.
	ounce = rung{"oz", 0, inf, inf, ounceMarks}
)

// Measures that are read on one ladder.
var (
	spoons       = []rung{teaspoon, tablespoon, cup}
	fluids       = []rung{spoonful, fluidOunce, quart, gallon}
	metricSpoons = []rung{metricTeaspoon, metricTablespoon, metricCup}
	impFluids    = []rung{metricTeaspoon, impFluidOunce, impPint, impGallon}
	weights      = []rung{spiceGram, fineOunce, ounceOfWeight, pound}
)

var ladders = map[string][]rung{
	"bottle": {rung{"bottle", 0, inf, inf, quarters}},
	"tsp":    spoons, "tbsp": spoons, "cup": spoons,
	"fl oz": fluids, "quart": fluids, "gallon": fluids,
	"gill":       {spoonful, fluidOunce, gill, quart, gallon},
	"pint":       {spoonful, fluidOunce, pint, gallon},
	"metric tsp": metricSpoons, "metric tbsp": metricSpoons, "metric cup": metricSpoons,
	"imp fl oz": impFluids, "imp pint": impFluids, "imp gallon": impFluids,
	"imp gill":  {metricTeaspoon, impFluidOunce, impGill, impPint, impGallon},
	"imp quart": {metricTeaspoon, impFluidOunce, impQuart, impGallon},
	"oz wt":     weights, "lb": weights,
	"oz": {ounce},
}

// ladderOf is the ladder a unit stands on. Where it says that it is a US one, so do the
// others.
func ladderOf(unit string) ([]rung, bool) {
	bare, american := strings.CutPrefix(unit, "US ")
	ladder, ok := ladders[bare]
	if american {
		ladder = slices.Clone(ladder)
		for i := range ladder {
			ladder[i].unit = "US " + ladder[i].unit
		}
	}
	return ladder, ok
}

// jugs is what a volume is measured with where spoons and cups are too coarse,
// the first that is close enough.
func jugs(unit string) []string {
	_, climbs := ladderOf(unit)
	switch country, _, _ := strings.Cut(unit, " "); {
	case country == "imp", country == "US":
		return []string{country + " fl oz", "ml"}
	case country == "metric", slices.Contains(decimals, unit):
		return []string{"ml"}
	case climbs && unit != "bottle":
		return []string{"fl oz", "ml"}
	}
	return nil
}

// bands are a table that is read by the size of an amount: below the first figure of a
// line its second holds.
type bands [][2]float64

func (b bands) at(v float64) float64 {
	for _, line := range b {
		if v < line[0] {
			return line[1]
		}
	}
	return b[len(b)-1][1]
}

// The divisions of measures, as denominators; none is finer than a fortieth of the amount.
var (
	quarters   = bands{{10, 4}, {20, 2}, {inf, 1}}
	halves     = bands{{20, 2}, {inf, 1}}
	spoonMarks = append(bands{{0.25, 8}}, quarters...) // the eighth is the smallest spoon there is
	// of a spring scale: eighths as long as they matter
	ounceMarks = append(bands{{2, 8}}, quarters...)
	// of a scale that shows hundredths of an ounce, and of a pocket scale, which shows those of a gram
	hundredths = bands{{inf, 100}}
)

// The steps in which metric amounts are read [g, ml] and fluid ounces.
var (
	// What a kitchen scale shows that can carry it, with 0.1 g below 20 as a fine one does.
	gramSteps = append(bands{{20, 0.1}, {200, 1}}, largeSteps...)
	// What can be read off a measuring cylinder or a jug that holds it.
	millilitreSteps = append(bands{{10, 0.5}, {100, 1}}, largeSteps...)
	largeSteps      = bands{{1000, 5}, {5000, 10}, {20000, 50}, {100000, 100}, {inf, 1000}}
	// What a jug is read to that is filled as closely as can be.
	closeML    = bands{{10, 0.1}, {500, 1}, {1000, 5}, {inf, 10}}
	closeFluid = bands{{25, 0.125}, {50, 0.25}, {100, 0.5}, {inf, 1}}
)

var inf = math.Inf(1)
