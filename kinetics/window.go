package kinetics

import (
	"fmt"
	"math"
)

// Limit is an unwanted taste that may end a steep before the wanted one is
// there.
type Limit struct {
	Name  string
	Curve *Posterior // of the unwanted taste in the jar
	Max   float64    // highest score in the jar that is still welcome
	// OffsetH is added to the botanical's time to get the time of Curve, for
	// botanicals that went in later than the jar was started.
	OffsetH float64
}

// Aim is what a steep is for.
type Aim struct {
	// Score wanted in the jar. 0: as strong as it gets, which is 80 % of the
	// plateau, where a taster stops noticing more.
	Score  float64
	Limits []Limit
	// EarlyLoss and LateLoss are what it costs to pull too early and too late,
	// per unit of time, in any one currency. 0, 0: balanced, the median. The
	// best time is the EarlyLoss/(EarlyLoss+LateLoss) quantile: earlier where
	// over-steeping spoils.
	EarlyLoss, LateLoss float64
}

// What ends a steep.
const (
	ByTarget  = "target"  // the wanted strength
	ByWatch   = "watch"   // an unwanted taste
	ByPlateau = "plateau" // it gets no stronger worth noticing
	ByDecline = "decline" // it was at its best and falls; Pull never says so itself
	ByNone    = "none"    // nothing finite does
)

// Window is when to pull, in hours of the botanical's own time.
type Window struct {
	// From, Best, Until: taste from here (10 %), expect it here, nothing to gain
	// after this (90 %). +Inf where not reached.
	From, Best, Until float64
	// Low, High: 90 % interval of the time.
	Low, High float64
	// Never is the probability that the wanted strength is never reached.
	Never float64
	// LimitedBy is ByTarget, ByWatch, ByPlateau, ByDecline or ByNone.
	LimitedBy string
	// Watch names the unwanted taste when LimitedBy is ByWatch.
	Watch string
	// Extrapolated marks a Best more than twice as late as the last tasting.
	// Without tastings it is false: State says PriorOnly then.
	Extrapolated bool
	Warnings     []string
}

// Pull combines the wanted strength with the unwanted tastes. Where a target is
// more likely never reached than the best quantile allows, the window is that of
// the plateau, and Best is never later than the time to 95 % of the plateau. An unwanted taste whose 25 % quantile comes before Best ends the
// steep; the window is then that of whichever comes first, the curves taken as
// independent.
func (p *Posterior) Pull(a Aim) Window {
	w := Window{LimitedBy: ByTarget}
	q := 0.5
	switch s := a.EarlyLoss + a.LateLoss; {
	case a.EarlyLoss < 0 || a.LateLoss < 0 || !finite(s):
		w.Warnings = append(w.Warnings, "The losses of pulling early and late must be zero or more; they are taken as equal.")
	case s > 0:
		q = math.Min(0.95, math.Max(0.05, a.EarlyLoss/s))
	}
	score := a.Score
	if !(score >= 0) || math.IsInf(score, 1) {
		w.Warnings = append(w.Warnings, "The wanted strength must be a number from 0 to 10; the window is for as strong as it gets.")
		score = 0
	}
	if score > 0 {
		w.Never = p.neverReaches(score)
		switch {
		case w.Never > 0.5 || w.Never >= 1-q:
			w.Warnings = append(w.Warnings, fmt.Sprintf("It will probably (%s) never be as strong as wanted: the window is for as strong as it gets. More of the botanical would help, more time will not.", percent(w.Never)))
			score = 0
		case w.Never >= 0.05:
			w.Warnings = append(w.Warnings, fmt.Sprintf("There is a %s chance that it never gets as strong as wanted: more of the botanical would help, more time will not.", percent(w.Never)))
		}
	}
	if score == 0 {
		w.LimitedBy = ByPlateau
	}
	w.Best = p.Quantile(score, q)
	if score > 0 {
		if late := p.shareQuantile(nearlyAll, q); w.Best > late {
			w.Best, w.LimitedBy = late, ByPlateau
			w.Warnings = append(w.Warnings, "By then it has given nearly all it will: if it is too weak, longer will not help, more of the botanical will.")
		}
	}
	chance := func(t float64) float64 {
		if score == 0 {
			return p.chanceShareBy(noticeable, t)
		}
		f, _ := p.reached(score, t)
		return f
	}

	type watch struct {
		Limit
		cautious float64
	}
	var watches []watch
	for _, l := range a.Limits {
		if l.Curve == nil || !finite(l.Max) || !finite(l.OffsetH) {
			w.Warnings = append(w.Warnings, fmt.Sprintf("The unwanted taste %q has no curve or no limit: it is left out.", l.Name))
			continue
		}
		at := 0.0
		if l.Max > 0 {
			at = l.Curve.scoreQuantile(l.Max, watchQuantile, math.NaN()) - l.OffsetH
		} else {
			at = -l.OffsetH
		}
		if at <= 0 {
			w.Warnings = append(w.Warnings, fmt.Sprintf("%s may be over its limit before this botanical goes in.", l.Name))
			at = 0
		}
		watches = append(watches, watch{l, at})
		if at < w.Best {
			w.Best, w.LimitedBy, w.Watch = at, ByWatch, l.Name
		}
	}
	first := func(t float64) float64 { // P(whichever comes first ≤ t)
		left := 1 - chance(t)
		for _, l := range watches {
			if l.Max <= 0 {
				left *= 0
				continue
			}
			f, _ := l.Curve.reached(l.Max, math.Max(0, t+l.OffsetH))
			left *= 1 - f
		}
		return 1 - left
	}
	quant := func(q float64) float64 {
		if len(watches) == 0 {
			return p.Quantile(score, q)
		}
		return bisectTime(first, q, p.meanLK)
	}
	w.Low, w.From, w.Until, w.High = quant(0.05), quant(0.10), quant(0.90), quant(0.95)
	w.From = math.Min(w.From, w.Best)
	w.Low = math.Min(w.Low, w.From)
	w.Until = math.Max(w.Until, w.Best)
	w.High = math.Max(w.High, w.Until)
	if math.IsInf(w.Best, 1) {
		w.LimitedBy = ByNone
	}
	if p.tmax > 0 && w.Best > beyondFactor*p.tmax {
		w.Extrapolated = true
		w.Warnings = append(w.Warnings, "The time lies more than twice as far as the last tasting: taste again before you trust it.")
	}
	return w
}

// bisectTime solves F(t) = q for an increasing F on a log scale around 1/k.
func bisectTime(f func(float64) float64, q, logRate float64) float64 {
	lo, hi := -logRate-40, -logRate+25
	if f(math.Exp(lo)) >= q {
		return 0
	}
	if f(math.Exp(hi)) < q {
		return math.Inf(1)
	}
	for hi-lo > 1e-9 {
		mid := (lo + hi) / 2
		if f(math.Exp(mid)) < q {
			lo = mid
		} else {
			hi = mid
		}
	}
	return math.Exp((lo + hi) / 2)
}

// percent prints a probability for a sentence.
func percent(p float64) string {
	switch {
	case p < 0.01:
		return "less than 1 %"
	case p > 0.99:
		return "more than 99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}
