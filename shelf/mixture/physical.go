package mixture

import (
	"math"
	"sync"

	"steepbook/data"
	"steepbook/data/quantity"
	"steepbook/shelf/activity"
	"steepbook/shelf/alcohol"
)

// Constants of a one-constant model of the activity of water (w), ethanol (e)
// and sucrose (s) in their mixture, mole fractions x:
//
//	ln γs = Aws xw² + Aes xe² + (Aws + Aes - Awe) xw xe
//
// Awe and Aws are those of the water activity of the two pairs (Pemberton and
// Mash 1978; Norrish constant of sucrose), Aes follows from what sucrose
// dissolves in strong alcohol: 0.2 g in 100 cm³ of absolute ethanol at 14 °C
// and 1 g in 138 mL at 95 % vol call for 0.28 and 0.72.
const (
	satWaterEthanol   = 1.785
	satWaterSucrose   = -6.47
	satEthanolSucrose = 0.515
)

// lnSucroseActivity is ln(xs γs) of w, e and s moles.
func lnSucroseActivity(w, e, s float64) float64 {
	n := w + e + s
	xw, xe := w/n, e/n
	return math.Log(s/n) + satWaterSucrose*xw*xw + satEthanolSucrose*xe*xe +
		(satWaterSucrose+satEthanolSucrose-satWaterEthanol)*xw*xe
}

// oversaturated is, by moles of sucrose, how much more active it would be in the
// ethanol and water of p than in saturated water of tC °C (0 to 50), and the moles
// that no solvent of these two holds: more than the water of as many would.
func (p Parts) oversaturated(tC float64) (by func(s float64) float64, most float64) {
	w, e := p.Water/activity.MolarWater, p.Ethanol/activity.MolarEthanol
	perWater := activity.Saturation(clamp(tC, 0, 50))
	target := math.Exp(lnSucroseActivity(1/activity.MolarWater, 0, perWater/activity.MolarSucrose))
	most = (w + e) * activity.MolarWater * perWater / activity.MolarSucrose
	return func(s float64) float64 { return math.Exp(lnSucroseActivity(w, e, s)) - target }, most
}

// saturationG is the most sucrose, in grams, that the ethanol and water of p
// hold at tC °C (0 to 50): where it is as active as in saturated water of the
// same temperature. About ±2 % at 20, ±4 % at 35 and ±7 % at 50 % vol from the
// two solubilities it rests on; no table was at hand to check the middle.
func (p Parts) saturationG(tC float64) float64 {
	by, most := p.oversaturated(tC)
	if most <= 0 {
		return 0
	}
	return activity.MolarSucrose * crossing(0, most, by)
}

// UndissolvedG is the sucrose of p that cannot be in solution at tC °C (0 to 50), g: see saturationG.
func (p Parts) UndissolvedG(tC float64) float64 { return p.Sucrose - p.dissolved(tC).Sucrose }

// sucroseLimitGPerL is the sucrose, in g/L, that a drink of the same strength
// and with the same other solids to the litre holds at tC °C (0 to 50) before
// crystals come; saturationG has its accuracy. Zero without water.
func (p Parts) sucroseLimitGPerL(tC float64) float64 {
	v := p.VolumeML(20)
	if v <= 0 || p.Water <= 0 {
		return 0
	}
	rest := p.Times(1000 / v)
	abv := rest.ABVPercent()
	return crossing(0, 1000, func(sugar float64) float64 {
		rest.Sucrose, rest.Ethanol, rest.Water = sugar, 0, 0
		q, ok := fill(1000, abv, rest, 0)
		if !ok {
			return sugar // no room for so much
		}
		return sugar - q.saturationG(tC)
	})
}

// sucroseSaturationShare is the sucrose of p as a share of sucroseLimitGPerL
// at tC °C: 1 is saturated, more will crystallise. It is 0 without sucrose and
// +Inf where sucrose is all there is. Other sugars are left out: they
// crystallise far less easily and help to keep sucrose dissolved.
func (p Parts) sucroseSaturationShare(tC float64) float64 {
	if p.Sucrose <= 0 {
		return 0
	}
	limit := p.sucroseLimitGPerL(tC)
	if limit <= 0 {
		return math.Inf(1)
	}
	return 1000 * ratio(p.Sucrose, p.VolumeML(20)) / limit
}

// ethanolFreezing is the lowering of the freezing point of water, in °C, at 0,
// 5, 10 … 65 % by mass of ethanol in ethanol and water. Source: CRC Handbook of
// Chemistry and Physics, 102nd ed. (2021), Concentrative Properties of Aqueous
// Solutions; between the knots a straight line is within 0.13 °C of its rows.
var ethanolFreezing = []float64{0, 2.09, 4.47, 7.36, 10.92, 15.43, 20.47, 25.14, 29.26, 33.52, 37.67, 41.36,
	44.93, 48.10}

// Lowering of the freezing point of water in °C as a·z + b·z², z in g per g of
// water, fitted to the same handbook: sucrose to 42 % (within 0.02 °C), glucose
// to 30 %, fructose to 28 % (0.03), citric acid to 30 % (0.1), glycerol to 40 %
// (0.2).
// Malic acid is scaled from citric acid by molar mass; other solids, of unknown
// kind, count as sucrose. Squares of several add as (Σ √b z)².
const (
	sucroseFreezeA, sucroseFreezeB   = 5.357, 1.967
	glucoseFreezeA, glucoseFreezeB   = 10.263, 2.236
	fructoseFreezeA, fructoseFreezeB = 10.244, 1.642
	citricFreezeA                    = 10.1
	malicFreezeA                     = citricFreezeA * activity.MolarCitric / 134.087
	glycerolFreezeA, glycerolFreezeB = 20.5, 4.2
	// crossFreeze is the mutual effect of ethanol and sugars per product of
	// their mole fractions: the 4.2 of the water activity over the 0.0097 that
	// ln(ice/supercooled water) falls per °C (Murphy and Koop, Q. J. R.
	// Meteorol. Soc. 131 (2005) 1539).
	crossFreeze = 433
)

// freezingPointC is the temperature in °C at which the first ice forms on slow
// cooling, and the span it is believed within: ±1 °C below 20 % vol, ±2 above
// (handbooks of plain ethanol differ by up to 1.5). No measured value with both
// ethanol and sugar was at hand. ok is false without water or above 65 % of
// ethanol by mass in ethanol and water, where no value is given.
func (p Parts) freezingPointC() (value, low, high float64, ok bool) {
	if p.Water <= 0 || p.Ethanol/(p.Ethanol+p.Water) > 0.65 {
		return 0, 0, 0, false
	}
	x := 100 * p.Ethanol / (p.Ethanol + p.Water) / 5
	i := min(int(x), len(ethanolFreezing)-2)
	d := ethanolFreezing[i] + (x-float64(i))*(ethanolFreezing[i+1]-ethanolFreezing[i])

	w := p.Water
	solids := p.Sucrose + p.OtherSolids
	d += (sucroseFreezeA*solids + glucoseFreezeA*p.Glucose + fructoseFreezeA*p.Fructose +
		citricFreezeA*p.Citric + malicFreezeA*(p.AcidG()-p.Citric) + glycerolFreezeA*p.Glycerol) / w
	d += square((math.Sqrt(sucroseFreezeB)*solids + math.Sqrt(glucoseFreezeB)*p.Glucose +
		math.Sqrt(fructoseFreezeB)*p.Fructose + math.Sqrt(glycerolFreezeB)*p.Glycerol) / w)

	e := p.Ethanol / activity.MolarEthanol
	s := p.Sucrose/activity.MolarSucrose + (p.Glucose+p.Fructose)/activity.MolarHexose +
		p.Citric/activity.MolarCitric
	total := w/activity.MolarWater + e + s + p.Glycerol/activity.MolarGlycerol
	d += crossFreeze * e / total * s / total

	span := 1.0
	if v := p.ABVPercent(); v > 20 {
		span = min(2, 1+(v-20)/5)
	}
	return -d, -d - span, min(0, -d+span), true
}

// iceShare is the part of the mass that is ice at tC °C once everything has
// settled, 0 to 1: what freezes out leaves the rest strong enough not to. ok is
// false where freezingPointC has no value for the whole.
func (p Parts) iceShare(tC float64) (share float64, ok bool) {
	t, _, _, ok := p.freezingPointC()
	if !ok || t <= tC {
		return 0, ok
	}
	ice := search(0, p.Water, func(ice float64) (float64, float64) { // g; the liquid left freezes at tC
		q := p
		q.Water -= ice
		t, _, _, fine := q.freezingPointC()
		return ice, orInf(-t, fine)
	}, -tC)
	return ice / p.MassG(), true
}

// Setting is what happens to the blend besides its composition; names are the
// ingredients' names to be used in remarks, none where it does not apply.
type Setting struct {
	StoreC     float64  // where it will stand
	WarmedC    float64  // highest temperature it was or will be warmed to with the spirit in; 0: not warmed
	SteepABV   float64  // strength the solids were steeped at
	OilRich    []string // gave essential oil: citrus peel, anise, clove …
	PectinRich []string // fruit that sets: raspberry, currant, apple, citrus pith …
	Boiled     bool     // that fruit was boiled, with or without sugar
	NutMilk    []string // ground nuts and water, an emulsion
	Feeds      []string // what yeast can live on besides sugar: juice, pulp, wine …
	Sealed     bool     // closed gas-tight
}

// Remark is something the liquid may do, with the number it rests on.
type Remark struct {
	Kind   string // crystals, ice, cloud, jelly, layers, flame, pressure
	Text   string
	Source string // publication, or "common practice, no source", or "our own reckoning"
}

// Undissolved is the kind of what says that not all of the sugar can be in solution.
const Undissolved = "undissolved"

// waterToDissolve is how much water [g] more, up to the next ten as a kitchen measures it, holds all of the
// sucrose of p in solution at tC °C; +Inf where none does.
func (p Parts) waterToDissolve(tC float64) float64 {
	return 10 * math.Ceil(crossing(0, 2*p.Sucrose, func(water float64) float64 {
		return p.Plus(Parts{Water: water}).dissolved(tC).Sucrose - p.Sucrose + 1e-6
	})/10)
}

// sentences are those of data/tables/remarks.csv.
var sentences = sync.OnceValue(func() data.Keyed[data.Sentence] { return data.Sentences("remarks.csv") })

// Remarks says what the liquid may do in the setting: crystals from 85 % of
// saturation, ice, clouding of oil-rich infusions, setting of pectin, layers in
// nut milk, vapour that can catch fire when warmed, and pressure.
func (p Parts) Remarks(s Setting) []Remark {
	var rs []Remark
	add := func(key string, parts ...any) {
		s := sentences().At(key)
		rs = append(rs, Remark{s.Kind, s.With(parts...), s.Source})
	}
	abv, sugar := p.ABVPercent(), p.SugarGPerL()

	if share := p.sucroseSaturationShare(s.StoreC); share >= 0.85 && !math.IsInf(share, 0) {
		limit, has := p.sucroseLimitGPerL(s.StoreC), 1000*ratio(p.Sucrose, p.VolumeML(20))
		if share > 1 {
			add(Undissolved, s.StoreC, abv, limit, has, p.UndissolvedG(s.StoreC), p.waterToDissolve(s.StoreC))
		} else {
			add("crystals", s.StoreC, abv, limit, has)
		}
	}

	if t, low, high, ok := p.freezingPointC(); ok && high > s.StoreC {
		switch ice, _ := p.iceShare(s.StoreC); {
		case ice > 0.3:
			add("frozen", t, high, low, s.StoreC, 100*ice)
		case ice > 0.03:
			add("slush", s.StoreC, t, high, low, 100*ice)
		default:
			add("a little ice", t, high, low, s.StoreC)
		}
	}

	// Citral mixes freely above 53 % vol, limonene above 80: below, it depends
	// on how much oil there is, and for that no figure was at hand.
	if len(s.OilRich) > 0 && abv < 53 && s.SteepABV > abv+3 {
		add("cloud", quantity.And(s.OilRich), s.SteepABV, abv)
	}

	if len(s.PectinRich) > 0 {
		pH, ok := p.PH()
		switch {
		case s.Boiled && (!ok || pH < 3.6):
			add("jelly", quantity.And(s.PectinRich), sugar)
		case abv > 15:
			add("clumps", quantity.And(s.PectinRich))
		}
	}

	if len(s.NutMilk) > 0 {
		add("layers", quantity.And(s.NutMilk))
	}

	_, flashC, ok := alcohol.FlashPointC(min(abv, 100))
	if ok && s.WarmedC > 0 && s.WarmedC >= flashC {
		add("flame", s.WarmedC, abv, flashC)
	}

	if len(s.Feeds) > 0 && s.Sealed && abv < 18 && sugar > 4 && p.DelleUnits() < 85 {
		add("pressure", quantity.And(s.Feeds), sugar)
	}
	return rs
}

// Bands of the sugar to acid ratio, g of sugar to g of acid as citric. They are
// our own, for drinks taken neat or on ice, and no more than a first word.
const (
	sharpBelow = 10.0
	flatAbove  = 40.0
	leastAcid  = 1.0 // g/L below which acid is not tasted as such
)

// Tartness puts the ratio of sugar to acid (as citric) in a word: "sharp" under
// 10, "balanced" to 40, "flat" above or with less than 1 g/L of acid; "dry"
// with under 10 g/L of sugar and hardly any acid. The bands are this package's
// own. sugarPerAcid is +Inf without acid.
func (p Parts) Tartness() (word string, sugarPerAcid float64) {
	sugar, acid := p.SugarGPerL(), p.AcidGPerL()
	sugarPerAcid = math.Inf(1)
	if acid > 0 {
		sugarPerAcid = sugar / acid
	}
	switch {
	case acid < leastAcid && sugar < 10:
		return "dry", sugarPerAcid
	case acid < leastAcid || sugarPerAcid > flatAbove:
		return "flat", sugarPerAcid
	case sugarPerAcid < sharpBelow:
		return "sharp", sugarPerAcid
	}
	return "balanced", sugarPerAcid
}
