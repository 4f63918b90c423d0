package scale

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/cmd/internal/bench"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

var scaleNow = time.Date(2026, 12, 1, 10, 0, 0, 0, time.UTC)

// judged is an assessment as far as scaling reads it: the curves take time.
func judged(b *batch.Batch, lib *library.Library) (*bench.Assessment, error) {
	a, err := bench.Read(b, lib, bench.Question{Now: scaleNow})
	if err == nil {
		a.Judge()
	}
	return a, err
}

func scaleText(t testing.TB, src, size string) (*Scaled, error) {
	t.Helper()
	s, err := ParseSize(size, quantity.US)
	if err != nil {
		t.Fatal(err)
	}
	b, err := batch.Parse("old.toml", []byte(src), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	lib := library.Builtin()
	a, err := judged(b, lib)
	if err != nil {
		t.Fatal(err)
	}
	return To(a, lib, Question{Size: s, From: "old.toml", To: "new.toml", Start: scaleNow})
}

func mustScale(t testing.TB, src, size string) *Scaled {
	t.Helper()
	s, err := scaleText(t, src, size)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Everything the maker wrote stays, byte for byte, but for what changes.
func TestScaleKeepsTheMakersText(t *testing.T) {
	const src = `# my   book
name = "A # not a comment"   # a comment
started = 2026-11-20 18:00:00 # when
units = 'us'

[[spirit]]   # the first
name = "white rum"
abv = 40
amount = "2 cups" # of "2 cups"
price = 10
[[spirit]]
name   = "white rum"
proof  = 151
amount = '1 cup'

# the zest
[[botanical]]
name   = "lime zest"
amount = "zest of 9"
in     = 2026-11-20T20:30:00   # clock
lot    = "first lot"
[[botanical]]
name   = "clove"
"amount" = "40 pieces"
in     = "90 min"

[[watch]]
name = "bitter"
limit = 2

# third evening, too tired
[[tasting]]
at = "6 h"
score = { clove = 3, bitter = 0 }
words = """
[[botanical]]
amount = "9 g"
"""

[[tasting]]
at = "9 h"
[tasting.score]
clove = 4

[measured]
ph = 3.4

[[addition]]
name = "white sugar"
amount = "3 1/2 cups"

# the end
[finish]
at = 2026-11-22T18:00:00
bottle = "8 fl oz"

[[pulled]]
name = "clove"
at = "24 h"
# a last word
`
	const want = `# Scaled from old.toml (A # not a comment, started 2026-11-20): x2.
# The amounts are rounded to what can be measured. Set started to the moment the liquid meets the first botanical.
# my   book
name = "A # not a comment, x2"   # a comment
id = "63a22532"
started = 2026-12-01T10:00:00 # when
units = 'us'

[[spirit]]   # the first
name = "white rum"
abv = 40
amount = "4 cups" # of "2 cups"
price = 20.00
[[spirit]]
name   = "white rum"
proof  = 151
amount = "2 cups"

# the zest
[[botanical]]
name   = "lime zest"
amount = "zest of 18"
in     = "2 h 30 min"   # clock
lot    = "first lot"
[[botanical]]
name   = "clove"
"amount" = "80 pieces"
in     = "90 min"

[[watch]]
name = "bitter"
limit = 2

[[addition]]
name = "white sugar"
amount = "7 cups"

# the end
[finish]
at = "48 h"
bottle = "8 fl oz"

# a last word
`
	// The last comment stands right under the table that goes; only the table goes.
	s := mustScale(t, src, "x2")
	if got := strings.Replace(string(s.Text), "\n# a last word", "\n\n# a last word", 1); got != want && string(s.Text) != want {
		t.Errorf("got\n%s\nwant\n%s", s.Text, want)
	}
	// The same with the line ends and the mark of another system.
	crlf := "\uFEFF" + strings.ReplaceAll(src, "\n", "\r\n")
	got := string(mustScale(t, crlf, "x2").Text)
	if back := strings.ReplaceAll(strings.TrimPrefix(got, "\uFEFF"), "\r\n", "\n"); !strings.HasPrefix(got, "\uFEFF#") || strings.Contains(back, "\r") || back != string(s.Text) {
		t.Errorf("with CR LF:\n%q", got)
	}
}

// Tables written in TOML's other ways.
func TestScaleInlineTables(t *testing.T) {
	const src = `name = "B"
started = "2026-11-20T18:00"
spirit.name = "vodka"
spirit.abv = 50
spirit.amount = "700 ml"
botanical = [
  { name = "clove", amount = "2 g", target = 3 }, { name = "allspice", amount = "4 g" },
  { name = "mace", price = 2.5, # no amount
    "amount" = '''5 g''' },
]
addition = [{ name = "white sugar", amount = "100 g" }, { name = "water", amount = "50 ml", price = 0 }]
finish = { bottle = "100 ml", store = "fridge" }
measured.ph = 4
tasting = [
  { at = "1 h", score = { clove = 1 } },
]
pulled = [{ name = "clove", at = "2 h" }]
`
	s := mustScale(t, src, "x3")
	var got []string
	for _, r := range s.Amounts {
		got = append(got, r.Name+" "+r.New.Text)
	}
	want := []string{"vodka 2.1 l", "clove 6 g", "allspice 12 g", "mace 15 g", "white sugar 300 g", "water 150 ml"}
	if !slices.Equal(got, want) {
		t.Errorf("amounts %q, want %q", got, want)
	}
	b := s.Batch
	if len(b.Tastings)+len(b.Pulls) > 0 || b.Measured.PH != nil {
		t.Errorf("what belongs to the old batch is still there:\n%s", s.Text)
	}
	if p := b.Botanicals[2].Price; p == nil || *p != 7.5 || !b.Started.Equal(scaleNow) {
		t.Errorf("price %v, started %v:\n%s", p, b.Started, s.Text)
	}
}

func TestScaleWritesTheBottle(t *testing.T) {
	for name, src := range map[string]string{
		"exchanged": "[finish]\nbottle = \"1 l\"\nstore = \"cellar\"\n",
		"added":     "[finish]\nstore = \"cellar\"\n",
		"no table":  "",
		"no end":    "[finish]\nstore = \"cellar\"",
	} {
		src = "name = \"C\"\nstarted = 2026-11-20\n[spirit]\nabv = 40\namount = \"700 ml\"\n" + src
		s := mustScale(t, src, "4 bottles of 500 ml")
		if f := s.Batch.Finish; f.Bottle == nil || f.Bottle.Text != "500 ml" || (f.Store != "cellar") != (name == "no table") {
			t.Errorf("%s:\n%s", name, s.Text)
		}
		if math.Abs(s.Factor-2000.0/700) > 1e-3 || s.Bottling == nil || s.Bottling.Begun() != 4 || s.Bottling.LastShare() < 0.98 {
			t.Errorf("%s: factor %g, bottling %+v", name, s.Factor, s.Bottling)
		}
	}
	if _, err := scaleText(t, "name = \"C\"\nstarted = 2026-11-20\nfinish = { store = \"cellar\" }\n[spirit]\nabv = 40\namount = \"1 l\"\n", "4 bottles of 500 ml"); err == nil || !strings.Contains(err.Error(), "old.toml:3") {
		t.Errorf("a bottle that cannot be written: %v", err)
	}
}

func TestScaleRefuses(t *testing.T) {
	head := "name = \"D\"\nstarted = 2026-11-20\n"
	for _, c := range []struct{ src, size, says string }{
		{head + "[spirit]\nabv = 40\n", "3 l", "give a factor"},
		{head + "[spirit]\nabv = 40\namount = \"1 l\"\n", "6 bottles", "how large its bottles are"},
		{head + "[spirit]\nabv = 40\namount = \"1 l\"\n", "plum=2 kg", `"plum" is not in it; there are spirit`},
		{head + "[spirit]\nname = \"rum\"\nabv = 40\namount = \"1 l\"\n", "rum=2 kg", "cannot be compared"},
		{head + "[[botanical]]\nname = \"plum\"\n", "plum=2 kg", "no amount"},
		{head + "[[botanical]]\nname = \"lime zest\"\namount=\"2 g\"\n[[addition]]\nname = \"lime juice\"\namount=\"10 ml\"\n", "lime=3", `"lime zest" or "lime juice"`},
		{head + "[spirit]\nabv = 40\namount = \"100 ml\"\n", "200 l", "thousand times"},
		{head + "[spirit]\nabv = 40\namount = \"900 l\"\n", "x2", "more than 1000"},
	} {
		if _, err := scaleText(t, c.src, c.size); err == nil || !strings.Contains(err.Error(), c.says) || !strings.Contains(err.Error(), "old.toml") && !strings.Contains(c.says, "thousand") {
			t.Errorf("%s of\n%s: %v; want %q", c.size, c.src, err, c.says)
		}
	}
}

// So much of one thing: a glut of fruit.
func TestScaleFromOneThing(t *testing.T) {
	const src = "name = \"E\"\nstarted = 2026-11-20\n[spirit]\nabv = 40\namount = \"1.8 l\"\n[[botanical]]\nname = \"plum\"\namount = \"1 kg\"\n[[addition]]\nname = \"white sugar\"\namount = \"500 g\"\n"
	s := mustScale(t, src, "plum=1400 g")
	if math.Abs(s.Factor-1.4) > 1e-12 || s.Amounts[0].New.Text != "2.52 l" || s.Amounts[2].New.Text != "700 g" {
		t.Errorf("factor %g, %v", s.Factor, s.Amounts)
	}
}

// anyBatch is a batch of known things in the measures people use, with more
// spirit than the solids can drink up.
func anyBatch(t *rapid.T) string {
	amount := func(label string, forms ...string) string {
		n := float64(rapid.IntRange(8, 80).Draw(t, label+" n"))
		switch form := rapid.SampledFrom(forms).Draw(t, label); form {
		case "g", "ml":
			return fmt.Sprintf("%.0f %s", 10*n, form)
		case "cl", "grams":
			return fmt.Sprintf("%.0f %s", n, form)
		default:
			return fmt.Sprintf("%g %s", n/4, form)
		}
	}
	var b strings.Builder
	fmt.Fprintf(&b, "name = \"I\"\nstarted = 2026-11-20T18:00:00\n")
	if rapid.Bool().Draw(t, "us") {
		b.WriteString("units = \"us\"\n")
	}
	fmt.Fprintf(&b, "[spirit]\nname = \"vodka\"\nabv = %d\namount = %q\nprice = 20\n", rapid.IntRange(38, 75).Draw(t, "abv"), amount("spirit", "l", "US quarts", "US gallons"))
	for _, h := range [][]string{
		{"clove", "whole", "grams"},
		{"lime zest", "fine zest", "grams", "tbsp", "tsp"},
		{"cassia cinnamon", "ground", "tsp", "tbsp", "grams"},
		{"plum", "", "g", "oz wt"},
	} {
		if rapid.Bool().Draw(t, h[0]) {
			fmt.Fprintf(&b, "# about %s\n[[botanical]]\nname = %q\namount = %q # weigh it\n", h[0], h[0], amount(h[0]+" amount", h[2:]...))
			if h[1] != "" {
				fmt.Fprintf(&b, "cut = %q\n", h[1])
			}
		}
	}
	for _, x := range [][]string{
		{"white sugar", "US cups", "g", "lb", "oz wt"},
		{"water", "US cups", "ml", "dl", "US pints"},
		{"lemon juice", "US fl oz", "tbsp", "cl"},
	} {
		if rapid.Bool().Draw(t, x[0]) {
			fmt.Fprintf(&b, "[[addition]]\nname = %q\namount = %q\n", x[0], amount(x[0]+" amount", x[1:]...))
		}
	}
	return b.String()
}

// largestError is the largest rounding error that was said.
func (s *Scaled) largestError() float64 {
	e := 0.0
	for _, r := range s.Amounts {
		e = max(e, math.Abs(r.Error))
	}
	return e
}

// The scaled file reads; its blend has the strength and the sugar of the old
// one within the rounding that was said; and scaled back it is the old batch
// again. A figure that is a ratio of two sums of amounts that are each off by
// at most e is off by less than 2e/(1-e); what the solids keep back of the
// liquor adds a little to that.
func TestScaleProperties(t *testing.T) {
	lib := library.Builtin()
	scale := func(t *rapid.T, src string, f float64) (*Scaled, *bench.Assessment) {
		b, err := batch.Parse("old.toml", []byte(src), time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		a, err := judged(b, lib)
		if err != nil {
			t.Fatal(err)
		}
		s, err := To(a, lib, Question{Size: Size{Factor: f, Text: fmt.Sprint("x", f)}, From: "old.toml", To: "new.toml", Start: scaleNow})
		if err != nil {
			t.Fatalf("%s: %v", src, err)
		}
		return s, a
	}
	rapid.Check(t, func(t *rapid.T) {
		src := anyBatch(t)
		f := math.Exp(rapid.Float64Range(math.Log(0.3), math.Log(12)).Draw(t, "log f"))
		s, a := scale(t, src, f)
		if !a.Blend.Have() || !s.Blend.Have() {
			return
		}
		e := s.largestError()
		bound := 3*e + 1e-9
		old, now := a.Blend.Result, s.Blend.Result
		if d := math.Abs(now.ABVPercent.Value/old.ABVPercent.Value - 1); d > bound {
			t.Fatalf("strength %g became %g, with amounts within %.2f %%\n%s\n%s", old.ABVPercent.Value, now.ABVPercent.Value, 100*e, src, s.Text)
		}
		if d := math.Abs(now.SugarGPerL.Value - old.SugarGPerL.Value); d > bound*old.SugarGPerL.Value+1e-6 {
			t.Fatalf("sugar %g became %g, with amounts within %.2f %%\n%s\n%s", old.SugarGPerL.Value, now.SugarGPerL.Value, 100*e, src, s.Text)
		}
		if d := math.Abs(now.VolumeML.Value/(f*old.VolumeML.Value) - 1); d > bound {
			t.Fatalf("volume %g became %g, not %g times that\n%s\n%s", old.VolumeML.Value, now.VolumeML.Value, f, src, s.Text)
		}
		back, _ := scale(t, string(s.Text), 1/f)
		e2 := back.largestError()
		for i, r := range back.Amounts {
			first := s.Amounts[i]
			ratio, ok := r.New.Over(*first.Old)
			if _, cut, _, err := lib.BotanicalAndCut(r.Name, r.Cut); !ok && err == nil {
				// A spoonful that became a weight.
				was, err1 := cut.Grams(*first.Old)
				is, err2 := cut.Grams(*r.New)
				ratio, ok = is.G/was.G, err1 == nil && err2 == nil
			}
			if !ok {
				t.Fatalf("%s: %s became %s", r.Name, first.Old.Text, r.New.Text)
			}
			if math.Abs(ratio-1) > (1+e)*(1+e2)-1+1e-9 {
				t.Fatalf("%s: %s, %s, and back %s: more than the errors said, %.3f and %.3f", r.Name, first.Old.Text, first.New.Text, r.New.Text, first.Error, r.Error)
			}
		}
		for _, want := range []string{"# about ", "# weigh it"} {
			if strings.Count(src, want) != strings.Count(string(back.Text), want) {
				t.Fatalf("comments were lost:\n%s", back.Text)
			}
		}
	})
}

// Whatever TOML a batch is written in: no panic, and what comes out is a batch
// with the amounts that are said.
func FuzzScale(f *testing.F) {
	f.Add("name = \"A\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nabv = 40\namount = \"700 ml\"\n[[botanical]]\nname = \"clove\"\namount = \"3 pieces\"\nin = 2026-11-21\n", 2.5)
	f.Add("name = 'A'\r\nstarted = 2026-11-20\r\nspirit = { abv = 40, amount = '1 l' }\r\naddition = [ { name = \"water\", amount = \"\"\"1 l\"\"\" } ] # x\r\n", 0.5)
	f.Add("\"name\" = \"a\\\"b\"\nstarted = 2026-11-20\nmeasured . ph = 3\n[ finish ]\nat = '2 d'\n[[ tasting ]]\nat = \"1 h\"\nscore.\"a.b\" = 2\n[[botanical]]\nname = \"a.b\"\n", 3.0)
	lib := library.Builtin()
	f.Fuzz(func(t *testing.T, src string, by float64) {
		if !(by >= leastFactor && by <= mostFactor) {
			return
		}
		b, err := batch.Parse("old.toml", []byte(src), time.UTC)
		if err != nil || slices.ContainsFunc(b.Botanicals, func(h batch.Botanical) bool {
			known, err := lib.Botanical(h.Name)
			return err == nil && known.Forbidden != ""
		}) {
			return
		}
		a, err := judged(b, lib)
		if err != nil {
			return
		}
		s, err := To(a, lib, Question{Size: Size{Factor: by}, From: "old.toml", To: "new.toml", Start: scaleNow})
		if err != nil {
			return
		}
		again, err := batch.Parse("new.toml", s.Text, time.UTC)
		if err != nil {
			t.Fatalf("%v\n%s", err, s.Text)
		}
		for i, h := range again.Botanicals {
			if h.Amount != nil && *h.Amount != *s.Amounts[len(again.Spirits)+i].New {
				t.Fatalf("%s has %s, not %s", h.Name, h.Amount.Text, s.Amounts[len(again.Spirits)+i].New.Text)
			}
		}
	})
}

// What is asked for is what is filled: liquids are rounded within 1 %, spices by
// the cup are weighed, and the strength stays.
func TestScaleFillsTheBottles(t *testing.T) {
	const us = "name = \"A\"\nunits = \"us\"\nstarted = 2026-11-20\n[spirit]\nname = \"overproof rum\"\nabv = 63\namount = \"6 fl oz\"\n[[botanical]]\nname = \"allspice\"\ncut = \"coarse\"\namount = \"1/4 cup\"\n[[addition]]\nname = \"2:1 simple syrup\"\namount = \"14 fl oz\"\n[finish]\nbottle = \"250 ml\"\n"
	metric := strings.NewReplacer("us\"", "metric\"", "6 fl oz", "0.18 l", "14 fl oz", "0.42 l").Replace(us)
	for _, src := range []string{us, metric} {
		for n := 2; n <= 30; n++ {
			s := mustScale(t, src, fmt.Sprint(n, " bottles"))
			if s.Bottling.Begun() != n || s.Bottling.LastShare() < 0.7 {
				t.Errorf("%d bottles: %d, the last %.0f %% full\n%s", n, s.Bottling.Begun(), 100*s.Bottling.LastShare(), s.Text)
			}
			if d := s.Blend.Result.ABVPercent.Value - s.From.Blend.Result.ABVPercent.Value; math.Abs(d) > 0.15 {
				t.Errorf("%d bottles: the strength moves by %.2f %% vol\n%s", n, d, s.Text)
			}
			for _, r := range s.Amounts {
				limit := 0.01
				if r.Part == "botanical" {
					limit = quantity.CloseEnough
				}
				if math.Abs(r.Error) > limit {
					t.Errorf("%d bottles: %s of %s is off by %.1f %%", n, r.New.Text, r.Name, 100*r.Error)
				}
			}
		}
	}
	if s := mustScale(t, us, "12 bottles"); math.Abs(s.Blend.Result.ABVPercent.Value-s.From.Blend.Result.ABVPercent.Value) >= 0.1 {
		t.Errorf("the strength moves: %+v", s.Blend.Result.ABVPercent)
	}
}

func BenchmarkScale(b *testing.B) {
	const src = "name = \"E\"\nstarted = 2026-11-20\n[spirit]\nabv = 40\namount = \"1.8 l\"\n[[botanical]]\nname = \"plum\"\namount = \"1 kg\"\n[[addition]]\nname = \"white sugar\"\namount = \"500 g\"\n"
	for b.Loop() {
		mustScale(b, src, "x1.4")
	}
}

// The same again has a number, another size its size.
func TestNameOfTheSameAgain(t *testing.T) {
	for _, c := range []struct{ old, to, want string }{
		{"Gin", "x1", "Gin 2"}, {"Gin 2", "x1", "Gin 3"}, {"Gin, x1", "x1", "Gin 2"}, {"Gin, x2", "x1", "Gin 2"},
		{"Gin 2026", "x1", "Gin 2026 2"}, {"Gin", "x2", "Gin, x2"}, {"2", "x1", "2 2"},
	} {
		src := fmt.Sprintf("name = %q\nstarted = 2026-11-20\n[spirit]\nname = \"vodka\"\nabv = 40\namount = \"500 ml\"\n", c.old)
		if got := mustScale(t, src, c.to).Batch.Name; got != c.want {
			t.Errorf("%s to %s: %q, want %q", c.old, c.to, got, c.want)
		}
	}
}
