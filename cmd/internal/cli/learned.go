package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/prior"
	"steepbook/cmd/internal/view/bookshelf"
	"steepbook/data/batch"
	"steepbook/data/library"
)

// learned answers lookup --learned: what the tastings of a book have taught,
// and with --write adds it to the book's library.
func learned(c *cli.Context) error {
	dir, err := oneFolder(c, c.String("book"))
	if err != nil {
		return err
	}
	if c.Bool("summary") {
		return usagef(c, "--learned and --summary are two questions; ask one at a time")
	}
	files, err := bookFiles(dir, "lookup --learned")
	if err != nil {
		return err
	}
	now, err := clock(c, time.Time{}, 0)
	if err != nil {
		return err
	}
	lib, err := openLibrary(dir)
	if err != nil {
		return err
	}
	answer := bookshelf.Learned{Folder: dir, Now: now}
	var all []*batch.Batch
	names := make([]string, len(files))
	read, faults := book.ReadAll(files)
	for i, f := range files {
		names[i] = filepath.Base(f)
		err := faults[i]
		if err == nil {
			_, err = bench.Read(read[i], lib, bench.Question{Now: now})
		}
		if err != nil {
			answer.Wrong = append(answer.Wrong,
				book.Wrong{File: names[i], Problem: book.Sentence(names[i], err)})
			continue
		}
		all = append(all, read[i])
	}
	answer.Batches = len(all)
	lessons := prior.Lessons(prior.NewBook(lib, now, all))
	answer.Lessons = prior.Teach(lessons, lib, names)
	if c.Bool("write") {
		if err = undisturbed(func() (err error) {
			answer.Wrote, err = writeLessons(filepath.Join(dir, book.LibraryFile), lessons, names, now)
			return err
		}); err != nil {
			return asInput(err)
		}
		if lib, err = openLibrary(dir); err != nil {
			return err
		}
		answer.Asked, answer.Lessons = true, prior.Teach(lessons, lib, names)
	}
	system, err := unitsOf(c, dir, all)
	if err != nil {
		return err
	}
	if err := bookshelf.PrintLearned(page(c, system), &answer); err != nil {
		return err
	}
	return mustMend(len(answer.Wrong), len(files))
}

// writeLessons adds the lessons that are ready to the library at path and
// returns the lines added. Nothing is written that would not read, or that would
// change more than the rates learned.
func writeLessons(path string, lessons []prior.Lesson, files []string, now time.Time) (string, error) {
	var ready []prior.Taught
	var wrote string
	entry := func(old []byte) (string, error) {
		lib, err := library.Builtin().With(path, old)
		if err != nil {
			return "", err
		}
		ready = prior.Teach(lessons, lib, files)
		wrote = prior.LibraryEntry(ready, now)
		return wrote, nil
	}
	check := func(old, grown []byte) error {
		before, err := library.Builtin().With(path, old)
		if err != nil {
			return err
		}
		after, err := library.Builtin().With(path, grown)
		if err != nil {
			// Its line would point at text that is not in the file.
			return fmt.Errorf("the library would not read with them (%s)",
				book.Sentence(book.LibraryFile, err))
		}
		return prior.OnlyTaught(before, after, ready)
	}
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		if err := batch.Grow(path, entry, check); err != nil {
			return "", err
		}
		return wrote, nil
	}
	text, err := entry(nil)
	if err != nil || text == "" {
		return "", err
	}
	if err := check(nil, []byte(text)); err != nil {
		return "", err
	}
	return text, batch.Create(path, []byte(text))
}
