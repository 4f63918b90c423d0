package panel

import (
	"math"
	"testing"

	"steepbook/kinetics/internal/printed"
)

// Critical numbers: sensory_forced_choice.csv, rational arithmetic; its triangle
// column equals the printed table of ISO 4120 as given in FAO's laboratory manual
// v7180e, Appendix A, for n = 5 to 30, 36, 42, 48, 54 and 60 and beyond at four
// levels.
func TestCriticalNumbers(t *testing.T) {
	kinds := map[string]Design{"triangle (ISO 4120)": Triangle, "paired comparison two-sided (ISO 5495)": Pair}
	checked := map[Design]int{}
	for _, r := range printed.Table(t, "sensory_forced_choice.csv") {
		d, ok := kinds[r["test"]]
		if !ok {
			continue // tests not offered here
		}
		n := int(printed.Number(t, r["n"]))
		for level, alpha := range map[string]float64{
			"alpha_0.20": 0.2, "alpha_0.10": 0.1, "alpha_0.05": 0.05, "alpha_0.01": 0.01, "alpha_0.001": 0.001,
		} {
			want := n + 1 // blank: not to be reached
			if r[level] != "" {
				want = int(printed.Number(t, r[level]))
			}
			if x := d.critical(n, alpha); x != want {
				t.Errorf("%s, n=%d, %s: %d, want %d", d, n, level, x, want)
			}
			checked[d]++
			if alpha != blindLevel {
				continue
			}
			f, err := ForcedTest(d, n, min(want, n))
			if wanted := want % (n + 1); err != nil || f.Needed != wanted || f.Differs() != (wanted > 0) {
				t.Errorf("%s, n=%d: %+v, want %d needed (%v)", d, n, f, wanted, err)
			}
			if f, _ = ForcedTest(d, n, min(want, n)-1); f.Differs() && f.Agreeing() < want {
				t.Errorf("%s: %d of %d counts as a difference", d, want-1, n)
			}
		}
		if r["p05_actual"] != "" {
			p := d.luck(n, d.critical(n, 0.05))
			if want := printed.Number(t, r["p05_actual"]); math.Abs(p-want) > 1e-9 {
				t.Errorf("%s, n=%d: level %.10g, want %.10g", d, n, p, want)
			}
		}
	}
	if checked[Triangle] < 130 || checked[Pair] < 130 {
		t.Errorf("only %v critical numbers compared", checked)
	}
	// A few cells of the printed tables.
	for _, c := range []struct {
		d    Design
		n, x int
	}{{Triangle, 5, 4}, {Triangle, 12, 8}, {Triangle, 30, 15}, {Pair, 12, 10}} {
		if x := c.d.critical(c.n, 0.05); x != c.x {
			t.Errorf("%s n=%d: %d, want %d", c.d, c.n, x, c.x)
		}
	}
}

// Numbers of trials for a power: sensory_power.csv, exact binomial by SciPy 1.10.1
// (head of the file). As many trials find that share and no smaller one; half as
// many find only a larger.
func TestTrials(t *testing.T) {
	checked, found := 0, 0
	for _, r := range printed.Table(t, "sensory_power.csv") {
		if r["test"] != "triangle" || r["n"] == "" || printed.Number(t, r["n"]) > 500 {
			continue
		}
		n, share := int(printed.Number(t, r["n"])), printed.Number(t, r["pd"])
		alpha, power := printed.Number(t, r["alpha"]), printed.Number(t, r["power"])
		if got := Triangle.enough(alpha, share, power); got != n {
			t.Errorf("%v: %d, want %d", r, got, n)
		}
		checked++
		if alpha != blindLevel || power != blindPower {
			continue
		}
		if s := Triangle.shareFound(n); s == 0 || s > share+1e-4 {
			t.Errorf("%d triangles find a share of %.4f, the table says %g", n, s, share)
		}
		if s := Triangle.shareFound(n / 2); s != 0 && s <= share {
			t.Errorf("%d triangles already find a share of %g", n/2, share)
		}
		found++
	}
	if checked < 30 || found < 5 {
		t.Errorf("only %d and %d compared", checked, found)
	}
}

func TestForcedAtItsEnds(t *testing.T) {
	for _, c := range [][2]int{{5, 6}, {0, 0}, {1001, 5}, {5, -1}} {
		if _, err := ForcedTest(Triangle, c[0], c[1]); err != errNumbers {
			t.Errorf("%d of %d: %v", c[1], c[0], err)
		}
	}
	if n := Triangle.enough(0.05, 0.001, 0.9); n != 0 {
		t.Error(n)
	}
	if p := Triangle.power(5, 0.05, 1); p != 1 {
		t.Error(p)
	}
	if p := Pair.luck(4, 2); p != 1 {
		t.Error(p)
	}
	if p := Triangle.power(2, 0.01, 0.5); p != 0 {
		t.Error(p) // two trials can never be significant
	}
	for k := range 11 {
		a, _ := ForcedTest(Pair, 10, k)
		b, _ := ForcedTest(Pair, 10, 10-k)
		if a.Luck != b.Luck || a.Differs() != b.Differs() || a.Agreeing() != b.Agreeing() {
			t.Errorf("%d and %d of 10 are judged differently", k, 10-k)
		}
	}
}
