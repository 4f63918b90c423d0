package bench

import (
	"fmt"
	"slices"
	"strings"

	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// Change is one thing that would move the keeping verdict, what to add for it,
// and what it does to the drink.
type Change struct {
	shelf.Change
	// Add is what to pour in, empty where nothing is added, and OfML the drink that it goes to.
	Add  []mixture.Portion
	OfML float64
	// ABVPercent and SugarGPerL are the drink after it.
	ABVPercent, SugarGPerL float64
	// Then is the judgement after it, in the place it advises.
	Then shelf.Verdict
	// Bottle is the drink after it.
	Bottle shelf.Bottle
	// Taste says in a few words what it does to sweetness and strength.
	Taste string
}

// changed is the drink after a change, and what was added for it.
type changed struct {
	parts  mixture.Parts
	add    []mixture.Portion
	bottle shelf.Bottle
}

// change works out what would move the verdict a step, with the blend's own
// solver for what it does to the drink.
func (a *Assessment) change() []Change {
	p := a.Recipe
	if !a.Blend.Whole() || a.Keep.NoPlace() {
		return nil
	}
	try := func(c shelf.Change) (shelf.Bottle, bool) {
		e, ok := a.effect(p, c)
		return e.bottle, ok
	}
	var out []Change
	at := shelf.Storage{Place: a.Keep.Verdict.Place, Celsius: a.Keep.Verdict.AtC, Measured: true}
	for _, c := range shelf.Changes(a.Blend.Bottle, at, try) {
		ch := Change{Change: c, Then: c.Verdict, ABVPercent: a.Blend.Result.ABVPercent.Value,
			SugarGPerL: a.Blend.Result.SugarGPerL.Value}
		switch c.Kind {
		case shelf.ChangeABV, shelf.ChangeSugar, shelf.ChangeAcid, shelf.ChangeNoJuice:
			e, ok := a.effect(p, c)
			if !ok {
				continue
			}
			ch.Bottle = e.bottle
			ch.Add, ch.OfML = e.add, a.Blend.Result.VolumeML.Value
			ch.ABVPercent, ch.SugarGPerL = e.parts.ABVPercent(), e.parts.SugarGPerL()
			ch.Taste = tasteOf(a.Blend.Result.Parts, e.parts)
		}
		out = append(out, ch)
	}
	(&keeping.Keep{}).HouseRules(a.question.House, thens(out)...)
	moves := out[:0]
	for i := range out { // what a house rule takes back moves nothing
		if then := &out[i].Then; then.Verdict != a.Keep.Verdict.Verdict ||
			then.Unopened.Low > a.Keep.Verdict.Unopened.Low {
			moves = append(moves, out[i])
		}
	}
	return moves
}

// thens are the judgements after changes.
func thens(list []Change) []*shelf.Verdict {
	out := make([]*shelf.Verdict, len(list))
	for i := range list {
		out[i] = &list[i].Then
	}
	return out
}

// effect makes a change to the blend and works out the drink after it.
func (a *Assessment) effect(p *recipe.Lines, c shelf.Change) (changed, bool) {
	now := a.Blend.Result.Parts
	litres := now.VolumeML(20) / 1000
	var e changed
	switch c.Kind {
	case shelf.ChangeABV:
		stock, ok := a.strongest(p)
		if !ok {
			return e, false
		}
		to := now.ABVPercent() + c.Amount
		plan, err := mixture.Solve(now, []mixture.Stock{stock}, mixture.Goal{ABVPercent: &to})
		if err != nil || !plan.Reached {
			return e, false
		}
		e.parts, e.add = plan.Parts, plan.Add
	case shelf.ChangeSugar:
		g := c.Amount * litres
		e.parts = now.Plus(mixture.Parts{Sucrose: g})
		e.add = []mixture.Portion{{Name: "white sugar", MassG: g, VolumeML: sugarRoomMLPerG * g}}
	case shelf.ChangeAcid:
		g, ok := citricFor(now, c.Amount)
		if !ok {
			return e, false
		}
		e.parts = now.Plus(mixture.Parts{Citric: g})
		e.add = []mixture.Portion{{Name: "citric acid", MassG: g, VolumeML: sugarRoomMLPerG * g}}
	case shelf.ChangeNoJuice:
		return a.withoutJuice(p)
	default:
		return e, false
	}
	e.bottle = a.Blend.Bottle.Moved(now, e.parts)
	return e, true
}

// sugarRoomMLPerG is the volume a gram of dissolved sugar takes (0.617 to
// 0.631 mL/g from 100 to 940 g/L in handbook tables).
const sugarRoomMLPerG = 0.625

// strongest is the strongest spirit of the batch, as stock without limit.
func (a *Assessment) strongest(p *recipe.Lines) (mixture.Stock, bool) {
	best := -1
	for i := range p.Bases {
		if p.Bases[i].Missing == "" && (best < 0 ||
			p.Bases[i].Base.ABVPercent.Value > p.Bases[best].Base.ABVPercent.Value) {
			best = i
		}
	}
	name, abv := "vodka", 40.0
	if best >= 0 {
		name, abv = p.Bases[best].Base.Name, p.Bases[best].Base.ABVPercent.Value
	}
	parts, err := mixture.FromVolume(1000, abv, mixture.Parts{})
	if err != nil || abv <= a.Blend.Result.ABVPercent.Value {
		return mixture.Stock{}, false
	}
	bare, _ := quantity.StrengthIn(name)
	return mixture.Stock{Name: fmt.Sprintf("%s %s %%", bare, quantity.FormatNumber(abv)),
		PerG: parts.PerG()}, true
}

// citricFor is the citric acid that brings the highest pH it may have down by so
// much.
func citricFor(p mixture.Parts, down float64) (g float64, ok bool) {
	_, _, from, known := p.PHRange()
	if !known {
		return 0, false
	}
	ph := func(g float64) float64 {
		_, _, v, ok := p.Plus(mixture.Parts{Citric: g}).PHRange()
		if !ok {
			return from
		}
		return v
	}
	lo, hi := 0.0, 10*p.VolumeML(20)/1000 // more than 10 g to a litre is no drink any more
	if ph(hi) > from-down {
		return 0, false
	}
	for hi-lo > 1e-7*hi {
		mid := (lo + hi) / 2
		if ph(mid) > from-down {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi, true
}

// withoutJuice is the batch with citric acid and water in place of its juices, as if they were written so: as
// sour, as strong, and no more sugar than the rest brings. What is in is not taken out again.
func (a *Assessment) withoutJuice(p *recipe.Lines) (changed, bool) {
	q := *p
	q.Additions = nil
	var juice mixture.Parts
	for _, x := range p.Additions {
		if x.Ingredient != nil && (x.Ingredient.FreshJuice || x.Ingredient.Kind == "juice") {
			if x.Entry.Logged || !slices.ContainsFunc(p.ToCome,
				func(y recipe.Addition) bool { return y.Entry.Name == x.Entry.Name }) {
				return changed{}, false
			}
			juice = juice.Plus(x.Addition.PerG.Times(x.Addition.MassG.Value))
			continue
		}
		q.Additions = append(q.Additions, x)
	}
	if len(q.Additions) == len(p.Additions) || len(q.Bases)+len(q.Additions) == 0 {
		return changed{}, false
	}
	citric := juice.AcidG()
	add := []mixture.Portion{{Name: "citric acid", MassG: citric, VolumeML: sugarRoomMLPerG * citric},
		{Name: "water", MassG: juice.Water, VolumeML: juice.Water}}
	for _, in := range add {
		amount := quantity.Amount{Low: in.MassG, High: in.MassG, Kind: quantity.Mass, Unit: "g"}
		x, err := recipe.ReadAddition(a.Batch, a.lib, batch.Addition{Name: in.Name, Amount: &amount}, q.Bases)
		if err != nil {
			return changed{}, false
		}
		q.Additions = append(q.Additions, x)
	}
	b, err := recipe.NewBlend(a.Batch, &q)
	if err != nil || !b.Whole() {
		return changed{}, false
	}
	return changed{b.Result.Parts, add, b.Bottle}, true
}

// tasteOf says what a change does to the drink. Less than a tenth of the sugar
// and half a per cent of alcohol are not noticed (a Weber fraction of 0.1 to
// 0.15 is seen for sucrose in drinks).
func tasteOf(from, to mixture.Parts) string {
	var words []string
	switch d := to.ABVPercent() - from.ABVPercent(); {
	case d > 3:
		words = append(words, "clearly stronger")
	case d > 0.5:
		words = append(words, "a little stronger")
	case d < -3:
		words = append(words, "clearly weaker")
	case d < -0.5:
		words = append(words, "a little weaker")
	}
	if s := from.SugarGPerL(); s > 5 {
		switch r := to.SugarGPerL() / s; {
		case r > 1.3:
			words = append(words, "much sweeter")
		case r > 1.1:
			words = append(words, "a little sweeter")
		case r < 0.7:
			words = append(words, "much less sweet")
		case r < 0.9:
			words = append(words, "a little less sweet")
		}
	}
	switch d := to.AcidGPerL() - from.AcidGPerL(); {
	case d > 1:
		words = append(words, "sourer")
	case d < -1:
		words = append(words, "less sour")
	}
	if len(words) == 0 {
		return "hardly tasted"
	}
	return strings.Join(words, ", ")
}
