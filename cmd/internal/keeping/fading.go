package keeping

import (
	"math"
	"slices"
	"time"

	"steepbook/shelf"
)

// Fading is a change of taste, with the time for which it is not noticed, sealed, in the finished drink. Later:
// it is of what goes in after straining, In is when that was logged, zero where it was not.
type Fading struct {
	shelf.Fade
	Later bool
	In    time.Time
}

// fading is a change of taste that goes on: from since on, and by what was used up of its days in what it was
// in before.
type fading struct {
	since Since
	run   run
	days  shelf.Days
}

// end is the day to which it is not noticed.
func (f *fading) end() time.Time { return f.run.until(f.days, true) }

// pace is for how many days what fades is as it was in that drink.
func (s *State) pace(f *Fading) float64 {
	for i := range s.Fades {
		if x := &s.Fades[i]; x.Attribute == f.Attribute &&
			slices.ContainsFunc(x.Of, func(name string) bool { return slices.Contains(f.Of, name) }) {
			return orInf(x.Time.Low)
		}
	}
	return f.Time.Low
}

// from is how its days run from a moment on: in each state of the drink, as in the finished one, at the pace
// that it has there.
func (f *Fading) from(begin time.Time, states []State) run {
	r, used, at := run{from: begin}, Spent{}, begin
	for i := range states {
		s := &states[i]
		pace := s.pace(f)
		if begin.IsZero() || pace == f.Time.Low || !s.To.IsZero() && !s.To.After(at) {
			continue
		}
		if s.From.After(at) {
			if used.Use(at, s.From, f.Time.Low); used.By >= 1 {
				return r
			}
			at = s.From
		}
		if left := (1 - used.By) * pace; s.To.IsZero() || left <= s.To.Sub(at).Hours()/24 { // it ends in that
			if math.IsInf(left, 1) {
				return run{}
			}
			return run{from: after(at, left-f.Time.Low)}
		}
		used.Use(at, s.To, pace)
		at = s.To
		r = run{from: at, spent: used}
	}
	return r
}

// first is the place of what is noticed first, by the days of which that runs.
func (c *clock) first() (first int) {
	for i := range c.fades {
		if sooner(c.fades[i].end(), c.fades[first].end()) {
			first = i
		}
	}
	return first
}

// FadesFirst is the place among its Fades of the change of taste that is noticed first.
func (k *Keep) FadesFirst() int { return k.clock.first() }
