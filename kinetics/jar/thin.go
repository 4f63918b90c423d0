package jar

import (
	"slices"

	"steepbook/kinetics"
)

// thinPrice is what thinning costs beside the spirit, in points²: all else that is wanted
// gets weaker with it, and it cannot be taken back. A whole point off: judgement.
const thinPrice = 1.0

// Remedy is what is best done about a taste that may be too strong.
type Remedy int

// The remedies.
const (
	LeaveIt Remedy = iota // thinning costs more than it brings
	Ask                   // another score first: what is thinned cannot be taken back
	Thin                  // plain spirit now
)

// Cure weighs the remedies for a taste that has steeped own hours by its clock: level is
// the neat strength wanted, or the limit of an unwanted taste, by the strength in the
// bottle of a neat strength of 1. The loss is that of the orders, at the best share of the
// strength that thinning leaves; asking is worth the mean of what is best after each score
// that may be found, at the price of a sitting; thinning has a price of its own.
func Cure(post *kinetics.Posterior, own, level, by float64, limit bool) Remedy {
	d := post.Draws()
	n := d.N()
	strength := make([]float64, n)
	d.At(own, strength)
	const steps = 40 // of a twentieth in the logarithm: to an eighth of the strength
	// add adds what is lost of a jar so strong when it is left, and thinned step by step.
	add := func(to *[steps]float64, s, weight float64) {
		left := 1.0
		for j := range to {
			off := by * (min(left*s, worst/by) - level)
			if j == 0 && limit {
				off = max(off, 0)
			}
			to[j] += weight * off * off
			left *= 0.95
		}
	}
	least := func(v *[steps]float64, weight float64) (thinned, any float64) {
		thinned = slices.Min(v[1:]) + thinPrice*weight
		return thinned, min(thinned, v[0])
	}
	var now [steps]float64
	for _, s := range strength {
		add(&now, s, 1/float64(n))
	}
	thinned, any := least(&now, 1)
	if any == now[0] {
		return LeaveIt
	}
	chance := make([]float64, n*scores)
	d.Readings(strength, by, chance)
	var after [scores][steps]float64
	var likely [scores]float64
	for i, s := range strength {
		for r, c := range chance[i*scores:][:scores] {
			c /= float64(n)
			likely[r] += c
			add(&after[r], s, c)
		}
	}
	asked := SittingCost
	for r := range after {
		_, any := least(&after[r], likely[r])
		asked += any
	}
	if asked < thinned {
		return Ask
	}
	return Thin
}
