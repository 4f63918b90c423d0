package cli

import (
	"bytes"
	"context"
	"errors"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/urfave/cli/v2"
	"pgregory.net/rapid"
)

func testApp() *cli.App {
	return newApp(strings.NewReader(""), &bytes.Buffer{}, &bytes.Buffer{})
}

func TestReorder(t *testing.T) {
	for _, c := range []struct {
		name, typed, want string // words parted by |
	}{
		{"nothing", "", ""},
		{"flag after the argument", "steep|a.toml|--json", "--json|steep|a.toml"},
		{"flag before the command", "--json|steep|a.toml", "--json|steep|a.toml"},
		{"flag between", "steep|--json|a.toml", "--json|steep|a.toml"},
		{"value of a global flag", "steep|a.toml|--now|14 h", "--now|14 h|steep|a.toml"},
		{"joined value", "steep|a.toml|--now=14 h", "--now=14 h|steep|a.toml"},
		{"one dash", "steep|a.toml|-json", "-json|steep|a.toml"},
		{"a command's own flag", "keep|a.toml|--at|fridge", "keep|--at|fridge|a.toml"},
		{"both kinds", "keep|a.toml|--at|fridge|--json|--opened", "--json|keep|--at|fridge|--opened|a.toml"},
		{"a negative value", "keep|a.toml|--at|-18C", "keep|--at|-18C|a.toml"},
		{"a negative number is a word", "taste|a.toml|-1", "taste|--|a.toml|-1"},
		{"so is a negative fraction", "taste|a.toml|-.5", "taste|--|a.toml|-.5"},
		{"a lone dash is a word", "steep|-", "steep|--|-"},
		{"after -- all are words", "taste|a.toml|--|--json|-x", "taste|--|a.toml|--json|-x"},
		{"-- and plain words", "taste|--|a.toml|clove=4", "taste|a.toml|clove=4"},
		{"-- before the command", "--|steep|a.toml", "steep|a.toml"},
		{"a value that looks like a flag", "keep|a.toml|--sign|--json", "keep|--sign|--json|a.toml"},
		{"the same flag twice", "blend|--have|water|a.toml|--have|rum",
			"blend|--have|water|--have|rum|a.toml"},
		{"short name", "new|a.toml|-b|clove: 2 g @ 6", "new|--botanical|clove: 2 g @ 6|a.toml"},
		{"short name with a value joined", "new|a.toml|-b=clove", "new|--botanical=clove|a.toml"},
		{"a one-letter flag", "chart|a.toml|-o|out", "chart|-o|out|a.toml"},
		{"unknown flag stays with its command", "steep|a.toml|--nwo|14 h", "steep|--nwo|a.toml|14 h"},
		{"unknown command", "stepe|a.toml|--json", "--json|stepe|a.toml"},
		{"a command's name as an argument", "lookup|steep", "lookup|steep"},
		{"a command's name as a score", "taste|a.toml|keep=3", "taste|a.toml|keep=3"},
		{"help of a command", "steep|--help", "help|steep"},
		{"help before the command", "--help|steep", "help|steep"},
		{"help behind a file, in another unit", "steep|a.toml|-h|--units|us", "--units|us|help|steep"},
		{"help as a word", "steep|help", "help|steep"},
		{"a thing called help", "taste|a.toml|help", "taste|a.toml|help"},
		{"help of the program", "--help", "help"},
		{"help of help", "help|batch|--help", "help|batch"},
		{"help although a value is missing", "keep|--help|--at", "help|keep"},
		{"version", "--version", "version"},
		{"version before a command", "--version|steep|a.toml", "version"},
		{"order of the words is kept", "taste|z|a|--words|b c|m", "taste|--words|b c|z|a|m"},
		{"boolean with a value", "steep|--json=false|a.toml", "--json=false|steep|a.toml"},
		{"a score that holds a dash", "taste|a.toml|-spicy=3", "taste|-spicy=3|a.toml"},
	} {
		got, err := reorder(testApp(), append([]string{"steepbook"}, words(c.typed)...))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if want := append([]string{"steepbook"}, words(c.want)...); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", c.name, got, want)
		}
	}
	for _, typed := range []string{"steep|a.toml|--now", "--units", "keep|a.toml|--at", "new|--botanical"} {
		_, err := reorder(testApp(), append([]string{"steepbook"}, words(typed)...))
		var usage *usageError
		if !errors.As(err, &usage) || !strings.Contains(usage.problem, "wants a value") {
			t.Errorf("%q: %v, want a word on the missing value", typed, err)
		}
	}
}

func words(s string) []string {
	if s == "" {
		return nil
	}
	return strings.Split(s, "|")
}

// TestReorderKeepsEveryWord: whatever is typed, nothing is lost, added (but for
// one --) or doubled, and it does not panic.
func TestReorderKeepsEveryWord(t *testing.T) {
	app := testApp()
	word := rapid.OneOf(
		rapid.SampledFrom([]string{"steep", "taste", "a.toml", "--json", "--now", "--now=1 h", "--at", "-o",
			"--have", "-18", "-", "", "--nope", "clove=3", "-=x", "---", "--="}),
		rapid.String(),
	)
	rapid.Check(t, func(t *rapid.T) {
		typed := rapid.SliceOfN(word, 0, 8).Draw(t, "typed")
		got, err := reorder(app, append([]string{"steepbook"}, typed...))
		if err != nil {
			return
		}
		strip := func(list []string) []string {
			out := slices.DeleteFunc(slices.Clone(list), func(w string) bool { return w == "--" })
			slices.Sort(out)
			return out
		}
		if a, b := strip(typed), strip(got[1:]); !slices.Equal(a, b) {
			t.Fatalf("%q became %q", typed, got)
		}
	})
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
		{"steep|a.toml|--jsno", "did you mean --json"},
		{"steep|a.toml|--zzzz", "no flag --zzzz"},
		{"--zzzz", "no flag --zzzz"},
		{"steep|a.toml|--at|fridge", "no flag --at"},
		{"steep", "which batch"},
		{"steep|a.toml|b.toml", "one word too many"},
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
