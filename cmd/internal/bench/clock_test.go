package bench

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/cmd/internal/keeping"
)

// someMix is a random jar to its plan, and in the order of time what is logged of it, each with its hour: what is
// pulled, and what goes in before that and after, of which some may never be logged.
type someMix struct {
	jar   string
	hours []int
	lines []string
}

// by is the file as it was when so many things were logged.
func (m *someMix) by(logged int) string {
	text := m.jar
	for _, line := range m.lines[:logged] {
		text += line
	}
	return text
}

func newMix(rt *rapid.T) *someMix {
	of := func(name string, list ...string) string { return rapid.SampledFrom(list).Draw(rt, name) }
	n := func(name string, lo, hi int) int { return rapid.IntRange(lo, hi).Draw(rt, name) }
	m := &someMix{}
	m.jar = fmt.Sprintf("room = \"%d C\"\n[[spirit]]\nname = \"rum\"\nabv = %d\namount = \"500 ml\"\n", n("room", 4, 25), n("abv", 8, 60))
	type logged struct {
		at   int
		line string
	}
	var log []logged
	for i, food := range []string{of("food", "vanilla", "clove", "orange peel"), of("herb", "cinnamon", "fresh mint", "ginger")} {
		if i > 0 && n("two", 0, 1) == 0 {
			continue
		}
		keys := []string{`amount = "5 g"`}
		if n(food+" stays", 0, 2) > 0 {
			keys = append(keys, "leave_in = true")
		}
		m.jar += entry("botanical", food, keys...)
		if n(food+" out", 0, 3) > 0 {
			at := n(food+" h", 1, 400)
			log = append(log, logged{at, entry("pulled", food, fmt.Sprintf(`at = "%d h"`, at))})
		}
	}
	for _, name := range []string{"milk", "apple juice", "egg yolk", "sugar", "water", "vodka 60 %"} {
		if n(name, 0, 2) == 0 {
			continue
		}
		amount := fmt.Sprintf("amount = \"%d g\"", n(name+" g", 20, 700))
		m.jar += entry("addition", name, amount)
		if n(name+" in", 0, 3) > 0 {
			at := n(name+" h", 1, 500)
			log = append(log, logged{at, entry("added", name, amount, fmt.Sprintf(`at = "%d h"`, at))})
		}
	}
	slices.SortStableFunc(log, func(x, y logged) int { return x.at - y.at })
	for i := range log {
		m.hours, m.lines = append(m.hours, log[i].at), append(m.lines, log[i].line)
	}
	return m
}

// over reports whether it is not to be drunk any more.
func over(k *keeping.Keep) bool { return k.SafePast || k.Withheld() || k.Stop != "" }

// TestTheLastDayStands: while nothing is logged the last good day of what is strained or mixed stays where it was,
// and what is past stays so; what goes in or is pulled makes nothing good that is past, and no last day is before the
// last of it went in while it was good.
func TestTheLastDayStands(t *testing.T) {
	dated := 0
	rapid.Check(t, func(rt *rapid.T) {
		m := newMix(rt)
		for i, h := range m.hours {
			if i+1 < len(m.hours) && m.hours[i+1] == h {
				continue // of one hour the log is one
			}
			src := m.by(i + 1)
			was := after(t, float64(h)-0.01, m.by(slices.Index(m.hours, h)))
			before, told := was.Keep, !was.addsLater()
			if out, strained := was.Strained(); strained { // of those who log nothing nobody knows what is in
				told = told || !was.firstAdded(out).IsZero()
			}
			first := after(t, float64(h)+0.01, src)
			is, in := first.Keep, first.Batch.At(float64(h))
			goesIn := strings.HasPrefix(m.lines[i], "[[added]]")
			if told && over(before) && !over(is) {
				rt.Fatalf("past before %d h (%v), and good after that, to %v\n%s", h, before.Safe.Until, is.Safe.Until, src)
			}
			until := is.Safe.Until
			if goesIn && told && !over(before) && before.IfMixedSafe.IsZero() && is.IfMixedSafe.IsZero() && !until.IsZero() && until.Before(in.Add(-time.Minute)) {
				rt.Fatalf("good to %v, and still good when something went in, at %v (%s, %s)\n%s", until, in, is.Since, is.InJar, src)
			}
			next := h + 1000
			if i+1 < len(m.hours) {
				next = m.hours[i+1]
			}
			for _, later := range []int{h + 12, h + 80, h + 300} {
				if later >= next || is.SinceAt.IsZero() || is.OverIfMixed {
					break
				}
				dated++
				k := after(t, float64(later), src).Keep
				if over(is) && !over(k) || !k.Safe.Until.Equal(until) && !k.Withheld() && !is.Withheld() {
					rt.Fatalf("after %d h good to %v (%s, %s), after %d to %v (%s, %s)\n%s", h, until, is.Since, is.InJar, later,
						k.Safe.Until, k.Since, k.InJar, src)
				}
			}
		}
	})
	if dated == 0 {
		t.Error("nothing had a day")
	}
}

// TestAPullCuresNothing: what a drink was while something lay in it, it is judged as it was then, so that what was
// past stays so when that is pulled.
func TestAPullCuresNothing(t *testing.T) {
	jar := "room = \"4 C\"\n[[spirit]]\nname = \"rum\"\nabv = 16\namount = \"500 ml\"\n" +
		entry("botanical", "vanilla", `amount = "5 g"`, "leave_in = true")
	sugar, milk := "sugar", "milk"
	jar += entry("addition", milk, `amount = "20 g"`) + entry("addition", sugar, `amount = "614 g"`) +
		entry("addition", "water", `amount = "22 g"`) +
		entry("added", sugar, `amount = "614 g"`, `at = "3 h"`) + entry("added", milk, `amount = "20 g"`, `at = "30 h"`)
	for _, h := range []float64{31, 86, 200} {
		was := after(t, h-0.1, jar).Keep
		is := after(t, h+0.1, jar+entry("pulled", "vanilla", fmt.Sprintf(`at = "%g h"`, h))).Keep
		if !over(was) || !over(is) || !is.Safe.Until.Equal(was.Safe.Until) {
			t.Errorf("good to %v (past %v), and once the vanilla is pulled at %g h to %v (past %v)",
				was.Safe.Until, over(was), h, is.Safe.Until, over(is))
		}
	}
}

// TestWhatStaysInHasTheSameClock: what is mixed is as old whether what lies in it is pulled before that, after, or
// never.
func TestWhatStaysInHasTheSameClock(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		of := func(name string, list ...string) string { return rapid.SampledFrom(list).Draw(rt, name) }
		n := func(name string, lo, hi int) int { return rapid.IntRange(lo, hi).Draw(rt, name) }
		spirit := fmt.Sprintf("room = \"%d C\"\n[[spirit]]\nname = \"rum\"\nabv = %d\namount = \"250 ml\"\n", n("room", 4, 25), n("abv", 26, 60)) // a jar without days of its own
		mixed := n("mixed", 2, 300)
		for i, name := range []string{of("first", "milk", "cream", "apple juice"), "water", "sugar"} {
			amount := fmt.Sprintf(`amount = "%d g"`, n(name+" g", 50, 900))
			if n(name, 0, i) == 0 {
				spirit += entry("addition", name, amount) + entry("added", name, amount, fmt.Sprintf(`at = "%d h"`, mixed))
			}
		}
		pulled := func(h int) string { return entry("pulled", "vanilla", fmt.Sprintf(`at = "%d h"`, h)) }
		stays := entry("botanical", "vanilla", `cut = "split"`, `amount = "2 g"`, "leave_in = true")
		now := float64(mixed + n("later", 2, 600))
		want := after(t, now, spirit+stays+pulled(mixed-1))
		for _, src := range []string{spirit + stays, spirit + stays + pulled(mixed+1), spirit + stays + fmt.Sprintf("[[strained]]\nat = \"%d h\"\n", mixed+1)} {
			got := after(t, now, src)
			k, w := got.Keep, want.Keep
			if k.Verdict.Rule != w.Verdict.Rule { // what was pulled took a little of the spirit along
				continue
			}
			most := 24*time.Hour + w.Safe.Until.Sub(want.Batch.At(float64(mixed)))/4
			if k.Since != w.Since || k.Since == "" ||
				k.Safe.Until.IsZero() != w.Safe.Until.IsZero() ||
				!k.Safe.Until.IsZero() && k.Safe.Until.Sub(w.Safe.Until).Abs() > most {
				rt.Fatalf("good to %v (past %v, %q), and pulled before it was mixed to %v (past %v, %q)\n%s", k.Safe.Until,
					k.SafePast, k.Since, w.Safe.Until, w.SafePast, w.Since, src)
			}
		}
	})
}
