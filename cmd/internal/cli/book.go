package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/view/bookshelf"
)

func bookCommand() *cli.Command {
	return &cli.Command{
		Name:      "book",
		Usage:     "what is due in all batches, the most urgent first, then what keeps until when",
		ArgsUsage: "[FOLDER]",
		Category:  toKeep,
		Description: "Says what is due in the batches of a folder, the most urgent first, then what keeps until when. " +
			"What their tastings have taught stands behind --why and in lookup --learned.",
		UsageText: lines(
			"steepbook book demo-book",
			`steepbook book demo-book --now "2026-12-24 18:00"`,
			"steepbook book demo-book --json"),
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "all", Usage: "also what is finished"},
			whyFlag("every batch with its stage and strength, and what the book has learned"),
		},
		Action: func(c *cli.Context) error {
			dir, err := oneFolder(c, ".")
			if err != nil {
				return err
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
	if err := noFile(dir, command); err != nil {
		return nil, err
	}
	return batchFiles(dir)
}

// noFile refuses a file where a book is meant.
func noFile(dir, command string) error {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return inputError{fmt.Errorf("%s is a file: a book is a folder of batches, e.g. steepbook %s %s",
			dir, command, filepath.Dir(dir))}
	}
	return nil
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
	if err := bookshelf.Print(page(c, system), b, c.Bool("all"), c.Bool("why")); err != nil {
		return err
	}
	return actNow(b.Overdue() > 0, mustMend(len(b.Wrong), len(b.Wrong)+len(b.Batches)))
}

// mustMend is the fault of files that could not be read, nil where there are none.
func mustMend(wrong, of int) error {
	if wrong == 0 {
		return nil
	}
	return inputError{fmt.Errorf("%d of %d files must be mended", wrong, of)}
}
