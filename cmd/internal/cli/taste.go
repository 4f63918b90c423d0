package cli

import (
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/view/steep"
	"steepbook/data/batch"
	"steepbook/data/quantity"
)

func tasteCommand() *cli.Command {
	return &cli.Command{
		Name:      "taste",
		Usage:     "log a tasting and see what it changed",
		ArgsUsage: "BATCH.toml \"orange zest=4\" bitter=1",
		Category:  toSteep,
		Description: "Writes your scores at the end of the batch file and says what they changed. 0 is absent, " +
			"6 is right for a lead flavour, 10 is nothing else.",
		UsageText: lines(
			`steepbook taste demo-book/winter-orange-2.toml "blood orange zest=4" bitter=1`,
			`steepbook taste demo-book/winter-orange-2.toml zest=4 --sample 1:3 --at "12 h"`,
			`steepbook taste demo-book/winter-orange-2.toml pepper=1 --taster B --words "warm, late"`),
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "at", Usage: "when it was tasted: \"6 h\" after the start, \"yesterday 9 " +
				"pm\" or 2026-11-21T00:05 (default: now)"},
			&cli.StringFlag{Name: "sample", Usage: "`JAR:OTHER` parts of the sample, such as 1:3 " +
				"(default: neat from the jar)"},
			&cli.StringFlag{Name: "taster", Usage: "who tasted"},
			&cli.StringFlag{Name: "words", Usage: "what it was like, in a few words"},
			againFlag(),
			whyFlag("how each time has moved, and what the tasting told"),
		},
		Action: func(c *cli.Context) error {
			if c.NArg() < 2 {
				return usagef(c, "a tasting wants a batch and at least one score, e.g. steepbook taste "+
					"orange.toml \"orange zest=4\" bitter=1")
			}
			path := c.Args().First()
			s, err := open(c, path)
			if err != nil {
				return err
			}
			entry := batch.NewTasting{Sample: c.String("sample"), Taster: c.String("taster"),
				Words: c.String("words")}
			for _, arg := range c.Args().Slice()[1:] {
				score, err := parseScore(c, arg)
				if err != nil {
					return err
				}
				if score.Name, err = s.Batch.Taste(score.Name); err != nil {
					return err
				}
				entry.Scores = append(entry.Scores, score)
			}
			if entry.At, err = s.at(c, "tasting"); err != nil {
				return err
			}
			return s.steepLogged(c, entry, func(before, after *bench.Assessment) error {
				return steep.Tasted(page(c, s.Units), before, after, entry, inWords(c, entry.At),
					c.Bool("why"))
			})
		},
	}
}

func pullCommand() *cli.Command {
	return &cli.Command{
		Name:      "pull",
		Usage:     "record that something came out of the jar",
		ArgsUsage: "BATCH.toml \"green cardamom\" …",
		Category:  toSteep,
		Description: "Writes at the end of the batch file that a botanical is out, or several, and says how " +
			"strong it was then; from there on its curve stands still.",
		UsageText: lines(
			`steepbook pull demo-book/winter-orange-2.toml "green cardamom"`,
			`steepbook pull demo-book/winter-orange-2.toml zest --at "13 h"`),
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "at", Usage: "when it came out: \"20 h\" after the start, \"yesterday 9 " +
				"pm\" or 2026-11-21T14:00 (default: now)"},
		},
		Action: func(c *cli.Context) error {
			if c.NArg() < 2 {
				return usagef(c, "say which botanical came out, e.g. steepbook pull "+
					"orange.toml \"green cardamom\"")
			}
			path := c.Args().First()
			s, err := open(c, path)
			if err != nil {
				return err
			}
			entry := batch.NewPull{Names: c.Args().Slice()[1:]}
			for i, typed := range entry.Names {
				if entry.Names[i], err = s.Batch.Steeping(typed); err != nil {
					return err
				}
			}
			if entry.At, err = s.at(c, "pull"); err != nil {
				return err
			}
			return s.steepLogged(c, entry, func(_, after *bench.Assessment) error {
				return steep.Pulled(page(c, s.Units), after, entry.Names, inWords(c, entry.At))
			})
		},
	}
}

// steepLogged appends to the batch and answers with what it changed of the steep.
func (s *session) steepLogged(c *cli.Context, entry batch.Entry,
	answer func(before, after *bench.Assessment) error) error {
	before, err := s.Steeped()
	if err != nil {
		return err
	}
	return s.log(c, entry, func() error {
		after, err := s.Steeped()
		if err != nil {
			return err
		}
		return actNow(due.MustAct(after), answer(before, after))
	})
}

// parseScore reads "orange zest=4".
func parseScore(c *cli.Context, text string) (batch.Score, error) {
	i := strings.LastIndexAny(text, "=＝")
	if i <= 0 {
		return batch.Score{}, usagef(c, "%q is no score; write name=score, like \"orange zest=4\"", text)
	}
	name, value := strings.TrimSpace(text[:i]), strings.TrimLeft(quantity.Narrow(text[i:]), "= ")
	v, err := strconv.ParseFloat(strings.Replace(value, ",", ".", 1), 64)
	if err != nil || v != v {
		return batch.Score{}, usagef(c, "%q is no score from 0 to 10; write %s=4", value, name)
	}
	if name == "" {
		return batch.Score{}, usagef(c, "%q names nothing; write name=score, like \"orange zest=4\"", text)
	}
	if v < 0 || v > 10 {
		return batch.Score{}, usagef(c, "a score runs from 0 (absent) to 10 (nothing "+
			"else), so %s=%s cannot be", name, value)
	}
	return batch.Score{Name: name, Value: v}, nil
}
