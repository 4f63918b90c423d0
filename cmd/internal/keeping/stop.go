package keeping

import (
	"slices"
	"time"

	"steepbook/shelf"
)

// Stop is why nothing is to be drunk of a batch as it is: every answer asks for it here.
type Stop string

// The reasons, the gravest first.
const (
	Never   Stop = "it holds what must not be steeped"
	Ask     Stop = "it may be what must not be steeped"
	Sick    Stop = "what makes people ill or spoils it had its time in it, or it keeps nowhere"
	Untold  Stop = "whether what makes people ill had its time in it cannot be said"
	Living  Stop = "something may live in it"
	Closed  Stop = "what is alive in it makes gas in closed bottles"
	TooMuch Stop = "more of a substance is in it than its limit"
	Gone    Stop = "its days are over"
)

// Tasting is how what is left of a batch may be tasted: whoever offers a taste asks for it.
type Tasting string

// The ways, the gravest first.
const (
	NotAtAll Tasting = "not at all"
	FindOut  Tasting = "not before it is known whether it may be"
	ByDrop   Tasting = "by the drop, spat out"
	Freely   Tasting = "freely"
)

// Offered reports whether a taste may be asked for, with its caution.
func (t Tasting) Offered() bool { return t != NotAtAll }

// Tasting is how it may be tasted.
func (k *Keep) Tasting() Tasting {
	switch {
	case !k.EmptiedAt.IsZero():
		return Freely
	case k.Unfit() || k.Stop == Living || k.Stop == Gone:
		return NotAtAll
	case len(k.MayBe)+len(k.Unknown) > 0:
		return FindOut
	case k.Stop == TooMuch, k.NotYet():
		return ByDrop
	}
	return Freely
}

// Lain names the poisons by which something may lie no longer in it than it did, none of them measured; none
// where none of it is left.
func (k *Keep) Lain() (substances []string) {
	for _, c := range k.Verdict.Cautions {
		if c.LainFor != "" && k.EmptiedAt.IsZero() && !slices.Contains(substances, c.LainFor) {
			substances = append(substances, c.LainFor)
		}
	}
	return substances
}

// Unfit reports whether there is some of it, and not even a drop may be tasted; of what is not
// bottled, where anything may live in it.
func (k *Keep) Unfit() bool {
	o := k.Alive()
	return k.EmptiedAt.IsZero() &&
		(k.Stop == Never || k.Stop == Ask || k.Stop == Sick || k.Stop == Untold ||
			o != nil && (o.Cause.Named() || k.Verdict.Fails || k.BottledAt.IsZero()))
}

// stop finds why nothing may be drunk of it.
func (k *Keep) stop() Stop {
	switch v := &k.Verdict; {
	case len(k.MustNot) > 0:
		return Never
	case len(k.MayBe) > 0:
		return Ask
	case v.Verdict == shelf.VerdictDiscard && k.Advised.Place == "", k.StoodWarm:
		return Sick
	case k.Unjudged != "":
		return Untold
	case k.Alive() != nil:
		return Living
	case len(k.Gas) > 0 && k.closed():
		return Closed
	case (v.Fails || k.InJar != "") && k.SafePast:
		return Sick
	case len(k.Over) > 0:
		return TooMuch
	case k.AllPast:
		return Gone
	}
	return ""
}

// closed reports whether some of it is in bottles that nobody opened, counted or not.
func (k *Keep) closed() bool {
	return k.EmptiedAt.IsZero() && (k.Sealed() > 0 || !k.BottledAt.IsZero() && len(k.Open) == 0)
}

// Withhold settles Stop, when all else is known of the bottle, and takes back every place
// and every date of what must not be served; but what was good until a day says which, and
// how it keeps, unless that was another drink.
func (k *Keep) Withhold() {
	k.Stop, k.refused = k.stop(), k.Verdict.Verdict == shelf.VerdictDiscard
	was := k.Stop == Sick && k.InJar != "" // of another drink than this are its days
	if !k.Withheld() && !was {
		return
	}
	v := &k.Verdict
	v.Refuse()
	if k.Stop != Sick {
		v.DecidedBy, v.Confidence, v.Reasons, v.Needs = shelf.Decision{Text: string(k.Stop)}, "high", nil, nil
	}
	safe, advised := k.Safe.Until, k.Advised.Until
	k.Best, k.BestKnown, k.NotThere = Kept{}, false, false
	k.Safe, k.Advised = Kept{Until: safe}, Kept{Until: advised}
	if !k.Withheld() {
		v.DecidedBy, v.Reasons, v.Needs = shelf.Decision{Text: k.InJar}, nil, nil
		return
	}
	k.Safe, k.Advised = Kept{}, Kept{}
	k.IfMixed, k.IfMixedSafe, k.OverIfMixed, k.House = time.Time{}, time.Time{}, false, nil
	k.BestEnds, k.clock = time.Time{}, clock{}
	lots := k.Rest
	k.Rest = nil
	for _, x := range lots {
		k.lay(&Lot{Numbers: x.Numbers, Own: x.Own})
	}
	k.Past, k.SafePast, k.AllPast = false, false, false
	for i := range k.Open {
		k.Open[i] = OpenBottle{Number: k.Open[i].Number, At: k.Open[i].At}
	}
}

// Refused reports whether it must not be kept, however long it was good, where it stands or at all.
func (k *Keep) Refused() bool { return k.refused || k.Withheld() }

// NoPlace reports whether nothing is said of where it keeps: nor is of how it would have kept, where what
// lay in it for too long is out.
func (k *Keep) NoPlace() bool { return k.Stop != "" && k.Safe.Place == "" }

// Stopped reports whether there is some of it and nothing of that is to be drunk, so that it stands nowhere.
func (k *Keep) Stopped() bool {
	return k.Stop != "" && k.EmptiedAt.IsZero()
}

// Withheld reports whether nothing is said of where it keeps and until when.
func (k *Keep) Withheld() bool {
	return k.Stop != "" && k.Stop != Gone &&
		(k.Stop != Sick || k.StoodWarm || len(k.Over) > 0 || k.Safe.Until.IsZero())
}

// Curds is what is left to be done with a drink that its own curds clear.
type Curds string

// What is left of it.
const (
	NoCurds  Curds = ""         // nothing: it is filtered, or nothing clots in it
	ToCurdle Curds = "curdle"   // it has to curdle first
	Curdled  Curds = "filtered" // it was seen to: to filter it through its curds
	InBottle Curds = "bottled"  // nobody said that they were filtered off
)
