// Package lookup prints what the library knows of a name, each figure with its source.
// Citations numbers the sources of any page.
package lookup

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/cmd/internal/pen"
	"steepbook/data"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf/growth"
)

// Entry is one thing the library knows, with its kind: a *library.Botanical,
// *library.Ingredient, *library.Spirit, growth.Entry or data.Source.
type Entry struct {
	Kind string
	Of   any
}

// Screen is what one needs to know of an entry before it goes into a jar: whether it may, what to mind,
// and how fast each cut gives it up. What must not be steeped goes by the name it was asked for by: many a
// plant stands with others of its poison.
func Screen(e *Entry, asked *Known, style pen.Style) pen.Screen {
	var s pen.Screen
	is := func(name, what string, names []string, note string) {
		s.Say = []string{quantity.Capital(name) + ": " + what + "."}
		if len(names) > 0 {
			s.Notes = append(s.Notes, "Also called "+quantity.And(names)+".")
		}
		if note != "" {
			s.Notes = append(s.Notes, note)
		}
	}
	mind := func(allergens []library.Allergen, hazards []library.Hazard) {
		s.Holds = strings.Join(pen.Each(allergens, (*library.Allergen).Declared), "; ")
		for _, h := range hazards {
			s.Danger = append(s.Danger, strings.TrimSpace(h.USLaw+" "+h.Do))
		}
	}
	switch x := e.Of.(type) {
	case *library.Botanical:
		if x.Forbidden == "" || strings.EqualFold(x.Name, asked.Name) {
			is(x.Name, kindWords(x), x.Names, x.Note)
		} else {
			is(asked.Name, "listed with "+x.Name, x.Names, x.Note)
		}
		mind(x.Allergens, x.Hazards)
		if x.Forbidden != "" {
			s.Danger = []string{"Do not steep it: " + x.Forbidden}
		}
		for i := range x.Cuts {
			c := &x.Cuts[i]
			if text := strength(c); text != "" {
				s.Rows = append(s.Rows, []string{c.Name, text})
			}
		}
	case *library.Ingredient:
		is(x.Name, x.Kind, x.Names, x.Note)
		mind(x.Allergens, x.Hazards)
		s.Rows = [][]string{{"by weight", strings.Join(byWeight(&x.Per100G), ", ")}}
		for _, f := range ingredientFigures(x) {
			s.Rows = figureLine(s.Rows, f, style)
		}
	case *library.Spirit:
		is(x.Name, "a spirit or other base", x.Names, x.Note)
		mind(x.Allergens, x.Hazards)
		for _, f := range spiritFigures(x) {
			s.Rows = figureLine(s.Rows, f, style)
		}
	case growth.Entry:
		is(x.Name, x.Group, nil, quantity.Capital(x.Note))
		for _, l := range x.Limits {
			s.Rows = append(s.Rows, []string{l.What, limitLine(&l, style)})
		}
	case data.Source:
		s.Say = []string{x.Key + ": " + x.String()}
	}
	if doubt := asked.Doubt(); doubt != "" {
		s.Danger = slices.Insert(s.Danger, 0, quantity.Capital(doubt)+".")
	}
	return s.Said(style.Units)
}

// figureLine adds a figure that is known to rows.
func figureLine(rows [][]string, f figureRow, style pen.Style) [][]string {
	if !f.n.Known() {
		return rows
	}
	name, value, unit := f.said(style)
	return append(rows, []string{name, strings.TrimSpace(value + " " + unit)})
}

// Print prints every entry that goes by a name; with why each figure with its source, and
// what makers did with a botanical.
func Print(p *pen.Page, lib *library.Library, known Known, why bool) error {
	var all []pen.Object
	doubt := known.Doubt()
	for i, e := range known.Entries {
		var times []cutTimes
		if plant, ok := e.Of.(*library.Botanical); ok {
			times = makerTimes(lib, plant)
		}
		if p.JSON {
			all = append(all, append(pen.Object{pen.As("kind", e.Kind), pen.As("entry", e.Of)},
				timesJSON(times)...))
			continue
		}
		if i > 0 {
			p.Line("")
		}
		if !why {
			p.Screen(Screen(&e, &known, p.Style), pen.OfScreen)
			continue
		}
		if doubt != "" {
			p.Para("%s.", quantity.Capital(doubt))
			p.Line("")
		}
		switch x := e.Of.(type) {
		case *library.Botanical:
			botanical(p, lib, x, times)
		case *library.Ingredient:
			ingredient(p, lib, x)
		case *library.Spirit:
			spirit(p, lib, x)
		case growth.Entry:
			organism(p, x)
		case data.Source:
			p.Para("%s %s", p.Strong(x.Key+":"), x)
		}
	}
	if p.JSON {
		return p.WriteJSON(pen.Object{pen.As("entries", all), pen.As("may_be", known.MayBe)})
	}
	return p.Done()
}

// cutTimes is what makers did with one cut.
type cutTimes struct {
	Cut string
	library.MakerTimes
}

func makerTimes(lib *library.Library, b *library.Botanical) []cutTimes {
	out := make([]cutTimes, len(b.Cuts))
	for i := range b.Cuts {
		out[i] = cutTimes{b.Cuts[i].Name, lib.MakerTimes(&b.Cuts[i])}
	}
	return out
}

// timesJSON leaves out the cuts of which no times are known, and the field where
// there are none.
func timesJSON(times []cutTimes) pen.Object {
	times = quantity.Those(times, func(t *cutTimes) bool { return len(t.Times) > 0 })
	if len(times) == 0 {
		return nil
	}
	return pen.Object{pen.As("maker_times", times)}
}

// entryHead is what every entry begins with.
func entryHead(p *pen.Page, name, what string, names []string) {
	p.Answer("%s", quantity.Capital(name)+": "+what+".")
	if len(names) > 0 {
		p.Para("Also called %s.", quantity.And(names))
	}
}

func botanical(p *pen.Page, lib *library.Library, b *library.Botanical, times []cutTimes) {
	entryHead(p, b.Name, kindWords(b), b.Names)
	if b.Forbidden != "" {
		p.Line("")
		p.Para("Do not steep it: %s", b.Forbidden)
		if b.ForbiddenGrade == library.Memory {
			p.Para("That reason is from memory and was not looked up; it forbids all the same.")
		}
	}
	p.Note(b.Note)
	if len(b.Cuts) > 0 {
		p.Para("Times are for 20~°C, 40 %% vol, the usual dose and a jar shaken once a day; those of " +
			"makers are as told, of four and more the middle half, with their number.")
	}
	cited := Citations{Lib: lib}
	for i := range b.Cuts {
		c := &b.Cuts[i]
		p.Line("")
		head := quantity.Capital(c.Name)
		if i == 0 && len(b.Cuts) > 1 {
			head += " (taken when no cut is written)"
		}
		p.Answer("%s", head)
		hanging(p, strength(c))
		hanging(p, cited.makers(times[i].MakerTimes))
		hanging(p, cited.printed(times[i].MakerTimes))
		if c.LateOff != "" {
			text := "too long: " + c.LateOff
			if c.LateOffH.Known() {
				text += ", noticed from " + pen.Spans(c.LateOffH.Low, c.LateOffH.High)
			}
			p.Lines(p.Hang("  ", "    ", p.Say("%s", text)))
		}
		if c.FirstTasteH > 0 {
			p.Lines(p.Hang("  ", "    ", "first tasting worth taking: at "+quantity.Span(c.FirstTasteH)))
		}
		if c.Dust {
			p.Lines(p.Hang("  ", "    ", "a dust: only straining through a cloth or filter takes it out again"))
		}
		cited.table(p, cutFigures(c))
	}
	watchFor(p, &cited, b.Allergens, b.Hazards)
	cited.Print(p)
}

// hanging prints a paragraph set in by two, its first line by less; nothing for "".
func hanging(p *pen.Page, text string) {
	if text != "" {
		p.Lines(p.Hang("  ", "    ", text))
	}
}

// strength says how fast a cut gives it up.
func strength(c *library.Cut) string {
	if !c.RatePerH.Known() || !(c.RateGSD > 1) {
		return ""
	}
	t80 := c.StrongAfterH(0.8)
	taught := ""
	if c.Taught != nil {
		taught = ", as in " + quantity.And(c.Taught.By)
	}
	return fmt.Sprintf("half strength after %s, 80 %% after %s (two thirds of jars %s)%s",
		steep(c.StrongAfterH(0.5), 0), steep(t80, 0), steep(t80/c.RateGSD, t80*c.RateGSD), taught)
}

// steep is a time of a jar, or a range where high is above low: in hours to the
// fourth day, since makers watch them.
func steep(low, high float64) string {
	high = math.Max(low, high)
	if low < 9.5 || high < 47.5 || high >= 96 {
		return pen.Spans(low, high)
	}
	if a, b := math.Round(low), math.Round(high); a < b {
		return fmt.Sprintf("%.0f-%.0f h", a, b)
	}
	return fmt.Sprintf("%.0f h", high)
}

// makers says in one sentence what makers did.
func (c *Citations) makers(m library.MakerTimes) string {
	var said []string
	for _, k := range []struct {
		kind  library.TimeKind
		words string
	}{
		{library.Noticed, "only just noticed at"},
		{library.Tasted, "tasted right at"},
		{library.Strained, "strained at"},
		{library.Habit, "habits of"},
		{library.TooLong, "too long by"},
	} {
		if low, high, n := m.Span(k.kind); n > 0 {
			if k.kind == library.Habit && n == 1 {
				k.words = "a habit of"
			}
			said = append(said, fmt.Sprintf("%s %s (%d)", k.words, steep(low, high), n))
		}
	}
	if len(said) == 0 {
		return ""
	}
	return fmt.Sprintf("what makers did%s: %s [%d]", ofWhat(m), strings.Join(said, ", "),
		c.number("steeping-habits"))
}

// ofWhat names the plants where the times are not about this one alone.
func ofWhat(m library.MakerTimes) string {
	const most = 4
	names := m.Of
	if len(names) > most {
		names = append(append([]string{}, names[:most-1]...), "others")
	}
	switch {
	case m.Own && len(names) == 0:
		return ""
	case len(names) == 0:
		return " with its like"
	}
	return " with " + quantity.And(names)
}

// printed says what publications give, carried to a jar.
func (c *Citations) printed(m library.MakerTimes) string {
	low, high, n := m.Span(library.Printed)
	if n == 0 {
		return ""
	}
	var marks []string
	for _, t := range m.Times {
		if t.Kind != library.Printed {
			continue
		}
		if mark := fmt.Sprintf("[%d]", c.number(t.Source)); !slices.Contains(marks, mark) {
			marks = append(marks, mark)
		}
	}
	return fmt.Sprintf("publications%s, carried to such a jar: 80 %% after %s %s", ofWhat(m),
		steep(low, high), strings.Join(marks, " "))
}

func kindWords(b *library.Botanical) string {
	words := []string{"a " + b.Kind}
	if strings.ContainsAny(b.Kind[:1], "aeiou") {
		words[0] = "an " + b.Kind
	}
	add := func(on bool, text string) {
		if on {
			words = append(words, text)
		}
	}
	add(b.Class != "", "tasted as "+b.Class)
	add(len(b.Tastes) > 0, quantity.And(b.Tastes)+" of itself, not by too long a steep")
	add(b.Fresh, "weighed fresh, so it brings water")
	add(b.Fierce, "numbs or burns: taste it last")
	add(b.OilRich, "rich in oil: clouds when cut with water")
	add(b.Pectin, "holds pectin: may set when boiled with sugar and acid")
	add(b.Caffeine, "holds caffeine")
	return strings.Join(words, "; ")
}

func ingredient(p *pen.Page, lib *library.Library, g *library.Ingredient) {
	entryHead(p, g.Name, g.Kind, g.Names)
	p.Note(g.Note)
	p.Line("")
	cited := Citations{Lib: lib}
	c := g.Per100G
	p.Para("By weight: %s %s.", strings.Join(byWeight(&c), ", "), cited.Mark(c.Source, c.Grade))
	cited.table(p, ingredientFigures(g))
	watchFor(p, &cited, g.Allergens, g.Hazards)
	cited.Print(p)
}

// byWeight is what 100 g of something hold, in words.
func byWeight(c *library.Composition) (what []string) {
	for _, part := range []struct {
		name    string
		percent float64
	}{
		{"water", c.Water}, {"alcohol", c.Ethanol},
		{"sucrose", c.Sucrose}, {"glucose", c.Glucose}, {"fructose", c.Fructose}, {"maltose", c.Maltose},
		{"lactose", c.Lactose},
		{"glycerol", c.Glycerol}, {"citric acid", c.Citric}, {"malic acid", c.Malic},
		{"other acid", c.OtherAcid},
		{"fat", c.Fat}, {"protein", c.Protein}, {"minerals", c.Ash}, {"other solids", c.OtherSolids},
	} {
		if part.percent >= 0.05 {
			what = append(what, fmt.Sprintf("%s %s %%", part.name, pen.Significant(part.percent, 3)))
		}
	}
	return what
}

func spirit(p *pen.Page, lib *library.Library, s *library.Spirit) {
	entryHead(p, s.Name, "a spirit or other base", s.Names)
	p.Note(s.Note)
	p.Line("")
	cited := Citations{Lib: lib}
	cited.table(p, spiritFigures(s))
	watchFor(p, &cited, s.Allergens, s.Hazards)
	cited.Print(p)
}

func watchFor(p *pen.Page, cited *Citations, allergens []library.Allergen, hazards []library.Hazard) {
	if len(allergens)+len(hazards) == 0 {
		return
	}
	p.Line("")
	for _, a := range allergens {
		p.Item("Contains %s %s", a.Name, cited.Mark(a.Source, a.Grade))
	}
	for _, h := range hazards {
		p.Item("%s: %s %s", quantity.Capital(h.Substance), h.Text, cited.Mark(h.Source, h.Grade))
		cited.table(p, hazardFigures(h))
	}
	p.Item("Local rules and a doctor's word come before anything here.")
}

func organism(p *pen.Page, o growth.Entry) {
	entryHead(p, o.Name, o.Group, nil)
	p.Note(quantity.Capital(o.Note))
	p.Line("")
	if len(o.Limits) == 0 {
		p.Para("No limit was read for it.")
		return
	}
	p.Table([]string{"limit", "value", "unit", "where from"},
		pen.Each(o.Limits, func(l *growth.EntryLimit) []string {
			value, unit := limitOf(l, p.Style)
			return []string{l.What, value, unit, l.Source}
		}))
}

// limitLine is a limit with its unit.
func limitLine(l *growth.EntryLimit, style pen.Style) string {
	value, unit := limitOf(l, style)
	return strings.TrimSpace(value + " " + unit)
}

// limitOf is a limit in the units of the maker.
func limitOf(l *growth.EntryLimit, style pen.Style) (value, unit string) {
	if l.Unit == "°C" && style.Units == quantity.US {
		return pen.Significant(quantity.Fahrenheit(l.Value), 3), "°F"
	}
	return pen.Significant(l.Value, 3), l.Unit
}
