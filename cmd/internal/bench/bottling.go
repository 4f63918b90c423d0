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

// OddBottling says what is odd about a bottling that is not in the batch yet: something
// steeps still by the log, or the bottles hold more than there is. It is a sentence
// without its full stop, "" where nothing is odd.
func (a *Assessment) OddBottling(x *batch.Bottling) string {
	var in []string
	for i := range a.Batch.Botanicals {
		e := &a.Batch.Botanicals[i]
		if _, out := recipe.OutBy(a.Batch, e, x.Hours); !out && !e.LeaveIn && e.In <= x.Hours {
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
	size := x.Of
	if size == nil {
		size = a.Batch.Finish.Bottle
	}
	if x.Bottles == 0 || size == nil {
		return ""
	}
	_, each, _, ok := size.Millilitres()
	all := each * float64(x.Bottles)
	there, most := 0.0, 0.0
	switch r := &a.Blend.Result; {
	case x.Volume != nil:
		_, there, most, _ = x.Volume.Millilitres()
	case a.Blend.Have():
		there, most = r.VolumeML.Value, r.VolumeML.High
	}
	if !ok || there == 0 || all <= most*overfull {
		return ""
	}
	return fmt.Sprintf("%s of %s are %s, and there is about %s of it",
		quantity.Counted(x.Bottles, "bottle", "bottles"), size, litres(all), litres(there))
}

// litres is a volume as one speaks of it.
func litres(ml float64) string {
	if ml < 1000 {
		return fmt.Sprintf("%.0f~ml", ml)
	}
	return fmt.Sprintf("%.3g~l", ml/1000)
}
