package panel

import (
	"errors"
	"math"
)

// Forced is a forced-choice test: what so many trials can show, and what a
// count is worth.
type Forced struct {
	Design Design
	Trials int
	// Count is the number of right answers of a triangle, or of answers for one
	// of the two drinks of a pair.
	Count int
	// Needed is the least count that shows a difference at the 5 % level (for a
	// pair: of the drink named more often), 0 where even all would not.
	Needed int
	// Luck is the chance of such a count or a more telling one when the two
	// drinks are alike.
	Luck float64
	// Shown80 is the share of sips (0-1) with a noticed difference that so many
	// trials find four times in five, 0 where none is found so often.
	Shown80 float64
	// Enough is the number of trials that find one noticed in half of the sips so
	// often.
	Enough int
}

// The level and the power of a blind tasting, as sensory standards use them.
const (
	blindLevel = 0.05
	blindPower = 0.8
)

var errNumbers = errors.New("a comparison needs 1 to 1000 trials, and right answers from none to all of them")

// ForcedTest judges a count by the exact binomial. A pair is asked without an
// expectation of which is stronger, so either side counts. It is an error when
// the numbers cannot be.
func ForcedTest(d Design, trials, count int) (Forced, error) {
	f := Forced{Design: d, Trials: trials, Count: count}
	if trials < 1 || trials > 1000 || count < 0 || count > trials {
		return f, errNumbers
	}
	f.Luck = d.luck(trials, f.Agreeing())
	f.Enough = d.enough(blindLevel, 0.5, blindPower)
	if needed := d.critical(trials, blindLevel); needed <= trials {
		f.Needed = needed
		f.Shown80 = d.shareFound(trials)
	}
	return f, nil
}

// Agreeing is the count of the answer given more often, for a pair; the right
// answers of a triangle.
func (f Forced) Agreeing() int {
	if f.Design == Pair {
		return max(f.Count, f.Trials-f.Count)
	}
	return f.Count
}

// Differs reports whether the count shows a difference at the 5 % level.
func (f Forced) Differs() bool { return f.Needed > 0 && f.Agreeing() >= f.Needed }

// guess is the chance of a right answer by guessing, and sides how many answers
// count.
func (d Design) guess() (chance, sides float64) {
	if d == Pair {
		return 0.5, 2
	}
	return 1.0 / 3, 1
}

// binomialTail is P(X ≥ x) for n trials at probability p, exact to rounding.
func binomialTail(n, x int, p float64) float64 {
	if x <= 0 {
		return 1
	}
	s := 0.0
	lp, lq := math.Log(p), math.Log1p(-p)
	for i := n; i >= x; i-- { // small terms first
		s += math.Exp(logChoose(n, i) + float64(i)*lp + float64(n-i)*lq)
	}
	return math.Min(1, s)
}

func logChoose(n, k int) float64 {
	a, _ := math.Lgamma(float64(n) + 1)
	b, _ := math.Lgamma(float64(k) + 1)
	c, _ := math.Lgamma(float64(n-k) + 1)
	return a - b - c
}

// luck is the probability of so many agreeing answers or more by guessing.
func (d Design) luck(n, agreeing int) float64 {
	chance, sides := d.guess()
	return math.Min(1, sides*binomialTail(n, agreeing, chance))
}

// critical is the smallest number of agreeing answers that is significant at the
// level alpha, n+1 when not even all n are.
func (d Design) critical(n int, alpha float64) int {
	p, sides := d.guess()
	lp, lq := math.Log(p), math.Log1p(-p)
	tail, x := 0.0, n+1
	for x > (n+1)/2*int(sides-1) {
		next := tail + math.Exp(logChoose(n, x-1)+float64(x-1)*lp+float64(n-x+1)*lq)
		if sides*next > alpha*(1+1e-12) {
			break
		}
		tail = next
		x--
	}
	return x
}

// power is the probability that n trials are significant at alpha when a share
// of sips (0 to 1) truly reveals the difference and the rest are guesses.
func (d Design) power(n int, alpha, share float64) float64 {
	x := d.critical(n, alpha)
	if x > n {
		return 0
	}
	chance, sides := d.guess()
	p := share + (1-share)*chance
	if p >= 1 {
		return 1
	}
	power := binomialTail(n, x, p)
	if sides == 2 {
		power += binomialTail(n, x, 1-p)
	}
	return math.Min(1, power)
}

// enough is the smallest number of trials, from 5, with that power, 0 when 500 do not
// reach it. The power of an exact test goes up and down with n; the number is
// the first from which it holds up to ten trials more.
func (d Design) enough(alpha, share, power float64) int {
	run := 0
	for n := 5; n <= 510; n++ {
		if d.power(n, alpha, share) < power {
			run = 0
			continue
		}
		if run++; run > 10 {
			return n - 10
		}
	}
	return 0
}

// shareFound is the share of sips that reach the power wanted, 0 where not even
// all do. The power rises with the share, so halving finds it.
func (d Design) shareFound(trials int) float64 {
	low, high := 0.0, 1.0
	if d.power(trials, blindLevel, high) < blindPower {
		return 0
	}
	for high-low > 1e-4 {
		if mid := (low + high) / 2; d.power(trials, blindLevel, mid) < blindPower {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}
