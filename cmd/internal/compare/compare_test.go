package compare

import (
	"fmt"
	"math"
	"slices"
	"steepbook/cmd/internal/steeping"
	"steepbook/kinetics"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/recipe"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
	"steepbook/kinetics/jar"
)

func compared(t testing.TB, now time.Time, sources ...string) *Comparison {
	t.Helper()
	lib := somejar.Library(t)
	var list []Subject
	for _, s := range sources {
		list = append(list, Subject{Batch: somejar.Parse(t, s), Library: lib})
	}
	c, err := Compare(list, now)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func (c *Comparison) row(name string) *Row {
	for i := range c.Rows {
		if c.Rows[i].Name() == name {
			return &c.Rows[i]
		}
	}
	return nil
}

func TestSameBatchTwiceDiffersInNothing(t *testing.T) {
	src := somejar.Told{Scores: somejar.Done(1), Pulled: 192}.Src()
	c := compared(t, somejar.Later, src, src)
	if len(c.Rows) != 0 || len(c.Gaps) != 0 || c.Headline.Kind != HeadSame || c.Alike < 10 {
		t.Errorf("rows %v, gaps %v, headline %s, %d alike", c.Rows, c.Gaps, c.Headline.Kind, c.Alike)
	}
}

func TestDoseIsPerLitreOfBase(t *testing.T) {
	// The same dose in a jar of another size is no change of dose: 20 g in
	// 500 ml and 40 g in 1 l are 40 g/L.
	c := compared(t, somejar.Later, somejar.Told{}.Src(), somejar.Told{Start: "2026-04-02T18:00:00", Ml: 1000, Amount: "40 g"}.Src())
	if r := c.row("test peel, dose"); r != nil {
		t.Errorf("a doubled batch has another dose: %+v", r)
	}
	if c.row("amount of the base") == nil {
		t.Error("the size of the batch is not named")
	}
	c = compared(t, somejar.Later, somejar.Told{}.Src(), somejar.Told{Start: "2026-04-02T18:00:00", Ml: 1000}.Src())
	r := c.row("test peel, dose")
	if r == nil || math.Abs(r.Cells[0].Value-40) > 1e-9 || math.Abs(r.Cells[1].Value-20) > 1e-9 {
		t.Errorf("dose: %+v", r)
	}
}

func TestBatchesStandInOrderOfTheirStart(t *testing.T) {
	first, second := somejar.Told{Name: "First"}.Src(), somejar.Told{Name: "Second", Start: "2026-04-02T18:00:00"}.Src()
	for _, c := range []*Comparison{compared(t, somejar.Later, first, second), compared(t, somejar.Later, second, first)} {
		if c.Batches[0].Batch.Name != "First" || c.Batches[1].Batch.Name != "Second" {
			t.Error("not in order of start")
		}
	}
}

func TestWhatIsNotWrittenIsAGapNotADifference(t *testing.T) {
	c := compared(t, somejar.Later, somejar.Told{More: "lot = \"shop\"\n"}.Src(), somejar.Told{Start: "2026-04-02T18:00:00"}.Src())
	if !slices.Contains(c.Gaps, "test peel, lot") || c.row("test peel, lot") != nil {
		t.Errorf("gaps %v", c.Gaps)
	}
	if slices.Contains(c.changesOn("test peel", 0, 1), "the lot") {
		t.Error("a lot that is not written counts as changed")
	}
}

func TestMatchesByTheLibrarysName(t *testing.T) {
	// The library knows "cardamom" as "green cardamom".
	a := somejar.Told{Botanical: "green cardamom", Cut: "whole"}.Src()
	b := somejar.Told{Botanical: "cardamom", Cut: "whole", Start: "2026-04-02T18:00:00"}.Src()
	c := compared(t, somejar.Later, a, b)
	for _, r := range c.Rows {
		if r.What == "in it" {
			t.Errorf("%s is taken for another botanical", r.About)
		}
	}
}

// A form changed at the same weight is a new dose: guests were poisoned when a
// bar changed bark chips to powder at the same weight in its tonic syrup
// (common practice, no source).
func TestFormChangeAtTheSameWeight(t *testing.T) {
	bark := somejar.Told{Botanical: "test bark", Cut: "chips", Amount: "1 g"}
	for _, c := range []struct {
		name, cut, amount string
		ml                int
		changed, same     bool
	}{
		{"same form", "chips", "1 g", 500, false, false},
		{"other words for it", "Chip", "1 g", 500, false, false},
		{"powder at the same weight", "powder", "1 g", 500, true, true},
		{"powder at the same dose in a larger jarred", "powder", "2 g", 1000, true, true},
		{"powder at a third", "powder", "0.33 g", 500, true, false},
		{"powder at twice the weight", "powder", "2 g", 500, true, false},
		{"a form the library does not know", "shavings", "1 g", 500, true, true},
	} {
		other := bark
		other.Cut, other.Amount, other.Ml, other.Start = c.cut, c.amount, c.ml, "2026-04-02T18:00:00"
		got := compared(t, somejar.Later, bark.Src(), other.Src())
		if (len(got.Forms) == 1) != c.changed {
			t.Errorf("%s: %d form changes", c.name, len(got.Forms))
			continue
		}
		if !c.changed {
			continue
		}
		f := got.Forms[0]
		if f.SameWeight() != c.same {
			t.Errorf("%s: same weight is %v at a ratio of %g", c.name, f.SameWeight(), f.DoseRatio)
		}
		if !slices.Contains(f.Substances, "quinine") {
			t.Errorf("%s: what it holds is not named: %v", c.name, f.Substances)
		}
		if c.cut == "powder" && math.Abs(f.RateRatio-20) > 1e-9 {
			t.Errorf("%s: the rate ratio is %g, want 0.4/0.02", c.name, f.RateRatio)
		}
	}
	// Two forms the library has one set of figures for are still two forms.
	a, b := somejar.Told{Cut: "wide strips"}, somejar.Told{Cut: "narrow strips", Start: "2026-04-02T18:00:00"}
	if got := compared(t, somejar.Later, a.Src(), b.Src()); len(got.Forms) != 1 || got.Forms[0].OneInLibrary != "strips" || got.Forms[0].RateRatio != 0 {
		t.Errorf("wide and narrow strips: %+v", got.Forms)
	}
}

func TestSeveralChangesAtOnceAreNamed(t *testing.T) {
	a := somejar.Told{Scores: somejar.Done(1), Pulled: 192, More: "lot = \"one\"\n"}
	b := somejar.Told{Start: "2026-04-02T18:00:00", Scores: somejar.Done(0.5), Pulled: 192, More: "lot = \"two\"\n", Cut: "zest"}
	c := compared(t, somejar.Later, a.Src(), b.Src())
	if len(c.Mixed) != 1 || !slices.Equal(c.Mixed[0].Changes, []string{"the cut", "the lot"}) {
		t.Errorf("mixed: %+v", c.Mixed)
	}
	if c.Headline.Kind != HeadFlavour || len(c.Headline.Causes) != 2 {
		t.Errorf("headline: %+v", c.Headline)
	}
	b.More = a.More
	if c = compared(t, somejar.Later, a.Src(), b.Src()); len(c.Mixed) != 0 || !slices.Equal(c.Headline.Causes, []string{"the cut"}) {
		t.Errorf("one change: mixed %+v, causes %v", c.Mixed, c.Headline.Causes)
	}
	// A jar still steeping has no time of its own yet.
	b.Pulled, b.Cut = 0, "strips"
	c = compared(t, somejar.Later, a.Src(), b.Src())
	if slices.Contains(c.changesOn("test peel", 0, 1), "the time in the jar") {
		t.Error("a time that is not over counts as changed")
	}
}

func TestHeadlineOfTheKeeping(t *testing.T) {
	weak := "[[addition]]\nname = \"water\"\namount = \"1 l\"\n"
	c := compared(t, somejar.Later, somejar.Told{}.Src(), somejar.Told{Start: "2026-04-02T18:00:00", More: weak}.Src())
	if c.Headline.Kind != HeadKeeping || c.Headline.Row.Cells[0].Where == c.Headline.Row.Cells[1].Where {
		t.Errorf("40 %% against 13 %%: headline %+v", c.Headline)
	}
	c = compared(t, somejar.Later, somejar.Told{}.Src(), somejar.Told{Start: "2026-04-02T18:00:00", More: "[[addition]]\nname = \"water\"\namount = \"80 ml\"\n"}.Src())
	if c.Headline.Kind != HeadFigure || c.Headline.Row.What != "alcohol" {
		t.Errorf("40 %% against 34 %%: headline %+v", c.Headline)
	}
}

// TestHeadlineOfWhatWasSeen: what was noted of one batch alone stands in a row, so the headline may not say
// that nothing can be told apart.
func TestHeadlineOfWhatWasSeen(t *testing.T) {
	src := somejar.Told{Scores: somejar.Done(1), Pulled: 192}.Src()
	c := compared(t, somejar.Later, src, src+"[[noted]]\nwhat = \"a haze\"\nat = \"200 h\"\n")
	if h := c.Headline; h.Kind != HeadSeen || h.Row != c.row(seenRow) {
		t.Errorf("headline %+v", h)
	}
}

func TestHeadlineOfThePace(t *testing.T) {
	slow := somejar.Told{Scores: map[float64]float64{24: 0.5, 72: 1, 240: 3, 480: 5}, Pulled: 480}
	fast := somejar.Told{Cut: "zest", Start: "2026-11-30T12:00:00", Scores: map[float64]float64{4: 3, 8: 4.5, 16: 6, 20: 6.5}, Target: 9}
	c := compared(t, somejar.Later, slow.Src(), fast.Src())
	p := c.Headline.Pace
	if c.Headline.Kind != HeadPace || p == nil || math.Abs(p.Hours-24) > 1e-9 || p.To.Value < p.From.Value+2 {
		t.Errorf("headline %+v, pace %+v", c.Headline, p)
	}
}

func TestOneChangeToTryNext(t *testing.T) {
	first := somejar.Told{Scores: somejar.Done(1), Pulled: 192}.Src()
	next := func(j somejar.Told) NextTime {
		t.Helper()
		j.Start = "2026-04-02T18:00:00"
		return compared(t, somejar.Later, first, j.Src()).Next
	}
	flat := func(at float64) map[float64]float64 {
		return map[float64]float64{12: at * 0.9, 24: at, 48: at, 96: at, 192: at}
	}
	for _, c := range []struct {
		name   string
		jarred somejar.Told
		kind   AdviceKind
		lever  Lever
		why    Because
		more   func(NextTime) bool
	}{
		{"ends too weak", somejar.Told{Cut: "zest", Scores: flat(3), Pulled: 192, Target: 5}, AdviceChange, LeverDose, EndsTooWeak,
			func(a NextTime) bool { return a.Factor > 1.2 && a.Factor <= 2 && a.GramsNext > a.GramsNow }},
		{"far too weak goes by steps", somejar.Told{Cut: "zest", Scores: flat(1), Pulled: 192, Target: 8}, AdviceChange, LeverDose, TooSlow,
			func(a NextTime) bool { return a.Factor == 2 && a.HalfWay }},
		{"pulled too early", somejar.Told{Scores: map[float64]float64{6: 0.5, 12: 1, 24: 2, 36: 2.8, 48: 3.5}, Pulled: 48}, AdviceChange, LeverTime, PulledEarly,
			func(a NextTime) bool { return a.ToH > 60 && a.ToH < 400 && a.FromH == 48 }},
		{"left too long", somejar.Told{Cut: "zest", Scores: map[float64]float64{2: 2, 6: 5, 12: 7, 24: 8.5, 96: 9}, Pulled: 96, Target: 4}, AdviceChange, LeverTime, PulledLate,
			func(a NextTime) bool { return a.ToH > 2 && a.ToH < 8 }},
		{"a little too long, by its order", somejar.Told{Cut: "zest", Scores: map[float64]float64{2: 2.2, 5: 3.2}, Pulled: 8, Target: 3}, AdviceChange, LeverTime, PulledLate,
			func(a NextTime) bool { return a.Have.Low < a.Want && a.ToH > 2 && a.ToH < 6 }},
		{"minutes", somejar.Told{Cut: "zest", Scores: map[float64]float64{0.5: 8, 1: 9, 2: 9, 4: 9, 8: 9}, Pulled: 8, Target: 3}, AdviceChange, LeverDose, TooFast,
			func(a NextTime) bool { return a.Factor < 1 && a.GramsNext < a.GramsNow }},
		{"a watched taste over its limit", somejar.Told{Cut: "zest", Scores: flat(6), Bitter: map[float64]float64{12: 1, 24: 3, 48: 5, 96: 7, 192: 7}, Pulled: 192}, AdviceChange, LeverTime, OverItsLimit,
			func(a NextTime) bool {
				return a.Watch && a.Flavour == "bitter" && slices.Equal(a.Pulled, []string{"test peel"}) && a.ToH < 40
			}},
		{"right", somejar.Told{Scores: somejar.Done(1), Pulled: 192}, AdviceRepeat, "", WithinReach, nil},
		{"not tasted", somejar.Told{Pulled: 192}, AdviceTaste, "", "", nil},
		{"at the end of its dose", somejar.Told{Botanical: "test bark", Cut: "powder", Amount: "1.4 g", Scores: flat(2), Pulled: 192, Target: 6}, AdviceChange, LeverDose, DoseEnds,
			func(a NextTime) bool {
				return math.Abs(a.GramsNext-1.5) < 1e-9 && slices.Contains(a.Substances, "quinine")
			}},
		{"past the end of its dose", somejar.Told{Botanical: "test bark", Cut: "powder", Amount: "2 g", Scores: flat(2), Pulled: 192, Target: 6}, AdviceAccept, LeverDose, DoseEnds,
			func(a NextTime) bool { return a.Factor == 1 }},
	} {
		got := next(c.jarred)
		if got.Kind != c.kind || got.Lever != c.lever || got.Why != c.why || c.more != nil && !c.more(got) {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
	// A steep too slow for its form wants a finer one; still steeping, it wants
	// patience; without a target nothing says which way.
	slow := somejar.Told{Scores: map[float64]float64{12: 0, 25: 0.2, 50: 0.4, 75: 0.6, 100: 0.8}, Pulled: 100, Target: 6, Start: "2026-04-02T18:00:00"}
	if got := compared(t, somejar.Later, first, slow.Src()).Next; got.Lever != LeverCut || got.Cut != "zest" || got.Why != TooSlow {
		t.Errorf("slow: %+v", got)
	}
	young := somejar.Told{Scores: map[float64]float64{6: 1, 12: 2}, Start: "2026-11-30T12:00:00"}
	if got := compared(t, somejar.Later, first, young.Src()).Next; got.Kind != AdviceWait {
		t.Errorf("young: %+v", got)
	}
	bare := strings.ReplaceAll(somejar.Told{Scores: somejar.Done(1), Pulled: 192, Start: "2026-04-02T18:00:00"}.Src(), "target = 6\n", "")
	if got := compared(t, somejar.Later, first, bare).Next; got.Kind != AdviceTarget {
		t.Errorf("no target: %+v", got)
	}
}

// TestDoseAdviceKeepsThePowerLaw: with the advised dose the same curve would
// end at what is wanted, by score = amount^exponent, unless the step is cut.
// What was stronger before is to be pulled sooner, not dosed higher.
func TestAdviceAgainstADecline(t *testing.T) {
	src := "name = \"T\"\nstarted = 2026-06-01T12:00:00\nroom = \"20 C\"\n[spirit]\nname = \"vodka\"\nabv = 40\namount = \"500 ml\"\n" +
		"[[botanical]]\nname = \"basil\"\namount = \"20 g\"\ntarget = 6\n[[pulled]]\nname = \"basil\"\nat = \"192 h\"\n"
	for h, score := range map[int]int{6: 4, 12: 6, 24: 7, 48: 6, 96: 4, 144: 2, 192: 1} {
		src += fmt.Sprintf("[[tasting]]\nat = \"%d h\"\nscore = { basil = %d }\n", h, score)
	}
	ad := compared(t, time.Date(2026, 6, 9, 20, 0, 0, 0, time.UTC), src, src).Next
	if ad.Lever != LeverTime || ad.Why != PulledLate || ad.ToH <= 9 || ad.ToH >= 48 {
		t.Errorf("advice %+v, want the time of the best score", ad)
	}
}

func TestDoseAdviceKeepsThePowerLaw(t *testing.T) {
	lib := somejar.Library(t)
	rapid.Check(t, func(t *rapid.T) {
		score := rapid.Float64Range(1, 9).Draw(t, "score")
		k := &steeping.Curve{JarTarget: rapid.Float64Range(1, 9).Draw(t, "target"), Exponent: kinetics.Normal{Mean: rapid.Float64Range(0.3, 1.3).Draw(t, "exponent")}, Name: "test peel"}
		b, err := batch.Parse("test.toml", []byte(somejar.Told{}.Src()), time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		p, err := recipe.Read(b, lib, math.Inf(1))
		if err != nil {
			t.Fatal(err)
		}
		s := &side{parts: p, baseML: p.BaseML()}
		ad := s.dose(NextTime{}, k, score)
		if ad.Factor < 0.5-1e-12 || ad.Factor > 2+1e-12 {
			t.Fatalf("a step of %g", ad.Factor)
		}
		if math.Abs(ad.GramsNext-20*ad.Factor) > 1e-9 {
			t.Fatalf("%g g for a factor of %g", ad.GramsNext, ad.Factor)
		}
		if reached := score * math.Pow(ad.Factor, k.Exponent.Mean); !ad.HalfWay && math.Abs(reached-k.JarTarget) > 1e-9 {
			t.Fatalf("the advised dose gives %g, want %g", reached, k.JarTarget)
		} else if ad.HalfWay && (reached < k.JarTarget) != (score < k.JarTarget) {
			t.Fatal("half a step overshoots")
		}
	})
}

// The difference of two independent normal figures lies outside its own 90 %
// range when it exceeds 1.6449·√2 SD (quantile of the normal distribution).
func TestApart(t *testing.T) {
	cell := func(v float64) Cell { return Cell{Number: true, Value: v, Low: v - 1.6449, High: v + 1.6449} }
	if apart(cell(5), cell(5+1.6449*math.Sqrt2-0.001)) || !apart(cell(5), cell(5+1.6449*math.Sqrt2+0.001)) {
		t.Error("not at the edge of the 90 % range")
	}
	if apart(cell(5), Cell{Missing: true}) {
		t.Error("a figure is apart from none")
	}
}

// TestCompareHoldsTogether: whatever is compared, no row is printed that is the
// same in all, each has a cell a batch, and no figure is undefined.
func TestCompareHoldsTogether(t *testing.T) {
	lib := somejar.Library(t)
	// A pool of jars, the assessing of which takes most of the time.
	var pool []side
	for i := range 24 {
		j := somejar.Told{
			Name: fmt.Sprintf("Jar %d", i), Start: fmt.Sprintf("2026-%02d-02T18:00:00", 1+i%11), Scores: map[float64]float64{},
			Cut: []string{"strips", "zest", "chunks"}[i%3], Amount: []string{"20 g", "3 tbsp", "0.1 g", "3 pieces"}[i%4],
			Target: 0.5 + float64(i)/3, Pulled: []float64{0, 1, 200}[i/3%3],
		}
		for k, h := range []float64{0.5, 24, 100} {
			if i>>k&1 == 1 {
				j.Scores[h] = math.Mod(float64(7*i+3*k), 10.5)
			}
		}
		if i%2 == 0 {
			j.More = "[[addition]]\nname = \"white sugar\"\namount = \"200 g\"\n"
		}
		if i%5 == 0 {
			j.Ml = 1000
		}
		b := somejar.Parse(t, j.Src())
		a, err := bench.Assess(b, lib, bench.Question{Now: somejar.Later})
		if err != nil {
			t.Fatal(err)
		}
		p, err := recipe.Read(b, lib, math.Inf(1))
		if err != nil {
			t.Fatal(err)
		}
		pool = append(pool, side{a: a, parts: p, baseML: p.BaseML()})
	}
	rapid.Check(t, func(rt *rapid.T) {
		sides := rapid.SliceOfN(rapid.SampledFrom(pool), 2, 5).Draw(rt, "batches")
		n := len(sides)
		c := sideBySide(sides, somejar.Later)
		for _, r := range c.Rows {
			if len(r.Cells) != n {
				rt.Fatalf("%s has %d cells for %d batches", r.Name(), len(r.Cells), n)
			}
			differs := false
			for _, x := range r.Cells {
				differs = differs || !r.same(r.Cells[0], x)
				for _, v := range []float64{x.Value, x.Low, x.High} {
					if math.IsNaN(v) || math.IsInf(v, 0) {
						rt.Fatalf("%s: %+v", r.Name(), x)
					}
				}
			}
			if !differs && !slices.ContainsFunc(r.Cells, func(x Cell) bool { return x.Missing }) {
				rt.Fatalf("%s is the same in all", r.Name())
			}
		}
		if f := c.Next.Factor; f != 0 && (f < 0.5-1e-9 || f > 2+1e-9) || math.IsNaN(c.Next.ToH) || math.IsInf(c.Next.ToH, 0) {
			rt.Fatalf("advice: %+v", c.Next)
		}
		for _, k := range sides[n-1].a.Curves {
			tooStrong := k.Watch && k.Order.Exceeds() && k.BottleNow.Value > k.Limit || k.Order.Why == jar.Over
			if c.Next.Kind == AdviceRepeat && k.Tasted > 0 && tooStrong {
				rt.Fatalf("the %s is too strong by its order, and the same again: %+v", k.Name, c.Next)
			}
		}
		if c.Next.Why == EndsTooWeak && c.Next.Factor < 1 {
			rt.Fatalf("too weak, and less of it: %+v", c.Next)
		}
	})
}
