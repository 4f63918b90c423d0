package steep

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/together"
	"steepbook/cmd/internal/view"
)

// steepText is the answer to `steep`, its lines joined.
func steepText(t *testing.T, a *bench.Assessment) string {
	t.Helper()
	var b bytes.Buffer
	if err := Print(view.NewPage(&b, pen.Style{}), a, true); err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func TestFirstLookIsEarlyOnlyBeforeTheUsualTime(t *testing.T) {
	const tea = `
name = "Tea"
started = 2026-11-02T18:00:00
[spirit]
name = "vodka"
abv = 40
amount = "350 ml"
[[botanical]]
name = "black tea"
cut = "bag"
amount = "1 bag"
target = 5
`
	start := time.Date(2026, 11, 2, 18, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		after time.Duration
		early bool
	}{{time.Minute, true}, {7 * 24 * time.Hour, false}, {4 * 30 * 24 * time.Hour, false}} {
		text := steepText(t, assess(t, tea, start.Add(c.after)))
		if early := strings.Contains(text, ", a first look"); early != c.early {
			t.Errorf("after %s: early %v, want %v: %s", c.after, early, c.early, text)
		}
		if late := strings.Contains(text, " late: longer in than usual"); late == c.early {
			t.Errorf("after %s: %s", c.after, text)
		}
	}
}

// TestWhatNumbsIsNamed: of several tastes it is said which comes last.
func TestWhatNumbsIsNamed(t *testing.T) {
	for other, want := range map[string]string{
		"orange zest": "Taste the clove last",
		"cinnamon":    "They numb the tongue: wait 10 minutes between them.",
	} {
		text := steepText(t, assess(t, `
name = "Two"
started = 2026-11-02T18:00:00
[[botanical]]
name = "clove"
target = 3
[[botanical]]
name = "`+other+`"
target = 3
`, time.Date(2026, 11, 9, 18, 0, 0, 0, time.UTC)))
		if !strings.Contains(text, want) || strings.Contains(text, "taste it last") {
			t.Errorf("%s: %s", other, text)
		}
	}
}

// TestAddAt: an hour at which something goes in is told no further off than the narrowest window bears.
func TestAddAt(t *testing.T) {
	for _, c := range []struct {
		in, off float64
		want    string
	}{{0, 1, "at the start"}, {0.45, 0.1, "after 25 min"}, {0.45, 0.01, "after 27 min"}, {34, 1, "after 34 h"},
		{34.3, 1, "after 34 h"}, {10.78, 0.15, "after 10 h 45 min"}, {10.78, 0.02, "after 10 h 47 min"},
		{96, 8, "after 4 d"}, {0.15, 0.05, "after 9 min"}, {34, math.Inf(1), "after 34 h"}} {
		if got := addAt(&together.Stay{InH: c.in}, 10, c.off); got != c.want {
			t.Errorf("addAt(%g, %g) = %q, want %q", c.in, c.off, got, c.want)
		}
	}
}

// TestOneOrderOfTasting: what is tasted before what is the same of a jar that is just begun as an hour later, in
// whatever order it was written; and where several are tasted it is said of which the time to take it out is.
func TestOneOrderOfTasting(t *testing.T) {
	head := "name = \"Two\"\nstarted = 2026-12-01T19:00:00\n[spirit]\nname = \"vodka 50 %\"\namount = \"700 ml\"\n"
	lime := "[[botanical]]\nname = \"lime zest\"\namount = \"10 g\"\ntarget = 4\n"
	mint := "[[botanical]]\nname = \"vanilla bean\"\namount = \"1\"\ntarget = 4\n"
	stick := "[[botanical]]\nname = \"cinnamon stick\"\namount = \"2\"\ntarget = 3\n"
	start := time.Date(2026, 12, 1, 19, 0, 0, 0, time.UTC)
	order := func(src string, now time.Time) (names []string) {
		flavours, _ := assess(t, src, now).TastingOrder()
		for _, c := range flavours {
			names = append(names, c.Name)
		}
		return names
	}
	want := order(head+lime+mint+stick, start.Add(time.Hour))
	for _, src := range []string{head + lime + mint + stick, head + mint + lime + stick, head + stick + mint + lime} {
		if got := order(src, start); !slices.Equal(got, want) {
			t.Errorf("%q just begun, %q an hour later", got, want)
		}
	}
	if text := First(assess(t, head+mint+stick, start)); !strings.Contains(text, "; the vanilla bean right from ") || !strings.Contains(text, "; the cinnamon stick right from ") {
		t.Errorf("of which is this said: %s", text)
	}
}
