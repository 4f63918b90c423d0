package batch

import (
	"cmp"
	"math"
	"slices"
)

// This file says when what lay in the drink came out of it, whatever table it was written in.

// Pulled is when a botanical came out by itself, pulled or strained out by its name; nil
// where it did not.
func (b *Batch) Pulled(name string) *Stage { return b.byItself(name, 0) }

// byItself is when what is called so, and was in by an hour, first came out by itself since.
func (b *Batch) byItself(name string, inH float64) (out *Stage) {
	first := func(s *Stage) {
		if s.Hours >= inH && (out == nil || s.Hours < out.Hours) {
			out = s
		}
	}
	for _, p := range b.Pulls {
		if p.Name == name && p.Again == "" {
			first(&Stage{p.Hours, p.When, KindPulled})
		}
	}
	for _, s := range b.Strainings {
		if slices.Contains(s.Names, name) {
			first(&Stage{s.Hours, s.When, KindStrained})
		}
	}
	return out
}

// Lifted is when the last of a fat came off by an hour, with what it was taken for or later; nil where
// nobody says.
func (b *Batch) Lifted(name string, nowH float64) *Stage {
	last := b.Pulled(name)
	for _, p := range b.Pulls {
		if p.Name == name && p.Hours <= nowH && (last == nil || p.Hours > last.Hours) {
			last = &Stage{p.Hours, p.When, KindPulled}
		}
	}
	if last != nil && last.Hours > nowH {
		return nil
	}
	return last
}

// OutAt is when a botanical came out, by itself or with everything that had gone in by
// then; nil where nobody says. What stays in the bottle comes out by itself alone. What was to go in after it
// was bottled never did, and is out with the rest.
func (b *Batch) OutAt(e *Botanical) *Stage {
	out := b.byItself(e.Name, e.In)
	for _, s := range b.strainings() {
		if e.LeaveIn {
			break
		}
		if s.Hours >= e.In || s.Key == KindBottled {
			if out == nil || s.Hours < out.Hours && !s.Implied() && s != b.Finish.Strained { // which a log beats
				return s
			}
			break
		}
	}
	return out
}

// AllOut is when it was strained, or the last of what is to come out of it came out; nil while some is in.
func (b *Batch) AllOut() *Stage {
	last := b.StrainedAt()
	for i := range b.Botanicals {
		switch out := b.OutAt(&b.Botanicals[i]); {
		case b.Botanicals[i].LeaveIn:
		case out == nil:
			return nil
		case last == nil || out.Hours > last.Hours:
			last = out
		}
	}
	return last
}

// OutBy is when a botanical came out, in hours since the start; out is false while it is in nowH hours after
// the start.
func (b *Batch) OutBy(e *Botanical, nowH float64) (hours float64, out bool) {
	at := b.OutAt(e)
	if at == nil || at.Hours > nowH {
		return 0, false
	}
	return at.Hours, true
}

// StaysIn reports whether a botanical is to stay in the bottle, and nobody took it out by an hour.
func (b *Batch) StaysIn(e *Botanical, nowH float64) bool {
	_, out := b.OutBy(e, nowH)
	return e.LeaveIn && !out
}

// Stayed reports whether what is to stay in was in it when bottles were filled, or will be.
func (b *Batch) Stayed(e *Botanical) bool {
	out, bottled := b.OutAt(e), b.BottledAt()
	return e.LeaveIn && (out == nil || bottled != nil && out.Hours > bottled.Hours)
}

// InJar reports whether a botanical that does not stay in the bottle was steeping at an
// hour, so that what went in then joined the steep.
//
//go:noinline
func (b *Batch) InJar(hours float64) bool {
	return slices.ContainsFunc(b.Botanicals, func(e Botanical) bool {
		out := b.OutAt(&e)
		return !e.LeaveIn && e.In <= hours && (out == nil || out.Hours > hours)
	})
}

// Lies is for how long something lay in the drink: from an hour, to when it came out, or to now. Stays: nothing
// but its own pull is to take it out.
type Lies struct {
	InH, ToH   float64
	Out, Stays bool
}

// lies is for how long something lies in it by an hour; none where it is not in by then.
func lies(inH float64, out *Stage, stays bool, nowH float64) []Lies {
	switch {
	case inH > nowH:
		return nil
	case out == nil || out.Hours > nowH:
		return []Lies{{inH, nowH, false, stays}}
	}
	return []Lies{{inH, out.Hours, true, stays}}
}

// LainH is for how long anything of a list lay in it by an hour, what lay in it together counted once.
func LainH(list []Lies, byH float64) (hours float64) {
	list = slices.SortedFunc(slices.Values(list), func(x, y Lies) int { return cmp.Compare(x.InH, y.InH) })
	toH := math.Inf(-1)
	for _, x := range list {
		if end := min(x.ToH, byH); end > max(x.InH, toH) {
			hours, toH = hours+end-max(x.InH, toH), end
		}
	}
	return hours
}

// Lies is for how long a botanical lay in it by an hour.
func (b *Batch) Lies(e *Botanical, nowH float64) []Lies {
	return lies(e.In, b.OutAt(e), e.LeaveIn, nowH)
}

// AddedLies is the same of an addition, each time that it went in: what joined the jar is strained with that,
// and what went in later lies in the bottles, unless all was strained once more.
func (b *Batch) AddedLies(e *Addition, nowH float64) (list []Lies) {
	lay := func(inH float64, joins bool, since func(*Straining) bool) {
		all := []*Stage{}
		if joins {
			all = b.strainings()
		}
		for _, s := range b.Strainings {
			if len(s.Names) == 0 && since(&s) {
				all = append(all, &Stage{s.Hours, s.When, KindStrained})
			}
		}
		out := b.byItself(e.Name, inH)
		for _, s := range all {
			if s.Hours >= inH && (out == nil || s.Hours < out.Hours) {
				out = s
			}
		}
		list = append(list, lies(inH, out, !joins, nowH)...)
	}
	if inH := b.Hours(b.WentIn(e)); !e.Logged {
		lay(inH, e.In != nil, func(s *Straining) bool { return s.Hours > inH })
	}
	for _, x := range b.AddedBy(nowH) {
		if e.Logged && x.Name == e.Name {
			lay(x.Hours, b.InJar(x.Hours), func(s *Straining) bool { return b.inOrder(s.line(), x.line()) > 0 })
		}
	}
	return list
}

// wentBack reports whether more of what is called so was added from one hour to another.
func (b *Batch) wentBack(name string, fromH, toH float64) bool {
	return slices.ContainsFunc(b.Additives,
		func(x Added) bool { return x.Name == name && x.Hours >= fromH && x.Hours <= toH })
}
