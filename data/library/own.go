package library

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"steepbook/data"
	"steepbook/data/strict"
)

// fileIn is any file of the library: the embedded ones hold one kind of entry each,
// the maker's may hold all.
type fileIn struct {
	Botanical  []botanicalIn  `toml:"botanical"`
	Ingredient []ingredientIn `toml:"ingredient"`
	Spirit     []spiritIn     `toml:"spirit"`
	Source     []data.Source  `toml:"source"`
}

// With returns a library that also knows the entries of the maker's file. An
// entry with a known name changes what it gives and keeps the rest; a cut is
// matched by its name, and its measures come before the known ones. Figures
// without a source become the maker's own. Errors are strict errors with file,
// line and a right example.
func (l *Library) With(file string, src []byte) (*Library, error) {
	var in fileIn
	doc, err := strict.Decode(file, src, &in)
	if err != nil {
		return nil, spiritKey(err)
	}
	r := &reader{lib: l, doc: doc, own: true, sources: map[string]data.Source{}}
	maps.Copy(r.sources, l.own)
	for i, s := range in.Source {
		if s.Key == "" || s.Title == "" {
			return nil, r.fault([]any{"source", i}, `key = "scale 2026"`, "a source needs a key and a title")
		}
		r.sources[s.Key] = s
	}
	bots, err := overlay(r, l.botanicals(), in.Botanical, r.botanical)
	if err != nil {
		return nil, err
	}
	ings, err := overlay(r, l.ingredients(), in.Ingredient, r.ingredient)
	if err != nil {
		return nil, err
	}
	spis, err := overlay(r, l.spirits(), in.Spirit, r.spirit)
	if err != nil {
		return nil, err
	}
	out := &Library{
		file: file, tables: l.tables, own: r.sources,
		botanicals:  func() *catalog[Botanical] { return bots },
		ingredients: func() *catalog[Ingredient] { return ings },
		spirits:     func() *catalog[Spirit] { return spis },
	}
	for _, e := range bots.entries {
		if e.read == nil && slices.ContainsFunc(e.value.Cuts, func(c Cut) bool { return c.Taught != nil }) {
			out.taught = append(out.taught, e.name)
		}
	}
	return out, nil
}

// spiritKey points from the keys of a batch file to those of a library file.
func spiritKey(err error) error {
	var e *strict.Error
	if !errors.As(err, &e) {
		return err
	}
	for _, key := range []string{"abv", "proof", "strength"} {
		if strings.HasPrefix(e.Problem, fmt.Sprintf("unknown key %q in [[spirit]]", key)) {
			e.Problem = fmt.Sprintf("unknown key %q in [[spirit]]; "+
				"a library file has abv_percent, in %% vol from 0 to 97", key)
			e.Right = "abv_percent = 40"
		}
	}
	return err
}

// based is a pointer to an entry, or to what a file says of one.
type based[T any] interface {
	*T
	base() *Entry
}

// overlay copies a catalog and lays the maker's entries over it.
func overlay[T, In any, PT based[T], PIn based[In]](r *reader, known *catalog[T], in []In,
	read func(path []any, in *In, v *T) error) (*catalog[T], error) {
	if len(in) == 0 {
		return known, nil
	}
	kind, entries := known.kind, slices.Clone(known.entries)
	seen := make(map[string]bool)
	for i := range in {
		path := []any{kind, i}
		e := &entry[T]{header: &header{name: strings.TrimSpace(PIn(&in[i]).base().Name)}, value: new(T)}
		if len(words(e.name)) == 0 {
			return nil, r.fault(path, `name = "lemon myrtle"`, "a [[%s]] needs a name", kind)
		}
		if old, exact := known.find(e.name); old != nil && exact {
			v, err := old.get()
			if err != nil {
				return nil, err
			}
			*e.value, e.name, e.never = *v, old.name, old.never
			entries = slices.DeleteFunc(entries, func(x *entry[T]) bool { return x.name == e.name })
		}
		if seen[e.name] {
			return nil, r.fault(at(path, "name"), "",
				"%s %q is written twice; put both into one [[%s]]", kind, e.name, kind)
		}
		seen[e.name] = true
		base := PT(e.value).base()
		base.Name = e.name
		if err := read(path, &in[i], e.value); err != nil {
			return nil, err
		}
		e.names = base.Names
		entries = append(entries, e)
	}
	return newCatalog(kind, entries), nil
}

// Untaught is the library without the rates that a batch file had a part in
// teaching; "" takes back every rate that batches taught. A batch must not be
// met with what it said itself, nor teach twice. It is l itself where there is
// nothing to take back.
func (l *Library) Untaught(file string) *Library {
	var bots *catalog[Botanical]
	var left []string
	for _, name := range l.taught {
		cat := l.botanicals()
		if bots != nil {
			cat = bots
		}
		old := cat.written(name)
		b, err := old.get()
		if err != nil {
			continue // With has read it already
		}
		v, still, changed := *b, false, false
		v.Cuts = slices.Clone(b.Cuts)
		for i := range v.Cuts {
			c := &v.Cuts[i]
			switch {
			case c.Taught == nil:
			case file == "" || c.Taught.Has(file):
				was := c.Taught.before
				c.RatePerH, c.RateGSD, c.FirstTasteH = was.RatePerH, was.RateGSD, was.FirstTasteH
				c.Taught, changed = nil, true
			default:
				still = true
			}
		}
		if still {
			left = append(left, name)
		}
		if changed {
			bots = cat.swap(old, &v)
		}
	}
	if bots == nil {
		return l
	}
	return &Library{
		file: l.file, tables: l.tables, own: l.own, ingredients: l.ingredients, spirits: l.spirits,
		botanicals: func() *catalog[Botanical] { return bots }, taught: left,
	}
}

// An entry of the maker's own is taken for what its names say as well as for what
// its file says, on the careful side: allergens, hazards, and what has to be kept
// cold. The file may add to that, and takes none of it away.

// owned marks an entry as the maker's, adds its names and keeps what they say: all
// of them where it is new, else those that it adds, beside what stood there before.
func (r *reader) owned(e *Entry, names []string, isNew bool, was Kin) {
	if !r.own {
		return
	}
	before, name := e.said, e.Name
	e.Own = true
	e.said = sync.OnceValue(func() Kin {
		if isNew {
			return r.lib.kinOf(append([]string{name}, names...)...)
		}
		return was.and(r.lib.kinOf(names...)).and(saidBy(before))
	})
}

// likeBotanical: a plant that is not said to be dry is fresh and low in acid, unless
// it is a fruit or the kind says that it is a hard, dry spice. It is said to be
// dry by its name, or by every cut. It reports whether the words of the name
// themselves say that it is fresh and low in acid.
func (r *reader) likeBotanical(path []any, in *botanicalIn, b *Botanical) (said bool) {
	k := b.Said()
	wet := func(c cutIn) bool { return !Dry(b.Name + " " + c.Name) }
	isDry := Dry(b.Name) || len(in.Cut) > 0 && !slices.ContainsFunc(in.Cut, wet)
	dry := isDry || k.DryKin(b.Name) || r.given(path, "fresh") && !in.Fresh
	if in.Kind != "" && !in.Fresh {
		dry = dry || !wetMatters(&in.Botanical)
	}
	sour := in.Kind == "fruit" || in.Kind == "citrus"
	said = !isDry && slices.ContainsFunc(k.Botanicals, func(x *Botanical) bool {
		return x.LowAcidFresh ||
			!x.Fresh && mayBeFresh(x) && x.Kind != "fruit" && slices.Contains(words(b.Name), "fresh")
	})
	b.LowAcidFresh = !dry && !sour || said
	b.Fresh = b.LowAcidFresh
	b.Nut = slices.ContainsFunc(k.Botanicals, func(x *Botanical) bool { return x.Nut })
	b.Allergens, b.Hazards = k.AllAllergens(), k.AllHazards()
	return said
}

// likeKin reports what the words of the name themselves say.
func (g *Ingredient) likeKin(in *ingredientIn) (said Ingredient) {
	k := g.Said()
	said.Food = k.food()
	for _, x := range k.Ingredients {
		said.NutMilk, said.FreshJuice = said.NutMilk || x.NutMilk, said.FreshJuice || x.FreshJuice
	}
	g.Dairy, g.Egg = said.Dairy || in.Kind == "dairy", said.Egg || in.Kind == "egg"
	g.NutMilk, g.FreshJuice = said.NutMilk || in.Kind == "nut milk", said.FreshJuice || in.Kind == "juice"
	g.Nourishing = said.Nourishing || in.Per100G.Protein >= leastFoodProteinG ||
		slices.Contains([]string{"dairy", "egg", "nut milk", "juice", "honey", "wine", "fruit"}, in.Kind)
	g.Allergens, g.Hazards = k.AllAllergens(), k.AllHazards()
	return said
}

// leastFoodProteinG is the protein in 100 g from which something feeds microbes:
// lemon juice has 0.35 and table sugar none (USDA). Judgement.
const leastFoodProteinG = 0.3

// likeKin: a liquid of no class that is known is food. It reports what the words
// of the name themselves say.
func (s *Spirit) likeKin() (said Spirit) {
	k := s.Said()
	said.Food = k.food()
	for _, x := range k.Spirits {
		if stricterWine(x.Wine, said.Wine) {
			said.Wine = x.Wine
		}
	}
	s.Food, s.Wine = said.Food, said.Wine
	s.Nourishing = said.Nourishing || len(k.Spirits) == 0
	s.Allergens, s.Hazards = k.AllAllergens(), k.AllHazards()
	return said
}

// food is what any ingredient or spirit of it is.
func (k Kin) food() (all Food) {
	add := func(f Food) {
		all = Food{all.Nourishing || f.Nourishing, all.Dairy || f.Dairy, all.Egg || f.Egg}
	}
	for _, x := range k.Ingredients {
		add(x.Food)
	}
	for _, x := range k.Spirits {
		add(x.Food)
	}
	return all
}

// wineKinds are the words for wine, the one that keeps best first.
var wineKinds = []string{"", "fortified", "table"}

// stricterWine reports whether one kind of wine keeps less long, once open, than
// another.
func stricterWine(a, b string) bool { return slices.Index(wineKinds, a) > slices.Index(wineKinds, b) }

// Said is what the words of the names of the maker's own entries say, and what
// was built in under them; nothing for others. It may be read as Kin.
//
//go:noinline
func (e *Entry) Said() Kin { return saidBy(e.said) }

func saidBy(kin func() Kin) Kin {
	if kin == nil {
		return Kin{}
	}
	return kin()
}
