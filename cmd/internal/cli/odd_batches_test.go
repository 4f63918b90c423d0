package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"steepbook/cmd/internal/somejar"
)

// oddBatches are right but leave out, overdo or forbid something.
func oddBatches() map[string]string {
	const head = "name = \"T\"\nstarted = 2026-11-20T18:00:00\n"
	const spirit = "[spirit]\nname = \"rum\"\nabv = 40\namount = \"500 ml\"\n"
	const clove = "[[botanical]]\nname = \"clove\"\namount = \"2 g\"\ntarget = 6\n"
	many := head + "[spirit]\nname = \"rum\"\nabv = 40\namount = \"5 l\"\n"
	for i := range somejar.Either(20, 50) {
		many += fmt.Sprintf("[[botanical]]\nname = \"odd thing %d\"\namount = \"2 g\"\ntarget = %d\n", i,
			i%11)
	}
	return map[string]string{
		"empty": head,
		"only additions": head + "[[addition]]\nname = \"water\"\namount = \"500 " +
			"ml\"\n[[addition]]\nname = \"white sugar\"\namount = \"200 g\"\n",
		"only sugar": head + "[[addition]]\nname = \"white sugar\"\namount = \"200 " +
			"g\"\n[finish]\nbottle = \"250 ml\"\n",
		"only botanicals": head + clove + "[[botanical]]\nname = \"green cardamom\"\n",
		"only a watch": head + "[[watch]]\nname = \"bitter\"\nlimit = 2\n[[tasting]]\nat = \"3 " +
			"h\"\nscore = { bitter = 1 }\n",
		"at its start":    strings.Replace(head, "2026-11-20T18", "2026-11-23T08", 1) + spirit + clove,
		"a nameless base": head + "[spirit]\nname = \"\"\nabv = 40\namount = \"1 ml\"\n",
		"in the future": strings.Replace(head, "2026", "2036", 1) + spirit + clove +
			"[[watch]]\nname = \"bitter\"\nlimit = 2\n",
		"forbidden": head + spirit + clove + "[[botanical]]\nname = \"apricot kernel\"\namount = " +
			"\"20 g\"\n[[botanical]]\nname = \"tobacco\"\namount = \"2 g\"\n",
		"forbidden, added": head + spirit + clove +
			"[[addition]]\nname = \"apricot kernel\"\namount = \"20 g\"\n",
		"all is soaked up": head + "[spirit]\nname = \"rum\"\nabv = 40\namount = \"50 " +
			"ml\"\n[[botanical]]\nname = \"hibiscus\"\namount = \"900 g\"\ntarget = " +
			"6\n[finish]\nbottle = \"250 ml\"\n",
		"a drop": head + "[spirit]\nname = \"rum\"\nabv = 40\namount = \"0.01 ml\"\nprice = " +
			"3\n[finish]\nbottle = \"250 ml\"\n" + clove,
		"no alcohol": head + strings.Replace(spirit, "40", "0", 1) + clove,
		"all alcohol": head + strings.Replace(spirit, "40", "100", 1) +
			strings.Replace(clove, "6", "10", 1) + "[[watch]]\nname = \"bitter\"\nlimit = 0\n",
		"all is nought": head + strings.Replace(clove, "6", "0", 1) + "[[tasting]]\nat = \"0 h\"\nscore " +
			"= { clove = 0 }\n[[tasting]]\nat = \"6 h\"\nscore = { clove = 0 }\n",
		"all is ten": head + clove + "[[tasting]]\nat = \"1 h\"\nscore = { clove = 10 }\nsample = " +
			"\"1:9\"\n[[tasting]]\nat = \"6 h\"\nscore = { clove = 10 }\n",
		"a long name":   head + "[[botanical]]\nname = \"" + strings.Repeat("x", 80) + "\"\ntarget = 5\n",
		"other letters": head + spirit + "[[botanical]]\nname = \"柚子の皮\"\namount = \"5 g\"\ntarget = 4\n",
		"boiling":       head + "room = \"90 C\"\n" + spirit + clove,
		"frozen":        head + "room = \"-18 C\"\n" + spirit + clove,
		"many":          many,
	}
}

// TestOddBatches: no command panics, fails or prints a number that is none on
// a batch that is right, however odd; and what is JSON can be read.
func TestOddBatches(t *testing.T) {
	wrong := regexp.MustCompile(`\bNaN\b|[+-]?\bInf\b|%!|\bsafe\b|-9223372036854775808|\d~`)
	commands := [][]string{
		{"check"}, {"steep"}, {"steep", "--together"}, {"steep", "--units", "us"}, {"blend"},
		{"blend", "--units", "us"}, {"keep", "--why", "--units", "us"},
		{"blend", "--abv", "20", "--sugar", "100", "--volume", "1l"},
		{"keep"}, {"keep", "--opened", "--at", "-18C"}, {"keep", "--sign", "fizz"}, {"working"},
	}
	for name, src := range oddBatches() {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			file := t.TempDir() + "/odd.toml"
			if err := os.WriteFile(file, []byte(src), 0o644); err != nil {
				t.Fatal(err)
			}
			for _, now := range []string{"2026-11-23T08:00", "2036-06-01T00:00"} {
				for _, cmd := range commands {
					if slow := name == "many" || name == "all is ten"; slow &&
						(now != "2026-11-23T08:00" || cmd[len(cmd)-1] == "us" || cmd[0] != "steep" && cmd[0] != "working") {
						continue // no odder in what is left out
					}
					typed := append([]string{cmd[0], file, "--now", now}, cmd[1:]...)
					status, out, errs := run(t, typed...)
					if status == statusFailure || wrong.MatchString(out+errs) {
						t.Errorf("%v at %s: status %d: %s\n%.300s", cmd, now, status, errs,
							wrong.FindString(out+errs))
					}
					if now != "2026-11-23T08:00" || cmd[0] == "working" {
						continue
					}
					status, out, errs = run(t, append(typed, "--json")...)
					if status == statusFailure || status != statusInput && !json.Valid([]byte(out)) {
						t.Errorf("%v --json at %s: status %d: %s\n%.300s", cmd, now, status, errs, out)
					}
				}
			}
		})
	}
}

// TestOddPictures does the same for what is drawn.
func TestOddPictures(t *testing.T) {
	for name, src := range oddBatches() {
		if name == "many" || name == "all is ten" {
			continue
		}
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			if err := os.WriteFile(dir+"/odd.toml", []byte(src), 0o644); err != nil {
				t.Fatal(err)
			}
			status, out, errs := run(t, "chart", dir+"/odd.toml", "--format", "svg", "--now",
				"2026-11-23T08:00")
			if status == statusFailure {
				t.Errorf("status %d: %s%s", status, out, errs)
			}
		})
	}
}

// TestNamesOfNoLength are refused where a name is needed.
func TestNamesOfNoLength(t *testing.T) {
	dir := t.TempDir()
	const head = "name = \"T\"\nstarted = 2026-11-20T18:00:00\n"
	for _, src := range []string{"name = \"\"\nstarted = 2026-11-20T18:00:00\n", head +
		"[[botanical]]\nname = \"\"\n", head + "[[addition]]\nname = \" \"\n", head +
		"[[watch]]\nname = \"\"\nlimit = 2\n"} {
		if err := os.WriteFile(dir+"/a.toml", []byte(src), 0o644); err != nil {
			t.Fatal(err)
		}
		if status, _, errs := run(t, "steep", dir+"/a.toml"); status != statusInput ||
			!strings.Contains(errs, "name") {
			t.Errorf("status %d, %q for\n%s", status, errs, src)
		}
	}
}
