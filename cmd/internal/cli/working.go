package cli

import (
	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/view/working"
)

func workingCommand() *cli.Command {
	return &cli.Command{
		Name:      "working",
		Usage:     "show the working of steep, blend and keep step by step, with sources",
		ArgsUsage: "BATCH.toml",
		Category:  toLearn,
		Description: "Shows how the answers of steep, blend and keep are worked out, step by step, with formulas, " +
			"values and sources.",
		UsageText: lines(
			"steepbook working demo-book/winter-orange-2.toml",
			"steepbook working demo-book/bay-grapefruit-dram.toml --units us"),
		Flags: []cli.Flag{whyFlag("every step, with formulas, values and sources")},
		Action: onBatch(func(c *cli.Context, s *session) (*bench.Assessment, error) {
			a, err := s.Steeped()
			if err != nil {
				return nil, err
			}
			a.Judge()
			return a, working.Print(page(c, s.Units), a, s.Library, c.Bool("why"))
		}),
	}
}
