package work

import (
	"cmp"
	"slices"
	"sort"

	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/recipe"
	"steepbook/cmd/internal/steeping"
	"steepbook/data/batch"
	"steepbook/data/names"
	"steepbook/data/quantity"
	"steepbook/shelf"
)

// dripsH is within how many hours solids have given back what they do: a night and a day. Judgement.
const dripsH = 24

// strain is what follows the cloth: press or drip, filter or let settle.
func (m *maker) strain() {
	gone := m.bottled || len(m.logged()) > 0 // nobody does it any more, but for fat that is on
	f := m.a.Batch.Finish
	hours, _ := m.a.Strained()
	dripped := m.strained && (m.a.Batch.Readings().StrainedML != nil || m.a.ElapsedH-hours > dripsH)
	if !gone && !dripped && m.solids() {
		s := Step{Kind: Drip, After: Strain,
			Why: "squeezed, it gives back more and clouds; if you do, write press = true"}
		if len(m.fats) > 0 {
			s.Why = "not squeezed: the fat would come with it"
		}
		switch {
		case f.Press != nil && *f.Press:
			s.Kind, s.Why = Press, "by hand, in a cloth: it gives back more, and clouds"
		case f.Press != nil && len(m.fats) == 0:
			s.Why = "not squeezed, it stays clearer"
		}
		m.add(s)
	}
	if m.strained {
		m.lift(Step{After: Strain, Why: liftWhy + ", so strain it once more, cold and through paper"})
	}
	switch {
	case gone:
	case f.Filtered && m.a.Curds() == keeping.NoCurds:
		m.add(Step{Kind: Filter, After: Strain,
			Why: "through paper, covered: it takes its time"})
	case f.Press != nil && *f.Press && !m.leftIn():
		m.add(Step{Kind: Settle, After: Strain,
			Why: "a night in the cold, then pour it off what has sunk"})
	}
	if place := m.a.Keep.Chill(); place != "" && !m.bottled {
		m.add(Step{Kind: Chill, How: string(place), After: m.afterJar(), Why: "its days are counted there"})
	}
}

// solids reports whether a strainer holds anything back: fat is off by then.
func (m *maker) solids() bool {
	return !m.a.Batch.Finish.LeaveIn && slices.ContainsFunc(m.a.Curves, func(c steeping.Curve) bool {
		return c.Botanical != nil && !c.Botanical.LeaveIn && !recipe.Named(m.fats, c.Name)
	})
}

// kindOf is what adding a thing does to the drink.
func kindOf(x *recipe.Addition) Kind {
	switch {
	case x.Spirit != nil:
		return Strengthen
	case x.Ingredient == nil:
		return Add
	}
	switch x.Ingredient.Kind {
	case "sugar", "honey", "syrup":
		return Sweeten
	case "water":
		return Dilute
	case "juice", "acid":
		return Sour
	}
	return Add
}

// make is what went in after straining, by the log, and what is still to go in: stronger,
// sweeter, thinner, all else, and what is sour and fresh last.
func (m *maker) make() {
	m.wentIn(false)
	if m.bottled {
		return
	}
	if m.a.Keep.OverIfMixed {
		ask := Step{Kind: Ask}
		for i := range m.a.Recipe.ToCome {
			ask.Of = append(ask.Of, Thing{Name: m.a.Recipe.ToCome[i].Entry.Name})
		}
		m.steps = append(m.steps, ask) // now, whatever the rest waits for
	}
	if m.a.Rescue != nil {
		m.add(Step{Kind: Rescue, After: m.afterJar()})
	}
	m.goesIn()
	if curds := m.a.Curds(); curds == keeping.ToCurdle || curds == keeping.Curdled {
		m.add(Step{Kind: Filter, After: m.afterJar(),
			Why: "once it has curdled: through a cloth, and again through its own curds until it runs clear"})
	}
	if m.a.Batch.Finish.Heated {
		why := "gently and covered; fill it hot and close it"
		if !m.a.Blend.Bottle.NoSpirit {
			why = "gently and covered, no open flame: the vapour of spirit burns; fill it hot and close it"
		}
		m.add(Step{Kind: Heat, After: m.afterJar(), Why: why})
	}
}

// wentIn is what went in after straining, entry by entry of the log: before bottles were filled, or once some
// were.
func (m *maker) wentIn(apart bool) {
	for _, x := range m.logged() {
		if j := m.a.Batch.Joined(&x, m.a.ElapsedH); j.Apart() == apart {
			s := Step{Kind: m.kindOf(x.Name), Of: []Thing{{x.Name, written(&x.Amount)}}, At: x.When, Done: true}
			if apart || j.To > 0 {
				s.Bottle = j.To
			}
			m.add(s)
		}
	}
}

// kindOf is what adding something of a name did.
func (m *maker) kindOf(name string) Kind {
	for i := range m.a.Recipe.Additions {
		if x := &m.a.Recipe.Additions[i]; x.Entry.Name == name {
			return kindOf(x)
		}
	}
	return Add
}

// logged is what went in after straining, by the log, the first of it first.
func (m *maker) logged() []batch.Added {
	return slices.DeleteFunc(m.a.Batch.AddedBy(m.a.ElapsedH),
		func(x batch.Added) bool { return m.a.Batch.OfLiquor(&x) })
}

// goesIn is what is still to go in after straining.
func (m *maker) goesIn() {
	list := slices.Clone(m.a.Recipe.ToCome)
	for _, x := range m.a.Recipe.Additions {
		if !x.Entry.Logged && x.Entry.Amount == nil { // it cannot be counted, and goes in
			list = append(list, x)
		}
	}
	eggs := m.eggAlone()
	by := map[Kind][]Thing{}
	var sugar, fresh, cooked, egg []Thing
	for i := range list {
		x := &list[i]
		if x.Entry.In != nil || recipe.Named(eggs, x.Entry.Name) {
			continue
		}
		k, t := kindOf(x), Thing{x.Entry.Name, written(x.Entry.Amount)}
		by[k] = append(by[k], t)
		switch {
		case x.Ingredient == nil:
		case x.Entry.Heated && x.Ingredient.Egg:
			egg = append(egg, t)
		case x.Entry.Heated:
			cooked = append(cooked, t)
		case x.Ingredient.Kind == "sugar" || x.Ingredient.Kind == "honey":
			sugar = append(sugar, t)
		case x.Ingredient.FreshJuice:
			fresh = append(fresh, t)
		}
	}
	water := by[Dilute]
	dissolved := len(sugar) > 0 && len(water) > 0
	if dissolved {
		m.add(Step{Kind: Syrup, After: m.afterJar(), Of: slices.Concat(sugar, water),
			Why: "warm it only until it is clear, and let it cool: hot, it drives off spirit and scent"})
	}
	if len(cooked) > 0 {
		m.add(Step{Kind: Syrup, How: "boil", After: m.afterJar(), Of: cooked,
			Why: "let it cool before it goes in: hot, it drives off spirit and scent"})
	}
	if len(egg) > 0 { // 160 °F: FDA as quoted by North Carolina State University, news of December 2014
		m.add(Step{Kind: Syrup, How: "stirring, heat to 71~°C", After: m.afterJar(), Of: egg,
			Why: "against Salmonella, where it was not bought pasteurised; let it cool before it goes in"})
	}
	for _, k := range []Kind{Strengthen, Sweeten, Dilute, Add, Sour} {
		of := by[k]
		if k == Sour && len(fresh) > 0 {
			m.add(Step{Kind: Juice, After: m.afterJar(), Of: fresh,
				Why: "last, and cold until it goes in: it fades by the hour"})
		}
		if len(of) == 0 || k == Dilute && dissolved {
			continue // or it went in with the sugar
		}
		s := Step{Kind: k, Of: of, After: m.afterJar(), Why: mixing[k]}
		if k == Sweeten && dissolved {
			s.Of, s.How = slices.Concat(of, water), "syrup"
		}
		m.add(s)
	}
}

// eggAlone is raw egg with the spirit alone, before anything else goes in; the names of what is
// still to go in so.
func (m *maker) eggAlone() (names []string) {
	e := m.a.EggAlone(false)
	if e.State != shelf.EggCan && e.State != shelf.EggApart && e.State != shelf.EggLate {
		return nil
	}
	add := Step{Kind: Add, After: m.afterJar(), Why: "to the spirit alone: what is thinner kills slower"}
	for _, x := range e.ToCome {
		add.Of = append(add.Of, Thing{x.Entry.Name, written(x.Entry.Amount)})
		names = append(names, x.Entry.Name)
	}
	if e.State == shelf.EggLate { // no more of it goes in
		return names
	}
	if !m.holdTo.IsZero() {
		add.At, add.DoubtH = due.EggDay(!e.In.IsZero(), m.holdTo, m.a.Now), aDay
	}
	stand := add
	stand.Kind, stand.Of = Stand, nil
	stand.Why = "against Salmonella, which dies slower in the cold; nothing else goes in until then"
	begin := cmp.Or(add.At, m.a.Now)
	if e.State == shelf.EggApart {
		stand.Of, stand.Why, names = add.Of, add.Why, nil // and then goes in with the rest
	} else if len(names) > 0 {
		m.add(add)
	} else if begin = e.Strained; !begin.IsZero() {
		stand.After, stand.At, stand.DoubtH = "", e.Until(begin), 0
	}
	m.add(stand)
	if until := e.Until(begin); !e.Strained.IsZero() && until.After(m.holdTo) {
		m.holdTo = until
	}
	return names
}

// mixing says why of what goes in after straining.
var mixing = map[Kind]string{
	Sweeten: "a part first, taste, then the rest",
	Sour:    "a part first, taste, then the rest",
	Dilute:  "slowly: it may cloud",
}

// afterJar is what the mixing waits for: the strained jar, or nothing in a blend.
func (m *maker) afterJar() Kind {
	if len(m.a.Batch.Botanicals) == 0 || m.leftIn() {
		return PutIn
	}
	return Strain
}

// bottle is the end: bottle, label, keep, rest, taste again.
func (m *maker) bottle() {
	a, k := m.a, m.a.Keep
	f, from, all := a.Batch.Finish, len(m.steps), a.Batch.BottledBy(a.ElapsedH)
	for i := range all {
		m.add(Step{Kind: Bottle, At: all[i].When, Done: true})
	}
	m.wentIn(true)
	own := m.steps[from:]
	sort.SliceStable(own, func(i, j int) bool { return own[i].At.Before(own[j].At) })
	if len(k.Late) > 0 {
		m.add(Step{Kind: Pull, At: a.Now, Of: []Thing{{quantity.And(k.Late), ""}}, Why: "it may lie in it no longer"})
	}
	if lain := k.Lain(); len(lain) > 0 {
		m.add(Step{Kind: Measure, After: m.afterJar(), Of: []Thing{{quantity.And(lain), ""}},
			Why: "before any of it is served"})
	}
	switch {
	case all != nil:
	case !m.bottled:
		if f.Boiled {
			m.add(Step{Kind: Boil, After: m.afterJar(), Why: "ten minutes, and let them drain upside down"})
		}
		full, why := k.Fill()
		m.add(Step{Kind: Bottle, After: m.afterJar(), Why: full + ": " + why})
		m.add(Step{Kind: Label, After: Bottle,
			Why: "what it is, when, how strong, what it holds, until when: nobody remembers"})
	}
	if !k.EmptiedAt.IsZero() {
		return
	}
	m.add(Step{Kind: Keep, After: Bottle})
	if a.NotToServe() {
		return // what stands there is said where it is kept
	}
	again := Step{Kind: TasteAgain, After: Bottle, Why: "beside this page: next time is planned from it"}
	// Else it is best young, or is over sooner: there is no day for it.
	if words, _, keeps := a.Rest(); keeps {
		s := Step{Kind: Rest, After: Bottle, DoubtH: aDay, Why: words}
		s.At, _ = a.Rested()
		s.Done = !s.At.IsZero() && !a.Now.Before(s.At)
		if !s.Done {
			again.At, again.DoubtH, again.After = s.At, aDay, Rest
		}
		m.add(s)
	}
	m.add(again)
}

// aDay is the doubt, in hours, of what has a day and no hour.
const aDay = 25

// Said joins things as one says them: "24 g zest and 9 g cardamom".
func Said(of []Thing) string {
	said := make([]string, len(of))
	for i, t := range of {
		said[i] = names.Amounted(t.Amount, t.Name)
	}
	return quantity.And(said)
}
