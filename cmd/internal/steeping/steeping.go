// Package steeping is how the flavours of one jar steep, as plain values: a Curve of each, told
// from what kinetics/jar believes of it, and what a maker does about them: the next sitting and
// its sample, what else is strained, how much to use next time.
package steeping

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/kinetics"
	"steepbook/kinetics/jar"
	"steepbook/kinetics/leastsq"
	"steepbook/kinetics/panel"
	"steepbook/shelf/mixture"
)

// Steeped is the answer to how long each thing steeps.
type Steeped struct {
	// Curves holds the botanicals as written, then the watched tastes.
	Curves []Curve
	// NextH is when the jar is tasted next, hours since the start; +Inf where
	// nothing is gained by it.
	NextH float64
	// Rescue is set when a flavour is past what was wanted.
	Rescue *Rescue
	// Sample is the mix that tastes at bottle strength; it has no parts where
	// the blend is not known, or nothing is added and it does not numb.
	Sample panel.Sample
	// ThinnedABV is how strong it is in % vol where it is thinner than the bottle, which numbs; else 0.
	ThinnedABV float64
	// LessSweet: so much water as in the syrup of the sample is not in the bottle.
	LessSweet bool
	// Warnings concern the steep as a whole.
	Warnings []string

	nowH, lastH float64 // of this answer, and of the last tasting before it
}

// New is that of a jar of which nothing is known yet, at an hour since its start, last tasted
// at another, 0 for never.
func New(nowH, lastH float64) *Steeped {
	return &Steeped{NextH: math.Inf(1), nowH: nowH, lastH: lastH}
}

// Curve is one flavour of the jar: a botanical's, or a watched taste.
type Curve struct {
	Name, Cut string
	// Watch marks an unwanted taste; Limit is then the most that is wanted in
	// the bottle.
	Watch bool
	Limit float64
	// Known is the library's entry, nil for the maker's own word; Botanical is
	// what the maker wrote, nil for a watch.
	Known     *library.Botanical
	LibCut    *library.Cut
	Botanical *batch.Botanical

	// Fine: only straining takes it out, with all that is in.
	Fine bool
	// Forbidden says why it must not be steeped at all; empty for all that may.
	Forbidden string

	// InH and OutH are hours since the start of the batch; OutH is nil while
	// the botanical is in the jar. JarH is how long it has been in the jar, or what brings an unwanted taste,
	// whose clock that of Posterior is: what is out brings no more of it.
	InH  float64
	OutH *float64
	JarH float64
	// Tasted counts the scores that speak of this flavour.
	Tasted int
	Points []Point
	Prior  kinetics.Prior
	// OwnBatches counts the other batches of the book that taught the prior.
	OwnBatches int
	// Moved says how the library's rate was carried to this jar.
	Moved     []string
	Posterior *kinetics.Posterior
	// From is the flavour that most likely brings an unwanted taste.
	From string
	// Share is what all that goes in later leaves of the liquid that the steep
	// began with in the bottle (0-1), Exponent how a score follows an amount: a
	// score of that liquid times Share^Exponent is the bottle's score.
	Share    float64
	Exponent kinetics.Normal

	// Target is the strength wanted in the bottle, nil when none was written;
	// JarTarget is the same carried back to the liquid that the steep began with.
	Target    *float64
	JarTarget float64
	// JarNow, in that liquid, and BottleNow are the strength at this moment, 90 % range.
	JarNow, BottleNow mixture.Range
	// Order is what to do about it, decided by the package jar alone.
	Order jar.Order
	// Dose is how much to use next time, nil where it is right or not known.
	Dose     *Dose
	Warnings []string

	inBottle func(kinetics.Interval) kinetics.Interval
	strength func(hours float64) kinetics.Interval // in the liquid it steeps in, after so many hours
	tasted   float64                               // by the next tasting, in that liquid
	// suspects are the flavours that may bring an unwanted taste.
	suspects []string
}

// Curve is the flavour of a name, nil where there is none.
func (j *Steeped) Curve(name string) *Curve {
	i := slices.IndexFunc(j.Curves, func(c Curve) bool { return strings.EqualFold(c.Name, name) })
	if i < 0 {
		return nil
	}
	return &j.Curves[i]
}

// OnlyStrained reports whether a strainer takes it out, with all that only a strainer
// does; else it is pulled alone.
func (c *Curve) OnlyStrained() bool { return c.Fine || c.Order.Do == jar.Strain }

// StrainedWith names what else is in the jar that only a strainer takes out, of a flavour that
// is such: they come out at one moment.
func (j *Steeped) StrainedWith(c *Curve) (names []string) {
	for i := range j.Curves {
		x := &j.Curves[i]
		if c.Fine && x.Fine && x.Name != c.Name && x.OutH == nil && x.InH <= j.nowH &&
			x.Order.Do != jar.Stays {
			names = append(names, x.Name)
		}
	}
	return names
}

// InJar reports whether the botanical is steeping at this moment.
func (c *Curve) InJar() bool { return c.OutH == nil && c.JarH > 0 && !c.Watch }

// ComesOut reports whether it is steeping, and does not stay in the bottle.
func (c *Curve) ComesOut() bool { return c.InJar() && c.Order.Do != jar.Stays }

// Steeps reports whether anything is in the jar that is to come out of it.
func (j *Steeped) Steeps() bool {
	return slices.ContainsFunc(j.Curves, func(c Curve) bool { return c.ComesOut() })
}

// AllThere reports whether what ends its steep is that no more comes, and not that it is
// as strong as wanted.
func (c *Curve) AllThere() bool {
	return c.Order.Why == jar.AllThere || c.Target == nil || c.Order.Short()
}

// Right is how long it steeps, in hours of its own: its best time, with the 90 %
// range of the time at which it is as strong as wanted. It is false where no time is
// best.
func (c *Curve) Right() (f mixture.Range, ok bool) {
	o := &c.Order
	best := o.BestH - c.InH
	low, high := math.Min(o.Crossing.P05-c.InH, best), math.Max(o.Crossing.P95-c.InH, best)
	return mixture.Range{Value: best, Low: low, High: high}, !math.IsInf(best, 1)
}

// StaysTo is to which hour since the start of the jar what stays in the bottle is as good as it can be there:
// from then on it is clearly worse, and comes to be too strong; false where it may stay for good.
func (c *Curve) StaysTo() (hours float64, ends bool) {
	o := &c.Order
	return o.UntilH, o.Do == jar.Stays && c.Target != nil && o.Why != jar.Fades && o.Why != jar.AllThere && !math.IsInf(o.UntilH, 1)
}

// Staying gives each flavour that is right in the bottle to an hour alone, with that; none that nobody tasted,
// for nothing is taken out untasted.
func (j *Steeped) Staying(each func(name string, toH float64)) {
	for i := range j.Curves {
		if h, ends := j.Curves[i].StaysTo(); ends && j.Curves[i].Tasted > 0 {
			each(j.Curves[i].Name, h)
		}
	}
}

// Levels is when most of what there is to get of it is out, in hours since the start of the jar.
func (c *Curve) Levels() kinetics.Wait {
	if c.Posterior == nil {
		return kinetics.Wait{}
	}
	return c.Posterior.TimeToShare(kinetics.NearlyAll).Map(func(h float64) float64 { return h + c.InH })
}

// Moved is what its tastings have told since it was known otherwise.
type Moved string

// What they told. A taste that is weaker than thought has its best time sooner, for less is still to come,
// and one that is stronger than thought may have it later: neither is a pace.
const (
	AsThought Moved = "about as thought"
	Slower    Moved = "slower than thought"
	Faster    Moved = "faster than thought"
	Weaker    Moved = "weaker than thought, so that less is to come"
	Stronger  Moved = "stronger than thought, so that more is to come"
)

// movedBy is from how much longer a time on it is said to have moved. Judgement.
const movedBy = 1.15

// Since is how its time has moved since it was known as old, by its best time and by the strength that it
// is believed to have at the best time of before; and the width of the middle half of its range, as a
// factor, over the old one, NaN where either has no end.
func (c *Curve) Since(old *Curve) (moved Moved, wider float64) {
	width := func(c *Curve) float64 { return (c.Order.Crossing.P75 - c.InH) / (c.Order.Crossing.P25 - c.InH) }
	wider = math.NaN()
	if !math.IsInf(width(c), 0) && !math.IsInf(width(old), 0) {
		wider = width(c) / width(old)
	}
	was := old.Order.BestH - old.InH
	times := (c.Order.BestH - c.InH) / was
	if moved = AsThought; math.IsInf(was, 1) || !(times > movedBy || times < 1/movedBy) {
		return moved, wider
	}
	switch more := c.BottleAt(was).Value > old.BottleAt(was).Value; {
	case times > 1 && more:
		moved = Stronger
	case times > 1:
		moved = Slower
	case more:
		moved = Faster
	case times < 1:
		moved = Weaker
	}
	return moved, wider
}

// Surprised is where a score at bottle strength was to be expected at that moment, and
// whether it lies outside that 99 times in 100: a slip of the tongue or of the pen
// then, or a jar that is not what it was taken for. A flavour that was tasted less
// than twice surprises nobody.
func (c *Curve) Surprised(r Point) (expected mixture.Range, surprised bool) {
	const mostInAHundred = 2.576 // the normal quantile
	if c.Tasted < 2 || c.inBottle == nil {
		return mixture.Range{}, false
	}
	iv := c.BottleStrength(math.Max(r.Hours-c.InH, 0))
	noise, _ := c.Posterior.Noise()
	by := mostInAHundred * math.Hypot(iv.SD, math.Max(noise, r.SD))
	expected = mixture.Range{Value: iv.Mean, Low: math.Max(iv.Mean-by, 0), High: math.Min(iv.Mean+by, 10)}
	return expected, r.Score > iv.Mean+by && r.Score > expected.Low || r.Score < iv.Mean-by && !r.AtLeast
}

// Point is one tasting of one flavour, carried to bottle strength and, with
// several tasters, to the scale of their middle.
type Point struct {
	// Hours is since the start of the batch; Score and SD are points in the
	// bottle, Step how many times as strong the bottle is as the sample. AtLeast marks
	// a score at the top of the scale.
	Hours, Score, SD, Step float64
	AtLeast                bool
	Taster                 string
}

// Scored is the last tasting of a moment, in hours of the batch, by a taster; nil where there is none.
func (c *Curve) Scored(hours float64, taster string) (found *Point) {
	for i := 0; c != nil && i < len(c.Points); i++ {
		if p := &c.Points[i]; p.Hours == hours && p.Taster == taster {
			found = p
		}
	}
	return found
}

// Rescue is what brings an overdone drink back to the strength wanted.
type Rescue struct {
	// Name is the flavour that is furthest over; Volumes how much plain spirit
	// goes to one volume of what there is, SpiritML and VolumeML that spirit and
	// all of it then. Thins names what gets weaker that is not over; More: what is
	// still to go in grows with it.
	Name               string
	Volumes            float64
	SpiritML, VolumeML float64
	// Practical: otherwise it is more than kinetics.MostVolumes, maybe +Inf.
	Practical bool
	// Ask: another score is worth more than thinning at once.
	Ask   bool
	Thins []string
	More  bool
}

// Dose is how much of a botanical to use next time, for the strength
// wanted after AtH hours in the jar. Factor is the new dose over the old one;
// the grams are zero where nobody weighed it. Ranges are 90 %.
type Dose struct {
	Factor, Low, High float64
	GramsNow, Grams   float64
	// Amount is that dose in the measure the maker wrote, AmountNow the present
	// one; empty where the grams are zero.
	Amount, AmountNow string
	AtH               float64
	// PullH is when to pull it with the dose unchanged, 0 where time is not the
	// lever.
	PullH    float64
	Warnings []string
}

// NeverIn reports whether it was to go in after everything was out.
func (c *Curve) NeverIn() bool { return !c.Watch && c.OutH != nil && c.InH > 0 && *c.OutH <= c.InH }

// LeastSquares is the plain first-order curve through the tastings of a flavour, at
// bottle strength and with equal weights: what a spreadsheet gives, and what nothing
// rests on. The errors are those of leastsq.FirstOrder.
func (c *Curve) LeastSquares() (leastsq.Fit, error) {
	var hours, scores []float64
	for _, r := range c.Points {
		if !r.AtLeast {
			hours, scores = append(hours, r.Hours-c.InH), append(scores, r.Score)
		}
	}
	return leastsq.FirstOrder(hours, scores)
}

// Standing says in a few words how far the tastings carry; empty when they
// carry far enough.
func (c *Curve) Standing() string {
	moments := map[float64]bool{}
	for _, p := range c.Points {
		moments[p.Hours] = true
	}
	switch own := quantity.Counted(c.OwnBatches, "batch", "batches"); {
	case len(moments) == 0 && c.OwnBatches > 0:
		return fmt.Sprintf("from %s of yours, not this jar yet", own)
	case len(moments) == 0:
		return "the usual range, not your jar yet"
	case len(moments) == 1 && c.OwnBatches > 0:
		return fmt.Sprintf("tasted once: mostly from %s of yours", own)
	case len(moments) == 1:
		return "tasted once: mostly the usual range"
	}
	return ""
}
