package shelf

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"steepbook/shelf/mixture"
)

func change(cs []Change, kind, text string) *Change {
	for i, c := range cs {
		if c.Kind == kind && strings.Contains(c.Text, text) {
			return &cs[i]
		}
	}
	return nil
}

// TestChanges: the worked bottles move where the lines of the procedure say.
func TestChanges(t *testing.T) {
	for _, c := range []struct {
		name       string
		bottle     Bottle
		store      Storage
		kind, text string
		verdict    string
	}{
		{"24 % with juice", juiceCordial, room, ChangeABV, "27.0 % vol", VerdictShelf},
		{"24 % with juice", juiceCordial, room, ChangeAcid, "3.30", VerdictShelf},
		{"24 % with juice", juiceCordial, room, ChangeNoJuice, "citric acid", VerdictShelf},
		{"15 % with juice", orangeCordial, room, ChangeABV, "27.0 % vol", VerdictShelf},
		{"15 % with juice", orangeCordial, room, ChangeABV, "23.0 % vol and bring the pH to 3.3", VerdictShelf},
		{"14 % allspice", allspiceCordial, room, ChangePlace, "in the fridge", VerdictFridge},
		{"14 % allspice", allspiceCordial, room, ChangeABV, "23.0 % vol", VerdictShelf},
		{"lime 10 %", limeTen, fridge, ChangeABV, "raise the strength", VerdictFridge},
		{"lime 10 %", limeTen, fridge, ChangeNoJuice, "citric acid", VerdictFridge},
		{"nut milk", nutMilk, room, ChangePlace, "freeze", VerdictFreezer},
		{"weak lime", weakCordial, fridge, ChangeHeat, "simmer", VerdictFridge},
	} {
		cs := Changes(c.bottle, c.store, nil)
		got := change(cs, c.kind, c.text)
		if got == nil {
			t.Errorf("%s: no change %s %q in %+v", c.name, c.kind, c.text, texts(cs))
			continue
		}
		if got.Verdict.Verdict != c.verdict {
			t.Errorf("%s, %s: %s, want %s", c.name, got.Text, got.Verdict.Verdict, c.verdict)
		}
	}
	if cs := Changes(liqueur, room, nil); len(cs) != 0 {
		t.Errorf("a 40 %% liqueur is told to %v", texts(cs))
	}
}

var limeTen = Bottle{ABVPercent: mixture.Exactly(10), SugarGPerL: mixture.Exactly(370), PH: mixture.Exactly(2.7), PHKnown: true,
	FreshJuice: []string{"lime juice"}, Nourishing: []string{"lime juice"}}

var orangeCordial = Bottle{ABVPercent: mixture.Exactly(15.1), SugarGPerL: mixture.Exactly(250), PH: mixture.Exactly(3.6), PHKnown: true,
	FreshJuice: []string{"blood orange juice"}, Nourishing: []string{"blood orange juice"}}

func texts(cs []Change) []string {
	var out []string
	for _, c := range cs {
		out = append(out, c.Text)
	}
	return out
}

// TestChangesHelp: every change offered is a step better, and with a step less
// of it the bottle would not be.
func TestChangesHelp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, s := drawBottle(t), drawStorage(t)
		before, at := Judge(b, s), Keeps(b)
		for _, c := range Changes(b, s, nil) {
			if !helps(before, c.Verdict) {
				t.Fatalf("%s: %s %v is no better than %s %v", c.Text, c.Verdict.Verdict, c.Verdict.Unopened, before.Verdict, before.Unopened)
			}
			if c.Amount == 0 {
				continue
			}
			full, _ := plainEffect(b, c)
			less := c
			for _, k := range amountKinds {
				if k.kind == c.Kind {
					less.Amount -= 1.001 * k.step
				}
			}
			part, _ := plainEffect(b, less)
			if Keeps(part) >= Keeps(full) {
				t.Fatalf("%s: %g would do (from %v to %v)", c.Text, less.Amount, at, Keeps(full))
			}
		}
	})
}

// TestChangesAskTheCaller: the caller's blend decides, and what it cannot do
// is not offered.
func TestChangesAskTheCaller(t *testing.T) {
	asked := map[string]bool{}
	cs := Changes(juiceCordial, room, func(c Change) (Bottle, bool) {
		asked[c.Kind] = true
		if c.Kind != ChangeABV {
			return Bottle{}, false
		}
		b := juiceCordial
		b.ABVPercent = mixture.Exactly(b.ABVPercent.Value + c.Amount/2) // half of it gets lost
		return b, true
	})
	if c := change(cs, ChangeABV, "27.0"); c == nil || math.Abs(c.Amount-6) > 0.11 {
		t.Errorf("changes %v, want 6 %% vol asked for", texts(cs))
	}
	if change(cs, ChangeAcid, "") != nil || change(cs, ChangeNoJuice, "") != nil {
		t.Errorf("a change that cannot be made is offered: %v", texts(cs))
	}
	if asked[ChangeHeat] || asked[ChangePlace] || asked[ChangeStrain] {
		t.Error("the caller was asked for what does not touch the blend")
	}
}

// TestWordsOfTheVerdict: a verdict that hangs on the worst case says its
// figure; heat and a drop of spirit are put in their place.
func TestWordsOfTheVerdict(t *testing.T) {
	warned := func(v Verdict, text string) bool {
		for _, w := range v.Warnings {
			if strings.Contains(w, text) {
				return true
			}
		}
		return false
	}
	hot := weakCordial
	hot.Heated = true
	if v := Judge(hot, fridge); !warned(v, "home-canning process from a tested source") || warned(Judge(weakCordial, fridge), "home-canning") {
		t.Error(v.Warnings)
	}
	for abv, want := range map[float64]bool{0: false, 3.1: true, 6.9: true, 7.1: false, 40: false} {
		b := Bottle{ABVPercent: mixture.Exactly(abv), SugarGPerL: mixture.Exactly(600)}
		if got := warned(Judge(b, fridge), "only delays what grows"); got != want {
			t.Errorf("%g %% vol: %v, want %v", abv, got, want)
		}
	}
}

// TestFlavourWords: the advice speaks of what is in the bottle, or not at all.
func TestFlavourWords(t *testing.T) {
	bare := Bottle{ABVPercent: mixture.Exactly(40), SugarGPerL: mixture.Exactly(200)}
	spiced := bare
	spiced.Spices = []string{"clove", "star anise"}
	weak := spiced
	weak.ABVPercent = mixture.Exactly(5)
	peel := bare
	peel.OtherPeel = []string{"orange zest"}
	lime := bare
	lime.FreshJuice = []string{"lime juice"}
	for name, c := range map[string]struct {
		b    Bottle
		at   Storage
		text []string
		not  string
	}{
		"nothing":       {bare, fridge, nil, "aroma"},
		"no spice weak": {Bottle{ABVPercent: mixture.Exactly(5), SugarGPerL: mixture.Exactly(300)}, fridge, nil, "aroma"},
		"spice":         {spiced, fridge, []string{"clove and star anise", "common practice, no source"}, "lemon"},
		"weak":          {weak, fridge, []string{"clove and star anise", "fades in such a drink"}, "year"},
		"orange peel":   {peel, fridge, []string{"peel note of the orange zest", "months"}, "lemon note"},
		"lime juice":    {lime, fridge, []string{"fresh taste of the lime juice", "days"}, "spice"},
		"lime in warm":  {lime, room, []string{"days, not weeks"}, "spice"},
	} {
		v := Judge(c.b, c.at)
		if c.text == nil && v.FlavourText != "" {
			t.Errorf("%s: %s", name, v.FlavourText)
		}
		for _, want := range c.text {
			if !strings.Contains(v.FlavourText, want) {
				t.Errorf("%s: %q is not in %q", name, want, v.FlavourText)
			}
		}
		if strings.Contains(v.FlavourText, c.not) {
			t.Errorf("%s: %q in %q", name, c.not, v.FlavourText)
		}
	}
}

// TestAdvice: two verdicts, one advice.
func TestAdvice(t *testing.T) {
	usual := func(p Place) Storage { return Storage{Place: p} }
	strongJuice := Bottle{ABVPercent: mixture.Exactly(29.3), SugarGPerL: mixture.Exactly(258), PH: mixture.Exactly(3.6), PHKnown: true, FreshJuice: []string{"orange juice"},
		Nourishing: []string{"orange juice"}, Clocks: map[string]string{"orange juice": "orange juice"}}
	for _, c := range []struct {
		name                string
		b                   Bottle
		asked               *Storage
		safe, best, advised Place
		notThere            bool
	}{
		{"strong with juice", strongJuice, nil, Room, Fridge, Fridge, false},
		{"strong with juice, asked for a room", strongJuice, &Storage{Place: Room}, Room, Room, Room, false},
		{"spirit", liqueur, nil, Room, Room, Room, false},
		{"lime 10 %", limeTen, nil, Fridge, Fridge, Fridge, false},
		{"nut milk in a room", nutMilk, &Storage{Place: Room}, Fridge, Fridge, Fridge, true},
		{"nut milk", nutMilk, nil, Fridge, Fridge, Fridge, false},
	} {
		a := Advise(c.b, c.asked, usual)
		if a.Safe.Place != c.safe || a.Best.Place != c.best || a.Advised.Place != c.advised || a.NotThere != c.notThere {
			t.Errorf("%s: sound %s, best %s, advised %s, not there %v", c.name, a.Safe.Place, a.Best.Place, a.Advised.Place, a.NotThere)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		b := drawBottle(t)
		var asked *Storage
		if rapid.Bool().Draw(t, "asked") {
			s := drawStorage(t)
			asked = &s
		}
		a := Advise(b, asked, usual)
		if a.Advised.Place == "" {
			return
		}
		if a.Advised.AtC > a.Safe.AtC || a.Best.AtC > a.Safe.AtC {
			t.Fatalf("the advice is warmer: %+v", a)
		}
		there := Judge(b, Storage{Place: a.Advised.Place, Celsius: a.Advised.AtC, Measured: true})
		if a.Advised.Sealed.Low > there.Unopened.Low+1e-9 || a.Advised.Opened.Low > there.Opened.Low+1e-9 {
			t.Fatalf("the advice %v outlasts %v", a.Advised, there.Unopened)
		}
	})
}

// TestNothingIsCalledSafe covers the texts that the verdict does not hold.
func TestNothingIsCalledSafe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, s := drawBottle(t), drawStorage(t)
		rest, _ := Rest(b, math.Inf(1))
		text := fmt.Sprint(texts(Changes(b, s, nil)), Fades(b, 20), rest, Judge(b, s))
		if strings.Contains(strings.ToLower(text), "safe") {
			t.Fatal(text)
		}
	})
}

// TestKeepsAgrees: the ladder and the verdict say the same.
func TestKeepsAgrees(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBottle(t)
		v, k := Judge(b, room), Keeps(b)
		if (v.Verdict == VerdictShelf) != (k == StepShelf) || v.Opened.Open() != (k == StepShelf) {
			t.Fatalf("%v, and the verdict %s, opened %v", k, v.Verdict, v.Opened)
		}
		if v.Verdict == VerdictDiscard && k != StepPathogens {
			t.Fatalf("%v is thrown away", k)
		}
	})
	if k := Keeps(Bottle{ABVPercent: mixture.Exactly(math.NaN())}); k != StepUnknown || k.String() != "not known" {
		t.Errorf("no figure: %v", k)
	}
}

func BenchmarkKeeps(b *testing.B) {
	for range b.N {
		Keeps(juiceCordial)
	}
}

func BenchmarkJudge(b *testing.B) {
	for range b.N {
		Judge(juiceCordial, fridge)
	}
}

func BenchmarkChanges(b *testing.B) {
	for range b.N {
		Changes(juiceCordial, room, nil)
	}
}
