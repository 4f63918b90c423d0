package recipe

import (
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

// Base is one [[spirit]]: what the jar was filled with.
type Base struct {
	Entry batch.Spirit
	Known *library.Spirit // nil: the maker's own word
	// Ingredient is set where the base is no spirit: water, milk, a syrup.
	Ingredient *library.Ingredient
	// Missing says what is needed before it can be counted; empty when all is
	// there.
	Missing string
	// Unread says of what is dissolved in it that nobody knows it; empty where that is known.
	Unread string
	Base   mixture.Base
	Reads  reading
}

// howStrong says what to write of a base whose strength nobody knows.
func (n *reading) howStrong() string {
	said := strings.Fields(PlainWords(n.Name))
	holds := slices.DeleteFunc(slices.Clone(n.kin), func(kin string) bool { // firewater is no water
		return slices.ContainsFunc(strings.Fields(PlainWords(kin)), func(w string) bool {
			return slices.ContainsFunc(said, func(s string) bool { return s != w && strings.Contains(s, w) })
		})
	})
	if len(n.spirits) == 0 && len(holds) > 0 {
		return fmt.Sprintf("by its name it holds %s; if there is no alcohol in it, write abv = 0 below its name, else what its label says",
			quantity.And(holds))
	}
	return "write abv = and its per cent by volume below its name, from its label or as it was measured; a guess is none"
}

// ReadBase looks a base up and turns its amount into a volume. The error is a fault in
// what the maker wrote, with file and line.
func ReadBase(b *batch.Batch, lib *library.Library, s batch.Spirit) (Base, error) {
	r := Base{Entry: s, Reads: read(s.Name, "")}
	r.Reads.filled = true
	name := s.Name
	if name == "" {
		name = "spirit"
	}
	if s.Name != "" {
		known, err := lib.Spirit(s.Name)
		ban := lib.MustNot(s.Name + ", distilled") // the first of a run under any name
		var ing *library.Ingredient
		var ingErr error
		if ban != nil || err != nil {
			ing, ingErr = lib.Ingredient(s.Name)
		}
		switch {
		case ban != nil && !(ingErr == nil && called(ing, s.Name)):
			r.Reads.Botanicals = []*library.Botanical{ban}
			r.Missing = fmt.Sprintf("%s must not be steeped: %s", ban.Name, ban.Forbidden)
		case err == nil:
			r.Known, r.Reads.spirits = known, []*library.Spirit{known}
			if !known.Own {
				r.Reads.never = lib.Suspected(s.Name, true)
			}
		case ingErr == nil:
			r.Reads.Ingredients = []*library.Ingredient{ing}
			return liquidBase(b, r, ing)
		default:
			r.Reads.stranger(lib, nil)
		}
	}
	abv, ok := strength(s.ABVPercent, r.Known, name)
	r.Reads.drunkAt(abv.Value)
	switch sure := s.ABVPercent != nil && !(s.Bare && r.Known == nil && len(r.Reads.spirits) == 0); {
	case r.Missing != "" || sure:
	case s.Bare:
		r.Missing = fmt.Sprintf("the %s %% in %q may be of something else than alcohol: write abv = %[1]s beside it if it is that",
			quantity.FormatNumber(*s.ABVPercent), name)
	case r.Known != nil && strings.ContainsAny(name, "0123456789") && !goesBy(r.Known, name):
		r.Missing = fmt.Sprintf("whether the number in %q is its strength cannot be read: write abv = 40 beside it",
			name)
	}
	if !ok && r.Missing == "" {
		r.Missing = fmt.Sprintf("the strength of the %s is not written: %s", name, r.Reads.howStrong())
	}
	r.Base = mixture.Base{Name: name, ABVPercent: abv}
	if r.Reads.unsure() {
		r.Base.PerLitre.StrangeMMol = 1000 * strangeBufferMMolPerG()
	}
	if r.Known != nil {
		r.Base.PerLitre = extractPerLitre(r.Known, abv.Value)
		r.Base.SugarFactor, r.Base.AcidFactor, r.Base.PHShift = classFactors(r.Known)
	}
	if s.Amount == nil && r.Missing == "" {
		r.Missing = fmt.Sprintf("the amount of the %s is not written: add amount = \"700~ml\" below its name", name)
	}
	if r.Missing != "" {
		return r, nil
	}
	ml, err := spiritVolume(s.Amount, abv.Value, name)
	if err != nil {
		return r, b.Errorf([]any{"spirit", s.Index, "amount"}, `amount = "700~ml"`, "%s", err)
	}
	r.Base.VolumeML = ml
	litre, err := mixture.FromVolume(1000, abv.Value, r.Base.PerLitre)
	if g := litre.MassG() * ml.Value / 1000; err == nil && r.Known != nil {
		r.Reads.Weight = &library.Weight{G: g, Low: g, High: g}
	}
	r.Base.May, r.Unread = r.Reads.undescribed(litre, true)
	return r, nil
}

// liquidBase is a base that is no spirit: water, milk, a syrup, a juice. A
// strength that is written is one more thing that is known of it.
func liquidBase(b *batch.Batch, r Base, ing *library.Ingredient) (Base, error) {
	r.Ingredient = ing
	r.Base = mixture.Base{Name: r.Entry.Name}
	if abv, ok := strength(r.Entry.ABVPercent, nil, ""); ok &&
		(!r.Entry.Bare || ing.Per100G.Ethanol > leastEthanol) {
		r.Base.ABVPercent = abv
	} else if own := ingredientParts(ing).ABVPercent(); own > 0.05 {
		r.Base.ABVPercent = mixture.Quantity{Value: own, SD: 0.3,
			Cause: "the strength of the " + r.Entry.Name, Cure: "write abv from its label"}
	}
	if r.Entry.Amount == nil {
		r.Missing = fmt.Sprintf("the amount of the %s is not written: add amount = \"700~ml\" below its name",
			r.Entry.Name)
		return r, nil
	}
	w, err := ing.Grams(*r.Entry.Amount)
	if err != nil {
		return r, b.Errorf([]any{"spirit", r.Entry.Index, "amount"}, `amount = "700~ml"`, "%s", err)
	}
	r.Reads.Weight = &w
	per := ingredientAddition(batch.Addition{Name: ing.Name}, ing, w)
	all := per.PerG.Times(w.G)
	ml := all.VolumeML(20)
	if ml <= 0 {
		r.Missing = fmt.Sprintf("the %s is no liquid to steep in", r.Entry.Name)
		return r, nil
	}
	litre := all.Times(1000 / ml)
	litre.Ethanol, litre.Water = 0, 0
	r.Base.SugarFactor, r.Base.AcidFactor, r.Base.PHShift = per.SugarFactor, per.AcidFactor, per.PHShift
	r.Base.PerLitre = litre
	r.Base.VolumeML = mixture.Quantity{Value: ml, SD: ml * (w.High - w.Low) / Ninety / w.G,
		Cause: "the measured volume of the " + r.Entry.Name, Cure: mixture.Out + "weigh the " + r.Entry.Name}
	return r, nil
}

// labelABV is how far the label of a spirit may be off by law, ± % vol.
func labelABV() float64 { return library.Builtin().Constant(library.LabelToleranceABV).Value }

// strength is what the maker wrote, else the usual strength of the class, where its name has one.
func strength(written *float64, known *library.Spirit, name string) (abv mixture.Quantity, ok bool) {
	switch {
	case written != nil:
		// Taken as a 90 % range.
		return mixture.Quantity{Value: *written, SD: labelABV() / 1.645, Cause: "the spirit's label",
			Cure: "no scale helps: it is the law's tolerance"}, true
	case known != nil && known.ABVPercent.Value > 0 && (known.Own || !library.Unlabelled(name)):
		n := known.ABVPercent
		return mixture.Quantity{Value: n.Value, SD: (n.High - n.Low) / Ninety,
			Cause: "the spirit's strength, which is not written", Cure: "write abv from the label"}, true
	}
	return mixture.Quantity{}, false
}

// strangeBufferMMolPerG is the most buffer of a liquor that nobody knows, as
// mixture.Parts.StrangeMMol: that of milk (1 g of ash and 4 of protein in 100 g,
// data/tables/buffers.csv).
func strangeBufferMMolPerG() float64 { return acidity.PlantMMolPerG(1, 4) }

// extractPerLitre is what a litre of a sweet or wine-like base holds besides
// ethanol and water.
func extractPerLitre(s *library.Spirit, abv float64) mixture.Parts {
	sugar, acid := s.SugarGPer100G.Value/100, s.AcidGPer100G.Value/100
	per := mixture.Parts{Sucrose: sugar * s.Sugars.Sucrose, Glucose: sugar * s.Sugars.Glucose,
		Fructose: sugar * s.Sugars.Fructose}
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
		pH = mixture.Quantity{SD: spread(s.PH, 0.1), Cause: "the pH of the " + s.Name,
			Cure: mixture.Left + "measure the finished pH"}
	}
	return factor(s.SugarGPer100G, "the sweetness of the "+s.Name,
			"read its sugar off the label and write it in library.toml"),
		factor(s.AcidGPer100G, "the sourness of the "+s.Name, "measure the finished pH"), pH
}

func spiritVolume(a *quantity.Amount, abvPercent float64, name string) (ml mixture.Quantity, err error) {
	if low, mid, high, ok := a.Millilitres(); ok {
		share, cause, cure := volumeSD(a)
		return mixture.Quantity{Value: mid, SD: math.Hypot(mid*share, (high-low)/Ninety),
			Cause: cause + " of the " + name, Cure: mixture.Out + strings.Replace(cure, " it", " the "+name, 1)}, nil
	}
	if low, mid, high, _, ok := library.UnsizedML(*a); ok {
		return mixture.Quantity{Value: mid, SD: (high - low) / Ninety, Cause: "the " + a.Unit + " of " + name,
			Cure: mixture.Out + "measure it"}, nil
	}
	if low, mid, high, ok := a.Grams(); ok {
		ml := mid / alcohol.Density(alcohol.MassFraction(abvPercent), 20) * 1000
		return mixture.Quantity{Value: ml, SD: math.Hypot(ml*0.003, ml*(high-low)/mid/Ninety),
			Cause: "the scale"}, nil
	}
	if a.Kind == quantity.Ounce {
		return ml, fmt.Errorf("%q of a liquid can be fluid ounces or ounces by weight", a.Text)
	}
	return ml, fmt.Errorf("%q is not an amount of a liquid: a volume or a weight is needed", a.Text)
}

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

// goesBy reports whether a spirit class goes by that very name.
func goesBy(s *library.Spirit, name string) bool {
	return strings.EqualFold(s.Name, name) || Named(s.Names, name)
}
