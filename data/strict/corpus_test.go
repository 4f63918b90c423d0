package strict

import (
	"bytes"
	"fmt"
	"io/fs"
	"path"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
	tomltest "github.com/toml-lang/toml-test/v2"
)

// tooLax lists the invalid files of the suite that the library, and so Decode,
// reads all the same.
var tooLax = map[string]bool{
	"invalid/datetime/offset-overflow-minute.toml": true, // an offset of +12:60
}

// TestSuite holds Decode against the public suite of the specification, version
// 1.1.0: each valid file is read as the library reads it, each invalid one is
// refused with its line, or as no text at all where it holds a zero byte.
func TestSuite(t *testing.T) {
	suite := tomltest.TestCases()
	names, err := fs.ReadFile(suite, "files-toml-1.1.0")
	if err != nil {
		t.Fatal(err)
	}
	valid, invalid := 0, 0
	for _, name := range strings.Fields(string(names)) {
		if path.Ext(name) != ".toml" {
			continue
		}
		data, err := fs.ReadFile(suite, name)
		if err != nil {
			t.Fatal(err)
		}
		t.Run(name, func(t *testing.T) {
			var got map[string]any
			d, err := Decode("f.toml", data, &got)
			if strings.HasPrefix(name, "invalid/") {
				invalid++
				switch {
				case err == nil && !tooLax[name]:
					t.Errorf("read, but the suite calls it invalid:\n%s", data)
				case err != nil && err.(*Error).Line == 0 && bytes.IndexByte(data, 0) < 0:
					t.Errorf("no line in %v", err)
				case err != nil && tooLax[name]:
					t.Error("refused now: take it off the list")
				}
				return
			}
			valid++
			if err != nil {
				t.Fatalf("refused, but the suite calls it valid: %v\n%s", err, data)
			}
			var want map[string]any
			if _, err := toml.Decode(string(data), &want); err != nil {
				t.Fatal(err)
			}
			sameTree(t, d, d.top(), want)
			sameValues(t, got, want)
		})
	}
	if valid < 150 || invalid < 250 {
		t.Errorf("only %d valid and %d invalid files", valid, invalid)
	}
}

// sameTree checks that the tree of places has exactly the keys and entries
// of the tree of values, and that each key is where the tree says.
func sameTree(t *testing.T, d *Document, n *node, v any) {
	t.Helper()
	switch v := v.(type) {
	case map[string]any:
		if len(n.kids) != len(v) {
			t.Errorf("line %d: %d keys have a place, %d a value", n.line, len(n.kids), len(v))
		}
		for _, kid := range n.kids {
			if _, ok := v[kid.key]; !ok {
				t.Errorf("line %d: key %q has a place and no value", kid.line, kid.key)
				continue
			}
			onItsLine(t, d, kid)
			sameTree(t, d, kid, v[kid.key])
		}
	case []any:
		if len(n.items) != len(v) {
			t.Errorf("line %d: %d entries have a place, %d a value", n.line, len(n.items), len(v))
			return
		}
		for i := range v {
			sameTree(t, d, n.items[i], v[i])
		}
	case []map[string]any:
		if len(n.items) != len(v) {
			t.Errorf("line %d: %d entries have a place, %d a value", n.line, len(n.items), len(v))
			return
		}
		for i := range v {
			sameTree(t, d, n.items[i], v[i])
		}
	}
}

// sameValues checks that the values are those the library reads, kinds and all.
func sameValues(t *testing.T, got, want map[string]any) {
	t.Helper()
	if g, w := fmt.Sprintf("%#v", got), fmt.Sprintf("%#v", want); g != w {
		t.Errorf("read as\n%s\nby the library as\n%s", g, w)
	}
}

func onItsLine(t *testing.T, d *Document, n *node) {
	t.Helper()
	if line := 1 + strings.Count(string(d.text[:n.at]), "\n"); line != n.line {
		t.Errorf("%q stands on line %d, not %d", n.key, line, n.line)
	}
	written := string(d.text[n.at:n.end])
	if strings.HasPrefix(written, "[") {
		return
	}
	var back map[string]any
	if _, err := toml.Decode(written+" = 0", &back); err != nil {
		t.Errorf("the place of %q holds %q", n.key, written)
	} else if _, ok := back[n.key]; !ok {
		t.Errorf("the place of %q holds %q", n.key, written)
	}
}
