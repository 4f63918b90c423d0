package acidity

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"path/filepath"
	"regexp"
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
	r.LazyQuotes = true
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

func mustPH(t *testing.T, as []Amount, z, abv float64) float64 {
	t.Helper()
	v, err := PH(as, z, abv)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestConstants(t *testing.T) {
	known := map[string]Acid{
		"citric": Citric, "malic": Malic, "tartaric (L)": Tartaric, "phosphoric": phosphoric,
		"succinic": succinic, "acetic": Acetic, "lactic": Lactic,
	}
	n := 0
	for _, r := range table(t, "acid-dissociation.csv") {
		a, ok := known[r["acid"]]
		if !ok {
			continue
		}
		n++
		if a.MolarMass != number(t, r["molar_mass"]) {
			t.Errorf("%s: molar mass %v", a.Name, a.MolarMass)
		}
		for i, k := range a.PKa {
			if k != number(t, r["pKa"+strconv.Itoa(i+1)]) {
				t.Errorf("%s: pKa%d = %v", a.Name, i+1, k)
			}
		}
	}
	if n != len(known) {
		t.Errorf("%d acids compared, want %d", n, len(known))
	}
}

// TestStandard: 0.05 mol/kg potassium dihydrogen citrate has pH 3.776 at 25 °C
// (Two New Standards for the pH Scale, J. Res. NBS 73A (1969) 37). At this
// strength a litre and a kilogram of water differ by less than 0.005 in pH.
func TestStandard(t *testing.T) {
	got := mustPH(t, []Amount{{Citric, 0.05}}, 0.05, 0)
	t.Logf("%.4f against 3.776", got)
	if math.Abs(got-3.776) > 0.02 {
		t.Errorf("pH %.4f, want 3.776 ± 0.02", got)
	}
}

// TestCitratePhosphate: table of 0.1 mol/L citric acid with 0.2 mol/L disodium
// hydrogen phosphate, as reproduced by the University of Massachusetts and
// others. From pH 2.6 to 4.4, where drinks lie and the ionic strength stays
// near 0.3, the model must be within 0.1 and reads high, the cautious side.
// Above that it drifts to 0.17 at pH 5: outside the activity formula, not
// claimed, and only held here so that it does not get worse unnoticed.
func TestCitratePhosphate(t *testing.T) {
	mix := regexp.MustCompile(`^([0-9.]+) mL 0\.1 M citric acid \+ ([0-9.]+) mL 0\.2 M Na2HPO4$`)
	n := 0
	for _, r := range table(t, "ph-check-values.csv") {
		m := mix.FindStringSubmatch(r["solution"])
		if m == nil {
			continue
		}
		n++
		c, p := number(t, m[1])/100*0.1, number(t, m[2])/100*0.2
		got, want := mustPH(t, []Amount{{Citric, c}, {phosphoric, p}}, 2*p, 0), number(t, r["pH_published"])
		tol := 0.105 // the table is printed to 0.1 mL and 0.1 pH steps
		if want > 4.4 {
			tol = 0.18
		}
		t.Logf("pH %.1f: %+.3f", want, got-want)
		if math.Abs(got-want) > tol {
			t.Errorf("%s: pH %.3f, published %.1f", r["solution"], got, want)
		}
	}
	if n != 13 {
		t.Errorf("%d mixtures compared, want 13", n)
	}
}

// TestCitricAlone: citric acid without salts, 1, 10 and 100 mmol/L, against a
// published calculated table (it checks the arithmetic, not the constants).
func TestCitricAlone(t *testing.T) {
	n := 0
	for _, r := range table(t, "ph-citric-solutions.csv") {
		if r["kind"] != "pH_calculated_elsewhere" {
			continue
		}
		n++
		got, want := mustPH(t, []Amount{{Citric, number(t, r["amount"])}}, 0, 0), number(t, r["value"])
		if math.Abs(got-want) > 0.0051 {
			t.Errorf("%s mol/L: %.4f, want %.2f", r["amount"], got, want)
		}
	}
	if n != 3 {
		t.Errorf("%d values, want 3", n)
	}
}

// TestEthanolShift: dissociation steps of lactic and succinic acid at 0 and 12 %
// vol (Prenesti, Berto, Toso and Daniele 2012, Table 4); their mean is the rule.
func TestEthanolShift(t *testing.T) {
	sum, n := 0.0, 0.0
	for _, r := range table(t, "ph-ethanol-shift.csv") {
		d := number(t, r["pKa_12pct"]) - number(t, r["pKa_0pct"])
		if math.Abs(shift(12)-d) > 0.045 {
			t.Errorf("%s %s: rise %.3f, rule %.3f", r["acid"], r["step"], d, shift(12))
		}
		sum, n = sum+d, n+1
	}
	if math.Abs(sum/n-shift(12)) > 0.005 {
		t.Errorf("mean rise %.4f, rule %.4f", sum/n, shift(12))
	}
	// A half-neutralised monoprotic acid sits at its pKa, so its pH moves with it.
	as := []Amount{{Lactic, 0.02}}
	if d := mustPH(t, as, 0.01, 12) - mustPH(t, as, 0.01, 0); math.Abs(d-0.168) > 0.006 {
		t.Errorf("half-neutralised lactic acid moves by %.3f", d)
	}
}

// TestJuices: the strong ions that pH and titratable acidity call for against
// the sum of potassium, sodium, calcium and magnesium of the same juice in the
// USDA National Nutrient Database for Standard Reference (2014): independent
// measurements. The mineral sum is an upper bound, because chloride, sulphate
// and phosphate are not taken off it, so only the six juices with few of
// those agree; lime and cranberry do not (24 against 44, 18 against 29) and are
// shown but not held. acid_mol_L and the dilution columns were worked out
// elsewhere with the same model: arithmetic only.
func TestJuices(t *testing.T) {
	held := map[string]bool{"lemon": true, "orange": true, "grapefruit": true, "pineapple": true, "passion fruit": true, "apple": true}
	for _, r := range table(t, "juice-acidity-defaults.csv") {
		acid := Citric
		if r["acid"] == "malic" {
			acid = Malic
		}
		pH := number(t, r["pH"])
		c, z, err := juice(pH, 10*number(t, r["ta_g_per_100mL"]), acid)
		if err != nil {
			t.Fatal(err)
		}
		usda := number(t, r["usda_cations_meq_kg"])
		t.Logf("%-13s strong ions %5.1f mmol/L, minerals %.0f mmol/kg", r["juice"], 1000*z, usda)
		if held[r["juice"]] && math.Abs(1000*z-usda) > 10 {
			t.Errorf("%s: strong ions %.1f mmol/L, minerals %.0f", r["juice"], 1000*z, usda)
		}
		if want := number(t, r["acid_mol_L"]); math.Abs(c-want) > 1.5e-4 {
			t.Errorf("%s: acid %.4f mol/L, want %.4f", r["juice"], c, want)
		}
		for _, d := range []float64{1, 2, 4, 10} {
			got := mustPH(t, []Amount{{acid, c / d}}, z/d, 0)
			if want := number(t, r["pH_x"+strconv.Itoa(int(d))]); math.Abs(got-want) > 0.0065 {
				t.Errorf("%s in %g volumes: pH %.3f, want %.2f", r["juice"], d, got, want)
			}
		}
		ta, err := titratable([]Amount{{acid, c}}, z)
		if err != nil {
			t.Fatal(err)
		}
		want := 10 * number(t, r["ta_g_per_100mL"]) * float64(len(acid.PKa)) / acid.MolarMass * Citric.MolarMass / 3
		if math.Abs(ta-want) > 1e-6*want {
			t.Errorf("%s: titratable %.4f g/L as citric, want %.4f", r["juice"], ta, want)
		}
	}
}

// TestPlantSalt: lime juice with a plant as the salt of a weak acid, against a
// second program of another formulation (arithmetic).
func TestPlantSalt(t *testing.T) {
	c, z, err := juice(2.2, 47, Citric)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, r := range table(t, "plant-salt-ph.csv") {
		n++
		share := number(t, r["juice_ml"]) / 1000 / number(t, r["litres"])
		pool := number(t, r["g"]) * number(t, r["b_meq_per_100g"]) / 1e5 / number(t, r["litres"])
		got := mustPH(t, []Amount{{Citric, c * share}, {Plant, pool}}, z*share+pool, number(t, r["abv"]))
		if want := number(t, r["pH"]); math.Abs(got-want) > 0.001 {
			t.Errorf("%v: pH %.4f, want %.3f", r, got, want)
		}
	}
	if n != 18 {
		t.Errorf("%d rows compared, want 18", n)
	}
}

// TestPlantBuffer: almonds by 18 x ash + protein (USDA SR26 NDB 12061: 2.97 and
// 21.15 g) must stay above the charge of their minerals and protein: 52.4 meq of
// potassium, sodium, calcium and magnesium in 100 g (Proudfit, Dietetics for
// Nurses) and the 13.5 meq of their ash's alkalinity.
func TestPlantBuffer(t *testing.T) {
	b := 100 * PlantMMolPerG(2.97, 21.15)
	if math.Abs(b-74.61) > 1e-9 || 18*2.97 < 52.4 {
		t.Errorf("almonds: %g meq in 100 g", b)
	}
	if PlantMMolPerG(-1, -1) != 0 {
		t.Error("less than nothing")
	}
}

// TestVinegar: a solution of a weak acid alone, pH = (pKa - log c)/2 where little
// of it is charged: 5 % of acetic acid, 0.833 mol/L.
func TestVinegar(t *testing.T) {
	got, want := mustPH(t, []Amount{{Acetic, 50 / Acetic.MolarMass}}, 0, 0), (4.757-math.Log10(50/60.052))/2
	if math.Abs(got-want) > 0.003 {
		t.Errorf("pH %.4f, by hand %.4f", got, want)
	}
}

func TestInput(t *testing.T) {
	nan := math.NaN()
	if _, err := PH([]Amount{{Citric, -1}}, 0, 0); !errors.Is(err, errInput) {
		t.Error(err)
	}
	if _, err := PH([]Amount{{Citric, nan}}, 0, 0); !errors.Is(err, errInput) {
		t.Error(err)
	}
	if _, err := PH(nil, nan, 0); !errors.Is(err, errInput) {
		t.Error(err)
	}
	if _, err := PH(nil, 0, 101); !errors.Is(err, errInput) {
		t.Error(err)
	}
	if _, err := StrongIons(nil, nan, 0); !errors.Is(err, errInput) {
		t.Error(err)
	}
	for _, c := range [][2]float64{{0.5, 10}, {9, 10}, {3, 0}, {3, -1}, {3, nan}, {nan, 3}, {3, 1e4}, {1.2, 0.01}} {
		if _, _, err := juice(c[0], c[1], Citric); !errors.Is(err, errInput) {
			t.Errorf("juice(%v) = %v", c, err)
		}
	}
	if v := mustPH(t, nil, 0, 0); math.Abs(v-6.9975) > 1e-3 {
		t.Errorf("pure water: pH %v", v)
	}
}

// Properties: PH and StrongIons undo each other; more acid lowers, more strong
// ions and more ethanol raise the pH.
func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		as := []Amount{
			{Citric, rapid.Float64Range(1e-4, 0.4).Draw(t, "citric")},
			{Malic, rapid.Float64Range(0, 0.2).Draw(t, "malic")},
		}
		z := rapid.Float64Range(0, 0.1).Draw(t, "z")
		abv := rapid.Float64Range(0, 60).Draw(t, "abv")
		ph := func(as []Amount, z, abv float64) float64 {
			v, err := PH(as, z, abv)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		v := ph(as, z, abv)
		back, err := StrongIons(as, v, abv)
		if err != nil || math.Abs(back-z) > 1e-9 {
			t.Fatalf("%v back from pH %v, put in %v (%v)", back, v, z, err)
		}
		if ph([]Amount{{Citric, as[0].MolPerL * 1.1}, as[1]}, z, abv) > v {
			t.Fatal("more acid raised the pH")
		}
		if ph(as, z+0.005, abv) < v {
			t.Fatal("more strong ions lowered the pH")
		}
		if abv < 58 && v < 6 && ph(as, z, abv+2) < v {
			t.Fatal("more ethanol lowered the pH")
		}
	})
}

func TestError(t *testing.T) {
	last := 0.0
	for v := 0.0; v <= 100; v++ {
		e := Error(v)
		if e < last || e > 0.4 {
			t.Fatalf("Error(%v) = %v after %v", v, e, last)
		}
		last = e
	}
}

func BenchmarkPH(b *testing.B) {
	as := []Amount{{Citric, 0.05}, {Malic, 0.01}}
	for b.Loop() {
		if _, err := PH(as, 0.02, 20); err != nil {
			b.Fatal(err)
		}
	}
}
