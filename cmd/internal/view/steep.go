package view

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/data/quantity"
	"steepbook/kinetics"
	"steepbook/kinetics/jar"
)

// Steep prints when to pull each botanical, why, and when to taste next.
func Steep(p *pen.Page, a *bench.Assessment) error {
	if p.JSON {
		return p.WriteJSON(steepJSON(a))
	}
	p.Line("%s", heading(p, a))
	p.Line("")
	unfit(p, a)
	if len(a.Curves) == 0 {
		p.Para("Nothing is steeping: add a [[botanical]] to the batch, " +
			"e.g. name = \"orange zest\", amount = \"24~g\", target = 6.")
		return p.Done()
	}
	p.Answers(orders(a))
	p.Line("")
	p.Table([]string{"flavour", "bottle now / wanted", "right after", "because"},
		pen.Each(a.Curves, func(c *bench.Curve) []string {
			return []string{flavour(c), bottleNow(c), rightAfter(c, pen.OrLater), because(c)}
		}))
	p.Line("")
	p.Para("Scores run from 0 (absent) over 6 (right for a lead flavour) to 10 (nothing else), as the " +
		"bottle will taste. Times count from when each went in; ranges hold nine times in ten.")
	howToTaste(p, a, a.Batch.File)
	if r := a.Rescue; r != nil {
		rescue(p, r)
	}
	doses(p, a)
	p.Items(a.Warnings)
	for i := range a.Curves {
		c := &a.Curves[i]
		for _, w := range c.Warnings {
			p.Item("%s: %s", c.Name, w)
		}
	}
	return p.Done()
}

func heading(p *pen.Page, a *bench.Assessment) string {
	s := a.Batch.Name
	switch {
	case a.ElapsedH < 0:
		s += ", starts " + moment(a.Batch.Started, a.Now, 0)
	case a.ElapsedH < 1.0/60:
		s += ", just started"
	default:
		s += ", " + pen.Span(a.ElapsedH) + " in"
	}
	if b := a.Base(); b != "" {
		s += ", " + b
	}
	if a.Batch.RoomC != nil {
		s += ", " + p.Temperature(*a.Batch.RoomC)
	}
	return s
}

// howToTaste says how the next tasting is mixed, and prints the line that logs it,
// to be copied as it is: a score counts as neat unless the line names the mix.
func howToTaste(p *pen.Page, a *bench.Assessment, file string) {
	flavours, watch := a.ToScore()
	if len(flavours)+len(watch) == 0 {
		return
	}
	line := []string{"taste", file}
	text := ""
	if recipe, ratio := sample(p, a); ratio != "" {
		text = "Taste it as the bottle will be: " + recipe +
			". Taste the plain base beside it, thinned the same way. "
		line = append(line, "--sample", ratio)
	}
	for _, n := range flavours {
		line = append(line, n+"=3")
	}
	for _, n := range watch {
		line = append(line, n+"=0")
	}
	p.Para("%sLog a tasting like this, with your own scores:", text)
	p.Line("  steepbook %s", ShellLine(line))
}

// sample is the mix to taste, in millilitres, or in teaspoons beside them, and the
// same as --sample takes it; both are empty where the jar is tasted neat.
func sample(p *pen.Page, a *bench.Assessment) (recipe, ratio string) {
	s := &a.Sample
	if s.JarML <= 0 {
		return "", ""
	}
	volume := func(ml float64) string {
		if p.Units == quantity.Metric {
			return trimML(ml) + " ml" // to the half millilitre: the ratio is read off it
		}
		return p.Volume(ml)
	}
	parts := []string{volume(s.JarML) + " from the jar"}
	for _, part := range s.Parts {
		if part.VolumeML > 0 {
			parts = append(parts, volume(part.VolumeML)+" "+part.Name)
		}
	}
	return strings.Join(parts, " + "), trimML(s.JarML) + ":" + trimML(s.TotalML-s.JarML)
}

func trimML(ml float64) string { return strconv.FormatFloat(ml, 'f', -1, 64) }

// ShellLine writes arguments as one would type them.
func ShellLine(args []string) string {
	typed := make([]string, len(args))
	for i, a := range args {
		typed[i] = a
		if strings.ContainsAny(a, " \t\"'`$&|;<>()*?") {
			typed[i] = `"` + strings.NewReplacer(`"`, `\"`, "`", "\\`", "$", `\$`).Replace(a) + `"`
		}
	}
	return strings.Join(typed, " ")
}

func flavour(c *bench.Curve) string {
	if c.Watch {
		return c.Name + " (watch)"
	}
	return c.Name
}

func bottleNow(c *bench.Curve) string {
	now := "-"
	if c.JarH > 0 {
		now = pen.Score(c.BottleNow.Value)
	}
	switch {
	case c.Watch:
		return fmt.Sprintf("%s / at most %s", now, pen.Trim(c.Limit))
	case c.Target != nil:
		return fmt.Sprintf("%s / %s", now, pen.Trim(*c.Target))
	}
	return now
}

// rightAfter is how long a flavour is steeped: its best time with the 90 % range
// of the time at which it is as strong as wanted; open is how an open end is told.
func rightAfter(c *bench.Curve, open string) string {
	o := &c.Order
	x := &o.Crossing
	switch {
	case c.Watch && c.Tasted == 0:
		return "not tasted yet"
	case c.Watch && o.Do == jar.Out:
		return "-"
	case c.Watch && o.Over > 0.5:
		return "at its limit now"
	case c.Watch && math.IsInf(x.P10, 1):
		return "not expected"
	case c.Watch && x.P10-c.InH < c.JarH:
		return oneIn(o.Over) + " that it is over"
	case c.Watch:
		return "under it to " + pen.Span(x.P10-c.InH) + " at least"
	case o.Do == jar.Out:
		return "out after " + pen.Span(c.JarH)
	case o.Do == jar.Stays:
		return "stays in"
	}
	right, ok := c.Right()
	if !ok || o.Do == jar.Nothing {
		return "-"
	}
	best := pen.Span(right.Value)
	switch {
	case !math.IsInf(right.High, 1):
		return best + " (" + pen.Spans(right.Low, right.High) + ")"
	case pen.Span(right.Low) == best:
		return best + open
	}
	return best + " (" + pen.Span(right.Low) + open + ")"
}

// because says what ends the steep of one flavour, and how sure that is.
func because(c *bench.Curve) string {
	o := &c.Order
	var parts []string
	switch {
	case o.Do == jar.Out || o.Do == jar.Stays || c.Watch && (c.Tasted == 0 || c.From == ""):
		return ""
	case c.Watch:
		return "most likely from the " + c.From
	case o.Why == jar.NoneYet:
		return "nothing has come"
	case o.Why == jar.Spoils:
		parts = append(parts, o.Blame+" comes first")
	case o.Why == jar.Fades:
		return "best then, weaker since"
	case c.AllThere():
		parts = append(parts, "as strong as it gets")
	default:
		parts = append(parts, "strong enough")
	}
	if c.Target != nil && o.Never >= 0.05 {
		parts = append(parts, fmt.Sprintf("%s that it stays below %s", oneIn(o.Never), pen.Trim(*c.Target)))
	}
	if s := c.Standing(); s != "" {
		parts = append(parts, s)
	}
	return strings.Join(parts, "; ")
}

// oneIn is a chance in words.
func oneIn(p float64) string {
	switch {
	case p > 0.9:
		return "almost certain"
	case p > 0.67:
		return "likely"
	case p > 0.4:
		return "1 in 2"
	}
	return fmt.Sprintf("1 in %.0f", math.Round(1/math.Max(p, 0.01)))
}

func rescue(p *pen.Page, r *bench.Rescue) {
	switch {
	case !r.Practical:
		p.Para("There is far too much of the %s: it would take more than %s volumes of plain spirit to one "+
			"of jar, which is not practical. Use the jar as a concentrate, by the spoon.", r.Name,
			pen.Trim(kinetics.MostVolumes))
	case r.SpiritML == 0: // nobody wrote how much is in the jar
		p.Para("There is too much of the %s: about %s volumes of plain spirit of the same strength to one "+
			"of jar should bring it back; try it in a small glass first.", r.Name, pen.Trim(r.Volumes))
	default:
		p.Para("There is too much of the %s: about %s of plain spirit of the same strength (%s in all) "+
			"should bring it back; an unspiced blend does as well. Try it in a small glass first.", r.Name,
			p.Volume(r.SpiritML), p.Volume(r.VolumeML))
	}
}

// doses says how much to use next time.
func doses(p *pen.Page, a *bench.Assessment) {
	for i := range a.Curves {
		c := &a.Curves[i]
		d := c.Dose
		if d == nil || math.IsInf(d.Factor, 1) {
			continue
		}
		text := fmt.Sprintf("%s times the dose (%s-%s)", pen.Trim(d.Factor), pen.Trim(d.Low),
			openOr(d.High, pen.Trim))
		if d.Amount != "" {
			text = fmt.Sprintf("%s instead of %s (%s-%s times as much)", d.Amount, d.AmountNow,
				pen.Trim(d.Low),
				openOr(d.High, pen.Trim))
		}
		if d.PullH > 0 {
			p.Item("%s, next time: pull it at about %s, or with the same time %s.", c.Name, pen.Span(d.PullH),
				text)
			continue
		}
		p.Item("%s, next time: %s, for the strength wanted after %s. %s", c.Name, text, pen.Span(d.AtH),
			strings.Join(d.Warnings, " "))
	}
}

// openOr is v as it is printed, or "open".
func openOr(v float64, printed func(float64) string) string {
	if math.IsInf(v, 0) {
		return "open"
	}
	return printed(v)
}
