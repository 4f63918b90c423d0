package quantity

import "testing"

func TestStrengthIn(t *testing.T) {
	for _, c := range []struct {
		name, bare string
		percent    float64
		byVolume   bool
		unclear    bool
	}{
		{"vodka 60 %", "vodka", 60, false, false},
		{"vodka 60%", "vodka", 60, false, false},
		{"rum 63 % vol", "rum", 63, true, false},
		{"rum 63 % vol.", "rum", 63, true, false},
		{"rum 62,5 % vol", "rum", 62.5, true, false},
		{"rum (57% ABV)", "rum", 57, true, false},
		{"63 % vol rum", "rum", 63, true, false},
		{"126 proof rum", "rum", 63, true, false},
		{"126-proof rum", "rum", 63, true, false},
		{"rum, 126 US proof", "rum", 63, true, false},
		{"57 % abv white rum", "white rum", 57, true, false},
		{"gin 40 per cent", "gin", 40, false, false},
		{"citric acid 50 %", "citric acid", 50, false, false},
		{"rum", "rum", 0, false, false},
		{"rum 151", "rum 151", 0, false, false},
		{"vodka -1 %", "vodka -1 %", 0, false, true},
		{"vodka 140 %", "vodka 140 %", 0, false, true},
		{"5 %", "5 %", 0, false, false},
		{"40 % to 60 % rum", "40 % to 60 % rum", 0, false, true},
		{"gin 0.0 % vol", "gin", 0, true, false},
		{"gin 0 proof", "gin", 0, true, false},
		{"0 % gin", "gin", 0, false, false},
		{"rum 15pct", "rum", 15, false, false},
		{"rum 15°", "rum", 15, true, false},
		{"vodka 375 %", "vodka 375 %", 0, false, true},
		{"rum 40 % 60 %", "rum 40 % 60 %", 0, false, true},
		{"vodka 20-30 %", "vodka 20-30 %", 0, false, true},
		{"vodka 20–30 %", "vodka 20–30 %", 0, false, true},
		{"vodka 20 to 30 %", "vodka 20 to 30 %", 0, false, true},
		{"gin -5 %", "gin -5 %", 0, false, true},
		{"syrup at 30 °C", "syrup at 30 °C", 0, false, false},
		{"overproof rum", "overproof rum", 0, false, false},
		{"2:1 syrup", "2:1 syrup", 0, false, false},
	} {
		bare, s := StrengthIn(c.name)
		if bare != c.bare || s != (NamedStrength{Percent: c.percent, Said: c.bare != c.name, ByVolume: c.byVolume, Unclear: c.unclear}) {
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
		{"honey 100 g", "honey", "100 g", true}, {"honey, 1 1/2 cups", "honey", "1 1/2 cups", true},
		{"rum 63 % 700 ml", "rum 63 %", "700 ml", true}, {"2:1 syrup 100 ml", "2:1 syrup", "100 ml", true},
		{"rum 63 %", "rum 63 %", "", false}, {"126 proof rum", "126 proof rum", "", false}, {"700 ml", "700 ml", "", false},
		{"sugar 2 pieces", "sugar 2 pieces", "", false}, {"syrup 65 brix", "syrup 65 brix", "", false},
	} {
		if name, amount, found := CutAmount(c.text); name != c.name || amount != c.amount || found != c.found {
			t.Errorf("%q: %q, %q, %v", c.text, name, amount, found)
		}
	}
}
