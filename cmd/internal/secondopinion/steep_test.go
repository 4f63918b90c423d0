// Package secondopinion works out once more, written differently and from the model as it
// is told, what the engine answers: beliefs and orders of random jars, what is in random
// blends, how long random bottles keep, and the dates of random lives. It holds tests
// alone. The ordinary run looks at a few; the tag secondopinion at as many as the table in
// DEVELOPERS.md tells, some half an hour:
//
//	go test -tags secondopinion -timeout 3h -v ./cmd/internal/secondopinion
package secondopinion

import (
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"steepbook/kinetics"
	"steepbook/kinetics/jar"
)

// A gap is how far two opinions on one kind of figure lie apart, over all that was
// looked at.
type gap struct {
	name, unit string
	most       float64 // that is allowed
	seen       []float64
	worst      string
}

// gaps are gathered from several goroutines.
type gaps struct {
	sync.Mutex
	list []*gap
}

// add keeps one difference; most is what is allowed.
func (g *gaps) add(name, unit string, most, off float64, where string, args ...any) {
	g.Lock()
	defer g.Unlock()
	i := slices.IndexFunc(g.list, func(x *gap) bool { return x.name == name })
	if i < 0 {
		i, g.list = len(g.list), append(g.list, &gap{name: name, unit: unit, most: most})
	}
	x := g.list[i]
	if off = math.Abs(off); len(x.seen) == 0 || !(off <= slices.Max(x.seen)) {
		x.worst = fmt.Sprintf(where, args...)
	}
	x.seen = append(x.seen, off)
}

// tell prints the table and holds every figure to what is allowed.
func (g *gaps) tell(t *testing.T) {
	for _, x := range g.list {
		slices.Sort(x.seen)
		n := len(x.seen)
		t.Logf("| %s | %d | %.2g | %.2g | %.2g | %.2g %s | %s", x.name, n, x.seen[n/2], x.seen[n*99/100],
			x.seen[n-1], x.most,
			x.unit, x.worst)
		if !(x.seen[n-1] <= x.most) {
			t.Errorf("%s: %.3g %s apart, %.3g allowed: %s", x.name, x.seen[n-1], x.unit, x.most, x.worst)
		}
	}
}

// each calls f with 0 to n-1 on all processors.
func each(n int, f func(i int)) {
	var wait sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := range next {
				f(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wait.Wait()
}

// TestSteep holds the beliefs and the orders of random jars to a second opinion: a
// dense heap of points for every belief, plain sums for every loss, plain draws for
// what a tasting may find.
func TestSteep(t *testing.T) {
	var g gaps
	var lines []string
	same, other := 0, 0
	each(jars, func(i int) {
		j, now := someJar(uint64(i))
		engine, err := j.At(now)
		if err != nil {
			t.Errorf("jar %d: %v", i, err)
			return
		}
		second := read(j, now)
		for k := range second.wanted {
			w, b := &second.wanted[k], &engine.Wanted[k]
			where := fmt.Sprintf("jar %d, %s", i, j.Flavours[k].Name)
			g.belief(where, w.belief, b.Posterior, b.Factor, math.Min(now,
				j.Flavours[k].OutH)-j.Flavours[k].InH)
			o := &engine.Orders[k]
			g.add("chance of never", "", 0.04, o.Never-w.never, "%s: %.3f, %.3f", where, o.Never, w.never)
			g.add("chance of over", "", 0.04, o.Over-w.over, "%s: %.3f, %.3f", where, o.Over, w.over)
			g.crossing(where, w.usual, &j.Flavours[k], w.factor, &o.Crossing)
		}
		for k := range second.suspects {
			for n := range second.suspects[k] {
				s, e := &second.suspects[k][n], &engine.Unwanted[k].Sources[n]
				where := fmt.Sprintf("jar %d, %s of %s", i, j.Unwanted[k].Name, j.Flavours[s.flavour].Name)
				g.belief(where, s.belief, e.Posterior, engine.Unwanted[k].Factor, math.Min(now, s.out)-s.in)
				g.add("chance of a source", "", 0.02, s.p-e.Probability, "%s", where)
			}
		}
		for k := range second.orders {
			where := fmt.Sprintf("jar %d, %s", i, j.Flavours[k].Name)
			said := g.order(where, &j, &second.orders[k], &engine.Orders[k])
			g.Lock()
			if said == "" {
				same++
			} else {
				other++
				lines = append(lines, said)
			}
			g.Unlock()
		}
	})
	g.tell(t)
	t.Logf("%d orders the same, %d others\n%s", same, other, strings.Join(lines, "\n"))
}

// belief holds what is believed of one flavour to the second opinion; by carries a
// neat strength to the bottle, own is its clock now.
func (g *gaps) belief(where string, b *belief, p *kinetics.Posterior, by, own float64) {
	lk, c := p.LogRate(), p.Plateau()
	who := ""
	if len(b.gain) > 1 {
		who = ", several tasters"
	}
	g.add("mean of ln k"+who, "of its SD", 0.1, (b.meanLK-lk.Mean)/b.sdLK, "%s: %.3f, %.3f", where,
		lk.Mean, b.meanLK)
	g.add("SD of ln k"+who, "of itself", 0.05, lk.SD/b.sdLK-1, "%s", where)
	for i, q := range b.rates() {
		g.add("ranges of ln k"+who, "of its SD", 0.2, ([]float64{lk.P05, lk.Median, lk.P95}[i]-q)/b.sdLK,
			"%s, %d", where, i)
	}
	for i, q := range b.plateaus() {
		g.add("ranges of the end"+who, "of its SD", 0.3, ([]float64{c.P05, c.Median, c.P95}[i]-q)/c.SD,
			"%s, %d: %.3g, %.3g",
			where, i, []float64{c.P05, c.Median, c.P95}[i], q)
	}
	g.add("mean of the end"+who, "of its SD", 0.15, (c.Mean-b.meanC)/c.SD, "%s", where)
	noise, _ := p.Noise()
	g.add("noise of a score"+who, "points", 0.05, noise-b.noise, "%s", where)
	g.add("ln of the evidence"+who, "", 0.2, p.LogEvidence()-b.evidence, "%s: %.3f, %.3f", where,
		p.LogEvidence(), b.evidence)
	for _, s := range p.Shapes() {
		g.add("weight of a shape"+who, "", 0.03, s.Weight-b.formWeight(s.Name), "%s, %s", where, s.Name)
	}
	if own > 0 {
		q, mean := b.strengths(own)
		s := p.Strength(own)
		g.add("mean strength now"+who, "points in the bottle", 0.1, by*(s.Mean-mean), "%s", where)
		for i, v := range q {
			g.add("ranges of the strength now"+who, "points in the bottle", 0.6, by*([]float64{s.P05,
				s.Median, s.P95}[i]-v), "%s, %d",
				where, i)
		}
	}
}

// crossing holds the times of a wait to the chances that the second opinion gives them.
func (g *gaps) crossing(where string, b *belief, f *jar.Flavour, factor float64, w *kinetics.Wait) {
	ms := b.crossings(f.Target/factor, 0)
	if f.Target == 0 {
		ms = b.crossings(0, 0.8)
	}
	var all float64
	for _, m := range ms {
		if !math.IsInf(m.v, 1) {
			all += m.w
		}
	}
	for i, t := range []float64{w.P05, w.P10, w.P25, w.Median, w.P75, w.P90, w.P95} {
		q, by := quantileAt[i], 0.0
		if math.IsInf(t, 1) {
			q, by = min(q, all), all
		} else {
			for _, m := range ms {
				if m.v <= math.Log(t-f.InH) {
					by += m.w
				}
			}
			if t == f.InH { // washed off at once in so many
				q = max(q, by)
			}
		}
		who := ""
		if len(b.gain) > 1 {
			who = ", several tasters"
		}
		g.add("chance by a time of a range"+who, "", 0.05, q-by, "%s, %d: at %.4g h %.4f", where, i,
			t-f.InH, by)
	}
}

// order holds an order to the second opinion, and says where it is another: what is lost
// by it, by the second opinion's own reckoning.
func (g *gaps) order(where string, j *jar.Jar, o *opinion, e *jar.Order) string {
	best := func(t float64) float64 { return o.toldBy.cost(t) - o.told.least }
	if past := 1.02 * o.soonest; e.BestH > past || o.best > past {
		g.add("loss by its best time", "points²", 0.05, max(best(e.BestH), 0), "%s: %.4g, %.4g h", where,
			e.BestH, o.best)
	}
	if (j.Awake == nil || o.g.out) && o.best > 1.02*o.soonest {
		limit := o.told.least - o.g.wait(o.told.best) + cannotTell
		if start := o.told.whole.t[0] - o.g.in; e.FromH-o.g.in > 2*start && e.FromH > 1.02*o.soonest {
			g.add("loss at the ends of its stretch", "points²", 0.2, o.toldBy.loss(e.FromH)-limit,
				"%s: from %.4g, %.4g h", where,
				e.FromH-o.g.in, o.from-o.g.in)
		}
		if !math.IsInf(e.UntilH, 1) {
			g.add("loss at the ends of its stretch", "points²", 0.2, o.toldBy.loss(e.UntilH)-limit,
				"%s: until %.4g, %.4g h", where,
				e.UntilH-o.g.in, o.until-o.g.in)
		}
	}
	if o.do == jar.Out || o.do == jar.Stays {
		if e.Do != o.do {
			return fmt.Sprintf("%s: %s, not %s", where, e.Do, o.do)
		}
		return ""
	}
	if o.first && e.Do == jar.Taste && e.TasteWhy == jar.FirstLook {
		g.add("first look", "of its time", 0.4, math.Log((e.TasteH-o.g.in+aMinute)/(o.tasteAt-o.g.in+aMinute)),
			"%s: %.4g, %.4g h", where,
			e.TasteH-o.g.in, o.tasteAt-o.g.in)
		return ""
	}
	worth := func(do jar.Do, by, taste float64) float64 {
		switch do {
		case jar.Pull, jar.Strain:
			return o.p.now
		case jar.Leave:
			return o.g.cost(by) + comingBack
		case jar.Taste:
			_, l := o.g.lookAt(&o.p, max(taste, o.g.now))
			if l += sitting; taste > o.g.now {
				l += comingBack
			}
			return l
		}
		return 0
	}
	lost := worth(e.Do, e.ByH, e.TasteH) - worth(o.do, o.by, o.tasteAt)
	g.add("loss by its order", "points²", 0.7, max(lost, 0), "%s: %s by %.4g or %.4g, %s by %.4g or %.4g",
		where, e.Do, e.ByH,
		e.TasteH, o.do, o.by, o.tasteAt)
	if e.Do == o.do && e.Why == o.why && e.Blame == o.blame && e.Overdue == o.overdue {
		return ""
	}
	return fmt.Sprintf("%s: %s %s %s %v, not %s %s %s %v; %.4f points² worse (out %.3f, later %.3f, taste %.3f)",
		where, e.Do, e.Why, e.Blame, e.Overdue, o.do, o.why, o.blame, o.overdue, lost, o.out, o.later, o.taste)
}
