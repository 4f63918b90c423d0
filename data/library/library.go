package library

import (
	"errors"
	"slices"
	"strings"
	"sync"

	"steepbook/data"
)

// OwnSource is the source key of the maker's own figures.
const OwnSource = "own"

// Library answers by name. It is safe for use by several goroutines.
type Library struct {
	file string // of the maker's own entries; "" for the built-in library

	botanicals  func() *catalog[Botanical]
	ingredients func() *catalog[Ingredient]
	spirits     func() *catalog[Spirit]
	tables      *tables

	own    map[string]data.Source // sources of the maker's files
	taught []string               // names of botanicals with a cut that batches of the book taught

	near  sync.Map // by name, what Near,
	read  sync.Map // readings,
	kin   sync.Map // Kin,
	warns sync.Map // warned and
	spelt sync.Map // Spelt said: a book asks for one name often
}

// Builtin is the library that steepbook is built with. All callers share it.
func Builtin() *Library { return builtin() }

var builtin = sync.OnceValue(open)

// Ahead begins to read what every jar asks for and returns at once.
func (l *Library) Ahead() {
	go func() {
		l.botanicals().index()
		l.ingredients().index()
		l.spirits().index()
		rateTable()
		buffers()
	}()
}

// open makes a library of the embedded files. Faults in them show when an entry is
// looked up; the tests look all of them up.
func open() *Library {
	l := &Library{}
	l.tables = newTables(l)
	l.botanicals = sync.OnceValue(func() *catalog[Botanical] {
		return newCatalog("botanical", scan(l, "botanicals/*.toml", "botanical", (*reader).botanical))
	})
	l.ingredients = sync.OnceValue(func() *catalog[Ingredient] {
		return newCatalog("ingredient", scan(l, "ingredients/*.toml", "ingredient", (*reader).ingredient))
	})
	l.spirits = sync.OnceValue(func() *catalog[Spirit] {
		return newCatalog("spirit", scan(l, "spirits/*.toml", "spirit", (*reader).spirit))
	})
	return l
}

// get looks a name up and reads the entry.
func get[T any](l *Library, c *catalog[T], name string) (*T, error) {
	e, _ := c.find(name)
	if e == nil {
		return nil, notFound(l, c.index(), name)
	}
	return e.get()
}

// elsewhere says under which other kind a name is known as written.
func (l *Library) elsewhere(not, name string) string {
	ws := words(name)
	switch {
	case not != "botanical" && l.botanicals().index().same(ws) >= 0:
		return "botanical"
	case not != "ingredient" && l.ingredients().index().same(ws) >= 0:
		return "ingredient"
	case not != "spirit" && l.spirits().index().same(ws) >= 0:
		return "spirit"
	}
	return ""
}

// EntriesFor lists the names of the botanicals that a maker's words may come to,
// before anything is read of them: as they stand, and dried or fresh, which the
// cut may say. It is quick, and asked of a name and of its cut with it never leaves
// out the one that BotanicalAndCut finds.
func (l *Library) EntriesFor(name string) []string {
	var out []string
	c := l.botanicals()
	for _, n := range []string{name, "dried " + name, "fresh " + name} {
		e, _ := l.locate(n)
		if e == nil {
			e = c.never(n)
		}
		if e != nil && !slices.Contains(out, e.name) {
			out = append(out, e.name)
		}
	}
	return out
}

// Botanical looks a botanical up by name, synonym or plural, in any word order
// and without regard to case. The error is a *NotFoundError.
func (l *Library) Botanical(name string) (*Botanical, error) {
	b, near, err := l.seek(name)
	switch {
	case b != nil || err != nil:
		return b, err
	case near != nil:
		return nil, l.notThis("botanical", name, near.Name)
	}
	return nil, notFound(l, l.botanicals().index(), name)
}

// locate finds the botanical of a name, without the word for its kind where it is
// not known with it.
func (l *Library) locate(name string) (e *entry[Botanical], exact bool) {
	c := l.botanicals()
	if e, exact = c.find(name); e != nil || c.never(name) != nil {
		return e, exact
	}
	ws := words(name)
	for i, w := range ws {
		kinds := kindWords()[w]
		if len(kinds) == 0 {
			continue
		}
		if e, _ := c.find(strings.Join(without(ws, i, i), " ")); e != nil {
			if b, err := e.get(); err == nil && slices.Contains(kinds, b.Kind) {
				return e, false
			}
		}
	}
	return nil, false
}

// OtherState is what else a plant may be that is named without a word of its state:
// the dried one for fresh ginger, the fresh one for dried figs. ok is false where the
// name or the cut says it, or where it goes without saying; other is nil where the
// library knows the plant in one state only.
func (l *Library) OtherState(b *Botanical, said string) (other *Botanical, ok bool) {
	stated := func(w string) bool {
		return w == "dried" || w == "fresh" || w == "ground" || w == "powder" || moistWords(w) || growing(w)
	}
	if !wetMatters(b) || b.Forbidden != "" || slices.ContainsFunc(words(said), stated) {
		return nil, false
	}
	bare := slices.DeleteFunc(words(b.Name), stated)
	x := l.inState(b, b.otherState(), strings.Join(bare, " "))
	if x == nil {
		return nil, !b.Fresh && mayBeFresh(b)
	}
	// A fruit is fresh and a zest too, and what only one of the two is cut into says
	// which it is.
	ws := words(said)
	plainly := b.Fresh && (b.Kind == "fruit" || b.Kind == "vegetable" || slices.Contains(ws, "zest"))
	if plainly || slices.ContainsFunc(ws, func(w string) bool { return b.saysCut(w) && !x.says(w) }) {
		return nil, false
	}
	return x, true
}

func (b *Botanical) otherState() string {
	if b.Fresh {
		return "dried"
	}
	return "fresh"
}

// inState is what may be steeped of that name in the other state than b, or nil.
func (l *Library) inState(b *Botanical, state, name string) *Botanical {
	x, _, err := l.seek(state + " " + name)
	if err != nil || x == nil || x.Fresh == b.Fresh || x.Forbidden != "" {
		return nil
	}
	return x
}

// IsIngredient reports whether an ingredient goes by that very name: fish gelatine is
// one, and no fish.
func (l *Library) IsIngredient(name string) bool { return l.ingredients().called(name) }

// seek is Botanical without the words for what it does not find: near is what a
// name comes close to and is not.
func (l *Library) seek(name string) (b, near *Botanical, err error) {
	c := l.botanicals()
	e, exact := l.locate(name)
	if e == nil {
		b, err = c.never(name).orNone()
		return b, nil, err
	}
	if b, err = e.get(); err != nil || exact || b.Forbidden != "" {
		return b, nil, err
	}
	ws := words(name)
	// Dried or powdered mango is not mango: a dried and a fresh plant differ in water,
	// strength and speed, so the one is not taken for the other. Nor is one
	// part of a plant taken for another.
	asked := b.Fresh && dry(ws, "dried", "powder") || !b.Fresh && slices.Contains(ws, "fresh")
	wet := wetMatters(b) && asked
	if wet && b.Fresh { // a powder is of the dried plant, where that is known
		if e, _ := l.locate("dried " + name); e != nil {
			if d, err := e.get(); err != nil || !d.Fresh && !d.otherPart(ws) {
				return d, nil, err
			}
		}
	}
	if wet || b.otherPart(ws) {
		near = b
		b, err = c.never(name).orNone()
	}
	return b, near, err
}

// MustNot is the botanical that a name stands for when it must not be steeped,
// or nil. It reads any name, an ingredient's too: what is left in the jar under
// another heading is no better.
func (l *Library) MustNot(name string) *Botanical {
	for _, text := range l.readings(name) {
		if b := l.bans(text); b != nil {
			return b
		}
	}
	return nil
}

// bans is MustNot of one reading.
func (l *Library) bans(name string) *Botanical {
	if l.doubted(name) != "" {
		return nil
	}
	return l.mustNot(name)
}

// doubted is what must not be steeped by a name that is more likely of a drink, which asks instead: it denies
// the poison ("isopropanol-free"), or has words that drinks are named by too and the drink behind them
// ("Cleaner's vodka"); "" of any other.
func (l *Library) doubted(name string) string {
	ws := words(name)
	left := slices.Clone(ws)
	if n := len(ws); n > 1 && drinkWords(ws[n-1]) {
		left = slices.DeleteFunc(left, brandWords)
	}
	for i := 1; i < len(left); i++ {
		if left[i] == "free" {
			left = slices.Delete(left, i-1, i+1)
		}
	}
	if len(left) == len(ws) || l.botanicals().index().never(strings.Join(left, " ")) >= 0 {
		return ""
	}
	if b := l.mustNot(name); b != nil {
		return b.Name
	}
	return ""
}

func (l *Library) mustNot(name string) *Botanical {
	if l.file == "" && (l.ingredients().called(name) || l.spirits().called(name)) {
		// The tests look all of these up: the words alone say no.
		b, _ := l.botanicals().never(name).orNone()
		return b
	}
	b, _, err := l.seek(name)
	if b != nil && b.Forbidden == "" { // no entry makes the words beside it harmless
		b, err = l.botanicals().never(name).orNone()
	}
	if err != nil || b == nil || b.Forbidden == "" {
		return nil
	}
	return b
}

func wetMatters(b *Botanical) bool {
	switch b.Kind {
	case "herb", "root", "flower", "fruit", "leaf", "chilli", "vegetable", "citrus":
		return true
	}
	return false
}

// BotanicalAndCut looks up a botanical and one of its cuts. When cut is empty
// the words of the name choose it ("ground cinnamon", "orange peel"), else the
// first cut is taken; chosen says whether the maker's words named the cut.
func (l *Library) BotanicalAndCut(name, cut string) (b *Botanical, c *Cut, chosen bool, err error) {
	b, err = l.Botanical(name)
	if err != nil {
		return nil, nil, false, err
	}
	said := words(name + " " + cut)
	if strings.TrimSpace(cut) == "" {
		if c := b.cutIn(words(name)); c != nil {
			return b, c.measured(said), true, nil
		}
		c, err = b.Nearest(name + " " + cut)
		return b, c.measured(said), false, err
	}
	if other, rest := l.wetOrDry(b, name, cut); other != nil {
		b, cut = other, rest
	}
	kind := func(w string) bool { return telling(w) && !stateWords(w) && len(partWords()[w]) == 0 }
	c, err = b.Cut(cut)
	switch {
	case l.together(b, name, cut, kind), err != nil && b.Forbidden == "" && l.together(b, name, cut, nil):
		return l.BotanicalAndCut(cut+" "+name, "")
	case err == nil || b.Forbidden != "":
		return b, c.measured(said), err == nil, err
	}
	if quiet(cut) {
		c, err = b.Nearest(name + " " + cut)
		return b, c.measured(said), false, err
	}
	return b, c.measured(said), false, err
}

// together reports whether a name and a cut together name another thing than the name alone,
// by words of the cut of some sort, nil for any: "coffee beans", "ground" are ground coffee.
func (l *Library) together(b *Botanical, name, cut string, sort func(word string) bool) bool {
	if sort != nil && !slices.ContainsFunc(words(cut), sort) {
		return false
	}
	other, _, err := l.seek(cut + " " + name)
	if err != nil || other == nil || other.Name == b.Name {
		return false
	}
	said, before := words(cut+" "+name), words(name)
	return slices.ContainsFunc(other.all(), func(n string) bool {
		ws := words(n)
		return covered(ws, said) >= 0 && slices.ContainsFunc(ws, func(w string) bool {
			return !slices.Contains(before, w) && (sort == nil || sort(w))
		})
	})
}

// wetOrDry finds the dried entry for a fresh botanical whose cut says "dried",
// or the other way round, and what is left of the cut.
func (l *Library) wetOrDry(b *Botanical, name, cut string) (*Botanical, string) {
	state, ws := b.otherState(), words(cut)
	asked := slices.Contains(ws, state) && (!b.Fresh || dry(ws, state)) && !b.saysCut(state)
	if !wetMatters(b) || b.Forbidden != "" || !asked {
		return nil, ""
	}
	other := l.inState(b, state, name)
	if other == nil {
		return nil, ""
	}
	return other, strings.Join(slices.DeleteFunc(ws, func(w string) bool { return w == state }), " ")
}

// Ingredient looks an ingredient up by name. A sugar or honey syrup named by
// its ratio ("3:4 syrup", "demerara syrup 2:1", "syrup 65 %") is worked out, and
// so is what a per cent in its name makes of it ("citric acid 50 %").
// The error is a *NotFoundError.
func (l *Library) Ingredient(name string) (*Ingredient, error) {
	if e, exact := l.ingredients().find(name); e != nil && exact {
		return e.get()
	}
	if l.spirits().called(name) {
		return nil, notFound(l, l.ingredients().index(), name) // cider is no juice
	}
	if g := l.ratioSyrup(name); g != nil {
		return g, nil
	}
	ws := words(name)
	i := slices.Index(ws, "sugar")
	if e, _ := l.ingredients().find(name); e == nil && i >= 0 { // dark muscovado sugar is dark muscovado
		if e, exact := l.ingredients().find(strings.Join(without(ws, i, i), " ")); e != nil && exact {
			if g, err := e.get(); err == nil && g.Kind == "sugar" {
				return g, nil
			}
		}
	}
	bare, strength := told(l.ingredients(), name)
	g, err := get(l, l.ingredients(), bare)
	if err == nil && (l.botanicals().never(name) != nil || g.otherPart(ws) || l.inOtherState(g, ws)) {
		// Cherry seeds are no cherries, fresh dates no dried ones, dried mango no mango.
		g, err = nil, l.notThis("ingredient", name, g.Name)
	}
	if err == nil && g.Dairy && slices.ContainsFunc(ws, rawWords) {
		g = l.asRaw(g)
	}
	if err == nil && (strength.Unclear || strength.Said && !strength.ByVolume) {
		if of := g.assay(strength.Percent); of != nil && !strength.Unclear {
			return of, nil
		}
		return nil, l.notThis("ingredient", name, g.Name)
	}
	var lost *NotFoundError
	if errors.As(err, &lost) && vagueSyrup(name) {
		lost.near = these("simple syrup 1:1", "rich syrup 2:1", "syrup 2:3")
	}
	return g, err
}

// asRaw is something of milk that was not heated, with what raw milk can carry.
func (l *Library) asRaw(g *Ingredient) *Ingredient {
	milk, err := l.Ingredient("raw milk")
	if err != nil || g.Own {
		return g
	}
	raw := *g
	raw.Hazards = slices.Concat(g.Hazards, milk.Hazards)
	return &raw
}

// inOtherState reports whether fresh fruit is asked for and the ingredient is the dried
// one, or the other way round.
func (l *Library) inOtherState(g *Ingredient, asked []string) bool {
	if g.Kind != "fruit" {
		return false
	}
	if dry(asked, "dried", "powder") && g.Per100G.Water > 50 {
		return true
	}
	if !slices.Contains(asked, "fresh") {
		return false
	}
	b, err := l.Botanical(g.Name)
	return err == nil && wetMatters(b) && !b.Fresh
}

// Spirit looks a spirit class up by name, whatever strength stands in it: see
// quantity.StrengthIn. The error is a *NotFoundError.
func (l *Library) Spirit(name string) (*Spirit, error) {
	bare, _ := told(l.spirits(), name)
	if _, exact := l.spirits().find(bare); !exact && l.ingredients().called(bare) {
		return nil, notFound(l, l.spirits().index(), name) // fresh cider is juice
	}
	return get(l, l.spirits(), bare)
}

// Botanicals lists all botanicals by name, the forbidden ones included.
func (l *Library) Botanicals() []*Botanical { return everything(l.botanicals()) }

// Ingredients lists all ingredients by name.
func (l *Library) Ingredients() []*Ingredient { return everything(l.ingredients()) }

// Spirits lists all spirit classes by name.
func (l *Library) Spirits() []*Spirit { return everything(l.spirits()) }

// everything leaves out entries that cannot be read; the tests make sure that
// the built-in files have none.
func everything[T any](c *catalog[T]) []*T {
	out := make([]*T, 0, len(c.entries))
	for _, e := range c.entries {
		if v, err := e.get(); err == nil {
			out = append(out, v)
		}
	}
	return out
}
