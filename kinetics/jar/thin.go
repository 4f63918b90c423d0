package jar

import (
	"math"

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
	strength, chance := make([]float64, n), make([]float64, n*scores)
	d.At(own, strength)
	d.Readings(strength, by, chance)
	const steps = 40 // of a twentieth in the logarithm: to an eighth of the strength
	var now [steps]float64
	var after [scores][steps]float64
	var likely [scores]float64
	for i, s := range strength {
		left, odds := 1.0, chance[i*scores:][:scores]
		for r, c := range odds {
			likely[r] += c / float64(n)
		}
		for j := range steps {
			off := by * (math.Min(left*s, worst/by) - level)
			if j == 0 && limit {
				off = math.Max(off, 0)
			}
			off *= off / float64(n)
			now[j] += off
			for r, c := range odds {
				after[r][j] += c * off
			}
			left *= 0.95
		}
	}
	least := func(v [steps]float64, weight float64) (thinned, any float64) {
		thinned = v[1]
		for _, x := range v[1:] {
			thinned = math.Min(thinned, x)
		}
		thinned += thinPrice * weight
		return thinned, math.Min(thinned, v[0])
	}
	thinned, any := least(now, 1)
	if any == now[0] {
		return LeaveIt
	}
	asked := SittingCost
	for r := range after {
		_, any := least(after[r], likely[r])
		asked += any
	}
	if asked < thinned {
		return Ask
	}
	return Thin
}
