package quantity

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// published reads the table of units: NIST Handbook 44 Appendix C, NIST SP 811
// Appendix B.8 and SP 430, and the UK Weights and Measures Act 1985; its own #
// lines name the source of each row.
func published(t *testing.T) map[string][]string {
	t.Helper()
	f, err := os.Open("../../testdata/reference/units-and-definitions.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	table := map[string][]string{}
	for _, row := range rows[1:] {
		table[row[0]] = row
	}
	return table
}

// TestUnitsAreExact holds every unit against its published exact size. The
// sizes are products of exact decimals, so only the rounding of a float64 is
// allowed: 4 units in the last place.
func TestUnitsAreExact(t *testing.T) {
	table := published(t)
	for row, text := range map[string]string{
		"US gallon": "1 gallon", "US liquid quart": "1 quart", "US liquid pint": "1 pint", "US cup": "1 cup", "US gill": "1 gill",
		"US fluid ounce": "1 fl oz", "US tablespoon": "1 tbsp", "US teaspoon": "1 tsp",
		"imperial gallon": "1 imp gallon", "imperial pint": "1 imp pint", "imperial gill": "1 imp gill", "imperial fluid ounce": "1 imp fl oz",
		"litre": "1 l", "decilitre": "1 dl", "centilitre": "1 cl",
		"avoirdupois ounce": "1 oz wt", "avoirdupois pound": "1 lb",
	} {
		want, err := strconv.ParseFloat(table[row][1], 64)
		if err != nil || !strings.HasPrefix(table[row][3], "exact") {
			t.Fatalf("the table has %v for %s", table[row], row)
		}
		a, err := ParseAmount(text)
		if err != nil {
			t.Fatal(err)
		}
		_, got, _, ok := a.Millilitres()
		if table[row][2] == "g" {
			_, got, _, ok = a.Grams()
		}
		if !ok || math.Abs(got-want) > 4*(math.Nextafter(want, want+1)-want) {
			t.Errorf("%s is %.15g, published %.15g", text, got, want)
		}
	}
	// SP 811 prints the same factors rounded to seven figures.
	if !strings.Contains(table["US fluid ounce"][5], "29.57353") || math.Abs(mlPerFlOz-29.57353) > 5e-6 {
		t.Error("the fluid ounce is not the factor of SP 811, 29.57353 ml")
	}
}

// TestUnofficialUnits: what the official lists do not have converts to nothing.
func TestUnofficialUnits(t *testing.T) {
	table := published(t)
	for _, row := range []string{"dash", "drop; pinch; jigger; shot; splash"} {
		if table[row][3] != "NOT OFFICIAL" {
			t.Fatalf("the table has %v", table[row])
		}
		for _, name := range strings.Split(row, "; ") {
			a, err := ParseAmount("2 " + name)
			if err != nil {
				continue // refused is as good
			}
			if low, mid, high, ok := a.Millilitres(); ok || low != 0 || mid != 0 || high != 0 {
				t.Errorf("2 %s became %g ml", name, mid)
			}
			if _, _, _, ok := a.Grams(); ok {
				t.Errorf("2 %s became grams", name)
			}
		}
	}
}

// TestProof: US proof is twice the per cent by volume (27 CFR 19.1 and the
// TTB conversion tables, in the table of units).
func TestProof(t *testing.T) {
	if row := published(t)["US degree of proof"]; row[1] != "0.5" || row[3] != "definition" {
		t.Fatalf("the table has %v", row)
	}
	if v, err := ParseABV("114 proof"); v != 57 || err != nil {
		t.Errorf("114 proof is %g, %v", v, err)
	}
}

// TestCountsAbroad: what is counted, in other kitchens.
func TestCountsAbroad(t *testing.T) {
	for text, noun := range map[string]string{
		"1 Stück": "piece", "20 Dolden": "head", "2 palos": "stick", "1 palo": "stick", "di 1 limone": "fruit", "3 gousses": "pod",
		"2 Zweige": "sprig", "10 Blätter": "leaf", "4 Eier": "egg", "6 tuorli": "egg yolk", "2 stecche": "stick",
	} {
		if a, err := ParseAmount(text); err != nil || a.Kind != Count || a.Noun != noun && !(noun == "piece" && a.Noun == "") {
			t.Errorf("%q: %+v, %v, want %s", text, a, err, noun)
		}
	}
	if _, err := ParseAmount("1 st"); err == nil {
		t.Error("a stone is no piece")
	}
}
