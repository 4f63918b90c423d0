package bench

import (
	"fmt"
	"math"
	"slices"

	"steepbook/cmd/internal/prior"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/kinetics"
	"steepbook/kinetics/cores"
	"steepbook/kinetics/jar"
	"steepbook/kinetics/leastsq"
	"steepbook/shelf/mixture"
)

// topScore is the upper end of the tasting scale; a score there says "this or
// more".
const topScore = float64(kinetics.WholeScores - 1)

// steep works out every flavour of the jar: what the library and the book say of
// it, what the scores add, and the one order that all views word.
func (a *Assessment) steep() error {
	p, lib := a.Recipe, a.lib
	share := a.bottleShare(p)
	a.Warnings = append(a.Warnings, a.tastingsAhead()...)
	var j jar.Jar
	for i := range p.Botanicals {
		c, f := a.wanted(&p.Botanicals[i], lib, share, p.BaseML())
		a.Curves, j.Flavours = append(a.Curves, c), append(j.Flavours, f)
	}
	for i := range a.Batch.Watches {
		c, u := a.watched(&a.Batch.Watches[i], lib, share)
		a.Curves, j.Unwanted = append(a.Curves, c), append(j.Unwanted, u)
	}
	j.Awake, j.Handy, j.LastH = a.awake, a.evening, a.JarLastH()
	r, err := j.At(a.ElapsedH)
	if err != nil {
		return err
	}
	a.NextH = r.NextH
	cores.Each(len(a.Curves), func(i int) {
		c := &a.Curves[i]
		c.Order = r.Orders[i]
		if n := len(j.Flavours); i < n {
			c.believe(&r.Wanted[i], j.Flavours[i].Scores, a.ElapsedH)
		} else {
			c.suspect(&r.Unwanted[i-n], j.Unwanted[i-n].Scores, a)
		}
		c.Warnings = append(c.Warnings, tastersDiffer(c.Posterior.Gains())...)
	})
	cores.Each(len(a.Curves), func(i int) { a.dose(&a.Curves[i], p, lib) })
	a.rescue(lib)
	return nil
}

// bottleShare is how much of a mL of the bottle is the liquid that the steep began with, less by
// what joined the jar and by what goes in after it. Where the blend cannot be worked out it is the
// share by volume of what is known, never a whole bottle of jar: that would pull everything early.
func (a *Assessment) bottleShare(p *recipe.Lines) float64 {
	warn := func(text string) { a.Warnings = append(a.Warnings, text) }
	switch {
	case a.Blend.Have() && a.Blend.Result.BottleFraction > 0:
		for _, text := range slices.Concat(a.Blend.Absent, a.Blend.Unread) {
			warn("how far the additions thin the jar is not sure: " + text)
		}
		return a.Blend.Result.BottleFraction * a.neat(ended)
	case a.Blend.Have() && len(p.Bases) > 0:
		warn("the solids would keep all of the liquor, so nothing of the jar reaches a bottle: use more spirit, or less of them")
	case len(a.Blend.Missing) > 0 && len(p.Additions) > 0 && len(p.Bases) > 0:
		jarML, rest := 0.0, 0.0
		for _, b := range a.Batch.Spirits {
			jarML += roughML(b.Amount)
		}
		for _, e := range a.Batch.Additions {
			rest += roughML(e.Amount)
		}
		if jarML > 0 && rest > 0 {
			warn("how far the additions thin the jar is taken by volume alone: " + a.Blend.Missing[0])
			return jarML / (jarML + rest)
		}
		warn("how far the additions thin the jar is not known, so wanted strengths are read as strengths in the jar: " + a.Blend.Missing[0])
	}
	return 1
}

// roughML is a written amount as a volume, a gram for a millilitre; 0 where it is
// neither.
func roughML(a *quantity.Amount) float64 {
	if a == nil {
		return 0
	}
	if _, ml, _, ok := a.Millilitres(); ok {
		return ml
	}
	_, g, _, _ := a.Grams()
	return g
}

// stillUpH is for how many hours somebody who did something at a jar is up after it, whatever the
// clock says: who puts tea in at midnight waits for it. Judgement.
const stillUpH = 0.5

// awake is the waking day of the house about a moment of the jar, for orders that
// can wait until somebody is up.
func (a *Assessment) awake(hours float64) (before, after float64) {
	t := a.Batch.At(hours).In(a.Now.Location())
	last, next := a.question.House.Up(t)
	if done := a.Batch.LastH(math.Min(hours, a.ElapsedH)); last.Equal(next) || hours >= done && hours <= done+stillUpH {
		return hours, hours
	}
	return last.Sub(a.Batch.Started).Hours(), next.Sub(a.Batch.Started).Hours()
}

// evening is the evening of the house that is nearest to a moment of the jar.
func (a *Assessment) evening(hours float64) float64 {
	t := a.Batch.At(hours).In(a.Now.Location())
	return a.question.House.Evening(t).Sub(a.Batch.Started).Hours()
}

// WhenUp is when a flavour may as well come out that comes out best at an hour of the jar: the
// next hour at which somebody is up, or the last one before it, while its stretch lasts; else
// the hour itself, as it is where somebody is up then.
func (a *Assessment) WhenUp(o *jar.Order, hours float64) float64 {
	at, _ := a.WhenUpWithin(o.FromH, o.UntilH, hours)
	return at
}

// WhenUpWithin is the same of any stretch from one hour of the jar until another; night reports
// that it lies in the night all the same.
func (a *Assessment) WhenUpWithin(from, until, hours float64) (at float64, night bool) {
	if math.IsInf(hours, 0) {
		return hours, false
	}
	switch before, after := a.awake(hours); {
	case after <= until:
		return after, false
	case before >= from && before > a.ElapsedH:
		return before, false
	default:
		return hours, before != after
	}
}

// tastingsAhead says of each tasting that lies ahead of now that it does not
// count yet.
func (a *Assessment) tastingsAhead() []string {
	var said []string
	for _, t := range a.Batch.Tastings {
		if !t.By(a.ElapsedH) {
			said = append(said, fmt.Sprintf("a tasting at %s lies ahead of now, so it does not count yet",
				t.When.Format("2~Jan 2006~15:04")))
		}
	}
	return said
}

// wanted is the flavour of a botanical: its line in the answer, and what the
// decision is told of it.
func (a *Assessment) wanted(h *recipe.Botanical, lib *library.Library, share, baseML float64) (Curve,
	jar.Flavour) {
	e := &h.Entry
	n := prior.Exponent(h.Known, lib)
	c := Curve{
		Name: e.Name, Cut: e.Cut, Known: h.Known, LibCut: h.Cut, Botanical: e,
		InH: e.In, Fine: h.Fine(), Share: share, Exponent: n.Value, Target: e.Target,
	}
	c.Warnings = oddities(h, baseML, a.FatToLift())
	if h.Known != nil {
		c.Forbidden = h.Known.Forbidden
	}
	if c.Cut == "" {
		c.Cut = h.Cut.Name
	}
	if hours, out := recipe.OutBy(a.Batch, e, a.ElapsedH); out {
		hours = math.Max(hours, c.InH) // what never went in
		c.OutH = &hours
	}
	b := a.asker().Believe(h)
	c.Prior, c.Moved, c.OwnBatches = b.Prior, b.Moved, b.Batches
	f := jar.Flavour{
		Name: e.Name, Prior: c.Prior, InH: c.InH, OutH: math.Inf(1), Bottle: jar.Dilution{Share: share,
			Exponent: prior.Normal(n)},
		Scores: a.scores(e.Name), Stays: e.LeaveIn, Dust: h.Fine(), Banned: c.Forbidden != "",
	}
	if c.OutH != nil {
		f.OutH = math.Min(*c.OutH, a.ElapsedH)
	}
	if e.Target != nil {
		f.Target = *e.Target
	}
	if c.fierce() {
		f.FirstH = h.Cut.FirstTasteH
	}
	if l := h.Cut.LateOffH; h.Cut.LateOff != "" && l.Value > 0 {
		f.Fault = &jar.Fault{What: h.Cut.LateOff, Low: l.Low, Usual: l.Value, Highest: l.High}
	}
	c.JarH = math.Min(a.ElapsedH, f.OutH) - c.InH
	return c, f
}

// watched is an unwanted taste.
func (a *Assessment) watched(w *batch.Watch, lib *library.Library, share float64) (Curve, jar.Unwanted) {
	taste, late := lib.Constant(library.TasteExponent), lib.Constant(library.LateRatio)
	c := Curve{Name: w.Name, Watch: true, Limit: w.Limit, Share: share, Exponent: taste.Value}
	u := jar.Unwanted{
		Name: w.Name, Limit: w.Limit, Bottle: jar.Dilution{Share: share,
			Exponent: prior.Normal(taste)}, Scores: a.scores(w.Name),
		Lag: kinetics.Normal{Mean: math.Log(late.Value),
			SD: math.Log(lib.Constant(library.LateRatioGSD).Value)},
	}
	for i := range a.Recipe.Botanicals {
		h := &a.Recipe.Botanicals[i]
		if recipe.Named(w.From, h.Entry.Name) {
			u.From = append(u.From, i)
		}
		tie := jar.Unheard
		switch {
		case h.Known.TastesOf(w.Name):
			tie = jar.Itself
		case h.Cut.TurnsInto(w.Name):
			tie = jar.Reported
		}
		u.Ties = append(u.Ties, tie)
	}
	return c, u
}

// scores are those of one flavour, as they were given, each of the liquid that it was taken from.
func (a *Assessment) scores(name string) []jar.Score {
	var out []jar.Score
	for i := range a.Batch.Tastings {
		t := &a.Batch.Tastings[i]
		for _, s := range t.Scores {
			if s.Name == name && a.Batch.OfJar(t) {
				out = append(out, jar.Score{Hours: t.Hours, Value: s.Value, Taster: t.Taster,
					Share: t.SampleJar / (t.SampleJar + t.SampleOther) * a.neat(a.Batch.TakenH(t))})
			}
		}
	}
	return out
}

// believe takes over what is known of a wanted flavour.
func (c *Curve) believe(b *jar.Belief, scores []jar.Score, now float64) {
	c.Posterior, c.Tasted, c.inBottle = b.Posterior, b.Tasted, b.InBottle
	if c.Target != nil {
		c.JarTarget = *c.Target / b.Factor
	}
	c.points(scores, b.Factor, b.Gains(), c.InH, now)
	if c.JarH > 0 {
		now := b.Strength(c.JarH)
		c.JarNow, c.BottleNow = figureOf(now), figureOf(c.inBottle(now))
	}
}

// suspect takes over what is known of an unwanted taste; the curve that is shown
// is that of the flavour which most likely brings it.
func (c *Curve) suspect(s *jar.Suspicion, scores []jar.Score, a *Assessment) {
	c.Tasted = s.Tasted
	c.inBottle = func(iv kinetics.Interval) kinetics.Interval { return scaled(iv, s.Factor) }
	for _, src := range s.Sources {
		if f := &a.Curves[src.Flavour]; src.Flavour == s.Likeliest() {
			c.Posterior, c.InH, c.OutH = src.Posterior, f.InH, f.OutH
			if src.Probability > 0.5 || len(s.Sources) == 1 {
				c.From = f.Name
			}
		}
		if src.Probability >= suspected {
			c.suspects = append(c.suspects, a.Curves[src.Flavour].Name)
		}
	}
	if c.Posterior == nil { // nothing steeps that could bring it
		c.Posterior, _ = kinetics.Usual(library.Unknown().RatePerH.Value,
			library.Unknown().RateGSD).Posterior(nil)
	}
	if c.Order.Do != jar.Out {
		c.OutH = nil
	}
	c.Prior = c.Posterior.Prior()
	c.points(scores, s.Factor, c.Posterior.Gains(), math.Inf(-1), a.ElapsedH)
	c.JarH = a.ElapsedH - c.InH
	if c.OutH != nil {
		c.JarH = *c.OutH - c.InH
	}
	if c.JarH > 0 && len(s.Sources) > 0 {
		now := s.Strength(a.ElapsedH)
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

// BottleStrength is its strength in the bottle after so many hours in the jar.
func (c *Curve) BottleStrength(hours float64) kinetics.Interval {
	return c.inBottle(c.Posterior.Strength(hours))
}

// BottleAt is the strength in the bottle if it had been pulled after so many
// hours.
func (c *Curve) BottleAt(hours float64) mixture.Range {
	return figureOf(c.BottleStrength(hours))
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
		by := factor * kinetics.Undiluted(1, s.Share, c.Exponent)
		for _, g := range gains {
			if g.Taster == s.Taster && g.Factor > 0.1 {
				by /= g.Factor
			}
		}
		c.Points = append(c.Points, Point{Hours: s.Hours, Score: s.Value * by, SD: noise * by,
			AtLeast: s.Value >= topScore, Taster: s.Taster})
	}
	sortPoints(c.Points)
}

// unusualDose says that a dose lies outside what makers use.
func unusualDose(cut *library.Cut, gPerL float64) string {
	d := cut.DoseGPerL
	if gPerL <= 0 || !d.Known() || d.High <= d.Low {
		return ""
	}
	where := "above"
	switch {
	case gPerL < 0.8*d.Low:
		where = "below"
	case gPerL <= 1.25*d.High:
		return ""
	}
	return fmt.Sprintf("%s g/L in the jar is %s the usual %s-%s g/L", quantity.InFigures(gPerL, 3), where,
		quantity.InFigures(d.Low, 3), quantity.InFigures(d.High, 3))
}

// rescue finds the flavour that is furthest past what was wanted, by what jar.Cure says of
// each, and how much plain spirit brings what there is of it back, until it is bottled. A fifth more in
// amount is the least that can be noticed, so less than that needs no rescue.
func (a *Assessment) rescue(lib *library.Library) {
	const noticeable = 0.2 // volumes of spirit to one of jar
	if b := a.Batch.BottledAt(); b != nil && b.Hours <= a.ElapsedH || a.Bottles().Emptied != nil {
		return
	}
	if a.Judge(); !a.Keep.Alone.IsZero() { // nobody tastes raw egg, and nothing goes in
		return
	}
	for i := range a.Curves {
		c := &a.Curves[i]
		want := c.JarTarget
		if c.Watch {
			want = kinetics.Undiluted(c.Limit, c.Share, c.Exponent)
		}
		if want <= 0 || c.Tasted == 0 || c.JarH <= 0 {
			continue
		}
		do := jar.Cure(c.Posterior, c.JarH, want, kinetics.Diluted(1, c.Share, c.Exponent), c.Watch)
		if do == jar.LeaveIt {
			continue
		}
		r := c.Posterior.Rescue(want, c.JarH, c.exponentNormal(lib))
		if r.Volumes < noticeable || (a.Rescue != nil && a.Rescue.Volumes >= r.Volumes) {
			continue
		}
		a.Rescue = &Rescue{Name: c.Name, Volumes: r.Volumes, Practical: r.Practical, Ask: do == jar.Ask}
	}
	if a.Rescue == nil {
		return
	}
	r := a.Rescue
	there, ml := a.There()
	r.SpiritML, r.VolumeML, r.More = ml*r.Volumes, ml*(1+r.Volumes), len(a.Recipe.ToCome) > 0
	for i := range a.Curves {
		if c := &a.Curves[i]; !c.Watch && c.Name != r.Name && c.JarH > 0 && c.Order.Over <= 0.5 {
			r.Thins = append(r.Thins, c.Name)
		}
	}
	switch taste, _ := there.Tartness(); taste {
	case "flat":
		r.Thins = append(r.Thins, "sugar")
	case "balanced", "sharp":
		r.Thins = append(r.Thins, "sugar", "acid")
	}
}

// exponentNormal is how a score follows an amount, with its spread.
func (c *Curve) exponentNormal(lib *library.Library) kinetics.Normal {
	if c.Watch {
		return prior.Normal(lib.Constant(library.TasteExponent))
	}
	return prior.Normal(prior.Exponent(c.Known, lib))
}

// Limits of advice about a dose. Judgement: less than a fifth either way is no
// change worth making; a range wider than fourfold is no advice, unless all of it
// is a doubling at least, nor is one that holds the present dose; beyond one and a half times the upper end of the usual
// range a jar is full of it; and nobody adds of what one jar in ten says is the
// source of an unwanted taste at its limit.
const (
	suspected   = 0.1
	surelyMore  = 2.0
	leastChange = 1.25
	widestDose  = 4.0
	fullJar     = 1.5
)

// dose is how much to use next time for the strength wanted when it comes out:
// none where something else than its strength ends the steep.
func (a *Assessment) dose(c *Curve, p *recipe.Lines, lib *library.Library) {
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
	d := c.Posterior.DoseFor(c.JarTarget, at, c.exponentNormal(lib))
	if d.Factor > 1 && slices.ContainsFunc(a.Curves,
		func(w Curve) bool { return w.atLimit() && slices.Contains(w.suspects, c.Name) }) {
		return
	}
	if d.Factor > 1/leastChange && d.Factor < leastChange || d.Low < 1 && d.High > 1 ||
		d.High > widestDose*d.Low && d.Low < surelyMore || math.IsInf(d.Factor, 1) || d.Factor == 0 {
		return
	}
	c.Dose = &DoseAdvice{Factor: d.Factor, Low: d.Low, High: d.High, AtH: at, Warnings: d.Warnings}
	if d.Factor < 1 && c.OutH != nil {
		// Too strong is a matter of time first, where the time can be hit.
		if w := c.Posterior.TimeToScore(c.JarTarget); w.Median > 0.5 && w.Never < 0.5 {
			c.Dose.PullH = w.Median
		}
	}
	i := slices.IndexFunc(p.Botanicals, func(h recipe.Botanical) bool { return h.Entry.Name == c.Name })
	h := &p.Botanicals[i]
	if h.Weight == nil || h.Entry.Amount == nil {
		return
	}
	if usual, now := h.Cut.DoseGPerL.High, h.DoseGPerL(p.BaseML()); usual > 0 && now > 0 &&
		d.Factor*now > fullJar*math.Max(usual, now) {
		c.Dose = nil // no jar holds so much: time, or a finer cut
		return
	}
	c.Dose.GramsNow = h.Weight.G
	c.Dose.Grams, _, _ = d.Grams(h.Weight.G)
	next, _ := quantity.Kitchen(h.Entry.Amount.Times(quantity.Rounded(d.Factor*h.Entry.Amount.Mid(),
		2)/h.Entry.Amount.Mid()), a.Batch.Units)
	c.Dose.Amount, c.Dose.AmountNow = next.String(), h.Entry.Amount.String()
}

// atLimit reports of an unwanted taste that it is likelier over its limit than
// not, or was last scored at it.
func (c *Curve) atLimit() bool {
	n := len(c.Points)
	return c.Watch && (c.Order.Over > 0.5 || n > 0 && c.Points[n-1].Score >= c.Limit)
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
