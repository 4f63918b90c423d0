// Package shelf judges how long a bottle of sweetened, soured, spiced spirit keeps, where to
// keep it, which microbe and hurdle decide, and what ends it:
//
//	verdict := shelf.Judge(bottle, shelf.Storage{Place: shelf.Fridge})
//
// It asks, of the worst end of every figure, (1) whether what makes people ill can grow in it: one
// hurdle keeps it away, alcohol, acid, dryness, or heat with them, and without one there are a few
// cold days and no more; (2) whether it stands on a shelf: alcohol alone does it, less of it with
// acid or with nothing to feed on; (3) if not, in how many days something shows, which package
// spoilage reckons. (1) and (2) are hard lines, and the only jumps.
//
// Fades reads when a drinker notices a change of taste, Advise makes one advice of both, Changes
// says what would help. It knows plain figures of one bottle and no files, names of products or
// people's batches. It is not a validated process: it says "no growth expected of … below …", and a
// licensed process authority decides on anything that is sold. What is not known is taken at its
// worst, and where that decides, Bottle.Needs says what to measure.
package shelf

import (
	"math"

	"steepbook/shelf/harm"
	"steepbook/shelf/mixture"
	"steepbook/shelf/spoilage"
)

// Days is a length of time. High is +Inf when microbes do not set a limit;
// Low is +Inf only then too. Words says the same for people to read.
type Days struct {
	Low, High float64
	Words     string
}

// Open reports that microbes set no upper limit to the time.
func (d Days) Open() bool { return math.IsInf(d.High, 1) }

// Bottle is what the judgement needs to know of a finished drink. A figure whose
// doubt is not known is written mixture.Exactly(v): it gets the usual margins.
//
// Lists hold the maker's own words for the parts ("blood orange juice"), only
// their presence decides anything; they are repeated in reasons.
type Bottle struct {
	// ABVPercent is the strength at 20 °C in % vol, SugarGPerL all dissolved
	// sugars in g/L.
	ABVPercent, SugarGPerL mixture.Range
	// PH is read only when PHKnown; without it no credit is given for acid.
	PH      mixture.Range
	PHKnown bool
	// WaterActivity (0-1) is read only when its value is above zero.
	WaterActivity mixture.Range
	// SucroseGPerL is the part of the sugar that is sucrose, g/L: what acid
	// can invert. Zero means unknown.
	SucroseGPerL float64

	// Nourishing names what feeds microbes: juice, pulp, fruit, wine, malt,
	// rice, honey, milk, egg. An empty list is a claim that nothing does.
	Nourishing []string
	// FreshJuice names unheated juices in it.
	FreshJuice []string
	// Stood are those of them that had stood before they went in.
	Stood []Stood
	// Clocks gives the flavour clock (data/tables/flavour-clock.csv) of a juice
	// or a red part by its name; what is not in it has the usual one.
	Clocks map[string]string
	// Wine is the kind of wine that it rests on, if any.
	Wine spoilage.Wine
	// SolidsLeftIn names solids that stay in the bottle.
	SolidsLeftIn []string
	// FreshLowAcid names fresh herbs, roots, garlic or vegetables in it or
	// steeped in it.
	FreshLowAcid []string
	// WeakSteepH is how long, in hours, egg, milk, nuts or fresh low-acid plants lay
	// in a jar that was neither strong nor sour enough, before the rest went in, and
	// WeakSteepMostH how long they may; 0: WeakSteepH, the time out of the cold.
	WeakSteepH, WeakSteepMostH float64
	// JarABVPercent is the strength of the jar while it steeps, 0 once it is strained or
	// where nothing steeps: what can catch fire is what stands there.
	JarABVPercent float64
	// OilRich names parts that give off essential oil or fat: peel, clove,
	// anise, nuts, cacao.
	OilRich []string

	// GreenLeaf, RedColour, CitrusPeel and Nuts name parts whose green, red,
	// lemon note or fat fades: fresh leaves; berries, hibiscus, blood orange;
	// lemon, lime or lemongrass; nuts steeped or milked.
	GreenLeaf, RedColour, CitrusPeel, Nuts []string
	// OtherPeel names peels of citrus without a lemon note: orange, grapefruit.
	OtherPeel []string
	// Spices names spices, seeds, barks, roots, pods and buds steeped in it:
	// what its aroma rests on.
	Spices []string
	// Pectin and Gums name parts that can set it to a jelly or turn it slimy:
	// fruit and peel rich in pectin; ground cinnamon, flax, mallow.
	Pectin, Gums []string

	Dairy, Egg bool
	// Unknown names food that nobody knows: it is kept as milk is, but that strength
	// may let it stand on a shelf.
	Unknown []string
	// Live names what is alive in it and makes gas of sugar: yeast, a culture.
	Live []string
	// RawEgg means the egg was not heated; EggAlone what is known of its days in spirit alone, EggLacks why
	// what it lies in, or would, gives it none.
	RawEgg   bool
	EggAlone EggAlone
	EggLacks string
	// ToCome names what is still to go in, where what there is yet holds back what makes people ill.
	ToCome []string
	// NutMilk means a water extract of nuts.
	NutMilk bool
	// Fruit means whole or cut fruit went in.
	Fruit bool
	// FatTraces names fats that washed it and come off again. FatOn are those of them that still lie on a
	// strong jar, to be taken off, FatIn those that are in what is kept, by what was said last: as oil is.
	FatTraces, FatOn, FatIn []string
	// Oil means a fat or oil is the medium or a layer of it.
	Oil bool
	// NoSpirit means nothing with alcohol went in: a plain syrup or cordial.
	NoSpirit bool
	// ServeML is how much is poured at once, 0 where nobody said.
	ServeML float64
	// Heated means the finished drink was heated to kill growing cells and
	// closed hot.
	Heated bool
	// Filtered means strained clear, no haze or pulp.
	Filtered bool
	// BoiledBottle means bottle and cap were boiled or baked first.
	BoiledBottle bool
	// Pulp means visible pulp or cloud of fruit.
	Pulp bool
	// Steeping means that it is the liquid of a jar, with what steeps in it.
	Steeping bool

	// Measured says which figures come from an instrument on the finished
	// drink; they get smaller margins.
	Measured Measured
	// Doubtful names measured figures that do not go with what went in; the
	// ranges then reach no further than what went in explains.
	Doubtful []string

	Preservatives Preservatives
	// Substances are the amounts the botanicals can give the drink, for the
	// cautions.
	Substances []harm.Substance
}

// Measured marks figures that were measured on the finished drink: strength by
// distillation or a laboratory (not a float in a sweetened drink), sugar by a
// refractometer corrected for alcohol, pH by a meter, water activity by a
// meter.
type Measured struct{ ABV, Sugar, PH, WaterActivity bool }

// Preservatives are added amounts in mg per litre of drink, as the salts
// usually bought. They help clean bottles and never decide a verdict.
type Preservatives struct {
	PotassiumSorbateMgPerL       float64
	SodiumBenzoateMgPerL         float64
	PotassiumMetabisulfiteMgPerL float64
}

// Place is where a bottle stands.
type Place string

// The four places a maker has.
const (
	Freezer Place = "freezer"
	Fridge  Place = "fridge"
	Cellar  Place = "cellar"
	Room    Place = "room"
)

// Storage is the place and temperature the maker has in mind.
type Storage struct {
	Place   Place
	Celsius float64
	// Measured means Celsius was given by the maker; otherwise the worst case
	// of the place is used (room 25 °C, cellar 18 °C, fridge 7 °C,
	// freezer -18 °C).
	Measured bool
}

// The five verdicts, from least to most strict, and the one for a lack of
// figures.
const (
	VerdictShelf   = "shelf"
	VerdictFridge  = "fridge"
	VerdictFreezer = "freezer"
	VerdictDiscard = "discard"
	VerdictUnknown = "unknown"
)

// Decision says which organism and which hurdle settle the verdict.
type Decision struct {
	Organism, Hurdle string
	// Margin is the distance between the worst case and the limit of that
	// hurdle, positive when the hurdle holds, in MarginUnit; an empty unit
	// means that there is no margin to state.
	Margin     float64
	MarginUnit string
	Text       string
}

// Reason is one rule that was looked at.
type Reason struct {
	Rule string
	// Figure names what was compared; WorstCase and Limit are in Unit.
	Figure           string
	WorstCase, Limit float64
	Unit             string
	Pass             bool
	Text, Source     string
}

// Verdict is the answer for one bottle and one place.
type Verdict struct {
	// Verdict is the least strict place where the bottle keeps: shelf, fridge
	// or freezer; discard when it should not be kept at all; unknown when a
	// figure is missing that decides.
	Verdict string
	// Place and AtC are the place and temperature the days hold for.
	Place Place
	AtC   float64
	// Unopened and Opened are the times at AtC until microbes are expected to
	// end it.
	Unopened, Opened Days
	// OpenedSound is Opened by what grows alone: longer where the air spoils the taste of an opened wine first.
	OpenedSound Days
	DecidedBy   Decision
	// DelleUnits is sugar in g per 100 mL plus 4.5 times % vol (central
	// values); it speaks of fermenting yeast only.
	DelleUnits float64
	// Confidence is low, moderate or high; ConfidenceText says why.
	Confidence, ConfidenceText string
	// Edge says how near it is to keeping worse, where that is less than the doubt about its
	// strength; else empty.
	Edge    string
	Reasons []Reason
	// Fails means that nothing in it keeps what makes people ill from growing.
	Fails bool
	// TooLate means that it had its time in a weak jar, which nothing undoes.
	TooLate bool
	// Guild is the guild of spoilage microbes that ends it first, by its name
	// in data/tables/spoilage.csv; Rule the published time that comes sooner,
	// OpenedRule that once opened. Empty where they do not decide.
	Guild, Rule, OpenedRule string
	// Fades is the change of taste that is noticed first at AtC, nil when none
	// has a known rate; FlavourText says so in words.
	Fades       *Fade
	FlavourText string
	// EndedBy is what the maker would see: "gas, haze, film".
	EndedBy string
	// Needs lists what to measure or add to the record when the verdict hangs
	// on it.
	Needs    []string
	Cautions []harm.Caution
	Warnings []string
}

// Kinds of Change.
const (
	ChangeABV     = "abv"      // Amount: % vol to add to the strength
	ChangeSugar   = "sugar"    // Amount: g/L of sugar to add
	ChangeAcid    = "acid"     // Amount: pH units to come down
	ChangeNoJuice = "no juice" // acid and peel in place of juice and pulp
	ChangeHeat    = "heat"     // heat it and close it hot
	ChangeStrain  = "strain"   // strain clear, solids out
	ChangeBoil    = "boil"     // boil bottle and cap
	ChangePlace   = "place"    // stand it in another place
)

// Change is one thing a maker could do, and the verdict that follows.
type Change struct {
	Kind string
	// Amount is how much, in Unit: the smallest that moves the verdict.
	Amount float64
	Unit   string
	// To is the figure reached (for example 19.6 for ABVPercent).
	To float64
	// PH is the pH to reach with acid along with the change; 0 leaves it.
	PH float64
	// Verdict is what the bottle gets after it, in the place asked for.
	Verdict Verdict
	// Text is one clause, "raise the strength to 23 % vol"; But is what of it does not help, in Text too.
	Text, But string
}

// EggAlone is whether raw egg lies in spirit alone for its days, before anything else
// goes in.
type EggAlone int

// Nobody knows; it still can; what of it is to come cannot any more, since what is in is not good for so long;
// it is not in, and can in spirit of its own alone; it did; it did not, by the
// log, for what EggLacks says of what it lies in, or since what is in is not good for so long.
const (
	EggUntold EggAlone = iota
	EggCan
	EggLate
	EggApart
	EggDid
	EggShort
)
