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

// DelleUnits is sugar in g per 100 mL plus 4.5 times % vol: a measure of what
// holds fermenting yeast in sweet wine. It says nothing of lactic acid
// bacteria, and its published threshold of 78 has been passed by living yeast.
//
// Kunkee and Amerine 1968, Appl. Microbiol. 16:1067-1075; Amerine and Kunkee
// 1965, Vitis 5:187-194.
func DelleUnits(sugarGPerL, abvPercent float64) float64 {
	return sugarGPerL/10 + 4.5*abvPercent
}

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
		return 0, fmt.Errorf("the sorbate table covers 10 to 14 %% vol and pH 3.1 to 3.5, not %.3g %% vol "+
			"at pH %.3g", abvPercent, pH)
	}
	x, y = min(max(x, 0), 4), min(max(y, 0), 4)
	i, j := min(int(x), 3), min(int(y), 3)
	u, v := x-float64(i), y-float64(j)
	d := &sorbateDose
	return (1-u)*((1-v)*d[i][j]+v*d[i][j+1]) + u*((1-v)*d[i+1][j]+v*d[i+1][j+1]), nil
}
