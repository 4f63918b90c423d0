package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"steepbook/data/visible"
)

// unseenBatch has in every text of its maker what a terminal would obey or what turns the
// letters around it.
const unseenBatch = `name = "A B z"
started = 2026-11-20T18:00:00
room = "20C"
[[spirit]]
name = "vodka"
abv = 40
amount = "500 ml"
[[botanical]]
name = "clove"
cut = "wh\u200bole\u202e"
amount = "4 g"
target = 4
lot = "mar\u202eket\u001b[2J"
[[botanical]]
name = "zzq"
amount = "4 g"
[[addition]]
name = "white sugar"
amount = "100 g"
[[tasting]]
at = "1 h"
taster = "Bo\u001b[31m\u0007"
words = "rot\u001b]0;x\u0007 \u202e\nforged: all is well"
score = { "clove" = 3 }
[[noted]]
what = "fizzed\u001b[2J\u0007\u202e\u200b"
at = "2 h"
[[strained]]
at = "3 h"
[[bottled]]
bottles = 2
of = "250 ml"
at = "4 h"
[[noted]]
what = "fizzed\u001b[2J\u0007\u202e\u200b"
at = "9 h"
`

// TestNothingUnseenIsPrinted: no command passes an escape, a bell or a mark that turns or
// hides letters from a file to the terminal, as text or as JSON; of what a terminal obeys
// see ECMA-48 (from memory), of the marks Unicode Standard Annex 9.
func TestNothingUnseenIsPrinted(t *testing.T) {
	dir := t.TempDir()
	sealed := filepath.Join(dir, "a\u202e\u200b.toml")
	open := filepath.Join(dir, "open.toml")
	steeping, _, _ := strings.Cut(unseenBatch, "[[strained]]")
	for name, text := range map[string]string{sealed: unseenBatch, open: steeping,
		filepath.Join(dir, "house.toml"): "rule = \"county\\u202e code\\u200b\"\nmax_age_days = 30\n"} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	bad := filepath.Join(dir, "bad.toml")
	if err := os.WriteFile(bad, []byte("name = \"x\"\nsta\u202ert\u200bed = 3\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	answered := 0
	for _, f := range []string{sealed, open, bad, filepath.Join(dir, "none\x1b[2J\u202e.toml")} {
		for _, c := range [][]string{
			{"steep", f}, {"steep", f, "--why"}, {"steep", f, "--together"}, {"blend", f}, {"blend", f, "--why"},
			{"keep", f}, {"keep", f, "--why"}, {"keep", f, "--sign", "fizz\x1b[2J\u202e"}, {"working", f}, {"check", f},
			{"scale", f, "--to", "x2"}, {"compare", open, f}, {"compare", open, f, "--blind", "triangle"},
			{"book", dir}, {"learned", dir}, {"export", dir}, {"export", f}, {"log", f}, {"lookup", "clove\x1b[2J\u202e"},
			{"taste", f, "x\x1b[2J\u202e=3"}, {"pull", f, "x\x1b[2J\u202e"}, {"note", f, "x\x1b[2J\u202e"},
			{"taste", f, "clo\u200bve=3"}, {"pull", f, "clo\u200bve"}, {"add", f, "wa\u202eter: 20 ml"},
			{"open", f}, {"empty", f}, {"undo", f}, {"undo", f}, {"label", f}, {"page", f}, {"chart", f},
			{"help", "x\x1b[2J\u202e"}, {"x\x1b[2J\u202e"}, {"steep", f, "--x\x1b[2J\u202e"},
			{"new", f, "--name", "x\x1b[2J\u202e"}, {"new", f + "2", "--name", "N\u202e", "--spirit", "vo\u202edka 40 %: 500 ml"},
		} {
			for _, also := range [][]string{nil, {"--json"}} {
				typed := append(append([]string{}, c...), append(also, "--now=2026-11-21T18:00")...)
				status, out, errs := run(t, typed...)
				if status == 0 || status == 3 {
					answered++
				}
				for _, r := range out + errs {
					if r != '\n' && unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) {
						t.Errorf("%q prints %U\n%q\n%q", typed, r, out, errs)
						break
					}
				}
				if also == nil && strings.Contains("\n"+out, "\nforged") {
					t.Errorf("%q prints a line of a note as its own:\n%s", typed, out)
				}
			}
		}
	}
	if answered < 60 {
		t.Errorf("only %d answers were looked at", answered)
	}
}

// TestNothingUnseenIsWritten: neither do the files that are made for others to open, and a
// joiner that letters need stays in them.
func TestNothingUnseenIsWritten(t *testing.T) {
	t.Chdir(t.TempDir())
	const mint = "نعنا\u200cها" // two letters that must not join
	write(t, "a.toml", strings.Replace(strings.Split(unseenBatch, "[[strained]]")[0], "\"zzq\"", "\""+mint+"\"", 1))
	for _, c := range [][]string{{"page", "-o", "a.html"}, {"page", "--bench", "-o", "b.html"}, {"chart", "--format", "svg", "-o", "."},
		{"calendar", "-o", "a.ics"}, {"label", "--sheet", "A4", "-o", "a.pdf"}} {
		typed := append([]string{c[0], "a.toml", "--now", "2026-11-20T22:00"}, c[1:]...)
		if status, _, errs := run(t, typed...); status != statusAnswered && status != statusAct {
			t.Fatalf("%q: status %d: %s", typed, status, errs)
		}
	}
	for name, joined := range map[string]bool{"a.html": true, "b.html": true, "a.ics": true, "a-curves.svg": true} {
		src, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		text := strings.ReplaceAll(string(src), "\r\n ", "") // the folds of a calendar
		for _, r := range text {
			if visible.Hidden(r) && !strings.ContainsRune("\r\n\t", r) {
				t.Errorf("%s holds %U", name, r)
				break
			}
		}
		if joined && !strings.Contains(text, mint) {
			t.Errorf("%s lost the joiner of %q", name, mint)
		}
	}
}
