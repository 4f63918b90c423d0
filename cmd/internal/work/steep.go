package work

import (
	"cmp"
	"math"
	"slices"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/kinetics/jar"
)

// event is what happens to the jar at an hour since its start, +Inf where nobody knows.
type event struct {
	hours float64
	steps []Step
}

// rank orders what happens at one hour: what goes in, what comes out for certain, the
// tasting, and what it decides.
func (e *event) rank() int {
	switch s := &e.steps[len(e.steps)-1]; {
	case s.Kind == PutIn:
		return 0
	case s.Kind == Taste:
		return 2
	case s.After == Taste:
		return 3
	}
	return 1
}

// steep is what happens to the jar: what goes in later, what is tasted, what comes out,
// in the order of the hours that the orders name.
func (m *maker) steep() {
	a := m.a
	var all []event
	for _, in := range m.later() {
		put := Step{Kind: PutIn, Of: m.going(in), At: a.Batch.At(in), Done: m.in(in)}
		all = append(all, event{in, append(m.ready(in), put)})
	}
	next := math.Inf(1)
	if s := a.NextSitting(); s != nil && !m.strained {
		next = math.Max(s.AtH, a.ElapsedH)
		t := Step{Kind: Taste, At: a.Batch.At(next), DoubtH: s.DoubtH, Why: s.Advice}
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
	slices.SortStableFunc(all, func(x, y event) int {
		return cmp.Or(cmp.Compare(x.hours, y.hours), x.rank()-y.rank())
	})
	for i, e := range all {
		// What comes out at one hour is one errand.
		if s := &e.steps[0]; i > 0 && len(s.Of) > 0 && e.hours == all[i-1].hours {
			last := &m.steps[len(m.steps)-1]
			if last.Kind == s.Kind && (s.Kind == Pull || s.Kind == Strain) && last.Done == s.Done && last.After == s.After {
				last.Of = append(last.Of, s.Of...)
				last.DoubtH = math.Min(last.DoubtH, s.DoubtH)
				continue
			}
		}
		m.steps = append(m.steps, e.steps...)
	}
	m.strainAll(all)
}

// out is when a flavour comes out alone, by its order; ok is false for what does not.
func (m *maker) out(c *bench.Curve, next float64) (e event, ok bool) {
	a, o := m.a, &c.Order
	if c.Watch || c.NeverIn() {
		return e, false
	}
	s := Step{Kind: Pull, Of: []Thing{{Name: c.Name}}, DoubtH: (o.UntilH - o.FromH) / 2}
	if math.IsInf(s.DoubtH, 1) || math.IsNaN(s.DoubtH) {
		s.DoubtH = 0
	}
	switch {
	case o.Do == jar.Out && c.OutH != nil:
		e.hours, s.Done, s.DoubtH = *c.OutH, true, 0
	case o.Do == jar.Pull || o.Do == jar.Strain:
		e.hours, s.DoubtH = a.ElapsedH, 0
	case o.Do == jar.Leave:
		e.hours = o.ByH
	case o.Do == jar.Taste:
		s.After = Taste
		e.hours = math.Max(o.BestH, math.Max(o.TasteH, next))
		if o.BestH < e.hours {
			s.DoubtH = 0
		}
	default:
		return e, false
	}
	if c.OnlyStrained() && !s.Done {
		s.Kind = Strain
	}
	if c.Fine && !s.Done {
		s.Why = "so fine that only straining takes it out; what is not ready goes back in"
	}
	s.At = m.hour(e.hours)
	if s.After == Taste && o.BestH < e.hours {
		s.At = time.Time{} // the tasting says it, and nothing else does
	}
	e.steps = []Step{s}
	return e, true
}

// hour is a moment of the jar, zero for never.
func (m *maker) hour(h float64) time.Time {
	if math.IsInf(h, 0) || math.IsNaN(h) {
		return time.Time{}
	}
	return m.a.Batch.At(h)
}

// later are the hours at which something joins the jar, the start left out.
func (m *maker) later() (hours []float64) {
	p := m.a.Recipe
	for i := range p.Botanicals {
		hours = append(hours, p.Botanicals[i].Entry.In)
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
	for i := range p.Botanicals {
		if h := &p.Botanicals[i]; h.Entry.In == in {
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

// strainAll is the end of the steep, once nothing is in that comes out; all are the hours
// at which things do.
func (m *maker) strainAll(all []event) {
	a := m.a
	if len(a.Batch.Botanicals) == 0 || m.leftIn() {
		return
	}
	s := Step{Kind: Strain, After: Pull, Why: "through a sieve, then a cloth"}
	if hours, ok := a.Strained(); ok {
		s.At, s.Done = a.Batch.At(hours), true
	} else if m.bottled {
		s.Done = true
	}
	last := 0.0
	for i := range all {
		last = math.Max(last, all[i].hours)
		if e := &all[i].steps[0]; e.Kind == Strain && i == len(all)-1 && !s.Done {
			return // the last thing out is strained anyway
		}
	}
	if !s.Done && len(all) > 0 {
		s.At = m.hour(last)
	}
	open := func(x Step) bool { return x.After == Taste && !x.Done }
	if !s.At.IsZero() && !s.Done && slices.ContainsFunc(m.steps, open) {
		s.DoubtH = 24
	}
	m.add(s)
}

// leftIn reports whether all that steeps stays in the bottle.
func (m *maker) leftIn() bool {
	b := m.a.Batch
	return b.Finish.LeaveIn || !slices.ContainsFunc(m.a.Curves, func(c bench.Curve) bool {
		return c.Botanical != nil && !c.Botanical.LeaveIn
	})
}
