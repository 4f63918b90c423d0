package bench

import (
	"fmt"
	"math"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/kinetics"
)

// taught is what the other batches of the book say of the botanicals of this
// one, by the name they have here.
type taught map[string]lessonOf

type lessonOf struct {
	learned kinetics.Learned
	// base is the belief the learning started from: its conditions are those
	// that learned speaks of.
	base kinetics.Prior
}

// teach learns from the other batches of a book what they say of the
// botanicals steeped here. A neighbour that cannot be read for its own faults
// teaches nothing.
func teach(p *parts, lib *library.Library, book []*batch.Batch, q Question) taught {
	wanted := map[lessonKey]string{}
	for i := range p.botanicals {
		wanted[p.botanicals[i].lessonKey()] = p.botanicals[i].entry.Name
	}
	var neighbours []*Assessment
	for _, b := range book {
		if len(b.Tastings) == 0 || !shares(b, lib, wanted) {
			continue
		}
		a, err := Assess(b, lib, Question{Now: q.Now})
		if err != nil {
			continue
		}
		neighbours = append(neighbours, a)
	}
	groups, err := lessonGroups(neighbours, lib)
	if err != nil {
		return nil
	}
	out := taught{}
	for _, g := range groups {
		name, ok := wanted[lessonKey{g.name, g.cut}]
		if !ok {
			continue
		}
		learned, err := g.fit()
		if err != nil {
			continue
		}
		out[name] = lessonOf{learned, g.prior}
	}
	return out
}

// shares reports whether a batch steeps something that is wanted.
func shares(b *batch.Batch, lib *library.Library, wanted map[lessonKey]string) bool {
	p, err := resolve(b, lib)
	if err != nil {
		return false
	}
	for i := range p.botanicals {
		if _, ok := wanted[p.botanicals[i].lessonKey()]; ok {
			return true
		}
	}
	return false
}

// prior is the belief about this jar: what was learned at its dose, moved from
// the conditions of the lesson to those of own, the library's belief here.
func (l lessonOf) prior(own kinetics.Prior, doseGPerL float64) (kinetics.Prior, string) {
	p := l.learned.Prior(doseGPerL)
	// What the two beliefs share is one doubt: only what they do not share
	// widens the step from one condition to the other.
	r, b := own.LogRate, l.base.LogRate
	p = p.Shifted(kinetics.Shift{LogMean: r.Mean - b.Mean, LogSD: math.Sqrt(math.Abs(r.SD*r.SD - b.SD*b.SD))})
	return p, fmt.Sprintf("%s of your own with %s: %.0f %% of the library's doubt about the rate is gone by them, %.0f %% of that about the end",
		counted(l.learned.Batches, "batch", "batches"), counted(l.learned.Tastings, "tasting", "tastings"), 100*l.learned.OwnRate, 100*l.learned.OwnPlateau)
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
