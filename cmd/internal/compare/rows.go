package compare

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"steepbook/cmd/internal/steeping"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

func (c *Comparison) bases() {
	c.each(WentIn, "spirit", NoUnit, func(s *side) Cell {
		var names, keys []string
		for _, b := range s.parts.Bases {
			names, keys = append(names, b.Base.Name), append(keys, b.Thing().Is)
		}
		if len(names) == 0 {
			return Cell{Text: "none"}
		}
		slices.Sort(keys)
		return wordCell(strings.Join(names, " + "), strings.Join(keys, "+"))
	})
	c.each(WentIn, "strength of the base", ABV, func(s *side) Cell {
		abv, ok := s.baseABV()
		if !ok {
			return Cell{Missing: true}
		}
		return Cell{Number: true, Value: abv}
	})
	c.each(WentIn, "amount of the base", ML, func(s *side) Cell {
		if s.baseML == 0 {
			return Cell{Missing: true}
		}
		return Cell{Number: true, Value: s.baseML}
	})
	c.each(WentIn, "room", Celsius, func(s *side) Cell { return numberCell(s.a.Batch.RoomC) })
}

// baseABV is the strength of all bases poured together.
func (s *side) baseABV() (float64, bool) {
	switch bases := s.parts.Bases; {
	case len(bases) == 0:
		return 0, false
	case len(bases) == 1:
		b := &bases[0]
		return b.Base.ABVPercent.Value, b.Entry.ABVPercent != nil || b.Known != nil &&
			b.Known.ABVPercent.Value > 0
	case s.baseML == 0:
		return 0, false
	}
	return recipe.BaseStrength(s.parts.Bases), true
}

func (c *Comparison) botanicals() {
	for _, m := range c.herbs {
		about := m.name
		asWritten, first := true, (*quantity.Amount)(nil)
		for _, h := range m.of {
			if h != nil {
				asWritten = inOneUnit(&first, h.Entry.Amount) && asWritten
			}
		}
		amount := func(h *recipe.Botanical) string {
			if h.Weight == nil {
				return amountText(h.Entry.Amount)
			}
			return weighed(h.Entry.Amount, h.Weight.G, asWritten)
		}
		row := func(what string, unit Unit, cell func(s *side, h *recipe.Botanical) Cell) {
			r := Row{Part: WentIn, About: about, What: what, Unit: unit}
			for i := range c.sides {
				r.Cells = append(r.Cells, cell(&c.sides[i], m.of[i]))
			}
			c.add(r)
		}
		if count(m.of) < len(c.sides) {
			row("in it", NoUnit, func(s *side, h *recipe.Botanical) Cell {
				if h == nil {
					return Cell{Text: "-"}
				}
				return Cell{Text: joinWords(h.Form().Text, amount(h))}
			})
			continue
		}
		assumed := slices.ContainsFunc(m.of, func(h *recipe.Botanical) bool { return h.Form().Taken })
		row("cut", NoUnit, func(_ *side, h *recipe.Botanical) Cell {
			f := h.Form()
			key := f.Written
			if assumed && f.Lib != nil {
				key = f.Lib.Name
			}
			return Cell{Text: f.Text, key: key, Missing: f.Text == ""}
		})
		unit := GPerLBase
		for i := range c.sides {
			if c.sides[i].baseML == 0 {
				unit = Grams
			}
		}
		row("dose", unit, func(s *side, h *recipe.Botanical) Cell {
			return s.doseCell(h, unit, amount(h))
		})
		row("went in", Hours, func(_ *side, h *recipe.Botanical) Cell {
			return Cell{Number: true,
				Value: h.Entry.In}
		})
		row("time in the jar", Hours, func(s *side, h *recipe.Botanical) Cell {
			k := s.a.Curve(h.Entry.Name)
			switch {
			case k == nil || k.JarH <= 0:
				return Cell{Missing: true}
			case k.OutH == nil:
				return Cell{Number: true, Value: k.JarH, Note: "so far"}
			}
			return Cell{Number: true, Value: k.JarH}
		})
		row("wanted", Score, func(_ *side, h *recipe.Botanical) Cell { return numberCell(h.Entry.Target) })
		row("lot", NoUnit, func(_ *side, h *recipe.Botanical) Cell { return wordCell(h.Entry.Lot, "") })
		row("stays in the bottle", NoUnit,
			func(_ *side, h *recipe.Botanical) Cell { return yesCell(h.Entry.LeaveIn) })
	}
}

// doseCell is a botanical's dose, in grams or per litre of base, with its amount.
func (s *side) doseCell(h *recipe.Botanical, unit Unit, amount string) Cell {
	if h.Weight == nil {
		if h.Entry.Amount == nil {
			return Cell{Missing: true}
		}
		return Cell{Text: amountText(h.Entry.Amount)}
	}
	cell := Cell{Number: true, Value: h.Weight.G, Note: amount}
	if unit == GPerLBase {
		cell.Value = h.DoseGPerL(s.baseML)
	}
	return cell
}

func joinWords(parts ...string) string {
	var said []string
	for _, p := range parts {
		if p != "" {
			said = append(said, p)
		}
	}
	if len(said) == 0 {
		return "yes"
	}
	return strings.Join(said, ", ")
}

func (c *Comparison) additions() {
	scaled := c.basesDiffer()
	all := match(c.sides, func(s *side) []recipe.Addition { return s.parts.Additions },
		func(x *recipe.Addition) string { return x.Entry.Name },
		func(x *recipe.Addition) string { return x.Thing().Sort })
	for _, m := range all {
		c.amount(m, scaled)
		if count(m.of) < len(c.sides) {
			continue
		}
		row := func(what string, unit Unit, cell func(x *recipe.Addition) Cell) {
			r := Row{Part: WentIn, About: m.name, What: what, Unit: unit}
			for _, x := range m.of {
				r.Cells = append(r.Cells, cell(x))
			}
			c.add(r)
		}
		row("what it is", NoUnit,
			func(x *recipe.Addition) Cell { return wordCell(x.Entry.Name, x.Thing().Is) })
		row("strength", ABV, func(x *recipe.Addition) Cell { return numberCell(x.ABVPercent) })
		row("pH", PH, func(x *recipe.Addition) Cell { return numberCell(x.Entry.PH) })
		row("acid", GPerL, func(x *recipe.Addition) Cell {
			if x.Entry.AcidGPer100ML == nil {
				return Cell{Missing: true}
			}
			return Cell{Number: true, Value: 10 * *x.Entry.AcidGPer100ML}
		})
		row("heated", NoUnit, func(x *recipe.Addition) Cell { return yesCell(x.Entry.Heated) })
	}
	c.order(all)
}

// basesDiffer says that batches of different size are compared, so that
// additions are shown per litre of base.
func (c *Comparison) basesDiffer() bool {
	differ := false
	for i := range c.sides {
		if c.sides[i].baseML == 0 {
			return false
		}
		differ = differ || math.Abs(c.sides[i].baseML/c.sides[0].baseML-1) > sameShare
	}
	return differ
}

// order is the row of the order in which the common additions are written.
func (c *Comparison) order(all []matched[recipe.Addition]) {
	type place struct {
		at   int
		name string
	}
	r := Row{Part: WentIn, What: "order of additions", Unit: NoUnit}
	for i := range c.sides {
		var places []place
		for _, m := range all {
			if count(m.of) == len(c.sides) {
				places = append(places, place{m.of[i].Entry.Index, m.name})
			}
		}
		if len(places) < 2 {
			return
		}
		sort.Slice(places, func(i, j int) bool { return places[i].at < places[j].at })
		names := make([]string, len(places))
		for k, p := range places {
			names[k] = p.name
		}
		r.Cells = append(r.Cells, Cell{Text: strings.Join(names, ", ")})
	}
	c.add(r)
}

func (c *Comparison) finish() {
	yes := func(what string, is func(*batch.Finish) bool) {
		c.each(WentIn, what, NoUnit, func(s *side) Cell { return yesCell(is(&s.a.Batch.Finish)) })
	}
	c.each(WentIn, "pressed", NoUnit, func(s *side) Cell {
		if s.a.Batch.Finish.Press == nil {
			return Cell{Text: "not said"}
		}
		return yesCell(*s.a.Batch.Finish.Press)
	})
	yes("filtered", func(f *batch.Finish) bool { return f.Filtered })
	yes("heated", func(f *batch.Finish) bool { return f.Heated })
	yes("bottles boiled", func(f *batch.Finish) bool { return f.Boiled })
	yes("solids stay in", func(f *batch.Finish) bool { return f.LeaveIn })
	c.each(WentIn, "kept in", NoUnit, func(s *side) Cell {
		f := &s.a.Batch.Finish
		if f.StoreC != nil {
			return Cell{Text: quantity.FormatNumber(*f.StoreC) + "~°C"}
		}
		return wordCell(f.Store, "")
	})
}

// flavours are the rows of the strengths that came out.
func (c *Comparison) flavours() {
	for _, m := range c.herbs {
		if count(m.of) > 1 {
			c.strengths(m.name, func(i int) *steeping.Curve {
				if m.of[i] == nil {
					return nil
				}
				return c.sides[i].a.Curve(m.of[i].Entry.Name)
			})
		}
	}
	var seen []string
	for i := range c.sides {
		for _, w := range c.sides[i].a.Batch.Watches {
			if key := strings.ToLower(w.Name); !slices.Contains(seen, key) {
				seen = append(seen, key)
				c.watch(w.Name)
			}
		}
	}
}

func (c *Comparison) watch(name string) {
	found := func(i int) *steeping.Curve {
		if k := c.sides[i].a.Curve(name); k != nil && k.Watch {
			return k
		}
		return nil
	}
	limits := Row{Part: WentIn, About: name, What: "most wanted", Unit: Score}
	for i := range c.sides {
		if k := found(i); k != nil {
			limits.Cells = append(limits.Cells, Cell{Number: true, Value: k.Limit})
		}
	}
	if len(limits.Cells) == len(c.sides) {
		c.add(limits)
	}
	if len(limits.Cells) > 1 {
		c.strengths(name, found)
	}
}

// strengths adds the two rows of one flavour, in the jar and in the bottle, as
// it was when it came out, or as it is now.
func (c *Comparison) strengths(name string, of func(i int) *steeping.Curve) {
	jar := Row{Part: CameOut, About: name, What: inJar, Unit: Score}
	bottle := Row{Part: CameOut, About: name, What: inBottle, Unit: Score}
	var wanted []string
	for i := range c.sides {
		k := of(i)
		if k == nil {
			jar.Cells, bottle.Cells = append(jar.Cells, Cell{Text: "-"}), append(bottle.Cells,
				Cell{Text: "-"})
			continue
		}
		if k.Tasted == 0 || k.JarH <= 0 {
			jar.Cells = append(jar.Cells, Cell{Missing: true, Text: "not tasted"})
			bottle.Cells = append(bottle.Cells, Cell{Missing: true, Text: "not tasted"})
			continue
		}
		note := ""
		if k.OutH == nil {
			note = "so far"
		}
		cell := func(f mixture.Range) Cell {
			return Cell{Number: true, Value: f.Value, Low: f.Low, High: f.High, Note: note}
		}
		jar.Cells, bottle.Cells = append(jar.Cells, cell(k.JarNow)), append(bottle.Cells, cell(k.BottleNow))
		switch {
		case k.Watch:
			wanted = append(wanted, "at most "+quantity.FormatNumber(k.Limit))
		case k.Target != nil:
			wanted = append(wanted, quantity.FormatNumber(*k.Target)+" wanted")
		}
	}
	if wanted = slices.Compact(wanted); len(wanted) == 1 {
		bottle.Note = wanted[0]
	}
	c.add(jar)
	c.add(bottle)
}

// figures are the rows of what is in the bottle, where it keeps, and what it
// cost.
func (c *Comparison) figures() {
	figure := func(what string, unit Unit, of func(*mixture.Result) (mixture.Range, bool)) {
		c.each(CameOut, what, unit, func(s *side) Cell {
			if !s.a.Blend.Whole() {
				return Cell{Missing: true}
			}
			f, ok := of(&s.a.Blend.Result)
			return Cell{Number: ok, Value: f.Value, Low: f.Low, High: f.High, Missing: !ok}
		})
	}
	always := func(of func(*mixture.Result) mixture.Range) func(*mixture.Result) (mixture.Range, bool) {
		return func(r *mixture.Result) (mixture.Range, bool) { return of(r), true }
	}
	if c.basesDiffer() {
		c.each(CameOut, "yield", MLPerLBase, func(s *side) Cell {
			if !s.a.Blend.Whole() {
				return Cell{Missing: true}
			}
			f, litres := s.a.Blend.Result.VolumeML, s.baseML/1000
			return Cell{Number: true, Value: f.Value / litres, Low: f.Low / litres, High: f.High / litres}
		})
	} else {
		figure("volume", ML, always(func(r *mixture.Result) mixture.Range { return r.VolumeML }))
	}
	figure("alcohol", ABV, always(func(r *mixture.Result) mixture.Range { return r.ABVPercent }))
	figure("sugar", GPerL, always(func(r *mixture.Result) mixture.Range { return r.SugarGPerL }))
	figure("acid, as citric", GPerL, always(func(r *mixture.Result) mixture.Range { return r.AcidGPerL }))
	figure("pH", PH, func(r *mixture.Result) (mixture.Range, bool) { return r.PH, r.PHKnown })
	c.each(CameOut, keepsRow, NoUnit, func(s *side) Cell {
		where, days := s.a.Keep.Where(), s.a.Keep.Days(&s.a.Keep.Safe)
		switch {
		case s.a.Keep.Stop == keeping.Living: // by what was seen of it, and not by how it was made
			return Cell{Text: string(keeping.Living)}
		case where == shelf.VerdictUnknown:
			return Cell{Missing: true}
		case where == shelf.VerdictDiscard:
			return Cell{Text: "do not keep it", Where: where}
		}
		return Cell{Text: where + ", " + days.Words, Where: where}
	})
	c.each(CameOut, seenRow, NoUnit, func(s *side) Cell {
		if text := seen(s.a); text != "" {
			return wordCell(text, "")
		}
		return Cell{Text: "-"} // what is noted of one alone is told
	})
	c.each(CameOut, "cost", PerLitre, func(s *side) Cell {
		b := &s.a.Blend
		if b.PerLitre == nil {
			return Cell{Missing: true}
		}
		cell := Cell{Number: true, Value: *b.PerLitre}
		if len(b.Unpriced) > 0 {
			cell.Note = fmt.Sprintf("%d unpriced", len(b.Unpriced))
		}
		return cell
	})
	c.each(CameOut, "last words", NoUnit, func(s *side) Cell { return wordCell(lastWords(s.a), "") })
}

const keepsRow, seenRow = "keeps", "seen"

// seen are the signs that were noted, but those that stand in the last words.
func seen(a *bench.Assessment) string {
	var said []string
	for _, o := range a.Keep.Outcomes {
		if strings.Join(strings.Fields(o.What), " ") == lastWords(a) {
			continue
		}
		said = append(said, fmt.Sprintf("%s on day %.0f", o.What, math.Floor(o.Days)))
	}
	return strings.Join(said, ", ")
}

func lastWords(a *bench.Assessment) string {
	var latest *batch.Tasting
	for i := range a.Batch.Tastings {
		if t := &a.Batch.Tastings[i]; t.Words != "" && t.Hours <= a.ElapsedH &&
			(latest == nil || t.Hours >= latest.Hours) {
			latest = t
		}
	}
	if latest == nil {
		return ""
	}
	return strings.Join(strings.Fields(latest.Words), " ")
}
