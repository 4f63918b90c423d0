// Package recipe turns the names of a batch into numbers, once: every line is looked up
// in the library and weighed (Read), the masses go together (Mix), and what is in the
// bottle comes of it (NewBlend), with what the keeping judgement reads of it (Facts).
// What nobody knows or wrote is said, and is reckoned on the careful side.
package recipe

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
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

	// CyanideMgPerL is what was measured of it in what is off the solids; it beats what they can give. more: of
	// what lies in it still some may come, so that it is the least there is.
	CyanideMgPerL *float64
	more          bool

	Vessel *int // the bottle whose drink it is, below 1 what was left over; nil: no one bottle's

	in   []Addition  // what of them is in by the log
	told [][2]string // remarks by which it holds what must not be steeped, each with what is said of it
	nowH float64     // the hour that is, since the start
}

// Read reads a batch as it is nowH hours after its start: what is pulled later
// is still in.
func Read(b *batch.Batch, lib *library.Library, nowH float64) (*Lines, error) {
	p := &Lines{nowH: nowH, CyanideMgPerL: b.Measured.CyanideMgPerL}
	var spirit, plant error
	var beside sync.WaitGroup
	beside.Go(func() {
		p.Bases, spirit = readEach(b.Spirits,
			func(s batch.Spirit) (Base, error) { return ReadBase(b, lib, s) })
		for _, n := range b.Remarks() {
			if of := lib.Told(n.What); len(of) > 0 && n.Hours <= nowH+1e-6 {
				p.told = append(p.told, [2]string{n.What, fmt.Sprintf("by the note %q it holds %s, which must not be steeped "+
					"or drunk; if that was a slip, take the note out", n.What, quantity.And(of))})
			}
		}
	})
	p.Botanicals, plant = readEach(b.Botanicals,
		func(e batch.Botanical) (Botanical, error) { return ReadBotanical(b, lib, e) })
	if beside.Wait(); cmp.Or(spirit, plant) != nil {
		return nil, cmp.Or(spirit, plant)
	}
	for i := range p.Botanicals {
		r := &p.Botanicals[i]
		r.Never = b.Pulled(r.Entry.Name) == nil && !r.Entry.LeaveIn && b.NeverIn(r.Entry.In, nowH)
	}
	if err := p.readAdditions(b, lib, nowH); err != nil {
		return nil, err
	}
	for _, o := range b.Pulls {
		if o.Again != "" && !slices.ContainsFunc(slices.Collect(p.fats), func(n *reading) bool { return n.Name == o.Name }) {
			return nil, b.Errorf([]any{batch.KindPulled, o.Index, "name"}, "", "%s", o.Again)
		}
	}
	p.LieAt(b, nowH)
	p.more = p.CyanideMgPerL != nil && slices.ContainsFunc(p.Lying(b, nowH), func(x Lies) bool {
		return !x.Out && x.Substance == cyanide
	})
	return p, nil
}

// LieAt settles what of these lines stays in the drink as of an hour: what was pulled later does.
func (p *Lines) LieAt(b *batch.Batch, hours float64) {
	for i := range p.Botanicals {
		r := &p.Botanicals[i]
		r.Reads.stays = r.Entry.LeaveIn && b.Lifted(r.Entry.Name, hours) == nil
	}
	p.washes()
}

// Lies is something that lay in the drink for a time, by one of its hazards. BeforeH is for how long anything
// that gives the same substance lay in it before that went in [h].
type Lies struct {
	batch.Lies
	library.Hazard
	Name    string
	BeforeH float64
}

// Counted says what of its days was over when it went in, as it stands behind them; "" where nothing was.
func (x *Lies) Counted() string {
	if x.BeforeH < 24 {
		return ""
	}
	return fmt.Sprintf(" (with the %.0f days of what gave %s before)", x.BeforeH/24, x.Substance)
}

// Lying is all of that by an hour, whatever table it was written in.
func (p *Lines) Lying(b *batch.Batch, nowH float64) (list []Lies) {
	same := map[string][]batch.Lies{}
	put := func(n *reading, times []batch.Lies) {
		for _, z := range n.Hazards() {
			for _, x := range times {
				list, same[z.Substance] = append(list, Lies{x, z, n.Name, 0}), append(same[z.Substance], x)
			}
		}
	}
	for h := range p.Steeped {
		put(&h.Reads, b.Lies(&h.Entry, nowH))
	}
	for i := range p.in {
		if x := &p.in[i]; x.solid() {
			put(&x.Reads, b.AddedLies(&x.Entry, nowH))
		}
	}
	for i := range list {
		list[i].BeforeH = batch.LainH(same[list[i].Substance], list[i].InH)
	}
	return list
}

// washes settles which fats wash the jar and are taken off again: all but what stays in the
// bottle, and what may be as much as the liquid that it lies on, which is what the rest lies in.
func (p *Lines) washes() {
	litres, fat := pouredL(p.Bases, p.Additions, func(x *Addition) bool { return x.Entry.In != nil }), 0.0
	for n := range p.fats {
		if n.Weight == nil {
			fat = math.Inf(1)
		} else {
			fat += fatLPerG * n.Weight.G
		}
	}
	off := len(p.Bases) > 0 && fat < litres
	for n := range p.fats {
		n.washed = off && !n.stays
	}
	for _, list := range []*[]Addition{&p.ToCome, &p.in} { // of the same lines
		*list = slices.Clone(*list)
		for i := range *list {
			x := &(*list)[i]
			x.Reads.washed = off && x.fatInJar()
		}
	}
}

// fats are what is mostly fat, or lies in oil, of what goes into the jar.
func (p *Lines) fats(yield func(*reading) bool) {
	for i := range p.Botanicals {
		if h := &p.Botanicals[i]; h.Reads.fat() && !h.Never && !yield(&h.Reads) {
			return
		}
	}
	for i := range p.Additions {
		if x := &p.Additions[i]; x.fatInJar() && !yield(&x.Reads) {
			return
		}
	}
}

func (x *Addition) fatInJar() bool {
	return x.Entry.In != nil && x.Reads.fat()
}

// Washes names the fats that wash the jar and are taken off again before it is bottled.
func (p *Lines) Washes() (names []string) {
	for n := range p.fats {
		if n.washed {
			Note(&names, n.Name)
		}
	}
	return names
}

// FatStays reports whether a fat in the jar is written to stay in the bottle, pulled since or not.
func (p *Lines) FatStays() bool {
	return slices.ContainsFunc(p.Botanicals, func(h Botanical) bool { return h.Reads.fat() && h.Entry.LeaveIn })
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
	return p.Some(func(h *Botanical) bool { return h.Entry.In <= hours },
		func(x *Addition) bool { return x.Entry.In != nil && *x.Entry.In <= hours })
}

// ThingsAt is how many there are of them, beside the spirits.
func (p *Lines) ThingsAt(hours float64) int {
	q := p.JarAt(hours)
	return len(q.Botanicals) + len(q.Additions)
}

// Some are those of the botanicals and additions that are in, with their fats settled by them alone.
func (p *Lines) Some(botanical func(*Botanical) bool, addition func(*Addition) bool) *Lines {
	q := *p
	q.Botanicals, q.Additions = quantity.Those(p.Botanicals, botanical), quantity.Those(p.Additions, addition)
	q.washes()
	return &q
}

// ReadOf reports whether q are all the lines that were in when the drink was measured.
func (p *Lines) ReadOf(q *Lines) bool {
	return len(q.Botanicals) == len(p.Botanicals) && len(q.Additions) >=
		len(quantity.Those(p.Additions, func(x *Addition) bool { return x.Entry.Since == batch.Since{} }))
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
	return slices.ContainsFunc(list, func(n string) bool { return strings.EqualFold(n, name) })
}

// Note adds a name once.
func Note(list *[]string, name string) {
	if !Named(*list, name) {
		*list = append(*list, name)
	}
}
