package work_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/work"
	"steepbook/data/library"
	"steepbook/kinetics/jar"
)

func assessed(t *testing.T, src, now string) *bench.Assessment {
	t.Helper()
	at, err := time.Parse("2006-01-02T15:04", now)
	if err != nil {
		t.Fatal(err)
	}
	a, err := bench.Read(somejar.Parse(t, src), library.Builtin(), bench.Question{Now: at})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func stepsOf(t *testing.T, a *bench.Assessment) []work.Step {
	t.Helper()
	steps, err := work.Of(a)
	if err != nil {
		t.Fatal(err)
	}
	return steps
}

// short is a step in a word or two, a tick before it where it is done.
func short(s *work.Step) string {
	text := string(s.Kind)
	if s.How != "" {
		text += " (" + s.How + ")"
	}
	if len(s.Of) > 0 {
		text += ": " + work.Said(s.Of)
	}
	if s.Done {
		text = "x " + text
	}
	return text
}

const cordial = `
name = "Cordial"
started = 2026-11-20T18:00:00
room = "20 C"
[spirit]
name = "grape brandy"
abv = 57
amount = "700 ml"
[[botanical]]
name = "blood orange zest"
cut = "fine zest"
amount = "24 g"
target = 6
[[botanical]]
name = "green cardamom"
cut = "crushed"
amount = "9 g"
target = 3
[[botanical]]
name = "cacao nibs"
cut = "toasted"
amount = "20 g"
target = 3
in = "6 h"
[[addition]]
name = "demerara sugar"
amount = "320 g"
[[addition]]
name = "water"
amount = "220 ml"
[[addition]]
name = "blood orange juice"
amount = "150 ml"
[finish]
press = true
bottle = "250 ml"
store = "fridge"
`

// outOfTheJar is what the log says of it once it is strained.
const outOfTheJar = `
x put in: blood orange zest, green cardamom and grape brandy
x put in: 20 g cacao nibs
x strain
`

// orderCase is a batch at a moment, and its steps.
type orderCase struct{ name, src, now, want string }

var orderOfWorkCases = []orderCase{
	{"at the start", cordial, "2026-11-20T18:00", `
clean
prepare (crush): 9 g green cardamom
zest (grate): 24 g blood orange zest
bag: 24 g blood orange zest
weigh: 24 g blood orange zest, 9 g green cardamom and 700 ml grape brandy
put in: blood orange zest, green cardamom and grape brandy
taste: green cardamom
toast: 20 g cacao nibs
put in: 20 g cacao nibs
pull: green cardamom
strain: blood orange zest
pull: cacao nibs
strain
press
settle
syrup: 320 g demerara sugar and 220 ml water
sweeten (syrup): 320 g demerara sugar and 220 ml water
juice: 150 ml blood orange juice
sour: 150 ml blood orange juice
bottle
label
keep
taste again`},
	{"a plant that must not be steeped", `
name = "Never"
started = 2026-11-20T18:00:00
[spirit]
name = "vodka"
abv = 40
amount = "500 ml"
[[botanical]]
name = "foxglove"
amount = "2 g"
`, "2026-11-20T18:00", "\nstop"},
	{"a blend", `
name = "Blend"
started = 2026-11-20T18:00:00
[spirit]
name = "rum"
abv = 40
amount = "500 ml"
[[addition]]
name = "lime juice"
amount = "100 ml"
[[addition]]
name = "white sugar"
amount = "100 g"
`, "2026-11-20T17:00", `
clean
weigh: 500 ml rum
put in: rum
sweeten: 100 g white sugar
juice: 100 ml lime juice
sour: 100 ml lime juice
bottle
label
keep
taste again`},
	{"bottled", cordial + `
strained = "5 d"
bottled = "6 d"
`, "2026-11-30T18:00", outOfTheJar + `x bottle
keep
taste again`},
	{"half mixed", cordial + `
strained = "5 d"
[[added]]
name = "blood orange juice"
amount = "150 ml"
at = "5 d 1 h"
`, "2026-11-25T20:00", outOfTheJar + `x sour: 150 ml blood orange juice
syrup: 320 g demerara sugar and 220 ml water
sweeten (syrup): 320 g demerara sugar and 220 ml water
bottle
label
keep
taste again`},
	{"a part of the juice is in", `
name = "Sour"
started = 2026-11-20T18:00:00
[spirit]
name = "rum"
abv = 40
amount = "500 ml"
[[addition]]
name = "lime juice"
amount = "100 ml"
[[added]]
name = "lime juice"
amount = "60 ml"
at = "1 h"
`, "2026-11-20T20:00", `
x put in: rum
x sour: 60 ml lime juice
juice: 40 ml lime juice
sour: 40 ml lime juice
bottle
label
keep
taste again`},
	{"drunk", "name = \"Gone\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nname = \"rum\"\nabv = 40\namount = \"500 ml\"\n" +
		"[[bottled]]\nbottles = 2\nof = \"250 ml\"\nat = \"1 d\"\n[[emptied]]\nat = \"9 d\"\n",
		"2026-12-20T20:00", `
x put in: rum
x bottle`},
}

// The orders of work are those that a kitchen teaches: common practice, no source.
func TestOrderOfWork(t *testing.T) {
	for _, c := range slices.Concat(orderOfWorkCases, fatEggMilkCases) {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, s := range stepsOf(t, assessed(t, c.src, c.now)) {
				got = append(got, short(&s))
			}
			if g := "\n" + strings.Join(got, "\n"); g != c.want {
				t.Errorf("got%s\nwanted%s", g, c.want)
			}
		})
	}
}

// TestSaid: what names itself in its amount is named once.
func TestSaid(t *testing.T) {
	for want, of := range map[string]work.Thing{
		"1/4 nutmeg": {Name: "nutmeg", Amount: "1/4 nutmeg"}, "3 walnuts": {Name: "walnut", Amount: "3 walnuts"},
		"2 tonka beans": {Name: "tonka bean", Amount: "2 tonka beans"}, "24 g zest": {Name: "zest", Amount: "24 g"},
		"2 sticks cinnamon": {Name: "cinnamon", Amount: "2 sticks"}, "lime zest (zest of 3)": {Name: "lime zest", Amount: "zest of 3"},
	} {
		if got := work.Said([]work.Thing{of}); got != want {
			t.Errorf("%+v: %q, want %q", of, got, want)
		}
	}
}

// TestOrderOfRandomJars holds of any jar that no step stands there twice, that hours do
// not run backwards, and that no step says of a flavour what its order does not.
func TestOrderOfRandomJars(t *testing.T) {
	lib := library.Builtin()
	for number := range somejar.Many(30) {
		j := somejar.New(number)
		a, err := bench.Read(somejar.Parse(t, j.String()), lib, bench.Question{Now: somejar.Time(j.Now)})
		if err != nil {
			t.Fatal(err)
		}
		steps := stepsOf(t, a)
		seen := map[string]bool{}
		var last time.Time
		open := false
		for i := range steps {
			s := &steps[i]
			key := fmt.Sprint(s.Kind, s.How, s.Names())
			if seen[key] {
				t.Errorf("jar %d: %s stands there twice", number, short(s))
			}
			seen[key] = true
			if s.Done && open {
				t.Errorf("jar %d: %s is done, and what is open stands before it", number, short(s))
			}
			if open = !s.Done; s.Done || s.At.IsZero() {
				continue
			}
			if s.At.Before(last) {
				t.Errorf("jar %d: %s at %s stands behind %s\n%s", number, short(s), s.At, last, j)
			}
			last = s.At
		}
		holdsOrders(t, number, a, steps)
		holdsMoments(t, number, a, steps)
	}
}

// holdsOrders compares what a step says of each flavour with its order.
func holdsOrders(t *testing.T, number uint64, a *bench.Assessment, steps []work.Step) {
	t.Helper()
	if steps[0].Kind == work.Stop {
		return
	}
	for i := range a.Curves {
		c := &a.Curves[i]
		if c.Watch {
			continue
		}
		var out []*work.Step
		for k := range steps {
			s := &steps[k]
			if (s.Kind == work.Pull || s.Kind == work.Lift || s.Kind == work.Strain) && slices.Contains(s.Names(), c.Name) {
				out = append(out, s)
			}
		}
		want := 1
		if c.Order.Do == jar.Stays || c.Order.Do == jar.Nothing {
			want = 0
		}
		if len(out) != want {
			t.Fatalf("jar %d: %d steps take the %s out, whose order is %s", number, len(out), c.Name, c.Order.Do)
		}
		if want == 0 {
			continue
		}
		at := out[0].At
		switch o := &c.Order; o.Do {
		case jar.Pull, jar.Strain:
			if !at.Equal(a.Now) || out[0].Done {
				t.Errorf("jar %d: the %s comes out now, and the step says %s", number, c.Name, at)
			}
		case jar.Leave:
			if !at.Equal(a.Batch.At(o.ByH)) || out[0].Done {
				t.Errorf("jar %d: the %s is left for %g h, and the step says %s", number, c.Name, o.ByH, at)
			}
		case jar.Taste:
			if out[0].After != work.Taste || out[0].Done {
				t.Errorf("jar %d: a tasting decides on the %s, and the step waits for %q", number, c.Name, out[0].After)
			}
		case jar.Out:
			if !out[0].Done {
				t.Errorf("jar %d: the %s is out, and the step is open", number, c.Name)
			}
		}
	}
}

// holdsMoments: the jar is strained with the last that is pulled, at its moment and by what
// decides that, and nothing that a tasting decides comes out at night where its stretch has an
// hour at which somebody is up.
func holdsMoments(t *testing.T, number uint64, a *bench.Assessment, steps []work.Step) {
	t.Helper()
	for i := range steps {
		s := &steps[i]
		if s.Done {
			continue
		}
		if s.Kind == work.Strain && len(s.Of) == 0 {
			before := &steps[i-1]
			if before.Kind == work.Pull && !before.Done &&
				(!s.At.Equal(before.At) || s.DoubtH != before.DoubtH || s.After != before.After) {
				t.Errorf("jar %d: pulled at %v, strained at %v", number, before, s)
			}
			continue
		}
		if s.After != work.Taste || s.At.IsZero() {
			continue
		}
		last, next := a.House().Up(s.At)
		for _, name := range s.Names() {
			o := &a.Curve(name).Order
			if !last.Equal(next) && a.Batch.Hours(next) < o.UntilH {
				t.Errorf("jar %d: the %s comes out at %v, in the night, and is as good at %v", number, name, s.At, next)
			}
		}
	}
}

// TestWhatIsDone holds single steps to what a kitchen teaches: common practice, no source.
func TestWhatIsDone(t *testing.T) {
	jarOf := func(rest string) string {
		return "name = \"Jar\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nname = \"vodka\"\nabv = 40\namount = \"500 ml\"\n" + rest
	}
	one := func(name, cut string) string {
		return fmt.Sprintf("[[botanical]]\nname = %q\ncut = %q\namount = \"10 g\"\n", name, cut)
	}
	for _, c := range []struct{ name, src, has, not string }{
		{"toasted nuts are toasted", jarOf(one("hazelnut", "toasted, chopped")),
			"toast: 10 g hazelnut|prepare (chop): 10 g hazelnut", ""},
		{"wood is bought toasted", jarOf(one("oak", "toasted chips")), "", "toast"},
		{"coffee is bought roasted", jarOf(one("coffee", "roasted, crushed")),
			"prepare (crush): 10 g coffee", "toast"},
		{"the cut may stand in the name", jarOf(one("toasted coriander seed", "")),
			"toast: 10 g toasted coriander seed", ""},
		{"dried peel has no fruit", jarOf(one("dried orange peel", "")), "", "zest"},
		{"strips are pared", jarOf(one("lemon peel", "strips")), "zest (pare): 10 g lemon peel", "bag"},
		{"what is fine alone needs no bag", jarOf(one("lemon zest", "fine zest")), "zest (grate)", "bag"},
		{"a bag that is written", jarOf(one("lemon zest", "fine zest") + "bag = true\n"),
			"bag: 10 g lemon zest|pull: lemon zest", ""},
		{"what stays in is not strained", jarOf(one("vanilla", "split") + "leave_in = true\n"),
			"prepare (split): 10 g vanilla|bottle", "strain|drip|pull"},
		{"not squeezed", jarOf(one("clove", "whole") + "[finish]\npress = false\nfiltered = true\n"),
			"drip|filter", "press|settle"},
		{"heated and filled hot", jarOf(one("clove", "whole") + "[finish]\nheated = true\nboiled = true\n"),
			"heat|boil", ""},
		{"a syrup that is boiled", jarOf("[[addition]]\nname = \"simple syrup\"\namount = \"100 ml\"\nheated = true\n"),
			"syrup (boil): 100 ml simple syrup|sweeten: 100 ml simple syrup", "juice"},
		{"no spirit", "name = \"Cordial\"\nstarted = 2026-11-20T18:00:00\n[[addition]]\nname = \"lemon juice\"\namount = \"100 ml\"\n[[addition]]\nname = \"white sugar\"\namount = \"80 g\"\n[[addition]]\nname = \"water\"\namount = \"1 cup\"\n", "syrup: 80 g white sugar and 1 cup water|juice: 100 ml lemon juice", "weigh|dilute|put in"},
		{"two zests, one juiced", jarOf(one("lemon zest", "strips") + one("orange zest", "strips") + "[[addition]]\nname = \"lemon juice\"\namount = \"30 ml\"\n"),
			"zest (pare): 10 g lemon zest and 10 g orange zest|juice: 30 ml lemon juice", ""},
		{"juice that steeps from the start", jarOf(one("clove", "whole") + "[[addition]]\nname = \"lemon juice\"\namount = \"30 ml\"\nin = \"0 h\"\n"),
			"weigh: 10 g clove, 30 ml lemon juice and 500 ml vodka", "sour"},
		{"the zest of so many", jarOf("[[botanical]]\nname = \"grapefruit zest\"\namount = \"zest of 2\"\n"),
			"zest (grate): grapefruit zest (zest of 2)", ""},
		{"no amount", jarOf("[[botanical]]\nname = \"clove\"\n"), "weigh: clove and 500 ml vodka", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := ""
			for _, s := range stepsOf(t, assessed(t, c.src, "2026-11-20T18:00")) {
				got += short(&s) + "\n"
			}
			has := func(text string) bool { return strings.Contains("\n"+got, "\n"+text) }
			for _, text := range strings.Split(c.has, "|") {
				if !has(text) {
					t.Errorf("there is no %q in\n%s", text, got)
				}
			}
			for _, text := range strings.Split(c.not, "|") {
				if text != "" && has(text) {
					t.Errorf("there is %q in\n%s", text, got)
				}
			}
		})
	}
}

// TestTastedAgainWhenRested: a bottle is tasted again on the day that it has rested, as the calendar has it;
// what is best young, or over sooner, has no day for that.
func TestTastedAgainWhenRested(t *testing.T) {
	const shrub = "name = \"S\"\nstarted = 2026-12-01T18:00:00\nroom = \"22 C\"\n[spirit]\nname = \"apple cider vinegar\"\namount = \"350 ml\"\n" +
		"[[botanical]]\nname = \"cranberry\"\namount = \"230 g\"\n[[addition]]\nname = \"sugar\"\namount = \"200 g\"\n" +
		"[finish]\nstrained = \"5 d\"\nbottled = \"5 d\"\n"
	rests := 0
	const spiced = "name = \"Spiced\"\nstarted = 2026-12-01T18:00:00\n[spirit]\nname = \"vodka\"\nabv = 40\namount = \"700 ml\"\n" +
		"[[botanical]]\nname = \"clove\"\namount = \"3 g\"\n[finish]\nstrained = \"5 d\"\nbottled = \"5 d\"\n"
	for _, src := range []string{shrub, spiced} {
		a := assessed(t, src, "2026-12-07T12:00")
		steps := stepsOf(t, a)
		at, _ := a.Rested()
		for i := range steps {
			if s := &steps[i]; s.Kind == work.TasteAgain && !s.At.Equal(at) {
				t.Errorf("%s: tasted again on %v, rested on %v", a.Batch.Name, s.At, at)
			}
		}
		if !at.IsZero() {
			rests++
		}
	}
	if rests == 0 {
		t.Error("none of them rests")
	}
}

// TestStepsThatWait: what waits for nothing any more is ready.
func TestStepsThatWait(t *testing.T) {
	ready := func(src, now string) (kinds []work.Kind) {
		steps := stepsOf(t, assessed(t, src, now))
		for i := range steps {
			if s := &steps[i]; s.At.IsZero() && work.Ready(steps, s) {
				kinds = append(kinds, s.Kind)
			}
		}
		return kinds
	}
	got := ready(cordial, "2026-11-20T18:00")
	if slices.Contains(got, work.Press) || !slices.Contains(got, work.Clean) {
		t.Errorf("at the start these are ready: %v", got)
	}
	got = ready(cordial+"strained = \"2 d\"\n", "2026-11-22T19:00")
	if !slices.Contains(got, work.Press) || slices.Contains(got, work.Keep) {
		t.Errorf("once strained these are ready: %v", got)
	}
}
