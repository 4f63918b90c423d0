package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/cmd/internal/keeping"
	"steepbook/shelf"
	"steepbook/shelf/alcohol"
)

const wine12 = "room = \"30 C\"\n[[spirit]]\nname = \"white wine 12 %\"\namount = \"700 ml\"\n"

// after judges lines of a batch so many hours after it was begun.
func after(t testing.TB, hours float64, lines string) *Assessment {
	t.Helper()
	return judged(t, "name = \"T\"\nstarted = 2026-11-20T18:00:00\n"+lines, at("2026-11-20T18:00").Add(time.Duration(hours*float64(time.Hour))))
}

// TestAJarIsJudgedAsABottle: what lay in a warm jar that a bottle of it would not be kept
// as stays unfit, whatever spirit is planned or went in later (FDA Food Code 3-501.19: four
// hours out of the cold).
func TestAJarIsJudgedAsABottle(t *testing.T) {
	spirit := entry("addition", "neutral spirit 95 %", `amount = "700 ml"`)
	log := func(strained, added string) string {
		return "[[strained]]\nat = \"" + strained + "\"\n" +
			entry("added", "neutral spirit 95 %", `amount = "700 ml"`, `at = "`+added+`"`)
	}
	for _, food := range []string{
		entry("botanical", "fresh ginger", `amount = "100 g"`), entry("botanical", "fresh mint", `amount = "100 g"`),
		entry("botanical", "oat milk", `amount = "200 ml"`),
	} {
		for _, later := range []string{"", spirit, spirit + log("9 d", "9 d"), spirit + log("2 d", "29 d"), spirit + log("3 h", "29 d")} {
			if a := after(t, 720, wine12+food+later); !a.Unfit() || !slices.Contains([]keeping.Stop{keeping.Sick, keeping.Untold}, a.Keep.Stop) || a.Keep.Advised.Place != "" {
				t.Errorf("stop %q, at %q\n%s", a.Keep.Stop, a.Keep.Advised.Place, food+later)
			}
			if a := after(t, 2, wine12+food+later); a.Unfit() || a.WeakStart() == "" {
				t.Errorf("after two hours unfit %v, %q\n%s", a.Unfit(), a.WeakStart(), food+later)
			}
		}
	}
}

// TestOilIsJudgedInEveryTable: garlic in oil, whichever table the oil stands in.
func TestOilIsJudgedInEveryTable(t *testing.T) {
	garlic := entry("botanical", "garlic", `amount = "60 g"`)
	for _, oil := range []string{
		entry("spirit", "olive oil", `amount = "300 ml"`), entry("addition", "olive oil", `amount = "300 ml"`),
		entry("addition", "olive oil", `amount = "300 ml"`, `in = "0 h"`), entry("botanical", "olive oil", `amount = "300 ml"`),
	} {
		if a := after(t, 672, garlic+oil); !a.Blend.Have() || !a.Blend.Bottle.Oil || a.Keep.Stop != keeping.Sick {
			t.Errorf("missing %q, oil %v, stop %q\n%s", a.Blend.Missing, a.Blend.Bottle.Oil, a.Keep.Stop, oil)
		}
	}
}

// TestStrainingUndoesNothing: oil that floats thins no spirit, and what lay in oil or in too weak a
// jar for too long is thrown away, strained and pulled or not.
func TestStrainingUndoesNothing(t *testing.T) {
	vodka := func(ml string) string { return entry("spirit", "vodka", "abv = 40", `amount = "`+ml+` ml"`) }
	oil := func(more ...string) string {
		return entry("botanical", "olive oil", append(more, `amount = "120 ml"`)...)
	}
	herb := entry("botanical", "rosemary", `amount = "1 sprig"`)
	for _, c := range []struct {
		jar   string
		unfit bool
	}{
		{vodka("700") + herb, false}, {vodka("700") + oil() + herb, false}, {vodka("700") + oil("leave_in = false") + herb, false},
		{vodka("100") + oil() + herb, true}, {vodka("700") + oil("leave_in = true") + herb, true},
		{wine12 + oil() + entry("botanical", "garlic", `amount = "20 g"`), true},
	} {
		for _, log := range []string{"", "[[strained]]\nat = \"12 h\"\n", entry("pulled", "olive oil", `at = "12 h"`)} {
			if strings.Contains(log, "olive") && !strings.Contains(c.jar, "olive") {
				continue
			}
			if a := after(t, 12, c.jar+log); a.Unfit() != c.unfit {
				t.Errorf("stop %q\n%s", a.Keep.Stop, c.jar+log)
			}
		}
	}
}

// TestEggLiesInSpiritAlone: it still can until anything else goes in or it is bottled, then in spirit of its
// own; it did after its days; what is too weak or too cold is no place for it, and it says so; of what was never logged
// nobody knows. 37.5 % vol and room temperature: the advice named in data/tables/cautions.csv.
func TestEggLiesInSpiritAlone(t *testing.T) {
	rest := entry("addition", "egg yolks", `amount = "8"`) + entry("addition", "sugar", `amount = "200 g"`)
	rum := entry("spirit", "rum", "abv = 54", `amount = "250 ml"`) + rest
	added := func(name, amount, at string) string {
		return entry("added", name, `amount = "`+amount+`"`, `at = "`+at+`"`)
	}
	nog := func(egg, rest string) string { // joined to the jar, of 40 % vol with the sugar in it: at 36 % it is no spirit
		return entry("spirit", "rum", "abv = 60", `amount = "250 ml"`) +
			entry("addition", "egg yolks", `amount = "8"`, `in = "`+egg+`"`) + entry("addition", "sugar", `amount = "200 g"`, `in = "`+rest+`"`)
	}
	egg := added("egg yolks", "8", "1 h")
	parts := func(last string) string { return added("egg yolks", "6", "1 h") + added("egg yolks", "2", last) }
	clove := rum + entry("botanical", "clove", `amount = "1 g"`) + added("egg yolks", "8", "10 h") // it joins the jar
	strained := func(at string) string { return "[[strained]]\nat = \"" + at + "\"\n" }
	weak := func(abv string) string { return entry("spirit", "rum", "abv = "+abv, `amount = "700 ml"`) }
	for _, c := range []struct {
		jar  string
		want shelf.EggAlone
	}{
		{rum, shelf.EggCan}, {rum + egg, shelf.EggDid}, {rum + added("egg yolks", "8", "99 h"), shelf.EggCan},
		{rum + egg + added("sugar", "200 g", "9 h"), shelf.EggShort}, {rum + egg + added("sugar", "200 g", "80 h"), shelf.EggDid},
		{rum + added("sugar", "200 g", "9 h"), shelf.EggApart}, {rum + "[[bottled]]\nat = \"9 h\"\n", shelf.EggUntold},
		{entry("spirit", "red wine", "abv = 12", `amount = "250 ml"`) + rest, shelf.EggShort},
		{entry("spirit", "rum", "abv = 54", `amount = "250 ml"`), shelf.EggUntold},
		{nog("0 h", "3 d"), shelf.EggDid}, {nog("0 h", "2 d"), shelf.EggShort}, {nog("3 d", "0 h"), shelf.EggCan},
		{nog("0 h", "0 h"), shelf.EggShort}, {rum + parts("2 h"), shelf.EggDid}, {rum + parts("60 h"), shelf.EggCan},
		{rum + parts("70 h") + added("sugar", "200 g", "75 h"), shelf.EggShort},
		{rum + egg + "[[bottled]]\nat = \"80 h\"\n", shelf.EggUntold}, {rum + egg + "[[bottled]]\nat = \"9 h\"\n", shelf.EggShort},
		{rum + added("sugar", "200 g", "75 h") + "[[bottled]]\nat = \"80 h\"\n", shelf.EggUntold},
		{rum + egg + added("sugar", "200 g", "75 h") + "[[bottled]]\nat = \"80 h\"\n", shelf.EggDid},
		{rum + added("sugar", "200 g", "9 h") + added("egg yolks", "8", "90 h"), shelf.EggUntold},
		{rum + added("egg yolks", "6", "1 h"), shelf.EggCan},
		{rum + egg + added("sugar", "200 g", "9 h") + added("egg yolks", "4", "30 h"), shelf.EggShort}, // the first of it
		{rum + egg + added("sugar", "200 g", "80 h") + added("egg yolks", "4", "90 h"), shelf.EggUntold},
		{rum + added("egg yolks", "6", "1 h") + added("sugar", "200 g", "80 h"), shelf.EggApart},
		{rum + added("egg yolks", "6", "1 h") + added("sugar", "200 g", "60 h"), shelf.EggShort},
		{clove, shelf.EggCan}, {clove + strained("20 h"), shelf.EggDid}, {clove + strained("50 h"), shelf.EggCan},
		{clove + strained("20 h") + added("sugar", "200 g", "60 h"), shelf.EggShort},
		{clove + added("sugar", "200 g", "12 h") + strained("20 h"), shelf.EggShort},
		{entry("spirit", "red wine", "abv = 12", `amount = "250 ml"`) + rest + egg, shelf.EggShort},
		{weak("22") + rest, shelf.EggApart}, {weak("22") + rest + egg, shelf.EggShort}, {weak("36") + rest + egg, shelf.EggShort},
		{weak("37.5") + rest, shelf.EggCan}, {weak("37.5") + rest + egg, shelf.EggDid},
		{"room = \"6 C\"\n" + rum, shelf.EggApart}, {"room = \"6 C\"\n" + rum + egg, shelf.EggShort},
		{"room = \"19 C\"\n" + rum + egg, shelf.EggShort}, {"room = \"20 C\"\n" + rum + egg, shelf.EggDid},
		{"room = \"68 F\"\n" + rum + egg, shelf.EggDid},
	} {
		a := after(t, 100, c.jar)
		said := ""
		for _, x := range a.Keep.Verdict.Cautions {
			if x.Kind == "raw egg" {
				said = x.Text
			}
		}
		if got := a.EggAlone(false).State; got != c.want || said != "" && strings.Contains(said, "3 days") == (got == shelf.EggDid) {
			t.Errorf("%d, want %d: %q\n%s", got, c.want, said, c.jar)
		}
		lacks := strings.Contains(c.jar, "= 22") || strings.Contains(c.jar, "= 36")
		if lacks && !strings.Contains(said, "is weaker than spirit of 37.5") ||
			(strings.Contains(c.jar, "6 C") || strings.Contains(c.jar, "19 C")) && !strings.Contains(said, "below 20~°C alcohol kills slower") {
			t.Errorf("it does not say why: %q\n%s", said, c.jar)
		}
	}
}

// TestWhatCannotBeJudgedIsNotTasted: without the amount of the spirit nobody can say
// whether garlic may lie in it.
func TestWhatCannotBeJudgedIsNotTasted(t *testing.T) {
	jar := entry("spirit", "vodka", "abv = 40") + entry("botanical", "garlic", `amount = "60 g"`)
	if a := after(t, 2, jar); a.Unfit() || !strings.Contains(a.WeakStart(), "amount of the vodka") {
		t.Errorf("soon: unfit %v, %q", a.Unfit(), a.WeakStart())
	}
	if a := after(t, 100, jar); !a.Unfit() || a.Keep.Stop != keeping.Untold {
		t.Errorf("later: unfit %v, stop %q", a.Unfit(), a.Keep.Stop)
	}
	if a := after(t, 100, entry("spirit", "vodka", "abv = 40")+entry("botanical", "clove", `amount = "1 g"`)); a.Keep.Stop != "" {
		t.Errorf("clove: %q", a.Keep.Stop)
	}
}

// TestAColdJarHasItsDays: a weak jar in the cold lasts as long as a bottle of it, spirit
// that is planned or not.
func TestAColdJarHasItsDays(t *testing.T) {
	jar := "room = \"4 C\"\n" + entry("spirit", "water", `amount = "300 ml"`) + entry("botanical", "garlic", `amount = "40 g"`) +
		entry("addition", "vodka", "abv = 96", `amount = "500 ml"`)
	if a := after(t, 72, jar); a.Unfit() || a.JarEnd().H <= 72 || a.JarEnd().H > 96 {
		t.Errorf("after three days: unfit %v, to %g h", a.Unfit(), a.JarEnd().H)
	}
	if a := after(t, 120, jar); !a.Unfit() {
		t.Errorf("after five days: %s", a.Keep.Verdict.Verdict)
	}
}

// TestWaterNeverHelps: more water moves no drink to a warmer place and gives it no days;
// more spirit takes none away from what alcohol holds. Two drinks of which one meets a
// limit of pH and the other just not are let be: acids are stronger in weaker spirit, and
// spirit thins them.
func TestWaterNeverHelps(t *testing.T) {
	place := []shelf.Place{"", shelf.Freezer, shelf.Fridge, shelf.Cellar, shelf.Room}
	rapid.Check(t, func(rt *rapid.T) {
		ml := func(name string, lo, hi int) int { return rapid.IntRange(lo, hi).Draw(rt, name) }
		jar := fmt.Sprintf("[[spirit]]\nname = \"vodka\"\nabv = %d\namount = \"%d ml\"\n", ml("abv", 15, 60), ml("spirit", 200, 700))
		food := rapid.SampledFrom([]string{"orange zest", "green tea", "coffee beans", "raisin", "walnut", "clove"}).Draw(rt, "food")
		jar += entry("botanical", food, fmt.Sprintf(`amount = "%d g"`, ml("food g", 1, 30)))
		jar += entry("addition", "white sugar", fmt.Sprintf(`amount = "%d g"`, ml("sugar", 1, 700)))
		if acid := ml("acid", -5, 8); acid > 0 {
			jar += entry("addition", "citric acid", fmt.Sprintf(`amount = "%d g"`, acid))
		}
		mixed := func(water, spirit int) *Assessment {
			return after(t, -1, jar+entry("addition", "water", fmt.Sprintf(`amount = "%d ml"`, water))+
				entry("addition", "neutral spirit 96 %", fmt.Sprintf(`amount = "%d ml"`, spirit)))
		}
		water := ml("water", 1, 800)
		was, thinner, stronger := mixed(water, 1), mixed(water+ml("more", 5, 300), 1), mixed(water, 1+ml("spirit more", 5, 200))
		if was.Keep.Stop == keeping.TooMuch {
			return // thinned far enough it may be drunk
		}
		if was.Blend.Result.Parts.UndissolvedG(20) > 0 {
			return // water takes up more of the sugar, and there is more drink for the food in it
		}
		worse := func(a, b *Assessment) bool {
			x, y := slices.Index(place, a.Keep.Safe.Place), slices.Index(place, b.Keep.Safe.Place)
			return x < y || x == y && a.Keep.Safe.Sealed.Low < 0.99*b.Keep.Safe.Sealed.Low && !math.IsInf(a.Keep.Safe.Sealed.Low, 1)
		}
		if worse(was, thinner) && !justSourer(thinner, was) {
			rt.Fatalf("%s %s, with more water %s %s\n%s", was.Keep.Safe.Place, was.Keep.Safe.Sealed.Words,
				thinner.Keep.Safe.Place, thinner.Keep.Safe.Sealed.Words, jar)
		}
		if was.WorstABV() >= 13 && worse(stronger, was) && !justSourer(was, stronger) {
			rt.Fatalf("%s %s, with more spirit %s %s\n%s", was.Keep.Safe.Place, was.Keep.Safe.Sealed.Words,
				stronger.Keep.Safe.Place, stronger.Keep.Safe.Sealed.Words, jar)
		}
	})
}

// TestWhatIsAliveIsJudgedByTheRest: a yeast or a culture is no milk: a sour jar with it is sound, one
// that is not sour is as unfit as without, and of its strength and sugar only the ends are told.
func TestWhatIsAliveIsJudgedByTheRest(t *testing.T) {
	jar := entry("spirit", "water", `amount = "2 l"`) + entry("botanical", "ginger", `cut = "grated"`, `amount = "100 g"`) +
		entry("addition", "sugar", `amount = "200 g"`, `in = "0 h"`)
	lemon := entry("addition", "lemon juice", `amount = "120 ml"`, `in = "0 h"`)
	for name, known := range map[string]bool{"yeast": true, "Hefe": true, "champagne yeast": true, "kombucha": true, "ginger bug": true, "zorbnik yeast": false} {
		live := entry("addition", name, `amount = "2 g"`, `in = "0 h"`)
		a := after(t, 30, jar+lemon+live)
		r := a.Blend.Result
		if a.Keep.Stop != "" || a.Keep.Verdict.Fails || len(a.Keep.Gas) != 1 || (len(a.Keep.Unknown) == 0) != known {
			t.Errorf("%s: stop %q, gas %q, unknown %q", name, a.Keep.Stop, a.Keep.Gas, a.Keep.Unknown)
		}
		if r.SugarGPerL.Low > 0 || r.ABVPercent.Low > 0.1 || r.ABVPercent.High < 5 || r.ABVPercent.High > 8 {
			t.Errorf("%s: sugar %v, strength %v", name, r.SugarGPerL, r.ABVPercent)
		}
		if milk := after(t, 30, jar+lemon+entry("addition", "kefir grains", `amount = "2 g"`, `in = "0 h"`)); len(milk.Keep.Gas) != 1 || !milk.Keep.Verdict.Fails {
			t.Errorf("kefir grains: gas %q, %s", milk.Keep.Gas, milk.Keep.Safe.Sealed.Words)
		}
		if a := after(t, 30, jar+live); a.Keep.Stop != keeping.Sick {
			t.Errorf("%s, nothing sour: stop %q", name, a.Keep.Stop)
		}
	}
}

// TestASignIsOfItsHour: a sign is judged by the liquid of the hour in which it was noted: the jar
// while it steeps, whatever is planned, and once it is strained the worse of the log and the plan.
func TestASignIsOfItsHour(t *testing.T) {
	spirit := func(abv string) string { return entry("spirit", "spirit "+abv+" %", `amount = "300 ml"`) }
	quince := entry("botanical", "quince", `cut = "grated"`, `amount = "500 g"`)
	cacao, cream := entry("botanical", "cacao nibs", `amount = "40 g"`), entry("addition", "cream", `amount = "300 ml"`)
	late, strained := entry("addition", "neutral spirit 95 %", `amount = "700 ml"`), "[[strained]]\nat = \"1 d\"\n"
	note := func(what, at string) string { return fmt.Sprintf("[[noted]]\nwhat = %q\nat = %q\n", what, at) }
	for name, c := range map[string]struct {
		lines string
		stops bool
	}{
		"a weak jar fizzed":              {spirit("38") + quince + note("fizzed", "20 h"), true},
		"sour, before the spirit":        {spirit("38") + quince + late + note("smells sour", "20 h"), true},
		"and the spirit is in":           {spirit("38") + quince + late + note("smells sour", "20 h") + strained + entry("added", "neutral spirit 95 %", `amount = "700 ml"`, `at = "2 d"`), true},
		"a weak jar is cloudy":           {spirit("38") + quince + note("cloudy", "20 h"), false},
		"and its fruit brown":            {spirit("38") + quince + note("turned brown", "20 h"), false},
		"a strong jar for a weak drink":  {spirit("57") + cacao + cream + note("fizzed", "20 h"), false},
		"a strong jar smells sour":       {spirit("57") + cacao + cream + note("smells sour", "20 h"), false},
		"mixed at once, not bottled yet": {spirit("40") + entry("addition", "orange juice", `amount = "600 ml"`) + note("fizzed", "20 h") + "[[bottled]]\nat = \"3 d\"\n", true},
		"strained, the cream not logged": {spirit("40") + cacao + cream + strained + note("fizzed", "3 d"), true},
		"so far strong, the plan weak": {spirit("40") + cacao + cream + strained +
			entry("added", "white sugar", `amount = "20 g"`, `at = "2 d"`) + note("fizzed", "3 d"), true},
	} {
		a := after(t, 100, c.lines)
		if got := a.Keep.Stop == keeping.Living; got != c.stops || got && (a.Tasting().Offered() || !a.Unfit()) {
			t.Errorf("%s: %q, tasting %s, %+v", name, a.Keep.Stop, a.Tasting(), a.Keep.Outcomes)
		}
	}
}

// TestTheEdgeIsTold: where less than the doubt is left above a line, the answer says so.
func TestTheEdgeIsTold(t *testing.T) {
	drink := func(sugar int) *Assessment {
		return after(t, -1, "[[spirit]]\nname = \"vodka\"\nabv = 40\namount = \"500 ml\"\n"+entry("botanical", "orange zest", `amount = "20 g"`)+
			entry("addition", "water", `amount = "600 ml"`)+entry("addition", "white sugar", fmt.Sprintf(`amount = "%d g"`, sugar)))
	}
	for sugar := 100; sugar < 600; sugar += 20 {
		a, b := drink(sugar), drink(sugar+20)
		if !a.Keep.Verdict.Fails && b.Keep.Verdict.Fails && !strings.Contains(a.Keep.Verdict.Edge, "weaker, by water or sugar") {
			t.Errorf("%d g of sugar: %s, %q; 20 g more fail", sugar, a.Keep.Safe.Sealed.Words, a.Keep.Verdict.Edge)
		}
	}
}

// justSourer reports whether a meets a limit of pH that b does not, by no more than the rise
// of a pKa between their strengths (Prenesti et al. 2012: 0.17 at 12 % vol) and, in what is
// stronger, the thinning of the acid.
func justSourer(a, b *Assessment) bool {
	solvent := func(x *Assessment) float64 {
		p := x.Blend.Result.Parts
		return alcohol.ABVPercent(p.Ethanol / (p.Ethanol + p.Water))
	}
	most := 0.17 / 12 * math.Abs(solvent(a)-solvent(b))
	most += math.Max(math.Log10(b.Blend.Result.VolumeML.Value/a.Blend.Result.VolumeML.Value), 0) + 1e-3
	return slices.ContainsFunc(a.Keep.Verdict.Reasons, func(x shelf.Reason) bool {
		return x.Unit == "pH" && x.Pass && slices.ContainsFunc(b.Keep.Verdict.Reasons, func(y shelf.Reason) bool {
			return y.Rule == x.Rule && !y.Pass && y.WorstCase-x.WorstCase <= most
		})
	})
}

// TestLastHourIsOneWheneverItIsAsked: what is still to go in stops no clock, so that the last hour of a weak jar
// is the same before it went in and after.
func TestLastHourIsOneWheneverItIsAsked(t *testing.T) {
	for _, in := range []float64{0.5, 1.5, 3, 3.9} {
		src := fmt.Sprintf("name = \"B\"\nstarted = 2026-11-01T12:00:00\nroom = \"20 C\"\n[[spirit]]\nname = \"water\"\n"+
			"amount = \"500 ml\"\n[[botanical]]\nname = \"mint\"\namount = \"20 g\"\n[[botanical]]\nname = \"ginger\"\n"+
			"amount = \"30 g\"\nin = \"%g h\"\n", in)
		for _, minutes := range []int{10, 60, 120, 170, 200, 235} {
			a := assessed(t, src, at("2026-11-01T12:00").Add(time.Duration(minutes)*time.Minute))
			if got := a.JarEnd().H; got != shelf.WeakSteepH {
				t.Errorf("ginger at %g h, asked after %d min: %g h, want %g", in, minutes, got, float64(shelf.WeakSteepH))
			}
		}
	}
}

// TestWhatIsToComeStandsUntilItGoesIn: juice that waits is as old on the way into the drink as it is in the minute
// in which all that steeps comes out.
func TestWhatIsToComeStandsUntilItGoesIn(t *testing.T) {
	jar := "[[spirit]]\nname = \"vodka 50 %\"\namount = \"500 ml\"\n" +
		entry("botanical", "vanilla", `amount = "5 g"`) +
		entry("addition", "orange juice", `amount = "250 ml"`, "pressed = 2026-11-20", `kept = "fridge"`)
	for _, h := range []float64{24, 72, 168} {
		want := after(t, h, jar+fmt.Sprintf("[[strained]]\nat = \"%g h\"\n", h)).Keep.Best.Sealed
		pulled := after(t, h, jar+entry("pulled", "vanilla", fmt.Sprintf(`at = "%g h"`, h))).Keep.Best.Sealed
		if is := after(t, h, jar).Keep.Best.Sealed; is != want || pulled != want {
			t.Errorf("after %g h %v before it is strained, %v pulled and %v strained", h, is, pulled, want)
		}
	}
}
