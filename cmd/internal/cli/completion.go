package cli

import (
	"slices"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/completion"
)

// askedByScript is what the scripts of the shells ask.
const askedByScript = "words"

func completionCommand() *cli.Command {
	return &cli.Command{
		Name:      "completion",
		Usage:     "a script that lets the shell complete commands, flags, batches and botanicals",
		ArgsUsage: "bash, zsh or fish",
		Category:  toOthers,
		Description: "Prints a script for your shell, whose first lines say where it goes. It then completes commands, " +
			"flags, batch files, the botanicals of the batch, and for lookup the names of the library.",
		UsageText: lines(
			"steepbook completion bash",
			"steepbook completion zsh",
			"steepbook completion fish"),
		Action: func(c *cli.Context) error {
			if c.Bool("json") {
				return usagef(c, "a script is no JSON; leave --json out")
			}
			shell := c.Args().First()
			if shell == askedByScript {
				line := completion.Line{Every: flagsOf(globalFlags())}
				for _, cmd := range c.App.Commands {
					line.Commands = append(line.Commands, commandHelp(cmd))
				}
				return line.Write(c.App.Writer, c.Args().Tail())
			}
			if err := surplus(c, 1); err != nil {
				return err
			}
			if !slices.Contains(completion.Shells, shell) {
				return usagef(c, "for which shell? write steepbook completion %s", orWords(completion.Shells))
			}
			script, err := completion.Script(shell)
			if err != nil {
				return err
			}
			_, err = c.App.Writer.Write(script)
			return err
		},
	}
}
