package bench

import (
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/cmd/internal/keeping"
)

// stopped reports whether it is over, or would be if the rest were in; told is to when it is told to be good before
// that, zero where nothing ends it.
func stopped(k *keeping.Keep) bool { return over(k) || k.OverIfMixed }

func told(k *keeping.Keep) time.Time {
	if k.Safe.Until.IsZero() {
		return k.IfMixedSafe
	}
	return k.Safe.Until
}

// TestNothingLoggedIsNotEverythingIn: what was strained and waits for the rest is never judged longer while nothing
// of that is logged than if the strongest of it had gone in at once by the log, whether it was strained or pulled.
func TestNothingLoggedIsNotEverythingIn(t *testing.T) {
	dated := 0
	rapid.Check(t, func(rt *rapid.T) {
		of := func(name string, list ...string) string { return rapid.SampledFrom(list).Draw(rt, name) }
		n := func(name string, lo, hi int) int { return rapid.IntRange(lo, hi).Draw(rt, name) }
		base := fmt.Sprintf("[[spirit]]\nname = %q\namount = \"500 ml\"\n", of("base", "water", "orange juice", "red wine"))
		if abv := n("abv", -10, 60); abv > 0 {
			base = fmt.Sprintf("[[spirit]]\nname = \"rum\"\nabv = %d\namount = \"500 ml\"\n", abv)
		}
		food, out := of("food", "fresh mint", "orange peel", "cinnamon"), n("out", 1, 48)
		src := fmt.Sprintf("room = \"%d C\"\n", n("room", 4, 25)) + base + entry("botanical", food, `amount = "10 g"`)
		vodka := fmt.Sprintf("amount = \"%d ml\"", n("vodka ml", 50, 900))
		src += entry("addition", "vodka 60 %", vodka)
		for _, name := range []string{"sugar", "citric acid", "lemon juice", "milk", "water"} {
			if n(name, 0, 1) > 0 {
				src += entry("addition", name, fmt.Sprintf("amount = \"%d g\"", n(name+" g", 5, 400)))
			}
		}
		if n("pulled", 0, 1) > 0 {
			src += entry("pulled", food, fmt.Sprintf(`at = "%d h"`, out))
		} else {
			src += fmt.Sprintf("[[strained]]\nat = \"%d h\"\n", out)
		}
		in := entry("added", "vodka 60 %", vodka, fmt.Sprintf(`at = "%d h"`, out))
		for _, later := range []float64{0.5, 20, 60, 400, 3000} {
			none, one := after(t, float64(out)+later, src), after(t, float64(out)+later, src+in)
			if stopped(one.Keep) && !stopped(none.Keep) {
				rt.Fatalf("after %g h over with the vodka in, and not while nothing is logged\n%s", later, src)
			}
			to, most := told(none.Keep), told(one.Keep)
			if stopped(none.Keep) || most.IsZero() {
				continue
			}
			if dated++; to.IsZero() || to.After(most) {
				rt.Fatalf("after %g h good until %v while nothing is logged, and with the vodka in until %v\n%s", later, to, most, src)
			}
		}
	})
	if dated == 0 {
		t.Error("nothing had a day")
	}
}

// TestWhatWaitsUnlogged: of a jar that holds nothing back, with nothing of the rest logged, the day by which that is to
// go in is the one it has with one thing in, and past it the rest counts as in once that is logged in time, or it
// is bottled; strong liquor has no such day.
func TestWhatWaitsUnlogged(t *testing.T) {
	jar := func(base string) string {
		return "room = \"4 C\"\n" + base + entry("botanical", "fresh mint", `amount = "30 g"`) +
			entry("addition", "vodka 40 %", `amount = "1.2 l"`) + entry("addition", "sugar", `amount = "500 g"`) +
			"[[strained]]\nat = \"23 h\"\n"
	}
	water := jar("[[spirit]]\nname = \"water\"\namount = \"900 ml\"\n")
	sugar := entry("added", "sugar", `amount = "500 g"`, `at = "23 h"`)
	none, one := after(t, 24, water), after(t, 24, water+sugar)
	if !none.Waits() || none.Keep.Safe.Until.IsZero() || !none.Keep.Safe.Until.Equal(one.Keep.Safe.Until) {
		t.Errorf("waits %v, good until %v; with the sugar in until %v", none.Waits(), none.Keep.Safe.Until, one.Keep.Safe.Until)
	}
	if k := after(t, 500, water).Keep; !k.SafePast || !k.Lacked() {
		t.Errorf("after three weeks over: %v, for the rest that lacks: %v", k.SafePast, k.Lacked())
	}
	vodka := func(hour string) string { return entry("added", "vodka 40 %", `amount = "1.2 l"`, `at = "`+hour+`"`) }
	if k := after(t, 500, water+vodka("24 h")).Keep; k.SafePast {
		t.Error("over though the vodka went in in time")
	}
	if k := after(t, 500, water+vodka("499 h")).Keep; !k.SafePast || k.Lacked() {
		t.Error("the vodka that went in too late undid what grew, or the sugar would")
	}
	if k := after(t, 25, water+"[[bottled]]\nat = \"24 h\"\n").Keep; k.SafePast || k.Safe.Until.Before(none.Keep.Safe.Until) {
		t.Errorf("bottled in time it is good until %v", k.Safe.Until)
	}
	rum := after(t, 24, jar("[[spirit]]\nname = \"rum\"\nabv = 60\namount = \"900 ml\"\n"))
	if rum.Waits() || !rum.Keep.Safe.Until.IsZero() {
		t.Errorf("strong liquor waits to a day: %v", rum.Keep.Safe.Until)
	}
}
