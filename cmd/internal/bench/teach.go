package bench

import (
	"fmt"
	"maps"
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
	// data is what it was learned from; the conditions of its prior are those
	// that learned speaks of.
	data *lessonData
	// standing says that the rate stands in the book's library already: then
	// only the end is learned of all batches, and the rate of those that did
	// not teach the library, further, nil where there are none.
	standing bool
	further  *lessonOf
}

// teach learns from the other batches of a book what they say of the
// botanicals steeped here.
func teach(p *parts, lib *library.Library, book []*batch.Batch, q Question) taught {
	wanted, standing := map[lessonKey]string{}, map[string]bool{}
	for i := range p.botanicals {
		h := &p.botanicals[i]
		wanted[h.lessonKey()] = h.entry.Name
		standing[h.entry.Name] = h.cut.Taught != nil
	}
	out := taught{}
	for name, l := range learnFrom(book, lib.Untaught(""), wanted, q) {
		l.standing = standing[name]
		out[name] = l
	}
	maps.DeleteFunc(wanted, func(_ lessonKey, name string) bool { return !out[name].standing })
	if len(wanted) == 0 {
		return out
	}
	for name, l := range learnFrom(book, lib, wanted, q) {
		all := out[name]
		all.further = &l
		out[name] = all
	}
	return out
}

// learnFrom gathers and fits what is wanted. A neighbour that cannot be read
// for its own faults teaches nothing.
func learnFrom(book []*batch.Batch, lib *library.Library, wanted map[lessonKey]string, q Question) taught {
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
		out[name] = lessonOf{learned: learned, data: g}
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
// the conditions of the lesson to those of own, the library's belief here, and
// from the lots of the lesson to this one. A botanical that has aged counts as
// less of it; how fast it ages is in doubt only as far as the ages differ.
func (l lessonOf) prior(own kinetics.Prior, doseGPerL, exponent float64, old *age, lot string) (kinetics.Prior, []string) {
	left, _ := old.left()
	spread := lossLogSD * math.Abs(left-l.data.aged)
	var p kinetics.Prior
	if doseGPerL > 0 && l.learned.ReferenceDose > 0 {
		p = l.learned.Prior(doseGPerL * old.potency())
		p.Plateau = faded(p.Plateau, 0, spread, exponent)
	} else {
		p = l.learned.Prior(0)
		p.Plateau = faded(p.Plateau, left-l.data.aged, spread, exponent)
	}
	// What the two beliefs share is one doubt: only what they do not share
	// widens the step from one condition to the other.
	p = p.Shifted(between(l.data.prior.LogRate, own.LogRate))
	from := func(l *kinetics.Learned) string {
		return fmt.Sprintf("%s of your own with %s", counted(l.Batches, "batch", "batches"), counted(l.Tastings, "tasting", "tastings"))
	}
	said := []string{fmt.Sprintf("%s: %.0f %% of the library's doubt about the rate is gone by them, %.0f %% of that about the end", from(&l.learned), 100*l.learned.OwnRate, 100*l.learned.OwnPlateau)}
	if l.standing {
		p.LogRate = own.LogRate
		said = []string{fmt.Sprintf("%s: %.0f %% of the library's doubt about the end is gone by them", from(&l.learned), 100*l.learned.OwnPlateau)}
		if f := l.further; f != nil {
			p.LogRate = f.learned.Prior(0).Shifted(between(f.data.prior.LogRate, own.LogRate)).LogRate
			said = append(said, fmt.Sprintf("%s since then: %.0f %% of the doubt that was left about the rate is gone by them", from(&f.learned), 100*f.learned.OwnRate))
		}
	}
	shift, ratio, siblings := l.data.lotStep(&l.learned, lot)
	before := p.Plateau
	scale := before.Mean / math.Max(l.learned.Plateau.Mean, 1) // from the reference dose to this one
	p.Plateau = kinetics.Normal{Mean: before.Mean + shift*scale, SD: before.SD * ratio}
	switch {
	case siblings > 0:
		said = append(said, fmt.Sprintf("%s of the same lot: the end %.1f ± %.1f instead of %.1f ± %.1f (lots taken to differ by a quarter: judgement)",
			counted(siblings, "batch is", "batches are"), p.Plateau.Mean, p.Plateau.SD, before.Mean, before.SD))
	case ratio != 1:
		said = append(said, fmt.Sprintf("your batches share a lot that this is not: the end %.1f ± %.1f instead of %.1f ± %.1f (lots taken to differ by a quarter: judgement)",
			p.Plateau.Mean, p.Plateau.SD, before.Mean, before.SD))
	}
	return p, said
}

// between is the step from one belief about a rate to another that shares its
// doubt.
func between(from, to kinetics.Normal) kinetics.Shift {
	return kinetics.Shift{LogMean: to.Mean - from.Mean, LogSD: math.Sqrt(math.Abs(to.SD*to.SD - from.SD*from.SD))}
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
