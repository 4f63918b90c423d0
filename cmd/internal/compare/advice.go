package compare

import (
	"math"
	"slices"
	"steepbook/cmd/internal/steeping"
	"strings"

	"steepbook/cmd/internal/keeping"
	"steepbook/data/library"
	"steepbook/kinetics/jar"
	"steepbook/shelf/mixture"
)

// AdviceKind says what to do about the next batch.
type AdviceKind string

// The kinds of advice.
const (
	AdviceChange AdviceKind = "change" // one thing, by Lever
	AdviceRepeat AdviceKind = "repeat" // nothing is surely off: the same again
	AdviceWait   AdviceKind = "wait"   // it is still steeping
	AdviceTaste  AdviceKind = "taste"  // no tasting says how it came out
	AdviceStop   AdviceKind = "stop"   // it must not be drunk
	AdviceSeen   AdviceKind = "seen"   // by what was seen of it alone
	AdviceTarget AdviceKind = "target" // nothing says what was wanted
	AdviceAccept AdviceKind = "accept" // too weak, and a higher dose is not for drinking
)

// Lever is the one thing to change.
type Lever string

// The levers.
const (
	LeverTime Lever = "time"
	LeverDose Lever = "dose"
	LeverCut  Lever = "cut"
)

// NextTime is the one change to try next, for the flavour of the last batch that
// is furthest from what was wanted.
type NextTime struct {
	Kind    AdviceKind
	Flavour string
	Watch   bool
	// Have is its strength in the bottle, Want the target, or the limit of a
	// watched taste. Ends says that it is still steeping and Have is where it
	// ends.
	Have mixture.Range
	Ends bool
	Want float64

	Lever Lever
	// FromH and ToH are hours in the jar, for LeverTime; Pulled names what has
	// to come out then, where it is not the flavour itself.
	FromH, ToH float64
	Pulled     []string
	// Factor is the new dose over the old one, GramsNow and GramsNext the
	// weights (0 when nobody weighed it). HalfWay says that the sum asks for
	// more than one step should be.
	Factor              float64
	GramsNow, GramsNext float64
	HalfWay             bool
	// Cut is the form to try and FromCut the one in use, for LeverCut.
	FromCut, Cut string
	// Why is why this lever: one of the Because constants.
	Why Because
	// Substances are limited in drinks, and a higher dose brings more of them;
	// DoseHighGPerL is the upper end of the usual range, 0 when not known.
	Substances    []string
	DoseHighGPerL float64
	// Changed are the changes that acted on the flavour at once, two or more.
	Changed []string
}

// Because is the reason for a lever.
type Because string

// The reasons.
const (
	EndsTooWeak   Because = "ends too weak"          // its plateau lies below what is wanted
	EndsTooStrong Because = "ends too strong"        // and no hour is known at which it was right
	PulledEarly   Because = "pulled too early"       // it would have got there
	PulledLate    Because = "pulled too late"        // it had been there
	TooSlow       Because = "too slow"               // it would get there, in weeks
	TooFast       Because = "too fast"               // minutes: no clock is good enough
	WatchComesIn  Because = "an unwanted taste"      // it would pass its limit before the flavour is there
	OverItsLimit  Because = "over its limit"         // the watched taste itself
	WithinReach   Because = "within its range"       // nothing is surely off
	DoseEnds      Because = "at the end of its dose" // it holds Substances, and the usual range ends here
)

// Limits of what one step of advice asks. Judgement: a dose is not changed more
// than twofold at once; two weeks are a long steep for a fault of speed alone;
// what is done in half an hour is missed by the clock.
const (
	mostFactor  = 2.0
	longSteepH  = 14 * 24.0
	shortSteepH = 0.5
)

// advise finds the flavour of the last batch that is furthest from what was
// wanted and the lever for it.
func (c *Comparison) advise() {
	last := len(c.sides) - 1
	s := &c.sides[last]
	var sure, unsure *steeping.Curve
	var sureBy, unsureBy float64
	targets, tasted, waiting := 0, 0, 0
	for i := range s.a.Curves {
		k := &s.a.Curves[i]
		if k.Known != nil && k.Known.Forbidden != "" {
			continue // no dose, time or cut of it is right
		}
		if k.Target != nil || k.Watch {
			targets++
		}
		by, outside, known := off(k)
		if k.Tasted > 0 && (k.Target != nil || k.Watch) {
			tasted++
		}
		switch {
		case !known:
			if k.Tasted > 0 && k.OutH == nil && k.Target != nil {
				waiting++
			}
			continue
		case outside && math.Abs(by) > sureBy:
			sure, sureBy = k, math.Abs(by)
		case !outside && math.Abs(by) >= unsureBy:
			unsure, unsureBy = k, math.Abs(by)
		}
	}
	switch {
	case s.a.Keep.Stop == keeping.Living:
		c.Next = NextTime{Kind: AdviceSeen}
	case s.a.NotToServe() && (sure == nil || s.a.Unfit()):
		c.Next = NextTime{Kind: AdviceStop}
	case targets == 0:
		c.Next = NextTime{Kind: AdviceTarget}
	case tasted == 0:
		c.Next = NextTime{Kind: AdviceTaste}
	case sure != nil:
		c.Next = s.change(sure)
	case waiting > 0:
		c.Next = NextTime{Kind: AdviceWait}
	case unsure != nil:
		c.Next = NextTime{Kind: AdviceRepeat, Why: WithinReach}
		c.Next.describe(unsure)
	default:
		c.Next = NextTime{Kind: AdviceTaste}
	}
	if c.Next.Flavour != "" && !c.Next.Watch {
		if changed := c.changesOn(c.Next.Flavour, last-1, last); len(changed) > 1 {
			c.Next.Changed = changed
		}
	}
}

// final is the flavour's strength in the bottle that waiting changes no more:
// as it came out; as it is, where it is overdue; where it ends, if that is
// surely below the target. ok is false while waiting may still do it.
func final(k *steeping.Curve) (f mixture.Range, ends, ok bool) {
	switch {
	case k.Tasted == 0 || k.JarH <= 0:
		return mixture.Range{}, false, false
	case k.OutH != nil || k.Order.Overdue || k.Watch:
		return k.BottleNow, false, true
	case k.Target == nil:
		return mixture.Range{}, false, false
	}
	peak := k.Ends()
	return peak, true, peak.High < *k.Target
}

// off is how far the flavour is from what is wanted in the bottle, in points, and
// whether it surely is: by its order, or what is wanted lies outside the 90 % range. known is false where
// tastings or target are missing or it is still steeping. A watched taste below
// its limit is not off.
func off(k *steeping.Curve) (points float64, sure, known bool) {
	f, _, ok := final(k)
	switch {
	case !ok:
		return 0, false, false
	case k.Watch:
		return f.Value - k.Limit, k.Order.Exceeds(), f.Value > k.Limit
	case k.Target == nil:
		return 0, false, false
	}
	past := k.Order.Why == jar.Over
	return f.Value - *k.Target, past || *k.Target < f.Low || *k.Target > f.High, true
}

func (ad *NextTime) describe(k *steeping.Curve) {
	ad.Flavour, ad.Watch = k.Name, k.Watch
	ad.Have, ad.Ends, _ = final(k)
	switch {
	case k.Watch:
		ad.Want = k.Limit
	case k.Target != nil:
		ad.Want = *k.Target
	}
}

// change picks the lever for a flavour that is surely off.
func (s *side) change(k *steeping.Curve) NextTime {
	ad := NextTime{Kind: AdviceChange}
	ad.describe(k)
	if k.Watch {
		return s.lessOfWatch(ad, k)
	}
	best := k.Order.BestH - k.InH
	if k.Order.Why == jar.Fades && k.JarH > best && best >= shortSteepH {
		return ad.time(PulledLate, k.JarH, best) // the same dose was stronger then
	}
	if ad.Have.Value > ad.Want {
		switch {
		case best >= k.JarH:
			ad.Why = EndsTooStrong
			return s.dose(ad, k, k.JarNow.Value)
		case best < shortSteepH:
			ad.Why = TooFast
			return s.dose(ad, k, k.JarNow.Value)
		}
		return ad.time(PulledLate, k.JarH, best)
	}
	rising := best > 1.25*k.JarH && !math.IsInf(best, 1)
	switch k.Order.Why {
	case jar.AllThere, jar.NoneYet:
		if !rising {
			ad.Why = EndsTooWeak
			return s.doseUp(ad, k, k.Posterior.Plateau().Median)
		}
	case jar.Spoils:
		ad.Why = WatchComesIn
		return s.doseUp(ad, k, k.Posterior.Strength(best).Median)
	}
	switch {
	case !rising:
		ad.Why = EndsTooWeak
		return s.doseUp(ad, k, k.JarNow.Value)
	case best > longSteepH && best > 2*k.JarH:
		ad.Why = TooSlow
		if cut := faster(k); cut != "" {
			ad.Lever, ad.FromCut, ad.Cut, ad.Substances = LeverCut, k.Cut, cut, limited(k.Known)
			return ad
		}
		return s.doseUp(ad, k, k.JarNow.Value)
	}
	return ad.time(PulledEarly, k.JarH, best)
}

func (ad NextTime) time(why Because, from, to float64) NextTime {
	ad.Lever, ad.Why, ad.FromH, ad.ToH = LeverTime, why, from, to
	return ad
}

// lessOfWatch is the time at which what brings an unwanted taste has to be out.
func (s *side) lessOfWatch(ad NextTime, k *steeping.Curve) NextTime {
	var from []string
	for i := range s.a.Batch.Watches {
		if w := &s.a.Batch.Watches[i]; w.Name == k.Name {
			from = w.From
		}
	}
	for _, b := range s.a.Batch.Botanicals {
		if len(from) == 0 || slices.ContainsFunc(from,
			func(n string) bool { return strings.EqualFold(n, b.Name) }) {
			ad.Pulled = append(ad.Pulled, b.Name)
		}
	}
	best := k.Order.Crossing.P25 - k.InH
	switch {
	case best >= k.JarH:
		ad.Why = EndsTooStrong
	case best < shortSteepH:
		ad.Why = TooFast
	default:
		return ad.time(OverItsLimit, k.JarH, best)
	}
	// No earlier hour keeps it under: less of what brings it does.
	return ad.dose(math.Pow(ad.Want/math.Max(ad.Have.Value, 1e-9), 1/k.Exponent.Mean))
}

// doseUp is dose for a flavour that is too weak, with a look at what a higher
// dose brings. jarScore is where the present dose ends.
func (s *side) doseUp(ad NextTime, k *steeping.Curve, jarScore float64) NextTime {
	if jarScore >= k.JarTarget {
		jarScore = k.JarNow.Value // the end is in doubt; what was tasted is not
	}
	ad = s.dose(ad, k, jarScore)
	ad.Substances = limited(k.Known)
	litres := s.baseML / 1000
	if k.LibCut == nil || k.LibCut.DoseGPerL.High <= 0 || litres <= 0 || ad.GramsNow <= 0 {
		return ad
	}
	ad.DoseHighGPerL = k.LibCut.DoseGPerL.High
	if most := ad.DoseHighGPerL * litres; len(ad.Substances) > 0 && ad.GramsNext > most {
		ad.GramsNext, ad.Factor, ad.HalfWay, ad.Why = most, most/ad.GramsNow, false, DoseEnds
		if ad.Factor < 1.05 {
			ad.Kind, ad.Factor, ad.GramsNext = AdviceAccept, 1, ad.GramsNow
		}
	}
	return ad
}

// limited names what a botanical holds that is limited in drinks.
func limited(known *library.Botanical) []string {
	if known == nil {
		return nil
	}
	var names []string
	for _, h := range known.Hazards {
		if h.Substance != "" && !slices.Contains(names, h.Substance) {
			names = append(names, h.Substance)
		}
	}
	return names
}

// dose turns a jar score into the dose that would have given the wanted one: a
// score goes with the amount to the power of the flavour's exponent.
func (s *side) dose(ad NextTime, k *steeping.Curve, jarScore float64) NextTime {
	ad = ad.dose(math.Pow(k.JarTarget/math.Max(jarScore, 1e-9), 1/k.Exponent.Mean))
	for i := range s.parts.Botanicals {
		if h := &s.parts.Botanicals[i]; h.Entry.Name == k.Name && h.Weight != nil {
			ad.GramsNow = h.Weight.G
			ad.GramsNext = h.Weight.G * ad.Factor
		}
	}
	return ad
}

// dose asks for a dose factor, no further than one step goes.
func (ad NextTime) dose(factor float64) NextTime {
	ad.Lever = LeverDose
	ad.Factor = math.Min(math.Max(factor, 1/mostFactor), mostFactor)
	ad.HalfWay = ad.Factor != factor
	return ad
}

// faster names the library's next faster form of a botanical, empty when there
// is none.
func faster(k *steeping.Curve) string {
	if k.Known == nil || k.LibCut == nil {
		return ""
	}
	now := k.LibCut.RatePerH.Value
	best, name := math.Inf(1), ""
	for i := range k.Known.Cuts {
		if r := k.Known.Cuts[i].RatePerH.Value; r > 1.2*now && r < best {
			best, name = r, k.Known.Cuts[i].Name
		}
	}
	return name
}
