package recipe

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/shelf"
	"steepbook/shelf/acidity"
	"steepbook/shelf/alcohol"
	"steepbook/shelf/mixture"
	"steepbook/shelf/spoilage"
)

// Facts are what the keeping judgement reads besides the figures.
func Facts(b *batch.Batch, p *Lines) shelf.Bottle {
	f := b.Finish
	s := shelf.Bottle{
		Heated: f.Heated, Filtered: f.Filtered, BoiledBottle: f.Boiled, ServeML: millilitres(f.Serve),
		NoSpirit: !slices.ContainsFunc(p.Bases,
			func(x Base) bool { return x.Ingredient == nil || x.Base.ABVPercent.Value > 0 }) &&
			!slices.ContainsFunc(p.Additions,
				func(x Addition) bool { return x.Spirit != nil || x.ABVPercent != nil && *x.ABVPercent > 0 }),
	}
	read := func(n *reading) {
		if n.stays {
			Note(&s.SolidsLeftIn, n.Name)
		}
		if n.food() {
			Note(&s.Nourishing, n.Name)
		}
		if n.untold() {
			Note(&s.Unknown, n.Name)
		}
		if library.InOil(n.Name) {
			fatFacts(&s, n)
		}
		if n.lowAcidFresh() {
			Note(&s.FreshLowAcid, n.Name)
		}
		for _, k := range n.Botanicals {
			plantFacts(&s, n, k, BaseStrength(p.Bases))
		}
		for _, g := range n.Ingredients {
			ingredientFacts(&s, n, g)
		}
		for _, k := range n.spirits {
			if k.Nourishing {
				Note(&s.Nourishing, k.Name)
			}
			s.Dairy, s.Egg = s.Dairy || k.Dairy, s.Egg || k.Egg
		}
	}
	for n := range p.All {
		for _, is := range []*reading{n, n.said(), n.spelt()} {
			if is != nil {
				read(is)
			}
		}
	}
	s.Wine, s.Live = p.wine(), p.live(b)
	for i := range p.Additions {
		if e := &p.Additions[i].Entry; !e.Pressed.IsZero() && slices.Contains(s.FreshJuice, e.Name) {
			s.Stood = append(s.Stood, shelf.Stood{Name: e.Name, Place: shelf.Place(e.Kept),
				Days: math.Max(b.GoesIn(e, p.nowH).Sub(e.Pressed).Hours()/24, 0)})
		}
	}
	return s
}

// live names what is alive in it and makes gas of sugar.
func (p *Lines) live(b *batch.Batch) (names []string) {
	for n := range p.All {
		for _, is := range []*reading{n, n.said(), n.spelt()} {
			if is != nil && is.alive() && !b.Finish.Heated {
				Note(&names, n.Name)
			}
		}
	}
	return names
}

// gasLive is the hazard of what is alive and makes gas, and gasCarbonate that of soda.
const gasLive, gasCarbonate = "gas-live", "gas-carbonate"

// wines are the kinds of wine that a drink can rest on, by the words of the
// library.
var wines = map[string]spoilage.Wine{"table": spoilage.TableWine, "fortified": spoilage.FortifiedWine}

// wine is the kind of wine a drink rests on: all its wines together, in any
// table, are at least half of the liquids that bring alcohol. Where there are
// several kinds, it is the one there is most of.
func (p *Lines) wine() spoilage.Wine {
	ml, all := map[spoilage.Wine]float64{}, 0.0
	pour := func(n *reading, volume float64) {
		kind := spoilage.NoWine
		for _, k := range n.spirits {
			kind = cmp.Or(wines[k.Wine], kind)
			for _, x := range k.Said().Spirits {
				kind = cmp.Or(wines[x.Wine], kind)
			}
		}
		ml[kind] += volume
		all += volume
	}
	for i := range p.Bases {
		if b := &p.Bases[i]; b.Base.ABVPercent.Value > 0 {
			pour(&b.Reads, b.Base.VolumeML.Value)
		}
	}
	for i := range p.Additions {
		if x := &p.Additions[i]; x.Addition.PerG.Ethanol > 0 {
			pour(&x.Reads, x.Addition.PerG.Times(x.MassG()).VolumeML(20))
		}
	}
	table, fortified := ml[spoilage.TableWine], ml[spoilage.FortifiedWine]
	switch {
	case table+fortified <= 0 || table+fortified < ml[spoilage.NoWine]:
		return ""
	case fortified > table:
		return spoilage.FortifiedWine
	}
	return spoilage.TableWine
}

// nutMilkABV is the strength of a base below which nuts make an emulsion that
// spoils like milk. Judgement.
const nutMilkABV = 15.0

func plantFacts(s *shelf.Bottle, n *reading, k *library.Botanical, baseABV float64) {
	if k.Kind == "fruit" || k.Kind == "vegetable" || n.stays {
		Note(&s.Nourishing, n.Name)
	}
	if k.Kind == "fruit" && (n.Plant || !n.Lost) && !n.hint {
		s.Fruit, s.Pulp = true, s.Pulp || n.stays
	}
	for _, is := range []struct {
		so   bool
		list *[]string
	}{
		{k.OilRich, &s.OilRich}, {k.Citral, &s.CitrusPeel}, {!k.Citral && k.Kind == "citrus", &s.OtherPeel},
		{k.Red, &s.RedColour},
		{k.Gum, &s.Gums}, {k.Pectin, &s.Pectin}, {k.Nut, &s.Nuts},
		{slices.Contains([]string{"spice", "seed", "bark", "root", "pod"}, k.Kind), &s.Spices},
		{k.Fresh && (k.Kind == "herb" || k.Kind == "leaf"), &s.GreenLeaf},
	} {
		if is.so {
			Note(is.list, n.Name)
		}
	}
	// Ground nuts in water or weak spirit are nut milk.
	s.NutMilk = s.NutMilk || k.Nut && baseABV < nutMilkABV
}

// fatFacts is fat that washed it, else what the rest lies in.
func fatFacts(s *shelf.Bottle, n *reading) {
	if n.washed {
		Note(&s.FatTraces, n.Name)
	}
	s.Oil = s.Oil || !n.washed
}

func ingredientFacts(s *shelf.Bottle, n *reading, g *library.Ingredient) {
	for _, is := range []struct {
		so   bool
		list *[]string
	}{
		{g.Nourishing, &s.Nourishing}, {g.FreshJuice && !n.heated, &s.FreshJuice}, {g.Red, &s.RedColour},
		{g.Pectin, &s.Pectin},
	} {
		if is.so {
			Note(is.list, n.Name)
		}
	}
	if g.Kind == "fruit" && (n.Plant || !n.Lost) && !n.hint { // a liquid named after a fruit has no pulp
		s.Fruit, s.Pulp = true, true
	}
	if g.Clock != "" {
		if s.Clocks == nil {
			s.Clocks = map[string]string{}
		}
		s.Clocks[n.Name] = g.Clock
	}
	if g.IsFat() {
		if fatFacts(s, n); n.washed {
			return
		}
	}
	milk := !n.stays || !g.IsFat() // fat that stays has the days of oil, butter too
	s.Dairy, s.NutMilk = s.Dairy || g.Dairy && milk, s.NutMilk || g.NutMilk && milk
	s.Egg, s.RawEgg = s.Egg || g.Egg, s.RawEgg || g.Egg && !n.MadeSafe()
}

// fill writes the figures of the blend into the bottle that is judged.
func (out *Blend) fill(b *batch.Batch, p *Lines) {
	r := &out.Result
	if r.Credited != nil {
		r = r.Credited
	}
	s := &out.Bottle
	s.ABVPercent = r.ABVPercent
	s.SugarGPerL = r.SugarGPerL
	s.PH, s.PHKnown = r.PH, r.PHKnown
	s.WaterActivity = r.WaterActivity
	m := &out.Result.Read
	if !slices.ContainsFunc(p.Additions, func(x Addition) bool { return x.Entry.Since != batch.Since{} }) {
		s.Measured = shelf.Measured{ABV: m.ABVPercent != nil, Sugar: m.SugarGPerL != nil, PH: m.PH != nil}
	}
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
	s.Substances = p.Substances(out.Result.ExplainedML/1000, r.MostKept)
	if out.Trifling = untoldG(p) < leastRichGPerL*fewestLitres(&r.Parts); out.Trifling {
		for _, name := range s.Unknown {
			Note(&s.Nourishing, name)
		}
		s.Unknown = nil
	}
	s.Nourishing = append(s.Nourishing, feeding(p, s.Nourishing, fewestLitres(&r.Parts)/r.Kept.Liquor)...)
	for i := range p.Additions {
		x := &p.Additions[i]
		if x.Ingredient == nil {
			continue
		}
		mgPerL := x.MassG() * x.kept(r.Kept) * 1000 / litres
		if most := mostBrix(x.Ingredient); x.Entry.Brix != nil && *x.Entry.Brix > most {
			s.Doubtful = append(s.Doubtful, "Brix of the "+x.Entry.Name)
			out.Warnings = append(out.Warnings,
				fmt.Sprintf("%s of %.1f °Bx: %.1f is the most that is believed of it. If it was boiled down write boiled_off, if it is another thing describe it in library.toml.",
					x.Entry.Name, *x.Entry.Brix, most))
		}
		for _, al := range x.Ingredient.Allergens {
			// Sulphite is a preservative by what it is, and pure only as the salt.
			if x.Ingredient.Kind == "preservative" && x.Ingredient.Preservative == "" &&
				strings.Contains(strings.ToLower(al.Name), "sul") {
				s.Preservatives.PotassiumMetabisulfiteMgPerL += mgPerL
			}
		}
		if x.Ingredient.Preservative == "" {
			continue
		}
		switch x.Ingredient.Preservative {
		case "sulphite", "sulfite":
			s.Preservatives.PotassiumMetabisulfiteMgPerL += mgPerL
		case "sorbate":
			s.Preservatives.PotassiumSorbateMgPerL += mgPerL
		case "benzoate":
			s.Preservatives.SodiumBenzoateMgPerL += mgPerL
		}
	}
}

// weaken opens the strengths to those of the weakest bottle of every class whose strength nobody
// wrote, so that none that is written counts for less.
func (out *Blend) weaken(b *batch.Batch, p *Lines) {
	q, unsaid := p.weakest()
	if !unsaid {
		return
	}
	r := Mix(b, q)
	r.Measured = measured(b)
	weak, err := r.Balance()
	if err != nil {
		return
	}
	out.WeakestJar = weak.JarABVPercent
	if !out.Bottle.Measured.ABV {
		if weak.Credited != nil {
			weak = *weak.Credited
		}
		out.Bottle.OrWeaker(weak.ABVPercent)
		out.Result.ABVPercent.Low = math.Min(out.Result.ABVPercent.Low, weak.ABVPercent.Low)
	}
}

// weakest are the lines with the weakest bottle of every class whose strength nobody wrote;
// unsaid: there is such a one.
func (p *Lines) weakest() (q *Lines, unsaid bool) {
	w := *p
	w.Bases, w.Additions = slices.Clone(p.Bases), slices.Clone(p.Additions)
	for i := range w.Bases {
		if x := &w.Bases[i]; x.Entry.ABVPercent == nil && x.Known != nil && x.Known.ABVPercent.Low > 0 {
			x.Base.ABVPercent, _ = strength(&x.Known.ABVPercent.Low, nil, "")
			unsaid = true
		}
	}
	for i := range w.Additions {
		x := &w.Additions[i]
		if x.ABVPercent != nil || x.Spirit == nil || x.Spirit.ABVPercent.Low <= 0 || x.MassG() <= 0 {
			continue
		}
		ml := mixture.Quantity{Value: x.Addition.PerG.Times(x.MassG()).VolumeML(20)}
		ml.SD = ml.Value * x.Addition.MassG.SD / x.Addition.MassG.Value
		abv, _ := strength(&x.Spirit.ABVPercent.Low, nil, "")
		if weak, err := spiritAddition(x.Entry.Name, x.Spirit, ml, abv); err == nil {
			is := &x.Addition
			weak.Clear, weak.Untold = is.Clear, is.Untold
			weak.Of, weak.Joins = is.Of, is.Joins
			x.Addition, unsaid = weak, true
		}
	}
	return &w, unsaid
}

// fewestLitres is how little there is of a drink without its water, litres: at the strength
// from which food counts no more (shelf: 26 % vol at the worst), or as rich syrup. Food is
// judged in that little, so that no water takes it away.
func fewestLitres(p *mixture.Parts) float64 { // g over g/L
	dissolved := p.SugarG() - p.UndissolvedG(20) // what lies on the bottom keeps nothing
	return math.Max(p.Ethanol/alcohol.EthanolDensity20/foodABV, dissolved/syrupGPerL)
}

// foodABV is the strength from which food counts no more, as a part, and syrupGPerL the sugar
// of a rich syrup, 2:1 by weight.
const foodABV, syrupGPerL = 0.27, 870.0

// feeding lists the steeped plants that feed microbes, where together they
// bring enough to a litre: by their sugar, or by what else comes with the sap of
// fresh plants and out of nuts, leaves, tea and coffee. Dry spices count by
// their sugar only; the grated zest of a few fruit stays below.
func feeding(p *Lines, already []string, litres float64) (names []string) {
	var sugar, soft float64
	for h := range p.Steeped {
		if h.Ingredient != nil || h.Known == nil || drySpice(h.Known) && h.Cut.SugarGPerG.Value == 0 {
			continue
		}
		if h.Weight == nil {
			if h.juicy() {
				soft = math.Inf(1)
				names = append(names, h.Entry.Name)
			}
			continue
		}
		sugar += h.Cut.SugarGPerG.Value * h.Weight.High
		if !drySpice(h.Known) {
			soft += h.Weight.High
		}
		names = append(names, h.Entry.Name)
	}
	if sugar < leastFoodGPerL*litres && soft < leastSoftGPerL*litres {
		return nil
	}
	return slices.DeleteFunc(names, func(n string) bool { return Named(already, n) })
}

// untoldG is the most that may be in it of what nobody knows, g.
func untoldG(p *Lines) (g float64) {
	for i := range p.Bases {
		if x := &p.Bases[i]; x.Reads.untold() || x.Unread != "" {
			g += heaviest * (x.Base.VolumeML.Value + x.Base.VolumeML.SD*Ninety/2)
		}
	}
	for h := range p.Steeped {
		switch {
		case !h.Reads.untold():
		case h.Weight == nil:
			return math.Inf(1)
		default:
			g += h.Weight.High
		}
	}
	for i := range p.Additions {
		switch x := &p.Additions[i]; {
		case !x.Reads.untold() && x.Unread == "":
		case x.Addition.MassG.Value == 0:
			return math.Inf(1)
		default:
			g += heaviest * (x.Addition.MassG.Value + x.Addition.MassG.SD*Ninety/2)
		}
	}
	return g
}

// leastRichGPerL is how much of what nobody knows counts as food as rich as milk: were all of it
// protein, less would bring no more of that than orange juice holds (0.7 g in 100 g, see
// data/ingredients/juices.toml), which is no such food; a hundredth of milk brings 0.3 g/L (3.3 g
// in 100 g, from memory). Less is food for microbes only. Judgement.
const leastRichGPerL = 7.0

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
