package asking

import (
	"errors"
	"io"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/data/batch"
)

// talk plans a batch from answers.
func talk(answers []string) (batch.Draft, error) {
	t := Talk{In: strings.NewReader(strings.Join(answers, "\n") + "\n"), Out: io.Discard, Lay: strings.TrimSpace, File: "x.toml", ByUnits: true,
		Check:  func(d batch.Draft) ([]string, error) { return nil, check(d) },
		Moment: func(text string) (string, error) { return "2026-12-20", nil }}
	return t.Plan(batch.Draft{Name: "x", Started: "2026-11-20T18:00:00"})
}

func check(d batch.Draft) error {
	src, err := d.Text()
	if err == nil {
		_, err = batch.Parse("x.toml", src, time.UTC)
	}
	return err
}

var someAnswers = rapid.SampledFrom([]string{"", "Orange", "grape brandy", "vodka 40 %: 500 ml", "57", "700 ml", "8 fl oz",
	"clove", "clove, whole: 4 pieces @ 4", "2 g", "6", "bitter", "bitter=2", "press", "drip", "20 C", "68 F", "fridge", "250 ml",
	"demerara sugar: 320 g", "20 Dec", "y", "\"", "# \\ \x07", "x @ 99", "苦味"})

// TestAnyAnswers: whatever is typed, the talk ends, and what is planned can be read.
func TestAnyAnswers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		answers := rapid.SliceOfN(rapid.OneOf(someAnswers, rapid.Just("back")), 0, 60).Draw(t, "answers")
		d, err := talk(append(answers, strings.Split(strings.Repeat("|", 40)+"y", "|")...))
		if err != nil && !errors.Is(err, ErrUnfinished) {
			t.Fatal(err)
		}
		if err == nil && check(d) != nil {
			t.Fatalf("%+v: %v", d, check(d))
		}
	})
}

// fewest is how many questions there are where each is left out.
const fewest = 6

// TestBackIsBack: to leave a question out and to go back is as if neither was typed.
func TestBackIsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		end := strings.Split(strings.Repeat("|", 40)+"y", "|")
		answers := append(rapid.SliceOfN(someAnswers, 0, 30).Draw(t, "answers"), end...)
		want, wantErr := talk(answers)
		var with []string
		for i, a := range answers {
			if i < fewest && rapid.Bool().Draw(t, "back") {
				with = append(with, "", "back")
			}
			with = append(with, a)
		}
		got, err := talk(with)
		if !reflect.DeepEqual(got, want) || !errors.Is(err, wantErr) {
			t.Fatalf("%q: %+v, %v; without going back %+v, %v", with, got, err, want, wantErr)
		}
	})
}

// TestWhatIsSaidOfANameIsSaidOnce: behind the answer that brings it.
func TestWhatIsSaidOfANameIsSaidOnce(t *testing.T) {
	var out strings.Builder
	talk := Talk{In: strings.NewReader("\n\n\npress: 12 oz\nsieve\nback\nsieve\n20 g\n\n"), Out: &out, Lay: strings.TrimSpace,
		Check: func(d batch.Draft) (said []string, _ error) {
			for _, a := range d.Additions {
				said = append(said, "not known: "+a.Name)
			}
			return said, nil
		}}
	if _, err := talk.Plan(batch.Draft{}); !errors.Is(err, ErrUnfinished) || strings.Count(out.String(), "not known: press") != 1 ||
		strings.Count(out.String(), "not known: sieve") != 1 {
		t.Errorf("%v\n%s", err, out.String())
	}
}

// TestMeasuresSayTheUnits: ounces, cups and °F make it a US batch, where nothing else was
// typed first.
func TestMeasuresSayTheUnits(t *testing.T) {
	for _, c := range []struct{ typed, want string }{
		{"8 fl oz", "us"}, {"1 1/2 cups", "us"}, {"2 lb", "us"}, {"68 F", "us"}, {"8oz", "us"}, {"1/2 cup", "us"},
		{"500 ml", "metric"}, {"20 C", "metric"}, {"3 g", "metric"}, {"1.5l", "metric"},
		{"8 pieces", ""}, {"57", ""}, {"1 tbsp", ""}, {"4 figs", ""}, {"2 lemons", ""}, {"3 cloves", ""}, {"10 coffee beans", ""},
	} {
		d := batch.Draft{}
		(&Talk{ByUnits: true}).units(&d, c.typed)
		if d.Units != c.want {
			t.Errorf("%q: %q, want %q", c.typed, d.Units, c.want)
		}
	}
}

// TestAnAmountIsNoCut: it is asked about at once, and what is answered then counts.
func TestAnAmountIsNoCut(t *testing.T) {
	d, err := talk([]string{"", "", "clove", "400g", "crushed", "2 g", "", "", "", "", "", "", "", "", "", "y"})
	if err != nil || len(d.Botanicals) != 1 || d.Botanicals[0].Cut != "crushed" || d.Botanicals[0].Amount != "2 g" {
		t.Fatalf("%+v, %v", d.Botanicals, err)
	}
}

// What holds an amount is no name of a cut or of a taste; a ratio and a plain word are.
func TestNamesHoldNoAmount(t *testing.T) {
	for text, ok := range map[string]bool{
		"cinnamon: 1 stick @ 3": false, "sugar: 100 g": false, "100 g": false, "crushed": true, "bitter": true,
		"fine zest": true, "2:1 syrup": true, "sliced: thin": true,
	} {
		if err := batch.NameOnly(text, "write a name"); (err == nil) != ok {
			t.Errorf("%q: %v", text, err)
		}
		if _, err := batch.ParseDraftWatch(text + "=2"); (err == nil) != ok {
			t.Errorf("%q as a taste: %v", text, err)
		}
	}
}
