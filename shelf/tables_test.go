package shelf

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// TestEveryRowIsSaid: each row of the tables of words has its place in the code. A key
// that has no row panics, which the random bottles of the other tests would meet.
func TestEveryRowIsSaid(t *testing.T) {
	var code strings.Builder
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		code.Write(text)
	}
	for table, keys := range map[string][]string{
		"rules.csv": slices.Collect(maps.Keys(rules())), "cautions.csv": slices.Collect(maps.Keys(sentences())),
	} {
		for _, key := range keys {
			if !strings.Contains(code.String(), strconv.Quote(key)) {
				t.Errorf("%s: nothing says %q", table, key)
			}
		}
	}
}
