package due

import (
	"cmp"
	"fmt"
	"testing"
	"time"
)

// TestWhatWaitsHasOneDay: a jar that was strained and waits has one day to be used by in keep, in the book and
// among its dates, whatever of the rest was logged, and no taste of what is not in yet.
func TestWhatWaitsHasOneDay(t *testing.T) {
	seen, days := map[string]int{}, map[bool]string{true: "24", false: "22"}
	for _, plan := range [][]string{{"sugar", "lemon juice", "cream"}, {"cream", "orange juice"}, {"honey", "water"},
		{"lime juice", "sugar"}, {"orange juice", "milk"}} {
		for of := range 1 << len(plan) {
			for _, late := range []bool{false, true} {
				src, log := "", ""
				for i, name := range plan {
					src += fmt.Sprintf("[[addition]]\nname = %q\namount = \"150 ml\"\n", name)
					if of&(1<<i) != 0 {
						log += fmt.Sprintf("[[added]]\nname = %q\namount = \"150 ml\"\nat = 2026-11-%sT1%d:00:00\n",
							name, days[late], i+1)
					}
				}
				src = "name = \"J\"\nstarted = 2026-11-15T18:00:00\n[spirit]\nname = \"vodka 40 %\"\namount = \"400 ml\"\n" +
					"[[botanical]]\nname = \"vanilla bean\"\namount = \"1\"\ntarget = 5\n" + src +
					"[[strained]]\nat = 2026-11-22T10:00:00\n" + log
				g := look(t, src, at("2026-11-24T17:00"), nil)
				k := g.Assessment.Keep
				if k.Withheld() || g.Stage != Strained {
					continue
				}
				best, safe := k.Expected()
				dates, err := g.Dates()
				if err != nil {
					t.Fatal(err)
				}
				var use, taste time.Time
				for _, d := range dates {
					switch d.Kind {
					case Use:
						use = d.At
					case AtBest:
						taste = d.At
					}
				}
				if !use.Equal(safe) || !taste.Equal(best) {
					t.Errorf("%v, %b logged: the dates have %v and %v, keep %v and %v", plan, of, taste, use, best, safe)
				}
				until := cmp.Or(best, safe)
				by := g.Flavour || g.Due.By && !g.Due.At.IsZero() && !g.Due.At.After(until)
				if !by && !g.Due.Overdue && g.Due.Kind != Stand && !g.Due.Alone && !until.IsZero() {
					t.Errorf("%v, %b logged: the book has %v of %v, keep %v", plan, of, g.Due, g.Until, until)
				}
				switch {
				case k.SinceAt.IsZero():
					seen["no days yet"]++
				case k.IfMixedSafe.IsZero() && (!use.Equal(k.Safe.Until) || !g.Until.Equal(k.Advised.Until)):
					t.Errorf("%v, %b logged: the dates have %v, keep %v", plan, of, use, k.Safe.Until)
				case k.IfMixedSafe.IsZero():
					seen["by the log"]++
				default:
					seen["in doubt"]++
				}
			}
		}
	}
	if seen["by the log"] < 5 || seen["in doubt"] < 3 || seen["no days yet"] < 5 {
		t.Errorf("seen: %v", seen)
	}
}
