package shelf

import (
	"fmt"

	"steepbook/shelf/harm"
)

// Keeping is a place and how long a drink holds there.
type Keeping struct {
	// Place is empty where there is none.
	Place          Place
	AtC            float64
	Sealed, Opened Days
	// by what grows alone, sealed and opened
	Sound, OpenedSound Days
	ForTaste           bool // it is sound where it is warmer too
}

// Fades lists what changes there in a bottle apart from microbes; nothing where it is nowhere.
func (k *Keeping) Fades(b Bottle) []Fade {
	if k.Place == "" {
		return nil
	}
	return Fades(b, k.AtC)
}

// Advice is where to keep a bottle, and until when: two verdicts and what
// follows from them.
type Advice struct {
	// Verdict is the judgement at the place of Safe, or at the place asked for
	// where it does not keep anywhere.
	Verdict Verdict
	// Safe is the least strict place where microbes leave it alone, and how
	// long; Best the place that its taste asks for, and how long it holds there;
	// Advised the stricter of the two places with the shorter of the times.
	// Where a place was asked for, and it keeps there, all three are that place.
	Safe, Best, Advised Keeping
	// BestKnown is false where nothing is known of how its taste fades; then
	// Best repeats the place of Safe, without a time.
	BestKnown bool
	// NotThere: it does not keep at all where the maker has it stand.
	NotThere bool
}

// goodFor is how long [days] a taste has to hold in a place for that place to
// be good enough; what fades sooner goes in the fridge. Judgement.
const goodFor = 60

// Advise judges a bottle where it is asked to stand or, where s is nil, finds
// the place. usual gives the storage of a place at its usual temperature.
func Advise(b Bottle, s *Storage, usual func(Place) Storage) Advice {
	var out Advice
	asked := s != nil
	if asked {
		out.Verdict = Judge(b, *s)
	} else {
		out.Verdict = Judge(b, usual(Room))
	}
	if asked && out.Verdict.Unopened.High <= 0 {
		asked, out.NotThere = false, true
	}
	if !asked {
		switch out.Verdict.Verdict {
		case VerdictUnknown:
			return out
		case VerdictDiscard:
			// Not outside, but there are a few cold days.
			cold := Judge(b, usual(Fridge))
			if cold.Unopened.High <= 0 {
				return out
			}
			out.Verdict = cold
		case VerdictFridge, VerdictFreezer:
			out.Verdict = Judge(b, usual(Place(out.Verdict.Verdict)))
		default:
			out.Verdict = Judge(b, usual(Room))
		}
	}
	v := &out.Verdict
	out.Safe = Keeping{v.Place, v.AtC, v.Unopened, v.Opened, v.Unopened, v.OpenedSound, false}
	out.Best = Keeping{Place: v.Place, AtC: v.AtC}
	cold := *v
	if f := v.Fades; f != nil && f.Time.Low < goodFor && !asked && v.AtC > warmestFridgeC {
		cold = Judge(b, usual(Fridge))
		out.Best = Keeping{Place: cold.Place, AtC: cold.AtC}
	}
	out.Advised = Keeping{cold.Place, cold.AtC, cold.Unopened, cold.Opened, cold.Unopened, cold.OpenedSound, cold.AtC < v.AtC}
	if f := cold.Fades; f != nil {
		out.BestKnown = true
		out.Best.Sealed, out.Best.Opened = f.Time, f.Opened
		if f.Time.Low < cold.Unopened.Low {
			out.Advised.Sealed = f.Time
		}
		if f.Opened.Low < cold.Opened.Low {
			out.Advised.Opened = f.Opened
		}
	}
	if at := v.AtC; v.Verdict != VerdictShelf && !v.Place.Counts(at) { // which its safety rests on
		v.Cautions = append(v.Cautions, harm.Caution{Kind: "cold",
			Text: fmt.Sprintf("A fridge at %.3g~°C is too warm to count as one: 4~°C is right, and the days are those at %.3[1]g~°C", at)})
	}
	return out
}
