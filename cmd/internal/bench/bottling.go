package bench

import (
	"fmt"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/quantity"
)

// OddBottling says what is odd about what was bottled at an hour, the last thing in the
// log: something steeps still by what was logged before, or the bottles hold more than
// there can have been. before is the batch without it. It is a sentence without its full
// stop, "" where nothing is odd.
func (a *Assessment) OddBottling(before *Assessment, hours float64) string {
	var in []string
	for i := range before.Batch.Botanicals {
		e := &before.Batch.Botanicals[i]
		if _, out := recipe.OutBy(before.Batch, e, hours); !out && !e.LeaveIn && e.In <= hours {
			in = append(in, e.Name)
		}
	}
	if len(in) > 0 {
		are := "is"
		if len(in) > 1 {
			are = "are"
		}
		return fmt.Sprintf("by the log, the %s %s still in the jar", quantity.And(in), are)
	}
	f := a.Blend.Filled
	if f == nil || !f.TooMuch {
		return ""
	}
	var bottles []string
	for _, s := range f.Sizes {
		bottles = append(bottles, fmt.Sprintf("%s of %.0f~ml", quantity.Counted(s.Count, "bottle", "bottles"), s.SizeML))
	}
	return fmt.Sprintf("%s hold %s, and there is about %s of it", quantity.And(bottles), litres(f.HoldML),
		litres(f.YieldML))
}

// litres is a volume as one speaks of it.
func litres(ml float64) string {
	if ml < 1000 {
		return fmt.Sprintf("%.0f~ml", ml)
	}
	return fmt.Sprintf("%.3g~l", ml/1000)
}
