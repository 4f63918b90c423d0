package strict

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/BurntSushi/toml"
)

type item struct {
	Name   string             `toml:"name" right:"name = \"green cardamom\""`
	Amount string             `toml:"amount" right:"amount = \"24 g\"" also:"weight,quantity"`
	Target *float64           `toml:"target" right:"target = 6"`
	In     any                `toml:"in"`
	Score  map[string]float64 `toml:"score" right:"score = { bitter = 1 }"`
	Turns  int                `toml:"turns"`
	Lots   []string           `toml:"lots"`
}

type finish struct {
	Press  bool   `toml:"press" right:"press = true"`
	Bottle string `toml:"bottle"`
}

type base struct {
	Room string `toml:"room" right:"room = \"20 C\""`
}

type sheet struct {
	base
	Base2   `toml:"-"`
	Name    string  `toml:"name" right:"name = \"Winter cordial\""`
	Started any     `toml:"started" right:"started = 2026-11-20T18:00:00"`
	Spirit  []item  `toml:"spirit" strict:"single"`
	Item    []item  `toml:"botanical"`
	Finish  *finish `toml:"finish"`
	Grade   grade   `toml:"grade" right:"grade = \"fine\""`
	Span    span    `toml:"span" right:"span = 3"`
	Plain   float64
	hidden  string // no file can set it
}

// Base2 is left out by its tag.
type Base2 struct{ Left string }

// grade is a text with a name of its own.
type grade string

// span refuses in a method of its own, plainly.
type span int

func (s *span) UnmarshalTOML(v any) error {
	n, ok := v.(int64)
	if !ok || n < 0 {
		return errors.New("a span is a whole number from 0 up")
	}
	*s = span(n)
	return nil
}

const head = "name = \"x\"\n"

var faultCases = []struct{ src, want string }{
	// Keys.
	{head + "[[botanical]]\namuont = \"24 g\"\n", `w.toml:3: unknown key "amuont" in [[botanical]]; did you mean "amount"? e.g. amount = "24 g"`},
	{head + "[[botanical]]\nAmount = \"24 g\"\n", `w.toml:3: unknown key "Amount" in [[botanical]]; did you mean "amount"? e.g. amount = "24 g"`},
	{head + "[[botanical]]\nweight = \"24 g\"\n", `w.toml:3: unknown key "weight" in [[botanical]]; did you mean "amount"? e.g. amount = "24 g"`},
	{"Name = \"x\"", `w.toml:1: unknown key "Name" at the top of the file; did you mean "name"? e.g. name = "Winter cordial"`},
	{"[finish]\nroom = \"20 C\"", `w.toml:2: unknown key "room" in [finish]; it belongs at the top, above the first line in brackets; e.g. room = "20 C"`},
	{"[[botanical]]\npress = true", `w.toml:2: unknown key "press" in [[botanical]]; it belongs below a line [finish]; e.g. press = true`},
	{"[finish]\ncolour = 3", `w.toml:2: unknown key "colour" in [finish]; the keys are press, bottle`},
	{"hidden = 3", `w.toml:1: unknown key "hidden" at the top of the file; the keys are room, name, started, spirit, botanical, finish, grade, span, plain`},
	{"Left = 3", `w.toml:1: unknown key "Left" at the top of the file; the keys are room, name, started, spirit, botanical, finish, grade, span, plain`},
	{"[finsh]\n", `w.toml:1: unknown table [finsh]; did you mean [finish]?`},
	{"[[botanicla]]\n", `w.toml:1: unknown table [[botanicla]]; did you mean [[botanical]]?`},
	{"[cellar]\n", `w.toml:1: unknown table [cellar]; the tables are [[spirit]], [[botanical]], [finish]`},
	{"name.first = \"x\"", `w.toml:1: "name" should be a text in quotation marks, not a table of its own; e.g. name = "Winter cordial"`},
	{"score = 3", `w.toml:1: unknown key "score" at the top of the file; the keys are room, name, started, spirit, botanical, finish, grade, span, plain`},
	{"finsh.press = true", `w.toml:1: unknown key "finsh" at the top of the file; did you mean [finish]?`},

	// Twice.
	{"name = \"a\"\nname = \"b\"", `w.toml:2: "name" is given twice, first on line 1; keep one`},
	{"[[botanical]]\nscore = { a = 1, a = 2 }", `w.toml:2: "a" is given twice, both times on this line; keep one`},
	{"[finish]\n[finish]", `w.toml:2: the table [finish] is written twice, first on line 1; put their lines together under one of them`},
	{"[botanical]\n[botanical]", `w.toml:2: the table [botanical] is written twice, first on line 1; for several write [[botanical]] before each`},
	{"[spirit]\n[[spirit]]", `w.toml:2: [[spirit]] here, but [spirit] on line 1; write both the same way`},
	{"[[spirit]]\n[spirit]", `w.toml:2: [spirit] here, but [[spirit]] on line 1; write the double brackets each time; e.g. [[spirit]]`},
	{"spirit = 1\n[[spirit]]", `w.toml:2: "spirit" was already given a value on line 1, so it cannot be a table as well`},

	// Kinds of tables.
	{"[botanical]\n", `w.toml:1: [botanical] can be there several times, so it is written with double brackets: [[botanical]]`},
	{"[[finish]]\n", `w.toml:1: [[finish]] is there only once, so it is written with single brackets: [finish]`},
	{"spirit = \"brandy\"", `w.toml:1: "spirit" is a table: write a line [[spirit]] and put its keys below`},
	{"finish = true", `w.toml:1: "finish" is a table: write a line [finish] and put its keys below`},
	{"[name]\n", `w.toml:1: "name" should be a text in quotation marks, not a table of its own; e.g. name = "Winter cordial"`},
	{"name = { a = 1 }", `w.toml:1: "name" should be a text in quotation marks, not several values in braces; e.g. name = "Winter cordial"`},

	// Kinds of values.
	{"[[botanical]]\namount = 24", `w.toml:2: "amount" should be a text in quotation marks, not a number; e.g. amount = "24 g"`},
	{"[[botanical]]\ntarget = \"6\"", `w.toml:2: "target" should be a number, not a text; e.g. target = 6`},
	{"plain = \"6\"", `w.toml:1: "plain" should be a number, not a text; e.g. plain = 6`},
	{"[finish]\nbottle = 250", `w.toml:2: "bottle" should be a text in quotation marks, not a number; e.g. bottle = "250"`},
	{"[finish]\npress = \"yes\"", `w.toml:2: "press" should be true or false, not a text; e.g. press = true`},
	{"[[botanical]]\nturns = 1.5", `w.toml:2: "turns" should be a whole number, not a number with a fraction`},
	{"[[botanical]]\nlots = [\"a\", 2]", `w.toml:2: this entry of "lots" should be a text in quotation marks, not a number`},
	{"[[botanical]]\nlots = \"a\"", `w.toml:2: "lots" should be a list, not a text`},
	{"[[botanical]]\nscore = 3", `w.toml:2: "score" should be names and values in braces, not a number; e.g. score = { bitter = 1 }`},
	{"[[botanical]]\nscore = { bitter = \"1\" }", `w.toml:2: "bitter" should be a number, not a text; e.g. score = { bitter = 1 }`},
	{"plain = nan", `w.toml:1: "plain" must be a finite number`},
	{"plain = -inf", `w.toml:1: "plain" must be a finite number`},
	{"grade = 3", `w.toml:1: "grade" should be a text in quotation marks, not a number; e.g. grade = "fine"`},
	{"span = -3", `w.toml:1: a span is a whole number from 0 up; e.g. span = 3`},

	// Quotation marks.
	{"[[botanical]]\namount = 24 g", `w.toml:2: "24 g" is text and needs quotation marks; e.g. amount = "24 g"`},
	{"name = Winter cordial # good", `w.toml:1: "Winter cordial" is text and needs quotation marks; e.g. name = "Winter cordial"`},
	{"name = \"x", `w.toml:1: the quotation mark before "x" is never closed; e.g. name = "x"`},
	{"name = 'x\nb = 1", `w.toml:1: the quotation mark before "x" is never closed; e.g. name = 'x'`},
	{"name = x\"", `w.toml:1: the text of "name" has no opening quotation mark; e.g. name = "x"`},
	{"name = “x”", `w.toml:1: a curly quotation mark “; use the straight one "; e.g. name = "x"`},
	{"name = \"x”", `w.toml:1: the quotation mark before "x" is never closed; e.g. name = "x"`},
	{"name = \"", `w.toml:1: a quotation mark stands alone and is never closed`},
	{"name = \"the \"best\" one\"", `w.toml:1: the text ended at the quotation mark before 'best" one"'; around a text that holds quotation marks put single ones; e.g. words = 'called "bright" by all'`},
	{"name = \"\"\"x\ny", `w.toml:1: the long text that begins here has no closing """`},
	{"name = \"C:\\path\"", `w.toml:1: a backslash inside "…" must be doubled; within single quotation marks it may stand alone`},

	// Lines.
	{"name: x", `w.toml:1: between a name and its value stands "=", not ":"; e.g. name = "x"`},
	{"name \"x\"", `w.toml:1: "=" is missing between "name" and its value; e.g. name = "x"`},
	{"name == \"x\"", `w.toml:1: one "=" too many; e.g. name = "x"`},
	{"name =", `w.toml:1: "name" has no value; give one, or delete the line`},
	{"name = # later", `w.toml:1: "name" has no value; give one, or delete the line`},
	{"name", `w.toml:1: "name" stands alone on its line; a line gives a name, "=" and a value; e.g. name = "…"`},
	{"= 3", `w.toml:1: there is no name before "="; e.g. name = "Winter cordial"`},
	{"some words about it", `w.toml:1: "some words about it" is not a line of the form name = value; put # before a remark; e.g. name = "Winter cordial"`},
	{"* a list", `w.toml:1: "* a list" is not a line of the form name = value; e.g. name = "Winter cordial"`},
	{"name = \"a\" b", `w.toml:1: "b" stands after the end of the value; put # before a remark`},
	{"name = \"a\",", `w.toml:1: a comma at the end of the line; in this file each line ends without one`},
	{"name = \"a\";", `w.toml:1: a semicolon at the end of the line; in this file each line ends without one`},
	{"name = \"a\" plain = 3", `w.toml:1: "plain = 3" begins a second name and value on the same line; put it on a line of its own`},
	{"blood orange = 3", `w.toml:1: the name "blood orange" has more than one word, so it needs quotation marks; e.g. "blood orange" = 3`},
	{"jalapeño = 3", `w.toml:1: the name "jalapeño" has letters beyond a to z, so it needs quotation marks; e.g. "jalapeño" = 3`},
	{"[[botanical", `w.toml:1: the table line "[[botanical" is not closed with ]]; e.g. [[botanical]]`},
	{"[[botanical]\n", `w.toml:1: the table line "[[botanical]" is not closed with ]]; e.g. [[botanical]]`},
	{"[botanical]]\n", `w.toml:1: the table line "[botanical]]" has a bracket too many at its end, or one too few before; e.g. [[botanical]]`},
	{"[blood orange]\n", `w.toml:1: the table line "[blood orange]" holds more than a plain name between its brackets; e.g. [bloodorange]`},
	{"[[botanica]l]\n", `w.toml:1: the table line "[[botanica]l]" is not closed with ]]; e.g. [[botanical]]`},
	{"[b[otanical]]\n", `w.toml:1: the table line "[b[otanical]]" holds more than a plain name between its brackets; e.g. [[botanical]]`},
	{"[[botanical]]\namoun t = \"24 g\"", `w.toml:2: a space stands within the name "amoun t"; did you mean "amount"? e.g. amount = "24 g"`},
	{"[]\n", `w.toml:1: a table line needs a plain name between its brackets; e.g. [finish]`},

	// Numbers and dates.
	{"plain = 2,5", `w.toml:1: a decimal comma in "2,5"; write a decimal point; e.g. plain = 2.5`},
	{"plain = .5", `w.toml:1: ".5" has no digit on one side of its point; e.g. plain = 0.5`},
	{"plain = -5.", `w.toml:1: "-5." has no digit on one side of its point; e.g. plain = -5`},
	{"plain = 057", `w.toml:1: "057" begins with a needless zero; e.g. plain = 57`},
	{"plain = 57 %", `w.toml:1: "plain" should be a number, not "57 %"; e.g. plain = 57`},
	{"span = 99999999999999999999", `w.toml:1: this number is too large`},
	{"started = 20.11.2026", `w.toml:1: "20.11.2026" is not a date and time of the form year-month-dayThour:minute; e.g. started = 2026-11-20T18:00:00`},
	{"started = 2026-11-20T18h", `w.toml:1: "2026-11-20T18h" is not a date and time of the form year-month-dayThour:minute; e.g. started = 2026-11-20T18:00:00`},
	{"started = 2026-13-40", `w.toml:1: there is no such date or time; e.g. started = 2026-11-20T18:00:00`},
	{"[finish]\npress = yes", `w.toml:2: "yes" is neither true nor false; write true for yes; e.g. press = true`},
	{"[finish]\npress = False", `w.toml:2: "False" is neither true nor false; write false for no; e.g. press = false`},

	{"[finish]\npress = treu", `w.toml:2: "press" should be true or false, not "treu"; e.g. press = true`},
	{"plain = 2 4.50", `w.toml:1: "plain" should be a number, not "2 4.50"; e.g. plain = 2`},
	{"[[botanical]]\nturns = 3 times", `w.toml:2: "turns" should be a whole number, not "3 times"; e.g. turns = 3`},
	{"[[botanical]]\nscore = { bitter = strong }", `w.toml:2: "bitter" should be a number, not "strong"; e.g. score = { bitter = 1 }`},
	{"started = 2026-1120T18:00:00", `w.toml:1: "2026-1120T18:00:00" is not a date and time of the form year-month-dayThour:minute; e.g. started = 2026-11-20T18:00:00`},
	{"started = 2026-11--20", `w.toml:1: "2026-11--20" is not a date and time of the form year-month-dayThour:minute; e.g. started = 2026-11-20T18:00:00`},
	{"name = 8-10 pieces", `w.toml:1: "8-10 pieces" is text and needs quotation marks; e.g. name = "8-10 pieces"`},
	{"plain 3", `w.toml:1: "=" is missing between "plain" and its value; e.g. plain = 3`},
	{"plain = 3room = \"x\"", `w.toml:1: 'room = "x"' begins a second name and value on the same line; put it on a line of its own`},
	{"name = \"320 \"g", `w.toml:1: "g" stands outside the quotation marks; put it inside, or delete it`},
	{"name = \"\"24 g\"", `w.toml:1: one quotation mark too many`},
	{"name = \"24 g\"\"", `w.toml:1: one quotation mark too many`},
	{"name = 2\"4 g\"", `w.toml:1: the text of "name" has no opening quotation mark; e.g. name = "24 g"`},
	{"name = \"x\"[finish]", `w.toml:1: the table line "[finish]" must stand on a line of its own`},
	{"[spirit\n", `w.toml:1: the table line "[spirit" is not closed with ]; e.g. [spirit]`},
	{"finish]\n", `w.toml:1: the table line "finish]" does not begin with its brackets; e.g. [finish]`},
	{"s[pirit]\n", `w.toml:1: the table line "s[pirit]" does not begin with its brackets; e.g. [spirit]`},
	{"[finish]x\n", `w.toml:1: "x" stands after the table line; put it on a line of its own`},

	// Braces and lists.
	{"[[botanical]]\nscore = { a = 1,, b = 2 }", `w.toml:2: one comma too many`},
	{"[[botanical]]\nscore = { a = 1 b = 2 }", `w.toml:2: a comma is missing between "1" and "b = 2"`},
	{"[[botanical]]\nscore = a = 1 }", `w.toml:2: the braces of "score" have no opening {; e.g. score = { a = 1 }`},
	{"[[botanical]]\nlots = \"a\", \"b\"]", `w.toml:2: a comma at the end of the line; in this file each line ends without one`},
	{"[[botanical]]\nscore = { bitter = }", `w.toml:2: "bitter" has no value; give one, or leave the name out`},
	{"[[botanical]]\nscore = { green cardamom\" = 2 }", `w.toml:2: the name 'green cardamom"' needs one quotation mark at each end; e.g. "green cardamom" = 3`},
	{"[[botanical]]\nscore = { \"zest\"s = 2 }", `w.toml:2: the name '"zest"s' needs one quotation mark at each end; e.g. "zests" = 3`},
	{"[[botanical]]\nscore = { \"zest = 3, \"peel\" = 2 }", `w.toml:2: the name "zest" has no closing quotation mark; e.g. "zest" = 3`},
	{"[[botanical]]\nlots = [\"a\"\n\n[finish]", `w.toml:2: the list of "lots" here must be closed with ], or a comma is missing before "[finish]" on line 4`},
	{"[[botanical]]\nscore = { blood orange = 2 }", `w.toml:2: the name "blood orange" has more than one word, so it needs quotation marks; e.g. "blood orange" = 3`},
	{"[[botanical]]\nscore = { bitter = 2,5 }", `w.toml:2: a decimal comma before "5"; write a decimal point; e.g. 3.5`},
	{"[[botanical]]\nscore = { bitter 2 }", `w.toml:2: "bitter" has no "=" and value after it; e.g. bitter = 3`},
	{"[[botanical]]\nscore = { bitter = 2\nturns = 3", `w.toml:2: the braces of "score" here must be closed with }, or a comma is missing before "turns = 3" on line 3`},
	{"[[botanical]]\nscore = { bitter = 2\n\n[finish]", `w.toml:2: the braces of "score" here must be closed with }, or a comma is missing before "[finish]" on line 4`},
	{"[[botanical]]\nscore = { bitter = 2", `w.toml:2: the braces of "score" that begin here have no closing }`},
	{"[[botanical]]\nlots = [\"a\" \"b\"]", `w.toml:2: in the list of "lots" a comma or ] is missing before '"b"]'`},
	{"[[botanical]]\nlots = [\"a\",", `w.toml:2: the list of "lots" that begins here has no closing ]`},

	// No text at all.
	{"\x89PNG\r\n\x1a\n\x00\x00", `w.toml: the file holds binary data, not text; is it the right file?`},
	{"\xff\xfen\x00a\x00", `w.toml: the file is saved as UTF-16; save it again as UTF-8 text`},
	{"n\x00a\x00m\x00e\x00 \x00", `w.toml: the file is saved as UTF-16; save it again as UTF-8 text`},
	{"name = \"caf\xe9\"", `w.toml:1: a character here is not UTF-8 text; save the file as UTF-8`},
	{"name = \"a\x07b\"", `w.toml:1: an invisible control character (U+0007) stands here; delete it`},
	{"name = \"a\"\rb", `w.toml:1: an invisible control character (U+000D) stands here; delete it`},
	{"plain = " + strings.Repeat("[", 1e6), `w.toml:1: brackets nested more than 32 deep`},
	{strings.Repeat("a.", 1e5) + "a = 1", `w.toml:1: a name with more than 16 dots`},
	{strings.Repeat("# \n", 6<<20), `w.toml: the file has 18 MB, more than the 16 MB that can be read; is it the right file?`},
}

// TestFaults is the list of slips that people make, each with the whole
// sentence they get. The file is always called w.toml.
func TestFaults(t *testing.T) {
	for _, c := range faultCases {
		var s sheet
		d, err := Decode("w.toml", []byte(c.src), &s)
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("%.60q: %v, want an *Error", c.src, err)
			continue
		}
		if got := e.Error(); got != c.want {
			t.Errorf("%.60q:\n got %s\nwant %s", c.src, got, c.want)
		}
		if d != nil {
			t.Errorf("%.60q: a document beside an error", c.src)
		}
		if e.Line > 0 {
			if line := strings.Split(c.src, "\n")[e.Line-1]; e.Excerpt != strings.TrimSuffix(line, "\r") {
				t.Errorf("%.60q: excerpt %.60q, want %.60q", c.src, e.Excerpt, line)
			}
		}
	}
}

// TestExamplesAreRight reads the examples of the faults back in the place of
// the faulty line: an example that is wrong itself helps nobody.
func TestExamplesAreRight(t *testing.T) {
	for _, src := range []string{
		"Name = \"x\"", "name = Winter cordial", "name = \"x", "name = x\"", "name = “x”", "name: x", "name \"x\"", "name == \"x\"",
		"plain = 2,5", "plain = .5", "plain = -5.", "plain = 057", "plain = -007.5", "plain = \"6\"", "started = 20.11.2026", "started = 2026-13-40",
		"span = -3", "[finish]\npress = yes", "[finish]\npress = \"no\"", "[finish]\nbottle = 250",
		"[[botanical]]\namuont = \"24 g\"", "[[botanical]]\namount = 24", "[[botanical]]\ntarget = \"6\"", "[[botanical]]\nscore = 3", "[[botanical",
	} {
		_, err := Decode("w.toml", []byte(src), new(sheet))
		var e *Error
		if !errors.As(err, &e) || e.Right == "" {
			t.Errorf("%q: %v has no example", src, err)
			continue
		}
		lines := strings.Split(src, "\n")
		lines[e.Line-1] = e.Right
		if _, err := Decode("w.toml", []byte(strings.Join(lines, "\n")), new(sheet)); err != nil {
			t.Errorf("%q: its example %s is wrong: %v", src, e.Right, err)
		}
	}
}

// TestLinesInRepeatedTables is the case that the library gets wrong: a fault
// in the first of several equal tables.
func TestLinesInRepeatedTables(t *testing.T) {
	const src = `name = "x"

[[botanical]]
name = "a"
score = { a = 1, "b c" = "two" }   # line 5

[[botanical]]
name = "b"
score = { a = 3, "b c" = 1 }

[[botanical]]
name = "c"
score = { a = 4, "b c" = 1 }
`
	_, err := Decode("w.toml", []byte(src), new(sheet))
	var e *Error
	if !errors.As(err, &e) || e.Line != 5 {
		t.Fatalf("%v, want line 5", err)
	}
	const detail = `w.toml:5: "b c" should be a number, not a text; e.g. score = { bitter = 1 }
    5 | score = { a = 1, "b c" = "two" }   # line 5
      |                          ^^^^^
`
	if got := e.Detail(); got != detail {
		t.Errorf("got\n%s\nwant\n%s", got, detail)
	}
	// The library alone names another line: when it no longer does, this
	// package has one reason less to exist.
	var raw struct {
		Botanical []struct{ Score map[string]float64 }
	}
	if _, err := toml.Decode(src, &raw); err == nil || strings.Contains(err.Error(), "line 5") {
		t.Errorf("the library says %v", err)
	}
}

func TestDetail(t *testing.T) {
	for _, c := range []struct{ name, src, want string }{
		{"tab", "[[botanical]]\n\tamuont = 1",
			"w.toml:2: unknown key \"amuont\" in [[botanical]]; did you mean \"amount\"? e.g. amount = \"24 g\"\n    2 | \tamuont = 1\n      | \t^^^^^^\n"},
		{"accents count as one column", "name = \"é\" x",
			"w.toml:1: \"x\" stands after the end of the value; put # before a remark\n    1 | name = \"é\" x\n      |            ^\n"},
		{"CRLF", "name = \"a\"\r\nroom = xy\r\n",
			"w.toml:2: \"xy\" is text and needs quotation marks; e.g. room = \"xy\"\n    2 | room = xy\n      |        ^^\n"},
		{"no line", "\x00", "w.toml: the file holds binary data, not text; is it the right file?\n"},
	} {
		_, err := Decode("w.toml", []byte(c.src), new(sheet))
		var e *Error
		if !errors.As(err, &e) {
			t.Fatalf("%s: %v", c.name, err)
		}
		if got := e.Detail(); got != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s", c.name, got, c.want)
		}
	}
	e := &Error{File: "w.toml", Line: 3, Excerpt: "  by hand  ", Problem: "no\nplace"}
	if got, want := e.Detail(), "w.toml:3: no place\n    3 |   by hand  \n      |   ^^^^^^^\n"; got != want {
		t.Errorf("an error made elsewhere: got\n%s\nwant\n%s", got, want)
	}
}

// TestLongExample: an example that is made of the line is no longer than can be read.
func TestLongExample(t *testing.T) {
	_, err := Decode("w.toml", []byte("name = "+strings.Repeat("x", 5000)), new(sheet))
	if n := len([]rune(err.Error())); n > 600 {
		t.Errorf("a fault of %d letters", n)
	}
}

// TestDetailOfLongLine: a line of thousands of letters is cut to the fault.
func TestDetailOfLongLine(t *testing.T) {
	src := "name = \"" + strings.Repeat("x", 5000) + "\" oops" + strings.Repeat("y", 5000)
	_, err := Decode("w.toml", []byte(src), new(sheet))
	var e *Error
	if !errors.As(err, &e) {
		t.Fatal(err)
	}
	for _, line := range strings.Split(e.Detail(), "\n") {
		if n := len([]rune(line)); n > 150 {
			t.Errorf("a line of %d letters: %s", n, line)
		}
	}
	if !strings.Contains(e.Detail(), "x\" oops") {
		t.Errorf("the fault is not in sight:\n%s", e.Detail())
	}
}

func TestDecodes(t *testing.T) {
	unset := sheet{hidden: "kept"}
	if _, err := Decode("w.toml", []byte("plain = 2"), &unset); err != nil || unset.hidden != "kept" || unset.Plain != 2 {
		t.Errorf("%+v, %v", unset, err)
	}
	const src = "\uFEFFname = \"x\"\r\nroom=\"20 C\"\r\nplain = 3\r\nstarted = 2026-11-20\r\ngrade = \"fine\"\r\nspan = 2\r\n" +
		"[spirit]\r\nname = \"s\"\r\n[[botanical]]\r\n\tname = 'a'\r\n\ttarget = 6\r\n\tturns = 3\r\n\tlots = [\"p\", \"q\"]\r\n\tin = \"2 h\"\r\n" +
		"\tscore = {a = 1, \"b c\" = 2.5}\r\n[finish]\r\npress = true # no line end follows"
	var s sheet
	if _, err := Decode("w.toml", []byte(src), &s); err != nil {
		t.Fatal(err)
	}
	six := 6.0
	if at, ok := s.Started.(time.Time); !ok || at.Format("2006-01-02 15:04") != "2026-11-20 00:00" {
		t.Errorf("started %v", s.Started)
	}
	s.Started = nil
	want := sheet{base: base{Room: "20 C"}, Name: "x", Plain: 3, Grade: "fine", Span: 2, Spirit: []item{{Name: "s"}},
		Item:   []item{{Name: "a", Target: &six, Turns: 3, Lots: []string{"p", "q"}, In: "2 h", Score: map[string]float64{"a": 1, "b c": 2.5}}},
		Finish: &finish{Press: true}}
	if !reflect.DeepEqual(s, want) {
		t.Errorf("got  %+v\nwant %+v", s, want)
	}
}

// TestProgramFaults: a target that cannot be filled is the program's fault, not
// the user's, and must not panic.
func TestProgramFaults(t *testing.T) {
	var m map[int]string
	var c struct{ A chan int }
	var n *sheet
	for _, v := range []any{nil, sheet{}, n, &m, &c} {
		_, err := Decode("w.toml", []byte("a = 1"), v)
		var e *Error
		if err == nil || errors.As(err, &e) {
			t.Errorf("%T: %v", v, err)
		}
	}
}

// TestNearest: the distance is the optimal string alignment distance (O. Boytsov,
// Indexing methods for approximate dictionary searching, ACM J. Exp. Algorithmics
// 16, 2011, section 2): "ca" to "abc" is 3 there, where the unrestricted distance
// of Damerau would be 2.
func TestNearest(t *testing.T) {
	known := []string{"name", "cut", "amount", "target", "in", "lot", "leave_in", "price", "green cardamom", "black cardamom"}
	for _, c := range []struct {
		word, want string
		ok         bool
	}{
		{"amuont", "amount", true}, {"AMOUNT", "amount", true}, {"ammounts", "amount", true}, {"taregt", "target", true},
		{"nmae", "name", true}, {"nam", "name", true}, {"cutt", "cut", true}, {"priec", "price", true},
		{"leavein", "leave_in", true}, {"green cardamon", "green cardamom", true}, {"gren cardamon", "green cardamom", true},
		{"lt", "", false}, {"xy", "", false}, {"lat", "lot", true}, {"weight", "", false}, {"", "", false}, {"cardamom", "", false},
		{"inn", "in", true},
	} {
		got, ok := Nearest(c.word, known)
		if got != c.want && ok || ok != c.ok {
			t.Errorf("Nearest(%q) = %q, %v; want %q, %v", c.word, got, ok, c.want, c.ok)
		}
	}
	if d := edits([]rune("ca"), []rune("abc"), 9); d != 3 {
		t.Errorf("ca to abc is %d edits", d)
	}
	if d := edits([]rune("kitten"), []rune("sitting"), 9); d != 3 {
		t.Errorf("kitten to sitting is %d edits", d)
	}
	if d := edits(nil, []rune("abc"), 9); d != 3 {
		t.Errorf("nothing to abc is %d edits", d)
	}
}

func FuzzDecode(f *testing.F) {
	f.Add("name = \"x\"\n[[botanical]]\namount = \"24 g\"\nscore = { a = 1, \"b c\" = 2 }\n[finish]\npress = true\n")
	f.Add("a.b.c = [1, [2, {x = 3}]]\n[t.u]\n[[t.v]]\nd = 2026-11-20 18:00\n")
	f.Add("s = \"\"\"a\n\\\n\"\"\"\"\"\nr = '''\n''''\n\"q\\u00e9\" = 1\n")
	f.Add("s = \"\"\"a\\\\\"\"\"\"\"\"")
	f.Add("x = {a = 1,\n # c\n b = {c = 2}, }\r\n")
	f.Add("\uFEFF[ a . \"b\" ]\r\n'' = -1_0.5e+3\r\n")
	f.Fuzz(func(t *testing.T, src string) {
		var typed sheet
		if _, err := Decode("f", []byte(src), &typed); err != nil {
			var e *Error
			if !errors.As(err, &e) {
				t.Fatalf("%v is no *Error", err)
			}
			if s := e.Error(); strings.ContainsAny(s, "\n\r\x00\x1b") || !strings.HasPrefix(s, "f:") || s == "f: " {
				t.Fatalf("not one sentence: %q", s)
			}
			if n := strings.Count(e.Detail(), "\n"); n != 1 && n != 3 {
				t.Fatalf("%d lines of detail: %q", n, e.Detail())
			}
			if e.Line < 0 || e.Line > 1+strings.Count(src, "\n") {
				t.Fatalf("line %d of %q", e.Line, src)
			}
		}
		// Against the library, which is the authority on syntax.
		var want, got map[string]any
		_, libErr := toml.Decode(src, &want)
		d, err := Decode("f", []byte(src), &got)
		switch {
		case libErr == nil && err == nil:
			sameTree(t, d, d.top(), want)
			if !strings.Contains(src, "\uFEFF") {
				sameValues(t, got, want)
			}
		case libErr == nil && strings.Contains(src, `\\""""""`):
			// The library takes the sixth quotation mark after a doubled backslash for
			// an escaped one; the specification allows five at the end of a long text.
		case libErr == nil && !stricter(err):
			t.Fatalf("refused although the library reads it: %v", err)
		case libErr != nil && err == nil:
			t.Fatalf("read although the library refuses it: %v", libErr)
		}
	})
}

// stricter reports whether an error is one of those that this package finds
// beyond the library.
func stricter(err error) bool {
	for _, s := range []string{"twice", "already", "nested", "dots", "brackets each time", "write both the same way", "UTF-16", "binary"} {
		if strings.Contains(err.Error(), s) {
			return true
		}
	}
	return false
}

func BenchmarkDecode(b *testing.B) {
	var s strings.Builder
	s.WriteString("name = \"x\"\n")
	for i := range 400 {
		fmt.Fprintf(&s, "\n[[botanical]]\nname = \"botanical %d\"\namount = \"%d g\"\ntarget = 6\nlots = [\"p\", \"q\"]\nscore = { a = 1, \"b c\" = 2.5 }\n", i, i)
	}
	src := []byte(s.String())
	b.SetBytes(int64(len(src)))
	for b.Loop() {
		var v sheet
		if _, err := Decode("w.toml", src, &v); err != nil {
			b.Fatal(err)
		}
	}
}
