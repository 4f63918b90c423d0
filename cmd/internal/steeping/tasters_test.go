package steeping

import (
	"slices"
	"testing"

	"steepbook/kinetics"
)

func TestTastersDiffer(t *testing.T) {
	for _, c := range []struct {
		gains []kinetics.Gain
		want  []string
	}{
		{nil, nil},
		{[]kinetics.Gain{{Taster: "A", Factor: 0.8, Scores: 3}, {Taster: "B", Factor: 1.2, Scores: 1}}, nil},
		{[]kinetics.Gain{{Taster: "A", Factor: 0.97, Scores: 2}, {Taster: "B", Factor: 1.03, Scores: 2}}, nil},
		{[]kinetics.Gain{{Taster: "B", Factor: 1.13, Scores: 2}, {Taster: "A", Factor: 0.87, Scores: 2}}, []string{"A and B differ: B scores about 1.3 times what A does; the middle of both is used"}},
		{[]kinetics.Gain{{Taster: "A", Factor: 1.2, Scores: 2}, {Taster: "B", Factor: 0.8, Scores: 2}, {Taster: "", Factor: 1, Scores: 2}}, []string{"the tasters differ: A scores about 1.5 times what B does; the middle of all 3 is used"}},
	} {
		if got := tastersDiffer(c.gains); !slices.Equal(got, c.want) {
			t.Errorf("%v: %q, want %q", c.gains, got, c.want)
		}
	}
}
