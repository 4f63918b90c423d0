package library

import (
	"math"
	"slices"
	"strings"
)

// Grade says how a figure is known. From the best to the weakest:
// Published, Derived, Own, Practice, Judgement, Page, Memory.
type Grade string

// The grades.
const (
	Published Grade = "published" // read in the named source
	Derived   Grade = "derived"   // arithmetic on figures read in the named source
	Own       Grade = "own"       // the maker's own figure, from a library file
	Practice  Grade = "practice"  // common practice, no source that measured it
	Judgement Grade = "judgement" // our judgement, with the reason in the note
	Page      Grade = "page"      // an unsigned page; warns, decides nothing about keeping or poison
	Memory    Grade = "memory"    // from memory; decides nothing about keeping or poison
)

// Decides reports whether a figure so known may settle a question of keeping or
// of harm. What nobody signs and what nobody looked up may only warn.
func (g Grade) Decides() bool { return g != Page && g != Memory }

// valid reports whether g is one of the seven grades.
func (g Grade) valid() bool {
	switch g {
	case Published, Derived, Own, Practice, Judgement, Page, Memory:
		return true
	}
	return false
}

// Words returns the grade as a short phrase for print.
func (g Grade) Words() string {
	switch g {
	case Published:
		return "published"
	case Derived:
		return "worked out from the source's figures"
	case Own:
		return "your own figure"
	case Practice:
		return "common practice, not measured"
	case Judgement:
		return "our judgement"
	case Page:
		return "an unsigned page, not decisive"
	case Memory:
		return "from memory, to be checked"
	}
	return string(g)
}

// Number is one figure with its provenance. The unit is in the name of the
// field that holds it.
type Number struct {
	Value     float64 // typical
	Low, High float64 // range seen or judged; both equal Value when there is none
	Source    string  // key of a Source
	Grade     Grade
	Note      string // what it rests on, in a few words; may be empty
}

// Known reports whether the number was given at all. The zero Number is not.
func (n Number) Known() bool { return n.Source != "" }

// Ranged reports whether the number has a range.
func (n Number) Ranged() bool { return n.Known() && (n.Low < n.Value || n.High > n.Value) }

// scaled returns n with its three figures multiplied by f ≥ 0.
func (n Number) scaled(f float64) Number {
	n.Value, n.Low, n.High = n.Value*f, n.Low*f, n.High*f
	return n
}

// Source is one publication, table, law or habit that figures rest on.
type Source struct {
	Key     string // short and stable, for instance "usda-sr26"
	Authors string // people or body
	Title   string
	Where   string // journal, publisher, law, address; what of it was read
	Year    int    // 0 when the source shows none

	// Unsigned: a page that nobody answers for. What only it says has the grade
	// Page, or is a judgement.
	Unsigned bool
}

// Botanical is something that is steeped for its taste and taken out again.
type Botanical struct {
	Name  string   // singular where a maker counts it: "clove", "green cardamom"
	Names []string // other names
	Kind  string   // one of Kinds

	// Class says which exponent links a score to an amount: "aroma" (smelt
	// through the mouth), "taste" (bitter, sour, astringent) or "heat".
	Class string

	Fierce       bool // numbs or burns the palate: taste it last and diluted
	OilRich      bool // its oils come out of solution when the strength is cut
	Pectin       bool // may cloud or set when boiled with sugar and acid
	Fresh        bool // weighed wet: brings water
	LowAcidFresh bool // fresh herb, root or garlic: feeds spores where there is little acid and alcohol
	FreshOrDry   bool // as often picked as bought dry: fresh until it is said to be dry, though the figures are of the dry one
	Nut          bool
	Caffeine     bool
	Red          bool // its red fades in store: berries, hibiscus, blood orange, beetroot
	Citral       bool // its lemon note turns in acid: lemon, lime, lemongrass, lemon verbena, lemon balm
	Gum          bool // swells to a slime in water: flax, mallow, cassia bark when ground

	Cuts      []Cut // the first is the default; empty when Forbidden
	Allergens []Allergen
	Hazards   []Hazard
	Note      string // what a maker should know, one or two sentences

	// Forbidden is empty, or the reason why it must not be steeped. There is
	// then no cut, no rate and no dose.
	Forbidden string

	Own  bool // changed or added by the maker's library file
	said func() Kin
}

// Cut is one form and fineness of a botanical. Rates are those of the strength
// by taste, for 20 °C, 40 % vol, the usual dose and a jar shaken once a day:
//
//	score = plateau·(1 − exp(−RatePerH·t))
//
// No exponent that links a score to an amount goes on top of RatePerH, and no
// floor under RateGSD: both were fitted to what tastes right, and the spread
// holds how kitchens differ.
type Cut struct {
	Name  string
	Names []string
	Dust  bool // ground or grated: only straining through a cloth or filter takes it out again

	Botanical string // the name of the botanical it belongs to; "" for Unknown

	RatePerH   Number  // median of the log-normal prior of the first-order rate, 1/h; the early share left out
	RateGSD    float64 // its geometric standard deviation, above 1
	Makers     int     // times of makers with this plant and cut that the library's rate rests on; 0 with those of its like
	Taught     *Taught // nil unless the rate was learned from batches of the book
	EarlyShare Number  // share of the plateau washed out at once, 0 to 1

	LateOff  string // what goes wrong when it stays too long; "" when nothing is reported
	LateOffH Number // when that is noticed, h; zero when LateOff is "" or only the dose decides

	DoseGPerL   Number  // Low to High: usual range in the jar, g per litre of liquid
	FirstTasteH float64 // first tasting worth taking, h

	// What it brings into the jar, per gram as weighed.
	WaterGPerG Number
	SugarGPerG Number
	Sugars     SugarSplit
	AcidGPerG  Number // total acids; from memory: may be there
	Acid       string // "citric", "malic", "tartaric" or ""
	// Ash and protein, of the cut as weighed: what may blunt acid.
	AshGPer100G, ProteinGPer100G Number

	// Liquid of the jar that stays with the solids, mL per gram as weighed,
	// their own water included.
	HeldMLPerG    Number // drained
	PressedMLPerG Number // squeezed by hand

	Measures []Measure

	name string // for sentences: "clove, whole"
}

// SlowRatePerH is the rate, 1/h, of what is left where the early share f is
// reckoned by itself, score = plateau·(f + (1−f)·(1 − exp(−rate·t))). It is
// RatePerH·ln((1−f)/0.2)/ln 5, so that 80 % of the plateau, by which makers
// judge, comes at the same time either way. From f = 0.8 on that time is zero
// and RatePerH is returned. Use one of the two throughout.
func (c *Cut) SlowRatePerH() float64 {
	f := c.EarlyShare.Value
	if f >= 0.8 {
		return c.RatePerH.Value
	}
	return c.RatePerH.Value * math.Log((1-f)/0.2) / math.Log(5)
}

// Taught says which batches of the maker's book taught a rate. Unlike other
// rates it is that of a score, under the conditions named here.
type Taught struct {
	By         []string // file names, without a folder
	RoomC      *float64 // steeping temperature, °C; nil: 20
	ABVPercent *float64 // strength steeped in, % vol; nil: 40

	before rates // what the library said without them
}

// rates is the part of a cut that a lesson changes.
type rates struct {
	RatePerH    Number
	RateGSD     float64
	FirstTasteH float64
}

// Has reports whether a batch file is among the teachers.
func (t *Taught) Has(file string) bool {
	return t != nil && slices.Contains(t.By, file)
}

// SugarSplit is the make-up of the sugars a cut brings. The shares add to 1,
// or are all zero when no sugar is brought.
type SugarSplit struct{ Sucrose, Glucose, Fructose float64 }

// Ingredient is something that goes into the blend and stays there.
type Ingredient struct {
	Name  string
	Names []string
	Kind  string // one of IngredientKinds

	Liquid        bool
	DensityGPerML Number // at 20 °C where the source says; liquids only

	Per100G Composition

	PH            Number // juices and other sour things
	AcidGPer100ML Number // titratable to pH 8.1, as Acid
	Acid          string // "citric", "malic", "tartaric", "acetic", "lactic" or ""
	Nourishing    bool   // feeds microbes: juice, pulp, honey, milk, egg, wine …
	FreshJuice    bool
	Dairy, Egg    bool
	NutMilk       bool
	Pectin        bool
	Red           bool    // its red fades in store
	Clock         string  // its flavour clock (tables/flavour-clock.csv); "" for the usual one
	Preservative  string  // "sorbate" or "benzoate"; "" for all else
	ActiveShare   float64 // share of the free preservative acid in it, by mass; 0 for all else
	Allergens     []Allergen
	Hazards       []Hazard
	Measures      []Measure
	Note          string
	Own           bool // changed or added by the maker's library file
	said          func() Kin
}

// Composition is what 100 g of an ingredient holds. The first fifteen fields
// are g per 100 g and add to 100 within 1.5.
type Composition struct {
	Water, Ethanol                               float64
	Sucrose, Glucose, Fructose, Maltose, Lactose float64
	Glycerol                                     float64
	Citric, Malic, OtherAcid                     float64
	Fat, Protein, Ash                            float64
	OtherSolids                                  float64 // fibre, starch, gums, long sugars, extract: the rest
	PotassiumMG                                  float64 // mg per 100 g, part of Ash
	// StrongIonsMMol is, in mmol of charge per 100 g, the strong cations less strong
	// anions of what is a salt of known make-up: 0 of table salt; nil for all else.
	StrongIonsMMol *float64
	// UntoldAsh and UntoldProtein are the most there may be, g per 100 g, where
	// the maker's file gives neither ash nor protein of more than sugar and water.
	UntoldAsh, UntoldProtein float64
	Source                   string
	Grade                    Grade
	AcidGrade                Grade  // of the acids; Grade where nothing else is said
	Basis                    string // which records and what was changed on the way
}

// Sum returns the g per 100 g accounted for.
func (c Composition) Sum() float64 {
	return c.Water + c.Ethanol + c.Sugars() + c.Glycerol + c.Acids() + c.Fat + c.Protein + c.Ash + c.OtherSolids
}

// Sugars returns the g of sugars per 100 g.
func (c Composition) Sugars() float64 {
	return c.Sucrose + c.Glucose + c.Fructose + c.Maltose + c.Lactose
}

// Acids returns the g of organic acids per 100 g.
func (c Composition) Acids() float64 { return c.Citric + c.Malic + c.OtherAcid }

// Spirit is a class of alcoholic base, never a brand.
type Spirit struct {
	Name  string
	Names []string

	ABVPercent Number // typical, and the range sold; % vol at 20 °C
	// LabelToleranceABV is how far a label may be off, ± % vol, and its source.
	LabelToleranceABV       float64
	LabelToleranceABVSource string

	SugarGPer100G Number // dissolved sugars, g per 100 g
	Sugars        SugarSplit
	AcidGPer100G  Number // total acids, g per 100 g; wines
	Acid          string
	PH            Number // wines

	Nourishing bool // feeds microbes when thinned: wine, vermouth, liqueur
	// UntoldAsh and UntoldProtein are the most there may be, g per 100 g, in what
	// feeds microbes.
	UntoldAsh, UntoldProtein float64

	Wine       string // "table" or "fortified" where it is one: air spoils it opened
	OilRich    bool   // clouds when cut: anise spirits
	Dairy, Egg bool   // cream or egg is in it
	Allergens  []Allergen
	Hazards    []Hazard
	Note       string
	Own        bool
	said       func() Kin
}

// Measure is the weight of a kitchen measure or a piece.
type Measure struct {
	Unit  string // as in quantity.Amount: "tsp", "cup", "piece" …
	Noun  string // what is counted: "fruit", "pod", "inch" …; "" for a volume or a plain count
	Of    string // "zest", "juice", "peel" or ""
	Grams Number
}

// Weight is an amount turned into grams.
type Weight struct {
	G         float64
	Low, High float64 // 90 %
	How       string  // for instance "1 tbsp = 6 g (USDA FDC 167749)"
	Taken     string  // what was decided that the amount does not say, part of a sentence; "" for nothing
	Source    string
	Grade     Grade
}

// Allergen is a substance that has to be named.
type Allergen struct {
	Name   string // for the maker: "almond (tree nut)"
	US     string // name to declare under the US rule; "" when it is not a major allergen
	EU     string // name to emphasise under the EU rule; "" when it is not listed
	Source string
	Grade  Grade
	Note   string
}

// Hazard is a substance or a way to come to harm. Figures that are not known
// are zero Numbers.
type Hazard struct {
	Key       string
	Substance string
	Text      string // one or two sentences for the maker
	Source    string
	Grade     Grade

	MGPerG       Number  // content of what holds it as weighed, mg per g
	OfDry        bool    // MGPerG is of the dry plant: a fresh one holds it in what is not water
	Of           string  // the kind of source, where a level hangs on it: "Artemisia"; may be empty
	Limits       []Limit // the levels of the substance that hold for this source
	LimitGPerDay Number  // g of the botanical itself per adult and day, where only that is published
}

// Limit is a published level of a substance, and the drinks it holds for.
type Limit struct {
	Substance      string
	Of, Except     string  // the kind of source it is for, or not for; "" any
	OverABV, ToABV float64 // holds above the one and up to the other, % vol; ToABV 0: no upper end
	MGPerL         Number  // mg per litre of the drink (legal mg/kg taken as mg/L: a drink weighs 0.95 to 1.1 kg/L)
	MGPerDay       Number  // mg per adult (60 kg) and day
	Harm           bool    // no limit, but what made people ill
	Exempt         string  // what the law does not hold to it; then it is said and decides nothing
}

// fits reports whether a level is for that source.
func (l Limit) fits(h Hazard) bool {
	return l.Substance == h.Substance && (l.Of == "" || l.Of == h.Of) && (l.Except == "" || l.Except != h.Of)
}

// asWeighed turns a content of the dry plant into that of the fresh one, which
// holds it in what is not water.
func (h *Hazard) asWeighed(water Number) {
	if !h.OfDry || !h.MGPerG.Known() {
		return
	}
	n := h.MGPerG
	n.Value, n.Low, n.High = n.Value*(1-water.Value), n.Low*(1-water.High), n.High*(1-water.Low)
	n.Note = strings.TrimPrefix(n.Note+"; less the water of the fresh plant", "; ")
	h.MGPerG, h.OfDry = n, false
}

// Decides reports whether the figures may settle a question of harm: content
// and at least one limit are known and none of the figures used is from memory
// or an unsigned page.
func (h Hazard) Decides() bool {
	ok := func(n Number) bool { return n.Known() && n.Grade.Decides() }
	return ok(h.LimitGPerDay) || ok(h.MGPerG) && slices.ContainsFunc(h.Limits, func(l Limit) bool { return l.Exempt == "" && (ok(l.MGPerL) || ok(l.MGPerDay)) })
}

// Kinds lists the kinds of botanicals.
func Kinds() []string {
	return []string{"spice", "seed", "bark", "root", "citrus", "herb", "flower", "nut", "fruit", "tea", "coffee", "cacao", "wood", "chilli", "pod", "leaf", "vegetable", "animal", "chemical"}
}

// IngredientKinds lists the kinds of ingredients.
func IngredientKinds() []string {
	return []string{"sugar", "syrup", "honey", "juice", "acid", "dairy", "egg", "nut milk", "water", "wine", "preservative", "fruit", "oil", "extract", "colour", "thickener", "other"}
}

// Classes lists the classes of taste.
func Classes() []string { return []string{"aroma", "taste", "heat"} }

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
