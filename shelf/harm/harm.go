// Package harm says what can hurt whoever drinks of a bottle: cautions, and of natural compounds how much is in
// it beside the levels that were published.
package harm

import (
	"cmp"
	"slices"
	"sort"
)

// Caution is a warning that does not depend on the verdict.
type Caution struct {
	Kind, Text, Source string
	// Of is the key of the hazard that it is of, of whatever in it; "" where it is of a level.
	Of string
	// Do is what it means and what to do about it in a few words; "" where Text says it.
	Do string
	// Share is how much of the strictest limit its high end reaches, in parts of that limit:
	// above 1 it may hurt. It is +Inf where nobody weighed what has a limit, and 1 of a
	// hazard that hangs on no dose.
	Share float64
	// Ill: a glass of it may hold what has made people ill.
	Ill bool
	// Unweighed is what nobody weighed though it holds what has a limit; "" of all else.
	Unweighed string
	// Over: the amount is above a published level for the drink, or above a day's level in one
	// glass, all of what the plants hold taken as dissolved, by so much that no doubt of the
	// content clears it; or the dose is so far above the usual, and the content not known.
	// MayPass: it may be: its likely amount is within its limits and its range is not, or it is
	// over them by figures in doubt, or the dose is far above the usual.
	Over, MayPass bool
	// Lasting: every level that it may pass is such a one.
	Lasting bool
	// Less is what there is too much of by all that is known, though the figure is in doubt. Glass:
	// one glass is over the limit of a day by it, so the maker has to act before it is served.
	Less  string
	Glass bool
	// Reached is with how much of the drink a limit of a day is reached, behind the name of the substance, as
	// Text has it; "" where it has none. Named: no other level is set for it and nobody was poisoned by it, so
	// that is all that a drinker has to know of it.
	Reached string
	Named   bool
	// Lain says that what it is of lay in it for longer than it may, without a full stop; "" where it did
	// not; LainFor is the substance by which it may not.
	Lain, LainFor string
}

// MeasureIt stands behind Lain: what ends the doubt.
const MeasureIt = "; once that is out, have it measured, and write it as hydrogen_cyanide, mg/L, under [measured]."

// graveness are the kinds of caution that are about what can happen to a drinker, the gravest
// first; the others are about the law, the taste and the closing of the bottle.
var graveness = []string{"botulism", "raw egg", "raw milk", "stale", "banned", "hazard", "neat", "gas", "pressure", "fat",
	"preservative", "dairy"}

// grave is how grave a caution is, the least the gravest: what nobody sees and has made people
// ill, and what a plant does, before what bursts and what only spoils.
func (c *Caution) grave() int {
	i := slices.Index(graveness, c.Kind)
	switch {
	case i < 0:
		return len(graveness) + 1
	case c.Kind == "hazard" && !c.Ill && c.Share < 1: // within its limit
		return len(graveness)
	}
	return i
}

// Tells reports whether one of these is of that kind.
func Tells(list []Caution, kind string) bool {
	return slices.ContainsFunc(list, func(c Caution) bool { return c.Kind == kind })
}

// GravestFirst puts cautions in the one order in which they are said: of what they can do to a
// drinker, and of hazards of what made people ill and then of what is nearest to its limit.
func GravestFirst(list []Caution) {
	compare := func(x, y Caution) int {
		switch a, b := x.grave(), y.grave(); {
		case a != b:
			return cmp.Compare(a, b)
		case x.Ill != y.Ill:
			return map[bool]int{true: -1, false: 1}[x.Ill]
		}
		return cmp.Compare(y.Share, x.Share)
	}
	sort.SliceStable(list, func(i, j int) bool { return compare(list[i], list[j]) < 0 })
}

// Must reports whether it is said on every first screen, whatever else there is to say: what
// can poison without a sign, what has made people ill, what is or may be over its limit.
func (c *Caution) Must() bool { return c.grave() < 4 || c.Kind == "hazard" && (c.Ill || c.Share > 1) }
