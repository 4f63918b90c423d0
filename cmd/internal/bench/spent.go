package bench

import (
	"math"
	"slices"
	"time"

	"steepbook/cmd/internal/recipe"
)

// spent is what was strained has used up of its days before the last of the drink went in: as
// share of them, each state from one thing that goes in to the next by its own days, until it was
// whole, zero while it waits for the rest; gone is when that was all of them, or will be if
// nothing else goes in, zero where it is not.
type spent struct {
	share       float64
	whole, gone time.Time
}

// spent is worked out once: what has waited since it was strained, by now.
func (a *Assessment) spent(strained float64) spent {
	if a.waited == nil {
		s := a.walkBottle(strained)
		a.waited = &s
	}
	return *a.waited
}

// waits reports whether what was strained waits, by the log, for what is still to go in.
func (a *Assessment) waits() bool {
	b := a.Batch.BottledAt()
	return a.Recipe.Logged() && len(a.Recipe.ToCome) > 0 && (b == nil || b.Hours > a.ElapsedH)
}

func (a *Assessment) walkBottle(strained float64) (s spent) {
	at, end := []float64{strained}, a.ElapsedH
	for _, x := range a.Batch.Additives {
		if x.Hours > strained && x.Hours <= a.ElapsedH {
			at = append(at, x.Hours)
		}
	}
	slices.Sort(at)
	at = slices.Compact(at)
	logged := !a.firstAdded(strained).IsZero()
	switch bottled := a.Batch.BottledAt(); {
	case !logged && (bottled == nil || bottled.Hours > end):
		return s // of those who log nothing nobody knows
	case !logged:
		end = bottled.Hours
	case a.waits():
		end = math.Inf(1)
	default:
		end = at[len(at)-1]
	}
	if !math.IsInf(end, 1) {
		s.whole = a.Batch.At(end)
	}
	for i, t := range at {
		next := end
		if i+1 < len(at) {
			next = at[i+1]
		}
		blend, _, err := a.blendOf(a.Recipe.Some(func(recipe.Botanical) bool { return true }, func(x recipe.Addition) bool {
			return x.Entry.In != nil || x.Entry.Logged && a.Batch.Hours(a.Batch.WentIn(&x.Entry)) <= t
		}))
		if next <= t || err != nil || !blend.Have() {
			continue
		}
		life := a.advise(blend.Bottle).Safe.Sound.Low * 24
		if life <= 0 || math.IsInf(life, 1) {
			continue
		}
		share := (next - t) / life
		if s.gone.IsZero() && s.share+share >= 1 {
			s.gone = a.Batch.At(t + (1-s.share)*life)
		}
		s.share += share
	}
	return s
}
