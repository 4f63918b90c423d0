package bench

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// table reads a published table from testdata/reference, its header left out.
func table(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join("../../../testdata/reference", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) < 10 {
		t.Fatalf("%s has only %d rows", name, len(rows))
	}
	return rows[1:]
}

// The least counts at the 5 % level are those of the exact binomial (rational
// arithmetic, the source is in the file's head); its triangle rows for 5 to 30,
// 36, 42, 48, 54 and 60 trials equal Appendix A of FAO's laboratory manual
// v7180e.
func TestNeededCountsAreThoseOfTheTables(t *testing.T) {
	designs := map[string]Design{"triangle (ISO 4120)": Triangle, "paired comparison two-sided (ISO 5495)": Pair}
	checked := map[Design]int{}
	for _, row := range table(t, "sensory_forced_choice.csv") {
		d, ok := designs[row[0]]
		if !ok {
			continue
		}
		n, err := strconv.Atoi(row[2])
		if err != nil {
			t.Fatal(err)
		}
		want := 0 // blank: not to be reached
		if row[5] != "" {
			if want, err = strconv.Atoi(row[5]); err != nil {
				t.Fatal(err)
			}
		}
		f, err := ForcedTest(d, n, 0)
		if err != nil {
			t.Fatal(err)
		}
		if f.Needed != want {
			t.Errorf("%s with %d trials asks for %d, the table for %d", d, n, f.Needed, want)
		}
		if want > 0 {
			f, _ = ForcedTest(d, n, want)
			if !f.Differs() {
				t.Errorf("%s: %d of %d does not count as a difference", d, want, n)
			}
			if f, _ = ForcedTest(d, n, want-1); f.Differs() {
				t.Errorf("%s: %d of %d counts as a difference", d, want-1, n)
			}
		}
		checked[d]++
	}
	if checked[Triangle] < 26 || checked[Pair] < 26 {
		t.Errorf("only %v rows were checked", checked)
	}
}

// The trials that find a share of noticed sips with 80 % power at the 5 %
// level, exact binomial by SciPy 1.10.1 (head of the file): 42 triangles for
// 30 %. Half as many must find only a larger share.
func TestShareFoundAgreesWithThePowerTable(t *testing.T) {
	checked := 0
	for _, row := range table(t, "sensory_power.csv") {
		if row[0] != "triangle" || row[3] != "0.05" || row[4] != "0.8" {
			continue
		}
		pd, err1 := strconv.ParseFloat(row[1], 64)
		n, err2 := strconv.Atoi(row[5])
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		f, err := ForcedTest(Triangle, n, 0)
		if err != nil {
			t.Fatal(err)
		}
		if f.Shown80 == 0 || f.Shown80 > pd+1e-4 {
			t.Errorf("%d triangles find a share of %.4f, the table says %g", n, f.Shown80, pd)
		}
		if half, _ := ForcedTest(Triangle, n/2, 0); half.Shown80 != 0 && half.Shown80 <= pd {
			t.Errorf("%d triangles already find a share of %g", n/2, pd)
		}
		checked++
	}
	if checked < 5 {
		t.Errorf("only %d rows were checked", checked)
	}
}

func TestPairCountsEitherWay(t *testing.T) {
	for k := range 11 {
		a, _ := ForcedTest(Pair, 10, k)
		b, _ := ForcedTest(Pair, 10, 10-k)
		if a.Luck != b.Luck || a.Differs() != b.Differs() || a.Agreeing() != b.Agreeing() {
			t.Errorf("%d and %d of 10 are judged differently", k, 10-k)
		}
	}
	if _, err := ForcedTest(Triangle, 6, 7); err == nil {
		t.Error("7 of 6 is judged")
	}
}

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
