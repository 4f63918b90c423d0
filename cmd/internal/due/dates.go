package due

import (
	"cmp"
	"math"
	"slices"
	"time"

	"steepbook/cmd/internal/bench"
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
	// From and Until are between which it is as good; zero where that is not known.
	From, Until time.Time
	// Bottle is the number of the open bottle that it is about, 0: of none.
	Bottle int
}

// Lately is for how many days what was done is still worth a date: a reminder of it that
// was given before moves to where it happened. Judgement.
const Lately = 14

// Dates are all the dates of a batch, done and to come, in the order of time: of the jar
// as its orders have them, of the bottle as it is judged. A batch that must not be drunk
// has one, and one that is all gone none.
func (g *Glance) Dates() ([]Date, error) {
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
		list = append(list, steeping(a)...)
	}
	if g.Stage == Planned || g.Stage == Steeping {
		list = append(list, g.foreseen(list)...)
	} else {
		list = append(list, g.kept()...)
	}
	slices.SortStableFunc(list, func(x, y Date) int { return x.At.Compare(y.At) })
	return list, nil
}

// steeping are the dates of what goes into a jar and comes out, one a flavour, and of the
// next tasting, or the last one where no more is to come.
func steeping(a *bench.Assessment) []Date {
	list := slices.DeleteFunc(flavours(a), func(d Date) bool { // what is in from the start goes in then
		return d.Kind == PutIn && !d.At.After(a.Batch.Started)
	})
	if s := a.NextSitting(); s != nil {
		d := Act{Kind: Taste, What: s.Flavours, At: a.Batch.At(math.Max(s.AtH, a.ElapsedH)), DoubtH: s.DoubtH}
		d.Overdue = slices.ContainsFunc(s.Flavours, func(n string) bool { return a.Curve(n).Order.Overdue })
		return append(list, Date{Act: d, Forecast: a.ElapsedH < 0})
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
		case c.Watch || o.Why == jar.Forbid || o.Do == jar.Nothing:
			continue
		case c.OutH != nil:
			d := one(Pull, *c.OutH)
			d.Done = true
			list = append(list, d)
			continue
		case o.Do == jar.Out || o.Do == jar.Stays:
			continue
		}
		if c.JarH <= 0 || c.InH > 0 {
			d := one(PutIn, c.InH)
			d.Done, d.Now = c.JarH > 0, c.InH <= a.ElapsedH && c.JarH <= 0
			list = append(list, d)
		}
		d := one(Pull, o.BestH)
		d.Forecast = c.JarH <= 0 || o.Do == jar.Taste
		switch {
		case o.Do == jar.Pull || o.Do == jar.Strain:
			if o.Do == jar.Strain {
				d.Kind = Strain
			}
			d.At, d.Now, d.Overdue = since(a, o.UntilH), true, o.Overdue
		case o.Do == jar.Leave:
			d.At, d.DoubtH = at(o.ByH), (o.UntilH-o.FromH)/2
		case math.IsInf(o.BestH, 1):
			continue
		default:
			d.DoubtH = (math.Min(o.UntilH, 4*o.BestH) - o.FromH) / 2
		}
		d.From, d.Until = when(a, o.FromH), when(a, o.UntilH)
		list = append(list, d)
	}
	return list
}

// when is an hour of the jar as a moment, zero for never.
func when(a *bench.Assessment, hours float64) time.Time {
	if math.IsInf(hours, 0) {
		return time.Time{}
	}
	return a.Batch.At(hours)
}

// foreseen are the dates of the bottle of a jar that still steeps: it is strained when
// the last flavour comes out, and bottled that day.
func (g *Glance) foreseen(steep []Date) (list []Date) {
	a := g.Assessment
	var last *Date
	for _, d := range steep {
		if d.Kind != Pull && d.Kind != Strain {
			continue
		}
		if !d.Done && d.At.Before(a.Now) { // what is overdue is done now at the soonest
			d.At = a.Now
		}
		if last == nil || d.At.After(last.At) {
			last = &d
		}
	}
	if last == nil {
		if len(a.Batch.Botanicals) > 0 {
			return nil // nothing says when it is done
		}
		last = &Date{Act: Act{At: a.Batch.Started}}
	} else {
		d := Date{Act: Act{Kind: Strain, At: last.At, DoubtH: last.DoubtH}, Day: true, Forecast: true,
			From:  last.From,
			Until: last.Until}
		list = append(list, d)
	}
	list = append(list, Date{Act: Act{Kind: Bottle, At: last.At}, Day: true, Forecast: true})
	return append(list, closed(a, last.At)...)
}

// closed are the forecasts for a bottle that is closed at a moment.
func closed(a *bench.Assessment, at time.Time) (list []Date) {
	day := func(kind Kind, at time.Time) {
		if !at.IsZero() {
			list = append(list, Date{Act: Act{Kind: kind, At: at}, Day: true, Forecast: true})
		}
	}
	day(Rested, restedAt(a, at))
	best, safe := a.KeptFrom(at)
	day(AtBest, best)
	day(Use, safe)
	return list
}

// restedAt is when a bottle that is closed at a moment can be judged; zero where it needs
// no rest.
func restedAt(a *bench.Assessment, closed time.Time) time.Time {
	if rest, ok := a.RestDays(); ok && rest.Low > 0 {
		return closed.AddDate(0, 0, int(math.Ceil(rest.Low)))
	}
	return time.Time{}
}

// kept are the dates of what is strained or bottled.
func (g *Glance) kept() (list []Date) {
	a := g.Assessment
	k := a.Keep
	day := func(kind Kind, at time.Time, done bool) {
		if !at.IsZero() {
			list = append(list, Date{Act: Act{Kind: kind, At: at}, Day: true, Done: done})
		}
	}
	if len(a.Batch.Botanicals) > 0 {
		day(Strain, g.StrainedAt, true)
	}
	switch {
	case k.Since == "bottled":
		day(Bottle, k.SinceAt, true)
	case g.Stage == Strained:
		day(Bottle, a.Now, false)
	}
	if rested := restedAt(a, k.SinceAt); !k.SinceAt.IsZero() {
		day(Rested, rested, !rested.After(a.Now))
	}
	for i := range k.Open {
		o := &k.Open[i]
		day(Use, cmp.Or(o.Until, o.Safe), false)
		if !cmp.Or(o.Until, o.Safe).IsZero() {
			list[len(list)-1].Bottle = o.Number
		}
	}
	best, safe := time.Time{}, k.Safe.Until
	switch {
	case len(k.Open) > 0 && k.Sealed == 0 && k.Counted: // those that are open are all there is
		return list
	case len(k.Open) > 0: // the days of Keep are those of an open bottle
		best, safe = a.KeptFrom(k.SinceAt)
	case g.Flavour:
		best = g.Until
	case !g.Until.IsZero():
		safe = g.Until
	}
	day(AtBest, best, false)
	day(Use, safe, false)
	return list
}
