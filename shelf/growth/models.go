package growth

import (
	"fmt"
	"math"
)

// GammaTemperature is the square-root gamma factor for temperatures below the
// optimum, ((T-Tmin)/(Topt-Tmin))², 0 at or below Tmin and 1 at or above Topt.
// All in °C.
//
// Zwietering et al. 1992; form from memory, as in McKellar and Lu (eds) 2004,
// Modeling Microbial Responses in Food, ch. 3.
func GammaTemperature(celsius, tMin, tOpt float64) float64 {
	if celsius <= tMin || tOpt <= tMin {
		return 0
	}
	r := min((celsius-tMin)/(tOpt-tMin), 1)
	return r * r
}

// GammaPH is the gamma factor for pH,
// (pH-pHmin)(pHmax-pH)/((pHopt-pHmin)(pHmax-pHopt)), 0 outside the range.
//
// Zwietering et al. 1992; form from memory.
func GammaPH(pH, pHMin, pHOpt, pHMax float64) float64 {
	if pH <= pHMin || pH >= pHMax {
		return 0
	}
	return (pH - pHMin) * (pHMax - pH) / ((pHOpt - pHMin) * (pHMax - pHOpt))
}

// GammaWater is the gamma factor for water activity, (aw-awmin)/(1-awmin),
// 0 at or below awmin and 1 at or above 1.
//
// Zwietering et al. 1992; form from memory.
func GammaWater(waterActivity, awMin float64) float64 {
	if waterActivity <= awMin || awMin >= 1 {
		return 0
	}
	return min((waterActivity-awMin)/(1-awMin), 1)
}

// CTMI is the cardinal temperature model with inflection: 1 at tOpt, 0 at and
// beyond tMin and tMax, all in °C. It needs tOpt > (tMin+tMax)/2 and returns 0
// for cardinal values out of that order.
//
// Rosso, Lobry, Bajard and Flandrois 1995, Appl. Environ. Microbiol.
// 61:610-616; equation from memory.
func CTMI(celsius, tMin, tOpt, tMax float64) float64 {
	if celsius <= tMin || celsius >= tMax || tOpt <= (tMin+tMax)/2 || tOpt >= tMax {
		return 0
	}
	num := (celsius - tMax) * (celsius - tMin) * (celsius - tMin)
	den := (tOpt - tMin) * ((tOpt-tMin)*(celsius-tOpt) - (tOpt-tMax)*(tOpt+tMin-2*celsius))
	return num / den
}

// CPM is the cardinal pH model: 1 at pHOpt, 0 at and beyond pHMin and pHMax.
//
// Rosso et al. 1995, as CTMI; equation from memory.
func CPM(pH, pHMin, pHOpt, pHMax float64) float64 {
	if pH <= pHMin || pH >= pHMax {
		return 0
	}
	a := (pH - pHMin) * (pH - pHMax)
	return a / (a - (pH-pHOpt)*(pH-pHOpt))
}

// LeMarcPsi is the interaction sum ψ = Σ φi / (2 Π(1-φj)), j ≠ i, of how far
// each factor is from its optimum (φ from 0 at the optimum to 1 at the limit).
// It is +Inf when a factor sits at its limit.
//
// Le Marc et al. 2002, Int. J. Food Microbiol. 73:219-237; form from memory.
func LeMarcPsi(phi ...float64) float64 {
	sum := 0.0
	for i, p := range phi {
		if p >= 1 {
			return math.Inf(1)
		}
		prod := 1.0
		for j, q := range phi {
			if j != i {
				prod *= 1 - q
			}
		}
		sum += p / (2 * prod)
	}
	return sum
}

// LeMarcXi is the interaction factor: 1 up to ψ = 0.5, 0 from ψ = 1, linear
// between. ψ = 1 is a model's edge and no ground for calling a drink stable.
func LeMarcXi(psi float64) float64 {
	return min(max(2*(1-psi), 0), 1)
}

// PhiFromGamma is (1-√γ)², the distance from the optimum that belongs to a
// gamma factor.
//
// Augustin et al. 2005; form from memory.
func PhiFromGamma(gamma float64) float64 {
	d := 1 - math.Sqrt(min(max(gamma, 0), 1))
	return d * d
}

// Luong is the relative growth rate under an inhibitor, 1-(c/cMax)^alpha, 0
// from cMax on; c and cMax in one unit.
//
// Luong 1985, Biotechnol. Bioeng. 27:280-285.
func Luong(c, cMax, alpha float64) float64 {
	switch {
	case c <= 0:
		return 1
	case c >= cMax:
		return 0
	}
	return 1 - math.Pow(c/cMax, alpha)
}

// Levenspiel is the relative rate (1-c/cMax)^n, 0 from cMax on.
func Levenspiel(c, cMax, n float64) float64 {
	switch {
	case c <= 0:
		return 1
	case c >= cMax:
		return 0
	}
	return math.Pow(1-c/cMax, n)
}

// Parameters of the alcohol inhibition of Saccharomyces cerevisiae, g/L and
// exponent: Warren, Hill and Macdonald 1990, Biotechnol. Prog. 6:319-325,
// fitted to Bazua and Wilke 1977. The zero at 101.6 g/L (12.9 % vol) lies far
// below the 16 to 18 % vol at which adapted strains still work: it is a figure
// for slowing, not for stopping.
const (
	WarrenEthanolMaxGPerL = 101.6
	WarrenExponent        = 1.95
)

// MouldUnderEthanol is the relative growth rate of a mould at e mass per cent
// of ethanol: k is the strength that halves it, eMax the one that stops it.
//
// Dantigny et al. 2005, Int. J. Food Microbiol. 98:261-269.
func MouldUnderEthanol(e, k, eMax float64) float64 {
	switch {
	case e <= 0:
		return 1
	case e >= eMax || k <= 0 || k >= eMax:
		return 0
	}
	return k * (eMax - e) / (k*eMax - 2*k*e + eMax*e)
}

// DelleUnits is sugar in g per 100 mL plus 4.5 times % vol: a measure of what
// holds fermenting yeast in sweet wine. It says nothing of lactic acid
// bacteria, and its published threshold of 78 has been passed by living yeast.
//
// Kunkee and Amerine 1968, Appl. Microbiol. 16:1067-1075; Amerine and Kunkee
// 1965, Vitis 5:187-194.
func DelleUnits(sugarGPerL, abvPercent float64) float64 {
	return sugarGPerL/10 + 4.5*abvPercent
}

// Undissociated is the active share of a weak acid, 1/(1+10^(pH-pKa)). Alcohol
// raises the pKa, so the figure for water understates it.
func Undissociated(pH, pKa float64) float64 { return 1 / (1 + math.Pow(10, pH-pKa)) }

// SorbicShareOfPotassiumSorbate is the mass of sorbic acid in potassium
// sorbate, from the molar masses 112.13 and 150.22 g/mol.
const SorbicShareOfPotassiumSorbate = 112.13 / 150.22

// sorbateDose is potassium sorbate in mg/L that stabilises a filtered,
// sulphited wine against wine yeast: rows 10-14 % vol, columns pH 3.1-3.5.
//
// T. Underhill, Making Better Wines, potassium sorbate table.
var sorbateDose = [5][5]float64{
	{165, 180, 210, 240, 270},
	{135, 150, 180, 210, 225},
	{96, 105, 120, 135, 150},
	{78, 90, 96, 105, 120},
	{60, 66, 72, 81, 90},
}

// SorbateDoseMgPerL looks up how much potassium sorbate, mg/L, a published
// wine table asks for between 10 and 14 % vol and pH 3.1 and 3.5, bilinear
// between its cells. Outside that grid it returns an error and does not
// extrapolate. The dose holds a few wine yeasts in a filtered, sulphited wine;
// it stops neither bacteria nor Zygosaccharomyces bailii.
func SorbateDoseMgPerL(abvPercent, pH float64) (float64, error) {
	const slack = 1e-9
	x, y := abvPercent-10, (pH-3.1)*10
	if !(x >= -slack && x <= 4+slack && y >= -slack && y <= 4+slack) {
		return 0, fmt.Errorf("the sorbate table covers 10 to 14 %% vol and pH 3.1 to 3.5, not %.3g %% vol at pH %.3g", abvPercent, pH)
	}
	x, y = min(max(x, 0), 4), min(max(y, 0), 4)
	i, j := min(int(x), 3), min(int(y), 3)
	u, v := x-float64(i), y-float64(j)
	d := &sorbateDose
	return (1-u)*((1-v)*d[i][j]+v*d[i][j+1]) + u*((1-v)*d[i+1][j]+v*d[i+1][j+1]), nil
}
