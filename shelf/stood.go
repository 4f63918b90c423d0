package shelf

import (
	"fmt"
	"slices"

	"steepbook/data/quantity"
	"steepbook/shelf/spoilage"
)

// Stood is raw juice that had stood before it went in.
type Stood struct {
	Name string // as in FreshJuice
	Days float64
	// Place is where it stood; empty is taken for the fridge, and said.
	Place Place
}

// leastLeft is the share that is left of a time whatever the juice had gone through: the
// drink it went into is new. Judgement; it keeps the days above nothing where the juice
// should not have gone in at all, which is said.
const leastLeft = 0.1

// celsius is what it stood at: the warm end of the place, as where a bottle stands.
func (s Stood) celsius() float64 { return Storage{Place: s.place()}.settled().Celsius }

func (s Stood) place() Place {
	if s.Place == "" {
		return Fridge
	}
	return s.Place
}

// left is the share of a time that is left after it stood, of the early and the late end
// of that time at the temperature where it stood; frozen it does not age, which is more
// than is known and lengthens nothing.
func (s Stood) left(at span) span {
	if s.Days <= 0 || s.celsius() <= frozenC {
		return span{1, 1}
	}
	return span{max(1-s.Days/at.low, leastLeft), max(1-s.Days/at.high, leastLeft)}
}

// by shortens a time to a share of it; what has no end keeps none.
func (s span) by(share span) span { return span{s.low * share.low, s.high * share.high} }

// keeps is how long raw juice keeps where it stood.
func (s Stood) keeps() span {
	low, high := spoilage.RawJuiceDays(s.celsius())
	return span{low, high}
}

// headStart is the share of its days that is left to a drink with juice that had stood: what
// lives in it began before.
func (b Bottle) headStart() span {
	left := span{1, 1}
	for _, s := range b.Stood {
		left = shorter(left, s.left(s.keeps()))
	}
	return left
}

// agedTaste is the share of a flavour clock that is left to some juices.
func (b Bottle) agedTaste(of []string, c *clock) span {
	left := span{1, 1}
	for _, s := range b.Stood {
		if slices.Contains(of, s.Name) {
			left = shorter(left, s.left(c.at(s.celsius())))
		}
	}
	return left
}

// stood says of each juice what its standing cost.
func (b Bottle) stood() (said []string) {
	for _, s := range b.Stood {
		if s.Days < 0.5 || s.celsius() <= frozenC {
			continue
		}
		days := quantity.Counted(int(s.Days+0.5), "day", "days")
		text := fmt.Sprintf("the %s had stood for %s in the %s before it went in, which is taken off its days",
			s.Name, days, s.place())
		if s.Place == "" {
			text = fmt.Sprintf("the %s had stood for %s before it went in, which is taken off its days, in the "+
				"fridge as far as is known; write kept = \"room\" if it did not", s.Name, days)
		}
		said = append(said, text)
	}
	return said
}

// stale is raw juice that stood for longer than it keeps, and for how long, in words.
func (b Bottle) stale() (said []string) {
	for _, s := range b.Stood {
		if s.celsius() > frozenC && s.Days >= s.keeps().low {
			said = append(said, fmt.Sprintf("the %s stood for %s in the %s", s.Name,
				quantity.Counted(int(s.Days+0.5), "day", "days"), s.place()))
		}
	}
	return said
}
