package strict

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
)

func TestDocument(t *testing.T) {
	const src = `name = "x"
plain = 1

[spirit]
name = "s"

[[botanical]]
name = "a"
lots = [
  "p",
  "q",
]

[[botanical]]
name = "b"
score = { zest = 1, "green cardamom" = 2, bitter = 0 }

[finish]
bottle = "x"
`
	d, err := Decode("w.toml", []byte(src), new(sheet))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		path []any
		line int
		has  bool
	}{
		{[]any{"name"}, 1, true},
		{[]any{"plain"}, 2, true},
		{[]any{"room"}, 0, false},
		{[]any{}, 0, true},
		{[]any{"spirit", "name"}, 5, true},
		{[]any{"spirit", 0, "name"}, 5, true}, // written once, addressed as a list
		{[]any{"spirit", 1, "name"}, 4, false},
		{[]any{"botanical"}, 7, true},
		{[]any{"botanical", 0}, 7, true},
		{[]any{"botanical", 0, "name"}, 8, true},
		{[]any{"botanical", 0, "lots", 1}, 11, true},
		{[]any{"botanical", 0, "lots", 7}, 9, false},
		{[]any{"botanical", 1, "name"}, 15, true},
		{[]any{"botanical", 1, "amount"}, 14, false}, // absent: its table
		{[]any{"botanical", 1, "score", "bitter"}, 16, true},
		{[]any{"botanical", 2, "name"}, 7, false},
		{[]any{"botanical", -1}, 7, false},
		{[]any{"finish", "bottle"}, 19, true},
		{[]any{3.5}, 0, false},
	} {
		if got := d.Line(c.path...); got != c.line {
			t.Errorf("Line(%v) = %d, want %d", c.path, got, c.line)
		}
		if got := d.Has(c.path...); got != c.has {
			t.Errorf("Has(%v) = %v, want %v", c.path, got, c.has)
		}
	}
	if got := d.Keys("botanical", 1, "score"); !reflect.DeepEqual(got, []string{"zest", "green cardamom", "bitter"}) {
		t.Errorf("Keys gives %q", got)
	}
	if got := d.Keys("nowhere"); got != nil {
		t.Errorf("Keys of nothing gives %q", got)
	}
	e := d.Errorf([]any{"botanical", 1, "score", "green cardamom"}, "", "a score of %d", 2)
	const want = `w.toml:16: a score of 2
   16 | score = { zest = 1, "green cardamom" = 2, bitter = 0 }
      |                                        ^
`
	if got := e.Detail(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if got := d.Errorf([]any{"room"}, `room = "20 C"`, "no room").Error(); got != `w.toml: no room; e.g. room = "20 C"` {
		t.Errorf("an absent key at the top: %s", got)
	}
}

// Spans and lines are those of the text as it was given, its mark and line ends included.
func TestSpans(t *testing.T) {
	const src = "\uFEFFname = 'x' # why\r\nfinish.bottle = \"a\"\r\n[[botanical]] # one\r\nlots = [\r\n 1,\r\n]\r\n\r\n[[botanical]]\r\nscore = { zest = 1 , b = 2 }"
	d, err := Decode("w.toml", []byte(src), new(map[string]any))
	if err != nil || string(d.Source()) != src {
		t.Fatal(err)
	}
	d.Drop() // they are scanned again
	for _, c := range []struct {
		want string
		path []any
	}{
		{"'x'", []any{"name"}}, {`"a"`, []any{"finish", "bottle"}}, {"[\r\n 1,\r\n]", []any{"botanical", 0, "lots"}},
		{"1", []any{"botanical", 0, "lots", 0}}, {"1", []any{"botanical", 1, "score", "zest"}},
		{"", []any{"botanical"}}, {"", []any{"botanical", 1}}, {"", []any{"finish"}}, {"", []any{"room"}},
	} {
		from, to, ok := d.Span(c.path...)
		if got := src[from:to]; got != c.want || ok != (c.want != "") {
			t.Errorf("Span(%v) = %q, %v, want %q", c.path, got, ok, c.want)
		}
	}
	for key, want := range map[string][]string{
		"name": {"name = 'x' # why\r\n"}, "finish": {"finish.bottle = \"a\"\r\n"}, "room": nil,
		"botanical": {"[[botanical]] # one\r\n", "lots = [\r\n 1,\r\n]\r\n", "[[botanical]]\r\n", "score = { zest = 1 , b = 2 }"},
	} {
		var got []string
		for _, l := range d.Lines(key) {
			if got = append(got, src[l.From:l.To]); l.Header != strings.HasPrefix(got[len(got)-1], "[[") {
				t.Errorf("%q is a header: %v", got[len(got)-1], l.Header)
			}
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("Lines(%q) = %q, want %q", key, got, want)
		}
	}
}

// TestManyKeys crosses the size from which a table keeps an index.
func TestManyKeys(t *testing.T) {
	var b strings.Builder
	for i := range 3 * mapFrom {
		fmt.Fprintf(&b, "k%d = %d\n", i, i)
	}
	var v map[string]int
	d, err := Decode("w.toml", []byte(b.String()), &v)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 3 * mapFrom {
		if k := fmt.Sprintf("k%d", i); v[k] != i || d.Line(k) != i+1 {
			t.Errorf("%s = %d on line %d", k, v[k], d.Line(k))
		}
	}
	if _, err := Decode("w.toml", []byte(b.String()+"k0 = 1\n"), &v); err == nil || !strings.Contains(err.Error(), "twice, first on line 1") {
		t.Errorf("a double key: %v", err)
	}
}
