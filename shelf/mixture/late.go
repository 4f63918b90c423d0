package mixture

import "math"

// This file is about what goes in after the blend was read or bottled.

// join puts in what went in after all readings: into all of the blend, or where some of it was
// in bottles or drunk by then into the rest or an open one, which is another drink.
func (w *run) join(r *Recipe) {
	away, v := r.awayML(), w.volume(w.parts)
	into := r.intoML(v)
	if away <= 0 && into <= 0 || v <= 0 {
		w.lateML = w.volume(w.add(r, isLate))
		return
	}
	bottled := w.parts
	open := math.Max(v-away, wetShare*v)
	if into > 0 {
		open = into
	}
	w.parts = w.parts.Times(open / v)
	w.add(r, isLate)
	w.rest, w.kept.Late = w.parts, 0
	if !w.ofRest {
		w.parts = bottled
	}
}

// isLate reports whether an addition went in after all readings.
func isLate(a *Addition) bool { return a.Late }

// wetShare is the least of a drink that something joins, where the bottles took all that there was by
// their size: as little as a bottle may lack and be full. Judgement.
const wetShare = 0.02

// awayML is how much of the blend the additions that are Late did not join: the most of any.
func (r *Recipe) awayML() (ml float64) {
	for i := range r.Additions {
		if a := &r.Additions[i]; a.Late {
			ml = math.Max(ml, a.AwayML)
		}
	}
	return ml
}

// intoML is the least of a blend of that volume that the additions that are Late may have joined, and no more
// than there was to join, whatever was said; 0 where that is what is left of it.
func (r *Recipe) intoML(volumeML float64) (ml float64) {
	for i := range r.Additions {
		a := &r.Additions[i]
		if into := math.Min(a.IntoML, math.Max(a.MostML(volumeML), wetShare*volumeML)); a.Late && a.IntoML > 0 && (ml == 0 || into < ml) {
			ml = into
		}
	}
	return ml
}

// late reports whether something went in after all readings, and something sour.
func (r *Recipe) late() (some, sour bool) {
	for i := range r.Additions {
		if a := &r.Additions[i]; a.Late && a.MassG.Value > 0 {
			some, sour = true, sour || a.PerG.AcidG() > 0
		}
	}
	return some, sour
}
