package bench

import (
	"fmt"
	"math"
	"slices"
	"steepbook/cmd/internal/steeping"
	"sync"

	"steepbook/cmd/internal/prior"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/kinetics"
	"steepbook/kinetics/cores"
	"steepbook/kinetics/jar"
)

// steep works out every flavour of the jar: what the library and the book say of
// it, what the scores add, and the one order that all views word.
func (a *Assessment) steep() error {
	p, lib := a.Recipe, a.lib
	share := a.bottleShare(p)
	a.Warnings = append(a.Warnings, a.tastingsAhead()...)
	n := len(p.Botanicals)
	believed, asker := make([]prior.Expected, n), a.asker()
	cores.Each(n, func(i int) { believed[i] = asker.Believe(&p.Botanicals[i]) })
	var j jar.Jar
	for i := range p.Botanicals {
		c, f := a.wanted(&p.Botanicals[i], &believed[i], share)
		a.Curves, j.Flavours = append(a.Curves, c), append(j.Flavours, f)
	}
	for i := range a.Batch.Watches {
		c, u := a.watched(&a.Batch.Watches[i], lib, share)
		a.Curves, j.Unwanted = append(a.Curves, c), append(j.Unwanted, u)
	}
	j.Awake, j.Handy, j.LastH = a.awake, a.evening, a.JarEnd().H
	var beside sync.WaitGroup
	if !a.Batch.TasteEnds() { // else its days hang on this
		beside.Go(a.Judge)
	}
	r, err := j.At(a.ElapsedH)
	if beside.Wait(); err != nil {
		return err
	}
	a.NextH = r.NextH
	cores.Each(len(a.Curves), func(i int) {
		c := &a.Curves[i]
		c.Order = r.Orders[i]
		if i < n {
			steeping.Believe(a.Steeped, c, &r.Wanted[i], j.Flavours[i].Scores)
		} else {
			steeping.Suspect(a.Steeped, c, &r.Unwanted[i-n], j.Unwanted[i-n].Scores)
		}
	})
	cores.Each(n, func(i int) {
		steeping.Advise(a.Steeped, &a.Curves[i], &p.Botanicals[i], p.BaseML(), a.Batch.Units)
	})
	a.rescue()
	share = a.Blend.Result.BottleFraction * a.neat(ended) / a.neat(a.ElapsedH)
	if there, _ := a.There(); a.Blend.Have() && share > 0 {
		a.Mix(share, there.ABVPercent(), a.Blend.Result.SugarGPerL.Value)
	}
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
	if done := a.Batch.LastH(math.Min(hours, a.ElapsedH)); last.Equal(next) ||
		hours >= done && hours <= done+stillUpH {
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
func (a *Assessment) wanted(h *recipe.Botanical, b *prior.Expected,
	share float64) (steeping.Curve, jar.Flavour) {
	e := &h.Entry
	n := prior.Exponent(h.Known, a.lib)
	c := steeping.Curve{
		Name: e.Name, Cut: e.Cut, Known: h.Known, LibCut: h.Cut, Botanical: e,
		InH: e.In, Fine: h.Fine(), Share: share, Exponent: prior.Normal(n), Target: e.Target,
	}
	c.Warnings = oddities(h, a.Recipe.BaseML(), a.FatToLift())
	if h.Known != nil {
		c.Forbidden = h.Known.Forbidden
	}
	if c.Cut == "" {
		c.Cut = h.Cut.Name
	}
	if hours, out := a.Batch.OutBy(e, a.ElapsedH); out {
		hours = math.Max(hours, c.InH) // what never went in
		c.OutH = &hours
	}
	c.Prior, c.Moved, c.OwnBatches = b.Prior, b.Moved, b.Batches
	f := jar.Flavour{
		Name: e.Name, Prior: c.Prior, InH: c.InH, OutH: math.Inf(1), Bottle: jar.Dilution{Share: share,
			Exponent: prior.Normal(n)},
		Scores: a.scores(e.Name), Stays: e.LeaveIn && c.OutH == nil, Dust: h.Fine(), Banned: c.Forbidden != "",
	}
	if c.OutH != nil {
		f.OutH = math.Min(*c.OutH, a.ElapsedH)
	}
	if e.Target != nil {
		f.Target = *e.Target
	}
	if h.Known != nil && h.Known.Fierce {
		f.FirstH = h.Cut.FirstTasteH
	}
	if l := h.Cut.LateOffH; h.Cut.LateOff != "" && l.Value > 0 {
		f.Fault = &jar.Fault{What: h.Cut.LateOff, Low: l.Low, Usual: l.Value, Highest: l.High}
	}
	c.JarH = math.Min(a.ElapsedH, f.OutH) - c.InH
	return c, f
}

// watched is an unwanted taste.
func (a *Assessment) watched(w *batch.Watch, lib *library.Library, share float64) (steeping.Curve,
	jar.Unwanted) {
	taste, late := lib.Constant(library.TasteExponent), lib.Constant(library.LateRatio)
	c := steeping.Curve{Name: w.Name, Watch: true, Limit: w.Limit, Share: share,
		Exponent: prior.Normal(taste)}
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
func (a *Assessment) rescue() {
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
			want = kinetics.Undiluted(c.Limit, c.Share, c.Exponent.Mean)
		}
		if want <= 0 || c.Tasted == 0 || c.JarH <= 0 {
			continue
		}
		do := jar.Cure(c.Posterior, c.JarH, want, kinetics.Diluted(1, c.Share, c.Exponent.Mean), c.Watch)
		if do == jar.LeaveIt {
			continue
		}
		r := c.Posterior.Thinning(want, c.JarH, c.Exponent)
		if r.Volumes < noticeable || (a.Rescue != nil && a.Rescue.Volumes >= r.Volumes) {
			continue
		}
		a.Rescue = &steeping.Rescue{Name: c.Name, Volumes: r.Volumes, Practical: r.Practical,
			Ask: do == jar.Ask}
	}
	if a.Rescue == nil {
		return
	}
	r := a.Rescue
	there, ml := a.There()
	r.SpiritML, r.VolumeML, r.More = ml*r.Volumes, ml*(1+r.Volumes), len(a.Recipe.ToCome) > 0
	for i := range a.Curves {
		if c := &a.Curves[i]; !c.Watch && c.Name != r.Name && c.JarH > 0 && !c.Order.Exceeds() {
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
