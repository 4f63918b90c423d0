package cli

import "github.com/urfave/cli/v2"

// commands are all of them, in the order of an evening; each has its part of the work as
// Category, what it answers as Description, and lines to try as UsageText.
func commands() []*cli.Command {
	return []*cli.Command{
		demoCommand(),
		newCommand(),
		checkCommand(),
		scaleCommand(),
		lookupCommand(),

		steepCommand(),
		tasteCommand(),
		pullCommand(),
		chartCommand(),
		pageCommand(),

		strainCommand(),
		blendCommand(),
		addCommand(),
		bottleCommand(),

		keepCommand(),
		labelCommand(),
		calendarCommand(),
		openCommand(),
		emptyCommand(),
		noteCommand(),
		bookCommand(),

		compareCommand(),
		workingCommand(),
		exportCommand(),
		importCommand(),
		serveCommand(),

		undoCommand(),
		helpCommand(),
		versionCommand(),
		completionCommand(),
	}
}
