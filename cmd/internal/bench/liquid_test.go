package bench_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/library"
)

const coffeeJar = `
name = "Coffee"
started = 2026-06-01T12:00:00
[spirit]
name = "rum 40 %"
amount = "500 ml"
[[botanical]]
name = "coffee"
cut = "coarse"
amount = "60 g"
target = 7
[[addition]]
name = "white sugar"
amount = "100 g"
[[addition]]
name = "water"
amount = "300 ml"
[[addition]]
name = "lemon juice"
amount = "juice of 2 lemons"
[[tasting]]
at = "6 h"
sample = "1:1"
score = { coffee = 2 }
[[tasting]]
at = "20 h"
score = { coffee = 5 }
`

func steeped(t *testing.T, src string, hours float64) *bench.Assessment {
	t.Helper()
	at := somejar.Started.Add(time.Duration(hours * float64(time.Hour)))
	a, err := bench.Assess(somejar.Parse(t, src), library.Builtin(), bench.Question{Now: at})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func entries(kind string, lines ...string) (log string) {
	for _, l := range lines {
		log += "[[" + kind + "]]\n" + l + "\n"
	}
	return log
}

// TestTheLogOfThePlanMovesNoTaste: who logs what was planned, in whatever order and in however many
// goes, has the strengths that were foreseen.
func TestTheLogOfThePlanMovesNoTaste(t *testing.T) {
	const strained = "[[strained]]\nat = \"24 h\"\n"
	want := steeped(t, coffeeJar+strained, 30).Curve("coffee").BottleNow
	sugar, water, juice := "name = \"white sugar\"\namount = \"100 g\"\n", "name = \"water\"\namount = \"300 ml\"\n",
		"name = \"lemon juice\"\namount = \"juice of 2 lemons\"\n"
	half := "name = \"water\"\namount = \"150 ml\"\n"
	for _, order := range [][]string{{sugar}, {sugar, water, juice}, {juice, water, sugar},
		{half, sugar, half}, {juice, half}} {
		log := ""
		for _, x := range order {
			log += entries("added", x+"at = \"25 h\"")
		}
		got := steeped(t, coffeeJar+strained+log, 30).Curve("coffee").BottleNow
		if math.Abs(got.Value-want.Value) > 0.02 {
			t.Errorf("%v: %.3f in the bottle, foreseen %.3f", order, got.Value, want.Value)
		}
	}
}

// TestWhatJoinsTheJarThinsItFromThen: a score before that is one of the thicker liquid. The curve is the
// same, and the bottle has by as much more of the jar as its solids keep less of it.
func TestWhatJoinsTheJarThinsItFromThen(t *testing.T) {
	before := steeped(t, coffeeJar, 21)
	for _, at := range []string{"20 h", "20.5 h"} { // with the tasting of 20 h, or after it
		after := steeped(t, coffeeJar+entries("added", "name = \"water\"\namount = \"300 ml\"\nat = \""+at+"\""), 21)
		was, is := before.Curve("coffee"), after.Curve("coffee")
		if was.JarNow != is.JarNow || was.JarNow.Value == 0 {
			t.Errorf("at %s: %+v in what it began with, was %+v", at, is.JarNow, was.JarNow)
		}
		kept := was.JarNow.Value * math.Pow(is.Share, is.Exponent.Mean)
		if math.Abs(is.BottleNow.Value-kept) > 0.01 || is.Share < was.Share || is.Share > 1.4*was.Share {
			t.Errorf("at %s: %.2f in the bottle with a share of %.3f, was %.2f with %.3f", at, is.BottleNow.Value, is.Share,
				was.BottleNow.Value, was.Share)
		}
		if strong := after.Sample.JarML / after.Sample.TotalML; strong < 0.8 {
			t.Errorf("at %s: of the thinned jar only %.2f is to be tasted", at, strong)
		}
	}
	// A score of the thinner jar counts for more.
	thin := strings.Replace(coffeeJar, "[[tasting]]", entries("added", "name = \"water\"\namount = \"300 ml\"\nat = \"1 h\"")+"[[tasting]]", 1)
	if was, is := before.Curve("coffee").JarNow.Value, steeped(t, thin, 21).Curve("coffee").JarNow.Value; is < 1.1*was {
		t.Errorf("%.2f by scores of the thinned jar, %.2f of the other", is, was)
	}
}

// TestWhatThereIs follows the log from the jar to the drink.
func TestWhatThereIs(t *testing.T) {
	const strained = "[[strained]]\nat = \"24 h\"\nvolume = \"400 ml\"\n"
	sugar := entries("added", "name = \"white sugar\"\namount = \"100 g\"\nat = \"25 h\"")
	for _, c := range []struct {
		log       string
		hours, ml float64
	}{
		{"", 21, 500},
		{strained, 25, 400},
		{strained + sugar, 26, 462}, // 100 g of sugar take 62 ml: 0.62 ml a gram in the steps of blend
		{strained + "[[bottled]]\nvolume = \"1 l\"\nat = \"26 h\"\n", 27, 1000},
	} {
		if _, ml := steeped(t, coffeeJar+c.log, c.hours).There(); math.Abs(ml/c.ml-1) > 0.02 {
			t.Errorf("%q: %.0f ml are there, want %.0f", c.log, ml, c.ml)
		}
	}
}

// TestRescueOfWhatThereIs: as much spirit as what is there needs, and none once it is bottled.
func TestRescueOfWhatThereIs(t *testing.T) {
	const weak = "name = \"x\"\nstarted = 2026-06-01T12:00:00\n[spirit]\nname = \"rum 40 %\"\namount = \"1 l\"\n" +
		"[[botanical]]\nname = \"clove\"\namount = \"10\"\ntarget = 2\n[[botanical]]\nname = \"vanilla\"\namount = \"1 pod\"\ntarget = 6\n" +
		"[[tasting]]\nat = \"20 h\"\nscore = { clove = 6, vanilla = 3 }\n[[tasting]]\nat = \"21 h\"\nscore = { clove = 6, vanilla = 3 }\n"
	const strained = "[[strained]]\nat = \"24 h\"\nvolume = \"500 ml\"\n"
	jar, half := steeped(t, weak, 22).Rescue, steeped(t, weak+strained, 25).Rescue
	if jar == nil || half == nil || math.Abs(half.VolumeML-500*(1+half.Volumes)) > 1 ||
		math.Abs(jar.VolumeML-1000*(1+jar.Volumes)) > 20 {
		t.Fatalf("of the jar %+v, of what came off %+v", jar, half)
	}
	if len(half.Thins) != 1 || half.Thins[0] != "vanilla" || half.More {
		t.Errorf("%+v", half)
	}
	if r := steeped(t, weak+strained+"[[bottled]]\nat = \"25 h\"\n", 26).Rescue; r != nil {
		t.Errorf("bottled: %+v", r)
	}
}

// TestNeverIn: what was to go in after it was bottled is not in the bottle.
func TestNeverIn(t *testing.T) {
	late := coffeeJar + "[[botanical]]\nname = \"orange zest\"\namount = \"20 g\"\nin = \"3 d\"\n"
	plain := steeped(t, coffeeJar+"[[bottled]]\nat = \"26 h\"\n", 200)
	never := steeped(t, late+"[[bottled]]\nat = \"26 h\"\n", 200)
	if math.Abs(never.Blend.Result.VolumeML.Value-plain.Blend.Result.VolumeML.Value) > 1e-6 {
		t.Errorf("%.1f ml with what never went in, %.1f without", never.Blend.Result.VolumeML.Value, plain.Blend.Result.VolumeML.Value)
	}
	if in := steeped(t, late, 100); len(in.Recipe.List()) != len(never.Recipe.List())+1 ||
		len(never.Blend.Bottle.CitrusPeel) != len(plain.Blend.Bottle.CitrusPeel) {
		t.Errorf("it counts as in: %+v", never.Blend.Bottle)
	}
}

// TestAReadingHoldsForItsMoment: what goes in after a measured volume adds to it by the mixture, and
// what went in before it is in it.
func TestAReadingHoldsForItsMoment(t *testing.T) {
	in := func(name, amount, at string) string {
		return entries("added", `name = "`+name+`"`+"\namount = \""+amount+"\"\nat = \""+at+`"`)
	}
	rest := in("white sugar", "100 g", "25 h") + in("water", "300 ml", "25 h") + in("lemon juice", "juice of 2 lemons", "25 h")
	strained, bottled := entries("strained", "at = \"24 h\"\nvolume = \"400 ml\""), entries("bottled", "volume = \"800 ml\"\nat = \"30 h\"")
	ml := func(log string) float64 { return steeped(t, coffeeJar+log, 200).Blend.Result.VolumeML.Value }
	for name, c := range map[string]struct{ was, is, more float64 }{
		"water after the bottling":             {ml(strained + rest + bottled), ml(strained + rest + bottled + in("water", "500 ml", "40 h")), 500},
		"in its minute, behind it in the file": {ml(strained + rest + bottled), ml(strained + rest + bottled + in("water", "500 ml", "30 h")), 500},
		"and before it":                        {ml(strained + rest + bottled), ml(strained + rest + in("water", "50 ml", "30 h") + bottled), 0},
		"water after the straining":            {ml(strained + rest), ml(strained + rest + in("water", "500 ml", "40 h")), 500},
		"before the straining":                 {ml(strained + rest), ml(in("water", "50 ml", "23 h") + strained + rest), 0},
		"to a second steep": {ml(strained + rest), ml(entries("botanical", "name = \"clove\"\namount = \"1 g\"\nin = \"26 h\"") + strained + rest +
			in("water", "500 ml", "27 h")), 499}, // less what the clove keeps
	} {
		if math.Abs(c.is-c.was-c.more) > 5 {
			t.Errorf("%s: %.0f ml after %.0f, want %.0f more", name, c.is, c.was, c.more)
		}
	}
}

// TestMeasuredStrengthIsOfTheBottling: water that goes in after the bottling thins what was
// measured of it, strength, sugar and acid alike, with no volume measured.
func TestMeasuredStrengthIsOfTheBottling(t *testing.T) {
	log := entries("strained", "at = \"24 h\"") + entries("bottled", "of = \"330 ml\"\nat = \"30 h\"")
	water := entries("added", "name = \"water\"\namount = \"600 ml\"\nat = \"40 h\"")
	jar := "name = \"Thinned\"\nstarted = 2026-06-01T12:00:00\n[[spirit]]\nname = \"vodka\"\nabv = 40\namount = \"500 ml\"\n" + entries("botanical", "name = \"clove\"\namount = \"1 g\"") +
		entries("addition", "name = \"lemon juice\"\namount = \"200 ml\"") + "[measured]\nabv = 17\nsugar = \"100 g/l\"\nph = 3.6\n"
	was, is := steeped(t, jar+log, 200).Blend.Result, steeped(t, jar+log+water, 200).Blend.Result
	thinned := was.VolumeML.Value / is.VolumeML.Value
	for name, x := range map[string][2]float64{"% vol": {was.ABVPercent.Value, is.ABVPercent.Value}, "g/L of sugar": {was.SugarGPerL.Value, is.SugarGPerL.Value}} {
		if math.Abs(x[1]-x[0]*thinned) > 0.02*x[0] {
			t.Errorf("%g %s after %g, want it thinned to %g of that", x[1], name, x[0], thinned)
		}
	}
	if math.Abs(was.ABVPercent.Value-17) > 0.01 || is.PH.High < was.PH.High { // less alcohol makes an acid stronger, and nobody read that
		t.Errorf("%g %% vol; pH to %g, then to %g", was.ABVPercent.Value, was.PH.High, is.PH.High)
	}
}

// TestSealedTakesNoPart: what goes in once bottles are filled leaves them as they are and joins only what
// was left over, with bottles that were drunk too; both are judged. What is in a bottle that was opened is not
// left over, and it may be nearly empty unless somebody measured it.
func TestSealedTakesNoPart(t *testing.T) {
	const jar = "name = \"Filled\"\nstarted = 2026-06-01T12:00:00\n[[spirit]]\nname = \"vodka\"\nabv = 40\namount = \"1 l\"\n[finish]\nstrained = \"24 h\"\n"
	filled := func(n int) string {
		return entries("bottled", fmt.Sprintf("bottles = %d\nof = \"250 ml\"\nat = \"30 h\"", n))
	}
	juice := entries("added", "name = \"apple juice\"\namount = \"800 ml\"\nat = \"40 h\"")
	const all, quarter = 40 * 1000 / 1800.0, 40 * 250 / 1050.0 // of a litre and of 250 ml, by volume
	for name, c := range map[string]struct {
		log                 string
		likely, low, sealed float64
	}{
		"nothing after":                               {filled(3), 40, 40, 0},
		"nobody counted":                              {entries("bottled", "at = \"30 h\"") + juice, all, all, 0},
		"before they are filled":                      {strings.Replace(juice, "40 h", "28 h", 1) + filled(3), all, all, 0},
		"in the rest":                                 {filled(3) + juice, 40, quarter, 750},
		"drunk since":                                 {filled(3) + entries("emptied", "bottle = 1\nat = \"36 h\"") + juice, 40, quarter, 750},
		"one is open":                                 {filled(4) + entries("opened", "bottle = 1\nat = \"36 h\"") + juice, 40, 40 * 5 / 805.0, 1000},
		"open, with something left over":              {filled(3) + entries("opened", "bottle = 1\nat = \"36 h\"") + juice, 40, 40 * 5 / 805.0, 750},
		"open, and measured":                          {filled(4) + entries("opened", "bottle = 1\nat = \"36 h\"") + strings.Replace(juice, "at", "into = \"250 ml\"\nat", 1), 40, quarter, 1000},
		"more than an open bottle holds":              {filled(4) + entries("opened", "bottle = 1\nat = \"36 h\"") + strings.Replace(juice, "at", "into = \"5 l\"\nat", 1), 40, quarter, 1000},
		"more than the bottle, of what was left over": {filled(2) + entries("opened", "bottle = 1\nat = \"36 h\"") + strings.Replace(juice, "at", "into = \"500 ml\"\nat", 1), 40, 40 * 500 / 1300.0, 500},
		"of that, but the bottle is named":            {filled(2) + entries("opened", "bottle = 1\nat = \"36 h\"") + strings.Replace(juice, "at", "bottle = 1\ninto = \"500 ml\"\nat", 1), 40, quarter, 500},
		"of two open bottles":                         {filled(4) + entries("opened", "bottle = 1\nat = \"36 h\"") + entries("opened", "bottle = 2\nat = \"36 h\"") + strings.Replace(juice, "at", "into = \"250 ml\"\nat", 1), 40, quarter, 1000},
		"emptied since":                               {filled(4) + entries("opened", "bottle = 1\nat = \"36 h\"") + strings.Replace(juice, "at", "into = \"250 ml\"\nat", 1) + entries("emptied", "bottle = 1\nat = \"40 h\""), 40, 40, 0},
		"more than was left over":                     {filled(3) + strings.Replace(juice, "at", "into = \"5 l\"\nat", 1), 40, quarter, 750},
		"in all but the wet of the glass":             {filled(4) + juice, 40, 40 * 20 / 820.0, 1000},
	} {
		a := steeped(t, jar+c.log, 50)
		r := &a.Blend.Result
		if math.Abs(r.ABVPercent.Value-c.likely) > 0.4 || math.Abs(r.ABVPercent.Low-c.low) > 0.6 || a.Blend.Bottle.ABVPercent.Low > c.low+0.3 {
			t.Errorf("%s: %.1f %% vol from %.1f, judged from %.1f, want %.1f from %.1f", name, r.ABVPercent.Value, r.ABVPercent.Low, a.Blend.Bottle.ABVPercent.Low, c.likely, c.low)
		}
		if rest := len(r.Open) > 0; rest != (c.sealed > 0) || rest && math.Abs(r.JarABVPercent.Low-40) > 1 {
			t.Errorf("%s: another drink %t; the jar from %.1f %% vol", name, rest, r.JarABVPercent.Low)
		}
	}
}

// TestLossTakesAllAlike: of a smaller measured volume the rest was lost, with what the plants gave as
// with its alcohol and sugar.
func TestLossTakesAllAlike(t *testing.T) {
	for _, log := range []string{entries("strained", "at = \"24 h\"\nvolume = \"%g ml\""), entries("bottled", "bottles = 1\nvolume = \"%g ml\"\nat = \"30 h\"")} {
		of := func(ml float64) (caffeine float64) {
			a := steeped(t, coffeeJar+strings.ReplaceAll(log, "%g", strconv.FormatFloat(ml, 'g', -1, 64)), 40)
			for _, s := range a.Blend.Bottle.Substances {
				if s.Name == "caffeine" {
					caffeine = s.MgPerL * a.Blend.Result.VolumeML.Value / a.Blend.Result.StrainedML
				}
			}
			return caffeine
		}
		all := of(340)
		for _, ml := range []float64{300, 200, 50} {
			if less := of(ml); all == 0 || math.Abs(less/all-1) > 0.02 {
				t.Errorf("%g ml of\n%s: caffeine %.0f mg to a litre of liquor, %.0f of all of it", ml, log, less, all)
			}
		}
	}
}

// TestHoweverItWasEmptied: what was planned and not logged is told once it is bottled, however all of it came
// out of the jar; not to those who log nothing that they do.
func TestHoweverItWasEmptied(t *testing.T) {
	const bottled = "[[bottled]]\nbottles = 3\nof = \"250 ml\"\nat = \"26 h\"\n"
	for log, told := range map[string]bool{
		"[[strained]]\nat = \"24 h\"\n" + bottled:                  true,
		"[[pulled]]\nname = \"coffee\"\nat = \"24 h\"\n" + bottled: true,
		bottled: true,
		"[finish]\nstrained = \"24 h\"\nbottled = \"26 h\"\n": true,
		"[finish]\nbottled = \"26 h\"\n":                      false,
	} {
		a := steeped(t, coffeeJar+log, 30)
		if got := a.NotLogged(); (len(got) == 3) != told || (len(got) == 0) == told {
			t.Errorf("%q: not logged %q", log, got)
		}
	}
}
