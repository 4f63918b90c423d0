package strict

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"steepbook/data/visible"
)

// Error is one fault in something the user wrote, or why a file of theirs could not be read
// or written.
type Error struct {
	File    string // the file as it was named to Decode; may be empty
	Line    int    // 1-based; 0 when the fault has no line
	Excerpt string // that line as written, without its line end
	Key     string // of an entry that has no line yet, the key it speaks of; else empty
	Problem string // what is wrong, without the place
	Right   string // an example that would be right; may be empty
	Err     error  // what the system said where the machine failed; nil for what the user can put right

	col, width int // byte columns of the mark below the excerpt; width 0 marks the whole line
}

// Error is one sentence on one line: place, problem and a right example, as in
//
//	winter.toml:14: unknown key "amuont" in [[botanical]]; did you mean "amount"? e.g. amount = "24 g"
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ":%d", e.Line)
	}
	if b.Len() > 0 {
		b.WriteString(": ")
	}
	b.WriteString(oneLine(e.Problem))
	if e.Right != "" {
		if !strings.HasSuffix(e.Problem, "?") {
			b.WriteByte(';')
		}
		b.WriteString(" e.g. ")
		b.WriteString(oneLine(e.Right))
	}
	return b.String()
}

// Unwrap is what the system said.
func (e *Error) Unwrap() error { return e.Err }

// Column is where on the line the fault begins, in characters from 1; 0 when the whole
// line is meant.
func (e *Error) Column() int {
	if e.Line == 0 || e.width <= 0 || e.col < 0 || e.col+e.width > len(e.Excerpt) {
		return 0
	}
	return utf8.RuneCountInString(e.Excerpt[:e.col]) + 1
}

// excerptRunes is how much of a long line Detail shows.
const excerptRunes = 100

// rightRunes is how long an example is at most: what is made of a line may be as long as it.
const rightRunes = 3 * excerptRunes

// Detail is the sentence of Error, then the excerpt with its line number and a
// line of carets below the faulty part. It ends with a line end.
func (e *Error) Detail() string {
	sentence := e.Error() + "\n"
	if e.Line == 0 || strings.TrimSpace(e.Excerpt) == "" {
		return sentence
	}
	text, from, to := e.marked()
	number := fmt.Sprintf("%5d", e.Line)
	return fmt.Sprintf("%s%s | %s\n%s | %s%s\n", sentence, number, text,
		strings.Repeat(" ", len(number)), blanks(text[:from]),
		strings.Repeat("^", max(1, utf8.RuneCountInString(text[from:to]))))
}

// marked gives the excerpt as it can be printed, and the byte range to mark.
// A long line is cut to the stretch around the mark.
func (e *Error) marked() (text string, from, to int) {
	line := e.Excerpt
	from, to = e.col, e.col+e.width
	if e.width <= 0 || from < 0 || to > len(line) {
		from = len(line) - len(strings.TrimLeft(line, " \t"))
		to = len(strings.TrimRight(line, " \t"))
	}
	before, mark, after := printable(line[:from]), printable(line[from:to]), printable(line[to:])
	if utf8.RuneCountInString(before+mark+after) > excerptRunes {
		mark = cutTail(mark, excerptRunes/2)
		before = cutHead(before, excerptRunes/3)
		after = cutTail(after, excerptRunes-utf8.RuneCountInString(before)-utf8.RuneCountInString(mark))
	}
	return before + mark + after, len(before), len(before) + len(mark)
}

func cutTail(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:max(0, n-1)]) + "…"
}

func cutHead(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return "…" + string(r[len(r)-max(0, n-1):])
}

// blanks is as wide as s on a terminal: tabs stay tabs so that the carets line up.
func blanks(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\t' {
			return r
		}
		return ' '
	}, s)
}

// printable replaces what a terminal would obey rather than show.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r != '\t' && visible.Hidden(r) {
			return unicode.ReplacementChar
		}
		return r
	}, strings.ToValidUTF8(s, string(unicode.ReplacementChar)))
}

func oneLine(s string) string {
	return printable(strings.NewReplacer("\r\n", " ", "\n", " ", "\r", " ", "\t", " ").Replace(s))
}

// quoted shows a word of the user in a message: in quotation marks, without
// control characters, and never longer than a glance.
func quoted(s string) string {
	mark := `"`
	if strings.Contains(s, mark) {
		mark = "'"
	}
	return mark + cutTail(oneLine(s), 60) + mark
}
