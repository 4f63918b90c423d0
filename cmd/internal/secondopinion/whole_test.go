package secondopinion

import (
	"math"
	"slices"

	"steepbook/kinetics"
	"steepbook/kinetics/jar"
)

// suspect is a flavour that may bring a taste.
type suspect struct {
	*belief
	flavour int
	in, out float64
	log, p  float64
}

// A reading is all that the second opinion has to say of a jar.
type reading struct {
	wanted   []wantedOpinion
	suspects [][]suspect
	orders   []opinion // of the flavours
	now      float64
}

// read works out a jar at a moment.
func read(j jar.Jar, now float64) (r reading) {
	r.now = now
	for i := range j.Flavours {
		r.wanted = append(r.wanted, readWanted(&j.Flavours[i], now))
	}
	for i := range j.Unwanted {
		r.suspects = append(r.suspects, readUnwanted(&j, &j.Unwanted[i], r.wanted, now))
	}
	r.orders = make([]opinion, len(j.Flavours))
	var dust *group
	var groups []*group
	for i := range j.Flavours {
		f := &j.Flavours[i]
		if f.OutH <= now || f.Stays { // what would have been right
			o := &r.orders[i]
			o.do = jar.Stays
			if f.OutH <= now {
				o.do = jar.Out
			}
			g := &group{members: []int{i}, out: true, in: f.InH, now: max(min(now, f.OutH), f.InH),
				terms: r.terms(&j, i)}
			o.g, o.p = g, g.plan()
			g.tasted = r.wanted[i].tasted > 0
			o.tell(r.wanted)
			continue
		}
		g := &group{in: f.InH, now: max(now, f.InH)}
		if f.Dust && f.InH <= now {
			if dust == nil {
				dust = g
			}
			g = dust
		}
		g.members, g.in = append(g.members, i), min(g.in, f.InH)
		g.tasted = g.tasted || r.wanted[i].tasted > 0
		g.last = max(g.last, r.wanted[i].lastTime)
		g.terms = append(g.terms, r.terms(&j, i)...)
		if !slices.Contains(groups, g) {
			groups = append(groups, g)
		}
	}
	for _, g := range groups {
		for i := range g.terms {
			if x := &g.terms[i]; x.wanted && g.tasted {
				x.of = r.wanted[x.flavour].belief
			}
		}
		o := g.decide(&j, r.wanted)
		for _, i := range g.members { // a score a point past what is wanted, and another as far below or a belief that is short
			w, f := &r.wanted[i], &j.Flavours[i]
			if o.first || f.Target == 0 || w.lastTime != g.last || w.again || slices.Max(w.newest) <= f.Target+1 {
				continue
			}
			if slices.Min(w.newest) < f.Target-1 ||
				o.do != jar.Pull && len(w.newest) == 1 && w.factor*w.mean(w.lastTime-f.InH) <= f.Target {
				o.do, o.tasteAt, o.by = jar.Taste, max(now, w.lastTime+aMinute), math.Inf(1)
			}
		}
		for _, i := range g.members {
			m := o
			if m.first {
				m.tasteAt = max(g.firstLook(&j, i, r.wanted), now)
			}
			if r.wanted[i].formWeight("nothing comes") > 0.5 {
				m.do, m.why = jar.Nothing, jar.NoneYet
			}
			if m.do == jar.Pull && (m.why == jar.Enough || m.why == jar.AllThere) {
				m.why = r.wanted[i].reason(&j.Flavours[i], max(now-j.Flavours[i].InH, 0), &m)
			}
			if m.do == jar.Pull && (len(g.members) > 1 || j.Flavours[i].Dust) {
				m.do = jar.Strain
			}
			r.orders[i] = m
		}
	}
	r.together()
	return r
}

// together: where everything comes out now, it is strained.
func (r *reading) together() {
	for i := range r.orders {
		if !slices.Contains([]jar.Do{jar.Pull, jar.Strain, jar.Out, jar.Nothing}, r.orders[i].do) {
			return
		}
	}
	for i := range r.orders {
		if r.orders[i].do == jar.Pull {
			r.orders[i].do = jar.Strain
		}
	}
}

var quantileAt = []float64{0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95}

func readWanted(f *jar.Flavour, now float64) wantedOpinion {
	w := wantedOpinion{factor: power(f.Bottle.Share, f.Bottle.Exponent)}
	var ts []kinetics.Tasting
	for _, s := range f.Scores {
		if s.Hours <= now+1e-9 && s.Hours > f.InH {
			ts = append(ts, kinetics.Tasting{Hours: min(s.Hours, f.OutH) - f.InH, Score: s.Value,
				Part: power(s.Share, f.Bottle.Exponent), Taster: s.Taster})
			switch bottled := s.Value / power(s.Share, f.Bottle.Exponent) * w.factor; {
			case s.Hours > w.lastTime:
				w.again = w.lastTime > 0 && s.Hours-w.lastTime < 0.1*(min(s.Hours, f.OutH)-f.InH)
				w.lastTime, w.newest = s.Hours, []float64{bottled}
			case s.Hours == w.lastTime:
				w.newest = append(w.newest, bottled)
			}
		}
	}
	w.tasted = len(ts)
	w.belief = believe(f.Prior, wantedForms, ts)
	w.usual = w.belief
	if w.tasted == 0 && f.Prior.Doubt > 0 {
		p := f.Prior
		p.Doubt = 0
		w.usual = believe(p, wantedForms, nil)
	}
	nearly, _ := w.usual.waits(0, 0.8, 0.5)
	w.makersTime = nearly[0]
	y := f.Target / w.factor
	if f.Target > 0 {
		w.crossing, w.never = w.usual.waits(y, 0, quantileAt...)
		if own := min(now, f.OutH) - f.InH; own > 0 {
			w.over = w.chance(y, own)
		}
	} else {
		w.crossing, w.never = w.usual.waits(0, 0.8, quantileAt...)
	}
	for i := range w.crossing {
		w.crossing[i] += f.InH
	}
	return w
}

func readUnwanted(j *jar.Jar, u *jar.Unwanted, wanted []wantedOpinion, now float64) (out []suspect) {
	in := false
	may := func(i int) bool { return len(u.From) == 0 || slices.Contains(u.From, i) }
	for i := range j.Flavours {
		in = in || may(i) && j.Flavours[i].InH <= now
	}
	top := math.Inf(-1)
	for i := range j.Flavours {
		f := &j.Flavours[i]
		if !may(i) || in && f.InH > now {
			continue
		}
		p := kinetics.Unwanted(kinetics.Normal{Mean: wanted[i].meanLK - u.Lag.Mean, SD: math.Hypot(u.Lag.SD,
			wanted[i].sdLK)})
		forms, s := unwantedForms, suspect{flavour: i, in: f.InH, out: f.OutH}
		switch {
		case u.Ties == nil:
		case u.Ties[i] == jar.Unheard: // a tenth of one of which makers say it
			s.log = math.Log(0.1)
		case u.Ties[i] == jar.Itself: // the flavour by another word
			w := wanted[i].belief
			p = kinetics.Prior{LogRate: kinetics.Normal{Mean: w.meanLK, SD: w.sdLK}, Doubt: 0.25, Early: f.Prior.Early,
				Plateau: kinetics.Normal{Mean: w.meanC, SD: math.Hypot(w.sdC, 2)}, LogNoise: p.LogNoise}
			forms = wantedForms
		}
		var ts []kinetics.Tasting
		for _, sc := range u.Scores {
			own := min(sc.Hours, f.OutH) - f.InH
			switch {
			case sc.Hours > now+1e-9:
			case own <= 0: // it cannot be there: nothing, but for a slip
				chance := 0.01 * 0.5 / 10.5
				if sc.Value < 0.25 {
					chance += 0.99
				}
				s.log += math.Log(chance)
			default:
				ts = append(ts, kinetics.Tasting{Hours: own, Score: sc.Value, Part: power(sc.Share,
					u.Bottle.Exponent),
					Taster: sc.Taster})
			}
		}
		s.belief = believe(p, forms, ts)
		s.log += s.evidence
		top = max(top, s.log)
		out = append(out, s)
	}
	total := 0.0
	for i := range out {
		out[i].p = math.Exp(out[i].log - top)
		total += out[i].p
	}
	for i := range out {
		out[i].p /= total
	}
	return out
}

// terms are what is lost with one flavour.
func (r *reading) terms(j *jar.Jar, i int) []term {
	f, w := &j.Flavours[i], &r.wanted[i]
	out := []term{{of: w.usual, in: f.InH, by: w.factor, weight: 1, wanted: true, level: f.Target / w.factor,
		name: f.Name, flavour: i, taste: -1}}
	scored := false
	for n := range j.Unwanted {
		u := &j.Unwanted[n]
		by := power(u.Bottle.Share, u.Bottle.Exponent)
		for _, s := range r.suspects[n] {
			if s.flavour != i {
				continue
			}
			for _, sc := range u.Scores {
				scored = scored || sc.Hours <= r.now+1e-9
			}
			out = append(out, term{of: s.belief, in: f.InH, by: by, weight: s.p, level: u.Limit / by,
				firm: perPointOver,
				name: u.Name, flavour: i, taste: n})
		}
	}
	if f.Fault != nil && !scored {
		out = append(out, term{of: fault(f.Fault, w.mean(f.Fault.Usual)), in: f.InH, by: 1, weight: 1, level: 2,
			name:    f.Fault.What,
			flavour: i, taste: noScore})
	}
	return out
}

// fault is a fault that makers report, as a taste that nobody scored: clear (2 points)
// at the usual time in half of the jars whose flavour is as strong as usual (7) by then.
func fault(f *jar.Fault, strength float64) *belief {
	spread := 0.4
	if f.Low > 0 && f.Highest > f.Low {
		spread = max(spread, math.Log(f.Highest/f.Low)/(2*1.6449))
	}
	p := kinetics.Unwanted(kinetics.Normal{Mean: math.Log(-math.Log(1-2/3.5) / f.Usual), SD: spread})
	p.Doubt = 0
	p.Plateau.Mean *= strength / 7
	p.Plateau.SD = p.Plateau.Mean * min(1, math.Hypot(2.5/3.5, 0.5*math.Log(strength/7)))
	return believe(p, unwantedForms, nil)
}
