package somejar

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// thing is one botanical of the invented book, as makers write it, with a rate
// to make scores from.
type thing struct {
	name, cut, amount string
	perH, end         float64
}

var things = []thing{
	{"blood orange zest", "strips", "24 g", 0.02, 7}, {"blood orange zest", "fine zest", "20 g", 0.12, 7},
	{"green cardamom", "crushed", "9 g", 0.05, 6}, {"cardamom pods", "whole pods", "8 g", 0.02, 6},
	{"long pepper", "whole", "6 g", 0.01, 5}, {"cacao nibs", "toasted", "20 g", 0.03, 6},
	{"clove", "whole", "1 g", 0.02, 7}, {"cloves", "ground", "1 g", 0.3, 7}, {"star anise", "whole", "4 g",
		0.02, 6},
	{"cinnamon", "stick", "6 g", 0.02, 6}, {"Ceylon cinnamon", "stick", "6 g", 0.02, 5}, {"lemon zest",
		"strips", "20 g", 0.03, 7},
	{"bay leaf", "whole", "2 g", 0.02, 5}, {"grapefruit zest", "strips", "25 g", 0.02, 6}, {"lemon verbena",
		"fresh leaf", "15 g", 0.08, 6},
	{"ginger", "sliced", "40 g", 0.03, 7}, {"vanilla", "split", "4 g", 0.005, 6}, {"allspice", "whole", "4 g",
		0.02, 6},
	{"juniper berries", "crushed", "12 g", 0.05, 7}, {"coriander seed", "crushed", "10 g", 0.05,
		5}, {"gentian root", "chopped", "5 g", 0.02, 8},
	{"dried orange peel", "", "12 g", 0.02, 6}, {"rosemary", "", "6 g", 0.05, 6}, {"grandmother's tea mix",
		"", "10 g", 0.1, 5},
}

// Book writes an invented book of n batches into dir and returns the file
// that questions are asked about: the last of a handful that still steep.
// Starts are spread over some years, each jar holds two to four things.
func Book(tb testing.TB, dir string, n int) string {
	tb.Helper()
	r := rand.New(rand.NewPCG(20, uint64(n)))
	last := ""
	for i := range n {
		steeping := i >= n-max(1, n/50)
		last = filepath.Join(dir, fmt.Sprintf("jar-%04d.toml", i))
		if err := os.WriteFile(last, []byte(jarText(r, i, n, steeping)), 0o644); err != nil {
			tb.Fatal(err)
		}
	}
	return last
}

// BookNow is the moment all questions of Book are asked at.
var BookNow = time.Date(2026, 11, 21, 8, 0, 0, 0, time.UTC)

// Big writes one jar with so many botanicals, most of names that no library knows, and so
// many tastings of all of them over twelve days, and returns its file.
func Big(tb testing.TB, dir string, botanicals, tastings int) string {
	tb.Helper()
	var b, scores strings.Builder
	start := BookNow.Add(-288 * time.Hour).Format("2006-01-02T15:04:05")
	fmt.Fprintf(&b, "name = \"Big\"\nstarted = %s\n[spirit]\nname = \"vodka\"\nabv = 40\namount = \"20 l\"\n", start)
	b.WriteString("[[watch]]\nname = \"bitter\"\nlimit = 2\n[[addition]]\nname = \"water\"\namount = \"2 l\"\n")
	for i := range botanicals {
		name := fmt.Sprintf("grandmother's tea mix %d", i)
		if i < len(things) && things[i].name != things[max(i-1, 0)].name {
			name = things[i].name
		}
		fmt.Fprintf(&b, "[[botanical]]\nname = \"%s\"\namount = \"5 g\"\ntarget = 5\n", name)
		fmt.Fprintf(&scores, "\"%s\" = %%[1]g, ", name)
	}
	r := rand.New(rand.NewPCG(20, 1))
	for i := range tastings {
		h := 280 * float64(i+1) / float64(tastings)
		score := math.Round(2*math.Min(math.Max(-7*math.Expm1(-0.02*h)+0.8*r.NormFloat64(), 0), 10)) / 2
		fmt.Fprintf(&b, "[[tasting]]\nat = \"%.3f h\"\nscore = { ", h)
		fmt.Fprintf(&b, scores.String()+"bitter = 0.5 }\n", score)
	}
	file := filepath.Join(dir, "big.toml")
	if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
		tb.Fatal(err)
	}
	return file
}

func jarText(r *rand.Rand, i, n int, steeping bool) string {
	var b strings.Builder
	start := BookNow.Add(-14 * time.Hour)
	if !steeping {
		years := 8 * (1 - float64(i)/float64(n))
		start = BookNow.Add(-time.Duration((0.1 + years) * 365 * 24 * float64(time.Hour)).Round(time.Minute))
	}
	fmt.Fprintf(&b, "name    = \"Jar %d\"\nstarted = %s\nroom    = \"%d C\"\n\n", i+1,
		start.Format("2006-01-02T15:04:05"), 17+r.IntN(8))
	abv := []float64{40, 40, 43, 50, 57, 63}[r.IntN(6)]
	fmt.Fprintf(&b, "[spirit]\nname   = \"%s\"\nabv    = %g\namount = \"%d ml\"\nprice  = 24.50\n\n",
		[]string{"vodka", "grape brandy", "white rum"}[r.IntN(3)], abv, 350*(1+r.IntN(3)))
	in := r.Perm(len(things))[:2+r.IntN(3)]
	if i == n-1 {
		in = []int{1, 2, 4, 5} // of the demo's kind
	}
	used := map[string]bool{}
	var jar []thing
	for _, k := range in {
		if t := things[k]; !used[t.name] {
			used[t.name] = true
			jar = append(jar, t)
			fmt.Fprintf(&b,
				"[[botanical]]\nname   = \"%s\"\ncut    = \"%s\"\namount = \"%s\"\ntarget = %d\nlot    = \"market %d\"\nprice  = 2.10\n\n", t.name, t.cut, t.amount, 3+r.IntN(4), r.IntN(12))
		}
	}
	b.WriteString("[[watch]]\nname   = \"bitter\"\nlimit  = 2\n\n")
	fmt.Fprintf(&b,
		"[[addition]]\nname   = \"demerara sugar\"\namount = \"%d g\"\n\n[[addition]]\nname   = \"water\"\namount = \"220 ml\"\n\n", 150+10*r.IntN(20))
	if r.IntN(2) == 0 {
		b.WriteString("[[addition]]\nname   = \"blood orange juice\"\namount = \"150 ml\"\n\n[[addition]]\nname   = \"lemon juice\"\namount = \"50 ml\"\n\n")
	}
	b.WriteString("[finish]\npress  = true\nbottle = \"250 ml\"\nstore  = \"fridge\"\n")
	hours := []float64{3, 9, 24, 48, 96}
	if steeping {
		hours = hours[:2]
	}
	for _, h := range hours {
		fmt.Fprintf(&b, "\n[[tasting]]\nat    = \"%g h\"\nscore = { ", h)
		for _, t := range jar {
			score := t.end*-math.Expm1(-t.perH*h) + 0.8*r.NormFloat64()
			fmt.Fprintf(&b, "\"%s\" = %g, ", t.name, math.Round(2*math.Min(math.Max(score, 0), 10))/2)
		}
		fmt.Fprintf(&b, "bitter = %g }\nwords = \"bright, thin\"\n", math.Round(h/24)/2)
	}
	if !steeping {
		for _, t := range jar {
			fmt.Fprintf(&b, "\n[[pulled]]\nname = \"%s\"\nat   = \"97 h\"\n", t.name)
		}
	}
	return b.String()
}
