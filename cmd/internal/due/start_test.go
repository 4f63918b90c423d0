package due

import (
	"fmt"
	"testing"
	"time"
)

// TestStartIsGoodOnTheDay: a start that a plan names leads to a drink that is at its best on the day where a
// later one that is likely in time does; started now, where it is to wait, it is not; and
// a file with a start that is not likely in time, or too soon, is told so.
func TestStartIsGoodOnTheDay(t *testing.T) {
	src := func(started, ready, botanical, addition string) string {
		return fmt.Sprintf("name = \"party\"\nstarted = %sT18:00:00\n%s[spirit]\nname = \"vodka\"\nabv = 40\n"+
			"amount = \"500 ml\"\n[[botanical]]\nname = %q\namount = \"300 g\"\ntarget = 6\n[[addition]]\n%s\n",
			started, ready, botanical, addition)
	}
	now, held := at("2026-12-01T17:00"), 0
	for _, of := range [][2]string{{"raspberry", "name = \"sugar\"\namount = \"200 g\""},
		{"strawberry", "name = \"lemon juice\"\namount = \"200 ml\""}, {"mint", "name = \"sugar\"\namount = \"100 g\""},
		{"raspberry", "name = \"cream\"\namount = \"250 ml\""}} {
		batch := func(started time.Time, ready string) Glance {
			return look(t, src(started.Format(time.DateOnly), ready, of[0], of[1]), now, nil)
		}
		plain := batch(now.AddDate(0, 0, 40), "")
		for days := 5; days < 120; days += 11 {
			day := at("2026-12-01T12:00").AddDate(0, 0, days)
			p, err := plain.Back(day)
			if err != nil {
				t.Fatal(err)
			}
			if p.TooLate || p.Unsound {
				continue
			}
			for _, d := range p.Dates {
				if (d.Kind == AtBest || d.Kind == Use) && d.At.Before(midnight(day)) && p.Start.Before(p.By) {
					t.Errorf("%s for %v: started %v, %s ends %v", of, day, p.Start, d.Kind, d.At)
				}
			}
			ready := "ready = " + day.Format(time.DateOnly) + "\n"
			good, late := batch(p.Start, ready), batch(p.By.AddDate(0, 0, 2), ready)
			if !good.Aim.Plan.Off.IsZero() && p.Start.After(now) || late.Aim.Plan.Off.IsZero() ||
				late.Aim.InTime() {
				t.Errorf("%s for %v: %+v, started two days late %+v", of, day, good.Aim, late.Aim)
			}
			if early := batch(now, ready); p.NotYet && days > 20 {
				if held++; early.Aim.InTime() {
					t.Errorf("%s for %v: in time started today, not on %v", of, day, p.Start)
				}
			}
		}
	}
	if held < 3 {
		t.Errorf("only %d were held to their day", held)
	}
}
