package jar

import (
	"math"
	"slices"
	"sort"
	"sync"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"

	"steepbook/kinetics"
	"steepbook/kinetics/cores"
)

const (
	mostTold   = 3                  // strands whose scores are weighed one against the other
	negligible = 0.02               // points² by which an unwanted taste's scores must matter
	fineStep   = 1.1161231740339044 // looksWithin^(1/(lookPoints-1)): between candidates for a tasting
	wideStep   = 1.6                // between those that lie far ahead
	nothing    = 0.01               // points² between looks that are as good
	scores     = kinetics.WholeScores
	rare       = 5e-3 // chance of a score below which it is taken with the next
)

// sample is the jars drawn from a strand that a tasting speaks of, and what was
// worked out of them: a look is weighed at the same times again and again.
type sample struct {
	draws *kinetics.Draws
	known map[[2]float64]*moment // by the time of the loss and of the decision
}

// moment is the drawn jars of a strand at one time.
type moment struct {
	mean           float64                 // of the loss; written first, so that new memory is not read first
	strength, loss [kinetics.Drawn]float64 // of each jar: neat, and in the bottle
}

// moments lends them, a unit needs some hundred and gives them back when it has its order; rooms lends
// what scores are weighed in.
var (
	moments = sync.Pool{New: func() any { return new(moment) }}
	rooms   = sync.Pool{New: func() any { return new(room) }}
)

// done gives back what the looks of a unit were weighed in.
func (u *unit) done() {
	for i := range u.strands {
		s := u.strands[i].sample
		if s == nil {
			continue
		}
		for _, m := range s.known {
			moments.Put(m)
		}
		u.strands[i].sample = nil
	}
}

// reader is a strand that a tasting speaks of at every time ahead.
type reader struct {
	*sample
	by float64
	at []*moment
}

// look is the best time for the next tasting of a unit as it is at its own moment, and the
// expected loss after it, V(t') without the price of a sitting.
func (d *decider) look(u *unit, p plan) visit {
	looks := func(t []float64) []float64 { return u.looks(p, t) }
	losses := looks(p.near.t)
	best := slices.IndexFunc(losses, func(l float64) bool { return l <= slices.Min(losses)+nothing })
	at, loss := p.near.t[best], losses[best]
	// Between wide steps it lies a little to the side.
	ratio := math.Sqrt(wideStep)
	for ; at > looksWithin*p.since+u.in && ratio > fineStep; ratio = math.Sqrt(ratio) {
		t := []float64{u.in + (at-u.in)/ratio, u.in + (at-u.in)*ratio}
		for i, l := range looks(t) {
			if l < loss-nothing {
				at, loss = t[i], l
			}
		}
	}
	v := d.handy(d.byDay(at, loss, u.now, looks), u.in, u.now)
	v.late = waits(v.at, p.near.t[best:], losses[best:], loss)
	return v
}

// waits is to when a tasting that is due may wait, at more than the least loss by what no taster could tell, by
// the losses at some times from that on.
func waits(due float64, t, losses []float64, least float64) float64 {
	i := slices.Index(losses, slices.Min(losses))
	for ; i < len(t) && losses[i] <= least+untold; i++ {
		due = max(due, t[i])
	}
	return due
}

// looks are the expected losses after a tasting at each of some moments, in
// order: the mean over the scores that may be found of the least loss from then
// on, when the flavour comes out at one of these moments or of the plan's later.
func (u *unit) looks(p plan, at []float64) []float64 {
	ahead := p.near.join(p.far)
	times, base := slices.Clone(at), make([]float64, len(at))
	for i, t := range at {
		if k, known := slices.BinarySearch(ahead.t, t); known {
			base[i] = ahead.loss[k] + u.wait(t)
		} else {
			base[i] = u.cost(t)
		}
	}
	for i, t := range ahead.t {
		if t > at[len(at)-1] {
			times, base = append(times, t), append(base, ahead.loss[i]+u.wait(t))
		}
	}
	var readers []*reader
	for _, s := range u.told(p) {
		r := newReader(s, times, u.now)
		for j := range times {
			base[j] -= r.at[j].mean // exact; what is read is taken off again
		}
		readers = append(readers, r)
	}
	out := make([]float64, len(at))
	cores.Each(len(at), func(c int) { out[c] = value(readers, base, c) })
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
	last := max(p.wait, p.near.t[len(p.near.t)-1])
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
	sort.SliceStable(all, func(i, j int) bool { return all[i].v > all[j].v })
	out := make([]*strand, 0, mostTold)
	for i := range min(len(all), mostTold) {
		out = append(out, all[i].s)
	}
	return out
}

func newReader(s *strand, times []float64, now float64) *reader {
	if s.sample == nil {
		s.sample = &sample{s.post.Draws(), map[[2]float64]*moment{}}
	}
	r := &reader{sample: s.sample, by: s.by}
	for _, t := range times {
		r.at = append(r.at, s.moment(t, now))
	}
	return r
}

// moment is the jars of a strand that comes out at t.
func (s *strand) moment(t, now float64) *moment {
	key := [2]float64{t, now}
	if m := s.sample.known[key]; m != nil {
		return m
	}
	m, d := moments.Get().(*moment), s.sample.draws
	s.sample.known[key], m.mean = m, 0
	d.At(max(t-s.in, 0), m.strength[:])
	already := m
	if t != now {
		already = s.moment(now, now)
	}
	n := d.N()
	scale, most := s.weight*s.by*s.by, worst/s.by
	for i, v := range m.strength[:n] {
		off := min(v, most) - s.level
		switch is := already.strength[i]; {
		case !s.wanted:
			off = max(off, 0)
		case s.level == 0:
			c := d.Plateau(i)
			off = (v/c - kinetics.NearlyAll) * min(c, most)
		case is > s.level:
			off = min(max(v, is), most) - s.level // it is not believed to fade back
		}
		m.loss[i] = scale*off*off + s.weight*s.by*s.firm*off
		m.mean += m.loss[i] / float64(n)
	}
	return m
}

// room is numbers that a value is worked out in, taken one after the other.
type room struct {
	chance [kinetics.Drawn * scores]float64 // of each score, by jar
	all    []float64
	left   []float64
}

// lendRoom lends as much as a value at these times needs; it goes back by rooms.Put.
func lendRoom(readers, times int) *room {
	r, n := rooms.Get().(*room), scores*(times+1)+readers*(scores+1)*times
	r.all = slices.Grow(r.all[:0], n)[:n]
	r.left = r.all
	return r
}

// take is the next n of them, all nought.
func (r *room) take(n int) []float64 {
	out := r.left[:n:n]
	r.left = r.left[n:]
	clear(out)
	return out
}

// value is the expected least loss from time c on after a tasting at it.
func value(readers []*reader, base []float64, c int) float64 {
	in := lendRoom(len(readers), len(base)-c)
	defer rooms.Put(in)
	type outcome struct {
		p    float64
		loss []float64 // at times c, c+1, …
	}
	var each [mostTold][]outcome
	sums := in.take((len(base) - c + 1) * scores)
	for k, r := range readers {
		n, ahead := r.draws.N(), r.at[c:]
		chance := blas64.General{Rows: n, Cols: scores, Stride: scores, Data: in.chance[:n*scores]}
		r.draws.Readings(ahead[0].strength[:n], r.by, chance.Data)
		// Sums over the jars of the chance of each score, and of that times the loss.
		over := func(row int, of []float64) {
			sum := blas64.Vector{N: scores, Inc: 1, Data: sums[row*scores:][:scores]}
			blas64.Gemv(blas.Trans, 1, chance, blas64.Vector{N: n, Inc: 1, Data: of}, 0, sum)
		}
		over(0, alike[:n])
		for j, m := range ahead {
			over(j+1, m.loss[:n])
		}
		each[k] = make([]outcome, 0, scores)
		o := outcome{loss: in.take(len(ahead))}
		for s := range scores {
			o.p += sums[s] / float64(n)
			for j := range o.loss {
				o.loss[j] += sums[(j+1)*scores+s]
			}
			// Rare scores count as one: they ask for the same.
			if o.p == 0 || s+1 < scores && o.p < rare {
				continue
			}
			for j := range o.loss {
				o.loss[j] /= o.p * float64(n)
			}
			each[k] = append(each[k], o)
			if s+1 < scores {
				o = outcome{loss: in.take(len(ahead))}
			}
		}
	}
	var path [mostTold + 1][]float64
	path[0] = base[c:]
	for k := range readers {
		path[k+1] = in.take(len(base) - c)
	}
	var walk func(k int) (p, v float64)
	walk = func(k int) (p, v float64) {
		if k == len(readers) {
			return 1, slices.Min(path[k])
		}
		for _, o := range each[k] {
			for j, x := range o.loss {
				path[k+1][j] = path[k][j] + x
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

// alike weighs the drawn jars the same.
var alike = slices.Repeat([]float64{1}, kinetics.Drawn)
