// Package scale makes a batch anew at another size: how large, what of each thing in
// measures that can be measured, what to buy, and the new batch file.
package scale

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// Question is what To needs beside the batch.
type Question struct {
	Size Size
	// Bottle takes the place of the batch's own bottle; nil keeps that.
	Bottle *quantity.Amount
	// From names the old batch's file in the new one, To is the name that
	// errors about the new one carry.
	From, To string
	// Start is when the new batch starts, in the zone its clock times are in.
	Start time.Time
}

// Scaled is a batch at another size.
type Scaled struct {
	// From is the old batch; Batch is the new one as it will be read, Blend
	// what is in its bottles: whatever is told of the new batch is told of that.
	From   *bench.Assessment
	Batch  *batch.Batch
	Blend  recipe.Blend
	Factor float64
	// WantedML is the volume that was asked for, 0 where a factor was.
	WantedML float64
	// Text is the new batch file.
	Text    []byte
	Amounts []Amount
	// Shopping is what to buy, bottles of glass apart.
	Shopping []Purchase
	recipe.Portions
	// JarML is the room that liquid and solids take while they steep; 0 when
	// nothing steeps or the liquid is not known. JarAtLeast says that the
	// weight of some solids is missing in it.
	JarML      float64
	JarAtLeast bool
	Warnings   []string
	// Keeps is what the solids of the old batch were measured to keep, which the new file says; nil: nobody did.
	Keeps *float64

	plan *bench.Assessment // the old batch as the new one is reckoned: nothing measured or logged yet
}

// Amount is one line of the recipe.
type Amount struct {
	Part      string // "spirit", "botanical" or "addition"
	Name, Cut string
	// Old is nil when no amount was written; New is then nil too.
	Old, New *quantity.Amount
	// Error is how much more (or, below zero, less) New is than the exact
	// amount, as a share of that.
	Error float64
	// MeantG is the mass of the exact amount, set where New is counted or
	// spooned and the library knows its weight; nil otherwise.
	MeantG *mixture.Range

	price *float64 // of New, in the maker's currency; nil when none is written
	index int      // 0-based entry of its part
}

// path is where a key of its line stands in the file.
func (r *Amount) path(key string) []any { return []any{r.Part, r.index, key} }

// To writes a batch anew at another size. An error is a fault in what the maker wrote or
// asked for.
func To(a *bench.Assessment, lib *library.Library, q Question) (*Scaled, error) {
	if not := slices.Concat(a.Keep.MustNot, a.Keep.MayBe); len(not) > 0 {
		return nil, fmt.Errorf("%s: this must not be made at any size: %s", a.Batch.File,
			strings.Join(not, "; "))
	}
	if each := q.Size.Each; each != nil {
		if q.Bottle != nil && q.Bottle.Text != each.Text {
			return nil, fmt.Errorf("two sizes of bottle are asked for, %s and %s; keep one", each.Text,
				q.Bottle.Text)
		}
		q.Bottle = each
	}
	s := &Scaled{From: a, Keeps: a.Blend.Keeps(a.Batch)}
	if err := s.planned(lib); err != nil {
		return nil, err
	}
	lines := s.plan.Recipe.List()
	if err := s.factor(lines, q); err != nil {
		return nil, err
	}
	if err := s.amounts(lines); err != nil {
		return nil, err
	}
	var err error
	if s.Text, err = s.batchText(q); err != nil {
		return nil, err
	}
	if s.Batch, err = batch.Parse(q.To, s.Text, q.Start.Location()); err != nil {
		return nil, err
	}
	if err := s.verify(q.Bottle); err != nil {
		return nil, err
	}
	now, err := s.anew(*s.Batch, lib)
	if err != nil {
		return nil, err
	}
	s.Blend = now.Blend
	lines = now.Recipe.List()
	s.Shopping = shopping(lines, lib, s.From.Batch.Units)
	s.jar(lines)
	s.Portions = s.Blend.Pour(s.Blend.Result.VolumeML, s.Batch.Finish.Bottle, s.Batch.Finish.Serve)
	s.warn()
	return s, nil
}

// anew reads a batch as one of no file of the book: what the old batch taught holds of it.
func (s *Scaled) anew(b batch.Batch, lib *library.Library) (*bench.Assessment, error) {
	b.File = ""
	return bench.Read(&b, lib, bench.Question{Now: s.From.Now})
}

// planned reads the old batch as it was planned.
func (s *Scaled) planned(lib *library.Library) (err error) {
	old := *s.From.Batch
	old.Measured, old.Logged, old.Finish.Bottled = batch.Measured{}, batch.Logged{}, nil
	old.Finish.Keeps = cmp.Or(s.Keeps, old.Finish.Keeps)
	s.plan, err = s.anew(old, lib)
	return err
}

// amounts rounds every scaled amount to what can be measured.
func (s *Scaled) amounts(lines []recipe.Line) error {
	b := s.From.Batch
	for i := range lines {
		l := &lines[i]
		row := Amount{Part: l.Part, Name: l.Name, Cut: l.Cut, Old: l.Amount, index: l.Index,
			price: scaledPrice(l.Price, s.Factor)}
		if l.Amount == nil {
			s.Amounts = append(s.Amounts, row)
			continue
		}
		exact := l.Amount.Times(s.Factor)
		round := quantity.Kitchen
		if l.Poured && l.Amount.Either() == "" { // a cup of either country stays a cup
			round = quantity.Closely
		}
		rounded, off := round(exact, b.Units)
		weight, weighed := l.Grams(exact)
		coarse := exact.Kind == quantity.Volume && math.Abs(off) > quantity.CloseEnough &&
			weight.G >= leastWeighed ||
			exact.Kind == quantity.Count && math.Abs(off) > piecesDiffer
		if weighed && l.Part == "botanical" && coarse {
			// Spoons, cups and pieces are too coarse here, and a dose goes by mass.
			byMass := quantity.Amount{Kind: quantity.Mass, Low: weight.G, High: weight.G, Unit: "g"}
			if b.Units == quantity.US {
				byMass.Low, byMass.High, byMass.Unit = quantity.Ounces(weight.G), quantity.Ounces(weight.G),
					"oz wt"
			}
			rounded, off = quantity.Kitchen(byMass, b.Units)
		}
		// What a file can hold is for the reader of amounts to say.
		read, err := quantity.ParseIn(rounded.Text, b.Units)
		if err != nil {
			return b.Errorf(row.path("amount"), "", "%s times %s cannot be written: %s",
				quantity.FormatNumber(s.Factor), l.Amount.Text, err)
		}
		row.New, row.Error, row.price = &read, off, scaledPrice(l.Price, s.Factor*(1+off))
		if weighed && spooned(read) {
			row.MeantG = &mixture.Range{Value: weight.G, Low: weight.Low, High: weight.High}
		}
		s.Amounts = append(s.Amounts, row)
	}
	return nil
}

// leastWeighed is the least [g] that a kitchen scale with 0.1 g reads within 3 %.
const leastWeighed = 2

// piecesDiffer is the rounding error [share] beyond which a piece is too coarse: by about as
// much one differs from the next (judgement).
const piecesDiffer = 0.2

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

// batchText writes the new batch: the old text with new amounts and prices,
// without what belongs to the old batch alone.
func (s *Scaled) batchText(q Question) ([]byte, error) {
	b := s.From.Batch
	w := b.Rewrite()
	size := "x" + quantity.FormatNumber(s.Factor)
	if q.Size.Factor == 0 {
		size = q.Size.Text + ", " + size
	}
	w.From("Scaled from", q.From, size, "The amounts are rounded to what can be measured. Set started to the "+
		"moment the liquid meets the first botanical.")
	w.Anew(q.To, s.name(q), q.Start)
	for i := range s.Amounts {
		r := &s.Amounts[i]
		if r.New != nil {
			w.SetText(r.New.Text, r.path("amount")...)
		}
		if r.price != nil {
			w.Set(strconv.FormatFloat(*r.price, 'f', 2, 64), r.path("price")...)
		}
	}
	for _, e := range b.Additions {
		if e.BoiledOff != nil {
			exact := *e.BoiledOff
			exact.Low, exact.High = exact.Low*s.Factor, exact.High*s.Factor
			rounded, _ := quantity.Closely(exact, b.Units)
			w.SetText(rounded.Text, "addition", e.Index, "boiled_off")
		}
	}
	for _, e := range b.Botanicals {
		w.SetSpan(e.In, "botanical", e.Index, "in")
	}
	for _, stage := range []*batch.Stage{b.Finish.Strained, b.Finish.Bottled, b.Finish.Opened} {
		if stage != nil {
			w.SetSpan(stage.Hours, "finish", stage.Key)
		}
	}
	if q.Bottle != nil {
		w.Put(q.Bottle.Text, "finish", "bottle")
	}
	w.Keeps(s.Keeps)
	return w.Text()
}

// name is what the new batch is called: by its size where that is another, and the same again
// by its number.
func (s *Scaled) name(q Question) string {
	name := s.From.Batch.Name
	if s.Factor != 1 {
		return name + ", " + s.sizeText(q)
	}
	if i := strings.LastIndex(name, ", "); i > 0 && byFactor().MatchString(name[i+2:]) {
		name = name[:i]
	}
	number := 2
	if i := strings.LastIndex(name, " "); i > 0 {
		if n, err := strconv.Atoi(name[i+1:]); err == nil && n > 1 && n < 1000 { // else a year
			name, number = name[:i], n+1
		}
	}
	return name + " " + strconv.Itoa(number)
}

// sizeText is the size that was asked for, to tell the new batch from the old.
func (s *Scaled) sizeText(q Question) string {
	switch {
	case q.Size.Factor > 0:
		return "x" + quantity.FormatNumber(s.Factor)
	case q.Size.Item != "":
		return q.Size.Amount.Text + " of " + q.Size.Item
	}
	return q.Size.Text
}

// verify holds the new batch, as it reads, against what it should say: the
// same as the old one but for what was meant to change.
func (s *Scaled) verify(bottle *quantity.Amount) error {
	old, to := s.From.Batch, s.Batch
	want := old.Anew(to)
	for _, r := range s.Amounts {
		switch i := r.index; r.Part {
		case "spirit":
			want.Spirits[i].Amount, want.Spirits[i].Price = r.New, r.price
		case "botanical":
			want.Botanicals[i].Amount, want.Botanicals[i].Price = r.New, r.price
		default:
			want.Additions[i].Amount, want.Additions[i].Price = r.New, r.price
		}
	}
	for i := range min(len(want.Additions), len(to.Additions)) {
		want.Additions[i].BoiledOff = to.Additions[i].BoiledOff
	}
	// A clock time that became a span may differ in the last bits.
	same := func(a, b float64) bool { return math.Abs(a-b) < 1e-3 }
	for i := range min(len(want.Botanicals), len(to.Botanicals)) {
		if same(want.Botanicals[i].In, to.Botanicals[i].In) {
			want.Botanicals[i].In = to.Botanicals[i].In
		}
	}
	for _, s := range [][2]**batch.Stage{
		{&want.Finish.Strained, &to.Finish.Strained}, {&want.Finish.Bottled, &to.Finish.Bottled},
		{&want.Finish.Opened, &to.Finish.Opened},
	} {
		if *s[0] != nil && *s[1] != nil && same((*s[0]).Hours, (*s[1]).Hours) {
			*s[0] = *s[1]
		}
	}
	if bottle != nil {
		want.Finish.Bottle = bottle
	}
	if !reflect.DeepEqual(&want, to) {
		return fmt.Errorf("%s cannot be scaled as it is written; put each table under a header of its own, "+
			"such as [[botanical]], and each amount on its own line", old.File)
	}
	return nil
}
