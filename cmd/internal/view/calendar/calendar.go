// Package calendar words the dates of batches as events of a calendar: what is to be done
// and when, with an alarm at an hour when somebody is up.
package calendar

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"sort"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/ical"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/nextact"
	"steepbook/data/quantity"
)

// Entry is one event with what it is about.
type Entry struct {
	due.Date
	Batch, File string
	Event       ical.Event
}

// Entries are the events of a batch, for makers of some units: all of it that is to come,
// and what happened of late. Those of a plan back from a day are told from those of the log,
// nil for these.
func Entries(g *due.Glance, dates []due.Date, units quantity.System, p *due.Plan) (list []Entry) {
	a := g.Assessment
	for _, d := range dates {
		if d.Done && d.At.Before(a.Now.AddDate(0, 0, -due.Lately)) {
			continue
		}
		list = append(list, entry(g, d, units, p))
	}
	ring(list)
	return list
}

// ring leaves of what is told of at the same moment of a day one alarm, for a jar of twelve rings once:
// that of the first, or where any of it hurts whoever misses it, those of all that does.
func ring(list []Entry) {
	rung := map[time.Time]bool{}
	for _, hurts := range [...]bool{true, false} {
		for i := range list {
			v := &list[i].Event
			if !v.AllDay || v.Alarm == nil || hurts != list[i].Hurts() {
				continue
			}
			at := day(v.Start, *v.Alarm)
			if rung[at] && !hurts {
				v.Alarm = nil
			}
			rung[at] = true
		}
	}
}

func entry(g *due.Glance, d due.Date, units quantity.System, p *due.Plan) Entry {
	a := g.Assessment
	e := Entry{Date: d, Batch: a.Batch.Name, File: filepath.Base(a.Batch.File)}
	local := d.At.In(a.Now.Location())
	now := d.Overdue || d.Now
	if now { // it has waited long enough
		local = a.Now
	}
	v := &e.Event
	v.Kind = string(d.Kind)
	v.AllDay = d.Day || d.DoubtH > wholeDay
	if v.Start = local; !v.AllDay && !d.Done && !now {
		v.Start = pen.Nearest(local, pen.ClockStep(d.DoubtH))
	}
	v.Summary = summary(a, &d, quantity.Say(local.Format("Monday 2~January"), units)) + ": " + g.Title()
	v.Description = quantity.Say(details(g, &e), units)
	v.UID = uid(g, &e, p)
	if !d.Done {
		if v.Alarm = alarm(a, v, d.Kind); !v.AllDay && *v.Alarm < 0 {
			v.Tell = quantity.Say(pen.Stamp(v.Start, 0), units) + ", " + lower(v.Summary)
		}
	}
	return e
}

// wholeDay is the doubt in hours from which an hour says more than is known.
const wholeDay = 12

// uid is the same for the same thing of the same batch, so that an import moves what an
// earlier one brought. A batch is known by its id and the day it started, whatever it and
// its file are called, for a file that is copied for the next batch brings its id along (of one day
// see book.Kin); one without an id is known by its names.
func uid(g *due.Glance, e *Entry, p *due.Plan) string {
	b := g.Assessment.Batch
	of := []string{e.File, b.Name}
	if g.ID != "" {
		of = []string{g.ID, b.Started.Format(time.DateOnly)}
	}
	kind := string(e.Kind)
	if e.Kind == due.Strain && len(e.What) > 0 {
		kind = string(due.Pull) // however it comes out
	}
	thing := ""
	switch {
	case e.Turn > 0:
		thing = fmt.Sprint(e.Turn)
	case e.Kind != due.Taste: // there is one next tasting, and one after it, whatever they are of
		thing = strings.ToLower(strings.Join(e.What, "\x00"))
	}
	switch {
	case p == nil:
	case p.Again:
		kind = "another " + kind
	case !p.Own || e.Kind == due.Ready && !sameDay(e.At, b.Ready):
		kind = "planned " + kind
	}
	sum := sha256.Sum256([]byte(strings.Join(append(of, kind, thing, fmt.Sprint(e.Bottle)), "\x00")))
	return hex.EncodeToString(sum[:12]) + "@steepbook"
}

// summary is the act in a few words; on is the day by which a bottle is to be drunk, which
// is told of before it comes, "" where that stands beside it.
func summary(a *bench.Assessment, d *due.Date, on string) string {
	what := quantity.And(d.What)
	text := map[due.Kind]string{
		due.Start: "Start", due.Bottle: "Bottle", due.Strain: "Strain", due.Taste: "Taste the " + what,
		due.PutIn: "Put in the " + what, due.Pull: "Pull the " + what, due.Rested: "Rested: taste it",
		due.Ready:   "Ready",
		due.Stand:   "Egg and spirit have stood alone: add the rest",
		due.Discard: quantity.Capital(bottle.Forbids(a)), due.Lift: "Take off the " + what, due.StrainBy: "Strain, not later",
	}[d.Kind]
	done := map[due.Kind]string{
		due.Start: "Started", due.Bottle: "Bottled", due.Strain: "Strained", due.Taste: "Tasted",
		due.PutIn: "The " + what + " went in", due.Pull: "The " + what + " came out", due.Rested: "Rested",
	}[d.Kind]
	switch {
	case d.Done && done != "":
		return done
	case d.Kind == due.Move || d.Kind == due.TakeOut || d.Kind == due.Measure:
		text = quantity.Capital(nextact.Words(&d.Act))
	case d.Young:
		text = quantity.Capital(view.Young)
	case d.Aim != nil && !d.Aim.InTime():
		text = "Meant to be ready"
	case d.Kind == due.AtBest || d.Kind == due.Use:
		text = strings.TrimSpace(quantity.Capital(view.GoodBy(d.Kind == due.AtBest, on)))
		switch {
		case d.Sealed != nil:
			text += ", " + view.Names(d.Sealed)
		case d.Bottle == bench.LeftOver:
			text += ", " + view.Vessel(d.Bottle)
		case d.Bottle > 0:
			text += fmt.Sprintf(", the open bottle %d", d.Bottle)
		}
	case d.Kind == due.Strain && what != "":
		text = "Strain out the " + what
	case (d.Kind == due.Add || d.Kind == due.Bottle) && goesIn(d) != "":
		then := d.Act
		then.Kind, then.What = due.Add, []string{goesIn(d)}
		text = quantity.Capital(nextact.Words(&then))
	case d.Kind == due.Bottle && nextact.First(&d.Act) != "":
		text = quantity.Capital(nextact.Words(&d.Act))
	}
	switch d.Kind {
	case due.Taste, due.Rested, due.Ready, due.AtBest, due.Use:
		if lead := view.IfDrunk(a.Keep); lead != "" {
			text = quantity.Capital(lead) + lower(text)
		}
	}
	if d.Kind == due.Taste || d.Kind == due.Rested {
		text += bottle.TastingAside(a)
	}
	switch {
	case d.IfIn:
		text += " (expected, if all is in)"
	case d.Forecast && d.Kind != due.Start:
		text += " (expected)"
	}
	return text
}

// details are what to know when it rings: between when it is as good, what goes in then,
// where it stands, and the line to type.
func details(g *due.Glance, e *Entry) string {
	a := g.Assessment
	var lines []string
	add := func(format string, args ...any) { lines = append(lines, fmt.Sprintf(format, args...)) }
	d := &e.Date
	if d.GetUp() {
		add("In the night, and worth getting up for.")
	}
	if !d.Done && !d.From.IsZero() && !d.Until.IsZero() {
		from, until := pen.Stamp(d.From, d.EdgeH), pen.Stamp(d.Until, d.EdgeH)
		switch {
		case d.Until.Before(a.Now):
			add("It was right until %s.", until)
		case !d.From.After(a.Now):
			add("Right until %s.", until)
		case from == until:
		default:
			add("Right between %s and %s.", from, until)
		}
	}
	if d.Forecast {
		add("A forecast: what you taste and when you strain it move it. Make the calendar anew after that.")
	}
	if d.Kind == due.StrainBy {
		add("%s.", quantity.Capital(a.JarEnd().Why))
	}
	if d.Done {
		return strings.Join(lines, "\n")
	}
	if text := bottle.NotLogged(a); text != "" {
		add("%s.", quantity.Capital(text))
	}
	switch place := a.Keep.Chill(); {
	case place == "":
	case d.Kind == due.StrainBy, d.Kind == due.Strain && len(d.What) == 0:
		add("Then keep it %s until it is bottled.", view.InPlace(place))
	case d.Kind == due.Bottle, d.Kind == due.Add:
		add("Until then keep it %s.", view.InPlace(place))
	}
	typed := func(words ...string) { add("steepbook %s", view.ShellLine(words)) }
	if d.Kind == due.Stand || d.Stood {
		add("Egg and spirit stand alone in a room until then: nothing else goes in before that.")
	}
	switch d.Kind {
	case due.Discard: // who is told to act has to know what can hurt
		lines = append(lines, bottle.CanHurt(a)...)
		typed("keep", e.File)
	case due.Taste:
		words := []string{"taste", e.File}
		for _, w := range d.What {
			words = append(words, w+"=…")
		}
		typed(words...)
	case due.Pull, due.Lift, due.TakeOut:
		typed(append([]string{"pull", e.File}, d.What...)...)
	case due.StrainBy:
		typed("strain", e.File)
	case due.Strain, due.Bottle, due.Add:
		if later := goesIn(d); later != "" && d.Kind != due.Add {
			add("Still to go in: %s.", later)
			if x := g.Expected(); g.Stage == due.Strained && !x.IfIn.IsZero() {
				add("%s.", quantity.Capital(view.IfIn(x.IfIn, view.DateOf(x.IfIn, a.Now), a.Now)))
			}
		}
		typed(append([]string{string(d.Kind), e.File}, d.What...)...)
	case due.Ready:
		if d.Aim != nil {
			add("%s.", quantity.Capital(view.AimWords(d.Aim, a.Now)))
		}
	case due.AtBest, due.Use, due.Move:
		typed("keep", e.File)
	}
	return strings.Join(lines, "\n")
}

// goesIn is what is still to join the liquor, as it is written.
func goesIn(d *due.Date) string {
	var all []string
	for i := range d.ToCome {
		all = append(all, view.Amounted(d.ToCome[i].Name, "", d.ToCome[i].Amount))
	}
	return quantity.And(all)
}

// soon is how long a calendar takes to be read by whatever rings: what is due now rings no
// sooner. Judgement.
const soon = 10 * time.Minute

// alarm is when to tell of an event, as a time from its start: at once where somebody is
// up then, else when somebody was last. A day is told of at nine in the morning, the end of a
// bottle some days before; what should have been told of today already, as soon as may be.
func alarm(a *bench.Assessment, e *ical.Event, kind due.Kind) *time.Duration {
	from, to := a.House().WakingHours()
	var after time.Duration
	if e.AllDay {
		after = min(max(9*time.Hour, from), to)
		if early := after - due.DrinkDays*24*time.Hour; (kind == due.AtBest || kind == due.Use || kind == due.TakeOut) &&
			day(e.Start, 0).Add(early).After(a.Now) {
			after = early
		}
		if !day(e.Start, after).Before(a.Now) {
			return &after
		}
		if !sameDay(e.Start, a.Now) {
			return nil
		}
		_, up := a.House().Up(a.Now.Add(soon))
		after = time.Duration(up.Hour())*time.Hour + time.Duration(up.Minute())*time.Minute
		if !sameDay(e.Start, up) {
			after += 24 * time.Hour
		}
		return &after
	}
	at, _ := a.House().Up(e.Start)
	if at.After(a.Now) {
		after = at.Sub(e.Start)
	}
	return &after
}

// day is an hour of the wall clock of the day of a moment.
func day(t time.Time, clock time.Duration) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, int(clock/time.Minute), 0, 0, t.Location())
}

func sameDay(a, b time.Time) bool { return day(a, 0).Equal(day(b.In(a.Location()), 0)) }

// File is the calendar of some entries as of a moment.
func File(name string, list []Entry, now time.Time) ical.Calendar {
	c := ical.Calendar{Name: name, Stamp: now}
	for i := range list {
		c.Events = append(c.Events, list[i].Event)
	}
	return c
}

// Sort puts entries in the order of time.
func Sort(list []Entry) {
	compare := func(x, y Entry) int {
		if c := x.Event.Start.Compare(y.Event.Start); c != 0 {
			return c
		}
		return strings.Compare(x.File, y.File)
	}
	sort.SliceStable(list, func(i, j int) bool { return compare(list[i], list[j]) < 0 })
}
