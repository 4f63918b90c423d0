package cli

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/view"
	"steepbook/cmd/internal/view/logbook"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

// lifeCommand is one that writes down what was done with a batch: entry makes of the words
// behind the file what is logged.
func lifeCommand(cmd cli.Command, what string,
	entry func(c *cli.Context, s *session, words []string, at string) (batch.Entry, error)) *cli.Command {
	cmd.Flags = append(cmd.Flags,
		&cli.StringFlag{Name: "at", Usage: "when: \"5 d\" after the start, \"yesterday 9 pm\" or " +
			"2026-11-25T20:00 (default: now)"},
		againFlag())
	cmd.Action = func(c *cli.Context) error {
		if c.NArg() == 0 {
			_, err := oneFile(c)
			return err
		}
		s, err := open(c, c.Args().First())
		if err != nil {
			return err
		}
		at, err := s.at(c, what)
		if err != nil {
			return err
		}
		e, err := entry(c, s, c.Args().Slice()[1:], at)
		if err != nil {
			return err
		}
		before := s.Batch
		return s.log(c, e, func() error {
			g, err := s.Glance()
			if err != nil {
				return err
			}
			entries := s.Batch.Newest(before)
			return actNow(g.Due.Overdue, logbook.Logged(page(c, s.Units), g, entries, inWords(c, at)))
		})
	}
	return &cmd
}

func strainCommand() *cli.Command {
	return lifeCommand(cli.Command{
		Name:      "strain",
		Usage:     "record that the jar was strained, all of it or named things",
		ArgsUsage: "BATCH.toml [\"green cardamom\" …]",
		Category:  toFinish,
		Description: "Writes at the end of the batch file that everything came out of the jar, or what you name, " +
			"and says what goes in next.",
		UsageText: lines(
			`steepbook strain demo-book/winter-orange-2.toml --volume "680 ml"`,
			`steepbook strain demo-book/verbena-jar.toml --at "20 h"`),
		Flags: []cli.Flag{&cli.StringFlag{Name: "volume", Usage: "the liquor as measured: \"680 ml\""}},
	}, "straining", func(c *cli.Context, s *session, words []string, at string) (batch.Entry, error) {
		return batch.NewStraining{Names: words, At: at, Volume: c.String("volume")}, nil
	})
}

func bottleCommand() *cli.Command {
	return lifeCommand(cli.Command{
		Name:      "bottle",
		Usage:     "record that it was bottled, and how much there was",
		ArgsUsage: "BATCH.toml [5 x \"250 ml\" …]",
		Category:  toFinish,
		Description: "Writes at the end of the batch file how many bottles of what size there are, and says " +
			"where it keeps until when. Its days run from when the last of it went in: log that with add.",
		UsageText: lines(
			`steepbook bottle demo-book/winter-orange-1.toml 5 x "250 ml" --volume "1.29 l" --again`,
			`steepbook bottle demo-book/winter-orange-1.toml "2 x 500 ml" "1 x 250 ml" --again`),
		Flags: []cli.Flag{&cli.StringFlag{Name: "volume", Usage: "what there was to bottle, as measured: \"1.29 l\""},
			&cli.IntFlag{Name: "from", Usage: "poured out of an open bottle, which is as old: `1`"}},
	}, "bottling", func(c *cli.Context, s *session, words []string, at string) (batch.Entry, error) {
		all, err := batch.ParseBottlings(strings.Join(words, " "), c.String("volume"), at)
		if err != nil {
			return nil, usagef(c, "%s", err)
		}
		if c.IsSet("from") && c.Int("from") < 1 {
			return nil, usagef(c, "%d is no number of a bottle; write --from 1", c.Int("from"))
		}
		for i := range all {
			all[i].From = c.Int("from")
		}
		return all, nil
	})
}

func openCommand() *cli.Command {
	return lifeCommand(cli.Command{
		Name:      "open",
		Usage:     "record that a bottle was opened",
		ArgsUsage: "BATCH.toml [BOTTLE]",
		Category:  toKeep,
		Description: "Writes at the end of the batch file that a bottle was opened, by its number or the next " +
			"one that is sealed, and says by when to use it up.",
		UsageText: lines(
			`steepbook open demo-book/bay-grapefruit-dram.toml`,
			`steepbook open demo-book/bay-grapefruit-dram.toml 2 --at "yesterday 9 pm"`),
	}, "opening", func(c *cli.Context, s *session, words []string, at string) (batch.Entry, error) {
		n, err := bottleNumber(c, words)
		return batch.NewOpening{Bottle: n, At: at}, err
	})
}

func emptyCommand() *cli.Command {
	return lifeCommand(cli.Command{
		Name:      "empty",
		Usage:     "record that a bottle is empty, or all of it is gone",
		ArgsUsage: "BATCH.toml [BOTTLE]",
		Category:  toKeep,
		Description: "Writes at the end of the batch file that a bottle is empty, by its number or the one that " +
			"is open. When the last one is, the batch is finished: it leaves the list of book and still teaches.",
		UsageText: lines(
			`steepbook empty demo-book/winter-orange-1.toml`,
			`steepbook empty demo-book/bay-grapefruit-dram.toml --all`),
		Flags: []cli.Flag{&cli.BoolFlag{Name: "all", Usage: "everything is gone"}},
	}, "emptying", func(c *cli.Context, s *session, words []string, at string) (batch.Entry, error) {
		n, err := bottleNumber(c, words)
		switch {
		case err != nil:
			return nil, err
		case n > 0 && c.Bool("all"):
			return nil, usagef(c, "bottle %d or --all: keep one", n)
		case n == 0 && !c.Bool("all"):
			if n, err = s.whichIsEmpty(c); err != nil {
				return nil, err
			}
		}
		return batch.NewEmptying{Bottle: n, At: at}, nil
	})
}

// whichIsEmpty is the bottle that is meant where no number is given: the one that is
// open, else the only one; 0 for all there is.
func (s *session) whichIsEmpty(c *cli.Context) (int, error) {
	all := s.Batch.Bottles(s.Batch.Hours(s.Now))
	var left, opened []int
	for i := range all.List {
		if x := &all.List[i]; x.Emptied == nil {
			if left = append(left, x.Number); x.Opened != nil {
				opened = append(opened, x.Number)
			}
		}
	}
	switch {
	case s.Batch.InJar(s.Batch.Hours(s.Now)):
		return 0, usagef(c, "nothing is strained or bottled yet; log the bottles first, steepbook bottle %s, or "+
			"write --all where all of it is gone", view.ShellLine([]string{s.Path}))
	case all.Emptied != nil || !all.Counted && len(left) <= 1 || len(left) == 0:
		return 0, nil
	case len(opened) == 1:
		return opened[0], nil
	case len(left) == 1:
		return left[0], nil
	case len(opened) == 0:
		return 0, usagef(c, "which bottle? None is open; write its number, 1 to %d, or --all", left[len(left)-1])
	}
	var names []string
	for _, n := range opened {
		names = append(names, strconv.Itoa(n))
	}
	return 0, usagef(c, "which bottle? %s are open; write its number, or --all", quantity.And(names))
}

// bottleNumber reads the number of a bottle; 0 where there is none.
func bottleNumber(c *cli.Context, words []string) (int, error) {
	if len(words) > 1 {
		return 0, surplus(c, 2)
	}
	if len(words) == 0 {
		return 0, nil
	}
	n, err := strconv.Atoi(strings.TrimPrefix(words[0], "#"))
	if err != nil || n < 1 {
		return 0, usagef(c, "%q is no number of a bottle; they count from 1", words[0])
	}
	return n, nil
}

func addCommand() *cli.Command {
	return lifeCommand(cli.Command{
		Name:      "add",
		Usage:     "record what went in after straining, as it goes in",
		ArgsUsage: "BATCH.toml \"demerara sugar: 100 g\" …",
		Category:  toFinish,
		Description: "Writes at the end of the batch file what went in and how much; the name alone stands for " +
			"all that was planned of it.",
		UsageText: lines(
			`steepbook add demo-book/winter-orange-2.toml "demerara sugar: 100 g"`,
			`steepbook add demo-book/winter-orange-2.toml "lemon juice"`),
		Flags: []cli.Flag{&cli.StringFlag{Name: "into", Usage: "of an open bottle, how much it went into: \"300 ml\""},
			&cli.IntFlag{Name: "bottle", Usage: "which open bottle it went into, where several are: `2`"}},
	}, "addition", func(c *cli.Context, s *session, words []string, at string) (batch.Entry, error) {
		var all batch.NewEach[batch.NewAdded]
		for _, said := range words {
			x := batch.NewAdded{At: at, Into: c.String("into"), Bottle: c.Int("bottle")}
			if c.IsSet("bottle") && x.Bottle < 1 {
				return nil, usagef(c, "%d is no number of a bottle; write --bottle 2", x.Bottle)
			}
			d, err := batch.ParseDraftAddition(said)
			if x.Name, x.Amount = d.Name, d.Amount; err != nil {
				if x.Name, err = s.Batch.Adding(said); err == nil {
					x.Amount, err = s.Rest(x.Name)
				}
				switch {
				case err == nil && x.Amount != "":
				case len(words) > 1:
					err = usagef(c, "%q does not say what went in, and how much; write each within quotation marks of its own: "+
						"steepbook add orange.toml \"demerara sugar: 100~g\" \"lemon juice: 50~ml\"", said)
				case err == nil:
					err = usagef(c, "how much of the %s went in? Write %q", x.Name, x.Name+": 100~g")
				}
			}
			if err != nil {
				return nil, err
			}
			all = append(all, x)
		}
		if len(all) == 0 {
			return nil, usagef(c, "say what went in, and how much, within quotation marks: steepbook add "+
				"orange.toml \"demerara sugar: 100~g\"")
		}
		return all, nil
	})
}

func noteCommand() *cli.Command {
	return lifeCommand(cli.Command{
		Name:      "note",
		Usage:     "record what was seen or done",
		ArgsUsage: "BATCH.toml \"ring at the neck\"",
		Category:  toKeep,
		Description: "Writes a remark with its moment at the end of the batch file; what is a sign of trouble " +
			"is held beside what keep had said.",
		UsageText: lines(
			`steepbook note demo-book/winter-orange-1.toml "ring at the neck"`,
			`steepbook note demo-book/winter-orange-1.toml fizzed --at "20 d"`),
	}, "note", func(c *cli.Context, s *session, words []string, at string) (batch.Entry, error) {
		if strings.TrimSpace(strings.Join(words, " ")) == "" {
			return nil, usagef(c, "what was seen? e.g. steepbook note orange.toml \"ring at the neck\"")
		}
		return batch.NewNote{What: strings.Join(words, " "), At: at}, nil
	})
}

func undoCommand() *cli.Command {
	return &cli.Command{
		Name:      "undo",
		Usage:     "take what was last logged out of the batch file again",
		ArgsUsage: "BATCH.toml",
		Category:  toOthers,
		Description: "Takes out all that the last command logged, where it stands at the end of the file exactly " +
			"as steepbook writes it, and prints it with the line that logs it again; what stands there otherwise is yours and stays.",
		UsageText: lines(
			`steepbook note demo-book/verbena-jar.toml "smells of hay"`,
			`steepbook undo demo-book/verbena-jar.toml`),
		Action: onBatch(func(c *cli.Context, s *session) (*bench.Assessment, error) {
			last, err := batch.Undo(s.Path, "", time.Local)
			if err != nil {
				return nil, asInput(err)
			}
			var g *due.Glance // nil where the file has another fault, which then is said
			fault := s.Reread()
			if fault == nil {
				g, fault = s.Glance()
			}
			if err = logbook.Undone(page(c, s.Units), s.Batch, g, &last); err == nil && fault != nil &&
				!c.Bool("json") {
				return nil, asInput(fault)
			}
			if err != nil {
				return nil, fmt.Errorf("it is taken out of %s, but not all of the answer could be given: %w\n\n%s",
					s.Path, plainly{err}, last.Block)
			}
			if g == nil {
				return nil, nil
			}
			return g.Assessment, nil
		}),
	}
}
