package bench

import (
	"math"
	"testing"
	"time"
)

func assessed(t testing.TB, src string, now time.Time) *Assessment {
	t.Helper()
	a, err := Assess(parse(t, src), testLibrary(t), Question{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func lessonsOf(t testing.TB, sources ...string) []Lesson {
	t.Helper()
	var list []*Assessment
	for _, s := range sources {
		list = append(list, assessed(t, s, later))
	}
	got, err := Lessons(list, testLibrary(t))
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func TestLessonsGatherByBotanicalAndCut(t *testing.T) {
	a := jar{scores: done(1), pulled: 192}
	b := jar{scores: done(0.9), pulled: 192, start: "2026-04-02T18:00:00", cut: "wide strips"} // the library's strips too
	c := jar{scores: done(1.1), pulled: 192, start: "2026-05-02T18:00:00", cut: "zest"}
	d := jar{start: "2026-06-02T18:00:00"} // never tasted
	got := lessonsOf(t, a.src(), b.src(), c.src(), d.src())
	if len(got) != 2 {
		t.Fatalf("%d lessons: %+v", len(got), got)
	}
	strips, zest := got[0], got[1]
	if strips.Cut != "strips" || strips.Batches != 2 || strips.Tastings != 8 || zest.Cut != "zest" || zest.Batches != 1 || zest.Tastings != 4 {
		t.Errorf("strips %+v, zest %+v", strips, zest)
	}
	for _, l := range got {
		for _, f := range []Figure{l.RatePerH, l.Library, l.Plateau, l.ReadyH} {
			if !(f.Low < f.Value && f.Value < f.High) {
				t.Errorf("%s: %+v", l.Cut, f)
			}
		}
		if l.OwnRate < 0 || l.OwnRate >= 1 {
			t.Errorf("%s: own share %g", l.Cut, l.OwnRate)
		}
	}
	// The library's range is that of a log-normal: median times and over
	// GSD^1.6449, the aroma shift left out for a taste.
	if s := math.Log(strips.Library.High / strips.Library.Value); math.Abs(strips.Library.Value-0.01) > 1e-9 || s < 1.6449*math.Log(2)-1e-3 {
		t.Errorf("library %+v", strips.Library)
	}
}

// More batches leave less of the library's doubt.
func TestLessonsGrow(t *testing.T) {
	one := jar{scores: done(1), pulled: 192}
	two := one
	two.start = "2026-04-02T18:00:00"
	first, both := lessonsOf(t, one.src()), lessonsOf(t, one.src(), two.src())
	if both[0].OwnRate <= first[0].OwnRate || both[0].Batches != 2 {
		t.Errorf("after one batch %g, after two %g", first[0].OwnRate, both[0].OwnRate)
	}
}

// A batch in another room is carried to that of the last one by Arrhenius' law:
// with 25 kJ/mol a rate at 30 °C is exp(25/0.008314463·(1/293.15 − 1/303.15)) =
// 1.4026 times that at 20 °C (arithmetic; gas constant CODATA 2018).
func TestLessonsCarryTheRoom(t *testing.T) {
	j := jar{botanical: "green cardamom", cut: "whole", scores: done(1), pulled: 192}
	cool := assessed(t, j.src(), later)
	j.start = "2026-04-02T18:00:00"
	b := parse(t, j.src())
	celsius := 30.0
	b.RoomC = &celsius
	warm, err := Assess(b, testLibrary(t), Question{Now: later})
	if err != nil {
		t.Fatal(err)
	}
	groups, err := lessonGroups([]*Assessment{warm, cool}, testLibrary(t))
	if err != nil || len(groups) != 1 {
		t.Fatal(groups, err)
	}
	g := groups[0]
	if _, err := g.learn(); err != nil {
		t.Fatal(err)
	}
	if got := math.Exp(-g.batches[0].Shift.LogMean); math.Abs(got-1.4026) > 5e-4 {
		t.Errorf("the warm jar is %.4f times as fast as the cool one, want 1.4026", got)
	}
	if s := g.batches[1].Shift; s.LogMean != 0 || s.LogSD != 0 {
		t.Errorf("the last batch is carried to itself by %+v", s)
	}
}

func BenchmarkLessons(b *testing.B) {
	var list []*Assessment
	for _, j := range []jar{{scores: done(1), pulled: 192}, {scores: done(0.9), pulled: 192, start: "2026-04-02T18:00:00"}} {
		list = append(list, assessed(b, j.src(), later))
	}
	lib := testLibrary(b)
	for b.Loop() {
		if _, err := Lessons(list, lib); err != nil {
			b.Fatal(err)
		}
	}
}
