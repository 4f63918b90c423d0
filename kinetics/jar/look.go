package jar

import (
	"cmp"
	"math"
	"slices"

	"steepbook/kinetics"
)

const (
	drawn      = 320                // jars that stand for a belief
	mostTold   = 3                  // strands whose scores are weighed one against the other
	negligible = 0.02               // points² by which an unwanted taste's scores must matter
	worst      = 15.0               // points in the bottle: what is beyond is as bad, and one jar of the draw must not outweigh the rest
	fineStep   = 1.1161231740339044 // looksWithin^(1/(lookPoints-1)): between candidates for a tasting
	wideStep   = 1.6                // between those that lie far ahead
	nothing    = 0.01               // points² between looks that are as good
	rare       = 5e-3               // chance of a score below which it is taken with the next
)

// reader is a strand that a tasting speaks of: jars drawn from it and the loss
// of each at every time ahead.
type reader struct {
	draws    *kinetics.Draws
	by       float64
	strength [][]float64 // [time][jar], neat
	loss     [][]float64 // [time][jar], bottle
}

// look is the best time for the next tasting and the expected loss after it, V(t')
// without its cost. It is chosen as it was at the last tasting: with no new score
// it stays where it was until it is due, and then it is now.
func (d *decider) look(u *unit, p plan) (at, loss float64) {
	then, q := *u, p
	if p.own > p.since {
		then.now = u.in + p.since
		q.own, q.near = p.since, then.looksFrom(p.since, p.since, p.ready)
	}
	looks := func(t []float64) []float64 { return then.looks(q, t) }
	losses := looks(q.near.t)
	best := slices.IndexFunc(losses, func(l float64) bool { return l <= slices.Min(losses)+nothing })
	at, loss = q.near.t[best], losses[best]
	// Between wide steps it lies a little to the side.
	for ratio := math.Sqrt(wideStep); at > looksWithin*p.since+u.in && ratio > fineStep; ratio = math.Sqrt(ratio) {
		t := []float64{u.in + (at-u.in)/ratio, u.in + (at-u.in)*ratio}
		for i, l := range looks(t) {
			if l < loss-nothing {
				at, loss = t[i], l
			}
		}
	}
	if at = d.byDay(at, then.now, looks); at > u.now {
		return at, loss
	}
	return u.now, u.looks(p, []float64{u.now})[0]
}

// looks are the expected losses after a tasting at each of some moments, in
// order: the mean over the scores that may be found of the least loss from then
// on, when the flavour comes out at one of these moments or of the plan's later.
func (u *unit) looks(p plan, at []float64) []float64 {
	times, base := slices.Clone(at), u.lossAt(at)
	ahead := p.near.join(p.far)
	for i, t := range ahead.t {
		if t > at[len(at)-1] {
			times, base = append(times, t), append(base, ahead.loss[i])
		}
	}
	var readers []*reader
	for _, s := range u.told(p) {
		r := newReader(s, times, u.now)
		for j := range times {
			base[j] -= mean(r.loss[j]) // exact; what is read is taken off again
		}
		readers = append(readers, r)
	}
	out := make([]float64, len(at))
	for c := range at {
		out[c] = value(readers, base, c)
	}
	return out
}

// told are the strands whose scores matter: the wanted ones, then the unwanted
// that cost most by the time the unit may come out.
func (u *unit) told(p plan) []*strand {
	type worth struct {
		s *strand
		v float64
	}
	var all []worth
	last := math.Max(p.wait, p.near.t[len(p.near.t)-1])
	for i := range u.strands {
		switch s := &u.strands[i]; {
		case s.wanted:
			all = append(all, worth{s, math.Inf(1)})
		case s.scored:
			if v := s.loss(last, u.now); v > negligible {
				all = append(all, worth{s, v})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b worth) int { return cmp.Compare(b.v, a.v) })
	out := make([]*strand, 0, mostTold)
	for i := range min(len(all), mostTold) {
		out = append(out, all[i].s)
	}
	return out
}

func newReader(s *strand, times []float64, now float64) *reader {
	r := &reader{draws: s.post.Draws(drawn), by: s.by}
	n := r.draws.N()
	is := make([]float64, n)
	r.draws.At(math.Max(now-s.in, 0), is)
	full := make([]float64, n)
	r.draws.At(math.Inf(1), full)
	scale := s.weight * s.by * s.by
	for _, t := range times {
		x, l := make([]float64, n), make([]float64, n)
		r.draws.At(math.Max(t-s.in, 0), x)
		for i, v := range x {
			v = math.Min(v, worst/s.by)
			d := v - s.level
			switch {
			case s.wanted && s.level == 0:
				d = v - nearlyAll*math.Min(r.draws.Plateau(i), worst/s.by)
			case s.wanted && is[i] > s.level:
				d = math.Max(v, math.Min(is[i], worst/s.by)) - s.level // it is not believed to fade back
			case !s.wanted:
				d = math.Max(d, 0)
			}
			l[i] = scale * d * d
		}
		r.strength, r.loss = append(r.strength, x), append(r.loss, l)
	}
	return r
}

func mean(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s += x
	}
	return s / float64(len(v))
}

// value is the expected least loss from time c on after a tasting at it.
func value(readers []*reader, base []float64, c int) float64 {
	if len(readers) == 0 {
		return slices.Min(base[c:])
	}
	const scores = 11
	type outcome struct {
		p    float64
		loss []float64 // at times c, c+1, …
	}
	each := make([][]outcome, len(readers))
	var chance [scores][]float64
	for k, r := range readers {
		n := r.draws.N()
		for s := range chance {
			if len(chance[s]) < n {
				chance[s] = make([]float64, n)
			}
		}
		r.draws.Readings(r.strength[c], r.by, &chance)
		for s := range chance {
			w := chance[s][:n]
			total := 0.0
			for _, x := range w {
				total += x
			}
			// Rare scores count as one: they ask for the same.
			if s+1 < scores && total < rare*float64(n) {
				for i, x := range w {
					chance[s+1][i] += x
				}
				continue
			}
			if total == 0 {
				continue
			}
			o := outcome{p: total / float64(n), loss: make([]float64, len(base)-c)}
			for j := range o.loss {
				l := r.loss[c+j]
				sum := 0.0
				for i, x := range w {
					sum += x * l[i]
				}
				o.loss[j] = sum / total
			}
			each[k] = append(each[k], o)
		}
	}
	sums := make([][]float64, len(readers)+1)
	sums[0] = base[c:]
	for k := range readers {
		sums[k+1] = make([]float64, len(base)-c)
	}
	var walk func(k int) (p, v float64)
	walk = func(k int) (p, v float64) {
		if k == len(readers) {
			return 1, slices.Min(sums[k])
		}
		for _, o := range each[k] {
			for j, x := range o.loss {
				sums[k+1][j] = sums[k][j] + x
			}
			_, least := walk(k + 1)
			p += o.p
			v += o.p * least
		}
		return p, v / p
	}
	_, v := walk(0)
	return v
}
