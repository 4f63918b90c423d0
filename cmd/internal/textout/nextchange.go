package textout

import (
	"fmt"
	"math"

	"steepbook/cmd/internal/compare"
	"steepbook/data/quantity"
)

// nextChange is the one change to try next.
func nextChange(p *Page, c *compare.Comparison) string {
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
			score(ad.Have.Value), score(math.Max(ad.Have.Low, 0)), score(ad.Have.High), last, wanted(ad))
	}
	var s string
	switch ad.Kind {
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
			trim(ad.DoseHighGPerL), quantity.And(ad.Substances))
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
		return "at most " + trim(ad.Want) + " wanted"
	}
	return trim(ad.Want) + " wanted"
}

func timeAdvice(ad *compare.NextTime) string {
	what := ad.Flavour
	if ad.Watch {
		what = quantity.And(ad.Pulled)
		if what == "" {
			what = "everything"
		}
	}
	return fmt.Sprintf("pull the %s after about %s instead of %s", what, span(ad.ToH), span(ad.FromH))
}

func doseAdvice(p *Page, ad *compare.NextTime) string {
	more := than(ad.Factor-1, "more", "less")
	if ad.Watch {
		return fmt.Sprintf("%s of what brings the %s (%s), about %s of it", more, ad.Flavour,
			quantity.And(ad.Pulled), times(ad.Factor))
	}
	s := fmt.Sprintf("%s %s, about %s of it", more, ad.Flavour, times(ad.Factor))
	if ad.GramsNow > 0 {
		s = fmt.Sprintf("%s %s, %s instead of %s", more, ad.Flavour, p.mass(ad.GramsNext),
			p.mass(ad.GramsNow))
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
			trim(ad.DoseHighGPerL))
	}
	return reasons[ad.Why]
}

func nextJSON(p *Page, c *compare.Comparison) object {
	ad := &c.Next
	about, time, dose := ad.Flavour != "", ad.Lever == compare.LeverTime, ad.Lever == compare.LeverDose
	return object{
		{"kind", ad.Kind},
		{"flavour", ad.Flavour},
		{"lever", ad.Lever},
		{"why", ad.Why},
		{"bottle_now", where(about, estimate(ad.Have))},
		{"want", where(about, ad.Want)},
		{"from_h", where(time, some(ad.FromH))},
		{"to_h", where(time, some(ad.ToH))},
		{"dose_factor", where(dose, some(ad.Factor))},
		{"grams_now", where(dose, some(ad.GramsNow))},
		{"grams_next", where(dose, some(ad.GramsNext))},
		{"cut", ad.Cut},
		{"changed_at_once", ad.Changed},
		{"text", nextChange(p, c)},
	}
}

func times(f float64) string { return significant(f, 2) + " times" }
