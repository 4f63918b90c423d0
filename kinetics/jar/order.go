package jar

import (
	"math"

	"steepbook/kinetics"
)

// Do is what an order tells the maker to do.
type Do string

// The orders.
const (
	Leave   Do = "leave"   // it stays in, untasted, until ByH
	Taste   Do = "taste"   // the next tasting decides
	Pull    Do = "pull"    // it comes out now
	Strain  Do = "strain"  // it comes out now, with all that can only be strained
	Out     Do = "out"     // it is out
	Stays   Do = "stays"   // it stays in the bottle
	Nothing Do = "nothing" // nothing comes of it: time will not help
)

// Why is the reason of an order: what ends the steep of a flavour, or ended it.
type Why string

// The reasons.
const (
	Untasted Why = "untasted" // nobody has tasted it: the usual range alone
	Enough   Why = "enough"   // the strength wanted
	Over     Why = "over"     // clearly past it: it is, or it was when it came out
	Passes   Why = "passes"   // short of it even when best, for it could pass it
	Little   Why = "little"   // what is still to come is not worth the wait
	Sleep    Why = "sleep"    // short of it, and what is better lies in the night
	AllThere Why = "all"      // as strong as it gets
	Spoils   Why = "spoils"   // the unwanted taste or fault named by Blame
	Fades    Why = "fades"    // it was at its best and has come down
	NoneYet  Why = "none"     // nothing has come
	Forbid   Why = "forbid"   // it must not be steeped
	Unsafe   Why = "unsafe"   // the jar as it is may stand no longer
)

// Night is what the night does to an order.
type Night string

// What it does.
const (
	GetUp Night = "up"    // its moment lies in the night, and is worth getting up for
	Moved Night = "moved" // its moment would lie in the night, and was moved out of it
)

// NextWhy is the reason of the next tasting.
type NextWhy string

// Why to taste.
const (
	FirstLook NextWhy = "first"   // few jars are ready by then
	Again     NextWhy = "again"   // its last score speaks against all else that is known
	Decides   NextWhy = "decides" // its score says whether to pull
)

// Order is what to do about one flavour, and why. All times are hours since the
// start of the jar; +Inf stands for never, and for what does not apply.
type Order struct {
	Do  Do
	Why Why
	// Blame names the unwanted taste or fault when Why is Spoils.
	Blame string
	// ByH is when to take it out untasted: set for Leave, now for Pull and Strain.
	ByH float64
	// FromH, BestH and UntilH are when the expected loss is within half a point
	// squared of its least, and least; what no taster could tell apart. Of what is
	// out they say when it would have been right. Of what nobody has tasted, and so
	// is not to come out yet, the loss is that of the strength it is expected to have.
	FromH, BestH, UntilH float64
	// Bedtime: UntilH is the last hour at which somebody is up; it would be right for longer.
	Bedtime bool
	// Crossing is when the strength wanted in the bottle (or most of what there
	// is to get, without one; or the limit of an unwanted taste) is first reached.
	Crossing kinetics.Wait
	// Never is the chance that it never is.
	Never float64
	// TasteH is when its own next tasting is worth most, now where that has gone by,
	// TasteWhy why; DueH is the same where it was: it moves with no clock.
	TasteH   float64
	DueH     float64
	TasteWhy NextWhy
	// LateH is to when that tasting may wait at a loss that no taster could tell: later, it is late. Of a
	// second score it is DueH.
	LateH float64
	// Night is what the night does to ByH of what is left in, and to DueH of what is tasted.
	Night Night
	// Overdue: it is in the jar and clearly worse than it was.
	Overdue bool
	// Of what nobody has tasted: Late says that it has been in for longer than makers leave
	// it, and than it should be for its strength; Much that by its dose it is believed past
	// the strength wanted when it is first tasted.
	Late, Much bool
	// Over is the chance that it is above the strength wanted, or its limit, now.
	Over float64
}

// EdgeDoubtH is the doubt about the ends of its stretch at an hour, in hours: ahead they
// are no sharper than it is long; an end alone is told more finely the nearer it is.
func (o *Order) EdgeDoubtH(nowH float64) float64 {
	switch {
	case o.FromH <= nowH:
		return (o.UntilH - nowH) / 4
	case math.IsInf(o.UntilH, 1):
		return (o.FromH - nowH) / 4
	}
	return o.UntilH - o.FromH
}

// DoubtH is half the stretch in which it may as well come out, in hours: how far its best
// time may be missed. A stretch without an end counts to four times that, and nothing of the last hour to
// which the jar may stand.
func (o *Order) DoubtH() float64 {
	if o.Why == Unsafe {
		return 0
	}
	return (min(o.UntilH, 4*o.BestH) - o.FromH) / 2
}

// TooLate reports whether the jar may stand no longer by the time it would go in.
func (o *Order) TooLate() bool { return o.Do == Nothing && o.Why == Unsafe }

// Exceeds reports whether an unwanted taste is likelier over its limit than not.
func (o *Order) Exceeds() bool { return o.Over > 0.5 }

// Short reports whether it more likely than not never reaches the strength wanted.
func (o *Order) Short() bool { return o.Never > 0.5 }
