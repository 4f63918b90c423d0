package due

import (
	"cmp"
	"slices"
	"sort"
	"time"
)

// Errand is one thing to do with one batch of a book.
type Errand struct {
	*Glance
	Act Act
}

// Errands are what is to be done in a book, the most urgent first: the next act of every
// batch, and of what steeps all that comes before a moment.
func Errands(list []Glance, before time.Time) []Errand {
	var out []Errand
	for i := range list {
		g := &list[i]
		if d := &g.Due; d.Kind == Nothing || d.Dated() {
			continue
		}
		out = append(out, Errand{g, g.Due})
		for k := 1; k < len(g.Acts); k++ {
			if d := g.Acts[k]; !d.At.IsZero() && d.At.Before(before) {
				out = append(out, Errand{g, d})
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return compareDue(&out[i].Act, &out[j].Act) < 0 })
	return out
}

// Keeps are the bottles of a book with which nothing is to be done, what ends first on top and
// what has no date last.
func Keeps(list []Glance) []*Glance {
	var out []*Glance
	for i := range list {
		if g := &list[i]; g.Stage == Bottled && !g.Due.Overdue && !g.Due.Now {
			out = append(out, g)
		}
	}
	slices.SortStableFunc(out, func(x, y *Glance) int {
		if x.Until.IsZero() || y.Until.IsZero() {
			return cmp.Compare(y.Until.Unix(), x.Until.Unix())
		}
		return x.Until.Compare(y.Until)
	})
	return out
}
