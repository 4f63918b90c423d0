package label

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/somejar"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/plots"
)

func text(l plots.Label) string {
	all := []string{l.Name, l.Stop}
	for _, line := range l.Lines {
		all = append(all, line.Text)
	}
	return strings.Join(all, "\n")
}

// TestLabelSaysWhatKeepSays: over random jars, what must not be drunk is on the label as it
// is on the screen, and the days are those of keep and of the book.
func TestLabelSaysWhatKeepSays(t *testing.T) {
	juices := []string{"orange juice", "lime juice", "white sugar", "milk", "egg white"}
	stopped, dated := 0, 0
	for n := range somejar.Many(60) {
		r := rand.New(rand.NewPCG(n, 7))
		j := somejar.New(n)
		j.Press, j.Pulls = false, nil
		for range r.IntN(3) {
			j.Additions = append(j.Additions, somejar.Addition{Name: juices[r.IntN(len(juices))],
				Amount: fmt.Sprintf("%d g", 50+r.IntN(400))})
		}
		now := somejar.Started.Add(time.Duration(r.IntN(90*24)) * time.Hour)
		src := j.String()
		if r.IntN(3) > 0 {
			src += fmt.Sprintf("[finish]\nbottled = %s\nbottle = \"250 ml\"\n", somejar.Started.AddDate(0, 0,
				r.IntN(40)).Format("2006-01-02T15:04:05"))
		}
		b, err := batch.Parse("test.toml", []byte(src), time.UTC)
		if err != nil {
			continue // bottled before the last tasting
		}
		q := bench.Question{Now: now}
		if r.IntN(3) == 0 {
			q.House = &batch.House{Rule: "house", MaxAgeDays: float64(1 + r.IntN(60)), UseWithinDays: 3}
		}
		a, err := bench.Assess(b, library.Builtin(), q)
		if err != nil {
			t.Fatal(err)
		}
		units := quantity.System(r.IntN(2))
		kind, err := Of(a)
		if gone := a.Bottles().Emptied != nil; gone != (err != nil) {
			t.Fatalf("%d: all is gone: %t, and its label says %v", n, gone, err)
		}
		if err != nil {
			continue
		}
		label := Words(a, kind, units)
		said := text(label)
		if strings.Contains(said, "~") || strings.Contains(said, "NaN") || strings.Contains(said, "Inf") {
			t.Fatalf("%d: %s", n, said)
		}
		var screen strings.Builder
		if err := bottle.Keep(view.NewPage(&screen, pen.Style{Units: units}), a, false); err != nil {
			t.Fatal(err)
		}
		never := strings.Contains(strings.ToLower(screen.String()), "do not")
		if (label.Stop != "") != never {
			t.Errorf("%d: the label says %q, keep says\n%s", n, label.Stop, screen.String())
		}
		if label.Stop != "" {
			stopped++
			if strings.Contains(said, "Keep it ") || strings.Contains(said, "Best") {
				t.Errorf("%d: it says that it is good:\n%s", n, said)
			}
			continue
		}
		if kind != ForBottle {
			continue
		}
		row, err := due.Look(a)
		if err != nil {
			t.Fatal(err)
		}
		for _, day := range []time.Time{a.Keep.Advised.Until, row.Until} {
			if !a.Keep.OfBottle(day) {
				continue // no day of a bottle: it was over before
			}
			if want := quantity.Say(date(day), units); !day.IsZero() && !strings.Contains(said, "y "+want) {
				t.Errorf("%d: %s of keep and of the book is not on\n%s", n, want, said)
			} else if !day.IsZero() {
				dated++
			}
		}
		if fit, err := plots.Fit(plots.Copies{Label: Sized("A4", plots.Copies{Label: label})}); err != nil || fit.LetterMM < plots.SmallLetterMM {
			t.Errorf("%d: %+v, %v", n, fit, err)
		}
	}
	if stopped < 5 || dated < 20 {
		t.Errorf("only %d that must not be drunk and %d dates", stopped, dated)
	}
}

// TestStrengthIsHonest: a label says no more than is known.
func TestStrengthIsHonest(t *testing.T) {
	for _, c := range []struct {
		v, half float64
		us      bool
		want    string
	}{
		{29.34, 0.2, false, "29.3 % vol"}, {29.34, 0.5, false, "about 29 % vol"}, {29.6, 2.9, false,
			"about 30 % vol"},
		{29.34, 0.5, true, "about 29% ABV"}, {30, 6.4, false, "24 to 36 % vol"}, {0.2, 0.1, false,
			"no alcohol to speak of"},
	} {
		a := &bench.Assessment{}
		r := &a.Blend.Result.ABVPercent
		r.Value, r.Low, r.High = c.v, c.v-c.half, c.v+c.half
		units := quantity.Metric
		if c.us {
			units = quantity.US
		}
		if got := strength(a, units); got != c.want {
			t.Errorf("%g ± %g: %q, want %q", c.v, c.half, got, c.want)
		}
	}
}

// TestGridsAreOnTheirPaper: each lies on its sheet, and none of its labels on another.
func TestGridsAreOnTheirPaper(t *testing.T) {
	for _, paper := range Papers {
		w, h, grids, ok := Paper(strings.ToLower(paper))
		if !ok {
			t.Fatal(paper)
		}
		for _, g := range grids {
			s := plots.Sheet{WidthMM: w, HeightMM: h, Grid: g, Labels: []plots.Copies{{Count: 1,
				Label: plots.Label{Name: "x", WidthMM: g.WidthMM, HeightMM: g.HeightMM}}}}
			if err := plots.Write(new(strings.Builder), s, "svg"); err != nil {
				t.Error(err)
			}
			right := w - g.LeftMM - float64(g.Columns-1)*g.AcrossMM - g.WidthMM
			if math.Abs(right-g.LeftMM) > 0.3 { // they are sold centred
				t.Errorf("%s %+v: %g mm at the left, %g at the right", paper, g, g.LeftMM, right)
			}
		}
	}
}

// TestContents: 27 CFR 4.37(b) prints each of these pairs; 200 ml is that of 27 CFR 5.202(b).
func TestContents(t *testing.T) {
	for ml, want := range map[float64]string{
		50: "1.7", 100: "3.4", 187: "6.3", 200: "6.8", 375: "12.7", 500: "16.9", 700: "23.7", 750: "25.4", 1000: "33.8", 1500: "50.7",
		3000: "101", 6000: "203",
	} {
		if got := volume(ml, quantity.US); !strings.HasSuffix(got, " ("+want+" fl oz)") {
			t.Errorf("%g ml: %s, want %s", ml, got, want)
		}
	}
}

// TestLabelSaysOfWhat: what a label says to whoever takes medicines says what it is about.
func TestLabelSaysOfWhat(t *testing.T) {
	b, err := batch.Parse("test.toml", []byte("name = \"Bitter\"\nstarted = 2026-11-20T18:00:00\n[spirit]\n"+
		"name = \"vodka 50 %\"\namount = \"400 ml\"\n[[botanical]]\nname = \"bitter orange peel\"\namount = \"10 g\"\n"), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	a, err := bench.Assess(b, library.Builtin(), bench.Question{Now: b.Started})
	if err != nil {
		t.Fatal(err)
	}
	a.Judge()
	const want = "Bitter orange peel: changes the effect of many medicines"
	if said := text(Words(a, ForBottle, quantity.Metric)); !strings.Contains(said, want) {
		t.Errorf("%q is not on the label:\n%s", want, said)
	}
}

// TestJarLabelHoldsWhatIsInTheJar: what came out is not on it, what joined the jar is, what is in
// no longer waits; hands are warned while they may touch it, and the next tasting is the page's.
func TestJarLabelHoldsWhatIsInTheJar(t *testing.T) {
	const jar = `name = "Walnut"
started = 2026-11-01T18:00:00
[spirit]
name = "vodka 40 %"
amount = "1 l"
[[botanical]]
name = "green walnut"
cut = "quartered"
amount = "500 g"
target = 6
[[botanical]]
name = "clove"
amount = "4 pieces"
target = 2
[[botanical]]
name = "lemon zest"
amount = "5 g"
in = "60 d"
[[addition]]
name = "white sugar"
amount = "400 g"
[[addition]]
name = "water"
`
	const pulled = "[[pulled]]\nname = \"clove\"\nat = \"20 d\"\n"
	now := time.Date(2026, 11, 25, 19, 30, 0, 0, time.UTC)
	for _, c := range []struct {
		more      string
		has, lack []string
	}{
		{"", []string{"500 g green walnut, quartered; 4 pieces clove", "5 g lemon zest (goes in Thu 31 Dec", "Green walnut: wear gloves.",
			"After straining: 400 g white sugar; water."}, nil},
		{pulled, []string{"500 g green walnut", "Taste next Wed 25 Nov at 19:30: green walnut"}, []string{"clove"}},
		{pulled + "[[pulled]]\nname = \"green walnut\"\nat = \"21 d\"\n", []string{"lemon zest"}, []string{"quartered", "gloves"}},
		{"[[added]]\nname = \"white sugar\"\namount = \"100 g\"\nat = \"5 d\"\n",
			[]string{"; 100 g white sugar.", "After straining: 300 g white sugar; water."}, []string{"400 g"}},
	} {
		b, err := batch.Parse("test.toml", []byte(jar+c.more), time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		a, err := bench.Assess(b, library.Builtin(), bench.Question{Now: now})
		if err != nil {
			t.Fatal(err)
		}
		said := text(Words(a, ForJar, quantity.Metric))
		for _, w := range c.has {
			if !strings.Contains(said, w) {
				t.Errorf("%q is not on it:\n%s", w, said)
			}
		}
		for _, w := range c.lack {
			if strings.Contains(said, w) {
				t.Errorf("%q is on it:\n%s", w, said)
			}
		}
	}
}

// TestEachBottleHasItsLabel: the labels are those of the bottles that are there, each with its
// own size and, where it is open, its number; what is over has one of its own. One that was topped up says
// what is in it by then, and nothing where nobody measured that.
func TestEachBottleHasItsLabel(t *testing.T) {
	const jar = "name = \"G\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nname = \"vodka\"\nabv = 40\namount = \"1 l\"\n" +
		"[[botanical]]\nname = \"clove\"\namount = \"3 g\"\n[finish]\nbottle = \"400 ml\"\n[[strained]]\nat = \"24 h\"\nvolume = \"950 ml\"\n"
	const filled = "[[bottled]]\nbottles = 2\nof = \"250 ml\"\nat = \"25 h\"\n[[bottled]]\nbottles = 1\nof = \"200 ml\"\nat = \"25 h\"\n"
	const one, two = "[[opened]]\nbottle = 1\nat = \"26 h\"\n", "[[opened]]\nbottle = 2\nat = \"27 h\"\n"
	const more = "[[added]]\nname = \"vodka\"\namount = \"60 ml\"\nat = \"28 h\"\n"
	for _, c := range []struct {
		more string
		kind Kind
		want []string
	}{
		{"", ForBottle, []string{"2: 400 ml", "1: about 150 ml"}},
		{filled, ForBottle, []string{"2: 250 ml", "1: 200 ml", "1: about 250 ml"}},
		{filled + one, ForBottle, []string{"1: 250 ml", "1: 200 ml", "1: about 250 ml"}},
		{filled + one, ForOpened, []string{"1: 250 ml Bottle 1."}},
		{filled + one + two + "[[emptied]]\nbottle = 3\nat = \"28 h\"\n", ForBottle,
			[]string{"1: 250 ml Bottle 1.", "1: 250 ml Bottle 2.", "1: about 250 ml"}},
		{filled + one + more + "into = \"150 ml\"\n", ForOpened, []string{"1: about 210 ml Bottle 1."}},
		{filled + one + two + more + "bottle = 2\n", ForOpened, []string{"1:40.0 % vol Bottle 2.", "1: 250 ml Bottle 1."}},
		{filled + one + two + more, ForOpened, []string{"1:40.0 % vol Bottle 1.", "1:40.0 % vol Bottle 2."}},
	} {
		a := assessed(t, jar+c.more, somejar.Started.AddDate(10, 0, 0))
		var got []string
		for _, x := range Each(a, c.kind, quantity.Metric, true) {
			of := quantity.Say(x.Lines[0].Text, quantity.Metric)
			said := fmt.Sprintf("%d:%s", x.Count, of[strings.LastIndex(of, ",")+1:])
			for n := range 4 {
				if number := fmt.Sprintf("Bottle %d.", n); strings.Contains(text(x.Label), number) {
					said += " " + number
				}
			}
			got = append(got, said)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s %q: %q, want %q", c.kind, c.more, got, c.want)
		}
	}
}

// TestNoLabelListsWhatItsBottleMissed: what went in after a bottle was sealed stands on no label of it,
// and bottles of one size that hold different things have labels of their own.
func TestNoLabelListsWhatItsBottleMissed(t *testing.T) {
	const jar = "name = \"G\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nname = \"vodka\"\nabv = 40\namount = \"1 l\"\n" +
		"[[addition]]\nname = \"sugar\"\namount = \"100 g\"\n[[bottled]]\nbottles = 2\nof = \"250 ml\"\nat = \"25 h\"\n"
	const cream = "[[added]]\nname = \"cream\"\namount = \"50 ml\"\nat = \"30 h\"\n"
	const more = "[[bottled]]\nbottles = 1\nof = \"250 ml\"\nat = \"31 h\"\n"
	const opened = "[[opened]]\nbottle = 1\nat = \"%d h\"\n"
	for _, c := range []struct {
		more string
		kind Kind
		want []bool // cream stands on it
	}{
		{cream, ForBottle, []bool{false}},
		{cream + more, ForBottle, []bool{false, true}},
		{cream + fmt.Sprintf(opened, 28), ForOpened, []bool{true}},
		{cream + fmt.Sprintf(opened, 32), ForOpened, []bool{false}},
	} {
		a := assessed(t, jar+c.more, time.Date(2026, 11, 22, 12, 0, 0, 0, time.UTC))
		var got []bool
		for _, x := range Each(a, c.kind, quantity.Metric, false) {
			said := text(x.Label)
			if got = append(got, strings.Contains(said, "milk")); strings.Contains(said, "cream") && !strings.Contains(said, "milk") {
				t.Errorf("%q: cream without its allergen: %s", c.more, said)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s %q: cream on %v, want %v", c.kind, c.more, got, c.want)
		}
	}
}

func assessed(t *testing.T, src string, now time.Time) *bench.Assessment {
	t.Helper()
	b, err := batch.Parse("test.toml", []byte(src), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	a, err := bench.Assess(b, library.Builtin(), bench.Question{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	a.Judge()
	return a
}

// TestReasonStandsByItself: below what must not be done a label says why in a sentence that asks for no
// other.
func TestReasonStandsByItself(t *testing.T) {
	const ginger = "name = \"G\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nname = \"vodka\"\nabv = 40\namount = \"100 ml\"\n" +
		"[[botanical]]\nname = \"ginger\"\ncut = \"fresh slices\"\namount = \"50 g\"\n" +
		"[[addition]]\nname = \"1:1 syrup\"\namount = \"700 ml\"\n[finish]\nleave_in = true\n" +
		"[[added]]\nname = \"1:1 syrup\"\namount = \"700 ml\"\nat = \"1 h\"\n[[bottled]]\nat = \"2 h\"\nbottles = 3\nof = \"250 ml\"\n"
	said := text(Words(assessed(t, ginger, time.Date(2026, 12, 22, 12, 0, 0, 0, time.UTC)), ForBottle, quantity.Metric))
	if !strings.Contains(said, "Fresh low-acid plants without enough acid or alcohol can turn poisonous.") {
		t.Errorf("it says %s", said)
	}
}

// TestLabelTellsOfFat: what was bottled with the fat that washed it says so until that is logged off.
func TestLabelTellsOfFat(t *testing.T) {
	src := "name = \"Wash\"\nstarted = 2026-11-20T18:00:00Z\n[spirit]\nname = \"bourbon\"\nabv = 45\namount = \"700 ml\"\n" +
		"[[botanical]]\nname = \"brown butter\"\namount = \"120 g\"\n[[strained]]\nat = \"23 h\"\n" +
		"[[bottled]]\nbottles = 1\nof = \"650 ml\"\nat = \"24 h\"\n"
	for more, want := range map[string]bool{"": true, "[[pulled]]\nname = \"brown butter\"\nat = \"25 h\"\n": false} {
		b, err := batch.Parse("test.toml", []byte(src+more), time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		a, err := bench.Assess(b, library.Builtin(), bench.Question{Now: b.Started.Add(26 * time.Hour)})
		if err != nil {
			t.Fatal(err)
		}
		if said := text(Words(a, ForBottle, quantity.Metric)); strings.Contains(said, "Fat may be in it: lift off the brown butter.") != want {
			t.Errorf("%q: %s", more, said)
		}
	}
}

// A jar in which something stays that may lie in it for some days alone says so, as its bottle will.
func TestJarSaysByWhenWhatStaysIsOut(t *testing.T) {
	b, err := batch.Parse("test.toml", []byte("name = \"Cherry\"\nstarted = 2026-11-10T18:00:00\n[spirit]\n"+
		"name = \"vodka 40 %\"\namount = \"700 ml\"\n[[botanical]]\nname = \"sour cherry\"\ncut = \"whole with stone\"\n"+
		"amount = \"400 g\"\nleave_in = true\n"), time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	a, err := bench.Assess(b, library.Builtin(), bench.Question{Now: b.Started.AddDate(0, 0, 21)})
	if err != nil {
		t.Fatal(err)
	}
	const want = "Take out the sour cherry, or drink it up, by 7 Feb 2027"
	for _, what := range []Kind{ForJar, ForBottle} {
		if said := text(Words(a, what, quantity.Metric)); !strings.Contains(said, want) || strings.Contains(said, "Use by 7") {
			t.Errorf("%q is not on the label:\n%s", want, said)
		}
	}
}

// TestLabelOfWhatIsPoured: where nothing steeps nothing was strained, and of two bottles that nobody knows it says so.
func TestLabelOfWhatIsPoured(t *testing.T) {
	const duo = "name = \"Duo\"\nstarted = 2026-12-05T21:00:00\n[[spirit]]\nname = \"Velvet Lantern\"\nabv = 18\namount = \"300 ml\"\n" +
		"[[spirit]]\nname = \"Old Gate\"\nabv = 60\namount = \"50 ml\"\n"
	said := text(Words(assessed(t, duo, time.Date(2026, 12, 5, 22, 0, 0, 0, time.UTC)), ForBottle, quantity.Metric))
	for _, want := range []string{"mixed 5 Dec", "Not known: Velvet Lantern and Old Gate, nor what allergens they bring"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not on the label:\n%s", want, said)
		}
	}
}
