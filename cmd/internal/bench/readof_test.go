package bench_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/library"
)

// TestAReadingIsOfWhatIsLoggedAboveIt: the strength of the strained liquor, read as it is reckoned, makes no other
// drink of what goes in after it, planned or not, logged or still to go in, whether the yield is measured or not;
// nor does it make a stronger one of what nobody logged.
func TestAReadingIsOfWhatIsLoggedAboveIt(t *testing.T) {
	tried := 0
	for seed := range somejar.Many(20) {
		j := somejar.New(seed)
		if len(j.Additions) == 0 {
			continue
		}
		tried++
		for i := range j.Botanicals {
			j.Botanicals[i].LeaveIn = false
		}
		j.Pulls, j.Press, j.Now = nil, true, max(j.Now, 60)+60*24*3
		j.Life = []somejar.Entry{{Table: "strained", At: j.Now}}
		plan := j.Additions
		look := func(read string, logged []somejar.Addition, more ...somejar.Entry) *bench.Assessment {
			later := j.Copy()
			later.Life = nil
			for _, x := range logged {
				later.Life = append(later.Life, somejar.Entry{Table: "added",
					Keys: fmt.Sprintf("name = %q\namount = %q\n", x.Name, x.Amount), At: j.Now + 60})
			}
			later.Life = append(later.Life, more...)
			all := later.Tables()
			src := j.String() + read + strings.Join(all[len(all)-len(later.Life):], "")
			at := somejar.Time(j.Now).Add(3 * time.Hour)
			a, err := bench.Assess(somejar.Parse(t, src), library.Builtin(), bench.Question{Now: at})
			if err != nil {
				t.Fatalf("%v\n%s", err, src)
			}
			a.Judge()
			return a
		}
		j.Additions = nil
		liquor := look("", nil).Blend.Result
		j.Additions = plan
		if liquor.ABVPercent.Value < 5 {
			continue
		}
		read := fmt.Sprintf("[measured]\nabv = %.2f\n", liquor.ABVPercent.Value)
		bottled := func(keys string) somejar.Entry {
			return somejar.Entry{Table: "bottled", Keys: keys, At: j.Now + 120}
		}
		whole := look("", plan).Blend.Result
		yield := fmt.Sprintf("volume = \"%.0f ml\"\n", whole.VolumeML.Value)
		for name, of := range map[string]func(read string) *bench.Assessment{
			"logged":   func(read string) *bench.Assessment { return look(read, plan) },
			"bottled":  func(read string) *bench.Assessment { return look(read, plan, bottled("")) },
			"measured": func(read string) *bench.Assessment { return look(read, plan, bottled(yield)) },
			"to come":  func(read string) *bench.Assessment { return look(read, nil) },
			"in part":  func(read string) *bench.Assessment { return look(read, plan[:1]) },
			"unplanned": func(read string) *bench.Assessment {
				j.Additions = nil
				defer func() { j.Additions = plan }()
				return look(read, plan)
			},
		} {
			got, want := of(read), of("")
			g, w := got.Blend.Result, want.Blend.Result
			if math.Abs(g.ABVPercent.Value-w.ABVPercent.Value) > 0.1 || g.ABVPercent.Low > w.ABVPercent.Value || g.ABVPercent.High < w.ABVPercent.Value ||
				math.Abs(g.VolumeML.Value-w.VolumeML.Value) > 1+0.002*w.VolumeML.Value || math.Abs(g.SugarGPerL.Value-w.SugarGPerL.Value) > 0.5 ||
				len(got.Recipe.ToCome) != len(want.Recipe.ToCome) || len(g.AtOdds) > 0 {
				t.Errorf("jar %d, %s: read %+v, %+v, %+v, unread %+v, %+v, %+v, to come %d and %d, %q", seed, name, g.ABVPercent, g.VolumeML, g.SugarGPerL,
					w.ABVPercent, w.VolumeML, w.SugarGPerL, len(got.Recipe.ToCome), len(want.Recipe.ToCome), g.AtOdds)
			}
		}
		unlogged := look(read, nil, bottled("")).Blend
		if low := unlogged.Bottle.ABVPercent.Low; low > whole.ABVPercent.Value+0.1 {
			t.Errorf("jar %d, of which nobody logged what went in: judged on no less than %.2f %% vol, and it has %.2f with all that was planned", seed, low, whole.ABVPercent.Value)
		}
	}
	if tried < 5 {
		t.Errorf("only %d jars", tried)
	}
}
