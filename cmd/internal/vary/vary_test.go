package vary

import (
	"errors"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/cmd/internal/recipe"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
	"steepbook/data/library"
)

var start = time.Date(2027, 1, 2, 18, 0, 0, 0, time.UTC)

const first = `name = "First"
started = 2026-11-20T18:00:00
spirit = { name = "vodka", abv = 40, amount = "500 ml", price = 10 }
[[botanical]]
name = "clove"
cut = "whole"
amount = "4 pieces"
price = 0.4
[[botanical]]
name = "orange zest"
target = 6
[[addition]]
name = "honey"
amount = "200 g"
`

// TestWhatAChangeIs: one factor each, with what it was.
func TestWhatAChangeIs(t *testing.T) {
	b := parse(t, first)
	for _, c := range []struct{ typed, want string }{
		{"clove: 6 pieces", "clove 6 pieces instead of 4 pieces"},
		{"CLOVE:6 pieces", "clove 6 pieces instead of 4 pieces"},
		{"clove, ground", "clove ground instead of whole"},
		{"clove, whole: 6 pieces", "clove 6 pieces instead of 4 pieces"},
		{"clove @ 4", "clove wanted at 4"},
		{"zest @ 6,5", "orange zest wanted at 6.5 instead of 6"},
		{"clove in 20 h", "clove in after 20 h instead of 0 h"},
		{"clove: in 20 h", "clove in after 20 h instead of 0 h"},
		{"orange zest, fine", "orange zest fine"},
		{"zest: 20 g", "orange zest 20 g"},
		{"honey: 250 g", "honey 250 g instead of 200 g"},
		{"honey: white sugar", "white sugar instead of honey"},
		{"honey: white sugar 200 g", "white sugar instead of honey"},
		{"honey: white sugar: 200 g", "white sugar instead of honey"},
		{"honey: honey, 250 g", "honey 250 g instead of 200 g"},
		{"vodka: rum 50 % 500 ml", "rum 50 % instead of vodka 40 %"},
		{"vodka: rum 50 %", "rum 50 % instead of vodka 40 %"},
		{"spirit: gin", "gin instead of vodka 40 %"},
		{"spirit: 700 ml", "vodka 700 ml instead of 500 ml"},
	} {
		change, err := Read(b, library.Builtin(), c.typed)
		if err != nil {
			t.Errorf("%q: %v", c.typed, err)
			continue
		}
		if got := change.Line(); got != c.want {
			t.Errorf("%q: %q, want %q", c.typed, got, c.want)
		}
	}
	for _, c := range []struct{ typed, want string }{
		{"clove", "says nothing new"}, {"clove: 4 pieces", "already"}, {"clove: 0.4 kg lots", "clove"},
		{"clove @ lots", "no wanted strength"}, {"clove @ NaN", "no wanted strength"}, {"honey @ 4", "does not steep"},
		{"honey, runny: 3 g", "does not steep"}, {"", "say of what"}, {": 3 g", "say of what"},
		{"mace: 3 g", "there is no"}, {"clvoe: 3 g", `did you mean "clove"`},
	} {
		if _, err := Read(b, library.Builtin(), c.typed); err == nil || !strings.Contains(err.Error(), c.want) && c.want != "clove" {
			t.Errorf("%q: %v, want %q", c.typed, err, c.want)
		}
	}
	for _, typed := range []string{"clove, ground: 6 pieces", "clove: 6 pieces @ 3", "clove @ 3 in 20 h", "honey: white sugar 100 g", "vodka: rum 50 %: 700 ml"} {
		if _, err := Read(b, library.Builtin(), typed); !errors.Is(err, ErrTwoChanges) {
			t.Errorf("%q: %v, want %v", typed, err, ErrTwoChanges)
		}
	}
}

// TestEveryFactorIsWritten, also where the file has no such key yet, or the table stands
// within braces.
func TestEveryFactorIsWritten(t *testing.T) {
	b := parse(t, first)
	for _, typed := range []string{"clove: 6 pieces", "clove @ 4", "clove in 20 h", "zest: 20 g", "zest, fine",
		"spirit: 700 ml", "honey: white sugar", "clove: 3 g"} {
		change, err := Read(b, library.Builtin(), typed)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Text(b, change, Question{From: "first.toml", To: "next.toml", Start: start}); err != nil {
			t.Errorf("%q: %v", typed, err)
		}
	}
	// What cannot be left out as it is written is a fault of the old file, with its line.
	change, err := Read(b, library.Builtin(), "vodka: rum 50 %")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Text(b, change, Question{To: "next.toml", Start: start}); err == nil ||
		!strings.Contains(err.Error(), "first.toml:3") {
		t.Errorf("%v, want the line of the spirit", err)
	}
}

func parse(t testing.TB, src string) *batch.Batch {
	t.Helper()
	b, err := batch.Parse("first.toml", []byte(src), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestOnlyTheChange: of any jar a variation differs in that one thing, which Text holds to
// account, and nothing that was logged is in it.
func TestOnlyTheChange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := somejar.New(rapid.Uint64().Draw(t, "jar"))
		j.Clock = rapid.SampledFrom([]somejar.Clock{somejar.InHours, somejar.InMinutes, somejar.ByTheClock}).Draw(t, "clock")
		b, err := batch.Parse("first.toml", []byte(j.String()), time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		h := rapid.SampledFrom(j.Botanicals).Draw(t, "botanical")
		typed := h.Name + rapid.SampledFrom([]string{", some other way", ": 12345 g", " @ 9.5", " in 77 h", ": 3 pieces"}).
			Draw(t, "change")
		change, err := Read(b, library.Builtin(), typed)
		if err != nil {
			t.Fatalf("%q: %v", typed, err)
		}
		text, err := Text(b, change, Question{From: "first.toml", To: "next.toml", Start: start})
		if err != nil {
			t.Fatalf("%q: %v\n%s", typed, err, j)
		}
		if s := string(text); strings.Contains(s, "[[tasting]]") || strings.Contains(s, "[[pulled]]") {
			t.Fatalf("%q keeps a log\n%s", typed, s)
		}
	})
}

// TestOneThingByOtherNames: a thing may be called by any name that the library has for it, to give it in its
// place changes nothing, and compare is of one mind with that: what is taken as a change is a difference
// there, of one line of the recipe where the library has both as one sort of thing.
func TestOneThingByOtherNames(t *testing.T) {
	const src = `name = "F"
started = 2026-11-20T18:00:00
[[spirit]]
name = "vodka 40 %"
amount = "700 ml"
[[botanical]]
name = "green cardamom"
amount = "9 g"
[[addition]]
name = "sugar"
amount = "200 g"
[[addition]]
name = "lemon juice"
amount = "50 ml"
`
	b, lib := parse(t, src), library.Builtin()
	read := func(src string) (list []recipe.Thing) {
		l, err := recipe.Read(parse(t, src), lib, 0)
		if err != nil {
			t.Fatal(err)
		}
		for i := range l.Additions {
			list = append(list, l.Additions[i].Thing())
		}
		return list
	}
	for _, c := range []struct{ of, as string }{{"sugar", "white sugar"}, {"sugar", "table sugar"},
		{"lemon juice", "juice of lemons"}, {"green cardamom", "cardamom pods"}} {
		change, err := Read(b, lib, c.as+": 12 g")
		if err != nil || change.Of != c.of {
			t.Errorf("%s for %s: %+v, %v", c.as, c.of, change, err)
		}
	}
	for _, c := range []struct {
		as         string
		same, sort bool
	}{{"white sugar", true, true}, {"Sugars", true, true}, {"caster sugar", false, false},
		{"demerara sugar", false, false}, {"sugar of the corner shop", false, false}} {
		_, err := Read(b, lib, "sugar: "+c.as)
		was, is := read(src)[0], read(strings.Replace(src, `"sugar"`, `"`+c.as+`"`, 1))[0]
		if (err != nil) != c.same || (was.Is == is.Is) != c.same || (was.Sort == is.Sort) != c.sort {
			t.Errorf("%s: %v, %+v and %+v", c.as, err, was, is)
		}
	}
}
