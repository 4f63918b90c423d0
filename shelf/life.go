package shelf

import (
	"math"

	"steepbook/shelf/growth"
)

// span is a pair of times in days.
type span struct{ low, high float64 }

func longer(a, b span) span  { return span{max(a.low, b.low), max(a.high, b.high)} }
func shorter(a, b span) span { return span{min(a.low, b.low), min(a.high, b.high)} }

var forever = span{math.Inf(1), math.Inf(1)}

// knot is a time at one value of what the table runs over.
type knot struct {
	x float64
	span
}

// between interpolates the logarithm of the times between knots in ascending
// order of x; outside it holds the nearer end.
func between(x float64, knots []knot) span {
	if x <= knots[0].x {
		return knots[0].span
	}
	for i := 1; i < len(knots); i++ {
		if a, b := knots[i-1], knots[i]; x <= b.x {
			t := (x - a.x) / (b.x - a.x)
			// Rounded to a millionth of a day, so that a table value comes back
			// as it stands.
			mix := func(p, q float64) float64 {
				return math.Round(1e6*math.Exp((1-t)*math.Log(p)+t*math.Log(q))) / 1e6
			}
			return span{mix(a.low, b.low), mix(a.high, b.high)}
		}
	}
	return knots[len(knots)-1].span
}

// Longest times, in days, a drink of 10 % vol and more is given by strength
// (worst case) in a fridge and in a room. They are ours: weeks to a few months
// from 10 %, months from 15 %, since no trial of such drinks past 100 days was
// found (Zuehlke, Childs and Edwards 2015, Fermentation 1:3-12: yeast alive
// after 100 d at 17 %; La Vigne no. 102, 1999: souring at 17 % when cellars
// warm).
var (
	fridgeByABV = []knot{{10, span{14, 42}}, {13, span{21, 70}}, {15, span{45, 120}}, {18, span{90, 180}}, {22, span{120, 365}}, {26, span{180, 365}}}
	roomByABV   = []knot{{10, span{2, 10}}, {13, span{3, 14}}, {15, span{7, 30}}, {18, span{30, 120}}, {22, span{60, 240}}, {26, span{90, 365}}}

	// Opened: air, a part-full bottle, a new start of microbes with each use.
	// Ours; the fridge figures at 15 to 18 % are what household pages give for
	// opened vermouth (two weeks to two months, no data).
	openFridgeByABV = []knot{{0, span{3, 5}}, {9.999, span{3, 5}}, {10, span{7, 21}}, {13, span{10, 28}}, {15, span{14, 60}}, {18, span{30, 90}}, {22, span{60, 180}}}
	openRoomByABV   = []knot{{0, span{0.25, 1}}, {9.999, span{0.25, 1}}, {10, span{1, 3}}, {13, span{2, 5}}, {15, span{3, 10}}, {18, span{7, 28}}, {22, span{14, 60}}}
)

// Fresh citrus juice by temperature, days: Fellers 1988, J. Food Sci.
// 53:1699-1702, 5-8 d at 7.8 °C (microbes), 10-16 d at 4.4, 16-22 d at 1.1 and
// 20-23 d at -1.7 (stale taste). The room end is ours.
var juiceByCelsius = []knot{
	{-1.7, span{20, 23}}, {1.1, span{16, 22}}, {4.4, span{10, 16}}, {7, span{5, 8}}, {7.8, span{5, 8}}, {25, span{0.5, 2}}, {35, span{0.25, 1}},
}

// Heated sour juice closed hot, days until 1000 cells per mL: Frangopoulos,
// Koliouskas and Petridis 2024, Appl. Sci. 14:10870, 15 d at 10 °C, 10 d at
// 15, about 3 d at 30 to 40. Nothing is added below 10 °C; the high end is
// twice the low one, our allowance for the step from 1000 cells to a sign.
var heatedByCelsius = []knot{{10, span{15, 30}}, {15, span{10, 20}}, {30, span{3, 6}}, {40, span{2, 6}}}

// Plain syrup, days: a week at 1 part sugar to 1 of water and four weeks at
// 2:1, chilled. Household pages agree and have no data.
var (
	thinSyrupByCelsius = []knot{{7, span{7, 14}}, {25, span{2, 7}}, {35, span{1, 3}}}
	richSyrupByCelsius = []knot{{7, span{28, 60}}, {25, span{7, 14}}, {35, span{3, 7}}}
)

// Worst-case sugar, g/L, from which a syrup counts as 1:1 or 2:1: 1:1 by
// volume is about 550 g/L and 2:1 by volume about 810, less the margin.
const thinSyrupGPerL, richSyrupGPerL = 450, 720

// plainSyrup is sugar water, sour or not, with nothing for microbes to live on.
func plainSyrup(b Bottle, w worst) bool {
	return !w.nourishing && !b.Oil && len(b.FreshLowAcid) == 0 && (w.sugar >= thinSyrupGPerL || w.acid(gatePH))
}

// byABV reads the strength tables at temperature celsius: as they stand at 7
// and 25 °C, along a straight line of logarithms between and beyond up to
// 35 °C, and up to half longer in the coldest fridge.
func byABV(abv, celsius float64, fridge, room []knot) span {
	f, r := between(abv, fridge), between(abv, room)
	switch {
	case celsius <= fridgeC:
		k := 1 + 0.5*min((fridgeC-celsius)/5, 1)
		return span{f.low * k, f.high * k}
	default:
		hot := func(room, fridge float64) float64 { return room * math.Pow(room/fridge, 10.0/(roomC-fridgeC)) }
		return between(celsius, []knot{{fridgeC, f}, {roomC, r}, {roomC + 10, span{hot(r.low, f.low), hot(r.high, f.high)}}})
	}
}

// startPerML is the load of spoilage yeast a bottle starts with, per mL. Ours:
// 10 in a drink strained clear and filled into a boiled bottle, tenfold for
// each thing that brings cells along, a hundredth once heated and closed hot.
func startPerML(b Bottle, w worst) float64 {
	n := 10.0
	for _, dirty := range []bool{!w.clear, !b.BoiledBottle, w.freshJuice} {
		if dirty {
			n *= 10
		}
	}
	if b.Heated {
		n /= 100
	}
	return n
}

// spoiledPerML is when yeast shows as gas or haze (common practice, no
// source), slowStrain how much slower than the clock a mild strain is, from
// the distance between clock and published times, and lagWork the delay of
// cells that have to get used to the drink (ours).
const spoiledPerML, slowStrain, lagWork = 1e6, 3, 2

// yeastClock is the time a spoilage yeast needs, low from the worst case and
// high from central figures.
func yeastClock(b Bottle, w worst, celsius float64) span {
	at := func(abv, pH, aw float64) growth.Conditions {
		c := growth.Conditions{Celsius: growth.At(celsius), ABVPercent: growth.At(abv)}
		if b.PHKnown {
			c.PH = growth.At(pH)
		}
		if w.awKnown {
			c.WaterActivity = growth.At(aw)
		}
		return c
	}
	n := startPerML(b, w)
	hard := growth.YeastRatePerH(at(w.abv, w.pH, w.aw))
	mild := growth.YeastRatePerH(at(b.ABVPercent.Value, b.PH.Value, b.WaterActivity.Value)) / slowStrain
	return span{
		growth.HoursTo(hard, n, spoiledPerML, 0) / 24,
		growth.HoursTo(mild, n/100, spoiledPerML, lagWork) / 24,
	}
}

// hygiene shortens the strength tables for a drink that is not clean.
func hygiene(b Bottle, w worst) float64 {
	h := 1.0
	if !b.Filtered || b.Pulp {
		h *= 0.8
	}
	if len(b.SolidsLeftIn) > 0 {
		h *= 0.8
	}
	if !b.BoiledBottle {
		h *= 0.8
	}
	if w.freshJuice {
		h *= 0.8
	}
	if w.cold {
		h *= 0.5
	}
	return h
}

// closedLife is how long a full, closed bottle is expected to stay sound at
// that temperature; the longest time of all rules that apply, so that no rule
// that a better bottle gains can shorten it.
func closedLife(b Bottle, w worst, f findings, celsius float64) span {
	if celsius <= frozenC || f.line1 && !w.cold {
		return forever
	}
	life := gateFailLife(b, f, celsius)
	if plainSyrup(b, w) {
		life = longer(life, between(celsius, thinSyrupByCelsius))
		if w.sugar >= richSyrupGPerL {
			life = longer(life, between(celsius, richSyrupByCelsius))
		}
	}
	if f.gate.pass() {
		life = longer(life, between(celsius, juiceByCelsius))
		if b.Heated && w.acid(gatePH) {
			life = longer(life, between(celsius, heatedByCelsius))
		}
		if w.abv >= coldABV {
			h := hygiene(b, w)
			t := byABV(w.abv, celsius, fridgeByABV, roomByABV)
			life = longer(life, shorter(span{t.low * h, t.high * h}, yeastClock(b, w, celsius)))
		}
	}
	if f.line2 {
		life = longer(life, between(celsius, []knot{{7, span{180, 540}}, {25, span{90, 365}}, {35, span{30, 180}}}))
	}
	life.high = max(life.high, life.low)
	return life
}

// gateFailLife is what remains for a drink that pathogens could grow in: four
// days at 4 °C or colder, two in the usual fridge, none outside. Four days is
// the stricter end of extension advice on garlic and herbs (2 to 4 days); raw
// egg below 14 % vol is for the day it is made.
func gateFailLife(b Bottle, f findings, celsius float64) span {
	long := span{4, 4}
	if b.RawEgg && !f.gate.pass() {
		long = span{1, 2}
	}
	switch {
	case celsius <= 4:
		return long
	case celsius <= warmestFridgeC:
		return span{long.low / 2, long.high}
	}
	return span{}
}

// openLife is the time once opened, never longer than the closed one.
func openLife(w worst, f findings, closed span, celsius float64) span {
	if celsius <= frozenC || f.line1 && !w.cold {
		return closed
	}
	o := byABV(w.abv, celsius, openFridgeByABV, openRoomByABV)
	if w.cold {
		o = span{o.low * 0.5, o.high * 0.5}
	}
	if !f.gate.pass() {
		o = shorter(o, span{1, 3})
	}
	return shorter(o, closed)
}
