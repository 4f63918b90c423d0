package kinetics

import (
	"math"
	"sort"
)

// Steep is one botanical of a jar with its window to pull, in its own time.
type Steep struct {
	Name   string
	Window Window
}

// Stay is when a botanical goes in and comes out, in hours of the jar.
type Stay struct {
	Name       string
	InH, OutH  float64
	Window     Window // in the botanical's own time
	PlanFailed bool   // no finite time was found: it goes in at the start and is left to the taster
}

// Plan is a timetable for several botanicals in one jar.
type Plan struct {
	Stays    []Stay // in the order in which hands are needed
	TotalH   float64
	Warnings []string
}

// Staggered lets every botanical in at such a time that all come out together.
// The slowest goes in first.
func Staggered(steeps []Steep) Plan {
	p := stays(steeps)
	for i := range p.Stays {
		s := &p.Stays[i]
		s.OutH = p.TotalH
		s.InH = p.TotalH - s.Window.Best
		if s.PlanFailed {
			s.InH = 0
		}
	}
	sort.SliceStable(p.Stays, func(i, j int) bool { return p.Stays[i].InH < p.Stays[j].InH })
	return p
}

// FromStart lets all in at once and takes each out at its own time, the quickest
// first.
func FromStart(steeps []Steep) Plan {
	p := stays(steeps)
	for i := range p.Stays {
		p.Stays[i].OutH = p.Stays[i].Window.Best
	}
	sort.SliceStable(p.Stays, func(i, j int) bool { return p.Stays[i].OutH < p.Stays[j].OutH })
	return p
}

func stays(steeps []Steep) Plan {
	var p Plan
	for _, s := range steeps {
		st := Stay{Name: s.Name, Window: s.Window}
		if !finite(st.Window.Best) {
			st.PlanFailed = true
			p.Warnings = append(p.Warnings, s.Name+" has no time of its own: taste for it.")
		} else {
			p.TotalH = math.Max(p.TotalH, st.Window.Best)
		}
		p.Stays = append(p.Stays, st)
	}
	return p
}

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
	// P(F ≤ x) = E_β P(S·x^β ≥ score).
	zs, ws := hermite(7)
	f := func(l float64) float64 {
		c := 0.0
		for i, z := range zs {
			b := math.Max(leastExponent, exponent.Mean+exponent.SD*z)
			c += ws[i] * p.ChanceAtLeast(score*math.Exp(-b*l), hours)
		}
		return c
	}
	q := func(prob float64) float64 {
		lo, hi := -12.0, 12.0
		if f(hi) < prob {
			return math.Inf(1)
		}
		if f(lo) >= prob {
			return 0
		}
		for hi-lo > 1e-7 {
			mid := (lo + hi) / 2
			if f(mid) < prob {
				lo = mid
			} else {
				hi = mid
			}
		}
		return math.Exp((lo + hi) / 2)
	}
	d := Dose{Factor: q(0.5), Low: q(0.05), High: q(0.95)}
	switch {
	case d.Factor > 3:
		d.Warnings = append(d.Warnings, "More than three times the dose: change it in two steps and taste between.")
	case d.Factor < 1.0/3:
		d.Warnings = append(d.Warnings, "Less than a third of the dose: change it in two steps and taste between.")
	}
	return d
}

// Rescue is how to bring an overdone jar back by plain spirit.
type Rescue struct {
	Needed    bool    // the jar is more likely too strong than not
	Volumes   float64 // of plain spirit to one volume of jar: median
	Low, High float64 // 90 % interval
	Practical bool    // at most five volumes: beyond, keep it as a concentrate
}

// mostVolumes is common practice, no source: beyond it one keeps the jar as a
// concentrate.
const mostVolumes = 5.0

// Rescue says how much plain spirit brings the jar of now (hours since the
// botanical went in) down to a wanted score, strength being proportional to
// concentration^β.
func (p *Posterior) Rescue(score, hours float64, exponent Normal) Rescue {
	if !(score > 0) {
		return Rescue{Needed: true, Volumes: math.Inf(1), Low: math.Inf(1), High: math.Inf(1)}
	}
	d := p.DoseFor(score, hours, exponent)
	volumes := func(f float64) float64 { return math.Max(0, 1/f-1) }
	r := Rescue{Volumes: volumes(d.Factor), Low: volumes(d.High), High: volumes(d.Low)}
	r.Needed = p.ChanceAtLeast(score, hours) > 0.5
	r.Practical = r.Volumes <= mostVolumes
	return r
}

// Palate says what a kind of taste does to the mouth.
type Palate string

// The kinds of taste.
const (
	Gentle  Palate = "gentle"
	Cooling Palate = "cooling" // menthol
	Hot     Palate = "hot"     // capsaicin
	Numbing Palate = "numbing" // eugenol
)

// Sitting is how much one sitting can bear.
type Sitting struct {
	Samples    int
	GapMinutes float64
	Words      string
}

// Sitting returns the limits for a kind of taste. They are choices of this
// program built on published findings: a third taste of eugenol at one-minute
// gaps meets a numb mouth for ten minutes or more; capsaicin sensitises at gaps
// under 3.5 minutes and dulls at 5.5 to 14.5; menthol needs 20 to 22 minutes;
// plain crackers keep replicates alike for all kinds of food.
func (p Palate) Sitting() Sitting {
	const between = " A plain cracker and water between; weakest first; the same hour and dilution each time."
	switch p {
	case Cooling:
		return Sitting{2, 20, "Cooling tastes linger: wait before anything else." + between}
	case Hot:
		return Sitting{2, 20, "Heat builds up and then dulls: one hot sample, at most two, in a sitting." + between}
	case Numbing:
		return Sitting{2, 10, "It numbs the tongue: taste it last." + between}
	}
	return Sitting{4, 2, "Small sips, not held in the mouth." + between}
}

// OptimalPair returns the two times up to horizon at which equally many tastings
// say most about plateau and rate together (D-optimal) when the rate is about
// as given: 1/k − T·exp(−kT)/(1 − exp(−kT)), and the horizon T itself.
//
// Reference: Box, G. E. P., Lucas, H. L. (1959). Design of experiments in
// non-linear situations. Biometrika 46, 77-90.
func OptimalPair(rate, horizon float64) (first, last float64) {
	u := rate * horizon
	if !(u > 1e-6) { // limit of the formula for a straight line
		return horizon / 2, horizon
	}
	return (1 - u/math.Expm1(u)) / rate, horizon
}
