package recipe

import (
	"math"
	"slices"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// notWorthAdding is the share of an addition below which what is left of it is the
// spoon's: judgement.
const notWorthAdding = 0.02

// readAdditions reads what goes in after straining. Of a name that was logged as it went
// in, that counts, and what the plan still lacks is to come until it is bottled; what was
// never logged counts as planned, for most people log nothing.
func (p *Lines) readAdditions(b *batch.Batch, lib *library.Library, nowH float64) error {
	read := func(e batch.Addition) (Addition, error) { return ReadAddition(b, lib, e, p.Bases) }
	logged := slices.DeleteFunc(slices.Clone(b.Additives), func(x batch.Added) bool { return !x.By(nowH) })
	bottled := b.BottledAt()
	open := bottled == nil || bottled.Hours > nowH
	p.Split = open && len(logged) > 0
	for _, e := range b.Additions {
		plan, err := read(e)
		if err != nil {
			return err
		}
		went, err := readEach(wentIn(b, e, logged), read)
		if err != nil {
			return err
		}
		if len(went) == 0 {
			p.Additions = append(p.Additions, plan)
			if open && e.In == nil && e.Amount != nil {
				p.ToCome = append(p.ToCome, plan)
			} else {
				p.in = append(p.in, plan)
			}
			continue
		}
		p.in = append(p.in, went...)
		if lacks := 1 - shareOf(went, &plan); open && lacks > notWorthAdding {
			rest, err := read(times(e, lacks))
			if err != nil {
				return err
			}
			p.ToCome = append(p.ToCome, rest)
			steeped := func(x Addition) bool { return x.Entry.In != nil }
			if went = append(went, rest); !slices.ContainsFunc(went, steeped) {
				went = []Addition{plan}
			}
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
		went, err := readEach(wentIn(b, batch.Addition{Name: x.Name}, logged), read)
		if err != nil {
			return err
		}
		p.in, p.Additions = append(p.in, went...), append(p.Additions, went...)
	}
	return nil
}

func readEach(list []batch.Addition, read func(batch.Addition) (Addition, error)) (out []Addition, err error) {
	for _, e := range list {
		x, err := read(e)
		if err != nil {
			return nil, err
		}
		out = append(out, x)
	}
	return out, nil
}

// wentIn is an addition as it was logged: one line where all of it can be added up and
// went in at one stage, else one for each time.
func wentIn(b *batch.Batch, plan batch.Addition, logged []batch.Added) (list []batch.Addition) {
	for _, x := range logged {
		if x.Name != plan.Name {
			continue
		}
		e := plan
		amount := x.Amount
		e.Amount, e.Price, e.BoiledOff, e.In = &amount, nil, nil, nil
		e.Index, e.Logged = x.Index, true
		if b.InJar(x.Hours) {
			hours := x.Hours
			e.In = &hours
		}
		n := len(list) - 1
		if n >= 0 && list[n].In == nil && e.In == nil {
			if more, ok := amount.Over(*list[n].Amount); ok {
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

// shareOf is how much of the plan is in, by its measures or else by its masses; all of it
// where that cannot be told.
func shareOf(went []Addition, plan *Addition) (sum float64) {
	for i := range went {
		x := &went[i]
		switch share, ok := x.Entry.Amount.Over(amountOf(plan)); {
		case ok:
			sum += share
		case plan.MassG() > 0 && x.MassG() > 0:
			sum += x.MassG() / plan.MassG()
		default:
			return 1
		}
	}
	return sum
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
// where nothing is, or where nobody logs what goes in.
func (p *Lines) BlendSoFar(from *batch.Batch) *Blend {
	if !p.Split || len(p.ToCome) == 0 {
		return nil
	}
	b := *from
	b.Measured = batch.Measured{StrainedML: b.Readings().StrainedML} // the rest is of the finished drink
	b.Bottlings = nil
	blend, err := NewBlend(&b, p.SoFar())
	if err != nil || !blend.Have() {
		return nil
	}
	return &blend
}

// SoFar is the recipe without what is still to come.
func (p *Lines) SoFar() *Lines {
	q := *p
	q.Additions = p.in
	return &q
}
