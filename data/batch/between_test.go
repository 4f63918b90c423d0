package batch

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"steepbook/data/strict"
)

// TestEditorSaves: between our reading and our writing an editor saves, in the place of the
// file or into it; what it saved stands there whole, and the entry behind it, once. A file
// that it cannot be put into leaves the entry to paste.
func TestEditorSaves(t *testing.T) {
	edited := strings.Replace(small, "a remark", "another remark, which is longer", 1)
	for _, c := range []struct {
		name string
		save func(path string) error
		want string // of the file, "" where it must hold the entry behind edited
	}{
		{"by a new file", func(path string) error {
			if err := os.WriteFile(path+"~", []byte(edited), 0o644); err != nil {
				return err
			}
			return os.Rename(path+"~", path)
		}, ""},
		{"by a new file of the same size", func(path string) error {
			same := strings.Replace(small, "a remark", "A REMARK", 1)
			if err := os.WriteFile(path+"~", []byte(same), 0o644); err != nil {
				return err
			}
			return os.Rename(path+"~", path)
		}, "A REMARK"},
		{"into the file", func(path string) error { return os.WriteFile(path, []byte(edited), 0o644) }, ""},
		{"into the file, slowly", func(path string) error {
			go func() {
				time.Sleep(80 * time.Millisecond)
				_ = os.WriteFile(path, []byte(edited), 0o644)
			}()
			return os.Truncate(path, 0)
		}, ""},
		{"an end cut off", func(path string) error { return os.WriteFile(path, []byte(small[:len(small)-9]), 0o644) }, "!"},
		{"and removes it", os.Remove, "!"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := writeFile(t, small)
			saved := false
			err := Append(path, NewNote{"clear", "3 h"}, time.UTC, func(_, _ *Batch) error {
				if saved {
					return nil
				}
				saved = true
				return c.save(path)
			})
			entry := "[[noted]]\nwhat = \"clear\"\nat = \"3 h\"\n"
			var w *WriteError
			switch src, _ := os.ReadFile(path); {
			case c.want == "!":
				if !errors.As(err, &w) || w.Entry != entry || strings.Contains(string(src), "clear") {
					t.Errorf("%v\n%s", err, src)
				}
			case c.want != "": // it cannot be told from ours by its size, but it is told of
				if strings.Count(string(src), entry) != 1 || !strings.Contains(string(src), c.want) {
					t.Errorf("%v\n%s", err, src)
				}
			case err != nil || string(src) != edited+"\n"+entry:
				t.Errorf("%v\n%s", err, src)
			}
		})
	}
}

// TestOpenInAnEditor: a file that somebody has open is written to all the same, and who reads
// on sees it.
func TestOpenInAnEditor(t *testing.T) {
	path := writeFile(t, small)
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := Append(path, NewNote{"clear", "3 h"}, time.UTC); err != nil {
		t.Fatal(err)
	}
	seen := make([]byte, 1000)
	if n, _ := f.ReadAt(seen, 0); string(seen[:n]) != readFile(t, path) {
		t.Errorf("%q", seen[:n])
	}
}

// TestLargeFile: ten megabytes of the maker's own are kept to the byte and written behind; a
// file that would be too large to be read again takes no entry.
func TestLargeFile(t *testing.T) {
	remarks := strings.Repeat("# and so it went on, evening after evening"+strings.Repeat("-", 957)+"\n", 10<<10)
	before := "\uFEFF" + strings.ReplaceAll(small+remarks, "\n", "\r\n")
	path := writeFile(t, before)
	if err := Append(path, NewNote{"clear", "3 h"}, time.UTC); err != nil {
		t.Fatal(err)
	}
	if got := readFile(t, path); got != before+"\r\n[[noted]]\r\nwhat = \"clear\"\r\nat = \"3 h\"\r\n" {
		t.Error("the file is another one")
	}
	if _, err := Undo(path, "", time.UTC); err != nil || readFile(t, path) != before {
		t.Error("it is not as it was", err)
	}
	most := small + strings.Repeat("#"+strings.Repeat("-", 998)+"\n", strict.Most/1000+1)
	path = writeFile(t, most[:strict.Most-20]+"\n")
	var w *WriteError
	err := Append(path, NewNote{"clear", "3 h"}, time.UTC)
	if !errors.As(err, &w) || !strings.Contains(fmt.Sprint(err), "would be too large") {
		t.Errorf("%v", err)
	}
	if _, err := Read(path, time.UTC); err != nil {
		t.Error(err)
	}
}
