package view

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/prior"
	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// PrintBook prints every batch in a row, the most urgent first.
func PrintBook(p *pen.Page, b *book.Shelf) error {
	if p.JSON {
		return p.WriteJSON(bookJSON(b))
	}
	if len(b.Batches) > 0 {
		p.Answer("%s", bookSentence(b))
		p.Line("")
		p.Table([]string{"batch", "started", "stage", "alcohol", "keeps", "next"},
			pen.Each(b.Batches, func(g *due.Glance) []string {
				a := g.Assessment
				return []string{
					pen.Clip(a.Batch.Name, 24), dayOf(a.Batch.Started, b.Now), stageWords(g), abvWords(a),
					pen.Clip(keepsTill(g, b.Now), 30), dueWords(g),
				}
			}))
		p.Line("")
		p.Para("Dates are the early end, counted from bottling, else from straining. A batch counts as " +
			"bottled once bottled is written under [finish], or something under [measured]; a bottle that " +
			"is empty leaves the book with its file.")
	}
	notRead(p, b.Wrong)
	if len(b.Lessons) > 0 {
		p.Line("")
		lessons(p, b.Lessons)
	}
	return p.Done()
}

// notRead names the files that could not be read.
func notRead(p *pen.Page, wrong []book.Wrong) {
	if len(wrong) > 0 {
		p.Line("")
		p.Line("Not read, each for its first fault:")
		p.Items(pen.Each(wrong, func(w *book.Wrong) string { return w.Problem }))
	}
}

// lessons prints what the book has learned of each botanical and cut.
func lessons(p *pen.Page, list []prior.Lesson) {
	p.Line("What the book has learned:")
	p.Line("")
	p.Table([]string{
		"botanical, cut", "jars, tastings", "rate per hour", "library", "4/5 there after",
		"ends at, in the jar", "yours: rate, end",
	}, pen.Each(list, func(l *prior.Lesson) []string {
		name := l.Botanical
		switch {
		case len(l.Forms) > 0:
			name += ", " + strings.Join(l.Forms, " or ")
		case l.Cut != "":
			name += ", " + l.Cut
		}
		return []string{
			pen.Clip(name, 32), fmt.Sprintf("%d, %d", l.Batches, l.Tastings), twoFigures(l.RatePerH),
			pen.Trim(l.Library.Value),
			pen.Span(l.ReadyH.Value) + " (" + pen.Spans(l.ReadyH.Low, l.ReadyH.High) + ")",
			plateauWords(l.Plateau), own(l.OwnRate) + ", " + own(l.OwnPlateau),
		}
	}))
	p.Line("")
	p.Para("Ranges are 90 %%. Yours is the share of the library's doubt that your own tastings have " +
		"removed; the rest is still the library's. Rates hold for the room and strength of " +
		"the batch started last.")
}

func twoFigures(f mixture.Range) string {
	return fmt.Sprintf("%s (%s-%s)", pen.Trim(f.Value), pen.Trim(f.Low), pen.Trim(f.High))
}

func own(share float64) string {
	if share < 0.005 {
		return "none"
	}
	return pen.Percent(share)
}

func bookSentence(b *book.Shelf) string {
	first := &b.Batches[0]
	name := first.Assessment.Batch.Name
	switch n := b.Overdue(); {
	case n == 1:
		return fmt.Sprintf("Act now on %s: %s.", name, dueWords(first))
	case n > 1:
		return fmt.Sprintf("%d batches want you now, %s first: %s.", n, name, dueWords(first))
	case first.Due.At.IsZero():
		return "Nothing is due at any hour."
	}
	return fmt.Sprintf("Nothing is overdue. Next is %s: %s.", name, dueWords(first))
}

func stageWords(g *due.Glance) string {
	if g.CopyOf != "" {
		return "copy of " + pen.Clip(g.CopyOf, 24)
	}
	if g.Stage == due.Steeping {
		return fmt.Sprintf("steeping %s", pen.Span(g.Assessment.ElapsedH))
	}
	return string(g.Stage)
}

func abvWords(a *bench.Assessment) string {
	if !a.Blend.Have() {
		return "-"
	}
	return pen.Number(a.Blend.Result.ABVPercent) + " %"
}

// keepsTill is where it is advised to stand, and until which day once it is
// strained: the place and the days of the first line of keep.
func keepsTill(g *due.Glance, now time.Time) string {
	k := g.Assessment.Keep
	where := k.Advises()
	switch {
	case where == "unknown":
		return "not known"
	case where == "discard":
		return "do not keep it"
	case !g.Until.IsZero() && g.Flavour:
		return fmt.Sprintf("%s, best to %s", where, dayOf(g.Until, now))
	case !g.Until.IsZero():
		return fmt.Sprintf("%s to %s", where, dayOf(g.Until, now))
	case k.Days(&k.Advised).Open():
		return where
	}
	return where + ", " + k.Days(&k.Advised).Words
}

// dueWords is what to do next and when, in words.
func dueWords(g *due.Glance) string {
	d := &g.Due
	a := g.Assessment
	now := a.Now
	what := quantity.And(d.What)
	late := ""
	if d.Overdue && now.Sub(d.At) >= 10*time.Minute {
		late = " by " + pen.Span(now.Sub(d.At).Hours())
	}
	switch d.Kind {
	case due.Discard:
		not := "do not keep it as written"
		if len(a.Keep.MustNot) > 0 {
			not = "do not drink it"
		}
		return not + ": steepbook keep " + filepath.Base(a.Batch.File)
	case due.Strain, due.Pull:
		act := "pull the " + what
		if d.Kind == due.Strain {
			act = "strain out the " + what
		}
		if d.Overdue {
			return fmt.Sprintf("overdue%s: %s", late, act)
		}
		return act + " " + atHour(d.At, now, d.DoubtH)
	case due.Taste:
		if d.Overdue {
			return fmt.Sprintf("overdue%s: taste the %s", late, what)
		}
		return fmt.Sprintf("taste the %s %s", what, atHour(d.At, now, math.Min(d.DoubtH, 6)))
	case due.PutIn:
		return fmt.Sprintf("put in the %s %s", what, atHour(d.At, now, 0))
	case due.Start:
		return "start " + atHour(d.At, now, 0)
	case due.Spent:
		return fmt.Sprintf("nothing more comes of the %s: strain the jar, or add more", what)
	case due.Bottle:
		return "bottle it and measure the volume"
	case due.Use:
		if d.Overdue {
			return fmt.Sprintf("overdue%s: past its keeping time, do not keep it longer", late)
		}
		return "use it up by " + dayOf(d.At, now)
	case due.AtBest:
		if d.At.Before(now) {
			return "past its best, not past keeping"
		}
		return "at its best to " + dayOf(d.At, now)
	}
	return "nothing due"
}

func atHour(at, now time.Time, doubtH float64) string {
	if !at.After(now) {
		return "now"
	}
	return moment(at, now, doubtH).at()
}

// dueJSON is what to do next.
func dueJSON(g *due.Glance) pen.Object {
	return pen.Object{
		pen.As("kind", g.Due.Kind),
		pen.As("what", g.Due.What),
		pen.As("at", g.Due.At),
		pen.As("overdue", g.Due.Overdue),
		pen.As("text", dueWords(g)),
	}
}

func bookJSON(b *book.Shelf) pen.Object {
	return pen.Object{
		pen.As("folder", b.Folder),
		pen.As("now", b.Now),
		pen.As("overdue", b.Overdue()),
		pen.As("batches", pen.Each(b.Batches, func(g *due.Glance) pen.Object {
			a := g.Assessment
			return pen.Object{
				pen.As("file", filepath.Base(a.Batch.File)),
				pen.As("batch", a.Batch.Name),
				pen.As("started", a.Batch.Started),
				pen.As("stage", g.Stage),
				pen.As("copy_of", pen.Some(g.CopyOf)),
				pen.As("elapsed_h", a.ElapsedH),
				pen.As("strained_at", g.StrainedAt),
				pen.As("due", dueJSON(g)),
				pen.As("abv_percent", pen.Where(a.Blend.Have(), a.Blend.Result.ABVPercent.Value)),
				pen.As("keep", pen.Object{
					pen.As("verdict", a.Keep.Where()),
					pen.As("unopened_days", pen.Where(a.Blend.Have(), a.Keep.Safe.Sealed)),
					pen.As("until", g.Until),
					pen.As("until_is_flavour", g.Flavour),
				}),
			}
		})),
		pen.As("wrong", b.Wrong),
		pen.As("learned", b.Lessons),
	}
}
