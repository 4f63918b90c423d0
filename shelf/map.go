package shelf

import (
	"math"

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

// LeastABVPercent is the least strength from which the bottle keeps as well as a step says,
// at another sweetness [g/L], to 0.05 % vol; most where none up to there does. A step
// rises with strength.
func (b Bottle) LeastABVPercent(step Step, sugarGPerL, most float64) float64 {
	reach := func(abv float64) bool { return Keeps(b.At(abv, sugarGPerL)) >= step }
	lo, hi := 0.0, most
	switch {
	case reach(lo):
		return lo
	case !reach(hi):
		return hi
	}
	for hi-lo > 0.05 {
		if mid := (lo + hi) / 2; reach(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi
}
