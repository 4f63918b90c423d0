package bench

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// TestJuiceThatGoesInLateIsAsFresh: what is bottled the day its juice goes in has the days of that juice, however
// long the zest beside it waited in spirit before, and the reason that is given is the juice; planned for a day it
// has the same.
func TestJuiceThatGoesInLateIsAsFresh(t *testing.T) {
	for _, c := range []struct {
		peel, juice string
		days        int
	}{{"lime, zest", "lime juice", 2}, {"lemon, zest", "lemon juice", 3}, {"orange, zest", "lime juice", 2}} {
		for day := 7; day < 28; day += 4 {
			name, cut, _ := strings.Cut(c.peel, ", ")
			src := fmt.Sprintf("name = \"Q\"\nstarted = 2026-11-06T12:00:00\n[spirit]\nname = \"gin 43 %%\"\namount = "+
				"\"700 ml\"\n[[botanical]]\nname = %q\ncut = %q\namount = \"20 g\"\n[[addition]]\nname = %q\namount = "+
				"\"200 ml\"\n[[strained]]\nat = 2026-11-%02dT05:00:00\n", name, cut, c.juice, day)
			log := fmt.Sprintf("[[added]]\nname = %q\namount = \"200 ml\"\nat = 2026-11-27T12:00:00\n[[bottled]]\n"+
				"at = 2026-11-27T12:00:00\n", c.juice)
			a := judged(t, src+log, at("2026-11-27T13:00"))
			if got, want := a.Keep.Best.Until.Format(time.DateOnly),
				at("2026-11-26T00:00").AddDate(0, 0, c.days).Format(time.DateOnly); got != want {
				t.Errorf("%s, strained on %d November: to %s, want %s", c.juice, day, got, want)
			}
			if of := a.FadesFirst().Of; len(of) != 1 || of[0] != c.juice {
				t.Errorf("%s, strained on %d November: %v fades first", c.juice, day, of)
			}
			waits := judged(t, src, at("2026-11-27T13:00"))
			best, _ := waits.KeptIf(false, waits.Batch.Started, at(fmt.Sprintf("2026-11-%02dT05:00", day)),
				at("2026-11-27T00:00"))
			if !best.Equal(a.Keep.Best.Until) {
				t.Errorf("%s, strained on %d November: planned to %v, logged to %v", c.juice, day, best, a.Keep.Best.Until)
			}
		}
	}
}

// TestTheReasonIsWhatFadesFirst: berries that stood strained for longer than their colour holds are the reason, not
// the juice that has just gone in.
func TestTheReasonIsWhatFadesFirst(t *testing.T) {
	const src = "name = \"Q\"\nstarted = 2026-11-01T12:00:00\n[spirit]\nname = \"gin 43 %\"\namount = \"700 ml\"\n" +
		"[[botanical]]\nname = \"raspberry\"\namount = \"200 g\"\n[[addition]]\nname = \"lime juice\"\namount = \"200 ml\"\n" +
		"[[strained]]\nat = 2026-11-02T05:00:00\n[[added]]\nname = \"lime juice\"\namount = \"200 ml\"\n" +
		"at = 2026-11-27T12:00:00\n[[bottled]]\nat = 2026-11-27T12:00:00\n"
	a := judged(t, src, at("2026-11-27T13:00"))
	if of := a.FadesFirst().Of; !a.Keep.Past || len(of) != 1 || of[0] != "raspberry" {
		t.Errorf("past %v, to %v: %v fades first", a.Keep.Past, a.Keep.Best.Until, of)
	}
}
