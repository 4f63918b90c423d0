package work

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"steepbook/cmd/internal/steeping"
	"time"

	"steepbook/cmd/internal/recipe"
	"steepbook/kinetics/jar"
)

// event is what happens to the jar at an hour since its start, +Inf where nobody knows.
type event struct {
	hours float64
	steps []Step
}

// rank orders what happens at one hour: what goes in, what comes out for certain, the
// tasting, and what it decides; what is strained out comes behind what is pulled.
func (e *event) rank() int {
	s := &e.steps[len(e.steps)-1]
	rank := map[Kind]int{PutIn: 0, Pull: 1, Lift: 1, Strain: 2, Taste: 3}[s.Kind]
	if s.After == Taste {
		rank += 3
	}
	return rank
}

// steep is what happens to the jar: what goes in later, what is tasted, what comes out,
// in the order of the hours that the orders name.
func (m *maker) steep() {
	a := m.a
	var all []event
	for _, in := range m.later() {
		put := Step{Kind: PutIn, Of: m.going(in), At: m.hour(in), Done: m.in(in)}
		if put.Done {
			put.At = a.Batch.At(in)
		}
		all = append(all, event{in, append(m.ready(in), put)})
	}
	next := math.Inf(1)
	if s := a.NextSitting(); s != nil && !m.strained {
		if next = math.Max(s.AtH, a.ElapsedH); s.Now {
			next = a.ElapsedH
		}
		t := Step{Kind: Taste, At: m.hour(next), DoubtH: s.DoubtH, Why: s.Advice}
		for _, name := range slices.Concat(s.Flavours, s.Watch) {
			t.Of = append(t.Of, Thing{Name: name})
		}
		all = append(all, event{next, []Step{t}})
	}
	for i := range a.Curves {
		if e, ok := m.out(&a.Curves[i], next); ok {
			all = append(all, e)
		}
	}
	sort.SliceStable(all, func(i, j int) bool {
		x, y := &all[i], &all[j]
		return x.hours < y.hours || x.hours == y.hours && x.rank() < y.rank()
	})
	for i, e := range all {
		// What comes out at one hour is one errand.
		if s := &e.steps[0]; i > 0 && len(s.Of) > 0 && e.hours == all[i-1].hours {
			last := &m.steps[len(m.steps)-1]
			if last.Kind == s.Kind && (s.Kind == Pull || s.Kind == Lift || s.Kind == Strain) &&
				last.Done == s.Done && last.After == s.After {
				last.Of = append(last.Of, s.Of...)
				last.DoubtH = math.Min(last.DoubtH, s.DoubtH)
				continue
			}
		}
		m.steps = append(m.steps, e.steps...)
	}
	m.strainAll(len(all) > 0)
}

// out is when a flavour comes out alone, by its order; ok is false for what does not.
func (m *maker) out(c *steeping.Curve, next float64) (e event, ok bool) {
	a, o := m.a, &c.Order
	if c.Watch || c.NeverIn() {
		return e, false
	}
	s, told := Step{Kind: Pull, Of: []Thing{{Name: c.Name}}, DoubtH: o.DoubtH()}, true
	switch {
	case o.Do == jar.Out && a.Batch.Pulled(c.Name) != nil: // else it was strained with the rest
		e.hours, s.Done, s.DoubtH = *c.OutH, true, 0
	case o.Do == jar.Pull || o.Do == jar.Strain:
		e.hours, s.DoubtH = a.ElapsedH, 0
	case o.Do == jar.Leave:
		e.hours = o.ByH
	case o.Do == jar.Taste:
		s.After = Taste
		e.hours = math.Max(o.TasteH, next)
		if told = o.BestH >= e.hours; told { // else the tasting says it, and nothing else does
			e.hours = math.Max(a.WhenUp(o, o.BestH), e.hours)
		}
	default:
		return e, false
	}
	switch {
	case s.Done:
	case recipe.Named(m.fats, c.Name):
		s.Kind, s.Why = Lift, liftWhy
	case c.OnlyStrained():
		s.Kind = Strain
	}
	if c.Fine && !s.Done {
		s.Why = "so fine that only straining takes it out; what is not ready goes back in"
	}
	if told {
		s.At = m.hour(e.hours)
	}
	if s.Done {
		s.At = a.Batch.At(e.hours)
	}
	e.steps = []Step{s}
	return e, true
}

// hour is when something of the jar is to be done: now where its hour has come, zero for
// never.
func (m *maker) hour(h float64) time.Time {
	switch {
	case math.IsInf(h, 0) || math.IsNaN(h):
		return time.Time{}
	case h <= m.a.ElapsedH:
		return m.a.Now
	}
	return m.a.Batch.At(h)
}

// later are the hours at which something joins the jar, the start left out.
func (m *maker) later() (hours []float64) {
	p := m.a.Recipe
	for h := range p.Steeped {
		hours = append(hours, h.Entry.In)
	}
	for i := range p.Additions {
		if in := p.Additions[i].Entry.In; in != nil {
			hours = append(hours, *in)
		}
	}
	slices.Sort(hours)
	hours = slices.Compact(hours)
	return slices.DeleteFunc(hours, func(h float64) bool { return h == 0 })
}

// going is what joins the jar at an hour.
func (m *maker) going(in float64) (of []Thing) {
	p := m.a.Recipe
	for h := range p.Steeped {
		if h.Entry.In == in {
			of = append(of, thing(h))
		}
	}
	for i := range p.Additions {
		if e := &p.Additions[i].Entry; e.In != nil && *e.In == in {
			of = append(of, Thing{e.Name, written(e.Amount)})
		}
	}
	return of
}

// strainAll is the end of the steep, once nothing is in that comes out: one errand with the
// last that does, at its moment and by what decides that; where that is strained out it is it.
// Comes: something is still to happen to the jar, or did.
func (m *maker) strainAll(comes bool) {
	a := m.a
	s := Step{Kind: Strain, After: Pull, Why: "through a sieve, then a cloth"}
	if len(m.fats) > 0 {
		s.Why = "cold, through a sieve, then paper: what melts runs through"
	}
	if len(a.Batch.Botanicals) == 0 || m.leftIn() {
		m.lift(Step{After: PutIn})
		return
	}
	if m.strained {
		if at := a.Batch.StrainedAt(); at != nil && !at.Implied() && at.Hours <= a.ElapsedH {
			s.At, s.Done = at.When, true
			m.add(s)
		}
		return
	}
	switch last := &m.steps[len(m.steps)-1]; {
	case !comes:
	case last.Kind == Strain:
		m.lift(*last)
		return
	case (last.Kind == Pull || last.Kind == Lift) && !last.Done, last.Kind == PutIn && !last.At.Before(a.Now):
		s.At, s.DoubtH, s.After = last.At, last.DoubtH, last.After
	}
	m.lift(s)
	m.add(s)
}

const liftWhy = "overnight in the freezer; what is soft runs through the sieve"

// lift is the fat that no step lifts off yet, when the jar is strained or right after it.
func (m *maker) lift(with Step) {
	var of []Thing
	for _, name := range m.a.FatToLift() {
		if !slices.ContainsFunc(m.steps,
			func(s Step) bool { return s.Kind == Lift && slices.Contains(s.Names(), name) }) {
			of = append(of, Thing{Name: name})
		}
	}
	s := Step{Kind: Lift, Of: of, At: with.At, DoubtH: with.DoubtH, After: with.After,
		Why: cmp.Or(with.Why, liftWhy)}
	switch n := len(m.steps); {
	case len(of) == 0:
	case n > 0 && m.steps[n-1].Kind == Strain && !m.steps[n-1].Done:
		m.steps = append(m.steps, m.steps[n-1])
		m.steps[n-1] = s
	default:
		m.add(s)
	}
}

// leftIn reports whether all that steeps stays in the bottle.
func (m *maker) leftIn() bool {
	b := m.a.Batch
	return b.Finish.LeaveIn || !slices.ContainsFunc(m.a.Curves, func(c steeping.Curve) bool {
		return c.Botanical != nil && !c.Botanical.LeaveIn
	})
}
