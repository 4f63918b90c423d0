package kinetics

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// jacobiNodes returns the n-point Gauss rule for the Beta(a, b) distribution on
// 0 to 1: nodes f and weights that sum to one. Exact for polynomials up to
// degree 2n − 1.
//
// Method: Golub, G. H., Welsch, J. H. (1969). Calculation of Gauss quadrature
// rules. Math. Comp. 23, 221-230: eigenvalues of the symmetric tridiagonal
// matrix of the recurrence of the Jacobi polynomials.
func (b Beta) jacobiNodes(n int) (f, w []float64) {
	// On [−1, 1] the weight is (1−x)^(b−1)·(1+x)^(a−1).
	al, be := b.B-1, b.A-1
	m := mat.NewSymDense(n, nil)
	for i := range n {
		k := float64(i)
		s := 2*k + al + be
		switch {
		case i == 0:
			m.SetSym(0, 0, (be-al)/(al+be+2))
		default:
			m.SetSym(i, i, (be*be-al*al)/(s*(s+2)))
		}
		if i == 0 {
			continue
		}
		var off float64
		if i == 1 { // the general form is 0/0 for al+be = −1
			off = 4 * (1 + al) * (1 + be) / ((al + be + 2) * (al + be + 2) * (al + be + 3))
		} else {
			off = 4 * k * (k + al) * (k + be) * (k + al + be) / (s * s * (s + 1) * (s - 1))
		}
		m.SetSym(i-1, i, math.Sqrt(off))
	}
	var e mat.EigenSym
	if !e.Factorize(m, true) {
		return []float64{b.A / (b.A + b.B)}, []float64{1}
	}
	f = e.Values(nil)
	w = make([]float64, n)
	var v mat.Dense
	e.VectorsTo(&v)
	for i := range f {
		f[i] = math.Min(1, math.Max(0, (1+f[i])/2))
		w[i] = v.At(0, i) * v.At(0, i)
	}
	return f, w
}
