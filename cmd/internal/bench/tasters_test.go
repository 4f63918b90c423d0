package bench

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
)

// Whoever is written first at each hour, the answer is the same.
func TestTastersInAnyOrder(t *testing.T) {
	const head = halfLitre + "[[botanical]]\nname = \"orange zest\"\ncut = \"strips\"\namount = \"20 g\"\ntarget = 6\n"
	now := at("2026-11-25T18:00")
	shuffle := rand.New(rand.NewPCG(1, 2))
	for _, c := range []struct {
		who    []string
		scores [][]int // at 12, 24, 48 and 96 h
	}{
		{[]string{"A", "B"}, [][]int{{3, 4}, {4, 5}, {5, 7}, {6, 8}}},
		{[]string{"A", "B"}, [][]int{{3, 6}, {4, 8}, {5, 10}, {6, 10}}},
		{[]string{"", "B"}, [][]int{{5, 3}, {7, 4}}},
		{[]string{"A", "B"}, [][]int{{10, 0}, {7, 10}, {3, 10}}},
		{[]string{"A", "B", "C"}, [][]int{{2, 4, 3}, {5, 8, 4}}},
	} {
		var blocks []string
		for i, row := range c.scores {
			for k, n := range c.who {
				who := ""
				if n != "" {
					who = fmt.Sprintf("taster = %q\n", n)
				}
				blocks = append(blocks, fmt.Sprintf("[[tasting]]\nat = \"%d h\"\n%sscore = { \"orange zest\" = %d }\n", 12<<i, who, row[k]))
			}
		}
		said := func() string {
			k := &assessed(t, head+strings.Join(blocks, ""), now).Curves[0]
			// Sums in another order differ in the last digits.
			return fmt.Sprintf("%.5g %.5g %.5g %.5g %v %v %q", k.Order.BestH, k.Order.FromH, k.Order.UntilH, k.JarNow.Value, k.Order.Overdue, k.Order.Do, k.Warnings)
		}
		first := said()
		for range 3 {
			shuffle.Shuffle(len(blocks), func(i, j int) { blocks[i], blocks[j] = blocks[j], blocks[i] })
			if other := said(); other != first {
				t.Errorf("%v:\n%s\n%s", c, first, other)
			}
		}
	}
}
