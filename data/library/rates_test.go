package library

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"

	"steepbook/data"
)

// everyRate is the whole of tables/rates.csv, by botanical and cut.
func everyRate(t *testing.T) map[[2]string]rateRow {
	t.Helper()
	all := map[[2]string]rateRow{}
	for _, b := range rateTable().Firsts() {
		rows := ratesOf(b)
		if n := len(rateTable().Rows(b)); n != len(rows) {
			t.Errorf("%s: %d cuts on %d lines", b, len(rows), n)
		}
		for cut, r := range rows {
			if !(r.rate.Value > 0) || !(r.gsd > 1) || !(r.firstH > 0) || !r.rate.Grade.valid() || !r.early.Grade.valid() {
				t.Errorf("%s, %s: a line needs a rate, a spread above 1, a first tasting and known grades", b, cut)
			}
			all[[2]string{b, cut}] = r
		}
	}
	return all
}

// Every cut has a line in rates.csv and every line a cut; the rate, its spread,
// the early share and the first tasting stand nowhere else.
func TestEveryCutHasItsRate(t *testing.T) {
	l := Builtin()
	rates := everyRate(t)
	cuts := 0
	for _, b := range l.Botanicals() {
		for _, c := range b.Cuts {
			cuts++
			if r, ok := rates[[2]string{b.Name, c.Name}]; !ok || c.RatePerH.Value != r.rate.Value || c.RateGSD != r.gsd || c.FirstTasteH != r.firstH || c.EarlyShare != r.early {
				t.Errorf("%s, %s: %+v, the table has %+v", b.Name, c.Name, c, r)
			}
		}
	}
	if cuts != len(rates) {
		t.Errorf("%d cuts, %d lines", cuts, len(rates))
	}
	key := regexp.MustCompile(`(?m)^(rate_per_h|rate_gsd|early_share|first_taste_h|taught_\w+) *=`)
	files, err := data.Files.ReadDir("botanicals")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		src, err := data.Files.ReadFile("botanicals/" + f.Name())
		if err != nil {
			t.Fatal(err)
		}
		if k := key.Find(src); k != nil {
			t.Errorf("%s: %s belongs in rates.csv", f.Name(), k)
		}
	}
	// As read in the pages: common practice, no source.
	for _, c := range []struct {
		name, cut string
		t80H      float64
		makers    int
	}{{"clove", "whole", 52, 19}, {"clove", "powder", 3.3, 1}, {"lime zest", "strips", 69, 20}, {"vanilla", "split", 156, 16}, {"gentian root", "cut", 159, 8}} {
		_, cut, _, err := l.BotanicalAndCut(c.name, c.cut)
		if err != nil || math.Abs(math.Log(5)/cut.RatePerH.Value/c.t80H-1) > 0.02 || cut.Makers != c.makers {
			t.Errorf("%s, %s: %+v, %v", c.name, c.cut, cut, err)
		}
	}
}

// What nobody has described is a cut like any other of the library.
func TestUnknownIsTheMiddle(t *testing.T) {
	var logs []float64
	for _, b := range Builtin().Botanicals() {
		for _, c := range b.Cuts {
			logs = append(logs, math.Log(c.RatePerH.Value))
		}
	}
	slices.Sort(logs)
	u, median, gsd := Unknown(), math.Exp(stat.Quantile(0.5, stat.Empirical, logs, nil)), math.Exp(stat.PopStdDev(logs, nil))
	if math.Abs(u.RatePerH.Value/median-1) > 0.1 || math.Abs(u.RateGSD/gsd-1) > 0.1 {
		t.Errorf("unknown: %g, spread %g; the library has %g, %g", u.RatePerH.Value, u.RateGSD, median, gsd)
	}
}

// rates-with-early-share.csv: both rates have four figures.
func TestSlowRate(t *testing.T) {
	rows := table(t, "rates-with-early-share.csv")
	for _, r := range rows {
		c := Cut{RatePerH: Number{Value: float(t, r["rate_per_h"])}, EarlyShare: Number{Value: float(t, r["early_share"])}}
		if want := float(t, r["rate_with_early_share_per_h"]); math.Abs(c.SlowRatePerH()/want-1) > 0.001 {
			t.Errorf("%s, %s: %.4g, want %.4g", r["botanical"], r["cut"], c.SlowRatePerH(), want)
		}
	}
	if len(rows) < 45 {
		t.Errorf("%d rows", len(rows))
	}
	// By its meaning: 80 % of the plateau at the same time either way.
	for f := 0.0; f < 0.8; f += 0.05 {
		c := Cut{RatePerH: Number{Value: 0.03}, EarlyShare: Number{Value: f}}
		t80 := math.Log(5) / 0.03
		if got := f + (1-f)*(1-math.Exp(-c.SlowRatePerH()*t80)); !near(got, 0.8, 1e-12) {
			t.Errorf("share %g: %g of the plateau at t80", f, got)
		}
	}
	if c := (Cut{RatePerH: Number{Value: 0.03}, EarlyShare: Number{Value: 0.9}}); c.SlowRatePerH() != 0.03 {
		t.Error("an early share above what makers strain at")
	}
}

// A fault that comes with the flavour or before it is a slip of the data, unless
// makers say so: hot chillies, tea.
func TestLateFaultsComeLate(t *testing.T) {
	var early []string
	for _, b := range Builtin().Botanicals() {
		for _, c := range b.Cuts {
			late := c.LateOffH
			t80, t50 := math.Log(5)/c.RatePerH.Value, math.Ln2/c.RatePerH.Value
			if !late.Known() || late.Value >= 1.2*t80 && late.Low >= t50 {
				continue
			}
			if w := b.Name + ", " + c.Name; strings.HasPrefix(late.Note, "makers report it") {
				early = append(early, w)
			} else {
				t.Errorf("%s: %s at %g h, from %g h, but half strength at %.3g h and 80 %% at %.3g h", w, c.LateOff, late.Value, late.Low, t50, t80)
			}
		}
	}
	t.Logf("reported before the flavour is out: %s", strings.Join(early, "; "))
	if len(early) > 10 {
		t.Errorf("%d faults before the flavour", len(early))
	}
}

// What cannot be picked out of a jar by hand, and nothing else. Every citrus has
// its fine zest; sieves hold crushed and cracked spice.
func TestDusts(t *testing.T) {
	zests := 0
	var got []string
	for _, b := range Builtin().Botanicals() {
		for _, c := range b.Cuts {
			switch {
			case c.Dust && c.Name == "fine zest":
				zests++
			case c.Dust:
				got = append(got, b.Name+", "+c.Name)
			}
		}
	}
	want := []string{
		"Ceylon cinnamon, ground", "allspice, ground", "almond, ground", "amchur, powder", "aniseed, ground",
		"asafoetida, powder", "baobab, powder", "beetroot, grated", "black pepper, ground", "caraway, ground",
		"carrot, grated", "cassia cinnamon, ground", "cinchona bark, powder", "clove, ground", "cocoa powder, powder",
		"coffee, ground", "coriander seed, ground", "cumin, ground", "dried bitter orange peel, ground", "dried ginger, ground",
		"dried lemon peel, ground", "dried lime, ground", "dried orange peel, ground", "dried tangerine peel, ground", "fennel seed, ground",
		"fresh turmeric, grated", "gentian root, powder", "ginger, grated", "green cardamom, ground", "guarana, powder",
		"horseradish, grated", "lucuma, powder", "mace, ground", "matcha, powder", "mustard seed, ground",
		"nutmeg, grated", "orris root, powder", "quince, grated", "saffron, ground", "salep, powder",
		"smoked paprika, powder", "star anise, ground", "sumac, coarsely ground", "tonka bean, grated", "turmeric, powder",
		"wattleseed, ground", "white pepper, ground",
	}
	if !slices.Equal(got, want) || zests != 15 {
		t.Errorf("%d zests; %q", zests, got)
	}
	l, err := Builtin().With("library.toml", []byte("[[botanical]]\nname = \"myrtle\"\n[[botanical.cut]]\nname = \"finely ground\"\n[[botanical.cut]]\nname = \"leaf\"\n"))
	if err != nil {
		t.Fatal(err)
	}
	if b, err := l.Botanical("myrtle"); err != nil || !b.Cuts[0].Dust || b.Cuts[1].Dust {
		t.Errorf("own cuts: %+v, %v", b, err)
	}
}

func TestMakerTimes(t *testing.T) {
	l := Builtin()
	rates := everyRate(t)
	times := makerTimes()
	used := map[string]bool{}
	for _, r := range rates {
		used[r.cell] = true
	}
	total := 0
	for cell, ts := range times {
		total += len(ts)
		for _, x := range ts {
			if !slices.Contains([]TimeKind{Tasted, Strained, Habit, TooLong, Noticed, Printed}, x.Kind) ||
				!(x.LowH > 0) || x.HighH < x.LowH || !(x.DoseRatio > 0) || !(x.Weight > 0) {
				t.Errorf("%s: a time needs a known kind, rising times, a dose and a weight above 0: %+v", cell, x)
			}
		}
		if !used[cell] {
			t.Logf("no cut takes its %d times from %s", len(ts), cell)
		}
	}
	t.Logf("%d times", total)
	of := func(name, cut string) MakerTimes {
		t.Helper()
		_, c, _, err := l.BotanicalAndCut(name, cut)
		if err != nil {
			t.Fatal(err)
		}
		return l.MakerTimes(c)
	}
	if m := of("clove", "whole"); !m.Own || m.Of != nil || len(m.Times) != 19 {
		t.Errorf("clove: %v %v, %d times", m.Own, m.Of, len(m.Times))
	}
	if m := of("yuzu zest", "strips"); m.Own || !slices.Contains(m.Of, "lemon zest") {
		t.Errorf("yuzu zest: %v %v", m.Own, m.Of)
	}
	if m := of("lemon zest", "strips"); !m.Own || len(m.Of) < 2 {
		t.Errorf("lemon zest: %v %v", m.Own, m.Of)
	}
	if m := l.MakerTimes(Unknown()); m.Times != nil {
		t.Errorf("an unknown cut: %+v", m)
	}
}
