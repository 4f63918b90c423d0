package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"steepbook/cmd/internal/keeping"
	"steepbook/data/batch"
	"steepbook/shelf"
	"steepbook/shelf/mixture"
)

func TestSittingOrder(t *testing.T) {
	a := assessed(t, halfLitre+"[[botanical]]\nname = \"green cardamom\"\n[[botanical]]\nname = \"chilli\"\n[[botanical]]\nname = \"orange zest\"\n"+
		"[[watch]]\nname = \"bitter\"\nlimit = 2\n", at("2026-11-24T06:00"))
	s := a.NextSitting()
	if s == nil {
		t.Fatal("nothing to taste after half a day")
	}
	if want := []string{"orange zest", "chilli"}; !slices.Equal(s.Flavours, want) || !slices.Equal(s.Rest, []string{"green cardamom"}) || !slices.Equal(s.Watch, []string{"bitter"}) {
		t.Errorf("tasted in the order %q, want weakest first, what burns last, and no more than the tongue bears: %q", s.Flavours, want)
	}
	if s.Advice == "" {
		t.Error("no word on what burns")
	}
	if s.AtH < a.ElapsedH {
		t.Errorf("the sitting is at %g h, which is over", s.AtH)
	}
	// What is out of the jar is not tasted.
	a = assessed(t, halfLitre+"[[botanical]]\nname = \"clove\"\n[[pulled]]\nname = \"clove\"\nat = \"6 h\"\n", at("2026-11-30T18:00"))
	if s := a.NextSitting(); s != nil {
		t.Errorf("an empty jar is tasted: %+v", s)
	}
}

func TestChangesDoWhatTheySay(t *testing.T) {
	a := assessed(t, halfLitre+"[[addition]]\nname = \"orange juice\"\namount = \"500 ml\"\n[[addition]]\nname = \"white sugar\"\namount = \"150 g\"\n", at("2026-11-21T08:00"))
	kinds := map[string]bool{}
	now := a.Blend.Result.Parts
	for _, c := range a.Changes() {
		kinds[c.Kind] = true
		switch c.Kind {
		case shelf.ChangeABV:
			if d := c.ABVPercent - now.ABVPercent() - c.Amount; math.Abs(d) > 0.05 || len(c.Add) != 1 {
				t.Errorf("%s: off by %g %% vol, adding %+v", c.Text, d, c.Add)
			}
		case shelf.ChangeSugar:
			if c.SugarGPerL <= now.SugarGPerL() || c.ABVPercent >= now.ABVPercent() {
				t.Errorf("%s: %g g/L at %g %%", c.Text, c.SugarGPerL, c.ABVPercent)
			}
		case shelf.ChangeAcid:
			from, _ := now.PH()
			to, ok := now.Plus(mixture.Parts{Citric: c.Add[0].MassG}).PH()
			if !ok || math.Abs(from-to-c.Amount) > 0.005 {
				t.Errorf("%s: pH %g to %g", c.Text, from, to)
			}
		case shelf.ChangeNoJuice:
			if c.ABVPercent <= now.ABVPercent() {
				t.Errorf("%s: %g %% vol", c.Text, c.ABVPercent)
			}
		}
		if len(c.Add) > 0 && c.Taste == "" {
			t.Errorf("%s: nothing on its taste", c.Text)
		}
	}
	if len(kinds) < 3 {
		t.Errorf("only the changes %v for a drink that does not keep", kinds)
	}
}

func TestTasteOfAChange(t *testing.T) {
	mix := func(ethanol, sugar, citric float64) mixture.Parts {
		return mixture.Parts{Ethanol: ethanol, Water: 700, Sucrose: sugar, Citric: citric}
	}
	for _, c := range []struct {
		from, to mixture.Parts
		want     string
	}{
		{mix(200, 200, 3), mix(200, 200, 3), "hardly tasted"},
		{mix(200, 200, 3), mix(212, 200, 3), "a little stronger"},
		{mix(200, 200, 3), mix(300, 200, 3), "clearly stronger"},
		{mix(200, 200, 3), mix(200, 230, 3), "a little sweeter"},
		{mix(200, 200, 3), mix(200, 200, 9), "sourer"},
		{mix(200, 200, 9), mix(200, 200, 3), "less sour"},
		{mix(200, 0, 0), mix(200, 4, 0), "hardly tasted"},
	} {
		if got := tasteOf(c.from, c.to); !strings.Contains(got, c.want) {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// House rules take days away and never add any, in every place that is named.
func TestHouseRulesOnlyShorten(t *testing.T) {
	type judged struct {
		keeping.Keep
		changes []Change
	}
	var all []judged
	for _, more := range []string{"", weak, "[[addition]]\nname = \"orange juice\"\namount = \"200 ml\"\n"} {
		for _, store := range []string{"room", "fridge", "freezer"} {
			a := assessed(t, halfLitre+more+"[finish]\nstore = \""+store+"\"\n", at("2026-11-21T08:00"))
			all = append(all, judged{*a.Keep, a.Changes()})
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		most := rapid.SampledFrom([]float64{0, 1, 7, 90, 36500})
		h := &batch.House{Rule: "the code", MaxAgeDays: most.Draw(t, "age"), UseWithinDays: most.Draw(t, "use"), FridgeAlways: rapid.Bool().Draw(t, "cold")}
		free := rapid.SampledFrom(all).Draw(t, "keep")
		bound := free
		bound.House, bound.changes = nil, slices.Clone(free.changes)
		bound.HouseRules(h, thens(bound.changes)...)
		holds := func(what string, was, is shelf.Days, limits ...float64) {
			if is.Low > was.Low || is.High > was.High || is.Low > is.High {
				t.Fatalf("%s: %+v became %+v", what, was, is)
			}
			for _, l := range limits {
				if l > 0 && is.High > l {
					t.Fatalf("%s: %+v although the house says %g days", what, is, l)
				}
			}
		}
		holds("sealed", free.Verdict.Unopened, bound.Verdict.Unopened, h.MaxAgeDays)
		holds("opened", free.Verdict.Opened, bound.Verdict.Opened, h.MaxAgeDays, h.UseWithinDays)
		holds("advised, sealed", free.Advised.Sealed, bound.Advised.Sealed, h.MaxAgeDays)
		holds("advised, opened", free.Advised.Opened, bound.Advised.Opened, h.MaxAgeDays, h.UseWithinDays)
		for i := range free.changes {
			holds("after "+free.changes[i].Text, free.changes[i].Then.Unopened, bound.changes[i].Then.Unopened, h.MaxAgeDays)
		}
		rank := map[string]int{"discard": 0, "unknown": 0, "freezer": 1, "fridge": 2, "shelf": 3}
		if rank[bound.Verdict.Verdict] > rank[free.Verdict.Verdict] {
			t.Fatalf("the house made %s of %s", bound.Verdict.Verdict, free.Verdict.Verdict)
		}
		if h.FridgeAlways && bound.Verdict.Verdict == "shelf" {
			t.Fatal("on the shelf although everything is kept cold")
		}
	})
}

func TestPlaceOfATemperature(t *testing.T) {
	for c, want := range map[float64]shelf.Place{-18: shelf.Freezer, -10: shelf.Freezer, -9: shelf.Fridge, 0: shelf.Fridge, 8: shelf.Fridge, 9: shelf.Cellar, 12: shelf.Cellar, 18: shelf.Cellar, 18.1: shelf.Room, 35: shelf.Room} {
		if got := shelf.PlaceOf(c); got != want {
			t.Errorf("%g °C is a %s, want %s", c, got, want)
		}
	}
}

// Made as it says, a change gives what it promised.
func TestChangesAsMade(t *testing.T) {
	moment, kinds := at("2026-11-21T08:00"), map[string]int{}
	jars := []string{"[[spirit]]\nname = \"vodka 50 %\"\namount = \"750 ml\"\n", "[[spirit]]\nname = \"vodka 40 %\"\namount = \"500 ml\"\n"}
	plants := []string{"", "[[botanical]]\nname = \"cranberries\"\ncut = \"halved\"\namount = \"300 g\"\n",
		"[[botanical]]\nname = \"blood orange zest\"\namount = \"10 g\"\n[[botanical]]\nname = \"ginger\"\namount = \"30 g\"\n"}
	juices := []string{"lemon juice: 60 ml", "orange juice: 300 ml", "lime juice: 30 ml"}
	sugars := []string{"100 g", "250 g"}
	for _, jar := range jars {
		for _, plant := range plants {
			for _, juice := range juices {
				for _, sugar := range sugars {
					name, amount, _ := strings.Cut(juice, ": ")
					made := func(rest string) *Assessment {
						return assessed(t, "name = \"X\"\nstarted = 2026-11-20T18:00:00\n"+jar+plant+"[[addition]]\nname = \"white sugar\"\namount = \""+sugar+"\"\n"+rest, moment)
					}
					sour := fmt.Sprintf("[[addition]]\nname = %q\namount = %q\n", name, amount)
					a := made(sour)
					for _, c := range a.Changes() {
						more := ""
						for _, p := range c.Add {
							more += fmt.Sprintf("[[addition]]\nname = %q\namount = \"%.6f g\"\n", p.Name, p.MassG)
						}
						switch c.Kind {
						case shelf.ChangeNoJuice:
						case shelf.ChangeABV, shelf.ChangeSugar, shelf.ChangeAcid:
							more = sour + more
						default:
							continue
						}
						kinds[c.Kind]++
						then := made(more).Keep.Verdict
						if then.Verdict != c.Then.Verdict || then.Unopened != c.Then.Unopened {
							t.Errorf("%s%s%s, %s: %q promises %v, %+v; made it is %v, %+v", jar, plant, juice, sugar, c.Text, c.Then.Verdict, c.Then.Unopened, then.Verdict, then.Unopened)
						}
					}
				}
			}
		}
	}
	for _, kind := range []string{shelf.ChangeNoJuice, shelf.ChangeABV} {
		if kinds[kind] == 0 {
			t.Errorf("no %s in %v", kind, kinds)
		}
	}
	in := assessed(t, "name = \"X\"\nstarted = 2026-11-20T18:00:00\n"+jars[0]+plants[1]+"[[addition]]\nname = \"orange juice\"\namount = \"600 ml\"\n"+
		"[[strained]]\nat = \"2 h\"\n[[added]]\nname = \"orange juice\"\namount = \"600 ml\"\nat = \"3 h\"\n", moment)
	if len(in.Changes()) == 0 {
		t.Error("nothing moves it")
	}
	for _, c := range in.Changes() {
		if c.Kind == shelf.ChangeNoJuice {
			t.Errorf("juice that is in is to be left out: %s", c.Text)
		}
	}
}
