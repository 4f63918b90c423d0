package view

import (
	"fmt"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/data/quantity"
)

// AimWords is how a batch stands to the day that its file says it is to be ready by: in
// time or not, and until when to do what for it.
func AimWords(m *due.Aim, now time.Time) string {
	if m.Missed {
		return DateOf(m.Ready, now) + " was missed"
	}
	text := fmt.Sprintf("for %s: ", DateOf(m.Ready, now))
	for _, x := range m.Not {
		is := " too old"
		if x.Sound {
			is = " past the best"
		}
		text += Names(x.Numbers) + quantity.Verb(len(x.Numbers), " is", " are") + is + ", " +
			GoodBy(x.Sound, DateOf(x.Ends, now)) + "; "
	}
	if m.Not != nil {
		text += "the others: "
	}
	text += aimed(m, now)
	if p := m.Plan; !m.Soon.IsZero() && (p == nil || !p.TooLate) {
		text += "; " + GoodBy(false, DateOf(m.Soon, now))
	}
	return text
}

// AimOf is how it stands to its day; nil where there is none.
func AimOf(a *bench.Assessment) *due.Aim {
	if a.Batch.Ready.IsZero() {
		return nil
	}
	return LookAt(a).Aim
}

// LookAt is a batch in a row, with nothing due where that cannot be said: every other answer says so.
func LookAt(a *bench.Assessment) *due.Glance {
	g, err := due.Look(a)
	if err != nil {
		g.Due, g.Aim = due.Act{}, nil
	}
	return &g
}

// Expected says behind what waits to which days it is expected, each as day writes it; "" where those by the
// log are told.
func Expected(g *due.Glance, day func(time.Time) string) (text string) {
	e, lead := g.Expected(), "; if all went in as soon as it could: "
	if g.Stage != due.Strained || g.Assessment.Keep.OverIfMixed || e.Bottled.IsZero() && !e.Doubt {
		return ""
	}
	switch k := g.Assessment.Keep; {
	case !e.Doubt:
		lead = "; bottled on " + day(e.Bottled) + ": "
	case e.Safe.Equal(k.Advised.Until): // which is told
		return "; its day is as if all had gone in as soon as it could"
	}
	if !e.Best.IsZero() && !e.Best.Equal(g.Assessment.Keep.Advised.Until) { // which is told
		text, lead = lead+GoodBy(true, day(e.Best)), ", "
	}
	if !e.Safe.IsZero() {
		text += lead + GoodBy(false, day(e.Safe))
	}
	if !e.IfIn.IsZero() {
		text += "; " + IfIn(e.IfIn, day(e.IfIn), g.Assessment.Now)
	}
	return text
}

// IfIn says to which moment it is good that waits for its day, if the rest went in as soon as it could;
// day is how that is written.
func IfIn(until time.Time, day string, now time.Time) string {
	if until.Before(now) {
		return "if the rest is in already, it was good until " + day
	}
	return "if the rest is in already: " + GoodBy(false, day)
}

// ExpectedJSON is the same for programs, null of what does not wait.
func ExpectedJSON(g *due.Glance) any {
	if e := g.Expected(); g.Stage == due.Strained && !g.Assessment.Keep.Withheld() {
		return pen.Object{pen.As("bottled", e.Bottled), pen.As("best_until", e.Best),
			pen.As("until", e.Safe), pen.As("if_all_is_in", e.Doubt),
			pen.As("until_if_in_already", e.IfIn)}
	}
	return nil
}

func aimed(m *due.Aim, now time.Time) string {
	p, plan := m.Plan, ""
	switch {
	case p == nil:
	case p.Running:
		plan = BottleBy(p, func(t time.Time) string { return DateOf(t, now) }) + "; "
	default:
		plan = StartBy(p, now) + "; "
	}
	rests := "it will have rested by "
	if !m.Rested.After(now) {
		rests = "it has rested since "
	}
	young, had, likelier := m.RestedDays < m.RestDays, YoungWords(m.RestedDays, m.RestDays), ""
	if m.Rested.After(m.Ready) {
		likelier = fmt.Sprintf("; %s is likelier", DateOf(m.Rested, now))
	}
	switch {
	case m.Sound && !young && (p == nil || !p.TooLate):
		if p != nil && p.Out { // its days run already
			plan = ""
		}
		return plan + "past its best that day, though still sound; " + GoodBy(true, DateOf(m.Ends, now))
	case p == nil && !m.Ends.IsZero():
		return "too old: " + GoodBy(false, DateOf(m.Ends, now))
	case p == nil && young:
		return had + likelier
	case p == nil && m.Rested.IsZero():
		return "in time"
	case p == nil:
		return "in time, " + rests + DateOf(m.Rested, now)
	case p.Unsound && m.Ends.IsZero():
		return "not sound that day, whenever it is bottled"
	case p.Unsound:
		return "not sound that day, whenever it is bottled; " + GoodBy(m.Sound, DateOf(m.Ends, now))
	case p.TooLate && p.Out:
		return fmt.Sprintf("late: %s is the soonest", DateOf(p.Earliest, now))
	case p.TooLate && p.Running:
		return fmt.Sprintf("hardly in time, %s is likelier", DateOf(p.Earliest, now))
	case p.TooLate:
		return fmt.Sprintf("%s, and %s is likelier", Lateness(p.Late), DateOf(p.Earliest, now))
	case p.Young && p.Running:
		return plan + had + likelier
	case p.Young:
		return fmt.Sprintf("bottled on %s, %s%s", DateOf(p.Bottle, now), had, likelier)
	case p.Running:
		return plan + Lateness(p.Late)
	}
	return plan + "then " + Lateness(p.Late)
}

// StartBy says when to start it for a plan, and when not.
func StartBy(p *due.Plan, now time.Time) string {
	text := StartWords(p, DateOf(p.Start, now))
	if !p.Off.IsZero() {
		text += ", not on " + DateOf(p.Off, now)
	}
	return text
}

// StartWords says to start it for a plan, on a day as it is written.
func StartWords(p *due.Plan, day string) string {
	if p.NotYet {
		return "start it about " + day
	}
	return "start it by " + day
}

// BottleBy says until when a jar is strained for a plan, where that is another day than it is bottled, until
// when it is bottled, and what waits before which day not; each as day writes it.
func BottleBy(p *due.Plan, day func(time.Time) string) (text string) {
	bottle := day(p.Bottle)
	if strain := day(p.Strain); !p.Strain.IsZero() && strain != bottle {
		text = "strain it by " + strain + ", "
	}
	switch {
	case !p.Hold:
		return text + "bottle it by " + bottle
	case p.From.IsZero():
		return text + "bottle it on " + bottle + ", no sooner"
	}
	return text + "bottle it by " + bottle + ", not before " + day(p.From)
}

// YoungWords says how long it rests, from its bottling to a day that comes before its time.
func YoungWords(rests, of int) string {
	text := fmt.Sprintf("it has %d of its", rests)
	if rests <= 0 {
		text = "it has none of its"
	}
	return fmt.Sprintf("%s %s of rest: %s", text, quantity.Counted(of, "day", "days"), Young)
}

// Young is what is sound on its day, and has not rested for as long as it asks for.
const Young = "drinkable, still young"

// Rested is what to do with a bottle that has come together.
const Rested = "taste it: it has rested"

// Standing says on a screen how the batch stands: that it has rested, how it is in time for its day, and to
// when the jar may stand.
func Standing(s *pen.Screen, a *bench.Assessment) {
	aim, _ := AimSentence(a)
	for _, text := range []string{HasRested(a), aim, StrainBy(a)} {
		if text != "" {
			s.Due = append(s.Due, text)
		}
	}
}

// StrainBy says to when the jar may stand and why; "" where nothing ends it, that is past, or nobody may taste
// it anyway.
func StrainBy(a *bench.Assessment) string {
	end := a.JarEnd()
	if end.H == 0 || a.JarLate() || a.Unfit() {
		return ""
	}
	return "Strain it by " + By(a, end.H, 0) + ", whatever it tastes of: " + end.Why + "."
}

// AimSentence is how a batch stands to its day, "" where it has none; well: all of it is in time.
func AimSentence(a *bench.Assessment) (text string, well bool) {
	m := AimOf(a)
	if m == nil {
		return "", false
	}
	return quantity.Capital(AimWords(m, a.Now)) + ".", m.InTime() && m.Not == nil
}

// HasRested says that a bottle has rested and waits to be tasted, "" of any other.
func HasRested(a *bench.Assessment) string {
	if a.Judge(); a.Keep.SinceAt.IsZero() {
		return ""
	}
	if LookAt(a).Due.Kind != due.Rested {
		return ""
	}
	if lead := IfDrunk(a.Keep); lead != "" {
		return quantity.Capital(lead) + Rested + "."
	}
	return "Now: " + Rested + "."
}

// AimJSON is how a batch stands to its day for programs, null where it has none.
func AimJSON(m *due.Aim, now time.Time) any {
	if m == nil {
		return nil
	}
	return pen.Object{pen.As("day", m.Ready.Format(time.DateOnly)), pen.As("in_time", m.InTime()),
		pen.As("text", AimWords(m, now))}
}

// Lateness is the chance to be late in plain words, no finer than a forecast deserves.
func Lateness(p float64) string {
	switch {
	case p < 0.1:
		return "most likely in time"
	case p < 0.35:
		return "likely in time, and perhaps late"
	case p < 0.65:
		return "as likely late as in time"
	case p < 0.9:
		return "likely late"
	}
	return "most likely too late"
}
