package bench

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/strict"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

// Every test here holds the judgement to the careful side where something is not
// known or does not fit: no figure in it is a measurement.

const herbWater = started + "[spirit]\nname = \"water\"\namount = \"500 ml\"\n" +
	"[[addition]]\nname = \"lemon juice\"\namount = \"15 ml\"\n[[addition]]\nname = \"sugar\"\namount = \"200 g\"\n" +
	"[finish]\nheated = true\nboiled = true\nfiltered = true\n"

func put(name, amount string) string {
	s := "[[botanical]]\nname = \"" + name + "\"\n"
	if amount != "" {
		s += "amount = \"" + amount + "\"\n"
	}
	return s
}

// TestUnweighedPlantsGetNoCredit: leaving an amount out never makes a verdict better.
func TestUnweighedPlantsGetNoCredit(t *testing.T) {
	now := at("2026-11-24T10:00")
	for _, more := range []string{
		put("garlic", ""), put("ginger", ""), put("beetroot", "300 g"), put("beetroot", "300 g") + put("cucumber", "300 g"),
		put("a root from the garden", "200 g"), put("a root from the garden", ""),
	} {
		a := assessed(t, herbWater+more, now)
		if r := a.Blend.Result; !r.PHKnown || r.PH.High < 4.6 {
			t.Errorf("a pH of %v is told for\n%s", r.PH, more)
		}
		if v := a.Keep.Verdict; v.Unopened.High > 7 {
			t.Errorf("kept for %s with\n%s", v.Unopened.Words, more)
		}
	}
	bare, spiced := assessed(t, herbWater, now), assessed(t, herbWater+put("cinnamon", "5 g")+put("clove", "2 g"), now)
	if !bare.Blend.Result.PHKnown || !spiced.Blend.Result.PHKnown || spiced.Blend.Result.PH.High < bare.Blend.Result.PH.High {
		t.Errorf("dry spice: pH %v, without %v", spiced.Blend.Result.PH, bare.Blend.Result.PH)
	}
}

// TestReadingsThatDoNotFit: an impossible reading is refused, and a better one
// never counts for less, nor a doubtful one for more than the last believed.
func TestReadingsThatDoNotFit(t *testing.T) {
	now := at("2026-11-24T10:00")
	weak := started + "[spirit]\nname = \"vodka\"\nabv = 40\namount = \"200 ml\"\n[[addition]]\nname = \"simple syrup\"\namount = \"600 ml\"\n"
	_, err := Assess(somejar.Parse(t, weak+"[measured]\nabv = 60\n"), somejar.Library(t), Question{Now: now})
	var fault *strict.Error
	if !errors.As(err, &fault) || fault.Line == 0 || !strings.Contains(fault.Problem, "strongest") {
		t.Errorf("60 %% vol out of vodka: %v", err)
	}
	juice := started + "[spirit]\nname = \"vodka\"\nabv = 40\namount = \"550 ml\"\n[[addition]]\nname = \"orange juice\"\namount = \"450 ml\"\n"
	orange := started + "[spirit]\nname = \"vodka\"\nabv = 40\namount = \"250 ml\"\n" + additions("orange juice: 200 ml", "water: 300 ml", "sugar: 300 g")
	coconut := started + additions("coconut water: 500 ml")
	// A reading of one addition likewise; a syrup is as sweet as it is made.
	sweet := func(name string, brix float64) mixture.Result {
		return judged(t, started+additions(fmt.Sprintf("%s: 500 ml; brix = %g", name, brix)), now).Blend.Result
	}
	if a := judged(t, started+additions("coconut water: 500 ml; brix = 88"), now); !slices.Contains(a.Blend.Bottle.Doubtful, "Brix of the coconut water") || a.Blend.Result.Brix.Value > 7.6 {
		t.Errorf("88 °Bx of coconut water: %v, doubtful %v", a.Blend.Result.Brix, a.Blend.Bottle.Doubtful)
	}
	if got := sweet("simple syrup", 64).Brix.Value; math.Abs(got-64) > 0.1 {
		t.Errorf("64 °Bx of syrup: %g", got)
	}
	if got := sweet("orange juice", 12.5).Brix.Value; math.Abs(got-12.5) > 0.4 {
		t.Errorf("12.5 °Bx of orange juice: %g", got)
	}
	for _, c := range []struct {
		base, read string
		from, step float64 // the first is believed
		steps      int
		doubtful   string
	}{
		{weak, "abv = %g", 10, 0.5, 20, "strength"}, {juice, "abv = %g", 22, 1, 14, "strength"}, {orange, "abv = %g", 10.5, 0.25, 20, "strength"},
		{weak, "sugar = \"%g g/l\"", 430, 15, 20, "sugar"}, {orange, "sugar = \"%g g/l\"", 340, 10, 20, "sugar"},
		{juice, "ph = %g", 3.8, -0.1, 20, "pH"}, {juice, "abv = 22\nph = %g", 3.8, -0.1, 20, "pH"}, {orange, "ph = %g", 4, -0.1, 20, "pH"},
		{coconut, "brix = %g", 5, 4, 20, "dissolved solids"}, {coconut, "density = %g", 1020, 20, 20, "density"}, {weak, "density = %g", 1100, 15, 20, "density"},
	} {
		last := 0.0
		for i := 0; i < c.steps; i += somejar.Either(2, 1) {
			read := fmt.Sprintf(c.read, c.from+float64(i)*c.step)
			a := judged(t, c.base+"[measured]\n"+read+"\n", now)
			v := a.Keep.Verdict
			if v.Unopened.High < last*(1-1e-6) {
				t.Errorf("%s: %s, and %.3g days with a worse reading", read, v.Unopened.Words, last)
			}
			last = v.Unopened.High
			doubtful := slices.Contains(a.Blend.Bottle.Doubtful, c.doubtful)
			if first, end := i == 0, i >= c.steps-somejar.Either(2, 1); first && doubtful || end && (!doubtful || v.Confidence != "low" || v.Verdict == shelf.VerdictShelf) {
				t.Errorf("%s: doubtful %v, %s, confidence %s", read, a.Blend.Bottle.Doubtful, v.Verdict, v.Confidence)
			}
		}
	}
}

// TestReadingsDoNotUndoTheJar: a strength that was read in the bottle says nothing
// of the hours before the spirit went in.
func TestReadingsDoNotUndoTheJar(t *testing.T) {
	jar := "[spirit]\nname = \"white wine\"\nabv = 12\namount = \"700 ml\"\n" + entry("botanical", "vanilla", `amount = "4 g"`) + entry("addition", "egg yolk", `amount = "100 g"`, `in = "0 h"`) +
		entry("addition", "white rum", "abv = 63", `amount = "700 ml"`) + "[finish]\nstrained = \"10 h\"\n"
	for _, reading := range []string{"", "[measured]\nabv = 30\n"} {
		if a := gated(t, "", jar+reading); a.Blend.Bottle.WeakSteepH != 10 || a.Keep.Verdict.Verdict != shelf.VerdictDiscard {
			t.Errorf("%.0f weak hours: %s\n%s", a.Blend.Bottle.WeakSteepH, a.Keep.Verdict.Verdict, reading)
		}
	}
}

// TestWhatFeeds: fresh plants, nuts and raw sugars feed microbes, clean sugar and
// dry spice do not.
func TestWhatFeeds(t *testing.T) {
	syrup := halfLitre + "[[addition]]\nname = \"simple syrup\"\namount = \"400 ml\"\n"
	for _, c := range []struct {
		more  string
		feeds bool
	}{
		{"", false},
		{put("clove", "2 g") + put("cinnamon", "10 g") + put("allspice", "8 g"), false},
		{put("lemon zest", "6 g"), false},
		{put("green walnut", "500 g"), true},
		{put("almond", "100 g"), true},
		{put("ginger", "60 g"), true},
		{put("ginger", ""), true},
		{put("basil", "15 g") + put("mint", "15 g"), true}, // together
		{put("raisin", "100 g"), true},
		{"[[addition]]\nname = \"molasses\"\namount = \"30 g\"\n", true},
	} {
		b := assessed(t, syrup+c.more, at("2026-11-24T10:00")).Blend.Bottle
		if got := len(b.Nourishing) > 0; got != c.feeds {
			t.Errorf("feeds %v (%v), want %v:\n%s", got, b.Nourishing, c.feeds, c.more)
		}
	}
}

// TestHoneyGetsNoCreditForAcid: its usual pH is from memory, and no titration
// stands behind it; lemon beside it still counts.
func TestHoneyGetsNoCreditForAcid(t *testing.T) {
	now := at("2026-11-24T10:00")
	honey := started + "[[addition]]\nname = \"honey\"\namount = \"340 g\"\n[[addition]]\nname = \"water\"\namount = \"340 g\"\n"
	if r := assessed(t, honey, now).Blend.Result; r.PHKnown {
		t.Errorf("honey and water: pH %v", r.PH)
	}
	lemon := assessed(t, honey+"[[addition]]\nname = \"lemon juice\"\namount = \"100 g\"\n", now).Blend.Result
	if b := assessed(t, honey+"[[addition]]\nname = \"lemon juice\"\namount = \"100 g\"\n", now).Blend.Bottle; !b.PHKnown {
		t.Error("the lemon beside the honey gets no credit")
	}
	if !lemon.PHKnown || lemon.PH.High > 4 {
		t.Errorf("honey and lemon: pH %v, known %v", lemon.PH, lemon.PHKnown)
	}
}

// TestOilIsNoSpirit: alcohol neither protects what lies in oil nor is it offered.
func TestOilIsNoSpirit(t *testing.T) {
	now := at("2026-11-24T10:00")
	for _, src := range []string{
		started + "[spirit]\nname = \"olive oil\"\namount = \"500 ml\"\n" + put("garlic", "50 g"),
		halfLitre + put("garlic", "50 g") + "[[addition]]\nname = \"olive oil\"\namount = \"200 ml\"\n",
	} {
		a := assessed(t, src, now)
		if a.Keep.Verdict.Verdict == shelf.VerdictShelf {
			t.Errorf("a shelf for oil:\n%s", src)
		}
		for _, c := range a.Changes() {
			if c.Kind == shelf.ChangeABV || c.Kind == shelf.ChangeSugar || c.Kind == shelf.ChangeAcid {
				t.Errorf("%s is offered for oil", c.Text)
			}
		}
	}
}

// TestMapAgreesWithTheVerdict: the map at the bottle's own place says what the
// judgement says.
func TestMapAgreesWithTheVerdict(t *testing.T) {
	for _, src := range []string{
		halfLitre + "[[addition]]\nname = \"rich syrup\"\namount = \"700 ml\"\n" + put("ginger", "60 g"),
		halfLitre + "[[addition]]\nname = \"simple syrup\"\namount = \"300 ml\"\n[[addition]]\nname = \"lime juice\"\namount = \"100 ml\"\n",
		herbWater,
	} {
		b := assessed(t, src, at("2026-11-24T10:00")).Blend.Bottle
		if got, want := shelf.Keeps(b.At(b.ABVPercent.Value, b.SugarGPerL.Value)), shelf.Keeps(b); got != want {
			t.Errorf("the map says %s, the judgement %s:\n%s", got, want, src)
		}
	}
}

// TestUnweighedPlantsThin: a juicy plant of unknown weight may be as much as fits in
// the jar, and dry spice no more than its usual dose.
func TestUnweighedPlantsThin(t *testing.T) {
	now := at("2026-11-24T10:00")
	vodka := started + "[spirit]\nname = \"vodka\"\nabv = 40\namount = \"200 ml\"\n"
	for _, c := range []struct {
		more      string
		low, high float64 // of the low end, % vol
	}{
		// A gram of plant with 0.9 g of water to a ml of spirit: 40/1.9 is 21.
		{put("strange gourd", "6 pieces"), 19, 23}, {put("cucumber", ""), 19, 23}, {put("mushroom", "40 cups"), 19, 23},
		{put("clove", ""), 39.5, 40},
	} {
		a := assessed(t, vodka+c.more, now)
		if r := a.Blend.Result.ABVPercent; r.Low < c.low || r.Low > c.high || math.Abs(r.Value-40) > 1e-9 || !strings.Contains(strings.Join(a.Blend.Warnings, " "), "no known weight") {
			t.Errorf("%v, warnings %q:\n%s", r, a.Blend.Warnings, c.more)
		}
		if shelfed := a.Keep.Verdict.Verdict == shelf.VerdictShelf; shelfed != (c.low > 30) {
			t.Errorf("%s:\n%s", a.Keep.Verdict.Verdict, c.more)
		}
	}
}

// TestNothingRunsOffIsSaid: where the solids take up all the liquor no figure is told.
func TestNothingRunsOffIsSaid(t *testing.T) {
	for _, more := range []string{put("liquorice", "300 g"), put("coffee", "500 g") + additions("simple syrup: 300 ml")} {
		a := assessed(t, halfLitre+more, at("2026-11-24T10:00"))
		if len(a.Blend.Missing) != 1 || !strings.Contains(a.Blend.Missing[0], "nothing runs off") ||
			a.Keep.Verdict.Verdict != shelf.VerdictUnknown && a.Keep.Stop != keeping.TooMuch {
			t.Errorf("missing %q, %s:\n%s", a.Blend.Missing, a.Keep.Verdict.Verdict, more)
		}
		a = assessed(t, halfLitre+more+"[measured]\nstrained = \"100 ml\"\n", at("2026-11-24T10:00"))
		if !a.Blend.Have() || a.Blend.Result.StrainedML != 100 {
			t.Errorf("with 100 ml strained: %q, %v ml", a.Blend.Missing, a.Blend.Result.StrainedML)
		}
	}
}
