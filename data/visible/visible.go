// Package visible says what of a text can be seen: what a terminal, a page or a reader of
// calendars would obey instead, and what hides or turns the letters around it, is not.
package visible

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// The joiners, which letters of some scripts and some pictures are made with.
const (
	nonJoiner = '\u200c'
	joiner    = '\u200d'
)

// Hidden reports whether a character is never seen: control and format characters, line
// and paragraph separators (general categories Cc, Cf, Zl and Zp of the Unicode Standard).
// A joiner is seen by what it joins.
func Hidden(r rune) bool {
	if r < utf8.RuneSelf { // most of any text
		return r < ' ' || r == '\x7f'
	}
	return r != joiner && r != nonJoiner && unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp)
}

// Text is a text without what is hidden in it, and without joiners that join nothing; a tab
// is a space, its lines stay, and what is no UTF-8 is U+FFFD.
func Text(s string) string {
	changes := func(r rune) bool { return r != '\n' && (Hidden(r) || r == joiner || r == nonJoiner) }
	if utf8.ValidString(s) && !strings.ContainsFunc(s, changes) {
		return s
	}
	var out []rune
	waits := rune(0) // a joiner behind something that it can join
	for _, r := range s {
		switch {
		case r == joiner || r == nonJoiner:
			if waits = 0; len(out) > 0 && joins(out[len(out)-1]) {
				waits = r
			}
			continue
		case r == '\t':
			r = ' '
		case r != '\n' && Hidden(r):
			continue
		}
		if waits != 0 && joins(r) {
			out = append(out, waits)
		}
		out, waits = append(out, r), 0
	}
	return string(out)
}

// joins reports whether a character may stand beside a joiner: a letter, what is written
// on one, or a picture.
func joins(r rune) bool { return unicode.In(r, unicode.L, unicode.M, unicode.S) }
