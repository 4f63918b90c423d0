package recipe

import (
	"fmt"
	"math"
	"slices"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/shelf/mixture"
)

// Made is what goes through the maker's hands, as far as it is known: missing says
// what must be written first, left is what nobody weighed and absent what has no
// amount, which are left out, and unread what nobody knows, which counts as water.
type Made struct {
	mixture.Recipe
	left                    []*Botanical
	Missing, unread, absent []string
}

// Mix is the recipe of a batch: what goes together, what is held back, and what cannot be
// counted.
func Mix(b *batch.Batch, p *Lines) (r Made) {
	r.Pressed, r.Alive = pressing(b), len(p.live(b)) > 0
	r.Begun, r.Full, r.Gone = p.nowH >= 0, b.Finished(p.nowH), b.Bottles(p.nowH).Emptied != nil
	r.Mixed = r.Full || p.Logged()
	clots := p.Clotting()
	var joined []mixture.Solid // additions that go in before straining
	for _, s := range p.Bases {
		if s.Missing != "" {
			r.Missing = append(r.Missing, s.Missing)
			continue
		}
		if s.Unread != "" {
			r.unread = append(r.unread, s.Unread)
		}
		s.Base.Of = s.Reads.thing()
		r.Bases = append(r.Bases, s.Base)
	}
	for h := range p.Steeped {
		if h.Weight == nil {
			r.left = append(r.left, h)
			if _, ok := h.Entry.Amount.HeaviestG(); h.Reads.untold() && !ok {
				r.absent = append(r.absent, fmt.Sprintf("weigh the %s, for the answer hangs on how much there is of what nobody knows", h.Entry.Name))
			}
			continue
		}
		if h.Ingredient != nil && len(p.Bases) == 0 { // what the rest lies in
			r.Additions = append(r.Additions,
				ingredientAddition(batch.Addition{Name: h.Entry.Name}, h.Ingredient, *h.Weight))
			continue
		}
		sd := solid(b, h)
		if milk, _ := clotting(h.Ingredient, h.Cut); milk && clots.InJar {
			sd = curdled(sd)
		}
		sd.Of = h.Reads.thing()
		sd.InH, sd.Went = h.Entry.In, p.nowH >= max(h.Entry.In, 0)
		end := b.StrainedAt()
		if out := b.OutAt(&h.Entry); out != nil {
			sd.OutH, end = out.Hours, out
		}
		if end != nil && h.Ingredient == nil {
			sd.Given = given(h.Cut.RatePerH, end.Hours-sd.InH)
		}
		r.Solids = append(r.Solids, sd)
	}
	for _, x := range p.Additions {
		if x.Missing != "" {
			r.Missing = append(r.Missing, x.Missing)
			continue
		}
		switch {
		case x.Unread != "" && x.Addition.MassG.Value == 0:
			r.absent = append(r.absent, x.Unread)
			continue
		case x.Unread != "":
			r.unread = append(r.unread, x.Unread)
		}
		x.Addition.Of, x.Addition.Went = x.Reads.thing(), p.went(&x)
		if x.Entry.In != nil && len(r.Bases) > 0 {
			joined = append(joined, x.joinsJar(clots))
			continue
		}
		r.Additions = append(r.Additions, x.told(clots, b.VolumeLogged()))
	}
	if len(p.Bases)+len(p.Additions)+len(r.Additions) == 0 {
		r.Missing = append(r.Missing, "nothing that is a liquid is written yet: add a [spirit], or [[addition]]s of syrup, juice or water")
	}
	if r.Solids = append(r.Solids, joined...); b.Finish.Keeps != nil {
		r.Keep(*b.Finish.Keeps)
	}
	r.CurdsML, r.Only = clots.CurdsML, p.Vessel
	r.unweighed()
	return r
}

// joinsJar is the addition as what goes into the jar before straining and gives itself up whole.
func (x *Addition) joinsJar(clots Clots) mixture.Solid {
	s := whole(&x.Addition)
	s.After = x.Entry.After
	if s.InH = *x.Entry.In; x.Reads.washed && x.Ingredient != nil && x.Ingredient.IsFat() {
		s.lift(x.Cut)
	}
	if milk, _ := clotting(x.Ingredient, nil); milk && clots.InJar {
		return curdled(s.Solid)
	}
	return s.Solid
}

// unweighed is the most there may be of what nobody weighed.
func (r *Made) unweighed() {
	filling := 0.0 // such things share one jar
	for _, h := range r.left {
		if h.fills() {
			filling++
		}
	}
	for _, h := range r.left {
		g := h.mostG(&r.Recipe, filling)
		if h.Ingredient != nil {
			r.Unweighed = r.Unweighed.Plus(ingredientParts(h.Ingredient).Times(g))
			continue
		}
		r.Unweighed = r.Unweighed.Plus(herbParts(h.Cut).Times(g))
		if !h.Reads.stays {
			r.UnweighedHoldML += g * h.Cut.HeldMLPerG.Value
		}
	}
}

// curdsKeepML is what curds keep of a drink that is filtered through them, ml a gram of milk: common
// practice, no source (a quarter of milk takes a tenth to a fifth of a punch). Nobody says that it is
// filtered.
var curdsKeepML = mixture.Range{Value: 0.6, Low: 0, High: 0.8}

// Clots are what clots of a drink: milk with what is sour. InJar: in the jar, which is strained of its
// curds with the rest. Of is what clots once it is mixed, which its own curds clear, CurdsML what they
// keep of it, and Filtered how often it was strained before the last of it went in.
type Clots struct {
	InJar    bool
	Of       []*Addition
	CurdsML  mixture.Range
	Filtered int
}

// Any reports whether anything clots.
func (c *Clots) Any() bool { return c.InJar || len(c.Of) > 0 }

// leastSour is from which share of acid on a plant counts as sour enough, as lemon does: berries and cream
// make a drink that nobody filters. Judgement.
const leastSour = 0.04

// clotting reports whether a thing is milk that clots, or what is sour enough for that.
func clotting(g *library.Ingredient, cut *library.Cut) (milk, sour bool) {
	if g != nil {
		return g.Dairy && !g.IsFat(), g.Kind == "juice" || g.Kind == "acid"
	}
	return false, cut != nil && cut.AcidGPerG.Value >= leastSour
}

// Clotting is what clots of it: where milk and what is sour lay in the jar, there, else once both are in.
// What joined a bottle is strained no more.
func (p *Lines) Clotting() (c Clots) {
	var jar, mix struct {
		milk, sour bool
		g          float64
	}
	for h := range p.Steeped {
		milk, sour := clotting(h.Ingredient, h.Cut)
		if jar.milk, jar.sour = jar.milk || milk, jar.sour || sour; milk && h.Weight != nil {
			jar.g += h.Weight.G
		}
	}
	for i := range p.Additions {
		x, in := &p.Additions[i], &mix
		milk, sour := clotting(x.Ingredient, nil)
		if x.Spirit != nil || !milk && !sour || x.Entry.AwayML > 0 {
			continue
		}
		if x.Entry.In != nil {
			in = &jar
		} else {
			c.Of, c.Filtered = append(c.Of, x), max(c.Filtered, x.Entry.Filtered)
		}
		if in.milk, in.sour = in.milk || milk, in.sour || sour; milk {
			in.g += x.Addition.MassG.Value
		}
	}
	c.InJar = jar.milk && jar.sour && len(p.Bases) > 0
	if !c.InJar {
		mix.milk, mix.g = mix.milk || jar.milk, mix.g+jar.g
	}
	if !mix.milk || !mix.sour && !jar.sour {
		c.Of = nil
		return c
	}
	c.CurdsML = mixture.Range{Value: curdsKeepML.Value * mix.g, High: curdsKeepML.High * mix.g}
	return c
}

// curdled is milk that clots in the jar: it gives itself up, and its curds keep some of the liquor.
func curdled(s mixture.Solid) mixture.Solid {
	keeps := mixture.Quantity{Value: curdsKeepML.Value, SD: curdsKeepML.Value / 1.645, // from nothing
		Cause: "how much of it its own curds keep", Cure: mixture.Alone + "measure what you strain off"}
	s.LeftIn, s.HeldMLPerG, s.PressedMLPerG = false, keeps, keeps
	return s
}

// went reports whether an addition is in by now, so far as is known.
func (p *Lines) went(x *Addition) bool {
	return x.Entry.Logged || (x.Entry.In == nil || *x.Entry.In <= p.nowH) &&
		!slices.ContainsFunc(p.ToCome, func(y Addition) bool { return y.Entry.Index == x.Entry.Index })
}

// told is the addition with what the log says of when it went in, before its volume was or after, and into how much.
func (x *Addition) told(clots Clots, volume bool) mixture.Addition {
	e, ad := &x.Entry, x.Addition
	ad.Late, ad.After, ad.Moot = e.Late || e.Moot && !volume, e.After || e.Moot && volume, e.Moot
	ad.Joins = joins(&e.Joins)
	if e.Price != nil {
		ad.Cost = *e.Price
	}
	ad.Clear = clots.CurdsML != (mixture.Range{}) && e.Filtered > clots.Filtered
	return ad
}

// joins is which part of the blend that is.
func joins(j *batch.Joins) mixture.Joins {
	out := mixture.Joins{Pour: j.Pour, To: j.To, AwayML: j.AwayML, IntoML: j.IntoML, NowML: j.NowML,
		ReadML: j.ReadML}
	for i := range j.Bottles {
		x := &j.Bottles[i]
		ml := math.Inf(1)
		if x.Of != nil {
			ml = millilitres(x.Of)
		}
		out.Vessels = append(out.Vessels,
			mixture.Vessel{Number: x.Number, Of: x.Pour, ML: ml, Gone: x.Emptied != nil})
	}
	return out
}

// given is the share of its sap that a plant gives in h hours: no less than it gives
// of its flavour, whose molecules are larger and slower than those of water, and no
// more than all of it.
func given(ratePerH library.Number, h float64) mixture.Range {
	out := func(k float64) float64 { return -math.Expm1(-k * math.Max(h, 0)) }
	return mixture.Range{Value: (out(ratePerH.Value) + 1) / 2, Low: out(ratePerH.Low), High: 1}
}

// pressing is how hard the solids are squeezed; half way, and all ways between,
// where nobody says.
func pressing(b *batch.Batch) mixture.Range {
	switch press := b.Finish.Press; {
	case press == nil:
		return mixture.NotSaid
	case *press:
		return mixture.Pressed
	}
	return mixture.Dripped
}

func solid(b *batch.Batch, h *Botanical) mixture.Solid {
	name := h.Entry.Name
	if h.Ingredient != nil {
		ad := ingredientAddition(batch.Addition{Name: name}, h.Ingredient, *h.Weight)
		s := whole(&ad)
		if h.Reads.washed {
			s.lift(h.Cut)
		}
		return s.Solid
	}
	s := readied{mixture.Solid{Name: name, MassG: massQuantity(name, *h.Weight), PerG: herbParts(h.Cut),
		LeftIn: b.Stayed(&h.Entry)}}
	s.keeps(h.Cut)
	if h.lent {
		if s.PerG = s.PerG.Unsure(); h.Known == nil {
			s.PerG.BufferMMol, s.May = 0, anyPlant(s.PerG.Water)
		}
		s.PerG.StrangeMMol = math.Max(herbParts(library.Unknown()).BufferMMol-s.PerG.BufferMMol, 0)
	}
	if w := h.Cut.WaterGPerG; w.Ranged() {
		s.WaterFactor = mixture.Quantity{Value: 1, SD: spread(w, 0) / w.Value,
			Cause: "the water in the " + name, Cure: mixture.Out + "weigh it before and after drying a little of it"}
	}
	if h.Cut.SugarGPerG.Value > 0.03 {
		s.SugarFactor = mixture.Quantity{Value: 1, SD: fruitSugarSD, Cause: "the sweetness of the " + name,
			Cure: mixture.Left + "measure the finished sugar"}
	}
	if h.Cut.AcidGPerG.Value > 0 {
		s.AcidFactor = fruitAcid(name)
	}
	return s.Solid
}

// anyPlant is the most that a gram of a plant nobody knows may give, where it is taken to bring so
// much water: sugar as candied or dried fruit, or acid as dried lime, no plant of the library more.
func anyPlant(water float64) []mixture.Parts {
	return []mixture.Parts{{Sucrose: 0.81, Water: min(water, 0.17)}, {Citric: 0.3}}
}

// readied is a solid being made ready for the recipe.
type readied struct{ mixture.Solid }

// whole is an ingredient that joins the jar before straining and gives itself up.
func whole(ad *mixture.Addition) readied {
	return readied{mixture.Solid{Name: ad.Name, Of: ad.Of, MassG: ad.MassG, PerG: ad.PerG, May: ad.May,
		AcidFactor: ad.AcidFactor, SugarFactor: ad.SugarFactor, LeftIn: true, Went: ad.Went}}
}

// keeps says what it holds back when it is strained.
func (s *readied) keeps(c *library.Cut) {
	q := func(n library.Number) mixture.Quantity {
		return mixture.Quantity{Value: n.Value, SD: spread(n, 0.3*n.Value),
			Cause: "what stays in the strained " + s.Name, Cure: mixture.Alone + "measure what you strain off"}
	}
	s.HeldMLPerG, s.PressedMLPerG = q(c.HeldMLPerG), q(c.PressedMLPerG)
}

// lift takes the fat off again, with its dry solids and what clings to them; what
// it held besides stays.
func (s *readied) lift(cake *library.Cut) {
	s.LeftIn, s.PerG.Fat, s.PerG.OtherSolids = false, 0, 0
	s.keeps(cake)
}

// packedGPerML is the most of a plant that goes into a jar, g to a mL of liquid,
// where nobody wrote how much: packed full. Judgement.
const packedGPerML = 1.0

// fills reports whether as much of it as fits may be in a jar, where nobody weighed it: of
// what is juicy or unknown.
func (h *Botanical) fills() bool { return h.juicy() || !h.Cut.DoseGPerL.Known() }

// mostG is the most that something nobody weighed may weigh, g: its part of what fits, where
// so many things fill the jar, and of the rest the highest usual dose.
func (h *Botanical) mostG(r *mixture.Recipe, filling float64) float64 {
	var ml float64
	for _, b := range r.Bases {
		ml += b.VolumeML.Value
	}
	for _, a := range r.Additions {
		ml += a.MassG.Value
	}
	g := packedGPerML * ml / math.Max(filling, 1)
	if !h.fills() {
		g = h.Cut.DoseGPerL.High / 1000 * ml
	}
	if most, ok := h.Entry.Amount.HeaviestG(); ok {
		g = math.Min(g, most)
	}
	return g
}
