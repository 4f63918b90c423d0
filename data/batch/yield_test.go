package batch

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// TestYieldGoesOnCounting: what was measured at one bottling is what the next is filled of, as long as some of
// it was over; what is measured again is what there was by then; of bottles that were filled when nothing
// measured was over nobody knows, until the rest is measured.
func TestYieldGoesOnCounting(t *testing.T) {
	const added = "[[added]]\nname = \"water\"\namount = \"100 ml\"\ninto = \"400 ml\"\nat = \"15 h\"\n"
	bottled := func(hour, n int, of, volume string) string {
		text := fmt.Sprintf("[[bottled]]\nbottles = %d\nat = \"%d h\"\n", n, hour)
		for key, words := range map[string]string{"of": of, "volume": volume} {
			if words != "" {
				text += fmt.Sprintf("%s = %q\n", key, words)
			}
		}
		return text
	}
	for _, c := range []struct {
		name  string
		log   []string
		yield float64
	}{
		{"all of it at once", []string{bottled(10, 3, "250 ml", "1.2 l")}, 1200},
		{"then of the rest", []string{bottled(10, 3, "250 ml", "1.2 l"), bottled(20, 1, "250 ml", "")}, 1200},
		{"and again", []string{bottled(10, 2, "250 ml", "780 ml"), bottled(20, 1, "200 ml", ""), bottled(30, 1, "50 ml", "")}, 780},
		{"the rest measured too", []string{bottled(10, 3, "250 ml", "1.2 l"), bottled(20, 1, "250 ml", "440 ml")}, 1190},
		{"more than there was", []string{bottled(10, 3, "250 ml", "1.2 l"), bottled(20, 2, "250 ml", ""), bottled(30, 1, "250 ml", "")}, 1200},
		{"each by itself", []string{bottled(10, 3, "250 ml", "750 ml"), bottled(20, 1, "250 ml", "250 ml")}, 1000},
		{"nothing was over", []string{bottled(10, 3, "250 ml", "760 ml"), bottled(20, 1, "250 ml", "")}, 0},
		{"measured the second time", []string{bottled(10, 3, "250 ml", ""), bottled(20, 1, "250 ml", "400 ml")}, 1150},
		{"nor at first", []string{bottled(10, 3, "", ""), bottled(20, 1, "250 ml", "400 ml")}, 0},
		{"logged the other way round", []string{bottled(20, 1, "250 ml", ""), bottled(10, 3, "250 ml", "1.2 l")}, 1200},
		{"of no size", []string{bottled(10, 3, "250 ml", "1.2 l"), bottled(20, 2, "", "")}, 1200},
		{"of no size at first", []string{bottled(10, 3, "", "1.2 l"), bottled(20, 2, "250 ml", "")}, 0},
		{"of what joined the rest", []string{bottled(10, 3, "250 ml", "1.2 l"), added, bottled(20, 1, "250 ml", "500 ml"), bottled(30, 1, "100 ml", "")}, 1200},
	} {
		b, err := Parse("w.toml", []byte(small+strings.Join(c.log, "")), time.UTC)
		if err != nil {
			t.Fatal(c.name, err)
		}
		got := 0.0
		if v := b.Readings().VolumeML; v != nil {
			got = *v
		}
		if got != c.yield {
			t.Errorf("%s: %.0f ml, want %.0f", c.name, got, c.yield)
		}
		for i := range b.Additives {
			if j := b.Joined(&b.Additives[i], 40); j.ReadML != 500 || j.NowML != 1100 {
				t.Errorf("%s: of what it joined %+v", c.name, j)
			}
		}
	}
}
