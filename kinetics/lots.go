package kinetics

import "math"

// lotLogSD is how far the ends of two packets of one botanical lie apart, as the
// standard deviation of the logarithm: judgement, a packet is a quarter stronger
// or weaker than another.
const lotLogSD = 0.25

// end is what a batch's own tastings say of the plateau it ends at, the beliefs
// about it taken out again, at the reference dose; variance is 0 where they say
// next to nothing.
type end struct {
	lot            string
	mean, variance float64
}

// end is the batch's own word on its plateau at the middle of what was learned,
// a score at the top of the scale taken as it stands: the plateau under a wide
// belief, summed over the rates, and that belief's precision subtracted.
func (l *learner) end(g *learnGroup, out *Learned) end {
	s2 := math.Exp(-2 * l.h.logNoise.Mean)
	if out.noise.Mean > 0 {
		s2 = 1 / (out.noise.Mean * out.noise.Mean)
	}
	d := math.Exp(out.doseExponent.Mean * g.dose) // from the reference dose to the batch's
	m := out.Plateau.Mean * d
	va := l.h.plateau.SD*l.h.plateau.SD + l.h.plateauSpread*l.h.plateauSpread
	mid := out.Rate.Mean + g.shift.LogMean
	tau := math.Sqrt(math.Pow(out.rateSpread.Mean, 2) + math.Pow(out.Rate.SD, 2) + math.Pow(g.shift.LogSD, 2))
	top := math.Inf(-1)
	lp := make([]float64, l.n)
	for i := range lp {
		z := (l.lo + learnStep*float64(i) - mid) / tau
		lp[i] = l.at(g, i, m, va, 1/math.Sqrt(s2)) - z*z/2
		top = max(top, lp[i])
	}
	var w0, w1, w2 float64
	for i, v := range lp {
		precision, pull := 1/va, m/va
		for k := range g.people {
			p := &g.people[k]
			a, b := p.ab[2*i], p.ab[2*i+1]
			for j, y := range p.top {
				a, b = a+p.x[j][i]*p.x[j][i], b+p.x[j][i]*y
			}
			own := s2 / (1 + p.tau2*a*s2)
			precision, pull = precision+a*own, pull+b*own
		}
		w, c := math.Exp(v-top), pull/precision
		w0, w1, w2 = w0+w, w1+w*c, w2+w*(c*c+1/precision)
	}
	mean := w1 / w0
	before, after := 1/va, 1/(w2/w0-mean*mean)
	gain := after - before
	if !(gain > 0.01*before) || !finite(mean) {
		return end{}
	}
	return end{lot: g.lot, mean: (mean*after - m*before) / gain / d, variance: 1 / gain / (d * d)}
}

// lotModel is a normal model of plateaus with known variances:
//
//	μ ~ N(prior),  lot_l ~ N(μ, between),  batch_j ~ N(lot_l(j), within),  y_j ~ N(batch_j, variance_j)
type lotModel struct {
	prior           Normal
	between, within float64 // variances
}

// of is the exact belief about a further batch of a lot ("" for a lot nobody
// has met) given what the others ended at. With P = Σ 1/(variance_j + within)
// over a lot and ȳ its weighted mean, a lot is one reading ȳ ~ N(μ, between +
// 1/P); a lot that was met lies at Bμ + (1 − B)ȳ with B = 1/(1 + P·between).
// These are Henderson's best linear unbiased predictions once the prior of μ is
// flat.
//
// Reference: Henderson, C. R. (1975). Best linear unbiased estimation and
// prediction under a selection model. Biometrics 31, 423-447.
func (m lotModel) of(ends []end, lot string) Normal {
	type sums struct{ p, py float64 }
	lots := map[string]*sums{}
	var order []*sums
	for _, e := range ends {
		s := lots[e.lot]
		if s == nil || e.lot == "" {
			s = &sums{}
			lots[e.lot] = s
			order = append(order, s)
		}
		w := 1 / (e.variance + m.within)
		s.p += w
		s.py += w * e.mean
	}
	precision := 1 / (m.prior.SD * m.prior.SD)
	sum := m.prior.Mean * precision
	for _, s := range order {
		w := 1 / (m.between + 1/s.p)
		precision += w
		sum += w * s.py / s.p
	}
	mean, variance := sum/precision, 1/precision
	s := lots[lot]
	if s == nil || lot == "" {
		return Normal{Mean: mean, SD: math.Sqrt(variance + m.between + m.within)}
	}
	b := 1 / (1 + s.p*m.between)
	return Normal{
		Mean: b*mean + (1-b)*s.py/s.p,
		SD:   math.Sqrt(b*b*variance + m.between*b + m.within),
	}
}

// Lot is how a jar's lot moves the plateau that was learned of all jars at the
// reference dose: by shift, and to ratio of its spread. siblings are the batches
// of the same lot.
//
// The learning knows no lots. Its spread between batches T is split by the
// judgement that lots differ by a quarter while batches differ by the spread the
// learning starts from: between = ρT, within = (1 − ρ)T. Where a share q of the
// pairs of batches are of different lots, the spread seen is only
// (1 − ρ + qρ)T. The step is the difference between this model and the same one
// with a lot for every batch, so that it is nothing where no lot is shared.
func (out *Learned) Lot(lot string) (shift, ratio float64, siblings int) {
	var ends, single []end
	for _, e := range out.ends {
		if e.variance == 0 {
			continue
		}
		if e.lot != "" && e.lot == lot {
			siblings++
		}
		ends = append(ends, e)
		e.lot = ""
		single = append(single, e)
	}
	pairs, apart := 0, 0
	for i := range ends {
		for j := range i {
			pairs++
			if ends[i].lot == "" || ends[i].lot != ends[j].lot {
				apart++
			}
		}
	}
	if apart == pairs && siblings == 0 {
		return 0, 1, 0
	}
	c := min(max(out.Plateau.Mean, 1), topScore)
	between := math.Pow(lotLogSD*c, 2)
	rho := between / (between + plateauSpread*plateauSpread)
	seen := math.Pow(out.plateauSpread.Mean, 2) + math.Pow(out.plateauSpread.SD, 2)
	total := seen
	if pairs > 0 {
		total = seen / (1 - rho + rho*float64(apart)/float64(pairs))
	}
	with := lotModel{out.hyper.plateau.Normal, rho * total, (1 - rho) * total}.of(ends, lot)
	without := lotModel{out.hyper.plateau.Normal, rho * seen, (1 - rho) * seen}.of(single, "")
	return with.Mean - without.Mean, with.SD / without.SD, siblings
}
