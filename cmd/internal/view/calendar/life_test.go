package calendar

import (
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
)

// plan is a batch planned back from a day.
func plan(t *testing.T, src string, now, ready time.Time, house *batch.House) (*due.Plan, *due.Glance) {
	t.Helper()
	g := assess(t, src, now, house)
	p, err := g.Back(ready)
	if err != nil {
		t.Fatal(err)
	}
	return p, g
}

func dateOfKind(dates []due.Date, k due.Kind) (found *due.Date) {
	for i := range dates {
		if dates[i].Kind == k {
			found = &dates[i]
		}
	}
	return found
}

const walnut = `name = "Walnut"
started = 2026-06-24T10:00:00
[spirit]
name = "neutral spirit 95 %"
amount = "1 l"
[[botanical]]
name = "green walnut"
cut = "quartered"
amount = "33 pieces"
target = 6
[[addition]]
name = "sugar"
amount = "800 g"
[[addition]]
name = "water"
amount = "250 ml"
`

// TestBackIsSound: no plan is ready after the day to which it is sound, nothing comes before
// its start or before now, and what is too late is planned for the day that is named.
func TestBackIsSound(t *testing.T) {
	start := time.Date(2026, 6, 24, 10, 5, 0, 0, time.UTC)
	weak := strings.NewReplacer("neutral spirit 95 %", "vodka 40 %", "250 ml", "500 ml").Replace(walnut)
	for n, src := range []string{walnut, weak, told, strings.Replace(told, "40", "38", 1)} {
		for _, days := range somejar.Either([]int{1, 14, 60, 90, 300},
			[]int{1, 5, 14, 60, 89, 90, 93, 183, 300}) {
			for _, house := range []*batch.House{nil, {MaxAgeDays: 10}, {MaxAgeDays: 60}} {
				now := start
				if n >= 2 {
					now = time.Date(2026, 11, 20, 18, 5, 0, 0, time.UTC)
				}
				ready := time.Date(now.Year(), now.Month(), now.Day()+days, 12, 0, 0, 0, time.UTC)
				p, _ := plan(t, src, now, ready, house)
				end, use := dateOfKind(p.Dates, due.Ready), dateOfKind(p.Dates, due.Use)
				if end == nil != p.Unsound || end != nil && use != nil && use.At.Before(day(end.At, 0)) {
					t.Errorf("%d, %d days: ready %+v, use by %+v", n, days, end, use)
				}
				if p.Young != (p.RestedDays < p.RestDays) && !p.Unsound {
					t.Errorf("%d, %d days: rested %d of %d days: %+v", n, days, p.RestedDays, p.RestDays, p)
				}
				if p.TooLate && (end == nil || !sameDay(end.At, p.Earliest) || !p.Earliest.After(ready)) {
					t.Errorf("%d, %d days: too late, %v named, %+v planned", n, days, p.Earliest, end)
				}
				for _, d := range p.Dates {
					if d.Kind != due.Start && (d.At.Before(p.Start) || !d.Done && d.At.Before(day(now, 0))) {
						t.Errorf("%d, %d days: %s on %v, started %v", n, days, d.Kind, d.At, p.Start)
					}
				}
			}
		}
	}
	p, _ := plan(t, walnut, start, time.Date(2026, 8, 27, 12, 0, 0, 0, time.UTC), &batch.House{MaxAgeDays: 60})
	if !p.Young || p.Unsound || p.TooLate {
		t.Errorf("it rests %d days and keeps 60: %+v", p.RestDays, p)
	}
}

// TestForecastCountsAsKept: the day that is foreseen of a bottle is never later than that of
// one which is bottled on the day that was foreseen, at whatever hour.
func TestForecastCountsAsKept(t *testing.T) {
	src := strings.Replace(told, "sugar\"\namount = \"200 g", "lime juice\"\namount = \"90 ml", 1) +
		"[[pulled]]\nname = \"clove\"\nat = 2026-11-22T01:00:00\n"
	src = strings.Replace(src, "[[pulled]]\nname = \"clove\"", "[[botanical]]\nname = \"almond\"\namount = \"20 g\"\n"+
		"[[pulled]]\nname = \"clove\"", 1)
	forecast := entries(t, assess(t, src, time.Date(2026, 11, 22, 2, 0, 0, 0, time.UTC), nil))
	var bottled, best time.Time
	for _, e := range forecast {
		switch e.Kind {
		case due.Bottle:
			bottled = e.Event.Start
		case due.AtBest:
			best = e.Event.Start
		}
	}
	if bottled.IsZero() || best.IsZero() {
		t.Fatalf("nothing is foreseen: %+v", forecast)
	}
	for _, clock := range []string{"03:00", "12:00", "19:00", "23:30"} {
		at := bottled.Format("2006-01-02T") + clock + ":00"
		when, _ := time.Parse("2006-01-02T15:04:05", at)
		kept := src + "[[strained]]\nat = " + at + "\n[[bottled]]\nbottles = 2\nof = \"250 ml\"\nat = " + at + "\n"
		for _, e := range entries(t, assess(t, kept, when.Add(time.Minute), nil)) {
			if e.Kind == due.AtBest && day(e.Event.Start, 0).Before(day(best, 0)) {
				t.Errorf("bottled at %s it is at its best to %v, foreseen was %v", at, e.Event.Start, best)
			}
		}
	}
}

// TestTastingsAndWindows: what is tasted at its own hour has its event, what may wait for
// the morning rings then, and an alarm that rings early names the moment.
func TestTastingsAndWindows(t *testing.T) {
	now := time.Date(2026, 11, 20, 18, 5, 0, 0, time.UTC)
	src := told + "[[botanical]]\nname = \"cinnamon\"\ncut = \"stick\"\namount = \"3 g\"\ntarget = 3\n" +
		"[[botanical]]\nname = \"orange zest\"\namount = \"5 g\"\ntarget = 4\n"
	g := assess(t, src, now, nil)
	list := entries(t, g)
	tasted := map[string]bool{}
	uids := map[string]bool{}
	for _, e := range list {
		if e.Kind == due.Taste {
			for _, n := range e.What {
				tasted[n] = true
			}
		}
		if uids[e.Event.UID] {
			t.Errorf("%s has the UID of another", e.Event.Summary)
		}
		uids[e.Event.UID] = true
		if strings.Contains(e.Event.Summary, "today") {
			t.Errorf("%s may ring on another day", e.Event.Summary)
		}
		before, after := g.Assessment.House().Up(e.At)
		if !e.Event.AllDay && !e.From.IsZero() && !e.Until.IsZero() && !before.Equal(after) && !after.After(e.Until) &&
			!e.Event.Start.Equal(after) {
			t.Errorf("%s is at %v, and somebody is up at %v", e.Event.Summary, e.Event.Start, after)
		}
		if a := e.Event.Alarm; a != nil && *a < 0 && !e.Event.AllDay && !strings.Contains(e.Event.Tell, "at ") {
			t.Errorf("%s rings %v before: %q", e.Event.Summary, *a, e.Event.Tell)
		}
	}
	for _, n := range []string{"clove", "cinnamon", "orange zest"} {
		if !tasted[n] {
			t.Errorf("no tasting of %s: %+v", n, list)
		}
	}
}

// TestLifeInTheCalendar: what is bottled is no more to be bottled, though its days run from
// the start; what is in is not to go in; no bottle ends before it is opened.
func TestLifeInTheCalendar(t *testing.T) {
	syrup := `name = "Elderflower syrup"
started = 2026-06-05T18:00:00
[[botanical]]
name = "elderflower"
amount = "25 heads"
[[addition]]
name = "sugar"
amount = "1 kg"
[[addition]]
name = "citric acid"
amount = "30 g"
[[strained]]
at = "36 h"
[[added]]
name = "sugar"
amount = "1 kg"
at = "40 h"
`
	for _, e := range entries(t, assess(t, syrup, time.Date(2026, 6, 7, 12, 0, 0, 0, time.UTC), nil)) {
		if d := e.Event.Description; e.Kind == due.Bottle && (!strings.Contains(d, "citric acid") ||
			strings.Contains(d, "sugar")) {
			t.Errorf("the sugar is in, and the acid is not: %s", d)
		}
	}
	syrup += "[[bottled]]\nbottles = 3\nof = \"500 ml\"\nat = \"60 h\"\n"
	for _, e := range entries(t, assess(t, syrup, time.Date(2026, 6, 8, 12, 0, 0, 0, time.UTC), nil)) {
		if e.Kind == due.Bottle && !e.Done {
			t.Errorf("it is bottled, and there is %q", e.Event.Summary)
		}
	}
	juice := strings.Replace(told, "sugar\"\namount = \"200 g", "orange juice\"\namount = \"150 ml", 1) +
		"[[strained]]\nat = \"1 d\"\n[[bottled]]\nbottles = 2\nof = \"250 ml\"\nat = \"1 d\"\n" +
		"[[opened]]\nbottle = 1\nat = \"20 d\"\n"
	opened := time.Date(2026, 12, 10, 18, 0, 0, 0, time.UTC)
	found := false
	for _, e := range entries(t, assess(t, juice, opened.Add(time.Hour), &batch.House{UseWithinDays: 7})) {
		if found = found || e.Bottle > 0; e.Bottle > 0 && e.Event.Start.Before(opened) {
			t.Errorf("%s on %v, opened %v", e.Event.Summary, e.Event.Start, opened)
		}
	}
	if !found {
		t.Error("the open bottle has no day")
	}
}
