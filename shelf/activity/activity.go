// Package activity computes the water activity of mixtures of water, ethanol,
// sugars, glycerol and citric acid.
package activity

import "math"

// Masses are the dissolved constituents in grams (any amount: only ratios
// count). Sugars beyond their solubility must be left out by the caller:
// crystals lower nothing; Saturation tells how much sucrose water holds.
type Masses struct {
	Water, Ethanol                               float64
	Sucrose, Glucose, Fructose, Glycerol, Citric float64
}

// Molar masses in g/mol, from the IUPAC standard atomic weights.
const (
	MolarWater    = 18.015
	MolarEthanol  = 46.068
	MolarSucrose  = 342.297
	MolarHexose   = 180.156
	MolarGlycerol = 92.094
	MolarCitric   = 192.124
)

// Constants K of the Norrish equation, natural logarithm, positive K lowers
// the activity. Source: FAO Agricultural Services Bulletin 149 (2003), chapter
// 4, after Chirife and co-workers; seen at second hand, and confirmed against
// the measured tables named in the tests.
const (
	kSucrose  = 6.47
	kHexose   = 2.25
	kGlycerol = 1.16
	kCitric   = 6.2
)

// redlichKister are the coefficients of the excess Gibbs energy of ethanol (1)
// and water (2) at 30 °C, G/RT = x1 x2 Σ c_k (x1-x2)^k, fitted to the total
// pressures of Pemberton and Mash, J. Chem. Thermodyn. 10 (1978) 867.
var redlichKister = [5]float64{1.20032, -0.30877, 0.05686, 0.05232, -0.14752}

// Cross is the strength of the mutual effect of ethanol with sugars and acids,
// in units of the product of their mole fractions in ln aw, beyond the plain
// product of factors. Glycerol, closer to ethanol, is left out of it. It is
// derived from the solubility of sucrose in strong ethanol, not measured, so
// all three values are in use: the likely one, and the two ends.
const (
	Cross     = 4.2
	crossLow  = 5.2
	crossHigh = 0
)

// ethanolFactor is the activity of water over water and ethanol alone, masses
// in grams, from 1 (no ethanol) to 0 (no water):
//
//	aw = x2 γ2,  ln γ2 = G - x1 G'
//
// with G the excess Gibbs energy over RT. Against the vapour measurements of
// Pemberton and Mash (1978) at 30 °C it is within 0.006; it must not be used
// for freezing, being several degrees off there.
func ethanolFactor(waterG, ethanolG float64) float64 {
	w, e := waterG/MolarWater, ethanolG/MolarEthanol
	if w <= 0 {
		return 0
	}
	if e <= 0 {
		return 1
	}
	x1 := e / (e + w)
	x2 := 1 - x1
	d := x1 - x2
	g, dg, pow := 0.0, 0.0, 1.0
	for k, c := range redlichKister {
		g += c * pow
		if k+1 < len(redlichKister) {
			dg += 2 * float64(k+1) * redlichKister[k+1] * pow
		}
		pow *= d
	}
	G := x1 * x2 * g
	dG := (x2-x1)*g + x1*x2*dg
	return x2 * math.Exp(G-x1*dG)
}

// SoluteFactor is the activity of water over water and the non-volatile
// solutes alone, by the Norrish equation with the squared sum for mixtures:
//
//	aw = X_w exp[-(Σ √K_i X_i)²]
//
// Source: Norrish, J. Food Technol. 1 (1966) 25. Within 0.0015 for sucrose to
// saturation, 0.0025 for glycerol to 57 %; for glucose and fructose above 30 %
// and for citric acid above 10 % by mass nothing measured was at hand.
func SoluteFactor(m Masses) float64 {
	w := m.Water / MolarWater
	if w <= 0 {
		return 0
	}
	n := [...]struct{ k, mol float64 }{
		{kSucrose, m.Sucrose / MolarSucrose},
		{kHexose, (m.Glucose + m.Fructose) / MolarHexose},
		{kGlycerol, m.Glycerol / MolarGlycerol},
		{kCitric, m.Citric / MolarCitric},
	}
	total := w
	for _, s := range n {
		total += s.mol
	}
	sum := 0.0
	for _, s := range n {
		sum += math.Sqrt(s.k) * s.mol / total
	}
	return w / total * math.Exp(-sum*sum)
}

// Water is the water activity of m near 25 °C (fair from 15 to 30 °C). central
// is the most likely value; high is the plain product of the ethanol and the
// solute factor (Ross, Food Technol. 29(3) (1975) 26), the cautious end when
// judging keeping; low allows for the strongest effect of ethanol and sugar on
// each other. Without ethanol, or without sugar, the three agree. ModelError
// adds what the model may be wrong by. No water gives zeros.
func Water(m Masses) (central, low, high float64) {
	product := ethanolFactor(m.Water, m.Ethanol) * SoluteFactor(m)
	e := m.Ethanol / MolarEthanol
	s := m.Sucrose/MolarSucrose + (m.Glucose+m.Fructose)/MolarHexose + m.Citric/MolarCitric
	total := m.Water/MolarWater + e + s + m.Glycerol/MolarGlycerol
	if product <= 0 || total <= 0 {
		return 0, 0, 0
	}
	xx := e / total * s / total
	return product * math.Exp(-Cross*xx), product * math.Exp(-crossLow*xx), product * math.Exp(-crossHigh*xx)
}

// ModelError is the half width of the 90 % interval of Water beside the span
// it returns: 0.003 for sucrose syrup, growing to 0.01 with other sugars and
// to 0.02 above 60 % of them, 0.005 for plain spirit and 0.01 for sweetened.
// Our judgement from the comparisons named in the tests.
func ModelError(m Masses) float64 {
	solutes := m.Sucrose + m.Glucose + m.Fructose + m.Glycerol + m.Citric
	if m.Water <= 0 {
		return 0.02
	}
	e := 0.003
	if hex := m.Glucose + m.Fructose + m.Glycerol + m.Citric; solutes > 0 {
		e += 0.007 * hex / solutes
		if f := solutes / (solutes + m.Water); f > 0.6 && hex > 0 {
			e += 0.01 * min(1, (f-0.6)/0.05) * hex / solutes
		}
	}
	if m.Ethanol > 0 {
		p := m.Ethanol / (m.Ethanol + m.Water)
		f := min(1, p/0.05)
		sweet := min(1, solutes/(0.05*(m.Water+m.Ethanol)))
		e = max(e, f*(0.005+0.005*sweet))
	}
	return e
}

// Saturation is the grams of sucrose a gram of water holds at tC °C (0 to 100;
// outside the nearer end is taken).
//
//	mass % = 64.447 + 0.08222 t + 0.0016169 t² - 1.558e-6 t³ - 4.63e-8 t⁴
//
// Source: Bubník and Kadlec, in Mathlouthi and Reiser (eds), Sucrose:
// Properties and Applications, Blackie 1995, p. 101. Older handbook tables run
// up to 0.5 % higher.
func Saturation(tC float64) float64 {
	t := min(max(tC, 0), 100)
	w := (64.447 + t*(0.08222+t*(0.0016169+t*(-1.558e-6+t*-4.63e-8)))) / 100
	return w / (1 - w)
}
