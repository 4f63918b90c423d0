package library

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"steepbook/data"
	"steepbook/data/strict"
)

// table reads a reference file; its first lines, beginning with #, name the
// sources.
func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("..", "..", "testdata", "reference", name))
	if err != nil {
		t.Fatal(err)
	}
	var lines []string
	for l := range strings.Lines(string(src)) {
		if !strings.HasPrefix(l, "#") {
			lines = append(lines, l)
		}
	}
	r := csv.NewReader(strings.NewReader(strings.Join(lines, "")))
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

func float(t *testing.T, s string) float64 {
	t.Helper()
	f, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// every reads all entries of a table.
func every[T any](t *testing.T, rows keyed[T]) map[string]*T {
	t.Helper()
	all := map[string]*T{}
	for name, e := range rows {
		v, err := e.get()
		if err != nil {
			t.Error(err)
		}
		all[name] = v
	}
	return all
}

// decode reads an embedded file whole.
func decode(t *testing.T, name string, v any) {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("..", name)) // some are for tests alone, and not in the program
	if err != nil {
		t.Fatal(err)
	}
	if _, err := strict.Decode("data/"+name, src, v); err != nil {
		t.Fatal(err)
	}
}

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }

// Every entry of the embedded files can be read, and the scan of the names
// finds exactly what decoding finds.
func TestEveryEntryReads(t *testing.T) {
	l := Builtin()
	read := func(kind string, n int, get func(int) (string, []string, error), want [][2]string) {
		if n != len(want) {
			t.Errorf("%d %ss scanned, %d decoded", n, kind, len(want))
		}
		var got [][2]string
		for i := range n {
			name, names, err := get(i)
			if err != nil {
				t.Errorf("%s: %v", kind, err)
			}
			got = append(got, [2]string{name, strings.Join(names, "|")})
		}
		less := func(a, b [2]string) int { return strings.Compare(a[0], b[0]) }
		slices.SortFunc(got, less)
		slices.SortFunc(want, less)
		if !slices.Equal(got, want) {
			t.Errorf("%s: the scan of the names differs from the files", kind)
		}
	}
	decoded := map[string][][2]string{}
	for _, dir := range []string{"botanicals", "ingredients", "spirits"} {
		files, err := data.Files.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			var raw fileIn
			decode(t, dir+"/"+f.Name(), &raw)
			for _, b := range raw.Botanical {
				decoded["botanical"] = append(decoded["botanical"], [2]string{b.Name, strings.Join(b.Names, "|")})
			}
			for _, b := range raw.Ingredient {
				decoded["ingredient"] = append(decoded["ingredient"], [2]string{b.Name, strings.Join(b.Names, "|")})
			}
			for _, b := range raw.Spirit {
				decoded["spirit"] = append(decoded["spirit"], [2]string{b.Name, strings.Join(b.Names, "|")})
			}
		}
	}
	bs, is, ss := l.botanicals().entries, l.ingredients().entries, l.spirits().entries
	read("botanical", len(bs), func(i int) (string, []string, error) { _, err := bs[i].get(); return bs[i].name, bs[i].names, err }, decoded["botanical"])
	read("ingredient", len(is), func(i int) (string, []string, error) { _, err := is[i].get(); return is[i].name, is[i].names, err }, decoded["ingredient"])
	read("spirit", len(ss), func(i int) (string, []string, error) { _, err := ss[i].get(); return ss[i].name, ss[i].names, err }, decoded["spirit"])
	if len(bs) < 150 || len(is) < 120 || len(ss) < 40 {
		t.Errorf("%d botanicals, %d ingredients, %d spirits: the library has shrunk", len(bs), len(is), len(ss))
	}
}

// numbers walks every figure of the library.
func numbers(l *Library, yield func(where string, n Number)) {
	see := func(where string, n Number) {
		if n.Known() {
			yield(where, n)
		}
	}
	hazards := func(where string, hs []Hazard) {
		for _, h := range hs {
			see(where+" hazard "+h.Key, h.MGPerG)
			for _, l := range h.Limits {
				see(where+" hazard "+h.Key, l.MGPerL)
				see(where+" hazard "+h.Key, l.MGPerDay)
			}
			see(where+" hazard "+h.Key, h.LimitGPerDay)
			see(where+" hazard "+h.Key, h.SteepDays)
		}
	}
	for _, b := range l.Botanicals() {
		for _, c := range b.Cuts {
			w := b.Name + ", " + c.Name
			for _, n := range []Number{c.RatePerH, c.EarlyShare, c.LateOffH, c.DoseGPerL, c.WaterGPerG, c.SugarGPerG, c.AcidGPerG, c.AshGPer100G, c.ProteinGPer100G, c.HeldMLPerG, c.PressedMLPerG} {
				see(w, n)
			}
			for _, m := range c.Measures {
				see(w+" "+m.label(), m.Grams)
			}
		}
		hazards(b.Name, b.Hazards)
	}
	for _, g := range l.Ingredients() {
		for _, n := range []Number{g.DensityGPerML, g.PH, g.AcidGPer100ML} {
			see(g.Name, n)
		}
		for _, m := range g.Measures {
			see(g.Name+" "+m.label(), m.Grams)
		}
		hazards(g.Name, g.Hazards)
	}
	for _, s := range l.Spirits() {
		for _, n := range []Number{s.ABVPercent, s.SugarGPer100G, s.AcidGPer100G, s.PH} {
			see(s.Name, n)
		}
		hazards(s.Name, s.Hazards)
	}
	for c := range l.tables.constants() {
		see("constant "+c, l.Constant(Constant(c)))
	}
}

func TestEverySourceResolves(t *testing.T) {
	l := Builtin()
	used := map[string]bool{}
	need := func(where, key string) {
		used[key] = true
		if _, ok := l.Source(key); !ok {
			t.Errorf("%s: source %q is not in sources.csv", where, key)
		}
	}
	signed := func(where, key string, g Grade) {
		if s, _ := l.Source(key); s.Unsigned && g != Page && g != Judgement && g != Practice {
			t.Errorf("%s: %q rests on %s, an unsigned page", where, g, key)
		}
	}
	numbers(l, func(where string, n Number) {
		need(where, n.Source)
		if !n.Grade.valid() || n.Grade == Own {
			t.Errorf("%s: grade %q", where, n.Grade)
		}
		if !finite(n.Value) || n.Low > n.Value || n.High < n.Value {
			t.Errorf("%s: %g in %g to %g", where, n.Value, n.Low, n.High)
		}
		if n.Grade == Published && n.Source == "steepbook" {
			t.Errorf("%s: nobody published a judgement", where)
		}
		signed(where, n.Source, n.Grade)
	})
	for _, h := range l.Hazards() {
		need("hazard "+h.Key, h.Source)
		signed("hazard "+h.Key, h.Source, h.Grade)
	}
	for _, b := range l.Botanicals() {
		for _, a := range b.Allergens {
			need(b.Name, a.Source)
		}
	}
	for _, g := range l.Ingredients() {
		need(g.Name, g.Per100G.Source)
		signed(g.Name, g.Per100G.Source, g.Per100G.Grade)
		for _, a := range g.Allergens {
			need(g.Name, a.Source)
		}
	}
	for n, m := range every(t, l.tables.marcs()) {
		need("marc "+n, m.Held.Source)
		need("marc "+n, m.Pressed.Source)
	}
	for cell, ts := range makerTimes() {
		for _, x := range ts {
			need("times of "+cell, x.Source)
		}
	}
	for n, a := range every(t, l.tables.allergens()) {
		need("allergen "+n, a.Source)
	}
	for _, name := range []string{
		"spoilage.csv", "spoilage-loads.csv", "keeping-times.csv", "flavour-clock.csv", "organism-limits.csv", "organism-together.csv",
	} {
		for _, r := range data.Rows(name) {
			need(name, r.Text("source"))
		}
	}
	keys := map[string]bool{}
	for _, r := range data.Rows("sources.csv") {
		key := r.Text("key")
		s, ok := l.Source(key)
		if keys[key] || !ok {
			t.Errorf("source %q is written twice", key)
		}
		keys[key] = true
		if s.Where == "" || (s.Title == "") != (s.Authors == "") || s.Title == "" && s.Year != 0 || s.Year != 0 && (s.Year < 1900 || s.Year > 2026) {
			t.Errorf("source %q is not complete", key)
		}
		if !used[key] {
			t.Errorf("source %q is used by nothing", key)
		}
	}
}

func TestEveryConstantIsThere(t *testing.T) {
	l := Builtin()
	all := every(t, l.tables.constants())
	for _, c := range []Constant{AromaExponent, HeatExponent, TasteExponent, LateRatio, LateRatioGSD, spoonSpread, cupSpread, pourSpread, pieceSpread,
		scaleErrorG, scaleErrorShare, dashML, dropML, pinchML, splashML, handfulML, LabelToleranceABV} {
		if !l.Constant(c).Known() {
			t.Errorf("constant %q is missing", c)
		}
		delete(all, string(c))
	}
	for c := range all {
		t.Errorf("constant %q is read by nobody", c)
	}
	// 27 CFR 19.356(c) and Regulation (EU) No 1169/2011, Annex XII row 4.
	if n := l.Constant(LabelToleranceABV); n.Value != 0.3 || n.Source != "us-27cfr19" {
		t.Errorf("label tolerance %+v", n)
	}
	if n := l.Constant("no such"); n.Known() {
		t.Error("an unknown constant is known")
	}
}

func TestCutsAreSane(t *testing.T) {
	for _, b := range Builtin().Botanicals() {
		if b.Name == "" || !slices.Contains(kinds(), b.Kind) || !slices.Contains(classes(), b.Class) {
			t.Errorf("%s: kind %q, class %q", b.Name, b.Kind, b.Class)
		}
		if (len(b.Cuts) == 0) != (b.Forbidden != "") {
			t.Errorf("%s: %d cuts, forbidden %q", b.Name, len(b.Cuts), b.Forbidden)
		}
		if b.Nut && len(b.Allergens) == 0 {
			t.Errorf("%s is a nut without an allergen", b.Name)
		}
		if b.LowAcidFresh && !b.Fresh {
			t.Errorf("%s: low-acid fresh but not fresh", b.Name)
		}
		for _, c := range b.Cuts {
			w := b.Name + ", " + c.Name
			if c.Botanical != b.Name || c.name == "" {
				t.Errorf("%s does not know whose it is", w)
			}
			if !(c.RatePerH.Low < c.RatePerH.Value && c.RatePerH.Value < c.RatePerH.High) || c.RateGSD < 1.5 || c.RateGSD > 5 {
				t.Errorf("%s: rate %+v, spread %g", w, c.RatePerH, c.RateGSD)
			}
			if f := c.RatePerH.High / c.RatePerH.Value; !near(math.Log(f)/math.Log(c.RateGSD), z90, 1e-9) {
				t.Errorf("%s: the range is not the 90 %% of the spread", w)
			}
			if !c.DoseGPerL.Known() || !(c.DoseGPerL.Low > 0) {
				t.Errorf("%s: no dose", w)
			}
			if !c.EarlyShare.Known() || !c.HeldMLPerG.Known() || !c.PressedMLPerG.Known() {
				t.Errorf("%s: early share or liquid held is missing", w)
			}
			if c.PressedMLPerG.Value >= c.HeldMLPerG.Value {
				t.Errorf("%s: pressed holds %g, drained %g", w, c.PressedMLPerG.Value, c.HeldMLPerG.Value)
			}
			if (c.LateOff == "") == c.LateOffH.Known() {
				t.Errorf("%s: late fault %q at %+v", w, c.LateOff, c.LateOffH)
			}
			if b.Fresh && !(c.WaterGPerG.Value > 0.3) {
				t.Errorf("%s is fresh and brings %g g/g of water", w, c.WaterGPerG.Value)
			}
			if !b.Fresh && c.WaterGPerG.Value > 0.35 {
				t.Errorf("%s is dry and brings %g g/g of water", w, c.WaterGPerG.Value)
			}
			if sum := c.WaterGPerG.Value + c.SugarGPerG.Value + c.AcidGPerG.Value; sum > 1 {
				t.Errorf("%s: brings %g g/g", w, sum)
			}
			split := c.Sugars.Sucrose + c.Sugars.Glucose + c.Sugars.Fructose
			if c.SugarGPerG.Value > 0 && !near(split, 1, 1e-9) {
				t.Errorf("%s: sugar split adds to %g", w, split)
			}
			if !(c.FirstTasteH > 0) || c.LateOff != "" && c.FirstTasteH > c.LateOffH.Low*1.01+1 {
				t.Errorf("%s: first tasting at %g h, but %s from %g h", w, c.FirstTasteH, c.LateOff, c.LateOffH.Low)
			}
			for _, m := range c.Measures {
				if !(m.Grams.Low > 0) || m.Grams.Value > 1000 {
					t.Errorf("%s: %s = %g g", w, m.label(), m.Grams.Value)
				}
			}
		}
	}
}

// A finer cut is never slower, and a smaller dose goes with it.
func TestFinerCutsAreFaster(t *testing.T) {
	order := []string{"whole", "whole pods", "stick", "strips", "sliced", "chips", "crushed", "cracked", "fine zest", "grated", "ground", "powder"}
	rank := func(n string) int { return slices.Index(order, n) }
	for _, b := range Builtin().Botanicals() {
		for _, c := range b.Cuts {
			for _, d := range b.Cuts {
				if i, j := rank(c.Name), rank(d.Name); i >= 0 && j > i && d.RatePerH.Value < c.RatePerH.Value {
					t.Errorf("%s: %s (%g) is slower than %s (%g)", b.Name, d.Name, d.RatePerH.Value, c.Name, c.RatePerH.Value)
				}
			}
		}
	}
}

func TestIngredientsAreSane(t *testing.T) {
	for _, g := range Builtin().Ingredients() {
		c := g.Per100G
		if !slices.Contains(ingredientKinds(), g.Kind) {
			t.Errorf("%s: kind %q", g.Name, g.Kind)
		}
		if sum := c.Sum(); !near(sum, 100, 1.5) {
			t.Errorf("%s adds to %g g", g.Name, sum)
		}
		if c.Basis == "" {
			t.Errorf("%s does not say what its make-up rests on", g.Name)
		}
		if g.Liquid != g.DensityGPerML.Known() {
			t.Errorf("%s: liquid %v, density %+v", g.Name, g.Liquid, g.DensityGPerML)
		}
		if !g.Liquid && len(g.Measures) == 0 && c.Grade == Published {
			t.Logf("%s can only be weighed", g.Name)
		}
		// The potassium must fit into the ash, except of a salt, where it stands for
		// a hydrogen of the acid.
		if c.PotassiumMG > 1000*c.Ash+60 && c.StrongIonsMMol == nil && c.Ash > 0.3 {
			t.Errorf("%s: %g mg potassium in %g g ash", g.Name, c.PotassiumMG, c.Ash)
		}
		if g.Kind == "juice" && (!g.Nourishing || !g.PH.Known()) {
			t.Errorf("%s: a juice feeds microbes and has a pH", g.Name)
		}
		if g.FreshJuice && !g.Nourishing {
			t.Errorf("%s: fresh juice", g.Name)
		}
		if (g.Dairy || g.Egg || g.NutMilk) && (!g.Nourishing || len(g.Allergens) == 0) {
			t.Errorf("%s: dairy, egg and nut milk feed microbes and are allergens", g.Name)
		}
		if g.AcidGPer100ML.Known() && g.Acid == "" {
			t.Errorf("%s: acidity without the name of the acid", g.Name)
		}
		if g.Acid != "" && !slices.Contains([]string{"citric", "malic", "tartaric", "acetic", "lactic", "sorbic", "benzoic"}, g.Acid) {
			t.Errorf("%s: acid %q", g.Name, g.Acid)
		}
		if g.Preservative != "" && g.Kind != "preservative" {
			t.Errorf("%s: preservative %q of kind %q", g.Name, g.Preservative, g.Kind)
		}
		// Titratable acidity and the acids of the make-up must tell one story:
		// the published ones disagree by up to a third.
		if g.AcidGPer100ML.Known() && g.DensityGPerML.Known() && c.Acids() > 0 {
			byMass := c.Acids() * g.DensityGPerML.Value
			if r := g.AcidGPer100ML.Value / byMass; r < 0.6 || r > 1.5 {
				t.Errorf("%s: %g g/100 mL titratable, %g g/100 mL from its make-up", g.Name, g.AcidGPer100ML.Value, byMass)
			}
		}
	}
}

func TestSpiritsAreSane(t *testing.T) {
	for _, s := range Builtin().Spirits() {
		if !(s.ABVPercent.Low > 0) || s.ABVPercent.High > 96.6 {
			t.Errorf("%s: %+v %% vol", s.Name, s.ABVPercent)
		}
		if s.SugarGPer100G.Value > 0 && !near(s.Sugars.Sucrose+s.Sugars.Glucose+s.Sugars.Fructose, 1, 1e-9) {
			t.Errorf("%s: sugar split", s.Name)
		}
	}
	// Strengths and sugars of spirit-classes.csv (USDA SR26, Ciqual 2020).
	l := Builtin()
	for class, name := range map[string]string{
		"vodka": "vodka", "white or gold rum": "white rum", "whiskey / bourbon": "bourbon", "brandy / grape spirit": "brandy",
		"fruit eau-de-vie": "eau-de-vie", "tequila / agave spirit": "tequila", "neutral grain spirit": "neutral grain spirit", "anise spirit (pastis class)": "anise spirit",
		"overproof rum": "overproof rum", "coffee liqueur, 53 proof": "coffee liqueur", "fortified wine, sweet": "port", "fortified wine, dry": "dry sherry",
		"vermouth / aromatised wine": "vermouth", "table wine, red": "red wine", "table wine, white": "white wine", "distilled spirit 80 proof": "80 proof spirit", "distilled spirit 100 proof": "100 proof spirit",
	} {
		s, err := l.Spirit(name)
		if err != nil {
			t.Error(err)
			continue
		}
		found := false
		for _, r := range table(t, "spirit-classes.csv") {
			if r["class"] != class {
				continue
			}
			found = true
			abv := float(t, r["abv_typical"])
			if abv < s.ABVPercent.Low || abv > s.ABVPercent.High {
				t.Errorf("%s: %g %% vol outside %+v", name, abv, s.ABVPercent)
			}
			if r["sugars_g_per_100g"] != "" && class != "anise spirit (pastis class)" {
				if want := float(t, r["sugars_g_per_100g"]); !near(s.SugarGPer100G.Value, want, 0.06) {
					t.Errorf("%s: %g g sugar per 100 g, want %g", name, s.SugarGPer100G.Value, want)
				}
			}
		}
		if !found {
			t.Errorf("no class %q", class)
		}
	}
}
