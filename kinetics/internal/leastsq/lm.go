package leastsq

import (
	"errors"
	"math"
)

// Errors of Solve.
var (
	// ErrStart: the model is not finite at the start.
	ErrStart = errors.New("leastsq: the model is not finite at the start")
	// ErrFlatDirection: at the end some parameter, or a combination of them,
	// does not change the fit, so the numbers mean nothing.
	ErrFlatDirection = errors.New("leastsq: the readings do not determine all parameters")
	// ErrNotConverged: the steps ran out.
	ErrNotConverged = errors.New("leastsq: no convergence")
)

// Problem is a model for N readings with M parameters.
type Problem struct {
	N, M int
	// Residuals fills r (N long) with √w·(reading − model) and, when jac is not
	// nil, jac (N×M by rows) with √w·∂model/∂θ. Rows for prior knowledge are
	// r = (μ − θ)/τ, ∂ = 1/τ.
	Residuals func(theta, r, jac []float64)
	// MaxStep caps a single step of each parameter, zero: no cap. Use 1 for
	// parameters that are logarithms.
	MaxStep []float64
	// Free marks parameters that enter linearly. Lo and Hi give the range in
	// which the others are searched; both nil: no search. At most three of the
	// others can be searched.
	Free   []bool
	Lo, Hi []float64
}

// Solution is the result of Solve.
type Solution struct {
	Theta []float64
	RSS   float64
	// Cov is the inverse of JᵀJ by rows (M×M): multiply by the residual
	// variance when the weights are relative.
	Cov []float64
	// Offset is the largest cosine between a column of J and the residuals: 0
	// at a perfect solution (Bates and Watts's relative offset without the
	// degrees of freedom).
	Offset float64
	Steps  int
}

// SD returns the standard error of parameter i for the residual variance RSS/df.
func (s Solution) SD(i, df int) float64 {
	m := len(s.Theta)
	return math.Sqrt(s.Cov[i*m+i] * s.RSS / float64(df))
}

const (
	maxSteps   = 4000
	flatLimit  = 1e-9  // a column-scaled R with a smaller diagonal has lost the parameter
	sameSum    = 1e-13 // predicted gain below which the sum can no longer be compared
	goodOffset = 1e-6
	lostLimit  = 1e3 // a standard error so many times the parameter (or one, for a logarithm)
)

// Solve minimises the sum of squared residuals from a start. When that ends
// without an answer, or when start is nil, it searches the range Lo to Hi.
// A nil error means a stationary point at which every parameter is determined
// by the readings. The Solution is returned with ErrFlatDirection and
// ErrNotConverged as well.
func Solve(p Problem, start []float64) (Solution, error) {
	if start == nil {
		return search(p)
	}
	sol, err := descend(newWork(p), start)
	if err != nil && p.Lo != nil {
		if s2, err2 := search(p); err2 == nil {
			return s2, nil
		}
	}
	return sol, err
}

// descend runs the Levenberg-Marquardt method from one start.
func descend(w *work, start []float64) (Solution, error) {
	p := w.p
	theta := append([]float64(nil), start...)
	sol := Solution{Theta: theta}
	w.reset()
	if !w.eval(theta, true) {
		return sol, ErrStart
	}
	mu, nu := 1e-3, 2.0
	cand := make([]float64, p.M)
	polish, eased, last := 0, 0, math.Inf(1)
	for sol.Steps = 0; sol.Steps < maxSteps; sol.Steps++ {
		damp := mu
		if polish > 0 {
			damp = 0
		}
		size, ok := w.step(damp)
		if !ok { // a flat direction met on the way: more damping carries on
			if polish > 0 {
				break
			}
			mu, nu = mu*nu, nu*2
			if math.IsInf(mu, 0) || mu > 1e200 {
				break
			}
			continue
		}
		pred := w.predicted()
		if polish == 0 && pred <= sameSum*w.rss {
			// The sum of squares no longer tells steps apart. At a solution the
			// undamped step promises nothing either; else this is a dead end.
			if w.gain() <= 1e-11*w.rss || w.rss <= w.floor() {
				polish = 1
				continue
			}
			// Not a solution: the damping hides the way. Ease it a few times.
			if eased++; eased > 40 {
				break
			}
			mu, nu = mu/30, 2
			continue
		}
		if polish > 0 {
			// Plain Gauss-Newton steps, as long as they shrink.
			if !(size < 0.98*last) || polish > 300 {
				break
			}
			for j := range theta {
				cand[j] = theta[j] + w.delta[j]
			}
			old := w.rss
			copy(w.keep, theta)
			if !w.eval(cand, true) || w.rss > old*(1+1e-9)+w.floor() {
				w.eval(w.keep, true)
				break
			}
			copy(theta, cand)
			last = size
			polish++
			continue
		}
		for j := range theta {
			cand[j] = theta[j] + w.delta[j]
		}
		old := w.rss
		if rss, ok := w.try(cand); ok && rss < old {
			copy(theta, cand)
			w.eval(theta, true)
			rho := (old - rss) / pred
			mu *= math.Max(1.0/3, 1-math.Pow(2*rho-1, 3))
			nu = 2
			continue
		}
		mu, nu = mu*nu, nu*2
		if mu > 1e60 {
			break
		}
	}
	w.eval(theta, true)
	sol.RSS = w.rss
	sol.Offset = w.offset()
	flat := !w.covariance(&sol)
	switch {
	case flat:
		return sol, ErrFlatDirection
	case sol.Offset > goodOffset && w.gain() > 1e-9*w.rss && w.rss > w.floor():
		return sol, ErrNotConverged
	}
	return sol, nil
}

// work holds the arrays of one solve.
type work struct {
	p           Problem
	r, jac      []float64
	rss         float64
	norm        []float64 // column norms, largest so far (Moré's scaling)
	qr          []float64 // (N+M)×M
	qtb         []float64 // N+M
	delta, keep []float64
	yscale      float64 // largest squared residual sum seen: the size of the readings
	tryR        []float64
}

func newWork(p Problem) *work {
	return &work{p: p, r: make([]float64, p.N), tryR: make([]float64, p.N), jac: make([]float64, p.N*p.M),
		norm: make([]float64, p.M), qr: make([]float64, (p.N+p.M)*p.M), qtb: make([]float64, p.N+p.M),
		delta: make([]float64, p.M), keep: make([]float64, p.M)}
}

// eval fills residuals and Jacobian; it reports whether all are finite.
func (w *work) eval(theta []float64, scale bool) bool {
	w.p.Residuals(theta, w.r, w.jac)
	w.rss = dot(w.r, w.r)
	w.yscale = math.Max(w.yscale, w.rss)
	if !finite(w.rss) {
		return false
	}
	for j := range w.p.M {
		s := 0.0
		for i := range w.p.N {
			v := w.jac[i*w.p.M+j]
			s += v * v
		}
		if !finite(s) {
			return false
		}
		if scale {
			w.norm[j] = math.Max(math.Sqrt(s), 1e-3*w.norm[j])
		}
	}
	return true
}

// reset forgets an earlier descent.
func (w *work) reset() {
	clear(w.norm)
	w.yscale = 0
}

func (w *work) try(theta []float64) (float64, bool) {
	w.p.Residuals(theta, w.tryR, nil)
	rss := dot(w.tryR, w.tryR)
	return rss, finite(rss)
}

// step solves the damped linear problem by Householder QR of [J; √μ D]. It
// returns the scaled length of the step.
func (w *work) step(mu float64) (float64, bool) {
	n, m := w.p.N, w.p.M
	for j := range m {
		if w.norm[j] == 0 {
			return 0, false
		}
	}
	for i := range n {
		for j := range m {
			w.qr[i*m+j] = w.jac[i*m+j] / w.norm[j]
		}
		w.qtb[i] = w.r[i]
	}
	rows := n
	if mu > 0 {
		s := math.Sqrt(mu)
		rows = n + m
		for i := range m {
			for j := range m {
				w.qr[(n+i)*m+j] = 0
			}
			w.qr[(n+i)*m+i] = s
			w.qtb[n+i] = 0
		}
	}
	if !lsq(w.qr[:rows*m], w.qtb[:rows], rows, m, w.delta) {
		return 0, false
	}
	shrink := 1.0
	for j := range m {
		w.delta[j] /= w.norm[j]
		if w.p.MaxStep != nil && w.p.MaxStep[j] > 0 {
			if a := math.Abs(w.delta[j]); a*shrink > w.p.MaxStep[j] {
				shrink = w.p.MaxStep[j] / a
			}
		}
	}
	size := 0.0
	for j := range m {
		w.delta[j] *= shrink
		size += w.delta[j] * w.delta[j] * w.norm[j] * w.norm[j]
	}
	return math.Sqrt(size), finite(size)
}

// predicted returns the fall of the sum of squares that the linear model
// promises for the present step.
func (w *work) predicted() float64 {
	n, m := w.p.N, w.p.M
	s := 0.0
	for i := range n {
		jd := 0.0
		for j := range m {
			jd += w.jac[i*m+j] * w.delta[j]
		}
		s += jd * (2*w.r[i] - jd)
	}
	return s
}

// offset is the largest |J_j·r|/(|J_j||r|).
func (w *work) offset() float64 {
	if w.rss == 0 {
		return 0
	}
	worst := 0.0
	for j := range w.p.M {
		s, q := 0.0, 0.0
		for i := range w.p.N {
			v := w.jac[i*w.p.M+j]
			s += v * w.r[i]
			q += v * v
		}
		if q > 0 {
			worst = math.Max(worst, math.Abs(s)/math.Sqrt(q*w.rss))
		}
	}
	return worst
}

// gain is the fall an undamped step would still promise.
func (w *work) gain() float64 {
	if _, ok := w.step(0); !ok {
		return math.Inf(1)
	}
	return w.predicted()
}

// floor is the size of a sum of squares that is rounding only.
func (w *work) floor() float64 { return 1e-24 * w.yscale }

// covariance fills the inverse of JᵀJ; false when a parameter is lost.
func (w *work) covariance(s *Solution) bool {
	n, m := w.p.N, w.p.M
	s.Cov = make([]float64, m*m)
	norm, reach, widest := make([]float64, m), make([]float64, m), 0.0
	for j := range m {
		q := 0.0
		for i := range n {
			v := w.jac[i*m+j]
			q += v * v
		}
		norm[j] = math.Sqrt(q)
		if !(norm[j] > 0) {
			return false
		}
		reach[j] = norm[j] * math.Abs(s.Theta[j])
		if w.p.MaxStep != nil && w.p.MaxStep[j] > 0 {
			reach[j] = norm[j] // a logarithm: a change by 1 is a change by e
		}
		widest = math.Max(widest, reach[j])
	}
	for j := range m {
		// A parameter whose change by its own size leaves the curve where it is
		// has run off to where it does nothing. A parameter near zero is no such
		// case: its own size says nothing, so a change by one is tried as well.
		if math.Max(reach[j], norm[j]) < flatLimit*widest {
			return false
		}
	}
	a := make([]float64, n*m)
	for i := range n {
		for j := range m {
			a[i*m+j] = w.jac[i*m+j] / norm[j]
		}
	}
	b := make([]float64, n)
	x := make([]float64, m)
	if !lsq(a, b, n, m, x) {
		return false
	}
	for j := range m {
		if math.Abs(a[j*m+j]) < flatLimit {
			return false
		}
	}
	// a now holds R above the diagonal: invert it.
	inv := make([]float64, m*m)
	for c := range m {
		for i := c; i >= 0; i-- {
			v := 0.0
			if i == c {
				v = 1
			}
			for j := i + 1; j <= c; j++ {
				v -= a[i*m+j] * inv[j*m+c]
			}
			inv[i*m+c] = v / a[i*m+i]
		}
	}
	for i := range m {
		for j := range m {
			v := 0.0
			for c := max(i, j); c < m; c++ {
				v += inv[i*m+c] * inv[j*m+c]
			}
			s.Cov[i*m+j] = v / (norm[i] * norm[j])
		}
	}
	// Two terms that cancel each other (rates run together, sizes run off) leave
	// standard errors far beyond the values themselves.
	if n > m {
		for j := range m {
			if sd := s.SD(j, n-m); sd*norm[j] > lostLimit*math.Max(reach[j], norm[j]) {
				return false
			}
		}
	}
	return true
}

// lsq solves min |b − A x| by Householder QR; A (n×m by rows) is overwritten
// with R, b with Qᵀb. It reports false when R is singular to working accuracy.
func lsq(a, b []float64, n, m int, x []float64) bool {
	for k := range m {
		s := 0.0
		for i := k; i < n; i++ {
			s += a[i*m+k] * a[i*m+k]
		}
		s = math.Sqrt(s)
		if !(s > 1e-15) || !finite(s) {
			return false
		}
		if a[k*m+k] > 0 {
			s = -s
		}
		// v = a_k − s e_k; H = I − v vᵀ/(−s v_k)
		vk := a[k*m+k] - s
		a[k*m+k] = s
		beta := -s * vk
		for j := k + 1; j < m; j++ {
			d := vk * a[k*m+j]
			for i := k + 1; i < n; i++ {
				d += a[i*m+k] * a[i*m+j]
			}
			d /= beta
			a[k*m+j] -= d * vk
			for i := k + 1; i < n; i++ {
				a[i*m+j] -= d * a[i*m+k]
			}
		}
		d := vk * b[k]
		for i := k + 1; i < n; i++ {
			d += a[i*m+k] * b[i]
		}
		d /= beta
		b[k] -= d * vk
		for i := k + 1; i < n; i++ {
			b[i] -= d * a[i*m+k]
		}
	}
	for k := m - 1; k >= 0; k-- {
		v := b[k]
		for j := k + 1; j < m; j++ {
			v -= a[k*m+j] * x[j]
		}
		x[k] = v / a[k*m+k]
	}
	return true
}

func dot(a, b []float64) float64 {
	s := 0.0
	for i, v := range a {
		s += v * b[i]
	}
	return s
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
