package growth

import "math"

// Cardinal values of the spoilage yeast whose clock is used here: a compound
// of the worst habits of Zygosaccharomyces bailii and Z. lentus.
const (
	// yeastDoublingH is the doubling time of Z. bailii at 23 °C, pH 4.0 in 20 %
	// fructose (encyclopaedia article, tertiary).
	yeastDoublingH = 3.0
	// Optimum 29-31 °C: Jermini and Schmidt-Lorenz 1987. The ends are our
	// choice: Z. lentus grew well at 4 °C, so the lower one lies below that.
	yeastTMin, yeastTOpt, yeastTMax = 0, 30, 38
	// Lowest pH 2.0: Praphailong and Fleet 1997; optimum 4.5: Biotechnol.
	// Bioeng. 1982, 24:1125 (bakers' yeast). The upper end is not used.
	yeastPHMin, yeastPHOpt, yeastPHMax = 2.0, 4.5, 7.5
	// Lowest water activity 0.80: Beuchat 1981.
	yeastAwMin = 0.80
	// Highest strength of Z. bailii, % vol (encyclopaedia article, tertiary);
	// shape of the fall from WarrenExponent.
	yeastABVMax = 18
)

// yeastFactors are the gamma factors of the spoilage yeast. A missing figure
// has factor 1. Above the optimum of temperature and pH the factor stays 1:
// a warmer or less sour bottle is never counted as slower.
func yeastFactors(c Conditions) [4]float64 {
	f := [4]float64{1, 1, 1, 1}
	if v := c.Celsius; v.Known {
		f[0] = CTMI(min(v.Value, yeastTOpt), yeastTMin, yeastTOpt, yeastTMax)
	}
	if v := c.PH; v.Known {
		f[1] = CPM(min(v.Value, yeastPHOpt), yeastPHMin, yeastPHOpt, yeastPHMax)
	}
	if v := c.WaterActivity; v.Known {
		f[2] = GammaWater(v.Value, yeastAwMin)
	}
	if v := c.ABVPercent; v.Known {
		f[3] = Luong(v.Value, yeastABVMax, WarrenExponent)
	}
	return f
}

// YeastRatePerH is the specific growth rate, 1/h, of a spoilage yeast under c:
// gamma factors with the interaction of Le Marc near the edge, scaled to the
// published doubling time. 0 means the model has reached its edge, which is
// not a proof that nothing grows there; use it only to tell how slow growth
// is. The constants are few and the strains many: a factor of three either way.
func YeastRatePerH(c Conditions) float64 {
	product := func(f [4]float64) float64 { return f[0] * f[1] * f[2] * f[3] }
	f := yeastFactors(c)
	// 20 % fructose has a water activity of about 0.975 (freezing point -2.6 °C,
	// CRC Handbook); there the interaction is still 1.
	reference := product(yeastFactors(Conditions{Celsius: At(23), PH: At(4), WaterActivity: At(0.975)}))
	xi := LeMarcXi(LeMarcPsi(PhiFromGamma(f[0]), PhiFromGamma(f[1]), PhiFromGamma(f[2]), PhiFromGamma(f[3])))
	return math.Ln2 / yeastDoublingH * product(f) / reference * xi
}

// HoursTo is the time, in hours, in which cells multiply from n0 to nEnd per mL
// at that rate after a lag of lagWork/rate. It is +Inf at rate 0, and 0 when n0
// is not below nEnd. n0 and nEnd have to be positive.
func HoursTo(ratePerH, n0, nEnd, lagWork float64) float64 {
	switch {
	case n0 >= nEnd:
		return 0
	case ratePerH <= 0:
		return math.Inf(1)
	}
	return (lagWork + math.Log(nEnd/n0)) / ratePerH
}
