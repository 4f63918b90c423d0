// Package sidebyside words what differs between batches, and a blind tasting of two.
package sidebyside

import (
	"cmp"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"steepbook/cmd/internal/compare"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/quantity"
	"steepbook/shelf"
)

// letter names the batches of a comparison A, B, C …
func letter(i int) string { return string(rune('A' + i)) }

// Screen is what differs between batches, the most telling thing first: what must not be drunk of one of them
// above all.
func Screen(c *compare.Comparison, style pen.Style) pen.Screen {
	s := pen.Screen{Say: []string{headline(c)}, Head: []string{""}}
	if text := nextChange(c, style); text != "" {
		s.Say = append(s.Say, text)
	}
	var names, stops, dangers, whose []string
	for i, a := range c.Batches {
		begins := bottle.Begin(a)
		for _, stop := range append(begins.Say, bottle.WasStopped(a, 0)) {
			if stop != "" {
				stops = append(stops, letter(i)+": "+stop)
			}
		}
		for _, d := range begins.Danger {
			k := slices.IndexFunc(dangers, func(x string) bool { return bottle.Alike(x, d) })
			if k < 0 {
				dangers, whose = append(dangers, d), append(whose, letter(i))
			} else {
				whose[k] += ", and " + letter(i) + " alike"
			}
		}
		names = append(names, fmt.Sprintf("%s is %s (%s)", letter(i), a.Batch.Name,
			filepath.Base(a.Batch.File)))
		s.Head = append(s.Head, letter(i))
	}
	for i, d := range dangers {
		s.Danger = append(s.Danger, whose[i]+": "+d)
	}
	s.Say = slices.Concat(stops, append(s.Say, quantity.And(names)+"."))
	s.Head = append(s.Head, letter(0)+" to "+letter(len(c.Batches)-1))
	for i := range c.Rows {
		r := &c.Rows[i]
		row := []string{r.Name()}
		for _, cell := range r.Cells {
			row = append(row, cellText(style, r, cell))
		}
		s.Rows = append(s.Rows, append(row, changeText(r)))
	}
	for i := range c.Forms {
		if text := formChange(&c.Forms[i]); text != "" {
			s.Notes = append(s.Notes, text)
		}
	}
	for _, m := range c.Mixed {
		if m.Flavours = without(m.Flavours, c.Next); len(m.Flavours) > 0 {
			s.Notes = append(s.Notes, mixedUp(m))
		}
	}
	if text := alike(c); text != "" {
		s.Notes = append(s.Notes, text)
	}
	return s.Said(style.Units)
}

// Compare prints what differs between batches; with why all of it, what went in apart
// from what came out.
func Compare(p *pen.Page, c *compare.Comparison, why bool) error {
	if p.JSON {
		return p.WriteJSON(compareJSON(p, c))
	}
	s := Screen(c, p.Style)
	if !why {
		p.Screen(s, pen.OfScreen)
		return p.Done()
	}
	notes := s.Notes
	s.Head, s.Rows, s.Notes = nil, nil, nil
	p.Screen(s, pen.Whole)
	differences(p, c, compare.WentIn, "what went in")
	differences(p, c, compare.CameOut, "what came out")
	p.Line("")
	p.Items(notes)
	return p.Done()
}

func differences(p *pen.Page, c *compare.Comparison, part compare.Half, title string) {
	header := []string{title}
	for i := range c.Batches {
		header = append(header, letter(i))
	}
	header = append(header, letter(0)+" to "+letter(len(c.Batches)-1))
	var rows [][]string
	room := 30
	if len(c.Batches) > 2 {
		room = 22
	}
	about := ""
	for i := range c.Rows {
		r := &c.Rows[i]
		if r.Part != part {
			continue
		}
		name := r.Name()
		if r.About != "" && (r.About == about || grouped(c.Rows, i)) {
			if r.About != about {
				rows = append(rows, append([]string{r.About}, make([]string, len(c.Batches)+1)...))
			}
			name = "  " + r.What
		}
		about = r.About
		if r.Note != "" {
			name += ", " + r.Note
		}
		row := []string{name}
		for _, cell := range r.Cells {
			text := cellText(p.Style, r, cell)
			if !cell.Number {
				text = pen.Clip(text, room)
			}
			row = append(row, text)
		}
		rows = append(rows, append(row, changeText(r)))
	}
	if len(rows) > 0 {
		p.Line("")
		p.Table(header, rows)
	}
}

// grouped reports whether the row after row i speaks of the same thing.
func grouped(rows []compare.Row, i int) bool {
	return i+1 < len(rows) && rows[i+1].About == rows[i].About && rows[i+1].Part == rows[i].Part
}

func cellText(p pen.Style, r *compare.Row, c compare.Cell) string {
	switch {
	case c.Missing && c.Text != "":
		return c.Text
	case c.Missing && r.Part == compare.CameOut:
		return "not known"
	case c.Missing:
		return "not written"
	case !c.Number:
		return c.Text
	}
	text := figureText(p, r, c)
	switch {
	case c.WasML > 0:
		_, most := largest(r)
		text += ", " + quantity.FormatVolumeAmong(c.WasML, most, p.Units)
	case c.Note != "":
		text += ", " + c.Note
	}
	return text
}

// largest is the most of a row [ml], in whose unit the others are told.
func largest(r *compare.Row) (value, was float64) {
	for i := range r.Cells {
		value, was = math.Max(value, r.Cells[i].Value), math.Max(was, r.Cells[i].WasML)
	}
	return value, was
}

func figureText(p pen.Style, r *compare.Row, c compare.Cell) string {
	switch r.Unit {
	case compare.Hours:
		if c.Value == 0 {
			return "at the start"
		}
		return quantity.Span(c.Value)
	case compare.ML:
		most, _ := largest(r)
		return quantity.FormatVolumeAmong(c.Value, most, p.Units)
	case compare.Grams:
		return p.Mass(c.Value)
	case compare.GPerLBase:
		return pen.Significant(c.Value, 3) + " g/L"
	case compare.MLPerLBase:
		if p.Units == quantity.US { // as prices are
			return pen.Significant(quantity.FluidOunces(c.Value)*32/quantity.FluidOunces(1000), 3) +
				" fl oz/qt"
		}
		return pen.Significant(c.Value, 3) + " ml/L"
	case compare.Celsius:
		return p.Temperature(c.Value)
	case compare.Score:
		if c.High > c.Low {
			return fmt.Sprintf("%s (%s-%s)", pen.Score(c.Value), pen.Score(math.Max(c.Low, 0)),
				pen.Score(c.High))
		}
		return pen.Trim(c.Value)
	case compare.PerLitre:
		return p.PerLitre(c.Value)
	case compare.PH:
		return pen.Fixed(c.Value, 2)
	case compare.ABV:
		return pen.Fixed(c.Value, 1) + " %"
	case compare.GPerL:
		return pen.Fixed(c.Value, gramDecimals(c.Value)) + " g/L"
	}
	return pen.Significant(c.Value, 3)
}

// changeText is what became of a number from the first batch to the last;
// empty where nothing did.
func changeText(r *compare.Row) string {
	x, y := r.Cells[0], r.Cells[len(r.Cells)-1]
	if !x.Number || !y.Number || x.Missing || y.Missing {
		return ""
	}
	d := y.Value - x.Value
	switch r.Unit {
	case compare.Score:
		text := signed(d, 1, "")
		if text != "" && x.High > x.Low && !r.Sure {
			text += ", within the ranges"
		}
		return text
	case compare.Celsius:
		return ""
	case compare.ABV:
		return signed(d, 1, " % vol")
	case compare.PH:
		return signed(d, 2, "")
	case compare.GPerL:
		return signed(d, gramDecimals(math.Max(x.Value, y.Value)), " g/L")
	case compare.Hours, compare.PerLitre:
		// a jar still steeping has no time yet, and what lacks a price no cost
		if x.Note != "" || y.Note != "" {
			return ""
		}
	}
	if x.Value <= 0 || y.Value <= 0 {
		return ""
	}
	switch ratio := y.Value / x.Value; {
	case ratio >= 1.95:
		return pen.Significant(ratio, 2) + " times"
	case ratio <= 1/1.95:
		return "1/" + pen.Significant(1/ratio, 2)
	default:
		return signed(100*(ratio-1), 0, " %")
	}
}

// signed prints a difference with its sign, and nothing for none.
func signed(v float64, decimals int, unit string) string {
	s := pen.Fixed(v, decimals)
	switch {
	case strings.Trim(s, "-0.") == "":
		return ""
	case !strings.HasPrefix(s, "-"):
		s = "+" + s
	}
	return s + unit
}

// gramDecimals gives acid a tenth of a gram and sugar whole ones.
func gramDecimals(v float64) int {
	if v > 0 && v < 10 {
		return 1
	}
	return 0
}

func alike(c *compare.Comparison) string {
	var parts []string
	if c.Alike == 1 {
		parts = append(parts, "One other thing is the same and not shown.")
	} else if c.Alike > 1 {
		parts = append(parts, fmt.Sprintf("%d other things are the same and not shown.", c.Alike))
	}
	if len(c.Gaps) > 0 {
		parts = append(parts,
			fmt.Sprintf("Not written in each, so nobody can tell: %s.", strings.Join(c.Gaps, "; ")))
	}
	return strings.Join(parts, " ")
}

// headline is the most telling difference in one sentence.
func headline(c *compare.Comparison) string {
	h := &c.Headline
	a, b := letter(h.From), letter(h.To)
	switch h.Kind {
	case compare.HeadSame:
		return "As written these batches are the same."
	case compare.HeadKeeping:
		return fmt.Sprintf("%s %s, %s %s.", b, keepsWords(h.Row.Cells[h.To].Where), a,
			keepsWords(h.Row.Cells[h.From].Where))
	case compare.HeadFlavour:
		x, y := h.Row.Cells[h.From], h.Row.Cells[h.To]
		came := than(y.Value-x.Value, "up", "down")
		s := fmt.Sprintf("The %s came %s from %s in %s to %s in %s (in the bottle", h.Row.About, came,
			pen.Score(x.Value), a, pen.Score(y.Value), b)
		if h.Row.Note != "" {
			s += ", " + h.Row.Note
		}
		return s + ")" + causes(h.Causes) + "."
	case compare.HeadPace:
		f := h.Pace
		return fmt.Sprintf("After %s the %s stands at %s in the bottle of %s; at that hour %s had %s%s.",
			quantity.Span(f.Hours), f.Flavour, pen.Score(f.To.Value), b, a, pen.Score(f.From.Value),
			causes(h.Causes))
	case compare.HeadFigure:
		x, y := h.Row.Cells[h.From], h.Row.Cells[h.To]
		is, of, decimals := than(y.Value-x.Value, "sweeter", "less sweet"), "g/L sugar", 0
		if h.Row.What == "alcohol" {
			is, of, decimals = than(y.Value-x.Value, "stronger", "weaker"), "% vol", 1
		}
		return fmt.Sprintf("%s is %s than %s: %s %s against %s.", b, is, a, pen.Fixed(y.Value, decimals), of,
			pen.Fixed(x.Value, decimals))
	case compare.HeadSeen:
		x, y := seenWords(h.Row, h.From), seenWords(h.Row, h.To)
		return fmt.Sprintf("Seen in %s: %s; in %s: %s.", a, x, b, y)
	}
	if h.In == 0 {
		return fmt.Sprintf("Between %s and %s nothing that went in or came out can be told apart.", a, b)
	}
	changed := "one thing was changed"
	if h.In > 1 {
		changed = fmt.Sprintf("%d things were changed", h.In)
	}
	return fmt.Sprintf("From %s to %s %s; nothing came out differently that the "+
		"tastings or the sums can tell.", a, b, changed)
}

// seenWords are what was seen of one batch.
func seenWords(r *compare.Row, batch int) string {
	if text := r.Cells[batch].Text; text != "-" {
		return pen.Clip(text, 80)
	}
	return "nothing"
}

// causes says what acts on a flavour and was changed.
func causes(changes []string) string {
	switch len(changes) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("; of what acts on it only %s was changed", changes[0])
	}
	return "; changed about it: " + quantity.And(changes)
}

func than(d float64, more, less string) string {
	if d < 0 {
		return less
	}
	return more
}

func keepsWords(verdict string) string {
	words := map[string]string{
		shelf.VerdictShelf:   "keeps on the shelf",
		shelf.VerdictFridge:  "has to stand in the fridge",
		shelf.VerdictFreezer: "has to go into the freezer",
	}[verdict]
	return cmp.Or(words, "should not be kept as it is written")
}

// formChange warns that a new form is a new dose. A smaller weight of a finer
// form was meant so and needs no word, unless it holds something limited.
func formChange(f *compare.FormChange) string {
	where := fmt.Sprintf("The %s went from %s in %s to %s in %s", f.Name, f.From, letter(f.FromBatch), f.To,
		letter(f.ToBatch))
	speed := ""
	switch r := f.RateRatio; {
	case r >= 1.2:
		speed = fmt.Sprintf("; it is usually about %s times as fast in that form", pen.Significant(r, 1))
	case r > 0 && r <= 1/1.2:
		speed = fmt.Sprintf("; it is usually about %s times slower in that form", pen.Significant(1/r, 1))
	}
	if f.OneInLibrary != "" {
		speed = fmt.Sprintf("; the library has one set of figures for both (%q), so how much faster or "+
			"slower it is nobody knows yet", f.OneInLibrary)
	}
	holds := ""
	if len(f.Substances) > 0 && (f.RateRatio == 0 || f.RateRatio > 1) {
		holds = fmt.Sprintf(" It holds %s, and a finer form gives it up faster and more "+
			"fully: start with less.", quantity.And(f.Substances))
	}
	switch {
	case f.SameWeight():
		return fmt.Sprintf("%s at the same weight: that is a new dose, not the same one%s. Taste it "+
			"early, and weigh it anew.%s", where, speed, holds)
	case f.DoseRatio == 0:
		return fmt.Sprintf("%s, and its weight is not known in both: take it for a new "+
			"dose%s. Taste it early.%s", where, speed, holds)
	case f.DoseRatio > 1:
		return fmt.Sprintf("%s, and the weight rose with it (%s times): that is a new "+
			"dose%s. Taste it early.%s", where, pen.Significant(f.DoseRatio, 2), speed, holds)
	case holds != "":
		return where + " at a smaller weight" + speed + "." + holds
	}
	return ""
}

// without leaves out the flavour of which the advice has said it already.
func without(flavours []string, ad compare.NextTime) []string {
	if len(ad.Changed) == 0 {
		return flavours
	}
	return slices.DeleteFunc(slices.Clone(flavours),
		func(f string) bool { return strings.EqualFold(f, ad.Flavour) })
}

func mixedUp(m compare.Mixed) string {
	return fmt.Sprintf("On the %s %s were changed at once, and they cannot be told apart: "+
		"change one thing next time.", quantity.And(m.Flavours), quantity.And(m.Changes))
}
