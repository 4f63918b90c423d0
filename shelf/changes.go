package shelf

import (
	"fmt"
	"strings"

	"steepbook/shelf/mixture"
	"steepbook/shelf/spoilage"
)

// Step is how far up the ladder of keeping a bottle stands: by the low end of
// its days in a fridge, sealed, up to a shelf.
type Step int

// The steps, from the least kept to the best.
const (
	// StepUnknown: the figures are impossible or missing.
	StepUnknown Step = iota - 1
	// StepPathogens: nothing keeps pathogens from growing; a few cold days.
	StepPathogens
	// StepDays: less than two weeks.
	StepDays
	// StepWeeks: two weeks and more.
	StepWeeks
	// StepMonths: six weeks and more.
	StepMonths
	// StepShelf: a shelf, opened too.
	StepShelf
)

// From these low ends on [days] a drink stands on the step of weeks or months.
// The longest low end of a drink with raw juice is 45.
const weeksFrom, monthsFrom = 14, 42

// String names the step in two or three words.
func (s Step) String() string {
	if s < StepPathogens {
		return "not known"
	}
	return [...]string{
		"a few cold days", "days in the fridge", "weeks in the fridge", "months in the fridge", "shelf",
	}[s]
}

// Keeps says how far up the ladder the bottle stands, without the rest of a
// Verdict: for a map over many compositions.
func Keeps(b Bottle) Step {
	if check(b, Storage{}) != nil {
		return StepUnknown
	}
	w := worstOf(b)
	f := look(b, w)
	switch {
	case f.onShelf:
		return StepShelf
	case !f.gate.pass() && !plainSyrup(b, w):
		return StepPathogens
	}
	days := spoilage.LowDays(spoils(b, w, false), fridgeC)
	switch {
	case days >= monthsFrom:
		return StepMonths
	case days >= weeksFrom:
		return StepWeeks
	}
	return StepDays
}

// dissolvedML is the volume a gram of dissolved sugar takes up, mL/g, at
// moderate strength.
const dissolvedML = 0.62

// plainEffect is what a change does to the figures when nobody computes the
// blend: strength, sugar and pH move by themselves, sugar thins the alcohol by
// its volume.
func plainEffect(b Bottle, c Change) (Bottle, bool) {
	if c.PH > 0 {
		if !b.PHKnown {
			return b, false
		}
		b.PH = moved(b.PH, min(c.PH-b.PH.Value, 0), 1)
	}
	switch c.Kind {
	case ChangeABV:
		b.ABVPercent = moved(b.ABVPercent, c.Amount, 1)
		b.NoSpirit = false
	case ChangeSugar:
		thinner := 1 / (1 + dissolvedML*c.Amount/1000)
		b.ABVPercent = moved(b.ABVPercent, 0, thinner)
		b.SugarGPerL = moved(b.SugarGPerL, c.Amount, thinner)
	case ChangeAcid:
		if !b.PHKnown {
			return b, false
		}
		b.PH = moved(b.PH, -c.Amount, 1)
	case ChangeNoJuice:
		b.Nourishing = without(b.Nourishing, b.FreshJuice)
		b.FreshJuice, b.Pulp = nil, false
	}
	return b, true
}

// moved adds d to a range and then scales it.
func moved(r mixture.Range, d, scale float64) mixture.Range {
	return mixture.Range{Value: (r.Value + d) * scale, Low: (r.Low + d) * scale, High: (r.High + d) * scale}
}

func without(names, gone []string) []string {
	var out []string
	for _, n := range names {
		keep := !strings.Contains(strings.ToLower(n), "juice") &&
			!strings.Contains(strings.ToLower(n), "pulp")
		for _, g := range gone {
			keep = keep && n != g
		}
		if keep {
			out = append(out, n)
		}
	}
	return out
}

func clean(b Bottle) Bottle {
	b.Filtered, b.Pulp, b.SolidsLeftIn, b.BoiledBottle = true, false, nil, true
	return b
}

// amountKind is a change that comes in amounts.
type amountKind struct {
	kind, unit string
	step       float64
	most       func(Bottle) float64
	to         func(Bottle) float64
	text       func(amount, to float64) string
}

var amountKinds = []amountKind{
	{ChangeABV, "% vol", 0.1, func(b Bottle) float64 { return 40 - b.ABVPercent.Value },
		func(b Bottle) float64 { return b.ABVPercent.Value },
		func(_, to float64) string { return fmt.Sprintf("raise the strength to %.1f %% vol", to) }},
	{ChangeSugar, "g/L", 5, func(b Bottle) float64 { return 600 - b.SugarGPerL.Value },
		func(b Bottle) float64 { return b.SugarGPerL.Value },
		func(a, to float64) string { return fmt.Sprintf("add %.0f g/L of sugar (%.0f g/L then)", a, to) }},
	{ChangeAcid, "pH", 0.05, func(b Bottle) float64 { return b.PH.Value - 2.2 },
		func(b Bottle) float64 { return b.PH.Value },
		func(_, to float64) string { return fmt.Sprintf("bring the pH down to %.2f with acid", to) }},
}

// Changes lists what would lengthen the days or give the bottle a shelf, the
// easiest first, each with the smallest amount that does it and the verdict that
// follows in the place asked for.
//
// try computes what a change of strength, sugar or acid, or acid in place of
// the juice, does to the drink (the ends of the ranges it returns count); it
// returns false for a change that cannot be made. A nil try moves the figure
// alone. Cleaning, heat and place change nothing in the blend and are never
// passed to try.
func Changes(b Bottle, s Storage, try func(Change) (Bottle, bool)) (out []Change) {
	if check(b, s) != nil {
		return nil
	}
	if try == nil {
		try = func(c Change) (Bottle, bool) { return plainEffect(b, c) }
	}
	now, had := Keeps(b), Judge(b, s)
	add := func(c Change, after Bottle, at Storage) {
		c.Verdict = Judge(after, at)
		if helps(had, c.Verdict) {
			out = append(out, c)
		}
	}
	cold := addPlaces(b, s, had, add)
	defer func() { out = append(out, freeze(b, s, cold)...) }()
	if now == StepShelf {
		return out
	}
	addClean(b, s, add)
	if !b.Heated && !b.RawEgg && b.ABVPercent.Value < gateABV {
		after := b
		after.Heated = true
		c := Change{Kind: ChangeHeat, Text: "heat juice and syrup to a simmer before the spirit goes in, and close it hot"}
		if w := worstOf(b); !w.acid(sporePH) && w.abv < gateABVOf(b, w) {
			c.But = " (it kills no spores: its sugar alone holds those)"
			c.Text += c.But
		}
		add(c, after, s)
	}
	if len(b.FreshJuice) > 0 || b.Pulp {
		c := Change{Kind: ChangeNoJuice, Text: "citric acid and peel sugar for the juice"}
		if after, ok := try(c); ok {
			add(c, after, s)
		}
	}
	if len(b.Doubtful) > 0 || b.Oil {
		return out // nothing to reckon from, or nothing that it would reach
	}
	for _, k := range amountKinds {
		addAmounts(b, now, s, k, try, add)
	}
	return out
}

// helps reports whether a verdict is clearly better than another: a less strict
// place, or a fifth more days.
func helps(had, v Verdict) bool {
	return rank(v.Verdict) < rank(had.Verdict) || v.Opened.Open() && !had.Opened.Open() ||
		v.Unopened.Low > 1.2*had.Unopened.Low && !had.Unopened.Open()
}

func addClean(b Bottle, s Storage, add func(Change, Bottle, Storage)) {
	strained := b
	strained.Filtered, strained.Pulp, strained.SolidsLeftIn = true, false, nil
	switch w := worstOf(b); {
	case !w.clear && b.BoiledBottle:
		add(Change{Kind: ChangeStrain, Text: "strain it clear, no solids left in"}, strained, s)
	case w.clear && !b.BoiledBottle:
		add(Change{Kind: ChangeBoil, Text: "boil bottle and cap"}, clean(b), s)
	case !w.clear:
		add(Change{Kind: ChangeStrain, Text: "strain it clear and boil bottle and cap"}, clean(b), s)
	}
}

// addPlaces offers colder places and returns the verdict of the best of them.
func addPlaces(b Bottle, s Storage, had Verdict, add func(Change, Bottle, Storage)) Verdict {
	for _, p := range []Storage{{Place: Fridge}, {Place: Fridge, Celsius: 4, Measured: true}} {
		if had.Unopened.Open() || p.settled().Celsius >= s.settled().Celsius-0.5 {
			continue
		}
		if v := Judge(b, p); helps(had, v) {
			text := fmt.Sprintf("keep it in the fridge at %g~°C or colder: %s", v.AtC, v.Unopened.Words)
			add(Change{Kind: ChangePlace, To: v.AtC, Unit: "°C", Text: text}, b, p)
			had = v
		}
	}
	return had
}

// freeze is the coldest place, offered last: most want to pour it.
func freeze(b Bottle, s Storage, had Verdict) []Change {
	p := Storage{Place: Freezer}
	v := Judge(b, p)
	if s.settled().Celsius <= freezerC+0.5 || !helps(had, v) {
		return nil
	}
	text := "freeze it: " + v.Unopened.Words
	return []Change{{Kind: ChangePlace, To: v.AtC, Unit: "°C", Text: text, Verdict: v}}
}

// addAmounts finds the smallest amount that moves the bottle up one step, and
// the smallest that gives it a shelf, by itself and with acid.
func addAmounts(b Bottle, now Step, s Storage, k amountKind, try func(Change) (Bottle, bool),
	add func(Change, Bottle, Storage)) {
	find := func(want Step, pH float64) (Change, Bottle, bool) {
		at := func(n int) (Change, Bottle, bool) {
			c := Change{Kind: k.kind, Amount: k.step * float64(n), Unit: k.unit, PH: pH}
			after, ok := try(c)
			return c, after, ok && Keeps(after) >= want
		}
		// More keeps longer, so halve the way to the smallest that will do.
		lo, hi := 0, int(k.most(b)/k.step)
		if hi < 1 {
			return Change{}, b, false
		}
		if _, _, ok := at(hi); !ok {
			return Change{}, b, false
		}
		if pH > 0 {
			if _, _, ok := at(0); ok {
				return Change{}, b, false // the acid alone does it, which is another change
			}
		}
		for hi-lo > 1 {
			mid := (lo + hi) / 2
			if _, _, ok := at(mid); ok {
				hi = mid
			} else {
				lo = mid
			}
		}
		c, after, ok := at(hi)
		c.To = k.to(after)
		c.Text = k.text(c.Amount, c.To)
		if pH > 0 {
			c.Text += fmt.Sprintf(" and bring the pH to %.1f with acid", pH)
		}
		return c, after, ok
	}
	step, after, ok := find(now+1, 0)
	if ok {
		add(step, after, s)
	}
	shelf := step
	if now+1 < StepShelf {
		var onShelf Bottle
		if shelf, onShelf, ok = find(StepShelf, 0); ok && shelf.Amount > step.Amount {
			add(shelf, onShelf, s)
		}
	}
	if pH := strongPH - pHMargin; k.kind == ChangeABV && b.PHKnown && len(nourishingNames(b)) > 0 &&
		b.PH.Value > pH {
		// A change that asks for more work has to save a fair part of the amount.
		if c, after, found := find(StepShelf, pH); found && (!ok || c.Amount < 0.9*shelf.Amount) {
			add(c, after, s)
		}
	}
}
