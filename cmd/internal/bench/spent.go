package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// spent is what the drink has used up of its days before the last of it went in: as share of
// them, each state from one thing that goes in to the next by its own days where it stood, in the jar
// as in the bottle, until it was whole, zero while it waits for the rest; jar is the part of the jar in
// that. It is never given back, whatever goes in later. from is the start of the first state that counts, gone
// when all of the days were over, or will be if nothing else goes in, zero where they are not; why
// says that of a jar. perishes says why a jar in the cold, though strong, uses up days. states are
// those since straining.
type spent struct {
	used, jar         keeping.Spent
	from, whole, gone time.Time
	why, perishes     string
	weak              time.Time // from when on the jar held nothing back, zero while it does, and what was spent by then
	strong            keeping.Spent
	states            []keeping.State
	later             time.Duration // see spentIf
	steeped           *spent        // what it was when it was strained, at this hour
	strained          float64
}

// spent is worked out once: what has been used up by now.
func (a *Assessment) spent() *spent {
	if a.waited == nil {
		strained, out := a.leftJar()
		steeped := a.steeped(0, strained)
		s := *steeped
		s.steeped, s.strained = steeped, strained
		if out && (a.addsLater() || a.unfinished() || a.logs(strained)) {
			a.walkBottle(&s, false, strained, math.Inf(1))
		}
		a.waited = &s
	}
	return a.waited
}

// leftJar is the hour from which it is in the jar no more, +Inf while it is; strained: nothing steeps in it.
func (a *Assessment) leftJar() (hours float64, strained bool) {
	hours, strained = a.Strained()
	if len(a.Batch.Botanicals) == 0 && a.Batch.StrainedAt() == nil && a.steepsAdded() {
		strained = false
	}
	if !strained {
		hours = math.Inf(1)
		if b := a.Batch.BottledAt(); b != nil && b.Hours <= a.ElapsedH {
			hours = b.Hours
		}
	}
	return hours, strained
}

// steepsAdded reports whether anything joins the jar of a batch without botanicals.
func (a *Assessment) steepsAdded() bool {
	return slices.ContainsFunc(a.Recipe.Additions, func(x recipe.Addition) bool { return x.Entry.In != nil })
}

// lifeH is for how long [h] a state keeps by its verdict, and no less than so long; +Inf where that is
// not known.
func lifeH(v *shelf.Verdict, least float64) float64 {
	if v.Verdict == shelf.VerdictUnknown {
		return math.Inf(1)
	}
	return max(v.Unopened.Low*24, least)
}

// stands counts a state from one hour to another that has so many hours. It ends on the day that would be told
// of it if nothing else went in, so that nothing cures what was told to be past.
func (s *spent) stands(a *Assessment, from, to, life float64) (ends bool) {
	if to <= from {
		return false
	}
	begun := s.at(a, from)
	if !math.IsInf(life, 1) {
		if s.from.IsZero() {
			s.from = begun
		}
		over := s.used.Until(begun, life/24)
		if ends = s.gone.IsZero() && (math.IsInf(to, 1) || s.at(a, to).After(over)); ends {
			s.gone = over
		}
	}
	if !math.IsInf(to, 1) { // else it has not ended
		s.used.Use(begun, s.at(a, to), life/24)
	}
	return ends
}

// unfinished reports whether by the log some of it is still to go in. What steeps nothing is mixed at its start,
// unless the log says otherwise.
func (a *Assessment) unfinished() bool {
	return len(a.Recipe.ToCome) > 0 && (len(a.Batch.Botanicals) > 0 || a.Recipe.Logged())
}

// Waits reports whether it waits for that: some of it is logged, or what was strained does not last by itself.
// Of those who log nothing nobody knows whether the rest is in, so that the worse of both counts; where what
// there is lasts, that is never that it is not.
func (a *Assessment) Waits() bool {
	if a.slim != nil {
		return a.slim.waits
	}
	a.Judge()
	_, out := a.Strained()
	return a.unfinished() && (a.Recipe.Logged() || out && !a.spent().gone.IsZero())
}

// walkSteep walks the states of the jar until it is strained.
func (a *Assessment) walkSteep(s *spent, strained float64) {
	where := storage("", a.Batch.RoomC, Question{})
	at := a.joinedAt(strained)
	for i, t := range at {
		next := strained
		if i+1 < len(at) {
			next = at[i+1]
		}
		q := a.inBy(t, strained)
		blend, err := a.blendOf(q, t)
		jar := steepingJar(blend.Bottle)
		known := err == nil && blend.Have()
		if s.weak.IsZero() && (!known || q.FatStays() ||
			min(jar.WorstABVPercent(), worstJarABV(&blend)) < shelf.HoldsABVPercent) {
			s.weak, s.strong = s.at(a, t), s.used
		}
		if !known {
			continue
		}
		if jar.ABVPercent.Value >= wineABV && jar.PHKnown {
			jar.PH = mixture.Exactly(jar.PH.Value)
		}
		is := shelf.Advise(jar, &where, a.usual)
		v, least, abv := &is.Verdict, 0.0, blend.Result.Parts.ABVPercent()
		why := holdsNothing(jar.WorstABVPercent(), t)
		switch cold := coldAlone(q); {
		case v.Fails && jar.WorstABVPercent() < shelf.HoldsABVPercent:
			least = shelf.WeakSteepH
		case len(cold) > 0:
			least = milkWashH // what it has in the warm, whatever cold there is
			why = "the jar, with " + quantity.And(cold) +
				" in it, keeps in the cold alone at any strength, so its days run from when that went in"
			s.perishes = why
		case v.Fails || len(jar.Live) > 0 || strings.HasPrefix(v.Rule, "cap "):
			// fat has an end of its own, what is alive is to work in it, and an end of trials is none
			continue
		default:
			why = fmt.Sprintf("at %.0f %% vol the jar keeps yeast, mould and bacteria back no longer where it stands", abv)
		}
		if s.stands(a, t, next, lifeH(v, least)) {
			s.why = why
		}
	}
	a.warmMilk(s, strained)
}

// coldAlone names what of these lines keeps in the cold alone.
func coldAlone(q *recipe.Lines) (names []string) {
	for n := range q.All {
		for _, g := range n.Ingredients {
			if g.Dairy || g.Egg || g.NutMilk {
				recipe.Note(&names, n.Name)
			}
		}
	}
	return names
}

// wineABV is the strength [% vol] from which the doubt about the pH of a jar that is stronger or
// sourer in the bottle does not count: it is wine, and herbs in wine are no danger for that.
// Judgement.
const wineABV = 11.0

// steepingJar is a bottle of what lies in a jar: acid reaches what is sliced within the steep, and
// what is done to the bottle comes later.
func steepingJar(b shelf.Bottle) shelf.Bottle {
	b.SolidsLeftIn, b.Heated, b.WeakSteepH, b.FatIn = nil, false, 0, nil
	return b
}

// milkWashH is for how long [h] milk that clears a jar may stand warm in it, and milkC [°C] from
// where it is warm. Common practice, no source.
const milkWashH, milkC = 24.0, 7.0

// warmJar reports whether the jar stands warm, as far as is known.
func (a *Assessment) warmJar() bool { return a.Batch.RoomC == nil || *a.Batch.RoomC > milkC }

// warmMilk counts milk and cream that stand warm in the jar until they are pulled or strained.
func (a *Assessment) warmMilk(s *spent, strained float64) {
	if !a.warmJar() {
		return
	}
	milk := func(name string, g *library.Ingredient, in, out float64) {
		of := spent{later: s.later}
		if g != nil && g.Dairy && !g.IsFat() && of.stands(a, in, out, milkWashH) &&
			(s.gone.IsZero() || of.gone.Before(s.gone)) {
			s.from, s.gone = of.from, of.gone
			s.why = name + " stands warm in the jar for a day at most, until it has curdled"
		}
	}
	for i := range a.Recipe.Botanicals {
		h := &a.Recipe.Botanicals[i]
		out, pulled := a.Batch.OutBy(&h.Entry, a.ElapsedH)
		if !pulled {
			out = strained
		}
		if pulled || !h.Entry.LeaveIn {
			milk(h.Entry.Name, h.Ingredient, h.Entry.In, out)
		}
	}
	for i := range a.Recipe.Additions {
		if x := &a.Recipe.Additions[i]; x.Entry.In != nil {
			milk(x.Entry.Name, x.Ingredient, *x.Entry.In, strained)
		}
	}
}

// spentIf is what a jar has used up that is started so much later than this one, strained at an hour
// since its start, and whose rest goes in at another, so far as nobody logged it; of another jar like it
// nothing is logged.
func (a *Assessment) spentIf(another bool, later time.Duration, strained, rest float64) *spent {
	s := a.steeped(later, strained)
	rest = max(strained, rest)
	untold := func(x recipe.Addition) bool { return x.Entry.In == nil && (another || !x.Entry.Logged) }
	if !slices.ContainsFunc(a.Recipe.Additions, untold) { // bottling alone is no new state
		rest = math.Inf(1)
	}
	a.walkBottle(s, another, strained, rest)
	return s
}

// steeped is what the jar has used up when it is strained, with the hours of spentIf.
func (a *Assessment) steeped(later time.Duration, strained float64) *spent {
	s := &spent{later: later}
	if was := a.waited; was != nil && later == 0 && was.strained == strained {
		*s = *was.steeped
		return s
	}
	a.walkSteep(s, strained)
	s.jar = s.used
	return s
}

// at is a moment by the hours of its jar.
func (s *spent) at(a *Assessment, hours float64) time.Time { return a.Batch.At(hours).Add(s.later) }

// tell writes it into a log.
func (s *spent) tell(l *keeping.Log) {
	l.Spent, l.Steeped, l.From, l.Whole, l.Gone, l.InJar = s.used, s.jar, s.from, s.whole, s.gone, s.why
	l.States, l.Weak, l.Strong = s.states, s.weak, s.strong
}

// logs reports whether something went in, or fat came off, since an hour by the log.
func (a *Assessment) logs(hours float64) bool {
	return !a.firstAdded(hours).IsZero() || slices.ContainsFunc(a.fatsOff(),
		func(f fatOff) bool { return f.hours > hours && !math.IsInf(f.hours, 1) })
}

// atUsual is a place as warm as it is judged at in any house.
func atUsual(p shelf.Place) shelf.Storage { return shelf.Storage{Place: p} }

// changedAt are the hours at which something went in, or came out by itself, since an hour by the log.
func (a *Assessment) changedAt(hours float64) (at []float64) {
	did := func(h float64) {
		if h > hours && h <= a.ElapsedH {
			at = append(at, h)
		}
	}
	for _, x := range a.Batch.Additives {
		did(x.Hours)
	}
	for _, x := range a.Batch.Pulls {
		did(x.Hours)
	}
	for _, x := range a.Batch.Strainings {
		if len(x.Names) > 0 {
			did(x.Hours)
		}
	}
	return at
}

// walkBottle walks what was strained, to when the last of the rest went in, and of fat came off: what nobody
// logged at an hour, raw egg its days before that, +Inf where by the log alone, of another jar all of it.
func (a *Assessment) walkBottle(s *spent, another bool, strained, rest float64) {
	at, end := []float64{strained}, math.Inf(1)
	if !another {
		at = append(at, a.changedAt(strained)...)
	}
	eggIn := rest
	if !math.IsInf(rest, 1) {
		if e := a.EggAlone(another); e.State == shelf.EggCan {
			eggIn = math.Max(strained, rest-24*keeping.EggDays)
		}
		at = append(at, eggIn, rest)
	}
	slices.Sort(at)
	at = slices.Compact(at)
	switch bottled := a.Batch.BottledAt(); {
	case !math.IsInf(rest, 1) || !a.unfinished() && a.logs(strained):
		end = at[len(at)-1]
	case a.unfinished():
	case bottled == nil || bottled.Hours > a.ElapsedH:
		return // nobody says when it was mixed
	default:
		end = bottled.Hours
	}
	if !math.IsInf(end, 1) {
		s.whole = s.at(a, end)
	}
	for i, t := range at {
		next := append(slices.Clip(at), end)[i+1]
		if next <= t {
			continue
		}
		alone := true // egg and spirit
		blend, err := a.blendOf(a.Recipe.Some(func(*recipe.Botanical) bool { return true },
			func(x *recipe.Addition) bool {
				in, egg := rest, rawEgg(x)
				switch {
				case x.Entry.In != nil:
					return true
				case x.Entry.Logged && !another:
					in = a.Batch.Hours(a.Batch.WentIn(&x.Entry))
				case egg:
					in = eggIn
				}
				alone = alone && (egg || in > t)
				return in <= t
			}), t)
		if err != nil || !blend.Have() {
			continue
		}
		if !another {
			blend.Bottle.FatIn = fatSaid(a.fatAt(t))
		}
		is := a.advise(blend.Bottle)
		if alone && blend.Bottle.RawEgg && !is.Verdict.Fails { // in a room: no fridge of the house has a say
			is = shelf.Advise(blend.Bottle, nil, atUsual)
		}
		s.states = append(s.states, keeping.State{From: s.at(a, t), Safe: is.Safe,
			Fails: is.Verdict.Fails, Fades: is.Best.Fades(blend.Bottle)})
		if !math.IsInf(next, 1) {
			s.states[len(s.states)-1].To = s.at(a, next)
		}
		least := 0.0
		if is.Verdict.Fails {
			least = shelf.WeakSteepH // what makes people ill needs so long
		}
		switch ends, fat := s.stands(a, t, next, lifeH(&is.Verdict, least)), blend.Bottle.FatIn; {
		case ends && len(fat) > 0:
			s.why = quantity.And(fat) + " lay in it for longer than it keeps with that"
		case ends && is.Verdict.Fails && !s.gone.After(a.Now):
			s.why = "strained, it held back nothing that makes people ill, and stood so for longer than it may"
		}
	}
}
