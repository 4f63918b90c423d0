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

// Step is a score of the sweet or the sour as it is adjusted: the one before it, and what
// went in between.
type Step struct {
	Name      string
	Was, Is   float64
	Tasted    bool // it was tasted before
	Additions []batch.Added
}

// Steps are those of the scores of the last tasting that speak of no flavour of the jar.
func (a *Assessment) Steps() (list []Step) {
	log := a.Batch.Tastings
	if len(log) == 0 {
		return nil
	}
	last := &log[len(log)-1]
	for _, s := range last.Scores {
		if a.Curve(s.Name) != nil {
			continue
		}
		step := Step{Name: s.Name, Is: s.Value}
		from := math.Inf(-1)
		for i := range log[:len(log)-1] {
			for _, old := range log[i].Scores {
				if old.Name == s.Name && log[i].Hours >= from && log[i].Hours <= last.Hours {
					step.Was, step.Tasted, from = old.Value, true, log[i].Hours
				}
			}
		}
		for _, x := range a.Batch.Additives {
			if x.Hours > from && x.Hours <= last.Hours && step.Tasted {
				step.Additions = append(step.Additions, x)
			}
		}
		list = append(list, step)
	}
	return list
}

// EggAlone is raw egg that goes into the spirit first, strained or poured on nothing else, and lies
// alone in it for its days.
type EggAlone struct {
	State  shelf.EggAlone
	ToCome []recipe.Addition // what of it is still to go in, by itself where it Can
	Until  time.Time         // the end of its days, zero where none of it is in
}

// rawEgg reports whether something is raw egg that goes in after straining, or is what a batch is begun with.
func (a *Assessment) rawEgg(x *recipe.Addition) bool {
	return x.Ingredient != nil && x.Ingredient.Egg && !x.Reads.MadeSafe() &&
		(x.Entry.In == nil || len(a.Batch.Botanicals) == 0)
}

// EggAlone is that of this batch, or of another like it, of which nothing is in; it cannot be any more once
// anything else went in, nor where egg and spirit alone do not hold back what makes people ill.
func (a *Assessment) EggAlone(another bool) (e EggAlone) {
	egg := a.rawEgg
	ended, alone := a.Now, another || !a.Batch.Finished(a.ElapsedH)
	if b := a.Batch.BottledAt(); b != nil && b.When.Before(ended) {
		ended = b.When
	}
	entered := func(x *recipe.Addition) (time.Time, bool) {
		if x.Entry.In != nil {
			return a.Batch.At(*x.Entry.In), true
		}
		return a.Batch.WentIn(&x.Entry), x.Entry.Logged
	}
	in, toCome := a.Recipe.SoFar().Additions, a.Recipe.ToCome
	if another {
		in, toCome = nil, a.Recipe.Additions
	}
	for i := range in {
		x := &in[i]
		if at, ok := entered(x); ok && egg(x) && at.AddDate(0, 0, shelf.EggDays).After(e.Until) {
			e.Until = at.AddDate(0, 0, shelf.EggDays)
		}
	}
	for i := range in { // but for what the egg went into
		x := &in[i]
		if at, ok := entered(x); ok && !egg(x) &&
			(x.Entry.In == nil || at.AddDate(0, 0, shelf.EggDays).After(e.Until) && !e.Until.IsZero()) {
			if alone = false; at.Before(ended) {
				ended = at
			}
		}
	}
	for _, x := range toCome {
		if x.Entry.In == nil && egg(&x) {
			e.ToCome = append(e.ToCome, x)
		}
	}
	all := func(*recipe.Botanical) bool { return true }
	switch in := len(e.ToCome) == 0; {
	case in && e.Until.IsZero():
	case in && !ended.Before(e.Until):
		e.State = shelf.EggDid
	case !alone && (!in || !e.Until.IsZero()):
		e.State = shelf.EggShort
	case alone:
		first := a.Recipe.Some(all, func(x *recipe.Addition) bool { return x.Entry.In != nil || egg(x) })
		if names, _, _ := a.unheld(first); len(names) == 0 {
			e.State = shelf.EggCan
		}
	}
	return e
}

// Curds is that of this batch: milk clots with what is sour, by a note it did, and what was strained since
// all of both went in is filtered.
func (a *Assessment) Curds() keeping.Curds {
	a.Judge()
	clots := a.Recipe.Clotting()
	_, strained := a.Strained()
	unlogged := slices.ContainsFunc(clots.Of, func(x *recipe.Addition) bool { return !x.Entry.Logged })
	mixed := len(clots.Of) > 0 && (unlogged || a.Batch.Filtered(nil, a.ElapsedH) <= clots.Filtered)
	switch {
	case a.Batch.Finished(a.ElapsedH):
		if mixed && !unlogged {
			return keeping.InBottle
		}
		return keeping.NoCurds
	case !mixed && (!clots.InJar || strained):
		return keeping.NoCurds
	case slices.ContainsFunc(a.Keep.Outcomes, func(o keeping.Outcome) bool { return o.Cause.Clotted() }):
		return keeping.Curdled
	}
	return keeping.ToCurdle
}
