package library

import (
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"sync"

	"steepbook/data"
	"steepbook/data/strict"
	"steepbook/kinetics/cores"
)

// The embedded files are never decoded whole. A scan finds where each entry begins
// and what it is called, and an entry is decoded, by itself, when it is first
// wanted: a command names a handful of some thousand.

// header is an entry of an embedded file and what it is called.
type header struct {
	path     string
	file     string // its text
	from, to int    // the entry in it, from [[kind]] up to the next one
	name     string // the line below [[kind]]: name, key or substance
	names    []string
	never    bool   // built in as forbidden
	keys     string // of the words of its names, "" where nobody wrote them
	// stonesOf are the fruits whose stones, kernels or pips it is; wholeToo: even those that lie in whole.
	stonesOf []string
	wholeToo bool
}

// decode reads the entry alone; the empty lines in front keep the line numbers
// of the file.
func (h *header) decode(v any) (*strict.Document, error) {
	above := strings.Count(h.file[:h.from], "\n")
	return strict.Decode("data/"+h.path, []byte(strings.Repeat("\n", above)+h.file[h.from:h.to]), v)
}

// headers finds every [[kind]] table of the files that match a pattern, in the order
// written. What it is called stands in the line below, and its other names, if any, in
// the next; a test holds the files to that.
func headers(pattern, kind string) (all []*header) {
	paths, _ := fs.Glob(data.Files, pattern)
	in := make([][]header, len(paths))
	cores.Each(len(paths), func(i int) { in[i] = headersIn(paths[i], kind) })
	for _, in := range in {
		for i := range in {
			all = append(all, &in[i])
		}
	}
	giveKeys(kind, all)
	return all
}

func headersIn(path, kind string) []header {
	text, wanted := data.Text(path), "[["+kind+"]]\n"
	out := make([]header, 0, len(text)/600+1) // about as many as there are
	for from := strings.Index(text, wanted); from < len(text) && from >= 0; {
		below := from + len(wanted)
		to := len(text)
		if next := strings.Index(text[below:], wanted); next >= 0 {
			to = below + next
		}
		called, rest, _ := strings.Cut(text[below:to], "\n")
		h := header{path: path, file: text, from: from, to: to, name: between(called)}
		h.never = path == neverFile
		if names, ok := strings.CutPrefix(rest, "names = ["); ok {
			names, rest, _ = strings.Cut(names, "]")
			h.names = quoted(names)
			if of, ok := strings.CutPrefix(rest, "\nstones_of = ["); ok {
				of, rest, _ = strings.Cut(of, "]")
				h.stonesOf, h.wholeToo = quoted(of), strings.HasPrefix(rest, "\nwhole_too = true")
			}
		}
		out = append(out, h)
		from = to
	}
	return out
}

// between is the text in the first pair of quotation marks.
func between(line string) string {
	_, rest, _ := strings.Cut(line, `"`)
	s, _, _ := strings.Cut(rest, `"`)
	return s
}

// quoted lists the texts in quotation marks.
func quoted(list string) []string {
	out := make([]string, 0, strings.Count(list, `"`)/2)
	for {
		_, rest, ok := strings.Cut(list, `"`)
		if !ok {
			return out
		}
		s, rest, _ := strings.Cut(rest, `"`)
		out, list = append(out, s), rest
	}
}

// entry is one thing of the library that may not have been read yet.
type entry[T any] struct {
	*header
	read func(*header) (*T, error) // nil: value is there

	got   sync.Once
	value *T
	err   error
}

// get reads the entry when it is first wanted.
func (e *entry[T]) get() (*T, error) {
	e.got.Do(func() {
		if e.read != nil {
			e.value, e.err = e.read(e.header)
		}
	})
	return e.value, e.err
}

// orNone is get where there may be no entry.
func (e *entry[T]) orNone() (*T, error) {
	if e == nil {
		return nil, nil
	}
	return e.get()
}

// neverFile holds the botanicals that must not be steeped, and only those.
const neverFile = "botanicals/never.toml"

// builder makes an entry of what the table at path says of it.
type builder[T, In any] = func(r *reader, path []any, in *In, v *T) error

// scan lists the entries of the files that match a pattern.
func scan[T, In any](l *Library, pattern, kind string, build builder[T, In]) (entries []*entry[T]) {
	read := func(h *header) (*T, error) {
		var raw map[string][]In
		doc, err := h.decode(&raw)
		if err != nil {
			return nil, err
		}
		v := new(T)
		if e, ok := any(v).(interface{ base() *Entry }); ok {
			e.base().Name = h.name
		}
		if err := build(&reader{lib: l, doc: doc}, []any{kind, 0}, &raw[kind][0], v); err != nil {
			return nil, err
		}
		return v, nil
	}
	hs := headers(pattern, kind)
	es := make([]entry[T], len(hs))
	entries = make([]*entry[T], len(hs))
	for i, h := range hs {
		es[i].header, es[i].read = h, read
		entries[i] = &es[i]
	}
	return entries
}

// keyed is the entries of a file by name.
type keyed[T any] map[string]*entry[T]

func newTable[T, In any](l *Library, path, kind string, build builder[T, In]) func() keyed[T] {
	return sync.OnceValue(func() keyed[T] {
		rows := keyed[T]{}
		for _, e := range scan(l, path, kind, build) {
			rows[e.name] = e
		}
		return rows
	})
}

// row reads one row; an unknown name offers the nearest.
func (t keyed[T]) row(kind, name string) (*T, error) {
	if e := t[name]; e != nil {
		return e.get()
	}
	if n, ok := strict.Nearest(name, slices.Collect(maps.Keys(t))); ok {
		return nil, fmt.Errorf("there is no %s %q; did you mean %q?", kind, name, n)
	}
	return nil, fmt.Errorf("there is no %s %q", kind, name)
}
