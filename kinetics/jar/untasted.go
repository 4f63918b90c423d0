package jar

import (
	"math"
	"slices"

	"steepbook/kinetics"
)

// told is the plan that is told of a unit. What nobody has tasted is not taken out by the
// least loss, which is early where much is in doubt, but tasted first: of it the plan of
// the strength it is expected to have is told, the one that is drawn.
func (d *decider) told(u *unit) plan {
	if u.tasted {
		return u.plan()
	}
	v := *u
	v.strands = slices.Clone(u.strands)
	for i := range v.strands {
		if s := &v.strands[i]; s.wanted {
			s.post, s.expected, s.sample = d.Wanted[s.flavour].Posterior, true, nil
		}
	}
	p, least := v.plan(), math.Inf(1)
	for _, i := range u.members {
		least = min(least, d.Flavours[i].InH+soonest*d.Wanted[i].makersTime())
	}
	p.from, p.best, p.until = max(p.from, least), max(p.best, least), max(p.until, least)
	return p
}

// overdueFrom is the share of the makers' time before which nothing is overdue by its dose
// alone. Judgement.
const overdueFrom = 0.25

// untasted says of a flavour that nobody has tasted how it stands to the makers' time, and
// to its dose.
func (d *decider) untasted(i int, o *Order) {
	f, b := &d.Flavours[i], &d.Wanted[i]
	makers := b.makersTime()
	o.Overdue = o.Overdue && d.now > f.InH+overdueFrom*makers
	o.Late = d.now > max(f.InH+makers, o.BestH)
	o.Much = f.Target > 0 && b.Factor*b.Mean(o.DueH-f.InH) > f.Target+math.Sqrt(untold)
}

// makersTime is when makers have nearly all of it, by its own clock.
func (b *Belief) makersTime() float64 { return b.usual.TimeToShare(kinetics.NearlyAll).Median }
