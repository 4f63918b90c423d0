package batch

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"time"

	"steepbook/data/disk"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// AgainError says that an entry seems to be there already, or to be a slip. AppendAgain adds
// it all the same.
type AgainError struct {
	Problem   string // one sentence without its full stop
	Unbottled bool   // the bottles are to be logged first
}

func (e *AgainError) Error() string { return e.Problem }

// Append adds an entry at the end of a batch file. The file must be right before and
// after; what was in it stays as it is, byte for byte. A fault in the entry is a
// *strict.Error without a line, a fault in the file one with its line, what seems to be
// there already an *AgainError, and a file that cannot be written a *WriteError, which
// carries the entry. In each case the file is unchanged. The checks are asked, too, whether
// the batch is right with the entry; their faults are those of the entry.
func Append(path string, entry Entry, loc *time.Location, checks ...func(before, grown *Batch) error) error {
	return add(path, entry, loc, false, checks)
}

// AppendAgain is Append for what may be there already.
func AppendAgain(path string, entry Entry, loc *time.Location,
	checks ...func(before, grown *Batch) error) error {
	return add(path, entry, loc, true, checks)
}

// add appends an entry to the batch at path.
func add(path string, entry Entry, loc *time.Location, again bool,
	checks []func(before, grown *Batch) error) error {
	var before *Batch
	var tables [][]string
	usual := beside(filepath.Dir(path))
	text := func(old []byte) (string, error) {
		var err error
		if before, err = parse(path, old, loc, usual); err != nil {
			return "", err
		}
		if tables, err = entry.tables(before, loc); err == nil && before.CutOff != "" {
			err = errCutOff
		}
		return textOf(tables), err
	}
	check := func(old, grown []byte) error {
		after, err := parse(path, grown, loc, usual)
		if err != nil {
			return inEntry(err, old)
		}
		if err := onlyGrew(before, after, len(tables)); err != nil {
			return err
		}
		for _, check := range checks {
			if err := check(before, after); err != nil {
				return inEntry(err, old)
			}
		}
		if again {
			return nil
		}
		return logged(before, after)
	}
	err := Grow(path, text, check)
	if !errors.Is(err, errCutOff) {
		return err
	}
	if err := remark(path, loc); err != nil {
		return &WriteError{File: path, Reason: disk.Reason(err), Entry: textOf(tables)}
	}
	return Grow(path, text, check)
}

// errCutOff says that the file ends in an entry that was cut off.
var errCutOff = disk.Clause("its last entry was cut off while it was written")

// textOf is the text of tables, with a line above several that says so: Undo takes them out at once.
func textOf(tables [][]string) (text string) {
	if len(tables) > 1 {
		text = atOnce(len(tables))
	}
	for _, t := range tables {
		text += strings.Join(t, "\n") + "\n"
	}
	return text
}

// logged refuses with an *AgainError what is in the file already: the same within a
// minute, what contradicts it, or what is done once in the life of a batch.
func logged(before, after *Batch) error {
	log := before.Log()
	for _, l := range after.Newest(before) {
		for _, o := range log {
			same := o.Kind == l.Kind && o.Text == l.Text && l.When.Sub(o.When).Abs() < time.Minute
			if same {
				return &AgainError{Problem: fmt.Sprintf("the same is logged for that minute already (%s: %s)", l.Kind,
					o.Text)}
			}
		}
		if l.Kind == KindTasting {
			for i := range before.Tastings {
				if said := after.Tastings[l.Index].against(&before.Tastings[i]); said != "" {
					return &AgainError{Problem: said}
				}
			}
		}
		var done *Stage
		switch f := before.Finish; {
		case l.Kind == KindStrained && len(after.Strainings[l.Index].Names) == 0:
			done = f.Strained
		case l.Kind == KindBottled && after.Bottlings[l.Index].From == 0 && !before.otherSize(&after.Bottlings[l.Index]):
			done = before.BottledAt()
		}
		if done != nil && done.Hours <= l.Hours {
			return &AgainError{Problem: fmt.Sprintf("it was %s already, on %s", l.Kind,
				done.When.Format("2~Jan 2006~15:04"))}
		}
	}
	return nil
}

// otherSize reports whether bottles are of none of the sizes that were filled before: then there are more of
// them, and whether they fit is asked elsewhere.
func (b *Batch) otherSize(x *Bottling) bool {
	ml := func(x *Bottling) (ml float64) {
		if of := cmp.Or(x.Of, b.Finish.Bottle); of != nil {
			_, ml, _, _ = of.Millilitres()
		}
		return ml
	}
	same := func(o Bottling) bool { return ml(&o) == 0 || ml(&o) == ml(x) }
	return x.Volume == nil && ml(x) > 0 && len(b.Bottlings) > 0 && !slices.ContainsFunc(b.Bottlings, same)
}

// Newest are the lines of the log that the batch did not have before it grew.
func (b *Batch) Newest(before *Batch) []Line {
	old := map[string]int{}
	for _, l := range before.Log() {
		old[l.Kind]++
	}
	return quantity.Those(b.Log(), func(l *Line) bool { return l.Index >= old[l.Kind] })
}

// Times is how often an entry stands in the log, wherever.
func (b *Batch) Times(entry Line) (n int) {
	for _, l := range b.Log() {
		if l.Kind == entry.Kind && l.Text == entry.Text && l.When.Equal(entry.When) {
			n++
		}
	}
	return n
}

// asPiece is the entry behind an empty line, in the line ends of the file; a last line that was not ended is
// ended first. What one command added to a file can so be told from what was there.
func asPiece(old []byte, entry string) []byte {
	if !bytes.HasSuffix(old, []byte("\n")) {
		entry = "\n" + entry
	}
	return []byte(strings.ReplaceAll("\n"+entry, "\n", lineEnd(old)))
}

// inEntry takes file and line off a fault in the new entry, and leaves its key: they would
// point at text that is not in the file.
func inEntry(err error, old []byte) error {
	var e *strict.Error
	if !errors.As(err, &e) || e.Line <= bytes.Count(old, []byte("\n"))+1 {
		return err
	}
	key, _, _ := strings.Cut(e.Excerpt, "=")
	return &strict.Error{Problem: e.Problem, Right: e.Right, Key: strings.TrimSpace(key)}
}

// onlyGrew checks that a file with new entries says all that it said before, and so many
// things more.
func onlyGrew(before, after *Batch, entries int) error {
	cut := *after
	cut.Doc = before.Doc
	was, is := reflect.ValueOf(before.Logged), reflect.ValueOf(&cut.Logged).Elem()
	grown := 0
	for i := range is.NumField() {
		n, list := was.Field(i).Len(), is.Field(i)
		if grown += list.Len() - n; list.Len() < n {
			return fmt.Errorf("the file with the new entry would lack an old one")
		}
		if list.Set(list.Slice3(0, n, n)); n == 0 {
			list.Set(was.Field(i))
		}
	}
	if grown != entries {
		return fmt.Errorf("the file with the new entry would not read as one entry more")
	}
	if !reflect.DeepEqual(&cut, before) {
		return fmt.Errorf("the file with the new entry would no longer say the same as before")
	}
	return nil
}
