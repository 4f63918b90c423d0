package shelf

import (
	"strings"
	"testing"

	"steepbook/shelf/mixture"
)

// TestHeatKillsNoSpores: what heat and a hot close buy rests on the dryness or the acid that holds spores
// (FDA Food Code 1-201.10(B), Table A), and the answer says so, and how near that is.
func TestHeatKillsNoSpores(t *testing.T) {
	garlic := func(aw float64) Bottle {
		return Bottle{ABVPercent: mixture.Exactly(0), SugarGPerL: mixture.Exactly(700), NoSpirit: true,
			WaterActivity: mixture.Exactly(aw), FreshLowAcid: []string{"garlic"}, Heated: true}
	}
	for _, c := range []struct {
		aw          float64
		holds, near bool
	}{{0.95, false, false}, {0.91, false, false}, {0.895, true, true}, {0.87, true, false}} {
		v := Judge(garlic(c.aw), Storage{Place: Fridge})
		said := false
		for _, r := range v.Reasons {
			said = said || strings.Contains(r.Text, "heat kills no spores") && r.Pass == c.holds && r.Limit == 0.92
		}
		if v.Fails == c.holds || !said || strings.Contains(v.Edge, "water activity") != c.near {
			t.Errorf("water activity %g: fails %v, said %v, edge %q", c.aw, v.Fails, said, v.Edge)
		}
	}
	raw := garlic(0.87)
	raw.Heated = false
	for _, c := range Changes(raw, Storage{Place: Fridge}, nil) {
		if c.Kind == ChangeHeat && !strings.Contains(c.Text, "kills no spores") {
			t.Errorf("heat is offered as if it killed spores: %s", c.Text)
		}
	}
}

// TestTheNearestMarginIsTold: the edge is that of the figure that fails first.
func TestTheNearestMarginIsTold(t *testing.T) {
	b := Bottle{ABVPercent: mixture.Exactly(25.5), SugarGPerL: mixture.Exactly(200), PHKnown: true,
		PH: mixture.Exactly(3.29), Nourishing: []string{"lime juice"}, FreshJuice: []string{"lime juice"}}
	if v := Judge(b, Storage{Place: Room}); v.Verdict != VerdictShelf || v.Edge != "0.01 of pH less sour, and it needs the fridge" {
		t.Errorf("%s, %q", v.Verdict, v.Edge)
	}
}
