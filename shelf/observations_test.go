package shelf

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"steepbook/shelf/growth"
	"steepbook/shelf/mixture"
)

// readTable reads a reference table by column name.
func readTable(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "reference", name))
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
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, h := range rows[0] {
			if i < len(row) {
				m[h] = row[i]
			}
		}
		out = append(out, m)
	}
	return out
}

// bottlesOf turns what a row states into the bottles at the ends of its
// ranges. What it does not state gets no credit: no sugar, no alcohol, no
// known pH, no known water activity. The best handling is assumed, strained
// and boiled, so that only the composition can keep it off the shelf. exact
// takes the figures as measured; otherwise the ranges of a maker apply.
func bottlesOf(t testing.TB, r map[string]string, exact, massReading bool) []Bottle {
	t.Helper()
	ends := func(lo, hi string) []float64 {
		var out []float64
		for _, s := range []string{lo, hi} {
			if s == "" {
				continue
			}
			v, err := strconv.ParseFloat(s, 64)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, v)
		}
		return out
	}
	abv := ends(r["ethanol_lo"], r["ethanol_hi"])
	for i, v := range abv {
		switch b := r["ethanol_basis"]; {
		case strings.HasPrefix(b, "% w/w"), b == "%" && massReading:
			abv[i] = growth.ABVFromMassPercent(v)
		case strings.HasPrefix(b, "% w/v"):
			abv[i] = v / 0.7893
		case b == "g/L":
			abv[i] = v / 7.893
		}
	}
	sugar := ends(r["sugar_lo"], r["sugar_hi"])
	if !strings.HasPrefix(r["sugar_basis"], "g/L") {
		for i, v := range sugar {
			sugar[i] = v * 10 * (1 + v/260) // mass per cent to g/L, density of sucrose solutions within 2 %
		}
	}
	aw, pH := ends(r["aw_lo"], r["aw_hi"]), ends(r["ph_lo"], r["ph_hi"])
	orZero := func(v []float64) []float64 {
		if len(v) == 0 {
			return []float64{0}
		}
		return v
	}
	var out []Bottle
	for _, a := range orZero(abv) {
		for _, s := range orZero(sugar) {
			for _, w := range orZero(aw) {
				for _, p := range orZero(pH) {
					out = append(out, Bottle{
						ABVPercent: mixture.Exactly(a), SugarGPerL: mixture.Exactly(s), WaterActivity: mixture.Exactly(w), PH: mixture.Exactly(p), PHKnown: len(pH) > 0,
						Nourishing: []string{r["medium"]}, Filtered: true, BoiledBottle: true,
						Measured: Measured{exact, exact, exact, exact},
					})
				}
			}
		}
	}
	return out
}

// TestNothingThatGrewIsCalledStable is the strict test: for every published
// growth of both observation files (sources in their headers) a bottle of that
// composition must not be given a shelf, nor an open time, nor, at the trial's
// temperature, a surely sound time longer than the trial took to see growth.
// There is no list of exceptions.
func TestNothingThatGrewIsCalledStable(t *testing.T) {
	n := 0
	for _, file := range []string{"growth-no-growth-observations.csv", "ethanol-zone-observations.csv"} {
		for _, r := range readTable(t, file) {
			if r["grew"] != "1" {
				continue
			}
			n++
			store := room
			if c, err := strconv.ParseFloat(r["temp_lo_c"], 64); err == nil {
				store = Storage{Celsius: c, Measured: true}
			}
			var said string
			for _, exact := range []bool{false, true} {
				for _, mass := range []bool{false, r["kind"] == "observed"} {
					for _, b := range bottlesOf(t, r, exact, mass) {
						// Heating kills what the trial put in, so that it gives longer
						// days; a shelf it must not give.
						hot := b
						hot.Heated = true
						if v := Judge(hot, store); v.Verdict == VerdictShelf || v.Unopened.Open() {
							t.Errorf("%s: %s grew, and heated it is called %s", r["id"], r["organism"], v.Verdict)
						}
						v := Judge(b, store)
						said = fmt.Sprintf("%s, %s at %.3g °C", v.Verdict, v.Unopened.Words, v.AtC)
						if v.Verdict == VerdictShelf || v.Unopened.Open() {
							t.Errorf("%s: %s grew at %.3g %% vol, pH %v, and is called %s", r["id"], r["organism"], b.ABVPercent.Value, b.PH.Value, said)
						}
						if d, err := strconv.ParseFloat(r["days"], 64); err == nil && v.Unopened.Low > d {
							t.Errorf("%s: %s grew within %g days and is called %s", r["id"], r["organism"], d, said)
						}
					}
				}
			}
			t.Logf("%-10s %-8s %-40.40s abv %-5s pH %-4s aw %-5s: %s", r["id"], r["kind"], r["organism"], r["ethanol_lo"], r["ph_lo"], r["aw_lo"], said)
		}
	}
	if n < 80 {
		t.Errorf("only %d rows read", n)
	}
}

// TestFreshJuiceTimes holds the fridge against Fellers 1988, J. Food Sci.
// 53:1699-1702: spoiled in 5 to 8 d at 7.8 °C; 10 to 16 d at 4.4 °C, 16 to 22
// at 1.1 and 20 to 23 at -1.7, where taste ended it.
func TestFreshJuiceTimes(t *testing.T) {
	juice := Bottle{NoSpirit: true, SugarGPerL: mixture.Exactly(100), PH: mixture.Exactly(3.5), PHKnown: true, FreshJuice: []string{"orange juice"}, Pulp: true}
	for _, c := range []struct{ celsius, low, high float64 }{{7.8, 5, 8}, {4.4, 10, 16}, {1.1, 16, 22}, {-1.7, 20, 23}} {
		v := Judge(juice, Storage{Celsius: c.celsius, Measured: true})
		if v.Unopened.Low > c.low || v.Unopened.High > c.high || v.Unopened.Low < 0.8*c.low {
			t.Errorf("%g °C: %v days, seen %g to %g", c.celsius, v.Unopened, c.low, c.high)
		}
	}
}
