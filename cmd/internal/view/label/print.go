package label

import (
	"math"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/quantity"
	"steepbook/plots"
)

// Made is a label that was drawn.
type Made struct {
	Kind  Kind
	Label plots.Label
	Fit   plots.LabelFit
	Sheet *plots.Sheet // nil where it stands alone
	Paper string
	Files []string
}

// names are what the labels are called: one at the start of a sentence, one, and several.
var names = map[Kind][3]string{
	ForJar:    {"A jar label", "jar label", "jar labels"},
	ForBottle: {"A bottle label", "bottle label", "bottle labels"},
	ForOpened: {"A label for the open bottle", "label for the open bottle", "labels for the open bottle"},
}

// Print says what was drawn, and what a maker should know of it.
func Print(p *pen.Page, a *bench.Assessment, m *Made) error {
	if p.JSON {
		return p.WriteJSON(m.json(a))
	}
	for _, f := range m.Files {
		p.Line("wrote %s", f)
	}
	all := bottlesOf(a, m.Kind)
	last, of := all[len(all)-1], "of "+RulerOf(p.Units).Size(m.Label.WidthMM, m.Label.HeightMM)
	if last.number == bench.LeftOver && len(all) > 1 && m.Sheet == nil {
		all = all[:len(all)-1]
	}
	same, others := alike(all)
	switch one := all[0].open > 0 && len(all) > 1 && m.Sheet == nil; {
	case m.Label.Stop == "":
	case one:
		p.Answer("It says, for bottle %d: %s.", all[0].open, m.Label.Stop)
	default:
		p.Answer("It says: %s.", m.Label.Stop)
	}
	// of another bottle
	if k := a.Keep; m.Label.Stop == "" && m.Kind != ForJar && k.SafePast {
		p.Answer("%s", bottle.CanHurt(a)[0])
	}
	if s := m.Sheet; s == nil {
		p.Para("%s %s, 300 dots an inch: print it at its own size.", names[m.Kind][0], of)
		switch {
		case len(all) < 2:
		case all[0].open > 0:
			p.Item("it is for bottle %d: a --sheet has a label for each of the %d that are open", all[0].open,
				len(all))
		case m.Label.Stop != "":
		case others:
			p.Item("the bottles hold several drinks, and it is for those that were filled first: a --sheet has a label for each")
		case same > 1:
			p.Item("the bottles are of %d kinds, by size or by day, so it names no size: a --sheet has a label for each",
				same)
		}
		if last.number == bench.LeftOver && len(all) > 0 && all[len(all)-1].number != last.number {
			p.Item("what was left over has a label of its own on a --sheet")
		}
	} else {
		p.Para("%s %s on %s of %s, %d across and %d down: print it at its own size, not fitted to the page.",
			quantity.Counted(s.Count(), names[m.Kind][1], names[m.Kind][2]), of,
			quantity.Counted(s.Pages(), "page", "pages"), m.Paper, s.Grid.Columns, s.Grid.Rows)
	}
	switch s := m.Sheet; {
	case s == nil || !last.over || m.Label.Stop != "":
	case len(s.Labels) == len(all):
		p.Item("the last is for the %s that are over when the others are full", p.Volume(last.sizeML))
	default:
		p.Item("none of them is for the %s that are over when the others are full: without --count there is one",
			p.Volume(last.sizeML))
	}
	least, several := m.smallest()
	if w, h, over := side(&least); over {
		r := RulerOf(p.Units)
		step := max(r.MM/10, 1)
		p.Item("a bottle of %s may have room for no more than %s: hang it on, or take a taller bottle",
			p.Volume(least.BottleML), r.Size(w-math.Mod(w, step), h-math.Mod(h, step)))
	} else if several {
		p.Item("a sheet has labels of one size: it has to fit the bottle of %s too", p.Volume(least.BottleML))
	}
	for _, text := range m.Fit.LeftOut {
		p.Item("no room for: %s", text)
	}
	if m.Fit.Missing != "" {
		p.Item("no letters here for %s: each is printed as a square, so write the name in other letters too",
			m.Fit.Missing)
	}
	if m.Fit.LetterMM < plots.LetterMM-0.01 {
		p.Item("its small letters are %.1f mm high, which not everybody can read: a larger label has larger ones",
			m.Fit.LetterMM)
	}
	p.Para("For what is sold, the rules for labels differ by place: steepbook label --rules prints some.")
	return p.Done()
}

// smallest is the label of the smallest bottle, for all that are printed with it have its size; several: they
// are of bottles of several sizes.
func (m *Made) smallest() (least plots.Label, several bool) {
	if least = m.Label; m.Sheet == nil {
		return least, false
	}
	for _, c := range m.Sheet.Labels {
		if ml := c.Label.BottleML; ml > 0 && ml != least.BottleML {
			several = several || least.BottleML > 0
			if ml < least.BottleML || least.BottleML == 0 {
				least.BottleML = ml
			}
		}
	}
	return least, several
}

func (m *Made) json(a *bench.Assessment) pen.Object {
	in := Words(a, m.Kind, quantity.Metric)
	lines := pen.Each(in.Lines, func(l *plots.LabelLine) pen.Object {
		return pen.Object{pen.As("text", pen.Some(l.Text)), pen.As("strong", l.Strong), pen.As("large",
			l.Large),
			pen.As("blanks", l.Blanks)}
	})
	least, _ := m.smallest()
	_, _, over := side(&least)
	out := pen.Object{
		pen.As("batch", a.Batch.Name), pen.As("kind", m.Kind), pen.As("stop", pen.Some(in.Stop)),
		pen.As("lines", lines),
		pen.As("width_mm", m.Label.WidthMM), pen.As("height_mm", m.Label.HeightMM),
		pen.As("larger_than_side", over),
		pen.As("letter_mm", m.Fit.LetterMM), pen.As("capital_mm", m.Fit.CapitalMM),
		pen.As("left_out", m.Fit.LeftOut), pen.As("missing_characters", m.Fit.Missing),
	}
	if s := m.Sheet; s != nil {
		out = append(out, pen.As("count", s.Count()), pen.As("pages", s.Pages()), pen.As("columns",
			s.Grid.Columns),
			pen.As("rows", s.Grid.Rows))
	}
	return append(out, pen.As("files", m.Files))
}

// Rules prints what the law asks of labels on what is sold, as far as it is known here.
func Rules(p *pen.Page) error {
	list := ruleRows()
	if p.JSON {
		return p.WriteJSON(pen.Object{pen.As("rules", pen.Each(list, func(r *rule) pen.Object {
			return pen.Object{pen.As("place", r.place), pen.As("figure", pen.Some(r.figure)), pen.As("unit",
				pen.Some(r.unit)),
				pen.As("text", r.text), pen.As("source", r.source)}
		}))})
	}
	p.Answer("Rules for labels on what is sold differ by place; these are some, and not all.")
	p.Line("")
	p.Table([]string{"where", "figure", "what, and the rule"}, pen.Each(list, func(r *rule) []string {
		figure := ""
		if r.figure > 0 {
			figure = pen.Significant(r.figure, 2) + " " + r.unit
		}
		return []string{r.place, figure, r.text + " (" + r.source + ")"}
	}))
	p.Line("")
	p.Para("A present and your own shelf are not bound by them; whoever sells asks the authority of the place, " +
		"who may make it there and with what words on the bottle.")
	return p.Done()
}
