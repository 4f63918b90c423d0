// Package golden finds the least of a function of one variable by golden section.
package golden

import "math"

// ratio is (√5 − 1)/2.
const ratio = 0.6180339887498949

// Least is the lowest of f that rounds of golden section between a and b meet, and
// where: each round leaves 62 % of the stretch. The value of a smooth minimum is
// good to the square of what is left.
func Least(a, b float64, rounds int, f func(x float64) float64) (at, least float64) {
	least = math.Inf(1)
	try := func(x float64) float64 {
		v := f(x)
		if v < least {
			at, least = x, v
		}
		return v
	}
	x, y := b-ratio*(b-a), a+ratio*(b-a)
	fx, fy := try(x), try(y)
	for range rounds {
		if fx < fy {
			b, y, fy = y, x, fx
			x = b - ratio*(b-a)
			fx = try(x)
		} else {
			a, x, fx = x, y, fy
			y = a + ratio*(b-a)
			fy = try(y)
		}
	}
	return at, least
}
