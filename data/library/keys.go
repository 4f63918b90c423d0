package library

import (
	"embed"
	"strings"
)

// To part all names of the library into words takes longer than the rest of what a command reads, so they
// are parted ahead: keys holds, of each kind, the keys of the words of its names in the order of the files,
// two bytes a word. TestKeys holds them to the names and writes them anew.
//
//go:embed keys/*.bin
var keys embed.FS

// endsName marks the key of the last word of a name.
const endsName = 1 << 15

// keyOf is what a word is looked for by; a few others have the same.
func keyOf(w string) uint16 {
	h := uint32(0)
	for i := range len(w) {
		h = 31*h + uint32(w[i])
	}
	return uint16(h^h>>15) &^ endsName
}

// partNames are the keys of the words of an entry's names.
func partNames(h *header) string {
	var out strings.Builder
	add := func(name string) {
		ws := words(name)
		for i := range max(len(ws), 1) { // of a name without a word there is one that nothing is looked for by
			key := uint16(0)
			if i < len(ws) {
				key = keyOf(ws[i])
			}
			if i >= len(ws)-1 {
				key |= endsName
			}
			out.WriteByte(byte(key))
			out.WriteByte(byte(key >> 8))
		}
	}
	add(h.name)
	for _, name := range h.names {
		add(name)
	}
	return out.String()
}

// giveKeys gives the entries of a kind the keys that were written for them; none where there are as many
// of other names.
func giveKeys(kind string, entries []*header) {
	text, _ := keys.ReadFile("keys/" + kind + ".bin")
	left, given := string(text), make([]string, len(entries))
	for i, h := range entries {
		end, names := 0, 1+len(h.names)
		for ; names > 0 && end < len(left); end += 2 {
			if left[end+1]>>7 != 0 {
				names--
			}
		}
		if names > 0 {
			return
		}
		given[i], left = left[:end], left[end:]
	}
	for i, h := range entries {
		if left == "" {
			h.keys = given[i]
		}
	}
}
