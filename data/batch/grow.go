package batch

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"

	"steepbook/data/strict"
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
	old, err := load(path) // faults first, before anything is locked
	if err != nil {
		return err
	}
	text, err := entry(old)
	if err != nil || text == "" {
		return err
	}
	refused := func(reason string) error { return &WriteError{File: path, Reason: reason, Entry: text} }

	target, err := filepath.EvalSymlinks(path)
	if err != nil {
		return refused(plainReason(err))
	}
	info, err := os.Stat(target)
	if err != nil {
		return refused(plainReason(err))
	}
	if info.Mode().Perm()&0o222 == 0 {
		return refused("the file is read-only")
	}
	unlock, err := lock(target)
	if err != nil {
		return refused(plainReason(err))
	}
	defer unlock()

	if old, err = load(target); err != nil {
		return refused(err.Error())
	}
	if text, err = entry(old); err != nil || text == "" {
		return err
	}
	piece := asPiece(old, text)
	if err := check(old, append(bytes.Clone(old), piece...)); err != nil {
		var fault *strict.Error
		var again *AgainError
		if errors.As(err, &fault) || errors.As(err, &again) {
			return err
		}
		return refused(err.Error())
	}
	err = appendBytes(target, old, piece)
	var d doubt
	if errors.As(err, &d) {
		return &WriteError{File: path, Reason: d.reason, Entry: text, Doubtful: true}
	}
	if err != nil {
		return refused(plainReason(err))
	}
	return nil
}
