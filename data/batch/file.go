package batch

import (
	"errors"
	"fmt"
	"os"
	"time"

	"steepbook/data/disk"
	"steepbook/data/strict"
)

// Read reads a batch file. Clock times without an offset are those of loc. A
// file that cannot be read and the first fault in it both come back as a
// *strict.Error.
func Read(path string, loc *time.Location) (*Batch, error) {
	src, err := disk.Load(path)
	if err != nil {
		return nil, err
	}
	return ParseBeside(path, src, loc)
}

// ReadIn is Read for a file of a folder that nothing but its house rules is read outside
// of: name is that of the file in it, and the File of the batch.
func ReadIn(root *os.Root, name string, loc *time.Location) (*Batch, error) {
	src, err := disk.LoadBy(name, root.OpenFile)
	if err != nil {
		return nil, err
	}
	return parse(name, src, loc, beside(root.Name()))
}

// Create writes a new batch file with the text src. It never replaces a file: when path
// exists already it fails and leaves that as it is. The file is there whole or not at all.
// What is wrong with the name is a *strict.Error, and what keeps the text from being written
// a *WriteError, which carries it.
func Create(path string, src []byte) error {
	err := disk.Create(path, src)
	var fault *strict.Error
	if err == nil || errors.As(err, &fault) && fault.Err == nil {
		return err
	}
	return &WriteError{File: path, Reason: disk.Reason(err), Entry: string(src), New: true}
}

// WriteError says that an entry was not added to a batch file, or a new file not written, and
// keeps the text: nothing that the maker typed is lost.
type WriteError struct {
	File     string
	Reason   string // one clause
	Entry    string // the entry or the file as TOML
	Doubtful bool   // it may have been written, but the file does not read back as it should
	New      bool   // it is the whole of a new file
}

// Unwrap is the reason.
func (e *WriteError) Unwrap() error { return disk.Clause(e.Reason) }

// Error is a sentence, then the entry to paste into the file.
func (e *WriteError) Error() string {
	return fmt.Sprintf("%s: %s:\n\n%s", e.File, e.Problem(), e.Entry)
}

// Problem is the sentence without the file and the entry.
func (e *WriteError) Problem() string {
	switch {
	case e.New:
		return fmt.Sprintf("nothing was written, because %s; this is what was to stand in the new file", e.Reason)
	case e.Doubtful:
		return fmt.Sprintf("the new entry may not be in the file, because %s; look at its end and add "+
			"these lines if they are missing", e.Reason)
	}
	return fmt.Sprintf("nothing was written, because %s; add these lines to the end of the file "+
		"yourself", e.Reason)
}
