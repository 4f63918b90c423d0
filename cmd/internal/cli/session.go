package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/urfave/cli/v2"

	"steepbook/cmd/internal/bench"
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
}

// open reads the batch, the maker's library beside it, and the clock.
func open(c *cli.Context, path string) (*session, error) {
	s := &session{path: path}
	if err := s.read(); err != nil {
		return nil, err
	}
	var err error
	if s.now, err = clock(c, s.batch.Started); err != nil {
		return nil, err
	}
	s.units, err = units(c, s.batch.Units)
	return s, err
}

// openOne opens the batch that is the command's only argument.
func openOne(c *cli.Context) (*session, error) {
	path, err := oneFile(c)
	if err != nil {
		return nil, err
	}
	return open(c, path)
}

// read loads the batch file and the library beside it anew.
func (s *session) read() error {
	b, err := batch.Read(s.path, time.Local)
	if err != nil {
		return asInput(err)
	}
	s.batch = b
	dir := filepath.Dir(s.path)
	if s.house, err = batch.ReadHouse(filepath.Join(dir, batch.HouseFile)); err != nil {
		return asInput(err)
	}
	s.lib, err = openLibrary(dir)
	return err
}

func openLibrary(dir string) (*library.Library, error) {
	lib := library.Builtin()
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

// neighbours reads the other batches of the book. A file with a fault teaches
// nothing; check names it.
func (s *session) neighbours() []*batch.Batch {
	files, err := batchFiles(filepath.Dir(s.path))
	if err != nil {
		return nil
	}
	var book []*batch.Batch
	for _, f := range files {
		if filepath.Base(f) == filepath.Base(s.path) {
			continue
		}
		if b, err := batch.Read(f, time.Local); err == nil {
			book = append(book, b)
		}
	}
	return book
}

// assess answers the questions of the batch as it stands.
func (s *session) assess(q bench.Question) (*bench.Assessment, error) {
	q.Now, q.House = s.now, s.house
	return bench.Assess(s.batch, s.lib, q)
}

// assessInBook does the same in the light of the other batches of the book,
// which matters where times are asked for.
func (s *session) assessInBook(q bench.Question) (*bench.Assessment, error) {
	if len(s.batch.Botanicals) > 0 {
		q.Book = s.neighbours()
	}
	return s.assess(q)
}
