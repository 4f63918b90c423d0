package recipe

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// Botanical is one [[botanical]]: what was written, what the library knows of it, and what
// it weighs.
type Botanical struct {
	Entry batch.Botanical
	Known *library.Botanical // nil: the maker's own word
	Cut   *library.Cut
	// Ingredient is set where something that is no botanical is steeped: milk,
	// butter, chocolate. It stays in, whole.
	Ingredient *library.Ingredient
	Weight     *library.Weight // nil: nobody weighed it, or its weight is unknown
	Note       string          // why there is no weight, or whose figures are used
	Lost       *library.NotFoundError
	// lent: the figures are those of another plant, and its acid and little buffer only
	// may be there.
	lent bool
	// RoughCut marks a form the library does not know, so that another's figures
	// stand in.
	RoughCut bool
	// Never: it was to go in after all was bottled, and did not.
	Never bool
	Reads reading
}

// Fine: it is so fine that only straining takes it out.
func (h *Botanical) Fine() bool { return h.Cut.DustAs(h.Entry.Cut) && !h.Entry.Bag }

// Bagged: it is as fine, and comes out by the bag that it was tied up in.
func (h *Botanical) Bagged() bool { return h.Cut.DustAs(h.Entry.Cut) && h.Entry.Bag }

// WantsBag reports of the i-th botanical that it is so fine that it could not come out
// without another, so that it goes in tied up.
func (p *Lines) WantsBag(i int) bool {
	h := &p.Botanicals[i]
	return h.Fine() && !h.Entry.LeaveIn && len(p.Botanicals) > 1
}

// ReadBotanical looks a botanical up, chooses its cut and weighs it. The error is a fault
// in what the maker wrote, with file and line.
func ReadBotanical(b *batch.Batch, lib *library.Library, e batch.Botanical) (Botanical, error) {
	entry := e
	e.Name, e.Cut = lib.NameAndCut(e.Name, e.Cut)
	h, err := nameBotanical(lib, e)
	if h.Entry = entry; err != nil {
		return h, err
	}
	h.Reads = read(e.Name, e.Cut)
	h.Reads.Plant, h.Reads.like, h.Reads.steeps = h.Ingredient == nil, e.Like, true
	if h.Known != nil {
		h.Reads.Botanicals = []*library.Botanical{h.Known}
		h.Reads.odd = h.Known.Strange(e.Name, e.Cut)
		if !h.Known.Own {
			h.Reads.never = lib.Suspected(h.Reads.text, true)
		}
		h.Note = Join(Join(h.Note, h.Reads.NotKnown()), h.Reads.AsFresh())
	}
	if h.Ingredient != nil {
		h.Reads.Ingredients = []*library.Ingredient{h.Ingredient}
		if h.Ingredient.IsFat() {
			if h.Cut, err = lib.FatCake(); err != nil {
				return h, err
			}
		}
		if h.Ingredient.Dissolves() {
			h.Entry.LeaveIn = true
			h.Note = "it dissolves and stays in"
		}
	}
	own, ownCut, _, _ := lib.BotanicalAndCut(e.Name, e.Cut)
	switch {
	case h.Known != nil && h.Known.Forbidden != "": // whatever else it is like or called
	// What it is like lends figures; what it is stands, and no care is lost.
	case e.Like != "" && own != nil:
		h.Reads.odd = h.Reads.lowAcidFresh()
		h.Reads.Botanicals = []*library.Botanical{own}
	case e.Like != "":
		if ing, err := lib.Ingredient(e.Name); err == nil {
			h.Reads.Plant, h.Reads.Botanicals, h.Reads.Ingredients = false, nil, []*library.Ingredient{ing}
		} else {
			h.Reads.stranger(lib, h.Known)
		}
	case h.Known == nil && h.Ingredient == nil:
		h.Reads.stranger(lib, h.Known)
	}
	h.Reads.beside(lib, h.Known, e.Cut)
	h.Note = Join(Join(h.Note, library.AsTaken(h.Reads.Hazards())), h.Reads.MayBe())
	h.Reads.named = append(h.Reads.named, lib.Always(h.Reads.text).Allergens...)
	if a := e.Amount; e.Cut == "" && h.Known != nil && a != nil && (a.Noun == "strip" || a.Noun == "slice") {
		if c, err := h.Known.Cut(a.Noun + "s"); err == nil { // "2 strips of lemon zest"
			h.Cut = c
		}
	}
	if _, err := lib.Spirit(e.Name); err == nil && h.Known == nil && h.Ingredient == nil && e.Amount != nil &&
		poured(e.Amount) {
		return h, b.Errorf([]any{"botanical", e.Index, "name"}, "",
			"%s is a spirit, and what steeps is no spirit: write it under [spirit], or as an [[addition]] with in = \"0 h\"",
			e.Name)
	}
	h.lent = h.Reads.Lost || e.Like != "" && own != h.Known &&
		!(len(h.Reads.Botanicals) == 1 && h.Reads.Botanicals[0] == h.Known && len(h.Reads.Ingredients) == 0)
	h.Cut = wetted(&h.Reads, h.Cut, ownCut)
	if e.Amount == nil {
		h.Note = Join(h.Note, "no amount is written: weigh it to know its dose and what the strainer keeps")
		return h, nil
	}
	w, err := h.weigh(e.Amount)
	if err != nil {
		var ounce *library.OunceError
		if errors.As(err, &ounce) {
			return h, b.Errorf([]any{"botanical", e.Index, "amount"}, `amount = "2 oz wt"`, "%s", err)
		}
		h.Note = Join(h.Note, err.Error())
		return h, nil
	}
	h.Weight, h.Reads.Weight = &w, &w
	return h, nil
}

// weigh finds the grams of an amount of it.
func (h *Botanical) weigh(a *quantity.Amount) (library.Weight, error) {
	if h.Ingredient != nil {
		return h.Ingredient.Grams(*a)
	}
	return weigh(a, h.Cut, h.Known != nil)
}

// wetted is the cut with the water that what may be fresh brings, whatever lends
// the other figures.
func wetted(n *reading, cut, own *library.Cut) *library.Cut {
	if !n.lowAcidFresh() || cut.WaterGPerG.Known() {
		return cut
	}
	wet := *cut
	if wet.WaterGPerG = library.Stranger().WaterGPerG; own != nil && own.WaterGPerG.Known() {
		wet.WaterGPerG = own.WaterGPerG
	}
	return &wet
}

// nameBotanical looks up what is steeped, and in what form.
func nameBotanical(lib *library.Library, e batch.Botanical) (Botanical, error) {
	h := Botanical{Entry: e}
	name := e.Name
	if e.Like != "" {
		name = e.Like
	}
	named := lib.MustNot(e.Name)
	for _, said := range []string{e.Name, read(e.Name, e.Cut).text, read(name, e.Cut).text} {
		if ban := lib.MustNot(said); ban != nil && !(ban == named && literally(lib, e.Name, &h)) {
			h.Known, h.Cut = ban, library.Unknown()
			h.Note = "must not be steeped: " + ban.Forbidden
			return h, nil
		}
	}
	h.Ingredient = nil
	known, cut, _, err := lib.BotanicalAndCut(name, e.Cut)
	var forbidden *library.ForbiddenError
	var lost *library.NotFoundError
	switch {
	case err == nil:
		h.Known, h.Cut = known, cut
		h.Note = takenFor(lib, known, cut, name, e.Cut)
	case errors.As(err, &forbidden) && literally(lib, name, &h):
		h.Cut = library.Unknown()
		h.Note = "counted whole, as the ingredient it is; its taste has no usual time"
	case errors.As(err, &forbidden):
		h.Cut = library.Unknown()
		if h.Known, _ = lib.Botanical(name); h.Known == nil {
			return h, err
		}
		h.Note = "must not be steeped: " + forbidden.Why
	case known != nil: // the plant is known, the cut is not
		h.Known = known
		if h.Cut, err = known.Nearest(e.Cut); err != nil {
			return h, err
		}
		h.RoughCut = true
		h.Note = fmt.Sprintf("the cut %q is not in the library, so the figures of %q are used; it knows %s",
			e.Cut, h.Cut.Name, cutNames(known))
	case isIngredient(lib, name, &h):
		h.Cut = library.Unknown()
		h.Note = "counted whole, as the ingredient it is; its taste has no usual time"
	default:
		h.Cut = library.Unknown()
		h.Note = "not in the library: a very wide usual range is used until you have tasted it"
		if errors.As(err, &lost) {
			h.Lost = lost
		}
	}
	return h, nil
}

// takenFor says what a name leaves open and was decided: where it is from, what was
// done to it, fresh or dried.
func takenFor(lib *library.Library, b *library.Botanical, cut *library.Cut, name, how string) (note string) {
	if b.Own {
		return ""
	}
	if from := library.From(name); len(from) > 0 && !slices.ContainsFunc(append([]string{b.Name}, b.Names...),
		func(n string) bool { return len(library.From(n)) > 0 }) {
		note = fmt.Sprintf("it is taken as %s, wherever it is from", b.Name)
	} else if library.Narrows(name, b.Name) {
		note = "it is taken as " + b.Name
	}
	if done := b.Unheard(name+" "+how, cut); len(done) > 0 {
		note = Join(note, fmt.Sprintf("how fast %s is when it is %s is not in the library, so the figures of %q are used; it knows %s",
			b.Name, quantity.And(done), cut.Name, cutNames(b)))
	}
	other, open := lib.OtherState(b, name+" "+how)
	state, instead := "dried", "fresh"
	if b.Fresh {
		state, instead = "fresh", "dried"
	}
	switch {
	case b.EitherWay(name): // said where it is judged
	case open && other != nil:
		note = Join(note, fmt.Sprintf("it is taken as %s; if it is %s, write cut = %q", state, instead,
			instead))
	case open:
		note = Join(note, fmt.Sprintf("it is taken as %s, as the library knows it", state))
	}
	return note
}

// literally is isIngredient for the very name of an ingredient: "fish gelatine"
// is no fish.
func literally(lib *library.Library, name string, h *Botanical) bool {
	ing, err := lib.Ingredient(name)
	if err != nil || !called(ing, name) {
		return false
	}
	h.Ingredient = ing
	return true
}

// isIngredient finds something that is steeped though it is no botanical.
func isIngredient(lib *library.Library, name string, h *Botanical) bool {
	ing, err := lib.Ingredient(name)
	if err != nil {
		return false
	}
	h.Ingredient = ing
	return true
}

// weigh gives a botanical's mass; a solid of the maker's own name that is
// written as a mass needs no library.
func weigh(a *quantity.Amount, cut *library.Cut, known bool) (library.Weight, error) {
	if low, mid, high, ok := a.Grams(); ok && !known {
		return library.Weight{G: mid, Low: low, High: high, How: "as weighed"}, nil
	}
	return cut.Grams(*a)
}

func cutNames(b *library.Botanical) string {
	names := make([]string, len(b.Cuts))
	for i, c := range b.Cuts {
		names[i] = fmt.Sprintf("%q", c.Name)
	}
	return strings.Join(names, ", ")
}

// Form is the cut of a botanical.
type Form struct {
	// Text is what the maker wrote, or the cut whose figures are taken where
	// nothing is written (then taken is set); written is text for comparing.
	Text, Written string
	Taken         bool
	// Lib is the library's cut, nil when it does not know this one. It may be
	// one for several forms: "whole" and "crushed" pods.
	Lib *library.Cut
}

// Form is the cut as the maker wrote it, or as it was taken.
func (h *Botanical) Form() Form {
	f := Form{Text: h.Entry.Cut, Written: PlainWords(h.Entry.Cut)}
	switch {
	case h.Known == nil:
	case h.Entry.Cut == "" && h.Cut != nil:
		f.Text, f.Written, f.Taken, f.Lib = h.Cut.Name+" (taken)", PlainWords(h.Cut.Name), true, h.Cut
	case h.Entry.Cut != "":
		if cut, err := h.Known.Cut(h.Entry.Cut); err == nil {
			f.Lib = cut
		}
	}
	return f
}

// Name is the library's name of the form, else the maker's.
func (f Form) Name() string {
	if f.Lib != nil {
		return f.Lib.Name
	}
	return f.Text
}

// Same reports whether two forms are one as far as can be told. Where one is
// not written, the library's word for it decides.
func (f Form) Same(g Form) bool {
	if (f.Taken || g.Taken) && f.Lib != nil && g.Lib != nil {
		return f.Lib.Name == g.Lib.Name
	}
	return f.Written == g.Written
}

// PlainWords lets "Strips" be "strip".
func PlainWords(s string) string {
	ws := strings.Fields(strings.ToLower(s))
	for i, w := range ws {
		if len(w) > 3 && !strings.HasSuffix(w, "ss") {
			ws[i] = strings.TrimSuffix(w, "s")
		}
	}
	return strings.Join(ws, " ")
}

// DoseGPerL is a botanical's weight per litre of base, 0 when weight or base is
// not known.
func (h *Botanical) DoseGPerL(baseML float64) float64 {
	if h.Weight == nil || baseML <= 0 {
		return 0
	}
	return h.Weight.G / (baseML / 1000)
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
func (h *Botanical) juicy() bool {
	return h.Known == nil || h.Known.Fresh || h.Known.Kind == "fruit" || h.Known.Kind == "vegetable"
}
