package library

import "testing"

// TestBuffers: every cut has an ash and a protein, its plant's, its ingredient's or
// the most of its kind; what a maker adds without them is not taken for clean.
func TestBuffers(t *testing.T) {
	l := Builtin()
	for _, b := range l.Botanicals() {
		for i := range b.Cuts {
			if c := &b.Cuts[i]; !c.AshGPer100G.Known() || !c.ProteinGPer100G.Known() {
				t.Errorf("%s, %s has no ash or no protein", b.Name, c.Name)
			}
		}
	}
	most := 18*Unknown().AshGPer100G.Value + Unknown().ProteinGPer100G.Value
	for _, name := range buffers().Firsts() {
		row, _ := bufferOf(name)
		for _, n := range []Number{row.ash, row.protein} {
			if !(n.Value >= 0 && n.Value <= 100) || !n.Grade.valid() || len(buffers().Rows(name)) != 1 {
				t.Errorf("%s: %+v must lie between 0 and 100, with a known grade, and be written once", name, n)
			}
		}
		if name == "(dry animal)" {
			continue
		}
		if got := 18*row.ash.Value + row.protein.Value; got > most {
			t.Errorf("%s blunts more (%g) than what nobody has described (%g)", name, got, most)
		}
		if name[0] == '(' && row.ash.Grade != Judgement {
			t.Errorf("%s: the most of a kind is a judgement", name)
		}
	}
	for _, c := range []struct {
		plant        string
		ash, protein float64 // USDA SR26
	}{{"almond", 2.97, 21.15}, {"ginger", 0.77, 1.82}, {"garlic", 1.5, 6.36}, {"basil", 1.49, 3.15}, {"clove", 5.63, 5.97}, {"raspberry", 0.46, 1.2}} {
		b, err := l.Botanical(c.plant)
		if err != nil {
			t.Fatal(err)
		}
		if k := &b.Cuts[0]; !near(k.AshGPer100G.Value, c.ash, 1e-9) || !near(k.ProteinGPer100G.Value, c.protein, 1e-9) {
			t.Errorf("%s: ash %g, protein %g", c.plant, k.AshGPer100G.Value, k.ProteinGPer100G.Value)
		}
	}
}

// TestUntoldBuffers: a maker's own ingredient without ash and protein is given the
// most of its kind, unless it is nothing but sugar and water or an acid as such.
func TestUntoldBuffers(t *testing.T) {
	l, err := Builtin().With("library.toml", []byte(`
[[ingredient]]
name = "sloe paste"
kind = "fruit"
per_100g = { water = 50, sucrose = 40, malic = 2, other_solids = 8 }
[[ingredient]]
name = "house syrup of the hill"
kind = "syrup"
per_100g = { water = 34, sucrose = 66 }
[[ingredient]]
name = "hill acid"
kind = "acid"
per_100g = { malic = 100 }
[[ingredient]]
name = "ashy paste"
kind = "fruit"
per_100g = { water = 50, sucrose = 40, malic = 2, ash = 1, other_solids = 7 }
[[botanical]]
name = "hill root"
kind = "root"
fresh = false
[[botanical.cut]]
name = "sliced"
ash_g_per_100g = 1.5
`))
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]float64{"sloe paste": 1.4, "house syrup of the hill": 0, "hill acid": 0, "ashy paste": 0} {
		g, err := l.Ingredient(name)
		if err != nil || g.Per100G.UntoldAsh != want || g.Per100G.AcidGrade != Own {
			t.Errorf("%s: %+v, %v", name, g, err)
		}
	}
	root, err := l.Botanical("hill root")
	if err != nil || root.Cuts[0].AshGPer100G.Value != 1.5 || root.Cuts[0].AshGPer100G.Grade != Own || root.Cuts[0].ProteinGPer100G.Value != 15 {
		t.Errorf("hill root: %+v, %v", root, err)
	}
}
