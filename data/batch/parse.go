package batch

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// Parse reads the text of a batch file. Clock times without an offset are those
// of loc. The first fault comes back as a *strict.Error.
func Parse(file string, src []byte, loc *time.Location) (*Batch, error) {
	return parse(file, src, loc, nil)
}

// ParseBeside is Parse for a file in its book: where it does not say in whose measures it
// is, the house rules beside it do.
func ParseBeside(file string, src []byte, loc *time.Location) (*Batch, error) {
	return parse(file, src, loc, beside(filepath.Dir(file)))
}

// parse is Parse; usual is asked for the units of a file that does not say them, nil where
// nobody knows. An entry that was cut off is left out.
func parse(file string, src []byte, loc *time.Location, usual func() quantity.System) (*Batch, error) {
	b, err := parseAll(file, src, loc, usual)
	if err == nil {
		return b, nil
	}
	keep, cut := cutOff(src)
	if !cut {
		return nil, err
	}
	whole, err := parseAll(file, src[:keep], loc, usual)
	if err != nil {
		return nil, err
	}
	whole.CutOff = string(src[keep:])
	return whole, nil
}

func parseAll(file string, src []byte, loc *time.Location, usual func() quantity.System) (*Batch, error) {
	var raw fileTable
	doc, err := strict.Decode(file, src, &raw)
	var fault *strict.Error
	if errors.As(err, &fault) {
		fault.Right = quantity.Say(fault.Right, quantity.Metric) // its units are not known yet
	}
	if err != nil {
		return nil, err
	}
	if len(doc.Keys()) == 0 {
		return nil, doc.Errorf(nil, doc.Right("name"),
			"the file is empty; a batch has at least a name and the time it started")
	}
	p := read(file, doc, &raw, loc, usual)
	if p.twice && p.settle(&raw) {
		p = read(file, doc, &raw, loc, usual)
	}
	if p.err != nil {
		return nil, p.err
	}
	doc.Drop() // a book is thousands of files
	return p.b, nil
}

// read turns the tables of a file into a batch, or a fault.
func read(file string, doc *strict.Document, raw *fileTable, loc *time.Location,
	usual func() quantity.System) *parser {
	p := &parser{doc: doc, loc: loc, b: &Batch{File: file, Doc: doc}}
	if p.b.Units = p.units(raw.Units); usual != nil && !doc.Has("units") {
		p.b.Units = usual()
	}
	p.file(raw)
	return p
}

// parser turns the tables of a file into a Batch. It keeps the first fault and
// goes quiet after it.
type parser struct {
	doc *strict.Document
	loc *time.Location
	b   *Batch
	err error
	// twice: an entry was logged by a clock that was shown twice, without its offset.
	twice bool
}

// fail reports a fault at a key, with an example that would be right; "" is none.
func (p *parser) fail(at spot, right, format string, args ...any) {
	if p.err == nil {
		p.err = p.doc.Errorf(at.path(), quantity.Say(right, p.b.Units), "%s",
			quantity.Say(fmt.Sprintf(format, args...), p.b.Units))
	}
}

// wrong reports a fault at a key with the example of that key.
func (p *parser) wrong(at spot, format string, args ...any) {
	p.fail(at, p.doc.Right(at.path()...), format, args...)
}

// refuse reports an error of a value reader at a key, with the example that the
// reader made of the text, or else that of the key.
func (p *parser) refuse(at spot, err error) { p.refuseOr(at, p.doc.Right(at.path()...), err) }

func (p *parser) refuseOr(at spot, right string, err error) {
	var qe *quantity.Error
	if errors.As(err, &qe) && qe.Example != "" && !qe.General {
		right = example(at, qe.Example)
	}
	p.fail(at, right, "%s", problemOf(err))
}

func problemOf(err error) string {
	var qe *quantity.Error
	if errors.As(err, &qe) {
		return qe.Problem
	}
	return err.Error()
}

// example is a key with a text that would be right.
func example(at spot, text string) string { return fmt.Sprintf("%s = %q", at.last(), text) }

// spot is where something stands in a file: a key in a table, or the table, whose key is "".
type spot struct {
	in  *holder
	key string
}

// holder is a table, or a key at the top: which of its entries, -1 where it is there once,
// and the key below it that holds the spot, "" where the table itself does.
type holder struct {
	table string
	entry int
	below string
}

// once is the spot of what stands in a file once.
func once(table string) spot { return nth(table, -1) }

// nth is the spot of an entry of a repeated table.
//
//go:noinline
func nth(table string, i int) spot { return spot{in: &holder{table, i, ""}} }

// of is a spot with one more key.
//
//go:noinline
func (at spot) of(key string) spot {
	if at.key != "" {
		at.in = &holder{at.in.table, at.in.entry, at.key}
	}
	return spot{at.in, key}
}

// path is the spot as a strict.Document takes it.
//
//go:noinline
func (at spot) path() []any {
	path := append(make([]any, 0, 4), at.in.table)
	if at.in.entry >= 0 {
		path = append(path, at.in.entry)
	}
	for _, key := range []string{at.in.below, at.key} {
		if key != "" {
			path = append(path, key)
		}
	}
	return path
}

// last is the innermost key.
//
//go:noinline
func (at spot) last() string { return cmp.Or(at.key, at.in.table) }

// each reads the entries of a repeated table in their order.
func each[R, T any](to *[]T, raw []R, read func(i int, r *R) T) {
	*to = slices.Grow(*to, len(raw))
	for i := range raw {
		*to = append(*to, read(i, &raw[i]))
	}
}

func (p *parser) file(raw *fileTable) {
	b := p.b
	b.Name = p.name(once("name"), raw.Name, "the batch has no name")
	b.ID = p.fitName(once("id"), tidy(raw.ID))
	b.Started, b.StartedDateOnly = p.started(raw.Started)
	b.RoomC = p.room(raw.Room)
	b.Ready = p.ready(raw.Ready)
	each(&b.Spirits, raw.Spirit, p.spirit)
	each(&b.Botanicals, raw.Botanical, p.botanical)
	each(&b.Watches, raw.Watch, p.watch)
	each(&b.Additions, raw.Addition, p.addition)
	b.Finish = p.finish(&raw.Finish)
	for i := range b.Botanicals { // [finish] speaks for what says nothing itself
		if raw.Botanical[i].LeaveIn == nil {
			b.Botanicals[i].LeaveIn = b.Finish.LeaveIn
		}
	}
	b.Measured = p.measured(&raw.Measured)
	p.log(raw)
}

func (p *parser) spirit(i int, t *spiritTable) Spirit {
	at := nth("spirit", i)
	s := Spirit{Name: p.fitName(at.of("name"), tidy(t.Name)), Index: i, Price: p.price(at, t.Price)}
	s.ABVPercent = p.strength(at, t.ABV, t.Proof, true)
	if in := p.named(at, s.Name, s.ABVPercent); in != nil {
		if s.InName = true; s.ABVPercent == nil {
			s.ABVPercent, s.Bare = &in.Percent, !in.ByVolume
		}
	}
	s.Amount = p.liquid(at.of("amount"), t.Amount, "a spirit", true)
	return s
}

func (p *parser) botanical(i int, t *botanicalTable) Botanical {
	at := nth("botanical", i)
	h := Botanical{Like: tidy(t.Like), Cut: tidy(t.Cut), Lot: t.Lot, LeaveIn: t.LeaveIn != nil && *t.LeaveIn,
		Bag: t.Bag, Index: i}
	h.Name = p.name(at.of("name"), t.Name, "this [[botanical]] has no name")
	h.Name, h.Amount = p.line(at, h.Name, &h.Cut, t.Amount)
	p.fitText(at.of("cut"), h.Cut, longestName)
	p.fitText(at.of("lot"), h.Lot, longestText)
	for _, other := range p.b.Botanicals {
		if !strings.EqualFold(other.Name, h.Name) {
			continue
		}
		own := strings.TrimSpace(h.Name + ", " + h.Cut)
		if h.Cut == "" || strings.EqualFold(h.Cut, other.Cut) {
			own = h.Name + ", second charge"
		}
		p.fail(at.of("name"), fmt.Sprintf("name = %q", own),
			"two botanicals are called %q (first on line %d), so tastings could not tell them apart; give "+
				"this one a name of its own and add like = %q",
			h.Name, p.declaredOn(other.Name), h.Name)
	}
	h.Target = p.within(at.of("target"), t.Target, 0, 10, "a target")
	if h.Target != nil && *h.Target == 0 {
		h.Target = nil // as strong as it gets
	}
	var in time.Time
	h.In, in = p.since(at.of("in"), t.In, "the time it went in")
	h.Bought = p.bought(at.of("bought"), t.Bought, in)
	h.Price = p.price(at, t.Price)
	return h
}

func (p *parser) watch(i int, t *watchTable) Watch {
	at := nth("watch", i)
	w := Watch{Index: i}
	w.Name = p.name(at.of("name"), t.Name, "this [[watch]] has no name")
	for _, h := range p.b.Botanicals {
		if strings.EqualFold(h.Name, w.Name) {
			p.fail(at.of("name"), fmt.Sprintf("name = %q", "bitter "+w.Name),
				"the watch %q has the name of a botanical (line %d), so a score could be either; name the "+
					"unwanted taste", w.Name, p.declaredOn(h.Name))
		}
	}
	for _, other := range p.b.Watches {
		if strings.EqualFold(other.Name, w.Name) {
			p.fail(at.of("name"), "", "two watches are called %q (first on line %d); keep one", w.Name,
				p.declaredOn(other.Name))
		}
	}
	if t.Limit == nil {
		p.wrong(at.of("limit"), "the watch %q has no limit, the most of it that is tolerable", w.Name)
		return w
	}
	p.within(at.of("limit"), t.Limit, 0, 10, "a limit")
	w.Limit = *t.Limit
	w.From = p.from(at.of("from"), t.From)
	return w
}

// unknownName words a name that the file does not declare. Which of the two
// places has the slip only the maker knows, so it names the other one too.
func (p *parser) unknownName(name string, known []string, what string) string {
	problem, near := unknownName(name, known, what)
	if near == "" {
		return problem
	}
	return fmt.Sprintf("%s (line %d)?", strings.TrimSuffix(problem, "?"), p.declaredOn(near))
}

// declaredOn is the line on which a botanical or a watch has its name.
func (p *parser) declaredOn(name string) int {
	for i, h := range p.b.Botanicals {
		if h.Name == name {
			return p.doc.Line("botanical", i, "name")
		}
	}
	i := slices.IndexFunc(p.b.Watches, func(w Watch) bool { return w.Name == name })
	return p.doc.Line("watch", i, "name")
}

// from reads the botanicals that bring a watched taste: one name or a list.
func (p *parser) from(at spot, v any) []string {
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
				p.wrong(at, "from should be names of botanicals")
				return nil
			}
			names = append(names, name)
		}
	default:
		p.wrong(at, "from should be names of botanicals")
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
	at := nth("addition", i)
	a := Addition{Heated: t.Heated, Index: i}
	if t.In != nil {
		h, _ := p.since(at.of("in"), t.In, "the time it went in")
		a.In = &h
	}
	a.Pressed = p.pressed(at, t.Pressed, a.In)
	if store, c := p.store(at.of("kept"), t.Kept); c != nil {
		p.wrong(at.of("kept"), "kept is a place, not a temperature: fridge, freezer, cellar or room")
	} else {
		a.Kept = store
	}
	a.BoiledOff = p.amount(at.of("boiled_off"), t.BoiledOff)
	a.Name = p.name(at.of("name"), t.Name, "this [[addition]] has no name")
	a.Name, a.Amount = p.line(at, a.Name, nil, t.Amount)
	a.ABVPercent = p.strength(at, t.ABV, t.Proof, false)
	if in := p.named(at, a.Name, a.ABVPercent); in != nil && in.ByVolume {
		a.ABVPercent = &in.Percent
	}
	a.PH = p.within(at.of("ph"), t.PH, 0, 14, "pH")
	if acid := p.concentration(at.of("acid"), t.Acid, 250); acid != nil {
		per100 := *acid / 10
		a.AcidGPer100ML = &per100
	}
	a.Brix = p.within(at.of("brix"), t.Brix, 0, 100, "Brix")
	a.Price = p.price(at, t.Price)
	return a
}

// mostKeeps is more than any solids keep, as a share of the usual. Judgement.
const mostKeeps = 5

// Kept is keeps of the next batch, of whose solids such a share was measured of what those of this one were
// expected to keep.
func (f *Finish) Kept(share float64) float64 {
	if f.Keeps != nil {
		share *= *f.Keeps
	}
	return min(math.Round(100*share)/100, mostKeeps)
}

func (p *parser) finish(t *finishTable) Finish {
	at := once("finish")
	f := Finish{Press: t.Press, Heated: t.Heated, Filtered: t.Filtered, LeaveIn: t.LeaveIn, Boiled: t.Boiled}
	f.Keeps = p.within(at.of("keeps"), t.Keeps, 0, mostKeeps, "what the solids keep against the usual")
	f.Bottle = p.liquid(at.of("bottle"), t.Bottle, "a bottle", false)
	f.Serve = p.liquid(at.of("serve"), t.Serve, "a serve", false)
	f.Store, f.StoreC = p.store(at.of("store"), t.Store)
	moment := func(name string, v any, what string) *Stage {
		switch at := at.of(name); v {
		case nil:
			return nil
		case true:
			p.wrong(at, "%s says when; what is strained clear is filtered = true", name)
			return nil
		default:
			hours, when := p.stage(at, v, what)
			return &Stage{hours, when, name}
		}
	}
	f.Strained = moment("strained", t.Strained, "the straining")
	if old := moment("at", t.At, "the straining"); f.Strained == nil {
		f.Strained = old
	} else if old != nil && f.Strained.Hours != old.Hours {
		p.fail(at.of("at"), "", "at and strained both say when it was strained, and not the same; leave "+
			"at out")
	}
	f.Bottled = moment("bottled", t.Bottled, "the bottling")
	f.Opened = moment("opened", t.Opened, "the opening")
	order := []*Stage{f.Strained, f.Bottled, f.Opened}
	for i, later := range order {
		for _, sooner := range order[:i] {
			if later != nil && sooner != nil && later.Hours < sooner.Hours {
				p.fail(at.of(later.Key), "", "it was %s %s after the start, before it was %s at %s",
					stageWords[later.Key], hours(later.Hours), stageWords[sooner.Key], hours(sooner.Hours))
			}
		}
	}
	return f
}

func (p *parser) measured(t *measuredTable) Measured {
	at := once("measured")
	m := Measured{
		PH:         p.within(at.of("ph"), t.PH, 1, 12, "the pH of a drink"),
		ABVPercent: p.strength(at, t.ABV, t.Proof, false),
		SugarGPerL: p.concentration(at.of("sugar"), t.Sugar, 1000),
		AcidGPerL:  p.concentration(at.of("acid"), t.Acid, 250),
		Brix:       p.within(at.of("brix"), t.Brix, 0, 100, "Brix"),
		CyanideMgPerL: p.within(at.of("hydrogen_cyanide"), t.Cyanide, 0, 10_000,
			"hydrogen cyanide in mg/L"),
	}
	ml := func(name string, text *string, what string) *float64 {
		if a := p.liquid(at.of(name), text, what, false); a != nil {
			_, ml, _, _ := a.Millilitres()
			return &ml
		}
		return nil
	}
	m.VolumeML, m.StrainedML = ml("volume", t.Volume, "the yield"),
		ml("strained", t.Strained, "the strained liquor")
	if d := t.Density; d != nil {
		if *d >= 0.75 && *d <= 1.6 {
			p.fail(at.of("density"), "density = "+quantity.FormatNumber(1000**d),
				"density is in kg/m3, which is 1000 times g/ml; did you mean %s?",
				quantity.FormatNumber(1000**d))
		}
		// From pure ethanol (789 kg/m3 at 20 C) to heavier than any syrup.
		m.DensityKgPerM3 = p.within(at.of("density"), d, 780, 1500, "density in kg/m3")
	}
	return m
}
