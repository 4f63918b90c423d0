package batch

import (
	"errors"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"steepbook/data/strict"
)

// TestCutOff: of every kind of entry every beginning is left at the end of the file, as a
// machine may leave it that stops. What was there before reads as before, or the fault is
// said with its line; the next entry is logged, and no byte of the maker's is lost.
func TestCutOff(t *testing.T) {
	score := []Score{{"bitter", 1}, {"green cardamom", 2.5}}
	said := map[string]int{}
	for _, end := range []string{"\n", "\r\n"} {
		for _, e := range []Entry{
			NewTasting{At: "2026-11-21T00:05:00", Sample: "1:3", Taster: "B", Words: "thin, \"odd\" \\ é", Scores: score},
			NewTasting{At: "2026-11-21T00:05:00+01:00", Scores: score},
			NewPull{[]string{"green cardamom"}, "20 h"},
			NewStraining{Names: []string{"green cardamom", "blood orange zest"}, At: "2026-11-22T08:00:00"},
			NewStraining{At: "2026-11-22T08:00:00", Volume: "680 ml"},
			NewAdded{"white sugar", "100 g", "2026-11-22T08:00:00", "", 0},
			NewBottling{5, "250 ml", "1.2 l", "2026-11-22T08:00:00", 0},
			NewOpening{1, "2026-11-22T08:00:00"},
			NewEmptying{1, "2026-11-22T08:00:00"},
			NewNote{"fizzed", "2026-11-22T08:00:00"},
		} {
			before := strings.ReplaceAll(small+"\n[[noted]]\nwhat = \"clear\"\nat = \"1 h\"\n", "\n", end)
			path := writeFile(t, before)
			was, err := Read(path, time.UTC)
			if err != nil {
				t.Fatal(err)
			}
			if err := Append(path, e, time.UTC); err != nil {
				t.Fatal(err)
			}
			is, err := Read(path, time.UTC)
			if err != nil {
				t.Fatal(err)
			}
			piece := strings.TrimPrefix(readFile(t, path), before)
			for k := range piece {
				if end == "\n" || k%5 == 0 {
					torn(t, path, before+piece[:k], was, is, said)
				}
				if k%7 == 0 {
					torn(t, path, before+piece[:k]+"\x00\x00\x00", was, is, said)
				}
			}
		}
	}
	t.Logf("of the beginnings: %v", said)
	if said["reads as another entry"] > said["left out"]/50 {
		t.Errorf("too many read as another entry: %v", said)
	}
}

// torn holds a file with a beginning of an entry to what TestCutOff says.
func torn(t *testing.T, path, text string, was, is *Batch, said map[string]int) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	b, err := Read(path, time.UTC)
	var fault *strict.Error
	switch {
	case errors.As(err, &fault) && fault.Line > 0:
		said["a fault with its line"]++
		return
	case err != nil:
		t.Fatalf("%q: %v", text, err)
	case reflect.DeepEqual(b.Logged, was.Logged):
		said["left out"]++
	case reflect.DeepEqual(b.Logged, is.Logged):
		said["whole"]++
	default:
		said["reads as another entry"]++
	}
	if len(text)%5 > 0 { // it takes its time
		return
	}
	if err := Append(path, NewNote{"after", "60 h"}, time.UTC); err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	now := readFile(t, path)
	after, err := Read(path, time.UTC)
	if err != nil || after.CutOff != "" || len(after.Log()) != len(b.Log())+1 {
		t.Fatalf("%q became %q: %v", text, now, err)
	}
	for _, line := range strings.Split(strings.TrimRight(text, "\x00"), "\n") {
		if line = strings.TrimRight(line, "\r"); !strings.Contains(now, line) {
			t.Fatalf("%q became %q: %q is lost", text, now, line)
		}
	}
	if strings.Trim(b.CutOff, "\x00") != "" != strings.Contains(now, "# Cut off") {
		t.Fatalf("%q became %q", text, now)
	}
}

// TestCutOffIsNoFaultOfTheMaker: what a maker wrote wrong is said, not left out.
func TestCutOffIsNoFaultOfTheMaker(t *testing.T) {
	for _, last := range []string{
		"[[tasting]]\nat = \"1 h\"\nscore = { bittter = 1 }", "[[tasting]]\nat = \"1 h\"\nscore = { bitter 1 }",
		"[[tasting]]\nat = \"1 h\"", "[[tasting]]\nat = \"1 h\"\nscore = { bitter = 1\n", "[[noted]]\nwhat = fizzed",
		"[[watch]]\nname = \"hot", "[[noted]]\nwhat = \"fizzed\nat = \"1 h\"",
	} {
		if b, err := Parse("w.toml", []byte(small+"\n"+last), time.UTC); err == nil {
			t.Errorf("%q reads, without %q", last, b.CutOff)
		}
	}
}

// TestCutOffAtAPage: what a system had written to the edge of a page when it stopped may end with a line.
func TestCutOffAtAPage(t *testing.T) {
	entry := "\n[[noted]]\nwhat = \"fizzed\"\nat = \"2 h\"\n"
	for _, end := range []string{"\n", "\r\n"} {
		for at := 2; at < strings.Count(entry, "\n"); at++ { // lines of it
			torn := small + strings.Join(strings.SplitAfter(entry, "\n")[:at], "")
			bare := len(strings.ReplaceAll("#\n"+torn, "\n", end))
			for _, over := range []int{0, 1} {
				text := strings.ReplaceAll("#"+strings.Repeat("x", pageBytes-bare%pageBytes+over)+"\n"+torn, "\n", end)
				path := writeFile(t, text)
				b, err := Read(path, time.UTC)
				if over > 0 {
					if err == nil {
						t.Errorf("an entry of the maker without its time is left out: %q", torn)
					}
					continue
				}
				if err != nil || b.CutOff == "" || len(b.Log()) != 0 {
					t.Fatalf("%q: %+v, %v", torn, b, err)
				}
				if err := Append(path, NewNote{"clear", "2026-11-22T08:00:00"}, time.UTC); err != nil {
					t.Fatal(err)
				}
				if b, err = Read(path, time.UTC); err != nil || len(b.Log()) != 1 || b.CutOff != "" {
					t.Errorf("%q: %+v, %v", readFile(t, path), b, err)
				}
			}
		}
	}
}
