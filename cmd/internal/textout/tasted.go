package textout

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/data/batch"
)

// Tasted says what one more tasting changed.
func Tasted(p *Page, before, after *bench.Assessment, t batch.NewTasting) error {
	names := make([]string, len(t.Scores))
	for i, s := range t.Scores {
		names[i] = fmt.Sprintf("%s %s", s.Name, significant(s.Value, 2))
	}
	p.Para("Logged in %s: %s.", after.Batch.Name, strings.Join(names, ", "))
	p.Line("")
	var rows [][]string
	for _, s := range t.Scores {
		old, now := curve(before, s.Name), curve(after, s.Name)
		if now == nil {
			continue
		}
		rows = append(rows, []string{now.Name, window(old), window(now), learned(old, now)})
	}
	if len(rows) > 0 {
		p.Table([]string{"flavour", "pull before", "pull now", "what it told"}, rows)
		p.Line("")
	}
	for _, s := range conclusions(after) {
		p.Para("%s", p.Strong(s))
	}
	if s := tasteNext(after); s != "" {
		p.Para("%s", s)
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

// Pulled confirms that something came out and says what is left to do.
func Pulled(p *Page, a *bench.Assessment, name string) error {
	c := curve(a, name)
	if c != nil {
		text := fmt.Sprintf("The %s came out after %s", c.Name, span(c.JarH))
		if c.Tasted > 0 {
			text += fmt.Sprintf(", at about %s in the jar, %s in the bottle", score(c.JarNow.Value), score(c.BottleNow.Value))
		}
		if c.Target != nil {
			text += fmt.Sprintf(" (%s wanted)", trim(*c.Target))
		}
		p.Para("%s.", text)
	}
	for _, s := range conclusions(a) {
		p.Para("%s", p.Strong(s))
	}
	if s := tasteNext(a); s != "" {
		p.Para("%s", s)
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

func window(c *bench.Curve) string {
	switch {
	case c == nil:
		return "-"
	case c.AtLimit() && c.Tasted > 0:
		return "at its limit"
	case c.Silent():
		return "nothing has come"
	case c.GoesOn() && !c.Overdue && !c.Enough:
		return "open"
	case c.Watch && math.IsInf(c.Window.Best, 1):
		return "limit not expected"
	case c.Watch:
		return "limit not before " + span(c.Window.Best)
	case math.IsInf(c.Window.Best, 1):
		return "not reached"
	}
	return fmt.Sprintf("%s (%s)", span(c.Window.Best), spans(c.Window.Low, c.Window.High))
}

// learned compares how wide the answer was and is.
func learned(old, now *bench.Curve) string {
	switch {
	case old == nil || now.Watch:
		return ""
	case now.Silent():
		return ""
	case now.Declined():
		return "it was stronger before"
	case now.Enough && now.Overdue:
		return "it is past the strength wanted"
	case now.Enough:
		return "it is at the strength wanted"
	case now.Open() || old.Open():
		return now.Standing()
	}
	a, b := old.Window.High/old.Window.Low, now.Window.High/now.Window.Low
	if math.IsInf(a, 0) || math.IsInf(b, 0) || math.IsNaN(a) || math.IsNaN(b) || b <= 1 {
		return now.Standing()
	}
	text := fmt.Sprintf("range narrowed from a factor of %s to %s", significant(a, 2), significant(b, 2))
	if b > a*1.02 {
		text = fmt.Sprintf("range widened from a factor of %s to %s: it does not fit what went before", significant(a, 2), significant(b, 2))
	} else if b > a*0.95 {
		text = "little that was not known"
	}
	if r := now.Standing(); r != "" {
		text += "; " + r
	}
	return text
}
