package bench

import (
	"math"
	"slices"

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
