package due

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
	"steepbook/shelf"
)

func TestStages(t *testing.T) {
	start := at("2026-03-02T18:00")
	steeping := somejar.Told{Scores: map[float64]float64{1: 0.2}}
	out := somejar.Told{Scores: somejar.Done(1), Pulled: 192}
	measured := out
	measured.More = "[measured]\nvolume = \"450 ml\"\n"
	stays := strings.Replace(somejar.Told{}.Src(), "[[botanical]]\n", "[[botanical]]\nleave_in = true\n", 1)
	for _, c := range []struct {
		name  string
		src   string
		now   time.Time
		stage Stage
		due   Kind
	}{
		{"before its start", steeping.Src(), start.Add(-24 * time.Hour), Planned, Start},
		{"two hours in", steeping.Src(), start.Add(2 * time.Hour), Steeping, Taste},
		{"pulled", out.Src(), start.Add(200 * time.Hour), Strained, Bottle},
		{"not yet pulled at that hour", out.Src(), start.Add(100 * time.Hour), Steeping, Pull},
		{"all of it stays in", stays, start.Add(400 * time.Hour), Steeping, Bottle},
		{"what stays in is not in yet", strings.Replace(stays, "leave_in", "in = \"9 d\"\nleave_in", 1),
			start.Add(30 * time.Hour), Steeping, PutIn},
		{"measured", measured.Src(), start.Add(200 * time.Hour), Bottled, AtBest},
	} {
		g := look(t, c.src, c.now, nil)
		if g.Stage != c.stage {
			t.Errorf("%s: stage %s, want %s", c.name, g.Stage, c.stage)
		}
		if g.Due.Kind != c.due && !(c.due == Pull && (g.Due.Kind == Taste || g.Due.Kind == Strain)) {
			t.Errorf("%s: due %+v, want %s", c.name, g.Due, c.due)
		}
		if (g.Stage == Strained || g.Stage == Bottled) == g.StrainedAt.IsZero() {
			t.Errorf("%s: strained at %v", c.name, g.StrainedAt)
		}
	}
}

// A bottle that has rested is to be tasted, until it is or two weeks have gone, and its date
// is not done before.
func TestRestedIsDue(t *testing.T) {
	bottled := "[[bottled]]\nbottles = 2\nof = \"250 ml\"\nat = \"200 h\"\n"
	told := func(more string) string {
		return somejar.Told{Scores: somejar.Done(1), Pulled: 192, More: bottled + more}.Src()
	}
	a := look(t, told(""), at("2026-03-12T18:00"), nil).Assessment
	rested, _ := a.Rested()
	if rested.IsZero() {
		t.Fatal("it needs no rest")
	}
	after := rested.Add(30 * time.Hour)
	for _, c := range []struct {
		more string
		now  time.Time
		want bool
	}{
		{"", rested.Add(-time.Hour), false},
		{"", after, true},
		{"", rested.AddDate(0, 0, Lately+1), false},
		{"[[tasting]]\nat = " + after.Add(-time.Hour).Format("2006-01-02T15:04:05") + "\nscore = { \"test peel\" = 3 }\n", after, false},
		{"[[opened]]\nbottle = 1\nat = " + after.Add(-time.Hour).Format("2006-01-02T15:04:05") + "\n", after, false},
	} {
		g := look(t, told(c.more), c.now, nil)
		if got := g.Due.Kind == Rested && g.Due.Now; got != c.want {
			t.Errorf("%q at %v: due %+v", c.more, c.now, g.Due)
		}
		if n := len(Keeps([]Glance{g})); (n == 0) != c.want {
			t.Errorf("%q at %v: keeps %d, beside what is due", c.more, c.now, n)
		}
		dates, err := g.Dates()
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range dates {
			if want := c.now.After(rested) && !c.want; d.Kind == Rested && d.Done != want {
				t.Errorf("%q at %v: the date is done %v", c.more, c.now, d.Done)
			}
		}
	}
}

func TestPutInIsDue(t *testing.T) {
	src := somejar.Told{More: "in = \"6 h\"\n"}.Src()
	g := look(t, src, at("2026-03-02T19:00"), nil)
	if g.Stage != Steeping || g.Due.Kind != PutIn || !g.Due.At.Equal(at("2026-03-03T00:00")) {
		t.Errorf("%+v", g.Due)
	}
}

// The date is the early end, counted from when the juice went in, not from the start or
// from today.
func TestUntilCountsFromWhatWentIn(t *testing.T) {
	j := somejar.Told{Scores: somejar.Done(1), Pulled: 192, More: juice + "[[added]]\nname = \"orange juice\"\namount = \"1 l\"\nat = \"192 h\"\n"}
	now := at("2026-03-11T00:00")
	g := look(t, j.Src(), now, nil)
	a := g.Assessment
	days := a.Keep.Safe.Sealed
	if a.Keep.Where() != shelf.VerdictFridge || math.IsInf(days.Low, 1) || days.Low <= 0 {
		t.Fatalf("keeps %s %+v", a.Keep.Where(), days)
	}
	strained := at("2026-03-02T18:00").Add(192 * time.Hour)
	// The last whole day within the days.
	end := strained.Add(time.Duration(days.Low * 24 * float64(time.Hour)))
	want := time.Date(end.Year(), end.Month(), end.Day(), 0, 0, 0, 0, end.Location()).Add(-time.Second)
	if !a.Keep.Safe.Until.Equal(want) || !g.StrainedAt.Equal(strained) {
		t.Errorf("until %v, want %v", a.Keep.Safe.Until, want)
	}
	if g.Due.Kind != Bottle || g.Due.Overdue {
		t.Errorf("due %+v", g.Due)
	}
	// The batch does not say that it stands in the fridge; the days are still
	// those of the fridge, not of a warm room.
	if room := shelf.Judge(a.Blend.Bottle, shelf.Storage{Place: shelf.Room}).Unopened; days.Low <= room.Low {
		t.Errorf("fridge %g days, room %g", days.Low, room.Low)
	}
	// A house rule takes days away.
	h := &batch.House{MaxAgeDays: days.Low / 2}
	if short := look(t, j.Src(), now, h); short.Assessment.Keep.Safe.Sealed.High > h.MaxAgeDays+1e-9 || !short.Assessment.Keep.Safe.Until.Before(want) {
		t.Errorf("house rule: %+v", short.Assessment.Keep.Safe)
	}
	// Past it, it is overdue.
	late := look(t, j.Src(), want.Add(time.Hour), nil)
	if late.Due.Kind != Use || !late.Due.Overdue || !late.Due.At.Equal(want) {
		t.Errorf("late: %+v", late.Due)
	}
}

const juice = "[[addition]]\nname = \"orange juice\"\namount = \"1 l\"\n"

// Bottling late lengthens nothing: what has stood has stood, in a jug as in a bottle, and
// the house counts from straining. Only strong liquor that waits for the rest has no days
// yet, and then they are those from when that is logged to have gone in, or else from straining.
func TestBottlingLengthensNothing(t *testing.T) {
	bottled := "[[bottled]]\nat = \"500 h\"\n"
	in := "[[added]]\nname = \"orange juice\"\namount = \"1 l\"\nat = \"%g h\"\n"
	told := func(more string) string {
		return somejar.Told{Scores: somejar.Done(1), Pulled: 192, More: juice + more}.Src()
	}
	safe := func(src string, h *batch.House) time.Time {
		return look(t, src, at("2026-03-02T18:00").Add(510*time.Hour), h).Assessment.Keep.Safe.Until
	}
	house := &batch.House{MaxAgeDays: 1}
	added := safe(told(fmt.Sprintf(in, 200.0)), nil)
	for _, c := range []struct {
		name, more string
		house      *batch.House
		want       time.Time
	}{
		{"bottled after the juice went in", fmt.Sprintf(in, 200.0) + bottled, nil, added},
		{"the house counts from straining", fmt.Sprintf(in, 200.0) + bottled, house, at("2026-03-11T18:00")},
		{"in the jar from the start of the wait", fmt.Sprintf(in, 490.0) + bottled, nil, safe(told(fmt.Sprintf(in, 490.0)), nil)},
		{"strong liquor that waits", "", nil, time.Time{}},
		{"bottled without a word of the juice", bottled, nil, safe(told(fmt.Sprintf(in, 192.0)), nil)},
	} {
		if got := safe(told(c.more), c.house); !got.Equal(c.want) {
			t.Errorf("%s: until %v, want %v", c.name, got, c.want)
		}
	}
	if got := safe(told(fmt.Sprintf(in, 499.0)+bottled), nil); !got.After(added) {
		t.Errorf("what went in at the bottling keeps to %v, no longer than what went in sooner: %v", got, added)
	}
	weak := strings.NewReplacer("abv = 40", "abv = 8", "abv    = 40", "abv = 8").Replace(told(bottled))
	if g := look(t, weak, at("2026-03-02T18:00").Add(510*time.Hour), nil); g.Stage != Bottled || !g.Assessment.Keep.SinceAt.Before(g.Assessment.Keep.BottledAt) {
		t.Errorf("a weak jar: %s since %v", g.Stage, g.Assessment.Keep.SinceAt)
	}
}

func TestOverdueComesFirst(t *testing.T) {
	over := somejar.Told{Name: "over", Cut: "zest", Target: 4, Scores: map[float64]float64{2: 2, 6: 5, 12: 7, 24: 8.5}}
	young := somejar.Told{Name: "young", Start: "2026-03-05T18:00:00", Scores: map[float64]float64{1: 0.1}}
	planned := somejar.Told{Name: "planned", Start: "2026-06-01T18:00:00"}
	out := somejar.Told{Name: "out", Start: "2026-01-01T18:00:00", Scores: somejar.Done(1), Pulled: 192}
	bottled := out
	bottled.Name, bottled.More = "bottled", "[measured]\nvolume = \"450 ml\"\n"
	now := at("2026-03-06T06:00")
	var list []Glance
	for _, j := range []somejar.Told{bottled, out, planned, young, over} {
		list = append(list, look(t, j.Src(), now, nil))
	}
	SortByDue(list)
	var names []string
	for _, g := range list {
		names = append(names, g.Assessment.Batch.Name)
	}
	if want := []string{"over", "young", "planned", "out", "bottled"}; !slices.Equal(names, want) {
		t.Errorf("order %v, want %v", names, want)
	}
	d := list[0].Due
	if !d.Overdue || d.Kind != Strain || !slices.Equal(d.What, []string{"test peel"}) || d.At.After(now) {
		t.Errorf("overdue: %+v", d)
	}
}

// TestTheShortestClockFirst: of two that are overdue, what changes fastest comes first,
// however late the other is; what is not overdue follows by the clock.
func TestTheShortestClockFirst(t *testing.T) {
	now := at("2026-03-06T06:00")
	ago := func(d time.Duration) time.Time { return now.Add(-d) }
	tea := Act{Kind: Pull, At: ago(2 * time.Minute), Overdue: true, OwnH: 5.0 / 60}
	walnut := Act{Kind: Pull, At: ago(4 * 30 * 24 * time.Hour), Overdue: true, OwnH: 6 * 7 * 24}
	unfit := Act{Kind: Discard, At: now, Overdue: true}
	later := Act{Kind: Taste, At: now.Add(time.Hour), OwnH: 0.1}
	bottle := Act{Kind: Bottle}
	want := []Act{unfit, tea, walnut, later, bottle}
	list := []Act{bottle, walnut, later, tea, unfit}
	slices.SortFunc(list, func(x, y Act) int { return compareDue(&x, &y) })
	if !slices.EqualFunc(list, want, func(x, y Act) bool { return x.Kind == y.Kind && x.OwnH == y.OwnH }) {
		t.Errorf("order %+v, want %+v", list, want)
	}
	// The clock of a flavour is how long it steeps, by its own belief.
	slow := somejar.Told{Name: "slow", Cut: "zest", Target: 4, Scores: map[float64]float64{24: 2, 72: 4, 144: 6.5}}
	quick := somejar.Told{Name: "quick", Cut: "zest", Target: 4, Scores: map[float64]float64{0.5: 3, 1: 6, 2: 8.5}}
	hours := func(j somejar.Told) float64 { return look(t, j.Src(), at("2026-03-20T06:00"), nil).Due.OwnH }
	if q, s := hours(quick), hours(slow); !(q > 0 && q < s) {
		t.Errorf("the quick one steeps %g h, the slow one %g", q, s)
	}
}

// TestErrandsAndKeeps: a book lists what is to be done in its order, each jar with all
// that comes by tomorrow, and the bottles by their day.
func TestErrandsAndKeeps(t *testing.T) {
	over := somejar.Told{Name: "over", Cut: "zest", Target: 4, Scores: map[float64]float64{2: 2, 6: 5, 12: 7, 24: 8.5}}
	planned := somejar.Told{Name: "planned", Start: "2026-06-01T18:00:00"}
	done := somejar.Told{Name: "done", Scores: somejar.Done(1), Pulled: 192, More: "[measured]\nvolume = \"450 ml\"\n"}
	juicy := done
	juicy.Name, juicy.More = "juicy", "[[addition]]\nname = \"orange juice\"\namount = \"1 l\"\n[[added]]\nname = \"orange juice\"\namount = \"1 l\"\nat = \"8 d\"\n"+done.More
	now := at("2026-03-10T20:00")
	var list []Glance
	for _, j := range []somejar.Told{done, planned, juicy, over} {
		list = append(list, look(t, j.Src(), now, nil))
	}
	var names []string
	for _, e := range Errands(list, now.AddDate(0, 0, 1)) {
		names = append(names, e.Assessment.Batch.Name+" "+string(e.Act.Kind))
	}
	for _, g := range Keeps(list) {
		names = append(names, g.Assessment.Batch.Name)
	}
	if want := []string{"over strain", "planned start", "juicy", "done"}; !slices.Equal(names, want) {
		t.Errorf("%q, want %q", names, want)
	}
}

// TestOutBeforeTasted: what is overdue and known to come out goes before what is overdue to be
// tasted, and a tasting is late by the hour that was named for it, whenever that is asked.
func TestOutBeforeTasted(t *testing.T) {
	src := somejar.Told{Name: "two", Cut: "zest", Target: 4, Scores: map[float64]float64{2: 2, 6: 5, 12: 7, 24: 8.5},
		More: "[[botanical]]\nname = \"clove\"\namount = \"3 g\"\ntarget = 2\n"}.Src()
	var due time.Time
	for _, days := range []int{2, 8, 40} {
		now := at("2026-03-02T18:00").AddDate(0, 0, days)
		acts := look(t, src, now, nil).Acts
		if len(acts) != 2 || acts[0].Kind == Taste || !acts[0].Overdue || acts[1].Kind != Taste || !acts[1].Overdue {
			t.Fatalf("after %d days: %+v", days, acts)
		}
		if d := acts[1]; !due.IsZero() && !d.DueAt.Equal(due) || d.Late(now) != now.Sub(d.DueAt) {
			t.Errorf("after %d days: due at %v, %v late", days, d.DueAt, d.Late(now))
		}
		due = acts[1].DueAt
	}
}

// TestOneVisit: whoever comes for what is overdue does first what needs no tongue, though that is only due
// now; what one sitting does not bear is not late, and names what it waits for.
func TestOneVisit(t *testing.T) {
	took, waited := false, false
	for number := range somejar.Either[uint64](20, 1600) {
		number += 80 // of the first hundred jars only the 98th waits
		j := somejar.New(number)
		for _, days := range []int{1, 3, 20} {
			g := look(t, j.String(), somejar.Time(j.Now).AddDate(0, 0, days), nil)
			a := g.Assessment
			tasted, overdue := false, false
			for _, d := range g.Acts {
				overdue = overdue || d.Overdue
				if tasted = tasted || d.Kind == Taste; tasted && d.Kind != Taste && d.Now && overdue {
					t.Errorf("jar %d after %d days: %+v", number, days, g.Acts)
				}
				took = took || d.Kind != Taste && d.Overdue && !a.Curve(d.What[0]).Order.Overdue
				if d.After != "" {
					waited = true
					if d.Late(a.Now) != 0 || !slices.Contains(a.NextSitting().Flavours, d.After) {
						t.Errorf("jar %d after %d days: %+v", number, days, d)
					}
				}
			}
		}
	}
	if !took || !waited {
		t.Error("no jar tells", took, waited)
	}
}

// TestNothingToComeIsLate: what is late or overdue has had its moment, and what is tasted later has one of
// its own; what waits for a rested tongue is late by the hour that was told then, and by no other.
func TestNothingToComeIsLate(t *testing.T) {
	waited, late, kept := 0, 0, 0
	check := func(g Glance) (waits map[string]time.Time) {
		waits = map[string]time.Time{}
		a := g.Assessment
		for _, d := range append(append([]Act(nil), g.Acts...), g.Due) {
			to := d.At.After(a.Now) && !d.Now
			if to && (d.Overdue || d.Late(a.Now) > 0) || to && d.Kind == Taste && !d.DueAt.Equal(d.At) {
				t.Errorf("%s at %v: %+v, %v late", a.Batch.Name, a.Now, d, d.Late(a.Now))
			}
			if d.Late(a.Now) > 0 {
				late++
			}
			if d.Kind != Taste {
				continue
			}
			for _, name := range d.What {
				own := d.Of(name)
				waits[name] = own.DueAt
			}
		}
		return waits
	}
	jars := map[string]time.Time{}
	for number := range somejar.Either[uint64](20, 30) {
		j := somejar.New(number)
		jars[j.String()] = somejar.Time(j.Now)
	}
	for _, more := range []string{"clove", "clove, vanilla bean", "cinnamon stick, star anise, long pepper",
		"chilli, clove, mint, orange zest"} {
		src := "name = \"walnut\"\nstarted = 2026-06-24T18:00:00\n" +
			"[spirit]\nname = \"vodka 40 %\"\namount = \"1 l\"\n"
		for _, name := range strings.Split(more+", green walnut", ", ") {
			src += fmt.Sprintf("[[botanical]]\nname = %q\namount = \"10 g\"\ntarget = 2\n", name)
		}
		jars[src] = at("2026-06-25T10:00")
	}
	for src, asked := range jars {
		for _, days := range []int{3, 90} {
			now := asked.AddDate(0, 0, days)
			g := look(t, src, now, nil)
			check(g)
			if len(g.Acts) == 0 {
				continue
			}
			s := g.Assessment.NextSitting()
			if s == nil || !s.Now || len(s.Rest) == 0 {
				continue
			}
			src := src + "[[tasting]]\nat = " + now.Format("2006-01-02T15:04:05") + "\nscore = {"
			for i, name := range s.Flavours {
				src += fmt.Sprintf("%s %q = 1", strings.Repeat(",", min(i, 1)), name)
			}
			src += " }\n"
			told := map[string]time.Time{}
			for _, minutes := range []int{1, 30, 59, 61, 200} {
				for name, at := range check(look(t, src, now.Add(time.Duration(minutes)*time.Minute), nil)) {
					if !slices.Contains(s.Rest, name) {
						continue
					}
					if was, known := told[name]; known && minutes > 60 && was.Equal(now.Add(time.Hour)) {
						if kept++; !at.Equal(was) {
							t.Errorf("%d minutes on: %s was told for %v, and is due since %v\n%s", minutes, name, was, at, src)
						}
					}
					waited, told[name] = waited+1, at
				}
			}
		}
	}
	if waited < 5 || late < 20 || kept < 2 {
		t.Errorf("only %d waited, %d kept their hour, %d were late", waited, kept, late)
	}
}

// TestDueOrderIsAnOrder: sorting by what is due never depends on the order the
// files were read in.
func TestDueOrderIsAnOrder(t *testing.T) {
	due := rapid.Custom(func(t *rapid.T) Act {
		d := Act{Kind: rapid.SampledFrom([]Kind{Nothing, Taste, Bottle}).Draw(t, "kind"), Overdue: rapid.Bool().Draw(t, "overdue"),
			OwnH: rapid.SampledFrom([]float64{0, 0.1, 1000}).Draw(t, "own")}
		if rapid.Bool().Draw(t, "dated") {
			d.At = at("2026-03-02T18:00").Add(time.Duration(rapid.IntRange(-100, 100).Draw(t, "hours")) * time.Hour)
		}
		return d
	})
	rapid.Check(t, func(t *rapid.T) {
		x, y, z := due.Draw(t, "x"), due.Draw(t, "y"), due.Draw(t, "z")
		sign := func(v int) int { return min(max(v, -1), 1) }
		if sign(compareDue(&x, &y)) != -sign(compareDue(&y, &x)) {
			t.Fatal("not antisymmetric")
		}
		if compareDue(&x, &y) <= 0 && compareDue(&y, &z) <= 0 && compareDue(&x, &z) > 0 {
			t.Fatal("not transitive")
		}
		if x.Overdue && !y.Overdue && compareDue(&x, &y) >= 0 {
			t.Fatal("something comes before what is overdue")
		}
	})
}

// look is the row of a batch in a house with such rules, nil for none.
func look(t testing.TB, src string, now time.Time, h *batch.House) Glance {
	t.Helper()
	a, err := bench.Read(somejar.Parse(t, src), somejar.Library(t), bench.Question{Now: now, House: h})
	if err != nil {
		t.Fatal(err)
	}
	g, err := Look(a)
	if err != nil {
		t.Fatal(err)
	}
	return g
}
func at(s string) time.Time {
	v, err := time.Parse("2006-01-02T15:04", s)
	if err != nil {
		panic(err)
	}
	return v
}
