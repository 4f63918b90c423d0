package lookup

import (
	"cmp"
	"fmt"
	"slices"

	"steepbook/cmd/internal/pen"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// figureRow is one number of an entry, with where it comes from.
type figureRow struct {
	name, unit string
	n          library.Number
}

// said is a figure in the units of the maker.
func (r *figureRow) said(style pen.Style) (name, value, unit string) {
	size, unit := 1.0, r.unit
	if unit == "g" && style.Units == quantity.US {
		size, unit = quantity.Ounces(1), "oz wt"
	}
	value = pen.Significant(size*r.n.Value, 3)
	if r.n.Ranged() {
		value += fmt.Sprintf(" (%s-%s)", pen.Significant(size*r.n.Low, 3), pen.Significant(size*r.n.High, 3))
	}
	return r.name, value, unit
}

func cutFigures(c *library.Cut) []figureRow {
	rows := []figureRow{
		{"rate", "1/h", c.RatePerH}, {"washed out at once", "share", c.EarlyShare},
		{"usual dose", "g/L", c.DoseGPerL},
		{"late fault from", "h", c.LateOffH}, {"water it brings", "g/g", c.WaterGPerG},
		{"sugar it brings", "g/g", c.SugarGPerG},
		{"acid it brings", "g/g", c.AcidGPerG}, {"liquor kept, drained", "ml/g", c.HeldMLPerG},
		{"liquor kept, pressed", "ml/g", c.PressedMLPerG},
	}
	return append(rows, measureFigures(c.Measures)...)
}

func measureFigures(ms []library.Measure) []figureRow {
	return pen.Each(ms, func(m *library.Measure) figureRow {
		name := "1 " + cmp.Or(m.Noun, m.Unit)
		if m.Of != "" {
			name = m.Of + " of 1 " + cmp.Or(m.Noun, "fruit")
		}
		return figureRow{name, "g", m.Grams}
	})
}

func ingredientFigures(g *library.Ingredient) []figureRow {
	return append([]figureRow{
		{"density", "g/ml", g.DensityGPerML}, {"pH", "", g.PH},
		{"acid, titratable", "g/100 ml", g.AcidGPer100ML},
	}, measureFigures(g.Measures)...)
}

func spiritFigures(s *library.Spirit) []figureRow {
	return []figureRow{
		{"strength", "% vol", s.ABVPercent}, {"sugar", "g/100 g", s.SugarGPer100G},
		{"acid", "g/100 g", s.AcidGPer100G}, {"pH", "", s.PH},
	}
}

func hazardFigures(h library.Hazard) []figureRow {
	rows := []figureRow{{"content", "mg/g", h.MGPerG}}
	for _, l := range h.Limits {
		in := "limit in the drink"
		switch {
		case l.OverABV > 0:
			in += fmt.Sprintf(", over %g %% vol", l.OverABV)
		case l.ToABV > 0:
			in += fmt.Sprintf(", to %g %% vol", l.ToABV)
		}
		day := "limit a day"
		if l.Harm {
			day = "made people ill, a day"
		}
		rows = append(rows, figureRow{in, "mg/L", l.MGPerL}, figureRow{day, "mg", l.MGPerDay})
	}
	return append(rows, figureRow{"limit a day", "g of it", h.LimitGPerDay})
}

// Citations numbers the sources of a page in the order they are met.
type Citations struct {
	Lib  *library.Library // where they stand
	keys []string
}

func (c *Citations) number(key string) int {
	i := slices.Index(c.keys, key)
	if i < 0 {
		i = len(c.keys)
		c.keys = append(c.keys, key)
	}
	return i + 1
}

// Mark is the number of a source and how well it is known, "" for no source.
func (c *Citations) Mark(key string, g library.Grade) string {
	if key == "" {
		return ""
	}
	return fmt.Sprintf("[%d, %s]", c.number(key), g.Words())
}

func (c *Citations) table(p *pen.Page, rows []figureRow) {
	var out [][]string
	for _, r := range rows {
		if !r.n.Known() {
			continue
		}
		name, value, unit := r.said(p.Style)
		why := c.Mark(r.n.Source, r.n.Grade)
		if r.n.Note != "" {
			why += " " + r.n.Note
		}
		out = append(out, []string{"  " + name, value, unit, why})
	}
	if len(out) > 0 {
		p.Table([]string{"  figure", "value", "unit", "where from"}, out)
	}
}

// Print lists the sources by their numbers.
func (c *Citations) Print(p *pen.Page) {
	if len(c.keys) > 0 {
		p.Line("")
	}
	for i, k := range c.keys {
		s, ok := c.Lib.Source(k)
		if !ok {
			continue
		}
		p.Hung("", "    ", fmt.Sprintf("[%d] %s", i+1, s))
	}
}
