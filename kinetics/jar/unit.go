package jar

import (
	"math"
	"slices"

	"steepbook/kinetics"
)

// unit is what comes out at one moment: a flavour, or all that can only be
// strained together, which share one loss.
type unit struct {
	members []int
	strands []strand
	in      float64 // its own clock starts with the first member
	now     float64
	tasted  bool
	last    float64 // of its tastings, by the jar's clock
	out     bool    // nobody waits for it any more
}

// strand is one term of a unit's loss.
type strand struct {
	post     *kinetics.Posterior
	in       float64
	by       float64 // strength in the bottle of a neat strength of 1
	weight   float64 // probability that it is so
	wanted   bool
	level    float64 // neat target or limit; a target of 0 is "as strong as it gets"
	firm     float64 // of a limit that the maker set: overPrice
	scored   bool    // tastings speak of it
	expected bool    // its expected strength alone is held to a target
	name     string
	flavour  int
	unwanted int // index of the taste, -1 for none
	sample   *sample
	short    func(hours float64) float64 // what it is short of nearly all, once it was asked
}

// worst is in points of the bottle: what is beyond is as bad.
const worst = 15.0

// loss is the expected loss of the strand when its flavour comes out at t, in
// points² of the bottle.
func (s *strand) loss(t, now float64) float64 {
	own, most := max(t-s.in, 0), worst/s.by
	scale := s.weight * s.by * s.by
	switch {
	case !s.wanted:
		over, square := s.post.Excess(s.level, most, own)
		return s.weight*s.by*s.firm*over + scale*square
	case s.level == 0:
		if s.short == nil {
			s.short = s.post.Short(most)
		}
		return scale * s.short(own)
	case s.expected:
		off := min(s.post.Mean(own), most) - s.level
		return scale * off * off
	}
	return scale * s.post.Miss(s.level, most, own, now-s.in)
}

// loss is the unit's expected loss when it comes out at t.
func (u *unit) loss(t float64) float64 {
	all, _ := u.losses(t)
	return all
}

// losses are the expected loss when it comes out at t, and the part of it that is
// the wanted flavours' alone; timePrice is in both.
func (u *unit) losses(t float64) (all, wanted float64) {
	wanted = u.wantedLoss(t)
	all = wanted
	for i := range u.strands {
		if s := &u.strands[i]; !s.wanted {
			all += s.loss(t, u.now)
		}
	}
	return all, wanted
}

func (u *unit) wantedLoss(t float64) float64 {
	sum := timePrice * math.Log(max(t-u.in, second))
	for i := range u.strands {
		if s := &u.strands[i]; s.wanted {
			sum += s.loss(t, u.now)
		}
	}
	return sum
}

// wait is the price of the days until t.
func (u *unit) wait(t float64) float64 {
	if u.out || t <= u.now {
		return 0
	}
	return dayPrice / 24 * (t - u.now)
}

// cost is the loss at t with the price of the wait.
func (u *unit) cost(t float64) float64 { return u.loss(t) + u.wait(t) }

// costs are those of some moments.
func (u *unit) costs(t []float64) []float64 {
	out := make([]float64, len(t))
	for i, at := range t {
		out[i] = u.cost(at)
	}
	return out
}

// waited adds the price of the wait to what is lost at some moments.
func (u *unit) waited(t, loss []float64) []float64 {
	out := make([]float64, len(t))
	for i, at := range t {
		out[i] = loss[i] + u.wait(at)
	}
	return out
}

// units gathers what comes out together.
func (d *decider) units() ([]*unit, error) {
	var out []*unit
	var dust *unit
	strands := make([][]strand, len(d.Flavours))
	err := each(len(strands), func(i int) (err error) {
		if d.Orders[i].Do == Leave {
			strands[i], err = d.strands(i)
		}
		return err
	})
	for i := range d.Flavours {
		f := &d.Flavours[i]
		if d.Orders[i].Do != Leave {
			continue
		}
		u := &unit{in: f.InH, now: max(d.now, f.InH)}
		if f.Dust && f.InH <= d.now {
			if dust == nil {
				dust = u
			}
			u = dust
		}
		u.members = append(u.members, i)
		u.in = min(u.in, f.InH)
		u.tasted = u.tasted || d.Wanted[i].Tasted > 0
		u.last = max(u.last, d.Wanted[i].last)
		u.strands = append(u.strands, strands[i]...)
		if !slices.Contains(out, u) {
			out = append(out, u)
		}
	}
	for _, u := range out {
		for i := range u.strands {
			if s := &u.strands[i]; u.tasted && s.wanted {
				s.post = d.Wanted[s.flavour].Posterior
			}
		}
	}
	return out, err
}

// strands are the terms of the loss of one flavour.
func (d *decider) strands(i int) ([]strand, error) {
	f, b := &d.Flavours[i], &d.Wanted[i]
	out := []strand{{
		post: b.usual, in: f.InH, by: b.Factor, weight: 1, wanted: true, level: f.Target / b.Factor,
		scored: true, name: f.Name, flavour: i, unwanted: -1,
	}}
	scored := false
	for j := range d.Reading.Unwanted {
		s, taste := &d.Reading.Unwanted[j], &d.Jar.Unwanted[j]
		for k := range s.Sources {
			src := &s.Sources[k]
			if src.Flavour != i {
				continue
			}
			scored = scored || s.Tasted > 0
			out = append(out, strand{
				post: src.Posterior, in: f.InH, by: s.Factor, weight: src.Probability,
				level: taste.Limit / s.Factor, firm: overPrice, scored: true,
				name: taste.Name, flavour: i, unwanted: j,
			})
		}
	}
	if f.Fault != nil && !scored {
		post, err := f.Fault.belief(b.Mean(f.Fault.Usual))
		if err != nil {
			return nil, err
		}
		out = append(out, strand{
			post: post, in: f.InH, by: 1, weight: 1, level: faultNoticed,
			name: f.Fault.What, flavour: i, unwanted: -1,
		})
	}
	return out, nil
}

// belief makes of a reported fault an unwanted taste that nobody scored: one
// that is clear at the usual time in half of the jars whose flavour is as strong
// as usual by then, and the weaker the weaker the flavour is: where a slow one ends is
// far from what it has given by that time.
func (f *Fault) belief(strength float64) (*kinetics.Posterior, error) {
	spread := 0.0
	if f.Low > 0 && f.Highest > f.Low {
		const ninety = 2 * 1.6449
		spread = math.Log(f.Highest/f.Low) / ninety
	}
	p := kinetics.Unwanted(kinetics.Normal{SD: max(spread, 0.4)})
	reach := -math.Log1p(-faultNoticed / p.Plateau.Mean) // in k·t
	p.LogRate.Mean, p.Doubt = math.Log(reach/f.Usual), 0
	return p.AsStrongAs(strength).Posterior(nil)
}
