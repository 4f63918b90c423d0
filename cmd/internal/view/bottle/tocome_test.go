package bottle

import (
	"strings"
	"testing"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/library"
)

// TestLoggedAdditionsAreThePlan: who logs all that was planned has the blend that was
// planned, in one go or in two.
func TestLoggedAdditionsAreThePlan(t *testing.T) {
	const plan = "name = \"x\"\nstarted = 2026-06-01T12:00:00\n[spirit]\nname = \"vodka 50 %\"\namount = \"700 ml\"\n" +
		"[[botanical]]\nname = \"orange zest\"\namount = \"20 g\"\n" +
		"[[addition]]\nname = \"white sugar\"\namount = \"300 g\"\n[[addition]]\nname = \"water\"\namount = \"1 cup\"\n" +
		"[[strained]]\nat = \"5 d\"\n"
	read := func(more string) *bench.Assessment {
		a, err := bench.Read(somejar.Parse(t, plan+more), library.Builtin(), bench.Question{Now: somejar.Started.AddDate(0, 0, 20)})
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	sugar := func(amount string) string {
		return "[[added]]\nname = \"White sugar\"\namount = \"" + amount + "\"\nat = \"6 d\"\n"
	}
	bottled := "[[bottled]]\nat = \"7 d\"\n"
	planned := read("").Blend.Result
	for more, want := range map[string]float64{
		sugar("300 g"): 1, sugar("100 g"): 1, sugar("0.1 kg") + sugar("200 g"): 1, sugar("300 g") + bottled: 1, bottled: 1,
		sugar("450 g"): 1.5, sugar("150 g") + bottled: 0.5, sugar("150 g") + sugar("450 g"): 2,
	} {
		a := read(more)
		got := a.Blend.Result.Parts.SugarG() / planned.Parts.SugarG()
		if diff := got - want; diff > 0.01 || diff < -0.01 {
			t.Errorf("%q: %.3f of the sugar planned, want %.3f", more, got, want)
		}
		if more == sugar("100 g") {
			if so := a.Recipe.BlendSoFar(a.Batch); so == nil || so.Result.Parts.SugarG() > 0.36*planned.Parts.SugarG() || len(a.Recipe.ToCome) != 2 ||
				a.Recipe.ToCome[0].Entry.Amount.Text != "200 g" {
				t.Errorf("to come %+v", a.Recipe.ToCome)
			}
		}
	}
	// What is left is an amount that can be measured, however it is asked for.
	for in, want := range map[string]string{"290.1942775 g": "9.8 g", "1 cup": "94 g", "273 g": "27 g"} {
		got := read(sugar(in)).Recipe.ToCome[0].Entry.Amount
		if got.Text != want || got.String() != want {
			t.Errorf("after %s: %q, as said %q, want %q", in, got.Text, got.String(), want)
		}
	}
	if a := read(bottled); a.Recipe.BlendSoFar(a.Batch) != nil || len(a.Recipe.ToCome) > 0 {
		t.Error("something is to come of what is bottled")
	}
	// What is counted is met by what was measured, within the range that the library gives it.
	for juice, toCome := range map[string]int{"180 ml": 2, "90 ml": 3} {
		lemons := "[[addition]]\nname = \"lemon juice\"\namount = \"juice of 4 lemons\"\n"
		a := read(lemons + "[[added]]\nname = \"lemon juice\"\namount = \"" + juice + "\"\nat = \"6 d\"\n")
		if len(a.Recipe.ToCome) != toCome {
			t.Errorf("with %s of juice in, to come %+v", juice, a.Recipe.ToCome)
		}
	}
	// Into the jar before it is strained: it steeps with the rest.
	early := strings.Replace(sugar("300 g"), "6 d", "1 d", 1)
	if a := read(early); len(a.Recipe.Additions) != 2 || a.Recipe.Additions[0].Entry.In == nil {
		t.Errorf("%+v", a.Recipe.Additions)
	}
}
