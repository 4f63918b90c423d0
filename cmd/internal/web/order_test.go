package web

import (
	"slices"
	"testing"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
)

// TestScoresInTheOrderGiven: what the next tasting is of stands on top, in the order in which the
// jar was just said to be tasted.
func TestScoresInTheOrderGiven(t *testing.T) {
	several := 0
	for number := range uint64(60) {
		j := somejar.New(number)
		a, err := bench.Read(somejar.Parse(t, j.String()), somejar.Library(t), bench.Question{Now: somejar.Time(j.Now)})
		if err != nil {
			t.Fatal(err)
		}
		if err := a.Steep(); err != nil {
			t.Fatal(err)
		}
		a.Judge()
		var n answers
		n.toTaste(a, pen.Style{Forms: true})
		now, _ := a.ToScore()
		if len(n.flavours) == 0 {
			continue
		}
		var names []string
		for _, f := range n.flavours[:min(len(now), len(n.flavours))] {
			names = append(names, f.Name)
		}
		if now = slices.Compact(now); !slices.Equal(names, now) {
			t.Errorf("%d: %q, to be tasted as %q", number, names, now)
		}
		if len(now) > 1 {
			several++
		}
	}
	if several < 5 {
		t.Errorf("only %d with several", several)
	}
}
