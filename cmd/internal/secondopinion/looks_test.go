package secondopinion

import (
	"math"
	"math/rand/v2"
	"slices"
)

// A point is one jar that may be.
type point struct {
	form         int
	lk, c, sigma float64
}

// drawn are n jars of a belief, drawn at random within even steps of the weight.
func (b *belief) drawn(n int, r *rand.Rand) (out []point) {
	sum, next := 0.0, r.Float64()/float64(n)
	for i := range b.rays {
		ray := &b.rays[i]
		if sum+ray.all < next {
			sum += ray.all
			continue
		}
		for j, ws := range ray.byNoise {
			for k, w := range ws {
				sum += w
				for ; next < sum && len(out) < n; next += 1 / float64(n) {
					out = append(out, point{ray.form, ray.lk + ray.dk*(r.Float64()-0.5),
						ray.c[j] * math.Exp(ray.step*(r.Float64()-0.5)), b.sigma[k]})
				}
			}
		}
	}
	return out
}

const drawnJars = 1200

// afterLook are, for each of some first times of a list, the expected least losses once
// every term is scored there, in whole points, and the group comes out at it or later.
func (g *group) afterLook(looks, later []float64) []float64 {
	times := slices.Concat(looks, later)
	base := make([]float64, len(times))
	for j, t := range times {
		base[j] = g.cost(t)
	}
	type told struct {
		x              *term
		strength, bill [][]float64 // by time, of each jar
	}
	var all []told
	for i := range g.terms {
		x := &g.terms[i]
		if x.taste == noScore || !x.wanted && x.loss(times[len(times)-1], g.now) < 1e-3 {
			continue
		}
		if x.draws == nil {
			x.draws = x.of.drawn(drawnJars, rand.New(rand.NewPCG(uint64(i), 9)))
		}
		t := told{x: x}
		for j, at := range times {
			s, l := make([]float64, len(x.draws)), make([]float64, len(x.draws))
			for m, p := range x.draws {
				s[m] = x.of.strength(p.form, p.lk, p.c, at-x.in)
				l[m] = x.bill(x.counts(p.form, p.lk, p.c, at, g.now), p.c)
				base[j] -= l[m] / float64(len(l))
			}
			t.strength, t.bill = append(t.strength, s), append(t.bill, l)
		}
		all = append(all, t)
	}
	slices.SortStableFunc(all, func(a, b told) int { // few terms are many scores
		if a.x.wanted != b.x.wanted {
			return map[bool]int{true: -1, false: 1}[a.x.wanted]
		}
		return 0
	})
	most := min(len(all), 3)
	for _, t := range all[most:] {
		for j, l := range t.bill {
			for _, v := range l {
				base[j] += v / float64(len(l))
			}
		}
	}
	var out []float64
	for c := range looks {
		// chance of each score, and what is lost then at each later time, times it.
		var chance [3][11]float64
		var lost [3][11][]float64
		for k, t := range all[:most] {
			n := float64(len(t.x.draws))
			for s := range lost[k] {
				lost[k][s] = make([]float64, len(times))
			}
			var p [11][]float64
			for s := range p {
				p[s] = make([]float64, len(t.x.draws))
			}
			for m, x := range t.x.draws {
				for s, v := range wholeScores(t.strength[c][m]*t.x.by, x.sigma) {
					p[s][m] = v
					chance[k][s] += v / n
				}
			}
			for s := range p {
				for j := c; j < len(times); j++ {
					sum := 0.0
					for m, l := range t.bill[j] {
						sum += p[s][m] * l
					}
					lost[k][s][j] = sum / n
				}
			}
		}
		v := 0.0
		var walk func(k int, p float64, at []float64)
		walk = func(k int, p float64, at []float64) {
			if k == most {
				v += p * slices.Min(at)
				return
			}
			for s := range 11 {
				q := chance[k][s]
				if p*q < 1e-7 {
					continue
				}
				next := make([]float64, len(at))
				for j := range next {
					next[j] = at[j] + lost[k][s][c+j]/q
				}
				walk(k+1, p*q, next)
			}
		}
		walk(0, 1, base[c:])
		out = append(out, v)
	}
	return out
}

const noScore = -2 // a fault that nobody scores

// wholeScores are the chances of the scores in whole points, a 0 "0 or less" and a 10
// "10 or more".
func wholeScores(v, sigma float64) (p [11]float64) {
	below := 0.0
	for s := range p {
		to := 1.0
		if s < 10 {
			to = phi((float64(s) + 0.5 - v) / sigma)
		}
		p[s], below = to-below, to
	}
	return p
}

// far are the moments of a plan beyond a time.
func (p *plan) far(t float64) (out []float64) {
	for i, x := range p.whole.t {
		if x > t && i%3 == 0 {
			out = append(out, x)
		}
	}
	return out
}

// look is the best next tasting as it was at the last one, its loss now, and how much of that
// is the night's doing.
func (g *group) look(p *plan, awake func(float64) (float64, float64)) (at, loss, spared float64) {
	then, looks := *g, p.looks
	if own := g.now - g.in; own > p.since {
		then.now = g.in + p.since
		looks = then.looksAt(p.since, p.since, p.ready)
	}
	rest := p.far(looks[len(looks)-1])
	losses := then.afterLook(looks, rest)
	best := slices.Min(losses)
	for i, l := range losses {
		if l <= best+0.01 {
			at, loss = looks[i], l
			break
		}
	}
	at, up, spared := byDay(awake, at, then.now, func(t []float64) []float64 {
		return then.afterLook(t, slices.DeleteFunc(slices.Concat(looks, rest),
			func(x float64) bool { return x <= t[len(t)-1] }))
	})
	at, loss = g.lookAt(p, max(at, g.now))
	return at, loss + up, spared
}

// lookAt is a tasting at a moment, and the loss after it as it stands now.
func (g *group) lookAt(p *plan, at float64) (float64, float64) {
	all := slices.Concat(p.looks, p.far(p.looks[len(p.looks)-1]))
	later := slices.DeleteFunc(all, func(x float64) bool { return x <= at })
	return at, g.afterLook([]float64{at}, later)[0]
}
