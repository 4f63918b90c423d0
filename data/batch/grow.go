package batch

import (
	"bytes"
	"errors"
	"fmt"
	"time"

	"steepbook/data/disk"
	"steepbook/data/strict"
)

// An editor that saves needs a moment: so often, and so far apart, its file is read again
// before it is left to the maker.
const (
	tries   = 10
	between = 50 * time.Millisecond
)

// Grow adds one entry at the end of a file of the book; what was in it stays as
// it is, byte for byte. entry is asked for the new text with the file as it
// stands, and asked again under the lock, because another entry may have come
// in between; an empty text adds nothing. check must find the grown file right
// before a byte of it is written.
//
// A *strict.Error of either function, and an *AgainError, come back as they are. Whatever else keeps
// the entry out of the file is a *WriteError, which carries the entry; the file
// is then unchanged, unless the error is Doubtful.
func Grow(path string, entry func(old []byte) (string, error), check func(old, grown []byte) error) error {
	old, err := disk.Load(path) // faults first, before anything is locked
	if err != nil {
		return err
	}
	text, err := entry(old)
	if err != nil || text == "" {
		return err
	}
	for range tries {
		if err = growOnce(path, &text, entry, check); !errors.Is(err, disk.ErrChanged) {
			break
		}
		time.Sleep(between)
	}
	var fault *strict.Error
	var again *AgainError
	if err == nil || errors.As(err, &fault) || errors.As(err, &again) {
		return err
	}
	var doubt disk.Doubt
	if errors.As(err, &doubt) {
		return &WriteError{File: path, Reason: doubt.Reason, Entry: text, Doubtful: true}
	}
	return &WriteError{File: path, Reason: disk.Reason(err), Entry: text}
}

// growOnce is Grow under the lock; text is what was written, or could not be.
func growOnce(path string, text *string,
	entry func([]byte) (string, error), check func(old, grown []byte) error) error {
	held, err := disk.Lock(path)
	if err != nil {
		return err
	}
	defer held.Unlock()
	old, err := held.Load()
	if err != nil {
		return disk.Clause(err.Error())
	}
	now, err := entry(old)
	var fault *strict.Error
	switch {
	case errors.As(err, &fault) && fault.File != "": // it is half saved, maybe
		return fmt.Errorf("%w: %w", disk.Clause("there is now a fault in it: "+err.Error()), disk.ErrChanged)
	case err != nil || now == "":
		return err
	}
	*text = now
	piece := asPiece(old, now)
	if len(old)+len(piece) > strict.Most {
		return disk.Clause(fmt.Sprintf("the file would be too large to be read, with more than %d MB", strict.Most>>20))
	}
	if err := check(old, append(bytes.Clone(old), piece...)); err != nil {
		var again *AgainError
		if errors.As(err, &fault) || errors.As(err, &again) {
			return err
		}
		return disk.Clause(err.Error())
	}
	return held.Append(old, piece)
}
