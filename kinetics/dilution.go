package kinetics

import "math"

// Diluted is the score of a liquid after dilution to a fraction (0 to 1) of its
// concentration: score·fraction^exponent, the power law of sensation.
//
// Reference: Stevens, S. S. (1957). On the psychophysical law. Psychological
// Review 64, 153-181. Exponents in print: sugars 1.3 (Moskowitz 1970), pungency
// 0.71, aromas in the gas phase about 0.3 to 0.6.
//
// A fraction outside 0 to 1 is moved to the nearer end.
func Diluted(score, fraction, exponent float64) float64 {
	return score * math.Pow(min(1, max(0, fraction)), exponent)
}

// Undiluted is the score in the jar of what tasted like score in a sample that
// holds a fraction (above 0, at most 1) of jar: score·fraction^−exponent.
// It returns +Inf for a fraction of zero.
func Undiluted(score, fraction, exponent float64) float64 {
	return score * math.Pow(min(1, max(0, fraction)), -exponent)
}
