package bench

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"steepbook/kinetics"
)

// Sitting is the next tasting: when, and in which order.
type Sitting struct {
	// AtH is hours since the start of the batch; DoubtH how much earlier or
	// later makes no difference.
	AtH, DoubtH float64
	// Order names the flavours, weakest first, what numbs the palate last.
	Order  []string
	Advice string
}

// NextSitting gathers what is due within the hour of the first tasting that is
// due, or returns nil when nothing is.
func (a *Assessment) NextSitting() *Sitting {
	first := math.Inf(1)
	for i := range a.Curves {
		if c := &a.Curves[i]; c.NextH != nil && c.OutH == nil {
			first = math.Min(first, *c.NextH)
		}
	}
	if math.IsInf(first, 1) {
		return nil
	}
	// What is due soon after is tasted with it: the jar is open anyway.
	slack := math.Max((first-a.ElapsedH)/4, 0.25)
	var due []*Curve
	for i := range a.Curves {
		if c := &a.Curves[i]; c.NextH != nil && c.OutH == nil && *c.NextH <= first+slack {
			due = append(due, c)
		}
	}
	sort.SliceStable(due, func(i, j int) bool {
		fi, fj := due[i].fierce(), due[j].fierce()
		if fi != fj {
			return fj
		}
		return due[i].JarNow.Value < due[j].JarNow.Value
	})
	s := &Sitting{AtH: first, DoubtH: slack}
	palate := kinetics.Gentle
	for _, c := range due {
		s.Order = append(s.Order, c.Name)
		if c.fierce() {
			palate = c.palate()
		}
	}
	limit := palate.Sitting()
	switch {
	case len(due) > limit.Samples:
		s.Advice = fmt.Sprintf("No more than %d at a sitting: leave the rest for another hour. %s", limit.Samples, limit.Words)
	case palate != kinetics.Gentle && len(due) > 1:
		s.Advice = limit.Words
	}
	return s
}

// PullNow reports whether the botanical is to come out without another
// tasting: it is overdue, and not by the usual range alone.
func (c *Curve) PullNow() bool {
	switch {
	case !c.Overdue || c.Watch || c.OutH != nil:
		return false
	case c.Late != nil && c.JarH > c.Late.UsualH, c.Window.LimitedBy == kinetics.ByWatch:
		return true
	}
	return c.Tasted > 0 || c.OwnBatches > 0
}

// untasted takes the next tasting from what is to come out now: by itself, or
// because it brings an unwanted taste that is at its limit.
func (a *Assessment) untasted() {
	for i := range a.Curves {
		c := &a.Curves[i]
		drop := c.PullNow()
		for j := range a.Curves {
			if w := &a.Curves[j]; !c.Watch && w.Watch && w.Overdue && a.watches(w, c) {
				drop = true
			}
		}
		if drop {
			c.NextH, c.NextWhy = nil, "it is to come out now"
		}
	}
}

// palate is what the taste does to the mouth.
func (c *Curve) palate() kinetics.Palate {
	switch {
	case c.Known == nil || !c.Known.Fierce:
		return kinetics.Gentle
	case c.Known.Class == "heat":
		return kinetics.Hot
	case c.Known.Kind == "herb" || c.Known.Kind == "leaf":
		return kinetics.Cooling
	}
	return kinetics.Numbing
}

func (c *Curve) fierce() bool { return c.Known != nil && c.Known.Fierce }

// Base names what the botanicals steep in, "grape brandy 57 %".
func (a *Assessment) Base() string {
	var names []string
	for _, s := range a.Batch.Spirits {
		n := s.Name
		if n == "" {
			n = "spirit"
		}
		if s.ABVPercent != nil {
			n += fmt.Sprintf(" %g %%", *s.ABVPercent)
		}
		names = append(names, n)
	}
	return strings.Join(names, " + ")
}

// sampleML is how much a tasting sample is: two teaspoons, in halves of one.
const (
	sampleML     = 10
	sampleStepML = 2.5
)

// syrupSugarGPerML is the sugar in a mL of syrup of equal weights of sugar and
// water: 50 mass % of 1.2297 g/mL (ICUMSA polynomial at 20 °C).
const syrupSugarGPerML = 0.615

// sample finds the mix that tastes at bottle strength and sweetness now.
func (a *Assessment) sample() {
	share := a.Blend.Result.BottleFraction
	if !a.Blend.Have() || share <= 0 || share > 0.97 {
		return
	}
	rest := sampleML * (1 - share)
	syrup := math.Min(a.Blend.Result.SugarGPerL.Value/1000*sampleML/syrupSugarGPerML, rest)
	s, err := kinetics.SampleAtBottleStrength(sampleML*share, []kinetics.Part{
		{Name: "syrup (sugar and water, equal weights)", VolumeML: syrup}, {Name: "water", VolumeML: rest - syrup},
	}, sampleStepML)
	if err == nil {
		a.Sample = s
	}
}

// Standing says in a few words how far the tastings carry; empty when they
// carry far enough for a date.
func (c *Curve) Standing() string {
	switch c.State {
	case kinetics.PriorOnly:
		if c.OwnBatches > 0 {
			return fmt.Sprintf("from %s of yours, not this jar yet", counted(c.OwnBatches, "batch", "batches"))
		}
		return "usual range, not your jar yet"
	case kinetics.OneTasting, kinetics.UsualRange:
		if c.OwnBatches > 0 {
			return fmt.Sprintf("mostly from %s of yours", counted(c.OwnBatches, "batch", "batches"))
		}
	}
	switch c.State {
	case kinetics.OneTasting:
		return "one moment tasted: mostly the usual range"
	case kinetics.AllOnPlateau:
		return "done by the first tasting"
	case kinetics.StraightRise:
		return "still rising straight: where it ends is open"
	case kinetics.UsualRange:
		return "mostly the usual range, not your jar"
	case kinetics.RangeOnly:
		return "a range, not a date yet"
	}
	return ""
}
