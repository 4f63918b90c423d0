// Package growth holds published limits of the microbes that spoil or poison
// sweet, sour, alcoholic drinks, and the models that estimate how fast they
// grow inside those limits.
//
// A limit tells whether an organism has been seen to grow; it is always the
// most permissive one that was read. A growth model only tells how slow the
// growth is. No function here calls a drink stable: the models have been
// fitted far from the edge, and published edges differ between repeats.
package growth

import (
	"fmt"

	"steepbook/data"
)

// Optional is a number that may be missing. The zero value is missing, and a
// missing hurdle gets no credit.
type Optional struct {
	Value float64
	Known bool
}

// At is a number that is known.
func At(v float64) Optional { return Optional{v, true} }

// Conditions is what an organism finds in a bottle. A missing figure never
// holds an organism back.
type Conditions struct {
	// WaterActivity is 0-1, Celsius °C, ABVPercent % vol at 20 °C,
	// SugarGPerL g/L.
	WaterActivity, PH, Celsius, ABVPercent, SugarGPerL Optional
	// Days is how long growth has to stay away. Limits seen only in trials of
	// a stated length count only when Days is known and not longer.
	Days Optional
	// NoAir means a full, closed bottle, lying or without a leaky cork.
	NoAir bool
}

// FermentsABVPercent is the strength above which no yeast was seen to ferment (Z. bailii 18; wine
// yeast 17.5 in practice).
const FermentsABVPercent = 18.0

// bound is one end of what an organism grows in.
type bound int

const (
	awMin bound = iota // water activity, 0-1
	pHMin
	pHMax
	tMinC // °C
	tMaxC
	ethanolMax // % vol at 20 °C
	bounds
)

// bounding says of each bound what data/tables/organism-limits.csv and people call
// it, and the condition that it bounds.
var bounding = [bounds]struct {
	key, name, unit, condition string
	upper                      bool
	of                         func(Conditions) Optional
}{
	awMin:      {"aw_min", "least water activity", "", "water activity", false, Conditions.waterActivity},
	pHMin:      {"ph_min", "lowest pH", "", "pH", false, Conditions.pH},
	pHMax:      {"ph_max", "highest pH", "", "pH", true, Conditions.pH},
	tMinC:      {"t_min_c", "coldest", "°C", "temperature", false, Conditions.celsius},
	tMaxC:      {"t_max_c", "warmest", "°C", "temperature", true, Conditions.celsius},
	ethanolMax: {"ethanol_max", "strongest alcohol", "% vol", "alcohol", true, Conditions.abv},
}

func (c Conditions) waterActivity() Optional { return c.WaterActivity }
func (c Conditions) pH() Optional            { return c.PH }
func (c Conditions) celsius() Optional       { return c.Celsius }
func (c Conditions) abv() Optional           { return c.ABVPercent }

// limit is where an organism stops at one bound, all else being good.
type limit struct {
	value float64
	// known is false when no limit was found; then that hurdle never stops the
	// organism.
	known bool
	// stops means no growth was seen at the value itself; otherwise the organism
	// grows at it and stops beyond.
	stops bool
	// seen is false for a value from memory. Such a value is shown and never
	// decides.
	seen   bool
	source string // a key of data.FindSource
}

// rounding covers the arithmetic of turning one unit into another.
const rounding = 1e-9

// excludes reports whether v lies beyond the limit.
func (l limit) excludes(v float64, upper bool) bool {
	past := l.value - v
	if upper {
		past = v - l.value
	}
	return l.known && l.seen && (past > rounding || l.stops && past >= -rounding)
}

// joint is a set of conditions under which no growth was seen although each
// alone would allow it. Empty fields do not matter; all stated ones have to
// hold at once.
type joint struct {
	awMax, pHMax, celsiusMin, celsiusMax, abvMin, sugarMin Optional
	// days is the length of the trial; missing when the source sets no length.
	days   Optional
	source string
}

// holds reports whether c is inside the joint limit.
func (j joint) holds(c Conditions) bool {
	atMost := func(lim, v Optional) bool { return !lim.Known || v.Known && v.Value <= lim.Value }
	atLeast := func(lim, v Optional) bool { return !lim.Known || v.Known && v.Value >= lim.Value }
	return atMost(j.days, c.Days) && atMost(j.awMax, c.WaterActivity) && atMost(j.celsiusMax, c.Celsius) &&
		atLeast(j.celsiusMin, c.Celsius) && atLeast(j.abvMin, c.ABVPercent) &&
		atLeast(j.sugarMin, c.SugarGPerL) && atMost(j.pHMax, c.PH)
}

// Organism is an entry of the published record: a species, or the strains or
// flora that one publication tested, under the name it gave them.
type Organism struct {
	Name, Group, Note string
	// NeedsAir means no growth in a full closed bottle.
	NeedsAir bool
	limits   [bounds]limit
	together []joint
}

// CanGrow reports whether published limits leave the organism room to grow
// under c, and says which limit stops it or that none does. Missing figures
// and limits from memory give no credit. True is not a prediction of growth:
// it means that nothing read rules it out.
func CanGrow(o Organism, c Conditions) (bool, string) {
	for _, b := range [...]bound{ethanolMax, pHMin, pHMax, awMin, tMinC, tMaxC} {
		l, is := o.limits[b], bounding[b]
		if v := is.of(c); v.Known && l.excludes(v.Value, is.upper) {
			have, limit := fmt.Sprintf("%.3g", v.Value), fmt.Sprintf("%.3g", l.value)
			if have == limit { // as near as that it takes a figure more
				have, limit = fmt.Sprintf("%.4g", v.Value), fmt.Sprintf("%.4g", l.value)
			}
			return false, fmt.Sprintf("%s %s is beyond its limit of %s (%s)", is.condition, have, limit,
				data.Cite(l.source))
		}
	}
	if o.NeedsAir && c.NoAir {
		return false, "it needs air and there is none"
	}
	for _, j := range o.together {
		if j.holds(c) {
			return false, "these conditions together held it (" + data.Cite(j.source) + ")"
		}
	}
	return true, "no published limit read so far rules it out"
}
