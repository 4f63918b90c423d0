package quantity

import "testing"

func TestStrengthIn(t *testing.T) {
	for _, c := range []struct {
		name, bare string
		percent    float64
		byVolume   bool
	}{
		{"vodka 60 %", "vodka", 60, false},
		{"vodka 60%", "vodka", 60, false},
		{"rum 63 % vol", "rum", 63, true},
		{"rum 63 % vol.", "rum", 63, true},
		{"rum 62,5 % vol", "rum", 62.5, true},
		{"rum (57% ABV)", "rum", 57, true},
		{"63 % vol rum", "rum", 63, true},
		{"126 proof rum", "rum", 63, true},
		{"126-proof rum", "rum", 63, true},
		{"rum, 126 US proof", "rum", 63, true},
		{"57 % abv white rum", "white rum", 57, true},
		{"gin 40 per cent", "gin", 40, false},
		{"citric acid 50 %", "citric acid", 50, false},
		{"rum", "rum", 0, false},
		{"rum 151", "rum 151", 0, false},
		{"vodka -1 %", "vodka -1 %", 0, false},
		{"vodka 140 %", "vodka 140 %", 0, false},
		{"5 %", "5 %", 0, false},
		{"40 % to 60 % rum", "40 % to 60 % rum", 0, false},
		{"overproof rum", "overproof rum", 0, false},
		{"2:1 syrup", "2:1 syrup", 0, false},
	} {
		bare, s := StrengthIn(c.name)
		if bare != c.bare || s != (NamedStrength{c.percent, c.byVolume}) {
			t.Errorf("%q: %q %v, want %q %g %v", c.name, bare, s, c.bare, c.percent, c.byVolume)
		}
	}
}

func TestCutAmount(t *testing.T) {
	for _, c := range []struct {
		text, name, amount string
		found              bool
	}{
		{"lime juice: 200 ml", "lime juice", "200 ml", true},
		{"grape brandy 57 %: 700 ml", "grape brandy 57 %", "700 ml", true},
		{"2:1 syrup: 100 ml", "2:1 syrup", "100 ml", true},
		{"syrup 2:1: 100 ml", "syrup 2:1", "100 ml", true},
		{"2:1 syrup", "2:1 syrup", "", false},
		{"simple syrup 1:1", "simple syrup 1:1", "", false},
		{"simple syrup 1 : 1", "simple syrup 1 : 1", "", false},
		{"rum 63:700 ml", "rum 63", "700 ml", true},
		{"orange blossom: a splash", "orange blossom", "a splash", true},
		{"water", "water", "", false},
	} {
		if name, amount, found := CutAmount(c.text); name != c.name || amount != c.amount || found != c.found {
			t.Errorf("%q: %q, %q, %v", c.text, name, amount, found)
		}
	}
}
