package logbook

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/nextact"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// EndedWords is what was last logged at once, as DoneWords; of a whole spreadsheet the first and the last.
func EndedWords(e *batch.Ended, now time.Time) string {
	words := pen.Each(e.Lines, func(l *batch.Line) string { return DoneWords(l, now) })
	if n := len(words); n > 6 {
		return fmt.Sprintf("%d entries, from %s to %s", n, words[0], words[n-1])
	}
	return quantity.And(words)
}

// retyped is the line to type that logs it again as it was: a command for each tasting, one for all else.
func retyped(file string, e *batch.Ended) string {
	if _, tasted := e.Entries[0].(batch.NewTasting); tasted && len(e.Entries) > 1 {
		return strings.Join(pen.Each(e.Entries, func(x *batch.Entry) string {
			return retyped(file, &batch.Ended{Entries: []batch.Entry{*x}})
		}), "; ")
	}
	var verb, at string
	var words, flags []string
	flag := func(name, value string) {
		if value != "" {
			flags = append(flags, "--"+name, value)
		}
	}
	say := func(as, when string, what ...string) {
		verb, at, flags = as, when, nil
		words = append(words, what...)
	}
	for _, x := range e.Entries {
		switch x := x.(type) {
		case batch.NewTasting:
			say("taste", x.At, pen.Each(x.Scores, func(s *batch.Score) string {
				return s.Name + "=" + quantity.FormatNumber(s.Value)
			})...)
			flag("sample", x.Sample)
			flag("taster", x.Taster)
			flag("words", x.Words)
		case batch.NewPull:
			say("pull", x.At, x.Names...)
		case batch.NewStraining:
			say("strain", x.At, x.Names...)
			flag("volume", x.Volume)
		case batch.NewAdded:
			say("add", x.At, strings.TrimSuffix(x.Name+": "+x.Amount, ": "))
			flag("into", x.Into)
			flag("bottle", strings.Join(counted(x.Bottle, ""), ""))
		case batch.NewBottling:
			say("bottle", x.At, counted(x.Bottles, x.Of)...)
			flag("volume", x.Volume)
			flag("from", strings.Join(counted(x.From, ""), ""))
		case batch.NewOpening:
			say("open", x.At, counted(x.Bottle, "")...)
		case batch.NewEmptying:
			if say("empty", x.At, counted(x.Bottle, "")...); x.Bottle == 0 {
				flags = append(flags, "--all")
			}
		case batch.NewNote:
			say("note", x.At, x.What)
		}
	}
	flag("at", at)
	return view.ShellLine(slices.Concat([]string{"steepbook", verb, file}, words, flags))
}

// counted are a number of bottles and the size of one as they are typed, or the number of one; none where
// there is no number.
func counted(n int, of string) []string {
	if n == 0 {
		return nil
	}
	return []string{strings.TrimSuffix(fmt.Sprintf("%d x %s", n, of), " x ")}
}

// UndoneScreen says what was taken out of the file again; g as in Undone.
func UndoneScreen(b *batch.Batch, g *due.Glance, removed *batch.Ended, style pen.Style) pen.Screen {
	what := "its last entry"
	if n := len(removed.Entries); n > 1 {
		what = fmt.Sprintf("its last %d entries, which were logged together", n)
	}
	s := pen.Screen{Say: []string{fmt.Sprintf("Taken out of %s, %s:", filepath.Base(b.File), what)}}
	for _, l := range strings.Split(strings.TrimSpace(removed.Block), "\n") {
		s.Rows = append(s.Rows, []string{l})
	}
	if g != nil {
		s.Notes = with(nextact.Sentence(g))
	}
	s.Notes, s.Next = append(s.Notes, "What logs it again as it was:"), pen.Clean(retyped(b.File, removed))
	return s.Said(style.Units)
}

// Undone prints what was taken out of the file again; g is nil where the batch cannot be
// answered even so.
func Undone(p *pen.Page, b *batch.Batch, g *due.Glance, removed *batch.Ended) error {
	if p.JSON {
		out := pen.Object{pen.As("batch", b.Name), pen.As("removed", pen.Verbatim(removed.Block)),
			pen.As("again", pen.Verbatim(retyped(b.File, removed)))}
		if g != nil {
			out = append(out, pen.As("stage", g.Stage), pen.As("due", nextact.DueJSON(g)))
		}
		return p.WriteJSON(out)
	}
	p.Screen(UndoneScreen(b, g, removed, p.Style), pen.Whole)
	return p.Done()
}
