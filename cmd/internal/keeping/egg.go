package keeping

import (
	"cmp"
	"fmt"
	"math"
	"time"

	"steepbook/shelf"
)

// EggDays is for how long [days] raw egg lies in spirit alone, eggSpiritABV how strong that is [% vol] before
// the egg is in it, and eggRoomC how warm it stands at the least [°C]: data/tables/cautions.csv, egg. Beside
// what stands there, egg yolk, sugar and spirit at 17.2 % vol lost 5 log and more of Salmonella in 24 h
// ("Survival of Salmonella spp., Staphylococcus aureus and Bacillus cereus in Advocaat", abstract, which names
// no temperature). Room temperature begins at 15 °C elsewhere (from memory).
const (
	EggDays      = 3
	eggSpiritABV = 37.5
	eggRoomC     = 20.0
)

// EggWarm says how warm that is.
func EggWarm() string { return fmt.Sprintf("at %g~°C or warmer", eggRoomC) }

// Egg is the clock of raw egg, read from the log entry by entry: for its days (EggDays) all of it lies
// in strong spirit, strained and alone, before anything else goes in. A moment is zero where it has not come.
type Egg struct {
	State shelf.EggAlone
	// Strained is when nothing steeped any more in what it lies in, In when the last of it went in, Else when
	// the first of anything else did, or some was bottled.
	Strained, In, Else time.Time
	// Over is the last day of what is in, zero where nothing ends that.
	Over time.Time
	goes []time.Time // when each of its entries went in
}

// Goes notes when some of it went in.
func (e *Egg) Goes(in time.Time) {
	if e.goes = append(e.goes, in); in.After(e.In) {
		e.In = in
	}
}

// met is the clock of what of it was in by the time that anything else was: what goes in later undoes nothing
// of what that had or lacked.
func (e *Egg) met() *Egg {
	met := Egg{Strained: e.Strained}
	for _, in := range e.goes {
		if e.Else.IsZero() || !in.After(e.Else) {
			met.Goes(in)
		}
	}
	return &met
}

// Until is to when nothing else goes in, of what is strained at a moment, or of egg that goes in then.
func (e *Egg) Until(strained time.Time) time.Time {
	return e.since(strained).AddDate(0, 0, EggDays)
}

// Soonest is Until of what is strained at a moment, where some egg is to come no sooner than now.
func (e *Egg) Soonest(strained, now time.Time, toCome bool) time.Time {
	if toCome && strained.Before(now) {
		strained = now
	}
	return e.Until(strained)
}

// Alone is until when what of it is in stands in the warm with the spirit alone, zero where it does not.
func (e *Egg) Alone(now time.Time) (until time.Time) {
	if (e.State == shelf.EggCan || e.State == shelf.EggLate) && !e.In.IsZero() && !e.Strained.IsZero() && now.Before(e.Until(e.Strained)) {
		until = e.Until(e.Strained)
	}
	return until
}

// since is from when it is alone in what is strained at a moment.
func (e *Egg) since(strained time.Time) time.Time {
	if e.In.After(strained) {
		return e.In
	}
	return strained
}

// Untold is the soonest that all that nobody logged went in after a straining: it had to wait for egg that
// is in, unless something else did not, and for the days of it, which is to go in first, but where nobody
// knows of them, they were cut short, or it is not in by the log and could make people ill. Of whoever logs
// the egg no order to wait is doubted while it lasts.
func (e *Egg) Untold(strained time.Time, fails bool) time.Time {
	switch {
	case !e.Else.IsZero() && e.Else.Before(e.In):
		return strained
	case e.State != shelf.EggCan && e.State != shelf.EggDid && e.State != shelf.EggLate, fails && e.In.IsZero():
		return e.since(strained)
	}
	return e.Until(strained)
}

// inTime reports whether its days end while what is in is good.
func (e *Egg) inTime(until time.Time) bool { return e.Over.IsZero() || !until.After(e.Over) }

// Judge says at a moment what is known of its days: whether some of it is to come, whether something was
// never logged, whether nothing else goes in any more, whether what it lies in, with it, holds back what
// makes people ill, how strong that is [% vol] and how warm it stands [°C]; it says why it has none. The worst
// of its entries is told: what went in after something else may have had its days in spirit of its own, of
// which no log tells.
func (e *Egg) Judge(now time.Time, toCome, untold, closed, holds bool, abvPercent float64,
	celsius *float64) (why string) {
	why = lacks(abvPercent, celsius, holds)
	strained, met, late := cmp.Or(e.Strained, now), e.met(), false
	alone := why == "" && !closed && e.Else.IsZero()
	can, over := alone && e.inTime(e.Until(strained)), !e.inTime(e.Soonest(strained, now, toCome))
	if !e.Else.IsZero() {
		late = e.Else.Before(e.In)
		if e.Else.Before(now) {
			now = e.Else
		}
	}
	in, until := !met.In.IsZero(), met.Until(e.Strained)
	had := in && why == "" && !e.Strained.IsZero() && !now.Before(until) && e.inTime(until)
	switch {
	case e.In.IsZero() && !toCome:
	case in && !had && !can, !holds && (in || !late):
		e.State = shelf.EggShort
	case late, untold:
	case toCome && !alone:
		e.State = shelf.EggApart
	case toCome && over:
		e.State = shelf.EggLate
	case toCome || !had:
		e.State = shelf.EggCan
	default:
		e.State = shelf.EggDid
	}
	if alone && over {
		why = fmt.Sprintf("its %d days alone would end after %s, the last day of what is in already",
			EggDays, e.Over.Format("2~January"))
	}
	return why
}

// lacks says why raw egg has no days alone in what it goes into, by the strength of that [% vol], to the
// half as on a bottle, how warm it stands [°C], nil where nobody says, and whether it still holds back what
// makes people ill with the egg in it; "" where it has.
func lacks(abvPercent float64, celsius *float64, holds bool) string {
	switch {
	case math.Round(2*abvPercent)/2 < eggSpiritABV:
		return fmt.Sprintf("what it goes into, at %.3g %% vol, is weaker than spirit of 37.5", abvPercent)
	case celsius != nil && *celsius < eggRoomC-1e-9:
		return fmt.Sprintf("it stands at %.3g~°C, and below 20~°C alcohol kills slower", *celsius)
	case !holds:
		return "with so much egg the spirit is too weak"
	}
	return ""
}
