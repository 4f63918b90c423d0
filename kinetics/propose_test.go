package kinetics

import (
	"math"
	"strings"
	"testing"
)

func find(ps []Proposal, c Curve) (Proposal, bool) {
	for _, p := range ps {
		if p.Curve == c && p.Tasting < 0 {
			return p, true
		}
	}
	return Proposal{}, false
}

// Sets made to show one thing each: fits/bayes_data.csv f8 (a jump; log Bayes
// factor +5.821 in fits/bayes_posterior.csv, −0.758 and −1.340 on f1 and f2),
// decline_data.csv and twophase_data.csv.
func TestPropose(t *testing.T) {
	sets := bayesSets(t)
	got, err := narrow.Propose(sets["f8_jump"])
	if err != nil {
		t.Fatal(err)
	}
	if p, ok := find(got, EarlyJump); !ok || math.Abs(p.Evidence-5.821) > 1e-3 || p.Words == "" {
		t.Errorf("jump: %+v", got)
	}
	for _, name := range []string{"f1_three", "f2_five", "f4_plateau", "f7_ten"} {
		if got, err := narrow.Propose(sets[name]); err != nil || len(got) != 0 {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
	}
	known := Prior{LogRate: Normal{math.Log(0.2), 1}, Plateau: Normal{8, 2}, LogNoise: Normal{math.Log(0.5), 0.3}}
	x, y := series(t, "fits/decline_data.csv")
	var ts []Tasting
	for i := range x {
		ts = append(ts, Tasting{Hours: x[i], Score: y[i]})
	}
	if got, err = known.Propose(ts); err != nil {
		t.Fatal(err)
	}
	// The least-squares peak of the check file is at 11.0971.
	if p, ok := find(got, RiseLoss); !ok || p.Evidence < enoughEvidence || math.Abs(p.PeakHours-11.0971) > 1e-3 || got[0].Curve != RiseLoss {
		t.Errorf("decline: %+v", got)
	}
	x, y = series(t, "fits/twophase_data.csv")
	ts = nil
	for i := range x {
		ts = append(ts, Tasting{Hours: x[i], Score: y[i]})
	}
	sharp := known
	sharp.LogNoise = Normal{math.Log(0.2), 0.3}
	if got, err = sharp.Propose(ts); err != nil {
		t.Fatal(err)
	}
	if p, ok := find(got, TwoPhase); !ok || p.Evidence < enoughEvidence {
		t.Errorf("two phases: %+v", got)
	}
	// A wetting delay.
	ts = nil
	for _, at := range []float64{1, 2, 3, 5, 8, 12, 20} {
		ts = append(ts, Tasting{Hours: at, Score: math.Round(10*8*-math.Expm1(-0.3*math.Max(0, at-2.5))) / 10})
	}
	if got, err = sharp.Propose(ts); err != nil {
		t.Fatal(err)
	}
	if p, ok := find(got, Delayed); !ok || p.Evidence < enoughEvidence {
		t.Errorf("delay: %+v", got)
	}
	// One wild score among seven: fits/outlier_data.csv, the fourth.
	x, y = series(t, "fits/outlier_data.csv")
	ts = nil
	for i := range x {
		ts = append(ts, Tasting{Hours: x[i], Score: y[i]})
	}
	if got, err = known.Propose(ts); err != nil {
		t.Fatal(err)
	}
	odd := false
	for _, p := range got {
		odd = odd || p.Tasting == 3
	}
	if !odd {
		t.Errorf("outlier: %+v", got)
	}
	if _, err := (Prior{}).Propose(ts); err == nil {
		t.Error("an empty prior was accepted")
	}
	if got, err := known.Propose(nil); err != nil || got != nil {
		t.Errorf("no tastings: %v, %v", got, err)
	}
}

func TestSurprise(t *testing.T) {
	p := must(t, narrow, bayesSets(t)["f2_five"])
	r := p.Reading(5)
	if z := p.Surprise(Tasting{Hours: 5, Score: r.Mean + 3*r.SD}); math.Abs(z-3) > 1e-9 {
		t.Error(z)
	}
	if z := p.Surprise(Tasting{Hours: 5, Score: 3, Censored: true}); z != 0 {
		t.Error(z)
	}
}

// A taster who scores everything higher gives no odd scores; a slip of one names
// the taster.
func TestOddScoreNamesTheTaster(t *testing.T) {
	p := usual(0.1)
	p.LogNoise = Normal{math.Log(0.4), 0.2}
	var ts []Tasting
	for _, h := range []float64{4, 8, 16, 32, 48} {
		x := -math.Expm1(-0.1 * h)
		ts = append(ts, Tasting{Hours: h, Score: 4 * x, Taster: "A"}, Tasting{Hours: h, Score: 8 * x, Taster: "B"})
	}
	out, err := p.Propose(ts)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range out {
		if o.Tasting >= 0 {
			t.Errorf("twice as strong throughout: %s", o.Words)
		}
	}
	ts[5].Score = 1
	out, err = p.Propose(ts)
	if err != nil {
		t.Fatal(err)
	}
	named := false
	for _, o := range out {
		named = named || o.Tasting == 5 && strings.Contains(o.Words, "of B at 16 h")
	}
	if !named {
		t.Errorf("a score of B that does not fit is not named: %+v", out)
	}
}
