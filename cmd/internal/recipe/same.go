package recipe

import (
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// Thing is what a line of a recipe is, so that two lines can be told to be of one thing: whoever sets batches
// side by side or changes one asks for it.
type Thing struct {
	// Sort is what the library calls it, "" for what it does not know: of one sort are one line of the
	// recipe. Is is the same where it goes by a name of the library's own, and else the maker's words
	// for it, which say more: of two brands nobody knows that they are alike.
	Sort, Is string
}

// thing is what something of the library, or nothing of it, is by the name that the maker gave it.
func thing(e *library.Entry, name string) Thing {
	name, _ = quantity.StrengthIn(name)
	t := Thing{Is: PlainWords(name)}
	if e != nil {
		if t.Sort = e.Name; library.Called(e, name) {
			t.Is = e.Name
		}
	}
	return t
}

// Thing is what it is.
func (r *Base) Thing() Thing {
	switch {
	case r.Known != nil:
		return thing(&r.Known.Entry, r.Entry.Name)
	case r.Ingredient != nil:
		return thing(&r.Ingredient.Entry, r.Entry.Name)
	}
	return thing(nil, r.Entry.Name)
}

// Thing is what it is.
func (h *Botanical) Thing() Thing {
	if h.Known == nil {
		return thing(nil, h.Entry.Name)
	}
	return thing(&h.Known.Entry, h.Entry.Name)
}

// Thing is what it is.
func (x *Addition) Thing() Thing {
	switch {
	case x.Ingredient != nil:
		return thing(&x.Ingredient.Entry, x.Entry.Name)
	case x.Spirit != nil:
		return thing(&x.Spirit.Entry, x.Entry.Name)
	case x.Botanical != nil:
		return thing(&x.Botanical.Entry, x.Entry.Name)
	}
	return thing(nil, x.Entry.Name)
}
