// Package recipe turns the names of a batch into numbers, once: every line is looked up
// in the library and weighed (Read), the masses go together (Mix), and what is in the
// bottle comes of it (NewBlend), with what the keeping judgement reads of it (Facts).
// What nobody knows or wrote is said, and is reckoned on the careful side.
package recipe

import (
	"slices"
	"strings"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/shelf/mixture"
)

// Lines are a batch with every name looked up and every amount in grams or
// millilitres.
type Lines struct {
	Bases      []Base
	Botanicals []Botanical
	// Additions are what the finished drink holds besides. ToCome is what of them is still
	// to go in after straining, until it is finished; Unlogged what then counts as in by the plan.
	Additions, ToCome, Unlogged []Addition

	in   []Addition // what of them is in by the log
	nowH float64    // the hour that is, since the start
}

// Read reads a batch as it is nowH hours after its start: what is pulled later
// is still in.
func Read(b *batch.Batch, lib *library.Library, nowH float64) (*Lines, error) {
	p := &Lines{nowH: nowH}
	for _, s := range b.Spirits {
		r, err := ReadBase(b, lib, s)
		if err != nil {
			return nil, err
		}
		p.Bases = append(p.Bases, r)
	}
	for _, e := range b.Botanicals {
		r, err := ReadBotanical(b, lib, e)
		if err != nil {
			return nil, err
		}
		out := b.Pulled(e.Name)
		r.Never = out == nil && !e.LeaveIn && !b.Finish.LeaveIn && b.NeverIn(e.In, nowH)
		r.Reads.stays = (e.LeaveIn || b.Finish.LeaveIn) && !(out != nil && out.Hours <= nowH)
		p.Botanicals = append(p.Botanicals, r)
	}
	if err := p.readAdditions(b, lib, nowH); err != nil {
		return nil, err
	}
	p.washes(b)
	return p, nil
}

// washes settles which fats wash the jar and are taken off again. What nothing was poured on,
// or not more than there is of it, is what the rest lies in; and where nobody says
// that it comes off, what is fresh and low in acid is judged as if it lay in it for good.
func (p *Lines) washes(b *batch.Batch) {
	fresh, joined := false, slices.DeleteFunc(slices.Clone(p.Additions), func(x Addition) bool { return x.Entry.In == nil })
	for n := range p.All {
		fresh = fresh || n.lowAcidFresh()
	}
	litres := pouredL(p.Bases, joined)
	settle := func(n *reading, off bool) {
		drowned := litres > 0 && n.Weight != nil && fatLPerG*n.Weight.G >= litres
		n.unsaid = fresh && !off && !drowned
		n.washed = len(p.Bases) > 0 && !drowned && !n.unsaid
	}
	for i := range p.Botanicals {
		if h := &p.Botanicals[i]; h.Ingredient != nil && h.Ingredient.IsFat() && !h.Reads.stays {
			_, out := OutBy(b, &h.Entry, p.nowH)
			if settle(&h.Reads, h.Entry.TakeOut || out); h.Reads.washed {
				h.Note = Join(h.Note, washNote)
			}
		}
	}
	for _, list := range [][]Addition{p.Additions, p.ToCome, p.in} {
		for i := range list {
			if x := &list[i]; x.Entry.In != nil && x.Ingredient != nil && x.Ingredient.IsFat() {
				settle(&x.Reads, false)
			}
		}
	}
}

// fatLPerG is the room of a gram of fat, litres (mixture has its figure).
const fatLPerG = 0.00109

// All is what every line of the batch stands for.
func (p *Lines) All(yield func(*reading) bool) {
	for i := range p.Bases {
		if !yield(&p.Bases[i].Reads) {
			return
		}
	}
	for h := range p.Steeped {
		if !yield(&h.Reads) {
			return
		}
	}
	for i := range p.Additions {
		if !yield(&p.Additions[i].Reads) {
			return
		}
	}
}

// Steeped are the botanicals without those that never went in.
func (p *Lines) Steeped(yield func(*Botanical) bool) {
	for i := range p.Botanicals {
		if h := &p.Botanicals[i]; !h.Never && !yield(h) {
			return
		}
	}
}

// JarAt are the lines of the jar at an hour since its start: what lay in it, or had joined it, by then.
func (p *Lines) JarAt(hours float64) *Lines {
	q := *p
	q.Botanicals = slices.DeleteFunc(slices.Clone(p.Botanicals),
		func(h Botanical) bool { return h.Entry.In > hours })
	q.Additions = slices.DeleteFunc(slices.Clone(p.Additions),
		func(x Addition) bool { return x.Entry.In == nil || *x.Entry.In > hours })
	return &q
}

// BaseML is the volume of all bases, 0 when one of them is not known.
func (p *Lines) BaseML() float64 {
	sum := 0.0
	for _, b := range p.Bases {
		if b.Missing != "" {
			return 0
		}
		sum += b.Base.VolumeML.Value
	}
	return sum
}

// BaseStrength is the strength of the bases mixed, 0 where one is not known.
func BaseStrength(bases []Base) float64 {
	if len(bases) == 1 && bases[0].Missing == "" && bases[0].Base.VolumeML.Value > 0 {
		return bases[0].Base.ABVPercent.Value
	}
	var all mixture.Parts
	for i := range bases {
		b := &bases[i].Base
		p, err := mixture.FromVolume(b.VolumeML.Value, b.ABVPercent.Value, b.PerLitre)
		if bases[i].Missing != "" || err != nil {
			return 0
		}
		all = all.Plus(p)
	}
	return all.ABVPercent()
}

// OutBy is when a botanical came out, in hours since the start; out is false while it is
// in nowH hours after the start, and for what stays in the bottle.
func OutBy(b *batch.Batch, e *batch.Botanical, nowH float64) (hours float64, out bool) {
	at := b.OutAt(e)
	if e.LeaveIn || at == nil || at.Hours > nowH {
		return 0, false
	}
	return at.Hours, true
}

// Ninety turns the width of a 90 % range into one standard deviation: the
// quantiles at 5 and 95 % of a normal lie 2 x 1.6449 apart.
const Ninety = 2 * 1.6449

// Join puts two remarks into one sentence; either may be empty.
func Join(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	if strings.HasSuffix(a, "?") || strings.HasSuffix(a, ".") {
		return a + " " + b
	}
	return a + "; " + b
}

// Named reports whether a name stands in a list, in whatever letters.
func Named(list []string, name string) bool {
	for _, n := range list {
		if strings.EqualFold(n, name) {
			return true
		}
	}
	return false
}

// Note adds a name once.
func Note(list *[]string, name string) {
	if !Named(*list, name) {
		*list = append(*list, name)
	}
}
