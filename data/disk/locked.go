package disk

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"github.com/gofrs/flock"
)

// Locked is a file that no other writer of ours changes until it is unlocked. Editors know
// nothing of that.
type Locked struct {
	path    string // behind all links
	release func()
}

// ErrChanged says that another program put something else in the place of what was to be
// there, so that nothing was written.
var ErrChanged = Clause("another program changed the file at the same moment")

// Doubt is a failure after something was handed to the system: it may be in the file.
type Doubt struct{ Reason string }

func (d Doubt) Error() string { return d.Reason }

// lockWait is how long to wait for another writer, who needs milliseconds.
const lockWait = 10 * time.Second

// Lock keeps other writers out of the file behind path until Unlock. What stands in the way
// is said by Reason.
func Lock(path string) (*Locked, error) {
	target, err := filepath.EvalSymlinks(path)
	if err != nil {
		return nil, err
	}
	info, err := os.Stat(target)
	if err != nil {
		return nil, err
	}
	if info.Mode().Perm()&0o222 == 0 {
		return nil, Clause("the file is read-only")
	}
	release, err := lock(target)
	return &Locked{target, release}, err
}

// Unlock lets others write again.
func (l *Locked) Unlock() { l.release() }

// Load reads the file as it stands; errors as those of the package's Load.
func (l *Locked) Load() ([]byte, error) { return Load(l.path) }

// lock locks the file itself, so that nothing is left lying beside it and a folder that
// cannot be written to does not matter. Where locks are mandatory (Windows) that would shut
// out our own reading too, so there a hidden file beside is locked and removed afterwards.
func lock(path string) (release func(), err error) {
	target, flags := path, os.O_RDONLY
	beside := runtime.GOOS == "windows"
	if beside {
		target, flags = hidden(path, "lock"), os.O_CREATE|os.O_RDWR
	}
	ctx, cancel := context.WithTimeout(context.Background(), lockWait)
	defer cancel()
	for {
		l := flock.New(target, flock.SetFlag(flags))
		ok, err := l.TryLockContext(ctx, 5*time.Millisecond)
		switch {
		case errors.Is(err, context.DeadlineExceeded) || err == nil && !ok:
			return nil, Clause("another program keeps the file locked")
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

// Append adds one piece, in one write, to the end of a file that should hold old, makes sure
// that it is on the disk, and reads it back. After ErrChanged nothing of the piece is in the
// file; a Doubt says that it may be; after any other failure the file is as it was, as far as
// the disk allows.
func (l *Locked) Append(old, piece []byte) error {
	f, err := os.OpenFile(l.path, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		return err
	}
	info, err := f.Stat()
	if err == nil && info.Size() != int64(len(old)) {
		_ = f.Close()
		return ErrChanged
	}
	if err == nil {
		_, err = f.Write(piece)
	}
	if err == nil {
		err = f.Sync()
	}
	if err != nil {
		_ = f.Truncate(int64(len(old))) // best effort: err is what the maker hears
		_ = f.Close()
		return err
	}
	if err := f.Close(); err != nil {
		return Doubt{Reason(err)}
	}
	now, err := os.ReadFile(l.path)
	switch {
	case err != nil:
		return Doubt{"it could not be read back: " + Reason(err)}
	case bytes.Equal(now, append(bytes.Clone(old), piece...)):
		return nil
	case !bytes.Contains(now, piece): // an editor put its file in the place of the one that was written
		return ErrChanged
	}
	return Doubt{string(ErrChanged)}
}

// Amend puts tail in the place of all that stands behind the first keep bytes of a file that
// should hold old, and makes sure that it is on the disk. Readers see the one or the other
// where tail is empty or no shorter than what it replaces.
func (l *Locked) Amend(old []byte, keep int, tail []byte) error {
	f, err := os.OpenFile(l.path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	info, err := f.Stat()
	if err == nil && info.Size() != int64(len(old)) {
		err = ErrChanged
	}
	if err == nil && len(tail) > 0 {
		_, err = f.WriteAt(tail, int64(keep))
	}
	if err == nil {
		err = f.Truncate(int64(keep + len(tail)))
	}
	if err == nil {
		err = f.Sync()
	}
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	return err
}
