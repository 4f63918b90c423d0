package acidity

import "fmt"

// titratable is the titratable acidity, in grams of anhydrous citric acid per
// litre, of a solution of acids and strong ions: the base needed to bring it,
// without alcohol, to endPointPH. It may be negative for a solution that is
// past the end point already.
func titratable(acids []Amount, strongIonsMolPerL float64) (float64, error) {
	if err := check(acids, 0); err != nil {
		return 0, err
	}
	end, _ := balance(acids, endPointPH, 0, 0)
	return (end - strongIonsMolPerL) * Citric.MolarMass / float64(len(Citric.PKa)), nil
}

// juice finds what a juice of the given pH and titratable acidity must hold if
// all its acid were acid: the total acid and the strong ions, both in mol/L.
// taGPerL is in grams per litre of that same acid. The result gives back both
// numbers, and mixes. It returns an error wrapping errInput where the two
// contradict each other (more hydrogen ions than the acidity allows).
func juice(pH, taGPerL float64, acid Acid) (acidMolPerL, strongIonsMolPerL float64, err error) {
	if !(pH > 1 && pH < endPointPH) {
		return 0, 0, fmt.Errorf("%w: a juice of pH %g; it must be between 1 and %g", errInput, pH, endPointPH)
	}
	if !(taGPerL > 0 && taGPerL < 500) {
		return 0, 0, fmt.Errorf("%w: a titratable acidity of %g g/L; it must be between 0 and 500", errInput, taGPerL)
	}
	if len(acid.PKa) == 0 || acid.MolarMass <= 0 {
		return 0, 0, fmt.Errorf("%w: an acid without constants", errInput)
	}
	want := taGPerL / acid.MolarMass * float64(len(acid.PKa))
	base := func(c float64) float64 {
		a := []Amount{{acid, c}}
		end, i := balance(a, endPointPH, 0, 0)
		now, _ := balance(a, pH, 0, i)
		return end - now
	}
	lo, hi := 0.0, 1.0
	for base(hi) < want && hi < 1e3 {
		hi *= 2
	}
	if base(lo) > want || base(hi) < want {
		return 0, 0, fmt.Errorf("%w: pH %g does not go with %g g/L of %s acid", errInput, pH, taGPerL, acid.Name)
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

// endPointPH is the pH at which the titration of a fruit juice is taken to end,
// the usual one in juice laboratories (from memory; a tenth more or less moves
// a juice's acidity by less than a hundredth).
const endPointPH = 8.1

// Acids that are in the published checks and in no drink here.
var (
	// phosphoric: Fromm, Ionization constants of aqueous polyprotic acids (1997).
	phosphoric = Acid{"phosphoric", 97.995, []float64{2.148, 7.206, 12.342}}
	// succinic: Fromm (1997).
	succinic = Acid{"succinic", 118.088, []float64{4.207, 5.636}}
)
