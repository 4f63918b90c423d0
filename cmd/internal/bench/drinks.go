package bench

import (
	"math"
	"slices"
	"time"

	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/shelf"
)

// This file tells the drinks of one batch apart: what goes in once bottles are filled joins one of those
// that are open, or what was left over, and every other is what it was.

// Bottles are its bottles at this moment.
func (a *Assessment) Bottles() batch.Bottles {
	all := a.Batch.Bottles(a.ElapsedH)
	if a.of == nil {
		return all
	}
	var list []batch.Bottle
	for _, x := range all.List {
		if slices.Contains(a.of, x.Number) {
			list = append(list, x)
		}
	}
	all.List = list
	return all
}

// vessel is what may hold some of what was poured once bottles were filled: a bottle, or what was left
// over; in are those of the pours, by their index, in their order.
type vessel struct {
	batch.Bottle
	in []int
}

// LeftOver stands for the number of a bottle where what no bottle holds is spoken of.
const LeftOver = batch.LeftOver

// vessels are all bottles, and what was left over where something may be in that. By the log alone: every
// pour is in one of them, whether it can be reckoned or not.
func (a *Assessment) vessels() (list []vessel) {
	b := a.Batch
	all, homeless := b.Bottles(a.ElapsedH).List, []int(nil)
	for i := range all {
		list = append(list, vessel{Bottle: all[i]})
	}
	over := a.Blend.LeftOver()
	for _, i := range a.pours() {
		p, held := &b.Additives[i], false
		for n := range list {
			x := &list[n]
			if (p.Bottle == x.Number || x.Opened != nil || x.Bottled != nil) && b.MayHold(p, x.Number) {
				x.in, held = append(x.in, i), true
			}
		}
		if !held || over && b.MayHold(p, LeftOver) {
			homeless = append(homeless, i)
		}
	}
	if homeless != nil {
		list = append(list, vessel{batch.Bottle{Number: LeftOver, Opened: &batch.Stage{}}, homeless})
	}
	return list
}

// stillHeld are the lines without what only empty bottles held.
func (a *Assessment) stillHeld() *recipe.Lines {
	if len(a.pours()) == 0 || a.Batch.Bottles(a.ElapsedH).Emptied != nil {
		return a.Recipe
	}
	held := map[int]bool{}
	for _, x := range a.vessels() {
		for _, i := range x.in {
			held[i] = held[i] || x.Emptied == nil
		}
	}
	return a.Recipe.Poured(func(index int) bool { gone, poured := held[index]; return gone || !poured })
}

// apart judges each drink of the batch by itself, where something was poured into some of it: every bottle
// that something joined after each of its pours, for none of them makes it keep better, and last all the
// others together. What is empty is judged as it was until then, and nothing else is said by it.
func (a *Assessment) apart() {
	all := a.Bottles()
	if a.one || len(a.pours()) == 0 {
		return
	}
	var keeps []*keeping.Keep
	var drinks []*Assessment
	rest := []int{}
	for _, x := range a.vessels() {
		gone := x.Emptied != nil || all.Emptied != nil
		switch {
		case len(x.in) > 0:
			d, k := a.poured(&x, gone)
			if drinks = append(drinks, d); !gone {
				keeps = append(keeps, k)
			}
		case !gone && (x.Opened != nil || x.Bottled != nil):
			rest = append(rest, x.Number)
		}
	}
	base := a.drink(a.Recipe, rest, nil)
	if a.drinks = append(drinks, base); all.Emptied != nil {
		return
	}
	if a.states = append(a.states, base); len(rest) > 0 || !all.Counted {
		keeps = append(keeps, base.Keep)
	}
	warnings := a.Keep.Verdict.Warnings
	a.Keep = keeping.Together(keeps, base.Keep, a.Now)
	a.Keep.Verdict.Warnings = warnings
	for _, d := range a.states {
		if a.Keep.Tells(d.Keep) {
			a.Blend.Bottle = d.Blend.Bottle
		}
	}
	for _, d := range a.drinks {
		if a.Keep.SpeaksOf(d.Keep) {
			a.speaks = d
		}
	}
}

// poured is what a vessel holds, judged by every state of it; gone: as it was until it was empty.
func (a *Assessment) poured(x *vessel, gone bool) (*Assessment, *keeping.Keep) {
	of := a
	if gone {
		was, last := *a, x.Emptied
		if last == nil {
			last = a.Bottles().Emptied
		}
		was.Now, was.ElapsedH = last.When.Add(-time.Second), last.Hours-time.Second.Hours()
		of = &was
	}
	var states []*Assessment
	var keeps []*keeping.Keep
	var in []time.Time
	for n := len(x.in); n >= 0; n-- {
		if n > 0 && n < len(x.in) && a.Batch.Additives[x.in[n-1]].With(&a.Batch.Additives[x.in[n]]) {
			continue // it went in with the next
		}
		d := of.drink(a.all, []int{x.Number}, x.in[:n])
		states, keeps, in = append(states, d), append(keeps, d.Keep), append(in, d.measured(x.in[:n]))
	}
	if !gone {
		a.states = append(a.states, states...)
	}
	d := *states[0]
	d.states = states
	d.Keep = keeping.States(keeps, in, of.Now)
	d.Keep.Vessel = x.Number
	return &d, d.Keep
}

// measured is when the last of the pours of a drink went in, zero where nobody knows into which bottle, or
// how much, or no bottle of that size held it all by then.
func (a *Assessment) measured(in []int) (at time.Time) {
	if len(in) > 0 {
		p := &a.Batch.Additives[in[len(in)-1]]
		if j := a.Batch.Joined(p, a.ElapsedH); p.Into != nil && j.To != 0 &&
			a.Blend.RunsOver(a.Batch, p) == "" {
			at = p.When
		}
	}
	return at
}

// pours are what went in once bottles were filled, in the order of the log, each by its index.
func (a *Assessment) pours() (in []int) {
	for _, x := range a.Batch.AddedBy(a.ElapsedH) {
		if a.Batch.Apart(&x) {
			in = append(in, x.Index)
		}
	}
	return in
}

// drink is the batch as some of its bottles know it, judged: of all that was poured once bottles were filled
// these alone went in.
func (a *Assessment) drink(lines *recipe.Lines, of, in []int) *Assessment {
	d, b := *a, *a.Batch
	poured := func(index int) bool { return slices.Contains(in, index) }
	b.Additives = append([]batch.Added(nil), b.Additives...)
	for i := range b.Additives {
		if x := &b.Additives[i]; a.Batch.Apart(x) && !poured(i) {
			x.Hours = math.Inf(1)
		}
	}
	d.Batch, d.Recipe, d.of, d.one, d.drinks, d.states = &b, lines.Poured(poured), of, true, nil, nil
	if len(in) > 0 {
		d.Recipe.Vessel = &of[0]
	}
	d.Keep, d.changes, d.jarsML, d.weak, d.waited, d.lifted = &keeping.Keep{}, nil, nil, nil, nil, nil
	d.question.Opened = d.question.Opened && len(a.Keep.Open) == 0
	if blend, err := recipe.NewBlend(&b, d.Recipe); err == nil {
		d.Blend = blend
		d.Blend.Filled = a.Blend.Filled // which is of all of it
	}
	d.keep()
	return &d
}

// Drink is the batch as a bottle of that number knows it: what it holds, and what is said of that alone;
// 0, and any that nothing was poured into: the drink that it was bottled as.
func (a *Assessment) Drink(number int) *Assessment {
	a.Judge()
	d, own, gone := a.holding(number), a.Keep, a.Keep.EmptiedAt
	if d != a {
		own = d.Keep.Apart(a.Keep)
	}
	for _, x := range a.Batch.Bottles(a.ElapsedH).List {
		if x.Number == number && x.Emptied != nil {
			gone = x.Emptied.When
		}
	}
	out := *d
	switch out.Keep = own; {
	case number == 0 || !gone.IsZero() && a.ownDrink(number):
	case !gone.IsZero(): // as it was then
		out.Keep = own.Closed(number, nil, gone)
	default:
		out.Keep = a.Keep.Held(own, number, a.Now)
	}
	if !gone.IsZero() {
		was := *out.Keep
		was.EmptiedAt, out.Keep = gone, &was
	}
	return &out
}

// holding is the drink that a bottle of that number holds or held, judged by itself; 0, and any that nothing
// was poured into: that of all those.
func (a *Assessment) holding(number int) *Assessment {
	d := a
	if base := a.unpoured(); base != nil {
		d = base
		for _, x := range a.drinks {
			if slices.Contains(x.of, number) {
				d = x
			}
		}
	}
	return d
}

// ownDrink reports whether something was poured into a bottle, or what was left over, that is not in all.
func (a *Assessment) ownDrink(number int) bool {
	base := a.unpoured()
	return slices.ContainsFunc(a.drinks,
		func(d *Assessment) bool { return d != base && slices.Contains(d.of, number) })
}

// Held is what a bottle of that number holds by the log [ml], LeftOver: what no bottle holds and is there
// still; 0 where that is not known; own: something joined it, which makes it another drink than that of the
// others.
func (a *Assessment) Held(number int) (ml float64, own bool) {
	a.Judge()
	if !a.Keep.EmptiedAt.IsZero() {
		return 0, false
	}
	d := a.holding(number)
	if own = a.ownDrink(number); number == LeftOver {
		if f := a.Blend.Filled; f != nil {
			ml = f.LeftML
		} else if own { // of bottles of no size nobody knows what they hold
			ml = d.Blend.Result.VolumeML.Value
		}
		return ml, own
	}
	for _, x := range a.Batch.Bottles(a.ElapsedH).List {
		switch in := d.pours(); { // the last of them since it was filled, or before
		case x.Number != number:
		case own && (x.Bottled == nil || a.Batch.Additives[in[len(in)-1]].Hours > x.Bottled.Hours):
			if !a.measured(in).IsZero() {
				ml = d.Blend.Result.VolumeML.Value
			}
		case x.Of != nil:
			_, ml, _, _ = x.Of.Millilitres()
		}
	}
	return ml, own
}

// Speaking is the batch by the figures of the drink that the keeping speaks of.
func (a *Assessment) Speaking() *Assessment {
	a.Judge()
	if a.speaks == nil {
		return a
	}
	out := *a.speaks
	out.Batch, out.Keep, out.drinks, out.states = a.Batch, a.Keep, a.drinks, a.states
	out.speaks, out.of = nil, nil
	out.Blend.Bottle = a.Blend.Bottle // as it was judged
	return &out
}

// unpoured is the batch as the bottles know it into which nothing was poured, nil where all is one drink.
func (a *Assessment) unpoured() *Assessment {
	if len(a.drinks) == 0 {
		return nil
	}
	return a.drinks[len(a.drinks)-1]
}

// held are the drinks of it, as they are and were.
func (a *Assessment) held() (list []shelf.Bottle) {
	for _, d := range a.states {
		list = append(list, d.Blend.Bottle)
	}
	if list == nil {
		list = append(list, a.Blend.Bottle)
	}
	return list
}
