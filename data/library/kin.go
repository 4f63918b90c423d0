package library

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"steepbook/data/quantity"
)

// Kin is what the library knows of the words of a name it does not know: "country
// cream liqueur" is a cream liqueur, "duck egg" is egg. It may be read only on
// the careful side: for what has to be named or kept cold, never for a figure.
type Kin struct {
	Botanicals  []*Botanical
	Ingredients []*Ingredient
	Spirits     []*Spirit
	Allergens   []Allergen // named outright: "cashew drink"
	Hazards     []Hazard   // of what has no entry: "guarana"
	Words       []string   // the names that were found: "cream liqueur"
	Never       []string   // what must not be steeped and may have been meant
}

// meaning is what a word of hazards/words.toml stands for.
type meaning struct {
	Name      string   `toml:"name"`
	Names     []string `toml:"names"`
	Holds     []string `toml:"holds"` // names of entries
	Allergens []string `toml:"allergens"`
	Hazards   []string `toml:"hazards"`
	Never     []string `toml:"never"`  // must not be steeped, and may have been meant
	Always    bool     `toml:"always"` // it is read of a name that is known too
}

// Always is what some words mean whatever the library knows of the others: sulphured.
func (l *Library) Always(name string) (k Kin) {
	c := l.tables.meanings()
	for _, n := range c.index().among(inflected(words(name))) {
		if m, err := c.entries[n.entry].get(); err == nil && m.Always {
			_ = k.take(l, m) // a test reads them all
		}
	}
	return k
}

// Suspected names what must not be steeped and may be meant by a name, known or not: one that
// has two meanings, as laurel may be bay or cherry laurel, holds a word that may be a poison's, or is a
// slip away from one.
func (l *Library) Suspected(name string, known bool) []string {
	for _, text := range l.readings(name) {
		if never := l.doubted(text); never != "" {
			return []string{never}
		}
		if never := l.warned(text); len(never) > 0 {
			return never
		}
	}
	if known {
		return nil
	}
	return l.NearPoison(name)
}

// warned names what must not be steeped of which words warn: the Never of Kin, for which none of its entries
// is read.
func (l *Library) warned(name string) []string {
	return remembered(&l.warns, name, func() (never []string) {
		_, said, known := l.heard(name)
		for _, x := range fullest(l.tables.meanings(), said, known) {
			never = append(never, x.Never...)
		}
		return never
	})
}

// SaidToBe says of a name what it may be that must not be steeped.
func SaidToBe(name string, never []string) string {
	return fmt.Sprintf("%s may be %s, which must not be steeped or drunk", name, quantity.Or(never))
}

// SaysMore reports whether a name has a word that a text does not have.
func SaysMore(name, text string) bool { return covered(words(name), words(text)) < 0 }

// Beside is what the cut of a thing names besides it: pods "with tonka". A form that the library lists
// of the plant names nothing.
func (l *Library) Beside(b *Botanical, name, cut string) (k Kin) {
	if cut == "" || b != nil && b.listed(words(cut)) != nil {
		return k
	}
	alone, both := l.Kin(name), l.Kin(name+", "+cut)
	return Kin{
		Botanicals:  beyond(both.Botanicals, append(slices.Clone(alone.Botanicals), b), one),
		Ingredients: beyond(both.Ingredients, alone.Ingredients, one),
		Spirits:     beyond(both.Spirits, alone.Spirits, one),
		Allergens:   beyond(both.Allergens, alone.Allergens, sameAllergen),
		Hazards:     beyond(both.Hazards, alone.Hazards, sameHazard),
	}
}

func one[T comparable](x, y T) bool { return x == y }

// beyond is what of a list is not in another.
func beyond[T any](all, but []T, same func(a, b T) bool) []T {
	return addNew(slices.Clone(but), all, same)[len(but):]
}

// take adds what a word stands for.
func (k *Kin) take(l *Library, m *meaning) error {
	for _, name := range m.Holds {
		b, err1 := include(&k.Botanicals, l.botanicals().written(name))
		i, err2 := include(&k.Ingredients, l.ingredients().written(name))
		s, err3 := include(&k.Spirits, l.spirits().written(name))
		if err := first(err1, err2, err3); err != nil {
			return err
		}
		if b+i+s == 0 {
			return fmt.Errorf("the word %q holds %q, which the library does not have", m.Name, name)
		}
		if b > 1 || i > 1 || s > 1 {
			k.Words = append(k.Words, name)
		}
	}
	for _, key := range m.Allergens {
		a, err := l.allergen(key)
		if err != nil {
			return err
		}
		k.Allergens = addNew(k.Allergens, []Allergen{*a}, sameAllergen)
	}
	for _, name := range m.Never {
		if l.MustNot(name) == nil {
			return fmt.Errorf("the word %q warns of %q, which the library does not forbid", m.Name, name)
		}
		k.Never = append(k.Never, name)
	}
	for _, key := range m.Hazards {
		h, err := l.hazard(key)
		if err != nil {
			return err
		}
		k.Hazards = append(k.Hazards, *h)
	}
	return nil
}

// include adds an entry; it says 0 where there is none, 1 where it was there
// before and 2 where it is new.
func include[T any](list *[]*T, e *entry[T]) (int, error) {
	if e == nil {
		return 0, nil
	}
	v, err := e.get()
	if err != nil || slices.Contains(*list, v) {
		return 1, err
	}
	*list = append(*list, v)
	return 2, nil
}

// Kin finds the entries one of whose names is wholly among the words of a name,
// those that say most of it: "oat milk of mine" is oat milk and no milk. A word
// that none of them has is parted: "buttercream" holds butter and cream. What
// must not be steeped is left to MustNot.
func (l *Library) Kin(name string) Kin {
	return remembered(&l.kin, name, func() Kin { return l.findKin(name) })
}

// heard are the words of a name, those with what the strange ones are made of, and the names among the words.
func (l *Library) heard(name string) (ws, said []string, known [][]string) {
	b, i, s, m := l.botanicals(), l.ingredients(), l.spirits(), l.tables.meanings()
	ws = words(name)
	said = ws
	for _, x := range []*index{b.index(), i.index(), s.index(), m.index()} {
		for _, n := range x.within(ws) {
			known = append(known, n.words())
		}
	}
	for _, w := range ws {
		named := slices.ContainsFunc(known, func(ws []string) bool { return slices.Contains(ws, w) })
		if len(w) > 3 && !describing(w) && !named {
			said = slices.Concat(said, bases(w), b.index().partsOf(w), i.index().partsOf(w),
				m.index().partsOf(w))
		}
	}
	return ws, said, known
}

func (l *Library) findKin(name string) Kin {
	b, i, s, m := l.botanicals(), l.ingredients(), l.spirits(), l.tables.meanings()
	ws, said, known := l.heard(name)
	// What is found by parting a word stands beside what is found as written, and
	// hides none of it: goat milk is no oat milk.
	k := Kin{
		Botanicals: fullest(b, said, known), Ingredients: fullest(i, said, known),
		Spirits: fullest(s, said, known),
	}
	for _, x := range []*index{b.index(), i.index(), s.index()} {
		for _, n := range x.within(said) {
			if w := strings.Join(n.words(), " "); !smaller(n.words(), known) && !slices.Contains(k.Words, w) {
				k.Words = append(k.Words, w)
			}
		}
	}
	// The seed of a herb is not that herb, but what its leaf may do is feared of it.
	k.Botanicals = slices.DeleteFunc(k.Botanicals, func(b *Botanical) bool {
		other := b.otherPart(ws)
		if other {
			k.Hazards = append(k.Hazards, b.Hazards...)
		}
		return other
	})
	allergens := l.tables.allergens()
	for _, key := range slices.Sorted(maps.Keys(allergens)) {
		if ws := words(key); covered(ws, said) >= 0 && !smaller(ws, known) {
			if a, err := allergens[key].get(); err == nil {
				k.Allergens = append(k.Allergens, *a)
			}
		}
	}
	for _, x := range fullest(m, said, known) {
		_ = k.take(l, x) // a test reads them all
	}
	return k
}

// kinOf is the kin of all names.
func (l *Library) kinOf(names ...string) (k Kin) {
	for _, n := range names {
		k = k.and(l.Kin(n))
	}
	return k
}

func (k Kin) and(x Kin) Kin {
	return Kin{
		slices.Concat(k.Botanicals, x.Botanicals), slices.Concat(k.Ingredients, x.Ingredients),
		slices.Concat(k.Spirits, x.Spirits), slices.Concat(k.Allergens, x.Allergens),
		slices.Concat(k.Hazards, x.Hazards), slices.Concat(k.Words, x.Words), slices.Concat(k.Never, x.Never),
	}
}

// fullest reads the entries one of whose names is wholly among the words said, and
// not all of it in another that is known.
func fullest[T any](c *catalog[T], said []string, known [][]string) (out []*T) {
	for _, n := range c.index().within(said) {
		if smaller(n.words(), known) {
			continue
		}
		if v, err := c.entries[n.entry].get(); err == nil {
			out = append(out, v)
		}
	}
	return out
}

// smaller reports whether the words of a name are all among those of another.
func smaller(ws []string, all [][]string) bool {
	return slices.ContainsFunc(all, func(other []string) bool {
		return len(other) > len(ws) && covered(ws, other) >= 0
	})
}

// Dry reports whether words say that a plant is dried, ground or powdered, and
// do not take it back: "semi-dried", "dried, soaked" and "fresh, ground" are wet.
func Dry(said string) bool { return dry(words(said), "dried", "ground", "powder") }

// Cooked reports whether words say that a thing was heated through.
func Cooked(said string) bool { return slices.ContainsFunc(words(said), cookedWords) }

// InOil reports whether what a name says lies in oil, which comes with it: "garlic in oil".
func InOil(name string) bool { return slices.Contains(words(name), "oilpacked") }

// Wet reports whether words say that a thing is fresh or holds water.
func Wet(said string) bool { return slices.ContainsFunc(words(said), moistWords) }

// dry reports whether one of the words that call a plant dry stands there, and
// none that takes it back.
func dry(ws []string, by ...string) bool {
	said := false
	for i, w := range ws {
		if moistWords(w) || slices.Contains(by, w) && i > 0 && halfWords(ws[i-1]) {
			return false
		}
		said = said || slices.Contains(by, w)
	}
	return said
}

var (
	halfWords   = wordSet("half")
	moistWords  = wordSet("moist")
	growing     = wordSet("growing")
	dryCuts     = wordSet("dry cut")
	cookedWords = wordSet("cooked")
)

// DryKin reports whether a name that is not known is, by its last telling word,
// a hard, dry spice of the library: the cinnamon of somebody, but no cinnamon
// leaf and no green pepper.
func (k Kin) DryKin(name string) bool {
	ws := words(name)
	telling := plain(ws)
	stated := func(w string) bool { return moistWords(w) || halfWords(w) || stateWords(w) }
	if len(telling) == 0 || slices.ContainsFunc(ws, stated) {
		return false
	}
	last, dry := telling[len(telling)-1], false
	for _, b := range k.Botanicals {
		if b.Fresh || wetMatters(b) || b.eitherWay(ws) {
			return false
		}
		dry = dry || standsIn(last, b.all()...)
	}
	return dry
}

// Strange reports whether a name and a cut ask for what the entry does not speak
// of: another part of the plant, or one that may be fresh where the entry is dry.
func (b *Botanical) Strange(name, cut string) bool {
	for _, was := range b.Said().Botanicals { // a cut of one's own makes nothing dry
		if was.Name == b.Name && was.Strange(name, cut) {
			return true
		}
	}
	ws := words(name + " " + cut)
	if b.Forbidden != "" || dry(ws, "dried", "ground", "powder") {
		return false
	}
	if b.otherPart(ws) {
		return true
	}
	if b.EitherWay(name) || !b.Fresh &&
		slices.ContainsFunc(ws, func(w string) bool { return moistWords(w) && !b.says(w) }) {
		return true
	}
	if b.Fresh || !mayBeFresh(b) {
		return false
	}
	// "dried" that is still there was taken back.
	return slices.ContainsFunc(ws, func(w string) bool {
		return w == "dried" || growing(w) && !b.says(w)
	}) || slices.ContainsFunc(words(cut), func(w string) bool {
		return telling(w) && !dryCuts(w) && !b.says(w)
	})
}

// EitherWay reports whether a name is that of the dry plant as well as of the fresh
// one: what is not said is the one that spoils sooner.
func (b *Botanical) EitherWay(name string) bool {
	return !b.Fresh && (b.FreshOrDry || b.eitherWay(words(name)))
}

// eitherWay: a further word of its own, as the seed of fennel seed, says which.
func (b *Botanical) eitherWay(ws []string) bool {
	return slices.ContainsFunc(b.AlsoFresh, func(also string) bool {
		said := words(also)
		return covered(said, ws) >= 0 && !slices.ContainsFunc(ws, func(w string) bool {
			return !slices.Contains(said, w) && standsIn(w, b.all()...)
		})
	})
}

// mayBeFresh: the rest is dry by itself, as wood, bark, nuts, coffee and cacao.
func mayBeFresh(b *Botanical) bool {
	return wetMatters(b) || slices.Contains([]string{"spice", "seed", "pod", "tea"}, b.Kind)
}

// Stranger is the cut of a plant nobody has described that may be fresh: as
// Unknown, and it brings water. Fresh herbs hold 0.6 to 0.86 g/g, roots, fruit
// and vegetables up to 0.95 (USDA; judgement as to which of them it is).
func Stranger() *Cut {
	c := Unknown()
	c.WaterGPerG = judged(0.85, 0.6, 0.95, "as most fresh plants")
	return c
}

// entries are what is common to all that it holds.
func (k Kin) entries() (all []*Entry) {
	for _, x := range k.Botanicals {
		all = append(all, &x.Entry)
	}
	for _, x := range k.Ingredients {
		all = append(all, &x.Entry)
	}
	for _, x := range k.Spirits {
		all = append(all, &x.Entry)
	}
	return all
}

// AllAllergens are those named and those of every entry, each once.
func (k Kin) AllAllergens() []Allergen {
	all := k.Allergens
	for _, e := range k.entries() {
		all = addNew(all, e.Allergens, sameAllergen)
	}
	return all
}

// AllHazards are those of the words and those of every entry, each once.
func (k Kin) AllHazards() []Hazard {
	all := addNew(nil, k.Hazards, sameHazard)
	for _, e := range k.entries() {
		all = addNew(all, e.Hazards, sameHazard)
	}
	return all
}
