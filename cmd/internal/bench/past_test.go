package bench

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"
)

// TestThePastIsJudgedAsThePresentWas: what a drink was just before something went into it is judged, once that
// is in, as it was judged then: one verdict, in one place, for as many days; so what goes in condemns nothing that
// was sound, and makes nothing sound that was not.
func TestThePastIsJudgedAsThePresentWas(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		of := func(name string, list ...string) string { return rapid.SampledFrom(list).Draw(rt, name) }
		n := func(name string, lo, hi int) int { return rapid.IntRange(lo, hi).Draw(rt, name) }
		jar := fmt.Sprintf("room = \"%d C\"\n[[spirit]]\nname = \"rum\"\nabv = %d\namount = \"500 ml\"\n", n("room", 4, 25), n("abv", 8, 63))
		for _, food := range []string{of("food", "ginger", "fresh mint", "orange zest", "raspberries"), of("nut", "almonds", "clove")} {
			jar += entry("botanical", food, fmt.Sprintf("amount = \"%d g\"", n(food, 1, 80)))
		}
		out := n("strained", 2, 60)
		strained := fmt.Sprintf("[[strained]]\nat = \"%d h\"\n", out)
		if n("read", 0, 1) == 1 {
			strained += fmt.Sprintf("volume = \"%d ml\"\n", n("volume", 350, 500))
		}
		h, plan, log := out, "", ""
		for i, name := range []string{"white sugar", "water", "lime juice", "milk"} {
			if n(name, 0, 2+i/3) > 1 {
				amount := fmt.Sprintf("amount = \"%d g\"", n(name+" g", 20, 700))
				h += n(name+" h", 0, 50)
				plan, log = plan+entry("addition", name, amount), log+entry("added", name, amount, fmt.Sprintf("at = \"%d h\"", h))
			}
		}
		if log == "" {
			return
		}
		if n("finished", 0, 3) == 3 {
			plan += fmt.Sprintf("[measured]\nph = %.1f\n", 3+float64(n("ph", 0, 15))/10)
		}
		last := float64(h + n("last h", 1, 120))
		spirit := fmt.Sprintf("amount = \"%d ml\"", n("spirit ml", 20, 1500))
		lines := jar + strained + log + plan
		was := after(t, last-0.01, lines)
		is := after(t, last+0.01, lines+entry("added", "neutral spirit 95 %", spirit, fmt.Sprintf("at = \"%g h\"", last)))
		states := is.spent().states
		if len(states) == 0 || is.Keep.Verdict.Fails {
			return
		}
		past, now := states[len(states)-1], was.advise(was.Blend.Bottle)
		if past.Fails != now.Verdict.Fails || past.Safe != now.Safe {
			rt.Fatalf("now fails %v, %+v; in the past %v, %+v\n%s", now.Verdict.Fails, now.Safe, past.Fails, past.Safe, lines)
		}
		// the present counts whole days, and those of what never held anything back from the start of its jar: where
		// that is sooner what goes in heals nothing by the day, only by the hour
		counted := was.jarIsWeak() || is.spent().used.By >= 0.5
		if !was.Unfit() && is.Unfit() || was.Unfit() && !is.Unfit() && !counted {
			rt.Fatalf("unfit %v (%s), and once the spirit is in %v (%s, %s)\n%s", was.Unfit(), was.Keep.Stop, is.Unfit(), is.Keep.Stop, is.Keep.InJar, lines)
		}
	})
}
