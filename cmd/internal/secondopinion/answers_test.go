package secondopinion

import (
	"cmp"
	"math"
	"slices"
)

// quantiles reads where the running weight of masses passes some shares of one,
// half of a mass before its value and half behind it; +Inf beyond them all.
func quantiles(ms []mass, shares ...float64) []float64 {
	slices.SortFunc(ms, func(a, b mass) int { return cmp.Compare(a.v, b.v) })
	out := make([]float64, len(shares))
	for i := range out {
		out[i] = math.Inf(1)
	}
	sum, at, last := 0.0, 0, mass{}
	for i, m := range ms {
		mid := sum + m.w/2
		for at < len(shares) && shares[at] <= mid && !math.IsInf(m.v, 1) {
			out[at] = m.v
			if i > 0 && mid > last.w {
				out[at] = last.v + (m.v-last.v)*(shares[at]-last.w)/(mid-last.w)
			}
			at++
		}
		sum += m.w
		last = mass{m.v, mid}
	}
	return out
}

// strengths are the 5, 50 and 95 % quantiles of the neat strength, and its mean.
func (b *belief) strengths(hours float64) (q []float64, mean float64) {
	var ms []mass
	for i := range b.rays {
		r := &b.rays[i]
		g := b.out(r.form, r.lk, hours)
		for j, w := range r.w {
			ms = append(ms, mass{g * r.c[j], w})
			mean += w * g * r.c[j]
		}
	}
	return quantiles(ms, 0.05, 0.5, 0.95), mean
}

// plateaus are the 5, 50 and 95 % quantiles of the plateau, rates those of ln k.
func (b *belief) plateaus() []float64 {
	var ms []mass
	for _, r := range b.rays {
		for j, w := range r.w {
			ms = append(ms, mass{r.c[j], w})
		}
	}
	return quantiles(ms, 0.05, 0.5, 0.95)
}

func (b *belief) rates() []float64 {
	var ms []mass
	for _, r := range b.rays {
		ms = r.spread(ms, r.lk)
	}
	return quantiles(ms, 0.05, 0.5, 0.95)
}

// spread lays a ray's weight evenly over its width of ln k.
func (r *ray) spread(ms []mass, v float64) []mass {
	for _, by := range []float64{-0.375, -0.125, 0.125, 0.375} {
		ms = append(ms, mass{v + by*r.dk, r.all / 4})
	}
	return ms
}

// crossings are the ln of the hours to a neat strength y, or to a share of the
// plateau, of every point.
func (b *belief) crossings(y, share float64) (ms []mass) {
	early := b.prior.Early
	for i := range b.rays {
		r := &b.rays[i]
		at := func(s float64) float64 {
			g := (s - early) / (1 - early)
			switch {
			case g <= 0:
				return math.Inf(-1)
			case g >= 1:
				return math.Inf(1)
			}
			return math.Log(b.forms[r.form].first(g)) - r.lk
		}
		if share > 0 {
			ms = r.spread(ms, at(share))
			continue
		}
		for j, w := range r.w {
			v := at(y / r.c[j])
			ms = append(ms, mass{v - r.dk/4, w / 2}, mass{v + r.dk/4, w / 2})
		}
	}
	return ms
}

// waits are the quantiles of the hours until it is there, and the chance that it
// never is.
func (b *belief) waits(y, share float64, at ...float64) (hours []float64, never float64) {
	if share > 0 && share <= b.prior.Early || share == 0 && y <= 0 {
		return make([]float64, len(at)), 0
	}
	ms := b.crossings(y, share)
	if share > 0 {
		for _, m := range ms {
			if math.IsInf(m.v, 1) {
				never += m.w
			}
		}
	} else {
		never = 1 - b.above(y, func(r *ray) float64 {
			if b.forms[r.form].name == "nothing comes" {
				return b.prior.Early
			}
			return 1
		})
	}
	for _, lt := range quantiles(ms, at...) {
		hours = append(hours, math.Exp(lt))
	}
	return hours, never
}

// readyIn is when a share q of the jars that have not got it at once has a strength
// y, or most of its plateau where so many never have it.
func (b *belief) readyIn(y, q float64) float64 {
	share := 0.0
	if _, never := b.waits(y, 0); y <= 0 || 1-never <= 2*q {
		y, share = 0, 0.8
	}
	ms := b.crossings(y, share)
	// As early as e^-9 of the quickest jar it counts as being there at once.
	first := 0.0
	for _, m := range ms {
		if math.IsInf(m.v, -1) {
			first += m.w
		}
	}
	if t := math.Exp(quantiles(ms, q+(1-q)*first)[0]); !math.IsInf(t, 1) {
		return t
	}
	return 0
}

// chance is that of a neat strength of y or more at a time.
func (b *belief) chance(y, hours float64) float64 {
	return b.above(y, func(r *ray) float64 { return b.out(r.form, r.lk, hours) })
}

// above is the chance of a strength of y or more where so much of the plateau is out,
// the weight of each point evenly over the cell about it.
func (b *belief) above(y float64, out func(r *ray) float64) (sum float64) {
	for i := range b.rays {
		r := &b.rays[i]
		g := out(r)
		if !(g > 0) {
			continue
		}
		ly := math.Log(y / g)
		for j, w := range r.w {
			sum += w * min(max((r.low+float64(j+1)*r.step-ly)/r.step, 0), 1)
		}
	}
	return sum
}

// formWeight is the weight of a form by its name.
func (b *belief) formWeight(name string) float64 {
	sum := 0.0
	for _, r := range b.rays {
		if b.forms[r.form].name == name {
			sum += r.all
		}
	}
	return sum
}
