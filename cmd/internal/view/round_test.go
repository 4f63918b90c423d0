package view

import (
	"math"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/cmd/internal/pen"
	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

func TestNumber(t *testing.T) {
	for _, c := range []struct {
		v, low, high float64
		want         string
	}{
		{30.44, 29.9, 31.0, "30.4"},
		{268.4, 263, 273, "268"},
		{1238, 1220, 1260, "1240"},
		{12345, 11000, 13000, "12350"}, // no coarser than tens
		{0.8512, 0.84, 0.86, "0.85"},
		{4.83, 4.3, 5.4, "4.8"},
		{1066.2, 1062, 1069, "1066"},
		{2.54, 1.54, 3.54, "3"}, // half of the range is one: whole numbers
		{-0.04, -0.5, 0.5, "0.0"},
		{30.44, 30.44, 30.44, "30.4"}, // no range: three figures
		{30.44, 31, 30, "30.4"},
		{0.000123456, 0, 0, "0.000123"},
	} {
		if got := pen.Number(mixture.Range{Value: c.v, Low: c.low, High: c.high}); got != c.want {
			t.Errorf("number(%g, %g, %g) = %q, want %q", c.v, c.low, c.high, got, c.want)
		}
	}
}

func TestRanged(t *testing.T) {
	for _, c := range []struct {
		v, low, high float64
		want         string
	}{
		{30.44, 29.9, 31.0, "30.4 (29.9-31.0)"},
		{1238, 1221, 1258, "1240 (1220-1260)"},
		{5, 5, 5, "5"},
		{0.05, 0.028, 0.08, "0.05 (0.03-0.08)"},
		{7, 3, math.Inf(1), "7"},
	} {
		if got := pen.Ranged(mixture.Range{Value: c.v, Low: c.low, High: c.high}); got != c.want {
			t.Errorf("ranged(%g, %g, %g) = %q, want %q", c.v, c.low, c.high, got, c.want)
		}
	}
}

func TestSignificant(t *testing.T) {
	for _, c := range []struct {
		v       float64
		figures int
		want    string
	}{
		{0, 3, "0"}, {1234, 2, "1200"}, {1234, 4, "1234"}, {99.96, 3, "100"}, {9.996, 3, "10"},
		{0.09996, 3, "0.1"},
		{1, 3, "1"}, {1.5, 3, "1.5"}, {-1.25, 2, "-1.2"}, {-0.001234, 2, "-0.0012"}, {3.14159, 3, "3.14"},
		{1e6, 3, "1000000"},
	} {
		if got := pen.Significant(c.v, c.figures); got != c.want {
			t.Errorf("significant(%g, %d) = %q, want %q", c.v, c.figures, got, c.want)
		}
	}
}

// TestRoundingStaysClose: what is printed lies within half of the range of what was computed, or of the third
// figure, or of one where there are more before the point, and three figures are three.
func TestRoundingStaysClose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e5, 1e5).Draw(t, "v")
		half := rapid.Float64Range(0.001, 900).Draw(t, "half")
		said := pen.Number(mixture.Range{Value: v, Low: v - half, High: v + half})
		got, err := strconv.ParseFloat(said, 64)
		third := math.Pow(10, min(math.Floor(math.Log10(math.Abs(v)))-2, 0)) / 2
		if err != nil || math.Abs(got-v) > max(half, third)*1.001 {
			t.Fatalf("%g ± %g is printed as %s", v, half, said)
		}
		got, err = strconv.ParseFloat(pen.Significant(v, 3), 64)
		if err != nil || math.Abs(got-v) > max(0.0051*math.Abs(v), 1e-9) {
			t.Fatalf("%g is printed as %s", v, pen.Significant(v, 3))
		}
	})
}

func TestScoreAndPercent(t *testing.T) {
	for v, want := range map[float64]string{-0.01: "0.0", 3.449: "3.4", 10: "10.0", 14: "10.0",
		math.Inf(1): "10.0"} {
		if got := pen.Score(v); got != want {
			t.Errorf("score(%g) = %q, want %q", v, got, want)
		}
	}
	for v, want := range map[float64]string{0: "under 1 %", 0.005: "under 1 %", 0.01: "1 %", 0.316: "32 %",
		0.99: "99 %", 0.995: "over 99 %", 1: "over 99 %"} {
		if got := pen.Percent(v); got != want {
			t.Errorf("percent(%g) = %q, want %q", v, got, want)
		}
	}
}

func TestSpan(t *testing.T) {
	const day, week = 24.0, 168.0
	for _, c := range []struct {
		hours float64
		want  string
	}{
		{0, "1 min"}, {0.1, "6 min"}, {0.3, "20 min"}, {0.94, "55 min"}, {0.95, "1 h"}, {1.2, "1 h"},
		{1.3, "1.5 h"}, {9.4, "9.5 h"}, {9.6, "10 h"},
		{47.4, "47 h"}, {47.6, "2 d"}, {5 * day, "5 d"}, {19.9 * day, "20 d"}, {20 * day, "3 wk"},
		{11.9 * week, "12 wk"},
		{12 * week, "3 months"}, {23 * 30.44 * day, "23 months"}, {3 * 365 * day, "over 2 years"},
		{math.Inf(1), "never"},
	} {
		if got := quantity.Span(c.hours); got != c.want {
			t.Errorf("span(%g) = %q, want %q", c.hours, got, c.want)
		}
	}
}

func TestSpans(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      string
	}{
		{0.5, 0.75, "30-45 min"}, {0.5, 48, "30 min to 2 d"}, {3, 5, "3-5 h"}, {3, 3.1, "3 h"},
		{1, math.Inf(1), "1 h or later"},
		{24 * 3, 24 * 9, "3-9 d"}, {20000, 30000, "over 2 years"}, {2, 20000, "2 h to over 2 years"},
	} {
		if got := pen.Spans(c.low, c.high); got != c.want {
			t.Errorf("spans(%g, %g) = %q, want %q", c.low, c.high, got, c.want)
		}
	}
}

// TestSpanIsClose: the words say the length within a quarter of it.
func TestSpanIsClose(t *testing.T) {
	unit := map[string]float64{"min": 1.0 / 60, "h": 1, "d": 24, "wk": 168, "months": 24 * 30.44}
	form := regexp.MustCompile(`^([0-9.]+) (min|h|d|wk|months)$`)
	rapid.Check(t, func(t *rapid.T) {
		h := math.Exp(rapid.Float64Range(math.Log(1.0/60), math.Log(24*365*2-1)).Draw(t, "ln hours"))
		m := form.FindStringSubmatch(quantity.Span(h))
		if m == nil {
			t.Fatalf("span(%g) = %q", h, quantity.Span(h))
		}
		n, _ := strconv.ParseFloat(m[1], 64)
		if got := n * unit[m[2]]; math.Abs(got-h) > h/4 && math.Abs(got-h) > 0.51/60 {
			t.Fatalf("span(%g) = %q", h, quantity.Span(h))
		}
	})
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  []string
	}{
		{"one two three", 7, []string{"one two", "three"}},
		{"one  two\tthree", 80, []string{"one two three"}},
		{"one\ntwo", 80, []string{"one", "two"}},
		{"a-very-long-word and more", 6, []string{"a-very-long-word", "and", "more"}},
		{"zwölf äpfel", 11, []string{"zwölf äpfel"}},
		{"trailing\n\n", 80, []string{"trailing"}},
		{"", 80, []string{""}},
	} {
		if got := pen.Wrap(c.text, c.width); strings.Join(got, "|") != strings.Join(c.want, "|") {
			t.Errorf("wrap(%q, %d) = %q, want %q", c.text, c.width, got, c.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		text, width := rapid.StringMatching(`([a-zäöü][a-zäöü]{0,8}[ \n]){0,30}`).Draw(t,
			"text"), rapid.IntRange(10, 90).Draw(t, "width")
		lines := pen.Wrap(text, width)
		if got, want := strings.Fields(strings.Join(lines, " ")), strings.Fields(text); strings.Join(got,
			" ") != strings.Join(want, " ") {
			t.Fatalf("words were lost: %q of %q", got, want)
		}
		for _, l := range lines {
			if n := len([]rune(l)); n > width || strings.TrimSpace(l) != l {
				t.Fatalf("%q has %d characters, %d wanted", l, n, width)
			}
		}
	})
}

// TestTableLinesUp: every column begins where its header begins, letters
// outside ASCII count as one, and the last column is hung under itself.
func TestTableLinesUp(t *testing.T) {
	var out strings.Builder
	p := NewPage(&out, pen.Style{})
	p.Table([]string{"flavour", "jar", "why"}, [][]string{
		{"crème de fève", "3.5", strings.Repeat("long words ", 12)},
		{"zest", "", ""},
		{"ß", "4", "short"},
	})
	lines := strings.Split(strings.TrimRight(out.String(), "\n"), "\n")
	jar, why := column(lines[0], "jar"), column(lines[0], "why")
	if got := column(lines[1], "3.5"); got != jar {
		t.Errorf("3.5 stands in column %d, want %d:\n%s", got, jar, out.String())
	}
	for _, l := range lines[1:] {
		if n := len([]rune(l)); n > pen.Usual {
			t.Errorf("a line of %d characters: %q", n, l)
		}
		if strings.TrimRight(l, " ") != l {
			t.Errorf("%q ends in spaces", l)
		}
	}
	if got := column(lines[2], strings.Fields(lines[2])[0]); got != why {
		t.Errorf("the wrapped column is hung at %d, want %d:\n%s", got, why, out.String())
	}
	if last := lines[len(lines)-1]; column(last, "4") != jar || column(last, "short") != why {
		t.Errorf("%q is out of line", last)
	}
	if err := p.Done(); err != nil {
		t.Error(err)
	}
}

func column(line, word string) int {
	i := strings.Index(line, word)
	if i < 0 {
		return -1
	}
	return len([]rune(line[:i]))
}

func TestPairsLeaveOutWhatIsEmpty(t *testing.T) {
	var out strings.Builder
	p := NewPage(&out, pen.Style{})
	p.Pairs([]pen.Pair{{"Confidence", "high"}, {"A much longer heading", ""}, {"Tür", "zu\noffen"}})
	if want := "Confidence  high\nTür         zu\n            offen\n"; out.String() != want {
		t.Errorf("%q, want %q", out.String(), want)
	}
}

// TestColourIsNoCarrier: with the marks taken out a coloured page reads as the
// plain one, and a plain one has none.
func TestColourIsNoCarrier(t *testing.T) {
	draw := func(colour bool) string {
		var out strings.Builder
		p := NewPage(&out, pen.Style{Colour: colour})
		p.Answer("%s", "the answer")
		p.Table([]string{"a", "b"}, [][]string{{"1", "2"}})
		return out.String()
	}
	plain, coloured := draw(false), draw(true)
	if strings.Contains(plain, "\x1b") {
		t.Errorf("marks on a plain page: %q", plain)
	}
	if coloured == plain || regexp.MustCompile(`\x1b\[[0-9]+m`).ReplaceAllString(coloured, "") != plain {
		t.Errorf("%q is not %q with marks", coloured, plain)
	}
}

type fullDisk struct{ left int }

func (d *fullDisk) Write(b []byte) (int, error) {
	if d.left--; d.left < 0 {
		return 0, strconv.ErrRange
	}
	return len(b), nil
}

func TestPageRemembersTheFirstError(t *testing.T) {
	d := &fullDisk{left: 1}
	p := NewPage(d, pen.Style{})
	p.Line("one")
	p.Para("two")
	p.Item("three")
	if p.Done() == nil || d.left < -1 {
		t.Errorf("error %v after %d writes", p.Done(), 1-d.left)
	}
}

// TestJSONToTenFigures: what adding and multiplying added to a number is left off,
// and nothing else is touched.
func TestJSONToTenFigures(t *testing.T) {
	var b strings.Builder
	err := NewPage(&b,
		pen.Style{}).WriteJSON(pen.Object{pen.As("a", 40.00000000000004), pen.As("b", []float64{0.1 + 0.2, 1e-7 / 3, -2.5}),
		pen.As("c", "is 0.30000000000000004"), pen.As("d\"e", 2.0/3), pen.As("f", 1234567890123)})
	want := "{\n  \"a\": 40,\n  \"b\": [\n    0.3,\n    0.00000003333333333,\n    -2.5\n  ],\n  \"c\": \"is " +
		"0.30000000000000004\",\n  \"d\\\"e\": 0.6666666667,\n  \"f\": 1234567890123\n}\n"
	if err != nil || b.String() != want {
		t.Errorf("%v\n%s\nwant\n%s", err, b.String(), want)
	}
}

// TestJSONOfWhatIsNotThere: null for what is not known or never reached, a list that
// is empty is a list, and every name of a type that is written is a field of it.
func TestJSONOfWhatIsNotThere(t *testing.T) {
	var b strings.Builder
	type entry struct{ Names []string }
	var none *float64
	err := NewPage(&b, pen.Style{}).WriteJSON(pen.Object{pen.As("a", math.Inf(1)), pen.As("b", math.NaN()), pen.As("c", []string(nil)),
		pen.As("d", entry{}), pen.As("e", time.Time{}),
		pen.As("f", none), pen.As("g", pen.Some("")), pen.As("h", pen.Where(false, 1)), pen.As("i", map[string]int{}), pen.As("j", []any{}),
		pen.As("k", "10~ml & <more>"), pen.As("l", &entry{}),
		pen.As("m", time.Date(2026, 11, 2, 18, 0, 0, 0, time.UTC)),
		pen.As("n", pen.Estimate{Value: 1, Low: 0.5, High: math.Inf(1)})})
	got := strings.Join(strings.Fields(b.String()), "")
	want := `{"a":null,"b":null,"c":[],"d":{"Names":null},"e":null,"f":null,"g":null,"h":null,"i":{},` +
		`"j":[],"k":"10ml&<more>","l":{"Names":null},` +
		`"m":"2026-11-02T18:00:00Z","n":{"median":1,"low":0.5,"high":null}}`
	if err != nil || got != want {
		t.Errorf("%v\n%s\nwant\n%s", err, got, want)
	}
	for of, names := range Written {
		if n := len(pen.Pick(reflect.Zero(of).Interface(), names)); n != len(strings.Fields(names)) {
			t.Errorf("%s has %d fields, not %q", of, n, names)
		}
	}
}
