package mixture

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"steepbook/shelf/alcohol"
)

// TestFreezingPublished: first ice of one solute in water. CRC Handbook of
// Chemistry and Physics, 102nd ed. (2021): within 0.15 °C for ethanol to 65 %
// by mass, sugars and citric acid, 0.2 for glycerol, to the limits of the fits. The
// antifreeze table of another handbook (marked LANGE in the file) and an
// independent fit (MEL) differ from it by up to 1.6 °C themselves and must lie
// within the 2 °C that are claimed.
func TestFreezingPublished(t *testing.T) {
	worst := map[string]float64{}
	n := map[string]int{}
	for _, r := range table(t, "freezing-points.csv") {
		if !strings.HasSuffix(r["system"], "+water") || r["kind"] == "computed" || r["kind"] == "knot" || r["source"] == "ETB" {
			continue
		}
		w := number(t, r["solute_mass_pct"])
		p := Parts{Water: 100 - w}
		tol := 0.15
		switch r["system"] {
		case "ethanol+water":
			if w > 65 {
				continue
			}
			p.Ethanol = w
			if r["source"] != "CRC" {
				tol = 2
			}
		case "sucrose+water":
			p.Sucrose = w
		case "glucose+water":
			p.Glucose = w
		case "fructose+water":
			p.Fructose = w
		case "citric acid+water":
			p.Citric = w
		case "glycerol+water":
			p.Glycerol, tol = w, 0.2
		default:
			t.Fatal(r["system"])
		}
		got, low, high, ok := p.freezingPointC()
		if !ok || low >= got || high < got {
			t.Fatalf("%v: %v (%v to %v) %v", p, got, low, high, ok)
		}
		want := number(t, r["t_freeze_c"])
		near(t, r["source"]+" "+r["system"]+" "+r["solute_mass_pct"], got, want, tol)
		k := r["source"] + " " + r["system"]
		n[k]++
		if math.Abs(got-want) > math.Abs(worst[k]) {
			worst[k] = got - want
		}
	}
	for k := range n {
		t.Logf("%-24s %2d values, largest %+.2f °C", k, n[k], worst[k])
	}
}

// TestFreezingMixed: ethanol with sugar, against values worked out elsewhere
// with the same formula and its ice shares from the full activity route. They
// check the arithmetic; no measured mixture was found.
func TestFreezingMixed(t *testing.T) {
	n := 0
	for _, r := range table(t, "freezing-points.csv") {
		if r["system"] != "ethanol+sucrose+water (per litre at 20 C)" {
			continue
		}
		var sugar, ice float64
		if _, err := fmt.Sscanf(r["note"], "%g g sucrose per litre", &sugar); err != nil {
			t.Fatal(err)
		}
		p := drink(t, number(t, r["ethanol_vol_pct"]), sugar)
		got, _, _, _ := p.freezingPointC()
		near(t, r["ethanol_vol_pct"]+" % vol, "+r["note"], got, number(t, r["t_freeze_c"]), 0.2)
		if i := strings.Index(r["note"], "ice at -18 C: "); i >= 0 {
			if _, err := fmt.Sscanf(r["note"][i:], "ice at -18 C: %g", &ice); err != nil {
				t.Fatal(err)
			}
			share, ok := p.iceShare(-18)
			if !ok {
				t.Fatal("no ice share")
			}
			near(t, "ice, "+r["ethanol_vol_pct"]+" % vol, "+r["note"], 100*share, ice, 2)
		}
		n++
	}
	if n < 35 {
		t.Errorf("%d mixtures", n)
	}
}

// TestSaturation: sucrose in water alone is Bubník and Kadlec (1995), 2.00 g/g
// at 20 °C, and Mohos, Confectionery and Chocolate Engineering (2010), table
// A2.2, within 4 %; 1 g in 138 mL of 95 % vol alcohol (American Medical
// Association, A Handbook of Useful Drugs) and 0.2 g in 100 cm³ of absolute
// ethanol at 14 °C (a sugar-factory handbook, RU in the file), each within a
// factor of 1.4. The grid of derived limits checks the arithmetic in between.
func TestSaturationPublished(t *testing.T) {
	for _, r := range table(t, "sucrose-solubility-ethanol.csv") {
		switch {
		case r["kind"] == "seen" && r["source"] == "MOHOS":
			got := (Parts{Water: 100}).saturationG(number(t, r["temperature_c"]))
			near(t, "water at "+r["temperature_c"], got, number(t, r["value"]), 0.04*number(t, r["value"]))
		case r["kind"] == "computed_limit":
			v, tC, want := number(t, r["ethanol"]), number(t, r["temperature_c"]), number(t, r["value"])
			got := drink(t, v, 100).sucroseLimitGPerL(tC)
			near(t, fmt.Sprintf("%g %% vol at %g °C", v, tC), got, want, 5)
		}
	}
	strong := drink(t, 94.9, 0)
	perGram := 1000 / strong.saturationG(25)
	absolute := drink(t, 100, 0).Times(0.1)
	in100 := absolute.saturationG(14)
	t.Logf("95 %% vol: %.0f mL per g, published 138; absolute: %.2f g in 100 cm³, published 0.2", perGram, in100)
	if perGram < 138/1.4 || perGram > 138*1.4 || in100 < 0.2/1.4 || in100 > 0.2*1.4 {
		t.Error("strong alcohol holds another amount than published")
	}
}

// TestCloudLimits: limonene mixes in all proportions above 0.73 and citral above
// 0.45 mass fraction of ethanol at 20 °C (Gironi, Gonzalez Farias and Lamberti,
// J. Chem. Eng. Data 40 (1995) 578); the remark speaks of % vol.
func TestCloudLimits(t *testing.T) {
	limits := map[string]float64{"limonene": 80, "citral": 53}
	for _, r := range table(t, "louche-thresholds.csv") {
		if v, ok := limits[r["oil_or_component"]]; ok && r["source"] == "GIR95" {
			near(t, r["oil_or_component"], alcohol.ABVPercent(number(t, r["value"])), v, 0.6)
			delete(limits, r["oil_or_component"])
		}
	}
	if len(limits) > 0 {
		t.Errorf("not found: %v", limits)
	}
}

func kinds(rs []Remark) string {
	var s []string
	for _, r := range rs {
		s = append(s, r.Kind)
	}
	return strings.Join(s, " ")
}

func TestRemarks(t *testing.T) {
	juice := mustTitrate(Parts{Water: 88, Glucose: 2.5, Fructose: 2.5, Citric: 1.5, OtherSolids: 1}, 3.2, 15)
	for _, c := range []struct {
		name string
		p    Parts
		s    Setting
		want string
	}{
		{"plain spirit, room", drink(t, 40, 0), Setting{StoreC: 20}, ""},
		{"usual liqueur, fridge", drink(t, 25, 250), Setting{StoreC: 4}, ""},
		{"usual liqueur, freezer", drink(t, 25, 250), Setting{StoreC: -18}, "ice"},
		{"weak, freezer", drink(t, 10, 100), Setting{StoreC: -18}, "ice"},
		{"strong, freezer", drink(t, 40, 100), Setting{StoreC: -18}, ""},
		{"rich and strong", drink(t, 40, 400), Setting{StoreC: 20}, "crystals"},
		{"more than dissolves", drink(t, 45, 400), Setting{StoreC: 4}, Undissolved},
		{"peel cut down", drink(t, 30, 200), Setting{StoreC: 20, OilRich: []string{"lemon peel"}, SteepABV: 95}, "cloud"},
		{"peel not cut", drink(t, 40, 0), Setting{StoreC: 20, OilRich: []string{"lemon peel"}, SteepABV: 40}, ""},
		{"boiled raspberry", juice.Times(5).Plus(drink(t, 20, 300)), Setting{StoreC: 20, PectinRich: []string{"raspberry"}, Boiled: true}, "jelly"},
		{"raw raspberry in spirit", drink(t, 30, 100), Setting{StoreC: 20, PectinRich: []string{"raspberry"}}, "jelly"},
		{"nut milk", drink(t, 5, 300), Setting{StoreC: 4, NutMilk: []string{"almond"}}, "layers"},
		{"warmed", drink(t, 40, 0), Setting{StoreC: 20, WarmedC: 60}, "flame"},
		{"sealed syrup with juice", juice.Plus(drink(t, 0, 200)), Setting{StoreC: 20, Sealed: true, Feeds: []string{"juice"}}, "pressure"},
		{"sealed strong", drink(t, 30, 200), Setting{StoreC: 20, Sealed: true, Feeds: []string{"juice"}}, ""},
	} {
		rs := c.p.Remarks(c.s)
		if got := kinds(rs); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
		for _, r := range rs {
			t.Logf("%s: %s", c.name, r.Text)
			if r.Source == "" || strings.Contains(r.Text, "safe") || strings.Contains(r.Text, "%!") {
				t.Errorf("%s: %+v", c.name, r)
			}
		}
	}
}

func TestTartness(t *testing.T) {
	for _, c := range []struct {
		sugar, citric float64
		want          string
	}{{0, 0, "dry"}, {300, 0, "flat"}, {300, 0.5, "flat"}, {300, 5, "flat"}, {200, 8, "balanced"}, {100, 10, "balanced"}, {60, 10, "sharp"}} {
		p, err := FromVolume(1000, 20, Parts{Sucrose: c.sugar, Citric: c.citric})
		if err != nil {
			t.Fatal(err)
		}
		word, r := p.Tartness()
		if word != c.want || math.IsNaN(r) {
			t.Errorf("%g g/L sugar, %g acid: %s (%v), want %s", c.sugar, c.citric, word, r, c.want)
		}
	}
}

// Properties: more of anything dissolved never freezes earlier; colder means
// more ice and nearer to crystals.
func TestPhysicalProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := func(name string, most float64) float64 { return rapid.Float64Range(0, most).Draw(t, name) }
		p := Parts{Water: 300 + g("water", 700), Ethanol: g("ethanol", 400), Sucrose: g("sucrose", 300), Glucose: g("glucose", 100), Citric: g("citric", 20)}
		f, _, _, ok := p.freezingPointC()
		if !ok || f > 0 {
			t.Fatal("no freezing point")
		}
		for _, more := range []Parts{{Ethanol: 5}, {Sucrose: 5}, {Glucose: 5}, {Citric: 5}} {
			if q, _, _, ok := p.Plus(more).freezingPointC(); ok && q > f+1e-9 {
				t.Fatalf("%+v more: %v, was %v", more, q, f)
			}
		}
		cold, _ := p.iceShare(-18)
		warm, _ := p.iceShare(-10)
		if !(warm <= cold && cold < 1 && warm >= 0) {
			t.Fatalf("ice %v at -18, %v at -10", cold, warm)
		}
		if p.sucroseSaturationShare(4) < p.sucroseSaturationShare(20) {
			t.Fatal("cold holds more sugar")
		}
	})
}

// The water that is said to take up what lies on the bottom does, measured as it is said.
func TestWaterSaidDissolvesIt(t *testing.T) {
	for _, abv := range []float64{0, 17, 18.5, 25, 45} {
		for _, sugar := range []float64{600, 843, 700.5} {
			p := drink(t, 20, 100).Plus(Parts{Sucrose: sugar})
			p.Ethanol *= abv / 20
			more := p.waterToDissolve(4)
			if said := math.Round(more/10) * 10; math.Abs(said-more) > 1e-6 || p.Plus(Parts{Water: said}).UndissolvedG(4) > 0 {
				t.Errorf("%v %% vol: %v g of water more leave %v g", abv, more, p.Plus(Parts{Water: said}).UndissolvedG(4))
			}
		}
	}
}
