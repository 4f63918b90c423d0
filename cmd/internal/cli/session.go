package cli

import (
	"errors"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/data/library"
)

// session is one batch file opened to answer a question on the command line.
type session struct{ *book.Jar }

// open reads the batch and what it shares with its book, the units and the clock that
// were asked for.
func open(c *cli.Context, path string) (*session, error) {
	j, err := book.Open(path, time.Time{})
	if err != nil {
		return nil, asInput(err)
	}
	if j.Units, err = units(c, j.Units); err != nil {
		return nil, err
	}
	j.Now, err = clock(c, j.Batch.Started, j.Units)
	return &session{j}, err
}

// onBatch is a command whose only argument is a batch: what it looked at gives the status, nil
// where it looked at nothing.
func onBatch(answer func(c *cli.Context, s *session) (*bench.Assessment, error)) cli.ActionFunc {
	return func(c *cli.Context) error {
		path, err := oneFile(c)
		if err != nil {
			return err
		}
		s, err := open(c, path)
		if err != nil {
			return err
		}
		a, err := answer(c, s)
		return actNow(err == nil && a != nil && due.MustAct(a), err)
	}
}

// actNow is that the maker must act, with what of a folder could not be read; of any other fault
// it is that.
func actNow(act bool, err error) error {
	if act && (err == nil || errors.As(err, new(inputError))) {
		return errors.Join(errActNow, err)
	}
	return err
}

// openLibrary is the library of a book that the user named.
func openLibrary(dir string) (*library.Library, error) {
	lib, err := book.Library(dir)
	return lib, asInput(err)
}
