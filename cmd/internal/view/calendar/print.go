package calendar

import (
	"cmp"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/quantity"
	"steepbook/shelf"
)

// Made is a calendar that was made.
type Made struct {
	File    string // where it was written
	Now     time.Time
	Entries []Entry
	Wrong   []book.Wrong // batches that could not be read
}

// next is the first that is still to come, nil where nothing is.
func (m *Made) next() *Entry {
	for i := range m.Entries {
		if e := &m.Entries[i]; !e.Done && !e.end().Before(m.Now) {
			return e
		}
	}
	return nil
}

// end is when an event is over: a whole day lasts until midnight.
func (e *Entry) end() time.Time {
	if e.Event.AllDay {
		return day(e.Event.Start, 24*time.Hour)
	}
	return e.Event.Start
}

// at is the moment of an event, tied, for the units of the maker.
func (e *Entry) at() string {
	if e.Event.AllDay {
		return e.Event.Start.Format("Mon 2~Jan 2006")
	}
	return pen.Stamp(e.Event.Start, e.DoubtH)
}

// Print says what was written.
func Print(p *pen.Page, m *Made) error {
	if p.JSON {
		return p.WriteJSON(pen.Object{pen.As("file", pen.Some(m.File)), pen.As("events", events(m.Entries)),
			pen.As("wrong", m.Wrong)})
	}
	p.Line("wrote %s", m.File)
	of := quantity.Counted(len(m.Entries), "event", "events")
	if next := m.next(); next != nil {
		p.Answer("%s; the next is %s, %s.", quantity.Capital(of), next.at(), lower(next.Event.Summary))
	} else {
		p.Answer("%s, and none to come.", quantity.Capital(of))
	}
	p.Para("Import it again after each tasting: what moved moves there too. What fell away stays until you delete it.")
	p.Items(view.NotRead(pen.Each(m.Wrong, func(w *book.Wrong) string { return w.Problem })))
	return p.Done()
}

// lower is a summary within a sentence.
func lower(s string) string {
	if s == "" {
		return s
	}
	return string(s[0]|0x20) + s[1:]
}

func events(list []Entry) []pen.Object {
	return pen.Each(list, func(e *Entry) pen.Object {
		v := &e.Event
		var alarm any
		if v.Alarm != nil {
			alarm = v.Start.Add(*v.Alarm)
			if v.AllDay {
				alarm = day(v.Start, *v.Alarm)
			}
		}
		at := v.Start.Format(time.RFC3339)
		if v.AllDay {
			at = v.Start.Format(time.DateOnly)
		}
		return pen.Object{
			pen.As("uid", v.UID), pen.As("batch", e.Batch), pen.As("file", e.File), pen.As("kind", e.Kind),
			pen.As("what", e.What), pen.As("bottle", pen.Some(max(e.Bottle, 0))), pen.As("at", at),
			pen.As("all_day", v.AllDay),
			pen.As("from", e.From), pen.As("until", e.Until), pen.As("done", e.Done), pen.As("forecast",
				e.Forecast),
			pen.As("overdue", e.Overdue), pen.As("summary", v.Summary), pen.As("alarm", alarm),
			pen.As("sealed_bottles", e.Sealed),
		}
	})
}

// PrintPlan says when to start for a day, and writes the dates.
func PrintPlan(p *pen.Page, a *bench.Assessment, plan *due.Plan, m *Made) error {
	if p.JSON {
		return p.WriteJSON(pen.Object{
			pen.As("file", pen.Some(m.File)), pen.As("batch", a.Batch.Name),
			pen.As("ready", plan.Ready.Format(time.DateOnly)), pen.As("another_jar", plan.Again),
			pen.As("start", plan.Start), pen.As("chance_late", plan.Late), pen.As("start_by", plan.By),
			pen.As("chance_late_then", pen.Where(!plan.Running, plan.LateBy)), pen.As("too_late",
				plan.TooLate),
			pen.As("likely_ready", plan.Earliest.Format(time.DateOnly)), pen.As("strain",
				pen.Where(!plan.Out, plan.Strain.Format(time.DateOnly))), pen.As("bottle",
				plan.Bottle.Format(time.DateOnly)),
			pen.As("rest_days", plan.RestDays), pen.As("best_by", plan.Best), pen.As("sound_to", plan.Safe),
			pen.As("too_young", plan.Young), pen.As("unsound", plan.Unsound), pen.As("hold", plan.Hold),
			pen.As("events", events(m.Entries)),
		})
	}
	for _, text := range planSentences(a, plan) {
		p.Answer("%s", text)
	}
	p.Line("")
	var rows [][]string
	for i := 0; i < len(m.Entries); i++ {
		e := &m.Entries[i]
		d := e.Date
		for next := i + 1; next < len(m.Entries) && joins(e, &m.Entries[next]); next++ {
			d.What, i = append(slices.Clone(d.What), m.Entries[next].What...), next
		}
		rows = append(rows, []string{summary(a, &d, ""), e.at()})
	}
	p.Table([]string{"what", "when"}, rows)
	p.Line("")
	for _, text := range planNotes(a, plan) {
		p.Item("%s", text)
	}
	if plan.Young {
		p.Item("What else would do: steepbook keep %s", view.ShellLine([]string{filepath.Base(a.Batch.File)}))
	}
	if m.File != "" {
		p.Line("wrote %s", m.File)
	}
	return p.Done()
}

// joins reports whether two events are one errand.
func joins(x, y *Entry) bool {
	return x.Kind == y.Kind && x.Kind == due.Pull && x.Done == y.Done && x.Forecast == y.Forecast &&
		x.at() == y.at()
}

// dateOf is a day with its day of the week.
func dateOf(t time.Time) string { return t.Format("Mon 2~Jan 2006") }

// planSentences are the answer: when to start, and how sure that is.
func planSentences(a *bench.Assessment, p *due.Plan) []string {
	ready, start := dateOf(p.Ready), quantity.Capital(view.StartWords(p, dateOf(p.Start)))
	switch {
	case p.Unsound && p.Running:
		return []string{fmt.Sprintf("It cannot be sound on %s, whenever it is bottled: it keeps to %s. Drink it by "+
			"then, or start another jar later.", ready, dateOf(p.Safe)) + elsewhere(p)}
	case p.Unsound:
		return []string{fmt.Sprintf("It cannot be sound on %s: what grows in it grows from the start. Started on %s "+
			"it is sound to %s.", ready, dateOf(p.Start), dateOf(p.Safe))}
	case p.Out && p.TooLate:
		return []string{fmt.Sprintf("It will not be ready by %s: %s is the soonest.", ready, dateOf(p.Earliest))}
	case p.Running && p.TooLate:
		return []string{fmt.Sprintf("It will hardly be ready by %s: %s is likelier.", ready,
			dateOf(p.Earliest))}
	case p.Young && !p.TooLate:
		text := fmt.Sprintf("For %s: bottled on %s, %s.", ready, dateOf(p.Bottle),
			view.YoungWords(p.RestedDays, p.RestDays))
		switch {
		case p.Earliest.After(p.Ready):
			text += fmt.Sprintf(" %s is likelier.", dateOf(p.Earliest))
		case len(p.Longer) > 0:
			text += " It keeps for less than its rest." + elsewhere(p)
		}
		return []string{text}
	case p.Running:
		return []string{fmt.Sprintf("For %s: %s; %s that it is late.", ready, view.BottleBy(p, dateOf), chance(p.Late))}
	case p.TooLate:
		return []string{fmt.Sprintf("It is too late to be likely ready by %s: started now, it is %s that it is late, "+
			"and %s is likelier.", ready, chance(p.Late), dateOf(p.Earliest))}
	case dateOf(p.Start) == dateOf(p.By):
		return []string{fmt.Sprintf("%s to have it at its best on %s: %s that it is late.", start, ready,
			chance(p.Late))}
	}
	return []string{fmt.Sprintf("%s to have it at its best on %s: %s that it is late; started on %s, %s.", start, ready,
		chance(p.Late), dateOf(p.By), chance(p.LateBy))}
}

// elsewhere names the warmest place at which it would keep for long enough, if there is one.
func elsewhere(p *due.Plan) string {
	if len(p.Longer) == 0 {
		return ""
	}
	return fmt.Sprintf(" %s it would keep for long enough.", placed[p.Longer[0]])
}

var placed = map[shelf.Place]string{shelf.Room: "At room temperature", shelf.Cellar: "In a cellar",
	shelf.Fridge: "In the fridge", shelf.Freezer: "In the freezer"}

// chance is a share of one in words.
func chance(p float64) string {
	if p < 0.01 {
		return "hardly a chance"
	}
	return view.OneIn(math.Min(p, 1))
}

// planNotes are what to mind on the way.
func planNotes(a *bench.Assessment, p *due.Plan) (notes []string) {
	if p.Again {
		notes = append(notes, "This jar is bottled: the days are those of another one like it, begun anew.")
	}
	if p.RestDays > 0 && !p.Young && !p.Unsound {
		notes = append(notes, fmt.Sprintf("It rests for %s between bottling and the day.",
			quantity.Counted(p.RestDays, "day", "days")))
	}
	if p.Hold {
		of := "it"
		if p.Fades.Attribute != "" && len(p.Fades.Of) > 0 {
			of = fmt.Sprintf("the %s of the %s", p.Fades.Attribute, quantity.And(p.Fades.Of))
		}
		waits := "waits as it is"
		if !a.JarHolds() {
			waits = "waits " + bottle.InPlace(pen.Style{Units: a.Batch.Units}, a.Keep)
		}
		notes = append(notes,
			fmt.Sprintf("Do not bottle it before %s: %s would be over too soon for the day. What is strained before %s, "+
				"and the rest goes in on %s.", dateOf(cmp.Or(p.From, p.Bottle)), of, waits, dateOf(p.Bottle)))
	}
	if !p.Unsound && !p.Best.IsZero() && p.Best.Before(day(p.Ready, 0)) {
		notes = append(notes, fmt.Sprintf("Bottled on %s it is at its best to %s only.", dateOf(p.Bottle),
			dateOf(p.Best)))
	}
	if p.Soon() {
		notes = append(notes, fmt.Sprintf("Bottled on %s it is to be used by %s.", dateOf(p.Bottle),
			dateOf(p.Safe)))
	}
	return notes
}
