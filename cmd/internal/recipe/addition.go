package recipe

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf/alcohol"
	"steepbook/shelf/mixture"
)

// Addition is one [[addition]]: what was written, what it is, and what it brings.
type Addition struct {
	Entry      batch.Addition
	Ingredient *library.Ingredient
	Spirit     *library.Spirit
	ABVPercent *float64 // its strength, where that is known of this one [% vol]
	Cut        *library.Cut
	Botanical  *library.Botanical
	Missing    string
	Addition   mixture.Addition
	// Unread says why it is left out, or counted as water; empty where it is not.
	Unread string
	Reads  reading
}

// ReadAddition looks an addition up and turns its amount into masses; bases are the spirits
// of the jar, whose strength holds where the same is added again.
func ReadAddition(b *batch.Batch, lib *library.Library, e batch.Addition, bases []Base) (Addition, error) {
	x := Addition{Entry: e, ABVPercent: e.ABVPercent, Reads: read(e.Name, "")}
	x.Reads.heated = e.Heated
	x.Reads.filled = slices.ContainsFunc(bases,
		func(b Base) bool { return e.Name == b.Entry.Name || e.Name == b.Entry.Label() })
	if err := x.lookUp(b, lib, bases); err != nil {
		return x, err
	}
	x.Reads.named = append(x.Reads.named, lib.Always(e.Name).Allergens...)
	if x.Missing != "" {
		return x, nil
	}
	if x.Unread != "" {
		return x, x.shows(b)
	}
	if e.Amount == nil {
		x.Unread = fmt.Sprintf("the amount of %s is not written, so it is left out: add amount = \"100~g\" or \"100~ml\" to its [[addition]]",
			e.Name)
		return x, nil
	}
	return x, x.weigh(b)
}

// lookUp finds what it is. Whatever is written beside it, a thing stays what it is; a
// strength makes a plant that is poured a liquid that was drawn from it.
func (x *Addition) lookUp(b *batch.Batch, lib *library.Library, bases []Base) error {
	e, name := &x.Entry, x.Entry.Name
	ing, ingErr := lib.Ingredient(name)
	// A plant that must not be steeped wins over a likeness ("apricot kernel"
	// is no apricot), but not over the very name of an ingredient.
	if ban := lib.MustNot(name); ban != nil && !(ingErr == nil && called(ing, name)) {
		x.Botanical, x.Reads.Botanicals = ban, []*library.Botanical{ban}
		x.Missing = fmt.Sprintf("%s must not be steeped: %s", ban.Name, ban.Forbidden)
		return nil
	}
	weighed := e.Amount != nil && !poured(e.Amount)
	if ingErr == nil {
		x.Ingredient, x.Reads.Ingredients = ing, []*library.Ingredient{ing}
		if ing.Per100G.Ethanol > leastEthanol {
			x.ownStrength(nil)
		}
		if e.In == nil || !ing.IsFat() || len(bases) == 0 { // see washes
			return nil
		}
		var err error
		x.Cut, err = lib.FatCake()
		return err
	}
	if sp, err := lib.Spirit(name); err == nil {
		x.Spirit, x.Reads.spirits = sp, []*library.Spirit{sp}
		x.ownStrength(bases)
		return nil
	}
	if bot, err := lib.Botanical(name); err == nil {
		return x.plant(b, lib, bot, weighed)
	}
	x.strange(lib, weighed)
	if x.ABVPercent != nil {
		return nil
	}
	x.Unread = fmt.Sprintf("%q is not in the library, so what it brings is unknown", name)
	if x.asWater() {
		x.Unread += " and it counts as water"
	}
	var lost *library.NotFoundError
	if errors.As(ingErr, &lost) && lost.Asked() != "" {
		x.Unread += "; " + lost.Asked()
	} else {
		x.Unread += "; describe it in library.toml beside the batch"
	}
	return nil
}

// plant is an addition that the library knows as a botanical.
func (x *Addition) plant(b *batch.Batch, lib *library.Library, bot *library.Botanical,
	weighed bool) (err error) {
	x.Botanical, x.Reads.Botanicals, x.Reads.Plant = bot, []*library.Botanical{bot}, true
	if x.Cut, err = bot.Cut(""); err != nil {
		x.Missing = err.Error()
		return nil
	}
	strong := x.ABVPercent != nil && *x.ABVPercent > 0
	x.Reads.stays = !strong || *x.ABVPercent < leastLiquorABV
	if x.Reads.odd = bot.Strange(x.Entry.Name, ""); !bot.Own {
		x.Reads.never = lib.Suspected(x.Entry.Name, true)
	}
	x.Cut = wetted(&x.Reads, x.Cut, nil)
	if strong && weighed {
		return x.fault(b, "abv", "", "%s is weighed, so it is the plant, and a plant has no strength; write a liquor drawn from it by its volume",
			x.Entry.Name)
	}
	return nil
}

// fault is one of a key of its [[addition]].
func (x *Addition) fault(b *batch.Batch, key, right, format string, args ...any) error {
	table := "addition"
	if x.Entry.Logged {
		table = batch.KindAdded
	}
	return b.Errorf([]any{table, x.Entry.Index, key}, right, format, args...)
}

// weigh turns its amount into masses, by what it is.
func (x *Addition) weigh(b *batch.Batch) error {
	e, name := &x.Entry, x.Entry.Name
	switch {
	case x.Ingredient != nil:
		w, err := x.Ingredient.Grams(*e.Amount)
		if err != nil {
			right := `amount = "100~g"`
			if x.Ingredient.Liquid {
				right = `amount = "2 fl oz" (a volume), or "2 oz wt" (a weight)`
			}
			return x.fault(b, "amount", right, "%s", err)
		}
		x.Reads.Weight = &w
		x.Addition = ingredientAddition(*e, x.Ingredient, w)
		if err := x.shows(b); err != nil {
			return err
		}
		if x.ABVPercent != nil && !withStrength(&x.Addition, x.ABVPercent, poured(e.Amount)) {
			return x.fault(b, "abv", "", "%s does not hold the water to be %s %% vol", name,
				quantity.FormatNumber(*x.ABVPercent))
		}
		if e.BoiledOff == nil {
			return nil
		}
		if err := boilOff(x); err != nil {
			return x.fault(b, "boiled_off", "", "%s", err)
		}
		return nil
	case e.BoiledOff != nil:
		return x.fault(b, "boiled_off", "",
			"what boils off is reckoned as water, and %s is no syrup or juice: write it as it is after boiling",
			name)
	case x.Botanical != nil && !(x.ABVPercent != nil && *x.ABVPercent > 0):
		w, err := x.Cut.Grams(*e.Amount)
		if err != nil {
			return x.fault(b, "amount", `amount = "100~g"`, "%s", err)
		}
		x.Reads.Weight = &w
		x.Addition = mixture.Addition{Name: e.Name, PerG: herbParts(x.Cut), MassG: massQuantity(e.Name, w)}
		return x.shows(b)
	}
	abv, ok := strength(x.ABVPercent, x.Spirit, name)
	x.Reads.drunkAt(abv.Value)
	if !ok {
		x.Unread = fmt.Sprintf("the strength of %s is not written: add abv = 40 to its [[addition]]", name)
		x.asWater()
		return x.shows(b)
	}
	ml, err := spiritVolume(e.Amount, abv.Value, name)
	if err != nil {
		return x.fault(b, "amount", `amount = "2 fl oz" (a volume), or "2 oz wt" (a weight)`, "%s", err)
	}
	if x.Addition, err = spiritAddition(name, x.Spirit, ml, abv); err != nil {
		return x.fault(b, "abv", "abv = 40", "%s", err)
	}
	if err := x.asRead(b); err != nil {
		return err
	}
	if x.Reads.unsure() {
		x.Addition.PerG.StrangeMMol = max(strangeBufferMMolPerG()-x.Addition.PerG.BufferMMol, 0)
	}
	if g := x.MassG(); x.Spirit != nil {
		_, _, _, taken, _ := library.UnsizedML(*e.Amount)
		x.Reads.Weight = &library.Weight{G: g, Low: g, High: g, Taken: taken}
	}
	return nil
}

// asRead gives what is poured by its strength the acid and the pH that were read of it, and opens it to all that
// it may hold where nobody knows.
func (x *Addition) asRead(b *batch.Batch) error {
	e, is := &x.Entry, &x.Addition
	acid := x.acidGPerL()
	if per, err := mixture.WithReadings(is.PerG, e.PH, acid); err == nil {
		is.PerG = per
	}
	is.May, x.Unread = x.Reads.undescribed(is.PerG, acid == nil)
	return x.shows(b)
}

// acidGPerL is the acid that was read of it, as citric [g/L]; nil where none was.
func (x *Addition) acidGPerL() *float64 {
	if x.Entry.AcidGPer100ML == nil {
		return nil
	}
	kind := ""
	if x.Ingredient != nil {
		kind = x.Ingredient.Acid
	} else if x.Spirit != nil {
		kind = x.Spirit.Acid
	}
	gPerL := 10 * *x.Entry.AcidGPer100ML * asCitric(kind)
	return &gPerL
}

// shows refuses what was read of it and what it came to does not show, for that would be left out unsaid.
func (x *Addition) shows(b *batch.Batch) error {
	e, is := &x.Entry, &x.Addition.PerG
	pH, sour := is.PH()
	acid := x.acidGPerL()
	switch {
	case !e.Pressed.IsZero() && x.Ingredient != nil && !x.Ingredient.FreshJuice && x.Ingredient.Kind != "juice":
		return x.fault(b, "pressed", "", "pressed and kept are of juice: %s counts as fresh when it goes in, so leave them out, and use none that stood", e.Name)
	case e.Brix != nil && (x.Ingredient == nil || is.Brix() < math.Min(*e.Brix, mostBrix(x.Ingredient))-0.5):
		return x.fault(b, "brix", "", "a Brix says how much sugar is in a syrup or a juice; beside alcohol a refractometer shows more than that, "+
			"so describe %s in library.toml with its sugar off the label", e.Name)
	case acid != nil && math.Abs(is.AcidGPerL()-*acid) > 0.1+0.05**acid:
		return x.fault(b, "acid", "", "what was measured of the acid of %s goes with nothing that is known of it: describe it in library.toml", e.Name)
	case e.PH != nil && !(sour && math.Abs(pH-*e.PH) < 0.05):
		return x.fault(b, "ph", `acid = "6~g/l"`, "a pH alone does not say how much acid %s brings: write the acid that was measured too, which goes with that pH", e.Name)
	}
	return nil
}

// MassG is what of it goes in [g]; 0 where that is not known.
func (x *Addition) MassG() float64 {
	if x.Unread != "" {
		return 0
	}
	return x.Addition.MassG.Value
}

// Weighing is so many grams of the same.
func (x Addition) Weighing(g float64) Addition {
	x.Addition.MassG.Value, x.Addition.MassG.SD = g, 0
	if x.Reads.Weight != nil {
		x.Reads.Weight = &library.Weight{G: g, Low: g, High: g}
	}
	return x
}

// lightest and heaviest are the densities, g/mL, between which whatever goes into a
// bottle lies: strong spirit and rich syrup (OIML R 22; ICUMSA SPS-4).
const lightest, heaviest = 0.8, quantity.Heaviest

// asWater counts as water what nobody knows, by the room it takes; false where its
// amount does not say that.
func (x *Addition) asWater() bool {
	a := x.Entry.Amount
	if a == nil {
		return false
	}
	if a.Kind == quantity.Ounce {
		fluid := a.AsFluid() // an ounce of water is a fluid ounce, within a twentieth
		a = &fluid
	}
	low, mid, high, measured := a.Millilitres()
	if !measured {
		low, mid, high, _, measured = library.UnsizedML(*a)
	}
	cause, cure := "the room "+x.Entry.Name+" takes", "describe it in library.toml"
	if !measured {
		var ok bool
		if low, mid, high, ok = a.Grams(); !ok {
			return false
		}
		low, high = low/heaviest, high/lightest
	}
	ml := mixture.Quantity{Value: mid, SD: math.Hypot((high-low)/Ninety, 0.02*mid), Cause: cause, Cure: cure}
	ml.Value *= alcohol.WaterDensity20 / 1000
	x.Addition = mixture.Addition{Name: x.Entry.Name, MassG: ml, PerG: mixture.Parts{Water: 1},
		May: x.Reads.anything(measured)}
	return true
}

// anything is the most that what takes the room of a gram of water may be where nobody knows
// it: all alcohol, sugar or acid; it blunts acid like soda (Na2CO3, 105.99 g/mol) where its name
// says so, else like the plant richest in ash and protein, of which a measure holds half its room
// (ground paprika 2.3 g to a teaspoon of 4.9 ml; USDA FoodData Central, from memory). Judgement.
func (n *reading) anything(measured bool) []mixture.Parts {
	blunt := mixture.Parts{OtherSolids: 1, StrangeMMol: herbParts(library.Unknown()).BufferMMol}
	if measured {
		blunt.StrangeMMol /= 2
	}
	if n.warnsOf(gasCarbonate) {
		blunt = mixture.Parts{OtherSolids: 1, StrongIonsMMol: 2 / 105.99e-3}
	}
	return []mixture.Parts{{Ethanol: alcohol.EthanolDensity20 / alcohol.WaterDensity20}, {Sucrose: 1},
		{Citric: 1}, blunt}
}

// strange reads an addition that the library does not know. What is weighed and
// named after a plant is the plant, unless it is as strong as a liquor.
func (x *Addition) strange(lib *library.Library, weighed bool) {
	n := &x.Reads
	n.stranger(lib, nil)
	if len(n.spirits) > 0 && len(n.Ingredients)+len(n.Botanicals) == 0 {
		x.ownStrength(nil)
	}
	n.Plant = weighed && (len(n.Botanicals) > 0 || x.Entry.In != nil) &&
		len(n.Ingredients)+len(n.spirits) == 0 && (x.ABVPercent == nil || *x.ABVPercent < leastLiquorABV)
	n.stays = n.Plant
}

// solid reports whether it lies in the drink as a thing, and is not poured, as far as is known.
func (x *Addition) solid() bool {
	switch a := x.Entry.Amount; {
	case x.Ingredient != nil:
		return !x.Ingredient.Liquid
	case x.Spirit == nil && a != nil && !poured(a):
		return true
	}
	return x.Reads.stays
}

// ownStrength is the strength of this spirit: what is written, or stands in its
// name, or what the same spirit has that the jar was filled with.
func (x *Addition) ownStrength(bases []Base) {
	if x.ABVPercent != nil {
		return
	}
	if _, in := quantity.StrengthIn(x.Entry.Name); in.Said {
		x.ABVPercent = &in.Percent
		return
	}
	for i := range bases {
		if b := &bases[i]; b.Known != nil && b.Known == x.Spirit {
			x.ABVPercent = b.Entry.ABVPercent
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
	abv, _ := strength(written, nil, "")
	per, ok := mixture.WithABV(a.PerG, abv.Value)
	if !ok {
		return false
	}
	before := a.PerG.VolumeML(20)
	if a.PerG = per; poured {
		a.MassG.Value *= before / a.PerG.VolumeML(20)
	}
	if abv.Value > 0 {
		a.ABVPercent = abv
	}
	return true
}

// spiritAddition is a measured spirit as masses.
func spiritAddition(name string, known *library.Spirit, ml, abv mixture.Quantity) (mixture.Addition, error) {
	a := mixture.Addition{Name: name, ABVPercent: abv}
	var extract mixture.Parts
	if known != nil {
		extract = extractPerLitre(known, abv.Value)
		a.SugarFactor, a.AcidFactor, a.PHShift = classFactors(known)
	}
	p, err := mixture.FromVolume(ml.Value, abv.Value, extract)
	if err != nil {
		return a, err
	}
	mass := p.MassG()
	a.PerG = p.PerG()
	a.MassG = mixture.Quantity{Value: mass, SD: mass * ml.SD / ml.Value, Cause: ml.Cause, Cure: ml.Cure}
	return a, nil
}

// Weighed reports whether something is added by the scale: dry sugars and acids.
func Weighed(name string) bool {
	return (strings.Contains(name, "sugar") || strings.Contains(name, "acid")) && !strings.Contains(name, "%")
}

// called reports whether a built-in ingredient goes by that very name.
func called(ing *library.Ingredient, name string) bool {
	return !ing.Own && (strings.EqualFold(ing.Name, strings.TrimSpace(name)) ||
		Named(ing.Names, strings.TrimSpace(name)))
}

// boilOff takes the water that was lost on the stove off an addition.
func boilOff(x *Addition) error {
	_, lost, _, ok := x.Entry.BoiledOff.Grams()
	if !ok {
		var ml float64
		if _, ml, _, ok = x.Entry.BoiledOff.Millilitres(); !ok {
			return fmt.Errorf("%q is no amount of water", x.Entry.BoiledOff.Text)
		}
		lost = ml * alcohol.WaterDensity20 / 1000
	}
	all := x.Addition.PerG.Times(x.MassG())
	if all.ABVPercent() > 0.5 {
		return fmt.Errorf("%s holds alcohol, which boils off before the water: write it as it is after boiling, with its abv",
			x.Entry.Name)
	}
	if lost >= all.Water {
		return fmt.Errorf("%s holds %.0f~g of water, and %.0f~g cannot boil off", x.Entry.Name, all.Water,
			lost)
	}
	all.Water -= lost
	x.Addition.PerG = all.PerG()
	x.Addition.MassG.Value -= lost
	return nil
}
