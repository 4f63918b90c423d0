package pen

import (
	"fmt"
	"strings"

	"steepbook/data/visible"
)

// Clean is a text without what a terminal obeys instead of showing.
func Clean(s string) string { return visible.Text(s) }

// clean is a line without what is unseen but the marks of this page around the whole of it.
func (p *Page) clean(line string) string {
	if !p.Colour && p.parts == nil {
		return Clean(line)
	}
	for _, how := range []string{strong, dim} {
		begin, end := p.marks(how)
		if inner, ok := strings.CutPrefix(line, begin); ok && strings.HasSuffix(inner, end) {
			return begin + Clean(strings.TrimSuffix(inner, end)) + end
		}
	}
	return Clean(line)
}

// escaped is a JSON text with what is unseen as its number, so that to print it does
// nothing.
func escaped(b []byte) string {
	s := string(b)
	if !strings.ContainsFunc(s, visible.Hidden) {
		return s
	}
	var out strings.Builder
	for _, r := range s {
		switch {
		case !visible.Hidden(r):
			out.WriteRune(r)
		case r > 0xffff: // a tag character: two halves
			r -= 0x10000
			fmt.Fprintf(&out, `\u%04x\u%04x`, 0xd800+r>>10, 0xdc00+r&0x3ff)
		default:
			fmt.Fprintf(&out, `\u%04x`, r)
		}
	}
	return out.String()
}
