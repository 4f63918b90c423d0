package recipe

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf/harm"
	"steepbook/shelf/mixture"
)

// Substances are what all the lines can give of what is limited to so many litres, in which so
// much of them is left; where not even the least that there is of it is known, litres is 0 and
// nobody can say how much.
func (p *Lines) Substances(litres float64, kept mixture.Kept) (list []harm.Substance) {
	add := func(n *reading, share float64) {
		if share <= 0 {
			return
		}
		if d, ok := p.dosed(n, litres/share); ok {
			list = addSubstances(list, n, d, p.CyanideMgPerL != nil)
		}
	}
	for i := range p.Bases {
		add(&p.Bases[i].Reads, kept.Liquor)
	}
	for h := range p.Steeped {
		add(&h.Reads, kept.Liquor)
	}
	for i := range p.Additions {
		add(&p.Additions[i].Reads, p.Additions[i].kept(kept))
	}
	return harm.Told(list, cyanide, p.CyanideMgPerL, p.more)
}

// cyanide is the one substance that a maker may have measured.
const cyanide = "hydrogen cyanide"

// kept is how much of it is left in the bottle.
func (x *Addition) kept(k mixture.Kept) float64 {
	switch {
	case x.Entry.Late:
		return k.Late
	case x.Entry.In != nil:
		return k.Liquor
	case x.Addition.Clear:
		return 1
	}
	return k.Added
}

// dose is what of a thing is in a litre, g: the likely, the high end, and the most there may be
// for all anybody knows. guessed: nobody weighed it.
type dose struct {
	likely, high, most float64
	guessed            bool
}

// handfulGPerL is what stands in a recipe without an amount, where its usual dose is less: that of
// a pinch may have been a handful of the dry thing, 8 g to a bottle of 0.7 L. Judgement.
const handfulGPerL = 12.0

// dosed is the dose of a line in so many litres. What nobody weighed has its usual dose for the
// bases; of a spoon, a cup or a handful, which may hold far more, the likely is as far from the
// least of that as from the most it holds.
func (p *Lines) dosed(n *reading, litres float64) (d dose, ok bool) {
	if w := n.Weight; w != nil {
		return dose{w.G / litres, w.High / litres, w.High / litres, false}, w.G > 0
	}
	usual, amount := p.usual(n)
	if !usual.Known() || usual.High <= 0 {
		return d, false
	}
	thinned := 1.0
	if in := pouredL(p.Bases, nil, nil); litres > 0 && in > 0 {
		thinned = in / litres
	}
	d = dose{usual.Value * thinned, usual.High * thinned, math.Max(usual.High, handfulGPerL) * thinned, true}
	if most, ok := amount.HeaviestG(); ok && litres > 0 && (poured(amount) || amount.Unit == "handful") {
		d.high, d.most = most/litres, most/litres
		d.likely = math.Min(math.Sqrt(usual.Low*thinned*d.high), d.high)
	}
	return d, true
}

// usual is the dose that a line usually has, g to a litre of base, and its amount as written.
func (p *Lines) usual(n *reading) (library.Number, *quantity.Amount) {
	for i := range p.Botanicals {
		if h := &p.Botanicals[i]; &h.Reads == n {
			return h.Cut.DoseGPerL, h.Entry.Amount
		}
	}
	for i := range p.Additions {
		if x := &p.Additions[i]; &x.Reads == n && x.Cut != nil {
			return x.Cut.DoseGPerL, x.Entry.Amount
		}
	}
	return library.Number{}, nil
}

// pouredL is the alcohol and water of the liquids of which it is known how much there is,
// litres: the least that what goes in is thinned with, where no yield can be worked out. of says which of
// the additions count.
func pouredL(bases []Base, additions []Addition, of func(*Addition) bool) (litres float64) {
	pour := func(all mixture.Parts) {
		litres += mixture.Parts{Ethanol: all.Ethanol, Water: all.Water}.VolumeML(20) / 1000
	}
	for i := range bases {
		b := &bases[i].Base
		if all, err := mixture.FromVolume(b.VolumeML.Value, b.ABVPercent.Value, b.PerLitre); err == nil &&
			bases[i].Missing == "" {
			pour(all)
		}
	}
	for i := range additions {
		if x := &additions[i]; x.Missing == "" && of(x) {
			pour(x.Addition.PerG.Times(x.MassG()))
		}
	}
	return litres
}

// addSubstances adds what a thing can give of what is limited, all of it taken
// as dissolved; two things that hold the same substance add up, and are held to
// the levels of both.
func addSubstances(list []harm.Substance, n *reading, in dose, read bool) []harm.Substance {
	for _, h := range n.Hazards() {
		name := strings.ToLower(h.Substance)
		if !h.MGPerG.Known() && !(read && name == cyanide) {
			continue
		}
		i := slices.IndexFunc(list, func(x harm.Substance) bool { return x.Name == name })
		if i < 0 {
			i, list = len(list), append(list, harm.Substance{Name: name, Source: h.Source})
		}
		x := &list[i]
		if !strings.Contains(x.Do, h.Do) {
			x.Do = strings.TrimSpace(x.Do + " " + h.Do)
		}
		if !strings.Contains(x.Text, h.Text) {
			x.Text = strings.TrimSpace(x.Text + " " + h.Text)
		}
		if in.guessed {
			x.Unweighed = strings.TrimPrefix(x.Unweighed+" and "+n.Name, " and ")
		}
		x.MgPerL += h.MGPerG.Value * in.likely
		x.HighMgPerL += math.Max(h.MGPerG.High, h.MGPerG.Value) * in.high
		x.MostMgPerL += math.Max(h.MGPerG.High, h.MGPerG.Value) * in.most
		if why := doubtOf(h.MGPerG); why != "" {
			x.Doubt = cmp.Or(x.Doubt, why)
			x.DoubtedMgPerL += h.MGPerG.Value * in.likely
		}
		if !strings.Contains(x.From, n.label()) {
			x.From = strings.TrimPrefix(x.From+" and "+n.label(), " and ")
		}
		for _, l := range h.Limits {
			x.Limits = append(x.Limits, harm.Limit{
				MgPerL: l.MGPerL.Value, MgPerDay: l.MGPerDay.Value, OverABV: l.OverABV, ToABV: l.ToABV,
				Harm: l.Harm, Lasting: l.Lasting, Doubt: doubtOfLimit(l),
				Source: l.MGPerL.Source + l.MGPerDay.Source,
			})
		}
	}
	return list
}
