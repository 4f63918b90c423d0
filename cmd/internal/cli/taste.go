package cli

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/view"
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
			return s.logged(func() error { return batch.AppendTasting(path, entry, time.Local) },
				func(before, after *bench.Assessment) error {
					return view.Tasted(page(c, s.Units), before, after, entry, inWords(c, entry.At))
				})
		},
	}
}

func pullCommand() *cli.Command {
	return &cli.Command{
		Name:      "pull",
		Usage:     "record that something came out of the jar",
		ArgsUsage: "BATCH.toml \"green cardamom\"",
		Category:  toSteep,
		Description: "Writes at the end of the batch file that a botanical is out, and says how strong it was " +
			"then; from there on its curve stands still.",
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
			if err := surplus(c, 2); err != nil {
				return err
			}
			path := c.Args().First()
			s, err := open(c, path)
			if err != nil {
				return err
			}
			name, err := s.Batch.Steeping(c.Args().Get(1))
			if err != nil {
				return err
			}
			entry := batch.NewPull{Name: name}
			if entry.At, err = s.at(c, "pull"); err != nil {
				return err
			}
			return s.logged(func() error { return batch.AppendPull(path, entry, time.Local) },
				func(_, after *bench.Assessment) error {
					return view.Pulled(page(c, s.Units), after, name, inWords(c, entry.At))
				})
		},
	}
}

// at reads --at as the batch file will have it: a span since the start stays as
// it was typed, a moment in words becomes the date and clock that it is now. What
// has not happened yet is refused, what is no moment left to the batch file, which
// says so.
func (s *session) at(c *cli.Context, what string) (string, error) {
	text := strings.TrimSpace(c.String("at"))
	if text == "" {
		return stamp(s.Now), nil
	}
	when := s.Batch.Started
	d, err := quantity.ParseDuration(text)
	if when = when.Add(d); err != nil {
		m, said, err := batch.Reckoning{Loc: time.Local, Now: s.Now, Side: batch.Last,
			System: s.Units}.Moment(text)
		if err != nil {
			if said {
				return "", usagef(c, "--at: %s", err)
			}
			return text, nil
		}
		if _, err := batch.ParseMoment(text, time.Local); err != nil { // it hangs on now
			text = m.Stamp()
		}
		when = m.Time
	}
	if !when.After(s.Now.Add(time.Minute)) {
		return text, nil
	}
	const form = "2~Jan 2006~15:04"
	return "", inputError{fmt.Errorf("a %s at %s has not happened yet: it is %s; log "+
		"it then, or correct --at", what, when.Format(form), s.Now.In(when.Location()).Format(form))}
}

// inWords reports whether --at said in words what is logged as a date and a clock.
func inWords(c *cli.Context, logged string) bool {
	return c.IsSet("at") && strings.TrimSpace(c.String("at")) != logged
}

// logged appends to the batch and answers with what changed.
func (s *session) logged(add func() error,
	answer func(before, after *bench.Assessment) error) error {
	before, err := s.Steeped()
	if err != nil {
		return err
	}
	if err := add(); err != nil {
		return asInput(err)
	}
	if err := s.Reread(); err != nil {
		return asInput(err)
	}
	after, err := s.Steeped()
	if err != nil {
		return err
	}
	return actNow(after.SteepAct(), answer(before, after))
}

// parseScore reads "orange zest=4".
func parseScore(c *cli.Context, text string) (batch.Score, error) {
	i := strings.LastIndex(text, "=")
	if i <= 0 {
		return batch.Score{}, usagef(c, "%q is no score; write name=score, like \"orange zest=4\"", text)
	}
	name, value := strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+1:])
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

// stamp writes a moment as the batch file has it: local time, to the minute.
func stamp(t time.Time) string { return t.In(time.Local).Format("2006-01-02T15:04:00") }
