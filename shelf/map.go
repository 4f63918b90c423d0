package shelf

import (
	"math"
	"sort"

	"steepbook/shelf/mixture"
)

// At is the bottle at another strength [% vol] and sweetness [g/L], as well known as it
// is. Its water activity moves as that of spirit, water and sugar alone would.
func (b Bottle) At(abvPercent, sugarGPerL float64) Bottle {
	now, okNow := mixture.Sweetened(b.ABVPercent.Value, b.SugarGPerL.Value)
	then, okThen := mixture.Sweetened(abvPercent, sugarGPerL)
	b.ABVPercent, b.SugarGPerL = b.ABVPercent.MovedTo(abvPercent), b.SugarGPerL.MovedTo(sugarGPerL)
	if aw := b.WaterActivity; okNow && okThen && aw.Value > 0 {
		was, _, _ := now.WaterActivity()
		is, _, _ := then.WaterActivity()
		aw = aw.MovedTo(math.Min(math.Max(aw.Value+is-was, 0.01), 1))
		aw.High = math.Min(aw.High, 1)
		b.WaterActivity = aw
	} else {
		b.WaterActivity = mixture.Range{}
	}
	b.NoSpirit = b.NoSpirit && abvPercent == 0
	return b
}

// mapStep is how closely LeastABVPercent looks, % vol.
const mapStep = 0.05

// LeastABVPercent is the least strength from which the bottle keeps as well as a step says,
// at another sweetness [g/L], to 0.05 % vol; most where none up to there does. A step
// rises with strength. It is sought outwards from a strength near to it.
func (b Bottle) LeastABVPercent(step Step, sugarGPerL, most, near float64) float64 {
	n := 1
	for most > mapStep*float64(n) {
		n *= 2
	}
	at := func(i int) float64 { return most * float64(i) / float64(n) }
	reach := func(i int) bool { return Keeps(b.At(at(i), sugarGPerL)) >= step }
	from := min(max(int(near/most*float64(n)), 0), n)
	lo, hi := from, from
	for wide := 1; hi < n && !reach(hi); wide *= 2 {
		lo, hi = hi+1, min(hi+wide, n)
	}
	for wide := 1; hi <= from && lo > 0 && reach(lo-1); wide *= 2 {
		lo, hi = max(lo-wide, 0), lo-1
	}
	return at(lo + sort.Search(hi-lo, func(i int) bool { return reach(lo + i) }))
}
