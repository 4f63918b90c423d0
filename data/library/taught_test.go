package library

import (
	"errors"
	"strings"
	"testing"

	"steepbook/data/strict"
)

const taughtFile = `
[[botanical]]
name = "clove"
[[botanical.cut]]
name = "whole"
rate_per_h = 0.02
rate_gsd = 1.6
taught_by = ["a.toml", "b.toml"]
taught_room_c = 19
[[botanical.cut]]
name = "ground"
rate_per_h = 3
rate_gsd = 1.5
taught_by = ["b.toml"]
taught_abv = 57

[[botanical]]
name = "window gum"
[[botanical.cut]]
name = "as is"
rate_per_h = 0.5
rate_gsd = 2
taught_by = ["c.toml"]
`

func TestUntaught(t *testing.T) {
	base := Builtin()
	l, err := base.With("library.toml", []byte(taughtFile))
	if err != nil {
		t.Fatal(err)
	}
	cut := func(l *Library, name, cut string) *Cut {
		t.Helper()
		b, err := l.Botanical(name)
		if err != nil {
			t.Fatal(err)
		}
		c, err := b.Cut(cut)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	whole := cut(l, "clove", "whole")
	if whole.RatePerH.Value != 0.02 || whole.RatePerH.Grade != Own || !whole.Taught.Has("a.toml") || whole.Taught.Has("c.toml") || *whole.Taught.RoomC != 19 || whole.Taught.ABVPercent != nil {
		t.Errorf("taught: %+v %+v", whole.RatePerH, whole.Taught)
	}
	same := func(x, y *Cut) bool {
		return x.RatePerH == y.RatePerH && x.RateGSD == y.RateGSD && x.FirstTasteH == y.FirstTasteH
	}
	was := cut(base, "clove", "whole")
	for _, c := range []struct {
		file                string
		whole, ground, gums bool // still taught
	}{{"a.toml", false, true, true}, {"b.toml", false, false, true}, {"c.toml", true, true, false}, {"", false, false, false}} {
		u := l.Untaught(c.file)
		for _, x := range []struct {
			name, cut string
			still     bool
		}{{"clove", "whole", c.whole}, {"clove", "ground", c.ground}, {"window gum", "as is", c.gums}} {
			if got := cut(u, x.name, x.cut).Taught != nil; got != x.still {
				t.Errorf("without %q: %s, %s taught: %v", c.file, x.name, x.cut, got)
			}
		}
		if !c.whole && !same(cut(u, "clove", "whole"), was) {
			t.Errorf("without %q: %+v, want %+v", c.file, cut(u, "clove", "whole").RatePerH, was.RatePerH)
		}
		if c.file != "" {
			// What is taken back in two steps is taken back.
			if v := u.Untaught(""); cut(v, "clove", "ground").Taught != nil || cut(v, "window gum", "as is").Taught != nil {
				t.Errorf("after %q: something is still taught", c.file)
			}
		}
	}
	if gum := cut(l.Untaught(""), "window gum", "as is"); gum.RatePerH != Unknown().RatePerH || gum.RateGSD != Unknown().RateGSD {
		t.Errorf("the maker's own word: %+v", gum.RatePerH)
	}
	if l.Untaught("x.toml") != l || base.Untaught("") != base {
		t.Error("a library without lessons is copied")
	}
	if cut(l, "clove", "whole").Taught == nil || whole.Measures == nil {
		t.Error("the library with lessons has changed")
	}
}

func TestTaughtFaults(t *testing.T) {
	for _, c := range []struct{ lines, says string }{
		{"taught_by = [\"a.toml\"]", "rate_per_h"},
		{"rate_per_h = 1\nrate_gsd = 2\ntaught_by = []", "names no batch file"},
		{"rate_per_h = 1\nrate_gsd = 2\ntaught_room_c = 20", "names no batch file"},
		{"rate_per_h = 1\nrate_gsd = 2\ntaught_by = [\"x/a.toml\"]", "no file beside this one"},
		{"rate_per_h = 1\nrate_gsd = 2\ntaught_by = [\" \"]", "no file beside this one"},
		{"rate_per_h = 1\nrate_gsd = 2\ntaught_by = [\"a.toml\"]\ntaught_room_c = 300", "nothing steeps"},
		{"rate_per_h = 1\nrate_gsd = 2\ntaught_by = [\"a.toml\"]\ntaught_abv = -1", "0 to 97"},
		{"rate_per_h = 1\nrate_gsd = 2\ntaught_by = \"a.toml\"", ""},
	} {
		_, err := Builtin().With("library.toml", []byte("[[botanical]]\nname = \"clove\"\n[[botanical.cut]]\nname = \"whole\"\n"+c.lines+"\n"))
		var e *strict.Error
		if !errors.As(err, &e) || !strings.Contains(err.Error(), c.says) || e.Line < 3 {
			t.Errorf("%s: %v", c.lines, err)
		}
	}
}
