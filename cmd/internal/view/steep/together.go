package steep

import (
	"fmt"
	"math"
	"slices"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/together"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/quantity"
)

// TogetherScreen is the timetable that strains everything at once: with clock times for a
// jar to come or running, in hours from the start for another jar.
func TogetherScreen(a *bench.Assessment, t *together.Timetable, style pen.Style) pen.Screen {
	s, off := bottle.Begin(a), t.WithinH()
	switch {
	case len(t.Stays) == 0:
		s.Say = append(s.Say, "Nothing is steeping: add a [[botanical]] to the batch.")
		return s
	case t.NextJar:
		s.Say = append(s.Say, a.Batch.Name+": "+conflict(a, t.Conflict))
		if t.TotalH == 0 {
			return s.Said(style.Units) // no time to plan a jar by
		}
		s.Say = append(s.Say, fmt.Sprintf("For the next jar: strain everything together after %s.",
			quantity.SpanWithin(t.TotalH, off)))
	default:
		when := "now"
		if t.TotalH > a.ElapsedH+0.02 {
			when = view.About(a, t.TotalH, min(t.DoubtH, off))
		}
		if t.Night {
			when += ", though that is in the night"
		}
		s.Say = append(s.Say, fmt.Sprintf("%s: strain everything together %s, %s after the start.", a.Batch.Name, when,
			quantity.SpanWithin(t.TotalH, off)))
	}
	s.Head = []string{"what", "add", "that is", "because it"}
	s.Rows = pen.Each(t.Stays, func(x *together.Stay) []string {
		clock := "-"
		if !x.In && !x.Out {
			clock = view.By(a, x.InH, min(x.BestH/4, off))
		}
		return []string{x.Name, addAt(x, t.TotalH, off), clock, becauseIt(x)}
	})
	if t.NextJar { // its hours have no clock yet
		s.Head = slices.Delete(s.Head, 2, 3)
		for i := range s.Rows {
			s.Rows[i] = slices.Delete(s.Rows[i], 2, 3)
		}
	}
	return s.Said(style.Units)
}

// Together prints the timetable that strains everything at once; with why all of it.
func Together(p *pen.Page, a *bench.Assessment, why bool) error {
	t := together.Plan(a)
	if p.JSON {
		return p.WriteJSON(togetherJSON(a, &t))
	}
	lines := pen.OfScreen
	if why {
		lines = pen.Whole
	}
	p.Screen(TogetherScreen(a, &t, p.Style), lines)
	return p.Done()
}

// addAt is when a botanical goes in, so many hours off at most.
func addAt(s *together.Stay, totalH, off float64) string {
	switch {
	case s.Out:
		return "is out"
	case s.In:
		return "is in"
	case s.InH <= min(0.02*totalH, off):
		return "at the start"
	}
	return "after " + quantity.SpanWithin(s.InH, off)
}

func becauseIt(s *together.Stay) string {
	switch {
	case s.Out && s.OutH <= s.InH:
		return "never went in"
	case s.Out:
		return "had " + quantity.Span(math.Max(s.OutH-s.InH, 0))
	case s.LeaveIn:
		return "stays in the bottle"
	case s.Spent:
		return "gave nothing: take it fresh, or more of it"
	case s.PlanFailed:
		return "has no time of its own: taste for it"
	}
	return fmt.Sprintf("wants %s (%s)", quantity.Span(s.BestH), pen.Spans(s.FromH, s.UntilH))
}

// conflict says why this jar cannot be strained at one moment.
func conflict(a *bench.Assessment, c together.Conflict) string {
	clock := func(h float64) string {
		return view.By(a, h, math.Max(0.6, (h-a.ElapsedH)/8))
	}
	text := ""
	switch {
	case c.Unfit:
		return "do not taste it, and strain nothing of it to drink."
	case c.AllOut:
		return "everything is out of the jar."
	case len(c.Spent) > 0:
		return fmt.Sprintf("strain the jar, or add more: nothing more comes of the %s.",
			quantity.And(c.Spent))
	case c.AllNow:
		return "all that is in it should come out now: strain it."
	case len(c.Overdue) > 0:
		text = fmt.Sprintf("the %s should come out now", quantity.And(c.Overdue))
	case c.Ready && len(c.Decides) > 0:
		return fmt.Sprintf("leave it until %s; then taste the %s, and strain everything if you like it.",
			clock(c.DecidesH), quantity.And(c.Decides))
	case c.Ready:
		return "what is in has come to its time: taste it and strain it now if you like it."
	case c.FirstH <= a.ElapsedH:
		text = fmt.Sprintf("the time of the %s has come", c.First)
	default:
		text = fmt.Sprintf("the %s should be out by %s", c.First, clock(c.FirstH))
	}
	if c.Last != "" && (c.Last != c.First || len(c.Overdue) > 0) && !slices.Contains(c.Overdue, c.Last) &&
		c.LastH > a.ElapsedH {
		text += fmt.Sprintf(", and the %s will not be ready before %s", c.Last, clock(c.LastH))
	}
	return "this jar cannot be strained at one moment: " + text + "."
}

func togetherJSON(a *bench.Assessment, t *together.Timetable) pen.Object {
	var warnings []string
	if t.NextJar {
		warnings = []string{conflict(a, t.Conflict)}
	}
	return pen.Object{
		pen.As("batch", a.Batch.Name),
		pen.As("next_jar", t.NextJar),
		pen.As("total_h", t.TotalH),
		pen.As("stays", t.Stays),
		pen.As("warnings", warnings),
	}
}
