package acidity

import "fmt"

// titratable is the titratable acidity, in grams of anhydrous citric acid per
// litre, of a solution of acids and strong ions: the base needed to bring it,
// without alcohol, to EndPointPH. It may be negative for a solution that is
// past the end point already.
func titratable(acids []Amount, strongIonsMolPerL float64) (float64, error) {
	if err := check(acids, 0); err != nil {
		return 0, err
	}
	end, _ := balance(acids, EndPointPH, 0, 0)
	return (end - strongIonsMolPerL) * Citric.MolarMass / float64(len(Citric.PKa)), nil
}

// juice finds what a juice of the given pH and titratable acidity must hold if
// all its acid were acid: the total acid and the strong ions, both in mol/L.
// taGPerL is in grams per litre of that same acid. The result gives back both
// numbers, and mixes. It returns an error wrapping ErrInput where the two
// contradict each other (more hydrogen ions than the acidity allows).
func juice(pH, taGPerL float64, acid Acid) (acidMolPerL, strongIonsMolPerL float64, err error) {
	if !(pH > 1 && pH < EndPointPH) {
		return 0, 0, fmt.Errorf("%w: a juice of pH %g; it must be between 1 and %g", ErrInput, pH, EndPointPH)
	}
	if !(taGPerL > 0 && taGPerL < 500) {
		return 0, 0, fmt.Errorf("%w: a titratable acidity of %g g/L; it must be between 0 and 500", ErrInput, taGPerL)
	}
	if len(acid.PKa) == 0 || acid.MolarMass <= 0 {
		return 0, 0, fmt.Errorf("%w: an acid without constants", ErrInput)
	}
	want := taGPerL / acid.MolarMass * float64(len(acid.PKa))
	base := func(c float64) float64 {
		a := []Amount{{acid, c}}
		end, i := balance(a, EndPointPH, 0, 0)
		now, _ := balance(a, pH, 0, i)
		return end - now
	}
	lo, hi := 0.0, 1.0
	for base(hi) < want && hi < 1e3 {
		hi *= 2
	}
	if base(lo) > want || base(hi) < want {
		return 0, 0, fmt.Errorf("%w: pH %g does not go with %g g/L of %s acid", ErrInput, pH, taGPerL, acid.Name)
	}
	for range 60 {
		mid := (lo + hi) / 2
		if base(mid) < want {
			lo = mid
		} else {
			hi = mid
		}
	}
	c := (lo + hi) / 2
	z, _ := balance([]Amount{{acid, c}}, pH, 0, 0)
	return c, z, nil
}
