package quantity

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func mustAmount(t testing.TB, text string) Amount {
	t.Helper()
	a, err := ParseAmount(text)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

var kitchenCases = []struct {
	exact, want string
	errPercent  float64
}{
	// Spoons and cups, up and down.
	{"6 tsp", "2 tbsp", 0},
	{"5 tsp", "5 tsp", 0},
	{"3 tsp", "3 tsp", 0},
	{"7 tsp", "7 tsp", 0},
	{"4 tbsp", "1/4 cup", 0},
	{"5 tbsp", "5 tbsp", 0},
	{"8 tbsp", "1/2 cup", 0},
	{"18 tbsp", "1 cup + 2 tbsp", 0},
	{"9 tbsp", "1/2 cup + 1 tbsp", 0},
	{"14 tbsp", "3/4 cup + 2 tbsp", 0},
	{"3.37 tbsp", "3 1/2 tbsp", 3.9},
	{"1.2 tbsp", "3 1/2 tsp", -2.8},
	{"1/2 tbsp", "1/2 tbsp", 0},
	{"0.7 cup", "2/3 cup", -4.8},
	{"1.34 cups", "1 1/3 cups", -0.5},
	{"33.3 cups", "33 cups", -0.9},
	{"0.1 cup", "4 3/4 tsp", -1.0},
	{"0.13 tsp", "1/8 tsp", -3.8},
	{"1.71 metric tbsp", "5 1/4 metric tsp", 2.3},

	// Fluid measures.
	{"1.3 fl oz", "1 1/4 fl oz", -3.8},
	{"0.3 fl oz", "1 3/4 tsp", -2.8},
	{"40 fl oz", "1 1/4 quarts", 0},
	{"44 fl oz", "44 fl oz", 0},
	{"3.1 pints", "50 fl oz", 0.8},
	{"5.7 gallons", "5 3/4 gallons", 0.9},
	{"21 imp fl oz", "21 imp fl oz", 0},
	{"40 imp fl oz", "2 imp pints", 0},

	// Metric volumes.
	{"2.37 ml", "2.4 ml", 1.3},
	{"4.12 ml", "4 ml", -2.9},
	{"4.1 ml", "4.1 ml", 0},
	{"13.37 ml", "13 ml", -2.8},
	{"428.6 ml", "430 ml", 0.3},
	{"1999 ml", "2 l", 0.05},
	{"3.333 l", "3.33 l", -0.1},
	{"0.35 l", "350 ml", 0},
	{"70 cl", "70 cl", 0},
	{"210 cl", "2.1 l", 0},

	// Masses.
	{"0.25 g", "0.25 g", 0},
	{"9.32 g", "9.3 g", -0.2},
	{"25.71 g", "26 g", 1.1},
	{"198.4 g", "198 g", -0.2},
	{"914.3 g", "915 g", 0.1},
	{"1303 g", "1.3 kg", -0.2},
	{"0.7 kg", "700 g", 0},
	{"300 mg", "300 mg", 0},
	{"1.9 oz wt", "1 7/8 oz wt", -1.3},
	{"0.31 oz wt", "0.31 oz wt", 0}, {"0.033333 oz wt", "0.94 g", -0.53}, {"0.05 oz wt", "0.05 oz wt", 0},
	{"16 oz wt", "1 lb", 0},
	{"1.4 lb", "22 oz wt", -1.8},
	{"3.3 oz", "3 1/4 oz", -1.5},

	// Counts.
	{"8.57 fruit", "9 fruit", 5.0},
	{"zest of 8.57", "zest of 9", 5.0},
	{"zest of 8.03", "zest of 8", -0.4},
	{"zest of 8.2", "zest of 8", -2.4},
	{"juice of 2.6", "juice of 2 1/2", -3.8}, // as what is counted otherwise
	{"2.6", "2 1/2", -3.8},
	{"0.4 fruit", "1/2 fruit", 25},
	{"2.3 sticks", "2 1/4 sticks", -2.17},
	{"0.66667 pieces", "2/3 piece", 0}, {"1.3333 fruit", "1 1/3 fruit", 0},
	{"5.7 sticks", "6 sticks", 5.3},
	{"14.3 cloves", "14 cloves", -2.1},
	{"0.14 cloves", "1/4 clove", 78.57},
	{"22.8-28.5 pieces", "23-29 pieces", 1.4},
	{"14.3 dashes", "14 dashes", -2.1},
	{"0.3 pinches", "1 pinch", 233},
}

// What is read off spoons, cups, jugs and scales: common practice, no source.
// The errors are arithmetic on the exact amounts.
func TestKitchen(t *testing.T) {
	for _, c := range kitchenCases {
		exact := mustAmount(t, c.exact)
		got, off := Kitchen(exact, US)
		if got.Text != c.want || got.String() != c.want && !strings.Contains(c.want, " + ") {
			t.Errorf("%s: %s (%q), want %s", c.exact, got, got.Text, c.want)
		}
		if math.Abs(100*off-c.errPercent) > 0.051+0.002*math.Abs(c.errPercent) {
			t.Errorf("%s -> %s: error %.2f %%, want %.2f %%", c.exact, got, 100*off, c.errPercent)
		}
	}
}

// Sizes of the measures that Kitchen moves between, ml: NIST Special
// Publication 811 (2008), appendix B.8, "to convert from … to cubic meter",
// seven digits. An exact move must keep the volume.
func TestKitchenKeepsTheVolume(t *testing.T) {
	sp811 := map[string]float64{
		"tsp": 4.928922, "tbsp": 14.78676, "cup": 236.5882, "fl oz": 29.57353,
		"gill": 118.2941, "pint": 473.1765, "quart": 946.3529, "gallon": 3785.412,
		"imp fl oz": 28.41306, "imp gill": 142.0653, "imp pint": 568.2613, "imp quart": 1136.523, "imp gallon": 4546.09,
	}
	for _, c := range [][2]string{
		{"6 tsp", "2 tbsp"}, {"4 tbsp", "1/4 cup"}, {"32 fl oz", "1 quart"}, {"4 quarts", "4 quarts"}, {"8 quarts", "2 gallons"},
		{"8 pints", "1 gallon"}, {"8 gills", "1 quart"}, {"20 imp fl oz", "1 imp pint"}, {"16 imp pints", "2 imp gallons"}, {"8 imp quarts", "2 imp gallons"},
	} {
		from := mustAmount(t, c[0])
		got, off := Kitchen(from, US)
		if got.String() != c[1] {
			t.Errorf("%s: %s, want %s", c[0], got, c[1])
		}
		before, after := from.Mid()*sp811[from.Unit], got.Mid()*sp811[got.Unit]
		if before == 0 || math.Abs(after/before-1) > 1e-6 || math.Abs(off) > 1e-9 {
			t.Errorf("%s (%.4f ml) became %s (%.4f ml), error given as %g", c[0], before, got, after, off)
		}
	}
}

func TestKitchenBelowTheSmallestSpoon(t *testing.T) {
	exact := mustAmount(t, "0.05 tsp")
	if got, off := Kitchen(exact, US); got.Text != "1/8 tsp" || math.Abs(off-1.5) > 1e-9 {
		t.Errorf("US: %s, error %g; want 1/8 tsp, two and a half times as much", got, off)
	}
	if got, off := Kitchen(exact, Metric); got.Text != "0.2 ml" || math.Abs(off) > 0.2 {
		t.Errorf("metric: %s, error %g; want 0.2 ml", got, off)
	}
}

func TestKitchenOfNothing(t *testing.T) {
	for _, a := range []Amount{{}, {Kind: Mass, Unit: "g"}, {Kind: Mass, Unit: "g", Low: 1, High: math.Inf(1)}, {Kind: Mass, Unit: "g", Low: math.NaN(), High: 1}} {
		if got, off := Kitchen(a, Metric); off != 0 || fmt.Sprint(got) != fmt.Sprint(a) {
			t.Errorf("%+v became %+v with error %g", a, got, off)
		}
	}
}

// kitchenUnits are all units an amount can have, with the smallest number of
// each that can be measured within 3 % whatever it is; 0: none.
var kitchenUnits = []struct {
	unit   string
	within float64
}{
	{"g", 0.2}, {"kg", 0.0002}, {"mg", 200}, {"lb", 0}, {"oz wt", 0}, {"oz", 0},
	{"ml", 2}, {"cl", 0.2}, {"dl", 0.02}, {"l", 0.002},
	{"tsp", 0}, {"tbsp", 0}, {"fl oz", 0}, {"gill", 0}, {"cup", 0}, {"pint", 0}, {"quart", 0}, {"gallon", 0},
	{"imp fl oz", 0}, {"imp gill", 0}, {"imp pint", 0}, {"imp quart", 0}, {"imp gallon", 0},
	{"metric tsp", 0}, {"metric tbsp", 0}, {"metric cup", 0},
	{"dash", 0}, {"drop", 0}, {"pinch", 0}, {"splash", 0}, {"handful", 0},
	{"fruit", 0}, {"piece", 0}, {"stick", 0}, {"clove", 0}, {"zest of", 0}, {"juice of", 0},
}

func anyAmount(t *rapid.T) (a Amount, within float64) {
	u := rapid.SampledFrom(kitchenUnits).Draw(t, "unit")
	n := math.Exp(rapid.Float64Range(math.Log(0.02), math.Log(3000)).Draw(t, "log n"))
	text := fmt.Sprintf("%.6f", n)
	if rapid.Bool().Draw(t, "range") {
		text = fmt.Sprintf("%.6f-%.6f", n, n*rapid.Float64Range(1.001, 3).Draw(t, "span"))
	}
	text += " " + u.unit
	if u.unit == "zest of" || u.unit == "juice of" {
		text = fmt.Sprintf("%s %.6f", u.unit, n)
	}
	a, err := ParseAmount(text)
	if err != nil || a.High*a.size() > 9e5 {
		t.Skip("more than an amount can be, or all but")
	}
	return a, u.within
}

func TestKitchenKeepsTheOrderOfARange(t *testing.T) {
	if got, _ := Kitchen(mustAmount(t, "0.334958-0.335293 fruit"), Metric); got.Low > got.High || got.Text != "1/3 fruit" {
		t.Errorf("%+v", got)
	}
}

func TestKitchenProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		exact, within := anyAmount(t)
		system := rapid.SampledFrom([]System{Metric, US}).Draw(t, "system")
		got, off := Kitchen(exact, system)

		// What is printed reads back as the same amount.
		read, err := ParseAmount(got.Text)
		if err != nil || read != got {
			t.Fatalf("%s became %q, which reads as %+v (%v), not %+v", exact, got.Text, read, err, got)
		}
		// The kind of thing stays, so that a dose by mass is never taken for one by volume.
		if got.Kind != exact.Kind || got.Noun != exact.Noun || got.Of != exact.Of {
			t.Fatalf("%s became %s, another kind of amount", exact, got)
		}
		// The error is the one that was made.
		ratio := got.Mid() / exact.Mid()
		if exact.size() > 0 {
			ratio *= got.size() / exact.size()
		}
		if math.Abs(ratio-1-off) > 1e-9 {
			t.Fatalf("%s became %s: error given as %g, made %g", exact, got, off, ratio-1)
		}
		if within > 0 && exact.Low == exact.High && exact.Low >= within && math.Abs(off) > 0.03 {
			t.Fatalf("%s became %s, %.1f %% off", exact, got, 100*off)
		}
		// What can be measured stays as much, perhaps in another measure.
		if again, twice := Kitchen(got, system); exact.Low == exact.High && math.Abs(twice) > 1e-9 {
			t.Fatalf("%s became %s, and that became %s", exact, got, again)
		}
	})
}

// Scaling by f and then by 1/f gives the old amount back within the two errors
// that were said.
func TestKitchenThereAndBack(t *testing.T) {
	by := func(a Amount, f float64) Amount {
		a.Low, a.High = a.Low*f, a.High*f
		return a
	}
	rapid.Check(t, func(t *rapid.T) {
		old, _ := anyAmount(t)
		f := math.Exp(rapid.Float64Range(math.Log(0.05), math.Log(20)).Draw(t, "log f"))
		scaled, off := Kitchen(by(old, f), Metric)
		back, offBack := Kitchen(by(scaled, 1/f), Metric)
		ratio := back.Mid() / old.Mid()
		if old.size() > 0 {
			ratio *= back.size() / old.size()
		}
		if want := (1 + off) * (1 + offBack); math.Abs(ratio/want-1) > 1e-9 {
			t.Fatalf("%s times %g is %s (%+.3f), and back %s (%+.3f): %g of the old, want %g", old, f, scaled, off, back, offBack, ratio, want)
		}
	})
}

func FuzzKitchen(f *testing.F) {
	for _, s := range []string{"1 1/2 tbsp", "8-10 pieces", "zest of 3", "700 ml", "0.3 oz", "2 metric cups", "1/8 tsp", "3 sticks", "1e9 g", "1 splash"} {
		f.Add(s, 2.857)
	}
	f.Fuzz(func(t *testing.T, text string, by float64) {
		a, err := ParseAmount(text)
		if err != nil || !(by > 1e-3 && by < 1e3) {
			return
		}
		a.Low, a.High = a.Low*by, a.High*by
		got, off := Kitchen(a, US)
		if math.IsNaN(off) || math.IsInf(off, 0) || !(got.Low > 0) || got.High < got.Low {
			t.Fatalf("%q times %g became %+v with error %g", text, by, got, off)
		}
		if again, err := ParseAmount(got.Text); err == nil && again != got {
			t.Fatalf("%q reads as %+v, not %+v", got.Text, again, got)
		}
	})
}

// The marks of a measuring jug: common practice, no source.
func TestClosely(t *testing.T) {
	for _, c := range []struct {
		exact float64
		unit  string
		sys   System
		want  string
	}{
		{70.24, "fl oz", US, "70 fl oz"}, {30.1, "fl oz", US, "30 fl oz"}, {4.583, "cup", US, "36 3/4 fl oz"}, {6.875, "cup", US, "55 fl oz"},
		{2, "cup", US, "2 cups"}, {5.31, "fl oz", US, "5 1/4 fl oz"}, {0.5, "cup", US, "1/2 cup"}, {112, "ml", Metric, "112 ml"}, {187, "ml", Metric, "187 ml"}, {1513, "ml", Metric, "1.51 l"},
		{2.3, "metric cup", Metric, "575 ml"}, {33.3, "imp fl oz", Metric, "33 1/4 imp fl oz"},
	} {
		got, off := Closely(Amount{Kind: Volume, Low: c.exact, High: c.exact, Unit: c.unit}, c.sys)
		if got.Text != c.want {
			t.Errorf("%g %s: %s (%.2f %%), want %s", c.exact, c.unit, got.Text, 100*off, c.want)
		}
	}
}

func TestCloselyKeepsWithinHalfAPercent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]string{"cup", "fl oz", "pint", "quart", "gallon", "ml", "cl", "l", "metric cup", "imp pint", "imp fl oz"}).Draw(t, "unit")
		a := Amount{Kind: Volume, Unit: unit, Low: 1, High: 1}
		_, one, _, _ := a.Millilitres()
		ml := math.Exp(rapid.Float64Range(math.Log(370), math.Log(90000)).Draw(t, "log ml"))
		a.Low = ml / one
		a.High = a.Low
		got, off := Closely(a, rapid.SampledFrom([]System{US, Metric}).Draw(t, "system"))
		if math.Abs(off) > closely+1e-9 {
			t.Fatalf("%g %s became %s, off by %.2f %%", a.Low, unit, got.Text, 100*off)
		}
		read, err := ParseAmount(got.Text)
		if err != nil {
			t.Fatal(err)
		}
		if _, is, _, _ := read.Millilitres(); math.Abs(is/ml-1-off) > 1e-3 {
			t.Fatalf("%s reads as %g ml; %g with an error of %g was meant", got.Text, is, ml, off)
		}
	})
}

// TestSmallWeights: below a tenth of an ounce a US maker gets what a scale shows, hundredths of an ounce or
// of a gram, and never one that is worse than the scale.
func TestSmallWeights(t *testing.T) {
	for oz := 0.0005; oz < 1; oz *= 1.013 {
		got, off := Kitchen(Amount{Kind: Mass, Low: oz, High: oz, Unit: "oz wt"}, US)
		shown := 100 * got.Low
		switch {
		case got.Unit == "oz wt" && got.Low >= 0.125: // eighths there
			shown *= 10
		case got.Unit != "oz wt" && (got.Unit != "g" || oz >= 0.18):
			t.Errorf("%g oz wt is %s", oz, got.Text)
		}
		if math.Abs(shown-math.Round(shown)) > 1e-6 || math.Abs(off) > CloseEnough && math.Abs(off)*oz*gramPerOunce > 0.005001 {
			t.Errorf("%g oz wt is %s, %+.3f off", oz, got.Text, off)
		}
	}
}
