package batch

import (
	"cmp"
	"math"
	"slices"

	"steepbook/data/quantity"
)

// This file says what something joined that went in once the drink was bottled.

// Joined is what something joined by the log, nowH hours after the start being now: of the level of a bottle
// that was open nobody knows but the maker who measured it.
func (b *Batch) Joined(x *Added, nowH float64) Joins {
	j, now := b.joins(x), b.Bottles(nowH)
	if j.NowML = now.AwayML(); math.IsInf(j.NowML, 1) { // of which nobody knows how much that is
		j.NowML = j.AwayML
	}
	j.ReadML = b.measuredML(x)
	if x.Into != nil {
		j.IntoML = *millilitres(x.Into)
	}
	for i := range j.Bottles {
		y := &j.Bottles[i]
		y.Emptied = now.at(y.Number).Emptied
		if y.bottling != nil {
			if of := b.filledOf(y.bottling); of != nil {
				y.Pour = b.pour(of) + 1
			}
		}
	}
	j.Pour = b.pour(x)
	return j
}

// pour is the place in the log of the first of what went in together with something.
func (b *Batch) pour(x *Added) (n int) {
	n = len(b.Additives)
	for i := range b.Additives {
		if y := &b.Additives[i]; y.With(x) {
			n = min(n, b.place(y))
		}
	}
	return n
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
//
//go:noinline
func (s *Bottles) Joins(number int) Joins {
	j := Joins{AwayML: s.AwayML()}
	if number > 0 {
		j.AwayML, j.Bottles = math.Inf(1), []Bottle{*s.at(number)} // and nothing that was left over
	} else {
		j.Bottles = quantity.Those(s.List, func(x *Bottle) bool { return x.Opened != nil && x.Emptied == nil })
	}
	switch len(j.Bottles) {
	case 0:
		j.To = LeftOver
	case 1:
		j.To = j.Bottles[0].Number
	}
	return j
}

// joins is what something joined, of what was there by then.
func (b *Batch) joins(x *Added) Joins {
	before := b.bottlesBefore(x)
	j := before.Joins(x.Bottle)
	j.To = cmp.Or(x.joined, j.To)
	return j
}

// LeftOver stands for the number of a bottle where what no bottle holds is spoken of.
const LeftOver = -1

// Settled is the batch with it decided what everything joined that went into a measured amount while bottles
// were open, without a word into which: an open bottle that held so much by then, else what was left over;
// where there was so much in none, what held most. levels tells of the batch with the bottles of the log
// by then the most that each of the open ones held, and that was left over, so that no later entry moves it;
// none where nobody knows. Of several bottles that held so much nobody knows which it was. What was bottled while
// bottles were open, and more than was in none by overfull, can have come out of one of those alone.
func (b *Batch) Settled(levels func(was *Batch, x *Added) (openML []float64, leftML float64),
	overfull func(was *Batch) bool) *Batch {
	b = b.pouredOut(overfull)
	out := b
	for _, x := range b.AddedBy(math.Inf(1)) {
		j := out.joins(&x)
		if x.Bottle > 0 || x.Into == nil || len(j.Bottles) == 0 {
			continue
		}
		if out == b {
			own := *b
			own.Additives, out = slices.Clone(b.Additives), &own
		}
		open, left := levels(out.asOf(x.line()), &x)
		out.Additives[x.Index].joined = fullest(j.Bottles, open, left, *millilitres(x.Into)/(1+FullSlack))
	}
	return out
}

// pouredOut is the batch with it decided which bottles were filled out of an open one, of several out of the one
// that was open the longest.
func (b *Batch) pouredOut(overfull func(was *Batch) bool) *Batch {
	out := b
	for i := range b.Bottlings {
		x, from := &b.Bottlings[i], (*Bottle)(nil)
		was := out.asOf(x.line())
		before := was.Bottles(x.Hours)
		for n := range before.List {
			y := &before.List[n]
			if y.poursOut() && y.From == 0 && y.bottling != nil && y.bottling.Index != x.Index &&
				(from == nil || y.Opened.Hours < from.Opened.Hours) {
				from = y
			}
		}
		if from == nil || x.From > 0 || !overfull(was) {
			continue
		}
		if out == b {
			own := *b
			own.Bottlings, out = slices.Clone(b.Bottlings), &own
		}
		out.Bottlings[i].From = from.Number
	}
	return out
}

// fullest is which of the bottles that hold so much holds at least ml, else LeftOver where that is more; 0:
// several, or nobody knows.
func fullest(open []Bottle, holdML []float64, leftML, ml float64) (number int) {
	if len(holdML) == 0 {
		return 0
	}
	if most := slices.Max(holdML); most < ml {
		if leftML > most {
			return LeftOver
		}
		ml = most
	}
	for i, held := range holdML {
		switch {
		case held < ml:
		case number != 0:
			return 0
		default:
			number = open[i].Number
		}
	}
	return number
}

// asOf is the batch with the bottles of the log by one of its lines, and that of it.
func (b *Batch) asOf(x Line) *Batch {
	later := func(kind string, index int, hours float64) bool {
		return b.inOrder(x, Line{Kind: kind, Hours: hours, Index: index}) < 0
	}
	q := *b
	q.Bottlings = quantity.Those(b.Bottlings,
		func(y *Bottling) bool { return !later(KindBottled, y.Index, y.Hours) })
	q.Openings = quantity.Those(b.Openings,
		func(y *Opening) bool { return !later(KindOpened, y.Index, y.Hours) })
	q.Emptyings = quantity.Those(b.Emptyings,
		func(y *Emptying) bool { return !later(KindEmptied, y.Index, y.Hours) })
	return &q
}

// bottlesBefore are the bottles as they were when something went in.
func (b *Batch) bottlesBefore(x *Added) Bottles { return b.asOf(x.line()).Bottles(x.Hours) }

// MayHold reports whether a bottle, or LeftOver, may hold some of what went in: it was open by then, or was
// filled later, and it is neither said nor decided that something else does.
func (b *Batch) MayHold(x *Added, number int) bool {
	if of := b.pouredOff(number); of != nil && b.inOrder(x.line(), of.line()) < 0 {
		return b.MayHold(x, of.From)
	}
	if to := cmp.Or(x.Bottle, x.joined); to > 0 {
		return to == number
	}
	before := b.bottlesBefore(x)
	return !slices.ContainsFunc(before.List, func(y Bottle) bool {
		return y.Number == number && (x.joined == LeftOver || y.Away())
	})
}

// pouredOff is the bottling by which a bottle was poured out of another, nil of any other.
func (b *Batch) pouredOff(number int) *Bottling {
	all := b.Bottles(math.Inf(1))
	if number < 1 || number > len(all.List) || all.List[number-1].From == 0 {
		return nil
	}
	return all.List[number-1].bottling
}

// Away reports whether what goes into the drink joins none of a bottle.
func (x *Bottle) Away() bool { return x.Bottled != nil && (x.Opened == nil || x.Emptied != nil) }

// AwayML is what bottles hold or held, so that it is not left over, mL: 0 where nobody counted them, without
// end where the size of one is not known.
func (s *Bottles) AwayML() (ml float64) {
	for i := range s.List {
		switch x := &s.List[i]; {
		case x.Bottled == nil, x.From > 0: // that is in the bottle that it came out of
		case x.Of == nil:
			return math.Inf(1)
		default:
			ml += *millilitres(x.Of)
		}
	}
	return ml
}
