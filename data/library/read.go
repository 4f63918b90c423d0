package library

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"steepbook/data/strict"
)

// What the files look like, and how they become the types of this package.
// The same reading serves the embedded files and the maker's own file; in the
// latter, an entry that names something known changes only what it gives.

// number is a figure as written: 0.4, [low, high], [low, typical, high], or a
// table with value, low, high, source, grade and note.
type number struct {
	given bool
	Number
}

// UnmarshalTOML reads any of the four forms.
func (x *number) UnmarshalTOML(v any) error {
	x.given = true
	switch v := v.(type) {
	case []any:
		fs := make([]float64, len(v))
		for i, e := range v {
			f, err := toFloat(e)
			if err != nil {
				return err
			}
			fs[i] = f
		}
		switch len(fs) {
		case 2:
			x.Low, x.High = fs[0], fs[1]
			x.Value = middle(x.Low, x.High)
		case 3:
			x.Low, x.Value, x.High = fs[0], fs[1], fs[2]
		default:
			return fmt.Errorf("a range is [low, high] or [low, typical, high]")
		}
	case map[string]any:
		return x.table(v)
	default:
		f, err := toFloat(v)
		if err != nil {
			return err
		}
		x.Value, x.Low, x.High = f, f, f
	}
	return x.ordered()
}

func (x *number) table(m map[string]any) error {
	given := map[string]float64{}
	for k, v := range m {
		switch k {
		case "value", "low", "high":
			f, err := toFloat(v)
			if err != nil {
				return err
			}
			given[k] = f
		case "source", "grade", "note":
			s, ok := v.(string)
			if !ok {
				return fmt.Errorf("%s must be text in quotation marks", k)
			}
			switch k {
			case "source":
				x.Source = s
			case "grade":
				x.Grade = Grade(s)
			case "note":
				x.Note = s
			}
		default:
			return fmt.Errorf("unknown key %q: a figure has value, low, high, source, grade and note", k)
		}
	}
	value, hasValue := given["value"]
	low, hasLow := given["low"]
	high, hasHigh := given["high"]
	switch {
	case !hasValue && !(hasLow && hasHigh):
		return fmt.Errorf("a figure needs a value, or low and high")
	case !hasValue:
		value = middle(low, high)
	}
	if !hasLow {
		low = value
	}
	if !hasHigh {
		high = value
	}
	x.Value, x.Low, x.High = value, low, high
	return x.ordered()
}

func (x *number) ordered() error {
	if !(x.Low <= x.Value && x.Value <= x.High) {
		return fmt.Errorf("low, typical and high must rise: %g, %g, %g", x.Low, x.Value, x.High)
	}
	return nil
}

// middle is the typical value between two ends: geometric where both are
// positive, because most figures here scatter by a factor.
func middle(low, high float64) float64 {
	if low > 0 && high > 0 {
		m := math.Sqrt(low * high)
		// Three figures are plenty for a made-up middle.
		p := math.Pow(10, 2-math.Floor(math.Log10(m)))
		return min(max(math.Round(m*p)/p, low), high)
	}
	return (low + high) / 2
}

func toFloat(v any) (float64, error) {
	var f float64
	switch v := v.(type) {
	case float64:
		f = v
	case int64:
		f = float64(v)
	default:
		return 0, fmt.Errorf("a number is wanted here, not %T", v)
	}
	if !finite(f) {
		return 0, fmt.Errorf("a number is wanted here, not %v", f)
	}
	return f, nil
}

type rawSplit struct {
	Sucrose  float64 `toml:"sucrose"`
	Glucose  float64 `toml:"glucose"`
	Fructose float64 `toml:"fructose"`
}

func (r *rawSplit) split() SugarSplit {
	if r == nil {
		return SugarSplit{}
	}
	sum := r.Sucrose + r.Glucose + r.Fructose
	if !(sum > 0) {
		return SugarSplit{}
	}
	return SugarSplit{r.Sucrose / sum, r.Glucose / sum, r.Fructose / sum}
}

type rawMeasure struct {
	Unit   string `toml:"unit"`
	Noun   string `toml:"noun"`
	Of     string `toml:"of"`
	G      number `toml:"g"`
	FDC    int    `toml:"fdc"` // FoodData Central id: source and grade follow from it
	Source string `toml:"source"`
	Grade  Grade  `toml:"grade"`
	Note   string `toml:"note"`
}

type rawCut struct {
	Name       string       `toml:"name"`
	Names      []string     `toml:"names"`
	Rate       number       `toml:"rate_per_h"`
	GSD        *float64     `toml:"rate_gsd"`
	TaughtBy   []string     `toml:"taught_by"`     // batch files the rate was learned from
	TaughtRoom *float64     `toml:"taught_room_c"` // the room and strength that the rate is for
	TaughtABV  *float64     `toml:"taught_abv"`
	Early      number       `toml:"early_share"`
	LateOff    *string      `toml:"late_off"`
	LateH      number       `toml:"late_off_h"`
	Dose       number       `toml:"dose_g_per_l"`
	FirstTaste *float64     `toml:"first_taste_h"`
	Brings     string       `toml:"brings"`       // an ingredient whose make-up it shares
	BringsPart *float64     `toml:"brings_share"` // eatable share, 0 to 1
	BringsLike bool         `toml:"brings_alike"` // that ingredient is only a likeness
	Water      number       `toml:"water_g_per_g"`
	Sugar      number       `toml:"sugar_g_per_g"`
	Sugars     *rawSplit    `toml:"sugars"`
	Acids      number       `toml:"acid_g_per_g"`
	Acid       *string      `toml:"acid"`
	Ash        number       `toml:"ash_g_per_100g"`
	Protein    number       `toml:"protein_g_per_100g"`
	Marc       string       `toml:"marc"` // a row of the marc table
	Held       number       `toml:"held_ml_per_g"`
	Pressed    number       `toml:"pressed_ml_per_g"`
	Measures   []rawMeasure `toml:"measures"`
}

type rawBotanical struct {
	Name         string   `toml:"name"`
	Names        []string `toml:"names"`
	Kind         *string  `toml:"kind"`
	Class        *string  `toml:"class"`
	Fierce       *bool    `toml:"fierce"`
	OilRich      *bool    `toml:"oil_rich"`
	Pectin       *bool    `toml:"pectin"`
	Fresh        *bool    `toml:"fresh"`
	LowAcidFresh *bool    `toml:"low_acid_fresh"`
	FreshOrDry   *bool    `toml:"fresh_or_dry"`
	Nut          *bool    `toml:"nut"`
	Caffeine     *bool    `toml:"caffeine"`
	Red          *bool    `toml:"red"`
	Citral       *bool    `toml:"citral"`
	Gum          *bool    `toml:"gum"`
	Allergens    []string `toml:"allergens"`
	Hazards      []string `toml:"hazards"`
	Note         *string  `toml:"note"`
	Forbidden    *string  `toml:"forbidden"`
	Cut          []rawCut `toml:"cut"`
}

type rawComposition struct {
	Water       float64  `toml:"water"`
	Ethanol     float64  `toml:"ethanol"`
	Sucrose     float64  `toml:"sucrose"`
	Glucose     float64  `toml:"glucose"`
	Fructose    float64  `toml:"fructose"`
	Maltose     float64  `toml:"maltose"`
	Lactose     float64  `toml:"lactose"`
	Glycerol    float64  `toml:"glycerol"`
	Citric      float64  `toml:"citric"`
	Malic       float64  `toml:"malic"`
	OtherAcid   float64  `toml:"other_acid"`
	Fat         float64  `toml:"fat"`
	Protein     float64  `toml:"protein"`
	Ash         float64  `toml:"ash"`
	OtherSolids float64  `toml:"other_solids"`
	PotassiumMG float64  `toml:"potassium_mg"`
	StrongIons  *float64 `toml:"strong_ions_mmol"`
	Source      string   `toml:"source"`
	Grade       Grade    `toml:"grade"`
	AcidGrade   Grade    `toml:"acid_grade"`
	Basis       string   `toml:"basis"`
}

type rawIngredient struct {
	Name         string          `toml:"name"`
	Names        []string        `toml:"names"`
	Kind         *string         `toml:"kind"`
	Liquid       *bool           `toml:"liquid"`
	Density      number          `toml:"density_g_per_ml"`
	Per100G      *rawComposition `toml:"per_100g"`
	PH           number          `toml:"ph"`
	Acids        number          `toml:"acid_g_per_100ml"`
	Acid         *string         `toml:"acid"`
	Nourishing   *bool           `toml:"nourishing"`
	FreshJuice   *bool           `toml:"fresh_juice"`
	Dairy        *bool           `toml:"dairy"`
	Egg          *bool           `toml:"egg"`
	NutMilk      *bool           `toml:"nut_milk"`
	Pectin       *bool           `toml:"pectin"`
	Red          *bool           `toml:"red"`
	Clock        *string         `toml:"clock"`
	Preservative *string         `toml:"preservative"`
	ActiveShare  *float64        `toml:"active_share"`
	Allergens    []string        `toml:"allergens"`
	Hazards      []string        `toml:"hazards"`
	Measures     []rawMeasure    `toml:"measures"`
	Note         *string         `toml:"note"`
}

type rawSpirit struct {
	Name       string    `toml:"name"`
	Names      []string  `toml:"names"`
	ABV        number    `toml:"abv_percent"`
	Sugar      number    `toml:"sugar_g_per_100g"`
	Sugars     *rawSplit `toml:"sugars"`
	Acids      number    `toml:"acid_g_per_100g"`
	Acid       *string   `toml:"acid"`
	PH         number    `toml:"ph"`
	Nourishing *bool     `toml:"nourishing"`
	Wine       *string   `toml:"wine"`
	OilRich    *bool     `toml:"oil_rich"`
	Dairy      *bool     `toml:"dairy"`
	Egg        *bool     `toml:"egg"`
	Allergens  []string  `toml:"allergens"`
	Hazards    []string  `toml:"hazards"`
	Note       *string   `toml:"note"`
}

type rawSource struct {
	Key     string `toml:"key"`
	Authors string `toml:"authors"`
	Title   string `toml:"title"`
	Where   string `toml:"where"`
	Year    int    `toml:"year"`

	Unsigned bool `toml:"unsigned"`
}

type rawHazard struct {
	Key       string `toml:"key"`
	Substance string `toml:"substance"`
	Text      string `toml:"text"`
	Source    string `toml:"source"`
	Grade     Grade  `toml:"grade"`
	Of        string `toml:"of"`
	MGPerG    number `toml:"mg_per_g"`
	OfDry     bool   `toml:"of_dry"`
	GPerDay   number `toml:"limit_g_per_day"`
}

type rawLimit struct {
	Substance string  `toml:"substance"`
	Of        string  `toml:"of"`
	Except    string  `toml:"except"`
	OverABV   float64 `toml:"over_abv"`
	ToABV     float64 `toml:"to_abv"`
	MGPerL    number  `toml:"mg_per_l"`
	MGPerDay  number  `toml:"mg_per_day"`
	Harm      bool    `toml:"harm"`
	Exempt    string  `toml:"exempt"`
}

type rawAllergen struct {
	Key    string `toml:"key"`
	Name   string `toml:"name"`
	US     string `toml:"us"`
	EU     string `toml:"eu"`
	Source string `toml:"source"`
	Grade  Grade  `toml:"grade"`
	Note   string `toml:"note"`
}

type rawMarc struct {
	Name    string `toml:"name"`
	Held    number `toml:"held_ml_per_g"`
	Pressed number `toml:"pressed_ml_per_g"`
}

type rawConstant struct {
	Name   string   `toml:"name"`
	Value  float64  `toml:"value"`
	Low    *float64 `toml:"low"`
	High   *float64 `toml:"high"`
	Unit   string   `toml:"unit"`
	Source string   `toml:"source"`
	Grade  Grade    `toml:"grade"`
	Note   string   `toml:"note"`
}

// rawFile is any file of the library: the embedded ones hold one kind each,
// the maker's may hold all.
type rawFile struct {
	Botanical  []rawBotanical  `toml:"botanical"`
	Ingredient []rawIngredient `toml:"ingredient"`
	Spirit     []rawSpirit     `toml:"spirit"`
	Source     []rawSource     `toml:"source"`
}

// reader turns one file's raw entries into library values.
type reader struct {
	lib *Library
	doc *strict.Document
	own bool // the maker's file: figures without a source are the maker's own
}

// fault is an error at a path of the file.
func (r *reader) fault(path []any, right, format string, args ...any) error {
	return r.doc.Errorf(path, right, format, args...)
}

// put copies a figure that was given, and fills in where it comes from.
func (r *reader) put(dst *Number, src number, path []any, source string, grade Grade, lowest, highest float64) error {
	if !src.given {
		return nil
	}
	n := src.Number
	if n.Source == "" {
		n.Source, n.Grade = source, grade
		if r.own {
			n.Source, n.Grade = OwnSource, Own
		}
	}
	if n.Grade == "" && r.own {
		n.Grade = Own
	}
	if n.Source == "" {
		return r.fault(path, "", "the figure names no source")
	}
	if !n.Grade.valid() {
		return r.fault(path, `grade = "practice"`, "unknown grade %q", string(n.Grade))
	}
	if n.Low < lowest || n.High > highest {
		return r.fault(path, "", "%s must lie between %g and %g", path[len(path)-1], lowest, highest)
	}
	*dst = n
	return nil
}

func set[T any](dst *T, src *T) {
	if src != nil {
		*dst = *src
	}
}

// fact is one fact of an entry that is read on the careful side.
type fact struct {
	key  string
	dst  *bool
	src  *bool
	held bool // built in, or said by the very name
}

// facts sets them. A library file may add to what is built in, or said by the
// name, and take nothing of it away, else a batch would keep longer for a line in
// another file.
func (r *reader) facts(path []any, name string, list ...fact) error {
	for _, f := range list {
		if r.own && f.held && f.src != nil && !*f.src {
			return r.fault(at(path, f.key), f.key+" = true", "%s is %s, and a library file cannot lift that", name, strings.ReplaceAll(f.key, "_", " "))
		}
		set(f.dst, f.src)
	}
	return nil
}

// said is what the names of an own entry say: all of them where it is new, else
// those that it adds, beside what stood there before.
func (r *reader) said(isNew bool, names []string, was Kin, before func() Kin) func() Kin {
	return sync.OnceValue(func() Kin {
		if isNew {
			return r.lib.kinOf(names...)
		}
		return was.and(r.lib.kinOf(names[1:]...)).and(saidBy(before))
	})
}

// first returns the first error of several steps.
func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func at(path []any, key any) []any { return append(slices.Clone(path), key) }

// oneOf checks a word against a list.
func (r *reader) oneOf(path []any, word string, known []string) error {
	if slices.Contains(known, word) {
		return nil
	}
	hint := ""
	if n, ok := strict.Nearest(word, known); ok {
		hint = fmt.Sprintf("; did you mean %q?", n)
	}
	return r.fault(path, "", "%q is none of %s%s", word, strings.Join(known, ", "), hint)
}

func (r *reader) measures(path []any, raw []rawMeasure) ([]Measure, error) {
	var out []Measure
	for i, m := range raw {
		p := at(at(path, "measures"), i)
		n := m.G.Number
		if !m.G.given || !(n.Low > 0) {
			return nil, r.fault(p, `{ unit = "tsp", g = 2.1 }`, "a measure needs its weight in g, above 0")
		}
		if m.Unit == "" {
			return nil, r.fault(p, `{ unit = "piece", g = 0.08 }`, "a measure needs a unit")
		}
		if m.Noun != "" && m.Unit != "piece" {
			return nil, r.fault(p, `{ unit = "piece", noun = "pod", g = 0.2 }`, "only pieces are counted by a noun")
		}
		if m.Source != "" {
			n.Source, n.Grade = m.Source, m.Grade
		}
		if m.Note != "" {
			n.Note = m.Note
		}
		if m.FDC != 0 {
			n.Source, n.Grade = "usda-fdc", Published
			n.Note = strings.TrimPrefix(n.Note+fmt.Sprintf("; USDA FDC %d", m.FDC), "; ")
		}
		var grams Number
		err := r.put(&grams, number{true, n}, p, "", "", 0, 1e5)
		if err != nil {
			return nil, err
		}
		out = append(out, Measure{Unit: m.Unit, Noun: m.Noun, Of: m.Of, Grams: grams})
	}
	return out, nil
}

func (r *reader) cut(path []any, raw rawCut, c *Cut) error {
	before := *c
	if !r.own {
		if err := r.lib.rated(c); err != nil {
			return r.fault(path, "", "%v", err)
		}
	}
	if raw.Marc != "" {
		m, err := r.lib.marc(raw.Marc)
		if err != nil {
			return r.fault(at(path, "marc"), "", "%v", err)
		}
		c.HeldMLPerG, c.PressedMLPerG = m.held, m.pressed
	}
	if raw.Brings != "" {
		if err := r.brings(path, raw, c); err != nil {
			return err
		}
	}
	set(&c.RateGSD, raw.GSD)
	set(&c.LateOff, raw.LateOff)
	if raw.LateOff != nil && !raw.LateH.given {
		c.LateOffH = Number{}
	}
	set(&c.Acid, raw.Acid)
	if raw.Sugars != nil {
		c.Sugars = raw.Sugars.split()
	}
	err := first(
		r.put(&c.RatePerH, raw.Rate, at(path, "rate_per_h"), "", "", 1e-6, 1000),
		r.put(&c.EarlyShare, raw.Early, at(path, "early_share"), "steepbook", Judgement, 0, 1),
		r.put(&c.LateOffH, raw.LateH, at(path, "late_off_h"), habits, Practice, 0, 1e5),
		r.put(&c.DoseGPerL, raw.Dose, at(path, "dose_g_per_l"), habits, Practice, 0, 2000),
		r.put(&c.WaterGPerG, raw.Water, at(path, "water_g_per_g"), "", "", 0, 1),
		r.put(&c.SugarGPerG, raw.Sugar, at(path, "sugar_g_per_g"), "", "", 0, 1),
		r.put(&c.AcidGPerG, raw.Acids, at(path, "acid_g_per_g"), "", "", 0, 1),
		r.put(&c.AshGPer100G, raw.Ash, at(path, "ash_g_per_100g"), "", "", 0, 100),
		r.put(&c.ProteinGPer100G, raw.Protein, at(path, "protein_g_per_100g"), "", "", 0, 100),
		r.put(&c.HeldMLPerG, raw.Held, at(path, "held_ml_per_g"), "", "", 0, 20),
		r.put(&c.PressedMLPerG, raw.Pressed, at(path, "pressed_ml_per_g"), "", "", 0, 20),
	)
	if err != nil {
		return err
	}
	ms, err := r.measures(path, raw.Measures)
	if err != nil {
		return err
	}
	c.Measures = append(ms, c.Measures...)
	if !c.RatePerH.Known() {
		u := Unknown()
		c.RatePerH, c.RateGSD = u.RatePerH, u.RateGSD
		if !c.EarlyShare.Known() {
			c.EarlyShare = u.EarlyShare
		}
	}
	if !c.HeldMLPerG.Known() {
		c.HeldMLPerG, c.PressedMLPerG = Unknown().HeldMLPerG, Unknown().PressedMLPerG
	}
	if !c.PressedMLPerG.Known() || raw.Held.given && !raw.Pressed.given {
		c.PressedMLPerG = c.HeldMLPerG.scaled(0.6)
		c.PressedMLPerG.Source, c.PressedMLPerG.Grade, c.PressedMLPerG.Note = "steepbook", Judgement, "six tenths of what it holds drained"
	}
	if raw.Rate.given && raw.GSD == nil && raw.Rate.High > raw.Rate.Low {
		// A range stands for its 90 %.
		c.RateGSD = math.Pow(raw.Rate.High/raw.Rate.Low, 1/(2*z90))
	}
	if !(c.RateGSD > 1) || c.RateGSD > 20 {
		return r.fault(at(path, "rate_gsd"), "rate_gsd = 3", "the spread of a rate is a factor above 1 and at most 20")
	}
	if err := r.taught(path, raw, &before, c); err != nil {
		return err
	}
	f := math.Pow(c.RateGSD, z90)
	c.RatePerH.Low, c.RatePerH.High = c.RatePerH.Value/f, c.RatePerH.Value*f
	switch {
	case raw.FirstTaste != nil:
		c.FirstTasteH = *raw.FirstTaste
	case c.FirstTasteH == 0 || raw.Rate.given:
		// A quarter of half the time to 80 % of the plateau, ln 5/k.
		c.FirstTasteH = roundTime(math.Log(5) / c.RatePerH.Value / 8)
	}
	if !(c.FirstTasteH > 0) {
		return r.fault(at(path, "first_taste_h"), "first_taste_h = 4", "the first tasting must come after 0 h")
	}
	if bring := c.WaterGPerG.Value + c.SugarGPerG.Value + c.AcidGPerG.Value; bring > 1 {
		return r.fault(path, "", "water, sugar and acid add to %.2f g per g, more than there is", bring)
	}
	return nil
}

// taught reads which batches taught a rate, and keeps what stood before it.
func (r *reader) taught(path []any, raw rawCut, before, c *Cut) error {
	if raw.TaughtBy == nil && raw.TaughtRoom == nil && raw.TaughtABV == nil {
		if raw.Rate.given {
			c.Taught = nil
		}
		return nil
	}
	const right = `taught_by = ["orange.toml"]`
	p := at(path, "taught_by")
	switch {
	case len(raw.TaughtBy) == 0:
		return r.fault(p, right, "taught_by names no batch file")
	case !raw.Rate.given:
		return r.fault(p, "rate_per_h = 0.2", "taught_by says which batches taught rate_per_h, so that must stand beside it")
	}
	t := &Taught{By: slices.Clone(raw.TaughtBy), RoomC: raw.TaughtRoom, ABVPercent: raw.TaughtABV}
	for i, name := range t.By {
		if strings.TrimSpace(name) == "" || strings.ContainsAny(name, `/\`) {
			return r.fault(at(p, i), right, "%q is no file beside this one", name)
		}
	}
	if v := t.RoomC; v != nil && !(*v >= -20 && *v <= 100) {
		return r.fault(at(path, "taught_room_c"), "taught_room_c = 20", "nothing steeps at %g °C", *v)
	}
	if v := t.ABVPercent; v != nil && !(*v >= 0 && *v <= 97) {
		return r.fault(at(path, "taught_abv"), "taught_abv = 40", "a strength runs from 0 to 97 %% vol, not %g", *v)
	}
	if !before.RatePerH.Known() {
		before = Unknown()
		if !c.EarlyShare.Known() {
			c.EarlyShare = before.EarlyShare // the tastings were read with it
		}
	}
	t.before = rates{before.RatePerH, before.RateGSD, before.FirstTasteH}
	c.Taught = t
	return nil
}

// roundTime rounds a time to what a clock is set to.
func roundTime(h float64) float64 {
	for _, nice := range []float64{0.1, 0.25, 0.5, 1, 2, 3, 4, 6, 8, 12, 16, 24, 36, 48, 72, 96, 120, 168} {
		if h <= nice*1.2 {
			return nice
		}
	}
	return math.Round(h/168) * 168
}

// brings copies water, sugars, acids, ash and protein from an ingredient.
func (r *reader) brings(path []any, raw rawCut, c *Cut) error {
	ing, err := r.lib.Ingredient(raw.Brings)
	if err != nil {
		return r.fault(at(path, "brings"), "", "%v", err)
	}
	share := 1.0
	set(&share, raw.BringsPart)
	if !(share > 0) || share > 1 {
		return r.fault(at(path, "brings_share"), "brings_share = 0.9", "the eatable share is above 0 and at most 1")
	}
	p := ing.Per100G
	of := func(g float64) Number {
		v := g / 100 * share
		n := Number{Value: v, Low: v, High: v, Source: p.Source, Grade: p.Grade, Note: "as " + ing.Name}
		if raw.BringsLike {
			n.Grade, n.Note = Judgement, "by likeness to "+ing.Name
		}
		return n
	}
	c.WaterGPerG, c.SugarGPerG, c.AcidGPerG = of(p.Water), of(p.Sugars()), of(p.Acids())
	c.AshGPer100G, c.ProteinGPer100G = of(100*p.Ash), of(100*p.Protein)
	if !p.AcidGrade.Decides() {
		c.AcidGPerG.Grade = p.AcidGrade
	}
	c.Sugars = (&rawSplit{p.Sucrose, p.Glucose + p.Maltose/2, p.Fructose}).split()
	c.Acid = ing.Acid
	return nil
}

func (r *reader) botanical(path []any, raw rawBotanical, b *Botanical) error {
	if r.own && b.Forbidden != "" && !b.Own && raw.Forbidden != nil {
		// The maker may add a reason, and take none away.
		if strings.TrimSpace(*raw.Forbidden) == "" {
			return r.fault(at(path, "forbidden"), `note = "for the garden only"`, "%s must not be steeped (%s); a library file cannot lift that, it can only add a note", b.Name, b.Forbidden)
		}
		both := b.Forbidden + "; " + *raw.Forbidden
		raw.Forbidden = &both
	}
	own, was := r.own && b.Kind == "", *b
	b.Own = b.Own || r.own
	lowAcid := was.LowAcidFresh
	if r.own {
		b.said = r.said(own, append([]string{b.Name}, raw.Names...), Kin{Botanicals: []*Botanical{&was}}, was.said)
	}
	if own {
		lowAcid = b.likeKin(b.Said(), &raw)
	}
	nut := b.Nut
	for _, n := range raw.Names {
		if !slices.Contains(b.Names, n) {
			b.Names = append(b.Names, n)
		}
	}
	set(&b.Kind, raw.Kind)
	set(&b.Class, raw.Class)
	set(&b.Fierce, raw.Fierce)
	set(&b.OilRich, raw.OilRich)
	set(&b.Pectin, raw.Pectin)
	if err := r.facts(path, b.Name, fact{"fresh", &b.Fresh, raw.Fresh, was.Fresh}, fact{"low_acid_fresh", &b.LowAcidFresh, raw.LowAcidFresh, lowAcid},
		fact{"fresh_or_dry", &b.FreshOrDry, raw.FreshOrDry, was.FreshOrDry}, fact{"nut", &b.Nut, raw.Nut, nut}); err != nil {
		return err
	}
	set(&b.Caffeine, raw.Caffeine)
	set(&b.Red, raw.Red)
	set(&b.Citral, raw.Citral)
	set(&b.Gum, raw.Gum)
	set(&b.Note, raw.Note)
	set(&b.Forbidden, raw.Forbidden)
	unkind := r.own && b.Kind == ""
	if unkind {
		b.Kind = "spice"
	}
	if r.own && b.Class == "" {
		b.Class = "aroma"
	}
	if err := first(
		r.oneOf(at(path, "kind"), b.Kind, Kinds()),
		r.oneOf(at(path, "class"), b.Class, Classes()),
	); err != nil {
		return err
	}
	var err error
	if b.Allergens, err = r.allergens(path, raw.Allergens, b.Allergens); err != nil {
		return err
	}
	if b.Hazards, err = r.hazards(path, raw.Hazards, b.Hazards); err != nil {
		return err
	}
	if b.Forbidden != "" {
		if len(raw.Cut) > 0 {
			return r.fault(at(path, "cut"), "", "%s must not be steeped and has no cuts: %s", b.Name, b.Forbidden)
		}
		b.Cuts = nil
		return nil
	}
	for i, rc := range raw.Cut {
		p := at(at(path, "cut"), i)
		if strings.TrimSpace(rc.Name) == "" {
			return r.fault(p, `name = "whole"`, "a cut needs a name")
		}
		j := slices.IndexFunc(b.Cuts, func(c Cut) bool { return nameKey(c.Name) == nameKey(rc.Name) })
		if j < 0 {
			b.Cuts = append(b.Cuts, Cut{Name: rc.Name, Botanical: b.Name, Dust: isDust(rc.Name)})
			j = len(b.Cuts) - 1
		}
		b.Cuts[j].Names = append(b.Cuts[j].Names, rc.Names...)
		if err := r.cut(p, rc, &b.Cuts[j]); err != nil {
			return err
		}
	}
	if len(b.Cuts) == 0 {
		b.Cuts = []Cut{*Unknown()}
	}
	for i := range b.Cuts {
		if own && b.LowAcidFresh && !b.Cuts[i].WaterGPerG.Known() {
			b.Cuts[i].WaterGPerG = Stranger().WaterGPerG
		}
		b.Cuts[i].Botanical = b.Name
		b.Cuts[i].name = b.Name + ", " + b.Cuts[i].Name
	}
	if w := b.Cuts[0].WaterGPerG; b.Fresh && !b.FreshOrDry && w.Known() {
		b.Hazards = slices.Clone(b.Hazards)
		for i := range b.Hazards {
			b.Hazards[i].asWeighed(w)
		}
	}
	return r.buffers(path, b, unkind)
}

// buffers fills in the ash and protein of cuts that bring none of their own: the
// plant's, else the most of its kind, or of all plants where the maker names none.
func (r *reader) buffers(path []any, b *Botanical, unkind bool) error {
	table, err := r.lib.tables.buffers()
	if err != nil {
		return r.fault(path, "", "%v", err)
	}
	wet := "dry"
	if b.Fresh {
		wet = "fresh"
	}
	most, ok := table[b.Name]
	switch {
	case ok:
	case unkind:
		most = bufferRow{Unknown().AshGPer100G, Unknown().ProteinGPer100G}
	default:
		if most, ok = table["("+wet+" "+b.Kind+")"]; !ok {
			return r.fault(path, "", "data/tables/buffers.csv has no line for %s %s", wet, b.Kind)
		}
	}
	for i := range b.Cuts {
		c := &b.Cuts[i]
		if !c.AshGPer100G.Known() {
			c.AshGPer100G = most.ash
		}
		if !c.ProteinGPer100G.Known() {
			c.ProteinGPer100G = most.protein
		}
	}
	return nil
}

func (r *reader) allergens(path []any, keys []string, have []Allergen) ([]Allergen, error) {
	for i, k := range keys {
		a, err := r.lib.allergen(k)
		if err != nil {
			return nil, r.fault(at(at(path, "allergens"), i), "", "%v", err)
		}
		if !slices.ContainsFunc(have, func(x Allergen) bool { return x.Name == a.Name }) {
			have = append(have, a)
		}
	}
	return have, nil
}

func (r *reader) hazards(path []any, keys []string, have []Hazard) ([]Hazard, error) {
	for i, k := range keys {
		h, err := r.lib.hazard(k)
		if err != nil {
			return nil, r.fault(at(at(path, "hazards"), i), "", "%v", err)
		}
		if !slices.ContainsFunc(have, func(x Hazard) bool { return x.Key == h.Key }) {
			have = append(have, h)
		}
	}
	return have, nil
}

func (r *reader) ingredient(path []any, raw rawIngredient, g *Ingredient) error {
	own, was := r.own && g.Kind == "", *g
	held := was
	if r.own {
		g.said = r.said(own, append([]string{g.Name}, raw.Names...), Kin{Ingredients: []*Ingredient{&was}}, was.said)
	}
	if own {
		held = g.likeKin(g.Said(), &raw)
	}
	g.Own = g.Own || r.own
	for _, n := range raw.Names {
		if !slices.Contains(g.Names, n) {
			g.Names = append(g.Names, n)
		}
	}
	set(&g.Kind, raw.Kind)
	set(&g.Liquid, raw.Liquid)
	set(&g.Acid, raw.Acid)
	if err := r.facts(path, g.Name, fact{"nourishing", &g.Nourishing, raw.Nourishing, held.Nourishing}, fact{"fresh_juice", &g.FreshJuice, raw.FreshJuice, held.FreshJuice},
		fact{"dairy", &g.Dairy, raw.Dairy, held.Dairy}, fact{"egg", &g.Egg, raw.Egg, held.Egg}, fact{"nut_milk", &g.NutMilk, raw.NutMilk, held.NutMilk}); err != nil {
		return err
	}
	set(&g.Pectin, raw.Pectin)
	set(&g.Red, raw.Red)
	if raw.Clock != nil {
		if err := r.oneOf(at(path, "clock"), *raw.Clock, clocks()); err != nil {
			return err
		}
		g.Clock = *raw.Clock
	}
	set(&g.Preservative, raw.Preservative)
	set(&g.ActiveShare, raw.ActiveShare)
	set(&g.Note, raw.Note)
	if r.own && g.Kind == "" {
		g.Kind = "other"
	}
	err := first(
		r.oneOf(at(path, "kind"), g.Kind, IngredientKinds()),
		r.put(&g.DensityGPerML, raw.Density, at(path, "density_g_per_ml"), "", "", 0.6, 2),
		r.put(&g.PH, raw.PH, at(path, "ph"), "", "", 0, 14),
		r.put(&g.AcidGPer100ML, raw.Acids, at(path, "acid_g_per_100ml"), "", "", 0, 100),
	)
	if err != nil {
		return err
	}
	if c := raw.Per100G; c != nil {
		g.Per100G = Composition{
			Water: c.Water, Ethanol: c.Ethanol,
			Sucrose: c.Sucrose, Glucose: c.Glucose, Fructose: c.Fructose, Maltose: c.Maltose, Lactose: c.Lactose,
			Glycerol: c.Glycerol, Citric: c.Citric, Malic: c.Malic, OtherAcid: c.OtherAcid,
			Fat: c.Fat, Protein: c.Protein, Ash: c.Ash, OtherSolids: c.OtherSolids,
			PotassiumMG: c.PotassiumMG, StrongIonsMMol: c.StrongIons, Source: c.Source, Grade: c.Grade, AcidGrade: c.AcidGrade, Basis: c.Basis,
		}
		if r.own && g.Per100G.Source == "" {
			g.Per100G.Source, g.Per100G.Grade = OwnSource, Own
		}
		if c := &g.Per100G; r.own && c.Ash+c.Protein+c.PotassiumMG == 0 && c.OtherSolids+c.Acids() > 0 && c.Acids() < pureAcid {
			table, err := r.lib.tables.buffers()
			if err != nil {
				return r.fault(path, "", "%v", err)
			}
			most := table["("+g.Kind+")"]
			c.UntoldAsh, c.UntoldProtein = most.ash.Value, most.protein.Value
		}
	}
	p := at(path, "per_100g")
	const right = "per_100g = { water = 34, sucrose = 66 }"
	if g.Per100G.Source == "" {
		return r.fault(p, right, "%s needs its make-up per 100 g", g.Name)
	}
	if !g.Per100G.Grade.valid() {
		return r.fault(at(p, "grade"), "", "unknown grade %q", string(g.Per100G.Grade))
	}
	if g.Per100G.AcidGrade == "" {
		g.Per100G.AcidGrade = g.Per100G.Grade
	}
	if !g.Per100G.AcidGrade.valid() {
		return r.fault(at(p, "acid_grade"), "", "unknown grade %q", string(g.Per100G.AcidGrade))
	}
	for _, v := range g.Per100G.parts() {
		if !(v >= 0) || v > 100 {
			return r.fault(p, right, "the make-up of %s has a part outside 0 to 100 g", g.Name)
		}
	}
	if sum := g.Per100G.Sum(); !(math.Abs(sum-100) <= 1.5) {
		return r.fault(p, right, "the make-up of %s adds to %.4g g per 100 g; put what is not named under other_solids or water", g.Name, sum)
	}
	if g.Liquid && !g.DensityGPerML.Known() {
		return r.fault(at(path, "density_g_per_ml"), "density_g_per_ml = 1.33", "%s is a liquid and needs its density", g.Name)
	}
	ms, err := r.measures(path, raw.Measures)
	if err != nil {
		return err
	}
	g.Measures = append(ms, g.Measures...)
	if g.Allergens, err = r.allergens(path, raw.Allergens, g.Allergens); err != nil {
		return err
	}
	g.Hazards, err = r.hazards(path, raw.Hazards, g.Hazards)
	return err
}

// pureAcid is the acid, g per 100 g, from which an ingredient is an acid as such,
// in a bottle or a bag, and nothing beside it is asked for. Judgement.
const pureAcid = 50.0

// parts lists every field in g per 100 g.
func (c Composition) parts() []float64 {
	return []float64{c.Water, c.Ethanol, c.Sucrose, c.Glucose, c.Fructose, c.Maltose, c.Lactose, c.Glycerol,
		c.Citric, c.Malic, c.OtherAcid, c.Fat, c.Protein, c.Ash, c.OtherSolids, c.PotassiumMG / 1000}
}

func (r *reader) spirit(path []any, raw rawSpirit, s *Spirit) error {
	own, was := r.own && !s.ABVPercent.Known(), *s
	held := was
	if r.own {
		s.said = r.said(own, append([]string{s.Name}, raw.Names...), Kin{Spirits: []*Spirit{&was}}, was.said)
	}
	if own {
		held = s.likeKin(s.Said())
	}
	s.Own = s.Own || r.own
	for _, n := range raw.Names {
		if !slices.Contains(s.Names, n) {
			s.Names = append(s.Names, n)
		}
	}
	if raw.Sugars != nil {
		s.Sugars = raw.Sugars.split()
	}
	set(&s.Acid, raw.Acid)
	if err := r.facts(path, s.Name, fact{"nourishing", &s.Nourishing, raw.Nourishing, held.Nourishing}, fact{"dairy", &s.Dairy, raw.Dairy, held.Dairy}, fact{"egg", &s.Egg, raw.Egg, held.Egg}); err != nil {
		return err
	}
	set(&s.OilRich, raw.OilRich)
	if raw.Wine != nil {
		if err := r.oneOf(at(path, "wine"), *raw.Wine, wineKinds); err != nil {
			return err
		}
		if r.own && stricterWine(held.Wine, *raw.Wine) {
			return r.fault(at(path, "wine"), `wine = "`+held.Wine+`"`, "%s is %s wine, and a library file cannot lift that", s.Name, held.Wine)
		}
		s.Wine = *raw.Wine
	}
	set(&s.Note, raw.Note)
	err := first(
		r.put(&s.ABVPercent, raw.ABV, at(path, "abv_percent"), habits, Practice, 0, 97),
		r.put(&s.SugarGPer100G, raw.Sugar, at(path, "sugar_g_per_100g"), "", "", 0, 80),
		r.put(&s.AcidGPer100G, raw.Acids, at(path, "acid_g_per_100g"), "", "", 0, 20),
		r.put(&s.PH, raw.PH, at(path, "ph"), "", "", 0, 14),
	)
	if err != nil {
		return err
	}
	if !s.ABVPercent.Known() {
		return r.fault(at(path, "abv_percent"), "abv_percent = 40", "%s needs a strength", s.Name)
	}
	if s.SugarGPer100G.Value > 0 && s.Sugars == (SugarSplit{}) {
		s.Sugars = SugarSplit{Sucrose: 1}
	}
	if s.Nourishing {
		table, err := r.lib.tables.buffers()
		if err != nil {
			return r.fault(path, "", "%v", err)
		}
		most := table["(spirit)"]
		if s.Dairy || s.Egg {
			most = table["(cream spirit)"]
		}
		s.UntoldAsh, s.UntoldProtein = most.ash.Value, most.protein.Value
	}
	tol := r.lib.Constant(LabelToleranceABVPercent)
	s.LabelToleranceABV, s.LabelToleranceABVSource = tol.Value, tol.Source
	if s.Allergens, err = r.allergens(path, raw.Allergens, s.Allergens); err != nil {
		return err
	}
	s.Hazards, err = r.hazards(path, raw.Hazards, s.Hazards)
	return err
}
