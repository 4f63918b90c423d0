package shelf

import (
	"math"

	"steepbook/shelf/mixture"
)

// Moved gives a bottle the figures that come of p in place of what it was, each as
// uncertain as before; of a pH, each end goes its own way.
func (b Bottle) Moved(was, p mixture.Parts) Bottle {
	b.ABVPercent = thinnedTo(b.ABVPercent, was, p, mixture.Parts.ABVPercent)
	b.SugarGPerL = thinnedTo(b.SugarGPerL, was, p, mixture.Parts.SugarGPerL)
	aw, _, _ := p.WaterActivity()
	b.WaterActivity = b.WaterActivity.MovedTo(aw)
	lowWas, valueWas, highWas, ok := was.PHRange()
	if low, value, high, then := p.PHRange(); ok && then && b.PHKnown {
		b.PH.Value = math.Max(b.PH.Value+value-valueWas, 0)
		b.PH.Low = math.Min(math.Max(b.PH.Low+low-lowWas, 0), b.PH.Value)
		b.PH.High = math.Max(b.PH.High+high-highWas, b.PH.Value)
	}
	if litres := p.VolumeML(20) / 1000; litres > 0 {
		b.SucroseGPerL = p.Sucrose / litres
	}
	return b
}

// thinnedTo is a figure as it is in p instead of in was. Its low end is that of a drink
// that holds more water than is known, and what is added meets that water too.
func thinnedTo(r mixture.Range, was, p mixture.Parts, of func(mixture.Parts) float64) mixture.Range {
	out := r.MovedTo(of(p))
	if !(r.Low > 0 && r.Low < r.Value) {
		return out
	}
	wet := func(q mixture.Parts, water float64) float64 {
		q.Water += water
		return of(q)
	}
	low, high := 0.0, 100*was.MassG()
	for range 50 {
		if mid := (low + high) / 2; wet(was, mid) > r.Low {
			low = mid
		} else {
			high = mid
		}
	}
	out.Low = math.Min(out.Low, wet(p, low))
	return out
}
