package shelf

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"steepbook/shelf/mixture"
)

// TestStood: juice that had stood never keeps a drink longer, the longer it stood the less,
// and warmer less than colder; frozen it ages as if it were fresh.
func TestStood(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Bottle{ABVPercent: mixture.Exactly(rapid.Float64Range(0, 25).Draw(t, "abv")), SugarGPerL: mixture.Exactly(rapid.Float64Range(0, 400).Draw(t, "sugar")),
			PH: mixture.Exactly(rapid.Float64Range(2.4, 4.5).Draw(t, "pH")), PHKnown: true, FreshJuice: []string{"orange juice"}, Nourishing: []string{"orange juice"},
			Clocks: map[string]string{"orange juice": "orange juice"}}
		place := Storage{Place: rapid.SampledFrom([]Place{Fridge, Room, Cellar}).Draw(t, "place")}
		judged := func(days float64, kept Place) (Verdict, Days) {
			c := b
			c.Stood = []Stood{{"orange juice", days, kept}}
			return Judge(c, place), Fades(c, 7)[0].Time
		}
		fresh, taste := Judge(b, place), Fades(b, 7)[0].Time
		frozen, same := judged(rapid.Float64Range(0, 60).Draw(t, "frozen"), Freezer)
		if frozen.Unopened != fresh.Unopened || same != taste {
			t.Fatalf("frozen %v and %v, fresh %v and %v", frozen.Unopened, same, fresh.Unopened, taste)
		}
		days := rapid.Float64Range(0, 20).Draw(t, "days")
		cold, coldTaste := judged(days, Fridge)
		older, olderTaste := judged(days+rapid.Float64Range(0, 5).Draw(t, "more"), Fridge)
		warm, warmTaste := judged(days, Room)
		for _, pair := range [][2]Days{{fresh.Unopened, cold.Unopened}, {cold.Unopened, older.Unopened}, {cold.Unopened, warm.Unopened},
			{taste, coldTaste}, {coldTaste, olderTaste}, {coldTaste, warmTaste}, {fresh.Opened, cold.Opened}} {
			if pair[1].Low > pair[0].Low+1e-9 || pair[1].High > pair[0].High+1e-9 || math.IsNaN(pair[1].Low+pair[1].High) {
				t.Fatalf("%v after %v", pair[1], pair[0])
			}
		}
		if fresh.Verdict != cold.Verdict || fresh.Verdict != warm.Verdict {
			t.Fatalf("%s, %s, %s", fresh.Verdict, cold.Verdict, warm.Verdict)
		}
	})
	// By its clock (FELL88, carried to 7 C) orange juice is stale after 8 to 13 days there, so
	// that four days take half of the early end.
	s := Stood{"orange juice", 4, Fridge}
	if left := s.left(clocks()["orange juice"].at(7)); math.Abs(left.low-0.5) > 1e-9 || math.Abs(left.high-9.0/13) > 1e-9 {
		t.Errorf("%v is left", left)
	}
}
