package mixture

import (
	"cmp"
	"fmt"
	"slices"

	"steepbook/data/quantity"
)

// This file is about what measured volumes say: how hard the solids were pressed, and how much of what went in
// is in it.

// pressedAs is how hard the solids were pressed, by what was measured. The liquor that was strained says it,
// as far as any pressing does; a yield says how hard at least, for some may have been lost later.
func (r Recipe) pressedAs() Range {
	p := r.Pressed
	if p.Low == p.High {
		return p
	}
	drained, kept, ok := r.keeps(p.Low)
	pressed, _, _ := r.keeps(p.High)
	if !ok || pressed >= drained { // nothing is pressed out
		return p
	}
	at := clamp(p.Low+(drained-kept)/(drained-pressed)*(p.High-p.Low), p.Low, p.High)
	if r.Measured.StrainedML != nil {
		return Exactly(at)
	}
	return Range{max(p.Value, at), at, p.High}
}

// keeps is how much of the liquor the solids keep at that pressing, and how much they kept, or what else was
// lost, by what was measured; ok is false where no volume says it.
func (r Recipe) keeps(pressed float64) (own, kept float64, ok bool) {
	m := r.Measured
	if m.StrainedML == nil && m.VolumeML == nil ||
		slices.ContainsFunc(r.Solids, func(s Solid) bool { return m.before(&s) }) {
		return 0, 0, false
	}
	r.Measured, r.CurdsML, r.Additions, r.Pressed = Measured{}, Range{}, r.intime(), Exactly(pressed)
	o, err := r.through(&run{})
	kept = o.jarML + o.earlyML
	if m.StrainedML != nil {
		kept -= m.StrainedML.Value
	} else {
		kept -= m.VolumeML.Value - (o.figures[iVolume] - o.strainedML)
	}
	return o.soakML, kept, err == nil
}

// halfPressed is the pressing that what solids keep is held against.
const halfPressed = 0.5

// keptShare is how much of the liquor the solids kept by a measured volume that is believed, against what is
// usual of them half way from drained to pressed; nil where none says it, or what came of it is more than that
// explains. What a yield lacks may have been lost later.
func (r Recipe) keptShare(res *Result) *float64 {
	own, kept, ok := r.keeps(halfPressed)
	if !ok || own <= 0 || r.Measured.StrainedML == nil && kept > own {
		return nil
	}
	says := Volume
	if r.Measured.StrainedML != nil {
		says = Strained
	}
	if _, doubted := res.Doubted[says]; doubted || slices.Contains(res.Held, Volume) {
		return nil
	}
	share := max(kept, 0) / own
	return &share
}

// keptSD is how much the same maker's next jar may keep more or less, one standard deviation as a share of what
// is usual: two jugs that are read, and another hand at the cloth. Judgement.
const keptSD = 0.15

// Keep has the solids keep such a share of what is usual, however they are pressed.
func (r *Recipe) Keep(share float64) {
	for i := range r.Solids {
		s := &r.Solids[i]
		usual := s.Keeps(halfPressed)
		s.HeldMLPerG.Value, s.HeldMLPerG.SD = share*usual, keptSD*usual
		s.PressedMLPerG = s.HeldMLPerG
	}
	r.Pressed = Exactly(halfPressed)
}

// strainedRead lets a measured strained volume say, once, how much ran off of a jar, where by
// the recipe so much did.
func (w *run) strainedRead(r *Recipe, ran, jar Parts) Parts {
	m := r.Measured.StrainedML
	all := w.volume(jar)
	if m == nil || w.read || all <= 0 {
		return ran
	}
	most := min(all, cmp.Or(r.mostRanML, all))
	w.read = true
	want := max(m.Value, 0)
	if v := w.volume(ran); v > 0 {
		w.kept.Liquor *= min(want/v, 1)
	}
	rest := jar.Times(min(want, most) / all)
	if want > most { // more than there was, or is believed to have run off
		rest = w.thinned(rest, want)
	}
	w.step("measured", func() string { return quantity.FormatNumber(m.Value) + "~ml of strained liquor" },
		rest)
	return rest
}

// yieldRead lets a measured volume of the blend say how much of the liquor and of what was
// added is in it, of what was clear all where the rest can be what is missing.
func (w *run) yieldRead(r *Recipe, strained, added, clear Parts, want float64) {
	added = added.Plus(clear)
	if r.Measured.StrainedML == nil && w.strainedML > 0 {
		// What is missing or over is first put down to the liquor the solids kept, as
		// far as that is in doubt.
		loss, by := w.jarML-w.strainedML, z90*w.lossSD(r)
		least, most := max(loss-by, 0), min(loss+by, w.jarML)
		lo, hi := (w.jarML-most)/w.strainedML, (w.jarML-least)/w.strainedML
		over := func(k float64) float64 { return w.volume(strained.Times(k).Plus(added)) - want }
		k := crossing(lo, hi, over)
		w.parts = strained.Times(k).Plus(added)
		w.strainedML *= k
		w.kept.Liquor *= min(k, 1)
	}
	// The rest went missing after mixing. Nothing turns up from nowhere: what is
	// over counts as water, with which it keeps worst.
	switch v := w.volume(w.parts); {
	case v <= 0:
	case want <= v:
		if w.shortML = v - want; w.shortML >= v-w.volume(clear) {
			clear = Parts{}
		}
		w.loses(w.shortML, clear)
	default:
		w.parts = w.thinned(w.parts, want)
	}
	w.readML = w.volume(w.parts)
	w.figures[iLoss] = max(w.figures[iLoss], w.jarML-w.strainedML+w.earlyML)
	w.step("measured", func() string { return quantity.FormatNumber(want) + "~ml of finished blend" },
		w.parts)
}

// compareStrained holds what was strained off against the recipe; what is over counts as water.
func (v *verdict) compareStrained(r *Recipe) error {
	m := r.Measured
	v.credited = Measured{StrainedML: m.StrainedML, StrainedH: m.StrainedH, VolumeML: m.VolumeML}
	q := m.StrainedML
	if q == nil {
		return nil
	}
	calc, err := r.unread(true, Measured{}, 0)
	if err != nil {
		return err
	}
	by := z90 * calc.lossSD()
	c := Range{calc.StrainedML, max(calc.StrainedML-by, 0), calc.StrainedML + by}
	low, high := c.Believed(q.share)
	used := asRead
	if q.Value > high {
		v.held, v.mostRanML, v.mostML = append(v.held, Strained), high, calc.VolumeML.Value
		used = fmt.Sprintf("What is more than %.0f~ml counts as water.", high)
	}
	if q.Value < low || q.Value > high {
		v.warn(Strained, q, c, 0, "~ml strained", used, "Was all of it poured off, and is an amount missing "+
			"from the list?")
	}
	return nil
}

// compareYield holds what came of it against the recipe and what was strained off; what is over counts as
// water.
func (v *verdict) compareYield(r *Recipe) error {
	q, strained := r.Measured.VolumeML, v.credited
	if q == nil {
		return nil
	}
	strained.VolumeML = nil
	calc, err := r.unread(false, strained, v.mostRanML)
	if err != nil {
		return err
	}
	low, high := calc.VolumeML.Believed(q.share)
	v.short = q.Value < low
	if q.Value < low || q.Value > high {
		v.warn(Volume, q, calc.VolumeML, 0, "~ml", asRead, r.askVolume(calc))
	}
	if q.Value > high {
		v.held, v.mostML = append(v.held, Volume), min(v.mostML, calc.VolumeML.Value)
	}
	return nil
}

// askVolume asks where what is missing was lost, or where what is over came from.
func (r *Recipe) askVolume(calc Result) string {
	m := r.Measured
	_, lacks := r.untold(calc.VolumeML.Value - m.VolumeML.Value)
	switch {
	case m.VolumeML.Value > calc.VolumeML.Value:
		return "What is over counts as water: is an amount missing from the list, or too small?"
	case lacks:
		return "Was it lost, or did not all go in that was planned and not logged? The ranges hold both: log what went in."
	case m.StrainedML == nil && len(r.Additions) > 0:
		return "Was it lost from the strained liquor before anything was added, or at the end? The ranges " +
			"hold both; strained = \"640~ml\" under [measured], read after straining, settles it."
	}
	return "Was something left out of the list, or lost?"
}
