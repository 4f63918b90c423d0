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
	mean, variance := 0.0, 0.0
	for _, s := range shifts {
		mean += s.LogMean
		variance += s.LogSD * s.LogSD
	}
	move := func(n *Normal) { *n = Normal{n.Mean + mean, math.Sqrt(n.SD*n.SD + variance)} }
	move(&p.LogRate)
	for h := range p.forms {
		move(&p.forms[h].rate)
	}
	return p
}

const (
	gasConstant       = 8.314462618e-3 // kJ/(mol K), CODATA 2018
	zeroKelvin        = 273.15
	activationEnergy  = 25.0 // kJ/mol
	activationSpread  = 1.7  // geometric
	cutExponent       = -1.2
	cutExponentSD     = 0.5
	strengthPer       = 0.0102 // per % vol
	baseStrength      = 40.0
	leastStrengthSD   = 0.1  // of the step from 40 % vol, where tables do not say their strength
	widestTemperature = 40.0 // K beyond which the spread is doubled
)

// TemperatureShift is TemperatureBetween from 20 °C: ×0.55 at 4 °C, ×1.93 at
// 40 °C.
func TemperatureShift(celsius float64) (Shift, error) { return TemperatureBetween(20, celsius) }

// TemperatureBetween moves a rate from one steeping temperature to another by
// k ∝ exp(−Ea/(R·T)) with Ea = 25 kJ/mol, itself known to a factor of 1.7: the
// median and the middle two thirds (14 to 40) of fourteen published liquid
// extractions. The slope is in doubt, so the doubt is that of the difference:
// none for no step. More than 40 K apart the spread is doubled. An error is
// returned outside −20 to 100 °C.
func TemperatureBetween(fromC, toC float64) (Shift, error) {
	for _, c := range []float64{fromC, toC} {
		if !(c >= -20 && c <= 100) {
			return Shift{}, fmt.Errorf("a steeping temperature of %g °C is outside -20 to 100 °C", c)
		}
	}
	m := -activationEnergy / gasConstant * (1/(toC+zeroKelvin) - 1/(fromC+zeroKelvin))
	sd := math.Abs(m) * math.Log(activationSpread)
	if math.Abs(toC-fromC) > widestTemperature {
		sd *= 2
	}
	return Shift{m, sd, "activation energy 25 kJ/mol, geometric spread 1.7: " +
		"median of fourteen published liquid extractions"}, nil
}

// StrengthShift moves a rate from 40 % vol to another strength of the spirit:
// common practice gives lemon peel 7 days at 40 % and 4 at 95 %, a factor of
// 1.75. One pair of habits is weak, so the spread is as large as the shift and
// at least 0.1. The plateau depends on strength too, each flavour in its own
// way: that is not covered.
func StrengthShift(abvPercent float64) (Shift, error) {
	s, err := StrengthBetween(baseStrength, abvPercent)
	if s.LogMean == 0 {
		return Shift{Source: "no shift at 40 % vol"}, err
	}
	s.LogSD = max(leastStrengthSD, s.LogSD)
	return s, err
}

// StrengthBetween moves a rate from one strength of the spirit to another by
// StrengthShift's slope, which is as uncertain as it is large: the doubt is that
// of the difference, none for no step.
func StrengthBetween(from, to float64) (Shift, error) {
	for _, v := range []float64{from, to} {
		if !(v >= 0 && v <= 100) {
			return Shift{}, fmt.Errorf("a strength of %g %% vol is outside 0 to 100", v)
		}
	}
	m := strengthPer * (to - from)
	const source = "common practice, no source: lemon peel in 7 days at 40 % vol, in 4 at 95 %"
	return Shift{m, math.Abs(m), source}, nil
}

// What two cuts of one botanical have in common in a table of rates: the plant,
// its flavour, the makers asked. Judgement: with the usual spread of a factor of
// two each, 0.7 leaves 0.54 of doubt in the log of their ratio, between whole,
// cracked and ground 0.45 to 0.7 is usual, and no two cuts are known to be nearer
// than the lower end of that.
const (
	cutsShare   = 0.7 // correlation of the doubts of the two log rates
	leastCutsSD = 0.45
)

// CutBetween moves a rate from one cut of a botanical to another by the ratio of
// their tabled rates; from and to are the logs of those, with their spreads.
func CutBetween(from, to Normal) Shift {
	v := from.SD*from.SD + to.SD*to.SD - 2*cutsShare*from.SD*to.SD
	sd := max(leastCutsSD, math.Sqrt(max(v, 0)))
	return Shift{to.Mean - from.Mean, sd, "ratio of the rates of two cuts, doubt: judgement"}
}

// Shared widens shifts of several batches that rest on one doubt, the same slope
// or the same ratio, so that taking them as independent afterwards does not
// average that doubt away: each spread is multiplied by √n, with the effective
// number n = (Σ SD)²/Σ SD² of batches it reaches. For n batches of equal weight
// that is exact: a mean of n spreads of s·√n has the spread s.
func Shared(shifts []Shift) []Shift {
	sum, squares := 0.0, 0.0
	for _, s := range shifts {
		sum += s.LogSD
		squares += s.LogSD * s.LogSD
	}
	out := append([]Shift(nil), shifts...)
	if squares == 0 {
		return out
	}
	for i := range out {
		out[i].LogSD *= sum / math.Sqrt(squares)
	}
	return out
}
