package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"steepbook/cmd/internal/somejar"
)

// sixHundred is a batch with one botanical and what is added to it.
func sixHundred(target string, more ...string) string {
	return "name = \"T\"\nstarted = 2026-11-20T18:00:00\nroom = \"20 C\"\n[spirit]\nname = \"rum\"\nabv = " +
		"40\namount = \"600 ml\"\n[[botanical]]\nname = \"orange zest\"\ncut = " +
		"\"strips\"\namount = \"20 g\"\ntarget = " + target + "\n" + strings.Join(more, "")
}

func scored(at, scores string) string {
	return fmt.Sprintf("[[tasting]]\nat = %q\nscore = { %s }\n", at, scores)
}

// TestScoresNoOneMeans: what is right by the letter and odd in what it says gets
// an answer that can be acted on: finite, and no more than a jar can hold.
func TestScoresNoOneMeans(t *testing.T) {
	const bitter = "[[watch]]\nname = \"bitter\"\nlimit = 0\n"
	var many []string
	n := somejar.Either(100, 300)
	for i := range n {
		many = append(many,
			scored(fmt.Sprintf("%d min", 10*(i+1)), fmt.Sprintf("\"orange zest\" = %d", min(7*i/n, 6))))
	}
	zest := func(at string, v string) string { return scored(at, "\"orange zest\" = "+v) }
	for name, src := range map[string]string{
		"at one moment": sixHundred("6", zest("10 h", "1"), zest("10 h", "9"), zest("10 h", "2"),
			zest("10 h", "8")),
		"ten and nought": sixHundred("6", zest("10 h", "0"), zest("10 h", "10"), zest("20 h", "10"),
			zest("20 h", "0")),
		"many tastings":      sixHundred("6", many...),
		"a target of 0.01":   sixHundred("0.01", zest("6 h", "4"), zest("12 h", "6")),
		"untasted, of 0.01":  sixHundred("0.01"),
		"0.01 and none come": sixHundred("0.01", zest("6 h", "0"), zest("12 h", "0")),
		"ten three times":    sixHundred("6", zest("1 h", "10"), zest("2 h", "10"), zest("3 h", "10")),
		"ten of ten":         sixHundred("10", zest("1 h", "10"), zest("2 h", "10"), zest("3 h", "10")),
		"a limit of 0": sixHundred("6", bitter, scored("6 h", "\"orange zest\" = 3, bitter = 1"),
			scored("12 h", "\"orange zest\" = 4, bitter = 3")),
		"0, and at it": sixHundred("6", bitter, scored("6 h", "\"orange zest\" = 3, bitter = 0"),
			scored("12 h", "\"orange zest\" = 4, bitter = 0")),
		"a tasting ahead": sixHundred("6", zest("6 h", "3"), zest("900 h", "9")),
		"only ahead":      sixHundred("6", zest("900 h", "9")),
		"only zeros": sixHundred("6", zest("6 h", "0"), zest("12 h", "0"), zest("24 h", "0"),
			zest("48 h", "0")),
		"zeros, a target of 0": sixHundred("0", zest("6 h", "0"), zest("12 h", "0")),
		"at the very start":    sixHundred("6", zest("0 h", "5"), zest("0 h", "0")),
		"before it went in": sixHundred("6", "[[botanical]]\nname = \"clove\"\namount = \"2 "+
			"g\"\ntarget = 4\nin = \"30 h\"\n", scored("20 h", "\"orange zest\" = 4, clove = 3")),
		"thinned to nothing": sixHundred("6", scored("6 h", "\"orange zest\" = 0")+"sample = \"1:50\"\n",
			scored("12 h", "\"orange zest\" = 10")+"sample = \"1:50\"\n"),
		"in a lake": sixHundred("6", zest("6 h", "3"), zest("12 h", "5"),
			"[[addition]]\nname = \"water\"\namount = \"6 l\"\n"),
	} {
		t.Run(name, func(t *testing.T) {
			file := t.TempDir() + "/odd.toml"
			if err := os.WriteFile(file, []byte(src), 0o644); err != nil {
				t.Fatal(err)
			}
			for _, cmd := range [][]string{{"steep"}, {"steep", "--together"}, {"book"}} {
				where := file
				if cmd[0] == "book" {
					where = strings.TrimSuffix(file, "/odd.toml")
				}
				typed := append([]string{cmd[0], where, "--now", "2026-11-23T08:00"}, cmd[1:]...)
				status, out, errs := run(t, typed...)
				if status != statusAnswered && status != statusAct {
					t.Errorf("%v: status %d: %s", cmd, status, errs)
				}
				absurd(t, cmd, out)
				status, out, errs = run(t, append(typed, "--json")...)
				if status != statusAnswered && status != statusAct || !json.Valid([]byte(out)) {
					t.Errorf("%v --json: status %d: %s\n%.300s", cmd, status, errs, out)
				}
			}
		})
	}
}

var (
	noNumber = regexp.MustCompile(`\bNaN\b|[+-]?\bInf\b|%!|e\+\d+|-9223372036854775808`)
	volumes  = regexp.MustCompile(`([0-9.]+)(?:-([0-9.]+))? (?:volumes|times)`)
)

// absurd finds what is no number, and advice that nobody can follow.
func absurd(t *testing.T, cmd []string, out string) {
	t.Helper()
	flat := strings.Join(strings.Fields(out), " ")
	if s := noNumber.FindString(flat); s != "" {
		t.Errorf("%v: %s in\n%s", cmd, s, out)
	}
	for _, m := range volumes.FindAllStringSubmatch(flat, -1) {
		if v, err := strconv.ParseFloat(m[1], 64); err != nil || v > 100 {
			t.Errorf("%v: %q in\n%s", cmd, m[0], out)
		}
	}
}

// TestTimesThatCannotBe are refused in one sentence that names the line.
func TestTimesThatCannotBe(t *testing.T) {
	late := "[[botanical]]\nname = \"clove\"\namount = \"2 g\"\ntarget = 4\nin = \"30 h\"\n"
	for name, c := range map[string]struct{ src, want string }{
		"a pull before it went in": {sixHundred("6", late, "[[pulled]]\nname = \"clove\"\nat = \"3 h\"\n"),
			"before it went in"},
		"a score above ten": {sixHundred("6", scored("3 h", "\"orange zest\" = 11")),
			"from 0 (absent) to 10"},
		"a score below nought": {sixHundred("6", scored("3 h", "\"orange zest\" = -1")),
			"from 0 (absent) to 10"},
		"a target above ten": {sixHundred("60"), "0 to 10"},
		"a limit below nought": {sixHundred("6", "[[watch]]\nname = \"bitter\"\nlimit = -1\n"),
			"0 to 10"},
		"a tasting before": {sixHundred("6", "[[tasting]]\nat = 2026-11-19T18:00:00\nscore = { "+
			"\"orange zest\" = 1 }\n"), "before the batch started"},
	} {
		t.Run(name, func(t *testing.T) {
			file := t.TempDir() + "/odd.toml"
			if err := os.WriteFile(file, []byte(c.src), 0o644); err != nil {
				t.Fatal(err)
			}
			status, out, errs := run(t, "steep", file, "--now", "2026-11-23T08:00")
			if status != statusInput || out != "" || !strings.Contains(errs, c.want) ||
				!regexp.MustCompile(`odd\.toml:\d+: `).MatchString(errs) {
				t.Errorf("status %d: %s%s", status, out, errs)
			}
		})
	}
}
