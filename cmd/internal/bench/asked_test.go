package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/cmd/internal/somejar"
	"steepbook/kinetics/jar"
)

func assessed(t testing.TB, src string, now time.Time) *Assessment {
	t.Helper()
	a, err := Assess(somejar.Parse(t, src), somejar.Library(t), Question{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// judged is assessed where nothing is asked of the steep.
func judged(t testing.TB, src string, now time.Time) *Assessment {
	t.Helper()
	a, err := Read(somejar.Parse(t, src), somejar.Library(t), Question{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	a.Judge()
	return a
}

// A view that reads an answer it did not ask for must fail, not print nothing.
func TestAnswersMustBeAskedFor(t *testing.T) {
	a, err := Read(somejar.Parse(t, somejar.Told{Scores: somejar.Done(1)}.Src()), somejar.Library(t), Question{Now: somejar.Later})
	if err != nil {
		t.Fatal(err)
	}
	if a.Steeped != nil || a.Keep != nil || !a.Blend.Have() {
		t.Error("an answer is there before it is asked for")
	}
	a.Judge()
	if a.Steeped != nil || len(a.Hints()) == 0 {
		t.Error("keeping or hints fitted curves")
	}
	if err := a.Steep(); err != nil || len(a.Curves) != 1 {
		t.Error(err)
	}
}

func TestHintForDriedSpice(t *testing.T) {
	for _, c := range []struct {
		botanical, more string
		want            bool
	}{
		{"clove", "", true}, {"clove", "lot = \"tin\"\n", false}, {"clove", "bought = 2026-01-02\n", false},
		{"orange zest", "", false}, {"dried thyme", "", true}, {"oak chips", "", false}, {"my own word", "", false},
	} {
		hints := strings.Join(assessed(t, somejar.Told{Botanical: c.botanical, Cut: "", More: c.more}.Src(), somejar.Later).Hints(), "\n")
		if got := strings.Contains(hints, "neither age nor packet"); got != c.want {
			t.Errorf("%s %q: %v\n%s", c.botanical, c.more, got, hints)
		}
	}
}

func at(s string) time.Time {
	v, err := time.Parse("2006-01-02T15:04", s)
	if err != nil {
		panic(err)
	}
	return v
}

func TestStrained(t *testing.T) {
	now := at("2026-03-20T18:00")
	for _, c := range []struct {
		name, more string
		pulled     float64
		hours      float64
		ok         bool
	}{
		{"nothing out", "", 0, 0, false},
		{"pulled", "", 50, 50, true},
		{"strained as a whole", "[finish]\nat = \"3 d\"\n", 0, 72, true},
		{"strained later than now", "[finish]\nat = \"90 d\"\n", 0, 0, false},
		{"stays in the bottle", "leave_in = true\n[finish]\nat = \"3 d\"\n", 0, 72, true},
		{"stays in, and no word of straining", "leave_in = true\n", 0, 0, false},
	} {
		a := assessed(t, somejar.Told{More: c.more, Pulled: c.pulled}.Src(), now)
		if h, ok := a.Strained(); ok != c.ok || ok && math.Abs(h-c.hours) > 1e-9 {
			t.Errorf("%s: %g, %v", c.name, h, ok)
		}
	}
	blend := assessed(t, "name = \"Blend\"\nstarted = 2026-03-02T18:00:00\n[spirit]\nname = \"vodka\"\nabv = 40\namount = \"500 ml\"\n", now)
	if h, ok := blend.Strained(); !ok || h != 0 {
		t.Errorf("a blend without botanicals: %g, %v", h, ok)
	}
}

// weak is a jar that ends at 13 % vol with sugar: cold, and for days only.
const weak = "[[addition]]\nname = \"orange juice\"\namount = \"1 l\"\n"

const twoSpices = halfLitre + "[[botanical]]\nname = \"allspice\"\ncut = \"coarsely crushed\"\namount = \"30 g\"\ntarget = 5\n" +
	"[[botanical]]\nname = \"cinnamon\"\ncut = \"stick\"\namount = \"5 g\"\ntarget = 3\nin = \"%d h\"\n"

// What is to come out now is not due for a tasting.
func TestNoTastingOfWhatComesOut(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		src := fmt.Sprintf(twoSpices, 0) + "[[watch]]\nname = \"bitter\"\nlimit = 2\n"
		for i := range rapid.IntRange(0, 3).Draw(rt, "tastings") {
			src += fmt.Sprintf("[[tasting]]\nat = \"%d h\"\nscore = { allspice = %d, cinnamon = %d, bitter = %d }\n", 12<<i,
				rapid.IntRange(0, 10).Draw(rt, "allspice"), rapid.IntRange(0, 10).Draw(rt, "cinnamon"), rapid.IntRange(0, 5).Draw(rt, "bitter"))
		}
		a := assessed(t, src, at("2026-11-20T18:00").Add(time.Duration(rapid.IntRange(1, 1500).Draw(rt, "hours"))*time.Hour))
		s := a.NextSitting()
		for i := range a.Curves {
			c := &a.Curves[i]
			if o := c.Order; (o.Do == jar.Pull || o.Do == jar.Strain) && !math.IsInf(o.TasteH, 1) {
				rt.Errorf("%s is to come out now and is due at %g h", c.Name, o.TasteH)
			}
			if s != nil && slices.Contains(s.Flavours, c.Name) != (c.Order.Do == jar.Taste && c.Order.TasteH <= s.AtH+s.DoubtH) {
				rt.Errorf("%s: %+v, and the sitting is %+v", c.Name, c.Order, s)
			}
		}
	})
}
