package compare

import (
	"math"
	"slices"
	"strings"

	"steepbook/cmd/internal/recipe"
	"steepbook/shelf/mixture"
)

// forms finds the botanicals whose cut changed from one batch to the next.
func (c *Comparison) forms() {
	for _, m := range c.herbs {
		last := -1
		for i, h := range m.of {
			if h == nil {
				continue
			}
			if last >= 0 {
				c.formChange(m.name, last, i, m.of[last], h)
			}
			last = i
		}
	}
}

func (c *Comparison) formChange(name string, from, to int, old, now *recipe.Botanical) {
	f, g := old.Form(), now.Form()
	if f.Text == "" || g.Text == "" || f.Same(g) {
		return
	}
	change := FormChange{Name: name, From: f.Text, To: g.Text, FromBatch: from, ToBatch: to}
	if a, b := old.DoseGPerL(c.sides[from].baseML), now.DoseGPerL(c.sides[to].baseML); a > 0 && b > 0 {
		change.DoseRatio = b / a
	} else if old.Weight != nil && now.Weight != nil && old.Weight.G > 0 && c.sides[from].baseML == 0 &&
		c.sides[to].baseML == 0 {
		change.DoseRatio = now.Weight.G / old.Weight.G
	}
	switch {
	case f.Lib == nil || g.Lib == nil:
	case f.Lib.Name == g.Lib.Name:
		change.OneInLibrary = f.Lib.Name
	case f.Lib.RatePerH.Value > 0:
		change.RateRatio = g.Lib.RatePerH.Value / f.Lib.RatePerH.Value
	}
	change.Substances = limited(now.Known)
	c.Forms = append(c.Forms, change)
}

// changed reports whether the maker changed a thing from one batch to another: what is wanted of a flavour is
// not how it was made, and a jar that still steeps has no time of its own yet.
func (r *Row) changed(from, to int) bool {
	x, y := r.Cells[from], r.Cells[to]
	return r.Part == WentIn && r.Unit != Score && !x.Missing && !y.Missing && !r.same(x, y) &&
		(r.Unit != Hours || x.Note == "" && y.Note == "")
}

// changesOn names what acts on a flavour and was changed between two batches,
// in the order in which a maker meets it.
func (c *Comparison) changesOn(name string, from, to int) []string {
	var out []string
	for i := range c.Rows {
		r := &c.Rows[i]
		if !r.changed(from, to) {
			continue
		}
		switch {
		case r.About == "" && (r.What == "spirit" || r.What == "strength of the base"):
			out = append(out, map[string]string{"spirit": "the spirit",
				"strength of the base": "its strength"}[r.What])
		case r.About == "" && r.What == "room":
			out = append(out, "the temperature")
		case strings.EqualFold(r.About, name) &&
			slices.Contains([]string{"time in the jar", "cut", "dose", "lot"}, r.What):
			out = append(out, "the "+r.What)
		}
	}
	return out
}

// mixed gathers the flavours of the last two batches on which two or more
// changes act at once.
func (c *Comparison) mixed() {
	last := len(c.sides) - 1
	for _, m := range c.herbs {
		if m.of[last] == nil || m.of[last-1] == nil {
			continue
		}
		changes := c.changesOn(m.name, last-1, last)
		if len(changes) < 2 {
			continue
		}
		i := slices.IndexFunc(c.Mixed, func(x Mixed) bool { return slices.Equal(x.Changes, changes) })
		if i < 0 {
			c.Mixed = append(c.Mixed, Mixed{Changes: changes})
			i = len(c.Mixed) - 1
		}
		c.Mixed[i].Flavours = append(c.Mixed[i].Flavours, m.name)
	}
}

// Differences of the drink itself from which they head the answer. Judgement:
// one step in strength that moves a keeping line, one spoon of sugar a glass.
const (
	tellingABV   = 1.0
	tellingSugar = 20.0
)

// headline picks the single most telling difference of the last two batches.
func (c *Comparison) headline() {
	last := len(c.sides) - 1
	h := Headline{Kind: HeadNothing, From: last - 1, To: last}
	var keeping, moved, seen *Row
	furthest := 0.0
	for i := range c.Rows {
		r := &c.Rows[i]
		x, y := r.Cells[h.From], r.Cells[h.To]
		if x.Missing || y.Missing || r.same(x, y) {
			continue
		}
		switch {
		case r.changed(h.From, h.To):
			h.In++
		case r.Part == WentIn:
		case r.What == keepsRow && x.Where != "" && y.Where != "" && x.Where != y.Where:
			keeping = r
		case r.What == seenRow:
			seen = r
		case r.What == inBottle && x.Note == "" && y.Note == "" && apart(x, y):
			if d := math.Abs(x.Value - y.Value); d > furthest {
				furthest, moved = d, r
			}
		}
	}
	h.Pace = c.pace(h.From, h.To)
	switch {
	case keeping != nil:
		h.Kind, h.Row, h.Pace = HeadKeeping, keeping, nil
	case moved != nil:
		h.Kind, h.Row, h.Pace = HeadFlavour, moved, nil
		h.Causes = c.changesOn(moved.About, h.From, h.To)
	case h.Pace != nil:
		h.Kind = HeadPace
		h.Causes = c.changesOn(h.Pace.Flavour, h.From, h.To)
	default:
		h.Row = c.figureMoved(h.From, h.To)
		switch {
		case h.Row != nil:
			h.Kind = HeadFigure
		case seen != nil:
			h.Kind, h.Row = HeadSeen, seen
		case len(c.Rows) == 0 && len(c.Gaps) == 0:
			h.Kind = HeadSame
		}
	}
	c.Headline = h
}

// pace finds, among the flavours still steeping in the later jar, the one that
// stands furthest from where the earlier jar stood at the same hour.
func (c *Comparison) pace(from, to int) *Pace {
	var found *Pace
	for _, m := range c.herbs {
		if m.of[from] == nil || m.of[to] == nil {
			continue
		}
		x, y := c.sides[from].a.Curve(m.of[from].Entry.Name), c.sides[to].a.Curve(m.of[to].Entry.Name)
		if x == nil || y == nil || x.Tasted == 0 || y.Tasted == 0 || y.OutH != nil || y.JarH <= 0 {
			continue
		}
		p := &Pace{Flavour: m.name, Hours: y.JarH, From: x.BottleAt(y.JarH), To: y.BottleNow}
		cell := func(f mixture.Range) Cell {
			return Cell{Number: true, Value: f.Value, Low: f.Low,
				High: f.High}
		}
		if x.JarH < y.JarH || !apart(cell(p.From), cell(p.To)) {
			continue
		}
		if found == nil || math.Abs(p.To.Value-p.From.Value) > math.Abs(found.To.Value-found.From.Value) {
			found = p
		}
	}
	return found
}

func (c *Comparison) figureMoved(from, to int) *Row {
	for _, try := range []struct {
		what  string
		least float64
	}{{"alcohol", tellingABV}, {"sugar", tellingSugar}} {
		for i := range c.Rows {
			r := &c.Rows[i]
			x, y := r.Cells[from], r.Cells[to]
			if r.Part == CameOut && r.What == try.what && x.Number && y.Number &&
				math.Abs(x.Value-y.Value) >= try.least {
				return r
			}
		}
	}
	return nil
}
