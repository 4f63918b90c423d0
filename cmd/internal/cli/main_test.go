package cli

import (
	"bytes"
	"context"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/urfave/cli/v2"
)

func testApp() *cli.App {
	return newApp(strings.NewReader(""), &bytes.Buffer{}, &bytes.Buffer{})
}

func words(s string) []string {
	if s == "" {
		return nil
	}
	return strings.Split(s, "|")
}

// run types a line and returns what came of it.
func run(t testing.TB, typed ...string) (status int, out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	status = Main(context.Background(), append([]string{"steepbook"}, typed...), strings.NewReader(""), &o,
		&e)
	return status, o.String(), e.String()
}

// TestFaultsOfTheLine: status 2, one sentence on the error stream, nothing on
// the other.
func TestFaultsOfTheLine(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := os.WriteFile("a.toml", []byte("name = \"A\"\nstarted = 2026-11-20T18:00:00\n[spirit]\nname = "+
		"\"vodka\"\nabv = 40\namount = \"500 ml\"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ typed, want string }{
		{"stepe|a.toml", `did you mean "steep"`},
		{"zzzzzz", `no command "zzzzzz"`},
		{"plan", `no command "plan"; did you mean "new"?`},
		{"help|plan", `no help on "plan"; did you mean "new"?`},
		{"help|print", `no help on "print"; did you mean "page"?`},
		{"help|start", `no help on "start"; did you mean "new" or "calendar"?`},
		{"steep|a.toml|--jsno", "did you mean --json"},
		{"steep|a.toml|--zzzz", "no flag --zzzz"},
		{"--zzzz", "no flag --zzzz"},
		{"steep|a.toml|--at|fridge", "no flag --at"},
		{"steep", "which batch"},
		{"steep|a.toml|b.toml", "a second batch, and steep is of one"},
		{"steep|a.toml|--now|soon", "no moment"},
		{"steep|a.toml|--units|stones", "metric or us"},
		{"blend|a.toml|--abv|much", "--abv"},
		{"blend|a.toml|--abv|NaN", "--abv"},
		{"blend|a.toml|--sugar|-3", "g per litre"},
		{"blend|a.toml|--sugar|Inf", "g per litre"},
		{"blend|a.toml|--acid|a lot", "g per litre"},
		{"blend|a.toml|--volume|2 kg", "no volume"},
		{"blend|a.toml|--have|water", "aim for"},
		{"blend|a.toml|--abv|20|--have|moon dust", "not in the library"},
		{"keep|a.toml|--at|NaN", "no place"},
		{"keep|a.toml|--at|-400C", "no place"},
		{"chart|a.toml|--format|gif", "png, svg or pdf"},
		{"pull|a.toml", "which botanical"},
		{"open|a.toml|1|2", "one word too many"},
		{"taste|a.toml|=3", "name=score"},
		{"taste|a.toml|bitter=NaN", "no score"},
		{"taste|a.toml|bitter=-1", "0 (absent) to 10"},
		{"new|b.toml|--watch|bitter", "like bitter=2"},
		{"new|b.toml|--watch|bitter=x", "no limit"},
		{"new|b.toml|--add|sugar", "what and how much"},
		{"new|b.toml|--botanical|clove: 2 g @ much", "no wanted strength"},
		{"new|b.toml|--start|soon", "no moment"},
		{"new|b.toml|--abv|140", "--abv"},
		{"lookup|zzzzzz", "does not know"},
		{"book|a.toml", "is a file"},
	} {
		status, out, errs := run(t, words(c.typed)...)
		if status != statusInput || !strings.Contains(errs, c.want) {
			t.Errorf("%q: status %d, %q, want 2 and a word on %q", c.typed, status, errs, c.want)
		}
		if out != "" {
			t.Errorf("%q answers %q all the same", c.typed, out)
		}
		if lines := strings.Count(strings.TrimRight(errs, "\n"), "\n"); lines > 3 {
			t.Errorf("%q: %d lines of error", c.typed, lines+1)
		}
	}
	if _, err := os.Stat("b.toml"); err == nil {
		t.Error("a batch that was refused has been written")
	}
}

// TestReadmeListsEveryCommand, and no command that there is not.
func TestReadmeListsEveryCommand(t *testing.T) {
	src, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, table, found := strings.Cut(string(src), "| command | answers |")
	if !found {
		t.Fatal("the README has no table of commands")
	}
	table, _, _ = strings.Cut(table, "\n\n")
	listed := map[string]bool{}
	for _, row := range regexp.MustCompile(`(?m)^\| (.*?) \|`).FindAllStringSubmatch(table, -1) {
		for _, m := range regexp.MustCompile("`([a-z]+)").FindAllStringSubmatch(row[1], -1) {
			listed[m[1]] = true
		}
	}
	names := commandNames(testApp())
	for _, name := range names {
		if !listed[name] {
			t.Errorf("the README's table has no %s", name)
		}
	}
	for name := range listed {
		if !slices.Contains(names, name) {
			t.Errorf("the README lists %s, which is no command", name)
		}
	}
}

func TestNoColourWhereItIsNotWanted(t *testing.T) {
	if colourWanted(&bytes.Buffer{}) {
		t.Error("colour into a buffer")
	}
	f, err := os.Create(t.TempDir() + "/out")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if colourWanted(f) {
		t.Error("colour into a file")
	}
	// The null device is a character device, as a terminal is.
	null, err := os.OpenFile(os.DevNull, os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer null.Close()
	for _, env := range []struct{ key, value string }{{"NO_COLOR", "1"}, {"TERM", "dumb"}} {
		t.Run(env.key, func(t *testing.T) {
			t.Setenv(env.key, env.value)
			if colourWanted(null) {
				t.Errorf("colour although %s=%s", env.key, env.value)
			}
		})
	}
}
