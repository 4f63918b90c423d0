package quantity

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// Amount is how much of something, as it was written. The zero Amount is no
// amount.
type Amount struct {
	Text      string // as written
	Kind      Kind
	Low, High float64 // in Unit; equal unless a range was written or is meant; 0 < Low <= High
	// Unit is the canonical name of a measure in the table of units, singular: g, oz wt, oz,
	// fl oz, US cup, imp pint, metric tbsp, bottle, dash …; piece for every count.
	Unit string
	// Noun is what is counted, singular: fruit, piece, pod, stick, clove, star, leaf …; "" for
	// a bare number and for what is not counted.
	Noun string
	Of   string // zest, juice or peel for "zest of 3"; its Noun is fruit
	Said string // the words that qualify it: "about", "scant", …; Low and High are what they mean

	from, to float64 // as written, where Low and High are not; else zero
	loose    bool    // its unit may be that of either country: see In
}

// size is one Unit in grams or millilitres, 0 where it has no fixed size.
func (a Amount) size() float64 { return sizeOf(a.Unit) }

// Mid is the middle of the range, in Unit.
func (a Amount) Mid() float64 { return a.Low + (a.High-a.Low)/2 }

// Over is a as a multiple of b; ok is false where they are not of one kind.
func (a Amount) Over(b Amount) (multiple float64, ok bool) {
	for _, k := range []Kind{Mass, Volume} {
		_, x, _, okA := a.convert(k)
		_, y, _, okB := b.convert(k)
		if okA && okB {
			return x / y, true
		}
	}
	if a.Unit == b.Unit && a.Noun == b.Noun && a.Of == b.Of && b.Mid() > 0 {
		return a.Mid() / b.Mid(), true
	}
	return 0, false
}

// Grams converts an amount of mass [g]. ok is false for every other kind.
func (a Amount) Grams() (low, mid, high float64, ok bool) { return a.convert(Mass) }

// Millilitres converts an amount of volume [ml]. ok is false for every other
// kind and for measures without an official size, such as dash and pinch.
//
//go:noinline
func (a Amount) Millilitres() (low, mid, high float64, ok bool) { return a.convert(Volume) }

func (a Amount) convert(k Kind) (low, mid, high float64, ok bool) {
	size := a.size()
	if a.Kind != k || size == 0 {
		return 0, 0, 0, false
	}
	return a.Low * size, a.Mid() * size, a.High * size, true
}

// AsFluid decides an undecided "oz" for fluid ounces. Other amounts stay as they are.
func (a Amount) AsFluid() Amount { return a.decided(Volume, "fl oz") }

// AsWeight decides an undecided "oz" for ounces of weight. Other amounts stay as they are.
func (a Amount) AsWeight() Amount { return a.decided(Mass, "oz wt") }

func (a Amount) decided(k Kind, unit string) Amount {
	if a.Kind == Ounce {
		a.Kind, a.Unit = k, unit
	}
	return a
}

// String writes the amount so that ParseAmount reads the same amount again,
// Text apart: "1 1/2 tbsp", "8-10 pieces", "zest of 3".
func (a Amount) String() string {
	if a.Kind == 0 {
		return ""
	}
	if a.from > 0 {
		plain := a.plain()
		plain.Said = a.Said
		return plain.String()
	}
	fractions := a.fractional()
	if ladder, climbs := ladderOf(a.Unit); climbs && a.Kind == Volume && fractions && a.Low == a.High &&
		a.Said == "" {
		if _, ok := kitchenFraction(a.Low, 1e-6); !ok {
			if two, ok := a.inTwo(ladder, US); ok &&
				math.Abs(two.Mid()*two.size()/(a.Mid()*a.size())-1) < 1e-6 {
				return two.Text
			}
		}
	}
	n := spellNumber(a.Low, fractions)
	if a.High > a.Low {
		n += "-" + spellNumber(a.High, fractions)
	}
	// "about 1/4 cup", but "2 heaped tsp".
	of, unit := "", a.Unit
	switch m, ok := measures()[strings.ToLower(a.Unit)]; {
	case a.Of != "":
		of, unit = a.Of+" of ", ""
	case a.Kind == Count && a.High <= 1:
		unit = a.Noun
	case a.Kind == Count && a.Noun != "":
		unit = pluralOf(a.Noun)
	case a.Kind == Count:
		unit = ""
	case ok && m.unit.plural != "" && a.High > 1:
		unit = m.unit.plural
	}
	var before, after []string
	for _, q := range a.qualifiers() {
		if q.fits != nil && unit != "" {
			after = append(after, q.name)
		} else {
			before = append(before, q.name)
		}
	}
	return of + strings.Join(slices.DeleteFunc(slices.Concat(before, []string{n}, after, []string{unit}),
		func(w string) bool { return w == "" }), " ")
}

// fractional reports whether people halve and quarter the unit instead of
// writing decimals.
func (a Amount) fractional() bool { return !slices.Contains(decimals, a.Unit) }

var decimals = []string{"g", "kg", "mg", "ml", "cl", "dl", "l"}

// join puts a second amount to the first: "1 lb 4 oz", "1/4 cup less 1 tsp", "10 g
// to 12 g", "2 bottles of 750 ml".
func (a *Amount) join(op string, b Amount) *Error {
	switch {
	case b.Kind == Ounce && a.Kind == Mass:
		b = b.AsWeight()
	case b.Kind == Ounce && a.Kind == Volume:
		if b = b.AsFluid(); strings.HasPrefix(a.Unit, "imp ") {
			b.Unit = "imp fl oz"
		}
	}
	if op == "of" || op == "at" || op == "à" {
		if a.Unit != "bottle" && a.Noun != "packet" && a.Noun != "bag" || b.Kind == Count {
			return a.wrong(sumExample(b.Kind), "%s holds more than one amount; write the whole")
		}
		n, text := a.Low, a.Text
		*a = b
		a.Text, a.Low, a.High = text, n*b.Low, n*b.High
		return nil
	}
	ratio := 1.0
	if a.Unit != b.Unit || a.Noun != b.Noun {
		ratio = b.size() / a.size()
	}
	bare := a.Kind == Count && a.Noun == "" && op != "-" && op != "to" && op != "or" // "half and half"
	if bare || a.Kind != b.Kind || !(ratio > 0) || math.IsInf(ratio, 0) {
		return a.wrong(sumExample(a.Kind), "%s holds two amounts that cannot be added; write one")
	}
	low, high := b.Low*ratio, b.High*ratio
	switch op {
	case "-", "to", "or":
		if high < a.High {
			return a.wrong(b.String()+" to "+a.String(), "the range in %s runs downwards")
		}
		a.High = high
	case "minus", "less":
		if !(high < a.Low) {
			return a.wrong(a.String(), "in %s more is taken off than there is")
		}
		a.Low, a.High = a.Low-high, a.High-low
	case "":
		if !(high < a.Low) {
			return a.wrong(sumExample(a.Kind), "%s holds two amounts; write plus between them, or one")
		}
		fallthrough
	default:
		a.Low, a.High = a.Low+low, a.High+high
	}
	a.Low, a.High = clean(a.Low), clean(a.High)
	return nil
}

// clean takes off what adding fractions leaves behind the tenth digit.
func clean(v float64) float64 {
	if f, ok := kitchenFraction(v, 1e-10); ok {
		return f
	}
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 10, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// kitchenFraction is the number that spoons and cups come in and that lies within a
// share of v.
func kitchenFraction(v, within float64) (float64, bool) {
	whole := math.Floor(v)
	for _, f := range append([][2]float64{{0, 1}, {1, 1}}, kitchenFractions...) {
		if near := whole + f[0]/f[1]; near > 0 && math.Abs(v-near) <= within*v {
			return near, true
		}
	}
	return 0, false
}
