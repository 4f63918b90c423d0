package book

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"steepbook/data/batch"
)

// TestOneIDOneJar: of two jars of a day with one id the file that it was made for keeps it, whichever is
// first in the folder, and the other goes by one of its own: alike when one file is asked, the folder, or a
// book that stays open. What the check says to write moves no date.
func TestOneIDOneJar(t *testing.T) {
	now := time.Date(2026, 11, 21, 9, 0, 0, 0, time.Local)
	jar := func(id, name, day, rest string) string {
		return fmt.Sprintf("name = %q\nstarted = %sT18:00:00\nid = %q\n[spirit]\nname = \"vodka\"\n"+
			"amount = \"700 ml\"\nabv = 40\n[[botanical]]\nname = \"clove\"\namount = \"2 g\"\n%s", name, day, id, rest)
	}
	made := batch.NewID("orange.toml", "Orange", "2026-11-20T18:00:00")
	tasted := "[[tasting]]\nat = \"2 h\"\nscore = { clove = 1.5 }\n" +
		"[[tasting]]\nat = \"5 h\"\nscore = { clove = 2.5 }\n"
	for _, c := range []struct {
		of     string
		files  map[string]string
		keeper string // of the other one, "" where none is another's
	}{
		{"a copy that comes first", map[string]string{"orange.toml": jar(made, "Orange", "2026-11-20", ""),
			"cordial.toml": jar(made, "Cordial", "2026-11-20", "")}, "orange.toml"},
		{"both renamed", map[string]string{"winter.toml": jar(made, "Winter", "2026-11-20", ""),
			"summer.toml": jar(made, "Summer", "2026-11-20", "")}, "summer.toml"},
		{"another day", map[string]string{"orange.toml": jar(made, "Orange", "2026-11-20", ""),
			"cordial.toml": jar(made, "Orange", "2026-11-19", "")}, ""},
		{"no id", map[string]string{"orange.toml": jar("", "Orange", "2026-11-20", ""),
			"cordial.toml": jar("", "Cordial", "2026-11-20", "")}, ""},
		{"a backup", map[string]string{"orange.toml": jar(made, "Orange", "2026-11-20", tasted),
			"backup.toml": jar(made, "Orange", "2026-11-20", tasted)}, ""},
	} {
		dir := t.TempDir()
		for name, src := range c.files {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(src), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		known := func() map[string]string {
			ids := map[string]string{}
			files, _ := Files(dir)
			shelf, err := Look(dir, files, now)
			if err != nil {
				t.Fatal(err)
			}
			for _, g := range shelf.Batches {
				ids[filepath.Base(g.Assessment.Batch.File)] = g.ID
			}
			st := at(t, keep(t, dir), now)
			for name := range c.files {
				alone, err := Open(filepath.Join(dir, name), now)
				kept, err2 := st.Jar(name)
				if err != nil || err2 != nil {
					t.Fatal(err, err2)
				}
				for how, j := range map[string]*Jar{"alone": alone, "kept": kept} {
					g, err := j.Glance()
					if err != nil {
						t.Fatal(err)
					}
					k := j.Kin()
					if k.Tell(g); g.ID != ids[name] {
						t.Errorf("%s: %s %s is known as %q, in the folder as %q", c.of, name, how, g.ID, ids[name])
					}
					hint := strings.Join(k.Hints(j.Batch), " ")
					other := c.keeper != "" && name != c.keeper
					does := strings.Contains(hint, c.keeper+", which keeps it") &&
						strings.Contains(hint, fmt.Sprintf("write id = %q in %s", g.ID, name))
					if other != (k.Keeper[name] != "") || other && (k.Keeper[name] != c.keeper || !does) {
						t.Errorf("%s: %s %s has %v, %q", c.of, name, how, k.Keeper, hint)
					}
				}
			}
			return ids
		}
		ids := known()
		if c.keeper == "" {
			continue
		}
		for name, id := range ids {
			if (id == made) != (name == c.keeper) {
				t.Errorf("%s: %s is known as %s", c.of, name, id)
			}
			src := strings.Replace(c.files[name], made, id, 1)
			if err := os.WriteFile(filepath.Join(dir, name), []byte(src), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		c.keeper = ""
		for name, id := range known() {
			if id != ids[name] {
				t.Errorf("%s: %s was known as %s, and as %s when that is written", c.of, name, ids[name], id)
			}
		}
	}
}
