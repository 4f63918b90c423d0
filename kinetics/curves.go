package kinetics

import (
	"math"

	"steepbook/kinetics/internal/leastsq"
)

// Curve names the form of a steep.
type Curve string

// The curves. C, A: in the unit of the readings; k: 1/h; t: h.
const (
	// FirstOrder: C(1 − exp(−k t)).
	FirstOrder Curve = "first order"
	// EarlyJump: C(1 − (1−f) exp(−k t)), a share f washed off at once.
	EarlyJump Curve = "early jump"
	// TwoPhase: A1(1 − exp(−k1 t)) + A2(1 − exp(−k2 t)), k1 > k2: fines and
	// pieces, or surface and heart.
	TwoPhase Curve = "two phases"
	// RiseLoss: A(exp(−k_loss t) − exp(−k t)), extraction then loss; the peak is
	// at ln(k/k_loss)/(k − k_loss).
	RiseLoss Curve = "rise and loss"
	// Delayed: C(1 − exp(−k (t − t0))) after a wetting delay t0, zero before.
	Delayed Curve = "delayed"
)

// Param is a fitted parameter.
type Param struct {
	Name  string // C, A1, A2, A, f, ln k, ln k1, ln k2, ln k_loss, t0
	Value float64
	SE    float64 // standard error, +Inf without degrees of freedom
}

// CurveFit is a least-squares fit of one curve, without a prior.
type CurveFit struct {
	Curve  Curve
	Params []Param
	RSS    float64
	N, DF  int
	theta  []float64
}

// Param returns a parameter by name; ok is false when the curve has none of that
// name.
func (f CurveFit) Param(name string) (p Param, ok bool) {
	for _, p := range f.Params {
		if p.Name == name {
			return p, true
		}
	}
	return Param{}, false
}

// ResidualSD is the square root of RSS/DF, +Inf without degrees of freedom.
func (f CurveFit) ResidualSD() float64 {
	if f.DF < 1 {
		return math.Inf(1)
	}
	return math.Sqrt(f.RSS / float64(f.DF))
}

// AICc is the small-sample information criterion n ln(RSS/n) + 2q + 2q(q+1)/(n−q−1)
// with q counting the noise; +Inf when n is too small for it. Lower is better.
func (f CurveFit) AICc() float64 {
	n, q := float64(f.N), float64(len(f.theta)+1)
	if n-q-1 <= 0 {
		return math.Inf(1)
	}
	return n*math.Log(f.RSS/n) + 2*q + 2*q*(q+1)/(n-q-1)
}

// At is the fitted reading after t hours.
func (f CurveFit) At(t float64) float64 {
	y, _ := f.Curve.eval(f.theta, t, nil)
	return y
}

// Peak is the time and height of the highest point of a rise and loss; for other
// curves +Inf and the plateau.
func (f CurveFit) Peak() (hours, reading float64) {
	if f.Curve != RiseLoss {
		return math.Inf(1), f.At(math.Inf(1))
	}
	k, l := math.Exp(f.theta[1]), math.Exp(f.theta[2])
	hours = math.Log(k/l) / (k - l)
	return hours, f.At(hours)
}

// size and linear part of the parameter vectors:
//
//	FirstOrder C, ln k; EarlyJump C, D = C(1−f), ln k; TwoPhase A1, A2, ln k1, ln k2;
//	RiseLoss A, ln k, ln k_loss; Delayed C, ln k, ln t0.
func (c Curve) layout() (size, linear int) {
	switch c {
	case FirstOrder:
		return 2, 1
	case EarlyJump:
		return 3, 2
	case TwoPhase:
		return 4, 2
	case RiseLoss, Delayed:
		return 3, 1
	}
	return 0, 0
}

// eval returns the reading and fills its derivatives by the parameters.
func (c Curve) eval(p []float64, t float64, d []float64) (float64, bool) {
	switch c {
	case FirstOrder:
		z := math.Exp(p[1]) * t
		f := -math.Expm1(-z)
		if d != nil {
			d[0], d[1] = f, p[0]*tailed(z)
		}
		return p[0] * f, true
	case EarlyJump:
		z := math.Exp(p[2]) * t
		e := math.Exp(-z)
		if d != nil {
			d[0], d[1], d[2] = 1, -e, p[1]*tailed(z)
		}
		return p[0] - p[1]*e, true
	case TwoPhase:
		z1, z2 := math.Exp(p[2])*t, math.Exp(p[3])*t
		f1, f2 := -math.Expm1(-z1), -math.Expm1(-z2)
		if d != nil {
			d[0], d[1], d[2], d[3] = f1, f2, p[0]*tailed(z1), p[1]*tailed(z2)
		}
		return p[0]*f1 + p[1]*f2, true
	case RiseLoss:
		z, l := math.Exp(p[1])*t, math.Exp(p[2])*t
		f := math.Exp(-l) - math.Exp(-z)
		if d != nil {
			d[0], d[1], d[2] = f, p[0]*tailed(z), -p[0]*tailed(l)
		}
		return p[0] * f, true
	case Delayed:
		k, t0 := math.Exp(p[1]), math.Exp(p[2])
		if t <= t0 {
			clear(d)
			return 0, true
		}
		z := k * (t - t0)
		f := -math.Expm1(-z)
		if d != nil {
			d[0], d[1], d[2] = f, p[0]*tailed(z), -p[0]*k*t0*math.Exp(-z)
		}
		return p[0] * f, true
	}
	return 0, false
}

// tailed is z·exp(−z), 0 at infinity.
func tailed(z float64) float64 {
	if z > 700 {
		return 0
	}
	return z * math.Exp(-z)
}

// FitCurve fits a curve by least squares: its rates are searched over the whole
// range the times can tell apart, so no start is needed. w: weights proportional
// to one over the variance, nil for equal. The errors are those of
// FitFirstOrder, and ErrUndetermined when the readings do not hold the curve's
// parameters apart.
func FitCurve(c Curve, t, y, w []float64) (CurveFit, error) {
	size, linear := c.layout()
	if size == 0 || len(t) != len(y) || w != nil && len(w) != len(t) {
		return CurveFit{}, ErrReadings
	}
	distinct := map[float64]bool{}
	root := make([]float64, len(t))
	n := 0
	for i := range t {
		root[i] = 1
		if w != nil {
			root[i] = math.Sqrt(w[i])
		}
		if !(t[i] >= 0) || !finite(t[i]) || !finite(y[i]) || !finite(root[i]) {
			return CurveFit{}, ErrReadings
		}
		if root[i] > 0 {
			distinct[t[i]] = true
			n++
		}
	}
	delete(distinct, 0)
	if len(distinct) < size {
		return CurveFit{}, ErrTooFew
	}
	p := leastsq.Problem{N: len(t), M: size, MaxStep: make([]float64, size), Free: make([]bool, size), Lo: make([]float64, size), Hi: make([]float64, size)}
	lo, hi := leastsq.Range(t)
	for j := range size {
		if j < linear {
			p.Free[j] = true
			continue
		}
		p.MaxStep[j], p.Lo[j], p.Hi[j] = 1, lo, hi
	}
	if c == Delayed {
		p.Lo[2], p.Hi[2] = -hi, -lo-math.Ln2-math.Log(1e3) // to half of the last time
		p.Lo[2] += math.Log(50.0 / 4)                      // from a quarter of the first
	}
	d := make([]float64, size)
	p.Residuals = func(theta, r, jac []float64) {
		for i := range t {
			var der []float64
			if jac != nil {
				der = d
			}
			v, _ := c.eval(theta, t[i], der)
			r[i] = root[i] * (y[i] - v)
			for j := range der {
				jac[i*size+j] = root[i] * d[j]
			}
		}
	}
	sol, err := leastsq.Solve(p, nil)
	if err != nil {
		return CurveFit{}, ErrUndetermined
	}
	f := CurveFit{Curve: c, RSS: sol.RSS, N: n, DF: n - size, theta: sol.Theta}
	se := make([]float64, size)
	for j := range se {
		se[j] = math.Inf(1)
		if f.DF > 0 {
			se[j] = sol.SD(j, f.DF)
		}
	}
	f.name(se, sol)
	return f, nil
}

// name translates the parameter vector.
func (f *CurveFit) name(se []float64, sol leastsq.Solution) {
	p := f.theta
	switch f.Curve {
	case FirstOrder:
		f.Params = []Param{{"C", p[0], se[0]}, {"ln k", p[1], se[1]}}
	case EarlyJump:
		share := 1 - p[1]/p[0]
		// Delta method for f = 1 − D/C.
		g0, g1 := p[1]/(p[0]*p[0]), -1/p[0]
		v := g0*g0*sol.Cov[0] + 2*g0*g1*sol.Cov[1] + g1*g1*sol.Cov[4]
		s := math.Inf(1)
		if f.DF > 0 {
			s = math.Sqrt(v * f.RSS / float64(f.DF))
		}
		f.Params = []Param{{"C", p[0], se[0]}, {"f", share, s}, {"ln k", p[2], se[2]}}
	case TwoPhase:
		if p[2] < p[3] {
			p[0], p[1], p[2], p[3] = p[1], p[0], p[3], p[2]
			se[0], se[1], se[2], se[3] = se[1], se[0], se[3], se[2]
		}
		f.Params = []Param{{"A1", p[0], se[0]}, {"ln k1", p[2], se[2]}, {"A2", p[1], se[1]}, {"ln k2", p[3], se[3]}}
	case RiseLoss:
		if p[1] < p[2] {
			p[0], p[1], p[2] = -p[0], p[2], p[1]
			se[1], se[2] = se[2], se[1]
		}
		f.Params = []Param{{"A", p[0], se[0]}, {"ln k", p[1], se[1]}, {"ln k_loss", p[2], se[2]}}
	case Delayed:
		t0 := math.Exp(p[2])
		f.Params = []Param{{"C", p[0], se[0]}, {"ln k", p[1], se[1]}, {"t0", t0, t0 * se[2]}}
	}
}
