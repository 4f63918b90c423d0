package bench

import (
	"math"
	"sort"

	"steepbook/kinetics"
)

// Timetable has every botanical right at the moment the jar is strained.
type Timetable struct {
	// NextJar: the times are those of another jar, counted from its start,
	// because this one can no longer be strained at one moment. Conflict says
	// why.
	NextJar  bool
	Conflict Conflict
	// TotalH is when to strain, hours since the start of the jar.
	TotalH   float64
	Stays    []Stay // in the order in which they go in
	Warnings []string
}

// Stay is one botanical's time in the jar, in hours since the start of the jar.
// Its window is the one Assess found for it, in its own time.
type Stay struct {
	Name       string
	InH, OutH  float64 // OutH is +Inf for what stays in the bottle
	Window     kinetics.Window
	In         bool // it is in the jar already
	Out        bool // it is out already
	LeaveIn    bool // it stays in the bottle
	PlanFailed bool // no finite time is known
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
	// AllOut: nothing is left to plan.
	AllOut bool
}

// near is how far from its own time, as a share of it, a botanical may be
// strained and still be as wanted: judgement, less than the step in strength
// that can be noticed.
const near = 0.25

// Together plans one moment to strain for everything, the slowest in first. In
// a running jar what is in or out stays as it is.
func (a *Assessment) Together() Timetable {
	if a.ElapsedH <= 0 {
		return a.freshJar()
	}
	t, conflict := a.thisJar()
	if conflict == nil {
		return t
	}
	t = a.freshJar()
	t.NextJar, t.Conflict = true, *conflict
	return t
}

// planned lists the botanicals that belong in a timetable.
func (a *Assessment) planned() []*Curve {
	var out []*Curve
	for i := range a.Curves {
		if c := &a.Curves[i]; !c.Watch && c.Forbidden == "" {
			out = append(out, c)
		}
	}
	return out
}

func (c *Curve) leaveIn() bool { return c.Botanical != nil && c.Botanical.LeaveIn }

// freshJar is the timetable of a jar that has not begun.
func (a *Assessment) freshJar() Timetable {
	var steeps []kinetics.Steep
	var t Timetable
	for _, c := range a.planned() {
		if c.leaveIn() {
			t.Stays = append(t.Stays, Stay{Name: c.Name, OutH: math.Inf(1), Window: c.Window, LeaveIn: true})
			continue
		}
		steeps = append(steeps, kinetics.Steep{Name: c.Name, Window: c.Window})
	}
	p := kinetics.Staggered(steeps)
	for _, s := range p.Stays {
		t.Stays = append(t.Stays, Stay{Name: s.Name, InH: s.InH, OutH: s.OutH, Window: s.Window, PlanFailed: s.PlanFailed})
	}
	t.TotalH, t.Warnings = p.TotalH, p.Warnings
	sort.SliceStable(t.Stays, func(i, j int) bool { return t.Stays[i].InH < t.Stays[j].InH })
	return t
}

// thisJar is the timetable of a running jar, or what stands in its way.
func (a *Assessment) thisJar() (Timetable, *Conflict) {
	c := Conflict{AllOut: true, FirstH: math.Inf(1), LastH: math.Inf(-1)}
	var t Timetable
	best := a.ElapsedH
	for _, k := range a.planned() {
		s := Stay{Name: k.Name, InH: k.InH, Window: k.Window}
		switch w := k.Window; {
		case k.OutH != nil:
			s.Out, s.OutH = true, *k.OutH
		case k.leaveIn():
			s.LeaveIn, s.In, s.OutH = true, k.JarH > 0, math.Inf(1)
		case math.IsInf(w.Best, 1):
			c.AllOut = false
			s.PlanFailed, s.In = true, k.JarH > 0
			t.Warnings = append(t.Warnings, k.Name+" has no time of its own: taste for it.")
		case k.JarH > 0:
			c.AllOut, s.In = false, true
			from, until := k.rightBetween()
			if k.Overdue {
				c.Overdue, until = append(c.Overdue, k.Name), math.Min(until, k.JarH)
			}
			if k.InH+until < c.FirstH {
				c.First, c.FirstH = k.Name, k.InH+until
			}
			if k.InH+from > c.LastH {
				c.Last, c.LastH = k.Name, k.InH+from
			}
			best = math.Max(best, k.InH+w.Best)
		default:
			c.AllOut = false
			if ready := a.ElapsedH + w.Best; ready > c.LastH {
				c.Last, c.LastH = k.Name, ready
			}
			best = math.Max(best, a.ElapsedH+w.Best)
		}
		t.Stays = append(t.Stays, s)
	}
	switch {
	case c.AllOut || len(c.Overdue) > 0:
		return t, &c
	case c.FirstH < a.ElapsedH || c.FirstH < c.LastH:
		if c.LastH <= a.ElapsedH {
			c.Last, c.Ready = "", true
		}
		return t, &c
	}
	t.TotalH = math.Min(best, c.FirstH)
	for i := range t.Stays {
		switch s := &t.Stays[i]; {
		case s.Out || s.LeaveIn:
		case s.In || s.PlanFailed:
			s.OutH = t.TotalH
		default:
			s.InH, s.OutH = math.Max(a.ElapsedH, t.TotalH-s.Window.Best), t.TotalH
		}
	}
	sort.SliceStable(t.Stays, func(i, j int) bool { return t.Stays[i].InH < t.Stays[j].InH })
	return t, nil
}

// rightBetween is when straining finds it as wanted, hours in the jar: about
// its own time; no later than an unwanted taste allows; and at any time after
// it where it gets no stronger.
func (c *Curve) rightBetween() (from, until float64) {
	w := c.Window
	from, until = (1-near)*w.Best, (1+near)*w.Best
	switch w.LimitedBy {
	case kinetics.ByWatch:
		until = w.Best
	case kinetics.ByPlateau:
		until = math.Inf(1)
	}
	if c.Late != nil {
		until = math.Min(until, c.Late.UsualH)
	}
	return from, until
}
