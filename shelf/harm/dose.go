package harm

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// Substance is an amount of one natural compound in the drink: the botanical's
// mass times its content, all of it taken as dissolved.
type Substance struct {
	// Name is the compound, lower case: "coumarin", "quinine", "thujone",
	// "hydrogen cyanide", "myristicin", "safrole", "caffeine", ….
	Name string
	// From is the botanical it comes from.
	From string
	// MgPerL is the likely amount per litre, HighMgPerL the high end of what
	// the botanical can hold (0: not known; +Inf: it is in nobody knows how many litres).
	MgPerL, HighMgPerL float64
	// Unweighed is what of From nobody weighed: it counts as its usual dose, or as what its
	// measure may hold, and MostMgPerL is the most there may be of the substance. "": nothing.
	Unweighed  string
	MostMgPerL float64
	// Limits are the published levels it is held to; of those that apply the
	// strictest counts.
	Limits []Limit
	// Text is added to the caution, Source names where it is from, Do is what to do about
	// it in a few words: "Coumarin strains the liver of some: not every day."
	Text, Source, Do string
	// Doubt says why the content, or a part of it, may not decide as it stands: "from memory".
	// "": it may. DoubtedMgPerL is that part of MgPerL; it counts for less (Doubted).
	Doubt         string
	DoubtedMgPerL float64
}

// Limit is a published level of one compound.
type Limit struct {
	// MgPerL is a level for the drink, MgPerDay for an adult and day; 0: none.
	MgPerL, MgPerDay float64
	// It holds for drinks above OverABV and up to ToABV, % vol; ToABV 0: no
	// upper end.
	OverABV, ToABV float64
	// Harm means that MgPerDay is no limit but made people ill.
	Harm bool
	// Lasting: it is for every day for years, and a glass above it hurts nobody that day.
	Lasting bool
	// Doubt says why the level never counts as passed: "that limit is from
	// memory". "": it may.
	Doubt  string
	Source string
}

// applies reports whether the level holds for a drink of that strength; where
// the strength is in doubt, for any strength it may have.
func (l Limit) applies(abv mixture.Range) bool {
	return (l.OverABV == 0 || abv.High > l.OverABV) && (l.ToABV == 0 || abv.Low <= l.ToABV)
}

// leastGlassML is the least serving in which a day's limit is counted: who pours less may pour
// twice.
const leastGlassML = 60.0

// strictest is the lowest of the levels that apply, by the drink and by the day.
func strictest(limits []Limit, abv mixture.Range) (drink, day Limit) {
	for _, l := range limits {
		if !l.applies(abv) {
			continue
		}
		if l.MgPerL > 0 && (drink.MgPerL == 0 || l.MgPerL < drink.MgPerL) {
			drink = l
		}
		if l.MgPerDay > 0 && (day.MgPerDay == 0 || l.MgPerDay < day.MgPerDay) {
			day = l
		}
	}
	return drink, day
}

// Doubted is how many times over a level an amount must be to forbid where its content is from
// memory or an unsigned page, for such a figure may be told so many times too high. Judgement:
// the contents of one plant that were read side by side differ by about as much.
const Doubted = 3.0

// passed reports whether so much in a glass of that size is over the level.
func (l Limit) passed(mgPerL, glassML float64) bool {
	return l.MgPerL > 0 && mgPerL > l.MgPerL || l.MgPerDay > 0 && mgPerL*glassML/1000 > l.MgPerDay
}

// over reports whether its amount is over a level that was read, what is in doubt of it counted by so much
// less; mayPass that it may be: by the high end of a content that was read, by the likely one of a content
// in doubt, unless nobody weighed it; lasting that all it may pass are lasting levels. What has made
// people ill counts at its high end.
func (s *Substance) over(abv mixture.Range, glassML float64) (over, mayPass, lasting bool) {
	high, firm := max(s.HighMgPerL, s.MgPerL), 1.0
	if s.MgPerL > 0 {
		firm = 1 - s.DoubtedMgPerL/s.MgPerL*(1-1/Doubted)
	}
	for _, l := range s.Limits {
		if l.Doubt != "" || !l.applies(abv) {
			continue
		}
		counts, may := s.MgPerL, max(high, s.MostMgPerL)
		if l.Harm && l.MgPerDay > 0 {
			counts = high
		}
		if s.Doubt != "" && s.Unweighed == "" { // but the doubt of who did not weigh it is about the dose
			may = counts
		}
		over = over || l.passed(counts*firm, glassML)
		if l.passed(may, glassML) {
			mayPass, lasting = true, l.Lasting && (lasting || !mayPass)
		}
	}
	return over, mayPass && !over, lasting
}

// Told are substances of which one was measured in the drink, where mgPerL is set: no content, doubt or advice
// for the jar counts beside that. Where more of it may have come since, that is the least there is.
//
//go:noinline
func Told(list []Substance, name string, mgPerL *float64, more bool) []Substance {
	for i := range list {
		if x := &list[i]; x.Name == name && mgPerL != nil && !(more && x.MgPerL > *mgPerL) {
			*x = Substance{Name: name, From: x.From, Limits: x.Limits, Source: x.Source,
				MgPerL: *mgPerL, HighMgPerL: *mgPerL, MostMgPerL: *mgPerL}
		}
	}
	return list
}

// standingOf is the caution of a compound by its limits. It says nothing when the high end is
// below a tenth of each limit and none of it is in doubt.
func standingOf(s Substance, abv mixture.Range, serveML float64) (c Caution, ok bool) {
	glassML := max(serveML, leastGlassML)
	drink, day := strictest(s.Limits, abv)
	perL, perDay := drink.MgPerL, day.MgPerDay
	likely, high := s.MgPerL, max(s.HighMgPerL, s.MgPerL)
	share := 0.0
	if perL > 0 {
		share = high / perL
	}
	if perDay > 0 {
		share = max(share, high*glassML/1000/perDay)
	}
	limited, told := perL > 0 || perDay > 0, !math.IsInf(high, 1)
	if s.Unweighed != "" {
		if limited {
			share = math.Inf(1) // for all anybody knows
		}
		s.Do = strings.TrimSpace(s.Do + " How much of it went in is not known: weigh it.")
	}
	if limited && share < 0.1 && s.Doubt == "" || !limited && high <= 0 && s.Text == "" {
		return c, false
	}
	c = Caution{Kind: "hazard", Do: quantity.About(s.From, s.Do), Share: share,
		Ill: day.Harm && (high*glassML/1000 > perDay || s.Unweighed != "")}
	c.Over, c.MayPass, c.Lasting = s.over(abv, glassML)
	if limited {
		c.Unweighed = s.Unweighed
	}
	if s.Doubt != "" && c.MayPass && s.Unweighed == "" {
		c.Less = s.From
	}
	text, spread := s.amount(likely, high)
	say := func(format string, args ...any) { text += fmt.Sprintf(format, args...) }
	overL := perL > 0 && likely > perL
	if perL > 0 && high > 0 {
		say("; the limit is %s mg/L", quantity.Digits(perL, 3))
		switch {
		case overL && told:
			say(", and this is over it")
		case high > perL:
			say(", so it can be over it")
		}
	}
	// What has made people ill counts at its high end.
	counts, is, reached := likely, "is", "a day's limit of %s mg is reached %s"
	if day.Harm {
		counts, is, reached = high, "can be", "%s mg in a day has made people ill, which is reached %s"
	}
	overDay := perDay > 0 && counts*glassML/1000 > perDay
	c.Glass = overDay && c.Less != ""
	if perDay > 0 && high > 0 && told {
		within := "with " + volume(perDay/high*1000)
		switch {
		case spread:
			within = fmt.Sprintf("with about %s, at the high end %s", volume(perDay/likely*1000), within)
		case likely <= 1e-6*high:
			within += " at the high end"
		}
		said := fmt.Sprintf(reached, quantity.Digits(perDay, 3), within)
		c.Reached, c.Named = s.Name+": "+said, perL == 0 && !day.Harm && s.Doubt == ""
		say("; %s", said)
		if overDay {
			say(", so one glass of %s %s over it", volume(glassML), is)
		}
	}
	switch {
	case s.Doubt != "" && c.Over: // which weakens nothing, so it is no part of the first sentence
		say(". The content is %s, and a third of it would be over as well", s.Doubt)
	case s.Doubt != "":
		say("; the content is %s, so take it as a warning only", s.Doubt)
	case high > 0 && day.Doubt+drink.Doubt != "":
		say("; %s", cmp.Or(day.Doubt, drink.Doubt))
	}
	if s.Text != "" {
		say(". %s", s.Text)
	}
	c.Text, c.Source = text, cmp.Or(drink.Source, day.Source, s.Source)
	return c, true
}

// amount is how much of it there is, and from what; spread: the likely amount and the high end
// stand side by side.
func (s *Substance) amount(likely, high float64) (text string, spread bool) {
	text = s.Name
	if s.From != "" {
		text += " from " + s.From
	}
	switch {
	case s.Unweighed == "":
	case strings.Contains(s.From, " and "):
		text += ", of which nobody weighed the " + s.Unweighed
	default:
		text += ", which nobody weighed"
	}
	switch spread = likely > 1e-6*high && high > 1.2*likely; {
	case math.IsInf(high, 1):
		return text + ": how much of it is in a litre cannot be said", spread
	case high <= 0:
		return text + ": the amount is not known", spread
	case spread:
		return text + fmt.Sprintf(": about %s mg/L, up to %s", quantity.Digits(likely, 2), quantity.Digits(high, 2)), spread
	}
	return text + fmt.Sprintf(": up to %s mg/L", quantity.Digits(high, 2)), spread
}

// Doses lists the cautions of compounds in a drink of such a strength, over a limit or not; serveML is how much of
// it is poured at once, 0 where nobody said.
func Doses(list []Substance, abv mixture.Range, serveML float64) (out []Caution) {
	for _, s := range list {
		if c, ok := standingOf(s, abv, serveML); ok {
			out = append(out, c)
		}
	}
	return out
}

// volume is an amount of drink in two figures: "62 ml", "2.4 l".
func volume(ml float64) string {
	if ml >= 1000 {
		return quantity.Digits(ml/1000, 2) + "~l"
	}
	return quantity.Digits(ml, 2) + "~ml"
}
