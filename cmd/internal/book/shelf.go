package book

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"steepbook/cmd/internal/bench"
	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/prior"
	"steepbook/data/batch"
	"steepbook/data/library"
	"steepbook/data/quantity"
	"steepbook/data/strict"
	"steepbook/kinetics/cores"
)

// Shelf is every batch of a folder.
type Shelf struct {
	Folder  string
	Now     time.Time
	Units   quantity.System
	Batches []due.Glance // what is due first on top
	Wrong   []Wrong
	lessons func() []prior.Lesson
}

// Lessons are what the batches have taught, worked out when they are asked for; none of a Standing.
func (s *Shelf) Lessons() []prior.Lesson {
	if s.lessons == nil {
		return nil
	}
	return s.lessons()
}

// Wrong is a file that cannot be read, and why in one sentence.
type Wrong struct {
	File    string
	Problem string
}

// Overdue counts the batches that ask for an act now.
func (s *Shelf) Overdue() int {
	n := 0
	for i := range s.Batches {
		if s.Batches[i].MustAct() {
			n++
		}
	}
	return n
}

// Look reads the batches of a folder and what they have taught. A file that cannot be
// read is said to be wrong, and a fault in what the batches share leaves the built-in
// figures.
func Look(dir string, files []string, now time.Time) (*Shelf, error) {
	return LookClosely(dir, files, now, func(*Shelf, int, *due.Glance) error { return nil })
}

// LookClosely is Look with one more question to each batch, by its place in files, while
// all that is known of it is there; several are asked at once, of a shelf of which only the
// folder, the moment and the units are known yet. What it returns is a fault of that batch.
func LookClosely(dir string, files []string, now time.Time,
	ask func(s *Shelf, i int, g *due.Glance) error) (*Shelf, error) {
	s := &Shelf{Folder: dir, Now: now}
	lib, house, wrong := readShared(dir)
	s.Wrong = wrong
	all, faults := ReadAll(files)
	read := slices.DeleteFunc(slices.Clone(all), func(one *batch.Batch) bool { return one == nil })
	s.Units = Units(house, read)
	book := prior.NewBook(lib, now, read)
	kin := kinOf(book, read)
	rows := make([]due.Glance, len(files))
	cores.Each(len(files), func(i int) {
		if faults[i] == nil {
			rows[i], faults[i] = look(all[i], lib, bench.Question{Now: now, House: house, Book: book},
				func(g *due.Glance) error {
					kin.Tell(g)
					return ask(s, i, g)
				})
		}
	})
	for i, f := range files {
		if faults[i] != nil {
			name := filepath.Base(f)
			s.Wrong = append(s.Wrong, Wrong{File: name, Problem: Sentence(name, faults[i])})
			continue
		}
		s.Batches = append(s.Batches, rows[i])
	}
	s.inOrder()
	s.lessons = sync.OnceValue(func() []prior.Lesson { return prior.Lessons(book) })
	return s, nil
}

// inOrder puts the batches in order and tells those of one name apart.
func (s *Shelf) inOrder() {
	due.SortByDue(s.Batches)
	named := map[string]int{}
	for i := range s.Batches {
		named[strings.ToLower(s.Batches[i].Assessment.Batch.Name)]++
	}
	for i := range s.Batches {
		g := &s.Batches[i]
		g.Namesake = named[strings.ToLower(g.Assessment.Batch.Name)] > 1
	}
}

// look is one batch in a row, asked one more question while all that is known of it is
// there.
func look(b *batch.Batch, lib *library.Library, q bench.Question,
	ask func(*due.Glance) error) (due.Glance, error) {
	a, err := bench.Read(b, lib, q)
	if err != nil {
		return due.Glance{}, err
	}
	g, err := due.Look(a)
	if err == nil {
		err = ask(&g)
	}
	a.Slim()
	return g, err
}

// Sentence is a fault in one line, the folder left out.
func Sentence(file string, err error) string {
	var fault *strict.Error
	if errors.As(err, &fault) {
		short := *fault
		short.File = file
		return short.Error()
	}
	return strings.ReplaceAll(err.Error(), "\n", " ")
}
