package batch

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"steepbook/data/disk"
	"steepbook/data/strict"
)

const small = `# mine, do not touch
name = "x"   # a remark
started = 2026-11-20T18:00:00
[[botanical]]
name = "green cardamom"
[[botanical]]
name = "blood orange zest"
[[watch]]
name = "bitter"
limit = 2
`

func writeFile(t testing.TB, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "winter.toml")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func readFile(t testing.TB, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// onlyFile checks that nothing was left beside a file.
func onlyFile(t testing.TB, path string) {
	t.Helper()
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if e.Name() != filepath.Base(path) {
			t.Errorf("%s was left behind", e.Name())
		}
	}
}

func TestAppend(t *testing.T) {
	path := writeFile(t, small)
	steps := []struct {
		add  func() error
		want string
	}{
		{func() error {
			return Append(path, NewTasting{At: "6 h", Sample: "1:3", Taster: "B", Words: "bright, \"thin\"\nand \\ odd é",
				Scores: []Score{{"Orange Zest", 3.5}, {"green cardamom", 2}, {"bitter", 0}}}, time.UTC)
		}, "\n[[tasting]]\nat = \"6 h\"\nsample = \"1:3\"\ntaster = \"B\"\nscore = { \"blood orange zest\" = 3.5, \"green cardamom\" = 2, bitter = 0 }\n" +
			"words = \"bright, \\\"thin\\\"\\nand \\\\ odd é\"\n"},
		{func() error {
			return Append(path, NewTasting{At: "2026-11-21 00:05", Scores: []Score{{"bitter", 1}}}, time.UTC)
		}, "\n[[tasting]]\nat = 2026-11-21T00:05:00\nscore = { bitter = 1 }\n"},
		{func() error { return Append(path, NewPull{[]string{"cardamom"}, "20 h"}, time.UTC) },
			"\n[[pulled]]\nname = \"green cardamom\"\nat = \"20 h\"\n"},
		{func() error {
			return Append(path, NewPull{[]string{"blood orange zest"}, "2026-11-22T10:00:00+01:00"}, time.UTC)
		}, "\n[[pulled]]\nname = \"blood orange zest\"\nat = 2026-11-22T09:00:00Z\n"},
		{func() error {
			return Append(path, NewTasting{At: "2026-11-23", Scores: []Score{{"bitter", 1}}}, time.UTC)
		}, "\n[[tasting]]\nat = 2026-11-23\nscore = { bitter = 1 }\n"},
	}
	want := small
	for i, s := range steps {
		if err := s.add(); err != nil {
			t.Fatalf("step %d: %v", i, err)
		}
		want += s.want
		if got := readFile(t, path); got != want {
			t.Fatalf("step %d: got\n%s\nwant\n%s", i, got, want)
		}
	}
	onlyFile(t, path)
	b, err := Read(path, time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Tastings) != 3 || len(b.Pulls) != 2 || b.Tastings[0].Words != "bright, \"thin\"\nand \\ odd é" {
		t.Errorf("%+v, %+v", b.Tastings, b.Pulls)
	}
	if got := b.Tastings[0].Scores; !reflect.DeepEqual(got, []Score{{"blood orange zest", 3.5}, {"green cardamom", 2}, {"bitter", 0}}) {
		t.Errorf("%+v", got)
	}
}

// TestAppendKeepsTheFile: whatever the end of the file looks like.
func TestAppendKeepsTheFile(t *testing.T) {
	crlf := strings.ReplaceAll(small, "\n", "\r\n")
	entry := "[[pulled]]\nname = \"green cardamom\"\nat = \"20 h\"\n"
	entryCRLF := strings.ReplaceAll(entry, "\n", "\r\n")
	for name, c := range map[string]struct{ before, added string }{
		"no line end":          {strings.TrimSuffix(small, "\n"), "\n\n" + entry},
		"a remark at the end":  {small + "# to be continued", "\n\n" + entry},
		"blank lines":          {small + "\n\n", "\n" + entry},
		"Windows":              {crlf, "\r\n" + entryCRLF},
		"Windows, no line end": {strings.TrimSuffix(crlf, "\r\n"), "\r\n\r\n" + entryCRLF},
		"byte order mark":      {"\uFEFF" + small, "\n" + entry},
		"one line end at last": {strings.ReplaceAll(strings.TrimSuffix(small, "\n"), "\n", "\r\n") + "\n", "\r\n" + entryCRLF},
	} {
		path := writeFile(t, c.before)
		if err := Append(path, NewPull{[]string{"green cardamom"}, "20 h"}, time.UTC); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got := readFile(t, path); got != c.before+c.added {
			t.Errorf("%s: %q was added, want %q", name, strings.TrimPrefix(got, c.before), c.added)
		}
	}
}

// TestAppendRefuses: a fault in the entry or in the file leaves the file alone.
func TestAppendRefuses(t *testing.T) {
	one := []Score{{"bitter", 1}}
	for _, c := range []struct {
		name, file string
		add        func(path string) error
		want       string // PATH stands for the path
	}{
		{"unknown name", small, tasting(NewTasting{At: "6 h", Scores: []Score{{"green cardamim", 1}}}), `"green cardamim" is no botanical or watch of this batch; did you mean "green cardamom"?`},
		{"score too high", small, tasting(NewTasting{At: "6 h", Scores: []Score{{"bitter", 14}}}), `the score of "bitter" is 14; scores run from 0 (absent) to 10 (nothing else)`},
		{"no score", small, tasting(NewTasting{At: "6 h"}), `a tasting needs at least one score; e.g. bitter=1`},
		{"two scores of one name", small, tasting(NewTasting{At: "6 h", Scores: []Score{{"cardamom", 1}, {"green cardamom", 2}}}), `"green cardamom" has two scores in one tasting; keep one`},
		{"no time", small, tasting(NewTasting{Scores: one}), `the time is missing: say how long after the start, or when; e.g. 6 h`},
		{"wrong duration", small, tasting(NewTasting{At: "6 hous", Scores: one}), `unknown unit of time "hous" in "6 hous"; write wk, d, h or min; e.g. 2 d 4 h`},
		{"wrong moment", small, tasting(NewTasting{At: "2026-13-40", Scores: one}), `there is no such day in the calendar as in "2026-13-40"; e.g. 2026-11-20T18:00:00`},
		{"before the start", small, tasting(NewTasting{At: "2026-11-19T18:00", Scores: one}), `this tasting is before the batch started (2026-11-20 18:00); e.g. at = "6 h"`},
		{"wrong sample", small, tasting(NewTasting{At: "6 h", Sample: "a third", Scores: one}), `the sample "a third" is not of the form jar:other, nor "neat"; e.g. 1:3`},
		{"pull of a watch", small, pull("bitter", "3 h"), `"bitter" is a watch, a taste; only a botanical can be pulled`},
		{"a fault in the file", small + "room = 20\n", pull("cardamom", "3 h"), `PATH:11: unknown key "room" in [[watch]]; it belongs at the top, above the first line in brackets; e.g. room = "20 C"`},
		{"tastings in another form", "tasting = [{ at = \"1 h\", score = { bitter = 1 } }]\n" + small, tasting(NewTasting{At: "6 h", Scores: one}), `"tasting" was already given a value on line 1, so it cannot be a table as well`},
	} {
		path := writeFile(t, c.file)
		err := c.add(path)
		var e *strict.Error
		if !errors.As(err, &e) || e.Error() != strings.ReplaceAll(c.want, "PATH", path) {
			t.Errorf("%s:\n got %v\nwant %s", c.name, err, c.want)
		}
		if got := readFile(t, path); got != c.file {
			t.Errorf("%s: the file changed to\n%s", c.name, got)
		}
		onlyFile(t, path)
	}
}

func tasting(n NewTasting) func(string) error {
	return func(path string) error { return Append(path, n, time.UTC) }
}

func pull(name, at string) func(string) error {
	return func(path string) error { return Append(path, NewPull{[]string{name}, at}, time.UTC) }
}

// TestReadOnly: nothing is lost when the file cannot be written.
func TestReadOnly(t *testing.T) {
	path := writeFile(t, small)
	if err := os.Chmod(path, 0o444); err != nil {
		t.Fatal(err)
	}
	err := Append(path, NewTasting{At: "6 h", Words: "thin", Scores: []Score{{"bitter", 1}}}, time.UTC)
	var w *WriteError
	if !errors.As(err, &w) {
		t.Fatalf("%v, want a *WriteError", err)
	}
	want := path + ": nothing was written, because the file is read-only; add these lines to the end of the file yourself:\n\n" +
		"[[tasting]]\nat = \"6 h\"\nscore = { bitter = 1 }\nwords = \"thin\"\n"
	if w.Error() != want {
		t.Errorf("got\n%s\nwant\n%s", w, want)
	}
	if got := readFile(t, path); got != small {
		t.Errorf("the file changed to\n%s", got)
	}
	if _, err := Parse("w.toml", []byte(small+"\n"+w.Entry), time.UTC); err != nil {
		t.Errorf("the lines to paste are wrong: %v", err)
	}
	onlyFile(t, path)
}

// TestLinks: the file behind a link is written, and the link stays one.
func TestLinks(t *testing.T) {
	path := writeFile(t, small)
	link := filepath.Join(t.TempDir(), "link.toml")
	if err := os.Symlink(path, link); err != nil {
		t.Skip(err)
	}
	if err := Append(link, NewPull{[]string{"cardamom"}, "3 h"}, time.UTC); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link became %v, %v", info.Mode(), err)
	}
	if got := readFile(t, path); !strings.HasSuffix(got, "at = \"3 h\"\n") {
		t.Errorf("the file is\n%s", got)
	}
	onlyFile(t, path)
	onlyFile(t, link)
}

func TestReadFaults(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "winter.toml")
	if err := os.WriteFile(path, []byte(small), 0o644); err != nil {
		t.Fatal(err)
	}
	large := filepath.Join(dir, "large.toml")
	if err := os.WriteFile(large, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(large, 50<<20); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ path, want string }{
		{"", `no file is named`},
		{dir, dir + `: this is a folder, not a batch file`},
		{filepath.Join(dir, "summer.toml"), filepath.Join(dir, "summer.toml") + `: there is no such file`},
		{filepath.Join(dir, "winter"), filepath.Join(dir, "winter") + `: there is no such file; did you mean "winter.toml"?`},
		{filepath.Join(dir, "no", "x.toml"), filepath.Join(dir, "no", "x.toml") + `: there is no folder "` + filepath.Join(dir, "no") + `"`},
		{filepath.Join(path, "x.toml"), filepath.Join(path, "x.toml") + `: "` + path + `" is not a folder`},
		{large, large + `: the file has 50 MB, too much for a batch; is it the right file?`},
		{os.DevNull, os.DevNull + `: this is not an ordinary file`},
	} {
		for name, f := range map[string]func() error{
			"Read":       func() error { _, err := Read(c.path, time.UTC); return err },
			"AppendPull": func() error { return Append(c.path, NewPull{[]string{"cardamom"}, "3 h"}, time.UTC) },
			"AppendTasting": func() error {
				return Append(c.path, NewTasting{At: "3 h", Scores: []Score{{"bitter", 1}}}, time.UTC)
			},
		} {
			err := f()
			var e *strict.Error
			if !errors.As(err, &e) || e.Error() != c.want {
				t.Errorf("%s(%q):\n got %v\nwant %s", name, c.path, err, c.want)
			}
		}
	}
	if os.Geteuid() == 0 {
		return // permissions mean nothing to the superuser
	}
	if err := os.Chmod(path, 0); err != nil {
		t.Fatal(err)
	}
	if _, err := Read(path, time.UTC); err == nil || !strings.Contains(err.Error(), "may not be read or written by you") {
		t.Errorf("a forbidden file: %v", err)
	}
}

// TestManyWriters: entries from many goroutines and several processes at once
// are all there afterwards.
func TestManyWriters(t *testing.T) {
	const processes, goroutines, rounds = 3, 3, 6
	path := writeFile(t, small)
	var wg sync.WaitGroup
	failed := make(chan error, processes+goroutines)
	for g := range goroutines {
		wg.Add(1)
		go func() {
			defer wg.Done()
			failed <- writeRounds(path, fmt.Sprintf("goroutine %d", g), rounds)
		}()
	}
	for p := range processes {
		cmd := exec.Command(os.Args[0], "-test.run=^TestWriterProcess$")
		cmd.Env = append(os.Environ(), "STEEPBOOK_TEST_FILE="+path, fmt.Sprintf("STEEPBOOK_TEST_NAME=process %d", p), fmt.Sprintf("STEEPBOOK_TEST_ROUNDS=%d", rounds))
		wg.Add(1)
		go func() {
			defer wg.Done()
			out, err := cmd.CombinedOutput()
			if err != nil {
				err = fmt.Errorf("%w: %s", err, out)
			}
			failed <- err
		}()
	}
	wg.Wait()
	close(failed)
	for err := range failed {
		if err != nil {
			t.Error(err)
		}
	}
	b, err := Read(path, time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]int{}
	for _, x := range b.Tastings {
		seen[x.Taster+" "+x.Words]++
	}
	if len(b.Tastings) != (processes+goroutines)*rounds || len(seen) != len(b.Tastings) {
		t.Errorf("%d tastings, %d of them different, of %d", len(b.Tastings), len(seen), (processes+goroutines)*rounds)
	}
	if !strings.HasPrefix(readFile(t, path), small) {
		t.Error("the beginning of the file changed")
	}
	onlyFile(t, path)
}

func writeRounds(path, name string, rounds int) error {
	for i := range rounds {
		err := Append(path, NewTasting{At: "6 h", Taster: name, Words: fmt.Sprint(i), Scores: []Score{{"bitter", 1}}}, time.UTC)
		if err != nil {
			return err
		}
	}
	return nil
}

// TestWriterProcess is the other process of TestManyWriters.
func TestWriterProcess(t *testing.T) {
	path := os.Getenv("STEEPBOOK_TEST_FILE")
	if path == "" {
		t.Skip("only runs within TestManyWriters")
	}
	var rounds int
	if _, err := fmt.Sscan(os.Getenv("STEEPBOOK_TEST_ROUNDS"), &rounds); err != nil {
		t.Fatal(err)
	}
	if err := writeRounds(path, os.Getenv("STEEPBOOK_TEST_NAME"), rounds); err != nil {
		t.Fatal(err)
	}
}

// TestEditorBetween: an editor that saves while we write is noticed, not
// overwritten.
func TestEditorBetween(t *testing.T) {
	path := writeFile(t, small)
	held, err := disk.Lock(path)
	if err != nil {
		t.Fatal(err)
	}
	defer held.Unlock()
	if err := os.WriteFile(path, []byte(small+"# saved by an editor\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := held.Append([]byte(small), []byte("[[pulled]]\n")); !errors.Is(err, disk.ErrChanged) {
		t.Errorf("got %v", err)
	}
	if err := held.Amend([]byte(small), 3, nil); !errors.Is(err, disk.ErrChanged) {
		t.Errorf("got %v", err)
	}
	if got := readFile(t, path); got != small+"# saved by an editor\n" {
		t.Errorf("the file is\n%s", got)
	}
	// The same length, other words: noticed when it is read back.
	other := bytes.Replace([]byte(small), []byte("mine"), []byte("ours"), 1)
	if err := os.WriteFile(path, other, 0o644); err != nil {
		t.Fatal(err)
	}
	err = held.Append([]byte(small), []byte("# x\n"))
	var d disk.Doubt
	if !errors.As(err, &d) {
		t.Errorf("got %v", err)
	}
	w := &WriteError{File: "w.toml", Reason: d.Reason, Entry: "[[pulled]]\n", Doubtful: true}
	if want := "w.toml: the new entry may not be in the file, because another program changed the file at the same moment; look at its end and add these lines if they are missing:\n\n[[pulled]]\n"; w.Error() != want {
		t.Errorf("got\n%s\nwant\n%s", w, want)
	}
}

// TestReplacedWhileWaiting: when an editor puts a new file in the place of the
// locked one, the next writer locks the new one.
func TestReplacedWhileWaiting(t *testing.T) {
	path := writeFile(t, small)
	held, err := disk.Lock(path)
	if err != nil {
		t.Fatal(err)
	}
	done := make(chan error)
	go func() { done <- Append(path, NewPull{[]string{"cardamom"}, "3 h"}, time.UTC) }()
	time.Sleep(50 * time.Millisecond)
	edited := small + "# edited\n"
	if err := os.WriteFile(path+".new", []byte(edited), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(path+".new", path); err != nil {
		t.Fatal(err)
	}
	held.Unlock()
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	if got := readFile(t, path); !strings.HasPrefix(got, edited) || !strings.Contains(got, "[[pulled]]") {
		t.Errorf("the file is\n%s", got)
	}
	onlyFile(t, path)
}

// TestAppendThenRead: whatever is typed comes back, and nothing else changes.
func TestAppendThenRead(t *testing.T) {
	path := writeFile(t, small)
	rapid.Check(t, func(t *rapid.T) {
		before, err := Read(path, time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		text := rapid.StringOf(rapid.RuneFrom([]rune("ab \"'\\\n\t#[]={},é😀\u0085\u2028")))
		n := NewTasting{At: "6 h", Taster: strings.TrimSpace(text.Draw(t, "taster")), Words: text.Draw(t, "words"),
			Scores: []Score{{"bitter", float64(rapid.IntRange(0, 1000).Draw(t, "bitter")) / 100}, {"green cardamom", float64(rapid.IntRange(0, 7).Draw(t, "cardamom")) / 0.7}}}
		if err := AppendAgain(path, n, time.UTC); err != nil {
			t.Fatalf("%+v: %v", n, err)
		}
		after, err := Read(path, time.UTC)
		if err != nil {
			t.Fatalf("%+v: %v", n, err)
		}
		got := after.Tastings[len(after.Tastings)-1]
		if len(after.Tastings) != len(before.Tastings)+1 || got.Words != n.Words || got.Taster != n.Taster || !reflect.DeepEqual(got.Scores, n.Scores) {
			t.Fatalf("%+v came back as %+v", n, got)
		}
		if err := onlyGrew(before, after, 1); err != nil {
			t.Fatal(err)
		}
		if err := onlyGrew(after, before, 1); err == nil {
			t.Fatal("a loss is not noticed")
		}
		if len(after.Tastings) > 20 { // start anew: each round reads all of it
			if err := os.WriteFile(path, []byte(small), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	})
}

func TestOnlyGrew(t *testing.T) {
	parse := func(text string) *Batch {
		b, err := Parse("w.toml", []byte(text), time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	one := "[[tasting]]\nat = \"6 h\"\nscore = { bitter = 1 }\n"
	before := parse(small + one)
	for name, c := range map[string]struct {
		text string
		ok   bool
	}{
		"one more":           {small + one + one, true},
		"a pull more":        {small + one + "[[pulled]]\nname = \"green cardamom\"\nat = \"3 h\"\n", true},
		"none more":          {small + one, false},
		"two more":           {small + one + one + one, false},
		"an old one altered": {small + strings.Replace(one, "1", "2", 1) + one, false},
		"the name altered":   {strings.Replace(small, `"x"`, `"y"`, 1) + one + one, false},
	} {
		if err := onlyGrew(before, parse(c.text), 1); (err == nil) != c.ok {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func BenchmarkAppend(b *testing.B) {
	path := writeFile(b, small)
	for b.Loop() {
		if err := AppendAgain(path, NewTasting{At: "6 h", Scores: []Score{{"bitter", 1}}}, time.UTC); err != nil {
			b.Fatal(err)
		}
	}
}
