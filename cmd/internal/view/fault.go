package view

import (
	"strings"

	"steepbook/cmd/internal/pen"
)

// Fault is why there is no answer.
type Fault struct {
	Problem string // one sentence, without the place
	Text    string // the same with the place, as people read it; "" where that is Problem
	File    string // "" where it is about no file
	Line    int    // 1-based; 0 where there is none
	Column  int    // 1-based, in characters; 0 where the whole line is meant
	Right   string // what would be right
	Excerpt string // the line as written
	Entry   string // what could not be written, to be pasted into the file
	Help    string // what to type for help
	Status  int    // of the exit
}

// faultLines writes an error, its sentences within the terminal where there is one; what it
// quotes of a file, indented, stays as it is, and a program that reads along gets a line a
// sentence.
func faultLines(p *pen.Page, text string) {
	for line := range strings.SplitSeq(strings.TrimRight(text, "\n"), "\n") {
		if p.Width == 0 || strings.HasPrefix(line, " ") {
			p.Line("%s", line)
		} else {
			p.Para("%s", line)
		}
	}
}

// PrintFault prints an error.
func PrintFault(p *pen.Page, f Fault) error {
	if !p.JSON {
		text := f.Text
		if text == "" {
			text = f.Problem
		}
		faultLines(p, text)
		return p.Done()
	}
	return p.WriteJSON(pen.Object{pen.As("error", pen.Object{
		pen.As("problem", f.Problem),
		pen.As("file", pen.Some(f.File)),
		pen.As("line", pen.Some(f.Line)),
		pen.As("column", pen.Some(f.Column)),
		pen.As("right", pen.Some(f.Right)),
		pen.As("excerpt", pen.Some(pen.Verbatim(f.Excerpt))),
		pen.As("entry", pen.Some(pen.Verbatim(f.Entry))),
		pen.As("help", pen.Some(f.Help)),
		pen.As("status", f.Status),
	})})
}
