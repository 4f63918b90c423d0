package steeping

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"steepbook/kinetics"
	"steepbook/kinetics/jar"
)

// TestWhatCannotWaitIsTastedFirst: of more flavours than a sitting bears none that is out of its time before
// the next one waits while one is tasted that is not; nor, of those alike in that, one that is overdue while
// one is tasted that is not, nor of those one that was due sooner. The unwanted tastes are in every sitting.
func TestWhatCannotWaitIsTastedFirst(t *testing.T) {
	rnd, waited := rand.New(rand.NewPCG(3, 5)), 0
	var pool []Curve // as they are read of jars that are tasted once, and asked about at 30 hours
	for range 60 {
		f := jar.Flavour{Name: "f", Prior: kinetics.Usual(math.Exp(-4+3*rnd.Float64()), 2), OutH: math.Inf(1),
			Target: 3 + 3*rnd.Float64(), Bottle: jar.Dilution{Share: 1},
			Scores: []jar.Score{{Hours: 2 + 20*rnd.Float64(), Value: 1 + 4*rnd.Float64()}}}
		read, err := jar.Jar{Flavours: []jar.Flavour{f}}.At(30)
		if err != nil {
			t.Fatal(err)
		}
		pool = append(pool, Curve{Order: read.Orders[0]})
	}
	for range 2000 {
		most := 1 + rnd.IntN(4)
		var due []*Curve
		for i := range 1 + rnd.IntN(7) {
			c := pool[rnd.IntN(len(pool))]
			c.Name, c.Watch = fmt.Sprint(i), rnd.IntN(5) == 0
			due = append(due, &c)
		}
		nextH := due[0].Order.UntilH + rnd.Float64()
		now, rest := bearable(due, most, nextH)
		tasted := 0
		for _, c := range due {
			in, later := slices.Contains(now, c), slices.Contains(rest, c.Name)
			if in == later || c.Watch && later {
				t.Fatalf("%s (unwanted: %v) is tasted: %v, waits: %v", c.Name, c.Watch, in, later)
			}
			if in && !c.Watch {
				tasted++
			}
		}
		if tasted > most || tasted < most && len(rest) > 0 {
			t.Fatalf("%d are tasted of at most %d, and %d wait", tasted, most, len(rest))
		}
		for _, x := range due {
			for _, y := range now {
				if !slices.Contains(rest, x.Name) || y.Watch {
					continue
				}
				a, b := &x.Order, &y.Order
				if cannot := a.UntilH < nextH; cannot != (b.UntilH < nextH) {
					if waited++; cannot {
						t.Fatalf("%+v waits for %g h, and %+v is tasted", a, nextH, b)
					}
				} else if a.Overdue != b.Overdue && a.Overdue || a.Overdue == b.Overdue && a.DueH < b.DueH {
					t.Fatalf("%+v waits, and %+v is tasted", a, b)
				}
			}
		}
	}
	if waited < 500 {
		t.Errorf("only %d waited for what could not", waited)
	}
}
