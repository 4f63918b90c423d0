package lookup

import (
	"cmp"
	"errors"
	"strings"

	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf/growth"
)

// Known is what the library knows of a name: the entries that go by it, and what must not be
// steeped and may be meant by it all the same.
type Known struct {
	Name    string
	Entries []Entry
	MayBe   []string
}

// Find looks a name up among all that the library holds: a lime is a botanical and its juice an
// ingredient. A microbe is looked for last.
func Find(lib *library.Library, name string) (Known, error) {
	k := Known{Name: name}
	found := func(kind string, entry any, err error) error {
		var lost *library.NotFoundError
		if errors.As(err, &lost) {
			return nil
		}
		k.Entries = append(k.Entries, Entry{Kind: kind, Of: entry})
		return err
	}
	b, err := lib.Botanical(name)
	if err == nil && b.Forbidden != "" && lib.IsIngredient(name) { // fish gelatine is no fish
		err = &library.NotFoundError{Name: name, Kind: "botanical"}
	}
	own := err == nil && b.Own
	err = found("botanical", b, err)
	if g, fault := lib.Ingredient(name); err == nil {
		err = found("ingredient", g, fault)
	}
	if s, fault := lib.Spirit(name); err == nil {
		err = found("spirit", s, fault)
	}
	if err != nil {
		return k, err
	}
	if !own {
		k.MayBe = lib.Suspected(name, len(k.Entries) > 0)
	}
	if o, ok := growth.Lookup(name); ok && len(k.Entries) == 0 {
		k.Entries = append(k.Entries, Entry{Kind: "organism", Of: o})
	}
	if s, ok := lib.Source(name); ok && len(k.Entries) == 0 {
		k.Entries = append(k.Entries, Entry{Kind: "source", Of: s})
	}
	return k, nil
}

// Doubt says what it may be that must not be steeped, "" where nothing.
func (k *Known) Doubt() string {
	if len(k.MayBe) == 0 {
		return ""
	}
	return library.SaidToBe(k.Name, k.MayBe)
}

// Instead says of a name that is not known what any answer about a batch hears in it: the poison
// that it may be, what else was meant, or what it is taken to hold and what that does.
func (k *Known) Instead(lib *library.Library) string {
	said := cmp.Or(k.Doubt(), lib.Asked(k.Name))
	if kin := lib.Kin(k.Name); said == "" {
		if len(kin.Words) > 0 {
			said = "by its name it is taken to hold " + quantity.And(kin.Words) + ". "
		}
		for _, h := range kin.AllHazards() {
			said += h.Do + " "
		}
	}
	return cmp.Or(strings.TrimRight(said, ". "), "steepbook lookup lists what it knows")
}
