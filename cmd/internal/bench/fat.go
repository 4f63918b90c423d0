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
// bottled, what still has fat in it keeps as what lies in oil does. Judgement: no days of a fat wash are published.

// fatOffH is the hour at which a fat came off, by what was said last of it: +Inf before any pull, and where a
// remark since then tells of fat. What lay in oil leaves it behind when it comes out, so that only a pull
// after the straining is of the oil.
func (a *Assessment) fatOffH(name string) float64 {
	off := a.Batch.Lifted(name, a.ElapsedH)
	if strained, out := a.Strained(); off == nil || library.InOil(name) && !(out && strained < off.Hours) {
		return math.Inf(1)
	}
	if slices.ContainsFunc(a.Batch.Remarks(), func(n batch.Note) bool {
		return n.Hours > off.Hours && n.Hours <= a.ElapsedH+1e-6 && a.isFat(n.What)
	}) {
		return math.Inf(1)
	}
	return off.Hours
}

// isFat reports whether a remark on the drink is read as one of fat.
func (a *Assessment) isFat(text string) bool { return a.Sign(text)[0].Fat() }

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
		b.FatIn = said
	} else {
		b.FatOn = said
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
