package book

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/due"
	"steepbook/cmd/internal/prior"
	"steepbook/data/batch"
)

// Kin is how the files of a book stand to each other, by their base names.
type Kin struct {
	// CopyOf is, of a backup, the file that it is one of: see prior.Book.Copies.
	CopyOf map[string]string
	// Keeper is, of another jar with an id and a day of start that a file of the book has, as a copy has that
	// was made by hand, the file that keeps them: the one that the id was made for, else the first.
	Keeper map[string]string
}

// KinOf is how the batches of a folder stand to each other, or those that began on the day of one of them,
// where path is that one. What cannot be read is kin of nothing.
func KinOf(path string, now time.Time) Kin {
	dir := path
	own, _, _, err := batch.ReadOutline(path, time.Local)
	if err == nil {
		dir = filepath.Dir(path)
	}
	files, _ := Files(dir)
	read := lookInto(files).of(own.Started)
	lib, _, _ := readShared(dir)
	return kinOf(prior.NewBook(lib, now, read), read)
}

// Kin is how the files of the book that began on the day of this one stand to each other.
func (j *Jar) Kin() Kin {
	var read []*batch.Batch
	if j.read != nil {
		read = j.read(dayOf(j.Batch.Started))
	} else {
		read = append(j.lookAround().of(j.Batch.Started), j.Batch)
		slices.SortFunc(read, func(x, y *batch.Batch) int {
			return strings.Compare(filepath.Base(x.File), filepath.Base(y.File))
		})
	}
	return kinOf(prior.NewBook(j.Library, j.Now, read), read)
}

// kinOf is KinOf of what was read, in order of the files.
func kinOf(book *prior.Book, read []*batch.Batch) Kin {
	k := Kin{CopyOf: book.Copies(), Keeper: map[string]string{}}
	keeps := map[[2]string]*batch.Batch{}
	is := func(b *batch.Batch) [2]string { return [2]string{b.ID, dayOf(b.Started)} }
	for _, b := range read {
		keeper := keeps[is(b)]
		if b.ID != "" && k.CopyOf[filepath.Base(b.File)] == "" &&
			(keeper == nil || b.ID == b.OwnID() && keeper.ID != keeper.OwnID()) {
			keeps[is(b)] = b
		}
	}
	for _, b := range read {
		file, keeper := filepath.Base(b.File), keeps[is(b)]
		if keeper != nil && keeper != b && k.CopyOf[file] != filepath.Base(keeper.File) {
			k.Keeper[file] = filepath.Base(keeper.File)
		}
	}
	return k
}

// Tell tells a row of what it is a copy, and by which id calendars know it.
func (k Kin) Tell(g *due.Glance) {
	b := g.Assessment.Batch
	file := filepath.Base(b.File)
	g.CopyOf, g.ID = k.CopyOf[file], b.ID
	if k.Keeper[file] != "" {
		g.ID = b.OwnID()
	}
}

// Hints say what a file has that is another's, and what to do.
func (k Kin) Hints(b *batch.Batch) (said []string) {
	file := filepath.Base(b.File)
	if of := k.CopyOf[file]; of != "" {
		said = append(said, fmt.Sprintf("%s is the same jar as %s, by its start and its tastings, so it teaches "+
			"nothing a second time; keep backups outside the book", file, of))
	}
	if keeper := k.Keeper[file]; keeper != "" {
		said = append(said, fmt.Sprintf("%s has the id of %s, which keeps it: write id = %q in %s; its dates go "+
			"into calendars by that already", file, keeper, b.OwnID(), file))
	}
	return said
}

// dayOf is a day as one compares it.
func dayOf(t time.Time) string { return t.Format(time.DateOnly) }
