// Package label words what is stuck on a jar while it steeps and on a bottle when it is
// filled: from the one assessment, so that a label says the days and the orders that the
// screens say.
package label

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/plots"
	"steepbook/shelf/remark"
)

// Kind is what a label is for.
type Kind string

// The kinds.
const (
	ForJar    Kind = "jar"
	ForBottle Kind = "bottle"
	ForOpened Kind = "opened" // the bottle that is open
)

// ErrNone says that there is nothing to stick a label on.
var ErrNone = errors.New("nothing is left of it, and a label is for what there is")

// Of is the kind that a batch wants: a bottle's once it is strained or bottled; ErrNone once all is gone.
func Of(a *bench.Assessment) (Kind, error) {
	a.Judge()
	if !a.Keep.EmptiedAt.IsZero() {
		return "", ErrNone
	}
	if _, out := a.Strained(); a.ElapsedH >= 0 && (out || !a.Keep.BottledAt.IsZero()) {
		return ForBottle, nil
	}
	return ForJar, nil
}

// What may be left out where there is no room, the last of these first.
const (
	mustStand = iota
	traced    // when and from what it was made
	shaken
	ruled // whose rule it is
	counted
	madeOf
)

// writer makes the lines of one label.
type writer struct {
	*bench.Assessment
	Keep  *keeping.Keep // of the bottle that it is for
	units quantity.System
	of    filled
	label plots.Label
}

func (w *writer) say(text string) string { return quantity.Say(text, w.units) }

func (w *writer) line(spare int, text string) {
	if text != "" {
		w.label.Lines = append(w.label.Lines, plots.LabelLine{Text: w.say(text), Spare: spare})
	}
}

func (w *writer) strong(text string) {
	if text != "" {
		w.label.Lines = append(w.label.Lines, plots.LabelLine{Text: w.say(text), Strong: true})
	}
}

// blanks are to be filled in by hand.
func (w *writer) blanks(names ...string) {
	w.label.Lines = append(w.label.Lines, plots.LabelLine{Blanks: names})
}

func (w *writer) large(text string) {
	if text != "" {
		w.label.Lines = append(w.label.Lines, plots.LabelLine{Text: w.say(text), Large: true})
	}
}

// Each is Words for every bottle that wants a label of the kind: for those that are alike with
// how many there are, 0 where that is not known; over: for what is left when the others are full too.
func Each(a *bench.Assessment, kind Kind, units quantity.System, over bool) (all []plots.Copies) {
	for _, f := range bottlesOf(a, kind) {
		if f.over && !over && len(all) > 0 {
			continue
		}
		all = append(all, plots.Copies{Label: words(a, kind, units, f), Count: f.count})
	}
	return all
}

// Words is the label of a kind, in the units of its maker and not yet of any size. The
// assessment is judged, and steeped for a jar. Of several bottles it is that of the sealed
// ones, unless the open one is asked for or there are no others, then of the one that ends
// first; of several drinks it is that of the one filled first, of several sizes of that it names none.
func Words(a *bench.Assessment, kind Kind, units quantity.System) plots.Label {
	all := bottlesOf(a, kind)
	f := all[0]
	if same, _ := alike(all); same > 1 && f.open == 0 {
		f.leastML, f.sizeML = f.sizeML, 0
		for _, x := range all {
			if x.over || x.things != f.things {
				continue
			}
			if !sameDay(x.bottled, f.bottled) {
				f.bottled = time.Time{}
			}
			f.leastML = min(f.leastML, x.sizeML)
		}
	}
	return words(a, kind, units, f)
}

// alike is how many of some kinds of bottles hold what the first does, and whether others hold another drink.
func alike(all []filled) (same int, others bool) {
	for i := range all {
		switch x := &all[i]; {
		case x.over:
		case x.things == all[0].things:
			same++
		default:
			others = true
		}
	}
	return same, others
}

func words(a *bench.Assessment, kind Kind, units quantity.System, f filled) plots.Label {
	if kind != ForJar {
		a = a.Drink(f.number)
	}
	w := &writer{Assessment: a, Keep: a.Keep.Of(f.open, a.Now), units: units, of: f,
		label: plots.Label{Name: a.Batch.Name}}
	w.label.Stop = w.say(w.stop())
	switch {
	case w.label.Stop != "":
		w.reasons()
	case kind == ForJar:
		w.jar()
	default:
		if w.bottle(); !f.over { // of what is over nobody knows in what it stands
			w.label.BottleML = cmp.Or(f.leastML, f.sizeML)
		}
	}
	return w.label
}

// stop is what must not be done with it, empty where it may be drunk and kept. What holds for
// some of its bottles alone stands on theirs.
func (w *writer) stop() string {
	k := w.Keep
	switch past := k.AllPast || w.of.open > 0 && k.SafePast; {
	case !k.Withheld() && past:
		return "DO NOT DRINK: was good until " + date(k.Safe.Until)
	case !k.Withheld() && k.OverIfMixed:
		return "DO NOT DRINK IF THE REST IS IN: was good until " + date(k.IfMixedSafe)
	case !k.Withheld():
		return ""
	}
	switch k.Stop {
	case keeping.Ask:
		return "DO NOT DRINK UNTIL IT IS KNOWN WHAT IT IS"
	case keeping.Untold:
		return "DO NOT DRINK UNTIL IT IS KNOWN WHETHER IT MAY BE"
	case keeping.Living:
		alive := k.Alive()
		return "DO NOT DRINK: " + alive.What + " on " + date(alive.At)
	case keeping.Closed:
		return "DO NOT KEEP IT CLOSED: IT CAN BURST"
	case keeping.TooMuch:
		return "DO NOT SERVE AS IT IS"
	case keeping.Sick:
		if !k.Verdict.TooLate {
			return "DO NOT KEEP OR DRINK"
		}
	}
	return "DO NOT DRINK"
}

// reasons are what a label says below its stop, and nothing else: no day and no place
// that would say that it is good.
func (w *writer) reasons() {
	k := w.Keep
	for _, m := range slices.Concat(k.MustNot, k.MayBe) {
		w.strong(quantity.Capital(clause(m)))
	}
	for _, o := range k.Over {
		what, amount, _ := strings.Cut(clause(o.Text), ": ")
		w.strong(quantity.Capital(what) + ": above its limit (" + amount + ")")
	}
	if k.Stop == keeping.Closed {
		w.strong(quantity.Capital(remark.UnderPressure()) + ".")
	}
	if o := k.Alive(); o != nil && o.Cause.Handling != "" {
		w.strong(quantity.Capital(o.Cause.Handling) + ".")
	}
	if k.Stop == keeping.Untold {
		w.strong(quantity.Capital(clause(k.Unjudged)) + ".")
	}
	if why := cmp.Or(k.InJar, k.Verdict.DecidedBy.Text); k.Stop == keeping.Sick && why != "" {
		w.line(mustStand, quantity.Capital(clause(why))+".")
	}
	if k.Lacked() {
		w.line(mustStand, "If the rest went in by then, log it, and print this anew.")
	}
	w.allergens()
	w.line(mustStand, w.which())
	w.line(mustStand, "Batch "+date(w.Batch.Started))
}

// date is a day for paper: it carries its year.
func date(t time.Time) string { return t.Format("2~Jan 2006") }

// clause is a text up to its first semicolon or full stop.
func clause(s string) string {
	s, _, _ = strings.Cut(s, ";")
	s, _, _ = strings.Cut(s, ". ")
	return strings.TrimSuffix(s, ".")
}

func (w *writer) bottle() {
	size, unfinished := "", w.unfinished()
	switch {
	case w.of.sizeML <= 0 || unfinished:
	case w.of.over || w.of.open > 0 && w.of.sizeML != w.of.leastML: // it is no bottle's own
		size = "about " + quantity.FormatVolume(w.of.sizeML, w.units)
	default:
		size = volume(w.of.sizeML, w.units)
	}
	w.large(strings.Join(slices.DeleteFunc([]string{strength(w.Assessment, w.units), size},
		func(s string) bool { return s == "" }), ", "))
	w.allergens()
	w.keeping()
	w.line(mustStand, w.which())
	if at, _ := w.Rested(); at.After(w.Now) && w.of.open == 0 {
		w.line(shaken, "Let it rest until "+date(at)+".")
	}
	w.cautions()
	if names := w.Blend.Settles(w.Recipe); len(names) > 0 {
		w.line(shaken, "Shake: natural sediment.")
	}
	w.line(mustStand, w.made())
	if w.Keep.SinceAt.IsZero() && w.Keep.OpenedAt.IsZero() {
		by := strings.TrimSpace(quantity.Capital(view.GoodBy(w.Keep.TasteFirst(), "")))
		from := "Bottled"
		if view.EggFirst(w.Assessment) {
			from = "Egg in"
		}
		w.blanks(from, by)
	}
	if h := w.House(); h != nil {
		if !w.Keep.Advised.Opened.None() {
			w.blanks("Opened", "Discard")
		}
		if h.Rule != "" {
			w.line(ruled, "Rule: "+h.Rule)
		}
	}
	if d := w.Drinks(); len(d) == 1 && w.Blend.EthanolIn(w.of.sizeML) > 0 {
		w.line(counted, fmt.Sprintf("About %s %s in the bottle.",
			pen.Trim(w.Blend.EthanolIn(w.of.sizeML)/d[0].EthanolG), d[0].Plural))
	}
	var names []string
	for _, l := range w.Recipe.List() {
		if l.Name != "" && !slices.Contains(names, l.Name) {
			names = append(names, l.Name)
		}
	}
	if len(names) > 0 && !unfinished {
		w.line(madeOf, "Made with "+quantity.And(names)+".")
	}
}

// filled is what is alike on the labels of so many bottles, 0 where nobody says: how much is in each, 0
// where nobody says, what they hold, which the number of the first of them tells, 0 for all that
// went in, of one that is open its number, and over of what is left when the others are full.
type filled struct {
	sizeML  float64
	leastML float64 // of several sizes the smallest, of one that more joined its own
	count   int
	number  int
	open    int
	over    bool
	things  int       // how much went into it, which tells the drinks apart
	own     []int     // of a drink that something joined, the numbers of all of them
	bottled time.Time // zero where nobody counts bottles, or they were filled on several days
}

// bottlesOf are the bottles that want a label of a kind: those that are sealed as they were
// logged, else each that is open, what ends first on top; where none is logged what the yield
// fills, and what is over. There is at least one; a jar has one label.
func bottlesOf(a *bench.Assessment, kind Kind) (all []filled) {
	if kind == ForJar {
		return []filled{{count: 1}}
	}
	list := a.Bottles().List
	sizeML := func(x *batch.Bottle) (ml float64) {
		if x.Of != nil {
			_, ml, _, _ = x.Of.Millilitres()
		}
		return ml
	}
	if kind == ForOpened || a.Keep.Sealed() == 0 {
		for _, o := range a.Keep.Open {
			i := slices.IndexFunc(list, func(x batch.Bottle) bool { return x.Number == o.Number })
			ml, _ := a.Held(o.Number)
			all = append(all, filled{sizeML: ml, leastML: sizeML(&list[i]), count: 1, number: o.Number,
				open: o.Number, bottled: filledOn(&list[i])})
		}
	}
	if len(all) > 0 {
		return append(all, leftOver(a, kind)...)
	}
	for i := range list {
		if !list[i].Sealed() {
			continue
		}
		ml, n, on := sizeML(&list[i]), list[i].Number, filledOn(&list[i])
		things := len(a.Drink(n).Recipe.Additions)
		is := func(f filled) bool {
			return f.sizeML == ml && f.things == things && sameDay(f.bottled, on)
		}
		k := slices.IndexFunc(all, is)
		if k < 0 {
			k, all = len(all), append(all, filled{sizeML: ml, number: n, things: things, bottled: on})
		}
		all[k].count++
		if _, own := a.Held(n); own {
			all[k].own = append(all[k].own, n)
		}
	}
	all = append(all, leftOver(a, kind)...)
	if b := a.Blend.Bottling; len(all) == 0 && b != nil {
		if b.Full > 0 {
			all = append(all, filled{sizeML: b.SizeML, count: b.Full})
		}
		if b.RestML > 0 {
			all = append(all, filled{sizeML: b.RestML, count: 1, over: true})
		}
	}
	if len(all) == 0 {
		return []filled{{}}
	}
	return all
}

// filledOn is when a bottle was filled, zero where nobody wrote that.
func filledOn(x *batch.Bottle) (at time.Time) {
	if x.Bottled != nil {
		at = x.Bottled.When
	}
	return at
}

// sameDay reports whether two moments are told as one day.
func sameDay(x, y time.Time) bool { return date(x) == date(y) }

// leftOver is what no bottle holds.
func leftOver(a *bench.Assessment, kind Kind) []filled {
	ml, _ := a.Held(bench.LeftOver)
	if ml <= 0 || kind == ForOpened {
		return nil
	}
	return []filled{{sizeML: ml, count: 1, number: bench.LeftOver, over: true}}
}

// made is when it was made, which is also how it is found again in the book.
func (w *writer) made() string {
	text := "Batch " + date(w.Batch.Started)
	switch k := w.Keep; {
	case !w.of.bottled.IsZero():
		text += ", bottled " + date(w.of.bottled)
	case w.of.over || w.of.number > 0: // it is in no bottle, or they are of several days
	case !k.BottledAt.IsZero():
		text += ", bottled " + date(k.BottledAt)
	case k.Since == keeping.FromStraining && view.Mixed(w.Assessment):
		text += ", mixed " + date(k.SinceAt)
	case k.Since == keeping.FromStraining:
		text += ", strained " + date(k.SinceAt)
	}
	return text + "."
}

// volume is what a bottle holds; in the US fluid ounces stand beside, in tenths as the rule
// has them and whole from a hundred up, for a declared content is read off no measure.
func volume(ml float64, units quantity.System) string {
	text := quantity.FormatVolume(ml, quantity.Metric)
	if units == quantity.US {
		oz, step := quantity.FluidOunces(ml), rules().At("us ounces").figure
		if oz >= 100 {
			step = 1
		}
		text += " (" + quantity.FormatNumber(math.Round(oz/step)*step) + " fl oz)"
	}
	return text
}

// strength is no finer than it is known: to a tenth only where it is within what a
// label may be off by, else whole, and where not even that is known as a range.
func strength(a *bench.Assessment, units quantity.System) string {
	if !a.Blend.Have() {
		return ""
	}
	r := a.Blend.Result.ABVPercent
	unit := " % vol"
	if units == quantity.US {
		unit = "% ABV"
	}
	const widest = 3 // % vol either way that one whole figure stands for; judgement
	half := (r.High - r.Low) / 2
	switch {
	case r.High < leastNamedABV:
		return "no alcohol to speak of"
	case half <= rules().At("eu strength").figure:
		return pen.Fixed(r.Value, 1) + unit
	case half <= widest:
		return "about " + pen.Fixed(r.Value, 0) + unit
	}
	_, decimals := pen.Rounded(r) // as blend says it
	return pen.Fixed(r.Low, decimals) + " to " + pen.Fixed(r.High, decimals) + unit
}

// leastNamedABV is the strength from which a drink counts as one with alcohol: 27 CFR 16.10.
const leastNamedABV = 0.5

// allergens are what has to be named, by the names of the law of the place.
func (w *writer) allergens() {
	var names []string
	add := func(name string) {
		if !slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, name) }) {
			names = append(names, name)
		}
	}
	in := w.House().Where()
	american := w.units == quantity.US && in == "" || in == batch.US
	for _, al := range w.Recipe.Allergens() {
		law := al.EU
		if american {
			law = al.US
		}
		add(al.Named(strings.TrimPrefix(cmp.Or(law, al.Name), "contains ")))
	}
	for _, c := range w.Keep.Verdict.Cautions {
		if c.Kind == "allergen" && !slices.ContainsFunc(names,
			func(n string) bool { return strings.Contains(n, "sul") }) {
			add("sulphites")
		}
	}
	if len(names) > 0 {
		w.strong("Contains: " + strings.Join(names, ", "))
	}
	if u := w.Keep.Unknown; len(u) > 0 {
		w.strong("Not known: " + quantity.And(u) + ", nor what allergens " + quantity.Verb(len(u), "it brings", "they bring"))
	}
}
