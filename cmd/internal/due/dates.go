package due

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"steepbook/cmd/internal/steeping"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/kinetics/jar"
)

// Date is one thing in the life of a batch with its moment: what is to be done, what was
// done, or what is foreseen.
type Date struct {
	Act
	// Day: it is a day and has no hour.
	Day bool
	// Done: it has happened. Forecast: it hangs on what is tasted or done before.
	Done, Forecast bool
	// From and Until are between which it is as good, EdgeH the doubt about them in hours;
	// zero where that is not known.
	From, Until time.Time
	EdgeH       float64
	// ToCome is what is still to go in when it is strained, and before it is bottled.
	ToCome []batch.Addition
	// Turn counts what comes several times: of the tastings to come 0 is the next one, of the days on which
	// bottles were filled the first.
	Turn int
	// Stood: egg and spirit stand alone until then.
	Stood bool
	// Young: it is the day of what is sound by then, and has not rested for as long as it asks for.
	Young bool
	// IfIn: it is of what there is if all went in as soon as it could, as nobody knows.
	IfIn bool
	// Aim is how the batch stands to the day, where it is that of Ready.
	Aim *Aim
	// Bottle is the number of the open bottle that it is about, bench.LeftOver: what was left over, 0: of
	// none.
	Bottle int
	// Sealed are the numbers of the sealed bottles that it is about, where others have another day; Bottle is
	// then the first of them, where something joined them.
	Sealed []int
}

// Lately is for how many days what was done is still worth a date: a reminder of it that
// was given before moves to where it happened. Judgement.
const Lately = 14

// Dates are all the dates of a batch, done and to come, in the order of time: of the jar
// as its orders have them, of the bottle as it is judged. A batch that must not be drunk
// has one, and one that is all gone none.
func (g *Glance) Dates() ([]Date, error) {
	list, err := g.ownDates(g.plan())
	if err != nil {
		return nil, err
	}
	if g.Aim == nil || g.Aim.Missed {
		return list, nil
	}
	list = append(list, Date{Act: Act{Kind: Ready, At: g.Aim.Ready}, Day: true, Aim: g.Aim,
		Young: g.Aim.young()})
	return inOrder(list, toCome(g.Assessment, false)), nil
}

// ownDates are the dates of a batch but for the day that it is to be ready by; of a jar
// that steeps, or waits, as a plan has it, nil where there is none.
func (g *Glance) ownDates(p *Plan) ([]Date, error) {
	a := g.Assessment
	switch {
	case g.Stage == Finished:
		return nil, nil
	case g.Due.Kind == Discard:
		return []Date{{Act: g.Due, Day: true}}, nil
	}
	list := []Date{{Act: Act{Kind: Start, At: a.Batch.Started}, Day: a.Batch.StartedDateOnly,
		Done: a.ElapsedH >= 0}}
	if g.StrainedAt.IsZero() || g.StrainedAt.After(a.Now.AddDate(0, 0, -Lately)) {
		if err := a.Steep(); err != nil {
			return nil, err
		}
		list = append(list, ofFlavours(a)...)
	}
	if g.Stage == Planned || g.Stage == Steeping {
		list = append(list, g.foreseen(list, p)...)
	} else {
		for _, d := range g.kept(p) {
			if d.Done || a.Keep.OfBottle(d.At) {
				list = append(list, d)
			}
		}
	}
	if k := g.Due.Kind; k == Move || k == Lift || k == TakeOut || k == Measure {
		list = slices.Insert(list, 0, Date{Act: g.Due, Day: true}) // before what is as soon
	}
	return inOrder(list, toCome(a, false)), nil
}

// inOrder puts dates in the order of time and gives what is still to go in to those at
// which it does.
func inOrder(list []Date, toCome []batch.Addition) []Date {
	sort.SliceStable(list, func(i, j int) bool {
		x, y := &list[i], &list[j]
		// what leads to it first
		if (x.Kind == Ready) != (y.Kind == Ready) && midnight(x.At).Equal(midnight(y.At)) {
			return y.Kind == Ready
		}
		return x.At.Before(y.At)
	})
	for i := range list {
		switch d := &list[i]; {
		case d.Done:
		case d.Kind == Add:
			named := func(x *batch.Addition) bool { return slices.Contains(d.What, x.Name) }
			d.ToCome = quantity.Those(toCome, named)
			toCome = quantity.Those(toCome, func(x *batch.Addition) bool { return !named(x) })
		case d.Kind == Bottle || d.Kind == Strain && len(d.What) == 0:
			d.ToCome = toCome
		}
	}
	return list
}

// toCome is what is still to go in after straining: by the log, or of another jar all
// that is planned. What has no amount is never known to be in.
func toCome(a *bench.Assessment, another bool) (list []batch.Addition) {
	for _, x := range a.Batch.Additions {
		if x.In == nil && (another || x.Amount == nil) {
			list = append(list, x)
		}
	}
	if !another {
		late := tooLate(a)
		for _, x := range a.Recipe.ToCome {
			e := x.Entry
			if late(e.Name) {
				continue
			}
			if e.Amount != nil {
				amount, _ := x.Measure(*e.Amount, a.Batch.Units)
				e.Amount = &amount
			}
			list = append(list, e)
		}
	}
	return list
}

// ofFlavours are the dates of what goes into a jar and comes out, one a flavour, and of the
// tastings to come: the next one, and what waits for its own hour; or of the last tasting
// where no more is to come.
func ofFlavours(a *bench.Assessment) []Date {
	var list []Date
	for _, d := range flavours(a) {
		if d.Kind != PutIn || d.At.After(a.Batch.Started) { // what is in from the start goes in then
			list = append(list, d)
		}
	}
	if s := a.NextSitting(); s != nil {
		list = append(list, Date{Act: next(a, s), Forecast: a.ElapsedH < 0})
		turn := 0
		for _, act := range afterwards(a, s) {
			if last := &list[len(list)-1]; turn > 0 && act.At.Equal(last.At) {
				last.What = append(last.What, act.What...)
				continue
			}
			turn++
			list = append(list, Date{Act: act, Turn: turn})
		}
		return list
	}
	last := math.Inf(-1)
	for _, t := range a.Batch.Tastings {
		if t.By(a.ElapsedH) {
			last = math.Max(last, t.Hours)
		}
	}
	if !math.IsInf(last, -1) {
		list = append(list, Date{Act: Act{Kind: Taste, At: a.Batch.At(last)}, Done: true})
	}
	return list
}

// flavours are the dates of what goes into a jar and comes out.
func flavours(a *bench.Assessment) (list []Date) {
	at := a.Batch.At
	for i := range a.Curves {
		c := &a.Curves[i]
		o := &c.Order
		one := func(kind Kind, hours float64) Date {
			return Date{Act: Act{Kind: kind, What: []string{c.Name}, At: at(hours), OwnH: ownH(c)}}
		}
		switch {
		case c.Watch || o.Why == jar.Forbid || o.Do == jar.Nothing, c.NeverIn(),
			c.OutH != nil && slices.Contains(a.FatToLift(), c.Name): // strained, and not off
			continue
		case c.OutH != nil:
			d := one(Pull, *c.OutH)
			d.Done = true
			list = append(list, d)
			continue
		case o.Do == jar.Out:
			continue
		}
		if c.JarH <= 0 || c.InH > 0 {
			d := one(PutIn, c.InH)
			d.Done, d.Now = c.JarH > 0, c.InH <= a.ElapsedH && c.JarH <= 0
			list = append(list, d)
		}
		if o.Do == jar.Stays {
			continue
		}
		d := one(Pull, OutH(a, c))
		if c.OnlyStrained() {
			d.Kind = Strain
		}
		d.Forecast = c.JarH <= 0 || o.Do == jar.Taste
		switch {
		case o.Do == jar.Pull || o.Do == jar.Strain:
			d.At, d.Now = since(a, math.Max(o.UntilH, toldH(c))), true
			d.Overdue = d.overdue(c, a.Now)
		case o.Do == jar.Taste && (math.IsInf(o.BestH, 1) || o.BestH <= a.ElapsedH): // when a tasting says so
			continue
		default:
			d.DoubtH = o.DoubtH()
			if o.Do == jar.Leave && OutH(a, c) == o.ByH {
				d.Night = o.Night
			}
		}
		d.From, d.Until, d.EdgeH = when(a, o.FromH), when(a, o.UntilH), o.EdgeDoubtH(a.ElapsedH)
		list = append(list, d)
	}
	return list
}

// toldH is the hour of the last score of a flavour: nobody is late before it.
func toldH(c *steeping.Curve) (hours float64) {
	for _, p := range c.Points {
		hours = math.Max(hours, p.Hours)
	}
	return hours
}

// when is an hour of the jar as a moment, zero for never.
func when(a *bench.Assessment, hours float64) time.Time {
	if math.IsInf(hours, 0) {
		return time.Time{}
	}
	return a.Batch.At(hours)
}

// foreseen are the dates of the bottle of a jar that still steeps: it is strained when
// the last flavour is likely to come out, and bottled that day, or when a plan lets it be.
func (g *Glance) foreseen(of []Date, p *Plan) (list []Date) {
	a := g.Assessment
	s := steepOf(a, false)
	last := s.last()
	if _, out := a.Strained(); last == nil && len(a.Batch.Botanicals) > 0 && !out && !allStay(a) {
		return nil // nothing says when it is done
	}
	strained := s.strained(a, a.Batch.Started)
	for i := range of { // what stays in has to be in
		if at := of[i].At; of[i].Kind == PutIn && at.After(strained) {
			strained = at.In(strained.Location())
		}
	}
	by := a.Batch.At(a.JarEnd().H).In(strained.Location())
	bound := a.JarEnd().H > 0 && (last == nil || last.order.Do == jar.Taste) // no tasting moves that
	if last != nil {
		d := Date{Act: Act{Kind: Strain}, Day: true, Forecast: true}
		for _, x := range of { // one errand with what comes out last: its hour, its doubt
			if (x.Kind == Pull || x.Kind == Strain) && slices.Contains(x.What, last.name) {
				d.DoubtH, d.From, d.Until, d.EdgeH = x.DoubtH, x.From, x.Until, x.EdgeH
				if x.At.After(strained) {
					strained = x.At.In(strained.Location())
				}
			}
		}
		d.At = strained
		if !bound || !midnight(by).Equal(midnight(strained)) {
			list = append(list, d)
		}
	}
	if bound {
		list = append(list, Date{Act: Act{Kind: StrainBy, At: by}})
	}
	bottled := p.bottled(mixed(a, false, strained))
	list = append(list, toBottle(a, false, strained, bottled, true)...)
	return append(list, closed(a, false, a.Batch.Started, strained, bottled, bottled)...)
}

// closed are the forecasts for a bottle of a jar, or of another like it, that was started at a
// moment, is strained at the next, mixed after that and closed at the last.
func closed(a *bench.Assessment, another bool, started, strained, mixed, at time.Time) (list []Date) {
	best, safe := a.KeptIf(another, started, strained, mixed)
	return rest(a, at, best, safe)
}

// rest are the forecasts for a bottle that is closed at a moment, at its best and sound to two days.
func rest(a *bench.Assessment, at, best, safe time.Time) (list []Date) {
	day := func(kind Kind, at time.Time) {
		if !at.IsZero() {
			list = append(list, Date{Act: Act{Kind: kind, At: at}, Day: true, Forecast: true})
		}
	}
	day(Rested, a.RestedAt(at, safe))
	day(AtBest, best)
	day(Use, safe)
	return list
}

// midnight is the beginning of the day of a moment.
func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
}

// toJudge reports whether a bottle has rested of late and nobody has tasted it since, so far
// as is logged: one that was open at any time since is tasted.
func (g *Glance) toJudge() bool {
	a := g.Assessment
	rested, _ := a.Rested()
	if g.Stage != Bottled || a.Keep.Past || rested.IsZero() || rested.After(a.Now) ||
		rested.Before(a.Now.AddDate(0, 0, -Lately)) {
		return false
	}
	opened := func(x batch.Bottle) bool {
		return x.Emptied != nil && !x.Emptied.When.Before(rested) || x.Emptied == nil && x.Opened != nil
	}
	return !slices.ContainsFunc(a.Bottles().List, opened) &&
		!slices.ContainsFunc(a.Batch.Tastings, func(t batch.Tasting) bool {
			return t.By(a.ElapsedH) && !a.Batch.At(t.Hours).Before(rested)
		})
}

// kept are the dates of what is strained, and bottled or waiting as a plan has it.
func (g *Glance) kept(p *Plan) (list []Date) {
	a, k := g.Assessment, g.Assessment.Keep
	if slices.ContainsFunc(a.Batch.Botanicals, func(e batch.Botanical) bool { return !e.LeaveIn }) {
		list = day(list, Strain, g.StrainedAt, true)
	}
	switch {
	case g.Stage == Bottled:
		list = day(list, Bottle, cmp.Or(k.BottledAt, k.SinceAt), true)
		for _, s := range a.Batch.BottledBy(a.ElapsedH) {
			if last := list[len(list)-1]; !midnight(s.When).Equal(midnight(last.At)) {
				turn := last.Turn + 1
				list = day(list, Bottle, s.When, true)
				list[len(list)-1].Turn = turn
			}
		}
	case !a.NotToServe():
		at, act := p.bottled(a.Now), afterJar(a)
		if act.Ask {
			list = day(list, Bottle, at, false)
		} else {
			at = p.bottled(mixed(a, false, a.Now))
			list = append(list, toBottle(a, false, a.Now, at, false)...)
		}
		last := &list[len(list)-1]
		last.Curds, last.Fat, last.Ask = a.Curds(), a.FatToLift(), act.Ask
		last.Apart = act.Apart
		g.stands(&last.Act)
		e := g.expected(p)
		for _, d := range rest(a, at, e.Best, e.Safe) {
			d.Forecast = d.Kind == Rested || !e.Bottled.IsZero() || e.Doubt // else its days run already
			d.IfIn = e.Doubt && d.Kind != Rested
			list = append(list, d)
		}
		return list
	}
	if a.NotToServe() {
		list = day(list, Discard, a.Now, false)
		if g.Stage != Bottled {
			return list
		}
	} else {
		rested, _ := a.Rested()
		list = day(list, Rested, rested, !rested.After(a.Now) && !g.toJudge())
	}
	for i := range k.Open {
		o, of := &k.Open[i], len(list)
		if k.Of(o.Number, a.Now).TasteFirst() && o.Until.After(o.At) && !o.Past { // else its taste is over
			list = day(list, AtBest, o.Until, false)
		}
		if o.Safe.After(o.At) && (len(list) == of || !o.Safe.Equal(o.Until)) {
			list = day(list, Use, o.Safe, false)
		}
		for ; of < len(list); of++ {
			list[of].Bottle = o.Number
		}
	}
	lots, sealed := slices.Clip(k.Rest), k.Sealed()
	if x := g.unnumbered(); x != nil {
		lots = append(lots, x)
	}
	for _, x := range lots {
		of := len(list)
		if !x.Until.Equal(x.Safe) {
			list = day(list, AtBest, x.Until, false)
		}
		for list = day(list, Use, x.Safe, false); of < len(list); of++ {
			if x.Own {
				list[of].Bottle = x.Numbers[0]
			}
			if len(x.Numbers) < sealed {
				list[of].Sealed = x.Numbers
			}
		}
	}
	return list
}

// day adds what is of a day and has no hour, where that is known.
func day(list []Date, kind Kind, at time.Time, done bool) []Date {
	if at.IsZero() {
		return list
	}
	return append(list, Date{Act: Act{Kind: kind, At: at}, Day: true, Done: done})
}
