package due

import (
	"cmp"
	"slices"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/steeping"
	"steepbook/kinetics/jar"
	"steepbook/shelf"
)

// afterJar is the next act with what is strained, as the order of work has it; where it is over if the rest
// is in, to find that out, before anything that supposes that it is not.
func afterJar(a *bench.Assessment) Act {
	d, toCome := Act{Kind: Bottle, Curds: a.Curds(), Fat: a.FatToLift()}, a.Recipe.ToCome
	egg := a.EggAlone(false)
	switch {
	case a.Keep.OverIfMixed:
		d.At, d.Overdue, d.Ask = a.Keep.IfMixedSafe, true, true
	case egg.State == shelf.EggApart:
		d.Apart = true
	case egg.State == shelf.EggLate && !egg.Alone(a.Now).IsZero(), egg.State == shelf.EggCan && len(egg.ToCome) == 0:
		return Act{Kind: Stand, At: egg.Until(egg.Strained)}
	case egg.State != shelf.EggCan:
	default:
		d.Alone, d.Rest, toCome = true, !egg.In.IsZero(), egg.ToCome
	}
	late := tooLate(a)
	for i := range toCome {
		if name := toCome[i].Entry.Name; !late(name) {
			d.Kind, d.What = Add, append(d.What, name)
		}
	}
	return d
}

// stands notes where what is strained is to stand until an act, and whether it had to before today: since it was
// strained, something went in, or egg and spirit had stood alone.
func (g *Glance) stands(d *Act) {
	a := g.Assessment
	if d.Kind != Add && d.Kind != Bottle || d.Ask {
		return
	}
	d.Place = a.Keep.Chill()
	since := g.StrainedAt
	if egg := a.EggAlone(false); egg.State == shelf.EggDid {
		since = egg.Until(since)
	}
	for _, x := range a.Batch.AddedBy(a.ElapsedH) {
		if x.When.After(since) {
			since = x.When
		}
	}
	d.There = d.Place != "" && since.Before(midnight(a.Now))
}

// tooLate tells of what is still to go in whether it is egg that goes in no more.
func tooLate(a *bench.Assessment) func(name string) bool {
	egg := a.EggAlone(false)
	return func(name string) bool {
		for i := range egg.ToCome {
			if egg.State == shelf.EggLate && egg.ToCome[i].Entry.Name == name {
				return true
			}
		}
		return false
	}
}

// mixed is the soonest that the rest goes in of a jar, or of another like it, that is strained at a moment:
// raw egg has its days alone in the spirit first.
func mixed(a *bench.Assessment, another bool, strained time.Time) time.Time {
	egg := a.EggAlone(another)
	if egg.State == shelf.EggLate {
		return egg.Until(cmp.Or(egg.Strained, strained))
	} else if egg.State != shelf.EggCan && egg.State != shelf.EggApart {
		return strained
	} else if !egg.Strained.IsZero() && len(egg.ToCome) == 0 {
		strained = egg.Strained
	}
	return egg.Soonest(strained, a.Now, len(egg.ToCome) > 0 || egg.Strained.IsZero())
}

// toBottle are the dates of what is strained and bottled at two moments until then: before the bottling, of
// raw egg, when it goes into the spirit alone, and to when it stands so, where the rest goes in on another day
// than it is bottled: of one day that is one errand, at its hour.
func toBottle(a *bench.Assessment, another bool, strained, bottled time.Time, forecast bool) (list []Date) {
	last := Date{Act: Act{Kind: Bottle, At: bottled}, Day: true, Forecast: forecast}
	egg := a.EggAlone(another)
	if egg.State != shelf.EggCan {
		return []Date{last}
	}
	out := !egg.Strained.IsZero()
	stand := Date{Act: Act{Kind: Stand, At: mixed(a, another, strained)}, Forecast: !out, Day: !out}
	if len(egg.ToCome) > 0 {
		add := Date{Act: Act{Kind: Add, Alone: true, At: EggDay(!egg.In.IsZero(), bottled, a.Now)}, Day: true,
			Forecast: !out}
		for i := range egg.ToCome {
			add.What = append(add.What, egg.ToCome[i].Entry.Name)
		}
		stand.Forecast, stand.Day, stand.At = true, true, add.At.AddDate(0, 0, keeping.EggDays)
		list = append(list, add)
	}
	if !midnight(stand.At).Equal(midnight(bottled)) {
		return append(list, stand, last)
	}
	last.At, last.Day, last.Stood = stand.At, stand.Day, true
	return append(list, last)
}

// allStay reports whether nothing that steeps ever comes out of the jar, so that no straining ends it: it is
// bottled with what is in it.
func allStay(a *bench.Assessment) bool {
	comesOut := func(c steeping.Curve) bool {
		return !c.Watch && c.Order.Do != jar.Stays && !c.Order.TooLate()
	}
	return len(a.Curves) > 0 && !slices.ContainsFunc(a.Curves, comesOut)
}

// EggDay is when raw egg goes into the spirit alone for what is bottled on a day, no sooner than now, and the
// rest of it no later.
func EggDay(rest bool, bottled, now time.Time) time.Time {
	if at := bottled.AddDate(0, 0, -keeping.EggDays); !rest && at.After(now) {
		return at
	}
	return now
}
