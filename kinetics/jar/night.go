package jar

import (
	"math"
	"slices"
)

// visit is a moment at which somebody is at the jar: what is lost by it, with what getting
// up for it costs, and what would be lost if nobody slept.
type visit struct {
	at, loss, sleepless float64
	late                float64 // of a tasting: see Order.LateH
	night               Night
}

// byDay moves a moment at which so much is lost out of the night, to the last before it or
// the first after it at which somebody is up, whichever loses less, unless that is worse by
// more than it costs to get up: losses gives what is lost at each of some moments. All are
// later than since.
func (d *decider) byDay(at, loss, since float64, losses func(t []float64) []float64) visit {
	v := visit{at: at, loss: loss, sleepless: loss}
	if d.Awake == nil || at <= since {
		return v
	}
	before, after := d.Awake(at)
	if before == after {
		return v
	}
	t := []float64{at, after}
	if before > since+minute {
		t = []float64{before, at, after}
	}
	l := losses(t)
	up := len(t) - 2
	v.sleepless = slices.Min(l)
	l[up] += nightPrice
	best := slices.Index(l, slices.Min(l))
	if v.at, v.loss, v.night = t[best], l[best], Moved; best == up {
		v.night = GetUp
	}
	return v
}

// handyWithin is the share of a steep by which a look may come sooner or later: about as much as
// lies between two moments that are tried for it. Judgement.
const handyWithin = 0.15

// handy moves a look at a flavour that went in at an hour to one at which somebody is at the
// shelf anyway, where that is near by its own clock: the slower a jar, the plainer its hours.
func (d *decider) handy(v visit, in, since float64) visit {
	if d.Handy == nil || v.night == GetUp {
		return v
	}
	to := d.Handy(v.at)
	if off := math.Abs(to - v.at); off > handyWithin*(v.at-in) || to <= since+minute ||
		d.LastH > 0 && to > d.LastH {
		return v
	}
	v.at, v.night = to, ""
	return v
}

// awakeWithin narrows a stretch that lies ahead to when somebody is up: nobody is
// told to be there by one in the morning.
func (d *decider) awakeWithin(from, until, best float64) (float64, float64) {
	if d.Awake == nil {
		return from, until
	}
	if from > d.now {
		if _, after := d.Awake(from); after <= best {
			from = after
		}
	}
	if until > d.now && !math.IsInf(until, 1) {
		if before, _ := d.Awake(until); before >= max(best, d.now) {
			until = before
		}
	}
	return from, until
}
