package panel

import (
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestSheets: the six orders of a triangle (ISO 4120) and the two of a pair come
// equally often, codes are three digits and come once, and a seed gives one
// sheet only.
func TestSheets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom([]Design{Triangle, Pair}).Draw(t, "design")
		n := rapid.IntRange(FewestTrials, MostTrials).Draw(t, "trials")
		seed := rapid.Uint64().Draw(t, "seed")
		s := NewSheet(d, n, seed)
		if len(s.Trials) != n {
			t.Fatalf("%d trials, want %d", len(s.Trials), n)
		}
		if !reflect.DeepEqual(s, NewSheet(d, n, seed)) {
			t.Fatal("the same seed gives another sheet")
		}
		orders, seconds := map[string]int{}, 0
		seen := map[int]bool{}
		for _, trial := range s.Trials {
			key, second := "", 0
			for i, b := range trial.Second {
				if b {
					key += "B"
					second++
				} else {
					key += "A"
				}
				if c := trial.Codes[i]; c < 100 || c > 999 || seen[c] {
					t.Fatalf("code %d is no fresh three-digit number", c)
				}
				seen[trial.Codes[i]] = true
			}
			orders[key]++
			if d == Triangle {
				if second != 1 && second != 2 {
					t.Fatalf("a triangle of %s", key)
				}
				odd := trial.Second[trial.Odd]
				if same := slices.Index(trial.Second, !odd); same < 0 || odd != (second == 1) {
					t.Fatalf("in %s glass %d is called odd", key, trial.Odd)
				}
			} else if second != 1 || trial.Odd != -1 {
				t.Fatalf("a pair of %s", key)
			}
			if second == 2 || d == Pair && trial.Second[0] {
				seconds++
			}
		}
		least, most := n, 0
		kinds := 6
		if d == Pair {
			kinds = 2
		}
		for _, k := range orders {
			least, most = min(least, k), max(most, k)
		}
		if len(orders) < kinds {
			least = 0
		}
		if most-least > 1 {
			t.Fatalf("orders are not balanced: %v", orders)
		}
		if diff := 2*seconds - n; diff < -1 || diff > 1 {
			t.Fatalf("the second drink is odd (or first) in %d of %d", seconds, n)
		}
	})
}

func TestSheetSeed(t *testing.T) {
	a := SheetSeed(Triangle, 6, "a.toml", "b.toml")
	if a != SheetSeed(Triangle, 6, "b.toml", "a.toml") {
		t.Error("the order of the names counts")
	}
	for _, other := range []uint64{SheetSeed(Pair, 6, "a.toml", "b.toml"), SheetSeed(Triangle, 7, "a.toml", "b.toml"), SheetSeed(Triangle, 6, "a.toml", "c.toml")} {
		if a == other {
			t.Error("another tasting has the same seed")
		}
	}
	if NewSheet(Triangle, 6, 1).Trials[0].Codes[0] == NewSheet(Triangle, 6, 2).Trials[0].Codes[0] {
		t.Error("two seeds begin alike")
	}
}
