package library

import (
	"os"
	"slices"
	"strings"
	"testing"
)

// Entries for which nobody wrote keys are found all the same, by every name that has a word: the maker's own,
// and all where there is another name than were written.
func TestWithoutKeys(t *testing.T) {
	all := headers("spirits/*.toml", "spirit")
	for _, h := range all {
		h.keys = ""
	}
	all[0].names = append([]string{"☃", "---"}, append(slices.Clone(all[0].names), "moonlight rum")...)
	giveKeys("spirit", all)
	x := newIndex("spirit", all)
	for i, h := range all {
		for _, name := range h.names {
			if e, _ := x.find(name); h.keys != "" || e != i && len(words(name)) > 0 {
				t.Errorf("%q: entry %d, not %d; keys %q", name, e, i, h.keys)
			}
		}
	}
}

// TestKeys: the keys that were written are those of the names, entry by entry; -update writes them.
func TestKeys(t *testing.T) {
	for kind, pattern := range map[string]string{"botanical": "botanicals/*.toml", "ingredient": "ingredients/*.toml",
		"spirit": "spirits/*.toml", "word": "hazards/words.toml"} {
		var all strings.Builder
		for _, h := range headers(pattern, kind) {
			want := partNames(h)
			all.WriteString(want)
			if h.keys != want && !*update {
				t.Errorf("%s %q: its names have changed; write their keys: go test ./data/library -run Keys -update",
					kind, h.name)
			}
			for _, name := range append([]string{h.name}, h.names...) {
				if len(words(name)) == 0 {
					t.Errorf("%s %q: the name %q has no word", kind, h.name, name)
				}
			}
		}
		if *update {
			if err := os.WriteFile("keys/"+kind+".bin", []byte(all.String()), 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
}
