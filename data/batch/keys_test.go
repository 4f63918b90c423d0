package batch

import (
	"strings"
	"testing"
	"time"

	"steepbook/data/quantity"
)

// TestKeys holds the reference of the batch file against the reader: it names every key
// that is read and no other, and each example is right where it stands.
func TestKeys(t *testing.T) {
	const top = "name = \"A\"\nstarted = 2026-11-20T18:00:00\n"
	// What a table must have besides the key that is shown.
	needs := map[string]string{
		"[[botanical]]": "name = \"green cardamom\"\n", "[[watch]]": "name = \"bitter\"\nlimit = 2\n", "[[addition]]": "name = \"sugar\"\n",
		"[[tasting]]": "at = \"6 h\"\nscore = { bitter = 1 }\n", "[[pulled]]": "name = \"green cardamom\"\nat = \"20 h\"\n",
		"[[strained]]": "at = \"5 d\"\n", "[[added]]": "name = \"sugar\"\namount = \"100 g\"\nat = \"5 d\"\n", "[[bottled]]": "at = \"6 d\"\n",
		"[[opened]]": "at = \"30 d\"\n", "[[emptied]]": "at = \"50 d\"\n", "[[noted]]": "what = \"fizzed\"\nat = \"40 d\"\n",
	}
	before := map[string]string{ // what must have been for it
		"bottled.from": "[[bottled]]\nbottles = 1\nat = \"4 d\"\n[[opened]]\nbottle = 1\nat = \"5 d\"\n",
	}
	said := map[string]bool{}
	for _, k := range Keys() {
		table := strings.Trim(k.Table, "[]")
		path := strings.Trim(table+"."+k.Name, ".")
		said[path] = true
		if k.Takes == "" {
			t.Errorf("nothing is said of %s", path)
		}
		if k.Name == "" {
			continue
		}
		if !strings.HasPrefix(k.Example, k.Name+" = ") {
			t.Errorf("the example of %s is %s", path, k.Example)
		}
		src := top + before[path] + k.Table + "\n"
		if table == "" {
			src = strings.ReplaceAll(top, k.Name+" =", "# ")
		}
		src += quantity.Say(k.Example, quantity.Metric) + "\n"
		for _, line := range strings.SplitAfter(needs[k.Table], "\n") {
			if !strings.HasPrefix(line, k.Name+" =") {
				src += line
			}
		}
		if table != "botanical" {
			src += "[[botanical]]\nname = \"green cardamom\"\n"
		}
		src += "[[botanical]]\nname = \"grapefruit peel\"\n"
		if table != "watch" {
			src += "[[watch]]\nname = \"bitter\"\nlimit = 2\n"
		}
		if _, err := Parse("a.toml", []byte(src), time.UTC); err != nil {
			t.Errorf("the example of %s: %v\n%s", path, err, src)
		}
	}
	for path := range takes {
		if !said[path] {
			t.Errorf("%s is explained and not read", path)
		}
	}
}
