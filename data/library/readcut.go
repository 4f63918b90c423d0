package library

import (
	"fmt"
	"math"
	"slices"
	"steepbook/data/names"
	"strings"
)

type cutIn struct {
	Cut
	Taught
	Marc        string      `toml:"marc"`         // a row of tables/marc.toml
	Brings      string      `toml:"brings"`       // an ingredient whose make-up it shares
	BringsShare *float64    `toml:"brings_share"` // eatable share, 0 to 1
	BringsAlike bool        `toml:"brings_alike"` // that ingredient is only a likeness
	Measures    []measureIn `toml:"measures"`
}

type measureIn struct {
	Measure
	FDC    int    `toml:"fdc"` // FoodData Central id: source and grade follow from it
	Source string `toml:"source"`
	Grade  Grade  `toml:"grade"`
	Note   string `toml:"note"`
}

// cuts reads the cuts of a botanical; what has none is as Unknown.
func (r *reader) cuts(path []any, in []cutIn, b *Botanical) error {
	b.Cuts = slices.Clone(b.Cuts)
	var rates map[string]rateRow
	if !r.own {
		rates = ratesOf(b.Name)
	}
	for i := range in {
		p := at(at(path, "cut"), i)
		name := in[i].Name
		if strings.TrimSpace(name) == "" {
			return r.fault(p, `name = "whole"`, "a cut needs a name")
		}
		j := slices.IndexFunc(b.Cuts,
			func(c Cut) bool { return names.Key(words(c.Name)) == names.Key(words(name)) })
		if j < 0 {
			b.Cuts = append(b.Cuts, Cut{Name: name, Botanical: b.Name, Dust: isDust(name)})
			j = len(b.Cuts) - 1
		}
		c := &b.Cuts[j]
		if row, ok := rates[name]; ok {
			c.RatePerH, c.RateGSD, c.FirstTasteH = row.rate, row.gsd, row.firstH
			c.EarlyShare, c.Makers = row.early, row.makers
		} else if !r.own {
			return r.fault(p, "", "data/tables/rates.csv has no line for %s, %s", b.Name, name)
		}
		if err := r.cut(p, &in[i], c); err != nil {
			return err
		}
	}
	if len(b.Cuts) == 0 {
		b.Cuts = []Cut{*Unknown()}
	}
	return nil
}

func (r *reader) cut(path []any, in *cutIn, c *Cut) error {
	before := *c
	if in.Marc != "" {
		m, err := r.lib.marc(in.Marc)
		if err != nil {
			return r.fault(at(path, "marc"), "", "%v", err)
		}
		c.HeldMLPerG, c.PressedMLPerG = m.Held, m.Pressed
	}
	if in.Brings != "" {
		if err := r.brings(path, in, c); err != nil {
			return err
		}
	}
	if r.given(path, "late_off") {
		c.LateOffH = Number{}
	}
	if err := lay(r, path, c, &in.Cut, c); err != nil {
		return err
	}
	ms, err := r.measures(path, in.Measures)
	if err != nil {
		return err
	}
	c.Measures = append(ms, c.Measures...)
	c.fillIn(r.given(path, "held_ml_per_g") && !r.given(path, "pressed_ml_per_g"))
	if err := r.rate(path, in, &before, c); err != nil {
		return err
	}
	if bring := c.WaterGPerG.Value + c.SugarGPerG.Value + c.AcidGPerG.Value; bring > 1 {
		return r.fault(path, "", "water, sugar and acid add to %.2f g per g, more than there is", bring)
	}
	return nil
}

// fillIn gives a cut what Unknown has where nothing is known; what it holds
// pressed follows from what it holds drained where only that was given.
func (c *Cut) fillIn(drainedOnly bool) {
	u := Unknown()
	if !c.RatePerH.Known() {
		c.RatePerH, c.RateGSD = u.RatePerH, u.RateGSD
		if !c.EarlyShare.Known() {
			c.EarlyShare = u.EarlyShare
		}
	}
	if !c.HeldMLPerG.Known() {
		c.HeldMLPerG, c.PressedMLPerG = u.HeldMLPerG, u.PressedMLPerG
	}
	if !c.PressedMLPerG.Known() || drainedOnly {
		n := c.HeldMLPerG.scaled(0.6)
		c.PressedMLPerG = judged(n.Value, n.Low, n.High, "six tenths of what it holds drained")
	}
}

// rate completes the rate: its spread, who taught it, its range, the first tasting.
func (r *reader) rate(path []any, in *cutIn, before, c *Cut) error {
	given := r.given(path, "rate_per_h")
	if given && !r.given(path, "rate_gsd") && in.RatePerH.High > in.RatePerH.Low {
		// A range stands for its 90 %.
		c.RateGSD = math.Pow(in.RatePerH.High/in.RatePerH.Low, 1/(2*z90))
	}
	if !(c.RateGSD > 1) || c.RateGSD > 20 {
		return r.fault(at(path, "rate_gsd"), "rate_gsd = 3",
			"the spread of a rate is a factor above 1 and at most 20")
	}
	if err := r.taught(path, in, before, c); err != nil {
		return err
	}
	f := math.Pow(c.RateGSD, z90)
	c.RatePerH.Low, c.RatePerH.High = c.RatePerH.Value/f, c.RatePerH.Value*f
	if !r.given(path, "first_taste_h") && (c.FirstTasteH == 0 || given) {
		// A quarter of half the time to 80 % of the plateau, ln 5/k.
		c.FirstTasteH = roundTime(math.Log(5) / c.RatePerH.Value / 8)
	}
	if !(c.FirstTasteH > 0) {
		return r.fault(at(path, "first_taste_h"), "first_taste_h = 4",
			"the first tasting must come after 0 h")
	}
	return nil
}

// taught reads which batches taught a rate, and keeps what stood before it.
func (r *reader) taught(path []any, in *cutIn, before, c *Cut) error {
	t := in.Taught
	given := r.given(path, "rate_per_h")
	p := at(path, "taught_by")
	if !r.doc.Has(p...) && t.RoomC == nil && t.ABVPercent == nil {
		if given {
			c.Taught = nil
		}
		return nil
	}
	const right = `taught_by = ["orange.toml"]`
	switch {
	case len(t.By) == 0:
		return r.fault(p, right, "taught_by names no batch file")
	case !given:
		return r.fault(p, "rate_per_h = 0.2",
			"taught_by says which batches taught rate_per_h, so that must stand beside it")
	}
	for i, name := range t.By {
		if strings.TrimSpace(name) == "" || strings.ContainsAny(name, `/\`) {
			return r.fault(at(p, i), right, "%q is no file beside this one", name)
		}
	}
	if v := t.RoomC; v != nil && !(*v >= -20 && *v <= 100) {
		return r.fault(at(path, "taught_room_c"), "taught_room_c = 20", "nothing steeps at %g °C", *v)
	}
	if v := t.ABVPercent; v != nil && !(*v >= 0 && *v <= 97) {
		return r.fault(at(path, "taught_abv"), "taught_abv = 40",
			"a strength runs from 0 to 97 %% vol, not %g", *v)
	}
	if !before.RatePerH.Known() {
		before = Unknown()
		if !c.EarlyShare.Known() {
			c.EarlyShare = before.EarlyShare // the tastings were read with it
		}
	}
	t.before = rates{before.RatePerH, before.RateGSD, before.FirstTasteH}
	c.Taught = &t
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
func (r *reader) brings(path []any, in *cutIn, c *Cut) error {
	ing, err := r.lib.Ingredient(in.Brings)
	if err != nil {
		return r.fault(at(path, "brings"), "", "%v", err)
	}
	share := 1.0
	if in.BringsShare != nil {
		share = *in.BringsShare
	}
	if !(share > 0) || share > 1 {
		return r.fault(at(path, "brings_share"), "brings_share = 0.9",
			"the eatable share is above 0 and at most 1")
	}
	p := ing.Per100G
	of := func(g float64) Number {
		v := g / 100 * share
		n := Number{Value: v, Low: v, High: v, Source: p.Source, Grade: p.Grade, Note: "as " + ing.Name}
		if in.BringsAlike {
			n.Grade, n.Note = Judgement, "by likeness to "+ing.Name
		}
		return n
	}
	c.WaterGPerG, c.SugarGPerG, c.AcidGPerG = of(p.Water), of(p.Sugars()), of(p.Acids())
	c.AshGPer100G, c.ProteinGPer100G = of(100*p.Ash), of(100*p.Protein)
	if !p.AcidGrade.Decides() {
		c.AcidGPerG.Grade = p.AcidGrade
	}
	c.Sugars = SugarSplit{p.Sucrose, p.Glucose + p.Maltose/2, p.Fructose}.shares()
	c.Acid = ing.Acid
	return nil
}

// buffers fills in the ash and protein of cuts that bring none of their own: the
// plant's, else the most of its kind, or of all plants where the maker names none.
func (r *reader) buffers(path []any, b *Botanical, unkind bool) error {
	wet := "dry"
	if b.Fresh {
		wet = "fresh"
	}
	most, ok := bufferOf(b.Name)
	switch {
	case ok:
	case unkind:
		most = buffer{Unknown().AshGPer100G, Unknown().ProteinGPer100G}
	default:
		if most, ok = bufferOf("(" + wet + " " + b.Kind + ")"); !ok {
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

// measures reads what kitchen measures and pieces weigh.
func (r *reader) measures(path []any, in []measureIn) ([]Measure, error) {
	var out []Measure
	for i := range in {
		m, p := &in[i], at(at(path, "measures"), i)
		n := &m.Grams
		switch {
		case !r.given(p, "g") || !(n.Low > 0):
			return nil, r.fault(p, `{ unit = "tsp", g = 2.1 }`, "a measure needs its weight in g, above 0")
		case m.Unit == "":
			return nil, r.fault(p, `{ unit = "piece", g = 0.08 }`, "a measure needs a unit")
		case m.Noun != "" && m.Unit != "piece":
			return nil, r.fault(p, `{ unit = "piece", noun = "pod", g = 0.2 }`,
				"only pieces are counted by a noun")
		}
		if m.Source != "" {
			n.Source, n.Grade = m.Source, m.Grade
			if err := r.listed(p, m.Source); err != nil {
				return nil, err
			}
		}
		if m.Note != "" {
			n.Note = m.Note
		}
		if m.FDC != 0 {
			n.Source, n.Grade = "usda-fdc", Published
			n.Note = strings.TrimPrefix(n.Note+fmt.Sprintf("; USDA FDC %d", m.FDC), "; ")
		}
		var measure Measure
		if err := lay(r, p, &measure, &m.Measure, &measure); err != nil {
			return nil, err
		}
		out = append(out, measure)
	}
	return out, nil
}

// dustWords are the words of a cut's name that say it cannot be picked out of a
// jar by hand.
var dustWords = []string{"ground", "powder", "powdered", "grated", "fine zest"}

// pieceWords are those of what is picked out by hand, though it has the times of a grated
// form.
var pieceWords = []string{"sliced", "slices", "chopped", "quartered", "cubed", "diced", "ribbons"}

// DustAs is Dust of a form as the maker wrote it: what shares the times of a grated form may
// be sliced.
func (c *Cut) DustAs(written string) bool {
	ws := words(written)
	return c.Dust && (slices.Contains(ws, "finely") || !slices.ContainsFunc(pieceWords,
		func(p string) bool { return slices.Contains(ws, p) }))
}

// isDust reports whether a cut is one that only straining through a cloth or
// filter takes out again.
func isDust(cut string) bool {
	have := words(cut)
	return slices.ContainsFunc(dustWords, func(d string) bool { return covered(words(d), have) >= 0 })
}
