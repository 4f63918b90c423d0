package disk

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"

	"steepbook/data/strict"
)

// Create writes a new file. It never replaces one: when path exists already it fails and
// leaves that as it is. The file is there whole or not at all, and once it is acknowledged
// it is on the disk, its name too. The error is a *strict.Error.
func Create(path string, src []byte) error {
	if err := asNew(path); err != nil {
		return err
	}
	temp := temporary(path)
	if err := writeNew(temp, src); err != nil {
		return Unwritten(path, err)
	}
	defer os.Remove(temp)
	// A hard link appears at once and fails when the name is taken.
	err := os.Link(temp, path)
	switch {
	case err == nil:
	case errors.Is(err, fs.ErrExist):
		return taken(path)
	default: // a file system without hard links
		if err := writeNew(path, src); errors.Is(err, fs.ErrExist) {
			return taken(path)
		} else if err != nil {
			return Unwritten(path, err)
		}
	}
	syncFolder(path)
	return nil
}

// asNew refuses what cannot be the name of a new file.
func asNew(path string) error {
	if _, err := os.Lstat(path); err == nil {
		return taken(path)
	}
	switch {
	case path == "":
		return &strict.Error{Problem: "no file is named"}
	case os.IsPathSeparator(path[len(path)-1]):
		return &strict.Error{File: path, Problem: "this is a folder, not a file name"}
	}
	return nil
}

func taken(path string) error {
	return &strict.Error{File: path, Problem: "there is a file of that name already; choose another name, " +
		"or move it away first"}
}

// Replace writes a file, in the place of one that may be there: the old one or the new one is
// there whole, never a part. write is done before anything is touched, and its error comes
// back as it is; any other is a *strict.Error.
func Replace(path string, write func(io.Writer) error) error {
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return &strict.Error{File: path, Problem: "this is not an ordinary file, so nothing is put in its place"}
	}
	var text bytes.Buffer
	if err := write(&text); err != nil {
		return err
	}
	temp := temporary(path)
	err := writeNew(temp, text.Bytes())
	if err == nil {
		if err = os.Rename(temp, path); err != nil {
			_ = os.Remove(temp)
		}
	}
	if err != nil {
		return Unwritten(path, err)
	}
	return nil // what is drawn again at will does not wait for the folder
}

// temporary is a hidden neighbour of a file.
func temporary(path string) string { return hidden(path, strconv.FormatUint(rand.Uint64(), 36)+".new") }

// writeNew writes a file that must not exist, and removes it when that fails.
func writeNew(path string, src []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(src)
	if err == nil {
		err = f.Sync()
	}
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	if err != nil {
		_ = os.Remove(path) // it is incomplete
	}
	return err
}

// syncFolder makes the new name of a file last through a power cut, where the system can.
func syncFolder(path string) {
	if d, err := os.Open(filepath.Dir(path)); err == nil {
		_ = d.Sync() // not every file system offers it
		_ = d.Close()
	}
}
