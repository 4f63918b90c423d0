package book

import (
	"fmt"
	"math"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// oddBottling says what is odd about what was bottled at an hour, the last thing in the
// log: something steeps still by what was logged before, or the bottles hold more than
// there can have been. before is the batch without it, f what it filled. It is a sentence
// without its full stop, "" where nothing is odd.
func oddBottling(before *batch.Batch, hours float64, f *recipe.Filled) string {
	var in []string
	for i := range before.Botanicals {
		e := &before.Botanicals[i]
		if _, out := before.OutBy(e, hours); !out && !e.LeaveIn && e.In <= hours {
			in = append(in, e.Name)
		}
	}
	if len(in) > 0 {
		return fmt.Sprintf("by the log, the %s %s still in the jar", quantity.And(in),
			quantity.Verb(len(in), "is", "are"))
	}
	if f == nil || !f.TooMuch {
		return ""
	}
	var bottles []string
	for _, s := range f.Sizes {
		bottles = append(bottles,
			fmt.Sprintf("%s of %.0f~ml", quantity.Counted(s.Count, "bottle", "bottles"), s.SizeML))
	}
	return fmt.Sprintf("%s: that is %s, and there is about %s of it", quantity.And(bottles), recipe.Litres(f.HoldML),
		recipe.Litres(f.YieldML))
}

// oddSource asks after a bottling that nobody said was out of an open bottle, and that can have come out of
// nothing else by what is settled. It is a sentence without its full stop, "" where nothing is odd.
func oddSource(grown, settled *batch.Batch, index int) string {
	from := settled.Bottlings[index].From
	if from == 0 || grown.Bottlings[index].From > 0 {
		return ""
	}
	return fmt.Sprintf("the bottles took all that there was by then, so this was poured out of bottle %d, which is open: "+
		"if so, write --from %d; else count again, for it counts as that", from, from)
}

// oddPour says of a bottling out of an open bottle that more was poured out of that, with all that was before, than
// it held, and what joined it since. It is a sentence without its full stop, "" where it may be so.
func oddPour(b *batch.Batch, index int) string {
	from := b.Bottlings[index].From
	if from == 0 {
		return ""
	}
	out, joined, bottles := 0.0, 0.0, b.Bottles(math.Inf(1)).List
	held := most(bottles[from-1].Of)
	for i := range bottles {
		if x := &bottles[i]; x.From == from && x.Of != nil {
			out += most(x.Of)
		}
	}
	for i := range b.Additives {
		x := &b.Additives[i]
		if j := b.Joined(x, x.Hours); j.Apart() && (j.To == from || j.To == 0) {
			joined += most(&x.Amount)
		}
	}
	if out <= (1+batch.FullSlack)*held+joined {
		return ""
	}
	return fmt.Sprintf("that is %s out of bottle %d, with all that was poured out of it, and it held no more than %s",
		recipe.Litres(out), from, recipe.Litres(held+joined))
}

// most is the most room that an amount may take, mL; without end where nobody knows.
func most(a *quantity.Amount) float64 {
	if a != nil {
		if _, _, ml, ok := a.Millilitres(); ok {
			return ml
		}
		if _, _, g, ok := a.Grams(); ok {
			return g / 0.8 // strong spirit is as light
		}
	}
	return math.Inf(1)
}

// oddBottle says what is odd about a line of the log that opens or empties a bottle which
// nobody counted: nothing is bottled by then, or it would be one more than the yield can
// have filled. It is a sentence without its full stop, "" where nothing is odd.
func oddBottle(b *batch.Batch, blend *recipe.Blend, l *batch.Line) string {
	number := 0
	switch l.Kind {
	case batch.KindOpened:
		number = b.Openings[l.Index].Bottle
	case batch.KindEmptied:
		if number = b.Emptyings[l.Index].Bottle; number == 0 {
			return "" // all of it, wherever it was
		}
	default:
		return ""
	}
	bottled := b.BottledAt()
	if bottled == nil && !b.ReadWhole() || bottled != nil && bottled.Hours > l.Hours {
		return "by the log nothing is bottled yet; log how many bottles there are first, else their numbers and " +
			"days are not known"
	}
	size := b.Finish.Bottle
	if b.Bottles(l.Hours).Counted || number == 0 || size == nil || !blend.Have() {
		return ""
	}
	ml, _, _, ok := size.Millilitres()
	if !ok || ml <= 0 {
		return ""
	}
	most := int(math.Ceil(blend.Result.VolumeML.High / ml))
	if number <= most {
		return ""
	}
	return fmt.Sprintf("nobody logged how many bottles there are, and about %s of it fill %s of %.0f~ml at most, so "+
		"there is no bottle %d", recipe.Litres(blend.Result.VolumeML.Value), quantity.Counted(most, "bottle",
		"bottles"), ml, number)
}
