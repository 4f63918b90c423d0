package view

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/data/quantity"
	"steepbook/kinetics/jar"
)

// orders says what to do, the most urgent first: it words each flavour's order and
// decides nothing.
func orders(a *bench.Assessment) []string {
	var out, later []string
	unfit := a.Unfit() // nothing of it is tasted any more
	groups := map[jar.Do][]*bench.Curve{}
	for i := range a.Curves {
		c := &a.Curves[i]
		switch o := &c.Order; {
		case c.Watch:
		case o.Why == jar.Forbid:
			out = append(out, fmt.Sprintf("Do not drink this jar: %s must not be steeped. %s", c.Name,
				quantity.Capital(c.Forbidden)))
		case unfit:
		case c.JarH <= 0 && o.Do == jar.Taste:
			later = append(later, fmt.Sprintf("Put in the %s %s.", c.Name, at(a, c.InH, 0)))
		case o.Do == jar.Nothing:
			out = append(out,
				"Nothing has come of the "+c.Name+": check its age and the amount; more time will not help.")
		default:
			groups[o.Do] = append(groups[o.Do], c)
		}
	}
	if unfit {
		return out
	}
	for _, do := range []jar.Do{jar.Strain, jar.Pull} {
		out = append(out, outNow(a, do, groups[do])...)
	}
	leave := groups[jar.Leave]
	slices.SortStableFunc(leave, func(x, y *bench.Curve) int { return cmp.Compare(x.Order.ByH, y.Order.ByH) })
	for _, c := range leave {
		o := &c.Order
		text := fmt.Sprintf("Leave the %s until %s", c.Name, about(a, o.ByH, (o.UntilH-o.FromH)/2))
		if span := between(a, o); span != "" {
			text += " (" + span + ")"
		}
		out = append(out, text+".")
	}
	out = append(append(out, tasteNext(a)...), later...)
	if len(out) == 0 {
		out = append(out, "Everything is out of the jar.")
	}
	return out
}

// outNow is the order to take flavours out at once, one sentence a reason.
func outNow(a *bench.Assessment, do jar.Do, of []*bench.Curve) []string {
	var reasons []string
	names := map[string][]string{}
	for _, c := range of {
		why := outBecause(a, c)
		if names[why] == nil {
			reasons = append(reasons, why)
		}
		names[why] = append(names[why], c.Name)
	}
	verb := "Pull"
	if do == jar.Strain {
		verb = "Strain out"
	}
	var out []string
	for _, why := range reasons {
		out = append(out, fmt.Sprintf("%s the %s now: %s.", verb, quantity.And(names[why]), why))
	}
	if back := a.PutBack(); do == jar.Strain && len(out) > 0 && len(back) > 0 {
		out[len(out)-1] += fmt.Sprintf(" Strain the jar through a cloth and put the %s back in.",
			quantity.And(back))
	}
	return out
}

// outBecause says why a flavour comes out now.
func outBecause(a *bench.Assessment, c *bench.Curve) string {
	o := &c.Order
	past := ""
	if o.Overdue {
		past = fmt.Sprintf("; best after about %s", pen.Span(o.BestH-c.InH))
	}
	switch o.Why {
	case jar.Spoils:
		if w := a.Curve(o.Blame); w != nil && w.Watch && w.Tasted > 0 {
			if w.BottleNow.Value >= 0.9*w.Limit {
				return fmt.Sprintf("the %s has reached its limit%s", o.Blame, past)
			}
			return fmt.Sprintf("the %s would pass its limit%s", o.Blame, past)
		}
		return fmt.Sprintf("longer steeping turns the jar %s%s", o.Blame, past)
	case jar.Fades:
		return fmt.Sprintf("best after about %s, weaker since", pen.Span(o.BestH-c.InH))
	case jar.AllThere:
		return "about as strong as it gets" + shortOf(c) + past
	}
	if o.Overdue {
		return "past the strength wanted" + past
	}
	return "as strong as wanted"
}

// between is the stretch in which no taster could tell the difference.
func between(a *bench.Assessment, o *jar.Order) string {
	doubt := (o.UntilH - o.FromH) / 4
	open := math.IsInf(o.UntilH, 1)
	switch {
	case open && o.FromH > a.ElapsedH:
		return "right from " + at(a, o.FromH, doubt) + " on"
	case open:
		return ""
	case o.FromH <= a.ElapsedH:
		return "by " + at(a, o.UntilH, doubt) + " at the latest"
	}
	from, until := at(a, o.FromH, doubt), at(a, o.UntilH, doubt)
	if from == until {
		return ""
	}
	return "right between " + from + " and " + until
}

// shortOf says by how much a flavour at its end misses what was wanted.
func shortOf(c *bench.Curve) string {
	if c.Target == nil || c.BottleNow.Value >= *c.Target-0.5 {
		return ""
	}
	return fmt.Sprintf(", %s of the %s wanted", pen.Score(c.BottleNow.Value), pen.Trim(*c.Target))
}

// tasteNext names the next sitting: everything due by then, weakest first, what
// numbs the palate last, and why it is worth it; then what can wait longer.
func tasteNext(a *bench.Assessment) []string {
	s := a.NextSitting()
	if s == nil {
		return nil
	}
	when := "now"
	if !s.Now {
		when = "next " + at(a, s.AtH, math.Min(s.DoubtH, 6))
	}
	text := fmt.Sprintf("Taste %s: the %s", when, strings.Join(s.Flavours, ", then the "))
	if len(s.Watch) > 0 {
		text += "; look for " + quantity.And(s.Watch) + " too"
	}
	switch {
	case len(s.Late) > 0 && len(s.Late) == len(s.Flavours):
		text += ". That is longer in the jar than usual"
	case len(s.Late) > 0:
		text += fmt.Sprintf(". For the %s that is longer in the jar than usual", quantity.And(s.Late))
	case s.Decides:
		text += ". That tasting decides"
	case s.Early:
		text += ". That is a first look: few jars are ready by then"
	default:
		text += ". That is a first look"
	}
	text += "."
	if s.Advice != "" {
		text += " " + s.Advice
	}
	out := []string{text}
	for _, n := range s.Later {
		h := a.Curve(n).Order.TasteH
		out = append(out,
			fmt.Sprintf("No need to taste the %s before %s.", n, at(a, h, math.Min((h-a.ElapsedH)/4, 6))))
	}
	return out
}
