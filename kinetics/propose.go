package kinetics

import (
	"fmt"
	"math"
	"sort"
)

// Proposal is another reading of the tastings than a plain rise. It is offered,
// never taken silently.
type Proposal struct {
	Curve Curve // empty when the proposal is about a single score
	// Evidence is the gain in log evidence over the plain curve: 3 is a factor of
	// 20. It contains the price of the extra parameters.
	Evidence float64
	Words    string
	// PeakHours is where a rise and loss is strongest, 0 for others or when the
	// tastings do not fix it.
	PeakHours float64
	// Tasting is the position of a single odd score in the tastings given, −1 for
	// proposals about the curve.
	Tasting int
}

const (
	enoughEvidence = 3.0
	oddScore       = 3.0 // prior-predictive standard deviations
	runsLevel      = 0.05
	runsPoints     = 8
	phaseTimes     = 8
	phaseSpan      = 100.0
)

// Propose compares the plain first-order curve with the others that these
// tastings could tell apart, and looks for single odd scores. The strongest
// evidence comes first; nil means that the plain curve will do.
//
// An early jump, a delay and a decline need four times, two phases eight times
// over two decades: with less the difference is not in the data.
func (p Prior) Propose(ts []Tasting) ([]Proposal, error) {
	post, err := p.Posterior(ts)
	if err != nil {
		return nil, err
	}
	var used []Tasting
	var place []int
	for i, t := range ts {
		if t.Hours > 0 {
			used, place = append(used, t), append(place, i)
		}
	}
	var out []Proposal
	plain := post.LogEvidence()
	add := func(c Curve, words string) {
		if gain := p.evidence(c, used) - plain; gain >= enoughEvidence {
			out = append(out, Proposal{Curve: c, Evidence: gain, Words: words, Tasting: -1})
		}
	}
	if post.times >= 4 {
		if p.Early.off() {
			add(EarlyJump, "Part of the flavour was there at once, washed off the surface; only the rest keeps coming.")
		}
		add(Delayed, "Nothing came for a while, then it rose: the pieces had to wet through first.")
		add(RiseLoss, declineWords)
		if n := len(out); n > 0 && out[n-1].Curve == RiseLoss {
			out[n-1].PeakHours = peakOf(used)
		} else if p.fallsAway(post, used) {
			out = append(out, Proposal{Curve: RiseLoss, Evidence: p.evidence(RiseLoss, used) - plain, Words: declineWords, PeakHours: peakOf(used), Tasting: -1})
		}
	}
	if post.times >= phaseTimes && post.tmax >= phaseSpan*post.tmin {
		add(TwoPhase, "It came in two waves, a fast one from the surface or fines and a slow one from the pieces.")
	}
	out = append(out, p.oddOnes(used, place)...)
	if len(out) == 0 && len(used) >= runsPoints {
		if plus, minus, runs := post.signs(); RunsTest(plus, minus, runs) < runsLevel {
			out = append(out, Proposal{Words: "The tastings run above the curve for a stretch and below it for another: a plain rise may be the wrong shape.", Tasting: -1})
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Evidence > out[j].Evidence })
	return out, nil
}

const declineWords = "It was stronger before than it is now: steeped past its best, or a tired nose, an off-note, another dilution. Re-taste beside a kept sample before you believe it."

// peakOf is the least-squares peak of a rise and loss, 0 when it is not
// determined.
func peakOf(ts []Tasting) float64 {
	var x, y []float64
	for _, t := range ts {
		x, y = append(x, t.Hours), append(y, t.Score)
	}
	f, err := FitCurve(RiseLoss, x, y, nil)
	if err != nil {
		return 0
	}
	at, _ := f.Peak()
	return at
}

// fallsAway reports whether the last two scores lie more than two standard
// deviations below the highest point of the curve before them.
func (p Prior) fallsAway(post *Posterior, ts []Tasting) bool {
	if len(ts) < 5 {
		return false
	}
	s := append([]Tasting(nil), ts...)
	sort.SliceStable(s, func(i, j int) bool { return s[i].Hours < s[j].Hours })
	before, err := p.Posterior(s[:len(s)-2])
	if err != nil {
		return false
	}
	top := before.Strength(s[len(s)-3].Hours).Mean
	noise := post.Noise().Median
	for _, t := range s[len(s)-2:] {
		factor, _ := post.gainOf(t.Taster)
		if factor*top-t.Score <= 2*math.Hypot(noise, t.ExtraSD) {
			return false
		}
	}
	return true
}

// oddOnes looks for scores far from what the other tastings foretell.
func (p Prior) oddOnes(ts []Tasting, place []int) []Proposal {
	var out []Proposal
	if len(ts) < 2 {
		return nil
	}
	people := len(tasters(ts))
	for i, t := range ts {
		rest := append(append([]Tasting(nil), ts[:i]...), ts[i+1:]...)
		post, err := p.Posterior(rest)
		if err != nil {
			continue
		}
		if z := post.Surprise(t); math.Abs(z) > oddScore {
			words := fmt.Sprintf("The score%s at %.3g h does not fit the others: taste again before you trust it.", whose(t.Taster, people), t.Hours)
			if len(ts) > 4 {
				words += " It can also be given less weight."
			}
			out = append(out, Proposal{Words: words, Tasting: place[i]})
		}
	}
	if len(out) > len(ts)/3 {
		return nil // so many odd ones are not single odd ones
	}
	return out
}

// whose names the taster of a score where there are several.
func whose(taster string, people int) string {
	switch {
	case people < 2:
		return ""
	case taster == "":
		return " without a name"
	}
	return " of " + taster
}

// Surprise is how far a new score lies from what this posterior foretells, in
// standard deviations of the prediction for that taster (noise included). Beyond ±3: taste
// again. A censored score surprises only from above: 0 when it lies at or under
// the mean.
func (p *Posterior) Surprise(t Tasting) float64 {
	r := p.Reading(t.Hours)
	factor, sd := p.gainOf(t.Taster)
	z := (t.Score - factor*r.Mean) / math.Hypot(math.Hypot(r.SD, t.ExtraSD), sd*r.Mean)
	if t.Censored {
		z = math.Max(0, z)
	}
	return z
}

// signs counts the signs of the residuals in order of time.
func (p *Posterior) signs() (plus, minus, runs int) {
	s := append([]Tasting(nil), p.tastings...)
	sort.SliceStable(s, func(i, j int) bool { return s[i].Hours < s[j].Hours })
	var r []float64
	for _, t := range s {
		factor, _ := p.gainOf(t.Taster)
		r = append(r, t.Score-factor*p.Strength(t.Hours).Mean)
	}
	return countRuns(r)
}

// Runs counts the signs of the residuals of a fit, in the order given, and the
// runs of equal sign; zeros are left out.
func (f CurveFit) Runs(t, y []float64) (plus, minus, runs int) {
	var r []float64
	for i := range t {
		r = append(r, y[i]-f.At(t[i]))
	}
	return countRuns(r)
}

func countRuns(r []float64) (plus, minus, runs int) {
	last := 0
	for _, v := range r {
		sign := 0
		switch {
		case v > 0:
			plus++
			sign = 1
		case v < 0:
			minus++
			sign = -1
		default:
			continue
		}
		if sign != last {
			runs++
			last = sign
		}
	}
	return plus, minus, runs
}

// RunsTest is the exact probability of so many runs or fewer among n1 signs of
// one kind and n2 of the other in random order.
//
// Reference: Wald, A., Wolfowitz, J. (1940). On a test whether two samples are
// from the same population. Ann. Math. Stat. 11, 147-162.
func RunsTest(n1, n2, runs int) float64 {
	if n1 < 1 || n2 < 1 {
		return 1
	}
	total := choose(n1+n2, n1)
	s := 0.0
	for r := 2; r <= runs; r++ {
		m := r / 2
		if r%2 == 0 {
			s += 2 * choose(n1-1, m-1) * choose(n2-1, m-1)
		} else {
			s += choose(n1-1, m)*choose(n2-1, m-1) + choose(n1-1, m-1)*choose(n2-1, m)
		}
	}
	return math.Min(1, s/total)
}

// choose is the binomial coefficient, exact up to 2^53.
func choose(n, k int) float64 {
	if k < 0 || k > n {
		return 0
	}
	c := 1.0
	for i := 1; i <= min(k, n-k); i++ {
		c = c * float64(n-i+1) / float64(i)
	}
	return math.Round(c)
}

// FRatio is the F statistic of a richer fit against a plainer one of the same
// readings, on (plain.DF − rich.DF, rich.DF) degrees of freedom.
func FRatio(plain, rich CurveFit) float64 {
	extra := float64(plain.DF - rich.DF)
	return (plain.RSS - rich.RSS) / extra / (rich.RSS / float64(rich.DF))
}
