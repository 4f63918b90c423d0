package bookshelf

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf"
)

// TestEveryViewNamesTheSamePlace: wherever a bottle is to stand, keep, its JSON and the
// book name one place, and one day.
func TestEveryViewNamesTheSamePlace(t *testing.T) {
	places := map[string]int{}
	for i := range somejar.Either[uint64](9, 40) {
		j := somejar.New(i)
		if j.Now <= 0 {
			continue
		}
		for _, finish := range []string{"", "store = \"fridge\"", "store = \"room\"", "store = \"12 C\"", "store = \"freezer\"",
			"strained = \"9 d\"", "strained = \"9 d\"\nstore = \"fridge\""} {
			src := j.String() + "[finish]\n" + finish + "\n"
			a, err := bench.Assess(somejar.Parse(t, src), library.Builtin(),
				bench.Question{Now: somejar.Time(j.Now).AddDate(0, 0, 12)})
			if err != nil {
				t.Fatalf("%v\n%s", err, src)
			}
			if a.Keep.Advised.Place == "" || a.MustNotKeep() || a.Keep.Past {
				continue
			}
			place := a.Keep.Advises()
			places[place]++
			if where := a.Keep.Advised.Place; place != string(where) && (place != "shelf" || where != shelf.Room) {
				t.Errorf("the days are those in the %s, and the place is called %s\n%s", where, place, src)
			}
			g, err := due.Look(a)
			if err != nil {
				t.Fatal(err)
			}
			var screen, program bytes.Buffer
			if err := bottle.Keep(view.NewPage(&screen, pen.Style{}), a, false); err != nil {
				t.Fatal(err)
			}
			if err := bottle.Keep(view.NewPage(&program, pen.Style{JSON: true}), a, false); err != nil {
				t.Fatal(err)
			}
			var answer struct {
				Advised struct {
					Place string `json:"place"`
				} `json:"advised"`
			}
			if err := json.Unmarshal(program.Bytes(), &answer); err != nil {
				t.Fatal(err)
			}
			first, _, _ := strings.Cut(screen.String(), "\nSafe")
			first = strings.Join(strings.Fields(first), " ")
			row := quantity.Say(keepsWords(&g, a.Now, pen.Style{}), quantity.Metric)
			if !strings.Contains(first, place) || answer.Advised.Place != place || !strings.Contains(row, place) {
				t.Errorf("%s: keep says %q, its JSON %q, the book %q\n%s", place, first, answer.Advised.Place, row, src)
			}
			if u := a.Keep.Advised.Until; !u.IsZero() {
				if day := quantity.Say(view.DateOf(u, a.Now), quantity.Metric); !strings.Contains(first, day) || !strings.Contains(row, day) {
					t.Errorf("until %s: keep says %q, the book %q\n%s", day, first, row, src)
				}
			}
		}
	}
	for _, p := range []string{"fridge", "shelf", "cellar", "freezer"} {
		if places[p] == 0 {
			t.Errorf("no bottle was to stand in the %s: %v", p, places)
		}
	}
}
