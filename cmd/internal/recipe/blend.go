package recipe

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// Blend is what is in the bottle.
type Blend struct {
	// Missing says, one sentence each, why no figure can be given; empty when
	// Result holds.
	Missing []string
	// Unread says, one sentence each, what counts as water in the likely figures of Result, since nobody
	// knows it; the ranges reach to all that so much of it can be. Absent says what is left out for want
	// of an amount.
	Unread, Absent []string
	// Trifling: there is too little of what nobody knows to be as good a food as milk, or to
	// matter to what is said of the rest.
	Trifling bool
	Result   mixture.Result
	// BareABVPercent is the strength that spirit and additions alone would
	// give, without the water fresh botanicals bring and the liquor that the
	// strained solids keep; 0 where nothing was steeped, and where something was measured, which
	// takes off or adds what neither of them did.
	BareABVPercent float64
	// WeakestJar is the strength [% vol] of the jar with the weakest bottle of every class whose
	// strength is not written; zero where all are.
	WeakestJar mixture.Range
	Portions
	// Unpriced names what has no price.
	Unpriced []string
	// Remarks are what the liquid may do: crystals, ice, cloud, jelly, layers,
	// flame, pressure.
	Remarks  []mixture.Remark
	Warnings []string
	// Dry says that no liquid is written, empty where one is.
	Dry string
	// Beyond says of what went into more than there was how much that was, one clause each.
	Beyond []string
	// Bottle is what the keeping judgement reads.
	Bottle shelf.Bottle
}

// Have reports whether the figures of the blend are there.
func (b *Blend) Have() bool { return len(b.Missing) == 0 }

// Whole reports whether they are those of all that goes in, what nobody knows on the
// careful side.
func (b *Blend) Whole() bool { return b.Have() && len(b.Absent) == 0 }

// Strange reports whether so much went in of what nobody knows that only the ranges hold.
func (b *Blend) Strange() bool { return len(b.Unread) > 0 && !b.Trifling }

// Ferments reports whether something alive in it makes alcohol of its sugar, nobody knows how far.
func (b *Blend) Ferments() bool { return b.Bottle.MakesGas() }

// Wanting lists what stands in the way of a sure answer.
func (b *Blend) Wanting() []string { return slices.Concat(b.Missing, b.Absent, b.Unread) }

// dry says that nothing of it is a liquid, by the recipe: neither a base nor an addition that
// is half water or alcohol, and nobody measured what there is; empty where something is.
func (p *Lines) dry(b *batch.Batch) string {
	m := b.Readings()
	if len(p.Bases) > 0 || m.VolumeML != nil || m.StrainedML != nil ||
		len(p.Botanicals)+len(p.Additions) == 0 {
		return ""
	}
	pours := func(per mixture.Parts) bool { return per.Water+per.Ethanol >= 0.5 || per.Fat >= 0.5 }
	for i := range p.Additions {
		if x := &p.Additions[i]; x.Missing != "" || x.Unread != "" || pours(x.Addition.PerG) {
			return ""
		}
	}
	for i := range p.Botanicals {
		if g := p.Botanicals[i].Ingredient; g != nil && pours(ingredientParts(g)) {
			return ""
		}
	}
	return "no liquid is written: what it steeps in is missing, so the figures are of the sap of the plants " +
		"alone; add it, like name = \"water\", amount = \"1~l\" under [spirit] or [[addition]]"
}

// NewBlend computes what is in the bottle.
func NewBlend(b *batch.Batch, p *Lines) (Blend, error) {
	var out Blend
	r := Mix(b, p)
	out.Missing, out.Unread, out.Absent = r.Missing, r.unread, r.absent
	for _, h := range r.left {
		out.Warnings = append(out.Warnings,
			fmt.Sprintf("%s has no known weight, so what it brings and what the strainer keeps of it are left out of the likely figures; the ranges reach to those of a jar with the most of it, so weigh it",
				h.Entry.Name))
	}
	if out.Dry = p.dry(b); out.Dry != "" {
		out.Warnings = append(out.Warnings, out.Dry)
	}
	out.Bottle = Facts(b, p)
	out.Bottle.ABVPercent.High = 100 // until it is worked out
	out.Bottle.Substances = p.Substances(pouredL(p.Bases, p.Additions, func(*Addition) bool { return true }),
		mixture.Kept{Liquor: 1, Added: 1, Late: 1})
	out.cost(p)
	if out.Cost != nil {
		r.Cost = *out.Cost
	}
	if len(out.Missing) > 0 {
		return out, nil
	}
	r.Measured = measured(b)
	res, err := r.Balance()
	var wrong *mixture.InputError
	if errors.As(err, &wrong) && wrong.Name == mixture.ReadingsName {
		return out, b.Errorf([]any{"measured"}, "abv = 22.5", "%s", wrong.Problem)
	}
	if err != nil {
		out.Missing = append(out.Missing, err.Error())
		return out, nil
	}
	out.Result = res
	if len(p.Botanicals) > 0 && r.Measured == (mixture.Measured{}) {
		q := *p
		q.Botanicals = nil
		if _, plain, err := Mix(b, &q).Likely(); err == nil {
			out.BareABVPercent = plain.ABVPercent()
		}
	}
	level := ""
	for i := range p.Additions {
		if e := &p.Additions[i].Entry; e.Late && e.Logged {
			if beyond := out.beyondInto(&b.Additives[e.Index], e.Joins); beyond != "" {
				in := "what was left over"
				if e.To != batch.LeftOver {
					in = strings.Join(numbers(e.Bottles, e.To), " or ")
				}
				beyond += "; it counts as all that was in " + in
				out.Beyond = append(out.Beyond, beyond)
				out.Warnings = append(out.Warnings, quantity.Sentence(beyond))
			}
		}
	}
	if slices.ContainsFunc(p.Additions, func(x Addition) bool {
		return x.Entry.AwayML > 0 && x.Entry.To != batch.LeftOver && x.Entry.IntoML == 0
	}) {
		level = " if the bottle that was open was nearly empty (write into = \"300~ml\" under its [[added]] if it was not)"
	}
	if len(res.Open) > 0 {
		out.Warnings = append(out.Warnings, fmt.Sprintf("What went in after bottling is in no bottle sealed by then, only in what it joined: %s%s, "+
			"another drink with days of its own; give it a batch of its own.", openWords(res.Open), level))
	}
	out.Warnings = append(out.Warnings, res.Warnings...)
	out.Portions = out.Pour(res.VolumeML, b.Finish.Bottle, b.Finish.Serve)
	out.fillIn(b)
	out.fill(b, p)
	out.weaken(b, p)
	return out, nil
}

// LeftOver reports whether something joined what no bottle holds, once others were filled, and some of that
// is left.
func (b *Blend) LeftOver() bool {
	return b.Result.Rest.AwayML > 0 && (b.Filled == nil || b.Filled.LeftML > 0)
}

// openWords says what the open bottles hold, each by its number where there are several.
func openWords(open []mixture.Poured) string {
	var said []string
	for i := range open {
		p, of := &open[i].Parts, ""
		if len(open) > 1 {
			if of = "what was left over, "; open[i].Number > 0 {
				of = fmt.Sprintf("bottle %d, ", open[i].Number)
			}
		}
		said = append(said, fmt.Sprintf("%s%s at %s %% vol", of, Litres(p.VolumeML(20)),
			quantity.InFigures(p.ABVPercent(), 3)))
	}
	return quantity.And(said)
}

// Keeps is the share of the usual liquor that its solids kept, by what was measured, as a file has it; nil where
// nothing says it.
func (out *Blend) Keeps(b *batch.Batch) *float64 {
	if out.Result.KeptShare == nil {
		return nil
	}
	all := b.Finish.Kept(*out.Result.KeptShare)
	return &all
}

func measured(b *batch.Batch) mixture.Measured {
	m := b.Readings()
	q := func(v *float64, sd float64, cause string) *mixture.Quantity {
		if v == nil {
			return nil
		}
		return &mixture.Quantity{Value: *v, SD: sd, Cause: cause}
	}
	var out mixture.Measured
	// How well a kitchen reads each, as one standard deviation: judgement.
	if m.VolumeML != nil {
		out.VolumeML = q(m.VolumeML, 0.012**m.VolumeML, "the measured volume")
	}
	if m.StrainedML != nil {
		out.StrainedML = q(m.StrainedML, 0.012**m.StrainedML, "the measured strained volume")
		out.StrainedH = m.StrainedH
	}
	out.ABVPercent = q(m.ABVPercent, 0.5, "the measured strength")
	if m.SugarGPerL != nil {
		out.SugarGPerL = q(m.SugarGPerL, 0.03**m.SugarGPerL, "the measured sugar")
	}
	out.PH = q(m.PH, 0.05, "the measured pH")
	if m.AcidGPerL != nil {
		out.AcidGPerL = q(m.AcidGPerL, 0.03**m.AcidGPerL, "the measured acid")
	}
	out.DensityKgPerM3 = q(m.DensityKgPerM3, 1, "the measured density")
	out.Brix = q(m.Brix, brixSD, "the measured Brix")
	return out
}

// cost adds up the prices that are written.
func (out *Blend) cost(p *Lines) {
	var sum float64
	var priced bool
	add := func(name string, n *reading, price *float64) {
		if price == nil && !n.Water() {
			Note(&out.Unpriced, name)
		}
		if price == nil {
			return
		}
		sum, priced = sum+*price, true
	}
	for i := range p.Bases {
		x := &p.Bases[i]
		add(cmp.Or(x.Entry.Name, "spirit"), &x.Reads, x.Entry.Price)
	}
	for x := range p.Steeped {
		add(x.Entry.Name, &x.Reads, x.Entry.Price)
	}
	for i := range p.Additions {
		x := &p.Additions[i]
		add(x.Entry.Name, &x.Reads, x.Entry.Price)
	}
	if priced {
		out.Cost = &sum
	}
}
