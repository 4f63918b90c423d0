// Package disk reads and writes the files of a book: whole or not at all, on the disk before
// it is acknowledged, and what keeps it from that said in a sentence. It knows no batch.
package disk

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"steepbook/data/strict"
)

// Clause is a reason in words of ours.
type Clause string

func (c Clause) Error() string { return string(c) }

// reasons are what a system may say, and the same in words, for a file that is named already.
var reasons = []struct {
	err  error
	says string
}{
	{syscall.ENOSPC, "the disk is full"},
	{syscall.EDQUOT, "your share of the disk is used up"},
	{syscall.EROFS, "the disk can only be read"},
	{syscall.EIO, "the disk reports a fault"},
	{syscall.EFBIG, "the file would be larger than the disk allows"},
	{syscall.EBUSY, "another program is using it"},
	{syscall.EMFILE, "too many files are open"},
	{syscall.ENFILE, "too many files are open"},
	{syscall.ELOOP, "it is a link that leads to itself"},
	{syscall.EPIPE, "nobody reads it any more"},
	{syscall.ENOTDIR, "a part of its path is no folder"},
	{syscall.EISDIR, "it is a folder"},
	{fs.ErrPermission, "you have no permission for it"},
	{fs.ErrNotExist, "it is not there any more"},
	{fs.ErrExist, "there is something of that name already"},
}

// Reason is one clause on why something could not be read or written.
func Reason(err error) string {
	var own Clause
	if errors.As(err, &own) {
		return string(own)
	}
	for _, r := range reasons {
		if errors.Is(err, r.err) {
			return r.says
		}
	}
	var path *fs.PathError
	var link *os.LinkError
	var call *os.SyscallError
	switch {
	case errors.As(err, &path):
		err = path.Err
	case errors.As(err, &link):
		err = link.Err
	case errors.As(err, &call):
		err = call.Err
	}
	return fmt.Sprintf("the system says %q", err)
}

// Unread is a file or a folder that could not be read: the fault of who named it where it is
// not there, else of the machine.
func Unread(path string, err error) *strict.Error {
	e := &strict.Error{File: path}
	dir := filepath.Dir(path)
	switch {
	case path == "":
		e.Problem = "no file is named"
	case errors.Is(err, fs.ErrNotExist):
		e.Problem = "there is no such file"
		if info, err := os.Stat(path + ".toml"); err == nil && info.Mode().IsRegular() {
			e.Problem = fmt.Sprintf("there is no such file; did you mean %q?", filepath.Base(path)+".toml")
		} else if _, err := os.Stat(dir); dir != "." && errors.Is(err, fs.ErrNotExist) {
			e.Problem = fmt.Sprintf("there is no folder %q", dir)
		}
	case errors.Is(err, syscall.ENOTDIR):
		e.Problem = fmt.Sprintf("%q is not a folder", dir)
	case errors.Is(err, syscall.ENAMETOOLONG):
		e.Problem = "its name is too long"
	case errors.Is(err, fs.ErrPermission):
		e.Problem, e.Err = "it may not be read or written by you; change its permissions", err
	default:
		e.Problem, e.Err = "it cannot be read, because "+Reason(err), err
	}
	return e
}

// Unwritten is a file that could not be written: the fault of who named it where there is no
// such place for it, else of the machine.
func Unwritten(path string, err error) *strict.Error {
	e := &strict.Error{File: path}
	dir := filepath.Dir(path)
	_, noDir := os.Stat(dir)
	switch {
	case errors.Is(noDir, fs.ErrNotExist):
		e.Problem = fmt.Sprintf("there is no folder %q; make it first", dir)
	case errors.Is(err, syscall.ENOTDIR):
		e.Problem = fmt.Sprintf("%q is not a folder", dir)
	case errors.Is(err, syscall.ENAMETOOLONG):
		e.Problem = "its name is too long"
	case errors.Is(err, fs.ErrPermission):
		e.Problem = fmt.Sprintf("the folder %q may not be written to by you", dir)
		e.Err = Clause(e.Problem)
	default:
		e.Problem, e.Err = "it could not be written, because "+Reason(err), err
	}
	return e
}

// MakeFolder makes a folder and those above it where they are missing; the error is a
// *strict.Error.
func MakeFolder(dir string) error {
	err := os.MkdirAll(dir, 0o755)
	switch {
	case err == nil:
		return nil
	case errors.Is(err, syscall.ENOTDIR), errors.Is(err, fs.ErrExist):
		return &strict.Error{File: dir, Problem: "this is a file, or lies in one, where a folder is wanted"}
	}
	return &strict.Error{File: dir, Problem: "the folder cannot be made, because " + Reason(err), Err: err}
}

// hidden is the name of a temporary neighbour of a file.
func hidden(path, ending string) string {
	dir, base := filepath.Split(path)
	return filepath.Join(dir, "."+strings.TrimPrefix(base, ".")+"."+ending)
}
