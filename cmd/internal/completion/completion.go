// Package completion says what may come next on a command line that is not finished, and
// holds the scripts by which shells ask it.
package completion

import (
	"embed"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"time"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/view/manual"
	"steepbook/data/batch"
	"steepbook/shelf"
)

// The scripts of the shells; each asks steepbook completion words what may come next.
//
//go:embed steepbook.bash steepbook.zsh steepbook.fish
var scripts embed.FS

// Shells are those with a script.
var Shells = []string{"bash", "zsh", "fish"}

// Script is the script of one of Shells.
func Script(shell string) ([]byte, error) { return scripts.ReadFile("steepbook." + shell) }

// Line is what can be typed: all commands, and the flags that each of them takes.
type Line struct {
	Commands []manual.Command
	Every    []manual.Flag
}

// candidate is a word that may come next; what ends in = or / goes on.
type candidate struct{ word, says string }

// Write writes what may stand for the last of some words, which is not finished: one a
// line, behind a tab what it is. What cannot be known is not offered; nothing of it is an
// error.
func (l Line) Write(w io.Writer, words []string) error {
	for _, x := range l.completed(words) {
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

// completed is what may stand for the last of some words.
func (l Line) completed(words []string) []candidate {
	if len(words) == 0 {
		words = []string{""}
	}
	for i, w := range words {
		words[i] = unquoted(w)
	}
	last := words[len(words)-1]
	typed := words[:len(words)-1]
	var out []candidate
	for _, x := range l.possible(typed, last) {
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
func (l Line) possible(typed []string, last string) []candidate {
	command := ""
	var args []string
	flags := l.Every
	for i := 0; i < len(typed); i++ {
		switch w := typed[i]; {
		case len(w) > 1 && w[0] == '-':
			f := slices.IndexFunc(flags, func(f manual.Flag) bool {
				name := strings.TrimLeft(w, "-")
				return name == f.Name || name == f.Short
			})
			if f < 0 || flags[f].Takes == "" {
				continue
			}
			if i++; i == len(typed) {
				return valuesOf(flags[f].Name, last)
			}
		case command == "":
			c := slices.IndexFunc(l.Commands, func(c manual.Command) bool { return c.Name == w })
			if c < 0 {
				return nil
			}
			command, flags = w, append(slices.Clone(flags), l.Commands[c].Flags...)
		default:
			args = append(args, w)
		}
	}
	switch {
	case strings.HasPrefix(last, "-"):
		out := []candidate{{"--help", "what the command takes"}}
		for _, f := range flags {
			if len(f.Name) > 1 {
				out = append(out, candidate{"--" + f.Name, f.Says})
			}
		}
		return out
	case command == "":
		return l.commands()
	}
	return l.arguments(command, args, last)
}

func (l Line) commands() []candidate {
	var out []candidate
	for _, c := range l.Commands {
		out = append(out, candidate{c.Name, c.Short})
	}
	return out
}

// arguments is what may stand behind a command and some arguments.
func (l Line) arguments(command string, args []string, last string) []candidate {
	switch {
	case command == "help":
		return append(l.commands(), candidate{"batch", "every key of the batch file"})
	case command == "completion":
		return plain(Shells)
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
func valuesOf(flag, last string) []candidate {
	switch flag {
	case "units":
		return plain([]string{"metric", "us"})
	case "format":
		return plain([]string{"png", "svg", "pdf"})
	case "blind":
		return plain([]string{"triangle", "pair"})
	case "store":
		return plain([]string{string(shelf.Fridge), string(shelf.Freezer), string(shelf.Cellar),
			string(shelf.Room)})
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
	lib, err := book.Library(".")
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
	sort.SliceStable(out, func(i, j int) bool { return out[i].word < out[j].word })
	each := out[:0]
	for i := range out {
		if i == 0 || out[i].word != each[len(each)-1].word {
			each = append(each, out[i])
		}
	}
	return each
}
