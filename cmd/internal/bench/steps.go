package bench

import (
	"math"
	"slices"
	"time"

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

// FatToLift names the fats that wash the jar and that nobody pulled yet, until it is bottled.
func (a *Assessment) FatToLift() []string {
	if b := a.Batch.BottledAt(); b != nil && b.Hours <= a.ElapsedH {
		return nil
	}
	return slices.DeleteFunc(a.Recipe.Washes(), func(name string) bool {
		out := a.Batch.Pulled(name)
		return out != nil && out.Hours <= a.ElapsedH
	})
}

// EggAlone is raw egg that goes into the strained spirit first, and lies alone in it for its days.
type EggAlone struct {
	State  shelf.EggAlone
	ToCome []recipe.Addition // what of it is still to go in
	Until  time.Time         // the end of its days, zero where none of it is in
}

// Can reports whether it still can.
func (e *EggAlone) Can() bool { return e.State == shelf.EggCan }

// EggAlone is that of this batch; it cannot be any more once anything else went in, nor where
// egg and spirit alone do not hold back what makes people ill.
func (a *Assessment) EggAlone() (e EggAlone) {
	egg := func(x recipe.Addition) bool {
		return x.Entry.In == nil && x.Ingredient != nil && x.Ingredient.Egg && !x.Reads.MadeSafe()
	}
	ended, alone := a.Now, !a.Batch.Finished(a.ElapsedH)
	if b := a.Batch.BottledAt(); b != nil && b.When.Before(ended) {
		ended = b.When
	}
	for _, x := range a.Recipe.SoFar().Additions {
		if !x.Entry.Logged || x.Entry.In != nil {
			continue
		}
		at := a.Batch.Additives[x.Entry.Index].When
		if until := at.AddDate(0, 0, shelf.EggDays); egg(x) && until.After(e.Until) {
			e.Until = until
		} else if !egg(x) {
			alone = false
			if at.Before(ended) {
				ended = at
			}
		}
	}
	for _, x := range a.Recipe.ToCome {
		if egg(x) {
			e.ToCome = append(e.ToCome, x)
		}
	}
	all := func(recipe.Botanical) bool { return true }
	switch in := len(e.ToCome) == 0; {
	case in && e.Until.IsZero():
	case in && !ended.Before(e.Until):
		e.State = shelf.EggDid
	case alone:
		first := a.Recipe.Some(all, func(x recipe.Addition) bool { return x.Entry.In != nil || egg(x) })
		if names, _, _ := a.unheld(first); len(names) == 0 {
			e.State = shelf.EggCan
		}
	}
	return e
}
