package steeping

import (
	"cmp"
	"fmt"
	"slices"
	"sort"

	"steepbook/kinetics"
)

// tastersApart is the ratio of two tasters' scores of the same jar from which
// it is said: judgement, about a point in the middle of the scale.
const tastersApart = 1.15

// tastersDiffer says of two or more tasters that they score the same jar
// differently, and what is made of it.
func tastersDiffer(gains []kinetics.Gain) []string {
	gains = slices.DeleteFunc(slices.Clone(gains), func(g kinetics.Gain) bool { return g.Scores < 2 })
	if len(gains) < 2 {
		return nil // one score says nothing of a taster
	}
	low, high := gains[0], gains[0]
	for _, g := range gains {
		if g.Factor < low.Factor {
			low = g
		}
		if g.Factor > high.Factor {
			high = g
		}
	}
	if low.Factor <= 0 || high.Factor/low.Factor < tastersApart {
		return nil
	}
	a, b := tasterName(low.Taster), tasterName(high.Taster)
	if len(gains) == 2 {
		first, second := a, b
		if second < first {
			first, second = second, first
		}
		return []string{fmt.Sprintf("%s and %s differ: %s scores about %.1f times what %s does; the middle of both is used",
			first, second, b, high.Factor/low.Factor, a)}
	}
	return []string{fmt.Sprintf("the tasters differ: %s scores about %.1f times what %s does; the middle of all %d is used",
		b, high.Factor/low.Factor, a, len(gains))}
}

func tasterName(name string) string {
	if name == "" {
		return "the taster without a name"
	}
	return name
}

// sortPoints puts readings in order of time, whatever the order they were
// written in.
func sortPoints(points []Point) {
	compare := func(a, b Point) int {
		return cmp.Or(cmp.Compare(a.Hours, b.Hours), cmp.Compare(a.Taster, b.Taster))
	}
	sort.SliceStable(points, func(i, j int) bool { return compare(points[i], points[j]) < 0 })
}
