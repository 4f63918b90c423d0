package mixture

// Range is a figure with its 90 % interval, all three in the unit that the field which
// holds it names: in nine batches of ten the truth lies between Low and High.
type Range struct{ Value, Low, High float64 }

// Exactly is a figure without doubt of its own: both ends are the value.
func Exactly(v float64) Range { return Range{v, v, v} }

// MovedTo is a figure at another value, with the range it had about it, not below nought.
func (r Range) MovedTo(v float64) Range {
	return Range{v, max(0, v-(r.Value-r.Low)), v + (r.High - r.Value)}
}

// Quantity is an amount as the maker knows it. SD is one standard deviation in
// the same unit. Cause says where the doubt comes from ("the spirit's label",
// "sugar by the spoon") and Cure what would lessen it ("weigh it"), behind the time while it can be done; both
// are carried through to Result.Causes, without that time, and a cure that comes too late as none.
type Quantity struct {
	Value, SD   float64
	Cause, Cure string
}

// The times while a cure can be done: before the thing itself goes in, while nothing else is in what was
// strained, before it is bottled, and while some of the drink is left. Behind none it is written, or read off
// a label, whenever that is.
const (
	Out   = "\x01"
	Alone = "\x02"
	Open  = "\x03"
	Left  = "\x04"
)

// cure is what can still be done of one, by which of the times are over.
//
//go:noinline
func cure(text string, over [4]bool) string {
	switch {
	case text == "" || text[0] > Left[0]:
		return text
	case over[text[0]-Out[0]]:
		return ""
	}
	return text[1:]
}

// cure is what can still be done of one that is not of a thing that is in.
func (r *Recipe) cure(text string) string {
	return cure(text, [4]bool{r.Begun, r.Mixed, r.Full, r.Gone})
}

// Base is a liquid the solids are steeped in: a spirit, a wine, or water.
type Base struct {
	Name       string
	Of         string   // what it is, whatever it is called: lines of one thing have one error; "": Name
	VolumeML   Quantity // at 20 °C
	ABVPercent Quantity
	SugarGPerL float64 // sweetness of the base itself, counted as sucrose
	PerLitre   Parts   // what else a litre holds besides ethanol and water: grape sugars, acids, glycerol
	May        []Parts // what a litre may hold as well, as in Solid
	// AcidFactor and SugarFactor multiply the acid (with its strong ions) and
	// the sugar of PerLitre: 1 with the spread of the class. Zero means exactly 1.
	// PHShift is as in Addition.
	AcidFactor, SugarFactor, PHShift Quantity
}

// Solid is something steeped: it gives up what PerG says, as far as Given, and
// keeps back liquor when it is strained out.
type Solid struct {
	Name  string
	Of    string // as in Base
	MassG Quantity
	// PerG is what a gram brings into the liquid: water, sugar, acid of fresh
	// fruit, root or leaf. Zero for dry botanicals.
	PerG Parts
	// May is what a gram may be as well, where nobody knows what it is: the likely figures
	// are those of PerG, and the ranges reach to each.
	May []Parts
	// Given is the share of PerG that went over while it lay in the jar, 0 to 1; zero:
	// all of it. The rest leaves with the solid, in the room of liquor it would keep.
	Given Range
	// HeldMLPerG is the liquor a gram keeps after dripping off, PressedMLPerG
	// after pressing, in mL per gram of the solid as it went in.
	HeldMLPerG, PressedMLPerG Quantity
	LeftIn                    bool // stays in the bottle: nothing is kept back
	Went                      bool // it is in by now
	After                     bool // as in Addition
	// InH and OutH are when it goes in and comes out, in hours; OutH zero: it is
	// strained with the rest at the end. What comes out before something else
	// goes in keeps liquor of the strength of that moment.
	InH, OutH float64
	// AcidFactor and SugarFactor multiply the acid (with its strong ions) and
	// the sugar of PerG: 1 with the spread between fruits. Zero means exactly 1.
	AcidFactor, SugarFactor Quantity
	// WaterFactor multiplies the water of PerG, likewise.
	WaterFactor Quantity
}

// Addition goes in after straining: water, syrup, sugar, juice, spirit, acid.
type Addition struct {
	Name  string
	Of    string // as in Base
	MassG Quantity
	// PerG is the composition of a gram, strong ions included (WithPH and
	// WithTitration compute them from what is known of a juice).
	PerG Parts
	May  []Parts // as in Solid
	// AcidFactor multiplies acids and strong ions alike, SugarFactor the
	// sugars; zero means exactly 1. PHShift moves the addition's own pH by
	// changing its strong ions: 0 with the spread of the juice's pH.
	AcidFactor, SugarFactor, PHShift Quantity
	// ABVPercent, when its SD is not zero, is the doubt about the strength of
	// an added spirit: its Value is the strength PerG was made with.
	ABVPercent Quantity
	// Late: it went in after all that is Measured of the blend was read, into what Joins says; After: after all
	// of that but the volume. Moot: nobody knows whether it did, and it likely did not. Untold: nobody wrote
	// that it went in, so where the blend comes to less than with it, it may not have.
	Late, After, Moot, Untold bool
	// Clear: it went in once the drink was filtered through its own curds, which keep none of it.
	Clear bool
	Went  bool // as in Solid
	Cost  float64
	Joins
}

// Joins is which part of a blend something joins: AwayML of it is in bottles or drunk, so that it joins the
// rest alone, or To one of Vessels, which were open, 0: any of them; IntoML of what that holds by then, which the rest of it no longer is: it was
// drunk. 0: nobody measured that. What has one Pour went in together, pour after pour. NowML is in bottles
// by now: what is more than AwayML was filled of what it joined, where that was the rest, and of that ReadML
// were measured then, 0: not.
type Joins struct {
	Pour, To                      int
	AwayML, IntoML, NowML, ReadML float64
	Vessels                       []Vessel
}

// Rest is what was left over by a moment when bottles held AwayML, mL: of a blend that nothing joined apart
// all of it, as nothing was in bottles.
type Rest struct{ ML, AwayML float64 }

// LeftML is what of it is left when bottles hold so much; below 0 they hold more than there was.
func (r Rest) LeftML(awayML float64) float64 {
	if awayML > r.AwayML { // both may be without end
		return r.ML - (awayML - r.AwayML)
	}
	return r.ML
}

// Level is what there was for a pour to join: the most in each of the bottles that were open, and left over,
// mL.
type Level struct {
	OpenML []float64
	LeftML float64
}

// Vessel is a bottle that is open, of that size; Gone: it is empty by now. Of is the pour into what was left
// over that it was filled after, from 1; 0: none.
type Vessel struct {
	Number int
	Of     int
	ML     float64
	Gone   bool
}

// Poured is what a vessel holds after the last pour into it; Number 0: what is left over by now.
type Poured struct {
	Number, Pour int
	Parts        Parts
}

// apart reports whether an addition joins some of a blend and not all.
func (a *Addition) apart() bool { return a.Late && (a.AwayML > 0 || a.IntoML > 0) }

// Measured is what was read off afterwards. Each reading that is given (not
// nil) takes the place of the computed figure and of everything that follows
// from it. Volumes and densities are at 20 °C.
type Measured struct {
	StrainedML *Quantity // liquor after straining and filtering, before additions
	// StrainedH is when that was read, in hours as of Solid.InH; 0: after all solids.
	StrainedH float64

	// Of the blend, with what is neither Late nor, but for the volume, After:
	VolumeML   *Quantity
	ABVPercent *Quantity // by distillation, not by a float in the sweetened blend
	SugarGPerL *Quantity
	AcidGPerL  *Quantity // titratable, as citric
	PH         *Quantity
	// DensityKgPerM3 gives the sugar where that was not read, else the
	// strength where that was not read; with both read it is only compared.
	DensityKgPerM3 *Quantity
	// Brix is read on a refractometer or float in g per 100 g; it gives the
	// sugar where there is no alcohol, and is left out with a warning where there is.
	Brix *Quantity
}

// before reports whether the strained volume was read before a solid went in.
func (m *Measured) before(s *Solid) bool {
	return m.StrainedML != nil && m.StrainedH > 0 && s.InH > m.StrainedH
}

// How hard solids are squeezed: see Recipe.Pressed.
var (
	Dripped = Range{}
	Pressed = Range{Value: 1, Low: 1, High: 1}
	NotSaid = Range{Value: 0.5, Low: 0, High: 1}
)

// Recipe is what goes through the maker's hands, in order: bases, solids
// steeped in them, straining or pressing, filtering, additions.
type Recipe struct {
	Bases  []Base
	Solids []Solid
	// Pressed is how hard the solids are squeezed, 0 dripped off to 1 pressed; where
	// nobody says, from one to the other.
	Pressed   Range
	Additions []Addition
	Measured  Measured
	// Unweighed is the most that solids of unknown amount may thin and blunt the jar
	// with, and sweeten and sour it. The likely figures are those without it, the ranges
	// reach to those with all of its water and buffer, and with all of it.
	Unweighed Parts
	// Alive: something in it ferments, and how far it has come nobody knows: the ranges reach from
	// nothing of its sugar to all of it turned to alcohol.
	Alive bool
	// UnweighedHoldML is the most liquor that they may keep when they are strained.
	UnweighedHoldML float64
	// CurdsML is how much of the drink its own curds keep when it is filtered through them, as strong as
	// it is then, without what is Clear: from nothing, where it is not.
	CurdsML Range
	// Only is the vessel that is asked after, by its number, below 1 what was left over: the figures are
	// then of what that holds after all that was poured into it. nil: of what nothing was poured into.
	Only *int
	// Which times of a cure are over, Out by Begun for the bases and what nobody weighed.
	Begun, Mixed, Full, Gone bool
	mostRanML                float64 // see verdict
	Cost                     float64 // of all that goes in, in the maker's currency
}

// Kept are the shares, to 1, of the liquor that would run off by the recipe, and of what went in
// after it, that are left by the measured volumes: the rest was lost, with all that it held. Late is
// how much more of what is Late is in a litre of the drink than if it had joined all of it: 1 where it did.
type Kept struct{ Liquor, Added, Late float64 }

// Property names one of the figures of a Result.
type Property string

// The properties of a Result, by the names used in Causes.
const (
	Volume        Property = "volume"
	Strained      Property = "strained volume" // in Result.Doubted alone
	ABV           Property = "strength"
	Sugar         Property = "sugar"
	Acid          Property = "acid"
	Solids        Property = "dissolved solids"
	Acidity       Property = "pH"
	WaterActivity Property = "water activity"
	Density       Property = "density"
	Loss          Property = "loss"
)

// Share is how much of a figure's variance one cause makes.
type Share struct {
	Cause, Cure string  // Cure may be empty: nothing the maker can do
	Fraction    float64 // 0 to 1
}

// Step is one thing that was done, and the liquid after it.
type Step struct {
	Name, What           string
	VolumeML, ABVPercent float64
	SugarGPerL           float64
}

// Result is the finished blend.
type Result struct {
	Parts Parts

	VolumeML, ABVPercent, SugarGPerL, AcidGPerL Range
	Brix, PH, WaterActivity, DensityKgPerM3     Range
	LossML                                      Range // kept by solids, or shown missing by a measured volume
	// PHKnown is false where nothing sour is known; PH is then zero and means
	// nothing. Where it is known, the ends of PH hold all that may blunt the acid.
	PHKnown bool

	// JarParts and JarVolumeML are the liquor in the jar at the end of the
	// steep, before any loss: what a tasting from the jar tastes.
	JarParts    Parts
	JarVolumeML float64
	// JarABVPercent is its strength, in as much doubt as that of the bottle.
	JarABVPercent Range
	// StrainedML is what of it goes on to be blended.
	StrainedML float64
	// Kept is how much of what went in a measured volume leaves in the bottle; MostKept the
	// most, where something Untold may not have gone in.
	Kept, MostKept Kept
	// MayLack: that is so.
	MayLack bool
	// ExplainedML is the likely volume, but that no measured one counts for more than what
	// went in explains: what it holds is in no more than that.
	ExplainedML float64
	lateML      float64 // what went in after all readings
	// Open is what the open bottles hold, and what was left over, where something joined that alone, the
	// last that was poured into first. Parts is what the sealed ones hold, and the ranges reach to all that
	// any of Open ever held: no entry makes it keep better.
	Open []Poured
	// Levels are by the number of a pour what was there by then, Rest what was left over after the last.
	Levels map[int]Level
	Rest   Rest
	// MarcParts is the liquor the strained solids keep.
	MarcParts Parts
	// KeptShare is how much of the liquor its solids kept by what was measured, against what is usual of them,
	// as Recipe.Keep has it; nil where no volume says it.
	KeptShare *float64
	// BottleFraction is mL of jar liquor in a mL of the finished blend: what a
	// flavour of the jar is thinned to.
	BottleFraction float64

	Steps    []Step
	Causes   map[Property][]Share // largest first; shares of a figure sum to 1
	Alone    bool                 // nothing else is in what was strained, or will be
	Warnings []string
	AtOdds   []string // those of them that are of readings
	// Held names the readings that say more in the maker's favour than the recipe
	// explains. Credited is then the blend with each of them at the end of what it
	// does, without a strength that is left out: what keeping is judged on. WaterActivity, which nobody read, is already
	// that of Credited; nil where every reading is believed.
	Held     []Property
	Read     Measured // the readings that count in keeping
	Credited *Result
	// Doubted holds the recipe's own figure wherever a reading lies far from it; a
	// pH that it cannot explain at all is held against that of water.
	Doubted map[Property]Range
}
