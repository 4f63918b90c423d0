package cli

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/argv"
	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
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
			now, err := clock(c, time.Time{}, 0)
			if err != nil { // a time after the start of one batch
				now = time.Now()
			}
			kin := book.KinOf(path, now)
			var results []view.Checked
			wrong, act := 0, false
			for _, f := range files {
				r, mustAct, err := checkOne(c, f, kin)
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

// checkOne reads one file, of a book whose files are kin; act: it must not be drunk. The error is
// only of what was typed.
func checkOne(c *cli.Context, file string, kin book.Kin) (r view.Checked, act bool, err error) {
	r.File = file
	s, err := open(c, file)
	if err == nil {
		r.Units = s.Units
		var a *bench.Assessment
		if a, err = s.Judged(bench.Question{}); err == nil {
			r.Name, r.Danger, r.Hints, act = a.Batch.Name, bottle.CanHurt(a), a.Hints(), due.MustAct(a)
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
	default:
		r.Hints = append(kin.Hints(s.Batch), r.Hints...)
	}
	return r, act, nil
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
