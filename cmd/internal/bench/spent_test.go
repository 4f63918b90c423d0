package bench

import (
	"cmp"
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
	"steepbook/data/library"
)

// TestNothingCuresWhatIsPast: what was strained and is past stays past, whatever goes in; what has
// used up a part of its days has so much less of the new ones, a spoon of sugar at a time as well
// as at once; and strong liquor waits for nothing.
func TestNothingCuresWhatIsPast(t *testing.T) {
	fruit := started + "[spirit]\nname = \"vodka\"\nabv = 40\namount = \"500 ml\"\n" + put("raspberries", "600 g") +
		"[[strained]]\nat = 2026-11-24T10:00:00\n"
	added := func(name, amount, day string) string {
		return fmt.Sprintf("[[added]]\nname = %q\namount = %q\nat = %sT10:00:00\n", name, amount, day)
	}
	was := assessed(t, fruit, at("2026-11-25T10:00")).Keep.Safe.Until
	if was.IsZero() {
		t.Fatal("no day for what was strained")
	}
	for _, x := range [][2]string{{"sugar", "5 g"}, {"vodka 40 %", "60 ml"}, {"lemon juice", "100 ml"}, {"neutral spirit 96 %", "400 ml"}} {
		a := assessed(t, fruit+added(x[0], x[1], "2027-07-01"), at("2027-07-02T10:00"))
		if !a.Keep.SafePast || a.Keep.Safe.Until.After(was) {
			t.Errorf("%s of %s: past %v, until %v; it was until %v", x[1], x[0], a.Keep.SafePast, a.Keep.Safe.Until, was)
		}
	}
	early := assessed(t, fruit+added("sugar", "5 g", "2026-11-24"), at("2027-01-10T10:00")).Keep.Safe.Until
	late := assessed(t, fruit+added("sugar", "5 g", "2027-01-08"), at("2027-01-10T10:00")).Keep.Safe.Until
	twice := assessed(t, fruit+added("sugar", "5 g", "2026-12-20")+added("honey", "5 g", "2027-01-08"), at("2027-01-10T10:00")).Keep.Safe.Until
	for _, until := range []string{late.Sub(early).String(), twice.Sub(early).String()} {
		if until != "0s" && until != "24h0m0s" && until != "-24h0m0s" {
			t.Errorf("a spoon later, %v later: %v, %v and %v", until, early, late, twice)
		}
	}
	peel := halfLitre + put("orange peel", "20 g") + "[[strained]]\nat = 2026-11-24T10:00:00\n"
	if a := assessed(t, peel+added("orange juice", "300 ml", "2027-07-01"), at("2027-07-02T10:00")); a.Keep.SafePast {
		t.Errorf("strong liquor is past by %v", a.Keep.Safe.Until)
	}
}

// TestBottlingEndsNoDoubt: what nobody logged may be in since straining, before it is bottled and after: no
// bottle is good for longer than the jar would have been, of whatever there is and whatever of it was logged;
// what is logged as it is bottled ends the doubt, and nothing that is logged then makes the days fewer.
func TestBottlingEndsNoDoubt(t *testing.T) {
	plans := [][][2]string{
		{{"orange juice", "300 ml"}, {"sugar", "100 g"}}, {{"cream", "300 ml"}, {"sugar", "120 g"}},
		{{"water", "500 ml"}, {"honey", "80 g"}}, {{"lime juice", "150 ml"}}, {{"water", "200 ml"}},
	}
	strained := at("2026-11-24T10:00")
	told, kept := 0, 0
	for _, spirit := range []string{"vodka 40 %", "vodka 20 %", "white wine 12 %"} {
		for _, plan := range plans {
			src := started + "room = \"20C\"\n[spirit]\nname = \"" + spirit + "\"\namount = \"500 ml\"\n" +
				put("orange peel", "20 g")
			for _, x := range plan {
				src += fmt.Sprintf("[[addition]]\nname = %q\namount = %q\n", x[0], x[1])
			}
			src += "[[strained]]\nat = 2026-11-24T10:00:00\n"
			log := func(n int, at time.Time) (text string) {
				for _, x := range plan[:n] {
					text += fmt.Sprintf("[[added]]\nname = %q\namount = %q\nat = %s\n", x[0], x[1],
						at.Format("2006-01-02T15:04:05"))
				}
				return text
			}
			for _, days := range somejar.Either([]int{0, 4, 200}, []int{0, 1, 4, 30, 200}) {
				filled := strained.AddDate(0, 0, days).Add(2 * time.Hour)
				bottled := "[[bottled]]\nat = " + filled.Format("2006-01-02T15:04:05") + "\n"
				for n := range plan {
					in := log(n, strained.Add(time.Hour))
					jar, own := judged(t, src+in, filled).Keep, judged(t, src+in+bottled, filled).Keep
					if jar.Withheld() || own.Withheld() || own.Safe.Place == "" {
						continue
					}
					best, safe := own.SealedDays()
					if later(safe, jar.IfMixedSafe) || later(cmp.Or(best, safe), jar.IfMixed) {
						t.Errorf("%s, %v, %d logged, bottled after %d days: to %v, %v, the jar to %v, %v", spirit,
							plan, n, days, best, safe, jar.IfMixed, jar.IfMixedSafe)
					}
					all := judged(t, src+log(len(plan), filled)+bottled, filled).Keep
					allBest, allSafe := all.SealedDays()
					if fewer := later(safe, allSafe) || later(cmp.Or(best, safe), cmp.Or(allBest, allSafe)); all.Untold ||
						n == 0 && fewer {
						t.Errorf("%s, %v, bottled after %d days: %v and %v, logged %v and %v", spirit, plan, days,
							best, safe, allBest, allSafe)
					}
					if own.Untold && !own.UntoldTaste && !own.SinceAt.Equal(strained) {
						t.Errorf("%s, %v, %d logged, bottled after %d days: since %v, %v", spirit, plan, n, days, own.Since, own.SinceAt)
					}
					if kept++; own.Untold {
						told++
					}
				}
			}
		}
	}
	if told < somejar.Either(10, 20) || kept < told+5 {
		t.Errorf("%d of %d were in doubt", told, kept)
	}
}

// later reports whether one end of days is behind another; zero is never.
func later(x, y time.Time) bool { return !y.IsZero() && (x.IsZero() || x.After(y)) }

// TestNoJarComesBackToLife: what stood past its days in the jar stays past, in every way in which
// spirit or juice can go in later, and so does what milk has stood in warm; what lay in spirit,
// in the cold, or for less than its days does not.
func TestNoJarComesBackToLife(t *testing.T) {
	room := func(c string) string { return started + "room = \"" + c + "\"\n" }
	base := func(name, abv string) string {
		return fmt.Sprintf("[spirit]\nname = %q\nabv = %s\namount = \"700 ml\"\n", name, abv)
	}
	strained := func(day string) string { return "[[strained]]\nat = " + day + "T10:00:00\n" }
	joins := func(name, amount, in string) string {
		return fmt.Sprintf("[[addition]]\nname = %q\namount = %q\nin = %q\n", name, amount, in)
	}
	logged := func(name, day string) string {
		return fmt.Sprintf("[[added]]\nname = %q\namount = \"700 ml\"\nat = %sT10:00:00\n", name, day)
	}
	zest, berries, cream := put("orange zest", "30 g"), put("strawberries", "500 g"), put("cream", "200 ml")
	water, wine, vodka := base("water", "0"), base("white wine", "12"), base("vodka", "40")
	for _, c := range []struct {
		jar  string
		past bool
	}{
		{room("22 C") + water + zest + strained("2026-12-10") + logged("vodka 40 %", "2026-12-11"), true},
		{room("22 C") + water + zest + strained("2026-12-10") + logged("lemon juice", "2026-12-11"), true},
		{room("22 C") + water + zest + joins("neutral spirit 96 %", "700 ml", "20 d"), true},
		{room("22 C") + wine + berries + joins("neutral spirit 96 %", "700 ml", "20 d") + strained("2026-12-15"), true},
		{room("22 C") + water + zest + joins("neutral spirit 96 %", "700 ml", "12 h") + strained("2026-12-15"), false},
		{room("22 C") + wine + put("dried lemon verbena", "6 g") + joins("neutral spirit 96 %", "200 ml", "14 d"), true},
		{room("4 C") + wine + put("dried lemon verbena", "6 g") + joins("neutral spirit 96 %", "200 ml", "14 d"), false},
		{room("22 C") + wine + put("dried lemon verbena", "6 g") + joins("neutral spirit 96 %", "200 ml", "2 d"), false},
		{room("22 C") + vodka + zest + strained("2026-12-15") + logged("orange juice", "2026-12-15"), false},
		{room("22 C") + vodka + zest + cream, true},
		{room("22 C") + vodka + zest + cream + strained("2026-12-01"), true},
		{room("22 C") + vodka + zest + cream + strained("2026-11-21"), false},
		{room("4 C") + vodka + zest + cream + strained("2026-11-25"), false},
		{room("4 C") + vodka + zest + cream + strained("2026-12-12"), true},
		{room("4 C") + base("rum", "57") + put("milk", "250 ml") + put("lemon juice", "100 ml") + strained("2026-12-12"), true},
		{room("4 C") + vodka + zest + joins("milk", "300 ml", "20 d") + strained("2026-12-14"), false},
		{room("4 C") + vodka + zest + strained("2026-12-12"), false},
		{room("22 C") + vodka + zest + put("almond milk", "300 ml") + strained("2026-12-12"), true},
		{room("22 C") + vodka + joins("milk", "500 ml", "0 h") + zest + strained("2026-12-01"), true},
		{room("22 C") + vodka + put("brown butter", "100 g") + strained("2026-12-01"), false},
	} {
		if k := assessed(t, c.jar, at("2026-12-16T10:00")).Keep; (k.InJar != "") != c.past || c.past && !k.SafePast {
			t.Errorf("past %v, %q; want %v\n%s", k.SafePast, k.InJar, c.past, c.jar)
		}
	}
}

// TestColdMilkHasOneClock: what keeps in the cold alone is as old in the jar as in the bottle, the rest
// logged or not: it is good to one day, whenever it is strained, and the jar ends with it.
func TestColdMilkHasOneClock(t *testing.T) {
	jar := started + "room = \"4 C\"\n[spirit]\nname = \"rum\"\nabv = 40\namount = \"500 ml\"\n" +
		put("milk", "300 ml") + put("lemon zest", "10 g")
	first := time.Time{}
	for _, more := range []string{"", "[[addition]]\nname = \"sugar\"\namount = \"30 g\"\n"} {
		for day := 21; day <= 29; day += 4 {
			strained := fmt.Sprintf("2026-11-%dT10:00", day)
			k := assessed(t, jar+more+"[[strained]]\nat = "+strained+":00\n", at("2026-11-29T12:00")).Keep
			if first.IsZero() {
				first = k.Safe.Until
			}
			if k.SafePast || k.Safe.Until.IsZero() || math.Abs(k.Safe.Until.Sub(first).Hours()) > 24 {
				t.Errorf("strained on %s: good to %v, else to %v", strained, k.Safe.Until, first)
			}
		}
	}
	a := assessed(t, jar, at("2026-11-22T10:00"))
	if end := a.Batch.At(a.JarEnd().H); a.FromStart() == "" || math.Abs(end.Sub(first).Hours()) > 24 {
		t.Errorf("the jar may stand to %v, what is in it is good to %v (%q)", end, first, a.FromStart())
	}
	out := at("2026-11-27T10:00")
	if _, kept := a.KeptIf(false, a.Batch.Started, out, out); math.Abs(kept.Sub(first).Hours()) > 24 {
		t.Errorf("planned for %v, it is good to %v", kept, first)
	}
	out = at("2026-12-27T10:00")
	if _, kept := a.KeptIf(true, at("2026-12-20T18:00"), out, out); math.Abs(kept.Sub(first).Hours()-30*24) > 24 {
		t.Errorf("of another jar, a month later: %v and %v", kept, first)
	}
}

// TestAnOpenBottleThatIsThinned: its days as the weaker drink run from when it was thinned, by what was planned
// as by what was not; those that were over by then stay over, and a house that counts from the opening does so.
func TestAnOpenBottleThatIsThinned(t *testing.T) {
	const liqueur = "[[spirit]]\nname = \"vodka\"\nabv = 40\namount = \"1 l\"\n[[botanical]]\nname = \"%s\"\namount = \"20 g\"\n" +
		"[[addition]]\nname = \"water\"\namount = \"%d ml\"\n[[strained]]\nat = \"5 d\"\n[[added]]\nname = \"water\"\namount = \"%[2]d ml\"\nat = \"5 d\"\n" +
		"[[added]]\nname = \"sugar\"\namount = \"200 g\"\nat = \"5 d\"\n[[bottled]]\nbottles = 4\nof = \"250 ml\"\nat = \"6 d\"\n[[opened]]\nbottle = 1\nat = \"20 d\"\n"
	strong, weak := fmt.Sprintf(liqueur, "orange peel", 100), fmt.Sprintf(liqueur, "strawberries", 800)
	thin := func(name, ml, day string) string {
		return entry("added", name, `amount = "`+ml+` ml"`, `into = "200 ml"`, `at = "`+day+` d"`)
	}
	for _, x := range [][2]string{{"water", "60"}, {"water", "300"}, {"water", "900"}, {"apple juice", "60"}, {"apple juice", "900"}} {
		a := after(t, 150*24+1, strong+thin(x[0], x[1], "150"))
		k := a.Keep
		days := k.Safe.Until.Sub(a.Batch.At(150*24)).Hours() / 24
		if low := k.Safe.Opened.Low; k.SafePast || !math.IsInf(low, 1) && (days < low-1 || days > low) {
			t.Errorf("%s ml of %s: sound for %.1f days after that, want %.1f (%v)", x[1], x[0], days, low, k.Stop)
		}
	}
	was := after(t, 21*24, weak).Keep.Safe.Until
	for _, ml := range []string{"20", "200"} {
		for _, name := range []string{"water", "vodka 40 %"} {
			if k := after(t, 300*24+1, weak+thin(name, ml, "300")).Keep; was.IsZero() || k.Stop == "" || k.Safe.Until.After(was) {
				t.Errorf("%s ml of %s: until %v (%q); it was until %v", ml, name, k.Safe.Until, k.Stop, was)
			}
		}
	}
	b := somejar.Parse(t, "name = \"T\"\nstarted = 2026-11-20T18:00:00\n"+strong+thin("water", "300", "22"))
	a, err := Read(b, library.Builtin(), Question{Now: b.At(22*24 + 1), House: &batch.House{Rule: "ours", UseWithinDays: 5}})
	if err != nil {
		t.Fatal(err)
	}
	if a.Judge(); a.Keep.Advised.Until.After(b.At(25 * 24)) {
		t.Errorf("opened after 20 days, and by the house good to %v", a.Keep.Advised.Until)
	}
}

// TestDaysInTheJarAreSpent: in any jar, wine too, yeast, mould and bacteria have their days as what makes people
// ill has: warmer, or longer in a jar that has an end, never gives a later day, a jar that is past is so by the
// end that was told of it before, and what is told from straining on is what is left then.
func TestDaysInTheJarAreSpent(t *testing.T) {
	const far = 1 << 40
	of := func(a *Assessment) (hours float64) {
		switch k := a.Keep; {
		case k.Safe.Until.IsZero() && (k.Withheld() || k.Stop != ""):
			return -1
		case k.Safe.Until.IsZero():
			return far
		default:
			return a.Batch.Hours(k.Safe.Until)
		}
	}
	ended := 0
	rapid.Check(t, func(rt *rapid.T) {
		n := func(name string, lo, hi int) int { return rapid.IntRange(lo, hi).Draw(rt, name) }
		abv := n("abv", 0, 22)
		food := rapid.SampledFrom([]string{"elderflower", "ginger", "strawberries", "clove", "orange zest"}).Draw(rt, "food")
		jar := fmt.Sprintf("[[spirit]]\nname = \"spirit\"\nabv = %d\namount = \"1 l\"\n", abv) +
			entry("botanical", food, fmt.Sprintf(`amount = "%d g"`, n("food g", 5, 300))) +
			entry("addition", "white sugar", fmt.Sprintf(`amount = "%d g"`, n("sugar", 1, 900)), `in = "0 h"`) +
			entry("addition", "citric acid", fmt.Sprintf(`amount = "%d g"`, n("acid", 5, 60)), `in = "0 h"`)
		room, hours := n("room", 8, 30), n("hours", 1, 400)
		warmer, longer := room+n("warmer", 1, 10), hours+n("longer", 1, 300)
		at := func(room, hours int) *Assessment {
			log := fmt.Sprintf("[[strained]]\nat = \"%d h\"\n[[bottled]]\nat = \"%[1]d h\"\n", hours)
			return after(t, float64(hours)+0.1, fmt.Sprintf("room = \"%d C\"\n", room)+jar+log)
		}
		steeps := after(t, 0.1, fmt.Sprintf("room = \"%d C\"\n", room)+jar)
		end, stood := steeps.JarEnd().H, float64(hours)
		was := of(at(room, hours))
		if k := after(t, stood, fmt.Sprintf("room = \"%d C\"\n", room)+jar).Keep; was >= 0 && was < far &&
			k.Since == "" && !k.Withheld() && stood+24*k.Days(&k.Safe).Low > was+48 {
			rt.Fatalf("%d h at %d C: to %g h, and before it was strained for %s\n%s", hours, room, was, k.Days(&k.Safe).Words, jar)
		}
		ends := map[string]float64{"warmer": of(at(warmer, hours)), "longer": of(at(room, longer))}
		for how, then := range ends {
			if then > was && (how == "warmer" || end > 0 && then > was+24) { // no end: that of the trials is none
				rt.Fatalf("%d h at %d C: to %g h; %s (%d h, %d C): to %g h\n%s", hours, room, was, how, longer, warmer, then, jar)
			}
		}
		if was >= 0 && was < stood-24 && (end == 0 || end > stood) {
			rt.Fatalf("%d h at %d C: past after %g h, and the jar was to stand to %g h\n%s", hours, room, was, end, jar)
		} else if end > 0 {
			ended++
		}
	})
	if ended == 0 {
		t.Error("no jar had an end")
	}
}
