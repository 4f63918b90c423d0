package bench

import (
	"fmt"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// overfull is how far what was bottled may lie above what was there: bottles are not filled
// to the millilitre. Judgement.
const overfull = 1.1

// OddBottling says what is odd about what is bottled at once and not in the batch yet:
// something steeps still by the log, or the bottles hold more than there is. It is a
// sentence without its full stop, "" where nothing is odd.
func (a *Assessment) OddBottling(all []batch.Bottling) string {
	var in []string
	for i := range a.Batch.Botanicals {
		e := &a.Batch.Botanicals[i]
		at := all[0].Hours
		if _, out := recipe.OutBy(a.Batch, e, at); !out && !e.LeaveIn && e.In <= at {
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
	there, most, sum := 0.0, 0.0, 0.0
	if a.Blend.Have() {
		there, most = a.Blend.Result.VolumeML.Value, a.Blend.Result.VolumeML.High
	}
	var said []string
	for i := range all {
		x := &all[i]
		if x.Volume != nil {
			_, there, most, _ = x.Volume.Millilitres()
		}
		size := x.Of
		if size == nil {
			size = a.Batch.Finish.Bottle
		}
		if x.Bottles == 0 || size == nil {
			return ""
		}
		_, each, _, _ := size.Millilitres()
		sum += each * float64(x.Bottles)
		said = append(said, fmt.Sprintf("%s of %s", quantity.Counted(x.Bottles, "bottle", "bottles"), size))
	}
	if there == 0 || sum <= most*overfull {
		return ""
	}
	return fmt.Sprintf("%s are %s, and there is about %s of it", quantity.And(said), litres(sum), litres(there))
}

// litres is a volume as one speaks of it.
func litres(ml float64) string {
	if ml < 1000 {
		return fmt.Sprintf("%.0f~ml", ml)
	}
	return fmt.Sprintf("%.3g~l", ml/1000)
}
