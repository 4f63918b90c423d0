package batch

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"time"

	"github.com/gofrs/flock"

	"steepbook/data/strict"
)

// maxFile is more than a lifetime of tastings; beyond it the path is a slip.
const maxFile = 4 << 20

// Read reads a batch file. Clock times without an offset are those of loc. A
// file that cannot be read and the first fault in it both come back as a
// *strict.Error.
func Read(path string, loc *time.Location) (*Batch, error) {
	src, err := load(path)
	if err != nil {
		return nil, err
	}
	return ParseBeside(path, src, loc)
}

// ReadIn is Read for a file of a folder that nothing but its house rules is read outside
// of: name is that of the file in it, and the File of the batch.
func ReadIn(root *os.Root, name string, loc *time.Location) (*Batch, error) {
	src, err := loadBy(name, root.Stat, root.ReadFile)
	if err != nil {
		return nil, err
	}
	return parse(name, src, loc, beside(root.Name()))
}

func load(path string) ([]byte, error) { return loadBy(path, os.Stat, os.ReadFile) }

// loadBy reads a whole file and words what can go wrong on the way.
func loadBy(path string, stat func(string) (os.FileInfo, error),
	read func(string) ([]byte, error)) ([]byte, error) {
	info, err := stat(path)
	if err != nil {
		return nil, pathError(path, err)
	}
	problem := ""
	switch {
	case info.IsDir():
		problem = "this is a folder, not a batch file"
	case !info.Mode().IsRegular():
		problem = "this is not an ordinary file"
	case info.Size() > maxFile:
		problem = fmt.Sprintf("the file has %d MB, too much for a batch; is it the right file?",
			info.Size()>>20)
	}
	if problem != "" {
		return nil, &strict.Error{File: path, Problem: problem}
	}
	src, err := read(path)
	if err != nil {
		return nil, pathError(path, err)
	}
	return src, nil
}

// pathError puts an error of the operating system into one sentence.
func pathError(path string, err error) error {
	e := &strict.Error{File: path}
	switch {
	case path == "":
		e.Problem = "no file is named"
	case errors.Is(err, fs.ErrNotExist):
		e.Problem = "there is no such file"
		if info, err := os.Stat(path + ".toml"); err == nil && info.Mode().IsRegular() {
			e.Problem = fmt.Sprintf("there is no such file; did you mean %q?", filepath.Base(path)+".toml")
		} else if dir := filepath.Dir(path); dir != "." {
			if _, err := os.Stat(dir); errors.Is(err, fs.ErrNotExist) {
				e.Problem = fmt.Sprintf("there is no folder %q", dir)
			}
		}
	case errors.Is(err, fs.ErrPermission):
		e.Problem = "this file may not be read or written by you; change its permissions"
	default:
		e.Problem = plainReason(err)
	}
	return e
}

// plainReason takes the operation and the path off an error of the os package.
func plainReason(err error) string {
	var pe *fs.PathError
	var le *os.LinkError
	switch {
	case errors.As(err, &pe):
		return pe.Err.Error()
	case errors.As(err, &le):
		return le.Err.Error()
	}
	return err.Error()
}

// WriteError says that an entry was not added to a batch file, and keeps the
// entry: nothing that the maker typed is lost.
type WriteError struct {
	File     string
	Reason   string // one clause
	Entry    string // the entry as TOML
	Doubtful bool   // it may have been written, but the file does not read back as it should
}

// Error is a sentence, then the entry to paste into the file.
func (e *WriteError) Error() string {
	return fmt.Sprintf("%s: %s:\n\n%s", e.File, e.Problem(), e.Entry)
}

// Problem is the sentence without the file and the entry.
func (e *WriteError) Problem() string {
	if e.Doubtful {
		return fmt.Sprintf("the new entry may not be in the file, because %s; look at its end and add "+
			"these lines if they are missing", e.Reason)
	}
	return fmt.Sprintf("nothing was written, because %s; add these lines to the end of the file "+
		"yourself", e.Reason)
}

// doubt is a failure after the entry was handed to the system.
type doubt struct{ reason string }

func (d doubt) Error() string { return d.reason }

// lockWait is how long to wait for another writer, who needs milliseconds.
const lockWait = 10 * time.Second

// lock keeps other writers of a batch file out until unlock is called. It locks
// the file itself, so that nothing is left lying beside it and a folder that
// cannot be written to does not matter. Where locks are mandatory (Windows) that
// would shut out our own reading too, so there a hidden file beside is locked
// and removed afterwards.
func lock(path string) (unlock func(), err error) {
	target, flags := path, os.O_RDONLY
	beside := runtime.GOOS == "windows"
	if beside {
		target, flags = filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".lock"),
			os.O_CREATE|os.O_RDWR
	}
	ctx, cancel := context.WithTimeout(context.Background(), lockWait)
	defer cancel()
	for {
		l := flock.New(target, flock.SetFlag(flags))
		ok, err := l.TryLockContext(ctx, 5*time.Millisecond)
		switch {
		case errors.Is(err, context.DeadlineExceeded) || err == nil && !ok:
			return nil, errors.New("another program keeps the file locked")
		case err != nil:
			return nil, err
		}
		// An editor may have put a new file in the place of the one that is now locked.
		held, errHeld := l.Stat()
		named, errNamed := os.Stat(target)
		if errHeld == nil && errNamed == nil && os.SameFile(held, named) {
			return func() {
				_ = l.Unlock() // closing the handle releases it whatever this says
				if beside {
					_ = os.Remove(target) // fails while the next writer has it open, who then removes it
				}
			}, nil
		}
		_ = l.Unlock()
		if errNamed != nil {
			return nil, errNamed
		}
	}
}

// appendBytes adds one piece to the end of a file that should hold old, makes
// sure that it is on the disk, and reads it back. After a failure the file is
// as it was, as far as the disk allows.
func appendBytes(path string, old, piece []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		return err
	}
	undo := func(err error) error {
		_ = f.Truncate(int64(len(old))) // best effort: err is what the maker hears
		_ = f.Close()
		return err
	}
	info, err := f.Stat()
	if err == nil && info.Size() != int64(len(old)) {
		_ = f.Close()
		return errors.New("another program changed the file at the same moment")
	}
	if err == nil {
		_, err = f.Write(piece)
	}
	if err == nil {
		err = f.Sync()
	}
	if err != nil {
		return undo(err)
	}
	if err := f.Close(); err != nil {
		return doubt{plainReason(err)}
	}
	now, err := os.ReadFile(path)
	if err != nil {
		return doubt{"it could not be read back: " + plainReason(err)}
	}
	if string(now) != string(old)+string(piece) {
		return doubt{"another program changed the file at the same moment"}
	}
	return nil
}

// Create writes a new batch file with the text src. It never replaces a file:
// when path exists already it fails and leaves that as it is. The file is there
// whole or not at all.
func Create(path string, src []byte) error {
	if _, err := os.Lstat(path); err == nil {
		return exists(path)
	}
	dir, base := filepath.Split(path)
	switch {
	case path == "":
		return &strict.Error{Problem: "no file is named"}
	case base == "":
		return &strict.Error{File: path, Problem: "this is a folder, not a file name"}
	}
	temp := filepath.Join(dir, "."+base+"."+strconv.FormatUint(rand.Uint64(), 36)+".new")
	if err := writeNew(temp, src); err != nil {
		return pathErrorAt(path, err)
	}
	defer os.Remove(temp)
	// A hard link appears at once and fails when the name is taken.
	err := os.Link(temp, path)
	switch {
	case err == nil:
	case errors.Is(err, fs.ErrExist):
		return exists(path)
	default: // a file system without hard links
		if err := writeNew(path, src); errors.Is(err, fs.ErrExist) {
			return exists(path)
		} else if err != nil {
			return pathErrorAt(path, err)
		}
	}
	syncFolder(filepath.Dir(path))
	return nil
}

func exists(path string) error {
	return &strict.Error{File: path, Problem: "there is a file of that name already; choose another name, " +
		"or move it away first"}
}

// pathErrorAt words an error that arose at a temporary neighbour of path.
func pathErrorAt(path string, err error) error {
	dir := filepath.Dir(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return &strict.Error{File: path, Problem: fmt.Sprintf("there is no folder %q; make it first", dir)}
	case errors.Is(err, fs.ErrPermission):
		return &strict.Error{File: path, Problem: fmt.Sprintf("the folder %q may not be written to by you",
			dir)}
	case strings.Contains(plainReason(err), "not a directory"):
		return &strict.Error{File: path, Problem: fmt.Sprintf("%q is not a folder", dir)}
	}
	return &strict.Error{File: path, Problem: plainReason(err)}
}

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

// syncFolder makes a new name last through a power cut, where the system can.
func syncFolder(dir string) {
	if d, err := os.Open(dir); err == nil {
		_ = d.Sync() // not every file system offers it
		_ = d.Close()
	}
}
