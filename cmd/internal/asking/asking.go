// Package asking is the talk in which a new batch is planned: one thing a question, in
// the order of the work, until everything is said.
package asking

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// Talk is whom is asked, and how an answer is judged.
type Talk struct {
	In  io.Reader
	Out io.Writer
	// Lay is how a text is laid out for whoever reads it.
	Lay func(text string) string
	// Check is asked of the draft after every answer: what it refuses is asked for again, with its
	// reason, and what is said of a name in it is said once.
	Check func(d batch.Draft) (said []string, err error)
	// File is what the batch will be written to.
	File string
	// ByUnits: the measures that are typed say whether it is a US batch.
	ByUnits bool
	// Moment reads a day in words and gives it as the file will have it.
	Moment func(text string) (string, error)
}

// ErrNoAnswers says that nothing was answered at all, ErrUnfinished that the answers ended
// before the batch was to be written, ErrNo that it is not to be.
var (
	ErrNoAnswers  = errors.New("no answers came")
	ErrUnfinished = errors.New("nothing was written: the answers ended before it was to be")
	ErrNo         = errors.New("nothing was written")
)

// state is where the talk stands: what is asked next of a draft, nil where all is said.
type state func(d *batch.Draft) *question

// question is one thing that is asked. An empty answer leaves it out and goes on at skip,
// any other is taken and goes on at next.
type question struct {
	text       string
	take       func(d *batch.Draft, text string) error
	next, skip state
}

// mark is a place to go back to.
type mark struct {
	at    state
	draft batch.Draft
}

// Plan asks until the batch is planned and is to be written. d holds what is known. "back"
// goes back one question.
func (t *Talk) Plan(d batch.Draft) (batch.Draft, error) {
	in := bufio.NewScanner(t.In)
	var trail []mark
	var told []string
	answered := false
	say := func(format string, args ...any) {
		fmt.Fprint(t.Out, t.Lay(quantity.Say(fmt.Sprintf(format, args...), d.System)))
	}
	say("One thing at a time: Enter leaves it out, \"back\" goes back one.\n")
	for here := t.name; ; {
		q := here(&d)
		if q == nil {
			q = &question{text: t.summary(&d) + "\nWrite " + t.File + "? (y, n or back)"}
		}
		say("%s ", q.text)
		if !in.Scan() {
			say("\n")
			switch err := in.Err(); {
			case err != nil:
				return d, err
			case !answered:
				return d, ErrNoAnswers
			}
			return d, ErrUnfinished
		}
		text := strings.TrimSpace(in.Text())
		answered = true
		switch word := strings.ToLower(text); {
		case word == "back" && len(trail) == 0:
			say("This is the first question.\n")
		case word == "back":
			last := trail[len(trail)-1]
			trail, here, d = trail[:len(trail)-1], last.at, last.draft
		case q.take == nil && (word == "y" || word == "yes"):
			return d, nil
		case q.take == nil && (word == "n" || word == "no"):
			return d, ErrNo
		case q.take == nil:
		case text == "":
			trail, here = append(trail, mark{here, d}), q.skip
		default:
			next := d.Clone()
			t.units(&next, text)
			var said []string
			err := q.take(&next, text)
			if err == nil {
				said, err = t.Check(next)
			}
			if err != nil {
				say("%s\n", reason(err))
				continue
			}
			for _, s := range said {
				if !slices.Contains(told, s) {
					say("%s\n", s)
				}
			}
			told = said
			trail, here, d = append(trail, mark{here, d}), q.next, next
		}
	}
}

// units takes a batch for a US one when ounces, cups or °F are typed before any metric
// measure.
func (t *Talk) units(d *batch.Draft, text string) {
	if t.ByUnits {
		d.Measured(text)
	}
}

// reason is a fault in one sentence.
func reason(err error) string {
	text := err.Error()
	var e *strict.Error
	if errors.As(err, &e) {
		text = e.Problem
	}
	return quantity.Sentence(text)
}
