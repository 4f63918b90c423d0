package somejar

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"steepbook/data/batch"
	"steepbook/data/library"
)

// A library of its own, so that no change of the built-in figures moves these
// tests. The figures are invented and check nothing but the logic.
const ownLibrary = `
[[botanical]]
name = "test peel"
kind = "citrus"
class = "taste"
[[botanical.cut]]
name = "strips"
names = ["wide strips", "narrow strips"]
rate_per_h = 0.01
rate_gsd = 2
dose_g_per_l = [10, 30, 60]
[[botanical.cut]]
name = "zest"
rate_per_h = 0.1
rate_gsd = 2
dose_g_per_l = [10, 30, 60]

[[botanical]]
name = "test bark"
kind = "bark"
class = "taste"
hazards = ["quinine-cinchona"]
[[botanical.cut]]
name = "chips"
rate_per_h = 0.02
rate_gsd = 2
dose_g_per_l = [1, 2, 3]
[[botanical.cut]]
name = "powder"
rate_per_h = 0.4
rate_gsd = 2
dose_g_per_l = [1, 2, 3]
`

var withOwn = sync.OnceValues(func() (*library.Library, error) {
	return library.Builtin().With("library.toml", []byte(ownLibrary))
})

// Library is the built-in library with two invented botanicals. All callers share it.
func Library(t testing.TB) *library.Library {
	t.Helper()
	lib, err := withOwn()
	if err != nil {
		t.Fatal(err)
	}
	return lib
}

// Parse reads a batch, or ends the test.
func Parse(t testing.TB, src string) *batch.Batch {
	t.Helper()
	b, err := batch.Parse("test.toml", []byte(src), time.UTC)
	if err != nil {
		t.Fatalf("%v\n%s", err, src)
	}
	return b
}

// Told writes a batch of one botanical in half a litre of spirit.
type Told struct {
	Name, Start, spirit, Cut, Amount string
	Botanical                        string
	Ml                               int
	Target                           float64
	Scores                           map[float64]float64 // by hour
	Bitter                           map[float64]float64
	Pulled                           float64
	More                             string
}

// Src writes the batch; what is not told is the usual.
func (j Told) Src() string {
	set := func(s *string, otherwise string) {
		if *s == "" {
			*s = otherwise
		}
	}
	set(&j.Name, "Jar")
	set(&j.Start, "2026-03-02T18:00:00")
	set(&j.spirit, "vodka")
	set(&j.Botanical, "test peel")
	set(&j.Cut, "strips")
	set(&j.Amount, "20 g")
	if j.Ml == 0 {
		j.Ml = 500
	}
	if j.Target == 0 {
		j.Target = 6
	}
	var b strings.Builder
	fmt.Fprintf(&b, "name = %q\nstarted = %s\nroom = \"20 C\"\n", j.Name, j.Start)
	fmt.Fprintf(&b, "[spirit]\nname = %q\nabv = 40\namount = \"%d ml\"\n", j.spirit, j.Ml)
	fmt.Fprintf(&b, "[[botanical]]\nname = %q\ncut = %q\namount = %q\ntarget = %g\n", j.Botanical, j.Cut,
		j.Amount, j.Target)
	b.WriteString(j.More)
	if j.Bitter != nil {
		b.WriteString("[[watch]]\nname = \"bitter\"\nlimit = 2\n")
	}
	var hours []float64
	for h := range j.Scores {
		hours = append(hours, h)
	}
	slices.Sort(hours)
	for _, h := range hours {
		fmt.Fprintf(&b, "[[tasting]]\nat = \"%g h\"\nscore = { %q = %g", h, j.Botanical, j.Scores[h])
		if v, ok := j.Bitter[h]; ok {
			fmt.Fprintf(&b, ", bitter = %g", v)
		}
		b.WriteString(" }\n")
	}
	if j.Pulled > 0 {
		fmt.Fprintf(&b, "[[pulled]]\nname = %q\nat = \"%g h\"\n", j.Botanical, j.Pulled)
	}
	return b.String()
}

var Later = time.Date(2026, 12, 1, 12, 0, 0, 0, time.UTC)

// Done is a jar that came out near 6 in four tastings.
func Done(scale float64) map[float64]float64 {
	return map[float64]float64{24: 2.5 * scale, 48: 4 * scale, 96: 5.5 * scale, 192: 6 * scale}
}
