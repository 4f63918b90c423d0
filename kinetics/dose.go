package kinetics

import "math"

// Dose is by how much to change the amount of a botanical.
type Dose struct {
	Factor    float64 // times the present dose: median
	Low, High float64 // 90 % interval
	Warnings  []string
}

// Grams scales a present amount.
func (d Dose) Grams(now float64) (best, low, high float64) {
	return now * d.Factor, now * d.Low, now * d.High
}

const z95 = 1.6449 // the 95 % point of the standard normal

// leastExponent keeps a sense that hardly grows with the amount from asking for
// absurd doses.
const leastExponent = 0.15

// DoseFor is the change of dose that gives a wanted score in the jar after so
// many hours (+Inf: in the end), strength being proportional to dose^β. The
// uncertainty of the strength and of β both enter. A score of zero or less asks
// for none. Outside a third to three times the present dose the power law is
// being stretched, which is said.
func (p *Posterior) DoseFor(score, hours float64, exponent Normal) Dose {
	if !(score > 0) || !finite(score) {
		return Dose{}
	}
	// ln F = (ln score − ln S)/β: the quantiles of S, and the doubt of β beside them.
	strength := p.Strength(hours)
	beta := max(leastExponent, exponent.Mean)
	change := func(s float64) float64 { return math.Log(score/s) / beta }
	mid := change(strength.Median)
	by := mid * exponent.SD / beta * z95
	d := Dose{
		Factor: math.Exp(mid),
		Low:    math.Exp(mid - math.Hypot(mid-change(strength.P95), by)),
		High:   math.Exp(mid + math.Hypot(change(strength.P05)-mid, by)),
	}
	if strength.Median <= 0 {
		return Dose{Factor: math.Inf(1), High: math.Inf(1)}
	}
	const slowly = " the dose: change it in two steps and taste between."
	switch {
	case d.Factor > 3:
		d.Warnings = append(d.Warnings, "More than three times"+slowly)
	case d.Factor < 1.0/3:
		d.Warnings = append(d.Warnings, "Less than a third of"+slowly)
	}
	return d
}

// Thinning is how to bring an overdone jar back by plain spirit.
type Thinning struct {
	Volumes   float64 // of plain spirit to one volume of jar: median
	Low, High float64 // 90 % interval
	Practical bool    // at most MostVolumes: beyond, keep it as a concentrate
}

// MostVolumes of spirit to one of jar is common practice, no source: beyond it
// one keeps the jar as a concentrate.
const MostVolumes = 5.0

// Thinning says how much plain spirit brings the jar of now (hours since the
// botanical went in) down to a wanted score, strength being proportional to
// concentration^β.
func (p *Posterior) Thinning(score, hours float64, exponent Normal) Thinning {
	if !(score > 0) {
		return Thinning{Volumes: math.Inf(1), Low: math.Inf(1), High: math.Inf(1)}
	}
	d := p.DoseFor(score, hours, exponent)
	volumes := func(f float64) float64 { return max(0, 1/f-1) }
	by := volumes(d.Factor)
	return Thinning{Volumes: by, Low: volumes(d.High), High: volumes(d.Low), Practical: by <= MostVolumes}
}
