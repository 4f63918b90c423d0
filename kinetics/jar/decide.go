package jar

import (
	"cmp"
	"math"
	"slices"

	"steepbook/kinetics"
)

// SittingCost is what a tasting costs, in points² of the bottle: below it another
// look is not worth the walk. Set by simulated makers.
const SittingCost = 0.2

const (
	// timePrice is what waiting e times as long has to bring, in points²: it
	// ends a steep that hardly gains any more, and moves no other. Judgement.
	timePrice = 0.05
	// overPrice is what a point over a limit costs besides its square, in points:
	// a limit means "not more than this", and at it a tenth more weighs as much as
	// a tenth of the wanted that is still a point short. Judgement, held by simulated
	// makers.
	overPrice = 2.0
	// comingBack is what it costs to come back to the jar instead of taking it out
	// while one is there, and dayPrice what each day until then does, in points²: a
	// far target is no reason to wait a month for the next point. Judgement, held by
	// simulated makers.
	comingBack = 0.05
	dayPrice   = 0.07
	// untold is the loss that no taster could tell: half a point, squared.
	untold = 0.25
	// overdueLoss is how much worse than its best a flavour is when it is said
	// to be overdue: a point, squared. Judgement.
	overdueLoss = 1.0
	// nightPrice is what getting up at night costs, in points²: a whole point off.
	// Judgement.
	nightPrice = 1.0
	// firstLook is the share of jars that are ready at the first tasting. Set by
	// simulated makers: at a tenth those ten times as fast as usual are past it.
	firstLook = 0.06
	// soonest is the share of the makers' time before which nothing is told of what nobody
	// has tasted, however much of it there is: a dose is a guess at a strength, and nothing
	// steeps by the minute that they leave for a day. Judgement, held by simulated makers.
	soonest = 1.0 / 20
	// faultNoticed is the strength at which makers report a fault ("clear").
	faultNoticed = 2.0
	minute       = 1.0 / 60
	second       = minute / 60
)

// decider finds the orders of one reading.
type decider struct {
	Jar
	*Reading
	now float64
}

func (d *decider) decide() error {
	d.Orders = make([]Order, len(d.Flavours)+len(d.Jar.Unwanted))
	err := each(len(d.Flavours), func(i int) error {
		d.Orders[i] = d.standing(i)
		if do := d.Orders[i].Do; (do == Out || do == Stays) && !d.Flavours[i].Banned {
			return d.hindsight(i)
		}
		return nil
	})
	if err != nil {
		return err
	}
	units, err := d.units()
	if err != nil {
		return err
	}
	// What was tasted longest ago takes longest, for what was best then is asked first.
	slices.SortStableFunc(units, func(a, b *unit) int { return cmp.Compare(a.last, b.last) })
	each(len(units), func(i int) error {
		defer units[i].done()
		d.order(units[i])
		return nil
	})
	d.withinLast()
	d.strainTogether()
	for i := range d.Flavours {
		if o := &d.Orders[i]; o.Do == Taste {
			d.NextH = min(d.NextH, o.TasteH)
		}
	}
	for i := range d.Jar.Unwanted {
		d.Orders[len(d.Flavours)+i] = d.unwantedOrder(i)
	}
	return nil
}

// standing is what may be said of a flavour before any decision.
func (d *decider) standing(i int) Order {
	f, b := &d.Flavours[i], &d.Wanted[i]
	inf := math.Inf(1)
	o := Order{Do: Leave, Why: Untasted, ByH: inf, FromH: inf, BestH: inf, UntilH: inf, TasteH: inf,
		DueH: inf}
	switch {
	case f.Banned && f.OutH > d.now:
		o.Do, o.Why, o.Overdue = Pull, Forbid, f.InH < d.now
	case f.OutH <= d.now:
		o.Do = Out
	case f.Stays:
		o.Do = Stays
	}
	if f.Banned {
		o.Crossing = kinetics.Wait{}.Map(func(float64) float64 { return inf })
		return o
	}
	if f.Target > 0 {
		y := f.Target / b.Factor
		o.Crossing = later(b.usual.TimeToScore(y), f.InH)
		if own := min(d.now, f.OutH) - f.InH; own > 0 {
			o.Over = b.ChanceAtLeast(y, own)
		}
	} else {
		o.Crossing = later(b.usual.TimeToShare(kinetics.NearlyAll), f.InH)
	}
	o.Never = o.Crossing.Never
	return o
}

// later counts a wait from the start of the jar.
func later(w kinetics.Wait, in float64) kinetics.Wait {
	return w.Map(func(h float64) float64 { return h + in })
}

// crossing is when a taste first has a strength if the source brings it: never,
// once that has come out.
func (s *Source) crossing(level float64) kinetics.Wait {
	w := later(s.TimeToScore(level), s.inH).Map(func(h float64) float64 {
		if h > s.outH {
			return math.Inf(1)
		}
		return h
	})
	w.Never = 1 - s.ChanceReached(level, s.outH-s.inH)
	return w
}

// order decides one unit and gives its members their orders.
func (d *decider) order(u *unit) {
	told := d.told(u)
	p, night := told, false
	o := Order{ByH: math.Inf(1), TasteH: math.Inf(1), DueH: math.Inf(1), FromH: told.from, BestH: told.best,
		UntilH: told.until}
	if u.tasted || u.scored() {
		if !u.tasted {
			p = u.plan()
		}
		o.Why, o.Blame = d.because(u, p.past.join(p.near).join(p.far), p.best)
	}
	if !u.tasted && !(u.spoilt(o.Blame) && p.nowLoss <= p.waitLoss) {
		o.Do, o.Why, o.Blame, o.TasteWhy = Taste, Untasted, "", FirstLook
	} else {
		c := d.choose(u, p)
		night = c.night
		switch o.Do = c.do; c.do {
		case Pull:
			o.ByH = d.now
		case Leave:
			o.ByH, o.Night = c.wait.at, c.wait.night
		case Taste:
			o.TasteWhy, o.DueH, o.LateH, o.Night = Decides, c.look.at, c.look.late, c.look.night
		}
		if d.torn(u) || c.do == Pull && d.tornBy(o.Blame) {
			o.Do, o.TasteWhy, o.DueH, o.ByH, o.Night = Taste, Again, max(u.last,
				u.in)+minute, math.Inf(1), ""
			o.LateH = o.DueH // one of the scores says that it is past
		}
	}
	from, until := d.awakeWithin(o.FromH, o.UntilH, o.BestH)
	o.Bedtime = until < o.UntilH
	o.FromH, o.UntilH = from, until
	for _, i := range u.members {
		m := o
		keep := d.Orders[i]
		m.Crossing, m.Never, m.Over = keep.Crossing, keep.Never, keep.Over
		if m.TasteWhy == FirstLook {
			first := d.first(u, i)
			m.DueH, m.LateH, m.Night = first.at, first.late, first.night
		}
		m.LateH = max(m.LateH, m.DueH)
		if m.TasteH = max(m.DueH, d.now); m.Do == Taste && m.DueH <= d.now {
			m.Night = ""
		}
		due := m.Do == Pull || m.Do == Taste && m.TasteH <= d.now
		m.Overdue = due && told.worse(d.now)
		if !u.tasted {
			d.untasted(i, &m)
		}
		if m.Do == Pull && (m.Why == Enough || m.Why == AllThere) {
			m.Why = d.reason(i, &m, night)
		}
		if d.nothingComes(i) {
			m.Do, m.Why, m.Overdue = Nothing, NoneYet, false
			m.ByH, m.TasteH, m.DueH = math.Inf(1), math.Inf(1), math.Inf(1)
		}
		if m.Do == Pull && (len(u.members) > 1 || d.Flavours[i].Dust) {
			m.Do = Strain
		}
		d.Orders[i] = m
	}
}

// choice is what is done with a unit: out now, out at wait, or tasted at look, which may
// have gone by. Night: it is out now because what is better lies in the night.
type choice struct {
	do         Do
	look, wait visit
	night      bool
}

// choose is what was best at the last tasting, and stands until the next: leaving it ends
// by taking it out, and a look that has gone by for long is held against that again as time
// goes on, until it is not worth it any more. At its own hour, to which it may have been moved
// for the sake of the night or the evening, it is what was promised.
func (d *decider) choose(u *unit, p plan) choice {
	then := *u
	if p.own > p.since {
		then.now = u.in + p.since
		p = then.ahead()
	}
	look := d.look(&then, p)
	c := d.best(&then, p, look)
	missed := func(t float64) float64 { return u.in + (t-u.in)*wideStep }
	for t := missed(look.at); c.do == Taste && t <= u.now; t = missed(t) {
		then.now = t
		p = then.ahead()
		l := then.looks(p, []float64{t})[0]
		c = d.best(&then, p, visit{at: t, loss: l, sleepless: l})
	}
	if c.look = look; c.do == Leave && c.wait.at <= u.now {
		c.do = Pull
	}
	return c
}

// best is the choice that loses least.
func (d *decider) best(u *unit, p plan, look visit) choice {
	c := choice{do: Taste, look: look, wait: d.byDay(p.wait, p.waitLoss, u.now, u.costs)}
	sitting := SittingCost
	if look.at > u.now {
		sitting += comingBack
	}
	worth, later := look.loss+sitting, c.wait.loss+comingBack
	switch {
	case p.nowLoss <= worth && p.nowLoss <= later:
		c.do = Pull
		c.night = p.nowLoss > min(look.sleepless+sitting, c.wait.sleepless+comingBack)
	// further ahead than a look can be, one is due first
	case later <= worth && c.wait.at <= p.near.t[len(p.near.t)-1]:
		c.do = Leave
	}
	return c
}

// torn reports whether its last score asks for the opposite of what is believed with it, or
// another's of the same moment does: clearly past the strength wanted, and not there yet. One of
// them is wrong, and a second score at once tells which, before it is taken out for good.
func (d *decider) torn(u *unit) bool {
	for _, i := range u.members {
		f, b := &d.Flavours[i], &d.Wanted[i]
		clearly := math.Sqrt(overdueLoss)
		if f.Target > 0 && b.last == u.last && !b.again && b.high > f.Target+clearly &&
			(b.low < f.Target-clearly || b.alone && b.Factor*b.Mean(b.last-f.InH) <= f.Target) {
			return true
		}
	}
	return false
}

// tornBy reports whether the taste that ends a steep is: its last score is clearly over its limit, the
// belief is not, and nobody has scored it again at once.
func (d *decider) tornBy(taste string) bool {
	j := slices.IndexFunc(d.Jar.Unwanted, func(u Unwanted) bool { return u.Name == taste })
	if j < 0 {
		return false
	}
	s, limit := &d.Reading.Unwanted[j], d.Jar.Unwanted[j].Limit
	return !s.again && s.high > limit+math.Sqrt(untold) && s.over(limit/s.Factor, d.now) <= 0.5
}

// scored reports whether an unwanted taste of it was scored.
func (u *unit) scored() bool {
	return slices.ContainsFunc(u.strands,
		func(s strand) bool { return s.unwanted >= 0 && len(s.post.Tastings()) > 0 })
}

// spoilt reports whether an unwanted taste that ends its steep was scored, and is
// likelier over its limit than not.
func (u *unit) spoilt(blame string) bool {
	return slices.ContainsFunc(u.strands, func(s strand) bool {
		return s.unwanted >= 0 && s.name == blame && len(s.post.Tastings()) > 0 &&
			s.weight*s.post.ChanceAtLeast(s.level, u.now-s.in) > 0.5
	})
}

// hindsight gives a flavour that is out, or stays, the time at which it would
// have been right; of what stays by its last tasting, and that stands until the next.
func (d *decider) hindsight(i int) error {
	f := &d.Flavours[i]
	u := &unit{members: []int{i}, out: true, in: f.InH, now: max(min(d.now, f.OutH), f.InH)}
	if b := &d.Wanted[i]; d.Orders[i].Do == Stays && b.Tasted > 0 {
		u.now = b.last
	}
	var err error
	if u.strands, err = d.strands(i); err != nil {
		return err
	}
	u.tasted = d.Wanted[i].Tasted > 0
	told := d.told(u)
	p := told
	if !u.tasted {
		p = u.plan()
	}
	o := &d.Orders[i]
	o.FromH, o.BestH, o.UntilH = told.from, told.best, told.until
	o.Why, o.Blame = d.because(u, p.past.join(p.near).join(p.far), p.best)
	switch {
	case d.nothingComes(i):
		o.Why = NoneYet
	case o.Why == Enough && d.over(i, u.now, told.worse(u.now)):
		o.Why = Over
	}
	return nil
}

// first is when a flavour of a unit nobody has tasted is tasted: when the first few jars
// have the strength wanted, and of what turns fierce no later than makers do; by day as it
// was when the first of the unit went in.
func (d *decider) first(u *unit, i int) visit {
	f, b := &d.Flavours[i], &d.Wanted[i]
	own := max(b.ReadyIn(f.Target/b.Factor, firstLook), soonest*b.makersTime())
	if f.FirstH > 0 {
		own = min(own, f.FirstH)
	}
	then := *u
	then.now = u.in
	v := d.handy(d.byDay(f.InH+own, math.NaN(), f.InH, func(t []float64) []float64 {
		return then.looks(then.ahead(), t)
	}), f.InH, f.InH)
	if v.late = v.at; v.at < d.now {
		p := then.ahead()
		after, _ := slices.BinarySearch(p.near.t, v.at)
		t := append([]float64{v.at}, p.near.t[after:]...)
		losses := then.looks(p, t)
		v.late = waits(v.at, t, losses, slices.Min(losses))
	}
	return v
}

// nothingComes reports whether the scores say that nothing ever will.
func (d *decider) nothingComes(i int) bool {
	for _, s := range d.Wanted[i].Shapes() {
		if s.Dead {
			return s.Weight > 0.5
		}
	}
	return false
}

// because says what ends the steep of a unit.
func (d *decider) because(u *unit, c course, best float64) (Why, string) {
	lead := &u.strands[0] // what is missed most decides
	for i := range u.strands {
		if s := &u.strands[i]; s.wanted && s.loss(best, u.now) > lead.loss(best, u.now) {
			lead = s
		}
	}
	if best < u.now && lead.by*(lead.post.Mean(best-lead.in)-lead.post.Mean(u.now-lead.in)) > 0.5 {
		return Fades, ""
	}
	wanted := func(t float64) float64 { return u.wantedLoss(t) + u.wait(t) }
	alone, _ := c.least(u, u.waited(c.t, c.wanted), wanted)
	if best-u.in < 0.8*(alone-u.in) {
		blame, most := "", 0.0
		for i := range u.strands {
			if s := &u.strands[i]; !s.wanted &&
				(s.unwanted < 0 || s.weight >= d.Reading.Unwanted[s.unwanted].likeliest()) {
				if l := s.loss(alone, u.now); l > most {
					blame, most = s.name, l
				}
			}
		}
		if blame != "" {
			return Spoils, blame
		}
	}
	if d.Orders[lead.flavour].Short() || lead.level == 0 {
		return AllThere, ""
	}
	return Enough, ""
}

// withinLast ends every order at the last hour to which the jar may stand: what would be
// right later is taken out then, nothing is tasted after it, and what would go in later stays
// out.
func (d *decider) withinLast() {
	last := d.LastH
	if last <= 0 {
		return
	}
	for i := range d.Flavours {
		o := &d.Orders[i]
		over := last <= d.now && d.Flavours[i].InH < d.now
		switch {
		case o.Do == Out || o.Do == Stays || o.Why == Forbid:
			continue
		case d.Flavours[i].InH >= last && d.Flavours[i].InH > d.now:
			inf := math.Inf(1)
			*o = Order{Do: Nothing, Why: Unsafe, ByH: inf, FromH: inf, BestH: inf, UntilH: inf, TasteH: inf,
				DueH: inf, Crossing: o.Crossing, Never: o.Never}
			continue
		case over && o.Do != Strain:
			if o.Do == Taste { // nothing had it out before
				o.UntilH = last
			}
			o.Do, o.ByH, o.Overdue = Pull, d.now, true
			o.TasteH, o.DueH, o.TasteWhy = math.Inf(1), math.Inf(1), ""
			if d.Flavours[i].Dust {
				o.Do = Strain
			}
		case over:
			o.Overdue = true
		case o.Do != Leave && o.Do != Taste:
			continue
		}
		if o.Do == Taste && o.TasteH > last {
			o.Do, o.TasteH, o.DueH, o.TasteWhy, o.ByH, o.Night = Leave, math.Inf(1), math.Inf(1), "", last, ""
		}
		if over || o.UntilH > last {
			o.Why, o.Blame = Unsafe, ""
		}
		o.Bedtime = o.Bedtime && o.UntilH <= last
		for _, h := range []*float64{&o.FromH, &o.BestH, &o.UntilH} {
			*h = min(*h, last)
		}
		if o.Do == Leave {
			o.ByH = min(o.ByH, last)
		}
	}
}

// strainTogether turns pulls into straining where everything comes out now.
func (d *decider) strainTogether() {
	for i := range d.Flavours {
		if o := &d.Orders[i]; !slices.Contains([]Do{Pull, Strain, Out, Nothing}, o.Do) || o.Why == Forbid {
			return
		}
	}
	for i := range d.Flavours {
		if d.Orders[i].Do == Pull {
			d.Orders[i].Do = Strain
		}
	}
}

// unwantedOrder is what to do about an unwanted taste: strain what brings it,
// where that is ordered because of it.
func (d *decider) unwantedOrder(j int) Order {
	s, u := &d.Reading.Unwanted[j], &d.Jar.Unwanted[j]
	inf := math.Inf(1)
	o := Order{Do: Leave, Why: Enough, ByH: inf, FromH: inf, BestH: inf, UntilH: inf, TasteH: inf, DueH: inf}
	if s.Tasted == 0 {
		o.Why = Untasted
	}
	limit := u.Limit / s.Factor
	o.Over = s.over(limit, d.now)
	out, first := true, true
	for k := range s.Sources {
		src := &s.Sources[k]
		out = out && d.Orders[src.Flavour].Do == Out
		// The likeliest source; of two alike the one that brings it sooner.
		if src.Probability >= s.likeliest() {
			crossing := src.crossing(limit)
			rarer := o.Crossing.Never - crossing.Never
			if first || rarer > 1e-9 || rarer > -1e-9 && crossing.Median < o.Crossing.Median {
				o.Crossing = crossing
			}
			first = false
		}
		if or := &d.Orders[src.Flavour]; or.Blame == u.Name && (or.Do == Pull || or.Do == Strain) {
			o.Do, o.Why, o.Blame, o.ByH, o.Overdue = Strain, Spoils, u.Name, d.now, or.Overdue
		}
	}
	if out && len(s.Sources) > 0 {
		o.Do = Out
	}
	if d.tornBy(u.Name) {
		o.TasteWhy = Again
	}
	o.Never = o.Crossing.Never
	o.BestH, o.FromH, o.UntilH = o.Crossing.Median, o.Crossing.P10, o.Crossing.P90
	return o
}
