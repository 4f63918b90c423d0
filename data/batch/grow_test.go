package batch

import (
	"errors"
	"os"
	"strings"
	"testing"
	"time"

	"steepbook/data/strict"
)

func TestGrow(t *testing.T) {
	const old = "# mine\r\na = 1" // Windows line ends, and none at the end
	path := writeFile(t, old)
	yes := func(_, _ []byte) error { return nil }
	asked := 0
	add := func(text string) func([]byte) (string, error) {
		return func([]byte) (string, error) { asked++; return text, nil }
	}
	if err := Grow(path, add(""), yes); err != nil || readFile(t, path) != old {
		t.Errorf("nothing to add: %v", err)
	}
	if asked != 1 {
		t.Errorf("asked %d times for nothing", asked)
	}
	var seen string
	err := Grow(path, add("b = 2\n"), func(was, grown []byte) error { seen = string(was) + "|" + string(grown); return nil })
	want := old + "\r\n\r\nb = 2\r\n"
	if err != nil || readFile(t, path) != want || seen != old+"|"+want || asked != 3 {
		t.Errorf("%v, %q, checked %q, asked %d times", err, readFile(t, path), seen, asked)
	}
	onlyFile(t, path)

	var refused *WriteError
	err = Grow(path, add("c = 3\n"), func(_, _ []byte) error { return errors.New("it says too much") })
	if !errors.As(err, &refused) || refused.Doubtful || refused.Entry != "c = 3\n" || !strings.Contains(err.Error(), "it says too much") {
		t.Errorf("refused by the check: %v", err)
	}
	fault := &strict.Error{Problem: "no"}
	if err := Grow(path, add("c = 3\n"), func(_, _ []byte) error { return fault }); err != fault {
		t.Errorf("a fault in the entry: %v", err)
	}
	if err := Grow(path, func([]byte) (string, error) { return "", fault }, yes); err != fault {
		t.Errorf("no entry: %v", err)
	}
	if readFile(t, path) != want {
		t.Errorf("changed: %q", readFile(t, path))
	}
	if err := os.Chmod(path, 0o444); err != nil {
		t.Fatal(err)
	}
	if err := Grow(path, add("c = 3\n"), yes); !errors.As(err, &refused) || !strings.Contains(refused.Reason, "read-only") {
		t.Errorf("read-only: %v", err)
	}
}

func TestBought(t *testing.T) {
	const head = "name = \"x\"\nstarted = 2026-11-20T18:00:00\n[[botanical]]\nname = \"clove\"\n"
	for _, c := range []struct {
		line, want, says string
	}{
		{"", "0001-01-01", ""},
		{"bought = 2025-11-01", "2025-11-01", ""},
		{"bought = \"2025-11-01\"", "2025-11-01", ""},
		{"bought = 2026-11-20", "2026-11-20", ""},                        // the same day
		{"in = \"2 d\"\nbought = 2026-11-22T23:00:00", "2026-11-22", ""}, // bought for it on the way
		{"bought = 2026-11-21", "", "it was bought on 2026-11-21, after it went into the jar (2026-11-20)"},
		{"bought = \"last year\"", "", "is not a date"},
		{"bought = 2025", "", "the day it was bought"},
		{"bought = 1025-11-01", "", "1900"},
		{"bough = 2025-11-01", "", "\"bought\""},
		{"harvested = 2025-11-01", "", "\"bought\""},
	} {
		b, err := Parse("x.toml", []byte(head+c.line+"\n"), time.UTC)
		if c.says != "" {
			var e *strict.Error
			if !errors.As(err, &e) || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%s: %v", c.line, err)
			}
			continue
		}
		if err != nil || b.Botanicals[0].Bought.Format(time.DateOnly) != c.want {
			t.Errorf("%s: %v", c.line, err)
		}
	}
}
