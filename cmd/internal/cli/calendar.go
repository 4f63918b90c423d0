package cli

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/ical"
	"steepbook/cmd/internal/view/calendar"
	"steepbook/data/batch"
	"steepbook/data/disk"
	"steepbook/data/quantity"
)

func calendarCommand() *cli.Command {
	return &cli.Command{
		Name:      "calendar",
		Usage:     "the dates of a batch or a book for your calendar; --ready: when to start",
		ArgsUsage: "BATCH.toml or FOLDER",
		Category:  toKeep,
		Description: "Writes what is to be done and when (put in, taste, pull, strain, bottle, best by) as a file that a " +
			"calendar imports, with alarms at waking hours; imported again it moves what moved. With --ready it " +
			"counts back from a day: when to start, strain and bottle.",
		UsageText: lines(
			"steepbook calendar demo-book",
			"steepbook calendar demo-book/winter-orange-2.toml -o orange.ics",
			"steepbook calendar demo-book/bay-grapefruit-dram.toml --ready 2026-12-20"),
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "o",
				Usage: "write `FILE` (default: beside the batch or in the folder; - prints it)"},
			&cli.StringFlag{Name: "ready",
				Usage: "plan back from this `DAY`, on which it is to be at its best"},
		},
		Action: func(c *cli.Context) error {
			path, err := oneFile(c)
			if err != nil {
				return err
			}
			if ext := filepath.Ext(c.String("o")); strings.EqualFold(ext, ".toml") {
				return usagef(c, "-o %s would write over a batch; a calendar ends in .ics", c.String("o"))
			}
			info, err := os.Stat(path)
			if err == nil && info.IsDir() {
				return calendarOfBook(c, path)
			}
			s, err := open(c, path)
			if err != nil {
				return err
			}
			return calendarOf(c, s)
		},
	}
}

// calendarOf is the calendar of one batch, forward, or back from a day.
func calendarOf(c *cli.Context, s *session) error {
	g, err := s.Glance()
	if err != nil {
		return err
	}
	s.Kin().Tell(g)
	m, a := &calendar.Made{Now: s.Now}, g.Assessment
	if !c.IsSet("ready") {
		dates, err := g.Dates()
		if err != nil {
			return err
		}
		m.Entries = calendar.Entries(g, dates, s.Units, nil)
		if err := writeCalendar(c, m, a.Batch.Name, beside(s.Path)); err != nil || toStdout(c) {
			return actNow(g.Due.Overdue, err)
		}
		return actNow(g.Due.Overdue, calendar.Print(page(c, s.Units), m))
	}
	ready, err := comingDay(c, s.Now, s.Units)
	if err != nil {
		return err
	}
	if g.Due.Kind == due.Discard {
		return usagef(c, "%s must not be drunk as it is written: steepbook keep %s says why", a.Batch.Name,
			s.Path)
	}
	plan, err := g.Back(ready)
	if err != nil {
		return err
	}
	m.Entries = calendar.Entries(g, plan.Dates, s.Units, plan)
	if err := writeCalendar(c, m, a.Batch.Name, beside(s.Path)); err != nil || toStdout(c) {
		return actNow(g.Due.Overdue, err)
	}
	return actNow(g.Due.Overdue || plan.TooLate || plan.Young || plan.Unsound,
		calendar.PrintPlan(page(c, s.Units), a, plan, m))
}

// comingDay is --ready, which lies ahead.
func comingDay(c *cli.Context, now time.Time, units quantity.System) (time.Time, error) {
	t, err := typedMoment(c, "ready", "", batch.Reckoning{Now: now, Side: batch.Next, System: units})
	switch {
	case err != nil:
		return t, err
	case !t.After(now):
		return t, usagef(c, "--ready %s is past; write a day that comes, like %s", c.String("ready"),
			now.AddDate(0, 1, 0).Format(time.DateOnly))
	case t.After(now.AddDate(10, 0, 0)):
		return t, usagef(c, "--ready %s is more than ten years ahead", c.String("ready"))
	}
	return time.Date(t.Year(), t.Month(), t.Day(), 12, 0, 0, 0, t.Location()), nil
}

// calendarOfBook is one calendar of every batch of a folder that is not finished; a copy
// of another file is left out.
func calendarOfBook(c *cli.Context, dir string) error {
	if c.IsSet("ready") {
		return usagef(c, "--ready plans one batch: name its file")
	}
	files, err := batchFiles(dir)
	if err != nil {
		return err
	}
	now, err := clock(c, time.Time{}, 0)
	if err != nil {
		return err
	}
	var once sync.Once
	var system quantity.System
	each := make([][]calendar.Entry, len(files))
	b, err := book.LookClosely(dir, files, now, func(s *book.Shelf, i int, g *due.Glance) error {
		once.Do(func() { system, _ = units(c, s.Units) }) // what is wrong with it is said below
		if g.CopyOf != "" {
			return nil
		}
		dates, err := g.Dates()
		each[i] = calendar.Entries(g, dates, system, nil)
		return err
	})
	if err != nil {
		return err
	}
	if system, err = units(c, b.Units); err != nil {
		return err
	}
	m := &calendar.Made{Now: now, Wrong: b.Wrong, Entries: slices.Concat(each...)}
	calendar.Sort(m.Entries)
	whole, err := filepath.Abs(dir)
	if err != nil {
		return err
	}
	name := filepath.Base(whole)
	if err := writeCalendar(c, m, name, filepath.Join(dir, name+".ics")); err != nil {
		return err
	}
	if !toStdout(c) {
		if err := calendar.Print(page(c, system), m); err != nil {
			return err
		}
	}
	return actNow(b.Overdue() > 0, mustMend(len(b.Wrong), len(b.Wrong)+len(b.Batches)))
}

// beside is where the calendar of a batch is written.
func beside(path string) string { return filepath.Join(filepath.Dir(path), stem(path)+".ics") }

// toStdout reports whether the calendar itself is the answer.
func toStdout(c *cli.Context) bool { return c.String("o") == "-" }

// writeCalendar writes a calendar where it was asked for, as a whole or not at all; with
// --json only where a file was named.
func writeCalendar(c *cli.Context, m *calendar.Made, name, otherwise string) error {
	write := func(w io.Writer) error { return ical.Write(w, calendar.File(name, m.Entries, m.Now)) }
	switch to := c.String("o"); {
	case to == "-" && c.Bool("json"):
		return usagef(c, "-o - prints the calendar and --json its events: take one of them")
	case to == "-":
		return write(c.App.Writer)
	case to == "" && c.Bool("json"):
		return nil
	case to != "":
		m.File = to
	default:
		m.File = otherwise
	}
	if info, err := os.Stat(m.File); err == nil && info.IsDir() {
		return inputError{errors.New(m.File + " is a folder: name a file, like " + filepath.Join(m.File,
			"steepbook.ics"))}
	}
	if err := disk.MakeFolder(filepath.Dir(m.File)); err != nil {
		return err
	}
	return writeWhole(m.File, write)
}
