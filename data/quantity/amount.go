package quantity

import (
	"math"
	"strconv"
	"strings"
	"sync"

	"steepbook/data/pattern"
)

// Amount is how much of something, as it was written. The zero Amount is no
// amount.
type Amount struct {
	Text      string // as written
	Kind      Kind
	Low, High float64 // in Unit; equal unless a range was written; 0 < Low <= High
	Unit      string  // canonical name, singular: g, kg, mg, lb, oz wt, oz, ml, cl, dl, l, tsp, tbsp, fl oz, gill, cup, pint, quart, gallon, imp pint …, metric cup …, dash, drop, pinch, splash, handful; piece for every count
	Noun      string  // for counts what is counted, singular: fruit, piece, pod, stick, clove, star, leaf …; "" for a bare number
	Of        string  // zest, juice or peel for "zest of 3"; its Noun is fruit
}

const amountExample = "24 g"

// Amounts beyond these are slips of the pen: a thousand kilograms or litres, a
// hundred thousand pieces, less than a microgram.
const (
	mostGrams  = 1e6
	mostPieces = 1e5
	leastGrams = 1e-6
)

var (
	ofPart    = pattern.New(`(?i)^(?:the +)?(?:finely +grated +|grated +)?(zest|juice|peel|rind|skin)s? +(?:(?:of|from) +)?`)
	rangeGap  = pattern.New(`(?i)^ *(?:-+|to\b|or\b) *`)
	countless = pattern.New(`(?i)^(?:an? +)?(few|some|several|couple|little|bit|lots?|many|plenty)\b`)
	almostOf  = pattern.New(`(?i)^([a-z]+?)s? *(?:o? ?f? ?|[a-z]{1,3}) *([0-9½¼¾].*)?$`)
	times     = pattern.New(`(?i)^([1-9][0-9]?) *[x×*] *(.+)`)
	vague     = pattern.New(`(?i)^(about|approximately|approx\.?|around|ca\.?|circa|roughly|~|≈)`)
)

// ParseAmount reads an amount: a number, a fraction or a range with a unit, a
// count of pieces, or "zest of 3". The error is an *Error.
func ParseAmount(s string) (Amount, error) {
	if a, ok := amounts.Load(s); ok {
		return a.(Amount), nil
	}
	a, err := parseAmount(s)
	if err != nil {
		return Amount{}, err
	}
	amounts.Store(s, a)
	return a, nil
}

// amounts and durations are those read so far: a book says the same few again and
// again.
var amounts, durations sync.Map

func parseAmount(s string) (Amount, *Error) {
	a := Amount{Text: s}
	text := tidy(s)
	if text == "" {
		return a, fail(s, amountExample, "the amount is empty")
	}
	rest := text
	if m := ofPart().FindStringSubmatch(rest); m != nil {
		a.Of = strings.ToLower(m[1])
		if a.Of == "rind" || a.Of == "skin" {
			a.Of = "peel"
		}
		rest = rest[len(m[0]):]
	}
	if m := vague().FindString(rest); m != "" {
		return a, fail(s, "8-10 pieces", "leave out %s in %s; a range says how well you know it", shown(m), shown(s))
	}
	if m := countless().FindString(rest); m != "" {
		return a, fail(s, "3 pieces", "%s in %s is no number", shown(m), shown(s))
	}
	if strings.HasPrefix(rest, "-") {
		return a, fail(s, amountExample, "the amount %s is negative", shown(s))
	}
	if m := times().FindStringSubmatch(rest); m != nil {
		example := "1500 ml"
		if each, err := parseAmount(m[2]); err == nil {
			n, _ := strconv.ParseFloat(m[1], 64)
			example = each.Scale(n).String()
		}
		return a, fail(s, example, "%s is a multiplication; write the whole amount", shown(s))
	}
	rest, err := a.numbers(rest)
	if err != nil {
		return a, err
	}
	if err := a.measure(strings.TrimSpace(rest)); err != nil {
		return a, err
	}
	return a, a.sane()
}

// numbers reads the number or the range that an amount begins with.
func (a *Amount) numbers(text string) (rest string, err *Error) {
	low, rest, found, err := number(text, a.Text, amountExample)
	if err != nil {
		return "", err
	}
	if !found {
		if strings.EqualFold(text, "nan") || strings.EqualFold(text, "inf") || strings.EqualFold(text, "infinity") {
			return "", fail(a.Text, amountExample, "the amount %s is not a number", shown(a.Text))
		}
		if m, ok := measures()[normalUnit(text)]; ok {
			two := Amount{Kind: m.unit.kind, Low: 2, High: 2, Unit: m.unit.name, Noun: m.noun}
			return "", fail(a.Text, two.String(), "%s says no number", shown(a.Text))
		}
		if m := almostOf().FindStringSubmatch(tidy(a.Text)); m != nil {
			for _, part := range []string{"zest", "juice", "peel"} {
				if word := strings.ToLower(m[1]); word == part || oneSlip(word, part) {
					meant := strings.TrimSpace(part + " of " + m[2])
					if m[2] == "" {
						return "", fail(a.Text, part+" of 2", "%s says no number", shown(a.Text))
					}
					return "", fail(a.Text, meant, "the amount %s cannot be read; did you mean %q?", shown(a.Text), meant)
				}
			}
		}
		return "", fail(a.Text, amountExample, "the amount %s does not begin with a number", shown(a.Text))
	}
	a.Low, a.High = low, low
	gap := rangeGap().FindString(rest)
	if gap == "" {
		return rest, nil
	}
	high, after, found, err := number(rest[len(gap):], a.Text, "8-10 pieces")
	if err != nil {
		return "", err
	}
	if !found {
		return "", fail(a.Text, "8-10 pieces", "the range in %s has no second number", shown(a.Text))
	}
	a.High = high
	switch {
	case high == 0:
		return "", fail(a.Text, "8-10 pieces", "the range in %s ends at zero", shown(a.Text))
	case high < 1 && low >= 1 && low == math.Trunc(low):
		// "1-1/2 cups" is how some write one and a half.
		return "", fail(a.Text, strings.TrimSpace(spellNumber(low, false)+" "+spellNumber(high, true)+after),
			"the range in %s runs downwards; if it is a mixed fraction, write a space instead of the dash", shown(a.Text))
	case high < low:
		return "", fail(a.Text, spellNumber(high, true)+"-"+spellNumber(low, true)+after, "the range in %s runs downwards", shown(a.Text))
	}
	return after, nil
}

// measure reads the unit, or what is counted.
func (a *Amount) measure(text string) *Error {
	if a.Of != "" {
		return a.ofFruit(text)
	}
	if text == "" {
		a.Kind, a.Unit = Count, "piece"
		return nil
	}
	if text == "t" || text == "T" {
		return fail(a.Text, spellNumber(a.Low, true)+" tbsp", "%s", noUnits["t"][0])
	}
	word := normalUnit(text)
	if m, ok := measures()[word]; ok {
		a.Kind, a.Unit, a.Noun = m.unit.kind, m.unit.name, m.noun
		return nil
	}
	// "1 cinnamon stick", "3 vanilla beans": the last word is what is counted.
	if i := strings.LastIndexByte(text, ' '); i > 0 && !sizeWords[strings.ToLower(strings.Fields(text)[0])] && !secondAmount().MatchString(text) {
		if m, ok := measures()[normalUnit(text[i+1:])]; ok && m.unit.kind == Count && m.noun != "" && !startsWithUnit(text[:i]) {
			a.Kind, a.Unit, a.Noun = Count, "piece", m.noun
			return nil
		}
	}
	return a.unknownUnit(text, word)
}

// startsWithUnit reports whether text begins with the name of a unit, so that
// "cup cardamom pods" is not read as pods.
func startsWithUnit(text string) bool {
	words := strings.Fields(text)
	for i := range words {
		if _, ok := measures()[normalUnit(strings.Join(words[:i+1], " "))]; ok {
			return true
		}
		if _, ok := noUnits[normalUnit(words[i])]; ok {
			return true
		}
	}
	return false
}

// ofFruit reads what follows the number in "zest of 3 limes".
func (a *Amount) ofFruit(text string) *Error {
	a.Kind, a.Unit, a.Noun = Count, "piece", "fruit"
	if text == "" {
		return nil
	}
	if m, ok := measures()[normalUnit(text)]; ok && m.unit.kind == Count {
		return nil
	}
	return fail(a.Text, a.Of+" of "+spellNumber(a.Low, true), "in %s only a number of fruit can follow %q, not %s", shown(a.Text), a.Of+" of", shown(text))
}

var sizeWords = map[string]bool{
	"small": true, "medium": true, "large": true, "big": true, "heaped": true, "heaping": true, "level": true, "rounded": true,
	"scant": true, "generous": true, "packed": true, "loose": true, "good": true, "extra": true,
}

func sumExample(k Kind) string {
	if k == Volume {
		return "250 ml"
	}
	return "570 g"
}

var secondAmount = pattern.New(`[0-9¼½¾⅓⅔⅛⅜⅝⅞]`)

// unknownUnit words what follows a number and is no unit.
func (a *Amount) unknownUnit(text, word string) *Error {
	n := spellNumber(a.Low, true)
	if a.High > a.Low {
		n += "-" + spellNumber(a.High, true)
	}
	for _, w := range []string{word, strings.TrimSuffix(word, "s"), strings.TrimSuffix(word, "es")} {
		if no, ok := noUnits[w]; ok {
			return fail(a.Text, strings.ReplaceAll(no[1], "%s", n), "%s", no[0])
		}
	}
	words := strings.Fields(text)
	for i, w := range words {
		if sizeWords[strings.ToLower(strings.Trim(w, "(),"))] {
			rest := strings.Join(append(append([]string{n}, words[:i]...), words[i+1:]...), " ")
			return fail(a.Text, rest, "%s in %s has no fixed meaning; leave it out, or give a weight", shown(w), shown(a.Text))
		}
	}
	// A unit with something behind it: the something belongs elsewhere.
	for i := len(words) - 1; i > 0; i-- {
		head, tail := strings.Join(words[:i], " "), strings.Join(words[i:], " ")
		m, ok := measures()[normalUnit(head)]
		if !ok {
			continue
		}
		if secondAmount().MatchString(tail) {
			return fail(a.Text, sumExample(m.unit.kind), "%s holds more than one amount; add them up in one unit", shown(a.Text))
		}
		if m.unit.kind == Count && strings.HasPrefix(strings.ToLower(tail), "of ") {
			tail = tail[3:]
		}
		return fail(a.Text, n+" "+head, "%s in %s is more than an amount; what it is belongs to name, how it is prepared to cut", shown(tail), shown(a.Text))
	}
	if secondAmount().MatchString(text) && !secondAmount().MatchString(words[0]) {
		return fail(a.Text, amountExample, "%s holds more than one amount; add them up in one unit", shown(a.Text))
	}
	if likely, ok := likelyUnit(word); ok {
		return fail(a.Text, n+" "+likely, "unknown unit %s in %s; did you mean %q?", shown(text), shown(a.Text), likely)
	}
	return fail(a.Text, "3 pieces", "unknown unit %s in %s; use a weight (g, oz wt), a measure (ml, tsp, tbsp, cup, fl oz) or a count (pieces, fruit, pods, sticks)", shown(text), shown(a.Text))
}

// sane refuses amounts that no bench has.
func (a *Amount) sane() *Error {
	size, most := a.size(), mostGrams
	if size == 0 {
		size, most = 1, mostPieces
		if a.Kind == Ounce {
			size, most = gramPerOunce, mostGrams
		}
	}
	switch {
	case a.Low == 0 && a.High == 0:
		return fail(a.Text, amountExample, "the amount %s is zero; leave it out if nobody measured it", shown(a.Text))
	case a.Low == 0:
		return fail(a.Text, "1-2 pieces", "the range %s begins at zero", shown(a.Text))
	case math.IsNaN(a.Low) || math.IsInf(a.High, 0) || !(a.High*size <= most):
		limit := "1000 kg or 1000 l"
		if most == mostPieces {
			limit = strconv.Itoa(mostPieces)
		}
		return fail(a.Text, amountExample, "the amount %s is more than %s; is the unit right?", shown(a.Text), limit)
	case a.Low*size < leastGrams:
		return fail(a.Text, amountExample, "the amount %s is less than any scale shows; is the unit right?", shown(a.Text))
	}
	return nil
}

// size is one Unit in grams or millilitres, 0 where it has no fixed size.
func (a Amount) size() float64 { return sizeOf(a.Unit) }

// Mid is the middle of the range, in Unit.
func (a Amount) Mid() float64 { return a.Low + (a.High-a.Low)/2 }

// Grams converts an amount of mass [g]. ok is false for every other kind.
func (a Amount) Grams() (low, mid, high float64, ok bool) { return a.convert(Mass) }

// Millilitres converts an amount of volume [ml]. ok is false for every other
// kind and for measures without an official size, such as dash and pinch.
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
	fractions := a.fractional()
	n := spellNumber(a.Low, fractions)
	if a.High > a.Low {
		n += "-" + spellNumber(a.High, fractions)
	}
	switch {
	case a.Of != "":
		return a.Of + " of " + n
	case a.Kind == Count && a.Noun == "":
		return n
	case a.Kind == Count && a.High <= 1:
		return n + " " + a.Noun
	case a.Kind == Count:
		return n + " " + pluralOf(a.Noun)
	}
	if m, ok := measures()[a.Unit]; ok && m.unit.plural != "" && a.High > 1 {
		return n + " " + m.unit.plural
	}
	return n + " " + a.Unit
}

// fractional reports whether people halve and quarter the unit instead of
// writing decimals.
func (a Amount) fractional() bool {
	switch a.Unit {
	case "g", "kg", "mg", "ml", "cl", "dl", "l":
		return false
	}
	return true
}

// Scale multiplies the amount by f, which must be positive and finite (other
// factors give the zero Amount). The result is rounded to what can be measured:
// the nearest kitchen fraction when it is one within 0.1 %, otherwise four
// significant figures. Counts keep their fractions; whether to buy a whole
// fruit is for the shopping list to say.
func (a Amount) Scale(f float64) Amount {
	if !(f > 0) || math.IsInf(f, 0) || a.Kind == 0 {
		return Amount{}
	}
	a.Low, a.High = a.measurable(a.Low*f), a.measurable(a.High*f)
	a.Text = a.String()
	return a
}

func (a Amount) measurable(v float64) float64 {
	if a.fractional() && v < 100 {
		whole := math.Floor(v)
		for _, f := range append([][2]float64{{0, 1}, {1, 1}}, kitchenFractions...) {
			if near := whole + f[0]/f[1]; near > 0 && math.Abs(v-near) <= 0.001*v {
				return near
			}
		}
	}
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 4, 64), 64)
	if err != nil {
		return v
	}
	return r
}
