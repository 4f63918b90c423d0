package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"steepbook/cmd/internal/cli"
)

// TestReadmeShowsWhatIsPrinted runs every console block of the README, in
// order and in one folder, and compares what is printed with what is shown.
// With -update the README is rewritten.
func TestReadmeShowsWhatIsPrinted(t *testing.T) {
	readme, err := filepath.Abs("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	src, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	const open, end = "```console\n", "```"
	var out strings.Builder
	rest, blocks := string(src), 0
	for {
		before, after, found := strings.Cut(rest, open)
		out.WriteString(before)
		if !found {
			break
		}
		block, after, found := strings.Cut(after, end)
		if !found {
			t.Fatal("a console block of the README is not closed")
		}
		blocks++
		got := console(t, block)
		if got != block && !*update {
			t.Errorf("the README shows\n%s\nbut this is printed (rewrite it with -update):\n%s", block, got)
		}
		out.WriteString(open + got + end)
		rest = after
	}
	if blocks == 0 {
		t.Fatal("the README has no console block")
	}
	if text := out.String(); *update && text != string(src) {
		if err := os.WriteFile(readme, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// more ends an answer of which only the first lines are shown.
const more = "…\n"

// console runs the lines of a block that begin with "$ steepbook" and returns
// the block with what they print under them, as many lines of it as were shown where
// those end in "…". A line that ends in \ goes on.
func console(t *testing.T, block string) string {
	t.Helper()
	var out strings.Builder
	lines := strings.SplitAfter(block, "\n")
	for i := 0; i < len(lines); i++ {
		line := lines[i]
		if !strings.HasPrefix(line, "$ ") {
			continue // shown output: printed anew below
		}
		typed := line
		for strings.HasSuffix(strings.TrimRight(typed, "\n"), "\\") && i+1 < len(lines) {
			i++
			typed += lines[i]
		}
		out.WriteString(typed)
		args := shellWords(strings.ReplaceAll(strings.TrimPrefix(typed, "$ "), "\\\n", " "))
		if len(args) == 0 || args[0] != "steepbook" {
			t.Fatalf("the README runs %q: only steepbook can be run here", typed)
		}
		var printed bytes.Buffer
		if status := cli.Main(context.Background(), args, strings.NewReader(""), &printed, &printed); status != 0 && status != 3 {
			t.Errorf("%s ended with status %d: %s", strings.TrimSpace(typed), status, printed.String())
		}
		shown := 0
		for i+1+shown < len(lines) && !strings.HasPrefix(lines[i+1+shown], "$ ") && lines[i+1+shown] != more {
			shown++
		}
		answer := strings.SplitAfter(printed.String(), "\n")
		if i+1+shown < len(lines) && lines[i+1+shown] == more && shown < len(answer) {
			answer = append(answer[:shown:shown], more)
		}
		out.WriteString(strings.Join(answer, ""))
	}
	return out.String()
}

// TestTourAnswersAsTyped: each answer of the demo is what its line prints when it is
// typed, in a book that nobody has tasted in.
func TestTourAnswersAsTyped(t *testing.T) {
	t.Chdir(t.TempDir())
	tour := console(t, "$ steepbook demo book\n")
	t.Chdir(t.TempDir())
	console(t, "$ steepbook demo book --json\n")
	stops := strings.Split(tour, strings.Repeat("-", 72)+"\n")
	for _, stop := range stops[1 : len(stops)-1] {
		_, typed, found := strings.Cut(stop, "\n$ ")
		if !found {
			t.Fatalf("nothing is typed in\n%s", stop)
		}
		line, answer, _ := strings.Cut("$ "+typed, "\n\n")
		if got := console(t, line+"\n"); strings.TrimSpace(got) != line+"\n"+strings.TrimSpace(answer) {
			t.Errorf("the demo shows\n%s\nbut typed it prints\n%s", answer, got)
		}
	}
	if len(stops) != 10 {
		t.Errorf("%d stops, want 8 and a last word", len(stops)-1)
	}
}

// shellWords splits a line at spaces outside double quotes.
func shellWords(line string) []string {
	var words []string
	var word strings.Builder
	quoted, in := false, false
	for _, r := range strings.TrimSpace(line) {
		switch {
		case r == '"':
			quoted, in = !quoted, true
		case !quoted && (r == ' ' || r == '\t' || r == '\n'):
			if in {
				words = append(words, word.String())
				word.Reset()
			}
			in = false
		default:
			word.WriteRune(r)
			in = true
		}
	}
	if in {
		words = append(words, word.String())
	}
	return words
}
