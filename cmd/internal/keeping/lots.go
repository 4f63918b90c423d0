package keeping

import (
	"slices"
	"time"
)

// Lot are bottles with the same days to which they are advised and safe, zero where there is none, by their
// numbers: those that are sealed, one that is open, or below 0 what was left over where that is a drink of
// its own. Own: something joined it that is not in all.
type Lot struct {
	Numbers     []int
	Until, Safe time.Time
	Own         bool
	clock       *clock
}

// Over reports whether its day is over by what grows, Past whether that is or its taste.
func (x *Lot) Over(now time.Time) bool { return sooner(x.Safe, now) }

// Past is described at Over.
func (x *Lot) Past(now time.Time) bool { return sooner(x.Until, now) }

// Lots are all that are known of and hold something, those that are open first: every answer asks here which
// of them are past their day.
func (k *Keep) Lots() (list []*Lot) {
	for i := range k.Open {
		o := &k.Open[i]
		list = append(list, &Lot{[]int{o.Number}, o.Until, o.Safe, false, &o.clock})
	}
	return append(list, k.Rest...)
}

// lot is the one of those that are not open that a bottle is of, nil where none is.
func (k *Keep) lot(number int) *Lot {
	for _, x := range k.Rest {
		if slices.Contains(x.Numbers, number) {
			return x
		}
	}
	return nil
}

// runBy has its days run as those of a lot.
func (k *Keep) runBy(x *Lot) {
	if x.clock != nil {
		k.clock, k.Since, k.SinceAt = *x.clock, x.clock.since, x.clock.grows.from
	}
}

// lay adds a lot to those that are not open, to one with the same days where there is one.
func (k *Keep) lay(x *Lot) {
	x.Numbers = slices.Clip(x.Numbers)
	for _, y := range k.Rest {
		if y.Numbers[0] > 0 && x.Numbers[0] > 0 && y.Until.Equal(x.Until) && y.Safe.Equal(x.Safe) {
			y.Numbers, y.Own = append(y.Numbers, x.Numbers...), y.Own && x.Own
			slices.Sort(y.Numbers)
			return
		}
	}
	k.Rest = append(k.Rest, x)
	for i := len(k.Rest) - 1; i > 0 && sooner(x.Until, k.Rest[i-1].Until); i-- {
		k.Rest[i], k.Rest[i-1] = k.Rest[i-1], x
	}
}

// Sealed is how many bottles are known to be sealed.
func (k *Keep) Sealed() (count int) {
	for _, x := range k.SealedLots() {
		count += len(x.Numbers)
	}
	return count
}

// SealedLots are those of them that are sealed.
func (k *Keep) SealedLots() (list []*Lot) {
	for _, x := range k.Rest {
		if x.Numbers[0] > 0 {
			list = append(list, x)
		}
	}
	return list
}

// First are the days to which the first of some lots is advised, and the first is safe.
func First(of []*Lot) (advised, safe time.Time) {
	for _, x := range of {
		advised, safe = earlier(advised, x.Until), earlier(safe, x.Safe)
	}
	return advised, safe
}

// Spoken are the numbers of those that it speaks of, and of all others: those past their day where some are,
// else those past their best, of the open ones where one is, else those whose days it tells.
func (k *Keep) Spoken(now time.Time) (those, others []int) {
	opened := len(k.Open) > 0 && !k.OpenedAt.IsZero()
	for i, x := range k.Lots() {
		is := x.Until.Equal(k.Advised.Until)
		switch {
		case k.alone || !k.Past && opened:
			is = i == 0
		case k.SafePast:
			is = x.Over(now)
		case k.Past:
			is = x.Past(now) && (i < len(k.Open) || !opened)
		case k.LeftOver():
			is = x.Numbers[0] < 0
		}
		to := &others
		if is {
			to = &those
		}
		*to = append(*to, x.Numbers...)
	}
	slices.Sort(those)
	slices.Sort(others)
	return those, others
}

// FirstSafe is the day to which the first of those that it speaks of is safe, zero where none has one.
func (k *Keep) FirstSafe(now time.Time) (first time.Time) {
	those, _ := k.Spoken(now)
	for _, x := range k.Lots() {
		if slices.Contains(those, x.Numbers[0]) {
			first = earlier(first, x.Safe)
		}
	}
	return first
}

// LastOver is the last day of those that are over.
func (k *Keep) LastOver(now time.Time) (last time.Time) {
	for _, x := range k.Lots() {
		if x.Over(now) && x.Safe.After(last) {
			last = x.Safe
		}
	}
	return last
}

// Stay is what stays in a bottle and may lie in it to a day alone, each to its own, the first on top. Before says
// what of the days of that was over before it went in. Late is what lies in it past its own day by the log, and is
// to come out before anything else is done.
type Stay struct {
	Outs   []Out
	Before string
	Late   []string
}

// Out is what may lie in it to a moment.
type Out struct {
	Names []string
	By    time.Time
}

// OutBy is the first of their days, zero where nothing has one.
func (s *Stay) OutBy() time.Time {
	if len(s.Outs) == 0 {
		return time.Time{}
	}
	return s.Outs[0].By
}

// Stronger is what has got too strong in it and is to come out before anything else is done, but to find out
// whether the rest is in.
func (k *Keep) Stronger(now time.Time) []string {
	if s := &k.TooStrong; len(s.Outs) > 0 && now.After(s.OutBy()) && !k.OverIfMixed {
		return s.Due(now).Names
	}
	return nil
}

// Of is the day to which something of that name may lie in it, zero where it has none.
func (s *Stay) Of(name string) time.Time {
	for _, x := range s.Outs {
		if slices.Contains(x.Names, name) {
			return x.By
		}
	}
	return time.Time{}
}

// Due is what is to come out first: all that is past its day, else what has the first one.
func (s *Stay) Due(now time.Time) (out Out) {
	for i, x := range s.Outs {
		if i == 0 || x.By.Before(now) {
			out = Out{append(out.Names, x.Names...), s.OutBy()}
		}
	}
	return out
}

// ComesOutBy is what is to come out of it by a day on which its days end, nil where something else ends them.
func (k *Keep) ComesOutBy(day time.Time) *Stay {
	for _, s := range []*Stay{&k.Stay, &k.TooStrong} {
		if !day.IsZero() && s.OutBy().Equal(day) {
			return s
		}
	}
	return nil
}

// Lies adds what lies in it and may to a moment, by a count that began before it went in.
func (s *Stay) Lies(name, before string, to, now time.Time) {
	if !now.After(to) {
		s.with(&Stay{Outs: []Out{{[]string{name}, to}}, Before: before})
	} else {
		s.with(&Stay{Late: []string{name}})
	}
}

// with adds what lies in it besides.
func (s *Stay) with(x *Stay) {
	if sooner(x.OutBy(), s.OutBy()) {
		s.Before = x.Before
	}
	for _, out := range x.Outs {
		for _, name := range out.Names {
			s.Stays(name, out.By)
		}
	}
	for _, name := range x.Late {
		if !slices.Contains(s.Late, name) {
			s.Late = append(slices.Clip(s.Late), name)
		}
	}
}

// Later is that of another jar like it, started so much later.
func (s Stay) Later(by time.Duration) Stay {
	later := Stay{Before: s.Before}
	for _, out := range s.Outs {
		later.Outs = append(later.Outs, Out{out.Names, out.By.Add(by)})
	}
	return later
}

// Stays adds what may lie in it to a moment, to what has the same day. Of one name the first day stands.
func (s *Stay) Stays(name string, to time.Time) {
	var outs []Out
	for _, out := range s.Outs {
		if i := slices.Index(out.Names, name); i >= 0 {
			to = earlier(to, out.By)
			out.Names = slices.Delete(slices.Clone(out.Names), i, i+1)
		}
		if len(out.Names) > 0 {
			outs = append(outs, out)
		}
	}
	at := slices.IndexFunc(outs, func(x Out) bool { return Evening(x.By).Equal(Evening(to)) })
	if at < 0 {
		outs = append(outs, Out{By: to})
		at = len(outs) - 1
	}
	of := &outs[at]
	of.Names, of.By = append(slices.Clip(of.Names), name), earlier(of.By, to)
	slices.SortStableFunc(outs, func(x, y Out) int { return x.By.Compare(y.By) })
	s.Outs = outs
}
