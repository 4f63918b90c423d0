package library

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

var (
	ndbNumber  = regexp.MustCompile(`^NDB (\d{5})`)
	ciqualCode = regexp.MustCompile(`^Ciqual (\d+)`)
)

// Compositions against the published records they name: USDA SR26 and the
// abbreviated file of the Standard Reference, Ciqual 2020, and the
// recommended mixes. Water, ash, fat, protein and potassium as printed; sugars
// where they were measured.
func TestCompositionsAgainstTheRecords(t *testing.T) {
	type record struct{ water, ash, fat, protein, potassium, sugars string }
	ndb, ciqual := map[string]record{}, map[string]record{}
	for _, r := range table(t, "ingredient-composition.csv") {
		rec := record{r["water_g"], r["ash_g"], r["fat_g"], r["protein_g"], r["potassium_mg"], r["total_sugars_g"]}
		if m := regexp.MustCompile(`NDB (\d{5})`).FindStringSubmatch(r["source_ref"]); m != nil {
			if !strings.HasPrefix(r["sugars_basis"], "analytical") {
				rec.sugars = ""
			}
			ndb[m[1]] = rec
		}
		if m := regexp.MustCompile(`Ciqual 2020 code (\d+)`).FindStringSubmatch(r["source_ref"]); m != nil {
			rec.sugars = ""
			ciqual[m[1]] = rec
		}
	}
	for _, r := range table(t, "usda-sr-proximates.csv") {
		if _, ok := ndb[r["ndb"]]; !ok {
			ndb[r["ndb"]] = record{r["water_g"], r["ash_g"], r["fat_g"], r["protein_g"], r["potassium_mg"], ""}
		}
	}
	checked := 0
	for _, g := range Builtin().Ingredients() {
		c := g.Per100G
		var rec record
		var ok bool
		if m := ndbNumber.FindStringSubmatch(c.Basis); m != nil {
			if rec, ok = ndb[m[1]]; !ok {
				t.Errorf("%s names NDB %s, which is in no reference file", g.Name, m[1])
			}
		} else if m := ciqualCode.FindStringSubmatch(c.Basis); m != nil {
			if rec, ok = ciqual[m[1]]; !ok {
				t.Errorf("%s names Ciqual %s, which is in no reference file", g.Name, m[1])
			}
		}
		if !ok {
			continue
		}
		checked++
		cmp := func(what string, got float64, want string, tol float64) {
			if want == "" || strings.Contains(c.Basis, "does not fit") && what == "ash" {
				return
			}
			if w := float(t, want); !near(got, w, tol) {
				t.Errorf("%s: %s %g, record %g", g.Name, what, got, w)
			}
		}
		cmp("water", c.Water, rec.water, 0.011)
		cmp("ash", c.Ash, rec.ash, 0.011)
		cmp("fat", c.Fat, rec.fat, 0.011)
		cmp("protein", c.Protein, rec.protein, 0.3) // traces are left in the other solids
		cmp("potassium", c.PotassiumMG, rec.potassium, 0.6)
		cmp("sugars", c.Sugars(), rec.sugars, 0.08) // the parts are rounded
	}
	if checked < 60 {
		t.Errorf("only %d compositions could be held against a record", checked)
	}
	t.Logf("%d compositions checked against a single record", checked)
}

// The recommended working values (mix of USDA, Ciqual and the acid papers).
func TestJuicesAgainstTheRecommendedRows(t *testing.T) {
	l := Builtin()
	for id, name := range map[string]string{
		"lime-juice": "lime juice", "lemon-juice": "lemon juice", "orange-juice": "orange juice", "grapefruit-juice": "grapefruit juice", "pineapple-juice": "pineapple juice",
		"passionfruit-juice": "passion fruit juice", "pomegranate-juice": "pomegranate juice", "apple-juice": "apple juice", "raspberry": "raspberry puree", "strawberry": "strawberry puree", "maple-syrup": "maple syrup", "agave-syrup": "agave syrup", "honey": "honey",
		"cherry-sweet": "sweet cherries", "peach": "peaches",
	} {
		g, err := l.Ingredient(name)
		if err != nil {
			t.Error(err)
			continue
		}
		c := g.Per100G
		for _, r := range table(t, "ingredient-composition.csv") {
			if r["id"] != id || r["row_kind"] != "recommended" {
				continue
			}
			for _, f := range []struct {
				col string
				got float64
				tol float64
			}{
				{"water_g", c.Water, 0.011}, {"sucrose_g", c.Sucrose, 0.011}, {"glucose_g", c.Glucose, 0.011}, {"fructose_g", c.Fructose, 0.011},
				{"organic_acids_g", c.Acids(), 0.011}, {"ash_g", c.Ash, 0.011}, {"potassium_mg", c.PotassiumMG, 0.6},
			} {
				if r[f.col] == "" {
					continue
				}
				if want := float(t, r[f.col]); !near(f.got, want, f.tol) {
					t.Errorf("%s: %s %g, recommended %g", name, f.col, f.got, want)
				}
			}
			if g.Liquid && r["density_g_ml"] != "" {
				if want := float(t, r["density_g_ml"]); !near(g.DensityGPerML.Value, want, 0.0011) {
					t.Errorf("%s: density %g, recommended %g", name, g.DensityGPerML.Value, want)
				}
			}
		}
	}
	// Working pH and titratable acidity: juice-acidity-defaults.csv.
	for _, r := range table(t, "juice-acidity-defaults.csv") {
		g, err := l.Ingredient(r["juice"] + " juice")
		if err != nil {
			t.Error(err)
			continue
		}
		if !near(g.PH.Value, float(t, r["pH"]), 1e-9) || !near(g.AcidGPer100ML.Value, float(t, r["ta_g_per_100mL"]), 1e-9) || g.Acid != r["acid"] {
			t.Errorf("%s: pH %g, %g g/100 mL as %s; want %s, %s as %s", g.Name, g.PH.Value, g.AcidGPer100ML.Value, g.Acid, r["pH"], r["ta_g_per_100mL"], r["acid"])
		}
	}
}

// Sugar syrups: mass fraction by arithmetic, density of a sucrose solution
// against the CRC Handbook table (concentrative properties, sucrose, 20 °C).
func TestSyrups(t *testing.T) {
	l := Builtin()
	crc := map[float64]float64{}
	for _, r := range table(t, "sucrose-water-density.csv") {
		if strings.HasPrefix(r["source"], "CRC") && r["temperature_c"] == "20" {
			crc[float(t, r["sucrose_mass_pct"])] = float(t, r["printed_density_kg_m3"]) / 1000
		}
	}
	density := func(brix float64) float64 {
		lo, hi := math.Floor(brix/2)*2, math.Floor(brix/2)*2+2
		a, ok := crc[lo]
		b, ok2 := crc[hi]
		if !ok || !ok2 {
			t.Fatalf("no density between %g and %g", lo, hi)
		}
		return a + (b-a)*(brix-lo)/2
	}
	for _, c := range []struct {
		name string
		brix float64
	}{
		{"simple syrup", 100 * 0.998 * 100 / 200},
		{"rich syrup", 200 * 0.998 * 100 / 300},
		// One US cup is 236.588 mL of water (0.998 g/mL) and 200 g of sugar (FDC 169655).
		{"simple syrup by volume", 200 * 0.998 * 100 / (200 + 236.588*0.9982)},
		{"rich syrup by volume", 400 * 0.998 * 100 / (400 + 236.588*0.9982)},
	} {
		g, err := l.Ingredient(c.name)
		if err != nil {
			t.Error(err)
			continue
		}
		if !near(g.Per100G.Sucrose, c.brix, 0.02) {
			t.Errorf("%s: %g %% sucrose, want %g", c.name, g.Per100G.Sucrose, c.brix)
		}
		if !near(g.DensityGPerML.Value, density(c.brix), 0.0012) {
			t.Errorf("%s: density %g, want %g", c.name, g.DensityGPerML.Value, density(c.brix))
		}
	}
}

// Kitchen measures: each one that names an FDC id must be a row of the USDA
// portion file with the same weight; and most of its rows are used.
func TestMeasuresAgainstTheUSDAPortions(t *testing.T) {
	type portion struct{ unit, grams string }
	portions := map[int]map[portion]bool{}
	ref := regexp.MustCompile(`^FDC (\d+)`)
	fdc := regexp.MustCompile(`USDA FDC (\d+)`)
	unit := regexp.MustCompile(`^1 (tsp|tbsp|cup|fl oz|dash)\b`)
	for _, r := range table(t, "kitchen-measures.csv") {
		m := ref.FindStringSubmatch(r["source_ref"])
		if m == nil || r["evidence"] != "seen" {
			continue
		}
		id, _ := strconv.Atoi(m[1])
		u := "piece"
		if m := unit.FindStringSubmatch(r["measure"]); m != nil {
			u = m[1]
		}
		if portions[id] == nil {
			portions[id] = map[portion]bool{}
		}
		portions[id][portion{u, fmt.Sprintf("%g", float(t, r["grams_typical"]))}] = false
	}
	checked := 0
	look := func(owner string, ms []Measure) {
		for _, m := range ms {
			ids := fdc.FindStringSubmatch(m.Grams.Note)
			if ids == nil || m.Grams.Grade != Published || m.Grams.Source != "usda-fdc" {
				continue
			}
			id, _ := strconv.Atoi(ids[1])
			p := portion{m.Unit, fmt.Sprintf("%g", m.Grams.Value)}
			if _, ok := portions[id][p]; !ok {
				t.Errorf("%s: %s = %g g is not a portion of FDC %d", owner, m.label(), m.Grams.Value, id)
				continue
			}
			portions[id][p] = true
			checked++
		}
	}
	l := Builtin()
	for _, b := range l.Botanicals() {
		for _, c := range b.Cuts {
			look(b.Name+", "+c.Name, c.Measures)
		}
	}
	for _, g := range l.Ingredients() {
		look(g.Name, g.Measures)
	}
	used, all := 0, 0
	var left []string
	for id, ps := range portions {
		for p, seen := range ps {
			all++
			if seen {
				used++
			} else {
				left = append(left, fmt.Sprintf("%d 1 %s = %s g", id, p.unit, p.grams))
			}
		}
	}
	slices.Sort(left)
	t.Logf("%d measures checked; %d of %d USDA portions used; left: %s", checked, used, all, strings.Join(left, "; "))
	if checked < 110 {
		t.Errorf("only %d measures checked", checked)
	}
}

// Pieces and bulk weights that are not USDA's.
func TestPieceWeightsAgainstPrint(t *testing.T) {
	l := Builtin()
	get := func(name, cut, label string) Number {
		b, err := l.Botanical(name)
		if err != nil {
			t.Fatal(err)
		}
		c, err := b.Cut(cut)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range c.Measures {
			if m.label() == label {
				return m.Grams
			}
		}
		t.Fatalf("%s, %s has no %s", name, cut, label)
		return Number{}
	}
	for _, r := range table(t, "piece-weights.csv") {
		var n Number
		switch {
		case r["ingredient"] == "clove" && r["measure"] == "1 clove": // IASRI e-course: 11 000 to 15 000 per kg
			n = get("clove", "whole", "1 clove")
		case r["form"] == "pods, whole" && r["measure"] == "1 tbsp": // Kerala Agricultural University, litre weights
			n = get("green cardamom", "whole pods", "1 tbsp")
		case r["form"] == "seeds only" && r["measure"] == "1 tbsp":
			n = get("green cardamom", "seeds", "1 tbsp")
		default:
			continue
		}
		if n.Low != float(t, r["grams_min"]) || n.Value != float(t, r["grams_typical"]) || n.High != float(t, r["grams_max"]) || n.Grade == Memory {
			t.Errorf("%s %s: %+v, want %s (%s to %s)", r["ingredient"], r["form"], n, r["grams_typical"], r["grams_min"], r["grams_max"])
		}
	}
	// 1000 peppercorns 42.82 to 56.04 g (J. Spices Aromatic Crops 22:131, 2013); 1000 fennel seeds 5.5 to 9.2 g (J. Agric. Sci. 1(1), 2009).
	if n := get("black pepper", "whole", "1 peppercorn"); n.Low != 0.043 || n.High != 0.056 {
		t.Errorf("peppercorn %+v", n)
	}
	if n := get("fennel seed", "whole", "1 seed"); n.Low != 0.0055 || n.High != 0.0092 {
		t.Errorf("fennel seed %+v", n)
	}
}

// Water of fresh plants: USDA Standard Reference records.
func TestWaterOfFreshPlants(t *testing.T) {
	l := Builtin()
	for _, c := range []struct {
		name, cut string
		water     float64
	}{
		{"ginger", "", 78.89}, {"mint", "", 85.55}, {"peppermint", "", 78.65}, {"lemon zest", "", 81.6}, {"orange zest", "", 72.5}, // ingredient-composition.csv
		{"jalapeño", "sliced", 91.69}, {"celery", "", 95.43}, {"garlic", "", 58.58}, {"kiwi", "", 83.07}, {"parsley", "", 87.71},
		{"basil", "", 92.06}, {"dill", "", 85.95}, {"thyme", "", 65.11}, {"rosemary", "", 67.77}, // usda-sr-proximates.csv
		{"raspberry", "", 85.75}, {"elderberry", "", 79.8}, {"dried fig", "", 30.05}, {"prune", "", 30.92},
	} {
		_, cut, _, err := l.BotanicalAndCut(c.name, c.cut)
		if err != nil {
			t.Error(err)
			continue
		}
		if !near(cut.WaterGPerG.Value, c.water/100, 0.0006) {
			t.Errorf("%s: %g g/g, want %g", c.name, cut.WaterGPerG.Value, c.water/100)
		}
	}
}
