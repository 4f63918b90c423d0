package bench

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/pattern"
	"steepbook/data/quantity"
)

// Size is how large a batch is wanted. One of the fields is set.
type Size struct {
	Factor   float64          // so many times the old batch
	VolumeML float64          // of the finished blend
	Bottles  float64          // so many bottles,
	Each     *quantity.Amount // of this size; nil: the batch's own
	Item     string           // so large that there is
	Amount   *quantity.Amount // this much of Item
	Text     string           // as it was typed
}

var (
	scaleTimes   = pattern.New(`(?i)^[x×*]\s*([0-9].*)$|^([0-9][0-9./ ]*)\s*[x×*]$`)
	scaleBottles = pattern.New(`(?i)^(.*[0-9¼½¾⅓⅔])\s*bottles?(?:\s+of\s+(.+))?$`)
)

const scaleExamples = `write a volume ("3~l"), a factor ("x2"), a number of bottles ("12 bottles"), or how much there is of one thing ("plum=1.4~kg")`

// The factors that make sense: beyond them the amounts leave what can be
// weighed in a kitchen, or a unit was mistaken.
const (
	leastScale = 0.001
	mostScale  = 1000
)

// ParseSize reads a wanted size: "3 l", "x2", "12 bottles", "12 bottles of 250
// ml", "plum=1.4 kg", by the units of the batch. The error is one sentence for whoever
// typed it.
func ParseSize(text string, system quantity.System) (Size, error) {
	s := Size{Text: strings.TrimSpace(text)}
	if s.Text == "" {
		return s, errors.New(scaleExamples)
	}
	if i := strings.LastIndex(s.Text, "="); i >= 0 {
		s.Item = strings.TrimSpace(s.Text[:i])
		a, err := amountIn(s.Text[i+1:], system)
		if err != nil {
			return s, err
		}
		if s.Item == "" {
			return s, fmt.Errorf("%q names nothing; %s", s.Text, scaleExamples)
		}
		s.Amount = &a
		return s, nil
	}
	if m := scaleTimes().FindStringSubmatch(s.Text); m != nil {
		n, ok := plainNumber(m[1] + m[2])
		if !ok {
			return s, fmt.Errorf(`%q is no factor; write "x2", "x1.5" or "x 1/2"`, s.Text)
		}
		s.Factor = n
		return s, scaleWithin(n, s.Text)
	}
	if m := scaleBottles().FindStringSubmatch(s.Text); m != nil {
		n, ok := plainNumber(m[1])
		if !ok {
			return s, fmt.Errorf(`%q is no number of bottles; write "12 bottles"`, s.Text)
		}
		s.Bottles = n
		if m[2] == "" {
			return s, nil
		}
		each, err := ParseBottle(m[2], system)
		s.Each = &each
		return s, err
	}
	a, err := amountIn(s.Text, system)
	var wrong *quantity.Error
	if errors.As(err, &wrong) {
		return s, fmt.Errorf("%s; %s", strings.TrimSuffix(wrong.Problem, "?"), scaleExamples)
	}
	_, ml, _, isVolume := a.Millilitres()
	switch {
	case isVolume && (a.Low == a.High || a.Either() != ""):
		s.VolumeML = ml
		return s, nil
	case isVolume:
		return s, fmt.Errorf("%q is a range; write one volume", s.Text)
	case a.Kind == quantity.Count && a.Noun == "":
		n := quantity.FormatNumber(a.Mid())
		return s, fmt.Errorf(`%q can be read in two ways; write "x%s" for %s times the batch, or "%s l" for so many litres of it`, s.Text, n, n, n)
	case a.Kind == quantity.Ounce:
		return s, fmt.Errorf("%q can be weight or volume; for the size of a batch write %q", s.Text, a.AsFluid().String())
	case a.Kind == quantity.Mass:
		return s, fmt.Errorf("%q is a weight, and a batch is measured by volume; %s", s.Text, scaleExamples)
	}
	return s, fmt.Errorf("%q is no size of a batch; %s", s.Text, scaleExamples)
}

// amountIn reads an amount as a maker means it who uses that system of units.
func amountIn(text string, system quantity.System) (quantity.Amount, error) {
	a, err := quantity.ParseAmount(text)
	if err != nil {
		return a, err
	}
	return a.In(system)
}

// ParseBottle reads the size of a bottle. The error is one sentence.
func ParseBottle(text string, system quantity.System) (quantity.Amount, error) {
	a, err := amountIn(text, system)
	if err != nil {
		return a, err
	}
	if a.Kind == quantity.Ounce {
		return a, fmt.Errorf("%q can be weight or volume; for a bottle write %q", a.Text, a.AsFluid().String())
	}
	if _, _, _, ok := a.Millilitres(); !ok || a.Low != a.High && a.Either() == "" {
		return a, fmt.Errorf(`%q is no size of a bottle; write a volume, such as "250~ml"`, a.Text)
	}
	return a, nil
}

// plainNumber reads a number or fraction that stands alone.
func plainNumber(text string) (float64, bool) {
	a, err := quantity.ParseAmount(strings.TrimSpace(text))
	if err != nil || a.Kind != quantity.Count || a.Noun != "" || a.Of != "" || a.Low != a.High {
		return 0, false
	}
	return a.Low, true
}

func scaleWithin(factor float64, text string) error {
	switch {
	case !(factor >= leastScale):
		return fmt.Errorf("%q makes the batch less than a thousandth; is the unit right?", text)
	case factor > mostScale:
		return fmt.Errorf("%q makes the batch more than a thousand times larger; is the unit right?", text)
	}
	return nil
}

// ScaleQuestion is what Scale needs beside the batch.
type ScaleQuestion struct {
	Size Size
	// Bottle takes the place of the batch's own bottle; nil keeps that.
	Bottle *quantity.Amount
	// From names the old batch's file in the new one, To is the name that
	// errors about the new one carry.
	From, To string
	// Now is when the new batch starts, in the zone its clock times are in.
	Now time.Time
}

// Scaled is a batch at another size.
type Scaled struct {
	// From is the old batch; Batch is the new one as it will be read, Blend
	// what is in its bottles.
	From   *Assessment
	Batch  *batch.Batch
	Blend  Blend
	Factor float64
	// WantedML is the volume that was asked for, 0 where a factor was.
	WantedML float64
	// VolumeML is the yield to expect: of the recipe, times what the old batch
	// was measured to give of its own recipe (GaveShare; 1 where nobody
	// measured). Zero when the blend is not known.
	VolumeML  Figure
	GaveShare float64
	// Text is the new batch file.
	Text    []byte
	Amounts []ScaledAmount
	// Shopping is what to buy, bottles of glass apart.
	Shopping []Purchase
	Portions
	// JarML is the room that liquid and solids take while they steep; 0 when
	// nothing steeps or the liquid is not known. JarAtLeast says that the
	// weight of some solids is missing in it.
	JarML      float64
	JarAtLeast bool
	Warnings   []string

	recipe Blend // the old one
}

// ScaledAmount is one line of the recipe.
type ScaledAmount struct {
	Part      string // "spirit", "botanical" or "addition"
	Name, Cut string
	// Old is nil when no amount was written; New is then nil too.
	Old, New *quantity.Amount
	// Error is how much more (or, below zero, less) New is than the exact
	// amount, as a share of that.
	Error float64
	// MeantG is the mass of the exact amount, set where New is counted or
	// spooned and the library knows its weight; nil otherwise.
	MeantG *Figure

	price *float64 // of New, in the maker's currency; nil when none is written
	path  []any
}

// Scale writes a batch anew at another size. src is the text of its file. An
// error is a fault in what the maker wrote or asked for.
func Scale(a *Assessment, lib *library.Library, src []byte, q ScaleQuestion) (*Scaled, error) {
	if len(a.Keep.MustNot) > 0 {
		return nil, fmt.Errorf("%s: this must not be made at any size: %s", a.Batch.File, strings.Join(a.Keep.MustNot, "; "))
	}
	old := a.parts
	if each := q.Size.Each; each != nil {
		if q.Bottle != nil && q.Bottle.Text != each.Text {
			return nil, fmt.Errorf("two sizes of bottle are asked for, %s and %s; keep one", each.Text, q.Bottle.Text)
		}
		q.Bottle = each
	}
	s := &Scaled{From: a}
	if err := s.factor(old, q); err != nil {
		return nil, err
	}
	if err := s.amounts(old); err != nil {
		return nil, err
	}
	var err error
	if s.Text, err = s.batchText(src, q); err != nil {
		return nil, err
	}
	if s.Batch, err = batch.Parse(q.To, s.Text, q.Now.Location()); err != nil {
		return nil, err
	}
	if err := s.verify(q.Bottle); err != nil {
		return nil, err
	}
	now, err := resolve(s.Batch, lib, s.From.ElapsedH)
	if err != nil {
		return nil, err
	}
	if s.Blend, err = blend(s.Batch, now); err != nil {
		return nil, err
	}
	if err := s.yield(lib); err != nil {
		return nil, err
	}
	s.Shopping = shopping(now, lib)
	s.fill(now)
	s.warn()
	return s, nil
}

// yield works out how much the new batch will give.
func (s *Scaled) yield(lib *library.Library) error {
	s.GaveShare = 1
	if !s.Blend.Have() {
		return nil
	}
	// The old recipe as the new one is reckoned: nothing measured, nothing pulled yet.
	recipe := *s.From.Batch
	recipe.Measured, recipe.Pulls = batch.Measured{}, nil
	p, err := resolve(&recipe, lib, s.From.ElapsedH)
	if err != nil {
		return err
	}
	b, err := blend(&recipe, p)
	if err != nil {
		return err
	}
	s.recipe = b
	if m := s.From.Batch.Measured.VolumeML; m != nil {
		if b.Have() && b.Result.VolumeML.Value > 0 {
			s.GaveShare = *m / b.Result.VolumeML.Value
		}
	}
	v := s.Blend.Result.VolumeML
	s.VolumeML = Figure{v.Value * s.GaveShare, v.Low * s.GaveShare, v.High * s.GaveShare}
	return nil
}

// factor works out how many times the old batch is wanted.
func (s *Scaled) factor(p *parts, q ScaleQuestion) error {
	b, size := s.From.Batch, q.Size
	fail := func(format string, args ...any) error {
		return fmt.Errorf("%s: %s", b.File, fmt.Sprintf(format, args...))
	}
	s.WantedML = size.VolumeML
	switch {
	case size.Factor > 0:
		s.Factor = size.Factor
		return nil
	case size.Item != "":
		f, err := itemFactor(p, size)
		if err != nil {
			return fail("%s", err)
		}
		s.Factor = f
		return scaleWithin(f, size.Text)
	case size.Bottles > 0:
		each := q.Bottle
		if each == nil {
			each = b.Finish.Bottle
		}
		if each == nil {
			return fail(`it does not say how large its bottles are; add --bottle "250~ml", or bottle = "250~ml" under [finish]`)
		}
		_, ml, _, _ := each.Millilitres()
		s.WantedML = size.Bottles * ml
	}
	if !s.From.Blend.Have() {
		return fail(`how much it makes cannot be worked out, so give a factor such as "x2" (%s)`, s.From.Blend.Missing[0])
	}
	s.Factor = s.WantedML / s.From.Blend.Result.VolumeML.Value
	return scaleWithin(s.Factor, size.Text)
}

// itemFactor is the factor that makes a batch have so much of one thing.
func itemFactor(p *parts, size Size) (float64, error) {
	x, err := meantLine(p.lines(), size.Item)
	if err != nil {
		return 0, err
	}
	if x.amount == nil {
		return 0, fmt.Errorf("%s has no amount to scale from", x.name)
	}
	if f, ok := times(*x.amount, *size.Amount); ok {
		return f, nil
	}
	have, ok1 := x.weight(*x.amount)
	want, ok2 := x.weight(*size.Amount)
	if !ok1 || !ok2 {
		return 0, fmt.Errorf("%q and %q of %s cannot be compared; give it in the same unit", x.amount.Text, size.Amount.Text, x.name)
	}
	return want.G / have.G, nil
}

// meantLine finds the line that a name typed in a hurry means: the name itself, or
// a part that only one name has.
func meantLine(lines []recipeLine, typed string) (recipeLine, error) {
	var names []string
	var within []recipeLine
	for _, x := range lines {
		if strings.EqualFold(x.name, typed) {
			return x, nil
		}
		if strings.Contains(strings.ToLower(x.name), strings.ToLower(typed)) {
			within = append(within, x)
		}
		names = append(names, x.name)
	}
	switch {
	case len(within) == 1:
		return within[0], nil
	case len(names) == 0:
		return recipeLine{}, errors.New("nothing is in it yet")
	case len(within) > 1:
		names = names[:0]
		for _, x := range within {
			names = append(names, x.name)
		}
		return recipeLine{}, fmt.Errorf("%q can be %s; write one of them in full", typed, strings.Join(names, " or "))
	}
	return recipeLine{}, fmt.Errorf("%q is not in it; there are %s", typed, strings.Join(names, ", "))
}

// times is b as a multiple of a where both are of one kind.
func times(a, b quantity.Amount) (float64, bool) {
	if _, x, _, ok := a.Grams(); ok {
		if _, y, _, ok := b.Grams(); ok {
			return y / x, true
		}
	}
	if _, x, _, ok := a.Millilitres(); ok {
		if _, y, _, ok := b.Millilitres(); ok {
			return y / x, true
		}
	}
	if a.Unit == b.Unit && a.Noun == b.Noun && a.Of == b.Of && a.Mid() > 0 {
		return b.Mid() / a.Mid(), true
	}
	return 0, false
}

// recipeLine is one thing that goes in, whatever it is.
type recipeLine struct {
	part, name, cut string
	liquid          bool // poured, so that it fills the bottles
	amount          *quantity.Amount
	price           *float64
	path            []any
	// weight is what an amount of it weighs, where that is known.
	weight func(quantity.Amount) (library.Weight, bool)
}

// lines lists everything that goes in: spirits, botanicals, additions.
func (p *parts) lines() []recipeLine {
	var list []recipeLine
	add := func(part, name, cut string, index int, a *quantity.Amount, price *float64, weight func(quantity.Amount) (library.Weight, error)) {
		list = append(list, recipeLine{
			part: part, name: name, cut: cut, amount: a, price: price, path: []any{part, index},
			weight: func(a quantity.Amount) (library.Weight, bool) {
				if weight == nil {
					return library.Weight{}, false
				}
				w, err := weight(a)
				return w, err == nil && w.G > 0
			},
		})
	}
	for i := range p.bases {
		e := p.bases[i].entry
		add("spirit", p.bases[i].base.Name, "", e.Index, e.Amount, e.Price, nil)
		list[len(list)-1].liquid = true
	}
	for i := range p.botanicals {
		h := &p.botanicals[i]
		e := h.entry
		add("botanical", e.Name, e.Cut, e.Index, e.Amount, e.Price, func(a quantity.Amount) (library.Weight, error) {
			return weigh(&a, h.cut, h.known != nil)
		})
	}
	for i := range p.additions {
		x := &p.additions[i]
		var weight func(quantity.Amount) (library.Weight, error)
		switch {
		case x.ingredient != nil:
			weight = x.ingredient.Grams
		case x.botanical != nil && x.cut != nil:
			weight = x.cut.Grams
		}
		e := x.entry
		add("addition", e.Name, "", e.Index, e.Amount, e.Price, weight)
		list[len(list)-1].liquid = x.ingredient == nil && x.botanical == nil || x.ingredient != nil && x.ingredient.Liquid
	}
	return list
}

// amounts rounds every scaled amount to what can be measured.
func (s *Scaled) amounts(p *parts) error {
	b := s.From.Batch
	for _, l := range p.lines() {
		row := ScaledAmount{Part: l.part, Name: l.name, Cut: l.cut, Old: l.amount, path: l.path}
		if l.amount == nil {
			row.price = scaledPrice(l.price, s.Factor)
			s.Amounts = append(s.Amounts, row)
			continue
		}
		exact := l.amount.Times(s.Factor)
		round := quantity.Kitchen
		if l.liquid && l.amount.Either() == "" { // a cup of either country stays a cup
			round = quantity.Closely
		}
		rounded, off := round(exact, b.Units)
		if w, ok := l.weight(exact); ok && l.part == "botanical" && exact.Kind == quantity.Volume && math.Abs(off) > closeEnough && w.G >= leastWeighed {
			// Spoons and cups are too coarse here, and a dose goes by mass.
			byMass := quantity.Amount{Kind: quantity.Mass, Low: w.G, High: w.G, Unit: "g"}
			if b.Units == quantity.US {
				byMass.Low, byMass.High, byMass.Unit = quantity.Ounces(w.G), quantity.Ounces(w.G), "oz wt"
			}
			rounded, off = quantity.Kitchen(byMass, b.Units)
		}
		// What a file can hold is for the reader of amounts to say.
		read, err := amountIn(rounded.Text, b.Units)
		if err != nil {
			return b.Errorf(pathTo(l.path, "amount"), "", "%s times %s cannot be written: %s", quantity.FormatNumber(s.Factor), l.amount.Text, err)
		}
		row.New, row.Error, row.price = &read, off, scaledPrice(l.price, s.Factor*(1+off))
		if w, ok := l.weight(exact); ok && spooned(read) {
			row.MeantG = &Figure{w.G, w.Low, w.High}
		}
		s.Amounts = append(s.Amounts, row)
	}
	return nil
}

// leastWeighed is the least [g] that a kitchen scale with 0.1 g reads within 3 %.
const leastWeighed = 2

// scaledPrice is a price to the cent.
func scaledPrice(price *float64, by float64) *float64 {
	if price == nil {
		return nil
	}
	p := math.Round(*price*by*100) / 100
	return &p
}

// spooned says that the amount of a solid is no weight and no metric volume.
func spooned(a quantity.Amount) bool {
	_, _, _, mass := a.Grams()
	return !mass && a.Unit != "ml" && a.Unit != "l" && a.Unit != "cl" && a.Unit != "dl"
}

func pathTo(at []any, name string) []any { return append(slices.Clone(at), name) }
