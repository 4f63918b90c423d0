package textout

import (
	"math"

	"steepbook/cmd/internal/bench"
	"steepbook/kinetics/jar"
)

func steepJSON(a *bench.Assessment) object {
	var rescue any
	if r := a.Rescue; r != nil {
		rescue = object{
			{"flavour", r.Name},
			{"spirit_ml", where(r.Practical, r.SpiritML)},
			{"volume_ml", where(r.Practical, r.VolumeML)},
			{"practical", r.Practical},
		}
	}
	return object{
		{"batch", a.Batch.Name},
		{"elapsed_h", a.ElapsedH},
		{"curves", each(a.Curves, func(c *bench.Curve) object { return curveJSON(a, c) })},
		{"rescue", rescue},
		{"warnings", a.Warnings},
	}
}

// curveJSON is one flavour; its hours count from when it went in.
func curveJSON(a *bench.Assessment, c *bench.Curve) object {
	o := &c.Order
	warnings := c.Warnings
	var pulled, now, bottle, pull, dose any
	if c.OutH != nil {
		pulled = *c.OutH - c.InH
	}
	if c.JarH > 0 {
		now, bottle = estimate(c.JarNow), estimate(c.BottleNow)
	}
	if o.Do == jar.Nothing {
		warnings = append(warnings, "nothing has come of it: more time will not help, a "+
			"fresh or larger amount may")
	} else if right, ok := c.Right(); ok && o.Why != jar.Forbid {
		pull = estimate(right)
		if math.IsInf(right.High, 1) && !c.Watch {
			warnings = append(warnings, oneIn(o.Never)+" that it never reaches the strength wanted: more "+
				"of it would help, more time will not")
		}
	}
	if d := c.Dose; d != nil {
		dose = object{{"factor", d.Factor}, {"low", d.Low}, {"high", d.High},
			{"grams", where(d.GramsNow > 0, d.Grams)}}
	}
	return object{
		{"botanical", c.Name},
		{"cut", c.Cut},
		{"watch", c.Watch},
		{"in_h", c.InH},
		{"pulled_h", pulled},
		{"tastings", c.Tasted},
		{"rate_per_h", c.Posterior.Rate()},
		{"plateau", c.Posterior.Plateau()},
		{"half_time_h", c.Posterior.TimeToShare(0.5)},
		{"jar_now", now},
		{"bottle_now", bottle},
		{"target", c.Target},
		{"pull_h", pull},
		{"taste_from_h", o.FromH - c.InH},
		{"until_h", o.UntilH - c.InH},
		{"chance_never", o.Never},
		{"overdue", o.Overdue},
		{"limited_by", limitedBy(c)},
		{"do", o.Do},
		{"by_h", o.ByH},
		{"why", o.Why},
		{"blame", o.Blame},
		{"from", c.From},
		{"next_tasting_h", where(!c.Watch && (o.Do == jar.Leave || o.Do == jar.Taste), a.NextH)},
		{"dose_next_time", dose},
		{"warnings", warnings},
	}
}

// limitedBy is the fixed word for what ends a steep.
func limitedBy(c *bench.Curve) string {
	switch {
	case c.Watch, c.Order.Why == jar.Spoils:
		return "watch"
	case c.Order.Why == jar.NoneYet, c.Order.Why == jar.Forbid:
		return "none"
	case c.Order.Why == jar.AllThere, c.Target == nil:
		return "plateau"
	}
	return "target"
}
