package strict

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Most is how many bytes a file may have: more than a lifetime of tastings.
const Most = 16 << 20

// Limits that keep a hostile or broken file from exhausting the parser, which
// descends once per bracket and stores every prefix of a dotted key.
const (
	maxNested = 32
	maxDotted = 16
)

// scanner walks a TOML text and records where everything stands. It accepts
// every text the TOML library accepts, apart from the limits above and from
// keys and tables given twice, where the library is laxer than the
// specification. The meaning of values it leaves to the library.
type scanner struct {
	d     *Document
	nodes *nodes
	text  string
	pos   int
	line  int
	depth int
	path  []string  // of the table that is being filled, then of the key
	parts []keyPart // of the key that is being read
}

// scan makes the document's tree, or returns the first slip it meets.
func scan(d *Document) (*nodes, *Error) {
	s := &scanner{d: d, nodes: newNodes(), text: d.text, pos: d.start, line: 1}
	if err := s.checkText(); err != nil {
		return nil, err
	}
	current := s.nodes.root()
	for {
		s.skipBlankLines()
		if s.pos >= len(s.text) {
			return s.nodes, nil
		}
		var err *Error
		header := s.text[s.pos] == '['
		if header {
			current, err = s.tableHeader()
		} else {
			err = s.keyValue(current, false)
		}
		if err == nil {
			err = s.endOfLine(header)
		}
		if err != nil {
			return nil, err
		}
	}
}

// checkText refuses what is no text at all: other encodings, pictures, archives.
func (s *scanner) checkText() *Error {
	whole := func(problem string) *Error { return &Error{File: s.d.file, Problem: problem} }
	switch {
	case len(s.text) > Most:
		return whole(fmt.Sprintf("the file has %d MB, more than the %d MB that can be read; is it the "+
			"right file?", len(s.text)>>20, Most>>20))
	case strings.HasPrefix(s.text, "\xff\xfe"), strings.HasPrefix(s.text, "\xfe\xff"),
		everySecondNUL(s.text):
		return whole("the file is saved as UTF-16; save it again as UTF-8 text")
	case strings.IndexByte(s.text, 0) >= 0:
		return whole("the file holds binary data, not text; is it the right file?")
	}
	line := 1
	for i := 0; i < len(s.text); {
		r, w := utf8.DecodeRuneInString(s.text[i:])
		switch {
		case r == utf8.RuneError && w == 1:
			return s.d.mark(line, i, i+1, "", "a character here is not UTF-8 text; save the file as UTF-8")
		case r == '\n':
			line++
		case r == '\t', r == '\r' && i+1 < len(s.text) && s.text[i+1] == '\n':
		case r < ' ' || r == 0x7f:
			return s.d.mark(line, i, i+1, "", fmt.Sprintf("an invisible control character (U+%04X) stands "+
				"here; delete it", r))
		}
		i += w
	}
	return nil
}

// everySecondNUL recognises plain words saved as UTF-16 without a byte order mark.
func everySecondNUL(src string) bool {
	if len(src) < 8 {
		return false
	}
	for _, odd := range []int{0, 1} {
		same := true
		for i := range 8 {
			same = same && (src[i] == 0) == (i%2 == odd)
		}
		if same {
			return true
		}
	}
	return false
}

// here makes an Error that marks the text from byte from up to byte to.
func (s *scanner) here(from, to int, right, format string, args ...any) *Error {
	return s.d.mark(s.line, from, to, right, fmt.Sprintf(format, args...))
}

func (s *scanner) peek() byte {
	if s.pos < len(s.text) {
		return s.text[s.pos]
	}
	return '\n' // the end of the text ends a line like any other
}

func (s *scanner) atLineEnd() bool {
	return s.peek() == '\n' || s.peek() == '\r'
}

func (s *scanner) skipSpaces() {
	for s.pos < len(s.text) && (s.text[s.pos] == ' ' || s.text[s.pos] == '\t') {
		s.pos++
	}
}

func (s *scanner) skipComment() {
	for s.pos < len(s.text) && s.text[s.pos] != '\n' {
		s.pos++
	}
}

// skipBlankLines skips spaces, line ends and comments.
func (s *scanner) skipBlankLines() {
	for s.pos < len(s.text) {
		switch s.text[s.pos] {
		case ' ', '\t', '\r':
			s.pos++
		case '\n':
			s.pos++
			s.line++
		case '#':
			s.skipComment()
		default:
			return
		}
	}
}

// restOfLine is the text from byte from to the end of its line, for messages. A
// remark at its end is part of it: where the fault is, # may mean anything.
func (s *scanner) restOfLine(from int) string {
	rest, _, _ := strings.Cut(s.text[from:], "\n")
	return strings.TrimSpace(rest)
}

// tableHeader reads [a.b] or [[a.b]] and returns the table that the following
// keys go into.
func (s *scanner) tableHeader() (*node, *Error) {
	start := s.pos
	repeated := strings.HasPrefix(s.text[s.pos:], "[[")
	open, end := "[", "]"
	if repeated {
		open, end = "[[", "]]"
	}
	s.pos += len(open)
	path, err := s.key(true)
	if err != nil {
		return nil, err
	}
	s.skipSpaces()
	name := joinKeys(path)
	if !strings.HasPrefix(s.text[s.pos:], end) {
		rest, line := s.restOfLine(s.pos), s.restOfLine(start)
		right := s.meantTable(line, open+"%s"+end)
		if strings.Contains(rest, end) {
			return nil, s.here(start, s.pos+len(rest), right,
				"the table line %s holds more than a plain name between its brackets", quoted(line))
		}
		return nil, s.here(start, s.pos+len(rest), right, "the table line %s is not closed with %s",
			quoted(line), end)
	}
	if line := s.restOfLine(start); strings.HasPrefix(s.text[s.pos+len(end):], "]") {
		return nil, s.here(start, start+len(line), s.meantTable(line, "[%s]"),
			"the table line %s has a bracket too many at its end, or one too few before", quoted(line))
	}
	s.pos += len(end)

	n := s.nodes.root()
	for i, k := range path {
		last := i == len(path)-1
		next := n.kid(k.name)
		switch {
		case next == nil:
			next = s.nodes.add(node{key: k.name, kind: table, line: s.line, at: start, end: s.pos})
			if last && repeated {
				next.kind = tables
			}
			n.add(next)
		case next.kind == scalar || next.kind == list || next.inline:
			return nil, s.here(start, s.pos, "",
				"%s was already given a value on line %d, so it cannot be a table as well", quoted(k.name),
				next.line)
		case last && next.kind == tables && !repeated:
			return nil, s.here(start, s.pos, "[["+name+"]]",
				"[%s] here, but [[%s]] on line %d; write the double brackets each time", name, name,
				next.line)
		case last && next.kind == table && repeated:
			return nil, s.here(start, s.pos, "", "[[%s]] here, but [%s] on line %d; write both the same way",
				name, name, next.line)
		case last && next.kind == table && next.header:
			return nil, s.here(start, s.pos, "", "the table [%s] is written twice, first on line %d; %s",
				name, next.line, s.twice(name))
		case last && next.dotted:
			return nil, s.here(start, s.pos, "",
				"%s was already begun on line %d with a dot in a name; keep one way", quoted(k.name),
				next.line)
		case last && next.kind == table:
			next.line, next.at, next.end = s.line, start, s.pos
		}
		if next.kind == tables {
			if last {
				next.items = append(next.items,
					s.nodes.add(node{key: k.name, kind: table, line: s.line, at: start, end: s.pos}))
			}
			n = next.items[len(next.items)-1]
			continue
		}
		n = next
	}
	n.header = true
	s.path = s.path[:0]
	for _, k := range path {
		s.path = append(s.path, k.name)
	}
	return n, nil
}

// keyPart is one part of a dotted key.
type keyPart struct {
	name    string
	at, end int
}

func keyNames(parts []keyPart) []string {
	names := make([]string, len(parts))
	for i, p := range parts {
		names[i] = p.name
	}
	return names
}

func joinKeys(parts []keyPart) string {
	if len(parts) == 1 {
		return parts[0].name
	}
	return strings.Join(keyNames(parts), ".")
}

func isBare(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '_' || c == '-'
}

// key reads a key with its dots; header is true within a table line. Its parts stand
// until the next key is read.
func (s *scanner) key(header bool) ([]keyPart, *Error) {
	parts := s.parts[:0]
	lineStart := s.pos
	for {
		s.skipSpaces()
		at := s.pos
		var name string
		switch c := s.peek(); {
		case c == '"' || c == '\'':
			text, err := s.quotedText(c, "key")
			if err != nil {
				return nil, err
			}
			name = text
		case isBare(c):
			for s.pos < len(s.text) && isBare(s.text[s.pos]) {
				s.pos++
			}
			if r, _ := utf8.DecodeRuneInString(s.text[s.pos:]); r >= utf8.RuneSelf && unicode.IsLetter(r) {
				return nil, s.badKey(lineStart, header)
			}
			name = s.text[at:s.pos]
		default:
			return nil, s.badKey(lineStart, header)
		}
		parts = append(parts, keyPart{name, at, s.pos})
		if len(parts) > maxDotted {
			return nil, s.here(lineStart, s.pos, "", "a name with more than %d dots", maxDotted)
		}
		end := s.pos
		s.skipSpaces()
		if s.peek() != '.' {
			s.pos, s.parts = end, parts
			return parts, nil
		}
		s.pos++
	}
}

// keyValue reads `key = value` into the table.
func (s *scanner) keyValue(in *node, inline bool) *Error {
	start := s.pos
	path, err := s.key(false)
	if err != nil {
		return err
	}
	s.skipSpaces()
	if s.peek() != '=' {
		return s.noEquals(start, path, inline)
	}
	s.pos++
	n := in
	for _, k := range path[:len(path)-1] {
		next := n.kid(k.name)
		switch {
		case next == nil:
			next = s.nodes.add(node{key: k.name, kind: table, line: s.line, at: k.at, end: k.end, dotted: true})
			n.add(next)
		case !next.dotted:
			return s.here(k.at, k.end, "", "%s was already given a value on line %d", quoted(k.name),
				next.line)
		}
		n = next
	}
	last := path[len(path)-1]
	if other := n.kid(last.name); other != nil {
		where := fmt.Sprintf("first on line %d", other.line)
		if other.line == s.line {
			where = "both times on this line"
		}
		return s.here(last.at, last.end, "", "%s is given twice, %s; keep one", quoted(joinKeys(path)), where)
	}
	kid := s.nodes.add(node{key: last.name, line: s.line, at: last.at, end: last.end})
	n.add(kid)
	s.skipSpaces()
	kid.valueAt = s.pos
	depth := len(s.path)
	for _, k := range path {
		s.path = append(s.path, k.name)
	}
	if err := s.value(kid, joinKeys(path), inline); err != nil {
		return err
	}
	s.path = s.path[:depth]
	kid.valueEnd = s.pos
	return nil
}

// value reads one value into n. name is the key, for messages.
func (s *scanner) value(n *node, name string, inside bool) *Error {
	s.depth++
	defer func() { s.depth-- }()
	if s.depth > maxNested {
		return s.here(s.pos, s.pos+1, "", "brackets nested more than %d deep", maxNested)
	}
	switch c := s.peek(); c {
	case '"', '\'':
		for _, triple := range []string{`"""`, "'''"} {
			if strings.HasPrefix(s.text[s.pos:], triple) {
				return s.longText(triple)
			}
		}
		var err *Error
		n.text, err = s.quotedText(c, name)
		n.quoted = true
		return err
	case '[':
		return s.array(n, name)
	case '{':
		return s.inlineTable(n, name)
	}
	if err := s.bareValue(name, inside); err != nil {
		return err
	}
	n.plain = plainly(s.text[n.valueAt:s.pos])
	return nil
}

// quotedText reads a one-line text in c and returns it with its escapes undone.
func (s *scanner) quotedText(c byte, name string) (string, *Error) {
	start := s.pos
	escaped := false
	for s.pos++; !s.atLineEnd(); s.pos++ {
		switch {
		case s.text[s.pos] == '\\' && c == '"':
			escaped = true
			if s.pos++; s.atLineEnd() {
				return "", s.unclosed(start, c, name)
			}
		case s.text[s.pos] == c:
			s.pos++
			text := s.text[start+1 : s.pos-1]
			if !escaped {
				return text, nil
			}
			read, _ := s.d.read(name, start, s.pos, s.line).(string)
			return read, nil
		}
	}
	return "", s.unclosed(start, c, name)
}

// longText reads a text in triple quotation marks. Up to two more of them may
// stand directly before the closing three.
func (s *scanner) longText(triple string) *Error {
	start, line := s.pos, s.line
	for s.pos += 3; s.pos < len(s.text); s.pos++ {
		switch {
		case s.text[s.pos] == '\n':
			s.line++
		case s.text[s.pos] == '\\' && triple[0] == '"':
			if s.pos++; s.pos < len(s.text) && s.text[s.pos] == '\n' {
				s.line++
			}
		case strings.HasPrefix(s.text[s.pos:], triple):
			s.pos += 3
			for range 2 {
				if s.peek() == triple[0] {
					s.pos++
				}
			}
			return nil
		}
	}
	return s.d.mark(line, start, start+3, "", fmt.Sprintf("the long text that begins here has no closing %s",
		triple))
}

func (s *scanner) array(n *node, name string) *Error {
	n.kind = list
	return s.enclosed("list", name, ']', func() *Error {
		item := s.nodes.add(node{line: s.line, at: s.pos, end: s.pos, valueAt: s.pos})
		err := s.value(item, name, true)
		item.end, item.valueEnd = s.pos, s.pos
		n.items = append(n.items, item)
		return err
	})
}

func (s *scanner) inlineTable(n *node, name string) *Error {
	n.kind, n.inline = table, true
	start, line := s.pos, s.line
	return s.enclosed("braces", name, '}', func() *Error {
		if s.peek() == '[' {
			return s.unfinished(start, line, "braces", name, '}')
		}
		return s.keyValue(n, true)
	})
}

// enclosed reads what stands within brackets, with commas between. what and name are for
// messages.
func (s *scanner) enclosed(what, name string, end byte, item func() *Error) *Error {
	start, line := s.pos, s.line
	s.pos++
	for {
		s.skipBlankLines()
		switch {
		case s.pos >= len(s.text) && end == ']':
			return s.d.mark(line, start, start+1, "",
				fmt.Sprintf("the list of %s that begins here has no closing ]", quoted(name)))
		case s.pos >= len(s.text):
			return s.d.mark(line, start, start+1, "",
				fmt.Sprintf("the braces of %s that begin here have no closing }", quoted(name)))
		case s.peek() == end:
			s.pos++
			return nil
		}
		if err := item(); err != nil {
			return err
		}
		s.skipBlankLines()
		switch c := s.peek(); {
		case c == ',':
			s.pos++
		case c != end && s.pos < len(s.text):
			return s.unfinished(start, line, what, name, end)
		}
	}
}
