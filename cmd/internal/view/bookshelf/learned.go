package bookshelf

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/prior"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/shelf/mixture"
)

// Learned is what the tastings of a book have taught, beside the library.
type Learned struct {
	Folder  string
	Now     time.Time
	Batches int
	Lessons []prior.Taught
	Wrong   []book.Wrong
	// Asked says that the lessons were to be written, Wrote are the lines that
	// were added to library.toml.
	Asked bool
	Wrote string
}

// PrintLearned prints every botanical and cut that was tasted.
func PrintLearned(p *pen.Page, l *Learned) error {
	if p.JSON {
		return p.WriteJSON(pen.Object{
			pen.As("folder", l.Folder),
			pen.As("now", l.Now),
			pen.As("batches", l.Batches),
			pen.As("learned", l.Lessons),
			pen.As("wrote", l.Wrote),
			pen.As("wrong", l.Wrong),
		})
	}
	ready := 0
	for i := range l.Lessons {
		if l.Lessons[i].State == prior.LessonReady {
			ready++
		}
	}
	switch n := strings.Count(l.Wrote, "[[botanical.cut]]"); {
	case n > 0:
		p.Answer("Added to library.toml: %s learned from your tastings.",
			quantity.Counted(n, "rate", "rates"))
	case len(l.Lessons) == 0:
		p.Answer("Nothing is learned yet: no botanical of this book has been tasted.")
	case l.Asked:
		p.Answer("Nothing was added to library.toml.")
	case ready > 0:
		p.Answer("%s can go into library.toml: add --write.", quantity.Counted(ready, "rate", "rates"))
	default:
		p.Answer("There is nothing to add to library.toml.")
	}
	for i := range l.Lessons {
		t := &l.Lessons[i]
		p.Line("")
		title := t.Name + ", " + t.CutName
		if slices.ContainsFunc(t.Forms, func(said string) bool { return library.Renames(said, t.CutName) }) {
			title += " (yours: " + quantity.And(t.Forms) + ")"
		}
		p.Para("%s: %s, %s (%s)", p.Strong(title),
			quantity.Counted(t.Batches, "batch", "batches"),
			quantity.Counted(t.Tastings, "tasting", "tastings"), strings.Join(t.Files, ", "))
		dose := ""
		if t.DoseGPerL > 0 {
			dose = fmt.Sprintf(" at %s g/L", pen.Significant(t.DoseGPerL, 2))
		}
		p.Pairs([]pen.Pair{
			{"  library", fmt.Sprintf("rate %s per hour, ends at %s", twoFigures(t.Library),
				plateauWords(t.LibraryPlateau))},
			{"  your next jar", fmt.Sprintf("rate %s per hour", twoFigures(t.NextPerH))},
			{"  your jars", fmt.Sprintf("rate %s per hour on the whole, end at %s%s", twoFigures(t.RatePerH),
				plateauWords(t.Plateau), dose)},
			{"  yours", fmt.Sprintf("%s of the doubt about the rate gone, %s of that about the end",
				own(t.OwnRate), own(t.OwnPlateau))},
			{"  library.toml", stateWords(t)},
			{"  mind", gone(t)},
			{"  note", strings.Join(t.Warnings, " ")},
		})
		for _, line := range strings.Split(strings.TrimSuffix(t.Paste, "\n"), "\n") {
			if line != "" {
				p.Line("    %s", line)
			}
		}
	}
	if len(l.Lessons) > 0 {
		p.Line("")
		p.Para("Ranges hold nine times in ten. Rates hold for the room and strength of the batch started last; " +
			"library.toml keeps both with the rate, and a jar elsewhere is moved from there. Only rates " +
			"are written: where a jar ends depends on its dose.")
	}
	notRead(p, l.Wrong)
	return p.Done()
}

func plateauWords(f mixture.Range) string {
	return fmt.Sprintf("%s (%s-%s)", pen.Score(f.Value), pen.Score(f.Low), pen.Score(f.High))
}

func stateWords(t *prior.Taught) string {
	switch t.State {
	case prior.LessonReady:
		return "not there yet; --write adds it"
	case prior.LessonWritten:
		return "there, from these batches, which do not teach the rate again"
	}
	return "not written: " + t.Why
}

func gone(t *prior.Taught) string {
	if len(t.Gone) == 0 {
		return ""
	}
	return fmt.Sprintf("library.toml names %s as its teacher, which is not in the book; under a new name "+
		"it would teach twice, so write the new name into taught_by", quantity.And(t.Gone))
}
