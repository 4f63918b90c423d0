package due

import (
	"slices"
	"strings"
	"testing"

	"steepbook/cmd/internal/keeping"
)

const stones = "name = \"ch\"\nstarted = 2026-06-01T18:00:00\n[spirit]\nname = \"vodka 40 %\"\namount = \"1 l\"\n" +
	"[[botanical]]\nname = \"sour cherry\"\ncut = \"whole with stone\"\namount = \"400 g\"\n"

// What lies in it past its last day comes out before anything else is done, in a jar and in bottles, whatever was
// measured meanwhile, and is measured then; a reading counts once it is out.
func TestWhatLiesInTooLongComesOutFirst(t *testing.T) {
	const sugar = "[[addition]]\nname = \"sugar\"\namount = \"150 g\"\n"
	const filled = "[[bottled]]\nbottles = 2\nof = \"500 ml\"\nat = \"31 d\"\n"
	const read = "[measured]\nhydrogen_cyanide = 0.8\n"
	const out = "[[pulled]]\nname = \"sour cherry\"\nat = \"121 d\"\n"
	for _, c := range []struct {
		name, src string
		first     Kind
	}{
		{"in a jar", stones + "leave_in = true\n" + sugar, TakeOut},
		{"in bottles", stones + "leave_in = true\n" + filled, TakeOut},
		{"read while it is in", stones + "leave_in = true\n" + filled + read, TakeOut},
		{"out", stones + "leave_in = true\n" + filled + out, Measure},
		{"out and read", stones + "leave_in = true\n" + filled + out + read, AtBest},
	} {
		g := look(t, c.src, at("2026-10-01T18:00"), nil)
		if late := g.Assessment.Keep.Late; g.Due.Kind != c.first ||
			c.first == TakeOut && (!g.Due.Overdue || !slices.Equal(late, []string{"sour cherry"})) {
			t.Errorf("%s: %+v, late %v", c.name, g.Due, late)
		}
		dates, err := g.Dates()
		if err != nil || c.first != AtBest && !slices.ContainsFunc(dates, func(d Date) bool { return d.Kind == c.first }) {
			t.Errorf("%s: %+v, %v", c.name, dates, err)
		}
	}
	if g := look(t, stones+"leave_in = true\n"+sugar, at("2026-08-29T18:00"), nil); g.Due.Kind == TakeOut {
		t.Errorf("on its last day: %+v", g.Due)
	}
}

// The days that earlier stones lay in a liquor count for those that go in later, once where several lay in it
// together: out by the day on which those that were in from the start would be but for the days between.
func TestEarlierStonesCount(t *testing.T) {
	strained := func(days string) string { return "[[strained]]\nat = \"" + days + " d\"\n" }
	added := func(name, days string) string {
		return "[[added]]\nname = \"" + name + "\"\namount = \"60 g\"\nat = \"" + days + " d\"\n"
	}
	const filled = "[[bottled]]\nbottles = 2\nof = \"500 ml\"\nat = \"70.1 d\"\n"
	const sloe = "[[botanical]]\nname = \"sloe\"\namount = \"100 g\"\nin = \"20 d\"\n"
	for _, c := range []struct{ name, src, now, last string }{
		{"put back the same evening", stones + strained("70") + added("sour cherry", "70.02") + filled, "2026-08-11", "2026-08-29"},
		{"other stones put in", stones + strained("70") + added("sloe", "70.02") + filled, "2026-08-11", "2026-08-29"},
		{"after ten days without", stones + strained("60") + added("sloe", "70.02") + filled, "2026-08-11", "2026-09-08"},
		{"of several at once", stones + sloe + strained("70") + added("sloe", "70.02") + filled, "2026-08-11", "2026-08-29"},
		{"all used up", stones + strained("90") + added("sour cherry", "95") + "[[bottled]]\nat = \"95 d\"\n", "2026-09-04T19:00", "2026-09-04"},
		{"into one bottle", stones + strained("70") + filled + "[[opened]]\nbottle = 1\nat = \"75 d\"\n" +
			strings.Replace(added("sloe", "80"), "60 g\"\n", "20 g\"\ninto = \"450 ml\"\nbottle = 1\n", 1), "2026-08-21", "2026-09-08"},
	} {
		if !strings.Contains(c.now, "T") {
			c.now += "T18:00"
		}
		k := look(t, c.src, at(c.now), nil).Assessment.Keep
		if want := keeping.Evening(at(c.last + "T00:00")); !k.OutBy().Equal(want) ||
			!strings.Contains(k.Stay.Before, "days of what gave hydrogen cyanide before") {
			t.Errorf("%s: out by %v%s, not %v", c.name, k.OutBy(), k.Stay.Before, want)
		}
		day := at(c.last+"T00:00").AddDate(0, 0, 1)
		if k := look(t, c.src, day, nil).Assessment.Keep; len(k.Lain()) != 1 || len(k.Late) != 1 {
			t.Errorf("%s, a day later: %v, late %v", c.name, k.Lain(), k.Late)
		}
	}
}
