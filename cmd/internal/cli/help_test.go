package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"steepbook/cmd/internal/demo"
)

// widestHelp is how wide a line of help may be, in columns.
const widestHelp = 100

// TestHelpOfEveryCommand: however it is asked for, each help names its command, says
// in a sentence or two what it answers, shows two or three lines to try, and no line
// of it is wider than it may be.
func TestHelpOfEveryCommand(t *testing.T) {
	_, all, _ := run(t)
	narrow(t, "the program", all)
	app := testApp()
	for _, cmd := range app.Commands {
		if !strings.Contains(all, "\n  "+cmd.Name+" ") {
			t.Errorf("the help of the program does not list %s", cmd.Name)
		}
		if !slices.Contains(stages, cmd.Category) {
			t.Errorf("%s has no part of the work as its Category: see help.go", cmd.Name)
		}
		if n := strings.Count(cmd.Description, ". ") + 1; n > 3 || !strings.HasSuffix(cmd.Description, ".") {
			t.Errorf("%s: its Description should be one or two whole sentences: %q", cmd.Name, cmd.Description)
		}
		if n := len(commandHelp(cmd).Examples); n < 2 || n > 3 {
			t.Errorf("%s shows %d lines to try as UsageText, want 2 or 3", cmd.Name, n)
		}
		if cmd.Name == "help" {
			continue // help on help is the help of the program
		}
		want := "steepbook " + cmd.Name
		for _, typed := range [][]string{{cmd.Name, "--help"}, {"--help", cmd.Name}, {cmd.Name, "-h"},
			{cmd.Name, "help"}, {"help", cmd.Name}, {cmd.Name, "no such.toml", "--help"}} {
			status, out, errs := run(t, typed...)
			if status != 0 || !strings.HasPrefix(out, want) || errs != "" {
				t.Errorf("%q: status %d, %.80q, %q", typed, status, out, errs)
			}
			narrow(t, strings.Join(typed, " "), out)
		}
	}
}

func narrow(t *testing.T, of, help string) {
	t.Helper()
	for line := range strings.SplitSeq(help, "\n") {
		if n := utf8.RuneCountInString(line); n > widestHelp {
			t.Errorf("help of %s: a line of %d columns: %s", of, n, line)
		}
	}
}

// TestHelpAsJSON: the same for programs.
func TestHelpAsJSON(t *testing.T) {
	_, out, _ := run(t, "help", "taste", "--json")
	var m struct {
		Command  string
		Examples []string
		Flags    []struct{ Flag string }
	}
	if err := json.Unmarshal([]byte(out), &m); err != nil {
		t.Fatal(err)
	}
	if m.Command != "taste" || len(m.Examples) == 0 || len(m.Flags) == 0 || m.Flags[0].Flag != "at" {
		t.Errorf("%+v", m)
	}
}

// TestExamplesOfHelp runs every line that a help shows, on a fresh demo book on the
// morning of the tour.
func TestExamplesOfHelp(t *testing.T) {
	t.Setenv("COLUMNS", "100") // each in one line
	for _, cmd := range testApp().Commands {
		t.Run(cmd.Name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			if _, _, err := demo.Write("demo-book", createNew); err != nil {
				t.Fatal(err)
			}
			_, help, _ := run(t, "help", cmd.Name)
			found := 0
			for line := range strings.SplitSeq(help, "\n") {
				typed, ok := strings.CutPrefix(line, "  steepbook ")
				if !ok {
					continue
				}
				found++
				args := typedWords(t, typed)
				if !strings.Contains(typed, "--now") {
					args = append(args, "--now", demo.Now)
				}
				answer := run
				if cmd.Name == "serve" {
					answer = served
				}
				status, out, errs := answer(t, args...)
				if status != statusAnswered && status != statusAct || out == "" || errs != "" {
					t.Errorf("%s: status %d, %.100q, %s", typed, status, out, errs)
				}
			}
			if found < 2 {
				t.Errorf("%d lines to try in\n%s", found, help)
			}
		})
	}
}

// served is run for what answers until it is stopped, on any port that is free.
func served(t testing.TB, typed ...string) (status int, out, errs string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 300*time.Millisecond)
	defer cancel()
	var o, e bytes.Buffer
	if !slices.Contains(typed, "--port") {
		typed = append(typed, "--port", "0")
	}
	status = Main(ctx, append([]string{"steepbook"}, typed...), strings.NewReader(""), &o, &e)
	return status, o.String(), e.String()
}

// typedWords parts a line as a shell does, as far as the help writes one.
func typedWords(t *testing.T, line string) []string {
	t.Helper()
	var words []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			words = append(words, part)
			continue
		}
		words = append(words, strings.Fields(part)...)
	}
	if strings.Count(line, `"`)%2 == 1 || strings.ContainsAny(line, `'\$|<>`) {
		t.Errorf("%s: too clever a line for a help", line)
	}
	return words
}
