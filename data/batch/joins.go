package batch

import (
	"math"
	"slices"

	"steepbook/data/quantity"
)

// This file says what something joined that went in once the drink was bottled.

// Joined is what something joined by the log, nowH hours after the start being now: of the level of a bottle
// that was open nobody knows but the maker who measured it.
func (b *Batch) Joined(x *Added, nowH float64) Joins {
	before, now := b.bottlesBefore(x), b.Bottles(nowH)
	j := before.Joins(x.Bottle)
	if j.NowML = now.AwayML(); math.IsInf(j.NowML, 1) { // of which nobody knows how much that is
		j.NowML = j.AwayML
	}
	j.ReadML = b.measuredML(x)
	if x.Into != nil {
		j.IntoML = *millilitres(x.Into)
	}
	for i := range j.Bottles {
		j.Bottles[i].Emptied = now.at(j.Bottles[i].Number).Emptied
	}
	j.Pour = len(b.Additives)
	for i := range b.Additives {
		if y := &b.Additives[i]; y.With(x) {
			j.Pour = min(j.Pour, b.place(y))
		}
	}
	return j
}

// Apart reports whether something went in after bottles were filled, so that it joined an open one or what
// was left over, and is not of the batch as it is made.
func (b *Batch) Apart(x *Added) bool {
	before := b.bottlesBefore(x)
	return before.AwayML() > 0
}

// With reports whether two things went in together, as in one command.
func (x *Added) With(y *Added) bool {
	return x.Hours == y.Hours && x.Bottle == y.Bottle && written(x.Into) == written(y.Into)
}

// place is how many things went in before, by the log.
func (b *Batch) place(x *Added) (n int) {
	for _, y := range b.Additives {
		if b.inOrder(y.line(), x.line()) < 0 {
			n++
		}
	}
	return n
}

// Joins is what would be joined by what goes in now, into the bottle of that number; 0: nobody says which.
func (s *Bottles) Joins(number int) Joins {
	j := Joins{AwayML: s.AwayML()}
	if number > 0 {
		j.AwayML, j.Bottles = math.Inf(1), []Bottle{*s.at(number)} // and nothing that was left over
		return j
	}
	for _, x := range s.List {
		if x.Opened != nil && x.Emptied == nil {
			j.Bottles = append(j.Bottles, x)
		}
	}
	return j
}

// bottlesBefore are the bottles as they were when something went in.
func (b *Batch) bottlesBefore(x *Added) Bottles {
	later := func(kind string, index int, hours float64) bool {
		return b.inOrder(x.line(), Line{Kind: kind, Hours: hours, Index: index}) < 0
	}
	q := *b
	q.Bottlings = quantity.Those(b.Bottlings,
		func(y *Bottling) bool { return !later(KindBottled, y.Index, y.Hours) })
	q.Openings = quantity.Those(b.Openings,
		func(y *Opening) bool { return !later(KindOpened, y.Index, y.Hours) })
	q.Emptyings = quantity.Those(b.Emptyings,
		func(y *Emptying) bool { return !later(KindEmptied, y.Index, y.Hours) })
	return q.Bottles(x.Hours)
}

// MayHold reports whether a bottle may hold some of what went in: it was open by then, and no other is named.
func (b *Batch) MayHold(x *Added, number int) bool {
	before := b.bottlesBefore(x)
	return !slices.ContainsFunc(before.List, func(y Bottle) bool {
		return y.Number == number && x.Bottle != number && (y.Away() || x.Bottle > 0)
	})
}

// Away reports whether what goes into the drink joins none of a bottle.
func (x *Bottle) Away() bool { return x.Bottled != nil && (x.Opened == nil || x.Emptied != nil) }

// AwayML is what bottles hold or held, so that it is not left over, mL: 0 where nobody counted them, without
// end where the size of one is not known.
func (s *Bottles) AwayML() (ml float64) {
	for i := range s.List {
		switch x := &s.List[i]; {
		case x.Bottled == nil:
		case x.Of == nil:
			return math.Inf(1)
		default:
			ml += *millilitres(x.Of)
		}
	}
	return ml
}
