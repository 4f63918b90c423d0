package cli

import (
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/rivo/uniseg"

	"steepbook/cmd/internal/somejar"
)

// longNames is a jar of five flavours with the names that people give: long ones, of
// several scripts, with letters of two parts and of two columns.
const longNames = `name = "Grandmother's winter shelf, second attempt with the good brandy (冬の瓶)"
started = 2026-11-20T18:00:00
[spirit]
name = "grape brandy"
abv = 57
amount = "700 ml"
[[botanical]]
name = "preserved lemon peel of the attic, last year's"
like = "lemon zest"
amount = "24 g"
target = 6
[[botanical]]
name = "柚子の皮をとても細かく刻んだものと生姜"
like = "orange zest"
amount = "9 g"
target = 3
[[botanical]]
name = "éclats de fève rôtie à l’ancienne"
like = "cocoa nibs"
amount = "6 g"
target = 2
[[botanical]]
name = "long pepper"
amount = "6 g"
target = 2
[[botanical]]
name = "green cardamom"
amount = "9 g"
target = 3
[[watch]]
name = "the bitterness of pith that spoils the whole thing"
limit = 2
[[addition]]
name = "raw egg yolk"
amount = "3 egg yolks"
[[addition]]
name = "demerara sugar"
amount = "320 g"
[[tasting]]
at = "6 h"
score = { "long pepper" = 1, "green cardamom" = 2, "the bitterness of pith that spoils the whole thing" = 1 }
`

// argument is one of a line to type, which nothing can break.
var argument = regexp.MustCompile(`^"[^"]*"$`)

// TestNoLineIsWiderThanTheTerminal runs every command on the demo book, on random jars and
// on long names: no line is wider than the terminal, but for a word that is, and a first screen has no
// more lines than it may.
func TestNoLineIsWiderThanTheTerminal(t *testing.T) {
	for _, width := range somejar.Either([]int{40, 80}, []int{40, 60, 80, 100}) {
		t.Setenv("COLUMNS", strconv.Itoa(width))
		t.Chdir(t.TempDir())
		const dir = "b"
		run(t, "demo", dir, "--json")
		for i := range uint64(2) {
			write(t, filepath.Join(dir, "jar"+strconv.Itoa(int(i))+".toml"), somejar.New(i).String())
		}
		write(t, filepath.Join(dir, "long.toml"), longNames)
		files, err := filepath.Glob(filepath.Join(dir, "*.toml"))
		if err != nil || len(files) < 7 {
			t.Fatal(files, err)
		}
		if width > 40 && !somejar.Long() {
			// the long names and what steeps
			files = []string{filepath.Join(dir, "long.toml"), files[len(files)-1]}
		}
		now := "--now=2026-11-21T08:00"
		look := func(typed ...string) string {
			_, out, _ := run(t, append(typed, now)...)
			for line := range strings.SplitSeq(out, "\n") {
				word := strings.TrimSuffix(strings.TrimSpace(line), ` \`)
				if uniseg.StringWidth(line) > width && strings.Contains(word, " ") && !argument.MatchString(word) {
					t.Errorf("%d columns, %q: %d in\n%s", width, typed, uniseg.StringWidth(line), line)
				}
			}
			return out
		}
		fits := func(lines int, typed ...string) string {
			out := look(typed...)
			if n, most := strings.Count(out, "\n"), max(lines, (lines*80+width-1)/width); n > most {
				t.Errorf("%d columns, %q: %d lines, not %d\n%s", width, typed, n, most, out)
			}
			return out
		}
		long := filepath.Join(dir, "long.toml")
		for _, f := range files {
			more := 0
			if f == long {
				more = 1 // what must not be drunk unknowing is never left out
			}
			fits(12+more, "steep", f)
			fits(12, "blend", f)
			fits(12, "check", f)
			fits(15, "scale", f, "--to", "x2")
			fits(12, "working", f)
			fits(12, "steep", f, "--together")
			kept := fits(8+more, "keep", f)
			if f == long && !strings.Contains(strings.Join(strings.Fields(kept), " "), "Raw egg is not for children") {
				t.Errorf("%d columns: the egg is not told of\n%s", width, kept)
			}
			for _, c := range [][]string{{"steep", f, "--why"}, {"blend", f, "--why"}, {"blend", f, "--abv", "25", "--sugar", "200"},
				{"keep", f, "--why"}, {"keep", f, "--sign", "cloud"}, {"working", f, "--why"}, {"check", f, "--why"},
				{"scale", f, "--to", "x2", "--why"}, {"compare", filepath.Join(dir, "jar0.toml"), f}} {
				look(c...)
			}
		}
		fits(12, "book", dir)
		fits(12, "check", dir)
		fits(12, "lookup", "clove")
		fits(12, "lookup", "demerara sugar")
		fits(12, "lookup", "vodka")
		fits(12, "taste", long, "long pepper=2", "green cardamom=1.5", "柚子の皮をとても細かく刻んだものと生姜=3")
		look("taste", long, "long pepper=2", "green cardamom=2", "柚子の皮をとても細かく刻んだものと生姜=3.5")
		look("pull", long, "long pepper")
		look("book", dir, "--why")
		look("compare", filepath.Join(dir, "jar0.toml"), long, "--blind", "triangle")
		look("lookup", "--learned", dir)
		look("lookup", "orange zest", "--book", dir)
		look("lookup", "white sugar", "--why")
		look("lookup", "--summary")
		look("lookup")
		look("help")
		look("help", "batch")
		look("help", "keep")
		fits(12, "new", filepath.Join(dir, "made.toml"), "--name", "Made", "--spirit", "vodka", "--abv", "40",
			"--botanical", "clove @ 2", "--botanical", "orange zest, fine zest: 24 g @ 6")
	}
}

func write(t *testing.T, file, text string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}
