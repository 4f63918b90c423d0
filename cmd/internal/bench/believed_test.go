package bench

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"steepbook/data/library"
	"steepbook/kinetics"
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

func bottleOfSample(t testing.TB, sample string, scores ...float64) *Curve {
	t.Helper()
	hours := []float64{2, 6, 12, 24, 36, 48}[6-len(scores):]
	a := assessed(t, jarOf(wormwood, 4, true, "", map[string][]scored{"wormwood": series(sample, hours, scores)}), afterHours(48))
	return &a.Curves[0]
}

// What a sample at bottle strength scores is the bottle's score: no exponent
// and no belief about the jar stands between.
func TestSampleAtBottleStrengthIsBelieved(t *testing.T) {
	c := bottleOfSample(t, "1:2", 7, 7, 7, 7, 7, 7)
	// The mean of six scores with a noise of 1.3 is known to 0.53.
	if math.Abs(c.BottleNow.Value-7) > 0.53 {
		t.Errorf("six sevens at bottle strength: the bottle is read as %.1f", c.BottleNow.Value)
	}
	if half := (c.BottleNow.High - c.BottleNow.Low) / 2; half > 1.645*0.53*1.3 {
		t.Errorf("six sevens at bottle strength leave ± %.1f", half)
	}
	if c.Window.Never > 0.01 {
		t.Errorf("%.0f %% chance never to reach 4 after six sevens", 100*c.Window.Never)
	}
	if a, b := c.JarNow.Value, kinetics.Undiluted(c.BottleNow.Value, c.Share, c.Exponent); math.Abs(a-b) > 1e-6 {
		t.Errorf("jar %.3f, bottle carried to the jar %.3f", a, b)
	}
}

func TestThinnerSamplesMeanAStrongerBottle(t *testing.T) {
	for _, scores := range [][]float64{{4, 5, 6}, {1, 2, 2}, {3, 4, 6}, {5, 5, 5}} {
		last := 0.0
		for _, sample := range []string{"1:1", "1:2", "1:4", "1:9"} {
			now := bottleOfSample(t, sample, scores...).BottleNow.Value
			if now <= last {
				t.Errorf("scores %v at %s: bottle %.2f, no more than %.2f in the thicker sample before", scores, sample, now, last)
			}
			last = now
		}
	}
}

func TestThinSampleOverTheTarget(t *testing.T) {
	src := jarOf("name = \"gentian\"\namount = \"5 g\"", 4, true, "", map[string][]scored{"gentian": {{24, "1:9", 3}, {48, "1:9", 5}, {72, "1:4", 7}}})
	c := &assessed(t, src, afterHours(72.5)).Curves[0]
	if c.BottleNow.Low < 5 {
		t.Errorf("a sample 3.3 times thinner than the bottle scored 5, the bottle is read as %.1f (%.1f-%.1f)", c.BottleNow.Value, c.BottleNow.Low, c.BottleNow.High)
	}
}

// A sample of the jar as it is, is read as before: the tastings as they stand.
func TestNeatSamplesAreTakenAsTheyAre(t *testing.T) {
	for _, thinned := range []bool{false, true} {
		src := jarOf(wormwood, 4, thinned, "", map[string][]scored{"wormwood": series("", []float64{6, 12, 24}, []float64{2, 3, 5})})
		c := &assessed(t, src, afterHours(25)).Curves[0]
		post, err := c.Prior.Posterior([]kinetics.Tasting{{Hours: 6, Score: 2}, {Hours: 12, Score: 3}, {Hours: 24, Score: 5}})
		if err != nil {
			t.Fatal(err)
		}
		if got, want := c.JarNow.Value, post.Strength(25).Median; math.Abs(got-want) > 1e-9 {
			t.Errorf("thinned %v: jar %.6f, the plain curve gives %.6f", thinned, got, want)
		}
	}
	usual := library.Number{Value: 4}
	for _, share := range []float64{1, 0.7, 0.4} {
		p := plateauPrior(share, 0.9, 4, usual, false)
		if p.Mean > topScore {
			t.Errorf("share %g: a plateau of %.1f is beyond the scale of the jar", share, p.Mean)
		}
		q := plateauPrior(share, 0.9, 4, usual, true)
		if b := kinetics.Diluted(q.Mean, share, 0.9); math.Abs(b-7) > 1e-9 {
			t.Errorf("share %g: the usual dose ends at %.2f in the bottle, not 7", share, b)
		}
	}
}

const (
	zest  = "name = \"orange zest\"\ncut = \"strips\"\namount = \"20 g\""
	watch = "[[watch]]\nname = \"bitter\"\nlimit = 4\n"
)

func watchOf(t testing.TB, now float64, hours, scores []float64) (a *Assessment, w *Curve) {
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
		if r := w.Posterior.Reading(w.JarH); r.P95 < score || w.BottleNow.Value < score-1 || w.BottleNow.Value > score+1 {
			t.Errorf("%v: read as %.1f (%.1f-%.1f) at a score of %g", c.scores, w.BottleNow.Value, w.BottleNow.Low, w.BottleNow.High, score)
		}
		if w.Window.Never != 0 {
			t.Errorf("%v: %.0f %% chance never to reach its limit", c.scores, 100*w.Window.Never)
		}
		if w.Tasted != len(c.scores) {
			t.Errorf("%v: %d scores counted", c.scores, w.Tasted)
		}
	}
	_, w := watchOf(t, 37, []float64{12, 24, 36}, []float64{1, 2, 3})
	if math.Abs(w.InH+w.LineH-48) > 1e-9 {
		t.Errorf("1, 2, 3 at 12, 24, 36 h point to 4 at 48 h, not %g", w.InH+w.LineH)
	}
}

func TestLimitNeverBesideNever(t *testing.T) {
	for _, scores := range [][]float64{{0}, {4}, {5, 1}, {8, 2, 1}, {0, 4}, {4, 4, 4, 3}, {6, 0, 0}, {0, 0, 0, 5}, {1, 1, 1}, {0, 3, 0, 4}, {3, 5, 4, 3, 3}, {7, 0, 7}} {
		var hours []float64
		for i := range scores {
			hours = append(hours, 12*float64(i+1))
		}
		a, w := watchOf(t, hours[len(hours)-1]+1, hours, scores)
		if w.AtLimit() && w.Window.Never > 0 {
			t.Errorf("%v: at its limit, and %.0f %% never", scores, 100*w.Window.Never)
		}
		if w.Reached && (!a.Curves[0].Overdue || a.Curves[0].Window.LimitedBy != kinetics.ByWatch) {
			t.Errorf("%v: the limit is reached and the botanical that brings it stays in", scores)
		}
	}
}

func TestLimitEndsAPastPlateau(t *testing.T) {
	src := strings.Replace(jarOf("name = \"black tea\"\namount = \"2 g\"", 8, false, "[[watch]]\nname = \"bitter\"\nlimit = 2\nfrom = [\"black tea\"]\n", map[string][]scored{
		"black tea": series("", []float64{2, 3.5, 6}, []float64{4, 6, 8}), "bitter": series("", []float64{2, 3.5, 6}, []float64{0, 1, 3}),
	}), "500 ml", "355 ml", 1)
	c := &assessed(t, src, afterHours(6)).Curves[0]
	if !c.Overdue || c.Window.LimitedBy != kinetics.ByWatch || c.Window.Watch != "bitter" {
		t.Errorf("the bitter is at its limit: overdue %v, limited by %q %q", c.Overdue, c.Window.LimitedBy, c.Window.Watch)
	}
}

func TestDeclineGivesNoDose(t *testing.T) {
	hours, scores := []float64{6, 12, 24, 48, 96, 144, 192}, []float64{4, 6, 7, 6, 4, 2, 1}
	a := assessed(t, jarOf("name = \"basil\"\namount = \"20 g\"", 6, false, "", map[string][]scored{"basil": series("", hours, scores)}), afterHours(193))
	c := &a.Curves[0]
	switch {
	case !c.Declined():
		t.Fatal("the decline is not seen")
	case c.Dose != nil:
		t.Errorf("a dose of %g times is advised from a curve that does not fit", c.Dose.Factor)
	case c.Window.Never != 0:
		t.Errorf("%.0f %% chance never to reach what was reached", 100*c.Window.Never)
	case c.PeakH() <= 12 || c.PeakH() >= 48:
		t.Errorf("best after %g h, the highest score was at 24", c.PeakH())
	case !c.Overdue || c.Window.LimitedBy != kinetics.ByDecline:
		t.Errorf("overdue %v, limited by %q", c.Overdue, c.Window.LimitedBy)
	case c.JarNow.Value != 1:
		t.Errorf("the jar is read as %g, the last score is 1", c.JarNow.Value)
	}
	// Scores that reached the target ask for no higher dose, decline or not.
	for n := 3; n < len(hours); n++ {
		a := assessed(t, jarOf("name = \"basil\"\namount = \"20 g\"", 6, false, "", map[string][]scored{"basil": series("", hours[:n], scores[:n])}), afterHours(hours[n-1]+1))
		if c := &a.Curves[0]; c.Dose != nil && c.Dose.Factor > 1 || c.Window.Never != 0 {
			t.Errorf("after %v: dose %+v, never %g", scores[:n], c.Dose, c.Window.Never)
		}
	}
}

func TestStraightRiseHasNoEnd(t *testing.T) {
	for _, scores := range [][]float64{{1, 2, 3}, {1, 2, 4}, {2, 3, 4}, {0.5, 1, 2}} {
		a := assessed(t, jarOf(zest, 9, false, "", map[string][]scored{"orange zest": series("", []float64{1, 2, 4}, scores)}), afterHours(4))
		c := &a.Curves[0]
		if c.State != kinetics.StraightRise {
			continue
		}
		if c.Window.LimitedBy == kinetics.ByPlateau || c.Window.Never != 0 {
			t.Errorf("%v: a straight rise with an end: %q, never %g", scores, c.Window.LimitedBy, c.Window.Never)
		}
	}
}

func TestAtTheStrengthWanted(t *testing.T) {
	src := jarOf("name = \"jalapeno\"\namount = \"4 pieces\"", 5, false, "", map[string][]scored{"jalapeno": series("", []float64{10. / 60, 14. / 60, 18. / 60}, []float64{2, 4, 5})})
	src = strings.NewReplacer("500 ml", "750 ml", "at = \"0.16666666666666666 h\"", "at = \"10 min\"", "at = \"0.23333333333333334 h\"", "at = \"14 min\"", "at = \"0.3 h\"", "at = \"18 min\"").Replace(src)
	c := &assessed(t, src, afterHours(0.3)).Curves[0]
	if !c.Enough || c.Window.Best > 0.3+1e-9 {
		t.Errorf("5 of 5 wanted: enough %v, pull after %g h", c.Enough, c.Window.Best)
	}
	if c.NextH == nil || math.Abs(*c.NextH-20./60) > 1e-6 {
		t.Errorf("two scores four minutes apart ask for the next in two, not %v", c.NextH)
	}
}

func TestNothingHasCome(t *testing.T) {
	hours := []float64{6, 12, 24, 72}
	clove := "name = \"clove\"\namount = \"1 g\"\nbought = 2026-05-20"
	c := &assessed(t, jarOf(clove, 4, false, "", map[string][]scored{"clove": series("", hours, make([]float64, 4))}), afterHours(72)).Curves[0]
	if !c.Silent() || c.Overdue || c.Dose != nil || c.Window.LimitedBy == kinetics.ByPlateau {
		t.Errorf("silent %v, overdue %v, dose %v, limited by %q", c.Silent(), c.Overdue, c.Dose, c.Window.LimitedBy)
	}
	c = &assessed(t, jarOf(clove, 4, false, "", map[string][]scored{"clove": series("", hours, []float64{0, 0, 0, 2})}), afterHours(72)).Curves[0]
	if c.Silent() {
		t.Error("a score of 2 is something")
	}
}

// What is poured in to bring a watched taste back is no less than its last score
// asks for.
func TestRescueFollowsTheLastScore(t *testing.T) {
	a, w := watchOf(t, 84.5, []float64{12, 24, 36, 48, 60, 72, 84}, []float64{1, 2, 3, 4, 5, 6, 7})
	least := math.Pow(7./4, 1/w.Exponent) - 1
	if a.Rescue == nil || a.Rescue.Name != "bitter" || a.Rescue.Volumes < least-1e-9 || a.Rescue.HighVolumes < a.Rescue.Volumes {
		t.Errorf("rescue %+v, the last score asks for %.2f volumes", a.Rescue, least)
	}
}

// What was stronger before is to be pulled sooner, not dosed higher.
func TestDeclineIsAMatterOfTime(t *testing.T) {
	src := jarOf("name = \"basil\"\namount = \"20 g\"", 6, false, "[[pulled]]\nname = \"basil\"\nat = \"192 h\"\n", map[string][]scored{
		"basil": series("", []float64{6, 12, 24, 48, 96, 144, 192}, []float64{4, 6, 7, 6, 4, 2, 1}),
	})
	b := parse(t, src)
	p, err := resolve(b, testLibrary(t))
	if err != nil {
		t.Fatal(err)
	}
	s := &side{a: assessed(t, src, afterHours(200)), parts: p, baseML: p.baseML()}
	ad := s.change(&s.a.Curves[0])
	if ad.Lever != LeverTime || ad.Why != PulledLate || ad.ToH <= 12 || ad.ToH >= 48 {
		t.Errorf("advice %+v, want the time of the best score", ad)
	}
}

func TestOverTheStrengthWanted(t *testing.T) {
	for last, overdue := range map[float64]bool{6: false, 7: false, 8: true, 9: true} {
		c := &assessed(t, jarOf(zest, 6, false, "", map[string][]scored{"orange zest": series("", []float64{3, 6, 12}, []float64{2, 3, last})}), afterHours(12)).Curves[0]
		if c.Overdue != overdue || c.Window.Never != 0 {
			t.Errorf("2, 3, %g of 6 wanted: overdue %v, never %g", last, c.Overdue, c.Window.Never)
		}
	}
}
