package cli

import (
	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/textout"
)

func workingCommand() *cli.Command {
	return &cli.Command{
		Name:      "working",
		Usage:     "show the working of steep, blend and keep step by step, with sources",
		ArgsUsage: "BATCH.toml",
		Action: func(c *cli.Context) error {
			s, err := openOne(c)
			if err != nil {
				return err
			}
			a, err := s.steeped()
			if err != nil {
				return err
			}
			a.Judge()
			return textout.Working(page(c, s.units), a, s.lib)
		},
	}
}
