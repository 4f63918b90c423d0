package vary

import (
	"slices"
	"strings"
	"testing"

	"steepbook/data/library"
)

const made = first + `[[strained]]
at = "7 d"
[[bottled]]
at = "9 d"
[[added]]
name = "honey"
amount = "100 g"
at = "8 d"
[[added]]
name = "honey"
amount = "50 g"
at = "8 d 1 h"
[[added]]
name = "water"
amount = "30 ml"
at = "8 d 2 h"
`

// TestPlannedFromWhatWentIn: the amounts that were logged take the place of the plan, what
// was not planned joins it, and until it is bottled the plan still holds.
func TestPlannedFromWhatWentIn(t *testing.T) {
	old := parse(t, made)
	b, went, err := AsMade(old)
	if err != nil || len(went) != 2 {
		t.Fatal(went, err)
	}
	c, err := Read(b, library.Builtin(), "clove: 6 pieces")
	if err != nil {
		t.Fatal(err)
	}
	text, err := Text(b, c, Question{From: "first.toml", To: "next.toml", Start: start})
	if err != nil {
		t.Fatal(err)
	}
	next := parse(t, string(text))
	if got := next.Additions; len(got) != 2 || got[0].Amount.Text != "150 g" || got[1].Amount.Text != "30 ml" {
		t.Errorf("%+v\n%s", got, text)
	}
	glass := strings.Replace(made, "at = \"9 d\"", "at = \"9 d\"\nbottles = 2\nof = \"250 ml\"\n[[opened]]\nbottle = 1\nat = \"10 d\"", 1) +
		"[[added]]\nname = \"water\"\namount = \"100 ml\"\ninto = \"200 ml\"\nat = \"11 d\"\n"
	if b, _, err = AsMade(parse(t, glass)); err != nil || b.Additions[1].Amount.Text != "30 ml" {
		t.Errorf("what went into one open bottle is planned: %+v, %v", b.Additions, err)
	}
	fruit := parse(t, made+"[[added]]\nname = \"honey\"\namount = \"juice of 1\"\nat = \"8 d 3 h\"\n")
	if b, went, err = AsMade(fruit); err != nil || b.Additions[0].Amount.Text != "200 g" ||
		!slices.Contains(went, Went{"honey", "", "200 g"}) {
		t.Errorf("what cannot be added up: %+v, %v, %v", b, went, err)
	}
	open := parse(t, strings.Replace(made, "[[bottled]]\nat = \"9 d\"\n", "", 1))
	if b, went, err = AsMade(open); err != nil || len(went) != 1 || b.Additions[0].Amount.Text != "200 g" {
		t.Error(went, err)
	}
}

// TestRecut: what was done to a thing besides cutting it stays.
func TestRecut(t *testing.T) {
	for _, c := range [][3]string{{"whole, toasted", "ground", "ground, toasted"}, {"whole", "ground", "ground"},
		{"whole", "toasted", "whole, toasted"}, {"", "fine zest", "fine zest"}, {"whole, toasted", "ground, roasted", "ground, roasted"}} {
		if got := recut(c[0], c[1]); got != c[2] {
			t.Errorf("%q to %q: %q, want %q", c[0], c[1], got, c[2])
		}
	}
	if _, cut, _, err := library.Builtin().BotanicalAndCut("clove", "ground, toasted"); err != nil || cut.Name != "ground" {
		t.Error(cut, err)
	}
}

// TestSameWeightInAnotherCut: pieces of a thing are no measure of its powder.
func TestSameWeightInAnotherCut(t *testing.T) {
	b := parse(t, first)
	c, err := Read(b, library.Builtin(), "clove, ground")
	if err != nil {
		t.Fatal(err)
	}
	said, err := c.Weighed(b, library.Builtin())
	if err != nil || !strings.Contains(said, "two changes") {
		t.Fatal(said, err)
	}
	text, err := Text(b, c, Question{From: "first.toml", To: "next.toml", Start: start})
	if err != nil {
		t.Fatal(err)
	}
	if _, _, _, ok := parse(t, string(text)).Botanicals[0].Amount.Grams(); !ok {
		t.Errorf("no weight in\n%s", text)
	}
}
