package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/compare"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/view/bottle"
	"steepbook/cmd/internal/view/sidebyside"
	"steepbook/data/quantity"
	"steepbook/kinetics/panel"
)

// mostCompared is how many batches still fit side by side.
const mostCompared = 5

// defaultTrials of a blind tasting: each order of a triangle once.
const defaultTrials = 6

func compareCommand() *cli.Command {
	return &cli.Command{
		Name:      "compare",
		Usage:     "what changed between batches, what came of it, and the one change to try next",
		ArgsUsage: "BATCH.toml BATCH.toml …",
		Category:  toLearn,
		Description: "Says what differs between two to five batches, what came of it, and the one change to try " +
			"next. With --blind it prints a coded tasting of two, and with --count judges it.",
		UsageText: lines(
			"steepbook compare demo-book/winter-orange-1.toml demo-book/winter-orange-2.toml",
			"steepbook compare --blind triangle demo-book/winter-orange-1.toml demo-book/winter-orange-2.toml",
			"steepbook compare --blind triangle --trials 12 --count 9"),
		Flags: []cli.Flag{
			whyFlag("all that differs, what went in apart from what came out"),
			&cli.StringFlag{Name: "blind", Usage: "print a coded sheet for a blind tasting: `triangle` " +
				"(which of three is the odd one) or pair (which of two has more)"},
			&cli.IntFlag{Name: "trials", Value: defaultTrials,
				Usage: "how many trials the blind tasting has, 3 to 100"},
			&cli.IntFlag{Name: "count", Usage: "judge a blind tasting: right answers (triangle), or " +
				"answers for one of the two (pair)"},
			&cli.StringFlag{Name: "seed", Usage: "a whole number for another order of the glasses " +
				"(default: from the files' names, so that a sheet is printed alike again)"},
		},
		Action: func(c *cli.Context) error {
			design, files, err := blindDesign(c)
			switch {
			case err != nil:
				return err
			case design == "":
				return printCompared(c, files)
			case c.IsSet("count"):
				return judgeBlind(c, design, files)
			}
			return printBlind(c, design, files)
		},
	}
}

// printCompared prints the differences.
func printCompared(c *cli.Context, files []string) error {
	for _, name := range []string{"trials", "count", "seed"} {
		if c.IsSet(name) {
			return usagef(c, "--%s belongs to a blind tasting: add --blind triangle or --blind pair", name)
		}
	}
	if len(files) < 2 || len(files) > mostCompared {
		return usagef(c, "compare wants 2 to %d batches, e.g. steepbook compare first.toml second.toml",
			mostCompared)
	}
	sessions, system, err := openAll(c, files)
	if err != nil {
		return err
	}
	now, subjects := sessions[0].Now, make([]compare.Subject, len(sessions))
	for i, s := range sessions {
		subjects[i] = compare.Subject{Batch: s.Batch, Library: s.Library, House: s.House,
			Book: s.Neighbours()}
	}
	cmp, err := compare.Compare(subjects, now)
	if err != nil {
		return err
	}
	act := slices.ContainsFunc(cmp.Batches, due.MustAct)
	return actNow(act, sidebyside.Compare(page(c, system), cmp, c.Bool("why")))
}

// openAll reads each file and the library beside it, in the units of the latest and at one
// moment.
func openAll(c *cli.Context, files []string) (sessions []*session, system quantity.System, err error) {
	for i, f := range files {
		for _, other := range files[:i] {
			if sameFile(f, other) {
				return nil, 0, inputError{fmt.Errorf("%s is named twice: a batch compared "+
					"with itself tells nothing", f)}
			}
		}
		j, err := book.Open(f, time.Time{})
		if err != nil {
			return nil, 0, asInput(err)
		}
		sessions = append(sessions, &session{j})
	}
	latest := slices.MaxFunc(sessions,
		func(x, y *session) int { return x.Batch.Started.Compare(y.Batch.Started) })
	if system, err = units(c, latest.Units); err != nil {
		return nil, 0, err
	}
	now, err := clock(c, latest.Batch.Started, system)
	for _, s := range sessions {
		s.Now = now
	}
	return sessions, system, err
}

func sameFile(x, y string) bool {
	if filepath.Clean(x) == filepath.Clean(y) {
		return true
	}
	a, errA := os.Stat(x)
	b, errB := os.Stat(y)
	return errA == nil && errB == nil && os.SameFile(a, b)
}

// blindDesign reads --blind and the files. The word behind --blind may be left
// out, and is then the first file: a triangle is meant.
func blindDesign(c *cli.Context) (panel.Design, []string, error) {
	files := c.Args().Slice()
	if !c.IsSet("blind") {
		return "", files, nil
	}
	word := strings.TrimSpace(c.String("blind"))
	switch strings.ToLower(word) {
	case "triangle":
		return panel.Triangle, files, nil
	case "pair", "paired":
		return panel.Pair, files, nil
	}
	if strings.EqualFold(filepath.Ext(word), ".toml") {
		return panel.Triangle, append([]string{word}, files...), nil
	}
	return "", nil, usagef(c, "--blind is triangle or pair, not %q", word)
}

// blindTrials reads --trials.
func blindTrials(c *cli.Context) (int, error) {
	n := c.Int("trials")
	if n < panel.FewestTrials || n > panel.MostTrials {
		return 0, usagef(c, "--trials is a number from %d to %d, not %d", panel.FewestTrials,
			panel.MostTrials, n)
	}
	return n, nil
}

func printBlind(c *cli.Context, design panel.Design, files []string) error {
	trials, err := blindTrials(c)
	if err != nil {
		return err
	}
	if len(files) != 2 {
		return usagef(c, "a blind tasting sets two batches against each other, e.g. steepbook compare "+
			"--blind %s first.toml second.toml", design)
	}
	sessions, system, err := openAll(c, files)
	if err != nil {
		return err
	}
	slices.SortStableFunc(sessions,
		func(x, y *session) int { return x.Batch.Started.Compare(y.Batch.Started) })
	seed := panel.SheetSeed(design, trials, filepath.Base(files[0]), filepath.Base(files[1]))
	if text := c.String("seed"); text != "" {
		if seed, err = strconv.ParseUint(text, 10, 64); err != nil {
			return usagef(c, "--seed %q is no whole number from 0 up", text)
		}
	}
	sheet := panel.NewSheet(design, trials, seed)
	var names, holds [2]string
	for i, s := range sessions {
		a, err := s.Judged(bench.Question{})
		if err != nil {
			return err
		}
		if not := bottle.NotForGuests(a); not != "" {
			return inputError{fmt.Errorf("%s cannot be set out blind: %s", s.Path, not)}
		}
		names[i], holds[i] = s.Batch.Name, bottle.Allergens(a)
		sheet.Add(a.Recipe.Lingering())
	}
	if names[0] == names[1] {
		names[0] += " (" + filepath.Base(sessions[0].Path) + ")"
		names[1] += " (" + filepath.Base(sessions[1].Path) + ")"
	}
	power, err := panel.ForcedTest(design, trials, 0)
	if err != nil {
		return err
	}
	again := fmt.Sprintf("steepbook compare --blind %s --trials %d --count N", design, trials)
	return sidebyside.Blind(page(c, system), sheet, names, holds, power, again)
}

func judgeBlind(c *cli.Context, design panel.Design, files []string) error {
	trials, err := blindTrials(c)
	if err != nil {
		return err
	}
	count := c.Int("count")
	switch {
	case !c.IsSet("trials"):
		return usagef(c, "say of how many trials: --trials 12 --count %d", count)
	case count < 0 || count > trials:
		return usagef(c, "--count %d cannot be: with --trials %d it is a number from 0 to %d", count, trials,
			trials)
	case len(files) > 2:
		return usagef(c, "%q is one word too many: a count is judged by itself", files[2])
	}
	for _, f := range files {
		if _, err := os.Stat(f); errors.Is(err, os.ErrNotExist) {
			return inputError{fmt.Errorf("%s: there is no such file", f)}
		}
	}
	f, err := panel.ForcedTest(design, trials, count)
	if err != nil {
		return err
	}
	return sidebyside.Judged(page(c, 0), f)
}
