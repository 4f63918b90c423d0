package shelf

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"steepbook/data"
	"steepbook/data/quantity"
	"steepbook/shelf/alcohol"
	"steepbook/shelf/growth"
	"steepbook/shelf/mixture"
)

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
func standingOf(s Substance, b *Bottle) (c Caution, ok bool) {
	glassML := max(b.ServeML, leastGlassML)
	drink, day := strictest(s.Limits, b.ABVPercent)
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
	c = Caution{Kind: "hazard", Do: About(s.From, s.Do), Share: share,
		Ill: day.Harm && (high*glassML/1000 > perDay || s.Unweighed != "")}
	c.Over, c.MayPass, c.Lasting = s.over(b.ABVPercent, glassML)
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
		say("; the limit is %s mg/L", trimmed(perL, 3))
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
		said := fmt.Sprintf(reached, trimmed(perDay, 3), within)
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
		return text + fmt.Sprintf(": about %s mg/L, up to %s", trimmed(likely, 2), trimmed(high, 2)), spread
	}
	return text + fmt.Sprintf(": up to %s mg/L", trimmed(high, 2)), spread
}

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

// About begins a sentence with what it is about, unless it names it: "Honey is not for infants".
func About(name, sentence string) string {
	words := strings.FieldsFunc(strings.ToLower(sentence), func(r rune) bool { return !unicode.IsLetter(r) })
	for _, word := range strings.Fields(strings.ToLower(name)) {
		if word != "and" && slices.Contains(words, word) {
			return sentence
		}
	}
	if name == "" || sentence == "" {
		return sentence
	}
	first, size := utf8.DecodeRuneInString(sentence)
	return name + ": " + string(unicode.ToLower(first)) + sentence[size:]
}

// mayFerment reports whether yeast can make gas in it, of all the sugar that it may hold.
func mayFerment(b Bottle, w worst, f findings) bool {
	return !f.onShelf && w.abv < growth.FermentsABVPercent && highEnd(b.SugarGPerL, 0) >= 4
}

// MakesGas reports whether what is alive in it makes gas: a closed bottle of it can burst.
func MakesGas(b Bottle) bool {
	w := worstOf(b)
	return len(b.Live) > 0 && mayFerment(b, w, look(b, w))
}

// UnderPressure is how to touch what gas was made in.
func UnderPressure() string { return causes().At("fermentation").Handling }

// Doses lists the cautions of compounds, over a limit or not.
func Doses(b Bottle) (out []Caution) {
	for _, s := range b.Substances {
		if c, ok := standingOf(s, &b); ok {
			out = append(out, c)
		}
	}
	return out
}

// Legal ceilings of preservatives in the drink, mg/L.
const (
	// sorbicCeiling is sorbic acid in wine, OIV Code of Oenological Practices
	// II.3.4.5.
	sorbicCeiling = 200.0
	// benzoateCeiling is sodium benzoate, 0.1 % of food, 21 CFR 184.1733(d).
	benzoateCeiling = 1000.0
	// SO2 has to be named on a label from 10 mg/L (Regulation (EU) 1169/2011
	// Annex II). Potassium metabisulfite is 57.6 % SO2 by molar mass.
	sulfiteLabel, so2Share = 10.0, 0.576
)

// sorbateCeilingMgPerL is the legal ceiling of potassium sorbate in wine, the
// salt that holds 200 mg/L of sorbic acid.
const sorbateCeilingMgPerL = sorbicCeiling / growth.SorbicShareOfPotassiumSorbate

// sentences are those of data/tables/cautions.csv.
var sentences = sync.OnceValue(func() data.Keyed[data.Sentence] { return data.Sentences("cautions.csv") })

// leastFlameABV is the strength, % vol, below which nobody is warned of its vapour. Judgement.
const leastFlameABV = 20

// NeatABV is the strength, % vol, above which nobody drinks it as it is. Judgement: the strongest
// spirits of the trade that are drunk at all are sold below it.
const NeatABV = 70.0

// FlashC is from which temperature [°C] the vapour of the jar that steeps, else of the
// bottle, can catch fire; ok is false where that is too warm, or not known, to be worth a
// warning.
func (b *Bottle) FlashC() (celsius float64, ok bool) {
	abvPercent := b.ABVPercent.Value
	if b.JarABVPercent > 0 {
		abvPercent = b.JarABVPercent
	}
	_, c, ok := alcohol.FlashPointC(abvPercent)
	return c, ok && abvPercent >= leastFlameABV
}

// weakEgg says of a drink with raw egg that holds nothing back for how long it is (the days of
// gateFailLife), and what of it is still to come, before which it may hold something back.
func (f *findings) weakEgg(toCome []string) string {
	switch n := len(toCome); {
	case f.gate.pass():
		return ""
	case n > 0:
		return ", and so weak a drink, once the " + quantity.And(toCome) + quantity.Verb(n, " is", " are") +
			" in, is for the day it is made"
	}
	return ", and so weak a drink with it is for the day it is made"
}

// cautions collects what has to be said whatever the verdict.
func cautions(b Bottle, w worst, f findings) []Caution {
	var out []Caution
	add := func(key string, parts ...any) {
		s := sentences().At(key)
		out = append(out, Caution{Kind: s.Kind, Text: s.With(parts...), Source: s.Source})
	}
	plants := strings.ReplaceAll(", "+strings.Join(b.FreshLowAcid, ", "), ", fresh ", ", ")[2:]
	if g := f.gate; len(b.FreshLowAcid) > 0 && g == (gateResult{aw: true}) {
		add("fresh plants in sugar", plants)
	}
	if len(b.FreshLowAcid) > 0 && !f.gate.pass() {
		if f.tooLate {
			add("weak jar", trimmed(b.WeakSteepH, 2))
		}
		add("fresh plants", plants, map[bool]string{true: "oil", false: "syrup"}[b.Oil])
	}
	if b.RawEgg {
		which := [...]string{EggUntold: "egg untold", EggCan: "egg first", EggLate: "egg late", EggApart: "egg apart",
			EggDid: "egg had its days", EggShort: "egg"}
		add(which[b.EggAlone], b.whyNoDays()+f.weakEgg(b.ToCome))
		out[len(out)-1].Ill = b.EggAlone == EggShort || b.EggAlone == EggUntold
	}
	if b.Egg && !b.RawEgg {
		add("heated egg")
	}
	if len(b.FatOn) > 0 {
		in := b
		in.FatIn, in.FatOn = b.FatOn, nil
		add("in fat", quantity.And(b.FatOn), Judge(in, Storage{Place: Fridge}).Unopened.Words)
	}
	if fats := slices.Concat(b.FatOn, b.FatIn); len(fats) > 0 {
		add("fat", quantity.And(fats))
	}
	if stale := b.stale(); len(stale) > 0 {
		add("stale juice", quantity.And(stale))
	}
	if b.Dairy {
		add("milk")
	}
	if b.NutMilk {
		add("nut milk")
	}
	out = append(out, Doses(b)...)
	p := b.Preservatives
	if s := p.PotassiumSorbateMgPerL; s > sorbateCeilingMgPerL {
		add("too much sorbate", s, sorbateCeilingMgPerL)
	} else if s > 0 && b.ABVPercent.Value > 0 {
		add("sorbate")
	}
	if s := p.SodiumBenzoateMgPerL; s > 0 {
		if s > benzoateCeiling {
			add("too much benzoate", s, benzoateCeiling)
		}
		if w.freshJuice {
			add("benzene")
		}
	}
	if so2 := p.PotassiumMetabisulfiteMgPerL * so2Share; so2 >= sulfiteLabel {
		add("sulphite", so2)
	}
	if c, ok := b.FlashC(); ok {
		add("flame", c)
	}
	if v := b.ABVPercent.Value; v > NeatABV {
		add("neat spirit", v)
	} else if _, c, ok := alcohol.FlashPointC(v); ok && b.Heated && v >= leastFlameABV {
		add("hot spirit", v, c)
	}
	if mayFerment(b, w, f) {
		add("pressure")
	}
	if b.ABVPercent.Value >= leastABV {
		add("alcohol")
	}
	add("law")
	return out
}

// whyNoDays is why raw egg had no days alone in what it lies in, in brackets; "" where that is not why.
func (b *Bottle) whyNoDays() string {
	if b.EggLacks == "" || b.EggAlone != EggShort && b.EggAlone != EggApart && b.EggAlone != EggLate {
		return ""
	}
	return " (" + b.EggLacks + ")"
}
