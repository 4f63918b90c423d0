package cli

import (
	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/textout"
)

func steepCommand() *cli.Command {
	return &cli.Command{
		Name:      "steep",
		Usage:     "when to pull each botanical, what limits it, when to taste next",
		ArgsUsage: "BATCH.toml",
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "together", Usage: "when to add each thing so that all are right when the jar is strained"},
		},
		Action: func(c *cli.Context) error {
			s, err := openOne(c)
			if err != nil {
				return err
			}
			a, err := s.steeped()
			if err != nil {
				return err
			}
			if c.Bool("together") {
				return textout.Together(page(c, s.units), a)
			}
			if err := textout.Steep(page(c, s.units), a); err != nil {
				return err
			}
			if a.SteepAct() {
				return errActNow
			}
			return nil
		},
	}
}
