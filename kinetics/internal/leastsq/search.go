package leastsq

import "math"

// searchPoints is the number of values tried for each searched parameter, by
// the number of them: enough that steps in log rate stay near one over ranges
// of five decades.
var searchPoints = [4]int{1, 41, 21, 11}

// searchKeep is the number of best grid points from which a descent is made.
const searchKeep = 6

// search tries a grid over the parameters that do not enter linearly, with the
// linear ones eliminated at each point, and descends from the best points.
func search(p Problem) (Solution, error) {
	var idx, lin []int
	for j := range p.M {
		if p.Free != nil && p.Free[j] {
			lin = append(lin, j)
		} else {
			idx = append(idx, j)
		}
	}
	if p.Lo == nil || len(idx) == 0 && len(lin) == 0 || len(idx) >= len(searchPoints) {
		return Solution{}, ErrStart
	}
	w := newWork(p)
	pts := searchPoints[len(idx)]
	total := 1
	for range idx {
		total *= pts
	}
	type trial struct {
		rss   float64
		theta []float64
	}
	best := make([]trial, 0, searchKeep+1)
	theta := make([]float64, p.M)
	for g := range total {
		rest := g
		for _, j := range idx {
			i := rest % pts
			rest /= pts
			theta[j] = p.Lo[j] + (p.Hi[j]-p.Lo[j])*(float64(i)+0.5)/float64(pts)
		}
		for _, j := range lin {
			theta[j] = 0
		}
		rss, ok := w.project(theta, lin)
		if !ok || len(best) == searchKeep && rss >= best[searchKeep-1].rss {
			continue
		}
		at := len(best)
		for at > 0 && best[at-1].rss > rss {
			at--
		}
		best = append(best, trial{})
		copy(best[at+1:], best[at:])
		best[at] = trial{rss, append([]float64(nil), theta...)}
		if len(best) > searchKeep {
			best = best[:searchKeep]
		}
	}
	var out Solution
	err := error(ErrFlatDirection)
	lowest := math.Inf(1)
	for _, b := range best {
		s, e := descend(w, b.theta)
		// An answer that fits worse than another descent's failure is a side
		// valley, so failures count in the comparison too.
		if s.RSS < lowest*(1-1e-9) || e == nil && err != nil && s.RSS <= lowest*(1+1e-9) {
			out, err, lowest = s, e, s.RSS
		}
	}
	return out, err
}

// project sets the linear parameters to their least-squares values.
func (w *work) project(theta []float64, lin []int) (float64, bool) {
	if !w.eval(theta, false) {
		return 0, false
	}
	n, m := w.p.N, len(lin)
	if m > 0 {
		a, b, x := w.qr[:n*m], w.qtb[:n], w.delta[:m]
		for c, j := range lin {
			s := 0.0
			for i := range n {
				s += w.jac[i*w.p.M+j] * w.jac[i*w.p.M+j]
			}
			s = math.Sqrt(s)
			if !(s > 0) {
				return 0, false
			}
			w.keep[c] = s
			for i := range n {
				a[i*m+c] = w.jac[i*w.p.M+j] / s
			}
		}
		copy(b, w.r)
		if !lsq(a, b, n, m, x) {
			return 0, false
		}
		for c, j := range lin {
			theta[j] += x[c] / w.keep[c]
		}
	}
	return w.try(theta)
}
