package bench

import (
	"fmt"
	"testing"
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

// TestNoJarComesBackToLife: what stood past its days in the jar stays past, in every way in which
// spirit or juice can go in later, and so does what milk has stood in warm; what lay in spirit, in
// wine, in the cold, or for less than its days does not.
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
		{room("22 C") + wine + put("dried lemon verbena", "6 g") + joins("neutral spirit 96 %", "200 ml", "14 d"), false},
		{room("22 C") + vodka + zest + strained("2026-12-15") + logged("orange juice", "2026-12-15"), false},
		{room("22 C") + vodka + zest + cream, true},
		{room("22 C") + vodka + zest + cream + strained("2026-12-01"), true},
		{room("22 C") + vodka + zest + cream + strained("2026-11-21"), false},
		{room("4 C") + vodka + zest + cream + strained("2026-11-25"), false},
		{room("22 C") + vodka + joins("milk", "500 ml", "0 h") + zest + strained("2026-12-01"), true},
		{room("22 C") + vodka + put("brown butter", "100 g") + strained("2026-12-01"), false},
	} {
		if k := assessed(t, c.jar, at("2026-12-16T10:00")).Keep; (k.InJar != "") != c.past || c.past && !k.SafePast {
			t.Errorf("past %v, %q; want %v\n%s", k.SafePast, k.InJar, c.past, c.jar)
		}
	}
}
