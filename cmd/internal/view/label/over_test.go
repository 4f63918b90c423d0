package label

import (
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// TestNoDayBeforeItsBottling: a day that was over before it was bottled is no day of the bottle, on its label
// and in its calendar; where it hangs on what nobody logged, the label asks when that went in.
func TestNoDayBeforeItsBottling(t *testing.T) {
	const src = "name = \"A\"\nstarted = 2026-11-01T18:00:00\n[[spirit]]\nname = \"vodka\"\nabv = 40\n" +
		"amount = \"700 ml\"\n[[botanical]]\nname = \"orange zest\"\namount = \"20 g\"\ntarget = 4\n" +
		"[[addition]]\nname = \"orange juice\"\namount = \"150 ml\"\n[[strained]]\nat = \"24 h\"\n"
	const bottled, added = "[[bottled]]\nbottles = 3\nof = \"250 ml\"\nat = \"192 h\"\n",
		"[[added]]\nname = \"orange juice\"\namount = \"150 ml\"\nat = "
	for name, c := range map[string]struct {
		log, says, asks string
		best            bool
	}{
		"nobody logged the juice":        {bottled, "Keep it in the fridge.", "Orange juice in", false},
		"the juice went in at straining": {added + "\"25 h\"\n" + bottled, "Its best was over", "", false},
		"the juice went in at bottling":  {added + "\"191 h\"\n" + bottled, "Best by 13 Nov", "", true},
	} {
		a, err := bench.Assess(somejar.Parse(t, src+c.log), library.Builtin(),
			bench.Question{Now: time.Date(2026, 11, 10, 9, 0, 0, 0, time.UTC)})
		if err != nil {
			t.Fatal(err)
		}
		said, blanks := "", ""
		for _, l := range Words(a, ForBottle, quantity.Metric).Lines {
			said += l.Text + "\n"
			blanks += strings.Join(l.Blanks, "\n")
		}
		if !strings.Contains(said, c.says) || strings.Contains(said, "Best by") != c.best ||
			!strings.HasPrefix(blanks, c.asks) || (blanks == "") != (c.asks == "") {
			t.Errorf("%s: %q, blanks %q", name, said, blanks)
		}
		g, err := due.Look(a)
		if err != nil {
			t.Fatal(err)
		}
		dates, err := g.Dates()
		if err != nil {
			t.Fatal(err)
		}
		ends := 0
		for i := range dates {
			if d := &dates[i]; d.Kind == due.AtBest || d.Kind == due.Use {
				if ends++; a.Keep.BottledAt.After(d.At) {
					t.Errorf("%s: %s by %v, bottled %v", name, d.Kind, d.At, a.Keep.BottledAt)
				}
			}
		}
		if c.best != (ends > 0) {
			t.Errorf("%s: %d days in the calendar", name, ends)
		}
	}
}
