package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/view"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// againFlag is for what seems to be logged already.
func againFlag() cli.Flag {
	return &cli.BoolFlag{Name: "again", Usage: "log it though the same seems to be there already"}
}

// log appends an entry to the batch and reads it anew, then answers. What seems to be
// there already is asked about on a terminal, and refused elsewhere without --again.
func (s *session) log(c *cli.Context, entry batch.Entry, answer func() error) error {
	_, err := s.Log(entry, c.Bool("again"))
	var again *batch.AgainError
	if errors.As(err, &again) {
		said := quantity.Say(again.Problem, s.Units)
		if again.Unbottled {
			said += " (steepbook bottle " + view.ShellLine([]string{s.Path}) + ")"
		}
		if !isTerminal(c.App.Reader) || !yes(c, quantity.Capital(said)+". Log it all the same? [y/N] ") {
			return inputError{fmt.Errorf("nothing was written: %s; add --again if it is to be logged all the "+
				"same", said)}
		}
		_, err = s.Log(entry, true)
	}
	if err != nil {
		return asInput(flagged(c, err))
	}
	if err = s.Reread(); err == nil {
		err = answer()
	}
	if err != nil && !errors.Is(err, errActNow) {
		return fmt.Errorf("it is logged in %s, but not all of the answer could be given: %w", s.Path,
			plainly{err})
	}
	return err
}

// flagged is a fault in what a command would log, its example with the flag by which that is said; a fault
// of the file has the key.
func flagged(c *cli.Context, err error) error {
	var e *strict.Error
	if !errors.As(err, &e) || e.Line > 0 {
		return err
	}
	key, value, ok := strings.Cut(e.Right, " = ")
	for _, f := range c.Command.Flags {
		if ok && f.Names()[0] == key {
			said := *e
			said.Right = "--" + key + " " + value
			return &said
		}
	}
	return err
}

// plainly is an error of which only the words count: what was asked for is done.
type plainly struct{ err error }

func (p plainly) Error() string { return p.err.Error() }

// isTerminal reports whether somebody can be asked.
func isTerminal(r io.Reader) bool {
	f, ok := r.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	null, nullErr := os.Stat(os.DevNull)
	return err == nil && info.Mode()&os.ModeCharDevice != 0 && !(nullErr == nil && os.SameFile(info, null))
}

// yes asks a question of one letter.
func yes(c *cli.Context, question string) bool {
	fmt.Fprint(c.App.ErrWriter, prompt(c.App.ErrWriter, question))
	in := bufio.NewScanner(c.App.Reader)
	in.Scan() // the end of the answers is no yes
	answer := strings.ToLower(strings.TrimSpace(in.Text()))
	return answer == "y" || answer == "yes"
}

// at reads --at as the batch file will have it.
func (s *session) at(c *cli.Context, what string) (string, error) {
	at, err := s.At(c.String("at"), what)
	var early *book.NotYet
	switch {
	case errors.As(err, &early):
		return "", inputError{fmt.Errorf("%w, or correct --at", err)}
	case err != nil:
		return "", usagef(c, "--at: %s", err)
	}
	return at, nil
}

// inWords reports whether --at said in words what is logged as a date and a clock.
func inWords(c *cli.Context, logged string) bool {
	return c.IsSet("at") && strings.TrimSpace(c.String("at")) != logged
}
