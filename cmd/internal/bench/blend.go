package bench

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/acidity"
	"steepbook/shelf/mixture"
)

// made is what goes through the maker's hands, as far as it is known: missing says
// what must be written first, left is what nobody weighed and absent what has no
// amount, which are left out, and unread what nobody knows, which counts as water.
type made struct {
	mixture.Recipe
	left                    []*herb
	missing, unread, absent []string
}

func recipe(b *batch.Batch, p *parts) (r made) {
	r.Pressed = pressing(b)
	var joined []mixture.Solid // additions that go in before straining
	for _, s := range p.bases {
		if s.missing != "" {
			r.missing = append(r.missing, s.missing)
			continue
		}
		r.Bases = append(r.Bases, s.base)
	}
	for i := range p.botanicals {
		h := &p.botanicals[i]
		if h.weight == nil {
			r.left = append(r.left, h)
			continue
		}
		sd := solid(b, h)
		sd.InH = h.entry.In
		end := b.Finish.Strained
		if out := pulledAt(b, h.entry.Name); out != nil {
			sd.OutH, end = *out, &batch.Stage{Hours: *out}
		}
		if end != nil && h.ingredient == nil {
			sd.Given = given(h.cut.RatePerH, end.Hours-sd.InH)
		}
		r.Solids = append(r.Solids, sd)
	}
	for _, x := range p.additions {
		if x.missing != "" {
			r.missing = append(r.missing, x.missing)
			continue
		}
		switch {
		case x.unread != "" && x.addition.MassG.Value == 0:
			r.absent = append(r.absent, x.unread)
			continue
		case x.unread != "":
			r.unread = append(r.unread, x.unread)
		}
		if x.entry.In != nil && len(r.Bases) > 0 {
			// It joins the jar before straining and gives itself up whole.
			s := whole(&x.addition)
			if s.InH = *x.entry.In; x.is.washed {
				s.lift(x.cut)
			}
			joined = append(joined, s.Solid)
			continue
		}
		r.Additions = append(r.Additions, x.addition)
	}
	if len(p.bases) == 0 && len(p.additions) == 0 {
		r.missing = append(r.missing, "nothing that is a liquid is written yet: add a [spirit], or [[addition]]s of syrup, juice or water")
	}
	r.Solids = append(r.Solids, joined...)
	for _, h := range r.left {
		g := h.mostG(&r.Recipe)
		if h.ingredient != nil {
			r.Unweighed = r.Unweighed.Plus(ingredientParts(h.ingredient).Times(g))
			continue
		}
		r.Unweighed = r.Unweighed.Plus(herbParts(h.cut).Times(g))
		if !h.is.stays {
			r.UnweighedHoldML += g * h.cut.HeldMLPerG.Value
		}
	}
	return r
}

// blend computes what is in the bottle.
func blend(b *batch.Batch, p *parts) (Blend, error) {
	var out Blend
	r := recipe(b, p)
	out.Missing, out.Unread, out.Absent = r.missing, r.unread, r.absent
	for _, h := range r.left {
		out.Warnings = append(out.Warnings, fmt.Sprintf("%s has no known weight, so what it brings and what the strainer keeps of it are left out of the likely figures; the ranges reach to those of a jar with the most of it, so weigh it", h.entry.Name))
	}
	out.SteepABVPercent = baseStrength(p.bases)
	out.bottle = facts(b, p)
	out.cost(b)
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
	if len(p.botanicals) > 0 {
		q := *p
		q.botanicals = nil
		if _, plain, err := recipe(b, &q).Likely(); err == nil {
			out.BareABVPercent = plain.ABVPercent()
		}
	}
	out.Warnings = append(out.Warnings, res.Warnings...)
	out.Portions = out.Pour(Figure(res.VolumeML), b.Finish.Bottle, b.Finish.Serve)
	out.fill(b, p)
	if len(out.Unread) > 0 {
		for _, f := range []*mixture.Range{&out.Result.ABVPercent, &out.Result.SugarGPerL, &out.Result.AcidGPerL, &out.Result.Brix} {
			f.High = math.Inf(1)
		}
		out.Result.PHKnown = false
	}
	return out, nil
}

// baseStrength is the strength of the bases mixed, 0 where one is not known.
func baseStrength(bases []base) float64 {
	if len(bases) == 1 && bases[0].missing == "" && bases[0].base.VolumeML.Value > 0 {
		return bases[0].base.ABVPercent.Value
	}
	var all mixture.Parts
	for i := range bases {
		b := &bases[i].base
		p, err := mixture.FromVolume(b.VolumeML.Value, b.ABVPercent.Value, b.PerLitre)
		if bases[i].missing != "" || err != nil {
			return 0
		}
		all = all.Plus(p)
	}
	return all.ABVPercent()
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

func solid(b *batch.Batch, h *herb) mixture.Solid {
	name := h.entry.Name
	if h.ingredient != nil {
		ad := ingredientAddition(batch.Addition{Name: name}, h.ingredient, *h.weight)
		s := whole(&ad)
		if h.is.washed {
			s.lift(h.cut)
		}
		return s.Solid
	}
	s := readied{mixture.Solid{Name: name, MassG: massQuantity(name, *h.weight), PerG: herbParts(h.cut), LeftIn: h.entry.LeaveIn || b.Finish.LeaveIn}}
	s.keeps(h.cut)
	if h.lent {
		s.PerG = s.PerG.Unsure()
		s.PerG.BufferMMol = math.Max(s.PerG.BufferMMol, herbParts(library.Unknown()).BufferMMol)
	}
	if w := h.cut.WaterGPerG; w.Ranged() {
		s.WaterFactor = mixture.Quantity{Value: 1, SD: spread(w, 0) / w.Value, Cause: "the water in the " + name, Cure: "weigh it before and after drying a little of it"}
	}
	if h.cut.SugarGPerG.Value > 0.03 {
		// Fruit differs from fruit: cherries run from 8 to 18 % of sugar.
		// One standard deviation, judgement.
		s.SugarFactor = mixture.Quantity{Value: 1, SD: 0.15, Cause: "the sweetness of the " + name, Cure: "measure the finished sugar"}
	}
	if h.cut.AcidGPerG.Value > 0 {
		s.AcidFactor = fruitAcid(name)
	}
	return s.Solid
}

// readied is a solid being made ready for the recipe.
type readied struct{ mixture.Solid }

// whole is an ingredient that joins the jar before straining and gives itself up.
func whole(ad *mixture.Addition) readied {
	return readied{mixture.Solid{Name: ad.Name, MassG: ad.MassG, PerG: ad.PerG, AcidFactor: ad.AcidFactor, SugarFactor: ad.SugarFactor, LeftIn: true}}
}

// keeps says what it holds back when it is strained.
func (s *readied) keeps(c *library.Cut) {
	q := func(n library.Number) mixture.Quantity {
		return mixture.Quantity{Value: n.Value, SD: spread(n, 0.3*n.Value), Cause: "what stays in the strained " + s.Name, Cure: "measure what you strain off"}
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

// mostG is the most that something nobody weighed may weigh, g:
// of what is juicy or unknown as much as fits, of the rest the highest usual dose.
func (h *herb) mostG(r *mixture.Recipe) float64 {
	var ml float64
	for _, b := range r.Bases {
		ml += b.VolumeML.Value
	}
	for _, a := range r.Additions {
		ml += a.MassG.Value
	}
	g := packedGPerML * ml
	if dose := h.cut.DoseGPerL; !h.juicy() && dose.Known() {
		g = dose.High / 1000 * ml
	}
	if most, ok := heaviestG(h.entry.Amount); ok {
		g = math.Min(g, most)
	}
	return g
}

// heaviestG is the most that an amount may weigh whose weight is not known: what is
// spooned is no denser than rich syrup, what is counted no larger than the largest
// thing of that name. Judgement.
func heaviestG(a *quantity.Amount) (g float64, ok bool) {
	if a == nil {
		return 0, false
	}
	if _, _, ml, poured := a.Millilitres(); poured {
		return heaviest * ml, true
	}
	if a.Unit == "handful" {
		return 150 * a.High, true
	}
	if a.Kind != quantity.Count {
		if a.Unit == "pinch" || a.Unit == "dash" || a.Unit == "drop" || a.Unit == "splash" {
			return 20 * a.High, true
		}
		return 0, false
	}
	each, ok := heaviestPieceG[a.Noun]
	switch {
	case a.Of == "zest":
		each, ok = 15, true
	case a.Of == "peel":
		each, ok = 60, true
	}
	return each * a.High, ok
}

// heaviestPieceG is the largest of a kind of piece, g; a kind that is not here may be
// a pumpkin.
var heaviestPieceG = map[string]float64{
	"leaf": 50, "sprig": 30, "stem": 60, "strip": 30, "twist": 15, "slice": 150, "wedge": 400, "pod": 60, "bean": 10, "stick": 80, "quill": 25, "star": 5, "clove": 12,
	"berry": 15, "seed": 50, "bud": 10, "flower": 100, "blossom": 30, "petal": 2, "thread": 0.1, "corn": 1, "bag": 10, "inch": 60, "cm": 25, "bunch": 300, "head": 300, "knob": 100, "cube": 15, "chip": 10,
}

// drySpice reports whether a botanical is dry, hard and used by the spoon: it
// brings neither juice nor much that dissolves.
func drySpice(k *library.Botanical) bool {
	if k.Fresh {
		return false
	}
	switch k.Kind {
	case "spice", "seed", "bark", "root", "pod", "wood", "resin", "chilli":
		return true
	}
	return false
}

// juicy reports whether something may bring acid, or what blunts it, in
// amounts that matter even though nobody weighed it.
func (h *herb) juicy() bool {
	return h.known == nil || h.known.Fresh || h.known.Kind == "fruit" || h.known.Kind == "vegetable"
}

// brixSD is how well a refractometer reads, °Bx. Judgement.
const brixSD = 0.3

func measured(b *batch.Batch) mixture.Measured {
	m := b.Measured
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
func (out *Blend) cost(b *batch.Batch) {
	var sum float64
	var priced bool
	add := func(name string, price *float64) {
		if price == nil && !strings.EqualFold(name, "water") {
			out.Unpriced = append(out.Unpriced, name)
		}
		if price == nil {
			return
		}
		sum, priced = sum+*price, true
	}
	for _, s := range b.Spirits {
		name := s.Name
		if name == "" {
			name = "spirit"
		}
		add(name, s.Price)
	}
	for _, e := range b.Botanicals {
		add(e.Name, e.Price)
	}
	for _, e := range b.Additions {
		add(e.Name, e.Price)
	}
	if priced {
		out.Cost = &sum
	}
}

// fill writes the figures of the blend into the bottle that is judged.
func (out *Blend) fill(b *batch.Batch, p *parts) {
	r := &out.Result
	if r.Credited != nil {
		r = r.Credited
	}
	s := &out.bottle
	s.ABVPercent = r.ABVPercent
	s.SugarGPerL = r.SugarGPerL
	s.PH, s.PHKnown = r.PH, r.PHKnown
	s.WaterActivity = r.WaterActivity
	m := b.Measured
	s.Measured = shelf.Measured{ABV: m.ABVPercent != nil, Sugar: m.SugarGPerL != nil, PH: m.PH != nil}
	for _, f := range out.Result.Held {
		s.Doubtful = append(s.Doubtful, string(f))
		if (f == mixture.Acidity || f == mixture.Acid) && !r.PHKnown { // no acid explains it: that of water
			s.PH, s.PHKnown, s.Measured.PH = mixture.Exactly(acidity.Neutral), true, false
		}
	}
	litres := r.VolumeML.Value / 1000
	if litres <= 0 {
		return
	}
	s.SucroseGPerL = r.Parts.Sucrose / litres
	for n := range p.all {
		if n.weight != nil {
			s.Substances = addSubstances(s.Substances, n, litres)
		}
	}
	s.Nourishing = append(s.Nourishing, feeding(p, s.Nourishing, litres)...)
	for _, x := range p.additions {
		if x.ingredient == nil {
			continue
		}
		if most := mostBrix(x.ingredient); x.entry.Brix != nil && *x.entry.Brix > most {
			s.Doubtful = append(s.Doubtful, "Brix of the "+x.entry.Name)
			out.Warnings = append(out.Warnings, fmt.Sprintf("%s of %.1f °Bx: %.1f is the most that is believed of it. If it was boiled down write boiled_off, if it is another thing describe it in library.toml.", x.entry.Name, *x.entry.Brix, most))
		}
		for _, al := range x.ingredient.Allergens {
			// Sulphite is a preservative by what it is, and pure only as the salt.
			if x.ingredient.Kind == "preservative" && x.ingredient.Preservative == "" && strings.Contains(strings.ToLower(al.Name), "sul") {
				s.Preservatives.PotassiumMetabisulfiteMgPerL += x.massG * 1000 / litres
			}
		}
		if x.ingredient.Preservative == "" {
			continue
		}
		mgPerL := x.massG * 1000 / litres
		switch x.ingredient.Preservative {
		case "sulphite", "sulfite":
			s.Preservatives.PotassiumMetabisulfiteMgPerL += mgPerL
		case "sorbate":
			s.Preservatives.PotassiumSorbateMgPerL += mgPerL
		case "benzoate":
			s.Preservatives.SodiumBenzoateMgPerL += mgPerL
		}
	}
}

// feeding lists the steeped plants that feed microbes, where together they
// bring enough to a litre: by their sugar, or by what else comes with the sap of
// fresh plants and out of nuts, leaves, tea and coffee. Dry spices count by
// their sugar only; the grated zest of a few fruit stays below.
func feeding(p *parts, already []string, litres float64) (names []string) {
	var sugar, soft float64
	for i := range p.botanicals {
		h := &p.botanicals[i]
		if h.ingredient != nil || h.known == nil || drySpice(h.known) && h.cut.SugarGPerG.Value == 0 {
			continue
		}
		if h.weight == nil {
			if h.juicy() {
				soft = math.Inf(1)
				names = append(names, h.entry.Name)
			}
			continue
		}
		sugar += h.cut.SugarGPerG.Value * h.weight.High
		if !drySpice(h.known) {
			soft += h.weight.High
		}
		names = append(names, h.entry.Name)
	}
	if sugar/litres < leastFoodGPerL && soft/litres < leastSoftGPerL {
		return nil
	}
	return slices.DeleteFunc(names, func(n string) bool { return contains(already, n) })
}

// leastFoodGPerL and leastSoftGPerL are the sugar, and the mass of fresh plants,
// nuts, leaves, tea and coffee, from which what was steeped counts as food for
// microbes: the grated zest of a few fruit brings less, one sliced orange or a
// thumb of ginger more. Judgement.
const leastFoodGPerL, leastSoftGPerL = 3.0, 25.0

// doubtOf says why a figure may not decide; "" where it may.
func doubtOf(n library.Number) string {
	switch {
	case !n.Known() || n.Grade.Decides():
		return ""
	case n.Grade == library.Page:
		return "from an unsigned page"
	}
	return "from memory"
}

// doubtOfLimit says why a level is not counted as passed; "" where it is.
func doubtOfLimit(l library.Limit) string {
	if l.Exempt != "" {
		return "the law holds no " + l.Exempt + " to that limit"
	}
	if why := cmp.Or(doubtOf(l.MGPerL), doubtOf(l.MGPerDay)); why != "" {
		return "that limit is " + why
	}
	return ""
}

// addSubstances adds what a thing can give of what is limited, all of it taken
// as dissolved; two things that hold the same substance add up, and are held to
// the levels of both.
func addSubstances(list []shelf.Substance, n *reading, litres float64) []shelf.Substance {
	for _, h := range n.is().AllHazards() {
		if !h.MGPerG.Known() {
			continue
		}
		name := strings.ToLower(h.Substance)
		i := slices.IndexFunc(list, func(x shelf.Substance) bool { return x.Name == name })
		if i < 0 {
			i, list = len(list), append(list, shelf.Substance{Name: name, Source: h.Source})
		}
		x := &list[i]
		if !strings.Contains(x.Text, h.Text) {
			x.Text = strings.TrimSpace(x.Text + " " + h.Text)
		}
		x.MgPerL += h.MGPerG.Value * n.weight.G / litres
		x.HighMgPerL += math.Max(h.MGPerG.High, h.MGPerG.Value) * n.weight.High / litres
		x.Doubt = cmp.Or(x.Doubt, doubtOf(h.MGPerG))
		if !strings.Contains(x.From, n.label()) {
			x.From = strings.TrimPrefix(x.From+" and "+n.label(), " and ")
		}
		for _, l := range h.Limits {
			x.Limits = append(x.Limits, shelf.Limit{
				MgPerL: l.MGPerL.Value, MgPerDay: l.MGPerDay.Value, OverABV: l.OverABV, ToABV: l.ToABV, Harm: l.Harm,
				Doubt: doubtOfLimit(l), Source: l.MGPerL.Source + l.MGPerDay.Source,
			})
		}
	}
	return list
}

// remarks are what the liquid may do where it will stand.
func (a *Assessment) remarks(p *parts) []mixture.Remark {
	if !a.Blend.Have() {
		return nil
	}
	b := &a.Blend.bottle
	s := mixture.Setting{StoreC: a.Keep.Verdict.AtC, OilRich: b.OilRich, Feeds: b.Nourishing, Sealed: true}
	if a.Blend.Result.JarVolumeML > 0 {
		s.SteepABV = a.Blend.Result.JarParts.ABVPercent()
	}
	if a.Batch.RoomC != nil && *a.Batch.RoomC > 30 {
		s.WarmedC = *a.Batch.RoomC
	}
	for i := range p.botanicals {
		if k := p.botanicals[i].known; k != nil && k.Pectin {
			s.PectinRich = append(s.PectinRich, p.botanicals[i].entry.Name)
		}
	}
	for _, x := range p.additions {
		if x.ingredient == nil {
			continue
		}
		if x.ingredient.Pectin {
			s.PectinRich = append(s.PectinRich, x.entry.Name)
			s.Boiled = s.Boiled || x.entry.Heated
		}
		if x.ingredient.NutMilk {
			s.NutMilk = append(s.NutMilk, x.entry.Name)
		}
	}
	return a.Blend.Result.Parts.Remarks(s)
}
