package due

import (
	"cmp"
	"math"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/kinetics/jar"
	"steepbook/shelf"
)

// Plan is when to do what so that a bottle is at its best on a day.
type Plan struct {
	Ready time.Time
	// Again: the jar is bottled already, so the plan is for another one like it. Running: it
	// steeps, or is Out and waits to be bottled, so its start is given. Own: its dates are
	// those that the jar has anyway.
	Again, Running, Out, Own bool
	// Start is when to start, Late the chance that it is not in time then. By is the last
	// day that is likely to do, where one in four is late. TooLate: that is past, and
	// Earliest is when a start now is likely to be ready; then all but Late, which is of a
	// start now for the day, is of the plan for Earliest. NotYet: started now it would be past its best on
	// the day. Off is when its file starts it, of what is yet to be, where that is so of it, or is not
	// likely to do.
	Start, By, Earliest, Off time.Time
	Late, LateBy             float64
	TooLate, NotYet          bool
	// Bottle is the last day to close it, RestDays before, and Strain that to strain for it what is not Out,
	// for raw egg has its days in between; Best is the last day of its taste,
	// Safe that to which it is sound, zero where there is none.
	Strain, Bottle, Best, Safe time.Time
	// From is the first day on which it is closed as well, where it waits; zero where that is Bottle.
	From time.Time
	// RestDays are the days that it asks for, RestedDays those from its bottling to the day.
	RestDays, RestedDays int
	// Young: these are fewer than it asks for. Unsound: it is not sound on the day, whenever it is bottled.
	// Longer are the places, if there are any, at which it would keep for long enough where it does not.
	Young, Unsound bool
	Longer         []shelf.Place
	// Hold: what is strained before Bottle waits as it is, since bottled as soon as it is
	// strained it would be over too soon for the day: what Fades, or where it has none its soundness.
	Hold  bool
	Fades shelf.Fade
	Dates []Date
}

// Aim is how a batch stands to the day that its file says it is to be ready by.
type Aim struct {
	// Plan leads to the day, of what is not bottled yet; nil of what is, and where the day was Missed.
	Plan   *Plan
	Missed bool
	Ready  time.Time
	// Rested is when it is likely to have rested, zero where it needs no rest or does not keep for so long;
	// RestedDays are the days that it will have rested by the day, of RestDays that it asks for.
	Rested               time.Time
	RestDays, RestedDays int
	Ending
	// Soon is when its keeping is over where that is few days after the day; zero elsewhere.
	Soon time.Time
	// Not are those of its bottles that are worse on the day than others, of which all else is.
	Not []Ending
}

// Ending is what is not at its best on a day: bottles by their Numbers, none where it is all. Ends is when
// its best, else its keeping, is over, zero where that is not before the day. Sound: it is its best alone.
type Ending struct {
	Numbers []int
	Ends    time.Time
	Sound   bool
}

// fewDays are so few after the day that an answer says when they are over. Judgement.
const fewDays = 7

// aim holds it against the day that it is to be ready by.
func (g *Glance) aim() error {
	a := g.Assessment
	m := &Aim{Ready: a.Batch.Ready}
	switch {
	case m.Ready.IsZero() || g.Stage == Finished || g.Due.Kind == Discard,
		g.Stage == Strained && a.Keep.SafePast:
		return nil
	case m.Ready.Before(midnight(a.Now)):
		if m.Missed = g.Stage != Bottled; m.Missed {
			g.Aim = m
		}
		return nil
	case a.KeepingOnly() && (g.Stage == Planned || g.Stage == Steeping):
		return nil
	case g.Stage != Bottled:
		p, err := g.Back(m.Ready)
		if m.Plan, g.Aim = p, m; err != nil {
			return err
		}
		m.Rested, m.RestDays, m.RestedDays = p.Earliest, p.RestDays, p.RestedDays
		e := Expected{Best: p.Best, Safe: p.Safe}
		if p.Out {
			e = g.expected(p)
		}
		m.ends(e.Best, e.Safe)
		return nil
	}
	at, from := a.Rested()
	_, days, _ := a.Rest()
	m.Rested, m.RestDays, m.RestedDays = at, days, between(from, m.Ready)
	m.of(g.forADay())
	g.Aim = m
	return nil
}

// plan leads to the day that its file says it is to be ready by; nil where none does from its start.
func (g *Glance) plan() *Plan {
	if g.Aim == nil || g.Aim.Plan == nil || !g.Aim.Plan.Off.IsZero() {
		return nil
	}
	return g.Aim.Plan
}

// when is when what is strained is to be finished: on the day of its plan where it waits for that, else while
// what there is, by the log and by what may be in, is sound, zero where nothing ends that.
func (g *Glance) when() {
	a, d, p := g.Assessment, &g.Due, g.plan()
	switch {
	case g.Stage != Strained || d.Overdue || d.Kind == Stand:
	case p.waits() && d.Alone:
		d.At = EggDay(d.Rest, p.Bottle, a.Now)
	case p.waits():
		d.At, d.Now = p.Bottle, !p.Bottle.After(a.Now)
	case !d.Alone:
		k := a.Keep
		if !g.Flavour || k.Days(&k.Best).High > k.Days(&k.Safe).Low { // a taste alone goes in a bottle as well
			_, d.At = k.SealedDays()
		}
		d.By, d.Now = !d.At.IsZero(), a.Keep.Past
	}
}

// Expected is to which days what was strained and waits is expected to be at its best and sound; Best is zero
// where it is the same.
type Expected struct {
	// Bottled is the day of its plan where it waits for that, and the days are those of what is closed then.
	// Doubt: they are those as if what nobody logged had gone in as soon as it could, which end sooner than
	// those by the log, or run where no others do. Else they are by the log. IfIn is the day of that doubt
	// where the days are those of its plan, for the same may be in it with a plan and without.
	Bottled, Best, Safe, IfIn time.Time
	Doubt                     bool
}

// Expected is what every view asks of what waits.
func (g *Glance) Expected() Expected { return g.expected(g.plan()) }

func (g *Glance) expected(p *Plan) Expected {
	k := g.Assessment.Keep
	e := Expected{Best: k.Advised.Until, Safe: k.Safe.Until}
	switch {
	case p.waits() && !k.OverIfMixed:
		e = Expected{Bottled: p.Bottle, Best: p.Best, Safe: p.Safe, IfIn: k.IfMixedSafe}
	case !k.IfMixed.IsZero():
		e = Expected{Best: k.IfMixed, Safe: k.IfMixedSafe, Doubt: true}
	}
	if e.Best.Equal(e.Safe) {
		e.Best = time.Time{}
	}
	return e
}

// ends holds to which days it is at its best and sound against the day.
func (m *Aim) ends(best, safe time.Time) {
	m.Ending = endingBy(m.Ready, best, safe)
	if (m.Sound || m.Ends.IsZero()) && soonOver(safe, m.Ready, fewDays) {
		m.Soon = safe
	}
}

func endingBy(ready, best, safe time.Time) Ending {
	switch onDay(best, safe, ready) {
	case over:
		return Ending{Ends: safe}
	case pastBest:
		return Ending{Ends: best, Sound: true}
	}
	return Ending{}
}

// of holds bottles against the day, each with the days of its own drink: those that are best then, and the
// others apart.
func (m *Aim) of(lots []*keeping.Lot) {
	is := func(x *keeping.Lot) int { return min(onDay(x.Until, x.Safe, m.Ready), thatDay) }
	best := over
	for _, x := range lots {
		best = max(best, is(x))
	}
	var those []*keeping.Lot
	for _, x := range lots {
		if is(x) == best {
			those = append(those, x)
			continue
		}
		e := endingBy(m.Ready, x.Until, x.Safe)
		e.Numbers = x.Numbers
		m.Not = append(m.Not, e)
	}
	m.ends(keeping.First(those))
}

// forADay are the bottles that may be for a day to come: those that are sealed, where none is known to be all
// that there are.
func (g *Glance) forADay() []*keeping.Lot {
	k := g.Assessment.Keep
	if sealed := k.SealedLots(); len(sealed) > 0 {
		return sealed
	} else if x := g.unnumbered(); x != nil {
		return []*keeping.Lot{x}
	}
	return k.Lots()
}

// unnumbered are the bottles that may be sealed where no number of one is known, nil where none may.
func (g *Glance) unnumbered() *keeping.Lot {
	k := g.Assessment.Keep
	switch {
	case k.Sealed() > 0 || len(k.Open) > 0 && k.Counted: // else those that are open are all there is
		return nil
	case len(k.Open) > 0:
		best, safe := k.SealedDays()
		return &keeping.Lot{Until: cmp.Or(best, safe), Safe: safe}
	}
	return &keeping.Lot{Until: g.Until, Safe: k.Safe.Until}
}

// HoldTo is the day to which what is strained waits as it is, or will, before the rest goes in and it
// is bottled, for the day that its file says it is to be ready by; zero where it does not.
func HoldTo(a *bench.Assessment) time.Time {
	if a.Batch.Ready.IsZero() {
		return time.Time{}
	}
	g, err := Look(a)
	if err != nil || !g.plan().waits() || !g.Aim.Plan.Bottle.After(a.Now) {
		return time.Time{}
	}
	return g.Aim.Plan.Bottle
}

// InTime reports whether it is likely ready, and good, on its day.
func (m *Aim) InTime() bool {
	if p := m.Plan; p != nil {
		return !p.TooLate && !p.Young && !p.Unsound && p.Off.IsZero() && m.Ends.IsZero()
	}
	return !m.Missed && m.Ends.IsZero() && m.RestedDays >= m.RestDays
}

// young reports whether it is there and sound on its day, and lacks nothing but rest.
func (m *Aim) young() bool {
	p := m.Plan
	return m.RestedDays < m.RestDays && m.Ends.IsZero() && (p == nil || p.Young && !p.TooLate)
}

// How sure a start is: judgement.
const (
	likely = 0.25 // late
	sure   = 0.05
)

// Back plans back from a day: what has to be bottled by then, so that it has rested, is
// sound and its taste is not gone, and when the jar is likely to be done with its slowest
// flavour, by what is known of it. Where it is too late for that the plan is for the day
// that is likelier.
func (g *Glance) Back(ready time.Time) (*Plan, error) {
	if err := g.Assessment.Steep(); err != nil {
		return nil, err
	}
	p, err := g.backFrom(ready)
	if err != nil || !p.TooLate {
		return p, err
	}
	for later, days := midnight(p.Earliest).Add(12*time.Hour), 0; ; days++ {
		q, err := g.backFrom(later.AddDate(0, 0, days))
		if err != nil {
			return nil, err
		}
		if !q.TooLate || days == mostLater {
			q.Earliest, q.Ready, q.TooLate = q.Ready, ready, true
			q.Late, q.LateBy = p.Late, p.LateBy
			return q, nil
		}
	}
}

// DrinkDays are the days that a bottle is drunk in: its end is told so long before, and a plan leaves as many
// after its day where the drink keeps for them. Judgement.
const DrinkDays = 3

// soonOver reports whether what ends at a moment, zero for never, has fewer days than that after a day.
func soonOver(end, ready time.Time, days int) bool {
	return !end.IsZero() && end.Before(midnight(ready).AddDate(0, 0, days))
}

// How a bottle is on a day, the worst first.
const (
	over = iota
	pastBest
	thatDay // to some hour of it
	ending  // within DrinkDays
	lasts
)

// onDay is how a bottle is on a day, by the ends of its best and of its keeping.
func onDay(best, safe, ready time.Time) int {
	switch {
	case soonOver(safe, ready, 0):
		return over
	case soonOver(best, ready, 0):
		return pastBest
	case !safe.IsZero() && safe.Before(keeping.Evening(ready)):
		return thatDay
	case soonOver(best, ready, DrinkDays) || soonOver(safe, ready, DrinkDays):
		return ending
	}
	return lasts
}

// mostLater bounds the days by which the likelier day is moved until its plan is in time:
// the hour of the day at which it starts moves it by one.
const mostLater = 7

// backFrom plans back from a day, in time or not.
func (g *Glance) backFrom(ready time.Time) (*Plan, error) {
	a := g.Assessment
	_, days, _ := a.Rest()
	p := &Plan{Ready: ready, RestDays: days, Out: g.Stage == Strained,
		Again: g.Stage == Bottled || g.Stage == Finished}
	p.Running = g.Stage == Steeping || p.Out
	steep := steepOf(a, p.Again)
	w := &way{a, p, steep, g.StrainedAt}
	begin := a.Batch.Started
	if !p.Running {
		begin = a.Now
	}
	done := w.strained(begin)
	in, closed := mixed(a, !p.Running, done), mixed(a, !p.Running, steep.strained(a, begin))
	wait := between(done, in)                   // of a jar that is not out
	last := func(bottled time.Time) time.Time { // start for it
		if p.Running {
			return a.Batch.Started
		}
		return startBy(a, bottled.AddDate(0, 0, -wait), steep.by(likely))
	}
	best, safe := a.KeptIf(!p.Running, begin, done, in) // if the rest goes in as soon as it can
	rests := !a.RestedAt(in, safe).IsZero()
	most := min(p.RestDays, between(closed, ready)) // from its bottling to the day
	if !safe.IsZero() {                             // no longer than it is sound
		most = min(most, between(in, safe))
	}
	if !p.Running { // a day to spare
		most = max(most, 1)
	}
	before, good := 0, over
	for days := most; days >= 0 && good < lasts; days-- {
		bottled := ready.AddDate(0, 0, -days)
		if day := w.is(last(bottled), bottled); day > good {
			before, good = days, day
		}
	}
	p.Bottle, p.RestedDays = ready.AddDate(0, 0, -before), before
	p.Best, p.Safe = w.ends(last(p.Bottle), p.Bottle)
	if p.Running && soonOver(p.Safe, ready, 0) && (safe.IsZero() || p.Safe.Before(safe)) { // it ends sooner
		p.Bottle, p.Best, p.Safe = closed, best, safe
		p.RestedDays = between(p.Bottle, ready)
	}
	switch p.Unsound = soonOver(p.Safe, ready, 0); {
	case p.Unsound && p.Safe.Before(p.Bottle) && !p.Safe.Before(done): // in time for its end
		p.Bottle = p.Safe
		fallthrough
	case p.Unsound:
		if !a.GrowsFromStart() {
			p.Longer = longer(a, int(ready.Sub(w.strained(a.Batch.Started)).Hours()/24))
		}
	case p.RestedDays < p.RestDays:
		if p.Young = true; !rests {
			p.Longer = longer(a, p.RestDays)
		}
	}
	if !p.Out {
		p.Strain = p.Bottle.AddDate(0, 0, -wait)
	}
	p.start(w, begin, in, closed, rests)
	start := p.Start
	if g.Stage == Planned && p.Off.IsZero() && a.Batch.Started.Before(start) { // as its file has it
		start = a.Batch.Started
	}
	if !p.Running {
		p.Best, p.Safe = w.ends(p.Start, p.Bottle)
	}
	if at := w.soonest(start); midnight(at).Before(midnight(p.Bottle)) {
		p.hold(w, start, at)
		if best, _ := w.ends(start, at); soonOver(best, ready, DrinkDays) {
			p.Fades = a.FadesFirst()
		}
	}
	return p, p.dates(g, steep)
}

// hold settles whether what starts at a moment waits for Bottle: it does where closed as soon as it can be it
// would be worse on the day.
func (p *Plan) hold(w *way, started, soonest time.Time) {
	is := w.is(started, p.Bottle)
	p.Hold = w.is(started, soonest) < is
	for day := p.Bottle; p.Hold && day.After(soonest); p.From = day {
		if day = day.AddDate(0, 0, -1); w.is(started, day) < is {
			break
		}
	}
}

// longer are the places at which it keeps for more than some days, the warmest first.
func longer(a *bench.Assessment, days int) (places []shelf.Place) {
	for _, v := range a.Places() {
		if v.Unopened.Low > float64(days)+1 {
			places = append(places, v.Place)
		}
	}
	return places
}

// between are the days from that of one moment to that of another.
func between(from, to time.Time) int {
	return int(math.Round(midnight(to).Sub(midnight(from)).Hours() / 24))
}

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }

// dates are the dates of the plan: of a jar that steeps its own, and of one to be started
// those that it would have.
func (p *Plan) dates(g *Glance, s steep) (err error) {
	a := g.Assessment
	ready := Date{Act: Act{Kind: Ready, At: p.Ready}, Day: true, Young: p.Young}
	if p.Running {
		p.Own = !p.waits()
		p.Dates, err = g.ownDates(p)
	} else {
		p.Dates = p.another(a, s)
	}
	if !p.Unsound {
		p.Dates = append(p.Dates, ready)
	}
	p.Dates = inOrder(p.Dates, toCome(a, p.Again))
	return err
}

// Soon reports whether it is to be drunk within few days of the day.
func (p *Plan) Soon() bool { return !p.Unsound && soonOver(p.Safe, p.Ready, fewDays) }

// waits reports whether what is strained is not bottled that day but on that of Bottle.
func (p *Plan) waits() bool { return p != nil && p.Hold }

// bottled is when a jar is bottled that could be at a moment; p is nil where there is no plan.
func (p *Plan) bottled(soonest time.Time) time.Time {
	if p.waits() && soonest.Before(p.Bottle) {
		return p.Bottle
	}
	return soonest
}

// another are the dates of a jar that is to be started for the day.
func (p *Plan) another(a *bench.Assessment, s steep) []Date {
	list := []Date{{Act: Act{Kind: Start, At: p.Start}, Day: a.Batch.StartedDateOnly}}
	for i := range a.Curves {
		if c := &a.Curves[i]; !c.Watch && c.InH > 0 && c.Order.Why != jar.Forbid {
			list = append(list, Date{Act: Act{Kind: PutIn, What: []string{c.Name},
				At: p.Start.Add(hours(c.InH))}})
		}
	}
	if t := a.NextSitting(); t != nil && !p.Again {
		list = append(list, Date{Act: Act{Kind: Taste, What: t.Flavours, At: p.Start.Add(hours(t.AtH)),
			DoubtH: t.DoubtH},
			Forecast: true})
	}
	done := s.strained(a, p.Start)
	if late := mixed(a, true, done).Sub(p.Bottle); late > 0 {
		done = done.Add(-late)
	}
	for i := range s { // what comes out last does with the straining
		l, at := &s[i], p.Start.Add(hours(s[i].likelyH)).In(done.Location())
		if midnight(at).Before(midnight(done)) {
			list = append(list, Date{Act: Act{Kind: l.kind, What: []string{l.name}, At: at}, Day: true,
				Forecast: true})
		}
	}
	if len(s) > 0 {
		list = append(list, Date{Act: Act{Kind: Strain, At: done}, Day: true, Forecast: true})
	}
	strained := done
	done = p.bottled(mixed(a, true, done))
	list = append(list, toBottle(a, true, strained, done, len(s) > 0 && !p.waits())...)
	return append(list, closed(a, true, p.Start, strained, done, done)...)
}
