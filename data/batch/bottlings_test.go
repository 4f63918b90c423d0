package batch

import (
	"strings"
	"testing"
)

// TestBottlingsAsTheyAreTyped: how many of which size, in figures and in words, and what is
// neither is told as it was typed.
func TestBottlingsAsTheyAreTyped(t *testing.T) {
	for _, c := range []struct {
		text, of string
		n        int
	}{
		{"5 x 250 ml", "250 ml", 5}, {"5 250ml", "250ml", 5}, {"5x250 ml", "250 ml", 5}, {"5 bottles", "", 5},
		{"5", "", 5}, {"250 ml", "250 ml", 0}, {"half a litre", "half a litre", 0}, {"one", "", 1}, {"2 x 1 and 1/2 l", "1 and 1/2 l", 2}, {"3 x 1 1/2 cups", "1 1/2 cups", 3},
		{"Two bottles", "", 2},
		{"a dozen bottles", "", 12}, {"3 bottles of 500 ml", "500 ml", 3}, {"", "", 0},
	} {
		all, err := ParseBottlings(c.text, "", "")
		if err != nil || len(all) != 1 || all[0].Bottles != c.n || all[0].Of != c.of {
			t.Errorf("%q: %+v, %v", c.text, all, err)
		}
	}
	for text, want := range map[string]string{
		"1,5": `"1,5" is no number of bottles`, "15,5": `"15,5" is no number of bottles`,
		"2 x 375 ml 4 fl oz":  `is two sizes; say how many of each: 2 x 375 ml, 1 x 4 fl oz`,
		"2 x 375 ml, 4 fl oz": `two sizes`, "1 l 200 ml": `two sizes`, "1 l and 200 ml": `two sizes`,
		"5 x 250": `the 250 of "5 x 250" has no unit`, "half": `"half" is no number`, "0": `"0" is no number`,
	} {
		if all, err := ParseBottlings(text, "", ""); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %+v, %v", text, all, err)
		}
	}
}

// TestApart: two times that are told in one sentence differ in it.
func TestApart(t *testing.T) {
	if x, y := apart(31.2, 31.1); x == y || x != "31 h 12 min" {
		t.Errorf("%s and %s", x, y)
	}
	if x, y := apart(96, 48); x != "4 d" || y != "2 d" {
		t.Errorf("%s and %s", x, y)
	}
}
