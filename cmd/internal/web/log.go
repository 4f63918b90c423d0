package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"steepbook/cmd/internal/book"
	"steepbook/cmd/internal/pen"
	"steepbook/cmd/internal/view/logbook"
	"steepbook/cmd/internal/view/steep"
	"steepbook/data/batch"
	"steepbook/data/quantity"
	"steepbook/data/strict"
)

// logged is what was written, in words.
type logged struct {
	Screen pen.Screen
	File   string     // of a new batch
	left   book.Stamp // the file as it was left
	at     time.Time
	lines  []madeLine // of the log; none for what was taken out
}

// madeLine is an entry as the log had it when it was made, then for the times-th time.
type madeLine struct {
	batch.Line
	times int
}

// saidFor is how long a page says what was logged; a tab may be loaded again the next day.
const saidFor = 10 * time.Minute

// stands reports whether all that was logged is in the log still.
func (l logged) stands(b *batch.Batch) bool {
	return !slices.ContainsFunc(l.lines, func(m madeLine) bool { return b.Times(m.Line) < m.times })
}

// asOf is what is still so of it: that it was logged, while it stands, and what is next, only while
// nothing else was logged.
func (l logged) asOf(b *batch.Batch, file book.Stamp, now time.Time) *logged {
	since := ""
	switch {
	case now.Sub(l.at).Abs() > saidFor:
		return nil
	case !l.stands(b):
		since = "It is not in the log any more: it was taken out or changed since."
	case file != l.left:
		since = "More has been logged since: see below."
	default:
		return &l
	}
	l.Screen = pen.Screen{Say: append(l.Screen.Say[:1:1], since)}
	return &l
}

// log makes an entry of a form and sends the browser to the page that says so. A form
// that cannot be taken is shown again as it was typed.
func (s *server) log(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("act")
	if _, known := acts[name]; !known && name != "undo" {
		s.refuse(w, http.StatusNotFound, "There is no such page.")
		return
	}
	if !s.parsed(w, r) {
		return
	}
	f := form{Act: name, Values: r.PostForm}
	here := address(r.PathValue("name") + ".toml")
	again := func(p batchPage) {
		p.Form, p.Taster = f, taster(r)
		if name == "taste" {
			p.Taster = f.Get("taster")
		}
		s.showTyped(w, r, here, "answer", p)
	}
	st, j, bad := s.jar(r)
	if bad != nil { // an editor may be saving it at this moment
		again(batchPage{Problem: bad.problem + " Nothing was written."})
		return
	}
	id := f.Get("ticket")
	t, standing := s.tickets.claim(id, here+" "+name, f.Values)
	switch standing {
	case foreign:
		again(batchPage{Problem: "This page was from before the server was started anew. " +
			"Nothing was written. Look whether it is in the log already; if not, send it again."})
		return
	case other:
		again(batchPage{Problem: "Something else was logged from this page before. " +
			"Nothing was written. Look whether it is right as it stands, then send it again."})
		return
	case repeated:
		if _, j, bad := s.jar(r); bad == nil && !t.said.stands(j.Batch) { // as it was left
			again(batchPage{Problem: "This was logged before, and was taken out of the log or changed since. " +
				"Nothing was written now. If it is to be logged again, send it again."})
			return
		}
		s.tickets.sayAgain(t, s.Now())
	case fresh:
		said, err := s.append(st, j, f)
		if err != nil {
			s.tickets.giveBack(t)
			again(s.problem(j, f, err))
			return
		}
		s.tickets.settle(t, said)
	}
	if name == "taste" {
		http.SetCookie(w, keptCookie(tasterCookie, url.QueryEscape(f.Get("taster"))))
	}
	http.Redirect(w, r, here+"?done="+url.QueryEscape(id), http.StatusSeeOther)
}

// parsed reads a form; ok is false where the answer has been given.
func (s *server) parsed(w http.ResponseWriter, r *http.Request) (ok bool) {
	err := r.ParseForm()
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		s.refuse(w, http.StatusRequestEntityTooLarge, "That is more than a form may hold. Nothing was written.")
		return false
	case err != nil:
		s.refuse(w, http.StatusBadRequest, "The form came in pieces. Nothing was written; send it again.")
		return false
	}
	return true
}

// append writes an entry by the lock that the command line takes, too, and says what came
// of it.
func (s *server) append(st *book.Standing, j *book.Jar, f form) (said logged, err error) {
	defer func() {
		if r := recover(); r != nil { // whoever waits for the ticket must hear of it
			s.Log.Printf("%s of %s: %v\n%s", f.Act, j.Path, r, debug.Stack())
			err = errors.New("the entry could not be made")
		}
	}()
	if f.Act == "undo" {
		return s.undo(j, fieldsOf(f.Values))
	}
	a := acts[f.Act]
	var bad faults
	in := fieldsOf(f.Values)
	at, err := j.At(in.get("at"), a.what)
	if err != nil {
		text := err.Error()
		if early := (*book.NotYet)(nil); errors.As(err, &early) {
			text += ", or correct the time"
		}
		bad = append(bad, fault{"at", quantity.Sentence(text)})
	}
	again := in.get("again") != ""
	entry, err := a.read(in, j, at)
	if more := faults(nil); errors.As(err, &more) {
		bad, err = append(bad, more...), nil
	}
	bad = append(bad, in.left()...)
	if len(bad) > 0 {
		return logged{}, s.further(j, f.Values, a, bad)
	}
	if err != nil {
		return logged{}, err
	}
	before, err := s.answered(st, j)
	if err != nil {
		return logged{}, err
	}
	lines, err := j.Log(entry, again)
	if err != nil {
		if field := faultyField(f.Values, err); field != "" {
			err = s.further(j, f.Values, a, faults{{field, s.sentence("", err)}})
		}
		return logged{}, err
	}
	screen, err := s.changed(j, before, entry, lines)
	if err != nil {
		s.Log.Print(err)
		screen.Say = []string{"It is logged, but what it changed could not be worked out; the terminal says why."}
	}
	return s.logged(j.Path, screen, lines...), nil
}

// further is what is wrong in a form besides what is known to be: each is left out to look at the
// others, and nothing is written.
func (s *server) further(j *book.Jar, f url.Values, a act, bad faults) faults {
	for i := 0; i < len(bad) && i < mostFaults && bad[i].Field != ""; i++ {
		f = withoutField(f, bad[i].Field)
		if bad[i].Field == "other" {
			f.Set("sample", neat)
		}
		entry, err := a.read(fieldsOf(f), j, book.Dated(j.Now))
		if err == nil && j.Batch.CutOff == "" {
			err = j.Try(entry)
		}
		if field := faultyField(f, err); field != "" && i == len(bad)-1 {
			bad = append(bad, fault{field, s.sentence("", err)})
		}
	}
	return bad
}

// faultyField is the field that a fault of an entry speaks of, "" where it is none that was
// filled in.
func faultyField(f url.Values, err error) string {
	var e *strict.Error
	if !errors.As(err, &e) {
		return ""
	}
	field := e.Key
	if field == "sample" {
		field = "other"
	}
	if f.Get(field) == "" {
		return ""
	}
	return field
}

// logged is what is said of an entry, for as long as the file stays as it is now.
func (s *server) logged(path string, screen pen.Screen, lines ...batch.Line) logged {
	said := logged{Screen: screen, at: s.Now()}
	for _, l := range lines {
		said.lines = append(said.lines, madeLine{l, 1})
	}
	st, err := s.Book.At(said.at)
	if err != nil {
		return said
	}
	said.left = st.Version(filepath.Base(path))[0]
	if j, err := st.Jar(filepath.Base(path)); err == nil {
		for i := range said.lines {
			said.lines[i].times = max(1, j.Batch.Times(said.lines[i].Line))
		}
	}
	return said
}

// undo takes out the entry that the form names, while it is the last.
func (s *server) undo(j *book.Jar, f *fields) (logged, error) {
	mark := f.get("entry")
	if bad := f.left(); len(bad) > 0 {
		return logged{}, bad
	}
	if mark == "" {
		return logged{}, wrong("", "The form does not say what is to be taken out; load the page again.")
	}
	removed, err := batch.Undo(j.Path, mark, time.Local)
	if moved := (*batch.MovedError)(nil); errors.As(err, &moved) {
		return logged{}, wrong("", fmt.Sprintf("Something else was logged since, and the last entry is now: %s. "+
			"Nothing was taken out.", logbook.EndedWords(&moved.Now, s.Now())))
	}
	if err != nil {
		return logged{}, err
	}
	text := say("Taken out again: "+logbook.EndedWords(&removed, s.Now())+".", j.Units)
	return s.logged(j.Path, pen.Screen{Say: []string{text}}), nil
}

// changed says what an entry has changed.
func (s *server) changed(j *book.Jar, before *answers, entry batch.Entry, lines []batch.Line) (pen.Screen,
	error) {
	st, err := s.Book.At(s.Now())
	if err != nil {
		return pen.Screen{}, err
	}
	now, err := st.Jar(filepath.Base(j.Path))
	if err != nil {
		return pen.Screen{}, err
	}
	now.Units = j.Units
	after, err := s.answered(st, now)
	if err != nil {
		return pen.Screen{}, err
	}
	style := pen.Style{Units: j.Units, Forms: true}
	before.mu.Lock()
	defer before.mu.Unlock()
	if after != before {
		after.mu.Lock()
		defer after.mu.Unlock()
	}
	var said pen.Screen
	switch e := entry.(type) {
	case batch.NewTasting:
		said = steep.TastedScreen(before.a, after.a, e, true, style)
	case batch.NewPull:
		said = steep.PulledScreen(after.a, e.Names, true, style)
	default:
		said = logbook.LoggedScreen(after.glance, lines, true, style)
	}
	screen := asForms(said)
	screen.Say[0] = said.Say[0] // the maker's own words, whatever they look like
	return screen, nil
}

// problem is the page for an entry that was not made.
func (s *server) problem(j *book.Jar, f form, err error) (p batchPage) {
	var write *batch.WriteError
	var again *batch.AgainError
	var bad faults
	switch {
	case errors.As(err, &write):
		s.Log.Print(err)
		p.Problem, p.Paste = write.Problem()+".", write.Entry
	case errors.As(err, &again):
		p.Problem, p.Again = inForms([]string{again.Problem + "."})[0], true
	case errors.As(err, &bad):
		for _, x := range bad {
			x.Text = quantity.Capital(say(x.Text, j.Units))
			if x.Field == "" {
				p.Problem = x.Text
				continue
			}
			x.Field = f.Act + "-" + x.Field
			p.Faults = append(p.Faults, x)
		}
		return p
	default:
		p.Problem = s.sentence(filepath.Base(j.Path), err)
	}
	if p.Problem = say(p.Problem, j.Units); !strings.HasPrefix(p.Problem, filepath.Base(j.Path)) {
		p.Problem = quantity.Capital(p.Problem)
	}
	return p
}
