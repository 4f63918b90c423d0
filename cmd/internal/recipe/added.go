package recipe

import (
	"cmp"
	"math"
	"slices"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/kinetics/cores"
)

// NotWorthAdding is the share of an addition below which what is left of it is the
// spoon's: judgement.
const NotWorthAdding = 0.02

// readAdditions reads what goes in after straining. Of a name that was logged as it went
// in, that counts, and what the plan still lacks is to come until it is bottled; what was
// never logged counts as planned, for most people log nothing, unless it was to join the jar
// after all was bottled.
func (p *Lines) readAdditions(b *batch.Batch, lib *library.Library, nowH float64) error {
	read := func(e batch.Addition) (Addition, error) { return ReadAddition(b, lib, e, p.Bases) }
	logged := b.AddedBy(nowH)
	open, since := !b.Finished(nowH), b.SinceUnlogged(nowH)
	parted, told := partLog(b, logged)
	plans, err := readEach(b.Additions, func(e batch.Addition) (Addition, error) {
		if e.Filtered = b.Filtered(nil, nowH); e.In == nil {
			e.Since = since
		}
		return read(e)
	})
	if err != nil {
		return err
	}
	for i, plan := range plans {
		e := plan.Entry
		went, err := readEach(wentIn(b, e, parted[i], nowH), read)
		if err != nil {
			return err
		}
		switch {
		case told[i]:
			p.in = append(p.in, went...)
		case e.In != nil && b.NeverIn(*e.In, nowH):
			continue
		default:
			plan.Addition.Untold = !open && e.In == nil && e.Amount != nil
			p.Additions = append(p.Additions, plan)
			switch {
			case e.In != nil && *e.In > math.Max(nowH, 0): // it is to join the jar
			case open && e.In == nil && e.Amount != nil:
				p.ToCome = append(p.ToCome, plan)
			case plan.Addition.Untold:
				p.in, p.Unlogged = append(p.in, plan), append(p.Unlogged, plan)
			default:
				p.in = append(p.in, plan)
			}
			continue
		}
		if lacks := lacking(went, &plan); open && lacks > NotWorthAdding {
			rest, err := read(times(e, lacks))
			if err != nil {
				return err
			}
			near, _ := rest.Measure(*rest.Entry.Amount, b.Units) // which is what somebody will put in
			rest.Entry.Amount = &near
			if rest, err = read(rest.Entry); err != nil {
				return err
			}
			p.ToCome = append(p.ToCome, rest)
			went = append(went, rest)
		}
		p.Additions = append(p.Additions, went...)
	}
	unplanned := map[string]bool{}
	for _, x := range logged {
		if unplanned[x.Name] || slices.ContainsFunc(b.Additions,
			func(e batch.Addition) bool { return e.Name == x.Name }) {
			continue
		}
		unplanned[x.Name] = true
		went, err := readEach(wentIn(b, batch.Addition{Name: x.Name}, logged, nowH), read)
		if err != nil {
			return err
		}
		p.in, p.Additions = append(p.in, went...), append(p.Additions, went...)
	}
	return nil
}

// partLog gives each planned line what was logged of its name, once: a line of the same stage
// before the others, until it has all that it plans; the last of them takes what is over. told
// are those of which the log speaks, of one name and stage all.
func partLog(b *batch.Batch, logged []batch.Added) (parts [][]batch.Added, told []bool) {
	parts, told = make([][]batch.Added, len(b.Additions)), make([]bool, len(b.Additions))
	full := make([]float64, len(b.Additions))
	for _, x := range logged {
		var lines []int
		for _, joins := range []bool{b.InJar(x.Hours), !b.InJar(x.Hours)} {
			for i, e := range b.Additions {
				if e.Name == x.Name && (e.In != nil) == joins {
					lines = append(lines, i)
				}
			}
		}
		for k, i := range lines {
			share, ok := x.Amount.Over(amountOf(&Addition{Entry: b.Additions[i]}))
			lacks := 1 - full[i]
			if lacks <= NotWorthAdding && k+1 < len(lines) {
				continue
			}
			part := x
			if over := ok && share > lacks && k+1 < len(lines); over {
				part.Amount, x.Amount = x.Amount.Times(lacks/share), x.Amount.Times(1-lacks/share)
				parts[i], full[i] = append(parts[i], part), 1
				continue
			}
			if full[i] += share; !ok {
				full[i] = 1
			}
			parts[i] = append(parts[i], part)
			break
		}
	}
	for i, e := range b.Additions {
		for k, o := range b.Additions {
			told[i] = told[i] || len(parts[k]) > 0 && o.Name == e.Name && (o.In == nil) == (e.In == nil)
		}
	}
	return parts, told
}

// readEach reads all of a list at once; the error is the first of them.
func readEach[E, R any](list []E, read func(E) (R, error)) (out []R, err error) {
	out, errs := make([]R, len(list)), make([]error, len(list))
	cores.Each(len(list), func(i int) { out[i], errs[i] = read(list[i]) })
	return out, cmp.Or(errs...)
}

// wentIn is an addition as it was logged, in the order of time: one line where all of it can be added up and
// went in at one stage, as old as the first of it, else one for each time.
func wentIn(b *batch.Batch, plan batch.Addition, logged []batch.Added, nowH float64) (list []batch.Addition) {
	for _, x := range logged {
		if x.Name != plan.Name {
			continue
		}
		e := plan
		e.Amount, e.Price, e.BoiledOff, e.In = &x.Amount, nil, nil, nil
		e.Index, e.Logged, e.Since = x.Index, true, b.Since(&x)
		e.Filtered = b.Filtered(&x, 0)
		e.Joins = b.Joined(&x, nowH)
		if b.OfLiquor(&x) {
			e.In = &x.Hours
		}
		n := len(list) - 1
		if n >= 0 && list[n].In == nil && e.In == nil && list[n].Since == e.Since &&
			list[n].Filtered == e.Filtered && !list[n].Apart() && !e.Apart() {
			if more, ok := x.Amount.Over(*list[n].Amount); ok {
				sum := list[n].Amount.Times(1 + more)
				list[n].Amount = &sum
				continue
			}
		}
		list = append(list, e)
	}
	if len(list) == 0 || plan.Amount == nil {
		return list
	}
	if share, ok := list[0].Amount.Over(*plan.Amount); ok {
		part := times(plan, share)
		list[0].Price, list[0].BoiledOff = part.Price, part.BoiledOff
		if math.Abs(share-1) < 1e-6 {
			list[0].Amount = plan.Amount // in the words of the maker
		}
	}
	return list
}

// lacking is the share of the plan that is not in: by its measures, or else by its masses, where
// any mass counts as all of it that the plan may mean, the juice of four lemons or a cup of sugar;
// none where that cannot be told.
func lacking(went []Addition, plan *Addition) float64 {
	measured, massG := 0.0, 0.0
	for i := range went {
		x := &went[i]
		switch share, ok := x.Entry.Amount.Over(amountOf(plan)); {
		case ok:
			measured += share
		case plan.MassG() > 0 && x.MassG() > 0:
			massG += x.MassG()
		default:
			return 0
		}
	}
	if w := plan.Reads.Weight; massG > 0 && w != nil && massG >= (1-measured)*w.Low {
		return 0
	} else if massG > 0 {
		measured += massG / plan.MassG()
	}
	return 1 - measured
}

func amountOf(x *Addition) quantity.Amount {
	if x.Entry.Amount == nil {
		return quantity.Amount{}
	}
	return *x.Entry.Amount
}

// times is so much of an addition.
func times(e batch.Addition, share float64) batch.Addition {
	scaled := func(a *quantity.Amount) *quantity.Amount {
		if a == nil {
			return nil
		}
		x := a.Times(share)
		return &x
	}
	e.Amount, e.BoiledOff = scaled(e.Amount), scaled(e.BoiledOff)
	if e.Price != nil {
		price := *e.Price * share
		e.Price = &price
	}
	return e
}

// BlendSoFar is what is in by the log, where some of what was planned is still to come; nil
// where nothing is.
func (p *Lines) BlendSoFar(from *batch.Batch) *Blend {
	if len(p.ToCome) == 0 {
		return nil
	}
	return p.SoFar().unmeasured(from)
}

// BlendLogged is what is in by the log alone, where some of what was planned was never logged; nil
// where all was.
func (p *Lines) BlendLogged(from *batch.Batch) *Blend {
	if len(p.Unlogged) == 0 {
		return nil
	}
	q := *p
	q.in = quantity.Those(p.in, func(x *Addition) bool { return !x.Addition.Untold })
	return q.SoFar().unmeasured(from)
}

// unmeasured is the blend of some of the lines, nil where it is not known.
func (p *Lines) unmeasured(from *batch.Batch) *Blend {
	b := *from
	if b.Bottlings = nil; !from.SinceUnlogged(p.nowH).Late { // the rest is of the finished drink
		b.Measured = batch.Measured{StrainedML: b.Measured.StrainedML}
	}
	blend, err := NewBlend(&b, p)
	if err != nil || !blend.Have() {
		return nil
	}
	return &blend
}

// SoFar is the recipe without what is still to come, to the drink or to the jar.
func (p *Lines) SoFar() *Lines {
	q := *p.JarAt(math.Max(p.nowH, 0))
	q.Additions = p.in
	return &q
}

// Logged reports whether any of it was logged as it went in, of those who log nothing nobody knows.
func (p *Lines) Logged() bool {
	return slices.ContainsFunc(p.in, func(x Addition) bool { return x.Entry.Logged })
}

// Measure rounds an amount of it to what can be measured, and says by what share that is off: what is
// poured closely, for it makes the volume; what is not by the measures it is spooned with.
func (x *Addition) Measure(a quantity.Amount, units quantity.System) (rounded quantity.Amount, off float64) {
	if x.line().Poured && a.Either() == "" { // a cup of either country stays a cup
		return quantity.Closely(a, units)
	}
	return quantity.Kitchen(a, units)
}
