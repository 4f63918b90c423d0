package kinetics

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"sort"
	"strings"
	"testing"

	"steepbook/kinetics/internal/printed"
)

// Published steeps, each scaled so that its highest reading is 8 points: flowers
// in ethanol, a leaf, coffee grounds. The sources stand on top of the files.
func publishedSteeps(t testing.TB) map[string][]Tasting {
	out := map[string][]Tasting{}
	add := func(name, at, value string) {
		out[name] = append(out[name], Tasting{Hours: printed.Number(t, at), Score: printed.Number(t, value)})
	}
	for _, r := range printed.Table(t, "extraction-timeseries/butterfly-pea-60-75C-ethanol.csv") {
		if r["response"] == "phenolics" || r["response"] == "anthocyanins" {
			add("butterfly pea "+r["run"]+" "+r["response"], r["time_min"], r["conc_mean"])
		}
	}
	for _, r := range printed.Table(t, "extraction-timeseries/carnosic-acid-leaf-25C.csv") {
		add("leaf, carnosic acid", r["time_min"], r["carnosic_acid_g_per_l"])
	}
	for _, r := range printed.Table(t, "extraction-timeseries/coffee-batch-91C-maille2024.csv") {
		add("coffee "+r["material"]+" "+r["sieve_and_roast"]+" "+r["compound"], r["time_s"], r["c_over_cinf"])
	}
	for name, ts := range out {
		top := slices.MaxFunc(ts, func(a, b Tasting) int { return int(math.Copysign(1, a.Score-b.Score)) }).Score
		for i := range ts {
			ts[i].Score *= 8 / top
		}
		if len(ts) < 5 {
			delete(out, name)
		}
	}
	return out
}

// Each shape alone, and all of them weighed by evidence, foretell the readings of
// published steeps that are left out: mean log density a reading (0.1 is one part
// in ten). The family foretells them better than first order alone.
func TestShapesOnPublishedSteeps(t *testing.T) {
	steeps := publishedSteeps(t)
	names := []string{"all, by evidence"}
	for _, s := range families[wanted]().shapes {
		if s.rise != nil {
			names = append(names, s.name)
		}
	}
	score := map[string]float64{}
	best := map[string]int{}
	n, series := 0, 0
	for i, name := range slices.Sorted(maps.Keys(steeps)) {
		if !*long && i%7 != 0 { // one in seven keeps the everyday run short
			continue
		}
		ts := steeps[name]
		series++
		n += len(ts)
		won, top := "", math.Inf(-1)
		for _, name := range names {
			prior := Prior{
				LogRate: Normal{-math.Log(ts[len(ts)/2].Hours), 1.5}, Plateau: Normal{8, 2}, LogNoise: Normal{math.Log(0.4), 0.7},
				grid: settings{rates: 45, plateaus: 25, noises: 7, reach: 4, faceValue: true, only: name},
			}
			all := must(t, prior, ts).LogEvidence()
			sum := 0.0
			for i := range ts {
				rest := slices.Delete(slices.Clone(ts), i, i+1)
				sum += all - must(t, prior, rest).LogEvidence()
			}
			score[name] += sum
			if sum > top && name != names[0] {
				won, top = name, sum
			}
		}
		best[won]++
	}
	var lines []string
	for _, name := range names {
		lines = append(lines, fmt.Sprintf("%-18s %+.3f a reading, best for %d", name, score[name]/float64(n), best[name]))
	}
	sort.Strings(lines[1:])
	t.Logf("%d readings of %d published steeps, left out one at a time:\n%s", n, series, strings.Join(lines, "\n"))
	if gain := (score["all, by evidence"] - score["first order"]) / float64(n); gain < 0.05 {
		t.Errorf("the family gains %.3f a reading over first order alone", gain)
	}
}
