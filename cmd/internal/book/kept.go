package book

import (
	"errors"
	"io/fs"
	"os"
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

// Kept is a book that stays open: a file is read again when it has changed, and no
// file is read but those that lie in its folder. It is safe for several goroutines.
type Kept struct {
	Dir  string
	root *os.Root

	mu     sync.Mutex
	files  map[string]*file // by name
	shared shared
	last   *Standing
	taught taught

	rows struct {
		sync.Mutex
		of map[string]*row // by name
	}
	kin struct {
		sync.Mutex
		of Kin
		at time.Time // by the clock of the machine
	}
}

// taught is what the batches say to each other. To learn from it costs more than all
// else, and a jar does not learn from itself: so it may be as old as a row.
type taught struct {
	book  func() *prior.Book
	now   time.Time // of the answer
	made  time.Time // by the clock of the machine
	since bool      // a file has changed since
}

func (t *taught) good(now time.Time) bool {
	return t.book != nil && now.Sub(t.now).Abs() < rowLasts && (!t.since || time.Since(t.made) < rowLasts)
}

// Stamp is by which a change of a file is seen.
type Stamp struct {
	Size int64
	Time time.Time
}

// file is one batch file as it was read.
type file struct {
	stamp Stamp
	read  time.Time
	batch *batch.Batch
	fault error
}

// settled is how old a file was, when it was read, for its stamp to tell a later change:
// two changes within one tick of the file system's clock bear the same time.
const settled = 2 * time.Second

func (f *file) same(s Stamp) bool {
	return f != nil && f.stamp == s && f.read.Sub(s.Time) > settled
}

// holds reports whether a file still says what was read of it.
func (f *file) holds(root *os.Root, name string) bool {
	if f == nil || f.batch == nil {
		return false
	}
	src, err := root.ReadFile(name)
	return err == nil && string(src) == f.batch.Doc.Source()
}

// shared is what the batches of a book share, as it was read.
type shared struct {
	library, house Stamp // zero where there is none
	read           time.Time
	lib            *library.Library
	rules          *batch.House
	wrong          []Wrong
}

// Standing is a kept book as it stands at a moment. It never changes.
type Standing struct {
	Now   time.Time
	Names []string // of the batch files, in their order
	Wrong []Wrong  // what is wrong in what the batches share; the built-in figures stand in
	kept  *Kept
	files map[string]*file
	shared
	book func() *prior.Book
}

// ErrNoBatch says that a book holds no batch of that name.
var ErrNoBatch = errors.New("there is no such batch in the book")

// Keep opens a book to keep; the error is of the operating system.
func Keep(dir string) (*Kept, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	k := &Kept{Dir: dir, root: root, files: map[string]*file{}}
	k.rows.of = map[string]*row{}
	return k, nil
}

// Close lets go of the folder.
func (k *Kept) Close() error { return k.root.Close() }

// At is the book as it stands, answered as of now; the error is of the operating system.
func (k *Kept) At(now time.Time) (*Standing, error) {
	looked := time.Now()
	names, stamps, err := k.list() // which needs no lock
	if err != nil {
		return nil, err
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	changed := k.readShared()
	if changed {
		k.taught.book, k.files = nil, map[string]*file{} // the rules say how amounts are read
	}
	var stale []string
	for _, name := range names {
		// Whoever waited for the lock may have looked before somebody else did.
		if f := k.files[name]; !f.same(stamps[name]) && (f == nil || f.read.Before(looked)) {
			stale = append(stale, name)
		}
	}
	fresh := make([]*file, len(stale))
	cores.Each(len(stale), func(i int) {
		fresh[i] = &file{read: time.Now()}
		fresh[i].stamp, _ = k.stamp(stale[i])
		if old := k.files[stale[i]]; old.holds(k.root, stale[i]) {
			fresh[i].batch = old.batch
			return
		}
		fresh[i].batch, fresh[i].fault = k.read(stale[i])
	})
	for i, name := range stale {
		k.files[name] = fresh[i]
	}
	for name := range k.files {
		if _, there := stamps[name]; !there {
			delete(k.files, name)
			k.rows.Lock()
			delete(k.rows.of, name)
			k.rows.Unlock()
			changed = true
		}
	}
	minute := now.Truncate(time.Minute)
	changed = changed || len(stale) > 0
	k.taught.since = k.taught.since || changed
	if l := k.last; l == nil || changed || !l.Now.Truncate(time.Minute).Equal(minute) {
		k.last = k.stand(names, now)
	}
	return k.last, nil
}

func (k *Kept) stand(names []string, now time.Time) *Standing {
	s := &Standing{Now: now, Names: names, Wrong: k.shared.wrong, kept: k, files: map[string]*file{},
		shared: k.shared}
	for _, name := range names {
		s.files[name] = k.files[name]
	}
	read := s.read("")
	if !k.taught.good(now) {
		k.taught = taught{now: now, made: time.Now(),
			book: sync.OnceValue(func() *prior.Book { return prior.NewBook(s.lib, now, read) })}
	}
	s.book = k.taught.book
	return s
}

// list names the batch files of the folder. What leads out of it is listed, too, so
// that reading it says so.
func (k *Kept) list() (names []string, stamps map[string]Stamp, err error) {
	d, err := k.root.Open(".")
	if err != nil {
		return nil, nil, err
	}
	defer d.Close()
	entries, err := d.ReadDir(-1)
	if err != nil {
		return nil, nil, err
	}
	stamps = make(map[string]Stamp, len(entries))
	for _, e := range entries {
		if name := e.Name(); IsBatch(name) {
			if s, err := k.stamp(name); !errors.Is(err, fs.ErrNotExist) {
				names = append(names, name)
				stamps[name] = s
			}
		}
	}
	slices.Sort(names)
	return names, stamps, nil
}

func (k *Kept) stamp(name string) (Stamp, error) {
	info, err := k.root.Stat(name)
	if err != nil {
		return Stamp{}, err
	}
	return Stamp{info.Size(), info.ModTime()}, nil
}

func (k *Kept) read(name string) (*batch.Batch, error) {
	b, err := batch.ReadIn(k.root, name, time.Local)
	if err != nil && strings.Contains(err.Error(), "path escapes") { // which os does not export
		return nil, &strict.Error{File: name, Problem: "this is a link that leads out of the book; " +
			"put the file itself into the folder"}
	}
	return b, err
}

// readShared reads the library and the rules of the book where they have changed. They
// are the owner's own and may be links.
func (k *Kept) readShared() (changed bool) {
	at := func(name string) (s Stamp) {
		if info, err := os.Stat(filepath.Join(k.Dir, name)); err == nil {
			s = Stamp{info.Size(), info.ModTime()}
		}
		return s
	}
	old := &k.shared
	lib, house := at(LibraryFile), at(batch.HouseFile)
	if old.lib != nil && old.library == lib && old.house == house &&
		old.read.Sub(lib.Time) > settled && old.read.Sub(house.Time) > settled {
		return false
	}
	k.shared = shared{library: lib, house: house, read: time.Now()}
	k.shared.lib, k.shared.rules, k.shared.wrong = readShared(k.Dir)
	return true
}

// readShared reads what the batches of a folder share; what has a fault is left out and
// said.
func readShared(dir string) (lib *library.Library, house *batch.House, wrong []Wrong) {
	lib, err := Library(dir)
	if err != nil {
		wrong = append(wrong, Wrong{File: LibraryFile, Problem: Sentence(LibraryFile, err)})
		lib = library.Builtin()
	}
	if house, err = House(dir); err != nil {
		wrong = append(wrong, Wrong{File: batch.HouseFile, Problem: Sentence(batch.HouseFile, err)})
	}
	return lib, house, wrong
}

// Jar opens a batch by the name of its file, one of Names: ErrNoBatch for any other, and
// the *strict.Error of a file with a fault.
func (s *Standing) Jar(name string) (*Jar, error) {
	f, there := s.files[name]
	switch {
	case !there:
		return nil, ErrNoBatch
	case f.fault != nil:
		return nil, f.fault
	}
	j := &Jar{Path: filepath.Join(s.kept.Dir, name), Batch: f.batch, Library: s.lib, House: s.rules,
		Now: s.Now, neighbours: s.book(), read: s.read}
	j.Units = f.batch.Units
	return j, nil
}

// Draft is a batch of this book that is not written yet: see Draft.
func (s *Standing) Draft(file string, d batch.Draft) ([]byte, *bench.Assessment, error) {
	return Draft(file, d, s.lib, bench.Question{Now: s.Now, House: s.rules})
}

// Version changes with the file of a batch and with what it shares with its book.
func (s *Standing) Version(name string) [3]Stamp {
	v := [3]Stamp{{}, s.library, s.house}
	if f := s.files[name]; f != nil {
		v[0] = f.stamp
	}
	return v
}

// Units are those that the book is answered in.
func (s *Standing) Units() quantity.System {
	return Units(s.rules, s.read(""))
}

// row is a batch in a row as it was last looked at. Whoever asks first looks, and the
// others wait.
type row struct {
	version [3]Stamp
	now     time.Time // of the answer
	made    time.Time // by the clock of the machine
	look    func() (due.Glance, error)
}

// rowLasts is how long a row that hangs on the hour is shown.
const rowLasts = 90 * time.Second

// good reports whether the row still says what is so: what nothing is due of lasts to the
// end of its day.
func (r *row) good(version [3]Stamp, now time.Time, lasts time.Duration) bool {
	if r == nil || r.version != version {
		return false
	}
	if time.Since(r.made) < lasts && now.Sub(r.now).Abs() < lasts {
		return true
	}
	g, fault := r.look()
	if fault != nil {
		return true
	}
	passed := func(t time.Time) bool { return t.After(r.now) != t.After(now) }
	return (g.Stage == due.Strained || g.Stage == due.Bottled) && !g.Due.Overdue &&
		sameDay(r.now, now) && !passed(g.Due.At) && !passed(g.Until)
}

func sameDay(x, y time.Time) bool {
	x, y = x.In(time.Local), y.In(time.Local)
	return x.YearDay() == y.YearDay() && x.Year() == y.Year()
}

// Shelf is every batch in a row; what the others have taught since may be missing from a
// row for some seconds, and there are no Lessons.
func (s *Standing) Shelf() *Shelf { return s.shelf(rowLasts) }

// Refresh looks at every row that is older than half its time, so that whoever asks next
// need not wait.
func (s *Standing) Refresh() {
	s.shelf(rowLasts / 2)
	s.kinOf(true)
}

func (s *Standing) shelf(lasts time.Duration) *Shelf {
	shelf := &Shelf{Folder: s.kept.Dir, Now: s.Now, Wrong: slices.Clone(s.Wrong), Units: s.Units()}
	rows := s.rows(lasts)
	cores.Each(len(rows), func(i int) { rows[i].look() })
	kin := s.kinOf(false)
	for i, name := range s.Names {
		if g, fault := rows[i].look(); fault != nil {
			shelf.Wrong = append(shelf.Wrong, Wrong{File: name, Problem: Sentence(name, fault)})
		} else {
			kin.Tell(&g)
			shelf.Batches = append(shelf.Batches, g)
		}
	}
	shelf.inOrder()
	return shelf
}

// rows are those of all names, new ones for those that are no longer good.
func (s *Standing) rows(lasts time.Duration) []*row {
	all := &s.kept.rows
	all.Lock()
	defer all.Unlock()
	rows := make([]*row, len(s.Names))
	for i, name := range s.Names {
		if rows[i] = all.of[name]; rows[i].good(s.Version(name), s.Now, lasts) {
			continue
		}
		rows[i] = s.row(name, sync.OnceValues(func() (g due.Glance, err error) {
			f := s.files[name]
			if f.fault != nil {
				return g, f.fault
			}
			return look(f.batch, s.lib, bench.Question{Now: s.Now, House: s.rules, Book: s.book()},
				func(*due.Glance) error { return nil })
		}))
		all.of[name] = rows[i]
	}
	return rows
}

func (s *Standing) row(name string, look func() (due.Glance, error)) *row {
	return &row{version: s.Version(name), now: s.Now, made: time.Now(), look: look}
}

// Seen keeps the row of a batch that has been assessed for another page as of Now, and
// gives it, with the whole assessment; the error is that of the steep.
func (s *Standing) Seen(name string, a *bench.Assessment) (*due.Glance, error) {
	g, err := due.Look(a)
	if err != nil {
		return nil, err
	}
	whole := g
	own, keep := *a, *a.Keep
	own.Keep = &keep
	own.Slim()
	g.Assessment = &own
	s.kept.rows.Lock()
	defer s.kept.rows.Unlock()
	s.kept.rows.of[name] = s.row(name, func() (due.Glance, error) { return g, nil })
	return &whole, nil
}

// kinOf is how the files stand to each other, as last looked for.
func (s *Standing) kinOf(again bool) Kin {
	k := &s.kept.kin
	k.Lock()
	defer k.Unlock()
	if k.at.IsZero() || again && time.Since(k.at) > rowLasts/2 {
		k.of, k.at = kinOf(s.book(), s.read("")), time.Now()
	}
	return k.of
}

// read are the batches that could be read, in order of their files: all, or those that began on a day.
func (s *Standing) read(day string) (list []*batch.Batch) {
	for _, name := range s.Names {
		if b := s.files[name].batch; b != nil && (day == "" || day == dayOf(b.Started)) {
			list = append(list, b)
		}
	}
	return list
}
