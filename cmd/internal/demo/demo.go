// Package demo holds the demo book, a small bar's winter shelf, and the tour of it. All of
// it is invented.
package demo

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"steepbook/cmd/internal/view"
	"steepbook/data/disk"
)

//go:embed *.toml
var book embed.FS

// Now is the moment the tour stands at, so that it reads the same on every day: the
// morning after the second try was started.
const Now = "2026-11-21T08:00"

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
			[]string{"steep", in("winter-orange-2.toml"), "--now", Now}},
		{"I just tasted the jar. What did that change?",
			[]string{"taste", in("winter-orange-2.toml"), "--sample", "12.5:12.5", "green cardamom=2.5",
				"long pepper=0.5", "bitter=0.5", "--now", Now}},
		{"How strong, how sweet, how much will it be?",
			[]string{"blend", in("winter-orange-2.toml")}},
		{"Where do I keep it, and until when?",
			[]string{"keep", in("winter-orange-2.toml"), "--now", Now}},
		{"And the dram without juice: may that one stand on the shelf?",
			[]string{"keep", in("bay-grapefruit-dram.toml"), "--now", Now}},
		{"A jar was forgotten. Is it past saving?",
			[]string{"steep", in("verbena-jar.toml"), "--now", Now}},
		{"Let me see it.",
			[]string{"chart", in("winter-orange-2.toml"), "--now", Now}},
	}
}

// Write puts the book's files into a folder, each new one by create, and returns all of
// them and the names of those that were there already and differ: they are the user's
// now and stay as they are.
func Write(dir string, create func(path string, src []byte) error) (files, kept []string, err error) {
	if err := disk.MakeFolder(dir); err != nil {
		return nil, nil, err
	}
	entries, err := book.ReadDir(".")
	if err != nil {
		return nil, nil, err
	}
	for _, e := range entries {
		src, err := book.ReadFile(e.Name())
		if err != nil {
			return nil, nil, err
		}
		path := filepath.Join(dir, e.Name())
		files = append(files, path)
		have, err := os.ReadFile(path)
		switch {
		case err == nil && !bytes.Equal(have, src):
			kept = append(kept, e.Name())
		case errors.Is(err, fs.ErrNotExist):
			if err := create(path, src); err != nil {
				return nil, nil, err
			}
		case err != nil:
			return nil, nil, disk.Unread(path, err)
		}
	}
	return files, kept, nil
}

// Tour tells of the book in a folder and asks it every question once: the question, what
// is typed, and the answer that run gives to it. Where files were kept it leaves the
// tasting out.
func Tour(out io.Writer, dir string, kept []string, run func(args []string) error) error {
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
		if err := run(s.args); err != nil {
			return err
		}
	}
	fmt.Fprintf(out, "\n%s\nNow your own: steepbook new orange.toml\n", strings.Repeat("-", 72))
	return nil
}
