package together

import (
	"fmt"
	"math"
	"steepbook/cmd/internal/steeping"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/somejar"

	"pgregory.net/rapid"
)

const twoSpices = "name = \"T\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nname = \"vodka\"\nabv = 40\namount = \"500 ml\"\n" +
	"[[botanical]]\nname = \"allspice\"\ncut = \"coarsely crushed\"\namount = \"30 g\"\ntarget = 5\n" +
	"[[botanical]]\nname = \"cinnamon\"\ncut = \"stick\"\namount = \"5 g\"\ntarget = 3\nin = \"%d h\"\n"

// The times in the timetable are those of steep, whatever the hour; what is in
// stays where it is, and nothing is added in the past.
func TestTogetherAgreesWithSteep(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		src := fmt.Sprintf(twoSpices, rapid.SampledFrom([]int{0, 48, 120}).Draw(rt, "in"))
		tasted := rapid.IntRange(0, 3).Draw(rt, "tastings")
		for i := range tasted {
			src += fmt.Sprintf("[[tasting]]\nat = \"%d h\"\nscore = { allspice = %d }\n", 6<<i, 2+2*i)
		}
		if rapid.Bool().Draw(rt, "pulled") {
			src += "[[pulled]]\nname = \"allspice\"\nat = \"80 h\"\n"
		}
		elapsed := rapid.SampledFrom([]int{0, 1, 30, 100, 200, 400, 2000}).Draw(rt, "elapsed")
		a := assessed(t, src, time.Duration(elapsed)*time.Hour)
		plan := Plan(a)
		if len(plan.Stays) != 2 {
			rt.Fatalf("%+v", plan)
		}
		for _, s := range plan.Stays {
			var c *steeping.Curve
			for i := range a.Curves {
				if a.Curves[i].Name == s.Name {
					c = &a.Curves[i]
				}
			}
			if o := c.Order; s.BestH != o.BestH-c.InH || s.FromH != o.FromH-c.InH || s.UntilH != o.UntilH-c.InH {
				rt.Errorf("%s: %v in the timetable, %v in steep", s.Name, s, o)
			}
			switch {
			case plan.NextJar || elapsed == 0:
				if math.Abs(s.OutH-s.InH-s.BestH) > 1e-6 || s.InH < 0 || s.In || s.Out {
					rt.Errorf("%+v", s)
				}
			case s.In || s.Out:
				if s.InH != c.InH || s.In && s.OutH < a.ElapsedH-1e-6 {
					rt.Errorf("%+v at %g h", s, a.ElapsedH)
				}
			case s.InH < a.ElapsedH-1e-6:
				rt.Errorf("added in the past: %+v at %g h", s, a.ElapsedH)
			}
			if !plan.NextJar && elapsed > 0 && c.Order.Overdue {
				rt.Errorf("%s is overdue and the jar is to wait until %g h", s.Name, plan.TotalH)
			}
		}
	})
}

func TestTogetherConflict(t *testing.T) {
	a := assessed(t, fmt.Sprintf(twoSpices, 0), 30*24*time.Hour)
	if p := Plan(a); !p.NextJar || p.Conflict.First != "allspice" || p.Conflict.FirstH > a.ElapsedH {
		t.Errorf("allspice past its week: %+v", p)
	}
	a = assessed(t, fmt.Sprintf(twoSpices, 0)+"[[pulled]]\nname = \"allspice\"\nat = \"80 h\"\n[[pulled]]\nname = \"cinnamon\"\nat = \"80 h\"\n", 30*24*time.Hour)
	if p := Plan(a); !p.NextJar || !p.Conflict.AllOut {
		t.Errorf("everything is out: %+v", p)
	}
}

// assessed is a batch so long after its start.
func assessed(t testing.TB, src string, in time.Duration) *bench.Assessment {
	t.Helper()
	b := somejar.Parse(t, src)
	a, err := bench.Assess(b, somejar.Library(t), bench.Question{Now: b.Started.Add(in)})
	if err != nil {
		t.Fatal(err)
	}
	return a
}
