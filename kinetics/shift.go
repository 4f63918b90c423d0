package kinetics

import (
	"fmt"
	"math"
)

// Shift moves the log rate of a prior to other conditions and widens it by what
// is not known of the move.
type Shift struct {
	LogMean float64 // added to ln k
	LogSD   float64 // joins the spread of ln k in quadrature
	Source  string  // where the figure is from
}

// Factor is exp(LogMean): how many times faster.
func (s Shift) Factor() float64 { return math.Exp(s.LogMean) }

// Shifted applies shifts one after the other; they are taken as independent.
func (p Prior) Shifted(shifts ...Shift) Prior {
	v := p.LogRate.SD * p.LogRate.SD
	for _, s := range shifts {
		p.LogRate.Mean += s.LogMean
		v += s.LogSD * s.LogSD
	}
	p.LogRate.SD = math.Sqrt(v)
	return p
}

const (
	gasConstant       = 8.314462618e-3 // kJ/(mol K), CODATA 2018
	baseKelvin        = 293.15
	activationEnergy  = 25.0 // kJ/mol
	activationSpread  = 1.7  // geometric
	cutExponent       = -1.2
	cutExponentSD     = 0.5
	strengthPer       = 0.0102 // per % vol
	baseStrength      = 40.0
	aromaShift        = 0.7
	aromaSpread       = 0.5
	widestTemperature = 40.0 // K beyond which the spread is doubled
)

// TemperatureShift moves a rate from 20 °C to another steeping temperature by
// k = k20·exp(−(Ea/R)(1/T − 1/293.15)) with Ea = 25 kJ/mol, itself known to a
// factor of 1.7: the median and the middle two thirds (14 to 40) of fourteen
// published liquid extractions. ×0.55 at 4 °C, ×1.93 at 40 °C. More than 40 K
// away the spread is doubled. An error is returned outside −20 to 100 °C.
func TemperatureShift(celsius float64) (Shift, error) {
	if !(celsius >= -20 && celsius <= 100) {
		return Shift{}, fmt.Errorf("a steeping temperature of %g °C is outside -20 to 100 °C", celsius)
	}
	m := -activationEnergy / gasConstant * (1/(celsius+273.15) - 1/baseKelvin)
	sd := math.Abs(m) * math.Log(activationSpread)
	if math.Abs(celsius-20) > widestTemperature {
		sd *= 2
	}
	return Shift{m, sd, "activation energy 25 kJ/mol, geometric spread 1.7: median of fourteen published liquid extractions"}, nil
}

// CutShift moves a rate from one size of pieces to another: k ∝ size^−1.2 with
// an exponent known to ± 0.5. Diffusion theory says −2; measured exponents in
// print run from 0 to −2.6. ratio is new size over old, above 0.
func CutShift(ratio float64) (Shift, error) {
	if !(ratio > 0) || math.IsInf(ratio, 1) {
		return Shift{}, fmt.Errorf("a size ratio of %g must be above zero", ratio)
	}
	l := math.Log(ratio)
	return Shift{cutExponent * l, cutExponentSD * math.Abs(l), "rate falls with size to the power 1.2 ± 0.5: published exponents for tea and coffee"}, nil
}

// StrengthShift moves a rate from 40 % vol to another strength of the spirit:
// common practice gives lemon peel 7 days at 40 % and 4 at 95 %, a factor of
// 1.75. One pair of habits is weak, so the spread is as large as the shift and
// at least 0.1. The plateau depends on strength too, each flavour in its own
// way: that is not covered.
func StrengthShift(abvPercent float64) (Shift, error) {
	if !(abvPercent >= 0 && abvPercent <= 100) {
		return Shift{}, fmt.Errorf("a strength of %g %% vol is outside 0 to 100", abvPercent)
	}
	m := strengthPer * (abvPercent - baseStrength)
	if m == 0 {
		return Shift{Source: "no shift at 40 % vol"}, nil
	}
	return Shift{m, math.Max(0.1, math.Abs(m)), "common practice, no source: lemon peel in 7 days at 40 % vol, in 4 at 95 %"}, nil
}

// Stirring names how a jar is moved.
type Stirring string

// The ways a jar is moved. The base of the priors is ShakenDaily.
const (
	StillBag      Stirring = "still, in a bag"
	ShakenDaily   Stirring = "shaken daily"
	StirredFine   Stirring = "stirred, pieces under 1 mm"
	StirredCoarse Stirring = "stirred, coarser pieces"
)

// StirringShift is a guess: agitation moves the washing stage and evens out the
// jar, it does not change diffusion inside a piece. An unknown name is taken as
// shaken daily.
func StirringShift(s Stirring) Shift {
	const source = "common practice, no source: a guess"
	switch s {
	case StillBag:
		return Shift{math.Log(0.3), math.Log(2), source}
	case StirredFine:
		return Shift{math.Log(2), 0.35, source}
	case StirredCoarse:
		return Shift{0, 0.2, source}
	}
	return Shift{Source: "no shift when shaken daily"}
}

// AromaShift carries a chemist's rate over to scores of an aroma: smell is
// compressive (exponents of about 0.3 to 0.6), so the score's rise looks about
// twice as fast as the amount's: +0.7 ± 0.5.
func AromaShift() Shift {
	return Shift{aromaShift, aromaSpread, "computed: a first-order fit to amount^0.5 over three time constants gives 2.1 times the rate"}
}
