package keeping

import (
	"math"
	"testing"
	"time"

	"steepbook/shelf"
)

// TestWhatFadesGoesAtThePaceOfItsDrink: a change of taste uses up its days as fast as it does in what it is in, so
// that an hour of one state is the same share of them as another of the other, of a drink that was never another it
// has all of its days, none come back to what had none left, and while it waits only what it waits in counts.
func TestWhatFadesGoesAtThePaceOfItsDrink(t *testing.T) {
	begin := time.Date(2026, 11, 7, 5, 0, 0, 0, time.UTC)
	zest := func(days float64) shelf.Fade {
		return shelf.Fade{Attribute: "peel note", Of: []string{"lime"}, Time: shelf.Days{Low: days, Words: "so long"}}
	}
	f := Fading{Fade: zest(8)}
	state := func(from, to int, days float64) State {
		s := State{From: begin.AddDate(0, 0, from), Fades: []shelf.Fade{zest(days)}}
		if to > 0 {
			s.To = begin.AddDate(0, 0, to)
		}
		return s
	}
	for _, c := range []struct {
		states []State
		days   float64 // from the beginning on
	}{
		{nil, 8},
		{[]State{state(0, 5, 8)}, 8},
		{[]State{state(0, 20, 8)}, 8},
		{[]State{state(0, 20, 80)}, 26},
		{[]State{state(0, 20, 0)}, 28}, // it does not fade in that
		{[]State{state(0, 4, 8), state(4, 24, 80)}, 26},
		{[]State{state(0, 10, 80), state(10, 12, 4)}, 15},
		{[]State{state(0, 9, 3)}, 3},
		{[]State{state(0, 4, 8), state(4, 8, 2), state(8, 20, 80)}, 5},
		{[]State{state(0, 0, 80)}, 80},
		{[]State{state(0, 10, 16), state(10, 0, 80)}, 40},
		{[]State{{From: begin, To: begin.AddDate(0, 0, 20)}}, 8}, // nobody knows
	} {
		r := f.from(begin, c.states)
		got := r.from.Sub(begin).Hours()/24 + 8*(1-r.spent.By)
		if math.Abs(got-c.days) > 1e-6 {
			t.Errorf("%+v: %g days, want %g", c.states, got, c.days)
		}
		if day, want := r.until(f.Time, true), Evening(begin.AddDate(0, 0, int(c.days)-1)); !day.Equal(want) {
			t.Errorf("%+v: to %v, want %v", c.states, day, want)
		}
	}
	if r := f.from(begin, []State{state(0, 0, 0)}); !r.from.IsZero() {
		t.Errorf("what waits where nothing fades has days from %v", r.from)
	}
}
