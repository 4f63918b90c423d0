package bench

import (
	"math"
	"slices"
	"sort"

	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/shelf"
)

// This file tells the drinks of one batch apart: what goes in once bottles are filled joins one of those that are
// open, or what was left over, and every other is what it was.

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

// apart judges each drink of the batch by itself, where something was poured into some of it: every bottle that
// something joined after each of its pours, for none of them makes it keep better, and last all the others
// together. What is empty is judged no more.
func (a *Assessment) apart() {
	all := a.Bottles()
	poured := a.pours()
	if a.one || all.Emptied != nil || len(poured) == 0 {
		return
	}
	var keeps []*keeping.Keep
	rest := []int{}
	vessels := all.List
	if a.Blend.LeftOver() {
		vessels = append(vessels, batch.Bottle{Number: leftOver, Opened: &batch.Stage{}})
	}
	for i := range vessels {
		x := &vessels[i]
		in := a.into(x, poured)
		switch {
		case x.Emptied != nil || x.Opened == nil && x.Bottled == nil:
		case len(in) == 0:
			rest = append(rest, x.Number)
		default:
			var states []*keeping.Keep
			for n := range len(in) + 1 {
				states = append(states, a.drink([]int{x.Number}, in[:n]))
			}
			keeps = append(keeps, keeping.States(states, a.Now))
		}
	}
	base := a.drink(rest, nil)
	if len(rest) > 0 || !all.Counted {
		keeps = append(keeps, base)
	}
	warnings := a.Keep.Verdict.Warnings
	a.Keep = keeping.Together(keeps, base, a.Now)
	a.Keep.Verdict.Warnings = warnings
	for _, d := range a.drinks {
		if a.Keep.Tells(d.Keep) {
			a.Blend.Bottle = d.Blend.Bottle
		}
	}
}

// leftOver stands for the number of a bottle where what no bottle holds is spoken of.
const leftOver = 0

// pours are what went in once bottles were filled, in the order of the log, each by its index.
func (a *Assessment) pours() (in []int) {
	for i := range a.Batch.Additives {
		if x := &a.Batch.Additives[i]; x.By(a.ElapsedH) && a.Batch.Apart(x) {
			in = append(in, i)
		}
	}
	sort.SliceStable(in, func(i, j int) bool { return a.Batch.Additives[in[i]].Hours < a.Batch.Additives[in[j]].Hours })
	return in
}

// into are those of the pours that a bottle holds: what nobody says the bottle of may be in any that was open.
func (a *Assessment) into(x *batch.Bottle, poured []int) (in []int) {
	for _, i := range poured {
		p := &a.Batch.Additives[i]
		if x.Opened != nil && (x.Number == leftOver && p.Bottle == 0 || x.Number != leftOver && a.Batch.MayHold(p, x.Number)) {
			in = append(in, i)
		}
	}
	return in
}

// drink is the batch as some of its bottles know it, judged: of all that was poured once bottles were filled
// these alone went in.
func (a *Assessment) drink(of, in []int) *keeping.Keep {
	d, b := *a, *a.Batch
	poured := func(index int) bool { return slices.Contains(in, index) }
	b.Additives = append([]batch.Added(nil), b.Additives...)
	for i := range b.Additives {
		if x := &b.Additives[i]; a.Batch.Apart(x) && !poured(i) {
			x.Hours = math.Inf(1)
		}
	}
	d.Batch, d.Recipe, d.of, d.one, d.drinks = &b, a.Recipe.Poured(poured), of, true, nil
	d.Keep, d.changes, d.jarsML, d.weak, d.waited, d.lifted = &keeping.Keep{}, nil, nil, nil, nil, nil
	d.question.Opened = d.question.Opened && len(a.Keep.Open) == 0
	if blend, err := recipe.NewBlend(&b, d.Recipe); err == nil {
		d.Blend = blend
	}
	d.keep()
	a.drinks = append(a.drinks, &d)
	return d.Keep
}

// unpoured is the batch as the bottles know it into which nothing was poured, nil where all is one drink.
func (a *Assessment) unpoured() *Assessment {
	if len(a.drinks) == 0 {
		return nil
	}
	return a.drinks[len(a.drinks)-1]
}

// held are the drinks of it.
func (a *Assessment) held() (list []shelf.Bottle) {
	for _, d := range a.drinks {
		list = append(list, d.Blend.Bottle)
	}
	if list == nil {
		list = append(list, a.Blend.Bottle)
	}
	return list
}
