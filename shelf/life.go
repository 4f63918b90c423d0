package shelf

import (
	"math"

	"steepbook/shelf/growth"
	"steepbook/shelf/spoilage"
)

// span is a pair of times in days.
type span struct{ low, high float64 }

func longer(a, b span) span  { return span{max(a.low, b.low), max(a.high, b.high)} }
func shorter(a, b span) span { return span{min(a.low, b.low), min(a.high, b.high)} }

var forever = span{math.Inf(1), math.Inf(1)}

// syrupGPerL is the sugar, worst case, from which sugar water with nothing to
// live on needs no gate: 1:1 by volume is about 550 g/L, less the margin.
const syrupGPerL = 450

// plainSyrup is sugar water, sour or not, with nothing for microbes to live on.
func plainSyrup(b Bottle, w worst) bool {
	return !w.nourishing && !b.Oil && len(b.FreshLowAcid) == 0 && (w.sugar >= syrupGPerL || w.acid(gatePH))
}

// unknownPH is taken where it is not known: above every optimum, so that
// knowing it never shortens.
const unknownPH = 6

// spoils is the bottle as the model of spoilage reads it.
func spoils(b Bottle, w worst, opened bool) spoilage.Bottle {
	s := spoilage.Bottle{
		Worst: spoilage.Figures{ABVPercent: w.abv, SugarGPerL: w.sugar, PH: unknownPH},
		Usual: spoilage.Figures{ABVPercent: b.ABVPercent.Value, SugarGPerL: b.SugarGPerL.Value,
			PH: unknownPH},
		Food: w.nourishing, Opened: opened, Rich: w.rich, Wine: b.Wine, Load: spoilage.Made,
	}
	if b.PHKnown {
		s.Worst.PH, s.Usual.PH = w.pH, b.PH.Value
	}
	rawInWater := b.NoSpirit && (b.Fruit || len(b.FreshLowAcid) > 0)
	switch {
	case b.Heated:
		s.Load = spoilage.Heated
	case len(b.SolidsLeftIn) > 0:
		s.Load = spoilage.Solids
	case w.freshJuice || b.Pulp || rawInWater:
		s.Load = spoilage.Juice
	case w.clear && b.BoiledBottle:
		s.Load = spoilage.Clean
	}
	s.Sorbate = sorbateHolds(b, w)
	return s
}

// sorbateHolds reports whether the sorbate written is the dose that holds wine
// yeast by a published table, in a clear drink; beyond the ends of the table in
// the drink's favour its nearest cell counts.
func sorbateHolds(b Bottle, w worst) bool {
	mg, err := growth.SorbateDoseMgPerL(min(w.abv, 14), max(w.pH, 3.1))
	return err == nil && w.pHKnown && w.clear && b.Preservatives.PotassiumSorbateMgPerL >= mg
}

// life is how long a bottle is expected to stay sound at a temperature, and
// what the model of spoilage says of it; the longest of all rules that apply,
// so that no rule that a better bottle gains can shorten it.
func life(b Bottle, w worst, f findings, celsius float64, opened bool) (span, spoilage.Life) {
	var model spoilage.Life
	switch {
	case f.tooLate:
		return span{}, model
	case celsius <= frozenC || f.onShelf:
		return forever, model
	case celsius > warmestFridgeC && (w.rich || b.Oil):
		return span{}, model // always kept cold
	}
	out := gateFailLife(b, f, celsius, opened)
	if f.gate.pass() || plainSyrup(b, w) {
		model = spoilage.Keeps(spoils(b, w, opened), celsius)
		out = longer(out, span{model.LowDays, model.HighDays})
	}
	return out.by(b.headStart()), model
}

// gateFailLife is what remains for a drink that pathogens could grow in: four
// days at 4 °C or colder, two in the usual fridge, none outside. Four days is
// the stricter end of extension advice on garlic and herbs (2 to 4 days); raw
// egg below the gate is for the day it is made (BfR 2019; AVV Lebensmittelhygiene,
// Annex 1.5), and what has been opened for one to three.
func gateFailLife(b Bottle, f findings, celsius float64, opened bool) span {
	long := span{4, 4}
	if b.RawEgg && !f.gate.pass() {
		long = span{1, 1}
	}
	var out span
	switch {
	case celsius <= 4:
		out = long
	case celsius <= warmestFridgeC:
		out = span{long.low / 2, long.high}
	}
	if opened {
		out = shorter(out, span{1, 3})
	}
	return out
}
