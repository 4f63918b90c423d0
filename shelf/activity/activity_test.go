package activity

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// table reads a file of published values; the sources stand in its # lines.
func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "reference", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, rec := range all[1:] {
		row := map[string]string{}
		for i, h := range all[0] {
			row[h] = rec[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// TestBinary checks one solute at a time against measurements. Isopiestic at
// 25 °C: Scatchard, Hamer and Wood, J. Am. Chem. Soc. 60 (1938) 3061 (sucrose,
// glycerol) and Robinson and Sinclair, J. Am. Chem. Soc. 56 (1934) 1830
// (sucrose). Freezing points of the CRC Handbook, 102nd ed. (2021), turned into
// activities with the vapour pressures of Murphy and Koop (2005): glucose,
// fructose, citric acid. Vapour over ethanol and water at 30 °C: Pemberton and
// Mash, J. Chem. Thermodyn. 10 (1978) 867; at 25 °C: total pressures of Yang,
// Demirgian, Solsky, Kikta and Marinsky, J. Phys. Chem. 83 (1979) 2752. The
// citric acid constant is only claimed to 10 % by mass.
func TestBinary(t *testing.T) {
	type set struct{ solute, source string }
	tolerance := map[set]struct {
		most, upTo float64
		atLeast    int
	}{
		{"sucrose", "SHW1938"}:        {0.0015, 68, 10},
		{"sucrose", "RS1934"}:         {0.0015, 68, 10},
		{"glycerol", "SHW1938"}:       {0.0025, 58, 24},
		{"glucose", "CRC+MK2005"}:     {0.0008, 31, 14},
		{"fructose", "CRC+MK2005"}:    {0.0007, 29, 13},
		{"citric acid", "CRC+MK2005"}: {0.0003, 10, 4},
		{"ethanol", "PM1978"}:         {0.0061, 100, 23},
		{"ethanol", "Y1979P"}:         {0.0096, 50, 5},
	}
	type result struct {
		n          int
		sum, worst float64
	}
	got := map[set]*result{}
	for _, r := range table(t, "water-activity-binary.csv") {
		k := set{r["solute"], r["source"]}
		tol, ok := tolerance[k]
		w := number(t, r["mass_pct"])
		if !ok || r["quality"] == "X" || r["quality"] == "C" || w > tol.upTo {
			continue
		}
		m := Masses{Water: 100 - w}
		switch r["solute"] {
		case "sucrose":
			m.Sucrose = w
		case "glycerol":
			m.Glycerol = w
		case "glucose":
			m.Glucose = w
		case "fructose":
			m.Fructose = w
		case "citric acid":
			m.Citric = w
		case "ethanol":
			m.Ethanol = w
		}
		c, low, high := Water(m)
		if c != low || c != high {
			t.Errorf("%s %s %%: a span without a mixture of ethanol and sugar", r["solute"], r["mass_pct"])
		}
		dev := c - number(t, r["aw"])
		if math.Abs(dev) > tol.most {
			t.Errorf("%s %s %% (%s): %.4f, measured %s", r["solute"], r["mass_pct"], r["source"], c, r["aw"])
		}
		if got[k] == nil {
			got[k] = &result{}
		}
		got[k].n++
		got[k].sum += dev * dev
		if math.Abs(dev) > math.Abs(got[k].worst) {
			got[k].worst = dev
		}
	}
	for k, tol := range tolerance {
		g := got[k]
		if g == nil || g.n < tol.atLeast {
			t.Errorf("%s, %s: %v, want at least %d values compared", k.solute, k.source, g, tol.atLeast)
			continue
		}
		t.Logf("%-11s %-11s %2d values, rms %.4f, largest %+.4f", k.solute, k.source, g.n, math.Sqrt(g.sum/float64(g.n)), g.worst)
	}
}

// TestVectors are mixtures worked out by hand elsewhere from the same published
// constants: they check the arithmetic, not the model. Second value: the
// central one where ethanol and sugar meet.
func TestVectors(t *testing.T) {
	for _, c := range []struct {
		m             Masses
		high, central float64
	}{
		{Masses{Water: 66.7, Ethanol: 33.3}, 0.8734, 0.8734},
		{Masses{Water: 50, Sucrose: 50}, 0.9348, 0.9348},
		{Masses{Water: 32.53, Sucrose: 67.47}, 0.8468, 0.8468},
		{Masses{Water: 615, Ethanol: 197, Sucrose: 250}, 0.8832, 0.8757},
		{Masses{Water: 615, Ethanol: 197, Sucrose: 250, Citric: 8}, 0.8819, 0.8740},
		{Masses{Water: 537, Ethanol: 237, Sucrose: 300}, 0.8526, 0.8401},
		{Masses{Water: 40, Glucose: 30, Fructose: 30}, 0.8369, 0.8369},
	} {
		central, low, high := Water(c.m)
		if math.Abs(high-c.high) > 5e-5 || math.Abs(central-c.central) > 5e-5 || low > central {
			t.Errorf("%+v: %.4f (%.4f to %.4f), want %.4f to %.4f", c.m, central, low, high, c.central, c.high)
		}
	}
}

// TestMeasuredMixtures: grain alcohol and spirits (Allan, Grush, Rajwa, Butzke
// and Mauer, Food Anal. Methods 12 (2019) 2753), flower honey of 15.0 and 20.4 %
// moisture (Serin, Turhan and Turhan, Food Sci. Technol., doi
// 10.1590/1678-457X.31716; composition of honey scaled from USDA Standard
// Reference 19296; adding the squares singly instead of squaring the sum would
// give 0.66 for the second), saturated sucrose (New York State Department of
// Agriculture and Markets, principal groups of foods).
func TestMeasuredMixtures(t *testing.T) {
	honey := func(moisture float64) Masses {
		f := (100 - moisture) / 82.9
		return Masses{Water: moisture, Fructose: 40.94 * f, Glucose: 35.75 * f, Sucrose: (0.89 + 1.44 + 3.1) * f}
	}
	for _, c := range []struct {
		name      string
		m         Masses
		want, tol float64
	}{
		{"95 % vol", Masses{Water: 7.6, Ethanol: 92.4}, 0.365, 0.012},
		{"40 % vol, inside 0.750 to 0.909", Masses{Water: 66.7, Ethanol: 33.3}, (0.750 + 0.909) / 2, 0.0795},
		{"honey 15.0 %", honey(15.0), 0.470, 0.02},
		{"honey 20.4 %", honey(20.4), 0.563, 0.05},
		{"saturated sucrose", Masses{Water: 1, Sucrose: Saturation(25)}, 0.85, 0.005},
		{"26 % sucrose", Masses{Water: 74, Sucrose: 26}, 0.98, 0.005},
		{"50 % sucrose", Masses{Water: 50, Sucrose: 50}, 0.93, 0.005},
	} {
		got, _, _ := Water(c.m)
		t.Logf("%-32s %.4f against %.4f", c.name, got, c.want)
		if math.Abs(got-c.want) > c.tol {
			t.Errorf("%s: %.4f, measured %.4f ± %g", c.name, got, c.want, c.tol)
		}
	}
}

// TestSaturation: Bubník and Kadlec (1995), recommended column of the file, and
// within 0.5 % of the older CRC Handbook column (whose 15 °C row is a misprint).
func TestSaturation(t *testing.T) {
	for _, r := range table(t, "sucrose-solubility.csv") {
		s := Saturation(number(t, r["temp_C"]))
		got := 100 * s / (1 + s)
		if want := number(t, r["bk95_mass_pct"]); math.Abs(got-want) > 0.0051 {
			t.Errorf("%s °C: %.3f %%, want %.2f", r["temp_C"], got, want)
		}
		if want := number(t, r["handbook_mass_pct"]); math.Abs(got-want) > 0.55 {
			t.Errorf("%s °C: %.3f %%, handbook %.2f", r["temp_C"], got, want)
		}
	}
}

// Properties: between 0 and 1, ordered, and falling when anything but water
// is added; mass scale does not matter.
func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := func(name string, most float64) float64 { return rapid.Float64Range(0, most).Draw(t, name) }
		m := Masses{
			Water: 1 + g("water", 1000), Ethanol: g("ethanol", 1000), Sucrose: g("sucrose", 600), Glucose: g("glucose", 300),
			Fructose: g("fructose", 300), Glycerol: g("glycerol", 100), Citric: g("citric", 60),
		}
		c, low, high := Water(m)
		if !(0 < low && low <= c && c <= high && high <= 1) {
			t.Fatalf("%+v: %v (%v to %v)", m, c, low, high)
		}
		f := rapid.Float64Range(1e-3, 1e3).Draw(t, "scale")
		n := Masses{m.Water * f, m.Ethanol * f, m.Sucrose * f, m.Glucose * f, m.Fructose * f, m.Glycerol * f, m.Citric * f}
		if c2, _, _ := Water(n); math.Abs(c2-c) > 1e-12 {
			t.Fatalf("scaled by %v: %v, was %v", f, c2, c)
		}
		m.Sucrose += 1
		if c2, _, h2 := Water(m); c2 > c || h2 > high {
			t.Fatalf("more sugar raises the activity: %v to %v", c, c2)
		}
		if e := ModelError(m); !(e > 0 && e < 0.05) {
			t.Fatalf("model error %v", e)
		}
	})
}

func TestEmpty(t *testing.T) {
	for _, m := range []Masses{{}, {Ethanol: 1}, {Sucrose: 1}} {
		if c, low, high := Water(m); c != 0 || low != 0 || high != 0 {
			t.Errorf("%+v: %v %v %v", m, c, low, high)
		}
	}
}
