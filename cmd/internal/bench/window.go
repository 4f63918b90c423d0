package bench

import (
	"math"

	"steepbook/kinetics"
)

// decide finds the pull window, whether it is overdue and the next tasting.
func (a *Assessment) decide(c *Curve) {
	inf := math.Inf(1)
	if c.Forbidden != "" {
		// What must not be steeped gets no time and no dose.
		c.Window = kinetics.Window{From: inf, Best: inf, Until: inf, Low: inf, High: inf, LimitedBy: kinetics.ByNone}
		c.Overdue = c.OutH == nil && c.JarH > 0
		return
	}
	aim := kinetics.Aim{}
	if c.Target != nil {
		c.JarTarget = kinetics.Undiluted(*c.Target, c.Share, c.Exponent)
		aim.Score = c.JarTarget
	}
	c.Window = c.Posterior.Pull(aim)
	if aim.Score > 0 && c.Window.LimitedBy == kinetics.ByPlateau {
		// More than there is to get was asked for: wait for nearly all of it.
		t := c.Posterior.TimeToShare(0.95)
		c.Window.From, c.Window.Best, c.Window.Until, c.Window.Low, c.Window.High = t.P10, t.Median, t.P90, t.P05, t.P95
	}
	a.watched(c, aim)
	if _, top, _ := c.best(); c.State == kinetics.StraightRise || c.Target != nil && top.Score >= c.JarTarget-1e-9 {
		// Where it ends is open, or it was there by a score.
		c.Window.Never, c.Window.Warnings = 0, nil
	}
	fault := a.lateFault(c)
	a.tastedEnough(c)
	if c.Declined() {
		c.peaked()
	}
	if c.Silent() {
		c.Window.LimitedBy, c.Window.Never, c.Window.Warnings = kinetics.ByNone, 0, nil
		fault = false // it cannot be what has not come
	}
	if c.Open() {
		c.Window.LimitedBy = kinetics.ByNone
	}
	if c.OutH != nil || (c.Botanical != nil && c.Botanical.LeaveIn) {
		return
	}
	if c.JarH > 0 {
		last := c.lastPoint()
		c.Overdue = fault || a.overdue(c) || c.Enough && last.Score >= c.JarTarget+last.SD
	}
	a.next(c)
}

// watched lets an unwanted taste end the steep: by its curve, and at once where
// its last score is at the limit, since a first-order curve cannot draw a taste
// that sets in late.
func (a *Assessment) watched(c *Curve, aim kinetics.Aim) {
	reached := ""
	at := 0.0
	for i := range a.Curves {
		w := &a.Curves[i]
		if !w.Watch || w.Tasted == 0 || !a.watches(w, c) {
			continue
		}
		limit := kinetics.Undiluted(w.Limit, w.Share, w.Exponent)
		aim.Limits = append(aim.Limits, kinetics.Limit{Name: w.Name, Curve: w.Posterior, Max: limit, OffsetH: c.InH - w.InH})
		if last := w.Points[len(w.Points)-1]; last.Score >= limit && last.Hours > c.InH && (reached == "" || last.Hours-c.InH < at) {
			reached, at = w.Name, last.Hours-c.InH
		}
	}
	if len(aim.Limits) == 0 {
		return
	}
	if w := c.Posterior.Pull(aim); w.LimitedBy == kinetics.ByWatch && w.Best < c.Window.Best {
		c.Window = w
	}
	if reached != "" && (at < c.Window.Best || c.OutH == nil && at <= c.JarH) {
		at = math.Min(at, math.Max(c.JarH, 0))
		best := math.Min(c.Window.Best, at)
		c.Window.LimitedBy, c.Window.Watch = kinetics.ByWatch, reached
		c.Window.From, c.Window.Best, c.Window.Until = math.Min(c.Window.From, best), best, at
		c.Window.Low, c.Window.High = math.Min(c.Window.Low, at), at
	}
}

// lateFault ends the steep where makers notice a fault, unless the maker's own
// tasting of a watched taste at that time says otherwise. It reports whether
// the time has passed in this jar.
func (a *Assessment) lateFault(c *Curve) bool {
	if c.LibCut == nil || c.LibCut.LateOff == "" || c.LibCut.LateOffH.Value <= 0 {
		return false
	}
	f := c.LibCut.LateOffH
	for i := range a.Curves {
		w := &a.Curves[i]
		if !w.Watch || w.Tasted == 0 || !a.watches(w, c) {
			continue
		}
		limit := kinetics.Undiluted(w.Limit, w.Share, w.Exponent)
		if last := w.Points[len(w.Points)-1]; last.Hours-c.InH >= f.Value && last.Score < limit {
			return false
		}
	}
	c.Late = &LateFault{What: c.LibCut.LateOff, FromH: f.Low, UsualH: f.Value, Source: f.Source}
	if c.Window.Best > f.Value {
		c.Window.LimitedBy, c.Window.Watch = kinetics.ByWatch, c.LibCut.LateOff
		c.Window.Best = f.Value
		c.Window.From, c.Window.Low = math.Min(c.Window.From, f.Low), math.Min(c.Window.Low, f.Low)
	}
	c.Window.Until, c.Window.High = math.Min(c.Window.Until, f.High), math.Min(c.Window.High, f.High)
	return c.OutH == nil && c.JarH > f.Value
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

// Declined reports whether the tastings ask for a curve that falls again after
// its best, which the plain one cannot draw.
func (c *Curve) Declined() bool {
	for _, p := range c.Proposals {
		if p.Curve == kinetics.RiseLoss {
			before, best, _ := c.best()
			return best.Hours > before && best.Hours < c.Points[len(c.Points)-1].Hours
		}
	}
	return false
}

// best is the highest score, with the hours of the tastings before and after
// it: since the start of the batch, +Inf after the last.
func (c *Curve) best() (before float64, top Reading, after float64) {
	for _, p := range c.Points {
		if p.Score > top.Score {
			top = p
		}
	}
	before, after = c.InH, math.Inf(1)
	for _, p := range c.Points {
		if p.Hours < top.Hours {
			before = math.Max(before, p.Hours)
		}
		if p.Hours > top.Hours {
			after = math.Min(after, p.Hours)
		}
	}
	return before, top, after
}

// PeakH is the time in the jar at which a flavour that has declined was at its
// best, by a curve with loss where that lies between the tastings beside the
// highest score.
func (c *Curve) PeakH() float64 {
	before, top, after := c.best()
	for _, p := range c.Proposals {
		if h := c.InH + p.PeakHours; p.PeakHours > 0 && h > before && h < after {
			return p.PeakHours
		}
	}
	return top.Hours - c.InH
}

// peaked makes the window of a flavour that has declined that around its best.
func (c *Curve) peaked() {
	before, _, after := c.best()
	at := c.PeakH()
	if c.Window.LimitedBy == kinetics.ByWatch && c.Window.Best <= at {
		c.Window.Never = 0
		return
	}
	c.Window = kinetics.Window{
		From: before - c.InH, Best: at, Until: after - c.InH, Low: before - c.InH, High: after - c.InH,
		LimitedBy: kinetics.ByDecline,
	}
}

// fallen takes the strength of a flavour that has declined from its last score.
func (c *Curve) fallen() {
	last := c.Points[len(c.Points)-1]
	half := ninety / 2 * last.SD
	c.JarNow = Figure{last.Score, math.Max(last.Score-half, 0), last.Score + half}
	down := kinetics.Diluted(1, c.Share, c.Exponent)
	c.BottleNow = Figure{c.JarNow.Value * down, c.JarNow.Low * down, c.JarNow.High * down}
}

// Silent reports whether nothing has come where half of it should be there by
// the usual rate.
func (c *Curve) Silent() bool {
	for _, p := range c.Points {
		if p.Score > 0 {
			return false
		}
	}
	return c.Tasted > 1 && !c.Watch && c.lastTastedH() > math.Ln2/math.Exp(c.Prior.LogRate.Mean)
}

// Open reports whether it still rises straight, so that where it ends and when
// cannot be told.
func (c *Curve) Open() bool {
	return c.OutH == nil && !c.Watch && c.State == kinetics.StraightRise && !c.Silent() &&
		(c.Window.LimitedBy == kinetics.ByPlateau || c.Window.LimitedBy == kinetics.ByNone) && !math.IsInf(c.Window.Best, 1)
}

// GoesOn reports whether it is in the jar and still rising where the curve would
// have had it end: nothing is said of when then.
func (c *Curve) GoesOn() bool {
	return c.OutH == nil && (c.Open() || c.Window.Best-c.JarH < 16 && c.Window.LimitedBy == kinetics.ByPlateau && c.Rising())
}

// tastedEnough ends a steep whose score has just risen to the strength wanted,
// or was there twice, where the curve lags behind.
func (a *Assessment) tastedEnough(c *Curve) {
	before, last, ok := c.lastTwo()
	there := func(r Reading) bool { return r.Score >= c.JarTarget-1e-9 }
	if !ok || c.Target == nil || c.OutH != nil || c.JarH <= 0 || !there(last) || !c.Rising() && !there(before) {
		return
	}
	w := &c.Window
	at := last.Hours - c.InH
	if w.LimitedBy == kinetics.ByWatch && w.Best <= at || a.overdue(c) {
		return
	}
	c.Enough = true
	w.LimitedBy, w.Watch, w.Never = kinetics.ByTarget, "", 0
	w.From = math.Min(w.From, before.Hours-c.InH)
	w.Best, w.Low = math.Min(w.Best, at), math.Min(w.Low, w.From)
	w.Until = math.Max(at, math.Min(w.Until, w.Best+2*(last.Hours-before.Hours)))
	w.High = w.Until
	w.Extrapolated = false
}

// lastPoint is the latest score, the zero Reading before any.
func (c *Curve) lastPoint() Reading {
	if len(c.Points) == 0 {
		return Reading{}
	}
	return c.Points[len(c.Points)-1]
}

// AtLimit reports whether a watched taste is at the most that is wanted.
func (c *Curve) AtLimit() bool { return c.Watch && (c.Reached || c.BottleNow.Value >= c.Limit) }

func (a *Assessment) overdue(c *Curve) bool {
	switch c.Window.LimitedBy {
	case kinetics.ByDecline:
		return c.JarH > c.Window.Best
	case kinetics.ByWatch:
		return c.JarH >= c.Window.Until
	case kinetics.ByTarget:
		if c.JarH > c.Window.Until && !math.IsInf(c.Window.Until, 1) {
			return true
		}
		return c.Tasted > 0 && c.Posterior.ChanceAtLeast(c.JarTarget, c.JarH) > pastDue
	}
	return false
}

// lastTwo are the two latest scores at different times; ok is false before
// there are two.
func (c *Curve) lastTwo() (before, last Reading, ok bool) {
	for _, p := range c.Points {
		switch {
		case p.Hours > last.Hours:
			before, last, ok = last, p, last.Hours > 0
		case p.Hours > before.Hours && p.Hours < last.Hours:
			before, ok = p, true
		}
	}
	return before, last, ok
}

// Rising reports whether the latest score is clearly above the one before: a
// whole point, which is about the noise of one score.
func (c *Curve) Rising() bool {
	before, last, ok := c.lastTwo()
	return ok && last.Score-before.Score >= 1
}

// soonest is the jar time at which the straight line through the last two
// scores meets the wanted strength, +Inf where it does not rise.
func (c *Curve) soonest() float64 { return c.lineTo(c.JarTarget) }

func (c *Curve) lineTo(score float64) float64 {
	before, last, ok := c.lastTwo()
	if !ok || last.Score <= before.Score || score <= last.Score {
		return math.Inf(1)
	}
	slope := (last.Score - before.Score) / (last.Hours - before.Hours)
	return last.Hours - c.InH + (score-last.Score)/slope
}

// next is when to taste next. Before any tasting the library's habit counts,
// and what may be ready is tasted now. While scores rise, half the way to
// where the line meets the wanted strength is the latest.
func (a *Assessment) next(c *Curve) {
	from := math.Max(c.JarH, 0)
	set := func(jarH float64, why string) {
		at := math.Max(c.InH+jarH, a.ElapsedH)
		c.NextH, c.NextWhy = &at, why
	}
	if c.Tasted == 0 && c.LibCut != nil && c.LibCut.FirstTasteH > 0 {
		set(c.LibCut.FirstTasteH, "the first tasting")
		return
	}
	last := c.lastTastedH()
	if before, end, ok := c.lastTwo(); ok && c.Enough {
		set(math.Max(last+(end.Hours-before.Hours)/2, from), "it is at the strength wanted")
		return
	}
	if c.JarH > 0 && c.Window.Best <= c.JarH && c.JarH-last > math.Max(0.25, c.JarH/10) {
		set(c.JarH, "it may be ready")
		return
	}
	horizon := c.Window.Until
	if c.Tasted > 0 {
		// The next score teaches little while the last one still stands.
		from = math.Max(from, last+math.Max(0.25, last/5))
	}
	if math.IsInf(horizon, 1) || horizon <= from {
		horizon = from + math.Max(c.Posterior.TimeToShare(0.95).Median, from/2)
	}
	n := c.Posterior.NextTasting(kinetics.Question{Score: c.JarTarget}, from, horizon)
	at, why := n.Hours, n.Why
	if n.Stop {
		at = math.Inf(1)
	}
	if c.Window.Best > c.JarH && c.Window.Best < at {
		at, why = c.Window.Best, "it may be ready then"
	}
	if c.Tasted > 0 {
		if line := last + (c.soonest()-last)/2; line < at {
			at, why = math.Max(line, last+1.0/60), "it is rising fast"
		}
	}
	if c.Late != nil && c.Late.FromH > c.JarH && c.Late.FromH < at {
		at, why = c.Late.FromH, "from then it may turn "+c.Late.What
	}
	if math.IsInf(at, 1) {
		c.NextWhy = n.Why
		return
	}
	set(at, why)
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
		limit := kinetics.Undiluted(c.Limit, c.Share, c.Exponent)
		t := c.Posterior.TimeToScore(limit)
		c.Window = kinetics.Window{
			From: t.P10, Best: t.P25, Until: t.P90, Low: t.P05, High: t.P95, Never: t.Never, LimitedBy: kinetics.ByWatch,
		}
		if c.Tasted == 0 {
			continue
		}
		if last := c.Points[len(c.Points)-1]; last.Score >= limit {
			at := last.Hours - c.InH
			c.Window.Best, c.Window.Until = math.Min(c.Window.Best, at), math.Min(c.Window.Until, at)
			c.Reached = true
		}
		if c.Rising() && !c.Reached {
			c.LineH = c.lineTo(limit)
			c.Window.Best = math.Min(c.Window.Best, c.LineH)
			c.Window.From = math.Min(c.Window.From, c.Window.Best)
			c.Window.Low = math.Min(c.Window.Low, c.Window.From)
		}
		_, top, _ := c.best()
		if c.Rising() || c.Reached || c.BottleNow.Value >= c.Limit || top.Score > 0 && c.State == kinetics.StraightRise {
			c.Window.Never = 0 // nothing tells of an end below the limit
		}
		if c.OutH == nil && c.JarH > 0 {
			c.Overdue = c.Reached || c.Posterior.ChanceAtLeast(limit, c.JarH) > 0.75
		}
	}
}
