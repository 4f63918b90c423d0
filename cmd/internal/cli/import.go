package cli

import (
	"fmt"
	"io"
	"os"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/records"
	"steepbook/cmd/internal/view/logbook"
	"steepbook/data/batch"
	"steepbook/data/disk"
)

// mostCSV is more than a lifetime of tastings.
const mostCSV = 4 << 20

func importCommand() *cli.Command {
	return &cli.Command{
		Name:      "import",
		Usage:     "tastings from a spreadsheet",
		ArgsUsage: "BATCH.toml TASTINGS.csv",
		Category:  toLearn,
		Description: "Adds the tastings of a CSV file to the batch, all of them or none; what is there already is " +
			"skipped. The first line names the columns: at, or date and time, or hours, and flavour and score must be " +
			"there; - reads the standard input.",
		UsageText: lines(
			"steepbook export demo-book/winter-orange-2.toml --csv -o tastings.csv",
			"steepbook import demo-book/winter-orange-2.toml tastings.csv",
			"steepbook import demo-book/winter-orange-2.toml tastings.csv --json"),
		Action: func(c *cli.Context) error {
			if c.NArg() < 2 {
				return usagef(c, "which tastings into which batch? e.g. steepbook import orange.toml tastings.csv")
			}
			if err := surplus(c, 2); err != nil {
				return err
			}
			s, err := open(c, c.Args().First())
			if err != nil {
				return err
			}
			file := c.Args().Get(1)
			src, err := csvAt(c, file)
			if err != nil {
				return err
			}
			sheet, err := records.ReadTastings(file, src)
			if err != nil {
				return err
			}
			var add *records.Add
			err = batch.AppendAgain(s.Path,
				batch.NewTastings(func(b *batch.Batch) ([]batch.NewTasting, error) {
					if add, err = sheet.Into(b, time.Local, s.Now); err != nil {
						return nil, err
					}
					return add.Tastings, nil
				}), time.Local)
			if err != nil {
				return asInput(err)
			}
			err = logbook.PrintImported(page(c, s.Units), &logbook.Imported{Batch: s.Batch.Name, File: s.Path,
				Tastings: len(add.Tastings), Scores: add.Scores, There: add.There, Others: add.Others,
				Unread: sheet.Unread})
			if err != nil && len(add.Tastings) > 0 {
				return fmt.Errorf("the tastings are in %s, but not all of the answer could be given: %w", s.Path,
					plainly{err})
			}
			return err
		},
	}
}

// csvAt reads a file, or the standard input for "-".
func csvAt(c *cli.Context, file string) ([]byte, error) {
	in := c.App.Reader
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return nil, disk.Unread(file, err)
		}
		defer f.Close()
		in = f
	}
	src, err := io.ReadAll(io.LimitReader(in, mostCSV+1))
	if err != nil {
		return nil, disk.Unread(file, err)
	}
	if len(src) > mostCSV {
		return nil, inputError{fmt.Errorf("%s has more than %d MB, too much for tastings; is it the right file?", file,
			mostCSV>>20)}
	}
	return src, nil
}
