package bench

import (
	"math"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// This file says what liquid there is: in the jar at each hour, and in all now.
//
// A strength is kept as that of the liquid which the steep began with, for what a plant gives by an
// hour does not hang on what joins the jar: only how much liquid shares it does. That a thinner jar
// draws a little more or less of it is left out.

// neat is the share, above 0 to 1, of the liquid that the steep began with in the jar of an hour: what
// joins a jar thins it from then on.
func (a *Assessment) neat(hours float64) float64 {
	if a.Recipe.ThingsAt(0) == a.Recipe.ThingsAt(hours) {
		return 1
	}
	if first, all := a.jarML(0), a.jarML(hours); 0 < first && first < all {
		return first / all
	}
	return 1
}

// jarML is the liquid of the jar at an hour [mL], 0 where that is not known: worked out once for each
// number of things in it, for what is in by an hour is in by every later one.
func (a *Assessment) jarML(hours float64) float64 {
	n := a.Recipe.ThingsAt(hours)
	if _, known := a.jarsML[n]; !known {
		if a.jarsML == nil {
			a.jarsML = map[int]float64{}
		}
		a.jarsML[n] = 0
		b := *a.Batch // of which nothing came out yet
		b.Logged, b.Finish, b.Measured = batch.Logged{}, batch.Finish{}, batch.Measured{}
		if jar, _, err := recipe.Mix(&b, a.Recipe.JarAt(hours)).Likely(); err == nil {
			a.jarsML[n] = jar.VolumeML(20)
		}
	}
	return a.jarsML[n]
}

// liquids are what a bottle of the liquid of an hour would be, where a sign was noted then: the jar
// while anything steeps, and once it is strained what is in by the log as well as all that is planned,
// for few log everything.
func (a *Assessment) liquids(hours float64) []shelf.Bottle {
	strained, out := a.Strained()
	steeps := len(a.Batch.Botanicals) > 0 && (!out || hours < strained)
	if steeps {
		strained = math.Inf(1)
	}
	q := a.inBy(math.Max(hours, 0), strained)
	jar, err := a.blendOf(q, hours)
	is := recipe.Facts(a.Batch, q)
	if err == nil && jar.Have() {
		is = jar.Bottle
	}
	if is.Steeping = steeps; steeps {
		return []shelf.Bottle{is}
	}
	return append(a.held(), is)
}

// blendOf is the blend of some of the lines as it was known at an hour: by what was pulled and the volumes that
// were logged until then, and by what was measured of the drink where they are all that this is of.
func (a *Assessment) blendOf(q *recipe.Lines, hours float64) (recipe.Blend, error) {
	all := len(q.Botanicals) == len(a.Recipe.Botanicals) && len(q.Additions) == len(a.Recipe.Additions)
	if all && len(a.changedAt(hours)) == 0 {
		return a.Blend, nil
	}
	b := *a.Batch
	q.LieAt(&b, hours)
	b.Pulls = quantity.Those(b.Pulls, func(x *batch.Pull) bool { return x.Hours <= hours })
	b.Strainings = quantity.Those(b.Strainings, func(x *batch.Straining) bool { return x.Hours <= hours })
	b.Bottlings = quantity.Those(b.Bottlings, func(x *batch.Bottling) bool { return x.Hours <= hours })
	if !a.Recipe.ReadOf(q) {
		b.Measured = batch.Measured{}
		if out, ok := a.Strained(); ok && out <= hours {
			b.Measured.StrainedML = a.Batch.Measured.StrainedML
		}
	}
	is, err := recipe.NewBlend(&b, q)
	if all { // what is known of the egg
		is.Bottle.EggAlone, is.Bottle.EggLacks = a.Blend.Bottle.EggAlone, a.Blend.Bottle.EggLacks
	}
	return is, err
}

// ended is all that goes into the jar.
var ended = math.Inf(1)

// There is the liquid that there is by now, what it holds and its volume [mL]: the jar while anything
// steeps, else what was strained of it, as it was measured, with what has gone in since.
func (a *Assessment) There() (parts mixture.Parts, ml float64) {
	b := &a.Blend
	if so := a.Recipe.BlendSoFar(a.Batch); so != nil {
		b = so
	}
	if _, out := a.Strained(); !out {
		return b.Result.JarParts, b.Result.JarVolumeML
	}
	return b.Result.Parts, b.Result.VolumeML.Value
}
