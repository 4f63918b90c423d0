package bench

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/data/batch"
	"steepbook/shelf"
)

func at(s string) time.Time {
	v, err := time.Parse("2006-01-02T15:04", s)
	if err != nil {
		panic(err)
	}
	return v
}

// weak is a jar that ends at 13 % vol with sugar: cold, and for days only.
const weak = "[[addition]]\nname = \"orange juice\"\namount = \"1 l\"\n"

func TestStages(t *testing.T) {
	start := at("2026-03-02T18:00")
	steeping := jarred{scores: map[float64]float64{1: 0.2}}
	out := jarred{scores: done(1), pulled: 192}
	measured := out
	measured.more = "[measured]\nvolume = \"450 ml\"\n"
	for _, c := range []struct {
		name  string
		src   string
		now   time.Time
		stage Stage
		due   DueKind
	}{
		{"before its start", steeping.src(), start.Add(-24 * time.Hour), Planned, DueStart},
		{"two hours in", steeping.src(), start.Add(2 * time.Hour), Steeping, DueTaste},
		{"pulled", out.src(), start.Add(200 * time.Hour), Strained, DueBottle},
		{"not yet pulled at that hour", out.src(), start.Add(100 * time.Hour), Steeping, DuePull},
		{"measured", measured.src(), start.Add(200 * time.Hour), Bottled, DueAtBest},
	} {
		g := look(t, assessed(t, c.src, c.now), nil)
		if g.Stage != c.stage {
			t.Errorf("%s: stage %s, want %s", c.name, g.Stage, c.stage)
		}
		if g.Due.Kind != c.due && !(c.due == DuePull && (g.Due.Kind == DueTaste || g.Due.Kind == DueStrain)) {
			t.Errorf("%s: due %+v, want %s", c.name, g.Due, c.due)
		}
		if (g.Stage == Strained || g.Stage == Bottled) == g.StrainedAt.IsZero() {
			t.Errorf("%s: strained at %v", c.name, g.StrainedAt)
		}
	}
}

func TestPutInIsDue(t *testing.T) {
	src := jarred{more: "in = \"6 h\"\n"}.src()
	g := look(t, assessed(t, src, at("2026-03-02T19:00")), nil)
	if g.Stage != Steeping || g.Due.Kind != DuePutIn || !g.Due.At.Equal(at("2026-03-03T00:00")) {
		t.Errorf("%+v", g.Due)
	}
}

// The date is the early end, counted from straining, not from the start or
// from today.
func TestUntilCountsFromStraining(t *testing.T) {
	j := jarred{scores: done(1), pulled: 192, more: weak}
	a := assessed(t, j.src(), at("2026-03-11T00:00"))
	g := look(t, a, nil)
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
	if g.Due.Kind != DueBottle || g.Due.Overdue {
		t.Errorf("due %+v", g.Due)
	}
	// The batch does not say that it stands in the fridge; the days are still
	// those of the fridge, not of a warm room.
	if room := shelf.Judge(a.Blend.bottle, shelf.Storage{Place: shelf.Room}).Unopened; days.Low <= room.Low {
		t.Errorf("fridge %g days, room %g", days.Low, room.Low)
	}
	// A house rule takes days away.
	h := &batch.House{MaxAgeDays: days.Low / 2}
	if short := look(t, a, h); short.Assessment.Keep.Safe.Sealed.High > h.MaxAgeDays+1e-9 || !short.Assessment.Keep.Safe.Until.Before(want) {
		t.Errorf("house rule: %+v", short.Assessment.Keep.Safe)
	}
	// Past it, it is overdue.
	late := look(t, assessed(t, j.src(), want.Add(time.Hour)), nil)
	if late.Due.Kind != DueUse || !late.Due.Overdue || !late.Due.At.Equal(want) {
		t.Errorf("late: %+v", late.Due)
	}
}

func TestOverdueComesFirst(t *testing.T) {
	over := jarred{name: "over", cut: "zest", target: 4, scores: map[float64]float64{2: 2, 6: 5, 12: 7, 24: 8.5}}
	young := jarred{name: "young", start: "2026-03-05T18:00:00", scores: map[float64]float64{1: 0.1}}
	planned := jarred{name: "planned", start: "2026-06-01T18:00:00"}
	out := jarred{name: "out", start: "2026-01-01T18:00:00", scores: done(1), pulled: 192}
	bottled := out
	bottled.name, bottled.more = "bottled", "[measured]\nvolume = \"450 ml\"\n"
	now := at("2026-03-06T06:00")
	var list []Glance
	for _, j := range []jarred{bottled, out, planned, young, over} {
		list = append(list, look(t, assessed(t, j.src(), now), nil))
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
	if !d.Overdue || d.Kind != DueStrain || !slices.Equal(d.What, []string{"test peel"}) || d.At.After(now) {
		t.Errorf("overdue: %+v", d)
	}
}

func TestStrained(t *testing.T) {
	now := at("2026-03-20T18:00")
	for _, c := range []struct {
		name, more string
		pulled     float64
		hours      float64
		ok         bool
	}{
		{"nothing out", "", 0, 0, false},
		{"pulled", "", 50, 50, true},
		{"strained as a whole", "[finish]\nat = \"3 d\"\n", 0, 72, true},
		{"strained later than now", "[finish]\nat = \"90 d\"\n", 0, 0, false},
		{"stays in the bottle", "leave_in = true\n[finish]\nat = \"3 d\"\n", 0, 72, true},
		{"stays in, and no word of straining", "leave_in = true\n", 0, 0, false},
	} {
		a := assessed(t, jarred{more: c.more, pulled: c.pulled}.src(), now)
		if h, ok := a.Strained(); ok != c.ok || ok && math.Abs(h-c.hours) > 1e-9 {
			t.Errorf("%s: %g, %v", c.name, h, ok)
		}
	}
	blend := assessed(t, "name = \"Blend\"\nstarted = 2026-03-02T18:00:00\n[spirit]\nname = \"vodka\"\nabv = 40\namount = \"500 ml\"\n", now)
	if h, ok := blend.Strained(); !ok || h != 0 {
		t.Errorf("a blend without botanicals: %g, %v", h, ok)
	}
}

// TestDueOrderIsAnOrder: sorting by what is due never depends on the order the
// files were read in.
func TestDueOrderIsAnOrder(t *testing.T) {
	due := rapid.Custom(func(t *rapid.T) Due {
		d := Due{Kind: rapid.SampledFrom([]DueKind{DueNothing, DueTaste, DueBottle}).Draw(t, "kind"), Overdue: rapid.Bool().Draw(t, "overdue")}
		if rapid.Bool().Draw(t, "dated") {
			d.At = at("2026-03-02T18:00").Add(time.Duration(rapid.IntRange(-100, 100).Draw(t, "hours")) * time.Hour)
		}
		return d
	})
	rapid.Check(t, func(t *rapid.T) {
		x, y, z := due.Draw(t, "x"), due.Draw(t, "y"), due.Draw(t, "z")
		sign := func(v int) int { return min(max(v, -1), 1) }
		if sign(compareDue(x, y)) != -sign(compareDue(y, x)) {
			t.Fatal("not antisymmetric")
		}
		if compareDue(x, y) <= 0 && compareDue(y, z) <= 0 && compareDue(x, z) > 0 {
			t.Fatal("not transitive")
		}
		if x.Overdue && !y.Overdue && compareDue(x, y) >= 0 {
			t.Fatal("something comes before what is overdue")
		}
	})
}

func look(t testing.TB, a *Assessment, h *batch.House) Glance {
	t.Helper()
	if h != nil { // as if the book had these rules
		a.question.House, a.Keep = h, nil
	}
	g, err := Look(a)
	if err != nil {
		t.Fatal(err)
	}
	return g
}
