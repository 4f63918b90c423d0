// Package growth holds published limits of the microbes that spoil or poison
// sweet, sour, alcoholic drinks, and the models that estimate how fast they
// grow inside those limits.
//
// A limit tells whether an organism has been seen to grow; it is always the
// most permissive one that was read. A growth model only tells how slow the
// growth is. No function here calls a drink stable: the models have been
// fitted far from the edge, and published edges differ between repeats.
package growth

import "fmt"

// Figure is a number that may be missing. The zero Figure is missing, and a
// missing hurdle gets no credit.
type Figure struct {
	Value float64
	Known bool
}

// At returns a known Figure.
func At(v float64) Figure { return Figure{v, true} }

// Conditions is what an organism finds in a bottle. A missing figure never
// holds an organism back.
type Conditions struct {
	// WaterActivity is 0-1, Celsius °C, ABVPercent % vol at 20 °C,
	// SugarGPerL g/L.
	WaterActivity, PH, Celsius, ABVPercent, SugarGPerL Figure
	// Days is how long growth has to stay away. Limits seen only in trials of
	// a stated length count only when Days is known and not longer.
	Days Figure
	// NoAir means a full, closed bottle, lying or without a leaky cork.
	NoAir bool
}

// Group is a class of organisms with a common way of spoiling.
type Group string

// The groups.
const (
	Yeast      Group = "yeast"
	Mould      Group = "mould"
	Lactic     Group = "lactic acid bacteria"
	Acetic     Group = "acetic acid bacteria"
	OtherBact  Group = "other spoilage bacteria"
	Pathogen   Group = "pathogen"
	MixedFlora Group = "mixed flora"
)

// Limit is one end of the range an organism grows in.
type Limit struct {
	Value float64
	// Known is false when no limit was found; then that hurdle never stops
	// the organism.
	Known bool
	// Stops means no growth was seen at Value itself; otherwise the organism
	// grows at Value and stops beyond it.
	Stops bool
	// Seen is false for a value from memory. Such a value is shown and never
	// decides.
	Seen bool
	// Source is a key that the function Source knows.
	Source string
}

// decides reports whether the limit may be used.
func (l Limit) decides() bool { return l.Known && l.Seen }

// rounding covers the arithmetic of turning one unit into another.
const rounding = 1e-9

// below reports whether v lies beyond a lower limit.
func (l Limit) below(v float64) bool {
	return l.decides() && (v < l.Value-rounding || l.Stops && v <= l.Value+rounding)
}

// above reports whether v lies beyond an upper limit.
func (l Limit) above(v float64) bool {
	return l.decides() && (v > l.Value+rounding || l.Stops && v >= l.Value-rounding)
}

// Joint is a set of conditions under which no growth was seen although each
// alone would allow it. Empty fields do not matter; all stated ones have to
// hold at once.
type Joint struct {
	AwMax, CelsiusMin, CelsiusMax, ABVMin, SugarMin, PHMax Figure
	// Days is the length of the trial; zero when the source sets no length.
	Days   float64
	Source string
}

// holds reports whether c is inside the joint limit.
func (j Joint) holds(c Conditions) bool {
	atMost := func(lim, v Figure) bool { return !lim.Known || v.Known && v.Value <= lim.Value }
	atLeast := func(lim, v Figure) bool { return !lim.Known || v.Known && v.Value >= lim.Value }
	inTime := j.Days == 0 || c.Days.Known && c.Days.Value <= j.Days
	return inTime && atMost(j.AwMax, c.WaterActivity) && atMost(j.CelsiusMax, c.Celsius) &&
		atLeast(j.CelsiusMin, c.Celsius) && atLeast(j.ABVMin, c.ABVPercent) &&
		atLeast(j.SugarMin, c.SugarGPerL) && atMost(j.PHMax, c.PH)
}

// Organism is an entry of the published record: a species, or the strains or
// flora that one publication tested, under the name it gave them.
type Organism struct {
	Name  string
	Group Group
	// AwMin is water activity, PHMin and PHMax pH, TMinC and TMaxC °C,
	// EthanolMaxABV % vol. Each was measured with the other conditions good.
	AwMin, PHMin, PHMax, TMinC, TMaxC, EthanolMaxABV Limit
	// NeedsAir means no growth in a full closed bottle.
	NeedsAir bool
	Joint    []Joint
	Note     string
}

// CanGrow reports whether published limits leave the organism room to grow
// under c, and says which limit stops it or that none does. Missing figures
// and limits from memory give no credit. True is not a prediction of growth:
// it means that nothing read rules it out.
func CanGrow(o Organism, c Conditions) (bool, string) {
	stop := func(what string, v float64, l Limit) (bool, string) {
		return false, fmt.Sprintf("%s %.4g is beyond its limit of %.4g (%s)", what, v, l.Value, sources[l.Source])
	}
	if v := c.ABVPercent; v.Known && o.EthanolMaxABV.above(v.Value) {
		return stop("alcohol", v.Value, o.EthanolMaxABV)
	}
	if v := c.PH; v.Known && o.PHMin.below(v.Value) {
		return stop("pH", v.Value, o.PHMin)
	}
	if v := c.PH; v.Known && o.PHMax.above(v.Value) {
		return stop("pH", v.Value, o.PHMax)
	}
	if v := c.WaterActivity; v.Known && o.AwMin.below(v.Value) {
		return stop("water activity", v.Value, o.AwMin)
	}
	if v := c.Celsius; v.Known && o.TMinC.below(v.Value) {
		return stop("temperature", v.Value, o.TMinC)
	}
	if v := c.Celsius; v.Known && o.TMaxC.above(v.Value) {
		return stop("temperature", v.Value, o.TMaxC)
	}
	if o.NeedsAir && c.NoAir {
		return false, "it needs air and there is none"
	}
	for _, j := range o.Joint {
		if j.holds(c) {
			return false, "these conditions together held it (" + sources[j.Source] + ")"
		}
	}
	return true, "no published limit read so far rules it out"
}
