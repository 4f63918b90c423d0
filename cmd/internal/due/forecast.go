package due

import (
	"math"
	"steepbook/cmd/internal/steeping"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/kinetics"
	"steepbook/kinetics/jar"
)

// leaving is a flavour that comes out of a jar: when its order has it come out, in hours
// since the start, which is as likely too late as too soon. Settled: it comes out then,
// whatever is tasted, for its order says so or something else than its strength ends it.
type leaving struct {
	name    string
	kind    Kind // Pull, or Strain of what can only be strained
	order   *jar.Order
	inH     float64
	likelyH float64
	settled bool
	// levels is when no more of it comes that a taster could tell: a flavour that is never as
	// strong as wanted comes out then, and makes nothing late.
	levels kinetics.Wait
}

// steep is how long a jar takes: what comes out of it. What day it is strained, bottled and
// rested is foreseen from it alone, whoever asks.
type steep []leaving

// steepOf reads it off the orders: of a jar that steeps what is in it or will be, of
// another one like it all that comes out.
func steepOf(a *bench.Assessment, another bool) (s steep) {
	for i := range a.Curves {
		c := &a.Curves[i]
		o := &c.Order
		if c.Watch || o.Why == jar.Forbid || o.Do == jar.Stays || !another && c.OutH != nil {
			continue
		}
		l := leaving{name: c.Name, kind: Pull, order: o, inH: c.InH, likelyH: OutH(a, c), levels: c.Levels()}
		if c.OnlyStrained() {
			l.kind = Strain
		}
		if !math.IsInf(l.likelyH, 1) {
			l.settled = o.Do != jar.Taste && o.Do != jar.Out || o.Why == jar.Spoils || o.Why == jar.Fades ||
				o.Why == jar.Unsafe ||
				o.Short() || o.Never >= 1
			s = append(s, l)
		}
	}
	return s
}

// OutH is when an order has its flavour come out, in hours since the start and when somebody
// is up, +Inf where it names no hour.
func OutH(a *bench.Assessment, c *steeping.Curve) float64 {
	o := &c.Order
	switch o.Do {
	case jar.Pull, jar.Strain, jar.Nothing:
		return math.Max(a.ElapsedH, 0)
	case jar.Leave:
		return a.WhenUp(o, o.ByH)
	case jar.Taste: // it is tasted before it comes out
		tasted := TastedH(a, a.NextSitting(), c)
		return math.Max(a.WhenUp(o, math.Max(o.BestH, tasted)), tasted)
	}
	return a.WhenUp(o, o.BestH)
}

// last is what comes out last, nil where nothing says when anything does.
func (s steep) last() (last *leaving) {
	for i := range s {
		if last == nil || s[i].likelyH > last.likelyH {
			last = &s[i]
		}
	}
	return last
}

// strained is when a jar that was started at a moment is likely to be done, now at the soonest.
func (s steep) strained(a *bench.Assessment, start time.Time) time.Time {
	done := start
	if last := s.last(); last != nil {
		done = start.Add(hours(last.likelyH))
	}
	if done.Before(a.Now) {
		done = a.Now
	}
	return done.In(a.Now.Location()) // its day is that of the wall clock
}

// late is the chance that the jar is not done after so many hours: that of what is most
// likely late, for all of it steeps in one cupboard and is tasted by one maker.
func (s steep) late(h float64) float64 {
	late := 0.0
	for i := range s {
		late = math.Max(late, 1-s[i].out(h))
	}
	return late
}

// by is after how many hours the chance to be late has come down to a share.
func (s steep) by(late float64) float64 {
	return within(func(h float64) bool { return s.late(h) <= late })
}

// within is the first hour at which something holds, of what holds for good from then on.
func within(holds func(h float64) bool) float64 {
	low, high := 0.0, 1.0
	for !holds(high) && high < 1e5 {
		low, high = high, 2*high
	}
	for range 40 {
		if mid := (low + high) / 2; holds(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}

// out is the chance that it is out after so many hours: one in two at the hour of its
// order, and about it spread as its strength is, by factors of the time since it went in.
func (l *leaving) out(h float64) float64 {
	if l.settled {
		if h >= l.likelyH {
			return 1
		}
		return 0
	}
	levels := reached(l.levels, 0, math.Max(h, 0))
	there := func(h float64) float64 { return reached(l.order.Crossing, l.order.Never, math.Max(h, 0)) }
	middle := within(func(h float64) bool { return there(h) >= 0.5 })
	if steeps := l.likelyH - l.inH; steeps > 0 && middle > l.inH {
		h = l.inH + (h-l.inH)*(middle-l.inH)/steeps
	}
	return math.Max(there(h), levels)
}

// reached is the chance that a flavour which gets there, as a share of them never does, has got
// there after so many hours: between the quantiles of the wait, and beyond the last, straight
// in the logarithm of time.
func reached(w kinetics.Wait, never, h float64) float64 {
	share, at, slope := 0.0, 0.0, math.Inf(1)
	for _, q := range []struct{ share, hours float64 }{{0.05, w.P05}, {0.1, w.P10}, {0.25, w.P25}, {0.5,
		w.Median},
		{0.75, w.P75}, {0.9, w.P90}, {0.95, w.P95}} {
		next := math.Min(q.share/(1-never), 1)
		switch {
		case math.IsInf(q.hours, 1):
			return math.Min(share+slope*math.Log(h/at), 1)
		case h < q.hours && at <= 0:
			return next * h / q.hours
		case q.hours > at && at > 0:
			slope = (next - share) / math.Log(q.hours/at)
		}
		if h < q.hours {
			return share + slope*math.Log(h/at)
		}
		share, at = next, q.hours
	}
	if at <= 0 {
		return 1
	}
	return math.Min(share+slope*math.Log(h/at), 1)
}
