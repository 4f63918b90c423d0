package cli

import (
	"bytes"
	"cmp"
	"errors"
	"io"
	"path/filepath"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/argv"
	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/records"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bookshelf"
	"steepbook/data/batch"
)

func exportCommand() *cli.Command {
	return &cli.Command{
		Name:      "export",
		Usage:     "tastings for a spreadsheet, a log for an inspector, the book for programs",
		ArgsUsage: "BATCH.toml or FOLDER",
		Category:  toLearn,
		Description: "Prints the tastings as CSV, one row a score, which import takes back; a log of every bottle; or " +
			"all that keep and blend say of each batch, as one document.",
		UsageText: lines(
			"steepbook export demo-book --csv -o tastings.csv",
			"steepbook export demo-book --log",
			"steepbook export demo-book --json"),
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "csv", Usage: "the tastings: batch, at, hours, taster, sample, flavour, score, words; a " +
				"cell that a spreadsheet would take for a formula begins with '"},
			&cli.BoolFlag{Name: "log", Usage: "for an inspector: lots, made, strained, bottled, opened, discard by, pH, " +
				"strength, allergens, danger"},
			&cli.StringFlag{Name: "o", Usage: "write a new `FILE` instead of printing"},
		},
		Action: func(c *cli.Context) error {
			if n := count(c.Bool("csv"), c.Bool("log"), c.Bool("json")); n != 1 {
				return usagef(c, "say one of --csv (the tastings), --log (for an inspector) and --json (all figures)")
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
				var usage *argv.Fault
				switch {
				case errors.As(err, &usage) || err != nil && len(files) == 1:
					return err
				case err != nil:
					wrong = append(wrong, book.Wrong{File: f, Problem: book.Sentence(f, err)})
				default:
					all = append(all, a)
				}
			}
			var out bytes.Buffer
			if err := writeExport(c, &out, filepath.Dir(files[0]), all, wrong); err != nil {
				return err
			}
			if file := c.String("o"); file != "" {
				if err := createNew(file, out.Bytes()); err != nil {
					return err
				}
				err = view.Files(page(c, 0), "", []string{file})
			} else {
				text := out.String()
				if _, ok := terminal(c.App.Writer); ok { // a file keeps what the maker wrote as it is
					text = pen.Clean(text)
				}
				_, err = io.WriteString(c.App.Writer, text)
			}
			return actNow(slices.ContainsFunc(all, due.MustAct),
				cmp.Or(err, mustMend(len(wrong), len(files))))
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

func writeExport(c *cli.Context, w io.Writer, dir string, all []*bench.Assessment, wrong []book.Wrong) error {
	if c.Bool("json") {
		return bookshelf.Export(view.NewPage(w, pen.Style{JSON: true}), all, wrong)
	}
	batches := pen.Each(all, func(a **bench.Assessment) *batch.Batch { return (*a).Batch })
	system, err := unitsOf(c, dir, batches)
	rows := records.Tastings(batches, time.Local)
	if c.Bool("log") {
		rows = records.Log(all, time.Local, system)
	}
	return cmp.Or(err, records.Write(w, rows))
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
