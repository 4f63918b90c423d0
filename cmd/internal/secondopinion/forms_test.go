package secondopinion

import "math"

// A form is a rise by x = k·t, and its inverse up to the highest point: the x at
// which a share of that is first there.
type form struct {
	name   string
	weight float64
	rise   func(x float64) float64
	first  func(share float64) float64
}

func weibull(name string, weight, m float64) form {
	return form{name, weight,
		func(x float64) float64 { return 1 - math.Exp(-math.Pow(x, m)) },
		func(g float64) float64 { return math.Pow(-math.Log(1-g), 1/m) }}
}

func delayed(name string, weight, d float64) form {
	return form{name, weight,
		func(x float64) float64 {
			if x <= d {
				return 0
			}
			return 1 - math.Exp(-(x-d)/(1-d))
		},
		func(g float64) float64 { return d - (1-d)*math.Log(1-g) }}
}

func fallsAgain(name string, weight float64) form {
	top := math.Log(10) / 0.9
	raw := func(x float64) float64 { return math.Exp(-x/10) - math.Exp(-x) }
	return form{name, weight, func(x float64) float64 { return raw(x) / raw(top) }, func(g float64) float64 {
		lo, hi := 0.0, top
		for range 50 {
			if mid := (lo + hi) / 2; raw(mid) < g*raw(top) {
				lo = mid
			} else {
				hi = mid
			}
		}
		return hi
	}}
}

// almostNothing is the part of 1/k within which what is there at once has come: exp(-9.25).
var almostNothing = math.Exp(-9.25)

// The forms and their weights as DEVELOPERS.md and the tables of the model have them.
var (
	wantedForms = []form{
		weibull("very slow-tailed", 0.10, 0.5), weibull("slow-tailed", 0.12, 0.7), weibull("first order",
			0.33, 1),
		weibull("a slow start", 0.13, 1.4), weibull("a late start", 0.14, 2), weibull("late and steep",
			0.08, 3),
		fallsAgain("rises and falls", 0.08),
		{"nothing comes", 0.02, func(float64) float64 { return 0 },
			func(float64) float64 { return math.Inf(1) }},
	}
	unwantedForms = []form{
		weibull("first order", 0.45, 1), delayed("a little late", 0.20, 0.15), delayed("late", 0.15, 0.3),
		delayed("very late", 0.15, 0.5),
		{"at once", 0.05, func(x float64) float64 { return min(x/almostNothing, 1) },
			func(g float64) float64 { return g * almostNothing }},
	}
)
