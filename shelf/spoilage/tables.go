package spoilage

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"sync"

	"steepbook/data"
)

// Coefficient is one row of data/tables/spoilage.csv.
type Coefficient struct {
	Guild, Quantity string
	Value           float64
	Unit            string
	// Grade is published, derived, judgement or memory; Source is a key of
	// data.FindSource.
	Grade, Source, Note string
}

// Coefficients lists all coefficients of the guilds, in the order of the table.
var Coefficients = sync.OnceValue(func() []Coefficient {
	var out []Coefficient
	for _, r := range data.Rows("spoilage.csv") {
		out = append(out, Coefficient{r.Text("guild"), r.Text("quantity"), r.Number("value"), r.Text("unit"),
			r.Text("grade"), r.Text("source"), r.Text("note")})
	}
	return out
})

// number is the index of a guild.
type number int

// The guilds, in the order of data/tables/spoilage-guilds.csv.
const (
	hardy       number = iota // Zygosaccharomyces bailii and lentus, Saccharomycodes, Brettanomyces
	wineYeast                 // Saccharomyces
	osmophilic                // Zygosaccharomyces rouxii
	cold                      // Pichia, Candida, Hanseniaspora
	strongDrink               // lactobacilli of strong drinks
	juiceLactic               // lactic acid bacteria of juice
	mould                     // at the neck and the surface
	acetic
	guilds
)

// guild is what the tables say of one guild, and what it lives on.
type guild struct {
	name, words, looks                 string
	rate                               float64 // 1/h at the optimum
	tMin, tOpt                         float64 // °C
	pHMin, pHOpt, pHFloor              float64
	awMin, awExponent, awSlope, awFrom float64
	abvMax, abvExponent, abvTail       float64 // % vol
	abvSpread                          float64 // of the logarithm
	visible                            float64 // log10 per mL
	loads                              [opened + 1]float64

	needsFood, needsAir, fungus bool // as spoilage-guilds.csv tells them
}

// shared are the coefficients of all guilds.
type shared struct {
	tSpread, pHSpread, awSpread, rateSpread, loadSpread, lagWork, lagSpread float64
	pHUpper, awRamp, interactionWeight, poorFactor                          float64
}

type model struct {
	guilds [guilds]guild
	shared
	times map[string][]Knot
}

// Knot is a time [days] at one temperature [°C].
type Knot struct{ Celsius, LowDays, HighDays float64 }

var tables = sync.OnceValue(func() *model {
	m := &model{times: map[string][]Knot{}}
	value := map[string]map[string]float64{}
	for _, c := range Coefficients() {
		if value[c.Guild] == nil {
			value[c.Guild] = map[string]float64{}
		}
		value[c.Guild][c.Quantity] = c.Value
	}
	for i, r := range data.Rows("spoilage-guilds.csv") {
		v, needs := value[r.Text("guild")], r.Text("needs")
		m.guilds[i] = guild{
			name: r.Text("guild"), words: r.Text("words"), looks: r.Text("looks"),
			rate: v["rate_per_h"], tMin: v["t_min_c"], tOpt: v["t_opt_c"],
			pHMin: v["ph_min"], pHOpt: v["ph_opt"], pHFloor: v["ph_floor"],
			awMin: v["aw_min"], awExponent: v["aw_exponent"], awSlope: v["aw_slope"], awFrom: v["aw_from"],
			abvMax: v["abv_max"], abvExponent: v["abv_exponent"], abvTail: cmp.Or(v["abv_tail"], 1),
			abvSpread: v["abv_spread"], visible: v["visible_log10_per_ml"],
			needsFood: strings.Contains(needs, "food"), needsAir: strings.Contains(needs, "air"),
			fungus: strings.Contains(needs, "fungus"),
		}
	}
	if m.guilds[wineYeast].name != "wine yeast" {
		panic("spoilage-guilds.csv: the guilds are out of order")
	}
	v := value["all"]
	m.shared = shared{v["t_spread"], v["ph_spread"], v["aw_spread"], v["rate_spread"], v["load_spread"],
		v["lag_work"], v["lag_spread"],
		v["ph_upper"], v["aw_ramp"], v["interaction_weight"], v["poor_factor"]}
	for i, r := range data.Rows("spoilage-loads.csv") {
		if r.Text("class") != Load(i).String() {
			panic("spoilage-loads.csv: the classes are out of order")
		}
		for j := range m.guilds {
			m.guilds[j].loads[i] = r.Number(m.guilds[j].name)
		}
	}
	for _, r := range data.Rows("keeping-times.csv") {
		k := Knot{LowDays: r.Number("low_days"), HighDays: r.Number("high_days")}
		if r.Text("celsius") != "" {
			k.Celsius = r.Number("celsius")
		}
		m.times[r.Text("rule")] = append(m.times[r.Text("rule")], k)
	}
	return m
})

// Load is what cells a bottle starts with, by how it was made.
type Load int

// The loads, each dirtier than the one before.
const (
	Heated Load = iota // heated and closed hot
	Clean              // strained clear, bottle and cap boiled
	Made               // as it comes
	Juice              // raw juice in it, or raw plants steeped without spirit
	Solids             // solids stay in it
	opened             // a floor under each of them
)

// String names the load as in data/tables/spoilage-loads.csv.
func (l Load) String() string {
	return [...]string{"hot", "clean", "made", "juice", "solids", "opened"}[l]
}

// at reads a rule at a temperature, +Inf where there is none.
func (m *model) at(rule string, celsius float64) (low, high float64) {
	if len(m.times[rule]) == 0 {
		return math.Inf(1), math.Inf(1)
	}
	return Between(m.times[rule], celsius)
}

// RawJuiceDays is how long raw juice keeps by itself at a temperature [°C]: from when it
// is noticed early to late, by the rule of data/tables/keeping-times.csv.
func RawJuiceDays(celsius float64) (low, high float64) { return tables().at("juice", celsius) }

// Between reads a time at a temperature [°C] from knots in ascending order of
// it: between two of them by the logarithm of the time, outside them the nearer
// end.
func Between(knots []Knot, celsius float64) (lowDays, highDays float64) {
	i := slices.IndexFunc(knots, func(k Knot) bool { return celsius <= k.Celsius })
	switch {
	case i == 0:
		return knots[0].LowDays, knots[0].HighDays
	case i < 0:
		last := knots[len(knots)-1]
		return last.LowDays, last.HighDays
	}
	a, b := knots[i-1], knots[i]
	t := (celsius - a.Celsius) / (b.Celsius - a.Celsius)
	return math.Pow(a.LowDays, 1-t) * math.Pow(b.LowDays, t),
		math.Pow(a.HighDays, 1-t) * math.Pow(b.HighDays, t)
}
