package cli

import (
	"cmp"
	"errors"
	"fmt"
	"io"

	"steepbook/cmd/internal/argv"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/data/batch"
	"steepbook/data/disk"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// meter counts what a command tried to write of its answer, and keeps why it could not.
type meter struct {
	io.Writer
	n   int
	err error
}

func (m *meter) Write(b []byte) (int, error) {
	m.n += len(b)
	n, err := m.Writer.Write(b)
	if err != nil {
		err = disk.Clause(disk.Reason(err))
		m.err = cmp.Or(m.err, err)
	}
	return n, err
}

// failed is the fault of an answer that could not be given.
func (m *meter) failed() error {
	if m.err == nil {
		return nil
	}
	return fmt.Errorf("the standard output did not take all of the answer, because %w", m.err)
}

// report words an error and returns the exit status: a sentence in the units of the
// maker, or for programs an object.
func report(err error, p *pen.Page) int {
	if err == nil {
		return statusAnswered
	}
	act := errors.Is(err, errActNow)
	if unread := (inputError{}); act && errors.As(err, &unread) {
		err = unread
	} else if act {
		return statusAct
	}
	f := faultOf(err)
	if act {
		f.Status = statusAct
	}
	// What cannot be told any more, on a closed stream, still has its status.
	_ = view.PrintFault(p, f)
	return f.Status
}

// faultOf takes an error apart.
func faultOf(err error) view.Fault {
	var usage *argv.Fault
	var wrong *strict.Error
	var input inputError
	var kept *batch.WriteError
	var clause disk.Clause
	f := view.Fault{Problem: err.Error(), Status: statusFailure}
	switch {
	case errors.As(err, &wrong):
		f = view.Fault{Problem: wrong.Problem, Text: wrong.Detail(), File: wrong.File, Line: wrong.Line,
			Column: wrong.Column(), Right: wrong.Right, Excerpt: wrong.Excerpt, Status: statusInput}
		if wrong.Err != nil {
			f.Status = statusFailure
		}
	case errors.As(err, &usage):
		f.Help = "steepbook --help"
		if usage.Command != "" {
			f.Help = "steepbook " + usage.Command + " --help"
		}
		f.Status, f.Text = statusInput, usage.Problem+"; see "+f.Help
	case errors.As(err, &kept):
		f.File, f.Problem, f.Entry, f.Text = kept.File, kept.Problem(), kept.Entry, err.Error()
	case errors.As(err, &clause):
	case errors.As(err, &input):
		f.Status = statusInput
	default:
		f.Text = "steepbook: " + f.Problem
	}
	return f
}

// faultPage is where an error goes: in words on the error stream; for programs on the
// stream that they read, unless an answer stands there already.
func faultPage(json bool, system quantity.System, out *meter, errw io.Writer) *pen.Page {
	if json && out.n == 0 {
		return view.NewPage(out, pen.Style{JSON: true})
	}
	style := pen.Style{Units: system, JSON: json}
	if _, ok := terminal(errw); ok { // what is read along or kept has a sentence a line
		style.Width = columnsOf(errw)
	}
	return view.NewPage(errw, style)
}
