package strict

import (
	"errors"
	"strconv"
	"strings"

	"github.com/BurntSushi/toml"
)

// plainly reads the numbers and words that are written as most are; nil for the
// rest, which is left to the library.
func plainly(text string) any {
	switch text {
	case "true", "false":
		return text == "true"
	}
	if strings.Trim(text, "0123456789.") != "" {
		return nil
	}
	if strings.Contains(text, ".") {
		if v, err := strconv.ParseFloat(text, 64); err == nil {
			return v
		}
	} else if v, err := strconv.ParseInt(text, 10, 64); err == nil {
		return v
	}
	return nil
}

// tree is the values below a node, as the library gives them.
func (d *Document) tree(n *node) any {
	switch n.kind {
	case table:
		m := make(map[string]any, len(n.kids))
		for _, k := range n.kids {
			m[k.key] = d.tree(k)
		}
		return m
	case tables:
		list := make([]map[string]any, len(n.items))
		for i, item := range n.items {
			list[i] = d.tree(item).(map[string]any)
		}
		return list
	case list:
		items := make([]any, len(n.items))
		for i, item := range n.items {
			items[i] = d.tree(item)
		}
		return items
	}
	switch {
	case n.quoted:
		return n.text
	case n.plain != nil:
		return n.plain
	}
	return d.read(n.key, n.valueAt, n.valueEnd, n.line)
}

// read lets the library read the one value that stands there. What it refuses is the
// fault of the document, if there was none before.
func (d *Document) read(key string, from, to, line int) any {
	const before = "K = "
	var v struct{ K any }
	_, err := toml.Decode(before+d.text[from:to], &v)
	var pe toml.ParseError
	switch {
	case err == nil || d.fault != nil:
	case errors.As(err, &pe):
		d.fault = d.worded(pe, key, from-len(before), line-1)
	default:
		d.fault = d.mark(line, from, to, "", strings.TrimPrefix(err.Error(), "toml: "))
	}
	return v.K
}

// worded puts into words what the scanner lets through and the library does not; from
// and lines are what stands before the text that it was given.
func (d *Document) worded(pe toml.ParseError, key string, from, lines int) *Error {
	right, problem := "", strings.TrimSuffix(pe.Message, ".")
	switch {
	case strings.Contains(problem, "invalid datetime"):
		problem = "there is no such date or time"
		right = "2026-11-20T18:00:00"
		if key != "" {
			right = key + " = " + right
		}
	case strings.Contains(problem, "out of range"):
		problem = "this number is too large"
	case strings.Contains(problem, "not valid UTF-8"):
		problem = "this escape is no character"
	case strings.Contains(problem, "escape"), strings.Contains(problem, "hexadecimal"):
		problem = `a backslash inside "…" must be doubled; within single quotation marks it may stand alone`
	case strings.Contains(problem, "integer"), strings.Contains(problem, "float"):
		problem = "this is not a number as it should be written"
	}
	at := from + pe.Position.Start
	return d.mark(lines+max(pe.Position.Line, 1), at, at+pe.Position.Len, right, problem)
}
