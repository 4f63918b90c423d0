package cli

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/argv"
	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/prior"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/data/batch"
	"steepbook/data/disk"
	"steepbook/data/strict"
)

func checkCommand() *cli.Command {
	return &cli.Command{
		Name:      "check",
		Usage:     "is a batch file, or every one in a folder, right; what would sharpen the answers",
		ArgsUsage: "BATCH.toml or FOLDER",
		Category:  toPlan,
		Description: "Says of each file whether it can be read, where it cannot and what would be right, and what " +
			"would make its answers sharper.",
		UsageText: lines(
			"steepbook check demo-book",
			"steepbook check demo-book/winter-orange-2.toml",
			"steepbook check demo-book --json"),
		Flags: []cli.Flag{whyFlag("every hint of every file")},
		Action: func(c *cli.Context) error {
			path, err := oneFile(c)
			if err != nil {
				return err
			}
			files, err := batchFiles(path)
			if err != nil {
				return err
			}
			copies := copiesIn(c, path, files)
			var results []view.Checked
			wrong, act := 0, false
			for _, f := range files {
				r, mustAct, err := checkOne(c, f, copies[filepath.Base(f)])
				if err != nil {
					return err
				}
				if r.Problem != "" {
					wrong++
				}
				act = act || mustAct
				results = append(results, r)
			}
			err = cmp.Or(view.Check(page(c, 0), results, c.Bool("why")), mustMend(wrong, len(files)))
			if err != nil { // what must be mended is what was asked
				return err
			}
			return actNow(act, nil)
		},
	}
}

// checkOne reads one file, a copy of another where that is named; act: it must not be
// drunk. The error is only of what was typed.
func checkOne(c *cli.Context, file, copyOf string) (r view.Checked, act bool, err error) {
	r.File = file
	s, err := open(c, file)
	if err == nil {
		r.Units = s.Units
		var a *bench.Assessment
		if a, err = s.Judged(bench.Question{}); err == nil {
			r.Name, r.Danger, r.Hints, act = a.Batch.Name, bottle.Dangers(a), a.Hints(), due.MustAct(a)
		}
	}
	var usage *argv.Fault
	var fault *strict.Error
	switch {
	case errors.As(err, &usage):
		return r, false, err
	case errors.As(err, &fault):
		r.Problem = fault.Detail()
	case err != nil:
		r.Problem = err.Error()
	case copyOf != "":
		r.Hints = append([]string{fmt.Sprintf("%s is the same jar as %s, by its start and its tastings, "+
			"so it teaches nothing a second time; keep backups outside the book", filepath.Base(file),
			copyOf)}, r.Hints...)
	}
	return r, act, nil
}

// copiesIn names the files of a book that are backups of another, with that
// other; path is the book, or one file of it, and then only files that started
// with it are read. What cannot be read is no copy: check says why.
func copiesIn(c *cli.Context, path string, files []string) map[string]string {
	dir := path
	if len(files) == 1 && files[0] == path {
		dir = filepath.Dir(path)
		files = startedWith(path)
	}
	lib, err := openLibrary(dir)
	if err != nil || len(files) < 2 {
		return nil
	}
	now, err := clock(c, time.Time{}, 0)
	if err != nil { // a time after the start of one batch
		now = time.Now()
	}
	all, _ := book.ReadAll(files)
	return prior.NewBook(lib, now,
		slices.DeleteFunc(all, func(b *batch.Batch) bool { return b == nil })).Copies()
}

// startedWith is the batches of a file's folder that started at its moment, itself
// included.
func startedWith(path string) []string {
	files, err := batchFiles(filepath.Dir(path))
	own, _, _, errOwn := batch.ReadOutline(path, time.Local)
	if err != nil || errOwn != nil {
		return nil
	}
	return slices.DeleteFunc(files, func(f string) bool {
		g, _, _, err := batch.ReadOutline(f, time.Local)
		return err != nil || !g.Started.Equal(own.Started)
	})
}

// batchFiles is the file itself, or the batches of a folder in order of name.
func batchFiles(path string) ([]string, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, disk.Unread(path, err)
	}
	if !info.IsDir() {
		return []string{path}, nil
	}
	files, err := book.Files(path)
	if err != nil {
		return nil, disk.Unread(path, err)
	}
	if len(files) == 0 {
		return nil, inputError{fmt.Errorf("%s holds no batch: start one with steepbook new %s", path,
			filepath.Join(path, "orange.toml"))}
	}
	return files, nil
}
