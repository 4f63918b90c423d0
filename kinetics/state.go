package kinetics

import "math"

// State says how far the tastings carry: whether a date may be named for this
// jar or only a range, and whose range it is.
type State string

// The states, from knowing nothing of the jar to knowing a date.
const (
	PriorOnly    State = "prior only"
	OneTasting   State = "one tasting"
	AllOnPlateau State = "all on the plateau"
	StraightRise State = "straight rise"
	UsualRange   State = "usual range"
	RangeOnly    State = "range only"
	Dated        State = "dated"
)

// Reason explains the state in a maker's words.
func (s State) Reason() string {
	switch s {
	case PriorOnly:
		return "Nothing tasted yet: this is the usual range for such a botanical, not for your jar."
	case OneTasting:
		return "Only one moment tasted: speed and final strength cannot be told apart yet, so this is mostly the usual range."
	case AllOnPlateau:
		return "It was as good as done at the first tasting: when it got there is not known, only that it was no later."
	case StraightRise:
		return "It is still rising in a straight line: where it will end cannot be told before it bends. Taste later."
	case UsualRange:
		return "The tastings say little about the speed so far: this is mostly the usual range, not your jar."
	case RangeOnly:
		return "The tastings narrow the range, but not to a date."
	case Dated:
		return "The tastings agree well enough to name a date for this jar."
	}
	return ""
}

// The lines between the states are choices of this program, held in place by
// the simulations in the tests.
const (
	plateauChance  = 0.8  // P(80 % of the plateau passed at the first tasting)
	straightChance = 0.5  // P(k·t < 1 at the last tasting)
	straightLearnt = 0.1  // share of the plateau's variance removed
	littleLearnt   = 0.3  // share of the rate's variance removed
	muchLearnt     = 0.5  // the same, enough for a date
	dateFactor     = 4.0  // widest 10-90 % ratio of the time that is called a date
	beyondFactor   = 2.0  // times the last tasting: extrapolation
	watchQuantile  = 0.25 // cautious quantile for an unwanted taste
)

// State judges the tastings.
func (p *Posterior) State() State {
	switch {
	case len(p.tastings) == 0:
		return PriorOnly
	case p.times == 1:
		return OneTasting
	case p.chanceShareBy(noticeable, p.tmin) >= plateauChance:
		return AllOnPlateau
	}
	rate, plateau := p.Learned()
	slow, _ := p.logRateCDF(-math.Log(p.tmax)) // k·t_max < 1
	switch {
	case slow > straightChance || plateau < straightLearnt && rate >= littleLearnt:
		return StraightRise
	case rate < littleLearnt:
		return UsualRange
	case rate >= muchLearnt && p.shareQuantile(noticeable, 0.9) <= dateFactor*p.shareQuantile(noticeable, 0.1):
		return Dated
	}
	return RangeOnly
}

// chanceShareBy is the probability that a share of the plateau is passed at t.
func (p *Posterior) chanceShareBy(share, t float64) float64 {
	if !(t > 0) {
		return 0
	}
	c := 0.0
	for i := range p.shares {
		s := &p.shares[i]
		c += s.w
		if s.f < share {
			below, _ := s.below(math.Log(math.Log((1-s.f)/(1-share)) / t))
			c -= below
		}
	}
	return c
}
