package bench

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"steepbook/cmd/internal/steeping"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"steepbook/cmd/internal/somejar"
	"steepbook/data/library"
	"steepbook/kinetics/jar"
)

// someJars calls f with n random batches, always the same, or forty times as
// many.
func someJars(n uint64, f func(j *somejar.Jar)) {
	for i := range somejar.Many(n) {
		f(somejar.New(i))
	}
}

// steeped is the steep of a batch file at its moment: an assessment without the
// judgement of how the bottle keeps.
func steeped(t testing.TB, j *somejar.Jar) *Assessment { return steepedText(t, j, j.String()) }

func steepedText(t testing.TB, j *somejar.Jar, src string) *Assessment {
	t.Helper()
	a, err := Read(somejar.Parse(t, src), library.Builtin(), Question{Now: somejar.Time(j.Now)})
	if err == nil {
		err = a.Steep()
	}
	if err != nil {
		t.Fatalf("%v\n%s", err, src)
	}
	return a
}

// ownBest is the best time of a flavour by its own clock, hours.
func ownBest(c *steeping.Curve) float64 { return c.Order.BestH - c.InH }

func near(a, b, share float64) bool {
	return a == b || math.Abs(a-b) <= share*math.Max(math.Abs(a), math.Abs(b))
}

// Every figure of an order is a number, and +Inf only where the order says so.
func TestOrdersAreSound(t *testing.T) {
	someJars(20, func(j *somejar.Jar) {
		a := steeped(t, j)
		joint := math.Inf(1)
		for i := range a.Curves {
			c := &a.Curves[i]
			bad := func(format string, args ...any) {
				t.Errorf("%s: %s: %s: %+v\n%s", j.Name, c.Name, fmt.Sprintf(format, args...), c.Order, j)
			}
			o := &c.Order
			sound(bad, c, a)
			if c.Watch {
				continue
			}
			if o.Do == jar.Taste {
				joint = math.Min(joint, o.TasteH)
			}
			if !(o.BestH >= o.FromH && o.BestH <= o.UntilH) {
				bad("best is not between from and until")
			}
			switch o.Do {
			case jar.Leave:
				if !(o.ByH >= a.ElapsedH) || math.IsInf(o.ByH, 1) || !math.IsInf(o.TasteH, 1) {
					bad("leave until when?")
				}
			case jar.Taste:
				if !(o.TasteH >= a.ElapsedH) || math.IsInf(o.TasteH, 1) || !math.IsInf(o.ByH, 1) {
					bad("taste when?")
				}
			case jar.Pull, jar.Strain:
				if o.ByH != a.ElapsedH || !math.IsInf(o.TasteH, 1) {
					bad("pull when?")
				}
			case jar.Out, jar.Stays, jar.Nothing:
				if !math.IsInf(o.ByH, 1) || !math.IsInf(o.TasteH, 1) {
					bad("when?")
				}
			default:
				bad("no order")
			}
			if (o.Do == jar.Out) != (c.OutH != nil) || (o.Do == jar.Stays) != (c.OutH == nil && c.Botanical.LeaveIn) {
				bad("out at %v, stays %v", c.OutH, c.Botanical.LeaveIn)
			}
			if o.Overdue && o.Do != jar.Pull && o.Do != jar.Strain && !(o.Do == jar.Taste && o.TasteH == a.ElapsedH) {
				bad("overdue")
			}
			if (o.Why == jar.Spoils) != (o.Blame != "") {
				bad("blame")
			}
			if (o.Do == jar.Taste) != (o.TasteWhy != "") {
				bad("a tasting without a reason, or a reason without one")
			}
			if o.Do != jar.Out && o.Do != jar.Stays && (o.Why == jar.Untasted) != (c.Tasted == 0) &&
				o.Why != jar.Spoils && o.Why != jar.Unsafe && !dustIn(j, c) {
				bad("tasted %d times", c.Tasted)
			}
		}
		if a.NextH != joint {
			t.Errorf("%s: the jar is tasted at %g, its flavours ask for %g\n%s", j.Name, a.NextH, joint, j)
		}
	})
}

// dustIn reports whether a flavour may share its order with another.
func dustIn(j *somejar.Jar, c *steeping.Curve) bool {
	for _, b := range j.Botanicals {
		if b.Name == c.Name {
			return b.Dust && !b.Bag
		}
	}
	return false
}

// sound holds the figures of a flavour that every view prints.
func sound(bad func(string, ...any), c *steeping.Curve, a *Assessment) {
	o := &c.Order
	for name, v := range map[string]float64{
		"now": c.JarNow.Value, "low": c.JarNow.Low, "high": c.JarNow.High, "bottle": c.BottleNow.Value, "bottle low": c.BottleNow.Low,
		"bottle high": c.BottleNow.High, "never": o.Never, "over": o.Over, "jar target": c.JarTarget, "share": c.Share,
	} {
		if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
			bad("%s is %g", name, v)
		}
	}
	if o.Never > 1 || o.Over > 1+1e-9 {
		bad("a chance above 1")
	}
	for name, v := range map[string]float64{
		"by": o.ByH, "from": o.FromH, "best": o.BestH, "until": o.UntilH, "taste": o.TasteH, "crossing": o.Crossing.Median, "early crossing": o.Crossing.P05, "late crossing": o.Crossing.P95,
	} {
		if math.IsNaN(v) || v < 0 {
			bad("%s is %g", name, v)
		}
	}
	if x := &o.Crossing; x.P05 > x.P10 || x.P10 > x.P25 || x.P25 > x.Median || x.Median > x.P75 || x.P75 > x.P90 || x.P90 > x.P95 {
		bad("quantiles out of order: %+v", x)
	}
	if c.JarNow.Low > c.JarNow.High || c.BottleNow.Low > c.BottleNow.High {
		bad("ends out of order: %+v, %+v", c.JarNow, c.BottleNow)
	}
	if d := c.Dose; d != nil && !(d.Factor > 0 && d.Factor < 1000 && d.Low <= d.Factor && d.Factor <= d.High) {
		bad("dose %+v", d)
	}
	if r := a.Rescue; r != nil && r.Practical && !(r.Volumes > 0 && r.Volumes <= 5) {
		bad("rescue %+v", r)
	}
}

// pullTime is when a flavour comes out if nothing more is learned, by its own
// clock: now at the earliest.
func pullTime(a *Assessment, c *steeping.Curve) float64 {
	switch o := &c.Order; o.Do {
	case jar.Leave:
		return o.ByH - c.InH
	case jar.Taste:
		return math.Max(o.BestH, a.ElapsedH) - c.InH
	}
	return a.ElapsedH - c.InH
}

// A lower last score is no reason to take it out sooner, as long as it does not
// say that the flavour has faded or stands still: it stays above the highest
// score before it, and a strength is wanted that it has not passed.
func TestLowerScoreNotSooner(t *testing.T) {
	var moves []float64
	someJars(14, func(j *somejar.Jar) {
		whole := sync.OnceValue(func() *Assessment { return steeped(t, j) })
		for _, b := range j.Botanicals {
			at, k, ok := j.Last(b.Name)
			if !ok || b.Target < 0 {
				continue
			}
			before := 0.0
			for _, x := range j.Tastings[:at] {
				for _, s := range x.Scores {
					if s.Name == b.Name {
						before = math.Max(before, s.Value)
					}
				}
			}
			score := j.Tastings[at].Scores[k].Value
			for _, by := range []float64{0.5, 2} {
				if score-by < before {
					continue
				}
				lower := j.Copy()
				lower.Tastings[at].Scores[k].Value = score - by
				is := steeped(t, lower)
				c, d := curveOf(whole(), b.Name), curveOf(is, b.Name)
				if c.OutH != nil || c.Botanical.LeaveIn {
					continue
				}
				move := pullTime(is, d) / pullTime(whole(), c)
				moves = append(moves, move)
				if move < 0.95 {
					t.Errorf("%s: %s %g instead of %g: out after %.3g h instead of %.3g h: %+v\nwas %+v\n%s", j.Name, b.Name, score-by, score, pullTime(is, d), pullTime(whole(), c), d.Order, c.Order, j)
				}
			}
		}
	})
	t.Logf("%d lower scores; the time to pull times %s", len(moves), spreadOf(moves))
}

func curveOf(a *Assessment, name string) *steeping.Curve {
	return &a.Curves[slices.IndexFunc(a.Curves, func(c steeping.Curve) bool { return c.Name == name })]
}

// spreadOf tells a distribution in words.
func spreadOf(v []float64) string {
	if len(v) == 0 {
		return "none"
	}
	v = slices.Sorted(slices.Values(v))
	q := func(p float64) float64 { return v[int(p*float64(len(v)-1)+0.5)] }
	return fmt.Sprintf("least %.3g, 5 %% %.3g, 50 %% %.3g, 95 %% %.3g, 99 %% %.3g, most %.3g", v[0], q(0.05), q(0.5), q(0.95), q(0.99), v[len(v)-1])
}

// A tenth of a point more or less, in a score, a target or a limit, moves the
// best time by at most a fifth, or to where no taster could tell the difference;
// by a twentieth in the middle of all cases.
func TestATenthMovesLittle(t *testing.T) {
	moves := map[string][]float64{}
	var all, ahead []float64
	far := 0
	someJars(9, func(j *somejar.Jar) {
		was := steeped(t, j)
		for _, move := range tenths(j) {
			k := j.Copy()
			move.do(k)
			is := steeped(t, k)
			for i := range was.Curves {
				c, d := &was.Curves[i], &is.Curves[i]
				if c.Watch || math.IsInf(c.Order.BestH, 1) {
					continue
				}
				by := math.Abs(math.Log(ownBest(d) / ownBest(c)))
				if math.IsNaN(by) {
					t.Fatalf("%s: %s: %g and %g\n%s", j.Name, c.Name, ownBest(c), ownBest(d), j)
				}
				if move.about == c.Name || by > 0 && move.about == "harsh" {
					moves[move.what], all = append(moves[move.what], by), append(all, by)
					if c.OutH == nil && c.Order.BestH > was.ElapsedH {
						ahead = append(ahead, by)
					}
				}
				if by <= math.Log(1.2) || math.Abs(ownBest(d)-ownBest(c)) < 1.0/60 { // nobody pulls by the second
					continue
				}
				far++
				alike := func(x, y *jar.Order) bool { return x.BestH >= y.FromH && x.BestH <= y.UntilH }
				if !alike(&c.Order, &d.Order) || !alike(&d.Order, &c.Order) {
					t.Errorf("%s: %s (%s) moves the %s from %.3g h to %.3g h: %+v\nto %+v\n%s", j.Name, move.what, move.about, c.Name, ownBest(c), ownBest(d), c.Order, d.Order, j)
				} else {
					t.Logf("%s: %s (%s) moves the %s from %.3g h to %.3g h, within %.3g to %.3g h", j.Name, move.what, move.about, c.Name, ownBest(c), ownBest(d), c.Order.FromH-c.InH, c.Order.UntilH-c.InH)
				}
			}
		}
	})
	for _, what := range slices.Sorted(maps.Keys(moves)) {
		t.Logf("a tenth of %s: %d times, the log of the best time by %s", what, len(moves[what]), spreadOf(moves[what]))
	}
	t.Logf("where the best time lies ahead: %d times, %s", len(ahead), spreadOf(ahead))
	t.Logf("in all: %s; %d of %d by more than a fifth", spreadOf(all), far, len(all))
	slices.Sort(all)
	if middle := all[len(all)/2]; middle > math.Log(1.05) || far > len(all)/20 {
		t.Errorf("half of the moves are above %.3f, %d of %d above a fifth", middle, far, len(all))
	}
}

// tenth is one change of a tenth of a point.
type tenth struct {
	about, what string
	do          func(j *somejar.Jar)
}

// tenths are those of the last score, the target and the limit of one batch, up
// or down.
func tenths(j *somejar.Jar) []tenth {
	up := func(v float64) float64 {
		if v >= 5 {
			return v - 0.1
		}
		return v + 0.1
	}
	var out []tenth
	for i, b := range j.Botanicals {
		if at, k, ok := j.Last(b.Name); ok {
			out = append(out, tenth{b.Name, "its last score", func(j *somejar.Jar) { v := &j.Tastings[at].Scores[k].Value; *v = up(*v) }})
			if b.Target > 0 {
				out = append(out, tenth{b.Name, "its target", func(j *somejar.Jar) { v := &j.Botanicals[i].Target; *v = up(*v) }})
			}
		}
	}
	for i, w := range j.Watches {
		if at, k, ok := j.Last(w.Name); ok {
			out = append(out, tenth{w.Name, "a score of an unwanted taste", func(j *somejar.Jar) { v := &j.Tastings[at].Scores[k].Value; *v = up(*v) }},
				tenth{w.Name, "its limit", func(j *somejar.Jar) { v := &j.Watches[i].Limit; *v = up(*v) }})
		}
	}
	return out
}

// A botanical that has nothing to do with another changes nothing of its order. What nobody knows may be food, though:
// in a jar that holds nothing back it has the hours of that, and the jar no more.
func TestStrangersChangeNothing(t *testing.T) {
	someJars(10, func(j *somejar.Jar) {
		if len(j.Watches) > 0 && len(j.Watches[0].From) == 0 {
			return // any may bring that
		}
		k := j.Copy()
		// So little that it keeps no liquor worth naming and brings no water.
		k.Botanicals = append(k.Botanicals, somejar.Botanical{Name: "stranger", Cut: "whole", Grams: 1e-4, Target: 5})
		if n := len(k.Tastings); n > 0 {
			k.Tastings[n-1].Scores = append(k.Tastings[n-1].Scores, somejar.Score{Name: "stranger", Value: 7})
		}
		was, is := steeped(t, j), steeped(t, k)
		if weak := is.weakSteep(); weak != nil && slices.Contains(weak.names, "stranger") {
			return
		}
		for i := range j.Botanicals {
			sameOrder(t, j, &was.Curves[i], curveOf(is, was.Curves[i].Name), 1e-3)
		}
	})
}

// sameOrder holds two orders of one flavour to be the same within a share; what
// comes out alone or with all the rest is the same act.
func sameOrder(t *testing.T, j *somejar.Jar, was, is *steeping.Curve, share float64) {
	t.Helper()
	a, b := was.Order, is.Order
	act := func(o jar.Order) jar.Do {
		if o.Do == jar.Strain {
			return jar.Pull
		}
		return o.Do
	}
	if act(a) != act(b) || a.Why != b.Why || a.Blame != b.Blame || !near(a.ByH, b.ByH, share) || !near(a.BestH, b.BestH, share) ||
		!near(a.FromH, b.FromH, share) || !near(a.UntilH, b.UntilH, share) || !near(a.TasteH, b.TasteH, share) || !near(a.Crossing.Median, b.Crossing.Median, share) ||
		math.Abs(a.Over-b.Over) > share || math.Abs(a.Never-b.Never) > share || !near(was.JarNow.Value, is.JarNow.Value, share) {
		t.Errorf("%s: %s: %+v (%.4g now)\nwas %+v (%.4g now)\n%s", j.Name, was.Name, b, is.JarNow.Value, a, was.JarNow.Value, j)
	}
	// One jar in hundreds stands within rounding of being overdue.
	if n := held.Add(1); a.Overdue != b.Overdue && onEdge.Add(1) > 1+n/200 {
		t.Errorf("%s: %s: overdue %v, was %v\n%s", j.Name, was.Name, b.Overdue, a.Overdue, j)
	}
}

// held and onEdge count the orders that sameOrder has seen, and those of them that
// differ in being overdue.
var held, onEdge atomic.Int64

// The order of the tables, the unit of time and that of the dose do not matter.
func TestHowItIsWrittenDoesNotMatter(t *testing.T) {
	someJars(4, func(j *somejar.Jar) {
		was := steeped(t, j)
		r := rand.New(rand.NewPCG(1, uint64(j.Now)))
		tables := j.Tables()
		r.Shuffle(len(tables), func(a, b int) { tables[a], tables[b] = tables[b], tables[a] })
		minutes, clock, kilograms := j.Copy(), j.Copy(), j.Copy()
		minutes.Clock, clock.Clock, kilograms.Kilograms = somejar.InMinutes, somejar.ByTheClock, true
		for _, src := range []string{j.Head() + strings.Join(tables, ""), minutes.String(), clock.String(), kilograms.String()} {
			is := steepedText(t, j, src)
			for i := range was.Curves {
				sameOrder(t, j, &was.Curves[i], curveOf(is, was.Curves[i].Name), 1e-6)
			}
		}
	})
}

// What is pulled, pressed or added later does not change the jar now.
func TestLaterDoesNotChangeNow(t *testing.T) {
	someJars(6, func(j *somejar.Jar) {
		was := steeped(t, j)
		pulled, added, pressed := j.Copy(), j.Copy(), j.Copy()
		for _, b := range j.Botanicals {
			if !slices.ContainsFunc(j.Pulls, func(p somejar.Pull) bool { return p.Name == b.Name }) {
				pulled.Pulls = append(pulled.Pulls, somejar.Pull{Name: b.Name, At: max(j.Now, b.In) + 60})
			}
		}
		added.Additions = append(added.Additions, somejar.Addition{Name: "water", Amount: "1 l"}, somejar.Addition{Name: "lime juice", Amount: "100 ml"})
		pressed.Press = !j.Press
		for _, k := range []*somejar.Jar{pulled, added, pressed} {
			is := steeped(t, k)
			for i := range was.Curves {
				if a, b := was.Curves[i].JarNow, is.Curves[i].JarNow; !near(a.Value, b.Value, 1e-9) || !near(a.Low, b.Low, 1e-9) || !near(a.High, b.High, 1e-9) {
					t.Errorf("%s: %s: %+v now, was %+v\n%s", j.Name, was.Curves[i].Name, b, a, k)
				}
			}
		}
	})
}
