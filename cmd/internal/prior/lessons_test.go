package prior

import (
	"math"
	"testing"

	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
	"steepbook/shelf/mixture"
)

// bookOf is a book of files a.toml, b.toml and so on.
func bookOf(t testing.TB, sources ...string) *Book {
	t.Helper()
	var list []*batch.Batch
	for i, s := range sources {
		list = append(list, named(t, string(rune('a'+i))+".toml", s))
	}
	return NewBook(somejar.Library(t), somejar.Later, list)
}

func lessonsOf(t testing.TB, sources ...string) []Lesson {
	t.Helper()
	got := Lessons(bookOf(t, sources...))
	return got
}

func TestLessonsGatherByBotanicalAndCut(t *testing.T) {
	a := somejar.Told{Scores: somejar.Done(1), Pulled: 192}
	b := somejar.Told{Scores: somejar.Done(0.9), Pulled: 192, Start: "2026-04-02T18:00:00", Cut: "wide strips"} // the library's strips too
	c := somejar.Told{Scores: somejar.Done(1.1), Pulled: 192, Start: "2026-05-02T18:00:00", Cut: "zest"}
	d := somejar.Told{Start: "2026-06-02T18:00:00"} // never tasted
	got := lessonsOf(t, a.Src(), b.Src(), c.Src(), d.Src())
	if len(got) != 2 {
		t.Fatalf("%d lessons: %+v", len(got), got)
	}
	strips, zest := got[0], got[1]
	if strips.Cut != "strips" || strips.Batches != 2 || strips.Tastings != 8 || zest.Cut != "zest" || zest.Batches != 1 || zest.Tastings != 4 {
		t.Errorf("strips %+v, zest %+v", strips, zest)
	}
	for _, l := range got {
		for _, f := range []mixture.Range{l.RatePerH, l.Library, l.Plateau, l.ReadyH} {
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
	one := somejar.Told{Scores: somejar.Done(1), Pulled: 192}
	two := one
	two.Start = "2026-04-02T18:00:00"
	first, both := lessonsOf(t, one.Src()), lessonsOf(t, one.Src(), two.Src())
	if both[0].OwnRate <= first[0].OwnRate || both[0].Batches != 2 {
		t.Errorf("after one batch %g, after two %g", first[0].OwnRate, both[0].OwnRate)
	}
}

// A batch in another room is carried to that of the last one by Arrhenius' law:
// with 25 kJ/mol a rate at 30 °C is exp(25/0.008314463·(1/293.15 − 1/303.15)) =
// 1.4026 times that at 20 °C (arithmetic; gas constant CODATA 2018).
func TestLessonsCarryTheRoom(t *testing.T) {
	j := somejar.Told{Botanical: "green cardamom", Cut: "whole", Scores: somejar.Done(1), Pulled: 192}
	cool := j
	cool.Start = "2026-04-02T18:00:00"
	warm := named(t, "warm.toml", j.Src())
	celsius := 30.0
	warm.RoomC = &celsius
	list := NewBook(somejar.Library(t), somejar.Later, []*batch.Batch{named(t, "cool.toml", cool.Src()), warm}).about("green cardamom", "")
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
	two := somejar.Told{Scores: somejar.Done(0.9), Pulled: 192, Start: "2026-04-02T18:00:00"}
	for b.Loop() {
		Lessons(bookOf(b, somejar.Told{Scores: somejar.Done(1), Pulled: 192}.Src(), two.Src()))
	}
}
