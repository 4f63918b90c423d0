package cli

import "github.com/urfave/cli/v2"

func commands() []*cli.Command {
	return []*cli.Command{
		demoCommand(),
		newCommand(),
		checkCommand(),
		tasteCommand(),
		pullCommand(),
		steepCommand(),
		blendCommand(),
		keepCommand(),
		chartCommand(),
		compareCommand(),
		bookCommand(),
		scaleCommand(),
		lookupCommand(),
		workingCommand(),
		helpCommand(),
	}
}
