package steeping

import (
	"math"

	"steepbook/data/library"
	"steepbook/kinetics"
	"steepbook/kinetics/jar"
	"steepbook/shelf/mixture"
)

// TopScore is the upper end of the tasting scale; a score there says "this or
// more".
const TopScore = float64(kinetics.WholeScores - 1)

// suspected is how likely a flavour brings an unwanted taste that is one of those that may, where the
// dose is asked: nobody adds of what one jar in ten says is the source. Judgement.
const suspected = 0.1

// Believe takes over what is known of a wanted flavour, with its scores.
func Believe(j *Steeped, c *Curve, b *jar.Belief, scores []jar.Score) {
	c.Posterior, c.Tasted, c.inBottle, c.strength = b.Posterior, b.Tasted, b.InBottle, b.Posterior.Strength
	if c.Target != nil {
		c.JarTarget = *c.Target / b.Factor
	}
	c.points(scores, b.Factor, b.Gains(), c.InH, j.nowH)
	if c.JarH > 0 {
		now := b.Strength(c.JarH)
		c.JarNow, c.BottleNow = figureOf(now), figureOf(c.inBottle(now))
	}
}

// Suspect takes over what is known of an unwanted taste, with its scores; the curve that is shown
// is that of the flavour which most likely brings it.
func Suspect(j *Steeped, c *Curve, of *jar.Suspicion, scores []jar.Score) {
	c.Tasted = of.Tasted
	c.inBottle = func(iv kinetics.Interval) kinetics.Interval { return scaled(iv, of.Factor) }
	for _, src := range of.Sources {
		if f := &j.Curves[src.Flavour]; src.Flavour == of.Likeliest() {
			c.Posterior, c.InH, c.OutH, c.JarH = src.Posterior, f.InH, f.OutH, f.JarH
			if src.Probability > 0.5 || len(of.Sources) == 1 {
				c.From = f.Name
			}
		}
		if src.Probability >= suspected {
			c.suspects = append(c.suspects, j.Curves[src.Flavour].Name)
		}
	}
	if c.Posterior == nil { // nothing steeps that could bring it
		c.JarH = j.nowH
		c.Posterior, _ = kinetics.Usual(library.Unknown().RatePerH.Value,
			library.Unknown().RateGSD).Posterior(nil)
	}
	if c.Order.Do != jar.Out {
		c.OutH = nil
	}
	if c.strength = c.Posterior.Strength; len(of.Sources) > 0 {
		c.strength = func(own float64) kinetics.Interval { return of.Strength(c.InH + own) }
	}
	c.Prior = c.Posterior.Prior()
	c.points(scores, of.Factor, c.Posterior.Gains(), math.Inf(-1), j.nowH)
	if c.JarH > 0 && len(of.Sources) > 0 {
		now := of.Strength(j.nowH)
		c.JarNow, c.BottleNow = figureOf(now), figureOf(c.inBottle(now))
	}
}

func figureOf(iv kinetics.Interval) mixture.Range {
	return mixture.Range{Value: iv.Mean, Low: iv.P05, High: iv.P95}
}

func scaled(iv kinetics.Interval, by float64) kinetics.Interval {
	return kinetics.Interval{Mean: by * iv.Mean, SD: by * iv.SD, P05: by * iv.P05, P25: by * iv.P25,
		Median: by * iv.Median, P75: by * iv.P75, P95: by * iv.P95}
}

// Ends is the strength in the bottle that it comes to if it stays in.
func (c *Curve) Ends() mixture.Range { return figureOf(c.inBottle(c.Posterior.Plateau())) }

// BottleStrength is its strength in the bottle after so many hours in the jar, of an unwanted taste from all
// that may bring it.
func (c *Curve) BottleStrength(hours float64) kinetics.Interval {
	return c.inBottle(c.strength(hours))
}

// BottleAt is the strength in the bottle if it had been pulled after so many
// hours.
func (c *Curve) BottleAt(hours float64) mixture.Range {
	return figureOf(c.BottleStrength(hours))
}

// Thinned is how strong it would be in the bottle if what that is now were such a share of the drink.
func (c *Curve) Thinned(share float64) float64 {
	return kinetics.Diluted(c.BottleNow.Value, share, c.Exponent.Mean)
}

// points carries the scores to bottle strength and, with several tasters, to the
// scale of their middle; factor is the bottle's strength of a jar strength of 1.
// Those outside of from and to, in hours of the jar, are left out.
func (c *Curve) points(scores []jar.Score, factor float64, gains []kinetics.Gain, from, to float64) {
	noise, _ := c.Posterior.Noise()
	for _, s := range scores {
		if s.Hours < from || s.Hours > to+1e-6 {
			continue
		}
		step := factor * kinetics.Undiluted(1, s.Share, c.Exponent.Mean)
		by := step
		for _, g := range gains {
			if g.Taster == s.Taster && g.Factor > 0.1 {
				by /= g.Factor
			}
		}
		c.Points = append(c.Points, Point{Hours: s.Hours, Score: s.Value * by, SD: noise * by, Step: step,
			AtLeast: s.Value >= TopScore, Taster: s.Taster})
	}
	sortPoints(c.Points)
	c.Warnings = append(c.Warnings, tastersDiffer(gains)...)
}
