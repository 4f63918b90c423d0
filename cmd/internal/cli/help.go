package cli

import (
	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/view"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// onBatchFile is the word for help on the keys of the batch file.
const onBatchFile = "batch"

func helpCommand() *cli.Command {
	return &cli.Command{
		Name:      "help",
		Usage:     "what a command takes; help batch: what may stand in a batch file",
		ArgsUsage: "[COMMAND or " + onBatchFile + "]",
		Action: func(c *cli.Context) error {
			if err := surplus(c, 1); err != nil {
				return err
			}
			switch word := c.Args().First(); {
			case word == "":
				return cli.ShowAppHelp(c)
			case word == onBatchFile:
				system, err := units(c, quantity.Metric)
				if err != nil {
					return err
				}
				return view.BatchHelp(page(c, system), batch.Keys())
			case c.App.Command(word) != nil:
				return cli.ShowCommandHelp(c, word)
			default:
				if near, ok := strict.Nearest(word, append(commandNames(c.App), onBatchFile)); ok {
					return usagef(c, "there is no help on %q; did you mean %q?", word, near)
				}
				return usagef(c, "there is no help on %q", word)
			}
		},
	}
}
