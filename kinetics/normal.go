package kinetics

import (
	"math"
	"sync"
)

// The normal distribution function is called some thousand times per quantile,
// so it is tabulated once: cubic Hermite interpolation with the exact density as
// slope, step 1/32, error below 1e-8 (checked against math.Erfc in the tests).
const (
	phiStep  = 1.0 / 32
	phiLimit = 8.0
	phiN     = int(2*phiLimit/phiStep) + 1
)

type phiNode struct{ p, d float64 } // Φ and phiStep·φ at the node

var phiTable = sync.OnceValue(func() *[phiN]phiNode {
	var t [phiN]phiNode
	for i := range t {
		z := -phiLimit + float64(i)*phiStep
		t[i] = phiNode{normalCDF(z), phiStep * normalPDF(z)}
	}
	return &t
})

// fastCDF returns Φ(z) by the table; z may be infinite.
func fastCDF(t *[phiN]phiNode, z float64) float64 {
	x := (z + phiLimit) / phiStep
	if !(x > 0) {
		return 0
	}
	if x >= float64(phiN-1) {
		return 1
	}
	i := int(x)
	s := x - float64(i)
	a, b := &t[i], &t[i+1]
	q := 1 - s
	return q*q*((1+2*s)*a.p+s*a.d) + s*s*((3-2*s)*b.p-q*b.d)
}

// fastExp is e^x for x from −expReach to 0: a power of two, a table of its parts
// and three terms of the series for the rest, which is below 1/90: good to 1e-9
// of the value.
func fastExp(t *[expParts]float64, x float64) float64 {
	n := int(x * (expParts / math.Ln2))
	r := x - float64(n)*(math.Ln2/expParts)
	power := math.Float64frombits(uint64(n>>partBits+1023) << 52)
	return power * t[n&(expParts-1)] * (1 + r*(1+r*(1.0/2+r*(1.0/6))))
}

const (
	expReach = 600
	partBits = 6
	expParts = 1 << partBits
)

var expTable = sync.OnceValue(func() *[expParts]float64 {
	var t [expParts]float64
	for i := range t {
		t[i] = math.Exp2(float64(i) / expParts)
	}
	return &t
})

func normalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

func normalPDF(z float64) float64 { return math.Exp(-z*z/2) / root2Pi }

// pdf is the density of N(mean, sd²) at x, logPDF its logarithm.
func (n Normal) pdf(x float64) float64 { return normalPDF((x-n.Mean)/n.SD) / n.SD }

func (n Normal) logPDF(x float64) float64 {
	z := (x - n.Mean) / n.SD
	return -z*z/2 - math.Log(n.SD) - logRoot2Pi
}

var (
	root2Pi    = math.Sqrt(2 * math.Pi)
	logRoot2Pi = math.Log(root2Pi)
)

// tail returns ln Φ(z) and φ(z)/Φ(z) without underflow.
func tail(z float64) (logCDF, hazard float64) {
	if z > -30 {
		p := normalCDF(z)
		return math.Log(p), normalPDF(z) / p
	}
	m := mills(z)
	return -z*z/2 - logRoot2Pi - math.Log(-z) + math.Log(m), -z / m
}

// mills is the asymptotic series of −z·Φ(z)/φ(z); at z = −30 the first term left
// out is 2e-12.
func mills(z float64) float64 {
	u := 1 / (z * z)
	return 1 - u*(1-u*(3-u*(15-105*u)))
}
