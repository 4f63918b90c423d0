// Package book opens what a book holds: one batch with all that it shares with its
// folder, or every batch in a row. The command line and the web ask it alike.
package book

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/prior"
	"steepbook/cmd/internal/recipe"
	"steepbook/data/batch"
	"steepbook/data/disk"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/kinetics/cores"
)

// LibraryFile is the maker's own entries, beside the batches of a book.
const LibraryFile = "library.toml"

// Jar is one batch file opened to answer a question at a moment. It is for one
// goroutine.
type Jar struct {
	Path    string
	Batch   *batch.Batch
	Library *library.Library
	House   *batch.House // nil where the book has no rules of its own
	Now     time.Time
	// Units are what it is answered in: those of the batch, in which its amounts are read;
	// whoever asks may want others.
	Units quantity.System

	others     *folder                     // the other files of the book, once they were looked at
	neighbours *prior.Book                 // and the other batches, once they were wanted
	read       func(string) []*batch.Batch // those that began on a day, of a Standing
}

// Open reads a batch file, and the library and the rules beside it, to be answered as
// of now. A fault in one of them is a *strict.Error, else it could not be read.
func Open(path string, now time.Time) (*Jar, error) {
	j := &Jar{Path: path, Now: now}
	if err := j.Reread(); err != nil {
		return nil, err
	}
	j.Units = j.Batch.Units
	return j, nil
}

// Reread loads the files anew, after something was written; errors as Open.
func (j *Jar) Reread() error {
	dir := filepath.Dir(j.Path)
	lib, libErr := Library(dir) // first: it is read on while the batch is
	b, err := batch.Read(j.Path, time.Local)
	if err != nil {
		return err
	}
	j.Batch, j.Library = b, lib
	if j.House, err = House(dir); err != nil {
		return err
	}
	return libErr
}

// House reads the rules of a book, nil where it has none of its own.
func House(dir string) (*batch.House, error) {
	return batch.ReadHouse(filepath.Join(dir, batch.HouseFile))
}

// Library is the built-in library with the entries of the book's own; errors as Open.
func Library(dir string) (*library.Library, error) {
	lib := library.Builtin()
	lib.Ahead()
	file := filepath.Join(dir, LibraryFile)
	if info, err := os.Stat(file); errors.Is(err, fs.ErrNotExist) {
		return lib, nil
	} else if err == nil && !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is not an ordinary file", file)
	}
	src, err := os.ReadFile(file)
	if err != nil {
		return nil, disk.Unread(file, err)
	}
	return lib.With(file, src)
}

// Files are the batches of a book in order of name, none in an empty one.
func Files(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var files []string
	for _, e := range entries {
		if name := e.Name(); IsBatch(name) {
			files = append(files, filepath.Join(dir, name))
		}
	}
	return files, nil
}

// IsBatch reports whether a file of a book is a batch, by its name; what an editor hides is none.
func IsBatch(name string) bool {
	return strings.HasSuffix(name, ".toml") && !strings.HasPrefix(name, ".") &&
		name != LibraryFile && name != batch.HouseFile
}

// ReadAll reads batch files on all cores; of each there is a batch or a fault.
func ReadAll(files []string) ([]*batch.Batch, []error) {
	batches, faults := make([]*batch.Batch, len(files)), make([]error, len(files))
	cores.Each(len(files), func(i int) { batches[i], faults[i] = batch.Read(files[i], time.Local) })
	return batches, faults
}

// Units are what a book is answered in, its clock and dates too: those of the country of
// its house, else those of most batches, metric where there are as many of each. house
// and batches may be nil.
func Units(house *batch.House, all []*batch.Batch) quantity.System {
	system, said := house.Units()
	if said {
		return system
	}
	us, read := 0, 0
	for _, b := range all {
		if b == nil {
			continue
		}
		if read++; b.Units == quantity.US {
			us++
		}
	}
	if 2*us > read {
		return quantity.US
	}
	return system
}

// Neighbours are the other batches of the book that may steep what this one does,
// read once. A file with a fault teaches nothing; check names it.
func (j *Jar) Neighbours() *prior.Book {
	if j.neighbours != nil {
		return j.neighbours
	}
	f := j.lookAround()
	if len(f.files) == 0 {
		return nil
	}
	prior.Teachers(j.Batch, j.Library, f.files, func(list []int) []bool {
		good := make([]bool, len(list))
		cores.Each(len(list), func(k int) { good[k] = f.batch(list[k]) != nil })
		return good
	})
	j.neighbours = prior.NewBook(j.Library, j.Now, slices.DeleteFunc(slices.Clone(f.read),
		func(b *batch.Batch) bool { return b == nil }))
	return j.neighbours
}

// lookAround looks at the other files of the book, once.
func (j *Jar) lookAround() *folder {
	if j.others == nil {
		files, _ := Files(filepath.Dir(j.Path))
		j.others = lookInto(slices.DeleteFunc(files,
			func(f string) bool { return filepath.Base(f) == filepath.Base(j.Path) }))
	}
	return j.others
}

// folder is files of a book at a glance, and those that were read whole: nil where that was not wanted, or
// where a file has a fault.
type folder struct {
	files []prior.Candidate
	texts [][]byte
	read  []*batch.Batch
}

func lookInto(files []string) *folder {
	n := len(files)
	f := &folder{make([]prior.Candidate, n), make([][]byte, n), make([]*batch.Batch, n)}
	cores.Each(len(files), func(i int) {
		g, src, b, err := batch.ReadOutline(files[i], time.Local)
		if err != nil && src == nil {
			return
		}
		f.files[i] = prior.Candidate{File: files[i], Outline: g}
		if f.read[i] = b; b == nil && err == nil {
			f.texts[i] = src
		}
	})
	return f
}

// batch is one of them, read whole when it is first wanted.
func (f *folder) batch(i int) *batch.Batch {
	if f.texts[i] != nil {
		f.read[i], _ = batch.ParseBeside(f.files[i].File, f.texts[i], time.Local)
		f.texts[i] = nil
	}
	return f.read[i]
}

// of are those that began on the day of a moment, or all for none, in order of their names.
func (f *folder) of(began time.Time) []*batch.Batch {
	read := make([]*batch.Batch, len(f.files))
	cores.Each(len(read), func(i int) {
		if began.IsZero() || dayOf(f.files[i].Started) == dayOf(began) {
			read[i] = f.batch(i)
		}
	})
	return slices.DeleteFunc(read, func(b *batch.Batch) bool { return b == nil })
}

// errTried keeps what is only tried from being written.
var errTried = errors.New("not written")

// Try is what Log would refuse in an entry, and writes nothing.
func (j *Jar) Try(entry batch.Entry) error {
	err := batch.Append(j.Path, entry, time.Local, func(_, _ *batch.Batch) error { return errTried })
	if errors.Is(err, errTried) {
		return nil
	}
	return err
}

// Log appends an entry to the batch, where the batch can be answered with it, and gives what it
// is in the log; what is there already, and a straining, a bottling or a bottle that is odd, only
// again. The errors are those of batch.Append.
func (j *Jar) Log(entry batch.Entry, again bool) (lines []batch.Line, err error) {
	check := func(before, grown *batch.Batch) error {
		lines = grown.Newest(before)
		after, err := bench.Read(grown, j.Library, bench.Question{Now: j.Now, House: j.House})
		for i := 0; err == nil && i < len(lines); i++ {
			err = after.Blend.CheckInto(after.Batch, &lines[i])
		}
		if err != nil || again {
			return err
		}
		for _, l := range lines {
			odd := cmp.Or(oddBottle(grown, &after.Blend, &l),
				oddAdded(after.Batch, j.Library, &after.Blend, &l))
			switch l.Kind {
			case batch.KindBottled:
				odd = cmp.Or(oddBottling(before, l.Hours, after.Blend.Filled), oddSource(grown, after.Batch, l.Index),
					oddPour(after.Batch, l.Index), recipe.OddVolume(after.Recipe, grown, &l))
			case batch.KindStrained:
				odd = recipe.OddVolume(after.Recipe, grown, &l)
			}
			if odd != "" {
				return &batch.AgainError{Problem: odd,
					Unbottled: (l.Kind == batch.KindOpened || l.Kind == batch.KindEmptied) &&
						grown.BottledAt() == nil}
			}
		}
		return nil
	}
	add := batch.Append
	if again {
		add = batch.AppendAgain
	}
	err = add(j.Path, entry, time.Local, check)
	return lines, err
}

// Judged reads the batch and says where it keeps. The error is a fault in what the
// maker wrote.
func (j *Jar) Judged(q bench.Question) (*bench.Assessment, error) {
	q.KeepingOnly = true
	if j.Batch.TasteEnds() {
		q.Book = j.Neighbours() // its days hang on its taste
	}
	a, err := j.assess(q)
	if err != nil {
		return nil, err
	}
	a.Judge()
	return a, nil
}

// Steeped reads the batch and times its steep, in the light of the other batches of
// the book; errors as Judged.
func (j *Jar) Steeped() (*bench.Assessment, error) {
	q := bench.Question{}
	if len(j.Batch.Botanicals) > 0 {
		q.Book = j.Neighbours()
	}
	a, err := j.assess(q)
	if err != nil {
		return nil, err
	}
	return a, a.Steep()
}

// Glance is how far the batch has come and what is due, the curves of what still steeps
// in the light of the other batches; errors as Judged.
func (j *Jar) Glance() (*due.Glance, error) {
	a, err := j.Steeped()
	if err != nil {
		return nil, err
	}
	g, err := due.Look(a)
	return &g, err
}

// Rest is how much of an addition is planned and not logged, as one would type it; "" for nothing.
// The error is a fault in what the maker wrote.
func (j *Jar) Rest(name string) (string, error) {
	a, err := j.assess(bench.Question{})
	if err != nil {
		return "", err
	}
	for _, x := range slices.Concat(a.Recipe.ToCome, a.Recipe.Unlogged) {
		if x.Entry.Name == name {
			return x.Entry.Amount.Text, nil
		}
	}
	return "", nil
}

// assess reads the batch as it stands; nothing is answered yet.
func (j *Jar) assess(q bench.Question) (*bench.Assessment, error) {
	q.Now, q.House = j.Now, j.House
	return bench.Read(j.Batch, j.Library, q)
}
