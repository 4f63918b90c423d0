package jar

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"

	"gonum.org/v1/gonum/stat"
)

var (
	long      = flag.Bool("long", false, "run the simulations at full length")
	perClass  = flag.Int("per-class", 120, "simulated makers a class, at full length")
	makersSet = flag.Uint64("makers", 1, "which set of simulated makers to draw")
)

// adviser is one way to decide; it sees only what a maker would see.
type adviser interface {
	// advise is asked at hours now with every score so far. It gives for every
	// flavour the time to take it out (now or before: at once; later: then, untasted;
	// +Inf: not before the next tasting; of no meaning once it is out), and the time
	// of the next tasting (+Inf: none), hours since the start.
	advise(j *simJar, scores []simScore, now float64) (pullAt []float64, taste float64)
}

// crosser is an adviser that also gives the 90 % range of the time at which
// flavour i first reaches its target (hours since the start, +Inf for never) and
// the probability of never.
type crosser interface {
	crossing(j *simJar, scores []simScore, now float64, i int) (p05, p95, never float64)
}

// scoreReaches takes a flavour out when its last score is at the target.
type scoreReaches struct{}

func (scoreReaches) advise(j *simJar, scores []simScore, now float64) ([]float64, float64) {
	return reached(j, scores, now), doubling(j, scores)
}

// straightLine tastes where the line through the last two scores meets the target,
// if that is sooner, and takes the flavour out when its score is there. Taking it out
// at that time whatever it scores does clearly worse.
type straightLine struct{}

func (straightLine) advise(j *simJar, scores []simScore, now float64) ([]float64, float64) {
	taste := doubling(j, scores)
	for i, f := range j.flavours {
		s := scoresOf(scores, false, i)
		if n := len(s); f.inJar(now) && n > 1 && s[n-1].value > s[n-2].value && s[n-1].value < f.target {
			slope := (s[n-1].value - s[n-2].value) / (s[n-1].hours - s[n-2].hours)
			if at := s[n-1].hours + (f.target-s[n-1].value)/slope; at > now {
				taste = math.Min(taste, at)
			}
		}
	}
	return reached(j, scores, now), taste
}

// reached gives now for every flavour whose last score is at the target, or that an
// unwanted taste at its limit may come from, and +Inf for the others.
func reached(j *simJar, scores []simScore, now float64) []float64 {
	pull := make([]float64, len(j.flavours))
	for i, f := range j.flavours {
		pull[i] = math.Inf(1)
		if s := scoresOf(scores, false, i); len(s) > 0 && s[len(s)-1].value >= f.target {
			pull[i] = now
		}
		for u, w := range j.unwanted {
			s := scoresOf(scores, true, u)
			if f.inJar(now) && len(s) > 0 && s[len(s)-1].value >= w.limit && (len(w.from) == 0 || slices.Contains(w.from, i)) {
				pull[i] = now
			}
		}
	}
	return pull
}

// doubling is the next tasting of the rules of thumb: every flavour is due at an
// eighth of its usual time and then when its age at the last tasting has doubled.
func doubling(j *simJar, scores []simScore) float64 {
	last, next := 0.0, math.Inf(1)
	if len(scores) > 0 {
		last = scores[len(scores)-1].hours
	}
	for _, f := range j.flavours {
		if math.IsInf(f.out, 1) {
			next = math.Min(next, f.in+math.Max(f.usual()/8, 2*(last-f.in)))
		}
	}
	return next
}

func scoresOf(scores []simScore, unwanted bool, of int) (found []simScore) {
	for _, s := range scores {
		if s.unwanted == unwanted && s.of == of {
			found = append(found, s)
		}
	}
	return found
}

// simRun is how one maker fared with one adviser.
type simRun struct{ regret, sittings float64 }

const maxSittings = 20

// run follows the adviser until every flavour is out. What is due untasted at the
// time of a sitting comes out before it; after the last sitting nothing is tasted.
func (m *simMaker) run(a adviser) simRun {
	j := m.jar
	j.flavours = slices.Clone(m.jar.flavours)
	luck := rand.New(rand.NewPCG(m.seed, 2))
	var scores []simScore
	now, sittings, sat := 0.0, 0, -1.0
	for j.left() {
		pull, taste := j.ask(a, scores, now)
		if sittings == maxSittings {
			taste = math.Inf(1)
		}
		next := math.Min(taste, j.takeOut(pull, now))
		if !j.left() {
			break
		}
		if next < now || next == sat {
			panic(fmt.Sprintf("%T, asked at %g h, wants the next tasting at %g h: it must be later", a, now, taste))
		}
		now = next
		j.takeOut(pull, now)
		if now == taste && j.left() {
			scores = append(scores, m.taste(&j, now, sittings, luck)...)
			sittings++
			sat = now
		}
	}
	sum := 0.0
	for i, f := range j.flavours {
		sum += math.Max(0, m.loss(i, f.out)-m.least[i])
	}
	return simRun{sum / float64(len(j.flavours)), float64(sittings)}
}

// ask gives the adviser's times to take out, no later than the horizon, and the next tasting.
func (j *simJar) ask(a adviser, scores []simScore, now float64) (pull []float64, taste float64) {
	pull, taste = a.advise(j, scores, now)
	for i, f := range j.flavours {
		if math.IsNaN(pull[i]) {
			panic(fmt.Sprintf("%T, asked at %g h, wants flavour %d out at NaN", a, now, i))
		}
		pull[i] = math.Max(f.in, math.Min(pull[i], f.horizon()))
	}
	return pull, taste
}

// takeOut takes out what is due by now and gives the time of what is due next.
func (j *simJar) takeOut(pull []float64, now float64) (next float64) {
	next = math.Inf(1)
	for i := range j.flavours {
		if f := &j.flavours[i]; math.IsInf(f.out, 1) && pull[i] <= now {
			f.out = now
		} else if math.IsInf(f.out, 1) {
			next = math.Min(next, pull[i])
		}
	}
	return next
}

// left says whether anything is still to come out.
func (j *simJar) left() bool {
	return slices.ContainsFunc(j.flavours, func(f simFlavour) bool { return math.IsInf(f.out, 1) })
}

// simCover counts what became of the 90 % ranges of the crossing time.
type simCover struct{ asked, early, late, saidNever, never float64 }

// cover asks for the ranges after the second, third and fourth tasting at doubling times.
func (m *simMaker) cover(c crosser) (got simCover) {
	j, luck := m.jar, rand.New(rand.NewPCG(m.seed, 3))
	var scores []simScore
	for n := range 4 {
		now := doubling(&j, scores)
		scores = append(scores, m.taste(&j, now, n, luck)...)
		for i, f := range j.flavours {
			if n == 0 || !f.inJar(now) {
				continue
			}
			p05, p95, never := c.crossing(&j, scores, now, i)
			truth := m.crossing(i)
			got.asked++
			got.saidNever += never
			if math.IsInf(truth, 1) {
				got.never++
			}
			if truth < p05 {
				got.early++
			} else if truth > p95 {
				got.late++
			}
		}
	}
	return got
}

func (c simCover) plus(d simCover) simCover {
	return simCover{c.asked + d.asked, c.early + d.early, c.late + d.late, c.saidNever + d.saidNever, c.never + d.never}
}

// held is the share of ranges that hold the truth, percent.
func (c simCover) held() float64 { return 100 - 100*(c.early+c.late)/c.asked }

// simOutcome is one maker with the adviser (0) and the two rules of thumb (1, 2).
type simOutcome struct {
	flavours int
	runs     [3]simRun
	cover    simCover
}

// simulate runs n makers of the class on two cores.
func simulate(c simClass, class, n int) []simOutcome {
	out := make([]simOutcome, n)
	var wait sync.WaitGroup
	for half := range 2 {
		wait.Go(func() {
			for k := half; k < n; k += 2 {
				m := newMaker(c, *makersSet<<32|uint64(class)<<16|uint64(k))
				a := newAdviser()
				out[k] = simOutcome{flavours: len(m.flavours), runs: [3]simRun{m.run(a), m.run(scoreReaches{}), m.run(straightLine{})}}
				if c, ok := a.(crosser); ok {
					out[k].cover = m.cover(c)
				}
			}
		})
	}
	wait.Wait()
	return out
}

// simLine is a line of the table: means over makers of regret (points^2), bad runs
// (regret above 4, percent) and sittings, by adviser and rules; and the mean
// difference of adviser and better rule with the half width of its paired 90 % interval.
type simLine struct {
	name                  string
	makers                int
	regret, bad, sittings [3]float64
	better                int // the rule with the smaller mean regret
	difference, half      float64
	cover                 simCover
}

func newLine(name string, outs []simOutcome) simLine {
	l := simLine{name: name, makers: len(outs), better: 1}
	n := float64(len(outs))
	for _, o := range outs {
		for a, r := range o.runs {
			l.regret[a] += r.regret / n
			l.sittings[a] += r.sittings / n
			if r.regret > 4 {
				l.bad[a] += 100 / n
			}
		}
		l.cover = l.cover.plus(o.cover)
	}
	if l.regret[2] < l.regret[1] {
		l.better = 2
	}
	var d []float64
	for _, o := range outs {
		d = append(d, o.runs[0].regret-o.runs[l.better].regret)
	}
	mean, sd := stat.MeanStdDev(d, nil)
	l.difference, l.half = mean, 1.645*sd/math.Sqrt(n)
	return l
}

// ratio is the adviser's mean regret over the better rule's.
func (l simLine) ratio() float64 { return l.regret[0] / l.regret[l.better] }

func (l simLine) String() string {
	r, b, s := l.regret, l.bad, l.sittings
	text := fmt.Sprintf("| %s | %d | %.2f | %.2f | %.2f | %+.2f (%+.2f to %+.2f) | %.2f | %.0f / %.0f / %.0f | %.1f / %.1f / %.1f |",
		l.name, l.makers, r[0], r[1], r[2], l.difference, l.difference-l.half, l.difference+l.half, l.ratio(),
		b[0], b[1], b[2], s[0], s[1], s[2])
	if c := l.cover; c.asked > 0 {
		text += fmt.Sprintf(" %.0f | %.1f / %.1f | %.0f / %.0f |", c.held(), 100*c.early/c.asked, 100*c.late/c.asked, 100*c.saidNever/c.asked, 100*c.never/c.asked)
	}
	return text
}

const simHead = `
Regret is points^2 a flavour above the least possible within eight usual times; three figures are the adviser, "score reaches the target" and "straight line and taste". Difference to the better rule with its paired 90 % interval; range is the 90 % range of the crossing time.

| makers | n | adviser | score | line | difference | ratio | regret > 4, % | tastings | range holds, % | crossed before / after it, % | never said / seen, % |
|---|---|---|---|---|---|---|---|---|---|---|---|
`

// demand is one thing the adviser has to reach.
type demand struct {
	text string
	met  bool
}

func demands(classes []simLine, all, one simLine) []demand {
	ds := []demand{
		{fmt.Sprintf("all makers: %.2f of the better rule's regret (wanted: at most 0.45)", all.ratio()), all.ratio() <= 0.45},
		{fmt.Sprintf("one botanical: %.2f of the better rule's regret (at most 0.50)", one.ratio()), one.ratio() <= 0.5},
		{fmt.Sprintf("tastings: %.2f against the better rule's %.2f (no more)", all.sittings[0], all.sittings[all.better]), all.sittings[0] <= all.sittings[all.better]},
	}
	var worse, short []string
	for _, l := range classes {
		if l.difference-l.half > 0 {
			worse = append(worse, l.name)
		}
		wanted := 86.0
		if strings.HasPrefix(l.name, "tiring") {
			wanted = 80
		}
		if l.cover.held() < wanted {
			short = append(short, l.name)
		}
	}
	ds = append(ds, demand{fmt.Sprintf("worse than the better rule beyond the interval: %d classes %v (none)", len(worse), worse), len(worse) == 0})
	if c := all.cover; c.asked > 0 {
		early := 100 * c.early / c.asked
		ds = append(ds,
			demand{fmt.Sprintf("range holds less than 86 %% (a tiring tongue 80): %d classes %v (none)", len(short), short), len(short) == 0},
			demand{fmt.Sprintf("crossed before the range: %.1f %% (3 to 7)", early), early >= 3 && early <= 7})
	}
	return ds
}

// TestRegret judges the adviser on simulated makers. With -long it demands
// everything; the short version holds only that nothing is clearly broken.
func TestRegret(t *testing.T) {
	makers := 1
	if *long {
		makers = *perClass
	}
	var lines []simLine
	var all, one []simOutcome
	for k, c := range simClasses() {
		outs := simulate(c, k, makers)
		lines = append(lines, newLine(c.name, outs))
		for _, o := range outs {
			all = append(all, o)
			if o.flavours == 1 {
				one = append(one, o)
			}
		}
	}
	overall, single := newLine("**all**", all), newLine("**all with one botanical**", one)
	var table strings.Builder
	table.WriteString(simHead)
	for _, l := range append(slices.Clone(lines), overall, single) {
		fmt.Fprintln(&table, l)
	}
	table.WriteString("\n")
	for _, d := range demands(lines, overall, single) {
		fmt.Fprintf(&table, "* %s: %s\n", d.text, map[bool]string{true: "met", false: "NOT MET"}[d.met])
		if *long && !d.met {
			t.Errorf("%s", d.text)
		}
	}
	t.Log(table.String())
	if overall.difference-overall.half > 0 {
		t.Errorf("regret %.2f, worse than the better rule's %.2f", overall.regret[0], overall.regret[overall.better])
	}
	if c := overall.cover; c.asked > 0 && c.held() < 78 {
		t.Errorf("the 90 %% range of the crossing time holds %.0f %%", c.held())
	}
}

// allKnowing takes every flavour out at its best time.
type allKnowing struct{ m *simMaker }

func (a allKnowing) advise(j *simJar, _ []simScore, _ float64) ([]float64, float64) {
	pull := make([]float64, len(j.flavours))
	for i := range pull {
		pull[i], _ = a.m.best(i)
	}
	return pull, math.Inf(1)
}

// TestRegretOfKnowing holds the loop itself: who knows the truth has no regret and
// tastes nothing.
func TestRegretOfKnowing(t *testing.T) {
	for k, c := range simClasses() {
		for s := range uint64(5) {
			m := newMaker(c, uint64(k)<<16|s)
			if r := m.run(allKnowing{m}); r.sittings != 0 || r.regret > 1e-9 {
				t.Errorf("%s, maker %d: regret %g after %g sittings, want none", c.name, s, r.regret, r.sittings)
			}
		}
	}
}
