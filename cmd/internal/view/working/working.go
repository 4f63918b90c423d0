// Package working prints how the answers about a batch were worked out: formulas in
// words, values, units and sources, so that they can be redone by hand.
package working

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/cmd/internal/steeping"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/recipe"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/lookup"
	"steepbook/cmd/internal/view/steep"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/kinetics/jar"
	"steepbook/kinetics/leastsq"
	"steepbook/shelf"
	"steepbook/shelf/growth"
	"steepbook/shelf/mixture"
	"steepbook/shelf/spoilage"
)

// Screen is how the answers of steep, blend and keep come about, a line a step.
func Screen(a *bench.Assessment, style pen.Style) pen.Screen {
	s := pen.Screen{Say: []string{a.Batch.Name + ": how its answers come about; every step with its sources: --why"},
		Danger: bottle.CanHurt(a)}
	row := func(what, format string, args ...any) {
		s.Rows = append(s.Rows, []string{what, fmt.Sprintf(format, args...)})
	}
	u := workingUnits(style)
	row("went in", "%s, each weighed or taken for its weight",
		quantity.Counted(len(a.Recipe.Inputs(a.Batch)), "thing", "things"))
	if b := &a.Blend; b.Have() {
		q := b.Result.Parts
		row("masses", "%s %s of ethanol, %s of water, %s of sugar, %s of acid are left in the bottle; volumes are never added",
			pen.Significant(q.Ethanol/u.g, 4), u.mass, pen.Significant(q.Water/u.g,
				4), pen.Significant(q.SugarG()/u.g, 4),
			pen.Significant(q.AcidG()/u.g, 3))
		row("strength", "%s %s of ethanol in %s of it is %s %% vol", u.weight(q.Ethanol), u.mass,
			style.Volume(q.VolumeML(20)), pen.Fixed(q.ABVPercent(), 1))
	} else {
		row("bottle", "cannot be worked out: %s", strings.Join(b.Missing, "; "))
	}
	for i := range a.Curves {
		c := &a.Curves[i]
		k := c.Posterior.Rate()
		row(c.Name, "rate %s per hour (%s to %s) after %s", pen.Trim(k.Median), pen.Trim(k.P05),
			pen.Trim(k.P95),
			quantity.Counted(len(c.Points), "tasting", "tastings"))
	}
	v := &a.Keep.Verdict
	row("keeps", "%s, by %s held against the worse end of each range", v.Verdict,
		quantity.Counted(len(v.Reasons), "rule", "rules"))
	return s.Said(style.Units)
}

// Print prints how the answers come about; with why the calculation of steep, blend and
// keep step by step, with formulas in words, values, units and sources, so that it can be
// redone by hand.
func Print(p *pen.Page, a *bench.Assessment, lib *library.Library, why bool) error {
	switch {
	case p.JSON:
		return p.WriteJSON(workingJSON(a))
	case !why:
		p.Screen(Screen(a, p.Style), pen.OfScreen)
		return p.Done()
	}
	cited := lookup.Citations{Lib: lib}
	u := workingUnits(p.Style)
	p.Answer("%s", "1. What went in")
	p.Table([]string{"what", "as written", "ethanol " + u.mass, "water " + u.mass, "sugar " + u.mass,
		"acid " + u.mass,
		"keeps " + u.volume, "how the amount was read"},
		pen.Each(a.Recipe.Inputs(a.Batch), func(in *recipe.Input) []string {
			kept, why := "", in.How
			if in.KeptML > 0 {
				kept = u.liquid(in.KeptML)
			}
			if _, ok := lib.Source(in.Source); ok {
				why += " " + cited.Mark(in.Source, in.Grade)
			} else if in.Source != "" {
				why += ", " + in.Source
			}
			if in.Composition != "" {
				why += "; make-up " + cited.Mark(in.Composition, library.Published)
			}
			q := in.Parts
			return []string{in.Name, in.Written, u.weight(q.Ethanol), u.weight(q.Water), u.weight(q.SugarG()),
				u.weight(q.AcidG()), kept, why}
		}))
	p.Line("")
	blendWorking(p, a)
	steepWorking(p, a, &cited)
	keepWorking(p, a)
	cited.Print(p)
	return p.Done()
}

// reckoned is what the working is reckoned in, so that it can be redone as it stands.
type reckoned struct {
	mass, volume   string
	g, ml          float64 // size of the two
	liquidDecimals int
}

func workingUnits(p pen.Style) reckoned {
	if p.Units == quantity.US {
		return reckoned{"oz wt", "fl oz", 1 / quantity.Ounces(1), 1 / quantity.FluidOunces(1), 2}
	}
	return reckoned{"g", "ml", 1, 1, 0}
}

// weight prints a mass [g] to be reckoned with; none for what is next to nothing.
func (u reckoned) weight(g float64) string {
	if g < 0.05 {
		return ""
	}
	return pen.Significant(g/u.g, 4)
}

func (u reckoned) liquid(ml float64) string { return pen.Fixed(ml/u.ml, u.liquidDecimals) }

func blendWorking(p *pen.Page, a *bench.Assessment) {
	p.Answer("%s", "2. What is in the bottle")
	if b := &a.Blend; b.Have() {
		resultWorking(p, &b.Result)
	} else {
		for _, m := range b.Missing {
			p.Item("cannot be worked out: %s", m)
		}
	}
	p.Line("")
}

func resultWorking(p *pen.Page, r *mixture.Result) {
	q, u := r.Parts, workingUnits(p.Style)
	p.Para("Masses are added, volumes never: alcohol and water shrink together. "+
		"In the bottle: %s %s ethanol, %s water, %s sugar, %s acid.",
		pen.Significant(q.Ethanol/u.g, 4), u.mass, pen.Significant(q.Water/u.g, 4),
		pen.Significant(q.SugarG()/u.g, 4),
		pen.Significant(q.AcidG()/u.g, 3))
	if len(r.Steps) > 0 {
		bottle.StepTable(p, r.Steps)
	}
	share := 0.0
	if q.Ethanol+q.Water > 0 {
		share = q.Ethanol / (q.Ethanol + q.Water)
	}
	p.Item("volume = (ethanol + water) / density of that mixture + room taken by what is dissolved (about "+
		"%s %s per %s of sugar). Mass fraction of ethanol %s; density by OIML R 22 (1975).",
		pen.Significant(0.625*u.g/u.ml, 3), u.volume, u.mass, pen.Significant(share, 4))
	pure, volume := pen.Significant(0.78924*u.ml/u.g, 5), u.liquid(q.VolumeML(20))
	p.Item("strength = ethanol / %s %s per %s / volume = %s %s / %s / %s %s = %s %% vol",
		pure, u.mass, u.volume, u.weight(q.Ethanol), u.mass, pure, volume, u.volume,
		pen.Fixed(q.ABVPercent(), 2))
	p.Item("sugar = %s %s / %s %s x %s = %s g/L",
		u.weight(q.SugarG()), u.mass, volume, u.volume, pen.Significant(1000*u.g/u.ml, 4),
		pen.Fixed(q.SugarGPerL(), 0))
	if r.PHKnown {
		p.Item("pH: strong ions + H+ = charge of the acids, solved for pH with citric acid pKa 3.128, "+
			"4.761, 6.396 (+0.014 per %% vol of alcohol) and Davies activities: %s (%s-%s)",
			pen.Fixed(r.PH.Value, 1), pen.Fixed(r.PH.Low, 1), pen.Fixed(r.PH.High, 1))
		if q.BufferMMol > 0 {
			p.Item("what may blunt the acid: up to %s mmol, 18 x ash + protein in %% of the weight of what "+
				"no titration is known for, as the salt of an acid of pKa 4.5. None of it gives the low "+
				"end of the pH, half the middle, all the high end.",
				pen.Significant(q.BufferMMol, 2))
		}
		if q.StrangeMMol > 0 {
			p.Item("what nobody knows may blunt it too, with up to %s mmol: in the high end of the pH alone.",
				pen.Significant(q.StrangeMMol, 2))
		}
	}
	p.Item("water activity = (share of the alcohol, Redlich-Kister form fitted to Pemberton and Mash 1978) "+
		"x (share of sugar and acid, Norrish form) with a cross term: %s", pen.Ranged(r.WaterActivity))
	for _, f := range []mixture.Property{mixture.Volume, mixture.ABV, mixture.Sugar} {
		var shares []string
		for i, c := range r.Causes[f] {
			if i == 4 || c.Fraction < 0.01 {
				break
			}
			shares = append(shares, c.Cause+" "+pen.Percent(c.Fraction))
		}
		if len(shares) > 0 {
			p.Item("what makes the range of the %s: %s of its variance", f, strings.Join(shares, ", "))
		}
	}
}

func steepWorking(p *pen.Page, a *bench.Assessment, cited *lookup.Citations) {
	if len(a.Curves) == 0 {
		return
	}
	p.Answer("%s", "3. When to pull")
	p.Para("strength in the jar = plateau x (e + (1 - e) x shape(rate x hours)), where e is the share that is "+
		"washed out at once and the shape first order (1 - e^-x), slower or faster at the start, or falling again, each weighed by how well it fits. The rate starts from "+
		"the library's range, the plateau from the dose; each tasting moves both (a grid over shape, "+
		"rate, plateau and noise; a score stands for the half point about it, 10 for 10 or more, 0 "+
		"for nothing). The bottle's strength = jar x share^exponent. Pulled when the expected "+
		"loss, the square of what is missing or too much plus the square of what an "+
		"unwanted taste is over its limit, is least, and when no tasting more would be "+
		"worth its price of %s points squared.", pen.Significant(jar.SittingCost, 1))
	for i := range a.Curves {
		p.Line("")
		curveWorking(p, &a.Curves[i], cited)
	}
	p.Line("")
}

func curveWorking(p *pen.Page, c *steeping.Curve, cited *lookup.Citations) {
	p.Answer("%s", steep.Flavour(c))
	if c.LibCut != nil {
		k := c.LibCut.RatePerH
		p.Item("library rate %s per hour, times or divided by %s %s", pen.Trim(k.Value),
			pen.Trim(c.LibCut.RateGSD),
			cited.Mark(k.Source, k.Grade))
	}
	if e := c.Prior.Early; e > 0 && c.LibCut != nil {
		from := c.LibCut.EarlyShare
		p.Item("washed out at once e = %s of the plateau %s", pen.Trim(e),
			cited.Mark(from.Source, from.Grade))
	}
	p.Items(c.Moved)
	p.Item("starting belief: rate %s per hour, times or divided by %s; plateau %s ± %s",
		pen.Trim(math.Exp(c.Prior.LogRate.Mean)),
		pen.Trim(math.Exp(c.Prior.LogRate.SD)), pen.Fixed(c.Prior.Plateau.Mean, 1),
		pen.Fixed(c.Prior.Plateau.SD, 1))
	for _, r := range c.Points {
		who, more, scale := "", "", ""
		if r.Taster != "" {
			who = " by " + r.Taster
		}
		if r.AtLeast {
			more = " or more"
		}
		if len(c.Posterior.Gains()) > 1 {
			scale = ", on the scale of the middle of the tasters"
		}
		p.Item("tasted at %s%s: %s%s at bottle strength%s, ± %s", quantity.Span(r.Hours-c.InH), who,
			pen.Score(r.Score),
			more, scale, pen.Fixed(r.SD, 1))
	}
	if text := leastSquares(c); text != "" {
		p.Item("%s", text)
	}
	k, y := c.Posterior.Rate(), c.Posterior.Plateau()
	p.Item("after the tastings: rate %s per hour (%s-%s), plateau %s (%s-%s)", pen.Trim(k.Median),
		pen.Trim(k.P05),
		pen.Trim(k.P95),
		pen.Fixed(y.Median, 1), pen.Fixed(y.P05, 1), pen.Fixed(y.P95, 1))
	if c.Target != nil {
		p.Item("wanted in the bottle %s; what goes in later leaves %s of the liquid in it that the steep began with; in that liquid %s / %s^%s = %s",
			pen.Trim(*c.Target), pen.Trim(c.Share), pen.Trim(*c.Target), pen.Trim(c.Share),
			pen.Trim(c.Exponent.Mean),
			pen.Fixed(c.JarTarget, 1))
	}
	var shapes []string
	for _, s := range c.Posterior.Shapes() {
		if s.Weight >= 0.05 {
			shapes = append(shapes, s.Name+" "+pen.Percent(s.Weight))
		}
	}
	p.Item("shape: %s", strings.Join(shapes, ", "))
	if !c.Watch && c.OutH == nil {
		bed := ""
		if c.Order.Bedtime {
			bed = " (bedtime, it would be for longer)"
		}
		p.Item("least loss at %s; within half a point squared of it from %s to %s%s; %s",
			quantity.Span(c.Order.BestH-c.InH), quantity.Span(c.Order.FromH-c.InH),
			quantity.Span(c.Order.UntilH-c.InH), bed,
			steep.Because(c))
	}
}

// leastSquares tells the plain fit, to be compared with a spreadsheet.
func leastSquares(c *steeping.Curve) string {
	const level, lead = 0.9, "for a spreadsheet, plain least squares through these"
	f, err := c.LeastSquares()
	switch {
	case errors.Is(err, leastsq.ErrStraight):
		return fmt.Sprintf("%s: a straight rise of %s an hour, its end open", lead, pen.Trim(f.Slope))
	case errors.Is(err, leastsq.ErrFlat):
		return fmt.Sprintf("%s: flat at %s, risen before the first", lead, pen.Fixed(f.Plateau, 1))
	case err != nil:
		return ""
	}
	low, high := f.PlateauInterval(level)
	ends := "open"
	if !math.IsInf(low, 0) && !math.IsInf(high, 0) {
		ends = pen.Fixed(low, 1) + " to " + pen.Fixed(high, 1)
	}
	kLow, kHigh := f.RateInterval(level)
	text := fmt.Sprintf("%s, y = C (1 - e^-kt) with equal weights and no belief: C %s (%s), k "+
		"%s per hour (%s to %s)",
		lead, pen.Fixed(f.Plateau, 1), ends, pen.Trim(f.Rate), pen.Trim(kLow), view.OpenOr(kHigh, pen.Trim))
	if c.Target != nil {
		if at, from, until := f.TimeInterval(*c.Target, level); math.IsInf(at, 1) {
			text += fmt.Sprintf("; it stays below %s", pen.Trim(*c.Target))
		} else {
			text += fmt.Sprintf("; %s after %s (%s to %s)", pen.Trim(*c.Target), quantity.Span(at),
				quantity.Span(from), quantity.Span(until))
		}
	}
	return text
}

func keepWorking(p *pen.Page, a *bench.Assessment) {
	v := &a.Keep.Verdict
	p.Answer("%s", "4. Where it keeps")
	p.Para("Each rule is held against the worse end of the range.")
	if len(v.Reasons) > 0 {
		p.Table([]string{"met", "rule, and where it is from"},
			pen.Each(v.Reasons, func(r *shelf.Reason) []string {
				row := bottle.ReasonRow(r)
				row[1] += " [" + r.Source + "]"
				return row
			}))
	}
	p.Para("Verdict: %s, confidence %s. Delle units (sugar g/100 ml + 4.5 x %% vol, "+
		"for wine yeast only): %s.",
		v.Verdict, v.Confidence, pen.Fixed(v.DelleUnits, 0))
	if list := a.Keep.Verdict.Coefficients(); len(list) > 0 {
		p.Line("")
		p.Para("The days: rate = optimum x temperature x pH x water x alcohol x interaction, time = (lag "+
			"work + ln(visible / start)) / rate, the tenth of 160 strains that ends first, at %s %% vol in "+
			"the worst case. Coefficients of what ends it first, %s, and of all guilds:",
			pen.Fixed(a.WorstABV(), 1), v.Guild)
		p.Table([]string{"figure", "value", "known as", "where it is from"},
			pen.Each(list, func(c *spoilage.Coefficient) []string {
				return []string{strings.ReplaceAll(c.Quantity, "_", " "),
					strings.TrimSuffix(fmt.Sprintf("%.4g %s", c.Value, c.Unit), " 1"), c.Grade, c.Source}
			}))
		if v.Rule != "" {
			p.Para("A published or judged time comes sooner: %s (data/tables/keeping-times.csv).", v.Rule)
		}
	}
	if there := a.Blend.Bottle.Conditions(v.AtC); a.Blend.Whole() {
		p.Line("")
		p.Para("Microbe by microbe, sealed at %.0f~°C, by the most permissive limit that was read; "+
			"\"open\" means that no limit rules it out, not that it will grow:", v.AtC)
		p.Table([]string{"", "organism", "kind", "by what"},
			pen.Each(growth.Organisms(), func(o *growth.Organism) []string {
				grows, why := growth.CanGrow(*o, there)
				if grows {
					return []string{"open", o.Name, o.Group, ""}
				}
				return []string{"held", o.Name, o.Group, why}
			}))
	}
}

// workingJSON is what went in, as it is counted, and the rules of the keeping
// judgement.
func workingJSON(a *bench.Assessment) pen.Object {
	begins := pen.Object{pen.As("batch", a.Batch.Name), pen.As("danger", bottle.CanHurt(a))}
	return slices.Concat(begins, bottle.JudgedJSON(a.Keep), pen.Object{
		pen.As("inputs", pen.Each(a.Recipe.Inputs(a.Batch), func(in *recipe.Input) pen.Object {
			return pen.Object{
				pen.As("stage", in.Stage),
				pen.As("name", in.Name),
				pen.As("written", in.Written),
				pen.As("how", in.How),
				pen.As("source", in.Source),
				pen.As("ethanol_g", in.Parts.Ethanol),
				pen.As("water_g", in.Parts.Water),
				pen.As("sugar_g", in.Parts.SugarG()),
				pen.As("acid_g", in.Parts.AcidG()),
				pen.As("kept_ml", in.KeptML),
			}
		})),
		pen.As("rules", a.Keep.Verdict.Reasons),
	})
}
