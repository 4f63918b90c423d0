package due

import (
	"math"
	"slices"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/kinetics/jar"
	"steepbook/shelf"
)

// Plan is when to do what so that a bottle is at its best on a day.
type Plan struct {
	Ready time.Time
	// Again: the jar is strained already, so the plan is for another one like it. Running:
	// it steeps, so its start is given.
	Again, Running bool
	// Start is when to start, Late the chance that it is not in time then. By is the last
	// day that is likely to do, where one in four is late. TooLate: that is past, and
	// Earliest is when a start now is likely to be ready; then all but Late, which is of a
	// start now for the day, is of the plan for Earliest.
	Start, By, Earliest time.Time
	Late, LateBy        float64
	TooLate             bool
	// Bottle is the day to close it, RestDays before; Best is the last day of its taste, Safe
	// that to which it is sound, zero where there is none.
	Bottle, Best, Safe time.Time
	RestDays           int
	// Young: it keeps for fewer days than it rests, so that it is sound on the day and has
	// rested for RestedDays only; at one of Longer, if there is one, it keeps for long
	// enough. Unsound: it is not sound on the day, whenever it is bottled.
	Young, Unsound bool
	RestedDays     int
	Longer         []shelf.Place
	// Hold: what is strained before Bottle waits as it is, since what Fades would not last
	// in the bottle from then to the day.
	Hold  bool
	Fades shelf.Fade
	Dates []Date
}

// Aim is how a batch stands to the day that its file says it is to be ready by.
type Aim struct {
	// Plan leads to the day, of what is not strained yet; nil of what is.
	Plan  *Plan
	Ready time.Time
	// Rested is when a bottle that is closed, or would be now, can be judged, zero where it
	// needs no rest; Ends is when its best, else its keeping, is over where that is before
	// the day.
	Rested, Ends time.Time
}

// aim holds it against the day that it is to be ready by.
func (g *Glance) aim() error {
	a := g.Assessment
	m := &Aim{Ready: a.Batch.Ready}
	closed := a.Keep.SinceAt
	switch {
	case m.Ready.IsZero() || m.Ready.Before(midnight(a.Now)) || g.Stage == Finished || g.Due.Kind == Discard:
		return nil
	case g.Stage == Planned || g.Stage == Steeping:
		p, err := g.Back(m.Ready)
		m.Plan, g.Aim = p, m
		return err
	case g.Stage == Strained || closed.IsZero():
		closed = a.Now
	}
	m.Rested = restedAt(a, closed)
	for _, end := range []time.Time{g.Until, a.Keep.Safe.Until} {
		if m.Ends.IsZero() && !end.IsZero() && end.Before(midnight(m.Ready)) {
			m.Ends = end
		}
	}
	g.Aim = m
	return nil
}

// InTime reports whether it is more likely than not ready, and good, on its day.
func (m *Aim) InTime() bool {
	if p := m.Plan; p != nil {
		return !p.TooLate && !p.Young && !p.Unsound
	}
	return m.Ends.IsZero() && !m.Rested.After(midnight(m.Ready).AddDate(0, 0, 1))
}

// How sure a start is: judgement.
const (
	likely = 0.25 // late
	sure   = 0.05
)

// Back plans back from a day: what has to be bottled by then, so that it has rested, is
// sound and its taste is not gone, and when the jar is likely to be done with its slowest
// flavour, by what is known of it. Where it is too late for that the plan is for the day
// that is likelier.
func (g *Glance) Back(ready time.Time) (*Plan, error) {
	if err := g.Assessment.Steep(); err != nil {
		return nil, err
	}
	p, err := g.backFrom(ready)
	if err != nil || !p.TooLate {
		return p, err
	}
	for later, days := midnight(p.Earliest).Add(12*time.Hour), 0; ; days++ {
		q, err := g.backFrom(later.AddDate(0, 0, days))
		if err != nil {
			return nil, err
		}
		if !q.TooLate || days == mostLater {
			q.Earliest, q.Ready, q.TooLate = q.Ready, ready, true
			q.Late, q.LateBy = p.Late, p.LateBy
			return q, nil
		}
	}
}

// mostLater bounds the days by which the likelier day is moved until its plan is in time:
// the hour of the day at which it starts moves it by one.
const mostLater = 7

// backFrom plans back from a day, in time or not.
func (g *Glance) backFrom(ready time.Time) (*Plan, error) {
	a := g.Assessment
	p := &Plan{Ready: ready, Running: g.Stage == Steeping, Again: g.Stage != Steeping && g.Stage != Planned}
	rest, _ := a.RestDays()
	p.RestDays = int(math.Ceil(rest.Low))
	steep := steepOf(a)
	kept := func(before int) (best, safe time.Time) {
		bottled := ready.AddDate(0, 0, -before)
		started := a.Batch.Started
		if !p.Running {
			started = startBy(a, bottled, steep.by(likely))
		}
		return keptOf(a, started, bottled)
	}
	holds := func(t time.Time) bool { return t.IsZero() || !t.Before(midnight(ready)) }
	before := max(p.RestDays, 1)
	for before > 0 {
		if best, safe := kept(before); holds(best) && holds(safe) {
			break
		}
		before--
	}
	p.Bottle, p.RestedDays = ready.AddDate(0, 0, -before), before
	p.Best, p.Safe = kept(before)
	switch p.Unsound = !holds(p.Safe); {
	case p.Unsound && p.Safe.Before(p.Bottle):
		p.Bottle = p.Safe
	case !p.Unsound && before < p.RestDays:
		p.Young, p.Longer = true, longer(a, p.RestDays)
	}
	p.start(a, steep)
	if k := a.Keep; k.BestKnown {
		expected := p.Start.Add(hours(steep.by(0.5) + 24*k.Advised.Sealed.Low))
		p.Hold = !math.IsInf(k.Advised.Sealed.Low, 1) && expected.Before(ready)
	}
	p.Fades = a.FadesFirst()
	return p, p.dates(g, steep)
}

// longer are the places at which it keeps for more than some days, the warmest first.
func longer(a *bench.Assessment, days int) (places []shelf.Place) {
	for _, v := range a.Places() {
		if v.Unopened.Low > float64(days)+1 {
			places = append(places, v.Place)
		}
	}
	return places
}

// start finds when to start, or the chance of a jar whose start is given.
func (p *Plan) start(a *bench.Assessment, s steep) {
	room := func(from time.Time) float64 { return p.Bottle.Sub(from).Hours() }
	if p.Running {
		p.Start = a.Batch.Started
		p.Late = s.late(room(p.Start))
		p.TooLate = p.Late > 0.5 || p.Bottle.Before(a.Now)
		p.Earliest = p.readyAfter(a, p.Start, s)
		return
	}
	p.By, p.Start = startBy(a, p.Bottle, s.by(likely)), startBy(a, p.Bottle, s.by(sure))
	if a.GrowsFromStart() { // each day more in the jar is one less in the bottle
		p.Start = p.By
	}
	if p.Start.Before(a.Now) {
		p.Start = a.Now
	}
	if p.TooLate = p.By.Before(a.Now); p.TooLate {
		p.By = a.Now
	}
	p.Late, p.LateBy = s.late(room(p.Start)), s.late(room(p.By))
	p.Earliest = p.readyAfter(a, a.Now, s)
}

// readyAfter is the day on which a jar of a start is likely to be ready.
func (p *Plan) readyAfter(a *bench.Assessment, start time.Time, s steep) time.Time {
	done := start.Add(hours(s.by(likely)))
	if done.Before(a.Now) {
		done = a.Now
	}
	return done.AddDate(0, 0, max(p.RestDays, 1))
}

// startBy is the last day, at the hour of the batch's own start, that leaves so many hours
// until it is bottled.
func startBy(a *bench.Assessment, bottled time.Time, h float64) time.Time {
	latest := bottled.Add(-hours(h))
	clock := a.Batch.Started.In(latest.Location())
	t := time.Date(latest.Year(), latest.Month(), latest.Day(), clock.Hour(), clock.Minute(), 0, 0,
		latest.Location())
	if t.After(latest) {
		return t.AddDate(0, 0, -1)
	}
	return t
}

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }

// dates are the dates of the plan.
func (p *Plan) dates(g *Glance, s steep) error {
	a := g.Assessment
	var list []Date
	if p.Running {
		all, err := g.ownDates()
		if err != nil {
			return err
		}
		for _, d := range all {
			if d.Kind == Start || d.Kind == PutIn || d.Kind == Taste || len(d.What) > 0 {
				list = append(list, d)
			}
		}
	} else {
		list = append(list, Date{Act: Act{Kind: Start, At: p.Start}, Day: a.Batch.StartedDateOnly})
		for i := range a.Curves {
			if c := &a.Curves[i]; !c.Watch && c.InH > 0 && c.Order.Why != jar.Forbid {
				list = append(list, Date{Act: Act{Kind: PutIn, What: []string{c.Name},
					At: p.Start.Add(hours(c.InH))}})
			}
		}
		if t := a.NextSitting(); t != nil && !p.Again {
			list = append(list, Date{Act: Act{Kind: Taste, What: t.Flavours, At: p.Start.Add(hours(t.AtH)),
				DoubtH: t.DoubtH},
				Forecast: true})
		}
	}
	if len(s) > 0 {
		done := p.Start.Add(hours(s.by(0.5)))
		if done.Before(a.Now) {
			done = a.Now
		}
		if done.After(p.Bottle) {
			done = p.Bottle
		}
		list = append(list, Date{Act: Act{Kind: Strain, At: done}, Day: true, Forecast: true})
	}
	list = append(list, Date{Act: Act{Kind: Bottle, At: p.Bottle}, Day: true})
	if !p.Unsound {
		list = append(list, Date{Act: Act{Kind: Ready, At: p.Ready}, Day: true})
	}
	list = append(list, slices.DeleteFunc(closed(a, p.Start, p.Bottle),
		func(d Date) bool { return d.Kind == Rested })...)
	p.Dates = inOrder(list, toCome(a, p.Again))
	return nil
}

// steep is how long a jar takes: the flavours that come out of it.
type steep []*jar.Order

func steepOf(a *bench.Assessment) (s steep) {
	for i := range a.Curves {
		c := &a.Curves[i]
		o := &c.Order
		if !c.Watch && o.Why != jar.Forbid && o.Do != jar.Stays && !math.IsInf(o.BestH, 1) {
			s = append(s, o)
		}
	}
	return s
}

// late is the chance that not all of it is as strong as wanted after so many hours. What
// is ended by something else than its strength comes out at its best hour; what never gets
// there comes out when nothing more comes, and is no later for that.
func (s steep) late(h float64) float64 {
	inTime := 1.0
	for _, o := range s {
		inTime *= reached(o, h)
	}
	return 1 - inTime
}

// by is after how many hours the chance to be late has come down to a share.
func (s steep) by(late float64) float64 {
	low, high := 0.0, 1.0
	for s.late(high) > late && high < 1e5 {
		low, high = high, 2*high
	}
	for range 40 {
		if mid := (low + high) / 2; s.late(mid) > late {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// reached is the chance that a flavour which gets there has got there after so many
// hours: between the quantiles of its order, and beyond the last, straight in the logarithm
// of time.
func reached(o *jar.Order, h float64) float64 {
	if o.Why == jar.Spoils || o.Why == jar.Fades || o.Short() || o.Never >= 1 {
		if h >= o.BestH {
			return 1
		}
		return 0
	}
	w := o.Crossing
	share, at, slope := 0.0, 0.0, math.Inf(1)
	for _, q := range []struct{ share, hours float64 }{{0.05, w.P05}, {0.1, w.P10}, {0.25, w.P25}, {0.5,
		w.Median},
		{0.75, w.P75}, {0.9, w.P90}, {0.95, w.P95}} {
		next := math.Min(q.share/(1-o.Never), 1)
		switch {
		case math.IsInf(q.hours, 1):
			return math.Min(share+slope*math.Log(h/at), 1)
		case h < q.hours && at <= 0:
			return next * h / q.hours
		case q.hours > at && at > 0:
			slope = (next - share) / math.Log(q.hours/at)
		}
		if h < q.hours {
			return share + slope*math.Log(h/at)
		}
		share, at = next, q.hours
	}
	if at <= 0 {
		return 1
	}
	return math.Min(share+slope*math.Log(h/at), 1)
}
