package steep

import (
	"math"
	"regexp"
	"testing"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/quantity"
)

var measured = regexp.MustCompile(`((?:\d+ )?[\d./]+) (ml|tsp) `)

// TestSampleIsMeasured: what is told to be mixed is what --sample then says, in what makers of
// either system measure a sip in, and no more of the jar than that: the same mix for both.
func TestSampleIsMeasured(t *testing.T) {
	mixed := 0
	someAssessments(t, 20, func(j *somejar.Jar, a *bench.Assessment) {
		var shares []float64
		for unit, s := range map[string]quantity.System{"ml": quantity.Metric, "tsp": quantity.US} {
			how, ratio := Sample(a, pen.Style{Units: s})
			if ratio == "" {
				continue
			}
			of, other, err := quantity.ParseRatio(ratio)
			if err != nil {
				t.Fatal(err)
			}
			var parts []float64
			for _, m := range measured.FindAllStringSubmatch(how, -1) {
				x, err := quantity.ParseAmount(m[1] + " " + m[2])
				if err != nil || m[2] != unit {
					t.Fatalf("%q in %q: %v", m[0], how, err)
				}
				parts = append(parts, x.Mid())
			}
			if len(parts) < 2 || parts[0] != of {
				t.Fatalf("%q is %q", how, ratio)
			}
			for _, v := range parts[1:] {
				other -= v
			}
			whole := of
			for _, v := range parts[1:] {
				whole += v
			}
			if shares = append(shares, of/whole); math.Abs(other) > 1e-9 || unit == "ml" && whole > 25 && of > 2.5 {
				t.Errorf("%q is %q", how, ratio)
			}
		}
		if len(shares) == 0 {
			return
		}
		if mixed++; len(shares) != 2 || math.Abs(shares[0]-shares[1]) > 1e-9 {
			t.Errorf("two mixes, %v, for\n%s", shares, j)
		}
	})
	if mixed < 10 {
		t.Errorf("only %d samples were mixed", mixed)
	}
}
