package mixture

import (
	"steepbook/shelf/activity"
	"steepbook/shelf/alcohol"
)

// Room taken in a liquid by a gram of what is dissolved in it, in mL/g. The
// differences from sucrose and the room of glycerol are worked out from the
// densities at 20 °C in the CRC Handbook of Chemistry and Physics, 102nd ed.
// (2021), Concentrative Properties of Aqueous Solutions.
const (
	// sucroseRoomDilute is that of a little sucrose in water at 20 °C.
	sucroseRoomDilute = 0.6165
	glucoseExtra      = 0.0065
	fructoseExtra     = -0.0015
	// acidExtra is citric acid's; the other acids are taken to be like it.
	acidExtra = -0.020
	// glycerolRoom hardly changes from 5 to 60 %; the pure liquid takes 0.793.
	glycerolRoom = 0.7735
	// fatRoom: the usual oils and cream fat weigh 0.91 to 0.93 g/mL (from
	// memory; a gram of fat moves a litre by 0.02 mL at most).
	fatRoom = 1.09

	// sugarRoomSD is the standard deviation of the room sugar takes in the
	// presence of ethanol. All published values seen, 0.617 to 0.632 mL/g, lie
	// within 0.009 of the middle; that half width is read as 90 %.
	sugarRoomSD = 0.009 / z90
)

// z90 is how many standard deviations the half width of a 90 % interval has.
const z90 = 1.6448536269514722

// Coefficients of the density of sucrose in water. Source: ICUMSA
// Specification and Standard SPS-4, as in Bubník, Kadlec, Urban and Bruhns,
// Sugar Technologists Manual, Bartens 1995, p. 164, and Llano 2005.
var (
	sugarA = []float64{385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.289}
	sugarB = []float64{-46.272, -7.172, 1.1597, 5.1126, 17.5254}
	sugarC = []float64{59.7712, 7.2491, 12.363, -35.4791}
	sugarD = []float64{-47.2207, -21.6977, 27.6301}
	sugarE = []float64{18.3184, 12.3081}

	waterNum = []float64{999.83952, 16.952577, -0.0079905127, -4.6241757e-05, 1.0584601e-07, -2.8103006e-10}
)

const waterDen = 0.016887236

// sucroseDensity is the density in kg/m3 of sucrose in water at tC °C (0 to
// 100); w is the mass fraction of sucrose, 0 to 0.84. Outside those ranges the
// nearer end is taken.
//
//	ρ = ρ_water(t) + Σ a_i wⁱ + x Σ b_i wⁱ + … + x⁴ Σ e_i wⁱ,  x = (t-20)/100
//
// Within 0.25 kg/m3 of the CRC Handbook table to 60 % and within 0.05 of
// newer measurements. Source: see the coefficients.
func sucroseDensity(w, tC float64) float64 {
	w, t := clamp(w, 0, 0.84), clamp(tC, 0, 100)
	x := (t - 20) / 100
	sum, xi := 0.0, w
	for _, c := range [...][]float64{sugarA, sugarB, sugarC, sugarD, sugarE} {
		if xi == 0 { // nothing of the rest is left at 20 °C
			break
		}
		sum += xi * alcohol.Horner(c, w)
		xi *= x
	}
	return alcohol.Horner(waterNum, t)/(1+waterDen*t) + sum
}

// soluteRoom is the room in mL a gram of sugar takes at tC °C where there are so many grams
// of solutes and of solvent: what the sugar density formula says for a solution in water.
// Ethanol in the solvent is taken to make no difference of its own; see sugarRoomSD. Acids
// and the rest count as sugar.
func soluteRoom(solutesG, solventG, tC float64) float64 {
	if solutesG <= 0 {
		return sucroseRoomDilute
	}
	return sucroseRoom(solutesG/(solutesG+solventG), tC)
}

// sucroseRoom is the apparent volume in mL/g of sucrose in water at mass
// fraction w.
func sucroseRoom(w, tC float64) float64 {
	// Below a few per mille the difference of two nearly equal volumes would
	// be divided by almost nothing; the room is constant there.
	w = clamp(w, 0.005, 0.84)
	water := sucroseDensity(0, tC)
	return 1000 * (1/sucroseDensity(w, tC) - (1-w)/water) / w
}

// dissolved returns p without the sucrose that cannot be in solution at tC °C.
func (p Parts) dissolved(tC float64) Parts {
	by, most := p.oversaturated(tC)
	if s := p.Sucrose / activity.MolarSucrose; s > most || by(s) > 0 {
		p.Sucrose = p.saturationG(tC)
	}
	return p
}
