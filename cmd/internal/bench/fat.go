package bench

import (
	"math"
	"slices"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// This file says whether fat that washes the jar is in what is kept, once for every answer.
//
// On a jar that is strong it lies by a plan, and leaves with what lies in it; from when that is strained, or
// bottled, what still has fat in it keeps as what lies in oil does. Judgement: no days of a fat wash are
// published.

// fatOffH is the hour at which a fat came off, by what was said last of it: +Inf before any pull, and where a
// remark since then is read as fat. What lay in oil leaves it behind when it comes out, so that only a pull
// after the straining is of the oil.
func (a *Assessment) fatOffH(name string) float64 {
	off, b := math.Inf(1), a.Batch
	strained, out := a.Strained()
	for _, l := range b.Log() {
		said := l.Text
		switch l.Kind {
		case batch.KindPulled:
			if l.Hours <= a.ElapsedH && said == name && (!library.InOil(name) || out && strained < l.Hours) {
				off = l.Hours
			}
			continue
		case batch.KindStrained:
			if l.Hours <= a.ElapsedH && slices.Contains(b.Strainings[l.Index].Names, name) && !library.InOil(name) {
				off = l.Hours
			}
			continue
		case batch.KindTasting:
			said = b.Tastings[l.Index].Words
		case batch.KindNoted:
		default:
			continue
		}
		if !math.IsInf(off, 1) && l.Hours <= a.ElapsedH+1e-6 && a.worstCauses(said, a.liquids(l.Hours))[0].Fat() {
			off = math.Inf(1)
		}
	}
	return off
}

// Noted is the batch if a remark were noted now.
func (a *Assessment) Noted(remark string) *Assessment {
	then, b := *a, *a.Batch
	now := batch.Note{What: remark, Hours: a.ElapsedH, When: a.Now, Index: len(b.Notes)}
	b.Notes = append(slices.Clone(b.Notes), now)
	then.Batch, then.Keep, then.waited, then.changes = &b, nil, nil, nil
	then.Judge()
	return &then
}

// fatAt names the fats that wash the jar and are not off by an hour since its start.
func (a *Assessment) fatAt(hours float64) []string {
	return slices.DeleteFunc(a.Recipe.Washes(), func(name string) bool { return a.fatOffH(name) <= hours })
}

// FatToLift names the fats that wash the jar and are not off: by their name, for what is strained or bottled
// may have all of them on it.
func (a *Assessment) FatToLift() []string { return a.fatAt(a.ElapsedH) }

// lifts are the hours since a straining at which fat came off.
func (a *Assessment) lifts(strained float64) (at []float64) {
	for _, name := range a.Recipe.Washes() {
		if off := a.fatOffH(name); off > strained && !math.IsInf(off, 1) {
			at = append(at, off)
		}
	}
	return at
}

// fatSaid are fats by what is in the drink of them.
func fatSaid(names []string) (said []string) {
	for _, name := range names {
		if library.InOil(name) {
			name = "oil of the " + name
		}
		said = append(said, name)
	}
	return said
}

// fat settles which fats lie on the jar that is judged, and which are in what is kept.
func (a *Assessment) fat() {
	b, said := &a.Blend.Bottle, fatSaid(a.FatToLift())
	if left, _ := a.leftJar(); left <= a.ElapsedH {
		b.FatIn, b.FatOn = said, nil
	} else {
		b.FatIn, b.FatOn = nil, said
	}
	a.Keep.FatOn = b.FatOn
}

// fatDoubt says why nobody can be sure of a drink with fat; "" of any other.
func (a *Assessment) fatDoubt() string {
	b := &a.Blend.Bottle
	if fats := slices.Concat(b.FatOn, b.FatIn); len(fats) > 0 {
		return "nobody said that the " + quantity.And(fats) + " came off"
	}
	return ""
}
