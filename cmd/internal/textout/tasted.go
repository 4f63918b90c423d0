package textout

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/kinetics/jar"
)

// Tasted says what one more tasting changed, and when it was where that was said in
// words.
func Tasted(p *Page, before, after *bench.Assessment, t batch.NewTasting, inWords bool) error {
	if p.JSON {
		return p.json(steepJSON(after))
	}
	names := make([]string, len(t.Scores))
	for i, s := range t.Scores {
		names[i] = fmt.Sprintf("%s %s", s.Name, significant(s.Value, 2))
	}
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
		old, now := curve(before, s.Name), curve(after, s.Name)
		if now == nil {
			continue
		}
		rows = append(rows, []string{now.Name, was(old, orLater), was(now, maybeNever), learned(old, now)})
		if old == nil || len(now.Points) == 0 {
			continue
		}
		if at, odd := old.Surprised(now.Points[len(now.Points)-1]); odd {
			again = append(again, fmt.Sprintf("%s: %s to %s was to be expected, so taste it again before you act on it; if it was a slip, correct its score in the file", now.Name, score(at.Low), score(at.High)))
		}
	}
	if len(rows) > 0 {
		p.Table([]string{"flavour", "before", "now", "what it told"}, rows)
		p.Line("")
	}
	for _, s := range again {
		p.Item("%s", s)
	}
	for _, s := range orders(after) {
		p.Para("%s", p.Strong(s))
	}
	for i := range after.Curves {
		for _, w := range after.Curves[i].Warnings {
			if old := curve(before, after.Curves[i].Name); old == nil || !slices.Contains(old.Warnings, w) {
				p.Item("%s: %s", after.Curves[i].Name, w)
			}
		}
	}
	return p.Err()
}

// exactly is a moment with its day and its clock.
func exactly(t time.Time) string { return t.Format("Mon 2~Jan 2006~15:04") }

// Pulled confirms that something came out, and when where that was said in words,
// and says what is left to do.
func Pulled(p *Page, a *bench.Assessment, name string, inWords bool) error {
	if p.JSON {
		return p.json(steepJSON(a))
	}
	c := curve(a, name)
	if c != nil {
		text := fmt.Sprintf("The %s came out after %s", c.Name, span(c.JarH))
		if pull, ok := a.Batch.Pulled(c.Name); ok && inWords {
			text += ", " + exactly(pull.When)
		}
		if c.Tasted > 0 {
			text += fmt.Sprintf(", at about %s in the bottle", score(c.BottleNow.Value))
		}
		if c.Target != nil {
			text += fmt.Sprintf(" (%s wanted)", trim(*c.Target))
		}
		p.Para("%s.", text)
		if back := a.PutBack(); c.Fine && len(back) > 0 {
			p.Para("It is so fine that only a cloth takes it out: put the %s back in if it came out too.", quantity.And(back))
		}
	}
	for _, s := range orders(a) {
		p.Para("%s", p.Strong(s))
	}
	return p.Err()
}

func curve(a *bench.Assessment, name string) *bench.Curve {
	for i := range a.Curves {
		if strings.EqualFold(a.Curves[i].Name, name) {
			return &a.Curves[i]
		}
	}
	return nil
}

// was is a flavour's time as it was known; open is how an open end is told.
func was(c *bench.Curve, open string) string {
	if c == nil {
		return "-"
	}
	if c.Watch && c.Tasted > 0 || !c.Watch {
		return rightAfter(c, open)
	}
	return "-"
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
	width := func(c *bench.Curve) float64 { return (c.Order.Crossing.P75 - c.InH) / (c.Order.Crossing.P25 - c.InH) }
	a, b := width(old), width(now)
	by := (now.Order.BestH - now.InH) / (old.Order.BestH - old.InH)
	var said []string
	switch {
	case by > 1.15:
		said = append(said, "slower than thought")
	case by < 1/1.15:
		said = append(said, "faster than thought")
	default:
		said = append(said, "about as thought")
	}
	switch {
	case math.IsInf(a, 0) || math.IsInf(b, 0) || math.IsNaN(a) || math.IsNaN(b):
	case b < 0.3*a:
		said = append(said, "its time is much surer now")
	case b < 0.8*a:
		said = append(said, "its time is surer now")
	case b > 1.2*a:
		before := "what went before"
		if old.Tasted == 0 {
			before = "what is usual"
		}
		said = append(said, "it does not fit "+before+", so less is sure")
	}
	if s := now.Standing(); s != "" {
		said = append(said, s)
	}
	return strings.Join(said, "; ")
}
