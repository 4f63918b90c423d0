package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/prior"
	"steepbook/cmd/internal/view"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/strict"
)

func bookCommand() *cli.Command {
	return &cli.Command{
		Name:      "book",
		Usage:     "every batch at a glance: what is due, what keeps until when, what the book has learned",
		ArgsUsage: "[FOLDER]",
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
	b := view.Book{Folder: dir, Now: now}
	wrong := func(file string, err error) {
		b.Wrong = append(b.Wrong, view.Wrong{File: file, Problem: sentence(file, err)})
	}
	// A fault in what the batches share leaves the built-in figures.
	lib, err := openLibrary(dir)
	if err != nil {
		wrong(libraryFile, err)
		lib = library.Builtin()
	}
	house, err := batch.ReadHouse(filepath.Join(dir, batch.HouseFile))
	if err != nil {
		wrong(batch.HouseFile, err)
	}
	all, faults := readAll(files)
	read := slices.DeleteFunc(slices.Clone(all), func(one *batch.Batch) bool { return one == nil })
	book := prior.NewBook(lib, now, read)
	rows := make([]due.Glance, len(files))
	prior.Each(len(files), func(i int) {
		if faults[i] != nil {
			return
		}
		var a *bench.Assessment
		if a, faults[i] = bench.Read(all[i], lib,
			bench.Question{Now: now, House: house, Book: book}); faults[i] == nil {
			if rows[i], faults[i] = due.Look(a); faults[i] == nil {
				rows[i].Assessment.Slim()
			}
		}
	})
	copies := book.Copies()
	for i, f := range files {
		if faults[i] != nil {
			wrong(filepath.Base(f), faults[i])
			continue
		}
		rows[i].CopyOf = copies[filepath.Base(f)]
		b.Batches = append(b.Batches, rows[i])
	}
	if b.Lessons, err = prior.Lessons(book); err != nil {
		return err
	}
	due.SortByDue(b.Batches)
	system, err := unitsOf(c, dir, read)
	if err != nil {
		return err
	}
	if err := view.PrintBook(page(c, system), &b); err != nil {
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

// readAll reads batch files on all cores; of each there is a batch or a fault.
func readAll(files []string) ([]*batch.Batch, []error) {
	batches, faults := make([]*batch.Batch, len(files)), make([]error, len(files))
	prior.Each(len(files), func(i int) { batches[i], faults[i] = batch.Read(files[i], time.Local) })
	return batches, faults
}

// sentence is a fault in one line, the folder left out.
func sentence(file string, err error) string {
	var fault *strict.Error
	if errors.As(err, &fault) {
		short := *fault
		short.File = file
		return short.Error()
	}
	return strings.ReplaceAll(err.Error(), "\n", " ")
}
