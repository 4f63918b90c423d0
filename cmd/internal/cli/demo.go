package cli

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/view"
	"steepbook/data/disk"
)

// The demo book is invented: a small bar's winter shelf.
//
//go:embed demo/*.toml
var demoBook embed.FS

// demoNow is the moment the tour stands at, so that it reads the same on every
// day: the morning after the second try was started.
const demoNow = "2026-11-21T08:00"

// stop is one station of the tour: what a maker asks, and what is typed.
type stop struct {
	question string
	args     []string
}

func tour(dir string) []stop {
	in := func(name string) string { return filepath.Join(dir, name) }
	return []stop{
		{"Are my files right, and what would make the answers sharper?",
			[]string{"check", in("winter-orange-2.toml")}},
		{"Fourteen hours in: when do I pull each thing?",
			[]string{"steep", in("winter-orange-2.toml"), "--now", demoNow}},
		{"I just tasted the jar. What did that change?",
			[]string{"taste", in("winter-orange-2.toml"), "--sample", "25:22.5", "green cardamom=2.5",
				"long pepper=0.5", "bitter=0.5", "--now", demoNow}},
		{"How strong, how sweet, how much will it be?",
			[]string{"blend", in("winter-orange-2.toml")}},
		{"Where do I keep it, and until when?",
			[]string{"keep", in("winter-orange-2.toml"), "--now", demoNow}},
		{"And the dram without juice: may that one stand on the shelf?",
			[]string{"keep", in("bay-grapefruit-dram.toml"), "--now", demoNow}},
		{"A jar was forgotten. Is it past saving?",
			[]string{"steep", in("verbena-jar.toml"), "--now", demoNow}},
		{"Let me see it.",
			[]string{"chart", in("winter-orange-2.toml"), "--now", demoNow}},
	}
}

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
			if err := surplus(c, 1); err != nil {
				return err
			}
			dir := "demo-book"
			if c.NArg() == 1 {
				dir = c.Args().First()
			}
			kept, err := writeDemo(dir)
			if err != nil {
				return err
			}
			if c.Bool("json") {
				return demoJSON(c, dir)
			}
			return guide(c, dir, kept)
		},
	}
}

// writeDemo writes the book's files and returns the names of those that were
// there already and differ: they are the user's now and stay as they are.
func writeDemo(dir string) (kept []string, err error) {
	if err := disk.MakeFolder(dir); err != nil {
		return nil, err
	}
	files, err := demoFiles()
	if err != nil {
		return nil, err
	}
	for _, name := range files {
		src, err := demoBook.ReadFile("demo/" + name)
		if err != nil {
			return nil, err
		}
		path := filepath.Join(dir, name)
		have, err := os.ReadFile(path)
		switch {
		case err == nil && !bytes.Equal(have, src):
			kept = append(kept, name)
		case errors.Is(err, fs.ErrNotExist):
			if err := undisturbed(func() error { return disk.Create(path, src) }); err != nil {
				return nil, err
			}
		case err != nil:
			return nil, disk.Unread(path, err)
		}
	}
	return kept, nil
}

func demoFiles() ([]string, error) {
	entries, err := demoBook.ReadDir("demo")
	if err != nil {
		return nil, err
	}
	names := make([]string, len(entries))
	for i, e := range entries {
		names[i] = e.Name()
	}
	return names, nil
}

// guide runs the tour: the question, the command, the answer.
func guide(c *cli.Context, dir string, kept []string) error {
	out := c.App.Writer
	fmt.Fprintf(out, "The demo book is in %s: a small bar's winter shelf, invented, one file a batch.\n", dir)
	fmt.Fprintf(out, "Each answer below is what you get by typing the line after the $ sign.\n")
	for _, name := range kept {
		fmt.Fprintf(out, "(%s was there and differs from the demo's: it stays as you have it.)\n", name)
	}
	for i, s := range tour(dir) {
		if s.args[0] == "taste" && len(kept) > 0 {
			continue // it has been tasted on an earlier tour
		}
		fmt.Fprintf(out, "\n%s\n%d. %s\n$ steepbook %s\n\n", strings.Repeat("-", 72), i+1, s.question,
			view.ShellLine(s.args))
		if err := runStop(c, s.args); err != nil {
			return err
		}
	}
	fmt.Fprintf(out, "\n%s\nNow your own: steepbook new orange.toml\n", strings.Repeat("-", 72))
	return nil
}

// runStop runs one command of the tour within this process. An answer that
// asks for an act is an answer here.
func runStop(c *cli.Context, args []string) error {
	app := newApp(strings.NewReader(""), c.App.Writer, c.App.ErrWriter)
	ordered, err := reorder(app, append([]string{"steepbook"}, args...))
	if err != nil {
		return err
	}
	if err := app.RunContext(c.Context, ordered); err != nil && !errors.Is(err, errActNow) {
		return err
	}
	return nil
}

// demoJSON lists what was written, for programs that want to go on.
func demoJSON(c *cli.Context, dir string) error {
	files, err := demoFiles()
	if err != nil {
		return err
	}
	for i := range files {
		files[i] = filepath.Join(dir, files[i])
	}
	return view.Files(page(c, 0), "", files)
}
