package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/kinetics"
)

// What a year on the shelf takes, as a share of the flavour. Judgement, no
// source: makers find last year's whole cloves weaker and ground spice dull
// within a season. The rate of loss is known to a factor, so that the doubt
// grows with the age.
const (
	wholeLossPerYear = 0.10 // dried and whole, cracked or cut
	fineLossPerYear  = 0.25 // ground, and dried leaf and flower
	lossLogSD        = 0.7  // of the loss per year, as a share of it
	oldestYears      = 10   // beyond it the law says nothing more
)

// age is what time has taken from a botanical since it was bought.
type age struct {
	years   float64
	kind    string  // "dried, whole" and so on
	perYear float64 // share lost in a year; 0: it does not age on a shelf
}

// ageless are the kinds whose flavour does not fade as a spice's does, or fades
// in ways of its own: wood, sugar-rich dried fruit, nuts that turn rancid.
var ageless = []string{"wood", "fruit", "nut", "vegetable", "coffee", "cacao"}

// shelfLife says how a botanical ages once bought; perYear is 0 where it does
// not, or where it is not known what it is.
func (h *herb) shelfLife() (kind string, perYear float64) {
	switch {
	case h.known == nil || slices.Contains(ageless, h.known.Kind):
		return "", 0
	case h.known.Fresh:
		return "fresh", 0
	}
	cut := " " + plainWords(h.cut.Name) + " "
	for _, w := range []string{"ground", "powder", "flake"} {
		if strings.Contains(cut, " "+w+" ") {
			return "dried, ground", fineLossPerYear
		}
	}
	switch h.known.Kind {
	case "herb", "leaf", "flower", "tea":
		return "dried leaf or flower", fineLossPerYear
	}
	return "dried, whole", wholeLossPerYear
}

// age is nil where no day was written.
func (h *herb) age(b *batch.Batch) *age {
	if h.entry.Bought.IsZero() {
		return nil
	}
	const year = 365.25 * 24
	g := &age{years: math.Max(b.At(h.entry.In).Sub(h.entry.Bought).Hours()/year, 0)}
	g.kind, g.perYear = h.shelfLife()
	return g
}

// left is the natural logarithm of the share of the flavour that is left, and
// its standard deviation: −λt ± 0.7·λt, with λ = −ln(1 − loss per year) and t in
// years, at most ten. Zero for what does not age or has no date.
func (g *age) left() (mean, sd float64) {
	if g == nil || g.perYear == 0 {
		return 0, 0
	}
	m := math.Log1p(-g.perYear) * math.Min(g.years, oldestYears)
	return m, lossLogSD * -m
}

// faded multiplies a plateau by a log-normal share of the amount, carried to
// the score by the exponent: exp(exponent·N(mean, sd²)). Mean and variance of
// the product are exact for independent factors; its shape is taken as normal.
func faded(c kinetics.Normal, mean, sd, exponent float64) kinetics.Normal {
	m, s2 := exponent*mean, math.Pow(exponent*sd, 2)
	f, f2 := math.Exp(m+s2/2), math.Exp(2*m+2*s2)
	v := f2*(c.Mean*c.Mean+c.SD*c.SD) - f*f*c.Mean*c.Mean
	return kinetics.Normal{Mean: c.Mean * f, SD: math.Sqrt(math.Max(v, 0))}
}

// words says what the age did; exponent carries it to the score.
func (g *age) words(exponent float64) string {
	since := fmt.Sprintf("bought %s before it went in", yearsAgo(g.years))
	switch {
	case g.kind == "fresh":
		return since + ": fresh things are not aged by it"
	case g.perYear == 0:
		return since + ": how it ages is not known, so that changes nothing"
	}
	m, sd := g.left()
	const z = ninety / 2
	return fmt.Sprintf("%s: %.0f %% of its flavour left (%.0f-%.0f %%), so the end x %.2f; judgement, no source: %s loses about %.0f %% a year",
		since, 100*math.Exp(m), 100*math.Exp(m-z*sd), 100*math.Exp(math.Min(m+z*sd, 0)), math.Exp(exponent*m), g.kind, 100*g.perYear)
}

func yearsAgo(years float64) string {
	if months := years * 12; months < 18 {
		return quantity.Counted(int(math.Round(months)), "month", "months")
	}
	return quantity.FormatNumber(math.Round(10*years)/10) + " years"
}

// wantsLot reports whether it is a dried spice or herb of which neither the age
// nor the packet is written.
func (h *herb) wantsLot() bool {
	_, perYear := h.shelfLife()
	return perYear > 0 && h.known.Forbidden == "" && h.known.Kind != "citrus" && h.entry.Lot == "" && h.entry.Bought.IsZero()
}

// sameLot is a lot's text as it is compared: "" is no lot, and no other is the
// same as that.
func sameLot(text string) string { return plainWords(text) }

// lotLogSD is how far the ends of two packets of one botanical lie apart, as the
// standard deviation of the logarithm: judgement, a packet is a quarter stronger
// or weaker than another.
const lotLogSD = 0.25

// lotEnd is one batch's own word on the plateau: what its tastings say, their
// prior taken out again, at the reference dose.
type lotEnd struct {
	lot         string
	y, variance float64
}

// lotModel is a normal model of plateaus with known variances:
//
//	μ ~ N(prior),  lot_l ~ N(μ, between),  batch_j ~ N(lot_l(j), within),  y_j ~ N(batch_j, variance_j)
type lotModel struct {
	prior           kinetics.Normal
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
func (m lotModel) of(ends []lotEnd, lot string) kinetics.Normal {
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
		s.py += w * e.y
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
		return kinetics.Normal{Mean: mean, SD: math.Sqrt(variance + m.between + m.within)}
	}
	b := 1 / (1 + s.p*m.between)
	return kinetics.Normal{
		Mean: b*mean + (1-b)*s.py/s.p,
		SD:   math.Sqrt(b*b*variance + m.between*b + m.within),
	}
}

// lotStep is how a jar's lot moves the plateau that was learned of all jars at
// the reference dose: by shift, and to ratio of its spread. siblings are the
// batches of the same lot.
//
// The learning knows no lots. Its spread between batches T is split by the
// judgement that lots differ by a quarter while batches differ by the spread the
// learning starts from: between = ρT, within = (1 − ρ)T. Where a share q of the
// pairs of batches are of different lots, the spread seen is only
// (1 − ρ + qρ)T. The step is the difference between this model and the same one
// with a lot for every batch, so that it is nothing where no lot is shared.
func (l *lesson) lotStep(lot string) (shift, ratio float64, siblings int) {
	learned, beta := &l.learned, l.learned.DoseExponent.Mean
	var ends, single []lotEnd
	for i, w := range l.teachers {
		e := lotEnd{lot: w.lot, y: learned.Ends[i].Mean, variance: learned.Ends[i].Variance}
		if e.variance == 0 {
			continue
		}
		if dose := w.doseGPerL * math.Exp(w.left); dose > 0 && learned.ReferenceDose > 0 {
			d := math.Pow(dose/learned.ReferenceDose, beta)
			e.y, e.variance = e.y/d, e.variance/(d*d)
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
	hyper := l.hyper
	c := math.Min(math.Max(learned.Plateau.Mean, 1), topScore)
	between := math.Pow(lotLogSD*c, 2)
	rho := between / (between + kinetics.DefaultPlateauSpread*kinetics.DefaultPlateauSpread)
	seen := math.Pow(learned.PlateauSpread.Mean, 2) + math.Pow(learned.PlateauSpread.SD, 2)
	total := seen
	if pairs > 0 {
		total = seen / (1 - rho + rho*float64(apart)/float64(pairs))
	}
	with := lotModel{hyper.Plateau, rho * total, (1 - rho) * total}.of(ends, lot)
	without := lotModel{hyper.Plateau, rho * seen, (1 - rho) * seen}.of(single, "")
	return with.Mean - without.Mean, with.SD / without.SD, siblings
}
