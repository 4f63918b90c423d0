package secondopinion

import (
	"math"
	"slices"

	"steepbook/kinetics"
)

// A ray is all that is believed of one form at one rate: plateaus evenly apart in
// their logarithm, over the stretch that matters at that form and rate alone, and
// a weight for each, in all and by noise.
type ray struct {
	form    int
	lk      float64
	c       []float64
	w       []float64
	byNoise [][5]float64
	all     float64
	dk      float64 // how wide it is in ln k
	low     float64 // ln of the lowest edge
	step    float64 // of ln c
}

// belief is a posterior as a dense heap of points: a plain midpoint sum, every
// chance of a score by math.Erfc, no tables.
type belief struct {
	prior    kinetics.Prior
	forms    []form
	rays     []ray
	sigma    [5]float64
	gain     map[string]float64
	evidence float64
	scored   int

	meanLK, sdLK, meanC, sdC, noise float64
}

const scoutRates, denseRates, densePlateaus = 36, 64, 28

var noiseAt = [5]float64{-1.6, -0.8, 0, 0.8, 1.6}

// phi is the normal distribution function, beyond 8 as good as its end.
func phi(z float64) float64 {
	switch {
	case z < -8:
		return 0
	case z > 8:
		return 1
	}
	return math.Erfc(-z/math.Sqrt2) / 2
}

func bell(x, mean, sd float64) float64 {
	z := (x - mean) / sd
	return math.Exp(-z*z/2) / (sd * math.Sqrt(2*math.Pi))
}

// scoreChance is the chance of a score of a strength v: the half step about it, a 10
// "10 or more", a 0 "0 or less", one in a hundred a slip over the 21 half steps.
func scoreChance(score, v, sigma float64) float64 {
	to, from := phi((score+0.25-v)/sigma), phi((score-0.25-v)/sigma)
	p := to - from
	if score > 9.5 {
		p += (score - 9.5) / 0.5 * (1 - to)
	}
	if score < 0.5 {
		p += (0.5 - score) / 0.5 * from
	}
	return 0.99*p + 0.01*0.5/10.5
}

// plateauDensity is the prior density of a plateau, not cut.
func plateauDensity(p kinetics.Prior, c float64) float64 {
	m, sd, odd := p.Plateau.Mean, p.Plateau.SD, 0.4*p.Doubt
	return (1-odd)*bell(c, m, sd) + odd*bell(math.Log(c), math.Log(m), max(0.7, sd/m))/c
}

// ends are where the plateau is cut.
func ends(p kinetics.Prior) (lo, hi float64) {
	m, sd := p.Plateau.Mean, p.Plateau.SD
	if p.Doubt == 0 {
		return max(m/10, m-6*sd), min(15*m, m+6*sd)
	}
	return m / 10, 15 * m
}

// believe weighs a prior with tastings.
func believe(p kinetics.Prior, forms []form, ts []kinetics.Tasting) *belief {
	b := &belief{prior: p, forms: forms, gain: map[string]float64{}, scored: len(ts)}
	for i, z := range noiseAt {
		b.sigma[i] = math.Exp(p.LogNoise.Mean + z*p.LogNoise.SD)
	}
	reach := 5 * p.LogRate.SD
	if p.Doubt > 0 {
		reach = max(reach, 4.2*max(2, p.LogRate.SD))
	}
	w := b.weigher(ts)
	all := slices.Repeat([][2]float64{{p.LogRate.Mean - reach, p.LogRate.Mean + reach}}, len(forms))
	b.lay(w, all, scoutRates)
	for range b.turnGains(ts) {
		b.lay(w, all, scoutRates)
		b.turnGains(ts)
	}
	// Only the stretch of each form that matters is laid densely.
	most := 0.0
	for _, r := range b.rays {
		most = max(most, r.all)
	}
	matters := slices.Repeat([][2]float64{{math.Inf(1), math.Inf(-1)}}, len(forms))
	for _, r := range b.rays {
		if m := &matters[r.form]; r.all > 1e-7*most {
			m[0], m[1] = max(min(m[0], r.lk-1.5*r.dk), all[0][0]), min(max(m[1], r.lk+1.5*r.dk), all[0][1])
		}
	}
	b.lay(w, matters, denseRates)
	return b
}

// weigher gives the weights by noise of one point, times the prior's density in ln k
// and ln c.
func (b *belief) weigher(ts []kinetics.Tasting) func(h int, lk, lc float64) [5]float64 {
	p := b.prior
	lo, hi := ends(p)
	// The plateau's chance between its ends, and the mean and spread of its logarithm.
	const n = 2000
	var whole, m1, m2 float64
	for i := range n {
		lc := math.Log(lo) + (float64(i)+0.5)/n*math.Log(hi/lo)
		d := plateauDensity(p, math.Exp(lc)) * math.Exp(lc)
		whole, m1, m2 = whole+d, m1+d*lc, m2+d*lc*lc
	}
	m1, m2 = m1/whole, m2/whole
	whole *= math.Log(hi/lo) / n
	left := p.LogRate.SD
	if p.Lean != 0 {
		left = math.Sqrt(max(left*left-p.Lean*p.Lean*(m2-m1*m1), left*left/16))
	}
	var level [5]float64
	total := 0.0
	for i, z := range noiseAt {
		level[i] = math.Exp(-z * z / 2)
		total += level[i]
	}
	return func(h int, lk, lc float64) (w [5]float64) {
		c, mean := math.Exp(lc), p.LogRate.Mean
		if p.Lean != 0 {
			mean += p.Lean * (lc - m1)
		}
		d := (1 - p.Doubt) * bell(lk, mean, left)
		if p.Doubt > 0 {
			d += p.Doubt * bell(lk, mean, max(2, left))
		}
		d *= b.forms[h].weight * plateauDensity(p, c) * c / whole / total
		for i := range w {
			w[i] = d * level[i]
		}
		for _, t := range ts {
			v := b.strength(h, lk, c, t.Hours) * b.tastes(t)
			for i, s := range b.sigma {
				if w[i] > 1e-40 {
					w[i] *= scoreChance(t.Score, v, s)
				}
			}
		}
		return w
	}
}

// tastes is what a neat strength of 1 tastes like in a sample, to its taster.
func (b *belief) tastes(t kinetics.Tasting) float64 {
	by := 1.0
	if g, ok := b.gain[t.Taster]; ok {
		by = g
	}
	if t.Part > 0 {
		by *= t.Part
	}
	return by
}

func (b *belief) strength(h int, lk, c, hours float64) float64 {
	if hours <= 0 {
		return 0
	}
	return c * b.out(h, lk, hours)
}

// out is the part of the plateau that is out at a time.
func (b *belief) out(h int, lk, hours float64) float64 {
	if hours <= 0 {
		return 0
	}
	if math.IsInf(hours, 1) {
		return b.prior.Early + (1-b.prior.Early)*b.forms[h].rise(1e8)
	}
	return b.prior.Early + (1-b.prior.Early)*b.forms[h].rise(math.Exp(lk)*hours)
}

// lay lays the points of each form over a stretch of ln k.
func (b *belief) lay(weigh func(h int, lk, lc float64) [5]float64, over [][2]float64, n int) {
	lo, hi := ends(b.prior)
	lo, hi = math.Log(lo), math.Log(hi)
	b.rays = b.rays[:0]
	const coarse = 20
	most, total := 0.0, 0.0
	for h := range b.forms {
		from, to := over[h][0], over[h][1]
		for k := range n {
			if from >= to {
				break
			}
			// Rays do not lie side by side, nor their points: their values are as many.
			r := ray{form: h, dk: (to - from) / float64(n)}
			r.lk = from + (float64(k)+0.25+0.5*fraction(float64(h)))*r.dk
			// Where on this ray is there any weight?
			var at [coarse]float64
			top := 0.0
			for i := range at {
				for _, v := range weigh(h, r.lk, lo+(float64(i)+0.5)/coarse*(hi-lo)) {
					at[i] += v
				}
				top = max(top, at[i])
			}
			first, last := 0, coarse-1
			for first < last && at[first] < 1e-6*top {
				first++
			}
			for last > first && at[last] < 1e-6*top {
				last--
			}
			if top < 1e-9*most {
				continue
			}
			most = max(most, top)
			r.low = lo + float64(max(first-1, 0))/coarse*(hi-lo)
			r.step = (lo + float64(min(last+2, coarse))/coarse*(hi-lo) - r.low) / densePlateaus
			r.low += (fraction(float64(k+len(b.forms)*h)) - 0.5) * r.step
			for i := range densePlateaus {
				lc := r.low + (float64(i)+0.5)*r.step
				ws, sum := weigh(h, r.lk, lc), 0.0
				for j := range ws {
					ws[j] *= r.dk * r.step
					sum += ws[j]
				}
				r.c, r.w, r.byNoise = append(r.c, math.Exp(lc)), append(r.w, sum), append(r.byNoise, ws)
				r.all += sum
			}
			total += r.all
			b.rays = append(b.rays, r)
		}
	}
	b.evidence = math.Log(total)
	b.rays = slices.DeleteFunc(b.rays, func(r ray) bool { return r.all < 1e-9*total })
	b.sum(total)
}

// fraction spreads whole numbers evenly over 0 to 1.
func fraction(i float64) float64 { return math.Mod(i*0.6180339887498949, 1) }

// sum makes shares of the weights and takes the moments.
func (b *belief) sum(total float64) {
	var s1, s2, c1, c2, noise float64
	for i := range b.rays {
		r := &b.rays[i]
		r.all /= total
		s1, s2 = s1+r.all*r.lk, s2+r.all*r.lk*r.lk
		for j := range r.w {
			r.w[j] /= total
			c1, c2 = c1+r.w[j]*r.c[j], c2+r.w[j]*r.c[j]*r.c[j]
			for k := range r.byNoise[j] {
				r.byNoise[j][k] /= total
				noise += r.byNoise[j][k] * b.sigma[k]
			}
		}
	}
	b.meanLK, b.sdLK, b.meanC, b.noise = s1, math.Sqrt(max(s2-s1*s1, 0)), c1, noise
	b.sdC = math.Sqrt(max(c2-c1*c1, 0))
}

// turnGains moves the gains of several tasters one turn nearer to the likeliest:
// the slope of a taster's scores on the mean curve, drawn towards 1 with the spread
// 0.3, all about their mean. It returns how many turns there are to go in all.
func (b *belief) turnGains(ts []kinetics.Tasting) (turns int) {
	top, bottom := map[string]float64{}, map[string]float64{}
	noise2 := 0.0
	for _, r := range b.rays {
		for _, ws := range r.byNoise {
			for k, w := range ws {
				noise2 += w * b.sigma[k] * b.sigma[k]
			}
		}
	}
	for _, t := range ts {
		v := b.mean(t.Hours)
		if t.Part > 0 {
			v *= t.Part
		}
		top[t.Taster] += v * t.Score / noise2
		bottom[t.Taster] += v * v / noise2
	}
	if len(top) < 2 {
		return 0
	}
	const w = 1 / (0.3 * 0.3)
	sum := 0.0
	for who := range top {
		b.gain[who] = max((top[who]+w)/(bottom[who]+w), 0.1)
		sum += b.gain[who]
	}
	for who := range top {
		b.gain[who] *= float64(len(top)) / sum
	}
	return 7
}

// mean is the expected neat strength.
func (b *belief) mean(hours float64) float64 {
	sum := 0.0
	for i := range b.rays {
		r := &b.rays[i]
		g := b.out(r.form, r.lk, hours)
		for j, w := range r.w {
			sum += w * g * r.c[j]
		}
	}
	return sum
}

// mass is a value with a weight.
type mass struct{ v, w float64 }
