package picture

import (
	"math"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/library"
)

// TestMapSlants: where sugar and acid count, sweetness does for strength: the
// strength from which a sour drink with raw juice keeps for weeks falls as its
// sugar rises, and the shelf line stands upright.
func TestMapSlants(t *testing.T) {
	src := "name = \"T\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nabv = 40\namount = \"500 ml\"\n" + "[[addition]]\nname = \"lime juice\"\namount = \"300 ml\"\n[[addition]]\nname = \"white sugar\"\namount = \"400 g\"\n[[addition]]\nname = \"water\"\namount = \"600 ml\"\n"
	a, err := bench.Assess(somejar.Parse(t, src), library.Builtin(), bench.Question{Now: time.Date(2026, 11, 21, 8, 0, 0, 0, time.UTC)})
	if err != nil {
		t.Fatal(err)
	}
	m, ok := KeepingMap(a)
	if !ok {
		t.Fatal("no map")
	}
	least := map[string]map[float64]float64{}
	for _, r := range m.Regions {
		least[r.Name] = map[float64]float64{}
		for _, p := range r.Outline[:len(r.Outline)-2] {
			least[r.Name][p.SugarGPerL] = p.ABVPercent
		}
	}
	if weeks := least["fridge: weeks"]; weeks[0] < weeks[450]+1 {
		t.Errorf("weeks from %.1f %% vol without sugar, from %.1f with 450 g/L", weeks[0], weeks[450])
	}
	if shelf := least["shelf"]; shelf[0] < 20 || shelf[0]-shelf[450] > 0.2 || shelf[450]-shelf[0] > 0.2 {
		t.Errorf("a shelf from %.1f %% vol without sugar, from %.1f with 450 g/L", shelf[0], shelf[450])
	}
	if len(m.Path) == 0 {
		t.Error("nothing would move it")
	}
}

// TestChartIsWhatIsSaid: each curve of the chart is, at this moment, at the strength that every other answer has.
func TestChartIsWhatIsSaid(t *testing.T) {
	src := "name = \"T\"\nstarted = 2026-12-01T19:00:00\n[spirit]\nabv = 50\namount = \"950 ml\"\n" +
		"[[botanical]]\nname = \"green walnuts\"\ncut = \"quartered\"\namount = \"12\"\n" +
		"[[botanical]]\nname = \"orange peel\"\namount = \"20 g\"\n" +
		"[[addition]]\nname = \"sugar\"\namount = \"250 g\"\n[[watch]]\nname = \"bitter\"\nlimit = 2\n" +
		"[[tasting]]\nat = 2026-12-15T19:00:00\nscore = { bitter = 0.5, \"green walnuts\" = 2, \"orange peel\" = 3 }\n" +
		"[[tasting]]\nat = 2026-12-28T19:00:00\nscore = { bitter = 1.2, \"green walnuts\" = 3 }\n" +
		"[[strained]]\nat = 2027-01-12T10:00:00\n"
	a, err := bench.Assess(somejar.Parse(t, src), library.Builtin(), bench.Question{Now: time.Date(2027, 1, 12, 11, 0, 0, 0, time.UTC)})
	if err != nil {
		t.Fatal(err)
	}
	if err := a.Steep(); err != nil {
		t.Fatal(err)
	}
	chart := Chart(a)
	for i := range a.Curves {
		c := &a.Curves[i]
		for _, d := range chart.Panels {
			if last := len(d.Middle) - 1; d.Name == c.Name && math.Abs(d.Middle[last]-c.BottleNow.Value) > 0.02 {
				t.Errorf("%s: %.2f in the chart, %.2f said", c.Name, d.Middle[last], c.BottleNow.Value)
			}
		}
	}
	if len(chart.Panels) != 3 {
		t.Errorf("%d curves", len(chart.Panels))
	}
}
