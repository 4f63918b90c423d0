package secondopinion

import (
	"math"
	"slices"

	"steepbook/kinetics"
	"steepbook/kinetics/jar"
)

// The prices and conventions of the decision, as DEVELOPERS.md tells them.
const (
	sitting, comingBack, perDay = 0.2, 0.05, 0.07
	perLogTime, perPointOver    = 0.05, 2.0
	cannotTell, gettingUp       = 0.25, 1.0
	aMinute                     = 1.0 / 60
)

// A term is one thing that is lost when a group comes out at a time.
type term struct {
	of             *belief
	in, by, weight float64
	wanted         bool
	expected       bool // its mean alone is held to the level
	level, firm    float64
	name           string
	flavour, taste int
	draws          []point
}

// A group is what comes out together.
type group struct {
	members       []int
	terms         []term
	in, now, last float64
	tasted, out   bool
}

// strengthNow is the strength of a point that counts when it comes out at t: what is
// over a target when the question is asked is not believed to fade back.
func (x *term) counts(h int, lk, c, t, now float64) float64 {
	s := x.of.strength(h, lk, c, t-x.in)
	if x.wanted && x.level > 0 && t > now {
		if is := x.of.strength(h, lk, c, now-x.in); is > x.level {
			s = max(s, is)
		}
	}
	return s
}

// bill is what a strength costs, in points² of the bottle; 15 points are the worst.
func (x *term) bill(s, c float64) float64 {
	off := min(x.by*s, 15) - x.by*x.level
	switch {
	case !x.wanted && off <= 0:
		return 0
	case !x.wanted:
		return x.weight * (off*off + x.firm*off)
	case x.level == 0:
		off = (s/c - 0.8) * min(x.by*c, 15)
	}
	return x.weight * off * off
}

// loss is the plain sum over all points.
func (x *term) loss(t, now float64) float64 {
	if x.expected && x.level > 0 {
		off := min(x.by*x.of.mean(t-x.in), 15) - x.by*x.level
		return x.weight * off * off
	}
	sum := 0.0
	for i := range x.of.rays {
		r := &x.of.rays[i]
		g, is := x.of.out(r.form, r.lk, t-x.in), 0.0
		if x.wanted && x.level > 0 && t > now {
			is = x.of.out(r.form, r.lk, now-x.in)
		}
		for j, w := range r.w {
			s := g * r.c[j]
			if b := is * r.c[j]; b > x.level {
				s = max(s, b)
			}
			sum += w * x.bill(s, r.c[j])
		}
	}
	return sum
}

func (g *group) wait(t float64) float64 {
	if g.out || t <= g.now {
		return 0
	}
	return perDay / 24 * (t - g.now)
}

// losses are what is lost at t without the wait, in all and by the wanted alone.
func (g *group) losses(t float64) (all, wanted float64) {
	wanted = perLogTime * math.Log(max(t-g.in, 1.0/3600))
	for i := range g.terms {
		if x := &g.terms[i]; x.wanted {
			wanted += x.loss(t, g.now)
		} else {
			all += x.loss(t, g.now)
		}
	}
	return all + wanted, wanted
}

func (g *group) loss(t float64) float64 { all, _ := g.losses(t); return all }
func (g *group) cost(t float64) float64 { return g.loss(t) + g.wait(t) }

// A course is a group's losses at moments of the jar.
type course struct{ t, all, wanted []float64 }

func (g *group) course(t []float64) course {
	c := course{t: t}
	for _, at := range t {
		all, wanted := g.losses(at)
		c.all, c.wanted = append(c.all, all), append(c.wanted, wanted)
	}
	return c
}

func spaced(lo, hi float64, n int) (out []float64) {
	for i := range n {
		out = append(out, lo*math.Pow(hi/lo, float64(i)/float64(n-1)))
	}
	return out
}

// least is where a loss is least: on the course, then on ever closer points about it.
func least(t []float64, in float64, f func(t float64) float64) (at, loss float64) {
	loss = math.Inf(1)
	best := 0
	for i, x := range t {
		if v := f(x); v < loss {
			at, loss, best = x, v, i
		}
	}
	lo, hi := t[max(best-1, 0)]-in, t[min(best+1, len(t)-1)]-in
	for _, own := range spaced(max(lo, 1.0/3600), max(hi, 1.0/3600), 18) {
		if v := f(in + own); v < loss {
			at, loss = in+own, v
		}
	}
	return at, loss
}

// A plan is what the decision is made of.
type plan struct {
	whole               course
	best, least         float64
	from, until         float64
	now, wait, waitLoss float64
	since, ready, end   float64 // by the group's clock
	looks               []float64
}

const often = 60 // points of each course

// looksAt are the candidates for a tasting, by the jar's clock.
func (g *group) looksAt(since, after, ready float64) (out []float64) {
	end := max(3*since, 1.6*ready)
	for at := since * 1.03; len(out) < 3 || at < end; at *= 1.03 {
		if at > 3*since {
			at *= 1.12
		}
		if at >= after+aMinute {
			out = append(out, g.in+at)
		}
	}
	return out
}

func (g *group) plan() (p plan) {
	own := max(g.now-g.in, aMinute)
	p.since = own
	if g.last-g.in > aMinute {
		p.since = min(own, g.last-g.in)
	}
	quick, slow := own, 0.0
	for i := range g.terms {
		if x := &g.terms[i]; x.wanted {
			q := x.of.rates()
			quick, slow = min(quick, 0.01*math.Exp(-q[2])), max(slow, x.in-g.in+40*math.Exp(-q[1]))
			p.ready = max(p.ready, x.in-g.in+x.of.readyIn(x.level, 0.5))
		}
	}
	p.looks = g.looksAt(p.since, own, p.ready)
	end := p.looks[len(p.looks)-1] - g.in
	p.end = end
	t := spaced(max(min(quick, own), aMinute), own, often)
	t = append(t, spaced(own*1.001, max(slow, 8*p.since, end)*1.25, often)...)
	for i := range t {
		t[i] += g.in
	}
	p.whole = g.course(t)
	known := map[float64]float64{}
	for i, x := range t {
		known[x] = p.whole.all[i] + g.wait(x)
	}
	cost := func(t float64) float64 {
		if v, ok := known[t]; ok {
			return v
		}
		return g.cost(t)
	}
	p.now = p.whole.all[often-1]
	p.best, p.least = least(t, g.in, cost)
	if p.wait, p.waitLoss = p.best, p.least; p.best < g.in+own {
		p.wait, p.waitLoss = least(t[often-1:], g.in, cost)
	}
	limit := p.least - g.wait(p.best) + cannotTell
	p.from, p.until = t[0], math.Inf(1)
	for i, x := range t {
		if x < p.best && p.whole.all[i] > limit {
			p.from = (x + t[i+1]) / 2
		}
		if x > p.best && p.whole.all[i] > limit {
			p.until = (x + t[i-1]) / 2
			break
		}
	}
	return p
}

// byDay moves a moment of the night to before or after it, unless it is worth a point; price is
// what it costs to get up for it, and spared how much less the best of them loses without it.
func byDay(awake func(float64) (float64, float64), at, since float64,
	losses func(t []float64) []float64) (to, price, spared float64) {
	if awake == nil || at <= since {
		return at, 0, 0
	}
	before, after := awake(at)
	if before == after {
		return at, 0, 0
	}
	t := []float64{at, after}
	if before > since+aMinute {
		t = []float64{before, at, after}
	}
	l := losses(t)
	free := slices.Min(l)
	l[len(t)-2] += gettingUp
	if to = t[slices.Index(l, slices.Min(l))]; to == at {
		price = gettingUp
	}
	return to, price, slices.Min(l) - free
}

// An opinion is an order, and what each of the three choices costs.
type opinion struct {
	do                             jar.Do
	why                            jar.Why
	blame                          string
	by, tasteAt, from, best, until float64
	overdue, night                 bool

	p, told           plan
	g, toldBy         *group
	out, later, taste float64
	first             bool
	soonest           float64 // before which nothing is told of what nobody tasted
}

// tell finds what is told of a group: of what nobody tasted where its mean is right.
func (o *opinion) tell(own []wantedOpinion) {
	o.told, o.toldBy = o.p, o.g
	if !o.g.tasted {
		by := *o.g
		by.terms = slices.Clone(by.terms)
		for i := range by.terms {
			if x := &by.terms[i]; x.wanted {
				x.of, x.expected = own[x.flavour].belief, true
			}
		}
		o.told, o.toldBy, o.soonest = by.plan(), &by, math.Inf(1)
		for _, x := range by.terms {
			if x.wanted {
				o.soonest = min(o.soonest, x.in+own[x.flavour].makersTime/20)
			}
		}
	}
	o.from, o.best, o.until = o.told.from, o.told.best, o.told.until
}

// firstLook is when a flavour of a group nobody has tasted is tasted first, by day as it was
// when the group began.
func (g *group) firstLook(j *jar.Jar, i int, own []wantedOpinion) float64 {
	f := &j.Flavours[i]
	t := max(own[i].belief.readyIn(f.Target/own[i].factor, 0.06), own[i].makersTime/20)
	if f.FirstH > 0 {
		t = min(t, f.FirstH)
	}
	to, _, _ := byDay(j.Awake, f.InH+t, f.InH, func(t []float64) []float64 {
		then := *g
		then.now = g.in
		p := then.plan()
		all := slices.Concat(p.looks, p.far(p.looks[len(p.looks)-1]))
		return then.afterLook(t, slices.DeleteFunc(all, func(x float64) bool { return x <= t[len(t)-1] }))
	})
	return to
}

// decide is the order for a group.
func (g *group) decide(j *jar.Jar, own []wantedOpinion) opinion {
	p := g.plan()
	o := opinion{p: p, g: g, by: math.Inf(1), tasteAt: math.Inf(1)}
	o.tell(own)
	o.why, o.blame = g.because(&p, own)
	if !g.tasted && !(g.spoilt(o.blame) && p.now <= p.waitLoss) {
		o.first, o.do, o.why, o.blame = true, jar.Taste, jar.Untasted, ""
		return o
	}
	by, up, saved := byDay(j.Awake, p.wait, max(g.now, g.in), func(t []float64) (l []float64) {
		for _, x := range t {
			l = append(l, g.cost(x))
		}
		return l
	})
	if by != p.wait {
		p.wait, p.waitLoss = by, g.cost(by)
	}
	p.waitLoss += up
	var look, spared float64
	look, o.taste, spared = g.look(&p, j.Awake)
	o.p, o.out, o.later = p, p.now, p.waitLoss+comingBack
	o.taste += sitting
	if look > g.now {
		o.taste += comingBack
	}
	switch {
	case o.out <= o.taste && o.out <= o.later:
		o.do, o.by = jar.Pull, g.now
		o.night = o.out > min(o.taste-spared, o.later-saved)
	case o.later <= o.taste && p.wait <= g.in+p.end:
		o.do, o.by = jar.Leave, p.wait
	default:
		o.do, o.tasteAt = jar.Taste, look
	}
	due := o.do == jar.Pull || o.do == jar.Taste && o.tasteAt <= g.now
	o.overdue = due && p.best < g.now && p.now > p.least+1
	return o
}

// reason is why a flavour comes out whose strength ends its steep: 85 % of it is as strong
// as wanted, one jar in four with half a point to come is not as strong as it gets, and one that is short
// even when best could pass it.
func (w *wantedOpinion) reason(f *jar.Flavour, own float64, o *opinion) jar.Why {
	const half = 0.5
	now := w.factor * w.mean(own)
	if f.Target > 0 && now > 0.85*f.Target {
		if o.overdue && now > f.Target {
			return jar.Over
		}
		return jar.Enough
	}
	chance := 0.0
	for i := range w.rays {
		r := &w.rays[i]
		most := w.out(r.form, r.lk, math.Inf(1))
		for t := max(own, aMinute); t < 16*max(own, aMinute); t *= 1.05 {
			most = max(most, w.out(r.form, r.lk, t))
		}
		most -= w.out(r.form, r.lk, own)
		for k, weight := range r.w {
			if w.factor*most*r.c[k] > half {
				chance += weight
			}
		}
	}
	switch {
	case o.night:
		return jar.Sleep
	case chance <= 0.25:
		return jar.AllThere
	case f.Target > 0 && w.never <= 0.5 && w.factor*w.mean(own+max(o.best-o.g.now, 0)) < 0.85*f.Target:
		return jar.Passes
	}
	return jar.Little
}

// spoilt: a taste that was scored ends it, and is likelier over its limit than not.
func (g *group) spoilt(blame string) bool {
	for i := range g.terms {
		if x := &g.terms[i]; !x.wanted && x.taste >= 0 && x.name == blame && x.of.scored > 0 &&
			x.weight*x.of.chance(x.level, g.now-x.in) > 0.5 {
			return true
		}
	}
	return false
}

// because is what ends the steep.
func (g *group) because(p *plan, own []wantedOpinion) (jar.Why, string) {
	lead := &g.terms[0]
	for i := range g.terms {
		if x := &g.terms[i]; x.wanted && x.loss(p.best, g.now) > lead.loss(p.best, g.now) {
			lead = x
		}
	}
	if p.best < g.now && lead.by*(lead.of.mean(p.best-lead.in)-lead.of.mean(g.now-lead.in)) > 0.5 {
		return jar.Fades, ""
	}
	alone, _ := least(p.whole.t, g.in, func(t float64) float64 {
		if i := slices.Index(p.whole.t, t); i >= 0 {
			return p.whole.wanted[i] + g.wait(t)
		}
		_, wanted := g.losses(t)
		return wanted + g.wait(t)
	})
	if p.best-g.in < 0.8*(alone-g.in) {
		blame, most := "", 0.0
		for i := range g.terms {
			if x := &g.terms[i]; !x.wanted {
				if l := x.loss(alone, g.now); l > most {
					blame, most = x.name, l
				}
			}
		}
		if blame != "" {
			return jar.Spoils, blame
		}
	}
	if own[lead.flavour].never > 0.5 || lead.level == 0 {
		return jar.AllThere, ""
	}
	return jar.Enough, ""
}

// wantedOpinion is what is believed of a wanted flavour.
type wantedOpinion struct {
	*belief
	usual                         *belief
	factor, never, over, lastTime float64
	newest                        []float64 // the scores at the last time, in the bottle
	again                         bool      // at once after those before
	makersTime                    float64   // of its own clock
	tasted                        int
	crossing                      []float64
}

func power(share float64, n kinetics.Normal) float64 {
	if share <= 0 || share >= 1 {
		return 1
	}
	return math.Pow(share, n.Mean)
}
