package disk

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"steepbook/data/strict"
)

// TestReason: in words, however deep it lies.
func TestReason(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{&fs.PathError{Op: "write", Path: "/x", Err: syscall.ENOSPC}, "the disk is full"},
		{fmt.Errorf("a: %w", &os.LinkError{Op: "rename", Err: syscall.EROFS}), "the disk can only be read"},
		{&strict.Error{Problem: "it", Err: syscall.EACCES}, "you have no permission for it"},
		{fmt.Errorf("b: %w", Clause("so it is")), "so it is"},
		{&fs.PathError{Op: "write", Path: "/x", Err: errors.New("odd")}, `the system says "odd"`},
	} {
		if got := Reason(c.err); got != c.want {
			t.Errorf("%v: %q, want %q", c.err, got, c.want)
		}
	}
}

// TestReplace: the old file or the new one, nothing beside it, and nothing but a file is
// replaced.
func TestReplace(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.svg")
	text := func(s string) func(io.Writer) error {
		return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
	}
	for _, s := range []string{"one", "two"} {
		if err := Replace(path, text(s)); err != nil {
			t.Fatal(err)
		}
	}
	odd := errors.New("odd")
	if err := Replace(path, func(w io.Writer) error { _ = text("half")(w); return odd }); err != odd {
		t.Error(err)
	}
	if got, err := os.ReadFile(path); err != nil || string(got) != "two" {
		t.Errorf("%q, %v", got, err)
	}
	for to, want := range map[string]string{os.DevNull: "no ordinary file", dir: "no ordinary file",
		filepath.Join(dir, "no", "a.svg"): "make it first", filepath.Join(path, "b.svg"): "is not a folder"} {
		err := Replace(to, text("x"))
		var e *strict.Error
		if !errors.As(err, &e) || e.Err != nil || !strings.Contains(strings.Replace(err.Error(), "not an", "no", 1), want) {
			t.Errorf("%s: %v, want %q", to, err, want)
		}
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) != 1 {
		t.Errorf("%v, %v", left, err)
	}
}
