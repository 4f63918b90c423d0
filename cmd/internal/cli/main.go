// Package cli is the command tree: flags, exit statuses and one file per
// command. It holds no formula and no file format.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/argv"
	"steepbook/cmd/internal/book"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// Exit statuses of every command.
const (
	statusAnswered = 0 // the question is answered
	statusFailure  = 1 // an internal or input/output failure
	statusInput    = 2 // what the user typed or wrote is wrong
	statusAct      = 3 // answered, and something is overdue or not to be drunk or kept so
)

// usagef is a fault in what was typed on the command line.
func usagef(c *cli.Context, format string, args ...any) error {
	name := ""
	if c != nil && c.Command != nil && c.Command.Name != "steepbook" {
		name = c.Command.Name
	}
	return &argv.Fault{Problem: fmt.Sprintf(format, args...), Command: name}
}

// inputError is a fault in a file or a folder that the user named.
type inputError struct{ error }

func (e inputError) Unwrap() error { return e.error }

// errActNow is no fault: the answer was given and asks for an act.
var errActNow = errors.New("something is overdue")

// Main runs the program and returns its exit status. It is the only thing that
// the main package calls; args[0] is the program's name.
func Main(ctx context.Context, args []string, in io.Reader, out, errw io.Writer) int {
	counted := &meter{Writer: out}
	app := newApp(in, counted, errw)
	ordered, err := argv.Order(app, args)
	if err == nil {
		err = app.RunContext(ctx, ordered)
	}
	if counted.err != nil && (err == nil || errors.Is(err, errActNow) || errors.Is(err, counted.err)) {
		err = counted.failed()
	}
	system, _ := app.Metadata[unitsKey].(quantity.System)
	return report(err, faultPage(argv.On(app.Flags, ordered, "json"), system, counted, errw))
}

// unitsKey is under which the command line keeps the units of the maker, once they
// are known.
const unitsKey = "units"

func newApp(in io.Reader, out, errw io.Writer) *cli.App {
	app := &cli.App{
		Name:            "steepbook",
		HideHelp:        true, // the command help says it
		HideHelpCommand: true,
		HideVersion:     true,
		// "orange zest, fine zest: 24 g" is one value, commas and all.
		DisableSliceFlagSeparator: true,
		Reader:                    in,
		Writer:                    out,
		ErrWriter:                 errw,
		OnUsageError:              onUsageError,
		ExitErrHandler:            func(*cli.Context, error) {},
		Flags:                     globalFlags(),
		Commands:                  commands(),
		Action: func(c *cli.Context) error {
			if c.NArg() == 0 {
				return programHelp(c)
			}
			word := c.Args().First()
			return usagef(nil, "there is no command %q%s", word, instead(c.App, word))
		},
	}
	for _, cmd := range app.Commands {
		cmd.OnUsageError = onUsageError
		cmd.HideHelp, cmd.HideHelpCommand = true, true
	}
	return app
}

// instead is what was meant by a word that is no command, behind that sentence: the name that it is a slip
// away from, else the few commands whose line in the list has a word that so begins; "" where there is none.
func instead(app *cli.App, word string, more ...string) string {
	var list []string
	if near, ok := strict.Nearest(word, append(commandNames(app), more...)); ok {
		list = []string{near}
	} else {
		for _, cmd := range app.Commands {
			if strings.Contains(" "+cmd.Usage, " "+word) {
				list = append(list, cmd.Name)
			}
		}
	}
	if len(list) == 0 || len(list) > 3 { // a word that stands in more lines means none of them; judgement
		return ""
	}
	return fmt.Sprintf("; did you mean %s?", quantity.Or(list))
}

func commandNames(app *cli.App) []string {
	var names []string
	for _, cmd := range app.Commands {
		names = append(names, cmd.Name)
	}
	return names
}

// onUsageError turns the flag package's words into one sentence of ours.
func onUsageError(c *cli.Context, err error, _ bool) error {
	text := err.Error()
	if flag, ok := strings.CutPrefix(text, "flag provided but not defined: "); ok {
		var known []string
		for _, f := range append(c.App.Flags, c.Command.Flags...) {
			for _, n := range f.Names() {
				if len(n) > 1 {
					known = append(known, n)
				}
			}
		}
		name := strings.TrimLeft(flag, "-")
		if near, ok := strict.Nearest(name, known); ok {
			return usagef(c, "there is no flag --%s; did you mean --%s?", name, near)
		}
		return usagef(c, "there is no flag --%s", name)
	}
	if value, rest, ok := strings.Cut(strings.TrimPrefix(text, "invalid boolean value "), " for -"); ok {
		name, _, _ := strings.Cut(rest, ":")
		return usagef(c, "--%s is true or false, not %s", name, value)
	}
	return usagef(c, "%s", text)
}

func globalFlags() []cli.Flag {
	return []cli.Flag{
		&cli.BoolFlag{Name: "json", Usage: "print the answer, or the error, as JSON on the standard output"},
		&cli.StringFlag{Name: "units", Usage: "metric or us (default: as the batch, or the house or most of a book)"},
		&cli.StringFlag{Name: "now", Usage: "answer as of `T`: \"yesterday 9 pm\", 2026-11-21T08:00, or " +
			"\"14 h\" after the batch's start"},
	}
}

// surplus refuses words that a command has no use for.
func surplus(c *cli.Context, most int) error {
	if c.NArg() > most {
		if word := c.Args().Get(most); most == 1 && strings.HasSuffix(word, ".toml") {
			return usagef(c, "%q is a second batch, and %s is of one: call it once for each", word, c.Command.Name)
		}
		return usagef(c, "%q is one word too many; a name of several words wants "+
			"quotes, like \"orange zest\"", c.Args().Get(most))
	}
	return nil
}

// oneFile returns the command's only argument, a batch file.
func oneFile(c *cli.Context) (string, error) {
	if c.NArg() == 0 {
		return "", usagef(c, "which batch? e.g. steepbook %s orange.toml", c.Command.Name)
	}
	if err := surplus(c, 1); err != nil {
		return "", err
	}
	return c.Args().First(), nil
}

// oneFolder returns the command's only argument, a folder, or else the usual one.
func oneFolder(c *cli.Context, usual string) (string, error) {
	if c.NArg() == 0 {
		return usual, nil
	}
	return c.Args().First(), surplus(c, 1)
}

// clock reads --now; started is the batch's start, for "14 h", zero where there
// are many.
func clock(c *cli.Context, started time.Time, system quantity.System) (time.Time, error) {
	text := strings.TrimSpace(c.String("now"))
	if text == "" {
		return time.Now(), nil
	}
	if d, err := quantity.ParseDuration(text); err == nil && !started.IsZero() {
		return started.Add(d), nil
	}
	or := "; or write \"14 h\" for 14 hours after the start"
	if started.IsZero() {
		or = " (there are many starts to count from)"
	}
	return typedMoment(c, "now", or, batch.Reckoning{Now: time.Now(), System: system})
}

// typedMoment reads a flag that is a moment as people say it; or is what else it
// may be.
func typedMoment(c *cli.Context, flag, or string, r batch.Reckoning) (time.Time, error) {
	r.Loc = time.Local
	m, said, err := r.Moment(c.String(flag))
	switch {
	case err == nil:
		return m.Time, nil
	case said:
		return time.Time{}, usagef(c, "--%s: %s", flag, err)
	}
	right := `2026-11-21T08:00 or "yesterday 9 pm"` + or
	if r.Side == batch.Next {
		right = `a day that comes, 2026-12-20 or "20 Dec"` + or
	}
	return time.Time{}, usagef(c, "--%s %q is no moment; write %s", flag, c.String(flag), right)
}

// units reads --units over those of what is asked about, and keeps them for report.
func units(c *cli.Context, system quantity.System) (quantity.System, error) {
	switch text := c.String("units"); text {
	case "":
	case "us":
		system = quantity.US
	case "metric":
		system = quantity.Metric
	default:
		return 0, usagef(c, "--units is metric or us, not %q", text)
	}
	if c.App.Metadata == nil {
		c.App.Metadata = map[string]any{}
	}
	c.App.Metadata[unitsKey] = system
	return system, nil
}

// unitsOf is units for a folder with these batches.
func unitsOf(c *cli.Context, dir string, all []*batch.Batch) (quantity.System, error) {
	house, err := book.House(dir)
	if err != nil {
		house = nil // whoever reads the rules says so
	}
	return units(c, book.Units(house, all))
}

// asInput marks errors about a file that the user named.
func asInput(err error) error {
	var fault *strict.Error
	if err == nil || errors.As(err, &fault) {
		return err // a fault in a file carries its status already
	}
	return inputError{err}
}
