package kinetics

import (
	"errors"
	"math"
)

// Comparison is a forced-choice test by mouth.
type Comparison string

// The tests. Triangle and DuoTrio ask for the odd one and the match; Paired asks
// which is stronger, with the answer expected (Paired) or not (PairedEither).
const (
	Triangle     Comparison = "triangle"            // ISO 4120, chance 1/3
	DuoTrio      Comparison = "duo-trio"            // ISO 10399, chance 1/2
	Paired       Comparison = "paired, one-sided"   // ISO 5495, chance 1/2
	PairedEither Comparison = "paired, either side" // ISO 5495, chance 1/2
)

// ErrComparison is returned for numbers that no test can have.
var ErrComparison = errors.New("a comparison needs 1 to 1000 trials, correct answers from none to all of them, and a level between 0 and 0.5")

func (c Comparison) chance() float64 {
	if c == Triangle {
		return 1.0 / 3
	}
	return 0.5
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

// PValue is the probability of so many correct answers or more by guessing, for
// PairedEither of a split at least so uneven either way.
func (c Comparison) PValue(n, correct int) (float64, error) {
	if n < 1 || n > 1000 || correct < 0 || correct > n {
		return 0, ErrComparison
	}
	if c == PairedEither {
		return math.Min(1, 2*binomialTail(n, max(correct, n-correct), 0.5)), nil
	}
	return binomialTail(n, correct, c.chance()), nil
}

// Critical is the smallest number of correct answers (for PairedEither: of the
// larger side) that is significant at the level alpha. ok is false when not even
// all n correct are.
func (c Comparison) Critical(n int, alpha float64) (correct int, ok bool, err error) {
	if n < 1 || n > 1000 || !(alpha > 0 && alpha <= 0.5) {
		return 0, false, ErrComparison
	}
	p, sides := c.chance(), 1.0
	if c == PairedEither {
		sides = 2
	}
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
	return x, x <= n, nil
}

// Power is the probability that n trials are significant at alpha when a share
// of sips (0 to 1) truly reveals the difference and the rest are guesses.
func (c Comparison) Power(n int, alpha, share float64) (float64, error) {
	if !(share >= 0 && share <= 1) {
		return 0, ErrComparison
	}
	x, ok, err := c.Critical(n, alpha)
	if err != nil || !ok {
		return 0, err
	}
	p := share + (1-share)*c.chance()
	if p >= 1 {
		return 1, nil
	}
	power := binomialTail(n, x, p)
	if c == PairedEither {
		power += binomialTail(n, x, 1-p)
	}
	return math.Min(1, power), nil
}

// Trials is the smallest number of trials, from 5, with that power, 0 when 500 do not
// reach it. The power of an exact test goes up and down with n; the number is
// the first from which it holds up to ten trials more.
func (c Comparison) Trials(alpha, share, power float64) (int, error) {
	if !(power > 0 && power < 1) {
		return 0, ErrComparison
	}
	run := 0
	for n := 5; n <= 510; n++ {
		p, err := c.Power(n, alpha, share)
		if err != nil {
			return 0, err
		}
		if p < power {
			run = 0
			continue
		}
		if run++; run > 10 {
			return n - 10, nil
		}
	}
	return 0, nil
}
