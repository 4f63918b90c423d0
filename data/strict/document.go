package strict

import (
	"fmt"
	"slices"
	"sort"
	"strings"
	"sync"
	"sync/atomic"
)

// Document remembers where every key of a decoded file stands.
//
// A path names a key from the top of the file: strings for keys, ints for the
// 0-based entries of repeated tables and lists, as in "tasting", 2, "score",
// "bitter". Entry 0 of a table written once is that table.
type Document struct {
	file  string
	text  string // as it was given
	start int    // where it begins behind its byte order mark
	nodes atomic.Pointer[nodes]
	fault *Error // the first value that the library refuses

	target *reader // what Decode fills, for advice
}

// Drop lets go of the places, ten times as large as the text, for the next text to be
// laid in: whoever asks for one has it scanned again. Nobody may be asking meanwhile.
func (d *Document) Drop() {
	if n := d.nodes.Swap(nil); n != nil {
		n.used = 0
		dropped.Put(n)
	}
}

// top is the table of the whole file.
func (d *Document) top() *node {
	n := d.nodes.Load()
	if n == nil {
		n, _ = scan(d) // which has passed before
		d.nodes.Store(n)
	}
	return n.root()
}

// Line is the 1-based line of the key at path; when that key is absent, the
// line of the innermost table on the way to it; 0 when there is none.
//
//go:noinline
func (d *Document) Line(path ...any) int {
	n, _ := d.find(path)
	return n.line
}

// Has reports whether the file has a key, table or entry at path.
//
//go:noinline
func (d *Document) Has(path ...any) bool {
	_, ok := d.find(path)
	return ok
}

// Keys lists the keys of the table at path in the order they were written. It
// is empty when path is no table.
func (d *Document) Keys(path ...any) []string {
	n, ok := d.find(path)
	if !ok {
		return nil
	}
	keys := make([]string, len(n.kids))
	for i, kid := range n.kids {
		keys[i] = kid.key
	}
	return keys
}

// Right is the example that the field at path has in its tag, "" where it has none.
func (d *Document) Right(path ...any) string {
	var names []string
	for _, step := range path {
		if name, ok := step.(string); ok {
			names = append(names, name)
		}
	}
	f, _, _ := d.target.fieldAt(names)
	return f.right
}

// Source is the text that Decode was given.
func (d *Document) Source() string { return d.text }

// Span is the byte range of the value at path in Source. ok is false where there is no
// such key, and for tables under headers of their own.
func (d *Document) Span(path ...any) (from, to int, ok bool) {
	n, found := d.find(path)
	return n.valueAt, n.valueEnd, found && n.valueEnd > n.valueAt
}

// Lines is the byte range in Source of the whole lines that a header, or a key with its
// value, stands on, the last line end included.
type Lines struct {
	From, To int
	Header   bool
}

// Lines lists the lines that belong to a key at the top of the file: its headers and
// whatever stands below them, or the key with its value, in their order.
func (d *Document) Lines(key string) (all []Lines) {
	var walk func(n *node)
	walk = func(n *node) {
		isValue := n.valueEnd > n.valueAt
		if isValue || n.header {
			from, to := d.wholeLines(n.at, max(n.end, n.valueEnd))
			all = append(all, Lines{from, to, n.header})
		}
		if !isValue {
			for _, kid := range slices.Concat(n.kids, n.items) {
				walk(kid)
			}
		}
	}
	if n := d.top().kid(key); n != nil {
		walk(n)
	}
	sort.Slice(all, func(i, j int) bool { return all[i].From < all[j].From })
	return all
}

// wholeLines is the byte range of the lines that from and to stand on, the last line end
// included.
func (d *Document) wholeLines(from, to int) (start, end int) {
	start = max(strings.LastIndexByte(d.text[:from], '\n')+1, d.start)
	if i := strings.IndexByte(d.text[to:], '\n'); i >= 0 {
		return start, to + i + 1
	}
	return start, len(d.text)
}

// Errorf makes an Error about the value at path, with file, line and excerpt
// filled in. When the key is absent the error points at the innermost table on
// the way to it, or at the file.
func (d *Document) Errorf(path []any, right string, format string, args ...any) *Error {
	n, _ := d.find(path)
	return d.at(n, right, fmt.Sprintf(format, args...))
}

// at places an error at the value of a node, or at its key when the value has
// no place of its own on that line.
func (d *Document) at(n *node, right, problem string) *Error {
	from, to := n.at, n.end
	if n.valueEnd > n.valueAt && !strings.ContainsRune(d.text[n.at:n.valueEnd], '\n') {
		from, to = n.valueAt, n.valueEnd
	}
	return d.mark(n.line, from, to, right, problem)
}

// atKey places an error at the key of a node.
func (d *Document) atKey(n *node, right, problem string) *Error {
	return d.mark(n.line, n.at, n.end, right, problem)
}

func (d *Document) mark(line, from, to int, right, problem string) *Error {
	e := &Error{File: d.file, Line: line, Problem: problem, Right: cutTail(right, rightRunes)}
	if line == 0 {
		return e
	}
	from = min(max(from, d.start), len(d.text))
	start, stop := d.wholeLines(from, from)
	e.Excerpt = strings.TrimSuffix(strings.TrimSuffix(d.text[start:stop], "\n"), "\r")
	e.col = from - start
	e.width = min(to, start+len(e.Excerpt)) - from
	return e
}

// find walks down path as far as the file goes. ok reports whether all of it
// was found; if not, the node is the innermost one found.
func (d *Document) find(path []any) (n *node, ok bool) {
	n = d.top()
	for _, step := range path {
		var next *node
		switch s := step.(type) {
		case string:
			next = n.kid(s)
		case int:
			switch {
			case s >= 0 && s < len(n.items):
				next = n.items[s]
			case s == 0 && n.kind == table:
				next = n
			}
		}
		if next == nil {
			return n, false
		}
		n = next
	}
	return n, true
}

type kind int

const (
	scalar kind = iota
	table       // [x], an inline table, or a table implied by a dotted key
	list        // [1, 2]
	tables      // [[x]]
)

// node is one key of the file, or one entry of a list.
type node struct {
	key               string
	kind              kind
	line              int    // of the key or the header
	at, end           int    // byte range of the key or the header
	valueAt, valueEnd int    // byte range of the value; empty for tables with a header
	plain             any    // the value, where it is one that needs no library to read
	text              string // the same of a text
	quoted            bool   // it is one
	header            bool   // written as a [header] of its own, not only implied
	inline            bool   // written as { … }: nothing can be added to it later
	dotted            bool   // implied by a dotted key: only dotted keys can add to it
	kids              []*node
	byKey             map[string]*node
	items             []*node
}

// nodes are the places of one text, laid in pieces that are used again: a book is
// thousands of files of one shape.
type nodes struct {
	pieces [][]node
	used   int
}

// atOnce is how many places a piece has.
const atOnce = 64

// dropped are those whose text was read.
var dropped sync.Pool

// newNodes begins with the table of the whole file.
func newNodes() *nodes {
	t, again := dropped.Get().(*nodes)
	if !again {
		t = new(nodes)
	}
	t.add(node{kind: table})
	return t
}

func (t *nodes) root() *node { return &t.pieces[0][0] }

func (t *nodes) add(n node) *node {
	if t.used == len(t.pieces)*atOnce {
		t.pieces = append(t.pieces, make([]node, atOnce))
	}
	at := &t.pieces[t.used/atOnce][t.used%atOnce]
	t.used++
	n.kids, n.items = at.kids[:0], at.items[:0]
	*at = n
	return at
}

func (n *node) kid(key string) *node {
	if n.byKey != nil {
		return n.byKey[key]
	}
	for _, k := range n.kids {
		if k.key == key {
			return k
		}
	}
	return nil
}

// mapFrom is the number of keys from which a table keeps an index.
const mapFrom = 12

func (n *node) add(kid *node) {
	n.kids = append(n.kids, kid)
	switch {
	case n.byKey != nil:
		n.byKey[kid.key] = kid
	case len(n.kids) >= mapFrom:
		n.byKey = make(map[string]*node, 2*mapFrom)
		for _, k := range n.kids {
			n.byKey[k.key] = k
		}
	}
}
