package prior

import (
	"math"
	"strings"
	"testing"

	"steepbook/cmd/internal/recipe"
	"steepbook/cmd/internal/somejar"
	"steepbook/kinetics"
)

func TestAge(t *testing.T) {
	const spiced = "lot = \"tin\"\nbought = "
	for _, c := range []struct {
		botanical, cut, bought string
		left                   float64
		says                   string
	}{
		// A year is 365.25 days; 0.9² and 0.75² to the day.
		{"green cardamom", "whole pods", "2024-03-02", math.Pow(0.9, 2), "dried, whole"},
		{"green cardamom", "ground", "2024-03-02", math.Pow(0.75, 2), "dried, ground"},
		{"dried thyme", "cut", "2024-03-02", math.Pow(0.75, 2), "dried leaf or flower"},
		{"orange zest", "strips", "2026-03-01", 1, "fresh things are not aged"},
		{"my own bark", "cut", "2024-03-02", 1, "how it ages is not known"},
		{"clove", "whole", "1950-01-01", math.Pow(0.9, 10), "dried, whole"}, // ten years and no further
		{"clove", "whole", "2026-03-02", 1, "0 months"},
	} {
		b := somejar.Parse(t, somejar.Told{Botanical: c.botanical, Cut: c.cut, More: spiced + c.bought + "\n"}.Src())
		p, err := recipe.Read(b, somejar.Library(t), math.Inf(1))
		if err != nil {
			t.Fatal(err)
		}
		g := ageOf(&p.Botanicals[0], b)
		m, _ := g.left()
		if got := math.Exp(m); math.Abs(got-c.left) > 1e-3 {
			t.Errorf("%s, %s: %g left, want %g", c.botanical, c.cut, got, c.left)
		}
		if says := g.words(0.5); !strings.Contains(says, c.says) {
			t.Errorf("%s: %s", c.botanical, says)
		}
	}
	var none *age
	if m, sd := none.left(); m != 0 || sd != 0 {
		t.Error("no date is an age")
	}
}

// Age lowers the end of a jar and widens it, never its rate.
func TestAgeLowersTheEnd(t *testing.T) {
	curve := func(more string) Expected {
		return inBook(t, somejar.Library(t), somejar.Parse(t, somejar.Told{Botanical: "clove", Cut: "whole", Amount: "1 g", More: more}.Src()))
	}
	now, old, older := curve(""), curve("bought = 2025-03-02\n"), curve("bought = 2020-03-02\n")
	if !(now.Prior.Plateau.Mean > old.Prior.Plateau.Mean && old.Prior.Plateau.Mean > older.Prior.Plateau.Mean) {
		t.Errorf("ends %+v, %+v, %+v", now.Prior.Plateau, old.Prior.Plateau, older.Prior.Plateau)
	}
	rel := func(c Expected) float64 { return c.Prior.Plateau.SD / c.Prior.Plateau.Mean }
	if !(rel(now) < rel(old) && rel(old) < rel(older)) {
		t.Errorf("relative spreads %g, %g, %g", rel(now), rel(old), rel(older))
	}
	if now.Prior.LogRate != older.Prior.LogRate {
		t.Error("age moved the rate")
	}
	if said := strings.Join(older.Moved, "\n"); !strings.Contains(said, "judgement") || !strings.Contains(said, "10 % a year") {
		t.Errorf("moved: %s", said)
	}
}

// A jar of the same lot is nearer to what that lot gave than a jar of another.
func TestSameLotTeachesMore(t *testing.T) {
	weak := map[float64]float64{24: 0.9, 48: 1.6, 96: 2.3, 192: 2.9}
	a := somejar.Told{Name: "weak", Scores: weak, Pulled: 192, More: "lot = \"Tin 4\"\n"}
	b := somejar.Told{Name: "weak too", Scores: weak, Pulled: 192, Start: "2026-04-02T18:00:00", More: "lot = \"tin  4\"\n"}
	c := somejar.Told{Name: "strong", Scores: map[float64]float64{24: 2.4, 48: 4.2, 96: 6.4, 192: 8.2}, Pulled: 192, Start: "2026-05-02T18:00:00", More: "lot = \"tin 5\"\n"}
	next := somejar.Told{Start: "2026-11-30T18:00:00"}
	end := func(lot string) (kinetics.Normal, string) {
		if lot != "" {
			next.More = "lot = \"" + lot + "\"\n"
		}
		got := inBook(t, somejar.Library(t), named(t, "next.toml", next.Src()), named(t, "a.toml", a.Src()), named(t, "b.toml", b.Src()), named(t, "c.toml", c.Src()))
		return got.Prior.Plateau, strings.Join(got.Moved, "\n")
	}
	none, _ := end("")
	four, said := end("TIN 4")
	five, _ := end("tin 5")
	if !(four.Mean < none.Mean && none.Mean < five.Mean) || four.SD >= none.SD {
		t.Errorf("end of tin 4 %+v, of any %+v, of tin 5 %+v", four, none, five)
	}
	if !strings.Contains(said, "2 batches are of the same lot") {
		t.Error(said)
	}
}

// Where no lot is shared, lots change nothing.
func TestLotsOfTheirOwnChangeNothing(t *testing.T) {
	a, b := somejar.Told{Scores: somejar.Done(1), Pulled: 192}, somejar.Told{Scores: somejar.Done(0.8), Pulled: 192, Start: "2026-04-02T18:00:00"}
	next := somejar.Told{Start: "2026-11-30T18:00:00"}
	end := func() kinetics.Normal {
		return inBook(t, somejar.Library(t), named(t, "next.toml", next.Src()), named(t, "a.toml", a.Src()), named(t, "b.toml", b.Src())).Prior.Plateau
	}
	without := end()
	a.More, b.More, next.More = "lot = \"1\"\n", "lot = \"2\"\n", "lot = \"3\"\n"
	if with := end(); with != without {
		t.Errorf("%+v with lots, %+v without", with, without)
	}
}
