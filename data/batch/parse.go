package batch

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// Parse reads the text of a batch file. Clock times without an offset are those
// of loc. The first fault comes back as a *strict.Error.
func Parse(file string, src []byte, loc *time.Location) (*Batch, error) {
	var raw fileTable
	doc, err := strict.Decode(file, src, &raw)
	if err != nil {
		return nil, err
	}
	if len(doc.Keys()) == 0 {
		return nil, doc.Errorf(nil, `name = "Winter orange cordial"`, "the file is empty; a batch has at least a name and the time it started")
	}
	p := &parser{doc: doc, loc: loc, b: &Batch{File: file, Doc: doc}}
	p.b.Units, p.err = parseUnits(doc, raw.Units)
	p.file(&raw)
	if p.err != nil {
		return nil, p.err
	}
	return p.b, nil
}

// parser turns the tables of a file into a Batch. It keeps the first fault and
// goes quiet after it.
type parser struct {
	doc *strict.Document
	loc *time.Location
	b   *Batch
	err error
}

func (p *parser) fail(at []any, right, format string, args ...any) {
	if p.err == nil {
		p.err = p.doc.Errorf(at, quantity.Say(right, p.b.Units), "%s", quantity.Say(fmt.Sprintf(format, args...), p.b.Units))
	}
}

// refuse reports an error of a value reader at a key, with the example that the
// reader made of the text, or else right, or else the reader's general one.
func (p *parser) refuse(at []any, right string, err error) {
	problem := problemOf(err)
	var qe *quantity.Error
	if errors.As(err, &qe) && qe.Example != "" && (right == "" || !qe.General) {
		right = fmt.Sprintf("%s = %q", at[len(at)-1], qe.Example)
	}
	p.fail(at, right, "%s", problem)
}

func key(at []any, name string) []any { return append(at[:len(at):len(at)], name) }

func (p *parser) file(raw *fileTable) {
	b := p.b
	b.Name = p.name([]any{"name"}, raw.Name, `name = "Winter orange cordial"`, "the batch has no name")
	b.Started, b.StartedDateOnly = p.started(raw.Started)
	b.RoomC = p.room(raw.Room)
	for i := range raw.Spirit {
		b.Spirits = append(b.Spirits, p.spirit(i, &raw.Spirit[i]))
	}
	for i := range raw.Botanical {
		b.Botanicals = append(b.Botanicals, p.botanical(i, &raw.Botanical[i]))
	}
	for i := range raw.Watch {
		b.Watches = append(b.Watches, p.watch(i, &raw.Watch[i]))
	}
	for i := range raw.Addition {
		b.Additions = append(b.Additions, p.addition(i, &raw.Addition[i]))
	}
	b.Finish = p.finish(&raw.Finish)
	b.Measured = p.measured(&raw.Measured)
	for i := range raw.Tasting {
		b.Tastings = append(b.Tastings, p.tasting(i, &raw.Tasting[i]))
	}
	for i := range raw.Pulled {
		b.Pulls = append(b.Pulls, p.pull(i, &raw.Pulled[i]))
	}
}

// name reads a name that must be there. Spaces around it are the maker's slip.
func (p *parser) name(at []any, name, right, missing string) string {
	if name = tidy(name); name == "" {
		p.fail(at, right, "%s", missing)
	}
	if problem := nameProblem(name); problem != "" {
		p.fail(at, "", "%s", problem)
	}
	return name
}

func (p *parser) started(v any) (time.Time, bool) {
	at := []any{"started"}
	const right = "started = 2026-11-20T18:00:00"
	if !p.doc.Has(at...) {
		p.fail(at, right, "the file does not say when the batch started")
		return time.Time{}, false
	}
	m, said, err := p.onClock(v, time.Time{}, Nearest)
	switch {
	case err != nil:
		p.refuseMoment(at, err)
	case !said:
		p.fail(at, right, "%q should be a date and time", "started")
	}
	return m.Time, m.DateOnly
}

// onClock reads a moment that is no span; a date without a year is reckoned from
// a moment, on its side. said is false where v says nothing of a day or a clock.
func (p *parser) onClock(v any, from time.Time, side Side) (m Moment, said bool, err error) {
	switch v := v.(type) {
	case time.Time:
		m, err = momentOf(v, p.loc)
		return m, true, err
	case string:
		return Reckoning{Loc: p.loc, From: from, Side: side, System: p.b.Units}.Moment(v)
	}
	return m, false, nil
}

// refuseMoment shows the example of a moment as TOML has it, without quotation marks.
func (p *parser) refuseMoment(at []any, err error) {
	var qe *quantity.Error
	if errors.As(err, &qe) {
		p.fail(at, fmt.Sprintf("%s = %s", at[len(at)-1], qe.Example), "%s", qe.Problem)
		return
	}
	p.refuse(at, "", err)
}

// since reads a moment of the batch: a duration since the start, or a time of
// the clock, both as hours since the start and as the moment itself.
func (p *parser) since(at []any, v any, right, what string) (hours float64, when time.Time) {
	m, ok := p.moment(at, v, right, what)
	if !ok {
		return 0, p.b.Started
	}
	if m.DateOnly && m.Time.Before(p.b.Started) && sameDay(m.Time, p.b.Started) {
		p.fail(at, fmt.Sprintf("%s = %s", at[len(at)-1], p.b.Started.Add(6*time.Hour).Format("2006-01-02T15:04:05")),
			"%s is given as a date alone, on the day the batch started; write the time too", what)
	}
	return p.sinceStart(at, m.Time, right, what)
}

// stage is since for what is done once, and often on the very day: the day of the
// start, as a date alone, is the end of it.
func (p *parser) stage(at []any, v any, right, what string) (hours float64, when time.Time) {
	m, ok := p.moment(at, v, right, what)
	if !ok {
		return 0, p.b.Started
	}
	if m.DateOnly && sameDay(m.Time, p.b.Started) {
		y, month, d := m.Time.Date()
		m.Time = time.Date(y, month, d, 23, 59, 0, 0, p.loc)
		if m.Time.Before(p.b.Started) {
			m.Time = p.b.Started
		}
	}
	return p.sinceStart(at, m.Time, right, what)
}

// sinceStart refuses what was before the start.
func (p *parser) sinceStart(at []any, t time.Time, right, what string) (hours float64, when time.Time) {
	if start := p.b.Started; t.Before(start) {
		p.fail(at, right, "%s is before the batch started (%s)", what, start.Format("2006-01-02~15:04"))
	}
	return p.b.Hours(t), t
}

// moment reads a duration since the start, or a time of the clock; ok is false
// where there is none, or none that can be read.
func (p *parser) moment(at []any, v any, right, what string) (m Moment, ok bool) {
	if v == nil {
		return m, false
	}
	text, _ := v.(string)
	d, noSpan := quantity.ParseDuration(text)
	if noSpan == nil {
		return Moment{Time: p.b.Started.Add(d.Round(time.Millisecond))}, true // 0.2166666667 h are 13 minutes
	}
	m, said, err := p.onClock(v, p.b.Started, Next)
	switch {
	case err != nil && said:
		p.refuseMoment(at, err)
	case err != nil:
		p.refuse(at, right, noSpan)
	case !said:
		p.fail(at, right, "%q should be a time since the start, in quotation marks, or a date and time", at[len(at)-1])
	}
	return m, said && err == nil
}

func sameDay(a, b time.Time) bool { return a.Format(time.DateOnly) == b.Format(time.DateOnly) }

func (p *parser) room(v any) *float64 {
	at := []any{"room"}
	switch v := v.(type) {
	case nil:
		return nil
	case string:
		c, err := quantity.ParseTemperature(v)
		if err != nil {
			p.refuse(at, "", err)
			return nil
		}
		if c < -30 || c > 100 {
			p.fail(at, `room = "20~C"`, "nothing steeps at %s", quantity.FormatTemperature(c, p.b.Units))
		}
		return &c
	case int64, float64:
		p.fail(at, fmt.Sprintf(`room = "%v C"`, v), "the temperature %v has no scale; write it as text with C or F", v)
	default:
		p.fail(at, `room = "20~C"`, "%q should be a temperature in quotation marks", "room")
	}
	return nil
}

// parseUnits reads units = "us" of a batch or a house.
func parseUnits(doc *strict.Document, s string) (quantity.System, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "", "metric":
		if s == "" && doc.Has("units") {
			return 0, doc.Errorf([]any{"units"}, `units = "metric"`, "units is empty; it is metric or us")
		}
		return quantity.Metric, nil
	case "us":
		return quantity.US, nil
	}
	return 0, doc.Errorf([]any{"units"}, `units = "us"`, "units is %q, but it can only be metric or us", shown(s))
}

func (p *parser) spirit(i int, t *spiritTable) Spirit {
	at := []any{"spirit", i}
	s := Spirit{Name: tidy(t.Name), Index: i, Price: p.price(at, t.Price)}
	if problem := nameProblem(s.Name); problem != "" {
		p.fail(key(at, "name"), "", "%s", problem)
	}
	s.ABVPercent = p.strength(at, t.ABV, t.Proof, true)
	if in := p.named(at, s.Name, s.ABVPercent); in != nil {
		s.ABVPercent, s.InName, s.Bare = &in.Percent, true, !in.ByVolume
	}
	s.Amount = p.liquid(key(at, "amount"), t.Amount, "700~ml", "a spirit", true)
	return s
}

// named is the strength that stands in a name; nil where none does. Another one
// beside it is refused: no guess which is right.
func (p *parser) named(at []any, name string, written *float64) *quantity.NamedStrength {
	_, in := quantity.StrengthIn(name)
	if in.Unclear && written == nil {
		p.fail(key(at, "name"), "", "the strength in the name %q cannot be read; write it as abv = 40 beside the plain name", name)
	}
	if !in.Said {
		return nil
	}
	if written != nil && (in.ByVolume || at[0] == "spirit" && *written > 0) && math.Abs(in.Percent-*written) > 0.05 {
		p.fail(key(at, "abv"), "abv = "+quantity.FormatNumber(in.Percent), "the name %q says %s %% vol, and beside it stands %s; keep one",
			name, quantity.FormatNumber(in.Percent), quantity.FormatNumber(*written))
	}
	return &in
}

// strength reads abv or proof, whichever is there. asBase is true for the
// liquid things steep in, where a fraction is a slip.
func (p *parser) strength(at []any, abv any, proof *float64, asBase bool) *float64 {
	atABV, atProof := key(at, "abv"), key(at, "proof")
	if abv != nil && proof != nil {
		p.fail(atProof, "", "both abv and proof are given; keep one, proof is twice abv")
		return nil
	}
	if proof != nil {
		v, err := quantity.ABVFromProof(*proof)
		if err != nil {
			p.fail(atProof, "proof = 114", "proof runs from 0 to 200, twice the %% vol, not %s", quantity.FormatNumber(*proof))
		}
		return &v
	}
	if abv == nil {
		return nil
	}
	var v float64
	var err error
	switch x := abv.(type) {
	case string:
		v, err = quantity.ParseABV(x)
	case int64:
		v = float64(x)
		err = quantity.CheckABV(v)
	case float64:
		v = x
		err = quantity.CheckABV(v)
	default:
		p.fail(atABV, "abv = 57", "abv should be a number, the %% vol")
		return nil
	}
	switch {
	case err != nil && v > 100 && v <= 200:
		p.fail(atABV, "proof = "+quantity.FormatNumber(v), "%s", problemOf(err))
	case err != nil:
		p.fail(atABV, "abv = 57", "%s", problemOf(err))
	case asBase && v > 0.3 && v < 1 && v != 0.5:
		p.fail(atABV, "abv = "+quantity.FormatNumber(100*v), "abv is in per cent, so %s is all but no alcohol; did you mean %s?",
			quantity.FormatNumber(v), quantity.FormatNumber(100*v))
	}
	return &v
}

func problemOf(err error) string {
	var ex strict.Explainer
	if errors.As(err, &ex) {
		problem, _ := ex.Explain()
		return problem
	}
	return err.Error()
}

// price reads a price, which may be zero for what grew in the garden.
func (p *parser) price(at []any, v *float64) *float64 {
	if v != nil && !(*v >= 0 && *v <= 1e6) {
		p.fail(key(at, "price"), "price = 24.50", "a price is a number from 0 up to a million, not %s", quantity.FormatNumber(*v))
	}
	return v
}

// amount reads an amount of any kind.
func (p *parser) amount(at []any, s *string, example string) *quantity.Amount {
	if s == nil {
		return nil
	}
	a, err := quantity.ParseIn(*s, p.b.Units)
	if err != nil {
		p.refuse(at, fmt.Sprintf("%s = %q", at[len(at)-1], example), err)
		return nil
	}
	return &a
}

// line reads a name and an amount as people write them: the amount may stand in the
// name ("zest of 10 key limes"), or say again what it is of ("2 sticks of
// cinnamon"). cut takes what it says besides, how it is prepared; nil refuses that.
func (p *parser) line(at []any, name string, cut, s *string, example string) (string, *quantity.Amount) {
	if s == nil {
		a, thing, ok := quantity.ParseLine(name)
		if !ok {
			return name, nil
		}
		if how := ""; cut != nil {
			if thing, how, _ = strings.Cut(thing, ","); *cut == "" {
				*cut = strings.TrimSpace(how)
			}
		}
		return thing, p.amount(key(at, "name"), &a.Text, example)
	}
	if _, err := quantity.ParseAmount(*s); err != nil {
		if a, thing, ok := quantity.ParseLine(*s); ok && (a.Kind != quantity.Count || a.Noun != "" || a.Of != "") {
			beyond := quantity.Beyond(thing, name)
			if len(beyond) == 0 || cut != nil && *cut == "" {
				if len(beyond) > 0 {
					*cut = strings.Join(beyond, " ")
				}
				s = &a.Text
			}
		}
	}
	a := p.amount(key(at, "amount"), s, example)
	if a != nil {
		if other := a.OfAnother(name); other != "" {
			p.fail(key(at, "amount"), "", "%q counts %s, and this is %s; write what it is of in name", shown(*s), other, name)
		}
	}
	return name, a
}

// liquid reads an amount of something that is always liquid: by volume, or by
// weight where that makes sense.
func (p *parser) liquid(at []any, s *string, example, what string, byWeight bool) *quantity.Amount {
	a := p.amount(at, s, example)
	if a == nil {
		return nil
	}
	right := fmt.Sprintf("%s = %q", at[len(at)-1], example)
	_, _, _, isML := a.Millilitres()
	switch {
	case a.Kind == quantity.Ounce:
		fluid := a.AsFluid().String()
		or := ""
		if byWeight {
			or = fmt.Sprintf(", or %q if it was weighed", a.AsWeight().String())
		}
		p.fail(at, fmt.Sprintf("%s = %q", at[len(at)-1], fluid), "%q can be weight or volume; for %s write %q%s", shown(*s), what, fluid, or)
	case a.Kind == quantity.Mass && byWeight, isML:
	case a.Kind == quantity.Mass:
		p.fail(at, right, "%q is a weight; %s is measured by volume", shown(*s), what)
	case a.Kind == quantity.Count && a.Noun == "" && a.Of == "":
		p.fail(at, right, "%q has no unit; %s is measured in ml, l, cups or fl oz", shown(*s), what)
	case a.Kind == quantity.Count:
		p.fail(at, right, "%q is a count; %s is measured by volume", shown(*s), what)
	default:
		p.fail(at, right, "%q has no fixed size; %s is measured in ml, l, cups or fl oz", shown(*s), what)
	}
	return a
}

// within checks that a number lies in a range.
func (p *parser) within(at []any, v *float64, low, high float64, right, what string) *float64 {
	if v != nil && !(*v >= low && *v <= high) {
		p.fail(at, right, "%s runs from %s to %s, not %s", what, quantity.FormatNumber(low), quantity.FormatNumber(high), quantity.FormatNumber(*v))
	}
	return v
}

func (p *parser) botanical(i int, t *botanicalTable) Botanical {
	at := []any{"botanical", i}
	h := Botanical{Like: tidy(t.Like), Cut: tidy(t.Cut), Lot: t.Lot, LeaveIn: t.LeaveIn, Bag: t.Bag, Index: i}
	h.Name = p.name(key(at, "name"), t.Name, `name = "green cardamom"`, "this [[botanical]] has no name")
	h.Name, h.Amount = p.line(at, h.Name, &h.Cut, t.Amount, "24 g")
	for _, other := range p.b.Botanicals {
		if !strings.EqualFold(other.Name, h.Name) {
			continue
		}
		own := strings.TrimSpace(h.Name + ", " + h.Cut)
		if h.Cut == "" || strings.EqualFold(h.Cut, other.Cut) {
			own = h.Name + ", second charge"
		}
		p.fail(key(at, "name"), fmt.Sprintf("name = %q", own),
			"two botanicals are called %q (first on line %d), so tastings could not tell them apart; give this one a name of its own and add like = %q",
			h.Name, p.doc.Line("botanical", other.Index, "name"), h.Name)
	}
	h.Target = p.within(key(at, "target"), t.Target, 0, 10, "target = 6", "a target")
	if h.Target != nil && *h.Target == 0 {
		h.Target = nil // as strong as it gets
	}
	var in time.Time
	h.In, in = p.since(key(at, "in"), t.In, `in = "20 h"`, "the time it went in")
	h.Bought = p.bought(key(at, "bought"), t.Bought, in)
	h.Price = p.price(at, t.Price)
	return h
}

// bought reads the day from which a botanical ages.
func (p *parser) bought(at []any, v any, in time.Time) time.Time {
	const right = "bought = 2025-11-01"
	if v == nil {
		return time.Time{}
	}
	m, said, err := p.onClock(v, in, Last)
	switch {
	case err != nil:
		p.fail(at, right, "%s", problemOf(err))
	case !said:
		p.fail(at, right, "%q should be the day it was bought", "bought")
	case m.Time.After(in) && !sameDay(m.Time, in):
		p.fail(at, right, "it was bought on %s, after it went into the jar (%s)", m.Time.Format(time.DateOnly), in.Format(time.DateOnly))
	}
	return m.Time
}

func (p *parser) watch(i int, t *watchTable) Watch {
	at := []any{"watch", i}
	w := Watch{Index: i}
	w.Name = p.name(key(at, "name"), t.Name, `name = "bitter"`, "this [[watch]] has no name")
	for _, h := range p.b.Botanicals {
		if strings.EqualFold(h.Name, w.Name) {
			p.fail(key(at, "name"), fmt.Sprintf("name = %q", "bitter "+w.Name),
				"the watch %q has the name of a botanical (line %d), so a score could be either; name the unwanted taste", w.Name, p.doc.Line("botanical", h.Index, "name"))
		}
	}
	for _, other := range p.b.Watches {
		if strings.EqualFold(other.Name, w.Name) {
			p.fail(key(at, "name"), "", "two watches are called %q (first on line %d); keep one", w.Name, p.doc.Line("watch", other.Index, "name"))
		}
	}
	if t.Limit == nil {
		p.fail(key(at, "limit"), "limit = 2", "the watch %q has no limit, the most of it that is tolerable", w.Name)
		return w
	}
	p.within(key(at, "limit"), t.Limit, 0, 10, "limit = 2", "a limit")
	w.Limit = *t.Limit
	w.From = p.from(key(at, "from"), t.From)
	return w
}

// unknownName words a name that the file does not declare. Which of the two
// places has the slip only the maker knows, so it names the other one too.
func (p *parser) unknownName(name string, known []string, what string) string {
	problem, near := unknownName(name, known, what)
	for i, h := range p.b.Botanicals {
		if near != "" && h.Name == near {
			return fmt.Sprintf("%s (line %d)?", strings.TrimSuffix(problem, "?"), p.doc.Line("botanical", i, "name"))
		}
	}
	for i, w := range p.b.Watches {
		if near != "" && w.Name == near {
			return fmt.Sprintf("%s (line %d)?", strings.TrimSuffix(problem, "?"), p.doc.Line("watch", i, "name"))
		}
	}
	return problem
}

// from reads the botanicals that bring a watched taste: one name or a list.
func (p *parser) from(at []any, v any) []string {
	const right = `from = ["grapefruit peel"]`
	var names []string
	switch v := v.(type) {
	case nil:
		return nil
	case string:
		names = []string{v}
	case []any:
		for _, item := range v {
			name, ok := item.(string)
			if !ok {
				p.fail(at, right, "from should be names of botanicals")
				return nil
			}
			names = append(names, name)
		}
	default:
		p.fail(at, right, "from should be names of botanicals")
		return nil
	}
	var from []string
	known := p.b.botanicalNames()
	for _, name := range names {
		d, ok := declared(name, known)
		if !ok {
			p.fail(at, "", "%s", p.unknownName(name, known, "botanical"))
			return nil
		}
		from = append(from, d)
	}
	return from
}

func (p *parser) addition(i int, t *additionTable) Addition {
	at := []any{"addition", i}
	a := Addition{Heated: t.Heated, Index: i}
	if t.In != nil {
		h, _ := p.since([]any{"addition", i, "in"}, t.In, `in = "0 h"`, "the time it went in")
		a.In = &h
	}
	a.BoiledOff = p.amount(key(at, "boiled_off"), t.BoiledOff, "40~ml")
	a.Name = p.name(key(at, "name"), t.Name, `name = "demerara sugar"`, "this [[addition]] has no name")
	a.Name, a.Amount = p.line(at, a.Name, nil, t.Amount, "320~g")
	a.ABVPercent = p.strength(at, t.ABV, t.Proof, false)
	if in := p.named(at, a.Name, a.ABVPercent); in != nil && in.ByVolume {
		a.ABVPercent = &in.Percent
	}
	a.PH = p.within(key(at, "ph"), t.PH, 0, 14, "ph = 2.9", "pH")
	if acid := p.concentration(key(at, "acid"), t.Acid, "6 g/100 ml", 250); acid != nil {
		per100 := *acid / 10
		a.AcidGPer100ML = &per100
	}
	a.Brix = p.within(key(at, "brix"), t.Brix, 0, 100, "brix = 50", "Brix")
	a.Price = p.price(at, t.Price)
	return a
}

// concentration reads "12 g/l", "6 g/100 ml" or the "5 %" of a label, which is
// grams in 100 ml, into g/l. A bare number is
// refused: juice is spoken of in g/100 ml, a bottle in g/l. Values above most
// are refused too.
func (p *parser) concentration(at []any, v any, example string, most float64) *float64 {
	name := at[len(at)-1]
	right := fmt.Sprintf("%s = %q", name, example)
	if v == nil {
		return nil
	}
	text, ok := v.(string)
	if !ok {
		p.fail(at, right, "%v needs its unit, g/l, g/100 ml or %%, in quotation marks", name)
		return nil
	}
	number, unit := cutUnit(text)
	factor, ok := concentrations[unit]
	g := 0.0
	if number != "0" {
		a, err := quantity.ParseAmount(number + " g")
		ok = ok && err == nil && a.Low == a.High
		g = a.Low * factor
	}
	switch {
	case !ok:
		p.fail(at, right, "%q is not a concentration in g/l, g/100 ml or %%", shown(text))
		return nil
	case !(g <= most):
		p.fail(at, right, "%v goes up to %s g/l, not %s g/l; is the unit right?", name, quantity.FormatNumber(most), quantity.FormatNumber(g))
		return nil
	}
	return &g
}

// concentrations holds the accepted units in g/l, without their spaces.
var concentrations = map[string]float64{
	"g/l": 1, "gperl": 1, "gperlitre": 1, "gperliter": 1, "g/litre": 1, "g/liter": 1,
	"g/100ml": 10, "gper100ml": 10, "g/dl": 10, "%": 10,
}

// cutUnit splits "6 g/100 ml" into "6" and "g/100ml".
func cutUnit(s string) (number, unit string) {
	s = strings.TrimSpace(s)
	i := strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune("0123456789., /½¼¾", r) })
	if i < 0 {
		return s, ""
	}
	return strings.TrimSpace(s[:i]), strings.ToLower(strings.Join(strings.Fields(s[i:]), ""))
}

func (p *parser) finish(t *finishTable) Finish {
	at := []any{"finish"}
	f := Finish{Press: t.Press, Heated: t.Heated, Filtered: t.Filtered, LeaveIn: t.LeaveIn, Boiled: t.Boiled}
	f.Bottle = p.liquid(key(at, "bottle"), t.Bottle, "250~ml", "a bottle", false)
	f.Serve = p.liquid(key(at, "serve"), t.Serve, "45~ml", "a serve", false)
	f.Store, f.StoreC = p.store(key(at, "store"), t.Store)
	moment := func(name string, v any, example, what string) *Stage {
		if v == nil {
			return nil
		}
		if v == true {
			p.fail(key(at, name), example, "%s says when; what is strained clear is filtered = true", name)
			return nil
		}
		hours, when := p.stage(key(at, name), v, example, what)
		return &Stage{hours, when, name}
	}
	f.Strained = moment("strained", t.Strained, `strained = "5 d"`, "the straining")
	if old := moment("at", t.At, `strained = "5 d"`, "the straining"); old != nil {
		if f.Strained != nil && f.Strained.Hours != old.Hours {
			p.fail(key(at, "at"), "", "at and strained both say when it was strained, and not the same; leave at out")
		}
		if f.Strained == nil {
			f.Strained = old
		}
	}
	f.Bottled = moment("bottled", t.Bottled, `bottled = "6 d"`, "the bottling")
	f.Opened = moment("opened", t.Opened, `opened = "30 d"`, "the opening")
	order := []*Stage{f.Strained, f.Bottled, f.Opened}
	for i, later := range order {
		for _, sooner := range order[:i] {
			if later != nil && sooner != nil && later.Hours < sooner.Hours {
				p.fail(key(at, later.Key), "", "it was %s %s after the start, before it was %s at %s", stageWords[later.Key], hours(later.Hours), stageWords[sooner.Key], hours(sooner.Hours))
			}
		}
	}
	return f
}

var stageWords = map[string]string{"at": "strained", "strained": "strained", "bottled": "bottled", "opened": "opened"}

// stores holds the words for where a bottle is kept, and other words for them.
var stores = map[string]string{
	"fridge": "fridge", "refrigerator": "fridge", "freezer": "freezer", "cellar": "cellar", "room": "room",
	"shelf": "room", "cupboard": "room", "pantry": "room",
}

func (p *parser) store(at []any, s string) (place string, c *float64) {
	word := strings.ToLower(strings.TrimSpace(s))
	if word == "" {
		if p.doc.Has(at...) {
			p.fail(at, `store = "fridge"`, "store is empty; it is fridge, freezer, cellar, room or a temperature")
		}
		return "", nil
	}
	if place, ok := stores[word]; ok {
		return place, nil
	}
	if strings.ContainsAny(word, "0123456789") {
		v, err := quantity.ParseTemperature(s)
		if err != nil {
			p.refuse(at, `store = "4~C"`, err)
			return "", nil
		}
		if v < -80 || v > 60 {
			p.fail(at, `store = "4~C"`, "nothing is kept at %s", quantity.FormatTemperature(v, p.b.Units))
		}
		return "", &v
	}
	problem := fmt.Sprintf("store is %q; it is fridge, freezer, cellar, room or a temperature", shown(s))
	if near, ok := strict.Nearest(word, []string{"fridge", "freezer", "cellar", "room"}); ok {
		problem = fmt.Sprintf("store is %q; did you mean %q?", shown(s), near)
		p.fail(at, fmt.Sprintf("store = %q", near), "%s", problem)
	}
	p.fail(at, `store = "fridge"`, "%s", problem)
	return "", nil
}

func (p *parser) measured(t *measuredTable) Measured {
	at := []any{"measured"}
	m := Measured{
		PH:         p.within(key(at, "ph"), t.PH, 1, 12, "ph = 3.4", "the pH of a drink"),
		ABVPercent: p.strength(at, t.ABV, t.Proof, false),
		SugarGPerL: p.concentration(key(at, "sugar"), t.Sugar, "280 g/l", 1000),
		AcidGPerL:  p.concentration(key(at, "acid"), t.Acid, "12 g/l", 250),
		Brix:       p.within(key(at, "brix"), t.Brix, 0, 100, "brix = 30", "Brix"),
	}
	for _, v := range []struct {
		key, right, what string
		text             *string
		ml               **float64
	}{
		{"volume", "1.05~l", "the yield", t.Volume, &m.VolumeML}, {"strained", "640~ml", "the strained liquor", t.Strained, &m.StrainedML},
	} {
		if a := p.liquid(key(at, v.key), v.text, v.right, v.what, false); a != nil {
			_, ml, _, _ := a.Millilitres()
			*v.ml = &ml
		}
	}
	if d := t.Density; d != nil {
		if *d >= 0.75 && *d <= 1.6 {
			p.fail(key(at, "density"), "density = "+quantity.FormatNumber(1000**d), "density is in kg/m3, which is 1000 times g/ml; did you mean %s?", quantity.FormatNumber(1000**d))
		}
		// From pure ethanol (789 kg/m3 at 20 C) to heavier than any syrup.
		m.DensityKgPerM3 = p.within(key(at, "density"), d, 780, 1500, "density = 1085", "density in kg/m3")
	}
	return m
}

// thinnest is how many parts a tasting sample may be thinned with to one of jar.
const thinnest = 50

func (p *parser) tasting(i int, t *tastingTable) Tasting {
	at := []any{"tasting", i}
	out := Tasting{SampleJar: 1, Taster: strings.TrimSpace(t.Taster), Words: t.Words, Index: i}
	if !p.doc.Has(key(at, "at")...) {
		p.fail(key(at, "at"), `at = "6 h"`, "this [[tasting]] does not say when it was")
	}
	out.Hours, out.When = p.since(key(at, "at"), t.At, `at = "6 h"`, "this tasting")
	if t.Sample != nil {
		var err error
		if out.SampleJar, out.SampleOther, err = quantity.ParseRatio(*t.Sample); err != nil {
			p.refuse(key(at, "sample"), "", err)
		} else if out.SampleOther > thinnest*out.SampleJar {
			p.fail(key(at, "sample"), `sample = "1:10"`, "a sample of %q is thinner than 1:%d, too thin for a score to say anything of the jar", *t.Sample, thinnest)
		}
	}
	if len(t.Score) == 0 {
		p.fail(key(at, "score"), `score = { bitter = 1, "green cardamom" = 3 }`, "this tasting has no score")
	}
	known := p.b.Tastes()
	for _, written := range p.doc.Keys(key(at, "score")...) {
		where := key(key(at, "score"), written)
		name, ok := declared(written, known)
		if !ok {
			p.fail(where, "", "%s", p.unknownName(written, known, "botanical or watch"))
			return out
		}
		for _, s := range out.Scores {
			if s.Name == name {
				p.fail(where, "", "%q has two scores in one tasting; keep one", name)
			}
		}
		v := t.Score[written]
		p.score(where, name, v)
		out.Scores = append(out.Scores, Score{name, v})
	}
	return out
}

func (p *parser) score(at []any, name string, v float64) {
	if math.IsNaN(v) || v < 0 || v > 10 {
		p.fail(at, fmt.Sprintf("%q = 4", name), "the score of %q is %s; scores run from 0 (absent) to 10 (nothing else)", name, quantity.FormatNumber(v))
	}
}

func (p *parser) pull(i int, t *pulledTable) Pull {
	at := []any{"pulled", i}
	out := Pull{Index: i}
	written := p.name(key(at, "name"), t.Name, `name = "green cardamom"`, "this [[pulled]] does not name what came out")
	for _, w := range p.b.Watches {
		if strings.EqualFold(w.Name, written) {
			p.fail(key(at, "name"), "", "%q is a watch, a taste; only a botanical can be pulled", w.Name)
		}
	}
	known := p.b.botanicalNames()
	name, ok := declared(written, known)
	if !ok {
		p.fail(key(at, "name"), "", "%s", p.unknownName(written, known, "botanical"))
		return out
	}
	out.Name = name
	if !p.doc.Has(key(at, "at")...) {
		p.fail(key(at, "at"), `at = "20 h"`, "this [[pulled]] does not say when it was")
	}
	out.Hours, out.When = p.since(key(at, "at"), t.At, `at = "20 h"`, "this pull")
	for _, h := range p.b.Botanicals {
		if h.Name == name && out.Hours < h.In {
			p.fail(key(at, "at"), "", "%q is pulled %s after the start, before it went in at %s", name, hours(out.Hours), hours(h.In))
		}
	}
	for _, other := range p.b.Pulls {
		if other.Name == name {
			p.fail(key(at, "name"), "", "%q is pulled twice, first on line %d; keep one", name, p.doc.Line("pulled", other.Index, "name"))
		}
	}
	return out
}

func hours(h float64) string {
	return quantity.FormatDuration(time.Duration(h * float64(time.Hour)))
}
