package shelf

import (
	"fmt"
	"strings"
)

// Step is how far up the ladder of keeping a bottle stands.
type Step int

// The steps, from the least kept to the best.
const (
	// StepUnknown: the figures are impossible or missing.
	StepUnknown Step = iota - 1
	// StepPathogens: nothing keeps pathogens from growing; a few cold days.
	StepPathogens
	// StepDays: yeast ends it within days in a fridge.
	StepDays
	// StepWeeks: from 10 % vol, weeks in a fridge.
	StepWeeks
	// StepMonths: from 15 % vol, months in a fridge.
	StepMonths
	// StepSealedShelf: a shelf while sealed, full and clear; low confidence.
	StepSealedShelf
	// StepShelf: a shelf, opened too.
	StepShelf
)

// String names the step in two or three words.
func (s Step) String() string {
	switch s {
	case StepPathogens:
		return "a few cold days"
	case StepDays:
		return "days in the fridge"
	case StepWeeks:
		return "weeks in the fridge"
	case StepMonths:
		return "months in the fridge"
	case StepSealedShelf:
		return "shelf while sealed"
	case StepShelf:
		return "shelf"
	}
	return "not known"
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
	case f.line1:
		return StepShelf
	case f.line2:
		return StepSealedShelf
	case f.gate.pass() && w.abv >= lightABV:
		return StepMonths
	case f.gate.pass() && w.abv >= coldABV:
		return StepWeeks
	case f.gate.pass() || plainSyrup(b, w):
		return StepDays
	}
	return StepPathogens
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
		b.PH = b.PH.moved(min(c.PH-b.PH.Value, 0), 1)
	}
	switch c.Kind {
	case ChangeABV:
		b.ABVPercent = b.ABVPercent.moved(c.Amount, 1)
		b.NoSpirit = false
	case ChangeSugar:
		thinner := 1 / (1 + dissolvedML*c.Amount/1000)
		b.ABVPercent = b.ABVPercent.moved(0, thinner)
		b.SugarGPerL = b.SugarGPerL.moved(c.Amount, thinner)
	case ChangeAcid:
		if !b.PHKnown {
			return b, false
		}
		b.PH = b.PH.moved(-c.Amount, 1)
	case ChangeNoJuice:
		b.Nourishing = without(b.Nourishing, b.FreshJuice)
		b.FreshJuice, b.Pulp = nil, false
		b.PHKnown = false // the acid left with the juice
	}
	return b, true
}

// moved adds d to a range and then scales it.
func (r Range) moved(d, scale float64) Range {
	if r.Low != 0 || r.High != 0 {
		r.Low, r.High = (r.Low+d)*scale, (r.High+d)*scale
	}
	r.Value = (r.Value + d) * scale
	return r
}

func without(names, gone []string) []string {
	var out []string
	for _, n := range names {
		keep := !strings.Contains(strings.ToLower(n), "juice") && !strings.Contains(strings.ToLower(n), "pulp")
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
	{ChangeABV, "% vol", 0.1, func(b Bottle) float64 { return 40 - b.ABVPercent.Value }, func(b Bottle) float64 { return b.ABVPercent.Value },
		func(_, to float64) string { return fmt.Sprintf("raise the strength to %.1f %% vol", to) }},
	{ChangeSugar, "g/L", 5, func(b Bottle) float64 { return 600 - b.SugarGPerL.Value }, func(b Bottle) float64 { return b.SugarGPerL.Value },
		func(a, to float64) string { return fmt.Sprintf("add %.0f g of sugar per litre (%.0f g/L then)", a, to) }},
	{ChangeAcid, "pH", 0.05, func(b Bottle) float64 { return b.PH.Value - 2.2 }, func(b Bottle) float64 { return b.PH.Value },
		func(_, to float64) string { return fmt.Sprintf("bring the pH down to %.2f with acid", to) }},
}

// Changes lists what would move the bottle a step up, and what would give it a
// shelf, each with the smallest amount that does it and the verdict that
// follows in the place asked for.
//
// try computes what a change of strength, sugar or acid, or leaving the juice
// out, does to the drink (the ends of the ranges it returns count); it returns
// false for a change that cannot be made. A nil try moves the figure alone.
// Cleaning, heat and place change nothing in the blend and are never passed to
// try.
func Changes(b Bottle, s Storage, try func(Change) (Bottle, bool)) []Change {
	if check(b, s) != nil {
		return nil
	}
	if try == nil {
		try = func(c Change) (Bottle, bool) { return plainEffect(b, c) }
	}
	now, had := Keeps(b), Judge(b, s)
	var out []Change
	add := func(c Change, after Bottle, at Storage) {
		c.Verdict = Judge(after, at)
		if helps(had, c.Verdict) {
			out = append(out, c)
		}
	}
	if now < StepShelf {
		addClean(b, now, s, add)
	}
	addPlaces(b, s, had, add)
	if now < StepShelf {
		if len(b.FreshJuice) > 0 || b.Pulp {
			c := Change{Kind: ChangeNoJuice, Text: "leave the juice and pulp out"}
			if after, ok := try(c); ok && Keeps(after) > now {
				add(c, after, s)
			}
		}
		if !b.Heated && b.ABVPercent.Value < coldABV && !b.RawEgg {
			after := b
			after.Heated = true
			add(Change{Kind: ChangeHeat, Text: "heat juice and syrup to a simmer before any spirit goes in, and close it hot"}, after, s)
		}
		for _, k := range amountKinds {
			if len(b.Doubtful) > 0 || b.Oil {
				break // nothing to reckon from, or nothing that it would reach
			}
			addAmounts(b, now, s, k, try, add)
		}
	}
	return out
}

// helps reports whether a verdict is a step better than another.
func helps(had, v Verdict) bool {
	return rank(v.Verdict) < rank(had.Verdict) || v.Unopened.Low > 1.1*had.Unopened.Low && !had.Unopened.Open() ||
		v.Opened.Open() && !had.Opened.Open()
}

func addClean(b Bottle, now Step, s Storage, add func(Change, Bottle, Storage)) {
	w := worstOf(b)
	if w.clear && b.BoiledBottle {
		return
	}
	strained := b
	strained.Filtered, strained.Pulp, strained.SolidsLeftIn = true, false, nil
	boiled := b
	boiled.BoiledBottle = true
	for _, c := range []struct {
		kind, text string
		after      Bottle
	}{
		{ChangeStrain, "strain it clear, no solids left in", strained},
		{ChangeBoil, "boil bottle and cap", boiled},
		{ChangeStrain, "strain it clear and boil bottle and cap", clean(b)},
	} {
		if Keeps(c.after) > now {
			add(Change{Kind: c.kind, Text: c.text, Clean: true}, c.after, s)
			return
		}
	}
}

func addPlaces(b Bottle, s Storage, had Verdict, add func(Change, Bottle, Storage)) {
	if had.Unopened.Open() {
		return
	}
	for _, p := range []Storage{{Place: Fridge}, {Place: Fridge, Celsius: 4, Measured: true}, {Place: Freezer}} {
		if p.settled().Celsius >= s.settled().Celsius-0.5 {
			continue
		}
		v := Judge(b, p)
		if !helps(had, v) {
			continue
		}
		text := map[float64]string{fridgeC: "keep it in the fridge", 4: "keep it at 4 °C or colder", freezerC: "freeze it"}[v.AtC]
		add(Change{Kind: ChangePlace, To: v.AtC, Unit: "°C", Text: text + ": " + v.Unopened.Words}, b, p)
		if p.Place == Fridge {
			had = v
		}
	}
}

// stations is how many amounts are tried before the search narrows down.
const stations = 24

// addAmounts finds the smallest amount that moves the bottle up one step, and
// the smallest that gives it a shelf, as it is and cleaned.
func addAmounts(b Bottle, now Step, s Storage, k amountKind, try func(Change) (Bottle, bool), add func(Change, Bottle, Storage)) {
	find := func(want Step, cleaned bool, pH float64) (Change, Bottle, bool) {
		at := func(n int) (Bottle, Change, bool) {
			c := Change{Kind: k.kind, Amount: k.step * float64(n), Unit: k.unit, PH: pH}
			after, ok := try(c)
			if cleaned {
				after = clean(after)
			}
			return after, c, ok && Keeps(after) >= want
		}
		if _, _, ok := at(0); ok && pH > 0 {
			return Change{}, b, false // the acid alone does it, which is another change
		}
		// More is not always better (sugar thins the alcohol), so look for the
		// first of some stations that will do, then halve the way back.
		most := int(k.most(b) / k.step)
		lo, hi := 0, 0
		for i := 1; i <= stations && most >= 1; i++ {
			n := max(most*i/stations, 1)
			if _, _, ok := at(n); ok {
				hi = n
				break
			}
			lo = n
		}
		if hi == 0 {
			return Change{}, b, false
		}
		for hi-lo > 1 {
			mid := (lo + hi) / 2
			if _, _, ok := at(mid); ok {
				hi = mid
			} else {
				lo = mid
			}
		}
		after, c, ok := at(hi)
		c.To, c.Clean = k.to(after), cleaned
		c.Text = k.text(c.Amount, c.To)
		if pH > 0 {
			c.Text += fmt.Sprintf(" and bring the pH to %.1f with acid", pH)
		}
		if cleaned {
			c.Text += ", strained clear and in a boiled bottle"
		}
		return c, after, ok
	}
	step, after, ok := find(now+1, false, 0)
	if ok {
		add(step, after, s)
	}
	if now >= StepSealedShelf {
		return
	}
	least := k.most(b) + k.step
	shelf := func(cleaned bool, pH float64) {
		// A change that asks for more work has to save a fair part of the amount.
		if c, after, ok := find(StepSealedShelf, cleaned, pH); ok && c.Amount < 0.9*least {
			least = c.Amount
			if pH > 0 || cleaned || c.Amount > step.Amount {
				add(c, after, s)
			}
		}
	}
	w := worstOf(b)
	messy := !w.clear || !b.BoiledBottle
	shelf(false, 0)
	if messy {
		shelf(true, 0)
	}
	if k.kind == ChangeABV && b.PHKnown && w.nourishing {
		for _, pH := range []float64{strongPH - pHMargin, sealedPH - pHMargin} {
			if b.PH.Value > pH {
				shelf(messy && pH < strongPH-pHMargin, pH)
			}
		}
	}
}
