package bench

import (
	"cmp"
	"fmt"
	"slices"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/spoilage"
)

// reading is what one line of a batch stands for, whichever table it is written
// in and whatever figures stand beside it. Where the library does not know the
// name, it holds what the words of the name say, read on the careful side.
type reading struct {
	name        string
	botanicals  []*library.Botanical
	ingredients []*library.Ingredient
	spirits     []*library.Spirit

	named []library.Allergen // named outright in the words of the name
	holds []library.Hazard   // the same of hazards

	lost   bool // the library does not know the name
	like   bool // the maker says what it is like
	kin    []string
	never  []string // what must not be steeped, and may have been meant
	plant  bool     // it is steeped, or known as a plant: it may be fresh
	dry    bool     // said to be dried, ground or powdered
	odd    bool     // the cut asks for what the entry does not speak of, or what it is like is fresh and low in acid
	heated bool
	stays  bool // solids that stay in the bottle
	washed bool // a fat that is taken off again
	hint   bool // it is read from words alone
	weight *library.Weight
}

// said is what the names say of the maker's own entries, whose files speak of
// figures and take no care away; nil where there are none.
func (n *reading) said() *reading {
	var k library.Kin
	add := func(own bool, x library.Kin) {
		if own {
			k.Botanicals, k.Ingredients, k.Spirits = append(k.Botanicals, x.Botanicals...), append(k.Ingredients, x.Ingredients...), append(k.Spirits, x.Spirits...)
		}
	}
	for _, b := range n.botanicals {
		add(b.Own, b.Said())
	}
	for _, g := range n.ingredients {
		add(g.Own, g.Said())
	}
	for _, s := range n.spirits {
		add(s.Own, s.Said())
	}
	if len(k.Botanicals)+len(k.Ingredients)+len(k.Spirits) == 0 {
		return nil
	}
	return &reading{name: n.name, botanicals: k.Botanicals, ingredients: k.Ingredients, spirits: k.Spirits, dry: n.dry, heated: n.heated, stays: n.stays, hint: true}
}

// stranger reads the words of a name that the library does not know. A name that
// holds the name of what it is like is that very thing: "apple, second charge".
func (n *reading) stranger(lib *library.Library, like *library.Botanical) {
	k := lib.Kin(n.name)
	n.lost = like == nil || !slices.Contains(k.Botanicals, like)
	n.kin = k.Words
	n.botanicals = append(n.botanicals, k.Botanicals...)
	n.ingredients = append(n.ingredients, k.Ingredients...)
	n.spirits = append(n.spirits, k.Spirits...)
	n.named, n.holds = k.Allergens, k.Hazards
	n.never = append(n.never, k.Never...)
	for _, near := range lib.Near(n.name) {
		if n.lost && lib.MustNot(near) != nil {
			n.never = append(n.never, near)
		}
	}
	n.dry = n.dry || k.DryKin(n.name)
}

// food reports whether an unknown thing is to be taken for one: what is no
// spirit of a known class.
func (n *reading) food() bool { return n.lost && (n.plant || len(n.spirits) == 0) }

// unsure reports whether it may bring acid, or what blunts it, that nobody knows.
func (n *reading) unsure() bool {
	return n.food() || n.lost && slices.ContainsFunc(n.spirits, func(k *library.Spirit) bool { return k.Nourishing })
}

// lowAcidFresh: a plant nobody knows is fresh and low in acid until it is said
// to be dry.
func (n *reading) lowAcidFresh() bool {
	return !(n.hint && n.dry) && slices.ContainsFunc(n.botanicals, func(b *library.Botanical) bool { return b.LowAcidFresh }) || n.plant && (n.lost || n.odd) && !n.dry
}

// label is what it is called where a substance is traced to it.
func (n *reading) label() string {
	if len(n.botanicals) == 1 && !n.lost && !n.like {
		return n.botanicals[0].Name
	}
	return n.name
}

// all is what every line of the batch stands for.
func (p *parts) all(yield func(*reading) bool) {
	for i := range p.bases {
		if !yield(&p.bases[i].is) {
			return
		}
	}
	for i := range p.botanicals {
		if !yield(&p.botanicals[i].is) {
			return
		}
	}
	for i := range p.additions {
		if !yield(&p.additions[i].is) {
			return
		}
	}
}

// facts are what the keeping judgement reads besides the figures.
func facts(b *batch.Batch, p *parts) shelf.Bottle {
	f := b.Finish
	s := shelf.Bottle{
		Heated: f.Heated, Filtered: f.Filtered, BoiledBottle: f.Boiled,
		NoSpirit: !slices.ContainsFunc(p.bases, func(x base) bool { return x.ingredient == nil || x.base.ABVPercent.Value > 0 }) &&
			!slices.ContainsFunc(p.additions, func(x extra) bool { return x.spirit != nil || x.abv != nil && *x.abv > 0 }),
	}
	read := func(n *reading) {
		if n.stays {
			note(&s.SolidsLeftIn, n.name)
		}
		if n.food() {
			note(&s.Nourishing, n.name)
		}
		if n.lowAcidFresh() {
			note(&s.FreshLowAcid, n.name)
		}
		for _, k := range n.botanicals {
			plantFacts(&s, n, k, baseStrength(p.bases))
		}
		for _, g := range n.ingredients {
			ingredientFacts(&s, n, g)
		}
		for _, k := range n.spirits {
			if k.Nourishing {
				note(&s.Nourishing, k.Name)
			}
			s.Dairy, s.Egg = s.Dairy || k.Dairy, s.Egg || k.Egg
		}
	}
	for n := range p.all {
		read(n)
		if said := n.said(); said != nil {
			read(said)
		}
	}
	s.Wine = p.wine()
	return s
}

// wines are the kinds of wine that a drink can rest on, by the words of the
// library.
var wines = map[string]spoilage.Wine{"table": spoilage.TableWine, "fortified": spoilage.FortifiedWine}

// wine is the kind of wine a drink rests on: all its wines together, in any
// table, are at least half of the liquids that bring alcohol. Where there are
// several kinds, it is the one there is most of.
func (p *parts) wine() spoilage.Wine {
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
	for i := range p.bases {
		if b := &p.bases[i]; b.base.ABVPercent.Value > 0 {
			pour(&b.is, b.base.VolumeML.Value)
		}
	}
	for i := range p.additions {
		if x := &p.additions[i]; x.addition.PerG.Ethanol > 0 {
			pour(&x.is, x.addition.PerG.Times(x.massG).VolumeML(20))
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

// note adds a name once.
func note(list *[]string, name string) {
	if !contains(*list, name) {
		*list = append(*list, name)
	}
}

// nutMilkABV is the strength of a base below which nuts make an emulsion that
// spoils like milk. Judgement.
const nutMilkABV = 15.0

func plantFacts(s *shelf.Bottle, n *reading, k *library.Botanical, baseABV float64) {
	if k.Kind == "fruit" || k.Kind == "vegetable" || n.stays {
		note(&s.Nourishing, n.name)
	}
	if k.Kind == "fruit" && (n.plant || !n.lost) && !n.hint {
		s.Fruit, s.Pulp = true, s.Pulp || n.stays
	}
	for _, is := range []struct {
		so   bool
		list *[]string
	}{
		{k.OilRich, &s.OilRich}, {k.Citral, &s.CitrusPeel}, {!k.Citral && k.Kind == "citrus", &s.OtherPeel}, {k.Red, &s.RedColour},
		{k.Gum, &s.Gums}, {k.Pectin, &s.Pectin}, {k.Nut, &s.Nuts},
		{slices.Contains([]string{"spice", "seed", "bark", "root", "pod"}, k.Kind), &s.Spices},
		{k.Fresh && (k.Kind == "herb" || k.Kind == "leaf"), &s.GreenLeaf},
	} {
		if is.so {
			note(is.list, n.name)
		}
	}
	// Ground nuts in water or weak spirit are nut milk.
	s.NutMilk = s.NutMilk || k.Nut && baseABV < nutMilkABV
}

func ingredientFacts(s *shelf.Bottle, n *reading, g *library.Ingredient) {
	for _, is := range []struct {
		so   bool
		list *[]string
	}{
		{g.Nourishing, &s.Nourishing}, {g.FreshJuice && !n.heated, &s.FreshJuice}, {g.Red, &s.RedColour}, {g.Pectin, &s.Pectin},
	} {
		if is.so {
			note(is.list, n.name)
		}
	}
	if g.Kind == "fruit" && (n.plant || !n.lost) && !n.hint { // a liquid named after a fruit has no pulp
		s.Fruit, s.Pulp = true, true
	}
	if g.Clock != "" {
		if s.Clocks == nil {
			s.Clocks = map[string]string{}
		}
		s.Clocks[n.name] = g.Clock
	}
	if n.washed && g.IsFat() {
		note(&s.FatTraces, n.name)
		return
	}
	s.Oil = s.Oil || g.IsFat()
	s.Dairy, s.NutMilk = s.Dairy || g.Dairy, s.NutMilk || g.NutMilk
	s.Egg, s.RawEgg = s.Egg || g.Egg, s.RawEgg || g.Egg && !n.heated
}

// is gathers what a line stands for.
func (n *reading) is() library.Kin {
	return library.Kin{Botanicals: n.botanicals, Ingredients: n.ingredients, Spirits: n.spirits, Allergens: n.named, Hazards: n.holds}
}

// notKnown says what the library cannot say of it, empty where it can.
func (n *reading) notKnown() string {
	if !n.lost && len(n.never) > 0 && len(n.botanicals) > 0 {
		return fmt.Sprintf("%s is taken for %s; if it is %s, it must not be steeped: ask, and write which", n.name, n.botanicals[0].Name, quantity.Or(n.never))
	}
	if !n.lost {
		return ""
	}
	text := n.name + " is not in the library: what it brings besides its alcohol is not known here"
	if n.plant {
		text = n.name + " is not in the library: whether it may be steeped at all, and what it brings, is not known here"
	}
	if len(n.kin) > 0 {
		text += fmt.Sprintf("; by its name it is taken to hold %s", quantity.And(n.kin))
	}
	if len(n.never) > 0 {
		text += fmt.Sprintf("; if it is %s, it must not be steeped", quantity.Or(n.never))
	}
	return text
}
