package library

import (
	"math"
	"slices"

	"steepbook/data/names"
)

// The types of this package are what the files decode into. A toml tag is the key;
// range is what a figure must lie between; from is the source and the grade of a
// figure that names none; of is the list a word must stand in; and a fact that is
// careful is one that a maker's file may add and not take away.

// Entry is what a botanical, an ingredient and a spirit have in common.
type Entry struct {
	Name      string     `toml:"name"`  // singular where a maker counts it: "clove", "green cardamom"
	Names     []string   `toml:"names"` // other names
	Note      string     `toml:"note"`  // what a maker should know, one or two sentences
	Allergens []Allergen `toml:"-"`
	Hazards   []Hazard   `toml:"-"`

	Own  bool `toml:"-"` // changed or added by the maker's library file
	said func() Kin
}

func (e *Entry) base() *Entry { return e }

// all lists every name of the entry.
func (e *Entry) all() []string { return append([]string{e.Name}, e.Names...) }

// Called reports whether a name is one of an entry's own, in whatever order and number: one that says more
// is not. It is no method, which each kind of entry would have once more.
func Called(e *Entry, name string) bool { return len(names.Pick(name, names.Same, e.all())) > 0 }

// Botanical is something that is steeped for its taste and taken out again.
type Botanical struct {
	Entry
	Kind string `toml:"kind" of:"kinds" unsaid:""` // one of kinds

	// Class says which exponent links a score to an amount: "aroma" (smelt
	// through the mouth), "taste" (bitter, sour, astringent) or "heat".
	Class string `toml:"class" of:"classes" unsaid:""`

	// Tastes are what it tastes of itself, as a bitter root of bitter: who scores one of them scores
	// it, and no late fault of its. Common practice, no source.
	Tastes []string `toml:"tastes"`

	Fierce  bool `toml:"fierce"`                // numbs or burns the palate: taste it last and diluted
	OilRich bool `toml:"oil_rich"`              // its oils come out of solution when the strength is cut
	Pectin  bool `toml:"pectin"`                // may cloud or set when boiled with sugar and acid
	Fresh   bool `toml:"fresh" careful:"known"` // weighed wet: brings water
	// LowAcidFresh: fresh herb, root or garlic: feeds spores where there is little acid and alcohol.
	LowAcidFresh bool `toml:"low_acid_fresh" careful:"known"`
	// FreshOrDry: as often picked as bought dry: fresh until it is said to be dry, though the
	// figures are of the dry one.
	FreshOrDry bool `toml:"fresh_or_dry" careful:"known"`
	// AlsoFresh are names by which it is called dry as well as fresh: as FreshOrDry, by those alone.
	AlsoFresh []string `toml:"also_fresh"`
	Nut       bool     `toml:"nut" careful:"known"`
	Caffeine  bool     `toml:"caffeine"`
	Red       bool     `toml:"red"` // its red fades in store: berries, hibiscus, blood orange, beetroot
	// Citral: its lemon note turns in acid: lemon, lime, lemongrass, lemon verbena, lemon balm.
	Citral bool `toml:"citral"`
	Gum    bool `toml:"gum"` // swells to a slime in water: flax, mallow, cassia bark when ground

	Cuts []Cut `toml:"-"` // the first is the default; empty when Forbidden

	// Forbidden is empty, or the reason why it must not be steeped. There is
	// then no cut, no rate and no dose.
	Forbidden string `toml:"forbidden"`
	// StonesOf are the fruits whose stones, kernels or pips it is, and WholeToo says that these must not
	// lie in whole either: the lines below its names, which are read with them.
	StonesOf []string `toml:"stones_of"`
	WholeToo bool     `toml:"whole_too"`
	// ForbiddenGrade is memory where that reason was not looked up; it forbids all the same.
	ForbiddenGrade Grade `toml:"forbidden_grade"`
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
	Name  string   `toml:"name"`
	Names []string `toml:"names"`
	Dust  bool     `toml:"-"` // ground or grated: only straining through a cloth or filter takes it out again

	Botanical string `toml:"-"` // the name of the botanical it belongs to; "" for Unknown

	// RatePerH is the median of the log-normal prior of the first-order rate, 1/h; the
	// early share left out. RateGSD is its geometric standard deviation, above 1.
	RatePerH Number  `toml:"rate_per_h" range:"1e-6 1000"`
	RateGSD  float64 `toml:"rate_gsd"`
	// Makers are the times of makers with this plant and cut that the library's rate rests
	// on; 0 with those of its like.
	Makers     int     `toml:"-"`
	Taught     *Taught `toml:"-"`                       // nil unless it was learned from batches of the book
	EarlyShare Number  `toml:"early_share" range:"0 1"` // share of the plateau washed out at once, 0 to 1

	// LateOff is what goes wrong when it stays too long, "" when nothing is reported;
	// LateOffH when that is noticed, h, zero when only the dose decides.
	LateOff  string `toml:"late_off"`
	LateOffH Number `toml:"late_off_h" range:"0 1e5" from:"steeping-habits practice"`

	// DoseGPerL runs from Low to High, the usual range in the jar, g per litre of liquid.
	DoseGPerL   Number  `toml:"dose_g_per_l" range:"0 2000" from:"steeping-habits practice"`
	FirstTasteH float64 `toml:"first_taste_h"` // first tasting worth taking, h

	// What it brings into the jar, per gram as weighed.
	WaterGPerG Number     `toml:"water_g_per_g" range:"0 1"`
	SugarGPerG Number     `toml:"sugar_g_per_g" range:"0 1"`
	Sugars     SugarSplit `toml:"sugars"`
	AcidGPerG  Number     `toml:"acid_g_per_g" range:"0 1"` // total acids; from memory: may be there
	Acid       string     `toml:"acid"`                     // "citric", "malic", "tartaric" or ""
	// Ash and protein, of the cut as weighed: what may blunt acid.
	AshGPer100G     Number `toml:"ash_g_per_100g" range:"0 100"`
	ProteinGPer100G Number `toml:"protein_g_per_100g" range:"0 100"`

	// Liquid of the jar that stays with the solids, mL per gram as weighed,
	// their own water included.
	HeldMLPerG    Number `toml:"held_ml_per_g" range:"0 20"`    // drained
	PressedMLPerG Number `toml:"pressed_ml_per_g" range:"0 20"` // squeezed by hand

	Measures []Measure `toml:"-"`

	name string // for sentences: "clove, whole"
}

func (c *Cut) all() []string { return append([]string{c.Name}, c.Names...) }

// StrongAfterH is when a jar of first order has a share of its end, 0 to 1, h.
func (c *Cut) StrongAfterH(share float64) float64 { return -math.Log1p(-share) / c.RatePerH.Value }

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
	By         []string `toml:"taught_by"`     // file names, without a folder
	RoomC      *float64 `toml:"taught_room_c"` // steeping temperature, °C; nil: 20
	ABVPercent *float64 `toml:"taught_abv"`    // strength steeped in, % vol; nil: 40

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

// shares are the parts as shares of their sum.
func (s SugarSplit) shares() SugarSplit {
	sum := s.Sucrose + s.Glucose + s.Fructose
	if !(sum > 0) {
		return SugarSplit{}
	}
	return SugarSplit{s.Sucrose / sum, s.Glucose / sum, s.Fructose / sum}
}

// Ingredient is something that goes into the blend and stays there.
type Ingredient struct {
	Entry
	Kind string `toml:"kind" of:"ingredient kinds" unsaid:""` // one of ingredientKinds

	Liquid bool `toml:"liquid"`
	// DensityGPerML is that at 20 °C where the source says; liquids only.
	DensityGPerML Number `toml:"density_g_per_ml" range:"0.6 2"`

	Per100G Composition `toml:"per_100g"`

	PH            Number `toml:"ph" range:"0 14"`                // juices and other sour things
	AcidGPer100ML Number `toml:"acid_g_per_100ml" range:"0 100"` // titratable to pH 8.1, as Acid
	// Acid is "citric", "malic", "tartaric", "acetic", "lactic" or "".
	Acid string `toml:"acid"`
	Food
	FreshJuice bool `toml:"fresh_juice" careful:"known"`
	NutMilk    bool `toml:"nut_milk" careful:"known"`
	Pectin     bool `toml:"pectin"`
	Red        bool `toml:"red"` // its red fades in store
	// Clock is its flavour clock (tables/flavour-clock.csv); "" for the usual one.
	Clock        string `toml:"clock" of:"clocks"`
	Preservative string `toml:"preservative"` // "sorbate" or "benzoate"; "" for all else

	Measures []Measure `toml:"-"`
}

// Food is what decides how a thing is kept.
type Food struct {
	// Nourishing: feeds microbes: juice, pulp, honey, milk, egg, wine; of a spirit, when
	// it is thinned.
	Nourishing bool `toml:"nourishing" careful:"known"`
	Dairy      bool `toml:"dairy" careful:"known"` // milk or cream is in it
	Egg        bool `toml:"egg" careful:"known"`
}

// IsFat reports whether something is mostly fat: butter, lard, oil.
func (i *Ingredient) IsFat() bool { return i.Kind == "oil" || i.Per100G.Fat >= 50 }

// Dissolves reports whether nothing of it is left to take out of a jar: a liquid that does not curdle, or
// what is sugar, acid and salt but for a twentieth.
func (i *Ingredient) Dissolves() bool {
	c := &i.Per100G
	return !i.IsFat() && !i.Dairy && !i.Egg && !i.NutMilk &&
		(i.Liquid || c.Water+c.Ethanol+c.Sugars()+c.Glycerol+c.Acids()+c.Ash >= 95)
}

// Composition is what 100 g of an ingredient holds. The first fifteen fields
// are g per 100 g and add to 100 within 1.5.
type Composition struct {
	Water, Ethanol                               float64
	Sucrose, Glucose, Fructose, Maltose, Lactose float64
	Glycerol                                     float64
	Citric, Malic                                float64
	OtherAcid                                    float64 `toml:"other_acid"`
	Fat, Protein, Ash                            float64
	// OtherSolids are fibre, starch, gums, long sugars, extract: the rest.
	OtherSolids float64 `toml:"other_solids"`
	PotassiumMG float64 `toml:"potassium_mg"` // mg per 100 g, part of Ash
	// StrongIonsMMol is, in mmol of charge per 100 g, the strong cations less strong
	// anions of what is a salt of known make-up: 0 of table salt; nil for all else.
	StrongIonsMMol *float64 `toml:"strong_ions_mmol"`
	// UntoldAsh and UntoldProtein are the most there may be, g per 100 g, where
	// the maker's file gives neither ash nor protein of more than sugar and water.
	UntoldAsh     float64 `toml:"-"`
	UntoldProtein float64 `toml:"-"`
	Source        string
	Grade         Grade
	AcidGrade     Grade  `toml:"acid_grade"` // of the acids; Grade where nothing else is said
	Basis         string // which records and what was changed on the way
}

// parts lists what is in 100 g: fifteen parts in g, then the potassium in mg.
func (c *Composition) parts() []*float64 {
	return []*float64{
		&c.Water, &c.Ethanol, &c.Sucrose, &c.Glucose, &c.Fructose, &c.Maltose, &c.Lactose, &c.Glycerol,
		&c.Citric, &c.Malic, &c.OtherAcid, &c.Fat, &c.Protein, &c.Ash, &c.OtherSolids, &c.PotassiumMG,
	}
}

// Sum returns the g per 100 g accounted for.
func (c Composition) Sum() float64 {
	return c.Water + c.Ethanol + c.Sugars() + c.Glycerol + c.Acids() +
		c.Fat + c.Protein + c.Ash + c.OtherSolids
}

// Sugars returns the g of sugars per 100 g.
func (c Composition) Sugars() float64 {
	return c.Sucrose + c.Glucose + c.Fructose + c.Maltose + c.Lactose
}

// Acids returns the g of organic acids per 100 g.
func (c Composition) Acids() float64 { return c.Citric + c.Malic + c.OtherAcid }

// Spirit is a class of alcoholic base, never a brand.
type Spirit struct {
	Entry

	// ABVPercent is the typical strength, and the range sold; % vol at 20 °C.
	ABVPercent Number `toml:"abv_percent" range:"0 97" from:"steeping-habits practice"`

	SugarGPer100G Number     `toml:"sugar_g_per_100g" range:"0 80"` // dissolved sugars, g per 100 g
	Sugars        SugarSplit `toml:"sugars"`
	AcidGPer100G  Number     `toml:"acid_g_per_100g" range:"0 20"` // total acids, g per 100 g; wines
	Acid          string     `toml:"acid"`
	PH            Number     `toml:"ph" range:"0 14"` // wines

	Food
	// UntoldAsh and UntoldProtein are the most there may be, g per 100 g, in what
	// feeds microbes.
	UntoldAsh     float64 `toml:"-"`
	UntoldProtein float64 `toml:"-"`

	Wine    string `toml:"wine" of:"wines"` // "table" or "fortified" where it is one: air spoils it opened
	OilRich bool   `toml:"oil_rich"`        // clouds when cut: anise spirits
}

// kinds lists the kinds of botanicals.
func kinds() []string {
	return []string{"spice", "seed", "bark", "root", "citrus", "herb", "flower", "nut", "fruit", "tea",
		"coffee", "cacao", "wood", "chilli", "pod", "leaf", "vegetable", "animal", "chemical", "spoiled"}
}

// ingredientKinds lists the kinds of ingredients.
func ingredientKinds() []string {
	return []string{"sugar", "syrup", "honey", "juice", "acid", "dairy", "egg", "nut milk", "water", "wine",
		"preservative", "fruit", "oil", "extract", "colour", "thickener", "other"}
}

// classes lists the classes of taste.
func classes() []string { return []string{"aroma", "taste", "heat"} }

// Measure is the weight of a kitchen measure or a piece.
type Measure struct {
	Unit  string `toml:"unit"` // as in quantity.Amount: "tsp", "cup", "piece" …
	Noun  string `toml:"noun"` // what is counted: "fruit", "pod" …; "" for a volume or a plain count
	Of    string `toml:"of"`   // "zest", "juice", "peel" or ""
	Grams Number `toml:"g" range:"0 1e5"`
}
