package bench

import (
	"fmt"
	"math"
	"steepbook/cmd/internal/steeping"
	"strings"
	"testing"
	"time"

	"steepbook/kinetics"
	"steepbook/kinetics/jar"
)

// scored is a tasting of one flavour: hours, sample, score.
type scored struct {
	hours  float64
	sample string
	score  float64
}

// jarOf is half a litre of vodka with one botanical, and water to a third of
// the strength where thinned is set.
func jarOf(botanical string, target float64, thinned bool, watch string, scores map[string][]scored) string {
	var b strings.Builder
	b.WriteString("name = \"T\"\nstarted = 2026-06-01T12:00:00\nroom = \"20 C\"\n[spirit]\nname = \"vodka\"\nabv = 40\namount = \"500 ml\"\n")
	fmt.Fprintf(&b, "[[botanical]]\n%s\ntarget = %g\n%s", botanical, target, watch)
	if thinned {
		b.WriteString("[[addition]]\nname = \"water\"\namount = \"1 l\"\n")
	}
	for name, list := range scores {
		for _, s := range list {
			fmt.Fprintf(&b, "[[tasting]]\nat = \"%g h\"\nscore = { %q = %g }\n", s.hours, name, s.score)
			if s.sample != "" {
				fmt.Fprintf(&b, "sample = %q\n", s.sample)
			}
		}
	}
	return b.String()
}

func series(sample string, hours, scores []float64) []scored {
	out := make([]scored, len(hours))
	for i := range hours {
		out[i] = scored{hours[i], sample, scores[i]}
	}
	return out
}

var juneStart = time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC)

func afterHours(h float64) time.Time { return juneStart.Add(time.Duration(h * float64(time.Hour))) }

const wormwood = "name = \"wormwood\"\namount = \"2 g\""

func bottleOfSample(t testing.TB, sample string, scores ...float64) *steeping.Curve {
	t.Helper()
	hours := []float64{2, 6, 12, 24, 36, 48}[6-len(scores):]
	a := assessed(t, jarOf(wormwood, 4, true, "", map[string][]scored{"wormwood": series(sample, hours, scores)}), afterHours(48))
	return &a.Curves[0]
}

// What a sample at bottle strength scores is the bottle's score: no exponent
// and no belief about the jar stands between.
func TestSampleAtBottleStrengthIsBelieved(t *testing.T) {
	c := bottleOfSample(t, "1:2", 7, 7, 7, 7, 7, 7)
	// The mean of six scores with a noise of 1.1 is known to 0.45.
	if math.Abs(c.BottleNow.Value-7) > 0.45 {
		t.Errorf("six sevens at bottle strength: the bottle is read as %.1f", c.BottleNow.Value)
	}
	if half := (c.BottleNow.High - c.BottleNow.Low) / 2; half > 1.645*0.45*1.3 {
		t.Errorf("six sevens at bottle strength leave ± %.1f", half)
	}
	if c.Order.Never > 0.01 {
		t.Errorf("%.0f %% chance never to reach 4 after six sevens", 100*c.Order.Never)
	}
}

func TestThinnerSamplesMeanAStrongerBottle(t *testing.T) {
	for _, scores := range [][]float64{{4, 5, 6}, {1, 2, 2}, {3, 4, 6}, {5, 5, 5}} {
		last := 0.0
		for _, sample := range []string{"1:1", "1:2", "1:4"} { // thinner yet, and a slip of the pen is likelier
			now := bottleOfSample(t, sample, scores...).BottleNow.Value
			if now <= last {
				t.Errorf("scores %v at %s: bottle %.2f, no more than %.2f in the thicker sample before", scores, sample, now, last)
			}
			last = now
		}
	}
}

// What will be added or pressed later says nothing of the jar now, and a sample
// of the jar as it is, is read as it stands.
func TestTheJarIsWhatItIs(t *testing.T) {
	tastings := map[string][]scored{"wormwood": series("", []float64{6, 12, 24}, []float64{2, 3, 5})}
	var first *steeping.Curve
	for _, more := range []string{"", "[[addition]]\nname = \"water\"\namount = \"1 l\"\n", "[finish]\npress = true\n", "[[addition]]\nname = \"lime juice\"\namount = \"200 ml\"\n"} {
		c := &assessed(t, jarOf(wormwood, 4, false, "", tastings)+more, afterHours(25)).Curves[0]
		if first == nil {
			first = c
			continue
		}
		if math.Abs(c.JarNow.Value-first.JarNow.Value) > 1e-9 || c.Prior != first.Prior {
			t.Errorf("with %q the jar is %.3f now, %.3f without", more, c.JarNow.Value, first.JarNow.Value)
		}
	}
	post, err := first.Prior.Posterior([]kinetics.Tasting{{Hours: 6, Score: 2}, {Hours: 12, Score: 3}, {Hours: 24, Score: 5}})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := first.JarNow.Value, post.Strength(25).Mean; math.Abs(got-want) > 1e-9 {
		t.Errorf("jar %.6f, its scores alone give %.6f", got, want)
	}
	// An addition that nobody knows never makes a pull earlier than leaving it out.
	plain := assessed(t, jarOf(wormwood, 4, false, "", tastings), afterHours(25)).Curves[0].Order.BestH
	unknown := assessed(t, jarOf(wormwood, 4, false, "", tastings)+"[[addition]]\nname = \"moon water\"\namount = \"200 ml\"\n", afterHours(25)).Curves[0].Order.BestH
	if unknown < plain {
		t.Errorf("right at %.1f h with an unknown addition, at %.1f h without", unknown, plain)
	}
}

// More of it is stronger before anyone tastes: 4, 8 or 16 cloves differ.
func TestTheDoseCounts(t *testing.T) {
	last := math.Inf(1)
	for _, n := range []int{4, 8, 16} {
		c := &assessed(t, jarOf(fmt.Sprintf("name = \"clove\"\namount = \"%d pieces\"", n), 4, false, "", nil), afterHours(1)).Curves[0]
		if !(c.Order.BestH < 0.95*last) {
			t.Errorf("%d cloves: right at %.1f h, half of them at %.1f h", n, c.Order.BestH, last)
		}
		last = c.Order.BestH
	}
}

const (
	zest  = "name = \"orange zest\"\ncut = \"strips\"\namount = \"20 g\""
	watch = "[[watch]]\nname = \"bitter\"\nlimit = 4\n"
)

func watchOf(t testing.TB, now float64, hours, scores []float64) (a *Assessment, w *steeping.Curve) {
	t.Helper()
	a = assessed(t, jarOf(zest, 6, false, watch, map[string][]scored{"bitter": series("", hours, scores)}), afterHours(now))
	return a, &a.Curves[1]
}

func TestWatchedTasteIsNotReadTooLow(t *testing.T) {
	for _, c := range []struct{ hours, scores []float64 }{
		{[]float64{12, 24, 36, 48, 60}, []float64{0, 0, 2, 4, 6}},
		{[]float64{12, 24, 36}, []float64{1, 2, 3}},
		{[]float64{12, 24, 36, 48, 60, 72, 84}, []float64{1, 2, 3, 4, 5, 6, 7}},
		{[]float64{2, 3.5, 6}, []float64{0, 1, 3}},
	} {
		last, score := c.hours[len(c.hours)-1], c.scores[len(c.scores)-1]
		_, w := watchOf(t, last, c.hours, c.scores)
		if w.BottleNow.High < score-0.5 || w.BottleNow.Value < score-2.4 || w.BottleNow.Value > score+1 {
			t.Errorf("%v: read as %.1f (%.1f-%.1f) at a score of %g", c.scores, w.BottleNow.Value, w.BottleNow.Low, w.BottleNow.High, score)
		}
		if w.Tasted != len(c.scores) {
			t.Errorf("%v: %d scores counted", c.scores, w.Tasted)
		}
	}
}

// A score of an unwanted taste from before its source went in is not dropped: it
// speaks against that source.
func TestEarlyBitterSpeaksForWhatWasIn(t *testing.T) {
	src := jarOf(zest, 6, false, "[[botanical]]\nname = \"green tea\"\namount = \"5 g\"\ntarget = 3\nin = \"48 h\"\n[[watch]]\nname = \"bitter\"\nlimit = 2\n",
		map[string][]scored{"bitter": series("", []float64{20, 40}, []float64{2, 3})})
	a := assessed(t, src, afterHours(50))
	w := &a.Curves[2]
	if w.From != "orange zest" || w.Tasted != 2 {
		t.Errorf("bitter before the tea went in comes from the %q (%d scores)", w.From, w.Tasted)
	}
}

// Cases in which the old rules contradicted each other or the tongue.
func TestOrdersByHand(t *testing.T) {
	fromTea := "[[watch]]\nname = \"bitter\"\nlimit = 2\nfrom = [\"black tea\"]\n"
	for _, c := range []struct {
		name, src string
		now       float64
		do        jar.Do
		why       jar.Why
		overdue   bool
	}{
		{"tea at its limit", strings.Replace(jarOf("name = \"black tea\"\namount = \"20 g\"", 8, false, fromTea, map[string][]scored{
			"black tea": series("", []float64{2, 3.5, 6}, []float64{4, 6, 8}), "bitter": series("", []float64{2, 3.5, 6}, []float64{0, 1, 3}),
		}), "500 ml", "355 ml", 1), 6, jar.Strain, "", false},
		{"a fall", jarOf("name = \"basil\"\namount = \"20 g\"", 6, false, "", map[string][]scored{"basil": series("", []float64{6, 12, 24, 48, 96, 144, 192}, []float64{4, 6, 7, 6, 4, 2, 1})}), 193, jar.Strain, jar.Fades, true},
		{"old clove", jarOf("name = \"clove\"\namount = \"4 g\"", 4, false, "", map[string][]scored{"clove": series("", []float64{6, 12, 24, 72, 140}, make([]float64, 5))}), 140, jar.Nothing, jar.NoneYet, false},
		{"5 of 5 wanted", jarOf("name = \"jalapeno\"\namount = \"60 g\"", 5, false, "", map[string][]scored{"jalapeno": series("", []float64{1. / 6, 0.25, 0.35}, []float64{2, 4, 5.5})}), 0.36, jar.Strain, jar.Enough, false},
		{"far over", jarOf(zest, 6, false, "", map[string][]scored{"orange zest": series("", []float64{3, 6, 12}, []float64{2, 5, 10})}), 30, jar.Strain, jar.Over, true},
		{"never tasted", jarOf(zest, 6, false, "", nil), 1000, jar.Taste, jar.Untasted, true},
	} {
		o := &assessed(t, c.src, afterHours(c.now)).Curves[0].Order
		if o.Do != c.do || c.why != "" && o.Why != c.why || o.Overdue != c.overdue {
			t.Errorf("%s: %+v", c.name, *o)
		}
	}
}

// What is poured in brings an overdone taste back to its limit by its own curve.
func TestRescueIsNamedWhenItIsOver(t *testing.T) {
	a, w := watchOf(t, 84.5, []float64{12, 24, 36, 48, 60, 72, 84}, []float64{1, 2, 3, 4, 5, 6, 7})
	want := math.Pow(w.BottleNow.Value/4, 1/w.Exponent.Mean) - 1
	if a.Rescue == nil || a.Rescue.Name != "bitter" || math.Abs(a.Rescue.Volumes/want-1) > 0.25 {
		t.Errorf("rescue %+v, about %.2f volumes asked for", a.Rescue, want)
	}
}

// What was stronger before is to be pulled sooner, not dosed higher.
func TestDeclineIsAMatterOfTime(t *testing.T) {
	src := jarOf("name = \"basil\"\namount = \"20 g\"", 6, false, "[[pulled]]\nname = \"basil\"\nat = \"192 h\"\n", map[string][]scored{
		"basil": series("", []float64{6, 12, 24, 48, 96, 144, 192}, []float64{4, 6, 7, 6, 4, 2, 1}),
	})
	a := assessed(t, src, afterHours(200))
	if c := &a.Curves[0]; c.Dose != nil && c.Dose.Factor > 1.25 {
		t.Errorf("a dose of %g times is advised", c.Dose.Factor)
	}
}
