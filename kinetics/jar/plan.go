package jar

import (
	"math"
	"slices"

	"steepbook/kinetics/internal/golden"
)

// course is a unit's loss over time, by exact moments.
type course struct {
	t, loss, wanted []float64
}

// course is the unit's loss at times of its own clock.
func (u *unit) course(own []float64) course {
	n := len(own)
	c := course{make([]float64, n), make([]float64, n), make([]float64, n)}
	for i, t := range own {
		c.t[i] = u.in + t
		c.loss[i], c.wanted[i] = u.losses(c.t[i])
	}
	return c
}

// over lays n times evenly in their logarithm from lo to hi on the unit's clock.
func (u *unit) over(lo, hi float64, n int) course {
	own := make([]float64, n)
	for i := range own {
		own[i] = lo * math.Pow(hi/lo, float64(i)/float64(n-1))
	}
	return u.course(own)
}

// join puts two courses one after the other.
func (c course) join(d course) course {
	return course{slices.Concat(c.t, d.t), slices.Concat(c.loss, d.loss), slices.Concat(c.wanted, d.wanted)}
}

// least is the least of a loss over the course, known at its times, refined by
// golden section.
func (c course) least(u *unit, known []float64, of func(t float64) float64) (at, loss float64) {
	best := slices.Index(known, slices.Min(known))
	at, loss = c.t[best], known[best]
	a := math.Log(max(c.t[max(best-1, 0)]-u.in, second))
	b := math.Log(max(c.t[min(best+1, len(c.t)-1)]-u.in, second))
	const rounds = 8
	x, between := golden.Least(a, b, rounds, func(x float64) float64 { return of(u.in + math.Exp(x)) })
	if between < loss {
		return u.in + math.Exp(x), between
	}
	return at, loss
}

// within is the stretch about the least where the loss is no more than untold
// above it: between the times of the course on either side, by bisection.
func (c course) within(u *unit, at, least float64) (from, until float64) {
	limit := least + untold
	edge := func(in, out float64) float64 {
		a, b := math.Log(max(in-u.in, second)), math.Log(max(out-u.in, second))
		for range 7 {
			if mid := (a + b) / 2; u.loss(u.in+math.Exp(mid)) > limit {
				b = mid
			} else {
				a = mid
			}
		}
		return u.in + math.Exp((a+b)/2)
	}
	from, until = c.t[0], math.Inf(1)
	inside := at
	for i := len(c.t) - 1; i >= 0; i-- {
		if c.t[i] >= at {
			continue
		}
		if c.loss[i] > limit {
			from = edge(inside, c.t[i])
			break
		}
		inside = c.t[i]
	}
	inside = at
	for i, t := range c.t {
		if t <= at {
			continue
		}
		if c.loss[i] > limit {
			until = edge(inside, t)
			break
		}
		inside = t
	}
	return from, until
}

const (
	pastPoints   = 28
	futurePoints = 26
	lookPoints   = 11 // of the future ones: candidates for the next tasting
	leastLooks   = 3  // of the candidates when most have gone by
	looksWithin  = 3  // times the steep at the last tasting, at least
)

// plan is a unit's expected loss over time: what is past, the candidates for a
// tasting, and what lies beyond them. The candidates are counted from the last
// tasting, and go on to the time at which half of the jars are ready.
type plan struct {
	past, near, far course
	best, least     float64
	from, until     float64
	own, nowLoss    float64
	wait, waitLoss  float64
	since, ready    float64 // the unit's clock at the last tasting, and when half are ready
}

// worse reports whether a unit is clearly worse at a moment of the jar, the plan's own, than it was.
func (p plan) worse(at float64) bool { return p.best < at && p.nowLoss > p.least+overdueLoss }

// looksFrom are the candidates for the next tasting, by the unit's clock, that lie
// after own: a tenth apart from the last tasting to
// looksWithin times as long, then in wider steps to when half are ready, and three
// at least.
func (u *unit) looksFrom(since, own, ready float64) course {
	var t []float64
	step, last := fineStep, max(1.001*looksWithin*since, ready*wideStep)
	for at := since * step; len(t) < leastLooks || at < last; at *= step {
		if at > 0.999*looksWithin*since {
			step = wideStep
		}
		if at >= own+minute {
			t = append(t, at)
		}
	}
	return u.course(t)
}

// ahead is the plan without its past: what can still be chosen.
func (u *unit) ahead() plan {
	p := plan{own: max(u.now-u.in, minute)}
	p.since = p.own
	if u.last-u.in > minute {
		p.since = min(p.since, u.last-u.in)
	}
	slow := 0.0 // when the last has ended
	for i := range u.strands {
		if s := &u.strands[i]; s.wanted {
			slow = max(slow, s.in-u.in+40*math.Exp(-s.post.LogRate().Median))
			p.ready = max(p.ready, s.in-u.in+s.post.ReadyIn(s.level, 0.5))
		}
	}
	horizon := max(slow, 8*p.since)
	p.near = u.looksFrom(p.since, p.own, p.ready)
	end := p.near.t[len(p.near.t)-1] - u.in
	p.far = u.over(end*1.2, max(horizon, end)*1.25, futurePoints-lookPoints)
	left := u.course([]float64{p.own}).join(p.near).join(p.far)
	p.nowLoss = left.loss[0]
	p.wait, p.waitLoss = left.least(u, u.waited(left.t, left.loss), u.cost)
	return p
}

// plan is the whole of it.
func (u *unit) plan() plan {
	p := u.ahead()
	quick := p.own // when the first has hardly begun
	for i := range u.strands {
		if s := &u.strands[i]; s.wanted {
			quick = min(quick, 0.01*math.Exp(-s.post.LogRate().P95))
		}
	}
	p.past = u.over(max(quick, minute), p.own, pastPoints)
	whole := p.past.join(p.near).join(p.far)
	p.best, p.least = whole.least(u, u.waited(whole.t, whole.loss), u.cost)
	p.from, p.until = whole.within(u, p.best, p.least-u.wait(p.best))
	if p.best >= u.in+p.own {
		p.wait, p.waitLoss = p.best, p.least
	}
	return p
}
