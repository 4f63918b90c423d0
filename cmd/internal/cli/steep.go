package cli

import (
	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/view/steep"
)

func steepCommand() *cli.Command {
	return &cli.Command{
		Name:      "steep",
		Usage:     "when to pull each botanical, what limits it, when to taste next",
		ArgsUsage: "BATCH.toml",
		Category:  toSteep,
		Description: "Gives one order for each flavour (leave, taste, pull, strain), when and why, and says when to " +
			"taste next.",
		UsageText: lines(
			"steepbook steep demo-book/winter-orange-2.toml",
			"steepbook steep demo-book/winter-orange-2.toml --together",
			"steepbook steep demo-book/verbena-jar.toml --json"),
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "together", Usage: "when to add each thing so that all are right " +
				"when the jar is strained"},
			whyFlag("the times since each went in, what ends its steep, and how much to take next time"),
		},
		Action: onBatch(func(c *cli.Context, s *session) (*bench.Assessment, error) {
			a, err := s.Steeped()
			if err != nil {
				return nil, err
			}
			if c.Bool("together") {
				return a, steep.Together(page(c, s.Units), a, c.Bool("why"))
			}
			return a, steep.Print(page(c, s.Units), a, c.Bool("why"))
		}),
	}
}
