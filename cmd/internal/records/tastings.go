package records

import (
	"cmp"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"steepbook/data/batch"
)

// columns are those of the tastings, in their order.
var columns = []string{"batch", "at", "hours", "taster", "sample", "flavour", "score", "words"}

// Tastings are the tastings of batches as rows with a header, one row a score: the batch
// by its file, the moment at loc with its offset from UTC, the hours since the start, who
// tasted, the sample as jar:other ("" is neat), the flavour, the score and the words. The
// tastings of a batch are in order of time.
func Tastings(batches []*batch.Batch, loc *time.Location) [][]string {
	rows := [][]string{columns}
	for _, b := range batches {
		for _, t := range inOrder(b.Tastings) {
			for _, s := range t.Scores {
				rows = append(rows, []string{filepath.Base(b.File), t.When.In(loc).Format(time.RFC3339Nano),
					number(t.Hours, 4), t.Taster, sampleOf(t), s.Name, number(s.Value, -1), t.Words})
			}
		}
	}
	return rows
}

// inOrder are tastings in order of time; those of one moment, taster, sample and words
// stand together, because a reader takes them for one.
func inOrder(list []batch.Tasting) []*batch.Tasting {
	out := make([]*batch.Tasting, len(list))
	for i := range list {
		out[i] = &list[i]
	}
	slices.SortStableFunc(out, func(x, y *batch.Tasting) int {
		return cmp.Or(x.When.Compare(y.When), cmp.Compare(x.Taster, y.Taster),
			cmp.Compare(sampleOf(x), sampleOf(y)), cmp.Compare(x.Words, y.Words))
	})
	return out
}

func sampleOf(t *batch.Tasting) string {
	if t.SampleOther == 0 {
		return ""
	}
	return number(t.SampleJar, -1) + ":" + number(t.SampleOther, -1)
}

// number prints a figure with at most so many decimals, -1 for all it has.
func number(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}
