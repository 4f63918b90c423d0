package bench

import (
	"math"
	"slices"

	"steepbook/cmd/internal/keeping"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// This file says whether fat that washes the jar is in what is kept, once for every answer.
//
// Fat that is said or seen in what it came off from was in it since the straining, whenever somebody
// looked: none comes later, and a lift that left some is none. A cloud alone is no fat where all that it
// may be is harmless.
//
// On a jar that is strong it lies by a plan, and leaves with what lies in it; from when that is strained, or
// bottled, what still has fat in it keeps as what lies in oil does. Judgement: no days of a fat wash are
// published.

// fatOff is from which hour since the start there is no fat in it, and when last some was taken off.
type fatOff struct {
	name        string
	hours, last float64
}

// fatsOff are the fats that wash the jar with the hour at which each came off.
func (a *Assessment) fatsOff() []fatOff {
	if a.lifted == nil {
		a.lifted = []fatOff{}
		for _, name := range a.Recipe.Washes() {
			a.lifted = append(a.lifted, a.fatOffBy(name))
		}
	}
	return a.lifted
}

// fatOffBy is when a fat came off, by what was said last of it: +Inf before any pull, and where a remark
// since then is read as fat. A pull says that some was in it till then, but for one that answers a cloud.
// What lay in oil leaves it behind when it comes out, so that only a pull after the straining is of the
// oil.
func (a *Assessment) fatOffBy(name string) fatOff {
	f, clouded, b := fatOff{name: name, hours: math.Inf(1)}, false, a.Batch
	strained, out := a.Strained()
	for _, l := range b.Log() {
		said, off := l.Text, false
		switch l.Kind {
		case batch.KindPulled:
			off = said == name && (!library.InOil(name) || out && strained < l.Hours)
		case batch.KindStrained:
			off = slices.Contains(b.Strainings[l.Index].Names, name) && !library.InOil(name)
		case batch.KindTasting:
			said = b.Tastings[l.Index].Words
		case batch.KindNoted:
		default:
			continue
		}
		switch {
		case l.Hours > a.ElapsedH+1e-6:
		case off && clouded:
			f.last, clouded = l.Hours, false
		case off:
			f.hours, f.last = l.Hours, l.Hours
		case l.Kind == batch.KindPulled || l.Kind == batch.KindStrained || math.IsInf(f.hours, 1):
		default:
			is := &a.worstCauses(said, a.liquids(l.Hours), nil)[0]
			clouded = clouded || is.FatTrace()
			if is.Fat() {
				f.hours, clouded = math.Inf(1), false
			}
		}
	}
	return f
}

// Noted is the batch if a remark were noted now.
func (a *Assessment) Noted(remark string) *Assessment {
	then, b := *a, *a.Batch
	now := batch.Note{What: remark, Hours: a.ElapsedH, When: a.Now, Index: len(b.Notes)}
	b.Notes = append(slices.Clone(b.Notes), now)
	then.Batch, then.Keep, then.waited, then.changes, then.lifted = &b, nil, nil, nil, nil
	then.Judge()
	return &then
}

// fatAt names the fats that wash the jar and are not off by an hour since its start.
func (a *Assessment) fatAt(hours float64) (names []string) {
	for _, f := range a.fatsOff() {
		if f.hours > hours {
			names = append(names, f.name)
		}
	}
	return names
}

const washNote = "it is to come off: log that with pull, or write leave_in = true if it stays"

// FatToLift names the fats that wash the jar and are not off: by their name, for what is strained or bottled
// may have all of them on it.
func (a *Assessment) FatToLift() []string { return a.fatAt(a.ElapsedH) }

// LiftedSince reports whether fat, or what may be a trace of it, was seen before all of it came off.
func (a *Assessment) LiftedSince(o *keeping.Outcome) bool {
	return (o.Cause.Fat() || o.Cause.FatTrace()) && len(a.fatsOff()) > 0 && len(a.FatToLift()) == 0 &&
		slices.ContainsFunc(a.fatsOff(), func(f fatOff) bool { return a.Batch.At(f.last).After(o.At) })
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
