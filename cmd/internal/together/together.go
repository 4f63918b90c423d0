// Package together plans one moment to strain for every botanical of a jar: when each
// goes in, so that all are right at once.
package together

import (
	"math"
	"sort"
	"steepbook/cmd/internal/steeping"

	"steepbook/cmd/internal/bench"
	"steepbook/kinetics/jar"
)

// Timetable has every botanical right at the moment the jar is strained.
type Timetable struct {
	// NextJar: the times are those of another jar, counted from its start,
	// because this one can no longer be strained at one moment. Conflict says
	// why.
	NextJar  bool
	Conflict Conflict
	// TotalH is when to strain, hours since the start of the jar, and DoubtH by how much it may be
	// missed; Night: somebody has to get up for it.
	TotalH, DoubtH float64
	Night          bool
	Stays          []Stay // in the order in which they go in
}

// WithinH is by how much [h] a moment of it may be told off: a quarter of the narrowest of the windows that it
// serves, so that two of them miss none.
func (t *Timetable) WithinH() float64 {
	off := math.Inf(1)
	for i := range t.Stays {
		if s := &t.Stays[i]; !s.Out && !s.LeaveIn && !s.Spent && !s.PlanFailed {
			off = min(off, (s.UntilH-s.FromH)/4)
		}
	}
	return off
}

// Stay is one botanical's time in the jar, in hours since the start of the jar.
type Stay struct {
	Name      string
	InH, OutH float64 // OutH is +Inf for what stays in the bottle
	// BestH is its own time in the jar, FromH to UntilH when no taster could tell
	// the difference: those of its order.
	BestH, FromH, UntilH float64
	In                   bool // it is in the jar already
	Out                  bool // it is out already
	LeaveIn              bool // it stays in the bottle
	PlanFailed           bool // no finite time is known
	Spent                bool // nothing has come of it
}

// Conflict is why this jar cannot be strained at one moment.
type Conflict struct {
	// First has to be out by FirstH; Last is not ready before LastH, empty where
	// it is only the hour that has passed. Hours since the start of the batch.
	First, Last   string
	FirstH, LastH float64
	// Overdue names what should come out now. Ready: everything that is in has
	// come to its time.
	Overdue []string
	Ready   bool
	// AllNow: all that is in should come out now. Decides names what is tasted
	// again first, the next of it at DecidesH.
	AllNow   bool
	Decides  []string
	DecidesH float64
	// AllOut: nothing is left to plan. Spent names all that is in where nothing
	// more comes of it.
	AllOut bool
	Spent  []string
	// Unfit: it must not even be tasted.
	Unfit bool
}

// Plan plans one moment to strain for everything, the slowest in first. In
// a running jar what is in or out stays as it is.
func Plan(a *bench.Assessment) Timetable {
	t := plan(a)
	t.DoubtH = math.Max(math.Min(t.TotalH/4, lastH(a)-t.TotalH), 0)
	return t
}

// lastH is the last hour to which the jar may stand.
func lastH(a *bench.Assessment) float64 {
	if h := a.JarEnd().H; h > 0 {
		return h
	}
	return math.Inf(1)
}

func plan(a *bench.Assessment) Timetable {
	if a.ElapsedH <= 0 {
		return freshJar(a)
	}
	t, conflict := thisJar(a)
	if a.Unfit() {
		conflict = &Conflict{Unfit: true}
	}
	if conflict == nil {
		return t
	}
	t = freshJar(a)
	t.NextJar, t.Conflict = true, *conflict
	return t
}

// planned lists the botanicals that belong in a timetable.
func planned(a *bench.Assessment) []*steeping.Curve {
	var out []*steeping.Curve
	for i := range a.Curves {
		if c := &a.Curves[i]; !c.Watch && c.Forbidden == "" {
			out = append(out, c)
		}
	}
	return out
}

func leaveIn(c *steeping.Curve) bool { return c.Botanical != nil && c.Botanical.LeaveIn }

// stay is a botanical's place in a timetable, by its order.
func stay(c *steeping.Curve) Stay {
	o := &c.Order
	s := Stay{
		Name:    c.Name,
		InH:     c.InH,
		BestH:   o.BestH - c.InH,
		FromH:   o.FromH - c.InH,
		UntilH:  o.UntilH - c.InH,
		LeaveIn: leaveIn(c),
		In:      c.JarH > 0,
	}
	s.Spent = o.Do == jar.Nothing
	s.PlanFailed = !s.LeaveIn && (math.IsInf(s.BestH, 1) || s.Spent)
	return s
}

// freshJar is the timetable of a jar that has not begun: the slowest goes in
// first, and all come out together.
func freshJar(a *bench.Assessment) Timetable {
	var t Timetable
	for _, c := range planned(a) {
		s := stay(c)
		s.In = false
		switch {
		case s.LeaveIn:
			s.OutH = math.Inf(1)
		case s.PlanFailed: // its row says so
		default:
			t.TotalH = math.Max(t.TotalH, s.BestH)
		}
		t.Stays = append(t.Stays, s)
	}
	for i := range t.Stays {
		s := &t.Stays[i]
		s.InH = 0
		if !s.LeaveIn {
			s.OutH = t.TotalH
			if !s.PlanFailed {
				s.InH = t.TotalH - s.BestH
			}
		}
	}
	sort.SliceStable(t.Stays, func(i, j int) bool { return t.Stays[i].InH < t.Stays[j].InH })
	return t
}

// thisJar is the timetable of a running jar, or what stands in its way.
func thisJar(a *bench.Assessment) (Timetable, *Conflict) {
	c := Conflict{AllOut: true, AllNow: true, FirstH: math.Inf(1), LastH: math.Inf(-1), DecidesH: math.Inf(1)}
	var t Timetable
	live := false
	best := a.ElapsedH
	for _, k := range planned(a) {
		s := stay(k)
		switch o := &k.Order; {
		case k.OutH != nil:
			s.Out, s.OutH, s.In = true, *k.OutH, false
		case s.LeaveIn:
			s.OutH = math.Inf(1)
		case s.PlanFailed:
			c.AllOut = false
			if s.Spent {
				c.Spent = append(c.Spent, k.Name)
			} else {
				live, c.AllNow = true, false
			}
		case s.In:
			c.AllOut, live = false, true
			until := o.UntilH
			now := o.Do == jar.Pull || o.Do == jar.Strain
			c.AllNow = c.AllNow && now
			if next := math.Min(o.ByH, o.TasteH); !now && next > a.ElapsedH {
				c.Decides = append(c.Decides, k.Name)
				c.DecidesH = math.Min(c.DecidesH, next)
			}
			if now {
				until = math.Min(until, a.ElapsedH)
				if o.Overdue {
					c.Overdue = append(c.Overdue, k.Name)
				}
			}
			if until < c.FirstH {
				c.First, c.FirstH = k.Name, until
			}
			if o.FromH > c.LastH {
				c.Last, c.LastH = k.Name, o.FromH
			}
			best = math.Max(best, o.BestH)
		default:
			c.AllOut, live, c.AllNow = false, true, false
			if ready := a.ElapsedH + s.FromH; ready > c.LastH {
				c.Last, c.LastH = k.Name, ready
			}
			best = math.Max(best, a.ElapsedH+s.BestH)
		}
		t.Stays = append(t.Stays, s)
	}
	if live {
		c.Spent = nil
	}
	c.AllNow = c.AllNow && live
	switch {
	case c.AllOut || !live || len(c.Overdue) > 0:
		return t, &c
	case c.AllNow: // what is as good now as later is not strained apart
	case c.FirstH < a.ElapsedH || c.FirstH < c.LastH:
		if c.LastH <= a.ElapsedH {
			c.Last, c.Ready = "", true
		}
		return t, &c
	}
	last := math.Min(c.FirstH, lastH(a))
	if t.TotalH = math.Min(best, last); t.TotalH > a.ElapsedH {
		t.TotalH, t.Night = a.WhenUpWithin(c.LastH, last, t.TotalH)
	}
	t.lay(a.ElapsedH)
	return t, nil
}

// lay has all come out at its end, and what is not in yet go in as long before it as it wants.
func (t *Timetable) lay(nowH float64) {
	for i := range t.Stays {
		switch s := &t.Stays[i]; {
		case s.Out || s.LeaveIn:
		case s.In || s.PlanFailed:
			s.OutH = t.TotalH
		default:
			s.InH, s.OutH = math.Max(nowH, t.TotalH-s.BestH), t.TotalH
		}
	}
	sort.SliceStable(t.Stays, func(i, j int) bool { return t.Stays[i].InH < t.Stays[j].InH })
}
