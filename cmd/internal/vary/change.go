// Package vary makes the next variation of a batch: one thing changed, the rest of the
// recipe as it was.
package vary

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/names"
	"steepbook/data/pattern"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// Change is one factor of a recipe with another value.
type Change struct {
	// Of is whose factor it is, as the batch calls it; Factor is "amount", "cut", "wanted
	// strength", "time it goes in", "spirit" or "addition"; From and To are its values in
	// words, From "" where none was written.
	Of, Factor, From, To string

	part  string // the table, and
	entry int    // the entry in it
	sets  []set
}

// set is a key with its new value as TOML has it, or without one where it goes.
type set struct {
	key, value string
	drop       bool
}

const changeForms = `write it like "clove: 6 pieces", "clove, ground", "clove @ 4", "clove in 20 h", ` +
	`"grape brandy: white rum 50 %" or "demerara sugar: 200~g"`

var goesIn = pattern.New(`(?i)(?:^|[\s:,])in\s+(\d[^@]*?)\s*$`)

// Read reads a change and holds it against the batch: "clove: 6 pieces" (the amount),
// "clove, ground" (the cut), "clove @ 4" (the strength wanted), "clove in 20 h", "grape
// brandy: white rum 50 %", "demerara sugar: honey". What is said and is so already is no
// change; what is the same is asked of the library, as compare does. The error is one sentence for whoever
// typed it.
func Read(b *batch.Batch, lib *library.Library, text string) (*Change, error) {
	rest, wanted, hasWanted := strings.Cut(text, "@")
	rest, in, hasIn := cutIn(rest)
	if !hasIn && hasWanted {
		wanted, in, hasIn = cutIn(wanted)
	}
	name, value, hasValue := strings.Cut(rest, ":")
	name, value = strings.TrimSpace(name), strings.TrimSpace(value)
	hasValue = hasValue && value != ""
	t, cut, err := find(b, lib, name)
	if err != nil {
		return nil, err
	}
	var all []*Change
	add := func(c *Change, err error) error {
		if err == nil && c != nil {
			c.Of, c.part, c.entry = t.name, t.part, t.entry
			all = append(all, c)
		}
		return err
	}
	if t.part != "botanical" && (cut != "" || hasWanted || hasIn) {
		return nil, fmt.Errorf("%q does not steep: of it the amount can be changed, or what it is", t.name)
	}
	if cut != "" {
		err = add(t.cutTo(cut))
	}
	if hasValue && err == nil {
		err = add(t.valueTo(value))
	}
	if hasWanted && err == nil {
		err = add(t.wantedTo(strings.TrimSpace(wanted)))
	}
	if hasIn && err == nil {
		err = add(t.inTo(in))
	}
	switch {
	case err != nil:
		return nil, err
	case len(all) > 1:
		return nil, ErrTwoChanges
	case len(all) == 1:
		return all[0], nil
	case cut == "" && !hasValue && !hasWanted && !hasIn:
		return nil, fmt.Errorf("%q says nothing new of the %s; %s", text, t.name, changeForms)
	}
	return nil, fmt.Errorf("%q is how it is already; a variation changes one thing", text)
}

// ErrTwoChanges says why there is one.
var ErrTwoChanges = errors.New("change one thing at a time: where two change and the taste does too, nobody can say " +
	"which of them did it; plan one variation for each")

// cutIn takes "in 20 h" off the end.
func cutIn(text string) (rest, in string, ok bool) {
	m := goesIn().FindStringSubmatchIndex(text)
	if m == nil {
		return text, "", false
	}
	in = text[m[2]:m[3]]
	if _, err := quantity.ParseDuration(in); err != nil {
		return text, "", false
	}
	return text[:m[0]], in, true
}

// thing is one line of the recipe.
type thing struct {
	b     *batch.Batch
	lib   *library.Library
	part  string
	entry int
	name  string
}

// find is the line of the recipe that was meant, with the cut that stands behind its name.
func find(b *batch.Batch, lib *library.Library, typed string) (t thing, cut string, err error) {
	var all []thing
	for i := range b.Botanicals {
		all = append(all, thing{b, lib, "botanical", i, b.Botanicals[i].Name})
	}
	for i := range b.Additions {
		all = append(all, thing{b, lib, "addition", i, b.Additions[i].Name})
	}
	for i := range b.Spirits {
		all = append(all, thing{b, lib, "spirit", i, b.Spirits[i].Name})
	}
	if typed == "" {
		return t, "", errors.New("say of what; " + changeForms)
	}
	first, behind, parted := strings.Cut(typed, ",")
	first = strings.TrimSpace(first)
	for i, name := range []string{typed, first, typed, first} {
		found := meant(all, name)
		if i > 1 { // what goes by no such name may be called so
			found = alike(all, name)
		}
		if len(found) == 1 && name != typed && parted {
			cut = strings.TrimSpace(behind)
		}
		switch len(found) {
		case 0:
			continue
		case 1:
			return found[0], cut, nil
		}
		return t, "", names.Between(name, called(found))
	}
	if near, ok := strict.Nearest(first, called(all)); ok {
		return t, "", fmt.Errorf("there is no %q in %s; did you mean %q?", first, b.Name, near)
	}
	return t, "", fmt.Errorf("there is no %q in %s, and a variation changes one thing that is there; there are %s",
		first, b.Name, quantity.And(quantity.Quoted(called(all))))
}

// called are the names of things.
func called(list []thing) (names []string) {
	for i := range list {
		names = append(names, list[i].name)
	}
	return names
}

// meant are the things that go by a name; "spirit" is the only one.
func meant(all []thing, name string) (found []thing) {
	known := called(all)
	for _, n := range names.Pick(name, names.Begun, known) {
		found = append(found, all[slices.Index(known, n)])
	}
	if len(found) > 0 || !strings.EqualFold(name, "spirit") {
		return found
	}
	for _, x := range all {
		if x.part == "spirit" {
			found = append(found, x)
		}
	}
	return found
}

// alike are the things that are by the library what a name is.
func alike(all []thing, name string) (found []thing) {
	for i := range all {
		x := &all[i]
		if sort := x.is(name).Sort; sort != "" && sort == x.is(x.name).Sort {
			found = append(found, *x)
		}
	}
	return found
}

// is says what a name would be in its place.
func (t *thing) is(name string) recipe.Thing {
	switch t.part {
	case "spirit":
		r, _ := recipe.ReadBase(t.b, t.lib, batch.Spirit{Name: name})
		return r.Thing()
	case "botanical":
		h, _ := recipe.ReadBotanical(t.b, t.lib, batch.Botanical{Name: name})
		return h.Thing()
	}
	x, _ := recipe.ReadAddition(t.b, t.lib, batch.Addition{Name: name}, nil)
	return x.Thing()
}

func (t *thing) cutTo(cut string) (*Change, error) {
	was := t.b.Botanicals[t.entry].Cut
	cut = recut(was, cut)
	if strings.EqualFold(cut, was) {
		return nil, nil
	}
	return &Change{Factor: "cut", From: was, To: cut, sets: []set{{key: "cut", value: batch.Quote(cut)}}}, nil
}

func (t *thing) wantedTo(text string) (*Change, error) {
	v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || !(v >= 0 && v <= 10) {
		return nil, fmt.Errorf("%q is no wanted strength from 0 to 10", text)
	}
	from := ""
	if was := t.b.Botanicals[t.entry].Target; was != nil {
		if *was == v {
			return nil, nil
		}
		from = quantity.FormatNumber(*was)
	}
	to := quantity.FormatNumber(v)
	return &Change{Factor: "wanted strength", From: from, To: to,
		sets: []set{{key: "target", value: to}}}, nil
}

func (t *thing) inTo(text string) (*Change, error) {
	d, err := quantity.ParseDuration(text)
	if err != nil {
		return nil, err
	}
	was := t.b.Botanicals[t.entry].In
	if d.Hours() == was {
		return nil, nil
	}
	return &Change{Factor: "time it goes in", From: quantity.FormatNumber(was) + " h", To: text,
		sets: []set{{key: "in", value: batch.Quote(text)}}}, nil
}

// valueTo is another amount, or for what does not steep another thing in its place.
func (t *thing) valueTo(text string) (*Change, error) {
	a, err := quantity.ParseIn(text, t.b.Units)
	_, named := quantity.StrengthIn(text)
	switch {
	case err == nil && !named.Said && (a.Kind != quantity.Count || a.Noun == "" || t.part == "botanical"):
		return t.amountTo(&a)
	case t.part == "botanical" && err != nil:
		return nil, err
	case t.part == "botanical":
		return nil, fmt.Errorf("%q is no amount; %s", text, changeForms)
	}
	other := batch.ParseDraftSpirit(text)
	var much *Change
	if other.Amount != "" {
		if much, err = t.valueTo(other.Amount); err != nil {
			return nil, err
		}
	}
	switch {
	case !named.Said && t.is(other.Name).Is == t.is(t.name).Is:
		return much, nil
	case much != nil:
		return nil, ErrTwoChanges
	}
	c := &Change{Factor: t.part, From: t.name, To: other.Name,
		sets: []set{{key: "name", value: batch.Quote(other.Name)}, t.drop("price")}}
	if named.Said { // the strength stands in the new name
		c.sets = append(c.sets, t.drop("abv"), t.drop("proof"))
	}
	if t.part == "spirit" {
		c.From = t.b.Spirits[t.entry].Label()
	}
	return c, nil
}

// money is a price as TOML has it.
func money(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }

func (t *thing) drop(key string) set { return set{key: key, drop: true} }

func (t *thing) amountTo(a *quantity.Amount) (*Change, error) {
	c := &Change{Factor: "amount", To: a.Text, sets: []set{{key: "amount", value: batch.Quote(a.Text)}},
		part: t.part, entry: t.entry}
	was := c.amount(t.b)
	var price *float64
	switch t.part {
	case "spirit":
		price = t.b.Spirits[t.entry].Price
	case "botanical":
		price = t.b.Botanicals[t.entry].Price
	default:
		price = t.b.Additions[t.entry].Price
	}
	if was != nil {
		if times, ok := a.Over(*was); ok && math.Abs(times-1) < 1e-9 {
			return nil, nil
		} else if ok && price != nil {
			c.sets = append(c.sets, set{key: "price", value: money(*price * times)})
			price = nil
		}
		c.From = was.Text
	}
	if price != nil { // of an amount that this one cannot be held against
		c.sets = append(c.sets, t.drop("price"))
	}
	return c, nil
}
