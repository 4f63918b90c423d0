// Package solve finds what to add to a blend so that the bottle comes to a wanted strength,
// sweetness, sourness or volume, and what of the recipe to leave out.
package solve

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/data/strict"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// Goal is what the bottle should come to; nil fields may be anything.
type Goal struct {
	ABVPercent, SugarGPerL, AcidGPerL, VolumeML *float64
	// Have is what is at hand, one thing each: "water", "vodka 40 %",
	// "lime juice: 200 ml" (no more than that). Empty: the usual kitchen.
	Have []string
}

// Wanted reports whether anything is asked for.
func (g Goal) Wanted() bool {
	return g.ABVPercent != nil || g.SugarGPerL != nil || g.AcidGPerL != nil || g.VolumeML != nil
}

// Correction is what to add to the blend as written, and what comes of it.
type Correction struct {
	mixture.Correction
	// OfML is what is not bottled, which it is reckoned for, 0 where nothing is bottled or all [ml].
	OfML float64
	// Less is what of the recipe's additions not to put in.
	Less []Less
	// Done is what comes of the steps as they are printed, rounded to what can be
	// measured.
	Done mixture.Parts
	// PH after it, where it is known.
	PH      float64
	PHKnown bool
	// FromABVPercent, FromSugarGPerL, FromAcidGPerL and, where PHKnown, FromPH are the blend before it.
	FromABVPercent, FromSugarGPerL, FromAcidGPerL, FromPH float64
	// Remarks are what the liquid may do after it, Keeping says how its keeping
	// changes; empty where it does not.
	Remarks []mixture.Remark
	Keeping string
	// Thinner are the flavours that it makes clearly weaker, where Thins was asked.
	Thinner []Thinner
	// Then is the batch after it, judged as every batch is; before it where there is no plan.
	Then *bench.Assessment
}

// Less is an addition that is to be smaller: Use instead of Was, in the maker's own
// measure; Use is empty where all of it stays out.
type Less struct{ Name, Was, Use string }

// Thinner is a flavour that is weaker in the bottle, of what is wanted, nil where nobody said.
type Thinner struct {
	Name     string
	From, To float64
	Wanted   *float64
}

// noticed is how many times the drink thins what is in it so that a palate notices. Judgement.
const noticed = 1.2

// Thins lists the flavours that come to be clearly weaker, of those that were tasted, by the steep of the batch.
func (c *Correction) Thins(a *bench.Assessment) {
	now, _ := unbottled(a)
	share := now.VolumeML(20) / c.Done.VolumeML(20)
	if share*noticed > 1 {
		return
	}
	for i := range a.Curves {
		if x := &a.Curves[i]; !x.Watch && x.Tasted > 0 && x.BottleNow.Value > 0 {
			c.Thinner = append(c.Thinner, Thinner{x.Name, x.BottleNow.Value, x.Thinned(share), x.Target})
		}
	}
}

// HaveError is a fault in what was said to be at hand.
type HaveError struct{ Problem string }

// Error is the fault in one sentence.
func (e *HaveError) Error() string { return e.Problem }

// For finds what to add to the blend as written to reach the goal; of what must not be
// drunk nothing.
func For(a *bench.Assessment, lib *library.Library, g Goal) (*Correction, error) {
	if not := slices.Concat(a.Keep.MustNot, a.Keep.MayBe); len(not) > 0 {
		why := "It holds, or may hold, what must not be steeped: " + strings.Join(not, "; ")
		return &Correction{Correction: mixture.Correction{Why: why, Parts: a.Blend.Result.Parts}, Then: a},
			nil
	}
	if !a.Blend.Whole() {
		return nil, &HaveError{"what is in the bottle cannot be worked out yet: " + a.Blend.Wanting()[0]}
	}
	if what := g.untold(&a.Blend); what != "" {
		return nil, &HaveError{fmt.Sprintf("what to add for its %s cannot be worked out, for nobody knows how much there is: %s",
			what, a.Blend.Unread[0])}
	}
	var stock []mixture.Stock
	var of []recipe.Addition // what each stock is
	have := g.Have
	if len(have) == 0 {
		have = usualStock(a, g)
	}
	for _, h := range have {
		s, x, err := stockOf(a.Batch, lib, h, a.Recipe.Bases)
		if err != nil {
			return nil, err
		}
		stock, of = append(stock, s), append(of, x)
	}
	for _, x := range stillOut(a, g) {
		stock = append(stock, mixture.Stock{Name: x.Entry.Name, PerG: x.Addition.PerG, LimitG: x.MassG(),
			Out: true})
		of = append(of, x)
	}
	now, ofML := unbottled(a)
	p, err := mixture.Solve(now, stock, mixture.Goal{
		ABVPercent: g.ABVPercent, SugarGPerL: g.SugarGPerL, AcidGPerL: g.AcidGPerL, VolumeML: g.VolumeML,
		Within: anotherBatch,
	})
	if err != nil {
		var in *mixture.InputError
		if errors.As(err, &in) {
			return nil, &HaveError{in.Problem}
		}
		return nil, err
	}
	g.drop(&p, stock)
	out := &Correction{Correction: p, OfML: ofML, Done: now}
	for _, x := range p.Add {
		per := stock[x.Of].PerG
		if x.OfG == 0 {
			out.Done = out.Done.Plus(per.Times(printedG(x, a.Batch.Units)))
			continue
		}
		less := lessOf(a, x, &of[x.Of])
		out.Less = append(out.Less, less)
		left := 0.0
		if use, err := quantity.ParseIn(less.Use, a.Batch.Units); err == nil {
			if share, ok := use.Over(*of[x.Of].Entry.Amount); ok {
				left = share * x.OfG
			} else if _, g, _, ok := use.Grams(); ok {
				left = g
			}
		}
		out.Done = out.Done.Plus(per.Times(left - x.OfG))
	}
	if a.Blend.Result.PHKnown {
		out.FromPH, _ = now.PH()
		out.PH, out.PHKnown = out.Done.PH()
	}
	out.FromABVPercent = now.ABVPercent()
	out.FromSugarGPerL, out.FromAcidGPerL = now.SugarGPerL(), now.AcidGPerL()
	out.Remarks = p.Parts.Remarks(mixture.Setting{StoreC: a.Keep.Verdict.AtC})
	if g.SugarGPerL != nil && out.tooSweet() != nil {
		return nil, out.tooSweet()
	}
	out.Then = after(a, now, p, of)
	was, then := shelf.Keeps(a.Blend.Bottle), shelf.Keeps(out.Then.Blend.Bottle)
	if was != then {
		out.Keeping = fmt.Sprintf("%s, was %s", then, was)
	}
	return out, nil
}

// tooSweet says that not all of the sugar stays in solution; nil where it does.
func (c *Correction) tooSweet() error {
	for _, m := range c.Remarks {
		if m.Kind == mixture.Undissolved {
			return &HaveError{"so much sugar does not stay in it: " + strings.ToLower(m.Text[:1]) +
				strings.TrimSuffix(m.Text[1:], ".")}
		}
	}
	return nil
}

// tellingShare is the part of what is asked for that the range of a figure of unknown things may have, so that
// something can be added for it. Judgement.
const tellingShare = 0.2

// untold names what is asked for of which a blend with unknown things in it may hold anything; "" where it holds none.
func (g *Goal) untold(b *recipe.Blend) string {
	r := &b.Result
	for _, x := range []struct {
		what string
		want *float64
		is   mixture.Range
	}{{"strength", g.ABVPercent, r.ABVPercent}, {"sugar", g.SugarGPerL, r.SugarGPerL}, {"acid", g.AcidGPerL, r.AcidGPerL}} {
		if b.Strange() && x.want != nil && x.is.High-x.is.Low > tellingShare**x.want {
			return x.what
		}
	}
	return ""
}

// printedG is the mass of a portion as its amount is printed.
func printedG(x mixture.Portion, units quantity.System) float64 {
	if recipe.Weighed(x.Name) {
		if m, err := quantity.ParseAmount(quantity.FormatMass(x.MassG, units)); err == nil {
			if _, g, _, ok := m.Grams(); ok {
				return g
			}
		}
		return x.MassG
	}
	if m, err := quantity.ParseIn(quantity.FormatVolume(x.VolumeML, units), units); err == nil {
		if _, ml, _, ok := m.Millilitres(); ok && x.VolumeML > 0 {
			return x.MassG * ml / x.VolumeML
		}
	}
	return x.MassG
}

// stillOut is what the recipe has yet to put in after straining, so that it may be less. What brings
// chiefly what nobody asked about stays as it is.
func stillOut(a *bench.Assessment, g Goal) (list []recipe.Addition) {
	for _, x := range a.Recipe.ToCome {
		if x.Missing == "" && x.Unread == "" && x.Entry.In == nil &&
			g.wantsLess(x.Addition.PerG, a.Blend.Result.Parts) {
			list = append(list, x)
		}
	}
	return list
}

// wantsLess reports whether less of something is to the point: of what a gram of it
// chiefly brings, in the units that misses are weighed in, less is asked for than there
// is now; or of water, where more of anything is; or of all, where the volume is asked.
func (g Goal) wantsLess(p, now mixture.Parts) bool {
	less := func(want *float64, have float64) bool { return want != nil && *want < have }
	more := func(want *float64, have float64) bool { return want != nil && *want > have }
	strong, sweet, sour := p.ABVPercent()/100, p.SugarG()/10, p.AcidG()
	most := max(strong, sweet, sour)
	return less(g.VolumeML, now.VolumeML(20)) ||
		p.Water > 0.97 && (more(g.ABVPercent, now.ABVPercent()) || more(g.SugarGPerL, now.SugarGPerL()) ||
			more(g.AcidGPerL, now.AcidGPerL())) ||
		strong > most/2 && strong > 0 && less(g.ABVPercent, now.ABVPercent()) ||
		sweet > most/2 && sweet > 0 && less(g.SugarGPerL, now.SugarGPerL()) ||
		sour > most/2 && sour > 0 && less(g.AcidGPerL, now.AcidGPerL())
}

// lessOf words a portion that stays out in the measure of its amount, or by the scale
// where that is too coarse.
func lessOf(a *bench.Assessment, x mixture.Portion, of *recipe.Addition) Less {
	was, units, part := *of.Entry.Amount, a.Batch.Units, 1.0
	if share, ok := was.Over(*a.Batch.Additions[of.Entry.Index].Amount); ok { // the rest of it
		part = share
	}
	out := Less{Name: x.Name, Was: was.Text}
	share := 1 - x.MassG/x.OfG
	if share*part < recipe.NotWorthAdding {
		return out
	}
	use, off := of.Measure(was.Times(share), units)
	if out.Use = use.Text; math.Abs(off) > quantity.CloseEnough {
		if out.Use = quantity.FormatMass(share*x.OfG, units); was.Kind == quantity.Volume &&
			!recipe.Weighed(x.Name) {
			out.Use = quantity.FormatVolume(share*x.VolumeML/(1-share), units)
		}
	}
	return out
}

// usualStock is what a kitchen has when nothing is said: water, the spirits of
// the batch at their strength, steeped in or added, sugar, and for acid the juices of
// the batch and citric acid. Vodka only where the batch has nothing that will do.
func usualStock(a *bench.Assessment, g Goal) []string {
	have := []string{"water"}
	strongest := 0.0
	spirit := func(s batch.Spirit) {
		if s.ABVPercent != nil {
			strongest = math.Max(strongest, *s.ABVPercent)
		}
		if name := s.Label(); name != "" && !recipe.Named(have, name) {
			have = append(have, name)
		}
	}
	for i := range a.Recipe.Bases {
		if s := &a.Recipe.Bases[i]; s.Unread == "" {
			spirit(s.Entry)
		}
	}
	for i := range a.Recipe.Additions {
		x := &a.Recipe.Additions[i]
		_, in := quantity.StrengthIn(x.Entry.Name)
		if x.Spirit != nil && x.Missing+x.Unread == "" && !in.Unclear &&
			x.Addition.PerG.SugarG() < plainSugar {
			spirit(batch.Spirit{Name: x.Entry.Name, ABVPercent: x.ABVPercent, InName: in.Said})
		}
	}
	if strongest < 40 && (strongest == 0 || g.ABVPercent != nil && *g.ABVPercent >= strongest) {
		have = append(have, "vodka 40 %")
	}
	have = append(have, "white sugar", "simple syrup", "rich syrup")
	if g.AcidGPerL != nil {
		for _, ad := range a.Batch.Additions {
			if strings.Contains(ad.Name, "juice") {
				have = append(have, ad.Name)
			}
		}
		have = append(have, "citric acid")
	}
	return have
}

// plainSugar is the sugar, by mass, from which an added spirit sweetens as well and is nobody's way to
// strength alone: a brandy may hold 35 g/L, a liqueur holds 100 or more (Regulation (EU) 2019/787, Annex
// I, from memory).
const plainSugar = 0.05

// drop leaves out of a plan what no kitchen measure tells: without it nothing that is wanted moves by more
// than a jug, a scale and a hydrometer show. Judgement.
func (g Goal) drop(p *mixture.Correction, stock []mixture.Stock) {
	wanted := [4]*float64{g.ABVPercent, g.SugarGPerL, g.AcidGPerL, g.VolumeML}
	figures := func(p *mixture.Parts) [4]float64 {
		return [4]float64{p.ABVPercent(), p.SugarGPerL(), p.AcidGPerL(), p.VolumeML(20)}
	}
	all, kept := figures(&p.Parts), p.Add[:0]
	tells := [4]float64{0.05, 1, 0.05, 0.003 * all[3]} // % vol, g/L, g/L, ml
	for _, x := range p.Add {
		q := p.Parts.Plus(stock[x.Of].PerG.Times(-x.MassG))
		moves, then := x.OfG > 0, figures(&q)
		for i := range wanted {
			moves = moves || wanted[i] != nil && math.Abs(then[i]-all[i]) >= tells[i]
		}
		if moves {
			kept = append(kept, x)
		} else {
			p.Parts = q
		}
	}
	p.Add = kept
}

// anotherBatch is how many times the drink a blend may make: strong spirit thinned to 1 % vol takes 40, and
// what takes more is nobody's way to it. Judgement.
const anotherBatch = 50.0

// unbottled is the drink that something can still be added to, and how much that is where it is
// less than all [ml]: what was left over; all of it where nothing else is left, to be poured
// back.
func unbottled(a *bench.Assessment) (p mixture.Parts, ml float64) {
	r := &a.Blend.Result
	if len(r.Open) > 0 {
		return r.Open[0].Parts, r.Open[0].Parts.VolumeML(20)
	}
	if f := a.Blend.Filled; f != nil && f.LeftML > 0 {
		return r.Parts.Times(f.LeftML / r.VolumeML.Value), f.LeftML
	}
	return r.Parts, 0
}

// after is the batch that comes of a plan: its figures moved, and what is added with all
// that it brings; of tells what each stock is. Of what is to be less no less harm is credited.
func after(a *bench.Assessment, now mixture.Parts, p mixture.Correction,
	of []recipe.Addition) *bench.Assessment {
	q := *a.Recipe
	q.Additions = slices.Clone(q.Additions)
	for _, x := range p.Add {
		if x.OfG == 0 {
			more := of[x.Of].Weighing(x.MassG)
			more.Entry.Late = true
			q.Additions = append(q.Additions, more)
		}
	}
	b, f := a.Blend.Bottle.Moved(now, p.Parts), recipe.Facts(a.Batch, &q)
	f.ABVPercent, f.SugarGPerL, f.WaterActivity = b.ABVPercent, b.SugarGPerL, b.WaterActivity
	f.PH, f.PHKnown = b.PH, b.PHKnown
	f.SucroseGPerL, f.Measured, f.Doubtful, f.Unknown = b.SucroseGPerL, b.Measured, b.Doubtful, b.Unknown
	f.WeakSteepH, f.WeakSteepMostH = b.WeakSteepH, b.WeakSteepMostH
	f.Preservatives, f.EggAlone, f.EggLacks = b.Preservatives, b.EggAlone, b.EggLacks
	r := &a.Blend.Result
	kept := r.MostKept
	kept.Late = r.ExplainedML / now.VolumeML(20)
	f.Substances = q.Substances(kept.Late*p.Parts.VolumeML(20)/1000, kept)
	for _, n := range b.Nourishing {
		recipe.Note(&f.Nourishing, n)
	}
	return a.With(&q, f)
}

// stockOf reads "lime juice: 200 ml" or "vodka 40 %", and what that is.
func stockOf(b *batch.Batch, lib *library.Library, text string, bases []recipe.Base) (mixture.Stock,
	recipe.Addition, error) {
	name, limit, limited := quantity.CutAmount(text)
	s := mixture.Stock{Name: name}
	fault := func(format string, args ...any) (mixture.Stock, recipe.Addition, error) {
		return s, recipe.Addition{}, &HaveError{fmt.Sprintf(format, args...)}
	}
	e := batch.Addition{Name: name}
	_, in := quantity.StrengthIn(name)
	switch {
	case in.Unclear:
		return fault("%q has no strength from 0 to 100 %% vol; write it like \"vodka 40 %%\"", name)
	case in.ByVolume:
		e.ABVPercent = &in.Percent
	}
	if !limited {
		limit = "1 kg"
	}
	amount, err := quantity.ParseIn(limit, b.Units)
	if err != nil {
		return fault("%s", err)
	}
	e.Amount = &amount
	x, err := recipe.ReadAddition(b, lib, e, bases)
	var wrong *strict.Error
	switch _, ingErr := lib.Ingredient(name); {
	case errors.As(err, &wrong):
		return fault("%s", wrong.Problem)
	case err != nil:
		return fault("%s", err)
	case x.Missing != "":
		return fault("%s", x.Missing)
	case x.Unread != "" || x.Botanical != nil && x.Reads.Plant && x.ABVPercent == nil:
		right := `write a spirit with its strength, like "vodka 40 %"`
		if in.Said {
			right = "describe it in library.toml beside the batch"
		}
		var lost *library.NotFoundError
		if errors.As(ingErr, &lost) && lost.Asked() != "" {
			right = lost.Asked()
		}
		return fault("%q is not in the library; %s", name, right)
	}
	if x.Spirit != nil && x.ABVPercent == nil {
		s.Name = fmt.Sprintf("%s %s %%", name, quantity.FormatNumber(x.Spirit.ABVPercent.Value))
	}
	s.PerG = x.Addition.PerG
	if limited {
		s.LimitG = x.MassG()
	}
	return s, x, nil
}
