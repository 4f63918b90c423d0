package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/kinetics"
)

// topScore is the upper end of the tasting scale; a score there says "this or
// more".
const topScore = 10

// pastDue is the chance, of having passed the wanted strength, from which a
// botanical still in the jar is overdue.
const pastDue = 0.9

// steep works out every curve of the jar.
func (a *Assessment) steep(p *parts, lib *library.Library) error {
	share := 1.0
	switch {
	case a.Blend.Have() && a.Blend.Result.BottleFraction > 0:
		share = a.Blend.Result.BottleFraction
	case a.Blend.Have() && len(p.bases) > 0:
		a.Warnings = append(a.Warnings, "the solids would keep all of the liquor, so nothing of the jar reaches a bottle: use more spirit, or less of them")
	case len(a.Blend.Missing) > 0 && len(p.additions) > 0 && len(p.bases) > 0:
		a.Warnings = append(a.Warnings, "how far the additions thin the jar is unknown, so wanted strengths are read as strengths in the jar: "+a.Blend.Missing[0])
	}
	a.Warnings = append(a.Warnings, a.tastingsAhead()...)
	for i := range p.botanicals {
		h := &p.botanicals[i]
		c, err := a.botanicalCurve(h, lib, share, p.baseML())
		if err != nil {
			return err
		}
		a.Curves = append(a.Curves, c)
	}
	for i := range a.Batch.Watches {
		c, err := a.watchCurve(&a.Batch.Watches[i], p, lib, share)
		if err != nil {
			return err
		}
		a.Curves = append(a.Curves, c)
	}
	for i := range a.Curves {
		if !a.Curves[i].Watch {
			a.decide(&a.Curves[i])
		}
	}
	a.watchWindows()
	a.untasted()
	for i := range a.Curves {
		a.dose(&a.Curves[i], p, lib)
	}
	a.rescue(p, lib)
	return nil
}

// tastingsAhead says of each tasting that lies ahead of now that it does not
// count yet.
func (a *Assessment) tastingsAhead() []string {
	var said []string
	for _, t := range a.Batch.Tastings {
		if t.Hours > a.ElapsedH+1e-6 {
			said = append(said, fmt.Sprintf("a tasting at %s lies ahead of now, so it does not count yet", t.When.Format("2 Jan 2006 15:04")))
		}
	}
	return said
}

// pulledAt finds when a botanical came out, in hours since the start.
func pulledAt(b *batch.Batch, name string) *float64 {
	for i := range b.Pulls {
		if b.Pulls[i].Name == name {
			return &b.Pulls[i].Hours
		}
	}
	return b.Finish.At
}

func (a *Assessment) botanicalCurve(h *herb, lib *library.Library, share, baseML float64) (Curve, error) {
	e := &h.entry
	c := Curve{
		Name: e.Name, Cut: e.Cut, Known: h.known, LibCut: h.cut, Botanical: e,
		InH: e.In, OutH: pulledAt(a.Batch, e.Name), Share: share,
		Exponent: exponent(h.known, lib).Value, Target: e.Target,
	}
	if h.note != "" {
		c.Warnings = append(c.Warnings, h.note)
	}
	if h.known != nil {
		c.Forbidden = h.known.Forbidden
	}
	if c.Cut == "" {
		c.Cut = h.cut.Name
	}
	if e.LeaveIn {
		c.OutH = nil
	}
	c.JarH = a.ElapsedH - c.InH
	if c.OutH != nil && *c.OutH <= a.ElapsedH {
		c.JarH = *c.OutH - c.InH
	} else if c.OutH != nil {
		c.OutH = nil // written ahead of time
	}
	dose := h.doseGPerL(baseML)
	if w := unusualDose(h.cut, dose); w != "" {
		c.Warnings = append(c.Warnings, w)
	}
	c.plain, c.Moved = a.prior(h, lib, share)
	neat, inBottle := a.samples(e.Name)
	if e.Target != nil && !neat && kinetics.Undiluted(*e.Target, share, c.Exponent) > topScore {
		inBottle = true // the jar will be beyond the scale
	}
	c.plain.Plateau = plateauPrior(share, c.Exponent, dose, h.cut.DoseGPerL, inBottle)
	old := h.age(a.Batch)
	if l, ok := a.taught[e.Name]; ok {
		var said []string
		c.Prior, said = l.prior(c.plain, dose, c.Exponent, old, sameLot(e.Lot))
		c.Moved = append(c.Moved, said...)
		c.OwnBatches, c.OwnRate = l.learned.Batches, l.learned.OwnRate
	} else {
		m, sd := old.left()
		c.Prior = c.plain
		c.Prior.Plateau = faded(c.plain.Plateau, m, sd, c.Exponent)
	}
	if t := h.cut.Taught; t != nil {
		c.OwnBatches = max(c.OwnBatches, len(t.By))
	}
	if old != nil {
		c.Moved = append(c.Moved, old.words(c.Exponent))
	}
	return c, a.infer(&c, exponent(h.known, lib), c.OutH)
}

// infer reads the tastings of one flavour and fits its curve, in jar units.
//
// With a diluted sample the belief is about the bottle: what a sample at bottle
// strength scores is the bottle's score whatever the exponent, so the doubt
// about the exponent, one for all scores, enters only by how far a sample lies
// from the bottle.
func (a *Assessment) infer(c *Curve, n library.Number, out *float64) error {
	reads := a.readsOf(c, out)
	noise := math.Exp(c.Prior.LogNoise.Mean)
	nSD := (n.High - n.Low) / ninety
	home := 1.0 // the share of jar that a score is taken at its word for
	least := math.Inf(1)
	for _, r := range reads {
		if r.fraction < 1 {
			home = c.Share
		}
		least = math.Min(least, r.scale(n.Value))
	}
	var ts, told []kinetics.Tasting
	var steps []float64 // ln(home share / share of the sample)
	farthest := 0.0
	for _, r := range reads {
		scale := r.scale(n.Value)
		t := kinetics.Tasting{Hours: math.Max(r.jarH, 0), Score: r.value * scale, Censored: r.value >= topScore, Taster: r.taster}
		step := math.Log(home / r.fraction)
		apart := kinetics.DilutionSD(t.Score, math.Exp(-math.Abs(step)), nSD)
		// The noise of a score is met at the strength it was tasted at.
		more := noise * math.Sqrt(math.Max(scale*scale-1, 0))
		c.Points = append(c.Points, Reading{Hours: r.hours, Score: t.Score, SD: math.Hypot(noise*scale, apart), AtLeast: t.Censored, Taster: r.taster})
		if r.jarH < 0 {
			continue // before a watched taste set in
		}
		t.ExtraSD = math.Hypot(more, apart)
		told = append(told, t)
		t.ExtraSD = noise * math.Sqrt(math.Max(scale*scale-least*least, 0))
		ts = append(ts, t)
		steps = append(steps, step)
		farthest = math.Max(farthest, math.Abs(step)*nSD)
	}
	sortPoints(c.Points)
	c.Tasted = len(c.Points)
	if c.LibCut != nil {
		c.Prior.Early = early(c.LibCut, c.Prior, ts)
	}
	prior := c.Prior
	if len(ts) > 0 && least > 1 && !math.IsInf(least, 1) {
		prior.LogNoise.Mean += math.Log(least)
	}
	post, err := posteriorOf(prior, ts, told, steps, nSD, farthest)
	if err != nil {
		return fmt.Errorf("the curve of %s: %w", c.Name, err)
	}
	c.Posterior = post
	c.Warnings = append(c.Warnings, tastersDiffer(post.Gains())...)
	c.onMiddle(post.Gains())
	proposals, err := c.Prior.Propose(told)
	if err != nil {
		return fmt.Errorf("the curve of %s: %w", c.Name, err)
	}
	c.Proposals = proposals
	c.State = post.State()
	if c.JarH > 0 {
		now := post.Strength(c.JarH)
		c.JarNow = Figure{now.Median, now.P05, now.P95}
		c.BottleNow = c.bottleAt(c.JarH)
		if c.Declined() {
			c.fallen()
		}
	}
	return nil
}

// posteriorOf weighs the tastings with the prior. Where samples lie apart from
// the strength they are taken at, every score is read with a few exponents, the
// same for all, and the readings are joined by how well they fit.
func posteriorOf(prior kinetics.Prior, ts, told []kinetics.Tasting, steps []float64, nSD, farthest float64) (*kinetics.Posterior, error) {
	if farthest < 0.01 { // less than a hundredth of a score
		post, err := prior.Posterior(ts)
		if err != nil || slices.Equal(ts, told) {
			return post, err
		}
		return kinetics.Mixed([]*kinetics.Posterior{post}, []float64{post.LogEvidence()}, told), nil
	}
	const ways = 7
	points, weights := kinetics.Nodes(ways)
	var posts []*kinetics.Posterior
	var logs []float64
	for i, z := range points {
		read := append([]kinetics.Tasting(nil), ts...)
		turn := 0.0 // from the density of a carried score to that of the score
		for j := range read {
			by := z * nSD * steps[j]
			read[j].Score *= math.Exp(by)
			if !read[j].Censored && read[j].Score > 0 {
				turn += by
			}
		}
		post, err := prior.Posterior(read)
		if err != nil {
			return nil, err
		}
		posts = append(posts, post)
		logs = append(logs, math.Log(weights[i])+post.LogEvidence()+turn)
	}
	return kinetics.Mixed(posts, logs, told), nil
}

// scoreRead is one score of a flavour as it was given: hours since the start of
// the batch and in the jar, and the share of jar in the sample.
type scoreRead struct {
	hours, jarH     float64
	value, fraction float64
	taster          string
}

// scale is the jar's score over that of the sample.
func (r *scoreRead) scale(exponent float64) float64 {
	return kinetics.Undiluted(1, r.fraction, exponent)
}

// readsOf are the scores of a flavour that count by now. Those of a watched
// taste from before it set in have hours below zero.
func (a *Assessment) readsOf(c *Curve, out *float64) []scoreRead {
	var reads []scoreRead
	for _, t := range a.Batch.Tastings {
		for _, s := range t.Scores {
			if s.Name != c.Name || t.Hours > a.ElapsedH+1e-9 {
				continue // --now lies before it
			}
			r := scoreRead{hours: t.Hours, jarH: t.Hours - c.InH, value: s.Value, fraction: 1, taster: t.Taster}
			if out != nil {
				// What was taken out gives nothing more: a later score speaks
				// of the strength at that moment.
				r.jarH = math.Min(r.jarH, *out-c.InH)
			}
			if r.jarH < 0 && (!c.Watch || s.Value > 0) {
				continue
			}
			if f := t.SampleJar / (t.SampleJar + t.SampleOther); f > 0 && f < 1 {
				r.fraction = f
			}
			reads = append(reads, r)
		}
	}
	return reads
}

// samples reports whether a flavour was tasted undiluted by now, and whether in
// a mix.
func (a *Assessment) samples(name string) (neat, diluted bool) {
	for _, t := range a.Batch.Tastings {
		if t.Hours > a.ElapsedH+1e-9 {
			continue
		}
		for _, s := range t.Scores {
			if s.Name == name {
				neat, diluted = neat || t.SampleOther == 0, diluted || t.SampleOther > 0
			}
		}
	}
	return neat, diluted
}

// early is the share washed off at once. It trades off against the rate, so it
// is let in only where it can be seen: a tasting before a fifth of the time
// constant, or a share of a quarter and more.
func early(cut *library.Cut, p kinetics.Prior, ts []kinetics.Tasting) kinetics.Beta {
	share := cut.EarlyShare.Value
	if share <= 0 || len(ts) == 0 {
		return kinetics.Beta{}
	}
	first := math.Inf(1)
	for _, t := range ts {
		if t.Hours > 0 {
			first = math.Min(first, t.Hours)
		}
	}
	if share < 0.25 && first > 0.2/math.Exp(p.LogRate.Mean) {
		return kinetics.Beta{}
	}
	// As much weight as eight looks: wide, since most shares are judgement.
	const looks = 8
	return kinetics.Beta{A: looks * share, B: looks * (1 - share)}
}

// exponent is how a score follows an amount, by what the flavour is.
func exponent(known *library.Botanical, lib *library.Library) library.Number {
	class := "aroma"
	if known != nil && known.Class != "" {
		class = known.Class
	}
	switch class {
	case "taste":
		return lib.Constant(library.TasteExponent)
	case "heat":
		return lib.Constant(library.HeatExponent)
	}
	return lib.Constant(library.AromaExponent)
}

// prior is what the library says of the rate, moved to this jar, and a wide
// guess of the plateau. moved says in words how it was moved.
func (a *Assessment) prior(h *herb, lib *library.Library, share float64) (p kinetics.Prior, moved []string) {
	n := exponent(h.known, lib)
	p = kinetics.Prior{
		LogRate:  kinetics.Normal{Mean: math.Log(h.cut.RatePerH.Value), SD: math.Log(h.cut.RateGSD)},
		Plateau:  plateauPrior(share, n.Value, 0, library.Number{}, false),
		LogNoise: kinetics.DefaultNoise(),
	}
	if h.cut.RatePerH.Grade == library.Judgement && p.LogRate.SD < 1 {
		p.LogRate.SD = 1 // a guess deserves no less spread
	}
	if h.cut.RatePerH.Grade == library.Own {
		if t := h.cut.Taught; t != nil {
			s, said := a.fromLesson(t)
			return p.Shifted(s), said
		}
		// The maker's own figure is for this kitchen: nothing is moved.
		return p, []string{"your own figure, taken as it is"}
	}
	var shifts []kinetics.Shift
	add := func(what string, s kinetics.Shift, err error) {
		if err != nil || s.LogMean == 0 && s.LogSD == 0 {
			return
		}
		shifts = append(shifts, s)
		moved = append(moved, fmt.Sprintf("%s: rate x %.2g (%s)", what, s.Factor(), s.Source))
	}
	if h.known == nil || h.known.Class == "aroma" {
		add("an aroma is scored, not weighed", kinetics.AromaShift(), nil)
	}
	if c := a.Batch.RoomC; c != nil {
		s, err := kinetics.TemperatureShift(*c)
		add(fmt.Sprintf("steeped at %.0f °C", *c), s, err)
	}
	if h.roughCut {
		add("its form is not in the library", kinetics.Shift{LogSD: roughCutSD, Source: "another form stands in: judgement"}, nil)
	}
	if abv := a.Blend.SteepABVPercent; abv > 0 {
		s, err := kinetics.StrengthShift(abv)
		add(fmt.Sprintf("in %.0f %% vol", abv), s, err)
	}
	return p.Shifted(shifts...), moved
}

// roughCutSD is the doubt, in the log of the rate, of taking one form's figures
// for another's: rates of whole and crushed spice differ by a factor of 2 to 4.
const roughCutSD = 0.9

// plateauPrior is the strength a dose ends at, in jar units. Doses in use are set
// for the bottle, so the wide guess N(7, 2²) is read there for the usual dose,
// carried back to the jar, and moved by the dose through the power law. It stays
// within what the scale can say: of the jar where that is tasted, of the bottle
// (inBottle) otherwise.
func plateauPrior(share, exponent, doseGPerL float64, usual library.Number, inBottle bool) kinetics.Normal {
	guess := kinetics.DefaultPlateau()
	up, unit := kinetics.Undiluted(1, share, exponent), 1.0
	if inBottle {
		up, unit = 1, up
	} else {
		up = math.Min(up, (topScore-1)/guess.Mean)
	}
	if doseGPerL > 0 && usual.Value > 0 {
		ratio := math.Min(math.Max(doseGPerL/usual.Value, 1.0/8), 8)
		up *= math.Pow(ratio, exponent)
	}
	mean := math.Min(math.Max(guess.Mean*up, 1.5), topScore)
	// The power law from a usual dose to this one is a guess too: 1.2 points.
	return kinetics.Normal{Mean: unit * mean, SD: unit * math.Hypot(guess.SD*mean/guess.Mean, 1.2)}
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
	return fmt.Sprintf("%.3g g/L of spirit is %s the usual %.3g-%.3g g/L", gPerL, where, d.Low, d.High)
}

// watchCurve is an unwanted taste. It comes later than the wanted one: by
// default a quarter of the rate of the fastest botanical that may bring it.
func (a *Assessment) watchCurve(w *batch.Watch, p *parts, lib *library.Library, share float64) (Curve, error) {
	taste := lib.Constant(library.TasteExponent)
	c := Curve{Name: w.Name, Watch: true, Limit: w.Limit, Share: share, Exponent: taste.Value}
	late := lib.Constant(library.LateRatio)
	var source *herb
	fastest := math.Inf(-1)
	var rate kinetics.Normal
	for i := range p.botanicals {
		h := &p.botanicals[i]
		if len(w.From) > 0 && !contains(w.From, h.entry.Name) {
			continue
		}
		pr, _ := a.prior(h, lib, share)
		if pr.LogRate.Mean > fastest {
			fastest, rate, source = pr.LogRate.Mean, pr.LogRate, h
		}
	}
	if source == nil {
		rate = kinetics.Normal{Mean: math.Log(library.Unknown().RatePerH.Value), SD: math.Log(library.Unknown().RateGSD)}
	} else {
		c.InH = source.entry.In
	}
	c.Prior = kinetics.Prior{
		LogRate: kinetics.Normal{
			Mean: rate.Mean - math.Log(late.Value),
			SD:   math.Hypot(rate.SD, math.Log(lib.Constant(library.LateRatioGSD).Value)),
		},
		// Half of what a wanted flavour ends at, as wide: judgement.
		Plateau:  kinetics.Normal{Mean: kinetics.DefaultPlateau().Mean / 2, SD: kinetics.DefaultPlateau().SD},
		LogNoise: kinetics.DefaultNoise(),
	}
	// The jar goes on giving it while anything that may bring it is in.
	var out *float64
	c.JarH = a.ElapsedH - c.InH
	allOut, last := true, 0.0
	for i := range p.botanicals {
		h := &p.botanicals[i]
		if len(w.From) > 0 && !contains(w.From, h.entry.Name) {
			continue
		}
		o := pulledAt(a.Batch, h.entry.Name)
		if o == nil || *o > a.ElapsedH || h.entry.LeaveIn {
			allOut = false
			break
		}
		last = math.Max(last, *o)
	}
	if allOut && len(p.botanicals) > 0 {
		out = &last
		c.OutH = out
		c.JarH = last - c.InH
	}
	a.setsIn(&c)
	return c, a.infer(&c, taste, out)
}

// setsIn moves a watched taste to what its scores show. One that has been tasted
// may end as strong as any flavour, and wider: to take it for weak would leave
// it in the jar. One that was absent first starts at the last score of zero,
// since a plain rise cannot draw a taste that comes late.
func (a *Assessment) setsIn(c *Curve) {
	came, absent := math.Inf(1), math.Inf(-1)
	each := func(f func(hours, score float64)) {
		for _, t := range a.Batch.Tastings {
			for _, s := range t.Scores {
				if s.Name == c.Name && t.Hours <= a.ElapsedH+1e-9 && t.Hours >= c.InH {
					f(t.Hours, s.Value)
				}
			}
		}
	}
	each(func(h, score float64) {
		if score > 0 {
			came = math.Min(came, h)
		}
	})
	if math.IsInf(came, 1) {
		return
	}
	unit := 1.0
	if _, diluted := a.samples(c.Name); diluted {
		unit = kinetics.Undiluted(1, c.Share, c.Exponent)
	}
	guess := kinetics.DefaultPlateau()
	c.Prior.Plateau = kinetics.Normal{Mean: unit * guess.Mean, SD: unit * 1.5 * guess.SD}
	each(func(h, score float64) {
		if score == 0 && h < came {
			absent = math.Max(absent, h)
		}
	})
	if absent > c.InH && (c.OutH == nil || absent < *c.OutH) {
		c.JarH -= absent - c.InH
		c.InH = absent
	}
}

// rescue finds the flavour that is furthest past what was wanted and how much
// plain spirit brings it back. A fifth more in amount is the least that can be
// noticed, so less than that needs no rescue.
func (a *Assessment) rescue(p *parts, lib *library.Library) {
	const (
		noticeable  = 0.2 // volumes of spirit to one of jar
		mostVolumes = 5   // beyond it is no longer a rescue
	)
	for i := range a.Curves {
		c := &a.Curves[i]
		want := c.JarTarget
		if c.Watch {
			want = kinetics.Undiluted(c.Limit, c.Share, c.Exponent)
		}
		if want <= 0 || c.Tasted == 0 || c.JarH <= 0 {
			continue
		}
		r := c.Posterior.Rescue(want, c.JarH, c.exponentNormal(lib))
		if last := c.Points[len(c.Points)-1].Score; c.Watch && last > want && r.Low > 0 {
			// What was tasted counts where the curve lies below it.
			if v := math.Pow(last/want, 1/c.Exponent) - 1; v > r.Volumes {
				r.Needed, r.Volumes, r.High = true, v, math.Max(r.High, v)
				r.Practical = r.Practical && v <= mostVolumes
			}
		}
		if !r.Needed || r.Volumes < noticeable || r.Low <= 0 || (a.Rescue != nil && a.Rescue.Volumes >= r.Volumes) {
			continue
		}
		jar := a.Blend.Result.JarVolumeML
		if jar <= 0 {
			for _, b := range p.bases {
				jar += b.base.VolumeML.Value
			}
		}
		a.Rescue = &Rescue{
			Name: c.Name, Volumes: r.Volumes, LowVolumes: r.Low, HighVolumes: r.High,
			SpiritML: jar * r.Volumes, VolumeML: jar * (1 + r.Volumes), Practical: r.Practical,
		}
	}
}

// exponentNormal is how a score follows an amount, with its spread.
func (c *Curve) exponentNormal(lib *library.Library) kinetics.Normal {
	n := exponent(c.Known, lib)
	if c.Watch {
		n = lib.Constant(library.TasteExponent)
	}
	return kinetics.Normal{Mean: n.Value, SD: (n.High - n.Low) / ninety}
}

// dose is how much to use next time for the strength wanted when it is pulled.
func (a *Assessment) dose(c *Curve, p *parts, lib *library.Library) {
	if c.Watch || c.Target == nil || c.Tasted == 0 || c.Forbidden != "" || c.State == kinetics.OneTasting || c.State == kinetics.UsualRange || c.OutH == nil && c.Rising() || c.Declined() || c.Silent() || c.Open() {
		return
	}
	at := c.Window.Best
	if c.OutH != nil {
		at = c.JarH
	}
	if math.IsInf(at, 1) || at <= 0 {
		return
	}
	d := c.Posterior.DoseFor(c.JarTarget, at, c.exponentNormal(lib))
	_, top, _ := c.best()
	if d.Factor > 1 && (top.Score >= c.JarTarget+1 || c.Points[len(c.Points)-1].Score >= c.JarTarget) {
		return // this dose has given it
	}
	// Less than a fifth either way is no change worth making.
	if d.Factor > 0.8 && d.Factor < 1.25 {
		return
	}
	c.Dose = &DoseAdvice{Factor: d.Factor, Low: d.Low, High: d.High, AtH: at, Warnings: d.Warnings}
	if d.Factor < 1 && c.OutH != nil {
		// Too strong is a matter of time first, where the time can be hit.
		if w := c.Posterior.TimeToScore(c.JarTarget); w.Median > 0.5 && w.Never < 0.5 {
			c.Dose.PullH = w.Median
		}
	}
	for i := range p.botanicals {
		if h := &p.botanicals[i]; h.entry.Name == c.Name && h.weight != nil {
			c.Dose.GramsNow = h.weight.G
			c.Dose.Grams, c.Dose.GramsLow, c.Dose.GramsHigh = d.Grams(h.weight.G)
		}
	}
}

func contains(list []string, name string) bool {
	for _, n := range list {
		if strings.EqualFold(n, name) {
			return true
		}
	}
	return false
}
