package cli

import (
	"embed"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/book"
	"steepbook/data/batch"
	"steepbook/shelf"
)

// The scripts of the shells; each asks completion words what may come next.
//
//go:embed completion
var completionScripts embed.FS

// shells are those with a script, and askedByScript is what the scripts ask.
var shells = []string{"bash", "zsh", "fish"}

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
			shell := c.Args().First()
			if shell == askedByScript {
				return writeWords(c.App.Writer, completed(c.App, c.Args().Tail()))
			}
			if err := surplus(c, 1); err != nil {
				return err
			}
			if !slices.Contains(shells, shell) {
				return usagef(c, "for which shell? write steepbook completion %s", orWords(shells))
			}
			script, err := completionScripts.ReadFile("completion/steepbook." + shell)
			if err != nil {
				return err
			}
			_, err = c.App.Writer.Write(script)
			return err
		},
	}
}

// candidate is a word that may come next; what ends in = or / goes on.
type candidate struct{ word, says string }

func writeWords(w io.Writer, list []candidate) error {
	for _, x := range list {
		if strings.ContainsAny(x.word, "\t\r\n") {
			continue // no line of its own
		}
		if x.says != "" {
			x.says = "\t" + x.says
		}
		if _, err := fmt.Fprintf(w, "%s%s\n", x.word, x.says); err != nil {
			return err
		}
	}
	return nil
}

// completed is what may stand for the last of some words, which is not finished. What
// cannot be known is not offered; nothing here is an error.
func completed(app *cli.App, words []string) []candidate {
	if len(words) == 0 {
		words = []string{""}
	}
	for i, w := range words {
		words[i] = unquoted(w)
	}
	last := words[len(words)-1]
	typed := words[:len(words)-1]
	var out []candidate
	for _, x := range possible(app, typed, last) {
		if strings.HasPrefix(strings.ToLower(x.word), strings.ToLower(last)) {
			out = append(out, x)
		}
	}
	return out
}

// unquoted is a word as bash passes it on, without marks and backslashes; a mark that
// is still open is one too.
func unquoted(word string) string {
	if mark := word[:min(1, len(word))]; mark == `"` || mark == "'" {
		return strings.TrimSuffix(word[1:], mark)
	}
	var b strings.Builder
	for i := 0; i < len(word); i++ {
		if word[i] == '\\' && i+1 < len(word) && os.PathSeparator != '\\' {
			i++
		}
		b.WriteByte(word[i])
	}
	return b.String()
}

// possible is what may stand behind some words; last is what is typed of it.
func possible(app *cli.App, typed []string, last string) []candidate {
	var cmd *cli.Command
	var args []string
	flags := globalFlags()
	for i := 0; i < len(typed); i++ {
		switch w := typed[i]; {
		case isFlag(w):
			f := find(flags, strings.TrimLeft(w, "-"))
			if _, no := f.(*cli.BoolFlag); f == nil || no {
				continue
			}
			if i++; i == len(typed) {
				return valuesOf(f, last)
			}
		case cmd == nil:
			if cmd = app.Command(w); cmd == nil {
				return nil
			}
			flags = append(flags, cmd.Flags...)
		default:
			args = append(args, w)
		}
	}
	switch {
	case strings.HasPrefix(last, "-"):
		out := []candidate{{"--help", "what the command takes"}}
		for _, f := range flagsOf(flags) {
			if len(f.Name) > 1 {
				out = append(out, candidate{"--" + f.Name, f.Says})
			}
		}
		return out
	case cmd == nil:
		return commandsOf(app)
	}
	return argumentsOf(app, cmd.Name, args, last)
}

func commandsOf(app *cli.App) []candidate {
	var out []candidate
	for _, cmd := range app.Commands {
		out = append(out, candidate{cmd.Name, cmd.Usage})
	}
	return out
}

// argumentsOf is what may stand behind a command and some arguments.
func argumentsOf(app *cli.App, command string, args []string, last string) []candidate {
	switch {
	case command == "help":
		return append(commandsOf(app), candidate{onBatchFile, "every key of the batch file"})
	case command == "completion":
		return plain(shells)
	case command == "version":
		return nil
	case command == "lookup":
		return libraryNames()
	case len(args) == 0 || command == "compare":
		return filesAt(last)
	}
	b, err := batch.Read(args[0], time.Local)
	if err != nil {
		return nil
	}
	var out []candidate
	if command == "taste" || command == "pull" || command == "strain" {
		end := ""
		if command == "taste" {
			end = "="
		}
		for _, h := range b.Botanicals {
			out = append(out, candidate{h.Name + end, h.Cut})
		}
		for _, w := range b.Watches {
			if command == "taste" {
				out = append(out, candidate{w.Name + end, "unwanted"})
			}
		}
	}
	if command == "add" {
		for _, a := range b.Additions {
			out = append(out, candidate{a.Name, ""})
		}
	}
	return out
}

func plain(list []string) []candidate {
	var out []candidate
	for _, w := range list {
		out = append(out, candidate{word: w})
	}
	return out
}

// valuesOf is what a flag may take, as far as it can be listed.
func valuesOf(f cli.Flag, last string) []candidate {
	switch f.Names()[0] {
	case "units":
		return plain([]string{"metric", "us"})
	case "format":
		return plain([]string{"png", "svg", "pdf"})
	case "blind":
		return plain([]string{"triangle", "pair"})
	case "store":
		return plain([]string{string(shelf.Fridge), string(shelf.Freezer), string(shelf.Cellar), string(shelf.Room)})
	case "o", "book", "from":
		return filesAt(last)
	}
	return nil
}

// filesAt is the folders and batches that may go on what is typed of a path.
func filesAt(typed string) []candidate {
	dir, _ := filepath.Split(typed)
	entries, err := os.ReadDir(filepath.Clean(dir + "."))
	if err != nil {
		return nil
	}
	var out []candidate
	for _, e := range entries {
		name := e.Name()
		switch info, err := os.Stat(filepath.Join(dir, name)); {
		case err != nil || strings.HasPrefix(name, "."):
		case info.IsDir():
			out = append(out, candidate{word: dir + name + "/"})
		case book.IsBatch(name):
			out = append(out, candidate{word: dir + name})
		}
	}
	return out
}

// libraryNames is what lookup knows, the book's own entries included.
func libraryNames() []candidate {
	lib, err := openLibrary(".")
	if err != nil {
		return nil
	}
	var out []candidate
	for _, b := range lib.Botanicals() {
		out = append(out, candidate{b.Name, b.Kind})
	}
	for _, g := range lib.Ingredients() {
		out = append(out, candidate{g.Name, g.Kind})
	}
	for _, s := range lib.Spirits() {
		out = append(out, candidate{s.Name, "spirit"})
	}
	slices.SortStableFunc(out, func(x, y candidate) int { return strings.Compare(x.word, y.word) })
	return slices.CompactFunc(out, func(x, y candidate) bool { return x.word == y.word })
}
