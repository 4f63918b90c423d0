package harm

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"steepbook/shelf/mixture"
)

// levels are some of the published ones, as data/hazards/limits.toml has them.
var levels = map[string][]Limit{
	"coumarin":         {{MgPerDay: 6, Source: "EFSA"}},
	"quinine":          {{MgPerL: 83, Source: "21 CFR 172.510"}},
	"glycyrrhizin":     {{MgPerL: 1000, Source: "21 CFR 184"}, {MgPerDay: 100, Source: "EU SCF 2003"}},
	"safrole":          {{MgPerL: 2, ToABV: 25, Source: "Directive 88/388/EEC"}, {MgPerL: 5, OverABV: 25, Source: "Directive 88/388/EEC"}},
	"thujone":          {{MgPerL: 35, Source: "law"}},
	"hydrogen cyanide": {{MgPerL: 35, Source: "EU"}, {MgPerL: 25, Source: "US"}},
}

// TestDoses: what is said of an amount beside its levels, at a strength [% vol], 0: about 26, in a glass.
func TestDoses(t *testing.T) {
	for _, c := range []struct {
		name         string
		abv, serveML float64
		s            Substance
		text         string
		want         bool
	}{
		// 20 g/L of cassia stick at up to 10 mg/g: 200 mg/L, 6 mg in 30 mL.
		{"cassia", 40, 0, Substance{Name: "coumarin", From: "cassia", MgPerL: 96, HighMgPerL: 200}, "reached with about 63~ml, at the high end with 30~ml", true},
		// The likely figure above a limit is over it; the high end alone can be.
		{"quinine for certain", 40, 0, Substance{Name: "quinine", MgPerL: 120, HighMgPerL: 130}, "and this is over it", true},
		{"quinine perhaps", 40, 0, Substance{Name: "quinine", MgPerL: 60, HighMgPerL: 130}, "so it can be over it", true},
		{"quinine below", 40, 0, Substance{Name: "quinine", MgPerL: 60, HighMgPerL: 70}, "over it", false},
		{"a large glass of it", 40, 300, Substance{Name: "coumarin", MgPerL: 33, HighMgPerL: 95}, "one glass of 300~ml is over it", true},
		{"a glass of cassia", 40, 0, Substance{Name: "coumarin", MgPerL: 120, HighMgPerL: 200}, "one glass of 60~ml is over it", true},
		{"thousands", 40, 0, Substance{Name: "glycyrrhizin", MgPerL: 1421.3, HighMgPerL: 2842.6}, "about 1400 mg/L, up to 2800; the limit is 1000 mg/L, and this is over it", true},
		{"a high end only", 40, 0, Substance{Name: "coumarin", HighMgPerL: 200}, "reached with 30~ml at the high end", true},
		{"a trace of coumarin", 40, 0, Substance{Name: "coumarin", HighMgPerL: 5}, "coumarin", false},
		{"a trace from memory", 40, 0, Substance{Name: "thujone", HighMgPerL: 0.1, Doubt: "from memory"}, "memory", true},
		{"a trace from an unsigned page", 40, 0, Substance{Name: "hydrogen cyanide", HighMgPerL: 0.1, Limits: []Limit{{MgPerL: 25}}, Doubt: "from an unsigned page"}, "unsigned page, so take it as a warning only", true},
		{"quinine", 40, 0, Substance{Name: "quinine", HighMgPerL: 120}, "over it", true},
		{"the stricter of two", 40, 0, Substance{Name: "hydrogen cyanide", HighMgPerL: 30}, "limit is 25 mg/L", true},
		{"one limit", 40, 0, Substance{Name: "thujone", HighMgPerL: 30}, "limit is 35 mg/L", true},
		{"safrole, weak", 14, 0, Substance{Name: "safrole", HighMgPerL: 3}, "over it", true},
		{"safrole, strong", 40, 0, Substance{Name: "safrole", HighMgPerL: 3}, "over it", false},
		{"safrole, strong, its limit", 40, 0, Substance{Name: "safrole", HighMgPerL: 6}, "limit is 5 mg/L", true},
		{"safrole, strong or not", 0, 0, Substance{Name: "safrole", HighMgPerL: 3}, "limit is 2 mg/L", true},
		{"chilli", 40, 0, Substance{Name: "capsaicin", HighMgPerL: 20, Text: "Skin and eyes.", Source: "x"}, "Skin and eyes", true},
	} {
		abv := mixture.Exactly(c.abv)
		if c.abv == 0 {
			abv = mixture.Range{Value: 26, Low: 24.5, High: 27.5}
		}
		c.s.Limits = levels[c.s.Name]
		var got *Caution
		for _, x := range Doses([]Substance{c.s}, abv, c.serveML) {
			if x.Kind == "hazard" && strings.Contains(x.Text, c.text) {
				got = &x
			}
		}
		if (got != nil) != c.want {
			t.Errorf("%s: caution %v, want %v; has %v", c.name, got, c.want, Doses([]Substance{c.s}, abv, c.serveML))
		}
		if got != nil && got.Source == "" {
			t.Errorf("%s: no source", c.name)
		}
	}
}

// TestOverLimit: a likely amount above a level that was read in a law or an
// opinion counts (83 ppm of quinine, 21 CFR 172.575; 0.1 mg of coumarin per kg
// and day, EFSA, in a glass of 60 mL), the high end alone may be over it, and a content in
// doubt is only where a third of it still is; what is in doubt of two sources takes nothing
// away from the other. A level in doubt counts for nothing.
func TestOverLimit(t *testing.T) {
	for _, c := range []struct {
		s    Substance
		over bool
	}{
		{Substance{Name: "quinine", MgPerL: 83.1}, true},
		{Substance{Name: "quinine", MgPerL: 82.9, HighMgPerL: 400}, false},
		{Substance{Name: "quinine", HighMgPerL: 400}, false},
		{Substance{Name: "quinine", MgPerL: 248, DoubtedMgPerL: 248, Doubt: "from memory"}, false},
		{Substance{Name: "quinine", MgPerL: 250, DoubtedMgPerL: 250, Doubt: "from an unsigned page"}, true},
		{Substance{Name: "quinine", MgPerL: 185, DoubtedMgPerL: 100, Doubt: "from memory"}, true},
		{Substance{Name: "coumarin", MgPerL: 299, DoubtedMgPerL: 299, Doubt: "from memory"}, false},
		{Substance{Name: "coumarin", MgPerL: 301, DoubtedMgPerL: 301, Doubt: "from memory"}, true},
		{Substance{Name: "estragole", MgPerL: 40, Limits: []Limit{{MgPerL: 10, Doubt: "the law holds no plain herb or spice to that limit"}}}, false},
		{Substance{Name: "coumarin", MgPerL: 100.1}, true},
		{Substance{Name: "coumarin", MgPerL: 99.9, HighMgPerL: 200}, false},
		{Substance{Name: "thujone", MgPerL: 30}, false},
		{Substance{Name: "thujone", MgPerL: 36}, true},
		{Substance{Name: "capsaicin", MgPerL: 1e4}, false},
	} {
		if c.s.Limits == nil {
			c.s.Limits = levels[c.s.Name]
		}
		cautions := Doses([]Substance{c.s}, mixture.Exactly(40), 0)
		got := slices.DeleteFunc(slices.Clone(cautions), func(x Caution) bool { return !x.Over })
		if (len(got) == 1) != c.over {
			t.Errorf("%+v: %v, want over %v", c.s, got, c.over)
		}
		may := slices.ContainsFunc(cautions, func(x Caution) bool { return x.MayPass })
		if high := c.s.HighMgPerL > 83; may != (!c.over && (high || c.s.Doubt != "")) {
			t.Errorf("%+v: may pass its limit: %v", c.s, may)
		}
		for _, x := range got {
			if x.Source == "" || !strings.Contains(x.Text, "is over it") {
				t.Errorf("%+v: %+v", c.s, x)
			}
		}
	}
}

// TestFiguresOfDoses: no exponents, whatever the amount.
func TestFiguresOfDoses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom([]string{"coumarin", "quinine", "safrole", "x"}).Draw(t, "name")
		s := []Substance{{Name: name, Limits: levels[name],
			MgPerL: rapid.Float64Range(0, 1e6).Draw(t, "likely"), HighMgPerL: rapid.Float64Range(0, 1e7).Draw(t, "high")}}
		for _, c := range Doses(s, mixture.Exactly(40), 0) {
			if strings.Contains(c.Text, "e+") || strings.Contains(c.Text, "e-0") || strings.Contains(c.Text, "Inf") || strings.Contains(c.Text, "NaN") {
				t.Fatal(c.Text)
			}
		}
	})
}
