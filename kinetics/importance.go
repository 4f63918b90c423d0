package kinetics

import (
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/mat"
)

// Sample sizes of Learn.
const (
	learnDraws = 2048 // with few batches; many batches leave less to integrate
	leastDraws = 640
	stageDraws = 224
)

// The search works on (μ_C, μ_k, ±τ_C, ±τ_k, ln σ, β), the last only where doses
// differ.
func (l *learner) dims() int {
	if l.useDose {
		return 6
	}
	return 5
}

func (l *learner) unpack(x []float64) draw {
	d := draw{
		muC: x[0], muK: x[1], tauC: math.Abs(x[2]), tauK: math.Abs(x[3]), sigma: math.Exp(x[4]),
		beta: l.h.doseExponent.Mean,
	}
	if len(x) > 5 {
		d.beta = x[5]
	}
	return d
}

// density is the log posterior density in the coordinates of the search.
func (l *learner) density(x []float64) float64 {
	for _, v := range x[4:] {
		if math.Abs(v) > 12 {
			return math.Inf(-1)
		}
	}
	d := l.unpack(x)
	v := math.Log(l.h.plateau.density(d.muC) * l.h.rate.density(d.muK))
	v -= d.tauC * d.tauC / (2 * l.h.plateauSpread * l.h.plateauSpread)
	v -= d.tauK * d.tauK / (2 * l.h.rateSpread * l.h.rateSpread)
	v += l.h.logNoise.logPDF(x[4])
	if len(x) > 5 {
		v += l.h.doseExponent.logPDF(x[5])
	}
	return v + l.evidence(d)
}

// bump is a t distribution with tDF degrees of freedom, folded so that the two
// spreads are positive: one of those that points are drawn from.
type bump struct {
	weight         float64 // share of the points
	centre         []float64
	lower, inverse mat.TriDense // of the Cholesky factor of its matrix
	height         float64      // weight over the determinant of lower
}

func newBump(weight float64, centre []float64, chol *mat.Cholesky) *bump {
	b := &bump{weight: weight, centre: centre}
	chol.LTo(&b.lower)
	_ = b.inverse.InverseTri(&b.lower) // warns of a bad condition only: a Cholesky factor has an inverse
	b.height = weight
	for i := range centre {
		b.height *= b.inverse.At(i, i)
	}
	return b
}

// density is that of the folded bump, times its weight, but for a factor that
// all bumps share.
func (b *bump) density(x []float64) float64 {
	// The rows above the folded coordinates are alike in all folds.
	var q [4]float64
	for i := range x {
		row, z := b.inverse.RawTriangular().Data[i*len(x):][:i+1], 0.0
		for j, r := range row {
			z += r * (x[j] - b.centre[j])
		}
		var turn [2]float64 // what z loses where a spread is taken with the other sign
		for j := 2; j <= min(i, 3); j++ {
			turn[j-2] = 2 * row[j] * x[j]
		}
		for fold := range q {
			w := z
			if fold&1 != 0 {
				w -= turn[0]
			}
			if fold&2 != 0 {
				w -= turn[1]
			}
			q[fold] += w * w
		}
	}
	p := 0.0
	for _, q := range q {
		u := 1 / (1 + q/tDF)
		v := u * u // to the power (tDF + dimensions)/2
		for range len(x) / 2 {
			v *= u
		}
		if len(x)%2 == 1 {
			v *= math.Sqrt(u)
		}
		p += v
	}
	return b.height * p
}

// proposal is what points are drawn from: a mixture, since the scores of a jar far
// from what the library says have two explanations, an unusual botanical and a
// taster less sure than usual.
type proposal []*bump

// leastBump is the share of the points that every bump keeps, and the share of the
// whole belief that is mixed into each: none may die or shrink to a point by the
// accident of a few points.
const leastBump = 0.15

// refit moves the bumps to what the laid points show: one step of expectation
// and maximisation, the weights evened out where few points have nearly all.
func (p proposal) refit(laid *points) proposal {
	dim := len(p[0].centre)
	w := laid.evened(float64(10 * dim))
	mean, cov := moments(laid.xs, w)
	own := make([]float64, len(w))
	out := make(proposal, len(p))
	for k := range p {
		share := 0.0
		for i := range own {
			own[i] = w[i] * laid.by[i*len(p)+k]
			share += own[i]
		}
		m, c := mean, cov
		if share > leastBump/2 {
			for i := range own {
				own[i] /= share
			}
			m, c = moments(laid.xs, own)
			for i := range dim {
				for j := i; j < dim; j++ {
					c.SetSym(i, j, (1-leastBump)*c.At(i, j)+leastBump*cov.At(i, j))
				}
			}
		}
		var chol mat.Cholesky
		if !chol.Factorize(c) {
			return p
		}
		out[k] = newBump(leastBump+(1-leastBump*float64(len(p)))*share, m, &chol)
	}
	return out
}

// moments are the mean and the covariance of points with weights that add to 1.
func moments(xs [][]float64, w []float64) ([]float64, *mat.SymDense) {
	dim := len(xs[0])
	mean, cov := make([]float64, dim), mat.NewSymDense(dim, nil)
	for i, x := range xs {
		for j, v := range x {
			mean[j] += w[i] * v
		}
	}
	sum := cov.RawSymmetric().Data // its upper triangle
	for i, x := range xs {
		if w[i] == 0 {
			continue
		}
		for a := range mean {
			by := w[i] * (x[a] - mean[a])
			for b := a; b < dim; b++ {
				sum[a*dim+b] += by * (x[b] - mean[b])
			}
		}
	}
	return mean, cov
}

// points are such with weights that add to 1, and the share of each bump in each
// point.
type points struct {
	xs     [][]float64
	w, by  []float64
	chance float64 // ln of what the weights were the shares of
}

// share is the share of the points that count.
func (s *points) share() float64 { return effective(s.w) / float64(len(s.w)) }

func effective(w []float64) float64 {
	total, squares := 0.0, 0.0
	for _, v := range w {
		total += v
		squares += v * v
	}
	return total * total / squares
}

// evened are the weights, drawn together until at least n points count.
func (s *points) evened(n float64) []float64 {
	w := slices.Clone(s.w)
	for range 8 {
		if effective(w) >= n {
			break
		}
		for i, v := range w {
			w[i] = math.Sqrt(v)
		}
	}
	total := 0.0
	for _, v := range w {
		total += v
	}
	for i := range w {
		w[i] /= total
	}
	return w
}

// folded makes the spreads of a point positive.
func folded(x []float64) []float64 {
	x[2], x[3] = math.Abs(x[2]), math.Abs(x[3])
	return x
}

// Of the way to the mode, in units of the prior's spread and of a log density.
const (
	climbs    = 6   // steps at the most, half of them along each direction for itself
	longest   = 1.5 // of them
	levelFrom = 0.3 // what a step has to gain for another like it
)

// climb goes to the mode by Newton's steps, each halved until it gains, at first along each
// direction for itself, and returns the Cholesky factor of the inverse Hessian where the last began.
func (l *learner) climb(start, scale []float64) (about *mat.Cholesky, mode []float64) {
	x, fx, whole := start, -l.density(start), false
	for i := range climbs {
		var step []float64
		whole = whole || i == climbs/2
		about, step = l.curvature(x, fx, scale, whole)
		gain := 0.0
		for by := 1.0; gain == 0 && by > 0.1; by /= 2 {
			y := slices.Clone(x)
			for i := range y {
				y[i] += by * scale[i] * step[i]
			}
			if fy := -l.density(folded(y)); fy < fx {
				x, fx, gain = y, fy, fx-fy
			}
		}
		if gain < levelFrom {
			if whole {
				break
			}
			whole = true // the rest is in how they go together
		}
	}
	return about, x
}

// curvature is the Cholesky factor of the inverse Hessian at x, where −ln density is fx, kept
// positive: a flat direction gets the width of the prior; and by it the step to the mode, in units of
// scale. Where it is not the whole one, its directions have nothing to do with each other.
func (l *learner) curvature(x []float64, fx float64, scale []float64, whole bool) (about *mat.Cholesky,
	step []float64) {
	const h = 0.08
	n := len(x)
	hess, slope, at := mat.NewSymDense(n, nil), make([]float64, n), make([]float64, n)
	// turn is the sum of f on both sides along two directions, less twice that between them.
	turn := func(i, j int) (v float64) {
		for _, by := range [2]float64{h, -h} {
			copy(at, x)
			at[i] += by * scale[i]
			if i != j {
				at[j] += by * scale[j]
			}
			to := -l.density(at)
			v += to - fx
			if i == j {
				slope[i] += to / (2 * by)
			}
		}
		return v / (h * h)
	}
	for i := range n {
		hess.SetSym(i, i, turn(i, i))
	}
	for i := range n {
		for j := i + 1; j < n && whole; j++ {
			hess.SetSym(i, j, (turn(i, j)-hess.At(i, i)-hess.At(j, j))/2)
		}
	}
	for i, v := range hess.RawSymmetric().Data {
		if !finite(v) {
			hess.RawSymmetric().Data[i] = 0
		}
	}
	var e mat.EigenSym
	e.Factorize(hess, true)
	var vec mat.Dense
	e.VectorsTo(&vec)
	val := e.Values(nil)
	cov := mat.NewSymDense(n, nil)
	step = make([]float64, n)
	for a := range n {
		for b := range n {
			s := 0.0
			for k := range n {
				s += vec.At(a, k) * vec.At(b, k) / max(val[k], 1)
			}
			step[a] -= s * slope[b]
			cov.SetSym(a, b, 1.3*s*scale[a]*scale[b])
		}
	}
	most := 0.0
	for _, v := range step {
		most = max(most, math.Abs(v))
	}
	for i := range step {
		if !finite(most) {
			step[i] = 0 // nowhere is known to be better
		} else if most > longest {
			step[i] *= longest / most
		}
	}
	about = new(mat.Cholesky)
	about.Factorize(cov)
	return about, step
}

// lay draws n points of the proposal and weighs them.
func (l *learner) lay(p proposal, n int) points { return l.layOn(p, tPoints(l.dims())[:n]) }

// layOn lays the standard points, each bump taking its share of them in turn.
func (l *learner) layOn(p proposal, standard [][]float64) points {
	dim, n := l.dims(), len(standard)
	all := make([]float64, n*dim)
	out := points{xs: make([][]float64, n), w: make([]float64, n), by: make([]float64, n*len(p))}
	ends, sum := make([]int, len(p)), 0.0
	for k, b := range p {
		sum += b.weight
		ends[k] = int(math.Round(sum * float64(n)))
	}
	top, k := math.Inf(-1), 0
	for i, t := range standard {
		for i >= ends[k] && k+1 < len(p) {
			k++
		}
		x, lower := all[i*dim:(i+1)*dim:(i+1)*dim], p[k].lower.RawTriangular().Data
		for a := range x {
			x[a] = p[k].centre[a]
			for b := 0; b <= a; b++ {
				x[a] += lower[a*dim+b] * t[b]
			}
		}
		folded(x)
		by, q := out.by[i*len(p):(i+1)*len(p)], 0.0
		for j, b := range p {
			by[j] = b.density(x)
			q += by[j]
		}
		for j := range by {
			by[j] /= q
		}
		w := l.density(x) - math.Log(q)
		if math.IsNaN(w) {
			w = math.Inf(-1)
		}
		out.xs[i], out.w[i] = x, w
		top = max(top, w)
	}
	total := 0.0
	for i, v := range out.w {
		out.w[i] = math.Exp(v - top)
		total += out.w[i]
	}
	for i := range out.w {
		out.w[i] /= total
	}
	out.chance = top + math.Log(total/float64(n))
	return out
}

// tDF is the degrees of freedom of the proposal.
const tDF = 4

// tPoints are learnDraws standard points of the proposal in dim dimensions; they
// depend on nothing else and are laid once.
func tPoints(dim int) [][]float64 { return tPointSets[dim]() }

var tPointSets = func() (sets [7]func() [][]float64) {
	for dim := range sets {
		sets[dim] = sync.OnceValue(func() [][]float64 { return layPoints(dim, learnDraws) })
	}
	return sets
}()

func layPoints(dim, n int) [][]float64 {
	primes := []int{2, 3, 5, 7, 11, 13, 17}
	out, all := make([][]float64, n), make([]float64, n*dim)
	for i := range out {
		z := all[i*dim : (i+1)*dim : (i+1)*dim]
		s := math.Sqrt(tDF / chiSquared4(radicalInverse(i+37, primes[dim])))
		for j := range z {
			z[j] = s * normalQuantile(radicalInverse(i+37, primes[j]))
		}
		out[i] = z
	}
	return out
}

// chiSquared4 is the quantile of χ² with 4 degrees of freedom, whose
// distribution function is 1 − (1 + x/2)·exp(−x/2).
func chiSquared4(p float64) float64 {
	y := math.Sqrt(2*p) + 2*p*p // half of it: right at both ends, then Newton
	for range 20 {
		step := (p - 1 + (1+y)*math.Exp(-y)) / (y * math.Exp(-y))
		y = max(y+min(step, 2), y/4)
		if math.Abs(step) < 1e-12*y {
			break
		}
	}
	return 2 * y
}

// radicalInverse mirrors the digits of i at the point in a base: the Halton
// sequence.
func radicalInverse(i, base int) float64 {
	f, r := 1.0, 0.0
	for ; i > 0; i /= base {
		f /= float64(base)
		r += f * float64(i%base)
	}
	return r
}
