package bench

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf/acidity"
	"steepbook/shelf/alcohol"
	"steepbook/shelf/mixture"
)

// parts is a batch with every name looked up and every amount in grams or
// millilitres.
type parts struct {
	bases      []base
	botanicals []herb
	additions  []extra
}

type base struct {
	entry batch.Spirit
	known *library.Spirit // nil: the maker's own word
	// ingredient is set where the base is no spirit: water, milk, a syrup.
	ingredient *library.Ingredient
	// missing says what is needed before it can be counted; empty when all is
	// there.
	missing string
	base    mixture.Base
	is      reading
}

type herb struct {
	entry batch.Botanical
	known *library.Botanical // nil: the maker's own word
	cut   *library.Cut
	// ingredient is set where something that is no botanical is steeped: milk,
	// butter, chocolate. It stays in, whole.
	ingredient *library.Ingredient
	weight     *library.Weight // nil: nobody weighed it, or its weight is unknown
	note       string          // why there is no weight, or whose figures are used
	lost       *library.NotFoundError
	// lent: the figures are those of another plant, and its acid and little buffer only
	// may be there.
	lent bool
	// roughCut marks a form the library does not know, so that another's figures
	// stand in.
	roughCut bool
	is       reading
}

// fine: it is so fine that only straining takes it out.
func (h *herb) fine() bool { return h.cut.Dust && !h.entry.Bag }

type extra struct {
	entry      batch.Addition
	ingredient *library.Ingredient
	spirit     *library.Spirit
	abv        *float64 // its strength, where that is known of this one [% vol]
	cut        *library.Cut
	botanical  *library.Botanical
	missing    string
	addition   mixture.Addition
	massG      float64
	// unread says why it is left out, or counted as water; empty where it is not.
	unread string
	is     reading
}

// ninety turns the width of a 90 % range into one standard deviation: the
// quantiles at 5 and 95 % of a normal lie 2 x 1.6449 apart.
const ninety = 2 * 1.6449

// How well a volume is read, as one standard deviation of its value.
// Judgement: a filled bottle holds its label within 2 %, a marked jug is read
// within 3 %, a cup within 5 % and a spoon within 10 % (90 % ranges).
func volumeSD(a *quantity.Amount) (share float64, cause, cure string) {
	switch a.Unit {
	case "tsp", "tbsp", "metric tsp", "metric tbsp", "dessertspoon":
		return 0.10 / 1.645, "the spoon", "weigh it"
	case "cup", "US cup", "metric cup":
		return 0.05 / 1.645, "the cup", "weigh it, or use a marked jug"
	default:
		return 0.02 / 1.645, "the measured volume", "weigh it"
	}
}

// resolve reads a batch as it is nowH hours after its start: what is pulled later
// is still in.
func resolve(b *batch.Batch, lib *library.Library, nowH float64) (*parts, error) {
	p := &parts{}
	for _, s := range b.Spirits {
		r, err := resolveBase(b, lib, s)
		if err != nil {
			return nil, err
		}
		p.bases = append(p.bases, r)
	}
	for _, e := range b.Botanicals {
		r, err := resolveHerb(b, lib, e)
		if err != nil {
			return nil, err
		}
		out, pulled := b.Pulled(e.Name)
		r.is.stays = (e.LeaveIn || b.Finish.LeaveIn) && !(pulled && out.Hours <= nowH)
		if r.is.washed = r.ingredient != nil && r.ingredient.IsFat() && !r.is.stays; r.is.washed {
			r.note = join(r.note, washNote)
		}
		p.botanicals = append(p.botanicals, r)
	}
	for _, e := range b.Additions {
		r, err := resolveExtra(b, lib, e, p.bases)
		if err != nil {
			return nil, err
		}
		p.additions = append(p.additions, r)
	}
	return p, nil
}

func resolveBase(b *batch.Batch, lib *library.Library, s batch.Spirit) (base, error) {
	r := base{entry: s, is: reading{name: s.Name}}
	name := s.Name
	if name == "" {
		name = "spirit"
	}
	if s.Name != "" {
		known, err := lib.Spirit(s.Name)
		ban := lib.MustNot(s.Name)
		var ing *library.Ingredient
		var ingErr error
		if ban != nil || err != nil {
			ing, ingErr = lib.Ingredient(s.Name)
		}
		switch {
		case ban != nil && !(ingErr == nil && called(ing, s.Name)):
			r.is.botanicals = []*library.Botanical{ban}
			r.missing = fmt.Sprintf("%s must not be steeped: %s", ban.Name, ban.Forbidden)
		case err == nil:
			r.known, r.is.spirits = known, []*library.Spirit{known}
		case ingErr == nil:
			r.is.ingredients = []*library.Ingredient{ing}
			return liquidBase(b, r, ing)
		default:
			r.is.stranger(lib, nil)
		}
	}
	abv, sd, cause, cure, ok := strength(s.ABVPercent, r.known)
	switch sure := s.ABVPercent != nil && !(s.Bare && r.known == nil && len(r.is.spirits) == 0); {
	case r.missing != "" || sure:
	case s.Bare:
		r.missing = fmt.Sprintf("the %g %% in %q may be of something else than alcohol: write abv = %g beside it if it is that", *s.ABVPercent, name, *s.ABVPercent)
	case r.known != nil && strings.ContainsAny(name, "0123456789") && !goesBy(r.known, name):
		r.missing = fmt.Sprintf("whether the number in %q is its strength cannot be read: write abv = 40 beside it", name)
	}
	if !ok && r.missing == "" {
		r.missing = fmt.Sprintf("the strength of the %s is not written: add abv = 40 (per cent by volume, from its label) to [spirit]", name)
	}
	r.base = mixture.Base{Name: name, ABVPercent: mixture.Quantity{Value: abv, SD: sd, Cause: cause, Cure: cure}}
	if r.is.unsure() {
		r.base.PerLitre.BufferMMol = 1000 * strangeBufferMMolPerG()
	}
	if r.known != nil {
		r.base.PerLitre = extractPerLitre(r.known, abv)
		r.base.SugarFactor, r.base.AcidFactor, r.base.PHShift = classFactors(r.known)
	}
	if s.Amount == nil {
		if r.missing == "" {
			r.missing = fmt.Sprintf("the amount of the %s is not written: add amount = \"700~ml\" to [spirit]", name)
		}
		return r, nil
	}
	if r.missing != "" {
		return r, nil
	}
	ml, sdML, cause, cure, err := spiritVolume(s.Amount, abv, name)
	if err != nil {
		return r, b.Errorf([]any{"spirit", s.Index, "amount"}, `amount = "700~ml"`, "%s", err)
	}
	r.base.VolumeML = mixture.Quantity{Value: ml, SD: sdML, Cause: cause, Cure: cure}
	if all, err := mixture.FromVolume(ml, abv, r.base.PerLitre); err == nil && r.known != nil {
		r.is.weight = &library.Weight{G: all.MassG(), Low: all.MassG(), High: all.MassG()}
	}
	return r, nil
}

// liquidBase is a base that is no spirit: water, milk, a syrup, a juice. A
// strength that is written is one more thing that is known of it.
func liquidBase(b *batch.Batch, r base, ing *library.Ingredient) (base, error) {
	r.ingredient = ing
	r.base = mixture.Base{Name: r.entry.Name}
	if abv, sd, cause, cure, ok := strength(r.entry.ABVPercent, nil); ok && (!r.entry.Bare || ing.Per100G.Ethanol > leastEthanol) {
		r.base.ABVPercent = mixture.Quantity{Value: abv, SD: sd, Cause: cause, Cure: cure}
	} else if own := ingredientParts(ing).ABVPercent(); own > 0.05 {
		r.base.ABVPercent = mixture.Quantity{Value: own, SD: 0.3, Cause: "the strength of the " + r.entry.Name, Cure: "write abv from its label"}
	}
	if r.entry.Amount == nil {
		r.missing = fmt.Sprintf("the amount of the %s is not written: add amount = \"700~ml\" to [spirit]", r.entry.Name)
		return r, nil
	}
	w, err := ing.Grams(*r.entry.Amount)
	if err != nil {
		return r, b.Errorf([]any{"spirit", r.entry.Index, "amount"}, `amount = "700~ml"`, "%s", err)
	}
	r.is.weight = &w
	per := ingredientAddition(batch.Addition{Name: ing.Name}, ing, w)
	all := per.PerG.Times(w.G)
	ml := all.VolumeML(20)
	if ml <= 0 {
		r.missing = fmt.Sprintf("the %s is no liquid to steep in", r.entry.Name)
		return r, nil
	}
	litre := all.Times(1000 / ml)
	litre.Ethanol, litre.Water = 0, 0
	r.base.SugarFactor, r.base.AcidFactor, r.base.PHShift = per.SugarFactor, per.AcidFactor, per.PHShift
	r.base.PerLitre = litre
	r.base.VolumeML = mixture.Quantity{Value: ml, SD: ml * (w.High - w.Low) / ninety / w.G, Cause: "the measured volume of the " + r.entry.Name, Cure: "weigh it"}
	return r, nil
}

// labelABV is how far the label of a spirit may be off by law, ± % vol.
func labelABV() float64 { return library.Builtin().Constant(library.LabelToleranceABV).Value }

// strength is what the maker wrote, else the usual strength of the class.
func strength(written *float64, known *library.Spirit) (abv, sd float64, cause, cure string, ok bool) {
	switch {
	case written != nil:
		// Taken as a 90 % range.
		return *written, labelABV() / 1.645, "the spirit's label", "no scale helps: it is the law's tolerance", true
	case known != nil && known.ABVPercent.Value > 0:
		n := known.ABVPercent
		return n.Value, (n.High - n.Low) / ninety, "the spirit's strength, which is not written", "write abv from the label", true
	}
	return 0, 0, "", "", false
}

// strangeBufferMMolPerG is the most buffer of a liquid that nobody knows, as
// mixture.Parts.BufferMMol: that of milk (1 g of ash and 4 of protein in 100 g,
// data/tables/buffers.csv).
func strangeBufferMMolPerG() float64 { return acidity.PlantMMolPerG(1, 4) }

// extractPerLitre is what a litre of a sweet or wine-like base holds besides
// ethanol and water.
func extractPerLitre(s *library.Spirit, abv float64) mixture.Parts {
	sugar, acid := s.SugarGPer100G.Value/100, s.AcidGPer100G.Value/100
	per := mixture.Parts{Sucrose: sugar * s.Sugars.Sucrose, Glucose: sugar * s.Sugars.Glucose, Fructose: sugar * s.Sugars.Fructose}
	addAcid(&per, s.Acid, acid, s.AcidGPer100G.Grade)
	per.BufferMMol = acidity.PlantMMolPerG(s.UntoldAsh, s.UntoldProtein)
	// Per gram is turned into per litre with the litre's own mass, which
	// depends on the answer: three rounds settle it to a milligram.
	mass := 1000.0
	litre := mixture.Parts{}
	for range 3 {
		var err error
		if litre, err = mixture.FromVolume(1000, abv, per.Times(mass)); err != nil {
			return mixture.Parts{}
		}
		mass = litre.MassG()
	}
	if litre.OtherAcid == 0 && proven(s.PH) {
		if fixed, err := mixture.WithPH(litre, s.PH.Value); err == nil {
			litre = fixed
		}
	}
	litre.Ethanol, litre.Water = 0, 0
	return litre
}

// proven reports whether a figure is there and may decide.
func proven(n library.Number) bool { return n.Known() && n.Grade.Decides() }

// classFactors is how far the sugar, the acid and the pH of one bottle may lie from
// the usual of its class.
func classFactors(s *library.Spirit) (sugar, acid, pH mixture.Quantity) {
	factor := func(n library.Number, cause, cure string) mixture.Quantity {
		if n.Value <= 0 {
			return mixture.Quantity{}
		}
		return mixture.Quantity{Value: 1, SD: spread(n, 0) / n.Value, Cause: cause, Cure: cure}
	}
	if proven(s.PH) {
		pH = mixture.Quantity{SD: spread(s.PH, 0.1), Cause: "the pH of the " + s.Name, Cure: "measure the finished pH"}
	}
	return factor(s.SugarGPer100G, "the sweetness of the "+s.Name, "read its sugar off the label and write it in library.toml"),
		factor(s.AcidGPer100G, "the sourness of the "+s.Name, "measure the finished pH"), pH
}

func spiritVolume(a *quantity.Amount, abv float64, name string) (ml, sd float64, cause, cure string, err error) {
	if low, mid, high, ok := a.Millilitres(); ok {
		share, cause, cure := volumeSD(a)
		return mid, math.Hypot(mid*share, (high-low)/ninety), cause + " of the " + name, cure, nil
	}
	if low, mid, high, _, ok := library.UnsizedML(*a); ok {
		return mid, (high - low) / ninety, "the " + a.Unit + " of " + name, "measure it", nil
	}
	if low, mid, high, ok := a.Grams(); ok {
		ml := mid / alcohol.Density(alcohol.MassFraction(abv), 20) * 1000
		return ml, math.Hypot(ml*0.003, ml*(high-low)/mid/ninety), "the scale", "", nil
	}
	if a.Kind == quantity.Ounce {
		return 0, 0, "", "", fmt.Errorf("%q of a liquid can be fluid ounces or ounces by weight", a.Text)
	}
	return 0, 0, "", "", fmt.Errorf("%q is not an amount of a liquid: a volume or a weight is needed", a.Text)
}

func resolveHerb(b *batch.Batch, lib *library.Library, e batch.Botanical) (herb, error) {
	h, err := nameHerb(b, lib, e)
	if err != nil {
		return h, err
	}
	h.is = reading{name: e.Name, plant: h.ingredient == nil, dry: library.Dry(e.Name + " " + e.Cut), like: e.Like != ""}
	if h.known != nil {
		h.is.botanicals = []*library.Botanical{h.known}
		h.is.odd = h.known.Strange(e.Name, e.Cut)
		h.is.never = lib.MayBe(e.Name)
		h.note = join(h.note, h.is.notKnown())
		if h.known.FreshOrDry && h.is.odd {
			h.note = join(h.note, "it is sold dried and picked fresh, so it is taken as fresh until cut = \"dried\" is written")
		}
	}
	if h.ingredient != nil {
		h.is.ingredients = []*library.Ingredient{h.ingredient}
		if h.ingredient.IsFat() {
			if h.cut, err = lib.FatCake(); err != nil {
				return h, err
			}
		}
	}
	own, ownCut, _, _ := lib.BotanicalAndCut(e.Name, e.Cut)
	switch {
	// What it is like lends figures; what it is stands, and no care is lost.
	case e.Like != "" && own != nil:
		h.is.odd = h.is.lowAcidFresh()
		h.is.botanicals = []*library.Botanical{own}
	case e.Like != "":
		if ing, err := lib.Ingredient(e.Name); err == nil {
			h.is.plant, h.is.botanicals, h.is.ingredients = false, nil, []*library.Ingredient{ing}
		} else {
			h.is.stranger(lib, h.known)
		}
	case h.known == nil && h.ingredient == nil:
		h.is.stranger(lib, h.known)
	}
	if a := e.Amount; e.Cut == "" && h.known != nil && a != nil && (a.Noun == "strip" || a.Noun == "slice") {
		if c, err := h.known.Cut(a.Noun + "s"); err == nil { // "2 strips of lemon zest"
			h.cut = c
		}
	}
	if _, err := lib.Spirit(e.Name); err == nil && h.known == nil && h.ingredient == nil && e.Amount != nil && poured(e.Amount) {
		return h, b.Errorf([]any{"botanical", e.Index, "name"}, "", "%s is a spirit, and what steeps is no spirit: write it under [spirit], or as an [[addition]] with in = \"0 h\"", e.Name)
	}
	h.lent = h.is.lost || e.Like != "" && own != h.known && !(len(h.is.botanicals) == 1 && h.is.botanicals[0] == h.known && len(h.is.ingredients) == 0)
	h.cut = wetted(&h.is, h.cut, ownCut)
	if e.Amount == nil {
		h.note = join(h.note, "no amount is written: weigh it to know its dose and what the strainer keeps")
		return h, nil
	}
	var w library.Weight
	if h.ingredient != nil {
		w, err = h.ingredient.Grams(*e.Amount)
	} else {
		w, err = weigh(e.Amount, h.cut, h.known != nil)
	}
	if err != nil {
		var ounce *library.OunceError
		if errors.As(err, &ounce) {
			return h, b.Errorf([]any{"botanical", e.Index, "amount"}, `amount = "2 oz wt"`, "%s", err)
		}
		h.note = join(h.note, err.Error())
		return h, nil
	}
	h.weight, h.is.weight = &w, &w
	return h, nil
}

const washNote = "its fat is taken off again: chill it hard and strain it cold; write leave_in = true if it stays"

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

// nameHerb looks up what is steeped, and in what form.
func nameHerb(b *batch.Batch, lib *library.Library, e batch.Botanical) (herb, error) {
	h := herb{entry: e}
	name := e.Name
	if e.Like != "" {
		name = e.Like
	}
	ban := lib.MustNot(e.Name)
	if ban == nil {
		ban = lib.MustNot(name) // what it is like
	}
	if ban != nil && !literally(lib, e.Name, &h) {
		h.known, h.cut = ban, library.Unknown()
		h.note = "must not be steeped: " + ban.Forbidden
		return h, nil
	}
	h.ingredient = nil
	known, cut, _, err := lib.BotanicalAndCut(name, e.Cut)
	var forbidden *library.ForbiddenError
	var lost *library.NotFoundError
	switch {
	case err == nil:
		h.known, h.cut = known, cut
		h.note = takenFor(lib, known, cut, name, e.Cut)
	case errors.As(err, &forbidden) && literally(lib, name, &h):
		h.cut = library.Unknown()
		h.note = "counted whole, as the ingredient it is; its taste has no usual time"
	case errors.As(err, &forbidden):
		h.cut = library.Unknown()
		if h.known, _ = lib.Botanical(name); h.known == nil {
			return h, err
		}
		h.note = "must not be steeped: " + forbidden.Why
	case known != nil: // the plant is known, the cut is not
		h.known = known
		if h.cut, err = known.Cut(""); err != nil {
			return h, err
		}
		h.roughCut = true
		h.note = fmt.Sprintf("the cut %q is not in the library, so the figures of %q are used; it knows %s", e.Cut, h.cut.Name, cutNames(known))
	case isIngredient(lib, name, &h):
		h.cut = library.Unknown()
		h.note = "counted whole, as the ingredient it is; its taste has no usual time"
	default:
		h.cut = library.Unknown()
		h.note = "not in the library: a very wide usual range is used until you have tasted it"
		if errors.As(err, &lost) {
			h.lost = lost
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
	if from := library.From(name); len(from) > 0 && !slices.ContainsFunc(append([]string{b.Name}, b.Names...), func(n string) bool { return len(library.From(n)) > 0 }) {
		note = fmt.Sprintf("it is taken as %s, wherever it is from", b.Name)
	} else if library.Narrows(name, b.Name) {
		note = "it is taken as " + b.Name
	}
	if done := b.Unheard(name+" "+how, cut); len(done) > 0 {
		note = join(note, fmt.Sprintf("how fast %s is when it is %s is not in the library, so the figures of %q are used; it knows %s", b.Name, quantity.And(done), cut.Name, cutNames(b)))
	}
	other, open := lib.OtherState(b, name+" "+how)
	state, instead := "dried", "fresh"
	if b.Fresh {
		state, instead = "fresh", "dried"
	}
	switch {
	case b.FreshOrDry: // said where it is judged
	case open && other != nil:
		note = join(note, fmt.Sprintf("it is taken as %s; if it is %s, write cut = %q", state, instead, instead))
	case open:
		note = join(note, fmt.Sprintf("it is taken as %s, as the library knows it", state))
	}
	return note
}

// literally is isIngredient for the very name of an ingredient: "fish gelatine"
// is no fish.
func literally(lib *library.Library, name string, h *herb) bool {
	ing, err := lib.Ingredient(name)
	if err != nil || !called(ing, name) {
		return false
	}
	h.ingredient = ing
	return true
}

// isIngredient finds something that is steeped though it is no botanical.
func isIngredient(lib *library.Library, name string, h *herb) bool {
	ing, err := lib.Ingredient(name)
	if err != nil {
		return false
	}
	h.ingredient = ing
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

func resolveExtra(b *batch.Batch, lib *library.Library, e batch.Addition, bases []base) (extra, error) {
	x := extra{entry: e, abv: e.ABVPercent, is: reading{name: e.Name, heated: e.Heated, dry: library.Dry(e.Name)}}
	name := e.Name
	ing, ingErr := lib.Ingredient(name)
	// A plant that must not be steeped wins over a likeness ("apricot kernel"
	// is no apricot), but not over the very name of an ingredient.
	if ban := lib.MustNot(name); ban != nil && !(ingErr == nil && called(ing, name)) {
		x.botanical, x.is.botanicals = ban, []*library.Botanical{ban}
		x.missing = fmt.Sprintf("%s must not be steeped: %s", ban.Name, ban.Forbidden)
		return x, nil
	}
	weighed := e.Amount != nil && !poured(e.Amount)
	// Whatever is written beside it, a thing stays what it is; a strength makes
	// a plant that is poured a liquid that was drawn from it.
	if ingErr == nil {
		x.ingredient, x.is.ingredients = ing, []*library.Ingredient{ing}
		if ing.Per100G.Ethanol > leastEthanol {
			x.ownStrength(nil)
		}
		if x.is.washed = e.In != nil && ing.IsFat(); x.is.washed {
			var err error
			if x.cut, err = lib.FatCake(); err != nil {
				return x, err
			}
		}
	} else if sp, err := lib.Spirit(name); err == nil {
		x.spirit, x.is.spirits = sp, []*library.Spirit{sp}
		x.ownStrength(bases)
	} else if bot, err := lib.Botanical(name); err == nil {
		x.botanical, x.is.botanicals, x.is.plant = bot, []*library.Botanical{bot}, true
		if x.cut, err = bot.Cut(""); err != nil {
			x.missing = err.Error()
			return x, nil
		}
		strong := x.abv != nil && *x.abv > 0
		x.is.stays = !strong || *x.abv < leastLiquorABV
		x.is.odd, x.is.never = bot.Strange(name, ""), lib.MayBe(name)
		x.cut = wetted(&x.is, x.cut, nil)
		if strong && weighed {
			return x, b.Errorf([]any{"addition", e.Index, "abv"}, "", "%s is weighed, so it is the plant, and a plant has no strength; write a liquor drawn from it by its volume", name)
		}
	} else if x.strange(lib, weighed); x.abv == nil {
		var lost *library.NotFoundError
		x.unread = fmt.Sprintf("%q is not in the library, so what it brings is unknown", name)
		if x.asWater() {
			x.unread += " and it counts as water"
		}
		if errors.As(ingErr, &lost) && len(lost.Nearest()) > 0 {
			x.unread += "; did you mean " + quantity.Or(lost.Nearest()) + "?"
		} else {
			x.unread += "; describe it in library.toml beside the batch"
		}
		return x, nil
	}
	if e.Amount == nil {
		x.unread = fmt.Sprintf("the amount of %s is not written, so it is left out: add amount = \"100~g\" or \"100~ml\" to its [[addition]]", name)
		return x, nil
	}
	where := []any{"addition", e.Index, "amount"}
	switch {
	case x.ingredient != nil:
		w, err := x.ingredient.Grams(*e.Amount)
		if err != nil {
			right := `amount = "100~g"`
			if x.ingredient.Liquid {
				right = `amount = "2 fl oz" (a volume), or "2 oz wt" (a weight)`
			}
			return x, b.Errorf(where, right, "%s", err)
		}
		x.massG, x.is.weight = w.G, &w
		x.addition = ingredientAddition(e, x.ingredient, w)
		if x.abv != nil && !withStrength(&x.addition, x.abv, !weighed) {
			return x, b.Errorf([]any{"addition", e.Index, "abv"}, "", "%s does not hold the water to be %g %% vol", name, *x.abv)
		}
		x.massG = x.addition.MassG.Value
		if e.BoiledOff != nil {
			if err := boilOff(&x); err != nil {
				return x, b.Errorf([]any{"addition", e.Index, "boiled_off"}, `boiled_off = "40~ml"`, "%s", err)
			}
		}
	case e.BoiledOff != nil && x.ingredient == nil:
		return x, b.Errorf([]any{"addition", e.Index, "boiled_off"}, "", "what boils off is reckoned as water, and %s is no syrup or juice: write it as it is after boiling", name)
	case x.botanical != nil && !(x.abv != nil && *x.abv > 0):
		w, err := x.cut.Grams(*e.Amount)
		if err != nil {
			return x, b.Errorf(where, `amount = "100~g"`, "%s", err)
		}
		x.massG, x.is.weight = w.G, &w
		x.addition = mixture.Addition{Name: e.Name, PerG: herbParts(x.cut), MassG: massQuantity(e.Name, w)}
	default:
		abv, sd, cause, cure, ok := strength(x.abv, x.spirit)
		if !ok {
			x.unread = fmt.Sprintf("the strength of %s is not written: add abv = 40 to its [[addition]]", name)
			x.asWater()
			return x, nil
		}
		ml, sdML, vCause, vCure, err := spiritVolume(e.Amount, abv, name)
		if err != nil {
			return x, b.Errorf(where, `amount = "2 fl oz" (a volume), or "2 oz wt" (a weight)`, "%s", err)
		}
		if x.addition, x.massG, err = spiritAddition(name, x.spirit, ml, sdML, vCause, vCure, abv, sd, cause, cure); err != nil {
			return x, b.Errorf([]any{"addition", e.Index, "abv"}, "abv = 40", "%s", err)
		}
		if x.is.unsure() {
			x.addition.PerG.BufferMMol = max(x.addition.PerG.BufferMMol, strangeBufferMMolPerG())
		}
		if x.spirit != nil {
			_, _, _, taken, _ := library.UnsizedML(*e.Amount)
			x.is.weight = &library.Weight{G: x.massG, Low: x.massG, High: x.massG, Taken: taken}
		}
	}
	return x, nil
}

// lightest and heaviest are the densities, g/mL, between which whatever goes into a
// bottle lies: strong spirit and rich syrup (OIML R 22; ICUMSA SPS-4).
const lightest, heaviest = 0.8, 1.4

// asWater counts as water what nobody knows, by the room it takes; false where its
// amount does not say that.
func (x *extra) asWater() bool {
	a := x.entry.Amount
	if a == nil {
		return false
	}
	if a.Kind == quantity.Ounce {
		fluid := a.AsFluid() // an ounce of water is a fluid ounce, within a twentieth
		a = &fluid
	}
	low, mid, high, ok := a.Millilitres()
	cause, cure := "the room "+x.entry.Name+" takes", "describe it in library.toml"
	if !ok {
		if low, mid, high, ok = a.Grams(); !ok {
			return false
		}
		low, high = low/heaviest, high/lightest
	}
	ml := mixture.Quantity{Value: mid, SD: math.Hypot((high-low)/ninety, 0.02*mid), Cause: cause, Cure: cure}
	ml.Value *= alcohol.WaterDensity20 / 1000
	x.addition = mixture.Addition{Name: x.entry.Name, MassG: ml, PerG: mixture.Parts{Water: 1, BufferMMol: strangeBufferMMolPerG()}}
	return true
}

// strange reads an addition that the library does not know. What is weighed and
// named after a plant is the plant, unless it is as strong as a liquor.
func (x *extra) strange(lib *library.Library, weighed bool) {
	n := &x.is
	n.stranger(lib, nil)
	if len(n.spirits) > 0 && len(n.ingredients)+len(n.botanicals) == 0 {
		x.ownStrength(nil)
	}
	n.plant = weighed && (len(n.botanicals) > 0 || x.entry.In != nil) && len(n.ingredients)+len(n.spirits) == 0 && (x.abv == nil || *x.abv < leastLiquorABV)
	n.stays = n.plant
}

// ownStrength is the strength of this spirit: what is written, or stands in its
// name, or what the same spirit has that the jar was filled with.
func (x *extra) ownStrength(bases []base) {
	if x.abv != nil {
		return
	}
	if _, in := quantity.StrengthIn(x.entry.Name); in.Said {
		x.abv = &in.Percent
		return
	}
	for i := range bases {
		if b := &bases[i]; b.known != nil && b.known == x.spirit {
			x.abv = b.entry.ABVPercent
		}
	}
}

// leastEthanol is the ethanol [g per 100 g] from which a bare per cent in a name is
// that of alcohol.
const leastEthanol = 0.5

// leastLiquorABV is the strength, % vol, below which what is written as a liquor
// drawn from a plant may be the plant in its own juice: the weakest liqueurs have
// it (Regulation (EU) 2019/787, Annex I). It only ever adds care.
const leastLiquorABV = 15.0

// poured reports whether an amount is a volume.
func poured(a *quantity.Amount) bool {
	_, _, _, ok := a.Millilitres()
	return ok
}

// withStrength gives an addition the strength that was written for it: ethanol
// in the place of its water, its volume as it was poured. It says false where there is too little water.
func withStrength(a *mixture.Addition, written *float64, poured bool) bool {
	abv, sd, cause, cure, _ := strength(written, nil)
	per := a.PerG
	room := per.Water + per.Ethanol
	at := func(ethanol float64) mixture.Parts {
		per.Ethanol, per.Water = ethanol, room-ethanol
		return per
	}
	low, high := 0.0, room
	if abv > 0 && at(high).ABVPercent() < abv {
		return false
	}
	for range 60 {
		if mid := (low + high) / 2; at(mid).ABVPercent() < abv {
			low = mid
		} else {
			high = mid
		}
	}
	before := a.PerG.VolumeML(20)
	if a.PerG = at(low); poured {
		a.MassG.Value *= before / a.PerG.VolumeML(20)
	}
	if abv > 0 {
		a.ABVPercent = mixture.Quantity{Value: abv, SD: sd, Cause: cause, Cure: cure}
	}
	return true
}

// spiritAddition is a measured spirit as masses.
func spiritAddition(name string, known *library.Spirit, ml, sdML float64, vCause, vCure string, abv, sd float64, cause, cure string) (mixture.Addition, float64, error) {
	var extract mixture.Parts
	if known != nil {
		extract = extractPerLitre(known, abv)
	}
	p, err := mixture.FromVolume(ml, abv, extract)
	if err != nil {
		return mixture.Addition{}, 0, err
	}
	mass := p.MassG()
	var sweet, sour, pH mixture.Quantity
	if known != nil {
		sweet, sour, pH = classFactors(known)
	}
	return mixture.Addition{
		SugarFactor: sweet,
		AcidFactor:  sour,
		PHShift:     pH,
		Name:        name,
		MassG:       mixture.Quantity{Value: mass, SD: mass * sdML / ml, Cause: vCause, Cure: vCure},
		PerG:        p.PerG(),
		ABVPercent:  mixture.Quantity{Value: abv, SD: sd, Cause: cause, Cure: cure},
	}, mass, nil
}

// goesBy reports whether a spirit class goes by that very name.
func goesBy(s *library.Spirit, name string) bool {
	return strings.EqualFold(s.Name, name) || contains(s.Names, name)
}

// called reports whether a built-in ingredient goes by that very name.
func called(ing *library.Ingredient, name string) bool {
	return !ing.Own && (strings.EqualFold(ing.Name, strings.TrimSpace(name)) || contains(ing.Names, strings.TrimSpace(name)))
}

// boilOff takes the water that was lost on the stove off an addition.
func boilOff(x *extra) error {
	_, lost, _, ok := x.entry.BoiledOff.Grams()
	if !ok {
		var ml float64
		if _, ml, _, ok = x.entry.BoiledOff.Millilitres(); !ok {
			return fmt.Errorf("%q is no amount of water", x.entry.BoiledOff.Text)
		}
		lost = ml * alcohol.WaterDensity20 / 1000
	}
	all := x.addition.PerG.Times(x.massG)
	if all.ABVPercent() > 0.5 {
		return fmt.Errorf("%s holds alcohol, which boils off before the water: write it as it is after boiling, with its abv", x.entry.Name)
	}
	if lost >= all.Water {
		return fmt.Errorf("%s holds %.0f~g of water, and %.0f~g cannot boil off", x.entry.Name, all.Water, lost)
	}
	all.Water -= lost
	x.addition.PerG = all.PerG()
	x.addition.MassG.Value -= lost
	x.massG -= lost
	return nil
}

func massQuantity(name string, w library.Weight) mixture.Quantity {
	cause, cure := "the weight of the "+name, "weigh it"
	if strings.Contains(w.How, "weigh") {
		cause, cure = "the scale ("+name+")", "a finer scale"
	}
	return mixture.Quantity{Value: w.G, SD: (w.High - w.Low) / ninety, Cause: cause, Cure: cure}
}

// potassiumGPerMol turns potassium into mmol of charge.
const potassiumGPerMol = 39.0983

// ingredientAddition turns a library ingredient into masses per gram. Its acid and
// strong ions come from a pH with a titratable acidity, the maker's own readings
// first; an acidity alone, as it stands on a label, sets the acid; a pH alone the
// ions. What else may blunt acid in it comes with its ash and protein.
func ingredientAddition(e batch.Addition, ing *library.Ingredient, w library.Weight) mixture.Addition {
	var pH, pHSD, ta, taSD float64
	if proven(ing.PH) {
		pH, pHSD = ing.PH.Value, spread(ing.PH, 0.1)
	}
	if proven(ing.AcidGPer100ML) {
		ta, taSD = ing.AcidGPer100ML.Value, spread(ing.AcidGPer100ML, 0.12*ing.AcidGPer100ML.Value)
	}
	if e.PH != nil {
		pH, pHSD = *e.PH, 0.05
	}
	if e.AcidGPer100ML != nil {
		ta, taSD = *e.AcidGPer100ML, 0.03**e.AcidGPer100ML
	}
	c := ing.Per100G
	per := mixture.Parts{
		Ethanol: c.Ethanol, Water: c.Water,
		Sucrose: c.Sucrose + c.Maltose + c.Lactose, Glucose: c.Glucose, Fructose: c.Fructose,
		Glycerol: c.Glycerol, Fat: c.Fat, OtherSolids: c.Protein + c.Ash + c.OtherSolids,
	}
	grade, other := c.AcidGrade, ing.Acid
	if ta > 0 {
		grade = "" // how much there is was titrated: it is there
	}
	if other == "citric" {
		other = "malic" // what stands beside the citric acid of a fruit
	}
	addAcid(&per, "citric", c.Citric, grade)
	addAcid(&per, "malic", c.Malic, grade)
	addAcid(&per, other, c.OtherAcid, grade)
	per = per.Times(0.01)
	buffer := math.Max(acidity.PlantMMolPerG(c.Ash+c.UntoldAsh, c.Protein+c.UntoldProtein), c.PotassiumMG/100/potassiumGPerMol)
	if c.StrongIonsMMol != nil {
		per.StrongIonsMMol, buffer = *c.StrongIonsMMol/100, 0 // its ash is a salt that is known
	}
	per.BufferMMol = buffer
	if e.Brix != nil {
		per = withBrix(per, math.Min(*e.Brix, mostBrix(ing)))
	}
	add := mixture.Addition{Name: e.Name, MassG: massQuantity(e.Name, w)}
	if add.SugarFactor = fruitSugar(ing); e.Brix != nil {
		add.SugarFactor = mixture.Quantity{}
	}
	if ta > 0 {
		if per.AcidG() == 0 {
			addAcid(&per, cmp.Or(ing.Acid, "citric"), ta/100, "")
		}
		add.AcidFactor = mixture.Quantity{Value: 1, SD: taSD / ta, Cause: "the sourness of the " + ing.Name, Cure: "titrate it, or write the acid you know"}
		asRead := 10 * ta * asCitric(ing.Acid)
		if pH > 0 {
			if juice, err := mixture.WithTitration(per, pH, asRead); err == nil {
				add.PerG = juice
				add.PHShift = mixture.Quantity{SD: pHSD, Cause: "the pH of the " + ing.Name, Cure: "measure it with a meter"}
				return add
			}
		}
		per = mixture.WithAcid(per, asRead)
	} else if ing.Kind == "fruit" || ing.Kind == "juice" {
		add.AcidFactor = fruitAcid(ing.Name)
	}
	add.PerG = per
	if pH > 0 && (e.PH != nil || per.OtherAcid == 0) {
		// What its ions do not account for of its minerals and protein may still
		// blunt the acid of what it is mixed with.
		if sour, err := mixture.WithPH(per, pH); err == nil {
			add.PerG = sour
			add.PerG.BufferMMol = math.Max(buffer-sour.StrongIonsMMol, 0)
		}
	}
	return add
}

// mostBrix is the most [g per 100 g] that a reading of an ingredient is believed to
// be: of what the maker sweetens as he likes anything, of the rest what its usual
// make-up explains, fifteen per cent either way (see fruitSugar).
func mostBrix(ing *library.Ingredient) float64 {
	switch ing.Kind {
	case "sugar", "syrup", "honey":
		return 100
	}
	usual := ingredientParts(ing).Brix()
	_, most := mixture.Range{Value: usual, Low: 0.85 * usual, High: 1.15 * usual}.Believed(func(float64) float64 { return brixSD })
	return most
}

// fruitAcid is how far the acid of a fruit may lie from the usual. One standard
// deviation, judgement.
func fruitAcid(name string) mixture.Quantity {
	return mixture.Quantity{Value: 1, SD: 0.2, Cause: "the sourness of the " + name, Cure: "measure the finished pH"}
}

// fruitSugar is how far the sugar of a juice or a fruit may lie from the usual:
// 15 % either way for nine in ten, less than fruit steeped whole since many are
// pressed together. Judgement; it stands until a Brix is written.
func fruitSugar(ing *library.Ingredient) mixture.Quantity {
	if ing.Kind != "juice" && ing.Kind != "fruit" || ing.Per100G.Sugars() <= 0 {
		return mixture.Quantity{}
	}
	return mixture.Quantity{Value: 1, SD: 0.15 / 1.645, Cause: "the sweetness of the " + ing.Name, Cure: "read its Brix and write it"}
}

// asCitric turns a titratable acidity written as another acid into citric: one
// mole of protons is 64.04 g of citric (three), 67.04 g of malic (two), 75.04 g
// of tartaric (two), 60.05 g of acetic, 90.08 g of lactic acid.
func asCitric(acid string) float64 {
	equivalent := map[string]float64{"malic": 67.04, "tartaric": 75.04, "acetic": 60.05, "lactic": 90.08}
	if g, ok := equivalent[acid]; ok {
		return 64.04 / g
	}
	return 1
}

// withBrix sets the sugar of a syrup to a reading, water making room.
func withBrix(per mixture.Parts, brix float64) mixture.Parts {
	have := per.SugarG()
	want := brix/100 - (per.MassG() - per.Water - have)
	if want <= 0 || want >= 1 {
		return per
	}
	if have > 0 {
		f := want / have
		per.Sucrose, per.Glucose, per.Fructose = per.Sucrose*f, per.Glucose*f, per.Fructose*f
	} else {
		per.Sucrose = want
	}
	per.Water -= want - have
	return per
}

// ingredientParts is a gram of an ingredient at its usual composition.
func ingredientParts(ing *library.Ingredient) mixture.Parts {
	return ingredientAddition(batch.Addition{Name: ing.Name}, ing, library.Weight{}).PerG
}

func spread(n library.Number, otherwise float64) float64 {
	if n.High > n.Low {
		return (n.High - n.Low) / ninety
	}
	return otherwise
}

// herbParts is what a gram of a botanical gives to the liquor when water and
// sugar exchange fully.
func herbParts(c *library.Cut) mixture.Parts {
	p := mixture.Parts{Water: c.WaterGPerG.Value}
	sugar := c.SugarGPerG.Value
	p.Sucrose, p.Glucose, p.Fructose = sugar*c.Sugars.Sucrose, sugar*c.Sugars.Glucose, sugar*c.Sugars.Fructose
	addAcid(&p, c.Acid, c.AcidGPerG.Value, c.AcidGPerG.Grade)
	p.BufferMMol = acidity.PlantMMolPerG(c.AshGPer100G.Value, c.ProteinGPer100G.Value)
	return p
}

// addAcid counts g of an acid as what it is. What is known from memory or an
// unsigned page, or is of an unknown kind, only may be there.
func addAcid(p *mixture.Parts, kind string, g float64, grade library.Grade) {
	dst := &p.OtherAcid
	if grade.Decides() {
		switch kind {
		case "citric":
			dst = &p.Citric
		case "malic":
			dst = &p.Malic
		case "tartaric":
			dst = &p.Tartaric
		case "acetic":
			dst = &p.Acetic
		case "lactic":
			dst = &p.Lactic
		case "sorbic":
			dst = &p.Sorbic
		case "benzoic":
			dst = &p.Benzoic
		}
	}
	*dst += g
}

func cutNames(b *library.Botanical) string {
	names := make([]string, len(b.Cuts))
	for i, c := range b.Cuts {
		names[i] = fmt.Sprintf("%q", c.Name)
	}
	return strings.Join(names, ", ")
}

func join(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + "; " + b
}
