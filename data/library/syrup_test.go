package library

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A syrup named by its ratio: mass fraction by arithmetic (99.8 g of sucrose in
// 100 g of white sugar, USDA NDB 19335; 200 g and 236.6 mL a cup), density
// against the CRC Handbook table of sucrose solutions at 20 °C, between its
// printed points.
func TestRatioSyrups(t *testing.T) {
	l := Builtin()
	crc := map[float64]float64{}
	for _, r := range table(t, "sucrose-water-density.csv") {
		if strings.HasPrefix(r["source"], "CRC") && r["temperature_c"] == "20" {
			crc[float(t, r["sucrose_mass_pct"])] = float(t, r["printed_density_kg_m3"]) / 1000
		}
	}
	cup := func(a, b float64) float64 { return 100 * a * 200 / (a*200 + b*236.588*0.9982) }
	for _, c := range []struct {
		name    string
		percent float64 // sugar by weight
	}{
		{"rich syrup 2:1", 200.0 / 3}, {"2:1 syrup", 200.0 / 3}, {"simple syrup 1:1", 50}, {"1 : 1 syrup", 50}, {"3:2 syrup", 60}, {"3:4 syrup", 300.0 / 7},
		{"1.5:1", 60}, {"1,5:1 syrup", 60}, {"2 to 1 simple syrup", 200.0 / 3}, {"3:2 syrup by weight", 60}, {"rich syrup 3:1", 75}, {"syrup 2:3", 40},
		{"3:2 syrup by volume", cup(3, 2)}, {"cup for cup 3:4 syrup", -1}, {"syrup 65 %", 65}, {"sugar syrup 66 brix", 66}, {"66 °Bx syrup", 66},
	} {
		g, err := l.Ingredient(c.name)
		if c.percent < 0 {
			if err == nil {
				t.Errorf("%s: %s", c.name, g.Name)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		brix := c.percent * 0.998
		if !near(g.Per100G.Sucrose, brix, 0.02) || !near(g.Per100G.Sum(), 100, 0.05) {
			t.Errorf("%s: %.2f %% sucrose of %.2f, want %.2f", c.name, g.Per100G.Sucrose, g.Per100G.Sum(), brix)
		}
		lo := math.Floor(brix/2) * 2
		a, b := crc[lo], crc[lo+2]
		if a == 0 || b == 0 {
			if brix < 74 {
				t.Fatalf("no density at %g", lo)
			}
			continue // beyond the table
		}
		// A straight line between points 2 % apart is off by up to 0.0002.
		if want := a + (b-a)*(brix-lo)/2; !near(g.DensityGPerML.Value, want, 0.0012) {
			t.Errorf("%s: density %g, CRC %.4f", c.name, g.DensityGPerML.Value, want)
		}
		if !strings.Contains(g.Note, "weight") && !strings.Contains(g.Note, "mass") && !strings.Contains(g.Note, "by volume") {
			t.Errorf("%s does not say how its ratio is read: %s", c.name, g.Note)
		}
	}
	// The polynomial at the CRC points themselves: the two sources part by
	// 0.0008 at 84 %.
	n := 0
	for brix, want := range crc {
		n++
		if got := sucroseDensity(brix / 100); !near(got, want, 0.0009) {
			t.Errorf("%g %%: %.4f, CRC %.4f", brix, got, want)
		}
	}
	if n < 20 {
		t.Errorf("%d points read", n)
	}
	for _, name := range []string{"9:1 syrup", "0:1 syrup", "1:0 syrup", "2:1:1 syrup", "maple syrup 2:1", "ginger syrup 2:1", "lemon juice 2:1", "2:1 by 1:1 syrup", "corn syrup 80 brix", "x:y syrup"} {
		if g, err := l.Ingredient(name); err == nil {
			t.Errorf("%q was worked out as %s", name, g.Name)
		}
	}
	// Sugars other than white, and honey, keep what they bring.
	dark, err := l.Ingredient("brown sugar syrup 2:1")
	if err != nil || !near(dark.Per100G.PotassiumMG, 133*2.0/3, 0.5) || dark.Nourishing {
		t.Errorf("brown sugar syrup: %+v, %v", dark, err)
	}
	honey, err := l.Ingredient("honey syrup 3:1")
	if err != nil || !honey.Nourishing || len(honey.Allergens) != 1 || !near(honey.Per100G.Fructose, 40.94*0.75, 0.01) || !near(honey.DensityGPerML.Value, 1/(0.75/1.433+0.25/0.9982), 0.001) {
		t.Errorf("honey syrup 3:1: %+v, %v", honey, err)
	}
	if demerara, err := l.Ingredient("demerara syrup 3:2"); err != nil || !near(demerara.Per100G.Sucrose, 59.51, 0.05) {
		t.Errorf("demerara syrup 3:2: %+v, %v", demerara, err)
	}
	// "Thin" is no ratio: it is asked for.
	for _, name := range []string{"thin syrup", "light syrup", "syrup"} {
		_, err := l.Ingredient(name)
		var lost *NotFoundError
		if !errors.As(err, &lost) || len(lost.Nearest()) == 0 || lost.Nearest()[0] != "simple syrup 1:1" {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, n := range lost.Nearest() {
			if _, err := l.Ingredient(n); err != nil {
				t.Errorf("%s is offered and not known: %v", n, err)
			}
		}
	}
}

// Any ratio gives a syrup whose sugar is what went in, thinner than its
// neighbour with more sugar, or no syrup at all.
func TestRatioSyrupsAreLawful(t *testing.T) {
	white, err := Builtin().Ingredient("white sugar")
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(1e-3, 1e3).Draw(t, "sugar")
		b := rapid.Float64Range(1e-3, 1e3).Draw(t, "water")
		g := white.syrup(a, b, rapid.Bool().Draw(t, "volume"), false)
		more := white.syrup(1.1*a, b, false, false)
		if g == nil {
			return
		}
		d := g.DensityGPerML
		if !near(g.Per100G.Sum(), 100, 0.05) || !(d.Low <= d.Value && d.Value <= d.High) || d.Value < 0.998 || d.Value > 1.45 {
			t.Fatalf("%+v", g)
		}
		if same := white.syrup(a, b, false, false); same != nil && more != nil && more.DensityGPerML.Value < same.DensityGPerML.Value {
			t.Fatalf("%g and %g", same.DensityGPerML.Value, more.DensityGPerML.Value)
		}
	})
}

func FuzzIngredient(f *testing.F) {
	for _, s := range []string{"3:4 syrup", "demerara syrup 1.5 to 1", "syrup 65 %", "1:1e9 syrup", "9999999999999999999999:1", "::", "0.0:0.0 syrup"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, name string) {
		g, err := Builtin().Ingredient(name)
		if err != nil {
			return
		}
		if !near(g.Per100G.Sum(), 100, 1.5) || g.Liquid && !(g.DensityGPerML.Value > 0.6 && g.DensityGPerML.Value < 2) {
			t.Errorf("%q: %+v", name, g)
		}
	})
}

// TestAssay: a per cent in a name is the share of what the thing is bought for.
// 100 g of citric acid in 100 g of water take 1.24 g/ml in print (CRC Handbook,
// concentrative properties, 50 % by mass, within 1.5 %).
func TestAssay(t *testing.T) {
	l := Builtin()
	for _, c := range []struct {
		name                string
		water, acid, fat    float64
		ethanol, sugar, tol float64
	}{
		{"citric acid 50 %", 50, 50, 0, 0, 0, 0.01},
		{"malic acid 10%", 90, 10, 0, 0, 0, 0.01},
		{"lactic acid 80 %", 20, 80, 0, 0, 0, 0.01},
		{"vinegar 6 %", 92.8, 6, 0.1, 0.2, 0, 0.1},
		{"cream 30 %", 64.1, 0, 30, 0, 3.1, 0.1},
		{"apple juice 100 %", 88.2, 0.6, 0.1, 0, 9.6, 0.1},
	} {
		g, err := l.Ingredient(c.name)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		p := g.Per100G
		for what, x := range map[string][2]float64{"water": {p.Water, c.water}, "acid": {p.Acids(), c.acid}, "fat": {p.Fat, c.fat}, "alcohol": {p.Ethanol, c.ethanol}, "sugar": {p.Sugars(), c.sugar}} {
			if math.Abs(x[0]-x[1]) > c.tol {
				t.Errorf("%s: %s %.2f, want %.2f", c.name, what, x[0], x[1])
			}
		}
		if math.Abs(p.Sum()-100) > 1.5 {
			t.Errorf("%s adds up to %.1f", c.name, p.Sum())
		}
	}
	for _, name := range []string{"vodka 60 %", "126 proof vodka", "vodka 63 % vol"} {
		if s, err := l.Spirit(name); err != nil || s.Name != "vodka" {
			t.Errorf("%s: %v, %v", name, s, err)
		}
	}
}
