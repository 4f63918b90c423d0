package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/asking"
	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/newbatch"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

func newCommand() *cli.Command {
	return &cli.Command{
		Name:      "new",
		Usage:     "start a batch file from flags or from answers, with a first plan",
		ArgsUsage: "BATCH.toml",
		Category:  toPlan,
		Description: "Writes the file of a new batch and says when to taste what. Without flags it asks, one " +
			"thing at a time; with --from it plans the next variation of a batch.",
		UsageText: lines(
			`steepbook new clove.toml --spirit "vodka 40 %: 500 ml" --botanical "clove: 4 pieces @ 3"`,
			`steepbook new mint.toml --spirit "rum 63 %: 350 ml" -b "mint, leaves: 20 g" --watch bitter=2`,
			`steepbook new next.toml --from demo-book/winter-orange-2.toml --change "long pepper: 3 g"`),
		Flags: newFlags(),
		Action: func(c *cli.Context) error {
			path, err := oneFile(c)
			if err != nil {
				return err
			}
			if filepath.Ext(path) == "" {
				path += ".toml"
			}
			if c.IsSet("from") || c.IsSet("change") || c.IsSet("split") {
				return variation(c, path)
			}
			system, err := unitsOf(c, filepath.Dir(path), nil)
			if err != nil {
				return err
			}
			now, err := clock(c, time.Time{}, system)
			if err != nil {
				return err
			}
			a, err := fromFlags(c, now, system)
			if err != nil {
				return err
			}
			if system == quantity.US {
				a.Units = "us" // the house says so: it is read as it was typed
			}
			a.AsTyped()
			if a.Name == "" {
				a.Name = stem(path)
			}
			if !slices.ContainsFunc(c.Command.Flags, func(f cli.Flag) bool { return c.IsSet(f.Names()[0]) }) {
				if err := roomFor(path); err != nil {
					return err
				}
				if a, err = fromQuestions(c, path, now, a); errors.Is(err, asking.ErrNo) {
					return view.NotWritten(page(c, system), path)
				} else if err != nil {
					return err
				}
			}
			src, _, err := readable(path, a, now)
			if err != nil {
				return err
			}
			if err := create(path, src); err != nil {
				return asInput(err)
			}
			return firstPlan(c, path)
		},
	}
}

func newFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "name", Usage: "what the batch is called"},
		startFlag(),
		&cli.StringFlag{Name: "room", Usage: "steeping temperature, 20C or 68F"},
		&cli.StringSliceFlag{Name: "spirit", Usage: "`\"NAME STRENGTH: AMOUNT\"` of what it steeps in, " +
			"once for each: \"grape brandy 57 %: 700 ml\""},
		&cli.StringFlag{Name: "abv", Usage: "the strength of the only spirit: 57, " +
			"\"57 %\" or \"114 proof\""},
		&cli.StringFlag{Name: "amount", Usage: "how much of the only spirit: \"700 ml\""},
		&cli.StringSliceFlag{Name: "botanical", Aliases: []string{"b"},
			Usage: "`\"NAME, CUT: AMOUNT @ WANTED\"`, once for each"},
		&cli.StringSliceFlag{Name: "watch", Usage: "an unwanted taste and its limit, `bitter=2`"},
		&cli.StringSliceFlag{Name: "add",
			Usage: "`\"NAME: AMOUNT\"` added after straining, once for each"},
		&cli.StringFlag{Name: "bottle", Usage: "bottle size, \"250 ml\""},
		&cli.StringFlag{Name: "store", Usage: "fridge, cellar, room, freezer or a temperature"},
		&cli.StringFlag{Name: "ready", Usage: "the day it is to be ready by, 2026-12-20 or \"20 Dec\""},
		&cli.StringFlag{Name: "from", Usage: "take the recipe of this `BATCH.toml`, with one change"},
		&cli.StringSliceFlag{Name: "change", Usage: "the `CHANGE` to the recipe of --from: \"clove: 6 pieces\", " +
			"\"clove, ground\", \"clove @ 4\", \"clove in 20 h\", \"grape brandy: rum 50 %\""},
		&cli.BoolFlag{Name: "split", Usage: "with --from: both halves of a split jar, the control and the changed"},
	}
}

// startFlag is when a new batch starts, which startOf reads.
func startFlag() cli.Flag {
	return &cli.StringFlag{Name: "start", Usage: "when the spirit meets the first botanical: \"yesterday " +
		"6 pm\" or 2026-11-20T18:00 (default: now)"}
}

func startOf(c *cli.Context, now time.Time, system quantity.System) (time.Time, error) {
	if c.String("start") == "" {
		return now.In(time.Local), nil
	}
	return typedMoment(c, "start", "", batch.Reckoning{Now: now, System: system})
}

// roomFor refuses, before anything is asked, a place where the answers could not
// be written or read.
func roomFor(path string) error {
	dir := filepath.Dir(path)
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return inputError{fmt.Errorf("there is no folder %s to write %s in", dir, filepath.Base(path))}
	}
	if _, err := os.Lstat(path); err == nil {
		return inputError{fmt.Errorf("%s is there already; give the new batch another name", path)}
	}
	_, err := openRules(dir)
	return err
}

// openRules is the library of a book whose rules can be read: what a batch that is written
// there will be answered with.
func openRules(dir string) (*library.Library, error) {
	lib, err := openLibrary(dir)
	if err == nil {
		_, err = batch.ReadHouse(filepath.Join(dir, batch.HouseFile))
	}
	return lib, asInput(err)
}

// readable is the text of a batch that is not written yet, as book.Draft, and what
// is said of its names.
func readable(path string, d batch.Draft, now time.Time) (src []byte, said []string, err error) {
	lib, err := openRules(filepath.Dir(path))
	if err != nil {
		return nil, nil, err
	}
	src, a, err := book.Draft(path, d, lib, bench.Question{Now: now})
	if err == nil {
		said = bottle.OfNames(a)
	}
	return src, said, asInput(err)
}

// firstPlan answers the new batch as it stands.
func firstPlan(c *cli.Context, path string) error {
	s, err := open(c, path)
	if err != nil {
		return err
	}
	a, err := s.Steeped()
	if err != nil {
		return err
	}
	return actNow(due.MustAct(a), newbatch.Plan(page(c, s.Units), a, path))
}

func fromFlags(c *cli.Context, now time.Time, system quantity.System) (batch.Draft, error) {
	a := batch.Draft{
		Name: c.String("name"), Room: c.String("room"), Units: c.String("units"),
		Bottle: c.String("bottle"), Store: c.String("store"), System: system,
	}
	for _, text := range c.StringSlice("spirit") {
		a.Spirits = append(a.Spirits, batch.ParseDraftSpirit(text))
	}
	if abv, amount := c.String("abv"), c.String("amount"); abv != "" || amount != "" {
		switch {
		case len(a.Spirits) == 0:
			a.Spirits = []batch.DraftSpirit{{}}
		case len(a.Spirits) > 1:
			return a, usagef(c, "--abv and --amount are of one spirit, and there are %d: "+
				"write them as --spirit \"grape brandy 57 %%: 700~ml\"", len(a.Spirits))
		}
		s := &a.Spirits[0]
		if amount != "" && s.Amount != "" {
			return a, usagef(c, "the amount of the %s stands twice, %s and %s; keep one", s.Name, s.Amount,
				amount)
		}
		s.Amount += amount
		if err := s.Strong(abv); err != nil {
			return a, usagef(c, "--abv: %s", err)
		}
	}
	at, err := startOf(c, now, system)
	if err != nil {
		return a, err
	}
	a.Started = book.Dated(at)
	if c.String("ready") != "" {
		day, err := comingDay(c, now, system)
		if err != nil {
			return a, err
		}
		a.Ready = day.Format(time.DateOnly)
	}
	for _, text := range c.StringSlice("watch") {
		w, err := batch.ParseDraftWatch(text)
		if err != nil {
			return a, usagef(c, "--watch %s", err)
		}
		a.Watches = append(a.Watches, w)
	}
	for _, text := range c.StringSlice("add") {
		add, err := batch.ParseDraftAddition(text)
		if err != nil {
			return a, usagef(c, "--add %q: write what and how much, like \"demerara sugar: 320~g\"", text)
		}
		a.Additions = append(a.Additions, add)
	}
	for _, text := range c.StringSlice("botanical") {
		b, err := batch.ParseDraftBotanical(text)
		if err != nil {
			return a, usagef(c, "--botanical %s: %s", b.Name, err)
		}
		a.Botanicals = append(a.Botanicals, b)
	}
	return a, nil
}

// fromQuestions asks on the terminal; a holds what is known already.
func fromQuestions(c *cli.Context, path string, now time.Time, a batch.Draft) (batch.Draft, error) {
	out := c.App.Writer
	if c.Bool("json") {
		out = c.App.ErrWriter // the answer is the plan
	}
	talk := asking.Talk{In: c.App.Reader, Out: out, File: path,
		Lay: func(text string) string { return prompt(out, text) }, ByUnits: a.Units == "",
		Check: func(d batch.Draft) (s []string, err error) {
			_, s, err = readable(path, d, now)
			return s, err
		},
		Moment: func(text string) (string, error) {
			m, _, err := batch.Reckoning{Loc: time.Local, Now: now, Side: batch.Next,
				System: a.System}.Moment(text)
			return m.Time.Format(time.DateOnly), err
		}}
	d, err := talk.Plan(a)
	switch {
	case errors.Is(err, asking.ErrNoAnswers):
		return d, usagef(c, "%s; use flags, e.g. --name \"Winter orange\" --spirit \"grape brandy 57 %%: 700~ml\"", err)
	case errors.Is(err, asking.ErrUnfinished):
		if src, bad := d.Text(); bad == nil {
			fmt.Fprintf(c.App.ErrWriter, "\n# What was answered, to paste into %s:\n%s\n", pen.Clean(path),
				pen.Clean(string(src)))
		}
		return d, inputError{err}
	}
	return d, err
}
