package bench

import (
	"math"
	"testing"
	"time"

	"steepbook/data/batch"
)

func assessed(t testing.TB, src string, now time.Time) *Assessment {
	t.Helper()
	a, err := Assess(parse(t, src), testLibrary(t), Question{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// bookOf is a book of files a.toml, b.toml and so on.
func bookOf(t testing.TB, sources ...string) *Book {
	t.Helper()
	var list []*batch.Batch
	for i, s := range sources {
		list = append(list, named(t, string(rune('a'+i))+".toml", s))
	}
	return NewBook(testLibrary(t), later, list)
}

func lessonsOf(t testing.TB, sources ...string) []Lesson {
	t.Helper()
	got, err := Lessons(bookOf(t, sources...))
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func TestLessonsGatherByBotanicalAndCut(t *testing.T) {
	a := jarred{scores: done(1), pulled: 192}
	b := jarred{scores: done(0.9), pulled: 192, start: "2026-04-02T18:00:00", cut: "wide strips"} // the library's strips too
	c := jarred{scores: done(1.1), pulled: 192, start: "2026-05-02T18:00:00", cut: "zest"}
	d := jarred{start: "2026-06-02T18:00:00"} // never tasted
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
	one := jarred{scores: done(1), pulled: 192}
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
	j := jarred{botanical: "green cardamom", cut: "whole", scores: done(1), pulled: 192}
	cool := j
	cool.start = "2026-04-02T18:00:00"
	warm := named(t, "warm.toml", j.src())
	celsius := 30.0
	warm.RoomC = &celsius
	list := NewBook(testLibrary(t), later, []*batch.Batch{named(t, "cool.toml", cool.src()), warm}).about("green cardamom", "")
	if len(list) != 2 {
		t.Fatal(list)
	}
	shifts := list[0].shiftsTo(list)
	if got := shifts[1].Factor(); math.Abs(got-1.4026) > 5e-4 {
		t.Errorf("the warm jar is %.4f times as fast as the cool one, want 1.4026", got)
	}
	if s := shifts[0]; s.LogMean != 0 || s.LogSD != 0 {
		t.Errorf("the last batch is carried to itself by %+v", s)
	}
}

func BenchmarkLessons(b *testing.B) {
	two := jarred{scores: done(0.9), pulled: 192, start: "2026-04-02T18:00:00"}
	for b.Loop() {
		if _, err := Lessons(bookOf(b, jarred{scores: done(1), pulled: 192}.src(), two.src())); err != nil {
			b.Fatal(err)
		}
	}
}
