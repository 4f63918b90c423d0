package kinetics

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"steepbook/kinetics/internal/leastsq"
)

// Errors names how scores scatter about the curve.
type Errors string

// The kinds of scatter.
const (
	// NormalErrors: the normal distribution.
	NormalErrors Errors = "normal"
	// StudentErrors: Student's t with 4 degrees of freedom; one wild score loses
	// its pull.
	StudentErrors Errors = "student t, 4 df"
	// HuberErrors: Huber's loss, quadratic up to 1.345 scales and linear beyond.
	// It has no scale of its own: give one.
	HuberErrors Errors = "huber"
)

const huberLimit = 1.345

// ScoreModel says how scores are to be read in FitScores. The zero value reads
// them at face value with normal errors of unknown size.
type ScoreModel struct {
	Errors Errors // default NormalErrors
	// Scale is the standard deviation (normal), or scale, in points; 0: estimated.
	Scale float64
	// RoundedTo is the step of the scale the scores were given on, such as 1 for
	// whole points: a score then stands for its whole bin, zero for everything
	// below its upper half step, and a censored one for everything above its
	// lower half step. 0: face value. Normal errors only.
	RoundedTo float64
}

// ScoreFit is a maximum-likelihood first-order curve through scores, without a
// prior.
type ScoreFit struct {
	Plateau, LogRate, Scale          float64
	SEPlateau, SELogRate, SELogScale float64 // from the observed information; SELogScale 0 with a known scale
	Corr                             float64 // of plateau and log rate
	LogLik                           float64 // for HuberErrors minus the sum of the losses
	Weights                          []float64
}

// ErrScale: the likelihood of rounded scores has no maximum above a scale of
// zero, because one curve passes through every bin, or Huber's loss was asked
// for without a scale.
var ErrScale = errors.New("these scores do not determine their own scatter: give its size")

// loss is −log density of one score and its derivatives by the curve's value m
// and by s = ln scale.
type loss struct{ v, m, s, mm, ms, ss float64 }

// elliptic turns a(r), r = (y − m)/σ, into a loss: v = a(r) + s + c.
func elliptic(r, sigma, a, a1, a2, s, c float64) loss {
	return loss{v: a + s + c, m: -a1 / sigma, s: 1 - r*a1, mm: a2 / (sigma * sigma), ms: (a1 + r*a2) / sigma, ss: r*a1 + r*r*a2}
}

func (sm ScoreModel) loss(t Tasting, m, s float64) loss {
	sigma := math.Exp(s)
	if h := sm.RoundedTo / 2; h > 0 {
		lo, hi := t.Score-h, t.Score+h
		if t.Score <= 0 {
			lo = math.Inf(-1)
		}
		if t.Score >= topScore {
			hi = math.Inf(1)
		}
		return binLoss(lo, hi, m, sigma)
	}
	if t.Score >= topScore && sm.Errors != StudentErrors && sm.Errors != HuberErrors {
		return binLoss(t.Score, math.Inf(1), m, sigma)
	}
	r := (t.Score - m) / sigma
	switch sm.Errors {
	case StudentErrors:
		d := 4 + r*r
		return elliptic(r, sigma, 2.5*math.Log1p(r*r/4), 5*r/d, 5*(4-r*r)/(d*d), s, -math.Log(3.0/8))
	case HuberErrors:
		var l loss
		if math.Abs(r) <= huberLimit {
			l = elliptic(r, sigma, r*r/2, r, 1, s, 0)
		} else {
			l = elliptic(r, sigma, huberLimit*(math.Abs(r)-huberLimit/2), math.Copysign(huberLimit, r), 0, s, 0)
		}
		l.v -= s
		return l
	}
	return elliptic(r, sigma, r*r/2, r, 1, s, logRoot2Pi)
}

// binLoss is −ln P(lo < score < hi); either end may be infinite.
func binLoss(lo, hi, m, sigma float64) loss {
	a, b := (lo-m)/sigma, (hi-m)/sigma
	if math.IsInf(hi, 1) { // one normal tail, without cancellation
		z := -a
		h := hazard(z)
		return loss{v: -logCDF(z), m: -h / sigma, s: h * z, mm: h * (z + h) / (sigma * sigma), ms: h / sigma * (1 - z*(z+h)), ss: h * z * (z*(z+h) - 1)}
	}
	if math.IsInf(lo, -1) {
		h := hazard(b)
		return loss{v: -logCDF(b), m: h / sigma, s: h * b, mm: h * (b + h) / (sigma * sigma), ms: h / sigma * (b*(b+h) - 1), ss: h * b * (b*(b+h) - 1)}
	}
	if a > 0 { // work in the tail where Φ does not cancel
		l := binLoss(-hi, -lo, -m, sigma)
		l.m, l.ms = -l.m, -l.ms
		return l
	}
	p := math.Max(normalCDF(b)-normalCDF(a), 1e-300)
	fa, fb := normalPDF(a), normalPDF(b)
	pm, ps := (fa-fb)/sigma, a*fa-b*fb
	pmm := (a*fa - b*fb) / (sigma * sigma)
	pms := (a*a*fa-b*b*fb)/sigma - pm
	pss := (a*a*a-a)*fa - (b*b*b-b)*fb
	return loss{v: -math.Log(p), m: -pm / p, s: -ps / p, mm: -pmm/p + pm*pm/(p*p), ms: -pms/p + pm*ps/(p*p), ss: -pss/p + ps*ps/(p*p)}
}

// objective returns the loss, its gradient and Hessian in (C, ln k, ln scale).
func (sm ScoreModel) objective(ts []Tasting, th [3]float64, g *[3]float64, h *[3][3]float64) float64 {
	k := math.Exp(th[1])
	*g, *h = [3]float64{}, [3][3]float64{}
	v := 0.0
	for _, t := range ts {
		z := k * t.Hours
		f, q := -math.Expm1(-z), tailed(z)
		l := sm.loss(t, th[0]*f, th[2])
		v += l.v
		d := [2]float64{f, th[0] * q}
		for i := range 2 {
			g[i] += l.m * d[i]
			h[i][2] += l.ms * d[i]
			for j := range 2 {
				h[i][j] += l.mm * d[i] * d[j]
			}
		}
		h[0][1] += l.m * q
		h[1][0] += l.m * q
		h[1][1] += l.m * th[0] * q * (1 - z)
		g[2] += l.s
		h[2][2] += l.ss
	}
	h[2][0], h[2][1] = h[0][2], h[1][2]
	return v
}

// FitScores fits C(1 − exp(−k t)) to scores by maximum likelihood: with scores at
// the top of the scale censored, rounding taken into account, or long tails for
// a wild score. It is offered for a look at the data and for checks; for pulling
// and planning use Prior.Posterior. ExtraSD and Taster are not used. Errors:
// ErrTasting, ErrTooFew, ErrScale, ErrUndetermined.
func FitScores(ts []Tasting, sm ScoreModel) (ScoreFit, error) {
	var x, y []float64
	distinct := map[float64]bool{}
	for i, t := range ts {
		if err := t.validate(i); err != nil {
			return ScoreFit{}, err
		}
		if t.Hours > 0 {
			x, y = append(x, t.Hours), append(y, t.Score)
			distinct[t.Hours] = true
		}
	}
	if len(distinct) < 2 {
		return ScoreFit{}, ErrTooFew
	}
	free := 3
	if sm.Scale > 0 {
		free = 2
	} else if sm.Errors == HuberErrors {
		return ScoreFit{}, ErrScale
	}
	best, from := math.Inf(1), [3]float64{}
	lo, hi := leastsq.Range(x)
	// Starts: every rate of a scan with the plateau through each single score and
	// the least-squares plateau, and a few scales. A wild score cannot rule them
	// all.
	const n = 25
	for i := range n {
		u := lo + (hi-lo)*float64(i)/(n-1)
		ls, _ := leastsq.Project(x, y, nil, u)
		for j := -1; j < len(x); j++ {
			c := ls
			if j >= 0 {
				f := -math.Expm1(-math.Exp(u) * x[j])
				if f < 1e-6 {
					continue
				}
				c = y[j] / f
			}
			for _, s := range []float64{0.15, 0.5, 1.5} {
				if free == 2 {
					s = sm.Scale
				}
				v := 0.0
				for _, t := range ts {
					v += sm.loss(t, -c*math.Expm1(-math.Exp(u)*t.Hours), math.Log(s)).v
				}
				if v < best {
					best, from = v, [3]float64{c, u, math.Log(s)}
				}
			}
		}
	}
	th, err := sm.newton(ts, from, free)
	if err != nil {
		return ScoreFit{}, err
	}
	var g [3]float64
	var h [3][3]float64
	v := sm.objective(ts, th, &g, &h)
	if sm.RoundedTo > 0 && free == 3 && v < 1e-6*float64(len(ts)) {
		return ScoreFit{}, ErrScale // every score sits in its bin for certain
	}
	inv, ok := inverse(h, free)
	if !ok || th[1] <= lo-1 || th[1] >= hi+1 {
		return ScoreFit{}, ErrUndetermined
	}
	f := ScoreFit{Plateau: th[0], LogRate: th[1], Scale: math.Exp(th[2]), LogLik: -v,
		SEPlateau: math.Sqrt(inv[0][0]), SELogRate: math.Sqrt(inv[1][1]), Corr: inv[0][1] / math.Sqrt(inv[0][0]*inv[1][1])}
	if free == 3 {
		f.SELogScale = math.Sqrt(inv[2][2])
	}
	for _, t := range ts {
		r := (t.Score + th[0]*math.Expm1(-math.Exp(th[1])*t.Hours)) / f.Scale
		w := 1.0
		switch sm.Errors {
		case StudentErrors:
			w = 5 / (4 + r*r)
		case HuberErrors:
			w = math.Min(1, huberLimit/math.Abs(r))
		}
		f.Weights = append(f.Weights, w)
	}
	return f, nil
}

// newton minimises with a damped Hessian; steps in the logarithms are capped.
func (sm ScoreModel) newton(ts []Tasting, th [3]float64, free int) ([3]float64, error) {
	var g [3]float64
	var h [3][3]float64
	v := sm.objective(ts, th, &g, &h)
	mu := 1e-3
	for range 500 {
		a := h
		for i := range free {
			a[i][i] += mu * (math.Abs(h[i][i]) + 1e-9)
		}
		inv, ok := inverse(a, free)
		if !ok {
			mu *= 10
			if mu > 1e12 {
				break
			}
			continue
		}
		var next [3]float64
		scale, size := 1.0, 0.0
		var step [3]float64
		for i := range free {
			for j := range free {
				step[i] -= inv[i][j] * g[j]
			}
			if i > 0 && math.Abs(step[i]) > 1 {
				scale = math.Min(scale, 1/math.Abs(step[i]))
			}
		}
		for i := range 3 {
			next[i] = th[i] + scale*step[i]
			size = math.Max(size, math.Abs(scale*step[i]))
		}
		if next[2] < math.Log(1e-4) {
			return th, ErrScale
		}
		var g2 [3]float64
		var h2 [3][3]float64
		v2 := sm.objective(ts, next, &g2, &h2)
		switch {
		case v2 <= v+1e-13*math.Abs(v):
			th, v, g, h = next, v2, g2, h2
			mu /= 5
			if size < 1e-11 {
				return th, nil
			}
		case mu > 1e12:
			return th, nil
		default:
			mu *= 5
		}
	}
	return th, nil
}

// inverse of the leading n×n block; false unless it is positive definite.
func inverse(a [3][3]float64, n int) (out [3][3]float64, ok bool) {
	m := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			m.SetSym(i, j, a[i][j])
		}
	}
	var ch mat.Cholesky
	if !ch.Factorize(m) {
		return out, false
	}
	var inv mat.SymDense
	if ch.InverseTo(&inv) != nil {
		return out, false
	}
	for i := range n {
		for j := range n {
			out[i][j] = inv.At(i, j)
		}
	}
	return out, true
}
