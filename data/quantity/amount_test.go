package quantity

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

const third, twoThirds = 1.0 / 3, 2.0 / 3

var parseAmountCases = []struct {
	text, unit, noun, of string
	kind                 Kind
	low, high            float64
}{
	{"24 g", "g", "", "", Mass, 24, 24},
	{"24g", "g", "", "", Mass, 24, 24},
	{" 24  grams. ", "g", "", "", Mass, 24, 24},
	{"1.25 kg", "kg", "", "", Mass, 1.25, 1.25},
	{"500 mg", "mg", "", "", Mass, 500, 500},
	{"3 lb", "lb", "", "", Mass, 3, 3},
	{"3 lbs.", "lb", "", "", Mass, 3, 3},
	{"2 oz wt", "oz wt", "", "", Mass, 2, 2},
	{"2 ounces by weight", "oz wt", "", "", Mass, 2, 2},
	{"2 oz", "oz", "", "", Ounce, 2, 2},
	{"12 Ounces", "oz", "", "", Ounce, 12, 12},
	{"2 fl oz", "fl oz", "", "", Volume, 2, 2},
	{"2 fl. oz.", "fl oz", "", "", Volume, 2, 2},
	{"2 US fluid ounces", "US fl oz", "", "", Volume, 2, 2},
	{"700 ml", "ml", "", "", Volume, 700, 700},
	{"700mL", "ml", "", "", Volume, 700, 700},
	{"70 cl", "cl", "", "", Volume, 70, 70},
	{"3 dl", "dl", "", "", Volume, 3, 3},
	{"0.7 l", "l", "", "", Volume, 0.7, 0.7},
	{"1,5 l", "l", "", "", Volume, 1.5, 1.5},
	{"0,125 L", "l", "", "", Volume, 0.125, 0.125},
	{".5 litre", "l", "", "", Volume, 0.5, 0.5},
	{"1 1/2 tbsp", "tbsp", "", "", Volume, 1.5, 1.5},
	{"1 1/2 Tbsp.", "tbsp", "", "", Volume, 1.5, 1.5},
	{"½ tsp", "tsp", "", "", Volume, 0.5, 0.5},
	{"½tsp", "tsp", "", "", Volume, 0.5, 0.5},
	{"1½ cups", "cup", "", "", Volume, 1.5, 1.5},
	{"1 ½ cups", "cup", "", "", Volume, 1.5, 1.5},
	{"2⅔ cups", "cup", "", "", Volume, 2 + twoThirds, 2 + twoThirds},
	{"1/3 cup", "cup", "", "", Volume, third, third},
	{"1⁄4 tsp", "tsp", "", "", Volume, 0.25, 0.25},
	{"half a cup", "cup", "", "", Volume, 0.5, 0.5},
	{"a quarter cup", "cup", "", "", Volume, 0.25, 0.25},
	{"1 pint", "pint", "", "", Volume, 1, 1},
	{"1 imperial pint", "imp pint", "", "", Volume, 1, 1},
	{"2 UK pints", "imp pint", "", "", Volume, 2, 2},
	{"1 metric cup", "metric cup", "", "", Volume, 1, 1},
	{"2 metric tablespoons", "metric tbsp", "", "", Volume, 2, 2},
	{"2 quarts", "quart", "", "", Volume, 2, 2},
	{"1 gallon", "gallon", "", "", Volume, 1, 1},
	{"25 dashes", "dash", "", "", Volume, 25, 25},
	{"a pinch", "pinch", "", "", Volume, 1, 1},
	{"3 drops", "drop", "", "", Volume, 3, 3},
	{"2 handfuls", "handful", "", "", Volume, 2, 2},
	{"12", "piece", "", "", Count, 12, 12},
	{"8-10 pieces", "piece", "piece", "", Count, 8, 10},
	{"8–10 pieces", "piece", "piece", "", Count, 8, 10},
	{"8 to 10 pieces", "piece", "piece", "", Count, 8, 10},
	{"2 or 3 sticks", "piece", "stick", "", Count, 2, 3},
	{"1/2-3/4 tsp", "tsp", "", "", Volume, 0.5, 0.75},
	{"1 1/2 - 2 cups", "cup", "", "", Volume, 1.5, 2},
	{"3 fruit", "piece", "fruit", "", Count, 3, 3},
	{"3 limes", "piece", "fruit", "", Count, 3, 3},
	{"half a lime", "piece", "fruit", "", Count, 0.5, 0.5},
	{"2 leaves", "piece", "leaf", "", Count, 2, 2},
	{"1 inch", "piece", "inch", "", Count, 1, 1},
	{"6 in.", "piece", "inch", "", Count, 6, 6},
	{"a dozen pods", "piece", "pod", "", Count, 12, 12},
	{"two tea bags", "piece", "bag", "", Count, 2, 2},
	{"20 cloves", "piece", "clove", "", Count, 20, 20},
	{"4 jalapeños", "piece", "chilli", "", Count, 4, 4},
	{"2 egg whites", "piece", "egg white", "", Count, 2, 2},
	{"zest of 3", "piece", "fruit", "zest", Count, 3, 3},
	{"zest of 3 limes", "piece", "fruit", "zest", Count, 3, 3},
	{"The zest from 1 lemon", "piece", "fruit", "zest", Count, 1, 1},
	{"zest 8 limes", "piece", "fruit", "zest", Count, 8, 8},
	{"juice of 2", "piece", "fruit", "juice", Count, 2, 2},
	{"juice of half a lemon", "piece", "fruit", "juice", Count, 0.5, 0.5},
	{"peel of 8-12 lemons", "piece", "fruit", "peel", Count, 8, 12},
	{"rind of 4", "piece", "fruit", "peel", Count, 4, 4},

	{"1 Handvoll", "handful", "", "", Volume, 1, 1}, {"2 Teelöffel", "metric tsp", "", "", Volume, 2, 2},
	{"1 EL", "metric tbsp", "", "", Volume, 1, 1}, {"2 cuillères à soupe", "metric tbsp", "", "", Volume, 2, 2},
	{"1 puñado", "handful", "", "", Volume, 1, 1}, {"3 pizzichi", "pinch", "", "", Volume, 3, 3},
	{"5 Tropfen", "drop", "", "", Volume, 5, 5}, {"3 Zehen", "piece", "clove", "", Count, 3, 3},
}

// TestParseAmount reads amounts as makers write them.
func TestParseAmount(t *testing.T) {
	for _, c := range parseAmountCases {
		a, err := ParseAmount(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		want := Amount{Text: c.text, Kind: c.kind, Low: c.low, High: c.high, Unit: c.unit, Noun: c.noun, Of: c.of}
		if a != want {
			t.Errorf("%q:\n got %+v\nwant %+v", c.text, a, want)
		}
	}
}

// TestWrongAmounts is the list of slips, each with the whole sentence.
func TestWrongAmounts(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", `the amount is empty; e.g. "24 g"`},
		{"some", `"some" in "some" is no number; e.g. "3 pieces"`},
		{"to taste", `the amount "to taste" does not begin with a number; e.g. "24 g"`},

		{"nan", `the amount "nan" is not a number; e.g. "24 g"`},
		{"-3 g", `the amount "-3 g" is negative; e.g. "24 g"`},
		{"−3 g", `the amount "−3 g" is negative; e.g. "24 g"`},
		{"0 g", `the amount "0 g" is zero; leave it out if nobody measured it; e.g. "24 g"`},
		{"0-2 g", `the range "0-2 g" begins at zero; e.g. "1-2 pieces"`},
		{"2000 kg", `the amount "2000 kg" is more than 1000 kg or 1000 l; is the unit right? e.g. "24 g"`},
		{"1e300 g", `unknown unit "e300 g" in "1e300 g"; use a weight (g, oz wt), a measure (ml, tsp, tbsp, cup, fl oz) or a count (pieces, fruit, pods, sticks); e.g. "3 pieces"`},
		{"1" + strings.Repeat("0", 400), `"100000000000000000000000000000000000000…" is too large a number; e.g. "24 g"`},
		{"500000 pieces", `the amount "500000 pieces" is more than 100000; is the unit right? e.g. "24 g"`},
		{"0.0000001 mg", `the amount "0.0000001 mg" is less than any scale shows; is the unit right? e.g. "24 g"`},
		{"1,500 g", `"1,500" can be read in two ways; write 1500, or 1.500; e.g. "1500 g"`},
		{"1 000 g", `"1 000 g" has two numbers where one is expected; e.g. "24 g"`},
		{"1.5.2 g", `"1.5.2 g" has two numbers where one is expected; e.g. "24 g"`},
		{"1/0 cup", `the fraction 1/0 divides by zero; e.g. "24 g"`},
		{"10-8 pieces", `the range in "10-8 pieces" runs downwards; e.g. "8-10 pieces"`},
		{"8- pieces", `the range in "8- pieces" has no second number; e.g. "8-10 pieces"`},
		{"24 gx", `unknown unit "gx" in "24 gx"; did you mean "g"? e.g. "24 g"`},
		{"2 tbps", `unknown unit "tbps" in "2 tbps"; did you mean "tbsp"? e.g. "2 tbsp"`},
		{"2-3 peices", `unknown unit "peices" in "2-3 peices"; did you mean "pieces"? e.g. "2-3 pieces"`},
		{"3 thingummies", `unknown unit "thingummies" in "3 thingummies"; use a weight (g, oz wt), a measure (ml, tsp, tbsp, cup, fl oz) or a count (pieces, fruit, pods, sticks); e.g. "3 pieces"`},
		{"2 T", `"t" and "T" are too easily confused; write tsp or tbsp; e.g. "2 tbsp"`},
		{"1/2 t", `"t" and "T" are too easily confused; write tsp or tbsp; e.g. "1/2 tbsp"`},
		{"5 gr", `"gr" can be grams or grains; write g; e.g. "5 g"`},
		{"2 shots", `a shot has no fixed size; write ml or fl oz; e.g. "45 ml"`},
		{"2 glasses", `a glass has no fixed size; write ml or fl oz; e.g. "100 ml"`},
		{"3 parts", `parts say nothing without a size; write ml, g or a count; e.g. "100 ml"`},
		{"5 %", `an amount in % has no size; write g or ml; e.g. "24 g"`},
		{"24 g fresh", `"fresh" in "24 g fresh" is more than an amount; what it is belongs to name, how it is prepared to cut; e.g. "24 g"`},
		{"2 sticks of cinnamon", `"cinnamon" in "2 sticks of cinnamon" is more than an amount; what it is belongs to name, how it is prepared to cut; e.g. "2 sticks"`},
		{"zest of 2 cups", `in "zest of 2 cups" only a number of fruit can follow "zest of", not "cups"; e.g. "zest of 2"`},
		{"jiuce of 2", `the amount "jiuce of 2" cannot be read; did you mean "juice of 2"? e.g. "juice of 2"`},
		{"zest off 3", `the amount "zest off 3" cannot be read; did you mean "zest of 3"? e.g. "zest of 3"`},
		{"zest of", `"zest of" says no number; e.g. "zest of 2"`},
		{"8-0 pieces", `the range in "8-0 pieces" ends at zero; e.g. "8-10 pieces"`},
		{"zest of some", `"some" in "zest of some" is no number; e.g. "3 pieces"`},
		{"\x00\x1b[31m", `the amount "\x00\x1b[31m" does not begin with a number; e.g. "24 g"`},
	} {
		_, err := ParseAmount(c.text)
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if got := e.Error(); got != c.want {
			t.Errorf("%q:\n got %s\nwant %s", c.text, got, c.want)
		}
		if _, err := ParseAmount(e.Example); err != nil {
			t.Errorf("%q: its example %q is wrong: %v", c.text, e.Example, err)
		}
	}
}

// TestEverySpelling reads every spelling of every unit and noun.
func TestEverySpelling(t *testing.T) {
	for word, m := range measures() {
		a, err := ParseAmount("2 " + word)
		if err != nil {
			t.Errorf("2 %s: %v", word, err)
			continue
		}
		if a.Unit != m.unit.name || a.Noun != m.noun {
			t.Errorf("2 %s became %+v", word, a)
		}
		if word != normalUnit(word) {
			t.Errorf("%q is not in the form that is looked up, %q", word, normalUnit(word))
		}
	}
	spellings := 0
	for _, u := range units {
		spellings += 1 + len(list(u.also))
		if u.plural != "" {
			spellings++
		}
	}
	for _, forms := range nouns {
		spellings += 1 + len(list(forms))
	}
	for _, forms := range abroad {
		spellings += len(list(forms))
	}
	spellings += len(list(fruits))
	if spellings != len(measures()) {
		t.Errorf("%d spellings but %d entries: one stands for two things", spellings, len(measures()))
	}
}

func anAmount() *rapid.Generator[Amount] {
	return rapid.Custom(func(t *rapid.T) Amount {
		word := rapid.SampledFrom(sortedMeasures()).Draw(t, "unit")
		m := measures()[strings.ToLower(word)]
		a := Amount{Kind: m.unit.kind, Unit: m.unit.name, Noun: m.noun}
		if a.Kind == Count && rapid.Bool().Draw(t, "bare") {
			a.Noun = ""
		}
		if a.Kind == Count && rapid.Bool().Draw(t, "part") {
			a.Of, a.Noun = rapid.SampledFrom([]string{"zest", "juice", "peel"}).Draw(t, "of"), "fruit"
		}
		number := func(label string) float64 {
			if rapid.Bool().Draw(t, label+" is a fraction") {
				f := rapid.SampledFrom(kitchenFractions).Draw(t, label)
				return float64(rapid.IntRange(0, 40).Draw(t, label+" whole")) + f[0]/f[1]
			}
			return rapid.Float64Range(0.01, 90).Draw(t, label)
		}
		a.Low = number("low")
		a.High = a.Low
		if rapid.Bool().Draw(t, "range") {
			a.High += number("more")
		}
		if q := rapid.SampledFrom(qualifiers).Draw(t, "qualifier"); rapid.Bool().Draw(t, "qualified") && (q.fits == nil || q.fits(&a)) {
			a.said(&q)
			a.mean()
		}
		return a
	})
}

func sortedMeasures() []string {
	var words []string
	for _, u := range units {
		words = append(words, u.name)
	}
	return append(words, "piece", "fruit", "leaf", "inch", "egg white", "chilli", "stick")
}

// TestPrintedAmountsReadBack: ParseAmount reads what String writes.
func TestPrintedAmountsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := anAmount().Draw(t, "amount")
		want.Text = want.String()
		got, err := ParseAmount(want.Text)
		if err != nil {
			// The smallest and largest are beyond the limits in some units.
			if size := want.size(); size > 0 && (want.High*size > mostGrams || want.Low*size < leastGrams) {
				return
			}
			t.Fatalf("%q: %v", want.Text, err)
		}
		off := got.Mid()*got.size()/(want.Mid()*want.size()) - 1
		if strings.Contains(want.Text, " + ") && math.Abs(off) < 1e-6 {
			// A sum is read in the unit of its first term, "4 quarts + 1 fl oz" is no gallon, and
			// written for what is that near.
			got.Unit, got.Low, got.High = want.Unit, want.Low, want.High
		}
		if got != want {
			t.Fatalf("%q:\n got %#v\nwant %#v", want.Text, got, want)
		}
	})
}

// TestScale: scaling is within what can be measured, and reads back.
func TestTimes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := anAmount().Draw(t, "amount")
		f := rapid.Float64Range(0.01, 100).Draw(t, "factor")
		got := a.Times(f)
		for _, p := range [][2]float64{{got.Low, a.Low * f}, {got.High, a.High * f}, {got.Mid(), a.Mid() * f}} {
			if math.Abs(p[0]-p[1]) > 1e-9*p[1] {
				t.Fatalf("%s times %g is %g, not %g", a, f, p[0], p[1])
			}
		}
		if over, ok := got.Over(a); !ok || math.Abs(over-f) > 1e-9*f {
			t.Fatalf("%s is %g times %s, not %g", got, over, a, f)
		}
	})
}

func TestConversions(t *testing.T) {
	a, err := ParseAmount("1-2 tbsp")
	if err != nil {
		t.Fatal(err)
	}
	if low, mid, high, ok := a.Millilitres(); !ok || low != mlPerTbsp || mid != 1.5*mlPerTbsp || high != 2*mlPerTbsp {
		t.Errorf("1-2 tbsp is %g, %g, %g, %v", low, mid, high, ok)
	}
	if _, _, _, ok := a.Grams(); ok {
		t.Error("a volume has grams")
	}
	oz, err := ParseAmount("2 oz")
	if err != nil {
		t.Fatal(err)
	}
	if _, _, _, ok := oz.Grams(); ok {
		t.Error("an undecided ounce has grams")
	}
	if _, _, _, ok := oz.Millilitres(); ok {
		t.Error("an undecided ounce has millilitres")
	}
	if _, g, _, ok := oz.AsWeight().Grams(); !ok || g != 2*gramPerOunce {
		t.Errorf("2 oz by weight is %g g", g)
	}
	if _, ml, _, ok := oz.AsFluid().Millilitres(); !ok || ml != 2*mlPerFlOz {
		t.Errorf("2 oz of a liquid is %g ml", ml)
	}
	if a.AsFluid() != a || a.AsWeight() != a {
		t.Error("a decided amount changed")
	}
	var none Amount
	if none.String() != "" || none.Mid() != 0 {
		t.Errorf("no amount prints as %q", none)
	}
}

func FuzzParseAmount(f *testing.F) {
	for _, s := range []string{"1 1/2 tbsp", "8-10 pieces", "zest of 3 limes", "750ml", "1,5 l", "a pinch", "2 x 3 g", "½", "1 cup + 2 tbsp", "-0", "1-1/2 c"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		a, err := ParseAmount(s)
		if err != nil {
			var e *Error
			if !errors.As(err, &e) || e.Problem == "" || strings.ContainsAny(e.Error(), "\n\x00\x1b") {
				t.Fatalf("%q: %q", s, err)
			}
			return
		}
		if !(a.Low > 0 && a.High >= a.Low) || math.IsInf(a.High, 0) {
			t.Fatalf("%q: %+v", s, a)
		}
		back, err := ParseAmount(a.String())
		if err != nil {
			t.Fatalf("%q printed as %q: %v", s, a, err)
		}
		back.Text = a.Text
		if back != a {
			t.Fatalf("%q printed as %q: %+v, not %+v", s, a, back, a)
		}
	})
}

// TestPlainNumber: the short way reads a plain number as the patterns do.
func TestPlainNumber(t *testing.T) {
	for _, head := range []string{"0", "2", "12", "007", "1.5", "0.25", "3.", "1,5", "1,500", "1/2", "1 1/2", "½", "1½", "2 ½", ".5", "12345678901234567890"} {
		for _, tail := range []string{"", " g", "g", "  g", " x 2", " 5 g", "-5 g", "/2", " / 2 cup", " and 1/2", ".", ". g", " ½", "%", " %"} {
			s := head + tail
			n := plainNumber(s)
			if n == 0 {
				continue
			}
			v, rest, found, err := firstNumber(s, s, "")
			if want, _ := strconv.ParseFloat(s[:n], 64); err != nil || !found || v != want || rest != s[n:] || anotherDigit().MatchString(rest) {
				t.Errorf("%q: %g and %q, by the patterns %g and %q, %v", s, want, s[n:], v, rest, err)
			}
		}
	}
}
