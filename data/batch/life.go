package batch

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"steepbook/data/quantity"
)

// This file says how far a batch has come: what was logged beats what stands under
// [finish] and the volumes under [measured], which have no moment of their own.

// strainings are the moments at which everything came out of the jar, in the order of
// time: strained as logged, else as [finish] has it; and what was bottled or is gone is
// out, whoever forgot to say so.
func (b *Batch) strainings() []*Stage {
	var all []*Stage
	for _, s := range b.Strainings {
		if len(s.Names) == 0 && !b.OfMix(&s) {
			all = append(all, &Stage{s.Hours, s.When, KindStrained})
		}
	}
	if len(all) == 0 && b.Finish.Strained != nil {
		all = append(all, b.Finish.Strained)
	}
	if bottled := b.BottledAt(); bottled != nil {
		all = append(all, bottled)
	}
	for _, x := range b.Emptyings {
		if x.Bottle == 0 {
			all = append(all, &Stage{x.Hours, x.When, KindEmptied})
		}
	}
	inTime(all)
	return all
}

func inTime(all []*Stage) {
	slices.SortStableFunc(all, func(x, y *Stage) int { return cmp.Compare(x.Hours, y.Hours) })
}

// Implied reports of a straining whether it is only known by what came after it.
func (s *Stage) Implied() bool { return s.Key == KindBottled || s.Key == KindEmptied }

// StrainedAt is when everything came out: the last straining, or where none is known the
// moment by which it was out; nil where nobody says. Botanicals may have come out one by
// one before.
func (b *Batch) StrainedAt() *Stage {
	var last *Stage
	for _, s := range b.strainings() {
		if last == nil || !s.Implied() {
			last = s
		}
	}
	return last
}

// wentInSince reports whether something went in after an hour and by another, to steep or to be mixed.
func (b *Batch) wentInSince(hours, by float64) bool {
	return b.steepedSince(hours, by) ||
		slices.ContainsFunc(b.Additives, func(x Added) bool { return x.Hours >= hours && x.Hours < by })
}

// OfMix reports whether a straining is of what was mixed, as of curds: everything was out of the jar before
// it, or nothing was ever in, and nothing steeped since.
func (b *Batch) OfMix(s *Straining) bool {
	mixed := slices.ContainsFunc(b.Additives, func(x Added) bool { return b.inOrder(x.line(), s.line()) < 0 })
	return mixed && !b.steepedSince(math.Inf(-1), s.Hours) ||
		slices.ContainsFunc(b.Strainings, func(o Straining) bool {
			return len(o.Names) == 0 && b.inOrder(o.line(), s.line()) < 0 && !b.steepedSince(o.Hours, s.Hours)
		})
}

// Filtered is how often what was mixed was strained by the log before something went into it, by an hour
// where x is nil.
func (b *Batch) Filtered(x *Added, nowH float64) (times int) {
	for _, s := range b.Strainings {
		if b.OfMix(&s) && (x == nil && by(s.Hours, nowH) || x != nil && b.inOrder(s.line(), x.line()) < 0) {
			times++
		}
	}
	return times
}

// steepedSince reports whether a botanical went in after an hour and by another.
func (b *Batch) steepedSince(hours, by float64) bool {
	return slices.ContainsFunc(b.Botanicals, func(h Botanical) bool { return h.In > hours && h.In <= by })
}

// MayStrain reports whether everything may be logged as strained by an hour, were it only to say
// how much there is: it was not yet, or something went in since, and nothing is bottled.
func (b *Batch) MayStrain(nowH float64) bool {
	return len(b.Botanicals) > 0 && b.Finish.Strained == nil && b.BottledAt() == nil &&
		!slices.ContainsFunc(b.Strainings, func(s Straining) bool {
			return len(s.Names) == 0 && !b.wentInSince(s.Hours, nowH)
		})
}

// TasteEnds reports whether something is to steep on in the bottle of which a strength is wanted, so that its
// taste has an end there.
func (b *Batch) TasteEnds() bool {
	return slices.ContainsFunc(b.Botanicals, func(e Botanical) bool { return e.LeaveIn && e.Target != nil })
}

// BottledAt is when the first of it was bottled, nil where nobody says.
func (b *Batch) BottledAt() *Stage {
	var first *Stage
	for _, x := range b.Bottlings {
		if first == nil || x.Hours < first.Hours {
			first = &Stage{x.Hours, x.When, KindBottled}
		}
	}
	if first == nil {
		return b.Finish.Bottled
	}
	return first
}

// Finished reports whether by so many hours after the start nothing more goes in: it is bottled
// or all gone, or the drink was measured as it is and nothing steeps in it.
func (b *Batch) Finished(nowH float64) bool {
	bottled := b.BottledAt()
	return bottled != nil && by(bottled.Hours, nowH) || b.Bottles(nowH).Emptied != nil ||
		b.ReadWhole() && !b.InJar(nowH)
}

// NeverIn reports whether what was to go in at an hour never did: by nowH hours after the start
// it was bottled, and that was before.
func (b *Batch) NeverIn(inH, nowH float64) bool {
	bottled := b.BottledAt()
	return bottled != nil && by(bottled.Hours, nowH) && bottled.Hours < inH
}

// filledOf is what had joined what was left over last when bottles were filled of that, nil where nothing had.
func (b *Batch) filledOf(x *Bottling) (last *Added) {
	for i := range b.Additives {
		y := &b.Additives[i]
		if y.Bottle > 0 || b.inOrder(y.line(), x.line()) > 0 ||
			last != nil && b.inOrder(y.line(), last.line()) < 0 {
			continue
		}
		if j := b.joins(y); j.AwayML > 0 && j.To == LeftOver {
			last = y
		}
	}
	return last
}

func millilitres(a *quantity.Amount) *float64 {
	_, ml, _, _ := a.Millilitres()
	return &ml
}

// Bottle is one bottle of a batch. Its moments are nil where they have not come.
type Bottle struct {
	Number                   int              // from 1, through all bottlings
	Of                       *quantity.Amount // nil: nobody said how large it is
	Bottled, Opened, Emptied *Stage
	// From is the open bottle that it was filled out of, 0: none. It is as old as that, and as long open.
	From int
	// Pour is that of what had joined what was left over last when it was filled of that, from 1; 0: nothing.
	// Joined tells it alone.
	Pour     int
	bottling *Bottling
}

// Sealed reports whether it is full and closed.
func (x *Bottle) Sealed() bool { return x.Opened == nil && x.Emptied == nil }

// poursOut reports whether something can be poured out of it.
func (x *Bottle) poursOut() bool { return x.Opened != nil && x.Emptied == nil }

// Bottles are the bottles of a batch at a moment.
type Bottles struct {
	// List is every bottle that is known of. Counted: there are no others.
	List    []Bottle
	Counted bool
	// Emptied is when the last of it was gone, nil while there is some.
	Emptied *Stage
}

// Bottles are the bottles as they are nowH hours after the start.
func (b *Batch) Bottles(nowH float64) Bottles {
	var out Bottles
	// A number stands on a bottle, so one that is logged later has a later one, whenever it was filled.
	bottlings := quantity.Those(b.Bottlings, func(x *Bottling) bool { return by(x.Hours, nowH) })
	out.Counted = len(bottlings) > 0
	for i := range bottlings {
		x := &bottlings[i]
		out.Counted = out.Counted && x.Bottles > 0
		for range x.Bottles {
			out.List = append(out.List, Bottle{Number: len(out.List) + 1, Of: b.sizeOf(x),
				Bottled: &Stage{x.Hours, x.When, KindBottled}, From: x.From, bottling: x})
		}
	}
	openings := reached(b.Openings, nowH, func(x *Opening) float64 { return x.Hours })
	emptyings := reached(b.Emptyings, nowH, func(x *Emptying) float64 { return x.Hours })
	for _, x := range emptyings {
		if x.Bottle > 0 {
			out.at(x.Bottle).Emptied = &Stage{x.Hours, x.When, KindEmptied}
		} else if out.Emptied == nil {
			out.Emptied = &Stage{x.Hours, x.When, KindEmptied}
		}
	}
	for _, x := range openings {
		if x.Bottle > 0 {
			out.at(x.Bottle).Opened = &Stage{x.Hours, x.When, KindOpened}
		}
	}
	for _, x := range openings {
		if x.Bottle == 0 {
			next, _ := out.sealed(x.Hours)
			out.at(next).Opened = &Stage{x.Hours, x.When, KindOpened}
		}
	}
	if o := b.Finish.Opened; o != nil && by(o.Hours, nowH) {
		if next, there := out.sealed(o.Hours); there || !out.Counted {
			out.at(next).Opened = o
		}
	}
	for i := range out.List {
		if x := &out.List[i]; x.From > 0 {
			x.Opened = cmp.Or(out.at(x.From).Opened, x.Opened)
		}
	}
	last := &Stage{Hours: math.Inf(-1)}
	for i := range out.List {
		switch e := out.List[i].Emptied; {
		case e == nil:
			return out
		case e.Hours >= last.Hours:
			last = e
		}
	}
	if out.Emptied == nil && out.Counted && len(out.List) > 0 {
		out.Emptied = last
	}
	return out
}

// reached are the entries up to a moment, in the order of time.
func reached[T any](list []T, nowH float64, hours func(*T) float64) []T {
	list = quantity.Those(list, func(x *T) bool { return by(hours(x), nowH) })
	sort.SliceStable(list, func(i, j int) bool { return hours(&list[i]) < hours(&list[j]) })
	return list
}

// at is the bottle of a number, which is there because it is spoken of.
//
//go:noinline
func (s *Bottles) at(number int) *Bottle {
	for len(s.List) < number {
		s.List = append(s.List, Bottle{Number: len(s.List) + 1})
	}
	return &s.List[number-1]
}

// sealed is the number of the first bottle that was sealed at an hour; there is false
// where that would be one more than are known of.
func (s *Bottles) sealed(hours float64) (number int, there bool) {
	for i := range s.List {
		if x := &s.List[i]; x.Opened == nil && x.From == 0 && (x.Emptied == nil || x.Emptied.Hours >= hours) {
			return x.Number, true
		}
	}
	return len(s.List) + 1, false
}

// LastH is the last hour of the jar until one at which something went into it or was tasted.
func (b *Batch) LastH(until float64) float64 {
	last := 0.0
	did := func(hours float64) {
		if hours <= until {
			last = math.Max(last, hours)
		}
	}
	for i := range b.Botanicals {
		did(b.Botanicals[i].In)
	}
	for i := range b.Tastings {
		did(b.Tastings[i].Hours)
	}
	return last
}

// OfJar reports whether a tasting is of the jar as it steeps, so that it says how fast
// things come. One of the bottle does not, nor one of a liquor that something was added to.
func (b *Batch) OfJar(t *Tasting) bool {
	if b.OfBottle(t) {
		return false
	}
	return !slices.ContainsFunc(b.Additives,
		func(x Added) bool { return b.inOrder(x.line(), t.line()) < 0 && !b.InJar(x.Hours) })
}

// TakenH is the hour of the liquid that a tasting is of: with what went in at that very hour only
// where that was logged before it.
func (b *Batch) TakenH(t *Tasting) float64 {
	if slices.ContainsFunc(b.Additives,
		func(x Added) bool { return x.Hours == t.Hours && b.inOrder(x.line(), t.line()) < 0 }) {
		return t.Hours
	}
	return math.Nextafter(t.Hours, 0)
}

// OfBottle reports whether a tasting is of what was bottled by then.
func (b *Batch) OfBottle(t *Tasting) bool {
	if len(b.Bottlings) == 0 {
		return b.Finish.Bottled != nil && t.Hours >= b.Finish.Bottled.Hours
	}
	return slices.ContainsFunc(b.Bottlings,
		func(x Bottling) bool { return b.inOrder(x.line(), t.line()) < 0 })
}

// WentIn is when an addition went in as far as is known: by its entry, or as it says itself, or as logged,
// or when the last of the batch came out, was strained, else bottled; its start where nobody says.
func (b *Batch) WentIn(e *Addition) time.Time {
	untold := b.Started
	if out := b.AllOut(); out != nil {
		untold = out.When
	}
	return b.wentIn(e, untold)
}

// GoesIn is the last moment by which an addition goes in, at an hour or later: as WentIn where somebody says, else
// when it was bottled, else that hour, or that by which all is out if it is later.
func (b *Batch) GoesIn(e *Addition, nowH float64) time.Time {
	last := b.At(max(nowH, 0))
	switch {
	case b.BottledAt() != nil && b.BottledAt().Hours <= nowH:
		last = b.BottledAt().When
	case len(b.Botanicals) == 0: // mixed at its start
		last = b.Started
	}
	if out := b.AllOut(); out != nil && out.When.After(last) {
		last = out.When
	}
	return b.wentIn(e, last)
}

func (b *Batch) wentIn(e *Addition, untold time.Time) time.Time {
	first := math.Inf(1)
	for _, x := range b.Additives {
		if x.Name == e.Name {
			first = math.Min(first, x.Hours)
		}
	}
	switch {
	case e.Logged:
		return b.Additives[e.Index].When
	case e.In != nil:
		return b.At(*e.In)
	case !math.IsInf(first, 1):
		return b.At(first)
	}
	return untold
}

// Base names what the botanicals steep in, "grape brandy 57 %".
func (b *Batch) Base() string {
	var names []string
	for _, s := range b.Spirits {
		if s.Name == "" {
			s.Name = "spirit"
		}
		names = append(names, s.Label())
	}
	return strings.Join(names, " + ")
}
