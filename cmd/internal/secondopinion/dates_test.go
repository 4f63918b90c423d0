package secondopinion

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/keeping"
	"steepbook/cmd/internal/somejar"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/shelf"
)

// lastDay counts so many whole days from the day of a moment on, which is the first of them, to the evening of
// the last, of one day that of the next; where they are over by the hour before that, it is their end. Zero for
// no end.
func lastDay(from time.Time, days float64) time.Time {
	if from.IsZero() || math.IsInf(days, 1) {
		return time.Time{}
	}
	end := from.Add(time.Duration(days * 24 * float64(time.Hour)))
	evening := time.Date(from.Year(), from.Month(), from.Day(), 23, 59, 59, 0, from.Location())
	for left := math.Floor(days + 1e-6); left > 1; left-- {
		evening = evening.AddDate(0, 0, 1)
	}
	if days >= 1 && days < 2-1e-6 {
		evening = evening.AddDate(0, 0, 1)
	}
	if end.Before(evening) {
		return end
	}
	return evening
}

// soonest is the first of some moments that are not zero.
func soonest(ts ...time.Time) (first time.Time) {
	for _, t := range ts {
		if !t.IsZero() && (first.IsZero() || t.Before(first)) {
			first = t
		}
	}
	return first
}

// life is what the minutes of a random jar say of it, read entry by entry.
type life struct {
	strained, mixed, bottled time.Time
	changed                  time.Time // the first that came out of it or went in on top of the start, by the log
	waits                    bool      // by the log, for the rest
	untold                   bool      // strained, and of the rest nothing is logged
	open                     map[time.Time]bool
}

// lifeOf reads the entries in their order: what was strained or bottled is out, what goes
// in after that mixes it; what waits for nothing more is mixed when it is strained, and what was bottled may
// be, where nothing of the rest was logged.
func lifeOf(j *somejar.Jar) life {
	l := life{}
	first := func(table string) (int, bool) {
		for _, e := range j.Life {
			if e.Table == table {
				return e.At, true
			}
		}
		return 0, false
	}
	strained, isStrained := first("strained")
	bottled, isBottled := first("bottled")
	gone := -1
	for _, e := range j.Life {
		if e.Table == "emptied" && !strings.Contains(e.Keys, "bottle") && gone < 0 {
			gone = e.At
		}
	}
	by := strained // everything is out by then
	switch {
	case isStrained:
	case isBottled:
		by = bottled
	case gone >= 0:
		by = gone
	default:
		by = -1
	}
	changed := by // what lay in it until then is not what is bottled
	for _, p := range j.Pulls {
		if changed < 0 || p.At < changed {
			changed = p.At
		}
	}
	for _, e := range j.Life {
		if e.Table == "added" && (changed < 0 || e.At < changed) {
			changed = e.At
		}
	}
	out, all, came := 0, true, false
	for _, b := range j.Botanicals {
		at := by
		for _, p := range j.Pulls {
			if p.Name == b.Name {
				at = p.At
			}
		}
		switch {
		case b.LeaveIn:
		case at < b.In:
			all = false
		default:
			out, came = max(out, at), true
		}
	}
	for _, e := range j.Life { // nothing is to come out of it: what goes in ends the steep
		if !came && e.Table == "added" && (by < 0 || e.At < by) {
			by = e.At
		}
	}
	if isStrained || !came && by >= 0 {
		out = max(out, by)
	}
	if isBottled {
		l.bottled = somejar.Time(bottled)
	}
	if !all || !came && by < 0 { // it steeps
		return l
	}
	l.strained, l.changed = somejar.Time(out), somejar.Time(min(changed, out))
	added, logged := -1, ""
	for _, e := range j.Life {
		if e.Table == "added" && e.At >= out {
			added, logged = e.At, logged+e.Keys
		}
	}
	untold := false
	for _, x := range j.Additions {
		lacks := !strings.Contains(logged, fmt.Sprintf("%q", x.Name))
		l.waits, untold = l.waits || added >= 0 && !isBottled && lacks, untold || isBottled && lacks
		l.untold = l.untold || added < 0 && !isBottled
	}
	switch {
	case untold && added < 0:
		l.mixed = l.strained
	case added >= 0:
		l.mixed = somejar.Time(added)
	case len(j.Additions) == 0:
		l.mixed = l.strained
	default:
		l.mixed = l.bottled
	}
	if gone >= 0 {
		return l
	}
	l.open = openOf(j)
	return l
}

// openOf are the moments at which the bottles that are open were opened: they are opened
// in their order, and the last one opened is what is emptied.
func openOf(j *somejar.Jar) map[time.Time]bool {
	open := map[time.Time]bool{}
	var last time.Time
	for _, e := range j.Life {
		switch e.Table {
		case "opened":
			last = somejar.Time(e.At)
			open[last] = true
		case "emptied":
			delete(open, last)
		}
	}
	return open
}

// calendar is what dates are made of: the life of a jar, and what the house allows.
type calendar struct {
	life
	age, use float64
	houseEnd time.Time
	strong   time.Time // what stays in gets too strong: it hangs on the curves, of which belief_test.go has its own
}

func newCalendar(j *somejar.Jar, h *batch.House) calendar {
	c := calendar{life: lifeOf(j)}
	if h != nil {
		if c.age, c.use = h.MaxAgeDays, h.UseWithinDays; c.age > 0 && !c.strained.IsZero() {
			c.houseEnd = lastDay(c.strained, c.age)
		}
	}
	return c
}

// tastes is the day to which a bottle tastes as it should that was opened at a moment, zero for sealed.
func (c *calendar) tastes(kept shelf.Keeping, opened time.Time) time.Time {
	return soonest(c.until(kept, opened), c.strong)
}

// until is the same for what it keeps.
func (c *calendar) until(kept shelf.Keeping, opened time.Time) time.Time {
	within := func(d shelf.Days, most ...float64) float64 {
		low := d.Low
		for _, m := range most {
			if m > 0 {
				low = min(low, m)
			}
		}
		return low
	}
	sealed := lastDay(c.mixed, within(kept.Sealed, c.age))
	return soonest(sealed, lastDay(opened, within(kept.Opened, c.use, c.age)), c.houseEnd)
}

// spent reports whether a date that is sooner than the calendar says may be so because of what the
// drink spent of its days, pulled or added to, before the last of it came out or went in: weaker by then than
// in the end, it had up to four times as few.
func (c *calendar) spent(until, want time.Time) bool {
	stood := c.mixed.Sub(c.changed)
	return !c.changed.IsZero() && stood > 0 && until.Before(want) && want.Sub(until) <= 4*stood+24*time.Hour
}

// TestDates holds the days of random lives to a walk over the calendar.
func TestDates(t *testing.T) {
	counts := map[string]int{}
	for i := range uint64(lives) {
		j := somejar.New(i).Lived(i)
		r := rand.New(rand.NewPCG(i, 4))
		q := bench.Question{Now: somejar.Time(j.Now)}
		if r.IntN(2) == 0 {
			q.House = &batch.House{Rule: "the county", MaxAgeDays: float64(r.IntN(3) * 20),
				UseWithinDays: float64(r.IntN(2) * 5)}
		}
		a, err := bench.Read(somejar.Parse(t, j.String()), library.Builtin(), q)
		if err != nil {
			t.Fatalf("%v\n%s", err, j)
		}
		a.Judge()
		k, c := a.Keep, newCalendar(j, q.House)
		c.strong = k.TooStrong.OutBy()
		if !a.Blend.Whole() || k.Verdict.Fails || a.Blend.Result.JarParts.ABVPercent() < shelf.HoldsABVPercent {
			counts["weak, or not known: left out"]++
			continue
		}
		if so := a.Recipe.BlendSoFar(a.Batch); c.untold && so != nil {
			as := shelf.Advise(so.Bottle, nil, func(p shelf.Place) shelf.Storage { return shelf.Storage{Place: p} })
			c.waits = !math.IsInf(as.Safe.Sound.Low, 1) // what was strained does not last by itself
		}
		if c.waits { // its days are those of what there is, and not of the drink
			counts["waits for the rest: left out"]++
			continue
		}
		if !k.SinceAt.Equal(c.mixed) || len(k.Open) != len(c.open) {
			t.Errorf("jar %d: the days run from %v (%s), not %v; %d bottles open, not %d\n%s", i, k.SinceAt,
				k.Since, c.mixed, len(k.Open), len(c.open), j)
			continue
		}
		if k.Withheld() {
			counts["must not be served: no dates"]++
			continue
		}
		counts["from "+string(k.Since)]++
		advice := shelf.Advise(a.Blend.Bottle, nil,
			func(p shelf.Place) shelf.Storage { return shelf.Storage{Place: p} })
		past := func(u time.Time) bool { return !u.IsZero() && q.Now.After(u) }
		for _, o := range k.Open {
			want := c.tastes(advice.Advised, o.At)
			if c.spent(o.Until, want) {
				want = o.Until
			}
			if !c.open[o.At] || !o.Until.Equal(want) || o.Past != past(want) {
				t.Errorf("jar %d: the bottle opened on %v until %v, not %v", i, o.At, o.Until, want)
			}
			counts["open bottles"]++
		}
		if c.mixed.IsZero() && len(c.open) == 0 && c.houseEnd.IsZero() {
			continue
		}
		for n, kept := range []*keeping.Kept{&k.Safe, &k.Advised} {
			want := c.until(advice.Safe, k.OpenedAt)
			if n > 0 {
				want = c.tastes(advice.Advised, k.OpenedAt)
			}
			if kept.Place != "" && c.spent(kept.Until, want) {
				counts["sooner by what it stood"]++
			} else if kept.Place != "" && !kept.Until.Equal(want) {
				t.Errorf("jar %d: until %v, not %v\n%s", i, kept.Until, want, j)
			}
			counts["dates"]++
		}
		if u := c.tastes(advice.Advised, k.OpenedAt); k.Past != past(u) && !(k.Past && c.spent(k.Advised.Until, u)) {
			t.Errorf("jar %d: past: %v", i, k.Past)
		}
	}
	t.Log(counts)
}
