package kinetics

import (
	"math"
	"testing"
)

// Critical numbers: sensory_forced_choice.csv, rational arithmetic; its triangle
// column equals the printed table of ISO 4120 as given in FAO's manual for n = 5
// to 30 and beyond at four levels.
func TestCriticalNumbers(t *testing.T) {
	kinds := map[string]Comparison{
		"triangle (ISO 4120)": Triangle, "duo-trio (ISO 10399), paired comparison one-sided (ISO 5495), 2-AFC": DuoTrio, "paired comparison two-sided (ISO 5495)": PairedEither,
	}
	n := 0
	for _, r := range table(t, "sensory_forced_choice.csv") {
		c, ok := kinds[r["test"]]
		if !ok {
			continue // tests not offered here
		}
		trials := int(number(t, r["n"]))
		for level, alpha := range map[string]float64{"alpha_0.20": 0.2, "alpha_0.10": 0.1, "alpha_0.05": 0.05, "alpha_0.01": 0.01, "alpha_0.001": 0.001} {
			x, ok, err := c.Critical(trials, alpha)
			if err != nil {
				t.Fatal(err)
			}
			if r[level] == "" {
				if ok {
					t.Errorf("%s, n=%d, %s: %d, want none", c, trials, level, x)
				}
				continue
			}
			if want := int(number(t, r[level])); !ok || x != want {
				t.Errorf("%s, n=%d, %s: %d, want %d", c, trials, level, x, want)
			}
			n++
		}
		if r["p05_actual"] != "" {
			x, ok, _ := c.Critical(trials, 0.05)
			p, _ := c.PValue(trials, x)
			if want := number(t, r["p05_actual"]); !ok || math.Abs(p-want) > 1e-9 {
				t.Errorf("%s, n=%d: level %.10g, want %.10g", c, trials, p, want)
			}
		}
	}
	t.Logf("%d critical numbers", n)
	if n < 400 {
		t.Errorf("only %d critical numbers compared", n)
	}
	// A few cells of the printed tables.
	for _, c := range []struct {
		c    Comparison
		n, x int
	}{{Triangle, 5, 4}, {Triangle, 12, 8}, {Triangle, 30, 15}, {Paired, 10, 9}, {PairedEither, 12, 10}, {DuoTrio, 20, 15}} {
		if x, ok, err := c.c.Critical(c.n, 0.05); !ok || x != c.x || err != nil {
			t.Errorf("%s n=%d: %d, want %d", c.c, c.n, x, c.x)
		}
	}
}

// Numbers of trials for a power: sensory_power.csv.
func TestTrials(t *testing.T) {
	n := 0
	for _, r := range table(t, "sensory_power.csv") {
		var c Comparison
		switch r["test"] {
		case "triangle":
			c = Triangle
		case "duo-trio / 2-AFC guessing 1/2":
			c = Paired
		default:
			continue
		}
		if r["n"] == "" || number(t, r["n"]) > 500 {
			continue
		}
		got, err := c.Trials(number(t, r["alpha"]), number(t, r["pd"]), number(t, r["power"]))
		if want := int(number(t, r["n"])); err != nil || got != want {
			t.Errorf("%v: %d, want %d (%v)", r, got, want, err)
		}
		n++
	}
	t.Logf("%d numbers of trials", n)
	if n < 60 {
		t.Errorf("only %d compared", n)
	}
}

func TestComparisonErrors(t *testing.T) {
	if _, err := Triangle.PValue(5, 6); err != ErrComparison {
		t.Error(err)
	}
	if _, _, err := Triangle.Critical(0, 0.05); err != ErrComparison {
		t.Error(err)
	}
	if _, err := Triangle.Power(5, 0.05, 2); err != ErrComparison {
		t.Error(err)
	}
	if _, err := Triangle.Trials(0.05, 0.3, 1); err != ErrComparison {
		t.Error(err)
	}
	if n, err := Triangle.Trials(0.05, 0.001, 0.9); n != 0 || err != nil {
		t.Error(n, err)
	}
	if p, err := Triangle.Power(5, 0.05, 1); p != 1 || err != nil {
		t.Error(p, err)
	}
	if p, err := PairedEither.PValue(4, 2); p != 1 || err != nil {
		t.Error(p, err)
	}
	if p, err := Triangle.Power(2, 0.01, 0.5); p != 0 || err != nil {
		t.Error(p, err) // two trials can never be significant
	}
}
