package cli

import (
	"errors"
	"strings"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/argv"
	"steepbook/cmd/internal/demo"
	"steepbook/cmd/internal/view"
)

func demoCommand() *cli.Command {
	return &cli.Command{
		Name:      "demo",
		Usage:     "write the demo book and run the whole job on it",
		ArgsUsage: "[FOLDER]",
		Category:  toPlan,
		Description: "Writes an invented book of a small bar's winter shelf into a folder (demo-book), and asks " +
			"it every question once. What you changed in it stays as you have it.",
		UsageText: lines(
			"steepbook demo",
			"steepbook demo winter",
			"steepbook demo winter --json"),
		Action: func(c *cli.Context) error {
			dir, err := oneFolder(c, "demo-book")
			if err != nil {
				return err
			}
			files, kept, err := demo.Write(dir, createNew)
			if err != nil {
				return err
			}
			if c.Bool("json") {
				return view.Files(page(c, 0), "", files)
			}
			return demo.Tour(c.App.Writer, dir, kept, func(args []string) error { return stop(c, args) })
		},
	}
}

// stop runs one command of the tour within this process. An answer that asks for an act
// is an answer here.
func stop(c *cli.Context, args []string) error {
	app := newApp(strings.NewReader(""), c.App.Writer, c.App.ErrWriter)
	ordered, err := argv.Order(app, append([]string{"steepbook"}, args...))
	if err != nil {
		return err
	}
	if err := app.RunContext(c.Context, ordered); err != nil && !errors.Is(err, errActNow) {
		return err
	}
	return nil
}
