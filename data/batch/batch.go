// Package batch reads the maker's own file of one batch, from spirit to bottle,
// and appends to it what was done and tasted. It knows what may stand in such a file;
// what the words mean in grams or rates is for others to say.
//
// The file belongs to the maker. Nothing here rewrites it: entries are added at
// the end, everything above stays as it is, byte for byte; and a Rewrite is a new
// text, for a new file, in which only what was asked for differs.
package batch

import (
	"fmt"
	"strings"
	"time"

	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// Batch is what a batch file says. Fields that the file leaves out are nil,
// empty or zero as their comments say; nothing is filled in by guess.
type Batch struct {
	File string           // as given to Read or Parse
	Doc  *strict.Document // the places of all keys
	// CutOff is the beginning of a last entry that was cut off while it was written; it is left out.
	CutOff string

	Name            string
	ID              string          // what it is known by whatever it is called; may be empty
	Started         time.Time       // when the first liquid met the first botanical
	StartedDateOnly bool            // only the day was written; Started is its midnight
	RoomC           *float64        // steeping temperature [°C]
	Ready           time.Time       // noon of the day it is to be ready by; zero where there is none
	Units           quantity.System // as the file says, else the house rules beside it

	Spirits    []Spirit
	Botanicals []Botanical
	Watches    []Watch
	Additions  []Addition
	Finish     Finish
	Measured   Measured
	Logged
}

// Spirit is one liquid that the botanicals steep in.
type Spirit struct {
	Name       string           // may be empty
	ABVPercent *float64         // [% vol], 0 to 100; written as abv or as proof, or in the name
	InName     bool             // the strength stands in the name,
	Bare       bool             // as a per cent that may be one of something else: "coconut milk 17 %"
	Amount     *quantity.Amount // Mass or Volume, never an undecided ounce
	Price      *float64         // of that amount, in the maker's currency, >= 0
	Index      int              // 0-based entry in the file
}

// Label is what it is called, with its strength where that is written.
func (s *Spirit) Label() string {
	if s.ABVPercent == nil || s.InName {
		return s.Name
	}
	return strings.TrimSpace(fmt.Sprintf("%s %s %%", s.Name, quantity.FormatNumber(*s.ABVPercent)))
}

// Botanical is one thing that steeps. Names are unique among botanicals and
// watches, whatever their capitals.
type Botanical struct {
	Name    string
	Like    string // the library name to take figures from when Name is the maker's own; may be empty
	Cut     string // form and fineness; may be empty
	Amount  *quantity.Amount
	Target  *float64 // wanted strength in the bottle, to 10; nil (in the file also 0): as strong as it gets
	In      float64  // hours after the start that it went in, by elapsed time, >= 0
	Lot     string
	Bought  time.Time // the day it was bought or picked; zero when not written
	LeaveIn bool      // is to stay in the bottle, unless it was pulled: see Batch.StaysIn
	Bag     bool      // in a bag, so that it comes out alone however fine it is
	Price   *float64
	Index   int
}

// Watch is an unwanted taste that is scored like the botanicals.
type Watch struct {
	Name  string
	Limit float64  // the most that is tolerable, 0 to 10
	From  []string // the botanicals that bring it, by their names in this file; empty means all
	Index int
}

// Addition is what goes in after straining.
type Addition struct {
	Name          string
	Amount        *quantity.Amount
	ABVPercent    *float64         // [% vol]; written as abv or as proof, or in the name as such
	PH            *float64         // 0 to 14
	AcidGPer100ML *float64         // titratable acid as measured or off a label, of the acid usual in it
	Brix          *float64         // [g sugar per 100 g]
	Heated        bool             // boiled or pasteurised before it went in
	BoiledOff     *quantity.Amount // water lost on the stove
	In            *float64         // hours after the start that it joined the jar; nil: after straining
	Price         *float64
	Pressed       time.Time // when juice was pressed; zero where that is not said
	// where it stood since: fridge, freezer, cellar or room; "" where that is not said
	Kept     string
	Index    int
	Logged   bool // it is an [[added]], whose entry Index is; false as it is read
	Filtered int  // how often what was mixed had been strained before, by the log
	Since         // by what was measured of the drink
	Joins         // what it then joined
}

// Joins is what of a drink something joins that goes in once it was bottled, mL.
type Joins struct {
	Pour    int      // the place in the log of what went in together: at one moment, into the same
	AwayML  float64  // is in bottles or gone, see Bottles.AwayML
	NowML   float64  // is in bottles or gone by now, as far as that is known
	ReadML  float64  // was measured of it with that in bottling; 0: not known
	IntoML  float64  // is how much it joined as the maker measured it; 0: not known
	Bottles []Bottle // were open by then, or the one that is said; Emptied is by now
	To      int      // which of them it joined, or LeftOver; 0: nobody knows which of several
}

// Apart reports whether it joined an open bottle, or what was left over, and not all of the drink.
func (j *Joins) Apart() bool { return j.AwayML > 0 || j.IntoML > 0 }

// Finish is how the batch is strained, bottled and kept.
type Finish struct {
	Press    *bool    // the solids are squeezed; nil where it is not said
	Keeps    *float64 // the share that they keep of the liquor that is usual, as an earlier batch was measured to
	Heated   bool     // the whole liquid is heated before bottling
	Filtered bool
	LeaveIn  bool // solids stay in the bottle
	Boiled   bool // the bottles are boiled
	Bottle   *quantity.Amount
	Serve    *quantity.Amount // one serve of the finished drink
	Store    string           // fridge, freezer, cellar, room or ""
	StoreC   *float64         // [°C], when the file gives a temperature instead of a word
	// When it was strained, bottled and first opened; nil where it is not said.
	Strained, Bottled, Opened *Stage
}

// Stage is a moment in the life of a batch.
type Stage struct {
	Hours float64 // after the start, by elapsed time
	When  time.Time
	Key   string // the key it is written under
}

// Measured is what the maker measured, of all that is logged above it in the file: see Batch.Since. It beats
// what is computed.
type Measured struct {
	StrainedML     *float64 // the liquor after straining, before anything was added
	StrainedH      float64  // when that was read, as it was logged; 0: nobody says
	PH             *float64
	ABVPercent     *float64 // [% vol]
	VolumeML       *float64
	SugarGPerL     *float64
	AcidGPerL      *float64
	Brix           *float64 // refractometer or hydrometer reading
	DensityKgPerM3 *float64
	// CyanideMgPerL is all hydrogen cyanide in what came off the solids, as a laboratory finds it.
	CyanideMgPerL *float64
}

// Errorf makes an error about the value at path, a path as strict.Document
// takes it, with file, line and excerpt filled in.
//
//go:noinline
func (b *Batch) Errorf(path []any, right, format string, args ...any) error {
	return b.Doc.Errorf(path, right, format, args...)
}

// Hours gives the time from the start of the batch to t [h], by elapsed time: a
// change of clocks in between does not count.
func (b *Batch) Hours(t time.Time) float64 { return t.Sub(b.Started).Hours() }

// At gives the moment that many hours after the start, to the millisecond: hours hold no
// minute exactly, and one that was logged as 20:11 must not come back as 20:10.
func (b *Batch) At(hours float64) time.Time {
	return b.Started.Add(time.Duration(hours * float64(time.Hour)).Round(time.Millisecond))
}
