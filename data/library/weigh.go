package library

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/data/names"
	"steepbook/data/quantity"
)

// z90 is the normal quantile at 95 %: half of a 90 % interval in SDs.
const z90 = 1.6448536269514722

const gramsPerOunce = 28.349523125 // avoirdupois, exact

// Weight is an amount turned into grams.
type Weight struct {
	G         float64
	Low, High float64 // 90 %
	How       string  // for instance "1 tbsp = 6 g (USDA FDC 167749)"
	Taken     string  // what was decided that the amount does not say, part of a sentence; "" for nothing
	Source    string
	Grade     Grade
}

// Grams turns an amount of the cut into grams with a 90 % range. "oz" is taken
// as a weight, except for a botanical nobody has described. The error is a
// *noWeightError or a *OunceError.
func (c *Cut) Grams(a quantity.Amount) (Weight, error) {
	entry := c.Botanical
	if entry == "" {
		entry = "its name"
	}
	return weigh(thing{
		name: c.name, table: "botanical", entry: entry, cut: c.Name,
		unknown: c.Botanical == "", measures: c.Measures, called: c.Botanical,
	}, a)
}

// Grams turns an amount of the ingredient into grams with a 90 % range.
// Volumes of a liquid go by its density; "oz" of a liquid is refused. The
// error is a *noWeightError or a *OunceError.
func (i *Ingredient) Grams(a quantity.Amount) (Weight, error) {
	t := thing{name: i.Name, table: "ingredient", entry: i.Name, measures: i.Measures, called: i.Name}
	if i.Liquid {
		t.liquid, t.density = true, i.DensityGPerML
	}
	return weigh(t, a)
}

// measured is the cut with the measures that the maker's words speak of, where its
// measures tell forms apart: a cup of slivered almonds is 108 g, of whole ones 143.
func (c *Cut) measured(said []string) *Cut {
	if c == nil {
		return nil
	}
	told := func(m Measure) bool {
		ws := words(m.form())
		return m.Unit != "piece" && len(ws) > 0 && covered(ws, said) >= 0
	}
	if !slices.ContainsFunc(c.Measures, told) {
		return c
	}
	own := *c
	own.Measures = quantity.Those(c.Measures, func(m *Measure) bool {
		return m.Unit == "piece" || told(*m)
	})
	return &own
}

// form is in what form the measure was weighed, "" where it is not said.
func (m Measure) form() string {
	form, _, _ := strings.Cut(m.Grams.Note, ";")
	if strings.Contains(form, "FDC") {
		form, _, _ = strings.Cut(form, ", FDC")
	}
	if strings.HasPrefix(form, "USDA") {
		return ""
	}
	return form
}

// among is how far apart the measures of one unit lie that differ in their form, as
// log half widths about the first, and the forms; nothing where there is one only.
func (t thing) among(first *Measure) (s spread, forms []string) {
	for _, m := range t.measures {
		like := m.Unit == first.Unit && m.Of == first.Of && m.Noun == first.Noun
		if !like || m.form() == "" || first.form() == "" {
			continue
		}
		if d := math.Log(m.Grams.Value / first.Grams.Value); d > 0 {
			s.up = max(s.up, d)
		} else {
			s.down = max(s.down, -d)
		}
		forms = append(forms, fmt.Sprintf("%s %s g", m.form(), figure(m.Grams.Value)))
	}
	if s == (spread{}) {
		return s, nil
	}
	return s, forms
}

// thing is what weigh has to know.
type thing struct {
	name, table, entry, cut, called string
	liquid, unknown                 bool
	density                         Number
	measures                        []Measure
}

// spread is a 90 % range as log half widths below and above the middle.
type spread struct{ down, up float64 }

func spreadOf(n Number) spread {
	if !(n.Value > 0) || !(n.Low > 0) {
		return spread{}
	}
	return spread{math.Log(n.Value / n.Low), math.Log(n.High / n.Value)}
}

// and combines independent spreads.
func (s spread) and(more ...spread) spread {
	for _, t := range more {
		s = spread{math.Hypot(s.down, t.down), math.Hypot(s.up, t.up)}
	}
	return s
}

func (s spread) times(f float64) spread { return spread{s.down * f, s.up * f} }

// around is g spread, known as the figure n it rests on.
func (s spread) around(g float64, n Number, how string) Weight {
	low, high := g*math.Exp(-s.down), g*math.Exp(s.up)
	return Weight{G: g, Low: low, High: high, How: how, Source: n.Source, Grade: n.Grade}
}

// amountSpread is what the maker left open: "8 to 10 pieces".
func amountSpread(a quantity.Amount) spread {
	mid := a.Mid()
	if !(a.Low > 0) || !(mid > 0) {
		return spread{}
	}
	return spread{math.Log(mid / a.Low), math.Log(a.High / mid)}
}

func constant(c Constant) Number { return builtin().Constant(c) }

func weigh(t thing, a quantity.Amount) (Weight, error) {
	if !(a.Mid() > 0) || !finite(a.Mid()) {
		return Weight{}, t.noWeight(a)
	}
	switch a.Kind {
	case quantity.Mass:
		_, g, _, ok := a.Grams()
		if !ok {
			return Weight{}, t.noWeight(a)
		}
		return onScale(g, a, "as weighed"), nil
	case quantity.Ounce:
		if t.liquid || t.unknown {
			return Weight{}, &OunceError{Name: t.name, Amount: strings.TrimSpace(a.Text), Number: count(a)}
		}
		w := onScale(a.Mid()*gramsPerOunce, a, "oz taken as a weight ounce")
		w.Taken = fmt.Sprintf("%q is taken as a weight, %s g", strings.TrimSpace(a.Text), figure(w.G))
		return w, nil
	case quantity.Volume:
		return t.byVolume(a)
	case quantity.Count:
		return t.byCount(a)
	}
	return Weight{}, t.noWeight(a)
}

// onScale is a weighed amount: the error is that of a kitchen scale.
func onScale(g float64, a quantity.Amount, how string) Weight {
	e := constant(scaleErrorG)
	off := min(e.Value, constant(scaleErrorShare).Value*g)
	return spread{-math.Log1p(-off / g), math.Log1p(off / g)}.and(amountSpread(a)).around(g, e, how)
}

func (t thing) byVolume(a quantity.Amount) (Weight, error) {
	_, ml, _, official := a.Millilitres()
	if official && t.liquid && t.density.Known() && a.Of == "" {
		how := fmt.Sprintf("%s g/ml (%s)", figure(t.density.Value), why(t.density))
		s := spreadOf(t.density).and(spreadOf(constant(pourSpread)), amountSpread(a))
		return s.around(ml*t.density.Value, t.density, how), nil
	}
	m, measureML := t.measure(a, ml, official)
	if m == nil {
		if official {
			return Weight{}, t.noWeight(a)
		}
		return t.byHabit(a)
	}
	f := a.Mid()
	if m.Unit != a.Unit {
		f = ml / measureML
	}
	user := constant(spoonSpread)
	if measureML > 50 && ml > 50 {
		user = constant(cupSpread)
	}
	low, high := filled(a, m.form())
	mid := math.Sqrt(low * high)
	apart, forms := t.among(m)
	if len(forms) == 0 {
		apart = spread{math.Log(mid / low), math.Log(high / mid)}
	}
	s := spreadOf(m.Grams).and(spreadOf(user), amountSpread(a), apart)
	w := s.around(f*mid*m.Grams.Value, m.Grams, m.how())
	switch {
	case low != high:
		w.Taken = fmt.Sprintf("%q is taken as %s to %s times the usual weight of the measure",
			strings.TrimSpace(a.Text), figure(low), figure(high))
	case len(forms) > 0:
		w.Taken = fmt.Sprintf("1 %s of it weighs by its form: %s; say which",
			m.Unit, strings.Join(forms, ", "))
	}
	return w, nil
}

// measure is the measure with the unit of an amount of ml, else the one of the nearest
// size, and its size in ml; 0 where the unit has none. nil where nothing is near.
func (t thing) measure(a quantity.Amount, ml float64, official bool) (best *Measure, bestML float64) {
	gap := math.Inf(1)
	for i := range t.measures {
		m := &t.measures[i]
		size, ok := unitML(m.Unit)
		switch {
		case m.Of != a.Of:
		case m.Unit == a.Unit:
			return m, size
		case ok && official && math.Abs(math.Log(size/ml)) < gap:
			best, bestML, gap = m, size, math.Abs(math.Log(size/ml))
		}
	}
	return best, bestML
}

// filled is how much more than the usual is in a measure that is packed or loosely
// filled, as a range; nothing where the usual is that. Common practice, no source: a
// cup of brown sugar holds half as much again when it is packed (USDA FDC 168833),
// and leaves give way more.
func filled(a quantity.Amount, usual string) (low, high float64) {
	is := func(text, word string) bool {
		ws := words(text)
		return slices.Contains(ws, word) || word == "packed" && slices.Contains(ws, "pressed")
	}
	switch {
	case is(a.Said, "packed") && !is(usual, "packed"):
		return 1, 1.7
	case is(a.Said, "loose") && is(usual, "packed"):
		return 0.55, 0.75
	case is(a.Said, "loose") && !is(usual, "unpacked") && !is(usual, "loose"):
		return 0.6, 1
	}
	return 1, 1
}

// unsized are the measures that no standard defines.
var unsized = map[string]Constant{
	"dash": dashML, "drop": dropML, "pinch": pinchML, "splash": splashML, "handful": handfulML,
}

func takenAs(unit string, vol Number) string {
	return fmt.Sprintf("a %s is taken as %s to %s ml", unit, figure(vol.Low), figure(vol.High))
}

// UnsizedML is an amount of a liquid in a measure that no standard defines, in ml with
// a 90 % range, and what was taken for it; ok is false for all other amounts.
func UnsizedML(a quantity.Amount) (low, mid, high float64, taken string, ok bool) {
	habit, ok := unsized[a.Unit]
	if !ok || a.Kind != quantity.Volume {
		return 0, 0, 0, "", false
	}
	n := constant(habit)
	w := spreadOf(n).and(amountSpread(a)).around(a.Mid()*n.Value, n, "")
	return w.Low, w.G, w.High, takenAs(a.Unit, n), true
}

// byHabit weighs dashes, drops, pinches, splashes and handfuls.
func (t thing) byHabit(a quantity.Amount) (Weight, error) {
	habit, ok := unsized[a.Unit]
	if !ok {
		return Weight{}, t.noWeight(a)
	}
	vol := constant(habit)
	density, from := t.density, "density"
	if !t.liquid {
		if a.Unit == "drop" || a.Unit == "splash" {
			return Weight{}, t.noWeight(a)
		}
		for _, m := range t.measures {
			if ml, ok := unitML(m.Unit); ok && m.Of == "" {
				density, from = m.Grams.scaled(1/ml), m.how()
				break
			}
		}
	}
	if !density.Known() {
		return Weight{}, t.noWeight(a)
	}
	how := fmt.Sprintf("1 %s taken as %s~ml, %s", a.Unit, figure(vol.Value), from)
	s := spreadOf(density).and(spreadOf(vol), amountSpread(a))
	w := s.around(a.Mid()*vol.Value*density.Value, vol, how)
	w.Taken = takenAs(a.Unit, vol)
	return w, nil
}

// cmPerInch is exact.
const cmPerInch = 2.54

func (t thing) byCount(a quantity.Amount) (Weight, error) {
	m := t.piece(a)
	if m == nil && a.Noun == "cm" {
		inches := a.Times(1 / cmPerInch)
		inches.Noun = "inch"
		return t.byCount(inches)
	}
	if m == nil {
		return Weight{}, t.noWeight(a)
	}
	s := spreadOf(m.Grams)
	if s == (spread{}) {
		s = spreadOf(constant(pieceSpread))
	}
	// Half of the variance is taken as shared by the lot, half as differing
	// from piece to piece: only that half averages out.
	n := max(a.Mid(), 1)
	w := s.times(math.Sqrt(0.5+0.5/n)).and(amountSpread(a)).around(a.Mid()*m.Grams.Value, m.Grams, m.how())
	other := m.Noun != "" && m.Noun != a.Noun && a.Noun != "cm" &&
		covered(words(m.Noun), words(t.called)) < 0
	if other || m.Of != a.Of {
		w.Taken = fmt.Sprintf("%q is counted as %s each", strings.TrimSpace(a.Text), m.label())
	}
	return w, nil
}

// piece finds the measure for a count.
func (t thing) piece(a quantity.Amount) *Measure {
	sameOf := func(m Measure) bool {
		return m.Of == a.Of || m.Of == "zest" && a.Of == "peel" || m.Of == "peel" && a.Of == "zest"
	}
	pick := func(fits func(Measure) bool) *Measure {
		i := slices.IndexFunc(t.measures, func(m Measure) bool { return m.Unit == "piece" && fits(m) })
		if i < 0 {
			return nil
		}
		return &t.measures[i]
	}
	general := a.Noun == "" || a.Noun == "piece" || slices.Contains(words(t.called), names.Singular(a.Noun))
	if a.Noun != "" {
		if m := pick(func(m Measure) bool { return m.Noun == a.Noun && sameOf(m) }); m != nil {
			return m
		}
		// "3 fruit" of lime zest is the zest of three.
		if a.Of == "" {
			if m := pick(func(m Measure) bool { return m.Noun == a.Noun }); m != nil {
				return m
			}
		}
		if a.Noun == "fruit" {
			general = true
		}
	}
	if !general {
		return nil
	}
	if m := pick(sameOf); m != nil {
		return m
	}
	if a.Of == "" {
		return pick(func(Measure) bool { return true })
	}
	return nil
}

// unitML is the size of a unit of volume in ml, 0 where no standard defines it.
func unitML(unit string) (ml float64, ok bool) {
	one := quantity.Amount{Kind: quantity.Volume, Low: 1, High: 1, Unit: unit}
	if _, ml, _, ok = one.Millilitres(); !ok || ml <= 0 {
		return 0, false
	}
	return ml, true
}

// label is the measure in words: "1 tbsp", "zest of 1 fruit", "1 piece".
func (m Measure) label() string {
	what := m.Unit
	if m.Noun != "" {
		what = m.Noun
	}
	if m.Of != "" {
		return fmt.Sprintf("%s of 1 %s", m.Of, what)
	}
	return "1 " + what
}

func (m Measure) how() string {
	return fmt.Sprintf("%s = %s~g (%s)", m.label(), figure(m.Grams.Value), why(m.Grams))
}

// why is the shortest account of where a figure comes from.
func why(n Number) string {
	if n.Note != "" && n.Grade == Published {
		return n.Note
	}
	return n.Grade.Words()
}

// figure prints up to three significant digits, from 1,000 on to the whole.
func figure(x float64) string {
	if x >= 1000 {
		return quantity.FormatNumber(x)
	}
	return quantity.InFigures(x, 3)
}

// count prints the number of an amount without its unit.
func count(a quantity.Amount) string {
	if a.Low != a.High {
		return quantity.FormatNumber(a.Low) + "-" + quantity.FormatNumber(a.High)
	}
	return quantity.FormatNumber(a.Low)
}

func (t thing) noWeight(a quantity.Amount) error {
	e := &noWeightError{
		Name: t.name, Amount: strings.TrimSpace(a.Text), Table: t.table, Entry: t.entry, Cut: t.cut,
		Unit: a.Unit, Noun: a.Noun, Of: a.Of,
	}
	if e.Unit == "" {
		e.Unit = "piece"
	}
	for _, m := range t.measures {
		if len(e.Known) < 4 {
			e.Known = append(e.Known, m.label())
		}
	}
	return e
}
