package growth

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// readTable reads a reference table by column name.
func readTable(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "reference", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
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

func number(t testing.TB, s string) Optional {
	t.Helper()
	if s == "" {
		return Optional{}
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return At(v)
}

// entriesOf maps the words of the observation files to the entries that the
// row has to be held against; a row about several organisms names them all.
var entriesOf = []struct {
	words   string
	entries []string
}{
	{"29 osmotolerant yeast strains", []string{"osmotolerant yeasts"}},
	{"several osmotolerant yeast strains", []string{"osmotolerant yeasts"}},
	{"18 osmotolerant yeast strains", []string{"osmotolerant yeasts", "Zygosaccharomyces bailii"}},
	{"Zygosaccharomyces rouxii (2 strains, dried fruit)", []string{"Zygosaccharomyces rouxii, dried-fruit strains"}},
	{"Saccharomyces cerevisiae (bakers' yeast)", []string{"bakers' yeast on alcohol alone"}},
	{"wine yeast (Saccharomyces)", []string{"wine yeast (Saccharomyces) in sweet wine"}},
	{"flor Saccharomyces", []string{"flor yeast (Saccharomyces cerevisiae)"}},
	{"Zygosaccharomyces bailii", []string{"Zygosaccharomyces bailii"}},
	{"Zygosaccharomyces rouxii", []string{"Zygosaccharomyces rouxii"}},
	{"Zygosaccharomyces lentus", []string{"Zygosaccharomyces lentus"}},
	{"Saccharomyces cerevisiae", []string{"Saccharomyces cerevisiae"}},
	{"Saccharomyces spp.", []string{"Saccharomyces cerevisiae"}},
	{"Saccharomycodes ludwigii", []string{"Saccharomycodes ludwigii"}},
	{"Schizosaccharomyces pombe", []string{"Schizosaccharomyces pombe"}},
	{"Dekkera", []string{"Dekkera bruxellensis"}},
	{"Kloeckera", []string{"Kloeckera apiculata"}},
	{"Pichia anomala", []string{"Pichia anomala"}},
	{"Debaryomyces", []string{"Debaryomyces hansenii"}},
	{"Kluyveromyces", []string{"Kluyveromyces marxianus"}},
	{"Yarrowia", []string{"Yarrowia lipolytica"}},
	{"10 food moulds", []string{"common food moulds"}},
	{"Paecilomyces", []string{"Paecilomyces variotii"}},
	{"Trichoderma", []string{"Trichoderma harzianum"}},
	{"Penicillium chrysogenum (germination)", []string{"Penicillium chrysogenum, spores"}},
	{"Aspergillus", []string{"Aspergillus spp."}},
	{"Eurotium", []string{"Eurotium spp."}},
	{"Chrysosporium", []string{"Chrysosporium fastidium"}},
	{"Xeromyces", []string{"Xeromyces bisporus"}},
	{"most lactic acid bacteria", []string{"most lactic acid bacteria"}},
	{"Gram-positive food spoilage bacteria", []string{"Gram-positive food spoilage bacteria"}},
	{"Gram-negative food spoilage bacteria", []string{"Gram-negative food spoilage bacteria"}},
	{"Bacillus and Pediococcus isolates", []string{"Bacillus and Pediococcus of dessert wine"}},
	{"wine lactic acid bacteria", []string{"wine lactic acid bacteria already in the wine"}},
	{"spoilage lactobacilli", []string{"lactobacilli of strong rice drinks"}},
	{"Lactobacillus spp.", []string{"lactobacilli of strong rice drinks"}},
	{"hiochi", []string{"lactobacilli of strong rice drinks"}},
	{"Lactobacillus acetotolerans", []string{"lactobacilli of strong rice drinks"}},
	{"22 of 24 lactic acid bacteria", []string{"lactobacilli of strong rice drinks"}},
	{"fructivorans", []string{"lactobacilli of fortified wine"}},
	{"lactic acid bacteria", []string{"lactobacilli of fortified wine"}},
	{"Lactiplantibacillus plantarum", []string{"Lactiplantibacillus plantarum"}},
	{"Oenococcus", []string{"Oenococcus oeni"}},
	{"Acetobacter", []string{"acetic acid bacteria"}},
	{"Alicyclobacillus", []string{"Alicyclobacillus acidoterrestris"}},
	{"Clostridium botulinum group I", []string{"Clostridium botulinum, proteolytic"}},
	{"Clostridium botulinum non-proteolytic", []string{"Clostridium botulinum, non-proteolytic"}},
	{"Bacillus cereus and Clostridium botulinum", []string{"Bacillus cereus", "Clostridium botulinum, proteolytic"}},
	{"Salmonella", []string{"Salmonella spp."}},
	{"Staphylococcus aureus", []string{"Staphylococcus aureus"}},
	{"Listeria", []string{"Listeria monocytogenes"}},
	{"Escherichia coli", []string{"Escherichia coli"}},
	{"Bacillus cereus", []string{"Bacillus cereus"}},
	{"natural flora of raw eggs", []string{"mixed flora of egg, milk or cream"}},
	{"mixed total flora", []string{"mixed flora of egg, milk or cream"}},
	{"natural flora", []string{"natural flora of fresh citrus juice"}},
}

// organismsOf finds the entries of a row. Each name is taken out of the text
// once found, so that a longer name is not met again as a shorter one.
func organismsOf(t testing.TB, text string) []Organism {
	t.Helper()
	var out []Organism
	rest := text
	for _, e := range entriesOf {
		if !strings.Contains(rest, e.words) {
			continue
		}
		rest = strings.ReplaceAll(rest, e.words, "")
		for _, n := range e.entries {
			o, ok := find(n)
			if !ok {
				t.Fatalf("no entry %q", n)
			}
			out = append(out, o)
		}
		if e.words == "29 osmotolerant yeast strains" || e.words == "18 osmotolerant yeast strains" || e.words == "10 food moulds" ||
			e.words == "fructivorans" || strings.HasPrefix(e.words, "Gram-") {
			break // what follows in the text is a list of examples
		}
	}
	if len(out) == 0 {
		t.Fatalf("no entry is mapped to %q", text)
	}
	return out
}

// sucroseWaterActivity is the Norrish form with K = 6.47, for a row that
// states sucrose and no water activity.
func sucroseWaterActivity(massPercent float64) float64 {
	s, w := massPercent/342.3, (100-massPercent)/18.015
	x := s / (s + w)
	return (1 - x) * math.Exp(-6.47*x*x)
}

// ends returns the ends of an interval that the row states. An end that is
// missing leaves the other as an open bound, so a value just inside it.
func ends(t testing.TB, lo, hi string) []Optional {
	l, h := number(t, lo), number(t, hi)
	switch {
	case !l.Known && !h.Known:
		return []Optional{{}}
	case !l.Known:
		return []Optional{At(h.Value - 1e-6)}
	case !h.Known:
		return []Optional{At(l.Value + 1e-6)}
	case l.Value == h.Value:
		return []Optional{l}
	}
	return []Optional{l, At((l.Value + h.Value) / 2), h}
}

func each(f []Optional, fn func(float64) float64) []Optional {
	out := make([]Optional, len(f))
	for i, v := range f {
		if v.Known {
			out[i] = At(fn(v.Value))
		}
	}
	return out
}

// conditionsOf returns the corners of what a row states. A strength of unknown
// basis is read as % vol, and with massReading as mass per cent.
func conditionsOf(t testing.TB, r map[string]string, massReading bool) []Conditions {
	t.Helper()
	aw := ends(t, r["aw_lo"], r["aw_hi"])
	sugar := ends(t, r["sugar_lo"], r["sugar_hi"])
	abv := ends(t, r["ethanol_lo"], r["ethanol_hi"])
	switch b := r["ethanol_basis"]; {
	case strings.HasPrefix(b, "% w/w"), b == "%" && massReading:
		abv = each(abv, ABVFromMassPercent)
	case strings.HasPrefix(b, "% w/v"):
		abv = each(abv, func(v float64) float64 { return v / 0.7893 })
	case b == "g/L":
		abv = each(abv, func(v float64) float64 { return v / 7.893 })
	}
	switch b := r["sugar_basis"]; {
	case b == "% sucrose", b == "Brix":
		if !aw[0].Known {
			aw = each(sugar, sucroseWaterActivity)
		}
		sugar = []Optional{{}}
	case b == "g/L" && r["ethanol_hi"] == "0" && sugar[0].Known:
		// 780 g/L of sucrose is 60.5 % by mass (density 1.289, ICUMSA table).
		if sugar[0].Value == 780 {
			aw = []Optional{At(sucroseWaterActivity(60.5))}
		}
	case !strings.HasPrefix(b, "g/L"):
		sugar = []Optional{{}}
	}
	var out []Conditions
	for _, a := range aw {
		for _, s := range sugar {
			for _, e := range abv {
				for _, p := range ends(t, r["ph_lo"], r["ph_hi"]) {
					for _, c := range ends(t, r["temp_lo_c"], r["temp_hi_c"]) {
						out = append(out, Conditions{WaterActivity: a, SugarGPerL: s, ABVPercent: e, PH: p, Celsius: c,
							Days: number(t, r["days"]), NoAir: strings.Contains(r["medium"], "lying")})
					}
				}
			}
		}
	}
	return out
}

var observationFiles = []string{"growth-no-growth-observations.csv", "ethanol-zone-observations.csv"}
