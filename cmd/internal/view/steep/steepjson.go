package steep

import (
	"math"
	"steepbook/cmd/internal/steeping"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/kinetics/jar"
)

// JSON is every flavour of a jar for programs.
func JSON(a *bench.Assessment) pen.Object {
	var rescue any
	if r := a.Rescue; r != nil {
		rescue = pen.Object{
			pen.As("flavour", r.Name),
			pen.As("spirit_ml", pen.Where(r.Practical, r.SpiritML)),
			pen.As("volume_ml", pen.Where(r.Practical, r.VolumeML)),
			pen.As("practical", r.Practical),
			pen.As("score_first", r.Ask),
		}
	}
	acts := due.Acts(a)
	return pen.Object{
		pen.As("batch", a.Batch.Name),
		pen.As("danger", bottle.CanHurt(a)),
		pen.As("handling", bottle.Handling(a)),
		pen.As("elapsed_h", a.ElapsedH),
		pen.As("curves", pen.Each(a.Curves,
			func(c *steeping.Curve) pen.Object { return curveJSON(a, c, acts) })),
		pen.As("rescue", rescue),
		pen.As("warnings", a.Warnings),
		pen.As("ready", view.AimJSON(view.AimOf(a), a.Now)),
	}
}

// curveJSON is one flavour. Its hours count from when it went in, but for in_h, by_h,
// next_tasting_h, the next sitting at the jar, and own_tasting_h, the one that this is tasted at: those
// are of the clock of the jar.
func curveJSON(a *bench.Assessment, c *steeping.Curve, acts []due.Act) pen.Object {
	o, s, next := &c.Order, a.NextSitting(), a.NextH
	if s != nil {
		next = s.AtH
	}
	warnings := c.Warnings
	var pulled, now, bottle, pull, dose any
	if c.OutH != nil {
		pulled = *c.OutH - c.InH
	}
	if c.JarH > 0 {
		now, bottle = pen.Estimate(c.JarNow), pen.Estimate(c.BottleNow)
	}
	if o.Do == jar.Nothing {
		warnings = append(warnings, "nothing has come of it: more time will not help, a "+
			"fresh or larger amount may")
	} else if right, ok := c.Right(); ok && o.Why != jar.Forbid {
		pull = pen.Estimate(right)
		if math.IsInf(right.High, 1) && !c.Watch {
			warnings = append(warnings,
				view.OneIn(o.Never)+" that it never reaches the strength wanted: more "+
					"of it would help, more time will not")
		}
	}
	if d := c.Dose; d != nil {
		dose = pen.Object{pen.As("factor", d.Factor), pen.As("low", d.Low), pen.As("high", d.High),
			pen.As("grams", pen.Where(d.GramsNow > 0, d.Grams))}
	}
	return pen.Object{
		pen.As("botanical", c.Name),
		pen.As("cut", c.Cut),
		pen.As("watch", c.Watch),
		pen.As("in_h", c.InH),
		pen.As("pulled_h", pulled),
		pen.As("tastings", c.Tasted),
		pen.As("rate_per_h", c.Posterior.Rate()),
		pen.As("plateau", c.Posterior.Plateau()),
		pen.As("half_time_h", c.Posterior.TimeToShare(0.5)),
		pen.As("jar_now", now),
		pen.As("bottle_now", bottle),
		pen.As("target", c.Target),
		pen.As("pull_h", pull),
		pen.As("taste_from_h", o.FromH-c.InH),
		pen.As("until_h", o.UntilH-c.InH),
		pen.As("chance_never", o.Never),
		pen.As("overdue", due.Overdue(acts, c)),
		pen.As("limited_by", limitedBy(c)),
		pen.As("do", o.Do),
		pen.As("by_h", o.ByH),
		pen.As("why", o.Why),
		pen.As("blame", o.Blame),
		pen.As("from", c.From),
		pen.As("next_tasting_h", pen.Where(!c.Watch && (o.Do == jar.Leave || o.Do == jar.Taste), next)),
		pen.As("own_tasting_h", pen.Where(!c.Watch && o.Do == jar.Taste, due.TastedH(a, s, c))),
		pen.As("dose_next_time", dose),
		pen.As("warnings", warnings),
	}
}

// limitedBy is the fixed word for what ends a steep.
func limitedBy(c *steeping.Curve) string {
	switch {
	case c.Watch, c.Order.Why == jar.Spoils:
		return "watch"
	case c.Order.Why == jar.NoneYet, c.Order.Why == jar.Forbid:
		return "none"
	case c.AllThere():
		return "plateau"
	}
	return "target"
}
