package view

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/kinetics/jar"
)

// Tasted says what one more tasting changed, and when it was where that was said in
// words.
func Tasted(p *pen.Page, before, after *bench.Assessment, t batch.NewTasting, inWords bool) error {
	if p.JSON {
		return p.WriteJSON(steepJSON(after))
	}
	names := pen.Each(t.Scores, func(s *batch.Score) string { return s.Name + " " + pen.Trim(s.Value) })
	when := ""
	if n := len(after.Batch.Tastings); inWords && n > 0 {
		when = " for " + exactly(after.Batch.Tastings[n-1].When)
	}
	p.Para("Logged in %s%s: %s.", after.Batch.Name, when, strings.Join(names, ", "))
	p.Line("")
	unfit(p, after)
	var rows [][]string
	var again []string
	for _, s := range t.Scores {
		old, now := before.Curve(s.Name), after.Curve(s.Name)
		if now == nil {
			continue
		}
		rows = append(rows, []string{now.Name, was(old, pen.OrLater), was(now, pen.MaybeNever),
			learned(old, now)})
		if old == nil || len(now.Points) == 0 {
			continue
		}
		if at, odd := old.Surprised(now.Points[len(now.Points)-1]); odd {
			again = append(again, fmt.Sprintf("%s: %s to %s was to be expected, so taste it again before "+
				"you act on it; if it was a slip, correct its score in the file", now.Name, pen.Score(at.Low),
				pen.Score(at.High)))
		}
	}
	if len(rows) > 0 {
		p.Table([]string{"flavour", "before", "now", "what it told"}, rows)
		p.Line("")
	}
	p.Items(again)
	p.Answers(orders(after))
	for _, c := range after.Curves {
		old := before.Curve(c.Name)
		for _, w := range c.Warnings {
			if old == nil || !slices.Contains(old.Warnings, w) {
				p.Item("%s: %s", c.Name, w)
			}
		}
	}
	return p.Done()
}

// exactly is a moment with its day and its clock.
func exactly(t time.Time) string { return t.Format("Mon 2~Jan 2006~15:04") }

// Pulled confirms that things came out, and when where that was said in words, and says
// what is left to do.
func Pulled(p *pen.Page, a *bench.Assessment, names []string, inWords bool) error {
	if p.JSON {
		return p.WriteJSON(steepJSON(a))
	}
	for _, name := range names {
		c := a.Curve(name)
		if c == nil {
			continue
		}
		text := fmt.Sprintf("The %s came out after %s", c.Name, pen.Span(c.JarH))
		if pull := a.Batch.Pulled(c.Name); pull != nil && inWords {
			text += ", " + exactly(pull.When)
		}
		if c.Tasted > 0 {
			text += fmt.Sprintf(", at about %s in the bottle", pen.Score(c.BottleNow.Value))
		}
		if c.Target != nil {
			text += fmt.Sprintf(" (%s wanted)", pen.Trim(*c.Target))
		}
		p.Para("%s.", text)
		if back := a.PutBack(); c.Fine && len(back) > 0 {
			p.Para("It is so fine that only a cloth takes it out: put the %s back in if it came out too.",
				quantity.And(back))
		}
	}
	p.Answers(orders(a))
	return p.Done()
}

// was is a flavour's time as it was known; open is how an open end is told.
func was(c *bench.Curve, open string) string {
	if c == nil || c.Watch && c.Tasted == 0 {
		return "-"
	}
	return rightAfter(c, open)
}

// learned says what a tasting changed: the time, and how well it is known.
func learned(old, now *bench.Curve) string {
	switch {
	case old == nil || now.Watch && now.From != "":
		return because(now)
	case now.Watch:
		return ""
	case now.Order.Why == jar.NoneYet || now.Order.Why == jar.Fades:
		return because(now)
	}
	slower, wider := now.Since(old)
	said := []string{"about as thought"}
	switch {
	case slower > 1.15:
		said[0] = "slower than thought"
	case slower < 1/1.15:
		said[0] = "faster than thought"
	}
	switch {
	case wider < 0.3:
		said = append(said, "its time is much surer now")
	case wider < 0.8:
		said = append(said, "its time is surer now")
	case wider > 1.2 && old.Tasted == 0:
		said = append(said, "it does not fit what is usual, so less is sure")
	case wider > 1.2:
		said = append(said, "it does not fit what went before, so less is sure")
	}
	if s := now.Standing(); s != "" {
		said = append(said, s)
	}
	return strings.Join(said, "; ")
}
