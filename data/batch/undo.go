package batch

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"steepbook/data/strict"
)

// Undo takes the last entry off the end of a batch file and returns its text, where it is
// byte for byte what Append would write for it; the file is then what it was before.
// Anything else at the end is the maker's own and stays: then, as for a fault in the
// file, the error is a *strict.Error. What keeps the file from being written is one
// sentence.
func Undo(path string, loc *time.Location) (removed string, err error) {
	src, err := load(path)
	if err != nil {
		return "", err
	}
	if _, _, err = lastEntry(path, src, loc); err != nil {
		return "", err
	}
	target, err := filepath.EvalSymlinks(path)
	if err != nil {
		return "", pathError(path, err)
	}
	if info, err := os.Stat(target); err == nil && info.Mode().Perm()&0o222 == 0 {
		return "", fmt.Errorf("%s: nothing was taken out, because the file is read-only", path)
	}
	unlock, err := lock(target)
	if err != nil {
		return "", fmt.Errorf("%s: nothing was taken out, because %s", path, plainReason(err))
	}
	defer unlock()
	if src, err = load(target); err != nil { // it may have grown since
		return "", err
	}
	keep, removed, err := lastEntry(path, src, loc)
	if err != nil {
		return "", err
	}
	if err := cutTo(target, src, keep); err != nil {
		return "", fmt.Errorf("%s: nothing was taken out, because %s", path, plainReason(err))
	}
	return removed, nil
}

// lastEntry finds the last entry of a file: how many bytes stand before it, and its text.
func lastEntry(path string, src []byte, loc *time.Location) (keep int, removed string, err error) {
	usual := beside(filepath.Dir(path))
	whole, err := parse(path, src, loc, usual)
	if err != nil {
		return 0, "", err
	}
	refuse := func(format string, args ...any) (int, string, error) {
		return 0, "", &strict.Error{File: path, Problem: fmt.Sprintf(format, args...)}
	}
	kind, at := lastTable(whole.Doc)
	if !slices.Contains(LogTables(), kind) {
		return refuse("nothing that was logged stands at the end of the file; what you wrote stays as it is")
	}
	block := string(src[at:])
	byHand := "the last entry, %s on line %d, is not as the tool writes it, so it is yours: take it out in the file"
	line := bytes.Count(src[:at], []byte("\n")) + 1
	end := lineEnd(src)
	keep = len(strings.TrimSuffix(string(src[:at]), end))
	if keep == at {
		return refuse(byHand, "[["+kind+"]]", line)
	}
	before, err := parse(path, src[:keep], loc, usual)
	if err != nil {
		return refuse(byHand, "[["+kind+"]]", line)
	}
	entry, zone := asTyped(path, src, kind, loc)
	tables, err := entry.tables(before, zone)
	if err != nil || strings.ReplaceAll(textOf(tables), "\n", end) != block {
		return refuse(byHand, "[["+kind+"]]", line)
	}
	if err := onlyGrew(before, whole, 1); err != nil {
		return refuse("the last entry cannot be told from the rest: %s", err)
	}
	return keep, strings.ReplaceAll(block, "\r\n", "\n"), nil
}

// lastTable is the last table of a file that has a header of its own, and where it begins.
func lastTable(doc *strict.Document) (name string, at int) {
	for _, key := range doc.Keys() {
		for _, l := range doc.Lines(key) {
			if l.Header && l.From >= at {
				name, at = key, l.From
			}
		}
	}
	return name, at
}

// asTyped is the last entry of a kind as it would be typed, and the place whose clock its
// moment is written by. The file must be right.
func asTyped(path string, src []byte, kind string, loc *time.Location) (Entry, *time.Location) {
	var raw fileTable
	doc, err := strict.Decode(path, src, &raw)
	if err != nil {
		return NewNote{}, loc
	}
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
		i := len(raw.Tasting) - 1
		t := raw.Tasting[i]
		n := NewTasting{At: at(t.At), Sample: text(t.Sample), Taster: t.Taster, Words: t.Words}
		for _, name := range doc.Keys(kind, i, "score") {
			n.Scores = append(n.Scores, Score{name, t.Score[name]})
		}
		e = n
	case KindPulled:
		t := raw.Pulled[len(raw.Pulled)-1]
		e = NewPull{[]string{t.Name}, at(t.At)}
	case KindStrained:
		t := raw.Strained[len(raw.Strained)-1]
		e = NewStraining{t.Names, at(t.At), text(t.Volume)}
	case KindAdded:
		t := raw.Added[len(raw.Added)-1]
		e = NewAdded{t.Name, text(t.Amount), at(t.At)}
	case KindBottled:
		t := raw.Bottled[len(raw.Bottled)-1]
		e = NewBottling{number(t.Bottles), text(t.Of), text(t.Volume), at(t.At)}
	case KindOpened:
		t := raw.Opened[len(raw.Opened)-1]
		e = NewOpening{number(t.Bottle), at(t.At)}
	case KindEmptied:
		t := raw.Emptied[len(raw.Emptied)-1]
		e = NewEmptying{number(t.Bottle), at(t.At)}
	default:
		t := raw.Noted[len(raw.Noted)-1]
		e = NewNote{t.What, at(t.At)}
	}
	return e, loc
}

// cutTo shortens a file that should hold src to its first bytes, makes sure that it is on
// the disk, and reads it back. Readers see the one or the other, never a part.
func cutTo(path string, src []byte, keep int) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	info, err := f.Stat()
	if err == nil && info.Size() != int64(len(src)) {
		err = errors.New("another program changed the file at the same moment")
	}
	if err == nil {
		err = f.Truncate(int64(keep))
	}
	if err == nil {
		err = f.Sync()
	}
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	return err
}
