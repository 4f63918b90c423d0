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
