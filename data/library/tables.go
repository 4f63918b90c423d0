package library

import (
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"sync"

	"steepbook/data"
	"steepbook/data/strict"
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

	// SpoonSpread, CupSpread, PourSpread and PieceSpread are 90 % ranges of what
	// was meant by one spoon, cup or piece, as a factor of the typical weight.
	SpoonSpread Constant = "spoon_spread"
	CupSpread   Constant = "cup_spread"
	PourSpread  Constant = "pour_spread"
	PieceSpread Constant = "piece_spread"

	// ScaleErrorG and ScaleErrorShare: a kitchen scale is off by up to the
	// first, but by no more than the second times the mass.
	ScaleErrorG     Constant = "scale_error_g"
	ScaleErrorShare Constant = "scale_error_share"

	DashML  Constant = "dash_ml"  // a dash of a liquid
	DropML  Constant = "drop_ml"  // a drop
	PinchML Constant = "pinch_ml" // a pinch of a powder, by volume

	SplashML  Constant = "splash_ml"  // a splash of a liquid
	HandfulML Constant = "handful_ml" // a handful, by volume

	// LabelToleranceABVPercent is how far a spirit label may be off, ± % vol.
	LabelToleranceABVPercent Constant = "label_tolerance_abv_percent"
)

// Constant returns a constant with its range, source and grade; the zero
// Number for a name that is not there.
func (l *Library) Constant(c Constant) Number {
	n, _ := l.tables.constants.row(string(c))
	return n
}

// tables are the small files that entries refer to, each read when first wanted.
type tables struct {
	rates     *rateTable
	times     func() (map[string][]MakerTime, error)
	buffers   func() (map[string]bufferRow, error)
	meanings  func() *catalog[meaning]
	constants *lazyTable[Number]
	marcs     *lazyTable[marcRow]
	allergens *lazyTable[Allergen]
	hazards   *lazyTable[Hazard]
}

type marcRow struct{ held, pressed Number }

// bufferRow is a line of tables/buffers.csv.
type bufferRow struct{ ash, protein Number }

// clocks are the names of tables/flavour-clock.csv.
var clocks = sync.OnceValue(func() []string {
	var names []string
	for _, r := range data.Rows("flavour-clock.csv") {
		if n := r.Text("clock"); !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	return names
})

func readBuffers(files fs.FS) (map[string]bufferRow, error) {
	m := map[string]bufferRow{}
	err := eachRow(files, "tables/buffers.csv", func(r *csvRow) {
		figure := func(column string) Number {
			v := r.number(column)
			n := Number{Value: v, Low: v, High: v, Source: r.text("source"), Grade: Grade(r.text("grade")), Note: r.text("note")}
			if !(v >= 0 && v <= 100) || !n.Grade.valid() {
				r.fail("%s must lie between 0 and 100, with a known grade", column)
			}
			return n
		}
		key := r.text("plant")
		if _, twice := m[key]; twice {
			r.fail("%s is written twice", key)
		}
		m[key] = bufferRow{figure("ash_g_per_100g"), figure("protein_g_per_100g")}
	})
	return m, err
}

// lazyTable is a file of entries that are decoded one by one, each when it is first
// wanted.
type lazyTable[T any] struct {
	kind string
	rows func() map[string]func() (T, error)
}

func newTable[T, Raw any](files fs.FS, path, kind string, build func(r *reader, x Raw, at []any) (T, error)) *lazyTable[T] {
	return &lazyTable[T]{kind, sync.OnceValue(func() map[string]func() (T, error) {
		rows := map[string]func() (T, error){}
		for _, h := range headers(files, path, kind) {
			rows[h.name] = sync.OnceValues(func() (row T, err error) {
				var raw map[string][]Raw
				doc, err := h.decode(&raw)
				if err != nil {
					return row, err
				}
				return build(&reader{doc: doc}, raw[kind][0], []any{kind, 0})
			})
		}
		return rows
	})}
}

func newTables(files fs.FS) *tables {
	limits := sync.OnceValues(func() ([]Limit, error) { return readLimits(files) })
	return &tables{
		rates:    newRateTable(files),
		times:    sync.OnceValues(func() (map[string][]MakerTime, error) { return readTimes(files) }),
		buffers:  sync.OnceValues(func() (map[string]bufferRow, error) { return readBuffers(files) }),
		meanings: sync.OnceValue(func() *catalog[meaning] { return readMeanings(files) }),
		constants: newTable(files, "tables/constants.toml", "constant", func(r *reader, c rawConstant, at []any) (Number, error) {
			n := Number{Value: c.Value, Low: c.Value, High: c.Value, Source: c.Source, Grade: c.Grade, Note: c.Note}
			set(&n.Low, c.Low)
			set(&n.High, c.High)
			if c.Source == "" || !c.Grade.valid() || n.Low > n.Value || n.High < n.Value {
				return n, r.fault(at, "", "constant %q needs a source, a grade and a rising range", c.Name)
			}
			return n, nil
		}),
		marcs: newTable(files, "tables/marc.toml", "marc", func(r *reader, x rawMarc, path []any) (row marcRow, err error) {
			err = first(
				r.put(&row.held, x.Held, at(path, "held_ml_per_g"), "", "", 0, 20),
				r.put(&row.pressed, x.Pressed, at(path, "pressed_ml_per_g"), "", "", 0, 20),
			)
			return row, err
		}),
		allergens: newTable(files, "hazards/allergens.toml", "allergen", func(r *reader, a rawAllergen, at []any) (Allergen, error) {
			var err error
			if a.Key == "" || a.Name == "" || a.Source == "" || !a.Grade.valid() {
				err = r.fault(at, "", "an allergen needs key, name, source and grade")
			}
			return Allergen{Name: a.Name, US: a.US, EU: a.EU, Source: a.Source, Grade: a.Grade, Note: a.Note}, err
		}),
		hazards: newTable(files, "hazards/hazards.toml", "hazard", func(r *reader, x rawHazard, path []any) (Hazard, error) {
			h := Hazard{Key: x.Key, Substance: x.Substance, Text: x.Text, Source: x.Source, Grade: x.Grade, Of: x.Of, OfDry: x.OfDry}
			if h.Key == "" || h.Substance == "" || h.Text == "" || h.Source == "" || !h.Grade.valid() {
				return h, r.fault(path, "", "a hazard needs key, substance, text, source and grade")
			}
			err := first(
				r.put(&h.MGPerG, x.MGPerG, at(path, "mg_per_g"), "", "", 0, 1000),
				r.put(&h.LimitGPerDay, x.GPerDay, at(path, "limit_g_per_day"), "", "", 0, 1e3),
			)
			if err != nil {
				return h, err
			}
			list, err := limits()
			for _, l := range list {
				if l.fits(h) {
					h.Limits = append(h.Limits, l)
				}
			}
			return h, err
		}),
	}
}

func readLimits(files fs.FS) ([]Limit, error) {
	var f struct {
		Limit []rawLimit `toml:"limit"`
	}
	doc, err := decode(files, "hazards/limits.toml", &f)
	if err != nil {
		return nil, err
	}
	r := &reader{doc: doc}
	out := make([]Limit, len(f.Limit))
	for i, x := range f.Limit {
		path := []any{"limit", i}
		l := Limit{Substance: x.Substance, Of: x.Of, Except: x.Except, OverABV: x.OverABV, ToABV: x.ToABV, Harm: x.Harm, Exempt: x.Exempt}
		if l.Substance == "" || x.MGPerL.given == x.MGPerDay.given {
			return nil, r.fault(path, "", "a limit needs its substance, and one of mg_per_l and mg_per_day")
		}
		if err := first(
			r.put(&l.MGPerL, x.MGPerL, at(path, "mg_per_l"), "", "", 0, 1e4),
			r.put(&l.MGPerDay, x.MGPerDay, at(path, "mg_per_day"), "", "", 0, 1e4),
		); err != nil {
			return nil, err
		}
		out[i] = l
	}
	return out, nil
}

// row decodes one row; an unknown name offers the nearest.
func (t *lazyTable[T]) row(name string) (T, error) {
	rows := t.rows()
	if get := rows[name]; get != nil {
		return get()
	}
	var none T
	if n, ok := strict.Nearest(name, slices.Collect(maps.Keys(rows))); ok {
		return none, fmt.Errorf("there is no %s %q; did you mean %q?", t.kind, name, n)
	}
	return none, fmt.Errorf("there is no %s %q", t.kind, name)
}

// all decodes every row.
func (t *lazyTable[T]) all() (map[string]T, error) {
	m := map[string]T{}
	for name, get := range t.rows() {
		v, err := get()
		if err != nil {
			return nil, err
		}
		m[name] = v
	}
	return m, nil
}

func (l *Library) marc(name string) (marcRow, error)      { return l.tables.marcs.row(name) }
func (l *Library) allergen(name string) (Allergen, error) { return l.tables.allergens.row(name) }
func (l *Library) hazard(name string) (Hazard, error)     { return l.tables.hazards.row(name) }

// Hazards lists every hazard of the library by key, also those no botanical
// refers to.
func (l *Library) Hazards() map[string]Hazard {
	m, _ := l.tables.hazards.all()
	return m
}
