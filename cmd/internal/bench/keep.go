package bench

import (
	"math"
	"slices"
	"time"

	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/harm"
	"steepbook/shelf/remark"
)

// keep judges where the bottle keeps and until when.
func (a *Assessment) keep() {
	k, p, q := a.Keep, a.Recipe, a.question
	weak := a.weakSteep()
	switch {
	case weak == nil:
	case weak.lacks == "":
		a.Blend.Bottle.WeakSteepH, a.Blend.Bottle.WeakSteepMostH = weak.h, weak.mostH
	case weak.tooLong():
		k.Unjudged = weak.lacks
	}
	egg := a.EggAlone(false)
	a.Blend.Bottle.EggAlone, a.Blend.Bottle.EggLacks, k.Alone = egg.State, egg.Lacks, egg.Alone(a.Now)
	k.RestAlone, k.JarC = egg.State == shelf.EggCan && len(egg.ToCome) > 0 && !egg.In.IsZero(), a.Batch.RoomC
	a.fat()
	a.soFar()
	bottle := a.Blend.Bottle
	asked := a.asked()
	if a.Blend.Whole() || a.Blend.Have() && weak.tooLong() { // what grew is there, whatever else goes in
		advice := a.advise(bottle)
		k.Verdict, k.BestKnown, k.NotThere = advice.Verdict, advice.BestKnown, advice.NotThere
		k.Safe.Keeping, k.Best.Keeping, k.Advised.Keeping = advice.Safe, advice.Best, advice.Advised
	} else {
		k.Verdict = shelf.Verdict{Verdict: shelf.VerdictUnknown, Confidence: "low", Needs: a.Blend.Wanting(),
			Cautions: bottle.Doses()}
		if asked != nil {
			k.Verdict.Place, k.Verdict.AtC = asked.Place, asked.Celsius
		}
	}
	k.Verdict.Warnings = append(k.Verdict.Warnings, a.Blend.Warnings...)
	a.Blend.Remark(a.Batch, p, k.Verdict.AtC)
	k.HouseRules(q.House)
	l := a.log()
	l.InTime = l.AllIn != nil && l.Bottled.IsZero() && a.waitsInTime(l)
	k.Count(l)
	k.Allergens, k.MustNot, k.MayBe = p.Allergens(), p.MustNot(), p.MayBe()
	for _, c := range p.Hazards(q.House.Where()) { // but for what the judge says of the drink itself
		a.lain(&c)
		if c.Kind == "hazard" || c.Kind == "banned" || !harm.Tells(k.Verdict.Cautions, c.Kind) {
			k.Verdict.Cautions = append(k.Verdict.Cautions, c)
		}
	}
	harm.GravestFirst(k.Verdict.Cautions)
	if !a.Blend.Have() || bottle.MakesGas() {
		k.Gas = bottle.Live
	}
	for _, c := range k.Verdict.Cautions {
		if c.Over {
			k.Over = append(k.Over, c)
		}
		if c.Unweighed != "" {
			k.Verdict.Confidence, k.Verdict.ConfidenceText = "low", "nobody weighed the "+c.Unweighed
		}
	}
	if doubt := a.fatDoubt(); doubt != "" {
		k.Verdict.Confidence, k.Verdict.ConfidenceText = "low", doubt
	}
	for n := range p.All {
		if n.Lost {
			recipe.Note(&k.Unknown, n.Name)
		}
		if text := n.AsFresh(); text != "" {
			recipe.Note(&k.AsFresh, text)
			k.Verdict.Warnings = append(k.Verdict.Warnings, text)
		}
		if text := n.Meant(); text != "" {
			recipe.Note(&k.Meant, text)
		}
		if text := n.NotKnown(); text != "" {
			k.Verdict.Confidence, k.Verdict.ConfidenceText = "low", "not everything in it is known"
			k.Verdict.Warnings = append(k.Verdict.Warnings, text)
		}
	}
}

// waitsInTime reports whether what is strained is taken to wait, as its orders have it, for the day that it
// is for, on which the rest goes in soon enough.
func (a *Assessment) waitsInTime(l *keeping.Log) bool {
	day := a.Batch.Ready
	if !a.Now.Before(day.Add(12 * time.Hour)) {
		return false
	}
	_, safe := a.KeptIf(false, l.Started, l.Strained, day)
	return safe.IsZero() || !safe.Before(day)
}

// soFar judges what there is by the log of a drink of which something is still to come, and notes what that is of
// one with raw egg that holds back what makes people ill until then.
func (a *Assessment) soFar() {
	so := a.Recipe.BlendSoFar(a.Batch)
	if so == nil || !so.Have() {
		return
	}
	a.Keep.SoFar = a.advise(so.Bottle)
	for i := range a.Recipe.ToCome {
		if a.Blend.Bottle.RawEgg && a.Waits() && !a.Keep.SoFar.Verdict.Fails {
			recipe.Note(&a.Blend.Bottle.ToCome, a.Recipe.ToCome[i].Entry.Name)
		}
	}
}

// asked is the place that is asked about, nil where that is left to the advice.
func (a *Assessment) asked() *shelf.Storage {
	q := a.question
	switch {
	case a.Batch.Finish.Store != "" || a.Batch.Finish.StoreC != nil || q.Place != "" || q.Celsius != nil:
		s := storage(a.Batch.Finish.Store, a.Batch.Finish.StoreC, q)
		return &s
	case q.House != nil && q.House.FridgeAlways, a.Blend.Strange(): // who knows what is in it
		s := a.usual(shelf.Fridge)
		return &s
	}
	return nil
}

// usual is a place as warm as it is judged at.
func (a *Assessment) usual(place shelf.Place) shelf.Storage {
	return storage(string(place), nil, Question{House: a.question.House})
}

func (a *Assessment) advise(b shelf.Bottle) shelf.Advice { return shelf.Advise(b, a.asked(), a.usual) }

// log is what the clock of the keeping reads of the batch.
func (a *Assessment) log() *keeping.Log {
	l := &keeping.Log{Now: a.Now, Started: a.Batch.Started, WeakJar: a.jarIsWeak(), AddsLater: a.addsLater(),
		Perishes: len(a.Blend.Bottle.FatIn) > 0 || a.spent().perishes != "",
		Heated:   a.Batch.Finish.Heated, Finished: a.Batch.ReadWhole(), Bottles: a.Bottles(),
		OpenNow: a.question.Opened, House: a.question.House, Fades: a.fading(),
		Untold:    len(a.Recipe.Unlogged) > 0,
		Elsewhere: a.question.Place != "" || a.question.Celsius != nil}
	a.lying(func(x *recipe.Lies, lastH float64) {
		if !x.Out && x.Stays {
			l.Lies(x.Name, x.Counted(), a.Batch.At(lastH), l.Now)
		}
	})
	if up, _ := a.House().WakingHours(); a.Batch.TasteEnds() && a.Steep() == nil {
		a.Staying(func(name string, toH float64) { l.TooStrong.Stays(name, keeping.Eve(a.Batch.At(toH), up)) })
	}
	if at := a.Batch.BottledAt(); at != nil && at.Hours <= a.ElapsedH {
		l.Bottled = at.When
	}
	if hours, out := a.Strained(); out {
		l.Strained, l.Added, l.Waits = a.Batch.At(hours), a.firstAdded(hours), a.Waits()
	}
	s := a.spent()
	if l.Weak, l.Strong = s.weak, s.strong; !l.Strained.IsZero() || !l.Bottled.IsZero() ||
		!s.gone.IsZero() && (l.Perishes || !s.gone.After(a.Now)) {
		s.tell(l)
	} else if !s.gone.IsZero() {
		l.Steeped = a.steeped(0, a.ElapsedH).jar
	}
	if !l.Strained.IsZero() && l.AddsLater && (l.Untold || l.Bottled.IsZero()) {
		all, egg := *l, a.EggAlone(false)
		all.Bottled, all.Waits, all.Untold = egg.Untold(l.Strained, a.Keep.Verdict.Fails), false, false
		a.spentIf(false, 0, a.Batch.Hours(l.Strained), a.Batch.Hours(all.Bottled)).tell(&all)
		l.AllIn = &all
	}
	return l
}

// KeptIf is to which days a jar that was started at a moment is at its best and sound, sealed,
// if it is strained at another, and bottled then or on a later day, of which nobody knows the hour: its days
// are those of what waited to the end of it, so that none that is has fewer. Of another jar like it nothing
// is logged.
func (a *Assessment) KeptIf(another bool, started, strained, bottled time.Time) (best, safe time.Time) {
	a.Judge()
	ofDay := bottled.After(keeping.Evening(strained))
	if bottled = keeping.Evening(bottled); !ofDay {
		bottled = strained
	}
	if base := a.unpoured(); base != nil {
		return base.KeptIf(another, started, strained, bottled)
	}
	l := *a.log()
	l.Started, l.Strained, l.Bottled, l.Waits, l.Untold = started, strained, bottled, false, false
	l.OfDay = ofDay
	if !strained.IsZero() {
		a.spentIf(another, started.Sub(a.Batch.Started), strained.Sub(started).Hours(),
			bottled.Sub(started).Hours()).tell(&l)
	}
	if another {
		l.Added, l.Finished = time.Time{}, false
		later := started.Sub(a.Batch.Started)
		l.Stay, l.TooStrong = l.Stay.Later(later), l.TooStrong.Later(later)
		for i := range l.Fades {
			l.Fades[i].In = time.Time{}
		}
	}
	return a.Keep.If(&l)
}

// fading are the changes of taste that count, and from when each runs.
func (a *Assessment) fading() (list []keeping.Fading) {
	for _, f := range a.deciding() {
		x, lacks := keeping.Fading{Fade: f, Later: len(f.Of) > 0}, false
		for _, name := range f.Of {
			later, in := a.goesInLater(name)
			x.Later, lacks = x.Later && later, lacks || later && in.IsZero()
			if !in.IsZero() && (x.In.IsZero() || in.Before(x.In)) {
				x.In = in
			}
		}
		if lacks && len(a.Recipe.Unlogged) > 0 { // and may be in for longer than what was logged
			x.In = time.Time{}
		}
		list = append(list, x)
	}
	return list
}

// goesInLater reports whether something goes in after straining, and when that was logged.
func (a *Assessment) goesInLater(name string) (later bool, in time.Time) {
	for _, x := range a.Batch.AddedBy(a.ElapsedH) {
		if x.Name == name {
			in = x.When
			break
		}
	}
	later = slices.ContainsFunc(a.Batch.Additions,
		func(x batch.Addition) bool { return x.Name == name && x.In == nil })
	return (later || !in.IsZero()) && len(a.Batch.Botanicals) > 0, in
}

// Places judges the four places at their usual temperatures, warmest first, the
// house rules included; none where it must not be kept.
func (a *Assessment) Places() []shelf.Verdict {
	a.Judge()
	if !a.Blend.Whole() || a.Keep.NoPlace() {
		return nil
	}
	var out []shelf.Verdict
	for _, place := range []shelf.Place{shelf.Room, shelf.Cellar, shelf.Fridge, shelf.Freezer} {
		k := keeping.Keep{Verdict: shelf.Judge(a.Blend.Bottle, a.usual(place))}
		k.HouseRules(a.question.House)
		out = append(out, k.Verdict)
	}
	return out
}

// Needs lists what to measure or to write because the answer hangs on it.
func (a *Assessment) Needs() []string {
	a.Judge()
	v := &a.Keep.Verdict
	if v.Verdict == shelf.VerdictUnknown || a.Keep.Safe.Place == "" {
		return v.Needs
	}
	return a.Blend.Bottle.Needs(*v)
}

// addsLater reports whether anything goes in after straining. What steeps nothing is mixed
// at its start.
func (a *Assessment) addsLater() bool {
	strained, _ := a.Strained()
	return len(a.Batch.Botanicals) > 0 && slices.ContainsFunc(a.Recipe.Additions, func(x recipe.Addition) bool {
		return x.Entry.In == nil && (!x.Entry.Logged || a.Batch.Hours(a.Batch.WentIn(&x.Entry)) >= strained)
	})
}

// firstAdded is when the first of what went in by now was logged, at or after so many
// hours; zero where nothing was.
func (a *Assessment) firstAdded(strainedH float64) (at time.Time) {
	for _, x := range a.Batch.AddedBy(a.ElapsedH) {
		if x.Hours >= strainedH {
			return x.When
		}
	}
	return at
}

// JudgedOn are the strength and the pH that keeping is judged on: as read, or where a
// reading says more than what went in explains, no more than that.
func (a *Assessment) JudgedOn() (abvPercent, pH float64, known bool) {
	b := &a.Blend.Bottle
	return b.ABVPercent.Value, b.PH.Value, b.PHKnown
}

// Sign gives the likely causes of something seen or smelt now: in what there is by the log, as of a note of now,
// or in the bottle too where nobody logged for so long how far it is that something may have grown in that.
func (a *Assessment) Sign(text string) []remark.Cause {
	in := a.liquids(a.ElapsedH)
	if a.ElapsedH-a.Batch.LastH(a.ElapsedH) >= remark.GrowsH {
		in = append(in, a.held()...)
	}
	return a.worstCauses(text, in, a.FatToLift())
}

// worstCauses are the causes of a sign in that one of some liquids in which it means harm, or else fat;
// fatIn is the fat that is in them.
func (a *Assessment) worstCauses(sign string, in []shelf.Bottle, fatIn []string) (worst []remark.Cause) {
	for _, b := range in {
		b.FatIn = fatIn
		if of := remark.Causes(sign, b, a.Batch.Holds()...); worst == nil || of[0].Harm() > worst[0].Harm() {
			worst = of
		}
	}
	return worst
}

// Fades lists what changes in store apart from microbes.
func (a *Assessment) Fades() []shelf.Fade {
	if a.Judge(); !a.Blend.Whole() {
		return nil
	}
	return a.Keep.Best.Fades(a.Blend.Bottle)
}

func (a *Assessment) deciding() []shelf.Fade {
	return quantity.Those(a.Fades(), func(f *shelf.Fade) bool { return f.Known && f.Decides })
}

// FadesFirst is the change of taste that counts at the place of Best: what is noticed first.
func (a *Assessment) FadesFirst() shelf.Fade {
	if fades := a.deciding(); len(fades) > a.Keep.FadesFirst() {
		return fades[a.Keep.FadesFirst()]
	}
	return shelf.Fade{}
}

// Rest says how long it is left before it is judged, empty where the blend is not known or must not be drunk,
// for how many days, 0 where it needs none, and whether it keeps for so long: else no answer lets it rest.
func (a *Assessment) Rest() (words string, days int, keeps bool) {
	a.Judge()
	rest, keeps := a.resting().rest()
	at, closed := a.Rested()
	return rest.Words, a.restDays(), keeps && rest.Low > 0 && (closed.IsZero() || !at.IsZero())
}

// restDays are the days that it asks for, sound so long or not.
func (a *Assessment) restDays() int {
	a.Judge()
	rest, _ := a.resting().rest()
	return int(math.Ceil(rest.Low))
}

func (a *Assessment) rest() (rest shelf.Days, keeps bool) {
	if !a.Blend.Whole() || a.Keep.NoPlace() {
		return rest, false
	}
	rest, keeps = shelf.Rest(a.Blend.Bottle, a.Keep.Safe.Sound.Low)
	if k := a.Keep; k.BestKnown && rest.High > k.Best.Sealed.Low {
		return shelf.Days{}, false // it fades sooner
	}
	return rest, keeps
}

// Rested is when what was bottled has rested, and from when on it rests: when it was closed or the last of it
// went in. The first is zero where it needs no rest or does not keep for so long, both where it is not
// bottled.
func (a *Assessment) Rested() (at, from time.Time) {
	a.Judge()
	if x := a.resting(); x != a {
		return x.Rested()
	}
	k := a.Keep
	if k.SinceAt.IsZero() || k.BottledAt.IsZero() && !a.Batch.ReadWhole() {
		return at, from
	}
	from, safe := k.SinceAt, k.Safe.Until
	if k.BottledAt.After(from) {
		from = k.BottledAt
	}
	if k.Sealed() > 0 {
		_, safe = keeping.First(k.SealedLots())
	}
	return a.RestedAt(from, safe), from
}

// resting is the drink whose rest is spoken of: that of the sealed bottles, where there are some.
func (a *Assessment) resting() *Assessment {
	if base := a.unpoured(); base != nil && a.Keep.Sealed() > 0 && !a.Keep.NoPlace() {
		return base
	}
	return a
}

// RestedAt is when a bottle that is closed at a moment, and sound to a day, has rested for as long as it asks
// for; zero where it needs no rest, or is not sound on the day after it.
func (a *Assessment) RestedAt(closed, safe time.Time) time.Time {
	days := a.restDays()
	at := closed.AddDate(0, 0, days)
	if strong := a.Keep.TooStrong.OutBy(); days == 0 || !strong.IsZero() && at.After(strong) || !safe.IsZero() && at.After(keeping.Evening(safe.AddDate(0, 0, -1))) {
		return time.Time{}
	}
	return at
}

// WorstABV is the strength [% vol] that the keeping is judged on.
func (a *Assessment) WorstABV() float64 { return a.Blend.Bottle.WorstABVPercent() }

// Strained reports whether everything that is to come out of the jar is out, and when the last of it came or it
// was strained, in hours since the start; what is mixed by then is strained, whatever is done to it later. Where all
// stays in, it is so by the first that is done: some is pulled, or it is strained, or something else goes in. A
// blend without botanicals is strained at its start.
func (a *Assessment) Strained() (hours float64, ok bool) {
	b, stays, done := a.Batch, len(a.Recipe.Botanicals) > 0, math.Inf(1)
	if a.ElapsedH < 0 {
		return 0, false
	}
	for i := range a.Recipe.Botanicals {
		e := &a.Recipe.Botanicals[i].Entry
		switch came, isOut := b.OutBy(e, a.ElapsedH); {
		case e.LeaveIn && isOut && !b.Stayed(e):
			done = min(done, came)
		case e.LeaveIn:
		case !isOut:
			return 0, false
		default:
			hours, stays = max(hours, came), false
		}
	}
	all := b.StrainedAt()
	switch strained := all != nil && all.Hours <= a.ElapsedH && (stays || !all.Implied()); {
	case strained:
		done = min(done, all.Hours)
	case !stays:
		return hours, true
	}
	if mixed := a.firstAdded(hours); !mixed.IsZero() {
		done = min(done, b.Hours(mixed))
	}
	return max(hours, done), !math.IsInf(done, 1)
}

// storage is where the bottle is asked to stand: what was asked on the command
// line, else what the batch says, else a warm room.
func storage(store string, celsius *float64, q Question) shelf.Storage {
	place, at := shelf.Place(store), celsius
	if q.Place != "" || q.Celsius != nil {
		place, at = q.Place, q.Celsius
	}
	if at != nil {
		if place == "" {
			place = shelf.PlaceOf(*at)
		}
		return shelf.Storage{Place: place, Celsius: *at, Measured: true}
	}
	if h := q.House; place == shelf.Fridge && h != nil && h.FridgeC != nil && *h.FridgeC > usualC(place) {
		return shelf.Storage{Place: place, Celsius: *h.FridgeC, Measured: true}
	}
	if place == "" {
		place = shelf.Room
	}
	return shelf.Storage{Place: place}
}

// usualC is the temperature a place is judged at when nobody measured it, °C. A
// house's own fridge counts where it is warmer: a rule takes days, it gives none.
func usualC(place shelf.Place) float64 {
	return shelf.Judge(shelf.Bottle{}, shelf.Storage{Place: place}).AtC
}
