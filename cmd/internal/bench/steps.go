package bench

import (
	"math"
	"slices"
	"time"

	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
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

// EggAlone is raw egg that lies in the spirit alone before anything else goes in, by its clock.
type EggAlone struct {
	keeping.Egg
	ToCome []recipe.Addition // what of it is still to go in, by itself where it Can
	Lacks  string            // why that has no days
}

// rawEgg reports whether something is raw egg.
func rawEgg(x *recipe.Addition) bool {
	return x.Ingredient != nil && x.Ingredient.Egg && !x.Reads.MadeSafe()
}

// wentIn tells what went in by the log, and what is planned to join the jar, of another batch that alone:
// when, whether it is raw egg, and whether it joined what steeped.
func (a *Assessment) wentIn(another bool, tell func(at time.Time, egg, joined bool)) {
	b, eggs := a.Batch, []string(nil)
	for i := range a.Recipe.Additions {
		x := &a.Recipe.Additions[i]
		egg := rawEgg(x)
		if egg {
			recipe.Note(&eggs, x.Entry.Name)
		}
		if x.Entry.In != nil && !x.Entry.Logged {
			tell(b.At(*x.Entry.In), egg, true)
		}
	}
	for i := range b.Additives { // that of a plan has no name
		if x := &b.Additives[i]; !another && len(eggs) > 0 && x.Name != "" && x.By(a.ElapsedH) {
			tell(x.When, recipe.Named(eggs, x.Name), b.OfLiquor(x))
		}
	}
}

// EggAlone is that of this batch, by each entry of its log, or of another like it, of which nothing is in.
// What joined the jar before it is what the egg goes into.
func (a *Assessment) EggAlone(another bool) (e EggAlone) {
	b, toCome := a.Batch, a.Recipe.ToCome
	if another {
		toCome = a.Recipe.Additions
	}
	e.ToCome = slices.DeleteFunc(slices.Clone(toCome), func(x recipe.Addition) bool {
		return x.Entry.In != nil || !rawEgg(&x)
	})
	a.wentIn(another, func(at time.Time, egg, _ bool) {
		if egg {
			e.Goes(at)
		}
	})
	if e.In.IsZero() && len(e.ToCome) == 0 {
		return e // there is none, or nobody knows
	}
	other := func(at time.Time, egg, joined bool) {
		beneath := joined && (e.In.IsZero() || at.Before(e.In))
		if !egg && !beneath && !at.After(a.Now) && (e.Else.IsZero() || at.Before(e.Else)) {
			e.Else = at
		}
	}
	a.wentIn(another, other)
	if x := b.BottledAt(); x != nil && !another {
		other(x.When, false, false)
	}
	if !another {
		e.Over = a.spent().gone
	}
	if hours, out := a.Strained(); out && !another {
		e.Strained = b.At(hours)
	}
	all := func(*recipe.Botanical) bool { return true }
	first := a.Recipe.Some(all, func(x *recipe.Addition) bool {
		return rawEgg(x) || x.Entry.In != nil && (e.In.IsZero() || !b.At(*x.Entry.In).After(e.In))
	})
	names, _, _ := a.unheld(first, 0)
	spirit, _ := a.blendOf(first.Some(all, func(x *recipe.Addition) bool { return !rawEgg(x) }), 0)
	closed := !another && b.Finished(a.ElapsedH)
	untold := func(x recipe.Addition) bool { return x.Entry.In == nil && !x.Entry.Logged }
	e.Lacks = e.Judge(a.Now, len(e.ToCome) > 0, closed && slices.ContainsFunc(a.Recipe.Additions, untold), closed,
		len(names) == 0, spirit.Result.JarParts.ABVPercent(), b.RoomC)
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
