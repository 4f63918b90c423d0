package steeping

import (
	"math"
	"slices"

	"steepbook/cmd/internal/recipe"
	"steepbook/data/quantity"
	"steepbook/kinetics/jar"
)

// Limits of advice about a dose. Judgement: less than a fifth either way is no change worth making; a
// range wider than fourfold is no advice, unless all of it is a doubling at least, nor is one that holds
// the present dose; beyond one and a half times the upper end of the usual range a jar is full of it.
const (
	surelyMore  = 2.0
	leastChange = 1.25
	widestDose  = 4.0
	fullJar     = 1.5
)

// Advise finds how much to use next time of a botanical, written as h into so many litres of spirit,
// for the strength wanted when it comes out: nothing where something else than its strength ends the
// steep, nor of what may bring an unwanted taste that is at its limit.
func Advise(j *Steeped, c *Curve, h *recipe.Botanical, baseML float64, units quantity.System) {
	if c.Watch || c.Target == nil || *c.Target == 0 || c.Tasted == 0 || c.Forbidden != "" {
		return
	}
	switch o := &c.Order; {
	case o.Why == jar.Spoils, o.Why == jar.Fades, o.Do == jar.Nothing:
		return
	}
	at := c.Order.BestH - c.InH
	if c.OutH != nil {
		at = c.JarH
	}
	if math.IsInf(at, 1) || at <= 0 {
		return
	}
	d := c.Posterior.DoseFor(c.JarTarget, at, c.Exponent)
	for i := range j.Curves {
		if w := &j.Curves[i]; d.Factor > 1 && w.atLimit() && slices.Contains(w.suspects, c.Name) {
			return
		}
	}
	if d.Factor > 1/leastChange && d.Factor < leastChange || d.Low < 1 && d.High > 1 ||
		d.High > widestDose*d.Low && d.Low < surelyMore || math.IsInf(d.Factor, 1) || d.Factor == 0 {
		return
	}
	c.Dose = &Dose{Factor: d.Factor, Low: d.Low, High: d.High, AtH: at, Warnings: d.Warnings}
	if d.Factor < 1 && c.OutH != nil {
		// Too strong is a matter of time first, where the time can be hit.
		if w := c.Posterior.TimeToScore(c.JarTarget); w.Median > 0.5 && w.Never < 0.5 {
			c.Dose.PullH = w.Median
		}
	}
	if h.Weight == nil || h.Entry.Amount == nil {
		return
	}
	if usual, now := h.Cut.DoseGPerL.High, h.DoseGPerL(baseML); usual > 0 && now > 0 &&
		d.Factor*now > fullJar*math.Max(usual, now) {
		c.Dose = nil // no jar holds so much: time, or a finer cut
		return
	}
	c.Dose.GramsNow = h.Weight.G
	c.Dose.Grams, _, _ = d.Grams(h.Weight.G)
	next, _ := quantity.Kitchen(h.Entry.Amount.Times(quantity.Rounded(d.Factor*h.Entry.Amount.Mid(),
		2)/h.Entry.Amount.Mid()), units)
	c.Dose.Amount, c.Dose.AmountNow = next.String(), h.Entry.Amount.String()
}

// atLimit reports of an unwanted taste that it is likelier over its limit than
// not, or was last scored at it.
func (c *Curve) atLimit() bool {
	n := len(c.Points)
	return c.Watch && (c.Order.Exceeds() || n > 0 && c.Points[n-1].Score >= c.Limit)
}
