package keeping

import (
	"math"
	"slices"
	"time"

	"steepbook/data/batch"
	"steepbook/shelf"
)

// Since says which moment the days of a bottle run from.
type Since string

// What the days run from.
const (
	FromStart     Since = "mixed"    // what could grow in the jar has grown from the start
	FromStraining Since = "strained" // nothing goes in after that, or what was strained held nothing back
	FromAddition  Since = "added"    // when the first of what goes in after straining was logged
	FromBottling  Since = "bottled"  // and what goes in after straining went in then, or it was heated then
)

// heatedWithinH is how long after straining what is heated for the bottle may have waited
// to count as fresh from the stove [h]. Common practice, no source.
const heatedWithinH = 48

// Log is what the clock reads of a batch; a moment is zero where it has not come.
type Log struct {
	Now, Started time.Time
	// Bottled is when the first of it was bottled, Strained when the last thing came out of
	// the jar, Added when the first of what goes in after that was logged.
	Bottled, Strained, Added time.Time
	// WeakJar: the jar, by its strength, holds nothing back.
	WeakJar bool
	// AddsLater: something goes in after straining. Heated: it is heated for the bottle.
	// Finished: something of the finished drink was measured.
	AddsLater, Heated, Finished bool
	Bottles                     batch.Bottles
	OpenNow                     bool // how long it keeps once opened, from now, is asked
	Elsewhere                   bool // another place is asked about than where it stands
	House                       *batch.House
}

// Count counts the days from when what is in the bottle came together, as far as the log
// tells, and from when it was opened. That it is bottled later makes none of them longer:
// what grows and what fades does so in the jug as well.
func (k *Keep) Count(l *Log) {
	k.StoodWarm = k.NotThere && k.Verdict.Fails && !l.Elsewhere && !l.Bottled.IsZero() &&
		l.Now.Sub(l.Bottled).Hours() > shelf.WeakSteepH
	over := func(u time.Time) bool { return !u.IsZero() && l.Now.After(u) }
	k.BottledAt = l.Bottled
	out := !l.Strained.IsZero()
	switch {
	case l.Now.Before(l.Started):
	case k.Verdict.Fails && l.WeakJar:
		k.Since, k.SinceAt = FromStart, l.Started
	case !k.BottledAt.IsZero() && (!out || l.Heated && k.BottledAt.Sub(l.Strained).Hours() <= heatedWithinH):
		k.Since, k.SinceAt = FromBottling, k.BottledAt
	case out && !l.Added.IsZero() && !l.WeakJar:
		k.Since, k.SinceAt = FromAddition, l.Added
	case out && (l.WeakJar || !l.AddsLater || k.BottledAt.IsZero() && l.Finished):
		k.Since, k.SinceAt = FromStraining, l.Strained
	case !k.BottledAt.IsZero():
		k.Since, k.SinceAt = FromBottling, k.BottledAt
	case out: // strong liquor that waits for the rest
		k.IfMixed, k.IfMixedSafe = until(l.Strained, k.Advised.Sealed), until(l.Strained, k.Safe.Sealed)
		k.OverIfMixed = over(k.IfMixedSafe)
	}
	if h := l.House; out && h != nil && h.MaxAgeDays > 0 {
		k.houseEnd = until(l.Strained, shelf.Days{Low: h.MaxAgeDays, Words: h.Rule + " "})
	}
	k.bottles(l)
	if len(k.Open) == 0 && l.OpenNow {
		k.OpenedAt = l.Now
	}
	if k.SinceAt.IsZero() && k.OpenedAt.IsZero() && k.houseEnd.IsZero() {
		return
	}
	for _, kept := range []*Kept{&k.Safe, &k.Best, &k.Advised} {
		if kept.Place != "" {
			kept.Until = k.usable(kept, k.SinceAt, k.OpenedAt)
		}
	}
	if from, d := k.SinceAt, k.Best.Sealed.High; k.BestKnown && !from.IsZero() && !math.IsInf(d, 1) {
		k.BestEnds = from.Add(time.Duration(d * 24 * float64(time.Hour)))
	}
	k.Past, k.SafePast = over(k.Advised.Until), over(k.Safe.Until)
	k.AllPast = k.SafePast && !k.EndsByAir() && (k.Sealed == 0 || over(k.SealedSafe))
}

// until is the last whole day within the early end of some days from a moment; zero where
// there is none.
func until(from time.Time, d shelf.Days) time.Time {
	if from.IsZero() || math.IsInf(d.Low, 1) || d.Words == "" {
		return time.Time{}
	}
	u := from.Add(time.Duration(d.Low * 24 * float64(time.Hour)))
	if day := time.Date(u.Year(), u.Month(), u.Day(), 0, 0, 0, 0,
		u.Location()).Add(-time.Second); day.After(from) {
		return day
	}
	return u
}

// usable is the day to which a bottle is good whose days run from a moment, and that was
// opened at another, zero where it is sealed: what comes soonest, the end that the house
// sets included.
func (k *Keep) usable(x *Kept, since, opened time.Time) (day time.Time) {
	ends := []time.Time{until(since, x.Sealed), until(opened, x.Opened)}
	if x != &k.Best {
		ends = append(ends, k.houseEnd)
	}
	for _, t := range ends {
		if !t.IsZero() && (day.IsZero() || t.Before(day)) {
			day = t
		}
	}
	return day
}

// bottles parts those that are open from those that are sealed, each with its own day;
// what is said of the batch is said of the open one that ends first.
func (k *Keep) bottles(l *Log) {
	all := &l.Bottles
	k.Counted = all.Counted
	if all.Emptied != nil {
		k.EmptiedAt = all.Emptied.When
	}
	since := func(x *batch.Bottle) time.Time {
		if k.Since == FromBottling && x.Bottled != nil {
			return x.Bottled.When
		}
		return k.SinceAt
	}
	for i := range all.List {
		switch x := &all.List[i]; {
		case x.Emptied != nil || all.Emptied != nil:
		case x.Opened == nil && x.Bottled == nil: // a later number was spoken of, and nothing of this one
		case x.Opened == nil:
			k.Sealed++
			first := func(to *time.Time, kept *Kept) {
				if u := k.usable(kept, since(x), time.Time{}); to.IsZero() || u.Before(*to) {
					*to = u
				}
			}
			first(&k.SealedUntil, &k.Advised)
			first(&k.SealedSafe, &k.Safe)
		default:
			o := OpenBottle{Number: x.Number, At: x.Opened.When}
			o.Until, o.Safe = k.usable(&k.Advised, since(x), o.At), k.usable(&k.Safe, since(x), o.At)
			o.Past = !o.Until.IsZero() && l.Now.After(o.Until)
			k.Open = append(k.Open, o)
		}
	}
	slices.SortStableFunc(k.Open, func(x, y OpenBottle) int {
		if x.Until.IsZero() != y.Until.IsZero() {
			return map[bool]int{true: 1, false: -1}[x.Until.IsZero()]
		}
		return x.Until.Compare(y.Until)
	})
	if len(k.Open) > 0 {
		k.OpenedAt = k.Open[0].At
	}
}

// From is to which days it would be at its best and sound, sealed, if it were closed at a
// moment; zero where there is none.
func (k *Keep) From(t time.Time) (best, safe time.Time) {
	if k.Advised.Place == "" {
		return best, safe
	}
	safe = k.usable(&k.Safe, t, time.Time{})
	if best = k.usable(&k.Advised, t, time.Time{}); best.Equal(safe) {
		best = time.Time{}
	}
	return best, safe
}
