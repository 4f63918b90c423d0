package library

import (
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/stat"

	"steepbook/data"
)

// Constant names one figure of tables/constants.toml.
type Constant string

// The constants. The unit is in the name; a bare spread is a factor.
const (
	// AromaExponent, HeatExponent and TasteExponent link a score to an amount.
	AromaExponent Constant = "aroma_exponent"
	HeatExponent  Constant = "heat_exponent"
	TasteExponent Constant = "taste_exponent"

	// LateRatio is how many times slower an unwanted taste comes than the
	// wanted one; its spread is LateRatioGSD.
	LateRatio    Constant = "late_ratio"
	LateRatioGSD Constant = "late_ratio_gsd"

	// spoonSpread, cupSpread, pourSpread and pieceSpread are 90 % ranges of what
	// was meant by one spoon, cup or piece, as a factor of the typical weight.
	spoonSpread Constant = "spoon_spread"
	cupSpread   Constant = "cup_spread"
	pourSpread  Constant = "pour_spread"
	pieceSpread Constant = "piece_spread"

	// scaleErrorG and scaleErrorShare: a kitchen scale is off by up to the
	// first, but by no more than the second times the mass.
	scaleErrorG     Constant = "scale_error_g"
	scaleErrorShare Constant = "scale_error_share"

	dashML  Constant = "dash_ml"  // a dash of a liquid
	dropML  Constant = "drop_ml"  // a drop
	pinchML Constant = "pinch_ml" // a pinch of a powder, by volume

	splashML  Constant = "splash_ml"  // a splash of a liquid
	handfulML Constant = "handful_ml" // a handful, by volume

	// LabelToleranceABV is how far the label of a spirit may be off, ± % vol.
	LabelToleranceABV Constant = "label_tolerance_abv_percent"
)

// Constant returns a constant with its range, source and grade; the zero
// Number for a name that is not there.
func (l *Library) Constant(c Constant) Number {
	e := l.tables.constants()[string(c)]
	if e == nil {
		return Number{}
	}
	n, err := e.get()
	if err != nil {
		return Number{} // a test reads them all
	}
	return n.Figure
}

type constantIn struct {
	Name   string `toml:"name"`
	Unit   string `toml:"unit"`
	Figure Number `toml:"figure"`
}

func (r *reader) constant(path []any, in, c *constantIn) error { return lay(r, path, c, in, c) }

// marc is a row of tables/marc.toml: the liquid that stays with the solids.
type marc struct {
	Name    string `toml:"name"`
	Held    Number `toml:"held_ml_per_g" range:"0 20"`
	Pressed Number `toml:"pressed_ml_per_g" range:"0 20"`
}

func (r *reader) marc(path []any, in, m *marc) error { return lay(r, path, m, in, m) }

func (r *reader) meaning(_ []any, in, m *meaning) error {
	*m = *in
	return nil
}

// tables are the small files that entries refer to.
type tables struct {
	constants func() keyed[constantIn]
	marcs     func() keyed[marc]
	allergens func() keyed[Allergen]
	hazards   func() keyed[Hazard]
	limits    func() []*entry[Limit] // by substance
	meanings  func() *catalog[meaning]
}

func newTables(l *Library) *tables {
	return &tables{
		constants: newTable(l, "tables/constants.toml", "constant", (*reader).constant),
		marcs:     newTable(l, "tables/marc.toml", "marc", (*reader).marc),
		allergens: newTable(l, "hazards/allergens.toml", "allergen", (*reader).allergen),
		hazards:   newTable(l, "hazards/hazards.toml", "hazard", (*reader).hazard),
		limits: sync.OnceValue(func() []*entry[Limit] {
			return scan(l, "hazards/limits.toml", "limit", (*reader).limit)
		}),
		meanings: sync.OnceValue(func() *catalog[meaning] {
			return newCatalog("word", scan(l, "hazards/words.toml", "word", (*reader).meaning))
		}),
	}
}

func (l *Library) marc(name string) (*marc, error) { return l.tables.marcs().row("marc", name) }
func (l *Library) allergen(key string) (*Allergen, error) {
	return l.tables.allergens().row("allergen", key)
}
func (l *Library) hazard(key string) (*Hazard, error) { return l.tables.hazards().row("hazard", key) }

// Source looks a source up by its key: the maker's own, or one of data.FindSource.
func (l *Library) Source(key string) (data.Source, bool) {
	if s, ok := l.own[key]; ok {
		return s, true
	}
	if key == OwnSource {
		own := data.Source{Key: key, Authors: "you", Title: "your own figure", Where: "your library file"}
		return own, true
	}
	return data.FindSource(key)
}

// clocks are the names of tables/flavour-clock.csv.
func clocks() []string { return data.OpenTable("flavour-clock.csv").Firsts() }

// buffer is a line of tables/buffers.csv.
type buffer struct{ ash, protein Number }

var buffers = sync.OnceValue(func() *data.Table { return data.OpenTable("buffers.csv") })

// bufferOf is the ash and protein of a plant, or the most of a kind, which is
// written in brackets.
func bufferOf(plant string) (b buffer, ok bool) {
	rows := buffers().Rows(plant)
	if len(rows) == 0 {
		return b, false
	}
	return buffer{figureOf(rows[0], "ash_g_per_100g"), figureOf(rows[0], "protein_g_per_100g")}, true
}

// figureOf is a figure in a row that says where it is from.
func figureOf(r data.Row, column string) Number {
	v := r.Number(column)
	return Number{v, v, v, r.Text("source"), Grade(r.Text("grade")), r.Text("note")}
}

// rateTable is tables/rates.csv.
var rateTable = sync.OnceValue(func() *data.Table { return data.OpenTable("rates.csv") })

// rateRow is a line of it.
type rateRow struct {
	cell   string // its rows of tables/maker-times.csv
	own    bool   // those are about this plant, not about its like
	rate   Number
	gsd    float64
	makers int
	early  Number
	firstH float64
}

// ratesOf are the rates of a botanical, by cut.
func ratesOf(botanical string) map[string]rateRow {
	m := map[string]rateRow{}
	for _, r := range rateTable().Rows(botanical) {
		early := r.Number("early_share")
		m[r.Text("cut")] = rateRow{
			cell: r.Text("cell"), own: r.Text("times_of") == "own",
			gsd: r.Number("gsd"), makers: int(r.Number("makers")), firstH: r.Number("first_tasting_h"),
			rate: figureOf(r, "rate_per_h"),
			// Half to 1.7 times the share: a judgement, as the shares are.
			early: Number{Value: early, Low: early / 2, High: min(early*1.7, 1),
				Source: r.Text("early_source"), Grade: Grade(r.Text("early_grade"))},
		}
	}
	return m
}

// habits is the source of what makers do and nobody measured.
const habits = "steeping-habits"

// MakerTime is one time that a maker or a publication gives for a cut.
type MakerTime struct {
	Kind                TimeKind
	LowH, HighH         float64 // as told, h
	ABVPercent, Celsius float64
	DoseRatio           float64 // times the usual dose
	Weight              float64 // 1 for a practitioner, less for weaker witnesses
	Source              string  // key of a Source
	Grade               Grade   // Practice, or Derived for a publication
	Note                string
}

// TimeKind says what happened at the time.
type TimeKind string

// The kinds of times.
const (
	Tasted   TimeKind = "tasted"    // tasted and found right
	Strained TimeKind = "strained"  // strained; tasting is not mentioned
	Habit    TimeKind = "habit"     // a round week, month or forty days
	TooLong  TimeKind = "too long"  // too long by then
	Noticed  TimeKind = "noticed"   // only just noticed
	Printed  TimeKind = "published" // 80 % of the strength by taste, worked out from a publication
)

// MakerTimes are the times known for a cut.
type MakerTimes struct {
	Own   bool     // about the botanical of the cut, not about its like
	Of    []string // the botanicals they are about where that is not the one of the cut alone
	Times []MakerTime
}

// Span is where the times of a kind lie, h, of four and more the middle half of their
// middles, and how many there are.
func (m MakerTimes) Span(kind TimeKind) (lowH, highH float64, n int) {
	var lows, highs, middles []float64
	for _, t := range m.Times {
		if t.Kind == kind {
			lows, highs = append(lows, t.LowH), append(highs, t.HighH)
			middles = append(middles, math.Sqrt(t.LowH*t.HighH))
		}
	}
	switch n = len(lows); {
	case n == 0:
		return 0, 0, 0
	case n <= 3:
		return slices.Min(lows), slices.Max(highs), n
	}
	slices.Sort(middles)
	return stat.Quantile(0.25, stat.LinInterp, middles, nil),
		stat.Quantile(0.75, stat.LinInterp, middles, nil), n
}

// MakerTimes returns what makers did with a cut and what is published of it;
// there are no times for a cut that is not in the built-in library.
func (l *Library) MakerTimes(c *Cut) MakerTimes {
	row, ok := ratesOf(c.Botanical)[c.Name]
	if !ok {
		return MakerTimes{}
	}
	m := MakerTimes{Own: row.own, Times: makerTimes()[row.cell]}
	if of := timesAbout()[row.cell]; !row.own || len(of) != 1 {
		m.Of = slices.Sorted(slices.Values(of))
	}
	return m
}

// timesAbout lists for each cell the botanicals that its times are about.
var timesAbout = sync.OnceValue(func() map[string][]string {
	of := map[string][]string{}
	for _, r := range data.Rows("rates.csv") {
		cell, b := r.Text("cell"), r.Text("botanical")
		if r.Text("times_of") == "own" && !slices.Contains(of[cell], b) {
			of[cell] = append(of[cell], b)
		}
	}
	return of
})

// makerTimes is tables/maker-times.csv by cell.
var makerTimes = sync.OnceValue(func() map[string][]MakerTime {
	m := map[string][]MakerTime{}
	for _, r := range data.Rows("maker-times.csv") {
		t := MakerTime{
			Kind: TimeKind(r.Text("kind")), LowH: r.Number("low_h"), HighH: r.Number("high_h"),
			ABVPercent: r.Number("abv"), Celsius: r.Number("celsius"), DoseRatio: r.Number("dose_ratio"),
			Weight: r.Number("weight"), Source: r.Text("source"), Grade: Practice, Note: r.Text("note"),
		}
		if t.Source != habits {
			t.Grade = Derived
		}
		m[r.Text("cell")] = append(m[r.Text("cell")], t)
	}
	return m
})
