// Package logbook confirms what was written into the log of a batch or taken out again,
// and says what that changed. It also lists the log.
package logbook

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/nextact"
	"steepbook/cmd/internal/view/steep"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// LoggedScreen confirms what was written down, says what it changed, and what is next;
// inWords: its moment was said in words, so that it is said back.
func LoggedScreen(g *due.Glance, entries []batch.Line, inWords bool, style pen.Style) pen.Screen {
	a := g.Assessment
	s := bottle.Begin(a)
	if last := entries[len(entries)-1].Kind; last == batch.KindBottled || last == batch.KindOpened {
		s = bottle.BeginWhole(a) // it is given away, or poured
	}
	s.More = steep.Why(a)
	for _, l := range entries {
		when := ""
		if inWords {
			when = " for " + view.Clock(l.When)
		}
		s.Say = append(s.Say, strings.TrimSpace(fmt.Sprintf("Logged in %s%s: %s %s", a.Batch.Name, when,
			view.Done[l.Kind], l.Text))+"."+bottle.Slip(a, l.Text, l.When, style))
	}
	for i := range entries {
		l := &entries[i]
		if i+1 == len(entries) { // of all that was bottled, or went in, at once
			s.Say = append(s.Say, changed(g, l, style)...)
			if l.Kind == batch.KindBottled || l.Kind == batch.KindAdded {
				s.Notes = bottle.Undissolved(a)
			}
		}
		if l.Kind == batch.KindNoted {
			s.Say = append(s.Say, bottle.ReadWords(a, l.Text, l.When)...)
		}
	}
	if text, well := view.AimSentence(a); !well { // what was done may have made it too old for its day
		s.Due = append(s.Due, with(text)...)
	}
	if next := nextact.Sentence(g); next != "" {
		s.Due = append(s.Due, next)
	}
	return s.Said(style.Units)
}

// Logged prints what was written down.
func Logged(p *pen.Page, g *due.Glance, entries []batch.Line, inWords bool) error {
	a := g.Assessment
	if p.JSON {
		return p.WriteJSON(pen.Object{
			pen.As("batch", a.Batch.Name),
			pen.As("danger", bottle.CanHurt(a)),
			pen.As("logged", pen.Each(entries, lineJSON)),
			pen.As("stage", g.Stage),
			pen.As("due", nextact.DueJSON(g)),
			pen.As("ready", view.AimJSON(g.Aim, a.Now)),
			pen.As("keep", pen.Where(g.Stage != due.Finished, bottle.KeptJSON(a.Keep, a.Keep.Advises(),
				&a.Keep.Advised))),
			pen.As("bottles", bottle.BottlesJSON(a)),
			pen.As("to_come", pen.Each(a.Recipe.ToCome, bottle.ToComeJSON)),
			pen.As("so_far", bottle.SoFarJSON(a)),
			pen.As("outcomes", pen.Each(a.Keep.Outcomes, bottle.OutcomeJSON)),
		})
	}
	p.Screen(LoggedScreen(g, entries, inWords, p.Style), pen.OfKeep)
	return p.Done()
}

// changed says what an entry changed.
func changed(g *due.Glance, l *batch.Line, style pen.Style) []string {
	a := g.Assessment
	var text string
	var in []string // what is to come out again
	for i := range a.Curves {
		if a.Curves[i].ComesOut() {
			in = append(in, a.Curves[i].Name)
		}
	}
	switch {
	case g.Stage == due.Finished:
		text = "That was the last of it. It leaves the list of the book, and still teaches what it taught."
		one := l.Kind == batch.KindEmptied && a.Batch.Emptyings[l.Index].Bottle > 0
		if f := a.Blend.Filled; one && f != nil && f.LeftML > 0 {
			text = "The " + style.Volume(f.LeftML) + " that was left over counts as gone too. " + text
		}
	case (l.Kind == batch.KindStrained || l.Kind == batch.KindAdded) && g.Stage == due.Steeping && len(in) > 0:
		text = "Still in the jar, by the log: " + quantity.And(in) + "."
		if l.Kind == batch.KindAdded && style.Forms {
			text += " If that is out, log the straining too, with its time."
		} else if l.Kind == batch.KindAdded {
			text += " If that is out, log it with steepbook strain and its --at."
		}
		text += nextact.EggInJar(g)
	case l.Kind == batch.KindStrained:
		far := ""
		if x := &a.Batch.Strainings[l.Index]; x.Volume != nil {
			far = bottle.FarOff(a, a.Batch.OfMix(x), style)
		}
		return with(far, bottle.StillToCome(a))
	case l.Kind == batch.KindAdded:
		b := &a.Blend
		if a.Batch.Additives[l.Index].Into == nil || !b.Have() || bottle.SoFar(a, style) != "" {
			return with(bottle.WentIn(a, style)...)
		}
		text = bottle.Joined(b, style)
		if open := b.Result.Open; len(open) > 0 && a.Keep.Stop == "" {
			number := open[0].Number
			if number == 0 {
				number = bench.LeftOver
			}
			text += " " + bottle.KeepSentence(a.Drink(number), style)
		}
	case l.Kind == batch.KindEmptied:
		text = bottle.BottlesWords(a)
		if over := bottle.LeftOver(a, style); over != "" {
			text = strings.TrimSuffix(text, ".") + "; " + over + "."
		}
	case l.Kind == batch.KindBottled && a.Keep.Stop == "":
		text = bottle.KeepSentence(a, style)
	case l.Kind == batch.KindOpened && a.Keep.Stop == "": // of that one, whichever ends first
		own := *a
		own.Keep = a.Keep.Of(a.Batch.Openings[l.Index].Bottle, a.Now)
		text = bottle.KeepSentence(&own, style)
	}
	if l.Kind == batch.KindBottled {
		return append(bottled(a, l, style), with(text)...)
	}
	return with(text)
}

// bottled says what may not be right about what was bottled, or else how much should be left.
func bottled(a *bench.Assessment, l *batch.Line, style pen.Style) []string {
	far, more := "", ""
	if a.Batch.Bottlings[l.Index].Volume != nil {
		far = bottle.FarOff(a, true, style)
	}
	if b := &a.Blend; b.Have() && b.Filled != nil {
		more = bottle.TooMuch(a, style)
		if more == "" && b.Filled.LeftML > 0 {
			more = style.Volume(b.Filled.LeftML) + " should be left over."
		}
	}
	return with(append(bottle.OnCurds(a), far, more, bottle.Frozen(a), bottle.Unlogged(a, style))...)
}

// with are the sentences that say something.
func with(texts ...string) []string {
	return slices.DeleteFunc(pen.Each(texts, func(s *string) string { return quantity.Capital(*s) }),
		func(s string) bool { return s == "" })
}

// DoneWords is an entry of the log in words that any page may hold: "pulled clove, 05:14".
func DoneWords(l *batch.Line, now time.Time) string {
	text := strings.TrimSpace(view.Done[l.Kind] + " " + pen.Clean(pen.Clip(l.Text, 60)))
	y, m, d := l.When.In(now.Location()).Date()
	if ty, tm, td := now.Date(); y == ty && m == tm && d == td {
		return text + l.When.Format(", 15:04~")
	}
	return text + l.When.Format(", 2~Jan 2006~15:04")
}

// Entries is every entry of the log with its moment and its words, the first one first.
func Entries(a *bench.Assessment) pen.Screen {
	s := pen.Screen{Head: []string{"when", "what"}}
	for _, l := range a.Batch.Log() {
		when := l.When.Format("Mon 2~Jan,~15:04")
		s.Rows = append(s.Rows, []string{when, strings.TrimSpace(view.Done[l.Kind] + " " + l.Text)})
	}
	return s
}

// lineJSON is one entry of the log.
func lineJSON(l *batch.Line) pen.Object {
	return pen.Object{
		pen.As("kind", l.Kind),
		pen.As("at", l.When),
		pen.As("at_h", l.Hours),
		pen.As("text", pen.Verbatim(l.Text)),
	}
}
