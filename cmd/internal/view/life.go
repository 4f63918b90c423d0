package view

import (
	"fmt"
	"path/filepath"
	"strings"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// done says what an entry of the log is.
var done = map[string]string{
	batch.KindTasting: "tasted", batch.KindPulled: "pulled", batch.KindStrained: "strained",
	batch.KindAdded: "added", batch.KindBottled: "bottled", batch.KindOpened: "opened",
	batch.KindEmptied: "emptied", batch.KindNoted: "noted",
}

// Logged confirms what was written down, says what it changed, and what is next; inWords:
// its moment was said in words, so that it is said back.
func Logged(p *pen.Page, g *due.Glance, entries []batch.Line, inWords bool) error {
	a := g.Assessment
	if p.JSON {
		return p.WriteJSON(pen.Object{
			pen.As("batch", a.Batch.Name),
			pen.As("logged", pen.Each(entries, lineJSON)),
			pen.As("stage", g.Stage),
			pen.As("due", dueJSON(g)),
			pen.As("keep", pen.Where(a.Keep.Advised.Place != "", keptJSON(a.Keep, a.Keep.Advises(),
				&a.Keep.Advised))),
			pen.As("bottles", bottlesJSON(a.Keep)),
		})
	}
	for _, l := range entries {
		when := ""
		if inWords {
			when = " for " + exactly(l.When)
		}
		p.Para("%s", strings.TrimSpace(fmt.Sprintf("Logged in %s%s: %s %s", a.Batch.Name, when, done[l.Kind],
			l.Text))+".")
	}
	for _, l := range entries {
		p.Note(changed(p, g, &l))
	}
	next(p, g)
	return p.Done()
}

// changed says what an entry changed.
func changed(p *pen.Page, g *due.Glance, l *batch.Line) string {
	a := g.Assessment
	k := a.Keep
	switch {
	case g.Stage == due.Finished:
		return "That was the last of it. It leaves the list of the book, and still teaches what it taught."
	case l.Kind == batch.KindStrained && g.Stage == due.Steeping:
		var in []string
		for i := range a.Curves {
			if a.Curves[i].InJar() {
				in = append(in, a.Curves[i].Name)
			}
		}
		return "Still in the jar: " + quantity.And(in) + "."
	case l.Kind == batch.KindStrained:
		return stillToCome(a)
	case l.Kind == batch.KindEmptied && len(k.Open) > 0:
		return fmt.Sprintf("Bottle %d is open%s.", k.Open[0].Number, leftSealed(k))
	case l.Kind == batch.KindEmptied && k.Counted:
		return quantity.Capital(quantity.Counted(k.Sealed, "bottle is", "bottles are")) + " left, sealed."
	case l.Kind == batch.KindBottled, l.Kind == batch.KindOpened:
		return p.Strong(keepSentence(a, p.Style))
	}
	return ""
}

// leftSealed says how many bottles are sealed beside the open one.
func leftSealed(k *bench.Keep) string {
	if k.Sealed == 0 || !k.Counted {
		return ""
	}
	return ", " + quantity.Counted(k.Sealed, "is", "are") + " sealed"
}

// stillToCome says what goes in after straining.
func stillToCome(a *bench.Assessment) string {
	var names []string
	for i := range a.Batch.Additions {
		x := &a.Batch.Additions[i]
		if amount := a.Batch.Planned(x.Name); amount != nil {
			names = append(names, fmt.Sprintf("%s (%s)", x.Name, amount))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "Still to go in: " + quantity.And(names) + "."
}

// next says what to do next, where something is.
func next(p *pen.Page, g *due.Glance) {
	if g.Due.Kind == due.Nothing || g.Due.Kind == due.AtBest || g.Due.Kind == due.Use && !g.Due.Overdue {
		return
	}
	p.Answer("Next: %s.", dueWords(g))
}

// Undone says what was taken out of the file again.
func Undone(p *pen.Page, g *due.Glance, removed string) error {
	b := g.Assessment.Batch
	if p.JSON {
		return p.WriteJSON(pen.Object{
			pen.As("batch", b.Name),
			pen.As("removed", pen.Verbatim(removed)),
			pen.As("stage", g.Stage),
			pen.As("due", dueJSON(g)),
		})
	}
	p.Para("Taken out of %s, its last entry:", filepath.Base(b.File))
	for _, l := range strings.Split(strings.TrimSpace(removed), "\n") {
		p.Line("  %s", l)
	}
	next(p, g)
	return p.Done()
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

// bottlesJSON is which bottles are open and how many are not.
func bottlesJSON(k *bench.Keep) pen.Object {
	return pen.Object{
		pen.As("open", pen.Each(k.Open, func(o *bench.OpenBottle) pen.Object {
			return pen.Object{pen.As("bottle", o.Number), pen.As("opened_at", o.At), pen.As("until", o.Until),
				pen.As("safe_until", o.Safe), pen.As("past", o.Past)}
		})),
		pen.As("sealed", pen.Where(k.Counted, k.Sealed)),
		pen.As("sealed_until", k.SealedUntil),
		pen.As("emptied_at", k.EmptiedAt),
	}
}
