// Package acidity computes the pH of mixtures of weak acids by charge balance,
// and the acids and strong ions of a juice from its pH and titratable acidity.
//
// The balance, per litre of solvent, is
//
//	Z + [H+] - [OH-] = Σ C_a n_a(pH)
//
// with C_a the total concentration of an acid, n_a the mean negative charge of
// one of its molecules and Z the strong cations less strong anions. Z is what
// makes a juice less sour than a solution of its acid, and unlike pH it may
// be added when juices are mixed: mix C and Z, then solve for pH. Activity
// coefficients follow Davies and are fair to an ionic strength of 0.1 mol/L,
// poor past 0.3.
package acidity

import (
	"errors"
	"fmt"
	"math"
)

// Acid is a weak acid with its thermodynamic dissociation constants at 25 °C
// and zero ionic strength, strongest first.
type Acid struct {
	Name      string
	MolarMass float64   // g/mol
	PKa       []float64 // one per proton
}

// The acids of fruit, wine and vinegar.
var (
	// Citric, anhydrous. Bates and Pinching (1949) as recalculated in J.
	// Solution Chem. (doi 10.1007/BF02439444); ± 0.002.
	Citric = Acid{"citric", 192.124, []float64{3.128, 4.761, 6.396}}
	// Malic: organic acid table of an open aqueous-chemistry reference; ± 0.05.
	Malic = Acid{"malic", 134.087, []float64{3.40, 5.20}}
	// Tartaric, L form: ECHA registration dossier, key values; ± 0.05.
	Tartaric = Acid{"tartaric", 150.087, []float64{2.98, 4.34}}
	// Acetic: after Martell and Smith, Critical Stability Constants (1976).
	Acetic = Acid{"acetic", 60.052, []float64{4.757}}
	// Lactic: organic acid table of an open aqueous-chemistry reference; ± 0.02.
	Lactic = Acid{"lactic", 90.078, []float64{3.86}}
	// Sorbic and Benzoic, the preservatives, which are bought as salts. The constants
	// are from memory; a tenth either way moves the pH of a sour drink by under 0.01.
	Sorbic  = Acid{"sorbic", 112.126, []float64{4.76}}
	Benzoic = Acid{"benzoic", 122.122, []float64{4.19}}
	// Plant stands for what a plant of unknown make-up blunts acid with: it comes
	// in as the salt of this acid, as many moles of it as of strong ions. Its
	// constant is judged: above the mean of the two steps of malic acid (4.3) and
	// at the upper end of the side chains of proteins. It is never weighed.
	Plant = Acid{"plant", 0, []float64{4.5}}
)

// PlantMMolPerG is the most buffer, mmol of charge per g, that a plant or a food
// of unknown make-up can give a liquid, from its ash and protein in g per 100 g:
//
//	b = 18 ash + 1.0 protein   [meq per 100 g]
//
// 18 is the charge of potassium, sodium, calcium and magnesium in a gram of ash:
// 17.6 in almonds (minerals of Proudfit, Dietetics for Nurses; ash of USDA SR26).
// 1.0 is that of the basic groups in a gram of protein: 1.02 in almonds, worked
// out from amino acids known from memory; that it follows protein was seen in
// almond, peanut, legumes and milk. Nothing is taken off for chloride and
// phosphate. The alkalinity of ash alone is no upper bound: it leaves protein out.
func PlantMMolPerG(ashGPer100G, proteinGPer100G float64) float64 {
	return (18*max(ashGPer100G, 0) + max(proteinGPer100G, 0)) / 100
}

// Neutral is the pH of pure water at 25 °C, rounded: what a drink with nothing
// sour in it is judged on.
const Neutral = 7.0

// Amount is an acid at a total concentration, free and bound, in mol per litre
// of solvent.
type Amount struct {
	Acid    Acid
	MolPerL float64
}

// pKaPerABV is the rise of every dissociation step per % vol of ethanol. It is
// the mean of lactic and succinic acid at 12 % vol (0.17 in all) in Prenesti,
// Berto, Toso and Daniele, The Scientific World Journal 2012:249041, Table 4;
// beyond about 15 % vol it is carried on unproved, and held from 60 % vol.
const pKaPerABV = 0.014

// errInput is wrapped by errors about values no solution can have.
var errInput = errors.New("acidity: impossible input")

// The constants of the Davies form and the ion product of water are textbook
// values from memory; the pH standard in the tests confirms the former.
const (
	daviesA = 0.509  // 25 °C
	pKw     = 13.995 // water at 25 °C
	// maxIonicStrength keeps the Davies form from turning upwards where it no
	// longer means anything.
	maxIonicStrength = 0.5
	lowestPH         = 0.0
	highestPH        = 14.0
)

var kw = math.Pow(10, -pKw)

// davies is log10 of the activity coefficient of an ion of charge z at ionic
// strength i in mol/L: -0.509 z² (√I/(1+√I) - 0.3 I).
func davies(z float64, i float64) float64 {
	s := math.Sqrt(i)
	return -daviesA * z * z * (s/(1+s) - 0.3*i)
}

// state is what a given pH and ionic strength make of a solution.
type state struct {
	charge   float64 // Σ C n: negative charge on the acids, mol/L
	hydrogen float64 // [H+], mol/L
	hydroxyl float64 // [OH-], mol/L
	ionic    float64 // contribution of acids, H+ and OH- to the ionic strength
	slope    float64 // of charge - hydrogen + hydroxyl by the pH at this ionic strength
}

// water is what a solution is worked out in: acids whose constants are raised by
// a shift.
type water struct {
	acids []Amount
	k     [][most]float64 // of each acid, 10^-(pKa + shift)
}

// most is how many protons an acid has here at most.
const most = 3

func newWater(acids []Amount, shift float64) water {
	w := water{acids, make([][most]float64, len(acids))}
	for i, a := range acids {
		for j := range a.Acid.PKa[:min(len(a.Acid.PKa), most)] {
			w.k[i][j] = math.Exp(-math.Ln10 * (a.Acid.PKa[j] + shift))
		}
	}
	return w
}

func (w *water) speciate(pH, ionic float64) state {
	// The activity coefficient of a charge z is that of one to the power z².
	h, g := math.Exp(-math.Ln10*pH), math.Exp(math.Ln10*davies(1, ionic))
	s := state{hydrogen: h / g, hydroxyl: kw / h / g}
	s.ionic = (s.hydrogen + s.hydroxyl) / 2
	s.slope = math.Ln10 * (s.hydrogen + s.hydroxyl)
	for i, a := range w.acids {
		// form is the share of the form that has lost j protons, relative to the one
		// that has lost none: between pH 0 and 14 no number is too large for it.
		form, total, charge, squares := 1.0, 1.0, 0.0, 0.0
		by := 1 / (h * g)
		for j, k := range w.k[i][:min(len(a.Acid.PKa), most)] {
			form *= k * by
			by /= g * g
			z := float64(j + 1)
			total += form
			charge += z * form
			squares += z * z * form
		}
		s.charge += a.MolPerL * charge / total
		s.ionic += a.MolPerL * squares / total / 2
		s.slope += math.Ln10 * a.MolPerL * (squares/total - charge*charge/(total*total))
	}
	return s
}

func check(acids []Amount, abv float64) error {
	for _, a := range acids {
		if !(a.MolPerL >= 0) || math.IsInf(a.MolPerL, 0) {
			return fmt.Errorf("%w: %g mol/L of %s acid", errInput, a.MolPerL, a.Acid.Name)
		}
	}
	if !(abv >= 0 && abv <= 100) {
		return fmt.Errorf("%w: a strength of %g %% vol", errInput, abv)
	}
	return nil
}

// shift is the rise of every pKa at ethanolABV % vol: pKaPerABV times it, held
// from 60 % vol.
func shift(ethanolABV float64) float64 {
	return pKaPerABV * min(max(ethanolABV, 0), 60)
}

// PH is the pH at 25 °C of a solution of acids with strongIons mol/L of strong
// cations less strong anions (negative: a strong acid is in it), all per litre
// of solvent, in which ethanol is ethanolABV % vol. It returns an error
// wrapping errInput for negative or non-finite concentrations.
//
// Accuracy: 0.01 against the 0.05 mol/kg potassium dihydrogen citrate standard;
// in drinks expect 0.1 without alcohol, 0.25 at 40 % vol (Error).
func PH(acids []Amount, strongIons, ethanolABV float64) (float64, error) {
	if err := check(acids, ethanolABV); err != nil {
		return 0, err
	}
	if math.IsNaN(strongIons) || math.IsInf(strongIons, 0) {
		return 0, fmt.Errorf("%w: %g mol/L of strong ions", errInput, strongIons)
	}
	w := newWater(acids, shift(ethanolABV))
	// Newton's steps in the pH, the ionic strength following them. The strong ions
	// a pH calls for rise with it everywhere, and where a step could overshoot they
	// bend over a whole unit, so steps of half a unit at most close in.
	pH, ionic := startPH, 0.0
	for range 100 {
		s := w.speciate(pH, ionic)
		z := s.charge - s.hydrogen + s.hydroxyl
		next := min(s.ionic+math.Abs(strongIons)/2, maxIonicStrength)
		to := pH + min(max((strongIons-z)/s.slope, -mostStep), mostStep)
		to = min(max(to, lowestPH), highestPH)
		done := math.Abs(to-pH) < nearPH && math.Abs(next-ionic) < nearPH
		pH, ionic = to, next
		if done {
			break
		}
	}
	return pH, nil
}

const (
	startPH  = 4.0 // where most drinks are near
	mostStep = 0.5
	nearPH   = 1e-9 // and of the ionic strength in mol/L; a pH is told to a hundredth
)

// StrongIons is the strong cations less strong anions, in mol/L, that give a
// solution of acids in ethanolABV % vol the pH: the inverse of PH.
func StrongIons(acids []Amount, pH, ethanolABV float64) (float64, error) {
	if err := check(acids, ethanolABV); err != nil {
		return 0, err
	}
	if !(pH >= lowestPH && pH <= highestPH) {
		return 0, fmt.Errorf("%w: a pH of %g", errInput, pH)
	}
	z, _ := balance(acids, pH, shift(ethanolABV), 0)
	return z, nil
}

// balance returns the strong ions that give the pH and the ionic strength
// that goes with them, which it seeks from the start given.
func balance(acids []Amount, pH, shift, start float64) (z, ionic float64) {
	w := newWater(acids, shift)
	ionic = start
	for range 100 {
		s := w.speciate(pH, ionic)
		z = s.charge - s.hydrogen + s.hydroxyl
		next := min(s.ionic+math.Abs(z)/2, maxIonicStrength)
		done := math.Abs(next-ionic) < 1e-12
		ionic = next
		if done {
			break
		}
	}
	return z, ionic
}

// Error is the half width of the 90 % interval of a computed pH at ethanolABV
// % vol when the composition is exact: 0.1 in water, 0.15 at 15 % vol, 0.25
// from 25 to 40 % vol, 0.4 from 60. Our judgement from the comparisons in the
// tests and from the carrying-on of the ethanol rule.
func Error(ethanolABV float64) float64 {
	v := min(max(ethanolABV, 0), 60)
	switch {
	case v <= 15:
		return 0.1 + 0.05*v/15
	case v <= 25:
		return 0.15 + 0.1*(v-15)/10
	case v <= 40:
		return 0.25
	default:
		return 0.25 + 0.15*(v-40)/20
	}
}
