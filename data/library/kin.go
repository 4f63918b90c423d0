package library

import (
	"maps"
	"slices"
	"strings"
)

// Kin is what the library knows of the words of a name it does not know: "country
// cream liqueur" is a cream liqueur, "duck egg" is egg. It may be read only on
// the careful side: for what has to be named or kept cold, never for a figure.
type Kin struct {
	Botanicals  []*Botanical
	Ingredients []*Ingredient
	Spirits     []*Spirit
	Allergens   []Allergen // named outright: "cashew drink"
	Words       []string   // the names that were found: "cream liqueur"
}

// Kin finds the entries one of whose names is wholly among the words of a name,
// those that say most of it: "oat milk of mine" is oat milk and no milk. A word
// that none of them has is parted: "buttercream" holds butter and cream. What
// must not be steeped is left to MustNot.
func (l *Library) Kin(name string) Kin {
	b, i, s := l.botanicals(), l.ingredients(), l.spirits()
	ws := words(name)
	bs, is, ss := b.within(ws), i.within(ws), s.within(ws)
	all := slices.Concat(wordsOf(bs), wordsOf(is), wordsOf(ss))
	said := slices.Clone(ws)
	for _, w := range ws {
		if len(w) > 3 && !describing[w] && !slices.ContainsFunc(all, func(ws []string) bool { return slices.Contains(ws, w) }) {
			said = append(append(said, b.partsOf(w)...), i.partsOf(w)...)
		}
	}
	if len(said) > len(ws) {
		bs, is, ss = b.within(said), i.within(said), s.within(said)
		all = slices.Concat(wordsOf(bs), wordsOf(is), wordsOf(ss))
	}
	k := Kin{Botanicals: fullest(bs, all), Ingredients: fullest(is, all), Spirits: fullest(ss, all)}
	for _, ws := range all {
		if n := strings.Join(ws, " "); !smaller(ws, all) && !slices.Contains(k.Words, n) {
			k.Words = append(k.Words, n)
		}
	}
	k.Botanicals = slices.DeleteFunc(k.Botanicals, func(b *Botanical) bool { return b.otherPart(ws) })
	if known, err := l.tables.allergens.all(); err == nil {
		for _, key := range slices.Sorted(maps.Keys(known)) {
			if covered(words(key), said) >= 0 {
				k.Allergens = append(k.Allergens, known[key])
			}
		}
	}
	return k
}

// kinOf is the kin of all names of an entry.
func (l *Library) kinOf(name string, names []string) Kin {
	k := l.Kin(name)
	for _, n := range names {
		x := l.Kin(n)
		k.Botanicals, k.Ingredients, k.Spirits = append(k.Botanicals, x.Botanicals...), append(k.Ingredients, x.Ingredients...), append(k.Spirits, x.Spirits...)
		k.Allergens = append(k.Allergens, x.Allergens...)
	}
	return k
}

// found is an entry and those of its words that were asked for.
type found[T any] struct {
	e  *entry[T]
	ws []string
}

func wordsOf[T any](fs []found[T]) [][]string {
	var out [][]string
	for _, f := range fs {
		out = append(out, f.ws)
	}
	return out
}

func (c *catalog[T]) within(asked []string) (out []found[T]) {
	for _, e := range c.entries {
		best := -1
		for i, ws := range e.words() {
			if !e.never && len(plain(ws)) > 0 && covered(ws, asked) >= 0 && (best < 0 || len(ws) > len(e.words()[best])) {
				best = i
			}
		}
		if best >= 0 {
			out = append(out, found[T]{e, e.words()[best]})
		}
	}
	return out
}

// fullest reads the entries whose words are not all among those of another.
func fullest[T any](fs []found[T], all [][]string) (out []*T) {
	for _, f := range fs {
		if smaller(f.ws, all) {
			continue
		}
		if v, err := f.e.get(); err == nil {
			out = append(out, v)
		}
	}
	return out
}

// smaller reports whether the words of a name are all among those of another.
func smaller(ws []string, all [][]string) bool {
	return slices.ContainsFunc(all, func(other []string) bool { return len(other) > len(ws) && covered(ws, other) >= 0 })
}

// partsOf lists the names of one word that a word begins or ends with.
func (c *catalog[T]) partsOf(word string) (out []string) {
	for _, e := range c.entries {
		for _, ws := range e.words() {
			if len(ws) == 1 && len(ws[0]) > 2 && (strings.HasPrefix(word, ws[0]) || strings.HasSuffix(word, ws[0])) {
				out = append(out, ws[0])
			}
		}
	}
	return out
}

// Dry reports whether words say that a plant is dried, ground or powdered, and
// do not call it fresh as well.
func Dry(said string) bool {
	ws := words(said)
	return !slices.Contains(ws, "fresh") && slices.ContainsFunc(ws, func(w string) bool { return w == "dried" || w == "ground" || w == "powder" })
}

// DryKin reports whether a name that is not known is, by its last telling word,
// a dry thing of the library: the cinnamon of somebody, but no cinnamon leaf.
func (k Kin) DryKin(name string) bool {
	ws := words(name)
	telling := plain(ws)
	if len(telling) == 0 || slices.Contains(ws, "fresh") {
		return false
	}
	last, dry := telling[len(telling)-1], false
	for _, b := range k.Botanicals {
		if b.Fresh {
			return false
		}
		dry = dry || slices.ContainsFunc(append([]string{b.Name}, b.Names...), func(n string) bool { return slices.Contains(words(n), last) })
	}
	return dry
}

// Strange reports whether a cut asks for what the entry does not speak of:
// another part of the plant, or a fresh one where the entry is dry.
func (b *Botanical) Strange(cut string) bool {
	ws := words(cut)
	return b.otherPart(ws) || !b.Fresh && wetMatters(b) && slices.Contains(ws, "fresh") && !b.saysCut("fresh")
}

// Stranger is the cut of a plant nobody has described that may be fresh: as
// Unknown, and it brings water. Fresh herbs hold 0.6 to 0.86 g/g, roots, fruit
// and vegetables up to 0.95 (USDA; judgement as to which of them it is).
func Stranger() *Cut {
	c := Unknown()
	c.WaterGPerG = Number{Value: 0.85, Low: 0.6, High: 0.95, Source: "steepbook", Grade: Judgement, Note: "as most fresh plants"}
	return c
}

// An entry of the maker's own is taken, in what its file does not say, for what
// its name says, on the careful side: allergens, hazards, and what has to be kept
// cold. What the file says stands.

// allergens and hazards are those of all kin.
func (k Kin) allergens() []Allergen {
	all := slices.Clone(k.Allergens)
	add := func(as []Allergen) {
		for _, a := range as {
			if !slices.ContainsFunc(all, func(x Allergen) bool { return x.Name == a.Name }) {
				all = append(all, a)
			}
		}
	}
	for _, x := range k.Botanicals {
		add(x.Allergens)
	}
	for _, x := range k.Ingredients {
		add(x.Allergens)
	}
	for _, x := range k.Spirits {
		add(x.Allergens)
	}
	return all
}

func (k Kin) hazards() (all []Hazard) {
	for _, x := range k.Botanicals {
		all = append(all, x.Hazards...)
	}
	for _, x := range k.Ingredients {
		all = append(all, x.Hazards...)
	}
	for _, x := range k.Spirits {
		all = append(all, x.Hazards...)
	}
	return all
}

// likeKin: a plant that is not said to be dry is fresh and low in acid, unless
// it is a fruit or the kind says that it is a hard, dry spice.
func (b *Botanical) likeKin(k Kin, raw *rawBotanical) {
	said := b.Name
	for _, c := range raw.Cut {
		said += " " + c.Name
	}
	dry := Dry(said) || k.DryKin(b.Name) || raw.Fresh != nil && !*raw.Fresh
	if raw.Kind != nil && (raw.Fresh == nil || !*raw.Fresh) {
		dry = dry || !wetMatters(&Botanical{Kind: *raw.Kind})
	}
	sour := raw.Kind != nil && (*raw.Kind == "fruit" || *raw.Kind == "citrus")
	b.LowAcidFresh = !dry && !sour || !Dry(said) && slices.ContainsFunc(k.Botanicals, func(x *Botanical) bool { return x.LowAcidFresh })
	b.Fresh = b.LowAcidFresh
	b.Nut = slices.ContainsFunc(k.Botanicals, func(x *Botanical) bool { return x.Nut })
	if raw.Allergens == nil {
		b.Allergens = k.allergens()
	}
	if raw.Hazards == nil {
		b.Hazards = k.hazards()
	}
}

func (g *Ingredient) likeKin(k Kin, raw *rawIngredient) {
	kind := ""
	set(&kind, raw.Kind)
	g.Dairy, g.Egg, g.NutMilk, g.FreshJuice = kind == "dairy", kind == "egg", kind == "nut milk", kind == "juice"
	g.Nourishing = slices.Contains([]string{"dairy", "egg", "nut milk", "juice", "honey", "wine", "fruit"}, kind) ||
		raw.Per100G != nil && raw.Per100G.Protein >= leastFoodProteinG
	for _, x := range k.Ingredients {
		g.Dairy, g.Egg, g.NutMilk = g.Dairy || x.Dairy, g.Egg || x.Egg, g.NutMilk || x.NutMilk
		g.Nourishing, g.FreshJuice = g.Nourishing || x.Nourishing, g.FreshJuice || x.FreshJuice
	}
	for _, x := range k.Spirits {
		g.Dairy, g.Egg, g.Nourishing = g.Dairy || x.Dairy, g.Egg || x.Egg, g.Nourishing || x.Nourishing
	}
	if raw.Allergens == nil {
		g.Allergens = k.allergens()
	}
	if raw.Hazards == nil {
		g.Hazards = k.hazards()
	}
}

// leastFoodProteinG is the protein in 100 g from which something feeds microbes:
// lemon juice has 0.35 and table sugar none (USDA). Judgement.
const leastFoodProteinG = 0.3

// likeKin: a liquid of no class that is known is food.
func (s *Spirit) likeKin(k Kin, raw *rawSpirit) {
	s.Nourishing = len(k.Spirits) == 0
	for _, x := range k.Spirits {
		s.Dairy, s.Egg, s.Nourishing = s.Dairy || x.Dairy, s.Egg || x.Egg, s.Nourishing || x.Nourishing
	}
	for _, x := range k.Ingredients {
		s.Dairy, s.Egg, s.Nourishing = s.Dairy || x.Dairy, s.Egg || x.Egg, s.Nourishing || x.Nourishing
	}
	if raw.Allergens == nil {
		s.Allergens = k.allergens()
	}
	if raw.Hazards == nil {
		s.Hazards = k.hazards()
	}
}
