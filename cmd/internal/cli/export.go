package cli

import (
	"errors"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/records"
	"steepbook/cmd/internal/view"
	"steepbook/data/batch"
)

func exportCommand() *cli.Command {
	return &cli.Command{
		Name:      "export",
		Usage:     "tastings for a spreadsheet, the book for programs",
		ArgsUsage: "BATCH.toml or FOLDER",
		Category:  toLearn,
		Description: "Prints the tastings as CSV, one row a score; or with --json all that " +
			"keep and blend say of each batch, as one document.",
		UsageText: lines(
			"steepbook export demo-book --csv",
			"steepbook export demo-book/winter-orange-1.toml --csv",
			"steepbook export demo-book --json"),
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "csv", Usage: "the tastings: batch, at, hours, taster, sample, flavour, score, words; a " +
				"cell that a spreadsheet would take for a formula begins with '"},
		},
		Action: func(c *cli.Context) error {
			if n := count(c.Bool("csv"), c.Bool("json")); n != 1 {
				return usagef(c, "say one of --csv (the tastings) and --json (all figures)")
			}
			path, err := oneFile(c)
			if err != nil {
				return err
			}
			files, err := batchFiles(path)
			if err != nil {
				return err
			}
			var all []*bench.Assessment
			var wrong []book.Wrong
			for _, f := range files {
				a, err := judge(c, f)
				var usage *usageError
				switch {
				case errors.As(err, &usage) || err != nil && len(files) == 1:
					return err
				case err != nil:
					wrong = append(wrong, book.Wrong{File: f, Problem: book.Sentence(f, err)})
				default:
					all = append(all, a)
				}
			}
			if err := writeExport(c, all, wrong); err != nil {
				return err
			}
			return mustMend(len(wrong), len(files))
		},
	}
}

// judge opens a batch and says where it keeps.
func judge(c *cli.Context, file string) (*bench.Assessment, error) {
	s, err := open(c, file)
	if err != nil {
		return nil, err
	}
	return s.Judged(bench.Question{})
}

func writeExport(c *cli.Context, all []*bench.Assessment, wrong []book.Wrong) error {
	if c.Bool("json") {
		return view.Export(page(c, 0), all, wrong)
	}
	batches := make([]*batch.Batch, len(all))
	for i, a := range all {
		batches[i] = a.Batch
	}
	return records.Write(c.App.Writer, records.Tastings(batches, time.Local))
}

// count is how many hold.
func count(all ...bool) int {
	n := 0
	for _, b := range all {
		if b {
			n++
		}
	}
	return n
}
