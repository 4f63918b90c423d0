package records

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"steepbook/data/strict"
)

// bared takes off what guarded put on.
func bared(cell string) string {
	if inner, ok := strings.CutPrefix(cell, "'"); ok && begins(inner) {
		return inner
	}
	return cell
}

// line is one record of a CSV file.
type line struct {
	number int // of its first line in the file, from 1
	text   string
	cells  []string
}

// read reads CSV as spreadsheets write it: RFC 4180, or parted by semicolons or tabs, as
// the first line has most of; with or without a byte order mark, with any line ends; a
// first line "sep=;" says what parts the cells. Empty lines are left out. The error is a
// *strict.Error.
func read(file string, src []byte) ([]line, error) {
	src = bytes.TrimPrefix(src, []byte("\uFEFF"))
	if bytes.HasPrefix(src, []byte{0xff, 0xfe}) || bytes.HasPrefix(src, []byte{0xfe, 0xff}) ||
		!utf8.Valid(src) {
		return nil, &strict.Error{File: file, Problem: "the text is not UTF-8; save it as \"CSV UTF-8\""}
	}
	s := &scanner{file: file, rest: string(src), number: 1}
	first := firstLine(s.rest)
	if sep, ok := strings.CutPrefix(strings.ToLower(first), "sep="); ok && len(sep) == 1 {
		s.part = sep[0]
		if _, err := s.record(); err != nil {
			return nil, err
		}
	} else {
		s.part = mostOf(first, ",;\t")
	}
	var out []line
	for s.rest != "" {
		l, err := s.record()
		if err != nil {
			return nil, err
		}
		if strings.Join(l.cells, "") != "" {
			out = append(out, l)
		}
	}
	return out, nil
}

func firstLine(text string) string {
	if end := strings.IndexAny(text, "\r\n"); end >= 0 {
		return text[:end]
	}
	return text
}

// mostOf is the one of marks that stands most often in a line outside of quotation
// marks, the first of them where none does.
func mostOf(text, marks string) byte {
	best, most := marks[0], 0
	for i := range len(marks) {
		n := 0
		for j, part := range strings.Split(text, `"`) {
			if j%2 == 0 {
				n += strings.Count(part, marks[i:i+1])
			}
		}
		if n > most {
			best, most = marks[i], n
		}
	}
	return best
}

// scanner reads one record after the other.
type scanner struct {
	file, rest string
	number     int // of the line that rest begins with
	part       byte
}

// record reads one record and what ends it.
func (s *scanner) record() (line, error) {
	l := line{number: s.number, text: firstLine(s.rest)}
	for {
		cell, err := s.cell(&l)
		if err != nil {
			return l, err
		}
		l.cells = append(l.cells, bared(cell))
		switch {
		case s.rest == "":
			return l, nil
		case s.rest[0] == s.part:
			s.rest = s.rest[1:]
			continue
		}
		s.rest = strings.TrimPrefix(strings.TrimPrefix(s.rest, "\r"), "\n")
		s.number++
		return l, nil
	}
}

// cell reads one cell, up to what ends it.
func (s *scanner) cell(l *line) (string, error) {
	if !strings.HasPrefix(s.rest, `"`) {
		end := strings.IndexAny(s.rest, string(s.part)+"\r\n")
		if end < 0 {
			end = len(s.rest)
		}
		cell := s.rest[:end]
		s.rest = s.rest[end:]
		return cell, nil
	}
	var b strings.Builder
	for rest := s.rest[1:]; ; {
		before, after, found := strings.Cut(rest, `"`)
		b.WriteString(before)
		if !found {
			return "", &strict.Error{File: s.file, Line: l.number, Excerpt: l.text,
				Problem: "a quotation mark is opened on this line and never closed", Right: `"bright, thin"`}
		}
		if rest, found = strings.CutPrefix(after, `"`); found {
			b.WriteByte('"')
			continue
		}
		s.number += strings.Count(s.rest[:len(s.rest)-len(after)], "\n")
		if s.rest = after; after != "" && !strings.ContainsRune(string(s.part)+"\r\n", rune(after[0])) {
			return "", &strict.Error{File: s.file, Line: l.number, Excerpt: l.text,
				Problem: "a quotation mark is closed within a cell; write a mark within a cell twice",
				Right:   `"it said ""bright"""`}
		}
		return b.String(), nil
	}
}
