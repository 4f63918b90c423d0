package argv

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/urfave/cli/v2"
	"pgregory.net/rapid"
)

// testApp has a flag of every sort that the commands take.
func testApp() *cli.App {
	return &cli.App{
		Flags: []cli.Flag{&cli.BoolFlag{Name: "json"}, &cli.StringFlag{Name: "units"}, &cli.StringFlag{Name: "now"}},
		Commands: []*cli.Command{
			{Name: "steep"}, {Name: "lookup"}, {Name: "help"}, {Name: "version"},
			{Name: "keep", Flags: []cli.Flag{&cli.StringFlag{Name: "at"}, &cli.BoolFlag{Name: "opened"},
				&cli.StringSliceFlag{Name: "sign"}}},
			{Name: "taste", Flags: []cli.Flag{&cli.StringFlag{Name: "words"}}},
			{Name: "blend", Flags: []cli.Flag{&cli.StringSliceFlag{Name: "have"}}},
			{Name: "new", Flags: []cli.Flag{&cli.StringSliceFlag{Name: "botanical", Aliases: []string{"b"}}}},
			{Name: "chart", Flags: []cli.Flag{&cli.StringFlag{Name: "o"}}},
		},
	}
}

func TestOrder(t *testing.T) {
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
		got, err := Order(testApp(), append([]string{"steepbook"}, words(c.typed)...))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if want := append([]string{"steepbook"}, words(c.want)...); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", c.name, got, want)
		}
	}
	for _, typed := range []string{"steep|a.toml|--now", "--units", "keep|a.toml|--at", "new|--botanical"} {
		_, err := Order(testApp(), append([]string{"steepbook"}, words(typed)...))
		var usage *Fault
		if !errors.As(err, &usage) || !strings.Contains(usage.Problem, "wants a value") {
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

// TestOrderKeepsEveryWord: whatever is typed, nothing is lost, added (but for
// one --) or doubled, and it does not panic.
func TestOrderKeepsEveryWord(t *testing.T) {
	app := testApp()
	word := rapid.OneOf(
		rapid.SampledFrom([]string{"steep", "taste", "a.toml", "--json", "--now", "--now=1 h", "--at", "-o",
			"--have", "-18", "-", "", "--nope", "clove=3", "-=x", "---", "--="}),
		rapid.String(),
	)
	rapid.Check(t, func(t *rapid.T) {
		typed := rapid.SliceOfN(word, 0, 8).Draw(t, "typed")
		got, err := Order(app, append([]string{"steepbook"}, typed...))
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
