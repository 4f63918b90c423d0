package cli

import (
	"runtime/debug"
	"strings"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/view/manual"
	"steepbook/data/batch"
	"steepbook/data/pattern"
	"steepbook/data/quantity"
)

// The parts of the work, in the order of an evening: the Category of each command.
const (
	toPlan   = "Plan"
	toSteep  = "Steep and taste"
	toFinish = "Blend and bottle"
	toKeep   = "Keep and serve"
	toLearn  = "Learn for the next one"
	toOthers = "Around it"
)

var stages = []string{toPlan, toSteep, toFinish, toKeep, toLearn, toOthers}

// onBatchFile is the word for help on the keys of the batch file.
const onBatchFile = "batch"

const (
	about = "The bench book that does the maths for home-made infusions: when to pull each " +
		"botanical, what is in the bottle, and where it keeps until when. A book is a folder, a batch is " +
		"one TOML file in it. Begin with steepbook demo, which shows the whole job on an invented book, or with " +
		"steepbook new orange.toml; steepbook help batch lists what may stand in that file."
	helpLast = "steepbook COMMAND --help says more, with lines to try. Exit status: 0 answered, 1 failure, 2 the " +
		"input is wrong, 3 answered, and something is overdue or must not be drunk or kept as it stands. With " +
		"--json there is one document on the standard output, the answer or {\"error\": …}."
)

func helpCommand() *cli.Command {
	return &cli.Command{
		Name:      "help",
		Usage:     "what a command takes, with lines to try; help batch: what may stand in a batch file",
		ArgsUsage: "[COMMAND or " + onBatchFile + "]",
		Category:  toOthers,
		Description: "Says what a command answers, shows lines to try on the demo book, and lists its flags. " +
			"help batch lists every key of the batch file.",
		UsageText: lines(
			"steepbook help taste",
			"steepbook help batch",
			"steepbook taste --help"),
		Action: func(c *cli.Context) error {
			if err := surplus(c, 1); err != nil {
				return err
			}
			word := c.Args().First()
			if word == "" {
				return programHelp(c)
			}
			system, err := units(c, quantity.Metric)
			if err != nil {
				return err
			}
			p := page(c, system)
			switch cmd := c.App.Command(word); {
			case word == onBatchFile:
				return manual.OfBatchFile(p, batch.Keys())
			case cmd != nil:
				return manual.OfCommand(p, commandHelp(cmd), flagsOf(globalFlags()))
			}
			return usagef(c, "there is no help on %q%s", word, instead(c.App, word, onBatchFile))
		},
	}
}

// programHelp lists all commands.
func programHelp(c *cli.Context) error {
	system, err := units(c, quantity.Metric)
	if err != nil {
		return err
	}
	return manual.OfProgram(page(c, system), about, manuals(c.App), flagsOf(globalFlags()), helpLast)
}

// lines joins what may be typed.
func lines(list ...string) string { return strings.Join(list, "\n") }

// manuals is the commands by the parts of the work.
func manuals(app *cli.App) []manual.Stage {
	var out []manual.Stage
	for _, name := range stages {
		s := manual.Stage{Name: name}
		for _, cmd := range app.Commands {
			if cmd.Category == name {
				s.Commands = append(s.Commands, commandHelp(cmd))
			}
		}
		out = append(out, s)
	}
	return out
}

func commandHelp(cmd *cli.Command) manual.Command {
	m := manual.Command{Name: cmd.Name, Takes: cmd.ArgsUsage, Short: cmd.Usage, Answers: cmd.Description,
		Flags: flagsOf(cmd.Flags)}
	if cmd.UsageText != "" {
		m.Examples = strings.Split(cmd.UsageText, "\n")
	}
	return m
}

// taken is what a flag takes, where its text names it.
var taken = pattern.New("`([^`]+)`")

func flagsOf(list []cli.Flag) []manual.Flag {
	var out []manual.Flag
	for _, f := range list {
		said := manual.Flag{Name: f.Names()[0]}
		if len(f.Names()) > 1 {
			said.Short = f.Names()[1]
		}
		if f, ok := f.(cli.DocGenerationFlag); ok {
			said.Says = f.GetUsage()
			if f.TakesValue() {
				said.Takes = strings.ToUpper(said.Name)
			}
			if found := taken().FindStringSubmatch(said.Says); found != nil {
				said.Takes = found[1]
				said.Says = strings.ReplaceAll(said.Says, "`", "")
			}
		}
		out = append(out, said)
	}
	return out
}

func versionCommand() *cli.Command {
	return &cli.Command{
		Name:        "version",
		Usage:       "which steepbook this is",
		Category:    toOthers,
		Description: "Prints the version and the revision that this program was built from.",
		UsageText:   lines("steepbook version", "steepbook --version", "steepbook version --json"),
		Action: func(c *cli.Context) error {
			if err := surplus(c, 0); err != nil {
				return err
			}
			version, revision, toolchain := "(devel)", "", "unknown"
			if info, ok := debug.ReadBuildInfo(); ok {
				if info.Main.Version != "" {
					version = info.Main.Version
				}
				toolchain = info.GoVersion
				for _, s := range info.Settings {
					switch {
					case s.Key == "vcs.revision":
						revision = s.Value + revision
					case s.Key == "vcs.modified" && s.Value == "true":
						revision += " with changes"
					}
				}
			}
			return manual.Version(page(c, 0), version, revision, toolchain)
		},
	}
}
