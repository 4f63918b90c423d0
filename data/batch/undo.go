package batch

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"steepbook/data/disk"
	"steepbook/data/strict"
)

// Ended is what was last logged at once in a file, the first of it on top: what its entries say, as they
// would be typed, and their text there.
type Ended struct {
	Lines   []Line
	Entries []Entry
	Block   string
}

// Mark tells it from every other one of its file.
func (e Ended) Mark() string {
	last := &e.Lines[len(e.Lines)-1]
	sum := sha256.Sum256(fmt.Appendf(nil, "%s %d\n%s", last.Kind, last.Index, e.Block))
	return hex.EncodeToString(sum[:16])
}

// atOnce is the line above n entries that one command wrote.
func atOnce(n int) string { return fmt.Sprintf("# These %d were logged at once.\n", n) }

// MovedError says that what was to be taken out is no longer the last entry.
type MovedError struct{ Now Ended }

func (e *MovedError) Error() string {
	return "something else has been logged since, so nothing was taken out"
}

// LastLogged is the entry that Undo would take out; errors as Undo.
func LastLogged(path string, loc *time.Location) (Ended, error) {
	src, err := disk.Load(path)
	if err != nil {
		return Ended{}, err
	}
	_, last, err := lastLogged(path, src, loc)
	return last, err
}

// Undo takes what was last logged at once off the end of a batch file and returns it, where it is byte for
// byte what Append would write for it; the file is then what it was before, its last line ended. Anything
// else at the end is the maker's own and stays: then, as for a fault in the file, the error is a
// *strict.Error. With the mark of an entry it is that one or none, else a *MovedError; ""
// is whichever is the last. What keeps the file from being written is one sentence.
func Undo(path, mark string, loc *time.Location) (removed Ended, err error) {
	src, err := disk.Load(path)
	if err != nil {
		return Ended{}, err
	}
	if _, _, err = lastLogged(path, src, loc); err != nil {
		return Ended{}, err
	}
	because := func(err error) error {
		return fmt.Errorf("%s: nothing was taken out, because %w", path, disk.Clause(disk.Reason(err)))
	}
	held, err := disk.Lock(path)
	if err != nil {
		return Ended{}, because(err)
	}
	defer held.Unlock()
	if src, err = held.Load(); err != nil { // it may have grown since
		return Ended{}, err
	}
	keep, removed, err := lastLogged(path, src, loc)
	if err != nil {
		return Ended{}, err
	}
	if mark != "" && mark != removed.Mark() {
		return Ended{}, &MovedError{removed}
	}
	if err := held.Amend(src, keep, nil); err != nil {
		return Ended{}, because(err)
	}
	return removed, nil
}

// lastLogged finds what one command wrote last into a file, behind its empty line: one entry, or those below
// the line that counts them to the end of the file; and how many bytes stand before it.
func lastLogged(path string, src []byte, loc *time.Location) (keep int, last Ended, err error) {
	usual := beside(filepath.Dir(path))
	whole, err := parse(path, src, loc, usual)
	if err != nil {
		return 0, Ended{}, err
	}
	refuse := func(format string, args ...any) (int, Ended, error) {
		return 0, Ended{}, &strict.Error{File: path, Problem: fmt.Sprintf(format, args...)}
	}
	if whole.CutOff != "" {
		return refuse("the last entry was cut off while it was written, and is left out; finish it or take it out " +
			"in the file")
	}
	kind, heads := lastTables(whole.Doc)
	if !slices.Contains(LogTables(), kind) {
		return refuse("nothing that was logged stands at the end of the file; what you wrote stays as it is")
	}
	var raw fileTable
	doc, err := strict.Decode(path, src, &raw)
	if err != nil {
		return 0, Ended{}, err
	}
	first, end := len(heads)-1, lineEnd(src)
	line := bytes.Count(src[:heads[first]], []byte("\n")) + 1
	start := heads[first]
	for i := range heads[:first] {
		above := strings.ReplaceAll(atOnce(len(heads)-i), "\n", end)
		if bytes.HasSuffix(src[:heads[i]], []byte(above)) {
			first, start = i, heads[i]-len(above)
			break
		}
	}
	byHand := func() (int, Ended, error) {
		return refuse("the last entry, [[%s]] on line %d, is not as the tool writes it, so it is yours: take it out in "+
			"the file", kind, line)
	}
	block := string(src[start:])
	before, behind := bytes.CutSuffix(src[:start], []byte(end))
	keep = len(before)
	was, err := parse(path, before, loc, usual)
	if err != nil || !behind || !bytes.HasSuffix(before, []byte("\n")) {
		return byHand()
	}
	var tables [][]string
	for i := first; i < len(heads); i++ {
		e, zone := asTyped(&raw, doc, kind, i, loc)
		one, err := e.tables(was, zone)
		if err != nil {
			return byHand()
		}
		last.Entries, tables = append(last.Entries, e), append(tables, one...)
	}
	if strings.ReplaceAll(textOf(tables), "\n", end) != block {
		return byHand()
	}
	if err := onlyGrew(was, whole, len(tables)); err != nil {
		return refuse("the last entry cannot be told from the rest: %s", err)
	}
	last.Lines, last.Block = whole.Newest(was), strings.ReplaceAll(block, "\r\n", "\n")
	return keep, last, nil
}

// lastTables is the kind of the last table of a file that has a header of its own, and where each of that
// kind begins.
func lastTables(doc *strict.Document) (kind string, heads []int) {
	for _, key := range doc.Keys() {
		var these []int
		for _, l := range doc.Lines(key) {
			if l.Header {
				these = append(these, l.From)
			}
		}
		if n := len(these); n > 0 && (heads == nil || these[n-1] > heads[len(heads)-1]) {
			kind, heads = key, these
		}
	}
	return kind, heads
}

// asTyped is the entry of a kind with that index as it would be typed, and the place whose clock its
// moment is written by.
func asTyped(raw *fileTable, doc *strict.Document, kind string, i int,
	loc *time.Location) (Entry, *time.Location) {
	at := func(v any) string {
		switch v := v.(type) {
		case string:
			return v
		case time.Time:
			if m, err := momentOf(v, loc); err == nil {
				m.zoned = !strings.HasSuffix(v.Location().String(), "-local")
				if m.DateOnly = v.Location().String() == "date-local"; m.zoned {
					loc, m.Time = v.Location(), v
				}
				return m.Stamp()
			}
		}
		return ""
	}
	text := func(s *string) string {
		if s == nil {
			return ""
		}
		return *s
	}
	number := func(n *int) int {
		if n == nil {
			return 0
		}
		return *n
	}
	var e Entry
	switch kind {
	case KindTasting:
		t := raw.Tasting[i]
		n := NewTasting{At: at(t.At), Sample: text(t.Sample), Taster: t.Taster, Words: t.Words}
		for _, name := range doc.Keys(kind, i, "score") {
			n.Scores = append(n.Scores, Score{name, t.Score[name]})
		}
		e = n
	case KindPulled:
		t := raw.Pulled[i]
		e = NewPull{[]string{t.Name}, at(t.At)}
	case KindStrained:
		t := raw.Strained[i]
		e = NewStraining{t.Names, at(t.At), text(t.Volume)}
	case KindAdded:
		t := raw.Added[i]
		e = NewAdded{t.Name, text(t.Amount), at(t.At), text(t.Into), number(t.Bottle)}
	case KindBottled:
		t := raw.Bottled[i]
		e = NewBottling{number(t.Bottles), text(t.Of), text(t.Volume), at(t.At), number(t.From)}
	case KindOpened:
		t := raw.Opened[i]
		e = NewOpening{number(t.Bottle), at(t.At)}
	case KindEmptied:
		t := raw.Emptied[i]
		e = NewEmptying{number(t.Bottle), at(t.At)}
	default:
		t := raw.Noted[i]
		e = NewNote{t.What, at(t.At)}
	}
	return e, loc
}
