package batch

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"time"
	"unicode"

	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// Rewrite makes a new text of a batch file: some values are exchanged and some tables
// left out, and everything else stays as the maker wrote it, byte for byte. It keeps the
// first thing that cannot be changed as it is written.
type Rewrite struct {
	b     *Batch
	src   []byte
	edits []edit
	err   error
}

// edit exchanges a stretch of the text.
type edit struct {
	from, to int
	text     string
}

// Rewrite begins a new text of the batch. The file itself stays as it is.
func (b *Batch) Rewrite() *Rewrite { return &Rewrite{b: b, src: []byte(b.Doc.Source())} }

// Set exchanges the value at a path, as strict.Document takes it, for one that is written
// as TOML has it. Where the file has no such value it does nothing.
func (r *Rewrite) Set(value string, path ...any) {
	if from, to, ok := r.b.Doc.Span(path...); ok {
		r.edits = append(r.edits, edit{from, to, value})
	}
}

// SetText is Set for a text without its quotation marks.
func (r *Rewrite) SetText(text string, path ...any) { r.Set(tomlText(text), path...) }

// Quote writes a text as a TOML string, as Set takes it.
func Quote(text string) string { return tomlText(text) }

// SetSpan turns a time of the clock at path into the span of so many hours since the
// start. A span stays as the maker wrote it.
func (r *Rewrite) SetSpan(hours float64, path ...any) {
	from, to, ok := r.b.Doc.Span(path...)
	if !ok {
		return
	}
	if _, err := quantity.ParseDuration(strings.Trim(string(r.src[from:to]), `"'`)); err != nil {
		r.SetText(exactSpan(hours), path...)
	}
}

// exactSpan writes a length of time to the second.
func exactSpan(hours float64) string {
	left := time.Duration(math.Round(hours*3600)) * time.Second
	var words []string
	for _, u := range []struct {
		span time.Duration
		name string
	}{{time.Hour, "h"}, {time.Minute, "min"}, {time.Second, "s"}} {
		if n := left / u.span; n > 0 {
			words = append(words, fmt.Sprintf("%d %s", n, u.name))
			left -= n * u.span
		}
	}
	if len(words) == 0 {
		return "0 h"
	}
	return strings.Join(words, " ")
}

// Put is SetText for a key of a table that is there once, PutValue is Set; a key that is not there is
// written first in its table, and a table that is not there at the end.
func (r *Rewrite) Put(text, table, key string) { r.PutValue(tomlText(text), table, key) }

// PutValue: see Put.
func (r *Rewrite) PutValue(value, table, key string) {
	lines := r.b.Doc.Lines(table)
	header := slices.IndexFunc(lines, func(l strict.Lines) bool { return l.Header })
	line := key + " = " + value + "\n"
	switch end := len(r.src); {
	case r.b.Doc.Has(table, key):
		r.Set(value, table, key)
	case header >= 0:
		at := lines[header].To
		if r.src[at-1] != '\n' {
			line = "\n" + line
		}
		r.edits = append(r.edits, edit{at, at, line})
	case len(lines) > 0 && r.err == nil:
		r.err = r.b.Errorf([]any{table}, "", "%s cannot be exchanged as it is written; put it on a line of "+
			"its own as key = value", table)
	case len(lines) == 0:
		r.edits = append(r.edits, edit{end, end, "\n[" + table + "]\n" + line})
	}
}

// Keeps writes what the solids of the old batch were measured to keep; nil: nobody did.
func (r *Rewrite) Keeps(share *float64) {
	if share != nil {
		r.PutValue(fmt.Sprintf("%.2f", *share), "finish", "keeps")
	}
}

// Give is Set for a key of an entry of a table that has a name: where the key is not
// there it is written behind the name.
func (r *Rewrite) Give(value, table string, entry int, key string) {
	from, to, ok := r.b.Doc.Span(table, entry, "name")
	switch {
	case r.b.Doc.Has(table, entry, key):
		r.Set(value, table, entry, key)
	case !ok && r.err == nil:
		r.err = r.b.Errorf([]any{table, entry}, "", "%s has no name to write %s behind", table, key)
	case !r.ownLine(from):
		r.edits = append(r.edits, edit{to, to, ", " + key + " = " + value})
	default:
		r.behind(to, key+" = "+value)
	}
}

// Anew makes it the text of a new batch of the same recipe, of this name and start, that
// goes into a file: what was logged and measured, and the day it was to be ready by, are
// the old one's.
func (r *Rewrite) Anew(file, name string, start time.Time) {
	r.Leave(append(LogTables(), "measured")...)
	r.SetText(name, "name")
	r.sayUnits()
	started := Dated(start)
	r.Set(started, "started")
	r.Drop("ready")
	if id := NewID(file, name, started); r.b.Doc.Has("id") {
		r.SetText(id, "id")
	} else if _, to, ok := r.b.Doc.Span("name"); ok {
		r.behind(to, "id = "+tomlText(id))
	}
	for _, e := range r.b.Additions {
		r.Drop("addition", e.Index, "pressed") // which was said of the old juice
	}
}

// NewID is what a new batch is known by, whatever it and its file are called later.
func NewID(file, name, started string) string {
	sum := sha256.Sum256([]byte(strings.Join([]string{filepath.Base(file), name, started}, "\x00")))
	return hex.EncodeToString(sum[:4])
}

// OwnID is the id that a new file is given that is called, named and begun as this one is.
func (b *Batch) OwnID() string { return NewID(b.File, b.Name, Dated(b.Started)) }

// Anew is a batch with all that Rewrite.Anew changes as another has it, to hold that one
// against it.
func (b *Batch) Anew(to *Batch) Batch {
	want := *b
	want.Name, want.ID, want.File, want.Doc = to.Name, to.ID, to.File, to.Doc
	want.Started, want.StartedDateOnly, want.Ready = to.Started, to.StartedDateOnly, time.Time{}
	want.Logged, want.Measured = Logged{}, Measured{}
	want.Finish.Keeps = to.Finish.Keeps
	want.Spirits, want.Botanicals, want.Additions = slices.Clone(b.Spirits), slices.Clone(b.Botanicals),
		slices.Clone(b.Additions)
	for i := range want.Additions {
		want.Additions[i].Pressed = time.Time{}
	}
	return want
}

// sayUnits writes in whose measures the batch is where only the house rules beside it say
// so, so that the new text means the same elsewhere.
func (r *Rewrite) sayUnits() {
	if _, to, ok := r.b.Doc.Span("name"); ok && r.b.Units == quantity.US && !r.b.Doc.Has("units") {
		r.behind(to, `units = "us"`)
	}
}

// behind writes a line of its own behind the one that holds a byte.
func (r *Rewrite) behind(at int, line string) {
	if end := bytes.IndexAny(r.src[at:], "\r\n"); end >= 0 {
		at += end
	} else {
		at = len(r.src)
	}
	r.edits = append(r.edits, edit{at, at, "\n" + line})
}

// Drop leaves out a key that stands on a line of its own, with that line. Where the file
// has no such key it does nothing.
func (r *Rewrite) Drop(path ...any) {
	from, to, ok := r.b.Doc.Span(path...)
	switch {
	case !ok:
	case r.ownLine(from):
		start, end := r.lineBefore(from), len(r.src)
		if i := bytes.IndexByte(r.src[to:], '\n'); i >= 0 {
			end = to + i + 1
		}
		r.edits = append(r.edits, edit{start, end, ""})
	case r.err == nil:
		r.err = r.b.Errorf(path, "", "%s cannot be left out as it is written; put it on a line of its own",
			path[len(path)-1])
	}
}

// ownLine reports whether a value is the first on its line, behind its key.
func (r *Rewrite) ownLine(at int) bool {
	return bytes.Count(r.src[r.lineBefore(at):at], []byte("=")) == 1
}

// Leave leaves out tables with what belongs to them: the comment right above a header,
// and the empty lines in between.
func (r *Rewrite) Leave(tables ...string) {
	var lines []strict.Lines
	for _, t := range tables {
		lines = append(lines, r.b.Doc.Lines(t)...)
	}
	sort.Slice(lines, func(i, j int) bool { return lines[i].From < lines[j].From })
	var gone []edit
	for _, l := range lines {
		from := l.From
		if l.Header {
			from = r.aboveHeader(from, gone)
		}
		if n := len(gone); n > 0 && len(bytes.TrimSpace(r.src[gone[n-1].to:from])) == 0 {
			gone[n-1].to = l.To
			continue
		}
		gone = append(gone, edit{from: from, to: l.To})
	}
	for i, e := range gone {
		next, _, _ := bytes.Cut(r.src[e.to:], []byte("\n"))
		if len(bytes.TrimSpace(next)) == 0 {
			gone[i].from = r.overBlanks(e.from)
		}
	}
	r.edits = append(r.edits, gone...)
}

// aboveHeader includes the comment lines that stand right above a header, when they do
// not belong to what comes before them.
func (r *Rewrite) aboveHeader(from int, gone []edit) int {
	at := from
	for at > 0 {
		start := r.lineBefore(at)
		line := bytes.TrimSpace(r.src[start:at])
		switch {
		case len(line) > 0 && line[0] == '#':
			at = start
			continue
		case len(line) == 0, len(gone) > 0 && gone[len(gone)-1].to == at:
			return at
		}
		return from
	}
	return from
}

// overBlanks moves up over empty lines.
func (r *Rewrite) overBlanks(at int) int {
	for at > 0 {
		start := r.lineBefore(at)
		if len(bytes.TrimSpace(r.src[start:at])) > 0 {
			return at
		}
		at = start
	}
	return at
}

// lineBefore is where the line begins that ends at a byte.
func (r *Rewrite) lineBefore(at int) int { return bytes.LastIndexByte(r.src[:at-1], '\n') + 1 }

// From says at the top of the new text from which file it was made and how, what differs
// and what the maker should know of it.
func (r *Rewrite) From(how, file, what, then string) {
	line := strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, fmt.Sprintf("# %s %s (%s, started %s): %s.", how, file, r.b.Name,
		r.b.Started.Format(time.DateOnly), what))
	top := len(r.src) - len(bytes.TrimPrefix(r.src, []byte("\uFEFF")))
	r.edits = append(r.edits, edit{top, top, line + "\n# " + then + "\n"})
}

// End writes lines at the end.
func (r *Rewrite) End(lines string) {
	end := len(r.src)
	if end > 0 && r.src[end-1] != '\n' {
		lines = "\n" + lines
	}
	r.edits = append(r.edits, edit{end, end, lines})
}

// Text is the new text, with new lines ended as the file ends its own. The error is a
// *strict.Error.
func (r *Rewrite) Text() ([]byte, error) {
	if r.err != nil {
		return nil, r.err
	}
	sort.SliceStable(r.edits, func(i, j int) bool { return r.edits[i].from < r.edits[j].from })
	end := lineEnd(r.src)
	var out bytes.Buffer
	at := 0
	for _, e := range r.edits {
		if e.from < at {
			continue // within what is left out
		}
		out.Write(r.src[at:e.from])
		out.WriteString(strings.ReplaceAll(e.text, "\n", end))
		at = e.to
	}
	out.Write(r.src[at:])
	return out.Bytes(), nil
}

// lineEnd is how a text ends its lines.
func lineEnd(src []byte) string {
	if i := bytes.IndexByte(src, '\n'); i > 0 && src[i-1] == '\r' {
		return "\r\n"
	}
	return "\n"
}
