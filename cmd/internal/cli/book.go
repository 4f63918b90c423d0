package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/view"
)

func bookCommand() *cli.Command {
	return &cli.Command{
		Name:      "book",
		Usage:     "every batch at a glance: what is due, what keeps until when, what the book has learned",
		ArgsUsage: "[FOLDER]",
		Category:  toKeep,
		Description: "Says of every batch of a folder what is due, where it keeps until when, and what its tastings " +
			"have taught.",
		UsageText: lines(
			"steepbook book demo-book",
			`steepbook book demo-book --now "2026-12-24 18:00"`,
			"steepbook book demo-book --json"),
		Action: func(c *cli.Context) error {
			if err := surplus(c, 1); err != nil {
				return err
			}
			dir := "."
			if c.NArg() == 1 {
				dir = c.Args().First()
			}
			files, err := bookFiles(dir, "book")
			if err != nil {
				return err
			}
			now, err := clock(c, time.Time{}, 0)
			if err != nil {
				return err
			}
			return openBook(c, dir, files, now)
		},
	}
}

// bookFiles is the batches of a folder; a single file is refused with the
// command that is meant for its folder.
func bookFiles(dir, command string) ([]string, error) {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return nil, inputError{fmt.Errorf("%s is a file: a book is a folder of "+
			"batches, e.g. steepbook %s %s", dir, command, filepath.Dir(dir))}
	}
	return batchFiles(dir)
}

func openBook(c *cli.Context, dir string, files []string, now time.Time) error {
	b, err := book.Look(dir, files, now)
	if err != nil {
		return err
	}
	system, err := units(c, b.Units)
	if err != nil {
		return err
	}
	if err := view.PrintBook(page(c, system), b); err != nil {
		return err
	}
	if b.Overdue() > 0 {
		return errActNow
	}
	return mustMend(len(b.Wrong), len(b.Wrong)+len(b.Batches))
}

// mustMend is the fault of files that could not be read, nil where there are none.
func mustMend(wrong, of int) error {
	if wrong == 0 {
		return nil
	}
	return inputError{fmt.Errorf("%d of %d files must be mended", wrong, of)}
}
