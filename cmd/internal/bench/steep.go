package bench

import (
	"fmt"
	"math"
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
	for i := range a.Curves {
		a.dose(&a.Curves[i], p, lib)
	}
	a.rescue(p, lib)
	return nil
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
	if c.OutH != nil && *c.OutH < a.ElapsedH {
		c.JarH = *c.OutH - c.InH
	} else if c.OutH != nil {
		c.OutH = nil // written ahead of time
	}
	c.Prior, c.Moved = a.prior(h, lib, share)
	if l, ok := a.taught[e.Name]; ok {
		dose := 0.0
		if h.weight != nil && baseML > 0 {
			dose = h.weight.G / (baseML / 1000)
		}
		var said string
		c.Prior, said = l.prior(c.Prior, dose)
		c.Moved = append(c.Moved, said)
		c.OwnBatches, c.OwnRate = l.learned.Batches, l.learned.OwnRate
	}
	return c, a.infer(&c, exponent(h.known, lib), c.OutH)
}

// infer reads the tastings of one flavour and fits its curve.
func (a *Assessment) infer(c *Curve, n library.Number, out *float64) error {
	var ts []kinetics.Tasting
	noise := math.Exp(c.Prior.LogNoise.Mean)
	nSD := (n.High - n.Low) / ninety
	for _, t := range a.Batch.Tastings {
		for _, s := range t.Scores {
			if s.Name != c.Name {
				continue
			}
			jar := t.Hours - c.InH
			if t.Hours > a.ElapsedH+1e-9 {
				continue // --now lies before it
			}
			if out != nil {
				// What was taken out gives nothing more: a later score speaks
				// of the strength at that moment.
				jar = math.Min(jar, *out-c.InH)
			}
			if jar < 0 {
				continue
			}
			r := kinetics.Tasting{Hours: jar, Score: s.Value, Censored: s.Value >= topScore, Taster: t.Taster}
			fraction := t.SampleJar / (t.SampleJar + t.SampleOther)
			if fraction > 0 && fraction < 1 {
				r.Score = kinetics.Undiluted(s.Value, fraction, n.Value)
				scale := r.Score / math.Max(s.Value, 1e-9)
				if s.Value == 0 {
					scale = kinetics.Undiluted(1, fraction, n.Value)
				}
				// The noise of a score is met at the strength it was tasted at.
				r.ExtraSD = hypot(noise*math.Sqrt(math.Max(scale*scale-1, 0)), kinetics.DilutionSD(r.Score, fraction, nSD))
			}
			ts = append(ts, r)
			c.Points = append(c.Points, Reading{Hours: t.Hours, Score: r.Score, SD: hypot(noise, r.ExtraSD), AtLeast: r.Censored, Taster: t.Taster})
		}
	}
	c.Tasted = len(ts)
	if c.LibCut != nil {
		c.Prior.Early = early(c.LibCut, c.Prior, ts)
	}
	post, err := c.Prior.Posterior(ts)
	if err != nil {
		return fmt.Errorf("the curve of %s: %w", c.Name, err)
	}
	c.Posterior = post
	proposals, err := c.Prior.Propose(ts)
	if err != nil {
		return fmt.Errorf("the curve of %s: %w", c.Name, err)
	}
	c.Proposals = proposals
	c.State = post.State()
	if c.JarH > 0 {
		now := post.Strength(c.JarH)
		c.JarNow = Figure{now.Median, now.P05, now.P95}
		c.BottleNow = Figure{
			kinetics.Diluted(now.Median, c.Share, c.Exponent),
			kinetics.Diluted(now.P05, c.Share, c.Exponent),
			kinetics.Diluted(now.P95, c.Share, c.Exponent),
		}
	}
	return nil
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
		Plateau:  plateauPrior(share, n.Value),
		LogNoise: kinetics.DefaultNoise(),
	}
	if h.cut.RatePerH.Grade == library.Judgement && p.LogRate.SD < 1 {
		p.LogRate.SD = 1 // a guess deserves no less spread
	}
	if h.cut.RatePerH.Grade == library.Own {
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
	if abv := a.Blend.SteepABVPercent; abv > 0 {
		s, err := kinetics.StrengthShift(abv)
		add(fmt.Sprintf("in %.0f %% vol", abv), s, err)
	}
	return p.Shifted(shifts...), moved
}

// plateauPrior is the strength a usual dose ends at. Doses in use are set for
// the bottle, so the wide guess N(7, 2²) is read there and carried back to the
// jar, where it may not lie above the end of the scale.
func plateauPrior(share, exponent float64) kinetics.Normal {
	usual := kinetics.DefaultPlateau()
	up := kinetics.Undiluted(1, share, exponent)
	if usual.Mean*up > topScore-1 {
		up = (topScore - 1) / usual.Mean
	}
	return kinetics.Normal{Mean: usual.Mean * up, SD: usual.SD * up}
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
			SD:   hypot(rate.SD, math.Log(lib.Constant(library.LateRatioGSD).Value)),
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
	return c, a.infer(&c, taste, out)
}

// decide finds the pull window, the next tasting and whether it is overdue.
func (a *Assessment) decide(c *Curve) {
	if c.Forbidden != "" {
		// What must not be steeped gets no time and no dose.
		inf := math.Inf(1)
		c.Window = kinetics.Window{From: inf, Best: inf, Until: inf, Low: inf, High: inf, LimitedBy: kinetics.ByNone}
		c.Overdue = c.OutH == nil && c.JarH > 0
		return
	}
	aim := kinetics.Aim{}
	if c.Target != nil {
		c.JarTarget = kinetics.Undiluted(*c.Target, c.Share, c.Exponent)
		aim.Score = c.JarTarget
	}
	for i := range a.Curves {
		w := &a.Curves[i]
		if !w.Watch || w.Tasted == 0 || !a.watches(w, c) {
			continue
		}
		aim.Limits = append(aim.Limits, kinetics.Limit{
			Name: w.Name, Curve: w.Posterior,
			Max:     kinetics.Undiluted(w.Limit, w.Share, w.Exponent),
			OffsetH: c.InH - w.InH,
		})
	}
	c.Window = c.Posterior.Pull(aim)
	if late := c.lateFaultH(); late > 0 && c.Window.Until > late && c.Window.LimitedBy == kinetics.ByTarget {
		// Within reach of a known fault, too long costs more than too short:
		// three to one, so the best moment is the 25 % point.
		aim.EarlyLoss, aim.LateLoss = 1, 3
		c.Window = c.Posterior.Pull(aim)
	}
	if c.OutH != nil || (c.Botanical != nil && c.Botanical.LeaveIn) {
		return
	}
	if c.JarH > 0 {
		c.Overdue = a.overdue(c)
	}
	a.next(c)
}

// lateFaultH is when the library has makers notice a fault, 0 when none is
// reported.
func (c *Curve) lateFaultH() float64 {
	if c.LibCut == nil || c.LibCut.LateOff == "" {
		return 0
	}
	return c.LibCut.LateOffH.Low
}

// watches reports whether a watched taste may come from this botanical.
func (a *Assessment) watches(w, c *Curve) bool {
	for i := range a.Batch.Watches {
		if a.Batch.Watches[i].Name == w.Name {
			from := a.Batch.Watches[i].From
			return len(from) == 0 || contains(from, c.Name)
		}
	}
	return false
}

func (a *Assessment) overdue(c *Curve) bool {
	switch c.Window.LimitedBy {
	case "watch":
		return c.JarH > c.Window.Until
	case "target":
		if c.JarH > c.Window.Until && !math.IsInf(c.Window.Until, 1) {
			return true
		}
		return c.Tasted > 0 && c.Posterior.ChanceAtLeast(c.JarTarget, c.JarH) > pastDue
	default:
		late := c.LibCut != nil && c.LibCut.LateOffH.Value > 0 && c.JarH > c.LibCut.LateOffH.Value
		return late && c.JarH > c.Window.Until
	}
}

// next is when to taste next. Before any tasting the library's habit counts,
// and a tasting that is due already is due now.
func (a *Assessment) next(c *Curve) {
	from := math.Max(c.JarH, 0)
	horizon := c.Window.Until
	if math.IsInf(horizon, 1) || horizon <= from {
		horizon = from + math.Max(c.Posterior.TimeToShare(0.95).Median, from/2)
	}
	if c.Tasted == 0 && c.LibCut != nil && c.LibCut.FirstTasteH > 0 {
		at := math.Max(c.InH+c.LibCut.FirstTasteH, a.ElapsedH)
		c.NextH, c.NextWhy = &at, "the first tasting"
		return
	}
	if c.JarH > 0 && c.Window.Best <= c.JarH && c.JarH-c.lastTastedH() > math.Max(0.25, c.JarH/10) {
		at := a.ElapsedH
		c.NextH, c.NextWhy = &at, "it may be ready"
		return
	}
	// The next score teaches little while the last one still stands.
	if last := c.lastTastedH(); c.Tasted > 0 {
		from = math.Max(from, last+math.Max(0.25, last/5))
		horizon = math.Max(horizon, 1.5*from)
	}
	n := c.Posterior.NextTasting(kinetics.Question{Score: c.JarTarget}, from, horizon)
	if n.Stop {
		c.NextWhy = n.Why
		return
	}
	at := c.InH + n.Hours
	if c.Window.Best > from && c.Window.Best < n.Hours {
		at, n.Why = c.InH+c.Window.Best, "it may be ready then"
	}
	at = math.Max(at, a.ElapsedH)
	c.NextH, c.NextWhy = &at, n.Why
}

// lastTastedH is the jar time of the latest score, 0 before any.
func (c *Curve) lastTastedH() float64 {
	last := 0.0
	for _, p := range c.Points {
		last = math.Max(last, p.Hours-c.InH)
	}
	return last
}

// watchWindows gives each watched taste the time it reaches its limit.
func (a *Assessment) watchWindows() {
	for i := range a.Curves {
		c := &a.Curves[i]
		if !c.Watch {
			continue
		}
		jarLimit := kinetics.Undiluted(c.Limit, c.Share, c.Exponent)
		t := c.Posterior.TimeToScore(jarLimit)
		c.Window = kinetics.Window{
			From: t.P10, Best: t.P25, Until: t.P90, Low: t.P05, High: t.P95, Never: t.Never, LimitedBy: "watch",
		}
		if c.OutH == nil && c.JarH > 0 && c.Tasted > 0 {
			c.Overdue = c.Posterior.ChanceAtLeast(jarLimit, c.JarH) > 0.75
		}
	}
}

// rescue finds the flavour that is furthest past what was wanted and how much
// plain spirit brings it back. A fifth more in amount is the least that can be
// noticed, so less than that needs no rescue.
func (a *Assessment) rescue(p *parts, lib *library.Library) {
	const noticeable = 0.2 // volumes of spirit to one of jar
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
	if c.Watch || c.Target == nil || c.Tasted == 0 || c.Forbidden != "" || c.State == kinetics.OneTasting || c.State == kinetics.UsualRange {
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

// Together is a timetable that has every botanical right when the jar is
// strained: the slowest goes in first.
func (a *Assessment) Together() kinetics.Plan {
	var steeps []kinetics.Steep
	for i := range a.Curves {
		c := &a.Curves[i]
		if c.Watch || c.Forbidden != "" {
			continue
		}
		steeps = append(steeps, kinetics.Steep{Name: c.Name, Curve: c.Posterior, Aim: kinetics.Aim{Score: c.JarTarget}})
	}
	return kinetics.Staggered(steeps)
}

func contains(list []string, name string) bool {
	for _, n := range list {
		if strings.EqualFold(n, name) {
			return true
		}
	}
	return false
}

func hypot(a, b float64) float64 { return math.Hypot(a, b) }
