package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/prior"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
)

// libraryFile is the maker's own entries, beside the batches of a book.
const libraryFile = "library.toml"

// session is one batch file opened to answer a question.
type session struct {
	path  string
	batch *batch.Batch
	lib   *library.Library
	house *batch.House // nil where the book has no rules of its own
	now   time.Time
	units quantity.System
	book  *prior.Book // the other batches, once they were wanted
}

// open reads the batch, the maker's library beside it, and the clock.
func open(c *cli.Context, path string) (*session, error) {
	s := &session{path: path}
	if err := s.read(); err != nil {
		return nil, err
	}
	var err error
	if s.units, err = units(c, s.batch, s.house); err != nil {
		return nil, err
	}
	s.now, err = clock(c, s.batch.Started, s.units)
	return s, err
}

// onBatch is a command whose only argument is a batch: act says that the maker must
// act now.
func onBatch(answer func(c *cli.Context, s *session) (act bool, err error)) cli.ActionFunc {
	return func(c *cli.Context) error {
		path, err := oneFile(c)
		if err != nil {
			return err
		}
		s, err := open(c, path)
		if err != nil {
			return err
		}
		act, err := answer(c, s)
		return actNow(act, err)
	}
}

// actNow is the fault, or else that the maker must act.
func actNow(act bool, err error) error {
	if err == nil && act {
		return errActNow
	}
	return err
}

// read loads the batch file and the library beside it anew.
func (s *session) read() error {
	dir := filepath.Dir(s.path)
	lib, libErr := openLibrary(dir) // first: it is read on while the batch is
	b, err := batch.Read(s.path, time.Local)
	if err != nil {
		return asInput(err)
	}
	s.batch, s.lib = b, lib
	if s.house, err = batch.ReadHouse(filepath.Join(dir, batch.HouseFile)); err != nil {
		return asInput(err)
	}
	return libErr
}

func openLibrary(dir string) (*library.Library, error) {
	lib := library.Builtin()
	lib.Ahead()
	file := filepath.Join(dir, libraryFile)
	if info, err := os.Stat(file); errors.Is(err, fs.ErrNotExist) {
		return lib, nil
	} else if err == nil && !info.Mode().IsRegular() {
		return nil, inputError{fmt.Errorf("%s is not an ordinary file", file)}
	}
	src, err := os.ReadFile(file)
	if err != nil {
		return nil, asInput(err)
	}
	return lib.With(file, src)
}

// neighbours reads the other batches of the book that may steep what this one
// does, once. A file with a fault teaches nothing; check names it.
func (s *session) neighbours() *prior.Book {
	if s.book != nil {
		return s.book
	}
	files, err := batchFiles(filepath.Dir(s.path))
	if err != nil {
		return nil
	}
	all := make([]prior.Candidate, len(files))
	texts, read := make([][]byte, len(files)), make([]*batch.Batch, len(files))
	prior.Each(len(files), func(i int) {
		g, src, b, err := batch.ReadOutline(files[i], time.Local)
		if err != nil && src == nil {
			return
		}
		all[i] = prior.Candidate{File: files[i], Outline: g}
		if read[i] = b; b == nil && err == nil {
			texts[i] = src
		}
	})
	prior.Teachers(s.batch, s.lib, all, func(list []int) []bool {
		good := make([]bool, len(list))
		prior.Each(len(list), func(j int) {
			i := list[j]
			if texts[i] != nil {
				read[i], _ = batch.Parse(files[i], texts[i], time.Local)
				texts[i] = nil
			}
			good[j] = read[i] != nil
		})
		return good
	})
	s.book = prior.NewBook(s.lib, s.now, slices.DeleteFunc(read,
		func(b *batch.Batch) bool { return b == nil || filepath.Base(b.File) == filepath.Base(s.path) }))
	return s.book
}

// assess reads the batch as it stands; nothing is answered yet.
func (s *session) assess(q bench.Question) (*bench.Assessment, error) {
	q.Now, q.House = s.now, s.house
	return bench.Read(s.batch, s.lib, q)
}

// judged reads the batch and says where it keeps.
func (s *session) judged(q bench.Question) (*bench.Assessment, error) {
	a, err := s.assess(q)
	if err != nil {
		return nil, err
	}
	a.Judge()
	return a, nil
}

// steeped reads the batch and times its steep, in the light of the other
// batches of the book.
func (s *session) steeped() (*bench.Assessment, error) {
	q := bench.Question{}
	if len(s.batch.Botanicals) > 0 {
		q.Book = s.neighbours()
	}
	a, err := s.assess(q)
	if err != nil {
		return nil, err
	}
	return a, a.Steep()
}
