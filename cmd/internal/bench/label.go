package bench

import (
	"slices"
	"strings"

	"steepbook/data/batch"
	"steepbook/shelf"
)

// House are the rules of the book, nil where it has none of its own.
func (a *Assessment) House() *batch.House { return a.question.House }

// FlashC is from which temperature [°C] the vapour of the jar, and of the bottle once it
// is strained, can catch fire; ok is false where nobody need be warned.
func (a *Assessment) FlashC() (celsius float64, ok bool) {
	if !a.Blend.Have() {
		return 0, false
	}
	return a.Blend.Bottle.FlashC()
}

// JarHolds reports whether the jar, by its strength alone, keeps what makes people ill from
// growing.
func (a *Assessment) JarHolds() bool { return !a.jarIsWeak() }

// Settles names what leaves a sediment or a ring in the bottle that does no harm: juice,
// nut milk and the oils of peel, where it was not filtered.
func (a *Assessment) Settles() []string {
	b := &a.Blend.Bottle
	if b.Filtered || !a.Blend.Have() {
		return nil
	}
	names := slices.Concat(b.FreshJuice, b.CitrusPeel, b.OtherPeel)
	if b.NutMilk {
		names = append(names, b.Nuts...)
	}
	return names
}

// ToldDrinkers are the words for a label about what is in it, each once: of hazards that
// hang on no dose, and of those whose dose is worth a caution.
func (a *Assessment) ToldDrinkers() (said []string) {
	a.Judge()
	worth := func(text string) bool {
		return slices.ContainsFunc(a.Keep.Verdict.Cautions,
			func(c shelf.Caution) bool { return strings.Contains(c.Text, text) })
	}
	for n := range a.Recipe.All {
		for _, h := range n.StandsFor().AllHazards() {
			if h.Drinker != "" && !slices.Contains(said, h.Drinker) && worth(h.Text) {
				said = append(said, h.Drinker)
			}
		}
	}
	return said
}
