package sheet_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"html"
	"io"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/sheet"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// pages are both pages of a batch at a moment.
func pages(t testing.TB, src string, now time.Time, units quantity.System) []string {
	t.Helper()
	lib := library.Builtin()
	a, err := bench.Read(somejar.Parse(t, src), lib, bench.Question{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	var page, scribble bytes.Buffer
	style := pen.Style{Units: units}
	if err := sheet.Page(&page, a, lib, style); err != nil {
		t.Fatal(err)
	}
	if err := sheet.Bench(&scribble, a, style); err != nil {
		t.Fatal(err)
	}
	return []string{page.String(), scribble.String()}
}

// empty are the elements without an end (HTML Living Standard, 13.1.2, void elements, as
// far as they are used).
var empty = []string{"meta", "input", "path"}

// strict holds a page to what every page of ours keeps: elements that are closed in order,
// headings without a leap, heads of tables with a scope, nothing from the network, no
// script, no style but the one whose digest stands in its policy.
func strict(page string) error {
	style := page[strings.Index(page, "<style>")+len("<style>") : strings.Index(page, "</style>")]
	sum := sha256.Sum256([]byte(style))
	digest := "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	policy := regexp.MustCompile(`content="(default-src[^"]*)"`).FindStringSubmatch(page)
	if policy == nil || html.UnescapeString(policy[1]) != "default-src 'none'; style-src "+digest {
		return fmt.Errorf("the policy %q does not name the style %s", policy, digest)
	}
	var open []string
	level := 0
	for _, m := range regexp.MustCompile(`<(/?)([a-zA-Z0-9]+)([^>]*)>`).FindAllStringSubmatch(page, -1) {
		end, name, rest := m[1] == "/", m[2], m[3]
		switch {
		case slices.Contains([]string{"script", "link", "img", "iframe", "object", "form"}, name):
			return fmt.Errorf("<%s> has no place in a page", name)
		case strings.Contains(rest, " style=") || strings.Contains(rest, " on"),
			strings.Contains(rest, "href"):
			return fmt.Errorf("<%s%s> does not stand in a strict page", name, rest)
		case name == "th" && !end && !strings.Contains(rest, "scope="):
			return fmt.Errorf("a head of a table has no scope: <%s%s>", name, rest)
		case !end && len(name) == 2 && name[0] == 'h' && name != "hr":
			now := int(name[1] - '0')
			if now > level+1 {
				return fmt.Errorf("<h%d> stands below <h%d>", now, level)
			}
			level = now
		}
		switch {
		case strings.HasSuffix(rest, "/") || slices.Contains(empty, name):
		case !end:
			open = append(open, name)
		case len(open) == 0 || open[len(open)-1] != name:
			return fmt.Errorf("</%s> closes %v", name, open)
		default:
			open = open[:len(open)-1]
		}
	}
	if len(open) > 0 {
		return fmt.Errorf("%v is not closed", open)
	}
	body := page[strings.Index(page, "</style>"):]
	if bad := regexp.MustCompile(`NaN|\bInf\b|%!|ZgotmplZ|\d~`).FindString(body); bad != "" {
		return fmt.Errorf("there is %q on the page", bad)
	}
	return nil
}

func TestPagesOfRandomJars(t *testing.T) {
	for number := range uint64(12) {
		j := somejar.New(number)
		for i, page := range pages(t, j.String(), somejar.Time(j.Now), quantity.System(number%2)) {
			if err := strict(page); err != nil {
				t.Errorf("jar %d, page %d: %s\n%s", number, i, err, j)
			}
		}
	}
}

// TestWhatTheMakerWroteIsWords: in every place where a maker writes, markup is shown as it
// was written and does nothing.
func TestWhatTheMakerWroteIsWords(t *testing.T) {
	const bad = `</title></style></svg><script>alert(1)</script>"'<b onclick=x>{{.}}<!-- שלום`
	src := fmt.Sprintf(`
name = %[1]q
started = 2026-11-20T18:00:00
[spirit]
name = %[2]q
abv = 40
amount = "500 ml"
[[botanical]]
name = %[3]q
cut = %[1]q
lot = %[1]q
amount = "10 g"
target = 4
[[watch]]
name = %[4]q
limit = 2
[[addition]]
name = %[5]q
amount = "100 ml"
[[tasting]]
at = "6 h"
score = { %[3]q = 2, %[4]q = 1 }
words = %[1]q
taster = %[1]q
[[noted]]
what = %[1]q
at = "7 h"
`, bad, "S"+bad, "B"+bad, "W"+bad, "A"+bad)
	for _, page := range pages(t, src, time.Date(2026, 11, 21, 8, 0, 0, 0, time.UTC), quantity.US) {
		if err := strict(page); err != nil {
			t.Error(err)
		}
		if !strings.Contains(page, html.EscapeString("<script>alert(1)</script>")) {
			t.Error("what the maker wrote is not on the page")
		}
	}
}

// TestContrast: text on its ground has the contrast that WCAG 2.2 asks for (success
// criterion 1.4.3, level AA: 4.5), in light, in dark and on paper; the formula is that of
// its "relative luminance".
func TestContrast(t *testing.T) {
	start := time.Date(2026, 11, 20, 18, 0, 0, 0, time.UTC)
	page := pages(t, "name = \"A\"\nstarted = 2026-11-20T18:00:00\n", start, 0)[0]
	schemes := regexp.MustCompile(`(?s):root \{(.*?)\}`).FindAllStringSubmatch(page, -1)
	if len(schemes) != 3 {
		t.Fatalf("there are %d schemes of colour, not three", len(schemes))
	}
	for _, s := range schemes {
		colour := map[string]float64{}
		for _, m := range regexp.MustCompile(`--([a-z-]+): #([0-9a-f]+);`).FindAllStringSubmatch(s[1], -1) {
			colour[m[1]] = luminance(t, m[2])
		}
		for _, on := range []string{"paper", "tint", "alarm-tint"} {
			for _, text := range []string{"ink", "soft", "mark"} {
				high, low := math.Max(colour[on], colour[text]), math.Min(colour[on], colour[text])
				if ratio := (high + 0.05) / (low + 0.05); ratio < 4.5 {
					t.Errorf("%s on %s has a contrast of %.1f in %s", text, on, ratio, s[1])
				}
			}
		}
	}
}

func luminance(t *testing.T, hex string) float64 {
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		c := float64(v) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

func BenchmarkPage(b *testing.B) {
	j := somejar.New(7)
	src, lib := j.String(), library.Builtin()
	for b.Loop() {
		a, err := bench.Read(somejar.Parse(b, src), lib, bench.Question{Now: somejar.Time(j.Now)})
		if err != nil {
			b.Fatal(err)
		}
		if err := sheet.Page(io.Discard, a, lib, pen.Style{}); err != nil {
			b.Fatal(err)
		}
	}
}

// TestOrderOfTheLogInTheFile: what was logged at moments of its own reads the same in whatever order it
// stands in the file.
func TestOrderOfTheLogInTheFile(t *testing.T) {
	for number := range somejar.Many(5) {
		r := rand.New(rand.NewPCG(number, 0x0de))
		head := "name = \"Some\"\nstarted = 2026-11-20T18:00:00\n" +
			"[spirit]\nname = \"neutral spirit\"\nabv = 70\n" +
			"amount = \"500 ml\"\n[[botanical]]\nname = \"vanilla\"\namount = \"2 pods\"\ntarget = 5\n"
		log := []string{"[[strained]]\nvolume = \"490 ml\"\nat = \"96 h\"\n"}
		minute := 96 * 60
		moment := func() string {
			minute += 1 + r.IntN(2*24*60)
			return fmt.Sprintf("at = \"%d min\"\n", minute)
		}
		var parts []string
		for _, x := range []struct {
			name, unit string
			amount     int
		}{{"egg yolk", "", 6}, {"sugar", " g", 120}, {"cream", " ml", 300}, {"lime juice", " ml", 60},
			{"water", " ml", 90}} {
			if r.IntN(4) > 0 {
				head += fmt.Sprintf("[[addition]]\nname = %q\namount = \"%d%s\"\n", x.name, x.amount, x.unit)
			}
			goes := r.IntN(4)
			for range goes {
				parts = append(parts, fmt.Sprintf("[[added]]\nname = %q\namount = \"%d%s\"\n",
					x.name, x.amount/goes, x.unit))
			}
		}
		r.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
		bottled := r.IntN(len(parts) + 3)
		for i, x := range parts {
			if i == bottled {
				log = append(log, "[[bottled]]\nbottles = 2\nof = \"200 ml\"\n"+moment())
			}
			if i == bottled+1 && r.IntN(2) == 0 {
				log = append(log, "[[opened]]\nbottle = 1\n"+moment())
			}
			log = append(log, x+moment())
		}
		now := time.Date(2026, 11, 20, 18, 0, 0, 0, time.UTC).
			Add(time.Duration(minute+r.IntN(20*24*60)) * time.Minute)
		was := pages(t, head+strings.Join(log, ""), now, quantity.Metric)
		for range 2 {
			src := slices.Clone(log)
			r.Shuffle(len(src), func(i, j int) { src[i], src[j] = src[j], src[i] })
			for i, is := range pages(t, head+strings.Join(src, ""), now, quantity.Metric) {
				if at := differsAt(was[i], is); at >= 0 {
					t.Errorf("batch %d, page %d:\n...%.300s\nwas\n...%.300s\n%s%s", number, i, is[max(at-100, 0):],
						was[i][max(at-100, 0):], head, strings.Join(log, ""))
				}
			}
		}
	}
}

// differsAt is from where on two texts differ, -1 where they do not.
func differsAt(x, y string) int {
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			return i
		}
	}
	if len(x) == len(y) {
		return -1
	}
	return min(len(x), len(y))
}
