package bench

import (
	"errors"
	"strings"
	"testing"

	"steepbook/data/strict"
	"steepbook/shelf"
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

// TestReadingsThatDoNotFit: an impossible reading is refused, a doubtful one
// never makes a verdict better.
func TestReadingsThatDoNotFit(t *testing.T) {
	now := at("2026-11-24T10:00")
	weak := started + "[spirit]\nname = \"vodka\"\nabv = 40\namount = \"200 ml\"\n[[addition]]\nname = \"simple syrup\"\namount = \"600 ml\"\n"
	_, err := Assess(parse(t, weak+"[measured]\nabv = 60\n"), testLibrary(t), Question{Now: now})
	var fault *strict.Error
	if !errors.As(err, &fault) || fault.Line == 0 || !strings.Contains(fault.Problem, "strongest") {
		t.Errorf("60 %% vol out of vodka: %v", err)
	}
	juice := started + "[spirit]\nname = \"vodka\"\nabv = 40\namount = \"550 ml\"\n[[addition]]\nname = \"orange juice\"\namount = \"450 ml\"\n"
	for _, c := range []struct{ base, read string }{
		{weak, "abv = 30"}, {weak, "sugar = \"900 g/l\""}, {juice, "ph = 2.0"}, {juice, "ph = 2.0\nabv = 36"},
	} {
		plain, doubted := assessed(t, c.base, now).Keep.Verdict, assessed(t, c.base+"[measured]\n"+c.read+"\n", now).Keep.Verdict
		if doubted.Confidence != "low" || doubted.Verdict == shelf.VerdictShelf || doubted.Unopened.High > 1.01*plain.Unopened.High {
			t.Errorf("%s: %s, %s, confidence %s; without the reading %s, %s", c.read, doubted.Verdict, doubted.Unopened.Words, doubted.Confidence, plain.Verdict, plain.Unopened.Words)
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
		b := assessed(t, syrup+c.more, at("2026-11-24T10:00")).Blend.bottle
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
	if b := assessed(t, honey+"[[addition]]\nname = \"lemon juice\"\namount = \"100 g\"\n", now).Blend.bottle; !b.PHKnown {
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

// TestLessSourIsWater: nobody buys sugar to make a drink less sour.
func TestLessSourIsWater(t *testing.T) {
	a := assessed(t, halfLitre+"[[addition]]\nname = \"lime juice\"\namount = \"200 ml\"\n[[addition]]\nname = \"sugar\"\namount = \"300 g\"\n", at("2026-11-24T10:00"))
	want := 3.0
	p, err := a.Solve(testLibrary(t), Goal{AcidGPerL: &want})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Add) != 1 || p.Add[0].Name != "water" || !p.Reached {
		t.Errorf("added %v", p.Add)
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
		b := assessed(t, src, at("2026-11-24T10:00")).Blend.bottle
		if got, want := shelf.Keeps(bottleOf(b, b.ABVPercent.Value, b.SugarGPerL.Value)), shelf.Keeps(b); got != want {
			t.Errorf("the map says %s, the judgement %s:\n%s", got, want, src)
		}
	}
}
