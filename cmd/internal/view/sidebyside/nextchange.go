package sidebyside

import (
	"fmt"
	"math"

	"steepbook/cmd/internal/compare"
	"steepbook/cmd/internal/pen"
	"steepbook/data/quantity"
)

// nextChange is the one change to try next.
func nextChange(c *compare.Comparison, p pen.Style) string {
	ad := &c.Next
	last := letter(len(c.Batches) - 1)
	const lead = "To try next: "
	have := ""
	if ad.Flavour != "" {
		stands := "is at"
		if ad.Ends {
			stands = "ends at about"
		}
		have = fmt.Sprintf("%s %s %s (%s-%s) in the bottle of %s, %s", ad.Flavour, stands,
			pen.Score(ad.Have.Value), pen.Score(math.Max(ad.Have.Low, 0)), pen.Score(ad.Have.High), last,
			wanted(ad))
	}
	var s string
	switch ad.Kind {
	case compare.AdviceStop:
		return lead + fmt.Sprintf("another recipe: %s must not be drunk as it is.", last)
	case compare.AdviceSeen:
		return lead + fmt.Sprintf("find out first how what was seen of %[1]s came in: %[1]s must not be drunk, and its "+
			"recipe need not be why.", last)
	case compare.AdviceTarget:
		return lead + fmt.Sprintf("write what you want: %s has no target and no watched taste, so nothing "+
			"says which way to go (target = 6 under a [[botanical]]).", last)
	case compare.AdviceTaste:
		return lead + fmt.Sprintf("taste %s and log it; until then nothing says how it came out.", last)
	case compare.AdviceWait:
		return lead + fmt.Sprintf("nothing yet: %s is still steeping. Ask again when something is out.", last)
	case compare.AdviceRepeat:
		return lead + fmt.Sprintf("the same again. Nothing in %s is surely off: %s, which is nearer than "+
			"the tastings can tell. Taste it more often rather than change it.", last, have)
	case compare.AdviceAccept:
		return lead + fmt.Sprintf("nothing. The %s, and its dose is at the upper end of the usual range "+
			"(%s g/L); it holds %s, so no more of it. Want less, or lift it with something else.", have,
			pen.Trim(ad.DoseHighGPerL), quantity.And(ad.Substances))
	}
	switch ad.Lever {
	case compare.LeverTime:
		s = timeAdvice(ad)
	case compare.LeverCut:
		s = fmt.Sprintf("%s cut as %q instead of %q, at a smaller weight to begin with", ad.Flavour, ad.Cut,
			ad.FromCut)
	default:
		s = doseAdvice(p, ad)
	}
	s = lead + s + ". The " + have + reason(ad) + "."
	if (ad.Lever == compare.LeverCut || ad.Factor > 1) && len(ad.Substances) > 0 {
		s += fmt.Sprintf(" It holds %s, and more of that comes out too: see what keep "+
			"says of the new batch.", quantity.And(ad.Substances))
	}
	if len(ad.Changed) > 1 {
		s += fmt.Sprintf(" From %s to %s %s were changed at once, so what did it cannot be told: this "+
			"time change only this.", letter(len(c.Batches)-2), last, quantity.And(ad.Changed))
	} else {
		s += " Change only this."
	}
	return s
}

func wanted(ad *compare.NextTime) string {
	if ad.Watch {
		return "at most " + pen.Trim(ad.Want) + " wanted"
	}
	return pen.Trim(ad.Want) + " wanted"
}

func timeAdvice(ad *compare.NextTime) string {
	what := ad.Flavour
	if ad.Watch {
		what = quantity.And(ad.Pulled)
		if what == "" {
			what = "everything"
		}
	}
	return fmt.Sprintf("pull the %s after about %s instead of %s", what, quantity.Span(ad.ToH),
		quantity.Span(ad.FromH))
}

func doseAdvice(p pen.Style, ad *compare.NextTime) string {
	more := than(ad.Factor-1, "more", "less")
	if ad.Watch {
		return fmt.Sprintf("%s of what brings the %s (%s), about %s of it", more, ad.Flavour,
			quantity.And(ad.Pulled), times(ad.Factor))
	}
	s := fmt.Sprintf("%s %s, about %s of it", more, ad.Flavour, times(ad.Factor))
	if ad.GramsNow > 0 {
		s = fmt.Sprintf("%s %s, %s instead of %s", more, ad.Flavour, p.Mass(ad.GramsNext),
			p.Mass(ad.GramsNow))
	}
	if ad.HalfWay {
		s += " (the sum asks for more than a twofold step; go by steps and taste)"
	}
	return s
}

// reasons are why a lever is the one.
var reasons = map[compare.Because]string{
	compare.EndsTooWeak:   "; it ends too weak at this dose, and more time will not help",
	compare.EndsTooStrong: "; no hour is known at which it was right",
	compare.PulledEarly:   "; it was still rising when it came out",
	compare.PulledLate:    "; it had been there and went past",
	compare.TooSlow:       "; it would get there, but only in weeks",
	compare.TooFast:       "; it passes the mark within minutes, which no clock catches",
	compare.WatchComesIn:  "; more time would bring an unwanted taste over its limit",
	compare.OverItsLimit:  "; what brings it stayed too long",
}

func reason(ad *compare.NextTime) string {
	if ad.Why == compare.DoseEnds {
		return fmt.Sprintf("; %s g/L is the upper end of the usual range, and no more should go in",
			pen.Trim(ad.DoseHighGPerL))
	}
	return reasons[ad.Why]
}

func nextJSON(p *pen.Page, c *compare.Comparison) pen.Object {
	ad := &c.Next
	about, time, dose := ad.Flavour != "", ad.Lever == compare.LeverTime, ad.Lever == compare.LeverDose
	return pen.Object{
		pen.As("kind", ad.Kind),
		pen.As("flavour", ad.Flavour),
		pen.As("lever", ad.Lever),
		pen.As("why", ad.Why),
		pen.As("bottle_now", pen.Where(about, pen.Estimate(ad.Have))),
		pen.As("want", pen.Where(about, ad.Want)),
		pen.As("from_h", pen.Where(time, pen.Some(ad.FromH))),
		pen.As("to_h", pen.Where(time, pen.Some(ad.ToH))),
		pen.As("dose_factor", pen.Where(dose, pen.Some(ad.Factor))),
		pen.As("grams_now", pen.Where(dose, pen.Some(ad.GramsNow))),
		pen.As("grams_next", pen.Where(dose, pen.Some(ad.GramsNext))),
		pen.As("cut", ad.Cut),
		pen.As("changed_at_once", ad.Changed),
		pen.As("text", nextChange(c, p.Style)),
	}
}

func times(f float64) string { return pen.Significant(f, 2) + " times" }
