// Package keeping counts the days of a bottle from plain values: from which moment they
// run, to which day each bottle is good, and what the house allows. It also reads what the
// maker saw and tasted of the bottle since.
package keeping

import (
	"math"
	"time"

	"steepbook/data/library"
	"steepbook/shelf"
	"steepbook/shelf/harm"
)

// Keep is where the bottle keeps and until when.
type Keep struct {
	// Verdict is the judgement at the place asked for, or where it is advised.
	Verdict shelf.Verdict
	// Safe is about microbes, Best about taste, Advised the stricter of both.
	Safe, Best, Advised Kept
	// BestKnown is false where nothing is known of how its taste fades.
	BestKnown bool
	// NotThere: it does not keep at all where the maker has it stand.
	NotThere bool
	// StoodWarm: it has stood there, bottled, for longer than what makes people ill needs.
	StoodWarm bool
	// JarC is how warm its jar stood [°C], nil where nobody said. SoFar is the judgement of what there is by the log,
	// its Verdict empty where nothing is still to come.
	JarC  *float64
	SoFar shelf.Advice
	// Alone is until when raw egg stands in the warm with the spirit alone, zero where it does not: till then
	// it is kept nowhere else (Stands).
	Alone time.Time
	// RestAlone: some of the egg is in, and more of it to come, which has to stand so as well.
	RestAlone bool
	// InJar says why its days were over before it was strained, or the fat in it came off, which nothing
	// undoes that was done later; empty where they were not.
	InJar string
	// steeped is the share of its days that it used up in the jar, while it steeps.
	steeped float64
	// Stay may not lie in it for ever, and TooStrong is right in it to a day alone.
	Stay
	TooStrong Stay
	// Since is the moment that the days run from, with its time; empty before that. BottledAt
	// is when it was bottled, OpenedAt when the first of Open was opened, or now where that
	// is asked for; each zero before that.
	Since                        Since
	SinceAt, BottledAt, OpenedAt time.Time
	// Untold: a day is sooner because nobody logged all of what went in after straining; UntoldTaste: that
	// of its taste alone, and what grows has its days from Since by the log.
	Untold, UntoldTaste bool
	// AiredFrom is from when the days of that one run, later than OpenedAt where more went in since.
	AiredFrom time.Time
	// Open are the bottles that are open, the one that ends first on top: the days and
	// dates above are of that one. Rest are the others that are known of, what ends first on top.
	// Counted: there are no more. EmptiedAt is when the last of it was gone, zero while there is some.
	Open      []OpenBottle
	Rest      []*Lot
	Counted   bool
	EmptiedAt time.Time
	// Vessel is the bottle of which alone it is said, below 0 what was left over, 0 all into which nothing
	// was poured.
	Vessel int
	// BestEnds is the late end of its taste, zero where no day is known.
	BestEnds time.Time
	// IfMixed and IfMixedSafe are the days of Advised and Safe if all that is still to come had
	// gone in as soon as it could, as nobody knows of what is not logged; zero but for liquor that
	// waits for some of it, and zero where its days by the log end no later.
	IfMixed, IfMixedSafe time.Time
	// OverIfMixed: what waits for the rest would not be sound any more if the rest had gone in
	// then, and what is in it by the log still is.
	OverIfMixed bool
	allInSafe   time.Time // its last day if all had gone in as soon as it could, zero where none or not asked
	// Past: the date of Advised is over; SafePast: that of Safe; AllPast: that of every bottle,
	// by what grows.
	Past, SafePast, AllPast bool
	byAir                   bool  // see EndsByAir
	refused                 bool  // see Refused
	alone                   bool  // see Of
	clock, planned          clock // by the log, and by a log that is kept to its end
	// see Together: the one that its figures are of, and that of the sealed ones
	from, sealed *Keep
	in           map[string][]int // see HeldBy
	// House says what the place's own rules add, one sentence each.
	House []string
	// Allergens are the legal names to declare.
	Allergens []library.Allergen
	// Over holds the substances whose likely amount is above a limit.
	Over []harm.Caution
	// Gas names what is alive in it and makes gas.
	Gas []string
	// MustNot names botanicals that must not be infused at all, with reasons.
	MustNot []string
	// Unjudged says what is missing to say whether what makes people ill had its time in it;
	// empty where it can be said, and while it is too soon for that.
	Unjudged string
	// Stop is why nothing is to be drunk of it as it is; empty where it may be served.
	Stop Stop
	// Outcomes are the notes by now that name a sign of what was bottled, strained or mixed,
	// in the order of time.
	Outcomes []Outcome
	// Unknown names what the library does not know; AsFresh says what may be dry and counts
	// as fresh.
	Unknown, AsFresh []string
	// FatOn names the fats that lie on its jar and are still to come off.
	FatOn []string
	// MayBe says of what goes by the name of a poison, or nearly so, that it may be one, and
	// what to write once somebody is sure. Meant asks of what is unknown whether something
	// known was meant.
	MayBe, Meant []string
}

// OpenBottle is a bottle that is open: its number from 1, since when, and the days to
// which it is advised and safe to use it; zero where there is none. Past: that of Until is
// over.
type OpenBottle struct {
	Number          int
	At, Until, Safe time.Time
	Past            bool
	clock           clock
	own             *Keep // what is said of that bottle, nil where it is what is said of the batch
}

// Kept is a place, how long it keeps there, and to which day: the early end of
// the days, since the late one is a hope; zero where no day is known or there is
// no end.
type Kept struct {
	shelf.Keeping
	Until time.Time
}

// Days are how long it keeps there as it stands: sealed or, once it was opened, opened; no longer than what was
// left of them when they began to run, or while it steeps is if it is strained now.
func (k *Keep) Days(x *Kept) shelf.Days {
	d := x.Sealed
	switch {
	case k.OpenedAt.IsZero():
	case x == &k.Safe:
		d = x.OpenedSound
	default:
		d = x.Opened
	}
	if left := x.Sound.Left(k.spent()); x.Sound.Words != "" && left.Low < d.Low {
		return left
	}
	return d
}

// spent is the share of its days that it used up before they run from SinceAt, while it steeps by now.
func (k *Keep) spent() float64 { return max(k.steeped, k.clock.grows.spent.By) }

// Used are how many of how many days of Safe were used up so, as whole days of its early end; 0 where none were.
func (k *Keep) Used() (used, all float64) {
	low := k.Safe.Sound.Low
	if math.IsInf(low, 1) || k.SinceAt.IsZero() {
		return 0, 0
	}
	return math.Floor(low) - math.Floor(low*max(1-k.spent(), 0)+1e-6), math.Floor(low)
}

// Advises is where it is advised to stand, by the words of Where.
func (k *Keep) Advises() string {
	switch place := k.Advised.Place; {
	case k.Stopped():
		return shelf.VerdictDiscard
	case place == "":
		return k.Where()
	case place == shelf.Room && k.Verdict.Verdict == shelf.VerdictShelf:
		return shelf.VerdictShelf
	default:
		return string(place)
	}
}

// Stands is where it is to stand now, by the words of Advises, and until when that is another place than it is
// advised to keep at from then on; zero where it is that one, or is until the rest is in.
func (k *Keep) Stands() (place string, until time.Time) {
	switch is, counts := k.waiting(); {
	case k.Stopped():
	case !k.Alone.IsZero():
		return string(shelf.Room), k.Alone
	case counts && is != &k.Safe.Keeping:
		return string(is.Place), time.Time{}
	}
	return k.Advises(), time.Time{}
}

// waiting is where the days of what is not bottled are counted until then: those of what there is by the log, where
// something is still to come. It does not count them where that may stand anywhere.
func (k *Keep) waiting() (is *shelf.Keeping, counts bool) {
	is, verdict := &k.Safe.Keeping, k.Verdict.Verdict
	if so := &k.SoFar; so.Verdict.Verdict != "" {
		is, verdict = &so.Safe, so.Verdict.Verdict
	}
	return is, is.Place != "" && verdict != shelf.VerdictShelf && k.BottledAt.IsZero()
}

// Chill is the place that a strained jar is to be put in, and to stand in until it is bottled: its days are counted
// there, and it stood warmer. There is none where it keeps as it stood, or first stands elsewhere.
func (k *Keep) Chill() (to shelf.Place) {
	is, counts := k.waiting()
	if counts && is.Place != shelf.Room && (k.JarC == nil || *k.JarC > is.AtC) && k.Alone.IsZero() && !k.Stopped() &&
		!k.OverIfMixed {
		to = is.Place
	}
	return to
}

// Misplaced reports whether it does not keep at all where the maker has it stand, and is not to stand elsewhere
// first than it is advised to.
func (k *Keep) Misplaced() bool {
	_, until := k.Stands()
	return k.NotThere && until.IsZero()
}

// EndsByAir reports whether it is the air that ends the taste of the open bottle: opened wine, which is stale then
// and makes nobody ill while what grows has its days.
func (k *Keep) EndsByAir() bool { return k.byAir }

// TasteFirst reports whether what ends its days is its taste, and nothing that grows: its
// flavour fades before it spoils, or the air ends the wine of the bottle that is open.
func (k *Keep) TasteFirst() bool {
	if until, safe := k.Advised.Until, k.Safe.Until; !until.IsZero() {
		return !until.Equal(safe)
	}
	return k.BestKnown && k.Best.Sealed.Low < k.Safe.Sealed.Low
}

// Thin names of what one glass is over the limit of a day, by figures in doubt, so that it is
// thinned before it is served; none where nobody serves it anyway.
func (k *Keep) Thin() (names []string) {
	for _, c := range k.Verdict.Cautions {
		if c.Glass && k.Stop == "" && k.EmptiedAt.IsZero() {
			names = append(names, c.Less)
		}
	}
	return names
}

// OpenEnds reports whether an opened bottle has days of its own, by what is in it or by the house; what is
// frozen has none.
func (k *Keep) OpenEnds() bool {
	d := k.Advised.Opened
	return d.Words != "" && !d.Open() && k.Safe.Place != shelf.Freezer
}

// NotYet reports whether none of it is to be served as it stands, and something can be done about that:
// it is thinned, or what lay in it for too long is measured.
func (k *Keep) NotYet() bool { return len(k.Thin())+len(k.Lain()) > 0 }

// Fill is how full a bottle is filled for where it is to stand, and why.
func (k *Keep) Fill() (full, why string) {
	if k.Advised.Place == shelf.Freezer {
		return "with room at the top", "it swells as it freezes, and a full one breaks"
	}
	return "full to the neck", "air takes the scent"
}

// Where is the place where it keeps, by the words of shelf.Verdict or, where it
// is asked to stand elsewhere, the name of that place.
func (k *Keep) Where() string {
	if v := k.Verdict.Verdict; k.Safe.Place == "" || v == shelf.VerdictShelf {
		return v
	}
	return string(k.Safe.Place)
}
