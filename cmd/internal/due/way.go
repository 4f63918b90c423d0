package due

import (
	"sort"
	"time"

	"steepbook/cmd/internal/bench"
)

// way is how a jar that a plan is for comes to its day from whenever it starts: this one, or another like it.
type way struct {
	a     *bench.Assessment
	p     *Plan
	steep steep
	out   time.Time // when it was strained, of what is out
}

func (w *way) strained(started time.Time) time.Time {
	if w.p.Out {
		return w.out
	}
	return w.steep.strained(w.a, started)
}

// soonest is when it can be bottled; of what is out nobody knows since when the rest is in.
func (w *way) soonest(started time.Time) time.Time {
	at := mixed(w.a, !w.p.Running, w.strained(started))
	if at.Before(w.a.Now) && !w.p.Out {
		at = w.a.Now
	}
	return at
}

// ends are those of its best and of its keeping.
func (w *way) ends(started, bottled time.Time) (best, safe time.Time) {
	return w.a.KeptIf(!w.p.Running, started, w.strained(started), bottled)
}

// is how it is on the day.
func (w *way) is(started, bottled time.Time) int {
	best, safe := w.ends(started, bottled)
	return onDay(best, safe, w.p.Ready)
}

// onTheDay is the same of what is bottled on the better day of the two.
func (w *way) onTheDay(started time.Time) int {
	return max(w.is(started, w.soonest(started)), w.is(started, w.p.Bottle))
}

// start finds when to start, or the chance of a jar whose start is given. Of one that begins at a moment
// it is too late where the day on which its rest can go in, as it could or is likely to, is behind that on
// which it has to be bottled, it can be when it is closed. Its rest counts
// where it keeps for so long. Of what is out no chance is left. The sooner it starts, the surer, and the
// older on the day: never so soon that it is worse then, or past its best, where later is in time.
func (p *Plan) start(w *way, begin, in, closed time.Time, rests bool) {
	a, s := w.a, w.steep
	p.TooLate = !midnight(in).Before(midnight(p.Bottle).AddDate(0, 0, 1))
	p.Earliest = closed
	if rests {
		p.Earliest = closed.AddDate(0, 0, p.RestDays)
	}
	if p.Running {
		p.Start, p.Late = begin, s.late(midnight(p.Strain).AddDate(0, 0, 1).Sub(begin).Hours())
		if p.Out && p.TooLate {
			p.Late = 1
		}
		return
	}
	if !rests { // a day to spare
		p.Earliest = p.Earliest.AddDate(0, 0, 1)
	}
	p.By, p.Start = startBy(a, p.Strain, s.by(likely)), startBy(a, p.Strain, s.by(sure))
	good := w.onTheDay(p.By)
	sooner := sort.Search(between(p.Start, p.By), func(days int) bool {
		return w.onTheDay(p.By.AddDate(0, 0, -days-1)) < max(good, ending)
	})
	p.Start = p.By.AddDate(0, 0, -sooner)
	good = min(good, ending)
	p.NotYet = w.onTheDay(a.Now) < good
	if at := a.Batch.Started.In(a.Now.Location()); at.After(a.Now) &&
		(midnight(at).After(p.By) || w.onTheDay(at) < good) {
		p.Off = at
	}
	for _, t := range []*time.Time{&p.By, &p.Start} {
		if t.Before(a.Now) {
			*t = a.Now
		}
	}
	p.Late, p.LateBy = s.late(p.Strain.Sub(p.Start).Hours()), s.late(p.Strain.Sub(p.By).Hours())
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
