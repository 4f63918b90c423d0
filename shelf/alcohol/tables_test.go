package alcohol

import (
	"errors"
	"fmt"
	"math"
)

// What the published tables are made of, from the densities that the program uses.

// errRange is wrapped by the errors of values outside their range.
var errRange = errors.New("out of range")

// fahrenheitSixty is 60 °F in °C, the temperature US proof refers to.
const fahrenheitSixty = 140.0 / 9

// split returns the grams of ethanol and water in volumeML, measured at tC °C,
// of an ethanol-water mixture of abvPercent % vol. It returns an error wrapping
// errRange for a negative volume or values outside checkRange.
func split(volumeML, abvPercent, tC float64) (ethanolG, waterG float64, err error) {
	if err := checkRange(abvPercent, tC); err != nil {
		return 0, 0, err
	}
	if !(volumeML >= 0) || math.IsInf(volumeML, 1) {
		return 0, 0, fmt.Errorf("%w: a volume of %g mL; it must not be below zero", errRange, volumeML)
	}
	p := MassFraction(abvPercent)
	g := volumeML * Density(p, tC) / 1000
	return g * p, g * (1 - p), nil
}

// volume is the volume in mL at tC °C of ethanolG grams of ethanol and waterG
// grams of water mixed, contraction included. Negative masses count as none.
func volume(ethanolG, waterG, tC float64) float64 {
	e, w := math.Max(ethanolG, 0), math.Max(waterG, 0)
	if e+w == 0 {
		return 0
	}
	return 1000 * (e + w) / Density(e/(e+w), tC)
}

// proof is the US proof of a mixture of abvPercent % vol: twice the per cent
// by volume, both volumes at 60 °F (27 CFR 19.1, "proof gallon"). It lies up to 0.15
// below twice the % vol at 20 °C.
func proof(abvPercent float64) float64 {
	p := MassFraction(abvPercent)
	return 200 * p * Density(p, fahrenheitSixty) / Density(1, fahrenheitSixty)
}

// fromProof is the strength in % vol at 20 °C of a US proof; outside 0 to 200
// the nearer end is taken.
func fromProof(wanted float64) float64 {
	lo, hi := 0.0, 100.0
	for range 60 {
		mid := (lo + hi) / 2
		if proof(mid) < wanted {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// waterToDilute is the water, in mL at tC °C, to add to volumeML at tC °C of a
// mixture of fromABV % vol so that it comes out at toABV % vol. It returns an
// error wrapping errRange when toABV is not above zero and below fromABV.
func waterToDilute(volumeML, fromABV, toABV, tC float64) (float64, error) {
	if !(toABV > 0 && toABV <= fromABV) {
		return 0, fmt.Errorf("%w: water cannot take %g %% vol to %g %% vol", errRange, fromABV, toABV)
	}
	e, w, err := split(volumeML, fromABV, tC)
	if err != nil {
		return 0, err
	}
	p := MassFraction(toABV)
	add := e/p - (e + w)
	return 1000 * add / Density(0, tC), nil
}

// checkRange returns an error wrapping errRange unless abvPercent is within 0
// to 100 and tC within -20 to 40.
func checkRange(abvPercent, tC float64) error {
	if !(abvPercent >= 0 && abvPercent <= 100) {
		return fmt.Errorf("%w: a strength of %g %% vol; it must be between 0 and 100", errRange, abvPercent)
	}
	if !(tC >= -20 && tC <= 40) {
		return fmt.Errorf("%w: a temperature of %g °C; it must be between -20 and 40", errRange, tC)
	}
	return nil
}
